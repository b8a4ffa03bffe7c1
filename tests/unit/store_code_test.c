/* Codes, the key of their hashes, members that end, names that a farm deals with, and a store of
 * the version before. That a code is never taken twice is held here by rows; that it is never
 * guessed, by the tests of the desk. */
#include "store_help.h"

#define PHONE   "+447700900001"
#define OTHER   "+447700900002"
#define INVITED "+447700900123"
enum { MOST = 3, HALF_HOUR_S = 1800 };

static struct store_code help_code(const struct help *h, enum store_code_purpose purpose,
                                   const char *phone, const char *subject, int64_t made_s) {
    struct store_code c = {.farm = h->farm,
                           .asker = h->owner,
                           .phone = slice_of(phone),
                           .purpose = purpose,
                           .role = STORE_WORKER,
                           .subject = slice_of(subject),
                           .made_s = made_s,
                           .until_s = made_s + HALF_HOUR_S};
    for (int i = 0; i < STORE_HASH_BYTES; i++)
        c.hash[i] = (unsigned char)(made_s + 7 * i);
    return c;
}

static int live(struct help *h, const char *phone, int64_t now_s) {
    struct store_code *rows;
    int count = -1;
    OK(store_codes_live(h->s, slice_of(phone), now_s, 100, &h->a, &rows, &count));
    return count;
}

static int64_t ended(struct help *h, int64_t id) {
    char sql[100];
    (void)snprintf(sql, sizeof sql, "SELECT ended FROM code WHERE id = %lld", (long long)id);
    return help_count(h, sql);
}

static void test_a_code_is_read_back(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW), *rows;
    int64_t id = 0, second = 0;
    int count = 0;
    c.hash[3] = 0; /* bytes, not text */
    OK(store_begin(h.s));
    OK(store_code_put(h.s, &c, &id));
    struct store_code d = help_code(&h, STORE_CODE_REMOVE, PHONE, OTHER, NOW + 1);
    OK(store_code_put(h.s, &d, &second));
    OK(store_commit(h.s));
    OK(store_codes_live(h.s, SLICE(PHONE), NOW + 2, 8, &h.a, &rows, &count));
    assert_int_equal(count, 2);
    assert_int_equal(rows[0].id, second); /* the newest first */
    assert_int_equal(rows[1].id, id);
    assert_int_equal(rows[1].farm, h.farm);
    assert_int_equal(rows[1].asker, h.owner);
    TEXT(rows[1].phone, PHONE);
    TEXT(rows[1].subject, INVITED);
    assert_int_equal(rows[1].purpose, STORE_CODE_ADD);
    assert_int_equal(rows[1].role, STORE_WORKER);
    assert_memory_equal(rows[1].hash, c.hash, STORE_HASH_BYTES);
    assert_int_equal(rows[1].tries, 0);
    assert_int_equal(rows[1].until_s, NOW + HALF_HOUR_S);
    OK(store_codes_live(h.s, SLICE(PHONE), NOW + 2, 1, &h.a, &rows, &count));
    assert_int_equal(count, 1);
    OK(store_codes_live(h.s, SLICE(PHONE), NOW + 2, 0, &h.a, &rows, &count));
    assert_int_equal(count, 0);
    assert_int_equal(live(&h, OTHER, NOW), 0); /* by the phone that must send it, not the subject */
    help_remove(&h);
}

