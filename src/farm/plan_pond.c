/* plan_pond: the tasks of nursery ponds: preparing, backwards from the day of stocking, then
 * grading and the harvest. In: a pond or an open cycle; out: tasks. No errors. Days before stocking
 * and spans from trade's nursery and its book. */
#include "farm/tasks.h"
#include "trade/lime.h"
#include "trade/nursery.h"

enum { CYCLE_DAYS = 120, STAY_DAYS = 21, DIRECT_MOST_UG = 20000 };

static struct task task_of(enum task_kind kind, int64_t subject, int nth, int64_t at_s,
                           int64_t hand) {
    return (struct task){.key = {kind, subject, nth, STAGE_FIRST},
                         .due_s = at_s,
                         .hour_s = at_s,
                         .useful_s = at_s + 12 * HOUR_S,
                         .level = LEVEL_STEP,
                         .hand = hand};
}

/* -- preparing -----------------------------------------------------------------------------------
 */

static bool caustic(const struct pond *pond) {
    return pond->lime == LIME_HYDRATED || pond->lime == LIME_QUICK;
}

static bool limed(const struct pond *pond) {
    return lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2).reason == LIME_OK;
}

/* By the days of the calendar there were when it was said, so that no form begins yesterday: later
 * reports do not turn one form into another. */
enum prep_form plan_prep_form(const struct pond *pond, const struct zone *zone) {
    int days = pond->ready_s > pond->planned_s
                   ? zone_days_between(zone, pond->planned_s, pond->ready_s)
                   : 0;
    if (days >= nursery_prepare_days(false))
        return PREP_LONG;
    return days >= nursery_prepare_days(true) ? PREP_SHORT : PREP_LATE;
}

int64_t plan_prep_day(const struct pond *pond, const struct zone *zone, int step) {
    enum prep_form form = plan_prep_form(pond, zone);
    int before = nursery_prepare_before(form != PREP_LONG, step);
    if (!pond->ready_s || before < 0)
        return 0;
    return plan_clock(zone, pond->ready_s, -before, PLAN_STEP_HOUR);
}

bool plan_prep_early(const struct pond *pond) {
    int64_t most_s = (int64_t)book_number(BOOK_PREP_FILL_MOST_DAYS) * DAY_S;
    return pond->ready_s && pond->done_s[PREP_FILL] &&
           pond->ready_s - pond->done_s[PREP_FILL] > most_s + DAY_S;
}

bool plan_prep_past(const struct pond *pond, int step) {
    for (int i = step; i <= PREP_FILL; i++)
        if (pond->done_s[i] && (i != PREP_FILL || !plan_prep_early(pond)))
            return true;
    return false;
}

bool plan_prep_ph(const struct pond *pond) {
    int64_t limit_milli = (int64_t)(book_number(BOOK_STOCK_PH_MOST) * 1000);
    bool good = pond->ph_s > pond->done_s[PREP_LIME] && pond->ph_milli < limit_milli;
    return caustic(pond) && !good;
}

/* Nobody prepares it for fry that will not come: said once, by day, with its hour of the loss. */
static void plan_no_fry(struct plan *p, const struct pond *pond, int64_t lost_s) {
    int64_t due_s = plan_by_day(p, plan_shown(lost_s), MISSED_FROM_HOUR, MISSED_TO_HOUR);
    struct task task =
        task_of(TASK_NO_FRY, pond->number, (int)pond->spawn, due_s, plan_hand(p, &pond->hands));
    task.hour_s = lost_s;
    task.useful_s = due_s + DAY_S;
    plan_step(p, task);
}

/* So many days after a step that nobody reported: what can still be saved. */
static void plan_missed(struct plan *p, enum task_kind kind, int64_t subject, int nth,
                        int64_t was_s, int days, int64_t hand) {
    struct task late =
        task_of(kind, subject, nth, plan_clock(p->view->zone, was_s, days, PLAN_STEP_HOUR), hand);
    late.hour_s = was_s;
    plan_step(p, late);
}

/* While fish are in it the day of drying is said, and nothing is spread on them or let out: that
 * waits until they are caught. A step of before it was planned was never asked. */
static void plan_steps(struct plan *p, const struct pond *pond, int64_t hand) {
    const struct zone *zone = p->view->zone;
    bool brief =
        plan_prep_form(pond, zone) != PREP_LONG; /* lime only where the soil is known to want it */
    for (int step = PREP_DRY; step <= (pond->cycle ? PREP_DRY : PREP_FILL); step++) {
        int64_t at_s = plan_prep_day(pond, zone, step);
        if (!at_s || plan_prep_past(pond, step))
            continue;
        struct task task = task_of(TASK_PREP, pond->number, step, at_s, hand);
        bool asked = task.useful_s >= pond->planned_s && !pond->cycle;
        if (step != PREP_LIME || !brief || limed(pond))
            plan_step(p, task);
        if (asked && (step != PREP_LIME || limed(pond)))
            plan_missed(p, TASK_PREP, pond->number, PREP_MISSED + step, at_s, 1, hand);
    }
}

