/* plan: a farm's tasks. In: state, what was told, zone, hour; out: tasks in order of their hour. No
 * errors; at the cap the latest are left out. Hours come from trade (latency, hatching), spans from
 * its book; the ladder of an unanswered alarm (15, 30, 60 minutes) is the service's own promise.
 * This file has what all tasks share; those of fish and eggs, of larvae, of nursery ponds and of
 * growing fish stand in plan_spawn.c, plan_larvae.c, plan_pond.c and plan_grow.c, those of orders
 * and the lists in plan_order.c. */
#include "farm/plan.h"

#include <stdlib.h>

#include "farm/tasks.h"
#include "trade/progress.h"

int64_t plan_shown(int64_t at_s) {
    return progress_show(at_s);
}

int64_t plan_book_s(enum book_id id, int64_t unit_s) {
    return (int64_t)(book_number(id) * (double)unit_s);
}

int64_t plan_clock(const struct zone *zone, int64_t at_s, int days, int hour) {
    struct zone_time t = zone_local(zone, zone_midnight(zone, at_s, days));
    int64_t out_s;
    t.hour = hour;
    return zone_instant(zone, t, &out_s) ? 0 : out_s;
}

int plan_day_number(const struct zone *zone, int64_t at_s) {
    return zone_days_between(zone, 0, at_s);
}

enum subject_kind task_subject(enum task_kind kind) {
    switch (kind) {
    case TASK_PREP:
    case TASK_STOCK:
    case TASK_OXYGEN:
    case TASK_DAWN:
    case TASK_CATCH:
    case TASK_NO_FRY:
        return SUBJECT_POND;
    case TASK_SORT:
    case TASK_HARVEST:
    case TASK_SAMPLE:
        return SUBJECT_CYCLE;
    case TASK_INJECT:
        return SUBJECT_PLAN;
    case TASK_ORDER:
    case TASK_ORDER_DAY:
        return SUBJECT_ORDER;
    case TASK_AIR:
    case TASK_SOURCE:
    case TASK_MORNING:
    case TASK_SUNDAY:
    case TASK_NONE:
    case TASK_KIND_END:
        return SUBJECT_HATCHERY;
    default:
        return SUBJECT_SPAWN;
    }
}

static int work_nth(struct task_key key) {
    switch (key.kind) {
    case TASK_PREP:
        return key.nth > PREP_MISSED ? key.nth - PREP_MISSED : key.nth;
    case TASK_SORT:
        return key.nth > SORT_MISSED ? key.nth - SORT_MISSED : key.nth;
    case TASK_WHITE:
    case TASK_STOCK:
    case TASK_LIFT:
        return 0;
    default:
        return key.nth;
    }
}

bool plan_same_work(struct task_key a, struct task_key b) {
    return a.kind == b.kind && a.subject == b.subject && work_nth(a) == work_nth(b);
}

/* -- whose work -----------------------------------------------------------------------------------
 */

static bool has_rank(const struct plan_view *view, int64_t person, enum plan_rank rank) {
    for (int i = 0; i < view->hand_count; i++)
        if (view->hands[i].person == person && view->hands[i].rank == rank)
            return true;
    return false;
}

int64_t plan_hand_of(const struct plan_view *view, const struct hands *hands) {
    static const enum plan_rank order[] = {RANK_WORKER, RANK_OWNER};
    for (size_t k = 0; k < sizeof order / sizeof order[0]; k++)
        for (int i = 0; i < HANDS_MAX && hands->who[i]; i++)
            if (has_rank(view, hands->who[i], order[k]))
                return hands->who[i];
    for (int i = 0; i < view->hand_count; i++)
        if (view->hands[i].rank == RANK_OWNER)
            return view->hands[i].person;
    return hands->who[0];
}

int64_t plan_hand(const struct plan *p, const struct hands *hands) {
    return plan_hand_of(p->view, hands);
}