static void test_a_code_runs_out(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW);
    int64_t id;
    OK(store_begin(h.s));
    OK(store_code_put(h.s, &c, &id));
    assert_int_equal(live(&h, PHONE, NOW + HALF_HOUR_S - 1), 1);
    assert_int_equal(live(&h, PHONE, NOW + HALF_HOUR_S), 0);
    WANT(ERR_CONFLICT, store_code_use(h.s, id, NOW + HALF_HOUR_S));
    OK(store_code_use(h.s, id, NOW + HALF_HOUR_S - 1));
    assert_int_equal(ended(&h, id), STORE_CODE_USED);
    /* the next one tidies: what ran out says so, with the instant at which it did */
    struct store_code d = help_code(&h, STORE_CODE_ADD, PHONE, OTHER, NOW + 1);
    struct store_code f = help_code(&h, STORE_CODE_ADD, PHONE, OTHER, NOW + 9000);
    int64_t out;
    OK(store_code_put(h.s, &d, &out));
    OK(store_code_put(h.s, &f, NULL));
    assert_int_equal(ended(&h, out), STORE_CODE_EXPIRED);
    assert_int_equal(help_count(&h, "SELECT ended_s FROM code WHERE id = 2"),
                     NOW + 1 + HALF_HOUR_S);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_a_code_is_used_once(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_code c = help_code(&h, STORE_CODE_JOIN, INVITED, INVITED, NOW);
    int64_t id;
    OK(store_begin(h.s));
    OK(store_code_put(h.s, &c, &id));
    OK(store_code_use(h.s, id, NOW + 5));
    WANT(ERR_CONFLICT, store_code_use(h.s, id, NOW + 5));
    WANT(ERR_CONFLICT, store_code_use(h.s, 99, NOW + 5));
    OK(store_code_miss(h.s, id, MOST, NOW + 6)); /* changes nothing any more */
    assert_int_equal(ended(&h, id), STORE_CODE_USED);
    assert_int_equal(help_count(&h, "SELECT tries FROM code"), 0);
    assert_int_equal(live(&h, INVITED, NOW + 6), 0);
    OK(store_commit(h.s)); /* none of these ends a transaction */
    help_remove(&h);
}

static void test_wrong_tries_end_a_code(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW);
    int64_t id;
    OK(store_begin(h.s));
    OK(store_code_put(h.s, &c, &id));
    for (int i = 1; i <= MOST; i++) {
        assert_int_equal(live(&h, PHONE, NOW + i), 1);
        OK(store_code_miss(h.s, id, MOST, NOW + i));
        assert_int_equal(help_count(&h, "SELECT tries FROM code"), i);
    }
    assert_int_equal(live(&h, PHONE, NOW + 4), 0);
    assert_int_equal(ended(&h, id), STORE_CODE_TRIES);
    assert_int_equal(help_count(&h, "SELECT ended_s FROM code"), NOW + MOST);
    WANT(ERR_CONFLICT, store_code_use(h.s, id, NOW + 4));
    OK(store_commit(h.s));
    help_remove(&h);
}

