/* work_order: the calculations on orders planned backwards that a case of a .chk file may ask for,
 * by name, with the book's rates. In: what the case gives, already read and complete. Out: numbers,
 * in the units of the sources: fish, kg, days before the harvest. A refused order gives -1. */
#include "check.h"

#include <stddef.h>

#include "trade/order.h"

enum { HARVEST = 20500, NOW = 20000 };

static struct order_need need_of(const struct given_values *g) {
    static struct order_odds odds;
    struct learn_when any = {LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
    struct order_rates rates = {
        learn_rate(LEARN_EGGS, NULL, 0, any), learn_rate(LEARN_HATCH, NULL, 0, any),
        learn_rate(LEARN_SURVIVE, NULL, 0, any), learn_rate(LEARN_NURSERY, NULL, 0, any)};
    order_odds_make(&odds, &rates);
    return order_need(&odds, (int64_t)g->number[GIVEN_FISH], true);
}

static struct outcome number(const struct order_need *need, double n) {
    return (struct outcome){.number = need->reason == ORDER_OK ? n : -1};
}

static struct outcome fry(const struct given_values *g) {
    struct order_need need = need_of(g);
    return number(&need, (double)need.fry);
}

static struct outcome larvae(const struct given_values *g) {
    struct order_need need = need_of(g);
    return number(&need, (double)need.larvae);
}

static struct outcome eggs(const struct given_values *g) {
    struct order_need need = need_of(g);
    return number(&need, (double)need.eggs);
}

static struct outcome female_kg(const struct given_values *g) {
    struct order_need need = need_of(g);
    return number(&need, (double)need.middle_mg / 1e6);
}

static struct outcome females(const struct given_values *g) {
    struct order_need need = need_of(g);
    return number(&need, need.females);
}

static struct outcome ares(const struct given_values *g) {
    struct order_need need = need_of(g);
    return number(&need, (double)need.middle_area_cm2 / 1e6);
}

static struct order_days days_of(const struct given_values *g) {
    int64_t mdegc = (int64_t)(g->number[GIVEN_DEGC] * 1000 + 0.5);
    struct learn_when any = {LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
    struct learn_rate tgc = learn_rate(LEARN_TGC, NULL, 0, any);
    struct order_want want = {1000, (int64_t)(g->number[GIVEN_TO_G] * 1000 + 0.5), HARVEST, mdegc,
                              mdegc};
    return order_days(&want, &tgc, (struct order_now){NOW, 0});
}

static struct outcome before(enum order_reason reason, int64_t day) {
    return (struct outcome){.number = reason == ORDER_OK ? (double)(HARVEST - day) : -1};
}

static struct outcome stock_days(const struct given_values *g) {
    struct order_days d = days_of(g);
    return before(d.reason, d.stock_day);
}

static struct outcome hatch_days(const struct given_values *g) {
    struct order_days d = days_of(g);
    return before(d.reason, d.hatch_day);
}

static struct outcome prepare_days(const struct given_values *g) {
    struct order_days d = days_of(g);
    return before(d.reason, d.prepare_day);
}

/* From injection to first look, hours. */
static struct outcome injected_h(const struct given_values *g) {
    struct order_days d = days_of(g);
    double min = (double)(d.strip_day - d.inject_day) * 1440 + d.strip_min - d.inject_min;
    return (struct outcome){.number = d.reason == ORDER_OK ? min / 60 : -1};
}

#define SIZED (NEED(GIVEN_DEGC) | NEED(GIVEN_TO_G))

const struct calculation check_order_calculations[] = {
    {"order_fry", OUTCOME_NUMBER, NEED(GIVEN_FISH), fry},
    {"order_larvae", OUTCOME_NUMBER, NEED(GIVEN_FISH), larvae},
    {"order_eggs", OUTCOME_NUMBER, NEED(GIVEN_FISH), eggs},
    {"order_female_kg", OUTCOME_NUMBER, NEED(GIVEN_FISH), female_kg},
    {"order_females", OUTCOME_NUMBER, NEED(GIVEN_FISH), females},
    {"order_ares", OUTCOME_NUMBER, NEED(GIVEN_FISH), ares},
    {"order_stock_days", OUTCOME_NUMBER, SIZED, stock_days},
    {"order_hatch_days", OUTCOME_NUMBER, SIZED, hatch_days},
    {"order_prepare_days", OUTCOME_NUMBER, SIZED, prepare_days},
    {"order_injected_h", OUTCOME_NUMBER, SIZED, injected_h},
};

const int check_order_count =
    (int)(sizeof check_order_calculations / sizeof check_order_calculations[0]);
