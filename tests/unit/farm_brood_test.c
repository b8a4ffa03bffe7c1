/* Brood fish by small ledgers: what makes one, what changes it, when its tag is free again, from
 * when a female rests, and what her death does to her spawn. */
#include "farm_say.h"

#define FEMALE(at, id, tag, mg) OF_BROOD(at, ENTRY_BROOD, id, SEX_FEMALE, tag, mg)
#define MALE(at, id, tag, mg)   OF_BROOD(at, ENTRY_BROOD, id, SEX_MALE, tag, mg)

static const struct brood *fish_of(const struct farm *farm, int64_t id) {
    const struct brood *fish = farm_brood(&farm->state, id);
    assert_non_null(fish);
    return fish;
}

static void what_makes_and_changes_one(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int count; /* of brood fish */
        struct brood want;
    } cases[] = {
        {"registered without a weight",
         {FEMALE(10, 1, 3, 0)},
         1,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10}},
        {"registered with one",
         {MALE(10, 1, 2, 1500000)},
         1,
         {.sex = SEX_MALE, .tag = 2, .since_s = 10, .weight_mg = 1500000, .weighed_s = 10}},
        {"weighed again",
         {FEMALE(10, 1, 3, 900000), FEMALE(50, 1, 3, 1100000)},
         1,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10, .weight_mg = 1100000, .weighed_s = 50}},
        {"named again without a weight",
         {FEMALE(10, 1, 3, 900000), FEMALE(50, 1, 3, 0)},
         1,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10, .weight_mg = 900000, .weighed_s = 10}},
        {"an older weight said late is no newer one",
         {FEMALE(10, 1, 3, 900000), FEMALE(90, 1, 3, 1100000), FEMALE(50, 1, 3, 1000000)},
         1,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10, .weight_mg = 1100000, .weighed_s = 90}},
        {"pond, birth and origin",
         {FEMALE(10, 1, 3, 0), OF_BROOD(11, ENTRY_BROOD_POND, 1, 4),
          OF_BROOD(12, ENTRY_BROOD_BORN, 1, 1700000000), OF_BROOD(13, ENTRY_BROOD_ORIGIN, 1, 7),
          OF_BROOD(14, ENTRY_BROOD_POND, 1, 5)},
         1,
         {.sex = SEX_FEMALE,
          .tag = 3,
          .since_s = 10,
          .pond = 5,
          .born_s = 1700000000,
          .origin = 7}},
        {"an injection registers her",
         {INJECTED(10, 1, 1)},
         1,
         {.sex = SEX_FEMALE, .tag = 1, .since_s = 10, .weight_mg = 1000000, .weighed_s = 10}},
        {"and weighs her anew",
         {FEMALE(10, 1, 1, 700000), INJECTED(20, 1, 1)},
         1,
         {.sex = SEX_FEMALE, .tag = 1, .since_s = 10, .weight_mg = 1000000, .weighed_s = 20}},
        {"registered late, at an instant before the injection",
         {INJECTED(20, 1, 1), FEMALE(10, 1, 1, 700000), OF_BROOD(11, ENTRY_BROOD_POND, 1, 4)},
         1,
         {.sex = SEX_FEMALE,
          .tag = 1,
          .since_s = 10,
          .weight_mg = 1000000,
          .weighed_s = 20,
          .pond = 4}},
        {"nothing of a fish before it is there",
         {OF_BROOD(5, ENTRY_BROOD_POND, 1, 4), OF_BROOD(6, ENTRY_BROOD_DIED, 1, 0),
          FEMALE(10, 1, 3, 0)},
         1,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10}},
        {"said of another",
         {FEMALE(10, 1, 3, 0), MALE(11, 2, 3, 0), OF_BROOD(12, ENTRY_BROOD_POND, 2, 4),
          OF_BROOD(13, ENTRY_BROOD_DIED, 2, 0)},
         2,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10}},
        {"dead, and said dead again",
         {FEMALE(10, 1, 3, 0), OF_BROOD(20, ENTRY_BROOD_DIED, 1, 0),
          OF_BROOD(30, ENTRY_BROOD_DIED, 1, 0)},
         1,
         {.sex = SEX_FEMALE, .tag = 3, .since_s = 10, .died_s = 20}},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct brood *fish = fish_of(&farm, 1), *want = &cases[i].want;
        FIELD(cases[i].name, farm.state.brood_count, cases[i].count);
        FIELD(cases[i].name, fish->sex, want->sex);
        FIELD(cases[i].name, fish->tag, want->tag);
        FIELD(cases[i].name, fish->weight_mg, want->weight_mg);
        FIELD(cases[i].name, say_min(fish->weighed_s), want->weighed_s);
        FIELD(cases[i].name, say_min(fish->since_s), want->since_s);
        FIELD(cases[i].name, fish->pond, want->pond);
        FIELD(cases[i].name, fish->born_s, want->born_s);
        FIELD(cases[i].name, fish->origin, want->origin);
        FIELD(cases[i].name, say_min(fish->died_s), want->died_s);
        FIELD(cases[i].name, fish->spent_s, 0);
        farm_free(&farm);
    }
}

