/* The diary, and the guards: questions, seen ids, strangers, counters. */
#include "store_help.h"

static struct store_wake wake(int64_t farm, int64_t due_s, int64_t nth, int64_t level) {
    return (struct store_wake){.due_s = due_s,
                               .farm = farm,
                               .task_kind = 2,
                               .subject = 1,
                               .nth = nth,
                               .level = level,
                               .useful_s = due_s + 3600};
}

static void test_set_writes_only_differences(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_wake rows[4];
    for (int i = 0; i < 4; i++)
        rows[i] = wake(h.farm, NOW + 100 * (3 - i), i, 1); /* latest first: any order will do */
    OK(store_begin(h.s));
    int before = sqlite3_total_changes(h.s->db);
    OK(store_diary_set(h.s, h.farm, rows, 4));
    assert_int_equal(sqlite3_total_changes(h.s->db) - before, 4);
    before = sqlite3_total_changes(h.s->db);
    OK(store_diary_set(h.s, h.farm, rows, 4)); /* the same */
    assert_int_equal(sqlite3_total_changes(h.s->db) - before, 0);
    rows[1].level = 0;
    OK(store_diary_set(h.s, h.farm, rows, 4)); /* one changed */
    assert_int_equal(sqlite3_total_changes(h.s->db) - before, 1);
    rows[2].due_s += 7;
    OK(store_diary_set(h.s, h.farm, rows, 4)); /* one moved: out and in */
    assert_int_equal(sqlite3_total_changes(h.s->db) - before, 3);
    OK(store_diary_set(h.s, h.farm, rows, 3)); /* one gone */
    assert_int_equal(sqlite3_total_changes(h.s->db) - before, 4);
    rows[3] = rows[0];
    rows[3].useful_s = NOW + 99999;
    OK(store_diary_set(h.s, h.farm, rows, 4)); /* one key twice: the last holds */
    assert_int_equal(help_count(&h, "SELECT count(*) FROM diary"), 3);
    assert_int_equal(help_count(&h, "SELECT useful_s FROM diary WHERE nth = 0"), NOW + 99999);
    OK(store_diary_set(h.s, h.farm, NULL, 0));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM diary"), 0);
    rows[0].farm = h.farm + 1;
    WANT(ERR_BUG, store_diary_set(h.s, h.farm, rows, 1));
    store_rollback(h.s);
    help_remove(&h);
}

