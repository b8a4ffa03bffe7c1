/* state: the fold of a farm, one entry at a time. In: entries in the order of what happened; out:
 * the state. ERR_NOMEM only (the arena's cap). Looks at nothing but its arguments.
 *
 * Water. A reading of the hatchery applies to every open spawn that follows it. From the first
 * reading of her own tank a spawn follows no longer, until it is told to, or until she is stripped:
 * her eggs go into the hatchery's water. */
#include "farm/state.h"

#include <string.h>

#include "trade/book.h"

/* Room for one more in an array that doubles in the arena. */
static enum err room(void **array, int count, int *have, size_t size, struct arena *arena) {
    if (count < *have)
        return ERR_OK;
    int more = *have ? *have * 2 : 4;
    void *p = arena_grow(arena, *array, (size_t)count, (size_t)more, size);
    if (!p)
        return ERR_NOMEM;
    *array = p;
    *have = more;
    return ERR_OK;
}

static enum err log_put(struct water_log *log, int64_t at_s, int64_t mdegc, struct arena *arena) {
    if (log->count && log->readings[log->count - 1].at_s == at_s) {
        log->readings[log->count - 1].mdegc = mdegc; /* at one instant the later said wins */
        return ERR_OK;
    }
    void *array = log->readings;
    enum err e = room(&array, log->count, &log->room, sizeof *log->readings, arena);
    if (e)
        return e;
    log->readings = array;
    log->readings[log->count++] = (struct water_reading){at_s, mdegc};
    return ERR_OK;
}

static const struct water_reading *log_last(const struct water_log *log) {
    return log->count ? &log->readings[log->count - 1] : NULL;
}

struct spawn *farm_spawn(const struct farm_state *state, int64_t number) {
    for (int i = state->spawn_count - 1; i >= 0; i--)
        if (state->spawns[i].number == number)
            return &state->spawns[i];
    return NULL;
}

const struct female *farm_female(const struct farm_state *state, int tag) {
    for (int i = state->female_count - 1; i >= 0; i--)
        if (state->females[i].tag == tag)
            return &state->females[i];
    return NULL;
}

bool spawn_closed(const struct spawn *spawn) {
    return spawn->no_eggs_s || spawn->frames_s;
}

bool spawn_open(const struct spawn *spawn, int64_t at_s) {
    return !spawn_closed(spawn) && at_s - spawn->injected_s <= (int64_t)SPAWN_DAYS * 86400;
}

