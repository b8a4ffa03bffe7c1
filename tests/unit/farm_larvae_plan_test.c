/* The plan of larvae from the frames to the pond, by hand. Female 1 is injected at 18:30 on day 0
 * and stripped at 06:30 on day 1, all at 24 degC, where half have hatched 29 hours on (FAO 362's
 * table): day 2 at 11:30. Their age counts from that day. First food is two days after it (day 4,
 * 11:30) and at the latest three (day 5, 11:30); dry food at age 7 is day 9, big ones at 9 day 11,
 * two weeks day 16. The frames are out at 17:00 on day 2. */
#include "farm_say.h"

static struct zone nairobi, london;

static int load_zones(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) || zone_load("Europe/London", &london);
}

enum { TOLD_ROOM = 4, LAW_STEP_S = 1777 };

struct told_row {
    enum task_kind kind;
    int nth;
    enum task_stage stage;
    int64_t hour_min, told_min;
    enum outcome outcome;
};

struct larvae_case {
    const char *name;
    struct say more[6];
    struct told_row told[TOLD_ROOM];
    int64_t now_min;
    enum task_kind kind;
    int nth;
    enum task_stage stage;
    const char *want; /* due, hour, useful; "": not planned */
};

/* The table's minutes are of the farm's own clock. */
static struct say moved(struct say row, int64_t by_min) {
    row.at_min += by_min;
    return row;
}

static struct farm larvae_farm(const struct say *more, size_t count, int64_t by_min) {
    static const struct say begin[] = {
        INJECTED(DAY_AT(0, 18, 30), 1, 1),
        OF_SPAWN(DAY_AT(0, 18, 30), ENTRY_WATER, 1, 24000, WATER_AT_INJECTION),
        OF_SPAWN(DAY_AT(1, 6, 30), ENTRY_STRIPPED, 1, 90000),
        OF_SPAWN(DAY_AT(2, 17, 0), ENTRY_FRAMES, 1, 0),
    };
    struct farm farm = farm_make();
    for (size_t i = 0; i < COUNT_OF(begin); i++)
        say_one(&farm, moved(begin[i], by_min));
    for (size_t i = 0; i < count && more[i].kind; i++)
        say_one(&farm, moved(more[i], by_min));
    return farm;
}

#define NOBODY                                                                                     \
    {                                                                                              \
        { 0 }                                                                                      \
    }
#define ALARM_TOLD(outcome)                                                                        \
    {                                                                                              \
        { TASK_FOOD, 1, STAGE_FIRST, DAY_AT(5, 11, 30), DAY_AT(5, 11, 30), outcome }               \
    }
#define FED(at) OF_SPAWN(at, ENTRY_FED, 1, 0)

