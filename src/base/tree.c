/* tree: typed, checked reads of a settings-like tree. Every mistake goes into the faults with the
 * line it stands on; nothing else fails. */
#include "base/tree.h"

#include <string.h>

static const char *kind_name(enum tree_kind kind) {
    static const char *const names[] = {"a group { }",    "a list ( )", "a text in quotes",
                                        "a whole number", "a number",   "true or false"};
    return names[kind];
}

const struct tree *tree_get(const struct tree *group, const char *name) {
    if (!group)
        return NULL;
    for (const struct tree *t = group->child; t; t = t->next)
        if (strcmp(t->name, name) == 0)
            return t;
    return NULL;
}

/* The member when it is there and of the kind; else NULL, with a fault where one is due. */
static const struct tree *member(const struct tree *group, const char *name, enum tree_need need,
                                 enum tree_kind kind, struct faults *faults) {
    const struct tree *t = tree_get(group, name);
    if (!t) {
        if (need == TREE_REQUIRED && group)
            faults_add(faults, group->file, group->line, "%s%s\"%s\" is missing (%s)", group->name,
                       group->name[0] ? ": " : "", name, kind_name(kind));
        return NULL;
    }
    if (t->kind != kind) {
        faults_add(faults, t->file, t->line, "\"%s\" must be %s", name, kind_name(kind));
        return NULL;
    }
    return t;
}

bool tree_string(const struct tree *group, const char *name, enum tree_need need, struct slice *out,
                 struct faults *faults) {
    const struct tree *t = member(group, name, need, TREE_STRING, faults);
    if (t)
        *out = t->string;
    return t != NULL;
}

bool tree_int(const struct tree *group, const char *name, enum tree_need need, int64_t least,
              int64_t most, int64_t *out, struct faults *faults) {
    const struct tree *t = member(group, name, need, TREE_INT, faults);
    if (!t)
        return false;
    if (t->integer < least || t->integer > most) {
        faults_add(faults, t->file, t->line, "\"%s\" must be from %lld to %lld", name,
                   (long long)least, (long long)most);
        return false;
    }
    *out = t->integer;
    return true;
}

bool tree_bool(const struct tree *group, const char *name, enum tree_need need, bool *out,
               struct faults *faults) {
    const struct tree *t = member(group, name, need, TREE_BOOL, faults);
    if (t)
        *out = t->yes;
    return t != NULL;
}

const struct tree *tree_group(const struct tree *group, const char *name, enum tree_need need,
                              struct faults *faults) {
    return member(group, name, need, TREE_GROUP, faults);
}

const struct tree *tree_list(const struct tree *group, const char *name, enum tree_need need,
                             struct faults *faults) {
    return member(group, name, need, TREE_LIST, faults);
}

void tree_only(const struct tree *group, const char *const *known, int count,
               struct faults *faults) {
    if (!group)
        return;
    for (const struct tree *t = group->child; t; t = t->next) {
        bool found = false;
        for (int i = 0; i < count && !found; i++)
            found = strcmp(t->name, known[i]) == 0;
        if (found || !t->name[0])
            continue;
        const char *near = fault_near(slice_of(t->name), known, count);
        if (near)
            faults_add(faults, t->file, t->line, "\"%s\" is not known here; \"%s\" was meant?",
                       t->name, near);
        else
            faults_add(faults, t->file, t->line, "\"%s\" is not known here", t->name);
    }
}
