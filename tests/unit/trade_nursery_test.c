/* Nursery ponds: areas, depths and days at their ends, and what must be true of every pond.
 * Published numbers stand in tests/checks/nursery.chk. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/nursery.h"
#include "trade_draw.h"

#define ARE_CM2       INT64_C(1000000)
#define AREA_MOST_CM2 INT64_C(1000000000000)
#define KG            INT64_C(1000000)
#define ROUNDS        20000

enum { DEPTH_MOST_MM = 100000, LAST_WEEK = 26 };

static const int64_t no_area[] = {INT64_MIN, -1, 0, AREA_MOST_CM2 + 1, INT64_MAX};

static void wants_range(const char *what, int64_t of, struct nursery_range got, int64_t low,
                        int64_t middle, int64_t high) {
    if (got.low != low || got.middle != middle || got.high != high)
        fail_msg("%s, %lld: got %lld, %lld, %lld, wanted %lld, %lld, %lld", what, (long long)of,
                 (long long)got.low, (long long)got.middle, (long long)got.high, (long long)low,
                 (long long)middle, (long long)high);
}

static void ponds_that_cannot_be(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof no_area / sizeof no_area[0]; i++) {
        int64_t a = no_area[i];
        wants("least", a, nursery_least(a, 800), 0);
        wants("volume", a, nursery_volume_ml(a, 800), 0);
        wants("most", a, nursery_most(a, 800), 0);
        wants("larvae", a, nursery_direct_larvae(a), 0);
        wants_range("fenced", a, nursery_direct(a, true), 0, 0, 0);
        wants_range("open", a, nursery_direct(a, false), 0, 0, 0);
        wants("hen", a, nursery_manure_hen_mg(a), 0);
        wants("cow", a, nursery_manure_cow_mg(a), 0);
        wants("feed", a, nursery_ration_mg(a, 3), 0);
    }
    static const int64_t no_depth[] = {INT64_MIN, -1, 0, DEPTH_MOST_MM + 1, INT64_MAX};
    for (size_t i = 0; i < sizeof no_depth / sizeof no_depth[0]; i++) {
        wants("least", no_depth[i], nursery_least(ARE_CM2, no_depth[i]), 0);
        wants("volume", no_depth[i], nursery_volume_ml(ARE_CM2, no_depth[i]), 0);
        wants("most", no_depth[i], nursery_most(ARE_CM2, no_depth[i]), 0);
    }
}

static void stocking_in_a_table(void **state) {
    (void)state;
    /* cm2, mm; 20 and 100 a m3 */
    static const int64_t table[][4] = {
        {4 * ARE_CM2, 800, 6400, 32000},
        {ARE_CM2, 1000, 2000, 10000},
        {10000, 1000, 20, 100},
        {1, 1, 0, 0},
        {25000, 10, 1, 3}, /* 0.025 m3: 0.5 and 2.5 */
        {24999, 10, 0, 2},
        {AREA_MOST_CM2, DEPTH_MOST_MM, INT64_C(200000000000), INT64_C(1000000000000)},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        wants("least", table[i][0], nursery_least(table[i][0], table[i][1]), table[i][2]);
        wants("most", table[i][0], nursery_most(table[i][0], table[i][1]), table[i][3]);
    }
}

/* One are by a metre is 100 m3 by definition. */
static void volume_is_area_by_depth(void **state) {
    (void)state;
    wants("volume", 1, nursery_volume_ml(ARE_CM2, 1000), INT64_C(100000000));
    wants("volume", 4, nursery_volume_ml(4 * ARE_CM2, 800), INT64_C(320000000));
    wants("volume", 0, nursery_volume_ml(9, 1), 0); /* 0.9 ml */
}

static void stocking_grows_with_the_pond(void **state) {
    (void)state;
    uint64_t seed = 71;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, AREA_MOST_CM2 - 1), d = draw_up_to(&seed, DEPTH_MOST_MM - 1);
        long double m3 = (long double)a * (long double)d / 1e7L;
        int64_t least = nursery_least(a, d), most = nursery_most(a, d);
        wants_nearest("least", a, least, 20 * m3);
        wants_nearest("most", a, most, 100 * m3);
        wants_no_less("order", a, most, least);
        wants_no_less("nothing negative", a, least, 0);
        wants_no_less("wider", a, nursery_most(a + 1, d), most);
        wants_no_less("deeper", a, nursery_most(a, d + 1), most);
    }
}

