/* account: see account.h. In: a state; out: sums by trade's money. No errors: amounts beyond what
 * is taken are MONEY_IMPOSSIBLE. Limits: of more than PARTS_MOST cycles that were fed the oldest
 * share one part of the feed's cost, and nothing of it goes with their fish; feeds of several
 * prices go with fish at their mean; of prices the last said holds for all that was given. */
#include "farm/account.h"

#include "farm/growing.h"

enum {
    PARTS_MOST = MONEY_PARTS_MAX - 2,
    KG_MG = 1000000,
    BEGIN_S = 7 * 86400 /* our own bound: within a week it is texted what fish cost */
};
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

/* What one of a whole got of minor, rounded towards zero. */
static int64_t share_of(int64_t minor, int64_t part, int64_t whole) {
    return whole > 0 ? (int64_t)((__int128)minor * part / whole) : 0;
}

static struct account account_of(const struct sums *s, int64_t fish, int64_t in,
                                 int64_t weight_mg) {
    const struct money_line lines[] = {{false, s->cost}, {true, s->income}};
    struct money_account sum = money_account(lines, 2);
    struct account a = {.reason = s->beyond ? MONEY_IMPOSSIBLE : sum.reason,
                        .fish = fish,
                        .in = in,
                        .weight_mg = weight_mg};
    if (a.reason == MONEY_OK) {
        a.cost = sum.cost;
        a.income = sum.income;
        a.result = sum.result;
        a.feed_cost = s->feed_cost;
    }
    a.each = money_each(a.cost, a.reason == MONEY_OK ? fish + in : 0);
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

/* The farm's price of a feed; of feed without a name the only one there is. */
static const struct price *feed_price(const struct farm_state *state, int64_t feed) {
    const struct price *only = farm_price(state, PRICE_FEED, feed);
    for (int i = 0; i < state->price_count && !feed && !only; i++)
        if (state->prices[i].thing == PRICE_FEED && state->prices[i].minor) {
            for (int k = i + 1; k < state->price_count; k++)
                if (state->prices[k].thing == PRICE_FEED && state->prices[k].minor)
                    return NULL;
            only = &state->prices[i];
        }
    return only;
}

/* What so much of it costs by the farm's price. False: there is none by weight. */
static bool by_price(const struct farm_state *state, int64_t feed, int64_t weight_mg,
                     struct sums *s, int64_t *minor) {
    const struct price *p = feed_price(state, feed);
    const struct measure_size *size =
        p && p->per == PRICE_MEASURE ? farm_measure(state, p->measure, p->party) : NULL;
    int64_t per_mg = !p ? 0 : p->per == PRICE_KG ? KG_MG : size ? size->weight_mg : 0;
    if (per_mg <= 0 || weight_mg <= 0)
        return false;
    __int128 cost = ((__int128)p->minor * weight_mg + per_mg / 2) / per_mg;
    s->beyond |= cost > INT64_C(1000000000000000); /* as money takes them */
    *minor = s->beyond ? 0 : (int64_t)cost;
    return true;
}

/* What all cycles got, and what went on with fish. Of those before the first: nothing. */
struct books {
    int first, count;
    int64_t feed[PARTS_MOST], priced_mg[PARTS_MOST], unpriced_mg[PARTS_MOST];
    int64_t brought[PARTS_MOST], gone[PARTS_MOST];
    int64_t spawn_gone; /* of the spawn that is asked for */
};

/* Splits what was paid for `feed` (0: for all feed), and what its price says of the rest, by who
 * had it. */
static void pool_split(const struct farm_state *state, int64_t feed, struct books *b,
                       struct sums *s) {
    struct pool pool = {.first = b->first, .count = b->count};
    int64_t paid = 0, rest = 0;
    for (int i = 0; i < state->booking_count; i++) {
        const struct booking *k = &state->bookings[i];
        if (k->kind != BOOKING_COST || !k->weight_mg || (feed && k->feed != feed))
            continue;
        sum(s, &paid, k->minor);
        pool.bought_mg = capped(pool.bought_mg + k->weight_mg);
    }
    for (int i = 0; i < state->pond_count; i++)
        pool_give(state, &pool, &state->ponds[i], feed);
    int64_t over_mg = pool.given_mg > pool.bought_mg ? pool.given_mg - pool.bought_mg : 0;
    bool priced = by_price(state, feed, over_mg, s, &rest);
    if (priced)
        sum(s, &paid, rest);
    if (pool.bought_mg > pool.given_mg)
        pool.weights[0] = capped(pool.weights[0] + pool.bought_mg - pool.given_mg);
    bool split = (pool.bought_mg > 0 || priced) && !s->beyond &&
                 money_split(paid, pool.weights, pool.count + 1, pool.parts) == MONEY_OK;
    for (int i = 0; i < pool.count; i++) {
        int64_t mg = share_of(over_mg, pool.weights[i + 1], pool.given_mg);
        if (split)
            sum(s, &b->feed[i], pool.parts[i + 1]);
        if (priced)
            b->priced_mg[i] = capped(b->priced_mg[i] + mg);
        else
            b->unpriced_mg[i] = capped(b->unpriced_mg[i] + mg);
    }
}

static void books_feed(const struct farm_state *state, struct books *b, struct sums *s) {
    if (one_pool(state))
        pool_split(state, 0, b, s);
    else
        for (int i = 0; i < state->feed_count; i++)
            pool_split(state, state->feeds[i].feed, b, s);
}

/* -- with fish -----------------------------------------------------------------------------------
 */

/* Of a pond, while it swims there. */
static bool of_cycle(const struct cycle *c, const struct booking *b) {
    if (b->of == SUBJECT_CYCLE)
        return b->subject == c->number;
    return b->of == SUBJECT_POND && b->subject == c->pond && in_cycle(c, b->at_s);
}

/* Spent until then, or in the first days. */
static bool spent_by(const struct booking *b, int64_t from_s, int64_t at_s) {
    return b->kind == BOOKING_COST && (b->at_s <= at_s || b->at_s <= from_s + BEGIN_S);
}

/* Of what it got so much was given until then. */
static int64_t fed_by(const struct farm_state *state, const struct cycle *c, int64_t feed_cost,
                      int64_t at_s) {
    const struct pond *pond = farm_pond(state, c->pond);
    int64_t then_mg = 0, all_mg = 0;
    for (int k = 0; pond && k < pond->given_count; k++) {
        const struct given *g = &pond->given[k];
        if (cycle_at(state, c->pond, g->at_s) != c)
            continue;
        all_mg = capped(all_mg + g->feed_mg);
        then_mg = capped(then_mg + (g->at_s <= at_s ? g->feed_mg : 0));
    }
    return share_of(feed_cost, then_mg, all_mg);
}

/* What went with the fish of one move out of a cycle. */
static int64_t out_of_cycle(const struct farm_state *state, const struct books *b,
                            const struct fish_move *m, const struct cycle *c, struct sums *s) {
    int64_t at = c - state->cycles - b->first, cost = 0;
    for (int i = 0; i < state->booking_count; i++)
        if (of_cycle(c, &state->bookings[i]) &&
            spent_by(&state->bookings[i], c->stocked_s, m->at_s))
            sum(s, &cost, state->bookings[i].minor);
    sum(s, &cost, fed_by(state, c, b->feed[at], m->at_s));
    sum(s, &cost, b->brought[at]);
    cost -= b->gone[at];
    return cost > 0 ? share_of(cost, m->count, m->among) : 0;
}

/* What went with the fry of a spawn's move, the ones before it counted. */
static int64_t out_of_spawn(const struct farm_state *state, const struct fish_move *last,
                            int64_t *gone, struct sums *s) {
    const struct spawn *spawn = farm_spawn(state, last->spawn);
    int64_t share = 0;
    *gone = 0;
    for (const struct fish_move *m = state->moves; spawn && m <= last; m++) {
        int64_t cost = 0;
        if (m->spawn != last->spawn)
            continue;
        for (int i = 0; i < state->booking_count; i++) {
            const struct booking *b = &state->bookings[i];
            if (b->of == SUBJECT_SPAWN && b->subject == m->spawn &&
                spent_by(b, spawn->injected_s, m->at_s))
                sum(s, &cost, b->minor);
        }
        share = cost > *gone ? share_of(cost - *gone, m->count, m->among) : 0;
        *gone += share;
    }
    return share;
}

/* In the order in which the fish went, so what came in goes on. */
static void books_make(const struct farm_state *state, int64_t spawn, struct books *b,
                       struct sums *s) {
    *b = (struct books){.count = state->cycle_count};
    if (b->count > PARTS_MOST) {
        b->first = b->count - PARTS_MOST;
        b->count = PARTS_MOST;
    }
    books_feed(state, b, s);
    for (int i = 0; i < state->move_count && !s->beyond; i++) {
        const struct fish_move *m = &state->moves[i];
        const struct cycle *from = m->from ? farm_cycle(state, m->from) : NULL;
        const struct cycle *to = farm_cycle(state, m->to);
        int64_t share = 0, gone = 0;
        if (!to || to - state->cycles < b->first || (from && from - state->cycles < b->first))
            continue;
        if (from) {
            share = out_of_cycle(state, b, m, from, s);
            b->gone[from - state->cycles - b->first] += share;
        } else {
            share = out_of_spawn(state, m, &gone, s);
            if (m->spawn == spawn)
                b->spawn_gone = gone;
        }
        b->brought[to - state->cycles - b->first] += share;
    }
}

/* Out of it, to where they have no account of their own. */
static int64_t out_for_good(const struct farm_state *state, int64_t out, int64_t spawn,
                            int64_t from) {
    for (int i = 0; i < state->move_count; i++)
        if (state->moves[i].spawn == spawn && state->moves[i].from == from)
            out -= state->moves[i].count;
    return out > 0 ? out : 0;
}

/* -- accounts ------------------------------------------------------------------------------------
 */

/* One that went to another pond, so its weight is of that. */
static bool moved_out(const struct farm_state *state, const struct cycle *c,
                      const struct fish_event *e) {
    for (int i = 0; i < state->move_count; i++)
        if (state->moves[i].from == c->number && state->moves[i].at_s == e->at_s &&
            state->moves[i].count == e->count)
            return true;
    return false;
}

/* Its own cost with what came, less what went. */
static void carry(struct account *a, const struct sums *s, int64_t brought, int64_t gone) {
    if (a->reason != MONEY_OK)
        return;
    a->brought = brought;
    a->gone = gone;
    a->cost = s->cost + brought - gone;
    a->result = a->income - a->cost;
    a->each = money_each(a->cost, a->fish + a->in);
    a->per_kg = money_per_kg(a->cost, a->weight_mg);
}

struct account account_spawn(const struct farm_state *state, const struct spawn *spawn,
                             int64_t now_s) {
    struct sums s = {0};
    struct books b;
    int64_t out = 0;
    for (int i = 0; i < state->booking_count; i++)
        if (state->bookings[i].of == SUBJECT_SPAWN && state->bookings[i].subject == spawn->number)
            book_in(&s, &state->bookings[i]);
    books_make(state, spawn->number, &b, &s);
    for (int i = 0; i < spawn->event_count; i++)
        out += spawn->events[i].what == LARVAE_TAKEN ? spawn->events[i].count : 0;
    int64_t in =
        spawn_open(spawn, now_s) && spawn_swims(spawn) ? spawn_larvae(spawn, now_s).middle : 0;
    struct account a = account_of(&s, out_for_good(state, out, spawn->number, 0), in, 0);
    carry(&a, &s, 0, b.spawn_gone);
    return a;
}

struct account account_cycle(const struct farm_state *state, const struct cycle *cycle,
                             int64_t now_s) {
    struct sums s = {0};
    struct books b;
    int64_t weight_mg = 0;
    for (int i = 0; i < state->booking_count; i++)
        if (of_cycle(cycle, &state->bookings[i]))
            book_in(&s, &state->bookings[i]);
    books_make(state, 0, &b, &s);
    int64_t at = cycle - state->cycles - b.first;
    if (at >= 0)
        s.feed_cost = b.feed[at];
    sum(&s, &s.cost, s.feed_cost);
    for (int i = 0; i < cycle->event_count; i++) {
        const struct fish_event *e = &cycle->events[i];
        if ((e->kind == FISH_TAKEN || e->kind == FISH_BIG) && !moved_out(state, cycle, e))
            weight_mg += growing_weight_mg(e->count, e->mean_ug);
        weight_mg = capped(weight_mg);
    }
    int64_t in = cycle->closed_s ? 0 : growing_fish(state, cycle, now_s).middle;
    struct account a =
        account_of(&s, out_for_good(state, cycle->out, 0, cycle->number), in, weight_mg);
    if (at >= 0) {
        carry(&a, &s, b.brought[at], b.gone[at]);
        a.priced_mg = b.priced_mg[at];
        a.unpriced_mg = b.unpriced_mg[at];
    }
    return a;
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
    return account_of(&s, fish, 0, weight_mg);
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