static const struct larvae_case cases[] = {
    /* first food */
    {"first food by day", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_FOOD, 0, STAGE_FIRST,
     "d4 11:30, d4 11:30, d5 11:30"},
    {"its alarm a day later", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_FOOD, 1, STAGE_FIRST,
     "d5 11:30, d5 11:30, d6 11:30"},
    {"no step once the alarm rings", NOBODY, NOBODY, DAY_AT(5, 11, 31), TASK_FOOD, 0, STAGE_FIRST,
     ""},
    {"again a quarter later", NOBODY, ALARM_TOLD(OUTCOME_DELIVERED), DAY_AT(5, 11, 31), TASK_FOOD,
     1, STAGE_AGAIN, "d5 11:45, d5 11:30, d6 11:30"},
    {"the owner half an hour later", NOBODY, ALARM_TOLD(OUTCOME_DELIVERED), DAY_AT(5, 11, 31),
     TASK_FOOD, 1, STAGE_OWNER, "d5 12:00, d5 11:30, d6 11:30"},
    {"the owner at once when the hand is not reached", NOBODY, ALARM_TOLD(OUTCOME_FAILED),
     DAY_AT(5, 11, 31), TASK_FOOD, 1, STAGE_OWNER, "d5 11:30, d5 11:30, d6 11:30"},
    {"the adviser after an hour", NOBODY, ALARM_TOLD(OUTCOME_DELIVERED), DAY_AT(5, 11, 31),
     TASK_FOOD, 1, STAGE_ADVISER, "d5 12:30, d5 11:30, d6 11:30"},
    {"answered: nobody else", NOBODY, ALARM_TOLD(OUTCOME_ANSWERED), DAY_AT(5, 11, 31), TASK_FOOD, 1,
     STAGE_OWNER, ""},
    {"answered, not fed: missed all the same", NOBODY, ALARM_TOLD(OUTCOME_ANSWERED),
     DAY_AT(5, 11, 31), TASK_FOOD, 1, STAGE_MISSED, "d6 11:30, d5 11:30, d6 23:30"},
    {"missed is over at last", NOBODY, NOBODY, DAY_AT(6, 23, 31), TASK_FOOD, 1, STAGE_MISSED, ""},
    {"fed: no step",
     {FED(DAY_AT(4, 9, 0))},
     NOBODY,
     DAY_AT(4, 9, 1),
     TASK_FOOD,
     0,
     STAGE_FIRST,
     ""},
    {"fed: no alarm",
     {FED(DAY_AT(4, 9, 0))},
     NOBODY,
     DAY_AT(4, 9, 1),
     TASK_FOOD,
     1,
     STAGE_FIRST,
     ""},
    {"fed: no ladder",
     {FED(DAY_AT(5, 11, 40))},
     ALARM_TOLD(OUTCOME_DELIVERED),
     DAY_AT(5, 11, 41),
     TASK_FOOD,
     1,
     STAGE_AGAIN,
     ""},
    {"fed: not missed",
     {FED(DAY_AT(5, 11, 40))},
     NOBODY,
     DAY_AT(6, 11, 31),
     TASK_FOOD,
     1,
     STAGE_MISSED,
     ""},
    {"lost: nothing",
     {OF_SPAWN(DAY_AT(3, 9, 0), ENTRY_SPOILT, 1, 0)},
     NOBODY,
     DAY_AT(3, 9, 1),
     TASK_FOOD,
     0,
     STAGE_FIRST,
     ""},
    /* the day's care, at six unless the hand says another morning; from the first food on */
    {"the first morning after the first food", NOBODY, NOBODY, DAY_AT(4, 12, 0), TASK_CARE, 3,
     STAGE_FIRST, "d5 06:00, d5 06:00, d5 12:00"},
    {"not on the morning before it", NOBODY, NOBODY, DAY_AT(3, 12, 0), TASK_CARE, 2, STAGE_FIRST,
     ""},
    {"today's until noon", NOBODY, NOBODY, DAY_AT(5, 12, 0), TASK_CARE, 3, STAGE_FIRST,
     "d5 06:00, d5 06:00, d5 12:00"},
    {"and no longer", NOBODY, NOBODY, DAY_AT(5, 12, 1), TASK_CARE, 3, STAGE_FIRST, ""},
    {"not two days ahead", NOBODY, NOBODY, DAY_AT(5, 12, 1), TASK_CARE, 5, STAGE_FIRST, ""},
    {"told once",
     NOBODY,
     {{TASK_CARE, 3, STAGE_FIRST, DAY_AT(5, 6, 0), DAY_AT(5, 6, 0), OUTCOME_SENT}},
     DAY_AT(5, 6, 1),
     TASK_CARE,
     3,
     STAGE_FIRST,
     ""},
    {"at the hand's own morning", /* person 2 reported last: at half past four */
     {{DAY_AT(4, 9, 0), ENTRY_DIED, SUBJECT_SPAWN, 1, {10}, 2}},
     NOBODY,
     DAY_AT(4, 12, 0),
     TASK_CARE,
     3,
     STAGE_FIRST,
     "d5 04:30, d5 04:30, d5 10:30"},
    {"for a week after two weeks, too",
     {FED(DAY_AT(18, 9, 0))},
     NOBODY,
     DAY_AT(22, 12, 0),
     TASK_CARE,
     21,
     STAGE_FIRST,
     "d23 06:00, d23 06:00, d23 12:00"},
    {"not where nothing was reported for a week", NOBODY, NOBODY, DAY_AT(22, 12, 0), TASK_CARE, 21,
     STAGE_FIRST, ""},
    {"not for longer", NOBODY, NOBODY, DAY_AT(23, 12, 0), TASK_CARE, 22, STAGE_FIRST, ""},
    /* steps of a day, at seven, good for half a day */
    {"how many hatched, on the morning after", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_HATCH, 0,
     STAGE_FIRST, "d3 08:00, d3 08:00, d3 20:00"},
    {"said before",
     {OF_SPAWN(DAY_AT(2, 17, 0), ENTRY_HATCHED, 1, 40000, HATCH_SHARE)},
     NOBODY,
     DAY_AT(2, 17, 1),
     TASK_HATCH,
     0,
     STAGE_FIRST,
     ""},
    {"counted before",
     {OF_SPAWN(DAY_AT(2, 17, 0), ENTRY_COUNTED, 1, 40000)},
     NOBODY,
     DAY_AT(2, 17, 1),
     TASK_HATCH,
     0,
     STAGE_FIRST,
     ""},
    {"a pond is wanted", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_POND, 0, STAGE_FIRST,
     "d3 09:00, d3 09:00, d3 21:00"},
    {"one is being prepared for them",
     {OF_POND(DAY_AT(2, 18, 0), ENTRY_PREPARE, 4, LEDGER_START_S + 16 * DAY_S, 1)},
     NOBODY,
     DAY_AT(2, 18, 1),
     TASK_POND,
     0,
     STAGE_FIRST,
     ""},
    {"for others is not for them",
     {OF_POND(DAY_AT(2, 18, 0), ENTRY_PREPARE, 4, LEDGER_START_S + 16 * DAY_S, 2)},
     NOBODY,
     DAY_AT(2, 18, 1),
     TASK_POND,
     0,
     STAGE_FIRST,
     "d3 09:00, d3 09:00, d3 21:00"},
    {"dry food", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_DRYFOOD, 0, STAGE_FIRST,
     "d9 07:00, d9 07:00, d9 19:00"},
    {"big ones", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_BIG, 0, STAGE_FIRST,
     "d11 07:00, d11 07:00, d11 19:00"},
    {"graded before",
     {OF_SPAWN(DAY_AT(10, 9, 0), ENTRY_GRADED, 1, 20)},
     NOBODY,
     DAY_AT(10, 9, 1),
     TASK_BIG,
     0,
     STAGE_FIRST,
     ""},
    {"two weeks", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_NURSERY, 0, STAGE_FIRST,
     "d16 07:00, d16 07:00, d16 19:00"},
    {"still here", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_NURSERY, 1, STAGE_FIRST,
     "d18 07:00, d18 07:00, d18 19:00"},
    {"not when they are in a pond",
     {OF_CYCLE(DAY_AT(16, 9, 0), ENTRY_STOCKED, 1, 4, 5000, 0, 1, 0, 1)},
     NOBODY,
     DAY_AT(16, 9, 1),
     TASK_NURSERY,
     1,
     STAGE_FIRST,
     ""},
    {"when some are, yes",
     {OF_CYCLE(DAY_AT(16, 9, 0), ENTRY_STOCKED, 1, 4, 5000, 0, 1, 0, 0)},
     NOBODY,
     DAY_AT(16, 9, 1),
     TASK_NURSERY,
     1,
     STAGE_FIRST,
     "d18 07:00, d18 07:00, d18 19:00"},
    {"no frames any more", NOBODY, NOBODY, DAY_AT(2, 17, 1), TASK_FRAMES, 0, STAGE_FIRST, ""},
};

