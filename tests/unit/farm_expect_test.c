/* What is thought to come of orders: against trade's own plan of the same order, stage by stage
 * against trade's outlook for parts written down by hand, and sound over random ledgers. */
#include "farm_say.h"

#include "farm/expect.h"
#include "farm/growing.h"
#include "farm/runs.h"
#include "trade/choose.h"

enum { DAY = 24 * 60, HARVEST = 50, EVENING = 4 }; /* minutes; days */

#define AT(days)                       (LEDGER_START_S + (int64_t)(days)*DAY_S)
#define OF_ORDER(at, kind, order, ...) ROW(at, kind, SUBJECT_ORDER, order, __VA_ARGS__)
#define OF_PLAN(at, kind, plan, ...)   ROW(at, kind, SUBJECT_PLAN, plan, __VA_ARGS__)
#define ORDERED(order, count, day, promised)                                                       \
    OF_ORDER(0, ENTRY_ORDERED, order, count, 2000, AT(day), 0, promised)
#define FEMALE(id) OF_BROOD(0, ENTRY_BROOD, id, SEX_FEMALE, id, 1000000)
#define PLANNED    OF_PLAN(0, ENTRY_PLANNED, 1, AT(EVENING), 1, 5000, 2000, AT(HARVEST))
#define WITH(id)   OF_PLAN(0, ENTRY_PLAN_FEMALE, 1, id, 0)
#define SPARE(id)  OF_PLAN(0, ENTRY_PLAN_FEMALE, 1, id, 1)
#define WATER      OF_HALL(-60, ENTRY_WATER, 26000)
#define STOCKED(at, cycle, pond, count, mean_ug, spawn, all)                                       \
    OF_CYCLE(at, ENTRY_STOCKED, cycle, pond, count, mean_ug, spawn, 0, all)
/* An order of 5000 by two kilograms of female, and a spare. */
#define PLAN                                                                                       \
    WATER, ORDERED(1, 5000, HARVEST, 5000), FEMALE(3), FEMALE(4), FEMALE(5), PLANNED, WITH(3),     \
        WITH(4), SPARE(5)

static struct zone nairobi;
static struct order_odds odds;

static int load_zone(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) != ERR_OK;
}

static int expected(const struct farm *farm, int64_t now_s, struct expect *out, int most) {
    expect_odds(&farm->state, now_s, &odds);
    return expect_orders(&farm->state, &nairobi, now_s, &odds, out, most);
}

/* -- by stages -----------------------------------------------------------------------------------
 */

