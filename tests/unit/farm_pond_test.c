/* Ponds and what swims in them, by small ledgers: what makes a pond, how it is prepared, stocked,
 * counted, emptied, and how many fish are thought to be in it. */
#include "farm_say.h"

#include "trade/lime.h"

/* pond, count, each in micrograms, spawn, cycle, all */
#define STOCK(at, cycle, ...)   OF_CYCLE(at, ENTRY_STOCKED, cycle, __VA_ARGS__)
#define HARVEST(at, cycle, ...) OF_CYCLE(at, ENTRY_HARVESTED, cycle, __VA_ARGS__)
#define COUNTED(at, cycle, n)   OF_CYCLE(at, ENTRY_COUNTED, cycle, n)
#define DIED(at, cycle, n)      OF_CYCLE(at, ENTRY_DIED, cycle, n)
#define PREPARE(at, pond, day_min, spawn)                                                          \
    OF_POND(at, ENTRY_PREPARE, pond, LEDGER_START_S + (day_min)*MINUTE_S, spawn)
#define DONE(at, pond, ...) OF_POND(at, ENTRY_PREPARED, pond, __VA_ARGS__)
#define PH(at, pond, milli) OF_POND(at, ENTRY_POND_PH, pond, milli)

enum { A_DAY = 24 * 60 }; /* minutes */

static const struct pond *pond_of(const struct farm *farm, int64_t number) {
    const struct pond *pond = farm_pond(&farm->state, number);
    assert_non_null(pond);
    return pond;
}

static const struct cycle *cycle_of(const struct farm *farm, int64_t number) {
    const struct cycle *cycle = farm_cycle(&farm->state, number);
    assert_non_null(cycle);
    return cycle;
}

/* A pond that says it holds a cycle, and the cycle, mean each other. */
static void check_ponds(const char *name, const struct farm *farm) {
    for (int i = 0; i < farm->state.pond_count; i++) {
        const struct pond *pond = &farm->state.ponds[i];
        if (!pond->cycle)
            continue;
        const struct cycle *c = farm_cycle(&farm->state, pond->cycle);
        if (!c || c->closed_s || c->pond != pond->number)
            fail_msg("%s: pond %d holds cycle %lld, which is %s", name, pond->number,
                     (long long)pond->cycle,
                     !c            ? "unknown"
                     : c->closed_s ? "closed"
                                   : "elsewhere");
    }
}

/* -- ponds ---------------------------------------------------------------------------------------
 */

static void any_entry_makes_one(void **unused) {
    (void)unused;
    static const struct say makers[] = {
        OF_POND(1, ENTRY_POND, 4, 4000000, 0, 0),
        OF_POND(1, ENTRY_SOIL, 4, 5500, SOIL_CLAY),
        PREPARE(1, 4, 40000, 0),
        DONE(1, 4, PREP_DRY, 0),
        PH(1, 4, 7000),
        STOCK(1, 1, 4, 100, 0, 0, 0, 0),
    };
    for (size_t i = 0; i < COUNT_OF(makers); i++) {
        struct farm farm = say_all(&makers[i], 1);
        FIELD("made", farm.state.pond_count, 1);
        FIELD("made", pond_of(&farm, 4)->hands.who[0], 1);
        say_one(&farm, (struct say)OF_POND(5, ENTRY_POND, 4, 1000000, 800, FENCE_STANDS));
        FIELD("not made again", farm.state.pond_count, 1);
        assert_null(farm_pond(&farm.state, 5));
        farm_free(&farm);
    }
}

/* What is not said anew stays. */
static void what_is_known_of_it(void **unused) {
    (void)unused;
    struct farm farm =
        say_all((const struct say[]){OF_POND(1, ENTRY_POND, 4, 4000000, 800, FENCE_NONE),
                                     OF_POND(2, ENTRY_POND, 4, 0, 0, FENCE_STANDS),
                                     OF_POND(3, ENTRY_SOIL, 4, 5500, 0),
                                     OF_POND(4, ENTRY_SOIL, 4, 0, SOIL_SAND),
                                     OF_POND(5, ENTRY_POND, 4, 0, 900, 0),
                                     {6, ENTRY_POND, SUBJECT_POND, 5, {2000000, 0, 0}, 3}},
                6);
    const struct pond *pond = pond_of(&farm, 4);
    FIELD("known", pond->area_cm2, 4000000);
    FIELD("known", pond->depth_mm, 900);
    FIELD("known", pond->fence, FENCE_STANDS);
    FIELD("known", pond->soil_ph_milli, 5500);
    FIELD("known", pond->soil, SOIL_SAND);
    FIELD("another", pond_of(&farm, 5)->area_cm2, 2000000);
    FIELD("another", pond_of(&farm, 5)->hands.who[0], 3);
    farm_free(&farm);
}