static void survivors_in_a_table(void **state) {
    (void)state;
    /* a quarter, half, three quarters; a half of one upwards */
    static const int64_t table[][4] = {
        {INT64_MIN, 0, 0, 0},
        {-1, 0, 0, 0},
        {0, 0, 0, 0},
        {1, 0, 1, 1},
        {2, 1, 1, 2},
        {3, 1, 2, 2},
        {10000, 2500, 5000, 7500},
        {INT64_C(1000000000000), INT64_C(250000000000), INT64_C(500000000000),
         INT64_C(750000000000)},
        {INT64_MAX, INT64_C(250000000000), INT64_C(500000000000), INT64_C(750000000000)},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants_range("survivors", table[i][0], nursery_survivors(table[i][0]), table[i][1],
                    table[i][2], table[i][3]);
    uint64_t seed = 72;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t n = draw_up_to(&seed, INT64_C(1000000000000));
        struct nursery_range r = nursery_survivors(n), more = nursery_survivors(n + 1);
        wants_range("survivors", n, r, (n + 2) / 4, (n + 1) / 2, (3 * n + 2) / 4);
        assert_true(r.low <= more.low && r.middle <= more.middle && r.high <= more.high);
        assert_true(r.low <= r.middle && r.middle <= r.high && r.high <= n);
    }
}

static void larvae_straight_into_a_pond(void **state) {
    (void)state;
    uint64_t seed = 73;
    wants("a m2", 1, nursery_direct_larvae(10000), 100);
    wants_range("10 m2, fenced", 10, nursery_direct(100000, true), 290, 323, 356);
    wants_range("10 m2, open", 10, nursery_direct(100000, false), 21, 50, 79);
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, AREA_MOST_CM2 - 1);
        long double m2 = (long double)a / 1e4L;
        struct nursery_range in = nursery_direct(a, true), out = nursery_direct(a, false);
        wants("larvae", a, nursery_direct_larvae(a), (a + 50) / 100);
        wants_nearest("fenced, low", a, in.low, 29.0L * m2);
        wants_nearest("fenced", a, in.middle, 32.3L * m2);
        wants_nearest("fenced, high", a, in.high, 35.6L * m2);
        wants_nearest("open, low", a, out.low, 2.1L * m2);
        wants_nearest("open", a, out.middle, 5.0L * m2);
        wants_nearest("open, high", a, out.high, 7.9L * m2);
        assert_true(0 <= in.low && in.low <= in.middle && in.middle <= in.high);
        assert_true(0 <= out.low && out.low <= out.middle && out.middle <= out.high);
        assert_true(out.high <= in.low && in.high <= nursery_direct_larvae(a) + 1);
        wants_no_less("wider", a, nursery_direct(a + 1, true).middle, in.middle);
    }
}

static void preparing_runs_backwards(void **state) {
    (void)state;
    static const int steps[][3] = {
        /* step, long, short */
        {NURSERY_DRY, 21, 10}, {NURSERY_LIME, 14, 8}, {NURSERY_MANURE, 7, 7}, {NURSERY_FILL, 3, 3},
        {0, -1, -1},           {5, -1, -1},           {INT32_MIN, -1, -1},    {INT32_MAX, -1, -1},
    };
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        wants("long", steps[i][0], nursery_prepare_before(false, steps[i][0]), steps[i][1]);
        wants("short", steps[i][0], nursery_prepare_before(true, steps[i][0]), steps[i][2]);
    }
    for (int form = 0; form < 2; form++) {
        int before = nursery_prepare_days(form);
        wants("in all", form, before, nursery_prepare_before(form, NURSERY_DRY));
        for (int step = NURSERY_LIME; step <= NURSERY_FILL; step++) {
            int days = nursery_prepare_before(form, step);
            if (days < 0)
                continue;
            if (days >= before)
                fail_msg("step %d: got %d days before, wanted under %d", step, days, before);
            before = days;
        }
        assert_true(before > 0);
    }
}

static void manure_by_the_are(void **state) {
    (void)state;
    wants("hen", 3, nursery_manure_hen_mg(3 * ARE_CM2), 60 * KG);
    wants("cow", 3, nursery_manure_cow_mg(3 * ARE_CM2), 75 * KG);
    uint64_t seed = 74;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, AREA_MOST_CM2); /* a kg an are is a mg a cm2 */
        wants_nearest("hen", a, nursery_manure_hen_mg(a), 20 * (long double)a);
        wants_nearest("cow", a, nursery_manure_cow_mg(a), 25 * (long double)a);
    }
}

static void feed_rises_by_the_week(void **state) {
    (void)state;
    static const int64_t table[][2] = {
        /* day of stay, mg an are */
        {INT32_MIN, 0}, {-1, 0},       {0, 500000},   {6, 500000},   {7, 750000},   {13, 750000},
        {14, 1125000},  {20, 1125000}, {21, 1687500}, {27, 1687500}, {28, 2531250},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("an are", table[i][0], nursery_ration_mg(ARE_CM2, (int)table[i][0]), table[i][1]);
    wants("3 ares, day 10", 10, nursery_ration_mg(3 * ARE_CM2, 10), 2250000);
    int64_t last = nursery_ration_mg(ARE_CM2, 7 * LAST_WEEK);
    wants("a year", 365, nursery_ration_mg(ARE_CM2, 365), last);
    wants("ever", INT32_MAX, nursery_ration_mg(ARE_CM2, INT32_MAX), last);
    assert_true(nursery_ration_mg(AREA_MOST_CM2, INT32_MAX) > 0);
    uint64_t seed = 75;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, AREA_MOST_CM2 - 1);
        int day = (int)draw_up_to(&seed, 7 * LAST_WEEK) - 1;
        long double kg = 0.5L;
        for (int week = 0; week < day / 7; week++)
            kg *= 1.5L;
        int64_t got = nursery_ration_mg(a, day);
        wants_nearest("feed", a, got, kg * (long double)a);
        wants_no_less("wider", a, nursery_ration_mg(a + 1, day), got);
        wants_no_less("later", a, nursery_ration_mg(a, day + 1), got);
    }
}

