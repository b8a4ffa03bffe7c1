/* pond_water: what was measured in the water of a pond or a tank: recorded all or nothing, judged
 * for the fish that are in it, and what to do first. In: a request; out: entries and an answer, or
 * one question. Formulas and limits are trade's, the line to dawn is the plan's. No treatment is
 * ever named. Limits: a pH and degrees of the hours before count for ammonia, older ones do not. */
#include "farm/feeding.h"
#include "farm/growing.h"
#include "trade/ammonia.h"
#include "trade/book.h"
#include "trade/oxygen.h"
#include "trade/ration.h"
#include "turn/inside.h"

enum {
    HOUR_S = 3600,
    LATE_H = 12, /* of so long ago nothing is left to do */
    /* What lies outside is a slip of the thumb or of the kit: our own bounds, wide. */
    OXYGEN_MOST_UG = 20000,
    AMMONIA_MOST_UG = 50000,
    AMMONIA_ASK_UG = 10000, /* over it a point was slipped, or all would be dead: our own bound */
    NITRITE_MOST_UG = 50000,
    SECCHI_LEAST_MM = 10,
    SECCHI_MOST_MM = 2000,
    FULL_TIMES_MOST = 2 /* more oxygen than so is the kit, or a very green pond in the sun */
};

static const uint64_t values = SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_PH) |
                               SLOT_BIT(SLOT_AMMONIA) | SLOT_BIT(SLOT_NITRITE) |
                               SLOT_BIT(SLOT_SECCHI);

/* -- where ---------------------------------------------------------------------------------------
 */

/* A pond or a tank, and what lives there at an instant. */
struct place {
    struct tag tag;
    enum subject_kind kind;
    bool fish;         /* known to be there */
    bool closed;       /* those of then were taken out since */
    int age_days;      /* -1: old enough to breathe air, or not known */
    int64_t weight_mg; /* 0 not known: judged as the smallest */
};

/* The smallest of the brood fish of a pond where nothing else is. */
static struct place brood_place(const struct turn *t, struct place p, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    p.fish = feeding_brood(st, p.tag.number, t->zone, at_s).rule != FEEDING_EMPTY;
    for (int i = 0; i < st->brood_count; i++) {
        const struct brood *fish = &st->brood[i];
        if (fish->pond == p.tag.number && !fish->died_s && fish->weight_mg &&
            (!p.weight_mg || fish->weight_mg < p.weight_mg))
            p.weight_mg = fish->weight_mg;
    }
    return p;
}

static struct place pond_place(const struct turn *t, int number, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct cycle *c = turn_cycle_then(st, number, at_s);
    struct place p = {.tag = turn_pond_tag(number), .kind = SUBJECT_POND, .age_days = -1};
    if (!c)
        return brood_place(t, p, at_s);
    struct growing g = growing_of(st, c, at_s);
    p.fish = true;
    p.closed = c->closed_s != 0;
    p.age_days = growing_age_days(st, c, at_s);
    p.weight_mg = g.reason == GROWTH_OK ? g.weight_mg.middle : 0;
    return p;
}

/* The smallest in it decide: eggs and larvae, else a female. */
static struct place tank_place(const struct turn *t, int number, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    struct place p = {.tag = turn_tank_tag(number), .kind = SUBJECT_TANK};
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        if (s->tank != number || !turn_spawn_fits(s, SPAWN_ANY, at_s))
            continue;
        int64_t weight_mg = spawn_phase(s) == PHASE_FISH ? s->weight_mg : 0;
        p.weight_mg = !p.fish || weight_mg < p.weight_mg ? weight_mg : p.weight_mg;
        p.fish = true;
    }
    p.age_days = p.weight_mg ? -1 : 0;
    return p;
}

static struct place place_of(const struct turn *t, struct tag tag, int64_t at_s) {
    return tag.letter == 'b' ? tank_place(t, tag.number, at_s) : pond_place(t, tag.number, at_s);
}

/* -- what was read before ------------------------------------------------------------------------
 */

static bool fresh(int64_t read_s, int64_t at_s) {
    return read_s && read_s <= at_s &&
           at_s - read_s <= (int64_t)book_number(BOOK_WATER_FRESH_H) * HOUR_S;
}

