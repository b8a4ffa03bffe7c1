/* The farm's own runs against tables made by hand: which reports make a run, what it is worth, in
 * what water, and what trade's learn makes of them. 600 eggs a gram (the book). */
#include "farm_say.h"

#include "farm/runs.h"
#include "trade/book.h"

enum { DAY = 24 * 60, WHOLE = 1000000 }; /* minutes, as rows have them; millionths */

#define STRIPPED(at, spawn, mg)    OF_SPAWN(at, ENTRY_STRIPPED, spawn, mg)
#define HATCHED(at, spawn, larvae) OF_SPAWN(at, ENTRY_HATCHED, spawn, larvae, HATCH_COUNTED)
#define STOCKED(at, cycle, count, mean_ug)                                                         \
    OF_CYCLE(at, ENTRY_STOCKED, cycle, 4, count, mean_ug, 0, 0, 0)
#define STEADY(mdegc) OF_HALL(-60, ENTRY_WATER, mdegc)
#define G             1000000 /* in ug */

struct want_run {
    int64_t value, subject, at_min; /* at_min -1: not looked at */
};

static const struct {
    const char *name;
    enum learn_kind kind;
    struct say rows[SAY_MOST];
    struct want_run want[3]; /* until one without a subject */
} cases[] = {
    /* 100 g of 1 kg: 60 000 eggs a kg */
    {"one stripped", LEARN_EGGS, {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000)}, {{60000, 1, 720}}},
    {"not stripped, no eggs",
     LEARN_EGGS,
     {INJECTED(0, 1, 3), INJECTED(0, 2, 4), OF_SPAWN(720, ENTRY_NO_EGGS, 2)},
     {{0}}},
    {"two, each her own",
     LEARN_EGGS,
     {INJECTED(0, 1, 3), INJECTED(5, 2, 4), STRIPPED(720, 1, 100000), STRIPPED(700, 2, 50000)},
     {{60000, 1, 720}, {30000, 2, 700}}},
    /* 150 g of 2 kg in one bowl: 45 000 a kg */
    {"two in one bowl",
     LEARN_EGGS,
     {INJECTED(0, 1, 3), INJECTED(5, 2, 4), STRIPPED(720, 1, 150000),
      OF_SPAWN(720, ENTRY_BOWL, 1, 2)},
     {{45000, 1, 720}}},

    /* 60 000 eggs, 27 000 hatched: 45 %, whether white ones were counted or not */
    {"hatched of all that were stripped",
     LEARN_HATCH,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), OF_SPAWN(1200, ENTRY_WHITE, 1, 10, 100),
      HATCHED(2 * DAY, 1, 27000)},
     {{450000, 1, 2 * DAY}}},
    {"the same, none counted",
     LEARN_HATCH,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 27000)},
     {{450000, 1, 2 * DAY}}},
    {"lost as eggs",
     LEARN_HATCH,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), OF_SPAWN(1 * DAY, ENTRY_SPOILT, 1)},
     {{0, 1, 1 * DAY}}},
    {"lost as larvae says nothing of the hatch",
     LEARN_HATCH,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), OF_SPAWN(2 * DAY, ENTRY_FRAMES, 1),
      OF_SPAWN(5 * DAY, ENTRY_SPOILT, 1)},
     {{0}}},
    {"none hatched",
     LEARN_HATCH,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 0)},
     {{0, 1, 2 * DAY}}},
    {"not said",
     LEARN_HATCH,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), OF_SPAWN(2 * DAY, ENTRY_FRAMES, 1)},
     {{0}}},

    {"larvae lost on the fifth day",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(5 * DAY, ENTRY_SPOILT, 1)},
     {{0, 1, 5 * DAY}}},
    {"dead to the last one",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(6 * DAY, ENTRY_DIED, 1, 20000)},
     {{0, 1, 6 * DAY}}},
    {"a handful of larvae given up",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 5999),
      OF_SPAWN(3 * DAY, ENTRY_SPOILT, 1)},
     {{0}}},
    {"a tenth of the eggs is none",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 6000),
      OF_SPAWN(3 * DAY, ENTRY_SPOILT, 1)},
     {{0, 1, 3 * DAY}}},
    /* without readings the hatch is the first report of larvae: day 2 */
    {"counted at two weeks",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(16 * DAY, ENTRY_COUNTED, 1, 8000)},
     {{400000, 1, 16 * DAY}}},
    {"counted on the twelfth day",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(14 * DAY, ENTRY_COUNTED, 1, 8000), OF_SPAWN(15 * DAY, ENTRY_COUNTED, 1, 7000)},
     {{400000, 1, 14 * DAY}}},
    {"counted too early",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(14 * DAY - 1, ENTRY_COUNTED, 1, 8000)},
     {{0}}},
    {"counted too late",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(18 * DAY + 1, ENTRY_COUNTED, 1, 8000)},
     {{0}}},
    {"some sorted out, then counted",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(10 * DAY, ENTRY_GRADED, 1, 1000), OF_SPAWN(15 * DAY, ENTRY_SOLD, 1, 3000, 0, 0),
      OF_SPAWN(16 * DAY, ENTRY_COUNTED, 1, 6000)},
     {{WHOLE / 2, 1, 16 * DAY}}},
    {"many sold early",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_SPAWN(10 * DAY, ENTRY_SOLD, 1, 2001, 0, 0), OF_SPAWN(16 * DAY, ENTRY_COUNTED, 1, 6000)},
     {{0}}},
    {"all moved at two weeks",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_CYCLE(16 * DAY, ENTRY_STOCKED, 1, 4, 7000, 100000, 1, 0, 0),
      OF_CYCLE(17 * DAY, ENTRY_STOCKED, 2, 5, 5000, 100000, 1, 0, 1)},
     {{600000, 1, 17 * DAY}}},
    {"all moved in the first days",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_CYCLE(5 * DAY, ENTRY_STOCKED, 1, 4, 19000, 3000, 1, 0, 1)},
     {{0}}},
    {"the hatch was not said",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), OF_SPAWN(2 * DAY, ENTRY_FRAMES, 1),
      OF_SPAWN(16 * DAY, ENTRY_COUNTED, 1, 8000)},
     {{0}}},

    {"a month in the pond",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 4500, 0, 1)},
     {{450000, 1, 30 * DAY}}},
    {"in parts, some stolen",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(20 * DAY, ENTRY_STOLEN, 1, 500),
      OF_CYCLE(28 * DAY, ENTRY_HARVESTED, 1, 3000, 6000000, 0),
      OF_CYCLE(35 * DAY, ENTRY_SOLD, 1, 1500, 0, 1)},
     {{WHOLE / 2, 1, 35 * DAY}}},
    {"all, nobody said how many",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 0, 0, 1)},
     {{0}}},
    {"the rest after parts is not counted, the parts were",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(29 * DAY, ENTRY_HARVESTED, 1, 4000, 0, 0),
      OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 0, 0, 1)},
     {{400000, 1, 30 * DAY}}},
    {"all of a tank put in, nobody said how many",
     LEARN_NURSERY,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_CYCLE(16 * DAY, ENTRY_STOCKED, 1, 4, 0, 100000, 1, 0, 1),
      OF_CYCLE(46 * DAY, ENTRY_HARVESTED, 1, 4500, 0, 1)},
     {{0}}},
    {"all moved, nobody said how many",
     LEARN_SURVIVE,
     {INJECTED(0, 1, 3), STRIPPED(720, 1, 100000), HATCHED(2 * DAY, 1, 20000),
      OF_CYCLE(16 * DAY, ENTRY_STOCKED, 1, 4, 0, 100000, 1, 0, 1)},
     {{0}}},
    {"not over",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 4500, 0, 0)},
     {{0}}},
    {"out too soon",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(20 * DAY - 1, ENTRY_HARVESTED, 1, 4500, 0, 1)},
     {{0}}},
    {"lost in the first days",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(8 * DAY, ENTRY_HARVESTED, 1, 500, 0, 1)},
     {{50000, 1, 8 * DAY}}},
    {"kept for long",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 100000), OF_CYCLE(60 * DAY + 1, ENTRY_HARVESTED, 1, 4500, 0, 1)},
     {{0}}},
    {"larvae, fingerlings, of no size",
     LEARN_NURSERY,
     {STOCKED(0, 1, 10000, 3000), OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 4500, 0, 1),
      STOCKED(40 * DAY, 2, 10000, 2 * G), OF_CYCLE(70 * DAY, ENTRY_HARVESTED, 2, 4500, 0, 1),
      STOCKED(80 * DAY, 3, 10000, 0), OF_CYCLE(110 * DAY, ENTRY_HARVESTED, 3, 4500, 0, 1)},
     {{0}}},
    {"more fry two days later",
     LEARN_NURSERY,
     {STOCKED(0, 1, 6000, 100000), STOCKED(2 * DAY, 1, 4000, 100000),
      OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 4500, 0, 1)},
     {{450000, 1, 30 * DAY}}},
    {"others put in later",
     LEARN_NURSERY,
     {STOCKED(0, 1, 6000, 100000), STOCKED(9 * DAY, 1, 4000, 100000),
      OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 4500, 0, 1)},
     {{0}}},

    /* 8 g to 27 g in 40 days of 25 degC: 1000 x (3 - 2) / 1000 = 1 */
    {"two samples",
     LEARN_TGC,
     {STEADY(25000), STOCKED(0, 1, 1000, 8 * G),
      OF_CYCLE(40 * DAY, ENTRY_SAMPLED, 1, 30, 27 * G, 0, 0, 0)},
     {{WHOLE, 1, 40 * DAY}}},
    {"under four weeks",
     LEARN_TGC,
     {STEADY(25000), STOCKED(0, 1, 1000, 8 * G),
      OF_CYCLE(27 * DAY, ENTRY_SAMPLED, 1, 30, 27 * G, 0, 0, 0)},
     {{0}}},
    {"never weighed", LEARN_TGC, {STEADY(25000), STOCKED(0, 1, 1000, 8 * G)}, {{0}}},
    {"they shrank",
     LEARN_TGC,
     {STEADY(25000), STOCKED(0, 1, 1000, 8 * G),
      OF_CYCLE(40 * DAY, ENTRY_SAMPLED, 1, 30, 7 * G, 0, 0, 0)},
     {{0}}},
};

