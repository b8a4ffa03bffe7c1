/* begin: an injection, an injection planned, a temperature. In: a request with what the text said;
 * out: entries and an answer, or one question. The rules and their numbers are trade's. */
#include "turn/inside.h"

#include "trade/book.h"
#include "trade/eggs.h"
#include "trade/latency.h"

enum {
    MINUTE_S = 60,
    HOUR_S = 3600,
    G_MG = 1000,
    WATER_LEAST_MDEGC = 4000, /* outside these no fish of ours lives: a digit slipped */
    WATER_MOST_MDEGC = 40000,
    FEMALE_LEAST_MG = 50 * G_MG, /* outside these it is no weight of a female catfish */
    FEMALE_MOST_MG = 20000 * G_MG
};

static int64_t book_mdegc(enum book_id id) {
    return (int64_t)(book_number(id) * 1000);
}

static bool outside(int64_t mdegc) {
    return mdegc < book_mdegc(BOOK_WATER_COLDEST) || mdegc > book_mdegc(BOOK_WATER_WARMEST);
}

/* -- inject --------------------------------------------------------------------------------------
 */

static bool impossible_water(struct turn *t, int64_t mdegc) {
    if (mdegc >= WATER_LEAST_MDEGC && mdegc <= WATER_MOST_MDEGC)
        return false;
    TURN_SAY(t, WATER_IMPOSSIBLE, V_WATER(mdegc));
    return true;
}

static bool fill_weight(struct turn *t, const struct request *r, const struct female *known,
                        int64_t *weight_mg) {
    if (!request_has(r, SLOT_WEIGHT) && !known) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_WEIGHT, V_TAG(r->tag));
        return false;
    }
    *weight_mg = request_has(r, SLOT_WEIGHT) ? r->weight_mg : known->weight_mg;
    if (*weight_mg < FEMALE_LEAST_MG || *weight_mg > FEMALE_MOST_MG) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(*weight_mg));
        return false;
    }
    bool odd = *weight_mg < (int64_t)book_number(BOOK_FEMALE_LEAST_G) * G_MG ||
               *weight_mg > (int64_t)book_number(BOOK_FEMALE_MOST_G) * G_MG;
    if (odd && request_has(r, SLOT_WEIGHT) && !(r->confirms & CONFIRM_FEMALE)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_FEMALE, ASK_FEMALE_WEIGHT, V_TAG(r->tag),
                 V_WEIGHT(*weight_mg));
        return false;
    }
    return true;
}

/* The hatchery's last reading before the instant, if it is fresh. */
static const struct water_reading *fresh_water(const struct turn *t, int64_t at_s) {
    const struct water_log *log = &t->farm->state.water;
    for (int i = log->count - 1; i >= 0; i--)
        if (log->readings[i].at_s <= at_s)
            return at_s - log->readings[i].at_s <= (int64_t)book_number(BOOK_WATER_FRESH_H) * HOUR_S
                       ? &log->readings[i]
                       : NULL;
    return NULL;
}

/* Thousands of eggs on two figures: more would be false precision. */
static int64_t thousands(int64_t eggs) {
    int64_t t = (eggs + 500) / 1000, unit = 1;
    while (t / unit >= 100)
        unit *= 10;
    return (t + unit / 2) / unit * unit;
}

static void say_injected(struct turn *t, const struct spawn *s, bool is_new) {
    struct latency l = spawn_latency(s);
    struct reply_value tag = V_TAG(turn_tag(s)), weight = V_WEIGHT(s->weight_mg);
    struct reply_value at = V_WHEN(s->injected_s);
    int64_t mdegc = water_at_mdegc(spawn_water(s), s->injected_s);
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    if (l.look.status == PROGRESS_COLD) {
        TURN_SAY(t, INJECTED_COLD, tag, weight, at, V_WATER(mdegc));
        return;
    }
    if (l.look.status == PROGRESS_WARM) {
        TURN_SAY(t, INJECTED_WARM, tag, weight, at, V_WATER(mdegc));
        return;
    }
    struct eggs_range eggs = eggs_expected(s->weight_mg);
    int64_t look_s = plan_shown(l.look.at_s);
    int64_t most_s = turn_most(s, &l);
    const struct reply r = {is_new ? REPLY_INJECTED_NEW : REPLY_INJECTED,
                            {tag, weight, at, V_WATER(mdegc), V_WHEN(look_s),
                             turn_until(t, look_s, most_s), V_NUMBER(thousands(eggs.low)),
                             V_NUMBER(thousands(eggs.high))}};
    turn_say(t, &r);
    turn_said(t, TASK_LOOK, s, look_s);
}

