/* The ration of a growing pond, the reasons for none, the guards, and the nursery's line when food
 * is left. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <cmocka.h>

#include "trade/nursery.h"
#include "trade/ration.h"

/* 1000 fish of 100 g in 10 ares at 28 degC, nothing else known: 3 % of 100 kg. */
static struct ration_pond pond(void) {
    return (struct ration_pond){.count = 1000,
                                .weight_mg = 100000,
                                .water_mdegc = 28000,
                                .area_cm2 = 10000000,
                                .oxygen_ug_l = -1,
                                .secchi_mm = -1,
                                .treated_h = -1,
                                .harvest_d = -1,
                                .share_ppm = -1,
                                .age_days = -1};
}

static void by_weight_and_water(void **state) {
    (void)state;
    struct ration_pond p = pond();
    struct ration r = ration_of(&p);
    assert_int_equal(r.reason, RATION_OK);
    assert_int_equal(r.reasons, 0);
    assert_int_equal(r.ration_mg, 3000000);
    assert_int_equal(r.meal_mg, 1500000);
    assert_int_equal(r.guard, RATION_GUARD_NONE); /* 0.3 kg an are, not over it */
    assert_false(r.halved || r.capped || r.guessed);
    p.water_mdegc = 24000;
    assert_int_equal(ration_of(&p).ration_mg, 2250000);
    p.water_mdegc = RATION_UNKNOWN;
    assert_int_equal(ration_of(&p).ration_mg,
                     2700000); /* as at 26 degC, where growth begins, too */
    assert_true(ration_of(&p).guessed);
    p.share_ppm = 20000; /* the farm's own 2 % */
    assert_int_equal(ration_of(&p).ration_mg, 1800000);
    /* Never over 5 % between 5 and 10 g, nor over 8 % below. */
    for (int64_t mg = 5000; mg <= 10000; mg += 100)
        assert_int_equal(ration_ppm(mg), 50000);
    assert_int_equal(ration_ppm(10), 80000);
    assert_int_equal(ration_ppm(0), 0);
}

static void every_reason(void **state) {
    (void)state;
    static const struct {
        enum ration_reason reason;
        int64_t water, oxygen, secchi, treated, harvest;
        int age;
        bool gasping, left;
    } cases[] = {
        {RATION_OK, 18000, 2000, 250, 24, 2, 21, false, false},
        {RATION_OK, 34000, 4000, 250, 24, 2, 20, false, false},
        {RATION_GASPING, 28000, 1, 1, 1, 0, 1, true, true},
        {RATION_OXYGEN, 28000, 1999, 250, 24, 2, 21, false, false},
        {RATION_OXYGEN, 28000, 1999, 250, 24, 2, -1, false, false},
        {RATION_OXYGEN, 28000, 3999, 250, 24, 2, 20, false, false},
        {RATION_SECCHI, 28000, -1, 249, -1, -1, -1, false, false},
        {RATION_TREATED, 28000, -1, -1, 23, -1, -1, false, true},
        {RATION_TREATED, 28000, -1, -1, 0, -1, -1, false, false},
        {RATION_COLD, 17999, -1, -1, -1, -1, -1, false, false},
        {RATION_WARM, 34001, -1, -1, -1, -1, -1, false, false},
        {RATION_HARVEST, 28000, -1, -1, -1, 1, -1, false, true},
        {RATION_HARVEST, 28000, -1, -1, -1, 0, -1, false, false},
        {RATION_LEFT, 28000, -1, -1, -1, -1, -1, false, true},
    };
    struct ration_pond sick = pond();
    sick.many_dead = true;
    sick.secchi_mm = 100;
    assert_int_equal(ration_of(&sick).reason, RATION_DEAD);
    assert_int_equal(ration_of(&sick).ration_mg, 0);
    sick.gasping = true;
    assert_int_equal(ration_of(&sick).reason, RATION_GASPING);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct ration_pond p = pond();
        p.water_mdegc = cases[i].water;
        p.oxygen_ug_l = cases[i].oxygen;
        p.secchi_mm = cases[i].secchi;
        p.treated_h = cases[i].treated;
        p.harvest_d = cases[i].harvest;
        p.age_days = cases[i].age;
        p.gasping = cases[i].gasping;
        p.food_left = cases[i].left;
        struct ration r = ration_of(&p);
        if (r.reason != cases[i].reason)
            fail_msg("case %zu: got %d, wanted %d", i, (int)r.reason, (int)cases[i].reason);
        bool fed = r.reason == RATION_OK;
        if (fed != (r.ration_mg > 0) || fed != (r.reasons == 0) ||
            (!fed && !(r.reasons & 1u << r.reason)))
            fail_msg("case %zu: ration %lld, reasons %x", i, (long long)r.ration_mg, r.reasons);
        if (cases[i].left && !(r.reasons & 1u << RATION_LEFT))
            fail_msg("case %zu: food left is not among the reasons %x", i, r.reasons);
    }
}

