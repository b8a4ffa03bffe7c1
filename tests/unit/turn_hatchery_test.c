/* What an owner and a hand are told of the hatchery: that the air is back, when the hatchery was
 * last heard, an hour once and not twice, no more fry than a pond has room for. Hours by hand from
 * the tables of first looks and of half hatching (FAO 362). */
#include "turn_stage.h"

/* Who was woken because the air failed is told when it is back; who says it has his own answer. */
static void the_owner_hears_that_air_is_back(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(TUE, 2, 15), WORKER, "no air 01:40");
    WANT_TEXT(s, OWNER, 0,
              "No air in the hatchery since 01:40, says +447700900002. They pour water, lift "
              "frames. Generator? Outdoors only");
    stage_text(s, AT(TUE, 3, 30), WORKER, "air on");
    WANT_TEXT(s, OWNER, 0, "The air is back in the hatchery since 03:30, says +447700900002");
    stage_text(s, AT(TUE, 3, 31), WORKER, "air on");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(TUE, 4, 0), WORKER, "no air");
    stage_text(s, AT(TUE, 4, 10), OWNER, "air on");
    assert_int_equal(s->turn.text_count, 1);
}

/* The hand was silent, the watcher beside him was not. */
static void anybody_of_the_hatchery_is_heard(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(MON, 19, 20), WATCHER, "source river");
    stage_text(s, AT(MON, 20, 0), ADVISER, "today");
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 6, 45), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXT(
        s, OWNER, 0,
        "F3 was due 06:30. No word from the hatchery since Mon 19:20. Eggs spoil in her: CALL "
        "them. Then text STRIP F3 grams or WAIT F3");
}

/* His answer names the new hour of the frames: no second text says that it moved. */
static void an_hour_in_the_answer_is_not_told_again(void **state) {
    struct stage *s = *state;
    static const char *const counts[] = {"white f3 10", "fertile f3 90"};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 9, 0), OWNER, "source river");
        stage_text(s, AT(MON, 18, 32), WORKER, "inject f3 1.2kg 18:30 t24");
        stage_text(s, AT(TUE, 6, 35), WORKER, "strip f3 150g");
        stage_text(s, AT(TUE, 22, 0), OWNER, "temp 23"); /* the hand sleeps: told in the morning */
        WANT_NONE(s, WORKER);
        stage_text(s, AT(TUE, 23, 0), WORKER, counts[i]);
        if (!strstr(stage_got(s, WORKER, 0), "rames out by Thu 12:30") || s->turn.text_count != 1)
            fail_msg("%s: %d texts, the first \"%s\"", counts[i], s->turn.text_count,
                     stage_got(s, WORKER, 0));
    }
}

/* 4 ares of 0.8 m are 320 m3, room for 100 a m3: a quarter to three quarters of those is expected,
 * however many went in. */
static void no_more_fry_than_room_are_promised(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p4 4 ares 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p4 5000000 fry 0.1g");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 8, 2), OWNER, "yes");
    WANT_TEXT(
        s, OWNER, 0,
        "P4: 5000000 fry in, room is for 32000: move some. Expect 8000-24000 on 1 Apr. Wrong? "
        "UNDO. Not known as prepared: green water, frogs and insects out? Feed up to 2kg a day: "
        "FEED P4. Look at the fish at dawn");
}

/* One reading of the hatchery is one text, however many females are in its water: the earliest
 * look. On a line from 24 degC at 18:20 to 23 at 21:30, by steps of 6 s: 07:49.6, 08:06.3, 08:22.8.
 */
static void one_reading_is_one_text(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 20), WORKER, "temp 24");
    stage_text(s, AT(MON, 18, 46), WORKER, "inject f4 1.1kg 18:45");
    stage_text(s, AT(MON, 18, 48), WORKER, "inject f3 1.2kg 18:30");
    stage_text(s, AT(MON, 19, 0), WORKER, "inject f5 1kg 19:00");
    stage_text(s, AT(MON, 21, 30), WORKER, "temp 23");
    assert_int_equal(s->turn.text_count, 1);
    WANT_TEXT(
        s, WORKER, 0,
        "Hatchery 23C at 21:30. First of 3 looks: F3 Tue 07:50. All: TODAY. One tank: TEMP F3 "
        "22. Wrong? UNDO");
    stage_text(s, AT(MON, 21, 31), WORKER, "today");
    WANT_TEXT(s, WORKER, 0, "F3 look Tue 07:50\nF4 look Tue 08:05\nF5 look Tue 08:25");
}