static struct plan_list larvae_plan(const struct farm *farm, const struct told_list *told,
                                    const struct zone *zone, int64_t now_s) {
    static const struct plan_hand hands[] = {{2, 4 * 60 + 30, RANK_OTHER, false},
                                             {3, 8 * 60, RANK_OTHER, false}};
    struct plan_list p = {.count = 0};
    const struct plan_view view = {.told = told->rows,
                                   .told_count = told->count,
                                   .hands = hands,
                                   .hand_count = 2,
                                   .zone = zone,
                                   .now_s = now_s};
    p.count = farm_plan(&farm->state, &view, p.tasks, PLAN_MOST);
    return p;
}

static void check(const struct larvae_case *c, const struct zone *zone) {
    static struct told_list told;
    int64_t by_min = (zone_midnight(zone, LEDGER_START_S, 0) - SAY_MIDNIGHT_S) / MINUTE_S;
    int64_t zero_s = LEDGER_START_S + by_min * MINUTE_S;
    struct farm farm = larvae_farm(c->more, COUNT_OF(c->more), by_min);
    told.count = 0;
    for (int i = 0; i < TOLD_ROOM && c->told[i].kind; i++)
        tell(&told, (struct task_key){c->told[i].kind, 1, c->told[i].nth, c->told[i].stage},
             zero_s + c->told[i].hour_min * MINUTE_S, zero_s + c->told[i].told_min * MINUTE_S,
             c->told[i].outcome);
    struct plan_list p = larvae_plan(&farm, &told, zone, zero_s + c->now_min * MINUTE_S);
    say_want(c->name, zone, say_task(&p, c->kind, 1, c->nth, c->stage), c->want);
    farm_free(&farm);
}

