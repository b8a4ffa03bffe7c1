/* feeding: what a pond gets to eat on the local day of an instant: by which rule, how much, in
 * which meals and measures, why less or nothing, and what is not known. Reckoned from the state
 * when it is asked for. Pure.
 *
 * Which rule: fish stocked as fry or larvae are fed by the pond's area and their day of stay,
 * because part of that feed is for the pond's plankton and nobody has weighed them yet. They leave
 * that rule when a sample weighed as much as a fingerling, or after FEEDING_NURSERY_DAYS. All
 * others, and those then, are fed by their weight. The most that a pond bears in a day holds for
 * both.
 *
 * A fish stocked without a weight is thought of as fry, as everywhere else; after its nursery time
 * nothing is known of it but that it must be weighed. */
#ifndef FARM_FEEDING_H
#define FARM_FEEDING_H

#include "base/zone.h"
#include "farm/growing.h"
#include "trade/measure.h"
#include "trade/nursery.h"
#include "trade/ration.h"

enum {
    FEEDING_NURSERY_DAYS = 42, /* a month and what it may be late; our own bound */
    FEEDING_READING_DAYS = 7,  /* an older temperature or Secchi depth says nothing; our own */
    FEEDING_OXYGEN_H = 24,     /* an older oxygen, or gasping; our own */
    FEEDING_AMMONIA_H = 48, /* older ammonia, nitrite or pH: it is read again next day; our own */
    FEEDING_OFTEN = 3,      /* food left on so many of the last days is pointed out */
    FEEDING_OFTEN_DAYS = 7,
    FEEDING_DEAD_WORD = 100, /* the owner hears of a hundredth in a day, from so many fish on ... */
    FEEDING_DEAD_FEW = 5,    /* ... where it is twice what is usually lost; our own bounds */
    FEEDING_DEAD_PART = 20,  /* a twentieth dead in a day is no common loss; our own bound */
    FEEDING_COOL_PERMILLE = 750, /* under it the ration is said to be less for the water */
    FEEDING_DEAD_H = 24          /* so long they are not fed after it */
};

enum feeding_rule {
    FEEDING_EMPTY,    /* no fish */
    FEEDING_NURSERY,  /* by area and day of stay: up to so much */
    FEEDING_WEIGHT,   /* by what the fish weigh */
    FEEDING_BROOD,    /* brood fish alone, each by its weight */
    FEEDING_NO_AREA,  /* a nursery pond of which nobody said how large it is */
    FEEDING_NO_WEIGHT /* fish that were never weighed */
};

struct feeding {
    enum feeding_rule rule;
    const struct cycle *cycle;
    int day; /* of stay, 0 the day of stocking */

    /* what it is reckoned from; 0 not known */
    int64_t fish, weight_mg, biomass_mg;
    int64_t share_ppm; /* FEEDING_WEIGHT: of body weight a day */
    bool own;          /* by the farm's own table */
    int64_t factor_permille;
    int64_t water_mdegc; /* RATION_UNKNOWN: not read lately, the book's is taken */
    int64_t oxygen_ug_l, secchi_mm, treated_s, catch_s; /* that count now; -1, 0: none */
    int64_t ammonia_permille, nitrite_permille, ph_milli;
    bool dawn;   /* the oxygen is that of dawn, it was read enough since */
    bool unseen; /* the night that was thought low is over, no reading or gasping heard of since */
    bool night;  /* oxygen is thought to run low before the coming dawn (plan_night) */
    int steps;   /* down, for food left */
    int64_t fry, least; /* FEEDING_NURSERY: fewer stocked than the least for the pond; else 0 */
    int64_t usual_mg;   /* the line of a pond stocked as usual, where they are fewer */

    /* the day's ration */
    int64_t line_mg;           /* before the steps and all else */
    enum ration_reason reason; /* the first that stands, RATION_OK: fed */
    unsigned reasons;          /* all that stand: 1u << reason */
    bool halved, halved_ammonia, capped, guessed;
    bool by_fish; /* FEEDING_NURSERY: they were weighed or counted and get no more than by weight */
    bool turned;  /* FEEDING_WEIGHT: yesterday they were fed by the area still */
    int64_t was_treated_s; /* taken as over since a day or less, nobody said so; 0 none */
    enum ration_guard guard;
    int64_t ration_mg; /* 0 unless it is fed */

    /* as it is told: whole and half measures, else a weight that a scale shows. Never over the
     * ration of a nursery, nor over what the pond bears */
    int meals;                   /* 1, 2 or 4 */
    enum measure_kind with;      /* 0: weighed */
    int64_t with_mg;             /* what it holds */
    int64_t meal_mg, half_mg;    /* a meal, and one after food was left */
    int64_t halves, half_halves; /* the same in half measures */
    bool first_more;     /* the first meal of two gets half a measure more, then it is nearer */
    unsigned half_meals; /* 1u << meal, the first is 0: these get half */
    int64_t told_mg;     /* all meals together */
    int64_t grain_um;    /* 0 not known */

    int64_t given_mg; /* that day until the instant */
    int left_days;    /* of the last FEEDING_OFTEN_DAYS */
    bool eats_little; /* on a week's days with feed not half of the ration by weight was given */
};

/* They were said to gasp within a day, and no oxygen of BOOK_OXYGEN_HALF or more was read since: no
 * feed. */
bool feeding_gasps(const struct pond *pond, int64_t at_s);

/* Found dead in the FEEDING_DEAD_H hours up to an instant, and when the first of them were. */
int64_t feeding_dead(const struct cycle *cycle, int64_t at_s, int64_t *first_s);

/* The nursery's line on the local day of an instant from the stocking on, whether the fish are
 * still fed by it or not. */
struct nursery_feed feeding_nursery(const struct farm_state *state, const struct pond *pond,
                                    const struct cycle *cycle, const struct zone *zone,
                                    int64_t at_s);
/* A weight that a store's scale shows, rounded down. */
int64_t feeding_weighable_mg(int64_t mg);

/* `looked`: somebody answered for the night that was thought low in oxygen. Where nobody did there
 * is no feed until the fish or the oxygen were looked at that day. */
struct feeding feeding_looked(const struct farm_state *state, const struct pond *pond,
                              const struct zone *zone, int64_t at_s, bool looked);
/* As if somebody had. */
struct feeding feeding_of(const struct farm_state *state, const struct pond *pond,
                          const struct zone *zone, int64_t at_s);

/* The same of the brood fish of a pond that nothing else is in, described or not: by the weight of
 * each. FEEDING_EMPTY: there are none, or others grow there. Food left lowers nothing. */
struct feeding feeding_brood(const struct farm_state *state, int pond, const struct zone *zone,
                             int64_t at_s);

/* The first weight between these at which a table's share is over the book's by more than half,
 * 0 none: small fish that eat so much burst. Points in rising order. */
int64_t feeding_table_bursts(const struct table_point *table, int count);

/* Of body weight a day by such a table: straight between its points, the ends hold beyond. */
int64_t feeding_table_ppm(const struct table_point *table, int count, int64_t weight_mg);

#endif