/* A law: after set, the diary of the farm is what was given, whatever stood there. */
static void test_set_at_random(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    uint64_t seed = 20261103;
    OK(store_begin(h.s));
    for (int round = 0; round < 300; round++) {
        struct store_wake rows[12];
        int n = 0;
        int64_t sum = 0;
        for (int i = 0; i < 12; i++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            if (seed >> 60 < 6)
                continue;
            rows[n] = wake(h.farm, NOW + (int64_t)(seed >> 33) % 3, i, (int64_t)(seed >> 40) % 4);
            sum += rows[n].due_s * 7 + rows[n].level * 3 + rows[n].nth;
            n++;
        }
        OK(store_diary_set(h.s, h.farm, rows, n));
        int64_t got = help_count(&h, "SELECT coalesce(sum(due_s * 7 + level * 3 + nth), 0)"
                                     " FROM diary");
        if (got != sum || help_count(&h, "SELECT count(*) FROM diary") != n)
            fail_msg("round %d: got the sum %lld, wanted %lld", round, (long long)got,
                     (long long)sum);
    }
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_due(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    int64_t farms[5] = {h.farm}, next = 0, *due;
    int count = -1;
    OK(store_diary_next(h.s, &next));
    assert_true(next == INT64_MAX);
    OK(store_begin(h.s));
    for (int i = 1; i < 5; i++) {
        char name[20];
        (void)snprintf(name, sizeof name, "Farm %d", i);
        struct store_farm f = {.name = slice_of(name), .made_s = NOW};
        OK(store_farm_put(h.s, &f, &farms[i]));
    }
    /* oldest first, but an alarm before all; a farm with several rows comes once */
    struct store_wake rows[2];
    for (int i = 0; i < 5; i++) {
        rows[0] = wake(farms[i], NOW - 10 * i, 1, 2);
        rows[1] = wake(farms[i], NOW - 10 * i + 1, 2, i == 1 ? 0 : 3);
        OK(store_diary_set(h.s, farms[i], rows, 2));
    }
    OK(store_diary_due(h.s, NOW, 64, &h.a, &due, &count));
    const int64_t want[5] = {farms[1], farms[4], farms[3], farms[2], farms[0]};
    assert_int_equal(count, 5);
    for (int i = 0; i < 5; i++)
        if (due[i] != want[i])
            fail_msg("place %d: got farm %lld, wanted %lld", i, (long long)due[i],
                     (long long)want[i]);
    OK(store_diary_due(h.s, NOW, 2, &h.a, &due, &count));
    assert_int_equal(count, 2);
    assert_int_equal(due[1], farms[4]);
    OK(store_diary_due(h.s, NOW - 41, 64, &h.a, &due, &count));
    assert_int_equal(count, 0);
    OK(store_diary_next(h.s, &next));
    assert_int_equal(next, NOW - 40);
    OK(store_commit(h.s));
    OK(store_diary_next(h.s, &next)); /* outside, too */
    assert_int_equal(next, NOW - 40);
    help_remove(&h);
}

/* That the queries of every turn walk an index and sort nothing, by SQLite's own account. */
static void test_queries_use_their_order(void **state) {
    (void)state;
    static const enum sql walks[] = {SQL_DIARY_DUE,     SQL_DIARY_ALARMS,   SQL_DIARY_NEXT,
                                     SQL_DIARY_READ,    SQL_DISPATCH_READY, SQL_DISPATCH_BEST,
                                     SQL_DISPATCH_NEXT, SQL_DISPATCH_ECHO,  SQL_RECEIPT_BY_PROVIDER,
                                     SQL_ARRIVAL_FIND,  SQL_ARRIVALS_OF,    SQL_LEDGER_READ,
                                     SQL_TOLD_READ,     SQL_ARRIVAL_PURGE,  SQL_DISPATCH_PURGE,
                                     SQL_SEEN_FORGET,   SQL_FARMS_OF,       SQL_STRANGER_FORGET};
    struct help h;
    help_start(&h);
    for (size_t i = 0; i < sizeof walks / sizeof walks[0]; i++) {
        struct buf text = buf_make(4000);
        sqlite3_stmt *st = NULL;
        buf_putf(&text, "EXPLAIN QUERY PLAN %s", store_sql_text(walks[i]));
        assert_int_equal(sqlite3_prepare_v2(h.s->db, buf_str(&text), -1, &st, NULL), SQLITE_OK);
        while (sqlite3_step(st) == SQLITE_ROW) {
            const char *line = (const char *)sqlite3_column_text(st, 3);
            bool front = strcmp(line, "SCAN diary") == 0; /* clustered: its front is its order */
            bool sorts = strstr(line, "TEMP B-TREE") && walks[i] != SQL_DIARY_READ;
            if (sorts || (strncmp(line, "SCAN", 4) == 0 && !front))
                fail_msg("%s: %s", store_sql_text(walks[i]), line);
        }
        (void)sqlite3_finalize(st);
        buf_free(&text);
    }
    help_remove(&h);
}

static void test_question_one_a_person(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_question q = {h.worker, h.farm, SLICE("inject f3"), 4, NOW, 6, 0}, got;
    OK(store_begin(h.s));
    WANT(ERR_NOT_FOUND, store_question_get(h.s, h.worker, &h.a, &got));
    OK(store_question_put(h.s, &q));
    q.request = SLICE("strip f3");
    q.asked_s = NOW + 60;
    q.head = 8;
    OK(store_question_put(h.s, &q)); /* replaces */
    q.person = h.owner;
    q.farm = 0; /* before a farm is known */
    OK(store_question_put(h.s, &q));
    OK(store_question_get(h.s, h.worker, &h.a, &got));
    TEXT(got.request, "strip f3");
    assert_int_equal(got.farm, h.farm);
    assert_int_equal(got.asked, 4);
    assert_int_equal(got.asked_s, NOW + 60);
    assert_int_equal(got.head, 8);
    assert_int_equal(got.arrival, 0);
    OK(store_question_drop(h.s, h.worker));
    OK(store_question_drop(h.s, h.worker)); /* nothing to drop is no error */
    WANT(ERR_NOT_FOUND, store_question_get(h.s, h.worker, &h.a, &got));
    OK(store_question_get(h.s, h.owner, &h.a, &got));
    assert_int_equal(got.farm, 0);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_seen(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    bool seen = true;
    OK(store_begin(h.s));
    OK(store_seen(h.s, SLICE("north"), SLICE("msg_1"), NOW, NOW + 300, &seen));
    assert_false(seen);
    OK(store_seen(h.s, SLICE("south"), SLICE("msg_1"), NOW, NOW + 300, &seen));
    assert_false(seen); /* per link */
    OK(store_commit(h.s));
    store_close(h.s); /* a restart opens no replay */
    OK(help_open(&h, 0));
    OK(store_begin(h.s));
    OK(store_seen(h.s, SLICE("north"), SLICE("msg_1"), NOW + 299, NOW + 600, &seen));
    assert_true(seen);
    OK(store_seen(h.s, SLICE("north"), SLICE("msg_1"), NOW + 300, NOW + 600, &seen));
    assert_false(seen); /* forgotten; remembered anew */
    OK(store_seen(h.s, SLICE("north"), SLICE("msg_1"), NOW + 301, NOW + 601, &seen));
    assert_true(seen);
    OK(store_seen(h.s, SLICE("north"), SLICE("a"), NOW + 300, NOW + 600, &seen));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM seen WHERE until_s <= 1775000300"), 0);
    /* old ones go in passing, not all at once */
    for (int i = 0; i < 40; i++) {
        char id[20];
        (void)snprintf(id, sizeof id, "old_%d", i);
        OK(store_seen(h.s, SLICE("north"), slice_of(id), NOW + 400, NOW + 500, &seen));
    }
    int64_t before = help_count(&h, "SELECT count(*) FROM seen");
    OK(store_seen(h.s, SLICE("north"), SLICE("b"), NOW + 550, NOW + 900, &seen));
    int64_t after = help_count(&h, "SELECT count(*) FROM seen");
    assert_int_equal(after, before + 1 - 16);
    for (int i = 0; i < 2; i++) {
        char id[20];
        (void)snprintf(id, sizeof id, "c_%d", i);
        OK(store_seen(h.s, SLICE("north"), slice_of(id), NOW + 550, NOW + 900, &seen));
    }
    assert_int_equal(help_count(&h, "SELECT count(*) FROM seen WHERE until_s <= 1775000550"), 0);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_strangers(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    bool answer = false;
    OK(store_begin(h.s));
    OK(store_stranger(h.s, SLICE("+447700900050"), 20000, NOW, &answer));
    assert_true(answer);
    OK(store_stranger(h.s, SLICE("+447700900050"), 20000, NOW + 9, &answer));
    assert_false(answer);
    OK(store_stranger(h.s, SLICE("+447700900051"), 20000, NOW, &answer));
    assert_true(answer);
    OK(store_stranger(h.s, SLICE("+447700900050"), 20001, NOW, &answer));
    assert_true(answer); /* a new day */
    assert_int_equal(help_count(&h, "SELECT texts * 1000 + last_s - first_s FROM stranger"
                                    " WHERE day = 20000 AND phone = '+447700900050'"),
                     2009);
    OK(store_stranger(h.s, SLICE("+447700900052"), 20032, NOW, &answer));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM stranger WHERE day = 20000"), 0);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM stranger WHERE day = 20001"), 1);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_counters(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(help_turn(&h, 1));
    OK(store_begin(h.s));
    OK(store_count(h.s, "replays", 2));
    OK(store_count(h.s, "replays", 3));
    OK(store_commit(h.s));
    store_close(h.s);
    OK(help_open(&h, 0));
    struct store_counter *got;
    int count = 0;
    OK(store_counters(h.s, &h.a, &got, &count));
    static const struct {
        const char *name;
        int64_t value;
    } want[] = {{"codes", 0},  {"diary", 3},   {"entries", 2}, {"farms", 1},
                {"people", 2}, {"replays", 5}, {"turns", 1},   {"waiting", 1}};
    assert_int_equal(count, 8);
    for (int i = 0; i < 8; i++) {
        TEXT(got[i].name, want[i].name);
        assert_int_equal(got[i].value, want[i].value);
    }
    help_remove(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_set_writes_only_differences),
        cmocka_unit_test(test_set_at_random),
        cmocka_unit_test(test_due),
        cmocka_unit_test(test_queries_use_their_order),
        cmocka_unit_test(test_question_one_a_person),
        cmocka_unit_test(test_seen),
        cmocka_unit_test(test_strangers),
        cmocka_unit_test(test_counters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
