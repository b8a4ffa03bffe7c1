/* build: see build.h. In: nodes of a tree; out: checked parts of a profile in its arena. All that
 * is wrong is the fault of who wrote the profile (or of the secret file it names). */
#include "wire/build.h"

#include <string.h>

void wire_build_nomem(const struct wire_builder *b, const struct tree *at) {
    faults_add(b->faults, at->file, at->line, "the profile is larger than its memory");
}

struct slice wire_build_copy(const struct wire_builder *b, const struct tree *at, struct slice s) {
    struct slice copy = arena_slice(b->a, s);
    if (!copy.p)
        wire_build_nomem(b, at);
    return copy;
}

static bool has_control(struct slice s) {
    for (size_t i = 0; i < s.n; i++)
        if ((unsigned char)s.p[i] < ' ' || s.p[i] == 0x7f)
            return true;
    return false;
}

/* The node's text when it can stand in a profile; `name` is told in the faults. */
static bool checked_text(const struct wire_builder *b, const struct tree *node, const char *name,
                         size_t most, struct slice *out) {
    struct slice s = node->string;
    if (!s.n)
        faults_add(b->faults, node->file, node->line, "\"%s\" %s", name,
                   node->name[0] ? "is empty" : "holds an empty text");
    else if (s.n > most)
        faults_add(b->faults, node->file, node->line, "\"%s\" is longer than %zu bytes", name,
                   most);
    else if (has_control(s))
        faults_add(b->faults, node->file, node->line,
                   "\"%s\" holds a line end or another control character", name);
    else if (!slice_is_utf8(s))
        faults_add(b->faults, node->file, node->line, "\"%s\" is not UTF-8", name);
    else
        *out = wire_build_copy(b, node, s);
    return out->n > 0;
}

bool wire_build_text(const struct wire_builder *b, const struct tree *group, const char *name,
                     enum tree_need need, size_t most, struct slice *out) {
    struct slice s;
    if (!tree_string(group, name, need, &s, b->faults))
        return false;
    return checked_text(b, tree_get(group, name), name, most, out);
}

bool wire_build_word(const struct wire_builder *b, const struct tree *group, const char *name,
                     enum tree_need need, const char *const *words, int count, int *out) {
    struct slice s;
    if (!tree_string(group, name, need, &s, b->faults))
        return false;
    for (int i = 0; i < count; i++)
        if (slice_eq(s, slice_of(words[i]))) {
            *out = i;
            return true;
        }
    struct buf list = buf_make(200);
    for (int i = 0; i < count; i++)
        buf_putf(&list, "%s\"%s\"", i == 0 ? "" : i == count - 1 ? " or " : ", ", words[i]);
    const struct tree *node = tree_get(group, name);
    const char *near = fault_near(s, words, count);
    faults_add(b->faults, node->file, node->line, "\"%s\" must be %s, not \"%.40s\"%s%s%s", name,
               buf_str(&list), s.p, near ? "; \"" : "", near ? near : "",
               near ? "\" was meant?" : "");
    buf_free(&list);
    return false;
}

/* NAME[] to NAME and *wrapped. */
static struct slice unwrap(struct slice segment, bool *wrapped) {
    *wrapped = slice_ends(segment, SLICE("[]"));
    return *wrapped ? slice_head(segment, segment.n - 2) : segment;
}

bool wire_build_path(const struct wire_builder *b, const struct tree *group, const char *name,
                     enum tree_need need, enum wire_body form, bool wraps, struct wire_path *out) {
    if (!wire_build_text(b, group, name, need, WIRE_ID_MAX, &out->whole))
        return false;
    if (form != WIRE_BODY_JSON)
        return true;
    const struct tree *node = tree_get(group, name);
    struct slice rest = out->whole, segment;
    bool more = true;
    while (more) {
        more = slice_cut(rest, '.', &segment, &rest);
        if (out->count == WIRE_PATH_MAX) {
            faults_add(b->faults, node->file, node->line, "\"%s\" is deeper than %d names", name,
                       (int)WIRE_PATH_MAX);
            return false;
        }
        bool wrapped;
        segment = unwrap(segment, &wrapped);
        if (!segment.n) {
            faults_add(b->faults, node->file, node->line, "\"%s\" has an empty name between dots",
                       name);
            return false;
        }
        if (wrapped && !wraps) {
            faults_add(b->faults, node->file, node->line,
                       "\"%s\": [] is for sending; in reading, a list of one is its element", name);
            return false;
        }
        out->segments[out->count] = segment;
        out->wrapped[out->count++] = wrapped;
    }
    return true;
}

