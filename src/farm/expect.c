/* expect: see expect.h. In: a state, a zone, now, and odds by the farm's own rates; out: a row for
 * each open order. No errors.
 *
 * What an order has is put into the stages of trade's order_outlook: females, eggs, larvae, fry,
 * fish. Larvae and fry of which some were counted or taken out go on from what is thought alive of
 * them; those left alone are as many as there were at the stage's beginning, so that its loss is
 * the farm's own and not the book's. Fish that will have the size stand with the low end of what is
 * thought alive on the day, which holds more often than four times in five.
 * What an order's own promise over what it asks for is another's whose day and size they fit.
 * Limits: the room of ponds is looked at for an order's own fry and a season's only. */
#include "farm/expect.h"

#include "farm/growing.h"
#include "farm/inside.h"
#include "farm/plan.h"
#include "farm/runs.h"
#include "trade/book.h"
#include "trade/eggs.h"
#include "trade/nursery.h"
#include "trade/ration.h"

enum { DAY_S = 86400, FREE_MAX = 128, NET_DAYS = 14, TENTHS = 10, SAID_DAYS = 1 };
enum { SERVES_DAYS = 30, SERVES_TIMES = 2 };

/* A cycle, a spawn or an evening of no order, and how many of what it promises are given away. */
struct free_thing {
    const struct cycle *cycle; /* or */
    const struct spawn *spawn; /* or an evening of a season */
    const struct spawn_plan *plan;
    int64_t given;
};

struct outlook {
    const struct farm_state *state;
    const struct zone *zone;
    int64_t now_s;
    const struct order_odds *odds;
    struct learn_rate tgc;
    struct free_thing free[FREE_MAX];
    int free_count;
};

/* One order as it is looked at. */
struct look {
    const struct outlook *all;
    const struct order *order;
    struct expect *x;
    struct order_days days;
    bool chain;        /* the days say when what is late */
    int64_t by_s;      /* the last day that is in time */
    int64_t fish_more; /* thought alive over the low end */
};

int64_t expect_water(const struct farm_state *state, int64_t now_s, bool *guessed) {
    int64_t least = (int64_t)book_number(BOOK_WATER_COLDEST) * 1000;
    int64_t most = (int64_t)book_number(BOOK_WATER_WARMEST) * 1000;
    int64_t mdegc = runs_water(state, now_s);
    *guessed = mdegc == LEARN_WATER_UNKNOWN;
    if (*guessed)
        mdegc = ration_water_mdegc(RATION_UNKNOWN);
    return mdegc < least ? least : mdegc > most ? most : mdegc;
}

void expect_odds(const struct farm_state *state, int64_t now_s, struct order_odds *out) {
    const struct learn_when when = {runs_water(state, now_s), LEARN_SEASON_UNKNOWN};
    const struct order_rates rates = runs_rates(state, when, now_s);
    order_odds_make(out, &rates);
}

static bool in_plan(const struct farm_state *state, const struct spawn *s) {
    for (int i = 0; i < state->plan_count; i++)
        for (int k = 0; k < state->plans[i].female_count; k++)
            if (state->plans[i].females[k].spawn == s->number)
                return true;
    return false;
}

/* Females of an evening that were not injected and for whom no spare was. */
static int missing(const struct spawn_plan *p) {
    int n = 0;
    for (int k = 0; k < p->female_count; k++)
        n += !p->females[k].spare && !p->females[k].spawn;
    for (int k = 0; k < p->female_count && n > 0; k++)
        n -= p->females[k].spare && p->females[k].spawn;
    return n;
}

static bool same_day(const struct outlook *all, int64_t a_s, int64_t b_s) {
    return plan_day_number(all->zone, a_s) == plan_day_number(all->zone, b_s);
}

/* So many of no plan were injected on that day before the spawn, of all when it is NULL. */
static int strangers(const struct outlook *all, int64_t day_s, const struct spawn *before) {
    const struct farm_state *state = all->state;
    int n = 0;
    for (int i = 0; i < state->spawn_count; i++) {
        const struct spawn *s = &state->spawns[i];
        n += (!before || s->number < before->number) && same_day(all, s->injected_s, day_s) &&
             !in_plan(state, s);
    }
    return n;
}

