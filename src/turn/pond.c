/* pond: nursery ponds and their preparing. In: a request; out: entries and an answer, or one
 * question. Days are counted back from the day the fry come; numbers are trade's. */
#include "trade/book.h"
#include "trade/lime.h"
#include "trade/nursery.h"
#include "turn/inside.h"

enum {
    DAY_S = 86400,
    AREA_LEAST_CM2 = 10000, /* outside a square metre and ten hectares it is no pond of ours */
    DEPTH_LEAST_MM = 100,
    DEPTH_MOST_MM = 5000
};
#define AREA_MOST_CM2 INT64_C(1000000000)

/* -- finding -------------------------------------------------------------------------------------
 */

struct tag turn_pond_tag(int number) {
    return (struct tag){'p', number};
}

static struct slice pond_tags(struct turn *t) {
    struct buf b = buf_make_in(t->arena, 200);
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->pond_count && i < 12; i++)
        buf_putf(&b, "%sP%d", i ? " " : "", st->ponds[i].number);
    return buf_slice(&b);
}

void turn_refuse_pond(struct turn *t, struct tag tag) {
    struct slice tags = pond_tags(t);
    if (tags.n)
        TURN_SAY(t, POND_UNKNOWN, V_TAG(tag), V_TEXT(tags));
    else
        TURN_SAY(t, POND_UNKNOWN_NONE, V_TAG(tag));
}

const struct pond *turn_fill_pond(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    if (!request_has(r, SLOT_POND) && st->pond_count == 1) {
        r->pond = turn_pond_tag(st->ponds[0].number);
        r->has |= SLOT_BIT(SLOT_POND);
    }
    if (!request_has(r, SLOT_POND)) {
        if (st->pond_count)
            TURN_ASK(t, r, SLOT_POND, ASK_POND, V_KIND(r->kind), V_TEXT(pond_tags(t)));
        else
            TURN_ASK(t, r, SLOT_POND, ASK_POND_ANY, V_KIND(r->kind));
        return NULL;
    }
    const struct pond *pond = farm_pond(st, r->pond.number);
    if (!pond)
        turn_refuse_pond(t, r->pond);
    return pond;
}

/* -- pH of soil and water ------------------------------------------------------------------------
 */

bool turn_impossible_ph(struct turn *t, int64_t ph_milli) {
    enum { LEAST_MILLI = 3000, MOST_MILLI = 12000 }; /* our own bounds, wide */
    if (ph_milli >= LEAST_MILLI && ph_milli <= MOST_MILLI)
        return false;
    TURN_SAY(t, PH_IMPOSSIBLE, V_DECIMAL(ph_milli));
    return true;
}

static void read_ph(struct turn *t, struct request *r, const struct pond *pond) {
    int64_t at_s;
    if (pond->cycle) { /* of water with fish in it: judged with all that was read there */
        r->kind = REQUEST_WATER;
        (void)turn_judge_pond_water(t, r);
        return;
    }
    if (turn_impossible_ph(t, r->ph_milli) || !turn_fill_instant(t, r, &at_s))
        return;
    int number = pond->number;
    turn_record(t, ENTRY_POND_PH, SUBJECT_POND, number, at_s, r->ph_milli, 0, 0);
    if (!turn_commit(t))
        return;
    if (r->ph_milli < (int64_t)(book_number(BOOK_PH_ACID) * 1000))
        TURN_SAY(t, PH_LOW, V_TAG(turn_pond_tag(number)), V_DECIMAL(r->ph_milli));
    else if (r->ph_milli >= (int64_t)(book_number(BOOK_STOCK_PH_MOST) * 1000))
        TURN_SAY(t, PH_HIGH, V_TAG(turn_pond_tag(number)), V_DECIMAL(r->ph_milli));
    else
        TURN_SAY(t, PH_GOOD, V_TAG(turn_pond_tag(number)), V_DECIMAL(r->ph_milli));
}

/* -- pond ----------------------------------------------------------------------------------------
 */

/* Whole cubic metres of water. */
static int64_t cubic(const struct pond *pond) {
    return (nursery_volume_ml(pond->area_cm2, pond->depth_mm) + 500000) / 1000000;
}

