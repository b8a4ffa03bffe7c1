/* open: a store from its files, and back. In: a path. Out: a store at this build's schema version
 * with every statement prepared. Errors: ERR_HELD, ERR_VERSION, ERR_NOT_FOUND (no such folder),
 * ERR_READONLY, ERR_FULL, ERR_CORRUPT (damaged, or not a store of ours), ERR_IO, ERR_NOMEM; with
 * the first two nothing was changed. Limits: one thread; one process at a time. */
#include <stdlib.h>
#include <sys/stat.h>

#include "base/log.h"
#include "base/point.h"
#include "store/inside.h"
#include "store/vfs.h"

enum { BUSY_WAIT_MS = 50 }; /* somebody's shell may hold the lock for a moment; the loop waits */

/* What every connection is told. The log is moved by store_checkpoint, when the loop is idle. */
static const char settings[] = "PRAGMA foreign_keys = ON;"
                               "PRAGMA synchronous = FULL;"
                               "PRAGMA wal_autocheckpoint = 0;"
                               "PRAGMA temp_store = MEMORY;"
                               "PRAGMA cell_size_check = ON;"
                               "PRAGMA trusted_schema = OFF;";

static int after_commit(void *arg, sqlite3 *db, const char *name, int pages) {
    (void)db;
    (void)name;
    ((struct store *)arg)->wal_pages = pages;
    return SQLITE_OK;
}

/* Nothing is written before the version is known. */
static enum err open_db(struct store *s, const char *path) {
    int rc =
        sqlite3_open_v2(path, &s->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, STORE_VFS_NAME);
    if (!s->db)
        return ERR_NOMEM;
    if (rc != SQLITE_OK)
        return store_rc(s, rc);
    (void)sqlite3_extended_result_codes(s->db, 1);
    (void)sqlite3_busy_timeout(s->db, BUSY_WAIT_MS);
    (void)sqlite3_db_config(s->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    if (sqlite3_db_readonly(s->db, "main") == 1)
        return ERR_READONLY;
    int version;
    enum err e = store_schema_read(s->db, &version);
    if (!e && version > store_schema_version)
        e = ERR_VERSION;
    int64_t foreign = 0, synchronous = 0;
    if (!e)
        e = store_db_exec(s->db, "PRAGMA journal_mode = WAL");
    if (!e)
        e = store_db_exec(s->db, settings);
    if (!e)
        e = store_db_int(s->db, "PRAGMA foreign_keys", &foreign);
    if (!e)
        e = store_db_int(s->db, "PRAGMA synchronous", &synchronous);
    if (!e && (foreign != 1 || synchronous != 2)) /* an SQLite built without what we rely on */
        e = ERR_BUG;
    if (!e)
        e = store_schema_migrate(s->db, store_schema_steps, store_schema_version, &version);
    (void)sqlite3_wal_hook(s->db, after_commit, s);
    s->wal_pages = INT32_MAX; /* what a crash left is not known: the first idle moment moves it */
    return e;
}

static enum err prepare_all(struct store *s) {
    for (int i = 0; i < SQL_TOTAL; i++) {
        const char *text = store_sql_text((enum sql)i);
        if (!text)
            return ERR_BUG;
        int rc =
            sqlite3_prepare_v3(s->db, text, -1, SQLITE_PREPARE_PERSISTENT, &s->prepared[i], NULL);
        if (rc != SQLITE_OK)
            return store_rc(s, rc);
    }
    return ERR_OK;
}

/* A message that ended the last process is kept by its print before anything else is read. */
static enum err set_aside(struct store *s) {
    struct store_print print;
    if (!store_beside_danger(s->beside, &print))
        return ERR_OK;
    enum err e = store_begin(s);
    if (e)
        return e;
    e = store_run(s, SQL_ASIDE_PUT, SQL_VALUES(SQL_PRINT(&print)));
    if (e) {
        store_rollback(s);
        return e;
    }
    e = store_commit(s);
    if (!e) {
        store_safe(s);
        LOG(LOG_ERROR, "message-set-aside", LOG_TEXT("why", "the process ended while reading it"));
    }
    return e;
}

enum err store_open(const struct store_options *options, struct store **out) {
    *out = NULL;
    struct store *s = calloc(1, sizeof *s);
    if (!s)
        return ERR_NOMEM;
    enum err e = store_vfs_register();
    if (!e)
        e = store_vfs_full_flag(options->full_flag);
    if (!e)
        e = store_beside_open(options->path, options->ballast_bytes, &s->beside);
    if (!e)
        e = store_beside_make(options->path);
    if (!e)
        e = open_db(s, options->path);
    if (!e)
        e = prepare_all(s);
    if (!e)
        e = set_aside(s);
    if (e) {
        store_close(s);
        return e;
    }
    if (!store_ballast_restore(s))
        LOG(LOG_WARN, "no-room-for-ballast", LOG_INT("bytes", options->ballast_bytes));
    *out = s;
    return ERR_OK;
}

void store_close(struct store *s) {
    if (!s)
        return;
    if (s->db && s->inside)
        store_rollback(s);
    for (int i = 0; i < SQL_TOTAL; i++)
        (void)sqlite3_finalize(s->prepared[i]);
    (void)sqlite3_close(s->db);
    store_beside_close(s->beside);
    free(s);
}

/* Each row of a check as a line "what: text"; *bad counts those that are not "ok". */
static enum err check(sqlite3 *db, const char *text, const char *what, struct buf *report,
                      int *bad) {
    sqlite3_stmt *st = NULL;
    int rc = sqlite3_prepare_v2(db, text, -1, &st, NULL);
    while (rc == SQLITE_OK || rc == SQLITE_ROW) {
        rc = sqlite3_step(st);
        if (rc != SQLITE_ROW)
            break;
        struct slice row = store_column_text(st, 0);
        if (slice_eq(row, SLICE("ok")))
            continue;
        ++*bad;
        buf_putf(report, "%s: %.*s\n", what, SLICE_ARG(row));
    }
    enum err e = store_map(rc, sqlite3_system_errno(db));
    (void)sqlite3_finalize(st);
    return e;
}

enum err store_inspect(const char *path, struct buf *report) {
    struct stat st;
    if (stat(path, &st) != 0)
        return ERR_NOT_FOUND;
    sqlite3 *db = NULL;
    int version = 0, bad = 0;
    int rc = sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX, NULL);
    enum err e = db ? store_map(rc, sqlite3_system_errno(db)) : ERR_NOMEM;
    if (!e)
        (void)sqlite3_busy_timeout(db, BUSY_WAIT_MS);
    if (!e)
        e = store_schema_read(db, &version);
    if (e)
        goto out;
    if (version > store_schema_version) {
        e = ERR_VERSION;
        goto out;
    }
    e = check(db, "PRAGMA quick_check", "integrity", report, &bad);
    if (!e)
        e = check(db,
                  "SELECT \"table\" || ' ' || coalesce(rowid, '') FROM pragma_foreign_key_check",
                  "points nowhere", report, &bad);
    if (!e && bad)
        e = ERR_CORRUPT;
out:
    if (e)
        buf_putf(report, "%s: %s\n", path, err_info(e)->text);
    else
        buf_putf(report, "%s: sound, version %d of %d\n", path, version, store_schema_version);
    if (e == ERR_VERSION)
        buf_putf(report, "%s: version %d, this build reads up to %d\n", path, version,
                 store_schema_version);
    (void)sqlite3_close(db);
    return e;
}
