/* state: what stands on a farm at an instant, as a left fold over the entries in force, in the
 * order of (instant, order of saying). farm_step is the only way to make a state. Pure; arrays grow
 * in the arena.
 *
 * Subjects: brood fish (by id; a tag is used again once its fish has died), spawns (a female from
 * her injection, then her eggs, then her larvae), tanks and ponds (by the number people gave them),
 * cycles (what was stocked into a pond, until the last of it is taken out), orders and planned
 * spawns. Money stands beside them, exact, in the order of instants. */
#ifndef FARM_STATE_H
#define FARM_STATE_H

#include "base/arena.h"
#include "farm/entry.h"
#include "trade/currency.h"
#include "trade/hatch.h"
#include "trade/larvae.h"
#include "trade/latency.h"
#include "trade/tally.h"
#include "trade/water.h"

struct water_log { /* readings in the order of instants, no two at the same one */
    struct water_reading *readings;
    int count, room;
};

/* Who reported on a thing, each once, the last one first; 0 nobody. The fold knows no roles: whom
 * of them to remind is the plan's. */
enum { HANDS_MAX = 4 };
struct hands {
    int64_t who[HANDS_MAX];
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

/* What was reported of how many larvae there are, in the order of what happened. */
enum larvae_what { LARVAE_TAKEN = 1, LARVAE_DIED = 2, LARVAE_COUNTED = 3 };
struct larvae_event {
    int64_t at_s;
    enum larvae_what what;
    bool guessed; /* nobody said how many: all that were thought to be there */
    int64_t count;
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
    int64_t larvae_s; /* first report that larvae swim: hatched, fed, counted, taken out; 0 none */
    int64_t fed_s;    /* first food reported, 0 not */
    int64_t graded_s;
    int64_t died;                /* larvae reported dead since the last count */
    int64_t counted_s, counted;  /* last count of larvae, 0 none */
    int64_t taken;               /* larvae moved to ponds, sold, sorted out since the last count */
    struct larvae_event *events; /* those of died, counted and taken, one by one */
    int event_count, event_room;
    int64_t gone_s;     /* all larvae moved or sold: closed; 0 not */
    int64_t reported_s; /* the last report about it happened then */
    int64_t closed_s;   /* whichever of the above closed it, 0: open */
    struct hands hands;
};

/* One thing measured, and the last of each. */
struct measured {
    int64_t at_s, value; /* at_s 0: never */
};
struct measured_log { /* in the order of instants, no two at the same one */
    struct measured *all;
    int count, room;
};

struct tank {
    int number;
    int64_t volume_ml; /* 0 not known */
    struct water_log water;
    struct measured last[READING_END];
};

/* Feed given, in the order of instants. */
struct given {
    int64_t at_s, feed_mg;
    int64_t feed; /* party id, 0 not said */
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
    struct hands hands;
    /* what grows in it is fed and looked at */
    enum aerator aerator;              /* 0 not known: none */
    struct water_log water;            /* its own readings */
    struct measured last[READING_END]; /* but for pH, which is above */
    struct measured_log oxygen;        /* every reading, for the way to dawn */
    int64_t gasping_s, treated_s;      /* last said, 0 never */
    int64_t catch_s;                   /* the day set for harvest or transport, 0 none */
    struct given *given;               /* all, of former cycles too */
    int given_count, given_room;
    int64_t *left_s; /* when food was left, all */
    int left_count, left_room;
};

/* What happened to the fish of a cycle, in the order of instants: what count and weight are
 * reckoned from (growing.h). */
enum fish_event_kind {
    FISH_PUT, /* count, mean_ug and its error_ug (0 not known); low and high where nobody counted */
    FISH_SAMPLED, /* count weighed, mean_ug, error_ug (0 not known); one by one: the others, too */
    FISH_TAKEN,   /* count, stolen ones too; mean_ug: 0 not weighed */
    FISH_BIG,     /* the same, the big ones only */
    FISH_DIED,    /* count */
    FISH_COUNTED  /* count: so many are there */
};
struct fish_event {
    enum fish_event_kind kind;
    bool guessed; /* put or taken: nobody said how many, all that were thought to be there */
    bool sold;    /* taken: picked for a buyer, so their weight is not that of the others */
    int64_t at_s;
    int64_t count;
    int64_t mean_ug, error_ug, cv_permille;
    int64_t least_mg, largest_mg;
    int64_t low, high; /* of the count; both 0: it was counted */
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
    int64_t caught;       /* in parts, not sold since: see cycle_caught */
    int64_t closed_s;     /* pond empty; 0 not */
    int64_t net_out;      /* fish of the harvested sold or dead since then, out of a holding net */
    struct hands hands;   /* of the pond before it was stocked, too */
    struct fish_event *events;
    int event_count, event_room;
    int64_t stolen;    /* since stocking, or since the last count */
    int64_t length_um; /* mean of the last sample, 0 not measured */
    int64_t big_s;     /* what is taken out next, at this instant, are the big ones; 0 none */
    int64_t big_ug;    /* each of them */
};

enum { TABLE_MAX = 16 };

/* What a measure holds, in force from when it was said. */
struct measure_size {
    enum measure_kind measure;
    int64_t feed; /* party id, 0 any */
    int64_t weight_mg;
};

/* A feed in the store: what was counted, and what came and went since. */
struct feed {
    int64_t feed; /* party id, 0 not said which */
    int64_t counted_s, counted_mg;
    int64_t bought_mg, given_mg; /* since the count */
    int64_t used_s;              /* last given or bought */
};

struct table_point {
    int64_t weight_mg, share_ppm;
};

/* -- orders and plans -- */

/* Fish promised to somebody on a day. */
enum { ORDER_OPEN_DAYS = 14 };
struct order {
    int64_t number;
    int64_t count, mean_mg, day_s;
    int64_t buyer;    /* party id, 0 not known */
    int64_t promised; /* held 4 times in 5 when it was accepted or last changed */
    int64_t ordered_s, promised_s;
    int64_t delivered, delivered_s; /* in all; the last time, 0 never */
    int64_t done_s;                 /* the buyer wants no more; 0 not said */
    int64_t off_s;                  /* called off; 0 not */
    struct hands hands;
};

/* Females that shall be injected in one evening, and the ponds that wait for their fry. */
enum {
    PLAN_FEMALES_MAX = 25, /* as many as trade chooses, and the spare */
    PLAN_PONDS_MAX = 12,
    PLAN_NEAR_DAYS = 2, /* injected so near to its evening she is of the plan */
    PLAN_OPEN_DAYS = 3
};
struct planned_female {
    int64_t female; /* brood id */
    bool spare;
    int64_t spawn; /* 0: not injected for it */
};
struct spawn_plan {
    int64_t number;
    int64_t inject_s;
    int64_t order;                /* 0: of a season's list */
    int64_t fish, size_mg, day_s; /* of harvest */
    int64_t planned_s;            /* when it was last said */
    int64_t off_s;                /* 0: stands */
    int64_t spawn;                /* the first that was injected for it, 0 none yet */
    struct planned_female females[PLAN_FEMALES_MAX];
    int female_count;
    int ponds[PLAN_PONDS_MAX];
    int pond_count;
    struct hands hands;
};

/* -- money: in the smallest unit of the farm's currency -- */

/* One for each thing and party, the last said. */
struct price {
    enum price_thing thing;
    int64_t party; /* 0: any */
    int64_t at_s;  /* in force from then on */
    int64_t minor; /* 0: none any more */
    enum price_per per;
    enum measure_kind measure; /* of PRICE_MEASURE */
};

enum booking_kind {
    BOOKING_COST = 1,   /* party: for what */
    BOOKING_INCOME = 2, /* party: the buyer */
    BOOKING_PAID = 3,   /* by the buyer, of what he owed */
    BOOKING_BACK = 4    /* to the buyer */
};
struct booking {
    enum booking_kind kind;
    int64_t at_s;
    enum subject_kind of; /* what it was for, or what brought it */
    int64_t subject;
    int64_t minor;
    int64_t party;     /* 0 not said */
    int64_t feed;      /* of a cost with a weight: what was bought */
    int64_t weight_mg; /* 0 not said */
    int64_t count;     /* of an income: fish, 0 not said */
    bool paid;         /* an income that was paid at once */
};

/* Fish that went from where they were to a pond, for what they cost until then (account.h). */
struct fish_move {
    int64_t at_s;
    int64_t spawn; /* of one of the two, the other 0 */
    int64_t from;  /* cycle */
    int64_t to;    /* cycle */
    int64_t count;
    int64_t
        among; /* with those taken out otherwise until then and those thought left: count or more */
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
    struct measure_size *measures;
    int measure_count, measure_room;
    struct feed *feeds;
    int feed_count, feed_room;
    struct table_point table[TABLE_MAX]; /* the farm's own, rising weights; 0 points: the book's */
    int table_count;
    int64_t height_m;     /* 0 not said: the sea's */
    struct order *orders; /* in the order of first hearing */
    int order_count, order_room;
    struct spawn_plan *plans; /* the same */
    int plan_count, plan_room;
    int64_t currency; /* entry_currency, 0 not said */
    struct price *prices;
    int price_count, price_room;
    struct booking *bookings; /* in the order of instants */
    int booking_count, booking_room;
    struct fish_move *moves; /* the same */
    int move_count, move_room;
    int64_t air_off_s; /* power or air failed then, 0: it runs */
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

/* Larvae swim, as was reported: the frames are out, or something was said of larvae though nothing
 * of the frames. In that case the eggs' time goes on beside theirs until the frames are reported.
 */
bool spawn_swims(const struct spawn *spawn);
/* Since when, by the first such report; 0: not. */
int64_t spawn_swims_s(const struct spawn *spawn);

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

/* When half of them had hatched: by the water, else the first report of larvae, 0 not stripped. The
 * age of larvae counts from it. */
int64_t spawn_hatch_s(const struct spawn *spawn);

/* Eggs thought alive: white ones counted are off. */
int64_t spawn_eggs(const struct spawn *spawn);

/* Larvae as thought at an instant, from the hatch reported, else from the book's share of the eggs,
 * through what was reported of them until then. */
struct tally spawn_tally(const struct spawn *spawn, int64_t at_s);
/* Of those the number alive, with the range. */
struct larvae_range spawn_larvae(const struct spawn *spawn, int64_t at_s);

/* By what was reported none can be left, where the numbers begin with one of larvae that somebody
 * reported: nobody is told to care for them. */
bool spawn_none_left(const struct spawn *spawn);

/* Since when it is known that no fry come of it any more: it is closed (no eggs, lost, none
 * hatched, all moved or sold), or none is left by the last count or the deaths; 0: they may come.
 * Eggs in another's bowl are that one's. */
int64_t spawn_no_fry_s(const struct farm_state *state, const struct spawn *spawn);

/* -- ponds ---------------------------------------------------------------------------------------
 */
/* Since when it is known that the fry a pond is being prepared for will not come; 0: they may, or
 * it is not prepared for a spawn's. */
int64_t pond_no_fry_s(const struct farm_state *state, const struct pond *pond);

/* Fish in the pond by what was said: the last count, or what was stocked, less deaths and what was
 * taken out, each down to 0; no natural loss. Of a closed one those who were never found. */
int64_t cycle_fish(const struct cycle *cycle);
/* Of a cycle that is closed: fish harvested and not sold or dead since. What was sold before it was
 * closed came out of the pond, but for what was sold right after a part was harvested. Never below
 * 0. */
int64_t cycle_net(const struct cycle *cycle);
/* Of one that is open: fish harvested in the last days and not sold since. So many or fewer that
 * are sold then are of these, not out of the pond once more. */
int64_t cycle_caught(const struct cycle *cycle, int64_t at_s);

/* -- orders, plans, money ------------------------------------------------------------------------
 */
struct order *farm_order(const struct farm_state *state, int64_t number);
struct spawn_plan *farm_spawn_plan(const struct farm_state *state, int64_t number);

/* Until it is delivered in full, called off, or two weeks after its day. */
bool order_open(const struct order *order, int64_t at_s);
/* Still to be delivered, never below 0. */
int64_t order_left(const struct order *order);

/* Until one of its females is injected, it is called off, or three days after its evening. A plan
 * for an order ends with it. */
bool spawn_plan_open(const struct farm_state *state, const struct spawn_plan *plan, int64_t at_s);

/* The farm's currency; NULL: not said, or not in trade's list. */
const struct currency *farm_currency(const struct farm_state *state);

/* In force now: of the party, else of any; NULL: not said. */
const struct price *farm_price(const struct farm_state *state, enum price_thing thing,
                               int64_t party);

/* What the measure holds of this feed; of any feed; NULL: not said. */
const struct measure_size *farm_measure(const struct farm_state *state, enum measure_kind measure,
                                        int64_t feed);
struct feed *farm_feed(const struct farm_state *state, int64_t feed);
/* In the store now, by what was said; never below 0. */
int64_t feed_left_mg(const struct feed *feed);

/* How many an entry takes: the number that was said, or all that were thought to be there as the
 * state has it when the entry is folded. At least 1, but 0 of the rest of a pond after parts of it
 * were harvested, and of a sale or harvest of all where none was thought left: it was not there. */
int64_t farm_taken(const struct farm_state *state, const struct entry *entry);

#endif
