/* growth: how catfish put on weight in warm water, by the thermal growth coefficient
 *     TGC = 1000 (W2^1/3 - W1^1/3) / (sum of T over the days),   g and degC.
 * The sum counts no degree over 28, because 26-32 degC grew alike. A TGC is carried in millionths
 * (1.16 is 1 160 000), a sum of degrees and days in thousandths. Reckoned in double precision,
 * rounded to the nearest where nothing else is said. Pure.
 *
 * Taken: weights from 1 mg to 100 kg, water from 0 to 45 degC, spans to 10 000 days, a TGC over 0
 * to 10. Anything else is GROWTH_IMPOSSIBLE. The law is known for 20-32 degC only. */
#ifndef TRADE_GROWTH_H
#define TRADE_GROWTH_H

#include <stdbool.h>
#include <stdint.h>

#include "trade/water.h"

enum growth_reason {
    GROWTH_OK,
    GROWTH_IMPOSSIBLE, /* a weight, a temperature, a span or a TGC beyond sense */
    GROWTH_SHRUNK,     /* what should have grown weighs as much as before, or less */
    GROWTH_NO_SAMPLE,  /* nothing was weighed */
    GROWTH_ORDER,      /* samples not in order of time, or a date before the last of them */
    GROWTH_TOO_FAR     /* not within 10 000 days, or a fish over 100 kg */
};

/* The water of a cycle: readings, or with none of them (count 0) one mean for all of it. */
struct growth_water {
    struct water_series series;
    int64_t mean_mdegc;
};

/* Sum of degrees and days from one instant to a later one, in thousandths, no degree over 28. -1
 * when the span or the water is beyond sense. */
int64_t growth_degree_days_milli(const struct growth_water *water, int64_t from_s, int64_t to_s);

struct growth_tgc {
    enum growth_reason reason;
    int64_t tgc_micro;
};
/* The sum is taken as it is given: who wants it capped takes growth_degree_days_milli. */
struct growth_tgc growth_tgc(int64_t from_mg, int64_t to_mg, int64_t degree_days_milli);

struct growth_weight {
    enum growth_reason reason;
    int64_t weight_mg;
};
struct growth_weight growth_weight(int64_t from_mg, int64_t tgc_micro, int64_t degree_days_milli);

struct growth_days {
    enum growth_reason reason;
    int64_t days; /* whole days, rounded up; 0 when it is that heavy already */
};
struct growth_days growth_days(int64_t from_mg, int64_t to_mg, int64_t tgc_micro,
                               int64_t water_mdegc);

/* -- a pond's own samples ---------------------------------------------------------------------- */

/* Fish weighed. error_mg is the standard error of the mean (sample.h); 0: not known, then that of a
 * sample of the book's size and spread. The first may be what was stocked.
 *
 * Or a change: others came in or some went out, so that the mean was all at once so many millionths
 * of what it was, to weight_mg. Nothing was weighed then, and no fish grew: the TGC is the same
 * after it. error_mg is what is not known of the change itself, in the mean after it. */
struct growth_sample {
    int64_t at_s;
    int64_t weight_mg;
    int64_t error_mg;
    int64_t change_ppm; /* 0: weighed; else up to 10^12, a weight of 0 is not looked at */
};

/* low and high: four times in five it lies between them. */
struct growth_range {
    int64_t low, middle, high;
};

/* The error of a sample that says no more than the range: growth told from it alone begins with a
 * range at least as wide. Up to three times the middle, beyond which nothing is known. */
int64_t growth_error_mg(struct growth_range range);

struct growth_fit {
    enum growth_reason reason;
    int intervals;                 /* between weighed samples; 0: the book alone speaks */
    struct growth_range tgc_micro; /* as the pond grows now */
    int64_t own_micro; /* plain least squares over the samples since the last change, without the
                          book; 0: under two samples, or they do not grow */
};

/* Samples in order of time, no two weighed at the same second, the first of them weighed. Least
 * squares on the cube root, stepwise: the book's TGC (1.16, four in five within 0.7-1.9) counts as
 * BOOK_TGC_PRIOR usual intervals, each sample as much as its error allows, and what is older counts
 * less, because a pond's TGC wanders.
 */
struct growth_fit growth_fit(const struct growth_sample *samples, int count,
                             const struct growth_water *water);

struct growth_forecast {
    enum growth_reason reason;
    struct growth_range weight_mg;
};
/* The mean weight at an instant not before the last sample; GROWTH_TOO_FAR when it comes to 100 kg.
 * The range is wider the further the instant lies and narrower the more was weighed. */
struct growth_forecast growth_forecast(const struct growth_sample *samples, int count,
                                       const struct growth_water *water, int64_t at_s);

/* The same at at_s and on the days after it, weight_mg[i] i days later; one fit for all. Anything
 * but GROWTH_OK: weight_mg holds the days before the one that is too far. Days 1 to 10 000. */
enum growth_reason growth_daily(const struct growth_sample *samples, int count,
                                const struct growth_water *water, int64_t at_s, int days,
                                struct growth_range *weight_mg);

struct growth_reach {
    enum growth_reason reason; /* of the middle; low and high stand at the limit if not reached */
    struct growth_range days;  /* from the last sample; low is the soonest. Rounded up */
};
/* When the mean reaches a weight, in the water that is known, which stands still after its last
 * reading. GROWTH_TOO_FAR also for a last sample at the end of time. */
struct growth_reach growth_reach(const struct growth_sample *samples, int count,
                                 const struct growth_water *water, int64_t to_mg);

struct growth_fcr {
    enum growth_reason reason;
    int64_t fcr_milli; /* thousandths: feed over gain */
};
/* Up to 1000 t each. */
struct growth_fcr growth_fcr(int64_t feed_mg, int64_t gained_mg);

/* Of a cycle so far: all feed, what was stocked, what swims now, and what came out (harvested,
 * sold, moved, dead), each as a weight of fish. */
struct growth_fcr growth_fcr_so_far(int64_t feed_mg, int64_t stocked_mg, int64_t now_mg,
                                    int64_t out_mg);

/* Whether the last sample falls behind what earlier ones let expect. Those count that are older by
 * BOOK_BEHIND_DAYS or more, or the first alone when none is: within a fortnight or two a pond that
 * is well may hardly grow, and only over a longer time does the line say more than the noise. */
struct growth_behind {
    enum growth_reason reason;       /* GROWTH_NO_SAMPLE: under two samples */
    struct growth_range expected_mg; /* at the last sample, from those earlier ones */
    int64_t permille;                /* what was weighed over the middle of it, to the nearest */
    bool behind; /* even with its own error added it is under the low end: one healthy pond in ten
                    at the most is called so */
    bool slow;   /* it grew less than a pond of BOOK_TGC_LOW would nine times in ten, since the
                    newest sample so old or since the first: a pond that never grew well expects
                    little of itself */
    int64_t slow_mg; /* what such a pond would weigh */
};
struct growth_behind growth_behind(const struct growth_sample *samples, int count,
                                   const struct growth_water *water);

#endif
