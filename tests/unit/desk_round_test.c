/* Rounds: what one message, one farm or one full disk may do to the others: nothing. Errors here
 * are made on purpose: rows spoilt by a second connection, the store's own switch for a full disk,
 * states changed in memory. */
#include "desk_bench.h"

static void a_message_and_its_duplicate(void **state) {
    struct bench *b = *state;
    struct desk_item item = bench_item(b, OWNER, "inject f3 1.2kg 18:30 t24", AT(MON, 18, 32));
    struct desk_item twin = item, third = item;
    struct desk_item both[] = {item, twin}; /* even in one round */
    struct desk_round round = {.items = both, .item_count = 2};
    OK(desk_round(b->desk, &round, AT(MON, 18, 32)));
    OK(both[0].e);
    OK(both[1].e);
    assert_false(both[0].known);
    assert_true(both[1].known);
    assert_int_equal(both[0].fate, STORE_READ);
    ROWS(b, 1, "arrival");
    ROWS(b, 2, "ledger WHERE farm = 1");
    ROWS(b, 1, "dispatch");
    struct desk_round later = {.items = &third, .item_count = 1};
    OK(desk_round(b->desk, &later, AT(MON, 19, 32)));
    assert_true(third.known);
    ROWS(b, 1, "arrival");
    ROWS(b, 2, "ledger WHERE farm = 1");
    ROWS(b, 1, "dispatch");
    OK(bench_round(b, AT(MON, 19, 32), true));
    assert_int_equal(b->body_count, 1); /* answered once */
}

static void a_signature_id_is_good_for_one_message(void **state) {
    struct bench *b = *state;
    struct desk_item item = bench_item(b, OWNER, "temp 24", AT(MON, 18, 0));
    item.signature_id = SLICE("msg_1");
    item.signature_until_s = AT(MON, 18, 10);
    struct desk_item again = item, stolen = bench_item(b, OWNER, "temp 29", AT(MON, 18, 1));
    stolen.signature_id = SLICE("msg_1");
    stolen.signature_until_s = AT(MON, 18, 10);
    struct desk_item all[] = {item, again, stolen};
    struct desk_round round = {.items = all, .item_count = 3};
    OK(desk_round(b->desk, &round, AT(MON, 18, 1)));
    OK(all[0].e);
    OK(all[1].e); /* the same message once more: stands */
    WANT(ERR_STALE, all[2].e);
    ROWS(b, 1, "arrival");
    ROWS(b, 1, "ledger");
}

/* -- farms are apart -----------------------------------------------------------------------------
 */

static void farms_with_the_same_tags_are_apart(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_text(b, OTHER_OWNER, "temp f3 24", AT(MON, 18, 40));
    assert_string_equal(
        bench_got(b, OTHER_OWNER),
        "No F3 here: no female yet. Text INJECT F3, weight, hour, water. Nothing recorded");
    bench_text(b, OTHER_OWNER, "inject f3 0.9kg 18:00 t28", AT(MON, 18, 41));
    assert_true(slice_starts(slice_of(bench_got(b, OTHER_OWNER)),
                             SLICE("New: F3 900g injected 18:00 at 28C. First look Tue 02:00")));
    bench_text(b, OTHER_OWNER, "undo", AT(MON, 18, 42));
    bench_text(b, OTHER_OWNER, "undo", AT(MON, 18, 43));
    assert_string_equal(bench_got(b, OTHER_OWNER), "Nothing from this phone is left to take back");
    bench_text(b, WORKER, "today", AT(MON, 18, 44));
    assert_string_equal(bench_got(b, WORKER), "F3 look Tue 06:30");
    ROWS(b, 2, "ledger WHERE farm = 1");
    ROWS(b, 3, "ledger WHERE farm = 2");
}

static void a_broken_ledger_does_not_hold_up_others(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_night(b, OTHER_OWNER);
    bench_spoil(b, "UPDATE ledger SET data = 'rubbish' WHERE farm = 1 AND seq = 1");
    struct desk_item items[] = {bench_item(b, OWNER, "temp f3 24", AT(MON, 19, 0)),
                                bench_item(b, OTHER_OWNER, "temp f3 24", AT(MON, 19, 0)),
                                bench_item(b, WORKER, "today", AT(MON, 19, 0))};
    struct desk_round round = {.items = items, .item_count = 3};
    OK(desk_round(b->desk, &round, AT(MON, 19, 0)));
    for (int i = 0; i < 3; i++)
        OK(items[i].e);
    assert_int_equal(items[0].fate, STORE_ASIDE);
    assert_int_equal(items[1].fate, STORE_READ);
    assert_int_equal(items[2].fate, STORE_ASIDE);
    ROWS(b, 2, "arrival WHERE fate = 2"); /* stored, not read */
    ROWS(b, 3, "ledger WHERE farm = 2");
    OK(bench_round(b, AT(MON, 19, 0), true));
    assert_string_equal(bench_got(b, OWNER), "Sorry, that text could not be handled. Nothing "
                                             "recorded. Please text it again in other words");
    assert_string_equal(
        bench_got(b, OTHER_OWNER),
        "F3 tank 24C at 19:00. First look Tue 06:30, then each 30 min. Wrong? UNDO");
}

