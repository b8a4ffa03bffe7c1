/* What the host looks at: slices in their order and their bounds, farms apart, queries that walk an
 * index, a store of the version before. The order of conversations is held against a list that the
 * test keeps itself and sorts by the rule of the header. */
#include "store_help.h"

#include "store_dump.h"

/* -- farms --------------------------------------------------------------------------------------
 */

static void test_farms_in_slices(void **state) {
    (void)state;
    struct help h;
    struct store_farm *rows;
    int count;
    help_start(&h); /* Creek is the first */
    OK(store_begin(h.s));
    for (int i = 2; i <= 250; i++) {
        char name[20];
        (void)snprintf(name, sizeof name, "Farm %d", 300 - i); /* not in the order of names */
        struct store_farm f = {.name = slice_of(name),
                               .zone = SLICE("UTC"),
                               .country = SLICE("GB"),
                               .made_s = NOW + i};
        OK(store_farm_put(h.s, &f, NULL));
    }
    OK(store_commit(h.s));
    OK(store_farms(h.s, 0, 3, &h.a, &rows, &count));
    assert_int_equal(count, 3);
    TEXT(rows[0].name, "Creek");
    TEXT(rows[0].zone, "Africa/Lagos");
    TEXT(rows[0].country, "NG");
    TEXT(rows[2].name, "Farm 297");
    assert_int_equal(rows[2].id, 3);
    assert_int_equal(rows[2].made_s, NOW + 3);
    OK(store_farms(h.s, 3, 2, &h.a, &rows, &count));
    assert_int_equal(count, 2);
    assert_int_equal(rows[0].id, 4);
    OK(store_farms(h.s, 249, 10, &h.a, &rows, &count));
    assert_int_equal(count, 1);
    OK(store_farms(h.s, 250, 10, &h.a, &rows, &count));
    assert_int_equal(count, 0);
    OK(store_farms(h.s, 0, 100000, &h.a, &rows, &count)); /* no more than a slice, ever */
    assert_int_equal(count, STORE_SLICE_MAX);
    OK(store_farms(h.s, 0, 0, &h.a, &rows, &count));
    assert_int_equal(count, 0);
    OK(store_farms(h.s, 0, -1, &h.a, &rows, &count));
    assert_int_equal(count, 0);
    struct arena small = arena_make(64);
    WANT(ERR_NOMEM, store_farms(h.s, 0, 100, &small, &rows, &count));
    arena_free(&small);
    help_remove(&h);
}

/* -- conversations ------------------------------------------------------------------------------
 */

enum { TEXTS = 300 };
struct said { /* a text as the test remembers it */
    int64_t id, farm, person, at_s;
    bool out;
    char body[32];
};
struct talk {
    struct help h;
    int64_t other_farm, both; /* `both` belongs to the two farms */
    struct said said[TEXTS];
    uint32_t seed;
    char references[TEXTS][33];
};

static int64_t draw(struct talk *t, int64_t below) {
    t->seed = t->seed * 1664525u + 1013904223u; /* Numerical Recipes, 2nd ed., ranqd1 */
    return (int64_t)(t->seed >> 8) % below;
}

static int newest_first(const void *a, const void *b) {
    const struct said *x = a, *y = b;
    if (x->at_s != y->at_s)
        return x->at_s > y->at_s ? -1 : 1;
    if (x->out != y->out)
        return x->out ? -1 : 1;
    return x->id > y->id ? -1 : 1;
}

/* Texts of two farms and three people, many within one second, some from before the last one (a
 * clock that was put back). */
static void talk_make(struct talk *t) {
    memset(t, 0, sizeof *t);
    t->seed = 5;
    help_start(&t->h);
    struct help *h = &t->h;
    OK(store_begin(h->s));
    OK(store_farm_put(
        h->s,
        &(struct store_farm){.name = SLICE("Hill"), .zone = SLICE("UTC"), .country = SLICE("GB")},
        &t->other_farm));
    struct store_person both = help_person("+447700900003");
    OK(store_person_put(h->s, &both, NOW, &t->both));
    int64_t ins = 0, outs = 0;
    for (int i = 0; i < TEXTS; i++) {
        struct said *s = &t->said[i];
        const int64_t people[] = {h->owner, h->worker, t->both, 0};
        s->out = draw(t, 2) != 0;
        s->person = people[draw(t, 4)];
        s->farm = s->person == t->both && draw(t, 2) ? t->other_farm : h->farm;
        s->at_s = NOW + draw(t, 40);
        s->id = s->out ? ++outs : ++ins;
        (void)snprintf(s->body, sizeof s->body, "text %d", i);
        if (s->out) {
            struct store_dispatch d = help_dispatch(t->references[i], i, "+447700900001");
            d.farm = s->farm;
            d.person = s->person;
            d.made_s = s->at_s;
            d.body = slice_of(s->body);
            OK(store_dispatch_put(h->s, &d, 1));
        } else {
            struct store_arrival a = help_arrival(i, s->body);
            int64_t id;
            bool known;
            a.farm = s->farm;
            a.person = s->person;
            a.arrived_s = s->at_s;
            OK(store_arrival_put(h->s, &a, &id, &known));
            assert_int_equal(id, s->id);
        }
    }
    OK(store_commit(h->s));
    qsort(t->said, TEXTS, sizeof t->said[0], newest_first);
}