static void by_hand(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        check(&cases[i], &zone_utc);
        check(&cases[i], &nairobi);
        check(&cases[i], &london); /* in winter */
    }
}

/* What half hatch in the dark makes of the hours of food: from six to six by day. */
static void food_by_day(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        int64_t strip_min; /* half hatch 29 h later */
        const char *food, *last;
    } rows[] = {
        {"06:00 is day", DAY_AT(1, 1, 0), "d4 06:00", "d5 06:00"},
        {"05:55 goes on to six, the last back to dusk", DAY_AT(1, 0, 55), "d4 06:00", "d4 17:00"},
        {"17:55 is day", DAY_AT(1, 12, 55), "d4 17:55", "d5 17:55"},
        {"18:00 goes on to the morning, the last back to dusk", DAY_AT(1, 13, 0), "d5 06:00",
         "d5 17:00"},
        {"midnight", DAY_AT(1, 19, 0), "d5 06:00", "d5 17:00"},
        {"on the five minutes", DAY_AT(1, 6, 33), "d4 11:35", "d5 11:35"},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        struct farm farm =
            say_all((const struct say[]){INJECTED(DAY_AT(0, 18, 30), 1, 1),
                                         OF_SPAWN(DAY_AT(0, 18, 30), ENTRY_WATER, 1, 24000,
                                                  WATER_AT_INJECTION),
                                         OF_SPAWN(rows[i].strip_min, ENTRY_STRIPPED, 1, 90000),
                                         OF_SPAWN(DAY_AT(3, 0, 10), ENTRY_FRAMES, 1, 0)},
                    4);
        const struct spawn *s = farm_spawn(&farm.state, 1);
        char food[64], last[64];
        say_clock(&zone_utc, plan_food(s, &zone_utc), food);
        say_clock(&zone_utc, plan_food_last(s, &zone_utc), last);
        if (strcmp(food, rows[i].food) != 0 || strcmp(last, rows[i].last) != 0)
            fail_msg("%s: got %s and %s, wanted %s and %s", rows[i].name, food, last, rows[i].food,
                     rows[i].last);
        farm_free(&farm);
    }
}

/* First food at six in the morning is itself that morning's text: the care begins on the next. */
static void care_after_food(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    struct farm farm = say_all(
        (const struct say[]){
            INJECTED(DAY_AT(0, 12, 0), 1, 1),
            OF_SPAWN(DAY_AT(0, 12, 0), ENTRY_WATER, 1, 24000, WATER_AT_INJECTION),
            OF_SPAWN(DAY_AT(1, 1, 0), ENTRY_STRIPPED, 1, 90000), /* half hatch day 2, 06:00 */
            OF_SPAWN(DAY_AT(2, 12, 0), ENTRY_FRAMES, 1, 0)},
        4);
    struct plan_list p =
        larvae_plan(&farm, &none, &zone_utc, LEDGER_START_S + DAY_AT(4, 5, 0) * MINUTE_S);
    say_want("food", &zone_utc, say_task(&p, TASK_FOOD, 1, 0, STAGE_FIRST),
             "d4 06:00, d4 06:00, d5 06:00");
    say_want("that morning", &zone_utc, say_task(&p, TASK_CARE, 1, 2, STAGE_FIRST), "");
    say_want("the next", &zone_utc, say_task(&p, TASK_CARE, 1, 3, STAGE_FIRST),
             "d5 06:00, d5 06:00, d5 12:00");
    farm_free(&farm);
}

