/* order_list: the orders that were taken: all of them, one of them, the end of one, and what was
 * delivered of it. In: a request; out: an answer, or entries. What is expected is farm's
 * expect.h. */
#include "turn/order.h"

#include "trade/book.h"

enum { DAY_S = 86400, LIST_TAGS_MOST = 40, WAY_KINDS = 5 };

/* -- of a plan -----------------------------------------------------------------------------------
 */

const struct brood *order_plan_spare(const struct turn *t, const struct spawn_plan *p) {
    for (int i = 0; i < p->female_count; i++)
        if (p->females[i].spare)
            return farm_brood(&t->farm->state, p->females[i].female);
    return NULL;
}

static void put_tag(struct buf *b, char letter, int number) {
    if (b->n <= LIST_TAGS_MOST)
        buf_putf(b, "%s%c%d", b->n ? "+" : "", letter, number);
    else if (b->p[b->n - 1] != '.')
        buf_puts(b, "...");
}

struct slice order_plan_tags(struct turn *t, const struct spawn_plan *p) {
    struct buf b = buf_make_in(t->arena, 80);
    for (int i = 0; i < p->female_count; i++) {
        const struct brood *fish = farm_brood(&t->farm->state, p->females[i].female);
        if (fish && !fish->died_s && !p->females[i].spare)
            put_tag(&b, 'F', fish->tag);
    }
    return buf_slice(&b);
}

struct slice order_plan_ponds(struct turn *t, const struct spawn_plan *p) {
    struct buf b = buf_make_in(t->arena, 80);
    for (int i = 0; i < p->pond_count; i++)
        put_tag(&b, 'P', p->ponds[i]);
    return buf_slice(&b);
}

/* -- all -----------------------------------------------------------------------------------------
 */

static struct expect *expect_all(struct turn *t, int *count, int *own_runs) {
    struct expect *rows = ARENA_ARRAY(t->arena, EXPECT_ORDERS_MAX, struct expect);
    struct order_odds *odds = ARENA_ARRAY(t->arena, 1, struct order_odds);
    if (!rows || !odds) {
        t->e = ERR_NOMEM;
        return NULL;
    }
    expect_odds(&t->farm->state, t->now_s, odds);
    const struct order_rates *r = &odds->rates;
    const int runs[] = {r->eggs.own_runs, r->hatch.own_runs, r->survive.own_runs,
                        r->nursery.own_runs};
    *own_runs = 0;
    for (size_t i = 0; i < sizeof runs / sizeof runs[0]; i++)
        *own_runs = runs[i] > *own_runs ? runs[i] : *own_runs;
    *count = expect_orders(&t->farm->state, t->zone, t->now_s, odds, rows, EXPECT_ORDERS_MAX);
    return rows;
}

bool order_expect(struct turn *t, int64_t order, struct expect *out, int *own_runs) {
    int count;
    const struct expect *rows = expect_all(t, &count, own_runs);
    for (int i = 0; rows && i < count; i++)
        if (rows[i].order == order) {
            *out = rows[i];
            return true;
        }
    return false;
}

static struct slice line_of(struct turn *t, const struct expect *x) {
    const struct order *o = farm_order(&t->farm->state, x->order);
    struct reply_value what = V_TEXT(order_what(t, t->sender, o, offer_name(t, o->buyer)));
    const struct reply r = {x->fall_tenths ? REPLY_ORDER_LINE_DANGER : REPLY_ORDER_LINE,
                            {V_NUMBER(o->number), what, V_NUMBER(x->promised),
                             V_NUMBER(offer_floor(x->promise)),
                             V_NUMBER(turn_two_figures(x->middle))}};
    return turn_render(t, t->sender, &r);
}

/* Those in danger first, the worst of them first; else by their day. */
void turn_list_orders(struct turn *t) {
    struct slice lines[EXPECT_ORDERS_MAX];
    int count = 0, own_runs, n = 0;
    const struct expect *rows = expect_all(t, &count, &own_runs);
    for (int fall = 10; rows && fall >= 0; fall--)
        for (int i = 0; i < count; i++)
            if (rows[i].fall_tenths == fall)
                lines[n++] = line_of(t, &rows[i]);
    if (!n) {
        TURN_SAY(t, ORDERS_NONE);
        return;
    }
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines(t, t->sender, lines, n));
}

/* -- one -----------------------------------------------------------------------------------------
 */

