/* work_pond: the calculations on growing ponds and their water that a case of a .chk file may ask
 * for, by name. In: what the case gives, already read and complete. Out: a number or a yes or no,
 * in the units of the sources: g, mg/l, %, kg. A calculation that is refused gives -1. */
#include "check.h"

#include "trade/ammonia.h"
#include "trade/feed.h"
#include "trade/growth.h"
#include "trade/nursery.h"
#include "trade/oxygen.h"
#include "trade/ration.h"
#include "trade/sample.h"

enum { S_PER_DAY = 86400 };

static int64_t scaled(const struct given_values *g, enum given what, double times) {
    double v = g->number[what] * times;
    return (int64_t)(v + (v < 0 ? -0.5 : 0.5));
}

static struct outcome number(int64_t value, double divided_by) {
    return (struct outcome){.number = (double)value / divided_by};
}

static struct outcome refused(void) {
    return (struct outcome){.number = -1};
}

/* -- water ------------------------------------------------------------------------------------- */

static struct outcome unionised(const struct given_values *g) {
    return number(ammonia_share_ppm(scaled(g, GIVEN_PH, 1000), scaled(g, GIVEN_DEGC, 1000)), 1e6);
}

static struct outcome saturation(const struct given_values *g) {
    int64_t pressure_uatm = oxygen_pressure_uatm(scaled(g, GIVEN_HEIGHT, 1));
    return number(oxygen_saturation_ug_l(scaled(g, GIVEN_DEGC, 1000), pressure_uatm), 1000);
}

/* -- growth ------------------------------------------------------------------------------------ */

/* No cap on the water here: sources reckon without one. */
static struct outcome tgc(const struct given_values *g) {
    int64_t degree_days_milli =
        (int64_t)(g->number[GIVEN_DAYS] * g->number[GIVEN_DEGC] * 1e3 + 0.5);
    struct growth_tgc t =
        growth_tgc(scaled(g, GIVEN_FROM_G, 1000), scaled(g, GIVEN_TO_G, 1000), degree_days_milli);
    return t.reason == GROWTH_OK ? number(t.tgc_micro, 1e6) : refused();
}

struct series {
    struct growth_sample samples[SERIES_MAX];
    struct growth_water water;
};

static struct series series_of(const struct given_values *g) {
    struct series s = {.water = {.mean_mdegc = scaled(g, GIVEN_DEGC, 1000)}};
    for (int i = 0; i < g->series_count; i++)
        s.samples[i] = (struct growth_sample){.at_s = (int64_t)(g->series_day[i] * S_PER_DAY),
                                              .weight_mg = (int64_t)(g->series_g[i] * 1000 + 0.5)};
    return s;
}

static struct growth_fit fit(const struct given_values *g) {
    struct series s = series_of(g);
    return growth_fit(s.samples, g->series_count, &s.water);
}

static struct outcome fit_own(const struct given_values *g) {
    return number(fit(g).own_micro, 1e6);
}

static struct outcome fit_low(const struct given_values *g) {
    return number(fit(g).tgc_micro.low, 1e6);
}

static struct outcome fit_middle(const struct given_values *g) {
    return number(fit(g).tgc_micro.middle, 1e6);
}

static struct outcome fit_high(const struct given_values *g) {
    return number(fit(g).tgc_micro.high, 1e6);
}

/* `point` from the first `use` of the series. */
static struct growth_range forecast(const struct given_values *g, int use, int point) {
    struct series s = series_of(g);
    if (use < 1 || use >= point || point > g->series_count)
        return (struct growth_range){-1, -1, -1};
    return growth_forecast(s.samples, use, &s.water, s.samples[point - 1].at_s).weight_mg;
}

static struct outcome forecast_error(const struct given_values *g) {
    int use = (int)g->number[GIVEN_USE], point = (int)g->number[GIVEN_POINT];
    double middle = (double)forecast(g, use, point).middle;
    if (middle < 0)
        return refused();
    double was_mg = g->series_g[point - 1] * 1000;
    return (struct outcome){.number = 100 * (middle / was_mg - 1)};
}

static bool held(const struct given_values *g, int use, int point) {
    struct growth_range r = forecast(g, use, point);
    double was_mg = g->series_g[point - 1] * 1000;
    return (double)r.low <= was_mg && was_mg <= (double)r.high;
}

/* The share of all forecasts, each later point from each beginning, whose range held; or of the
 * next points alone. */
