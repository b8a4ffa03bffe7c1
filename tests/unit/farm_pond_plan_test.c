/* The plan of ponds by hand: preparing in its three forms, the pH after lime that burns, grading
 * and harvest; the hatchery's is in farm_hatchery_plan_test.c. The days before stocking are those
 * of the book: dry 21, lime 14, manure 7, fill 3; the short form dries 10 days before and has no
 * lime. */
#include "farm_say.h"

#include "trade/lime.h"

static struct zone nairobi, london;

static int load_zones(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) || zone_load("Europe/London", &london);
}

#define PREPARE(at, pond, day_min, spawn)                                                          \
    OF_POND(at, ENTRY_PREPARE, pond, LEDGER_START_S + (day_min)*MINUTE_S, spawn)
#define DONE(at, pond, ...)   OF_POND(at, ENTRY_PREPARED, pond, __VA_ARGS__)
#define STOCK(at, cycle, ...) OF_CYCLE(at, ENTRY_STOCKED, cycle, __VA_ARGS__)

/* "" wanted: not planned. All hours in UTC, nothing told, unless a test says otherwise. */
struct pond_case {
    const char *name;
    struct say rows[8];
    int64_t now_min;
    enum task_kind kind;
    int nth;
    const char *want;
};

static void check(const struct pond_case *c, int64_t subject) {
    static struct told_list none;
    none.count = 0;
    struct farm farm = say_all(c->rows, COUNT_OF(c->rows));
    struct plan_list p = plan_of(&farm, &none, &zone_utc, LEDGER_START_S + c->now_min * MINUTE_S);
    say_want(c->name, &zone_utc, say_task(&p, c->kind, subject, c->nth, STAGE_FIRST), c->want);
    farm_free(&farm);
}

/* -- preparing -----------------------------------------------------------------------------------
 */

#define LONG_FORM  PREPARE(DAY_AT(0, 12, 0), 4, DAY_AT(30, 7, 0), 0)
#define SHORT_FORM PREPARE(DAY_AT(0, 12, 0), 4, DAY_AT(12, 7, 0), 0)
#define LATE_FORM  PREPARE(DAY_AT(0, 12, 0), 4, DAY_AT(5, 7, 0), 0)