static void a_broken_farm_that_is_due_does_not_hold_up_others(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_night(b, OTHER_OWNER);
    bench_spoil(b, "UPDATE ledger SET data = 'rubbish' WHERE farm = 1 AND seq = 1");
    OK(bench_round(b, AT(TUE, 6, 30), true));
    bench_flush(b, AT(TUE, 6, 30));
    ROWS(b, 1, "told WHERE farm = 2 AND task_kind = 3 AND stage = 1"); /* the look was told */
    ROWS(b, 0, "told WHERE farm = 1 AND task_kind = 3 AND stage = 1");
    /* the broken one is tried again in ten minutes, not at once and not never */
    assert_int_equal(bench_number(b, "SELECT min(due_s) FROM diary WHERE farm = 1"),
                     AT(TUE, 6, 40));
    assert_true(desk_next(b->desk) > AT(TUE, 6, 30));
    bench_spoil(b, "UPDATE ledger SET data = 'female=1 tag=3 weight_mg=1200000' WHERE farm = 1 AND "
                   "seq = 1");
    OK(bench_round(b, AT(TUE, 6, 40), true));
    assert_string_not_equal(bench_got(b, OWNER), "");
}

/* Its texts that wait, too: late ones need its zone, expired ones its plan. */
static void texts_of_a_broken_farm_do_not_hold_up_others(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_night(b, OTHER_OWNER);
    OK(desk_round(b->desk, &(struct desk_round){0}, AT(MON, 22, 0))); /* both asked for the water */
    bench_in(b, OWNER, "today", AT(MON, 22, 1));
    bench_in(b, OTHER_OWNER, "today", AT(MON, 22, 1));
    bench_spoil(b, "UPDATE ledger SET data = 'rubbish' WHERE farm = 1 AND seq = 1");
    OK(bench_round(b, AT(MON, 22, 30), true));
    assert_string_equal(bench_got(b, OWNER), "Late, meant for 22:00: F3 look Tue 06:30");
    assert_string_equal(bench_got(b, OTHER_OWNER), "Late, meant for 22:00: F3 look Tue 06:30");
    OK(bench_round(b, AT(TUE, 0, 0), true)); /* past the question's last useful hour */
    ROWS(b, 2, "dispatch WHERE state = 4");
}

/* -- heads and digests ---------------------------------------------------------------------------
 */

static void a_farm_s_head_that_moved_is_read_again(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    /* somebody else appends a reading of 25 degC meanwhile */
    bench_sql(b,
              "INSERT INTO ledger SELECT farm, 3, at_s + 60, said_s + 60, arrival, person, kind, "
              "version, 0, 0, 'water_mdegc=25000 begins=0' FROM ledger WHERE farm = 1 AND "
              "seq = 2");
    bench_sql(b, "UPDATE farm SET head = 3 WHERE id = 1");
    struct desk_item item = bench_in(b, OWNER, "temp f3 25", AT(MON, 19, 30));
    OK(item.e);
    assert_int_equal(item.fate, STORE_READ);
    ROWS(b, 4, "ledger WHERE farm = 1");
    assert_int_equal(bench_number(b, "SELECT head FROM farm WHERE id = 1"), 4);
    b->options.check_every = 1; /* and what is in memory is what the ledger says, his entry too */
    desk_reload(b->desk, &b->options);
    bench_text(b, OWNER, "today", AT(MON, 19, 31));
    assert_int_equal(desk_count(b->desk).digest_differences, 0);
}

static void a_spoilt_state_is_found_and_the_ledger_wins(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    b->options.check_every = 1;
    desk_reload(b->desk, &b->options);
    bench_text(b, OWNER, "today", AT(MON, 18, 40));
    assert_int_equal(desk_count(b->desk).digest_differences, 0);
    assert_true(desk_count(b->desk).full_folds > 0);
    struct cached_farm *farm = NULL;
    for (int i = 0; i < CACHE_FARMS; i++)
        if (b->desk->cache[i].id == CREEK)
            farm = &b->desk->cache[i];
    assert_non_null(farm);
    farm->farm.state.spawns[0].injected_s -= 3600; /* a bug would do that */
    bench_text(b, OWNER, "today", AT(MON, 18, 41));
    assert_string_equal(bench_got(b, OWNER), "F3 look Tue 05:30"); /* too late for this one */
    assert_int_equal(desk_count(b->desk).digest_differences, 1);
    bench_text(b, OWNER, "today", AT(MON, 18, 42));
    assert_string_equal(bench_got(b, OWNER), "F3 look Tue 06:30");
    assert_int_equal(desk_count(b->desk).digest_differences, 1);
}

