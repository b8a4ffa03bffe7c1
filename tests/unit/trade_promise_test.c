/* Promises: farms and seasons drawn from the distributions that learn.h and order.h state, by means
 * of their own (Box and Muller 1958; Marsaglia and Tsang 2000), and how many promises hold. Before
 * learning the book speaks alone; after it, each farm has runs of its own, and is promised by them.
 * Four in five are to hold; few more, or the promise would be needlessly small. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <cmocka.h>

#include "trade_season.h"

enum { SEASONS = 40000, FARMS = 800, SEASONS_EACH = 20, RUNS_MAX = 20 };

static struct order_rates rates_of(uint64_t *seed, const struct drawn_farm *f, int runs) {
    struct learn_rate rate[LEARN_KINDS];
    struct learn_when when = {f->lean ? 21000 : LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
    for (int k = LEARN_EGGS; k <= LEARN_NURSERY; k++) {
        struct learn_run own[RUNS_MAX];
        for (int i = 0; i < runs; i++) {
            double x = draw_run(seed, f, (enum learn_kind)k) * (k == LEARN_EGGS ? 1 : 1e6);
            own[i] = (struct learn_run){(int64_t)(x + 0.5), when.mdegc, LEARN_SEASON_UNKNOWN};
        }
        rate[k] = learn_rate((enum learn_kind)k, own, runs, when);
    }
    return (struct order_rates){rate[LEARN_EGGS], rate[LEARN_HATCH], rate[LEARN_SURVIVE],
                                rate[LEARN_NURSERY]};
}

static int draw_parts(uint64_t *seed, struct order_part *parts) {
    int count = 2 + (int)(draw_bits(seed) % 4);
    for (int i = 0; i < count; i++)
        parts[i] = (struct order_part){ORDER_FEMALE, 300000 + (int64_t)(draw_bits(seed) % 1200000)};
    return count;
}

/* `with`: females of the promise, or own runs. */
static void kept_within(const char *what, int with, int kept, int of, double least, double most) {
    double share_kept = (double)kept / of;
    if (share_kept < least || share_kept > most)
        fail_msg("%s, %d: got %.4f of the promises kept, wanted %.3f to %.3f", what, with,
                 share_kept, least, most);
}

static void book_promises(bool lean) {
    static struct order_odds odds;
    uint64_t seed = 20260314;
    struct drawn_farm none = {.lean = lean};
    struct order_rates rates = rates_of(&seed, &none, 0);
    order_odds_make(&odds, &rates);
    /* One to six females, with ponds that hold all and ponds that do not. */
    for (int count = 1; count <= 6; count++) {
        struct order_part parts[6];
        for (int i = 0; i < count; i++)
            parts[i] = (struct order_part){ORDER_FEMALE, 500000 + 100000 * i};
        int64_t room = count % 2 ? ORDER_NO_LIMIT : 4000 * count;
        int64_t promise = order_outlook(&odds, parts, count, room, true).promise;
        int kept = 0;
        for (int i = 0; i < SEASONS; i++) {
            struct drawn_farm f = draw_farm(&seed, 1, lean);
            kept += draw_season(&seed, &f, parts, count, room < 0 ? INFINITY : (double)room) >=
                    (double)promise;
        }
        kept_within(lean ? "the book's promise in lean times, by females"
                         : "the book's promise by females",
                    count, kept, SEASONS, 0.8, 0.84);
    }
}

static void promises_hold_before_learning(void **state) {
    (void)state;
    book_promises(false);
}

/* Farms whose runs differ by `wild` times what the book's do, each with runs of its own. */
static void learn_and_promise(uint64_t seed, double wild, int runs, bool lean, double least,
                              double most) {
    static struct order_odds odds;
    int kept = 0;
    for (int i = 0; i < FARMS; i++) {
        struct order_part parts[6];
        struct drawn_farm f = draw_farm(&seed, wild, lean);
        struct order_rates rates = rates_of(&seed, &f, runs);
        order_odds_make(&odds, &rates);
        int count = draw_parts(&seed, parts);
        int64_t promise = order_outlook(&odds, parts, count, ORDER_NO_LIMIT, true).promise;
        for (int s = 0; s < SEASONS_EACH; s++)
            kept += draw_season(&seed, &f, parts, count, INFINITY) >= (double)promise;
    }
    kept_within("a promise by own runs", runs, kept, FARMS * SEASONS_EACH, least, most);
}

static void promises_hold_in_lean_times(void **state) {
    (void)state;
    book_promises(true);
    learn_and_promise(7, 1, 4, true, 0.8, 0.85);
}

static void promises_hold_after_learning(void **state) {
    (void)state;
    learn_and_promise(1, 1, 1, false, 0.8, 0.85);
    learn_and_promise(2, 1, 3, false, 0.8, 0.85);
    learn_and_promise(3, 1, 8, false, 0.8, 0.85);
    learn_and_promise(4, 1, RUNS_MAX, false, 0.8, 0.85);
}

/* A farm's own spread is learnt, too: wild ones are not promised too much, and steady ones not held
 * to the book's spread for ever. */
static void the_spread_is_learnt(void **state) {
    (void)state;
    learn_and_promise(5, 1.4, RUNS_MAX, false, 0.8, 0.85);
    learn_and_promise(6, 0.5, RUNS_MAX, false, 0.8, 0.88);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(promises_hold_before_learning),
        cmocka_unit_test(promises_hold_in_lean_times),
        cmocka_unit_test(promises_hold_after_learning),
        cmocka_unit_test(the_spread_is_learnt),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
