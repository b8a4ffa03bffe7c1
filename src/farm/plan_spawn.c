/* plan_spawn: the tasks of a female from her injection, and of her eggs until the frames are out.
 * In: an open spawn; out: tasks. No errors. Hours come from trade (latency, hatching), spans from
 * its book. */
#include "farm/tasks.h"

static int64_t minutes_s(enum book_id id) {
    return plan_book_s(id, MINUTE_S);
}

/* A task of this spawn, for the hand that reported last on it. */
static struct task task_of(const struct plan *p, const struct spawn *s, enum task_kind kind,
                           int nth, int64_t due_s, int64_t hour_s, int64_t useful_s) {
    return (struct task){.key = {kind, s->number, nth, STAGE_FIRST},
                         .due_s = due_s,
                         .hour_s = hour_s,
                         .useful_s = useful_s,
                         .level = LEVEL_STEP,
                         .hand = plan_hand(p, &s->hands)};
}

static void step(struct plan *p, const struct spawn *s, enum task_kind kind, int nth, int64_t due_s,
                 int64_t hour_s, int64_t useful_s) {
    plan_step(p, task_of(p, s, kind, nth, due_s, hour_s, useful_s));
}

static void alarm(struct plan *p, const struct spawn *s, enum task_kind kind, int nth,
                  int64_t due_s, int64_t hour_s, int64_t useful_s) {
    plan_alarm(p, task_of(p, s, kind, nth, due_s, hour_s, useful_s));
}

/* -- before stripping ---------------------------------------------------------------------------
 */

static bool late_look(const struct latency *l, int64_t at_s) {
    return l->most.status == PROGRESS_OK && at_s >= l->most.at_s;
}

/* The end of looking: twice the table time, or a day after the first look when the water left the
 * table's range on the way. */
static int64_t look_end(const struct latency *l) {
    return l->end.status == PROGRESS_OK ? plan_shown(l->end.at_s)
                                        : plan_shown(l->look.at_s) + 24 * HOUR_S;
}

int64_t plan_next_look(const struct spawn *s) {
    struct latency l = spawn_latency(s);
    if (l.look.status != PROGRESS_OK)
        return 0;
    int64_t look_s = plan_shown(l.look.at_s);
    if (!s->waits)
        return look_s;
    int64_t every_s =
        minutes_s(late_look(&l, s->waited_s) ? BOOK_LOOK_LATE_MIN : BOOK_LOOK_EVERY_MIN);
    int64_t next_s = plan_shown(s->waited_s + every_s), end_s = look_end(&l);
    if (next_s > end_s) /* a last look at the end itself, if that is not now */
        return s->waited_s < end_s - 5 * MINUTE_S ? end_s : 0;
    return next_s > look_s ? next_s : look_s;
}

/* The last look is at the end itself. */
int64_t plan_look_last(const struct spawn *s) {
    struct latency l = spawn_latency(s);
    int64_t next_s = plan_next_look(s);
    if (!next_s)
        return 0;
    int64_t end_s = look_end(&l), least_s = next_s + HOUR_S;
    return end_s > least_s ? end_s : least_s;
}

static int64_t evening(const struct zone *zone, int64_t after_s) {
    int hour = (int)book_number(BOOK_WATER_ASK_H);
    int64_t today_s = plan_clock(zone, after_s, 0, hour);
    return today_s > after_s ? today_s : plan_clock(zone, after_s, 1, hour);
}

/* Without an hour for her, or for her eggs, the tank is asked 2, 4, 8 and 16 hours after its last
 * reading: such a spawn must not be forgotten. The key is the minute since her injection, so that
 * readings taken back and given again never meet a key already told. */
static void ask_until_known(struct plan *p, const struct spawn *s, int64_t from_s, int most_h) {
    static const int after_h[] = {2, 4, 8, 16};
    int64_t last_s = s->water.count ? s->water.readings[s->water.count - 1].at_s : s->injected_s;
    if (last_s < from_s)
        last_s = from_s;
    for (size_t i = 0; i < sizeof after_h / sizeof after_h[0]; i++) {
        int64_t due_s = plan_shown(last_s + after_h[i] * HOUR_S);
        int64_t minute = (due_s - s->injected_s) / MINUTE_S;
        if (due_s < from_s + most_h * HOUR_S)
            step(p, s, TASK_WATER, 1 + (int)minute, due_s, 0, due_s + 90 * MINUTE_S);
    }
}

/* Read so shortly before the evening's question that it tells nothing new (our own rule): her own
 * tank, or the hatchery's water where hers is that. What came with the injection is not meant. */
