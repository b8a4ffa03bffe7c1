/* Eggs: rounding, the edges of weights, and what must be true of every weight. Worked nights and
 * published ranges stand in tests/checks/eggs.chk. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/eggs.h"

static void weights_in_a_table(void **state) {
    (void)state;
    /* mg; eggs 0.6 a mg to the nearest; cm2 0.02 up; side up to 5 cm; ml 1.25 up */
    static const int64_t table[][5] = {
        {INT64_MIN, 0, 0, 0, 0},
        {-1, 0, 0, 0, 0},
        {0, 0, 0, 0, 0},
        {1, 1, 1, 5, 2},
        {2, 1, 1, 5, 3},
        {50, 30, 1, 5, 63},
        {1000, 600, 20, 5, 1250},
        {1250, 750, 25, 5, 1563},
        {1251, 751, 26, 10, 1564},
        {80000, 48000, 1600, 40, 100000},
        {80001, 48001, 1601, 45, 100002},
        {150000, 90000, 3000, 55, 187500},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        int64_t mg = table[i][0];
        int64_t got[] = {eggs_of_weight(mg), eggs_room_cm2(mg), eggs_square_cm(mg),
                         eggs_still_ml(mg)};
        for (int k = 0; k < 4; k++)
            if (got[k] != table[i][k + 1])
                fail_msg("%lld mg, column %d: got %lld, wanted %lld", (long long)mg, k,
                         (long long)got[k], (long long)table[i][k + 1]);
    }
}

static void what_does_not_fit_stops(void **state) {
    (void)state;
    assert_true(eggs_still_ml(INT64_MAX) == INT64_MAX);
    assert_true(eggs_of_weight(INT64_MAX) > 0 && eggs_of_weight(INT64_MAX) < INT64_MAX);
    assert_true(eggs_expected(INT64_MAX).high > 0);
    assert_true(eggs_alive(INT64_MAX, 0, 100) == INT64_MAX);
    assert_true(eggs_alive(INT64_MAX, 1, INT64_MAX) == INT64_MAX);
}

static void more_weight_is_never_less(void **state) {
    (void)state;
    for (int64_t mg = 1; mg < 3000000; mg += 37) {
        int64_t side_cm = eggs_square_cm(mg), room_cm2 = eggs_room_cm2(mg);
        if (side_cm * side_cm < room_cm2 || (side_cm - 5) * (side_cm - 5) >= room_cm2 ||
            side_cm % 5)
            fail_msg("%lld mg: got a side of %lld cm for %lld cm2", (long long)mg,
                     (long long)side_cm, (long long)room_cm2);
        assert_true(eggs_of_weight(mg + 37) > eggs_of_weight(mg));
        assert_true(eggs_room_cm2(mg + 37) >= room_cm2);
        assert_true(eggs_still_ml(mg + 37) > eggs_still_ml(mg));
        struct eggs_range r = eggs_expected(mg);
        assert_true(r.low <= r.middle && r.middle <= r.high);
    }
}

static void plausible_at_its_edges(void **state) {
    (void)state;
    static const struct {
        int64_t stripped_mg, female_mg;
        bool wanted;
    } table[] = {
        {150000, 1200000, true},
        {300000, 1200000, true},
        {300001, 1200000, false},
        {1500000, 1200000, false},
        {0, 1200000, false},
        {-5, 1200000, false},
        {150000, 0, true},
        {150000, -1, true},
        {0, 0, false},
        {1, 4, true},
        {1, 3, false},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        if (eggs_plausible(table[i].stripped_mg, table[i].female_mg) != table[i].wanted)
            fail_msg("%lld of %lld mg: wanted %d", (long long)table[i].stripped_mg,
                     (long long)table[i].female_mg, table[i].wanted);
}

static void alive_at_its_edges(void **state) {
    (void)state;
    static const int64_t table[][4] = {
        /* eggs, white, of, wanted */
        {90000, 30, 100, 63000},
        {90000, 0, 100, 90000},
        {90000, 100, 100, 0},
        {90000, 120, 100, 0},
        {90000, -3, 100, 90000},
        {90000, 5, 0, 90000},
        {90000, 5, -1, 90000},
        {0, 5, 100, 0},
        {-7, 5, 100, 0},
        {10, 1, 3, 7},
        {1, 1, 2, 1},
        {90000, 50, 100, 45000},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        int64_t got = eggs_alive(table[i][0], table[i][1], table[i][2]);
        if (got != table[i][3])
            fail_msg("%lld eggs, %lld of %lld white: got %lld, wanted %lld", (long long)table[i][0],
                     (long long)table[i][1], (long long)table[i][2], (long long)got,
                     (long long)table[i][3]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weights_in_a_table),        cmocka_unit_test(what_does_not_fit_stops),
        cmocka_unit_test(more_weight_is_never_less), cmocka_unit_test(plausible_at_its_edges),
        cmocka_unit_test(alive_at_its_edges),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