static const struct {
    const char *name;
    double at; /* days */
    struct order_part want[4];
    int64_t in_ponds; /* fish of the size, middle, own */
    struct say rows[SAY_MOST + 8];
} cases[] = {
    {"planned", 1, {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}}, 0, {PLAN}},
    {"one of them has died",
     1,
     {{ORDER_FEMALE, 1000000}},
     0,
     {PLAN, OF_BROOD(9, ENTRY_BROOD_DIED, 3)}},
    {"not injected, three days late",
     EVENING + 3,
     {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}},
     0,
     {PLAN}},
    {"not injected, later", EVENING + 3.1, {{0}}, 0, {PLAN}},
    {"called off", 1, {{0}}, 0, {PLAN, OF_PLAN(9, ENTRY_PLAN_OFF, 1)}},
    {"one injected, the other is waited for",
     EVENING + 1,
     {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 4)}},
    {"one injected, the other is not",
     EVENING + 2.1,
     {{ORDER_FEMALE, 1000000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 4)}},
    {"the spare in her place",
     EVENING + 1,
     {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 4), INJECTED(EVENING *DAY, 2, 5)}},
    {"another in her place",
     EVENING + 1,
     {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 4), INJECTED(EVENING *DAY + 5, 2, 8)}},
    {"another pair",
     EVENING + 1,
     {{ORDER_FEMALE, 1000000}, {ORDER_FEMALE, 1000000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 7), INJECTED(EVENING *DAY + 5, 2, 8)}},
    {"never stripped",
     EVENING + 3.2,
     {{0}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), INJECTED(EVENING *DAY, 2, 4)}},
    {"stripped, the other gave none", /* 100 g: 60 000 */
     EVENING + 1,
     {{ORDER_EGGS, 60000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), INJECTED(EVENING *DAY, 2, 4),
      OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN(EVENING *DAY + 700, ENTRY_NO_EGGS, 2)}},
    {"into one bowl",
     EVENING + 1,
     {{ORDER_EGGS, 60000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), INJECTED(EVENING *DAY, 2, 4),
      OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN(EVENING *DAY + 700, ENTRY_BOWL, 1, 2)}},
    {"into the bowl of one of no plan",
     EVENING + 1,
     {{ORDER_EGGS, 60000}},
     0,
     {PLAN, OF_BROOD(9, ENTRY_BROOD_DIED, 4), INJECTED(EVENING *DAY, 1, 9),
      INJECTED(EVENING *DAY, 2, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN(EVENING *DAY + 700, ENTRY_BOWL, 1, 2)}},
    {"a tenth are white: they are among those that never hatch",
     EVENING + 1,
     {{ORDER_EGGS, 60000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN(EVENING *DAY + 1200, ENTRY_WHITE, 1, 10, 100), OF_BROOD(9, ENTRY_BROOD_DIED, 4)}},
    {"three in four are white: more than usually fail, so half as many to reckon with",
     EVENING + 1,
     {{ORDER_EGGS, 30000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN(EVENING *DAY + 1200, ENTRY_WHITE, 1, 75, 100), OF_BROOD(9, ENTRY_BROOD_DIED, 4)}},
    {"spoilt",
     EVENING + 2.1,
     {{0}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN(EVENING *DAY + 1200, ENTRY_SPOILT, 1)}},
    {"hatched, some found dead", /* part of the loss that comes */
     EVENING + 5,
     {{ORDER_LARVAE, 20000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN((EVENING + 2) * DAY, ENTRY_HATCHED, 1, 20000, HATCH_COUNTED),
      OF_SPAWN((EVENING + 4) * DAY, ENTRY_DIED, 1, 200)}},
    {"all moved to a pond",
     30,
     {{ORDER_FRY, 9000}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      OF_SPAWN((EVENING + 2) * DAY, ENTRY_HATCHED, 1, 20000, HATCH_COUNTED),
      STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1)}},
    {"moved too late for it",
     30,
     {{0}},
     0,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      STOCKED((EVENING + 21) * DAY, 1, 4, 9000, 100000, 1, 1)}},
    {"harvested, in a net",
     HARVEST,
     {{ORDER_FISH, 4000}},
     4000,
     {PLAN, INJECTED(EVENING *DAY, 1, 3), OF_SPAWN(EVENING *DAY + 700, ENTRY_STRIPPED, 1, 100000),
      STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1),
      OF_CYCLE(HARVEST *DAY, ENTRY_HARVESTED, 1, 4000, 0, 1)}},
};

static void stages(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, COUNT_OF(cases[i].rows));
        struct expect x;
        int64_t now_s = LEDGER_START_S + (int64_t)(cases[i].at * DAY_S);
        FIELD(cases[i].name, expected(&farm, now_s, &x, 1), 1);
        int parts = 0;
        for (; parts < 4 && cases[i].want[parts].amount; parts++) {
            FIELD(cases[i].name, x.parts[parts].stage, cases[i].want[parts].stage);
            FIELD(cases[i].name, x.parts[parts].amount, cases[i].want[parts].amount);
        }
        FIELD(cases[i].name, x.part_count, parts);
        FIELD(cases[i].name, x.in_ponds, cases[i].in_ponds);
        struct order_outlook want = {0};
        if (parts)
            want = order_outlook(&odds, cases[i].want, parts, ORDER_NO_LIMIT, true);
        FIELD(cases[i].name, x.reason, ORDER_OK);
        FIELD(cases[i].name, x.promise, want.promise);
        FIELD(cases[i].name, x.middle, want.middle);
        FIELD(cases[i].name, x.high, want.high);
        int64_t fall = 5000 - want.promise;
        FIELD(cases[i].name, x.fall_tenths, fall > 500 ? fall * 10 / 5000 : 0);
        farm_free(&farm);
    }
}

/* A pond of 10 m3 takes a thousand fry by the book, but those that are in it are in it. */
static void in_a_small_pond(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        PLAN, OF_POND(0, ENTRY_POND, 4, 100000, 1000, 0), OF_PLAN(0, ENTRY_PLAN_POND, 1, 4),
        INJECTED(EVENING * DAY, 1, 3), OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000)};
    static const struct order_part eggs = {ORDER_EGGS, 60000}, fry = {ORDER_FRY, 9000};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(EVENING + 3), &x, 1);
    FIELD("room", x.room, 1000);
    FIELD("held by it", x.promise, order_outlook(&odds, &eggs, 1, 1000, true).promise);
    say_one(&farm, (struct say)STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1));
    expected(&farm, AT(30), &x, 1);
    FIELD("they are there", x.promise, order_outlook(&odds, &fry, 1, ORDER_NO_LIMIT, true).promise);
    farm_free(&farm);
}

