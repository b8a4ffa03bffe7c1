/* ahead: the rations of the days to come, from how a pond grows, and the feed that it needs until a
 * date. The fish are taken to stay as many as now, the water is that of growth.h, each day is fed
 * by the weight and the water of its middle. Pure, to the nearest. */
#ifndef TRADE_AHEAD_H
#define TRADE_AHEAD_H

#include <stdbool.h>
#include <stdint.h>

#include "trade/growth.h"

struct ahead_pond {
    const struct growth_sample *samples; /* as growth_forecast takes them */
    int count;
    const struct growth_water *water;
    int64_t fish;
    int64_t area_cm2;  /* 0: not known, then no day is held at the limit of 1.1 kg an are */
    int64_t share_ppm; /* of body weight a day, from the farm's own table; -1: the book's */
};

enum { AHEAD_DAYS_MOST = 400 };

/* ration_mg[i] is that of the i-th day from from_s (24 h each), which is at most half a day before
 * the last sample. 0 on days whose water is too cold or too warm to feed. GROWTH_OK or no ration is
 * written; the reasons are those of growth_daily, GROWTH_IMPOSSIBLE also for fish, area or share
 * beyond sense and days not 1..AHEAD_DAYS_MOST. What feed_store (feed.h) wants is made so. */
enum growth_reason ahead_rations(const struct ahead_pond *pond, int64_t from_s, int days,
                                 int64_t *ration_mg);

struct ahead_need {
    enum growth_reason reason;
    struct growth_range feed_mg; /* at the low, middle and high weight of every day: four times in
                                    five or more it lies between */
    int capped_days;             /* of the middle, held at the limit of the area */
    int hungry_days;             /* of the middle, no feed: the water is too cold or too warm */
};
/* The sum of those rations over so many days, today counted. */
struct ahead_need ahead_need(const struct ahead_pond *pond, int64_t from_s, int days);

#endif