/* -- preparing -----------------------------------------------------------------------------------
 */

static const struct prep_case {
    const char *name;
    struct say rows[SAY_MOST];
    struct pond want; /* instants in minutes */
} prep_cases[] = {
    {"begun",
     {PREPARE(10, 4, 30 * A_DAY, 3)},
     {.ready_s = 30 * A_DAY, .planned_s = 10, .spawn = 3}},
    {"steps done",
     {PREPARE(10, 4, 30 * A_DAY, 0), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      DONE(16 * A_DAY, 4, PREP_LIME, LIME_QUICK), PH(20 * A_DAY, 4, 9500)},
     {.ready_s = 30 * A_DAY,
      .planned_s = 10,
      .done_s = {0, 9 * A_DAY, 16 * A_DAY, 0, 0},
      .lime = LIME_QUICK,
      .ph_s = 20 * A_DAY,
      .ph_milli = 9500}},
    {"moved: what is done is done",
     {PREPARE(10, 4, 30 * A_DAY, 3), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      PREPARE(12 * A_DAY, 4, 33 * A_DAY, 0)},
     {.ready_s = 33 * A_DAY, .planned_s = 12 * A_DAY, .done_s = {0, 9 * A_DAY, 0, 0, 0}}},
    {"moved when the day has passed, three weeks after it at most",
     {PREPARE(10, 4, 30 * A_DAY, 3), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      PREPARE(51 * A_DAY, 4, 60 * A_DAY, 0)},
     {.ready_s = 60 * A_DAY, .planned_s = 51 * A_DAY, .done_s = {0, 9 * A_DAY, 0, 0, 0}}},
    {"later it is begun anew",
     {PREPARE(10, 4, 30 * A_DAY, 3), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      PREPARE(51 * A_DAY + 1, 4, 60 * A_DAY, 0)},
     {.ready_s = 60 * A_DAY, .planned_s = 51 * A_DAY + 1}},
    {"a step done before anybody said for when",
     {DONE(10, 4, PREP_LIME, LIME_QUICK), PREPARE(A_DAY, 4, 10 * A_DAY, 0)},
     {.ready_s = 10 * A_DAY, .planned_s = A_DAY, .done_s = {0, 0, 10, 0, 0}, .lime = LIME_QUICK}},
    {"but not one of the season before",
     {DONE(10, 4, PREP_LIME, LIME_QUICK), DONE(11, 4, PREP_DRY, 0),
      PREPARE(60 * A_DAY, 4, 90 * A_DAY, 0)},
     {.ready_s = 90 * A_DAY, .planned_s = 60 * A_DAY}},
    {"nor when a pond that was ready was never stocked",
     {PREPARE(10, 4, 30 * A_DAY, 0), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      PREPARE(80 * A_DAY, 4, 110 * A_DAY, 0)},
     {.ready_s = 110 * A_DAY, .planned_s = 80 * A_DAY}},
    {"ended by stocking",
     {PREPARE(10, 4, 30 * A_DAY, 3), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      DONE(16 * A_DAY, 4, PREP_LIME, LIME_QUICK), PH(20 * A_DAY, 4, 8000),
      STOCK(30 * A_DAY, 1, 4, 1000, 0, 0, 0, 0)},
     {.cycle = 1}},
    {"and begun for the next time",
     {PREPARE(10, 4, 30 * A_DAY, 3), DONE(9 * A_DAY, 4, PREP_DRY, 0),
      STOCK(30 * A_DAY, 1, 4, 1000, 0, 0, 0, 0), HARVEST(60 * A_DAY, 1, 300, 0, 1),
      PREPARE(61 * A_DAY, 4, 90 * A_DAY, 0)},
     {.ready_s = 90 * A_DAY, .planned_s = 61 * A_DAY}},
    {"a step said late, before the stocking, is of that time",
     {PREPARE(10, 4, 30 * A_DAY, 3), STOCK(30 * A_DAY, 1, 4, 1000, 0, 0, 0, 0),
      DONE(9 * A_DAY, 4, PREP_DRY, 0)},
     {.cycle = 1}},
    {"a new pH counts",
     {PH(10, 4, 9500), PH(20, 4, 8000), PH(15, 4, 9000)},
     {.ph_s = 20, .ph_milli = 8000}},
    {"lime of a kind not said",
     {DONE(10, 4, PREP_LIME, LIME_QUICK), DONE(20, 4, PREP_LIME, 0)},
     {.done_s = {0, 0, 20, 0, 0}, .lime = LIME_QUICK}},
};

