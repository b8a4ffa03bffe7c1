/* The plan of ponds by hand: preparing in its three forms, the pH after lime that burns, grading
 * and harvest; and of the hatchery: air, the water's source, looks that are told together. The days
 * before stocking are those of the book: dry 21, lime 14, manure 7, fill 3; the short form dries 10
 * days before and has no lime. */
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

/* -- air -----------------------------------------------------------------------------------------
 */

static void air(void **unused) {
    (void)unused;
    static struct told_list told;
    told.count = 0;
    struct say off = {DAY_AT(0, 20, 2), ENTRY_AIR_OFF, SUBJECT_HATCHERY, 0, {0}, 7};
    struct farm empty = say_all(&off, 1);
    int64_t off_s = empty.state.air_off_s;
    struct plan_list p = plan_of(&empty, &told, &zone_utc, off_s);
    assert_int_equal(p.count, 1); /* no fish known to be in the tanks: asked once */
    farm_free(&empty);

    struct farm farm = say_all(&(struct say)INJECTED(DAY_AT(0, 18, 30), 1, 1), 1);
    say_one(&farm, off);
    p = plan_of(&farm, &told, &zone_utc, off_s);
    int asks = 0;
    for (int i = 0; i < p.count; i++)
        asks += p.tasks[i].key.kind == TASK_AIR;
    /* three hours by halves, nine more by hours, and the mornings of two days */
    assert_int_equal(asks, 6 + 9 + 2);
    assert_null(say_task(&p, TASK_AIR, 0, 7, STAGE_FIRST));
    say_want("first", &zone_utc, say_task(&p, TASK_AIR, 0, 1, STAGE_FIRST),
             "d0 20:30, d0 20:02, d0 20:55");
    say_want("second", &zone_utc, say_task(&p, TASK_AIR, 0, 2, STAGE_FIRST),
             "d0 21:00, d0 20:02, d0 21:25");
    say_want("last", &zone_utc, say_task(&p, TASK_AIR, 0, 24, STAGE_FIRST),
             "d1 08:00, d0 20:02, d1 08:25");
    say_want("a morning", &zone_utc, say_task(&p, TASK_AIR, 0, 25, STAGE_FIRST),
             "d2 07:00, d0 20:02, d2 19:00");
    for (int i = 0; i < p.count; i++)
        if (p.tasks[i].key.kind == TASK_AIR) {
            assert_int_equal(p.tasks[i].level,
                             p.tasks[i].key.nth > AIR_ASKS ? LEVEL_STEP : LEVEL_ALARM);
            assert_int_equal(p.tasks[i].hand, 7);
        }

    /* and on, until AIR ON: after a week the mornings to come */
    struct plan_list late = plan_of(&farm, &told, &zone_utc, off_s + (int64_t)7 * DAY_S);
    say_want("after a week", &zone_utc, say_task(&late, TASK_AIR, 0, 31, STAGE_FIRST),
             "d8 07:00, d0 20:02, d8 19:00");
    say_want("the morning after", &zone_utc, say_task(&late, TASK_AIR, 0, 32, STAGE_FIRST),
             "d9 07:00, d0 20:02, d9 19:00");

    /* an answer stops that question, not the next one */
    tell(&told, (struct task_key){TASK_AIR, 0, 1, STAGE_FIRST}, off_s, off_s + 1700,
         OUTCOME_ANSWERED);
    p = plan_of(&farm, &told, &zone_utc, off_s + 1800);
    assert_null(say_task(&p, TASK_AIR, 0, 1, STAGE_FIRST));
    assert_non_null(say_task(&p, TASK_AIR, 0, 2, STAGE_FIRST));

    say_one(&farm, (struct say)OF_HALL(DAY_AT(0, 20, 50), ENTRY_AIR_OFF, 0)); /* said again */
    FIELD("the same failure", farm.state.air_off_s, off_s);
    FIELD("asked of who said it last", farm.state.air_person, 1);

    say_one(&farm, (struct say)OF_HALL(DAY_AT(0, 21, 10), ENTRY_AIR_ON, 0));
    p = plan_of(&farm, &told, &zone_utc, off_s + 2 * HOUR_S);
    for (int i = 0; i < p.count; i++)
        assert_int_not_equal(p.tasks[i].key.kind, TASK_AIR);
    assert_false(plan_concerns(&farm.state, (struct task_key){TASK_AIR, 0, 2, STAGE_FIRST}, off_s));

    say_one(&farm, (struct say)OF_HALL(DAY_AT(0, 22, 0), ENTRY_AIR_OFF, 0)); /* fails again */
    p = plan_of(&farm, &told, &zone_utc, LEDGER_START_S + DAY_AT(0, 22, 0) * MINUTE_S);
    say_want("fails again", &zone_utc, say_task(&p, TASK_AIR, 0, 1, STAGE_FIRST),
             "d0 22:30, d0 22:00, d0 22:55");
    assert_true(plan_concerns(&farm.state, (struct task_key){TASK_AIR, 0, 1, STAGE_FIRST}, off_s));
    farm_free(&farm);
}

/* -- the source ----------------------------------------------------------------------------------
 */

