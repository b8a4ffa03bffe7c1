/* runs: see runs.h. In: a state and an instant; out: the values of its runs, and rates by trade's
 * learn. No errors. Limits: the water of a cycle without readings of its own is the hatchery's;
 * fish that were harvested in part and sold before the pond was closed are taken out twice, and
 * such a nursery's survival is too high. */
#include "farm/runs.h"

#include <string.h>

#include "farm/growing.h"
#include "farm/inside.h"
#include "farm/plan.h"
#include "trade/book.h"
#include "trade/eggs.h"

enum {
    DAY_S = 86400,
    G_UG = 1000000,
    /* A count of "two weeks" is of these days: the book's, and two either way. Later than three
     * weeks nobody says how many were alive at two. Rules of this program. */
    COUNT_OFF_DAYS = 2,
    GONE_OFF_DAYS = 7,
    EARLY_PART = 10, /* at most one in so many taken out before */
    LOST_PART = 10,  /* fewer than one in so many came out: lost, however early */
    /* A month in the nursery pond, give or take: a rule of this program. */
    NURSERY_LEAST_DAYS = 20,
    NURSERY_MOST_DAYS = 60,
    NURSERY_PUT_DAYS = 3 /* between the first fry put in and the last */
};

static void add(struct runs *r, int64_t value, int64_t mdegc, int64_t subject, int64_t at_s) {
    if (value < 0)
        return;
    if (r->count == RUNS_MAX) {
        r->count--;
        memmove(r->runs, r->runs + 1, (size_t)r->count * sizeof *r->runs);
        memmove(r->of, r->of + 1, (size_t)r->count * sizeof *r->of);
    }
    r->runs[r->count] = (struct learn_run){value, mdegc, LEARN_SEASON_UNKNOWN};
    r->of[r->count++] = (struct run_of){subject, at_s};
}

static bool until(int64_t then_s, int64_t at_s) {
    return then_s && then_s <= at_s;
}

static int64_t mean_mdegc(const struct water_log *log, int64_t from_s, int64_t to_s) {
    const struct water_series series = {log->readings, log->count};
    return log->count ? water_mean_mdegc(series, from_s, to_s) : LEARN_WATER_UNKNOWN;
}

/* -- of a spawn ----------------------------------------------------------------------------------
 */

/* Hers, and theirs who were stripped into her bowl. */
static int64_t bowl_mg(const struct farm_state *state, const struct spawn *s) {
    int64_t weight_mg = s->weight_mg;
    for (int i = 0; i < state->spawn_count && s->bowl_with; i++)
        if (state->spawns[i].bowl == s->number)
            weight_mg += state->spawns[i].weight_mg;
    return weight_mg;
}

static void eggs_run(struct runs *r, const struct farm_state *state, const struct spawn *s) {
    int64_t eggs = eggs_of_weight(s->eggs_mg);
    add(r, learn_per_kg(eggs, bowl_mg(state, s)),
        mean_mdegc(&s->water, s->injected_s, s->stripped_s), s->number, s->stripped_s);
}

/* Of all eggs that were stripped, white ones too: what the next female gives is reckoned from all.
 */
static void hatch_run(struct runs *r, const struct spawn *s, int64_t end_s) {
    add(r, learn_share_ppm(s->hatched, eggs_of_weight(s->eggs_mg)),
        mean_mdegc(&s->water, s->stripped_s, end_s), s->number, end_s);
}

/* When all were lost: reported so, or dead to the last one. 0: they were not. */
static int64_t lost_s(const struct spawn *s) {
    const struct larvae_event *last = s->event_count ? &s->events[s->event_count - 1] : NULL;
    if (s->spoilt_s || s->gone_s)
        return s->spoilt_s;
    return last && last->what != LARVAE_TAKEN && spawn_none_left(s) ? last->at_s : 0;
}

/* Those taken out were alive then: of what was taken before the days of the count nobody knows how
 * many would have lived. */
