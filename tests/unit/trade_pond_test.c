/* Ponds' water, samples and feed: hand-worked cases, edges, and input that cannot be. What printed
 * tables say is in tests/checks. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <cmocka.h>

#include "trade/ammonia.h"
#include "trade/feed.h"
#include "trade/oxygen.h"
#include "trade/sample.h"

enum { H_S = 3600 };

/* -- oxygen ------------------------------------------------------------------------------------ */

static void pressure_and_saturation(void **state) {
    (void)state;
    assert_int_equal(oxygen_pressure_uatm(0), 1000000);
    assert_int_equal(oxygen_pressure_uatm(1200), 865685);
    assert_int_equal(oxygen_pressure_uatm(5001), 0);
    assert_int_equal(oxygen_pressure_uatm(INT64_MIN), 0);
    assert_int_equal(oxygen_saturation_ug_l(-1, 1000000), 0);
    assert_int_equal(oxygen_saturation_ug_l(40001, 1000000), 0);
    assert_int_equal(oxygen_saturation_ug_l(20000, INT64_MAX), 0);
    /* Warmer or higher holds less. */
    for (int64_t t = 0; t < 40000; t += 500)
        for (int64_t h = 0; h < 4000; h += 500) {
            int64_t p = oxygen_pressure_uatm(h), here = oxygen_saturation_ug_l(t, p);
            if (oxygen_saturation_ug_l(t + 500, p) >= here ||
                oxygen_saturation_ug_l(t, oxygen_pressure_uatm(h + 500)) >= here)
                fail_msg("%d mdegC at %d m: no less beside it", (int)t, (int)h);
        }
    assert_int_equal(oxygen_permille(8418, 24000, 1000000), 1000);
    assert_int_equal(oxygen_permille(4209, 24000, 1000000), 500);
    assert_int_equal(oxygen_permille(-1, 24000, 1000000), 0);
    assert_int_equal(oxygen_limit_ug_l(20), 4000);
    assert_int_equal(oxygen_limit_ug_l(21), 2000);
    assert_int_equal(oxygen_limit_ug_l(-1), 2000);
}