/* A farm's whole conversation in slices, against what the test remembers. */
static void check_talk(struct talk *t, int64_t farm, int64_t person, int limit) {
    struct store_text *rows;
    int count, at = 0;
    int64_t before = 0;
    do {
        arena_reset(&t->h.a);
        OK(store_texts_of(t->h.s, farm, person, before, limit, &t->h.a, &rows, &count));
        for (int i = 0; i < count; i++) {
            while (at < TEXTS &&
                   (t->said[at].farm != farm || (person != 0 && t->said[at].person != person)))
                at++;
            char got[32] = "nothing";
            (void)snprintf(got, sizeof got, "%.*s", SLICE_ARG(rows[i].body));
            if (at == TEXTS || strcmp(got, t->said[at].body) != 0)
                fail_msg("farm %lld, person %lld, limit %d: got \"%s\", wanted \"%s\"",
                         (long long)farm, (long long)person, limit, got,
                         at == TEXTS ? "no more" : t->said[at].body);
            assert_int_equal(rows[i].at_s, t->said[at].at_s);
            assert_int_equal(rows[i].out, t->said[at].out);
            assert_int_equal(rows[i].person, t->said[at].person);
            before = rows[i].id;
            at++;
        }
        assert_true(count <= limit);
    } while (count);
    for (; at < TEXTS; at++)
        if (t->said[at].farm == farm && (!person || t->said[at].person == person))
            fail_msg("farm %lld, person %lld, limit %d: \"%s\" never came", (long long)farm,
                     (long long)person, limit, t->said[at].body);
}

static void test_texts_in_their_order(void **state) {
    (void)state;
    static struct talk t;
    talk_make(&t);
    static const int limits[] = {1, 2, 7, 50, 200};
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        const int64_t people[] = {0, t.h.owner, t.h.worker, t.both};
        for (size_t j = 0; j < sizeof people / sizeof people[0]; j++) {
            check_talk(&t, t.h.farm, people[j], limits[i]);
            check_talk(&t, t.other_farm, people[j], limits[i]);
        }
    }
    help_remove(&t.h);
}

static void test_texts_bounds(void **state) {
    (void)state;
    static struct talk t;
    talk_make(&t);
    struct store_text *rows;
    int count;
    int64_t seen = 0;
    OK(store_texts_of(t.h.s, t.h.farm, 0, 0, 100000, &t.h.a, &rows, &count));
    assert_int_equal(count, STORE_SLICE_MAX);
    OK(store_texts_of(t.h.s, t.h.farm, 0, 0, 0, &t.h.a, &rows, &count));
    assert_int_equal(count, 0);
    OK(store_texts_of(t.h.s, 77, 0, 0, 10, &t.h.a, &rows, &count)); /* no such farm: no texts */
    assert_int_equal(count, 0);
    /* a text to go on behind is one of this farm */
    OK(store_texts_of(t.h.s, t.other_farm, 0, 0, 1, &t.h.a, &rows, &count));
    seen = rows[0].id;
    OK(store_texts_of(t.h.s, t.other_farm, 0, seen, 1, &t.h.a, &rows, &count));
    WANT(ERR_NOT_FOUND, store_texts_of(t.h.s, t.h.farm, 0, seen, 1, &t.h.a, &rows, &count));
    static const int64_t none[] = {-1, -2, 1, 2 * TEXTS, 2 * TEXTS + 1, INT64_MAX, INT64_MIN};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        WANT(ERR_NOT_FOUND, store_texts_of(t.h.s, t.h.farm, 0, none[i], 1, &t.h.a, &rows, &count));
    struct arena small = arena_make(64);
    WANT(ERR_NOMEM, store_texts_of(t.h.s, t.h.farm, 0, 0, 100, &small, &rows, &count));
    arena_free(&small);
    OK(store_texts_of(t.h.s, t.h.farm, 0, 0, 1, &t.h.a, &rows, &count)); /* goes on as before */
    help_remove(&t.h);
}