static void little_oxygen_halves(void **state) {
    (void)state;
    struct ration_pond p = pond();
    static const struct {
        int64_t oxygen_ug, wanted_mg;
    } cases[] = {{1999, 0}, {2000, 1500000}, {3999, 1500000}, {4000, 3000000}, {-1, 3000000}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        p.oxygen_ug_l = cases[i].oxygen_ug;
        struct ration r = ration_of(&p);
        if (r.ration_mg != cases[i].wanted_mg || r.halved != (cases[i].wanted_mg == 1500000))
            fail_msg("%lld ug/l: got %lld mg, wanted %lld", (long long)cases[i].oxygen_ug,
                     (long long)r.ration_mg, (long long)cases[i].wanted_mg);
    }
}

static void the_guards(void **state) {
    (void)state;
    struct ration_pond p = pond();
    p.area_cm2 = 5000000; /* 0.6 kg an are */
    assert_int_equal(ration_of(&p).guard, RATION_GUARD_DAWN);
    p.aerated = true;
    assert_int_equal(ration_of(&p).guard, RATION_GUARD_NONE);
    p.area_cm2 = 2000000; /* 1.5 kg an are: 1.1 of it */
    struct ration r = ration_of(&p);
    assert_int_equal(r.guard, RATION_GUARD_LIMIT);
    assert_true(r.capped);
    assert_int_equal(r.ration_mg, 2200000);
    assert_int_equal(r.line_mg, 3000000);
    p.area_cm2 = 0;
    assert_int_equal(ration_of(&p).ration_mg, 3000000);
    assert_int_equal(ration_guard(1100000, 1000000, true), RATION_GUARD_NONE);
    assert_int_equal(ration_guard(1100001, 1000000, true), RATION_GUARD_LIMIT);
    assert_int_equal(ration_guard(300001, 1000000, false), RATION_GUARD_DAWN);
    assert_int_equal(ration_guard(INT64_MAX, INT64_MAX, false), RATION_GUARD_NONE);
}

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    struct ration_pond p = pond();
    const int64_t bad[] = {0, -1, INT64_MAX, INT64_MIN};
    for (int i = 0; i < 4; i++) {
        p = pond();
        p.count = bad[i];
        assert_int_equal(ration_of(&p).reason, RATION_IMPOSSIBLE);
        p = pond();
        p.weight_mg = bad[i];
        assert_int_equal(ration_of(&p).reason, RATION_IMPOSSIBLE);
    }
    p = pond();
    p.area_cm2 = INT64_MAX;
    assert_int_equal(ration_of(&p).reason, RATION_IMPOSSIBLE);
    p = pond();
    p.share_ppm = 1000001;
    assert_int_equal(ration_of(&p).reason, RATION_IMPOSSIBLE);
    p = pond();
    p.count = 100000000;
    p.weight_mg = 100000000;
    p.share_ppm = 1000000;
    p.area_cm2 = 0;
    assert_int_equal(ration_of(&p).reason, RATION_OK);
    assert_int_equal(ration_of(&p).line_mg, INT64_C(10000000000000000)); /* all of it, not cut */
}

