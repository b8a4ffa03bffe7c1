/* profile_send: see profile_send.h. In: the `send` group of a profile's tree and the secrets; out:
 * the request and its answer as data. All that is wrong is the fault of who wrote the profile.
 * Sources: RFC 3986 (URL), RFC 9110 5.5, 5.6.2 (headers), 8.3, 6.6.1 (headers that are not a
 * profile's to set). */
#include "wire/profile_send.h"

#include <string.h>

#include "wire/template.h"

#define COUNT(list)    ((int)(sizeof(list) / sizeof(list)[0]))
#define HOLE(name)     (1u << WIRE_HOLE_##name)
#define FAULT(at, ...) faults_add(b->faults, (at)->file, (at)->line, __VA_ARGS__)

/* LONGEST_S stays below the 120 s for which a text is under a sender's lease: a send that outlived
 * it would meet its own repeat under way. */
enum { URL_MAX = 1000, METHOD_MAX = 10, CONNECT_S = 5, TOTAL_S = 20, LONGEST_S = 100 };

/* -- the address ---------------------------------------------------------------------------------
 */

/* The host without its port; *port is behind the colon, and has no bytes when there is none. */
static struct slice host_of(struct slice authority, struct slice *port) {
    struct slice host = authority;
    *port = (struct slice){NULL, 0};
    size_t from = 0;
    for (size_t i = 0; i < authority.n; i++)
        if (authority.p[i] == ']')
            from = i; /* the colons of an IPv6 address are before it */
    for (size_t i = from; i < authority.n; i++)
        if (authority.p[i] == ':') {
            host = slice_head(authority, i);
            *port = slice_from(authority, i + 1);
            break;
        }
    return host;
}

static bool is_loopback(struct slice host) {
    return slice_eq(host, SLICE("127.0.0.1")) || slice_eq(host, SLICE("[::1]")) ||
           slice_eq_nocase(host, SLICE("localhost"));
}

static const char *url_mistake(struct slice url, bool plain_http) {
    for (size_t i = 0; i < url.n; i++)
        if (url.p[i] <= ' ' || url.p[i] > '~' || strchr("\"<>\\^`{|}#", url.p[i]))
            return "holds a sign that cannot stand in an address";
    bool tls = slice_starts(url, SLICE("https://"));
    if (!tls && !slice_starts(url, SLICE("http://")))
        return "must begin with https:// or http://";
    struct slice rest = slice_from(url, tls ? 8 : 7), port;
    size_t n = 0;
    while (n < rest.n && rest.p[n] != '/' && rest.p[n] != '?')
        n++;
    struct slice authority = slice_head(rest, n);
    if (slice_has(authority, '@'))
        return "must not hold a name or password; send them in a header";
    struct slice host = host_of(authority, &port);
    if (!host.n)
        return "names no host";
    int64_t number = 1;
    if (port.p && (slice_int(port, &number) || number < 1 || number > 65535 || port.p[0] == '+'))
        return "has a port that is none";
    if (!tls && !plain_http && !is_loopback(host))
        return "is http beyond this machine: anybody on the way can read it; use https, or say "
               "plain_http = true";
    return NULL;
}

static void address(const struct wire_builder *b, const struct tree *send,
                    struct wire_send_profile *out) {
    static const char *const methods[] = {"POST", "PUT"};
    int method = 0;
    bool plain_http = false;
    (void)wire_build_word(b, send, "method", TREE_OPTIONAL, methods, COUNT(methods), &method);
    out->method = slice_of(methods[method]);
    (void)tree_bool(send, "plain_http", TREE_OPTIONAL, &plain_http, b->faults);
    if (!wire_build_text(b, send, "url", TREE_REQUIRED, URL_MAX, &out->url))
        return;
    const char *mistake = url_mistake(out->url, plain_http);
    if (mistake)
        FAULT(tree_get(send, "url"), "\"url\" %s", mistake);
}

/* -- what goes out -------------------------------------------------------------------------------
 */

