/* entry: one thing that people reported, resolved: ids, base units, the instant it happened, who,
 * with which message. Entries are appended to a farm's ledger and never changed; a farm is what
 * follows from them. Pure.
 *
 * Stored as kind, version, subject and a line of "name=value" pairs (entry_write, entry_read), so
 * that a ledger can be read by eye and is checked field by field when it is read back. To change a
 * kind's fields: give the kind a new version in entry.c, keep reading the old ones there. */
#ifndef FARM_ENTRY_H
#define FARM_ENTRY_H

#include "base/buf.h"

enum entry_kind {
    ENTRY_UNDO = 1,     /* takes back all entries of message value[0] */
    ENTRY_INJECTED = 2, /* a spawn begins: value[0] female, [1] tag number, [2] her weight_mg */
    ENTRY_WATER = 3,  /* value[0] water_mdegc: of the hatchery, of a tank, or of one spawn's own */
    ENTRY_FOLLOW = 4, /* the spawn's water is the hatchery's again */
    ENTRY_NOT_READY = 5, /* looked, no loose eggs yet */
    ENTRY_NO_EGGS = 6,   /* given up: closes the spawn */
    ENTRY_STRIPPED = 7,  /* value[0] eggs_mg, dry */
    ENTRY_WHITE = 8,  /* value[0] white eggs of value[1] counted, [2] 1: the others were counted */
    ENTRY_FRAMES = 9, /* frames lifted out: ends the eggs' time */

    /* of a spawn */
    ENTRY_HORMONE = 10, /* value[0] enum hormone */
    ENTRY_MALE = 11,    /* value[0] brood id, [1] enum male_use */
    ENTRY_TANK = 12,    /* she, later her eggs and larvae, in tank value[0] */
    ENTRY_LAYER = 13,   /* value[0] enum layer: what the eggs lie on */
    ENTRY_BOWL = 14,    /* spawn value[0] was stripped into this one's bowl: one from then on */
    ENTRY_SPOILT = 15,  /* eggs or larvae lost: closes the spawn */
    ENTRY_HATCHED = 16, /* value[0] larvae, [1] enum hatch_how; by share: [2] of [3] eggs, whatever
                           they weigh (0 in entries of version 1, which have the larvae) */
    ENTRY_FED = 17,     /* first food given */

    /* of a spawn's larvae, or of a pond's cycle */
    ENTRY_GRADED = 18,  /* value[0] taken out, 0 not said */
    ENTRY_DIED = 19,    /* value[0] dead ones */
    ENTRY_COUNTED = 20, /* value[0] alive now */
    ENTRY_SOLD = 21, /* value[0] count, [1] weight_mg in all, 0 not said, [2] 1: the last of them;
                        then a count of 0 is all that are thought to be there (farm_taken) */

    /* of a brood fish */
    ENTRY_BROOD = 22,        /* value[0] enum sex, [1] tag number, [2] weight_mg, 0 not said */
    ENTRY_BROOD_POND = 23,   /* value[0] pond number */
    ENTRY_BROOD_BORN = 24,   /* value[0] born_s */
    ENTRY_BROOD_ORIGIN = 25, /* value[0] party id */
    ENTRY_BROOD_DIED = 26,

    /* of the hatchery */
    ENTRY_SOURCE = 27,  /* value[0] enum water_source */
    ENTRY_AIR_OFF = 28, /* power or air failed */
    ENTRY_AIR_ON = 29,

    /* of a tank */
    ENTRY_VOLUME = 30, /* value[0] volume_ml */

    /* of a pond */
    ENTRY_POND = 31,    /* value[0] area_cm2, [1] depth_mm, [2] enum fence; 0 not said */
    ENTRY_SOIL = 32,    /* value[0] ph_milli, [1] soil (trade's enum); 0 not said */
    ENTRY_PREPARE = 33, /* to be ready at value[0] day_s, for spawn value[1], 0 none */
    ENTRY_PREPARED =
        34,             /* value[0] enum prep_step done, [1] lime kind (trade's enum), 0 not said */
    ENTRY_POND_PH = 35, /* value[0] ph_milli of its water */

    /* of a pond's cycle */
    ENTRY_STOCKED = 36, /* a cycle begins: value[0] pond, [1] count, [2] mean_ug each, [3] from
                           spawn, 0 none, [4] from cycle, 0 none, [5] bits STOCKED_; with
                           STOCKED_ALL a count of 0 is all that are thought to be there */
    ENTRY_HARVESTED =
        37, /* value[0] count, 0 with [2] as above, [1] weight_mg in all, 0 not said, [2] 1: pond
               empty, [3] fish of the sample that gave the count, [4] its weight_mg; 0 none */

