/* oxygen: see oxygen.h. In: temperature, height or pressure, readings. Out: amounts, an instant. No
 * errors; a person's mistake is a reason. The formulas' numbers are in the book:
 *   C(1 atm) = exp(A0 + A1/K + A2/K^2 + A3/K^3 + A4/K^4)
 *   C(P) = C(1) P (1 - u/P)(1 - theta P) / ((1 - u)(1 - theta)),   u the vapour of water in atm.
 * Limits: as in the header; instants within a span of 28 hours, so no difference overflows. */
#include "trade/oxygen.h"

#include <math.h>

#include "trade/book.h"

enum {
    WARMEST_MDEGC = 40000,
    PRESSURE_LEAST_UATM = 500000,
    PRESSURE_MOST_UATM = 1100000,
    HEIGHT_LEAST_M = -400,
    HEIGHT_MOST_M = 5000,
    OXYGEN_MOST_UG = 40000,
    APART_LEAST_S = 1800,
    APART_MOST_S = 12 * 3600,
    NIGHT_MOST_S = 16 * 3600
};

#define KELVIN 273.15

static int64_t nearest(double value) {
    return (int64_t)floor(value + 0.5);
}

int64_t oxygen_pressure_uatm(int64_t height_m) {
    if (height_m < HEIGHT_LEAST_M || height_m > HEIGHT_MOST_M)
        return 0;
    double left = 1 - book_number(BOOK_PRESSURE_A) * (double)height_m;
    return nearest(pow(left, book_number(BOOK_PRESSURE_B)) * 1e6);
}

int64_t oxygen_saturation_ug_l(int64_t water_mdegc, int64_t pressure_uatm) {
    if (water_mdegc < 0 || water_mdegc > WARMEST_MDEGC || pressure_uatm < PRESSURE_LEAST_UATM ||
        pressure_uatm > PRESSURE_MOST_UATM)
        return 0;
    double degc = (double)water_mdegc / 1000, atm = (double)pressure_uatm / 1e6;
    double inverse = 1 / (degc + KELVIN);
    double at_1_atm = exp(book_terms_at(&book_oxygen, inverse));
    double vapour = exp(book_terms_at(&book_oxygen_vapour, inverse));
    double theta = book_terms_at(&book_oxygen_theta, degc);
    double held = atm * (1 - vapour / atm) * (1 - theta * atm) / ((1 - vapour) * (1 - theta));
    return nearest(at_1_atm * held * 1000);
}

int64_t oxygen_permille(int64_t oxygen_ug_l, int64_t water_mdegc, int64_t pressure_uatm) {
    int64_t full = oxygen_saturation_ug_l(water_mdegc, pressure_uatm);
    if (!full || oxygen_ug_l < 0 || oxygen_ug_l > OXYGEN_MOST_UG)
        return 0;
    return (oxygen_ug_l * 1000 + full / 2) / full;
}

int64_t oxygen_limit_ug_l(int age_days) {
    bool fry = age_days >= 0 && age_days < (int)book_number(BOOK_OXYGEN_FRY_DAYS);
    return nearest(book_number(fry ? BOOK_OXYGEN_FRY : BOOK_OXYGEN_STOP) * 1000);
}

static bool sane(int64_t oxygen_ug_l) {
    return oxygen_ug_l >= 0 && oxygen_ug_l <= OXYGEN_MOST_UG;
}

/* later - earlier; -1 when that is under 0 or over most_s, without overflow. */
static int64_t span_s(int64_t earlier_s, int64_t later_s, int64_t most_s) {
    if (later_s < earlier_s || (uint64_t)later_s - (uint64_t)earlier_s > (uint64_t)most_s)
        return -1;
    return later_s - earlier_s;
}

struct oxygen_dusk oxygen_dusk(struct oxygen_reading first, struct oxygen_reading second,
                               int64_t dawn_s, int64_t limit_ug_l) {
    struct oxygen_dusk dusk = {.reason = OXYGEN_OK};
    int64_t apart_s = span_s(first.at_s, second.at_s, APART_MOST_S);
    int64_t night_s = span_s(second.at_s, dawn_s, NIGHT_MOST_S);
    if (!sane(first.oxygen_ug_l) || !sane(second.oxygen_ug_l) || !sane(limit_ug_l) || !limit_ug_l)
        return (struct oxygen_dusk){.reason = OXYGEN_IMPOSSIBLE};
    if (apart_s < APART_LEAST_S || night_s <= 0)
        return (struct oxygen_dusk){.reason = OXYGEN_ORDER};
    int64_t fall_ug = first.oxygen_ug_l - second.oxygen_ug_l;
    if (fall_ug <= 0)
        return (struct oxygen_dusk){.reason = OXYGEN_RISING};
    int64_t to_dawn_ug = (fall_ug * night_s + apart_s / 2) / apart_s;
    dusk.dawn_ug_l = second.oxygen_ug_l > to_dawn_ug ? second.oxygen_ug_l - to_dawn_ug : 0;
    /* Rounded down, the instant is the earlier one; the readings themselves count. */
    int64_t over_ug = first.oxygen_ug_l - limit_ug_l;
    int64_t after_s = over_ug > 0 ? over_ug * apart_s / fall_ug : 0;
    dusk.danger = after_s < apart_s + night_s;
    if (dusk.danger)
        dusk.danger_at_s = first.at_s + after_s;
    return dusk;
}
