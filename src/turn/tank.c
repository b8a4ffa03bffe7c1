/* tank: tanks by their number and volume, who is in them, and where the water comes from. In: a
 * request; out: entries and an answer, or one question. Numbers are trade's. */
#include "trade/book.h"
#include "trade/larvae.h"
#include "turn/inside.h"

enum { TANK_LEAST_ML = 1000, TANK_LARGE_ML = 10000000 };
#define TANK_MOST_ML INT64_C(500000000)

struct tag turn_tank_tag(int number) {
    return (struct tag){'b', number};
}

/* The spawns that the text names are in the tank. False: an answer was given. */
static bool record_fish(struct turn *t, struct request *r, int64_t at_s) {
    for (int i = -1; i < (request_has(r, SLOT_ALSO) ? r->also_count : 0); i++) {
        struct request one = {.kind = r->kind, .has = SLOT_BIT(SLOT_TAG)};
        one.tag = i < 0 ? r->tag : r->also[i];
        const struct spawn *s = turn_fill_spawn(t, &one, SPAWN_ANY, at_s);
        if (!s)
            return false;
        turn_record(t, ENTRY_TANK, SUBJECT_SPAWN, s->number, at_s, r->tank.number, 0, 0);
    }
    return true;
}

/* "F3+F4" */
static struct slice tags_of(struct turn *t, const struct request *r) {
    struct buf b = buf_make_in(t->arena, 60);
    buf_putf(&b, "F%d", r->tag.number);
    for (int i = 0; i < (request_has(r, SLOT_ALSO) ? r->also_count : 0); i++)
        buf_putf(&b, "+F%d", r->also[i].number);
    return buf_slice(&b);
}

/* What it holds: in litres, a large one in cubic metres. */
static void say_volume(struct turn *t, struct tag tag, int64_t volume_ml, bool is_new) {
    struct reply_value litres = V_NUMBER(volume_ml / 1000), m3 = V_CENTI(volume_ml / 1000);
    struct reply_value eggs = V_NUMBER(eggs_tank_most(volume_ml));
    int64_t most = larvae_tank_most(volume_ml);
    bool large = volume_ml >= TANK_LARGE_ML;
    struct reply_value larvae = V_NUMBER(large ? turn_two_figures(most) : most);
    if (is_new && large)
        TURN_SAY(t, TANK_NOTED_LARGE, V_TAG(tag), m3, larvae);
    else if (is_new)
        TURN_SAY(t, TANK_NOTED, V_TAG(tag), litres, eggs, larvae);
    else if (large)
        TURN_SAY(t, TANK_IS_LARGE, V_TAG(tag), m3, larvae);
    else
        TURN_SAY(t, TANK_IS, V_TAG(tag), litres, eggs, larvae);
}

void turn_do_tank(struct turn *t, struct request *r) {
    int64_t at_s;
    if (!request_has(r, SLOT_TANK)) {
        TURN_ASK(t, r, SLOT_TANK, ASK_TANK);
        return;
    }
    if (!turn_fill_instant(t, r, &at_s))
        return;
    const struct tank *tank = farm_tank(&t->farm->state, r->tank.number);
    if (!request_has(r, SLOT_VOLUME) && !request_has(r, SLOT_TAG)) {
        if (tank && tank->volume_ml)
            say_volume(t, r->tank, tank->volume_ml, false);
        else
            TURN_ASK(t, r, SLOT_VOLUME, ASK_VOLUME, V_TAG(r->tank));
        return;
    }
    if (request_has(r, SLOT_VOLUME) &&
        (r->volume_ml < TANK_LEAST_ML || r->volume_ml > TANK_MOST_ML)) {
        TURN_SAY(t, VOLUME_IMPOSSIBLE, V_TAG(r->tank));
        return;
    }
    if (request_has(r, SLOT_VOLUME))
        turn_record(t, ENTRY_VOLUME, SUBJECT_TANK, r->tank.number, at_s, r->volume_ml, 0, 0);
    if (request_has(r, SLOT_TAG) && !record_fish(t, r, at_s)) {
        turn_drop(t); /* one that is not known: nothing of the text is recorded */
        return;
    }
    if (!turn_commit(t))
        return;
    tank = farm_tank(&t->farm->state, r->tank.number);
    if (request_has(r, SLOT_TAG))
        TURN_SAY(t, TANK_HOLDS, V_TAG(r->tank), V_TEXT(tags_of(t, r)));
    else
        say_volume(t, r->tank, tank->volume_ml, true);
    const struct reply full = turn_tank_full(t, r->tank.number); /* the strip may be of before */
    if (full.id != REPLY_COUNT)
        turn_say(t, &full);
}

