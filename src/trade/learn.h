/* learn: what a farm's own runs say beside the book. A run is one spawn (eggs per kg, hatch,
 * survival to two weeks), one stay in a nursery pond (its survival) or one growing cycle (TGC).
 * Runs count as runs, however many fish were in them; BOOK_LEARN_RUNS (three) of them count as much
 * as the book. Pure; double precision inside, rounded to the nearest.
 *
 * Shares, by a beta prior. n own runs of mean x, the book's m:
 *     mean M = (3 m + n x) / (3 + n)
 *     the next run is beta(M c, (1 - M) c), c = 1 / (d (1 + 1 / (3 + n))) - 1
 * d is how much runs of one farm differ, as a part of M (1 - M): the book's d0, from the book's
 * range, counts three, own runs their own: d = (3 d0 + S / (x (1 - x))) / (3 + n - 1), S the sum of
 * squares about x.
 * Eggs per kg and TGC, by a log-normal: the same with logarithms,
 *     mean M = (3 ln m + sum ln x) / (3 + n),   v = (3 v0 + S) / (3 + n - 1),
 *     the next run is normal(M, v (1 + 1 / (3 + n))) in its logarithm.
 * d0 and v0 are such that with no own run the next run lies in the book's range as often as the
 * book's range says (learn.c names it for each kind). */
#ifndef TRADE_LEARN_H
#define TRADE_LEARN_H

#include <stdbool.h>
#include <stdint.h>

enum learn_kind {
    LEARN_EGGS,    /* eggs in the bowl per kg of female: 1..1 000 000 */
    LEARN_HATCH,   /* share of the eggs, ppm: 0..1 000 000 */
    LEARN_SURVIVE, /* share of the hatched alive at two weeks, ppm */
    LEARN_NURSERY, /* share of two-week fry alive after the nursery pond, ppm */
    LEARN_TGC,     /* millionths: 1..10 000 000 */
    LEARN_KINDS
};

enum learn_season { LEARN_SEASON_UNKNOWN, LEARN_RAINS, LEARN_DRY_SEASON };

enum { LEARN_WATER_UNKNOWN = -1 };

/* Values of runs, to the nearest; -1: over nothing. A part over the whole is over a million: such a
 * run is left out as beyond sense. Counts and weights up to 10^12. */
int64_t learn_share_ppm(int64_t part, int64_t whole);
int64_t learn_per_kg(int64_t count, int64_t weight_mg);

struct learn_run {
    int64_t value;            /* in the unit of its kind */
    int64_t mdegc;            /* mean water of the run, LEARN_WATER_UNKNOWN */
    enum learn_season season; /* when it began */
};

/* The circumstances that are asked about; unknown ones choose nothing. */
struct learn_when {
    int64_t mdegc;
    enum learn_season season;
};

/* Which runs speak. Runs are told apart by water (cold: under BOOK_LEARN_LEAN_DEGC, 23 degC) or
 * else by season only when both sides have at least BOOK_LEARN_SIDE_RUNS (four) runs and their
 * means differ beyond chance (Welch's test, two-sided, BOOK_LEARN_CHANCE). */
enum learn_basis {
    LEARN_BOOK, /* no own run speaks */
    LEARN_ALL,  /* all own runs */
    LEARN_WARM, /* only those of such water */
    LEARN_COLD,
    LEARN_WET, /* only those of such a season */
    LEARN_DRY
};

struct learn_rate {
    enum learn_kind kind;
    enum learn_basis basis;
    bool lean; /* cold water or the dry season, eggs or hatch, and own runs do not yet say that it
                  makes no difference: the book stands at its low end, and only runs of that
                  side speak */
    int own_runs;   /* those that speak */
    int other_runs; /* own runs that do not */
    int unusable;   /* values beyond sense, left out */

    /* In the unit of the kind. */
    int64_t book; /* the prior's middle */
    int64_t own;  /* mean of the runs that speak (of logarithms for eggs and TGC); 0 without any */
    int64_t mean; /* the two together: what is planned with */
    int64_t low, high; /* four runs in five lie between */

    /* For order.h. Shares: the mean, the beta's c; else the logarithm's mean, its variance as the
     * farm's own mean is unsure, and as runs differ. */
    double centre;
    double beta_c;
    double var_farm, var_run;
};

/* Never fails: with count 0, or nothing usable, the book speaks. */
struct learn_rate learn_rate(enum learn_kind kind, const struct learn_run *runs, int count,
                             struct learn_when when);

#endif
