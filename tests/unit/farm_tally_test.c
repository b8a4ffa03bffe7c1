/* The larvae of a spawn as thought at an instant, from its ledger: late reports and undos come out
 * as if they had been said in time, and what was taken out later is no matter then. Half
 * hatch is not known by water here, so ages count from the frames, on day 2 at noon; 50 000
 * hatched. The numbers are those of trade_tally_test: 0.05, 0.6 and 0.95 alive at two weeks. */
#include "farm_say.h"

#define FRAMES_AT DAY_AT(2, 12, 0)
#define LARVAE                                                                                     \
    INJECTED(DAY_AT(0, 19, 0), 1, 1), OF_SPAWN(DAY_AT(1, 7, 0), ENTRY_STRIPPED, 1, 150000),        \
        OF_SPAWN(FRAMES_AT, ENTRY_FRAMES, 1, 0),                                                   \
        OF_SPAWN(FRAMES_AT, ENTRY_HATCHED, 1, 50000, HATCH_COUNTED)
#define ON(day, kind, ...) OF_SPAWN(FRAMES_AT + (day)*24 * 60, kind, 1, __VA_ARGS__)
#define MOVED              ON(3, ENTRY_SOLD, 35000, 0, 0)

static const struct tally_case {
    const char *name;
    struct say rows[SAY_MOST];
    int day; /* of age */
    int64_t low, middle, high, most;
} cases[] = {
    {"untouched", {LARVAE}, 14, 2500, 30000, 47500, 50000},
    {"at the hatch", {LARVAE}, 0, 50000, 50000, 50000, 50000},
    {"a part sold", {LARVAE, MOVED}, 14, 303, 7031, 13890, 15000},
    {"asked of before it", {LARVAE, MOVED}, 2, 43214, 47143, 49643, 50000},
    {"sorted out", {LARVAE, ON(3, ENTRY_GRADED, 35000)}, 14, 303, 7031, 13890, 15000},
    {"none sorted out", {LARVAE, ON(3, ENTRY_GRADED, 0)}, 14, 2500, 30000, 47500, 50000},
    {"stocked",
     {LARVAE, OF_CYCLE(FRAMES_AT + 3 * 24 * 60, ENTRY_STOCKED, 1, 4, 35000, 0, 1, 0, 0)},
     14,
     303,
     7031,
     13890,
     15000},
    {"taken back", {LARVAE, MOVED, OF_HALL(9000, ENTRY_UNDO, 5)}, 14, 2500, 30000, 47500, 50000},
    {"twice",
     {LARVAE, ON(3, ENTRY_SOLD, 20000), ON(7, ENTRY_SOLD, 5000)},
     7,
     8066,
     17500,
     24039,
     25000},
    {"the first said late",
     {LARVAE, ON(7, ENTRY_SOLD, 5000), ON(3, ENTRY_SOLD, 20000)},
     7,
     8066,
     17500,
     24039,
     25000},
    {"dead twice",
     {LARVAE, ON(3, ENTRY_DIED, 3000), ON(7, ENTRY_DIED, 3000)},
     7,
     26250,
     37004,
     43138,
     44000},
    {"the first said late",
     {LARVAE, ON(7, ENTRY_DIED, 3000), ON(3, ENTRY_DIED, 3000)},
     7,
     26250,
     37004,
     43138,
     44000},
    {"counted", {LARVAE, MOVED, ON(7, ENTRY_COUNTED, 20000)}, 14, 1905, 15000, 19487, 20000},
    {"a sale of before the count said after it",
     {LARVAE, ON(7, ENTRY_COUNTED, 20000), MOVED},
     14,
     1905,
     15000,
     19487,
     20000},
    {"asked of before the count",
     {LARVAE, MOVED, ON(7, ENTRY_COUNTED, 20000)},
     3,
     4821,
     10714,
     14464,
     15000},
    {"the count taken back",
     {LARVAE, MOVED, ON(7, ENTRY_COUNTED, 20000), OF_HALL(20000, ENTRY_UNDO, 6)},
     14,
     303,
     7031,
     13890,
     15000},
    {"the hatch said after the sale",
     {INJECTED(DAY_AT(0, 19, 0), 1, 1), OF_SPAWN(DAY_AT(1, 7, 0), ENTRY_STRIPPED, 1, 150000),
      OF_SPAWN(FRAMES_AT, ENTRY_FRAMES, 1, 0), MOVED,
      OF_SPAWN(FRAMES_AT, ENTRY_HATCHED, 1, 50000, HATCH_COUNTED)},
     14,
     303,
     7031,
     13890,
     15000},
    {"no hatch said: by the book of 90 000 eggs",
     {INJECTED(DAY_AT(0, 19, 0), 1, 1), OF_SPAWN(DAY_AT(1, 7, 0), ENTRY_STRIPPED, 1, 150000),
      OF_SPAWN(FRAMES_AT, ENTRY_FRAMES, 1, 0)},
     14,
     1260,
     27000,
     50445,
     53100},
};

static void left(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const struct tally_case *want = &cases[i];
        struct farm farm = say_all(want->rows, SAY_MOST);
        const struct spawn *s = farm_spawn(&farm.state, 1);
        struct tally t =
            spawn_tally(s, LEDGER_START_S + FRAMES_AT * MINUTE_S + want->day * (int64_t)DAY_S);
        struct larvae_range got = tally_alive(&t);
        FIELD(want->name, got.low, want->low);
        FIELD(want->name, got.middle, want->middle);
        FIELD(want->name, got.high, want->high);
        FIELD(want->name, tally_most(&t).high, want->most);
        farm_free(&farm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(left)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
