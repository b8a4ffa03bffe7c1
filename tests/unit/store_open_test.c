/* The store's files: making, refusing, locking, migrating, setting aside; transactions and marks.
 */
#include "store_help.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>

static void test_made_private(void **state) {
    (void)state;
    struct help h;
    help_make(&h);
    mode_t mask = umask(0);
    OK(help_open(&h, 8192));
    help_farm(&h); /* makes the log */
    const char *const endings[] = {"", "-wal", "-shm", "-lock", "-ballast", "-danger"};
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        char name[200];
        struct stat st;
        (void)snprintf(name, sizeof name, "%s%s", h.path, endings[i]);
        if (stat(name, &st) != 0)
            fail_msg("%s is missing", name);
        if ((st.st_mode & 0777) != 0600)
            fail_msg("%s has mode %o, wanted 600", name, (unsigned)st.st_mode & 0777u);
    }
    (void)umask(mask);
    int64_t n = -1;
    OK(store_db_int(h.s->db, "PRAGMA synchronous", &n));
    assert_int_equal(n, 2); /* FULL */
    assert_int_equal(help_count(&h, "SELECT count(*) FROM pragma_table_list WHERE schema = 'main'"
                                    " AND type = 'table' AND NOT strict"
                                    " AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"),
                     0);
    assert_int_equal(help_count(&h, "SELECT journal_mode = 'wal' FROM pragma_journal_mode"), 1);
    help_remove(&h);
}

static void test_all_stays_over_reopen(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(help_turn(&h, 1));
    OK(help_turn(&h, 2));
    store_close(h.s);
    OK(help_open(&h, 0));
    assert_int_equal(help_laws(&h), 2);
    help_remove(&h);
}

