/* ration: dry feed a day as a share of a fish's weight, what the water makes of it, and for a
 * growing pond how much goes in today and why less or nothing. The table is a guide of low
 * confidence (see the book). Pure, to the nearest. */
#ifndef TRADE_RATION_H
#define TRADE_RATION_H

#include <stdbool.h>
#include <stdint.h>

/* Parts per million of body weight a day at 28-32 degC; a weight of 0 or less gives 0. */
int64_t ration_ppm(int64_t weight_mg);

/* Meals a day for fish of that weight: four while they are fry of two weeks or less, then two. A
 * weight of 0 or less, not known, gives two. */
int ration_meals(int64_t weight_mg);

/* Grain of feed for fish of that weight, as sold: 2.2 % of their length (the length that the book's
 * condition gives, sample.h), rounded down to 0.1 mm under one millimetre, to 0.5 mm up to three,
 * to whole ones above, at most BOOK_GRAIN_MOST_MM, at least 0.1. Sort by the smallest of a pond
 * when sizes differ. 0 for no weight and over 100 kg. */
int64_t ration_grain_um(int64_t weight_mg);

/* Thousandths of that ration in such water; 0 (no feed) under 18 and over 34 degC. */
int64_t ration_factor_permille(int64_t water_mdegc);

/* What is not known, below. */
#define RATION_UNKNOWN INT64_MIN
/* The water that is reckoned with: the one read, else the book's (BOOK_TGC_WATER). */
int64_t ration_water_mdegc(int64_t read_mdegc);

/* -- a growing pond ---------------------------------------------------------------------------- */

/* Feed a day on a pond's area. */
enum ration_guard {
    RATION_GUARD_NONE,
    RATION_GUARD_DAWN, /* over 0.3 kg an are without aerator: look at the fish at dawn */
    RATION_GUARD_LIMIT /* over 1.1 kg an are: no pond bears it, not even an aerated one */
};
/* An area not over 0, not known, has no guard. */
enum ration_guard ration_guard(int64_t feed_mg, int64_t area_cm2, bool aerated);

/* The most feed a day that any pond so large bears (1.1 kg an are); 0 when the area is not known or
 * over 100 km2. The guard for measure_of. */
int64_t ration_most_mg(int64_t area_cm2);

/* A ration after so many steps of food left, a quarter off for each, at most eight. */
int64_t ration_after_left_mg(int64_t ration_mg, int steps);

/* Why a pond is not fed, in the order in which they are told. */
enum ration_reason {
    RATION_OK,
    RATION_IMPOSSIBLE, /* no fish, no weight, or beyond sense: no ration, and no advice either */
    RATION_GASPING,
    RATION_DEAD,    /* many died */
    RATION_OXYGEN,  /* under the limit of the fish */
    RATION_SECCHI,  /* under 25 cm */
    RATION_AMMONIA, /* over what they bear */
    RATION_NITRITE,
    RATION_PH, /* such that fish can die */
    RATION_TREATED,
    RATION_COLD, /* under 18 degC */
    RATION_WARM, /* over 34 degC */
    RATION_HARVEST,
    RATION_LEFT /* food is left from the last meal */
};

/* What is not known is said so: -1, for water RATION_UNKNOWN. */
struct ration_pond {
    int64_t count;       /* fish, up to 100 million */
    int64_t weight_mg;   /* mean, up to 100 kg */
    int64_t water_mdegc; /* unknown: as at the book's, and `guessed` says so */
    int64_t area_cm2;    /* 0: unknown */
    int64_t oxygen_ug_l; /* at dawn */
    int64_t secchi_mm;
    int64_t ph_milli;                           /* 0: unknown */
    int64_t ammonia_permille, nitrite_permille; /* of what they bear; 0 or less: unknown */
    int64_t treated_h; /* hours since the last treatment ended, 0 while it runs */
    int64_t harvest_d; /* days until harvest or transport; 0: today */
    int64_t share_ppm; /* of body weight a day, from the farm's own table; -1: the book's */
    int age_days;      /* from hatch */
    int left_steps;    /* steps down for food left (nursery_ration_steps), 0 none */
    bool aerated, gasping, many_dead, food_left;
};

struct ration {
    enum ration_reason reason; /* the first that stands; RATION_OK: it is fed */
    unsigned reasons;          /* all that stand: 1u << enum ration_reason */
    int64_t ration_mg;         /* for the day, to the nearest mg; 0 unless RATION_OK */
    int64_t meal_mg;           /* of two */
    int64_t line_mg;           /* by weight, water and the steps of food left alone */
    bool halved;               /* oxygen at dawn was between 2 and 4 mg/l */
    bool halved_ammonia;       /* ammonia is over half of what they bear: they are fed less */
    bool capped;               /* held at the limit of 1.1 kg an are */
    bool guessed;              /* the water is not known */
    enum ration_guard guard;   /* before it was capped */
};
struct ration ration_of(const struct ration_pond *pond);

#endif
