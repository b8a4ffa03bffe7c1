/* offer: see offer.h. In: the state; out: what can be promised and how. ERR_NOMEM goes to the turn.
 *
 * The order is put into a copy of the state, first without a plan of its own and then with the one
 * that was chosen, and expect.h reckons both: what is promised is what its rows will be held to
 * later, and what falls of other orders is seen by the same numbers.
 * Limits: a pond that is being prepared for something else is free a month after that is ready;
 * ponds with fish that grow on or brood fish are never chosen. */
#include "turn/offer.h"

#include <string.h>

#include "farm/runs.h"
#include "trade/book.h"
#include "trade/brood.h"
#include "trade/ration.h"
#include "turn/order.h"

enum { DAY_S = 86400, MINUTE_S = 60, TRIES = 4, TAGS_MOST = 30, MALES_SHOWN = 2 };

/* -- days and numbers ----------------------------------------------------------------------------
 */

int64_t offer_instant(const struct turn *t, int64_t day, int minute) {
    struct zone_time local = zone_local(&zone_utc, day * DAY_S);
    int64_t at_s;
    local.hour = minute / 60;
    local.minute = minute % 60;
    if (zone_instant(t->zone, local, &at_s)) { /* the clocks skip it: an hour on */
        local.hour++;
        if (zone_instant(t->zone, local, &at_s))
            return day * DAY_S;
    }
    return at_s;
}

int64_t offer_floor(int64_t count) {
    int64_t unit = 1;
    while (count / unit >= 100)
        unit *= 10;
    return count / unit * unit;
}

int64_t offer_next_number(const struct turn *t) {
    int64_t order = farm_next(t->farm, SUBJECT_ORDER), plan = farm_next(t->farm, SUBJECT_PLAN);
    return order > plan ? order : plan;
}

static int64_t day_of(const struct turn *t, int64_t at_s) {
    return plan_day_number(t->zone, at_s);
}

/* -- what the farm has ---------------------------------------------------------------------------
 */

/* It keeps its females and ponds until its day: not yet injected, or injected and on its way. */
static bool keeps(const struct turn *t, const struct spawn_plan *p, int64_t but) {
    const struct farm_state *st = &t->farm->state;
    bool own = but && p->order == but;
    return !p->off_s && !own && p->day_s >= t->now_s &&
           (p->spawn || spawn_plan_open(st, p, t->now_s));
}

static void later(int64_t *day, int64_t than) {
    *day = than > *day ? than : *day;
}

static void put_busy(struct offer_farm *out, const struct spawn_plan *p, struct choose_busy busy) {
    out->busy_of[out->farm.busy_count] = p->number;
    out->busy[out->farm.busy_count++] = busy;
}

/* The first day on which the ponds of a plan are worked on: the full preparing, if there is time.
 * One whose fish grow there has it until its day. */
static int64_t prepare_day(const struct turn *t, const struct spawn_plan *p,
                           const struct offer_farm *out) {
    const struct order_want want = {.fish = 1,
                                    .size_mg = p->size_mg,
                                    .day = day_of(t, p->day_s),
                                    .hatchery_mdegc = out->mdegc,
                                    .pond_mdegc = out->mdegc};
    const struct order_days days = order_days(&want, &out->farm.tgc, out->farm.now);
    int64_t evening = day_of(t, p->inject_s);
    bool known = (days.reason == ORDER_OK || days.reason == ORDER_LATE) && !p->spawn;
    return known && days.prepare_day < evening ? days.prepare_day : evening;
}