/* The order of an evening that others were planned for and she was injected in their place: so many
 * others of that day as were not injected stand in for them, the first injected first. */
static int64_t stands_in(const struct outlook *all, const struct spawn *s) {
    const struct farm_state *state = all->state;
    if (in_plan(state, s))
        return 0;
    int before = strangers(all, s->injected_s, s);
    for (int i = 0; i < state->plan_count; i++) {
        const struct spawn_plan *p = &state->plans[i];
        if (p->off_s || !same_day(all, p->inject_s, s->injected_s))
            continue;
        before -= missing(p);
        const struct order *o = p->order ? farm_order(state, p->order) : NULL;
        if (before < 0)
            return o && order_open(o, all->now_s) ? p->order : 0;
    }
    return 0;
}

/* How many of an evening's females others were injected for. */
static int replaced(const struct outlook *all, const struct spawn_plan *of) {
    const struct farm_state *state = all->state;
    int others = strangers(all, of->inject_s, NULL);
    for (int i = 0; i < state->plan_count && &state->plans[i] != of; i++)
        if (!state->plans[i].off_s && same_day(all, state->plans[i].inject_s, of->inject_s))
            others -= missing(&state->plans[i]);
    int lack = missing(of);
    return others < 0 ? 0 : others < lack ? others : lack;
}

/* The order that a spawn was injected for; 0: none that is open. Eggs in another's bowl are that
 * one's. */
static int64_t order_of(const struct outlook *all, int64_t spawn) {
    const struct farm_state *state = all->state;
    for (int i = state->plan_count - 1; i >= 0; i--) {
        const struct spawn_plan *p = &state->plans[i];
        const struct order *o = p->order ? farm_order(state, p->order) : NULL;
        if (!o || p->off_s || !order_open(o, all->now_s))
            continue;
        for (int k = 0; k < p->female_count; k++) {
            const struct spawn *s =
                p->females[k].spawn ? farm_spawn(state, p->females[k].spawn) : NULL;
            if (s && (s->number == spawn || s->bowl == spawn))
                return p->order;
        }
    }
    const struct spawn *s = farm_spawn(state, spawn);
    return s ? stands_in(all, s) : 0;
}

static int64_t day_of(const struct look *l, int64_t at_s) {
    return plan_day_number(l->all->zone, at_s);
}

static bool in_time(const struct look *l, int64_t at_s, int64_t day) {
    return l->chain && day_of(l, at_s) <= day + EXPECT_LATE_DAYS;
}

/* Over the most parts the last ones are not counted: a promise never grows by that. */
static void part(struct look *l, enum order_stage stage, int64_t amount) {
    if (amount > 0 && l->x->part_count < ORDER_PARTS_MAX)
        l->x->parts[l->x->part_count++] = (struct order_part){stage, amount};
}

/* -- spawns --------------------------------------------------------------------------------------
 */

static bool touched(const struct spawn *s) {
    for (int i = 0; i < s->event_count; i++)
        if (s->events[i].what != LARVAE_DIED)
            return true;
    return false;
}

/* As many as there were at the hatch when those that are thought alive now had only been lost by
 * the book: who was found dead beyond its loss is not there. */
static int64_t not_dead(const struct spawn *s, int64_t count, int64_t now_s) {
    const struct tally begun = spawn_tally(s, spawn_hatch_s(s) - 1);
    const struct tally tally = spawn_tally(s, now_s);
    double was = begun.hatched.whole[1], is = tally.hatched.whole[1];
    return s->event_count && was > 0 && is < was ? (int64_t)((double)count * is / was) : count;
}

static void female(struct look *l, int64_t weight_mg) {
    part(l, ORDER_FEMALE, weight_mg);
    l->x->females++;
}

/* Hatch is a share of all eggs stripped, and those that are white are among those that do not hatch
 * in any case: only where more are white than usually fail there are fewer to reckon with. */
static int64_t eggs_for_hatch(const struct look *l, const struct spawn *s) {
    double all = (double)eggs_of_weight(s->eggs_mg), alive = (double)spawn_eggs(s);
    double hatch = (double)l->all->odds->rates.hatch.mean / 1e6;
    return (int64_t)(alive >= all * hatch ? all : hatch > 0 ? alive / hatch : 0);
}

