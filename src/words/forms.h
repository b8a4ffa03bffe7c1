/* words/forms: which kinds of message there are and what may stand in each, read from the tree of
 * messages.conf. Pure. */
#ifndef WORDS_FORMS_H
#define WORDS_FORMS_H

#include "base/arena.h"
#include "base/fault.h"
#include "base/tree.h"

enum { FORMS_KINDS_MAX = 96, FORMS_SLOTS_MAX = 64, FORMS_CHOICES_MAX = 64 };

struct form {
    const char *name;
    uint64_t slots, needs; /* bits by slot */
    uint64_t choices;      /* bits by choice */
    bool records, whole;
};

struct forms {
    int kind_count; /* kinds are 1..kind_count */
    struct form kinds[FORMS_KINDS_MAX + 1];
    int slot_count;
    const char *slots[FORMS_SLOTS_MAX];
    int choice_count;
    const char *choices[FORMS_CHOICES_MAX];
};

/* Mistakes go into the faults. False: there are no kinds or no memory for them. */
bool forms_read(const struct tree *tree, struct arena *arena, struct faults *faults,
                struct forms *out);
int forms_kind(const struct forms *f, const char *name);   /* 0 if unknown */
int forms_choice(const struct forms *f, const char *name); /* -1 if unknown */

#endif
