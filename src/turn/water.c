/* water: an injection planned for an hour, and temperatures. In: a request with what the text said;
 * out: entries and an answer, or one question. The rules and their numbers are trade's. */
#include "turn/inside.h"

#include "trade/book.h"
#include "trade/eggs.h"
#include "trade/latency.h"

enum { MINUTE_S = 60, HOUR_S = 3600 };

static int64_t book_mdegc(enum book_id id) {
    return (int64_t)(book_number(id) * 1000);
}

static bool outside(int64_t mdegc) {
    return mdegc < book_mdegc(BOOK_WATER_COLDEST) || mdegc > book_mdegc(BOOK_WATER_WARMEST);
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
        bool over = day <= 0 && r->hour < zone_local(t->zone, t->base_s).hour;
        bool skipped = zone_instant(t->zone, local, at_s) != ERR_OK;
        if (skipped && !over) {
            turn_say_skipped(t, r);
            return false;
        }
        if (!skipped && *at_s <= t->base_s)
            *at_s = zone_second(t->zone, *at_s);
        if (!skipped && *at_s > t->base_s)
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
        const struct water_reading *fresh = turn_fresh_water(t, t->base_s);
        if (!fresh) {
            TURN_ASK(t, r, SLOT_WATER, ASK_WATER, V_TAG(r->tag));
            return;
        }
        mdegc = fresh->mdegc;
    }
    if (turn_impossible_water(t, mdegc))
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
    full.has |= SLOT_BIT(SLOT_WATER);
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

/* By how much a reading would move her first look, and where it would be; 0 where there is none. */
static int64_t later_by(struct turn *t, const struct spawn *s, int64_t at_s, int64_t mdegc,
                        int64_t *old_s, int64_t *new_s) {
    struct latency old = spawn_latency(s);
    struct latency now = latency_of(with_reading(t, s, at_s, mdegc), s->injected_s);
    if (s->stripped_s || old.look.status != PROGRESS_OK || now.look.status != PROGRESS_OK)
        return 0;
    *old_s = old.look.at_s;
    *new_s = now.look.at_s;
    return *new_s - *old_s;
}

static int64_t move_most_s(void) {
    return (int64_t)book_number(BOOK_MOVE_ASK_MIN) * MINUTE_S;
}

/* A reading that moves her first look later by more than the book's limit is asked back. */
static bool moves_late(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                       int64_t mdegc) {
    int64_t old_s, new_s;
    if ((r->confirms & CONFIRM_MOVES) ||
        later_by(t, s, at_s, mdegc, &old_s, &new_s) <= move_most_s())
        return false;
    const struct reply ask = {
        request_has(r, SLOT_TAG) ? REPLY_ASK_WATER_MOVES : REPLY_ASK_HATCHERY_MOVES,
        {V_TAG(turn_tag(s)), V_WATER(mdegc), V_CLOCK(at_s), V_WHEN(new_s), V_WHEN(old_s)}};
    turn_ask(t, r, CONFIRM_BASE + CONFIRM_MOVES, &ask);
    return true;
}

/* The same of a tank: all who are in it are named, with the first of their hours. */
static bool tank_moves_late(struct turn *t, const struct request *r, struct tag tank, int64_t at_s,
                            int64_t mdegc) {
    enum { TAGS_MOST = 14 };
    const struct farm_state *st = &t->farm->state;
    const struct spawn *only = NULL;
    struct buf tags = buf_make_in(t->arena, 80);
    int64_t first_old_s = 0, first_new_s = 0, most_s = 0;
    int n = 0;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        int64_t old_s, new_s;
        if (s->tank != tank.number || s->stripped_s || !turn_spawn_fits(s, SPAWN_ANY, at_s))
            continue;
        int64_t by_s = later_by(t, s, at_s, mdegc, &old_s, &new_s);
        if (by_s > 0) {
            most_s = by_s > most_s ? by_s : most_s;
            first_old_s = first_old_s && first_old_s < old_s ? first_old_s : old_s;
            first_new_s = first_new_s && first_new_s < new_s ? first_new_s : new_s;
        }
        if (tags.n <= TAGS_MOST)
            buf_putf(&tags, "%sF%d", n ? "+" : "", s->tag);
        else if (tags.p[tags.n - 1] != '.')
            buf_puts(&tags, "...");
        only = s;
        n++;
    }
    if (n == 1 && request_has(r, SLOT_TAG))
        return moves_late(t, r, only, at_s, mdegc);
    if ((r->confirms & CONFIRM_MOVES) || most_s <= move_most_s())
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MOVES, ASK_TANK_MOVES, V_TAG(tank), V_WATER(mdegc),
             V_CLOCK(at_s), V_TEXT(buf_slice(&tags)), V_WHEN(first_new_s), V_WHEN(first_old_s));
    return true;
}