static void say_pond(struct turn *t, const struct pond *pond) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    struct reply_value area = V_AREA(pond->area_cm2), depth = V_METRE(pond->depth_mm);
    if (!pond->area_cm2) {
        TURN_SAY(t, POND_NOTED_NO_AREA, tag);
        return;
    }
    if (!pond->depth_mm) {
        TURN_SAY(t, POND_NOTED_NO_DEPTH, tag, area);
        return;
    }
    if (turn_say_brood_shape(t, pond))
        return;
    int64_t low = turn_two_figures(nursery_least(pond->area_cm2, pond->depth_mm));
    int64_t high = turn_two_figures(nursery_most(pond->area_cm2, pond->depth_mm));
    if (pond->depth_mm > (int64_t)(book_number(BOOK_POND_DEPTH_MOST_M) * 1000))
        TURN_SAY(t, POND_DEEP, tag, area, depth, V_NUMBER(cubic(pond)), V_NUMBER(low),
                 V_NUMBER(high));
    else if (pond->fence == FENCE_STANDS)
        TURN_SAY(t, POND_NOTED, tag, area, depth, V_NUMBER(low), V_NUMBER(high));
    else
        TURN_SAY(t, POND_NOTED_OPEN, tag, area, depth, V_NUMBER(low), V_NUMBER(high));
}

/* Asked, nothing recorded. */
static void say_known(struct turn *t, const struct pond *pond) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    const struct cycle *c = pond->cycle ? farm_cycle(&t->farm->state, pond->cycle) : NULL;
    struct reply_value area = V_AREA(pond->area_cm2), depth = V_METRE(pond->depth_mm);
    if (c && turn_grown(c, t->now_s))
        TURN_SAY(t, POND_GROWS, tag, area, depth, V_TEXT(turn_left_text(t, c)),
                 V_DATE(c->stocked_s));
    else if (c)
        TURN_SAY(t, POND_HOLDS, tag, area, depth, V_TEXT(turn_left_text(t, c)),
                 V_DATE(c->stocked_s), V_DATE(plan_harvest_day(c, t->zone)));
    else if (pond->ready_s && !pond_no_fry_s(&t->farm->state, pond))
        TURN_SAY(t, POND_PREPARED, tag, area, depth, V_DATE(pond->ready_s));
    else
        TURN_SAY(t, POND_IS, tag, area, depth, V_NUMBER(cubic(pond)));
}

static int soil_of(const struct request *r) {
    return request_chose(r, CHOICE_CLAY)   ? SOIL_CLAY
           : request_chose(r, CHOICE_LOAM) ? SOIL_SANDY_LOAM
           : request_chose(r, CHOICE_SAND) ? SOIL_SAND
                                           : 0;
}

static enum fence fence_of(const struct request *r) {
    return request_chose(r, CHOICE_FENCED) ? FENCE_STANDS
           : request_chose(r, CHOICE_OPEN) ? FENCE_NONE
                                           : 0;
}

static enum aerator aerator_of(const struct request *r) {
    return request_chose(r, CHOICE_AERATED) ? AERATOR_RUNS
           : request_chose(r, CHOICE_STILL) ? AERATOR_NONE
                                            : 0;
}

/* What lies outside sense is refused: a pond of no depth, ten hectares. */
static bool pond_possible(struct turn *t, const struct request *r) {
    bool area = !request_has(r, SLOT_AREA) ||
                (r->area_cm2 >= AREA_LEAST_CM2 && r->area_cm2 <= AREA_MOST_CM2);
    bool depth = !request_has(r, SLOT_DEPTH) ||
                 (r->depth_mm >= DEPTH_LEAST_MM && r->depth_mm <= DEPTH_MOST_MM);
    if (area && depth)
        return !request_has(r, SLOT_PH) || !turn_impossible_ph(t, r->ph_milli);
    if (!area)
        TURN_SAY(t, AREA_IMPOSSIBLE, V_TAG(r->pond), V_AREA(r->area_cm2));
    else
        TURN_SAY(t, DEPTH_IMPOSSIBLE, V_TAG(r->pond), V_METRE(r->depth_mm));
    return false;
}

static bool lime_known(const struct pond *pond) {
    return pond->soil_ph_milli && pond->soil && pond->area_cm2;
}

static void say_aerator(struct turn *t, const struct pond *pond, bool behind) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    bool runs = pond->aerator == AERATOR_RUNS;
    if (behind && runs)
        TURN_SAY(t, POND_AERATED_TOO);
    else if (behind)
        TURN_SAY(t, POND_STILL_TOO);
    else if (runs)
        TURN_SAY(t, POND_AERATED, tag);
    else
        TURN_SAY(t, POND_STILL, tag);
}

