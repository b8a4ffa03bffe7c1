/* Who is answered and what is handed out: strangers, echoes, machines, too many texts, phones that
 * have stopped, texts that are late or of no use any more, one at a time for each phone. */
#include "desk_bench.h"

/* -- who is answered -----------------------------------------------------------------------------
 */

static void a_stranger_is_answered_once_a_day(void **state) {
    struct bench *b = *state;
    struct desk_item item = bench_in(b, "+447700900500", "hello", AT(MON, 9, 0));
    assert_int_equal(item.fate, STORE_STRANGE);
    OK(bench_round(b, AT(MON, 9, 0), true));
    assert_string_equal(bench_got(b, "+447700900500"),
                        "This number serves hatcheries that have joined. Please ask the hatchery's "
                        "owner to add your phone");
    bench_in(b, "+447700900500", "hello?", AT(MON, 9, 5));
    OK(bench_round(b, AT(MON, 9, 5), true));
    assert_int_equal(b->body_count, 0);
    bench_in(b, "+447700900500", "hello", AT(TUE, 9, 0));
    OK(bench_round(b, AT(TUE, 9, 0), true));
    assert_int_equal(b->body_count, 1);
    bench_in(b, "+12025550123", "hello", AT(TUE, 9, 0)); /* a country that is not served */
    bench_in(b, "BANK", "your code is 123", AT(TUE, 9, 0));
    OK(bench_round(b, AT(TUE, 9, 0), true));
    assert_int_equal(b->body_count, 0);
    ROWS(b, 5, "arrival"); /* but stored */
    ROWS(b, 0, "ledger");
}

static void national_numbers_are_the_same_phone(void **state) {
    struct bench *b = *state;
    struct desk_item item = bench_in(b, "07700 900001", "temp 24", AT(MON, 9, 0));
    assert_int_equal(item.fate, STORE_READ);
    ROWS(b, 1, "arrival WHERE sender = '+447700900001'");
}

static void echoes_and_machines_are_never_answered(void **state) {
    struct bench *b = *state;
    bench_text(b, OWNER, "wait", AT(MON, 9, 0));
    char ours[700];
    (void)snprintf(ours, sizeof ours, "%s", bench_got(b, OWNER));
    assert_string_not_equal(ours, "");
    struct desk_item item = bench_in(b, OWNER, ours, AT(MON, 9, 1)); /* sent back to us */
    assert_int_equal(item.fate, STORE_IGNORED);
    struct desk_item machine = bench_item(b, OWNER, "temp 24", AT(MON, 9, 2));
    machine.no_reply = true;
    struct desk_item self = bench_item(b, "+447700900999", "temp 24", AT(MON, 9, 2));
    struct desk_item both[] = {machine, self};
    struct desk_round round = {.items = both, .item_count = 2};
    OK(desk_round(b->desk, &round, AT(MON, 9, 2)));
    assert_int_equal(both[0].fate, STORE_IGNORED);
    assert_int_equal(both[1].fate, STORE_IGNORED);
    OK(bench_round(b, AT(MON, 9, 2), true));
    assert_int_equal(b->body_count, 0);
    ROWS(b, 0, "ledger");
    ROWS(b, 4, "arrival");
    struct desk_item late = bench_in(b, OWNER, ours, AT(THU, 9, 1)); /* after 48 hours: a text */
    assert_int_equal(late.fate, STORE_READ);
}

static void twenty_an_hour_and_no_more(void **state) {
    struct bench *b = *state;
    int read = 0;
    for (int i = 0; i < 25; i++) {
        struct desk_item item = bench_in(b, OWNER, "today", AT(MON, 9, i));
        read += item.fate == STORE_READ;
        assert_int_equal(item.fate, i < 20 ? STORE_READ : STORE_LIMITED);
    }
    assert_int_equal(read, 20);
    struct desk_item other = bench_in(b, WORKER, "today", AT(MON, 9, 25));
    assert_int_equal(other.fate, STORE_READ); /* of one phone only */
    struct desk_item later = bench_in(b, OWNER, "today", AT(MON, 10, 30));
    assert_int_equal(later.fate, STORE_READ);
    ROWS(b, 27, "arrival");
    assert_int_equal(bench_number(b, "SELECT value FROM counter WHERE name = 'limited'"), 5);
}

