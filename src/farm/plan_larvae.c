/* plan_larvae: the tasks of larvae, from the first report of them to the pond. In: an open spawn
 * that swims; out: tasks. No errors. Days count from the local day of half hatch; spans from the
 * book. Steps of a day are told in the morning; only food has an hour. */
#include "farm/tasks.h"

enum { NEAR_DAYS = 7, DUSK_HOUR = 17, FIRST_LIGHT_HOUR = 6, LAST_LIGHT_HOUR = 18 };

static int book_days(enum book_id id) {
    return (int)book_number(id);
}

int spawn_larvae_days(const struct spawn *s, const struct zone *zone, int64_t at_s) {
    int64_t hatch_s = spawn_hatch_s(s);
    if (!hatch_s || at_s < hatch_s)
        return -1;
    return zone_days_between(zone, hatch_s, at_s);
}

int64_t plan_larvae_day(const struct spawn *s, const struct zone *zone, int days) {
    int64_t hatch_s = spawn_hatch_s(s);
    return hatch_s ? plan_clock(zone, hatch_s, days, PLAN_STEP_HOUR) : 0;
}

/* Food is given by day: what falls in the dark goes on to first light, a last hour back to dusk. */
int64_t plan_food(const struct spawn *s, const struct zone *zone) {
    int64_t hatch_s = spawn_hatch_s(s);
    if (!hatch_s)
        return 0;
    int64_t at_s = plan_shown(hatch_s + book_days(BOOK_FOOD_AFTER_DAYS) * DAY_S);
    int hour = zone_local(zone, at_s).hour;
    if (hour >= FIRST_LIGHT_HOUR && hour < LAST_LIGHT_HOUR)
        return at_s;
    return plan_clock(zone, at_s, hour >= LAST_LIGHT_HOUR ? 1 : 0, FIRST_LIGHT_HOUR);
}

int64_t plan_food_last(const struct spawn *s, const struct zone *zone) {
    int64_t hatch_s = spawn_hatch_s(s);
    if (!hatch_s)
        return 0;
    int64_t at_s = plan_shown(hatch_s + book_days(BOOK_FOOD_LAST_DAYS) * DAY_S);
    int hour = zone_local(zone, at_s).hour;
    if (hour >= FIRST_LIGHT_HOUR && hour < LAST_LIGHT_HOUR)
        return at_s;
    return plan_clock(zone, at_s, hour >= LAST_LIGHT_HOUR ? 0 : -1, DUSK_HOUR);
}

static struct task task_of(const struct plan *p, const struct spawn *s, enum task_kind kind,
                           int nth, int64_t due_s, int64_t hour_s, int64_t useful_s) {
    return (struct task){.key = {kind, s->number, nth, STAGE_FIRST},
                         .due_s = due_s,
                         .hour_s = hour_s,
                         .useful_s = useful_s,
                         .level = LEVEL_STEP,
                         .hand = plan_hand(p, &s->hands)};
}

/* A step of one day, told in the morning, good until evening. */
static void day_step(struct plan *p, const struct spawn *s, enum task_kind kind, int nth,
                     int64_t at_s) {
    if (at_s)
        plan_step(p, task_of(p, s, kind, nth, at_s, at_s, at_s + 12 * HOUR_S));
}

/* How many hatched: asked the morning after, when it was not said with them. */
static void plan_hatch(struct plan *p, const struct spawn *s) {
    if (s->hatched_s || s->counted_s ||
        spawn_larvae_days(s, p->view->zone, spawn_swims_s(s)) > book_days(BOOK_FOOD_LAST_DAYS))
        return; /* first heard of when many are lost already: a count says more */
    day_step(p, s, TASK_HATCH, 0,
             plan_clock(p->view->zone, spawn_swims_s(s), 1, PLAN_STEP_HOUR + 1));
}