static void age(void **unused) {
    (void)unused;
    struct farm farm = larvae_farm(NULL, 0, 0);
    const struct spawn *s = farm_spawn(&farm.state, 1);
    static const struct {
        int64_t at_min;
        int utc, east; /* in Nairobi midnight comes at 21:00 UTC */
    } rows[] = {{DAY_AT(2, 11, 29), -1, -1}, {DAY_AT(2, 11, 30), 0, 0}, {DAY_AT(2, 20, 59), 0, 0},
                {DAY_AT(2, 21, 0), 0, 1},    {DAY_AT(2, 23, 59), 0, 1}, {DAY_AT(3, 0, 0), 1, 1},
                {DAY_AT(16, 12, 0), 14, 14}};
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        int64_t at_s = LEDGER_START_S + rows[i].at_min * MINUTE_S;
        FIELD("days", spawn_larvae_days(s, &zone_utc, at_s), rows[i].utc);
        FIELD("days", spawn_larvae_days(s, &nairobi, at_s), rows[i].east);
    }
    farm_free(&farm);
    farm = say_all((const struct say[]){INJECTED(0, 1, 1)}, 1);
    s = farm_spawn(&farm.state, 1);
    FIELD("no hatch", spawn_larvae_days(s, &zone_utc, LEDGER_START_S + 9 * DAY_S), -1);
    FIELD("no hatch", plan_food(s, &zone_utc), 0);
    FIELD("no hatch", plan_food_last(s, &zone_utc), 0);
    FIELD("no hatch", plan_larvae_day(s, &zone_utc, 7), 0);
    farm_free(&farm);
}

/* -- clocks that change --------------------------------------------------------------------------
 */

/* London, with larvae over the Sunday on which the clocks change: 2026-10-25 back, 2027-03-28 on.
 * The morning's steps stay at the wall's hour; first food is two days of the sun after half hatch,
 * so it is an hour earlier on the wall in autumn and an hour later in spring. */
static void over_a_change(const char *name, int64_t half_s, const char *want_food,
                          int64_t sunday_s) {
    static struct told_list none;
    none.count = 0;
    int64_t strip_min = (half_s - 29 * HOUR_S - LEDGER_START_S) / MINUTE_S;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(strip_min - 720, 1, 1),
                             OF_SPAWN(strip_min - 720, ENTRY_WATER, 1, 24000, WATER_AT_INJECTION),
                             OF_SPAWN(strip_min, ENTRY_STRIPPED, 1, 90000),
                             OF_SPAWN(strip_min + 33 * 60, ENTRY_FRAMES, 1, 0)},
        4);
    const struct spawn *s = farm_spawn(&farm.state, 1);
    FIELD(name, spawn_hatch_s(s), half_s);
    struct zone_time food = zone_local(&london, plan_food(s, &london));
    char got[64];
    (void)snprintf(got, sizeof got, "%02d:%02d", food.hour, food.minute);
    if (strcmp(got, want_food) != 0)
        fail_msg("%s: first food at %s, wanted %s", name, got, want_food);
    int seen = 0;
    for (int64_t now_s = half_s + 5 * HOUR_S; now_s < sunday_s + 12 * DAY_S; now_s += 6 * HOUR_S) {
        struct plan_list p = larvae_plan(&farm, &none, &london, now_s);
        for (int i = 0; i < p.count; i++) {
            struct zone_time t = zone_local(&london, p.tasks[i].due_s);
            enum task_kind kind = p.tasks[i].key.kind;
            int hour = kind == TASK_CARE ? 6 : kind == TASK_HATCH ? 8 : kind == TASK_POND ? 9 : 7;
            if (kind == TASK_FOOD || kind == TASK_SOURCE)
                continue;
            if (t.hour != hour || t.minute)
                fail_msg("%s: kind %d at %02d:%02d, wanted %02d:00", name, kind, t.hour, t.minute,
                         hour);
            seen++;
        }
    }
    assert_in_range(seen, 40, 1000);
    farm_free(&farm);
}

