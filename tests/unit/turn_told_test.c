/* Who is told what, how often and after what: alarms up the ladder, hours that moved, phones that
 * are off or have stopped, and the texts that stand outside a farm. */
#include "turn_stage.h"

/* The owner injects, the worker reads her tank: he is the hand from then on. */
static void a_night(struct stage *s) {
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), OWNER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(MON, 22, 5), WORKER, "temp f3 24");
    WANT_TEXT(s, WORKER, 0,
              "F3 tank 24C at 22:05. First look Tue 06:30, then each 30 min. Wrong? UNDO");
    WANT_NONE(s, OWNER); /* her hour has not moved */
}

static void an_alarm_goes_up_the_ladder(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_wake(s, AT(TUE, 5, 45), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3 first look 06:30. Ready: dry cloth, dry bowl, scale, cup of clean water, frames, "
              "testes or male. Not 24C? TEMP F3");
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.texts[0].level, LEVEL_ALARM);
    assert_int_equal(s->turn.text_count, 1);
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED); /* the same instant again: told is told */
    assert_int_equal(s->turn.text_count, 0);
    stage_wake(s, AT(TUE, 6, 44), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_wake(s, AT(TUE, 6, 45), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 1);
    WANT_TEXT(s, WORKER, 0,
              "F3 look was due 06:30: no answer. Eggs spoil in her. Look now, then text STRIP F3 "
              "grams, WAIT F3, or OK");
    stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 1);
    WANT_TEXT(
        s, OWNER, 0,
        "F3 was due 06:30. No word from the hatchery since Mon 22:05. Eggs spoil in her: CALL "
        "them. Then text STRIP F3 grams or WAIT F3");
    stage_wake(s, AT(TUE, 7, 30), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 1);
    WANT_TEXT(s, ADVISER, 0,
              "Creek: F3 look was due 06:30, nobody answered. Eggs spoil in her: please call the "
              "hatchery now");
    stage_wake(s, AT(TUE, 18, 30), OUTCOME_DELIVERED); /* twice the table's time */
    WANT_TEXT(s, WORKER, 0,
              "F3 was due 06:30, nothing was reported: look missed. Do not squeeze. Text "
              "STRIP F3 grams, or NO EGGS F3");
    assert_string_equal(stage_got(s, OWNER, 0), stage_got(s, WORKER, 0));
    stage_wake(s, AT(TUE, 23, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
}

/* Any text that acts on her, or OK, ends it, whoever sends it. */
static void an_answer_ends_the_ladder(void **state) {
    struct stage *s = *state;
    static const struct {
        int person;
        const char *text;
    } answers[] = {{WORKER, "ok"}, {WORKER, "strip f3 150g"}, {OWNER, "no eggs f3"}};
    for (size_t i = 0; i < sizeof answers / sizeof *answers; i++) {
        a_night(s);
        stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
        stage_text(s, AT(TUE, 6, 40), answers[i].person, answers[i].text);
        stage_wake(s, AT(TUE, 7, 5), OUTCOME_DELIVERED);
        if (s->turn.text_count)
            fail_msg("\"%s\" did not end the alarm: %.*s", answers[i].text,
                     SLICE_ARG(s->turn.texts[0].body));
    }
}

/* A phone in the middle of a dialogue about her is not silent: the ladder waits from there. */
/* Looks told in one text have one OK; a tag behind it means her alone. */
static void ok_to_a_joint_look_is_for_all(void **state) {
    struct stage *s = *state;
    for (int alone = 0; alone < 2; alone++) {
        stage_empty(s);
        stage_text(s, AT(MON, 18, 30), WORKER, "inject f3 1.2kg 18:30 t26");
        stage_text(s, AT(MON, 18, 31), WORKER, "inject f5 1.2kg 18:30 t26");
        stage_wake(s, AT(TUE, 3, 45), OUTCOME_DELIVERED);
        stage_wake(s, AT(TUE, 4, 30), OUTCOME_DELIVERED);
        stage_text(s, AT(TUE, 4, 32), WORKER, alone ? "ok f3" : "ok");
        WANT_TEXT(s, WORKER, 0,
                  alone ? "F3: good, you are on it. Then text STRIP F3 grams, or WAIT F3"
                        : "F3+F5: good, you are on them. Then text of each STRIP, tag, grams, or "
                          "WAIT, tag");
        stage_wake(s, AT(TUE, 4, 45), OUTCOME_DELIVERED);
        WANT_TEXT(s, WORKER, 0,
                  alone
                      ? "F5 look was due 04:30: no answer. Eggs spoil in her. Look now, then text "
                        "STRIP F5 grams, WAIT F5, or OK"
                      : "");
    }
}

static void who_is_being_asked_is_not_silent(void **state) {
    static const char *const texts[] = {"strip f3", "strip f3 15o", "strip", "temp f3 24"};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
        stage_wake(s, AT(TUE, 5, 45), OUTCOME_DELIVERED);
        stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
        stage_text(s, AT(TUE, 6, 40), WORKER, texts[i]);
        stage_wake(s, AT(TUE, 6, 45), OUTCOME_DELIVERED);
        if (s->turn.text_count)
            fail_msg("\"%s\": then told \"%s\"", texts[i], stage_got(s, WORKER, 0));
        stage_wake(s, AT(TUE, 6, 55), OUTCOME_DELIVERED);
        assert_int_equal(s->turn.text_count, 1);
        stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED);
        WANT_NONE(s, OWNER);
        stage_wake(s, AT(TUE, 7, 10), OUTCOME_DELIVERED);
        assert_true(stage_got(s, OWNER, 0)[0] != 0); /* half an hour after the last word */
    }
}

