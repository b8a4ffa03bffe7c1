/* Arrivals, the ledger and what was told. */
#include "store_help.h"

static void test_arrival_and_duplicate(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_arrival in = help_arrival(1, "inject f3 1.2kg"), got;
    int64_t id = 0, again = 0, other = 0;
    bool known = true;
    OK(store_begin(h.s));
    in.farm = h.farm;
    in.person = h.worker;
    OK(store_arrival_put(h.s, &in, &id, &known));
    assert_false(known);
    struct store_arrival twice = in;
    twice.body = SLICE("something else");
    OK(store_arrival_put(h.s, &twice, &again, &known));
    assert_true(known);
    assert_int_equal(again, id);
    twice.link = SLICE("south"); /* the same print on another link is another message */
    OK(store_arrival_put(h.s, &twice, &other, &known));
    assert_false(known);
    assert_int_not_equal(other, id);
    OK(store_commit(h.s));
    OK(store_begin(h.s)); /* known over transactions, too */
    OK(store_arrival_put(h.s, &in, &again, &known));
    assert_true(known);
    OK(store_commit(h.s));
    OK(store_arrival_get(h.s, id, &h.a, &got));
    TEXT(got.body, "inject f3 1.2kg");
    TEXT(got.link, "north");
    TEXT(got.sender, "+447700900001");
    TEXT(got.receiver, "+447700900999");
    assert_memory_equal(got.print.bytes, in.print.bytes, STORE_PRINT_BYTES);
    assert_int_equal(got.sent_s, in.sent_s);
    assert_int_equal(got.arrived_s, in.arrived_s);
    assert_int_equal(got.farm, h.farm);
    assert_int_equal(got.person, h.worker);
    assert_int_equal(got.fate, STORE_READ);
    WANT(ERR_NOT_FOUND, store_arrival_get(h.s, 99, &h.a, &got));
    int count = 0;
    OK(store_arrivals_of(h.s, SLICE("+447700900001"), NOW + 1, &count));
    assert_int_equal(count, 2);
    OK(store_arrivals_of(h.s, SLICE("+447700900001"), NOW + 2, &count));
    assert_int_equal(count, 0);
    OK(store_arrivals_of(h.s, SLICE("+447700900002"), 0, &count));
    assert_int_equal(count, 0);
    help_remove(&h);
}

/* Bodies go after their time, oldest first, a bounded number a call; those still to be sent stay.
 */
static void test_purge(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(store_begin(h.s));
    for (int64_t i = 1; i <= 5; i++) {
        struct store_arrival in = help_arrival(i, "temp 24");
        int64_t id;
        bool known;
        OK(store_arrival_put(h.s, &in, &id, &known));
    }
    char references[2][33];
    for (int i = 0; i < 2; i++) {
        struct store_dispatch out = help_dispatch(references[i], 100 + i, "+447700900001");
        OK(store_dispatch_put(h.s, &out, 1));
    }
    OK(store_dispatch_done(
        h.s, &(struct store_attempt){.dispatch = 1, .sent = STORE_DONE, .at_s = NOW}, 1));
    OK(store_commit(h.s));
    int done = 0;
    OK(store_begin(h.s));
    OK(store_purge_bodies(h.s, NOW + 5, 3, &done));
    assert_int_equal(done, 3);
    OK(store_purge_bodies(h.s, NOW + 5, 3, &done)); /* the fourth, and the text that was sent */
    assert_int_equal(done, 2);
    OK(store_purge_bodies(h.s, NOW + 5, 3, &done));
    assert_int_equal(done, 0);
    OK(store_commit(h.s));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM arrival WHERE body IS NOT NULL"), 1);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM dispatch WHERE body IS NOT NULL"), 1);
    struct store_arrival got;
    OK(store_arrival_get(h.s, 1, &h.a, &got));
    TEXT(got.body, "");
    OK(store_arrival_get(h.s, 5, &h.a, &got));
    TEXT(got.body, "temp 24");
    struct store_dispatch *out;
    int count = 0;
    OK(store_begin(h.s));
    OK(store_dispatch_take(h.s, NOW, 1, NOW + 60, 5, &h.a, &out, &count));
    assert_int_equal(count, 1);
    TEXT(out[0].body, "F3: look now.");
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_ledger(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_entry rows[3], *got;
    int count = -1;
    OK(store_ledger_read(h.s, h.farm, 0, &h.a, &got, &count));
    assert_int_equal(count, 0);
    WANT(ERR_NOT_FOUND, store_ledger_read(h.s, 99, 0, &h.a, &got, &count));
    for (int i = 0; i < 3; i++)
        rows[i] = help_entry(i + 1, 0, h.owner);
    rows[1].data = SLICE("");
    rows[2].data = SLICE("name=Ag\xc9\x93\x6f");
    OK(store_begin(h.s));
    OK(store_ledger_append(h.s, h.farm, 0, rows, 2));
    OK(store_ledger_append(h.s, h.farm, 2, rows + 2, 1));
    OK(store_commit(h.s));
    OK(store_ledger_read(h.s, h.farm, 0, &h.a, &got, &count));
    assert_int_equal(count, 3);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(got[i].seq, rows[i].seq);
        assert_int_equal(got[i].at_s, rows[i].at_s);
        assert_int_equal(got[i].said_s, rows[i].said_s);
        assert_int_equal(got[i].arrival, 0);
        assert_int_equal(got[i].person, h.owner);
        assert_int_equal(got[i].kind, 3);
        assert_int_equal(got[i].version, 1);
        assert_int_equal(got[i].subject_kind, 1);
        assert_int_equal(got[i].subject, 7);
        assert_true(slice_eq(got[i].data, rows[i].data));
    }
    OK(store_ledger_read(h.s, h.farm, 2, &h.a, &got, &count));
    assert_int_equal(count, 1);
    assert_int_equal(got[0].seq, 3);
    OK(store_ledger_read(h.s, h.farm, 3, &h.a, &got, &count));
    assert_int_equal(count, 0);
    help_remove(&h);
}

