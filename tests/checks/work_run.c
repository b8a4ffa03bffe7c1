/* work_run: the calculations of larvae, doses, ponds and counts that a case may ask for. In: what
 * the case gives; out: a number. Numbers come out in the units in which people speak of them. */
#include "check.h"

#include "trade/brood.h"
#include "trade/count.h"
#include "trade/dose.h"
#include "trade/eggs.h"
#include "trade/larvae.h"
#include "trade/lime.h"
#include "trade/nursery.h"
#include "trade/ration.h"

static int64_t scaled(const struct given_values *g, enum given of, double by) {
    return (int64_t)(g->number[of] * by + 0.5);
}

static struct outcome number(double v) {
    return (struct outcome){.number = v};
}

/* -- doses ---------------------------------------------------------------------------------------
 */

static struct dose dose(const struct given_values *g) {
    return dose_of(scaled(g, GIVEN_FEMALE, 1000));
}

static struct outcome dried_mg(const struct given_values *g) {
    return number((double)dose(g).dried_ug / 1000);
}

static struct outcome donor_g(const struct given_values *g) {
    return number((double)dose(g).donor_least_mg / 1000);
}

static struct outcome donor_safe_g(const struct given_values *g) {
    return number((double)dose(g).donor_safe_mg / 1000);
}

static struct outcome mix_ml(const struct given_values *g) {
    return number((double)dose_mix_ul(scaled(g, GIVEN_FEMALE, 1000), scaled(g, GIVEN_LABEL, 1000)) /
                  1000);
}

static struct outcome salt_g(const struct given_values *g) {
    return number((double)dose_salt_mg(scaled(g, GIVEN_VOLUME, 1000)) / 1000);
}

static struct outcome label_plausible(const struct given_values *g) {
    return (struct outcome){.answer = dose_label_plausible(scaled(g, GIVEN_LABEL, 1000))};
}

/* -- larvae --------------------------------------------------------------------------------------
 */

static struct outcome ovary(const struct given_values *g) {
    return number((double)eggs_in_ovary(scaled(g, GIVEN_LENGTH_MM, 1)));
}

static struct outcome tank_eggs(const struct given_values *g) {
    return number((double)eggs_tank_most(scaled(g, GIVEN_VOLUME, 1000)));
}

static struct outcome tank_larvae(const struct given_values *g) {
    return number((double)larvae_tank_most(scaled(g, GIVEN_VOLUME, 1000)));
}

static struct outcome grain_mm(const struct given_values *g) {
    return number((double)larvae_grain_um(scaled(g, GIVEN_LENGTH_MM, 1000)) / 1000);
}

static struct outcome growth_percent(const struct given_values *g) {
    return number((double)larvae_growth_ppm_day(scaled(g, GIVEN_FROM_MG, 1000),
                                                scaled(g, GIVEN_TO_MG, 1000),
                                                scaled(g, GIVEN_DAYS, 1)) /
                  10000);
}

static struct outcome hatched_low(const struct given_values *g) {
    return number((double)larvae_hatched(scaled(g, GIVEN_EGGS, 1)).low);
}

static struct outcome hatched(const struct given_values *g) {
    return number((double)larvae_hatched(scaled(g, GIVEN_EGGS, 1)).middle);
}

static struct outcome hatched_high(const struct given_values *g) {
    return number((double)larvae_hatched(scaled(g, GIVEN_EGGS, 1)).high);
}

static struct outcome larvae_left(const struct given_values *g) {
    return number((double)larvae_at(scaled(g, GIVEN_FISH, 1), scaled(g, GIVEN_DAYS, 24)).middle);
}

/* -- ponds ---------------------------------------------------------------------------------------
 */

static int64_t area_cm2(const struct given_values *g) {
    return scaled(g, GIVEN_ARES, 1000000);
}

static struct outcome fry_least(const struct given_values *g) {
    return number((double)nursery_least(area_cm2(g), scaled(g, GIVEN_DEPTH, 1000)));
}

static struct outcome fry_most(const struct given_values *g) {
    return number((double)nursery_most(area_cm2(g), scaled(g, GIVEN_DEPTH, 1000)));
}

static struct outcome direct_fenced(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), true).middle);
}

static struct outcome direct_open(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), false).middle);
}

static struct outcome nursery_kg(const struct given_values *g) {
    return number((double)nursery_ration_mg(area_cm2(g), (int)g->number[GIVEN_DAYS]) / 1e6);
}

static struct outcome hen_kg(const struct given_values *g) {
    return number((double)nursery_manure_hen_mg(area_cm2(g)) / 1e6);
}

static struct outcome brood_fish(const struct given_values *g) {
    return number((double)brood_room(area_cm2(g)));
}

