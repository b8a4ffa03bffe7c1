/* money: see money.h. In: amounts, counts, weights as whole numbers. Out: the same. No errors; what
 * cannot be is a reason. Products are taken in 128 bits, so nothing overflows on the way. */
#include "trade/money.h"

enum { MG_KG = 1000000 };

#define AMOUNT_MOST INT64_C(1000000000000000)
#define COUNT_MOST  INT64_C(1000000000000)

static bool sane(__int128 minor) {
    return minor >= -AMOUNT_MOST && minor <= AMOUNT_MOST;
}

/* minor / per to the nearest, halves away from zero; per over 0. */
static __int128 rounded(__int128 minor, __int128 per) {
    return minor < 0 ? -((-2 * minor + per) / (2 * per)) : (2 * minor + per) / (2 * per);
}

static struct money money_of(__int128 minor) {
    if (!sane(minor))
        return (struct money){MONEY_IMPOSSIBLE, 0};
    return (struct money){MONEY_OK, (int64_t)minor};
}

struct money money_add(int64_t a_minor, int64_t b_minor) {
    if (!sane(a_minor) || !sane(b_minor))
        return (struct money){MONEY_IMPOSSIBLE, 0};
    return money_of((__int128)a_minor + b_minor);
}

struct money money_times(int64_t price_minor, int64_t count) {
    if (!sane(price_minor) || count < 0 || count > COUNT_MOST)
        return (struct money){MONEY_IMPOSSIBLE, 0};
    return money_of((__int128)price_minor * count);
}

struct money money_for_weight(int64_t price_kg_minor, int64_t weight_mg) {
    if (!sane(price_kg_minor) || weight_mg < 0 || weight_mg > COUNT_MOST)
        return (struct money){MONEY_IMPOSSIBLE, 0};
    return money_of(rounded((__int128)price_kg_minor * weight_mg, MG_KG));
}

static __int128 common(__int128 a, __int128 b) {
    while (b != 0) {
        __int128 rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

/* In lowest terms both fit: the count is at most 10^12, the amount times 10^6 at most 10^21 only
 * where it has that factor no longer in common, which is refused. */
static struct money_rate rate_of(__int128 minor, __int128 per) {
    __int128 factor = common(minor, per), top = minor / factor;
    struct money_rate rate = {.reason = MONEY_IMPOSSIBLE};
    if (top > INT64_MAX || top < -INT64_MAX || !sane(rounded(minor, per)))
        return rate;
    rate.reason = MONEY_OK;
    rate.minor = (int64_t)top;
    rate.per = (int64_t)(per / factor);
    rate.rounded = (int64_t)rounded(minor, per);
    rate.milli = (int64_t)rounded(minor * 1000, per);
    return rate;
}

struct money_rate money_each(int64_t cost_minor, int64_t count) {
    if (!sane(cost_minor) || count < 0 || count > COUNT_MOST)
        return (struct money_rate){.reason = MONEY_IMPOSSIBLE};
    if (count == 0)
        return (struct money_rate){.reason = MONEY_NOTHING};
    return rate_of(cost_minor, count);
}

struct money_rate money_per_kg(int64_t cost_minor, int64_t weight_mg) {
    if (!sane(cost_minor) || weight_mg < 0 || weight_mg > COUNT_MOST)
        return (struct money_rate){.reason = MONEY_IMPOSSIBLE};
    if (weight_mg == 0)
        return (struct money_rate){.reason = MONEY_NOTHING};
    return rate_of((__int128)cost_minor * MG_KG, weight_mg);
}

enum money_reason money_split(int64_t cost_minor, const int64_t *weights, int count,
                              int64_t *parts_minor) {
    __int128 remainders[MONEY_PARTS_MAX], sum = 0;
    if (count <= 0 || count > MONEY_PARTS_MAX || !sane(cost_minor))
        return MONEY_IMPOSSIBLE;
    for (int i = 0; i < count; i++) {
        if (weights[i] < 0 || weights[i] > COUNT_MOST)
            return MONEY_IMPOSSIBLE;
        sum += weights[i];
    }
    if (sum == 0)
        return MONEY_NOTHING;
    int64_t sign = cost_minor < 0 ? -1 : 1, left = cost_minor * sign;
    __int128 whole = left;
    for (int i = 0; i < count; i++) {
        parts_minor[i] = (int64_t)(whole * weights[i] / sum);
        remainders[i] = whole * weights[i] % sum;
        left -= parts_minor[i];
    }
    for (; left > 0; left--) {
        int largest = 0;
        for (int i = 1; i < count; i++)
            if (remainders[i] > remainders[largest])
                largest = i;
        parts_minor[largest]++;
        remainders[largest] = -1;
    }
    for (int i = 0; i < count; i++)
        parts_minor[i] *= sign;
    return MONEY_OK;
}

struct money_debt money_debt(const struct money_move *moves, int count) {
    __int128 sold = 0, paid = 0;
    for (int i = 0; i < count; i++) {
        if (moves[i].minor < 0 || !sane(moves[i].minor))
            return (struct money_debt){.reason = MONEY_IMPOSSIBLE};
        if (moves[i].kind == MONEY_SOLD)
            sold += moves[i].minor;
        else
            paid += moves[i].kind == MONEY_PAID ? moves[i].minor : -(__int128)moves[i].minor;
    }
    if (!sane(sold) || !sane(paid) || !sane(sold - paid))
        return (struct money_debt){.reason = MONEY_IMPOSSIBLE};
    return (struct money_debt){sold < paid ? MONEY_OVER : MONEY_OK, (int64_t)sold, (int64_t)paid,
                               (int64_t)(sold - paid)};
}

struct money_account money_account(const struct money_line *lines, int count) {
    __int128 cost = 0, income = 0;
    for (int i = 0; i < count; i++) {
        if (lines[i].minor < 0 || !sane(lines[i].minor))
            return (struct money_account){.reason = MONEY_IMPOSSIBLE};
        if (lines[i].income)
            income += lines[i].minor;
        else
            cost += lines[i].minor;
    }
    if (!sane(cost) || !sane(income) || !sane(income - cost))
        return (struct money_account){.reason = MONEY_IMPOSSIBLE};
    return (struct money_account){MONEY_OK, (int64_t)cost, (int64_t)income,
                                  (int64_t)(income - cost)};
}
