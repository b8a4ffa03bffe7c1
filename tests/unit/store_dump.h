/* store_dump: every row of every table as text, so that a test can say that nothing changed. */
#ifndef STORE_DUMP_H
#define STORE_DUMP_H

#include <sqlite3.h>

#include "base/buf.h"

static inline void dump_table(sqlite3 *db, const char *table, struct buf *out) {
    sqlite3_stmt *st = NULL;
    struct buf sql = buf_make(1000);
    buf_putf(&sql, "SELECT * FROM \"%s\"", table);
    if (sqlite3_prepare_v2(db, buf_str(&sql), -1, &st, NULL) != SQLITE_OK)
        fail_msg("%s: %s", table, sqlite3_errmsg(db));
    while (sqlite3_step(st) == SQLITE_ROW) {
        buf_putf(out, "%s", table);
        for (int i = 0; i < sqlite3_column_count(st); i++) {
            const unsigned char *text = sqlite3_column_text(st, i);
            buf_putf(out, "|%s", text ? (const char *)text : "(null)");
        }
        buf_putf(out, "\n");
    }
    (void)sqlite3_finalize(st);
    buf_free(&sql);
}

/* Caller frees. */
static inline struct buf dump_store(sqlite3 *db) {
    struct buf out = buf_make((size_t)16 * 1024 * 1024);
    sqlite3_stmt *st = NULL;
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT name FROM sqlite_schema WHERE type = 'table'"
                                        " AND name <> 'probe' ORDER BY name",
                                        -1, &st, NULL),
                     SQLITE_OK);
    while (sqlite3_step(st) == SQLITE_ROW)
        dump_table(db, (const char *)sqlite3_column_text(st, 0), &out);
    (void)sqlite3_finalize(st);
    assert_string_equal(err_info(buf_err(&out))->name, "ok"); /* the whole of it */
    return out;
}

#endif
