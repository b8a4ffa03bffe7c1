/* growing: see growing.h. In: a state and one of its cycles; out: numbers and weights. No errors:
 * what is not known is a reason of trade's growth. Cost: one pass over the cycle's events for each
 * jump of the mean. */
#include "farm/growing.h"

#include <string.h>

#include "farm/plan.h"
#include "trade/book.h"
#include "trade/sample.h"

enum { HOUR_S = 3600, DAY_S = 86400, G_UG = 1000000, UG_MG = 1000 };

/* -- how many ------------------------------------------------------------------------------------
 */

/* By what was stocked first: more of another size later does not change what these were. */
static enum survival_kind kind_of(const struct farm_state *state, const struct cycle *c) {
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
    struct survival_walk walk = survival_walk_make(kind_of(state, c), 0);
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        int64_t hours = hours_of(c, e->at_s);
        switch (e->kind) {
        case FISH_PUT:
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

/* -- how heavy -----------------------------------------------------------------------------------
 */

static struct growth_water water_of(const struct farm_state *state, const struct cycle *c,
                                    bool *guessed) {
    const struct pond *pond = farm_pond(state, c->pond);
    const struct water_log *own = pond ? &pond->water : NULL;
    const struct water_log *log = own && own->count ? own : &state->water;
    *guessed = log->count == 0;
    return (struct growth_water){.series = {log->readings, log->count},
                                 .mean_mdegc = GROWING_WATER_MDEGC};
}

/* At one second the later said stands. */
static void add(struct growing_points *p, int64_t at_s, int64_t mean_ug, int64_t error_ug) {
    int64_t weight_mg = (mean_ug + UG_MG / 2) / UG_MG;
    int64_t error_mg = (error_ug + UG_MG - 1) / UG_MG;
    const struct growth_sample point = {
        .at_s = at_s,
        .weight_mg = weight_mg > 0 ? weight_mg : 1,
        .error_mg = error_mg < weight_mg ? error_mg : weight_mg,
    };
    if (p->count && p->points[p->count - 1].at_s >= at_s) {
        p->points[p->count - 1] = point;
        return;
    }
    if (p->count == GROWING_POINTS_MAX)
        memmove(p->points, p->points + 1, (size_t)--p->count * sizeof *p->points);
    p->points[p->count++] = point;
}

static int64_t mean_at(const struct growing_points *p, int64_t at_s) {
    if (!p->count)
        return 0;
    struct growth_forecast f = growth_forecast(p->points, p->count, &p->water, at_s);
    return f.reason == GROWTH_OK ? f.weight_mg.middle : p->points[p->count - 1].weight_mg;
}

/* So many fish that weigh otherwise came (count over 0) or went: the mean is another from now on,
 * and the points before are scaled to it. */
static void jump(struct growing_points *p, const struct fish_event *e, int64_t alive,
                 int64_t count) {
    double before_mg = (double)mean_at(p, e->at_s), n = (double)alive;
    double mean_mg = (double)e->mean_ug / UG_MG, all = n + (double)count;
    double after_mg = all > 0 ? (n * before_mg + (double)count * mean_mg) / all : 0;
    /* the big ones cannot weigh more than all did, nor leave next to nothing behind */
    double ratio = before_mg > 0 ? after_mg / before_mg : 1;
    ratio = ratio < 0.2 ? 0.2 : ratio;
    for (int i = 0; i < p->count; i++) {
        struct growth_sample *s = &p->points[i];
        double mg = (double)s->weight_mg * ratio, error_mg = (double)s->error_mg * ratio;
        s->weight_mg = mg > 1 ? (int64_t)(mg + 0.5) : 1;
        s->error_mg = (int64_t)error_mg < s->weight_mg ? (int64_t)error_mg : s->weight_mg;
    }
}

/* What was there just before an event. */
static int64_t alive_before(const struct farm_state *state, const struct cycle *c, int at) {
    struct cycle before = *c;
    before.event_count = at;
    return growing_fish(state, &before, c->events[at].at_s).middle;
}

/* A catch that was weighed, not sorted, says what fish weigh, as a sample of that many does. */
static int64_t catch_error_ug(const struct fish_event *e) {
    struct sample s = sample_of_total(e->count, e->count * e->mean_ug / UG_MG);
    return s.reason == SAMPLE_OK ? s.error_mg * UG_MG : 0;
}

struct growing_points growing_points(const struct farm_state *state, const struct cycle *c,
                                     int64_t at_s) {
    struct growing_points p = {0};
    p.water = water_of(state, c, &p.guessed);
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        if (!e->mean_ug)
            continue;
        bool first = p.count == 0;
        switch (e->kind) {
        case FISH_PUT:
            if (first)
                add(&p, e->at_s, e->mean_ug, 0);
            else
                jump(&p, e, alive_before(state, c, i), e->count);
            break;
        case FISH_BIG:
            if (!first)
                jump(&p, e, alive_before(state, c, i), -e->count);
            break;
        case FISH_SAMPLED:
        case FISH_TAKEN:
            add(&p, e->at_s, e->mean_ug, e->kind == FISH_SAMPLED ? e->error_ug : catch_error_ug(e));
            p.samples++;
            p.sampled_s = e->at_s;
            break;
        default:
            break;
        }
    }
    return p;
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
        g.biomass_mg = g.fish.middle * f.weight_mg.middle;
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
    if (g.reason != GROWTH_OK || !c->event_count)
        return 0;
    int64_t gained_mg = g.biomass_mg;
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        int64_t mean_mg = e->mean_ug / UG_MG;
        if (e->kind == FISH_PUT)
            gained_mg -= e->count * mean_mg;
        else if (e->kind == FISH_TAKEN || e->kind == FISH_BIG)
            gained_mg +=
                e->count * (mean_mg ? mean_mg : growing_of(state, c, e->at_s).weight_mg.middle);
    }
    return gained_mg > 0 ? gained_mg : 0;
}

int growing_age_days(const struct farm_state *state, const struct cycle *c, int64_t at_s) {
    const struct spawn *s = c->spawn ? farm_spawn(state, c->spawn) : NULL;
    int64_t hatch_s = s ? spawn_hatch_s(s) : 0;
    if (hatch_s && at_s >= hatch_s)
        return (int)((at_s - hatch_s) / DAY_S);
    if (kind_of(state, c) == SURVIVAL_GROWN)
        return -1;
    int before = cycle_direct(c) ? 3 : (int)book_number(BOOK_TWO_WEEKS_DAYS);
    return before + (int)((at_s - c->stocked_s) / DAY_S);
}
