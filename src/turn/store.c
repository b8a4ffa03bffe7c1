/* store: the feed in the store: bought, counted, how long it lasts; and mixes of feeds. In: a
 * request; out: entries and an answer, or one question. What is missing between two counts is an
 * estimate and alarms nobody. Rations and mixes are trade's. Limits: a pond counts for the feed it
 * got last; its own table is taken at today's weight for all days to come. */
#include "farm/growing.h"
#include "trade/ahead.h"
#include "trade/book.h"
#include "trade/feed.h"
#include "turn/inside.h"

enum {
    DAYS_AHEAD = 60, /* how far the store is reckoned */
    SILENT_DAYS = 3, /* without a word of feeding: our own */
    FETCH_DAYS = 2,  /* from buying to having it: our own */
    EVEN_PERCENT = 2 /* no scale of a store shows less */
};
#define STORE_ASK_MG INT64_C(2000000000) /* 2 t at once: only a slipped digit, or a truck */
#define HALF_DAY_S   INT64_C(43200)

/* -- rations to come -----------------------------------------------------------------------------
 */

int64_t turn_share_ppm(const struct farm_state *st, int64_t weight_mg) {
    double points[TABLE_MAX][2];
    for (int i = 0; i < st->table_count; i++) {
        points[i][0] = (double)st->table[i].weight_mg;
        points[i][1] = (double)st->table[i].share_ppm;
    }
    const struct book_line own = {.count = st->table_count, .points = points};
    return st->table_count ? (int64_t)(book_line_at(&own, (double)weight_mg) + 0.5) : -1;
}

/* By how the fish grow, from the local day of today on. */
static bool rations_grown(struct turn *t, const struct cycle *c, int days, int64_t *ration_mg) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = farm_pond(st, c->pond);
    struct growing g = growing_of(st, c, t->now_s);
    struct growing_points p = growing_points(st, c, t->now_s);
    if (g.reason != GROWTH_OK || !p.count)
        return false;
    const struct ahead_pond ahead = {.samples = p.points,
                                     .count = p.count,
                                     .water = &p.water,
                                     .fish = g.fish.middle,
                                     .area_cm2 = pond->area_cm2,
                                     .share_ppm = turn_share_ppm(st, g.weight_mg.middle)};
    int64_t from_s = zone_midnight(t->zone, t->now_s, 0);
    int64_t first_s = p.points[p.count - 1].at_s - HALF_DAY_S; /* ahead.h */
    return ahead_rations(&ahead, from_s > first_s ? from_s : first_s, days, ration_mg) == GROWTH_OK;
}

/* For how many of the days to come the fish are no fingerlings yet; one fit for all days. */
static int days_nursery(struct turn *t, const struct cycle *c, int days) {
    const struct farm_state *st = &t->farm->state;
    struct growth_range weight_mg[AHEAD_DAYS_MOST];
    struct growing_points p = growing_points(st, c, t->now_s);
    int64_t grown_mg = (int64_t)(book_number(BOOK_FINGERLING_G) * 1000);
    int i = 0;
    if (!turn_is_nursery(st, c, t->now_s))
        return 0;
    if (!p.count ||
        growth_daily(p.points, p.count, &p.water, t->now_s, days, weight_mg) != GROWTH_OK)
        return days;
    while (i < days && weight_mg[i].middle < grown_mg)
        i++;
    return i;
}

bool turn_rations_ahead(struct turn *t, const struct pond *pond, int days, int64_t *ration_mg) {
    const struct cycle *c = pond->cycle ? farm_cycle(&t->farm->state, pond->cycle) : NULL;
    if (!c || days < 1 || days > AHEAD_DAYS_MOST)
        return false;
    int nursery = days_nursery(t, c, days);
    if (nursery && !pond->area_cm2)
        return false;
    if (nursery < days && !rations_grown(t, c, days, ration_mg))
        return false;
    for (int i = 0; i < nursery; i++) { /* fry by the line of their pond */
        int64_t day_s = i ? zone_midnight(t->zone, t->now_s, i) : t->now_s;
        ration_mg[i] = turn_nursery_feed(t, c, day_s).ration_mg;
    }
    return true;
}

/* What the ponds of a feed need on the days to come, and how long the store lasts by it. */
struct outlook {
    int ponds;
    int unknown; /* a pond whose rations are not known, 0 none */
    struct feed_store store;
};