/* Degrees, pH, and for a pH the ammonia, as read shortly before where the text does not say them.
 */
static struct request with_known(const struct turn *t, const struct place *p,
                                 const struct request *r, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = p->kind == SUBJECT_POND ? farm_pond(st, p->tag.number) : NULL;
    const struct tank *tank = p->kind == SUBJECT_TANK ? farm_tank(st, p->tag.number) : NULL;
    const struct water_log *log = pond ? &pond->water : tank ? &tank->water : NULL;
    const struct water_reading *water = log ? turn_fresh_reading(log, at_s) : NULL;
    const struct measured *last = pond ? pond->last : tank ? tank->last : NULL;
    struct request full = *r;
    if (!water && tank)
        water = turn_fresh_water(t, at_s);
    if (!request_has(r, SLOT_WATER) && water) {
        full.water_mdegc = water->mdegc;
        full.has |= SLOT_BIT(SLOT_WATER);
    }
    int64_t ph_s = pond ? pond->ph_s : last ? last[READING_PH].at_s : 0;
    if (!request_has(r, SLOT_PH) && fresh(ph_s, at_s)) {
        full.ph_milli = pond ? pond->ph_milli : last[READING_PH].value;
        full.has |= SLOT_BIT(SLOT_PH);
    }
    if (request_has(r, SLOT_PH) && last && !request_has(r, SLOT_AMMONIA) &&
        fresh(last[READING_AMMONIA].at_s, at_s)) {
        full.ammonia_ug_l = last[READING_AMMONIA].value;
        full.has |= SLOT_BIT(SLOT_AMMONIA);
    }
    return full;
}

/* -- judging -------------------------------------------------------------------------------------
 */

static struct ammonia ammonia_in(const struct place *p, const struct request *full) {
    bool all = request_has(full, SLOT_PH) && request_has(full, SLOT_WATER);
    return ammonia_of(full->ammonia_ug_l, all ? full->ph_milli : 0, full->water_mdegc,
                      p->weight_mg);
}

static int64_t cm_milli(int64_t mm) {
    return mm * 100;
}

static bool secchi_under(const struct request *r, enum book_id id) {
    return request_has(r, SLOT_SECCHI) && r->secchi_mm < (int64_t)(book_number(id) * 10);
}

static bool secchi_clear(const struct request *r) {
    return request_has(r, SLOT_SECCHI) &&
           r->secchi_mm > (int64_t)(book_number(BOOK_SECCHI_CLEAR_CM) * 10);
}

/* -- what was understood -------------------------------------------------------------------------
 */

static void put(struct turn *t, struct buf *out, const struct reply *piece) {
    if (out->n)
        buf_puts(out, ", ");
    buf_put(out, turn_render(t, t->sender, piece));
}

#define PUT(id, ...) put(t, out, &(struct reply){REPLY_##id, {__VA_ARGS__}})

static int64_t full_ug_l(const struct turn *t, int64_t mdegc) {
    return oxygen_saturation_ug_l(mdegc, oxygen_pressure_uatm(t->farm->state.height_m));
}

static void put_oxygen(struct turn *t, const struct request *full, struct buf *out) {
    int64_t most_ug = full_ug_l(t, full->water_mdegc);
    if (request_has(full, SLOT_WATER) && most_ug)
        PUT(READ_OXYGEN, V_CENTI(full->oxygen_ug_l),
            V_NUMBER((full->oxygen_ug_l * 100 + most_ug / 2) / most_ug));
    else
        PUT(READ_OXYGEN_ALONE, V_CENTI(full->oxygen_ug_l));
}

static void put_ammonia(struct turn *t, const struct place *p, const struct request *full,
                        struct buf *out) {
    struct ammonia a = ammonia_in(p, full);
    if (a.reason == AMMONIA_OK)
        PUT(READ_AMMONIA, V_CENTI(full->ammonia_ug_l), V_CENTI(a.unionised_ug_l),
            V_NUMBER((a.permille + 9) / 10));
    else
        PUT(READ_AMMONIA_ALONE, V_CENTI(full->ammonia_ug_l));
}