static bool read_since(const struct plan *p, const struct spawn *s, int64_t evening_s) {
    enum { EVENING_FRESH_H = 2 };
    const struct water_log *hall = &p->state->water;
    int64_t from_s = evening_s - EVENING_FRESH_H * HOUR_S;
    int64_t hall_s = hall->count ? hall->readings[hall->count - 1].at_s : 0;
    bool hers = s->follows && !s->tank && hall_s > s->injected_s;
    return s->own_s > from_s || (hers && hall_s > from_s);
}

/* Her temperature in the evening, if neither the injection nor the first look is within the hour
 * and her water was not read shortly before. */
static void plan_water(struct plan *p, const struct spawn *s, const struct latency *l) {
    if (l->look.status != PROGRESS_OK) {
        ask_until_known(p, s, s->injected_s, 30);
        return;
    }
    int64_t evening_s = evening(p->view->zone, s->injected_s + HOUR_S - 1);
    if (!evening_s || evening_s > l->look.at_s - HOUR_S || read_since(p, s, evening_s))
        return;
    step(p, s, TASK_WATER, 0, evening_s, plan_shown(l->look.at_s), evening_s + 90 * MINUTE_S);
}

static void plan_receipt(struct plan *p, const struct spawn *s, int64_t look_s) {
    struct telling ready =
        plan_telling(p, (struct task_key){TASK_READY, s->number, 0, STAGE_FIRST}, look_s);
    if (!ready.told || ready.delivered || ready.answered)
        return;
    struct task off =
        task_of(p, s, TASK_READY, 0, ready.told_s + RECEIPT_WAIT_MIN * MINUTE_S, look_s, look_s);
    off.key.stage = STAGE_OFF;
    off.level = LEVEL_ALARM;
    plan_put(p, off);
}

/* Her water left the table and came back, or nobody said it: no hour can be given, so she is looked
 * at each hour by day, from the earliest that any water of the table could make her ready to the
 * latest. */
static void plan_blind(struct plan *p, const struct spawn *s) {
    enum { FIRST_H = 7, LAST_H = 42, FROM_HOUR = 6, TO_HOUR = 19 };
    const struct water_reading *last =
        s->water.count ? &s->water.readings[s->water.count - 1] : NULL;
    bool fit = !last || (last->mdegc >= (int64_t)book_number(BOOK_WATER_COLDEST) * 1000 &&
                         last->mdegc <= (int64_t)book_number(BOOK_WATER_WARMEST) * 1000);
    for (int hours = FIRST_H; fit && hours <= LAST_H; hours++) {
        int64_t at_s = plan_shown(s->injected_s) + hours * HOUR_S;
        int hour = zone_local(p->view->zone, at_s).hour;
        if ((last && at_s <= last->at_s) || at_s <= s->waited_s + 30 * MINUTE_S ||
            hour < FROM_HOUR || hour > TO_HOUR)
            continue;
        step(p, s, TASK_BLIND, hours, at_s, at_s, at_s + 30 * MINUTE_S);
        return; /* the next one only: each answer makes the one after it */
    }
}

static void plan_unstripped(struct plan *p, const struct spawn *s) {
    struct latency l = spawn_latency(s);
    if (l.look.status != PROGRESS_OK) {
        plan_water(p, s, &l);
        plan_blind(p, s);
        return;
    }
    int64_t look_s = plan_shown(l.look.at_s);
    int64_t ready_s = plan_joined(p, s, look_s) - minutes_s(BOOK_READY_BEFORE_MIN);
    if (!s->waits || s->waited_s < ready_s) { /* a look long before its hour changes nothing */
        plan_water(p, s, &l);
        step(p, s, TASK_READY, 0, ready_s, look_s, look_s);
        plan_receipt(p, s, look_s);
    }
    int64_t next_s = plan_next_look(s);
    if (next_s)
        alarm(p, s, TASK_LOOK, s->waits, plan_joined(p, s, next_s), next_s, plan_look_last(s));
}

/* -- after stripping ----------------------------------------------------------------------------
 */

/* Frames are lifted by day, from six to six: a look that falls in the dark is moved back to five in
 * the afternoon before it when most have hatched by then, else on to six in the morning. */
int64_t plan_lift(const struct spawn *s, const struct zone *zone) {
    struct hatch h = spawn_hatch(s);
    if (h.lift.status != PROGRESS_OK)
        return 0;
    int64_t lift_s = plan_shown(h.lift.at_s);
    struct zone_time t = zone_local(zone, lift_s);
    if (t.hour >= 6 && t.hour < 18)
        return lift_s;
    int64_t dusk_s = plan_clock(zone, lift_s, t.hour >= 18 ? 0 : -1, 17);
    return dusk_s >= h.half.at_s + HOUR_S ? dusk_s
                                          : plan_clock(zone, lift_s, t.hour >= 18 ? 1 : 0, 6);
}

