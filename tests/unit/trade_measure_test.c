/* A day's feed in the farm's own measures: at the ends of what is allowed, and what must be true of
 * every ration. Worked meals stand in tests/checks/growing.chk. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/measure.h"
#include "trade_draw.h"

#define RATION_MOST_MG INT64_C(100000000000)

enum { ROUNDS = 50000 };

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    static const struct {
        int64_t ration_mg;
        int meals;
        int64_t measure_mg;
    } table[] = {
        {-1, 2, 350000},
        {INT64_MIN, 2, 350000},
        {RATION_MOST_MG + 1, 2, 350000},
        {INT64_MAX, 2, 350000},
        {1000000, 0, 350000},
        {1000000, -1, 350000},
        {1000000, MEASURE_MEALS_MOST + 1, 350000},
        {1000000, INT32_MIN, 350000},
        {1000000, 2, 999},
        {1000000, 2, 0},
        {1000000, 2, INT64_MIN},
        {1000000, 2, 1000000001},
        {1000000, 2, INT64_MAX},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        struct measure m =
            measure_of(table[i].ration_mg, table[i].meals, table[i].measure_mg, INT64_MAX);
        wants("reason", (int64_t)i, m.reason, MEASURE_IMPOSSIBLE);
        wants("nothing is said", (int64_t)i, m.day_mg + m.meal_mg + m.halves + m.meals, 0);
    }
    struct measure m = measure_of(0, 2, 350000, 0);
    wants("no ration", 0, m.reason, MEASURE_NOTHING);
    wants("no ration", 0, m.day_mg, 0);
    m = measure_of(2100000, 2, 350000, 2100000);
    wants("as much as the guard", 0, m.day_mg, 2100000);
    wants("is not lowered", 0, m.lowered, false);
    wants("over it is", 0, measure_of(2100001, 2, 350000, 2100000).lowered, true);
    wants("the most", 0, measure_of(RATION_MOST_MG, 12, 1000, 0).reason, MEASURE_OK);
}

static void of_every_ration(void **state) {
    (void)state;
    uint64_t seed = 91;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t ration_mg = draw_up_to(&seed, RATION_MOST_MG);
        int64_t measure_mg = 999 + draw_up_to(&seed, 999999001);
        int meals = (int)draw_up_to(&seed, MEASURE_MEALS_MOST);
        int64_t most_mg = i % 2 ? draw_up_to(&seed, 2 * RATION_MOST_MG) : 0;
        int64_t half_mg = measure_mg / 2;
        struct measure m = measure_of(ration_mg, meals, measure_mg, most_mg);
        int64_t take_mg = most_mg > 0 && most_mg < ration_mg ? most_mg : ration_mg;
        if (most_mg > 0)
            wants_no_less("never over the guard", ration_mg, most_mg, m.day_mg);
        wants("all meals", ration_mg, m.day_mg, m.meal_mg * m.meals);
        if (take_mg < half_mg) {
            wants("small", ration_mg, m.reason, MEASURE_SMALL);
            wants("weighed, to the mg", ration_mg, m.day_mg, take_mg / meals * meals);
            continue;
        }
        wants("reason", ration_mg, m.reason, MEASURE_OK);
        wants_no_less("a half at the least", ration_mg, m.halves, 1);
        wants_no_less("meals", ration_mg, meals, m.meals);
        wants("a meal", ration_mg, m.meal_mg, m.halves * half_mg);
        if (m.meals < meals)
            wants_no_less("one more would be too small", ration_mg, half_mg * (m.meals + 1) - 1,
                          take_mg);
        /* As near as half measures come, from below only where the guard bites. */
        int64_t step_mg = half_mg * m.meals, off_mg = take_mg - m.day_mg;
        wants_no_less("not far under", ration_mg, m.lowered ? step_mg - 1 : step_mg / 2, off_mg);
        wants_no_less("not far over", ration_mg, step_mg / 2, -off_mg);
        if (!m.lowered && 2 * -off_mg == step_mg)
            fail_msg("%lld: half way was rounded up", (long long)ration_mg);
    }
}

static void more_ration_is_no_less_feed(void **state) {
    (void)state;
    for (int meals = 1; meals <= 4; meals++) {
        int64_t before_mg = 0;
        /* Where a meal is added the rounding may fall back by less than half a measure a meal. */
        for (int64_t ration_mg = 1000; ration_mg <= 5000000; ration_mg += 1000) {
            struct measure m = measure_of(ration_mg, meals, 350000, 0);
            int64_t room_mg = m.reason == MEASURE_OK && m.meals == meals ? 0 : 175000;
            wants_no_less("day", ration_mg, m.day_mg + room_mg, before_mg);
            before_mg = m.day_mg;
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(of_every_ration),
        cmocka_unit_test(more_ration_is_no_less_feed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
