/* sample: see sample.h. In: weights, a length, a depth. Out: a mean with its error, a condition, a
 * band. No errors; a person's mistake is a reason. Limits: a million fish of 100 kg. */
#include "trade/sample.h"

#include <math.h>

#include "trade/book.h"

enum {
    COUNT_MOST = 1000000,
    FISH_MOST_MG = 100000000,
    LENGTH_LEAST_UM = 1000,
    LENGTH_MOST_UM = 3000000,
    DEPTH_MOST_MM = 20000
};

static bool fish(int64_t weight_mg) {
    return weight_mg > 0 && weight_mg <= FISH_MOST_MG;
}

static struct sample finish(int64_t count, double mean_mg, double cv, bool known) {
    double error_mg = ceil(mean_mg * cv / sqrt((double)count) - 1e-9);
    int64_t whole_mg = (int64_t)(mean_mg + 0.5);
    return (struct sample){
        .reason = SAMPLE_OK,
        .count = count,
        .mean_mg = whole_mg > 0 ? whole_mg : 1,
        .error_mg = error_mg > 1 ? (int64_t)error_mg : 1,
        .cv_permille = (int64_t)(cv * 1000 + 0.5),
        .sd_mg = (int64_t)(mean_mg * cv + 0.5),
        .spread_known = known,
        .small = count < (int64_t)book_number(BOOK_SAMPLE_LEAST),
        .grade = known && cv > book_number(BOOK_SPREAD_GRADE),
    };
}

static int count_up_to(const int64_t *weight_mg, int count, int64_t most_mg) {
    int n = 0;
    for (int i = 0; i < count; i++)
        n += weight_mg[i] <= most_mg;
    return n;
}

/* The k-th lightest, from 1: found by halving the range of weights, as there is no room of its own
 * to sort in. */
static int64_t lightest(const int64_t *weight_mg, int count, int k) {
    int64_t low = 1, high = FISH_MOST_MG;
    while (low < high) {
        int64_t middle = low + (high - low) / 2;
        if (count_up_to(weight_mg, count, middle) >= k)
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

static int64_t median_of(const int64_t *weight_mg, int count) {
    int64_t below = lightest(weight_mg, count, (count + 1) / 2);
    int64_t above = count % 2 ? below : lightest(weight_mg, count, count / 2 + 1);
    return (below + above + 1) / 2;
}

static void add_sizes(struct sample *s, const int64_t *weight_mg, int count) {
    s->median_mg = median_of(weight_mg, count);
    s->least_mg = s->largest_mg = weight_mg[0];
    for (int i = 1; i < count; i++) {
        s->least_mg = weight_mg[i] < s->least_mg ? weight_mg[i] : s->least_mg;
        s->largest_mg = weight_mg[i] > s->largest_mg ? weight_mg[i] : s->largest_mg;
    }
    s->largest_permille = s->largest_mg * 1000 / s->median_mg;
    s->grade |= (double)s->largest_mg >= book_number(BOOK_LARGE_GRADE) * (double)s->median_mg;
}

/* In two passes, so that nothing is lost between near values. */
struct sample sample_of_weights(const int64_t *weight_mg, int count) {
    if (count <= 0 || count > COUNT_MOST)
        return (struct sample){.reason = SAMPLE_IMPOSSIBLE};
    int64_t total_mg = 0;
    for (int i = 0; i < count; i++) {
        if (!fish(weight_mg[i]))
            return (struct sample){.reason = SAMPLE_IMPOSSIBLE};
        total_mg += weight_mg[i];
    }
    if (count == 1)
        return sample_of_total(1, total_mg);
    double mean_mg = (double)total_mg / count, squares = 0;
    for (int i = 0; i < count; i++) {
        double off_mg = (double)weight_mg[i] - mean_mg;
        squares += off_mg * off_mg;
    }
    struct sample s = finish(count, mean_mg, sqrt(squares / (count - 1)) / mean_mg, true);
    add_sizes(&s, weight_mg, count);
    return s;
}

struct sample_split sample_split(const int64_t *weight_mg, int count, int64_t low_mg,
                                 int64_t high_mg) {
    struct sample_split split = {0};
    if (count <= 0 || count > COUNT_MOST || !fish(low_mg) || !fish(high_mg) || low_mg > high_mg)
        return split;
    for (int i = 0; i < count; i++) {
        if (!fish(weight_mg[i]))
            return (struct sample_split){0};
        split.under += weight_mg[i] < low_mg;
        split.over += weight_mg[i] > high_mg;
    }
    split.within = count - split.under - split.over;
    split.under_permille = ((int64_t)split.under * 1000 + count / 2) / count;
    split.over_permille = ((int64_t)split.over * 1000 + count / 2) / count;
    return split;
}

struct sample sample_of_total(int64_t count, int64_t total_mg) {
    if (count <= 0 || count > COUNT_MOST || total_mg <= 0 || total_mg > count * FISH_MOST_MG)
        return (struct sample){.reason = SAMPLE_IMPOSSIBLE};
    return finish(count, (double)total_mg / (double)count, book_number(BOOK_SPREAD_USUAL), false);
}

int64_t sample_condition_permille(int64_t weight_mg, int64_t length_um) {
    if (!fish(weight_mg) || length_um < LENGTH_LEAST_UM || length_um > LENGTH_MOST_UM)
        return 0;
    double g = (double)weight_mg / 1e3, cm = (double)length_um / 1e4;
    return (int64_t)(1000 * 100 * g / (cm * cm * cm) + 0.5);
}

/* W = k L^3 / 100 turned round, g and cm. */
int64_t sample_length_um(int64_t weight_mg) {
    if (!fish(weight_mg))
        return 0;
    double k = (book_number(BOOK_CONDITION_LOW) + book_number(BOOK_CONDITION_HIGH)) / 2;
    return (int64_t)(cbrt(100 * (double)weight_mg / 1e3 / k) * 1e4 + 0.5);
}

static int64_t permille(enum book_id id) {
    return (int64_t)(book_number(id) * 1000 + 0.5);
}

enum sample_shape sample_shape(int64_t condition_permille) {
    if (condition_permille <= 0)
        return SAMPLE_SHAPE_UNKNOWN;
    if (condition_permille < permille(BOOK_CONDITION_LOW))
        return SAMPLE_LEAN;
    return condition_permille > permille(BOOK_CONDITION_HIGH) ? SAMPLE_FAT : SAMPLE_USUAL;
}

static bool under_cm(int64_t depth_mm, enum book_id id) {
    return depth_mm < (int64_t)(book_number(id) * 10 + 0.5);
}

enum secchi sample_secchi(int64_t depth_mm) {
    if (depth_mm < 0 || depth_mm > DEPTH_MOST_MM)
        return SECCHI_IMPOSSIBLE;
    if (under_cm(depth_mm, BOOK_SECCHI_DANGER_CM))
        return SECCHI_DANGER;
    if (under_cm(depth_mm, BOOK_SECCHI_STOP_CM))
        return SECCHI_STOP;
    return under_cm(depth_mm - 1, BOOK_SECCHI_CLEAR_CM) ? SECCHI_GOOD : SECCHI_CLEAR;
}
