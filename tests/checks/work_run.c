/* work_run: the calculations of larvae, doses, ponds and counts that a case may ask for. In: what
 * the case gives; out: a number or a yes or no. Numbers come out in the units in which people speak
 * of them. */
#include "check.h"

#include <math.h>

#include "trade/brood.h"
#include "trade/count.h"
#include "trade/dose.h"
#include "trade/eggs.h"
#include "trade/larvae.h"
#include "trade/nursery.h"
#include "trade/ration.h"

enum { DAY_S = 86400 };

static int64_t whole(const struct given_values *g, enum given of) {
    return (int64_t)floor(g->number[of] + 0.5);
}

static int64_t milli(const struct given_values *g, enum given of) {
    return (int64_t)floor(g->number[of] * 1000 + 0.5);
}

static int64_t female_mg(const struct given_values *g) {
    return milli(g, GIVEN_FEMALE);
}

static int64_t area_cm2(const struct given_values *g) {
    return (int64_t)(g->number[GIVEN_ARES] * 1e6 + 0.5);
}

static struct outcome number(double v) {
    return (struct outcome){.number = v};
}

/* -- doses and brood fish ------------------------------------------------------------------------
 */

static struct outcome donor_least_g(const struct given_values *g) {
    return number((double)dose_of(female_mg(g)).donor_least_mg / 1000);
}

static struct outcome donor_safe_g(const struct given_values *g) {
    return number((double)dose_of(female_mg(g)).donor_safe_mg / 1000);
}

static struct outcome dried_mg(const struct given_values *g) {
    return number((double)dose_of(female_mg(g)).dried_ug / 1000);
}

static struct outcome hcg_low_iu(const struct given_values *g) {
    return number((double)dose_of(female_mg(g)).hcg_low_iu);
}

static struct outcome hcg_high_iu(const struct given_values *g) {
    return number((double)dose_of(female_mg(g)).hcg_high_iu);
}

static struct outcome saline_ml(const struct given_values *g) {
    return number((double)dose_of(female_mg(g)).saline_ul / 1000);
}

static struct outcome mix_ml(const struct given_values *g) {
    return number((double)dose_mix_ul(female_mg(g), milli(g, GIVEN_LABEL)) / 1000);
}

static struct outcome label_plausible(const struct given_values *g) {
    return (struct outcome){.answer = dose_label_plausible(milli(g, GIVEN_LABEL))};
}

static struct outcome salt_g(const struct given_values *g) {
    return number((double)dose_salt_mg(milli(g, GIVEN_VOLUME)) / 1000);
}

static struct outcome brood_passes(const struct given_values *g) {
    return (struct outcome){.answer = brood_weight_passes(female_mg(g))};
}

static struct outcome brood_good(const struct given_values *g) {
    return (struct outcome){.answer = brood_weight_good(female_mg(g))};
}

static struct outcome mature(const struct given_values *g) {
    return (struct outcome){.answer = brood_mature(whole(g, GIVEN_DAYS) * DAY_S, female_mg(g))};
}

static struct outcome brood_fish(const struct given_values *g) {
    return number((double)brood_room(area_cm2(g)));
}

static struct outcome brood_feed_g(const struct given_values *g) {
    return number((double)brood_feed_mg(female_mg(g), milli(g, GIVEN_DEGC)) / 1000);
}

static struct outcome ration_factor(const struct given_values *g) {
    return number((double)ration_factor_permille(milli(g, GIVEN_DEGC)) / 1000);
}

/* -- eggs and larvae ----------------------------------------------------------------------------
 */

static struct outcome ovary(const struct given_values *g) {
    return number((double)eggs_in_ovary(whole(g, GIVEN_LENGTH_MM)));
}

static struct outcome hatched_low(const struct given_values *g) {
    return number((double)larvae_hatched(whole(g, GIVEN_EGGS)).low);
}

static struct outcome hatched_middle(const struct given_values *g) {
    return number((double)larvae_hatched(whole(g, GIVEN_EGGS)).middle);
}

static struct outcome hatched_high(const struct given_values *g) {
    return number((double)larvae_hatched(whole(g, GIVEN_EGGS)).high);
}

static struct outcome larvae_low(const struct given_values *g) {
    return number((double)larvae_at(whole(g, GIVEN_FISH), whole(g, GIVEN_HOURS)).low);
}

static struct outcome larvae_middle(const struct given_values *g) {
    return number((double)larvae_at(whole(g, GIVEN_FISH), whole(g, GIVEN_HOURS)).middle);
}

static struct outcome larvae_high(const struct given_values *g) {
    return number((double)larvae_at(whole(g, GIVEN_FISH), whole(g, GIVEN_HOURS)).high);
}

