/* Stocking by text, one turn at a time: what a count and a weight mean together, and what a pond of
 * that size cannot hold. */
#include "turn_stage.h"

/* A fresh farm with a pond p6 of the size given. */
static void pond(struct stage *s, const char *size) {
    char text[60];
    stage_empty(s);
    (void)snprintf(text, sizeof text, "pond p6 %s", size);
    stage_text(s, AT(MON, 8, 0), OWNER, text);
    assert_int_equal(s->turn.entry_count, 1);
}

/* -- room ----------------------------------------------------------------------------------------
 */

/* FAO 362's 20-100 fry a m3 and de Graaf et al. (1995) with about 100 larvae a m2: ten times that
 * is no slip of a few. */
static void a_pond_far_too_small_is_asked_about(void **state) {
    static const struct {
        const char *size, *text, *want;
    } cases[] = {{"1m2 0.8m", "stock p6 5000000 fry",
                  "P6 is 1m2, room for 80. 5000000 in it would die. Count right? YES. Else answer "
                  "the right one. Nothing recorded"},
                 {"1m2", "stock p6 5000000 fry",
                  "P6 is 1m2, room for 100. 5000000 in it would die. Count right? YES. Else answer "
                  "the right one. Nothing recorded"},
                 {"1m2 0.8m", "stock p6 5000000 0.002g",
                  "P6 is 1m2, room for 100. 5000000 in it would die. Count right? YES. Else answer "
                  "the right one. Nothing recorded"}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s, cases[i].size);
        stage_text(s, AT(MON, 8, 1), OWNER, cases[i].text);
        WANT_TEXT(s, OWNER, 0, cases[i].want);
        assert_int_equal(s->turn.entry_count, 0);
        stage_text(s, AT(MON, 8, 2), OWNER, "50");
        assert_int_equal(s->turn.entry_count, 1);
        assert_int_equal(s->turn.entries[0].value[1], 50);
    }
}

static void a_yes_records_them_with_a_warning(void **state) {
    struct stage *s = *state;
    pond(s, "1m2 0.8m");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 5000 0.002g");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 8, 2), OWNER, "yes");
    assert_int_equal(s->turn.entry_count, 1);
    WANT_TEXT(
        s, OWNER, 0,
        "P6: 5000 fry in, room is for 100: move some. Expect 2-8 on 11 Apr. Wrong? UNDO. Not "
        "known as prepared: green water, frogs and insects out? Feed up to 5g a day: FEED P6. "
        "Look at the fish at dawn");
}

static void what_is_only_dense_is_warned_of(void **state) {
    struct stage *s = *state;
    pond(s, "1m2 0.8m");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 800 fry");
    assert_int_equal(s->turn.entry_count, 1);
    stage_text(s, AT(MON, 8, 2), OWNER, "stock p6 1 fry"); /* with those that are there */
    assert_int_equal(s->turn.entry_count, 0);
}

/* -- weight --------------------------------------------------------------------------------------
 */

/* A weight beside a count is that of all of them, or of each: fry of two weeks weigh about 0.1 g,
 * fingerlings 2 to 10 g by region. 0: asked. */
static void a_weight_is_of_each_or_of_all(void **state) {
    static const struct {
        const char *text;
        int64_t mean_ug;
        const char *begins;
    } cases[] = {
        {"stock p6 12000 fry 1.2kg", 100000, "1.2kg in all, 0.1g each. P6: 12000 fry in"},
        {"stock p6 12000 fry 2.5kg", 208333, "2.5kg in all, 0.2g each. P6: 12000 fry in"},
        {"stock p6 1000 fry 9kg", 9000000, "9kg in all, 9g each. P6: 1000 fish of 9g in"},
        {"stock p6 5000 0.2kg", 40000, "200g in all, 0.04g each. P6: 5000 fry in"},
        {"stock p6 12000 fry 0.1g", 100000, "P6: 12000 fry in"},
        {"stock p6 2000 5g", 5000000, "P6: 2000 fish of 5g in"},
        {"stock p6 12000 fry 2mg", 2000, "P6: 12000 fry in"},
        {"stock p6 500 50g", 0, "P6: 500 fish of 50g each? YES. Or 50g in all? "},
        {"stock p6 1200 fish 60g", 0, "P6: 1200 fish of 60g each? YES. Or 60g in all? "},
        {"stock p6 700 fish 150g", 0, "P6: 700 fish of 150g each? YES. Or 150g in all? "},
        {"stock p6 3000 fry 600g", 200000, "600g in all, 0.2g each. P6: 3000 fry in"},
        {"stock p6 10 fry 1.2kg", 0, "P6: 10 fish of 1.2kg each? YES. Or 1.2kg in all? "},
        {"stock p6 12000 fry 9000kg", 0, "9000kg cannot be"},
        {"stock p6 1000 fish 200kg", 200000000,
         "200kg in all, 200g each. P6: 1000 fish of 200g in"},
        {"stock p6 1000 fish 500kg", 0,
         "P6 is 4 ares and bears about 220kg of fish. 1000 of 500g "},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s, "4 ares 0.8m fenced");
        stage_text(s, AT(MON, 8, 1), OWNER, cases[i].text);
        const char *got = stage_got(s, OWNER, 0);
        int64_t mean_ug = s->turn.entry_count ? s->turn.entries[0].value[2] : 0;
        if (mean_ug != cases[i].mean_ug || strncmp(got, cases[i].begins, strlen(cases[i].begins)))
            fail_msg("\"%s\": got %lld ug and \"%s\", wanted %lld ug and \"%s...\"", cases[i].text,
                     (long long)mean_ug, got, (long long)cases[i].mean_ug, cases[i].begins);
    }
}

