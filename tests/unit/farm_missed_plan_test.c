/* What nobody reported, as planned: when it is said, of which hour, and when it is not said: the
 * step was reported, before its hour or late, it is over, it moved, it was never asked, it was said
 * before, fish are in the pond. Days before stocking are those of the book: dry 21, lime 14, manure
 * 7, fill 3; short: dry 10, manure 7, fill 3. Fry go in within a week of the filling. */
#include "farm_say.h"

#include "trade/lime.h"

#define PREPARE(at, day_min)  OF_POND(at, ENTRY_PREPARE, 4, LEDGER_START_S + (day_min)*MINUTE_S, 0)
#define DONE(at, ...)         OF_POND(at, ENTRY_PREPARED, 4, __VA_ARGS__)
#define STOCK(at, cycle, ...) OF_CYCLE(at, ENTRY_STOCKED, cycle, __VA_ARGS__)
#define EMPTIED(at)           OF_CYCLE(at, ENTRY_HARVESTED, 1, 100, 0, 1)

/* "" wanted: not planned. "due, hour, useful", nothing told, in UTC. */
struct missed_case {
    const char *name;
    struct say rows[8];
    int64_t now_min;
    enum task_kind kind;
    int nth;
    const char *want;
};

static void check(const struct missed_case *c, int64_t subject, enum task_stage stage) {
    static struct told_list none;
    none.count = 0;
    struct farm farm = say_all(c->rows, COUNT_OF(c->rows));
    struct plan_list p = plan_of(&farm, &none, &zone_utc, LEDGER_START_S + c->now_min * MINUTE_S);
    say_want(c->name, &zone_utc, say_task(&p, c->kind, subject, c->nth, stage), c->want);
    farm_free(&farm);
}

/* -- preparing -----------------------------------------------------------------------------------
 */

#define LONG_FORM PREPARE(DAY_AT(0, 12, 0), DAY_AT(30, 7, 0))
#define ACID      OF_POND(DAY_AT(0, 11, 0), ENTRY_POND, 4, 4000000, 800, 0), SOIL
#define SOIL      OF_POND(DAY_AT(0, 11, 1), ENTRY_SOIL, 4, 5500, SOIL_SANDY_LOAM)
#define FISH      STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 100000, 0, 0, 0)