/* What was given and left is said of the pond; dead and weighed fish of its cycle. */
int64_t plan_feeder(const struct plan_view *view, const struct pond *pond,
                    const struct cycle *cycle) {
    int64_t hand = cycle ? plan_hand_of(view, &cycle->hands) : 0;
    if (!pond || (hand && has_rank(view, hand, RANK_WORKER)))
        return hand;
    int64_t feeds = plan_hand_of(view, &pond->hands);
    return !hand || has_rank(view, feeds, RANK_WORKER) ? feeds : hand;
}

int64_t plan_owner(const struct plan *p, const struct hands *hands) {
    for (int i = 0; i < HANDS_MAX && hands->who[i]; i++)
        if (has_rank(p->view, hands->who[i], RANK_OWNER))
            return hands->who[i];
    for (int i = 0; i < p->view->hand_count; i++)
        if (p->view->hands[i].rank == RANK_OWNER)
            return p->view->hands[i].person;
    return hands->who[0];
}

/* -- told ---------------------------------------------------------------------------------------
 */

/* Several told at once are one text, and its receipt stands at one of their rows. */
static bool delivered_with(const struct plan *p, const struct told *row) {
    for (int i = 0; i < p->view->told_count; i++) {
        const struct told *other = &p->view->told[i];
        if (other->outcome == OUTCOME_DELIVERED && other->key.kind == row->key.kind &&
            other->key.stage == row->key.stage && other->person == row->person &&
            other->told_s == row->told_s)
            return true;
    }
    return false;
}

struct telling plan_telling(const struct plan *p, struct task_key key, int64_t hour_s) {
    struct telling t = {.failed = true};
    for (int i = 0; i < p->view->told_count; i++) {
        const struct told *row = &p->view->told[i];
        if (row->key.kind != key.kind || row->key.subject != key.subject || row->key.nth != key.nth)
            continue;
        int64_t off_s = row->hour_s > hour_s ? row->hour_s - hour_s : hour_s - row->hour_s;
        bool list = key.kind == TASK_MORNING || key.kind == TASK_SUNDAY; /* whatever its hour was */
        bool stands = list || key.kind == TASK_WATER || key.kind == TASK_SOURCE ||
                      (key.kind == TASK_WHITE && key.nth == WHITE_MISSED);
        if (!stands && off_s >= MOVED_MIN * MINUTE_S)
            continue; /* told of another hour: to be told again */
        if (row->outcome == OUTCOME_ANSWERED)
            t.answered = true;
        if (row->key.stage != key.stage)
            continue;
        if (!t.told || row->told_s < t.told_s)
            t.told_s = row->told_s;
        t.told = true;
        t.delivered |= delivered_with(p, row);
        t.failed &= row->outcome == OUTCOME_FAILED;
    }
    t.failed &= t.told;
    return t;
}

static int by_due(const void *a, const void *b) {
    const struct task *x = a, *y = b;
    if (x->due_s != y->due_s)
        return x->due_s < y->due_s ? -1 : 1;
    if (x->level != y->level)
        return x->level < y->level ? -1 : 1;
    if (x->key.subject != y->key.subject)
        return x->key.subject < y->key.subject ? -1 : 1;
    return x->key.kind != y->key.kind ? (int)x->key.kind - (int)y->key.kind
                                      : (int)x->key.stage - (int)y->key.stage;
}

/* At the cap the latest makes room, so that what is due is never left out for what is to come. */
static void put(struct plan *p, struct task task) {
    if (task.useful_s + p->view->late_s < p->view->now_s ||
        plan_telling(p, task.key, task.hour_s).told)
        return;
    if (p->count < p->most) {
        p->out[p->count++] = task;
        return;
    }
    struct task *latest = &task;
    for (int i = 0; i < p->count; i++)
        if (by_due(&p->out[i], latest) > 0)
            latest = &p->out[i];
    *latest = task;
}

void plan_put(struct plan *p, struct task task) {
    put(p, task);
}