int64_t plan_stock_over(const struct pond *pond, const struct zone *zone) {
    if (!pond->ready_s || !pond->done_s[PREP_FILL] || plan_prep_early(pond))
        return 0;
    int days = (int)book_number(BOOK_PREP_FILL_MOST_DAYS);
    int64_t over_s = plan_clock(zone, pond->done_s[PREP_FILL], days, PLAN_STEP_HOUR);
    int64_t next_s = plan_clock(zone, pond->ready_s, 1, PLAN_STEP_HOUR);
    return over_s > next_s ? over_s : next_s;
}

/* Filled, and no fry for so long that what eats them is in the water. */
static void plan_unstocked(struct plan *p, const struct pond *pond, int64_t ready_s, int64_t hand) {
    int64_t over_s = plan_stock_over(pond, p->view->zone);
    struct task late = task_of(TASK_STOCK, pond->number, STOCK_MISSED, over_s, hand);
    late.hour_s = ready_s;
    if (over_s)
        plan_step(p, late);
}

void plan_pond(struct plan *p, const struct pond *pond) {
    const struct zone *zone = p->view->zone;
    int64_t hand = plan_hand(p, &pond->hands);
    if (!pond->ready_s)
        return;
    int64_t lost_s = pond_no_fry_s(p->state, pond);
    if (lost_s) {
        plan_no_fry(p, pond, lost_s);
        return;
    }
    plan_steps(p, pond, hand);
    if (pond->cycle) /* fish are in it still */
        return;
    if (plan_prep_ph(pond))
        plan_step(p, task_of(TASK_PREP, pond->number, PREP_PH,
                             plan_clock(zone, pond->ready_s, -1, PLAN_STEP_HOUR), hand));
    if (pond->spawn && !plan_prep_ph(pond)) /* of a spawn its own two weeks say it */
        return;
    int64_t ready_s = plan_clock(zone, pond->ready_s, 0, PLAN_STEP_HOUR);
    plan_step(p, task_of(TASK_STOCK, pond->number, 0, ready_s, hand));
    if (!pond->spawn)
        plan_unstocked(p, pond, ready_s, hand);
}

/* -- in the pond ---------------------------------------------------------------------------------
 */

bool cycle_direct(const struct cycle *c) {
    return c->mean_ug > 0 && c->mean_ug < DIRECT_MOST_UG;
}

int64_t plan_harvest_day(const struct cycle *c, const struct zone *zone) {
    int days = (int)book_number(cycle_direct(c) ? BOOK_DIRECT_DAYS : BOOK_NURSERY_DAYS);
    return plan_clock(zone, c->stocked_s, days, PLAN_STEP_HOUR);
}

int64_t plan_harvest_nth(const struct cycle *c, const struct zone *zone, int nth) {
    int64_t harvest_s = plan_harvest_day(c, zone);
    if (!nth)
        return c->harvested_s ? 0 : harvest_s;
    /* a week on, also for what a part of a harvest left in the pond; who stays longer grows on */
    bool of_then = c->harvested_s > harvest_s && c->harvested_s < harvest_s + STAY_DAYS * DAY_S;
    return plan_clock(zone, of_then ? c->harvested_s : harvest_s, 7, PLAN_STEP_HOUR);
}

void plan_cycle(struct plan *p, const struct cycle *c) {
    const struct zone *zone = p->view->zone;
    int64_t hand = plan_hand(p, &c->hands);
    int every = (int)book_number(BOOK_GRADE_DAYS);
    int64_t harvest_s = plan_harvest_day(c, zone);
    if (cycle_grown(c)) /* no nursery: plan_grow.c */
        return;
    if (p->view->now_s - c->stocked_s > (int64_t)CYCLE_DAYS * DAY_S)
        return;
    /* not once more just before the harvest */
    for (int nth = 1; (nth * every + every / 2) * (int64_t)DAY_S < harvest_s - c->stocked_s;
         nth++) {
        int64_t at_s = plan_clock(zone, c->stocked_s, nth * every, PLAN_STEP_HOUR);
        if (at_s - c->graded_s <= every / 2 * (int64_t)DAY_S)
            continue;
        plan_step(p, task_of(TASK_SORT, c->number, nth, at_s, hand));
        if (!c->harvested_s)
            plan_missed(p, TASK_SORT, c->number, SORT_MISSED + nth, at_s, 2, hand);
    }
    for (int nth = 0; nth < 2; nth++) {
        int64_t at_s = plan_harvest_nth(c, zone, nth);
        if (at_s)
            plan_step(p, task_of(TASK_HARVEST, c->number, nth, at_s, hand));
    }
}