static struct outcome lime_kg(const struct given_values *g) {
    struct lime_dose d =
        lime_of(scaled(g, GIVEN_PH, 1000), (enum soil)g->number[GIVEN_SOIL], area_cm2(g));
    return number((double)lime_as((enum lime_kind)g->number[GIVEN_LIME], d.carbonate_mg) / 1e6);
}

/* 0 an amount, 1 none needed, 2 an adviser first, 3 not known. */
static struct outcome lime_why(const struct given_values *g) {
    return number(lime_of(scaled(g, GIVEN_PH, 1000), SOIL_CLAY, 1000000).reason);
}

static struct outcome ration_percent(const struct given_values *g) {
    return number((double)ration_ppm(scaled(g, GIVEN_FEMALE, 1000)) / 10000);
}

static struct outcome ration_warm(const struct given_values *g) {
    return number((double)ration_factor_permille(scaled(g, GIVEN_DEGC, 1000)) / 1000);
}

/* -- counting ------------------------------------------------------------------------------------
 */

static struct outcome by_weight(const struct given_values *g) {
    return number((double)count_by_weight(scaled(g, GIVEN_TOTAL, 1000),
                                          scaled(g, GIVEN_SAMPLE_FISH, 1),
                                          scaled(g, GIVEN_SAMPLE, 1000))
                      .count);
}

static struct outcome round_m3(const struct given_values *g) {
    return number(
        (double)count_round_ml(scaled(g, GIVEN_LENGTH_MM, 1), scaled(g, GIVEN_DEPTH, 1000)) / 1e6);
}

const struct calculation check_run_calculations[] = {
    {"dried_mg", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), dried_mg},
    {"donor_g", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), donor_g},
    {"donor_safe_g", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), donor_safe_g},
    {"mix_ml", OUTCOME_NUMBER, NEED(GIVEN_FEMALE) | NEED(GIVEN_LABEL), mix_ml},
    {"salt_g", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), salt_g},
    {"label_plausible", OUTCOME_ANSWER, NEED(GIVEN_LABEL), label_plausible},
    {"ovary", OUTCOME_NUMBER, NEED(GIVEN_LENGTH_MM), ovary},
    {"tank_eggs", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), tank_eggs},
    {"tank_larvae", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), tank_larvae},
    {"grain_mm", OUTCOME_NUMBER, NEED(GIVEN_LENGTH_MM), grain_mm},
    {"growth_percent", OUTCOME_NUMBER, NEED(GIVEN_FROM_MG) | NEED(GIVEN_TO_MG) | NEED(GIVEN_DAYS),
     growth_percent},
    {"hatched_low", OUTCOME_NUMBER, NEED(GIVEN_EGGS), hatched_low},
    {"hatched", OUTCOME_NUMBER, NEED(GIVEN_EGGS), hatched},
    {"hatched_high", OUTCOME_NUMBER, NEED(GIVEN_EGGS), hatched_high},
    {"larvae_left", OUTCOME_NUMBER, NEED(GIVEN_FISH) | NEED(GIVEN_DAYS), larvae_left},
    {"fry_least", OUTCOME_NUMBER, NEED(GIVEN_ARES) | NEED(GIVEN_DEPTH), fry_least},
    {"fry_most", OUTCOME_NUMBER, NEED(GIVEN_ARES) | NEED(GIVEN_DEPTH), fry_most},
    {"direct_fenced", OUTCOME_NUMBER, NEED(GIVEN_ARES), direct_fenced},
    {"direct_open", OUTCOME_NUMBER, NEED(GIVEN_ARES), direct_open},
    {"nursery_kg", OUTCOME_NUMBER, NEED(GIVEN_ARES) | NEED(GIVEN_DAYS), nursery_kg},
    {"hen_kg", OUTCOME_NUMBER, NEED(GIVEN_ARES), hen_kg},
    {"brood_fish", OUTCOME_NUMBER, NEED(GIVEN_ARES), brood_fish},
    {"lime_kg", OUTCOME_NUMBER,
     NEED(GIVEN_PH) | NEED(GIVEN_SOIL) | NEED(GIVEN_LIME) | NEED(GIVEN_ARES), lime_kg},
    {"lime_why", OUTCOME_NUMBER, NEED(GIVEN_PH), lime_why},
    {"ration_percent", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), ration_percent},
    {"ration_warm", OUTCOME_NUMBER, NEED(GIVEN_DEGC), ration_warm},
    {"by_weight", OUTCOME_NUMBER, NEED(GIVEN_TOTAL) | NEED(GIVEN_SAMPLE_FISH) | NEED(GIVEN_SAMPLE),
     by_weight},
    {"round_m3", OUTCOME_NUMBER, NEED(GIVEN_LENGTH_MM) | NEED(GIVEN_DEPTH), round_m3},
};
const int check_run_count = (int)(sizeof check_run_calculations / sizeof check_run_calculations[0]);
