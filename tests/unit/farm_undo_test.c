/* Undo by example: a message with entries on several subjects, twice, whose message is next, what
 * leans on it, and numbers that are never given again. */
#include "farm_say.h"

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
    assert_null(farm_brood_tag(&farm.state, SEX_FEMALE, 4));
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

/* What a fix says again stays with whoever had reported it, but it is the text of him who fixed. */
static void a_fix_keeps_the_reporter(void **unused) {
    (void)unused;
    struct farm farm = farm_of_evening();
    say(&farm, 13, 1, ENTRY_STRIPPED, 1, 150000);
    say(&farm, 14, 2, ENTRY_UNDO, 0, 13);
    say(&farm, 14, 1, ENTRY_STRIPPED, 1, 140000);
    assert_int_equal(farm_spawn(&farm.state, 1)->eggs_mg, 140000);
    assert_int_equal(farm_spawn(&farm.state, 1)->hands.who[0], 1);
    assert_int_equal(farm_sender(&farm, 13), 1);
    assert_int_equal(farm_sender(&farm, 14), 2);
    assert_int_equal(farm_sender(&farm, 99), 0);
    assert_int_equal(farm_last_message(&farm, 2), 14);
    assert_int_equal(farm_last_message(&farm, 1), 2);
    farm_free(&farm);
}

/* Before the strip she is a fish, whatever was said since; then all stands again. */
static void as_it_was_before(void **unused) {
    (void)unused;
    struct farm farm = farm_of_evening();
    say(&farm, 13, 1, ENTRY_STRIPPED, 1, 150000);
    say(&farm, 24, 1, ENTRY_WHITE, 1, 12);
    uint64_t now = farm_digest(&farm.state);
    int strip = farm.count - 2;
    OK(farm_fold_before(&farm, strip));
    assert_non_null(farm_spawn(&farm.state, 1));
    assert_int_equal(farm_spawn(&farm.state, 1)->stripped_s, 0);
    assert_non_null(farm_spawn(&farm.state, 2));
    OK(farm_fold_before(&farm, farm.count - 1));
    assert_int_equal(farm_spawn(&farm.state, 1)->eggs_mg, 150000);
    assert_int_equal(farm_spawn(&farm.state, 1)->white_of, 0);
    OK(farm_fold_before(&farm, 0));
    assert_int_equal(farm.state.spawn_count, 0);
    OK(farm_fold(&farm));
    assert_true(farm_digest(&farm.state) == now);
    farm_free(&farm);
}

/* A fix of the fish is an undo and the same spawn again with another tag. */
static void a_spawn_is_named_as_it_last_stood(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    OK(farm_add(&farm, evening, (int)COUNT_OF(evening)));
    int64_t first = farm.entries[0].message;
    assert_int_equal(farm_spawn_tag(&farm, 1), 3);
    say(&farm, 40, 1, ENTRY_UNDO, 0, first);
    assert_int_equal(farm_spawn_tag(&farm, 1), 3);
    say(&farm, 40, 1, ENTRY_INJECTED, 1, 4);
    assert_int_equal(farm_spawn_tag(&farm, 1), 4);
    say(&farm, 41, 1, ENTRY_UNDO, 0, 40);
    assert_int_equal(farm_spawn_tag(&farm, 1), 3);
    say(&farm, 42, 1, ENTRY_UNDO, 0, first);
    assert_int_equal(farm_spawn_tag(&farm, 1), 3);
    farm_free(&farm);
}

static void numbers(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    assert_int_equal(farm_next(&farm, SUBJECT_SPAWN), 1);
    assert_int_equal(farm_next(&farm, SUBJECT_BROOD), 1);
    assert_int_equal(farm_head(&farm), 0);
    OK(farm_add(&farm, evening, (int)COUNT_OF(evening)));
    assert_int_equal(farm_next(&farm, SUBJECT_SPAWN), 3);
    assert_int_equal(farm_next(&farm, SUBJECT_BROOD), 3);
    assert_int_equal(farm_head(&farm), 6);
    say(&farm, 4, 1, ENTRY_UNDO, 0, 2);
    assert_int_equal(farm_next(&farm, SUBJECT_SPAWN), 3); /* 2 was given once */
    assert_int_equal(farm_next(&farm, SUBJECT_BROOD), 3);
    assert_int_equal(farm_spawn_tag(&farm, 2), 4); /* undone, yet it can be named */
    assert_int_equal(farm_spawn_tag(&farm, 1), 3);
    assert_int_equal(farm_spawn_tag(&farm, 3), 0);
    say(&farm, 5, 1, ENTRY_INJECTED, farm_next(&farm, SUBJECT_SPAWN), 9);
    assert_int_equal(farm_next(&farm, SUBJECT_SPAWN), 4);
    assert_int_equal(farm_next(&farm, SUBJECT_BROOD), 10);
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
    say(&farm, 15, 1, ENTRY_INJECTED, farm_next(&farm, SUBJECT_SPAWN), 3);
    const struct spawn *again = farm_spawn(&farm.state, 3);
    assert_non_null(again);
    assert_int_equal(again->stripped_s, 0);
    assert_int_equal(again->waits, 0);
    farm_free(&farm);
}