static void headers(const struct wire_builder *b, const struct tree *send,
                    struct wire_send_profile *out) {
    static const char *const known[] = {"name", "value"};
    static const char *const reserved[] = {"content-type", "content-length", "transfer-encoding",
                                           "host",         "connection",     "expect"};
    const struct tree *list = tree_list(send, "headers", TREE_OPTIONAL, b->faults);
    if (!list)
        return;
    if (list->count > WIRE_FIELDS_MAX) {
        FAULT(list, "\"headers\" holds more than %d", (int)WIRE_FIELDS_MAX);
        return;
    }
    struct wire_header_out *all = ARENA_ARRAY(b->a, (size_t)list->count, struct wire_header_out);
    if (!all) {
        wire_build_nomem(b, list);
        return;
    }
    out->headers = all;
    for (const struct tree *t = list->child; t; t = t->next) {
        if (t->kind != TREE_GROUP) {
            FAULT(t, "\"headers\" must hold groups { name = ...; value = ...; } only");
            continue;
        }
        tree_only(t, known, COUNT(known), b->faults);
        struct wire_header_out *h = &all[out->header_count];
        (void)wire_template_build(b, t, "value", HOLE(SECRET) | HOLE(REFERENCE) | HOLE(SENDER),
                                  &h->value);
        if (!wire_build_text(b, t, "name", TREE_REQUIRED, WIRE_ID_MAX, &h->name))
            continue;
        const struct tree *name = tree_get(t, "name");
        if (!wire_build_is_token(h->name))
            FAULT(name, "\"%s\" cannot be a header's name", h->name.p);
        for (int i = 0; i < COUNT(reserved); i++)
            if (slice_eq_nocase(h->name, slice_of(reserved[i])))
                FAULT(name, "\"%s\" is set by the program itself", h->name.p);
        for (int i = 0; i < out->header_count; i++)
            if (slice_eq_nocase(h->name, all[i].name))
                FAULT(name, "the header \"%s\" stands twice", h->name.p);
        out->header_count++;
    }
}

/* Whether two fields cannot both be in one body: the same name, or one inside the other's value. */
static bool collide(enum wire_body form, const struct wire_path *x, const struct wire_path *y) {
    if (form != WIRE_BODY_JSON)
        return slice_eq(x->whole, y->whole);
    int least = x->count < y->count ? x->count : y->count;
    for (int i = 0; i < least; i++) {
        if (!slice_eq(x->segments[i], y->segments[i]))
            return false;
        if (x->wrapped[i] != y->wrapped[i])
            return true;
    }
    return true;
}

/* A fixed value is checked against its kind here; one with holes can only be at the send. */
static void field_kind(const struct wire_builder *b, const struct tree *t, enum wire_body form,
                       struct wire_field *f) {
    static const char *const kinds[] = {"text", "number", "bool"};
    int kind = 0;
    if (!wire_build_word(b, t, "kind", TREE_OPTIONAL, kinds, COUNT(kinds), &kind) || !kind)
        return;
    f->kind = (enum wire_kind)kind;
    const struct tree *node = tree_get(t, "kind");
    if (form == WIRE_BODY_FORM) {
        FAULT(node, "\"kind\" means nothing in a form: all its values are text");
        return;
    }
    if (!f->value.count)
        return;
    bool fixed = wire_template_is_fixed(&f->value);
    struct slice text = fixed ? f->value.pieces[0].text : (struct slice){NULL, 0};
    int64_t number;
    if (f->kind == WIRE_KIND_BOOL && !slice_eq(text, SLICE("true")) &&
        !slice_eq(text, SLICE("false")))
        FAULT(node, "a value of the kind bool must be \"true\" or \"false\"");
    if (f->kind == WIRE_KIND_NUMBER && fixed && slice_int(text, &number))
        FAULT(node, "a value of the kind number must be a whole number");
}

static void field(const struct wire_builder *b, const struct tree *t, struct wire_send_profile *out,
                  struct wire_field *all) {
    static const char *const known[] = {"name", "value", "kind"};
    if (t->kind != TREE_GROUP) {
        FAULT(t, "\"fields\" must hold groups { name = ...; value = ...; } only");
        return;
    }
    tree_only(t, known, COUNT(known), b->faults);
    struct wire_field *f = &all[out->field_count];
    (void)wire_template_build(b, t, "value", ~0u, &f->value);
    field_kind(b, t, out->body, f);
    if (!wire_build_path(b, t, "name", TREE_REQUIRED, out->body, true, &f->path))
        return;
    for (int i = 0; i < out->field_count; i++)
        if (collide(out->body, &f->path, &all[i].path))
            FAULT(tree_get(t, "name"), "the field \"%s\" collides with \"%s\"", f->path.whole.p,
                  all[i].path.whole.p);
    out->field_count++;
}

static void fields(const struct wire_builder *b, const struct tree *send,
                   struct wire_send_profile *out) {
    const struct tree *list = tree_list(send, "fields", TREE_REQUIRED, b->faults);
    if (!list)
        return;
    if (list->count > WIRE_FIELDS_MAX) {
        FAULT(list, "\"fields\" holds more than %d", (int)WIRE_FIELDS_MAX);
        return;
    }
    struct wire_field *all = ARENA_ARRAY(b->a, (size_t)list->count, struct wire_field);
    if (!all) {
        wire_build_nomem(b, list);
        return;
    }
    out->fields = all;
    for (const struct tree *t = list->child; t; t = t->next)
        field(b, t, out, all);
}

