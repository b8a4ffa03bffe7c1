/* feeding: see feeding.h. In: a state, a pond of it and an instant; out: the day's ration. No
 * errors: what is not known is a rule of its own. Every number of a ration is trade's; hours of
 * meals are common practice, no source. Limits: readings of after the instant are not looked at,
 * but the last of each kind is all that a pond keeps, so that an instant long past has none. */
#include "farm/feeding.h"

#include "farm/plan.h"
#include "trade/ammonia.h"
#include "trade/book.h"
#include "trade/brood.h"
#include "trade/oxygen.h"

enum { HOUR_S = 3600, DAY_S = 86400, G_MG = 1000, UG_MG = 1000, LEFT_MOST = 64 };
enum { DAWN_FROM_HOUR = 3, DAWN_TO_HOUR = 9 }; /* a reading between them is one of dawn */

/* -- what is known of the pond -------------------------------------------------------------------
 */

static bool within(int64_t then_s, int64_t at_s, int64_t span_s) {
    return then_s > 0 && then_s <= at_s && at_s - then_s < span_s;
}

/* The pond's own reading, else the hatchery's, if it is not too old. */
static int64_t water_read(const struct farm_state *state, const struct pond *pond, int64_t at_s) {
    const struct water_log *log = pond->water.count ? &pond->water : &state->water;
    for (int i = log->count - 1; i >= 0; i--)
        if (log->readings[i].at_s <= at_s)
            return within(log->readings[i].at_s, at_s, (int64_t)FEEDING_READING_DAYS * DAY_S)
                       ? log->readings[i].mdegc
                       : RATION_UNKNOWN;
    return RATION_UNKNOWN;
}

/* The lower of the last reading and that of dawn: what is little by day was less at dawn, and what
 * was little at dawn is not healed by the sun. -1: none that counts. */
static int64_t oxygen_read(const struct pond *pond, const struct zone *zone, int64_t at_s,
                           bool *dawn) {
    int64_t last = -1;
    for (int i = pond->oxygen.count - 1; i >= 0; i--) {
        const struct measured *m = &pond->oxygen.all[i];
        if (m->at_s > at_s)
            continue;
        if (!within(m->at_s, at_s, (int64_t)FEEDING_OXYGEN_H * HOUR_S))
            break;
        int hour = zone_local(zone, m->at_s).hour;
        if (last < 0)
            last = m->value;
        if (hour < DAWN_FROM_HOUR || hour >= DAWN_TO_HOUR)
            continue;
        *dawn = m->value < last && last >= (int64_t)(book_number(BOOK_OXYGEN_HALF) * UG_MG);
        return m->value < last ? m->value : last;
    }
    return last;
}

/* What was measured of a kind, if it is not too old; 0 nothing. */
static int64_t lately(int64_t value, int64_t then_s, int64_t at_s) {
    return within(then_s, at_s, (int64_t)FEEDING_AMMONIA_H * HOUR_S) ? value : 0;
}

/* As WATER judges it: for fish of that weight, in the degrees and the pH there are. */
static void put_poisons(struct feeding *f, const struct pond *pond, int64_t at_s) {
    const struct measured *ammonia = &pond->last[READING_AMMONIA];
    const struct measured *nitrite = &pond->last[READING_NITRITE];
    f->ph_milli = lately(pond->ph_milli, pond->ph_s, at_s);
    int64_t nitrite_ug_l = lately(nitrite->value, nitrite->at_s, at_s);
    f->nitrite_permille = nitrite_ug_l > 0 ? ammonia_nitrite_permille(nitrite_ug_l) : 0;
    int64_t total_ug_l = lately(ammonia->value, ammonia->at_s, at_s);
    if (total_ug_l <= 0 || !f->ph_milli || f->water_mdegc == RATION_UNKNOWN)
        return;
    const struct ammonia a = ammonia_of(total_ug_l, f->ph_milli, f->water_mdegc, f->weight_mg);
    f->ammonia_permille = a.reason == AMMONIA_OK ? a.permille : 0;
}

bool feeding_gasps(const struct pond *pond, int64_t at_s) {
    const int64_t enough_ug_l = (int64_t)(book_number(BOOK_OXYGEN_HALF) * UG_MG);
    if (!within(pond->gasping_s, at_s, (int64_t)FEEDING_OXYGEN_H * HOUR_S))
        return false;
    for (int i = pond->oxygen.count - 1; i >= 0; i--) {
        const struct measured *m = &pond->oxygen.all[i];
        if (m->at_s <= at_s && m->at_s > pond->gasping_s)
            return m->value < enough_ug_l;
    }
    return true;
}

