/* send: see send.h. In: a text and a profile, later a status and an answer's body; out: a request,
 * later what the answer means. A text that cannot stand where the profile puts it is the caller's
 * fault; a wrong answer is the provider's and never an error here. Limits: WIRE_TEXT_MAX octets of
 * text, WIRE_BODY_MAX of body. */
#include "wire/send.h"

#include <jansson.h>

#include "sms/parts.h"
#include "wire/body.h"
#include "wire/form.h"
#include "wire/template.h"

/* -- writing -------------------------------------------------------------------------------------
 */

/* E.164: a plus sign and at most 15 digits, the first not 0 (ITU-T E.164, 6.2.1). */
static bool number_is_fine(struct slice s) {
    if (s.n < 4 || s.n > 16 || s.p[0] != '+' || s.p[1] == '0')
        return false;
    for (size_t i = 1; i < s.n; i++)
        if (s.p[i] < '0' || s.p[i] > '9')
            return false;
    return true;
}

/* So that it can stand in any header and any body as it is. */
static bool reference_is_fine(struct slice s) {
    for (size_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        bool fine = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                    c == '-' || c == '.' || c == '_';
        if (!fine)
            return false;
    }
    return s.n > 0 && s.n <= WIRE_ID_MAX;
}

static enum err check(const struct wire_send *s) {
    if (s->text.n > WIRE_TEXT_MAX)
        return ERR_TOO_LONG;
    if (!slice_is_utf8(s->text))
        return ERR_UTF8;
    bool fine = s->text.n && !slice_has(s->text, '\0') && number_is_fine(s->to) &&
                reference_is_fine(s->reference);
    return fine ? ERR_OK : ERR_SYNTAX;
}

static enum err fill(const struct wire_template *t, const struct wire_values *v, struct arena *a,
                     struct slice *out) {
    struct buf b = buf_make_in(a, WIRE_BODY_MAX);
    wire_template_put(t, v, &b);
    *out = (struct slice){buf_str(&b), b.n};
    return buf_err(&b);
}

/* What stands at `name` in the object (in its one-element list, when wrapped), made if missing. */
static json_t *inner_object(json_t *object, struct slice name, bool wrapped) {
    json_t *there = json_object_getn(object, name.p, name.n);
    if (there)
        return wrapped ? json_array_get(there, 0) : there;
    json_t *inner = json_object(), *value = inner;
    if (wrapped) {
        value = json_array();
        if (json_array_append(value, inner) != 0) {
            json_decref(inner);
            json_decref(value);
            return NULL;
        }
        json_decref(inner); /* the list holds it now */
    }
    return json_object_setn_new(object, name.p, name.n, value) == 0 ? inner : NULL;
}

static enum err json_value(enum wire_kind kind, struct slice s, json_t **out) {
    int64_t number;
    if (kind == WIRE_KIND_NUMBER) {
        if (slice_int(s, &number))
            return ERR_RANGE;
        *out = json_integer(number);
    } else if (kind == WIRE_KIND_BOOL) {
        *out = json_boolean(slice_eq(s, SLICE("true")));
    } else {
        *out = json_stringn(s.p, s.n);
    }
    return *out ? ERR_OK : ERR_NOMEM;
}

static enum err put_json(json_t *root, const struct wire_field *f, struct slice s) {
    json_t *object = root, *value = NULL;
    int last = f->path.count - 1;
    for (int i = 0; i < last && object; i++)
        object = inner_object(object, f->path.segments[i], f->path.wrapped[i]);
    if (!object)
        return ERR_NOMEM;
    enum err e = json_value(f->kind, s, &value);
    if (e)
        return e;
    if (f->path.wrapped[last]) {
        json_t *list = json_array();
        if (json_array_append_new(list, value) != 0) {
            json_decref(list);
            return ERR_NOMEM;
        }
        value = list;
    }
    struct slice name = f->path.segments[last];
    return json_object_setn_new(object, name.p, name.n, value) == 0 ? ERR_OK : ERR_NOMEM;
}

static int dump_to(const char *bytes, size_t n, void *out) {
    buf_put(out, (struct slice){bytes, n});
    return 0;
}

