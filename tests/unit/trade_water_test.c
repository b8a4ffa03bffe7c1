/* Water between readings: values worked out by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/water.h"

#define SERIES(a) ((struct water_series){(a), (int)(sizeof(a) / sizeof(a)[0])})

static void wants(struct water_series water, int64_t at_s, int64_t wanted) {
    int64_t got = water_at_mdegc(water, at_s);
    if (got != wanted)
        fail_msg("at %lld: got %lld, wanted %lld", (long long)at_s, (long long)got,
                 (long long)wanted);
}

static void straight_between_still_outside(void **state) {
    (void)state;
    const struct water_reading r[] = {{1000, 24000}, {2000, 22000}, {2001, 22000}, {4001, 25000}};
    const struct {
        int64_t at_s, mdegc;
    } table[] = {{-5000, 24000}, {999, 24000},  {1000, 24000}, {1001, 23998},
                 {1250, 23500},  {1500, 23000}, {1999, 22002}, {2000, 22000},
                 {2001, 22000},  {2002, 22002}, /* 22001.5, half goes away */
                 {3001, 23500},  {4001, 25000}, {4002, 25000}, {90000, 25000}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants(SERIES(r), table[i].at_s, table[i].mdegc);
}

static void one_reading_is_all_the_time(void **state) {
    (void)state;
    const struct water_reading r[] = {{0, 24500}};
    wants(SERIES(r), INT64_MIN, 24500);
    wants(SERIES(r), 0, 24500);
    wants(SERIES(r), INT64_MAX, 24500);
}

static void no_reading_reads_as_zero(void **state) {
    (void)state;
    wants((struct water_series){NULL, 0}, 5, 0);
    assert_int_equal(water_count_until((struct water_series){NULL, 0}, 5), 0);
}

static void the_ends_of_time(void **state) {
    (void)state;
    const struct water_reading r[] = {{INT64_MIN, 20000}, {INT64_MAX, 30000}};
    wants(SERIES(r), INT64_MIN, 20000);
    wants(SERIES(r), 0, 25000);
    wants(SERIES(r), INT64_MAX, 30000);
}

static void below_zero_rounds_to_the_nearest(void **state) {
    (void)state;
    const struct water_reading r[] = {{0, -1000}, {3, 0}};
    wants(SERIES(r), 1, -667);
    wants(SERIES(r), 2, -333);
}

static void counts_readings_until(void **state) {
    (void)state;
    const struct water_reading r[] = {{10, 1}, {20, 1}, {30, 1}};
    const struct {
        int64_t at_s;
        int wanted;
    } table[] = {{INT64_MIN, 0}, {9, 0},  {10, 1}, {19, 1},
                 {20, 2},        {29, 2}, {30, 3}, {INT64_MAX, 3}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        if (water_count_until(SERIES(r), table[i].at_s) != table[i].wanted)
            fail_msg("until %lld: got %d, wanted %d", (long long)table[i].at_s,
                     water_count_until(SERIES(r), table[i].at_s), table[i].wanted);
}

static void mean_of_the_line(void **state) {
    (void)state;
    const struct water_reading r[] = {{100, 20000}, {200, 24000}, {400, 24000}, {500, 25001}};
    const struct {
        int64_t from_s, to_s, wanted;
    } table[] = {
        {0, 100, 20000},   /* still before the first */
        {100, 200, 22000}, /* up */
        {0, 200, 21000},   /* half still, half up */
        {150, 200, 23000}, /* from the middle of the way */
        {150, 250, 23500}, /* 50 s about 23, 50 s at 24 */
        {100, 400, 23333}, /* (100 x 22 + 200 x 24) / 300 */
        {400, 500, 24501}, /* a half away from zero */
        {500, 900, 25001}, /* still after the last */
        {210, 390, 24000}, {150, 150, 22000}, {160, 150, 22400}, {INT64_MIN, INT64_MAX, 22501},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        int64_t got = water_mean_mdegc(SERIES(r), table[i].from_s, table[i].to_s);
        if (got != table[i].wanted)
            fail_msg("%lld to %lld: got %lld, wanted %lld", (long long)table[i].from_s,
                     (long long)table[i].to_s, (long long)got, (long long)table[i].wanted);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_between_still_outside),
        cmocka_unit_test(one_reading_is_all_the_time),
        cmocka_unit_test(no_reading_reads_as_zero),
        cmocka_unit_test(the_ends_of_time),
        cmocka_unit_test(below_zero_rounds_to_the_nearest),
        cmocka_unit_test(counts_readings_until),
        cmocka_unit_test(mean_of_the_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