static void add_female(const struct turn *t, const struct brood *fish, int64_t but,
                       struct offer_farm *out) {
    const struct farm_state *st = &t->farm->state;
    int64_t age_s = fish->born_s ? t->now_s - fish->born_s : -1;
    int rest = (int)book_number(BOOK_REST_DAYS);
    if (fish->sex != SEX_FEMALE || fish->died_s || !brood_mature(age_s, fish->weight_mg))
        return;
    int64_t rested = fish->spent_s ? day_of(t, fish->spent_s) + rest : 0;
    for (int i = 0; i < st->spawn_count; i++) /* she is being waited for */
        if (st->spawns[i].female == fish->id && spawn_open(&st->spawns[i], t->now_s) &&
            spawn_phase(&st->spawns[i]) == PHASE_FISH)
            later(&rested, day_of(t, t->now_s) + rest);
    for (int i = 0; i < st->plan_count; i++) {
        const struct spawn_plan *p = &st->plans[i];
        int64_t evening = day_of(t, p->inject_s);
        for (int k = 0; k < p->female_count && keeps(t, p, but) && !p->spawn; k++)
            if (p->females[k].female == fish->id && !p->females[k].spare)
                put_busy(out, p,
                         (struct choose_busy){false, out->farm.female_count, evening - rest,
                                              evening + rest});
    }
    int at = out->farm.female_count++;
    out->farm.females[at] = (struct choose_female){fish->weight_mg, rested};
    out->females[at] = fish;
}

static bool planned_for(const struct farm_state *st, int pond, int64_t order) {
    for (int i = 0; i < st->plan_count && order; i++)
        for (int k = 0; k < st->plans[i].pond_count && st->plans[i].order == order; k++)
            if (st->plans[i].ponds[k] == pond)
                return true;
    return false;
}

/* The day on which it shall be ready is that of a plan which stands. */
static bool of_plan(const struct turn *t, const struct pond *pond) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->plan_count; i++)
        for (int k = 0; k < st->plans[i].pond_count && keeps(t, &st->plans[i], 0); k++) {
            int64_t apart_s = st->plans[i].day_s - pond->ready_s;
            if (st->plans[i].ponds[k] == pond->number && apart_s >= 0 &&
                apart_s <= ORDER_POND_DAYS * (int64_t)DAY_S)
                return true;
        }
    return false;
}

static void add_pond(const struct turn *t, const struct pond *pond, int64_t but,
                     struct offer_farm *out) {
    const struct farm_state *st = &t->farm->state;
    const struct cycle *c = pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
    int brood = 0;
    int64_t today = day_of(t, t->now_s), month = (int64_t)book_number(BOOK_NURSERY_DAYS);
    int64_t free_day = today;
    (void)turn_brood_feed(st, pond->number, &brood);
    if (!pond->area_cm2 || brood || (c && turn_grown(c, t->now_s)))
        return;
    if (c)
        later(&free_day, day_of(t, plan_harvest_day(c, t->zone)) + 1);
    bool waited = pond->ready_s && !c && !pond_no_fry_s(st, pond) &&
                  day_of(t, pond->ready_s) + ORDER_OPEN_DAYS >= today;
    if (waited && !planned_for(st, pond->number, but) && !of_plan(t, pond))
        later(&free_day, day_of(t, pond->ready_s) + month + 1);
    for (int i = 0; i < st->plan_count; i++) {
        const struct spawn_plan *p = &st->plans[i];
        for (int k = 0; k < p->pond_count && keeps(t, p, but); k++)
            if (p->ponds[k] == pond->number)
                put_busy(out, p,
                         (struct choose_busy){true, out->farm.pond_count, prepare_day(t, p, out),
                                              day_of(t, p->day_s)});
    }
    int at = out->farm.pond_count++;
    out->farm.ponds[at] = (struct choose_pond){pond->area_cm2, pond->depth_mm, free_day};
    out->ponds[at] = pond->number;
}

