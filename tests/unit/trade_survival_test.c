/* How many of a pond's fish are thought alive: the published shares, and laws over random walks. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "trade_draw.h"

#include "trade/survival.h"

enum { DAY_H = 24, WALKS = 2000 };

static int64_t draw_between(uint64_t *seed, int64_t low, int64_t high) {
    return low + (int64_t)(draw_bits(seed) % (uint64_t)(high - low + 1));
}

static void published(void **state) {
    (void)state;
    static const struct {
        const char *name;
        enum survival_kind kind;
        int64_t days, low, middle, high;
    } cases[] = {
        /* half of the fry after a month in the nursery, from memory */
        {"fry", SURVIVAL_FRY, 30, 250000, 500000, 750000},
        {"fry, half way", SURVIVAL_FRY, 15, 625000, 750000, 875000},
        /* de Graaf, Galemoni and Banzoussi 1995: of 100 larvae/m2, 32.3 +- 3.3 after 40 days in
         * fenced ponds, 5.0 +- 2.9 in open ones */
        {"larvae, fenced", SURVIVAL_FENCED, 40, 290000, 323000, 356000},
        {"larvae, open", SURVIVAL_OPEN, 40, 21000, 50000, 79000},
        /* the book's own 85 % in half a year, 70 to 95 */
        {"fingerlings", SURVIVAL_GROWN, 180, 700000, 850000, 950000},
        {"long after", SURVIVAL_GROWN, 720, 700000, 850000, 950000},
        {"fry that stay", SURVIVAL_FRY, 210, 175000, 425000, 712500},
        {"nothing yet", SURVIVAL_OPEN, 0, 1000000, 1000000, 1000000},
        {"before", SURVIVAL_FRY, -9, 1000000, 1000000, 1000000},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct survival_range got = survival_after(cases[i].kind, cases[i].days * DAY_H);
        if (got.low != cases[i].low || got.middle != cases[i].middle || got.high != cases[i].high)
            fail_msg("%s: got %lld, %lld, %lld", cases[i].name, (long long)got.low,
                     (long long)got.middle, (long long)got.high);
    }
}

static void want(const char *name, const struct survival_walk *walk, int64_t days, int64_t low,
                 int64_t middle, int64_t high) {
    struct survival_range got = survival_now(walk, days * DAY_H);
    if (got.low != low || got.middle != middle || got.high != high)
        fail_msg("%s: got %lld, %lld, %lld", name, (long long)got.low, (long long)got.middle,
                 (long long)got.high);
}

/* Hand sums: 1000 fingerlings, of which 75 are lost in 90 days and 150 in 180. */
static void by_hand(void **state) {
    (void)state;
    struct survival_walk walk = survival_walk_make(SURVIVAL_GROWN, 1000);
    want("stocked", &walk, 0, 1000, 1000, 1000);
    want("half way", &walk, 90, 850, 925, 975);
    struct survival_walk seen = walk;
    survival_die(&seen, 10 * DAY_H, 60); /* fewer than are lost: part of them */
    want("deaths that were seen", &seen, 180, 700, 850, 940); /* but for the high guess */
    survival_die(&seen, 10 * DAY_H, 200);
    want("more than the usual loss", &seen, 180, 700, 740, 740);
    struct survival_walk taken = walk;
    survival_take(&taken, 90 * DAY_H, 425);
    want("taken half way", &taken, 90, 425, 500, 550);
    want("the rest goes on as before", &taken, 180, 350, 459, 536); /* 500 x .85/.925 */
    survival_count(&taken, 90 * DAY_H, 800);
    want("counted", &taken, 90, 800, 800, 800);
    survival_put(&taken, 90 * DAY_H, 200);
    want("more put in", &taken, 90, 1000, 1000, 1000);
    survival_take(&taken, 91 * DAY_H, 5000);
    want("more taken than there were", &taken, 91, 0, 0, 0);
    survival_put(&taken, 91 * DAY_H, INT64_MAX);
    survival_put(&taken, 91 * DAY_H, INT64_MAX);
    want("beyond sense", &taken, 91, 1000000000000, 1000000000000, 1000000000000);
}

struct steps {
    int count, kind[20];
    int64_t hours[20], fish[20];
};

/* The walk up to some step, with `more` added to that of the steps that takes fish out. */
static struct survival_walk walked(enum survival_kind kind, const struct steps *s, int until,
                                   int more_at, int64_t more) {
    struct survival_walk walk = survival_walk_make(kind, 5000);
    for (int i = 0; i < until; i++) {
        int64_t fish = s->fish[i] + (i == more_at ? more : 0);
        if (s->kind[i] == 0)
            survival_put(&walk, s->hours[i], fish);
        else if (s->kind[i] <= 2)
            survival_take(&walk, s->hours[i], fish);
        else if (s->kind[i] <= 4)
            survival_die(&walk, s->hours[i], fish);
        else
            survival_count(&walk, s->hours[i], fish);
    }
    return walk;
}

static void sound(struct survival_range r, uint64_t seed) {
    if (r.low < 0 || r.low > r.middle || r.middle > r.high)
        fail_msg("walk %llu: %lld, %lld, %lld", (unsigned long long)seed, (long long)r.low,
                 (long long)r.middle, (long long)r.high);
}

static void laws(void **state) {
    (void)state;
    int more_taken = 0;
    for (uint64_t seed = 1; seed <= WALKS; seed++) {
        uint64_t draws = seed;
        enum survival_kind kind = (enum survival_kind)draw_between(&draws, 0, SURVIVAL_GROWN);
        struct steps s = {.count = (int)draw_between(&draws, 1, 20)};
        int64_t hours = 0;
        for (int i = 0; i < s.count; i++) {
            hours += draw_between(&draws, 0, 600);
            s.hours[i] = hours;
            s.kind[i] = (int)draw_between(&draws, 0, 5);
            s.fish[i] = draw_between(&draws, 0, draw_between(&draws, 0, 4) ? 400 : 9000);
        }
        int at = (int)draw_between(&draws, 0, s.count - 1);
        bool takes = s.kind[at] >= 1 && s.kind[at] <= 4;
        for (int i = 0; i <= s.count; i++) {
            struct survival_walk walk = walked(kind, &s, i, -1, 0);
            struct survival_walk less = walked(kind, &s, i, takes ? at : -1, 100);
            int64_t now = i ? s.hours[i - 1] : 0;
            struct survival_range before = survival_now(&walk, now);
            sound(before, seed);
            for (int k = 1; k <= 4; k++) { /* nobody comes back to life */
                struct survival_range later = survival_now(&walk, now + k * 900);
                sound(later, seed);
                assert_true(later.low <= before.low && later.middle <= before.middle &&
                            later.high <= before.high);
                struct survival_range of_less = survival_now(&less, now + k * 900);
                assert_true(of_less.low <= later.low && of_less.middle <= later.middle &&
                            of_less.high <= later.high);
                more_taken += of_less.middle < later.middle;
                before = later;
            }
        }
    }
    assert_in_range(more_taken, WALKS, 1000000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published),
        cmocka_unit_test(by_hand),
        cmocka_unit_test(laws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
