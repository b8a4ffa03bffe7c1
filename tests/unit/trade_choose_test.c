/* Choosing: against brute force over small farms, the rule of the header, several orders against
 * the same fish and ponds, and a season. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/zone.h"
#include "trade/choose.h"
#include "trade_draw.h"

enum { FEMALES = 7, PONDS = 3, BUSY = 6, TODAY = 20000 };

static const struct learn_when any = {LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
static struct order_odds odds; /* of the book, made once */

static int make_odds(void **state) {
    (void)state;
    struct order_rates rates = {
        learn_rate(LEARN_EGGS, NULL, 0, any), learn_rate(LEARN_HATCH, NULL, 0, any),
        learn_rate(LEARN_SURVIVE, NULL, 0, any), learn_rate(LEARN_NURSERY, NULL, 0, any)};
    order_odds_make(&odds, &rates);
    return 0;
}

struct yard {
    struct choose_female females[FEMALES];
    struct choose_pond ponds[PONDS];
    struct choose_busy busy[BUSY];
    struct choose_farm farm;
};

static void yard_draw(struct yard *y, uint64_t *seed) {
    for (int i = 0; i < FEMALES; i++)
        y->females[i] = (struct choose_female){200000 + 100000 * (int64_t)(draw_bits(seed) % 20),
                                               TODAY - 20 + 10 * (int64_t)(draw_bits(seed) % 12)};
    for (int i = 0; i < PONDS; i++)
        y->ponds[i] = (struct choose_pond){500000 * (int64_t)(draw_bits(seed) % 6),
                                           500 * (int64_t)(draw_bits(seed) % 4),
                                           TODAY - 20 + 10 * (int64_t)(draw_bits(seed) % 12)};
    y->farm = (struct choose_farm){y->females,
                                   1 + (int)(draw_bits(seed) % FEMALES),
                                   y->ponds,
                                   (int)(draw_bits(seed) % (PONDS + 1)),
                                   learn_rate(LEARN_TGC, NULL, 0, any),
                                   {TODAY, 0},
                                   y->busy,
                                   draw_bits(seed) % 3 ? 0 : BUSY};
    for (int i = 0; i < BUSY; i++) {
        int64_t from = TODAY + 5 * (int64_t)(draw_bits(seed) % 30);
        y->busy[i] = (struct choose_busy){i % 2, (int)(draw_bits(seed) % (i % 2 ? PONDS : FEMALES)),
                                          from, from + (int64_t)(draw_bits(seed) % 30)};
    }
}

static bool taken(const struct yard *y, bool pond, int index, int64_t from, int64_t to) {
    for (int64_t day = from; day <= to; day++)
        for (int i = 0; i < y->farm.busy_count; i++)
            if (y->busy[i].pond == pond && y->busy[i].index == index &&
                day >= y->busy[i].from_day && day <= y->busy[i].to_day)
                return true;
    return false;
}

/* What a set of females and a set of ponds promise on a day; -1 if one of them cannot serve. The
 * rules again, from the header: 0.3 to 2 kg, rested; free in time; 100 fry a m3, depth to 1 m. */
static int64_t set_promise(const struct yard *y, const struct order_days *d, int females,
                           int ponds) {
    struct order_part parts[FEMALES];
    int count = 0;
    int64_t room = 0;
    for (int i = 0; i < y->farm.female_count; i++) {
        const struct choose_female *f = &y->females[i];
        if (!(females >> i & 1))
            continue;
        if (f->weight_mg < 300000 || f->weight_mg > 2000000 || f->rested_day > d->inject_day ||
            taken(y, false, i, d->inject_day, d->inject_day))
            return -1;
        parts[count++] = (struct order_part){ORDER_FEMALE, f->weight_mg};
    }
    for (int i = 0; i < y->farm.pond_count; i++) {
        const struct choose_pond *p = &y->ponds[i];
        if (!(ponds >> i & 1))
            continue;
        if (p->free_day > d->prepare_short_day || p->area_cm2 == 0 ||
            taken(y, true, i, d->prepare_short_day, d->harvest_day))
            return -1;
        int64_t depth_mm = p->depth_mm == 0 || p->depth_mm > 1000 ? 1000 : p->depth_mm;
        room += p->area_cm2 / 10000 * depth_mm / 10;
    }
    return count && room ? order_outlook(&odds, parts, count, room, true).promise : 0;
}

