/* again: what was reported, with another value or of another hour. */
#ifndef TURN_AGAIN_H
#define TURN_AGAIN_H

#include "turn/inside.h"

#define AGAIN_READINGS                                                                             \
    (SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_PH) | SLOT_BIT(SLOT_AMMONIA) | SLOT_BIT(SLOT_NITRITE) | \
     SLOT_BIT(SLOT_SECCHI))

/* Which of the entry's values a weight, a count behind FIX would replace; -1 none. */
int again_weight(const struct entry *n);
int again_count(const struct entry *n);
/* Feed given, bought or in the store. */
bool again_feed(const struct entry *n);
/* What was read of water beside its degrees; 0: nothing. */
enum reading again_reading(const struct entry *n);
/* The text of this entry injected, too. */
bool again_injects(const struct turn *t, const struct entry *n);
/* What swam in the pond that was fed, or NULL. */
const struct cycle *again_fed(const struct farm_state *st, const struct entry *n);

void again_cannot_be(struct turn *t, const struct entry *old);
/* What is taken out of a cycle or counted there, by the farm's state as it is. */
bool again_cycle_fits(struct turn *t, const struct request *r, const struct cycle *c,
                      struct entry *n);
/* The entry `n` with its new values, asked and refused as a first report; in `was` the old ones as
 * they were understood. False: an answer was given. */
bool again_values(struct turn *t, const struct request *r, const struct entry *old,
                  struct entry *was, struct entry *n);
/* How much later it was; asked when that is much. False: an answer was given. */
bool again_later(struct turn *t, const struct request *r, const struct entry *old,
                 int64_t *later_s);

/* A hatch that is put right has as many larvae as are known to have left since. False: it was
 * asked. */
bool again_hatch_covers(struct turn *t, const struct request *r, const struct entry *now);

#endif