int64_t feeding_dead(const struct cycle *c, int64_t at_s, int64_t *first_s) {
    int64_t dead = 0;
    *first_s = at_s;
    for (int i = 0; i < c->event_count; i++) {
        const struct fish_event *e = &c->events[i];
        if (e->kind != FISH_DIED || !within(e->at_s, at_s, (int64_t)FEEDING_DEAD_H * HOUR_S))
            continue;
        dead += e->count;
        *first_s = e->at_s < *first_s ? e->at_s : *first_s;
    }
    return dead;
}

/* A part of them within a day, or ever more on three days, today the most. */
static bool many_died(const struct farm_state *state, const struct cycle *c,
                      const struct zone *zone, int64_t at_s) {
    int64_t day[3] = {0};
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        int back = e->kind == FISH_DIED ? zone_days_between(zone, e->at_s, at_s) : -1;
        if (back < 0 || back > 2)
            continue;
        day[back] += e->count;
        int64_t first_s, dead = feeding_dead(c, e->at_s, &first_s);
        int64_t before_s = first_s > c->stocked_s ? first_s - 1 : c->stocked_s;
        if (within(e->at_s, at_s, (int64_t)FEEDING_DEAD_H * HOUR_S) &&
            dead * FEEDING_DEAD_PART >= growing_fish(state, c, before_s).middle)
            return true;
    }
    return day[2] > 0 && day[1] > day[2] && day[0] > day[1];
}

/* -- food left -----------------------------------------------------------------------------------
 */

/* Days of stay on which food was left, until the instant; how many, the newest when there are more.
 */
static int left_days(const struct pond *pond, const struct cycle *c, const struct zone *zone,
                     int64_t at_s, int *days) {
    int first = pond->left_count > LEFT_MOST ? pond->left_count - LEFT_MOST : 0, count = 0;
    for (int i = first; i < pond->left_count; i++)
        if (pond->left_s[i] >= c->stocked_s && pond->left_s[i] <= at_s)
            days[count++] = zone_days_between(zone, c->stocked_s, pond->left_s[i]);
    return count;
}

static int often(const int *days, int count, int day) {
    int found = 0;
    for (int i = 0; i < count; i++)
        found += days[i] > day - FEEDING_OFTEN_DAYS && (i == 0 || days[i] != days[i - 1]);
    return found;
}

/* The hours of a day's meals; two unless the fish are so small that they want four. */
static const int *meal_hours(int meals) {
    static const int two[] = {8, 17}, four[] = {7, 11, 15, 18};
    return meals == 4 ? four : two;
}

/* The meal after each report of food left is a half one. */
static unsigned half_meals(const struct pond *pond, const struct cycle *c, const struct zone *zone,
                           int64_t at_s, int meals) {
    const int *hours = meal_hours(meals);
    unsigned half = 0;
    for (int i = pond->left_count - 1; i >= 0; i--) {
        int64_t left_s = pond->left_s[i];
        if (left_s > at_s)
            continue;
        if (left_s < c->stocked_s || at_s - left_s > 2 * DAY_S)
            break;
        int meal = 0, ahead = 0;
        while (meal < meals && plan_clock(zone, left_s, 0, hours[meal]) <= left_s)
            meal++;
        if (meal == meals) {
            meal = 0;
            ahead = 1;
        }
        if (zone_days_between(zone, left_s, at_s) == ahead)
            half |= 1u << meal;
    }
    return half;
}

/* -- the table -----------------------------------------------------------------------------------
 */

int64_t feeding_table_ppm(const struct table_point *table, int count, int64_t weight_mg) {
    double points[TABLE_MAX][2];
    for (int i = 0; i < count && i < TABLE_MAX; i++) {
        points[i][0] = (double)table[i].weight_mg;
        points[i][1] = (double)table[i].share_ppm;
    }
    const struct book_line own = {.count = count < TABLE_MAX ? count : TABLE_MAX, .points = points};
    return count > 0 ? (int64_t)(book_line_at(&own, (double)weight_mg) + 0.5) : 0;
}