static struct outlook outlook_of(struct turn *t, const struct feed *feed) {
    const struct farm_state *st = &t->farm->state;
    int64_t sum_mg[DAYS_AHEAD] = {0}, pond_mg[DAYS_AHEAD];
    struct outlook o = {0};
    for (int i = 0; i < st->pond_count; i++) {
        const struct pond *pond = &st->ponds[i];
        const struct cycle *c = pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
        if (!c || turn_feed_usual(t, pond) != feed->feed)
            continue;
        o.ponds++;
        if (!turn_rations_ahead(t, pond, DAYS_AHEAD, pond_mg)) {
            o.unknown = pond->number;
            continue;
        }
        int64_t given_mg = turn_fed_day(t, c, t->now_s); /* of today's ration this is eaten */
        pond_mg[0] = pond_mg[0] > given_mg ? pond_mg[0] - given_mg : 0;
        for (int k = 0; k < DAYS_AHEAD; k++)
            sum_mg[k] += pond_mg[k];
    }
    o.store = feed_store(feed_left_mg(feed), sum_mg, DAYS_AHEAD, FETCH_DAYS);
    if (!feed_left_mg(feed)) /* today may have been fed, but nothing is left */
    {
        o.store.lasts = false;
        o.store.days = o.store.buy_in_days = 0;
    }
    return o;
}

/* -- what is there -------------------------------------------------------------------------------
 */

static int64_t buy_day(const struct turn *t, const struct outlook *o) {
    return zone_midnight(t->zone, t->now_s, (int)o->store.buy_in_days) + HALF_DAY_S;
}

/* How long it lasts, behind what is there. */
static void say_lasts(struct turn *t, const struct feed *feed) {
    const struct outlook o = outlook_of(t, feed);
    struct reply_value week = V_WEIGHT(turn_two_figures(o.store.next_week_mg)),
                       days = V_NUMBER(o.store.days);
    if (!o.ponds)
        return;
    if (o.unknown)
        TURN_SAY(t, STORE_UNKNOWN, V_TAG(turn_pond_tag(o.unknown)));
    else if (o.store.reason != FEED_OK)
        return;
    else if (o.store.lasts)
        TURN_SAY(t, STORE_LONG, days, week);
    else if (o.store.buy_in_days)
        TURN_SAY(t, STORE_LASTS, days, V_DATE(buy_day(t, &o)),
                 V_WEIGHT(turn_two_figures(o.store.after_week_mg)));
    else
        TURN_SAY(t, STORE_BUY_NOW, days, week);
}

/* Ponds should get it, and nobody texted for days that one did: what is there is then no more than
 * what was there. */
static void say_silent(struct turn *t, const struct feed *feed) {
    const struct farm_state *st = &t->farm->state;
    int64_t last_s = feed->counted_s > feed->used_s ? feed->counted_s : feed->used_s;
    for (int i = 0;
         i < st->pond_count && last_s && t->now_s - last_s >= SILENT_DAYS * 2 * HALF_DAY_S; i++) {
        const struct pond *pond = &st->ponds[i];
        if (!pond->cycle || turn_feed_usual(t, pond) != feed->feed)
            continue;
        TURN_SAY(t, STORE_SILENT, V_DATE(last_s));
        return;
    }
}

/* More was given than was ever there, as far as anybody texted. */
static bool over(const struct feed *f) {
    return f->given_mg > f->counted_mg + f->bought_mg;
}

static void say_over(struct turn *t, const struct feed *f) {
    TURN_SAY(t, STORE_OVER, V_TEXT(turn_feed_name(t, t->sender, f->feed)),
             V_WEIGHT(f->counted_mg + f->bought_mg), V_WEIGHT(f->given_mg));
}

static void say_feed(struct turn *t, const struct feed *f) {
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, f->feed));
    struct reply_value left = V_WEIGHT(feed_left_mg(f)), bought = V_WEIGHT(f->bought_mg);
    struct reply_value given = V_WEIGHT(f->given_mg);
    turn_about(t, t->sender, ABOUT_STORE, f->feed, (struct slice){0});
    if (over(f)) {
        say_over(t, f);
        return;
    }
    if (f->counted_s)
        TURN_SAY(t, STORE_FEED, name, V_WEIGHT(f->counted_mg), V_DATE(f->counted_s), bought, given,
                 left);
    else
        TURN_SAY(t, STORE_FEED_UNCOUNTED, name, bought, given, left);
    say_silent(t, f);
    say_lasts(t, f);
}