/* When the alarm for the frames would ring in the dark, somebody can look in the evening before: at
 * five in the afternoon, unless the look to lift is about then. 0: not needed. */
static int64_t frames_dusk(const struct zone *zone, int64_t alarm_s, int64_t stripped_s,
                           int64_t lift_s) {
    struct zone_time t = zone_local(zone, alarm_s);
    if (t.hour >= 6 && t.hour < 20)
        return 0;
    int64_t dusk_s = plan_clock(zone, alarm_s, t.hour >= 20 ? 0 : -1, 17);
    bool soon = dusk_s < stripped_s + 12 * HOUR_S, twice = lift_s >= dusk_s - 2 * HOUR_S;
    return soon || (lift_s && twice) ? 0 : dusk_s;
}

/* Nobody counted white eggs in their time: said by day, once, while they are eggs. In warm water
 * half have hatched by the morning, and what is white then comes out with the frames. */
static void white_missed(struct plan *p, const struct spawn *s, int64_t white_s) {
    enum { TO_HOUR = 20 };
    int64_t over_s = s->stripped_s + (int64_t)(book_number(BOOK_WHITE_TO_H) * HOUR_S) + 2 * HOUR_S;
    int64_t at_s = plan_by_day(p, plan_shown(over_s), PLAN_STEP_HOUR, TO_HOUR);
    int64_t until_s = at_s + 6 * HOUR_S;
    struct hatch h = spawn_hatch(s);
    if (h.half.status == PROGRESS_OK && h.half.at_s < until_s)
        until_s = h.half.at_s;
    if (at_s < until_s)
        step(p, s, TASK_WHITE, WHITE_MISSED, at_s, white_s, until_s);
}

int64_t plan_white_from(const struct spawn *s) {
    return s->stripped_s + (int64_t)((book_number(BOOK_WHITE_FROM_H) - 1) * HOUR_S);
}

static void plan_stripped(struct plan *p, const struct spawn *s) {
    bool counted = s->white_of && s->white_s >= plan_white_from(s);
    int64_t white_s =
        plan_shown(s->stripped_s + (int64_t)(book_number(BOOK_WHITE_FROM_H) * HOUR_S));
    if (!counted && !spawn_swims(s)) {
        step(p, s, TASK_WHITE, 0, white_s, white_s,
             s->stripped_s + (int64_t)(book_number(BOOK_WHITE_TO_H) * HOUR_S) + HOUR_S);
        white_missed(p, s, white_s);
    }
    struct hatch h = spawn_hatch(s);
    if (h.last.status != PROGRESS_OK) {
        ask_until_known(p, s, s->stripped_s, 60);
        return;
    }
    int64_t last_s = plan_shown(h.last.at_s), due_s = last_s - HOUR_S;
    int64_t lift_s = plan_lift(s, p->view->zone);
    int64_t dusk_s = frames_dusk(p->view->zone, due_s, s->stripped_s, lift_s);
    if (lift_s && lift_s < due_s - 30 * MINUTE_S)
        step(p, s, TASK_LIFT, 0, lift_s, last_s, due_s);
    if (dusk_s)
        step(p, s, TASK_LIFT, 1, dusk_s, last_s, due_s);
    alarm(p, s, TASK_FRAMES, 0, due_s, last_s, last_s + 12 * HOUR_S);
}

void plan_spawn(struct plan *p, const struct spawn *s) {
    switch (spawn_phase(s)) {
    case PHASE_FISH:
        plan_unstripped(p, s);
        break;
    case PHASE_EGGS:
        plan_stripped(p, s);
        if (spawn_swims(s)) /* larvae were reported, the frames not: both go on */
            plan_larvae(p, s);
        else
            plan_larvae_unsaid(p, s);
        break;
    case PHASE_LARVAE:
        plan_larvae(p, s);
        break;
    case PHASE_OVER:
        break;
    }
}

bool farm_task_hour(const struct farm_state *state, struct task_key key, int64_t *hour_s,
                    bool *acted) {
    const struct spawn *s =
        task_subject(key.kind) == SUBJECT_SPAWN ? farm_spawn(state, key.subject) : NULL;
    *acted = s && (spawn_closed(s) || s->frames_s || (key.kind != TASK_FRAMES && s->stripped_s) ||
                   (key.kind == TASK_LOOK && s->waits > key.nth));
    if (!s || *acted)
        return false;
    if (key.kind == TASK_LOOK) {
        *hour_s = plan_next_look(s);
        return *hour_s != 0;
    }
    if (key.kind == TASK_FRAMES && s->stripped_s) {
        struct hatch h = spawn_hatch(s);
        *hour_s = h.last.status == PROGRESS_OK ? plan_shown(h.last.at_s) : 0;
        return *hour_s != 0;
    }
    return false;
}
