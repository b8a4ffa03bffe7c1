/* Many ponds of one hand: the same work on one day is one text that names them, and one line of
 * TODAY. */
#include "turn_stage.h"

/* Ponds 1 to n, each made ready for the 31st. */
static void ponds(struct stage *s, int n, const char *size) {
    char text[80];
    stage_empty(s);
    for (int i = 1; i <= n; i++) {
        (void)snprintf(text, sizeof text, "pond p%d %s", i, size);
        stage_text(s, AT(MON, 8, 0) + i, WORKER, text);
        (void)snprintf(text, sizeof text, "prep p%d 31 march", i);
        stage_text(s, AT(MON, 8, 0) + i, WORKER, text);
    }
}

static void sixty_ponds_are_one_text(void **state) {
    struct stage *s = *state;
    ponds(s, 60, "4 ares 0.8m");
    stage_wake(s, AT(MON + 8, 7, 0), OUTCOME_DELIVERED); /* three weeks before the 31st */
    WANT_TEXT(s, WORKER, 0,
              "P1 P2 P3 P4 P5 P6 P7 P8 and 52 more (TODAY): drain and dry till the bottom cracks, "
              "mend fences. Then PREP, pond, DRY");
    assert_int_equal(s->turn.text_count, 1);
    stage_wake(s, AT(MON + 8, 7, 5), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0); /* each of the sixty is told */
}

static void what_each_pond_needs_is_said(void **state) {
    struct stage *s = *state;
    ponds(s, 3, "4 ares 0.8m ph 5.5 loam");
    stage_text(s, AT(MON, 9, 0), WORKER, "pond p2 2 ares 0.8m");
    stage_wake(s, AT(MON + 15, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P1 48kg, P2 24kg, P3 48kg of ground limestone today, spread. Then PREP, pond, LIMED "
              "CARBONATE");
    stage_wake(s, AT(MON + 22, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P1 80kg, P2 40kg, P3 80kg of dry hen manure today, spread, then half fill. Then "
              "PREP, pond, MANURED");
}

/* The size and the aerator in one text: how to take it back is said once. */
static void an_aerator_too_is_taken_back_once(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), WORKER, "pond p3 4 ares 1m fenced aerated");
    WANT_TEXT(s, WORKER, 0,
              "P3 4 ares, 1m deep, fenced: room for 8000-40000 fry. PREP P3 and a date plans its "
              "work. Wrong? UNDO. Its aerator is noted, wanted most from midnight to dawn");
}

/* A bare number behind a text about several ponds could be any one's. */
static void several_ponds_open_no_question(void **state) {
    struct stage *s = *state;
    ponds(s, 2, "4 ares 0.8m");
    stage_text(s, AT(MON + 15, 9, 0), WORKER, "prep p1 limed hydrated");
    stage_text(s, AT(MON + 15, 9, 1), WORKER, "prep p2 limed hydrated");
    memset(s->asked, 0, sizeof s->asked);
    stage_wake(s, AT(MON + 28, 7, 0), OUTCOME_DELIVERED);
    bool ph = false;
    for (int i = 0; i < s->turn.text_count; i++)
        ph |= strstr(stage_got(s, WORKER, i),
                     "P1 P2: had burning lime. Read each pH, no fry at 9 or more: PREP, pond, PH "
                     "8.4") != NULL;
    assert_true(ph);
    assert_int_equal(s->turn.question_count, 0);
}

static void today_names_them_in_one_line(void **state) {
    struct stage *s = *state;
    ponds(s, 40, "4 ares 0.8m");
    stage_text(s, AT(MON + 8, 6, 0), WORKER, "today");
    const char *got = stage_got(s, WORKER, 0);
    assert_non_null(strstr(got, "P1 P2 P3"));
    assert_non_null(strstr(got, " P39 P40 dry it"));
    assert_null(strchr(got, '\n'));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sixty_ponds_are_one_text),
        cmocka_unit_test(what_each_pond_needs_is_said),
        cmocka_unit_test(an_aerator_too_is_taken_back_once),
        cmocka_unit_test(several_ponds_open_no_question),
        cmocka_unit_test(today_names_them_in_one_line),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