struct best {
    int64_t most; /* of any set */
    int females;  /* fewest (two at least) that do with all ponds; 0: none do */
};

static int bits_in(int set) {
    int count = 0;
    for (; set; set >>= 1)
        count += set & 1;
    return count;
}

static struct best brute_force(const struct yard *y, const struct order_days *d, int64_t fish) {
    struct best b = {0, 0};
    for (int f = 0; f < 1 << y->farm.female_count; f++)
        for (int p = 0; p < 1 << y->farm.pond_count; p++) {
            int64_t promise = set_promise(y, d, f, p);
            int females = bits_in(f);
            b.most = promise > b.most ? promise : b.most;
            if (promise >= fish && females >= 2 && (b.females == 0 || females < b.females))
                b.females = females;
        }
    return b;
}

static void check_plan(const struct yard *y, const struct choose_plan *plan, int64_t fish,
                       int round) {
    struct best b = brute_force(y, &plan->days, fish);
    int females = 0, ponds = 0;
    for (int i = 0; i < plan->female_count; i++)
        females |= 1 << plan->females[i];
    for (int i = 0; i < plan->pond_count; i++)
        ponds |= 1 << plan->ponds[i];
    wants("females, each once", round, bits_in(females), plan->female_count);
    wants("ponds, each once", round, bits_in(ponds), plan->pond_count);
    wants("its promise", round, plan->outlook.promise, set_promise(y, &plan->days, females, ponds));
    if (plan->spare >= 0 && (females >> plan->spare & 1))
        fail_msg("round %d: the spare %d is one of the females", round, plan->spare);
    wants("met", round, plan->reason, b.females ? ORDER_OK : ORDER_NOT_ALL);
    if (b.females == 0) {
        wants("the most", round, plan->outlook.promise, b.most);
        return;
    }
    wants_no_less("forward", round, plan->outlook.promise, fish);
    wants("fewest females", round, plan->female_count, b.females);
    /* No pond of them can be left out, and no female. */
    for (int i = 0; i < plan->pond_count; i++)
        wants_no_less("without a pond", round, fish - 1,
                      set_promise(y, &plan->days, females, ponds & ~(1 << plan->ponds[i])));
    for (int i = 0; i < plan->female_count && plan->female_count > 2; i++)
        wants_no_less("without a female", round, fish - 1,
                      set_promise(y, &plan->days, females & ~(1 << plan->females[i]), ponds));
}

static void brute_force_agrees(void **state) {
    (void)state;
    uint64_t seed = 8;
    int met = 0, not_met = 0;
    for (int round = 0; round < 300; round++) {
        struct yard y;
        yard_draw(&y, &seed);
        struct order_want want = {50 + (int64_t)(draw_bits(&seed) % 3000), 2000,
                                  TODAY + 46 + (int64_t)(draw_bits(&seed) % 80), 26000, 26000};
        struct choose_plan plan = choose_plan(&y.farm, &odds, &want);
        if (plan.reason == ORDER_OK)
            met++;
        else
            not_met++;
        check_plan(&y, &plan, want.fish, round);
    }
    wants_no_less("orders met", 0, met, 30);
    wants_no_less("orders not met", 0, not_met, 30);
}

/* Day by day: the first on which the order is met. */
static void first_day_agrees_with_each_day(void **state) {
    (void)state;
    uint64_t seed = 21;
    int never = 0, later = 0;
    for (int round = 0; round < 60; round++) {
        struct yard y;
        yard_draw(&y, &seed);
        struct order_want want = {100 + (int64_t)(draw_bits(&seed) % 5000), 2000,
                                  TODAY + (int64_t)(draw_bits(&seed) % 60), 26000, 26000};
        int64_t got = choose_first_day(&y.farm, &odds, &want), wanted = -1;
        for (int64_t day = want.day; day < TODAY + 200 && wanted < 0; day++) {
            struct order_want then = want;
            then.day = day;
            if (choose_plan(&y.farm, &odds, &then).reason == ORDER_OK)
                wanted = day;
        }
        wants("first day", round, got, wanted);
        never += got < 0;
        later += got > want.day;
    }
    wants_no_less("never", 0, never, 5);
    wants_no_less("later", 0, later, 5);
}