void turn_do_pond(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    if (!request_has(r, SLOT_POND)) {
        (void)turn_fill_pond(t, r);
        return;
    }
    const struct pond *known = farm_pond(st, r->pond.number);
    bool ph_alone =
        request_has(r, SLOT_PH) &&
        !(r->has & (SLOT_BIT(SLOT_AREA) | SLOT_BIT(SLOT_DEPTH) | SLOT_BIT(SLOT_CHOICE)));
    if (known && ph_alone && (known->cycle || plan_prep_ph(known) || known->done_s[PREP_FILL])) {
        read_ph(t, r, known); /* of its water: the soil lies under it */
        return;
    }
    int soil = soil_of(r);
    enum fence fence = fence_of(r);
    bool shape = request_has(r, SLOT_AREA) || request_has(r, SLOT_DEPTH) || fence;
    bool ground = soil || request_has(r, SLOT_PH);
    enum aerator aerator = aerator_of(r);
    if (!pond_possible(t, r))
        return;
    if (!known && !request_has(r, SLOT_AREA)) {
        TURN_ASK(t, r, SLOT_AREA, ASK_AREA, V_TAG(r->pond));
        return;
    }
    int number = r->pond.number;
    if (shape)
        turn_record(t, ENTRY_POND, SUBJECT_POND, number, t->base_s,
                    request_has(r, SLOT_AREA) ? r->area_cm2 : 0,
                    request_has(r, SLOT_DEPTH) ? r->depth_mm : 0, fence);
    if (ground)
        turn_record(t, ENTRY_SOIL, SUBJECT_POND, number, t->base_s,
                    request_has(r, SLOT_PH) ? r->ph_milli : 0, soil, 0);
    if (aerator)
        turn_record(t, ENTRY_AERATOR, SUBJECT_POND, number, t->base_s, aerator, 0, 0);
    bool said = t->entry_count > t->entries_kept;
    if (said && !turn_commit(t))
        return;
    const struct pond *pond = farm_pond(st, number);
    if (!said)
        say_known(t, pond);
    else if (ground && !shape)
        turn_say_lime(t, pond);
    else if (shape)
        say_pond(t, pond);
    if (ground && shape && lime_known(pond))
        turn_say_lime(t, pond);
    if (aerator) /* behind what already says how to take it back */
        say_aerator(t, pond, shape || (ground && !lime_known(pond)));
}

void turn_say_lime(struct turn *t, const struct pond *pond) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    if (!lime_known(pond)) {
        TURN_SAY(t, LIME_MORE, tag);
        return;
    }
    struct lime_dose dose = lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2);
    turn_about(t, t->sender, ABOUT_LIME, pond->number, (struct slice){0});
    if (pond->cycle && dose.reason == LIME_OK)
        TURN_SAY(t, LIME_FISH, tag, V_NUMBER((dose.carbonate_mg + 999999) / 1000000));
    else if (dose.reason == LIME_OK)
        TURN_SAY(t, LIME_AMOUNT, tag, V_NUMBER((dose.carbonate_mg + 999999) / 1000000),
                 V_NUMBER((lime_as(LIME_HYDRATED, dose.carbonate_mg) + 999999) / 1000000),
                 V_NUMBER((lime_as(LIME_QUICK, dose.carbonate_mg) + 999999) / 1000000));
    else if (dose.reason == LIME_TOO_ACID)
        TURN_SAY(t, DUE_LIME_ADVISER, tag);
    else
        TURN_SAY(t, DUE_LIME_NONE, tag);
}

/* -- preparing -----------------------------------------------------------------------------------
 */

/* Noon of a date; without its year this one's, or the next when it is long past in this. False:
 * there is no such day. */
static bool noon_of(const struct turn *t, const struct request *r, int64_t *noon_s) {
    enum { PAST_DAYS = 60, NOON_H = 12 };
    struct zone_time day = {.year =
                                r->date_year ? r->date_year : zone_local(t->zone, t->base_s).year,
                            .month = r->date_month,
                            .day = r->date_day,
                            .hour = NOON_H};
    bool good = !zone_instant(t->zone, day, noon_s);
    if (!good || r->date_year || zone_days_between(t->zone, *noon_s, t->base_s) <= PAST_DAYS)
        return good;
    day.year++;
    return !zone_instant(t->zone, day, noon_s);
}

