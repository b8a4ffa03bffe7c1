/* measure: see measure.h. In: a ration, meals, a measure, a limit. Out: half measures a meal. No
 * errors; a person's mistake is a reason. The rules of rounding are the program's own, no source.
 * Limits: a measure of an odd number of mg is rounded down to an even one. */
#include "trade/measure.h"

#define RATION_MOST_MG INT64_C(100000000000)

enum { MEASURE_LEAST_MG = 1000, MEASURE_MOST_MG = 1000000000 };

static bool sane(int64_t ration_mg, int meals, int64_t measure_mg) {
    return ration_mg >= 0 && ration_mg <= RATION_MOST_MG && meals >= 1 &&
           meals <= MEASURE_MEALS_MOST && measure_mg >= MEASURE_LEAST_MG &&
           measure_mg <= MEASURE_MOST_MG;
}

/* To the nearest, a half goes down. */
static int64_t nearest_less(int64_t a, int64_t by) {
    return (a * 2 + by - 1) / (by * 2);
}

struct measure measure_of(int64_t ration_mg, int meals, int64_t measure_mg, int64_t most_mg) {
    if (!sane(ration_mg, meals, measure_mg))
        return (struct measure){.reason = MEASURE_IMPOSSIBLE};
    if (ration_mg == 0)
        return (struct measure){.reason = MEASURE_NOTHING};
    struct measure m = {.reason = MEASURE_OK, .meals = meals};
    int64_t half_mg = measure_mg / 2;
    if (most_mg > 0 && ration_mg > most_mg) {
        ration_mg = most_mg;
        m.lowered = true;
    }
    if (ration_mg < half_mg) {
        m.reason = MEASURE_SMALL;
        m.meal_mg = ration_mg / meals;
        m.day_mg = m.meal_mg * meals;
        return m;
    }
    while (ration_mg < half_mg * m.meals)
        m.meals--;
    int64_t meals_half_mg = half_mg * m.meals;
    m.halves = nearest_less(ration_mg, meals_half_mg);
    if (most_mg > 0 && m.halves * meals_half_mg > most_mg) {
        m.halves = most_mg / meals_half_mg; /* at least one: the ration holds one, most_mg too */
        m.lowered = true;
    }
    m.meal_mg = m.halves * half_mg;
    m.day_mg = m.meal_mg * m.meals;
    return m;
}
