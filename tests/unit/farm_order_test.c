/* Orders, planned spawns and money as they are folded: what begins, changes and ends them, which
 * injection is of which plan, which price is in force, and what leans on what. */
#include "farm_say.h"

#define DAYS(d)                        ((int64_t)(d)*24 * 60) /* minutes, as rows have them */
#define WHEN(d)                        (LEDGER_START_S + (int64_t)(d)*DAY_S)
#define OF_ORDER(at, kind, order, ...) ROW(at, kind, SUBJECT_ORDER, order, __VA_ARGS__)
#define OF_PLAN(at, kind, plan, ...)   ROW(at, kind, SUBJECT_PLAN, plan, __VA_ARGS__)
#define ORDERED(at, order, count, day)                                                             \
    OF_ORDER(at, ENTRY_ORDERED, order, count, 2000, WHEN(day), 7, count)
#define PLANNED(at, plan, day, order)                                                              \
    OF_PLAN(at, ENTRY_PLANNED, plan, WHEN(day), order, 5000, 2000, WHEN((day) + 45))
#define WITH_FEMALE(at, plan, id) OF_PLAN(at, ENTRY_PLAN_FEMALE, plan, id, 0)

/* -- orders --------------------------------------------------------------------------------------
 */

static void orders(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t left, day;  /* days of the order's day */
        int64_t open_until; /* days: open then, not a minute later; -1 never */
        int64_t promised;
    } cases[] = {
        {"new", {ORDERED(0, 1, 5000, 60)}, 5000, 60, 74, 5000},
        {"a part delivered",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(DAYS(59), ENTRY_DELIVERED, 1, 2000)},
         3000,
         60,
         74,
         5000},
        {"all delivered, in two",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(DAYS(59), ENTRY_DELIVERED, 1, 2000),
          OF_ORDER(DAYS(60), ENTRY_DELIVERED, 1, 3000)},
         0,
         60,
         -1,
         5000},
        {"more than all",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(DAYS(60), ENTRY_DELIVERED, 1, 5100)},
         0,
         60,
         -1,
         5000},
        {"he wants no more",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(DAYS(60), ENTRY_DELIVERED, 1, 4900, 1)},
         100,
         60,
         -1,
         5000},
        {"he wants more after all",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(DAYS(60), ENTRY_DELIVERED, 1, 4900, 1),
          OF_ORDER(DAYS(61), ENTRY_ORDER_CHANGED, 1, 6000, 0, WHEN(90), 0, 900)},
         1100,
         90,
         104,
         900},
        {"called off",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(9, ENTRY_ORDER_OFF, 1)},
         5000,
         60,
         -1,
         5000},
        {"off is off",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(9, ENTRY_ORDER_OFF, 1),
          OF_ORDER(10, ENTRY_ORDER_CHANGED, 1, 9, 0, 0, 0, 9)},
         5000,
         60,
         -1,
         5000},
        {"the same day, fewer",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(9, ENTRY_ORDER_CHANGED, 1, 3000, 0, 0, 0, 3000)},
         3000,
         60,
         74,
         3000},
        {"another day",
         {ORDERED(0, 1, 5000, 60), OF_ORDER(9, ENTRY_ORDER_CHANGED, 1, 0, 0, WHEN(70), 0, 4800)},
         5000,
         70,
         84,
         4800},
        {"a number is used once",
         {ORDERED(0, 1, 5000, 60), ORDERED(9, 1, 10, 90)},
         5000,
         60,
         74,
         5000},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct order *o = farm_order(&farm.state, 1);
        FIELD(cases[i].name, farm.state.order_count, 1);
        FIELD(cases[i].name, order_left(o), cases[i].left);
        FIELD(cases[i].name, o->day_s, WHEN(cases[i].day));
        FIELD(cases[i].name, o->mean_mg, 2000);
        FIELD(cases[i].name, o->buyer, 7);
        FIELD(cases[i].name, o->promised, cases[i].promised);
        int64_t until = cases[i].open_until;
        FIELD(cases[i].name, order_open(o, until < 0 ? LEDGER_START_S : WHEN(until)), until >= 0);
        if (until >= 0)
            FIELD(cases[i].name, order_open(o, WHEN(until) + 1), false);
        farm_free(&farm);
    }
}