/* Of one farm, purpose and subject only the newest lives; others are not touched. */
static void test_a_new_code_replaces(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    int64_t hill = 0, id[6];
    OK(store_begin(h.s));
    OK(store_farm_put(h.s, &(struct store_farm){.name = SLICE("Hill"), .made_s = NOW}, &hill));
    struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW);
    OK(store_code_put(h.s, &c, &id[0]));
    c.subject = SLICE(OTHER);
    OK(store_code_put(h.s, &c, &id[1]));
    c.subject = SLICE(INVITED);
    c.purpose = STORE_CODE_JOIN;
    OK(store_code_put(h.s, &c, &id[2]));
    c.purpose = STORE_CODE_ADD;
    c.farm = hill;
    OK(store_code_put(h.s, &c, &id[3]));
    c.farm = h.farm;
    c.role = STORE_WATCHER; /* another role for the same person */
    OK(store_code_put(h.s, &c, &id[4]));
    const int64_t want[] = {STORE_CODE_REPLACED, 0, 0, 0, 0};
    for (int i = 0; i < 5; i++)
        assert_int_equal(ended(&h, id[i]), want[i]);
    OK(store_code_withdraw(h.s, h.farm, STORE_CODE_JOIN, SLICE(INVITED), NOW + 1));
    assert_int_equal(ended(&h, id[2]), STORE_CODE_WITHDRAWN);
    assert_int_equal(ended(&h, id[3]), 0);
    assert_int_equal(ended(&h, id[4]), 0);
    struct store_counter *counters;
    int count, codes = 0;
    OK(store_counters(h.s, &h.a, &counters, &count));
    for (int i = 0; i < count; i++)
        if (slice_eq(counters[i].name, SLICE("codes")))
            codes = (int)counters[i].value;
    assert_int_equal(codes, 3);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_made_and_forgotten(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    enum { DAY_S = 86400 };
    int n = -1;
    OK(store_begin(h.s));
    for (int i = 0; i < 4; i++) {
        struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW + i);
        OK(store_code_put(h.s, &c, NULL));
    }
    OK(store_codes_made(h.s, SLICE(PHONE), NOW, &n));
    assert_int_equal(n, 4); /* replaced ones count */
    OK(store_codes_made(h.s, SLICE(PHONE), NOW + 2, &n));
    assert_int_equal(n, 2);
    OK(store_codes_made(h.s, SLICE(OTHER), NOW, &n));
    assert_int_equal(n, 0);
    OK(store_codes_about(h.s, SLICE(INVITED), &n));
    assert_int_equal(n, 4);
    OK(store_codes_about(h.s, SLICE(PHONE), &n));
    assert_int_equal(n, 0);
    struct store_code late = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW + 40 * DAY_S);
    OK(store_code_put(h.s, &late, NULL));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM code"), 1);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_refused(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW);
    WANT(ERR_BUG, store_code_put(h.s, &c, NULL)); /* outside a transaction */
    WANT(ERR_BUG, store_code_use(h.s, 1, NOW));
    WANT(ERR_BUG, store_code_miss(h.s, 1, MOST, NOW));
    OK(store_begin(h.s));
    c.farm = 99;
    WANT(ERR_BUG, store_code_put(h.s, &c, NULL));
    store_rollback(h.s);
    c = help_code(&h, (enum store_code_purpose)4, PHONE, INVITED, NOW);
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_code_put(h.s, &c, NULL));
    store_rollback(h.s);
    help_remove(&h);
}

static void test_the_key(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    unsigned char key[STORE_HASH_BYTES], got[STORE_HASH_BYTES];
    for (int i = 0; i < STORE_HASH_BYTES; i++)
        key[i] = (unsigned char)(255 - i);
    WANT(ERR_NOT_FOUND, store_secret_get(h.s, got));
    OK(store_begin(h.s));
    OK(store_secret_put(h.s, key));
    WANT(ERR_CONFLICT, store_secret_put(h.s, key)); /* never changed: codes would die with it */
    OK(store_commit(h.s));
    store_close(h.s);
    OK(help_open(&h, 0));
    OK(store_secret_get(h.s, got));
    assert_memory_equal(got, key, sizeof key);
    help_remove(&h);
}

