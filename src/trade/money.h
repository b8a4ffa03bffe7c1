/* money: exact sums in the smallest unit of a currency (currency.h says how many make one). No
 * fraction is kept anywhere but as two whole numbers. Rounding is to the nearest, halves away from
 * zero. Pure.
 *
 * Amounts up to 10^15 either way; counts up to 10^12. Anything beyond, and what comes out beyond,
 * is MONEY_IMPOSSIBLE with amounts of 0. */
#ifndef TRADE_MONEY_H
#define TRADE_MONEY_H

#include <stdbool.h>
#include <stdint.h>

enum money_reason {
    MONEY_OK,
    MONEY_IMPOSSIBLE, /* beyond what is taken */
    MONEY_NOTHING,    /* divided among no fish, no weight */
    MONEY_OVER        /* paid more than was owed; the amounts stand */
};

struct money {
    enum money_reason reason;
    int64_t minor;
};

struct money money_add(int64_t a_minor, int64_t b_minor);
struct money money_times(int64_t price_minor, int64_t count);
/* A price for a kilogram. */
struct money money_for_weight(int64_t price_kg_minor, int64_t weight_mg);

/* What one of `count` costs: exactly minor / count, and rounded. */
struct money_rate {
    enum money_reason reason;
    int64_t minor, per; /* the fraction in lowest terms, per over 0 */
    int64_t rounded;    /* minor units */
    int64_t milli;      /* thousandths of the minor unit, rounded: for small fish */
};
struct money_rate money_each(int64_t cost_minor, int64_t count);
struct money_rate money_per_kg(int64_t cost_minor, int64_t weight_mg);

/* One cost over several by weight: parts add up to it exactly. Each gets its share rounded towards
 * zero; the units left go one each to the largest remainders, of equal ones to the earlier. Weights
 * 0..10^12, not all 0, at most MONEY_PARTS_MAX. */
enum { MONEY_PARTS_MAX = 256 };
enum money_reason money_split(int64_t cost_minor, const int64_t *weights, int count,
                              int64_t *parts_minor);

/* What happened with one buyer, in order. */
enum money_kind {
    MONEY_SOLD,
    MONEY_PAID,
    MONEY_BACK /* paid back to the buyer, or taken off what he owes below 0 */
};
struct money_move {
    enum money_kind kind;
    int64_t minor; /* 0 or more */
};
struct money_debt {
    enum money_reason reason; /* MONEY_OVER: he has paid too much; MONEY_IMPOSSIBLE */
    int64_t sold, paid;       /* paid: less what was paid back */
    int64_t owed;             /* sold - paid, under 0 when he has paid too much */
};
struct money_debt money_debt(const struct money_move *moves, int count);

/* A spawn, a pond, a month: what it cost, what it brought. */
struct money_line {
    bool income;
    int64_t minor; /* 0 or more */
};
struct money_account {
    enum money_reason reason;
    int64_t cost, income, result; /* income - cost */
};
struct money_account money_account(const struct money_line *lines, int count);

#endif
