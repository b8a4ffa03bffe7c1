/* Farms and seasons drawn from the distributions that learn.h and order.h state, by means of their
 * own (Box and Muller 1958; Marsaglia and Tsang 2000). The including file has cmocka before it. */
#ifndef TRADE_SEASON_H
#define TRADE_SEASON_H

#include <math.h>

#include "trade/book.h"
#include "trade/order.h"
#include "trade_draw.h"

static inline double even(uint64_t *seed) {
    return ((double)(draw_bits(seed) >> 11) + 0.5) / 9007199254740992.0;
}

static inline double normal(uint64_t *seed) {
    double r = sqrt(-2 * log(even(seed)));
    return r * cos(6.283185307179586 * even(seed));
}

static inline double gamma_of(uint64_t *seed, double shape) {
    if (shape < 1)
        return gamma_of(seed, shape + 1) * pow(even(seed), 1 / shape);
    double d = shape - 1.0 / 3, c = 1 / sqrt(9 * d);
    for (;;) {
        double x = normal(seed), v = 1 + c * x;
        if (v <= 0)
            continue;
        v = v * v * v;
        if (log(even(seed)) < x * x / 2 + d - d * v + d * log(v))
            return d * v;
    }
}

/* A share of this mean whose variance is `part` of mean (1 - mean). */
static inline double share(uint64_t *seed, double mean, double part) {
    double c = 1 / part - 1, a = gamma_of(seed, mean * c), b = gamma_of(seed, (1 - mean) * c);
    return a + b > 0 ? a / (a + b) : mean;
}

/* How much runs of a farm differ, and farms: three to one. From the book's ranges; the quantiles of
 * the normal distribution by R 4.2, qnorm(0.975), qnorm(0.9). */
static inline double run_part(double low, double middle, double high, double quantile) {
    double spread = (high - low) / (2 * quantile);
    return spread * spread * 3 / 4 / (middle * (1 - middle));
}

struct drawn_farm {
    double part[LEARN_KINDS]; /* eggs: the variance of a logarithm */
    double mean[LEARN_KINDS];
    bool lean;
};

/* wild: the spread of the runs, times the book's. lean: eggs and hatch as in cold water, 8000 a kg
 * and 28 % with half the spread. */
static inline struct drawn_farm draw_farm(uint64_t *seed, double wild, bool lean) {
    struct drawn_farm f = {.lean = lean};
    double spread = log(86000.0 / 8000.0) / (2 * 1.959963984540054) * (lean ? 0.5 : 1);
    double eggs = lean ? 8000 : 50000, hatch = lean ? 0.28 : 0.5, half = lean ? 0.215 : 0.43;
    f.part[LEARN_EGGS] = spread * spread * 3 / 4;
    f.part[LEARN_HATCH] = run_part(hatch - half, hatch, hatch + half, 1.959963984540054);
    f.part[LEARN_SURVIVE] = run_part(0.05, 0.6, 0.95, 1.959963984540054);
    f.part[LEARN_NURSERY] = run_part(0.25, 0.5, 0.75, 1.281551565544600);
    f.mean[LEARN_EGGS] = log(eggs) + sqrt(f.part[LEARN_EGGS] / 3) * normal(seed);
    f.mean[LEARN_HATCH] = share(seed, hatch, f.part[LEARN_HATCH] / 3);
    f.mean[LEARN_SURVIVE] = share(seed, 0.6, f.part[LEARN_SURVIVE] / 3);
    f.mean[LEARN_NURSERY] = share(seed, 0.5, f.part[LEARN_NURSERY] / 3);
    for (int k = LEARN_EGGS; k <= LEARN_NURSERY; k++)
        f.part[k] *= wild * wild;
    return f;
}

static inline double draw_run(uint64_t *seed, const struct drawn_farm *f, enum learn_kind kind) {
    if (kind == LEARN_EGGS)
        return exp(f->mean[kind] + sqrt(f->part[kind]) * normal(seed));
    return share(seed, f->mean[kind], f->part[kind]);
}

static inline double draw_season(uint64_t *seed, const struct drawn_farm *f,
                                 const struct order_part *parts, int count, double room) {
    double eggs = 0;
    for (int i = 0; i < count; i++) {
        double own = draw_run(seed, f, LEARN_EGGS) * (double)parts[i].amount / 1e6;
        eggs += even(seed) < 0.875 ? own : 0;
    }
    double fry = eggs * draw_run(seed, f, LEARN_HATCH) * draw_run(seed, f, LEARN_SURVIVE);
    return (fry < room ? fry : room) * draw_run(seed, f, LEARN_NURSERY);
}

#endif