/* A step: told once. */
void plan_step(struct plan *p, struct task task) {
    task.key.stage = STAGE_FIRST;
    if (!plan_telling(p, task.key, task.hour_s).answered)
        put(p, task);
}

/* When a phone that was told texted last about it, without acting on it yet: 0 never. */
static int64_t heard_s(const struct plan *p, struct task_key key, int64_t hour_s) {
    int64_t last_s = 0;
    for (int i = 0; i < p->view->told_count; i++) {
        const struct told *row = &p->view->told[i];
        int64_t off_s = row->hour_s > hour_s ? row->hour_s - hour_s : hour_s - row->hour_s;
        if (row->key.kind == key.kind && row->key.subject == key.subject &&
            row->key.nth == key.nth && row->key.stage == STAGE_HEARD &&
            off_s < MOVED_MIN * MINUTE_S && row->told_s > last_s)
            last_s = row->told_s;
    }
    return last_s;
}

int64_t plan_by_day(const struct plan *p, int64_t at_s, int from_hour, int to_hour) {
    int hour = zone_local(p->view->zone, at_s).hour;
    if (hour >= from_hour && hour < to_hour)
        return at_s;
    return plan_clock(p->view->zone, at_s, hour >= to_hour ? 1 : 0, PLAN_STEP_HOUR);
}

/* That it was missed was said when its last useful hour, as it is known now, was over: a report
 * taken back or an hour put right since then is no news. */
static bool missed_said(const struct plan *p, struct task_key key, int64_t useful_s) {
    for (int i = 0; i < p->view->told_count; i++) {
        const struct told *row = &p->view->told[i];
        if (row->key.kind == key.kind && row->key.subject == key.subject &&
            row->key.stage == STAGE_MISSED && row->told_s >= useful_s)
            return true;
    }
    return false;
}

/* An alarm: told, told again, passed up; OK ends that. Unless it was acted on it is reported missed
 * at its last useful hour, OK or not; what is lost by then wakes nobody: that is said by day. */
void plan_alarm(struct plan *p, struct task task) {
    int64_t useful_s = task.useful_s;
    task.key.stage = STAGE_FIRST;
    task.level = LEVEL_ALARM;
    struct telling first = plan_telling(p, task.key, task.hour_s);
    if (!first.answered)
        put(p, task);
    /* a look told early, with another's, is not late before its own hour */
    bool early = task.key.kind == TASK_LOOK && first.told_s < task.hour_s;
    int64_t from_s = early ? task.hour_s : first.told_s;
    /* whoever is being asked about it in this hour is not silent: the ladder waits from there */
    int64_t talked_s = heard_s(p, task.key, task.hour_s);
    from_s = talked_s > from_s ? talked_s : from_s;
    if (first.told && !first.answered) {
        static const struct {
            enum task_stage stage;
            int after_min;
        } ladder[] = {{STAGE_AGAIN, ALARM_AGAIN_MIN},
                      {STAGE_OWNER, ALARM_OWNER_MIN},
                      {STAGE_ADVISER, ALARM_ADVISER_MIN}};
        for (size_t i = 0; i < sizeof ladder / sizeof ladder[0]; i++) {
            task.key.stage = ladder[i].stage;
            task.due_s = from_s + ladder[i].after_min * MINUTE_S;
            if (first.failed && ladder[i].stage == STAGE_OWNER)
                task.due_s = first.told_s; /* the hand cannot be reached: at once */
            put(p, task);
        }
    }
    if (missed_said(p, task.key, useful_s))
        return;
    task.key.stage = STAGE_MISSED;
    task.due_s = plan_by_day(p, useful_s, MISSED_FROM_HOUR, MISSED_TO_HOUR);
    task.useful_s = task.due_s + 12 * HOUR_S;
    task.level = LEVEL_STEP;
    put(p, task);
}