/* A spawn of hers that is not closed, begun before or after the instant. */
static const struct spawn *open_spawn(const struct farm_state *st, int tag, int64_t at_s) {
    for (int i = st->spawn_count - 1; i >= 0; i--)
        if (st->spawns[i].tag == tag && spawn_open(&st->spawns[i], at_s))
            return &st->spawns[i];
    return NULL;
}

void turn_do_inject(struct turn *t, struct request *r) {
    int64_t at_s, weight_mg, mdegc = 0;
    if (!turn_fill_female(t, r) || !turn_fill_instant(t, r, &at_s))
        return;
    const struct farm_state *st = &t->farm->state;
    const struct female *known = farm_female(st, r->tag.number);
    if (!fill_weight(t, r, known, &weight_mg))
        return;
    bool said = turn_fill_water(r, &mdegc);
    if (said && impossible_water(t, mdegc))
        return;
    if (!said && !fresh_water(t, at_s)) {
        TURN_ASK(t, r, SLOT_WATER, ASK_WATER, V_TAG(r->tag));
        return;
    }
    const struct spawn *open = open_spawn(st, r->tag.number, at_s);
    if (open && !(r->confirms & CONFIRM_OPEN)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_OPEN, ASK_OPEN, V_TAG(r->tag),
                 V_WHEN(open->injected_s));
        return;
    }
    if (open && !open->stripped_s) /* the earlier injection came to nothing */
        turn_record(t, ENTRY_NO_EGGS, SUBJECT_SPAWN, open->number,
                    at_s > open->injected_s ? at_s : open->injected_s, 0, 0, 0);
    int64_t number = farm_next_spawn(t->farm);
    turn_record(t, ENTRY_INJECTED, SUBJECT_SPAWN, number, at_s,
                known ? known->id : farm_next_female(t->farm), r->tag.number, weight_mg);
    if (said)
        turn_record(t, ENTRY_WATER, SUBJECT_SPAWN, number, at_s, mdegc, WATER_AT_INJECTION, 0);
    bool is_new = !known;
    if (!turn_commit(t))
        return;
    say_injected(t, farm_spawn(&t->farm->state, number), is_new);
}

/* -- plan ---------------------------------------------------------------------------------------
 */

static bool plan_target(struct turn *t, const struct request *r, int64_t *at_s) {
    if (!request_has(r, SLOT_TIME) || r->now) {
        TURN_ASK(t, r, SLOT_TIME, ASK_PLAN_TIME, V_TAG(r->tag));
        return false;
    }
    for (int day = request_has(r, SLOT_DAY) ? r->day : 0; day <= 2; day++) {
        struct zone_time local = zone_local(t->zone, zone_midnight(t->zone, t->base_s, day));
        local.hour = r->hour;
        local.minute = r->minute;
        if (zone_instant(t->zone, local, at_s) == ERR_OK && *at_s > t->base_s)
            return true;
        if (request_has(r, SLOT_DAY))
            break;
    }
    TURN_SAY(t, HOUR_PAST, V_WHEN(t->base_s));
    return false;
}

void turn_do_plan(struct turn *t, struct request *r) {
    int64_t look_s, mdegc;
    if (!turn_fill_female(t, r) || !plan_target(t, r, &look_s))
        return;
    if (!turn_fill_water(r, &mdegc)) {
        const struct water_reading *fresh = fresh_water(t, t->base_s);
        if (!fresh) {
            TURN_ASK(t, r, SLOT_WATER, ASK_WATER, V_TAG(r->tag));
            return;
        }
        mdegc = fresh->mdegc;
    }
    if (impossible_water(t, mdegc))
        return;
    const struct water_reading held = {t->base_s, mdegc};
    const struct water_series water = {&held, 1};
    struct progress begin = latency_plan(water, look_s);
    if (begin.status != PROGRESS_OK) {
        TURN_SAY(t, PLANNED_OUTSIDE, V_WATER(mdegc));
        return;
    }
    struct reply_value tag = V_TAG(r->tag), look = V_WHEN(look_s), degrees = V_WATER(mdegc);
    if (begin.at_s + 5 * MINUTE_S < t->base_s) {
        struct latency now = latency_of(water, t->base_s);
        TURN_SAY(t, PLANNED_LATE, tag, look, degrees, V_WHEN(begin.at_s), V_WHEN(now.look.at_s));
    } else {
        TURN_SAY(t, PLANNED, tag, look, degrees, V_WHEN(begin.at_s));
    }
    struct request full = *r;
    full.has |= 1u << SLOT_WATER;
    full.water_mdegc = mdegc;
    struct buf line = buf_make_in(t->arena, 300);
    request_write(&full, &line);
    turn_about(t, t->sender, ABOUT_PLAN, look_s, buf_slice(&line));
}

