/* ration: see ration.h. In: a weight, a temperature. Out: shares. No errors. Straight between the
 * points of the book's lines, the ends hold beyond them. */
#include "trade/ration.h"

#include "trade/book.h"

enum { COLDEST_MDEGC = 18000, WARMEST_MDEGC = 34000 };

int64_t ration_ppm(int64_t weight_mg) {
    if (weight_mg <= 0)
        return 0;
    return (int64_t)(book_line_at(&book_ration, (double)weight_mg / 1000) * 10000 + 0.5);
}

int64_t ration_factor_permille(int64_t water_mdegc) {
    if (water_mdegc < COLDEST_MDEGC || water_mdegc > WARMEST_MDEGC)
        return 0;
    return (int64_t)(book_line_at(&book_ration_warm, (double)water_mdegc / 1000) * 1000 + 0.5);
}
