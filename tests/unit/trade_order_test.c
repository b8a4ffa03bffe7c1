/* Orders reckoned back and forth: the days and numbers of the two-week route by hand, what is
 * refused, that the plan forward from the plan back gives at least the order, and that more never
 * promises less. How often promises hold is in trade_promise_test.c. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <cmocka.h>

#include "base/zone.h"
#include "trade/book.h"
#include "trade/nursery.h"
#include "trade/order.h"
#include "trade_draw.h"

static const struct learn_when any = {LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
static struct order_odds book_odds; /* the book's, made once */

static struct order_rates rates_at(struct learn_when when) {
    return (struct order_rates){
        learn_rate(LEARN_EGGS, NULL, 0, when), learn_rate(LEARN_HATCH, NULL, 0, when),
        learn_rate(LEARN_SURVIVE, NULL, 0, when), learn_rate(LEARN_NURSERY, NULL, 0, when)};
}

static int make_odds(void **state) {
    (void)state;
    struct order_rates rates = rates_at(any);
    order_odds_make(&book_odds, &rates);
    return 0;
}

static struct learn_rate book_tgc(void) {
    return learn_rate(LEARN_TGC, NULL, 0, any);
}

static struct order_days days_of(struct order_want want, struct order_now now) {
    struct learn_rate tgc = book_tgc();
    return order_days(&want, &tgc, now);
}

/* -- days -------------------------------------------------------------------------------------- */

static void days_by_hand(void **state) {
    (void)state;
    /* 14 March 2027: stocked 12 February, half hatched 29 January, stripped the day before at six,
     * injected at 18:00 of the evening before that at 24 degC (12 h), 29 h to the hatch; the pond
     * from 22 January with lime. */
    struct order_want want = {5000, 2000, zone_days(2027, 3, 14), 24000, 26000};
    struct order_days d = days_of(want, (struct order_now){zone_days(2026, 12, 1), 0});
    wants("reason", 0, d.reason, ORDER_OK);
    wants("pond days", 0, d.pond_days.middle, 30);
    wants("stocked", 0, d.stock_day, zone_days(2027, 2, 12));
    wants("half hatched", 0, d.hatch_day, zone_days(2027, 1, 29));
    wants("half hatched at", 0, d.hatch_min, 11 * 60);
    wants("stripped", 0, d.strip_day, zone_days(2027, 1, 28));
    wants("stripped at", 0, d.strip_min, 6 * 60);
    wants("injected", 0, d.inject_day, zone_days(2027, 1, 27));
    wants("injected at", 0, d.inject_min, 18 * 60);
    wants("prepared", 0, d.prepare_day, zone_days(2027, 1, 22));
    wants("prepared, short", 0, d.prepare_short_day, zone_days(2027, 2, 2));
    assert_false(d.short_form);
}

/* Warmer by degrees: 57 h and 20 h to the hatch, 21 h and 7 h from injection to look. */
static void days_by_water(void **state) {
    (void)state;
    static const struct {
        int64_t mdegc, strip_back, inject_back;
        int inject_min, hatch_min;
    } rows[] = {
        {20000, 46, 47, 9 * 60, 15 * 60}, {22000, 45, 46, 14 * 60 + 30, 20 * 60},
        {26000, 45, 46, 20 * 60, 7 * 60}, {28000, 45, 46, 22 * 60, 4 * 60},
        {30000, 45, 46, 23 * 60, 2 * 60},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct order_want want = {1, 2000, 20500, rows[i].mdegc, 26000};
        struct order_days d = days_of(want, (struct order_now){20000, 0});
        wants("half hatched", rows[i].mdegc, 20500 - d.hatch_day, 44);
        wants("half hatched at", rows[i].mdegc, d.hatch_min, rows[i].hatch_min);
        wants("stripped", rows[i].mdegc, 20500 - d.strip_day, rows[i].strip_back);
        wants("injected", rows[i].mdegc, 20500 - d.inject_day, rows[i].inject_back);
        wants("injected at", rows[i].mdegc, d.inject_min, rows[i].inject_min);
    }
}

