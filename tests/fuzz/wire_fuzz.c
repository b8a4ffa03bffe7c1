/* Whatever comes over the wire must be read or refused, within its limits. The first octet chooses
 * what the rest is: a text coming in, a receipt or an answer, in JSON or as a form; a Retry-After;
 * the headers of a signed request; a text to be sent. What is read is held against what the header
 * files promise. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "wire/bytes.h"
#include "wire/message.h"
#include "wire/send.h"

enum { ARENA_BYTES = 1 << 20, NOW_S = 1767323045 };

#define MUST(condition)                                                                            \
    do {                                                                                           \
        if (!(condition))                                                                          \
            abort();                                                                               \
    } while (0)

/* -- two profiles from trees made here -----------------------------------------------------------
 */

static struct arena memory;

static struct tree *node(enum tree_kind kind, const char *name) {
    struct tree *t = ARENA_NEW(&memory, struct tree);
    MUST(t);
    t->kind = kind;
    t->name = name;
    t->file = "inline";
    t->line = 1;
    return t;
}

static struct tree *text(const char *name, const char *value) {
    struct tree *t = node(TREE_STRING, name);
    t->string = slice_of(value);
    return t;
}

/* A group or list of the members, up to a NULL. */
static struct tree *holding(enum tree_kind kind, const char *name, struct tree *const *members) {
    struct tree *t = node(kind, name);
    const struct tree **next = &t->child;
    for (; *members; members++) {
        *next = *members;
        next = &(*members)->next;
        t->count++;
    }
    return t;
}

#define GROUP(name, ...) holding(TREE_GROUP, (name), (struct tree *const[]){__VA_ARGS__, NULL})
#define LIST(name, ...)  holding(TREE_LIST, (name), (struct tree *const[]){__VA_ARGS__, NULL})

static struct tree *field(const char *name, const char *value) {
    return GROUP("", text("name", name), text("value", value));
}

static struct tree *profile_tree(const char *body, struct tree *guard, struct tree *states) {
    struct tree *send =
        GROUP("send", text("url", "https://h.example/x"), text("body", body),
              LIST("fields", field("a.to", "{to}"), field("a.words", "{text}"),
                   field("mark", "{reference}")),
              GROUP("accepted", text("field", "a.ok"), text("equals", "true")),
              GROUP("refused", text("field", "a.why"), LIST("values", text("", "barred"))),
              text("provider_id", "a.id"), text("reason", "a.why"));
    struct tree *in =
        GROUP("in", text("body", body), text("sender", "n.from"), text("receiver", "n.to"),
              text("text", "n.words"), text("id", "n.id"), text("sent", "n.at"),
              text("sent_form", "rfc3339"), text("loop", "n.auto"), guard);
    struct tree *receipt_guard = GROUP("guard", text("kind", "field"), text("field", "word"),
                                       LIST("secret_files", text("", "plain")));
    struct tree *receipt =
        GROUP("receipt", text("body", body), text("id", "id"), text("reference", "mark"),
              text("state", "state"), states, receipt_guard);
    return GROUP("", text("link", "one"), send, in, receipt);
}

static const struct wire_profile *json, *form;

static const struct wire_profile *build(const struct tree *tree) {
    static const struct wire_secret list[] = {
        {{"signed", 6}, {"whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYX", 38}},
        {{"plain", 5}, {"word", 4}},
    };
    const struct wire_secrets secrets = {list, 2};
    struct faults faults = faults_make();
    const struct wire_profile *p = wire_profile_build(&memory, tree, &secrets, &faults);
    MUST(p && faults.count == 0);
    faults_free(&faults);
    return p;
}

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerInitialize(int *argc, char ***argv) {
    (void)argc;
    (void)argv;
    MUST(wire_start() == ERR_OK);
    memory = arena_make(ARENA_BYTES);
    json = build(profile_tree(
        "json", GROUP("guard", text("kind", "signed"), LIST("secret_files", text("", "signed"))),
        LIST("states", GROUP("", text("value", "there"), text("means", "delivered")))));
    form = build(profile_tree("form",
                              GROUP("guard", text("kind", "header"), text("header", "Word"),
                                    LIST("secret_files", text("", "plain"))),
                              text("means", "tp-status")));
    return 0;
}

/* -- what is tried -------------------------------------------------------------------------------
 */

static struct wire_request request(const struct wire_profile *p, struct slice body) {
    return (struct wire_request){.body = body,
                                 .content_type = p == json
                                                     ? SLICE("application/json")
                                                     : SLICE("application/x-www-form-urlencoded")};
}