/* A tank's reading that moves the looks is asked of the tank and of all in it. */
static void a_tank_that_moves_names_all_in_it(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 31), OWNER, "inject f3 1.2kg 18:30 t26 b2");
    stage_text(s, AT(MON, 18, 32), OWNER, "inject f4 1.3kg 18:30 t26 b2");
    static const char asked[] =
        "B2 23C at 18:35? Then F3+F4 first look Tue 08:00. YES if right; till then Tue 04:30. "
        "Cover it";
    stage_text(s, AT(MON, 18, 35), OWNER, "temp b2 23");
    WANT_TEXT(s, OWNER, 0, asked);
    stage_text(s, AT(MON, 18, 35), OWNER, "temp f3 23");
    WANT_TEXT(s, OWNER, 0, asked);
    stage_text(s, AT(MON, 18, 36), OWNER, "yes");
    WANT_TEXT(s, OWNER, 0,
              "B2 23C at 18:35: for F3+F4. First look at all Tue 08:00, then each 30 min. Wrong? "
              "UNDO");
}

/* Dead eggs show white ten hours after the strip (the book, from memory): counted ten minutes after
 * it they are asked about, and even then counted again in their time. A strip reported so late that
 * its hour is wrong is what the question is for, too. */
static void white_eggs_need_their_hours(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 30), WORKER, "inject f3 1.2kg 08:30 t26");
    stage_text(s, AT(MON, 19, 0), WORKER, "strip f3 130g 19:00");
    stage_text(s, AT(MON, 19, 10), WORKER, "white f3 20");
    WANT_TEXT(s, WORKER, 0,
              "F3, stripped 19:00: white eggs show from Tue 05:00. Counted? YES. Hour wrong? FIX "
              "F3, hour. Nothing recorded");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 19, 11), WORKER, "fertile f3 80");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 19, 12), WORKER, "yes");
    assert_int_equal(s->turn.entry_count, 1);
    stage_wake(s, AT(TUE, 5, 0), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, WORKER, 0), "F3: count 100 eggs"));
    stage_text(s, AT(TUE, 5, 10), WORKER, "white f3 30");
    assert_int_equal(s->turn.entry_count, 1);
    for (int i = 0; i < s->turn.wake_count; i++)
        assert_int_not_equal(s->turn.wakes[i].key.kind, TASK_WHITE);
    /* an hour before the question it is taken as it is: warm eggs are ahead */
    stage_text(s, AT(TUE, 5, 11), WORKER, "white f3 31 at 04:00");
    assert_int_equal(s->turn.entry_count, 1);
    stage_text(s, AT(TUE, 5, 12), WORKER, "white f3 31 at 03:55");
    assert_int_equal(s->turn.entry_count, 0);
}

/* Three females of one hand and hour: what is due for their frames, their first food, their day's
 * care and their ponds is one text that names them; as many tags as one text holds. */
static void several_spawns_are_one_text(void **state) {
    struct stage *s = *state;
    char text[80];
    stage_empty(s);
    for (int tag = 3; tag <= 9; tag++) {
        (void)snprintf(text, sizeof text, "inject f%d 1kg 18:30 t26", tag == 9 ? 1000 : tag);
        stage_text(s, AT(MON, 18, 30), WORKER, text);
    }
    for (int tag = 3; tag <= 9; tag++) {
        (void)snprintf(text, sizeof text, "strip f%d 100g 04:35", tag == 9 ? 1000 : tag);
        stage_text(s, AT(TUE, 4, 40), WORKER, text);
    }
    stage_wake(s, AT(TUE, 17, 0), OUTCOME_DELIVERED);
    stage_wake(s, AT(WED, 10, 35), OUTCOME_DELIVERED);
    WANT_TEXT(s, WORKER, 0,
              "F3+F4+F5+F6+F7+F8+F1000: look at frames. Only shells, white eggs left? Take those "
              "out, text FRAMES, tag. Last 21:50");
    WANT_TEXT(s, WORKER, 1, "");
    stage_wake(s, AT(WED, 17, 0), OUTCOME_DELIVERED);
    stage_wake(s, AT(WED, 20, 50), OUTCOME_DELIVERED); /* the alarm, an hour before the last */
    WANT_TEXT(s, WORKER, 0,
              "F3+F4+F5+F6+F7+F8+F1000: frames out by 21:50. Dead eggs foul the water. Then text "
              "FRAMES and each tag");
    WANT_TEXT(s, WORKER, 1, "");
    stage_text(s, AT(WED, 21, 0), WORKER, "ok");
    stage_wake(s, AT(WED, 21, 30), OUTCOME_DELIVERED);
    WANT_NONE(s, OWNER); /* it was of all of them */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tank_that_moves_names_all_in_it),
        cmocka_unit_test(the_owner_hears_that_air_is_back),
        cmocka_unit_test(anybody_of_the_hatchery_is_heard),
        cmocka_unit_test(an_hour_in_the_answer_is_not_told_again),
        cmocka_unit_test(one_reading_is_one_text),
        cmocka_unit_test(several_spawns_are_one_text),
        cmocka_unit_test(white_eggs_need_their_hours),
        cmocka_unit_test(no_more_fry_than_room_are_promised),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
