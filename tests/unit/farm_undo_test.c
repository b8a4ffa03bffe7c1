/* Undo by example: a message with entries on several subjects, twice, whose message is next, what
 * leans on it, and numbers that are never given again. */
#include "farm_ledger.h"

/* The ledger of an evening; person 1 is the hand, 2 the owner. */
static const struct entry evening[] = {
    {1, LEDGER_START_S, LEDGER_START_S, 1, 1, ENTRY_INJECTED, 1, SUBJECT_SPAWN, 1, {1, 3, 1200000}},
    {2, LEDGER_START_S, LEDGER_START_S, 1, 1, ENTRY_WATER, 1, SUBJECT_SPAWN, 1, {24000, 1, 0}},
    /* one text about two females and the hall */
    {3,
     LEDGER_START_S + 600,
     LEDGER_START_S + 600,
     2,
     1,
     ENTRY_INJECTED,
     1,
     SUBJECT_SPAWN,
     2,
     {2, 4, 900000}},
    {4,
     LEDGER_START_S + 600,
     LEDGER_START_S + 600,
     2,
     1,
     ENTRY_WATER,
     1,
     SUBJECT_SPAWN,
     1,
     {22000, WATER_OWN, 0}},
    {5,
     LEDGER_START_S + 600,
     LEDGER_START_S + 600,
     2,
     1,
     ENTRY_WATER,
     1,
     SUBJECT_HATCHERY,
     0,
     {26000, 0, 0}},
    {6,
     LEDGER_START_S + 900,
     LEDGER_START_S + 900,
     3,
     2,
     ENTRY_WATER,
     1,
     SUBJECT_HATCHERY,
     0,
     {25000, 0, 0}},
};

static struct farm farm_of_evening(void) {
    struct farm farm = farm_make();
    OK(farm_add(&farm, evening, (int)COUNT_OF(evening)));
    return farm;
}

static void say(struct farm *farm, int64_t message, int64_t person, enum entry_kind kind,
                int64_t spawn, int64_t value) {
    int64_t at_s = LEDGER_START_S + message * HOUR_S;
    struct entry e = {.seq = farm_head(farm) + 1,
                      .at_s = at_s,
                      .said_s = at_s,
                      .message = message,
                      .person = person,
                      .kind = kind,
                      .version = ENTRY_VERSION,
                      .subject_kind = spawn ? SUBJECT_SPAWN : SUBJECT_HATCHERY,
                      .subject = spawn,
                      .value = {value, 100}};
    if (kind == ENTRY_INJECTED)
        e.value[1] = e.value[2] = value; /* the female's number is her tag and her weight */
    OK(farm_add(farm, &e, 1));
}

static void all_its_entries(void **unused) {
    (void)unused;
    struct farm farm = farm_of_evening();
    assert_non_null(farm_spawn(&farm.state, 2));
    assert_false(farm_spawn(&farm.state, 1)->follows);
    assert_int_equal(farm.state.water.count, 2);

    say(&farm, 4, 1, ENTRY_UNDO, 0, 2);
    assert_null(farm_spawn(&farm.state, 2));
    assert_null(farm_female(&farm.state, 4));
    const struct spawn *f3 = farm_spawn(&farm.state, 1);
    assert_true(f3->follows);
    assert_int_equal(f3->water.count, 2); /* 24 at the injection, then the owner's 25 */
    assert_int_equal(f3->water.readings[1].mdegc, 25000);
    assert_int_equal(farm.state.water.count, 1);
    static const bool in_force[] = {true, true, false, false, false, true, false};
    assert_memory_equal(farm.in_force, in_force, sizeof in_force);

    uint64_t once = farm_digest(&farm.state);
    say(&farm, 5, 1, ENTRY_UNDO, 0, 2);
    assert_true(farm_digest(&farm.state) == once);
    say(&farm, 6, 1, ENTRY_UNDO, 0, 4); /* an undo is never undone */
    assert_true(farm_digest(&farm.state) == once);
    say(&farm, 7, 1, ENTRY_UNDO, 0, 99); /* nor was that ever said */
    assert_true(farm_digest(&farm.state) == once);
    farm_free(&farm);
}