/* A text about something else, or of another phone, is no word of her; nor is one that was refused.
 */
static void other_talk_is_no_word_of_her(void **state) {
    static const struct {
        int who;
        const char *text;
    } texts[] = {{WORKER, "strip f4"},
                 {WORKER, "today"},
                 {ADVISER, "strip f3"},
                 {WORKER, "white f3 40"},
                 {WORKER, "fix f3 250g"}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
        stage_wake(s, AT(TUE, 5, 45), OUTCOME_DELIVERED);
        stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
        stage_text(s, AT(TUE, 6, 40), texts[i].who, texts[i].text);
        stage_wake(s, AT(TUE, 6, 45), OUTCOME_DELIVERED);
        assert_true(stage_got(s, WORKER, 0)[0] != 0);
    }
}

static void frames_go_up_the_ladder(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(TUE, 6, 30), WORKER, "source river");
    stage_text(s, AT(TUE, 6, 40), WORKER, "strip f3 150g");
    stage_wake(s, AT(WED, 17, 30), OUTCOME_DELIVERED); /* 1.2 x 29 h: to look, by day */
    WANT_TEXT(s, WORKER, 0,
              "F3: look at the frames. Only shells and white eggs left? Take them out, text FRAMES "
              "F3. Last hour Thu 06:30");
    stage_wake(s, AT(WED, 29, 30), OUTCOME_DELIVERED); /* an hour before 1.65 x 29 h */
    WANT_TEXT(s, WORKER, 0,
              "F3: frames out by 06:30. Dead eggs foul the water. Then text FRAMES F3");
    stage_wake(s, AT(WED, 30, 30), OUTCOME_DELIVERED);
    WANT_TEXT(s, ADVISER, 0,
              "Creek: F3 frames must be out by 06:30, nobody answered. Dead eggs foul water: "
              "please call now");
}

/* -- phones that cannot be reached ---------------------------------------------------------------
 */

static void food_goes_up_the_ladder(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(TUE, 6, 30), WORKER, "source river");
    stage_text(s, AT(TUE, 6, 40), WORKER, "strip f3 150g");
    stage_text(s, AT(WED, 12, 0), WORKER, "frames f3");
    stage_wake(s, AT(WED, 59, 40), OUTCOME_DELIVERED); /* half hatch Wed 11:40 and two days */
    WANT_TEXT(s, WORKER, 0,
              "F3 larvae: first food now, live plankton through a fine net, 4 small meals a day. "
              "Siphon the dead. Then FED F3");
    stage_wake(s, AT(WED, 83, 40), OUTCOME_DELIVERED);
    stage_wake(s, AT(WED, 84, 40), OUTCOME_DELIVERED);
    WANT_TEXT(s, ADVISER, 0,
              "Creek: F3 larvae had to eat by 11:40, nobody answered. They starve: please call the "
              "hatchery now");
}

