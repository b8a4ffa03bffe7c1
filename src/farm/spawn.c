/* spawn: the fold of spawns and of the water that applies to them. In: entries in the order of what
 * happened; out: the state. ERR_NOMEM only (the arena's cap). Looks at nothing but its arguments.
 *
 * Water. A reading of the hatchery applies to every open spawn that follows it. From the first
 * reading of her own tank a spawn follows no longer, until it is told to, or until she is stripped:
 * her eggs go into the hatchery's water, unless they are put into a tank that has a reading. */
#include "farm/inside.h"

#include <string.h>

#include "trade/book.h"
#include "trade/eggs.h"

/* -- water ---------------------------------------------------------------------------------------
 */

enum err water_log_put(struct water_log *log, int64_t at_s, int64_t mdegc, struct arena *arena) {
    if (log->count && log->readings[log->count - 1].at_s == at_s) {
        log->readings[log->count - 1].mdegc = mdegc; /* at one instant the later said wins */
        return ERR_OK;
    }
    void *array = log->readings;
    enum err e = state_room(&array, log->count, &log->room, sizeof *log->readings, arena);
    if (e)
        return e;
    log->readings = array;
    log->readings[log->count++] = (struct water_reading){at_s, mdegc};
    return ERR_OK;
}

const struct water_reading *water_log_last(const struct water_log *log) {
    return log->count ? &log->readings[log->count - 1] : NULL;
}

const struct water_reading *water_log_fresh(const struct water_log *log, int64_t at_s) {
    int64_t fresh_s = (int64_t)book_number(BOOK_WATER_FRESH_H) * 3600;
    const struct water_reading *last = water_log_last(log);
    return last && at_s - last->at_s <= fresh_s ? last : NULL;
}

struct water_series spawn_water(const struct spawn *spawn) {
    return (struct water_series){spawn->water.readings, spawn->water.count};
}

struct latency spawn_latency(const struct spawn *spawn) {
    return latency_of(spawn_water(spawn), spawn->injected_s);
}

struct hatch spawn_hatch(const struct spawn *spawn) {
    return hatch_of(spawn_water(spawn), spawn->stripped_s);
}

int64_t spawn_hatch_s(const struct spawn *spawn) {
    if (!spawn->stripped_s)
        return 0;
    struct hatch h = spawn_hatch(spawn);
    return h.half.status == PROGRESS_OK ? h.half.at_s : spawn_swims_s(spawn);
}

int64_t spawn_eggs(const struct spawn *spawn) {
    return eggs_alive(eggs_of_weight(spawn->eggs_mg), spawn->white, spawn->white_of);
}

struct tally spawn_tally(const struct spawn *spawn, int64_t at_s) {
    enum { HOUR_S = 3600 };
    int64_t hatch_s = spawn_hatch_s(spawn);
    struct larvae_range hatched = larvae_hatched(spawn_eggs(spawn));
    if (spawn->hatched_s)
        hatched = (struct larvae_range){spawn->hatched, spawn->hatched, spawn->hatched};
    struct tally tally = tally_begin(hatched);
    for (int i = 0; i < spawn->event_count && spawn->events[i].at_s <= at_s; i++) {
        const struct larvae_event *n = &spawn->events[i];
        if (hatch_s)
            tally_pass(&tally, (n->at_s - hatch_s) / HOUR_S);
        if (n->what == LARVAE_TAKEN)
            tally_take(&tally, n->count);
        else if (n->what == LARVAE_DIED)
            tally_die(&tally, n->count);
        else
            tally_count(&tally, n->count);
    }
    if (hatch_s)
        tally_pass(&tally, (at_s - hatch_s) / HOUR_S);
    return tally;
}

struct larvae_range spawn_larvae(const struct spawn *s, int64_t at_s) {
    struct tally tally = spawn_tally(s, at_s);
    return tally_alive(&tally);
}

/* -- phases --------------------------------------------------------------------------------------
 */

bool spawn_closed(const struct spawn *spawn) {
    return spawn->closed_s != 0;
}

enum spawn_phase spawn_phase(const struct spawn *spawn) {
    if (spawn->closed_s)
        return PHASE_OVER;
    if (!spawn->stripped_s)
        return PHASE_FISH;
    return spawn->frames_s ? PHASE_LARVAE : PHASE_EGGS;
}

int64_t spawn_swims_s(const struct spawn *spawn) {
    int64_t frames_s = spawn->frames_s, larvae_s = spawn->larvae_s;
    return !frames_s || (larvae_s && larvae_s < frames_s) ? larvae_s : frames_s;
}

