/* ahead: see ahead.h. In: a pond, its samples and water, a span. Out: rations. No errors; a
 * person's mistake is a reason. Limits: 400 days; each is one forecast from all samples, so a span
 * costs days x (samples + readings) steps. */
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

struct ahead_day {
    enum growth_reason reason;
    struct ration low, middle, high;
};

static struct ahead_day day_of(const struct ahead_pond *pond, int64_t from_s, int day) {
    struct ahead_day out = {.reason = GROWTH_IMPOSSIBLE};
    const int64_t far_s = (int64_t)AHEAD_DAYS_MOST * DAY_S;
    if (from_s > INT64_MAX - far_s)
        return out;
    int64_t noon_s = from_s + (int64_t)day * DAY_S + DAY_S / 2;
    struct growth_forecast f = growth_forecast(pond->samples, pond->count, pond->water, noon_s);
    out.reason = f.reason;
    if (f.reason != GROWTH_OK)
        return out;
    int64_t mdegc = water_at(pond->water, noon_s);
    out.low = ration_at(pond, f.weight_mg.low, mdegc);
    out.middle = ration_at(pond, f.weight_mg.middle, mdegc);
    out.high = ration_at(pond, f.weight_mg.high, mdegc);
    if (out.middle.reason == RATION_IMPOSSIBLE)
        out.reason = GROWTH_IMPOSSIBLE;
    return out;
}

enum growth_reason ahead_rations(const struct ahead_pond *pond, int64_t from_s, int days,
                                 int64_t *ration_mg) {
    if (days < 1 || days > AHEAD_DAYS_MOST)
        return GROWTH_IMPOSSIBLE;
    for (int i = 0; i < days; i++) {
        struct ahead_day day = day_of(pond, from_s, i);
        if (day.reason != GROWTH_OK)
            return day.reason;
        ration_mg[i] = day.middle.ration_mg;
    }
    return GROWTH_OK;
}

struct ahead_need ahead_need(const struct ahead_pond *pond, int64_t from_s, int days) {
    struct ahead_need need = {.reason = GROWTH_OK};
    if (days < 1 || days > AHEAD_DAYS_MOST)
        return (struct ahead_need){.reason = GROWTH_IMPOSSIBLE};
    for (int i = 0; i < days; i++) {
        struct ahead_day day = day_of(pond, from_s, i);
        if (day.reason != GROWTH_OK)
            return (struct ahead_need){.reason = day.reason};
        need.feed_mg.low += day.low.ration_mg;
        need.feed_mg.middle += day.middle.ration_mg;
        need.feed_mg.high += day.high.ration_mg;
        need.capped_days += day.middle.capped;
        need.hungry_days += day.middle.reason != RATION_OK;
    }
    return need;
}
