/* Fish counted by weight and water by measure: against exact integer arithmetic, at the ends of
 * what is allowed, and what must be true of every sample. Worked tanks stand in
 * tests/checks/count.chk. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/count.h"
#include "trade_draw.h"

#define TOTAL_MOST_MG INT64_C(100000000000)
#define ROUNDS        50000

__extension__ typedef __int128 wide;

/* a x b x c / by to the nearest, a half upwards. */
static int64_t nearest(int64_t a, int64_t b, int64_t c, int64_t by) {
    wide product = (wide)a * b * c;
    return (int64_t)((2 * product + by) / (2 * (wide)by));
}

static void counts_that_cannot_be(void **state) {
    (void)state;
    static const int64_t table[][3] = {
        {0, 1, 1},
        {-1, 1, 1},
        {INT64_MIN, 1, 1},
        {1000, 0, 1},
        {1000, -1, 1},
        {1000, INT64_MIN, 1},
        {1000, 1, 0},
        {1000, 1, -1},
        {1000, 1, INT64_MIN},
        {1000, 1, 1001}, /* heavier than all of them */
        {1000, 1, INT64_MAX},
        {1000, 1000001, 1},
        {1000, INT64_MAX, 1},
        {TOTAL_MOST_MG + 1, 1, 1},
        {INT64_MAX, 1, 1},
        {INT64_MAX, INT64_MAX, INT64_MAX},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        struct fish_count n = count_by_weight(table[i][0], table[i][1], table[i][2]);
        wants("reason", (int64_t)i, n.reason, COUNT_IMPOSSIBLE);
        wants("count", (int64_t)i, n.count, 0);
    }
}

static void counts_at_the_ends(void **state) {
    (void)state;
    static const int64_t table[][4] = {
        {1, 1, 1, 1},
        {1000, 30, 1000, 30},
        {3, 1, 2, 2}, /* 1.5 */
        {5, 1, 2, 3}, /* 2.5 */
        {4, 1, 3, 1}, /* 1.33 */
        {5, 1, 3, 2}, /* 1.67 */
        {TOTAL_MOST_MG, 1000000, 1, INT64_C(100000000000000000)},
        {TOTAL_MOST_MG, 1000000, TOTAL_MOST_MG, 1000000},
        {TOTAL_MOST_MG, 1, TOTAL_MOST_MG - 1, 1},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        struct fish_count n = count_by_weight(table[i][0], table[i][1], table[i][2]);
        wants("reason", (int64_t)i, n.reason, COUNT_OK);
        wants("count", (int64_t)i, n.count, table[i][3]);
    }
}

static void a_count_is_the_exact_nearest(void **state) {
    (void)state;
    uint64_t seed = 41;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t total_mg = draw_up_to(&seed, TOTAL_MOST_MG);
        int64_t sample = draw_up_to(&seed, 1000000), sample_mg = draw_up_to(&seed, total_mg);
        struct fish_count n = count_by_weight(total_mg, sample, sample_mg);
        wants("reason", total_mg, n.reason, COUNT_OK);
        wants("count", total_mg, n.count, nearest(total_mg, sample, 1, sample_mg));
        wants_no_less("all are no fewer than the sample", total_mg, n.count, sample);
        if (total_mg < TOTAL_MOST_MG)
            wants_no_less("more weight", total_mg,
                          count_by_weight(total_mg + 1, sample, sample_mg).count, n.count);
        if (sample_mg < total_mg)
            wants_no_less("heavier fish are fewer", total_mg, n.count,
                          count_by_weight(total_mg, sample, sample_mg + 1).count);
        if (sample < 500000)
            wants_no_less("twice the sample's fish", total_mg,
                          count_by_weight(total_mg, 2 * sample, sample_mg).count, 2 * n.count - 1);
    }
}

static void samples_at_their_edge(void **state) {
    (void)state;
    static const int64_t table[][2] = {{INT64_MIN, 1}, {0, 1}, {29, 1}, {30, 0}, {INT64_MAX, 0}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        wants("small", table[i][0], count_sample_small(table[i][0]), table[i][1]);
}

static void sides_that_cannot_be(void **state) {
    (void)state;
    static const int64_t wrong[] = {INT64_MIN, -1, 0, 1000001, INT64_MAX};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        wants("long", wrong[i], count_box_ml(wrong[i], 1000, 1000), 0);
        wants("wide", wrong[i], count_box_ml(1000, wrong[i], 1000), 0);
        wants("deep", wrong[i], count_box_ml(1000, 1000, wrong[i]), 0);
        wants("across", wrong[i], count_round_ml(wrong[i], 1000), 0);
        wants("deep, round", wrong[i], count_round_ml(1000, wrong[i]), 0);
    }
    wants("a cubic kilometre", 0, count_box_ml(1000000, 1000000, 1000000),
          INT64_C(1000000000000000));
}

static void water_is_the_nearest_ml(void **state) {
    (void)state;
    static const long double pi = 3.14159265358979323846L;
    uint64_t seed = 42;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, 1000000), b = draw_up_to(&seed, 1000000);
        int64_t c = draw_up_to(&seed, 1000000), box = count_box_ml(a, b, c);
        wants("box", a, box, nearest(a, b, c, 1000));
        wants("turned", a, count_box_ml(b, c, a), box);
        int64_t across = count_round_ml(a, b);
        wants_nearest("round", a, across,
                      pi / 4 * (long double)a * (long double)a * (long double)b / 1000);
        wants_no_less("a round tank fits its box", a, count_box_ml(a, a, b), across);
        if (b < 1000000)
            wants_no_less("deeper", a, count_round_ml(a, b + 1), across);
    }
}