static const struct missed_case preparing[] = {
    {"dry", {LONG_FORM}, 0, TASK_PREP, PREP_MISSED + PREP_DRY, "d10 07:00, d9 07:00, d10 19:00"},
    {"manure",
     {LONG_FORM},
     0,
     TASK_PREP,
     PREP_MISSED + PREP_MANURE,
     "d24 07:00, d23 07:00, d24 19:00"},
    {"fill", {LONG_FORM}, 0, TASK_PREP, PREP_UNFILLED, "d28 07:00, d27 07:00, d28 19:00"},
    {"lime, where the soil wants it",
     {ACID, LONG_FORM},
     0,
     TASK_PREP,
     PREP_MISSED + PREP_LIME,
     "d17 07:00, d16 07:00, d17 19:00"},
    {"no lime where the soil is not known", {LONG_FORM}, 0, TASK_PREP, PREP_MISSED + PREP_LIME, ""},
    {"reported in time",
     {LONG_FORM, DONE(DAY_AT(9, 9, 0), PREP_DRY, 0)},
     DAY_AT(9, 9, 1),
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     ""},
    {"reported late, before the word of it",
     {LONG_FORM, DONE(DAY_AT(10, 6, 59), PREP_DRY, 0)},
     DAY_AT(10, 7, 0),
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     ""},
    {"a later step was reported",
     {LONG_FORM, DONE(DAY_AT(9, 9, 0), PREP_MANURE, 0)},
     DAY_AT(10, 7, 0),
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     ""},
    {"stocked",
     {LONG_FORM, STOCK(DAY_AT(9, 9, 0), 1, 4, 5000, 100000, 0, 0, 0)},
     DAY_AT(10, 7, 0),
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     ""},
    {"the day moved",
     {LONG_FORM, PREPARE(DAY_AT(9, 12, 0), DAY_AT(33, 7, 0))},
     DAY_AT(10, 7, 0),
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     "d13 07:00, d12 07:00, d13 19:00"},
    {"planned too late for it: it was never asked",
     {PREPARE(DAY_AT(0, 12, 0), DAY_AT(6, 7, 0))},
     0,
     TASK_PREP,
     PREP_MISSED + PREP_MANURE,
     ""},
    {"planned on the day of it: it was asked",
     {PREPARE(DAY_AT(0, 12, 0), DAY_AT(7, 7, 0))},
     0,
     TASK_PREP,
     PREP_MISSED + PREP_MANURE,
     "d1 07:00, d0 07:00, d1 19:00"},
    {"planned in the evening of it: not asked",
     {PREPARE(DAY_AT(0, 19, 1), DAY_AT(7, 7, 0))},
     DAY_AT(0, 19, 2),
     TASK_PREP,
     PREP_MISSED + PREP_MANURE,
     ""},
    {"fish in it: the day of drying is said",
     {FISH, LONG_FORM},
     0,
     TASK_PREP,
     PREP_DRY,
     "d9 07:00, d9 07:00, d9 19:00"},
    {"fish in it: nobody missed to drain it",
     {FISH, LONG_FORM},
     0,
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     ""},
    {"fish in it: no lime on them", {FISH, LONG_FORM}, 0, TASK_PREP, PREP_LIME, ""},
    {"fish in it: no manure", {FISH, LONG_FORM}, 0, TASK_PREP, PREP_MANURE, ""},
    {"fish in it: not ready on its day", {FISH, LONG_FORM}, 0, TASK_STOCK, 0, ""},
    {"caught: as any pond",
     {FISH, LONG_FORM, EMPTIED(DAY_AT(5, 9, 0))},
     DAY_AT(5, 9, 1),
     TASK_PREP,
     PREP_MISSED + PREP_DRY,
     "d10 07:00, d9 07:00, d10 19:00"},
    {"filled on d27, no fry: a week on",
     {LONG_FORM, DONE(DAY_AT(27, 9, 0), PREP_FILL, 0)},
     DAY_AT(27, 9, 1),
     TASK_STOCK,
     STOCK_MISSED,
     "d34 07:00, d30 07:00, d34 19:00"},
    {"filled at the earliest: not before the day after the day",
     {LONG_FORM, DONE(DAY_AT(23, 9, 0), PREP_FILL, 0)},
     DAY_AT(23, 9, 1),
     TASK_STOCK,
     STOCK_MISSED,
     "d31 07:00, d30 07:00, d31 19:00"},
    {"not reported full: nothing of fry", {LONG_FORM}, 0, TASK_STOCK, STOCK_MISSED, ""},
    {"stocked in time",
     {LONG_FORM, DONE(DAY_AT(27, 9, 0), PREP_FILL, 0),
      STOCK(DAY_AT(30, 17, 0), 1, 4, 5000, 100000, 0, 0, 0)},
     DAY_AT(30, 17, 1),
     TASK_STOCK,
     STOCK_MISSED,
     ""},
};

static void ponds(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(preparing); i++)
        check(&preparing[i], 4, STAGE_FIRST);
}

/* The pond of a spawn has its day from the spawn's own two weeks, but lime that burns is said. */
static void of_a_spawn(void **unused) {
    (void)unused;
#define HERS                                                                                       \
    INJECTED(DAY_AT(0, 11, 0), 1, 1), OF_POND(DAY_AT(0, 12, 0), ENTRY_PREPARE, 4,                  \
                                              LEDGER_START_S + DAY_AT(30, 7, 0) * MINUTE_S, 1)
    static const struct missed_case rows[] = {
        {"no pH read",
         {HERS, DONE(DAY_AT(9, 9, 0), PREP_LIME, LIME_QUICK)},
         DAY_AT(9, 9, 1),
         TASK_STOCK,
         0,
         "d30 07:00, d30 07:00, d30 19:00"},
        {"pH read",
         {HERS, DONE(DAY_AT(9, 9, 0), PREP_LIME, LIME_QUICK),
          OF_POND(DAY_AT(9, 10, 0), ENTRY_POND_PH, 4, 8200)},
         DAY_AT(9, 10, 1),
         TASK_STOCK,
         0,
         ""},
        {"no word of insects: her own two weeks say it",
         {HERS, DONE(DAY_AT(9, 9, 0), PREP_FILL, 0)},
         DAY_AT(9, 9, 1),
         TASK_STOCK,
         STOCK_MISSED,
         ""},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        check(&rows[i], 4, STAGE_FIRST);
}

/* -- grading -------------------------------------------------------------------------------------
 */

static const struct missed_case grading[] = {
    {"two days on", {FISH}, 0, TASK_SORT, SORT_MISSED + 1, "d16 07:00, d14 07:00, d16 19:00"},
    {"graded in time",
     {FISH, OF_CYCLE(DAY_AT(14, 9, 0), ENTRY_GRADED, 1, 0)},
     DAY_AT(14, 9, 1),
     TASK_SORT,
     SORT_MISSED + 1,
     ""},
    {"graded late, before the word of it",
     {FISH, OF_CYCLE(DAY_AT(16, 6, 0), ENTRY_GRADED, 1, 0)},
     DAY_AT(16, 6, 1),
     TASK_SORT,
     SORT_MISSED + 1,
     ""},
    {"emptied",
     {FISH, EMPTIED(DAY_AT(15, 9, 0))},
     DAY_AT(15, 9, 1),
     TASK_SORT,
     SORT_MISSED + 1,
     ""},
    {"harvested in part: who did that saw them",
     {FISH, OF_CYCLE(DAY_AT(15, 9, 0), ENTRY_HARVESTED, 1, 100, 0, 0)},
     DAY_AT(15, 9, 1),
     TASK_SORT,
     SORT_MISSED + 1,
     ""},
};

static void graded(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(grading); i++)
        check(&grading[i], 1, STAGE_FIRST);
}

