/* survival: how many of the fish put into a pond are thought alive, from what was put in, taken
 * out, found dead and counted, in the order of hours. Between these fish are lost unseen: fry by
 * the book's share of the nursery, straight over its month, larvae put straight into a pond over
 * their forty days, and whatever is larger or stays longer by that of growing on. Dead fish that
 * are seen are part of that loss, not beside it: only when more are found dead than were thought
 * lost does the number fall. What is taken out was alive. Pure. Three lanes are walked, low, middle
 * and high; counts up to 10^12, hours not falling (an earlier one counts as the last). */
#ifndef TRADE_SURVIVAL_H
#define TRADE_SURVIVAL_H

#include "trade/lanes.h"

enum survival_kind {
    SURVIVAL_FRY,    /* of about two weeks */
    SURVIVAL_FENCED, /* larvae straight into a fenced pond */
    SURVIVAL_OPEN,   /* into an unfenced one */
    SURVIVAL_GROWN   /* fingerlings and larger ones */
};

struct survival_range {
    int64_t low, middle, high;
};

/* Alive of a million, so many hours after they were put in; all at 0 or before. */
struct survival_range survival_after(enum survival_kind kind, int64_t hours);

struct survival_walk {
    enum survival_kind kind;
    int64_t hours; /* of the last event, from the first stocking */
    struct lanes lanes;
    double seen[LANES]; /* alive after the last event, less those found dead since */
};

struct survival_walk survival_walk_make(enum survival_kind kind, int64_t count);
void survival_put(struct survival_walk *walk, int64_t hours, int64_t count);
/* Nobody counted them: each lane takes its own, low to low. */
void survival_put_about(struct survival_walk *walk, int64_t hours, struct survival_range count);
void survival_take(struct survival_walk *walk, int64_t hours, int64_t count);
void survival_die(struct survival_walk *walk, int64_t hours, int64_t count);
void survival_count(struct survival_walk *walk, int64_t hours,
                    int64_t count); /* so many are there */
struct survival_range survival_now(const struct survival_walk *walk, int64_t hours);

#endif