bool turn_named_day(struct turn *t, const struct request *r, int64_t *day_s) {
    if (!request_has(r, SLOT_DATE)) {
        *day_s = plan_clock(t->zone, t->base_s, r->day, 12);
    } else if (!noon_of(t, r, day_s)) {
        TURN_SAY(t, DAY_NONE);
        return false;
    }
    int days = zone_days_between(t->zone, t->base_s, *day_s);
    if (days >= 0 && days <= DAYS_AHEAD_MOST)
        return true;
    TURN_SAY(t, DAY_IMPOSSIBLE, V_DATE(*day_s));
    return false;
}

/* The only spawn on its way that no pond is being prepared for; NULL: none, or several. */
static const struct spawn *waiting_spawn(const struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *only = NULL;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        bool pond = false;
        for (int k = 0; k < st->pond_count; k++)
            pond |= st->ponds[k].spawn == s->number;
        if (pond || !spawn_open(s, t->now_s) || spawn_phase(s) == PHASE_FISH)
            continue;
        if (only)
            return NULL;
        only = s;
    }
    return only;
}

/* When a spawn's fry are two weeks old: by its hatch, else by the hour it is looked at. */
static int64_t fry_day(const struct turn *t, const struct spawn *s) {
    int days = (int)book_number(BOOK_TWO_WEEKS_DAYS);
    if (s->stripped_s && spawn_hatch_s(s))
        return plan_larvae_day(s, t->zone, days);
    return plan_clock(t->zone, s->injected_s, days + 2, 12); /* a night, and a day to hatch */
}

/* The next step that is not done, and its day. */
static void say_step(struct turn *t, const struct pond *pond, int done) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    if (done == PREP_LIME && plan_prep_ph(pond)) {
        TURN_SAY(t, LIMED_CAUSTIC, tag);
        return;
    }
    if (done == PREP_LIME && !pond->lime) {
        TURN_SAY(t, LIMED_WHICH, tag);
        return;
    }
    static const enum reply_id ids[] = {[PREP_LIME] = REPLY_PREP_NEXT_LIME,
                                        [PREP_MANURE] = REPLY_PREP_NEXT_MANURE,
                                        [PREP_FILL] = REPLY_PREP_NEXT_FILL};
    if (pond_no_fry_s(&t->farm->state, pond)) { /* for nobody's fry, as it stands */
        TURN_SAY(t, PREP_NOTED, tag);
        return;
    }
    if (done == PREP_FILL && plan_prep_early(pond)) {
        TURN_SAY(t, PREP_FILL_EARLY, tag, V_DATE(pond->ready_s),
                 V_DATE(plan_prep_day(pond, t->zone, PREP_FILL)));
        return;
    }
    struct lime_dose dose = lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2);
    for (int step = done + 1; step <= PREP_FILL; step++) {
        int64_t day_s = plan_prep_day(pond, t->zone, step);
        bool lime = step == PREP_LIME;
        if (plan_prep_past(pond, step) || !day_s || (lime && dose.reason == LIME_NOT_NEEDED))
            continue;
        if (lime && dose.reason == LIME_OK) {
            TURN_SAY(t, PREP_NEXT_LIME_KG, tag, V_NUMBER((dose.carbonate_mg + 999999) / 1000000),
                     V_DATE(day_s));
            return;
        }
        const struct reply r = {ids[step], {tag, V_DATE(day_s)}};
        turn_say(t, &r);
        return;
    }
    if (pond->ready_s)
        TURN_SAY(t, PREP_DONE, tag, V_DATE(pond->ready_s));
    else
        TURN_SAY(t, PREP_NOTED, tag);
}

/* The last one that is done; 0: none. */
static int last_step(const struct pond *pond) {
    int step = PREP_FILL;
    while (step > 0 && !pond->done_s[step])
        step--;
    return step;
}