static struct outcome tank_eggs(const struct given_values *g) {
    return number((double)eggs_tank_most(milli(g, GIVEN_VOLUME)));
}

static struct outcome tank_good(const struct given_values *g) {
    return number((double)larvae_tank_good(milli(g, GIVEN_VOLUME)));
}

static struct outcome tank_most(const struct given_values *g) {
    return number((double)larvae_tank_most(milli(g, GIVEN_VOLUME)));
}

static struct outcome grain_mm(const struct given_values *g) {
    return number((double)larvae_grain_um(milli(g, GIVEN_LENGTH_MM)) / 1000);
}

static struct outcome growth_percent(const struct given_values *g) {
    return number((double)larvae_growth_ppm_day(milli(g, GIVEN_FROM_MG), milli(g, GIVEN_TO_MG),
                                                whole(g, GIVEN_DAYS)) /
                  10000);
}

/* -- nursery ponds ------------------------------------------------------------------------------
 */

static struct outcome fry_least(const struct given_values *g) {
    return number((double)nursery_least(area_cm2(g), milli(g, GIVEN_DEPTH)));
}

static struct outcome fry_most(const struct given_values *g) {
    return number((double)nursery_most(area_cm2(g), milli(g, GIVEN_DEPTH)));
}

static struct outcome survivors_low(const struct given_values *g) {
    return number((double)nursery_survivors(whole(g, GIVEN_FISH)).low);
}

static struct outcome survivors_middle(const struct given_values *g) {
    return number((double)nursery_survivors(whole(g, GIVEN_FISH)).middle);
}

static struct outcome survivors_high(const struct given_values *g) {
    return number((double)nursery_survivors(whole(g, GIVEN_FISH)).high);
}

static struct outcome direct_larvae(const struct given_values *g) {
    return number((double)nursery_direct_larvae(area_cm2(g)));
}

static struct outcome fenced_low(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), true).low);
}

static struct outcome fenced_middle(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), true).middle);
}

static struct outcome fenced_high(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), true).high);
}

static struct outcome open_low(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), false).low);
}

static struct outcome open_middle(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), false).middle);
}

static struct outcome open_high(const struct given_values *g) {
    return number((double)nursery_direct(area_cm2(g), false).high);
}

static struct outcome dry_before(const struct given_values *g) {
    (void)g;
    return number(nursery_prepare_before(false, NURSERY_DRY));
}

static struct outcome lime_before(const struct given_values *g) {
    (void)g;
    return number(nursery_prepare_before(false, NURSERY_LIME));
}

static struct outcome manure_before(const struct given_values *g) {
    (void)g;
    return number(nursery_prepare_before(false, NURSERY_MANURE));
}

static struct outcome fill_before(const struct given_values *g) {
    (void)g;
    return number(nursery_prepare_before(false, NURSERY_FILL));
}

static struct outcome short_days(const struct given_values *g) {
    (void)g;
    return number(nursery_prepare_days(true));
}

static struct outcome hen_kg(const struct given_values *g) {
    return number((double)nursery_manure_hen_mg(area_cm2(g)) / 1e6);
}

static struct outcome cow_kg(const struct given_values *g) {
    return number((double)nursery_manure_cow_mg(area_cm2(g)) / 1e6);
}

/* -- lime ---------------------------------------------------------------------------------------
 */

static struct lime_dose lime(const struct given_values *g) {
    return lime_of(milli(g, GIVEN_PH), g->soil, area_cm2(g));
}

static struct outcome lime_kg(const struct given_values *g) {
    return number((double)lime(g).carbonate_mg / 1e6);
}

static struct outcome lime_given(const struct given_values *g) {
    return (struct outcome){.answer = lime(g).reason == LIME_OK};
}

static struct outcome lime_too_acid(const struct given_values *g) {
    return (struct outcome){.answer = lime(g).reason == LIME_TOO_ACID};
}

static struct outcome lime_not_needed(const struct given_values *g) {
    return (struct outcome){.answer = lime(g).reason == LIME_NOT_NEEDED};
}

static struct outcome hydrated_kg(const struct given_values *g) {
    return number((double)lime_as(LIME_HYDRATED, milli(g, GIVEN_KG) * 1000) / 1e6);
}

static struct outcome quick_kg(const struct given_values *g) {
    return number((double)lime_as(LIME_QUICK, milli(g, GIVEN_KG) * 1000) / 1e6);
}

/* -- counting and measuring ---------------------------------------------------------------------
 */

static struct fish_count counted(const struct given_values *g) {
    return count_by_weight(milli(g, GIVEN_TOTAL), whole(g, GIVEN_SAMPLE_FISH),
                           milli(g, GIVEN_SAMPLE));
}

