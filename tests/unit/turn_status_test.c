/* Where it stands, by text: lines of a pond, a tank, a spawn and a fish, from entries put into the
 * farm as their reports would. */
#include "turn_stage.h"

static void put(struct stage *s, struct entry entry) {
    entry.seq = farm_head(&s->farm) + 1;
    entry.said_s = entry.at_s;
    entry.message = 1000 + entry.seq;
    entry.person = 11;
    entry.version = ENTRY_VERSION;
    assert_true(entry_sound(&entry));
    assert_int_equal(farm_add(&s->farm, &entry, 1), ERR_OK);
}

#define PUT(stage, at, what, of, which, ...)                                                       \
    put((stage), (struct entry){.at_s = (at),                                                      \
                                .kind = ENTRY_##what,                                              \
                                .subject_kind = SUBJECT_##of,                                      \
                                .subject = (which),                                                \
                                .value = {__VA_ARGS__}})

static void asked(struct stage *s, int64_t at_s, const char *text, const char *wanted) {
    uint64_t before = farm_digest(&s->farm.state);
    stage_text(s, at_s, OWNER, text);
    WANT_TEXT(s, OWNER, 0, wanted);
    assert_int_equal(s->turn.entry_count, 0);
    assert_true(farm_digest(&s->farm.state) == before);
}

/* -- ponds ---------------------------------------------------------------------------------------
 */

static void a_pond_tells_its_fish_feed_and_water(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    PUT(s, AT(MON, 7, 0), POND, POND, 2, INT64_C(4000000), 900, FENCE_STANDS);
    PUT(s, AT(MON, 7, 0), STOCKED, CYCLE, 1, 2, 1000, 5000000);
    PUT(s, AT(30, 7, 0), SAMPLED, CYCLE, 1, 30, 20000000, 1460000);
    PUT(s, AT(30, 7, 30), GIVEN, POND, 2, 750000, 0);
    PUT(s, AT(30, 7, 40), WATER, POND, 2, 26500);
    PUT(s, AT(30, 7, 45), READING, POND, 2, READING_OXYGEN, 3200);
    PUT(s, AT(30, 7, 50), POND_PH, POND, 2, 7800);
    asked(s, AT(30, 9, 0), "p2",
          "P2 4 ares: about 980 fish since 2 Mar\n"
          "20g (18g-22g) each, 20kg in all, weighed 1 Apr\n"
          "Next 1 May 06:00: P2 weigh a sample\n"
          "Fed 750g 07:30\n"
          "Water 26.5C 07:40\n"
          "Oxygen 3.2mg/l 07:45\n"
          "pH 7.8 07:50");
    s->people[OWNER].farms = 2; /* with the farm's name in front */
    stage_text(s, AT(30, 9, 1), OWNER, "status p2");
    assert_int_equal(strncmp(stage_got(s, OWNER, 0), "Creek: P2 4 ares: ", 18), 0);
}

static void a_pond_without_area_or_weight(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    PUT(s, AT(MON, 7, 0), STOCKED, CYCLE, 1, 2, 1000, 0);
    asked(s, AT(MON, 9, 0), "how is p2",
          "P2: 1000 fish since 2 Mar\n"
          "Weight not known: SAMPLE P2 30 FISH 1.95kg\n"
          "Next 16 Mar 07:00: P2 grade");
}

static void a_step_that_is_due_is_said_as_now(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    PUT(s, AT(MON, 7, 0), POND, POND, 2, INT64_C(4000000), 900, FENCE_STANDS);
    PUT(s, AT(MON, 7, 0), PREPARE, POND, 2, AT(30, 12, 0));
    asked(s, AT(9, 8, 0), "p2",
          "P2 is empty, being prepared for 1 Apr\n"
          "Now: P2 dry it");
}

static void a_pond_of_brood_fish_is_not_empty(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    PUT(s, AT(MON, 7, 0), POND, POND, 2, INT64_C(4000000), 900, FENCE_STANDS);
    PUT(s, AT(MON, 7, 1), BROOD, BROOD, 1, SEX_FEMALE, 1, 1200000);
    PUT(s, AT(MON, 7, 1), BROOD_POND, BROOD, 1, 2);
    stage_text(s, AT(MON, 9, 0), OWNER, "p2");
    const char *got = stage_got(s, OWNER, 0);
    if (strncmp(got, "P2: 1 brood fish, 1.2kg", 23))
        fail_msg("got \"%s\"", got);
}

/* -- spawns --------------------------------------------------------------------------------------
 */

static void inject(struct stage *s, int64_t number, int64_t female, int64_t at_s) {
    PUT(s, at_s, BROOD, BROOD, female, SEX_FEMALE, female, 1200000);
    PUT(s, at_s, INJECTED, SPAWN, number, female, female, 1200000);
    PUT(s, at_s, WATER, SPAWN, number, 26000, WATER_AT_INJECTION);
}