static bool goes_out(const struct wire_send_profile *s, enum wire_hole hole) {
    for (int i = 0; i < s->field_count; i++)
        if (wire_template_has(&s->fields[i].value, hole))
            return true;
    for (int i = 0; i < s->header_count; i++)
        if (wire_template_has(&s->headers[i].value, hole))
            return true;
    return false;
}

/* What the holes need must be there, and what is given must be of use; the latter is not told
 * where headers or fields could not be read, since the hole may be in these. */
static void fillings(const struct wire_builder *b, const struct tree *send, bool all_read,
                     struct wire_send_profile *out) {
    static const char *const known[] = {"gsm7", "ucs2"};
    (void)wire_build_text(b, send, "sender", TREE_OPTIONAL, WIRE_NUMBER_MAX, &out->sender);
    struct slice path;
    bool secret = tree_string(send, "secret_file", TREE_OPTIONAL, &path, b->faults);
    if (secret)
        (void)wire_build_secret(b, tree_get(send, "secret_file"), &out->secret);
    const struct tree *alphabets = tree_group(send, "alphabets", TREE_OPTIONAL, b->faults);
    if (alphabets) {
        tree_only(alphabets, known, COUNT(known), b->faults);
        (void)wire_build_text(b, alphabets, "gsm7", TREE_REQUIRED, WIRE_ID_MAX,
                              &out->alphabet_gsm7);
        (void)wire_build_text(b, alphabets, "ucs2", TREE_REQUIRED, WIRE_ID_MAX,
                              &out->alphabet_ucs2);
    }
    out->repeats_reference = goes_out(out, WIRE_HOLE_REFERENCE);
    if (goes_out(out, WIRE_HOLE_SENDER) && !tree_get(send, "sender"))
        FAULT(send, "{sender} is used, but \"sender\" is missing");
    if (goes_out(out, WIRE_HOLE_SECRET) && !tree_get(send, "secret_file"))
        FAULT(send, "{secret} is used, but \"secret_file\" is missing");
    if (goes_out(out, WIRE_HOLE_ALPHABET) && !tree_get(send, "alphabets"))
        FAULT(send, "{alphabet} is used, but \"alphabets\" is missing");
    if (!all_read)
        return;
    if (secret && !goes_out(out, WIRE_HOLE_SECRET))
        FAULT(tree_get(send, "secret_file"), "the secret is given, but {secret} stands nowhere");
    if (!goes_out(out, WIRE_HOLE_TO) && !goes_out(out, WIRE_HOLE_TO_DIGITS))
        FAULT(send, "no field holds {to} or {to_digits}: nobody would get the text");
    if (!goes_out(out, WIRE_HOLE_TEXT))
        FAULT(send, "no field holds {text}");
}

static void timeouts(const struct wire_builder *b, const struct tree *send,
                     struct wire_send_profile *out) {
    static const char *const known[] = {"connect_s", "total_s"};
    int64_t connect_s = CONNECT_S, total_s = TOTAL_S;
    const struct tree *group = tree_group(send, "timeouts", TREE_OPTIONAL, b->faults);
    if (group) {
        tree_only(group, known, COUNT(known), b->faults);
        (void)tree_int(group, "connect_s", TREE_OPTIONAL, 1, LONGEST_S, &connect_s, b->faults);
        (void)tree_int(group, "total_s", TREE_OPTIONAL, 1, LONGEST_S, &total_s, b->faults);
        if (connect_s > total_s)
            FAULT(group, "\"connect_s\" must not be longer than \"total_s\" (%lld)",
                  (long long)total_s);
    }
    out->connect_ms = connect_s * 1000;
    out->total_ms = total_s * 1000;
}

/* -- the answer ----------------------------------------------------------------------------------
 */

static void accepted(const struct wire_builder *b, const struct tree *send,
                     struct wire_send_profile *out) {
    static const char *const known[] = {"statuses", "field", "equals"};
    const struct tree *group = tree_group(send, "accepted", TREE_OPTIONAL, b->faults);
    if (!group)
        return;
    tree_only(group, known, COUNT(known), b->faults);
    wire_build_statuses(b, group, "statuses", 200, 299, &out->accepted_statuses);
    (void)wire_build_path(b, group, "field", TREE_OPTIONAL, out->answer, false,
                          &out->accepted_field);
    (void)wire_build_text(b, group, "equals", TREE_OPTIONAL, WIRE_ID_MAX, &out->accepted_equals);
    if (!tree_get(group, "field") != !tree_get(group, "equals"))
        FAULT(group, "accepted: \"field\" and \"equals\" go together");
}