bool offer_farm_make(struct turn *t, int64_t but, struct offer_farm *out) {
    const struct farm_state *st = &t->farm->state;
    size_t fish = (size_t)st->brood_count + 1, ponds = (size_t)st->pond_count + 1;
    struct order_odds *odds = ARENA_ARRAY(t->arena, 1, struct order_odds);
    *out = (struct offer_farm){.odds = odds};
    out->farm.females = ARENA_ARRAY(t->arena, fish, struct choose_female);
    out->farm.ponds = ARENA_ARRAY(t->arena, ponds, struct choose_pond);
    out->females = ARENA_ARRAY(t->arena, fish, const struct brood *);
    out->ponds = ARENA_ARRAY(t->arena, ponds, int);
    size_t busy = 1;
    for (int i = 0; i < st->plan_count; i++)
        busy += (size_t)(st->plans[i].female_count + st->plans[i].pond_count);
    out->farm.busy = out->busy = ARENA_ARRAY(t->arena, busy, struct choose_busy);
    out->busy_of = ARENA_ARRAY(t->arena, busy, int64_t);
    if (!odds || !out->busy || !out->busy_of || !out->farm.females || !out->farm.ponds ||
        !out->females || !out->ponds) {
        t->e = ERR_NOMEM;
        return false;
    }
    expect_odds(st, t->now_s, odds);
    const struct order_rates *rates = &odds->rates;
    const int runs[] = {rates->eggs.own_runs, rates->hatch.own_runs, rates->survive.own_runs,
                        rates->nursery.own_runs};
    for (size_t i = 0; i < sizeof runs / sizeof runs[0]; i++)
        out->own_runs = runs[i] > out->own_runs ? runs[i] : out->own_runs;
    struct zone_time now = zone_local(t->zone, t->now_s);
    out->farm.tgc = runs_rate(st, LEARN_TGC, runs_when(st, t->now_s), t->now_s);
    out->farm.now = (struct order_now){day_of(t, t->now_s), now.hour * 60 + now.minute};
    out->mdegc = expect_water(st, t->now_s, &out->guessed);
    for (int i = 0; i < st->brood_count; i++)
        add_female(t, &st->brood[i], but, out);
    for (int i = 0; i < st->pond_count; i++)
        add_pond(t, &st->ponds[i], but, out);
    return true;
}

/* -- the state as it would be --------------------------------------------------------------------
 */

/* A copy with the order in it, and no plan of it that waits, unless its plans are kept. */
static bool with_order(struct turn *t, const struct offer *o, bool plans, struct farm_state *out) {
    const struct farm_state *st = &t->farm->state;
    *out = *st;
    out->orders = ARENA_ARRAY(t->arena, (size_t)st->order_count + 1, struct order);
    out->plans = ARENA_ARRAY(t->arena, (size_t)st->plan_count + 1, struct spawn_plan);
    if (!out->orders || !out->plans) {
        t->e = ERR_NOMEM;
        return false;
    }
    if (st->order_count)
        memcpy(out->orders, st->orders, (size_t)st->order_count * sizeof *st->orders);
    if (st->plan_count)
        memcpy(out->plans, st->plans, (size_t)st->plan_count * sizeof *st->plans);
    out->order_room = st->order_count + 1;
    out->plan_room = st->plan_count + 1;
    struct order *stands = farm_order(out, o->order.number);
    if (stands)
        *stands = o->order;
    else
        out->orders[out->order_count++] = o->order;
    for (int i = 0; i < out->plan_count && !plans; i++)
        if (out->plans[i].order == o->order.number && !out->plans[i].spawn && !out->plans[i].off_s)
            out->plans[i].off_s = t->now_s;
    return true;
}

static struct spawn_plan plan_of(const struct turn *t, const struct offer *o) {
    const struct choose_plan *chosen = &o->chosen;
    struct spawn_plan p = {.number = o->plan,
                           .inject_s =
                               offer_instant(t, chosen->days.inject_day, chosen->days.inject_min),
                           .order = o->order.number,
                           .fish = o->want.fish,
                           .size_mg = o->order.mean_mg,
                           .day_s = o->order.day_s,
                           .planned_s = t->now_s};
    for (int i = 0; i < chosen->female_count && i < PLAN_FEMALES_MAX; i++)
        p.females[p.female_count++] =
            (struct planned_female){.female = o->with.females[chosen->females[i]]->id};
    for (int i = 0; i < chosen->pond_count && i < PLAN_PONDS_MAX; i++)
        p.ponds[p.pond_count++] = o->with.ponds[chosen->ponds[i]];
    return p;
}