static enum err json_body(const struct wire_send_profile *sp, const struct wire_values *v,
                          struct arena *a, struct buf *out) {
    json_t *root = json_object();
    enum err e = root ? ERR_OK : ERR_NOMEM;
    for (int i = 0; i < sp->field_count && !e; i++) {
        struct slice s;
        e = fill(&sp->fields[i].value, v, a, &s);
        if (!e)
            e = put_json(root, &sp->fields[i], s);
    }
    if (!e && json_dump_callback(root, dump_to, out, JSON_COMPACT) != 0)
        e = ERR_NOMEM;
    json_decref(root);
    return e ? e : buf_err(out);
}

static enum err form_body(const struct wire_send_profile *sp, const struct wire_values *v,
                          struct arena *a, struct buf *out) {
    for (int i = 0; i < sp->field_count; i++) {
        struct slice s;
        enum err e = fill(&sp->fields[i].value, v, a, &s);
        if (e)
            return e;
        wire_form_put(out, sp->fields[i].path.whole, s);
    }
    return buf_err(out);
}

static enum err write_headers(const struct wire_send_profile *sp, const struct wire_values *v,
                              struct arena *a, struct wire_outgoing *out) {
    struct wire_header *all = ARENA_ARRAY(a, (size_t)sp->header_count, struct wire_header);
    if (!all)
        return ERR_NOMEM;
    for (int i = 0; i < sp->header_count; i++) {
        all[i].name = sp->headers[i].name;
        enum err e = fill(&sp->headers[i].value, v, a, &all[i].value);
        if (e)
            return e;
    }
    out->headers = all;
    out->header_count = sp->header_count;
    return ERR_OK;
}

static enum err alphabet_of(const struct wire_send_profile *sp, struct slice text, struct arena *a,
                            struct slice *out) {
    struct sms_size size;
    enum err e = sms_measure(text, a, &size);
    if (!e)
        *out = size.alphabet == SMS_GSM7 ? sp->alphabet_gsm7 : sp->alphabet_ucs2;
    return e;
}

enum err wire_write_send(const struct wire_profile *p, const struct wire_send *s, struct arena *a,
                         struct wire_outgoing *out) {
    const struct wire_send_profile *sp = &p->send;
    struct wire_values v = {.to = s->to,
                            .text = s->text,
                            .reference = s->reference,
                            .sender = sp->sender,
                            .secret = sp->secret};
    struct wire_outgoing o = {.method = sp->method,
                              .url = sp->url,
                              .connect_ms = sp->connect_ms,
                              .total_ms = sp->total_ms};
    struct buf body = buf_make_in(a, WIRE_BODY_MAX);
    enum err e = check(s);
    if (!e && sp->alphabet_gsm7.n)
        e = alphabet_of(sp, s->text, a, &v.alphabet);
    if (!e)
        e = write_headers(sp, &v, a, &o);
    if (!e && sp->body == WIRE_BODY_JSON)
        e = json_body(sp, &v, a, &body);
    else if (!e)
        e = form_body(sp, &v, a, &body);
    if (e)
        return e;
    o.content_type = sp->body == WIRE_BODY_JSON ? SLICE("application/json")
                                                : SLICE("application/x-www-form-urlencoded");
    o.body = buf_slice(&body);
    *out = o;
    return ERR_OK;
}

/* -- the answer ----------------------------------------------------------------------------------
 */

static bool listed(const struct wire_numbers *numbers, int status) {
    for (int i = 0; i < numbers->count; i++)
        if (numbers->list[i] == status)
            return true;
    return false;
}

static bool says_refused(const struct wire_send_profile *sp, const struct wire_tree *t,
                         struct arena *a) {
    struct slice s;
    if (!t || wire_tree_text(a, t, &sp->refused_field, WIRE_ID_MAX, &s))
        return false;
    for (int i = 0; i < sp->refused_values.count; i++)
        if (slice_eq(sp->refused_values.list[i], s))
            return true;
    return false;
}

