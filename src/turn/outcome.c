/* outcome: how many fish are thought to come out of a nursery pond, for the answers of stocking and
 * grading. In: a cycle; out: a range. Numbers and the loss are trade's and the farm's. */
#include "trade/nursery.h"
#include "turn/inside.h"

/* The published ponds got so many larvae a m2: of fewer, fewer come out. */
static struct nursery_range direct_expected(int64_t area_cm2, bool fenced, int64_t fish) {
    struct nursery_range all = nursery_direct(area_cm2, fenced);
    int64_t larvae = nursery_direct_larvae(area_cm2);
    if (fish < larvae) {
        double share = (double)fish / (double)larvae;
        all.low = (int64_t)((double)all.low * share + 0.5);
        all.middle = (int64_t)((double)all.middle * share + 0.5);
        all.high = (int64_t)((double)all.high * share + 0.5);
    }
    return all;
}

/* Of larvae in a pond at the harvest: no more than live on of those that are there now, nor than
 * come out of a pond of that size. */
struct nursery_range turn_direct_expected(const struct turn *t, const struct cycle *c) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    struct survival_range fish = growing_fish(&t->farm->state, c, plan_harvest_day(c, t->zone));
    struct nursery_range all = {fish.low, fish.middle, fish.high};
    if (!pond || !pond->area_cm2)
        return all;
    struct nursery_range room =
        direct_expected(pond->area_cm2, pond->fence == FENCE_STANDS, cycle_fish(c));
    all.low = room.low < all.low ? room.low : all.low;
    all.middle = room.middle < all.middle ? room.middle : all.middle;
    all.high = room.high < all.high ? room.high : all.high;
    return all;
}

/* Out of a month in the pond; of fry that were put to others, on the day that these come out: they
 * have lost some already. */
static struct nursery_range after_month(const struct turn *t, const struct cycle *c) {
    int64_t day_s = plan_harvest_day(c, t->zone);
    bool fry = c->spawn || (c->event_count && c->events[0].mean_ug);
    if (c->event_count < 2 || !fry)
        return nursery_survivors(cycle_fish(c));
    struct survival_range fish =
        growing_fish(&t->farm->state, c, day_s > t->now_s ? day_s : t->now_s);
    return (struct nursery_range){fish.low, fish.middle, fish.high};
}

/* Of more fish than the pond has room for as many come out as of those it has. */
static struct nursery_range with_room(struct nursery_range all, int64_t fish, int64_t most) {
    if (!most || fish <= most)
        return all;
    double share = (double)most / (double)fish;
    return (struct nursery_range){(int64_t)((double)all.low * share + 0.5),
                                  (int64_t)((double)all.middle * share + 0.5),
                                  (int64_t)((double)all.high * share + 0.5)};
}

struct nursery_range turn_outcome(const struct turn *t, const struct cycle *c, int64_t most) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    if (cycle_direct(c) && pond && pond->area_cm2)
        return direct_expected(pond->area_cm2, pond->fence == FENCE_STANDS, cycle_fish(c));
    return with_room(after_month(t, c), cycle_fish(c), most);
}