/* She may still be stripped, or was and nobody has said so yet. */
static bool looked_for(const struct spawn *s, int64_t now_s) {
    const struct latency l = spawn_latency(s);
    int64_t end_s = l.end.status == PROGRESS_OK    ? l.end.at_s
                    : l.look.status == PROGRESS_OK ? l.look.at_s + DAY_S
                                                   : s->injected_s + 2 * DAY_S;
    return now_s <= end_s + SAID_DAYS * DAY_S;
}

/* What it is now; amount 0: nothing of it comes in time. */
static struct order_part of_spawn(const struct look *l, const struct spawn *s) {
    const struct order_part none = {ORDER_EGGS, 0};
    int64_t hatch_s = spawn_hatch_s(s), now_s = l->all->now_s;
    int64_t weeks_s = hatch_s + (int64_t)book_number(BOOK_TWO_WEEKS_DAYS) * DAY_S;
    if (!spawn_open(s, now_s) || spawn_no_fry_s(l->all->state, s))
        return none;
    if (!s->stripped_s)
        return in_time(l, s->injected_s, l->days.inject_day) && looked_for(s, now_s)
                   ? (struct order_part){ORDER_FEMALE, s->weight_mg}
                   : none;
    if (!in_time(l, hatch_s ? hatch_s : s->stripped_s, l->days.hatch_day))
        return none;
    if (touched(s)) {
        struct tally tally = spawn_tally(s, weeks_s > now_s ? weeks_s : now_s);
        return (struct order_part){ORDER_FRY, tally_alive(&tally).middle};
    }
    return s->hatched_s ? (struct order_part){ORDER_LARVAE, not_dead(s, s->hatched, now_s)}
                        : (struct order_part){ORDER_EGGS, not_dead(s, eggs_for_hatch(l, s), now_s)};
}

static void own_spawns(struct look *l) {
    const struct farm_state *state = l->all->state;
    for (int i = 0; i < state->spawn_count; i++) {
        const struct spawn *s = &state->spawns[i];
        if (!spawn_open(s, l->all->now_s) || order_of(l->all, s->number) != l->order->number)
            continue;
        const struct order_part is = of_spawn(l, s);
        part(l, is.stage, is.amount);
        l->x->females += is.stage == ORDER_FEMALE;
    }
}

/* -- plans ---------------------------------------------------------------------------------------
 */

/* The others of an evening whose first was injected are waited for as long as they are of it. */
static bool waits(const struct look *l, const struct spawn_plan *p) {
    int64_t days = p->spawn ? PLAN_NEAR_DAYS : PLAN_OPEN_DAYS;
    return !p->off_s && l->all->now_s <= p->inject_s + days * DAY_S;
}

/* Fry that its ponds take on top of so many; ORDER_NO_LIMIT: the size of one is not known. */
static int64_t room(const struct farm_state *state, const struct spawn_plan *p, int64_t sum) {
    for (int i = 0; i < p->pond_count; i++) {
        const struct pond *pond = farm_pond(state, p->ponds[i]);
        int64_t most = pond ? nursery_most(pond->area_cm2, pond->depth_mm) : 0;
        if (pond && pond->area_cm2 && !pond->depth_mm) /* as deep as counts */
            most =
                nursery_most(pond->area_cm2, (int64_t)(book_number(BOOK_POND_DEPTH_MOST_M) * 1000));
        sum = !most || sum == ORDER_NO_LIMIT ? ORDER_NO_LIMIT : sum + most;
    }
    return sum;
}

static void own_plans(struct look *l) {
    const struct farm_state *state = l->all->state;
    int ponds = 0;
    l->x->room = 0;
    for (int i = 0; i < state->plan_count; i++) {
        const struct spawn_plan *p = &state->plans[i];
        if (p->order != l->order->number || p->off_s)
            continue;
        ponds += p->pond_count;
        l->x->room = room(state, p, l->x->room);
        int64_t evening_s = p->inject_s > l->all->now_s ? p->inject_s : l->all->now_s;
        bool counts = waits(l, p) && in_time(l, evening_s, l->days.inject_day);
        int more = counts ? missing(p) - replaced(l->all, p) : 0;
        for (int k = 0; k < p->female_count && more > 0; k++) {
            const struct planned_female *f = &p->females[k];
            const struct brood *fish = farm_brood(state, f->female);
            more -= !f->spawn && !f->spare;
            if (!f->spawn && !f->spare && fish && !fish->died_s)
                female(l, fish->weight_mg);
        }
    }
    if (!ponds)
        l->x->room = ORDER_NO_LIMIT;
}