/* -- temp ---------------------------------------------------------------------------------------
 */

/* The spawn's series as it would be with one more reading. */
static struct water_series with_reading(struct turn *t, const struct spawn *s, int64_t at_s,
                                        int64_t mdegc) {
    struct water_reading *r =
        ARENA_ARRAY(t->arena, (size_t)s->water.count + 1, struct water_reading);
    int n = 0;
    bool put = false;
    if (!r)
        return spawn_water(s);
    for (int i = 0; i < s->water.count; i++) {
        const struct water_reading *old = &s->water.readings[i];
        if (!put && old->at_s >= at_s) {
            r[n++] = (struct water_reading){at_s, mdegc};
            put = true;
            if (old->at_s == at_s)
                continue;
        }
        r[n++] = *old;
    }
    if (!put)
        r[n++] = (struct water_reading){at_s, mdegc};
    return (struct water_series){r, n};
}

/* A reading that moves her first look later by more than the book's limit is asked back. */
static bool moves_late(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                       int64_t mdegc) {
    if (s->stripped_s || (r->confirms & CONFIRM_MOVES))
        return false;
    struct latency old = spawn_latency(s);
    struct latency now = latency_of(with_reading(t, s, at_s, mdegc), s->injected_s);
    if (old.look.status != PROGRESS_OK || now.look.status != PROGRESS_OK ||
        now.look.at_s - old.look.at_s <= (int64_t)book_number(BOOK_MOVE_ASK_MIN) * MINUTE_S)
        return false;
    const struct reply ask = {request_has(r, SLOT_TAG) ? REPLY_ASK_WATER_MOVES
                                                       : REPLY_ASK_HATCHERY_MOVES,
                              {V_TAG(turn_tag(s)), V_WATER(mdegc), V_CLOCK(at_s),
                               V_WHEN(now.look.at_s), V_WHEN(old.look.at_s)}};
    turn_ask(t, r, CONFIRM_BASE + CONFIRM_MOVES, &ask);
    return true;
}

/* A jump against the last reading before it, or water in which no hour can be given. */
static bool jumps(struct turn *t, const struct request *r, const struct water_log *log,
                  int64_t at_s, int64_t mdegc) {
    if (r->confirms & CONFIRM_WATER)
        return false;
    const struct water_reading *was = NULL;
    for (int i = 0; i < log->count && log->readings[i].at_s <= at_s; i++)
        was = &log->readings[i];
    if (!was)
        return false;
    int64_t by = mdegc > was->mdegc ? mdegc - was->mdegc : was->mdegc - mdegc;
    bool fast = by > book_mdegc(BOOK_JUMP_DEGC) &&
                at_s - was->at_s < (int64_t)book_number(BOOK_JUMP_HOURS) * HOUR_S;
    bool out = outside(mdegc) && !outside(was->mdegc);
    if (!fast && !out)
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_WATER, ASK_WATER_JUMPS, V_WATER(mdegc), V_CLOCK(at_s),
             V_WATER(was->mdegc), V_WHEN(was->at_s));
    return true;
}

/* What the reading means now for one spawn. False: nothing was said. */
static bool say_water(struct turn *t, const struct spawn *s, bool own, int64_t at_s,
                      int64_t mdegc) {
    struct reply_value tag = V_TAG(turn_tag(s)), water = V_WATER(mdegc), at = V_WHEN(at_s);
    if (s->stripped_s) {
        struct hatch h = spawn_hatch(s);
        if (h.half.status != PROGRESS_OK || h.last.status != PROGRESS_OK)
            return false;
        struct reply_value out = V_WHEN(h.last.at_s);
        if (own)
            TURN_SAY(t, WATER_TANK_EGGS, tag, water, at, V_WHEN(h.half.at_s), out);
        else
            TURN_SAY(t, WATER_HATCHERY_EGGS, water, at, tag, out);
        turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
        turn_about(t, t->sender, ABOUT_EGGS, s->number, (struct slice){0});
        return true;
    }
    int64_t look_s = plan_next_look(s);
    if (!look_s)
        return false;
    if (own)
        TURN_SAY(t, WATER_TANK, tag, water, at, V_WHEN(look_s));
    else
        TURN_SAY(t, WATER_HATCHERY_LOOK, water, at, tag, V_WHEN(look_s));
    turn_said(t, TASK_LOOK, s, look_s);
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    return true;
}