static void test_ledger_conflict(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_entry row = help_entry(1, 0, h.owner);
    OK(store_begin(h.s));
    OK(store_ledger_append(h.s, h.farm, 0, &row, 1));
    WANT(ERR_CONFLICT, store_ledger_append(h.s, h.farm, 0, &row, 1)); /* the head has moved */
    row.seq = 3;
    WANT(ERR_CONFLICT, store_ledger_append(h.s, h.farm, 2, &row, 1)); /* ahead of it */
    row.seq = 1;
    WANT(ERR_CONFLICT, store_ledger_append(h.s, 99, 0, &row, 1)); /* no such farm */
    row.seq = 2;
    OK(store_ledger_append(h.s, h.farm, 1, &row, 1)); /* done again with the right head */
    OK(store_commit(h.s));
    struct store_farm f;
    OK(store_farm_get(h.s, h.farm, &h.a, &f));
    assert_int_equal(f.head, 2);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM ledger"), 2);
    help_remove(&h);
}

static void test_ledger_refuses_what_cannot_be(void **state) {
    (void)state;
    static char data[STORE_DATA_MAX + 1];
    memset(data, 'x', sizeof data);
    struct help h;
    help_start(&h);
    for (int i = 0; i < 8; i++) {
        struct store_entry row = help_entry(1, 0, h.owner);
        switch (i) {
        case 0:
            row.seq = 2;
            break;
        case 1:
            row.at_s = 0;
            break;
        case 2:
            row.said_s = NOW * 1000; /* milliseconds */
            break;
        case 3:
            row.kind = -1;
            break;
        case 4:
            row.data = SLICE("\xff");
            break;
        case 5:
            row.arrival = -1;
            break;
        case 6:
            row.subject = -5;
            break;
        case 7:
            row.data = (struct slice){data, sizeof data};
            break;
        }
        OK(store_begin(h.s));
        enum err e = store_ledger_append(h.s, h.farm, 0, &row, 1);
        enum err want = i == 7 ? ERR_TOO_LONG : ERR_BUG;
        if (e != want)
            fail_msg("row %d: got %s, wanted %s", i, err_info(e)->name, err_info(want)->name);
        store_rollback(h.s);
    }
    struct store_entry most = help_entry(1, 0, h.owner);
    most.data = (struct slice){data, STORE_DATA_MAX};
    OK(store_begin(h.s));
    OK(store_ledger_append(h.s, h.farm, 0, &most, 1));
    OK(store_commit(h.s));
    help_remove(&h);
}