struct rows {
    struct expect *of;
    int count;
};

static bool expect_rows(struct turn *t, const struct farm_state *st, const struct order_odds *odds,
                        struct rows *out) {
    out->of = ARENA_ARRAY(t->arena, EXPECT_ORDERS_MAX, struct expect);
    if (!out->of) {
        t->e = ERR_NOMEM;
        return false;
    }
    out->count = expect_orders(st, t->zone, t->now_s, odds, out->of, EXPECT_ORDERS_MAX);
    return true;
}

static const struct expect *row_of(const struct rows *rows, int64_t order) {
    for (int i = 0; i < rows->count; i++)
        if (rows->of[i].order == order)
            return &rows->of[i];
    return NULL;
}

/* Orders whose promise the new one takes from: the one that loses most. */
static void find_falls(struct offer *o, const struct rows *before, const struct rows *after) {
    int64_t most = 0;
    for (int i = 0; i < after->count; i++) {
        const struct expect *now = &after->of[i], *was = row_of(before, now->order);
        bool falls = was && now->order != o->order.number && now->promise < was->promise &&
                     now->promise < now->promised;
        if (!falls)
            continue;
        o->falls++;
        int64_t lost = was->promise - now->promise;
        if (lost > most)
            o->fall = (struct offer_fall){now->order, now->promise, now->promised};
        most = lost > most ? lost : most;
    }
}

/* -- all -----------------------------------------------------------------------------------------
 */

/* Chooses for the rest until all of them together hold what is asked: parts of one order share
 * their luck, so that two halves promise a little less than each by itself. */
static bool choose(struct turn *t, struct offer *o, struct farm_state *st, struct rows *rows) {
    int64_t rest = o->order.count - o->have;
    int plans = st->plan_count;
    o->want.fish = rest;
    for (int i = 0; i < TRIES; i++) {
        o->chosen = choose_plan(&o->with.farm, o->with.odds, &o->want);
        if (o->chosen.reason != ORDER_OK)
            break;
        st->plan_count = plans;
        st->plans[st->plan_count++] = plan_of(t, o);
        if (!expect_rows(t, st, o->with.odds, rows))
            return false;
        const struct expect *x = row_of(rows, o->order.number);
        o->promise = x ? x->promise : o->have;
        o->middle = x ? x->middle : o->have;
        o->high = x ? x->high : o->have;
        if (o->promise >= o->order.count)
            break;
        o->want.fish += o->order.count - o->promise;
    }
    bool all = o->chosen.reason == ORDER_OK && o->promise >= o->order.count;
    o->feasible = all;
    o->can = all ? o->promise : o->have + o->chosen.outlook.promise;
    if (o->can > o->order.count)
        o->can = o->order.count;
    if (!all) {
        o->want.fish = rest;
        o->first_day = choose_first_day(&o->with.farm, o->with.odds, &o->want);
    }
    return true;
}

/* The order has an evening that waits. */
static bool has_evening(const struct turn *t, int64_t order) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->plan_count; i++)
        if (st->plans[i].order == order && spawn_plan_open(st, &st->plans[i], t->now_s))
            return true;
    return false;
}

/* An order that is changed keeps its own evenings where they do as they are. Fish of another size
 * or of a day that is far off have another evening (days: our own bound). *done: they do. */