/* Every field of both ways, at every end that a text can come to. */
static void test_text_fields(void **state) {
    (void)state;
    struct help h;
    struct store_text *rows;
    int64_t id, wake;
    int count, done;
    bool known;
    char references[6][33];
    help_start(&h);
    OK(store_begin(h.s));
    struct store_arrival in = help_arrival(1, "inject f3");
    in.arrived_s = NOW;
    in.farm = h.farm;
    in.person = h.owner;
    in.fate = STORE_LIMITED;
    OK(store_arrival_put(h.s, &in, &id, &known));
    for (int i = 0; i < 6; i++) {
        struct store_dispatch d = help_dispatch(references[i], i + 1, "+447700900002");
        d.farm = h.farm;
        d.person = h.worker;
        d.made_s = NOW + 1 + i;
        OK(store_dispatch_put(h.s, &d, 1));
    }
    const struct store_attempt attempts[] = {
        {.dispatch = 1, .sent = STORE_LATER, .next_s = NOW + 99, .reason = SLICE("no answer")},
        {.dispatch = 2, .sent = STORE_DONE, .at_s = NOW + 9},
        {.dispatch = 3, .sent = STORE_DONE, .at_s = NOW + 9},
        {.dispatch = 4, .sent = STORE_NEVER, .at_s = NOW + 9, .reason = SLICE("stopped")},
        {.dispatch = 5, .sent = STORE_EXPIRED, .at_s = NOW + 9}};
    OK(store_dispatch_done(h.s, attempts, 5));
    OK(store_receipt_put(h.s, SLICE("north"), slice_of(references[2]), SLICE(""),
                         STORE_RECEIPT_DELIVERED, NOW + 10, &known, &wake));
    OK(store_commit(h.s));
    static const struct {
        enum store_sent sent;
        enum store_receipt receipt;
        int64_t tries;
        const char *reason;
    } want[] = {{0, 0, 0, ""},
                {STORE_EXPIRED, 0, 0, ""},
                {STORE_NEVER, 0, 1, "stopped"},
                {STORE_DONE, STORE_RECEIPT_DELIVERED, 1, ""},
                {STORE_DONE, 0, 1, ""},
                {0, 0, 1, "no answer"}};
    OK(store_texts_of(h.s, h.farm, 0, 0, 10, &h.a, &rows, &count));
    assert_int_equal(count, 7);
    for (int i = 0; i < 6; i++) {
        assert_true(rows[i].out);
        assert_int_equal(rows[i].at_s, NOW + 6 - i);
        assert_int_equal(rows[i].person, h.worker);
        TEXT(rows[i].phone, "+447700900002");
        TEXT(rows[i].body, "F3: look now.");
        assert_int_equal(rows[i].fate, 0);
        assert_int_equal(rows[i].sent, want[i].sent);
        assert_int_equal(rows[i].receipt, want[i].receipt);
        assert_int_equal(rows[i].tries, want[i].tries);
        TEXT(rows[i].reason, want[i].reason);
    }
    assert_false(rows[6].out);
    assert_int_equal(rows[6].at_s, NOW);
    assert_int_equal(rows[6].person, h.owner);
    TEXT(rows[6].phone, "+447700900001");
    TEXT(rows[6].body, "inject f3");
    assert_int_equal(rows[6].fate, STORE_LIMITED);
    assert_int_equal(rows[6].sent, 0);
    assert_int_equal(rows[6].tries, 0);
    TEXT(rows[6].reason, "");
    /* bodies go, rows stay; what still waits keeps its own */
    OK(store_begin(h.s));
    OK(store_purge_bodies(h.s, NOW + 1000, 100, &done));
    OK(store_commit(h.s));
    assert_int_equal(done, 5);
    OK(store_texts_of(h.s, h.farm, 0, 0, 10, &h.a, &rows, &count));
    assert_int_equal(count, 7);
    for (int i = 0; i < 7; i++)
        TEXT(rows[i].body, i == 0 || i == 5 ? "F3: look now." : "");
    help_remove(&h);
}

/* -- waiting ------------------------------------------------------------------------------------
 */

