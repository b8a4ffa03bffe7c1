/* book: every number the program computes with, each with how far it can be trusted and where it
 * comes from. The one place where such values stand: elsewhere they are asked for by name. The book
 * is about African catfish, Clarias gariepinus. Pure, constant, no errors. */
#ifndef TRADE_BOOK_H
#define TRADE_BOOK_H

#include <stdint.h>

/* How a value came here, the surest first. */
enum book_mark {
    BOOK_PUBLISHED, /* read in the publication or its abstract */
    BOOK_QUOTED,    /* published, read in a copy or in another author's quotation */
    BOOK_MEMORY,    /* published or general knowledge, quoted from memory */
    BOOK_COMMON,    /* common practice, no source */
    BOOK_DERIVED    /* worked out here from others; `source` says from which */
};

enum book_id {
    /* the female */
    BOOK_FEMALE_LEAST_G, /* lighter or heavier than these: ask whether the weight is meant */
    BOOK_FEMALE_MOST_G,
    BOOK_REST_DAYS, /* from stripping, or a spawn without eggs, to the next injection */

    /* the water: outside coldest..warmest no hour is given */
    BOOK_WATER_COLDEST, /* degC */
    BOOK_WATER_WARMEST, /* degC */
    BOOK_WATER_LEAST,   /* degC, both ends of what is taken as water with fish in it */
    BOOK_WATER_MOST,
    BOOK_WATER_ASK_H,   /* local hour at which the tank's temperature is asked */
    BOOK_WATER_FRESH_H, /* older readings of the hatchery say nothing about an injection */
    BOOK_JUMP_DEGC,     /* a change over this within BOOK_JUMP_HOURS is asked back */
    BOOK_JUMP_HOURS,
    BOOK_MOVE_ASK_MIN, /* a first look moved later by over this is asked back */

    /* injection to stripping, as multiples of the time to the first look */
    BOOK_READY_MOST,       /* most fish are ready by then */
    BOOK_READY_END,        /* nothing by then: rest her */
    BOOK_READY_EARLY,      /* no eggs before that share of it: a strip then is asked */
    BOOK_READY_BEFORE_MIN, /* the reminder to get everything ready, before the first look */
    BOOK_LOOK_EVERY_MIN,   /* from one look to the next, until BOOK_READY_MOST */
    BOOK_LOOK_LATE_MIN,    /* the same from BOOK_READY_MOST on */

    /* eggs */
    BOOK_EGGS_PER_G,
    BOOK_EGGS_LOW_PER_KG, /* in the bowl, per kg of female: by season */
    BOOK_EGGS_MIDDLE_PER_KG,
    BOOK_EGGS_HIGH_PER_KG,
    BOOK_STRIP_SHARE_MOST, /* stripped weight over this share of hers: ask */
    BOOK_ROOM_CM2_PER_G,   /* one layer */
    BOOK_SQUARE_STEP_CM,   /* the side of the square is said in steps of this */
    BOOK_STILL_ML_PER_G,   /* still water for a gram of eggs */

    /* fertilised to hatched */
    BOOK_WHITE_FROM_H, /* hours from fertilisation: white eggs are counted from, to */
    BOOK_WHITE_TO_H,
    BOOK_WHITE_COUNT,      /* how many eggs are looked at */
    BOOK_WHITE_SHARE_MOST, /* over this share white: inject the spare female */
    BOOK_LIFT_FIRST,       /* first look to lift the frames, times the time to half hatch */
    BOOK_LIFT_LAST,        /* last hour for the frames, times the same */
    BOOK_FOOD_AFTER_DAYS,  /* from half hatch to the first food */

    /* brood fish */
    BOOK_MATURE_G,      /* lighter ones are not ripe */
    BOOK_MATURE_DAYS,   /* younger ones are not */
    BOOK_FEMALE_GOOD_G, /* up to here handbooks call her good to strip; above she passes */
    BOOK_BROOD_PER_M2,  /* of pond */

    /* inducing substances */
    BOOK_DONOR_LEAST, /* a fresh gland: donor's weight over hers */
    BOOK_DONOR_SAFE,
    BOOK_DRIED_MG_KG, /* dried carp gland */
    BOOK_HCG_LOW_IU_KG,
    BOOK_HCG_HIGH_IU_KG,
    BOOK_LABEL_LEAST_ML_KG, /* a ready mix: labels outside these are asked */
    BOOK_LABEL_MOST_ML_KG,
    BOOK_SALINE_G_L,
    BOOK_SALINE_ML, /* for one fish */

