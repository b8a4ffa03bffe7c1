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

/* What is due on ponds: the asker's own first, counted where there is no room for all; what was not
 * done is late for some days and not forgotten. */
static void ponds_of_two_hands(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    for (int i = 1; i <= 70; i++) { /* 1 to 3 are the owner's, 4 to 70 the worker's */
        char text[60];
        (void)snprintf(text, sizeof text, "pond p%d 3 ares 0.8m fenced", i);
        stage_text(s, AT(MON, 8, 0), i > 3 ? WORKER : OWNER, text);
        (void)snprintf(text, sizeof text, "prep p%d 30 march", i);
        stage_text(s, AT(MON, 9, 0), i > 3 ? WORKER : OWNER, text);
    }
    static const char theirs[] =
        "P4 P5 P6 P7 P8 P9 P10 P11 P12 P13 P14 P15 P16 P17 P18 P19 P20 P21 P22 P23 P24 P25 P26 P27 "
        "P28 P29 P30 P31 P32 P33 P34 P35 P36 P37 P38 P39 P40 P41 P42 P43 P44 P45 P46 P47 P48 P49 "
        "P50 P51 P52 P53 P54 P55 P56 P57 P58 and 12 more";
    char wanted[400]; /* three weeks before: Monday 9 March */
    (void)snprintf(wanted, sizeof wanted, "P1 P2 P3 dry it\n%s dry it", theirs);
    want_today(s, AT(7, 7, 30), wanted);
    (void)snprintf(wanted, sizeof wanted, "%s dry it\nP1 P2 P3 dry it", theirs);
    stage_text(s, AT(7, 7, 31), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, wanted);
    stage_text(s, AT(7, 20, 0), WORKER, "today"); /* of the same day: not late yet */
    WANT_TEXT(s, WORKER, 0, wanted);
    for (int i = 4; i <= 70; i++) {
        char text[60];
        (void)snprintf(text, sizeof text, "prep p%d dry", i);
        stage_text(s, AT(8, 7, 0), WORKER, text);
    }
    want_today(s, AT(8, 7, 30), "Late since 9 Mar: P1 P2 P3 dry it");
    want_today(s, AT(11, 7, 30), "Late since 9 Mar: P1 P2 P3 dry it");
    want_today(s, AT(13, 6, 0),
               "Nothing is due. When a female is injected text INJECT, tag, weight, hour, water");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_look),
        cmocka_unit_test(a_look_after_waiting),
        cmocka_unit_test(frames),
        cmocka_unit_test(ponds_of_two_hands),
        cmocka_unit_test(larvae_of_eggs_that_nobody_reported),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
