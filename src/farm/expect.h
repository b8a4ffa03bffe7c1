/* expect: what is thought to come of each open order now, against what was promised when it was
 * accepted. Reckoned by trade's order.h from a state when asked, kept nowhere. Pure.
 *
 * To an order belong the spawns that were injected for its plans, the cycles that were stocked from
 * them, and the females of its open plans. Orders whose own do not give enough have what is there
 * or planned and belongs to no other, then what others have over what they ask for: the earliest
 * day first, each fish once. All are held to the order's chain: what is later than it by over
 * EXPECT_LATE_DAYS does not come in time. */
#ifndef FARM_EXPECT_H
#define FARM_EXPECT_H

#include "base/zone.h"
#include "farm/state.h"
#include "trade/order.h"

enum { EXPECT_LATE_DAYS = 3, EXPECT_ORDERS_MAX = 64 };

struct expect {
    int64_t order;            /* its number */
    int64_t left;             /* still to be delivered */
    enum order_reason reason; /* ORDER_SMALL, ORDER_LARGE, ORDER_DAY: only what swims in ponds
                                 counts, by its weight */
    struct order_part parts[ORDER_PARTS_MAX]; /* its own, for order_outlook */
    int part_count;
    bool pond;        /* they grow in a pond: not fry of two weeks */
    int64_t room;     /* fry that its ponds take, ORDER_NO_LIMIT */
    int females;      /* to be injected, or injected and not stripped */
    int64_t in_ponds; /* of the size by the day, its own */
    int64_t others;   /* of spare: over what others ask for */
    int64_t spare;    /* promised from what is of no order, or over what others ask for */
    /* Delivered ones included: what can be compared with what was promised. */
    int64_t promise, middle, high;
    int64_t promised; /* as it was accepted */
    int fall_tenths;  /* by so many whole tenths the promise lies under it; 0: not in danger */
};

/* The water that orders are planned with: the hatchery's of the last month, else the book's (then
 * guessed), within what the tables know. */
int64_t expect_water(const struct farm_state *state, int64_t now_s, bool *guessed);

/* Odds for expect_orders: made once, with the rates of now. About 72 KB. */
void expect_odds(const struct farm_state *state, int64_t now_s, struct order_odds *out);

/* The open orders, the earliest day first, at most `most` (EXPECT_ORDERS_MAX); returns how many. */
int expect_orders(const struct farm_state *state, const struct zone *zone, int64_t now_s,
                  const struct order_odds *odds, struct expect *out, int most);

#endif