static void tables(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        struct runs r = runs_of(&farm.state, cases[i].kind, LEDGER_START_S + 200 * (int64_t)DAY_S);
        int want = 0;
        while (want < 3 && cases[i].want[want].subject)
            want++;
        FIELD(cases[i].name, r.count, want);
        for (int k = 0; k < want; k++) {
            FIELD(cases[i].name, r.runs[k].value, cases[i].want[k].value);
            FIELD(cases[i].name, r.of[k].subject, cases[i].want[k].subject);
            FIELD(cases[i].name, say_min(r.of[k].at_s), cases[i].want[k].at_min);
            FIELD(cases[i].name, r.runs[k].season, LEARN_SEASON_UNKNOWN);
        }
        /* a minute before its end was reported it was no run yet */
        struct runs before =
            runs_of(&farm.state, cases[i].kind,
                    LEDGER_START_S + cases[i].want[0].at_min * MINUTE_S - MINUTE_S);
        if (want == 1)
            FIELD(cases[i].name, before.count, 0);
        farm_free(&farm);
    }
}

/* 22 degC from the injection, 26 from the strip on: the eggs are a cold run, the hatch a warm one.
 * Half way up during the way to the strip it is the mean of the line. */
static void waters(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        OF_HALL(0, ENTRY_WATER, 22000),
        INJECTED(0, 1, 3),
        OF_HALL(600, ENTRY_WATER, 22000),
        STRIPPED(600, 1, 100000),
        OF_HALL(601, ENTRY_WATER, 26000),
        HATCHED(600 + 2 * DAY, 1, 27000),
        OF_HALL(600 + 2 * DAY, ENTRY_WATER, 26000),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    int64_t now_s = LEDGER_START_S + 3 * (int64_t)DAY_S;
    struct runs eggs = runs_of(&farm.state, LEARN_EGGS, now_s);
    struct runs hatch = runs_of(&farm.state, LEARN_HATCH, now_s);
    FIELD("eggs", eggs.runs[0].mdegc, 22000);
    /* one minute of 48 hours at 24: 26 000 - 2000 / 2880 */
    FIELD("hatch", hatch.runs[0].mdegc, 25999);
    FIELD("now, read twelve hours ago", runs_when(&farm.state, now_s).mdegc, LEARN_WATER_UNKNOWN);
    FIELD("then", runs_when(&farm.state, LEDGER_START_S + (600 + 2 * DAY) * MINUTE_S).mdegc, 26000);
    farm_free(&farm);

    /* the mean of a month's readings, whatever the last one is: 24.5 */
    static const struct say month[] = {
        OF_HALL(0, ENTRY_WATER, 30000), OF_HALL(2 * DAY, ENTRY_WATER, 26000),
        OF_HALL(9 * DAY, ENTRY_WATER, 26000), OF_HALL(20 * DAY, ENTRY_WATER, 25000),
        OF_HALL(31 * DAY, ENTRY_WATER, 21000)};
    farm = say_all(month, COUNT_OF(month));
    FIELD("of a month", runs_water(&farm.state, LEDGER_START_S + 31 * (int64_t)DAY_S), 24500);
    FIELD("before the last", runs_water(&farm.state, LEDGER_START_S + 31 * (int64_t)DAY_S - 1),
          25667 - 1);
    FIELD("long ago", runs_water(&farm.state, LEDGER_START_S + 62 * (int64_t)DAY_S),
          LEARN_WATER_UNKNOWN);
    farm_free(&farm);

    static const struct say none[] = {INJECTED(0, 1, 3), STRIPPED(600, 1, 100000)};
    farm = say_all(none, COUNT_OF(none));
    FIELD("not read", runs_of(&farm.state, LEARN_EGGS, now_s).runs[0].mdegc, LEARN_WATER_UNKNOWN);
    farm_free(&farm);
}

