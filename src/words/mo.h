/* words/mo: a compiled catalogue (GNU .mo) as a table sorted by msgctxt. Pure. */
#ifndef WORDS_MO_H
#define WORDS_MO_H

#include "base/arena.h"
#include "base/fault.h"

enum { MO_ENTRIES_MAX = 20000 };

struct mo_entry {
    struct slice context; /* "reply.injected" */
    struct slice text;    /* the first form, when there are plural ones */
};

struct mo {
    struct mo_entry *entries; /* sorted by context, each once */
    int count;
    struct slice header; /* the text of the entry with the empty key */
};

/* `bytes` are any bytes; they must outlive the table, which points into them. ERR_SETTINGS: they
 * are no catalogue, or one that cannot be used, and one fault says why (`name` stands for the
 * file). ERR_NOMEM: the arena is used up. */
enum err mo_read(struct slice bytes, const char *name, struct arena *arena, struct faults *faults,
                 struct mo *out) MUST_LOOK;

/* The text, or an empty slice. */
struct slice mo_get(const struct mo *mo, struct slice context);

#endif
