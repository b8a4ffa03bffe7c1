/* eggs: what follows from weights. In: milligrams. Out: counts, areas, volumes. No errors: what
 * cannot be (a weight under 0) gives 0, what does not fit stops at INT64_MAX. Exact up to 2^53,
 * far above any bowl. */
#include "trade/eggs.h"

#include <math.h>

#include "trade/book.h"

enum { MG_PER_G = 1000, MG_PER_KG = 1000000 };

static int64_t whole(double rounded) {
    if (!(rounded > 0))
        return 0;
    return rounded >= 0x1p63 ? INT64_MAX : (int64_t)rounded;
}

static int64_t nearest(double v) {
    return whole(floor(v + 0.5));
}

int64_t eggs_of_weight(int64_t stripped_mg) {
    return nearest((double)stripped_mg * book_number(BOOK_EGGS_PER_G) / MG_PER_G);
}

struct eggs_range eggs_expected(int64_t female_mg) {
    double mg = (double)female_mg;
    return (struct eggs_range){
        .low = nearest(mg * book_number(BOOK_EGGS_LOW_PER_KG) / MG_PER_KG),
        .middle = nearest(mg * book_number(BOOK_EGGS_MIDDLE_PER_KG) / MG_PER_KG),
        .high = nearest(mg * book_number(BOOK_EGGS_HIGH_PER_KG) / MG_PER_KG),
    };
}

int64_t eggs_room_cm2(int64_t stripped_mg) {
    return whole(ceil((double)stripped_mg * book_number(BOOK_ROOM_CM2_PER_G) / MG_PER_G));
}

int64_t eggs_square_cm(int64_t stripped_mg) {
    double step_cm = book_number(BOOK_SQUARE_STEP_CM);
    return whole(ceil(sqrt((double)eggs_room_cm2(stripped_mg)) / step_cm) * step_cm);
}

int64_t eggs_still_ml(int64_t stripped_mg) {
    return whole(ceil((double)stripped_mg * book_number(BOOK_STILL_ML_PER_G) / MG_PER_G));
}

bool eggs_plausible(int64_t stripped_mg, int64_t female_mg) {
    if (stripped_mg <= 0)
        return false;
    return female_mg <= 0 ||
           (double)stripped_mg <= (double)female_mg * book_number(BOOK_STRIP_SHARE_MOST);
}

int64_t eggs_alive(int64_t eggs, int64_t white, int64_t of) {
    if (eggs <= 0)
        return 0;
    if (of <= 0 || white <= 0)
        return eggs;
    if (white >= of)
        return 0;
    return nearest((double)eggs * (double)(of - white) / (double)of);
}

int64_t eggs_in_ovary(int64_t length_mm) {
    enum { MOST_MM = 2000 };
    if (length_mm <= 0 || length_mm > MOST_MM)
        return 0;
    double cm = (double)length_mm / 10;
    return (int64_t)(book_number(BOOK_OVARY_A) * pow(cm, book_number(BOOK_OVARY_B)) + 0.5);
}
