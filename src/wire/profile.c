/* profile: see profile.h. In: a tree and the secrets' bytes; out: a checked profile, or faults, all
 * at once, each the fault of who wrote the profile or keeps the secrets. */
#include "wire/profile.h"

#include "wire/build.h"
#include "wire/profile_guard.h"
#include "wire/profile_send.h"

#define COUNT(list)    ((int)(sizeof(list) / sizeof(list)[0]))
#define FAULT(at, ...) faults_add(b->faults, (at)->file, (at)->line, __VA_ARGS__)

static const char *const bodies[] = {"json", "form"};

/* -- which files are needed ----------------------------------------------------------------------
 */

enum { PATHS_MAX = 1 + 2 * WIRE_SECRETS_MAX };

static void path_add(struct slice *paths, int *count, const struct tree *node) {
    if (!node || node->kind != TREE_STRING || !node->string.n || *count == PATHS_MAX)
        return;
    for (int i = 0; i < *count; i++)
        if (slice_eq(paths[i], node->string))
            return;
    paths[(*count)++] = node->string;
}

static void guard_paths(struct slice *paths, int *count, const struct tree *part) {
    if (!part || part->kind != TREE_GROUP)
        return;
    const struct tree *guard = tree_get(part, "guard");
    if (!guard || guard->kind != TREE_GROUP)
        return;
    const struct tree *list = tree_get(guard, "secret_files");
    for (const struct tree *t = list && list->kind == TREE_LIST ? list->child : NULL; t;
         t = t->next)
        path_add(paths, count, t);
}

enum err wire_profile_secret_files(struct arena *a, const struct tree *tree, struct slice **paths,
                                   int *count) {
    *paths = ARENA_ARRAY(a, PATHS_MAX, struct slice);
    *count = 0;
    if (!*paths)
        return ERR_NOMEM;
    const struct tree *send = tree_get(tree, "send");
    if (send && send->kind == TREE_GROUP)
        path_add(*paths, count, tree_get(send, "secret_file"));
    guard_paths(*paths, count, tree_get(tree, "in"));
    guard_paths(*paths, count, tree_get(tree, "receipt"));
    return ERR_OK;
}

/* -- the parts -----------------------------------------------------------------------------------
 */

