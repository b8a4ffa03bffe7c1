/* growing: see growing.h. In: a state and one of its cycles; out: numbers and weights. No errors:
 * what is not known is a reason of trade's growth. Cost: one pass over the cycle's events for each
 * jump of the mean. */
#include "farm/growing.h"

#include <math.h>
#include <string.h>

#include "farm/plan.h"
#include "trade/book.h"
#include "trade/ration.h"
#include "trade/sample.h"

enum { HOUR_S = 3600, DAY_S = 86400, G_UG = 1000000, UG_MG = 1000, FISH_MOST_MG = 100000000 };
static const double MASS_MOST_MG = 1e18;
#define FOUR_IN_FIVE 1.28 /* spreads of a bell curve to each side, as in growth.c */

/* -- how many ------------------------------------------------------------------------------------
 */

/* By what was stocked first: more of another size later does not change what these were. */
enum survival_kind growing_kind(const struct farm_state *state, const struct cycle *c) {
    struct cycle first = *c;
    first.mean_ug = c->event_count ? c->events[0].mean_ug : 0;
    if (first.mean_ug >= (int64_t)(book_number(BOOK_FINGERLING_G) * G_UG))
        return SURVIVAL_GROWN;
    if (!first.mean_ug && !c->spawn) /* nothing was said of their size: no fry are thought of */
        return SURVIVAL_GROWN;
    if (!cycle_direct(&first))
        return SURVIVAL_FRY;
    const struct pond *pond = farm_pond(state, c->pond);
    return pond && pond->fence == FENCE_STANDS ? SURVIVAL_FENCED : SURVIVAL_OPEN;
}

static int64_t hours_of(const struct cycle *c, int64_t at_s) {
    return at_s > c->stocked_s ? (at_s - c->stocked_s) / HOUR_S : 0;
}

struct survival_range growing_fish(const struct farm_state *state, const struct cycle *c,
                                   int64_t at_s) {
    struct survival_walk walk = survival_walk_make(growing_kind(state, c), 0);
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        int64_t hours = hours_of(c, e->at_s);
        switch (e->kind) {
        case FISH_PUT:
            if (e->low < e->high)
                survival_put_about(&walk, hours,
                                   (struct survival_range){e->low, e->count, e->high});
            else
                survival_put(&walk, hours, e->count);
            break;
        case FISH_TAKEN:
        case FISH_BIG:
            survival_take(&walk, hours, e->count);
            break;
        case FISH_DIED:
            survival_die(&walk, hours, e->count);
            break;
        case FISH_COUNTED:
            survival_count(&walk, hours, e->count);
            break;
        case FISH_SAMPLED:
            break;
        }
    }
    return survival_now(&walk, hours_of(c, at_s));
}

int64_t growing_stocked(const struct farm_state *state, const struct cycle *c, int64_t at_s) {
    struct survival_range left = survival_after(growing_kind(state, c), hours_of(c, at_s));
    double alive = (double)growing_fish(state, c, at_s).middle;
    return left.middle > 0 ? (int64_t)(alive * 1e6 / (double)left.middle + 0.5) : (int64_t)alive;
}

/* -- how heavy -----------------------------------------------------------------------------------
 */

static struct growth_water water_of(const struct farm_state *state, const struct cycle *c,
                                    bool *guessed) {
    const struct pond *pond = farm_pond(state, c->pond);
    const struct water_log *own = pond ? &pond->water : NULL;
    const struct water_log *log = own && own->count ? own : &state->water;
    *guessed = log->count == 0;
    return (struct growth_water){.series = {log->readings, log->count},
                                 .mean_mdegc = ration_water_mdegc(RATION_UNKNOWN)};
}

static struct growth_sample *room(struct growing_points *p) {
    if (p->count == GROWING_POINTS_MAX) {
        memmove(p->points, p->points + 1, (size_t)--p->count * sizeof *p->points);
        p->points[0].change_ppm = 0; /* it holds what the mean was thought to be after it */
    }
    return &p->points[p->count++];
}

/* At one second the later said stands. What no fish weighs is no point. */
static bool add(struct growing_points *p, int64_t at_s, int64_t mean_ug, int64_t error_ug) {
    int64_t weight_mg = (mean_ug + UG_MG / 2) / UG_MG;
    int64_t error_mg = (error_ug + UG_MG - 1) / UG_MG;
    if (weight_mg > FISH_MOST_MG)
        return false;
    weight_mg = weight_mg > 0 ? weight_mg : 1;
    struct growth_sample *last = p->count ? &p->points[p->count - 1] : NULL;
    bool again = last && last->at_s == at_s && !last->change_ppm;
    *(again ? last : room(p)) = (struct growth_sample){
        .at_s = at_s,
        .weight_mg = weight_mg,
        .error_mg = error_mg < 3 * weight_mg ? error_mg : 3 * weight_mg, /* growth.h */
    };
    return true;
}