static void put_secchi(struct turn *t, const struct request *r, struct buf *out) {
    const struct reply_value cm = V_DECIMAL(cm_milli(r->secchi_mm));
    if (secchi_under(r, BOOK_SECCHI_DANGER_CM))
        PUT(READ_SECCHI_DANGER, cm);
    else if (secchi_under(r, BOOK_SECCHI_STOP_CM))
        PUT(READ_SECCHI_GREEN, cm);
    else if (secchi_clear(r))
        PUT(READ_SECCHI_CLEAR, cm);
    else
        PUT(READ_SECCHI_GOOD, cm);
}

/* "26C, oxygen 3.2 mg/l (40% of full), pH 7.8": what the text said, no more. */
static struct slice understood(struct turn *t, const struct place *p, const struct request *r,
                               const struct request *full) {
    struct buf room = buf_make_in(t->arena, 400), *out = &room;
    if (request_has(r, SLOT_WATER))
        PUT(READ_WATER, V_WATER(r->water_mdegc));
    if (request_has(r, SLOT_OXYGEN))
        put_oxygen(t, full, out);
    if (request_has(r, SLOT_PH))
        PUT(READ_PH, V_CENTI(r->ph_milli));
    if (request_has(full, SLOT_AMMONIA))
        put_ammonia(t, p, full, out);
    if (request_has(r, SLOT_NITRITE))
        PUT(READ_NITRITE, V_CENTI(r->nitrite_ug_l),
            V_NUMBER((ammonia_nitrite_permille(r->nitrite_ug_l) + 9) / 10));
    if (request_has(r, SLOT_SECCHI) && p->kind == SUBJECT_POND)
        put_secchi(t, r, out);
    else if (request_has(r, SLOT_SECCHI))
        PUT(READ_SECCHI, V_DECIMAL(cm_milli(r->secchi_mm)));
    return buf_slice(out);
}

/* -- what to do first ----------------------------------------------------------------------------
 */

#define FIRST(id, ...) ((struct reply){REPLY_##id, {__VA_ARGS__}})

/* The night that this reading is the last of; none when it is not. */
static struct plan_night night_of(const struct turn *t, const struct place *p,
                                  const struct request *r, int64_t at_s) {
    const struct pond *pond =
        p->kind == SUBJECT_POND ? farm_pond(&t->farm->state, p->tag.number) : NULL;
    struct plan_night night = {0};
    if (pond && request_has(r, SLOT_OXYGEN))
        night = plan_night(&t->farm->state, pond, t->zone);
    return night.evening && night.second_s == at_s ? night : (struct plan_night){0};
}

/* What the plan would say this minute is said in the answer: it is told, and waits for an OK. */
static bool alarm_now(struct turn *t, const struct place *p, const struct plan_night *night) {
    if (!night->danger || night->due_s > t->now_s + 5 * 60 || t->now_s > night->dawn_s)
        return false;
    turn_told(t, (struct task_key){TASK_OXYGEN, p->tag.number, 0, STAGE_FIRST}, turn_sender(t)->id,
              night->hour_s, OUTCOME_DELIVERED);
    return true;
}

static struct reply of_oxygen(struct turn *t, const struct place *p, const struct request *r,
                              int64_t at_s) {
    struct plan_night night = night_of(t, p, r, at_s);
    struct reply_value dawn = V_DECIMAL(night.dawn_ug_l), limit = V_DECIMAL(night.limit_ug_l);
    bool said = request_has(r, SLOT_OXYGEN);
    if (said && r->oxygen_ug_l < oxygen_limit_ug_l(p->age_days)) {
        if (p->kind == SUBJECT_TANK)
            return FIRST(READ_TANK_OXYGEN, {0});
        return alarm_now(t, p, &night) ? FIRST(READ_DANGER_NIGHT, {0}) : FIRST(READ_DANGER, {0});
    }
    if (night.danger && alarm_now(t, p, &night))
        return FIRST(READ_NIGHT_NOW, dawn, limit, V_WHEN(night.hour_s));
    if (night.danger)
        return FIRST(READ_NIGHT, dawn, limit, V_WHEN(night.hour_s));
    return (struct reply){.id = REPLY_COUNT};
}

static int64_t book_milli(enum book_id id) {
    return (int64_t)(book_number(id) * 1000);
}