static const struct pond_case preparing[] = {
    {"long: dry", {LONG_FORM}, 0, TASK_PREP, PREP_DRY, "d9 07:00, d9 07:00, d9 19:00"},
    {"long: lime", {LONG_FORM}, 0, TASK_PREP, PREP_LIME, "d16 07:00, d16 07:00, d16 19:00"},
    {"long: manure", {LONG_FORM}, 0, TASK_PREP, PREP_MANURE, "d23 07:00, d23 07:00, d23 19:00"},
    {"long: fill", {LONG_FORM}, 0, TASK_PREP, PREP_FILL, "d27 07:00, d27 07:00, d27 19:00"},
    {"long: stock", {LONG_FORM}, 0, TASK_STOCK, 0, "d30 07:00, d30 07:00, d30 19:00"},
    {"long: no pH without lime that burns", {LONG_FORM}, 0, TASK_PREP, PREP_PH, ""},
    {"a step is good for half a day",
     {LONG_FORM},
     DAY_AT(9, 19, 0),
     TASK_PREP,
     PREP_DRY,
     "d9 07:00, d9 07:00, d9 19:00"},
    {"and no longer", {LONG_FORM}, DAY_AT(9, 19, 1), TASK_PREP, PREP_DRY, ""},
    {"short: dry", {SHORT_FORM}, 0, TASK_PREP, PREP_DRY, "d2 07:00, d2 07:00, d2 19:00"},
    {"short: no lime", {SHORT_FORM}, 0, TASK_PREP, PREP_LIME, ""},
    {"short: manure", {SHORT_FORM}, 0, TASK_PREP, PREP_MANURE, "d5 07:00, d5 07:00, d5 19:00"},
    {"short: fill", {SHORT_FORM}, 0, TASK_PREP, PREP_FILL, "d9 07:00, d9 07:00, d9 19:00"},
    {"late: what is past is not asked", {LATE_FORM}, 0, TASK_PREP, PREP_DRY, ""},
    {"late: nor this", {LATE_FORM}, 0, TASK_PREP, PREP_MANURE, ""},
    {"late: fill", {LATE_FORM}, 0, TASK_PREP, PREP_FILL, "d2 07:00, d2 07:00, d2 19:00"},
    {"late: stock", {LATE_FORM}, 0, TASK_STOCK, 0, "d5 07:00, d5 07:00, d5 19:00"},
    /* 21 days less some hours of the day are 21; a day less is the short form */
    {"just long",
     {PREPARE(DAY_AT(0, 18, 0), 4, DAY_AT(21, 7, 0), 0)},
     0,
     TASK_PREP,
     PREP_LIME,
     "d7 07:00, d7 07:00, d7 19:00"},
    {"just not", {PREPARE(DAY_AT(0, 18, 0), 4, DAY_AT(20, 7, 0), 0)}, 0, TASK_PREP, PREP_LIME, ""},
    {"done",
     {LONG_FORM, DONE(DAY_AT(8, 9, 0), 4, PREP_DRY, 0)},
     DAY_AT(8, 9, 1),
     TASK_PREP,
     PREP_DRY,
     ""},
    {"later reports do not make it short",
     {LONG_FORM, DONE(DAY_AT(20, 9, 0), 4, PREP_DRY, 0)},
     DAY_AT(15, 0, 0),
     TASK_PREP,
     PREP_LIME,
     "d16 07:00, d16 07:00, d16 19:00"},
    {"moved",
     {LONG_FORM, PREPARE(DAY_AT(5, 9, 0), 4, DAY_AT(33, 7, 0), 0)},
     DAY_AT(5, 9, 1),
     TASK_PREP,
     PREP_DRY,
     "d12 07:00, d12 07:00, d12 19:00"},
    {"quick lime: pH the day before",
     {LONG_FORM, DONE(DAY_AT(16, 9, 0), 4, PREP_LIME, LIME_QUICK)},
     DAY_AT(16, 9, 1),
     TASK_PREP,
     PREP_PH,
     "d29 07:00, d29 07:00, d29 19:00"},
    {"hydrated lime, too",
     {LONG_FORM, DONE(DAY_AT(16, 9, 0), 4, PREP_LIME, LIME_HYDRATED)},
     DAY_AT(16, 9, 1),
     TASK_PREP,
     PREP_PH,
     "d29 07:00, d29 07:00, d29 19:00"},
    {"not after carbonate",
     {LONG_FORM, DONE(DAY_AT(16, 9, 0), 4, PREP_LIME, LIME_CARBONATE)},
     DAY_AT(16, 9, 1),
     TASK_PREP,
     PREP_PH,
     ""},
    {"nor when it was read",
     {LONG_FORM, DONE(DAY_AT(16, 9, 0), 4, PREP_LIME, LIME_QUICK),
      OF_POND(DAY_AT(28, 9, 0), ENTRY_POND_PH, 4, 8200)},
     DAY_AT(28, 9, 1),
     TASK_PREP,
     PREP_PH,
     ""},
    {"read too high it is read again",
     {LONG_FORM, DONE(DAY_AT(16, 9, 0), 4, PREP_LIME, LIME_QUICK),
      OF_POND(DAY_AT(28, 9, 0), ENTRY_POND_PH, 4, 9200)},
     DAY_AT(28, 9, 1),
     TASK_PREP,
     PREP_PH,
     "d29 07:00, d29 07:00, d29 19:00"},
    {"for a spawn its own two weeks say when",
     {INJECTED(DAY_AT(0, 11, 0), 1, 1), PREPARE(DAY_AT(0, 12, 0), 4, DAY_AT(16, 7, 0), 1)},
     0,
     TASK_STOCK,
     0,
     ""},
    {"stocked: no step any more",
     {LONG_FORM, STOCK(DAY_AT(1, 9, 0), 1, 4, 1000, 0, 0, 0, 0)},
     DAY_AT(1, 9, 1),
     TASK_PREP,
     PREP_FILL,
     ""},
    {"nor the day",
     {LONG_FORM, STOCK(DAY_AT(1, 9, 0), 1, 4, 1000, 0, 0, 0, 0)},
     DAY_AT(1, 9, 1),
     TASK_STOCK,
     0,
     ""},
};