/* A tag means the newest fish that wears it; F3 and M3 are two. */
static void tags(void **unused) {
    (void)unused;
    struct farm farm = say_all((const struct say[]){FEMALE(1, 1, 3, 0), MALE(2, 2, 3, 0),
                                                    OF_BROOD(10, ENTRY_BROOD_DIED, 1, 0)},
                               3);
    assert_int_equal(farm_brood_tag(&farm.state, SEX_FEMALE, 3)->id, 1); /* dead, yet known */
    assert_int_equal(farm_brood_tag(&farm.state, SEX_MALE, 3)->id, 2);
    assert_null(farm_brood_tag(&farm.state, SEX_MALE, 4));
    assert_int_equal(farm_next(&farm, SUBJECT_BROOD), 3);

    say_one(&farm, (struct say)FEMALE(20, 3, 3, 800000));
    assert_int_equal(farm_brood_tag(&farm.state, SEX_FEMALE, 3)->id, 3);
    assert_int_equal(farm_brood_tag(&farm.state, SEX_FEMALE, 3)->died_s, 0);
    FIELD("the first of that tag", say_min(fish_of(&farm, 1)->died_s), 10);
    assert_null(farm_brood(&farm.state, 4));

    /* an injection with a third id registers a third */
    say_one(&farm, (struct say)OF_SPAWN(30, ENTRY_INJECTED, 1, 4, 3, 900000));
    assert_int_equal(farm_brood_tag(&farm.state, SEX_FEMALE, 3)->id, 4);
    assert_int_equal(farm.state.brood_count, 4);
    assert_int_equal(farm_next(&farm, SUBJECT_BROOD), 5);
    farm_free(&farm);
}

/* From when she rests; 0: she need not. */
static void rest(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t spent_1, spent_2; /* females 1 and 2 */
    } cases[] = {
        {"injected only", {INJECTED(1, 1, 1)}, 0, 0},
        {"stripped", {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000)}, 700, 0},
        {"no eggs", {INJECTED(1, 1, 1), OF_SPAWN(800, ENTRY_NO_EGGS, 1, 0)}, 800, 0},
        {"not ready is no rest", {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_NOT_READY, 1, 0)}, 0, 0},
        {"both whose eggs lie in one bowl",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(701, ENTRY_BOWL, 1, 2)},
         700,
         701},
        {"again after the next one",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000), INJECTED(70000, 2, 1),
          OF_SPAWN(70700, ENTRY_STRIPPED, 2, 80000)},
         70700,
         0},
        {"eggs lost later change nothing",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(900, ENTRY_SPOILT, 1, 0)},
         700,
         0},
        {"no eggs after the strip is nothing",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_SPAWN(900, ENTRY_NO_EGGS, 1, 0)},
         700,
         0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct brood *second = farm_brood(&farm.state, 2);
        FIELD(cases[i].name, say_min(fish_of(&farm, 1)->spent_s), cases[i].spent_1);
        FIELD(cases[i].name, second ? say_min(second->spent_s) : 0, cases[i].spent_2);
        farm_free(&farm);
    }
}

static void her_death(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t closed, stripped; /* of spawn 1 */
        enum spawn_phase phase;
    } cases[] = {
        {"before she is stripped",
         {INJECTED(1, 1, 1), OF_BROOD(500, ENTRY_BROOD_DIED, 1, 0)},
         500,
         0,
         PHASE_OVER},
        {"then nothing is stripped from her",
         {INJECTED(1, 1, 1), OF_BROOD(500, ENTRY_BROOD_DIED, 1, 0),
          OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000)},
         500,
         0,
         PHASE_OVER},
        {"said late all the same",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_BROOD(500, ENTRY_BROOD_DIED, 1, 0)},
         500,
         0,
         PHASE_OVER},
        {"after it her eggs go on",
         {INJECTED(1, 1, 1), OF_SPAWN(700, ENTRY_STRIPPED, 1, 90000),
          OF_BROOD(710, ENTRY_BROOD_DIED, 1, 0)},
         0,
         700,
         PHASE_EGGS},
        {"another's death",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), OF_BROOD(500, ENTRY_BROOD_DIED, 2, 0)},
         0,
         0,
         PHASE_FISH},
        {"a male of that tag",
         {INJECTED(1, 1, 1), MALE(2, 2, 1, 0), OF_BROOD(500, ENTRY_BROOD_DIED, 2, 0)},
         0,
         0,
         PHASE_FISH},
        {"closed before stays closed then",
         {INJECTED(1, 1, 1), OF_SPAWN(400, ENTRY_NO_EGGS, 1, 0),
          OF_BROOD(500, ENTRY_BROOD_DIED, 1, 0)},
         400,
         0,
         PHASE_OVER},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct spawn *s = farm_spawn(&farm.state, 1);
        FIELD(cases[i].name, say_min(s->closed_s), cases[i].closed);
        FIELD(cases[i].name, say_min(s->stripped_s), cases[i].stripped);
        FIELD(cases[i].name, spawn_phase(s), cases[i].phase);
        farm_free(&farm);
    }
}

/* Taken back, her death never was: the spawn stands as it stood. */
static void death_taken_back(void **unused) {
    (void)unused;
    struct farm farm = say_all((const struct say[]){INJECTED(1, 1, 1)}, 1);
    uint64_t before = farm_digest(&farm.state);
    say_one(&farm, (struct say)OF_BROOD(500, ENTRY_BROOD_DIED, 1, 0));
    assert_false(farm_digest(&farm.state) == before);
    say_one(&farm, (struct say)OF_HALL(510, ENTRY_UNDO, 2));
    assert_true(farm_digest(&farm.state) == before);
    farm_free(&farm);
}

/* The array grows and keeps what it holds. */
static void many(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    for (int i = 1; i <= 200; i++)
        say_one(&farm, (struct say)MALE(i, i, i, 1000 * i));
    assert_int_equal(farm.state.brood_count, 200);
    for (int i = 1; i <= 200; i++) {
        FIELD("one of many", fish_of(&farm, i)->tag, i);
        FIELD("one of many", fish_of(&farm, i)->weight_mg, 1000 * i);
    }
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_makes_and_changes_one),
        cmocka_unit_test(tags),
        cmocka_unit_test(rest),
        cmocka_unit_test(her_death),
        cmocka_unit_test(death_taken_back),
        cmocka_unit_test(many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