static void clocks_change(void **unused) {
    (void)unused;
    const int64_t autumn_s = zone_midnight(&london, LEDGER_START_S, -29); /* Sun 2026-10-25 */
    const int64_t spring_s = zone_midnight(&london, LEDGER_START_S, 125); /* Sun 2027-03-28 */
    assert_int_equal(zone_local(&london, autumn_s).day, 25);
    assert_int_equal(zone_local(&london, spring_s).day, 28);
    /* half hatch on the Saturday at noon by the wall */
    over_a_change("autumn", autumn_s - 12 * HOUR_S, "11:00", autumn_s);
    over_a_change("spring", spring_s - 12 * HOUR_S, "13:00", spring_s);
}

/* A hand's morning that the clocks skip (half past one in London on 2027-03-28): noon. */
static void skipped_morning(void **unused) {
    (void)unused;
    static const struct plan_hand early = {1, 90, RANK_OTHER, false};
    const int64_t sunday_s = zone_midnight(&london, LEDGER_START_S, 125);
    int64_t begin_min = (sunday_s - 13 * DAY_S - LEDGER_START_S) / MINUTE_S;
    const struct say fed = FED(DAY_AT(5, 8, 0));
    struct farm farm = larvae_farm(&fed, 1, begin_min);
    for (int day = -1; day <= 1; day++) {
        struct plan_list p = {.count = 0};
        const struct plan_view view = {.hands = &early,
                                       .hand_count = 1,
                                       .zone = &london,
                                       .now_s = zone_midnight(&london, sunday_s, day) + 60};
        p.count = farm_plan(&farm.state, &view, p.tasks, PLAN_MOST);
        int nth = spawn_larvae_days(farm_spawn(&farm.state, 1), &london, view.now_s);
        const struct task *care = say_task(&p, TASK_CARE, 1, nth, STAGE_FIRST);
        assert_non_null(care);
        struct zone_time t = zone_local(&london, care->due_s);
        FIELD("care", t.hour * 60 + t.minute, day ? 90 : 12 * 60);
        FIELD("care", zone_days_between(&london, sunday_s, care->due_s), day);
    }
    farm_free(&farm);
}

/* -- laws of one season --------------------------------------------------------------------------
 */

/* Whatever the hour of asking: what is planned can still be told, and is due by then or to come. */
static void nothing_is_over(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    struct farm farm = larvae_farm(NULL, 0, 0);
    int most_care = 0;
    for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + 45 * DAY_S; now_s += LAW_STEP_S) {
        struct plan_list p = larvae_plan(&farm, &none, &nairobi, now_s);
        int care = 0;
        for (int i = 0; i < p.count; i++) {
            const struct task *t = &p.tasks[i];
            if (t->useful_s < now_s || t->useful_s < t->due_s)
                fail_msg("kind %d nth %d: due %lld, useful %lld, now %lld", t->key.kind, t->key.nth,
                         (long long)t->due_s, (long long)t->useful_s, (long long)now_s);
            care += t->key.kind == TASK_CARE;
        }
        most_care = care > most_care ? care : most_care;
        if (now_s > LEDGER_START_S + LARVAE_DAYS * DAY_S && p.count)
            fail_msg("%d tasks after %d days", p.count, LARVAE_DAYS);
    }
    assert_int_equal(most_care, 2); /* today's and tomorrow's */
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_hand),
        cmocka_unit_test(food_by_day),
        cmocka_unit_test(age),
        cmocka_unit_test(care_after_food),
        cmocka_unit_test(clocks_change),
        cmocka_unit_test(skipped_morning),
        cmocka_unit_test(nothing_is_over),
    };
    return cmocka_run_group_tests(tests, load_zones, NULL);
}