static void survive_run(struct runs *r, const struct spawn *s, int64_t at_s) {
    int64_t hatch_s = spawn_hatch_s(s), two_weeks = (int64_t)book_number(BOOK_TWO_WEEKS_DAYS);
    int64_t from_s = hatch_s + (two_weeks - COUNT_OFF_DAYS) * DAY_S;
    int64_t to_s = hatch_s + (two_weeks + COUNT_OFF_DAYS) * DAY_S;
    int64_t early = 0, late = 0, alive = -1, end_s = 0;
    for (int i = 0; i < s->event_count && s->events[i].at_s <= at_s && alive < 0; i++) {
        const struct larvae_event *e = &s->events[i];
        if (e->what == LARVAE_TAKEN && e->guessed)
            return;
        if (e->what == LARVAE_TAKEN)
            *(e->at_s < from_s ? &early : &late) += e->count;
        if (e->what == LARVAE_COUNTED && e->at_s >= from_s && e->at_s <= to_s) {
            alive = e->count + early + late;
            end_s = e->at_s;
        }
    }
    bool gone = until(s->gone_s, at_s) && s->gone_s >= from_s &&
                s->gone_s <= hatch_s + (two_weeks + GONE_OFF_DAYS) * DAY_S;
    bool few = s->hatched < eggs_of_weight(s->eggs_mg) / EARLY_PART; /* not worth keeping */
    bool lost = !few && lost_s(s) > hatch_s && until(lost_s(s), at_s) && lost_s(s) <= to_s;
    if (alive < 0 && (gone || lost)) {
        alive = early + late;
        end_s = gone ? s->gone_s : lost_s(s);
    }
    if (hatch_s && alive >= 0 && early <= s->hatched / EARLY_PART)
        add(r, learn_share_ppm(alive, s->hatched), mean_mdegc(&s->water, hatch_s, end_s), s->number,
            end_s);
}

static void of_spawn(struct runs *r, const struct farm_state *state, const struct spawn *s,
                     int64_t at_s) {
    if (!until(s->stripped_s, at_s))
        return;
    if (r->kind == LEARN_EGGS)
        eggs_run(r, state, s);
    else if (until(s->hatched_s, at_s) && r->kind == LEARN_HATCH)
        hatch_run(r, s, s->hatched_s);
    else if (until(s->spoilt_s, at_s) && !spawn_swims_s(s) && r->kind == LEARN_HATCH)
        hatch_run(r, s, s->spoilt_s); /* lost as eggs: none hatched */
    else if (until(s->hatched_s, at_s) && s->hatched && r->kind == LEARN_SURVIVE)
        survive_run(r, s, at_s);
}

/* -- of a cycle ----------------------------------------------------------------------------------
 */

static const struct water_log *water_of(const struct farm_state *state, const struct cycle *c) {
    const struct pond *pond = farm_pond(state, c->pond);
    return pond && pond->water.count ? &pond->water : &state->water;
}

static bool is_fry(const struct farm_state *state, const struct cycle *c,
                   const struct fish_event *e) {
    int64_t mean_ug = e->mean_ug;
    struct cycle as = *c;
    as.mean_ug = mean_ug;
    return e->at_s - c->stocked_s <= NURSERY_PUT_DAYS * DAY_S && !cycle_direct(&as) &&
           mean_ug < (int64_t)book_number(BOOK_FINGERLING_G) * G_UG &&
           growing_kind(state, c) == SURVIVAL_FRY;
}

static void nursery_run(struct runs *r, const struct farm_state *state, const struct cycle *c) {
    int64_t put = 0, out = 0, stay_s = c->closed_s - c->stocked_s;
    for (int i = 0; i < c->event_count; i++) {
        const struct fish_event *e = &c->events[i];
        if (e->guessed) /* what was reckoned is not learned from */
            return;
        if (e->kind == FISH_TAKEN || e->kind == FISH_BIG)
            out += e->count;
        if (e->kind != FISH_PUT)
            continue;
        if (!is_fry(state, c, e))
            return;
        put += e->count;
    }
    bool lost = out < put / LOST_PART;
    if ((lost || stay_s >= NURSERY_LEAST_DAYS * DAY_S) && stay_s <= NURSERY_MOST_DAYS * DAY_S)
        add(r, learn_share_ppm(out, put), mean_mdegc(water_of(state, c), c->stocked_s, c->closed_s),
            c->number, c->closed_s);
}