    /* of a growing pond */
    ENTRY_GIVEN = 38,   /* value[0] feed_mg, [1] feed (party id), 0 not said */
    ENTRY_LEFT = 39,    /* food was left from the last meal */
    ENTRY_READING = 40, /* of a pond or a tank: value[0] enum reading, [1] in its unit */
    ENTRY_GASPING = 41, /* fish at the surface for air */
    ENTRY_TREATED = 42, /* a treatment runs or has just ended */
    ENTRY_CATCH = 43,   /* value[0] day_s set for harvest or transport, 0: none any more */
    ENTRY_AERATOR = 44, /* value[0] enum aerator */

    /* of a growing pond's cycle */
    ENTRY_SAMPLED = 45, /* value[0] count, [1] mean_ug, [2] error_ug, [3] cv_permille, [4]
                           length_um, [5] least_mg and [6] largest_mg of those weighed one by one;
                           0 not known */
    ENTRY_STOLEN = 46,  /* value[0] count */
    ENTRY_BIG = 47,     /* what this message takes out are the big ones: value[0] count, [1]
                           weight_mg in all. Before the entry that takes them */

    /* of the farm */
    ENTRY_MEASURE =
        48, /* value[0] enum measure_kind, [1] weight_mg it holds, [2] of feed, 0 of any */
    ENTRY_TABLE = 49,  /* a point of its own feeding table: value[0] fish weight_mg, [1] share_ppm
                          a day, [2] 1: the first point; all 0: the book's table again */
    ENTRY_HEIGHT = 50, /* value[0] height_m above the sea */
    ENTRY_BOUGHT = 51, /* value[0] weight_mg, [1] feed, 0 not said */
    ENTRY_STORE = 52,  /* feed counted in the store: value[0] weight_mg, [1] feed, 0 not said */

    /* of an order */
    ENTRY_ORDERED = 53, /* it begins: value[0] count, [1] mean_mg each, [2] day_s wanted, [3] buyer
                           (party id), 0 not said, [4] promised: so many held 4 times in 5 then */
    ENTRY_ORDER_CHANGED =
        54, /* the same values; 0 of count, mean, day or buyer: as before. promised: anew */
    ENTRY_ORDER_OFF = 55,
    ENTRY_DELIVERED = 56, /* value[0] count, [1] 1: no more are wanted. In the sale's message */

    /* of a planned spawn: one evening's females */
    ENTRY_PLANNED = 57,     /* value[0] inject_s, [1] order, 0 of a season, [2] fish wanted, [3]
                               size_mg, [4] day_s of harvest. Said again: all anew, its females and
                               ponds, too */
    ENTRY_PLAN_FEMALE = 58, /* value[0] brood id, [1] 1: the spare */
    ENTRY_PLAN_POND = 59,   /* value[0] pond; its ENTRY_PREPARE comes in the same message */
    ENTRY_PLAN_OFF = 60,

    /* money, in the smallest unit of the farm's currency */
    ENTRY_CURRENCY = 61, /* value[0] entry_currency of its code */
    ENTRY_PRICE = 62,    /* value[0] enum price_thing, [1] party, of feed and what is named, [2]
                            minor, 0: none any more, [3] enum price_per, [4] enum measure_kind of
                            PRICE_MEASURE, else 0 */
    ENTRY_COST = 63,   /* value[0] minor, [1] for what (party), 0 not said; of feed that was bought
                          [2] feed (party), 0 not said, [3] weight_mg */
    ENTRY_INCOME = 64, /* value[0] minor, [1] buyer (party), 0 not said, [2] 1: paid, 0: owed, [3]
                          count, [4] weight_mg, 0 not said */
    ENTRY_PAID = 65,   /* value[0] minor, [1] buyer, [2] 1: paid back to him */
    ENTRY_KIND_END
};

enum subject_kind {
    SUBJECT_HATCHERY = 0, /* subject 0 */
    SUBJECT_SPAWN = 1,    /* the spawn's number in the farm, never used again */
    SUBJECT_BROOD = 2,    /* a brood fish's id in the farm, never used again */
    SUBJECT_TANK = 3,     /* b2 is 2 */
    SUBJECT_POND = 4,     /* p4 is 4 */
    SUBJECT_CYCLE = 5,    /* from stocking to the last harvest: numbered, never used again */
    SUBJECT_ORDER = 6,    /* numbered, never used again */
    SUBJECT_PLAN = 7,     /* a planned spawn: numbered, never used again */
    SUBJECT_KIND_END
};

