/* measure: a day's feed in what a farm feeds with (a tin, a scoop, a bowl), in whole and half ones.
 * The weight that people are told is that of the measures, not that of the ration. Pure, exact. */
#ifndef TRADE_MEASURE_H
#define TRADE_MEASURE_H

#include <stdbool.h>
#include <stdint.h>

enum { MEASURE_MEALS_MOST = 12 };

enum measure_reason {
    MEASURE_OK,
    MEASURE_NOTHING, /* no ration today */
    MEASURE_SMALL,   /* under half a measure for the whole day: weigh it, meal_mg is not rounded */
    MEASURE_IMPOSSIBLE /* a ration under 0 or over 100 t, a measure under 1 g or over 1 t, meals not
                          1-12 */
};

struct measure {
    enum measure_reason reason;
    int meals;      /* as asked, fewer where a meal would be under half a measure */
    int64_t halves; /* half measures a meal: 3 is one and a half */
    int64_t meal_mg;
    int64_t day_mg; /* all meals; never over most_mg */
    bool lowered;   /* most_mg held it down */
};

/* Each meal to the nearest half measure, the lesser of two equally near (left food fouls the water,
 * hunger for a day does not), all of them together never over most_mg, the most that the pond
 * bears; most_mg 0 or less: none is known. When most_mg itself is under the ration it takes the
 * ration's place. When a meal would be under half a measure there are fewer meals. */
struct measure measure_of(int64_t ration_mg, int meals, int64_t measure_mg, int64_t most_mg);

#endif
