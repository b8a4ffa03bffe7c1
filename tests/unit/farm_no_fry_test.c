/* A pond prepared for a spawn that comes to nothing: its steps are planned no more, that no fry
 * come is said once, by day, and all of it is as before when the loss is taken back. Pond 4 is
 * prepared from noon on for spawn 1, injected an hour earlier; it shall be ready on day 16. All
 * hours in UTC, nothing told. */
#include "farm_say.h"

static const struct no_fry_case {
    const char *name;
    struct say rows[8]; /* after these two */
    int64_t now_min;
    enum task_kind kind;
    int nth;
    const char *want; /* "": not planned */
} cases[] = {
    {"they may come",
     {{0}},
     DAY_AT(1, 9, 1),
     TASK_PREP,
     PREP_FILL,
     "d13 07:00, d13 07:00, d13 19:00"},
    {"nothing is said", {{0}}, DAY_AT(0, 12, 1), TASK_NO_FRY, 1, ""},
#define NO_EGGS(at) OF_SPAWN(at, ENTRY_NO_EGGS, 1, 0)
    {"no eggs: no fry on the day", {NO_EGGS(DAY_AT(1, 9, 0))}, DAY_AT(1, 9, 1), TASK_STOCK, 0, ""},
    {"nothing is prepared for them",
     {NO_EGGS(DAY_AT(1, 9, 0))},
     DAY_AT(1, 9, 1),
     TASK_PREP,
     PREP_FILL,
     ""},
    {"and that is said",
     {NO_EGGS(DAY_AT(1, 9, 0))},
     DAY_AT(1, 8, 59),
     TASK_NO_FRY,
     1,
     "d1 09:00, d1 09:00, d2 09:00"},
    {"of a loss in the night by day",
     {NO_EGGS(DAY_AT(1, 3, 0))},
     DAY_AT(1, 3, 1),
     TASK_NO_FRY,
     1,
     "d1 07:00, d1 03:00, d2 07:00"},
    {"of one late in the evening, too",
     {NO_EGGS(DAY_AT(0, 21, 0))},
     DAY_AT(0, 21, 1),
     TASK_NO_FRY,
     1,
     "d1 07:00, d0 21:00, d2 07:00"},
#define LOSS_UNDONE NO_EGGS(DAY_AT(1, 9, 0)), OF_HALL(DAY_AT(1, 9, 5), ENTRY_UNDO, 3)
    {"taken back the work goes on",
     {LOSS_UNDONE},
     DAY_AT(1, 9, 6),
     TASK_PREP,
     PREP_FILL,
     "d13 07:00, d13 07:00, d13 19:00"},
    {"and nothing is said", {LOSS_UNDONE}, DAY_AT(1, 8, 59), TASK_NO_FRY, 1, ""},
    {"for other fry it goes on",
     {NO_EGGS(DAY_AT(1, 9, 0)),
      OF_POND(DAY_AT(1, 10, 0), ENTRY_PREPARE, 4, LEDGER_START_S + DAY_AT(16, 7, 0) * MINUTE_S, 0)},
     DAY_AT(1, 10, 1),
     TASK_STOCK,
     0,
     "d16 07:00, d16 07:00, d16 19:00"},
    {"her injection was a mistake: no fry",
     {OF_HALL(DAY_AT(1, 9, 0), ENTRY_UNDO, 1)},
     DAY_AT(1, 9, 1),
     TASK_STOCK,
     0,
     ""},
    {"said at the hour the pond was prepared for her",
     {OF_HALL(DAY_AT(1, 9, 0), ENTRY_UNDO, 1)},
     DAY_AT(0, 12, 1),
     TASK_NO_FRY,
     1,
     "d0 12:00, d0 12:00, d1 12:00"},
#define LARVAE                                                                                     \
    OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 1, 90000),                                           \
        OF_SPAWN(DAY_AT(2, 12, 0), ENTRY_FRAMES, 1, 0),                                            \
        OF_SPAWN(DAY_AT(2, 12, 5), ENTRY_HATCHED, 1, 5000, HATCH_COUNTED)
    {"eggs spoilt",
     {OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 1, 90000),
      OF_SPAWN(DAY_AT(1, 15, 0), ENTRY_SPOILT, 1, 0)},
     DAY_AT(1, 15, 0),
     TASK_NO_FRY,
     1,
     "d1 15:00, d1 15:00, d2 15:00"},
    {"none hatched",
     {OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 1, 90000),
      OF_SPAWN(DAY_AT(2, 15, 0), ENTRY_HATCHED, 1, 0, HATCH_COUNTED)},
     DAY_AT(2, 15, 0),
     TASK_NO_FRY,
     1,
     "d2 15:00, d2 15:00, d3 15:00"},
    {"larvae live", {LARVAE}, DAY_AT(2, 12, 1), TASK_NO_FRY, 1, ""},
    {"all found dead",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_DIED, 1, 2000),
      OF_SPAWN(DAY_AT(5, 9, 0), ENTRY_DIED, 1, 3000)},
     DAY_AT(5, 8, 59),
     TASK_NO_FRY,
     1,
     "d5 09:00, d5 09:00, d6 09:00"},
    {"nobody feeds them then",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_DIED, 1, 5000)},
     DAY_AT(4, 9, 1),
     TASK_FOOD,
     1,
     ""},
    {"all but one dead",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_DIED, 1, 4999)},
     DAY_AT(4, 8, 59),
     TASK_NO_FRY,
     1,
     ""},
    {"none counted",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_COUNTED, 1, 0)},
     DAY_AT(4, 8, 59),
     TASK_NO_FRY,
     1,
     "d4 09:00, d4 09:00, d5 09:00"},
    {"counted anew",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_COUNTED, 1, 0),
      OF_SPAWN(DAY_AT(4, 10, 0), ENTRY_COUNTED, 1, 700)},
     DAY_AT(4, 8, 59),
     TASK_NO_FRY,
     1,
     ""},
    {"the last sold",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_SOLD, 1, 4000, 0, 1)},
     DAY_AT(4, 8, 59),
     TASK_NO_FRY,
     1,
     "d4 09:00, d4 09:00, d5 09:00"},
    {"as many sold as hatched: there may be more",
     {LARVAE, OF_SPAWN(DAY_AT(4, 9, 0), ENTRY_SOLD, 1, 5000, 0, 0)},
     DAY_AT(4, 8, 59),
     TASK_NO_FRY,
     1,
     ""},
