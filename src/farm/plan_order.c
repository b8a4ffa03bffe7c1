/* plan_order: the tasks of orders and planned spawns, and the lists of a day and a week. In: the
 * plan so far; out: tasks. No errors. What an order may expect is expect.h's.
 *
 * The list of the morning. What is told in the morning is of LEVEL_ROUTINE and due at the hand's
 * own morning; whoever tells puts all routine of one hand that is due into one text (turn's
 * told.c). TASK_MORNING is one more of these, due at the same instant: it says that this person
 * gets a list today, and its own part of the text is what no other task says: each pond's ration,
 * what is late, what comes in the day. The routine tasks keep their keys and stand in the same
 * text, so nothing is told twice. It is planned for whoever has work: a worker for ponds and tasks
 * of his own, an owner for all of the farm. Only the next one is planned; a day on which there is
 * nothing has none. A list is told once a day, whatever its hour was. */
#include "farm/expect.h"
#include "farm/tasks.h"

enum {
    DAY_FROM_HOUR = 6, /* by day, as of ponds without fry */
    DAY_TO_HOUR = 21,
    INJECT_USEFUL_S = 3 * HOUR_S,
    WEEK_DAYS = 7,
    SUNDAY = 6, /* zone_time's weekday */
    TENTHS = 10
};

/* -- planned spawns ------------------------------------------------------------------------------
 */

/* Whoever did the last spawn does the next, or an owner. */
static int64_t hand_of(const struct plan *p, const struct spawn_plan *plan) {
    const struct farm_state *state = p->state;
    bool any = state->spawn_count > 0;
    return plan_hand(p, any ? &state->spawns[state->spawn_count - 1].hands : &plan->hands);
}

/* In the morning of the evening, unless it was planned later than that and just said; and in the
 * morning after it, when none of them is known as injected: the next evening is soon enough still.
 */
static void plan_inject(struct plan *p, const struct spawn_plan *plan) {
    int64_t hand = hand_of(p, plan), due_s = plan_morning(p, hand, plan->inject_s, 0);
    if (plan->planned_s < due_s && plan->female_count)
        plan_step(p, (struct task){.key = {.kind = TASK_INJECT, .subject = plan->number},
                                   .due_s = due_s,
                                   .hour_s = plan->inject_s,
                                   .useful_s = plan->inject_s + INJECT_USEFUL_S,
                                   .level = LEVEL_STEP,
                                   .hand = hand});
    int64_t after_s = plan_clock(p->view->zone, plan->inject_s, 1, PLAN_STEP_HOUR);
    if (plan->planned_s < plan->inject_s && plan->female_count)
        plan_step(p,
                  (struct task){
                      .key = {.kind = TASK_INJECT, .subject = plan->number, .nth = INJECT_MISSED},
                      .due_s = after_s,
                      .hour_s = plan->inject_s,
                      .useful_s = after_s + DAY_S / 2,
                      .level = LEVEL_STEP,
                      .hand = hand});
}

/* -- orders --------------------------------------------------------------------------------------
 */

static void plan_order_day(struct plan *p, const struct order *o) {
    int64_t at_s = plan_clock(p->view->zone, o->day_s, -ORDER_BEFORE_DAYS, PLAN_STEP_HOUR);
    if (o->ordered_s < at_s)
        plan_step(p, (struct task){.key = {.kind = TASK_ORDER_DAY, .subject = o->number},
                                   .due_s = at_s,
                                   .hour_s = o->day_s,
                                   .useful_s = o->day_s,
                                   .level = LEVEL_STEP,
                                   .hand = plan_hand(p, &o->hands)});
}

/* Now by day, else in the next morning. */
static int64_t by_day(const struct zone *zone, int64_t now_s) {
    int hour = zone_local(zone, now_s).hour;
    if (hour >= DAY_FROM_HOUR && hour < DAY_TO_HOUR)
        return now_s;
    return plan_clock(zone, now_s, hour >= DAY_TO_HOUR, PLAN_STEP_HOUR);
}

/* Each fall is told once, and none that is smaller than one told before. */
static void plan_danger(struct plan *p, const struct order *o, int fall_tenths) {
    struct task task = {.key = {TASK_ORDER, o->number, fall_tenths, STAGE_FIRST},
                        .due_s = by_day(p->view->zone, plan_shown(p->view->now_s)),
                        .hour_s = o->day_s,
                        .useful_s = o->day_s,
                        .level = LEVEL_STEP,
                        .hand = plan_owner(p, &o->hands)};
    for (int nth = fall_tenths; nth <= TENTHS; nth++) {
        struct task_key key = {TASK_ORDER, o->number, nth, STAGE_FIRST};
        if (plan_telling(p, key, task.hour_s).told)
            return;
    }
    plan_step(p, task);
}

/* Something was promised, and its day is to come. */
static bool promised(const struct order *o, int64_t now_s) {
    return order_open(o, now_s) && o->promised > 0 && now_s <= o->day_s;
}