static void ponds(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(preparing); i++)
        check(&preparing[i], 4);
}

static void forms(void **unused) {
    (void)unused;
    static const struct {
        int64_t at_min, day_min;
        enum prep_form form;
    } rows[] = {
        {DAY_AT(0, 12, 0), DAY_AT(30, 7, 0), PREP_LONG},
        {DAY_AT(0, 7, 0), DAY_AT(21, 7, 0), PREP_LONG},
        {DAY_AT(0, 23, 59), DAY_AT(21, 7, 0), PREP_LONG},
        {DAY_AT(0, 7, 0), DAY_AT(20, 7, 0), PREP_SHORT},
        {DAY_AT(0, 7, 0), DAY_AT(10, 7, 0), PREP_SHORT},
        {DAY_AT(0, 7, 0), DAY_AT(9, 7, 0), PREP_LATE},
        {DAY_AT(0, 8, 0), DAY_AT(20, 12, 0),
         PREP_SHORT},                                   /* a named day is its noon: drying would */
        {DAY_AT(0, 8, 0), DAY_AT(9, 12, 0), PREP_LATE}, /* begin yesterday */
        {DAY_AT(0, 20, 0), DAY_AT(10, 12, 0), PREP_SHORT},
        {DAY_AT(9, 7, 0), DAY_AT(0, 7, 0), PREP_LATE}, /* a day that is past */
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct farm farm =
            say_all((const struct say[]){PREPARE(rows[i].at_min, 4, rows[i].day_min, 0)}, 1);
        const struct pond *pond = farm_pond(&farm.state, 4);
        FIELD("form", plan_prep_form(pond, &zone_utc), rows[i].form);
        FIELD("no such step", plan_prep_day(pond, &zone_utc, 0), 0);
        FIELD("no such step", plan_prep_day(pond, &zone_utc, PREP_FILL + 1), 0);
        farm_free(&farm);
    }
    struct farm farm = say_all((const struct say[]){DONE(1, 4, PREP_DRY, 0)}, 1);
    FIELD("no day", plan_prep_day(farm_pond(&farm.state, 4), &zone_utc, PREP_FILL), 0);
    farm_free(&farm);
}

/* -- in the pond ---------------------------------------------------------------------------------
 */

/* Fry of 100 mg stocked at 09:00 on day 0: graded on days 14 and 28, harvested on 30; larvae of 2
 * mg on day 40. */
#define FRY    STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 100000, 0, 0, 0)
#define LARVAE STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 2000, 0, 0, 0)