static void no_receipt_and_the_owner_hears_of_it(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_wake(s, AT(TUE, 5, 45), OUTCOME_SENT); /* left, but no receipt came */
    stage_wake(s, AT(TUE, 6, 0), OUTCOME_SENT);
    assert_int_equal(s->turn.text_count, 1);
    WANT_TEXT(s, OWNER, 0,
              "+447700900002 gets no texts, maybe it is off. F3 first look 06:30. Please call the "
              "hatchery");
    a_night(s);
    stage_wake(s, AT(TUE, 5, 45), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 6, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
}

static void an_alarm_that_fails_passes_at_once(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_FAILED);
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    WANT_TEXT(
        s, OWNER, 0,
        "F3 was due 06:30. No word from the hatchery since Mon 22:05. Eggs spoil in her: CALL "
        "them. Then text STRIP F3 grams or WAIT F3");
}

static void a_stopped_phone_gets_nothing_unasked(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(MON, 23, 0), WORKER, "Stop.");
    WANT_TEXT(s, WORKER, 0,
              "You get no more texts from this number, alarms too, unless you ask. To get them "
              "again text START");
    WANT_TEXT(
        s, OWNER, 0,
        "+447700900002 has stopped all texts, alarms too. Alarms now pass to the next person");
    stage_text(s, AT(MON, 23, 1), WORKER, "stop");
    WANT_NONE(s, OWNER); /* once */
    for (int m = 0; m < 48 * 60; m += 5) {
        stage_wake(s, AT(MON, 23, 5) + m * 60, OUTCOME_DELIVERED);
        WANT_NONE(s, WORKER);
    }
    stage_text(s, AT(WED, 23, 10), WORKER, "temp f3 23.5"); /* what he asks is answered */
    assert_string_not_equal(stage_got(s, WORKER, 0), "");
    stage_text(s, AT(WED, 23, 11), WORKER, "start");
    assert_false(s->people[WORKER].stopped);
}

static void alarms_of_a_stopped_hand_go_to_the_owner_at_once(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(MON, 23, 0), WORKER, "stop");
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 2); /* getting ready is due, too: its hour is not over */
    bool look = false;
    for (int i = 0; i < s->turn.text_count; i++) {
        assert_int_equal(s->turn.texts[i].person, s->people[OWNER].id);
        look |= slice_starts(s->turn.texts[i].body, SLICE("F3: look now."));
    }
    assert_true(look);
}

/* -- hours that moved ----------------------------------------------------------------------------
 */

static void a_moved_hour_is_told_once_to_those_who_knew(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(MON, 22, 30), WORKER, "temp f3 23"); /* within 90 minutes: not asked */
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.text_count, 2); /* the answer, and the owner's */
    WANT_TEXT(s, WORKER, 0,
              "F3 tank 23C at 22:30. First look Tue 07:30, then each 30 min. Wrong? UNDO");
    WANT_TEXT(s, OWNER, 0, "F3 first look has moved: Tue 07:30, no longer Tue 06:30");
    WANT_NONE(s, ADVISER); /* never knew an hour */
    stage_text(s, AT(MON, 22, 31), WORKER, "today");
    assert_int_equal(s->turn.text_count, 1);                /* once */
    stage_text(s, AT(MON, 22, 32), WORKER, "temp f3 23.1"); /* moves it by less than ten minutes */
    WANT_NONE(s, OWNER);
    stage_text(s, AT(MON, 22, 33), WORKER, "stop"); /* and who has stopped is not told */
    stage_text(s, AT(MON, 22, 40), OWNER, "temp f3 25");
    assert_int_equal(s->turn.text_count, 1);
}

/* Fourteen females of one hand that move together are one text; what finds no room is told in the
 * next round, which comes at once, and once only. */
