/* The plan of ponds in which fish grow, by hand: nights without oxygen, samples, dawns, and no feed
 * before the harvest. Hours are UTC's, days those from the start. */
#include "farm_say.h"

static struct zone nairobi;

static int load_zone(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) != ERR_OK;
}

#define G                         1000000 /* in ug */
#define STOCK(at, cycle, ...)     OF_CYCLE(at, ENTRY_STOCKED, cycle, __VA_ARGS__)
#define GROWN                     STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 20 * G, 0, 0, 0)
#define FRY                       STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 100000, 0, 0, 0)
#define EMPTIED(at)               OF_CYCLE(at, ENTRY_HARVESTED, 1, 100, 0, 1)
#define OXYGEN(day, h, min, ug_l) OF_POND(DAY_AT(day, h, min), ENTRY_READING, 4, 1, ug_l)
#define CATCH(at, day_min)                                                                         \
    OF_POND(at, ENTRY_CATCH, 4, LEDGER_START_S + (day_min) * (int64_t)MINUTE_S)
#define FED(at, mg) OF_POND(at, ENTRY_GIVEN, 4, mg, 0)

/* "" wanted: not planned. */
struct grow_case {
    const char *name;
    struct say rows[SAY_MOST];
    int64_t now_min;
    enum task_kind kind;
    int nth;
    const char *want;
};

static int64_t instant(int64_t minutes) {
    return LEDGER_START_S + minutes * MINUTE_S;
}

static void check(const struct grow_case *cases, size_t count) {
    static struct told_list none;
    for (size_t i = 0; i < count; i++) {
        struct farm farm = say_all(cases[i].rows, COUNT_OF(cases[i].rows));
        struct plan_list p = plan_of(&farm, &none, &zone_utc, instant(cases[i].now_min));
        int64_t subject = task_subject(cases[i].kind) == SUBJECT_POND ? 4 : 1;
        say_want(cases[i].name, &zone_utc,
                 say_task(&p, cases[i].kind, subject, cases[i].nth, STAGE_FIRST), cases[i].want);
        farm_free(&farm);
    }
}

/* -- oxygen --------------------------------------------------------------------------------------
 */

/* Half a mg/l an hour from 6 at six in the evening: 2 at two, 4 at ten. */
#define EVENING OXYGEN(1, 18, 0, 6000), OXYGEN(1, 21, 0, 4500)
#define NINE    DAY_AT(1, 21, 0)