static bool keep(struct turn *t, struct offer *o, const struct rows *before, bool *done) {
    enum { KEEP_DAYS = 14 };
    const struct order *stands = farm_order(&t->farm->state, o->order.number);
    struct farm_state st;
    struct rows kept = {0};
    int64_t apart_s = stands ? o->order.day_s - stands->day_s : 0;
    *done = false;
    if (!stands || !has_evening(t, stands->number) || stands->mean_mg != o->order.mean_mg ||
        apart_s > KEEP_DAYS * (int64_t)DAY_S)
        return true;
    if (!with_order(t, o, true, &st) || !expect_rows(t, &st, o->with.odds, &kept))
        return false;
    const struct expect *x = row_of(&kept, stands->number);
    if (!x || x->promise < o->order.count)
        return true;
    o->keeps = o->feasible = *done = true;
    o->promise = o->have = o->can = x->promise;
    o->middle = x->middle;
    o->high = x->high;
    find_falls(o, before, &kept);
    return true;
}

bool offer_make(struct turn *t, const struct order *order, bool changes, struct offer *out) {
    struct farm_state st;
    bool same_day = false, done = false;
    struct rows before = {0}, alone = {0};
    *out = (struct offer){.order = *order, .changes = changes, .first_day = -1};
    const struct order *stands = changes ? farm_order(&t->farm->state, order->number) : NULL;
    same_day = stands && day_of(t, stands->day_s) == day_of(t, order->day_s);
    if (!offer_farm_make(t, changes ? order->number : 0, &out->with) ||
        !expect_rows(t, &t->farm->state, out->with.odds, &before))
        return false;
    if (same_day && (!keep(t, out, &before, &done) || done))
        return done;
    if (!with_order(t, out, false, &st) || !expect_rows(t, &st, out->with.odds, &alone))
        return false;
    const struct expect *x = row_of(&alone, order->number);
    out->have = out->promise = out->can = x ? x->promise : 0;
    out->middle = x ? x->middle : 0;
    out->high = x ? x->high : 0;
    out->want = (struct order_want){.size_mg = order->mean_mg,
                                    .day = day_of(t, order->day_s),
                                    .hatchery_mdegc = out->with.mdegc,
                                    .pond_mdegc = out->with.mdegc};
    out->need = order_need(out->with.odds, order->count - out->have, !x || x->pond);
    out->feasible = out->have >= order->count;
    struct rows after = alone;
    if (!out->feasible) {
        out->plan = offer_next_number(t);
        if (!changes) /* the order's first evening has its number */
            out->plan = order->number;
        for (int i = t->farm->state.plan_count - 1; i >= 0 && changes; i--) {
            const struct spawn_plan *p = &t->farm->state.plans[i];
            if (p->order == order->number && !p->spawn && !p->off_s)
                out->plan = p->number;
        }
        int plans = st.plan_count;
        int64_t others = x ? x->others : 0;
        out->have -= others; /* an evening of its own leans on nobody else's, if it can */
        if (!choose(t, out, &st, &after))
            return false;
        if (!out->feasible && others) {
            out->have += others;
            st.plan_count = plans;
            if (!choose(t, out, &st, &after))
                return false;
        }
        if (!out->feasible && !same_day && stands &&
            (!keep(t, out, &before, &done) || done)) /* a day on or so */
            return done;
    }
    find_falls(out, &before, &after);
    return true;
}

/* -- recording -----------------------------------------------------------------------------------
 */

/* A pond that is to be ready for others first, or still has fish when its long preparing would
 * begin, is prepared by a text of its own before the evening (TASK_INJECT says so). */
static bool asked_already(const struct turn *t, int number) {
    for (int i = t->entries_kept; i < t->entry_count; i++)
        if (t->entries[i].kind == ENTRY_PREPARE && t->entries[i].subject == number &&
            t->entries[i].value[0])
            return true;
    return false;
}

static void record_pond(struct turn *t, int number, const struct choose_plan *plan, bool of_plan) {
    const struct pond *pond = farm_pond(&t->farm->state, number);
    int64_t ready_s = offer_instant(t, plan->days.stock_day, 12 * 60);
    bool waits = pond->ready_s && pond->ready_s + DAY_S > t->now_s && !of_plan &&
                 !pond_no_fry_s(&t->farm->state, pond) && pond->ready_s <= ready_s;
    bool again = pond->ready_s == ready_s;
    if (!pond->cycle && !waits && !again && !asked_already(t, number))
        turn_record(t, ENTRY_PREPARE, SUBJECT_POND, number, t->base_s, ready_s, 0, 0);
}

