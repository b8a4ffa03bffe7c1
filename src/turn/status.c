/* status: where a pond, a brood fish, a tank or a spawn stands, and its next step with its hour.
 * In: a request and the state; out: an answer of some lines, nothing is recorded. A tag alone asks
 * the same. What is not there is answered with what is. */
#include "turn/inside.h"

enum { LINES_MAX = 8, TAGS_MAX = 8, STEPS_MAX = 3 };

/* The answer's lines, the most important first: what no longer fits is left out. */
struct lines {
    struct slice all[LINES_MAX];
    int count;
};

static void put(struct turn *t, struct lines *lines, const struct reply *reply) {
    if (lines->count < LINES_MAX)
        lines->all[lines->count++] = turn_render(t, t->sender, reply);
}
#define ADD(turn, lines, id, ...) put((turn), (lines), &(struct reply){REPLY_##id, {__VA_ARGS__}})

static void say(struct turn *t, const struct lines *lines) {
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines(t, t->sender, lines->all, lines->count));
}

static bool add_next(struct turn *t, struct lines *lines, enum subject_kind kind, int64_t subject) {
    struct reply step;
    int64_t at_s;
    if (!turn_next_step(t, kind, subject, &step, &at_s))
        return false;
    struct reply_value what = V_TEXT(turn_render(t, t->sender, &step));
    if (at_s > t->now_s)
        ADD(t, lines, STATUS_NEXT, V_WHEN(at_s), what);
    else
        ADD(t, lines, STATUS_NOW, what);
    return true;
}

/* -- ponds ---------------------------------------------------------------------------------------
 */

/* The last time that one of them was weighed, 0 never. */
static void add_weight(struct turn *t, struct lines *lines, const struct cycle *c) {
    const struct farm_state *st = &t->farm->state;
    struct growing now = growing_of(st, c, t->now_s);
    struct growing_points p = growing_points(st, c, t->now_s);
    struct reply_value mean = V_TEXT(turn_mean_text(t, now.weight_mg));
    struct reply_value all = V_WEIGHT(turn_two_figures(now.biomass_mg));
    if (now.reason != GROWTH_OK)
        ADD(t, lines, STATUS_NO_WEIGHT, V_TAG(turn_pond_tag(c->pond)));
    else if (p.sampled_s)
        ADD(t, lines, STATUS_WEIGHED, mean, all, V_DATE(p.sampled_s));
    else
        ADD(t, lines, STATUS_UNWEIGHED, mean, all);
}

static void add_readings(struct turn *t, struct lines *lines, const struct pond *pond) {
    const struct water_log *water = &pond->water;
    const struct measured *oxygen = &pond->last[READING_OXYGEN];
    if (water->count)
        ADD(t, lines, STATUS_WATER, V_WATER(water->readings[water->count - 1].mdegc),
            V_WHEN(water->readings[water->count - 1].at_s));
    if (oxygen->at_s)
        ADD(t, lines, STATUS_OXYGEN, V_DECIMAL(oxygen->value), V_WHEN(oxygen->at_s));
    if (pond->ph_s)
        ADD(t, lines, STATUS_PH, V_DECIMAL(pond->ph_milli), V_WHEN(pond->ph_s));
    const struct measured *ammonia = &pond->last[READING_AMMONIA];
    const struct measured *nitrite = &pond->last[READING_NITRITE];
    const struct measured *secchi = &pond->last[READING_SECCHI];
    if (ammonia->at_s)
        ADD(t, lines, STATUS_AMMONIA, V_DECIMAL(ammonia->value), V_WHEN(ammonia->at_s));
    if (nitrite->at_s)
        ADD(t, lines, STATUS_NITRITE, V_DECIMAL(nitrite->value), V_WHEN(nitrite->at_s));
    if (secchi->at_s)
        ADD(t, lines, STATUS_SECCHI, V_DECIMAL(secchi->value * 100), V_WHEN(secchi->at_s));
}

