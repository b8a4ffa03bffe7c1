/* account: what things cost and brought, by trade's money.h, in the smallest unit of the farm's
 * currency. Reckoned from the bookings of a state when asked, kept nowhere. Pure.
 *
 * Feed is a cost of the farm when it is bought, and of a pond's cycle as it is given: what was paid
 * for a feed is split over all cycles and what is left of it by weight, so that the parts add up to
 * what was paid. Where some was given or bought without its name all feeds are one. Feed that was
 * given and never paid for by that name costs nothing, and unpriced_mg says how much that is. Fish
 * are sold when they are sold, paid or owed. */
#ifndef FARM_ACCOUNT_H
#define FARM_ACCOUNT_H

#include "farm/state.h"
#include "trade/money.h"

struct account {
    enum money_reason reason; /* MONEY_IMPOSSIBLE: amounts beyond what is taken, all 0 */
    int64_t cost, income, result;
    int64_t feed_cost;        /* of the cost */
    int64_t unpriced_mg;      /* of feed given */
    int64_t fish;             /* out of it, or sold; 0 none */
    int64_t weight_mg;        /* of those that were weighed */
    struct money_rate each;   /* cost over fish */
    struct money_rate per_kg; /* cost over weight_mg */
};

/* Of a spawn: its own costs and sales; fish are larvae taken out. */
struct account account_spawn(const struct farm_state *state, const struct spawn *spawn);
/* Of a cycle: its own and its pond's while it swims there, and its feed. */
struct account account_cycle(const struct farm_state *state, const struct cycle *cycle);
/* All that was booked from one instant to another, the second not included: a month, the farm. Fish
 * and weight are those that were sold. */
struct account account_span(const struct farm_state *state, int64_t from_s, int64_t to_s);

struct account_debt {
    int64_t buyer;  /* party, 0: not said who */
    int64_t last_s; /* the last sale or payment */
    struct money_debt debt;
};
struct account_debt account_debt(const struct farm_state *state, int64_t buyer);
/* Those who owe, or have paid too much, the largest sum first; returns how many. */
int account_debts(const struct farm_state *state, struct account_debt *out, int most);

#endif