/* One of several feeds in a line. */
static struct slice line_of(struct turn *t, const struct feed *f) {
    const struct outlook o = outlook_of(t, f);
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, f->feed));
    struct reply_value left = V_WEIGHT(feed_left_mg(f)), days = V_NUMBER(o.store.days);
    const struct reply plain = {REPLY_STORE_LINE, {name, left}};
    const struct reply lasts = {REPLY_STORE_LINE_LASTS,
                                {name, left, days,
                                 V_WEIGHT(turn_two_figures(o.store.after_week_mg)),
                                 V_DATE(buy_day(t, &o))}};
    const struct reply longer = {REPLY_STORE_LINE_LONG, {name, left, days}};
    const struct reply much = {REPLY_STORE_LINE_OVER, {name, V_WEIGHT(f->given_mg)}};
    bool known = o.ponds && !o.unknown && o.store.reason == FEED_OK;
    if (over(f))
        return turn_render(t, t->sender, &much);
    return turn_render(t, t->sender, !known ? &plain : o.store.lasts ? &longer : &lasts);
}

static void say_all(struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    struct slice lines[TURN_FEEDS_MAX + 2];
    int count = 0;
    const struct reply estimate = {REPLY_STORE_ESTIMATE, {{0}}};
    if (st->feed_count == 1)
        say_feed(t, &st->feeds[0]);
    if (st->feed_count == 1)
        return;
    for (int i = 0; i < st->feed_count && count <= TURN_FEEDS_MAX; i++)
        lines[count++] = line_of(t, &st->feeds[i]);
    if (!count) {
        TURN_SAY(t, STORE_EMPTY);
        return;
    }
    lines[count++] = turn_render(t, t->sender, &estimate);
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines(t, t->sender, lines, count));
}

/* -- bought and counted --------------------------------------------------------------------------
 */

/* Which feed, how much, when. False: an answer was given. */
static bool fill_store(struct turn *t, struct request *r, int64_t *feed, int64_t *at_s,
                       struct turn_amount *a) {
    int64_t feeds[TURN_FEEDS_MAX];
    bool none = (request_has(r, SLOT_WEIGHT) && !r->weight_mg) ||
                (request_has(r, SLOT_COUNT) && !r->count_milli);
    if (r->kind == REQUEST_BOUGHT && none) { /* before it is asked what it was of */
        TURN_SAY(t, BOUGHT_NONE);
        return false;
    }
    if (!request_has(r, SLOT_FEED) && turn_feeds(t, feeds, TURN_FEEDS_MAX) > 1) {
        TURN_SAY(t, FEED_WHICH, V_KIND(r->kind), V_TEXT(turn_feed_names(t)));
        return false;
    }
    if (!turn_past_day(t, r, at_s) || !turn_fill_feed(t, r, NULL, true, feed) ||
        !turn_fill_amount(t, r, *feed, *at_s, a))
        return false;
    if (a->weight_mg <= STORE_ASK_MG || (r->confirms & CONFIRM_MANY))
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_STORE_MANY, V_WEIGHT(a->weight_mg),
             V_TEXT(turn_feed_name(t, t->sender, *feed)));
    return false;
}

static void do_bought(struct turn *t, struct request *r) {
    struct turn_amount a;
    int64_t feed, at_s;
    struct turn_sale cost;
    if (!fill_store(t, r, &feed, &at_s, &a) || !turn_fill_feed_cost(t, r, feed, at_s, &a, &cost))
        return;
    const struct entry bought = {.kind = ENTRY_BOUGHT,
                                 .subject_kind = SUBJECT_HATCHERY,
                                 .at_s = at_s,
                                 .value = {a.weight_mg, feed}};
    const struct entry money = {.kind = ENTRY_COST, .value = {cost.minor}};
    if (!turn_sale_once(t, r, &bought, &money))
        return;
    bool is_new = turn_feed_new(t, feed);
    turn_record_holds(t, &a, feed, at_s);
    turn_record_feed_cost(t, r, feed, at_s, &a, &cost);
    turn_record(t, ENTRY_BOUGHT, SUBJECT_HATCHERY, 0, at_s, a.weight_mg, feed, 0);
    if (!turn_commit(t))
        return;
    const struct feed *f = farm_feed(&t->farm->state, feed);
    turn_about(t, t->sender, ABOUT_STORE, feed, (struct slice){0});
    struct reply_value amount = V_TEXT(turn_amount_text(t, t->sender, &a));
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, feed));
    if (over(f)) {
        TURN_SAY(t, BOUGHT_ONLY, amount, name, V_DATE(at_s));
        turn_say_feed_cost(t, &cost);
        say_over(t, f);
        return;
    }
    TURN_SAY(t, BOUGHT, amount, name, V_DATE(at_s), V_WEIGHT(feed_left_mg(f)));
    turn_say_feed_cost(t, &cost);
    if (is_new)
        TURN_SAY(t, FEED_NEW, name);
    say_lasts(t, f);
}

