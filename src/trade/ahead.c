/* ahead: see ahead.h. In: a pond, its samples and water, a span. Out: rations. No errors; a
 * person's mistake is a reason. Limits: 400 days. */
#include "trade/ahead.h"

#include "trade/ration.h"

enum { DAY_S = 86400 };

/* The ration of one day at such a mean weight. */
static struct ration ration_at(const struct ahead_pond *pond, int64_t weight_mg,
                               int64_t water_mdegc) {
    const struct ration_pond day = {
        .count = pond->fish,
        .weight_mg = weight_mg,
        .water_mdegc = water_mdegc,
        .area_cm2 = pond->area_cm2,
        .oxygen_ug_l = -1,
        .secchi_mm = -1,
        .treated_h = -1,
        .harvest_d = -1,
        .share_ppm = pond->share_ppm,
        .age_days = -1,
        .aerated = true, /* the limit that holds for any pond; the dawn is another's to tell */
    };
    return ration_of(&day);
}

static int64_t water_at(const struct growth_water *water, int64_t at_s) {
    return water->series.count > 0 ? water_at_mdegc(water->series, at_s) : water->mean_mdegc;
}

/* The weights at the middle of each day. */
static enum growth_reason weights_of(const struct ahead_pond *pond, int64_t from_s, int days,
                                     struct growth_range *weight_mg) {
    if (days < 1 || days > AHEAD_DAYS_MOST || from_s > INT64_MAX - DAY_S)
        return GROWTH_IMPOSSIBLE;
    return growth_daily(pond->samples, pond->count, pond->water, from_s + DAY_S / 2, days,
                        weight_mg);
}

static int64_t noon_mdegc(const struct ahead_pond *pond, int64_t from_s, int day) {
    return water_at(pond->water, from_s + (int64_t)day * DAY_S + DAY_S / 2);
}

enum growth_reason ahead_rations(const struct ahead_pond *pond, int64_t from_s, int days,
                                 int64_t *ration_mg) {
    struct growth_range weight_mg[AHEAD_DAYS_MOST];
    enum growth_reason reason = weights_of(pond, from_s, days, weight_mg);
    for (int i = 0; i < days && reason == GROWTH_OK; i++) {
        struct ration r = ration_at(pond, weight_mg[i].middle, noon_mdegc(pond, from_s, i));
        if (r.reason == RATION_IMPOSSIBLE)
            reason = GROWTH_IMPOSSIBLE;
        else
            ration_mg[i] = r.ration_mg;
    }
    return reason;
}

struct ahead_need ahead_need(const struct ahead_pond *pond, int64_t from_s, int days) {
    struct growth_range weight_mg[AHEAD_DAYS_MOST];
    struct ahead_need need = {.reason = weights_of(pond, from_s, days, weight_mg)};
    for (int i = 0; i < days && need.reason == GROWTH_OK; i++) {
        int64_t mdegc = noon_mdegc(pond, from_s, i);
        struct ration middle = ration_at(pond, weight_mg[i].middle, mdegc);
        if (middle.reason == RATION_IMPOSSIBLE)
            return (struct ahead_need){.reason = GROWTH_IMPOSSIBLE};
        need.feed_mg.low += ration_at(pond, weight_mg[i].low, mdegc).ration_mg;
        need.feed_mg.middle += middle.ration_mg;
        need.feed_mg.high += ration_at(pond, weight_mg[i].high, mdegc).ration_mg;
        need.capped_days += middle.capped;
        need.hungry_days += middle.reason != RATION_OK;
    }
    return need;
}