/* What fish do not bear for long, either way. */
static struct reply of_ph(const struct place *p, const struct request *r) {
    bool acid = request_has(r, SLOT_PH) && r->ph_milli < book_milli(BOOK_PH_ACID_DANGER);
    bool alkaline = request_has(r, SLOT_PH) && r->ph_milli >= book_milli(BOOK_PH_ALKALINE_DANGER);
    if ((acid || alkaline) && p->kind == SUBJECT_TANK)
        return FIRST(READ_TANK_PH, {0});
    return acid       ? FIRST(READ_PH_ACID, {0})
           : alkaline ? FIRST(READ_PH_ALKALINE, {0})
                      : (struct reply){.id = REPLY_COUNT};
}

static struct reply of_ammonia(const struct place *p, const struct request *full) {
    struct ammonia a = ammonia_in(p, full);
    bool tank = p->kind == SUBJECT_TANK;
    if (request_has(full, SLOT_AMMONIA) && a.reason == AMMONIA_OK && a.permille > 1000)
        return tank ? FIRST(READ_TANK_AMMONIA, {0}) : FIRST(READ_AMMONIA_HIGH, {0});
    if (request_has(full, SLOT_NITRITE) && ammonia_nitrite_permille(full->nitrite_ug_l) > 1000)
        return tank ? FIRST(READ_TANK_NITRITE, {0}) : FIRST(READ_NITRITE_HIGH, {0});
    return (struct reply){.id = REPLY_COUNT};
}

static struct reply of_green(const struct request *r) {
    if (secchi_under(r, BOOK_SECCHI_DANGER_CM))
        return FIRST(READ_GREEN, {0});
    if (secchi_under(r, BOOK_SECCHI_STOP_CM))
        return FIRST(READ_GREEN_STOP, V_NUMBER((int64_t)book_number(BOOK_SECCHI_STOP_CM)));
    return (struct reply){.id = REPLY_COUNT};
}

/* Not danger at once, but it changes the day. */
static struct reply of_the_day(const struct turn *t, const struct place *p, const struct request *r,
                               const struct request *full, int64_t at_s) {
    struct ammonia a = ammonia_in(p, full);
    bool pond = p->kind == SUBJECT_POND, oxygen = request_has(r, SLOT_OXYGEN);
    bool little = r->oxygen_ug_l < (int64_t)(book_number(BOOK_OXYGEN_HALF) * 1000);
    if (oxygen && pond && little)
        return feeding_gasps(farm_pond(&t->farm->state, p->tag.number), at_s)
                   ? FIRST(READ_DANGER, {0})
                   : FIRST(READ_LITTLE, {0});
    if (oxygen && pond && request_has(full, SLOT_WATER) &&
        r->oxygen_ug_l > FULL_TIMES_MOST * full_ug_l(t, full->water_mdegc))
        return FIRST(READ_OXYGEN_MUCH, {0});
    if (oxygen && turn_gasped(t, p->tag))
        return FIRST(READ_GASPED, V_TAG(p->tag));
    if (request_has(r, SLOT_WATER) && pond && !ration_factor_permille(r->water_mdegc)) {
        bool cold = r->water_mdegc < (int64_t)(book_number(BOOK_FEED_COLDEST) * 1000);
        return cold ? FIRST(READ_COLD, {0}) : FIRST(READ_WARM, {0});
    }
    if (request_has(full, SLOT_AMMONIA) && a.reason != AMMONIA_OK)
        return FIRST(READ_AMMONIA_MORE, V_TAG(p->tag));
    if (request_has(full, SLOT_AMMONIA) && a.permille > 500)
        return FIRST(READ_AMMONIA_NEAR, {0});
    if (request_has(r, SLOT_PH) && !request_has(full, SLOT_AMMONIA) &&
        r->ph_milli >= book_milli(BOOK_STOCK_PH_MOST))
        return FIRST(READ_PH_HIGH, V_TAG(p->tag));
    if (request_has(r, SLOT_PH) && r->ph_milli < book_milli(BOOK_PH_ACID))
        return pond ? FIRST(READ_PH_LOW, V_TAG(p->tag)) : FIRST(READ_TANK_PH, {0});
    return (struct reply){.id = REPLY_COUNT};
}

