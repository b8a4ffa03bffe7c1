/* What TODAY says of things that were not reported in time: late ones as late, those that are over
 * with what to text instead. Hours by hand from the table of first looks (24 degC: 12 h; looking
 * ends at twice that) and of half hatching (24 degC: 29 h, frames 1.65 times; FAO 362). */
#include "turn_stage.h"

enum { FRI = THU + 1 };

static void want_today(struct stage *s, int64_t now_s, const char *wanted) {
    stage_text(s, now_s, OWNER, "today");
    WANT_TEXT(s, OWNER, 0, wanted);
}

static void a_look(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
    want_today(s, AT(TUE, 6, 40), "F3 look 06:30");
    want_today(s, AT(TUE, 12, 0), "F3 look was due 06:30: look now");
    want_today(s, AT(TUE, 18, 30), "F3 time is over: text STRIP F3 grams or NO EGGS F3");
    want_today(s, AT(8, 18, 0), "F3 time is over: text STRIP F3 grams or NO EGGS F3");
}

static void a_look_after_waiting(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(TUE, 7, 0), WORKER, "wait f3");
    want_today(s, AT(TUE, 7, 10), "F3 look 07:30");
    want_today(s, AT(TUE, 8, 0), "F3 look was due 07:30: look now");
    want_today(s, AT(WED, 8, 0), "F3 time is over: text STRIP F3 grams or NO EGGS F3");
}

static void frames(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(TUE, 6, 35), WORKER, "strip f3 150g");
    stage_text(s, AT(TUE, 17, 0), WORKER, "white f3 10");
    want_today(s, AT(THU, 6, 0), "F3 frames out by 06:25");
    want_today(s, AT(THU, 6, 25), "F3 frames were due out 06:25: text FRAMES F3");
}

/* Frames that were never reported: by the water half hatch is Wed 11:35, so first food is wanted
 * Fri 11:35 and they starve from Sat 11:35 on (two and three days). */
static void larvae_of_eggs_that_nobody_reported(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "source river");
    stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(TUE, 6, 35), WORKER, "strip f3 150g");
    stage_text(s, AT(TUE, 17, 0), WORKER, "white f3 10");
    stage_wake(s, AT(FRI, 11, 35), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3 larvae: first food now, live plankton through a fine net, 4 small meals a day. "
              "Siphon the dead. Then FED F3");
    stage_wake(s, AT(FRI, 17, 0), OUTCOME_DELIVERED);
    stage_wake(s, AT(FRI + 1, 11, 35), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3 larvae starve from now on: give live plankton at once, 4 small meals a day. Then "
              "text FED F3, or OK");
    stage_text(s, AT(FRI + 1, 11, 40), WORKER, "ok");
    WANT_TEXT(s, WORKER, 0, "Noted, no more alarms for F3 food. When they are fed text FED F3");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_look),
        cmocka_unit_test(a_look_after_waiting),
        cmocka_unit_test(frames),
        cmocka_unit_test(larvae_of_eggs_that_nobody_reported),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