static void preparing(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(prep_cases); i++) {
        const char *name = prep_cases[i].name;
        struct farm farm = say_all(prep_cases[i].rows, SAY_MOST);
        const struct pond *pond = pond_of(&farm, 4), *want = &prep_cases[i].want;
        FIELD(name, say_min(pond->ready_s), want->ready_s);
        FIELD(name, say_min(pond->planned_s), want->planned_s);
        FIELD(name, pond->spawn, want->spawn);
        FIELD(name, say_min(pond->done_s[PREP_DRY]), want->done_s[PREP_DRY]);
        FIELD(name, say_min(pond->done_s[PREP_LIME]), want->done_s[PREP_LIME]);
        FIELD(name, say_min(pond->done_s[PREP_MANURE]), want->done_s[PREP_MANURE]);
        FIELD(name, say_min(pond->done_s[PREP_FILL]), want->done_s[PREP_FILL]);
        FIELD(name, pond->lime, want->lime);
        FIELD(name, say_min(pond->ph_s), want->ph_s);
        FIELD(name, pond->ph_milli, want->ph_milli);
        FIELD(name, pond->cycle, want->cycle);
        check_ponds(name, &farm);
        farm_free(&farm);
    }
}

/* Fry wait for the pH after hydrated or quick lime, until one under 9 was read after the liming. */
static void waits_for_ph(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        bool waits;
    } cases[] = {
        {"no lime", {PREPARE(1, 4, 20 * A_DAY, 0)}, false},
        {"carbonate", {DONE(10, 4, PREP_LIME, LIME_CARBONATE)}, false},
        {"of a kind not said", {DONE(10, 4, PREP_LIME, 0)}, false},
        {"hydrated", {DONE(10, 4, PREP_LIME, LIME_HYDRATED)}, true},
        {"quick", {DONE(10, 4, PREP_LIME, LIME_QUICK)}, true},
        {"just under the limit", {DONE(10, 4, PREP_LIME, LIME_QUICK), PH(20, 4, 8999)}, false},
        {"at the limit", {DONE(10, 4, PREP_LIME, LIME_QUICK), PH(20, 4, 9000)}, true},
        {"risen again",
         {DONE(10, 4, PREP_LIME, LIME_QUICK), PH(20, 4, 8000), PH(30, 4, 9200)},
         true},
        {"read before the liming", {PH(5, 4, 7000), DONE(10, 4, PREP_LIME, LIME_QUICK)}, true},
        {"read before it, and the day said after",
         {PH(5, 4, 7000), DONE(10, 4, PREP_LIME, LIME_QUICK), PREPARE(20, 4, 9 * A_DAY, 0)},
         true},
        {"limed again",
         {DONE(10, 4, PREP_LIME, LIME_QUICK), PH(20, 4, 8000), DONE(30, 4, PREP_LIME, LIME_QUICK)},
         true},
        {"stocked since",
         {DONE(10, 4, PREP_LIME, LIME_QUICK), STOCK(20, 1, 4, 100, 0, 0, 0, 0)},
         false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        FIELD(cases[i].name, plan_prep_ph(pond_of(&farm, 4)), cases[i].waits);
        farm_free(&farm);
    }
}

/* -- cycles --------------------------------------------------------------------------------------
 */