/* Of what the fish get by their weight only a part, for the degrees. */
static bool eat_less(const struct turn *t, const struct place *p, const struct request *r,
                     int64_t at_s) {
    const struct pond *pond = farm_pond(&t->farm->state, p->tag.number);
    return request_has(r, SLOT_WATER) && p->kind == SUBJECT_POND && pond &&
           ration_factor_permille(r->water_mdegc) < FEEDING_COOL_PERMILLE &&
           (feeding_of(&t->farm->state, pond, t->zone, at_s).rule == FEEDING_WEIGHT ||
            (p->fish && !pond->cycle));
}

static struct reply of_the_evening(struct turn *t, const struct place *p, const struct request *r,
                                   int64_t at_s) {
    struct plan_night night = night_of(t, p, r, at_s);
    if (night.line)
        return FIRST(READ_NIGHT_GOOD, V_DECIMAL(night.dawn_ug_l), V_DECIMAL(night.limit_ug_l));
    const struct pond *pond = farm_pond(&t->farm->state, p->tag.number);
    bool only = night.evening && pond &&
                (pond->oxygen.count < 2 || at_s - pond->oxygen.all[pond->oxygen.count - 2].at_s >
                                               (int64_t)book_number(BOOK_DUSK_APART_H) * HOUR_S);
    if (only && night.dawn_s - at_s > 4 * HOUR_S)
        return FIRST(READ_DUSK, {0});
    if (p->kind == SUBJECT_POND && secchi_clear(r))
        return FIRST(READ_CLEAR, {0});
    if (eat_less(t, p, r, at_s))
        return FIRST(READ_COOL, V_NUMBER(ration_factor_permille(r->water_mdegc) / 10),
                     V_TAG(p->tag));
    return FIRST(READ_FINE, {0});
}

static struct reply first_of(struct turn *t, const struct place *p, const struct request *r,
                             const struct request *full, int64_t at_s) {
    if (p->closed || at_s < t->now_s - (int64_t)LATE_H * HOUR_S)
        return FIRST(READ_LATE, {0});
    if (!p->fish && p->kind == SUBJECT_POND) {
        bool ph = request_has(r, SLOT_PH);
        if (ph && r->ph_milli < book_milli(BOOK_PH_ACID))
            return FIRST(READ_EMPTY_ACID, V_TAG(p->tag));
        return ph && r->ph_milli >= book_milli(BOOK_STOCK_PH_MOST) ? FIRST(READ_EMPTY_HIGH, {0})
                                                                   : FIRST(READ_EMPTY, {0});
    }
    struct reply first = of_oxygen(t, p, r, at_s);
    if (first.id == REPLY_COUNT)
        first = of_ph(p, r);
    if (first.id == REPLY_COUNT)
        first = of_ammonia(p, full);
    if (first.id == REPLY_COUNT && p->kind == SUBJECT_POND)
        first = of_green(r);
    if (first.id == REPLY_COUNT)
        first = of_the_day(t, p, r, full, at_s);
    return first.id == REPLY_COUNT ? of_the_evening(t, p, r, at_s) : first;
}

static void say(struct turn *t, struct tag tag, const struct request *r, int64_t at_s) {
    struct place p = place_of(t, tag, at_s);
    struct request full = with_known(t, &p, r, at_s);
    TURN_SAY(t, READ_VALUES, V_TAG(tag), V_WHEN(at_s), V_TEXT(understood(t, &p, r, &full)));
    const struct reply first = first_of(t, &p, r, &full, at_s);
    turn_say(t, &first);
    full.has &= values;
    struct buf line = buf_make_in(t->arena, 300);
    full.kind = REQUEST_WATER;
    request_write(&full, &line);
    turn_about(t, t->sender, ABOUT_WATER, tag.letter == 'b' ? -tag.number : tag.number,
               buf_slice(&line));
}

/* -- recording -----------------------------------------------------------------------------------
 */