static void many_that_move_are_one_text(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    for (int i = 1; i <= 14; i++) {
        char text[60];
        (void)snprintf(text, sizeof text, "inject f%d 1.2kg 12:00 t25", i);
        stage_text(s, AT(MON, 12, i), WORKER, text);
    }
    stage_text(s, AT(MON, 15, 0), OWNER, "temp 27");
    WANT_TEXT(s, WORKER, 0,
              "F1 F2 F3 F4 F5 F6 F7 and 7 more (TODAY): first looks moved. First: 21:15, no longer "
              "23:00. Reminded of each");
    WANT_TEXT(s, WORKER, 1, "");
    stage_text(s, AT(MON, 16, 0), OWNER, "temp 10");
    stage_text(s, AT(MON, 16, 1), OWNER, "yes");
    WANT_TEXT(
        s, WORKER, 0,
        "F1 F2 F3 F4 F5 F6 F7 and 7 more (TODAY): hours hold no more, water is outside 20-30C. "
        "Look at them, text TEMP and degrees");
    WANT_TEXT(s, WORKER, 1, "");
    stage_text(s, AT(MON, 16, 2), OWNER, "undo");
    WANT_NONE(s, WORKER);
    stage_empty(s);
    for (int i = 1; i <= 4; i++) {
        char text[60];
        (void)snprintf(text, sizeof text, "brood f%d 1.2kg", i);
        stage_text(s, AT(MON, 9, i), WORKER, text);
    }
    stage_text(s, AT(MON, 12, 0), WORKER, "inject f1 f2 f3 f4 12:00 t25");
    stage_text(s, AT(MON, 13, 0), OWNER, "undo f1");
    stage_text(s, AT(MON, 13, 1), OWNER, "yes");
    WANT_TEXT(s, WORKER, 1, "F1 F2 F3 F4: nothing to do at the hours told any more");
    WANT_TEXT(s, WORKER, 2, "");
    stage_text(s, AT(MON, 13, 2), WORKER, "inject f1 f2 f3 f4 12:00 t25");
    for (int i = 1; i <= 4; i++) {
        char text[60];
        (void)snprintf(text, sizeof text, "strip f%d 100g 23:00", i);
        stage_text(s, AT(MON, 23, i), WORKER, text);
    }
    stage_text(s, AT(TUE, 6, 0), OWNER, "temp 28");
    WANT_TEXT(
        s, WORKER, 0,
        "F1 F2 F3 F4 frames: new hours. First out by Wed 11:30, no longer Wed 19:35. Reminded");
    WANT_TEXT(s, WORKER, 1, "");
}

static void hours_that_find_no_room_come_next(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_begin(s, AT(MON, 22, 6));
    for (int i = 0; i < s->turn.told_count; i++)
        s->turn.told[i].hour_s -= 3600;
    s->turn.sender = -1;
    s->turn.text_count = TURN_TEXTS_MAX / 2;
    turn_tell_moved(&s->turn);
    turn_wake_later(&s->turn);
    assert_int_equal(s->turn.text_count, TURN_TEXTS_MAX / 2);
    assert_true(s->turn.more_due);
    assert_int_equal(s->turn.wake_count, 1);
    assert_true(s->turn.wakes[0].due_s == s->turn.now_s);
    s->turn.text_count = 0;
    turn_tell_moved(&s->turn);
    int told = s->turn.text_count;
    assert_int_equal(told, 2); /* who injected her and who has the work */
    turn_tell_moved(&s->turn);
    assert_int_equal(s->turn.text_count, told);
}

static void what_is_gone_is_told_at_once(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(MON, 22, 30), OWNER, "undo");
    stage_text(s, AT(MON, 22, 31), OWNER, "yes");
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.text_count, 2);
    WANT_TEXT(s, OWNER, 0,
              "Taken back: inject f3 1.2kg 18:30 t24, texted 18:30. All stands as before it");
    WANT_TEXT(s, WORKER, 0, "F3: nothing to do at Tue 06:30 any more");
    stage_text(s, AT(MON, 22, 35), OWNER, "inject f3 1.2kg 18:30 t24");
    WANT_NONE(s, WORKER);
}