/* The newest when there are more, and the rate is trade's of the very same values. */
static void many(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    struct learn_run want[RUNS_MAX];
    enum { ALL = RUNS_MAX + 5 };
    for (int i = 0; i < ALL; i++) {
        say_one(&farm, (struct say)INJECTED(i * DAY, i + 1, i + 1));
        say_one(&farm, (struct say)STRIPPED(i * DAY + 720, i + 1, 50000 + 1000 * i));
        if (i >= 5)
            want[i - 5] = (struct learn_run){600 * (50 + i), LEARN_WATER_UNKNOWN, 0};
    }
    int64_t now_s = LEDGER_START_S + ALL * (int64_t)DAY_S;
    const struct learn_when when = {LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
    struct runs r = runs_of(&farm.state, LEARN_EGGS, now_s);
    FIELD("newest", r.count, RUNS_MAX);
    for (int i = 0; i < RUNS_MAX; i++) {
        FIELD("value", r.runs[i].value, want[i].value);
        FIELD("spawn", r.of[i].subject, i + 6);
    }
    struct learn_rate got = runs_rate(&farm.state, LEARN_EGGS, when, now_s);
    struct learn_rate of = learn_rate(LEARN_EGGS, want, RUNS_MAX, when);
    FIELD("mean", got.mean, of.mean);
    FIELD("low", got.low, of.low);
    FIELD("own runs", got.own_runs, RUNS_MAX);
    struct order_rates rates = runs_rates(&farm.state, when, now_s);
    FIELD("eggs", rates.eggs.mean, of.mean);
    FIELD("hatch is the book's", rates.hatch.own_runs, 0);
    FIELD("its kind", rates.nursery.kind, LEARN_NURSERY);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tables),
        cmocka_unit_test(waters),
        cmocka_unit_test(many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