/* A jump against the last reading before it, or water in which no hour can be given. What is put
 * right is no reading before itself. */
static bool jumps(struct turn *t, const struct request *r, const struct water_log *log,
                  int64_t at_s, int64_t mdegc) {
    if (r->confirms & CONFIRM_WATER)
        return false;
    const struct water_reading *was = NULL;
    int64_t until_s = r->kind == REQUEST_FIX ? at_s - 1 : at_s;
    for (int i = 0; i < log->count && log->readings[i].at_s <= until_s; i++)
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
    if (spawn_closed(s) || s->frames_s) { /* no hour hangs on it any more */
        if (own)
            TURN_SAY(t, WATER_TANK_NOTED, tag, water, at);
        return own;
    }
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
    if (look_s < t->now_s - 12 * HOUR_S) { /* long over: an hour of then would be no help */
        TURN_SAY(t, WATER_TANK_NOTED, tag, water, at);
        return true;
    }
    if (own)
        TURN_SAY(t, WATER_TANK, tag, water, at, V_WHEN(look_s));
    else
        TURN_SAY(t, WATER_HATCHERY_LOOK, water, at, tag, V_WHEN(look_s));
    turn_said(t, TASK_LOOK, s, look_s);
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    return true;
}

/* What a reading of her tank means; `tank` where nobody is in it. */
static void say_tank(struct turn *t, const struct spawn *s, struct tag tank, int64_t at_s,
                     int64_t mdegc) {
    if (s && say_water(t, s, true, at_s, mdegc))
        return;
    struct reply_value tag = V_TAG(s ? turn_tag(s) : tank), water = V_WATER(mdegc);
    /* Good water after bad gives no hour again, but "too cold" would be false of it. */
    bool given_up = s && !s->stripped_s && s->waits && spawn_latency(s).look.status == PROGRESS_OK;
    if (s && !s->stripped_s && !given_up && !outside(mdegc))
        TURN_SAY(t, WATER_TANK_BACK, tag, water, V_WHEN(at_s));
    else if (!s || given_up || !outside(mdegc))
        TURN_SAY(t, WATER_TANK_NOTED, tag, water, V_WHEN(at_s));
    else
        turn_say_no_hour(t, s);
}

/* Females in one tank that are looked at at one hour: said of all. False: nothing was said. */
static bool say_all_in_tank(struct turn *t, struct tag tank, int64_t at_s, int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    struct buf tags = buf_make_in(t->arena, 80);
    int64_t look_s = 0;
    int n = 0;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        if (s->tank != tank.number || !turn_spawn_fits(s, SPAWN_BEFORE, at_s))
            continue;
        int64_t next_s = plan_next_look(s);
        if (!next_s || (n && next_s != look_s))
            return false;
        look_s = next_s;
        buf_putf(&tags, "%sF%d", n++ ? "+" : "", s->tag);
    }
    if (n < 2)
        return false;
    TURN_SAY(t, WATER_TANK_ALL, V_TAG(tank), V_WATER(mdegc), V_WHEN(at_s), V_TEXT(buf_slice(&tags)),
             V_WHEN(look_s));
    for (int i = 0; i < st->spawn_count; i++)
        if (st->spawns[i].tank == tank.number &&
            turn_spawn_fits(&st->spawns[i], SPAWN_BEFORE, at_s))
            turn_said(t, TASK_LOOK, &st->spawns[i], look_s);
    return true;
}

/* The first of the spawns in a tank at an instant, NULL none. */
static const struct spawn *first_in(const struct turn *t, struct tag tank, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->spawn_count; i++)
        if (st->spawns[i].tank == tank.number && turn_spawn_fits(&st->spawns[i], SPAWN_ANY, at_s))
            return &st->spawns[i];
    return NULL;
}

static bool tank_asks(struct turn *t, const struct request *r, struct tag tank,
                      const struct spawn *in, int64_t at_s, int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    const struct tank *known = farm_tank(st, tank.number);
    if (tank_moves_late(t, r, tank, at_s, mdegc))
        return true;
    return jumps(t, r, in ? &in->water : known ? &known->water : &st->water, at_s, mdegc);
}

