/* The tasks of orders and planned spawns, and who gets the lists of a morning and of Sunday. The
 * zone is Nairobi's, three hours before UTC; the ledgers begin on a Monday at 21:30 there. */
#include "farm_say.h"

#include "farm/expect.h"

enum { DAY = 24 * 60, WORKER = 1, OWNER = 2, OTHER = 3, QUIET = 4 };

#define AT(days)                       (LEDGER_START_S + (int64_t)(days)*DAY_S)
#define CLOCK(d, h, m)                 (SAY_MIDNIGHT_S + (d)*DAY_S + ((h)-3) * HOUR_S + (m)*MINUTE_S)
#define OF_ORDER(at, kind, order, ...) ROW(at, kind, SUBJECT_ORDER, order, __VA_ARGS__)
#define OF_PLAN(at, kind, plan, ...)   ROW(at, kind, SUBJECT_PLAN, plan, __VA_ARGS__)
#define BY(who, at, kind, of, subject, ...)                                                        \
    { (at), (kind), (of), (subject), {__VA_ARGS__}, (who) }

static struct zone nairobi;
static struct told_list told;

static int load_zone(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) != ERR_OK;
}

static const struct plan_hand people[] = {
    {WORKER, 5 * 60 + 45, RANK_WORKER, true},
    {OWNER, 7 * 60 + 15, RANK_OWNER, true},
    {OTHER, 6 * 60, RANK_OTHER, true},
    {QUIET, 8 * 60, RANK_OWNER, false},
};

static struct plan_list planned(const struct farm *farm, int64_t now_s) {
    struct plan_list p = {.count = 0};
    const struct plan_view view = {.told = told.rows,
                                   .told_count = told.count,
                                   .hands = people,
                                   .hand_count = (int)COUNT_OF(people),
                                   .zone = &nairobi,
                                   .now_s = now_s};
    p.count = farm_plan(&farm->state, &view, p.tasks, PLAN_MOST);
    return p;
}

static void want(const char *name, const struct farm *farm, int64_t now_s, enum task_kind kind,
                 int64_t subject, int nth, const char *hours, int64_t hand) {
    struct plan_list p = planned(farm, now_s);
    const struct task *task = say_task(&p, kind, subject, nth, STAGE_FIRST);
    say_want(name, &nairobi, task, hours);
    if (task)
        FIELD(name, task->hand, hand);
}

/* Everything that is due by then is told to whoever it is for. */
static void tell_due(const struct farm *farm, int64_t now_s) {
    struct plan_list p = planned(farm, now_s);
    for (int i = 0; i < p.count && p.tasks[i].due_s <= now_s; i++)
        tell(&told, p.tasks[i].key, p.tasks[i].hour_s, now_s, OUTCOME_DELIVERED);
}

static int how_many(const struct farm *farm, int64_t now_s, enum task_kind kind) {
    struct plan_list p = planned(farm, now_s);
    int n = 0;
    for (int i = 0; i < p.count; i++)
        n += p.tasks[i].key.kind == kind;
    return n;
}

/* -- planned spawns ------------------------------------------------------------------------------
 */

#define FEMALE(id) OF_BROOD(0, ENTRY_BROOD, id, SEX_FEMALE, id, 1000000)
#define PLANNED(at, plan, day)                                                                     \
    BY(OWNER, at, ENTRY_PLANNED, SUBJECT_PLAN, plan, AT(day), 0, 5000, 2000, AT((day) + 45))
#define WITH(at, plan, id) BY(OWNER, at, ENTRY_PLAN_FEMALE, SUBJECT_PLAN, plan, id, 0)