const struct spawn *farm_open_spawn(const struct farm_state *state, int tag, int64_t at_s) {
    for (int i = state->spawn_count - 1; i >= 0; i--) {
        const struct spawn *s = &state->spawns[i];
        if (s->tag != tag || s->injected_s > at_s)
            continue;
        int64_t closed_s = s->no_eggs_s ? s->no_eggs_s : s->frames_s;
        if (at_s - s->injected_s > (int64_t)SPAWN_DAYS * 86400)
            return NULL;
        return closed_s && closed_s <= at_s ? NULL : s;
    }
    return NULL;
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

static enum err step_injected(struct farm_state *state, const struct entry *n,
                              struct arena *arena) {
    struct female *female = NULL;
    for (int i = 0; i < state->female_count && !female; i++)
        if (state->females[i].id == n->value[0])
            female = &state->females[i];
    if (!female) {
        void *array = state->females;
        enum err e = room(&array, state->female_count, &state->female_room, sizeof *female, arena);
        if (e)
            return e;
        state->females = array;
        female = &state->females[state->female_count++];
        *female = (struct female){.id = n->value[0]};
    }
    female->tag = (int)n->value[1];
    female->weight_mg = n->value[2];
    female->weighed_s = n->at_s;

    void *array = state->spawns;
    enum err e = room(&array, state->spawn_count, &state->spawn_room, sizeof(struct spawn), arena);
    if (e)
        return e;
    state->spawns = array;
    struct spawn *s = &state->spawns[state->spawn_count++];
    *s = (struct spawn){.number = n->subject,
                        .female = female->id,
                        .tag = female->tag,
                        .weight_mg = n->value[2],
                        .injected_s = n->at_s,
                        .follows = true,
                        .person = n->person};
    /* the hatchery's last reading, unless it is too old to say anything about this evening */
    const struct water_reading *last = log_last(&state->water);
    int64_t fresh_s = (int64_t)book_number(BOOK_WATER_FRESH_H) * 3600;
    if (!last || n->at_s - last->at_s > fresh_s)
        return ERR_OK;
    return log_put(&s->water, last->at_s, last->mdegc, arena);
}

static enum err step_hatchery_water(struct farm_state *state, const struct entry *n,
                                    struct arena *arena) {
    enum err e = log_put(&state->water, n->at_s, n->value[0], arena);
    for (int i = 0; i < state->spawn_count && !e; i++)
        if (state->spawns[i].follows && spawn_open(&state->spawns[i], n->at_s))
            e = log_put(&state->spawns[i].water, n->at_s, n->value[0], arena);
    return e;
}

/* The reading that came with the injection is hers at that hour: what the hatchery said before it
 * no longer counts. */
static enum err step_own_water(struct spawn *s, const struct entry *n, struct arena *arena) {
    if (n->value[1] == WATER_AT_INJECTION) {
        s->water.count = 0;
    } else {
        s->follows = false;
        s->own_s = n->at_s;
    }
    return log_put(&s->water, n->at_s, n->value[0], arena);
}

/* The hatchery's last reading holds for the spawn from the instant, if it is newer than her own. */
static enum err follow(struct farm_state *state, struct spawn *s, int64_t at_s,
                       struct arena *arena) {
    const struct water_reading *hatchery = log_last(&state->water), *own = log_last(&s->water);
    s->follows = true;
    if (!hatchery || (own && own->at_s >= hatchery->at_s))
        return ERR_OK;
    return log_put(&s->water, at_s, hatchery->mdegc, arena);
}

static enum err step_spawn(struct farm_state *state, struct spawn *s, const struct entry *n,
                           struct arena *arena) {
    enum err e = ERR_OK;
    s->person = n->person;
    switch (n->kind) {
    case ENTRY_WATER:
        return step_own_water(s, n, arena);
    case ENTRY_FOLLOW:
        return follow(state, s, n->at_s, arena);
    case ENTRY_NOT_READY:
        if (!s->stripped_s) {
            s->waits++;
            s->waited_s = n->at_s;
        }
        break;
    case ENTRY_NO_EGGS:
        if (!s->stripped_s)
            s->no_eggs_s = n->at_s;
        break;
    case ENTRY_STRIPPED:
        if (s->stripped_s)
            break;
        s->stripped_s = n->at_s;
        s->eggs_mg = n->value[0];
        e = follow(state, s, n->at_s, arena);
        break;
    case ENTRY_WHITE:
        if (s->stripped_s) {
            s->white = n->value[0];
            s->white_of = n->value[1];
            s->white_s = n->at_s;
        }
        break;
    case ENTRY_FRAMES:
        if (s->stripped_s)
            s->frames_s = n->at_s;
        break;
    case ENTRY_UNDO:
    case ENTRY_INJECTED:
    case ENTRY_KIND_END:
        return ERR_BUG;
    }
    return e;
}

enum err farm_step(struct farm_state *state, const struct entry *n, struct arena *arena) {
    state->last_at_s = n->at_s;
    state->last_seq = n->seq;
    if (n->kind == ENTRY_INJECTED)
        return step_injected(state, n, arena);
    if (n->kind == ENTRY_WATER && n->subject_kind == SUBJECT_HATCHERY)
        return step_hatchery_water(state, n, arena);
    if (n->kind == ENTRY_UNDO)
        return ERR_BUG; /* belongs to the pass before */
    struct spawn *s = farm_spawn(state, n->subject);
    if (!s || n->at_s < s->injected_s || spawn_closed(s))
        return ERR_OK;
    return step_spawn(state, s, n, arena);
}

static uint64_t mix(uint64_t h, int64_t v) {
    char bytes[8];
    for (int i = 0; i < 8; i++)
        bytes[i] = (char)(unsigned char)((uint64_t)v >> (8 * i));
    return slice_hash((struct slice){bytes, sizeof bytes}, h);
}

static uint64_t mix_log(uint64_t h, const struct water_log *log) {
    h = mix(h, log->count);
    for (int i = 0; i < log->count; i++)
        h = mix(mix(h, log->readings[i].at_s), log->readings[i].mdegc);
    return h;
}

uint64_t farm_digest(const struct farm_state *state) {
    uint64_t h = mix_log(SLICE_HASH_SEED, &state->water);
    for (int i = 0; i < state->female_count; i++) {
        const struct female *f = &state->females[i];
        const int64_t fields[] = {f->id, f->tag, f->weight_mg, f->weighed_s};
        for (size_t k = 0; k < sizeof fields / sizeof fields[0]; k++)
            h = mix(h, fields[k]);
    }
    for (int i = 0; i < state->spawn_count; i++) {
        const struct spawn *s = &state->spawns[i];
        const int64_t fields[] = {s->number,     s->female,  s->tag,   s->weight_mg, s->injected_s,
                                  s->follows,    s->own_s,   s->waits, s->waited_s,  s->no_eggs_s,
                                  s->stripped_s, s->eggs_mg, s->white, s->white_of,  s->white_s,
                                  s->frames_s,   s->person};
        for (size_t k = 0; k < sizeof fields / sizeof fields[0]; k++)
            h = mix(h, fields[k]);
        h = mix_log(h, &s->water);
    }
    return h;
}