static bool bursts(const struct table_point *table, int count, int64_t weight_mg) {
    enum { BURST_LEAST_MG = 500, BURST_MOST_MG = 10000 }; /* ruptured intestines at high feeding */
    return weight_mg >= BURST_LEAST_MG && weight_mg <= BURST_MOST_MG &&
           feeding_table_ppm(table, count, weight_mg) * 2 > ration_ppm(weight_mg) * 3;
}

int64_t feeding_table_bursts(const struct table_point *table, int count) {
    static const int64_t at_mg[] = {500, 1000, 2000, 5000, 10000};
    for (size_t i = 0; count > 0 && i < sizeof at_mg / sizeof at_mg[0]; i++)
        if (bursts(table, count, at_mg[i]))
            return at_mg[i];
    for (int i = 0; i < count; i++)
        if (bursts(table, count, table[i].weight_mg))
            return table[i].weight_mg;
    return 0;
}

/* -- measures ------------------------------------------------------------------------------------
 */

/* The feed that the pond got last, else the only one there is; 0 not known. */
static int64_t feed_used(const struct farm_state *state, const struct pond *pond) {
    if (pond->given_count && pond->given[pond->given_count - 1].feed)
        return pond->given[pond->given_count - 1].feed;
    int64_t only = 0;
    for (int i = 0; i < state->feed_count; i++) {
        if (only && state->feeds[i].feed && state->feeds[i].feed != only)
            return 0;
        only = state->feeds[i].feed ? state->feeds[i].feed : only;
    }
    for (int i = 0; i < state->measure_count; i++) {
        if (only && state->measures[i].feed && state->measures[i].feed != only)
            return 0;
        only = state->measures[i].feed ? state->measures[i].feed : only;
    }
    return only;
}

static int64_t apart(int64_t a, int64_t b) {
    return a > b ? a - b : b - a;
}

/* How well a measure suits: one to twenty a meal are soon counted. Best when they come near the
 * ration in all its meals, and then the largest; else the nearest. 0: it does not suit, weigh
 * instead: rounded down so coarsely that a quarter of the ration is lost. */
static int suits(const struct measure *m, int meals, int64_t ration_mg) {
    enum { HALVES_LEAST = 2, HALVES_MOST = 40, NEAR_PART = 8, LOST_PART = 4 };
    if (m->reason != MEASURE_OK || m->halves < 1 || m->halves > HALVES_MOST)
        return 0;
    if (m->day_mg < ration_mg - ration_mg / LOST_PART)
        return 0;
    if (m->halves < HALVES_LEAST)
        return 1;
    bool near = apart(m->day_mg, ration_mg) * NEAR_PART < ration_mg;
    return near && m->meals >= meals ? 3 : 2;
}

int64_t feeding_weighable_mg(int64_t mg) {
    static const struct {
        int64_t under_mg, step_mg;
    } steps[] = {{10000, 100}, {100000, 1000}, {1000000, 10000}, {10000000, 50000}};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++)
        if (mg < steps[i].under_mg)
            return mg / steps[i].step_mg * steps[i].step_mg;
    return mg / 500000 * 500000;
}

static struct measure measured(const struct feeding *f, int64_t holds_mg, int64_t most_mg) {
    struct measure m = measure_of(f->ration_mg, f->meals, holds_mg, most_mg);
    if (m.reason == MEASURE_OK && m.meals == 3) /* there are no hours for three */
        m = measure_of(f->ration_mg, 2, holds_mg, most_mg);
    if (m.reason == MEASURE_OK && m.meals == 2 && !f->eats_little && !f->half_meals &&
        m.day_mg + holds_mg / 2 <= most_mg)
        m.day_mg += holds_mg / 2; /* to the first of them */
    return m;
}

static void put_measures(struct feeding *f, const struct farm_state *state,
                         const struct pond *pond) {
    int64_t feed = feed_used(state, pond), most_mg = f->ration_mg; /* down: food left fouls */
    struct measure best = {.reason = MEASURE_NOTHING};
    int best_suits = 0;
    for (int kind = MEASURE_TIN; kind < MEASURE_END; kind++) {
        const struct measure_size *size = farm_measure(state, (enum measure_kind)kind, feed);
        if (!size)
            continue;
        struct measure m = measured(f, size->weight_mg, most_mg);
        int n = suits(&m, f->meals, f->ration_mg);
        bool better = n == 3 ? size->weight_mg > f->with_mg
                             : apart(m.day_mg, f->ration_mg) < apart(best.day_mg, f->ration_mg);
        bool halves = !f->half_meals || m.halves > 1; /* half a meal can be measured, too */
        if (n < 1 || !halves || n < best_suits || (n == best_suits && !better))
            continue;
        best = m;
        best_suits = n;
        f->with = size->measure;
        f->with_mg = size->weight_mg;
    }
    f->halves = best.halves;
    f->first_more = f->with && best.day_mg > best.meals * best.meal_mg;
    f->half_halves = best.halves / 2;
    f->meals = f->with ? best.meals : f->meals;
    f->meal_mg = f->with ? best.meal_mg : feeding_weighable_mg(f->ration_mg / f->meals);
    f->half_mg =
        f->with ? f->half_halves * (f->with_mg / 2)
                : feeding_weighable_mg((int64_t)((double)f->meal_mg * book_number(BOOK_FEED_HALF)));
}

