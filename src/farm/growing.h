/* growing: what is thought to swim in a cycle at an instant: how many, how heavy, how they grow. It
 * is reckoned from the cycle's events when it is asked for and kept nowhere. Pure.
 *
 * Numbers by trade's survival, of the kind that was stocked first; weights by trade's growth: what
 * was stocked, each sample and each catch that was weighed (unless it was of the big ones) is a
 * point. What was sold was picked: its weight is a point only where none is known. Where fish of
 * another size come in or the big ones go out the mean changes at once, and the growth goes on.
 * Water: the pond's own readings, else the hatchery's, else the book's as for a ration, and
 * `guessed` says so.
 */
#ifndef FARM_GROWING_H
#define FARM_GROWING_H

#include "farm/state.h"
#include "trade/growth.h"
#include "trade/survival.h"

enum { GROWING_POINTS_MAX = 64 };

struct growing_points {
    struct growth_sample points[GROWING_POINTS_MAX]; /* the newest when there are more; a change
                                                        holds the mean after it as weight_mg */
    int count;
    int samples;       /* so often it was weighed, the stocking not counted */
    int64_t sampled_s; /* the last time, 0 never */
    struct growth_water water;
    bool guessed;
};

/* What was weighed until the instant; no points when nothing ever was. */
struct growing_points growing_points(const struct farm_state *state, const struct cycle *cycle,
                                     int64_t at_s);

/* It says what the others weigh, too. */
bool growing_weighs(const struct fish_event *event);

/* How its fish are thought lost: by what was stocked first. */
enum survival_kind growing_kind(const struct farm_state *state, const struct cycle *cycle);

/* Alive at an instant not before the stocking. */
struct survival_range growing_fish(const struct farm_state *state, const struct cycle *cycle,
                                   int64_t at_s);

/* Of fish that were stocked as they first were, so many would leave by then what is thought alive:
 * the number stocked, as far as no count, dead or taken out says otherwise. */
int64_t growing_stocked(const struct farm_state *state, const struct cycle *cycle, int64_t at_s);

struct growing {
    struct survival_range fish;
    enum growth_reason reason;     /* of the weight: GROWTH_NO_SAMPLE, nothing is known of it */
    struct growth_range weight_mg; /* mean of a fish */
    int64_t biomass_mg;            /* middle of both; 0 when the weight is not known */
    int64_t water_mdegc;           /* as it was last read, or guessed */
    bool guessed;
};
/* Of so many fish of one weight, up to a cap far over all that swims. */
int64_t growing_weight_mg(int64_t count, int64_t mean_ug);

struct growing growing_of(const struct farm_state *state, const struct cycle *cycle, int64_t at_s);

/* Feed given to the cycle from one instant to another, the second not included. */
int64_t growing_fed_mg(const struct farm_state *state, const struct cycle *cycle, int64_t from_s,
                       int64_t to_s);

/* What the fish put on from stocking to the instant, those taken out included; 0 when it is not
 * known. The dead ones' weight is lost. Where the weight of some was not said (stolen ones, more
 * put in) they weighed what the others did. */
int64_t growing_gained_mg(const struct farm_state *state, const struct cycle *cycle, int64_t at_s);

/* Days since hatch where the spawn is known, else since stocking as two-week fry; -1: it was
 * stocked as larger fish. */
int growing_age_days(const struct farm_state *state, const struct cycle *cycle, int64_t at_s);

#endif