/* -- cycles --------------------------------------------------------------------------------------
 */

static bool left_alone(const struct cycle *c) {
    for (int i = 0; i < c->event_count; i++)
        if (c->events[i].kind == FISH_TAKEN || c->events[i].kind == FISH_BIG ||
            c->events[i].kind == FISH_COUNTED)
            return false;
    return true;
}

/* Fry of which none was weighed keep the order's own days; all else goes by what it weighs. */
static bool by_days(const struct look *l, const struct cycle *c) {
    return l->chain && l->x->pond && growing_kind(l->all->state, c) == SURVIVAL_FRY &&
           growing_points(l->all->state, c, l->all->now_s).samples == 0;
}

static bool has_size(const struct look *l, const struct cycle *c) {
    if (by_days(l, c))
        return in_time(l, c->stocked_s, l->days.stock_day);
    struct growing g = growing_of(l->all->state, c, l->by_s);
    return g.reason == GROWTH_OK && g.weight_mg.middle >= l->order->mean_mg;
}

/* Fry as they were stocked, without those that were found dead beyond the loss of the book. */
static int64_t fry_stocked(const struct look *l, const struct cycle *c) {
    int64_t alive = growing_stocked(l->all->state, c, l->all->now_s);
    bool died = false;
    for (int i = 0; i < c->event_count; i++)
        died |= c->events[i].kind == FISH_DIED;
    return died && alive < c->count ? alive : c->count;
}

/* Alive on its day, out of what swims there. */
static struct survival_range alive(const struct look *l, const struct cycle *c) {
    int64_t day_s = l->order->day_s > l->all->now_s ? l->order->day_s : l->all->now_s;
    return growing_fish(l->all->state, c, day_s);
}

/* Harvested, waiting in a net: all of a pond that is empty, or what was caught in parts. */
static int64_t netted(const struct outlook *all, const struct cycle *c) {
    if (!c->closed_s)
        return cycle_caught(c, all->now_s);
    return all->now_s - c->closed_s <= NET_DAYS * DAY_S ? cycle_net(c) : 0;
}

/* Of fish in a net: what they weighed when they were caught, a tenth less than asked is of the size
 * (our own bound: what a sample misses by). */
static bool net_has_size(const struct look *l, const struct cycle *c) {
    int64_t mean_mg = c->harvested > 0 ? c->harvested_mg / c->harvested : 0;
    if (!mean_mg) {
        struct growing g = growing_of(l->all->state, c, c->harvested_s);
        mean_mg = g.reason == GROWTH_OK ? g.weight_mg.middle : 0;
    }
    return mean_mg >= l->order->mean_mg - l->order->mean_mg / TENTHS;
}

static void own_cycle(struct look *l, const struct cycle *c) {
    int64_t net = netted(l->all, c);
    part(l, ORDER_FISH, net);
    l->x->in_ponds += net;
    if (c->closed_s)
        return;
    if (has_size(l, c) && by_days(l, c) && left_alone(c)) {
        part(l, ORDER_FRY, fry_stocked(l, c));
        if (l->x->room != ORDER_NO_LIMIT && l->x->room < c->count)
            l->x->room = c->count; /* they swim there, whatever it should hold */
    } else if (has_size(l, c)) {
        struct survival_range fish = alive(l, c);
        part(l, ORDER_FISH, fish.low);
        l->fish_more += fish.low > 0 ? fish.middle - fish.low : 0;
        l->x->in_ponds += fish.middle;
    }
}

static void own_cycles(struct look *l) {
    const struct farm_state *state = l->all->state;
    for (int i = 0; i < state->cycle_count; i++) {
        const struct cycle *c = &state->cycles[i];
        bool gone = c->closed_s && l->all->now_s - c->closed_s > NET_DAYS * DAY_S;
        if (!gone && c->spawn && order_of(l->all, c->spawn) == l->order->number)
            own_cycle(l, c);
    }
}

/* -- of no order ---------------------------------------------------------------------------------
 */

static void free_put(struct outlook *all, struct free_thing thing) {
    if (all->free_count < FREE_MAX)
        all->free[all->free_count++] = thing;
}