int64_t plan_morning(const struct plan *p, int64_t hand, int64_t at_s, int days) {
    int minute = PLAN_MORNING_MIN;
    for (int i = 0; i < p->view->hand_count; i++)
        if (p->view->hands[i].person == hand)
            minute = p->view->hands[i].morning_min;
    struct zone_time t = zone_local(p->view->zone, zone_midnight(p->view->zone, at_s, days));
    int64_t out_s;
    t.hour = minute / 60;
    t.minute = minute % 60;
    return zone_instant(p->view->zone, t, &out_s) ? plan_clock(p->view->zone, at_s, days, 12)
                                                  : out_s;
}

/* -- of the hatchery -----------------------------------------------------------------------------
 */

/* Air or power failed: asked for every half hour until it is back, after three hours every hour,
 * for half a day, and then each morning until it is said to be on; once only where nothing is in
 * the tanks. Of the mornings the plan holds those of two days. */
static void plan_air(struct plan *p) {
    enum { CLOSE_ASKS = 6, AHEAD_DAYS = 2 };
    int64_t off_s = p->state->air_off_s;
    bool any = false;
    for (int i = 0; i < p->state->spawn_count && !any; i++)
        any = spawn_open(&p->state->spawns[i], p->view->now_s);
    for (int nth = 1; off_s && nth <= (any ? AIR_ASKS : 1); nth++) {
        if (nth > CLOSE_ASKS && nth % 2)
            continue;
        int64_t due_s = plan_shown(off_s) + nth * AIR_AGAIN_MIN * MINUTE_S;
        int64_t useful_s = due_s + (AIR_AGAIN_MIN - 5) * MINUTE_S;
        plan_step(p, (struct task){.key = {.kind = TASK_AIR, .nth = nth},
                                   .due_s = due_s,
                                   .hour_s = off_s,
                                   .useful_s = useful_s,
                                   .level = LEVEL_ALARM,
                                   .hand = p->state->air_person});
    }
    int64_t asked_s = off_s + (int64_t)AIR_ASKS * AIR_AGAIN_MIN * MINUTE_S;
    int64_t from_s = p->view->now_s > asked_s ? p->view->now_s : asked_s;
    int today = off_s && any ? zone_days_between(p->view->zone, asked_s, from_s) : 0;
    for (int day = today ? today : 1; off_s && any && day <= today + AHEAD_DAYS; day++) {
        int64_t due_s = plan_clock(p->view->zone, asked_s, day, PLAN_STEP_HOUR);
        plan_step(p, (struct task){.key = {.kind = TASK_AIR, .nth = AIR_ASKS + day},
                                   .due_s = due_s,
                                   .hour_s = off_s,
                                   .useful_s = due_s + 12 * HOUR_S,
                                   .level = LEVEL_STEP,
                                   .hand = p->state->air_person});
    }
}

/* Where the water comes from is asked once, by day, after the first eggs were spread. */
static void plan_source(struct plan *p) {
    const struct spawn *first = NULL;
    for (int i = 0; i < p->state->spawn_count && !p->state->source; i++)
        if (p->state->spawns[i].stripped_s &&
            (!first || p->state->spawns[i].stripped_s < first->stripped_s))
            first = &p->state->spawns[i];
    if (!first)
        return;
    int64_t at_s = plan_shown(first->stripped_s + 2 * HOUR_S);
    int hour = zone_local(p->view->zone, at_s).hour;
    if (hour < PLAN_STEP_HOUR || hour >= 18)
        at_s = plan_clock(p->view->zone, at_s, hour >= 18 ? 1 : 0, PLAN_STEP_HOUR);
    plan_step(p, (struct task){.key = {.kind = TASK_SOURCE},
                               .due_s = at_s,
                               .hour_s = at_s,
                               .useful_s = at_s + 2 * DAY_S,
                               .level = LEVEL_STEP,
                               .hand = plan_hand(p, &first->hands)});
}

/* -- all -----------------------------------------------------------------------------------------
 */