    /* the hatch */
    BOOK_HATCH_USUAL, /* shares of the eggs alive */
    BOOK_HATCH_LOW,
    BOOK_HATCH_HIGH,
    BOOK_HATCH_LEAST, /* over all papers seen */
    BOOK_HATCH_MOST,
    BOOK_HATCH_HARD_WATER, /* in hard borehole water, and in soft river water, one trial */
    BOOK_HATCH_SOFT_WATER,
    BOOK_EGGS_PER_L, /* still water */

    /* larvae: days from half hatch */
    BOOK_FOOD_LAST_DAYS, /* without food until then they starve */
    BOOK_DRYFOOD_DAYS,   /* dry food beside the plankton */
    BOOK_BIG_DAYS,       /* look for big ones */
    BOOK_TWO_WEEKS_DAYS, /* grade, to the nursery pond */
    BOOK_MEALS,          /* a day */
    BOOK_PLANKTON_ML,    /* animals per ml a meal */
    BOOK_LARVA_MG,       /* in the first days */
    BOOK_FRY_MG,         /* at two weeks */
    BOOK_SEED_LEAST_MG,  /* lighter ones are larvae, which nobody sells by weight */
    BOOK_FINGERLING_MOST_G,
    BOOK_JUVENILE_MOST_G, /* what is stocked from elsewhere is not heavier */
    BOOK_SURVIVE_USUAL,   /* to two weeks */
    BOOK_SURVIVE_LOW,
    BOOK_SURVIVE_HIGH,
    BOOK_LARVAE_PER_L_GOOD,
    BOOK_LARVAE_PER_L_MOST,
    BOOK_GRAIN_SHARE, /* of body length */
    BOOK_GRAIN_MOST_MM,

    /* nursery ponds */
    BOOK_NURSERY_ARES_LEAST,
    BOOK_NURSERY_ARES_MOST,
    BOOK_POND_DEPTH_MOST_M,
    BOOK_DIRECT_DENSE, /* so many times the rate of larvae: warned of */
    BOOK_DENSE_ASK,    /* so many times the most in a pond: asked before it is recorded */
    BOOK_FENCE_M,
    BOOK_FRY_PER_M3_LEAST,
    BOOK_FRY_PER_M3_MOST,
    BOOK_NURSERY_USUAL, /* survival of two-week fry to a month in the pond */
    BOOK_NURSERY_LOW,
    BOOK_NURSERY_HIGH,
    BOOK_NURSERY_DAYS,
    BOOK_NET_DAYS, /* from the harvest */
    BOOK_GRADE_DAYS,
    BOOK_DIRECT_DAYS,      /* larvae straight into a pond */
    BOOK_DIRECT_FROM_DAYS, /* after the hatch */
    BOOK_DIRECT_LARVAE_M2,
    BOOK_DIRECT_FENCED_M2, /* fingerlings from them, and the spread */
    BOOK_DIRECT_FENCED_SPREAD,
    BOOK_DIRECT_OPEN_M2,
    BOOK_DIRECT_OPEN_SPREAD,
    BOOK_PREP_DRY_DAYS, /* before stocking */
    BOOK_PREP_LIME_DAYS,
    BOOK_PREP_MANURE_DAYS,
    BOOK_PREP_FILL_DAYS,
    BOOK_PREP_FILL_MOST_DAYS, /* filled longer before it is filled anew */
    BOOK_PREP_SHORT_DAYS,
    BOOK_PREP_SHORT_LIME_DAYS,
    BOOK_PH_ACID, /* under it fish grow less; then, under and over what is danger */
    BOOK_PH_ACID_DANGER,
    BOOK_PH_ALKALINE_DANGER,
    BOOK_STOCK_PH_MOST,
    BOOK_MANURE_HEN_KG_ARE,
    BOOK_MANURE_COW_KG_ARE,
    BOOK_NURSERY_FEED_KG_ARE, /* a day in the first week */
    BOOK_NURSERY_FEED_RISE,   /* each week after, times the week before */

    /* lime */
    BOOK_LIME_HYDRATED_NV, /* neutralising value, ground limestone 100 */
    BOOK_LIME_QUICK_NV,

    /* counting */
    BOOK_SAMPLE_LEAST,

