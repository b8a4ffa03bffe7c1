/* plan_grow: the tasks of ponds in which fish grow: a night that runs out of oxygen, weighing a
 * sample, looking at dawn where much feed goes in, no feed before the harvest. In: a pond or an
 * open cycle; out: tasks. No errors. The line to dawn, limits and guards are trade's, spans its
 * book's. Limits: dawn is the same hour all year, which holds near the equator. */
#include "farm/growing.h"
#include "farm/tasks.h"
#include "trade/oxygen.h"
#include "trade/ration.h"

enum { GROW_DAYS = 400, WEEK_DAYS = 7, G_UG = 1000000 };

static int book_whole(enum book_id id) {
    return (int)book_number(id);
}

static struct task task_of(enum task_kind kind, int64_t subject, int nth, int64_t at_s,
                           enum level level, int64_t hand) {
    return (struct task){.key = {kind, subject, nth, STAGE_FIRST},
                         .due_s = at_s,
                         .hour_s = at_s,
                         .useful_s = at_s + 12 * HOUR_S,
                         .level = level,
                         .hand = hand};
}

bool cycle_grown(const struct cycle *c) {
    for (int i = 0; i < c->event_count; i++)
        if (c->events[i].mean_ug && c->events[i].kind != FISH_BIG)
            return c->events[i].mean_ug >= book_whole(BOOK_FINGERLING_G) * (int64_t)G_UG;
    return false;
}

/* -- oxygen --------------------------------------------------------------------------------------
 */

/* The evening and the dawn of a night that an instant lies in. False: it is of the day. */
static bool night_around(const struct zone *zone, int64_t at_s, int64_t *dusk_s, int64_t *dawn_s) {
    int hour = zone_local(zone, at_s).hour;
    int dusk = book_whole(BOOK_DUSK_HOUR), dawn = book_whole(BOOK_DAWN_HOUR);
    if (hour >= dawn && hour < dusk)
        return false;
    int next = hour >= dusk;
    *dusk_s = plan_clock(zone, at_s, next - 1, dusk);
    *dawn_s = plan_clock(zone, at_s, next, dawn);
    return *dusk_s && *dawn_s;
}

static struct oxygen_reading reading_of(const struct measured *m) {
    return (struct oxygen_reading){m->at_s, m->value};
}

struct plan_night plan_night(const struct farm_state *state, const struct pond *pond,
                             const struct zone *zone) {
    struct plan_night night = {0};
    const struct cycle *c = pond->cycle ? farm_cycle(state, pond->cycle) : NULL;
    const struct measured_log *log = &pond->oxygen;
    int64_t dusk_s, apart_s = plan_book_s(BOOK_DUSK_APART_H, HOUR_S);
    if (!c || !log->count)
        return night;
    struct oxygen_reading second = reading_of(&log->all[log->count - 1]);
    bool known = pond->gasping_s >= second.at_s;
    if (known || !night_around(zone, second.at_s, &dusk_s, &night.dawn_s))
        return night;
    night.evening = true;
    night.second_s = second.at_s;
    int64_t aged_s = second.at_s > c->stocked_s ? second.at_s : c->stocked_s;
    night.limit_ug_l = oxygen_limit_ug_l(growing_age_days(state, c, aged_s));
    for (int i = log->count - 2; i >= 0; i--) {
        struct oxygen_reading first = reading_of(&log->all[i]);
        if (first.at_s < dusk_s || second.at_s - first.at_s > apart_s)
            break;
        struct oxygen_dusk dusk = oxygen_dusk(first, second, night.dawn_s, night.limit_ug_l);
        if (dusk.reason == OXYGEN_ORDER) /* too near for a line: the one before */
            continue;
        night.line = dusk.reason == OXYGEN_OK;
        night.danger = night.line && dusk.danger;
        night.dawn_ug_l = dusk.dawn_ug_l;
        night.hour_s = plan_shown(dusk.danger_at_s);
        int64_t due_s = night.hour_s - plan_book_s(BOOK_DAWN_BEFORE_MIN, MINUTE_S);
        night.due_s = due_s > plan_shown(second.at_s) ? due_s : plan_shown(second.at_s);
        break;
    }
    return night;
}

/* Told an hour before, or now. Nobody is told that a night was missed of which nobody was told. */
static void plan_oxygen(struct plan *p, const struct pond *pond) {
    struct plan_night night = plan_night(p->state, pond, p->view->zone);
    if (!night.danger)
        return;
    struct task task =
        task_of(TASK_OXYGEN, pond->number, 0, night.due_s, LEVEL_ALARM, plan_hand(p, &pond->hands));
    task.hour_s = night.hour_s;
    task.useful_s = night.dawn_s + HOUR_S;
    if (p->view->now_s <= task.useful_s || plan_telling(p, task.key, task.hour_s).told)
        plan_alarm(p, task);
}