static void the_line_to_dawn(void **state) {
    (void)state;
    static const struct {
        int64_t first_h, first_ug, second_h, second_ug, dawn_h, limit_ug;
        enum oxygen_reason reason;
        int64_t dawn_ug;
        bool danger;
        int64_t danger_h;
    } cases[] = {
        /* 0.5 mg/l an hour from 8 at 18:00 */
        {18, 8000, 20, 7000, 30, 2000, OXYGEN_OK, 2000, false, 0},
        {18, 8000, 20, 7000, 30, 4000, OXYGEN_OK, 2000, true, 26},
        {18, 8000, 20, 7000, 31, 2000, OXYGEN_OK, 1500, true, 30},
        {18, 3000, 21, 1500, 30, 2000, OXYGEN_OK, 0, true, 20},
        {18, 1500, 21, 1000, 30, 2000, OXYGEN_OK, 0, true, 18},
        {18, 8000, 20, 8000, 30, 2000, OXYGEN_RISING, 0, false, 0},
        {18, 8000, 20, 9000, 30, 2000, OXYGEN_RISING, 0, false, 0},
        {18, 8000, 18, 7000, 30, 2000, OXYGEN_ORDER, 0, false, 0},
        {18, 8000, 31, 7000, 40, 2000, OXYGEN_ORDER, 0, false, 0},
        {18, 8000, 20, 7000, 20, 2000, OXYGEN_ORDER, 0, false, 0},
        {18, 8000, 20, 7000, 37, 2000, OXYGEN_ORDER, 0, false, 0},
        {18, -1, 20, 7000, 30, 2000, OXYGEN_IMPOSSIBLE, 0, false, 0},
        {18, 8000, 20, 40001, 30, 2000, OXYGEN_IMPOSSIBLE, 0, false, 0},
        {18, 8000, 20, 7000, 30, 0, OXYGEN_IMPOSSIBLE, 0, false, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct oxygen_dusk d =
            oxygen_dusk((struct oxygen_reading){cases[i].first_h * H_S, cases[i].first_ug},
                        (struct oxygen_reading){cases[i].second_h * H_S, cases[i].second_ug},
                        cases[i].dawn_h * H_S, cases[i].limit_ug);
        if (d.reason != cases[i].reason || d.dawn_ug_l != cases[i].dawn_ug ||
            d.danger != cases[i].danger || d.danger_at_s != cases[i].danger_h * H_S)
            fail_msg("case %zu: got reason %d, %lld ug/l, danger %d at %lld s", i, (int)d.reason,
                     (long long)d.dawn_ug_l, d.danger, (long long)d.danger_at_s);
    }
    struct oxygen_dusk d = oxygen_dusk((struct oxygen_reading){INT64_MIN, 8000},
                                       (struct oxygen_reading){INT64_MAX, 7000}, 0, 2000);
    assert_int_equal(d.reason, OXYGEN_ORDER);
}

/* -- ammonia ----------------------------------------------------------------------------------- */

static void ammonia_against_its_limit(void **state) {
    (void)state;
    assert_int_equal(ammonia_limit_ug_l(0), 50);
    assert_int_equal(ammonia_limit_ug_l(5000), 50);
    assert_int_equal(ammonia_limit_ug_l(5001), 100);
    assert_int_equal(ammonia_limit_ug_l(100000), 100);
    assert_int_equal(ammonia_limit_ug_l(100001), 340);
    assert_int_equal(ammonia_n_of_nh4_ug_l(1000), 776);
    assert_int_equal(ammonia_n_of_nh4_ug_l(-1), -1);
    assert_int_equal(ammonia_n_of_nh4_ug_l(INT64_MAX), -1);
    assert_int_equal(ammonia_nitrite_permille(600), 1000);
    assert_int_equal(ammonia_nitrite_permille(601), 1002);
    assert_int_equal(ammonia_nitrite_permille(INT64_MIN), -1);

    /* pH 8.0 and 24 degC: 5.02 % of 2 mg/l is 0.100 mg/l, at the limit of 50 g fish. */
    struct ammonia a = ammonia_of(2000, 8000, 24000, 50000);
    assert_int_equal(a.reason, AMMONIA_OK);
    assert_in_range(a.share_ppm, 50000, 50700);
    assert_in_range(a.unionised_ug_l, 100, 101);
    assert_int_equal(a.limit_ug_l, 100);
    assert_in_range(a.permille, 1000, 1014);
    /* What they bear is at the limit, a microgram more is over it. */
    for (int64_t ph = 6000; ph <= 10000; ph += 250) {
        struct ammonia at = ammonia_of(2000, ph, 26000, 50000);
        if (at.total_most > 900000)
            continue;
        struct ammonia most = ammonia_of(at.total_most, ph, 26000, 50000);
        struct ammonia over = ammonia_of(at.total_most + 1, ph, 26000, 50000);
        if (most.permille > 1000 || over.permille <= 1000)
            fail_msg("pH %d: %lld ug/l is %lld and one more %lld permille of the limit", (int)ph,
                     (long long)at.total_most, (long long)most.permille, (long long)over.permille);
    }
    assert_int_equal(ammonia_of(0, 8000, 24000, 1).permille, 0);
    assert_int_equal(ammonia_of(-1, 8000, 24000, 1).reason, AMMONIA_NO_TOTAL);
    assert_int_equal(ammonia_of(INT64_MAX, 8000, 24000, 1).reason, AMMONIA_NO_TOTAL);
    assert_int_equal(ammonia_of(1, 3999, 24000, 1).reason, AMMONIA_NO_PH);
    assert_int_equal(ammonia_of(1, 8000, 40001, 1).reason, AMMONIA_NO_WATER);
    assert_int_equal(ammonia_share_ppm(11001, 20000), -1);
}

/* -- feed -------------------------------------------------------------------------------------- */

static void square_and_mix(void **state) {
    (void)state;
    assert_int_equal(feed_square(100, 450, 500).reason, FEED_OUTSIDE);
    assert_int_equal(feed_square(100, 450, 99).reason, FEED_OUTSIDE);
    assert_int_equal(feed_square(100, 450, 450).second_permille, 1000);
    assert_int_equal(feed_square(300, 300, 300).first_permille, 500);
    assert_int_equal(feed_square(300, 300, 301).reason, FEED_OUTSIDE);
    assert_int_equal(feed_square(-1, 300, 200).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_square(100, INT64_MAX, 200).reason, FEED_IMPOSSIBLE);
    /* The mix of the square has what was wanted, but for the rounding of a thousandth. */
    for (int64_t a = 0; a <= 1000; a += 37)
        for (int64_t b = 0; b <= 1000; b += 41)
            for (int64_t w = a < b ? a : b; w <= (a > b ? a : b); w += 53) {
                struct feed_square s = feed_square(a, b, w);
                const struct feed_part parts[] = {{s.first_permille, a}, {s.second_permille, b}};
                struct feed_mix m = feed_mix(parts, 2);
                if (s.reason != FEED_OK || m.reason != FEED_OK || m.protein_permille < w - 1 ||
                    m.protein_permille > w + 1)
                    fail_msg("%d and %d for %d: got %d", (int)a, (int)b, (int)w,
                             (int)m.protein_permille);
            }
    /* By hand: (3 x 100 + 2 x 450 + 1 x 600) / 6 = 300. */
    struct feed_part parts[] = {{3, 100}, {2, 450}, {1, 600}, {0, 0}};
    assert_int_equal(feed_mix(parts, 3).protein_permille, 300);
    assert_int_equal(feed_mix(parts, 4).protein_permille, 300);
    assert_int_equal(feed_mix(parts, 5).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_mix(parts, 0).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_mix(parts + 3, 1).reason, FEED_IMPOSSIBLE);
    for (int i = 0; i < 4; i++)
        parts[i] = (struct feed_part){INT64_C(1000000000000), 1000};
    assert_int_equal(feed_mix(parts, 4).protein_permille, 1000);
    parts[0].parts_mg = INT64_MAX;
    assert_int_equal(feed_mix(parts, 4).reason, FEED_IMPOSSIBLE);
}

static void the_store(void **state) {
    (void)state;
    const int64_t rations[] = {10, 10, 20, 20, 30, 30, 30, 40};
    static const struct {
        int64_t store, fetch, days, buy, after;
        bool lasts;
    } cases[] = {
        {0, 2, 0, 0, 150, false},  {9, 0, 0, 0, 150, false},  {10, 0, 1, 0, 180, false},
        {60, 0, 4, 3, 250, false}, {60, 2, 4, 1, 250, false}, {89, 9, 4, 0, 250, false},
        {90, 1, 5, 3, 260, false}, {190, 2, 8, 5, 280, true}, {189, 2, 7, 4, 280, false},
        {999, 2, 8, 5, 280, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct feed_store s = feed_store(cases[i].store, rations, 8, cases[i].fetch);
        int64_t days_mg = 0, next_mg = rations[s.days < 8 ? s.days : 7];
        for (int64_t day = 0; day < s.days; day++)
            days_mg += rations[day];
        if (s.days_mg != days_mg || s.more_mg != days_mg + next_mg)
            fail_msg("store %d: got %d in its days, %d in one more; wanted %d and %d",
                     (int)cases[i].store, (int)s.days_mg, (int)s.more_mg, (int)days_mg,
                     (int)(days_mg + next_mg));
        if (s.reason != FEED_OK || s.days != cases[i].days || s.buy_in_days != cases[i].buy ||
            s.lasts != cases[i].lasts || s.next_week_mg != 150 || s.after_week_mg != cases[i].after)
            fail_msg("store %d, fetch %d: got %d days, buy in %d, lasts %d, week %d, after %d",
                     (int)cases[i].store, (int)cases[i].fetch, (int)s.days, (int)s.buy_in_days,
                     s.lasts, (int)s.next_week_mg, (int)s.after_week_mg);
    }
    const int64_t bad[] = {10, -1};
    assert_int_equal(feed_store(5, bad, 2, 0).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_store(-1, rations, 8, 0).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_store(INT64_MAX, rations, 8, 0).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_store(5, rations, 0, 0).reason, FEED_IMPOSSIBLE);
    assert_int_equal(feed_store(5, rations, 8, -1).reason, FEED_IMPOSSIBLE);
}

/* -- samples ----------------------------------------------------------------------------------- */

static void samples(void **state) {
    (void)state;
    /* 2, 4, 4, 4, 5, 5, 7, 9 g: mean 5, squares off it 32, spread sqrt(32 / 7) = 2.138,
       error 2.138 / sqrt(8) = 0.7559. */
    const int64_t mg[] = {2000, 4000, 4000, 4000, 5000, 5000, 7000, 9000};
    struct sample s = sample_of_weights(mg, 8);
    assert_int_equal(s.reason, SAMPLE_OK);
    assert_int_equal(s.mean_mg, 5000);
    assert_int_equal(s.error_mg, 756);
    assert_int_equal(s.cv_permille, 428);
    assert_true(s.spread_known && s.small && !s.grade);
    /* 1 and 3: spread sqrt(2) over a mean of 2, 0.707. */
    const int64_t uneven[] = {1000, 3000};
    assert_int_equal(sample_of_weights(uneven, 2).cv_permille, 707);
    assert_true(sample_of_weights(uneven, 2).grade);
    const int64_t even[] = {1000, 1000, 1000};
    assert_int_equal(sample_of_weights(even, 3).error_mg, 1);

    /* Together: 0.4 / sqrt(100) of 10 g. */
    struct sample all = sample_of_total(100, 1000000);
    assert_int_equal(all.mean_mg, 10000);
    assert_int_equal(all.error_mg, 400);
    assert_true(!all.spread_known && !all.small && !all.grade);
    assert_true(sample_of_total(29, 29000).small && !sample_of_total(30, 30000).small);
    assert_int_equal(sample_of_weights(mg, 1).error_mg, 800);
    assert_false(sample_of_weights(mg, 1).spread_known);

    const int64_t bad[] = {1000, 0};
    assert_int_equal(sample_of_weights(bad, 2).reason, SAMPLE_IMPOSSIBLE);
    assert_int_equal(sample_of_weights(mg, 0).reason, SAMPLE_IMPOSSIBLE);
    assert_int_equal(sample_of_total(0, 5).reason, SAMPLE_IMPOSSIBLE);
    assert_int_equal(sample_of_total(5, 0).reason, SAMPLE_IMPOSSIBLE);
    assert_int_equal(sample_of_total(2, 200000000).mean_mg, 100000000);
    assert_int_equal(sample_of_total(2, 200000001).reason, SAMPLE_IMPOSSIBLE);
    assert_int_equal(sample_of_total(1, INT64_MAX).reason, SAMPLE_IMPOSSIBLE);
    assert_int_equal(sample_of_total(INT64_MAX, INT64_MAX).reason, SAMPLE_IMPOSSIBLE);
}

static void sizes_of_a_sample(void **state) {
    (void)state;
    const int64_t mg[] = {9000, 4000, 2000, 4000, 5000, 4000, 7000, 5000};
    struct sample s = sample_of_weights(mg, 8);
    assert_int_equal(s.sd_mg, 2138);
    assert_int_equal(s.median_mg, 4500);
    assert_int_equal(s.least_mg, 2000);
    assert_int_equal(s.largest_mg, 9000);
    assert_int_equal(s.largest_permille, 2000);
    assert_int_equal(sample_of_weights(mg, 7).median_mg, 4000);
    const int64_t three[] = {4000, 1000, 2000};
    assert_int_equal(sample_of_weights(three, 3).median_mg, 2000);
    /* One large one among even ones: the spread alone says nothing yet. */
    int64_t one[40];
    for (int i = 0; i < 40; i++)
        one[i] = 2000;
    one[17] = 5999;
    s = sample_of_weights(one, 40);
    assert_true(s.cv_permille < 500 && !s.grade);
    one[17] = 6000;
    s = sample_of_weights(one, 40);
    assert_true(s.cv_permille < 500 && s.grade);
    /* Weighed together nothing is known of single ones but the book's spread. */
    s = sample_of_total(100, 1000000);
    assert_int_equal(s.sd_mg, 4000);
    assert_int_equal(s.median_mg + s.least_mg + s.largest_mg + s.largest_permille, 0);

    struct sample_split split = sample_split(mg, 8, 4000, 7000);
    assert_int_equal(split.under, 1);
    assert_int_equal(split.within, 6);
    assert_int_equal(split.over, 1);
    assert_int_equal(split.under_permille, 125);
    split = sample_split(mg, 7, 4001, 8999); /* 3 and 1 of 7 */
    assert_int_equal(split.under_permille, 571);
    assert_int_equal(split.over_permille, 143);
    assert_int_equal(sample_split(mg, 8, 7000, 4000).within, 0);
    assert_int_equal(sample_split(mg, 8, 0, 4000).within, 0);
    assert_int_equal(sample_split(mg, 0, 1, 4000).within, 0);
    const int64_t bad[] = {1000, 0};
    assert_int_equal(sample_split(bad, 2, 1, 4000).within, 0);
    assert_int_equal(sample_length_um(0), 0);
    assert_int_equal(sample_length_um(100000001), 0);
    assert_int_equal(sample_length_um(750000), 464159); /* 750 g: 100000^1/3 cm */
}

static void condition_and_secchi(void **state) {
    (void)state;
    assert_int_equal(sample_condition_permille(10000, 100000), 1000); /* 10 g, 10 cm */
    assert_int_equal(sample_condition_permille(0, 100000), 0);
    assert_int_equal(sample_condition_permille(INT64_MAX, 1), 0);
    assert_int_equal(sample_condition_permille(100000000, 1000), INT64_C(10000000000000));
    assert_int_equal(sample_shape(0), SAMPLE_SHAPE_UNKNOWN);
    assert_int_equal(sample_shape(599), SAMPLE_LEAN);
    assert_int_equal(sample_shape(600), SAMPLE_USUAL);
    assert_int_equal(sample_shape(900), SAMPLE_USUAL);
    assert_int_equal(sample_shape(901), SAMPLE_FAT);
    static const struct {
        int64_t depth_mm;
        enum secchi wanted;
    } cases[] = {
        {-1, SECCHI_IMPOSSIBLE},
        {0, SECCHI_DANGER},
        {199, SECCHI_DANGER},
        {200, SECCHI_STOP},
        {249, SECCHI_STOP},
        {250, SECCHI_GOOD},
        {400, SECCHI_GOOD},
        {401, SECCHI_CLEAR},
        {20000, SECCHI_CLEAR},
        {20001, SECCHI_IMPOSSIBLE},
        {INT64_MIN, SECCHI_IMPOSSIBLE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        if (sample_secchi(cases[i].depth_mm) != cases[i].wanted)
            fail_msg("%lld mm: got %d, wanted %d", (long long)cases[i].depth_mm,
                     (int)sample_secchi(cases[i].depth_mm), (int)cases[i].wanted);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressure_and_saturation),
        cmocka_unit_test(the_line_to_dawn),
        cmocka_unit_test(ammonia_against_its_limit),
        cmocka_unit_test(square_and_mix),
        cmocka_unit_test(the_store),
        cmocka_unit_test(samples),
        cmocka_unit_test(sizes_of_a_sample),
        cmocka_unit_test(condition_and_secchi),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
