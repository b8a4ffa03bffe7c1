/* Larvae: rounding, hours, tanks, grains and growth at their ends, and what must be true of every
 * brood. Published shares stand in tests/checks/larvae.chk. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/eggs.h"
#include "trade/larvae.h"
#include "trade_draw.h"

#define COUNT_MOST INT64_C(1000000000000)
#define ROUNDS     20000

enum { TWO_WEEKS_H = 336 };

static void wants_range(const char *what, int64_t of, struct larvae_range got, int64_t low,
                        int64_t middle, int64_t high) {
    if (got.low != low || got.middle != middle || got.high != high)
        fail_msg("%s, %lld: got %lld, %lld, %lld, wanted %lld, %lld, %lld", what, (long long)of,
                 (long long)got.low, (long long)got.middle, (long long)got.high, (long long)low,
                 (long long)middle, (long long)high);
}

static void hatches_in_a_table(void **state) {
    (void)state;
    /* 0.28, 0.5, 0.59 of the eggs, a half upwards */
    static const int64_t table[][4] = {
        {INT64_MIN, 0, 0, 0},
        {-1, 0, 0, 0},
        {0, 0, 0, 0},
        {1, 0, 1, 1},
        {2, 1, 1, 1},
        {100, 28, 50, 59},
        {90000, 25200, 45000, 53100},
        {COUNT_MOST, INT64_C(280000000000), INT64_C(500000000000), INT64_C(590000000000)},
        {COUNT_MOST + 1, INT64_C(280000000000), INT64_C(500000000000), INT64_C(590000000000)},
        {INT64_MAX, INT64_C(280000000000), INT64_C(500000000000), INT64_C(590000000000)},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants_range("hatched", table[i][0], larvae_hatched(table[i][0]), table[i][1], table[i][2],
                    table[i][3]);
}

static void lives_in_a_table(void **state) {
    (void)state;
    /* 10000 larvae: straight from all at the hatch to 0.05, 0.6, 0.95 after 336 h */
    static const int64_t table[][4] = {
        {INT64_MIN, 10000, 10000, 10000}, {-1, 10000, 10000, 10000}, {0, 10000, 10000, 10000},
        {84, 7625, 9000, 9875},           {168, 5250, 8000, 9750},   {252, 2875, 7000, 9625},
        {336, 500, 6000, 9500},           {337, 500, 6000, 9500},    {INT64_MAX, 500, 6000, 9500},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants_range("alive", table[i][0], larvae_at(10000, table[i][0]), table[i][1], table[i][2],
                    table[i][3]);
    wants_range("none", 0, larvae_at(0, 100), 0, 0, 0);
    wants_range("none", -1, larvae_at(-1, 100), 0, 0, 0);
    wants_range("none", INT64_MIN, larvae_at(INT64_MIN, INT64_MIN), 0, 0, 0);
    wants_range("most", INT64_MAX, larvae_at(INT64_MAX, 0), COUNT_MOST, COUNT_MOST, COUNT_MOST);
}

static void ranges_keep_their_order(void **state) {
    (void)state;
    uint64_t seed = 61;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t n = draw_up_to(&seed, COUNT_MOST - 1);
        int64_t hours = draw_up_to(&seed, 2 * TWO_WEEKS_H);
        struct larvae_range h = larvae_hatched(n), more = larvae_hatched(n + 1);
        assert_true(0 <= h.low && h.low <= h.middle && h.middle <= h.high && h.high <= n);
        wants_nearest("low", n, h.low, 0.28L * (long double)n);
        wants_nearest("middle", n, h.middle, 0.5L * (long double)n);
        wants_nearest("high", n, h.high, 0.59L * (long double)n);
        assert_true(h.low <= more.low && h.middle <= more.middle && h.high <= more.high);
        struct larvae_range a = larvae_at(n, hours), later = larvae_at(n, hours + 1);
        struct larvae_range beside = larvae_at(n + 1, hours);
        assert_true(0 <= a.low && a.low <= a.middle && a.middle <= a.high && a.high <= n);
        assert_true(a.low >= later.low && a.middle >= later.middle && a.high >= later.high);
        assert_true(a.low <= beside.low && a.middle <= beside.middle && a.high <= beside.high);
        int64_t way = hours < TWO_WEEKS_H ? hours : TWO_WEEKS_H;
        wants_nearest("alive", n, a.middle,
                      (long double)n * (1 - 0.4L * (long double)way / TWO_WEEKS_H));
    }
}

static void tanks_are_never_over(void **state) {
    (void)state;
    static const int64_t table[][4] = {
        /* ml; eggs 480, larvae 50 and 150 a litre, down */
        {INT64_MIN, 0, 0, 0},
        {-1, 0, 0, 0},
        {0, 0, 0, 0},
        {1, 0, 0, 0},
        {20, 9, 1, 3},
        {999, 479, 49, 149},
        {1000, 480, 50, 150},
        {187500, 90000, 9375, 28125},
        {COUNT_MOST, INT64_C(480000000000), INT64_C(50000000000), INT64_C(150000000000)},
        {INT64_MAX, INT64_C(480000000000), INT64_C(50000000000), INT64_C(150000000000)},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        wants("eggs", table[i][0], eggs_tank_most(table[i][0]), table[i][1]);
        wants("good", table[i][0], larvae_tank_good(table[i][0]), table[i][2]);
        wants("most", table[i][0], larvae_tank_most(table[i][0]), table[i][3]);
    }
    uint64_t seed = 62;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t ml = draw_up_to(&seed, COUNT_MOST - 1);
        wants("eggs", ml, eggs_tank_most(ml), 480 * ml / 1000);
        wants("good", ml, larvae_tank_good(ml), 50 * ml / 1000);
        wants("most", ml, larvae_tank_most(ml), 150 * ml / 1000);
        wants_no_less("more water", ml, eggs_tank_most(ml + 1), eggs_tank_most(ml));
    }
    /* The water that a weight of eggs asks for holds those eggs. */
    for (int64_t mg = 1; mg < 2000000; mg += 331)
        wants_no_less("still water", mg, eggs_tank_most(eggs_still_ml(mg)) + 1, eggs_of_weight(mg));
}