/* Many know one hour: each of them is told, none twice. */
static void everybody_who_knew_is_told(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(MON, 22, 6), ADVISER, "temp f3 24");
    stage_text(s, AT(MON, 22, 7), WATCHER, "temp f3 24");
    stage_text(s, AT(MON, 22, 30), OWNER, "temp f3 25");
    assert_int_equal(s->turn.text_count, 4);
    for (int i = 0; i < PHONES; i++) {
        assert_string_not_equal(stage_got(s, i, 0), "");
        WANT_TEXT(s, i, 1, "");
    }
}

/* The first look moves from 08:00 to 11:00 by a text at 22:30: who only knew of it sleeps on, and
 * is told at his own morning hour; the wake for it is asked for. */
static void at_night_others_are_told_in_the_morning(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 20, 2), OWNER, "inject f3 1.2kg 20:00 t24");
    stage_text(s, AT(MON, 20, 5), WORKER, "temp f3 24");
    stage_text(s, AT(MON, 20, 6), ADVISER, "temp f3 24");
    s->people[OWNER].morning_min = 300;
    stage_text(s, AT(MON, 22, 30), WORKER, "temp f3 22");
    stage_text(s, AT(MON, 22, 31), WORKER, "yes");
    assert_int_equal(s->turn.entry_count, 1);
    WANT_NONE(s, OWNER);
    WANT_NONE(s, ADVISER);
    bool asked = false;
    for (int i = 0; i < s->turn.wake_count; i++)
        asked |= s->turn.wakes[i].due_s == AT(TUE, 5, 0);
    assert_true(asked);
    stage_wake(s, AT(TUE, 1, 0), OUTCOME_DELIVERED); /* woken by something else, still night */
    WANT_NONE(s, OWNER);
    stage_wake(s, AT(TUE, 5, 0), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, OWNER, 0), "no longer 08:00"));
    WANT_NONE(s, ADVISER);
    stage_wake(s, AT(TUE, 6, 0), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, ADVISER, 0), "no longer 08:00"));
    WANT_NONE(s, OWNER); /* once */
}

/* Whoever would get up too early, or come too late, before his morning is told at once. */
static void at_night_a_wrong_hour_is_told_at_once(void **state) {
    static const char *const texts[] = {"temp f3 22", "temp f3 27"};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        a_night(s);
        stage_text(s, AT(MON, 22, 30), WORKER, texts[i]);
        if (s->asked[WORKER])
            stage_text(s, AT(MON, 22, 31), WORKER, "yes");
        assert_true(stage_got(s, OWNER, 0)[0] != 0);
    }
}

static void what_was_acted_on_is_not_told_again(void **state) {
    struct stage *s = *state;
    a_night(s);
    stage_text(s, AT(TUE, 6, 40), WORKER, "wait f3");
    stage_text(s, AT(TUE, 7, 20), WORKER, "strip f3 150g");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(TUE, 7, 30), WORKER, "temp f3 26");
    WANT_NONE(s, OWNER); /* he knew the look's hour, never the frames' */
    assert_int_equal(s->turn.text_count, 1);
}

/* -- bare answers to our own texts ---------------------------------------------------------------
 */

static void a_text_that_asks_takes_a_bare_number(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), OWNER, "inject f3 1.2kg 18:30 t24");
    stage_wake(s, AT(MON, 22, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, OWNER, 0,
              "F3: how warm is HER tank now? Text TEMP F3 and degrees. No answer: first look stays "
              "Tue 06:30. Cover it tonight");
    stage_text(s, AT(MON, 22, 10), OWNER, "24");
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.entries[0].kind, ENTRY_WATER);
    assert_int_equal(s->turn.entries[0].at_s, AT(MON, 22, 10)); /* its own hour, not ours */
    assert_int_equal(s->turn.entries[0].message, s->messages);
}

/* -- texts outside a farm ------------------------------------------------------------------------
 */

