/* state: what stands on a farm at an instant, as a left fold over the entries in force, in the
 * order of (instant, order of saying). farm_step is the only way to make a state. Pure; arrays grow
 * in the arena.
 *
 * Subjects: brood fish (by id; a tag is used again once its fish has died), spawns (a female from
 * her injection, then her eggs, then her larvae), tanks and ponds (by the number people gave them),
 * cycles (what was stocked into a pond, until the last of it is taken out). */
#ifndef FARM_STATE_H
#define FARM_STATE_H

#include "base/arena.h"
#include "farm/entry.h"
#include "trade/hatch.h"
#include "trade/larvae.h"
#include "trade/latency.h"
#include "trade/water.h"

struct water_log { /* readings in the order of instants, no two at the same one */
    struct water_reading *readings;
    int count, room;
};

struct brood {
    int64_t id;
    enum sex sex;
    int tag;           /* F3 and M3 are 3 */
    int64_t weight_mg; /* 0 not known */
    int64_t weighed_s;
    int64_t since_s; /* first heard of */
    int pond;        /* 0 not known */
    int64_t born_s;  /* 0 not known */
    int64_t origin;  /* party id, 0 not known */
    int64_t died_s;  /* 0: alive */
    int64_t
        spent_s; /* a female's last stripping, or spawning without eggs: her rest counts from it */
};

enum { SPAWN_MALES_MAX = 3, SPAWN_DAYS = 10, LARVAE_DAYS = 40 };

struct spawn {
    int64_t number;
    int64_t female; /* brood id */
    int tag;
    int64_t weight_mg; /* hers at injection */
    int64_t injected_s;
    enum hormone hormone;          /* 0 not said */
    int64_t male[SPAWN_MALES_MAX]; /* brood ids */
    enum male_use male_use[SPAWN_MALES_MAX];
    int male_count;
    int tank;               /* she, then her eggs and larvae; 0 not said */
    struct water_log water; /* every reading that applies to her, then to her eggs */
    bool follows;           /* the hatchery's readings apply */
    int64_t own_s;          /* last reading of her own or of the tank she is in, 0 none */
    int waits;              /* looked and not ready, so often */
    int64_t waited_s;       /* the last such look */
    int64_t no_eggs_s;      /* 0: not closed so */
    int64_t stripped_s;     /* 0: not stripped */
    int64_t eggs_mg;
    enum layer layer;        /* 0: frames, not said */
    int64_t bowl;            /* stripped into the bowl of this spawn, 0: her own */
    int bowl_with;           /* so many others were stripped into this one's bowl */
    int64_t white, white_of; /* white_of 0: not counted */
    int64_t white_s;
    int64_t frames_s;  /* 0: frames not lifted */
    int64_t spoilt_s;  /* 0: not lost */
    int64_t hatched_s; /* hatch reported, 0 not */
    int64_t hatched;   /* larvae then */
    enum hatch_how hatch_how;
    int64_t fed_s; /* first food reported, 0 not */
    int64_t graded_s;
    int64_t died;               /* larvae reported dead since the last count */
    int64_t counted_s, counted; /* last count of larvae, 0 none */
    int64_t taken;              /* larvae moved to ponds, sold, sorted out since the last count */
    int64_t gone_s;             /* all larvae moved or sold: closed; 0 not */
    int64_t reported_s;         /* the last report about it happened then */
    int64_t closed_s;           /* whichever of the above closed it, 0: open */
    int64_t person;             /* who reported last on it */
};

struct tank {
    int number;
    int64_t volume_ml; /* 0 not known */
    struct water_log water;
};

struct pond {
    int number;
    int64_t area_cm2, depth_mm; /* 0 not known */
    enum fence fence;           /* 0 not known */
    int64_t soil_ph_milli;      /* 0 not known */
    int soil;                   /* trade's enum soil, 0 not known */
    /* being prepared for the next stocking */
    int64_t ready_s;               /* the day it shall be ready, 0: not being prepared */
    int64_t planned_s;             /* when that was said */
    int64_t spawn;                 /* whose fry, 0 not said */
    int64_t done_s[PREP_FILL + 1]; /* by step; 0 not done */
    int lime;                      /* trade's enum lime_kind, 0 not known */
    int64_t ph_milli, ph_s;        /* the water's last pH, ph_s 0: not read */
    int64_t cycle;                 /* what swims in it, 0 empty */
    int64_t person;
};

