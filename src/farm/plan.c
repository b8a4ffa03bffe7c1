/* plan: a farm's tasks. In: state, told, zone, hour; out: tasks in order of their hour. No errors;
 * at the cap the latest are left out. Hours come from trade (latency, hatching), spans from its
 * book; the ladder of an unanswered alarm (15, 30, 60 minutes) is the service's own promise. */
#include "farm/plan.h"

#include <stdlib.h>

#include "trade/book.h"
#include "trade/progress.h"

enum { MINUTE_S = 60, HOUR_S = 3600 };

struct plan {
    const struct farm_state *state;
    const struct told *told;
    int told_count;
    const struct zone *zone;
    int64_t now_s;
    struct task *out;
    int count, most;
};

int64_t plan_shown(int64_t at_s) {
    return progress_show(at_s);
}

static int64_t book_minutes_s(enum book_id id) {
    return (int64_t)(book_number(id) * MINUTE_S);
}

/* -- told ---------------------------------------------------------------------------------------
 */

/* What is known of the telling of one stage at this hour, over all persons. A question for the
 * water stands whatever hour it named. */
struct telling {
    bool told, delivered, answered;
    bool failed; /* told, and every text of it failed */
    int64_t told_s;
};

static struct telling telling_of(const struct plan *p, struct task_key key, int64_t hour_s) {
    struct telling t = {.failed = true};
    for (int i = 0; i < p->told_count; i++) {
        const struct told *row = &p->told[i];
        if (row->key.kind != key.kind || row->key.subject != key.subject || row->key.nth != key.nth)
            continue;
        int64_t off_s = row->hour_s > hour_s ? row->hour_s - hour_s : hour_s - row->hour_s;
        if (key.kind != TASK_WATER && off_s >= MOVED_MIN * MINUTE_S)
            continue; /* told of another hour: to be told again */
        if (row->outcome == OUTCOME_ANSWERED)
            t.answered = true;
        if (row->key.stage != key.stage)
            continue;
        if (!t.told || row->told_s < t.told_s)
            t.told_s = row->told_s;
        t.told = true;
        t.delivered |= row->outcome == OUTCOME_DELIVERED;
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
    if (task.useful_s < p->now_s || telling_of(p, task.key, task.hour_s).told)
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

/* A step: told once. */
static void step(struct plan *p, const struct spawn *s, enum task_kind kind, int nth, int64_t due_s,
                 int64_t hour_s, int64_t useful_s) {
    struct task_key key = {kind, s->number, nth, STAGE_FIRST};
    if (!telling_of(p, key, hour_s).answered)
        put(p, (struct task){key, due_s, hour_s, useful_s, LEVEL_STEP, s->person});
}

/* An alarm: told, told again, passed up; OK ends that. Unless it was acted on it is reported missed
 * at its last useful hour, OK or not. */
static void alarm(struct plan *p, const struct spawn *s, enum task_kind kind, int nth,
                  int64_t due_s, int64_t hour_s, int64_t useful_s) {
    struct task_key key = {kind, s->number, nth, STAGE_FIRST};
    struct telling first = telling_of(p, key, hour_s);
    struct task task = {key, due_s, hour_s, useful_s, LEVEL_ALARM, s->person};
    if (!first.answered)
        put(p, task);
    if (first.told && !first.answered) {
        static const struct {
            enum task_stage stage;
            int after_min;
        } ladder[] = {{STAGE_AGAIN, ALARM_AGAIN_MIN},
                      {STAGE_OWNER, ALARM_OWNER_MIN},
                      {STAGE_ADVISER, ALARM_ADVISER_MIN}};
        for (size_t i = 0; i < sizeof ladder / sizeof ladder[0]; i++) {
            task.key.stage = ladder[i].stage;
            task.due_s = first.told_s + ladder[i].after_min * MINUTE_S;
            if (first.failed && ladder[i].stage == STAGE_OWNER)
                task.due_s = first.told_s; /* the hand cannot be reached: at once */
            put(p, task);
        }
    }
    task.key.stage = STAGE_MISSED;
    task.due_s = useful_s;
    task.useful_s = useful_s + 12 * HOUR_S;
    task.level = LEVEL_STEP;
    put(p, task);
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
        book_minutes_s(late_look(&l, s->waited_s) ? BOOK_LOOK_LATE_MIN : BOOK_LOOK_EVERY_MIN);
    int64_t next_s = plan_shown(s->waited_s + every_s), end_s = look_end(&l);
    if (next_s > end_s) /* a last look at the end itself, if that is not now */
        return s->waited_s < end_s - 5 * MINUTE_S ? end_s : 0;
    return next_s > look_s ? next_s : look_s;
}

/* `hour` o'clock on the local day `days` after that of at_s; 0 when the clocks skip it. */
static int64_t clock_of(const struct zone *zone, int64_t at_s, int days, int hour) {
    struct zone_time t = zone_local(zone, zone_midnight(zone, at_s, days));
    int64_t out_s;
    t.hour = hour;
    return zone_instant(zone, t, &out_s) ? 0 : out_s;
}

static int64_t evening(const struct zone *zone, int64_t after_s) {
    int hour = (int)book_number(BOOK_WATER_ASK_H);
    int64_t today_s = clock_of(zone, after_s, 0, hour);
    return today_s > after_s ? today_s : clock_of(zone, after_s, 1, hour);
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

/* Her temperature in the evening, if neither the injection nor the first look is within the hour
 * and her own tank was not read since 21:00. */
static void plan_water(struct plan *p, const struct spawn *s, const struct latency *l) {
    if (l->look.status != PROGRESS_OK) {
        ask_until_known(p, s, s->injected_s, 30);
        return;
    }
    int64_t evening_s = evening(p->zone, s->injected_s + HOUR_S - 1);
    if (!evening_s || evening_s > l->look.at_s - HOUR_S || s->own_s >= evening_s - HOUR_S)
        return;
    step(p, s, TASK_WATER, 0, evening_s, plan_shown(l->look.at_s), evening_s + 90 * MINUTE_S);
}

static void plan_receipt(struct plan *p, const struct spawn *s, int64_t look_s) {
    struct telling ready =
        telling_of(p, (struct task_key){TASK_READY, s->number, 0, STAGE_FIRST}, look_s);
    if (!ready.told || ready.delivered || ready.answered)
        return;
    put(p, (struct task){{TASK_READY, s->number, 0, STAGE_OFF},
                         ready.told_s + RECEIPT_WAIT_MIN * MINUTE_S,
                         look_s,
                         look_s,
                         LEVEL_ALARM,
                         s->person});
}

static void plan_unstripped(struct plan *p, const struct spawn *s) {
    struct latency l = spawn_latency(s);
    if (l.look.status != PROGRESS_OK) {
        plan_water(p, s, &l);
        return;
    }
    int64_t look_s = plan_shown(l.look.at_s);
    int64_t ready_s = look_s - book_minutes_s(BOOK_READY_BEFORE_MIN);
    if (!s->waits || s->waited_s < ready_s) { /* a look long before its hour changes nothing */
        plan_water(p, s, &l);
        step(p, s, TASK_READY, 0, ready_s, look_s, look_s);
        plan_receipt(p, s, look_s);
    }
    int64_t next_s = plan_next_look(s);
    int64_t end_s = look_end(&l),
            least_s = next_s + HOUR_S; /* the last look is at the end itself */
    if (next_s)
        alarm(p, s, TASK_LOOK, s->waits, next_s, next_s, end_s > least_s ? end_s : least_s);
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
    int64_t dusk_s = clock_of(zone, lift_s, t.hour >= 18 ? 0 : -1, 17);
    return dusk_s >= h.half.at_s + HOUR_S ? dusk_s
                                          : clock_of(zone, lift_s, t.hour >= 18 ? 1 : 0, 6);
}

/* When the alarm for the frames would ring in the dark, somebody can look in the evening before: at
 * five in the afternoon, unless the look to lift is about then. 0: not needed. */
static int64_t frames_dusk(const struct zone *zone, int64_t alarm_s, int64_t stripped_s,
                           int64_t lift_s) {
    struct zone_time t = zone_local(zone, alarm_s);
    if (t.hour >= 6 && t.hour < 20)
        return 0;
    int64_t dusk_s = clock_of(zone, alarm_s, t.hour >= 20 ? 0 : -1, 17);
    bool soon = dusk_s < stripped_s + 12 * HOUR_S, twice = lift_s >= dusk_s - 3 * HOUR_S;
    return soon || (lift_s && twice) ? 0 : dusk_s;
}

static void plan_stripped(struct plan *p, const struct spawn *s) {
    int64_t white_s =
        plan_shown(s->stripped_s + (int64_t)(book_number(BOOK_WHITE_FROM_H) * HOUR_S));
    if (!s->white_of)
        step(p, s, TASK_WHITE, 0, white_s, white_s,
             s->stripped_s + (int64_t)(book_number(BOOK_WHITE_TO_H) * HOUR_S) + HOUR_S);
    struct hatch h = spawn_hatch(s);
    if (h.last.status != PROGRESS_OK) {
        ask_until_known(p, s, s->stripped_s, 60);
        return;
    }
    int64_t last_s = plan_shown(h.last.at_s), due_s = last_s - HOUR_S;
    int64_t lift_s = plan_lift(s, p->zone);
    int64_t dusk_s = frames_dusk(p->zone, due_s, s->stripped_s, lift_s);
    if (lift_s && lift_s < due_s - 30 * MINUTE_S)
        step(p, s, TASK_LIFT, 0, lift_s, last_s, due_s);
    if (dusk_s)
        step(p, s, TASK_LIFT, 1, dusk_s, last_s, due_s);
    alarm(p, s, TASK_FRAMES, 0, due_s, last_s, last_s + 12 * HOUR_S);
}

int farm_plan(const struct farm_state *state, const struct told *told, int told_count,
              const struct zone *zone, int64_t now_s, struct task *out, int most) {
    struct plan p = {state, told, told_count, zone, now_s, out, 0, most};
    for (int i = 0; i < state->spawn_count; i++) {
        const struct spawn *s = &state->spawns[i];
        if (!spawn_open(s, now_s))
            continue;
        if (s->stripped_s)
            plan_stripped(&p, s);
        else
            plan_unstripped(&p, s);
    }
    qsort(out, (size_t)p.count, sizeof *out, by_due);
    return p.count;
}

bool farm_task_hour(const struct farm_state *state, struct task_key key, int64_t *hour_s,
                    bool *acted) {
    const struct spawn *s = farm_spawn(state, key.subject);
    *acted = s && (spawn_closed(s) || (key.kind != TASK_FRAMES && s->stripped_s) ||
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
