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
        .spread_known = known,
        .small = count < (int64_t)book_number(BOOK_SAMPLE_LEAST),
        .grade = known && cv > book_number(BOOK_SPREAD_GRADE),
    };
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
    return finish(count, mean_mg, sqrt(squares / (count - 1)) / mean_mg, true);
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