enum sex { SEX_FEMALE = 1, SEX_MALE = 2 };
enum hormone { HORMONE_GLAND = 1, HORMONE_DRIED = 2, HORMONE_HCG = 3, HORMONE_MIX = 4 };
enum male_use { MALE_MILT = 1, MALE_GLAND = 2 };
enum layer { LAYER_FRAMES = 1, LAYER_PLANTS = 2, LAYER_NET = 3 };
enum hatch_how { HATCH_SHARE = 1, HATCH_COUNTED = 2 };
enum water_source {
    SOURCE_RIVER = 1,
    SOURCE_WELL = 2,
    SOURCE_TAP = 3,
    SOURCE_RAIN = 4,
    SOURCE_LAKE = 5
};
enum fence { FENCE_NONE = 1, FENCE_STANDS = 2 };
enum prep_step { PREP_DRY = 1, PREP_LIME = 2, PREP_MANURE = 3, PREP_FILL = 4 };

/* All that were there; the mean was not weighed but reckoned, so that it is no sample of those that
 * stay, and is reckoned again in the fold. */
enum { STOCKED_ALL = 1, STOCKED_RECKONED = 2 };
enum aerator { AERATOR_NONE = 1, AERATOR_RUNS = 2 };
enum reading {
    READING_OXYGEN = 1,  /* ug/l */
    READING_PH = 2,      /* thousandths */
    READING_AMMONIA = 3, /* total, ug of nitrogen a litre */
    READING_NITRITE = 4, /* ug of nitrogen a litre */
    READING_SECCHI = 5,  /* mm */
    READING_END
};
enum measure_kind {
    MEASURE_TIN = 1,
    MEASURE_CUP = 2,
    MEASURE_SCOOP = 3,
    MEASURE_BOWL = 4,
    MEASURE_BUCKET = 5,
    MEASURE_BAG = 6,
    MEASURE_END
};

enum price_thing {
    PRICE_FEED = 1,
    PRICE_FRY = 2,
    PRICE_FINGERLINGS = 3,
    PRICE_FISH = 4,
    PRICE_NAMED = 5,
    PRICE_THING_END
};
enum price_per {
    PRICE_EACH = 1,
    PRICE_KG = 2,
    PRICE_MEASURE = 3,
    PRICE_WHOLE = 4, /* for the thing as it is */
    PRICE_PER_END
};

/* ENTRY_VERSION is that of kinds whose fields never changed. */
enum { ENTRY_VALUES_MAX = 7, ENTRY_VERSION = 1 };

/* The reading in an injection's text: it begins her water, but she goes on following the hatchery.
 */
enum { WATER_OWN = 0, WATER_AT_INJECTION = 1 };

struct entry {
    int64_t seq;     /* order of saying in the farm: 1, 2, ... */
    int64_t at_s;    /* when it happened */
    int64_t said_s;  /* when it was reported */
    int64_t message; /* the message it came with; undo names it */
    int64_t person;  /* who reported it; what a fix says again stays with whoever said it first */
    enum entry_kind kind;
    int version;
    enum subject_kind subject_kind;
    int64_t subject;
    int64_t value[ENTRY_VALUES_MAX];
};

/* The version that new entries of a kind have. */
int entry_version(enum entry_kind kind);

/* What entry_read would take back: a known kind, a subject it can be about, values in their ranges.
 * Nothing else may be kept, or the farm cannot be folded again. */
bool entry_sound(const struct entry *e);

/* The values of the entry's version as "name=value name=value". */
void entry_write(const struct entry *e, struct buf *out);

/* A currency's code as a value: its three letters, A is 0, as a number of base 26, and 1 on top.
 * 0: not three letters. Back: "" for what no code gives. */
enum { ENTRY_CURRENCY_MOST = 26 * 26 * 26 };
int64_t entry_currency(struct slice code);
void entry_currency_code(int64_t value, char code[4]);

/* Fills version's values of `out` from the line; kind, version and subject stand in `out` already.
 * ERR_CORRUPT: unknown kind, version or field, one missing or outside its range. */
enum err entry_read(struct slice line, struct entry *out) MUST_LOOK;

#endif