static int64_t mean_at(const struct growing_points *p, int64_t at_s) {
    struct growth_forecast f = growth_forecast(p->points, p->count, &p->water, at_s);
    return f.reason == GROWTH_OK ? f.weight_mg.middle : p->points[p->count - 1].weight_mg;
}

static void change(struct growing_points *p, int64_t at_s, double before_mg, double ratio,
                   double error_mg) {
    double after_mg = before_mg * ratio, most_mg = 3 * after_mg; /* growth.h */
    *room(p) = (struct growth_sample){
        .at_s = at_s,
        .weight_mg = after_mg < 1              ? 1
                     : after_mg < FISH_MOST_MG ? (int64_t)(after_mg + 0.5)
                                               : FISH_MOST_MG,
        .error_mg = (int64_t)(error_mg < most_mg ? error_mg : most_mg),
        .change_ppm = ratio < 1e-6  ? 1
                      : ratio < 1e6 ? (int64_t)(ratio * 1e6 + 0.5)
                                    : INT64_C(1000000000000),
    };
}

/* What the mean of a mix is wrong by: as those that come may weigh another weight, and as their
 * share of all may be another one, each range taken as four in five. */
static double mix_error_mg(const struct fish_event *e, struct survival_range alive,
                           double apart_mg) {
    double n = (double)alive.middle, more = (double)e->count;
    double most = (double)(e->high > e->count ? e->high : e->count);
    double least = e->low < e->high ? (double)e->low : more;
    double share_high = most + (double)alive.low > 0 ? most / (most + (double)alive.low) : 1;
    double share_low = least > 0 ? least / (least + (double)alive.high) : 0;
    double of_weight = more / (n + more) * (double)e->error_ug / UG_MG;
    double of_share = apart_mg * (share_high - share_low) / 2 / FOUR_IN_FIVE;
    return sqrt(of_weight * of_weight + of_share * of_share);
}

/* More fish: into an empty pond they are all there is; beside others of unknown weight nothing is
 * known of the mean. */
static void come(struct growing_points *p, const struct fish_event *e,
                 struct survival_range alive) {
    if (alive.middle <= 0)
        p->count = p->samples = 0;
    if (!p->count) {
        if (alive.middle <= 0)
            add(p, e->at_s, e->mean_ug, e->error_ug);
        return;
    }
    double before_mg = (double)mean_at(p, e->at_s), each_mg = (double)e->mean_ug / UG_MG;
    double n = (double)alive.middle, more = (double)e->count;
    double all_mg = n * before_mg + more * each_mg;
    change(p, e->at_s, before_mg, all_mg / (n + more) / before_mg,
           mix_error_mg(e, alive, each_mg - before_mg));
}

/* The big ones went out. Those that stay are no heavier than they were, which weighs down a mean
 * that was thought too high; and they do not weigh next to nothing, however heavy the catch. */
static void big_go(struct growing_points *p, const struct fish_event *e, int64_t alive) {
    double least = book_number(BOOK_SPREAD_SMALL);
    double before_mg = (double)mean_at(p, e->at_s), n = (double)alive, less = (double)e->count;
    double each_mg = (double)e->mean_ug / UG_MG;
    double left_mg = n > less ? (n * before_mg - less * each_mg) / (n - less) : 0;
    double most = each_mg < before_mg ? each_mg / before_mg : 1;
    double ratio = left_mg / before_mg;
    ratio = ratio < least ? least : ratio;
    change(p, e->at_s, before_mg, ratio < most ? ratio : most, 0);
}

/* What was there just before an event. */
static struct survival_range alive_before(const struct farm_state *state, const struct cycle *c,
                                          int at) {
    struct cycle before = *c;
    before.event_count = at;
    return growing_fish(state, &before, c->events[at].at_s);
}

/* A catch that was weighed, not sorted, says what fish weigh, as a sample of that many does. */
static int64_t catch_error_ug(const struct fish_event *e) {
    const int64_t sampled_most = 1000000; /* sample.h */
    int64_t count = e->count < sampled_most ? e->count : sampled_most;
    struct sample s = sample_of_total(count, count * e->mean_ug / UG_MG);
    return s.reason == SAMPLE_OK ? s.error_mg * UG_MG : 0;
}

