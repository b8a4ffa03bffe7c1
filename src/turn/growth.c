/* growth: how heavy a pond's fish are, will be by a day, and when they reach a weight; what feed
 * went in for it and will be needed; and the arithmetic of it. In: a request and the state; out: an
 * answer, nothing is recorded. Numbers are trade's; where it cannot be said it says what to text.
 */
#include "trade/ahead.h"
#include "trade/book.h"
#include "turn/inside.h"

enum {
    DAY_S = 86400,
    AHEAD_DAYS = 30,            /* looked ahead where no day is named */
    WEIGHT_MOST_MG = 100000000, /* growth.h: no fish is heavier */
    SHOWN_DAYS = 330,           /* a day further off is not told by day and month alone */
    FCR_LEAST_MILLI = 500       /* on less no fish grow: not all feed was texted (our own bound) */
};

/* All that is known of a cycle's growth at an instant. */
struct known {
    const struct cycle *c;
    struct growing_points p;
    struct growing now;
    struct reply_value tag;
};

/* "your samples: 3", or the book's guide while no two weighings tell how this pond grows. */
static struct slice source_of(struct turn *t, const struct known *k) {
    struct growth_fit fit = growth_fit(k->p.points, k->p.count, &k->p.water);
    struct reply r = {REPLY_GROWTH_GUIDE, {{0}}};
    if (fit.reason == GROWTH_OK && fit.intervals && k->p.samples)
        r = (struct reply){REPLY_GROWTH_OWN, {V_NUMBER(k->p.samples)}};
    return turn_render(t, t->sender, &r);
}

/* A weight known to reckon from; false: an answer was given. */
static bool weight_known(struct turn *t, const struct known *k) {
    if (k->now.reason == GROWTH_OK)
        return true;
    TURN_SAY(t, GROWTH_NO_WEIGHT, k->tag);
    return false;
}

static struct growth_forecast on_day(const struct known *k, int64_t at_s) {
    return growth_forecast(k->p.points, k->p.count, &k->p.water, at_s);
}

/* -- answers -------------------------------------------------------------------------------------
 */

void turn_say_fcr(struct turn *t, const struct cycle *c, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    int64_t fed_mg = growing_fed_mg(st, c, c->stocked_s, at_s + 1);
    struct growth_fcr fcr = growth_fcr(fed_mg, growing_gained_mg(st, c, at_s));
    if (fed_mg > 0 && fcr.reason == GROWTH_OK && fcr.fcr_milli < FCR_LEAST_MILLI)
        TURN_SAY(t, GROWTH_FCR_LITTLE, V_WEIGHT(turn_two_figures(fed_mg)));
    else if (fed_mg > 0 && fcr.reason == GROWTH_OK)
        TURN_SAY(t, GROWTH_FCR, V_WEIGHT(turn_two_figures(fed_mg)), V_DECIMAL(fcr.fcr_milli));
}

/* What is added to an answer: feed so far for what they put on, and water that nobody read. */
static void say_more(struct turn *t, const struct known *k) {
    turn_say_fcr(t, k->c, t->now_s);
    if (k->now.guessed)
        TURN_SAY(t, GROWTH_WATER, V_WATER(k->now.water_mdegc), k->tag);
}

static void say_now(struct turn *t, const struct known *k) {
    int64_t day_s = plan_clock(t->zone, t->now_s, AHEAD_DAYS, 12);
    struct growth_forecast soon = on_day(k, day_s);
    if (soon.reason != GROWTH_OK) {
        TURN_SAY(t, GROWTH_NO_WEIGHT, k->tag);
        return;
    }
    const struct pond *pond = farm_pond(&t->farm->state, k->c->pond);
    const struct ahead_pond ahead = {.samples = k->p.points,
                                     .count = k->p.count,
                                     .water = &k->p.water,
                                     .fish = k->now.fish.middle,
                                     .area_cm2 = pond ? pond->area_cm2 : 0,
                                     .share_ppm = -1};
    struct ahead_need need = ahead_need(&ahead, t->now_s, AHEAD_DAYS);
    struct reply_value now = V_TEXT(turn_mean_text(t, k->now.weight_mg));
    struct reply_value then = V_TEXT(turn_mean_text(t, soon.weight_mg));
    struct reply_value source = V_TEXT(source_of(t, k)), day = V_DATE(day_s);
    if (need.reason == GROWTH_OK && need.feed_mg.middle && turn_grown(k->c, t->now_s))
        TURN_SAY(t, GROWTH_NOW, k->tag, now, day, then, source,
                 V_WEIGHT(turn_two_figures(need.feed_mg.middle)));
    else
        TURN_SAY(t, GROWTH_NOW_FRY, k->tag, now, day, then, source);
    say_more(t, k);
}

/* The day of a number of days after the last weighing; the last that is told when it is further. */
static int64_t day_of(const struct turn *t, const struct known *k, int64_t days) {
    int64_t most_s = t->now_s + (int64_t)SHOWN_DAYS * DAY_S;
    int64_t last_s = k->p.points[k->p.count - 1].at_s;
    int64_t at_s = days < 100000 ? last_s + days * DAY_S : most_s;
    return at_s < t->now_s ? t->now_s : at_s > most_s ? most_s : at_s;
}