    /* eggs in the ovary: F = a TL^b, TL in cm */
    BOOK_OVARY_A,
    BOOK_OVARY_B,

    /* growth: TGC = 1000 (W2^1/3 - W1^1/3) / sum of degC over days */
    BOOK_TGC_USUAL,
    BOOK_TGC_LOW, /* four farms in five lie between */
    BOOK_TGC_HIGH,
    BOOK_TGC_WARMEST,       /* degC: warmer counts as this */
    BOOK_TGC_WATER,         /* degC: of a pond whose water nobody read, for its ration, too */
    BOOK_TGC_PRIOR,         /* usual intervals between samples that the book counts as */
    BOOK_TGC_INTERVAL_DAYS, /* one of them, at BOOK_TGC_WARMEST */
    BOOK_BEHIND_DAYS,       /* a pond is compared with what was expected so long ago */
    BOOK_TGC_WANDER,        /* spread of ln TGC of one pond after 1000 degree-days */
    BOOK_TGC_ASK,           /* a sample that needs a faster growth is asked about */

    /* growing on: alive of what was stocked, after so many days */
    BOOK_POND_USUAL,
    BOOK_POND_LOW,
    BOOK_POND_HIGH,
    BOOK_POND_DAYS,
    BOOK_FINGERLING_G,   /* from here on fish are no fry any more */
    BOOK_WEIGH_DAYS,     /* a sample every so many days */
    BOOK_WEIGH_OFF_DAYS, /* none so near to a harvest or transport */

    /* samples */
    BOOK_SPREAD_USUAL, /* of single fish, over their mean, where it was not weighed */
    BOOK_SPREAD_GRADE, /* over this: sort by size */
    BOOK_LARGE_GRADE,  /* the largest fish over the median, by weight: from here on, too */
    BOOK_SPREAD_SMALL, /* mean of the smallest tenth, over the mean of all */
    BOOK_CONDITION_LOW,
    BOOK_CONDITION_HIGH,
    BOOK_CONDITION_ASK, /* a length so many times out of it is asked about */
    BOOK_SECCHI_DANGER_CM,
    BOOK_SECCHI_STOP_CM,
    BOOK_SECCHI_CLEAR_CM,

    /* feeding a pond */
    BOOK_FEED_COLDEST, /* degC: no feed under, over */
    BOOK_FEED_WARMEST,
    BOOK_FEED_DAWN_KG_ARE,  /* a day, without aerator: look at dawn */
    BOOK_FEED_LIMIT_KG_ARE, /* a day, the most that any pond bears */
    BOOK_FEED_TREATED_H,    /* none until so long after a treatment */
    BOOK_FEED_EMPTY_DAYS,   /* none from so many days before harvest or transport */
    BOOK_FEED_MEALS,
    BOOK_FEED_HALF,       /* share of the ration at little oxygen */
    BOOK_FEED_LEFT,       /* times the line for each report of food left */
    BOOK_FEED_CLEAN_DAYS, /* without one: a step up again */

    /* oxygen, mg/l */
    BOOK_OXYGEN_FRY,      /* no feed, danger, while they only have gills */
    BOOK_OXYGEN_FRY_DAYS, /* until this age */
    BOOK_DUSK_HOUR,       /* local: from here on readings are of the evening */
    BOOK_DAWN_HOUR,       /* local: oxygen is lowest */
    BOOK_DUSK_APART_H,    /* between the two readings of an evening, at most */
    BOOK_DAWN_BEFORE_MIN, /* the danger of a night is told so long before */
    BOOK_OXYGEN_STOP,     /* older, at dawn: no feed, danger */
    BOOK_OXYGEN_HALF,     /* older, at dawn: half the ration up to here */
    BOOK_PRESSURE_A,      /* P = (1 - a h)^b atm, h in m */
    BOOK_PRESSURE_B,

    /* ammonia and nitrite, mg of nitrogen a litre */
    BOOK_AMMONIA_PKA_A, /* pKa = a + b / K */
    BOOK_AMMONIA_PKA_B,
    BOOK_AMMONIA_N_OF_NH4, /* a kit's NH4 as nitrogen */
    BOOK_AMMONIA_SMALL,    /* un-ionised: up to BOOK_AMMONIA_SMALL_G, to _MIDDLE_G, above */
    BOOK_AMMONIA_MIDDLE,
    BOOK_AMMONIA_LARGE,
    BOOK_AMMONIA_SMALL_G,
    BOOK_AMMONIA_MIDDLE_G,
    BOOK_NITRITE_MOST,

