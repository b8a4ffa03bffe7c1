/* What a pond in which fish grow is told: the alarm of a night and its ladder, OK, the lines of a
 * morning and of TODAY. */
#include "turn_stage.h"

static void entry(struct stage *s, int64_t at_s, enum entry_kind kind, enum subject_kind of,
                  int64_t subject, int64_t a, int64_t b, int64_t c) {
    s->bodies[++s->messages] = SLICE("");
    const struct entry e = {.seq = farm_head(&s->farm) + 1,
                            .at_s = at_s,
                            .said_s = at_s,
                            .message = s->messages,
                            .person = s->people[WORKER].id,
                            .kind = kind,
                            .version = ENTRY_VERSION,
                            .subject_kind = of,
                            .subject = subject,
                            .value = {a, b, c}};
    assert_true(entry_sound(&e));
    assert_int_equal(farm_add(&s->farm, &e, 1), ERR_OK);
}

/* 5000 fish of 20 g in pond 4. */
static void a_pond(struct stage *s) {
    stage_empty(s);
    entry(s, AT(MON, 9, 0), ENTRY_STOCKED, SUBJECT_CYCLE, 1, 4, 5000, 20000000);
}

static void oxygen(struct stage *s, int64_t at_s, int64_t ug_l) {
    entry(s, at_s, ENTRY_READING, SUBJECT_POND, 4, READING_OXYGEN, ug_l, 0);
}

/* 6 mg/l at six, 4.5 at nine: 2 at two in the night. */
static void an_evening(struct stage *s) {
    a_pond(s);
    oxygen(s, AT(TUE, 18, 0), 6000);
    oxygen(s, AT(TUE, 21, 0), 4500);
    stage_wake(s, AT(TUE, 21, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_wake(s, AT(TUE, 25, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.texts[0].level, LEVEL_ALARM);
    WANT_TEXT(s, WORKER, 0,
              "P4: oxygen runs low tonight from 02:00. No feed. Aerate or run in good water now, "
              "stay till dawn. Text OK");
}

static void nobody_answers(void **state) {
    struct stage *s = *state;
    an_evening(s);
    stage_wake(s, AT(TUE, 25, 15), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4: oxygen low tonight from 02:00, no answer. Aerate or run in good water now, no "
              "feed, stay till dawn. Text OK");
    s->people[WORKER].heard_s = AT(TUE, 21, 0);
    stage_wake(s, AT(TUE, 25, 30), OUTCOME_DELIVERED);
    WANT_TEXT(
        s, OWNER, 0,
        "P4: oxygen low tonight from 02:00. No word from there since Tue 21:00. CALL: aerate or "
        "good water in, no feed");
    stage_wake(s, AT(TUE, 26, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, ADVISER, 0,
              "Creek: P4 oxygen low tonight from 02:00, nobody answered. Fish may die: please call "
              "the farm now");
    stage_wake(s, AT(TUE, 31, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4: oxygen low from 02:00, no report. Look at the fish now, no feed if they gasp. "
              "Dead? Text DEAD P4 30");
    assert_string_equal(stage_got(s, OWNER, 0), stage_got(s, WORKER, 0));
    stage_wake(s, AT(TUE, 40, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
}

static void ok_ends_it(void **state) {
    struct stage *s = *state;
    an_evening(s);
    stage_text(s, AT(TUE, 25, 5), WORKER, "ok");
    WANT_TEXT(s, WORKER, 0,
              "P4: good, you are on it. No feed until the fish are calm in the morning. They gasp? "
              "More air and water at once");
    stage_wake(s, AT(TUE, 26, 30), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_text(s, AT(TUE, 26, 35), WORKER, "ok"); /* once is enough */
    assert_string_not_equal(stage_got(s, WORKER, 0), "");
    assert_null(strstr(stage_got(s, WORKER, 0), "P4"));
}

static void a_reading_moves_or_ends_it(void **state) {
    struct stage *s = *state;
    an_evening(s);
    oxygen(s, AT(TUE, 25, 10), 2500); /* a little quicker: 2 at 02:13 by the line from nine */
    stage_wake(s, AT(TUE, 25, 12), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4: oxygen runs low tonight from 02:10. No feed. Aerate or run in good water now, "
              "stay till dawn. Text OK");
    oxygen(s, AT(TUE, 25, 45), 3400); /* the aerator runs */
    stage_wake(s, AT(TUE, 25, 50), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_wake(s, AT(TUE, 31, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_text(s, AT(TUE, 31, 5), WORKER, "ok"); /* of nothing */
    assert_null(strstr(stage_got(s, WORKER, 0), "P4"));
}

static void a_morning(void **state) {
    struct stage *s = *state;
    a_pond(s);
    entry(s, AT(MON, 9, 1), ENTRY_POND, SUBJECT_POND, 4, 4000000, 0, 0);
    entry(s, AT(MON, 10, 0), ENTRY_GIVEN, SUBJECT_POND, 4, 20000000, 0, 0);
    stage_wake(s, AT(7, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4 gets much feed for a pond without aerator: look at it each dawn. Fish gasp? No "
              "feed, good water in, text GASP P4");
    entry(s, AT(20, 9, 0), ENTRY_CATCH, SUBJECT_POND, 4, AT(50, 0, 0), 0, 0);
    stage_wake(s, AT(30, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4 day 30: before feeding weigh 30 fish or more from several places. Text count and "
              "weight: SAMPLE P4 30 1.95kg");
    stage_wake(s, AT(49, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4: harvest or transport is 21 Apr. No feed from now on: fish with empty guts "
              "travel and keep better");
}

static void today(void **state) {
    struct stage *s = *state;
    an_evening(s);
    stage_text(s, AT(TUE, 25, 5), OWNER, "today");
    WANT_TEXT(s, OWNER, 0, "P4 oxygen low 02:00\nP4 no feed: oxygen runs low tonight");
    a_pond(s);
    entry(s, AT(MON, 9, 1), ENTRY_POND, SUBJECT_POND, 4, 4000000, 0, 0);
    entry(s, AT(26, 10, 0), ENTRY_GIVEN, SUBJECT_POND, 4, 20000000, 0, 0);
    stage_text(s, AT(27, 9, 0), OWNER, "today");
    WANT_TEXT(s, OWNER, 0, "P4 look at dawn\nP4 feed 4.4kg 3mm: 2.2kg x2");
    entry(s, AT(28, 10, 0), ENTRY_CATCH, SUBJECT_POND, 4, AT(39, 9, 0), 0, 0);
    stage_text(s, AT(29, 9, 0), OWNER, "today");
    WANT_TEXT(s, OWNER, 0, "P4 weigh a sample\nP4 feed 4.4kg 4mm: 2.2kg x2");
    stage_text(s, AT(37, 9, 0), OWNER, "today");
    WANT_TEXT(s, OWNER, 0,
              "P4 no feed from Thu 07:00, harvest is near\nP4 feed 4.4kg 4mm: 2.2kg x2");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nobody_answers),
        cmocka_unit_test(ok_ends_it),
        cmocka_unit_test(a_reading_moves_or_ends_it),
        cmocka_unit_test(a_morning),
        cmocka_unit_test(today),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