/* Fry of two weeks are fed twice in a pond, larvae that went straight in four times until they are
 * as old; all others by their weight. */
static int meals_of(const struct feeding *f) {
    int straight = (int)book_number(BOOK_TWO_WEEKS_DAYS);
    if (f->rule != FEEDING_NURSERY)
        return ration_meals(f->weight_mg);
    return ration_meals(
        cycle_direct(f->cycle) && f->day < straight ? (int64_t)book_number(BOOK_LARVA_MG) : 0);
}

static void put_meals(struct feeding *f, const struct farm_state *state, const struct pond *pond,
                      const struct zone *zone, int64_t at_s) {
    f->meals = meals_of(f);
    f->half_meals = half_meals(pond, f->cycle, zone, at_s, f->meals);
    put_measures(f, state, pond);
    f->half_meals = half_meals(pond, f->cycle, zone, at_s, f->meals);
    f->first_more = f->first_more && !f->half_meals;
    f->told_mg = f->first_more ? f->with_mg / 2 : 0;
    for (int i = 0; i < f->meals; i++)
        f->told_mg += f->half_meals & 1u << i ? f->half_mg : f->meal_mg;
    if (f->rule == FEEDING_NURSERY && !f->with && !f->half_meals) /* "up to": of both meals */
        f->told_mg = feeding_weighable_mg(f->ration_mg);
}

/* -- the day's ration ----------------------------------------------------------------------------
 */

static bool sampled_large(const struct cycle *c, int64_t at_s) {
    int64_t large_ug = (int64_t)(book_number(BOOK_FINGERLING_G) * G_MG) * UG_MG;
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++)
        if ((c->events[i].kind == FISH_SAMPLED || c->events[i].kind == FISH_TAKEN) &&
            c->events[i].mean_ug >= large_ug)
            return true;
    return false;
}

static enum feeding_rule rule_of(const struct pond *pond, const struct cycle *c,
                                 const struct feeding *f, int64_t at_s) {
    bool fry = !cycle_grown(c) && f->day <= FEEDING_NURSERY_DAYS && !sampled_large(c, at_s);
    if (fry)
        return pond->area_cm2 ? FEEDING_NURSERY : FEEDING_NO_AREA;
    return f->weight_mg ? FEEDING_WEIGHT : FEEDING_NO_WEIGHT;
}

/* What trade wants to know of the water, whatever swims in it. */
static struct ration_pond water_of(const struct farm_state *state, const struct pond *pond,
                                   const struct zone *zone, int64_t at_s, struct feeding *f) {
    const struct measured *secchi = &pond->last[READING_SECCHI];
    bool clear = within(secchi->at_s, at_s, (int64_t)FEEDING_READING_DAYS * DAY_S);
    int64_t treated_h = (at_s - pond->treated_s) / HOUR_S;
    bool treated = pond->treated_s && pond->treated_s <= at_s &&
                   treated_h < (int64_t)book_number(BOOK_FEED_TREATED_H);
    f->water_mdegc = water_read(state, pond, at_s);
    f->oxygen_ug_l = oxygen_read(pond, zone, at_s, &f->dawn);
    f->secchi_mm = clear ? secchi->value : -1;
    f->treated_s = treated ? pond->treated_s : 0;
    f->was_treated_s = !treated && within(pond->treated_s, at_s, 2 * DAY_S) ? pond->treated_s : 0;
    put_poisons(f, pond, at_s);
    return (struct ration_pond){.water_mdegc = f->water_mdegc,
                                .area_cm2 = pond->area_cm2,
                                .oxygen_ug_l = f->oxygen_ug_l,
                                .secchi_mm = f->secchi_mm,
                                .ph_milli = f->ph_milli,
                                .ammonia_permille = f->ammonia_permille,
                                .nitrite_permille = f->nitrite_permille,
                                .treated_h = treated ? treated_h : -1,
                                .harvest_d = -1,
                                .share_ppm = -1,
                                .age_days = -1,
                                .aerated = pond->aerator == AERATOR_RUNS,
                                .gasping = feeding_gasps(pond, at_s)};
}