/* What was counted, against what was reckoned to be there. */
static void say_counted(struct turn *t, const struct feed *f, const struct turn_amount *a,
                        bool known, int64_t reckoned_mg) {
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, f->feed));
    struct reply_value amount = V_TEXT(turn_amount_text(t, t->sender, a));
    int64_t apart_mg = a->weight_mg - reckoned_mg, size_mg = apart_mg < 0 ? -apart_mg : apart_mg;
    turn_about(t, t->sender, ABOUT_STORE, f->feed, (struct slice){0});
    if (!known)
        TURN_SAY(t, STORE_FIRST, name, amount);
    else if (size_mg <= reckoned_mg / 100 * EVEN_PERCENT)
        TURN_SAY(t, STORE_EVEN, name, amount);
    else if (apart_mg < 0)
        TURN_SAY(t, STORE_LESS, name, amount, V_WEIGHT(size_mg));
    else
        TURN_SAY(t, STORE_MORE, name, amount, V_WEIGHT(size_mg));
}

static void do_count(struct turn *t, struct request *r) {
    struct turn_amount a;
    int64_t feed, at_s;
    if (!fill_store(t, r, &feed, &at_s, &a))
        return;
    const struct feed *then = farm_feed(turn_then(t, at_s), feed);
    bool known = then && (then->counted_s || then->bought_mg), is_new = turn_feed_new(t, feed);
    int64_t reckoned_mg = then ? feed_left_mg(then) : 0;
    turn_record_holds(t, &a, feed, at_s);
    turn_record(t, ENTRY_STORE, SUBJECT_HATCHERY, 0, at_s, a.weight_mg, feed, 0);
    if (!turn_commit(t))
        return;
    const struct feed *f = farm_feed(&t->farm->state, feed);
    say_counted(t, f, &a, known, reckoned_mg);
    if (is_new)
        TURN_SAY(t, FEED_NEW, V_TEXT(turn_feed_name(t, t->sender, feed)));
    say_lasts(t, f);
}

static void do_store(struct turn *t, struct request *r) {
    const uint64_t amount = SLOT_BIT(SLOT_COUNT) | SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_CHOICE);
    int64_t feed;
    if (r->has & amount) {
        do_count(t, r);
    } else if (!request_has(r, SLOT_FEED)) {
        say_all(t);
    } else if (turn_fill_feed(t, r, NULL, false, &feed)) {
        const struct feed *f = farm_feed(&t->farm->state, feed);
        const struct feed none = {.feed = feed};
        say_feed(t, f ? f : &none);
    }
}

void turn_why_store(struct turn *t, int64_t feed) {
    const struct feed *f = farm_feed(&t->farm->state, feed);
    if (!f) {
        TURN_SAY(t, WHY_NOTHING);
        return;
    }
    const struct outlook o = outlook_of(t, f);
    const struct feed_store *store = &o.store;
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, feed));
    struct reply_value counted = V_WEIGHT(f->counted_mg), bought = V_WEIGHT(f->bought_mg);
    struct reply_value given = V_WEIGHT(f->given_mg), left = V_WEIGHT(feed_left_mg(f));
    if (!o.ponds || o.unknown || store->reason != FEED_OK) {
        TURN_SAY(t, WHY_STORE_PLAIN, name, counted, bought, given, left);
        return;
    }
    struct reply_value need = V_WEIGHT(store->days_mg), more = V_WEIGHT(store->more_mg);
    struct reply_value mean = V_WEIGHT(store->days ? store->days_mg / store->days : store->more_mg);
    struct reply_value ponds = V_NUMBER(o.ponds), days = V_NUMBER(store->days);
    struct reply_value next = V_NUMBER(store->days + 1), fetch = V_NUMBER(FETCH_DAYS);
    TURN_SAY(t, WHY_STORE_SUM, name, counted, bought, given, left);
    if (t->farm->state.table_count)
        TURN_SAY(t, WHY_STORE_OWN, ponds, need, days, mean, more, next, fetch);
    else
        TURN_SAY(t, WHY_STORE, ponds, need, days, mean, more, next, fetch);
}

bool turn_judge_store(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_BOUGHT:
        do_bought(t, r);
        return true;
    case REQUEST_STORE:
        do_store(t, r);
        return true;
    case REQUEST_BLEND:
        turn_do_blend(t, r);
        return true;
    default:
        return false;
    }
}