static void the_question_which_is_answered(void **state) {
    struct stage *s = *state;
    pond(s, "4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 500 50g");
    WANT_TEXT(s, OWNER, 0,
              "P6: 500 fish of 50g each? YES. Or 50g in all? Answer the weight of one, like 0.1g. "
              "Nothing recorded");
    stage_text(s, AT(MON, 8, 2), OWNER, "yes");
    assert_int_equal(s->turn.entries[0].value[2], 50000000);
    pond(s, "4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 500 50g");
    stage_text(s, AT(MON, 8, 2), OWNER, "0.1g");
    assert_int_equal(s->turn.entries[0].value[2], 100000);
}

/* What was sorted out before is part of what came out, and said so. */
static void all_that_came_out_is_told(void **state) {
    struct stage *s = *state;
    pond(s, "4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 12000 fry 1.2kg");
    stage_text(s, AT(14, 8, 0), OWNER, "grade p6 1000");
    stage_text(s, AT(30, 8, 0), OWNER, "harvest p6 3000 fish all");
    assert_non_null(
        strstr(stage_got(s, OWNER, 0), "P6 closed: 3000 now, in all 4000 fish, 33% of those"));
}

/* A tank with running water bears more than still water: asked, not refused. */
static void heavy_fish_are_asked_about(void **state) {
    struct stage *s = *state;
    pond(s, "4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 1000 fish 500kg");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 8, 2), OWNER, "yes");
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.entries[0].value[2], 500000000);
}

/* "fix p6 2.5kg" puts the weight of all of them right, "fix p6 0.2g" that of each. */
static void a_weight_put_right_is_read_the_same(void **state) {
    struct stage *s = *state;
    pond(s, "4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p6 12000 fry 1.2kg");
    stage_text(s, AT(MON, 8, 2), OWNER, "fix p6 2.4kg");
    assert_int_equal(s->farm.state.cycles[0].mean_ug, 200000);
    stage_text(s, AT(MON, 8, 3), OWNER, "fix p6 0.3g");
    assert_int_equal(s->farm.state.cycles[0].mean_ug, 300000);
}

/* Fry of two weeks weigh a tenth of a gram, no fingerling more than 10 g: what is called fry and is
 * heavier is asked about once, what is called fish is not. */
static void heavy_fry_are_asked_about(void **state) {
    struct stage *s = *state;
    static const char asked[] =
        "P6: 50g each is no fry. Larger fish? YES. Else answer the weight of "
        "one, like 0.1g. Nothing recorded";
    pond(s, "40 ares 0.8m fenced");
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p6 5000 fry 50g each");
    WANT_TEXT(s, OWNER, 0, asked);
    stage_text(s, AT(MON, 9, 1), OWNER, "0.5g");
    assert_int_equal(farm_cycle(&s->farm.state, 1)->mean_ug, 500000);

    pond(s, "40 ares 0.8m fenced");
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p6 5000 fry 50g each");
    stage_text(s, AT(MON, 9, 1), OWNER, "yes");
    assert_int_equal(farm_cycle(&s->farm.state, 1)->mean_ug, 50000000);

    pond(s, "40 ares 0.8m fenced");
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p6 500 fry 10kg"); /* 20 g each */
    assert_non_null(strstr(stage_got(s, OWNER, 0), "20g each is no fry"));
    pond(s, "40 ares 0.8m fenced");
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p6 5000 fish 50g each");
    assert_int_equal(farm_cycle(&s->farm.state, 1)->mean_ug, 50000000);
    pond(s, "40 ares 0.8m fenced");
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p6 5000 fry 3g");
    assert_null(strstr(stage_got(s, OWNER, 0), "no fry"));
}

/* 40000 larvae into 2 ares without a fence: de Graaf et al. (1995) had 5.0 (2.9) fish a m2 out of
 * 100 larvae a m2, 420-1580 of such a pond. Grading says the same of the harvest as stocking did.
 */
static void grading_promises_what_stocking_did(void **state) {
    struct stage *s = *state;
    pond(s, "2 ares 0.8m");
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p6 40000 larvae 0.002g");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "420-1600"));
    stage_text(s, AT(14, 9, 0), OWNER, "grade p6");
    WANT_TEXT(s, OWNER, 0,
              "P6 graded, about 27000 stay, 420-1600 may live to 11 Apr. Keep big and small apart. "
              "Wrong? UNDO");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pond_far_too_small_is_asked_about),
        cmocka_unit_test(a_yes_records_them_with_a_warning),
        cmocka_unit_test(what_is_only_dense_is_warned_of),
        cmocka_unit_test(a_weight_is_of_each_or_of_all),
        cmocka_unit_test(the_question_which_is_answered),
        cmocka_unit_test(heavy_fish_are_asked_about),
        cmocka_unit_test(all_that_came_out_is_told),
        cmocka_unit_test(a_weight_put_right_is_read_the_same),
        cmocka_unit_test(heavy_fry_are_asked_about),
        cmocka_unit_test(grading_promises_what_stocking_did),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