static void plan_dangers(struct plan *p) {
    const struct farm_state *state = p->state;
    struct expect expect[EXPECT_ORDERS_MAX];
    struct order_odds odds;
    int64_t now_s = p->view->now_s;
    bool any = false;
    for (int i = 0; i < state->order_count; i++)
        any |= promised(&state->orders[i], now_s);
    if (!any)
        return;
    expect_odds(state, now_s, &odds);
    int n = expect_orders(state, p->view->zone, now_s, &odds, expect, EXPECT_ORDERS_MAX);
    for (int i = 0; i < n; i++) {
        const struct order *o = farm_order(state, expect[i].order);
        if (expect[i].fall_tenths && promised(o, now_s))
            plan_danger(p, o, expect[i].fall_tenths);
    }
}

void plan_orders(struct plan *p) {
    const struct farm_state *state = p->state;
    for (int i = 0; i < state->plan_count; i++)
        if (spawn_plan_open(state, &state->plans[i], p->view->now_s))
            plan_inject(p, &state->plans[i]);
    for (int i = 0; i < state->order_count; i++)
        if (order_open(&state->orders[i], p->view->now_s))
            plan_order_day(p, &state->orders[i]);
    plan_dangers(p);
}

/* -- lists ---------------------------------------------------------------------------------------
 */

static bool his(const struct plan_hand *who, int64_t hand) {
    return who->rank == RANK_OWNER || who->person == hand;
}

static bool feeds(const struct plan *p, const struct plan_hand *who) {
    const struct farm_state *state = p->state;
    for (int i = 0; i < state->cycle_count; i++) {
        const struct cycle *c = &state->cycles[i];
        if (!c->closed_s && his(who, plan_feeder(p->view, farm_pond(state, c->pond), c)))
            return true;
    }
    return false;
}

/* No work of a day: the lists, and the word that an order is in danger, which comes when it is
 * known. */
static bool is_word(enum task_kind kind) {
    return kind == TASK_MORNING || kind == TASK_SUNDAY || kind == TASK_ORDER;
}

/* His first task from a morning on. False: none. */
static bool next_work(const struct plan *p, const struct plan_hand *who, int64_t from_s,
                      int64_t *due_s) {
    bool any = false;
    for (int i = 0; i < p->count; i++) {
        const struct task *task = &p->out[i];
        if (is_word(task->key.kind) || task->due_s < from_s || !his(who, task->hand) ||
            (any && task->due_s >= *due_s))
            continue;
        any = true;
        *due_s = task->due_s;
    }
    return any;
}

/* Useful until noon, or for half a day where the morning is late. */
static struct task list_of(const struct plan *p, enum task_kind kind, const struct plan_hand *who,
                           int64_t at_s) {
    return (struct task){
        .key = {kind, who->person, plan_day_number(p->view->zone, at_s), STAGE_FIRST},
        .due_s = at_s,
        .hour_s = at_s,
        .useful_s = at_s + 6 * HOUR_S,
        .level = LEVEL_ROUTINE,
        .hand = who->person};
}

static bool told_or_over(const struct plan *p, const struct task *task) {
    return task->useful_s < p->view->now_s || plan_telling(p, task->key, task->hour_s).told;
}

/* Of the first morning not told yet from which on, until the next, there are fish to feed or a
 * task: so the farm wakes on it, however many days ahead it is. */
static void plan_morning_list(struct plan *p, const struct plan_hand *who) {
    int64_t now_s = p->view->now_s;
    bool fish = feeds(p, who);
    for (int days = 0; days <= 1; days++) {
        int64_t due_s = 0, at_s = plan_morning(p, who->person, now_s, days);
        struct task task = list_of(p, TASK_MORNING, who, at_s);
        if (told_or_over(p, &task))
            continue;
        bool any = next_work(p, who, at_s, &due_s);
        if (!any && !fish)
            return;
        if (!fish && due_s >= plan_morning(p, who->person, now_s, days + 1)) {
            int later = zone_days_between(p->view->zone, now_s, due_s);
            later -= plan_morning(p, who->person, now_s, later) > due_s;
            task = list_of(p, TASK_MORNING, who, plan_morning(p, who->person, now_s, later));
        }
        plan_step(p, task);
        return;
    }
}

/* Something is at stake though nobody wrote: fish in ponds, an order to come. */
static bool stands(const struct plan *p, int64_t at_s) {
    const struct farm_state *state = p->state;
    for (int i = 0; i < state->cycle_count; i++)
        if (!state->cycles[i].closed_s)
            return true;
    for (int i = 0; i < state->order_count; i++)
        if (order_open(&state->orders[i], at_s))
            return true;
    return false;
}

/* Of a week in which anything was reported, or in which something stood. */
static void plan_sunday(struct plan *p, const struct plan_hand *who) {
    int days = SUNDAY - zone_local(p->view->zone, p->view->now_s).weekday;
    for (int week = 0; week <= 1; week++) {
        int64_t at_s = plan_morning(p, who->person, p->view->now_s, days + week * WEEK_DAYS);
        struct task task = list_of(p, TASK_SUNDAY, who, at_s);
        if (told_or_over(p, &task))
            continue;
        if (p->state->last_at_s >= at_s - WEEK_DAYS * (int64_t)DAY_S || stands(p, at_s))
            plan_step(p, task);
        return;
    }
}

void plan_lists(struct plan *p) {
    for (int i = 0; i < p->view->hand_count; i++) {
        const struct plan_hand *who = &p->view->hands[i];
        if (!who->lists || who->rank == RANK_OTHER)
            continue;
        plan_morning_list(p, who);
        if (who->rank == RANK_OWNER)
            plan_sunday(p, who);
    }
}