static void find_free(struct outlook *all) {
    const struct farm_state *state = all->state;
    for (int i = 0; i < state->cycle_count; i++) {
        const struct cycle *c = &state->cycles[i];
        bool there = !c->closed_s || netted(all, c) > 0;
        if (there && (!c->spawn || !order_of(all, c->spawn)))
            free_put(all, (struct free_thing){.cycle = c});
    }
    for (int i = 0; i < state->spawn_count; i++) {
        const struct spawn *s = &state->spawns[i];
        if (spawn_open(s, all->now_s) && !order_of(all, s->number))
            free_put(all, (struct free_thing){.spawn = s});
    }
    for (int i = 0; i < state->plan_count; i++)
        if (!state->plans[i].order)
            free_put(all, (struct free_thing){.plan = &state->plans[i]});
}

/* Fish planned for a day and a size serve a later day of the same or a smaller one; not much later
 * or smaller, which is our own bound: they grow on. */
static bool serves(const struct look *l, int64_t day_s, int64_t size_mg) {
    const struct order *o = l->order;
    return day_s <= o->day_s + EXPECT_LATE_DAYS * DAY_S &&
           day_s >= o->day_s - SERVES_DAYS * DAY_S && size_mg >= o->mean_mg &&
           size_mg <= o->mean_mg * SERVES_TIMES;
}

/* What an evening of a season that waits promises for the order. */
static int64_t plan_promise(const struct look *l, const struct spawn_plan *p) {
    const struct farm_state *state = l->all->state;
    struct order_part parts[ORDER_PARTS_MAX];
    int n = 0, more = missing(p) - replaced(l->all, p);
    int64_t evening_s = p->inject_s > l->all->now_s ? p->inject_s : l->all->now_s;
    if (!waits(l, p) || !serves(l, p->day_s, p->size_mg) ||
        !in_time(l, evening_s, l->days.inject_day))
        return 0;
    for (int k = 0; k < p->female_count && more > 0; k++) {
        const struct planned_female *f = &p->females[k];
        const struct brood *fish = farm_brood(state, f->female);
        more -= !f->spawn && !f->spare;
        if (!f->spawn && !f->spare && fish && !fish->died_s && n < ORDER_PARTS_MAX)
            parts[n++] = (struct order_part){ORDER_FEMALE, fish->weight_mg};
    }
    int64_t most = p->pond_count ? room(state, p, 0) : ORDER_NO_LIMIT;
    return n ? order_outlook(l->all->odds, parts, n, most, l->x->pond).promise : 0;
}

/* So many fish of it hold four times in five. */
static int64_t free_promise(const struct look *l, const struct free_thing *f) {
    struct order_part is = {ORDER_FISH, 0};
    if (f->plan)
        return plan_promise(l, f->plan);
    int64_t net = f->cycle && net_has_size(l, f->cycle) ? netted(l->all, f->cycle) : 0;
    if (f->spawn)
        is = of_spawn(l, f->spawn);
    else if (f->cycle->closed_s)
        return net;
    else if (has_size(l, f->cycle) && by_days(l, f->cycle) && left_alone(f->cycle))
        is = (struct order_part){ORDER_FRY, fry_stocked(l, f->cycle)};
    else if (has_size(l, f->cycle))
        is.amount = alive(l, f->cycle).low;
    if (is.amount <= 0)
        return net;
    return net + order_outlook(l->all->odds, &is, 1, ORDER_NO_LIMIT, l->x->pond).promise;
}

/* Each fish to one order: the rest of a pond is the next one's. */
static void from_free(struct look *l, struct outlook *all, int64_t wanted) {
    for (int i = 0; i < all->free_count && wanted > 0; i++) {
        struct free_thing *f = &all->free[i];
        int64_t more = free_promise(l, f) - f->given;
        more = more < wanted ? more : wanted;
        if (more <= 0)
            continue;
        f->given += more;
        wanted -= more;
        l->x->spare += more;
    }
}

/* -- all -----------------------------------------------------------------------------------------
 */