static void of_no_order(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        OF_ORDER(0, ENTRY_DELIVERED, 3, 10), OF_ORDER(1, ENTRY_ORDER_OFF, 3),
        OF_PLAN(2, ENTRY_PLAN_FEMALE, 3, 1, 0), OF_PLAN(3, ENTRY_PLAN_OFF, 3)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    assert_int_equal(farm.state.order_count, 0);
    assert_int_equal(farm.state.plan_count, 0);
    assert_null(farm_order(&farm.state, 3));
    farm_free(&farm);
}

/* -- plans ---------------------------------------------------------------------------------------
 */

static void which_plan(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t spawn[2]; /* the plans' first */
        int64_t open[2];  /* days until which they are open, -1: not */
    } cases[] = {
        {"that evening",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), INJECTED(DAYS(5), 1, 3)},
         {1, 0},
         {-1, -1}},
        {"another female",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), INJECTED(DAYS(5), 1, 4)},
         {0, 0},
         {8, -1}},
        {"two days early",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), INJECTED(DAYS(3), 1, 3)},
         {1, 0},
         {-1, -1}},
        {"earlier",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), INJECTED(DAYS(3) - 1, 1, 3)},
         {0, 0},
         {8, -1}},
        {"two days late",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), INJECTED(DAYS(7), 1, 3)},
         {1, 0},
         {-1, -1}},
        {"later",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), INJECTED(DAYS(7) + 1, 1, 3)},
         {0, 0},
         {8, -1}},
        {"the first of two", /* in one text */
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), WITH_FEMALE(0, 1, 4), INJECTED(DAYS(5), 1, 4),
          INJECTED(DAYS(5) + 5, 2, 3)},
         {1, 0},
         {-1, -1}},
        {"the nearer evening",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), PLANNED(0, 2, 7, 0), WITH_FEMALE(0, 2, 3),
          INJECTED(DAYS(6) + 30, 1, 3)},
         {0, 1},
         {8, -1}},
        {"called off",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), OF_PLAN(9, ENTRY_PLAN_OFF, 1),
          INJECTED(DAYS(5), 1, 3)},
         {0, 0},
         {-1, -1}},
        {"moved, with another female",
         {PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3), PLANNED(9, 1, 12, 0), WITH_FEMALE(9, 1, 4),
          INJECTED(DAYS(12), 1, 3), INJECTED(DAYS(12), 2, 4)},
         {2, 0},
         {-1, -1}},
        {"with its order",
         {ORDERED(0, 1, 5000, 50), PLANNED(0, 1, 5, 1), WITH_FEMALE(0, 1, 3),
          OF_ORDER(9, ENTRY_ORDER_OFF, 1)},
         {0, 0},
         {-1, -1}},
        {"for an order that stands",
         {ORDERED(0, 1, 5000, 50), PLANNED(0, 1, 5, 1), WITH_FEMALE(0, 1, 3)},
         {0, 0},
         {8, -1}},
        {"said after it was injected", /* late, but of before */
         {INJECTED(DAYS(5), 1, 3), PLANNED(0, 1, 5, 0), WITH_FEMALE(0, 1, 3)},
         {1, 0},
         {-1, -1}},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        for (int k = 0; k < 2; k++) {
            const struct spawn_plan *p = farm_spawn_plan(&farm.state, k + 1);
            FIELD(cases[i].name, p ? p->spawn : 0, cases[i].spawn[k]);
            int64_t until = cases[i].open[k];
            if (!p)
                continue;
            FIELD(cases[i].name,
                  spawn_plan_open(&farm.state, p, until < 0 ? LEDGER_START_S : WHEN(until)),
                  until >= 0);
            if (until >= 0)
                FIELD(cases[i].name, spawn_plan_open(&farm.state, p, WHEN(until) + 1), false);
        }
        farm_free(&farm);
    }
}

static void females_and_ponds(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        PLANNED(0, 1, 5, 0),
        WITH_FEMALE(0, 1, 3),
        OF_PLAN(0, ENTRY_PLAN_FEMALE, 1, 4, 1),
        WITH_FEMALE(1, 1, 5),
        OF_PLAN(1, ENTRY_PLAN_POND, 1, 2),
        OF_PLAN(2, ENTRY_PLAN_POND, 1, 2), /* said twice */
        OF_PLAN(2, ENTRY_PLAN_POND, 1, 6),
        OF_PLAN(3, ENTRY_PLAN_FEMALE, 1, 5, 1), /* she is the spare, too */
        INJECTED(DAYS(5), 8, 5),
        WITH_FEMALE(DAYS(5) + 1, 1, 6), /* it has begun: nobody comes in any more */
        PLANNED(DAYS(5) + 2, 1, 9, 0),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    const struct spawn_plan *p = farm_spawn_plan(&farm.state, 1);
    assert_int_equal(p->female_count, 3);
    static const struct planned_female want[] = {{3, false, 0}, {4, true, 0}, {5, true, 8}};
    for (int i = 0; i < 3; i++) {
        FIELD("female", p->females[i].female, want[i].female);
        FIELD("spare", p->females[i].spare, want[i].spare);
        FIELD("her spawn", p->females[i].spawn, want[i].spawn);
    }
    assert_int_equal(p->pond_count, 2);
    assert_int_equal(p->ponds[1], 6);
    FIELD("evening", p->inject_s, WHEN(5));
    FIELD("fish", p->fish, 5000);
    FIELD("size", p->size_mg, 2000);
    FIELD("harvest", p->day_s, WHEN(50));
    farm_free(&farm);
}