static const struct pond_case swimming[] = {
    {"grade", {FRY}, 0, TASK_SORT, 1, "d14 07:00, d14 07:00, d14 19:00"},
    {"not once more just before the harvest", {FRY}, 0, TASK_SORT, 2, ""},
    {"graded in the week before it is done",
     {FRY, OF_CYCLE(DAY_AT(7, 7, 0), ENTRY_GRADED, 1, 0)},
     DAY_AT(7, 7, 1),
     TASK_SORT,
     1,
     ""},
    {"earlier it is not",
     {FRY, OF_CYCLE(DAY_AT(7, 6, 59), ENTRY_GRADED, 1, 0)},
     DAY_AT(7, 7, 1),
     TASK_SORT,
     1,
     "d14 07:00, d14 07:00, d14 19:00"},
    {"the next one stays",
     {LARVAE, OF_CYCLE(DAY_AT(14, 9, 0), ENTRY_GRADED, 1, 30)},
     DAY_AT(14, 9, 1),
     TASK_SORT,
     2,
     "d28 07:00, d28 07:00, d28 19:00"},
    {"harvest", {FRY}, 0, TASK_HARVEST, 0, "d30 07:00, d30 07:00, d30 19:00"},
    {"a week later", {FRY}, 0, TASK_HARVEST, 1, "d37 07:00, d37 07:00, d37 19:00"},
    {"larvae: harvest", {LARVAE}, 0, TASK_HARVEST, 0, "d40 07:00, d40 07:00, d40 19:00"},
    {"larvae: grade", {LARVAE}, 0, TASK_SORT, 2, "d28 07:00, d28 07:00, d28 19:00"},
    {"not weighed is fry",
     {STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 0, 0, 0, 0)},
     0,
     TASK_HARVEST,
     0,
     "d30 07:00, d30 07:00, d30 19:00"},
    {"20 mg are fry",
     {STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 20000, 0, 0, 0)},
     0,
     TASK_HARVEST,
     0,
     "d30 07:00, d30 07:00, d30 19:00"},
    {"stocked twice: from the first",
     {FRY, STOCK(DAY_AT(3, 9, 0), 1, 4, 500, 100000, 0, 0, 0)},
     DAY_AT(3, 9, 1),
     TASK_HARVEST,
     0,
     "d30 07:00, d30 07:00, d30 19:00"},
    {"harvested in part: not asked again",
     {FRY, OF_CYCLE(DAY_AT(29, 9, 0), ENTRY_HARVESTED, 1, 100, 0, 0)},
     DAY_AT(29, 9, 1),
     TASK_HARVEST,
     0,
     ""},
    {"emptied: nothing",
     {FRY, OF_CYCLE(DAY_AT(9, 9, 0), ENTRY_HARVESTED, 1, 100, 0, 1)},
     DAY_AT(9, 9, 1),
     TASK_SORT,
     1,
     ""},
    {"moved away: nothing",
     {FRY, STOCK(DAY_AT(3, 9, 0), 2, 5, 5000, 0, 0, 1, 1)},
     DAY_AT(3, 9, 1),
     TASK_HARVEST,
     0,
     ""},
};

static void in_the_pond(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(swimming); i++)
        check(&swimming[i], 1);
}

/* -- clocks that change --------------------------------------------------------------------------
 */

/* London, over 2026-10-25 (back) and 2027-03-28 (on): every step at seven by the wall, on the very
 * day of the calendar. */
static void clocks_change(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    static const struct {
        const char *name;
        int days; /* from the start to the Sunday */
    } changes[] = {{"autumn", -29}, {"spring", 125}};
    for (size_t i = 0; i < COUNT_OF(changes); i++) {
        int64_t sunday_s = zone_midnight(&london, LEDGER_START_S, changes[i].days);
        int64_t sunday_min = (sunday_s - LEDGER_START_S) / MINUTE_S;
        int64_t ready_s = plan_clock(&london, sunday_s, 5, PLAN_STEP_HOUR);
        struct farm farm = say_all(
            (const struct say[]){OF_POND(sunday_min - 30 * 1440, ENTRY_PREPARE, 4, ready_s, 0),
                                 STOCK(sunday_min - 10 * 1440 + 600, 1, 5, 1000, 100000, 0, 0, 0)},
            2);
        struct plan_list p = plan_of(&farm, &none, &london, sunday_s - 29 * DAY_S);
        static const struct {
            enum task_kind kind;
            int64_t subject;
            int nth, days; /* from the Sunday */
        } want[] = {{TASK_PREP, 4, PREP_DRY, -16},
                    {TASK_PREP, 4, PREP_LIME, -9},
                    {TASK_PREP, 4, PREP_MANURE, -2},
                    {TASK_PREP, 4, PREP_FILL, 2},
                    {TASK_PREP, 4, PREP_MISSED + PREP_DRY, -15},
                    {TASK_PREP, 4, PREP_MISSED + PREP_MANURE, -1},
                    {TASK_PREP, 4, PREP_UNFILLED, 3},
                    {TASK_STOCK, 4, 0, 5},
                    {TASK_SORT, 1, 1, 4},
                    {TASK_SORT, 1, SORT_MISSED + 1, 6},
                    {TASK_HARVEST, 1, 0, 20},
                    {TASK_HARVEST, 1, 1, 27}};
        assert_int_equal(p.count, COUNT_OF(want));
        for (size_t k = 0; k < COUNT_OF(want); k++) {
            const struct task *t =
                say_task(&p, want[k].kind, want[k].subject, want[k].nth, STAGE_FIRST);
            if (!t)
                fail_msg("%s: kind %d nth %d is not planned", changes[i].name, want[k].kind,
                         want[k].nth);
            struct zone_time due = zone_local(&london, t->due_s);
            int days = zone_days_between(&london, sunday_s, t->due_s);
            if (days != want[k].days || due.hour != 7 || due.minute)
                fail_msg("%s: kind %d nth %d: day %d %02d:%02d, wanted day %d 07:00",
                         changes[i].name, want[k].kind, want[k].nth, days, due.hour, due.minute,
                         want[k].days);
        }
        farm_free(&farm);
    }
}