    /* orders and learning */
    BOOK_RESPOND,             /* share of the females that give eggs */
    BOOK_ORDER_FEMALES_LEAST, /* to inject for an order; a spare comes on top */
    BOOK_ORDER_FISH_G,        /* a fingerling after its month in the nursery pond */
    BOOK_ORDER_MOST_G,        /* what is ordered as young fish is no heavier */
    BOOK_ORDER_MOST,          /* fish in one order */
    BOOK_ORDER_LOOK_H,        /* local hour of the first look that is planned for */
    BOOK_PROMISE_KEPT,        /* share of the promises that hold */
    BOOK_PROMISE_MARGIN,      /* so much surer, for what a finite number of draws cannot see */
    BOOK_LEARN_RUNS,          /* own runs that count as much as the book */
    BOOK_LEARN_RANGE,         /* share of the runs inside a range that was planned with */
    BOOK_LEARN_SEEN,          /* share of the runs inside a range of all that was seen */
    BOOK_LEARN_LEAN_DEGC,     /* colder: the low end of eggs and hatch */
    BOOK_LEARN_LEAN_SPREAD,   /* times the book's spread, where the season is known to be lean */
    BOOK_LEARN_SIDE_RUNS,     /* on each side, before warm and cold or wet and dry are told apart */
    BOOK_LEARN_CHANCE,        /* and a difference no likelier than this by chance */
    BOOK_COUNT
};

struct book_value {
    const char *name; /* short, stable: "eggs per gram" */
    double value;
    const char *unit; /* "eggs/g"; "" for a share or a multiple */
    enum book_mark mark;
    const char *source; /* author, year, what; never empty */
};

/* Never NULL for an id of the set; a value outside it is a mistake in the program and reads as
 * {"", 0, "", BOOK_COMMON, ""}. */
const struct book_value *book(enum book_id id);
double book_number(enum book_id id);

/* Hours against degC at whole degrees without a gap, rising; between rows straight on the
 * logarithm of the hours (see progress.h). */
struct book_table {
    const char *name;
    const char *unit;
    enum book_mark mark;
    const char *source;
    int count;               /* rows */
    const double (*rows)[2]; /* degC, hours */
    const double *steps;     /* count - 1: ln(hours of row i + 1 / hours of row i) */
};

extern const struct book_table book_latency;  /* injection to first look, 20..30 degC */
extern const struct book_table book_hatching; /* fertilisation to half hatched, 20..30 degC */

/* Straight lines between points, rising in the first column; the ends hold beyond them. */
struct book_line {
    const char *name;
    const char *unit;
    enum book_mark mark;
    const char *source;
    int count;
    const double (*points)[2];
};

/* Bands: the first column is the upper end of each, which belongs to it; then a value for each soil
 * in the order of enum soil (lime.h). */
struct book_bands {
    const char *name;
    const char *unit;
    enum book_mark mark;
    const char *source;
    int count;
    const double (*rows)[4];
};
extern const struct book_bands book_lime; /* pH of the soil -> kg CaCO3 an are */

extern const struct book_line book_ration;      /* g of a fish -> % of its weight a day, dry feed */
extern const struct book_line book_ration_warm; /* degC -> times the ration */
double book_line_at(const struct book_line *line, double x);

/* The numbers of a formula, some of them under 0, in the order in which it is written. */
struct book_terms {
    const char *name;
    const char *unit;
    enum book_mark mark;
    const char *source;
    int count;
    const double *terms;
};
/* Oxygen in fresh water under water-saturated air of 1 atm: ln(mg/l) in powers of 1/K. */
extern const struct book_terms book_oxygen;
extern const struct book_terms book_oxygen_vapour; /* ln(atm) of water's vapour in powers of 1/K */
extern const struct book_terms book_oxygen_theta;  /* second virial term in powers of degC */
/* The sum of terms[i] x^i. */
double book_terms_at(const struct book_terms *terms, double x);

const char *book_mark_name(enum book_mark mark); /* "published", "quoted", ... */

/* A digest of every name, value and row: results that are kept carry it and are thrown away when
 * it differs. The wording of sources and units is not in it. */
uint64_t book_build(void);

#endif