/* The day set for the catch, else that of the nursery's harvest where it is near; 0 none. */
static int64_t catch_of(const struct pond *pond, const struct cycle *c, const struct zone *zone,
                        int64_t at_s) {
    if (pond->catch_s && zone_days_between(zone, at_s, pond->catch_s) >= 0)
        return pond->catch_s;
    for (int nth = 0; nth < 2 && !cycle_grown(c); nth++) {
        int64_t day_s = plan_harvest_nth(c, zone, nth);
        int ahead = day_s ? zone_days_between(zone, at_s, day_s) : -1;
        if (ahead >= 0 && ahead <= (int)book_number(BOOK_FEED_EMPTY_DAYS))
            return day_s;
    }
    return 0;
}

/* And of the fish. Where nothing is known of them it is asked about one of a gram: what stops
 * feeding does not hang on it. */
static struct ration_pond pond_of(const struct farm_state *state, const struct pond *pond,
                                  const struct zone *zone, int64_t at_s, bool looked,
                                  struct feeding *f) {
    struct ration_pond asked = water_of(state, pond, zone, at_s, f);
    struct plan_night night = plan_night(state, pond, zone);
    f->night = night.danger && at_s >= night.second_s && at_s < night.dawn_s;
    f->unseen = night.danger && !looked && at_s >= night.dawn_s &&
                !zone_days_between(zone, night.dawn_s, at_s);
    f->catch_s = catch_of(pond, f->cycle, zone, at_s);
    asked.count = f->fish > 0 ? f->fish : 1;
    asked.weight_mg = f->weight_mg ? f->weight_mg : G_MG;
    asked.oxygen_ug_l = f->night || f->unseen ? 0 : f->oxygen_ug_l;
    asked.harvest_d = f->catch_s ? zone_days_between(zone, at_s, f->catch_s) : -1;
    asked.share_ppm = f->own ? f->share_ppm : -1;
    asked.age_days = growing_age_days(state, f->cycle, at_s);
    asked.left_steps = f->steps;
    asked.many_dead = many_died(state, f->cycle, zone, at_s);
    return asked;
}

/* Of larvae that went straight in the least is that of fry, too: fewer than are usual. */
static int64_t least_of(const struct pond *pond) {
    int64_t usual_mm = (int64_t)(book_number(BOOK_POND_DEPTH_MOST_M) * 1000);
    return nursery_least(pond->area_cm2, pond->depth_mm ? pond->depth_mm : usual_mm);
}

struct nursery_feed feeding_nursery(const struct farm_state *state, const struct pond *pond,
                                    const struct cycle *c, const struct zone *zone, int64_t at_s) {
    int days[LEFT_MOST];
    int count = left_days(pond, c, zone, at_s, days);
    return nursery_feed_of(pond->area_cm2, zone_days_between(zone, c->stocked_s, at_s),
                           nursery_few_permille(growing_stocked(state, c, at_s), least_of(pond)),
                           days, count, pond->aerator == AERATOR_RUNS);
}

/* Weighed or counted since they came; also where as many were taken out as are left, or those taken
 * were weighed: then the area says less than they do. */
static bool known(const struct feeding *f, int64_t at_s) {
    const struct cycle *c = f->cycle;
    int64_t taken = 0;
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++) {
        const struct fish_event *e = &c->events[i];
        if (e->kind == FISH_SAMPLED || e->kind == FISH_COUNTED ||
            (e->kind == FISH_TAKEN && e->mean_ug))
            return true;
        taken += e->kind == FISH_TAKEN || e->kind == FISH_BIG ? e->count : 0;
    }
    return taken > 0 && taken >= f->fish;
}

/* By their weight and the water alone. */
static void put_line(struct feeding *f) {
    f->factor_permille = ration_factor_permille(ration_water_mdegc(f->water_mdegc));
    f->line_mg = (int64_t)((double)f->biomass_mg * ((double)f->share_ppm / 1e6) *
                               ((double)f->factor_permille / 1000) +
                           0.5);
}