static struct outcome forecasts_held(const struct given_values *g) {
    int all = 0, good = 0;
    for (int use = 1; use < g->series_count; use++)
        for (int point = use + 1; point <= g->series_count; point++, all++)
            good += held(g, use, point);
    return all ? (struct outcome){.number = (double)good / all} : refused();
}

static struct outcome nexts_held(const struct given_values *g) {
    int all = g->series_count - 1, good = 0;
    for (int use = 1; use <= all; use++)
        good += held(g, use, use + 1);
    return all > 0 ? (struct outcome){.number = (double)good / all} : refused();
}

/* -- fish and feed ----------------------------------------------------------------------------- */

static struct outcome condition(const struct given_values *g) {
    return number(
        sample_condition_permille(scaled(g, GIVEN_WEIGHT, 1000), scaled(g, GIVEN_LENGTH_CM, 10000)),
        1000);
}

static struct outcome square_first(const struct given_values *g) {
    struct feed_square s = feed_square(scaled(g, GIVEN_FIRST, 10), scaled(g, GIVEN_SECOND, 10),
                                       scaled(g, GIVEN_WANTED, 10));
    return s.reason == FEED_OK ? number(s.first_permille, 10) : refused();
}

static struct outcome square_second(const struct given_values *g) {
    struct feed_square s = feed_square(scaled(g, GIVEN_FIRST, 10), scaled(g, GIVEN_SECOND, 10),
                                       scaled(g, GIVEN_WANTED, 10));
    return s.reason == FEED_OK ? number(s.second_permille, 10) : refused();
}

static struct outcome ration_share(const struct given_values *g) {
    return number(ration_ppm(scaled(g, GIVEN_WEIGHT, 1000)), 1e4);
}

static struct outcome nursery_ration(const struct given_values *g) {
    return number(nursery_ration_mg(scaled(g, GIVEN_ARES, 1e6), (int)g->number[GIVEN_DAY]), 1e6);
}

static struct outcome nursery_lowered(const struct given_values *g) {
    return number(nursery_ration_step(scaled(g, GIVEN_ARES, 1e6), (int)g->number[GIVEN_DAY],
                                      (int)g->number[GIVEN_STEPS]),
                  1e6);
}

#define SERIES (NEED(GIVEN_SERIES) | NEED(GIVEN_DEGC))
#define MIX    (NEED(GIVEN_FIRST) | NEED(GIVEN_SECOND) | NEED(GIVEN_WANTED))
#define STAY   (NEED(GIVEN_ARES) | NEED(GIVEN_DAY))
#define GROWN  (NEED(GIVEN_FROM_G) | NEED(GIVEN_TO_G) | NEED(GIVEN_DAYS) | NEED(GIVEN_DEGC))

const struct calculation check_pond_calculations[] = {
    {"unionised", OUTCOME_NUMBER, NEED(GIVEN_PH) | NEED(GIVEN_DEGC), unionised},
    {"saturation", OUTCOME_NUMBER, NEED(GIVEN_DEGC) | NEED(GIVEN_HEIGHT), saturation},
    {"tgc", OUTCOME_NUMBER, GROWN, tgc},
    {"fit_own", OUTCOME_NUMBER, SERIES, fit_own},
    {"fit_low", OUTCOME_NUMBER, SERIES, fit_low},
    {"fit_middle", OUTCOME_NUMBER, SERIES, fit_middle},
    {"fit_high", OUTCOME_NUMBER, SERIES, fit_high},
    {"forecast_error", OUTCOME_NUMBER, SERIES | NEED(GIVEN_USE) | NEED(GIVEN_POINT),
     forecast_error},
    {"forecasts_held", OUTCOME_NUMBER, SERIES, forecasts_held},
    {"nexts_held", OUTCOME_NUMBER, SERIES, nexts_held},
    {"condition", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT) | NEED(GIVEN_LENGTH_CM), condition},
    {"square_first", OUTCOME_NUMBER, MIX, square_first},
    {"square_second", OUTCOME_NUMBER, MIX, square_second},
    {"ration_share", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), ration_share},
    {"nursery_ration", OUTCOME_NUMBER, STAY, nursery_ration},
    {"nursery_lowered", OUTCOME_NUMBER, STAY | NEED(GIVEN_STEPS), nursery_lowered},
};
const int check_pond_count =
    (int)(sizeof check_pond_calculations / sizeof check_pond_calculations[0]);