static void test_held_by_another_process(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct stat before, after;
    assert_int_equal(stat(h.path, &before), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        struct store *s = NULL;
        enum err e = store_open(&(struct store_options){h.path, 4096, NULL}, &s);
        _exit(s ? 99 : (int)e);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    WANT(ERR_HELD, (enum err)WEXITSTATUS(status));
    assert_int_equal(stat(h.path, &after), 0);
    assert_int_equal(after.st_size, before.st_size);
    char ballast[128];
    (void)snprintf(ballast, sizeof ballast, "%s-ballast", h.path);
    assert_int_not_equal(access(ballast, F_OK), 0); /* the refused one made nothing */
    OK(help_turn(&h, 1));                           /* and the holder is not disturbed */
    store_close(h.s);
    OK(help_open(&h, 0)); /* free again once closed */
    help_remove(&h);
}

static void test_no_folder(void **state) {
    (void)state;
    struct help h;
    help_make(&h);
    struct store *s = NULL;
    WANT(ERR_NOT_FOUND,
         store_open(&(struct store_options){"/nonexistent-folder/farm.db", 0, NULL}, &s));
    assert_null(s);
    char *name = calloc(1, 3000);
    assert_non_null(name);
    memset(name, 'a', 2999);
    WANT(ERR_TOO_LONG, store_open(&(struct store_options){name, 0, NULL}, &s));
    WANT(ERR_TOO_LONG, store_open(&(struct store_options){h.path, 0, name}, &s));
    free(name);
    help_remove(&h);
}

static void run_sql(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    OK(store_db_exec(db, sql));
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

static void test_newer_version_refused(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    store_close(h.s);
    h.s = NULL;
    run_sql(h.path, "INSERT INTO barbel_schema VALUES (1000)");
    WANT(ERR_VERSION, help_open(&h, 0));
    assert_null(h.s);
    struct buf report = buf_make(10000);
    WANT(ERR_VERSION, store_inspect(h.path, &report));
    assert_non_null(strstr(buf_str(&report), "version 1000"));
    buf_free(&report);
    run_sql(h.path, "DELETE FROM barbel_schema WHERE version = 1000");
    OK(help_open(&h, 0));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM farm"), 1);
    help_remove(&h);
}

static void test_foreign_database_refused(void **state) {
    (void)state;
    struct help h;
    help_make(&h);
    run_sql(h.path, "CREATE TABLE other (x)");
    WANT(ERR_CORRUPT, help_open(&h, 0));
    sqlite3 *db = NULL;
    int64_t n = 0;
    assert_int_equal(sqlite3_open(h.path, &db), SQLITE_OK);
    OK(store_db_int(db, "SELECT count(*) FROM sqlite_schema", &n));
    (void)sqlite3_close(db);
    assert_int_equal(n, 1); /* left as it was */
    FILE *f = fopen(h.path, "w");
    assert_non_null(f);
    (void)fputs("this is a letter to the feed merchant, and it is long enough to have been taken "
                "for a header of a database of one hundred bytes\n",
                f);
    (void)fclose(f);
    WANT(ERR_CORRUPT, help_open(&h, 0));
    help_remove(&h);
}

/* Steps of a made-up history, from an empty file and from the middle. */
static void test_migration_steps(void **state) {
    (void)state;
    static const char first[] =
        "CREATE TABLE pond (id INTEGER PRIMARY KEY, size INTEGER NOT NULL) STRICT;"
        "INSERT INTO pond VALUES (1, 3)";
    const char *const steps[] = {
        first,
        "ALTER TABLE pond ADD COLUMN depth_mm INTEGER NOT NULL DEFAULT 1000",
        "UPDATE pond SET depth_mm = 1200; INSERT INTO nowhere VALUES (1)",
    };
    struct help h;
    help_make(&h);
    sqlite3 *db = NULL;
    int version = -1;
    int64_t n = 0;
    assert_int_equal(sqlite3_open(h.path, &db), SQLITE_OK);
    OK(store_schema_read(db, &version));
    assert_int_equal(version, 0);
    OK(store_schema_migrate(db, steps, 1, &version));
    assert_int_equal(version, 1);
    OK(store_schema_migrate(db, steps, 2, &version));
    assert_int_equal(version, 2);
    OK(store_db_int(db, "SELECT depth_mm FROM pond", &n));
    assert_int_equal(n, 1000);
    /* the third step fails at its end: nothing of it stands */
    WANT(ERR_BUG, store_schema_migrate(db, steps, 3, &version));
    OK(store_schema_read(db, &version));
    assert_int_equal(version, 2);
    OK(store_db_int(db, "SELECT depth_mm FROM pond", &n));
    assert_int_equal(n, 1000);
    OK(store_schema_migrate(db, steps, 2, &version)); /* nothing to do */
    WANT(ERR_VERSION, store_schema_migrate(db, steps, 1, &version));
    (void)sqlite3_close(db);
    help_remove(&h);
}

/* As a user who may not write: the system's rules hold for everybody but root, so root steps down.
 */
static void test_read_only_file(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    store_close(h.s);
    h.s = NULL;
    enum { NOBODY = 65534 };
    if (geteuid() == 0) {
        const char *const endings[] = {"", "-lock", "-danger"};
        for (size_t i = 0; i < 3; i++) {
            char name[200];
            (void)snprintf(name, sizeof name, "%s%s", h.path, endings[i]);
            assert_int_equal(chown(name, NOBODY, NOBODY), 0);
        }
        assert_int_equal(chown(h.folder, NOBODY, NOBODY), 0);
    }
    assert_int_equal(chmod(h.path, 0400), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        struct store *s = NULL;
        if (geteuid() == 0 && setuid(NOBODY) != 0)
            _exit(98);
        enum err e = store_open(&(struct store_options){h.path, 0, NULL}, &s);
        _exit(s ? 99 : (int)e);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    WANT(ERR_READONLY, (enum err)WEXITSTATUS(status));
    assert_int_equal(chmod(h.path, 0600), 0);
    OK(help_open(&h, 0));
    help_remove(&h);
}

static void test_danger_is_set_aside(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    struct store_print bad = help_print(666), good = help_print(1);
    bool aside = true;
    OK(store_is_aside(h.s, &bad, &aside));
    assert_false(aside);
    /* read and done: nothing remains */
    store_danger(h.s, &good);
    store_safe(h.s);
    store_close(h.s);
    OK(help_open(&h, 0));
    OK(store_is_aside(h.s, &good, &aside));
    assert_false(aside);
    /* a process that ends while reading: here the store is closed with the name standing */
    store_danger(h.s, &good);
    store_danger(h.s, &bad);
    store_close(h.s);
    for (int i = 0; i < 2; i++) { /* ever after */
        OK(help_open(&h, 0));
        OK(store_is_aside(h.s, &bad, &aside));
        assert_true(aside);
        OK(store_is_aside(h.s, &good, &aside));
        assert_false(aside);
        assert_int_equal(help_count(&h, "SELECT count(*) FROM aside"), 1);
        store_close(h.s);
        h.s = NULL;
    }
    /* and a process that is killed in it */
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (help_open(&h, 0))
            _exit(97);
        store_danger(h.s, &good);
        abort();
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_false(WIFEXITED(status) && WEXITSTATUS(status) == 97);
    OK(help_open(&h, 0));
    OK(store_begin(h.s)); /* inside a transaction, too */
    OK(store_is_aside(h.s, &good, &aside));
    assert_true(aside);
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_inspect(void **state) {
    (void)state;
    struct help h;
    help_make(&h);
    struct buf report = buf_make(100000);
    WANT(ERR_NOT_FOUND, store_inspect(h.path, &report));
    OK(help_open(&h, 0));
    help_farm(&h);
    for (int64_t i = 1; i <= 40; i++)
        OK(help_turn(&h, i));
    OK(store_inspect(h.path, &report)); /* beside the running daemon */
    assert_non_null(strstr(buf_str(&report), "sound, version 4 of 4"));
    store_close(h.s);
    h.s = NULL;
    buf_clear(&report);
    run_sql(h.path, "PRAGMA foreign_keys = OFF; UPDATE ledger SET person = 77 WHERE seq = 3");
    WANT(ERR_CORRUPT, store_inspect(h.path, &report));
    assert_non_null(strstr(buf_str(&report), "points nowhere: ledger"));
    run_sql(h.path, "UPDATE ledger SET person = 1 WHERE seq = 3");
    int fd = open(h.path, O_RDWR);
    assert_true(fd >= 0);
    char noise[4096];
    memset(noise, 0x5a, sizeof noise);
    struct stat st;
    assert_int_equal(fstat(fd, &st), 0);
    for (off_t at = st.st_size / 2 / 4096 * 4096; at < st.st_size; at += 4096)
        assert_int_equal(pwrite(fd, noise, sizeof noise, at), (ssize_t)sizeof noise);
    (void)close(fd);
    buf_clear(&report);
    WANT(ERR_CORRUPT, store_inspect(h.path, &report));
    buf_free(&report);
    help_remove(&h);
}

static void test_order_of_calls(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    WANT(ERR_BUG, store_commit(h.s));
    WANT(ERR_BUG, store_count(h.s, "x", 1)); /* writing outside a transaction */
    WANT(ERR_BUG, store_mark(h.s));
    store_rollback(h.s); /* harmless */
    store_mark_undo(h.s);
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_begin(h.s));
    WANT(ERR_BUG, store_probe(h.s, NOW));
    OK(store_mark(h.s));
    WANT(ERR_BUG, store_mark(h.s)); /* one at a time */
    store_rollback(h.s);
    OK(store_begin(h.s));
    OK(store_mark(h.s));
    WANT(ERR_BUG, store_commit(h.s)); /* a mark left open */
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_mark_keep(h.s));
    store_rollback(h.s);
    OK(store_probe(h.s, NOW));
    OK(store_probe(h.s, NOW + 5));
    assert_int_equal(help_count(&h, "SELECT at_s FROM probe"), NOW + 5);
    assert_int_equal(help_laws(&h), 0);
    help_remove(&h);
}

static void test_marks(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(store_begin(h.s));
    OK(store_count(h.s, "kept", 1));
    OK(store_mark(h.s));
    OK(store_count(h.s, "kept", 2));
    OK(store_mark_keep(h.s));
    OK(store_mark(h.s));
    OK(store_count(h.s, "undone", 1));
    store_mark_undo(h.s);
    OK(store_mark(h.s)); /* an error that is not the disk's is healed by the undo */
    OK(store_count(h.s, "undone", 1));
    WANT(ERR_BUG, store_question_put(h.s, &(struct store_question){.person = 12345}));
    WANT(ERR_BUG, store_count(h.s, "undone", 1));
    WANT(ERR_BUG, store_mark_keep(h.s));
    store_mark_undo(h.s);
    OK(store_count(h.s, "kept", 4));
    OK(store_commit(h.s));
    assert_int_equal(help_count(&h, "SELECT value FROM counter WHERE name = 'kept'"), 7);
    assert_int_equal(help_count(&h, "SELECT count(*) FROM counter"), 1);
    help_remove(&h);
}

/* After an error every call gives it again and nothing of the transaction stands. */
static void test_after_an_error(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(store_begin(h.s));
    OK(store_count(h.s, "lost", 1));
    WANT(ERR_BUG, store_question_put(h.s, &(struct store_question){.person = 12345}));
    struct store_farm farm;
    int count;
    struct store_told *told;
    WANT(ERR_BUG, store_farm_get(h.s, h.farm, &h.a, &farm));
    WANT(ERR_BUG, store_told_read(h.s, h.farm, &h.a, &told, &count));
    WANT(ERR_BUG, help_turn_rows(&h, 1));
    WANT(ERR_BUG, store_commit(h.s));
    assert_int_equal(help_count(&h, "SELECT count(*) FROM counter"), 0);
    OK(help_turn(&h, 1));
    /* an arena at its cap */
    struct arena small = arena_make(16);
    OK(store_begin(h.s));
    WANT(ERR_NOMEM, store_farm_get(h.s, h.farm, &small, &farm));
    WANT(ERR_NOMEM, store_count(h.s, "lost", 1));
    store_rollback(h.s);
    arena_free(&small);
    assert_int_equal(help_laws(&h), 1);
    help_remove(&h);
}

static void test_checkpoint(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    for (int64_t i = 1; i <= 20; i++)
        OK(help_turn(&h, i));
    int before = h.s->wal_pages;
    assert_true(before > 20);
    store_checkpoint(h.s, before + 1); /* not yet */
    assert_int_equal(h.s->wal_pages, before);
    store_checkpoint(h.s, before);
    assert_int_equal(h.s->wal_pages, 0);
    OK(help_turn(&h, 21)); /* the log begins anew */
    if (h.s->wal_pages >= before)
        fail_msg("the log has %d pages after a checkpoint, before it had %d", h.s->wal_pages,
                 before);
    assert_int_equal(help_laws(&h), 21);
    help_remove(&h);
}

/* Every code of SQLite's manual ("Result and Error Codes") that a store can meet. */
static void test_codes(void **state) {
    (void)state;
    static const struct {
        int code, number;
        enum err want;
    } rows[] = {
        {SQLITE_OK, 0, ERR_OK},
        {SQLITE_DONE, 0, ERR_OK},
        {SQLITE_FULL, 0, ERR_FULL},
        {SQLITE_READONLY, 0, ERR_READONLY},
        {SQLITE_READONLY_DBMOVED, 0, ERR_READONLY},
        {SQLITE_CANTOPEN, EACCES, ERR_READONLY},
        {SQLITE_CANTOPEN, ENOSPC, ERR_FULL},
        {SQLITE_PERM, 0, ERR_READONLY},
        {SQLITE_BUSY, 0, ERR_BUSY},
        {SQLITE_BUSY_SNAPSHOT, 0, ERR_BUSY},
        {SQLITE_LOCKED, 0, ERR_BUSY},
        {SQLITE_IOERR_WRITE, EIO, ERR_IO},
        {SQLITE_IOERR_FSYNC, ENOSPC, ERR_FULL},
        {SQLITE_IOERR_SHMSIZE, EDQUOT, ERR_FULL},
        {SQLITE_IOERR_NOMEM, 0, ERR_NOMEM},
        {SQLITE_CORRUPT, 0, ERR_CORRUPT},
        {SQLITE_NOTADB, 0, ERR_CORRUPT},
        {SQLITE_NOMEM, 0, ERR_NOMEM},
        {SQLITE_CONSTRAINT_UNIQUE, 0, ERR_BUG},
        {SQLITE_MISUSE, 0, ERR_BUG},
        {SQLITE_ERROR, 0, ERR_BUG},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (store_map(rows[i].code, rows[i].number) != rows[i].want)
            fail_msg("code %d, errno %d: got %s, wanted %s", rows[i].code, rows[i].number,
                     err_info(store_map(rows[i].code, rows[i].number))->name,
                     err_info(rows[i].want)->name);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_made_private),
        cmocka_unit_test(test_all_stays_over_reopen),
        cmocka_unit_test(test_held_by_another_process),
        cmocka_unit_test(test_no_folder),
        cmocka_unit_test(test_newer_version_refused),
        cmocka_unit_test(test_foreign_database_refused),
        cmocka_unit_test(test_migration_steps),
        cmocka_unit_test(test_read_only_file),
        cmocka_unit_test(test_danger_is_set_aside),
        cmocka_unit_test(test_inspect),
        cmocka_unit_test(test_order_of_calls),
        cmocka_unit_test(test_marks),
        cmocka_unit_test(test_after_an_error),
        cmocka_unit_test(test_checkpoint),
        cmocka_unit_test(test_codes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