static struct outcome fish(const struct given_values *g) {
    return number((double)counted(g).count);
}

static struct outcome count_possible(const struct given_values *g) {
    return (struct outcome){.answer = counted(g).reason == COUNT_OK};
}

static struct outcome sample_small(const struct given_values *g) {
    return (struct outcome){.answer = count_sample_small(whole(g, GIVEN_SAMPLE_FISH))};
}

static struct outcome box_m3(const struct given_values *g) {
    return number(
        (double)count_box_ml(milli(g, GIVEN_LONG), milli(g, GIVEN_WIDE), milli(g, GIVEN_DEPTH)) /
        1e6);
}

static struct outcome round_m3(const struct given_values *g) {
    return number((double)count_round_ml(milli(g, GIVEN_ACROSS), milli(g, GIVEN_DEPTH)) / 1e6);
}

static struct fish_count_range count_range(const struct given_values *g) {
    return count_by_weight_range(milli(g, GIVEN_TOTAL), whole(g, GIVEN_SAMPLE_FISH),
                                 milli(g, GIVEN_SAMPLE), (int64_t)(g->number[GIVEN_CV] * 10 + 0.5),
                                 false);
}

static struct outcome count_low(const struct given_values *g) {
    return number((double)count_range(g).low);
}

static struct outcome count_high(const struct given_values *g) {
    return number((double)count_range(g).high);
}

static struct outcome pond_m3(const struct given_values *g) {
    return number((double)count_pond_ml(area_cm2(g), milli(g, GIVEN_DEPTH)) / 1e6);
}

static struct outcome mean_depth_m(const struct given_values *g) {
    return number((double)count_depth_mm(milli(g, GIVEN_SHALLOW), milli(g, GIVEN_DEPTH)) / 1000);
}

#define PONDED  (NEED(GIVEN_ARES) | NEED(GIVEN_DEPTH))
#define COUNTED (NEED(GIVEN_TOTAL) | NEED(GIVEN_SAMPLE_FISH) | NEED(GIVEN_SAMPLE))

