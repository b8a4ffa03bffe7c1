/* The plan of the hatchery by hand: air, the water's source, looks that are told together, and the
 * evening's question for the water. All hours in UTC, nothing told, unless a test says otherwise.
 */
#include "farm_say.h"

/* -- air -----------------------------------------------------------------------------------------
 */

/* It is asked every morning while anything is in the tanks: she is looked for over ten days. Each
 * morning, told or not, the next ones are planned, and none before it. */
static void air_each_morning(const struct farm *farm, int64_t off_s) {
    static const struct told_list none;
    for (int day = 1; day <= 10; day++) {
        char name[40], want[80];
        struct plan_list p =
            plan_of(farm, &none, &zone_utc, off_s + (day * 24 + 11) * HOUR_S); /* 07:02 */
        for (int ahead = 0; ahead <= 2; ahead++) {
            int at = day + 1 + ahead;
            (void)snprintf(name, sizeof name, "day %d, in %d days", day + 1, ahead);
            (void)snprintf(want, sizeof want, "d%d 07:00, d0 20:02, d%d 19:00", at, at);
            say_want(name, &zone_utc, say_task(&p, TASK_AIR, 0, AIR_ASKS + at - 1, STAGE_FIRST),
                     day == 10 ? "" : want);
        }
        for (int i = 0; i < p.count; i++)
            if (p.tasks[i].key.kind == TASK_AIR)
                assert_in_range(p.tasks[i].key.nth, AIR_ASKS + day, AIR_ASKS + day + 2);
    }
}

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
    /* three hours by halves, nine more by hours, then the mornings up to two days from now */
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

    air_each_morning(&farm, off_s);

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
    static const struct {
        const char *name;
        struct say rows[4];
        int64_t now_min;
        const char *want; /* "": not planned */
    } rows[] = {
        {"nothing spread yet", {INJECTED(DAY_AT(0, 18, 30), 1, 1)}, 0, ""},
        {"by day",
         {INJECTED(DAY_AT(0, 18, 30), 1, 1), OF_SPAWN(DAY_AT(1, 8, 1), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(1, 8, 1),
         "d1 10:00, d1 10:00, d3 10:00"},
        {"before seven",
         {INJECTED(DAY_AT(0, 12, 30), 1, 1), OF_SPAWN(DAY_AT(1, 3, 0), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(1, 3, 0),
         "d1 07:00, d1 07:00, d3 07:00"},
        {"in the evening",
         {INJECTED(DAY_AT(0, 1, 30), 1, 1), OF_SPAWN(DAY_AT(0, 16, 0), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(0, 16, 0),
         "d1 07:00, d1 07:00, d3 07:00"},
        {"of the first that was stripped",
         {INJECTED(DAY_AT(0, 18, 30), 1, 1), INJECTED(DAY_AT(0, 18, 40), 2, 2),
          OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(DAY_AT(1, 8, 0), ENTRY_STRIPPED, 2, 90000)},
         DAY_AT(1, 9, 0),
         "d1 10:00, d1 10:00, d3 10:00"},
        {"said before",
         {OF_HALL(DAY_AT(0, 9, 0), ENTRY_SOURCE, SOURCE_WELL), INJECTED(DAY_AT(0, 18, 30), 1, 1),
          OF_SPAWN(DAY_AT(1, 8, 0), ENTRY_STRIPPED, 1, 90000)},
         DAY_AT(1, 8, 1),
         ""},
    };
    static const struct told_list none;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct farm farm = say_all(rows[i].rows, COUNT_OF(rows[i].rows));
        struct plan_list p =
            plan_of(&farm, &none, &zone_utc, LEDGER_START_S + rows[i].now_min * MINUTE_S);
        say_want(rows[i].name, &zone_utc, say_task(&p, TASK_SOURCE, 0, 0, STAGE_FIRST),
                 rows[i].want);
        farm_free(&farm);
    }
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

/* The evening's question for her tank: not when the tank she was put into, or the
 * hatchery's water where she has no tank of her own, was read in the two hours before. */
static void tank_question(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        int64_t read_min, put_min;
        const char *want;
    } rows[] = {
        {"read after eight, then she is put in", DAY_AT(0, 20, 5), DAY_AT(0, 21, 30), ""},
        {"read at eight", DAY_AT(0, 20, 0), DAY_AT(0, 21, 30), "d0 22:00, d1 07:00, d0 23:30"},
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
static void hall_question(void **unused) {
    (void)unused;
    static const char asked[] = "d0 22:00, d1 07:00, d0 23:30";
    static const struct {
        const char *name;
        struct say row;
        const char *want;
    } rows[] = {
        {"nothing read", OF_HALL(DAY_AT(0, 12, 0), ENTRY_SOURCE, SOURCE_WELL), asked},
        {"the hatchery, minutes ago", OF_HALL(DAY_AT(0, 21, 50), ENTRY_WATER, 24000), ""},
        {"after eight", OF_HALL(DAY_AT(0, 20, 5), ENTRY_WATER, 24000), ""},
        {"at eight", OF_HALL(DAY_AT(0, 20, 0), ENTRY_WATER, 24000), asked},
        {"in a tank of her own", OF_HALL(DAY_AT(0, 21, 50), ENTRY_WATER, 24000), asked},
        {"another's tank", OF_TANK(DAY_AT(0, 21, 50), ENTRY_WATER, 5, 24000, 0), asked},
    };
    static const struct told_list none;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct farm farm =
            say_all((const struct say[]){INJECTED(DAY_AT(0, 19, 0), 1, 1),
                                         OF_SPAWN(DAY_AT(0, 19, 0), ENTRY_WATER, 1, 24000, 1)},
                    2);
        if (strcmp(rows[i].name, "in a tank of her own") == 0)
            say_one(&farm, (struct say)OF_SPAWN(DAY_AT(0, 19, 5), ENTRY_TANK, 1, 2));
        say_one(&farm, rows[i].row);
        struct plan_list p =
            plan_of(&farm, &none, &zone_utc, LEDGER_START_S + DAY_AT(0, 21, 55) * MINUTE_S);
        say_want(rows[i].name, &zone_utc, say_task(&p, TASK_WATER, 1, 0, STAGE_FIRST),
                 rows[i].want);
        farm_free(&farm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air),           cmocka_unit_test(source),
        cmocka_unit_test(source_once),   cmocka_unit_test(joined_looks),
        cmocka_unit_test(tank_question), cmocka_unit_test(hall_question),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