/* Eggs, or larvae, of all spawns in the tank but one (NULL none). */
static int64_t in_tank(const struct turn *t, int64_t tank, const struct spawn *but, bool larvae) {
    const struct farm_state *st = &t->farm->state;
    int64_t sum = 0;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *other = &st->spawns[i];
        if (other == but || other->tank != tank || !spawn_open(other, t->now_s) || other->bowl)
            continue;
        if (larvae && spawn_swims(other))
            sum += turn_larvae(other, t->now_s).middle;
        else if (!larvae && spawn_phase(other) == PHASE_EGGS && !spawn_swims(other))
            sum += spawn_eggs(other);
    }
    return sum;
}

/* Which sentence says that so many are too many for it; REPLY_COUNT none. */
static struct reply too_many(const struct tank *tank, int64_t eggs, int64_t larvae) {
    struct reply_value tag = V_TAG(turn_tank_tag(tank->number));
    int64_t eggs_most = eggs_tank_most(tank->volume_ml);
    int64_t larvae_most = larvae_tank_most(tank->volume_ml);
    if (larvae > larvae_most)
        return (struct reply){REPLY_TANK_CROWDED, {tag, V_NUMBER(larvae_most)}};
    if (eggs > eggs_most)
        return (struct reply){REPLY_TANK_SMALL, {tag, V_NUMBER(eggs_most)}};
    return (struct reply){REPLY_COUNT, {{0}}};
}

/* A sentence behind the answer when the tank is too small for what is in it. */
void turn_warn_tank(struct turn *t, const struct spawn *s, int64_t larvae) {
    const struct tank *tank = s->tank ? farm_tank(&t->farm->state, s->tank) : NULL;
    if (!tank || !tank->volume_ml)
        return;
    int64_t eggs = larvae ? 0 : spawn_eggs(s) + in_tank(t, s->tank, s, false);
    larvae += larvae ? in_tank(t, s->tank, s, true) : 0;
    const struct reply warn = too_many(tank, eggs, larvae);
    if (warn.id != REPLY_COUNT)
        turn_say(t, &warn);
}

struct reply turn_tank_full(const struct turn *t, int64_t number) {
    const struct tank *tank = farm_tank(&t->farm->state, number);
    if (!tank || !tank->volume_ml)
        return (struct reply){REPLY_COUNT, {{0}}};
    return too_many(tank, in_tank(t, number, NULL, false), in_tank(t, number, NULL, true));
}

/* -- where the water comes from ------------------------------------------------------------------
 */

void turn_do_source(struct turn *t, struct request *r) {
    static const struct {
        enum choice choice;
        enum water_source source;
        enum reply_id reply;
    } table[] = {
        {CHOICE_RIVER, SOURCE_RIVER, REPLY_SOURCE_RIVER},
        {CHOICE_WELL, SOURCE_WELL, REPLY_SOURCE_WELL},
        {CHOICE_TAP, SOURCE_TAP, REPLY_SOURCE_TAP},
        {CHOICE_RAIN, SOURCE_RAIN, REPLY_SOURCE_RAIN},
        {CHOICE_LAKE, SOURCE_LAKE, REPLY_SOURCE_RIVER},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        if (!request_chose(r, table[i].choice))
            continue;
        turn_record(t, ENTRY_SOURCE, SUBJECT_HATCHERY, 0, t->base_s, table[i].source, 0, 0);
        const struct reply done = {table[i].reply, {{0}}};
        if (turn_commit(t))
            turn_say(t, &done);
        return;
    }
    TURN_ASK(t, r, SLOT_CHOICE, ASK_SOURCE);
}