/* Out of the net he has some already: those are counted once. */
static void delivered(void **unused) {
    (void)unused;
    static const struct say rows[] = {PLAN,
                                      INJECTED(EVENING * DAY, 1, 3),
                                      OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000),
                                      STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1),
                                      OF_CYCLE(HARVEST * DAY, ENTRY_HARVESTED, 1, 4800, 0, 1),
                                      OF_CYCLE(HARVEST * DAY + 5, ENTRY_SOLD, 1, 1500, 0, 0),
                                      OF_ORDER(HARVEST * DAY + 5, ENTRY_DELIVERED, 1, 1500)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(HARVEST) + HOUR_S, &x, 1);
    FIELD("left", x.left, 3500);
    FIELD("in the net", x.parts[0].amount, 3300);
    FIELD("in all", x.promise, 4800);
    FIELD("nearly all", x.fall_tenths, 0);
    farm_free(&farm);
}

/* What was harvested of a pond of no order waits for the order in its net, all or a part of it. */
static void in_a_net(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        WATER, ORDERED(1, 1500, HARVEST, 1500), STOCKED(EVENING * DAY, 1, 4, 5000, 100000, 0, 0),
        OF_CYCLE((HARVEST - 1) * DAY, ENTRY_HARVESTED, 1, 2400, 5040000, 1)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(HARVEST), &x, 1);
    FIELD("in the net", x.promise, 1500);
    FIELD("no danger", x.fall_tenths, 0);
    say_one(&farm, (struct say)OF_CYCLE(HARVEST * DAY, ENTRY_SOLD, 1, 1000, 0, 0));
    expected(&farm, AT(HARVEST) + HOUR_S, &x, 1);
    FIELD("what is left of it", x.promise, 1400);
    farm_free(&farm);

    static const struct say small[] = {
        WATER, ORDERED(1, 1500, HARVEST, 1500), STOCKED(EVENING * DAY, 1, 4, 5000, 100000, 0, 0),
        OF_CYCLE((HARVEST - 1) * DAY, ENTRY_HARVESTED, 1, 2400, 2400000, 1)};
    farm = say_all(small, COUNT_OF(small));
    expected(&farm, AT(HARVEST), &x, 1);
    FIELD("of half the size", x.promise, 0);
    farm_free(&farm);

    static const struct say parts[] = {
        PLAN, INJECTED(EVENING * DAY, 1, 3),
        OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000),
        STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1),
        OF_CYCLE((HARVEST - 1) * DAY, ENTRY_HARVESTED, 1, 2000, 0, 0)};
    farm = say_all(parts, COUNT_OF(parts));
    expected(&farm, AT(HARVEST), &x, 1);
    FIELD("caught", x.parts[0].stage, ORDER_FISH);
    FIELD("so many", x.parts[0].amount, 2000);
    assert_true(x.part_count == 2 && x.parts[1].amount > 0);
    farm_free(&farm);
}

/* Larvae that were counted, and fish that were: what is thought alive of them then. */
static void counted(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        PLAN, INJECTED(EVENING * DAY, 1, 3),
        OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000),
        OF_SPAWN((EVENING + 2) * DAY, ENTRY_HATCHED, 1, 20000, HATCH_COUNTED),
        OF_SPAWN((EVENING + 10) * DAY, ENTRY_COUNTED, 1, 12000)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(EVENING + 11), &x, 1);
    const struct spawn *s = farm_spawn(&farm.state, 1);
    struct tally tally = spawn_tally(s, spawn_hatch_s(s) + 14 * (int64_t)DAY_S);
    FIELD("fry", x.parts[0].stage, ORDER_FRY);
    FIELD("as many as at two weeks", x.parts[0].amount, tally_alive(&tally).middle);
    assert_in_range(x.parts[0].amount, 9000, 10000);

    say_one(&farm, (struct say)STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1));
    say_one(&farm, (struct say)OF_CYCLE(40 * DAY, ENTRY_COUNTED, 1, 6000));
    expected(&farm, AT(41), &x, 1);
    struct survival_range fish = growing_fish(&farm.state, farm_cycle(&farm.state, 1), AT(HARVEST));
    FIELD("fish", x.parts[0].stage, ORDER_FISH);
    FIELD("low end", x.parts[0].amount, fish.low);
    FIELD("promise", x.promise, fish.low);
    FIELD("middle", x.middle, fish.middle);
    assert_true(fish.low < fish.middle && fish.middle < 6000);

    /* weighed, they go by their weight and no more by days */
    say_one(&farm, (struct say)OF_CYCLE(42 * DAY, ENTRY_SAMPLED, 1, 30, 1500000, 0, 0, 0));
    expected(&farm, AT(43), &x, 1);
    FIELD("heavy enough by then", x.in_ponds, fish.middle);
    say_one(&farm, (struct say)OF_CYCLE(44 * DAY, ENTRY_SAMPLED, 1, 30, 300000, 0, 0, 0));
    expected(&farm, AT(45), &x, 1);
    FIELD("they are not", x.in_ponds, 0);
    farm_free(&farm);
}