static double bell(uint64_t *seed) {
    double u = ((double)(draw_bits(seed) >> 11) + 0.5) / 0x1p53;
    double v = ((double)(draw_bits(seed) >> 11) + 0.5) / 0x1p53;
    return sqrt(-2 * log(u)) * cos(2 * 3.14159265358979323846 * v);
}

static double squares(const double *w, int n, double mean) {
    double sum = 0;
    for (int i = 0; i < n; i++)
        sum += (w[i] - mean) * (w[i] - mean);
    return sum;
}

/* One tank of fish, the first n of them weighed: whether the range holds their true number. The
 * weights are log-normal, as those of fish are. */
static bool tank_is_held(uint64_t *seed, int fish, int n, double cv, bool known) {
    double w[1000], total = 0, sample = 0, log_spread = sqrt(log(1 + cv * cv));
    for (int i = 0; i < fish; i++) {
        w[i] = 5000 * exp(log_spread * bell(seed));
        total += w[i];
        sample += i < n ? w[i] : 0;
    }
    double got = sqrt(squares(w, n, sample / n) / (n - 1)) / (sample / n);
    int64_t cv_permille = (int64_t)((known ? got : cv) * 1000 + 0.5);
    struct fish_count_range r = count_by_weight_range((int64_t)(total + 0.5), n,
                                                      (int64_t)(sample + 0.5), cv_permille, known);
    return r.reason == COUNT_OK && r.low <= fish && fish <= r.high;
}

/* Tanks of fish drawn by a seed: four in five, with a spread of the draws themselves of 0.6 %. The
 * ratio of two sums leans a little, more the fewer were weighed. */
static void the_range_holds_four_in_five(void **state) {
    (void)state;
    enum { TANKS = 4000 };
    static const struct {
        int fish, n;
        double cv;
        bool known;
    } cases[] = {{800, 50, 0.4, true},   {800, 50, 0.4, false}, {1000, 30, 0.25, true},
                 {1000, 30, 0.6, false}, {300, 100, 0.4, true}, {500, 10, 0.3, true}};
    uint64_t seed = 43;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int held = 0;
        for (int t = 0; t < TANKS; t++)
            held += tank_is_held(&seed, cases[i].fish, cases[i].n, cases[i].cv, cases[i].known);
        print_message("%d of %d weighed, spread %g: %.3f held\n", cases[i].n, cases[i].fish,
                      cases[i].cv, (double)held / TANKS);
        if (held < TANKS * 78 / 100 || held > TANKS * 85 / 100)
            fail_msg("%d of %d weighed, spread %g: %d of %d held, wanted four in five", cases[i].n,
                     cases[i].fish, cases[i].cv, held, TANKS);
    }
}

static void the_range_is_about_the_count(void **state) {
    (void)state;
    uint64_t seed = 44;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t total_mg = draw_up_to(&seed, TOTAL_MOST_MG);
        int64_t n = draw_up_to(&seed, 1000000), sample_mg = draw_up_to(&seed, total_mg);
        int64_t cv = draw_up_to(&seed, 10001) - 1;
        struct fish_count_range r = count_by_weight_range(total_mg, n, sample_mg, cv, i % 2);
        wants("reason", total_mg, r.reason, COUNT_OK);
        wants("middle", total_mg, r.middle, count_by_weight(total_mg, n, sample_mg).count);
        wants_no_less("middle over low", total_mg, r.middle, r.low);
        wants_no_less("high over middle", total_mg, r.high, r.middle);
        wants_no_less("low over the sample", total_mg, r.low, n);
    }
    wants("the book's spread", -1, count_by_weight_range(6400000, 50, 110000, -1, false).low,
          count_by_weight_range(6400000, 50, 110000, 400, false).low);
    wants("a spread", -2, count_by_weight_range(1000, 1, 10, -2, false).reason, COUNT_IMPOSSIBLE);
    wants("a spread", 10001, count_by_weight_range(1000, 1, 10, 10001, false).reason,
          COUNT_IMPOSSIBLE);
    wants("a count", 0, count_by_weight_range(1000, 0, 10, 400, false).reason, COUNT_IMPOSSIBLE);
}

static void ponds_by_area(void **state) {
    (void)state;
    static const int64_t wrong[] = {INT64_MIN, -1, 0, INT64_C(1000000000001), INT64_MAX};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        wants("area", wrong[i], count_pond_ml(wrong[i], 1000), 0);
        wants("depth", wrong[i], count_pond_ml(1000000, wrong[i]), 0);
        wants("deep", wrong[i], count_depth_mm(1000, wrong[i]), 0);
    }
    wants("no shallow end", 0, count_depth_mm(0, 1000), 500);
    wants("half a mm is one", 0, count_depth_mm(0, 1001), 501);
    wants("shallow", -1, count_depth_mm(-1, 1000), 0);
    uint64_t seed = 45;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t a = draw_up_to(&seed, INT64_C(1000000000000)), b = draw_up_to(&seed, 100000);
        wants("pond", a, count_pond_ml(a, b), nearest(a, b, 1, 10));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_that_cannot_be),
        cmocka_unit_test(counts_at_the_ends),
        cmocka_unit_test(a_count_is_the_exact_nearest),
        cmocka_unit_test(samples_at_their_edge),
        cmocka_unit_test(sides_that_cannot_be),
        cmocka_unit_test(water_is_the_nearest_ml),
        cmocka_unit_test(the_range_holds_four_in_five),
        cmocka_unit_test(the_range_is_about_the_count),
        cmocka_unit_test(ponds_by_area),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
