/* dose: see dose.h. In: her weight, a label. Out: amounts, rounded to the nearest. No errors. */
#include "trade/dose.h"

#include "trade/book.h"

#define WEIGHT_LEAST_MG INT64_C(1000)
#define WEIGHT_MOST_MG  INT64_C(100000000)

enum { ML_UL = 1000, FINE_UL = 10, COARSE_UL = 100, MG_PER_KG = 1000000 };

static int64_t times(int64_t a, double by) {
    return (int64_t)((double)a * by + 0.5);
}

/* The product first, which is exact, so that a half stays a half. */
static int64_t per_kg(int64_t mg, enum book_id id) {
    return (int64_t)((double)mg * book_number(id) / MG_PER_KG + 0.5);
}

static bool weight_sensible(int64_t female_mg) {
    return female_mg >= WEIGHT_LEAST_MG && female_mg <= WEIGHT_MOST_MG;
}

struct dose dose_of(int64_t female_mg) {
    if (!weight_sensible(female_mg))
        return (struct dose){0};
    return (struct dose){
        .donor_least_mg = times(female_mg, book_number(BOOK_DONOR_LEAST)),
        .donor_safe_mg = times(female_mg, book_number(BOOK_DONOR_SAFE)),
        .dried_ug = per_kg(female_mg * 1000, BOOK_DRIED_MG_KG),
        .hcg_low_iu = per_kg(female_mg, BOOK_HCG_LOW_IU_KG),
        .hcg_high_iu = per_kg(female_mg, BOOK_HCG_HIGH_IU_KG),
        .saline_ul = times(ML_UL, book_number(BOOK_SALINE_ML)),
    };
}

int64_t dose_mix_ul(int64_t female_mg, int64_t label_ul_kg) {
    if (!weight_sensible(female_mg) || label_ul_kg <= 0 || label_ul_kg > 1000 * ML_UL)
        return 0;
    int64_t ul = female_mg * label_ul_kg / 1000000;
    int64_t step = ul <= ML_UL ? FINE_UL : COARSE_UL;
    return (ul + step / 2) / step * step;
}

bool dose_label_plausible(int64_t label_ul_kg) {
    return label_ul_kg >= times(ML_UL, book_number(BOOK_LABEL_LEAST_ML_KG)) &&
           label_ul_kg <= times(ML_UL, book_number(BOOK_LABEL_MOST_ML_KG));
}

int64_t dose_salt_mg(int64_t water_ml) {
    return water_ml > 0 && water_ml < INT64_C(1000000000000)
               ? water_ml * (int64_t)book_number(BOOK_SALINE_G_L)
               : 0;
}
