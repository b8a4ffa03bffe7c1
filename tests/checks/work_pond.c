/* work_pond: the calculations on growing ponds and their water that a case of a .chk file may ask
 * for, by name. In: what the case gives, already read and complete. Out: a number or a yes or no,
 * in the units of the sources: g, mg/l, %, kg. A calculation that is refused gives -1. */
#include "check.h"

#include <math.h>
#include <stddef.h>

#include "trade/ammonia.h"
#include "trade/feed.h"
#include "trade/growth.h"
#include "trade/measure.h"
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

static struct outcome pressure_hpa(const struct given_values *g) {
    const double atm_hpa = 1013.25;
    return number(oxygen_pressure_uatm(scaled(g, GIVEN_HEIGHT, 1)), 1e6 / atm_hpa);
}

static struct ammonia margin(const struct given_values *g) {
    return ammonia_of(scaled(g, GIVEN_TAN, 1000), scaled(g, GIVEN_PH, 1000),
                      scaled(g, GIVEN_DEGC, 1000), scaled(g, GIVEN_WEIGHT, 1000));
}

static struct outcome ammonia_mg_l(const struct given_values *g) {
    return number(margin(g).unionised_ug_l, 1000);
}

/* % of what such fish bear. */
static struct outcome ammonia_percent(const struct given_values *g) {
    return number(margin(g).permille, 10);
}

static struct outcome tan_most_mg_l(const struct given_values *g) {
    return number(margin(g).total_most, 1000);
}

static struct oxygen_dusk dusk(const struct given_values *g) {
    const struct oxygen_reading first = {g->oxygen[0].at_s, g->oxygen[0].mdegc};
    const struct oxygen_reading second = {g->oxygen[1].at_s, g->oxygen[1].mdegc};
    return oxygen_dusk(first, second, g->at_s, scaled(g, GIVEN_LIMIT, 1000));
}

static struct outcome dawn_mg_l(const struct given_values *g) {
    struct oxygen_dusk d = dusk(g);
    return d.reason == OXYGEN_OK ? number(d.dawn_ug_l, 1000) : refused();
}

static struct outcome dusk_danger(const struct given_values *g) {
    return (struct outcome){.answer = dusk(g).danger};
}