static void injections(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t now_min;
        const char *hours;
        int64_t hand;
    } cases[] = {
        {"the owner, where nobody spawned yet",
         {PLANNED(0, 1, 5), WITH(0, 1, 3)},
         1,
         "d5 07:15, d5 21:30, d6 00:30",
         OWNER},
        {"the hand of the last spawn",
         {PLANNED(0, 1, 5), WITH(0, 1, 3),
          BY(WORKER, 9, ENTRY_INJECTED, SUBJECT_SPAWN, 1, 9, 9, 1000000)},
         10,
         "d5 05:45, d5 21:30, d6 00:30",
         WORKER},
        {"no females", {PLANNED(0, 1, 5)}, 1, "", 0},
        {"said in the morning of that day",
         {PLANNED(4 * DAY + 12 * 60, 1, 5), WITH(4 * DAY + 12 * 60, 1, 3)},
         4 * DAY + 12 * 60 + 1,
         "",
         0},
        {"moved",
         {PLANNED(0, 1, 5), WITH(0, 1, 3), PLANNED(9, 1, 6), WITH(9, 1, 3)},
         10,
         "d6 07:15, d6 21:30, d7 00:30",
         OWNER},
        {"injected already",
         {PLANNED(0, 1, 5), WITH(0, 1, 3),
          BY(WORKER, 4 * DAY, ENTRY_INJECTED, SUBJECT_SPAWN, 1, 3, 3, 1000000)},
         4 * DAY + 1,
         "",
         0},
        {"called off", {PLANNED(0, 1, 5), WITH(0, 1, 3), OF_PLAN(9, ENTRY_PLAN_OFF, 1)}, 10, "", 0},
        {"that night it is over", {PLANNED(0, 1, 5), WITH(0, 1, 3)}, 5 * DAY + 3 * 60 + 1, "", 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        told.count = 0;
        want(cases[i].name, &farm, LEDGER_START_S + cases[i].now_min * MINUTE_S, TASK_INJECT, 1, 0,
             cases[i].hours, cases[i].hand);
        farm_free(&farm);
    }
}

/* -- orders --------------------------------------------------------------------------------------
 */

#define ORDERED(at, order, count, day, promised)                                                   \
    BY(OWNER, at, ENTRY_ORDERED, SUBJECT_ORDER, order, count, 2000, AT(day), 0, promised)
#define FISH(at, count)    OF_CYCLE(at, ENTRY_STOCKED, 1, 4, count, 3000000, 0, 0, 0)
#define COUNTED(at, count) OF_CYCLE(at, ENTRY_COUNTED, 1, count)

static void the_day(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t now_min;
        const char *hours;
    } cases[] = {
        {"three days before", {ORDERED(0, 1, 1000, 20, 0)}, 1, "d17 07:00, d20 21:30, d20 21:30"},
        {"taken after that", {ORDERED(18 * DAY, 1, 1000, 20, 0)}, 18 * DAY + 1, ""},
        {"moved",
         {ORDERED(0, 1, 1000, 20, 0),
          BY(OWNER, 9, ENTRY_ORDER_CHANGED, SUBJECT_ORDER, 1, 0, 0, AT(25), 0, 0)},
         10,
         "d22 07:00, d25 21:30, d25 21:30"},
        {"delivered", {ORDERED(0, 1, 1000, 20, 0), OF_ORDER(9, ENTRY_DELIVERED, 1, 1000)}, 10, ""},
        {"a part delivered",
         {ORDERED(0, 1, 1000, 20, 0), OF_ORDER(9, ENTRY_DELIVERED, 1, 900)},
         10,
         "d17 07:00, d20 21:30, d20 21:30"},
        {"off", {ORDERED(0, 1, 1000, 20, 0), OF_ORDER(9, ENTRY_ORDER_OFF, 1)}, 10, ""},
        {"past", {ORDERED(0, 1, 1000, 20, 0)}, 20 * DAY + 1, ""},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        told.count = 0;
        want(cases[i].name, &farm, LEDGER_START_S + cases[i].now_min * MINUTE_S, TASK_ORDER_DAY, 1,
             0, cases[i].hours, OWNER);
        farm_free(&farm);
    }
}

/* A thousand promised of a pond that is counted again and again, and may lose some 3 % until the
 * day: told at each fall that is deeper than those told before, to the owner who took it, by day.
 */
