/* latency: from the injection to the hours at which the female is looked at. The table's time is
 * the earliest claim of the sources, so it is the first look and not an order to strip. Pure.
 * Valid in water of 20..30 degC; each hour has its own status, a later one may be unknown when an
 * earlier one is known. */
#ifndef TRADE_LATENCY_H
#define TRADE_LATENCY_H

#include "trade/progress.h"

struct latency {
    struct progress look; /* first look */
    struct progress most; /* most fish are ready by then (BOOK_READY_MOST) */
    struct progress end;  /* no eggs by then: rest her (BOOK_READY_END) */
};

struct latency latency_of(struct water_series water, int64_t injected_s);

/* Read backwards: when to inject so that the first look falls at look_s. */
struct progress latency_plan(struct water_series water, int64_t look_s);

#endif