const struct calculation check_run_calculations[] = {
    {"donor_least_g", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), donor_least_g},
    {"donor_safe_g", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), donor_safe_g},
    {"dried_mg", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), dried_mg},
    {"hcg_low_iu", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), hcg_low_iu},
    {"hcg_high_iu", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), hcg_high_iu},
    {"saline_ml", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), saline_ml},
    {"mix_ml", OUTCOME_NUMBER, NEED(GIVEN_FEMALE) | NEED(GIVEN_LABEL), mix_ml},
    {"label_plausible", OUTCOME_ANSWER, NEED(GIVEN_LABEL), label_plausible},
    {"salt_g", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), salt_g},
    {"brood_passes", OUTCOME_ANSWER, NEED(GIVEN_FEMALE), brood_passes},
    {"brood_good", OUTCOME_ANSWER, NEED(GIVEN_FEMALE), brood_good},
    {"mature", OUTCOME_ANSWER, NEED(GIVEN_FEMALE) | NEED(GIVEN_DAYS), mature},
    {"brood_fish", OUTCOME_NUMBER, NEED(GIVEN_ARES), brood_fish},
    {"brood_feed_g", OUTCOME_NUMBER, NEED(GIVEN_FEMALE) | NEED(GIVEN_DEGC), brood_feed_g},
    {"ration_factor", OUTCOME_NUMBER, NEED(GIVEN_DEGC), ration_factor},
    {"ovary", OUTCOME_NUMBER, NEED(GIVEN_LENGTH_MM), ovary},
    {"hatched_low", OUTCOME_NUMBER, NEED(GIVEN_EGGS), hatched_low},
    {"hatched_middle", OUTCOME_NUMBER, NEED(GIVEN_EGGS), hatched_middle},
    {"hatched_high", OUTCOME_NUMBER, NEED(GIVEN_EGGS), hatched_high},
    {"larvae_low", OUTCOME_NUMBER, NEED(GIVEN_FISH) | NEED(GIVEN_HOURS), larvae_low},
    {"larvae_middle", OUTCOME_NUMBER, NEED(GIVEN_FISH) | NEED(GIVEN_HOURS), larvae_middle},
    {"larvae_high", OUTCOME_NUMBER, NEED(GIVEN_FISH) | NEED(GIVEN_HOURS), larvae_high},
    {"tank_eggs", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), tank_eggs},
    {"tank_good", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), tank_good},
    {"tank_most", OUTCOME_NUMBER, NEED(GIVEN_VOLUME), tank_most},
    {"grain_mm", OUTCOME_NUMBER, NEED(GIVEN_LENGTH_MM), grain_mm},
    {"growth_percent", OUTCOME_NUMBER, NEED(GIVEN_FROM_MG) | NEED(GIVEN_TO_MG) | NEED(GIVEN_DAYS),
     growth_percent},
    {"fry_least", OUTCOME_NUMBER, NEED(GIVEN_ARES) | NEED(GIVEN_DEPTH), fry_least},
    {"fry_most", OUTCOME_NUMBER, NEED(GIVEN_ARES) | NEED(GIVEN_DEPTH), fry_most},
    {"survivors_low", OUTCOME_NUMBER, NEED(GIVEN_FISH), survivors_low},
    {"survivors_middle", OUTCOME_NUMBER, NEED(GIVEN_FISH), survivors_middle},
    {"survivors_high", OUTCOME_NUMBER, NEED(GIVEN_FISH), survivors_high},
    {"direct_larvae", OUTCOME_NUMBER, NEED(GIVEN_ARES), direct_larvae},
    {"fenced_low", OUTCOME_NUMBER, NEED(GIVEN_ARES), fenced_low},
    {"fenced_middle", OUTCOME_NUMBER, NEED(GIVEN_ARES), fenced_middle},
    {"fenced_high", OUTCOME_NUMBER, NEED(GIVEN_ARES), fenced_high},
    {"open_low", OUTCOME_NUMBER, NEED(GIVEN_ARES), open_low},
    {"open_middle", OUTCOME_NUMBER, NEED(GIVEN_ARES), open_middle},
    {"open_high", OUTCOME_NUMBER, NEED(GIVEN_ARES), open_high},
    {"dry_before", OUTCOME_NUMBER, 0, dry_before},
    {"lime_before", OUTCOME_NUMBER, 0, lime_before},
    {"manure_before", OUTCOME_NUMBER, 0, manure_before},
    {"fill_before", OUTCOME_NUMBER, 0, fill_before},
    {"short_days", OUTCOME_NUMBER, 0, short_days},
    {"hen_kg", OUTCOME_NUMBER, NEED(GIVEN_ARES), hen_kg},
    {"cow_kg", OUTCOME_NUMBER, NEED(GIVEN_ARES), cow_kg},
    {"lime_kg", OUTCOME_NUMBER, NEED(GIVEN_PH) | NEED(GIVEN_SOIL) | NEED(GIVEN_ARES), lime_kg},
    {"lime_given", OUTCOME_ANSWER, NEED(GIVEN_PH) | NEED(GIVEN_SOIL) | NEED(GIVEN_ARES),
     lime_given},
    {"lime_too_acid", OUTCOME_ANSWER, NEED(GIVEN_PH) | NEED(GIVEN_SOIL) | NEED(GIVEN_ARES),
     lime_too_acid},
    {"lime_not_needed", OUTCOME_ANSWER, NEED(GIVEN_PH) | NEED(GIVEN_SOIL) | NEED(GIVEN_ARES),
     lime_not_needed},
    {"hydrated_kg", OUTCOME_NUMBER, NEED(GIVEN_KG), hydrated_kg},
    {"quick_kg", OUTCOME_NUMBER, NEED(GIVEN_KG), quick_kg},
    {"by_weight", OUTCOME_NUMBER, NEED(GIVEN_TOTAL) | NEED(GIVEN_SAMPLE_FISH) | NEED(GIVEN_SAMPLE),
     fish},
    {"count_possible", OUTCOME_ANSWER,
     NEED(GIVEN_TOTAL) | NEED(GIVEN_SAMPLE_FISH) | NEED(GIVEN_SAMPLE), count_possible},
    {"sample_small", OUTCOME_ANSWER, NEED(GIVEN_SAMPLE_FISH), sample_small},
    {"box_m3", OUTCOME_NUMBER, NEED(GIVEN_LONG) | NEED(GIVEN_WIDE) | NEED(GIVEN_DEPTH), box_m3},
    {"round_m3", OUTCOME_NUMBER, NEED(GIVEN_ACROSS) | NEED(GIVEN_DEPTH), round_m3},
    {"count_low", OUTCOME_NUMBER, COUNTED | NEED(GIVEN_CV), count_low},
    {"count_high", OUTCOME_NUMBER, COUNTED | NEED(GIVEN_CV), count_high},
    {"pond_m3", OUTCOME_NUMBER, PONDED, pond_m3},
    {"mean_depth_m", OUTCOME_NUMBER, NEED(GIVEN_SHALLOW) | NEED(GIVEN_DEPTH), mean_depth_m},
};
const int check_run_count = (int)(sizeof check_run_calculations / sizeof check_run_calculations[0]);