/* -- eggs and looks ------------------------------------------------------------------------------
 */

/* Injected at 24 degC: first look 12 h on, looking ends at 24 h; half hatch 29 h, frames 47.85 h
 * after stripping. At 28 degC half hatch after 22 h. White is counted from 10 to 12 h on and said
 * to be missed from 14 h on (FAO 362 and the book). */
#define HER(at, mdegc) INJECTED(at, 1, 1), OF_SPAWN(at, ENTRY_WATER, 1, mdegc, 1)
#define STRIP(at)      OF_SPAWN(at, ENTRY_STRIPPED, 1, 150000, 0)
#define HERS_AT(at)    HER(DAY_AT(0, 18, 30), 24000), STRIP(at)

static const struct missed_case eggs[] = {
    {"white, by day",
     {HERS_AT(DAY_AT(1, 5, 0))},
     DAY_AT(1, 5, 1),
     TASK_WHITE,
     WHITE_MISSED,
     "d1 19:00, d1 15:00, d2 01:00"},
    {"white, over at night: in the morning",
     {HERS_AT(DAY_AT(1, 7, 0))},
     DAY_AT(1, 7, 1),
     TASK_WHITE,
     WHITE_MISSED,
     "d2 07:00, d1 17:00, d2 12:00"}, /* half hatch */
    {"counted",
     {HERS_AT(DAY_AT(1, 5, 0)), OF_SPAWN(DAY_AT(1, 16, 0), ENTRY_WHITE, 1, 10, 100)},
     DAY_AT(1, 16, 1),
     TASK_WHITE,
     WHITE_MISSED,
     ""},
    {"counted late",
     {HERS_AT(DAY_AT(1, 5, 0)), OF_SPAWN(DAY_AT(1, 18, 59), ENTRY_WHITE, 1, 10, 100)},
     DAY_AT(1, 19, 0),
     TASK_WHITE,
     WHITE_MISSED,
     ""},
    {"spoilt",
     {HERS_AT(DAY_AT(1, 5, 0)), OF_SPAWN(DAY_AT(1, 16, 0), ENTRY_SPOILT, 1, 0)},
     DAY_AT(1, 16, 1),
     TASK_WHITE,
     WHITE_MISSED,
     ""},
    {"warm water: hatched by the morning, no eggs to lift out",
     {HER(DAY_AT(0, 18, 30), 28000), STRIP(DAY_AT(1, 8, 0))},
     DAY_AT(1, 8, 1),
     TASK_WHITE,
     WHITE_MISSED,
     ""},
};

static void white(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(eggs); i++)
        check(&eggs[i], 1, STAGE_FIRST);
}