/* Rows are messages 1, 2, ... in their order; what leans on message `on`. */
static void leaning_by_kind(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t on, want;
    } cases[] = {
        /* a spawn */
        {"a strip on the injection",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000)},
         1,
         2},
        {"a hormone on the injection",
         {INJECTED(1, 1, 1), OF_SPAWN(1, ENTRY_HORMONE, 1, HORMONE_MIX)},
         1,
         2},
        {"her tank on it", {INJECTED(1, 1, 1), OF_SPAWN(2, ENTRY_TANK, 1, 4)}, 1, 2},
        {"a tank's reading on nothing",
         {INJECTED(1, 1, 1), OF_TANK(2, ENTRY_WATER, 4, 24000, 0)},
         1,
         0},
        {"another spawn of another fish on nothing",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), OF_SPAWN(700, ENTRY_STRIPPED, 2, 90000)},
         1,
         0},
        {"a bowl on the injection of who lies in it",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(700, ENTRY_BOWL, 1, 2)},
         2,
         4},
        {"the layer on the strip",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(710, ENTRY_LAYER, 1, LAYER_NET)},
         2,
         3},
        {"the hatch on the strip",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(3000, ENTRY_HATCHED, 1, 100, HATCH_SHARE)},
         2,
         3},
        {"the hatch on no frames",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(2900, ENTRY_FRAMES, 1, 0), OF_SPAWN(3000, ENTRY_HATCHED, 1, 100, HATCH_SHARE)},
         3,
         0},
        {"her eggs' tank not on the strip: she may be in it",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(710, ENTRY_TANK, 1, 4)},
         2,
         0},
        {"a stocking from the spawn on its strip",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_CYCLE(9000, ENTRY_STOCKED, 1, 4, 100, 0, 1, 0, 0)},
         2,
         3},
        {"and on its injection",
         {INJECTED(1, 1, 1), OF_CYCLE(9000, ENTRY_STOCKED, 1, 4, 100, 0, 1, 0, 0)},
         1,
         2},
        {"a stocking from elsewhere on neither",
         {INJECTED(1, 1, 1), OF_CYCLE(9000, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0)},
         1,
         0},
        /* a brood fish */
        {"an injection on the registration",
         {OF_BROOD(1, ENTRY_BROOD, 1, SEX_FEMALE, 1, 0), INJECTED(5, 1, 1)},
         1,
         2},
        {"on the registration that holds, not on one taken back",
         {OF_BROOD(1, ENTRY_BROOD, 1, SEX_FEMALE, 1, 0), OF_HALL(2, ENTRY_UNDO, 1),
          OF_BROOD(3, ENTRY_BROOD, 1, SEX_FEMALE, 1, 0), INJECTED(5, 1, 1)},
         3,
         4},
        {"on the stocking that holds, too",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0), OF_HALL(2, ENTRY_UNDO, 1),
          OF_CYCLE(3, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0), OF_CYCLE(9, ENTRY_DIED, 1, 5)},
         3,
         4},
        {"her pond on the registration",
         {OF_BROOD(1, ENTRY_BROOD, 1, SEX_FEMALE, 1, 0), OF_BROOD(2, ENTRY_BROOD_POND, 1, 4)},
         1,
         2},
        {"milt on the male's registration",
         {OF_BROOD(1, ENTRY_BROOD, 2, SEX_MALE, 1, 0), INJECTED(5, 1, 1),
          OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000), OF_SPAWN(700, ENTRY_MALE, 1, 2, MALE_MILT)},
         1,
         4},
        {"milt of another on nothing",
         {OF_BROOD(1, ENTRY_BROOD, 2, SEX_MALE, 1, 0), INJECTED(5, 1, 1),
          OF_SPAWN(5, ENTRY_MALE, 1, 3, MALE_GLAND)},
         1,
         0},
        {"nothing on a new weight",
         {OF_BROOD(1, ENTRY_BROOD, 1, SEX_FEMALE, 1, 0),
          OF_BROOD(3, ENTRY_BROOD, 1, SEX_FEMALE, 1, 900000), INJECTED(5, 1, 1)},
         2,
         0},
        {"her pond on the injection that made her known",
         {INJECTED(1, 1, 1), OF_BROOD(2, ENTRY_BROOD_POND, 1, 4)},
         1,
         2},
        {"her death, too", {INJECTED(1, 1, 1), OF_BROOD(2, ENTRY_BROOD_DIED, 1, 0)}, 1, 2},
        {"a new weight makes her known by itself",
         {INJECTED(1, 1, 1), OF_BROOD(2, ENTRY_BROOD, 1, SEX_FEMALE, 1, 900000)},
         1,
         0},
        {"not on an injection of a known one",
         {OF_BROOD(1, ENTRY_BROOD, 1, SEX_FEMALE, 1, 0), INJECTED(5, 1, 1),
          OF_BROOD(6, ENTRY_BROOD_POND, 1, 4)},
         2,
         0},
        /* a cycle */
        {"a harvest on the stocking",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_HARVESTED, 1, 5, 0, 0)},
         1,
         2},
        {"more into it on the first",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(2, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0)},
         1,
         2},
        {"nothing on the second",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(2, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_HARVESTED, 1, 5, 0, 0)},
         2,
         0},
        {"what was moved out of it on the stocking",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_STOCKED, 2, 5, 50, 0, 0, 1, 0)},
         1,
         2},
        {"a sample on the stocking",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_SAMPLED, 1, 30, 85000000, 0, 0, 0)},
         1,
         2},
        {"a theft on it",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0), OF_CYCLE(9, ENTRY_STOLEN, 1, 30)},
         1,
         2},
        {"big ones on it",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_BIG, 1, 30, 9000000)},
         1,
         2},
        {"nothing on a sample",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_SAMPLED, 1, 30, 85000000, 0, 0, 0), OF_CYCLE(10, ENTRY_STOLEN, 1, 5)},
         2,
         0},
        {"feed given to a pond not on what swims in it",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0), OF_POND(9, ENTRY_GIVEN, 4, 5000, 0)},
         1,
         0},
        {"feed given by measure not on the measure: it holds its weight",
         {OF_HALL(1, ENTRY_MEASURE, MEASURE_TIN, 800000, 0),
          OF_POND(9, ENTRY_GIVEN, 4, 1600000, 0)},
         1,
         0},
        {"a point on no other point of a table",
         {OF_HALL(1, ENTRY_TABLE, 10000, 50000, 1), OF_HALL(2, ENTRY_TABLE, 90000, 20000, 0)},
         1,
         0},
        {"nothing on a pond's own entries",
         {OF_POND(1, ENTRY_POND, 4, 4000000, 800, 0),
          OF_CYCLE(9, ENTRY_STOCKED, 1, 4, 50, 0, 0, 0, 0)},
         1,
         0},
        {"nothing on a harvest",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0),
          OF_CYCLE(9, ENTRY_HARVESTED, 1, 5, 0, 0), OF_CYCLE(10, ENTRY_DIED, 1, 5)},
         2,
         0},
        {"taken back it does not lean",
         {OF_CYCLE(1, ENTRY_STOCKED, 1, 4, 100, 0, 0, 0, 0), OF_CYCLE(10, ENTRY_DIED, 1, 5),
          OF_HALL(11, ENTRY_UNDO, 2)},
         1,
         0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        FIELD(cases[i].name, farm_leans_on(&farm, cases[i].on), cases[i].want);
        farm_free(&farm);
    }
}

