/* commit: transactions, the part that can be taken back alone, moving the log into the file, and
 * the probe. Errors: those of every call (store.h); ERR_BUG for a call out of its order.
 *
 * An error at commit leaves nothing for this process: SQLite rolls back. If the log's sync failed
 * and the machine then dies before the next commit overwrites it, the rows may still be there at
 * the next start, whole. The sender was told "later", sends again, and the print finds it. */
#include "store/inside.h"

#include "base/log.h"
#include "base/point.h"

enum err store_begin(struct store *s) {
    if (s->inside)
        return ERR_BUG;
    POINT("store-begin");
    enum err e = store_run(s, SQL_BEGIN, NULL, 0);
    if (!e) {
        s->inside = true;
        s->marked = false;
        s->broken = ERR_OK;
    }
    return e;
}

void store_rollback(struct store *s) {
    /* Not inside: SQLite has ended it by itself, or it never began. */
    s->inside = false;
    if (!sqlite3_get_autocommit(s->db) && store_run(s, SQL_ROLLBACK, NULL, 0))
        LOG(LOG_ERROR, "rollback-failed", LOG_TEXT("text", sqlite3_errmsg(s->db)));
    s->marked = false;
    s->broken = ERR_OK;
}

enum err store_commit(struct store *s) {
    if (!s->inside)
        return ERR_BUG;
    enum err e = s->marked ? ERR_BUG : s->broken;
    POINT("store-commit-before");
    if (!e)
        e = store_run(s, SQL_COMMIT, NULL, 0);
    if (e) {
        store_rollback(s);
        return e;
    }
    s->inside = false;
    POINT("store-commit-after");
    return ERR_OK;
}

enum err store_mark(struct store *s) {
    enum err e = store_may_write(s);
    if (!e && s->marked)
        e = store_fail(s, ERR_BUG);
    if (!e)
        e = store_run(s, SQL_MARK, NULL, 0);
    if (!e)
        s->marked = true;
    return e;
}

enum err store_mark_keep(struct store *s) {
    enum err e = store_may_write(s);
    if (!e && !s->marked)
        e = store_fail(s, ERR_BUG);
    if (!e)
        e = store_run(s, SQL_MARK_KEEP, NULL, 0);
    if (!e)
        s->marked = false;
    return e;
}

/* What the disk refused once it may refuse again half-way: only a rollback is safe then. */
static bool is_of_the_disk(enum err e) {
    return e == ERR_FULL || e == ERR_IO || e == ERR_READONLY || e == ERR_BUSY;
}

void store_mark_undo(struct store *s) {
    if (!s->inside || !s->marked)
        return;
    s->marked = false;
    enum err was = s->broken;
    if (is_of_the_disk(was) || sqlite3_get_autocommit(s->db))
        return;
    s->broken = ERR_OK; /* a failure below sets it again */
    enum err e = store_run(s, SQL_MARK_UNDO, NULL, 0);
    if (!e)
        e = store_run(s, SQL_MARK_KEEP, NULL, 0);
    if (e)
        s->broken = was ? was : e;
}

void store_checkpoint(struct store *s, int pages) {
    if (s->inside || s->wal_pages == 0 || s->wal_pages < pages)
        return;
    POINT("store-checkpoint");
    int in_log = 0, moved = 0;
    int rc = sqlite3_wal_checkpoint_v2(s->db, "main", SQLITE_CHECKPOINT_PASSIVE, &in_log, &moved);
    enum err e = store_map(rc, sqlite3_system_errno(s->db));
    if (!e && in_log == moved)
        s->wal_pages = 0;
    if (e && e != s->checkpoint_e) /* it is tried again at every turn: told once */
        LOG(LOG_WARN, "checkpoint-failed", LOG_TEXT("err", err_info(e)->name),
            LOG_INT("pages", s->wal_pages));
    s->checkpoint_e = e;
}

enum err store_probe(struct store *s, int64_t now_s) {
    enum err e = store_begin(s);
    if (e)
        return e;
    e = store_run(s, SQL_PROBE, SQL_VALUES(SQL_INT(now_s)));
    if (e) {
        store_rollback(s);
        return e;
    }
    return store_commit(s);
}