static const struct cycle_case {
    const char *name;
    struct say rows[SAY_MOST];
    struct cycle want; /* instants in minutes */
    int64_t fish;
} cycle_cases[] = {
    {"stocked",
     {STOCK(10, 1, 4, 12000, 100000, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 12000, .mean_ug = 100000},
     12000},
    {"all of a pond is all that swam in it then", /* 1200 - 30 */
     {STOCK(10, 1, 4, 1200, 100000, 0, 0, 0), OF_CYCLE(20, ENTRY_DIED, 1, 30),
      OF_CYCLE(900, ENTRY_HARVESTED, 1, 0, 0, 1)},
     {.pond = 4,
      .stocked_s = 10,
      .count = 1200,
      .mean_ug = 100000,
      .died = 30,
      .taken = 1170,
      .out = 1170,
      .harvested = 1170,
      .harvested_s = 900,
      .closed_s = 900},
     0},
    {"all that a first part left: it was not there",
     {STOCK(10, 1, 4, 1200, 100000, 0, 0, 0), OF_CYCLE(800, ENTRY_HARVESTED, 1, 700, 0, 0),
      OF_CYCLE(900, ENTRY_HARVESTED, 1, 0, 0, 1)},
     {.pond = 4,
      .stocked_s = 10,
      .count = 1200,
      .mean_ug = 100000,
      .taken = 700,
      .out = 700,
      .harvested = 700,
      .harvested_s = 900,
      .closed_s = 900},
     500},
    {"stocked twice: the mean of both", /* (3 x 100 + 1 x 60) / 4 = 90 mg */
     {STOCK(10, 1, 4, 3000, 100000, 0, 0, 0), STOCK(900, 1, 4, 1000, 60000, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 4000, .mean_ug = 90000},
     4000},
    {"the second not weighed",
     {STOCK(10, 1, 4, 3000, 100000, 0, 0, 0), STOCK(900, 1, 4, 1000, 0, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 4000, .mean_ug = 100000},
     4000},
    {"the first not weighed",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), STOCK(900, 1, 4, 1000, 60000, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 4000, .mean_ug = 60000},
     4000},
    {"the second said first",
     {STOCK(900, 1, 4, 1000, 60000, 0, 0, 0), STOCK(10, 1, 4, 3000, 100000, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 4000, .mean_ug = 90000},
     4000},
    {"deaths",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), DIED(20, 1, 5), DIED(30, 1, 7)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .died = 12},
     2988},
    {"found dead at the stocking itself",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), DIED(10, 1, 5)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .died = 5},
     2995},
    {"more deaths than fish",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), DIED(20, 1, 2999), DIED(30, 1, 7)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .died = 3006},
     0},
    {"counted: deaths of before are in it",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), DIED(20, 1, 500), COUNTED(30, 1, 2000), DIED(40, 1, 10)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .counted_s = 30, .counted = 2000, .died = 10},
     1990},
    {"counted none",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), COUNTED(30, 1, 0)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .counted_s = 30},
     0},
    {"stocked after a count",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), COUNTED(30, 1, 2000), STOCK(40, 1, 4, 500, 0, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 3500, .counted_s = 30, .counted = 2500},
     2500},
    {"more taken than was known: more were there, and those that come later are there",
     {STOCK(10, 1, 4, 1000, 0, 0, 0, 0), OF_CYCLE(20, ENTRY_SOLD, 1, 1100, 0, 0), DIED(25, 1, 7),
      STOCK(30, 1, 4, 80, 0, 0, 0, 0), DIED(40, 1, 3)},
     {.pond = 4, .stocked_s = 10, .count = 1080, .died = 10, .taken = 1100},
     77},
    {"the same said in another order",
     {STOCK(10, 1, 4, 1000, 0, 0, 0, 0), STOCK(30, 1, 4, 80, 0, 0, 0, 0), DIED(40, 1, 3),
      DIED(25, 1, 7), OF_CYCLE(20, ENTRY_SOLD, 1, 1100, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 1080, .died = 10, .taken = 1100},
     77},
    {"graded twice, some taken out",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), OF_CYCLE(20, ENTRY_GRADED, 1, 200),
      OF_CYCLE(30, ENTRY_GRADED, 1, 0)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .graded_s = 30, .grades = 2, .taken = 200},
     2800},
    {"harvested in part",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), HARVEST(20, 1, 900, 2000000, 0),
      HARVEST(30, 1, 100, 0, 0)},
     {.pond = 4,
      .stocked_s = 10,
      .count = 3000,
      .taken = 1000,
      .harvested = 1000,
      .harvested_mg = 2000000,
      .harvested_s = 30},
     2000},
    {"harvested in whole",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), HARVEST(20, 1, 900, 2000000, 1), DIED(30, 1, 4)},
     {.pond = 4,
      .stocked_s = 10,
      .count = 3000,
      .taken = 900,
      .harvested = 900,
      .harvested_mg = 2000000,
      .harvested_s = 20,
      .closed_s = 20},
     2100},
    {"sold in part, then the last",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), OF_CYCLE(20, ENTRY_SOLD, 1, 100, 0, 0),
      OF_CYCLE(30, ENTRY_SOLD, 1, 200, 0, 1), OF_CYCLE(40, ENTRY_SOLD, 1, 50, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 3000, .taken = 300, .closed_s = 30},
     2700},
    {"nothing of a cycle before its stocking",
     {DIED(5, 1, 7), HARVEST(6, 1, 7, 0, 1), STOCK(10, 1, 4, 3000, 0, 0, 0, 0)},
     {.pond = 4, .stocked_s = 10, .count = 3000},
     3000},
    {"emptied, as is said late, between two stockings: only the second is in it",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), STOCK(900, 1, 4, 1000, 0, 0, 0, 0),
      HARVEST(500, 1, 2500, 0, 1), DIED(910, 1, 4)},
     {.pond = 4,
      .stocked_s = 10,
      .count = 4000,
      .died = 4,
      .counted_s = 500,
      .counted = 1000,
      .harvested = 2500,
      .harvested_s = 500},
     996},
    {"into itself is nothing",
     {STOCK(10, 1, 4, 3000, 0, 0, 0, 0), STOCK(20, 1, 4, 100, 0, 0, 1, 1)},
     {.pond = 4, .stocked_s = 10, .count = 3100},
     3100},
    {"as many as can be said",
     {STOCK(10, 1, 4, 1000000000, INT64_C(10000000000), 0, 0, 0),
      STOCK(20, 1, 4, 1000000000, INT64_C(10000000000), 0, 0, 0),
      STOCK(30, 1, 4, 1000000000, INT64_C(10000000000), 0, 0, 0),
      HARVEST(40, 1, 1000000000, INT64_C(100000000000), 0),
      HARVEST(50, 1, 1000000000, INT64_C(100000000000), 0)},
     {.pond = 4,
      .stocked_s = 10,
      .count = INT64_C(3000000000),
      .mean_ug = INT64_C(10000000000),
      .taken = INT64_C(2000000000),
      .harvested = INT64_C(2000000000),
      .harvested_mg = INT64_C(200000000000),
      .harvested_s = 50},
     1000000000},
};