static void danger(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        int64_t count, count_min; /* counted then */
        int nth;                  /* planned; 0: none */
        const char *hours;
    } steps[] = {
        {"as promised", 1200, 12 * 60, 0, ""},
        {"not a tenth", 940, 13 * 60, 0, ""},
        /* d1 12:30 in Nairobi; the order's day is d20 21:30 */
        {"an eighth", 890, 15 * 60, 1, "d1 12:30, d20 21:30, d20 21:30"},
        {"a little more", 850, 16 * 60, 0, ""},
        {"a quarter, in the night: in the morning", 740, 26 * 60, 2,
         "d2 07:00, d20 21:30, d20 21:30"},
        {"better again", 900, 38 * 60, 0, ""},
        {"a quarter again", 740, 39 * 60, 0, ""},
        {"early in the morning", 100, 55 * 60, 9, "d3 07:00, d20 21:30, d20 21:30"},
        {"half of them after all: less than was told", 500, 60 * 60, 0, ""},
        {"nothing", 0, 64 * 60, 10, "d3 13:30, d20 21:30, d20 21:30"},
        {"nothing still", 0, 65 * 60, 0, ""},
    };
    struct farm farm = farm_make();
    told.count = 0;
    say_one(&farm, (struct say)FISH(0, 1200));
    say_one(&farm, (struct say)ORDERED(1, 1, 1000, 20, 1000));
    for (size_t i = 0; i < COUNT_OF(steps); i++) {
        say_one(&farm, (struct say)COUNTED(steps[i].count_min, steps[i].count));
        struct expect x;
        struct order_odds odds;
        int64_t now_s = LEDGER_START_S + steps[i].count_min * MINUTE_S;
        expect_odds(&farm.state, now_s, &odds);
        FIELD(steps[i].name, expect_orders(&farm.state, &nairobi, now_s, &odds, &x, 1), 1);
        FIELD(steps[i].name, how_many(&farm, now_s, TASK_ORDER), steps[i].nth > 0);
        want(steps[i].name, &farm, now_s, TASK_ORDER, 1, steps[i].nth, steps[i].hours, OWNER);
        if (steps[i].nth)
            FIELD(steps[i].name, x.fall_tenths, steps[i].nth);
        struct plan_list p = planned(&farm, now_s);
        const struct task *task = say_task(&p, TASK_ORDER, 1, steps[i].nth, STAGE_FIRST);
        if (task)
            tell_due(&farm, task->due_s);
    }
    farm_free(&farm);
}

