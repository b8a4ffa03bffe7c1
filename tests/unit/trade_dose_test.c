/* Doses: what a syringe measures, weights and labels that cannot be, and what must be true of every
 * weight. Feed of brood fish and the ration come from the same weights. Published amounts stand in
 * tests/checks/dose.chk. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/book.h"
#include "trade/brood.h"
#include "trade/dose.h"
#include "trade/ration.h"
#include "trade_draw.h"

#define KG     INT64_C(1000000)
#define ROUNDS 20000

static void amounts_in_a_table(void **state) {
    (void)state;
    /* mg; donor mg, 1.5 donor; ug at 4 mg/kg; IU at 1500 and 4000 a kg; worked by hand */
    static const int64_t table[][7] = {
        {INT64_MIN, 0, 0, 0, 0, 0, 0},
        {-1, 0, 0, 0, 0, 0, 0},
        {0, 0, 0, 0, 0, 0, 0},
        {999, 0, 0, 0, 0, 0, 0},
        {1000, 1000, 1500, 4, 2, 4, 1000}, /* 1.5 IU: a half goes up */
        {1001, 1001, 1502, 4, 2, 4, 1000},
        {300000, 300000, 450000, 1200, 450, 1200, 1000},
        {1001000, 1001000, 1501500, 4004, 1502, 4004, 1000}, /* 1501.5 IU */
        {1200000, 1200000, 1800000, 4800, 1800, 4800, 1000},
        {100000000, 100000000, 150000000, 400000, 150000, 400000, 1000},
        {100000001, 0, 0, 0, 0, 0, 0},
        {INT64_MAX, 0, 0, 0, 0, 0, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        const int64_t *row = table[i];
        struct dose d = dose_of(row[0]);
        wants("donor, least", row[0], d.donor_least_mg, row[1]);
        wants("donor, safe", row[0], d.donor_safe_mg, row[2]);
        wants("dried gland", row[0], d.dried_ug, row[3]);
        wants("hCG, low", row[0], d.hcg_low_iu, row[4]);
        wants("hCG, high", row[0], d.hcg_high_iu, row[5]);
        wants("saline", row[0], d.saline_ul, row[1] ? row[6] : 0);
    }
}

static void a_mix_in_a_table(void **state) {
    (void)state;
    static const int64_t table[][3] = {
        /* mg, ul/kg, ul */
        {1500000, 500, 750},
        {1500000, 0, 0},
        {1500000, -500, 0},
        {1500000, INT64_MIN, 0},
        {1500000, INT64_MAX, 0},
        {1500000, 1000001, 0},
        {0, 500, 0},
        {-1500000, 500, 0},
        {INT64_MIN, 500, 0},
        {INT64_MAX, 500, 0},
        {100000001, 500, 0},
        {1000000, 4, 0},  /* under half of a hundredth of a ml */
        {1000000, 5, 10}, /* half of it goes up */
        {999999, 5, 0},   /* 4.999995 ul */
        {1000000, 994, 990},
        {1000000, 995, 1000},  /* the last of the fine steps */
        {1000000, 1000, 1000}, /* one ml is still measured finely */
        {1000000, 1049, 1000}, /* the coarse steps */
        {1000000, 1050, 1100},
        {999999, 1050, 1000}, /* 1049.99895 ul */
        {100000000, 1000000, 100000000},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("mix", table[i][0], dose_mix_ul(table[i][0], table[i][1]), table[i][2]);
}

/* The exact integer rounding of mg x ul/kg, halves up, to the step that a syringe has. */
static void a_mix_is_the_nearest_step(void **state) {
    (void)state;
    uint64_t seed = 31;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t mg = 999 + draw_up_to(&seed, 100 * KG - 999), label = draw_up_to(&seed, KG);
        int64_t product = mg * label; /* millionths of a ul */
        int64_t step = product < 1001 * KG ? 10 : 100;
        int64_t wanted = (2 * product + step * KG) / (2 * step * KG) * step;
        wants("mix", mg, dose_mix_ul(mg, label), wanted);
        if (mg < 100 * KG)
            wants_no_less("a heavier female", mg, dose_mix_ul(mg + 1, label), wanted);
        if (label < KG)
            wants_no_less("a stronger label", mg, dose_mix_ul(mg, label + 1), wanted);
    }
}