static void cycles(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(cycle_cases); i++) {
        const char *name = cycle_cases[i].name;
        struct farm farm = say_all(cycle_cases[i].rows, SAY_MOST);
        const struct cycle *c = cycle_of(&farm, 1), *want = &cycle_cases[i].want;
        FIELD(name, farm.state.cycle_count, 1);
        FIELD(name, c->pond, want->pond);
        FIELD(name, say_min(c->stocked_s), want->stocked_s);
        FIELD(name, c->count, want->count);
        FIELD(name, c->mean_ug, want->mean_ug);
        FIELD(name, c->died, want->died);
        FIELD(name, say_min(c->counted_s), want->counted_s);
        FIELD(name, c->counted, want->counted);
        FIELD(name, c->taken, want->taken);
        FIELD(name, say_min(c->graded_s), want->graded_s);
        FIELD(name, c->grades, want->grades);
        FIELD(name, c->harvested, want->harvested);
        FIELD(name, c->harvested_mg, want->harvested_mg);
        FIELD(name, say_min(c->harvested_s), want->harvested_s);
        FIELD(name, say_min(c->closed_s), want->closed_s);
        FIELD(name, cycle_fish(c), cycle_cases[i].fish);
        FIELD(name, pond_of(&farm, 4)->cycle, want->closed_s ? 0 : 1);
        check_ponds(name, &farm);
        farm_free(&farm);
    }
}

