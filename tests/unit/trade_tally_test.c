/* The tally of larvae: what stands after parts were moved, died or were counted, by hand and by the
 * laws of its header. The book's shares at two weeks are 0.05, 0.6 and 0.95. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/tally.h"
#include "trade_draw.h"

enum { ROUNDS = 4000, EVENTS_MOST = 8, DAY_H = 24, WEEKS_H = 14 * DAY_H };

enum what { NOTHING, TAKE, DIE, COUNT };

struct event {
    enum what what;
    int64_t age_h, count;
};

static void put(struct tally *t, struct event e) {
    tally_pass(t, e.age_h);
    if (e.what == TAKE)
        tally_take(t, e.count);
    else if (e.what == DIE)
        tally_die(t, e.count);
    else if (e.what == COUNT)
        tally_count(t, e.count);
}

static struct tally all_of(struct larvae_range hatched, const struct event *events, int count) {
    struct tally t = tally_begin(hatched);
    for (int i = 0; i < count; i++)
        put(&t, events[i]);
    return t;
}

static void wants_range(const char *what, int64_t at, struct larvae_range got, int64_t low,
                        int64_t middle, int64_t high) {
    if (got.low != low || got.middle != middle || got.high != high)
        fail_msg("%s, %lld: got %lld, %lld, %lld, wanted %lld, %lld, %lld", what, (long long)at,
                 (long long)got.low, (long long)got.middle, (long long)got.high, (long long)low,
                 (long long)middle, (long long)high);
}

/* -- by hand -------------------------------------------------------------------------------------
 */

/* In exact fractions. Shares alive at day 3: 1 - 3/14 (1 - s) = 0.796429, 0.914286, 0.989286; at
 * day 7: 0.525, 0.8, 0.975. What is left at day 14 is the count times 0.05, 0.6 or 0.95 over the
 * share at its age. */
static const struct {
    const char *what;
    int64_t hatched;
    struct event events[4];
    int64_t age_h, low, middle, high;
} table[] = {
    {"untouched", 50000, {{0}}, WEEKS_H, 2500, 30000, 47500},
    {"at the hatch", 50000, {{0}}, 0, 50000, 50000, 50000},
    /* (39821 - 35000) x 0.05 / 0.796429, (45714 - 35000) x 0.6 / 0.914286, ... */
    {"most moved on day 3", 50000, {{TAKE, 72, 35000}}, WEEKS_H, 303, 7031, 13890},
    {"then", 50000, {{TAKE, 72, 35000}}, 72, 4821, 10714, 14464},
    {"moved at the hatch", 50000, {{TAKE, 0, 35000}}, WEEKS_H, 750, 9000, 14250},
    {"all moved", 50000, {{TAKE, 72, 50000}}, WEEKS_H, 0, 0, 0},
    {"twice", 50000, {{TAKE, 72, 20000}, {TAKE, 168, 5000}}, 168, 8066, 17500, 24039},
    {"nothing taken", 50000, {{TAKE, 72, 0}, {DIE, 72, 0}}, WEEKS_H, 2500, 30000, 47500},
    /* of the last day 2714, 1429 and 179 are lost by the lines */
    {"few dead", 50000, {{DIE, 72, 500}}, 72, 39821, 45714, 49143},
    {"few dead, later", 50000, {{DIE, 72, 500}}, WEEKS_H, 2500, 30000, 47191},
    {"more dead", 50000, {{DIE, 72, 1000}}, 72, 39821, 45714, 48643},
    {"a disaster", 50000, {{DIE, 72, 30000}}, 72, 13214, 17143, 19643},
    {"after it", 50000, {{DIE, 72, 30000}}, WEEKS_H, 830, 11250, 18863},
    {"dead at the hatch", 50000, {{DIE, 0, 2000}}, 0, 48000, 48000, 48000},
    {"dead twice", 50000, {{DIE, 72, 3000}, {DIE, 168, 3000}}, 168, 26250, 37004, 43138},
    {"one morning", 50000, {{DIE, 72, 1000}, {DIE, 73, 1000}}, 73, 39680, 45143, 47643},
    {"day by day",
     50000,
     {{DIE, 72, 1400}, {DIE, 96, 1400}, {DIE, 120, 1400}},
     120,
     33036,
     42857,
     45443},
    {"all dead", 50000, {{DIE, 72, 60000}}, 72, 0, 0, 0},
    {"moved, then dead", 50000, {{TAKE, 72, 35000}, {DIE, 168, 12000}}, 168, 0, 0, 2308},
    {"moved, few dead", 50000, {{TAKE, 72, 35000}, {DIE, 168, 250}}, 168, 3178, 9375, 14058},
    {"counted", 50000, {{COUNT, 168, 20000}}, 168, 20000, 20000, 20000},
    {"counted at a week", 50000, {{COUNT, 168, 20000}}, WEEKS_H, 1905, 15000, 19487},
    {"more than thought", 1000, {{TAKE, 72, 1000}, {COUNT, 168, 8000}}, WEEKS_H, 762, 6000, 7795},
    {"none counted", 50000, {{COUNT, 168, 0}}, WEEKS_H, 0, 0, 0},
    {"after two weeks", 50000, {{COUNT, 400, 9000}, {TAKE, 410, 1000}}, 9999, 8000, 8000, 8000},
};

static void stands_in_a_table(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        int64_t n = table[i].hatched;
        struct tally t = all_of((struct larvae_range){n, n, n}, table[i].events, 4);
        tally_pass(&t, table[i].age_h);
        wants_range(table[i].what, table[i].age_h, tally_alive(&t), table[i].low, table[i].middle,
                    table[i].high);
    }
}