static void texts_outside_a_farm(void **state) {
    struct stage *s = *state;
    struct buf out = buf_make(1000);
    assert_int_equal(turn_stranger(s->grammar.words, s->grammar.en, &out), ERR_OK);
    assert_string_equal(buf_str(&out),
                        "This number serves hatcheries that have joined. Please ask the hatchery's "
                        "owner to add your phone");
    buf_clear(&out);
    assert_int_equal(turn_set_aside(s->grammar.words, s->grammar.en, &out), ERR_OK);
    assert_string_equal(buf_str(&out),
                        "Sorry, that text could not be handled. Nothing recorded. Please text it "
                        "again in other words");
    buf_clear(&out);
    assert_int_equal(turn_late(s->grammar.words, s->grammar.en, &zone_utc, AT(MON, 22, 0),
                               AT(TUE, 1, 0), SLICE("F3: look now."), &out),
                     ERR_OK);
    assert_string_equal(buf_str(&out), "Late, meant for Mon 22:00: F3: look now.");
    buf_free(&out);
}

/* The word that a look was missed is news once: not to whoever was just answered so, and not again
 * when a report is taken back after it. */
static void what_is_known_as_missed_is_not_told(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 31), WORKER, "inject f4 1.2kg t25 18:50 yesterday");
    WANT_TEXT(s, WORKER, 0,
              "F4 1.2kg injected Sun 18:50 at 25C. Time ended 16:50: no squeezing. STRIP F4 grams "
              "hour or NO EGGS F4");
    stage_wake(s, AT(MON, 18, 36), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER);
    WANT_TEXT(s, OWNER, 0,
              "F4 was due 05:50, nothing was reported: look missed. Do not squeeze. Text STRIP F4 "
              "grams, or NO EGGS F4");
    a_night(s);
    stage_text(s, AT(TUE, 6, 31), WORKER, "wait f3");
    for (int minute = 0; minute <= 60; minute += 15)
        stage_wake(s, AT(TUE, 7, minute), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 18, 30), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3 was due 07:00, nothing was reported: look missed. Do not squeeze. Text STRIP F3 "
              "grams, or NO EGGS F3");
    stage_text(s, AT(TUE, 18, 40), WORKER, "undo f3");
    stage_text(s, AT(TUE, 18, 41), WORKER, "yes");
    WANT_TEXT(s, WORKER, 0, "Taken back: wait f3, texted 06:30. All stands as before it");
    stage_wake(s, AT(TUE, 19, 0), OUTCOME_DELIVERED);
    WANT_NONE(s, WORKER);
    WANT_NONE(s, OWNER);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_alarm_goes_up_the_ladder),
        cmocka_unit_test(an_answer_ends_the_ladder),
        cmocka_unit_test(ok_to_a_joint_look_is_for_all),
        cmocka_unit_test(who_is_being_asked_is_not_silent),
        cmocka_unit_test(other_talk_is_no_word_of_her),
        cmocka_unit_test(frames_go_up_the_ladder),
        cmocka_unit_test(food_goes_up_the_ladder),
        cmocka_unit_test(no_receipt_and_the_owner_hears_of_it),
        cmocka_unit_test(an_alarm_that_fails_passes_at_once),
        cmocka_unit_test(a_stopped_phone_gets_nothing_unasked),
        cmocka_unit_test(alarms_of_a_stopped_hand_go_to_the_owner_at_once),
        cmocka_unit_test(a_moved_hour_is_told_once_to_those_who_knew),
        cmocka_unit_test(many_that_move_are_one_text),
        cmocka_unit_test(hours_that_find_no_room_come_next),
        cmocka_unit_test(what_is_gone_is_told_at_once),
        cmocka_unit_test(everybody_who_knew_is_told),
        cmocka_unit_test(at_night_others_are_told_in_the_morning),
        cmocka_unit_test(at_night_a_wrong_hour_is_told_at_once),
        cmocka_unit_test(what_was_acted_on_is_not_told_again),
        cmocka_unit_test(a_text_that_asks_takes_a_bare_number),
        cmocka_unit_test(what_is_known_as_missed_is_not_told),
        cmocka_unit_test(texts_outside_a_farm),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