struct cycle {
    int64_t number;
    int pond;
    int64_t stocked_s;
    int64_t count;   /* stocked in all */
    int64_t mean_ug; /* each, then; 0 not known */
    int64_t spawn;   /* of whose fry, 0 not known */
    int64_t died;    /* since stocking, or since the last count */
    int64_t counted_s, counted;
    int64_t taken;        /* harvested, moved or sold, since stocking or the last count */
    int64_t graded_s;     /* 0 never */
    int grades;           /* so often */
    int64_t out;          /* fish, in all: harvested, moved, sold, sorted out */
    int64_t harvested;    /* fish, in all */
    int64_t harvested_mg; /* in all, 0 not weighed */
    int64_t harvested_s;  /* last harvest */
    int64_t closed_s;     /* pond empty; 0 not */
    int64_t person;
};

struct farm_state {
    struct brood *brood; /* in the order of first hearing */
    int brood_count, brood_room;
    struct spawn *spawns; /* in the order of injection */
    int spawn_count, spawn_room;
    struct tank *tanks;
    int tank_count, tank_room;
    struct pond *ponds;
    int pond_count, pond_room;
    struct cycle *cycles;
    int cycle_count, cycle_room;
    struct water_log water;   /* the hatchery's */
    enum water_source source; /* 0 not said */
    int64_t air_off_s;        /* power or air failed then, 0: it runs */
    int64_t air_person;
    int64_t last_at_s, last_seq; /* the entry folded last */
};

/* One entry on top. An entry about a subject that is not there (what began it was undone) or that
 * does not fit its stage changes nothing but who reported last. ERR_NOMEM: the state is spoilt,
 * fold again. */
enum err farm_step(struct farm_state *state, const struct entry *entry,
                   struct arena *arena) MUST_LOOK;

/* A number that is equal for equal states and hardly for others. */
uint64_t farm_digest(const struct farm_state *state);

/* -- finding; NULL when there is none ------------------------------------------------------------
 */
struct spawn *farm_spawn(const struct farm_state *state, int64_t number);
struct brood *farm_brood(const struct farm_state *state, int64_t id);
/* The newest with that tag, dead or alive. */
const struct brood *farm_brood_tag(const struct farm_state *state, enum sex sex, int tag);
struct tank *farm_tank(const struct farm_state *state, int64_t number);
struct pond *farm_pond(const struct farm_state *state, int64_t number);
struct cycle *farm_cycle(const struct farm_state *state, int64_t number);

/* -- spawns --------------------------------------------------------------------------------------
 */
enum spawn_phase {
    PHASE_FISH,   /* injected, not stripped */
    PHASE_EGGS,   /* stripped, frames not out */
    PHASE_LARVAE, /* frames out */
    PHASE_OVER    /* closed */
};
enum spawn_phase spawn_phase(const struct spawn *spawn);

/* Not closed, and not long over: at 20 degC looking ends 42 hours after the injection and the
 * frames' last hour is 94 hours after stripping, so whatever was left unreported is past after
 * SPAWN_DAYS; larvae are moved at two weeks, or long gone after LARVAE_DAYS. */
bool spawn_open(const struct spawn *spawn, int64_t at_s);
bool spawn_closed(const struct spawn *spawn);

/* The readings as trade takes them. */
struct water_series spawn_water(const struct spawn *spawn);
struct latency
spawn_latency(const struct spawn *spawn);            /* from injection to first look, most, end */
struct hatch spawn_hatch(const struct spawn *spawn); /* only when stripped */

/* When half of them had hatched: by the water, else when the frames came out, 0 not stripped. The
 * age of larvae counts from it. */
int64_t spawn_hatch_s(const struct spawn *spawn);

/* Eggs thought alive: white ones counted are off. */
int64_t spawn_eggs(const struct spawn *spawn);

/* Larvae thought alive at an instant, with the range: from the last count, the reported hatch, or
 * the book's share of the eggs; less what was taken out and reported dead. */
struct larvae_range spawn_larvae(const struct spawn *spawn, int64_t at_s);

/* -- ponds ---------------------------------------------------------------------------------------
 */
/* Fish in the pond by what was said: the last count, or what was stocked, less deaths and what was
 * taken out; no natural loss. Never below 0. */
int64_t cycle_fish(const struct cycle *cycle);

/* How many an entry takes: the number that was said, or all that were thought to be there as the
 * state has it when the entry is folded. At least 1, but 0 of the rest of a pond after parts of it
 * were harvested: it was not there. */
int64_t farm_taken(const struct farm_state *state, const struct entry *entry);

#endif
