/* week: what happened in a week or a month: dead, feed, growth, sales, orders, messages. For WEEK
 * and MONTH, and to each owner on Sunday. In: the farm, the instants; out: texts. Sums are of what
 * was reported; what fish weigh and what orders will get is the farm room's. No errors.
 *
 * Orders, messages and money are for owners and advisers. Limits: dead brood fish are named, not
 * counted with the others; stolen fish are not dead ones. */
#include "farm/expect.h"
#include "turn/inside.h"

enum {
    DAY_S = 86400,
    WEEK_DAYS = 7,
    LINES_MOST = 80,
    LIST_LINES = 16, /* of one list, as many as eighty ponds need */
    LIST_DEAD = 60,  /* characters of a list of ponds, as replies.def cuts it */
    LIST_FEED = 80,
    LIST_GROWTH = 100,
    LIST_BROOD = 40,
    ORDERS_MOST = 10
};

struct span {
    int64_t from_s, to_s; /* the second not included */
    bool until_now;       /* up to now or this morning: orders as they stand are told, too */
};

struct report {
    struct turn *t;
    struct span span;
    struct slice lines[LINES_MOST];
    int count;
};

static void put(struct report *w, const struct reply *reply) {
    if (w->count < LINES_MOST)
        w->lines[w->count++] = turn_render(w->t, w->t->sender, reply);
}
#define PUT(report, id, ...) put((report), &(struct reply){REPLY_##id, {__VA_ARGS__}})

static bool within(const struct span *span, int64_t at_s) {
    return at_s >= span->from_s && at_s < span->to_s;
}

/* "P1 80, P2 40": where a line is full the next begins, and MORE shows what does not go out. */
struct list {
    struct buf now;
    size_t most;
    struct slice full[LIST_LINES];
    int count;
};

static struct list list_make(struct turn *t, size_t most) {
    return (struct list){.now = buf_make_in(t->arena, most + 1), .most = most};
}

static void list_put(struct turn *t, struct list *list, struct slice one) {
    enum { DOTS = 3 };
    struct buf *now = &list->now;
    bool last = list->count == LIST_LINES - 1;
    if (last && now->n && now->p[now->n - 1] == '.')
        return;
    if (now->n && now->n + one.n + 2 + (last ? DOTS : 0) > list->most) {
        if (last) {
            buf_puts(now, "...");
            return;
        }
        list->full[list->count++] = buf_slice(now);
        *now = buf_make_in(t->arena, list->most + 1);
    }
    buf_puts(now, now->n ? ", " : "");
    buf_put(now, one);
}

static struct slice list_first(const struct list *list) {
    return list->count ? list->full[0] : buf_slice(&list->now);
}

/* What stood in no line yet, after the one that begins it. */
static void list_rest(struct report *w, const struct list *list) {
    for (int i = 1; i <= list->count && w->count < LINES_MOST; i++)
        w->lines[w->count++] = i < list->count ? list->full[i] : buf_slice(&list->now);
}

static struct slice tagged(struct turn *t, char letter, int number, struct slice value) {
    struct buf b = buf_make_in(t->arena, 60);
    buf_putf(&b, "%c%d", letter, number);
    if (value.n)
        buf_putc(&b, ' ');
    buf_put(&b, value);
    return buf_slice(&b);
}

static struct slice number_text(struct turn *t, int64_t number) {
    struct buf b = buf_make_in(t->arena, 24);
    buf_put_int(&b, number);
    return buf_slice(&b);
}

/* -- dead ----------------------------------------------------------------------------------------
 */

static int64_t dead_in(const struct cycle *c, const struct span *span) {
    int64_t dead = 0;
    for (int i = 0; i < c->event_count; i++)
        if (c->events[i].kind == FISH_DIED && within(span, c->events[i].at_s))
            dead += c->events[i].count;
    return dead;
}

static int64_t dead_larvae(const struct farm_state *st, const struct span *span) {
    int64_t dead = 0;
    for (int i = 0; i < st->spawn_count; i++)
        for (int k = 0; k < st->spawns[i].event_count; k++)
            if (st->spawns[i].events[k].what == LARVAE_DIED &&
                within(span, st->spawns[i].events[k].at_s))
                dead += st->spawns[i].events[k].count;
    return dead;
}

