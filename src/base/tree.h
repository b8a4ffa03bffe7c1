/* tree: the neutral shape of a settings-like file once read: named, typed nodes that remember their
 * file and line. The conf room makes them from files; words, wire and main build their own checked
 * structures from them, so that none of these knows the file format. Owned by the arena it was made
 * in; read only. */
#ifndef BASE_TREE_H
#define BASE_TREE_H

#include "base/arena.h"
#include "base/fault.h"

enum tree_kind { TREE_GROUP, TREE_LIST, TREE_STRING, TREE_INT, TREE_FLOAT, TREE_BOOL };

struct tree {
    enum tree_kind kind;
    const char *name; /* "" for the root and for members of a list */
    const char *file;
    int line;
    struct slice string;             /* TREE_STRING; zero-ended too */
    int64_t integer;                 /* TREE_INT */
    double number;                   /* TREE_FLOAT and TREE_INT */
    bool yes;                        /* TREE_BOOL */
    const struct tree *child, *next; /* first member of a group or list; next sibling */
    int count;                       /* members */
};

/* The member of a group by name; NULL if there is none (or `group` is NULL). */
const struct tree *tree_get(const struct tree *group, const char *name);

/* Typed reads for the builders. A missing optional member leaves *out alone. A wrong kind, or a
 * missing required one, is added to the faults and false is returned. */
enum tree_need { TREE_OPTIONAL, TREE_REQUIRED };
bool tree_string(const struct tree *group, const char *name, enum tree_need need, struct slice *out,
                 struct faults *faults);
bool tree_int(const struct tree *group, const char *name, enum tree_need need, int64_t least,
              int64_t most, int64_t *out, struct faults *faults);
bool tree_bool(const struct tree *group, const char *name, enum tree_need need, bool *out,
               struct faults *faults);
const struct tree *tree_group(const struct tree *group, const char *name, enum tree_need need,
                              struct faults *faults);
const struct tree *tree_list(const struct tree *group, const char *name, enum tree_need need,
                             struct faults *faults);

/* Every member of the group whose name is not in `known` is a fault, with the near miss. */
void tree_only(const struct tree *group, const char *const *known, int count,
               struct faults *faults);

#endif
