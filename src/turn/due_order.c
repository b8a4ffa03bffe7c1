/* due_order: the texts of an evening that was planned, of an order in danger and of an order's day,
 * and their lines of TODAY. In: a task; out: a text of at most two parts. Numbers are trade's, what
 * could be done about a danger is offer.c's. */
#include "turn/order.h"

#include "trade/book.h"

enum { DAY_S = 86400, NOON = 12 };

#define PUT(weight, ...) ORDER_PUT(t, &text, ORDER_##weight, __VA_ARGS__)

/* -- the evening ---------------------------------------------------------------------------------
 */

/* The ponds of a plan that nobody was asked to prepare for its fry: they were not free yet. */
static struct slice unprepared(struct turn *t, const struct spawn_plan *p) {
    struct buf b = buf_make_in(t->arena, 80);
    for (int i = 0; i < p->pond_count; i++) {
        const struct pond *pond = farm_pond(&t->farm->state, p->ponds[i]);
        int64_t apart_s = pond && pond->ready_s ? p->day_s - pond->ready_s : -1;
        if (pond && b.n < 40 && (apart_s < 0 || apart_s > ORDER_POND_DAYS * (int64_t)DAY_S))
            buf_putf(&b, "%sP%d", b.n ? " " : "", pond->number);
    }
    return buf_slice(&b);
}

static struct slice inject(struct turn *t, const struct spawn_plan *p, bool missed, int person) {
    const struct farm_state *st = &t->farm->state;
    const struct order *o = p->order ? farm_order(st, p->order) : NULL;
    const struct brood *spare = order_plan_spare(t, p);
    int male_count;
    struct slice males = offer_males(t, &male_count), bare = unprepared(t, p);
    struct order_text text = {.person = person};
    struct reply_value at = V_WHEN(p->inject_s), tags = V_TEXT(order_plan_tags(t, p));
    if (missed) {
        const struct reply r = {REPLY_MISSED_INJECT, {tags, at}};
        return turn_render(t, person, &r);
    }
    if (o)
        PUT(MUST, DUE_INJECT, at, tags, V_NUMBER(o->number));
    else
        PUT(MUST, DUE_INJECT_SEASON, at, tags, V_NUMBER(offer_floor(p->fish)), V_DATE(p->day_s));
    if (spare && !spare->died_s)
        PUT(MAY, ORDER_SPARE, V_TAG(((struct tag){'f', spare->tag})));
    if (male_count > 1)
        PUT(MAY, ORDER_MALES, V_TEXT(males));
    else if (male_count)
        PUT(MUST, ORDER_MALES_ONE, V_TEXT(males));
    else
        PUT(MUST, ORDER_MALES_NONE, {0});
    if (bare.n)
        PUT(MUST, DUE_INJECT_PREP, V_TEXT(bare));
    PUT(MAY, DUE_INJECT_TEXT, {0});
    return order_fit(t, &text);
}

/* -- danger --------------------------------------------------------------------------------------
 */

static struct slice danger(struct turn *t, const struct order *o, int person) {
    struct expect x;
    struct offer offer;
    int own_runs;
    struct order_text text = {.person = person};
    struct reply_value number = V_NUMBER(o->number);
    if (!order_expect(t, o->number, &x, &own_runs) || !offer_make(t, o, true, &offer))
        return SLICE("?");
    PUT(MUST, DUE_ORDER, number, V_TEXT(order_what(t, person, o, offer_name(t, o->buyer))),
        V_NUMBER(x.promised), V_NUMBER(offer_floor(x.promise)),
        V_NUMBER(turn_two_figures(x.middle)));
    struct reply_value day = V_DATE(o->day_s);
    if (offer.feasible && offer.chosen.female_count) {
        const struct order_days *days = &offer.chosen.days;
        PUT(MUST, DUE_ORDER_MORE, V_TEXT(offer_females(t, person, &offer.with, &offer.chosen)),
            V_WHEN(offer_instant(t, days->inject_day, days->inject_min)), number, day);
        return order_fit(t, &text);
    }
    int64_t can = offer_floor(offer.can > x.promise ? offer.can : x.promise);
    if (can > o->delivered)
        PUT(MUST, ORDER_CAN_CHANGE, day, V_NUMBER(can), number);
    else
        PUT(MUST, ORDER_CAN_NONE, day);
    if (offer.first_day > 0)
        PUT(MAY, ORDER_FIRST_CHANGE, V_NUMBER(o->count),
            V_DATE(offer_instant(t, offer.first_day, NOON * 60)), number);
    PUT(MAY, DUE_ORDER_TELL, {0});
    return order_fit(t, &text);
}