/* -- by hand ----------------------------------------------------------------------------------- */

static void the_lightest_neighbours_that_do(void **state) {
    (void)state;
    struct choose_female females[] = {{1900000, 0}, {400000, 0}, {1000000, 0},         {700000, 0},
                                      {350000, 0},  {250000, 0}, {900000, TODAY + 300}};
    struct choose_pond ponds[] = {
        {5000000, 1000, 0}, {2000000, 1000, TODAY + 15}, {9000000, 0, TODAY + 400}};
    struct choose_farm farm = {females,    7,    ponds, 3, learn_rate(LEARN_TGC, NULL, 0, any),
                               {TODAY, 0}, NULL, 0};
    struct order_want want = {100, 2000, TODAY + 60, 26000, 26000};
    struct choose_plan plan = choose_plan(&farm, &odds, &want);
    wants("met", 0, plan.reason, ORDER_OK);
    /* A small order: the two lightest that pass, 400 and 350 g; no lighter one is left, so the
     * spare is the next, 700 g. The small pond is free 45 days before the harvest, stocked at 30:
     * the short form of 10 days. */
    wants("females", 0, plan.female_count, 2);
    wants("first", 0, plan.females[0], 1);
    wants("second", 0, plan.females[1], 4);
    wants("weight", 0, plan.female_mg, 750000);
    wants("spare", 0, plan.spare, 3);
    wants("ponds", 0, plan.pond_count, 1);
    wants("pond", 0, plan.ponds[0], 1);
    wants("area", 0, plan.area_cm2, 2000000);
    assert_true(plan.short_form);
    choose_take(&farm, &plan);
    wants("rests", 0, females[1].rested_day, TODAY + 60 - 45 + 42);
    wants("does not rest", 0, females[3].rested_day, 0);
    wants("free again", 0, ponds[1].free_day, TODAY + 61);
    wants("free all the time", 0, ponds[0].free_day, 0);
}

static void nothing_to_choose_from(void **state) {
    (void)state;
    struct choose_female one[] = {{1000000, 0}};
    struct choose_pond pond[] = {{5000000, 1000, 0}};
    struct choose_farm farm = {one,        1,    pond, 1, learn_rate(LEARN_TGC, NULL, 0, any),
                               {TODAY, 0}, NULL, 0};
    struct order_want want = {10, 2000, TODAY + 60, 26000, 26000};
    struct choose_plan plan = choose_plan(&farm, &odds, &want);
    /* One female is never enough, though she is told of. */
    wants("one female", 0, plan.reason, ORDER_NOT_ALL);
    wants("chosen", 0, plan.female_count, 1);
    wants("no spare", 0, plan.spare, -1);
    wants("never", 0, choose_first_day(&farm, &odds, &want), -1);
    farm.female_count = 0;
    plan = choose_plan(&farm, &odds, &want);
    wants("no female", 0, plan.reason, ORDER_NOT_ALL);
    wants("promise", 0, plan.outlook.promise, 0);
    wants("able", 0, plan.females_able * 10 + plan.ponds_able, 1);
    farm.female_count = 1, farm.pond_count = 0;
    plan = choose_plan(&farm, &odds, &want);
    wants("no pond", 0, plan.reason, ORDER_NOT_ALL);
    wants("none chosen in vain", 0, plan.female_count, 0);
    wants("able, without a pond", 0, plan.females_able * 10 + plan.ponds_able, 10);
    want.day = TODAY - 1;
    wants("yesterday", 0, choose_plan(&farm, &odds, &want).reason, ORDER_LATE);
    one[0].rested_day = pond[0].free_day = INT64_MAX;
    wants("never rested", 0, choose_first_day(&farm, &odds, &want), -1);
    one[0] = (struct choose_female){INT64_MAX, INT64_MIN};
    pond[0] = (struct choose_pond){INT64_MAX, INT64_MAX, INT64_MIN};
    farm.female_count = farm.pond_count = 1;
    wants("no fish weighs so much", 0, choose_first_day(&farm, &odds, &want), -1);
    want.fish = 5000000;
    wants("five million", 0, choose_plan(&farm, &odds, &want).reason, ORDER_COUNT);
    wants("five million, ever", 0, choose_first_day(&farm, &odds, &want), -1);
}