/* By SQLite's own account: no statement of the codes reads the table through. */
static void test_codes_walk_an_index(void **state) {
    (void)state;
    static const struct {
        enum sql which;
        const char *by;
    } walks[] = {
        {SQL_CODES_LIVE, "code USING INDEX code_live (phone=?)"},
        {SQL_CODES_MADE, "code USING COVERING INDEX code_made (phone=? AND made_s>?)"},
        {SQL_CODE_END_SUBJECT, "code USING INDEX code_subject (farm=? AND subject=?"},
        {SQL_CODE_EXPIRE, "INDEX code_until (until_s<?)"},
        {SQL_CODE_FORGET, "INDEX code_ended (ended_s<?)"},
        {SQL_ARRIVAL_LAST, "arrival USING COVERING INDEX arrival_person (farm=? AND person=?)"},
        {SQL_MEMBER_LAST, "member_history USING PRIMARY KEY (farm=? AND person=?)"}};
    struct help h;
    help_start(&h);
    for (size_t i = 0; i < sizeof walks / sizeof walks[0]; i++) {
        struct buf text = buf_make(4000);
        sqlite3_stmt *st = NULL;
        bool found = false;
        buf_putf(&text, "EXPLAIN QUERY PLAN %s", store_sql_text(walks[i].which));
        assert_int_equal(sqlite3_prepare_v2(h.s->db, buf_str(&text), -1, &st, NULL), SQLITE_OK);
        while (sqlite3_step(st) == SQLITE_ROW) {
            const char *line = (const char *)sqlite3_column_text(st, 3);
            found = found || strstr(line, walks[i].by);
            if (strncmp(line, "SCAN", 4) == 0 || strstr(line, "TEMP B-TREE"))
                fail_msg("%s: %s", store_sql_text(walks[i].which), line);
        }
        if (!found)
            fail_msg("%s: not by %s", store_sql_text(walks[i].which), walks[i].by);
        (void)sqlite3_finalize(st);
        buf_free(&text);
    }
    help_remove(&h);
}

/* -- members that end, hours ---------------------------------------------------------------------
 */
static void test_a_member_ends(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_member *m;
    struct store_belongs *b;
    struct store_person p;
    int count;
    bool gone;
    int64_t hill;
    OK(store_begin(h.s));
    OK(store_member_ended(h.s, h.farm, h.worker, &gone));
    assert_false(gone);
    OK(store_member_ended(h.s, h.farm, 99, &gone)); /* never was one */
    assert_false(gone);
    OK(store_farm_put(h.s, &(struct store_farm){.name = SLICE("Hill"), .made_s = NOW}, &hill));
    OK(store_member_put(h.s, hill, h.worker, STORE_ADVISER, NOW + 1));
    OK(store_members(h.s, h.farm, &h.a, &m, &count));
    assert_int_equal(m[0].farms, 1);
    assert_int_equal(m[1].farms, 2);
    OK(store_farms_of(h.s, h.worker, &h.a, &b, &count));
    assert_int_equal(count, 2);
    TEXT(b[0].name, "Creek");
    TEXT(b[1].name, "Hill");
    OK(store_member_put(h.s, h.farm, h.worker, STORE_NOBODY, NOW + 2));
    OK(store_member_put(h.s, h.farm, h.worker, STORE_NOBODY, NOW + 3)); /* nothing new */
    OK(store_member_ended(h.s, h.farm, h.worker, &gone));
    assert_true(gone);
    OK(store_member_ended(h.s, hill, h.worker, &gone));
    assert_false(gone);
    OK(store_members(h.s, h.farm, &h.a, &m, &count));
    assert_int_equal(count, 1);
    OK(store_farms_of(h.s, h.worker, &h.a, &b, &count));
    assert_int_equal(count, 1);
    OK(store_person_get(h.s, h.worker, &h.a, &p)); /* the person stays */
    TEXT(p.phone, OTHER);
    WANT(ERR_NOT_FOUND, store_person_get(h.s, 99, &h.a, &p));
    OK(store_member_put(h.s, h.farm, h.worker, STORE_WATCHER, NOW + 4));
    OK(store_member_ended(h.s, h.farm, h.worker, &gone));
    assert_false(gone);
    OK(store_commit(h.s));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM member_history WHERE farm = 1"
                                    " AND person = 2"),
                     3); /* worker, nobody, watcher */
    assert_int_equal(help_count(&h, "SELECT at_s FROM member_history WHERE farm = 1 AND person = 2"
                                    " AND nth = 2 AND role = 0"),
                     NOW + 2);
    help_remove(&h);
}