/* No more than there is room for. */
static void many_females(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    say_one(&farm, (struct say)PLANNED(0, 1, 5, 0));
    for (int id = 1; id <= PLAN_FEMALES_MAX + 3; id++) {
        say_one(&farm, (struct say)WITH_FEMALE(id, 1, id));
        say_one(&farm, (struct say)OF_PLAN(id, ENTRY_PLAN_POND, 1, id));
    }
    const struct spawn_plan *p = farm_spawn_plan(&farm.state, 1);
    assert_int_equal(p->female_count, PLAN_FEMALES_MAX);
    assert_int_equal(p->pond_count, PLAN_PONDS_MAX);
    farm_free(&farm);
}

/* -- money ---------------------------------------------------------------------------------------
 */

static void prices(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        OF_HALL(0, ENTRY_CURRENCY, 6883),
        OF_HALL(1, ENTRY_PRICE, PRICE_FEED, 0, 14000, PRICE_KG),
        OF_HALL(2, ENTRY_PRICE, PRICE_FEED, 5, 350000, PRICE_MEASURE, MEASURE_BAG),
        OF_HALL(3, ENTRY_PRICE, PRICE_FRY, 0, 300, PRICE_EACH),
        OF_HALL(4, ENTRY_PRICE, PRICE_FRY, 0, 350, PRICE_EACH),
        OF_HALL(5, ENTRY_PRICE, PRICE_NAMED, 0, 1, PRICE_WHOLE),
        OF_HALL(6, ENTRY_PRICE, PRICE_NAMED, 9, 50000, PRICE_WHOLE),
        OF_HALL(7, ENTRY_PRICE, PRICE_FISH, 0, 30000, PRICE_KG),
        OF_HALL(8, ENTRY_PRICE, PRICE_FISH, 0, 0, PRICE_KG), /* none any more */
    };
    static const struct {
        enum price_thing thing;
        int64_t party, minor;
    } cases[] = {{PRICE_FEED, 0, 14000}, {PRICE_FEED, 5, 350000}, {PRICE_FEED, 6, 14000},
                 {PRICE_FRY, 0, 350},    {PRICE_FRY, 3, 350},     {PRICE_FINGERLINGS, 0, 0},
                 {PRICE_FISH, 0, 0},     {PRICE_NAMED, 9, 50000}, {PRICE_NAMED, 8, 0}};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const struct price *p = farm_price(&farm.state, cases[i].thing, cases[i].party);
        FIELD("price", p ? p->minor : 0, cases[i].minor);
    }
    const struct price *bag = farm_price(&farm.state, PRICE_FEED, 5);
    assert_int_equal(bag->per, PRICE_MEASURE);
    assert_int_equal(bag->measure, MEASURE_BAG);
    FIELD("in force from", bag->at_s, LEDGER_START_S + 2 * MINUTE_S);
    assert_string_equal(farm_currency(&farm.state)->code, "KES");
    FIELD("cents", farm_currency(&farm.state)->minor, 100);
    farm.state.currency = 1; /* AAA is nobody's */
    assert_null(farm_currency(&farm.state));
    farm.state.currency = 0;
    assert_null(farm_currency(&farm.state));
    farm_free(&farm);
}

static void currencies(void **unused) {
    (void)unused;
    static const struct {
        const char *code;
        int64_t value;
    } cases[] = {{"AAA", 1},     {"KES", 6883}, {"ZZZ", ENTRY_CURRENCY_MOST},
                 {"UGX", 13700}, {"kes", 0},    {"KE", 0},
                 {"KESH", 0},    {"K1S", 0},    {"", 0}};
    char code[4];
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        FIELD(cases[i].code, entry_currency(slice_of(cases[i].code)), cases[i].value);
        entry_currency_code(cases[i].value, code);
        assert_string_equal(code, cases[i].value ? cases[i].code : "");
    }
    entry_currency_code(ENTRY_CURRENCY_MOST + 1, code);
    assert_string_equal(code, "");
}