static struct outcome danger_at(const struct given_values *g) {
    return (struct outcome){.at_s = dusk(g).danger_at_s};
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

static double error_percent(const struct given_values *g, int use, int point) {
    double was_mg = g->series_g[point - 1] * 1000;
    return 100 * ((double)forecast(g, use, point).middle / was_mg - 1);
}

/* How far the next points lie off, without their signs, on the mean; and all later points. */
static struct outcome nexts_error(const struct given_values *g) {
    double sum = 0;
    for (int use = 1; use < g->series_count; use++)
        sum += fabs(error_percent(g, use, use + 1));
    return (struct outcome){.number = sum / (g->series_count - 1)};
}

static struct outcome forecasts_error(const struct given_values *g) {
    double sum = 0;
    int all = 0;
    for (int use = 1; use < g->series_count; use++)
        for (int point = use + 1; point <= g->series_count; point++, all++)
            sum += fabs(error_percent(g, use, point));
    return all ? (struct outcome){.number = sum / all} : refused();
}

static struct outcome forecast_error(const struct given_values *g) {
    int use = (int)g->number[GIVEN_USE], point = (int)g->number[GIVEN_POINT];
    if (forecast(g, use, point).middle < 0)
        return refused();
    return (struct outcome){.number = error_percent(g, use, point)};
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

static struct outcome nursery_up_to(const struct given_values *g) {
    return number(
        nursery_feed_of(scaled(g, GIVEN_ARES, 1e6), (int)g->number[GIVEN_DAY], 1000, NULL, 0, true)
            .ration_mg,
        1e6);
}

static struct outcome mix_protein(const struct given_values *g) {
    struct feed_part parts[SERIES_MAX];
    for (int i = 0; i < g->mix_count; i++)
        parts[i] = (struct feed_part){(int64_t)(g->mix_kg[i] * 1e6 + 0.5),
                                      (int64_t)(g->mix_percent[i] * 10 + 0.5)};
    struct feed_mix mix = feed_mix(parts, g->mix_count);
    return mix.reason == FEED_OK ? number(mix.protein_permille, 10) : refused();
}

static struct outcome pellet_mm(const struct given_values *g) {
    return number(ration_grain_um(scaled(g, GIVEN_WEIGHT, 1000)), 1000);
}

static struct outcome meals_a_day(const struct given_values *g) {
    return number(ration_meals(scaled(g, GIVEN_WEIGHT, 1000)), 1);
}

static struct outcome usual_length_cm(const struct given_values *g) {
    return number(sample_length_um(scaled(g, GIVEN_WEIGHT, 1000)), 1e4);
}

static struct measure measured(const struct given_values *g) {
    return measure_of(scaled(g, GIVEN_RATION, 1000), (int)g->number[GIVEN_MEALS],
                      scaled(g, GIVEN_MEASURE, 1000), scaled(g, GIVEN_MOST, 1000));
}

/* Measures a meal. */
static struct outcome measures(const struct given_values *g) {
    return number(measured(g).halves, 2);
}

static struct outcome measured_meals(const struct given_values *g) {
    return number(measured(g).meals, 1);
}

static struct outcome measured_g(const struct given_values *g) {
    return number(measured(g).day_mg, 1000);
}

#define SERIES  (NEED(GIVEN_SERIES) | NEED(GIVEN_DEGC))
#define AMMONIA (NEED(GIVEN_PH) | NEED(GIVEN_DEGC) | NEED(GIVEN_WEIGHT))
#define DUSK    (NEED(GIVEN_OXYGEN) | NEED(GIVEN_AT) | NEED(GIVEN_LIMIT))
#define TIN     (NEED(GIVEN_RATION) | NEED(GIVEN_MEALS) | NEED(GIVEN_MEASURE) | NEED(GIVEN_MOST))
#define MIX     (NEED(GIVEN_FIRST) | NEED(GIVEN_SECOND) | NEED(GIVEN_WANTED))
#define STAY    (NEED(GIVEN_ARES) | NEED(GIVEN_DAY))
#define GROWN   (NEED(GIVEN_FROM_G) | NEED(GIVEN_TO_G) | NEED(GIVEN_DAYS) | NEED(GIVEN_DEGC))

const struct calculation check_pond_calculations[] = {
    {"unionised", OUTCOME_NUMBER, NEED(GIVEN_PH) | NEED(GIVEN_DEGC), unionised},
    {"saturation", OUTCOME_NUMBER, NEED(GIVEN_DEGC) | NEED(GIVEN_HEIGHT), saturation},
    {"pressure_hpa", OUTCOME_NUMBER, NEED(GIVEN_HEIGHT), pressure_hpa},
    {"ammonia_mg_l", OUTCOME_NUMBER, AMMONIA | NEED(GIVEN_TAN), ammonia_mg_l},
    {"ammonia_percent", OUTCOME_NUMBER, AMMONIA | NEED(GIVEN_TAN), ammonia_percent},
    {"tan_most_mg_l", OUTCOME_NUMBER, AMMONIA | NEED(GIVEN_TAN), tan_most_mg_l},
    {"dawn_mg_l", OUTCOME_NUMBER, DUSK, dawn_mg_l},
    {"dusk_danger", OUTCOME_ANSWER, DUSK, dusk_danger},
    {"danger_at", OUTCOME_INSTANT, DUSK, danger_at},
    {"tgc", OUTCOME_NUMBER, GROWN, tgc},
    {"fit_own", OUTCOME_NUMBER, SERIES, fit_own},
    {"fit_low", OUTCOME_NUMBER, SERIES, fit_low},
    {"fit_middle", OUTCOME_NUMBER, SERIES, fit_middle},
    {"fit_high", OUTCOME_NUMBER, SERIES, fit_high},
    {"forecast_error", OUTCOME_NUMBER, SERIES | NEED(GIVEN_USE) | NEED(GIVEN_POINT),
     forecast_error},
    {"nexts_error", OUTCOME_NUMBER, SERIES, nexts_error},
    {"forecasts_error", OUTCOME_NUMBER, SERIES, forecasts_error},
    {"forecasts_held", OUTCOME_NUMBER, SERIES, forecasts_held},
    {"nexts_held", OUTCOME_NUMBER, SERIES, nexts_held},
    {"condition", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT) | NEED(GIVEN_LENGTH_CM), condition},
    {"square_first", OUTCOME_NUMBER, MIX, square_first},
    {"square_second", OUTCOME_NUMBER, MIX, square_second},
    {"ration_share", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), ration_share},
    {"nursery_ration", OUTCOME_NUMBER, STAY, nursery_ration},
    {"nursery_lowered", OUTCOME_NUMBER, STAY | NEED(GIVEN_STEPS), nursery_lowered},
    {"nursery_up_to", OUTCOME_NUMBER, STAY, nursery_up_to},
    {"mix_protein", OUTCOME_NUMBER, NEED(GIVEN_MIX), mix_protein},
    {"pellet_mm", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), pellet_mm},
    {"meals_a_day", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), meals_a_day},
    {"usual_length_cm", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), usual_length_cm},
    {"measures", OUTCOME_NUMBER, TIN, measures},
    {"measured_meals", OUTCOME_NUMBER, TIN, measured_meals},
    {"measured_g", OUTCOME_NUMBER, TIN, measured_g},
};
const int check_pond_count =
    (int)(sizeof check_pond_calculations / sizeof check_pond_calculations[0]);