static void a_restart_changes_nothing(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_in(b, WORKER, "strip", AT(TUE, 7, 0)); /* a question stays open over it */
    bench_flush(b, AT(TUE, 7, 0));
    bench_restart(b);
    assert_int_equal(desk_count(b->desk).farms_in_memory, 0);
    bench_text(b, WORKER, "100", AT(TUE, 7, 1));
    assert_string_equal(bench_got(b, WORKER),
                        "F3 100g as taken 07:00: 60000 eggs, 45x45cm, frames out by Thu 06:50. "
                        "Earlier? Answer the hour. Wrong? UNDO");
}

/* -- a full disk ---------------------------------------------------------------------------------
 */

static void full(struct bench *b, bool yes) {
    if (!yes) {
        assert_int_equal(unlink(b->flag), 0);
        return;
    }
    FILE *f = fopen(b->flag, "w");
    assert_non_null(f);
    (void)fclose(f);
}

static void a_full_disk_refuses_and_is_fine_again(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    full(b, true);
    struct desk_item item = bench_item(b, OWNER, "temp f3 25", AT(MON, 19, 0));
    struct desk_item again = item;
    struct desk_round round = {.items = &item, .item_count = 1};
    /* the round itself may stand: then nothing was left in it but what had been accepted before */
    enum err e = desk_round(b->desk, &round, AT(MON, 19, 0));
    assert_true(e == ERR_OK || e == ERR_FULL);
    WANT(ERR_FULL, item.e);
    assert_true(err_info(item.e)->http_status == 503 && err_info(item.e)->again);
    assert_int_equal(round.send_count, 0);
    ROWS(b, 1, "arrival");
    full(b, false);
    struct desk_round second = {.items = &again, .item_count = 1};
    OK(desk_round(b->desk, &second, AT(MON, 19, 1))); /* the provider comes again with it */
    OK(again.e);
    assert_false(again.known);
    ROWS(b, 3, "ledger WHERE farm = 1");
    OK(bench_round(b, AT(MON, 19, 1), true));
    assert_true(slice_starts(slice_of(bench_got(b, OWNER)), SLICE("F3 tank 25C at 19:00.")));
}

/* With the ballast given up, new messages wait while what was accepted is finished. */
static void what_was_accepted_is_finished_in_the_ballast_s_room(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_in(b, OWNER, "today", AT(MON, 19, 0));
    /* as after ERR_FULL: the ballast is gone, and cannot be made while its name is a folder */
    char ballast[120];
    (void)snprintf(ballast, sizeof ballast, "%s-ballast", b->path);
    (void)unlink(ballast);
    assert_int_equal(symlink("/dev/full/none", ballast), 0);
    b->desk->full = true;
    struct desk_item item = bench_item(b, OWNER, "temp f3 25", AT(MON, 19, 1));
    struct desk_round round = {.items = &item, .item_count = 1, .send_room = DESK_SEND_MAX};
    OK(desk_round(b->desk, &round, AT(MON, 19, 1)));
    WANT(ERR_FULL, item.e);
    assert_int_equal(round.send_count, 1); /* the answer of before */
    ROWS(b, 2, "arrival");
    assert_int_equal(unlink(ballast), 0);
    struct desk_item again = bench_in(b, OWNER, "temp f3 25", AT(MON, 19, 2));
    OK(again.e);
    assert_false(b->desk->full);
    ROWS(b, 3, "arrival");
}

/* Parts by hand: an injection (1) and its answer (1), 200 characters (2) and what they are answered
 * (1), WEEK (1); what another farm texts is none of it, nor what was not sent yet. */
static void parts_of_a_week_are_counted(void **state) {
    struct bench *b = *state;
    char text[201];
    memset(text, 'a', 200);
    text[200] = 0;
    bench_night(b, OWNER);
    bench_text(b, OWNER, text, AT(MON, 19, 0));
    bench_text(b, OTHER_OWNER, "today", AT(MON, 19, 1));
    bench_text(b, OWNER, "week", AT(MON, 19, 2));
    assert_string_equal(bench_got(b, OWNER), "24 Feb to 2 Mar\nMessages: 2 parts sent, 4 received");
    /* seven days on it is none of the week's; of the month's it is */
    (void)bench_in(b, WORKER, "today", AT(7, 18, 0)); /* 9 March; its answer still waits */
    bench_text(b, OWNER, "week", AT(7, 18, 1));
    assert_string_equal(bench_got(b, OWNER), "3 Mar to 9 Mar\nMessages: 0 parts sent, 2 received");
}

int main(void) {
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, bench_open, bench_close)
        TEST(a_message_and_its_duplicate),
        TEST(a_signature_id_is_good_for_one_message),
        TEST(farms_with_the_same_tags_are_apart),
        TEST(a_broken_ledger_does_not_hold_up_others),
        TEST(a_broken_farm_that_is_due_does_not_hold_up_others),
        TEST(texts_of_a_broken_farm_do_not_hold_up_others),
        TEST(a_farm_s_head_that_moved_is_read_again),
        TEST(a_spoilt_state_is_found_and_the_ledger_wins),
        TEST(a_restart_changes_nothing),
        TEST(parts_of_a_week_are_counted),
        TEST(a_full_disk_refuses_and_is_fine_again),
        TEST(what_was_accepted_is_finished_in_the_ballast_s_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
