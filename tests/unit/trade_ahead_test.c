/* Rations of the days to come: against the law and the table put together by hand here, in water
 * that changes by the day, at the guard, and what is refused. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/ahead.h"
#include "trade/feed.h"
#include "trade_drawn.h"

static const struct growth_sample stocked = {0, 8000, 0};
static const struct growth_water at_28 = {{NULL, 0}, 28000};

static struct ahead_pond pond(void) {
    return (struct ahead_pond){&stocked, 1, &at_28, 1000, 0, -1};
}

/* One sample: the book's 1.16 and the table's points, straight between. */
static double share_at(double g) {
    static const double p[][2] = {{1, 8},   {5, 5},     {10, 5},  {25, 4},   {50, 3.5},
                                  {100, 3}, {200, 2.5}, {400, 2}, {800, 1.5}};
    int i = 1;
    g = g < 1 ? 1 : g > 800 ? 800 : g; /* the ends hold */
    while (i < 8 && g > p[i][0])
        i++;
    return p[i - 1][1] + (p[i][1] - p[i - 1][1]) * (g - p[i - 1][0]) / (p[i][0] - p[i - 1][0]);
}

static void rations_follow_the_law(void **state) {
    (void)state;
    struct ahead_pond p = pond();
    int64_t got_mg[90], sum_mg = 0;
    wants("reason", 0, ahead_rations(&p, 0, 90, got_mg), GROWTH_OK);
    for (int i = 0; i < 90; i++) {
        double root = 2 + 1.16 * 28 * (i + 0.5) / 1000, g = root * root * root;
        double wanted_mg = 1000 * g * share_at(g) / 100 * 1000;
        if (fabs((double)got_mg[i] - wanted_mg) > wanted_mg * 2e-4)
            fail_msg("day %d: got %lld mg, wanted %.0f", i, (long long)got_mg[i], wanted_mg);
        sum_mg += got_mg[i];
    }
    struct ahead_need need = ahead_need(&p, 0, 90);
    wants("reason", 0, need.reason, GROWTH_OK);
    wants("the sum", 90, need.feed_mg.middle, sum_mg);
    assert_true(need.feed_mg.low < sum_mg && sum_mg < need.feed_mg.high);
    wants("capped", 0, need.capped_days, 0);
    wants("hungry", 0, need.hungry_days, 0);
    /* The store of the first fifty days lasts so long. */
    int64_t store_mg = 0;
    for (int i = 0; i < 50; i++)
        store_mg += got_mg[i];
    struct feed_store s = feed_store(store_mg, got_mg, 90, 5);
    wants("days", 50, s.days, 50);
    wants("buy on the day", 50, s.buy_in_days, 44);
}

static void water_of_the_day_counts(void **state) {
    (void)state;
    const struct water_reading r[] = {{0, 28000},          {10 * DAY_S, 28000},
                                      {11 * DAY_S, 16000}, {20 * DAY_S, 16000},
                                      {21 * DAY_S, 36000}, {30 * DAY_S, 36000}};
    const struct growth_water water = {{r, 6}, 0};
    struct ahead_pond p = pond();
    p.water = &water;
    int64_t got_mg[30];
    wants("reason", 0, ahead_rations(&p, 0, 30, got_mg), GROWTH_OK);
    int hungry = 0;
    for (int i = 0; i < 30; i++) {
        bool fed = i < 11 || i == 20; /* the middles of the days of change are at 22 and 26 */
        if (fed != (got_mg[i] > 0))
            fail_msg("day %d: got %lld mg, wanted %s", i, (long long)got_mg[i],
                     fed ? "feed" : "none");
        hungry += !fed;
    }
    wants("hungry days", 30, ahead_need(&p, 0, 30).hungry_days, hungry);
}