static void left_lowers_and_clean_days_raise(void **state) {
    (void)state;
    static const struct {
        int count, days[4], day, wanted;
    } cases[] = {
        {0, {0}, 9, 0},
        {1, {5}, 5, 0}, /* tomorrow's line */
        {1, {5}, 6, 1},
        {1, {5}, 8, 1},    /* 6 and 7 clean */
        {1, {5}, 9, 0},    /* 6, 7 and 8 */
        {2, {5, 5}, 6, 1}, /* one a day counts */
        {2, {5, 6}, 7, 2},
        {2, {5, 6}, 10, 1},
        {2, {5, 6}, 13, 0},
        {2, {5, 9}, 10, 1}, /* raised on day 9, lowered again */
        {3, {5, 6, 8}, 9, 3},
        {4, {5, 6, 8, 20}, 12, 2},
        {4, {5, 6, 8, 20}, 21, 1},
        {1, {-1}, 3, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int got = nursery_ration_steps(cases[i].days, cases[i].count, cases[i].day);
        if (got != cases[i].wanted)
            fail_msg("case %zu, day %d: got %d steps, wanted %d", i, cases[i].day, got,
                     cases[i].wanted);
    }
    /* Never over eight, and every step takes a quarter. */
    int days[20];
    for (int i = 0; i < 20; i++)
        days[i] = i;
    assert_int_equal(nursery_ration_steps(days, 20, 20), 8);
    assert_int_equal(nursery_ration_step(1000000, 0, 0), 500000);
    assert_int_equal(nursery_ration_step(1000000, 0, 1), 375000);
    assert_int_equal(nursery_ration_step(1000000, 0, -3), 500000);
    assert_int_equal(nursery_ration_step(1000000, 0, 2000000000),
                     nursery_ration_step(1000000, 0, 8));
    assert_int_equal(nursery_ration_step(-1, 0, 1), 0);
}

static void food_left_lowers_a_pond_too(void **state) {
    (void)state;
    struct ration_pond p = pond();
    p.left_steps = 1;
    assert_int_equal(ration_of(&p).ration_mg, 2250000);
    assert_int_equal(ration_of(&p).line_mg, 2250000);
    p.left_steps = 8;
    int64_t least_mg = ration_of(&p).ration_mg;
    assert_int_equal(least_mg, 300339); /* 3 kg x 0.75^8 */
    p.left_steps = INT32_MAX;
    assert_int_equal(ration_of(&p).ration_mg, least_mg);
    p.left_steps = INT32_MIN;
    assert_int_equal(ration_of(&p).ration_mg, 3000000);
    /* First lowered, then halved for little oxygen. */
    p.left_steps = 2;
    p.oxygen_ug_l = 3000;
    assert_int_equal(ration_of(&p).ration_mg, 843750);
}

static void the_most_of_an_area(void **state) {
    (void)state;
    assert_int_equal(ration_most_mg(1000000), 1100000);
    assert_int_equal(ration_most_mg(0), 0);
    assert_int_equal(ration_most_mg(-1), 0);
    assert_int_equal(ration_most_mg(INT64_MAX), 0);
    assert_int_equal(ration_guard(ration_most_mg(4000000), 4000000, true), RATION_GUARD_NONE);
    assert_int_equal(ration_guard(ration_most_mg(4000000) + 1, 4000000, true), RATION_GUARD_LIMIT);
}

static void grain_grows_with_the_fish(void **state) {
    (void)state;
    int64_t before_um = 0;
    for (int64_t mg = 1; mg <= 100000000; mg += 1 + mg / 50) {
        int64_t um = ration_grain_um(mg);
        if (um < before_um || um < 100 || um > 8000 || um % 100)
            fail_msg("%lld mg: got %lld um after %lld", (long long)mg, (long long)um,
                     (long long)before_um);
        before_um = um;
    }
    assert_int_equal(ration_grain_um(0), 0);
    assert_int_equal(ration_grain_um(INT64_MIN), 0);
    assert_int_equal(ration_grain_um(100000001), 0);
    assert_int_equal(ration_meals(0), 2);
    assert_int_equal(ration_meals(INT64_MIN), 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_weight_and_water),
        cmocka_unit_test(every_reason),
        cmocka_unit_test(little_oxygen_halves),
        cmocka_unit_test(the_guards),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(left_lowers_and_clean_days_raise),
        cmocka_unit_test(food_left_lowers_a_pond_too),
        cmocka_unit_test(the_most_of_an_area),
        cmocka_unit_test(grain_grows_with_the_fish),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