static void a_closed_spawn_tells_how_it_ended(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    for (int i = 1; i <= 6; i++)
        inject(s, i, i, AT(MON, 18, 0));
    PUT(s, AT(TUE, 4, 0), NO_EGGS, SPAWN, 1, 0);
    PUT(s, AT(TUE, 4, 0), STRIPPED, SPAWN, 2, 150000);
    PUT(s, AT(TUE, 9, 0), SPOILT, SPAWN, 2, 0);
    PUT(s, AT(TUE, 4, 0), STRIPPED, SPAWN, 3, 150000);
    PUT(s, AT(TUE, 4, 5), BOWL, SPAWN, 3, 4);
    PUT(s, AT(TUE, 4, 0), BROOD_DIED, BROOD, 5, 0);
    asked(s, AT(THU, 9, 0), "spawn 1", "Spawn 1, F1, injected 2 Mar: no eggs, given up 3 Mar");
    asked(s, AT(THU, 9, 1), "spawn 2", "Spawn 2, F2, injected 2 Mar: lost 3 Mar");
    asked(s, AT(THU, 9, 2), "spawn 4",
          "Spawn 4, F4, injected 2 Mar: stripped into another's bowl 3 Mar");
    asked(s, AT(THU, 9, 3), "spawn 5", "Spawn 5, F5, injected 2 Mar: closed 3 Mar");
    asked(s, AT(40, 9, 4), "spawn 6", "Spawn 6, F6, injected 2 Mar: how it ended was not told");
    asked(s, AT(THU, 9, 5), "spawn 7", "No spawn 7 here. The newest is spawn 6");
    asked(s, AT(THU, 9, 6), "status f5",
          "F5 died 3 Mar. For another fish with that tag text BROOD F5 NEW and the weight. Nothing "
          "recorded");
}

static void an_open_spawn_tells_its_next_step(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    inject(s, 1, 1, AT(MON, 18, 30));
    asked(s, AT(MON, 19, 0), "spawn 1",
          "Spawn 1\nF1 injected 18:30\nLook Tue 04:30, strip if ready");
    asked(s, AT(MON, 19, 0), "f1", "F1 injected 18:30\nLook Tue 04:30, strip if ready");
}

/* -- tanks, and which ----------------------------------------------------------------------------
 */

static void a_tank_tells_who_is_in_it(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    inject(s, 1, 1, AT(MON, 18, 30));
    inject(s, 2, 2, AT(MON, 18, 30));
    PUT(s, AT(MON, 18, 31), TANK, SPAWN, 1, 1);
    PUT(s, AT(MON, 18, 31), TANK, SPAWN, 2, 1);
    asked(s, AT(MON, 19, 0), "b1", "B1: how big? TANK B1 500 litres\nIn it: F1 F2");
    PUT(s, AT(MON, 19, 1), VOLUME, TANK, 2, 500000);
    asked(s, AT(MON, 19, 2), "b2", "B2 500 litres\nNothing known to be in it");
    asked(s, AT(MON, 19, 3), "b3", "No tank B3 here. You have B1 B2");
}

static void a_tag_answers_a_question_that_asks_for_one(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    PUT(s, AT(MON, 7, 0), POND, POND, 2, INT64_C(4000000), 900, FENCE_STANDS);
    PUT(s, AT(MON, 7, 0), POND, POND, 3, INT64_C(4000000), 900, FENCE_STANDS);
    PUT(s, AT(MON, 7, 0), STOCKED, CYCLE, 1, 2, 1000, 5000000);
    stage_text(s, AT(MON, 9, 0), OWNER, "stolen 20");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 9, 1), OWNER, "p2"); /* of which pond */
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.entries[0].kind, ENTRY_STOLEN);
    stage_text(s, AT(MON, 9, 2), OWNER, "dead p2");
    stage_text(s, AT(MON, 9, 3), OWNER, "p3"); /* no count: a look elsewhere */
    WANT_TEXT(s, OWNER, 0, "P3 is empty. PREP P3 and a date plans its work");
    stage_text(s, AT(MON, 9, 4), OWNER, "7"); /* the question still stands */
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.entries[0].kind, ENTRY_DIED);
    stage_text(s, AT(MON, 9, 5), OWNER, "status");
    stage_text(s, AT(MON, 9, 6), OWNER, "p3");
    WANT_TEXT(s, OWNER, 0, "P3 is empty. PREP P3 and a date plans its work");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pond_tells_its_fish_feed_and_water),
        cmocka_unit_test(a_pond_without_area_or_weight),
        cmocka_unit_test(a_step_that_is_due_is_said_as_now),
        cmocka_unit_test(a_pond_of_brood_fish_is_not_empty),
        cmocka_unit_test(a_closed_spawn_tells_how_it_ended),
        cmocka_unit_test(an_open_spawn_tells_its_next_step),
        cmocka_unit_test(a_tank_tells_who_is_in_it),
        cmocka_unit_test(a_tag_answers_a_question_that_asks_for_one),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