/* What came over the limit would be lost without a word: the phone is told once from when on it is
 * heard again, and then it is heard. STOP and START are heard always. */
static void who_texts_too_much_is_told(void **state) {
    struct bench *b = *state;
    for (int i = 0; i < 20; i++) /* all at nine, then one a minute till 9:19 */
        (void)bench_in(b, WORKER, "today", AT(MON, 9, i < 10 ? 0 : i));
    assert_int_equal(bench_in(b, WORKER, "inject f3 1.2kg t24", AT(MON, 9, 21)).fate,
                     STORE_LIMITED);
    char sql[400];
    (void)snprintf(
        sql, sizeof sql, "SELECT count(*) FROM dispatch WHERE phone = '%s' AND body = '%s'", WORKER,
        "Too many texts in an hour: this one is not recorded, nor any before 10:05. Text "
        "them again then. STOP is always heard");
    assert_int_equal(bench_number(b, sql), 1);
    ROWS(b, 0, "ledger");
    assert_int_equal(bench_in(b, WORKER, "strip f3 150g", AT(MON, 10, 4)).fate, STORE_LIMITED);
    ROWS(b, 1, "dispatch WHERE body LIKE 'Too many%'");
    assert_int_equal(bench_in(b, WORKER, "stop", AT(MON, 10, 4)).fate, STORE_READ);
    ROWS(b, 1, "person WHERE phone = '" WORKER "' AND stopped = 1");
    assert_int_equal(bench_in(b, WORKER, "start", AT(MON, 10, 4)).fate, STORE_READ);
    ROWS(b, 0, "person WHERE stopped = 1");
    assert_int_equal(bench_in(b, WORKER, "inject f3 1.2kg t24", AT(MON, 10, 5)).fate, STORE_READ);
}

static void a_message_that_was_set_aside_gets_an_apology(void **state) {
    struct bench *b = *state;
    struct desk_item item = bench_item(b, OWNER, "temp 24", AT(MON, 9, 0));
    item.set_aside = true;
    struct desk_round round = {.items = &item, .item_count = 1};
    OK(desk_round(b->desk, &round, AT(MON, 9, 0)));
    assert_int_equal(item.fate, STORE_ASIDE);
    OK(bench_round(b, AT(MON, 9, 0), true));
    assert_string_equal(bench_got(b, OWNER), "Sorry, that text could not be handled. Nothing "
                                             "recorded. Please text it again in other words");
    ROWS(b, 0, "ledger");
}

/* -- what is handed out --------------------------------------------------------------------------
 */

static void one_text_at_a_time_for_a_phone(void **state) {
    struct bench *b = *state;
    bench_in(b, OWNER, "today", AT(MON, 9, 0));
    bench_in(b, OWNER, "help", AT(MON, 9, 0));
    bench_in(b, WORKER, "today", AT(MON, 9, 0));
    OK(bench_round(b, AT(MON, 9, 0), false)); /* handed out; what became of it is not known yet */
    assert_int_equal(b->body_count, 2);
    assert_string_not_equal(bench_got(b, OWNER), "");
    assert_string_not_equal(bench_got(b, WORKER), "");
    int64_t first = b->round.sends[0].dispatch;
    OK(bench_round(b, AT(MON, 9, 1), false));
    assert_int_equal(b->body_count, 0);
    OK(bench_round(b, AT(MON, 9, 2), false)); /* the lease ran out: the same one again */
    assert_int_equal(b->body_count, 2);
    assert_true(b->round.sends[0].dispatch == first || b->round.sends[1].dispatch == first);
}

static void the_alarm_goes_before_the_answer(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    struct desk_item item = bench_in(b, OWNER, "today", AT(TUE, 6, 30)); /* its alarm is due, too */
    OK(item.e);
    OK(bench_round(b, AT(TUE, 6, 30), true));
    assert_true(slice_starts(slice_of(bench_got(b, OWNER)), SLICE("F3: look now.")));
    OK(bench_round(b, AT(TUE, 6, 30), true));
    assert_string_equal(bench_got(b, OWNER), "F3 look 06:30");
}

