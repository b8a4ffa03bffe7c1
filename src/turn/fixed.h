/* fixed: what is said of a text that was put right. */
#ifndef TURN_FIXED_H
#define TURN_FIXED_H

#include "turn/inside.h"

/* To the sender: the new value as understood, what it was, and the next step; to whoever had
 * reported it and to the owners: who changed what. `tag` is the one that the sender named. */
void fixed_say(struct turn *t, struct tag tag, const struct entry *was, const struct entry *now);

/* A report that was about another fish; `spawn` is the one it is about now, 0 of
 * ponds. */
void fixed_say_fish(struct turn *t, struct tag was, struct tag now, const struct entry *report,
                    int64_t spawn);

/* What would be put right, its value or its hour, is as it should be. */
void fixed_say_same(struct turn *t, struct tag tag, const struct entry *n, bool hour);

#endif