static void what_cannot_be_is_refused(void **state) {
    (void)state;
    static const struct {
        struct order_want want;
        enum order_reason reason;
    } rows[] = {
        {{0, 2000, 20500, 26000, 26000}, ORDER_COUNT},
        {{-5, 2000, 20500, 26000, 26000}, ORDER_COUNT},
        {{5000000, 2000, 20500, 26000, 26000}, ORDER_COUNT},
        {{INT64_MAX, 2000, 20500, 26000, 26000}, ORDER_COUNT},
        {{5000, 99, 20500, 26000, 26000}, ORDER_SMALL},
        {{5000, INT64_MIN, 20500, 26000, 26000}, ORDER_SMALL},
        {{5000, 50001, 20500, 26000, 26000}, ORDER_LARGE},
        {{5000, INT64_MAX, 20500, 26000, 26000}, ORDER_LARGE},
        {{5000, 2000, 19999, 26000, 26000}, ORDER_LATE}, /* yesterday */
        {{5000, 2000, 20045, 26000, 26000}, ORDER_LATE}, /* a day too soon */
        {{5000, 2000, 20046, 26000, 26000}, ORDER_OK},   /* tonight at 20:00 */
        {{5000, 2000, 20500, 19999, 26000}, ORDER_WATER},
        {{5000, 2000, 20500, 30001, 26000}, ORDER_WATER},
        {{5000, 2000, 20500, LEARN_WATER_UNKNOWN, 26000}, ORDER_WATER},
        {{5000, 2000, 20500, 26000, LEARN_WATER_UNKNOWN}, ORDER_OK}, /* does not count at 2 g */
        {{5000, 10000, 20500, 26000, LEARN_WATER_UNKNOWN}, ORDER_WATER},
        {{5000, 10000, 20500, 26000, 0}, ORDER_LARGE}, /* never, in ice */
        {{5000, 2000, INT64_MAX, 26000, 26000}, ORDER_DAY},
        {{5000, 2000, -1, 26000, 26000}, ORDER_DAY},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        wants("row", (int64_t)i, days_of(rows[i].want, (struct order_now){20000, 720}).reason,
              rows[i].reason);
    /* At 20:01 it is too late for tonight. */
    struct order_want want = {5000, 2000, 20046, 26000, 26000};
    wants("20:01", 0, days_of(want, (struct order_now){20000, 20 * 60 + 1}).reason, ORDER_LATE);
}

static void first_day_is_the_first(void **state) {
    (void)state;
    uint64_t seed = 5;
    struct learn_rate tgc = book_tgc();
    for (int i = 0; i < 500; i++) {
        struct order_want want = {100, 100 + (int64_t)(draw_bits(&seed) % 20000), 0,
                                  20000 + (int64_t)(draw_bits(&seed) % 10001), 26000};
        struct order_now now = {20000, (int)(draw_bits(&seed) % 1440)};
        want.day = order_first_day(&want, &tgc, now);
        wants("on the first day", i, order_days(&want, &tgc, now).reason, ORDER_OK);
        want.day--;
        wants("the day before", i, order_days(&want, &tgc, now).reason, ORDER_LATE);
    }
    struct order_want none = {100, 99, 0, 26000, 26000};
    wants("no such size", 0, order_first_day(&none, &tgc, (struct order_now){20000, 0}), -1);
}

static void larger_fish_take_longer(void **state) {
    (void)state;
    struct order_range before = {-1, -1, -1};
    for (int64_t size_mg = 100; size_mg <= 50000; size_mg += 100) {
        struct order_want want = {100, size_mg, 21000, 26000, 26000};
        struct order_range now = days_of(want, (struct order_now){20000, 0}).pond_days;
        wants_no_less("days", size_mg, now.middle, before.middle);
        wants_no_less("days, quick", size_mg, now.low, before.low);
        wants_no_less("days, slow", size_mg, now.high, before.high);
        wants_no_less("slow over middle", size_mg, now.high, now.middle);
        wants_no_less("middle over quick", size_mg, now.middle, now.low);
        if (size_mg == 100)
            wants("fry of two weeks", size_mg, now.high, 0);
        if (size_mg == 2000)
            wants("2 g", size_mg, now.middle, 30);
        /* 2 to 10 g at 26 degC and TGC 1.16: 1000 (2.15443 - 1.25992) / 26 / 1.16 = 29.66 days. */
        if (size_mg == 10000)
            wants("10 g", size_mg, now.middle, 60);
        before = now;
    }
}

static void fry_of_two_weeks_need_no_pond(void **state) {
    (void)state;
    struct order_want want = {100, 100, 20500, 26000, 26000};
    struct order_days d = days_of(want, (struct order_now){20000, 0});
    wants("stocked", 0, d.stock_day, 20500);
    wants("half hatched", 0, d.hatch_day, 20486);
    wants("prepared", 0, d.prepare_day, 20500);
    assert_false(d.short_form);
    struct order_need with = order_need(&book_odds, 6000, true);
    struct order_need without = order_need(&book_odds, 6000, false);
    wants("fry", 0, without.fry, 6000);
    wants("fry, with a pond", 0, with.fry, 12000);
    wants("area", 0, without.middle_area_cm2 + without.promise_area_cm2, 0);
}

/* -- numbers ----------------------------------------------------------------------------------- */

static void more_needs_more(void **state) {
    (void)state;
    struct order_need before = {0};
    for (int64_t fish = 1; fish <= 200000; fish += 1 + fish / 7) {
        struct order_need need = order_need(&book_odds, fish, true);
        wants("reason", fish, need.reason, ORDER_OK);
        wants_no_less("fry", fish, need.fry, before.fry);
        wants_no_less("eggs", fish, need.eggs, before.eggs);
        wants_no_less("kg", fish, need.middle_mg, before.middle_mg);
        if (need.females == 0)
            break;
        wants_no_less("females", fish, need.females, before.females);
        wants_no_less("two at least", fish, need.females, 2);
        wants_no_less("none over 1 kg", fish, 1000000, need.promise_mg / need.females);
        wants_no_less("promise over middle", fish, need.promise_mg, need.middle_mg);
        before = need;
    }
    if (before.females < 10)
        fail_msg("got %d females for the largest order, wanted 10 or more", before.females);
    wants("nothing", 0, order_need(&book_odds, 0, true).reason, ORDER_COUNT);
    wants("too many", 0, order_need(&book_odds, 1000001, true).reason, ORDER_COUNT);
    wants("a million is more than 32 kg give", 0, order_need(&book_odds, 1000000, true).females, 0);
}

/* Forward from what the plan back asks for: at least the order, and no more than a hundredth over,
 * also after learning. */
static void forward_from_back_gives_the_order(void **state) {
    static struct order_odds odds;
    (void)state;
    uint64_t seed = 77;
    for (int round = 0; round < 60; round++) {
        struct learn_run runs[4][6];
        struct order_rates r;
        struct learn_rate *rates[] = {&r.eggs, &r.hatch, &r.survive, &r.nursery};
        int count = (int)(draw_bits(&seed) % 7);
        for (int k = 0; k < 4; k++) {
            for (int i = 0; i < count; i++)
                runs[k][i] =
                    (struct learn_run){k == 0 ? 20000 + (int64_t)(draw_bits(&seed) % 60000)
                                              : 200000 + (int64_t)(draw_bits(&seed) % 700000),
                                       LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
            *rates[k] = learn_rate((enum learn_kind)k, runs[k], count, any);
        }
        order_odds_make(&odds, &r);
        for (int pond = 0; pond < 2; pond++) {
            int64_t fish = 500 + (int64_t)(draw_bits(&seed) % 8000);
            struct order_need need = order_need(&odds, fish, pond);
            struct order_part parts[ORDER_PARTS_MAX];
            for (int i = 0; i < need.females; i++)
                parts[i] = (struct order_part){ORDER_FEMALE, need.promise_mg / need.females};
            if (need.females == 0)
                fail_msg("round %d: no females for %lld", round, (long long)fish);
            int64_t room = pond ? nursery_most(need.promise_area_cm2, 1000) : ORDER_NO_LIMIT;
            struct order_outlook o = order_outlook(&odds, parts, need.females, room, pond);
            wants_no_less("promised forward", fish, o.promise, fish);
            wants_no_less("no more than asked", fish, fish + fish / 100 + 2, o.promise);
            wants_no_less("high over promise", fish, o.high, o.promise);
        }
    }
}

static void draw_females(uint64_t *seed, struct order_part *parts, int count) {
    for (int i = 0; i < count; i++)
        parts[i] = (struct order_part){ORDER_FEMALE, 300000 + (int64_t)(draw_bits(seed) % 1700000)};
}

static void more_never_promises_less(void **state) {
    (void)state;
    uint64_t seed = 3;
    for (int round = 0; round < 400; round++) {
        struct order_part parts[9];
        int count = 1 + (int)(draw_bits(&seed) % 7);
        draw_females(&seed, parts, 9);
        int64_t room = draw_bits(&seed) % 2 ? (int64_t)(draw_bits(&seed) % 60000) : ORDER_NO_LIMIT;
        int64_t promise = order_outlook(&book_odds, parts, count, room, true).promise;
        int64_t more = order_outlook(&book_odds, parts, count + 1, room, true).promise;
        wants_no_less("one more female", round, more, promise);
        if (room >= 0) {
            struct order_outlook held = order_outlook(&book_odds, parts, 7, room, true);
            wants_no_less("no more than the room", round, room, held.high);
            wants_no_less("no more fry than the room", round, room, held.fry);
            more = order_outlook(&book_odds, parts, count, room + 1000, true).promise;
            wants_no_less("more room", round, more, promise);
            more = order_outlook(&book_odds, parts, count, ORDER_NO_LIMIT, true).promise;
            wants_no_less("all room", round, more, promise);
        }
        int which = (int)(draw_bits(&seed) % (uint64_t)count);
        parts[which].amount += 100000;
        more = order_outlook(&book_odds, parts, count, room, true).promise;
        wants_no_less("a heavier female", round, more, promise);
        assert_true(order_promises(&book_odds, parts, count, room, true, more));
        assert_false(order_promises(&book_odds, parts, count, room, true, more + 1));
        /* Which is named first says nothing. */
        struct order_part kept = parts[0];
        parts[0] = parts[count - 1];
        parts[count - 1] = kept;
        wants("turned round", round, order_outlook(&book_odds, parts, count, room, true).promise,
              more);
    }
}

/* What is counted on the way: each later stage is surer. The middle follows the chain exactly. */
static void counts_on_the_way(void **state) {
    (void)state;
    static const struct {
        enum order_stage stage;
        int64_t amount, middle;
    } rows[] = {
        {ORDER_FEMALE, 1000000, 7500}, {ORDER_EGGS, 50000, 7500}, {ORDER_LARVAE, 25000, 7500},
        {ORDER_FRY, 15000, 7500},      {ORDER_FISH, 7500, 7500},
    };
    int64_t before = -1;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct order_part part = {rows[i].stage, rows[i].amount};
        struct order_outlook o = order_outlook(&book_odds, &part, 1, ORDER_NO_LIMIT, true);
        wants("middle", (int64_t)i, o.middle, rows[i].middle);
        wants_no_less("surer", (int64_t)i, o.promise, before + 1);
        before = o.promise;
    }
    wants("fish at hand", 0, before, 7500);
    struct order_part all[] = {{ORDER_FISH, 100}, {ORDER_FRY, 200}, {ORDER_EGGS, 1000}};
    struct order_outlook o = order_outlook(&book_odds, all, 3, ORDER_NO_LIMIT, true);
    wants("together", 0, o.middle, 100 + 100 + 150); /* 1000 x 0.5 x 0.6 x 0.5 */
    wants("fry together", 0, o.fry, 500);
    wants_no_less("the fish at least", 0, o.promise, 100);
    o = order_outlook(&book_odds, all, 3, 300, true);
    wants("held by the room", 0, o.middle, 100 + 150);
    struct order_part bad = {ORDER_EGGS, -1};
    wants("under 0", 0, order_outlook(&book_odds, &bad, 1, 0, true).reason, ORDER_IMPOSSIBLE);
    wants("nothing", 0, order_outlook(&book_odds, &bad, 0, 0, true).reason, ORDER_IMPOSSIBLE);
    bad = (struct order_part){ORDER_FEMALE, INT64_MAX};
    wants("no fish", 0, order_outlook(&book_odds, &bad, 1, 0, true).reason, ORDER_IMPOSSIBLE);
}

static void lean_times_promise_less(void **state) {
    static struct order_odds lean;
    (void)state;
    struct order_rates rates = rates_at((struct learn_when){21000, LEARN_SEASON_UNKNOWN});
    order_odds_make(&lean, &rates);
    struct order_part two[] = {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}};
    int64_t usual = order_outlook(&book_odds, two, 2, ORDER_NO_LIMIT, true).promise;
    struct order_outlook o = order_outlook(&lean, two, 2, ORDER_NO_LIMIT, true);
    /* 2 kg x 8000 x 0.28 x 0.6 x 0.5 */
    wants("middle", 0, o.middle, 1344);
    wants_no_less("less than usual", 0, usual, 3 * o.promise);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_by_hand),
        cmocka_unit_test(days_by_water),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(first_day_is_the_first),
        cmocka_unit_test(larger_fish_take_longer),
        cmocka_unit_test(fry_of_two_weeks_need_no_pond),
        cmocka_unit_test(more_needs_more),
        cmocka_unit_test(forward_from_back_gives_the_order),
        cmocka_unit_test(more_never_promises_less),
        cmocka_unit_test(counts_on_the_way),
        cmocka_unit_test(lean_times_promise_less),
    };
    return cmocka_run_group_tests(tests, make_odds, NULL);
}
