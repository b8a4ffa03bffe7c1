/* count: see count.h. In: weights, counts, measures. Out: a count, a volume. No errors. */
#include "trade/count.h"

#include <math.h>

#include "trade/book.h"

#define TOTAL_MOST_MG INT64_C(100000000000)
#define SIDE_MOST_MM  INT64_C(1000000)

#define AREA_MOST_CM2 INT64_C(1000000000000)

/* Four in five of a bell curve lie within so many of its spreads, from tables of the normal
 * distribution. */
#define FOUR_IN_FIVE 1.2815515655446004

enum { SAMPLE_MOST = 1000000, CV_MOST_PERMILLE = 10000, DEPTH_MOST_MM = 100000 };

/* a * b / c to the nearest, without the product: the whole times of c in a first, then the rest. */
static int64_t ratio(int64_t a, int64_t b, int64_t c) {
    int64_t whole = a / c, rest = a % c;
    return whole * b + (rest * b + c / 2) / c;
}

struct fish_count count_by_weight(int64_t total_mg, int64_t sample_count, int64_t sample_mg) {
    if (total_mg <= 0 || sample_count <= 0 || sample_mg <= 0 || sample_mg > total_mg ||
        total_mg > TOTAL_MOST_MG || sample_count > SAMPLE_MOST)
        return (struct fish_count){COUNT_IMPOSSIBLE, 0};
    return (struct fish_count){COUNT_OK, ratio(total_mg, sample_count, sample_mg)};
}

/* Spreads of the mean that hold four in five. With the spread known from the n fish alone it is
 * Student's; first term of its expansion about the normal (Fisher and Cornish 1960), from memory.
 */
static double spreads(int64_t n, bool spread_known) {
    if (!spread_known || n < 2)
        return FOUR_IN_FIVE;
    return FOUR_IN_FIVE * (1 + (FOUR_IN_FIVE * FOUR_IN_FIVE + 1) / (4 * (double)(n - 1)));
}

struct fish_count_range count_by_weight_range(int64_t total_mg, int64_t sample_count,
                                              int64_t sample_mg, int64_t cv_permille,
                                              bool spread_known) {
    struct fish_count all = count_by_weight(total_mg, sample_count, sample_mg);
    if (all.reason != COUNT_OK || cv_permille < -1 || cv_permille > CV_MOST_PERMILLE)
        return (struct fish_count_range){.reason = COUNT_IMPOSSIBLE};
    double cv = cv_permille < 0 ? book_number(BOOK_SPREAD_USUAL) : (double)cv_permille / 1000;
    double n = (double)sample_count, middle = (double)total_mg * n / (double)sample_mg;
    /* Fish that were weighed are no guess: only the rest of them spreads. */
    double rest = middle > n ? 1 - n / middle : 0;
    double off = middle * spreads(sample_count, spread_known) * cv * sqrt(rest / n);
    double low = floor(middle - off), high = ceil(middle + off);
    return (struct fish_count_range){
        .reason = COUNT_OK,
        .low = low < n                    ? sample_count
               : (int64_t)low < all.count ? (int64_t)low
                                          : all.count,
        .middle = all.count,
        .high = (int64_t)high > all.count ? (int64_t)high : all.count,
    };
}

bool count_sample_small(int64_t sample_count) {
    return sample_count < (int64_t)book_number(BOOK_SAMPLE_LEAST);
}

static bool side(int64_t mm) {
    return mm > 0 && mm <= SIDE_MOST_MM;
}

int64_t count_box_ml(int64_t long_mm, int64_t wide_mm, int64_t deep_mm) {
    if (!side(long_mm) || !side(wide_mm) || !side(deep_mm))
        return 0;
    return ratio(long_mm * wide_mm, deep_mm, 1000);
}

int64_t count_round_ml(int64_t across_mm, int64_t deep_mm) {
    static const double quarter_pi = 0.78539816339744831;
    if (!side(across_mm) || !side(deep_mm))
        return 0;
    return (int64_t)(quarter_pi * (double)across_mm * (double)across_mm * (double)deep_mm / 1000 +
                     0.5);
}

/* A cm2 by a mm is a tenth of a ml. */
int64_t count_pond_ml(int64_t area_cm2, int64_t depth_mm) {
    if (area_cm2 <= 0 || area_cm2 > AREA_MOST_CM2 || depth_mm <= 0 || depth_mm > DEPTH_MOST_MM)
        return 0;
    return (area_cm2 * depth_mm + 5) / 10;
}

int64_t count_depth_mm(int64_t shallow_mm, int64_t deep_mm) {
    if (shallow_mm < 0 || deep_mm <= 0 || shallow_mm > DEPTH_MOST_MM || deep_mm > DEPTH_MOST_MM)
        return 0;
    return (shallow_mm + deep_mm + 1) / 2;
}
