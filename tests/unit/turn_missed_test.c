/* What is said of steps that nobody reported, and by whom it is heard: the word itself, what can
 * still be saved, in the morning and not at night, once, and not to who has reported; TODAY beside
 * it says the same. Days before stocking are those of the book: dry 21, lime 14, manure 7, fill 3
 * days; grading every 14. */
#include "turn_stage.h"

static void pond(struct stage *s, const char *ready) {
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "source river");
    stage_text(s, AT(MON, 8, 0), WORKER, "pond p4 4 ares 0.8m fenced");
    char text[40];
    (void)snprintf(text, sizeof text, "prep p4 %s", ready);
    stage_text(s, AT(MON, 9, 0), WORKER, text);
}

/* Each morning at seven, and at no other hour of these days; the texts of the day to the worker. */
struct day {
    int day;
    const char *wanted;
};

static void want_days(struct stage *s, const struct day *days, size_t count, int until) {
    for (int day = 0; day <= until; day++)
        for (int hour = 0; hour < 24; hour++) {
            const char *wanted = "";
            for (size_t i = 0; i < count && hour == 7; i++)
                if (days[i].day == day)
                    wanted = days[i].wanted;
            if (AT(day, hour, 0) <= AT(MON, 9, 0))
                continue;
            stage_wake(s, AT(day, hour, 0), OUTCOME_DELIVERED);
            const char *got = stage_got(s, WORKER, 0);
            if (strcmp(got, wanted) != 0)
                fail_msg("day %d, %d:00: got \"%s\", wanted \"%s\"", day, hour, got, wanted);
            WANT_NONE(s, OWNER); /* it is the hand's work */
        }
}

/* Ready on Friday 27 March: dried from the 6th, limed on the 13th, manured on the 20th, filled on
 * the 24th. */
static const struct day unreported[] = {
    {4, "P4: drain and dry it until the bottom cracks, mend the fence (0.8m, frogs). Fry come 27 "
        "Mar. Then text PREP P4 DRY"},
    {5, "P4: drying was due 6 Mar, no report. Done? PREP P4 DRY. Else drain it now: some dry days "
        "still kill pests"},
    {11, "P4: acid soil wants lime now. Text the soil's pH and kind: POND P4 PH 5.5 LOAM (or CLAY, "
         "SAND). Not acid: nothing to do"},
    {18, "P4: manure today, 80kg of hens or 100kg of cows, dry, spread; then half fill. Then text "
         "PREP P4 MANURED"},
    {19, "P4: manure was due 20 Mar, no report. Done? PREP P4 MANURED. Else spread it today, half "
         "fill: food for fry needs days"},
    {22, "P4: fill it today through a mesh. Fry 27 Mar: 3-7 days after filling, else insects come. "
         "Then PREP P4 FILLED"},
    {23, "P4: fill was due 24 Mar, no report. Done? PREP P4 FILLED. Else fill it now through a "
         "mesh: no fry in the first 3 days"},
    {25, "P4 was to be ready today, not reported full. Full? PREP P4 FILLED, the day; fry 3 days "
         "on. Else PREP P4, new date"},
};

static void nothing_reported(void **state) {
    struct stage *s = *state;
    pond(s, "27 march");
    want_days(s, unreported, sizeof unreported / sizeof unreported[0], 40);
}

/* Reported in time, and late but before the word of it. */
static void reported(void **state) {
    struct stage *s = *state;
    static const char *const first = "P4: drain and dry it until the bottom cracks, mend the fence "
                                     "(0.8m, frogs). Fry come 27 Mar. Then text PREP P4 DRY";
    for (int late = 0; late < 2; late++) {
        pond(s, "27 march");
        stage_wake(s, AT(4, 7, 0), OUTCOME_DELIVERED);
        WANT_TEXT(s, WORKER, 0, first);
        stage_text(s, late ? AT(5, 6, 59) : AT(4, 9, 0), WORKER, "prep p4 dry");
        stage_wake(s, AT(5, 7, 0), OUTCOME_DELIVERED);
        WANT_NONE(s, WORKER);
        stage_text(s, AT(5, 7, 1), WORKER, "undo"); /* taken back: it is not reported any more */
        if (!late)                                  /* it is of yesterday: asked */
            stage_text(s, AT(5, 7, 1), WORKER, "yes");
        WANT_TEXT(s, WORKER, 1, unreported[1].wanted);
        stage_wake(s, AT(5, 7, 30), OUTCOME_DELIVERED);
        WANT_NONE(s, WORKER);
    }
}

/* A day that is named is the day of it: full since Friday, fry from Monday on. Insects come a week
 * after the filling. */