/* "2 females, 24000 eggs, 3000 in ponds": what of it is where. */
static struct slice on_the_way(struct turn *t, const struct expect *x) {
    static const enum reply_id ids[WAY_KINDS] = {[ORDER_FEMALE] = REPLY_ORDER_WAY_FEMALES,
                                                 [ORDER_EGGS] = REPLY_ORDER_WAY_EGGS,
                                                 [ORDER_LARVAE] = REPLY_ORDER_WAY_LARVAE,
                                                 [ORDER_FRY] = REPLY_ORDER_WAY_FRY,
                                                 [ORDER_FISH] = REPLY_ORDER_WAY_FISH};
    int64_t sums[WAY_KINDS] = {0};
    struct buf b = buf_make_in(t->arena, 400);
    for (int i = 0; i < x->part_count; i++)
        sums[x->parts[i].stage] += x->parts[i].stage == ORDER_FEMALE ? 1 : x->parts[i].amount;
    for (int i = 0; i < WAY_KINDS; i++) {
        if (!sums[i])
            continue;
        int64_t shown = i == ORDER_FEMALE ? sums[i] : turn_two_figures(sums[i]);
        const struct reply r = {ids[i], {V_NUMBER(shown)}};
        if (b.n)
            buf_puts(&b, ", ");
        buf_put(&b, turn_render(t, t->sender, &r));
    }
    if (x->spare) {
        const struct reply r = {REPLY_ORDER_WAY_SPARE, {V_NUMBER(offer_floor(x->spare))}};
        if (b.n)
            buf_puts(&b, ", ");
        buf_put(&b, turn_render(t, t->sender, &r));
    }
    return buf_slice(&b);
}

static const struct spawn_plan *next_plan(const struct turn *t, int64_t order) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn_plan *next = NULL;
    for (int i = 0; i < st->plan_count; i++) {
        const struct spawn_plan *p = &st->plans[i];
        if (p->order == order && spawn_plan_open(st, p, t->now_s) &&
            (!next || p->inject_s < next->inject_s))
            next = p;
    }
    return next;
}

static void say_plan(struct turn *t, const struct spawn_plan *p) {
    struct reply_value tags = V_TEXT(order_plan_tags(t, p)), at = V_WHEN(p->inject_s);
    if (p->pond_count)
        TURN_SAY(t, ORDER_NEXT_PONDS, at, tags, V_TEXT(order_plan_ponds(t, p)));
    else
        TURN_SAY(t, ORDER_NEXT, at, tags);
}

void turn_show_order(struct turn *t, const struct order *o) {
    struct expect x;
    int own_runs;
    struct reply_value number = V_NUMBER(o->number);
    struct reply_value what = V_TEXT(order_what(t, t->sender, o, offer_name(t, o->buyer)));
    turn_about(t, t->sender, ABOUT_ORDER, o->number, (struct slice){0});
    if (o->off_s) {
        TURN_SAY(t, ORDER_IS_OFF, number, V_DATE(o->off_s));
        return;
    }
    if (!order_expect(t, o->number, &x, &own_runs)) {
        if (!t->e)
            TURN_SAY(t, ORDER_IS_OVER, number, what, V_NUMBER(o->delivered));
        return;
    }
    struct reply_value promised = V_NUMBER(x.promised), now = V_NUMBER(offer_floor(x.promise));
    struct reply_value middle = V_NUMBER(turn_two_figures(x.middle));
    if (x.fall_tenths)
        TURN_SAY(t, ORDER_IS_DANGER, number, what, promised, now, middle);
    else
        TURN_SAY(t, ORDER_IS, number, what, promised, now, middle);
    if (o->delivered)
        TURN_SAY(t, ORDER_GOT_SO_FAR, V_NUMBER(o->delivered));
    struct slice way = on_the_way(t, &x);
    const struct spawn_plan *next = next_plan(t, o->number);
    if (next)
        say_plan(t, next);
    else if (way.n)
        TURN_SAY(t, ORDER_ON_WAY, V_TEXT(way));
    else
        TURN_SAY(t, ORDER_NOTHING_WAY, number);
}

/* -- called off ----------------------------------------------------------------------------------
 */