bool spawn_swims(const struct spawn *spawn) {
    return !spawn->closed_s && spawn_swims_s(spawn) != 0;
}

bool spawn_open(const struct spawn *spawn, int64_t at_s) {
    int64_t days = spawn_swims_s(spawn) ? LARVAE_DAYS : SPAWN_DAYS;
    return !spawn->closed_s && at_s - spawn->injected_s <= days * 86400;
}

bool spawn_none_left(const struct spawn *s) {
    if (!s->event_count || (!s->hatched_s && !s->counted_s))
        return false;
    struct tally tally = spawn_tally(s, s->events[s->event_count - 1].at_s);
    return tally_most(&tally).high == 0;
}

/* All dead by the numbers. Where as many were taken out as were known there may be more. */
static int64_t none_left_s(const struct spawn *s) {
    const struct larvae_event *last = s->event_count ? &s->events[s->event_count - 1] : NULL;
    return last && last->what != LARVAE_TAKEN && spawn_none_left(s) ? last->at_s : 0;
}

int64_t spawn_no_fry_s(const struct farm_state *state, const struct spawn *spawn) {
    const struct spawn *bowl = spawn->bowl ? farm_spawn(state, spawn->bowl) : NULL;
    if (bowl)
        spawn = bowl; /* one that is stripped is never put into another's */
    return spawn->closed_s ? spawn->closed_s : none_left_s(spawn);
}

/* -- beginning -----------------------------------------------------------------------------------
 */

enum err farm_step_injected(struct farm_state *state, const struct entry *n, struct arena *arena) {
    const struct entry female = {.at_s = n->at_s,
                                 .kind = ENTRY_BROOD,
                                 .subject_kind = SUBJECT_BROOD,
                                 .subject = n->value[0],
                                 .value = {SEX_FEMALE, n->value[1], n->value[2]}};
    enum err e = farm_step_brood(state, &female, arena);
    if (e)
        return e;
    void *array = state->spawns;
    e = state_room(&array, state->spawn_count, &state->spawn_room, sizeof(struct spawn), arena);
    if (e)
        return e;
    state->spawns = array;
    struct spawn *s = &state->spawns[state->spawn_count++];
    *s = (struct spawn){.number = n->subject,
                        .female = n->value[0],
                        .tag = (int)n->value[1],
                        .weight_mg = n->value[2],
                        .injected_s = n->at_s,
                        .follows = true,
                        .reported_s = n->at_s};
    hands_put(&s->hands, n);
    spawn_plan_link(state, s);
    const struct water_reading *fresh = water_log_fresh(&state->water, n->at_s);
    return fresh ? water_log_put(&s->water, fresh->at_s, fresh->mdegc, arena) : ERR_OK;
}

enum err farm_step_hatchery(struct farm_state *state, const struct entry *n, struct arena *arena) {
    switch (n->kind) {
    case ENTRY_WATER:
        break;
    case ENTRY_SOURCE:
        state->source = (enum water_source)n->value[0];
        return ERR_OK;
    case ENTRY_AIR_OFF:
        if (!state->air_off_s) /* said twice, it is still the same failure */
            state->air_off_s = n->at_s;
        state->air_person = n->person;
        return ERR_OK;
    case ENTRY_AIR_ON:
        state->air_off_s = 0;
        return ERR_OK;
    default:
        return farm_step_feed(state, n, arena);
    }
    enum err e = water_log_put(&state->water, n->at_s, n->value[0], arena);
    for (int i = 0; i < state->spawn_count && !e; i++)
        if (state->spawns[i].follows && spawn_open(&state->spawns[i], n->at_s))
            e = water_log_put(&state->spawns[i].water, n->at_s, n->value[0], arena);
    return e;
}

/* A tank's reading is the own one of whatever spawn is in it. */
enum err farm_step_tank(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct tank *tank = state_tank(state, n->subject, arena);
    if (!tank)
        return ERR_NOMEM;
    if (n->kind == ENTRY_VOLUME) {
        tank->volume_ml = n->value[0];
        return ERR_OK;
    }
    if (n->kind == ENTRY_READING)
        return measured_put(tank->last, NULL, n, arena);
    enum err e = water_log_put(&tank->water, n->at_s, n->value[0], arena);
    for (int i = 0; i < state->spawn_count && !e; i++) {
        struct spawn *s = &state->spawns[i];
        bool has = n->value[1] == WATER_AT_INJECTION && s->injected_s == n->at_s; /* hers already */
        if (s->tank != tank->number || has || !spawn_open(s, n->at_s))
            continue;
        s->follows = false;
        s->own_s = n->at_s;
        e = water_log_put(&s->water, n->at_s, n->value[0], arena);
    }
    return e;
}