static void temp_tank(struct turn *t, struct request *r, int64_t at_s, int64_t mdegc) {
    const struct spawn *s = turn_fill_spawn(t, r, SPAWN_ANY, at_s);
    if (!s || jumps(t, r, &s->water, at_s, mdegc) || moves_late(t, r, s, at_s, mdegc))
        return;
    int64_t number = s->number;
    turn_record(t, ENTRY_WATER, SUBJECT_SPAWN, number, at_s, mdegc, WATER_OWN, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    if (say_water(t, s, true, at_s, mdegc))
        return;
    /* Good water after bad gives no hour again, but "too cold" would be false of it. */
    bool given_up = !s->stripped_s && s->waits && spawn_latency(s).look.status == PROGRESS_OK;
    if (!s->stripped_s && !given_up && !outside(mdegc))
        TURN_SAY(t, WATER_TANK_BACK, V_TAG(turn_tag(s)), V_WATER(mdegc), V_WHEN(at_s));
    else if (given_up || !outside(mdegc))
        TURN_SAY(t, WATER_TANK_NOTED, V_TAG(turn_tag(s)), V_WATER(mdegc), V_WHEN(at_s));
    else
        turn_say_no_hour(t, s);
}

static void temp_hatchery(struct turn *t, struct request *r, int64_t at_s, int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    if (jumps(t, r, &st->water, at_s, mdegc))
        return;
    for (int i = 0; i < st->spawn_count; i++)
        if (st->spawns[i].follows && spawn_open(&st->spawns[i], at_s) &&
            st->spawns[i].injected_s <= at_s && moves_late(t, r, &st->spawns[i], at_s, mdegc))
            return;
    turn_record(t, ENTRY_WATER, SUBJECT_HATCHERY, 0, at_s, mdegc, WATER_OWN, 0);
    if (!turn_commit(t))
        return;
    for (int i = st->spawn_count - 1; i >= 0 && outside(mdegc); i--)
        if (st->spawns[i].follows && spawn_open(&st->spawns[i], at_s) &&
            (st->spawns[i].stripped_s ? spawn_hatch(&st->spawns[i]).last.status
                                      : spawn_latency(&st->spawns[i]).look.status) != PROGRESS_OK) {
            turn_say_no_hour(t, &st->spawns[i]);
            return;
        }
    for (int stage = 0; stage < 2; stage++) /* the fish first, then eggs; one is enough */
        for (int i = st->spawn_count - 1; i >= 0; i--) {
            const struct spawn *s = &st->spawns[i];
            if (s->follows && spawn_open(s, at_s) && (s->stripped_s != 0) == stage &&
                say_water(t, s, false, at_s, mdegc))
                return;
        }
    TURN_SAY(t, WATER_HATCHERY, V_WATER(mdegc), V_WHEN(at_s));
}

static void temp_same(struct turn *t, struct request *r, int64_t at_s) {
    const struct spawn *s = turn_fill_spawn(t, r, SPAWN_ANY, at_s);
    if (!s)
        return;
    int64_t number = s->number;
    turn_record(t, ENTRY_FOLLOW, SUBJECT_SPAWN, number, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    TURN_SAY(t, WATER_SAME, V_TAG(turn_tag(s)));
    int64_t look_s = s->stripped_s ? 0 : plan_next_look(s);
    if (look_s)
        turn_said(t, TASK_LOOK, s, look_s);
}

void turn_do_temp(struct turn *t, struct request *r) {
    int64_t at_s, mdegc;
    if (!turn_fill_instant(t, r, &at_s))
        return;
    if (request_has(r, SLOT_SAME)) {
        temp_same(t, r, at_s);
        return;
    }
    if (request_has(r, SLOT_TAG) && !turn_fill_female(t, r))
        return;
    if (!turn_fill_water(r, &mdegc)) {
        if (request_has(r, SLOT_TAG))
            TURN_ASK(t, r, SLOT_WATER, ASK_WATER, V_TAG(r->tag));
        else
            TURN_ASK(t, r, SLOT_WATER, ASK_DEGREES, {0});
        return;
    }
    if (impossible_water(t, mdegc))
        return;
    if (request_has(r, SLOT_TAG))
        temp_tank(t, r, at_s, mdegc);
    else
        temp_hatchery(t, r, at_s, mdegc);
}
