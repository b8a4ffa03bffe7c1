/* The register of brood fish by text, one turn at a time: what is recorded, what is asked. */
#include "turn_stage.h"

/* Two living fish of one tag would make every later text about it mean either. */
static void a_tag_that_lives_is_not_given_twice(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "brood f3 1.2kg");
    assert_int_equal(s->turn.entry_count, 1);
    static const char *const again[] = {"brood f3 new", "brood f3 new 1.4kg",
                                        "inject f3 new 1.4kg t26"};
    for (size_t i = 0; i < sizeof again / sizeof again[0]; i++) {
        stage_text(s, AT(MON, 8, 1), OWNER, again[i]);
        WANT_TEXT(s, OWNER, 0,
                  "F3 lives here, since 2 Mar. Died? DEAD F3 first, then this again. Another fish? "
                  "Answer its own tag. Nothing recorded");
        assert_int_equal(s->turn.entry_count, 0);
    }
    stage_text(s, AT(MON, 8, 2), OWNER, "f7");
    WANT_TEXT(s, OWNER, 0,
              "New: F7 1.4kg injected 08:00 at 26C. First look 18:00, then each 30 min till 23:00. "
              "Eggs 11-120 thousand. Cap needle. Wrong? UNDO");
    assert_int_equal(s->farm.state.brood_count, 2);
}

static void a_tag_is_free_when_its_fish_has_died(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "brood f3 1.2kg");
    stage_text(s, AT(MON, 8, 1), OWNER, "dead f3");
    stage_text(s, AT(MON, 8, 2), OWNER, "brood f3 new 1.4kg");
    WANT_TEXT(s, OWNER, 0, "New: F3 1.4kg. Weigh monthly: BROOD F3 and the weight. Wrong? UNDO");
    assert_int_equal(s->farm.state.brood_count, 2);
    assert_int_equal(farm_brood_tag(&s->farm.state, SEX_FEMALE, 3)->died_s, 0);
}

/* The tag says the sex; a word beside it that says the other means that one of the two is wrong. */
static void a_sex_that_does_not_fit(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    static const char *const wrong[] = {"brood f3 male",          "brood f3 1.2kg male",
                                        "brood male f3 1.2kg p2", "male f3 1.2kg",
                                        "female m3 1kg",          "brood m3 female 900g"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        stage_text(s, AT(MON, 8, 0), OWNER, wrong[i]);
        if (s->turn.entry_count || !strstr(stage_got(s, OWNER, 0), "tags with F are females"))
            fail_msg("%s: %d entries, \"%s\"", wrong[i], s->turn.entry_count,
                     stage_got(s, OWNER, 0));
    }
    static const char *const right[] = {"brood f3 female 1.2kg", "male m1 1.2kg",
                                        "brood m2 male 1kg", "brood m4 1kg from male line"};
    for (size_t i = 0; i < sizeof right / sizeof right[0]; i++) {
        stage_text(s, AT(MON, 8, 1), OWNER, right[i]);
        if (!s->turn.entry_count)
            fail_msg("%s: \"%s\"", right[i], stage_got(s, OWNER, 0));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tag_that_lives_is_not_given_twice),
        cmocka_unit_test(a_sex_that_does_not_fit),
        cmocka_unit_test(a_tag_is_free_when_its_fish_has_died),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