/* Asked once, by day, two hours after the first eggs were spread. */
static void source(void **unused) {
    (void)unused;
    static const struct pond_case rows[] = {
        {"nothing spread yet", {INJECTED(DAY_AT(0, 18, 30), 1, 1)}, 0, TASK_SOURCE, 0, ""},
        {"by day",
         {INJECTED(DAY_AT(0, 18, 30), 1, 1), OF_SPAWN(DAY_AT(1, 8, 1), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(1, 8, 1),
         TASK_SOURCE,
         0,
         "d1 10:00, d1 10:00, d3 10:00"},
        {"before seven",
         {INJECTED(DAY_AT(0, 12, 30), 1, 1), OF_SPAWN(DAY_AT(1, 3, 0), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(1, 3, 0),
         TASK_SOURCE,
         0,
         "d1 07:00, d1 07:00, d3 07:00"},
        {"in the evening",
         {INJECTED(DAY_AT(0, 1, 30), 1, 1), OF_SPAWN(DAY_AT(0, 16, 0), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(0, 16, 0),
         TASK_SOURCE,
         0,
         "d1 07:00, d1 07:00, d3 07:00"},
        {"of the first that was stripped",
         {INJECTED(DAY_AT(0, 18, 30), 1, 1), INJECTED(DAY_AT(0, 18, 40), 2, 2),
          OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(DAY_AT(1, 8, 0), ENTRY_STRIPPED, 2, 90000)},
         DAY_AT(1, 9, 0),
         TASK_SOURCE,
         0,
         "d1 10:00, d1 10:00, d3 10:00"},
        {"said before",
         {OF_HALL(DAY_AT(0, 9, 0), ENTRY_SOURCE, SOURCE_WELL), INJECTED(DAY_AT(0, 18, 30), 1, 1),
          OF_SPAWN(DAY_AT(1, 8, 0), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(1, 8, 1),
         TASK_SOURCE,
         0,
         ""},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        check(&rows[i], 0);
}

/* Told, it is not asked again, not even when the strip's hour is corrected or an earlier strip is
 * said. */
static void source_once(void **unused) {
    (void)unused;
    static struct told_list told;
    told.count = 0;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(DAY_AT(0, 18, 30), 1, 1), INJECTED(DAY_AT(0, 18, 30), 2, 2),
                             OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 1, 90000)},
        3);
    int64_t now_s = LEDGER_START_S + DAY_AT(1, 11, 0) * MINUTE_S;
    struct plan_list p = plan_of(&farm, &told, &zone_utc, now_s);
    const struct task *asked = say_task(&p, TASK_SOURCE, 0, 0, STAGE_FIRST);
    assert_non_null(asked);
    tell(&told, asked->key, asked->hour_s, now_s, OUTCOME_DELIVERED);
    p = plan_of(&farm, &told, &zone_utc, now_s);
    assert_null(say_task(&p, TASK_SOURCE, 0, 0, STAGE_FIRST));
    say_one(&farm, (struct say)OF_SPAWN(DAY_AT(1, 7, 0), ENTRY_STRIPPED, 2, 90000));
    p = plan_of(&farm, &told, &zone_utc, now_s);
    assert_null(say_task(&p, TASK_SOURCE, 0, 0, STAGE_FIRST));
    assert_true(
        plan_concerns(&farm.state, (struct task_key){TASK_SOURCE, 0, 0, STAGE_FIRST}, now_s));
    say_one(&farm, (struct say)OF_HALL(DAY_AT(1, 11, 5), ENTRY_SOURCE, SOURCE_RIVER));
    assert_false(
        plan_concerns(&farm.state, (struct task_key){TASK_SOURCE, 0, 0, STAGE_FIRST}, now_s));
    farm_free(&farm);
}

/* -- looks told together -------------------------------------------------------------------------
 */

/* At 24 degC the first look is twelve hours on (FAO 362's table). */
static void joined_looks(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        int64_t at_min[3]; /* of the injections; 0: none */
        int64_t person[3];
        int told;            /* so many first ones are told already */
        const char *want[3]; /* when the look is told, what hour it is about */
    } rows[] = {
        {"alone", {DAY_AT(0, 19, 0), 0, 0}, {1, 1, 1}, 0, {"d1 07:00 d1 07:00", "", ""}},
        {"two, 45 minutes apart",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 45), 0},
         {1, 1, 1},
         0,
         {"d1 07:00 d1 07:00", "d1 07:00 d1 07:45", ""}},
        {"two, 50 minutes apart",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 50), 0},
         {1, 1, 1},
         0,
         {"d1 07:00 d1 07:00", "d1 07:50 d1 07:50", ""}},
        {"three within 45 minutes",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 20), DAY_AT(0, 19, 40)},
         {1, 1, 1},
         0,
         {"d1 07:00 d1 07:00", "d1 07:00 d1 07:20", "d1 07:00 d1 07:40"}},
        {"three in a row: the last is too far from the first",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 30), DAY_AT(0, 20, 0)},
         {1, 1, 1},
         0,
         {"d1 07:00 d1 07:00", "d1 07:00 d1 07:30", "d1 08:00 d1 08:00"}},
        {"the order of saying is nothing",
         {DAY_AT(0, 19, 40), DAY_AT(0, 19, 0), DAY_AT(0, 19, 20)},
         {1, 1, 1},
         0,
         {"d1 07:00 d1 07:40", "d1 07:00 d1 07:00", "d1 07:00 d1 07:20"}},
        {"two hands go by themselves",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 20), 0},
         {1, 2, 1},
         0,
         {"d1 07:00 d1 07:00", "d1 07:20 d1 07:20", ""}},
        {"another's between two",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 20), DAY_AT(0, 19, 40)},
         {1, 2, 1},
         0,
         {"d1 07:00 d1 07:00", "d1 07:20 d1 07:20", "d1 07:00 d1 07:40"}},
        {"one told already draws no other",
         {DAY_AT(0, 19, 0), DAY_AT(0, 19, 20), DAY_AT(0, 19, 40)},
         {1, 1, 1},
         1,
         {"", "d1 07:20 d1 07:20", "d1 07:20 d1 07:40"}},
    };
    static struct told_list told;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct farm farm = farm_make();
        for (int k = 0; k < 3 && rows[i].at_min[k]; k++) {
            struct say inject = INJECTED(rows[i].at_min[k], k + 1, k + 1);
            struct say water = OF_SPAWN(rows[i].at_min[k], ENTRY_WATER, k + 1, 24000, 1);
            inject.person = water.person = rows[i].person[k];
            say_one(&farm, inject);
            say_one(&farm, water);
        }
        told.count = 0;
        int64_t now_s = LEDGER_START_S + DAY_AT(0, 21, 0) * MINUTE_S;
        for (int k = 0; k < rows[i].told; k++)
            tell(&told, (struct task_key){TASK_LOOK, k + 1, 0, STAGE_FIRST},
                 plan_next_look(farm_spawn(&farm.state, k + 1)), now_s, OUTCOME_DELIVERED);
        struct plan_list p = plan_of(&farm, &told, &zone_utc, now_s);
        for (int k = 0; k < 3; k++) {
            const struct task *look = say_task(&p, TASK_LOOK, k + 1, 0, STAGE_FIRST);
            char due[64], hour[64], got[160] = "";
            if (look)
                (void)snprintf(got, sizeof got, "%s %s", say_clock(&zone_utc, look->due_s, due),
                               say_clock(&zone_utc, look->hour_s, hour));
            if (strcmp(got, rows[i].want[k]) != 0)
                fail_msg("%s: look %d: got \"%s\", wanted \"%s\"", rows[i].name, k + 1, got,
                         rows[i].want[k]);
            const struct task *ready = say_task(&p, TASK_READY, k + 1, 0, STAGE_FIRST);
            if (look && (!ready || ready->due_s != look->due_s - 45 * MINUTE_S))
                fail_msg("%s: look %d: getting ready is not 45 minutes before it is told",
                         rows[i].name, k + 1);
        }
        farm_free(&farm);
    }
}