static const struct grow_case nights[] = {
    {"an hour before it", {GROWN, EVENING}, NINE, TASK_OXYGEN, 0, "d2 01:00, d2 02:00, d2 07:00"},
    {"fry have gills only", {FRY, EVENING}, NINE, TASK_OXYGEN, 0, "d1 21:00, d1 22:00, d2 07:00"},
    {"until they are three weeks old",
     {STOCK(DAY_AT(-6, 9, 0), 1, 4, 5000, 100000, 0, 0, 0), EVENING},
     NINE,
     TASK_OXYGEN,
     0,
     "d2 01:00, d2 02:00, d2 07:00"},
    {"one reading", {GROWN, OXYGEN(1, 21, 0, 2100)}, NINE, TASK_OXYGEN, 0, ""},
    {"no fish", {EVENING}, NINE, TASK_OXYGEN, 0, ""},
    {"no fish any more", {GROWN, EMPTIED(DAY_AT(1, 9, 0)), EVENING}, NINE, TASK_OXYGEN, 0, ""},
    {"enough until dawn",
     {GROWN, OXYGEN(1, 18, 0, 6000), OXYGEN(1, 21, 0, 5000)},
     NINE,
     TASK_OXYGEN,
     0,
     ""},
    {"from three in the afternoon, six hours apart",
     {GROWN, OXYGEN(1, 15, 0, 7000), OXYGEN(1, 21, 0, 4000)},
     NINE,
     TASK_OXYGEN,
     0,
     "d2 00:00, d2 01:00, d2 07:00"},
    {"before it is day",
     {GROWN, OXYGEN(1, 14, 59, 7000), OXYGEN(1, 20, 0, 4000)},
     NINE,
     TASK_OXYGEN,
     0,
     ""},
    {"too far apart",
     {GROWN, OXYGEN(1, 15, 0, 7000), OXYGEN(1, 21, 1, 4000)},
     NINE,
     TASK_OXYGEN,
     0,
     ""},
    {"too near, then the one before",
     {GROWN, OXYGEN(1, 18, 0, 6000), OXYGEN(1, 20, 40, 4600), OXYGEN(1, 21, 0, 4500)},
     NINE,
     TASK_OXYGEN,
     0,
     "d2 01:00, d2 02:00, d2 07:00"},
    {"a newer one moves it: 0.9 an hour", /* 23:46 */
     {GROWN, EVENING, OXYGEN(1, 22, 0, 3600)},
     DAY_AT(1, 22, 0),
     TASK_OXYGEN,
     0,
     "d1 22:45, d1 23:45, d2 07:00"},
    {"a higher one ends it",
     {GROWN, EVENING, OXYGEN(1, 22, 0, 5000)},
     DAY_AT(1, 22, 0),
     TASK_OXYGEN,
     0,
     ""},
    {"one of the next morning, too",
     {GROWN, EVENING, OXYGEN(2, 6, 0, 3000)},
     DAY_AT(2, 6, 0),
     TASK_OXYGEN,
     0,
     ""},
    {"they were seen gasping",
     {GROWN, EVENING, OF_POND(NINE + 5, ENTRY_GASPING, 4, 0)},
     NINE + 5,
     TASK_OXYGEN,
     0,
     ""},
    {"gasping before the reading is not this night's answer",
     {GROWN, OF_POND(DAY_AT(1, 6, 0), ENTRY_GASPING, 4, 0), EVENING},
     NINE,
     TASK_OXYGEN,
     0,
     "d2 01:00, d2 02:00, d2 07:00"},
    {"by day there is no line",
     {GROWN, OXYGEN(1, 8, 0, 6000), OXYGEN(1, 10, 0, 3000)},
     DAY_AT(1, 10, 0),
     TASK_OXYGEN,
     0,
     ""},
    {"in the last hours: now",
     {GROWN, OXYGEN(1, 4, 0, 3000), OXYGEN(1, 5, 0, 2400)},
     DAY_AT(1, 5, 0),
     TASK_OXYGEN,
     0,
     "d1 05:00, d1 05:40, d1 07:00"},
    {"not before dawn",
     {GROWN, OXYGEN(1, 4, 0, 3000), OXYGEN(1, 5, 0, 2500)},
     DAY_AT(1, 5, 0),
     TASK_OXYGEN,
     0,
     ""},
    {"over midnight",
     {GROWN, OXYGEN(1, 23, 0, 4000), OXYGEN(2, 1, 0, 3000)},
     DAY_AT(2, 1, 0),
     TASK_OXYGEN,
     0,
     "d2 02:00, d2 03:00, d2 07:00"},
    {"under it already", /* 20:48 */
     {GROWN, OXYGEN(1, 20, 0, 4000), OXYGEN(1, 21, 0, 1500)},
     NINE,
     TASK_OXYGEN,
     0,
     "d1 21:00, d1 20:50, d2 07:00"},
    {"the last of use",
     {GROWN, EVENING},
     DAY_AT(2, 7, 0),
     TASK_OXYGEN,
     0,
     "d2 01:00, d2 02:00, d2 07:00"},
    {"over", {GROWN, EVENING}, DAY_AT(2, 7, 1), TASK_OXYGEN, 0, ""},
};

static void oxygen(void **unused) {
    (void)unused;
    check(nights, COUNT_OF(nights));
}