static void say_reach(struct turn *t, const struct known *k, int64_t to_mg) {
    struct reply_value now = V_TEXT(turn_mean_text(t, k->now.weight_mg)), to = V_WEIGHT(to_mg);
    if (to_mg <= k->now.weight_mg.middle) {
        TURN_SAY(t, GROWTH_REACHED, k->tag, to, now);
        return;
    }
    struct growth_reach reach = growth_reach(k->p.points, k->p.count, &k->p.water, to_mg);
    int64_t most_s = t->now_s + (int64_t)SHOWN_DAYS * DAY_S;
    int64_t middle_s = day_of(t, k, reach.days.middle), high_s = day_of(t, k, reach.days.high);
    struct reply_value low = V_DATE(day_of(t, k, reach.days.low)), middle = V_DATE(middle_s);
    if (reach.reason != GROWTH_OK || middle_s >= most_s)
        TURN_SAY(t, GROWTH_FAR, k->tag, to, now);
    else if (high_s >= most_s)
        TURN_SAY(t, GROWTH_REACH_OPEN, k->tag, to, middle, low, now, V_TEXT(source_of(t, k)));
    else
        TURN_SAY(t, GROWTH_REACH, k->tag, to, middle, low, V_DATE(high_s), now,
                 V_TEXT(source_of(t, k)));
}

static void say_day(struct turn *t, const struct known *k, int64_t day_s) {
    struct growth_forecast then = on_day(k, day_s);
    if (then.reason != GROWTH_OK) {
        TURN_SAY(t, GROWTH_NO_WEIGHT, k->tag);
        return;
    }
    struct survival_range fish = growing_fish(&t->farm->state, k->c, day_s);
    int64_t all_mg = (int64_t)((double)fish.middle * (double)then.weight_mg.middle);
    TURN_SAY(t, GROWTH_DAY, k->tag, V_DATE(day_s), V_TEXT(turn_mean_text(t, then.weight_mg)),
             V_TEXT(turn_fish_text(t, fish)), V_WEIGHT(turn_two_figures(all_mg)),
             V_TEXT(source_of(t, k)));
}

/* The pond's fish now; false: an answer was given. */
static bool pond_known(struct turn *t, struct request *r, struct known *k) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = turn_fill_pond(t, r);
    if (!pond)
        return false;
    k->tag = V_TAG(r->pond);
    k->c = pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
    if (!k->c) {
        TURN_SAY(t, POND_EMPTY, k->tag);
        return false;
    }
    k->p = growing_points(st, k->c, t->now_s);
    k->now = growing_of(st, k->c, t->now_s);
    return true;
}

void turn_do_growth(struct turn *t, struct request *r) {
    struct known k;
    int64_t day_s = 0;
    if (!pond_known(t, r, &k))
        return;
    if (request_has(r, SLOT_WEIGHT) && (r->weight_mg <= 0 || r->weight_mg > WEIGHT_MOST_MG)) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(r->weight_mg));
        return;
    }
    if (request_has(r, SLOT_DATE) && !turn_named_day(t, r, &day_s))
        return;
    if (!request_has(r, SLOT_DATE) && request_has(r, SLOT_DAY) && r->day)
        day_s = plan_clock(t->zone, t->base_s, r->day, 12);
    if (day_s && zone_days_between(t->zone, t->now_s, day_s) < 0) {
        TURN_SAY(t, DAY_IMPOSSIBLE, V_DATE(day_s));
        return;
    }
    if (!weight_known(t, &k))
        return;
    turn_about(t, t->sender, ABOUT_GROWTH, k.c->number, (struct slice){0});
    if (request_has(r, SLOT_WEIGHT))
        say_reach(t, &k, r->weight_mg);
    if (day_s)
        say_day(t, &k, day_s > t->now_s ? day_s : t->now_s);
    if (!day_s && !request_has(r, SLOT_WEIGHT))
        say_now(t, &k);
}

/* -- why -----------------------------------------------------------------------------------------
 */

static struct reply_value milli(enum book_id id) {
    return V_CENTI((int64_t)(book_number(id) * 1000 + 0.5));
}

/* Of the newest sample, where it was weighed one by one. */
static void why_sizes(struct turn *t, const struct cycle *c) {
    const struct fish_event *last = NULL;
    for (int i = 0; i < c->event_count; i++)
        last = c->events[i].kind == FISH_SAMPLED ? &c->events[i] : last;
    if (last && last->largest_mg)
        TURN_SAY_MORE(t, WHY_SIZES, V_WEIGHT(last->least_mg), V_WEIGHT(last->largest_mg),
                      V_NUMBER((last->cv_permille + 5) / 10),
                      V_NUMBER((int64_t)(book_number(BOOK_SPREAD_GRADE) * 100 + 0.5)),
                      V_DECIMAL((int64_t)(book_number(BOOK_LARGE_GRADE) * 1000 + 0.5)));
}

void turn_why_growth(struct turn *t, const struct cycle *c) {
    const struct farm_state *st = &t->farm->state;
    struct growing_points p = growing_points(st, c, t->now_s);
    struct growth_fit fit = growth_fit(p.points, p.count, &p.water);
    struct growing now = growing_of(st, c, t->now_s);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    if (!p.count || fit.reason != GROWTH_OK) {
        TURN_SAY(t, GROWTH_NO_WEIGHT, tag);
        return;
    }
    const struct growth_sample *last = &p.points[p.count - 1];
    TURN_SAY(t, WHY_GROWTH, tag, V_WEIGHT(last->weight_mg), V_DATE(last->at_s),
             V_WATER(now.water_mdegc), V_CENTI((fit.tgc_micro.middle + 500) / 1000),
             milli(BOOK_TGC_USUAL), milli(BOOK_TGC_LOW), milli(BOOK_TGC_HIGH), V_NUMBER(p.samples));
    why_sizes(t, c);
    if (now.guessed)
        TURN_SAY_MORE(t, GROWTH_WATER, V_WATER(now.water_mdegc), tag);
}