/* Our own rule, no source: no more than fish of that weight get anywhere. Between half a gram and
 * ten their intestines burst at more than the book's share. */
static void hold_to_fish(struct feeding *f, const struct ration *r, int64_t at_s) {
    if (f->weight_mg <= 0 || !known(f, at_s) || r->line_mg <= 0 || f->ration_mg <= r->line_mg)
        return;
    f->by_fish = true;
    put_line(f);
    f->capped = false;
    f->guard = RATION_GUARD_NONE;
    f->ration_mg = r->line_mg;
}

static void by_area(struct feeding *f, const struct farm_state *state, const struct pond *pond,
                    const struct ration *r, const struct zone *zone, int64_t at_s) {
    struct nursery_feed line = feeding_nursery(state, pond, f->cycle, zone, at_s);
    int64_t fry = growing_stocked(state, f->cycle, at_s), least = least_of(pond);
    if (nursery_few_permille(fry, least) < 1000) {
        f->fry = fry;
        f->least = least;
        f->usual_mg = nursery_ration_mg(pond->area_cm2, f->day);
    }
    f->line_mg = line.line_mg;
    f->guard = line.guard;
    f->capped = line.capped;
    f->ration_mg = line.ration_mg;
    hold_to_fish(f, r, at_s);
    if (r->halved || r->halved_ammonia)
        f->ration_mg = (int64_t)((double)f->ration_mg * book_number(BOOK_FEED_HALF));
}

static void by_weight(struct feeding *f, const struct ration *r) {
    put_line(f);
    f->guessed = r->guessed;
    f->guard = r->guard;
    f->capped = r->capped;
    f->ration_mg = r->ration_mg;
}

/* Fed on most of the last seven days, and on those not half of what they should get: on the others
 * they had none, or nobody texted it. Of a nursery's upper line nobody has to give all. */
static bool eats_little(const struct farm_state *state, const struct pond *pond,
                        const struct zone *zone, const struct feeding *f, int64_t at_s) {
    enum { FED_DAYS_LEAST = 4 };
    int64_t to_s = zone_midnight(zone, at_s, 0);
    int64_t from_s = zone_midnight(zone, at_s, -FEEDING_OFTEN_DAYS);
    int days = 0, last = -1;
    if (f->rule != FEEDING_WEIGHT || from_s < f->cycle->stocked_s)
        return false;
    for (int i = 0; i < pond->given_count; i++) {
        int64_t given_s = pond->given[i].at_s;
        int day =
            given_s >= from_s && given_s < to_s ? zone_days_between(zone, from_s, given_s) : -1;
        days += day >= 0 && day != last;
        last = day;
    }
    double meant_mg = (double)f->line_mg * days;
    return days >= FED_DAYS_LEAST && (double)growing_fed_mg(state, f->cycle, from_s, to_s) <
                                         meant_mg * book_number(BOOK_FEED_HALF);
}

/* Fry differ much in size: the smallest of them must get it into their mouths. */
static int64_t grain_of(const struct feeding *f) {
    bool fry = f->rule == FEEDING_NURSERY;
    return ration_grain_um(fry ? (int64_t)((double)f->weight_mg * book_number(BOOK_SPREAD_SMALL))
                               : f->weight_mg);
}

/* Fed by the area the day before. */
static bool turned(const struct pond *pond, const struct feeding *f, int64_t at_s) {
    struct feeding before = *f;
    before.day--;
    return f->rule == FEEDING_WEIGHT && before.day >= 0 &&
           rule_of(pond, f->cycle, &before, at_s - DAY_S) == FEEDING_NURSERY;
}