/* The stages of the alarm, told at one, asked for at some hour; "-": not planned. */
static void oxygen_ladder(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        int told; /* 0 not, 1 delivered, 2 answered, 3 of another night */
        int64_t now_min;
        const char *again, *owner, *adviser, *missed;
    } cases[] = {
        {"told", 1, DAY_AT(2, 1, 1), "d2 01:15", "d2 01:30", "d2 02:00", "d2 07:00"},
        {"answered", 2, DAY_AT(2, 1, 1), "-", "-", "-", "d2 07:00"},
        {"missed", 1, DAY_AT(2, 9, 0), "-", "-", "-", "d2 07:00"},
        {"never told, never missed", 0, DAY_AT(2, 9, 0), "-", "-", "-", "-"},
        {"told of another night", 3, DAY_AT(2, 9, 0), "-", "-", "-", "-"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all((const struct say[]){GROWN, EVENING}, 3);
        static struct told_list told;
        told.count = 0;
        struct task_key key = {TASK_OXYGEN, 4, 0, STAGE_FIRST};
        if (cases[i].told)
            tell(&told, key, instant(DAY_AT(cases[i].told == 3 ? 1 : 2, 2, 0)),
                 instant(DAY_AT(2, 1, 0)),
                 cases[i].told == 2 ? OUTCOME_ANSWERED : OUTCOME_DELIVERED);
        struct plan_list p = plan_of(&farm, &told, &zone_utc, instant(cases[i].now_min));
        const char *want[] = {cases[i].again, cases[i].owner, cases[i].adviser, cases[i].missed};
        for (int stage = STAGE_AGAIN; stage <= STAGE_MISSED; stage++) {
            const struct task *t = say_task(&p, TASK_OXYGEN, 4, 0, (enum task_stage)stage);
            char got[64] = "-";
            if (t)
                say_clock(&zone_utc, t->due_s, got);
            if (strcmp(got, want[stage - STAGE_AGAIN]) != 0)
                fail_msg("%s, stage %d: got %s, wanted %s", cases[i].name, stage, got,
                         want[stage - STAGE_AGAIN]);
        }
        farm_free(&farm);
    }
}

/* In Nairobi nine in the evening is six here. */
static void local_hours(void **unused) {
    (void)unused;
    static struct told_list none;
    struct farm farm =
        say_all((const struct say[]){GROWN, OXYGEN(1, 15, 0, 6000), OXYGEN(1, 18, 0, 4500)}, 3);
    struct plan_list p = plan_of(&farm, &none, &nairobi, instant(DAY_AT(1, 18, 0)));
    say_want("Nairobi", &nairobi, say_task(&p, TASK_OXYGEN, 4, 0, STAGE_FIRST),
             "d2 01:00, d2 02:00, d2 07:00");
    farm_free(&farm);
}

/* -- samples -------------------------------------------------------------------------------------
 */

#define SAMPLE(at, mean_ug) OF_CYCLE(at, ENTRY_SAMPLED, 1, 30, mean_ug, 0, 0, 0)