/* -- feed ----------------------------------------------------------------------------------------
 */

/* In the morning of each week's day, by what was fed in the week before it. */
static void plan_dawn(struct plan *p, const struct pond *pond, const struct cycle *c) {
    const struct zone *zone = p->view->zone;
    int week = zone_days_between(zone, c->stocked_s, p->view->now_s) / WEEK_DAYS;
    for (int nth = week > 1 ? week : 1; nth <= week + 1; nth++) {
        int64_t at_s = plan_morning(p, plan_hand(p, &pond->hands), c->stocked_s, nth * WEEK_DAYS);
        int64_t fed_mg = growing_fed_mg(p->state, c, at_s - WEEK_DAYS * DAY_S, at_s);
        bool aerated = pond->aerator == AERATOR_RUNS;
        if (!aerated && ration_guard(fed_mg / WEEK_DAYS, pond->area_cm2, false))
            plan_step(p, task_of(TASK_DAWN, pond->number, nth, at_s, LEVEL_ROUTINE,
                                 plan_hand(p, &pond->hands)));
    }
}

/* Something was taken out on the day set for it, the eve or since: harvested, moved or sold. */
static bool caught(const struct cycle *c, int64_t from_s) {
    for (int i = c->event_count - 1; i >= 0 && c->events[i].at_s >= from_s; i--)
        if (c->events[i].kind == FISH_TAKEN || c->events[i].kind == FISH_BIG)
            return true;
    return false;
}

static void plan_catch(struct plan *p, const struct pond *pond, const struct cycle *c) {
    if (!pond->catch_s)
        return;
    int64_t hand = plan_hand(p, &pond->hands);
    int64_t after_s = plan_morning(p, hand, pond->catch_s, 1);
    if (!caught(c, zone_midnight(p->view->zone, pond->catch_s, -1)))
        plan_step(p, task_of(TASK_CATCH, pond->number, CATCH_MISSED, after_s, LEVEL_STEP, hand));
    int64_t at_s =
        plan_clock(p->view->zone, pond->catch_s, -book_whole(BOOK_FEED_EMPTY_DAYS), PLAN_STEP_HOUR);
    plan_step(p,
              task_of(TASK_CATCH, pond->number, 0, at_s, LEVEL_STEP, plan_hand(p, &pond->hands)));
}

void plan_grow_pond(struct plan *p, const struct pond *pond) {
    const struct cycle *c = pond->cycle ? farm_cycle(p->state, pond->cycle) : NULL;
    if (!c)
        return;
    plan_oxygen(p, pond);
    plan_dawn(p, pond, c);
    plan_catch(p, pond, c);
}

/* -- weighing ------------------------------------------------------------------------------------
 */

/* A sample, or a catch that was weighed; 0 never. */
static int64_t weighed_s(const struct cycle *c) {
    for (int i = c->event_count - 1; i >= 0; i--)
        if (growing_weighs(&c->events[i]))
            return c->events[i].at_s;
    return 0;
}

void plan_grow_cycle(struct plan *p, const struct cycle *c) {
    const struct zone *zone = p->view->zone;
    const struct pond *pond = farm_pond(p->state, c->pond);
    int64_t from_s = cycle_grown(c) ? c->stocked_s : plan_harvest_day(c, zone);
    bool none = !growing_fish(p->state, c, p->view->now_s).high;
    if (p->view->now_s < from_s || none) /* in the nursery still, or all dead */
        return;
    int64_t last_s = weighed_s(c), off_s = plan_book_s(BOOK_WEIGH_OFF_DAYS, DAY_S);
    from_s = last_s > from_s ? last_s : from_s;
    int every = book_whole(BOOK_WEIGH_DAYS);
    int number = zone_days_between(zone, from_s, p->view->now_s) / every;
    for (int nth = number > 1 ? number : 1; nth <= number + 1; nth++) {
        int64_t at_s = plan_morning(p, plan_hand(p, &c->hands), from_s, nth * every);
        int64_t catch_s = pond ? pond->catch_s : 0;
        int64_t apart_s = catch_s > at_s ? catch_s - at_s : at_s - catch_s;
        if (at_s - c->stocked_s < GROW_DAYS * DAY_S && (!catch_s || apart_s > off_s))
            plan_step(p, task_of(TASK_SAMPLE, c->number, nth, at_s, LEVEL_ROUTINE,
                                 plan_hand(p, &c->hands)));
    }
}