bool turn_impossible_reading(struct turn *t, const struct request *r) {
    if (request_has(r, SLOT_OXYGEN) && (r->oxygen_ug_l < 0 || r->oxygen_ug_l > OXYGEN_MOST_UG))
        TURN_SAY(t, OXYGEN_IMPOSSIBLE, V_CENTI(r->oxygen_ug_l));
    else if (request_has(r, SLOT_PH) && turn_impossible_ph(t, r->ph_milli))
        return true;
    else if (request_has(r, SLOT_AMMONIA) &&
             (r->ammonia_ug_l < 0 || r->ammonia_ug_l > AMMONIA_MOST_UG))
        TURN_SAY(t, AMMONIA_IMPOSSIBLE, V_CENTI(r->ammonia_ug_l));
    else if (request_has(r, SLOT_NITRITE) &&
             (r->nitrite_ug_l < 0 || r->nitrite_ug_l > NITRITE_MOST_UG))
        TURN_SAY(t, NITRITE_IMPOSSIBLE, V_CENTI(r->nitrite_ug_l));
    else if (request_has(r, SLOT_SECCHI) &&
             (r->secchi_mm < SECCHI_LEAST_MM || r->secchi_mm > SECCHI_MOST_MM))
        TURN_SAY(t, SECCHI_IMPOSSIBLE, V_DECIMAL(cm_milli(r->secchi_mm)));
    else
        return false;
    return true;
}

static bool ammonia_asked(struct turn *t, const struct request *r, struct tag tag) {
    if (!request_has(r, SLOT_AMMONIA) || r->ammonia_ug_l <= AMMONIA_ASK_UG ||
        (r->confirms & CONFIRM_SIZE))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SIZE, ASK_AMMONIA, V_TAG(tag), V_CENTI(r->ammonia_ug_l));
    return true;
}

static void record(struct turn *t, struct tag tag, const struct request *r, int64_t at_s) {
    const struct {
        enum request_slot slot;
        enum reading reading;
        int64_t value;
    } all[] = {{SLOT_OXYGEN, READING_OXYGEN, r->oxygen_ug_l},
               {SLOT_AMMONIA, READING_AMMONIA, r->ammonia_ug_l},
               {SLOT_NITRITE, READING_NITRITE, r->nitrite_ug_l},
               {SLOT_SECCHI, READING_SECCHI, r->secchi_mm}};
    bool pond = tag.letter == 'p';
    enum subject_kind kind = pond ? SUBJECT_POND : SUBJECT_TANK;
    if (request_has(r, SLOT_WATER))
        turn_record(t, ENTRY_WATER, kind, tag.number, at_s, r->water_mdegc, WATER_OWN, 0);
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (request_has(r, all[i].slot))
            turn_record(t, ENTRY_READING, kind, tag.number, at_s, all[i].reading, all[i].value, 0);
    if (request_has(r, SLOT_PH) && pond)
        turn_record(t, ENTRY_POND_PH, kind, tag.number, at_s, r->ph_milli, 0, 0);
    else if (request_has(r, SLOT_PH))
        turn_record(t, ENTRY_READING, kind, tag.number, at_s, READING_PH, r->ph_milli, 0);
}

/* Her tank, of "water f3 do 5". False: an answer was given. */
static bool tank_of_fish(struct turn *t, struct request *r, int64_t at_s) {
    if (request_has(r, SLOT_TANK) || !request_has(r, SLOT_TAG))
        return true;
    const struct spawn *s = turn_fill_spawn(t, r, SPAWN_ANY, at_s);
    if (!s)
        return false;
    r->tank = turn_tank_tag(s->tank);
    r->has |= s->tank ? SLOT_BIT(SLOT_TANK) : 0;
    if (!s->tank)
        TURN_ASK(t, r, SLOT_TANK, ASK_TANK);
    return s->tank != 0;
}

static void do_water(struct turn *t, struct request *r) {
    int64_t at_s;
    if (!turn_fill_instant(t, r, &at_s) || !tank_of_fish(t, r, at_s))
        return;
    bool tank = request_has(r, SLOT_TANK) && !request_has(r, SLOT_POND);
    if (!tank && !turn_fill_pond(t, r))
        return;
    struct tag tag = tank ? r->tank : r->pond;
    if (!(r->has & values)) {
        TURN_ASK(t, r, SLOT_SECCHI, ASK_READING, V_TAG(tag)); /* any of them: question.c */
        return;
    }
    bool water = request_has(r, SLOT_WATER);
    if ((water && turn_impossible_water(t, r->water_mdegc)) || turn_impossible_reading(t, r) ||
        ammonia_asked(t, r, tag) ||
        (water && tank && turn_tank_water_asks(t, r, tag, at_s, r->water_mdegc)))
        return;
    record(t, tag, r, at_s);
    if (turn_commit(t))
        say(t, tag, r, at_s);
}