static const struct grow_case samples[] = {
    {"after a month", {GROWN}, 0, TASK_SAMPLE, 1, "d30 06:00, d30 06:00, d30 18:00"},
    {"the next month once more",
     {GROWN},
     DAY_AT(31, 0, 0),
     TASK_SAMPLE,
     2,
     "d60 06:00, d60 06:00, d60 18:00"},
    {"the first is over", {GROWN}, DAY_AT(31, 0, 0), TASK_SAMPLE, 1, ""},
    {"a month after the last",
     {GROWN, SAMPLE(DAY_AT(10, 12, 0), 25 * G)},
     DAY_AT(10, 12, 0),
     TASK_SAMPLE,
     1,
     "d40 06:00, d40 06:00, d40 18:00"},
    {"a catch that was weighed is one",
     {GROWN, OF_CYCLE(DAY_AT(12, 12, 0), ENTRY_HARVESTED, 1, 10, 300000, 0)},
     DAY_AT(12, 12, 0),
     TASK_SAMPLE,
     1,
     "d42 06:00, d42 06:00, d42 18:00"},
    {"one that was not is none",
     {GROWN, OF_CYCLE(DAY_AT(12, 12, 0), ENTRY_HARVESTED, 1, 10, 0, 0)},
     DAY_AT(12, 12, 0),
     TASK_SAMPLE,
     1,
     "d30 06:00, d30 06:00, d30 18:00"},
    {"nor the big ones",
     {GROWN, OF_CYCLE(DAY_AT(12, 12, 0), ENTRY_BIG, 1, 10, 600000),
      OF_CYCLE(DAY_AT(12, 12, 0), ENTRY_HARVESTED, 1, 10, 600000, 0)},
     DAY_AT(12, 12, 0),
     TASK_SAMPLE,
     1,
     "d30 06:00, d30 06:00, d30 18:00"},
    {"a week before the harvest", {GROWN, CATCH(9, DAY_AT(37, 6, 0))}, 9, TASK_SAMPLE, 1, ""},
    {"more than a week before",
     {GROWN, CATCH(9, DAY_AT(37, 6, 1))},
     9,
     TASK_SAMPLE,
     1,
     "d30 06:00, d30 06:00, d30 18:00"},
    {"fry are in the nursery", {FRY}, DAY_AT(29, 9, 0), TASK_SAMPLE, 1, ""},
    {"fry that stay grow on",
     {FRY},
     DAY_AT(30, 7, 0),
     TASK_SAMPLE,
     1,
     "d60 06:00, d60 06:00, d60 18:00"},
    {"who is long there", {GROWN}, DAY_AT(405, 0, 0), TASK_SAMPLE, 14, ""},
    {"emptied", {GROWN, EMPTIED(DAY_AT(9, 9, 0))}, DAY_AT(9, 9, 0), TASK_SAMPLE, 1, ""},
    /* no nursery */
    {"fingerlings are not graded as fry", {GROWN}, 0, TASK_SORT, 1, ""},
    {"nor harvested", {GROWN}, 0, TASK_HARVEST, 0, ""},
    {"nor a week later", {GROWN}, 0, TASK_HARVEST, 1, ""},
    {"2 g are fingerlings",
     {STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 2 * G, 0, 0, 0)},
     0,
     TASK_HARVEST,
     0,
     ""},
    {"less are fry",
     {STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 2 * G - 1, 0, 0, 0)},
     0,
     TASK_HARVEST,
     0,
     "d30 07:00, d30 07:00, d30 19:00"},
    {"of unknown size, then weighed",
     {STOCK(DAY_AT(0, 9, 0), 1, 4, 5000, 0, 0, 0, 0), SAMPLE(DAY_AT(1, 9, 0), 50 * G)},
     DAY_AT(1, 9, 0),
     TASK_HARVEST,
     0,
     ""},
    {"fry weighed at the end of the nursery",
     {FRY, SAMPLE(DAY_AT(29, 9, 0), 3 * G)},
     DAY_AT(29, 9, 0),
     TASK_HARVEST,
     0,
     "d30 07:00, d30 07:00, d30 19:00"},
    {"a part of the nursery's harvest: a week on",
     {FRY, OF_CYCLE(DAY_AT(35, 9, 0), ENTRY_HARVESTED, 1, 100, 0, 0)},
     DAY_AT(35, 9, 0),
     TASK_HARVEST,
     1,
     "d42 07:00, d42 07:00, d42 19:00"},
    {"a catch of those that grow on",
     {FRY, OF_CYCLE(DAY_AT(80, 9, 0), ENTRY_HARVESTED, 1, 100, 0, 0)},
     DAY_AT(80, 9, 0),
     TASK_HARVEST,
     1,
     ""},
};

static void sampling(void **unused) {
    (void)unused;
    check(samples, COUNT_OF(samples));
}

/* -- feed ----------------------------------------------------------------------------------------
 */

/* 4 ares bear 1.2 kg a day without an aerator: 8.4 kg in a week. */
#define POND OF_POND(0, ENTRY_POND, 4, 4000000, 0, 0)