static void call_off_plan(struct turn *t, const struct request *r, const struct spawn_plan *p) {
    struct reply_value number = V_NUMBER(p->number), at = V_WHEN(p->inject_s);
    if (p->order) {
        TURN_SAY(t, PLAN_OF_ORDER, number, V_NUMBER(p->order));
        return;
    }
    if (p->off_s || !spawn_plan_open(&t->farm->state, p, t->now_s)) {
        TURN_SAY(t, PLAN_OVER, number, at);
        return;
    }
    if (!(r->confirms & CONFIRM_ORDER)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_ORDER, ASK_PLAN_OFF, number, at,
                 V_TEXT(order_plan_tags(t, p)));
        return;
    }
    turn_record(t, ENTRY_PLAN_OFF, SUBJECT_PLAN, p->number, t->base_s, 0, 0, 0);
    for (int i = 0; i < p->pond_count; i++)
        order_free_pond(t, p, p->ponds[i], false);
    if (turn_commit(t))
        TURN_SAY(t, PLAN_CALLED_OFF, number);
}

void turn_call_off(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    if (!order_owner(t))
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_CALL_WHICH);
        return;
    }
    const struct order *o = farm_order(st, r->count);
    const struct spawn_plan *p = farm_spawn_plan(st, r->count);
    if (!o && p) {
        call_off_plan(t, r, p);
        return;
    }
    struct reply_value number = V_NUMBER(r->count);
    if (!o) {
        TURN_SAY(t, ORDER_UNKNOWN, number);
        return;
    }
    struct reply_value what = V_TEXT(order_what(t, t->sender, o, offer_name(t, o->buyer)));
    if (o->off_s) {
        TURN_SAY(t, ORDER_IS_OFF, number, V_DATE(o->off_s));
        return;
    }
    if (!order_open(o, t->now_s)) {
        TURN_SAY(t, ORDER_IS_OVER, number, what, V_NUMBER(o->delivered));
        return;
    }
    if (!(r->confirms & CONFIRM_ORDER)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_ORDER, ASK_CALL_OFF, number, what);
        return;
    }
    turn_record(t, ENTRY_ORDER_OFF, SUBJECT_ORDER, o->number, t->base_s, 0, 0, 0);
    order_drop_plans(t, o->number, 0);
    order_free_ponds(t, o->number, NULL);
    if (turn_commit(t))
        TURN_SAY(t, CALLED_OFF, number);
}

/* -- delivered -----------------------------------------------------------------------------------
 */

/* Her open order of the earliest day, of equal days the first taken; NULL: none. */
static const struct order *order_of_buyer(const struct turn *t, int64_t buyer, int64_t mean_mg,
                                          int64_t at_s, const struct turn_delivery *done) {
    enum {
        TOO_SMALL = 4
    }; /* our own bound: who ordered fish of 2 g and is sold fry waits for them */
    const struct farm_state *st = &t->farm->state;
    const struct order *first = NULL;
    for (int i = 0; i < st->order_count && buyer; i++) {
        const struct order *o = &st->orders[i];
        bool had = false;
        for (int k = 0; k < done->count; k++)
            had |= done->orders[k] == o->number;
        bool small = mean_mg > 0 && mean_mg * TOO_SMALL <= o->mean_mg;
        if (!had && !small && o->buyer == buyer && o->ordered_s <= at_s && order_open(o, at_s) &&
            (!first || o->day_s < first->day_s))
            first = o;
    }
    return first;
}

void turn_delivers(struct turn *t, int64_t buyer, int64_t count, int64_t mean_mg, int64_t at_s,
                   struct turn_delivery *out) {
    *out = (struct turn_delivery){.count = 0};
    while (count > 0 && out->count < TURN_DELIVERIES_MAX) {
        const struct order *o = order_of_buyer(t, buyer, mean_mg, at_s, out);
        if (!o)
            break;
        int64_t left = order_left(o), more = count < left ? count : left;
        out->orders[out->count] = o->number;
        out->fish[out->count++] = more;
        turn_record(t, ENTRY_DELIVERED, SUBJECT_ORDER, o->number, at_s, more, 0, 0);
        count -= more;
    }
}

void turn_say_delivered(struct turn *t, const struct turn_delivery *delivery) {
    for (int i = 0; i < delivery->count; i++) {
        const struct order *o = farm_order(&t->farm->state, delivery->orders[i]);
        if (!o)
            continue;
        if (order_left(o))
            TURN_SAY(t, ORDER_GOT, V_NUMBER(o->number), V_NUMBER(o->delivered),
                     V_NUMBER(order_left(o)));
        else
            TURN_SAY(t, ORDER_GOT_ALL, V_NUMBER(o->number), V_NUMBER(o->delivered));
    }
}