/* What is lost already wakes nobody: looks that end in the night are said in the morning. */
static void alarms_by_day(void **unused) {
    (void)unused;
    static const struct missed_case rows[] = {
        {"a look that ends by day",
         {HER(DAY_AT(0, 18, 30), 24000)},
         0,
         TASK_LOOK,
         0,
         "d1 18:30, d1 06:30, d2 06:30"},
        {"a look that ends in the night",
         {HER(DAY_AT(1, 2, 0), 24000)},
         DAY_AT(1, 2, 1),
         TASK_LOOK,
         0,
         "d2 07:00, d1 14:00, d2 19:00"},
        {"frames twelve hours after a last hour of the afternoon",
         {HER(DAY_AT(0, 18, 30), 24000), STRIP(DAY_AT(1, 14, 0))},
         DAY_AT(1, 14, 1),
         TASK_FRAMES,
         0,
         "d4 07:00, d3 13:50, d4 19:00"},
        {"reported in the night: nothing to say in the morning",
         {HER(DAY_AT(1, 2, 0), 24000), OF_SPAWN(DAY_AT(2, 3, 0), ENTRY_NO_EGGS, 1, 0)},
         DAY_AT(2, 7, 0),
         TASK_LOOK,
         0,
         ""},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        check(&rows[i], 1, STAGE_MISSED);
}

/* -- told ----------------------------------------------------------------------------------------
 */

/* Told once; white not again, either, when the hour of stripping is put right after it. */
static void once(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[4];
        struct task_key key;
        int64_t told_min, told_hour_min;
        const char *want;
    } rows[] = {
        {"dry",
         {LONG_FORM},
         {TASK_PREP, 4, PREP_MISSED + PREP_DRY, STAGE_FIRST},
         DAY_AT(10, 7, 0),
         DAY_AT(9, 7, 0),
         ""},
        {"of a day that moved since it is another step",
         {LONG_FORM, PREPARE(DAY_AT(10, 7, 1), DAY_AT(35, 7, 0))},
         {TASK_PREP, 4, PREP_MISSED + PREP_DRY, STAGE_FIRST},
         DAY_AT(10, 7, 0),
         DAY_AT(9, 7, 0),
         "d15 07:00, d14 07:00, d15 19:00"},
        {"grading",
         {FISH},
         {TASK_SORT, 1, SORT_MISSED + 1, STAGE_FIRST},
         DAY_AT(16, 7, 0),
         DAY_AT(14, 7, 0),
         ""},
        {"white",
         {HERS_AT(DAY_AT(1, 5, 0))},
         {TASK_WHITE, 1, WHITE_MISSED, STAGE_FIRST},
         DAY_AT(1, 19, 0),
         DAY_AT(1, 15, 0),
         ""},
        {"white, told of another hour",
         {HERS_AT(DAY_AT(1, 5, 0))},
         {TASK_WHITE, 1, WHITE_MISSED, STAGE_FIRST},
         DAY_AT(1, 19, 0),
         DAY_AT(1, 14, 30),
         ""},
    };
    static struct told_list told;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        told.count = 0;
        struct farm farm = say_all(rows[i].rows, COUNT_OF(rows[i].rows));
        int64_t now_s = LEDGER_START_S + rows[i].told_min * MINUTE_S;
        tell(&told, rows[i].key, LEDGER_START_S + rows[i].told_hour_min * MINUTE_S, now_s,
             OUTCOME_DELIVERED);
        struct plan_list p = plan_of(&farm, &told, &zone_utc, now_s + MINUTE_S);
        say_want(rows[i].name, &zone_utc,
                 say_task(&p, rows[i].key.kind, rows[i].key.subject, rows[i].key.nth, STAGE_FIRST),
                 rows[i].want);
        farm_free(&farm);
    }
}

static void one_piece_of_work(void **unused) {
    (void)unused;
    static const struct {
        struct task_key a, b;
        bool want;
    } rows[] = {
        {{TASK_PREP, 4, PREP_DRY, 0}, {TASK_PREP, 4, PREP_MISSED + PREP_DRY, 0}, true},
        {{TASK_PREP, 4, PREP_FILL, 0}, {TASK_PREP, 4, PREP_UNFILLED, 0}, true},
        {{TASK_PREP, 4, PREP_PH, 0}, {TASK_PREP, 4, PREP_PH, 0}, true},
        {{TASK_PREP, 4, PREP_DRY, 0}, {TASK_PREP, 4, PREP_MISSED + PREP_LIME, 0}, false},
        {{TASK_PREP, 4, PREP_DRY, 0}, {TASK_PREP, 5, PREP_DRY, 0}, false},
        {{TASK_WHITE, 1, 0, 0}, {TASK_WHITE, 1, WHITE_MISSED, 0}, true},
        {{TASK_SORT, 1, 2, 0}, {TASK_SORT, 1, SORT_MISSED + 2, 0}, true},
        {{TASK_SORT, 1, 2, 0}, {TASK_SORT, 1, SORT_MISSED + 1, 0}, false},
        {{TASK_STOCK, 4, 0, 0}, {TASK_STOCK, 4, STOCK_MISSED, 0}, true},
        {{TASK_LOOK, 1, 0, 0}, {TASK_LOOK, 1, 1, 0}, false},
        {{TASK_LOOK, 1, 0, 0}, {TASK_READY, 1, 0, 0}, false},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        if (plan_same_work(rows[i].a, rows[i].b) != rows[i].want)
            fail_msg("row %zu: wanted %d", i, rows[i].want);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ponds),
        cmocka_unit_test(of_a_spawn),
        cmocka_unit_test(graded),
        cmocka_unit_test(white),
        cmocka_unit_test(alarms_by_day),
        cmocka_unit_test(once),
        cmocka_unit_test(one_piece_of_work),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