static const struct grow_case feed[] = {
    {"more than 0.3 kg an are",
     {GROWN, POND, FED(DAY_AT(1, 8, 0), 4000000), FED(DAY_AT(6, 8, 0), 4401000)},
     DAY_AT(6, 8, 0),
     TASK_DAWN,
     1,
     "d7 06:00, d7 06:00, d7 18:00"},
    {"just that",
     {GROWN, POND, FED(DAY_AT(1, 8, 0), 4000000), FED(DAY_AT(6, 8, 0), 4400000)},
     DAY_AT(6, 8, 0),
     TASK_DAWN,
     1,
     ""},
    {"an aerator runs",
     {GROWN, POND, OF_POND(1, ENTRY_AERATOR, 4, AERATOR_RUNS), FED(DAY_AT(1, 8, 0), 90000000)},
     DAY_AT(6, 8, 0),
     TASK_DAWN,
     1,
     ""},
    {"area not known", {GROWN, FED(DAY_AT(1, 8, 0), 90000000)}, DAY_AT(6, 8, 0), TASK_DAWN, 1, ""},
    {"no fish", {POND, FED(DAY_AT(1, 8, 0), 90000000)}, DAY_AT(6, 8, 0), TASK_DAWN, 1, ""},
    {"of the week before",
     {GROWN, POND, FED(DAY_AT(1, 8, 0), 90000000)},
     DAY_AT(8, 8, 0),
     TASK_DAWN,
     2,
     ""},
    {"each week",
     {GROWN, POND, FED(DAY_AT(7, 8, 0), 90000000)},
     DAY_AT(8, 8, 0),
     TASK_DAWN,
     2,
     "d14 06:00, d14 06:00, d14 18:00"},
    /* no feed before the harvest */
    {"the day before",
     {GROWN, CATCH(9, DAY_AT(10, 0, 0))},
     9,
     TASK_CATCH,
     0,
     "d9 07:00, d9 07:00, d9 19:00"},
    {"moved",
     {GROWN, CATCH(9, DAY_AT(10, 0, 0)), CATCH(10, DAY_AT(12, 9, 0))},
     9,
     TASK_CATCH,
     0,
     "d11 07:00, d11 07:00, d11 19:00"},
    {"called off",
     {GROWN, CATCH(9, DAY_AT(10, 0, 0)), OF_POND(10, ENTRY_CATCH, 4, 0)},
     10,
     TASK_CATCH,
     0,
     ""},
    {"empty", {CATCH(9, DAY_AT(10, 0, 0))}, 9, TASK_CATCH, 0, ""},
    {"not of the fish that come after",
     {CATCH(9, DAY_AT(10, 0, 0)), STOCK(12, 1, 4, 5000, 20 * G, 0, 0, 0)},
     12,
     TASK_CATCH,
     0,
     ""},
};

static void feeding(void **unused) {
    (void)unused;
    check(feed, COUNT_OF(feed));
}

/* -- late and taken back -------------------------------------------------------------------------
 */

static const struct say in_order[] = {
    POND, GROWN, FED(DAY_AT(0, 10, 0), 20000000), EVENING, CATCH(DAY_AT(1, 21, 1), DAY_AT(3, 0, 0)),
};

static void same_plan(const char *name, const struct farm *a, const struct farm *b) {
    static struct told_list none;
    int open = 0;
    if (farm_digest(&a->state) != farm_digest(&b->state))
        fail_msg("%s: the states differ", name);
    for (int64_t now_s = instant(DAY_AT(1, 21, 2)); now_s < instant(DAY_AT(70, 0, 0));
         now_s += 5 * HOUR_S) {
        struct plan_list p = plan_of(a, &none, &zone_utc, now_s);
        struct plan_list q = plan_of(b, &none, &zone_utc, now_s);
        if (p.count != q.count)
            fail_msg("%s: %d tasks, wanted %d", name, q.count, p.count);
        for (int i = 0; i < p.count; i++)
            assert_true(same_task(&p.tasks[i], &q.tasks[i]));
        open += p.count;
    }
    assert_in_range(open, 50, 10000);
}

static void late_and_undone(void **unused) {
    (void)unused;
    enum { COUNT = COUNT_OF(in_order) };
    struct farm farm = say_all(in_order, COUNT), late = farm_make();
    for (int i = COUNT - 1; i >= 0; i--)
        say_one(&late, in_order[i]);
    same_plan("all reported late, the last first", &farm, &late);
    farm_free(&late);
    /* the second reading was wrong, is taken back, and said once more */
    struct farm undone = say_all(in_order, COUNT);
    say_one(&undone, (struct say)OXYGEN(1, 21, 30, 2100));
    say_one(&undone, (struct say)OF_HALL(DAY_AT(1, 21, 31), ENTRY_UNDO, COUNT + 1));
    same_plan("a reading taken back", &farm, &undone);
    say_one(&undone, (struct say)OF_HALL(DAY_AT(1, 21, 31), ENTRY_UNDO, 5));
    struct plan_list p =
        plan_of(&undone, &(struct told_list){.count = 0}, &zone_utc, instant(DAY_AT(1, 21, 32)));
    assert_null(say_task(&p, TASK_OXYGEN, 4, 0, STAGE_FIRST));
    farm_free(&undone);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(oxygen),      cmocka_unit_test(oxygen_ladder),
        cmocka_unit_test(local_hours), cmocka_unit_test(sampling),
        cmocka_unit_test(feeding),     cmocka_unit_test(late_and_undone),
    };
    return cmocka_run_group_tests(tests, load_zone, NULL);
}