/* Another day makes it another order: what was told of the first says nothing. */
static void danger_anew(void **unused) {
    (void)unused;
    static const struct say rows[] = {FISH(0, 500), ORDERED(1, 1, 1000, 20, 1000)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    told.count = 0;
    FIELD("danger", how_many(&farm, AT(1), TASK_ORDER), 1);
    tell_due(&farm, AT(1) + 15 * HOUR_S); /* by day */
    FIELD("told", how_many(&farm, AT(2), TASK_ORDER), 0);
    say_one(&farm, (struct say)OF_ORDER(3 * DAY, ENTRY_ORDER_CHANGED, 1, 0, 0, AT(30), 0, 1000));
    FIELD("anew", how_many(&farm, AT(3) + 12 * HOUR_S, TASK_ORDER), 1);
    FIELD("not after its day", how_many(&farm, AT(31), TASK_ORDER), 0);
    farm_free(&farm);
}

/* -- lists ---------------------------------------------------------------------------------------
 */

#define MORNING(who, day) TASK_MORNING, (who), plan_day_number(&nairobi, CLOCK(day, 12, 0))

static void mornings(void **unused) {
    (void)unused;
    static const struct say pond =
        BY(WORKER, 0, ENTRY_STOCKED, SUBJECT_CYCLE, 1, 4, 1000, 3000000, 0, 0, 0);
    struct farm farm = farm_make();
    told.count = 0;
    FIELD("nothing", how_many(&farm, AT(0), TASK_MORNING), 0);
    say_one(&farm, pond);
    /* the worker's pond: his list, and the owner's, each at his hour; nobody else's */
    FIELD("two", how_many(&farm, AT(0), TASK_MORNING), 2);
    want("worker", &farm, AT(0), MORNING(WORKER, 1), "d1 05:45, d1 05:45, d1 11:45", WORKER);
    want("owner", &farm, AT(0), MORNING(OWNER, 1), "d1 07:15, d1 07:15, d1 13:15", OWNER);
    /* told once a day, and the next one is planned then */
    tell_due(&farm, CLOCK(1, 6, 0));
    want("told", &farm, CLOCK(1, 6, 0), MORNING(WORKER, 1), "", 0);
    want("the next", &farm, CLOCK(1, 6, 0), MORNING(WORKER, 2), "d2 05:45, d2 05:45, d2 11:45",
         WORKER);
    want("the owner's is to come", &farm, CLOCK(1, 6, 0), MORNING(OWNER, 1),
         "d1 07:15, d1 07:15, d1 13:15", OWNER);
    /* not told all morning: over by noon */
    want("late", &farm, CLOCK(2, 11, 0), MORNING(WORKER, 2), "d2 05:45, d2 05:45, d2 11:45",
         WORKER);
    want("over", &farm, CLOCK(2, 12, 0), MORNING(WORKER, 2), "", 0);
    want("the day after", &farm, CLOCK(2, 12, 0), MORNING(WORKER, 3),
         "d3 05:45, d3 05:45, d3 11:45", WORKER);
    /* empty: nothing to do any more */
    say_one(&farm, (struct say)OF_CYCLE(3 * DAY, ENTRY_HARVESTED, 1, 900, 0, 1));
    told.count = 0;
    FIELD("empty", how_many(&farm, AT(3) + HOUR_S, TASK_MORNING), 0);
    farm_free(&farm);
}

/* Without a pond a list is for what is due that day: of a worker his own. */
static void mornings_of_tasks(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        BY(OWNER, 0, ENTRY_PREPARE, SUBJECT_POND, 4, AT(30), 0),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    told.count = 0;
    struct plan_list p = planned(&farm, AT(0));
    const struct task *dry = say_task(&p, TASK_PREP, 4, PREP_DRY, STAGE_FIRST);
    assert_non_null(dry);
    assert_true(dry->due_s == CLOCK(9, 7, 0));
    /* it comes before the owner's list of that day, so it stands in the one before */
    FIELD("one, days before", how_many(&farm, CLOCK(1, 12, 0), TASK_MORNING), 1);
    want("that one", &farm, CLOCK(1, 12, 0), MORNING(OWNER, 8), "d8 07:15, d8 07:15, d8 13:15",
         OWNER);
    want("the eighth", &farm, CLOCK(7, 12, 0), MORNING(OWNER, 8), "d8 07:15, d8 07:15, d8 13:15",
         OWNER);
    FIELD("not the worker's", how_many(&farm, CLOCK(7, 12, 0), TASK_MORNING), 1);
    want("nor in its own morning", &farm, CLOCK(8, 12, 0), MORNING(WORKER, 9), "", 0);
    FIELD("his", dry->hand, OWNER);
    farm_free(&farm);
}

/* An order in danger is told when it is known, and is no work of a morning. */
static void no_morning_for_danger(void **unused) {
    (void)unused;
    static const struct say rows[] = {ORDERED(0, 1, 1000, 20, 1000)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    told.count = 0;
    FIELD("in danger", how_many(&farm, CLOCK(3, 7, 30), TASK_ORDER), 1);
    want("not for it", &farm, CLOCK(3, 7, 30), MORNING(OWNER, 3), "", 0);
    /* three days before its day there is something to do: told at 07:00, on the list before */
    want("for its day", &farm, CLOCK(3, 7, 30), MORNING(OWNER, 16),
         "d16 07:15, d16 07:15, d16 13:15", OWNER);
    farm_free(&farm);
}

static void sundays(void **unused) {
    (void)unused;
    /* day 0 is a Monday: the Sundays are the days 6 and 13 */
    static const struct say rows[] = {OF_HALL(0, ENTRY_WATER, 26000)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    told.count = 0;
    int sixth = plan_day_number(&nairobi, CLOCK(6, 12, 0));
    FIELD("one owner", how_many(&farm, AT(0), TASK_SUNDAY), 1);
    want("sunday", &farm, AT(0), TASK_SUNDAY, OWNER, sixth, "d6 07:15, d6 07:15, d6 13:15", OWNER);
    want("that morning", &farm, CLOCK(6, 8, 0), TASK_SUNDAY, OWNER, sixth,
         "d6 07:15, d6 07:15, d6 13:15", OWNER);
    tell_due(&farm, CLOCK(6, 8, 0));
    FIELD("told; nothing since", how_many(&farm, CLOCK(6, 8, 0), TASK_SUNDAY), 0);
    say_one(&farm, (struct say)OF_HALL(8 * DAY, ENTRY_WATER, 26000));
    want("the next", &farm, AT(8), TASK_SUNDAY, OWNER, sixth + 7, "d13 07:15, d13 07:15, d13 13:15",
         OWNER);
    farm_free(&farm);
    static const struct say waits[] = {ORDERED(0, 1, 1000, 40, 0)};
    farm = say_all(waits, COUNT_OF(waits));
    FIELD("nothing since, but an order is open", how_many(&farm, CLOCK(20, 8, 0), TASK_SUNDAY), 1);
    FIELD("it is over", how_many(&farm, CLOCK(60, 8, 0), TASK_SUNDAY), 0);
    farm_free(&farm);
    static const struct say fish[] = {
        OF_CYCLE(0, ENTRY_STOCKED, 1, 1, 1000, 100000, 0, 0, 0),
    };
    farm = say_all(fish, COUNT_OF(fish));
    FIELD("fish swim", how_many(&farm, CLOCK(20, 8, 0), TASK_SUNDAY), 1);
    farm_free(&farm);
}

/* -- rows of what was told -----------------------------------------------------------------------
 */

static void concerns(void **unused) {
    (void)unused;
    static const struct say rows[] = {ORDERED(0, 1, 1000, 20, 0), PLANNED(0, 2, 5), WITH(0, 2, 3)};
    static const struct {
        enum task_kind kind;
        int64_t subject;
        int64_t days;
        bool yes;
    } cases[] = {
        {TASK_ORDER, 1, 34, true},     {TASK_ORDER, 1, 35, false}, {TASK_ORDER_DAY, 1, 1, true},
        {TASK_ORDER_DAY, 2, 1, false}, {TASK_INJECT, 2, 8, true},  {TASK_INJECT, 2, 9, false},
        {TASK_INJECT, 1, 1, false},
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct task_key key = {cases[i].kind, cases[i].subject, 0, STAGE_FIRST};
        if (plan_concerns(&farm.state, key, AT(cases[i].days)) != cases[i].yes)
            fail_msg("row %zu: wanted %d", i, cases[i].yes);
    }
    int today = plan_day_number(&nairobi, AT(9));
    for (int nth = today - 3; nth <= today + 1; nth++) {
        struct task_key key = {TASK_MORNING, WORKER, nth, STAGE_FIRST};
        FIELD("lists of today and yesterday", plan_concerns(&farm.state, key, AT(9)),
              nth >= today - 1);
    }
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(injections),
        cmocka_unit_test(the_day),
        cmocka_unit_test(danger),
        cmocka_unit_test(danger_anew),
        cmocka_unit_test(mornings),
        cmocka_unit_test(mornings_of_tasks),
        cmocka_unit_test(no_morning_for_danger),
        cmocka_unit_test(sundays),
        cmocka_unit_test(concerns),
    };
    return cmocka_run_group_tests(tests, load_zone, NULL);
}