static void of_fish(struct turn *t, struct lines *lines, const struct pond *pond,
                    const struct cycle *c) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    struct reply_value fish = V_TEXT(turn_left_text(t, c)), since = V_DATE(c->stocked_s);
    if (pond->area_cm2)
        ADD(t, lines, STATUS_POND, tag, V_AREA(pond->area_cm2), fish, since);
    else
        ADD(t, lines, STATUS_POND_NO_AREA, tag, fish, since);
    add_weight(t, lines, c);
    struct reply none;
    if (turn_no_feed(t, pond, &none))
        put(t, lines, &none);
    if (!add_next(t, lines, SUBJECT_CYCLE, c->number))
        (void)add_next(t, lines, SUBJECT_POND, pond->number);
    const struct given *last =
        pond->given_count ? &pond->given[pond->given_count - 1] : NULL; /* of former fish, too */
    if (last && last->at_s >= c->stocked_s)
        ADD(t, lines, STATUS_FED, V_WEIGHT(last->feed_mg), V_WHEN(last->at_s));
    add_readings(t, lines, pond);
}

/* Brood fish live in it: their pond is no empty one. */
static bool brood_in(const struct farm_state *st, int pond) {
    for (int i = 0; i < st->brood_count; i++)
        if (st->brood[i].pond == pond && !st->brood[i].died_s)
            return true;
    return false;
}

static void of_pond(struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = farm_pond(st, tag.number);
    struct lines lines = {.count = 0};
    if ((!pond || (!pond->cycle && !pond->ready_s)) && brood_in(st, tag.number)) {
        struct request r = {.kind = REQUEST_BROOD, .has = SLOT_BIT(SLOT_POND), .pond = tag};
        turn_do_brood(t, &r);
        return;
    }
    if (!pond) {
        turn_refuse_pond(t, tag);
        return;
    }
    const struct cycle *c = pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
    if (c) {
        of_fish(t, &lines, pond, c);
    } else if (pond->ready_s) {
        ADD(t, &lines, STATUS_PREPARED, V_TAG(tag), V_DATE(pond->ready_s));
        (void)add_next(t, &lines, SUBJECT_POND, pond->number);
        add_readings(t, &lines, pond);
    } else {
        ADD(t, &lines, STATUS_EMPTY, V_TAG(tag));
        add_readings(t, &lines, pond);
    }
    say(t, &lines);
}

/* -- spawns --------------------------------------------------------------------------------------
 */

/* All of them, said without a number, are as many as were thought: the last that were taken. */
static int64_t last_taken(const struct spawn *s, int64_t at_s) {
    int64_t count = 0;
    for (int i = 0; i < s->event_count; i++)
        if (s->events[i].what == LARVAE_TAKEN && s->events[i].at_s == at_s)
            count = s->events[i].count;
    return count;
}

/* Fry that went to ponds or were sold, in all. */
static int64_t fry_out(const struct turn *t, const struct spawn *s) {
    int64_t count = 0;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (!t->farm->in_force[i])
            continue;
        bool sold =
            n->kind == ENTRY_SOLD && n->subject_kind == SUBJECT_SPAWN && n->subject == s->number;
        if (!sold && (n->kind != ENTRY_STOCKED || n->value[3] != s->number))
            continue;
        int64_t said = n->value[sold ? 0 : 1];
        count += said ? said : last_taken(s, n->at_s);
    }
    return count;
}

/* How a closed one ended. */
static struct reply ended(const struct turn *t, const struct spawn *s, struct reply_value name) {
    struct reply_value tag = V_TAG(turn_tag(s)), begun = V_DATE(s->injected_s);
    struct reply_value at = V_DATE(s->closed_s);
    enum reply_id id = REPLY_STATUS_SPAWN_OVER;
    if (s->no_eggs_s)
        id = REPLY_STATUS_NO_EGGS;
    else if (s->spoilt_s)
        id = REPLY_STATUS_SPOILT;
    else if (s->bowl)
        id = REPLY_STATUS_BOWL;
    else if (s->gone_s)
        return (struct reply){REPLY_STATUS_GONE, {name, tag, begun, V_NUMBER(fry_out(t, s)), at}};
    else if (!s->closed_s)
        return (struct reply){REPLY_STATUS_UNTOLD, {name, tag, begun}};
    return (struct reply){id, {name, tag, begun, at}};
}

