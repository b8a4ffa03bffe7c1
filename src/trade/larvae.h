/* larvae: how many may hatch and live, how many a tank holds, how fine their food is. Ranges are
 * those of the papers, the middle is what is planned with. Pure. Counts, volumes and lengths below
 * 0 read as 0 and above 10^12 as that. */
#ifndef TRADE_LARVAE_H
#define TRADE_LARVAE_H

#include <stdint.h>

struct larvae_range {
    int64_t low, middle, high;
};

/* From live eggs: low and high are those of the seasons (de Graaf et al. 1995). */
struct larvae_range larvae_hatched(int64_t eggs);

/* Of so many hatched, alive after so many hours: each share falls straight from 1 at the hatch to
 * the book's at two weeks and stands still then. */
struct larvae_range larvae_at(int64_t hatched, int64_t hours);

/* The same as shares of the hatched at that age: 1 at the hatch and before, never 0. */
struct larvae_shares {
    double low, middle, high;
};
struct larvae_shares larvae_shares(int64_t hours);

/* A count of those alive on two figures, to the nearest: more would be false precision. */
int64_t larvae_round(int64_t count);

int64_t eggs_tank_most(int64_t volume_ml);   /* eggs in still water, rounded down */
int64_t larvae_tank_good(int64_t volume_ml); /* larvae, rounded down */
int64_t larvae_tank_most(int64_t volume_ml);

int64_t larvae_grain_um(int64_t length_um); /* grain of feed for a body so long */

/* Growth between two weights, as ppm of the weight a day (compound: the difference of the
 * logarithms); below 0 when it fell, 0 when a weight or the days are not above 0. */
int64_t larvae_growth_ppm_day(int64_t from_ug, int64_t to_ug, int64_t days);

#endif