bool turn_tank_water_asks(struct turn *t, const struct request *r, struct tag tank, int64_t at_s,
                          int64_t mdegc) {
    return tank_asks(t, r, tank, first_in(t, tank, at_s), at_s, mdegc);
}

/* A tank's reading is that of every spawn in it; what it means is said of `named`, or of the first.
 */
static void temp_of_tank(struct turn *t, const struct request *r, struct tag tank,
                         const struct spawn *named, int64_t at_s, int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *in = named ? named : first_in(t, tank, at_s);
    if (tank_asks(t, r, tank, in, at_s, mdegc))
        return;
    int64_t number = in ? in->number : 0;
    turn_record(t, ENTRY_WATER, SUBJECT_TANK, tank.number, at_s, mdegc, WATER_OWN, 0);
    if (turn_commit(t) && !say_all_in_tank(t, tank, at_s, mdegc))
        say_tank(t, farm_spawn(st, number), tank, at_s, mdegc);
}

int turn_tank_then(const struct turn *t, const struct spawn *s, int64_t at_s) {
    const struct entry *last = NULL;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        bool hers = n->kind == ENTRY_TANK && n->subject_kind == SUBJECT_SPAWN &&
                    n->subject == s->number && n->at_s <= at_s && t->farm->in_force[i];
        if (hers && (!last || n->at_s >= last->at_s))
            last = n;
    }
    bool eggs = s->stripped_s && at_s >= s->stripped_s;
    return last && !(eggs && last->at_s < s->stripped_s) ? (int)last->value[0] : 0;
}

static void temp_tank(struct turn *t, struct request *r, int64_t at_s, int64_t mdegc) {
    const struct spawn *s = turn_fill_spawn(t, r, SPAWN_ANY, at_s);
    int tank = s ? turn_tank_then(t, s, at_s) : 0;
    if (tank) { /* the water of whoever is in it with her, too */
        temp_of_tank(t, r, (struct tag){'b', tank}, s, at_s, mdegc);
        return;
    }
    if (!s || jumps(t, r, &s->water, at_s, mdegc) || moves_late(t, r, s, at_s, mdegc))
        return;
    int64_t number = s->number;
    turn_record(t, ENTRY_WATER, SUBJECT_SPAWN, number, at_s, mdegc, WATER_OWN, 0);
    if (!turn_commit(t))
        return;
    say_tank(t, farm_spawn(&t->farm->state, number), turn_tag(s), at_s, mdegc);
}

/* A look that this reading of the hatchery's water bears on. 0: none. */
static int64_t look_of(const struct turn *t, const struct spawn *s, int64_t at_s) {
    bool waits = s->follows && spawn_open(s, at_s) && !s->stripped_s;
    int64_t look_s = waits ? plan_next_look(s) : 0;
    return look_s >= t->now_s - 12 * HOUR_S ? look_s : 0;
}

/* Of several females in this water the earliest look is named, in one text: none comes before it.
 * Who knew an hour of the others is not told each of them. False: there are not several. */
static bool say_first_look(struct turn *t, int64_t at_s, int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *first = NULL;
    int n = 0;
    for (int i = 0; i < st->spawn_count; i++) {
        int64_t look_s = look_of(t, &st->spawns[i], at_s);
        n += look_s != 0;
        if (look_s && (!first || look_s < plan_next_look(first)))
            first = &st->spawns[i];
    }
    if (n < 2)
        return false;
    TURN_SAY(t, WATER_HATCHERY_LOOKS, V_WATER(mdegc), V_WHEN(at_s), V_NUMBER(n),
             V_TAG(turn_tag(first)), V_WHEN(plan_next_look(first)));
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        const struct task_key key = {TASK_LOOK, s->number, s->waits, STAGE_SAID};
        int64_t look_s = look_of(t, s, at_s);
        if (look_s && (s == first || turn_hour_told(t, key, turn_sender(t)->id)))
            turn_said(t, TASK_LOOK, s, look_s);
    }
    turn_about(t, t->sender, ABOUT_LOOK, first->number, (struct slice){0});
    return true;
}