static void a_late_text_begins_with_its_hour(void **state) {
    struct bench *b = *state;
    bench_in(b, OWNER, "today", AT(MON, 9, 0));
    OK(bench_round(b, AT(MON, 9, 15), false)); /* a quarter of an hour is not late */
    assert_true(slice_starts(slice_of(bench_got(b, OWNER)), SLICE("Nothing is due.")));
    OK(bench_round(b, AT(MON, 9, 18), true));
    assert_string_equal(bench_got(b, OWNER), "Late, meant for 09:00: Nothing is due. When a female "
                                             "is injected text INJECT, tag, weight, "
                                             "hour, water");
}

static void a_late_prefix_is_in_the_phone_s_language(void **state) {
    struct bench *b = *state;
    b->options.language = SLICE("sw"); /* the worker's own is not known */
    desk_reload(b->desk, &b->options);
    bench_in(b, WORKER, "temp p2 24", AT(MON, 9, 0));
    bench_sql(b, "UPDATE person SET language = '' WHERE phone = '" WORKER "'");
    OK(bench_round(b, AT(MON, 9, 30), true));
    struct buf wanted = buf_make(200);
    OK(turn_late(b->grammar.words, b->grammar.sw, &zone_utc, AT(MON, 9, 0), AT(MON, 9, 30),
                 SLICE(""), &wanted));
    assert_true(slice_starts(slice_of(bench_got(b, WORKER)), buf_slice(&wanted)));
    buf_free(&wanted);
}

static void what_is_of_no_use_any_more_is_not_sent(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    OK(desk_round(b->desk, &(struct desk_round){0}, AT(TUE, 5, 45))); /* get ready, due now */
    OK(bench_round(b, AT(TUE, 6, 31), true)); /* the sender was down: the look is due by now */
    for (int i = 0; i < 3; i++) {
        assert_null(strstr(bench_got(b, OWNER), "Ready:"));
        OK(bench_round(b, AT(TUE, 6, 31), true));
    }
    ROWS(b, 1, "dispatch WHERE state = 4 AND task_kind = 2"); /* expired, and told so */
    ROWS(b, 1, "told WHERE task_kind = 2 AND outcome = 3");
    ROWS(b, 1, "dispatch WHERE state = 1 AND task_kind = 3"); /* the look went */
}

/* A text unsent when its phone says stop never leaves; an alarm passes to the owner. */
static void a_stopped_phone_gets_no_text_that_waited(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_text(b, WORKER, "temp f3 24", AT(MON, 22, 5)); /* the hand from now on */
    bench_flush(b, AT(MON, 22, 5));
    OK(desk_round(b->desk, &(struct desk_round){0}, AT(TUE, 6, 30))); /* the alarm waits */
    ROWS(b, 2, "dispatch WHERE state = 0 AND phone = '" WORKER "'");
    bench_in(b, WORKER, "stop", AT(TUE, 6, 30));
    for (int i = 0; i < 6; i++) {
        OK(bench_round(b, AT(TUE, 6, 30), true));
        assert_false(slice_starts(slice_of(bench_got(b, WORKER)), SLICE("F3")));
    }
    ROWS(b, 2, "dispatch WHERE state = 3 AND phone = '" WORKER "' AND reason = 'stopped'");
    ROWS(b, 1,
         "dispatch WHERE state = 1 AND phone = '" WORKER "' AND task_kind = 0 AND "
         "body LIKE 'You get no more texts%'");
    /* the owner has the call for the look, and that the phone has stopped */
    ROWS(b, 1, "dispatch WHERE state = 1 AND phone = '" OWNER "' AND task_kind = 3 AND stage = 3");
    ROWS(b, 1,
         "dispatch WHERE state = 1 AND phone = '" OWNER "' AND body LIKE '%has stopped all%'");
}

