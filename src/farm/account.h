/* account: what things cost and brought, by trade's money.h, in the smallest unit of the farm's
 * currency. Reckoned from the bookings of a state when asked, kept nowhere. Pure.
 *
 * Feed is a cost of the farm when it is bought, and of a pond's cycle as it is given: what was paid
 * for a feed is split over all cycles and what is left of it by weight, so that the parts add up to
 * what was paid. Where some was given or bought without its name all feeds are one. What was given
 * beyond what was bought costs what the farm's price for that feed says now; where there is none it
 * costs nothing, and unpriced_mg says how much that is. Fish are sold when they are sold, paid or
 * owed.
 *
 * Fish that go to a pond, out of another or of a spawn, take with them their share of what was
 * spent where they were until then, by count: of those with them, sold or harvested before, and
 * thought left. Feed counts until then by the weight that was given. What is texted in the first
 * days after stocking or injection is of the beginning. Shares are rounded towards zero, and what
 * one gets the other has not, so that nothing is lost. What one fish cost is over those out and
 * those in. */
#ifndef FARM_ACCOUNT_H
#define FARM_ACCOUNT_H

#include "farm/state.h"
#include "trade/money.h"

struct account {
    enum money_reason reason;     /* MONEY_IMPOSSIBLE: amounts beyond what is taken, all 0 */
    int64_t cost, income, result; /* cost: its own, and what came with its fish, less what went */
    int64_t brought, gone;        /* with fish that came, that went to ponds */
    int64_t feed_cost;            /* of its own cost */
    int64_t priced_mg;            /* of feed given, what the farm's price says, not what was paid */
    int64_t unpriced_mg;          /* of feed given */
    int64_t fish;                 /* out of it and not in another pond, or sold; 0 none */
    int64_t in;                   /* thought in it still; 0 of a span */
    int64_t weight_mg;            /* of those that were weighed */
    struct money_rate each;       /* cost over fish and those in */
    struct money_rate per_kg;     /* cost over weight_mg */
};

/* Of a spawn: its own costs and sales; fish are larvae taken out. */
struct account account_spawn(const struct farm_state *state, const struct spawn *spawn,
                             int64_t now_s);
/* Of a cycle: its own and its pond's while it swims there, and its feed. */
struct account account_cycle(const struct farm_state *state, const struct cycle *cycle,
                             int64_t now_s);
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