static void refused_and_later(const struct wire_builder *b, const struct tree *send,
                              struct wire_send_profile *out) {
    static const char *const known_refused[] = {"statuses", "field", "values"};
    static const char *const known_later[] = {"statuses"};
    const struct tree *group = tree_group(send, "refused", TREE_OPTIONAL, b->faults);
    if (group) {
        tree_only(group, known_refused, COUNT(known_refused), b->faults);
        wire_build_statuses(b, group, "statuses", 400, 599, &out->refused_statuses);
        (void)wire_build_path(b, group, "field", TREE_OPTIONAL, out->answer, false,
                              &out->refused_field);
        (void)wire_build_texts(b, group, "values", TREE_OPTIONAL, &out->refused_values);
        if (!tree_get(group, "field") != !tree_get(group, "values"))
            FAULT(group, "refused: \"field\" and \"values\" go together");
    }
    const struct tree *later = tree_group(send, "later", TREE_OPTIONAL, b->faults);
    if (later) {
        tree_only(later, known_later, COUNT(known_later), b->faults);
        wire_build_statuses(b, later, "statuses", 400, 599, &out->later_statuses);
    }
    for (int i = 0; i < out->later_statuses.count; i++)
        for (int k = 0; k < out->refused_statuses.count; k++)
            if (out->later_statuses.list[i] == out->refused_statuses.list[k])
                FAULT(later, "the status %lld is both refused and later",
                      (long long)out->later_statuses.list[i]);
    if (out->accepted_field.whole.n &&
        slice_eq(out->accepted_field.whole, out->refused_field.whole))
        for (int i = 0; i < out->refused_values.count; i++)
            if (slice_eq(out->refused_values.list[i], out->accepted_equals))
                FAULT(group, "\"%s\" is both accepted and refused", out->accepted_equals.p);
}

static void answer(const struct wire_builder *b, const struct tree *send, bool all_read,
                   struct wire_send_profile *out) {
    static const char *const forms[] = {"none", "json", "form"};
    static const char *const unclear[] = {"accepted", "later"};
    int form = out->body == WIRE_BODY_FORM ? 2 : 1, is_later = 0;
    (void)wire_build_word(b, send, "answer", TREE_OPTIONAL, forms, COUNT(forms), &form);
    out->answer = (enum wire_body)form;
    accepted(b, send, out);
    refused_and_later(b, send, out);
    (void)wire_build_path(b, send, "provider_id", TREE_OPTIONAL, out->answer, false,
                          &out->provider_id);
    (void)wire_build_path(b, send, "reason", TREE_OPTIONAL, out->answer, false, &out->reason);
    if (out->answer == WIRE_BODY_NONE &&
        (out->accepted_field.whole.n || out->refused_field.whole.n || out->provider_id.whole.n ||
         out->reason.whole.n))
        FAULT(tree_get(send, "answer"), "\"answer\" is none, yet a field of it is asked for");
    if (wire_build_word(b, send, "unclear", TREE_OPTIONAL, unclear, COUNT(unclear), &is_later))
        out->unclear_is_later = is_later;
    if (out->unclear_is_later && all_read && !out->repeats_reference)
        FAULT(tree_get(send, "unclear"),
              "\"unclear\" may be later only where {reference} goes out: the provider could not "
              "tell a repeat from a second text");
}

void wire_profile_send_build(const struct wire_builder *b, const struct tree *node,
                             struct wire_send_profile *out) {
    static const char *const known[] = {
        "method", "url",         "plain_http", "sender",  "secret_file", "alphabets",
        "body",   "headers",     "fields",     "answer",  "accepted",    "refused",
        "later",  "provider_id", "reason",     "unclear", "timeouts"};
    static const char *const bodies[] = {"json", "form"};
    int body = 0;
    tree_only(node, known, COUNT(known), b->faults);
    if (wire_build_word(b, node, "body", TREE_REQUIRED, bodies, COUNT(bodies), &body))
        out->body = body == 0 ? WIRE_BODY_JSON : WIRE_BODY_FORM;
    else
        out->body = WIRE_BODY_JSON; /* so that the rest is looked through as well */
    address(b, node, out);
    int before = b->faults->count;
    headers(b, node, out);
    fields(b, node, out);
    bool all_read = b->faults->count == before;
    fillings(b, node, all_read, out);
    timeouts(b, node, out);
    answer(b, node, all_read, out);
}