static void filled_on_a_day(void **state) {
    struct stage *s = *state;
    pond(s, "27 march");
    stage_wake(s, AT(25, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0, unreported[7].wanted);
    stage_text(s, AT(25, 7, 30), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, "Late since 24 Mar: P4 fill");
    stage_text(s, AT(25, 8, 0), WORKER, "prep p4 filled 23 march");
    assert_int_equal(farm_pond(&s->farm.state, 4)->done_s[PREP_FILL], AT(21, 12, 0));
    stage_text(s, AT(25, 8, 1), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, "P4 ready for fry");
    stage_wake(s, AT(28, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4: fry were due 27 Mar, no report. In? STOCK P4, count, FRY. Else insects are in "
              "it: drain it, PREP P4, date");
    stage_text(s, AT(28, 8, 0), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, "Late since 27 Mar: P4 fry overdue, insects: stock or drain");
    stage_text(s, AT(28, 8, 1), WORKER, "undo");
    stage_text(s, AT(28, 8, 2), WORKER, "prep p4 filled yesterday");
    assert_int_equal(farm_pond(&s->farm.state, 4)->done_s[PREP_FILL], AT(27, 12, 0));
    stage_text(s, AT(28, 8, 3), WORKER, "undo");
    stage_text(s, AT(28, 8, 4), WORKER, "prep p4 filled 2 april");
    WANT_TEXT(s, WORKER, 0,
              "2 Apr is still to come, or more than 60 days ago. Text it all again with the day it "
              "was. Nothing recorded");
}

/* Lime that burns, no pH: no fry on the day. */
static void burning_lime(void **state) {
    struct stage *s = *state;
    pond(s, "27 march");
    stage_text(s, AT(11, 8, 0), WORKER, "prep p4 limed quick");
    stage_text(s, AT(22, 8, 0), WORKER, "prep p4 filled");
    stage_wake(s, AT(25, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "P4 was to be ready today. No fry yet: lime kills them, no pH under 9 is read. Read "
              "it: PREP P4 PH 8.4, then stock");
    stage_text(s, AT(25, 7, 1), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, "Late since 26 Mar: P4 read its pH");
    stage_text(s, AT(25, 8, 0), WORKER, "prep p4 ph 8.4");
    stage_text(s, AT(25, 8, 1), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, "P4 ready for fry");
}

/* Fish are in it: it is not to be drained on them, nor to be limed, manured or filled. */
static void fish_in_it(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "source river");
    stage_text(s, AT(MON, 8, 0), WORKER, "pond p4 4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), WORKER, "stock p4 6000 fry 0.1g");
    stage_text(s, AT(MON, 9, 0), WORKER, "prep p4 27 march");
    stage_text(s, AT(MON, 9, 0), WORKER, "yes");
    static const struct day days[] = {
        {4, "P4: to be dried for fry 27 Mar, but fish are in it. Catch them first: HARVEST P4 ALL. "
            "Or PREP P4, later date"},
        {14, "P4: day 14, grade today. Big ones eat the small: take them to another pond. Then "
             "text GRADE P4"},
        {16, "P4: grading was due 16 Mar, no report. Big ones eat the small every day: grade now, "
             "then text GRADE P4"},
    };
    want_days(s, days, sizeof days / sizeof days[0], 17);
    stage_text(s, AT(18, 12, 0), WORKER, "today");
    static const char late[] = "Late since 16 Mar: P4 grade\nP4 feed up to";
    assert_int_equal(strncmp(stage_got(s, WORKER, 0), late, sizeof late - 1), 0);
    stage_text(s, AT(18, 13, 0), WORKER, "harvest p4 6kg 50 fish 110g all");
    stage_wake(s, AT(22, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0, unreported[5].wanted);
}

/* Planned when a step was over already: nobody missed it. */
static void planned_late(void **state) {
    struct stage *s = *state;
    pond(s, "8 march"); /* manure was Sunday */
    for (int minute = 1; minute < 12 * 60; minute += 30) {
        stage_wake(s, AT(MON, 9, minute), OUTCOME_DELIVERED);
        if (strstr(stage_got(s, WORKER, 0), "no report"))
            fail_msg("got \"%s\"", stage_got(s, WORKER, 0));
    }
}

/* Lime is late only where the soil is known to want it. */
static void lime_not_wanted(void **state) {
    struct stage *s = *state;
    static const struct {
        const char *soil, *that_day, *day_after;
    } rows[] = {
        {"pond p4 ph 5.5 loam", "P4 lime", "Late since 13 Mar: P4 lime"},
        {"pond p4 4 ares", "P4 lime",
         "Nothing is due. When a female is injected text INJECT, tag, weight, hour, water"},
        {"pond p4 ph 7.5 loam",
         "Nothing is due. When a female is injected text INJECT, tag, weight, hour, water",
         "Nothing is due. When a female is injected text INJECT, tag, weight, hour, water"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pond(s, "27 march");
        stage_text(s, AT(MON, 10, 0), WORKER, rows[i].soil);
        stage_text(s, AT(4, 8, 0), WORKER, "prep p4 dry");
        stage_text(s, AT(11, 8, 0), WORKER, "today");
        WANT_TEXT(s, WORKER, 0, rows[i].that_day);
        stage_text(s, AT(12, 8, 0), WORKER, "today");
        WANT_TEXT(s, WORKER, 0, rows[i].day_after);
    }
}

/* -- eggs ----------------------------------------------------------------------------------------
 */

static void eggs(struct stage *s, int hour) {
    char text[40];
    stage_empty(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "source river");
    stage_text(s, AT(MON, 16, 0), WORKER, "inject f3 1.2kg 16:00 t24");
    (void)snprintf(text, sizeof text, "strip f3 150g 0%d:30", hour);
    stage_text(s, AT(TUE, hour, 30), WORKER, text);
    stage_wake(s, AT(TUE, hour + 10, 30), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3: count 100 eggs. How many are white? Text WHITE F3 and the number. Keep water "
              "fresh and air on");
}

static void white(void **state) {
    struct stage *s = *state;
    eggs(s, 4);
    stage_wake(s, AT(TUE, 18, 30), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3: no count of white eggs 14:30. Counted? WHITE F3 20. Lift white ones out, they "
              "rot. Over half? Inject spare");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(TUE, 18, 40), WORKER, "20"); /* the question is open */
    assert_true(farm_spawn(&s->farm.state, 1)->white_of);
    stage_text(s, AT(TUE, 18, 41), WORKER, "undo");
    stage_wake(s, AT(TUE, 19, 0), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER); /* said once */
    eggs(s, 4);
    stage_text(s, AT(TUE, 18, 29), WORKER, "white f3 20");
    stage_wake(s, AT(TUE, 18, 30), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER);
}

/* Over at 20:30: said at seven, not in the night. */
static void white_at_night(void **state) {
    struct stage *s = *state;
    eggs(s, 6);
    for (int hour = 20; hour < 31; hour++) {
        stage_wake(s, AT(TUE, hour, 45), OUTCOME_DELIVERED);
        WANT_NONE(s, WORKER);
    }
    stage_wake(s, AT(WED, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3: no count of white eggs Tue 16:30. Counted? WHITE F3 20. Lift white ones out, "
              "they rot. Over half? Inject spare");
}

/* The night's texts come all at once: the count may be the next of them. */
static void white_of_late_texts(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "source river");
    stage_text(s, AT(MON, 16, 0), WORKER, "inject f3 1.2kg 16:00 t24");
    stage_sent(s, AT(TUE, 19, 0), AT(TUE, 4, 31), WORKER, "strip f3 150g 04:30");
    stage_wake(s, AT(TUE, 19, 0), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER);
    stage_sent(s, AT(TUE, 19, 1), AT(TUE, 15, 0), WORKER, "white f3 20");
    stage_wake(s, AT(TUE, 19, 10), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER);
}

/* A look that nobody made, over at three in the night: both are told in the morning, once. */
static void look_at_night(void **state) {
    struct stage *s = *state;
    static const char *const wanted = "F3 was due 15:00, nothing was reported: look missed. Do not "
                                      "squeeze. Text STRIP F3 grams, or NO EGGS F3";
    stage_empty(s);
    stage_text(s, AT(MON, 3, 0), WORKER, "inject f3 1.2kg 03:00 t24");
    stage_text(s, AT(MON, 9, 0), OWNER, "source river");
    for (int64_t at_s = AT(MON, 14, 0); at_s < AT(MON, 23, 0); at_s += 900)
        stage_wake(s, at_s, OUTCOME_DELIVERED);
    for (int64_t at_s = AT(MON, 23, 0); at_s < AT(TUE, 7, 0); at_s += 900) {
        stage_wake(s, at_s, OUTCOME_DELIVERED);
        WANT_NONE(s, WORKER);
        WANT_NONE(s, OWNER);
    }
    stage_text(s, AT(TUE, 6, 50), OWNER, "today");
    WANT_TEXT(s, OWNER, 0, "F3 time is over: text STRIP F3 grams or NO EGGS F3");
    stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, WORKER, 0), "look missed"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), "look missed"));
    assert_int_equal(strlen(stage_got(s, OWNER, 0)), strlen(wanted) + 4); /* "Mon " */
    stage_wake(s, AT(TUE, 8, 0), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_reported),    cmocka_unit_test(reported),
        cmocka_unit_test(filled_on_a_day),     cmocka_unit_test(burning_lime),
        cmocka_unit_test(fish_in_it),          cmocka_unit_test(planned_late),
        cmocka_unit_test(lime_not_wanted),     cmocka_unit_test(white),
        cmocka_unit_test(white_at_night),      cmocka_unit_test(look_at_night),
        cmocka_unit_test(white_of_late_texts),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