static void put_dead(struct report *w) {
    struct turn *t = w->t;
    const struct farm_state *st = &t->farm->state;
    struct list ponds = list_make(t, LIST_DEAD), brood = list_make(t, LIST_BROOD);
    int64_t all = 0, larvae = dead_larvae(st, &w->span);
    for (int i = 0; i < st->pond_count; i++) {
        int64_t dead = 0;
        for (int k = 0; k < st->cycle_count; k++)
            if (st->cycles[k].pond == st->ponds[i].number)
                dead += dead_in(&st->cycles[k], &w->span);
        all += dead;
        if (dead)
            list_put(t, &ponds, tagged(t, 'P', st->ponds[i].number, number_text(t, dead)));
    }
    for (int i = 0; i < st->brood_count; i++)
        if (st->brood[i].died_s && within(&w->span, st->brood[i].died_s))
            list_put(
                t, &brood,
                tagged(t, st->brood[i].sex == SEX_MALE ? 'M' : 'F', st->brood[i].tag, SLICE("")));
    if (all) {
        PUT(w, WEEK_DEAD, V_NUMBER(all), V_TEXT(list_first(&ponds)));
        list_rest(w, &ponds);
    }
    if (larvae)
        PUT(w, WEEK_DEAD_LARVAE, V_NUMBER(larvae));
    if (brood.now.n) {
        PUT(w, WEEK_DEAD_BROOD, V_TEXT(list_first(&brood)));
        list_rest(w, &brood);
    }
}

/* -- feed and growth -----------------------------------------------------------------------------
 */

static struct slice weight_text(struct turn *t, int64_t weight_mg) {
    const struct reply weight = {REPLY_AMOUNT_WEIGHED, {V_WEIGHT(weight_mg)}};
    return turn_render(t, t->sender, &weight);
}

static void put_feed(struct report *w) {
    struct turn *t = w->t;
    const struct farm_state *st = &t->farm->state;
    struct list ponds = list_make(t, LIST_FEED);
    int64_t all_mg = 0;
    for (int i = 0; i < st->pond_count; i++) {
        int64_t fed_mg = 0;
        for (int k = 0; k < st->cycle_count; k++)
            if (st->cycles[k].pond == st->ponds[i].number)
                fed_mg += growing_fed_mg(st, &st->cycles[k], w->span.from_s, w->span.to_s);
        all_mg += fed_mg;
        if (fed_mg)
            list_put(t, &ponds, tagged(t, 'P', st->ponds[i].number, weight_text(t, fed_mg)));
    }
    if (all_mg) {
        PUT(w, WEEK_FEED, V_WEIGHT(all_mg), V_TEXT(list_first(&ponds)));
        list_rest(w, &ponds);
    }
}

/* Of fish that are in the pond still, from the stocking on where that was since. */
static void put_growth(struct report *w) {
    struct turn *t = w->t;
    const struct farm_state *st = &t->farm->state;
    struct list ponds = list_make(t, LIST_GROWTH);
    for (int i = 0; i < st->cycle_count; i++) {
        const struct cycle *c = &st->cycles[i];
        int64_t from_s = c->stocked_s > w->span.from_s ? c->stocked_s : w->span.from_s;
        if (c->closed_s || from_s >= w->span.to_s || !turn_grown(c, w->span.to_s))
            continue;
        const struct growing then = growing_of(st, c, from_s),
                             now = growing_of(st, c, w->span.to_s);
        if (!then.biomass_mg || !now.biomass_mg)
            continue;
        int64_t was_mg = turn_two_figures(then.weight_mg.middle),
                is_mg = turn_two_figures(now.weight_mg.middle);
        const struct reply grew = {
            REPLY_WEEK_GREW, {V_TAG(turn_pond_tag(c->pond)), V_WEIGHT(was_mg), V_WEIGHT(is_mg)}};
        list_put(t, &ponds,
                 was_mg == is_mg ? tagged(t, 'P', c->pond, weight_text(t, is_mg))
                                 : turn_render(t, t->sender, &grew));
    }
    if (ponds.now.n) {
        PUT(w, WEEK_GROWTH, V_TEXT(list_first(&ponds)));
        list_rest(w, &ponds);
    }
}