static bool sound(struct slice s, size_t most) {
    return s.n <= most && slice_is_utf8(s) && !slice_has(s, '\0');
}

static void message(const struct wire_profile *p, struct slice body, struct arena *a) {
    const struct wire_request r = request(p, body);
    struct wire_message m;
    if (wire_read_message(p, &r, a, &m))
        return;
    MUST(m.sender.n && sound(m.sender, WIRE_NUMBER_MAX));
    MUST(m.receiver.n && sound(m.receiver, WIRE_NUMBER_MAX));
    MUST(sound(m.text, WIRE_TEXT_MAX) && sound(m.provider_id, WIRE_ID_MAX));
    MUST(m.provider_id.n || m.sent_s);
    struct wire_message again;
    MUST(wire_read_message(p, &r, a, &again) == ERR_OK);
    MUST(memcmp(m.print, again.print, sizeof m.print) == 0);
}

static void receipt(const struct wire_profile *p, struct slice body, struct arena *a) {
    const struct wire_request r = request(p, body);
    struct wire_receipt got;
    struct slice id;
    int64_t until_s;
    enum err e = wire_guard_check(p, WIRE_RECEIPT, &r, NOW_S, &id, &until_s);
    MUST(e == ERR_OK || e == ERR_AUTH);
    if (wire_read_receipt(p, &r, a, &got))
        return;
    MUST(got.reference.n || got.provider_id.n);
    MUST(sound(got.reference, WIRE_ID_MAX) && sound(got.provider_id, WIRE_ID_MAX));
    MUST(got.state == WIRE_DELIVERED || got.state == WIRE_PENDING || got.state == WIRE_FAILED);
}

static void answer(const struct wire_profile *p, struct slice body, struct arena *a) {
    static const int statuses[] = {200, 302, 404, 429, 503};
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++) {
        struct slice id, reason;
        enum wire_answer got = wire_read_answer(p, statuses[i], body, a, &id, &reason);
        MUST(got == WIRE_ACCEPTED || id.n == 0);
        MUST(got != WIRE_ACCEPTED || statuses[i] == 200);
        MUST(got == WIRE_ACCEPTED || reason.n);
        MUST(sound(reason, WIRE_REASON_MAX) && sound(id, WIRE_ID_MAX));
    }
}

/* Three lines are the three headers, the rest is the body. Nothing unsigned may pass. */
static void headers(struct slice data) {
    struct wire_header three[3] = {{SLICE("webhook-id"), {NULL, 0}},
                                   {SLICE("webhook-timestamp"), {NULL, 0}},
                                   {SLICE("webhook-signature"), {NULL, 0}}};
    for (int i = 0; i < 3; i++)
        (void)slice_cut(data, '\n', &three[i].value, &data);
    const struct wire_request r = {.body = data, .headers = three, .header_count = 3};
    struct slice id;
    int64_t until_s;
    enum err e = wire_guard_check(json, WIRE_IN, &r, NOW_S, &id, &until_s);
    MUST(e == ERR_OK || e == ERR_AUTH || e == ERR_STALE);
    int64_t at_s;
    char signature[WIRE_SIGNATURE_MAX];
    if (e == ERR_OK) {
        MUST(slice_int(three[1].value, &at_s) == ERR_OK);
        MUST(wire_sign(json->in.guard.secrets[0], id, at_s, data, signature) == ERR_OK);
    }
}

static void sending(const struct wire_profile *p, struct slice words, struct arena *a) {
    const struct wire_send s = {SLICE("+447700900123"), words, SLICE("r-1")};
    struct wire_outgoing out;
    if (wire_write_send(p, &s, a, &out))
        return;
    MUST(out.body.n && sound(out.body, WIRE_BODY_MAX));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t n) {
    if (!n)
        return 0;
    const struct wire_profile *p = data[0] & 1 ? form : json;
    struct slice rest = {(const char *)data + 1, n - 1};
    struct arena a = arena_make(ARENA_BYTES);
    switch (data[0] >> 1 & 7) {
    case 0:
        message(p, rest, &a);
        break;
    case 1:
        receipt(p, rest, &a);
        break;
    case 2:
        answer(p, rest, &a);
        break;
    case 3:
        headers(rest);
        break;
    case 4:
        sending(p, rest, &a);
        break;
    default: {
        int64_t wait_s = wire_retry_after(rest, NOW_S);
        MUST(wait_s >= -1 && wait_s <= WIRE_RETRY_MOST_S);
    }
    }
    arena_free(&a);
    return 0;
}