static void moved_between_ponds(void **unused) {
    (void)unused;
    struct farm farm =
        say_all((const struct say[]){STOCK(10, 1, 4, 3000, 100000, 0, 0, 0), DIED(20, 1, 100),
                                     STOCK(30, 2, 5, 1000, 500000, 0, 1, 0)},
                3);
    FIELD("some moved", cycle_fish(cycle_of(&farm, 1)), 1900);
    FIELD("some moved", cycle_fish(cycle_of(&farm, 2)), 1000);
    FIELD("some moved", pond_of(&farm, 4)->cycle, 1);
    FIELD("some moved", pond_of(&farm, 5)->cycle, 2);
    FIELD("its own", cycle_of(&farm, 2)->mean_ug, 500000);

    say_one(&farm, (struct say)STOCK(40, 2, 5, 1800, 0, 0, 1, 1));
    FIELD("the last moved", say_min(cycle_of(&farm, 1)->closed_s), 40);
    FIELD("the last moved", pond_of(&farm, 4)->cycle, 0);
    FIELD("the last moved", cycle_fish(cycle_of(&farm, 2)), 2800);
    check_ponds("the last moved", &farm);

    say_one(&farm, (struct say)STOCK(50, 3, 4, 100, 0, 0, 1, 0)); /* of none that is left */
    FIELD("closed", cycle_of(&farm, 1)->taken, 2800);
    FIELD("stocked again", pond_of(&farm, 4)->cycle, 3);
    FIELD("the second", cycle_of(&farm, 2)->closed_s, 0);
    FIELD("numbers", farm_next(&farm, SUBJECT_CYCLE), 4);
    check_ponds("stocked again", &farm);
    farm_free(&farm);
}

/* A cycle stays in the pond where it began, whatever a corrected stocking names. */
static void one_pond_each(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){STOCK(10, 1, 4, 3000, 0, 0, 0, 0), STOCK(20, 1, 5, 100, 0, 0, 0, 0)},
        2);
    FIELD("one pond", cycle_of(&farm, 1)->pond, 4);
    FIELD("one pond", pond_of(&farm, 4)->cycle, 1);
    FIELD("one pond", cycle_fish(cycle_of(&farm, 1)), 3100);
    check_ponds("one pond", &farm);
    farm_free(&farm);
}

static void from_a_spawn(void **unused) {
    (void)unused;
    struct farm farm =
        say_all((const struct say[]){INJECTED(1, 1, 1), STOCK(300, 1, 4, 10, 0, 1, 0, 1),
                                     OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
                                     OF_SPAWN(3000, ENTRY_FRAMES, 1, 0),
                                     STOCK(9000, 2, 5, 5000, 2000, 1, 0, 0)},
                5);
    const struct spawn *s = farm_spawn(&farm.state, 1);
    FIELD("before her strip nothing is taken", say_min(s->closed_s), 0);
    FIELD("some", s->taken, 5000);
    FIELD("some", spawn_phase(s), PHASE_LARVAE);
    FIELD("whose", cycle_of(&farm, 2)->spawn, 1);
    assert_true(cycle_direct(cycle_of(&farm, 2)));
    say_one(&farm, (struct say)STOCK(9100, 3, 6, 7000, 100000, 1, 0, 1));
    s = farm_spawn(&farm.state, 1);
    FIELD("all", s->taken, 12000);
    FIELD("all", say_min(s->gone_s), 9100);
    FIELD("all", say_min(s->closed_s), 9100);
    assert_false(cycle_direct(cycle_of(&farm, 3)));
    say_one(&farm, (struct say)STOCK(9200, 4, 7, 50, 0, 1, 0, 1));
    s = farm_spawn(&farm.state, 1);
    FIELD("no more", s->taken, 12000);
    FIELD("no more", say_min(s->gone_s), 9100);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_entry_makes_one),
        cmocka_unit_test(what_is_known_of_it),
        cmocka_unit_test(preparing),
        cmocka_unit_test(waits_for_ph),
        cmocka_unit_test(cycles),
        cmocka_unit_test(moved_between_ponds),
        cmocka_unit_test(one_pond_each),
        cmocka_unit_test(from_a_spawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
