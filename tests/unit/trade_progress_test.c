/* Progress as laws: over many series made from fixed seeds, the closed form is held against a plain
 * sum of one-second steps that shares no code with it, and against what must be true of any water.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <cmocka.h>

#include "trade/progress.h"

enum { SERIES_COUNT = 150, READINGS_MOST = 48, S_PER_H = 3600 };

/* xorshift64*, Vigna 2016. */
static uint64_t seed_now;

static uint64_t draw(uint64_t below) {
    seed_now ^= seed_now >> 12;
    seed_now ^= seed_now << 25;
    seed_now ^= seed_now >> 27;
    return (seed_now * 0x2545f4914f6cdd1du >> 11) % below;
}

static int64_t draw_between(int64_t low, int64_t high) {
    return low + (int64_t)draw((uint64_t)(high - low) + 1);
}

static int64_t clamp(int64_t v, int64_t low, int64_t high) {
    return v < low ? low : v > high ? high : v;
}

/* One night's or several days' readings within low..high: whole degrees or thousandths, sometimes
 * twice the same, from a minute to six hours apart; the injection some time around the first. */
struct sample {
    struct water_reading readings[READINGS_MOST + 1];
    struct water_series water;
    int64_t from_s;
    const struct book_table *table;
};

static void make(struct sample *s, uint64_t seed, int64_t low, int64_t high) {
    seed_now = seed * 0x9e3779b97f4a7c15u + 1;
    int count = (int)draw_between(1, READINGS_MOST);
    bool whole = draw(3) == 0;
    int64_t at_s = 1700000000 + draw_between(-1000000, 1000000);
    int64_t mdegc = draw_between(low, high), longest_s = draw_between(60, 6 * S_PER_H);
    s->from_s = at_s + draw_between(-4 * S_PER_H, 12 * S_PER_H);
    for (int i = 0; i < count; i++) {
        if (whole)
            mdegc = (mdegc + 500) / 1000 * 1000;
        s->readings[i] = (struct water_reading){at_s, clamp(mdegc, low, high)};
        at_s += draw_between(60, longest_s);
        if (draw(6))
            mdegc = clamp(mdegc + draw_between(-2500, 2500), low, high);
    }
    s->water = (struct water_series){s->readings, count};
    s->table = draw(2) ? &book_latency : &book_hatching;
}

static double real_mdegc(struct water_series w, double at_s) {
    if (at_s <= (double)w.readings[0].at_s)
        return (double)w.readings[0].mdegc;
    for (int i = 1; i < w.count; i++) {
        double b = (double)w.readings[i].at_s, a = (double)w.readings[i - 1].at_s;
        if (at_s <= b) {
            double low = (double)w.readings[i - 1].mdegc, high = (double)w.readings[i].mdegc;
            return low + (high - low) * (at_s - a) / (b - a);
        }
    }
    return (double)w.readings[w.count - 1].mdegc;
}

static double real_hours(const struct book_table *t, double mdegc) {
    double degc = mdegc / 1000;
    int row = 0;
    while (row < t->count - 2 && t->rows[row + 1][0] <= degc)
        row++;
    double f = degc - t->rows[row][0];
    return exp((1 - f) * log(t->rows[row][1]) + f * log(t->rows[row + 1][1]));
}

static bool outside(double mdegc) {
    return mdegc < 20000 || mdegc > 30000;
}

/* One-second steps, each at its middle. Ends at the share, at to_s, or where water is outside; the
 * instant it ended comes back, the share done in *done. */
static int64_t plainly(const struct sample *s, double share, int64_t to_s, double *done) {
    int64_t at_s = s->from_s;
    *done = 0;
    for (; *done < share && at_s < to_s; at_s++) {
        double mdegc = real_mdegc(s->water, (double)at_s + 0.5);
        if (outside(mdegc))
            return at_s;
        *done += 1 / (S_PER_H * real_hours(s->table, mdegc));
    }
    return at_s;
}

static const double shares[] = {1.0, 1.2, 1.5, 1.65, 2.0};