/* Both planned ones and another: she is of no order, and serves it as such. */
static void another_beside(void **unused) {
    (void)unused;
    static const struct say rows[] = {PLAN, INJECTED(EVENING * DAY, 1, 7),
                                      INJECTED(EVENING * DAY, 2, 3), INJECTED(EVENING * DAY, 3, 4)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(EVENING + 1), &x, 1);
    FIELD("its own", x.part_count, 2);
    assert_true(x.spare > 0);
    farm_free(&farm);
}

/* Many more dead than the book loses in a day: nobody else is there, larvae or fry. */
static void found_dead(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        PLAN, INJECTED(EVENING * DAY, 1, 3),
        OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000),
        OF_SPAWN((EVENING + 2) * DAY, ENTRY_HATCHED, 1, 20000, HATCH_COUNTED),
        OF_SPAWN((EVENING + 4) * DAY, ENTRY_DIED, 1, 18000)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(EVENING + 5), &x, 1);
    FIELD("still larvae", x.parts[0].stage, ORDER_LARVAE);
    assert_in_range(x.parts[0].amount, 100, 2000);
    say_one(&farm, (struct say)OF_SPAWN((EVENING + 5) * DAY, ENTRY_DIED, 1, 5000));
    expected(&farm, AT(EVENING + 6), &x, 1);
    FIELD("none", x.part_count, 0);
    farm_free(&farm);

    static const struct say fry[] = {
        PLAN, INJECTED(EVENING * DAY, 1, 3),
        OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000),
        OF_SPAWN((EVENING + 2) * DAY, ENTRY_HATCHED, 1, 20000, HATCH_COUNTED),
        STOCKED((EVENING + 16) * DAY, 1, 4, 9000, 100000, 1, 1)};
    farm = say_all(fry, COUNT_OF(fry));
    say_one(&farm, (struct say)OF_CYCLE((EVENING + 17) * DAY, ENTRY_DIED, 1, 50));
    expected(&farm, AT(EVENING + 18), &x, 1);
    FIELD("part of the loss that comes", x.parts[0].amount, 9000);
    say_one(&farm, (struct say)OF_CYCLE((EVENING + 18) * DAY, ENTRY_DIED, 1, 8000));
    expected(&farm, AT(EVENING + 19), &x, 1);
    FIELD("fry", x.parts[0].stage, ORDER_FRY);
    assert_in_range(x.parts[0].amount, 200, 1000);
    assert_true(x.promise < 700 && x.fall_tenths > 7);
    farm_free(&farm);
}

/* -- against trade's plan ------------------------------------------------------------------------
 */

