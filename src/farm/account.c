/* account: see account.h. In: a state; out: sums by trade's money. No errors: amounts beyond what
 * is taken are MONEY_IMPOSSIBLE. Limits: of more than PARTS_MOST cycles that were fed the oldest
 * share one part of the feed's cost; what a spawn cost is not passed on to the ponds its fry went
 * to; fish that went from pond to pond are counted out of each. */
#include "farm/account.h"

#include "farm/growing.h"

enum { PARTS_MOST = MONEY_PARTS_MAX - 2, UG_MG = 1000 };
#define WEIGHT_MOST_MG INT64_C(1000000000000)

/* -- sums ----------------------------------------------------------------------------------------
 */

/* Running sums; one that goes beyond what is taken stays beyond. */
struct sums {
    bool beyond;
    int64_t cost, income, feed_cost;
};

static void sum(struct sums *s, int64_t *to, int64_t minor) {
    struct money m = money_add(*to, minor);
    s->beyond |= m.reason != MONEY_OK;
    *to = m.minor;
}

static int64_t capped(int64_t weight_mg) {
    return weight_mg < WEIGHT_MOST_MG ? weight_mg : WEIGHT_MOST_MG;
}

static void book_in(struct sums *s, const struct booking *b) {
    if (b->kind == BOOKING_COST)
        sum(s, &s->cost, b->minor);
    else if (b->kind == BOOKING_INCOME)
        sum(s, &s->income, b->minor);
}

static struct account account_of(const struct sums *s, int64_t unpriced_mg, int64_t fish,
                                 int64_t weight_mg) {
    const struct money_line lines[] = {{false, s->cost}, {true, s->income}};
    struct money_account sum = money_account(lines, 2);
    struct account a = {.reason = s->beyond ? MONEY_IMPOSSIBLE : sum.reason,
                        .unpriced_mg = unpriced_mg,
                        .fish = fish,
                        .weight_mg = weight_mg};
    if (a.reason == MONEY_OK) {
        a.cost = sum.cost;
        a.income = sum.income;
        a.result = sum.result;
        a.feed_cost = s->feed_cost;
    }
    a.each = money_each(a.cost, a.reason == MONEY_OK ? fish : 0);
    a.per_kg = money_per_kg(a.cost, a.reason == MONEY_OK ? weight_mg : 0);
    return a;
}

/* -- feed ----------------------------------------------------------------------------------------
 */

/* Everything without its name: which of the feeds it was nobody knows. */
static bool one_pool(const struct farm_state *state) {
    for (int i = 0; i < state->booking_count; i++)
        if (state->bookings[i].weight_mg && state->bookings[i].kind == BOOKING_COST &&
            !state->bookings[i].feed)
            return true;
    for (int i = 0; i < state->pond_count; i++)
        for (int k = 0; k < state->ponds[i].given_count; k++)
            if (!state->ponds[i].given[k].feed)
                return true;
    return false;
}

static bool in_cycle(const struct cycle *c, int64_t at_s) {
    return at_s >= c->stocked_s && (!c->closed_s || at_s < c->closed_s);
}

/* The cycle that swam in the pond then, the newest of two; NULL: none. */
static const struct cycle *cycle_at(const struct farm_state *state, int pond, int64_t at_s) {
    for (int i = state->cycle_count - 1; i >= 0; i--)
        if (state->cycles[i].pond == pond && in_cycle(&state->cycles[i], at_s))
            return &state->cycles[i];
    return NULL;
}

/* One feed: what was paid for it and who had it. Part 0 is what no cycle had: given to empty ponds,
 * given to the oldest of very many cycles, or left. */
struct pool {
    int64_t bought_mg, given_mg;
    int64_t weights[PARTS_MOST + 1];
    int64_t parts[PARTS_MOST + 1];
    int first; /* index of the cycle of part 1 */
    int count;
};

static void pool_give(const struct farm_state *state, struct pool *pool, const struct pond *pond,
                      int64_t feed) {
    for (int k = 0; k < pond->given_count; k++) {
        const struct given *g = &pond->given[k];
        if (feed && g->feed != feed)
            continue;
        const struct cycle *c = cycle_at(state, pond->number, g->at_s);
        int64_t at = c ? c - state->cycles - pool->first + 1 : 0;
        at = at > 0 ? at : 0;
        pool->weights[at] = capped(pool->weights[at] + g->feed_mg);
        pool->given_mg = capped(pool->given_mg + g->feed_mg);
    }
}

/* Splits what was paid for `feed` (0: for all feed) by who had it. False: nothing was paid, or
 * amounts are beyond. */
static bool pool_split(const struct farm_state *state, int64_t feed, struct pool *pool,
                       struct sums *s) {
    int64_t paid = 0;
    *pool = (struct pool){.count = state->cycle_count};
    if (pool->count > PARTS_MOST) {
        pool->first = pool->count - PARTS_MOST;
        pool->count = PARTS_MOST;
    }
    for (int i = 0; i < state->booking_count; i++) {
        const struct booking *b = &state->bookings[i];
        if (b->kind != BOOKING_COST || !b->weight_mg || (feed && b->feed != feed))
            continue;
        sum(s, &paid, b->minor);
        pool->bought_mg = capped(pool->bought_mg + b->weight_mg);
    }
    for (int i = 0; i < state->pond_count; i++)
        pool_give(state, pool, &state->ponds[i], feed);
    if (pool->bought_mg > pool->given_mg)
        pool->weights[0] = capped(pool->weights[0] + pool->bought_mg - pool->given_mg);
    return pool->bought_mg > 0 && !s->beyond &&
           money_split(paid, pool->weights, pool->count + 1, pool->parts) == MONEY_OK;
}