/* -- sales ---------------------------------------------------------------------------------------
 */

/* How many a sale of all was thought to be. */
static int64_t thought_sold(const struct farm_state *st, const struct entry *n) {
    const struct spawn *s = n->subject_kind == SUBJECT_SPAWN ? farm_spawn(st, n->subject) : NULL;
    const struct cycle *c = n->subject_kind == SUBJECT_CYCLE ? farm_cycle(st, n->subject) : NULL;
    for (int i = 0; s && i < s->event_count; i++)
        if (s->events[i].what == LARVAE_TAKEN && s->events[i].at_s == n->at_s)
            return s->events[i].count;
    for (int i = 0; c && i < c->event_count; i++)
        if (c->events[i].kind == FISH_TAKEN && c->events[i].at_s == n->at_s)
            return c->events[i].count;
    return 0;
}

static void put_sold(struct report *w) {
    const struct farm *farm = w->t->farm;
    int64_t fish = 0, larvae = 0, weight_mg = 0;
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (n->kind != ENTRY_SOLD || !farm->in_force[i] || !within(&w->span, n->at_s))
            continue;
        int64_t count = n->value[0] ? n->value[0] : thought_sold(&farm->state, n);
        if (n->subject_kind == SUBJECT_SPAWN)
            larvae += count;
        else
            fish += count;
        weight_mg += n->value[1];
    }
    if (fish && weight_mg)
        PUT(w, WEEK_SOLD_WEIGHED, V_NUMBER(fish), V_WEIGHT(weight_mg));
    else if (fish)
        PUT(w, WEEK_SOLD, V_NUMBER(fish));
    if (larvae)
        PUT(w, WEEK_SOLD_LARVAE, V_NUMBER(larvae));
}

/* What it cost and brought, and what is owed: of owners, where money was ever texted. */
static void put_money(struct report *w) {
    enum { MONEY_LINES = 4 };
    struct reply lines[MONEY_LINES];
    int n = turn_money_lines(w->t, w->t->sender, w->span.from_s, w->span.to_s, lines, MONEY_LINES);
    for (int i = 0; i < n; i++)
        put(w, &lines[i]);
}

/* -- orders and messages -------------------------------------------------------------------------
 */

/* What was promised, and what can be promised by now 4 times in 5. */
static void put_order(struct report *w, const struct expect *x) {
    const struct order *o = farm_order(&w->t->farm->state, x->order);
    struct reply_value number = V_NUMBER(x->order), day = V_DATE(o->day_s);
    struct reply_value now = V_NUMBER(turn_two_figures(x->promise)), was = V_NUMBER(x->promised);
    if (x->fall_tenths)
        PUT(w, WEEK_ORDER_DANGER, number, day, was, now);
    else
        PUT(w, WEEK_ORDER, number, day, was, now, V_NUMBER(turn_two_figures(x->middle)));
}

static void put_orders(struct report *w) {
    struct turn *t = w->t;
    struct expect *all = ARENA_ARRAY(t->arena, EXPECT_ORDERS_MAX, struct expect);
    struct order_odds *odds = ARENA_ARRAY(t->arena, 1, struct order_odds);
    if (!t->farm->state.order_count)
        return;
    if (!all || !odds) {
        t->e = ERR_NOMEM;
        return;
    }
    expect_odds(&t->farm->state, t->now_s, odds);
    int n = expect_orders(&t->farm->state, t->zone, t->now_s, odds, all, EXPECT_ORDERS_MAX);
    for (int danger = 1; danger >= 0; danger--)
        for (int i = 0; i < n && i < ORDERS_MOST; i++)
            if ((all[i].fall_tenths > 0) == danger)
                put_order(w, &all[i]);
}

/* Counted in parts, as providers bill them; in money once the farm said what one costs it, at
 * the price of today. */
