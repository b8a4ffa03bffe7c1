/* Ponds drawn by a seed as growth.c says that they grow, by the numbers of the book: the TGC of a
 * pond from the book's range, months that differ, a TGC that wanders. The including file has cmocka
 * before it. */
#ifndef TRADE_DRAWN_H
#define TRADE_DRAWN_H

#include <math.h>

#include "trade/book.h"
#include "trade/growth.h"
#include "trade_draw.h"

enum { DAY_S = 86400 };

/* The root of the mean weight in g, and ln TGC. */
struct drawn {
    double root, log_tgc;
};

static inline double drawn_evenly(uint64_t *seed) { /* over 0 to 1 */
    return ((double)(draw_bits(seed) >> 11) + 0.5) / 0x1p53;
}

static inline double drawn_bell(uint64_t *seed) {
    double u = drawn_evenly(seed), v = drawn_evenly(seed);
    return sqrt(-2 * log(u)) * cos(2 * 3.14159265358979323846 * v);
}

static inline double drawn_log_spread(void) {
    return log(book_number(BOOK_TGC_HIGH) / book_number(BOOK_TGC_LOW)) / (2 * 1.2815515655446004);
}

static inline struct drawn drawn_pond(double g, uint64_t *seed) {
    return (struct drawn){cbrt(g),
                          log(book_number(BOOK_TGC_USUAL)) + drawn_log_spread() * drawn_bell(seed)};
}

/* So many thousands of degree-days on, a day's worth. */
static inline void drawn_step(struct drawn *p, double kilo, uint64_t *seed) {
    double usual_kilo = book_number(BOOK_TGC_INTERVAL_DAYS) * book_number(BOOK_TGC_WARMEST) / 1000;
    double interval = drawn_log_spread() * sqrt(book_number(BOOK_TGC_PRIOR) * usual_kilo);
    double tgc = exp(p->log_tgc);
    p->root += tgc * kilo + tgc * interval * sqrt(kilo) * drawn_bell(seed);
    p->log_tgc += book_number(BOOK_TGC_WANDER) * sqrt(kilo) * drawn_bell(seed);
}

static inline double drawn_g(const struct drawn *p) {
    return p->root > 0 ? p->root * p->root * p->root : 1e-6;
}

/* Thirty fish of a spread of 0.4. */
static inline struct growth_sample drawn_weigh(const struct drawn *p, int day, uint64_t *seed) {
    double mg = drawn_g(p) * 1000, relative = 0.4 / sqrt(30.0);
    double got = mg * (1 + relative * drawn_bell(seed));
    got = got > 1 ? got : 1;
    return (struct growth_sample){(int64_t)day * DAY_S, (int64_t)(got + 0.5),
                                  (int64_t)(got * relative) + 1};
}

#endif