static void doses_grow_with_her(void **state) {
    (void)state;
    uint64_t seed = 32;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t mg = 999 + draw_up_to(&seed, 50 * KG - 999);
        struct dose d = dose_of(mg), more = dose_of(mg + 1), twice = dose_of(2 * mg);
        assert_true(d.donor_least_mg <= d.donor_safe_mg && d.hcg_low_iu <= d.hcg_high_iu);
        wants_no_less("donor", mg, more.donor_safe_mg, d.donor_safe_mg);
        wants_no_less("dried", mg, more.dried_ug, d.dried_ug);
        wants_no_less("hCG, low", mg, more.hcg_low_iu, d.hcg_low_iu);
        wants_no_less("hCG, high", mg, more.hcg_high_iu, d.hcg_high_iu);
        /* Exact to a half: 1500 IU and 4 mg a kg are 3 / 2000 and 4 / 1000 of a mg. */
        wants("hCG, low", mg, d.hcg_low_iu, (3 * mg + 1000) / 2000);
        wants("hCG, high", mg, d.hcg_high_iu, (4 * mg + 500) / 1000);
        wants("dried", mg, d.dried_ug, (4 * mg + 500) / 1000);
        wants("donor", mg, d.donor_safe_mg, (3 * mg + 1) / 2);
        wants("twice her weight", mg, twice.donor_least_mg, 2 * d.donor_least_mg);
        wants("one saline for every weight", mg, twice.saline_ul, d.saline_ul);
    }
}

static void labels_and_salt_at_their_edges(void **state) {
    (void)state;
    static const int64_t labels[][2] = {{INT64_MIN, 0}, {0, 0},    {99, 0},   {100, 1},
                                        {500, 1},       {2000, 1}, {2001, 0}, {INT64_MAX, 0}};
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++)
        wants("label", labels[i][0], dose_label_plausible(labels[i][0]), labels[i][1]);
    static const int64_t salt[][2] = {{INT64_MIN, 0},
                                      {-1, 0},
                                      {0, 0},
                                      {1, 9},
                                      {250, 2250},
                                      {INT64_C(999999999999), INT64_C(8999999999991)},
                                      {INT64_C(1000000000000), 0},
                                      {INT64_MAX, 0}};
    for (size_t i = 0; i < sizeof salt / sizeof salt[0]; i++)
        wants("salt", salt[i][0], dose_salt_mg(salt[i][0]), salt[i][1]);
}