/* From the last change on, which is where the line that is asked for begins. */
static void tgc_run(struct runs *r, const struct farm_state *state, const struct cycle *c,
                    int64_t at_s) {
    struct growing_points p = growing_points(state, c, at_s);
    int first = p.count - 1;
    while (first > 0 && !p.points[first].change_ppm)
        first--;
    int64_t span_s = p.count ? p.points[p.count - 1].at_s - p.points[first].at_s : 0;
    if (!p.samples || span_s < (int64_t)book_number(BOOK_BEHIND_DAYS) * DAY_S)
        return;
    struct growth_fit fit = growth_fit(p.points, p.count, &p.water);
    if (fit.reason != GROWTH_OK || fit.own_micro <= 0)
        return;
    add(r, fit.own_micro,
        mean_mdegc(water_of(state, c), p.points[first].at_s, p.points[p.count - 1].at_s), c->number,
        p.sampled_s);
}

static void of_cycle(struct runs *r, const struct farm_state *state, const struct cycle *c,
                     int64_t at_s) {
    if (c->stocked_s > at_s)
        return;
    if (r->kind == LEARN_TGC)
        tgc_run(r, state, c, at_s);
    else if (until(c->closed_s, at_s))
        nursery_run(r, state, c);
}

/* -- all -----------------------------------------------------------------------------------------
 */

struct runs runs_of(const struct farm_state *state, enum learn_kind kind, int64_t at_s) {
    struct runs r = {.kind = kind};
    bool of_cycles = kind == LEARN_NURSERY || kind == LEARN_TGC;
    for (int i = 0; i < state->spawn_count && !of_cycles; i++)
        of_spawn(&r, state, &state->spawns[i], at_s);
    for (int i = 0; i < state->cycle_count && of_cycles; i++)
        of_cycle(&r, state, &state->cycles[i], at_s);
    return r;
}

int64_t runs_water(const struct farm_state *state, int64_t at_s) {
    enum { WATER_DAYS = 30 }; /* our own rule: one cold morning is no season */
    const struct water_log *log = &state->water;
    int64_t from_s = at_s - WATER_DAYS * (int64_t)DAY_S;
    int last = log->count - 1;
    while (last >= 0 && log->readings[last].at_s > at_s)
        last--;
    if (last < 0 || log->readings[last].at_s < from_s)
        return LEARN_WATER_UNKNOWN;
    int first = last;
    while (first > 0 && log->readings[first - 1].at_s >= from_s)
        first--;
    int64_t sum = 0; /* of the readings, not of the time: they are taken as often as they are */
    for (int i = first; i <= last; i++)
        sum += log->readings[i].mdegc;
    return sum / (last - first + 1);
}

struct learn_when runs_when(const struct farm_state *state, int64_t at_s) {
    const struct water_reading *fresh = water_log_fresh(&state->water, at_s);
    return (struct learn_when){fresh ? fresh->mdegc : LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
}

struct learn_rate runs_rate(const struct farm_state *state, enum learn_kind kind,
                            struct learn_when when, int64_t at_s) {
    struct runs r = runs_of(state, kind, at_s);
    return learn_rate(kind, r.runs, r.count, when);
}

struct order_rates runs_rates(const struct farm_state *state, struct learn_when when,
                              int64_t at_s) {
    return (struct order_rates){.eggs = runs_rate(state, LEARN_EGGS, when, at_s),
                                .hatch = runs_rate(state, LEARN_HATCH, when, at_s),
                                .survive = runs_rate(state, LEARN_SURVIVE, when, at_s),
                                .nursery = runs_rate(state, LEARN_NURSERY, when, at_s)};
}