struct feeding feeding_looked(const struct farm_state *state, const struct pond *pond,
                              const struct zone *zone, int64_t at_s, bool looked) {
    struct feeding f = {.cycle = pond->cycle ? farm_cycle(state, pond->cycle) : NULL};
    if (!f.cycle || at_s < f.cycle->stocked_s)
        return (struct feeding){.rule = FEEDING_EMPTY};
    struct growing g = growing_of(state, f.cycle, at_s);
    int days[LEFT_MOST];
    int count = left_days(pond, f.cycle, zone, at_s, days);
    f.day = zone_days_between(zone, f.cycle->stocked_s, at_s);
    f.fish = g.fish.middle;
    f.weight_mg = g.reason == GROWTH_OK ? g.weight_mg.middle : 0;
    f.biomass_mg = g.biomass_mg;
    f.own = state->table_count > 0;
    f.share_ppm = f.own ? feeding_table_ppm(state->table, state->table_count, f.weight_mg)
                        : ration_ppm(f.weight_mg);
    f.steps = nursery_ration_steps(days, count, f.day);
    f.left_days = often(days, count, f.day);
    f.given_mg = growing_fed_mg(state, f.cycle, zone_midnight(zone, at_s, 0), at_s + 1);
    f.rule = f.fish > 0 ? rule_of(pond, f.cycle, &f, at_s) : FEEDING_EMPTY;
    if (f.rule == FEEDING_EMPTY)
        return f;
    f.turned = turned(pond, &f, at_s);
    const struct ration_pond asked = pond_of(state, pond, zone, at_s, looked, &f);
    const struct ration r = ration_of(&asked);
    if (r.reason == RATION_IMPOSSIBLE) { /* nothing sensible is known of so many or such fish */
        f.rule = FEEDING_NO_WEIGHT;
        return f;
    }
    f.reason = r.reason;
    f.reasons = r.reasons;
    f.halved = r.halved;
    f.halved_ammonia = r.halved_ammonia;
    f.grain_um = grain_of(&f);
    if (f.rule == FEEDING_NURSERY)
        by_area(&f, state, pond, &r, zone, at_s);
    else if (f.rule == FEEDING_WEIGHT)
        by_weight(&f, &r);
    f.eats_little = eats_little(state, pond, zone, &f, at_s);
    if (f.reason != RATION_OK)
        f.ration_mg = 0;
    if (f.ration_mg > 0)
        put_meals(&f, state, pond, zone, at_s);
    return f;
}

struct feeding feeding_of(const struct farm_state *state, const struct pond *pond,
                          const struct zone *zone, int64_t at_s) {
    return feeding_looked(state, pond, zone, at_s, true);
}

/* -- brood fish ----------------------------------------------------------------------------------
 */

/* How many there are, what they weigh, and what they would eat in warm water. */
static int64_t brood_line_mg(const struct farm_state *state, int pond, struct feeding *f) {
    int64_t line_mg = 0;
    for (int i = 0; i < state->brood_count; i++) {
        const struct brood *fish = &state->brood[i];
        if (fish->pond != pond || fish->died_s)
            continue;
        f->fish++;
        f->biomass_mg += fish->weight_mg;
        line_mg += brood_feed_mg(fish->weight_mg, -1);
    }
    f->weight_mg = f->fish ? f->biomass_mg / f->fish : 0;
    return line_mg;
}

struct feeding feeding_brood(const struct farm_state *state, int number, const struct zone *zone,
                             int64_t at_s) {
    const struct pond unknown = {.number = number}, *known = farm_pond(state, number);
    const struct pond *pond = known ? known : &unknown;
    struct feeding f = {.rule = FEEDING_BROOD};
    int64_t line_mg = brood_line_mg(state, number, &f);
    if (!number || pond->cycle || !f.fish)
        return (struct feeding){.rule = FEEDING_EMPTY};
    struct ration_pond asked = water_of(state, pond, zone, at_s, &f);
    asked.count = f.fish;
    asked.weight_mg = f.weight_mg ? f.weight_mg : G_MG;
    const struct ration r = ration_of(&asked);
    f.factor_permille = ration_factor_permille(ration_water_mdegc(f.water_mdegc));
    f.reason = r.reason;
    f.reasons = r.reasons;
    f.halved = r.halved;
    f.halved_ammonia = r.halved_ammonia;
    f.guessed = r.guessed;
    f.line_mg = (line_mg * f.factor_permille + 500) / 1000;
    f.ration_mg = f.halved || f.halved_ammonia
                      ? (int64_t)((double)f.line_mg * book_number(BOOK_FEED_HALF))
                      : f.line_mg;
    f.ration_mg = f.reason == RATION_OK ? f.ration_mg : 0;
    for (int i = 0; i < pond->given_count; i++)
        if (pond->given[i].at_s <= at_s && !zone_days_between(zone, pond->given[i].at_s, at_s))
            f.given_mg += pond->given[i].feed_mg;
    f.meals = ration_meals(f.weight_mg);
    if (f.ration_mg > 0)
        put_measures(&f, state, pond);
    f.told_mg = f.meal_mg * f.meals + (f.first_more ? f.with_mg / 2 : 0);
    return f;
}