/* The plan that trade chooses, written into the ledger, promises here what it promised there. */
static void as_planned(void **unused) {
    (void)unused;
    static const int64_t weights_mg[] = {700000, 900000, 1100000, 1300000, 800000};
    static const int64_t areas_cm2[] = {1000000, 500000, 2000000};
    enum { FEMALES = COUNT_OF(weights_mg), PONDS = COUNT_OF(areas_cm2) };
    for (int64_t fish = 500; fish <= 8000; fish += 1500) {
        struct farm farm = farm_make();
        struct choose_female females[FEMALES];
        struct choose_pond ponds[PONDS];
        say_one(&farm, (struct say)WATER);
        for (int i = 0; i < FEMALES; i++) {
            say_one(&farm,
                    (struct say)OF_BROOD(0, ENTRY_BROOD, i + 1, SEX_FEMALE, i + 1, weights_mg[i]));
            females[i] = (struct choose_female){weights_mg[i], 0};
        }
        for (int i = 0; i < PONDS; i++) {
            say_one(&farm, (struct say)OF_POND(0, ENTRY_POND, i + 1, areas_cm2[i], 800, 0));
            ponds[i] = (struct choose_pond){areas_cm2[i], 800, 0};
        }
        int64_t now_s = LEDGER_START_S;
        expect_odds(&farm.state, now_s, &odds);
        struct learn_when when = runs_when(&farm.state, now_s);
        struct choose_farm of = {
            .females = females,
            .female_count = FEMALES,
            .ponds = ponds,
            .pond_count = PONDS,
            .tgc = runs_rate(&farm.state, LEARN_TGC, when, now_s),
            .now = {plan_day_number(&nairobi, now_s), 21 * 60 + 30},
        };
        const struct order_want want = {.fish = fish,
                                        .size_mg = 2000,
                                        .day = plan_day_number(&nairobi, AT(90)),
                                        .hatchery_mdegc = 26000,
                                        .pond_mdegc = 26000};
        struct choose_plan plan = choose_plan(&of, &odds, &want);
        assert_true(plan.reason == ORDER_OK || plan.reason == ORDER_NOT_ALL);
        int64_t inject_s =
            zone_midnight(&nairobi, now_s, (int)(plan.days.inject_day - of.now.day)) +
            plan.days.inject_min * (int64_t)MINUTE_S;
        say_one(&farm, (struct say)OF_ORDER(1, ENTRY_ORDERED, 1, fish, 2000, AT(90), 0,
                                            plan.outlook.promise));
        say_one(&farm, (struct say)OF_PLAN(1, ENTRY_PLANNED, 1, inject_s, 1, fish, 2000, AT(90)));
        for (int i = 0; i < plan.female_count; i++)
            say_one(&farm, (struct say)OF_PLAN(1, ENTRY_PLAN_FEMALE, 1, plan.females[i] + 1, 0));
        if (plan.spare >= 0)
            say_one(&farm, (struct say)OF_PLAN(1, ENTRY_PLAN_FEMALE, 1, plan.spare + 1, 1));
        for (int i = 0; i < plan.pond_count; i++)
            say_one(&farm, (struct say)OF_PLAN(1, ENTRY_PLAN_POND, 1, plan.ponds[i] + 1));
        struct expect x;
        FIELD("orders", expected(&farm, now_s + 60, &x, 1), 1);
        FIELD("females", x.females, plan.female_count);
        FIELD("promise", x.promise, plan.outlook.promise);
        FIELD("middle", x.middle, plan.outlook.middle);
        FIELD("high", x.high, plan.outlook.high);
        FIELD("no danger", x.fall_tenths, 0);
        if (plan.reason == ORDER_OK)
            assert_true(x.promise >= fish);
        farm_free(&farm);
    }
}

/* -- several orders ------------------------------------------------------------------------------
 */

/* Fish of no order: the earliest day first, each of them once. */
static void one_pond_for_all(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        WATER,
        ORDERED(1, 2500, 20, 2500),
        ORDERED(2, 2500, 10, 2000), /* earlier */
        ORDERED(3, 1000, 30, 1000),
        STOCKED(0, 1, 4, 4000, 3000000, 0, 0),
        OF_ORDER(60, ENTRY_DELIVERED, 2, 500),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x[4];
    FIELD("orders", expected(&farm, AT(1), x, 4), 3);
    int64_t by_20 = growing_fish(&farm.state, farm_cycle(&farm.state, 1), AT(20)).low;
    assert_in_range(by_20, 3000, 4000);
    FIELD("first", x[0].order, 2);
    FIELD("the rest of it", x[0].left, 2000);
    FIELD("from the pond", x[0].spare, 2000);
    FIELD("with what he has", x[0].promise, 2500);
    FIELD("no danger", x[0].fall_tenths, 0);
    FIELD("second", x[1].order, 1);
    FIELD("what is left", x[1].promise, by_20 - 2000);
    FIELD("danger", x[1].fall_tenths, (2500 - (by_20 - 2000)) * 10 / 2500);
    FIELD("third", x[2].order, 3);
    FIELD("nothing", x[2].promise, 0);
    FIELD("all of it", x[2].fall_tenths, 10);
    FIELD("the first two of them", expected(&farm, AT(1), x, 2), 2);
    FIELD("the earliest", x[0].order, 2);
    FIELD("and the next", x[1].order, 1);
    farm_free(&farm);
}

