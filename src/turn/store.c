/* store: the feed in the store: bought, counted, how long it lasts; and mixes of feeds. In: a
 * request; out: entries and an answer, or one question. What is missing between two counts is an
 * estimate and alarms nobody. Numbers are trade's. */
#include "turn/inside.h"

#include "farm/growing.h"
#include "trade/ahead.h"
#include "trade/book.h"

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
    int64_t first_s = p.points[p.count - 1].at_s - INT64_C(43200); /* half a day: ahead.h */
    return ahead_rations(&ahead, from_s > first_s ? from_s : first_s, days, ration_mg) == GROWTH_OK;
}

bool turn_rations_ahead(struct turn *t, const struct pond *pond, int days, int64_t *ration_mg) {
    const struct farm_state *st = &t->farm->state;
    const struct cycle *c = pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
    if (!c || days < 1 || days > AHEAD_DAYS_MOST)
        return false;
    bool known = rations_grown(t, c, days, ration_mg);
    for (int i = 0; i < days; i++) { /* fry by the nursery's line, until they are fingerlings */
        int64_t at_s = i ? zone_midnight(t->zone, t->now_s, i) : t->now_s;
        if (!turn_is_nursery(st, c, at_s))
            return known;
        if (!pond->area_cm2)
            return false;
        ration_mg[i] = turn_nursery_feed(t, c, at_s).ration_mg;
    }
    return true;
}

bool turn_judge_store(struct turn *t, struct request *r) {
    (void)t;
    (void)r;
    return false;
}