static int by_hand_and_hour(const void *a, const void *b) {
    const struct plan_look *x = a, *y = b;
    if (x->hand != y->hand)
        return x->hand < y->hand ? -1 : 1;
    if (x->look_s != y->look_s)
        return x->look_s < y->look_s ? -1 : 1;
    return x->spawn < y->spawn ? -1 : x->spawn > y->spawn;
}

/* Looks of one hand that lie near each other are told together at the hour of the earliest not yet
 * told: nobody goes twice in the night. The hours themselves stay what they are. */
static void join_looks(struct plan *p) {
    for (int i = 0; i < p->state->spawn_count && p->look_count < PLAN_MOST; i++) {
        const struct spawn *s = &p->state->spawns[i];
        int64_t look_s =
            spawn_phase(s) == PHASE_FISH && spawn_open(s, p->view->now_s) ? plan_next_look(s) : 0;
        struct task_key key = {TASK_LOOK, s->number, s->waits, STAGE_FIRST};
        if (look_s && !plan_telling(p, key, look_s).told)
            p->looks[p->look_count++] =
                (struct plan_look){s->number, plan_hand(p, &s->hands), look_s, look_s};
    }
    qsort(p->looks, (size_t)p->look_count, sizeof p->looks[0], by_hand_and_hour);
    for (int i = 1; i < p->look_count; i++) {
        const struct plan_look *before = &p->looks[i - 1];
        if (p->looks[i].hand == before->hand &&
            p->looks[i].look_s - before->told_s <= JOIN_MIN * MINUTE_S)
            p->looks[i].told_s = before->told_s;
    }
}

int64_t plan_joined(const struct plan *p, const struct spawn *s, int64_t look_s) {
    for (int i = 0; i < p->look_count; i++)
        if (p->looks[i].spawn == s->number)
            return p->looks[i].told_s;
    return look_s;
}

int farm_plan(const struct farm_state *state, const struct plan_view *view, struct task *out,
              int most) {
    struct plan p = {.state = state, .view = view, .out = out, .most = most};
    join_looks(&p);
    for (int i = 0; i < state->spawn_count; i++)
        if (spawn_open(&state->spawns[i], view->now_s))
            plan_spawn(&p, &state->spawns[i]);
    for (int i = 0; i < state->pond_count; i++) {
        plan_pond(&p, &state->ponds[i]);
        plan_grow_pond(&p, &state->ponds[i]);
    }
    for (int i = 0; i < state->cycle_count; i++) {
        if (state->cycles[i].closed_s)
            continue;
        plan_cycle(&p, &state->cycles[i]);
        plan_grow_cycle(&p, &state->cycles[i]);
    }
    plan_air(&p);
    plan_source(&p);
    plan_orders(&p);
    plan_lists(&p);
    qsort(out, (size_t)p.count, sizeof *out, by_due);
    return p.count;
}

bool plan_concerns(const struct farm_state *state, struct task_key key, int64_t now_s) {
    const struct spawn *s;
    const struct cycle *c;
    const struct pond *pond;
    const struct order *order;
    const struct spawn_plan *plan;
    switch (task_subject(key.kind)) {
    case SUBJECT_POND:
        pond = farm_pond(state, key.subject);
        return pond && (pond->cycle || key.kind == TASK_PREP || key.kind == TASK_STOCK ||
                        key.kind == TASK_NO_FRY);
    case SUBJECT_CYCLE:
        c = farm_cycle(state, key.subject);
        return c && !c->closed_s;
    case SUBJECT_HATCHERY:
        if (key.kind == TASK_MORNING || key.kind == TASK_SUNDAY)
            return key.nth >= now_s / DAY_S - 1;
        return key.kind == TASK_AIR ? state->air_off_s != 0 : !state->source;
    case SUBJECT_ORDER:
        order = farm_order(state, key.subject);
        return order && order_open(order, now_s);
    case SUBJECT_PLAN:
        plan = farm_spawn_plan(state, key.subject);
        return plan && spawn_plan_open(state, plan, now_s);
    default:
        s = farm_spawn(state, key.subject);
        return !s || spawn_open(s, now_s);
    }
}