static void put_texts(struct report *w) {
    struct turn *t = w->t;
    int sent, received;
    if (!t->parts || !t->parts(t->context, w->span.from_s, w->span.to_s, &sent, &received) ||
        sent + received <= 0)
        return;
    const struct price *price = turn_price_sms(t);
    struct money sum = money_times(price ? price->minor : 0, sent);
    if (price && sum.reason == MONEY_OK)
        PUT(w, WEEK_TEXTS_COST, V_NUMBER(sent), V_NUMBER(received), V_TEXT(turn_currency_code(t)),
            V_TEXT(turn_money_text(t, sum.minor)));
    else
        PUT(w, WEEK_TEXTS, V_NUMBER(sent), V_NUMBER(received));
}

/* -- all -----------------------------------------------------------------------------------------
 */

/* 0: it ends in this one, which needs not be said. */
static int year_named(const struct turn *t, const struct span *span) {
    int year = zone_local(t->zone, span->to_s - 1).year;
    return year == zone_local(t->zone, t->now_s).year ? 0 : year;
}

/* For turn.sender; empty: nothing happened. */
static struct slice report_text(struct turn *t, struct span span) {
    struct report w = {.t = t, .span = span};
    bool owns = turn_sender(t)->role == ROLE_OWNER || turn_sender(t)->role == ROLE_ADVISER;
    int year = year_named(t, &span);
    if (year)
        PUT(&w, WEEK_HEAD_YEAR, V_DATE(span.from_s), V_DATE(span.to_s - 1), V_NUMBER(year));
    else
        PUT(&w, WEEK_HEAD, V_DATE(span.from_s), V_DATE(span.to_s - 1));
    put_dead(&w);
    put_feed(&w);
    put_growth(&w);
    put_sold(&w);
    put_money(&w);
    if (owns && span.until_now)
        put_orders(&w);
    if (owns)
        put_texts(&w);
    return w.count > 1 ? turn_lines(t, t->sender, w.lines, w.count) : SLICE("");
}

static void say_report(struct turn *t, struct span span) {
    struct slice text = report_text(t, span);
    int year = year_named(t, &span);
    if (text.n)
        turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX, text);
    else if (year)
        TURN_SAY(t, WEEK_NOTHING_YEAR, V_DATE(span.from_s), V_DATE(span.to_s - 1), V_NUMBER(year));
    else
        TURN_SAY(t, WEEK_NOTHING, V_DATE(span.from_s), V_DATE(span.to_s - 1));
}

/* Seven whole days, so that each report is of one Sunday's. */
struct slice turn_sunday_text(struct turn *t, int person) {
    int sender = t->sender;
    int64_t today_s = zone_midnight(t->zone, t->now_s, 0);
    t->sender = person; /* in his language */
    struct slice text =
        report_text(t, (struct span){zone_midnight(t->zone, t->now_s, -WEEK_DAYS), today_s, true});
    t->sender = sender;
    return text;
}

/* Today and the six days before. */
void turn_do_week(struct turn *t) {
    say_report(t,
               (struct span){zone_midnight(t->zone, t->now_s, 1 - WEEK_DAYS), t->now_s + 1, true});
}

static int64_t month_begin(const struct turn *t, int year, int month) {
    int64_t at_s;
    struct zone_time first = {.year = year + month / 13, .month = month > 12 ? 1 : month, .day = 1};
    return zone_instant(t->zone, first, &at_s) ? zone_days(first.year, first.month, 1) * DAY_S
                                               : at_s;
}

/* This month until now; a named one without its year is the last that has begun. */
void turn_do_month(struct turn *t, const struct request *r) {
    struct zone_time now = zone_local(t->zone, t->now_s);
    bool named = request_has(r, SLOT_MONTHS);
    int last = named ? r->month_last : now.month, first = named ? r->month_first : last;
    int last_year = named && r->month_last_year ? r->month_last_year
                    : last > now.month          ? now.year - 1
                                                : now.year;
    int first_year =
        named && r->month_first_year ? r->month_first_year : last_year - (first > last);
    struct span span = {month_begin(t, first_year, first), month_begin(t, last_year, last + 1),
                        false};
    if (span.from_s > t->now_s) {
        TURN_SAY(t, MONTH_AHEAD, V_DATE(span.from_s));
        return;
    }
    span.until_now = span.to_s > t->now_s;
    if (span.until_now)
        span.to_s = t->now_s + 1;
    say_report(t, span);
}