/* What is to be done with eggs within a day; the frames' last hour in any case. */
static void add_eggs(struct turn *t, struct lines *lines, const struct spawn *s) {
    struct reply steps[STEPS_MAX];
    struct hatch h = spawn_hatch(s);
    struct reply_value tag = V_TAG(turn_tag(s));
    int count = turn_spawn_steps(t, s, steps, STEPS_MAX);
    bool frames = false;
    ADD(t, lines, STATUS_EGGS, tag, V_NUMBER(turn_two_figures(spawn_eggs(s))),
        V_WHEN(s->stripped_s));
    for (int i = 0; i < count; i++) {
        put(t, lines, &steps[i]);
        frames |= steps[i].id == REPLY_TODAY_FRAMES || steps[i].id == REPLY_TODAY_LIFT;
    }
    if (h.last.status != PROGRESS_OK)
        ADD(t, lines, STATUS_NO_HOUR, tag);
    else if (!frames)
        ADD(t, lines, TODAY_FRAMES, tag, V_WHEN(plan_shown(h.last.at_s)));
}

/* Where an open one stands: looked for, on frames, or larvae. */
static void add_open(struct turn *t, struct lines *lines, const struct spawn *s) {
    struct reply_value tag = V_TAG(turn_tag(s));
    if (spawn_phase(s) == PHASE_FISH) {
        int64_t look_s = plan_next_look(s);
        ADD(t, lines, STATUS_INJECTED, tag, V_WHEN(s->injected_s));
        if (look_s)
            ADD(t, lines, STATUS_LOOK, V_WHEN(look_s));
        else if (spawn_latency(s).look.status != PROGRESS_OK)
            ADD(t, lines, STATUS_NO_HOUR, tag);
        else
            ADD(t, lines, TODAY_OVER, tag);
        return;
    }
    if (spawn_phase(s) == PHASE_EGGS && !spawn_swims(s)) {
        add_eggs(t, lines, s);
        return;
    }
    struct larvae_range left = turn_larvae(s, t->now_s);
    const struct survival_range larvae = {left.low, left.middle, left.high};
    int days = spawn_larvae_days(s, t->zone, t->now_s);
    ADD(t, lines, STATUS_LARVAE, tag, V_TEXT(turn_fish_text(t, larvae)),
        V_NUMBER(days > 0 ? days : 0));
    if (turn_frames_in(t, s))
        ADD(t, lines, FRAMES_TOO, tag);
    (void)add_next(t, lines, SUBJECT_SPAWN, s->number);
}

static void of_spawn(struct turn *t, int64_t number) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *s = farm_spawn(st, number);
    struct reply_value name = V_NUMBER(number);
    struct lines lines = {.count = 0};
    if (!s && st->spawn_count) {
        TURN_SAY(t, STATUS_NO_SPAWN, name, V_NUMBER(st->spawns[st->spawn_count - 1].number));
        return;
    }
    if (!s) {
        TURN_SAY(t, STATUS_NO_SPAWNS, name);
        return;
    }
    if (spawn_open(s, t->now_s)) {
        ADD(t, &lines, STATUS_SPAWN, name);
        add_open(t, &lines, s);
    } else {
        const struct reply end = ended(t, s, name);
        put(t, &lines, &end);
    }
    say(t, &lines);
}

/* -- brood fish ----------------------------------------------------------------------------------
 */

/* Her open spawns, the newest first: eggs in a tank, and she has the needle again. None: what the
 * register has of the fish. */
static void of_brood(struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    const struct brood *fish = farm_brood_tag(st, turn_sex(tag), tag.number);
    struct lines lines = {.count = 0};
    if (!fish) {
        turn_refuse_tag(t, tag);
        return;
    }
    for (int i = st->spawn_count - 1; i >= 0; i--)
        if (st->spawns[i].female == fish->id && spawn_open(&st->spawns[i], t->now_s))
            add_open(t, &lines, &st->spawns[i]);
    if (lines.count) {
        say(t, &lines);
        return;
    }
    struct request r = {.kind = REQUEST_BROOD, .has = SLOT_BIT(SLOT_TAG), .tag = tag};
    turn_do_brood(t, &r); /* asked without news it shows */
}

