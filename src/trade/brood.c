/* brood: see brood.h. In: weights, ages, areas. Out: what they allow. No errors. */
#include "trade/brood.h"

#include "trade/book.h"
#include "trade/ration.h"

#define BILLION INT64_C(1000000000)

enum { DAY_S = 86400, G_MG = 1000, M2_CM2 = 10000 };

bool brood_mature(int64_t age_s, int64_t weight_mg) {
    bool old = age_s < 0 || age_s >= (int64_t)book_number(BOOK_MATURE_DAYS) * DAY_S;
    bool heavy = weight_mg <= 0 || weight_mg >= (int64_t)book_number(BOOK_MATURE_G) * G_MG;
    return old && heavy;
}

static bool between(int64_t weight_mg, enum book_id least, enum book_id most) {
    return weight_mg >= (int64_t)book_number(least) * G_MG &&
           weight_mg <= (int64_t)book_number(most) * G_MG;
}

bool brood_weight_passes(int64_t weight_mg) {
    return between(weight_mg, BOOK_FEMALE_LEAST_G, BOOK_FEMALE_MOST_G);
}

bool brood_weight_good(int64_t weight_mg) {
    return between(weight_mg, BOOK_FEMALE_LEAST_G, BOOK_FEMALE_GOOD_G);
}

int64_t brood_room(int64_t area_cm2) {
    return area_cm2 > 0 ? area_cm2 / M2_CM2 * (int64_t)book_number(BOOK_BROOD_PER_M2) : 0;
}

int64_t brood_feed_mg(int64_t weight_mg, int64_t water_mdegc) {
    int64_t permille = water_mdegc < 0 ? 1000 : ration_factor_permille(water_mdegc);
    if (weight_mg <= 0 || weight_mg > BILLION) /* a tonne is no fish */
        return 0;
    return (weight_mg * ration_ppm(weight_mg) * permille + BILLION / 2) / BILLION;
}