static double share_of(uint64_t seed) {
    return shares[seed % (sizeof shares / sizeof shares[0])];
}

static void reach_agrees_with_one_second_steps(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT; seed++) {
        make(&s, seed, 20000, 30000);
        double done, share = share_of(seed);
        int64_t wanted_s = plainly(&s, share, INT64_MAX, &done);
        struct progress got = progress_reach(s.table, s.water, s.from_s, share);
        if (got.status != PROGRESS_OK || llabs(got.at_s - wanted_s) > 2)
            fail_msg("seed %llu: got status %d %lld s, wanted %lld s after the start",
                     (unsigned long long)seed, (int)got.status, (long long)(got.at_s - s.from_s),
                     (long long)(wanted_s - s.from_s));
    }
}

static void share_agrees_with_one_second_steps(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT; seed++) {
        make(&s, seed + 5000, 20000, 30000);
        int64_t to_s = s.from_s + draw_between(1, 40 * S_PER_H);
        double wanted;
        plainly(&s, 1e9, to_s, &wanted);
        enum progress_status status;
        double got = progress_share(s.table, s.water, s.from_s, to_s, &status);
        if (status != PROGRESS_OK || fabs(got - wanted) > 1e-6)
            fail_msg("seed %llu: got status %d share %.9f, wanted %.9f", (unsigned long long)seed,
                     (int)status, got, wanted);
    }
}

static void water_outside_is_found_where_it_leaves(void **state) {
    (void)state;
    struct sample s;
    int left = 0;
    for (uint64_t seed = 1; seed <= SERIES_COUNT; seed++) {
        make(&s, seed + 10000, 17000, 33000);
        double done, share = share_of(seed);
        int64_t wanted_s = plainly(&s, share, INT64_MAX, &done);
        struct progress got = progress_reach(s.table, s.water, s.from_s, share);
        bool wanted_left = done < share;
        left += wanted_left;
        int64_t got_s = wanted_left ? got.outside_s : got.at_s;
        if ((got.status != PROGRESS_OK) != wanted_left || llabs(got_s - wanted_s) > 2)
            fail_msg("seed %llu: got status %d %lld s, wanted %s %lld s after the start",
                     (unsigned long long)seed, (int)got.status, (long long)(got_s - s.from_s),
                     wanted_left ? "outside" : "reached", (long long)(wanted_s - s.from_s));
        if (wanted_left) {
            bool cold = real_mdegc(s.water, (double)wanted_s + 0.5) < 20000;
            assert_int_equal(got.status, cold ? PROGRESS_COLD : PROGRESS_WARM);
            if (!outside((double)got.outside_mdegc) || (got.outside_mdegc < 20000) != cold)
                fail_msg("seed %llu: got %lld as the temperature outside, wanted one %s",
                         (unsigned long long)seed, (long long)got.outside_mdegc,
                         cold ? "under 20000" : "over 30000");
        }
    }
    /* The samples are of both kinds, else this shows little. */
    assert_in_range(left, SERIES_COUNT / 10, SERIES_COUNT * 9 / 10);
}

static void warmer_is_never_later(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT * 25; seed++) {
        make(&s, seed + 20000, 20000, 29000);
        double share = share_of(seed);
        struct progress cool = progress_reach(s.table, s.water, s.from_s, share);
        int only = (int)draw((uint64_t)s.water.count); /* one reading, or all, a little warmer */
        bool all = draw(2) == 1;
        for (int i = 0; i < s.water.count; i++)
            if (all || i == only)
                s.readings[i].mdegc += draw_between(0, 1000);
        struct progress warm = progress_reach(s.table, s.water, s.from_s, share);
        if (cool.status != PROGRESS_OK || warm.status != PROGRESS_OK || warm.at_s > cool.at_s)
            fail_msg("seed %llu: got %lld s when warmer, wanted at most %lld s",
                     (unsigned long long)seed, (long long)(warm.at_s - s.from_s),
                     (long long)(cool.at_s - s.from_s));
    }
}

