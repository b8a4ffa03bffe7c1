/* count: see count.h. In: weights, counts, measures. Out: a count, a volume. No errors. */
#include "trade/count.h"

#include "trade/book.h"

#define TOTAL_MOST_MG INT64_C(100000000000)
#define SIDE_MOST_MM  INT64_C(1000000)

enum { SAMPLE_MOST = 1000000 };

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