static void fed_up_to_the_guard(void **state) {
    (void)state;
    static const int left[] = {2, 9};
    struct nursery_feed f = nursery_feed_of(3 * ARE_CM2, 10, 1000, left, 2, false);
    wants("line", 10, f.line_mg, 2250000);
    wants("steps", 10, f.steps, 1); /* the first was raised again by six clean days */
    wants("ration", 10, f.ration_mg, 1687500);
    wants("meal", 10, f.meal_mg, 843750);
    wants("next meal", 10, f.halved_meal_mg, 421875);
    wants("dawn", 10, f.guard, RATION_GUARD_DAWN); /* 0.56 kg an are */
    wants("held", 10, f.capped, false);
    f = nursery_feed_of(3 * ARE_CM2, 10, 1000, left, 2, true);
    wants("no dawn with air", 10, f.guard, RATION_GUARD_NONE);
    f = nursery_feed_of(ARE_CM2, 14, 1000, NULL, 0, true);
    wants("third week", 14, f.line_mg, 1125000);
    wants("held at the limit", 14, f.ration_mg, 1100000);
    wants("and said so", 14, f.capped, true);
    wants("limit", 14, f.guard, RATION_GUARD_LIMIT);
    static const int again[] = {13, 14};
    f = nursery_feed_of(ARE_CM2, 15, 1000, again, 2, true);
    wants("lowered under the limit", 15, f.ration_mg, 632813);
    wants("not held", 15, f.capped, false);
    uint64_t seed = 76;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, AREA_MOST_CM2);
        int day = (int)draw_up_to(&seed, 400) - 1, days[3], from = -1;
        for (int k = 0; k < 3; k++)
            from = days[k] = from + (int)draw_up_to(&seed, 20);
        f = nursery_feed_of(a, day, 1000, days, 3, i % 2);
        wants_no_less("the limit", a, ration_most_mg(a), f.ration_mg);
        wants_no_less("the line", a, f.line_mg, f.ration_mg);
        wants_no_less("two meals", a, f.ration_mg, 2 * f.meal_mg);
    }
    wants("no pond", 0, nursery_feed_of(0, 3, 1000, NULL, 0, true).ration_mg, 0);
    wants("no day", -1, nursery_feed_of(ARE_CM2, -1, 1000, NULL, 0, true).ration_mg, 0);
}

/* Our own rule: so many thousandths of the line as there are of the least fry for the water. */
static void few_fry_get_less(void **state) {
    (void)state;
    int64_t least = nursery_least(5 * ARE_CM2, 700); /* of 350 m3 */
    wants("least", 5, least, 7000);
    static const int64_t table[][2] = {{7000, 1000}, {6999, 1000}, {3500, 500},  {300, 43},
                                       {0, 0},       {-1, 0},      {90000, 1000}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("few", table[i][0], nursery_few_permille(table[i][0], least), table[i][1]);
    wants("no pond", 0, nursery_few_permille(300, 0), 1000);
    struct nursery_feed f = nursery_feed_of(5 * ARE_CM2, 7, 43, NULL, 0, false);
    wants("300 fry in 5 ares", 7, f.ration_mg, 161250); /* of 3.75 kg */
    wants("no dawn for so little", 7, f.guard, RATION_GUARD_NONE);
    wants("no fry", 7, nursery_feed_of(5 * ARE_CM2, 7, 0, NULL, 0, false).ration_mg, 0);
    wants("over the whole", 7, nursery_feed_of(5 * ARE_CM2, 7, 2000, NULL, 0, false).ration_mg,
          3750000);
    uint64_t seed = 77;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t some = draw_up_to(&seed, 1000000), fry = draw_up_to(&seed, 1000000);
        int few = nursery_few_permille(fry, some);
        wants_no_less("more fry", fry, nursery_few_permille(fry + 1, some), few);
        wants_no_less("never over", fry, 1000, few);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ponds_that_cannot_be),     cmocka_unit_test(stocking_in_a_table),
        cmocka_unit_test(volume_is_area_by_depth),  cmocka_unit_test(stocking_grows_with_the_pond),
        cmocka_unit_test(survivors_in_a_table),     cmocka_unit_test(larvae_straight_into_a_pond),
        cmocka_unit_test(preparing_runs_backwards), cmocka_unit_test(manure_by_the_are),
        cmocka_unit_test(feed_rises_by_the_week),   cmocka_unit_test(fed_up_to_the_guard),
        cmocka_unit_test(few_fry_get_less),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