static void say_prepared(struct turn *t, const struct pond *pond) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number)), ready = V_DATE(pond->ready_s);
    struct reply_value day[PREP_FILL + 1];
    for (int step = PREP_DRY; step <= PREP_FILL; step++)
        day[step] = V_DATE(plan_prep_day(pond, t->zone, step));
    switch (plan_prep_form(pond, t->zone)) {
    case PREP_LONG:
        TURN_SAY(t, PREPARE_LONG, tag, ready, day[PREP_DRY], day[PREP_LIME], day[PREP_MANURE],
                 day[PREP_FILL]);
        break;
    case PREP_SHORT:
        if (lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2).reason == LIME_OK)
            TURN_SAY(t, PREPARE_SHORT_LIME, tag, ready, day[PREP_DRY], day[PREP_LIME],
                     day[PREP_MANURE], day[PREP_FILL]);
        else
            TURN_SAY(t, PREPARE_SHORT, tag, ready, day[PREP_DRY], day[PREP_MANURE], day[PREP_FILL]);
        break;
    case PREP_LATE: /* what is left of it can still be done */
        say_step(t, pond, last_step(pond));
        break;
    }
}

/* Days from now on for what is left to do, by the short form; what was done long before is not of
 * this time. */
static int days_left(const struct turn *t, const struct pond *pond) {
    int64_t since_s = t->base_s - nursery_prepare_days(false) * (int64_t)DAY_S;
    int step = last_step(pond);
    if (!step || pond->done_s[step] < since_s)
        return nursery_prepare_days(true);
    return step == PREP_FILL ? 0 : nursery_prepare_before(true, step + 1);
}

/* False: too late for that day, and the soonest one was asked for. */
static bool in_time(struct turn *t, struct request *r, const struct pond *pond, int64_t *day_s) {
    int64_t soonest_s = plan_clock(t->zone, t->base_s, days_left(t, pond), 12);
    if (zone_days_between(t->zone, *day_s, soonest_s) <= 0)
        return true;
    if (r->confirms & CONFIRM_HOUR)
        *day_s = soonest_s;
    else
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_HOUR, ASK_PREP_LATE, V_TAG(r->pond), V_DATE(*day_s),
                 V_DATE(soonest_s));
    return r->confirms & CONFIRM_HOUR;
}

static void prepare(struct turn *t, struct request *r, const struct pond *pond) {
    int64_t day_s;
    const struct spawn *s = NULL;
    if (request_has(r, SLOT_TAG)) {
        s = turn_fill_spawn(t, r, SPAWN_ANY, t->base_s);
        if (!s)
            return;
    } else if (!request_has(r, SLOT_DATE)) {
        s = waiting_spawn(t);
        if (!s) {
            TURN_ASK(t, r, SLOT_DATE, ASK_PREP_DAY, V_TAG(r->pond));
            return;
        }
    }
    if (s)
        day_s = fry_day(t, s);
    else if (!turn_named_day(t, r, &day_s))
        return;
    if (pond->cycle && !(r->confirms & CONFIRM_FULL)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_FULL, ASK_PREP_FULL, V_TAG(r->pond));
        return;
    }
    if (!in_time(t, r, pond, &day_s))
        return;
    int number = pond->number;
    turn_record(t, ENTRY_PREPARE, SUBJECT_POND, number, t->base_s, day_s, s ? s->number : 0, 0);
    if (turn_commit(t))
        say_prepared(t, farm_pond(&t->farm->state, number));
}

/* 0: none was named. */
static int step_of(const struct request *r) {
    return request_chose(r, CHOICE_DRY)      ? PREP_DRY
           : request_chose(r, CHOICE_LIME)   ? PREP_LIME
           : request_chose(r, CHOICE_MANURE) ? PREP_MANURE
           : request_chose(r, CHOICE_FILL)   ? PREP_FILL
                                             : 0;
}

static int lime_kind_of(const struct request *r) {
    return request_chose(r, CHOICE_CARBONATE)  ? LIME_CARBONATE
           : request_chose(r, CHOICE_HYDRATED) ? LIME_HYDRATED
           : request_chose(r, CHOICE_QUICK)    ? LIME_QUICK
                                               : 0;
}

void turn_do_prep(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct pond *pond = turn_fill_pond(t, r);
    if (!pond)
        return;
    int step = step_of(r);
    int lime = lime_kind_of(r), number = pond->number;
    if (lime && !step)
        step = PREP_LIME;
    if (request_has(r, SLOT_PH)) {
        read_ph(t, r, pond);
        return;
    }
    if (!step) {
        prepare(t, r, pond);
        return;
    }
    if (!turn_fill_instant(t, r, &at_s))
        return;
    turn_record(t, ENTRY_PREPARED, SUBJECT_POND, number, at_s, step, lime, 0);
    if (turn_commit(t))
        say_step(t, farm_pond(&t->farm->state, number), step);
}