/* Larvae and fry of no plan serve, too, and only in time. */
static void unplanned(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        WATER,
        ORDERED(1, 9000, HARVEST, 4000),
        INJECTED(EVENING * DAY, 1, 3),
        OF_SPAWN(EVENING * DAY + 700, ENTRY_STRIPPED, 1, 100000),
        OF_SPAWN((EVENING + 2) * DAY, ENTRY_HATCHED, 1, 20000, HATCH_COUNTED),
        STOCKED(EVENING * DAY, 1, 4, 3000, 100000, 0, 0),
        INJECTED((EVENING + 5) * DAY, 2, 4), /* not for this day any more */
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct expect x;
    expected(&farm, AT(EVENING + 5), &x, 1);
    const struct order_part larvae = {ORDER_LARVAE, 20000}, fry = {ORDER_FRY, 3000};
    FIELD("of its own", x.part_count, 0);
    FIELD("of no order", x.spare,
          order_outlook(&odds, &larvae, 1, ORDER_NO_LIMIT, true).promise +
              order_outlook(&odds, &fry, 1, ORDER_NO_LIMIT, true).promise);
    FIELD("all it has", x.promise, x.spare);
    farm_free(&farm);
}

/* -- danger --------------------------------------------------------------------------------------
 */

/* Told of a fall by more than a tenth of what was promised, never of more than was asked for. */
static void falls(void **unused) {
    (void)unused;
    static const struct {
        int64_t count, promised, there;
        int tenths;
    } table[] = {
        {1000, 1000, 1000, 0}, {1000, 1000, 900, 0}, {1000, 1000, 899, 1}, {1000, 1000, 801, 1},
        {1000, 1000, 800, 2},  {1000, 1000, 500, 5}, {1000, 1000, 0, 10},  {1000, 0, 0, 0},
        {1000, 3000, 950, 0},  {1000, 600, 550, 0},  {1000, 600, 539, 1},
    };
    for (size_t i = 0; i < COUNT_OF(table); i++) {
        const struct say rows[] = {
            WATER, OF_ORDER(0, ENTRY_ORDERED, 1, 2 * table[i].count, 2000, AT(0) + 60, 0, 0),
            OF_ORDER(1, ENTRY_ORDER_CHANGED, 1, table[i].count, 0, 0, 0, table[i].promised),
            STOCKED(2, 1, 4, table[i].there + 1, 3000000, 0, 0),
            OF_CYCLE(3, ENTRY_COUNTED, 1, table[i].there)};
        struct farm farm = say_all(rows, COUNT_OF(rows));
        struct expect x;
        expected(&farm, LEDGER_START_S + 3 * MINUTE_S, &x, 1);
        FIELD("row", x.promise, table[i].there < table[i].count ? table[i].there : table[i].count);
        if (x.fall_tenths != table[i].tenths)
            fail_msg("row %zu: %d tenths, wanted %d", i, x.fall_tenths, table[i].tenths);
        farm_free(&farm);
    }
}

/* -- random ledgers ------------------------------------------------------------------------------
 */

static void sound(void **unused) {
    (void)unused;
    static struct ledger l;
    int seen = 0, promising = 0;
    for (uint64_t seed = 1; seed <= 400; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        struct farm farm = ledger_farm(&l);
        for (int64_t now_s = LEDGER_START_S; now_s < AT(60); now_s += 9 * DAY_S) {
            struct expect x[8];
            int n = expected(&farm, now_s, x, 8);
            int64_t before_s = 0;
            for (int i = 0; i < n; i++, seen++) {
                const struct order *o = farm_order(&farm.state, x[i].order);
                assert_true(order_open(o, now_s) && o->day_s >= before_s);
                before_s = o->day_s;
                assert_true(x[i].promise >= o->delivered && x[i].promise <= x[i].high);
                assert_in_range(x[i].fall_tenths, 0, 10);
                assert_true(x[i].spare <= x[i].left);
                promising += x[i].promise > o->delivered;
            }
        }
        farm_free(&farm);
    }
    assert_in_range(seen, 300, 100000);
    assert_in_range(promising, 50, 100000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_a_small_pond), cmocka_unit_test(delivered),
        cmocka_unit_test(stages),          cmocka_unit_test(counted),
        cmocka_unit_test(as_planned),      cmocka_unit_test(one_pond_for_all),
        cmocka_unit_test(unplanned),       cmocka_unit_test(falls),
        cmocka_unit_test(sound),           cmocka_unit_test(found_dead),
        cmocka_unit_test(another_beside),  cmocka_unit_test(in_a_net),
    };
    return cmocka_run_group_tests(tests, load_zone, NULL);
}