/* -- fixes ---------------------------------------------------------------------------------------
 */

/* One message that takes back another and says its entry anew, with another value. */
static void fix(struct farm *farm, int64_t message, int64_t at_min, struct say anew) {
    struct say undo = OF_HALL(at_min, ENTRY_UNDO, message);
    struct entry e[2] = {say_entry(&undo, farm_head(farm) + 1),
                         say_entry(&anew, farm_head(farm) + 2)};
    e[1].message = e[0].message;
    OK(farm_add(farm, e, 2));
}

static int64_t eggs_of(const struct farm *farm) {
    return farm_spawn(&farm->state, 1)->eggs_mg;
}

/* A fix undone is as before the fix; fixed again, the newest fix holds; a lone undo is never
 * undone. */
static void fixes(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 15000)}, 2);
    uint64_t before = farm_digest(&farm.state);
    fix(&farm, 2, 720, (struct say)OF_SPAWN(700, ENTRY_STRIPPED, 1, 150000)); /* message 3 */
    assert_int_equal(eggs_of(&farm), 150000);
    assert_int_equal(farm_newest_message(&farm, SUBJECT_SPAWN, 1), 3);
    assert_int_equal(farm_last_message(&farm, 1), 3);
    uint64_t fixed = farm_digest(&farm.state);

    fix(&farm, 3, 730, (struct say)OF_SPAWN(700, ENTRY_STRIPPED, 1, 160000)); /* message 5 */
    assert_int_equal(eggs_of(&farm), 160000); /* not the first, though its undo is undone */
    assert_false(farm.in_force[1]);
    say_one(&farm, (struct say)OF_HALL(740, ENTRY_UNDO, 5)); /* message 7 */
    assert_true(farm_digest(&farm.state) == fixed);
    say_one(&farm, (struct say)OF_HALL(750, ENTRY_UNDO, 3));
    assert_true(farm_digest(&farm.state) == before);
    assert_int_equal(eggs_of(&farm), 15000);
    assert_int_equal(farm_newest_message(&farm, SUBJECT_SPAWN, 1), 2);
    say_one(&farm, (struct say)OF_HALL(760, ENTRY_UNDO, 7)); /* a lone one */
    assert_true(farm_digest(&farm.state) == before);
    say_one(&farm, (struct say)OF_HALL(770, ENTRY_UNDO, 2));
    assert_int_equal(farm_spawn(&farm.state, 1)->stripped_s, 0);
    farm_free(&farm);
}