static void brood_fish_at_their_edges(void **state) {
    (void)state;
    const int64_t day_s = 86400, old_s = (int64_t)book_number(BOOK_MATURE_DAYS) * day_s;
    static const struct {
        int64_t age_days, weight_mg;
        bool old_enough_wanted;
    } table[] = {
        {365, 500000, true},  {365, 300000, true},    {365, 299999, false},  {365, 0, true},
        {100, 500000, false}, {100, 0, false},        {-1, 500000, true},    {-1, 299999, false},
        {-1, 0, true},        {365, INT64_MAX, true}, {0, INT64_MAX, false},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("mature", table[i].weight_mg,
              brood_mature(table[i].age_days * day_s, table[i].weight_mg),
              table[i].old_enough_wanted);
    assert_true(brood_mature(old_s, 500000) && !brood_mature(old_s - 1, 500000));
    assert_true(brood_mature(INT64_MAX, INT64_MAX) && brood_mature(INT64_MIN, 500000));
    static const int64_t weights[][3] = {{INT64_MIN, 0, 0}, {0, 0, 0},       {299999, 0, 0},
                                         {300000, 1, 1},    {1000000, 1, 1}, {1000001, 1, 0},
                                         {2000000, 1, 0},   {2000001, 0, 0}, {INT64_MAX, 0, 0}};
    for (size_t i = 0; i < sizeof weights / sizeof weights[0]; i++) {
        wants("passes", weights[i][0], brood_weight_passes(weights[i][0]), weights[i][1]);
        wants("good", weights[i][0], brood_weight_good(weights[i][0]), weights[i][2]);
    }
    static const int64_t areas[][2] = {{INT64_MIN, 0}, {-1, 0},    {0, 0},     {9999, 0},
                                       {10000, 1},     {19999, 1}, {20000, 2}, {1000000, 100}};
    for (size_t i = 0; i < sizeof areas / sizeof areas[0]; i++)
        wants("room", areas[i][0], brood_room(areas[i][0]), areas[i][1]);
    assert_true(brood_room(INT64_MAX) == INT64_MAX / 10000);
}

static void no_feed_where_none_is_right(void **state) {
    (void)state;
    static const int64_t table[][3] = {
        /* mg, mdegc, mg of feed */
        {INT64_MIN, 28000, 0},  {-1, 28000, 0},         {0, 28000, 0},
        {800000, 28000, 12000}, {800000, -1, 12000},    {800000, INT64_MIN, 12000},
        {800000, 17999, 0},     {800000, 18000, 2400},  {800000, 34000, 6000},
        {800000, 34001, 0},     {800000, INT64_MAX, 0}, {800000, 0, 0},
        {INT64_MAX, 28000, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("feed", table[i][0], brood_feed_mg(table[i][0], table[i][1]), table[i][2]);
    wants("a tonne", 0, brood_feed_mg(1000 * KG, 28000), 15 * KG);
    wants("over a tonne", 0, brood_feed_mg(1000 * KG + 1, 28000), 0);
    wants("ration", 0, ration_ppm(0), 0);
    wants("ration", INT64_MIN, ration_ppm(INT64_MIN), 0);
    wants("ration", 1, ration_ppm(1), 80000);
    wants("ration", INT64_MAX, ration_ppm(INT64_MAX), 15000);
    wants("factor", INT64_MIN, ration_factor_permille(INT64_MIN), 0);
    wants("factor", INT64_MAX, ration_factor_permille(INT64_MAX), 0);
}

/* A heavier fish eats a smaller share of its weight but never less of food. */
static void rations_fall_while_feed_grows(void **state) {
    (void)state;
    for (int64_t mg = 1; mg < 3 * KG; mg += 173) {
        wants_no_less("ration", mg, ration_ppm(mg), ration_ppm(mg + 173));
        assert_in_range(ration_ppm(mg), 15000, 80000);
        wants_no_less("feed", mg, brood_feed_mg(mg + 173, 28000) + 1, brood_feed_mg(mg, 28000));
        wants_no_less("feed as warm", mg, brood_feed_mg(mg, -1), brood_feed_mg(mg, 23000));
    }
    for (int64_t mdegc = 18000; mdegc < 34000; mdegc++) {
        int64_t now = ration_factor_permille(mdegc), next = ration_factor_permille(mdegc + 1);
        assert_in_range(now, 200, 1000);
        if (mdegc < 32000)
            wants_no_less("warmer to 32", mdegc, next, now);
        else
            wants_no_less("warmer over 32", mdegc, now, next);
    }
}

/* Between two points by the rule of three, from points written out again here. */
static long double line(const double (*p)[2], int count, long double x) {
    int i = 1;
    while (i < count - 1 && x > (long double)p[i][0])
        i++;
    long double x0 = (long double)p[i - 1][0], y0 = (long double)p[i - 1][1];
    long double share = (x - x0) / ((long double)p[i][0] - x0);
    share = share < 0 ? 0 : share > 1 ? 1 : share;
    return y0 + ((long double)p[i][1] - y0) * share;
}

static void rations_are_the_nearest(void **state) {
    (void)state;
    static const double grams[][2] = {{1, 8},   {5, 5},     {10, 5},  {25, 4},   {50, 3.5},
                                      {100, 3}, {200, 2.5}, {400, 2}, {800, 1.5}};
    static const double degrees[][2] = {{18, 200}, {20, 400},  {22, 550},  {24, 750},
                                        {26, 900}, {28, 1000}, {32, 1000}, {34, 500}};
    for (int64_t mg = 1; mg < 2 * KG; mg += 61)
        wants_nearest("ration", mg, ration_ppm(mg), 1e4L * line(grams, 9, (long double)mg / 1000));
    for (int64_t mdegc = 18000; mdegc <= 34000; mdegc++)
        wants_nearest("factor", mdegc, ration_factor_permille(mdegc),
                      line(degrees, 8, (long double)mdegc / 1000));
    uint64_t seed = 33;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t mg = draw_up_to(&seed, 1000 * KG);
        int64_t mdegc = 17000 + draw_up_to(&seed, 18000);
        long double ppb = (long double)ration_ppm(mg) * (long double)ration_factor_permille(mdegc);
        wants_nearest("feed", mg, brood_feed_mg(mg, mdegc), (long double)mg * ppb / 1e9L);
    }
}

static void lines_go_through_their_points(void **state) {
    (void)state;
    const struct book_line *const lines[] = {&book_ration, &book_ration_warm};
    for (size_t t = 0; t < 2; t++) {
        const double(*p)[2] = lines[t]->points;
        int last = lines[t]->count - 1;
        for (int i = 0; i <= last; i++) {
            assert_true(book_line_at(lines[t], p[i][0]) == p[i][1]);
            if (i == last)
                continue;
            if (!(p[i][0] < p[i + 1][0]))
                fail_msg("%s, point %d: got %g before %g", lines[t]->name, i, p[i][0], p[i + 1][0]);
            double half = book_line_at(lines[t], (p[i][0] + p[i + 1][0]) / 2);
            double wanted = (p[i][1] + p[i + 1][1]) / 2;
            if (half < wanted - 1e-12 || half > wanted + 1e-12)
                fail_msg("%s, half way after point %d: got %g, wanted %g", lines[t]->name, i, half,
                         wanted);
        }
        assert_true(book_line_at(lines[t], -1e300) == p[0][1]);
        assert_true(book_line_at(lines[t], 1e300) == p[last][1]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(amounts_in_a_table),
        cmocka_unit_test(a_mix_in_a_table),
        cmocka_unit_test(a_mix_is_the_nearest_step),
        cmocka_unit_test(doses_grow_with_her),
        cmocka_unit_test(labels_and_salt_at_their_edges),
        cmocka_unit_test(brood_fish_at_their_edges),
        cmocka_unit_test(no_feed_where_none_is_right),
        cmocka_unit_test(rations_fall_while_feed_grows),
        cmocka_unit_test(rations_are_the_nearest),
        cmocka_unit_test(lines_go_through_their_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