/* -- tanks ---------------------------------------------------------------------------------------
 */

/* "F3 F4": what is in the tank, or in any (0): the tags of open spawns, and "B1 B2". */
static struct slice in_tank(struct turn *t, int number) {
    struct buf b = buf_make_in(t->arena, 200);
    const struct farm_state *st = &t->farm->state;
    int put = 0;
    for (int i = 0; i < st->spawn_count && put < TAGS_MAX; i++)
        if (st->spawns[i].tank == number && spawn_open(&st->spawns[i], t->now_s))
            buf_putf(&b, "%sF%d", put++ ? " " : "", st->spawns[i].tag);
    return buf_slice(&b);
}

static struct slice tank_tags(struct turn *t) {
    struct buf b = buf_make_in(t->arena, 200);
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->tank_count && i < TAGS_MAX; i++)
        buf_putf(&b, "%sB%d", i ? " " : "", st->tanks[i].number);
    return buf_slice(&b);
}

static void of_tank(struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    const struct tank *tank = farm_tank(st, tag.number);
    struct slice fish = in_tank(t, tag.number), tags = tank_tags(t);
    struct lines lines = {.count = 0};
    if (!tank && !fish.n) {
        if (tags.n)
            TURN_SAY(t, STATUS_NO_TANK, V_TAG(tag), V_TEXT(tags));
        else
            TURN_SAY(t, STATUS_NO_TANKS, V_TAG(tag));
        return;
    }
    if (tank && tank->volume_ml)
        ADD(t, &lines, STATUS_TANK, V_TAG(tag), V_NUMBER(tank->volume_ml / 1000));
    else
        ADD(t, &lines, STATUS_TANK_NO_VOLUME, V_TAG(tag));
    if (fish.n)
        ADD(t, &lines, STATUS_TANK_HOLDS, V_TEXT(fish));
    else
        ADD(t, &lines, STATUS_TANK_EMPTY, {0});
    const struct reply full = turn_tank_full(t, tag.number);
    if (full.id != REPLY_COUNT)
        put(t, &lines, &full);
    if (tank && tank->water.count)
        ADD(t, &lines, STATUS_WATER, V_WATER(tank->water.readings[tank->water.count - 1].mdegc),
            V_WHEN(tank->water.readings[tank->water.count - 1].at_s));
    say(t, &lines);
}

/* -- which ---------------------------------------------------------------------------------------
 */

static bool of_tag(struct turn *t, struct tag tag) {
    switch (tag.letter) {
    case 'p':
        of_pond(t, tag);
        return true;
    case 'b':
        of_tank(t, tag);
        return true;
    case 'f':
    case 'm':
        of_brood(t, tag);
        return true;
    default:
        return false;
    }
}

bool turn_tag_alone(const struct request *r) {
    const uint64_t tags =
        SLOT_BIT(SLOT_TAG) | SLOT_BIT(SLOT_MALE) | SLOT_BIT(SLOT_TANK) | SLOT_BIT(SLOT_POND);
    return r->kind == REQUEST_NONE && r->has && !(r->has & ~tags) && !(r->has & (r->has - 1));
}

bool turn_judge_status(struct turn *t, struct request *r) {
    if (r->kind != REQUEST_STATUS && !turn_tag_alone(r))
        return false;
    if (request_has(r, SLOT_POND))
        of_pond(t, r->pond);
    else if (request_has(r, SLOT_TANK))
        of_tank(t, r->tank);
    else if (request_has(r, SLOT_MALE))
        of_brood(t, r->male);
    else if (request_has(r, SLOT_TAG) && of_tag(t, r->tag))
        return true;
    else if (request_has(r, SLOT_COUNT) && r->count > 0)
        of_spawn(t, r->count);
    else
        TURN_ASK(t, r, SLOT_TAG, ASK_STATUS);
    return true;
}