static void test_waiting(void **state) {
    (void)state;
    struct help h;
    struct store_wait *rows;
    struct store_dispatch *taken;
    int count;
    int64_t n;
    char reference[33];
    help_start(&h);
    OK(store_begin(h.s));
    for (int i = 1; i <= 8; i++) {
        struct store_dispatch d =
            help_dispatch(reference, i, i % 2 ? "+447700900001" : "+447700900501");
        d.farm = i % 2 ? h.farm : 0; /* the even ones go to a stranger */
        d.person = i % 2 ? h.owner : 0;
        d.level = i % 4;
        d.made_s = NOW - 60 + i;
        d.next_s = NOW - i;
        d.useful_s = i == 8 ? NOW + 600 : INT64_MAX;
        OK(store_dispatch_put(h.s, &d, 1));
    }
    const struct store_attempt attempts[] = {
        {.dispatch = 8, .sent = STORE_LATER, .next_s = NOW + 300, .reason = SLICE("timed out")},
        {.dispatch = 2, .sent = STORE_DONE, .at_s = NOW},
        {.dispatch = 3, .sent = STORE_NEVER, .at_s = NOW}};
    OK(store_dispatch_done(h.s, attempts, 3));
    OK(store_commit(h.s));
    OK(store_waiting(h.s, 100, &h.a, &rows, &count));
    static const int64_t want[] = {4, 8, 5, 1, 6, 7}; /* levels 0 0 1 1 2 3 */
    assert_int_equal(count, 6);
    for (int i = 0; i < 6; i++)
        if (rows[i].dispatch != want[i])
            fail_msg("place %d: got %lld, wanted %lld", i, (long long)rows[i].dispatch,
                     (long long)want[i]);
    TEXT(rows[1].phone, "+447700900501");
    TEXT(rows[1].reason, "timed out");
    assert_int_equal(rows[1].farm, 0);
    assert_int_equal(rows[1].person, 0);
    assert_int_equal(rows[1].level, 0);
    assert_int_equal(rows[1].made_s, NOW - 52);
    assert_int_equal(rows[1].next_s, NOW + 300);
    assert_int_equal(rows[1].useful_s, NOW + 600);
    assert_int_equal(rows[1].tries, 1);
    assert_int_equal(rows[2].farm, h.farm);
    assert_int_equal(rows[2].person, h.owner);
    assert_int_equal(rows[2].useful_s, INT64_MAX);
    TEXT(rows[2].reason, "");
    OK(store_waiting_of(h.s, h.farm, &n));
    assert_int_equal(n, 3);
    OK(store_waiting_of(h.s, 77, &n));
    assert_int_equal(n, 0);
    /* one under way still waits */
    OK(store_begin(h.s));
    OK(store_dispatch_take(h.s, NOW, 5, NOW + 60, 1, &h.a, &taken, &count));
    OK(store_commit(h.s));
    assert_int_equal(count, 1);
    OK(store_waiting(h.s, 100, &h.a, &rows, &count));
    assert_int_equal(count, 6);
    OK(store_waiting(h.s, 2, &h.a, &rows, &count));
    assert_int_equal(count, 2);
    OK(store_waiting(h.s, 0, &h.a, &rows, &count));
    assert_int_equal(count, 0);
    OK(store_begin(h.s));
    for (int i = 100; i < 400; i++) {
        struct store_dispatch d = help_dispatch(reference, i, "+447700900001");
        OK(store_dispatch_put(h.s, &d, 1));
    }
    OK(store_commit(h.s));
    OK(store_waiting(h.s, 100000, &h.a, &rows, &count));
    assert_int_equal(count, STORE_SLICE_MAX);
    help_remove(&h);
}

/* -- all of them --------------------------------------------------------------------------------
 */

/* By SQLite's own account: no statement reads a table through or sorts. */
static void test_views_walk_an_index(void **state) {
    (void)state;
    static const struct {
        enum sql which;
        const char *by;
    } walks[] = {
        {SQL_FARMS, "farm USING INTEGER PRIMARY KEY (rowid>?)"},
        {SQL_TEXTS_IN, "arrival USING INDEX arrival_farm (farm=? AND "},
        {SQL_TEXTS_OUT, "dispatch USING INDEX dispatch_farm (farm=? AND "},
        {SQL_TEXTS_IN_PERSON, "arrival USING INDEX arrival_person (farm=? AND person=? AND "},
        {SQL_TEXTS_OUT_PERSON, "dispatch USING INDEX dispatch_person (farm=? AND person=? AND "},
        {SQL_TEXT_IN_AT, "arrival USING INTEGER PRIMARY KEY (rowid=?)"},
        {SQL_TEXT_OUT_AT, "dispatch USING INTEGER PRIMARY KEY (rowid=?)"},
        {SQL_WAITING, "dispatch USING INDEX dispatch_waiting"},
        {SQL_WAITING_OF, "dispatch USING INDEX dispatch_farm_waiting (farm=?)"}};
    struct help h;
    help_start(&h);
    for (size_t i = 0; i < sizeof walks / sizeof walks[0]; i++) {
        struct buf text = buf_make(4000);
        sqlite3_stmt *st = NULL;
        int lines = 0;
        buf_putf(&text, "EXPLAIN QUERY PLAN %s", store_sql_text(walks[i].which));
        assert_int_equal(sqlite3_prepare_v2(h.s->db, buf_str(&text), -1, &st, NULL), SQLITE_OK);
        while (sqlite3_step(st) == SQLITE_ROW) {
            const char *line = (const char *)sqlite3_column_text(st, 3);
            lines++;
            /* the index of what waits holds nothing else: to walk it from its front is its use */
            bool front =
                walks[i].which == SQL_WAITING && strncmp(line, "SCAN dispatch USING", 19) == 0;
            if (!strstr(line, walks[i].by) || (strncmp(line, "SEARCH", 6) != 0 && !front))
                fail_msg("%s: got \"%s\", wanted \"%s\"", store_sql_text(walks[i].which), line,
                         walks[i].by);
        }
        assert_int_equal(lines, 1); /* and no line that sorts */
        (void)sqlite3_finalize(st);
        buf_free(&text);
    }
    help_remove(&h);
}

