/* progress: how far a fish or her eggs have come in water that changes. The share done is the
 * integral of dt / L(T(t)), T as in water.h and L the table's hours, straight on log L between
 * rows. Worked out in closed form, so the result does not depend on a step. Pure.
 *
 * Valid where the table is: 20..30 degC, both ends included. Water that leaves that range before
 * the share is reached gives no instant. */
#ifndef TRADE_PROGRESS_H
#define TRADE_PROGRESS_H

#include "trade/book.h"
#include "trade/water.h"

enum progress_status {
    PROGRESS_OK,
    PROGRESS_NO_WATER, /* no reading at all */
    PROGRESS_COLD,     /* the water fell below the table */
    PROGRESS_WARM      /* the water rose above the table */
};

struct progress {
    enum progress_status status;
    int64_t at_s; /* PROGRESS_OK: UTC seconds, rounded down; else 0 */
    /* PROGRESS_COLD, PROGRESS_WARM: the instant at which the water left the range, as one comes to
     * it from the given end, and the temperature that says so: at the given end if it is outside
     * there, else the next reading, which is what somebody read. Else 0. */
    int64_t outside_s;
    int64_t outside_mdegc;
};

/* The instant at which the integral from from_s reaches share. A share of 0 or less is from_s. An
 * instant past the end of int64_t stops there. */
struct progress progress_reach(const struct book_table *table, struct water_series water,
                               int64_t from_s, double share);

/* Backwards: the instant to begin so that share is reached at until_s. */
struct progress progress_start(const struct book_table *table, struct water_series water,
                               int64_t until_s, double share);

/* The integral from from_s to to_s; 0 when to_s is not later. When the water leaves the range
 * *status says so and the result is the share until then. */
double progress_share(const struct book_table *table, struct water_series water, int64_t from_s,
                      int64_t to_s, enum progress_status *status);

/* The table's hours at one temperature, for showing the arithmetic; 0 when it is outside. */
double progress_hours(const struct book_table *table, int64_t mdegc, enum progress_status *status);

/* The hour as people are shown it and reminded: the nearest five minutes, the earlier of two
 * equally near. So it is never later than computed by 150 seconds or more, nor earlier by more. */
int64_t progress_show(int64_t at_s);

#endif