static void test_hours(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_person p, fresh = help_person("+447700900003");
    OK(store_begin(h.s));
    OK(store_person_get(h.s, h.owner, &h.a, &p));
    const int64_t rows = help_count(&h, "SELECT count(*) FROM person_history");
    p.morning_min = 315;
    OK(store_person_put(h.s, &p, NOW + 1, NULL));
    OK(store_person_put(h.s, &p, NOW + 2, NULL));
    OK(store_person_get(h.s, h.owner, &h.a, &p));
    assert_int_equal(p.morning_min, 315);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM person_history"), rows + 1);
    assert_int_equal(help_count(&h, "SELECT at_s FROM person_history WHERE person = 1"
                                    " AND what = 3 AND value = '315'"),
                     NOW + 1);
    fresh.morning_min = STORE_MORNING_MIN; /* as for everybody: no change to tell */
    OK(store_person_put(h.s, &fresh, NOW, NULL));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM person_history"), rows + 2);
    OK(store_commit(h.s));
    OK(store_begin(h.s));
    p.morning_min = 1440;
    WANT(ERR_BUG, store_person_put(h.s, &p, NOW + 3, NULL));
    store_rollback(h.s);
    help_remove(&h);
}

/* -- parties ------------------------------------------------------------------------------------
 */
static void test_parties(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    int64_t hill, id = 0;
    struct slice name;
    OK(store_begin(h.s));
    OK(store_farm_put(h.s, &(struct store_farm){.name = SLICE("Hill"), .made_s = NOW}, &hill));
    WANT(ERR_NOT_FOUND, store_party_find(h.s, h.farm, SLICE("river"), &id));
    OK(store_party_put(h.s, h.farm, SLICE("river"), NOW, &id));
    assert_int_equal(id, 1);
    OK(store_party_put(h.s, h.farm, SLICE("market"), NOW, &id));
    assert_int_equal(id, 2);
    OK(store_party_put(h.s, h.farm, SLICE("river"), NOW + 9, &id)); /* it has one */
    assert_int_equal(id, 1);
    OK(store_party_put(h.s, hill, SLICE("market"), NOW, &id)); /* each farm its own */
    assert_int_equal(id, 1);
    OK(store_party_name(h.s, h.farm, 2, &h.a, &name));
    TEXT(name, "market");
    WANT(ERR_NOT_FOUND, store_party_name(h.s, hill, 2, &h.a, &name));
    WANT(ERR_NOT_FOUND, store_party_find(h.s, hill, SLICE("river"), &id));
    OK(store_commit(h.s));
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_party_put(h.s, h.farm, SLICE(""), NOW, &id));
    store_rollback(h.s);
    help_remove(&h);
}

/* -- the version before --------------------------------------------------------------------------
 */
static void test_version_2_is_read(void **state) {
    (void)state;
    struct help h;
    sqlite3 *db = NULL;
    int version = -1, count;
    struct store_person p;
    struct store_member *m;
    help_make(&h);
    assert_int_equal(sqlite3_open(h.path, &db), SQLITE_OK);
    OK(store_schema_migrate(db, store_schema_steps, 2, &version));
    assert_int_equal(version, 2);
    OK(store_db_exec(
        db, "INSERT INTO farm VALUES (1, 0, 'Creek', 'UTC', 'GB', 5);"
            "INSERT INTO person VALUES (1, '+447700900001', 'sw', 1, 1, 'north', 9, 0, 0, '');"
            "INSERT INTO person_history VALUES (1, 1, 6, 1, 'sw'), (1, 2, 7, 2, '1');"
            "INSERT INTO member VALUES (1, 1, 1);"
            "INSERT INTO member_history VALUES (1, 1, 1, 5, 1);"
            "UPDATE sequence SET last = 1 WHERE name IN ('farm', 'person')"));
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    OK(help_open(&h, 0));
    assert_int_equal(help_count(&h, "SELECT max(version) FROM barbel_schema"),
                     store_schema_version);
    OK(store_person_by_phone(h.s, SLICE("+447700900001"), &h.a, &p));
    TEXT(p.language, "sw");
    assert_true(p.stopped);
    assert_int_equal(p.morning_min, STORE_MORNING_MIN);
    OK(store_members(h.s, 1, &h.a, &m, &count));
    assert_int_equal(count, 1);
    assert_int_equal(m[0].role, STORE_OWNER);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM person_history WHERE (nth = 1 AND at_s"
                                    " = 6 AND what = 1 AND value = 'sw') OR (nth = 2 AND at_s = 7"
                                    " AND what = 2 AND value = '1')"),
                     2);
    /* the history goes on where it was, with the new kind of change */
    OK(store_begin(h.s));
    p.morning_min = 420;
    OK(store_person_put(h.s, &p, NOW, NULL));
    h.farm = h.owner = 1;
    struct store_code c = help_code(&h, STORE_CODE_ADD, PHONE, INVITED, NOW);
    OK(store_code_put(h.s, &c, NULL));
    OK(store_commit(h.s));
    assert_int_equal(help_count(&h, "SELECT nth FROM person_history WHERE what = 3"), 3);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    help_remove(&h);
}