/* The evening's question for her tank: not when the tank she was put into was read since nine. */
static void tank_question(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        int64_t read_min, put_min;
        const char *want;
    } rows[] = {
        {"read at nine, then she is put in", DAY_AT(0, 21, 0), DAY_AT(0, 21, 30), ""},
        {"read before nine", DAY_AT(0, 20, 55), DAY_AT(0, 21, 30), "d0 22:00, d1 07:00, d0 23:30"},
        {"put in, then read", DAY_AT(0, 21, 20), DAY_AT(0, 19, 30), ""},
        {"of another tank", DAY_AT(0, 21, 20), 0, "d0 22:00, d1 07:00, d0 23:30"},
    };
    static struct told_list none;
    none.count = 0;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct farm farm = say_all(
            (const struct say[]){INJECTED(DAY_AT(0, 19, 0), 1, 1),
                                 OF_SPAWN(DAY_AT(0, 19, 0), ENTRY_WATER, 1, 24000, 1),
                                 OF_TANK(rows[i].read_min, ENTRY_WATER, 2, 24000, 0),
                                 OF_SPAWN(rows[i].put_min ? rows[i].put_min : DAY_AT(0, 19, 5),
                                          ENTRY_TANK, 1, rows[i].put_min ? 2 : 3)},
            4);
        struct plan_list p =
            plan_of(&farm, &none, &zone_utc, LEDGER_START_S + DAY_AT(0, 21, 40) * MINUTE_S);
        say_want(rows[i].name, &zone_utc, say_task(&p, TASK_WATER, 1, 0, STAGE_FIRST),
                 rows[i].want);
        farm_free(&farm);
    }
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
        cmocka_unit_test(ponds),           cmocka_unit_test(forms),
        cmocka_unit_test(in_the_pond),     cmocka_unit_test(air),
        cmocka_unit_test(source),          cmocka_unit_test(source_once),
        cmocka_unit_test(joined_looks),    cmocka_unit_test(tank_question),
        cmocka_unit_test(clocks_change),   cmocka_unit_test(concerns),
        cmocka_unit_test(nothing_is_over),
    };
    return cmocka_run_group_tests(tests, load_zones, NULL);
}