/* The newest text of this phone that is still in force; the next one goes one text further. */
static void last_message(void **unused) {
    (void)unused;
    struct farm farm = farm_of_evening();
    assert_int_equal(farm_last_message(&farm, 1), 2);
    assert_int_equal(farm_last_message(&farm, 2), 3);
    assert_int_equal(farm_last_message(&farm, 3), 0);
    say(&farm, 4, 1, ENTRY_UNDO, 0, 2);
    assert_int_equal(farm_last_message(&farm, 1), 1);
    say(&farm, 5, 1, ENTRY_UNDO, 0, 1);
    assert_int_equal(farm_last_message(&farm, 1), 0);
    assert_int_equal(farm_last_message(&farm, 2), 3);
    say(&farm, 6, 1, ENTRY_WATER, 0, 24000);
    assert_int_equal(farm_last_message(&farm, 1), 6);
    say(&farm, 7, 2, ENTRY_UNDO, 0, 6); /* by the owner */
    assert_int_equal(farm_last_message(&farm, 1), 0);
    farm_free(&farm);
}

static void numbers(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    assert_int_equal(farm_next_spawn(&farm), 1);
    assert_int_equal(farm_next_female(&farm), 1);
    assert_int_equal(farm_head(&farm), 0);
    OK(farm_add(&farm, evening, (int)COUNT_OF(evening)));
    assert_int_equal(farm_next_spawn(&farm), 3);
    assert_int_equal(farm_next_female(&farm), 3);
    assert_int_equal(farm_head(&farm), 6);
    say(&farm, 4, 1, ENTRY_UNDO, 0, 2);
    assert_int_equal(farm_next_spawn(&farm), 3); /* 2 was given once */
    assert_int_equal(farm_next_female(&farm), 3);
    assert_int_equal(farm_spawn_tag(&farm, 2), 4); /* undone, yet it can be named */
    assert_int_equal(farm_spawn_tag(&farm, 1), 3);
    assert_int_equal(farm_spawn_tag(&farm, 3), 0);
    say(&farm, 5, 1, ENTRY_INJECTED, farm_next_spawn(&farm), 9);
    assert_int_equal(farm_next_spawn(&farm), 4);
    assert_int_equal(farm_next_female(&farm), 10);
    farm_free(&farm);
}

/* Who leans on an injection: any later word about that spawn. On a strip: its counts and frames. */
static void leaning(void **unused) {
    (void)unused;
    struct farm farm = farm_of_evening();
    assert_int_equal(farm_leans_on(&farm, 1), 2); /* message 2 has a reading of F3's tank */
    assert_int_equal(farm_leans_on(&farm, 2), 0);
    assert_int_equal(farm_leans_on(&farm, 3), 0); /* on a reading nothing leans */
    assert_int_equal(farm_leans_on(&farm, 99), 0);
    say(&farm, 4, 1, ENTRY_UNDO, 0, 2);
    assert_int_equal(farm_leans_on(&farm, 1), 0);
    say(&farm, 13, 1, ENTRY_NOT_READY, 1, 0);
    assert_int_equal(farm_leans_on(&farm, 1), 13);
    say(&farm, 14, 1, ENTRY_STRIPPED, 1, 150000);
    assert_int_equal(farm_leans_on(&farm, 14), 0);
    assert_int_equal(farm_leans_on(&farm, 13), 0);
    say(&farm, 15, 1, ENTRY_WATER, 1, 24000);
    assert_int_equal(farm_leans_on(&farm, 14), 0);
    say(&farm, 24, 1, ENTRY_WHITE, 1, 12);
    assert_int_equal(farm_leans_on(&farm, 14), 24);
    say(&farm, 25, 1, ENTRY_UNDO, 0, 24);
    assert_int_equal(farm_leans_on(&farm, 14), 0);
    say(&farm, 60, 1, ENTRY_FRAMES, 1, 0);
    assert_int_equal(farm_leans_on(&farm, 14), 60);
    say(&farm, 61, 1, ENTRY_UNDO, 0, 14);
    assert_int_equal(farm_leans_on(&farm, 14), 0); /* itself no longer in force */
    farm_free(&farm);
}

/* With its injection undone a spawn's later entries rest; said anew it is another spawn. */
static void what_leaned_rests(void **unused) {
    (void)unused;
    struct farm farm = farm_of_evening();
    say(&farm, 13, 1, ENTRY_STRIPPED, 1, 150000);
    say(&farm, 14, 1, ENTRY_UNDO, 0, 1);
    assert_null(farm_spawn(&farm.state, 1));
    say(&farm, 15, 1, ENTRY_INJECTED, farm_next_spawn(&farm), 3);
    const struct spawn *again = farm_spawn(&farm.state, 3);
    assert_non_null(again);
    assert_int_equal(again->stripped_s, 0);
    assert_int_equal(again->waits, 0);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_its_entries),   cmocka_unit_test(last_message),
        cmocka_unit_test(numbers),           cmocka_unit_test(leaning),
        cmocka_unit_test(what_leaned_rests),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