/* -- what concerns a plan ------------------------------------------------------------------------
 */

static void concerns(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){STOCK(0, 1, 4, 1000, 0, 0, 0, 0), STOCK(1, 2, 5, 1000, 0, 0, 0, 0),
                             OF_CYCLE(2, ENTRY_HARVESTED, 2, 10, 0, 1), INJECTED(3, 1, 1)},
        4);
    static const struct {
        enum task_kind kind;
        int64_t subject;
        int days;
        bool want;
    } rows[] = {
        {TASK_SORT, 1, 0, true},   {TASK_HARVEST, 2, 0, false}, {TASK_SORT, 3, 0, false},
        {TASK_PREP, 4, 0, true},   {TASK_STOCK, 6, 0, false},   {TASK_LOOK, 1, 0, true},
        {TASK_CARE, 1, 11, false}, {TASK_AIR, 0, 0, false},     {TASK_SOURCE, 0, 0, true},
        {TASK_OXYGEN, 4, 0, true}, {TASK_DAWN, 5, 0, false},    {TASK_CATCH, 6, 0, false},
        {TASK_PREP, 5, 0, true},   {TASK_SAMPLE, 1, 0, true},   {TASK_SAMPLE, 2, 0, false},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct task_key key = {rows[i].kind, rows[i].subject, 0, STAGE_FIRST};
        bool got = plan_concerns(&farm.state, key, LEDGER_START_S + rows[i].days * DAY_S);
        if (got != rows[i].want)
            fail_msg("kind %d subject %lld: got %d", rows[i].kind, (long long)rows[i].subject, got);
    }
    farm_free(&farm);
}

/* A season of the pond, asked at any hour: what is planned can still be told. */
static void nothing_is_over(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    struct farm farm =
        say_all((const struct say[]){LATE_FORM, STOCK(5, 1, 6, 1000, 2000, 0, 0, 0),
                                     OF_HALL(9, ENTRY_AIR_OFF, 0),
                                     PREPARE(DAY_AT(0, 12, 0), 7, DAY_AT(40, 7, 0), 0)},
                4);
    int planned = 0;
    for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + 130 * DAY_S; now_s += 7919) {
        struct plan_list p = plan_of(&farm, &none, &nairobi, now_s);
        for (int i = 0; i < p.count; i++)
            if (p.tasks[i].useful_s < now_s || p.tasks[i].useful_s <= p.tasks[i].due_s)
                fail_msg("kind %d nth %d: due %lld, useful %lld, now %lld", p.tasks[i].key.kind,
                         p.tasks[i].key.nth, (long long)p.tasks[i].due_s,
                         (long long)p.tasks[i].useful_s, (long long)now_s);
        planned += p.count;
    }
    assert_in_range(planned, 500, 100000);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ponds),       cmocka_unit_test(forms),
        cmocka_unit_test(in_the_pond), cmocka_unit_test(clocks_change),
        cmocka_unit_test(concerns),    cmocka_unit_test(nothing_is_over),
    };
    return cmocka_run_group_tests(tests, load_zones, NULL);
}
