/* water: temperature readings and what is taken to run between them. Pure. */
#ifndef TRADE_WATER_H
#define TRADE_WATER_H

#include <stdint.h>

struct water_reading {
    int64_t at_s;  /* UTC seconds */
    int64_t mdegc; /* thousandths of a degree Celsius */
};

/* The caller keeps the readings; sorted by at_s, no two at the same second. */
struct water_series {
    const struct water_reading *readings;
    int count;
};

/* Straight between two readings; before the first and after the last the water is taken to stand
 * still. (Dusk, when the first reading is taken, is the warmest hour of the night, so standing
 * still errs towards looking early.) Rounded to the nearest thousandth. count must be > 0; an empty
 * series reads as 0. */
int64_t water_at_mdegc(struct water_series water, int64_t at_s);

/* The mean of that line from one instant to a later one, to the nearest thousandth; where they are
 * the same, or out of order, the water of the first. count must be > 0. */
int64_t water_mean_mdegc(struct water_series water, int64_t from_s, int64_t to_s);

/* How many readings lie at or before at_s: 0..count. */
int water_count_until(struct water_series water, int64_t at_s);

#endif
