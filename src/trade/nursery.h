/* nursery: ponds for fry: how many go in, how many come out, how the pond is prepared and fed.
 * Areas in cm2 (an are is 1 000 000), depths in mm. Pure, to the nearest; what cannot be gives 0:
 * nothing or less, an area over 100 km2, a depth over 100 m. Counts of fish stop at 10^12. */
#ifndef TRADE_NURSERY_H
#define TRADE_NURSERY_H

#include <stdbool.h>
#include <stdint.h>

#include "trade/ration.h"

struct nursery_range {
    int64_t low, middle, high;
};

/* Area by mean depth; 0 when one is not known or beyond sense. */
int64_t nursery_volume_ml(int64_t area_cm2, int64_t depth_mm);
int64_t nursery_least(int64_t area_cm2, int64_t depth_mm); /* fry: 20 a m3 */
int64_t nursery_most(int64_t area_cm2, int64_t depth_mm);  /* fry: 100 a m3 */

/* Of two-week fry, alive after a month in the pond. */
struct nursery_range nursery_survivors(int64_t fry);

/* Larvae of three days straight into a pond: how many to put in, and how many fingerlings after 40
 * days, as many as were found and the spread (de Graaf et al. 1995). */
int64_t nursery_direct_larvae(int64_t area_cm2);
struct nursery_range nursery_direct(int64_t area_cm2, bool fenced);

/* Preparing, backwards from the day of stocking. */
enum nursery_step { NURSERY_DRY = 1, NURSERY_LIME = 2, NURSERY_MANURE = 3, NURSERY_FILL = 4 };
/* Days before stocking; -1: not such a step. The short form has no lime but carbonate. */
int nursery_prepare_before(bool short_form, int step);
int nursery_prepare_days(bool short_form); /* how long it takes in all */

int64_t nursery_manure_hen_mg(int64_t area_cm2);
int64_t nursery_manure_cow_mg(int64_t area_cm2); /* the least of 25-50 kg an are */

/* The most feed a day on a day of stay (0 is the day of stocking), an upper line. It
 * stands still after half a year, long after the fish have left. */
int64_t nursery_ration_mg(int64_t area_cm2, int day);

/* The line is for a pond stocked as usual. Where fewer fry were put in than `least` (nursery_least)
 * it falls with them: thousandths of it, 1000 from the least on and where that is not known, 0 of
 * none. Our own rule, no source: part of the feed is for the pond's plankton, so that few fry may
 * want somewhat more, and the line is an upper one. */
int nursery_few_permille(int64_t fry, int64_t least);

/* Food left lowers the line by a quarter, a step for each report (one a day counts); three days
 * without lift it by one step again. At most eight steps are kept. `left_days` holds the days of
 * stay with a report, not falling; the steps that stand on the morning of `day` come from the days
 * before it. */
int nursery_ration_steps(const int *left_days, int count, int day);
/* The line of that day, so many steps down (under 0 counts as none). */
int64_t nursery_ration_step(int64_t area_cm2, int day, int steps);

/* All of it together for a day of stay. */
struct nursery_feed {
    int64_t line_mg;         /* of the day and the fry, before any report of food left */
    int steps;               /* down, as nursery_ration_steps */
    int64_t ration_mg;       /* up to so much, never over 1.1 kg an are */
    int64_t meal_mg;         /* of two, rounded down */
    int64_t halved_meal_mg;  /* the next meal when food was left half an hour after the last */
    bool capped;             /* held at 1.1 kg an are */
    enum ration_guard guard; /* of the line after its steps, before it was capped */
};
/* `few_permille` as nursery_few_permille; zeros for what cannot be. */
struct nursery_feed nursery_feed_of(int64_t area_cm2, int day, int few_permille,
                                    const int *left_days, int count, bool aerated);

#endif