/* -- its day -------------------------------------------------------------------------------------
 */

/* The ponds in which its own fish swim. */
static struct slice ponds_of(struct turn *t, const struct order *o) {
    const struct farm_state *st = &t->farm->state;
    struct buf b = buf_make_in(t->arena, 80);
    for (int i = 0; i < st->cycle_count; i++) {
        const struct cycle *c = &st->cycles[i];
        bool own = false;
        for (int p = 0; p < st->plan_count && c->spawn && !c->closed_s; p++)
            for (int k = 0; k < st->plans[p].female_count; k++)
                own |= st->plans[p].order == o->number && st->plans[p].females[k].spawn == c->spawn;
        if (own && b.n < 40)
            buf_putf(&b, "%sP%d", b.n ? " " : "", c->pond);
    }
    return buf_slice(&b);
}

static struct slice day(struct turn *t, const struct order *o, int person) {
    struct expect x;
    int own_runs;
    struct slice ponds = ponds_of(t, o);
    struct order_text text = {.person = person};
    struct reply_value what = V_TEXT(order_what(t, person, o, offer_name(t, o->buyer)));
    bool known = order_expect(t, o->number, &x, &own_runs);
    PUT(MUST, DUE_ORDER_DAY, V_NUMBER(o->number), what);
    if (known && x.middle <= o->delivered) {
        PUT(MUST, DUE_ORDER_DAY_NONE, V_NUMBER(o->number));
        return order_fit(t, &text);
    }
    if (ponds.n)
        PUT(MUST, DUE_ORDER_DAY_PONDS, V_TEXT(ponds), V_DATE(o->day_s - DAY_S), V_DATE(o->day_s));
    else
        PUT(MUST, DUE_ORDER_DAY_ANY, V_DATE(o->day_s - DAY_S), V_DATE(o->day_s));
    if (known)
        PUT(MAY, DUE_ORDER_DAY_EXPECT, V_NUMBER(turn_two_figures(x.middle)),
            V_NUMBER(offer_floor(x.promise)));
    return order_fit(t, &text);
}

/* -- all -----------------------------------------------------------------------------------------
 */

bool turn_due_order(struct turn *t, const struct task *task, int person, struct slice *text) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn_plan *p = farm_spawn_plan(st, task->key.subject);
    const struct order *o = farm_order(st, task->key.subject);
    if (task->key.kind == TASK_INJECT && p)
        *text = inject(t, p, task->key.nth == INJECT_MISSED, person);
    else if (task->key.kind == TASK_ORDER && o)
        *text = danger(t, o, person);
    else if (task->key.kind == TASK_ORDER_DAY && o)
        *text = day(t, o, person);
    else
        return false;
    return true;
}

struct reply turn_today_order(struct turn *t, const struct task *task) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn_plan *p = farm_spawn_plan(st, task->key.subject);
    const struct order *o = farm_order(st, task->key.subject);
    if (task->key.kind == TASK_INJECT && p) /* missed: with its own hour, which is past */
        return (struct reply){REPLY_TODAY_INJECT,
                              {V_WHEN(p->inject_s), V_TEXT(order_plan_tags(t, p))}};
    if (task->key.kind == TASK_ORDER && o)
        return (struct reply){REPLY_TODAY_ORDER, {V_NUMBER(o->number)}};
    if (task->key.kind == TASK_ORDER_DAY && o)
        return (struct reply){REPLY_TODAY_ORDER_DAY,
                              {V_NUMBER(o->number), V_NUMBER(order_left(o)), V_DATE(o->day_s)}};
    return (struct reply){.id = REPLY_COUNT};
}