#define INTO_BOWL                                                                                  \
    INJECTED(DAY_AT(0, 11, 1), 2, 2), OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_STRIPPED, 2, 90000),         \
        OF_SPAWN(DAY_AT(1, 9, 0), ENTRY_BOWL, 2, 1)
    {"stripped into the bowl of another, which lives",
     {INTO_BOWL},
     DAY_AT(1, 8, 59),
     TASK_NO_FRY,
     1,
     ""},
    {"or is lost",
     {INTO_BOWL, OF_SPAWN(DAY_AT(2, 9, 0), ENTRY_SPOILT, 2, 0)},
     DAY_AT(2, 8, 59),
     TASK_NO_FRY,
     1,
     "d2 09:00, d2 09:00, d3 09:00"},
};

static void planned(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const struct no_fry_case *c = &cases[i];
        struct farm farm =
            say_all((const struct say[]){INJECTED(DAY_AT(0, 11, 0), 1, 1),
                                         OF_POND(DAY_AT(0, 12, 0), ENTRY_PREPARE, 4,
                                                 LEDGER_START_S + DAY_AT(16, 7, 0) * MINUTE_S, 1)},
                    2);
        for (size_t k = 0; k < COUNT_OF(c->rows) && c->rows[k].kind; k++)
            say_one(&farm, c->rows[k]);
        struct plan_list p =
            plan_of(&farm, &none, &zone_utc, LEDGER_START_S + c->now_min * MINUTE_S);
        bool of_pond = task_subject(c->kind) == SUBJECT_POND;
        say_want(c->name, &zone_utc, say_task(&p, c->kind, of_pond ? 4 : 1, c->nth, STAGE_FIRST),
                 c->want);
        farm_free(&farm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(planned)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