/* A 2xx; `t` is NULL where the body could not be read. */
static enum wire_answer read_success(const struct wire_send_profile *sp, int status,
                                     const struct wire_tree *t, struct arena *a, bool *clear) {
    enum wire_answer unclear = sp->unclear_is_later ? WIRE_LATER : WIRE_ACCEPTED;
    *clear = false;
    if (sp->accepted_statuses.count && !listed(&sp->accepted_statuses, status))
        return unclear;
    if (sp->answer != WIRE_BODY_NONE && !t)
        return unclear;
    if (sp->accepted_field.whole.n) {
        struct slice s;
        enum err e = wire_tree_text(a, t, &sp->accepted_field, WIRE_ID_MAX, &s);
        if (e)
            return unclear;
        *clear = true;
        return slice_eq(s, sp->accepted_equals) ? WIRE_ACCEPTED : WIRE_LATER;
    }
    *clear = true;
    return WIRE_ACCEPTED;
}

static enum wire_answer judge(const struct wire_send_profile *sp, int status,
                              const struct wire_tree *t, struct arena *a, bool *clear) {
    *clear = true;
    if (status <= 0)
        return WIRE_LATER;
    if (says_refused(sp, t, a) || listed(&sp->refused_statuses, status))
        return WIRE_REFUSED;
    if (listed(&sp->later_statuses, status) || status == 408 || status == 425 || status == 429)
        return WIRE_LATER;
    if (status >= 400 && status <= 499)
        return WIRE_REFUSED;
    if (status < 200 || status > 299)
        return WIRE_LATER;
    return read_success(sp, status, t, a, clear);
}

/* The provider's own words, made fit for a log: control characters to "?", long runs of digits (a
 * telephone number may be among them) to "*", cut at a whole character. */
static void put_reason(struct buf *b, struct slice s) {
    enum { DIGITS_SHOWN = 5 };
    while (s.n) {
        size_t digits = 0;
        while (digits < s.n && s.p[digits] >= '0' && s.p[digits] <= '9')
            digits++;
        if (digits) {
            for (size_t i = 0; i < digits; i++)
                buf_putc(b, digits > DIGITS_SHOWN ? '*' : s.p[i]);
            s = slice_from(s, digits);
            continue;
        }
        uint32_t c;
        if (slice_codepoint(&s, &c))
            return;
        buf_put_codepoint(b, c < 0x20 || (c >= 0x7f && c < 0xa0) ? '?' : c);
    }
}

static struct slice reason_of(const struct wire_send_profile *sp, int status, bool clear,
                              const struct wire_tree *t, struct arena *a) {
    struct buf b = buf_make_in(a, WIRE_REASON_MAX);
    struct slice words;
    if (status <= 0)
        buf_puts(&b, "no answer");
    else
        buf_putf(&b, "%sstatus %d", clear ? "" : "unclear: ", status);
    if (t && (!wire_tree_text(a, t, &sp->reason, WIRE_BODY_MAX, &words) ||
              !wire_tree_text(a, t, &sp->refused_field, WIRE_BODY_MAX, &words))) {
        buf_puts(&b, ", ");
        put_reason(&b, words); /* what no longer fits is left away */
    }
    return b.n ? buf_slice(&b) : SLICE("no memory");
}

enum wire_answer wire_read_answer(const struct wire_profile *p, int http_status, struct slice body,
                                  struct arena *a, struct slice *provider_id,
                                  struct slice *reason) {
    const struct wire_send_profile *sp = &p->send;
    struct wire_tree *t = NULL;
    *provider_id = *reason = (struct slice){"", 0};
    if (sp->answer != WIRE_BODY_NONE && http_status > 0 &&
        wire_tree_read(a, sp->answer, body, &t) != ERR_OK)
        t = NULL;
    bool clear;
    enum wire_answer answer = judge(sp, http_status, t, a, &clear);
    struct slice id;
    if (answer == WIRE_ACCEPTED && t &&
        wire_tree_text(a, t, &sp->provider_id, WIRE_ID_MAX, &id) == ERR_OK)
        *provider_id = slice_trim(id);
    if (answer != WIRE_ACCEPTED || !clear)
        *reason = reason_of(sp, http_status, clear, t, a);
    wire_tree_free(t);
    return answer;
}
