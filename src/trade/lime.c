/* lime: see lime.h. In: the soil and the pond. Out: an amount, or the reason why none. */
#include "trade/lime.h"

#include "trade/book.h"

#define AREA_MOST_CM2     INT64_C(1000000000000)
#define CARBONATE_MOST_MG (30 * AREA_MOST_CM2)

struct lime_dose lime_of(int64_t soil_ph_milli, enum soil soil, int64_t area_cm2) {
    enum { LEAST = 4000, MOST = 14000 };
    if (soil_ph_milli <= 0 || soil_ph_milli > MOST || (int)soil < SOIL_CLAY || soil > SOIL_SAND ||
        area_cm2 <= 0 || area_cm2 > AREA_MOST_CM2)
        return (struct lime_dose){LIME_UNKNOWN, 0};
    if (soil_ph_milli < LEAST)
        return (struct lime_dose){LIME_TOO_ACID, 0};
    for (int i = 0; i < book_lime.count; i++)
        if ((double)soil_ph_milli <= book_lime.rows[i][0] * 1000) /* a kg an are is a mg a cm2 */
            return (struct lime_dose){LIME_OK, (int64_t)book_lime.rows[i][soil] * area_cm2};
    return (struct lime_dose){LIME_NOT_NEEDED, 0};
}

int64_t lime_as(enum lime_kind kind, int64_t carbonate_mg) {
    double nv = kind == LIME_HYDRATED ? book_number(BOOK_LIME_HYDRATED_NV)
                : kind == LIME_QUICK  ? book_number(BOOK_LIME_QUICK_NV)
                                      : 100;
    if (carbonate_mg <= 0 || carbonate_mg > CARBONATE_MOST_MG)
        return 0;
    return (int64_t)((double)carbonate_mg * 100 / nv + 0.5);
}