/* Its share of one feed, or of all. */
static int64_t feed_of(const struct farm_state *state, const struct cycle *c, int64_t feed,
                       struct sums *s) {
    struct pool pool;
    int64_t at = c - state->cycles;
    bool paid = pool_split(state, feed, &pool, s);
    if (at < pool.first)
        return 0;
    at = at - pool.first + 1;
    if (paid)
        sum(s, &s->feed_cost, pool.parts[at]);
    return paid ? 0 : pool.weights[at];
}

/* Returns what was given to it of feeds that were never paid for. */
static int64_t feed_cost(const struct farm_state *state, const struct cycle *c, struct sums *s) {
    if (one_pool(state))
        return feed_of(state, c, 0, s);
    int64_t unpriced_mg = 0;
    for (int i = 0; i < state->feed_count; i++)
        unpriced_mg = capped(unpriced_mg + feed_of(state, c, state->feeds[i].feed, s));
    return unpriced_mg;
}

/* -- accounts ------------------------------------------------------------------------------------
 */

struct account account_spawn(const struct farm_state *state, const struct spawn *spawn) {
    struct sums s = {0};
    int64_t out = 0;
    for (int i = 0; i < state->booking_count; i++)
        if (state->bookings[i].of == SUBJECT_SPAWN && state->bookings[i].subject == spawn->number)
            book_in(&s, &state->bookings[i]);
    for (int i = 0; i < spawn->event_count; i++)
        out += spawn->events[i].what == LARVAE_TAKEN ? spawn->events[i].count : 0;
    return account_of(&s, 0, out, 0);
}

/* Of a pond, while it swims there. */
static bool of_cycle(const struct cycle *c, const struct booking *b) {
    if (b->of == SUBJECT_CYCLE)
        return b->subject == c->number;
    return b->of == SUBJECT_POND && b->subject == c->pond && in_cycle(c, b->at_s);
}

struct account account_cycle(const struct farm_state *state, const struct cycle *cycle) {
    struct sums s = {0};
    int64_t weight_mg = 0;
    for (int i = 0; i < state->booking_count; i++)
        if (of_cycle(cycle, &state->bookings[i]))
            book_in(&s, &state->bookings[i]);
    int64_t unpriced_mg = feed_cost(state, cycle, &s);
    sum(&s, &s.cost, s.feed_cost);
    for (int i = 0; i < cycle->event_count; i++) {
        const struct fish_event *e = &cycle->events[i];
        if (e->kind == FISH_TAKEN || e->kind == FISH_BIG)
            weight_mg += growing_weight_mg(e->count, e->mean_ug);
        weight_mg = capped(weight_mg);
    }
    return account_of(&s, unpriced_mg, cycle->out, weight_mg);
}

struct account account_span(const struct farm_state *state, int64_t from_s, int64_t to_s) {
    struct sums s = {0};
    int64_t fish = 0, weight_mg = 0;
    for (int i = 0; i < state->booking_count; i++) {
        const struct booking *b = &state->bookings[i];
        if (b->at_s < from_s || b->at_s >= to_s)
            continue;
        book_in(&s, b);
        if (b->kind == BOOKING_COST && b->weight_mg)
            sum(&s, &s.feed_cost, b->minor);
        if (b->kind == BOOKING_INCOME) {
            fish = capped(fish + b->count);
            weight_mg = capped(weight_mg + b->weight_mg);
        }
    }
    return account_of(&s, 0, fish, weight_mg);
}

/* -- debts ---------------------------------------------------------------------------------------
 */

struct account_debt account_debt(const struct farm_state *state, int64_t buyer) {
    struct sums s = {0};
    struct account_debt d = {.buyer = buyer};
    int64_t sold = 0, paid = 0, back = 0;
    for (int i = 0; i < state->booking_count; i++) {
        const struct booking *b = &state->bookings[i];
        if (b->kind == BOOKING_COST || b->party != buyer)
            continue;
        if (b->kind == BOOKING_INCOME)
            sum(&s, &sold, b->minor);
        if (b->kind == BOOKING_PAID || (b->kind == BOOKING_INCOME && b->paid))
            sum(&s, &paid, b->minor);
        if (b->kind == BOOKING_BACK)
            sum(&s, &back, b->minor);
        d.last_s = b->at_s;
    }
    const struct money_move moves[] = {{MONEY_SOLD, sold}, {MONEY_PAID, paid}, {MONEY_BACK, back}};
    d.debt = s.beyond ? (struct money_debt){.reason = MONEY_IMPOSSIBLE} : money_debt(moves, 3);
    return d;
}

static int64_t size_of(const struct account_debt *d) {
    return d->debt.owed < 0 ? -d->debt.owed : d->debt.owed;
}

static bool seen_before(const struct farm_state *state, int at) {
    for (int i = 0; i < at; i++)
        if (state->bookings[i].kind != BOOKING_COST &&
            state->bookings[i].party == state->bookings[at].party)
            return true;
    return false;
}

int account_debts(const struct farm_state *state, struct account_debt *out, int most) {
    int n = 0;
    for (int i = 0; i < state->booking_count; i++) {
        if (state->bookings[i].kind == BOOKING_COST || seen_before(state, i))
            continue;
        struct account_debt d = account_debt(state, state->bookings[i].party);
        if (!d.debt.owed && d.debt.reason != MONEY_IMPOSSIBLE)
            continue;
        int at = n < most ? n++ : n;
        for (; at > 0 && size_of(&out[at - 1]) < size_of(&d); at--)
            if (at < most)
                out[at] = out[at - 1];
        if (at < most)
            out[at] = d;
    }
    return n;
}
