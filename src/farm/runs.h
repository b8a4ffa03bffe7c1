/* runs: what a farm's own runs gave, for trade's learn.h: eggs per kg of female of each stripping
 * that was weighed, hatches that were reported, larvae alive at two weeks, fry alive after the
 * nursery pond, growth between samples. Reckoned from a state when asked, kept nowhere. Pure.
 *
 * A spawn or cycle is a run only where both ends of it were said: numbers that the farm was only
 * thought to have ("all", without a count) are the book's own and teach nothing.
 *   eggs      stripped and weighed; of several females in one bowl, over all their weights
 *   hatch     a hatch reported, as share or count, over all eggs stripped, white ones too; one of
 *             none is a run, too, and so are eggs that were lost
 *   survive   hatch reported and then a count on the days 12 to 16, or all moved and sold from the
 *             day 12 on; not where over a tenth of them were taken out before. All lost
 *             before is a run of none, unless fewer than a tenth of the eggs had hatched: those
 *             are given up
 *   nursery   a cycle of two-week fry, closed after 20 to 60 days, or sooner when fewer than a
 * tenth came out: all taken out, over what was put tgc       samples over four weeks or more since
 * the last change What happened after the instant asked about says nothing. A farm does not say its
 * seasons: they are unknown. */
#ifndef FARM_RUNS_H
#define FARM_RUNS_H

#include "farm/state.h"
#include "trade/learn.h"
#include "trade/order.h"

enum { RUNS_MAX = 64 };

struct run_of {
    int64_t subject; /* spawn, or of nursery and TGC a cycle */
    int64_t at_s;    /* when its end was reported */
};
struct runs {
    enum learn_kind kind;
    int count; /* the newest, when there are more; in the order of their beginning */
    struct learn_run runs[RUNS_MAX];
    struct run_of of[RUNS_MAX]; /* beside each */
};

/* By all that had happened until at_s. `state` may hold more. */
struct runs runs_of(const struct farm_state *state, enum learn_kind kind, int64_t at_s);

/* The hatchery's water that is expected: the mean of its readings in the last month;
 * LEARN_WATER_UNKNOWN: none was read. */
int64_t runs_water(const struct farm_state *state, int64_t at_s);

/* Circumstances of now: its last reading, if it is fresh. */
struct learn_when runs_when(const struct farm_state *state, int64_t at_s);

struct learn_rate runs_rate(const struct farm_state *state, enum learn_kind kind,
                            struct learn_when when, int64_t at_s);
struct order_rates runs_rates(const struct farm_state *state, struct learn_when when, int64_t at_s);

#endif