static void look_make(struct look *l, const struct outlook *all, const struct order *o,
                      struct expect *x) {
    bool guessed;
    int64_t mdegc = expect_water(all->state, all->now_s, &guessed);
    struct zone_time now = zone_local(all->zone, all->now_s);
    *l = (struct look){.all = all, .order = o, .x = x};
    const struct order_want want = {.fish = 1,
                                    .size_mg = o->mean_mg,
                                    .day = day_of(l, o->day_s),
                                    .hatchery_mdegc = mdegc,
                                    .pond_mdegc = mdegc};
    l->days = order_days(&want, &all->tgc,
                         (struct order_now){day_of(l, all->now_s), now.hour * 60 + now.minute});
    l->chain = l->days.reason == ORDER_OK || l->days.reason == ORDER_LATE;
    l->by_s = (o->day_s > all->now_s ? o->day_s : all->now_s) + EXPECT_LATE_DAYS * DAY_S;
    *x = (struct expect){.order = o->number,
                         .left = order_left(o),
                         .reason = l->chain ? ORDER_OK : l->days.reason,
                         .pond = !l->chain || l->days.pond_days.middle > 0,
                         .promised = o->promised < o->count ? o->promised : o->count};
}

/* Returns what its own promises over what it asks for. */
static int64_t look(struct outlook *all, const struct order *o, struct expect *x) {
    struct look l;
    look_make(&l, all, o, x);
    own_plans(&l);
    own_spawns(&l);
    own_cycles(&l);
    struct order_outlook own = {0};
    if (x->part_count)
        own = order_outlook(all->odds, x->parts, x->part_count, x->room, x->pond);
    from_free(&l, all, x->left - own.promise);
    x->promise = o->delivered + own.promise + x->spare;
    x->middle = o->delivered + own.middle + l.fish_more + x->spare;
    x->high = o->delivered + own.high + l.fish_more + x->spare;
    return own.promise - x->left;
}

/* What the evenings of other orders promise over these, the earliest order first. */
static void from_others(const struct outlook *all, const struct order *const *orders, int count,
                        int64_t *over, struct expect *rows) {
    for (int i = 0; i < count; i++) {
        struct expect *x = &rows[i];
        const struct look l = {.all = all, .order = orders[i], .x = x};
        int64_t wanted = x->left + orders[i]->delivered - x->promise;
        for (int k = 0; k < count && wanted > 0; k++) {
            if (k == i || over[k] <= 0 || !serves(&l, orders[k]->day_s, orders[k]->mean_mg))
                continue;
            int64_t more = over[k] < wanted ? over[k] : wanted;
            over[k] -= more;
            wanted -= more;
            x->others += more;
            x->spare += more;
            x->promise += more;
            x->middle += more;
            x->high += more;
        }
        int64_t fall = x->promised - x->promise;
        x->fall_tenths =
            fall > 0 && fall * TENTHS > x->promised ? (int)(fall * TENTHS / x->promised) : 0;
    }
}

/* The open ones by day, equal days by number; the first `most` of them. */
static int open_orders(const struct farm_state *state, int64_t now_s, const struct order **out,
                       int most) {
    int n = 0;
    for (int i = 0; i < state->order_count; i++) {
        const struct order *o = &state->orders[i];
        if (!order_open(o, now_s))
            continue;
        int at = n < most ? n++ : most - 1;
        if (at == most - 1 && n == most && out[at] && out[at]->day_s <= o->day_s)
            continue;
        for (; at > 0 && out[at - 1]->day_s > o->day_s; at--)
            out[at] = out[at - 1];
        out[at] = o;
    }
    return n;
}

int expect_orders(const struct farm_state *state, const struct zone *zone, int64_t now_s,
                  const struct order_odds *odds, struct expect *out, int most) {
    const struct order *orders[EXPECT_ORDERS_MAX] = {0};
    most = most < EXPECT_ORDERS_MAX ? most : EXPECT_ORDERS_MAX;
    int n = most > 0 ? open_orders(state, now_s, orders, most) : 0;
    struct outlook all = {.state = state, .zone = zone, .now_s = now_s, .odds = odds};
    if (!n)
        return 0;
    all.tgc = runs_rate(state, LEARN_TGC, runs_when(state, now_s), now_s);
    find_free(&all);
    int64_t over[EXPECT_ORDERS_MAX];
    for (int i = 0; i < n; i++)
        over[i] = look(&all, orders[i], &out[i]);
    from_others(&all, orders, n, over, out);
    return n;
}