static void bookings(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        OF_HALL(9, ENTRY_COST, 1400000, 0, 3, 100000000),
        ROW(2, ENTRY_COST, SUBJECT_SPAWN, 4, 12000, 8),
        OF_CYCLE(11, ENTRY_INCOME, 2, 2500000, 7, 0, 2500, 5000000),
        OF_CYCLE(12, ENTRY_INCOME, 2, 100, 7, 1),
        OF_HALL(13, ENTRY_PAID, 2000000, 7, 0),
        OF_HALL(14, ENTRY_PAID, 50, 7, 1),
    };
    static const struct booking want[] = {
        {BOOKING_COST, 2, SUBJECT_SPAWN, 4, 12000, 8, 0, 0, 0, false},
        {BOOKING_COST, 9, SUBJECT_HATCHERY, 0, 1400000, 0, 3, 100000000, 0, false},
        {BOOKING_INCOME, 11, SUBJECT_CYCLE, 2, 2500000, 7, 0, 5000000, 2500, false},
        {BOOKING_INCOME, 12, SUBJECT_CYCLE, 2, 100, 7, 0, 0, 0, true},
        {BOOKING_PAID, 13, SUBJECT_HATCHERY, 0, 2000000, 7, 0, 0, 0, false},
        {BOOKING_BACK, 14, SUBJECT_HATCHERY, 0, 50, 7, 0, 0, 0, false},
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    assert_int_equal(farm.state.booking_count, COUNT_OF(want));
    for (size_t i = 0; i < COUNT_OF(want); i++) {
        const struct booking *b = &farm.state.bookings[i];
        FIELD("kind", b->kind, want[i].kind);
        FIELD("minute", say_min(b->at_s), want[i].at_s);
        FIELD("of", b->of, want[i].of);
        FIELD("subject", b->subject, want[i].subject);
        FIELD("minor", b->minor, want[i].minor);
        FIELD("party", b->party, want[i].party);
        FIELD("feed", b->feed, want[i].feed);
        FIELD("weight", b->weight_mg, want[i].weight_mg);
        FIELD("count", b->count, want[i].count);
        FIELD("paid", b->paid, want[i].paid);
    }
    farm_free(&farm);
}

/* -- leaning -------------------------------------------------------------------------------------
 */

/* Rows are messages 1, 2, ...: which leans on which. */
static void leaning(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        ORDERED(0, 1, 5000, 60),
        OF_ORDER(1, ENTRY_ORDER_CHANGED, 1, 4000, 0, 0, 0, 4000),
        PLANNED(2, 1, 5, 1),
        WITH_FEMALE(3, 1, 3),
        PLANNED(4, 1, 6, 1), /* moved: carries nothing of its own */
        ORDERED(5, 2, 100, 60),
        PLANNED(6, 2, 9, 2),
        PLANNED(7, 3, 9, 0),
        ORDERED(8, 3, 100, 60),
        OF_ORDER(9, ENTRY_DELIVERED, 3, 100),
        OF_BROOD(10, ENTRY_BROOD, 4, SEX_FEMALE, 4, 900000),
        WITH_FEMALE(11, 3, 4),
    };
    static const int64_t want[] = {2, 0, 4, 0, 0, 7, 0, 12, 10, 0, 12, 0};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        if (farm_leans_on(&farm, (int64_t)i + 1) != want[i])
            fail_msg("message %zu: %lld leans on it, wanted %lld", i + 1,
                     (long long)farm_leans_on(&farm, (int64_t)i + 1), (long long)want[i]);
    assert_int_equal(farm_next(&farm, SUBJECT_ORDER), 4);
    assert_int_equal(farm_next(&farm, SUBJECT_PLAN), 4);
    assert_int_equal(farm_newest_message(&farm, SUBJECT_ORDER, 1), 2);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orders),       cmocka_unit_test(of_no_order),
        cmocka_unit_test(which_plan),   cmocka_unit_test(females_and_ponds),
        cmocka_unit_test(many_females), cmocka_unit_test(prices),
        cmocka_unit_test(currencies),   cmocka_unit_test(bookings),
        cmocka_unit_test(leaning),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