/* What was fixed is taken back: by its fix's message, not by the first one's. */
static void fixed_then_undone(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 15000)}, 2);
    fix(&farm, 2, 720, (struct say)OF_SPAWN(700, ENTRY_STRIPPED, 1, 150000));
    say_one(&farm, (struct say)OF_HALL(730, ENTRY_UNDO, 2)); /* is already */
    assert_int_equal(eggs_of(&farm), 150000);
    say_one(&farm, (struct say)OF_SPAWN(1300, ENTRY_WHITE, 1, 10, 100));
    assert_int_equal(farm_leans_on(&farm, 3), 6);
    assert_int_equal(farm_leans_on(&farm, 2), 0); /* no longer in force */
    /* its fix undone, the second undo of the strip still stands: no strip */
    say_one(&farm, (struct say)OF_HALL(1310, ENTRY_UNDO, 3));
    assert_int_equal(farm_spawn(&farm.state, 1)->stripped_s, 0);
    farm_free(&farm);
}

static void newest_of_a_subject(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(1, 1, 1), OF_POND(2, ENTRY_POND, 1, 100, 0, 0),
                             OF_CYCLE(3, ENTRY_STOCKED, 1, 1, 10, 0, 0, 0, 0),
                             OF_BROOD(4, ENTRY_BROOD_POND, 1, 1), OF_TANK(5, ENTRY_VOLUME, 1, 100)},
        5);
    static const enum subject_kind kinds[] = {SUBJECT_SPAWN, SUBJECT_POND, SUBJECT_CYCLE,
                                              SUBJECT_BROOD, SUBJECT_TANK};
    for (size_t i = 0; i < COUNT_OF(kinds); i++) {
        assert_int_equal(farm_newest_message(&farm, kinds[i], 1), i + 1);
        assert_int_equal(farm_newest_message(&farm, kinds[i], 2), 0);
    }
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_its_entries),
        cmocka_unit_test(last_message),
        cmocka_unit_test(a_fix_keeps_the_reporter),
        cmocka_unit_test(as_it_was_before),
        cmocka_unit_test(a_spawn_is_named_as_it_last_stood),
        cmocka_unit_test(numbers),
        cmocka_unit_test(leaning),
        cmocka_unit_test(what_leaned_rests),
        cmocka_unit_test(leaning_by_kind),
        cmocka_unit_test(fixes),
        cmocka_unit_test(fixed_then_undone),
        cmocka_unit_test(newest_of_a_subject),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