static void link_name(const struct wire_builder *b, const struct tree *tree, struct slice *out) {
    if (!wire_build_text(b, tree, "link", TREE_REQUIRED, WIRE_LINK_MAX, out))
        return;
    for (size_t i = 0; i < out->n; i++) {
        char c = out->p[i];
        bool fine =
            (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
        if (!fine) {
            FAULT(tree_get(tree, "link"), "\"link\" may hold letters a to z, digits and - only");
            return;
        }
    }
}

static enum wire_body body_of(const struct wire_builder *b, const struct tree *part) {
    int body = 0;
    (void)wire_build_word(b, part, "body", TREE_REQUIRED, bodies, COUNT(bodies), &body);
    return body == 0 ? WIRE_BODY_JSON : WIRE_BODY_FORM;
}

static void read_in(const struct wire_builder *b, const struct tree *in,
                    struct wire_in_profile *out) {
    static const char *const known[] = {"body", "sender",    "receiver", "text", "id",
                                        "sent", "sent_form", "loop",     "guard"};
    static const char *const forms[] = {"rfc3339", "unix", "unix-ms"};
    tree_only(in, known, COUNT(known), b->faults);
    out->body = body_of(b, in);
    struct {
        const char *name;
        enum tree_need need;
        struct wire_path *path;
    } const paths[] = {
        {"sender", TREE_REQUIRED, &out->sender}, {"receiver", TREE_REQUIRED, &out->receiver},
        {"text", TREE_REQUIRED, &out->text},     {"id", TREE_OPTIONAL, &out->id},
        {"sent", TREE_OPTIONAL, &out->sent},     {"loop", TREE_OPTIONAL, &out->loop},
    };
    for (int i = 0; i < COUNT(paths); i++)
        (void)wire_build_path(b, in, paths[i].name, paths[i].need, out->body, false, paths[i].path);
    int form = 0;
    enum tree_need need = tree_get(in, "sent") ? TREE_REQUIRED : TREE_OPTIONAL;
    if (wire_build_word(b, in, "sent_form", need, forms, COUNT(forms), &form))
        out->sent_form = (enum wire_sent_form)form;
    if (!tree_get(in, "sent") && tree_get(in, "sent_form"))
        FAULT(tree_get(in, "sent_form"), "\"sent_form\" is given, but \"sent\" is missing");
    if (!tree_get(in, "sent") && !tree_get(in, "id"))
        FAULT(in, "in: one of \"id\" and \"sent\" is needed, else a text delivered again cannot be "
                  "told from a second one");
    wire_profile_guard_build(b, in, out->body, &out->guard);
}

static const char *const meanings[] = {"delivered", "pending", "failed"};

static void state(const struct wire_builder *b, const struct tree *t,
                  struct wire_receipt_profile *out, struct wire_state_name *all) {
    static const char *const known[] = {"value", "means"};
    if (t->kind != TREE_GROUP) {
        FAULT(t, "\"states\" must hold groups { value = ...; means = ...; } only");
        return;
    }
    tree_only(t, known, COUNT(known), b->faults);
    struct wire_state_name *s = &all[out->state_count];
    int means = 0;
    bool named = wire_build_text(b, t, "value", TREE_REQUIRED, WIRE_ID_MAX, &s->value);
    if (!wire_build_word(b, t, "means", TREE_REQUIRED, meanings, COUNT(meanings), &means) || !named)
        return;
    s->means = (enum wire_state)means;
    for (int i = 0; i < out->state_count; i++)
        if (slice_eq(all[i].value, s->value))
            FAULT(tree_get(t, "value"), "the state \"%s\" stands twice", s->value.p);
    out->state_count++;
}

static void states(const struct wire_builder *b, const struct tree *receipt,
                   struct wire_receipt_profile *out) {
    static const char *const numbers[] = {"tp-status"};
    int ignored = 0;
    out->tp_status = wire_build_word(b, receipt, "means", TREE_OPTIONAL, numbers, 1, &ignored);
    const struct tree *list = tree_list(receipt, "states", TREE_OPTIONAL, b->faults);
    if (!tree_get(receipt, "means") == !tree_get(receipt, "states"))
        FAULT(receipt, "receipt: one of \"states\" and \"means\" is needed, not both");
    int others = 0;
    if (wire_build_word(b, receipt, "others", TREE_OPTIONAL, meanings, COUNT(meanings), &others)) {
        out->others_known = true;
        out->others = (enum wire_state)others;
        if (tree_get(receipt, "means"))
            FAULT(tree_get(receipt, "others"),
                  "\"others\" goes with \"states\": every TP-Status has its meaning");
    }
    if (!list)
        return;
    if (list->count < 1 || list->count > WIRE_LIST_MAX) {
        FAULT(list, "\"states\" must have 1 to %d members", (int)WIRE_LIST_MAX);
        return;
    }
    struct wire_state_name *all = ARENA_ARRAY(b->a, (size_t)list->count, struct wire_state_name);
    if (!all) {
        wire_build_nomem(b, list);
        return;
    }
    out->states = all;
    for (const struct tree *t = list->child; t; t = t->next)
        state(b, t, out, all);
}

static void read_receipt(const struct wire_builder *b, const struct tree *receipt,
                         const struct wire_send_profile *send, bool send_is_fine,
                         struct wire_receipt_profile *out) {
    static const char *const known[] = {"body",   "id",    "reference", "state",
                                        "states", "means", "others",    "guard"};
    tree_only(receipt, known, COUNT(known), b->faults);
    out->given = true;
    out->body = body_of(b, receipt);
    (void)wire_build_path(b, receipt, "id", TREE_OPTIONAL, out->body, false, &out->id);
    (void)wire_build_path(b, receipt, "reference", TREE_OPTIONAL, out->body, false,
                          &out->reference);
    (void)wire_build_path(b, receipt, "state", TREE_REQUIRED, out->body, false, &out->state);
    bool by_id = tree_get(receipt, "id"), by_reference = tree_get(receipt, "reference");
    if (!by_id && !by_reference)
        FAULT(receipt, "receipt: one of \"id\" and \"reference\" is needed");
    else if (send_is_fine && !(by_id && send->provider_id.whole.n) &&
             !(by_reference && send->repeats_reference))
        FAULT(receipt,
              "receipt: no text can be found again by it: \"id\" needs \"provider_id\" in send, "
              "\"reference\" needs {reference} there");
    states(b, receipt, out);
    wire_profile_guard_build(b, receipt, out->body, &out->guard);
}

struct wire_profile *wire_profile_build(struct arena *a, const struct tree *tree,
                                        const struct wire_secrets *secrets, struct faults *faults) {
    static const char *const known[] = {"link", "send", "in", "receipt"};
    const struct wire_builder builder = {a, secrets, faults}, *b = &builder;
    int before = faults->count;
    struct wire_profile *p = ARENA_NEW(a, struct wire_profile);
    if (!p) {
        wire_build_nomem(b, tree);
        return NULL;
    }
    tree_only(tree, known, COUNT(known), faults);
    link_name(b, tree, &p->link);
    const struct tree *send = tree_group(tree, "send", TREE_REQUIRED, faults);
    int send_before = faults->count;
    if (send)
        wire_profile_send_build(b, send, &p->send);
    bool send_is_fine = send && faults->count == send_before;
    const struct tree *in = tree_group(tree, "in", TREE_REQUIRED, faults);
    if (in)
        read_in(b, in, &p->in);
    const struct tree *receipt = tree_group(tree, "receipt", TREE_OPTIONAL, faults);
    if (receipt)
        read_receipt(b, receipt, &p->send, send_is_fine, &p->receipt);
    return faults->count == before ? p : NULL;
}