/* The last hour of eggs on frames that this reading bears on. 0: none, or it is long over. */
static int64_t frames_of(const struct turn *t, const struct spawn *s, int64_t at_s) {
    bool eggs = s->follows && spawn_open(s, at_s) && spawn_phase(s) == PHASE_EGGS;
    struct hatch h = eggs ? spawn_hatch(s) : (struct hatch){0};
    int64_t last_s = eggs && h.last.status == PROGRESS_OK ? plan_shown(h.last.at_s) : 0;
    return last_s >= t->now_s - 12 * HOUR_S ? last_s : 0;
}

/* The same of eggs on frames: whose are out first. */
static bool say_first_frames(struct turn *t, int64_t at_s, int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *first = NULL;
    int n = 0;
    for (int i = 0; i < st->spawn_count; i++) {
        int64_t last_s = frames_of(t, &st->spawns[i], at_s);
        n += last_s != 0;
        if (last_s && (!first || last_s < frames_of(t, first, at_s)))
            first = &st->spawns[i];
    }
    if (n < 2)
        return false;
    TURN_SAY(t, WATER_HATCHERY_FRAMES, V_WATER(mdegc), V_WHEN(at_s), V_NUMBER(n),
             V_TAG(turn_tag(first)), V_WHEN(frames_of(t, first, at_s)));
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        const struct task_key key = {TASK_FRAMES, s->number, 0, STAGE_SAID};
        int64_t last_s = frames_of(t, s, at_s);
        if (last_s && (s == first || turn_hour_told(t, key, turn_sender(t)->id)))
            turn_said(t, TASK_FRAMES, s, last_s);
    }
    turn_about(t, t->sender, ABOUT_EGGS, first->number, (struct slice){0});
    return true;
}

/* Fish that are to be looked at in this water: their hours go before those of eggs. */
static bool any_look(const struct turn *t, int64_t at_s) {
    for (int i = 0; i < t->farm->state.spawn_count; i++)
        if (look_of(t, &t->farm->state.spawns[i], at_s))
            return true;
    return false;
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
    if (say_first_look(t, at_s, mdegc) || (!any_look(t, at_s) && say_first_frames(t, at_s, mdegc)))
        return;
    for (int stage = 0; stage < 2; stage++) /* the fish first, then eggs; one is enough */
        for (int i = st->spawn_count - 1; i >= 0; i--) {
            const struct spawn *s = &st->spawns[i];
            if (s->follows && spawn_open(s, at_s) && (s->stripped_s != 0) == stage &&
                say_water(t, s, false, at_s, mdegc))
                return;
        }
    TURN_SAY(t, WATER_HATCHERY, V_WATER(mdegc), V_WHEN(at_s));
}

bool turn_reading_fits(struct turn *t, const struct request *r, const struct entry *n,
                       int64_t mdegc) {
    const struct farm_state *st = &t->farm->state;
    const struct tank *tank = n->subject_kind == SUBJECT_TANK ? farm_tank(st, n->subject) : NULL;
    const struct water_log *log = tank ? &tank->water : &st->water;
    if (turn_impossible_water(t, mdegc))
        return false;
    /* it came with the injection, or of a pond: any may be */
    if (n->value[1] == WATER_AT_INJECTION || n->subject_kind == SUBJECT_POND)
        return true;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        bool hers = n->subject_kind == SUBJECT_SPAWN ? s->number == n->subject
                    : tank                           ? s->tank == tank->number
                                                     : s->follows;
        if (!hers || !spawn_open(s, n->at_s) || s->injected_s > n->at_s)
            continue;
        if (moves_late(t, r, s, n->at_s, mdegc))
            return false;
        if (n->subject_kind != SUBJECT_HATCHERY)
            log = &s->water;
    }
    return !jumps(t, r, log, n->at_s, mdegc);
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
        if (request_has(r, SLOT_TAG) || request_has(r, SLOT_TANK))
            TURN_ASK(t, r, SLOT_WATER, ASK_WATER,
                     V_TAG(request_has(r, SLOT_TANK) ? r->tank : r->tag));
        else
            TURN_ASK(t, r, SLOT_WATER, ASK_DEGREES, {0});
        return;
    }
    if (turn_impossible_water(t, mdegc))
        return;
    if (request_has(r, SLOT_TANK))
        temp_of_tank(t, r, r->tank, NULL, at_s, mdegc);
    else if (request_has(r, SLOT_TAG))
        temp_tank(t, r, at_s, mdegc);
    else
        temp_hatchery(t, r, at_s, mdegc);
}