/* -- several ----------------------------------------------------------------------------------- */

static void no_fish_and_no_pond_twice(const struct choose_plan *plans, const int *taken, int count,
                                      int round) {
    for (int a = 0; a < count; a++)
        for (int b = 0; b < count; b++) {
            const struct choose_plan *p = &plans[a], *q = &plans[b];
            if (a == b || !taken[a] || !taken[b] || p->days.harvest_day > q->days.harvest_day ||
                (a > b && p->days.harvest_day == q->days.harvest_day))
                continue;
            for (int i = 0; i < p->female_count; i++)
                for (int j = 0; j < q->female_count; j++)
                    if (p->females[i] == q->females[j])
                        wants_no_less("rest in days", round, q->days.inject_day - p->days.strip_day,
                                      42);
            for (int i = 0; i < p->pond_count; i++)
                for (int j = 0; j < q->pond_count; j++)
                    if (p->ponds[i] == q->ponds[j])
                        wants_no_less("pond free", round, q->days.prepare_short_day,
                                      p->days.harvest_day + 1);
        }
}

static void several_share_fish_and_ponds(void **state) {
    (void)state;
    uint64_t seed = 12;
    enum { ORDERS = 4 };
    for (int round = 0; round < 60; round++) {
        struct yard y, alone;
        struct order_want wants_[ORDERS];
        struct choose_plan plans[ORDERS];
        int taken[ORDERS];
        yard_draw(&y, &seed);
        alone = y;
        alone.farm.females = alone.females;
        alone.farm.ponds = alone.ponds;
        for (int i = 0; i < ORDERS; i++)
            wants_[i] =
                (struct order_want){100 + (int64_t)(draw_bits(&seed) % 1500), 2000,
                                    TODAY + 46 + (int64_t)(draw_bits(&seed) % 100), 26000, 26000};
        bool partly = round % 2;
        choose_all(&y.farm, &odds, wants_, ORDERS, partly, plans);
        int first = 0;
        for (int i = 0; i < ORDERS; i++) {
            taken[i] = plans[i].reason == ORDER_OK || partly;
            first = wants_[i].day < wants_[first].day ? i : first;
            /* Never more than the order had alone. */
            struct choose_plan own = choose_plan(&alone.farm, &odds, &wants_[i]);
            if (own.reason != ORDER_OK)
                wants("met together, not alone", round, plans[i].reason, ORDER_NOT_ALL);
            wants("of its day", round, plans[i].days.harvest_day, wants_[i].day);
        }
        struct choose_plan own = choose_plan(&alone.farm, &odds, &wants_[first]);
        wants("the first is served as if alone", round, plans[first].outlook.promise,
              own.outlook.promise);
        no_fish_and_no_pond_twice(plans, taken, ORDERS, round);
    }
}