static void the_area_holds_it(void **state) {
    (void)state;
    struct ahead_pond p = pond();
    p.fish = 100000;
    p.area_cm2 = 10000000; /* 10 ares bear 11 kg */
    int64_t got_mg[60];
    wants("reason", 0, ahead_rations(&p, 0, 60, got_mg), GROWTH_OK);
    for (int i = 0; i < 60; i++)
        wants("held", i, got_mg[i], 11000000);
    wants("capped days", 60, ahead_need(&p, 0, 60).capped_days, 60);
    wants("low and high alike", 60, ahead_need(&p, 0, 60).feed_mg.low, 60 * 11000000);
}

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    struct ahead_pond p = pond();
    int64_t got_mg[2] = {7, 7};
    wants("no days", 0, ahead_rations(&p, 0, 0, got_mg), GROWTH_IMPOSSIBLE);
    wants("too many", 0, ahead_need(&p, 0, AHEAD_DAYS_MOST + 1).reason, GROWTH_IMPOSSIBLE);
    wants("before the sample", 0, ahead_rations(&p, -2 * DAY_S, 2, got_mg), GROWTH_ORDER);
    wants("the end of time", 0, ahead_rations(&p, INT64_MAX, 2, got_mg), GROWTH_IMPOSSIBLE);
    wants("the start of time", 0, ahead_rations(&p, INT64_MIN, 2, got_mg), GROWTH_ORDER);
    p.fish = 0;
    wants("no fish", 0, ahead_rations(&p, 0, 2, got_mg), GROWTH_IMPOSSIBLE);
    p = pond();
    p.count = 0;
    wants("no sample", 0, ahead_need(&p, 0, 2).reason, GROWTH_NO_SAMPLE);
    p = pond();
    p.share_ppm = 1000001;
    wants("a share", 0, ahead_need(&p, 0, 2).reason, GROWTH_IMPOSSIBLE);
    p.share_ppm = 20000;
    wants("the farm's own share", 0, ahead_rations(&p, 0, 1, got_mg), GROWTH_OK);
    double root = 2 + 1.16 * 28 * 0.5 / 1000;
    int64_t off_mg = got_mg[0] - (int64_t)(root * root * root * 20000); /* of 1000 fish */
    assert_true(off_mg > -20 && off_mg < 20);
    wants("left as it is", 0, got_mg[1], 7);
}

/* Of ponds drawn as growth.c says, the feed that they truly need lies within the range. */
static void the_need_of_four_ponds_in_five_is_held(void **state) {
    (void)state;
    enum { PONDS = 1500, FISH = 1000 };
    static const int samples[] = {1, 3, 6}, ahead[] = {14, 60};
    uint64_t seed = 23;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 2; j++) {
            int held = 0;
            for (int n = 0; n < PONDS; n++) {
                struct growth_sample s[6];
                struct drawn p = drawn_pond(10, &seed);
                double degc = 26 + 2 * drawn_evenly(&seed), need_g = 0;
                const struct growth_water water = {{NULL, 0}, (int64_t)(degc * 1000)};
                int last = (samples[i] - 1) * 21;
                s[0] = drawn_weigh(&p, 0, &seed);
                for (int day = 1; day <= last; day++) {
                    drawn_step(&p, degc / 1000, &seed);
                    if (day % 21 == 0)
                        s[day / 21] = drawn_weigh(&p, day, &seed);
                }
                double warm = 0.9 + (degc - 26) * 0.05;
                for (int day = 0; day < ahead[j]; day++) {
                    double before_g = drawn_g(&p);
                    drawn_step(&p, degc / 1000, &seed);
                    double g = (before_g + drawn_g(&p)) / 2;
                    need_g += FISH * g * share_at(g) / 100 * warm;
                }
                struct ahead_pond pond = {s, samples[i], &water, FISH, 0, -1};
                struct ahead_need need = ahead_need(&pond, (int64_t)last * DAY_S, ahead[j]);
                held += need.reason == GROWTH_OK && need_g * 1000 >= (double)need.feed_mg.low &&
                        need_g * 1000 <= (double)need.feed_mg.high;
            }
            print_message("%d samples, %d days: %.3f held\n", samples[i], ahead[j],
                          (double)held / PONDS);
            if (held < PONDS * 4 / 5)
                fail_msg("%d samples, %d days: %d of %d held, wanted four in five", samples[i],
                         ahead[j], held, PONDS);
            if (held > PONDS * 19 / 20)
                fail_msg("%d samples, %d days: %d of %d held, the range says nothing", samples[i],
                         ahead[j], held, PONDS);
        }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rations_follow_the_law),
        cmocka_unit_test(water_of_the_day_counts),
        cmocka_unit_test(the_area_holds_it),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(the_need_of_four_ponds_in_five_is_held),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