static void an_alarm_that_cannot_be_sent_passes_to_the_owner(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_text(b, WORKER, "temp f3 24", AT(MON, 22, 5));
    bench_flush(b, AT(TUE, 5, 45));
    bench_flush(b, AT(TUE, 6, 0)); /* the list of the owner's morning */
    OK(bench_round(b, AT(TUE, 6, 30), false));
    assert_true(slice_starts(slice_of(bench_got(b, WORKER)), SLICE("F3: look now.")));
    struct desk_item never = {.kind = DESK_ATTEMPT,
                              .farm = CREEK,
                              .attempt = {.dispatch = b->round.sends[0].dispatch,
                                          .sent = STORE_NEVER,
                                          .at_s = AT(TUE, 6, 30),
                                          .provider_id = SLICE(""),
                                          .reason = SLICE("no such number")}};
    struct desk_round round = {.items = &never, .item_count = 1};
    OK(desk_round(b->desk, &round, AT(TUE, 6, 31)));
    OK(never.e);
    OK(bench_round(b, AT(TUE, 6, 31), true));
    assert_true(slice_starts(slice_of(bench_got(b, OWNER)), SLICE("F3 was due 06:30.")));
}

/* -- questions -----------------------------------------------------------------------------------
 */

static void a_reminder_does_not_take_a_question_s_place(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_text(b, OWNER, "temp f3 22", AT(MON, 21, 58)); /* moves her by three hours: asked */
    bench_flush(b, AT(MON, 22, 0));                      /* the evening's question comes */
    bench_text(b, OWNER, "yes", AT(MON, 22, 4));
    assert_string_equal(
        bench_got(b, OWNER),
        "F3 tank 22C at 22:00. First look Tue 09:30, then each 30 min. Wrong? UNDO");
    ROWS(b, 0, "question");
}

static void an_answer_goes_out_by_the_link_it_came_by(void **state) {
    struct bench *b = *state;
    struct desk_item item = bench_item(b, OWNER, "today", AT(MON, 9, 0));
    item.link = SLICE("south");
    struct desk_round round = {.items = &item, .item_count = 1, .send_room = DESK_SEND_MAX};
    OK(desk_round(b->desk, &round, AT(MON, 9, 0)));
    assert_int_equal(round.send_count, 1);
    assert_true(slice_eq(round.sends[0].link, SLICE("south")));
}

/* At 22:00 the evening's question for her tank is due, and a text of the same phone is in the same
 * round: what he asked is answered first, then he is reminded. */
static void the_answer_goes_before_the_reminder(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    struct desk_item item = bench_item(b, OWNER, "help", AT(MON, 22, 0));
    struct desk_round round = {.items = &item, .item_count = 1};
    OK(desk_round(b->desk, &round, AT(MON, 22, 0)));
    OK(item.e);
    OK(bench_round(b, AT(MON, 22, 0), true));
    assert_non_null(strstr(bench_got(b, OWNER), "INJECT"));
    assert_null(strstr(bench_got(b, OWNER), "HER tank"));
    OK(bench_round(b, AT(MON, 22, 0), true));
    assert_non_null(strstr(bench_got(b, OWNER), "HER tank"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, bench_open, bench_close)
        TEST(a_stranger_is_answered_once_a_day),
        TEST(national_numbers_are_the_same_phone),
        TEST(echoes_and_machines_are_never_answered),
        TEST(twenty_an_hour_and_no_more),
        TEST(who_texts_too_much_is_told),
        TEST(a_message_that_was_set_aside_gets_an_apology),
        TEST(one_text_at_a_time_for_a_phone),
        TEST(the_alarm_goes_before_the_answer),
        TEST(the_answer_goes_before_the_reminder),
        TEST(a_late_text_begins_with_its_hour),
        TEST(a_late_prefix_is_in_the_phone_s_language),
        TEST(what_is_of_no_use_any_more_is_not_sent),
        TEST(a_stopped_phone_gets_no_text_that_waited),
        TEST(an_alarm_that_cannot_be_sent_passes_to_the_owner),
        TEST(a_reminder_does_not_take_a_question_s_place),
        TEST(an_answer_goes_out_by_the_link_it_came_by),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