static void a_season_is_steady(void **state) {
    (void)state;
    /* Ten females of a kilogram and three ponds: May to September, by the month and the week. */
    struct choose_female females[10];
    struct choose_pond ponds[3];
    struct choose_plan rows[32];
    int all_taken[32];
    for (int weekly = 0; weekly < 2; weekly++) {
        for (int i = 0; i < 10; i++)
            females[i] = (struct choose_female){1000000, 0};
        for (int i = 0; i < 3; i++)
            ponds[i] = (struct choose_pond){5000000, 1000, 0};
        struct choose_farm farm = {
            females, 10, ponds, 3, learn_rate(LEARN_TGC, NULL, 0, any), {zone_days(2027, 3, 1), 0},
            NULL,    0};
        struct order_want want = {weekly ? 1500 : 3000, 2000, zone_days(2027, 5, 31), 26000, 26000};
        int count =
            choose_season(&farm, &odds, &want, zone_days(2027, 9, 30), weekly ? 7 : 0, rows, 32);
        wants("rows", weekly, count, weekly ? 18 : 5);
        int met = 0;
        for (int i = 0; i < count; i++) {
            all_taken[i] = 1;
            met += rows[i].reason == ORDER_OK;
        }
        no_fish_and_no_pond_twice(rows, all_taken, count, weekly);
        if (!weekly) {
            wants("all months met", 0, met, 5);
            wants("June", 0, rows[1].days.harvest_day, zone_days(2027, 6, 30));
            wants("July", 0, rows[2].days.harvest_day, zone_days(2027, 7, 31));
            wants("September", 0, rows[4].days.harvest_day, zone_days(2027, 9, 30));
        } else {
            /* Two females each week of ten that rest six weeks: five weeks in seven at the most,
             * and a pond every fortnight at the best: never all of them. */
            wants_no_less("weeks met", 1, met, 5);
            wants_no_less("weeks not met", 1, count - met, 3);
        }
    }
    struct choose_farm none = {females, 0,    ponds, 0, learn_rate(LEARN_TGC, NULL, 0, any),
                               {0, 0},  NULL, 0};
    struct order_want want = {10, 2000, zone_days(2027, 12, 31), 26000, 26000};
    wants("over the year", 0,
          choose_season(&none, &odds, &want, zone_days(2028, 3, 1), 0, rows, 32), 3);
    wants("February", 0, rows[2].days.harvest_day, zone_days(2028, 2, 29));
    wants("backwards", 0, choose_season(&none, &odds, &want, 0, 0, rows, 32), 0);
    wants("no end", 0, choose_season(&none, &odds, &want, INT64_MAX, 7, rows, 32), 0);
    want.day = INT64_MAX;
    wants("no day", 0, choose_season(&none, &odds, &want, INT64_MAX, 7, rows, 32), 0);
}

/* The most that every month can have: all rows keep it, and no season of a twentieth more does.
 * Farms of a few fish and ponds, against every number tried one by one. */
static void the_steadiest(void **state) {
    (void)state;
    enum { STEP_PARTS = 20, ROWS = 6 };
    for (int n = 0; n < 8; n++) {
        struct choose_female females[8], left_f[8];
        struct choose_pond ponds[3], left_p[3];
        struct choose_plan rows[ROWS], tried[ROWS];
        int count = 0;
        for (int i = 0; i < n; i++)
            females[i] = (struct choose_female){700000 + 150000 * i, 0};
        for (int i = 0; i < 1 + n % 3; i++)
            ponds[i] = (struct choose_pond){2000000 * (i + 1), 1000, 0};
        const struct choose_farm farm = {females,
                                         n,
                                         ponds,
                                         1 + n % 3,
                                         learn_rate(LEARN_TGC, NULL, 0, any),
                                         {zone_days(2027, 1, 4), 0},
                                         NULL,
                                         0};
        struct choose_farm marked = {.females = left_f, .ponds = left_p};
        struct order_want want = {40000, 2000, zone_days(2027, 5, 15), 26000, 26000};
        int64_t last = zone_days(2027, 9, 30);
        int64_t fish = choose_steady(&farm, &marked, &odds, &want, last, 0, rows, ROWS, &count);
        wants("rows", n, count, 5);
        for (int i = 0; i < count && fish; i++)
            wants("kept", n, rows[i].reason, ORDER_OK);
        int64_t most = 0;
        for (int64_t k = 400; k <= 40000; k += k / STEP_PARTS) {
            memcpy(left_f, females, sizeof females);
            memcpy(left_p, ponds, sizeof ponds);
            struct choose_farm fresh = farm;
            fresh.females = left_f;
            fresh.ponds = left_p;
            want.fish = k;
            int got = choose_season(&fresh, &odds, &want, last, 0, tried, ROWS), good = 0;
            for (int i = 0; i < got; i++)
                good += tried[i].reason == ORDER_OK;
            most = good == got ? k : most;
        }
        wants_no_less("the most", n, fish, most - most / STEP_PARTS - 1);
        if (n < 2)
            wants("one female is none", n, fish, 0);
        for (int i = 0; i < n; i++)
            wants("the farm stands", n, females[i].rested_day, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(brute_force_agrees),
        cmocka_unit_test(first_day_agrees_with_each_day),
        cmocka_unit_test(the_lightest_neighbours_that_do),
        cmocka_unit_test(nothing_to_choose_from),
        cmocka_unit_test(several_share_fish_and_ponds),
        cmocka_unit_test(a_season_is_steady),
        cmocka_unit_test(the_steadiest),
    };
    return cmocka_run_group_tests(tests, make_odds, NULL);
}