static void grains_in_a_table(void **state) {
    (void)state;
    static const int64_t table[][2] = {
        {INT64_MIN, 0},
        {-10000, 0},
        {0, 0},
        {1, 0},
        {23, 1},
        {10000, 220},
        {20000, 440},
        {50000, 1100},
        {100000, 2200},
        {150000, 3300},
        {COUNT_MOST, INT64_C(22000000000)},
        {INT64_MAX, INT64_C(22000000000)},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("grain", table[i][0], larvae_grain_um(table[i][0]), table[i][1]);
    for (int64_t um = 1; um < 300000; um += 17) {
        wants_nearest("grain", um, larvae_grain_um(um), 0.022L * (long double)um);
        wants_no_less("longer", um, larvae_grain_um(um + 17), larvae_grain_um(um));
    }
}

/* python3 -c 'from math import log; print(log(152.8 / 23) / 7 * 1e6)' and so on. */
static void growth_at_its_edges(void **state) {
    (void)state;
    static const struct {
        int64_t from_ug, to_ug, days, wanted;
    } table[] = {
        {23000, 152800, 7, 270519},
        {1000, 1000, 7, 0},
        {1000, 2000, 1, 693147},
        {2000, 1000, 1, -693147},
        {0, 1000, 7, 0},
        {-1, 1000, 7, 0},
        {1000, 0, 7, 0},
        {1000, -1, 7, 0},
        {1000, 2000, 0, 0},
        {1000, 2000, -7, 0},
        {INT64_MIN, INT64_MIN, INT64_MIN, 0},
        {INT64_MAX, INT64_MAX, INT64_MAX, 0},
        {1, INT64_MAX, 1, 43668272}, /* 63 ln 2 */
        {INT64_MAX, 1, 1, -43668272},
        {1, INT64_MAX, INT64_MAX, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("growth", (int64_t)i,
              larvae_growth_ppm_day(table[i].from_ug, table[i].to_ug, table[i].days),
              table[i].wanted);
}

static void growth_has_its_laws(void **state) {
    (void)state;
    uint64_t seed = 63;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t from = draw_up_to(&seed, COUNT_MOST), to = draw_up_to(&seed, COUNT_MOST);
        int64_t days = draw_up_to(&seed, 400), got = larvae_growth_ppm_day(from, to, days);
        assert_true(to >= from ? got >= 0 : got <= 0);
        long double daily = 1e6L * logl((long double)to / (long double)from) / (long double)days;
        wants_nearest("growth", to, got < 0 ? -got : got, daily < 0 ? -daily : daily);
        wants_no_less("heavier", to, larvae_growth_ppm_day(from, to + to / 9 + 1, days), got);
        int64_t back = larvae_growth_ppm_day(to, from, days);
        assert_true(got + back >= -1 && got + back <= 1);
        /* Units fall out. */
        int64_t scaled = larvae_growth_ppm_day(7 * from, 7 * to, days);
        assert_true(scaled - got >= -1 && scaled - got <= 1);
        /* Half the days, twice the growth. */
        int64_t twice = larvae_growth_ppm_day(from, to, 2 * days) * 2;
        assert_true(twice - got >= -2 && twice - got <= 2);
    }
}

/* Held against Clay's formula in another form: exp(ln 0.04 + 3.39 ln cm), values by
 *   python3 -c 'from math import *; print(floor(exp(log(0.04) + 3.39 * log(MM / 10)) + .5))' */
static void ovaries_in_a_table(void **state) {
    (void)state;
    static const int64_t table[][2] = {
        {INT64_MIN, 0}, {-1, 0},         {0, 0},       {1, 0},         {100, 98},
        {300, 4069},    {500, 22992},    {501, 23148}, {750, 90890},   {1000, 241024},
        {1500, 952817}, {2000, 2526688}, {2001, 0},    {INT64_MAX, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("ovary", table[i][0], eggs_in_ovary(table[i][0]), table[i][1]);
    for (int64_t mm = 1; mm < 2000; mm++)
        wants_no_less("longer", mm, eggs_in_ovary(mm + 1), eggs_in_ovary(mm));
}

/* Two figures: off by half a unit of the second at most. */
static void round_counts(void **unused) {
    (void)unused;
    static const int64_t table[][2] = {{0, 0},       {7, 7},         {99, 99},       {100, 100},
                                       {104, 100},   {105, 110},     {994, 990},     {995, 1000},
                                       {2909, 2900}, {54321, 54000}, {99500, 100000}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        if (larvae_round(table[i][0]) != table[i][1])
            fail_msg("%lld becomes %lld, wanted %lld", (long long)table[i][0],
                     (long long)larvae_round(table[i][0]), (long long)table[i][1]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_counts),         cmocka_unit_test(hatches_in_a_table),
        cmocka_unit_test(lives_in_a_table),     cmocka_unit_test(ranges_keep_their_order),
        cmocka_unit_test(tanks_are_never_over), cmocka_unit_test(grains_in_a_table),
        cmocka_unit_test(growth_at_its_edges),  cmocka_unit_test(growth_has_its_laws),
        cmocka_unit_test(ovaries_in_a_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