/* -- what is reported ----------------------------------------------------------------------------
 */

/* The reading that came with the injection is hers at that hour: what the hatchery said before it
 * no longer counts. */
static enum err own_water(struct spawn *s, const struct entry *n, struct arena *arena) {
    if (n->value[1] == WATER_AT_INJECTION) {
        s->water.count = 0;
    } else {
        s->follows = false;
        s->own_s = n->at_s;
    }
    return water_log_put(&s->water, n->at_s, n->value[0], arena);
}

/* The hatchery's last reading holds for the spawn from the instant, if it is newer than her own. */
static enum err follow(struct farm_state *state, struct spawn *s, int64_t at_s,
                       struct arena *arena) {
    const struct water_reading *hatchery = water_log_last(&state->water),
                               *own = water_log_last(&s->water);
    s->follows = true;
    if (!hatchery || (own && own->at_s >= hatchery->at_s))
        return ERR_OK;
    return water_log_put(&s->water, at_s, hatchery->mdegc, arena);
}

/* A reading of her own, or of her eggs, said in the same text as the tank. */
static bool read_now(const struct spawn *s, int64_t at_s) {
    const struct water_reading *own = water_log_last(&s->water);
    return s->own_s == at_s || (s->injected_s == at_s && own && own->at_s == at_s);
}

/* In a tank whose own reading is fresh the water is the tank's, whatever was read elsewhere; else
 * it goes on as before. */
static enum err into_tank(struct farm_state *state, struct spawn *s, const struct entry *n,
                          struct arena *arena) {
    struct tank *tank = state_tank(state, n->value[0], arena);
    if (!tank)
        return ERR_NOMEM;
    bool moves = s->tank != tank->number;
    s->tank = tank->number;
    const struct water_reading *fresh = water_log_fresh(&tank->water, n->at_s);
    if (!fresh)
        return ERR_OK;
    s->follows = false;
    if (read_now(s, n->at_s) || (!moves && s->own_s >= fresh->at_s))
        return ERR_OK;
    s->own_s = fresh->at_s;
    return water_log_put(&s->water, n->at_s, fresh->mdegc, arena);
}

static void spent(struct farm_state *state, const struct spawn *s, int64_t at_s) {
    struct brood *female = farm_brood(state, s->female);
    if (female)
        female->spent_s = at_s;
}

static enum err stripped(struct farm_state *state, struct spawn *s, const struct entry *n,
                         struct arena *arena) {
    s->stripped_s = n->at_s;
    s->eggs_mg = n->value[0];
    s->tank = 0; /* hers; that of her eggs is said anew */
    spent(state, s, n->at_s);
    return follow(state, s, n->at_s, arena);
}

static void into_bowl(struct farm_state *state, struct spawn *s, const struct entry *n) {
    struct spawn *other = farm_spawn(state, n->value[0]);
    if (!other || other == s || spawn_phase(other) != PHASE_FISH)
        return;
    other->bowl = s->number;
    other->closed_s = n->at_s;
    s->bowl_with++;
    spent(state, other, n->at_s);
}

static void add_male(struct spawn *s, const struct entry *n) {
    if (s->male_count == SPAWN_MALES_MAX)
        return;
    s->male[s->male_count] = n->value[0];
    s->male_use[s->male_count++] = (enum male_use)n->value[1];
}

/* A death says nothing: it may be of eggs. */
static void swims_from(struct spawn *s, int64_t at_s) {
    if (!s->larvae_s)
        s->larvae_s = at_s;
}

static enum err larvae_event(struct spawn *s, struct larvae_event event, struct arena *arena) {
    if (!event.count && event.what == LARVAE_TAKEN) /* graded, none sorted out */
        return ERR_OK;
    void *array = s->events;
    enum err e = state_room(&array, s->event_count, &s->event_room, sizeof *s->events, arena);
    if (e)
        return e;
    s->events = array;
    s->events[s->event_count++] = event;
    return ERR_OK;
}

enum err spawn_take(struct spawn *s, int64_t count, bool guessed, bool all, int64_t at_s,
                    struct arena *arena) {
    s->taken += count;
    swims_from(s, at_s);
    if (all)
        s->gone_s = s->closed_s = at_s;
    return larvae_event(s, (struct larvae_event){at_s, LARVAE_TAKEN, guessed, count}, arena);
}

