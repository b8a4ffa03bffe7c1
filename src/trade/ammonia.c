/* ammonia: see ammonia.h. In: total ammonia, pH, temperature, weight. Out: the un-ionised part and
 * how far from the limit. No errors; a person's mistake is a reason.
 *   share = 1 / (10^(pKa - pH) + 1),   pKa = 0.09018 + 2729.92 / K   (Emerson et al. 1975) */
#include "trade/ammonia.h"

#include <math.h>
#include <stdbool.h>

#include "trade/book.h"

enum {
    PH_LEAST_MILLI = 4000,
    PH_MOST_MILLI = 11000,
    WARMEST_MDEGC = 40000,
    N_MOST_UG = 1000000 /* a gram a litre: far over any pond */
};

#define KELVIN 273.15

static bool amount(int64_t ug_l) {
    return ug_l >= 0 && ug_l <= N_MOST_UG;
}

static bool ph_sane(int64_t ph_milli) {
    return ph_milli >= PH_LEAST_MILLI && ph_milli <= PH_MOST_MILLI;
}

static bool water_sane(int64_t water_mdegc) {
    return water_mdegc >= 0 && water_mdegc <= WARMEST_MDEGC;
}

static double share_of(int64_t ph_milli, int64_t water_mdegc) {
    double kelvin = (double)water_mdegc / 1000 + KELVIN;
    double pka = book_number(BOOK_AMMONIA_PKA_A) + book_number(BOOK_AMMONIA_PKA_B) / kelvin;
    return 1 / (pow(10, pka - (double)ph_milli / 1000) + 1);
}

int64_t ammonia_share_ppm(int64_t ph_milli, int64_t water_mdegc) {
    if (!ph_sane(ph_milli) || !water_sane(water_mdegc))
        return -1;
    return (int64_t)(share_of(ph_milli, water_mdegc) * 1e6 + 0.5);
}

int64_t ammonia_n_of_nh4_ug_l(int64_t nh4_ug_l) {
    if (!amount(nh4_ug_l))
        return -1;
    return (int64_t)((double)nh4_ug_l * book_number(BOOK_AMMONIA_N_OF_NH4) + 0.5);
}

int64_t ammonia_limit_ug_l(int64_t weight_mg) {
    double g = (double)weight_mg / 1000;
    enum book_id id = g <= book_number(BOOK_AMMONIA_SMALL_G)    ? BOOK_AMMONIA_SMALL
                      : g <= book_number(BOOK_AMMONIA_MIDDLE_G) ? BOOK_AMMONIA_MIDDLE
                                                                : BOOK_AMMONIA_LARGE;
    return (int64_t)(book_number(id) * 1000 + 0.5);
}

int64_t ammonia_nitrite_limit_ug_l(void) {
    return (int64_t)(book_number(BOOK_NITRITE_MOST) * 1000 + 0.5);
}

struct ammonia ammonia_of(int64_t total_n_ug_l, int64_t ph_milli, int64_t water_mdegc,
                          int64_t weight_mg) {
    if (!amount(total_n_ug_l))
        return (struct ammonia){.reason = AMMONIA_NO_TOTAL};
    if (!ph_sane(ph_milli))
        return (struct ammonia){.reason = AMMONIA_NO_PH};
    if (!water_sane(water_mdegc))
        return (struct ammonia){.reason = AMMONIA_NO_WATER};
    double share = share_of(ph_milli, water_mdegc);
    double unionised_ug = (double)total_n_ug_l * share;
    int64_t limit_ug = ammonia_limit_ug_l(weight_mg);
    return (struct ammonia){
        .reason = AMMONIA_OK,
        .share_ppm = (int64_t)(share * 1e6 + 0.5),
        .unionised_ug_l = (int64_t)(unionised_ug + 0.5),
        .limit_ug_l = limit_ug,
        .permille = (int64_t)ceil(unionised_ug * 1000 / (double)limit_ug),
        .total_most = (int64_t)floor((double)limit_ug / share),
    };
}

int64_t ammonia_nitrite_permille(int64_t nitrite_n_ug_l) {
    int64_t limit_ug = ammonia_nitrite_limit_ug_l();
    return amount(nitrite_n_ug_l) ? (nitrite_n_ug_l * 1000 + limit_ug - 1) / limit_ug : -1;
}