/* The list with 1 to WIRE_LIST_MAX members of the kind, or NULL. */
static const struct tree *members(const struct wire_builder *b, const struct tree *group,
                                  const char *name, enum tree_need need, enum tree_kind kind) {
    const struct tree *list = tree_list(group, name, need, b->faults);
    if (!list)
        return NULL;
    bool fine = list->count > 0 && list->count <= WIRE_LIST_MAX;
    if (!fine)
        faults_add(b->faults, list->file, list->line, "\"%s\" must have 1 to %d members", name,
                   (int)WIRE_LIST_MAX);
    for (const struct tree *t = list->child; t && fine; t = t->next)
        if (t->kind != kind) {
            faults_add(b->faults, t->file, t->line, "\"%s\" must hold %s only", name,
                       kind == TREE_INT ? "whole numbers" : "texts in quotes");
            fine = false;
        }
    return fine ? list : NULL;
}

void wire_build_statuses(const struct wire_builder *b, const struct tree *group, const char *name,
                         int64_t least, int64_t most, struct wire_numbers *out) {
    const struct tree *list = members(b, group, name, TREE_OPTIONAL, TREE_INT);
    if (!list)
        return;
    int64_t *numbers = ARENA_ARRAY(b->a, (size_t)list->count, int64_t);
    if (!numbers) {
        wire_build_nomem(b, list);
        return;
    }
    int n = 0;
    for (const struct tree *t = list->child; t; t = t->next) {
        if (t->integer < least || t->integer > most)
            faults_add(b->faults, t->file, t->line, "\"%s\" must hold statuses from %lld to %lld",
                       name, (long long)least, (long long)most);
        for (int i = 0; i < n; i++)
            if (numbers[i] == t->integer)
                faults_add(b->faults, t->file, t->line, "\"%s\" holds %lld twice", name,
                           (long long)t->integer);
        numbers[n++] = t->integer;
    }
    *out = (struct wire_numbers){numbers, n};
}

bool wire_build_texts(const struct wire_builder *b, const struct tree *group, const char *name,
                      enum tree_need need, struct wire_texts *out) {
    const struct tree *list = members(b, group, name, need, TREE_STRING);
    if (!list)
        return false;
    struct slice *texts = ARENA_ARRAY(b->a, (size_t)list->count, struct slice);
    if (!texts) {
        wire_build_nomem(b, list);
        return false;
    }
    int n = 0;
    for (const struct tree *t = list->child; t; t = t->next) {
        if (!checked_text(b, t, name, WIRE_ID_MAX, &texts[n]))
            continue;
        for (int i = 0; i < n; i++)
            if (slice_eq(texts[i], texts[n]))
                faults_add(b->faults, t->file, t->line, "\"%s\" holds \"%s\" twice", name,
                           texts[n].p);
        n++;
    }
    *out = (struct wire_texts){texts, n};
    return n > 0;
}

static const struct wire_secret *secret_of(const struct wire_secrets *secrets, struct slice path) {
    for (int i = 0; secrets && i < secrets->count; i++)
        if (slice_eq(secrets->list[i].path, path))
            return &secrets->list[i];
    return NULL;
}

bool wire_build_secret(const struct wire_builder *b, const struct tree *node, struct slice *out) {
    if (!node->string.n) {
        faults_add(b->faults, node->file, node->line, "the secret's file has no name");
        return false;
    }
    const char *path = node->string.p;
    const struct wire_secret *found = secret_of(b->secrets, node->string);
    if (!found) {
        faults_add(b->faults, node->file, node->line, "the secret file \"%.100s\" was not read",
                   path);
        return false;
    }
    struct slice s = slice_trim(found->bytes);
    if (!s.n) {
        faults_add(b->faults, node->file, node->line, "the secret in \"%.100s\" is empty", path);
        return false;
    }
    if (s.n > WIRE_SECRET_MAX) {
        faults_add(b->faults, node->file, node->line,
                   "the secret in \"%.100s\" is longer than %d bytes", path, (int)WIRE_SECRET_MAX);
        return false;
    }
    for (size_t i = 0; i < s.n; i++)
        if (s.p[i] < ' ' || s.p[i] > '~') {
            faults_add(b->faults, node->file, node->line,
                       "the secret in \"%.100s\" must be one line of printable ASCII", path);
            return false;
        }
    *out = wire_build_copy(b, node, s);
    return out->n > 0;
}

bool wire_build_is_token(struct slice s) {
    for (size_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        bool fine = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                    (c && strchr("!#$%&'*+-.^_`|~", c));
        if (!fine)
            return false;
    }
    return s.n > 0;
}