static void plan_first_food(struct plan *p, const struct spawn *s) {
    int64_t food_s = plan_food(s, p->view->zone), last_s = plan_food_last(s, p->view->zone);
    if (s->fed_s || !food_s)
        return;
    if (food_s < last_s)
        plan_step(p, task_of(p, s, TASK_FOOD, 0, food_s, food_s, last_s));
    plan_alarm(p, task_of(p, s, TASK_FOOD, 1, last_s, last_s, last_s + 24 * HOUR_S));
}

/* Whether the frames were reported or not, by the water there are larvae then, and they starve. */
void plan_larvae_unsaid(struct plan *p, const struct spawn *s) {
    if (spawn_hatch(s).half.status == PROGRESS_OK && !spawn_none_left(s))
        plan_first_food(p, s);
}

/* The day's care as the next morning's routine only, from the first food until the pond; where
 * not even the first food was reported, and nothing for a week, nobody reads it. */
static void plan_care(struct plan *p, const struct spawn *s) {
    enum { QUIET_DAYS = 7 };
    if (!s->fed_s && p->view->now_s - s->reported_s > (int64_t)QUIET_DAYS * DAY_S)
        return;
    int64_t food_s = plan_food(s, p->view->zone);
    int until = book_days(BOOK_TWO_WEEKS_DAYS);
    int64_t at_s = 0;
    for (int next = spawn_larvae_days(s, p->view->zone, p->view->now_s);
         next <= until + 7 && at_s <= p->view->now_s; next++) {
        int64_t day_s = plan_morning(p, plan_hand(p, &s->hands), spawn_hatch_s(s), next);
        bool graded = s->graded_s && s->graded_s < day_s; /* then nobody looks for big ones */
        bool step = next == book_days(BOOK_DRYFOOD_DAYS) ||
                    (next == book_days(BOOK_BIG_DAYS) && !graded) || next == until ||
                    next == until + 2;
        if (next < 0 || step || day_s <= food_s) /* the day's own text says enough */
            continue;
        at_s = day_s;
        if (food_s)
            plan_put(p, (struct task){.key = {TASK_CARE, s->number, next, STAGE_FIRST},
                                      .due_s = at_s,
                                      .hour_s = at_s,
                                      .useful_s = at_s + 6 * HOUR_S,
                                      .level = LEVEL_ROUTINE,
                                      .hand = plan_hand(p, &s->hands)});
    }
}

/* No pond is being prepared for them: said by day once it is known that there are eggs to hatch. */
static void plan_wanted_pond(struct plan *p, const struct spawn *s) {
    int64_t fry_s = plan_larvae_day(s, p->view->zone, book_days(BOOK_TWO_WEEKS_DAYS));
    for (int i = 0; i < p->state->pond_count; i++) {
        const struct pond *pond = &p->state->ponds[i];
        int64_t off_s = pond->ready_s > fry_s ? pond->ready_s - fry_s : fry_s - pond->ready_s;
        bool near = pond->ready_s && !pond->spawn && off_s <= NEAR_DAYS * (int64_t)DAY_S;
        if (pond->spawn == s->number || near)
            return;
    }
    day_step(p, s, TASK_POND, 0,
             plan_clock(p->view->zone, spawn_swims_s(s), 1, PLAN_STEP_HOUR + 2));
}

void plan_larvae(struct plan *p, const struct spawn *s) {
    const struct zone *zone = p->view->zone;
    int two_weeks = book_days(BOOK_TWO_WEEKS_DAYS);
    if (spawn_no_fry_s(p->state, s) ||
        spawn_none_left(s)) /* dead, or as many taken as there were */
        return;
    plan_hatch(p, s);
    plan_first_food(p, s);
    plan_care(p, s);
    plan_wanted_pond(p, s);
    day_step(p, s, TASK_DRYFOOD, 0, plan_larvae_day(s, zone, book_days(BOOK_DRYFOOD_DAYS)));
    if (!s->graded_s)
        day_step(p, s, TASK_BIG, 0, plan_larvae_day(s, zone, book_days(BOOK_BIG_DAYS)));
    day_step(p, s, TASK_NURSERY, 0, plan_larvae_day(s, zone, two_weeks));
    day_step(p, s, TASK_NURSERY, 1, plan_larvae_day(s, zone, two_weeks + 2));
}