static void weigh(struct growing_points *p, const struct fish_event *e) {
    int64_t error_ug = e->kind == FISH_SAMPLED ? e->error_ug : catch_error_ug(e);
    if (add(p, e->at_s, e->mean_ug, error_ug)) {
        p->samples++;
        p->sampled_s = e->at_s;
    }
}

bool growing_weighs(const struct fish_event *e) {
    return e->kind == FISH_SAMPLED || (e->kind == FISH_TAKEN && e->mean_ug && !e->sold);
}

struct growing_points growing_points(const struct farm_state *state, const struct cycle *c,
                                     int64_t at_s) {
    struct growing_points p = {0};
    p.water = water_of(state, c, &p.guessed);
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        if (!e->mean_ug)
            continue;
        if (e->kind == FISH_PUT)
            come(&p, e, alive_before(state, c, i));
        else if (e->kind == FISH_BIG && p.count)
            big_go(&p, e, alive_before(state, c, i).middle);
        else if (growing_weighs(e) || (e->kind == FISH_TAKEN && !p.count))
            weigh(&p, e);
    }
    return p;
}

/* Up to a cap far over all that swims. */
static int64_t product_mg(int64_t count, int64_t weight_mg) {
    double all_mg = (double)count * (double)weight_mg;
    return all_mg < MASS_MOST_MG ? count * weight_mg : (int64_t)MASS_MOST_MG;
}

int64_t growing_weight_mg(int64_t count, int64_t mean_ug) {
    double all_mg = (double)count * (double)mean_ug / UG_MG;
    return all_mg < MASS_MOST_MG ? (int64_t)(all_mg + 0.5) : (int64_t)MASS_MOST_MG;
}

struct growing growing_of(const struct farm_state *state, const struct cycle *c, int64_t at_s) {
    struct growing_points p = growing_points(state, c, at_s);
    struct growing g = {.fish = growing_fish(state, c, at_s),
                        .reason = GROWTH_NO_SAMPLE,
                        .guessed = p.guessed,
                        .water_mdegc = p.water.mean_mdegc};
    if (!p.guessed)
        g.water_mdegc = water_at_mdegc(p.water.series, at_s);
    if (!p.count)
        return g;
    struct growth_forecast f = growth_forecast(p.points, p.count, &p.water, at_s);
    g.reason = f.reason;
    g.weight_mg = f.weight_mg;
    if (f.reason == GROWTH_OK)
        g.biomass_mg = product_mg(g.fish.middle, f.weight_mg.middle);
    return g;
}

/* -- feed and gain -------------------------------------------------------------------------------
 */

int64_t growing_fed_mg(const struct farm_state *state, const struct cycle *c, int64_t from_s,
                       int64_t to_s) {
    const struct pond *pond = farm_pond(state, c->pond);
    int64_t fed_mg = 0;
    for (int i = pond ? pond->given_count - 1 : -1; i >= 0; i--) {
        int64_t at_s = pond->given[i].at_s;
        if (at_s < from_s || at_s < c->stocked_s)
            break;
        if (at_s < to_s && (!c->closed_s || at_s < c->closed_s))
            fed_mg += pond->given[i].feed_mg;
    }
    return fed_mg;
}

int64_t growing_gained_mg(const struct farm_state *state, const struct cycle *c, int64_t at_s) {
    struct growing g = growing_of(state, c, at_s);
    if (g.reason != GROWTH_OK || !c->event_count || !c->events[0].mean_ug)
        return 0;
    double gained_mg = (double)g.biomass_mg;
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        bool put = e->kind == FISH_PUT;
        if (!put && e->kind != FISH_TAKEN && e->kind != FISH_BIG)
            continue;
        double mean_mg = e->mean_ug ? (double)e->mean_ug / UG_MG
                                    : (double)growing_of(state, c, e->at_s).weight_mg.middle;
        gained_mg += (put ? -1 : 1) * (double)e->count * mean_mg;
    }
    return gained_mg <= 0             ? 0
           : gained_mg < MASS_MOST_MG ? (int64_t)(gained_mg + 0.5)
                                      : (int64_t)MASS_MOST_MG;
}

int growing_age_days(const struct farm_state *state, const struct cycle *c, int64_t at_s) {
    const struct spawn *s = c->spawn ? farm_spawn(state, c->spawn) : NULL;
    int64_t hatch_s = s ? spawn_hatch_s(s) : 0;
    if (hatch_s && at_s >= hatch_s)
        return (int)((at_s - hatch_s) / DAY_S);
    if (growing_kind(state, c) == SURVIVAL_GROWN)
        return -1;
    int before = cycle_direct(c) ? 3 : (int)book_number(BOOK_TWO_WEEKS_DAYS);
    return before + (int)((at_s - c->stocked_s) / DAY_S);
}
