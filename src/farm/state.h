/* state: what stands on a farm at an instant, as a left fold over the entries in force, in the
 * order of (instant, order of saying). farm_step is the only way to make a state. Pure; arrays grow
 * in the arena. */
#ifndef FARM_STATE_H
#define FARM_STATE_H

#include "base/arena.h"
#include "farm/entry.h"
#include "trade/hatch.h"
#include "trade/latency.h"
#include "trade/water.h"

struct water_log { /* readings in the order of instants, no two at the same one */
    struct water_reading *readings;
    int count, room;
};

struct female {
    int64_t id;
    int tag; /* F3 is 3 */
    int64_t weight_mg;
    int64_t weighed_s;
};

struct spawn {
    int64_t number;
    int64_t female;
    int tag;
    int64_t weight_mg; /* hers at injection */
    int64_t injected_s;
    struct water_log water; /* every reading that applies to her, then to her eggs */
    bool follows;           /* the hatchery's readings apply */
    int64_t own_s;          /* last reading of her own tank said with TEMP, 0 none */
    int waits;              /* looked and not ready, so often */
    int64_t waited_s;       /* the last such look */
    int64_t no_eggs_s;      /* 0: not closed so */
    int64_t stripped_s;     /* 0: not stripped */
    int64_t eggs_mg;
    int64_t white, white_of; /* white_of 0: not counted */
    int64_t white_s;
    int64_t frames_s; /* 0: frames not lifted */
    int64_t person;   /* who reported last on it */
};

struct farm_state {
    struct female *females; /* in the order of first injection */
    int female_count, female_room;
    struct spawn *spawns; /* in the order of injection */
    int spawn_count, spawn_room;
    struct water_log water;      /* the hatchery's */
    int64_t last_at_s, last_seq; /* the entry folded last */
};

/* One entry on top. An entry about a spawn that is not there (its injection was undone) or that
 * does not fit its stage changes nothing but who reported last. ERR_NOMEM: the state is spoilt,
 * fold again. */
enum err farm_step(struct farm_state *state, const struct entry *entry,
                   struct arena *arena) MUST_LOOK;

/* A number that is equal for equal states and hardly for others. */
uint64_t farm_digest(const struct farm_state *state);

struct spawn *farm_spawn(const struct farm_state *state, int64_t number); /* NULL */
const struct female *farm_female(const struct farm_state *state,
                                 int tag); /* newest with that tag, NULL */

/* Her newest spawn begun by the instant, if it was not closed then; NULL also when an older one is
 * still open. */
const struct spawn *farm_open_spawn(const struct farm_state *state, int tag, int64_t at_s);

bool spawn_closed(const struct spawn *spawn);

/* Not closed, and not long over: at 20 degC looking ends 42 hours after the
 * injection and the frames' last hour is 94 hours after stripping, so whatever was left unreported
 * is past after SPAWN_DAYS. */
enum { SPAWN_DAYS = 10 };
bool spawn_open(const struct spawn *spawn, int64_t at_s);

/* The readings as trade takes them. */
struct water_series spawn_water(const struct spawn *spawn);
struct latency
spawn_latency(const struct spawn *spawn);            /* from injection to first look, most, end */
struct hatch spawn_hatch(const struct spawn *spawn); /* only when stripped */

#endif
