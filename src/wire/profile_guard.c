/* profile_guard: see profile_guard.h. In: a guard's group and the secrets; out: how a request is
 * proven. There is no guard without a secret: a link open to all would book anybody's words. */
#include "wire/profile_guard.h"

#include "wire/guard.h"

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

/* For a signed guard the secret is turned into its key here, once. */
static void signing_key(const struct wire_builder *b, const struct tree *node, struct slice *s) {
    unsigned char key[WIRE_KEY_MOST];
    size_t n = 0;
    enum err e = wire_signing_key(*s, key, &n);
    if (e)
        faults_add(b->faults, node->file, node->line,
                   e == ERR_RANGE
                       ? "the secret in \"%.100s\" must be %d to %d bytes before base64"
                       : "the secret in \"%.100s\" must be whsec_ and base64 of %d to %d "
                         "bytes",
                   node->string.p, (int)WIRE_KEY_LEAST, (int)WIRE_KEY_MOST);
    else
        *s = wire_build_copy(b, node, (struct slice){(const char *)key, n});
}

static void secrets(const struct wire_builder *b, const struct tree *guard,
                    struct wire_guard *out) {
    struct wire_texts paths = {0};
    if (!wire_build_texts(b, guard, "secret_files", TREE_REQUIRED, &paths))
        return;
    const struct tree *list = tree_get(guard, "secret_files");
    if (list->count > WIRE_SECRETS_MAX) {
        faults_add(b->faults, list->file, list->line, "\"secret_files\" holds more than %d",
                   (int)WIRE_SECRETS_MAX);
        return;
    }
    for (const struct tree *t = list->child; t; t = t->next) {
        struct slice s = {0};
        if (!t->string.n || !wire_build_secret(b, t, &s))
            continue;
        if (out->kind == WIRE_GUARD_SIGNED)
            signing_key(b, t, &s);
        out->secrets[out->secret_count++] = s;
    }
}

void wire_profile_guard_build(const struct wire_builder *b, const struct tree *parent,
                              enum wire_body form, struct wire_guard *out) {
    static const char *const kinds[] = {"signed", "header", "field"};
    static const char *const known[][3] = {{"kind", "secret_files", NULL},
                                           {"kind", "secret_files", "header"},
                                           {"kind", "secret_files", "field"}};
    const struct tree *guard = tree_group(parent, "guard", TREE_REQUIRED, b->faults);
    int kind = 0;
    if (!guard || !wire_build_word(b, guard, "kind", TREE_REQUIRED, kinds, COUNT(kinds), &kind))
        return;
    out->kind = (enum wire_guard_kind)kind;
    tree_only(guard, known[kind], out->kind == WIRE_GUARD_SIGNED ? 2 : 3, b->faults);
    if (out->kind == WIRE_GUARD_HEADER &&
        wire_build_text(b, guard, "header", TREE_REQUIRED, WIRE_ID_MAX, &out->header) &&
        !wire_build_is_token(out->header)) {
        const struct tree *node = tree_get(guard, "header");
        faults_add(b->faults, node->file, node->line, "\"%s\" cannot be a header's name",
                   out->header.p);
    }
    if (out->kind == WIRE_GUARD_FIELD)
        (void)wire_build_path(b, guard, "field", TREE_REQUIRED, form, false, &out->field);
    secrets(b, guard, out);
}