/* What somebody else's hand or a bad disk may leave is found on reading. */
static void test_ledger_damage_is_found(void **state) {
    (void)state;
    static const char *const damage[] = {
        "DELETE FROM ledger WHERE seq = 2",
        "DELETE FROM ledger WHERE seq = 4",
        "UPDATE farm SET head = 3",
        "UPDATE ledger SET at_s = 0 WHERE seq = 3",
        "UPDATE ledger SET said_s = 9999999999999 WHERE seq = 3",
        "UPDATE ledger SET kind = -4 WHERE seq = 1",
        "UPDATE ledger SET data = CAST(x'ff41' AS TEXT) WHERE seq = 1",
        "UPDATE ledger SET data = printf('%3000d', 1) WHERE seq = 1",
    };
    for (size_t i = 0; i < sizeof damage / sizeof damage[0]; i++) {
        struct help h;
        help_start(&h);
        OK(help_turn(&h, 1));
        OK(help_turn(&h, 2));
        struct store_entry *got;
        int count;
        OK(store_ledger_read(h.s, h.farm, 0, &h.a, &got, &count));
        assert_int_equal(count, 4);
        OK(store_db_exec(h.s->db, damage[i]));
        enum err e = store_ledger_read(h.s, h.farm, 0, &h.a, &got, &count);
        if (e != ERR_CORRUPT)
            fail_msg("after \"%s\": got %s, wanted corrupt", damage[i], err_info(e)->name);
        help_remove(&h);
    }
}

static enum store_outcome outcome_of(struct help *h) {
    struct store_told *rows;
    int count = 0;
    OK(store_told_read(h->s, h->farm, &h->a, &rows, &count));
    assert_int_equal(count, 1);
    return rows[0].outcome;
}

/* Every pair: the higher in the order waiting, sent, failed, delivered, answered stays. */
static void test_told_outcome_only_rises(void **state) {
    (void)state;
    static const enum store_outcome order[] = {STORE_WAITING, STORE_SENT, STORE_FAILED,
                                               STORE_DELIVERED, STORE_ANSWERED};
    for (int a = 0; a < 5; a++)
        for (int b = 0; b < 5; b++) {
            struct help h;
            help_start(&h);
            struct store_told row = {.task_kind = 1,
                                     .subject = 2,
                                     .nth = 3,
                                     .stage = 4,
                                     .person = h.owner,
                                     .hour_s = NOW,
                                     .told_s = NOW,
                                     .outcome = order[a]};
            OK(store_begin(h.s));
            OK(store_told_put(h.s, h.farm, &row, 1));
            row.outcome = order[b];
            OK(store_told_put(h.s, h.farm, &row, 1));
            enum store_outcome got = outcome_of(&h), want = order[a > b ? a : b];
            if (got != want)
                fail_msg("outcome %d, then %d: got %d, wanted %d", order[a], order[b], got, want);
            row.hour_s = NOW + 600; /* another hour is another telling */
            OK(store_told_put(h.s, h.farm, &row, 1));
            assert_int_equal(outcome_of(&h), order[b]);
            OK(store_commit(h.s));
            help_remove(&h);
        }
}

static void test_told_rows(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_told rows[3] = {
        {.task_kind = 2, .subject = 1, .person = h.worker, .hour_s = NOW + 60, .told_s = NOW},
        {.task_kind = 1, .subject = 9, .nth = 1, .stage = 2, .person = 0, .told_s = NOW + 25},
        {.task_kind = 2, .subject = 1, .person = h.owner, .hour_s = NOW + 60, .told_s = NOW + 20},
    };
    struct store_told *got;
    int count = 0;
    OK(store_begin(h.s));
    OK(store_told_put(h.s, h.farm, rows, 3));
    rows[0].hour_s = NOW + 660; /* the same task at another hour is the same row */
    rows[0].told_s = NOW + 30;
    OK(store_told_put(h.s, h.farm, rows, 1));
    OK(store_told_read(h.s, h.farm, &h.a, &got, &count));
    assert_int_equal(count, 3); /* in the order in which they were told, not of their keys */
    assert_int_equal(got[0].person, h.owner);
    assert_int_equal(got[1].task_kind, 1);
    assert_int_equal(got[1].nth, 1);
    assert_int_equal(got[1].stage, 2);
    assert_int_equal(got[2].person, h.worker);
    assert_int_equal(got[2].hour_s, NOW + 660);
    assert_int_equal(got[2].told_s, NOW + 30);
    OK(store_told_drop(h.s, h.farm, NOW + 25)); /* strictly before */
    OK(store_told_read(h.s, h.farm, &h.a, &got, &count));
    assert_int_equal(count, 2);
    OK(store_told_read(h.s, 99, &h.a, &got, &count));
    assert_int_equal(count, 0);
    OK(store_commit(h.s));
    help_remove(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_arrival_and_duplicate),
        cmocka_unit_test(test_purge),
        cmocka_unit_test(test_ledger),
        cmocka_unit_test(test_ledger_conflict),
        cmocka_unit_test(test_ledger_refuses_what_cannot_be),
        cmocka_unit_test(test_ledger_damage_is_found),
        cmocka_unit_test(test_told_outcome_only_rises),
        cmocka_unit_test(test_told_rows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