static void most_in_a_table(void **state) {
    (void)state;
    const struct event events[] = {{TAKE, 72, 35000}, {DIE, 100, 4000}};
    struct tally t = all_of((struct larvae_range){30000, 50000, 60000}, events, 2);
    wants_range("most", 100, tally_most(&t), 0, 11000, 21000);
    tally_count(&t, 700);
    wants_range("counted", 100, tally_most(&t), 700, 700, 700);
    wants_range("out of sense", 0, tally_most(&(struct tally){.age_h = 0}), 0, 0, 0);
    t = tally_begin((struct larvae_range){-1, INT64_MAX, INT64_MAX});
    tally_pass(&t, -5);
    wants_range("out of sense", -1, tally_alive(&t), 0, INT64_C(1000000000000),
                INT64_C(1000000000000));
}

/* -- laws ----------------------------------------------------------------------------------------
 */

static int draw_events(uint64_t *seed, int64_t most, struct event *events) {
    int count = (int)(draw_bits(seed) % EVENTS_MOST);
    int64_t age_h = 0;
    for (int i = 0; i < count; i++) {
        age_h += (int64_t)(draw_bits(seed) % 100);
        events[i] =
            (struct event){(enum what)(draw_bits(seed) % 4), age_h, draw_up_to(seed, most) - 1};
    }
    return count;
}

static void sound(const struct tally *t, uint64_t round) {
    struct larvae_range a = tally_alive(t), m = tally_most(t);
    if (a.low < 0 || a.low > a.middle || a.middle > a.high || a.low > m.low ||
        a.middle > m.middle || a.high > m.high)
        fail_msg("round %llu: %lld %lld %lld of at most %lld %lld %lld", (unsigned long long)round,
                 (long long)a.low, (long long)a.middle, (long long)a.high, (long long)m.low,
                 (long long)m.middle, (long long)m.high);
}

static struct larvae_range draw_hatched(uint64_t *seed) {
    int64_t n[3];
    for (int i = 0; i < 3; i++)
        n[i] = (i ? n[i - 1] : 0) + (draw_bits(seed) % 3 ? draw_up_to(seed, 100000) : 0);
    return (struct larvae_range){n[0], n[1], n[2]};
}

static void left_alone_as_the_book(void **state) {
    (void)state;
    uint64_t seed = 81;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t n = draw_up_to(&seed, 5000000), at = draw_up_to(&seed, WEEKS_H * 2);
        struct tally t = tally_begin((struct larvae_range){n, n, n});
        for (int k = 0; k < 5; k++) /* looks on the way change nothing */
            tally_pass(&t, (int64_t)(draw_bits(&seed) % (uint64_t)at));
        tally_pass(&t, at);
        struct larvae_range want = larvae_at(n, at);
        wants_range("alone", n, tally_alive(&t), want.low, want.middle, want.high);
        wants_range("most", n, tally_most(&t), n, n, n);
    }
}

/* More taken out or dead at one of the events never leaves more, by any line, at any later age. */
static void more_never_leaves_more(void **state) {
    (void)state;
    uint64_t seed = 82;
    for (uint64_t i = 0; i < ROUNDS; i++) {
        struct event events[EVENTS_MOST];
        struct larvae_range hatched = draw_hatched(&seed);
        int count = draw_events(&seed, hatched.high + 10, events);
        int at = count ? (int)(draw_bits(&seed) % (uint64_t)count) : 0;
        struct tally less = tally_begin(hatched), more = less;
        for (int k = 0; k < count; k++) {
            struct event e = events[k];
            put(&less, e);
            if (k == at && (e.what == TAKE || e.what == DIE))
                e.count += draw_up_to(&seed, 5000);
            put(&more, e);
            sound(&less, i);
            sound(&more, i);
            struct larvae_range a = tally_alive(&less), b = tally_alive(&more);
            struct larvae_range m = tally_most(&less), n = tally_most(&more);
            assert_true(b.low <= a.low && b.middle <= a.middle && b.high <= a.high);
            assert_true(n.low <= m.low && n.middle <= m.middle && n.high <= m.high);
        }
    }
}

/* Time alone never adds, what was taken is gone whatever the book says, and a death never takes
 * more off than it is. */
static void steps_are_sound(void **state) {
    (void)state;
    uint64_t seed = 83;
    for (uint64_t i = 0; i < ROUNDS; i++) {
        struct event events[EVENTS_MOST];
        struct larvae_range hatched = draw_hatched(&seed);
        int count = draw_events(&seed, hatched.high + 10, events);
        struct tally t = tally_begin(hatched);
        for (int k = 0; k < count; k++) {
            struct larvae_range before = tally_alive(&t);
            tally_pass(&t, events[k].age_h);
            struct larvae_range then = tally_alive(&t);
            assert_true(then.low <= before.low && then.middle <= before.middle &&
                        then.high <= before.high);
            put(&t, events[k]);
            struct larvae_range after = tally_alive(&t);
            int64_t n = events[k].count;
            int64_t off = then.middle - after.middle;
            if (events[k].what == TAKE)
                wants("taken", (int64_t)i, after.middle, then.middle > n ? then.middle - n : 0);
            else if (events[k].what == DIE && (off < 0 || off > n + 1))
                fail_msg("round %llu: %lld died, %lld came off", (unsigned long long)i,
                         (long long)n, (long long)off);
            else if (events[k].what == COUNT)
                wants_range("counted", (int64_t)i, after, n, n, n);
            sound(&t, i);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stands_in_a_table),      cmocka_unit_test(most_in_a_table),
        cmocka_unit_test(left_alone_as_the_book), cmocka_unit_test(more_never_leaves_more),
        cmocka_unit_test(steps_are_sound),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