static void test_views_change_nothing(void **state) {
    (void)state;
    static struct talk t;
    talk_make(&t);
    struct store_farm *farms;
    struct store_text *texts;
    struct store_wait *waits;
    int count;
    int64_t n;
    struct buf before = dump_store(t.h.s->db);
    assert_true(buf_slice(&before).n > 10000);
    const int changes = sqlite3_total_changes(t.h.s->db);
    OK(store_farms(t.h.s, 0, 50, &t.h.a, &farms, &count));
    OK(store_texts_of(t.h.s, t.h.farm, 0, 0, 50, &t.h.a, &texts, &count));
    OK(store_texts_of(t.h.s, t.h.farm, t.h.owner, 0, 50, &t.h.a, &texts, &count));
    OK(store_waiting(t.h.s, 50, &t.h.a, &waits, &count));
    OK(store_waiting_of(t.h.s, t.h.farm, &n));
    assert_true(n > 0);
    struct buf after = dump_store(t.h.s->db);
    assert_string_equal(buf_str(&after), buf_str(&before));
    assert_int_equal(sqlite3_total_changes(t.h.s->db), changes);
    buf_free(&before);
    buf_free(&after);
    help_remove(&t.h);
}

/* A store of version 1, with rows in it, opens and shows them. */
static void test_version_1_is_read(void **state) {
    (void)state;
    struct help h;
    sqlite3 *db = NULL;
    int version = -1, count;
    struct store_text *texts;
    int64_t n;
    help_make(&h);
    assert_int_equal(sqlite3_open(h.path, &db), SQLITE_OK);
    OK(store_schema_migrate(db, store_schema_steps, 1, &version));
    assert_int_equal(version, 1);
    OK(store_db_exec(db,
                     "INSERT INTO farm VALUES (1, 0, 'Creek', 'UTC', 'GB', 5);"
                     "INSERT INTO arrival VALUES (1, 'north', '+447700900001', '+447700900999',"
                     " 'today', zeroblob(32), 7, 8, 1, NULL, 1);"
                     "INSERT INTO dispatch (id, reference, farm, link, phone, body, level, made_s,"
                     " next_s, useful_s, tries, task_kind, subject, nth, stage) VALUES (1,"
                     " '00000000000000000000000000000001', 1, 'north', '+447700900001', 'F3', 1, 8,"
                     " 8, 99, 0, 0, 0, 0, 0)"));
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    OK(help_open(&h, 0));
    assert_int_equal(help_count(&h, "SELECT max(version) FROM barbel_schema"),
                     store_schema_version);
    OK(store_texts_of(h.s, 1, 0, 0, 10, &h.a, &texts, &count));
    assert_int_equal(count, 2);
    TEXT(texts[0].body, "F3");
    TEXT(texts[1].body, "today");
    OK(store_waiting_of(h.s, 1, &n));
    assert_int_equal(n, 1);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM sqlite_schema WHERE name IN"
                                    " ('arrival_farm', 'arrival_person', 'dispatch_farm',"
                                    " 'dispatch_person', 'dispatch_farm_waiting')"),
                     5);
    help_remove(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_farms_in_slices),
        cmocka_unit_test(test_texts_in_their_order),
        cmocka_unit_test(test_texts_bounds),
        cmocka_unit_test(test_text_fields),
        cmocka_unit_test(test_waiting),
        cmocka_unit_test(test_views_walk_an_index),
        cmocka_unit_test(test_views_change_nothing),
        cmocka_unit_test(test_version_1_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