static void reading_on_the_line_changes_nothing(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT * 25; seed++) {
        make(&s, seed + 70000, 20000, 30000);
        double share = share_of(seed);
        struct progress before = progress_reach(s.table, s.water, s.from_s, share);
        int64_t first_s = s.readings[0].at_s, last_s = s.readings[s.water.count - 1].at_s;
        int64_t at_s = draw_between(first_s - 7200, last_s + 7200);
        int place = water_count_until(s.water, at_s);
        if (place > 0 && s.readings[place - 1].at_s == at_s)
            continue;
        int64_t mdegc = water_at_mdegc(s.water, at_s);
        for (int i = s.water.count; i > place; i--)
            s.readings[i] = s.readings[i - 1];
        s.readings[place] = (struct water_reading){at_s, mdegc};
        s.water.count++;
        struct progress after = progress_reach(s.table, s.water, s.from_s, share);
        if (after.status != before.status || llabs(after.at_s - before.at_s) > 60)
            fail_msg("seed %llu: got %lld s, wanted %lld s within a minute",
                     (unsigned long long)seed, (long long)(after.at_s - s.from_s),
                     (long long)(before.at_s - s.from_s));
    }
}

static void start_turns_reach_round(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT * 25; seed++) {
        make(&s, seed + 120000, 20000, 30000);
        double share = share_of(seed);
        struct progress there = progress_reach(s.table, s.water, s.from_s, share);
        struct progress back = progress_start(s.table, s.water, there.at_s, share);
        /* Both round down, and a second at the warm end is up to three at the cold one. */
        if (back.status != PROGRESS_OK || back.at_s > s.from_s || back.at_s < s.from_s - 5)
            fail_msg("seed %llu: got status %d %lld s from the start, wanted -5..0",
                     (unsigned long long)seed, (int)back.status, (long long)(back.at_s - s.from_s));
        struct progress again = progress_reach(s.table, s.water, back.at_s, share);
        if (llabs(again.at_s - there.at_s) > 5)
            fail_msg("seed %llu: got %lld s from the end, wanted at most 5",
                     (unsigned long long)seed, (long long)(again.at_s - there.at_s));
    }
}

static void shares_add_up(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT * 25; seed++) {
        make(&s, seed + 170000, 20000, 30000);
        int64_t middle_s = s.from_s + draw_between(0, 60 * S_PER_H);
        int64_t to_s = middle_s + draw_between(0, 60 * S_PER_H);
        enum progress_status a, b, c;
        double parts = progress_share(s.table, s.water, s.from_s, middle_s, &a) +
                       progress_share(s.table, s.water, middle_s, to_s, &b);
        double all = progress_share(s.table, s.water, s.from_s, to_s, &c);
        if (a || b || c || fabs(parts - all) > 1e-9)
            fail_msg("seed %llu: got %.12f in two parts, wanted %.12f", (unsigned long long)seed,
                     parts, all);
    }
}

static void share_at_the_instant_reached_is_the_share(void **state) {
    (void)state;
    struct sample s;
    for (uint64_t seed = 1; seed <= SERIES_COUNT * 25; seed++) {
        make(&s, seed + 220000, 20000, 30000);
        double share = share_of(seed);
        struct progress p = progress_reach(s.table, s.water, s.from_s, share);
        enum progress_status status;
        double now = progress_share(s.table, s.water, s.from_s, p.at_s, &status);
        double next = progress_share(s.table, s.water, s.from_s, p.at_s + 1, &status);
        if (!(now <= share + 1e-9 && next > share - 1e-9))
            fail_msg("seed %llu: got %.12f, a second later %.12f, wanted %.3f between",
                     (unsigned long long)seed, now, next, share);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reach_agrees_with_one_second_steps),
        cmocka_unit_test(share_agrees_with_one_second_steps),
        cmocka_unit_test(water_outside_is_found_where_it_leaves),
        cmocka_unit_test(warmer_is_never_later),
        cmocka_unit_test(reading_on_the_line_changes_nothing),
        cmocka_unit_test(start_turns_reach_round),
        cmocka_unit_test(shares_add_up),
        cmocka_unit_test(share_at_the_instant_reached_is_the_share),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
