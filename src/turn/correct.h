/* correct: what undo and fix share: what a tag means, whose text may be put right by whom, and the
 * taking back of a text. */
#ifndef TURN_CORRECT_H
#define TURN_CORRECT_H

#include "turn/inside.h"

enum { CORRECT_SUBJECTS_MAX = 16 };

struct correct_subjects {
    struct {
        enum subject_kind kind;
        int64_t id;
        int64_t from_s, until_s; /* what happened to it before and after is not meant */
    } all[CORRECT_SUBJECTS_MAX];
    int count;
    struct tag tag;
};

/* A fish and her newest spawn, with the bowl that her eggs went into and the tanks that she and
 * they were in, while they were; a pond and its newest cycle; a tank. */
struct correct_subjects correct_subjects_of(const struct turn *t, struct tag tag);

/* The entry is about one of them. */
bool correct_about(const struct correct_subjects *s, const struct entry *n);

/* How near an entry is to those meant by a tag (hers.c). */
enum correct_near {
    CORRECT_FAR,  /* not about them, or of a text that injects another one */
    CORRECT_TANK, /* of a tank that she shared */
    CORRECT_OWN
};
enum correct_near correct_near(struct turn *t, const struct correct_subjects *s,
                               const struct entry *n);

/* The newest entry in force about them that `wanted` takes; NULL none. What was put right keeps its
 * place: a fix of the injection is not newer than the strip. Without `wanted`: of the last text.
 * Their own comes before what is of a shared tank. */
const struct entry *correct_newest(struct turn *t, const struct correct_subjects *s,
                                   bool (*wanted)(const struct entry *, const struct request *),
                                   const struct request *r);

/* The text that a fix put right, through all fixes of it. */
int64_t correct_first_said(const struct turn *t, int64_t message);

/* What this phone said it may take back and put right; what another one said only the owner, after
 * he has seen it. Both name the text `shown`. */
bool correct_refused(struct turn *t, int64_t message, int64_t shown, enum reply_id reply);
/* The same of his own that was said long ago. False: it was asked. */
bool correct_sure(struct turn *t, const struct request *r, int64_t message, int64_t shown,
                  enum reply_id reply);

/* Takes the message back. One that was a fix itself held back what it put right: that is held back
 * by the new one. False: too many fixes of one text, it was said so. */
bool correct_take_back(struct turn *t, int64_t message);

/* A text to one of the others, unless he wants none. */
void correct_tell(struct turn *t, int person, const struct reply *reply);

#endif