/* A store in which no list had a rest: people have none, and it can be kept. */
static void test_a_store_of_version_3(void **state) {
    (void)state;
    struct help h;
    sqlite3 *db = NULL;
    int version = -1;
    struct store_person p;
    char text[STORE_REST_MAX + 1];
    help_make(&h);
    assert_int_equal(sqlite3_open(h.path, &db), SQLITE_OK);
    OK(store_schema_migrate(db, store_schema_steps, 3, &version));
    assert_int_equal(version, 3);
    OK(store_db_exec(
        db,
        "INSERT INTO farm VALUES (1, 0, 'Creek', 'UTC', 'GB', 5);"
        "INSERT INTO person VALUES (1, '+447700900001', 'sw', 1, 0, 'north', 9, 4, 2, 'x', 300);"
        "INSERT INTO member VALUES (1, 1, 1);"
        "UPDATE sequence SET last = 1 WHERE name IN ('farm', 'person')"));
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    OK(help_open(&h, 0));
    OK(store_person_by_phone(h.s, SLICE("+447700900001"), &h.a, &p));
    assert_int_equal(p.morning_min, 300);
    TEXT(p.about_data, "x");
    TEXT(p.rest, "");
    memset(text, 'a', sizeof text);
    OK(store_begin(h.s));
    p.rest = (struct slice){text, STORE_REST_MAX};
    OK(store_person_put(h.s, &p, NOW, NULL));
    OK(store_commit(h.s));
    OK(store_person_by_phone(h.s, SLICE("+447700900001"), &h.a, &p));
    assert_int_equal(p.rest.n, STORE_REST_MAX);
    struct store_member *m;
    int count = 0;
    OK(store_members(h.s, 1, &h.a, &m, &count));
    assert_int_equal(count, 1);
    assert_int_equal(m[0].role, STORE_OWNER);
    assert_int_equal(m[0].farms, 1);
    assert_int_equal(m[0].person.rest.n, STORE_REST_MAX);
    OK(store_begin(h.s));
    p.rest = (struct slice){text, STORE_REST_MAX + 1};
    assert_int_equal(store_person_put(h.s, &p, NOW, NULL), ERR_TOO_LONG);
    store_rollback(h.s);
    help_remove(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_store_of_version_3),
        cmocka_unit_test(test_a_code_is_read_back),
        cmocka_unit_test(test_a_code_runs_out),
        cmocka_unit_test(test_a_code_is_used_once),
        cmocka_unit_test(test_wrong_tries_end_a_code),
        cmocka_unit_test(test_a_new_code_replaces),
        cmocka_unit_test(test_made_and_forgotten),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_the_key),
        cmocka_unit_test(test_codes_walk_an_index),
        cmocka_unit_test(test_a_member_ends),
        cmocka_unit_test(test_hours),
        cmocka_unit_test(test_parties),
        cmocka_unit_test(test_version_2_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