void offer_record_plan(struct turn *t, const struct offer_farm *with,
                       const struct choose_plan *plan, int64_t number,
                       const struct spawn_plan *like) {
    int64_t inject_s = offer_instant(t, plan->days.inject_day, plan->days.inject_min);
    turn_record_entry(t, (struct entry){.kind = ENTRY_PLANNED,
                                        .subject_kind = SUBJECT_PLAN,
                                        .subject = number,
                                        .at_s = t->base_s,
                                        .value = {inject_s, like->order, like->fish, like->size_mg,
                                                  like->day_s}});
    for (int i = 0; i < plan->female_count; i++)
        turn_record(t, ENTRY_PLAN_FEMALE, SUBJECT_PLAN, number, t->base_s,
                    with->females[plan->females[i]]->id, 0, 0);
    if (plan->spare >= 0)
        turn_record(t, ENTRY_PLAN_FEMALE, SUBJECT_PLAN, number, t->base_s,
                    with->females[plan->spare]->id, 1, 0);
    for (int i = 0; i < plan->pond_count; i++) {
        int pond = with->ponds[plan->ponds[i]];
        turn_record(t, ENTRY_PLAN_POND, SUBJECT_PLAN, number, t->base_s, pond, 0, 0);
        record_pond(t, pond, plan, planned_for(&t->farm->state, pond, like->order));
    }
}

/* -- words ---------------------------------------------------------------------------------------
 */

static void put_tag(struct buf *b, char letter, int number) {
    if (b->n > TAGS_MOST) { /* the rest is only hinted at: TODAY and texts name all */
        if (b->p[b->n - 1] != '.')
            buf_puts(b, "...");
        return;
    }
    buf_putf(b, "%s%c%d", b->n ? "+" : "", letter, number);
}

static struct slice with_amount(struct turn *t, int person, struct slice tags,
                                struct reply_value amount) {
    const struct reply r = {amount.kind == VALUE_AREA ? REPLY_ORDER_TAGS_AREA
                                                      : REPLY_ORDER_TAGS_WEIGHT,
                            {V_TEXT(tags), amount}};
    return turn_render(t, person, &r);
}

struct slice offer_females(struct turn *t, int person, const struct offer_farm *with,
                           const struct choose_plan *plan) {
    struct buf b = buf_make_in(t->arena, 80);
    for (int i = 0; i < plan->female_count; i++)
        put_tag(&b, 'F', with->females[plan->females[i]]->tag);
    return with_amount(t, person, buf_slice(&b), V_WEIGHT(plan->female_mg));
}

struct slice offer_ponds(struct turn *t, int person, const struct offer_farm *with,
                         const struct choose_plan *plan) {
    struct buf b = buf_make_in(t->arena, 80);
    for (int i = 0; i < plan->pond_count; i++)
        put_tag(&b, 'P', with->ponds[plan->ponds[i]]);
    return with_amount(t, person, buf_slice(&b), V_AREA(plan->area_cm2));
}

struct slice offer_males(struct turn *t, int *count) {
    const struct farm_state *st = &t->farm->state;
    struct buf b = buf_make_in(t->arena, 80);
    int n = 0;
    for (int i = 0; i < st->brood_count && n < MALES_SHOWN; i++) {
        const struct brood *fish = &st->brood[i];
        int64_t age_s = fish->born_s ? t->now_s - fish->born_s : -1;
        if (fish->sex != SEX_MALE || fish->died_s || !brood_mature(age_s, fish->weight_mg))
            continue;
        put_tag(&b, 'M', fish->tag);
        n++;
    }
    *count = n;
    return buf_slice(&b);
}

struct slice offer_name(struct turn *t, int64_t buyer) {
    return buyer ? slice_head(turn_party_shown(t, buyer), REQUEST_NAME_MAX) : SLICE("");
}