static enum err of_fish(struct farm_state *state, struct spawn *s, const struct entry *n,
                        struct arena *arena) {
    if (n->kind == ENTRY_NOT_READY) {
        s->waits++;
        s->waited_s = n->at_s;
    } else if (n->kind == ENTRY_NO_EGGS) {
        s->no_eggs_s = s->closed_s = n->at_s;
        spent(state, s, n->at_s);
    } else {
        return stripped(state, s, n, arena);
    }
    return ERR_OK;
}

static void of_eggs(struct farm_state *state, struct spawn *s, const struct entry *n) {
    switch (n->kind) {
    case ENTRY_LAYER:
        s->layer = (enum layer)n->value[0];
        break;
    case ENTRY_BOWL:
        into_bowl(state, s, n);
        break;
    case ENTRY_WHITE:
        s->white = n->value[0];
        s->white_of = n->value[1];
        s->white_s = n->at_s;
        break;
    case ENTRY_FRAMES:
        s->frames_s = n->at_s;
        break;
    default:
        break;
    }
}

/* A share is of the eggs alive as they are known now: white ones do not hatch, and their weight may
 * have been put right since. */
static int64_t larvae_of(const struct spawn *s, const struct entry *n) {
    if (!n->value[3])
        return n->value[0];
    double share = (double)n->value[2] / (double)n->value[3];
    return (int64_t)((double)spawn_eggs(s) * share + 0.5);
}

static enum err of_larvae(const struct farm_state *state, struct spawn *s, const struct entry *n,
                          struct arena *arena) {
    switch (n->kind) {
    case ENTRY_HATCHED:
        s->hatched_s = n->at_s;
        s->hatched = larvae_of(s, n);
        s->hatch_how = (enum hatch_how)n->value[1];
        if (!s->hatched)
            s->closed_s = n->at_s;
        else
            swims_from(s, n->at_s);
        break;
    case ENTRY_FED:
        swims_from(s, n->at_s);
        s->fed_s = n->at_s;
        break;
    case ENTRY_GRADED:
        s->graded_s = n->at_s;
        return spawn_take(s, n->value[0], false, false, n->at_s, arena);
    case ENTRY_DIED:
        s->died += n->value[0];
        return larvae_event(s, (struct larvae_event){n->at_s, LARVAE_DIED, false, n->value[0]},
                            arena);
    case ENTRY_COUNTED:
        s->counted_s = n->at_s;
        s->counted = n->value[0];
        s->died = s->taken = 0;
        swims_from(s, n->at_s);
        return larvae_event(s, (struct larvae_event){n->at_s, LARVAE_COUNTED, false, n->value[0]},
                            arena);
    case ENTRY_SOLD:
        return spawn_take(s, farm_taken(state, n), !n->value[0], n->value[2] != 0, n->at_s, arena);
    case ENTRY_SPOILT:
        s->spoilt_s = s->closed_s = n->at_s;
        break;
    default:
        break;
    }
    return ERR_OK;
}

enum err farm_step_spawn(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct spawn *s = farm_spawn(state, n->subject);
    if (!s || n->at_s < s->injected_s || s->closed_s || (n->kind == ENTRY_FED && s->fed_s))
        return ERR_OK; /* a second meal is known only because the first was reported after it */
    if (n->kind != ENTRY_SOLD) /* who sells is not the hand at the tank */
        hands_put(&s->hands, n);
    s->reported_s = n->at_s;
    switch (n->kind) {
    case ENTRY_WATER:
        return own_water(s, n, arena);
    case ENTRY_FOLLOW:
        return follow(state, s, n->at_s, arena);
    case ENTRY_TANK:
        return into_tank(state, s, n, arena);
    case ENTRY_HORMONE:
        s->hormone = (enum hormone)n->value[0];
        return ERR_OK;
    case ENTRY_MALE:
        add_male(s, n);
        return ERR_OK;
    case ENTRY_NOT_READY:
    case ENTRY_NO_EGGS:
    case ENTRY_STRIPPED:
        return s->stripped_s ? ERR_OK : of_fish(state, s, n, arena);
    case ENTRY_LAYER:
    case ENTRY_BOWL:
    case ENTRY_WHITE:
    case ENTRY_FRAMES:
        if (spawn_phase(s) == PHASE_EGGS)
            of_eggs(state, s, n);
        return ERR_OK;
    default:
        return s->stripped_s ? of_larvae(state, s, n, arena) : ERR_OK;
    }
}