void turn_say_reading(struct turn *t, const struct entry *n) {
    struct request r = {.kind = REQUEST_WATER};
    bool tank = n->subject_kind == SUBJECT_TANK;
    if (n->kind == ENTRY_WATER) {
        r.has = SLOT_BIT(SLOT_WATER);
        r.water_mdegc = n->value[0];
    } else if (n->kind == ENTRY_POND_PH || n->value[0] == READING_PH) {
        r.has = SLOT_BIT(SLOT_PH);
        r.ph_milli = n->value[n->kind != ENTRY_POND_PH];
    } else if (n->value[0] == READING_OXYGEN) {
        r.has = SLOT_BIT(SLOT_OXYGEN);
        r.oxygen_ug_l = n->value[1];
    } else if (n->value[0] == READING_AMMONIA) {
        r.has = SLOT_BIT(SLOT_AMMONIA);
        r.ammonia_ug_l = n->value[1];
    } else if (n->value[0] == READING_NITRITE) {
        r.has = SLOT_BIT(SLOT_NITRITE);
        r.nitrite_ug_l = n->value[1];
    } else {
        r.has = SLOT_BIT(SLOT_SECCHI);
        r.secchi_mm = n->value[1];
    }
    say(t, tank ? turn_tank_tag((int)n->subject) : turn_pond_tag((int)n->subject), &r, n->at_s);
}

/* -- why -----------------------------------------------------------------------------------------
 */

void turn_why_water(struct turn *t, const struct about *about) {
    struct request r;
    int number = (int)(about->subject < 0 ? -about->subject : about->subject);
    struct tag tag = about->subject < 0 ? turn_tank_tag(number) : turn_pond_tag(number);
    if (!number || request_read(about->data, &r)) {
        TURN_SAY(t, WHY_NOTHING);
        return;
    }
    struct place p = place_of(t, tag, t->now_s);
    struct ammonia a = ammonia_in(&p, &r);
    int64_t height_m = t->farm->state.height_m;
    int64_t full_ug =
        oxygen_saturation_ug_l(r.water_mdegc, oxygen_pressure_uatm(height_m)); /* 0: no degrees */
    bool oxygen = request_has(&r, SLOT_OXYGEN) && request_has(&r, SLOT_WATER) && full_ug;
    bool ammonia = request_has(&r, SLOT_AMMONIA) && a.reason == AMMONIA_OK;
    if (oxygen)
        TURN_SAY(t, WHY_READ_OXYGEN, V_WATER(r.water_mdegc), V_NUMBER(height_m), V_CENTI(full_ug),
                 V_DECIMAL(oxygen_limit_ug_l(p.age_days)));
    const struct pond *pond = tag.letter == 'p' ? farm_pond(&t->farm->state, number) : NULL;
    if (oxygen && pond && plan_night(&t->farm->state, pond, t->zone).line)
        TURN_SAY(t, WHY_READ_LINE);
    else if (ammonia)
        TURN_SAY(t, WHY_READ_AMMONIA, V_CENTI(r.ph_milli), V_WATER(r.water_mdegc),
                 V_CENTI(a.share_ppm / 10), V_CENTI(a.limit_ug_l), V_CENTI(a.total_most));
    if (!oxygen && !ammonia)
        TURN_SAY(t, WHY_READ, V_DECIMAL(oxygen_limit_ug_l(p.age_days)),
                 V_CENTI(ammonia_nitrite_limit_ug_l()));
}

bool turn_judge_pond_water(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_WATER:
        do_water(t, r);
        return true;
    case REQUEST_GASP:
        turn_do_gasp(t, r);
        return true;
    case REQUEST_TREATED:
        turn_do_treated(t, r);
        return true;
    case REQUEST_CATCH:
        turn_do_catch(t, r);
        return true;
    case REQUEST_HEIGHT:
        turn_do_height(t, r);
        return true;
    default:
        return false;
    }
}
