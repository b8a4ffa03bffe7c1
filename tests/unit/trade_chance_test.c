/* The distributions against R 4.2 (Debian 12, r-base-core), the command beside each row, and
 * against what they must be by themselves. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <cmocka.h>

#include "trade/chance.h"

static void near(const char *what, double got, double wanted, double room) {
    if (!(fabs(got - wanted) <= room))
        fail_msg("%s: got %.16g, wanted %.16g within %g", what, got, wanted, room);
}

static void normal_quantiles(void **state) {
    (void)state;
    static const double rows[][2] = {
        /* p, qnorm(p) */
        {1e-300, -37.0470962993612005}, {1e-12, -7.0344838253011321},
        {1e-04, -3.7190164854556800},   {0.01, -2.3263478740408408},
        {0.1, -1.2815515655446008},     {0.2, -0.8416212335729142},
        {0.3, -0.5244005127080407},     {0.5, 0},
        {0.7, 0.5244005127080407},      {0.975, 1.9599639845400536},
        {0.9999, 3.7190164854557084},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        near("normal quantile", chance_normal_quantile(rows[i][0]), rows[i][1],
             1e-14 * (1 + fabs(rows[i][1])));
    assert_true(isinf(chance_normal_quantile(0)) && chance_normal_quantile(0) < 0);
    assert_true(isinf(chance_normal_quantile(1)) && chance_normal_quantile(1) > 0);
}

static void beta_and_its_quantiles(void **state) {
    (void)state;
    static const double below[][4] = {
        /* x, a, b, pbeta(x, a, b) */
        {0.3, 2.1, 1.4, 1.240721248145894e-01},
        {0.99, 0.57, 0.38, 8.707186178544162e-01},
        {0.5, 5, 5, 0.5},
        {0.05, 0.5, 30, 9.193705730935693e-01},
        {0.62, 600, 400, 9.021937022054777e-01},
        {0.999, 1, 1, 0.999},
        {1e-6, 0.3, 0.9, 1.517313780024107e-02},
        {0.38, 4000, 6000, 2.015807341514106e-05},
    };
    for (size_t i = 0; i < sizeof below / sizeof below[0]; i++)
        near("beta", chance_beta_below(below[i][1], below[i][2], below[i][0]), below[i][3], 1e-10);
    static const double quantiles[][4] = {
        /* p, a, b, qbeta(p, a, b) */
        {0.1, 2.1, 1.4, 0.2693673498656802},   {0.9, 2.1, 1.4, 0.8962934894468235},
        {0.2, 0.57, 0.38, 0.1879796582891078}, {0.1, 4.4, 11.3, 0.1444477805767488},
        {0.9, 38, 62, 0.4426024310811336},
    };
    for (size_t i = 0; i < sizeof quantiles / sizeof quantiles[0]; i++)
        near("beta quantile",
             chance_beta_quantile(quantiles[i][1], quantiles[i][2], quantiles[i][0]),
             quantiles[i][3], 1e-11);
    near("beta at 0", chance_beta_below(2, 3, 0), 0, 0);
    near("beta at 1", chance_beta_below(2, 3, 1), 1, 0);
    near("beta quantile of 0", chance_beta_quantile(2, 3, 0), 0, 0);
    near("beta quantile of 1", chance_beta_quantile(2, 3, 1), 1, 0);
}

static void students_tails(void **state) {
    (void)state;
    static const double rows[][3] = {
        /* t, df, 2 * pt(-t, df) */
        {2.5, 5.3, 5.176199225448287e-02},
        {0.3, 1, 8.144528418445154e-01},
        {12, 40, 7.824171304255996e-15},
        {2.3646242515927, 7, 0.05}, /* tables of Student's distribution: 2.365 */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        near("t", chance_t_beyond(rows[i][0], rows[i][1]), rows[i][2], 1e-10);
        near("-t", chance_t_beyond(-rows[i][0], rows[i][1]), rows[i][2], 1e-10);
    }
    near("t of 0", chance_t_beyond(0, 3), 1, 0);
}

/* The quick quantiles against the exact ones. */
static void steps_are_quantiles(void **state) {
    (void)state;
    static const double shapes[][2] = {{2.1, 1.4}, {0.6, 0.4}, {1, 1},  {4.4, 11.3},
                                       {38, 62},   {400, 100}, {0.5, 9}};
    enum { COUNT = 512 };
    double out[COUNT];
    for (size_t s = 0; s < sizeof shapes / sizeof shapes[0]; s++) {
        double a = shapes[s][0], b = shapes[s][1];
        chance_beta_steps(a, b, out, COUNT);
        for (int i = 0; i < COUNT; i++) {
            near("step", out[i], chance_beta_quantile(a, b, (i + 0.5) / COUNT), 1e-3);
            if (i > 0 && !(out[i] >= out[i - 1]))
                fail_msg("beta(%g, %g), step %d: got %.9g after %.9g, wanted no less", a, b, i,
                         out[i], out[i - 1]);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(normal_quantiles),
        cmocka_unit_test(beta_and_its_quantiles),
        cmocka_unit_test(students_tails),
        cmocka_unit_test(steps_are_quantiles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
