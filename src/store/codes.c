/* codes: what a phone must send back before something is done in its name. In: rows of store.h;
 * out: those of a phone that live. A code ends once: whoever uses it looks at the rows that its
 * statement changed, so that it is never accepted twice. Errors beyond those of every call:
 * ERR_CONFLICT for a code that has ended, or a second key; ERR_NOT_FOUND for a store without a key;
 * ERR_CORRUPT for a hash of another length.
 *
 * What ran out or ended long ago is tidied in passing, a few rows a call. */
#include "store/inside.h"

#include <string.h>

enum {
    TIDY_ROWS = 16,              /* more than one call can add */
    KEPT_S = 31 * INT64_C(86400) /* as long as a stranger's number is kept */
};

static bool column_bytes(sqlite3_stmt *st, int column, unsigned char out[STORE_HASH_BYTES]) {
    const void *p = sqlite3_column_blob(st, column);
    if (!p || sqlite3_column_bytes(st, column) != STORE_HASH_BYTES)
        return false;
    memcpy(out, p, STORE_HASH_BYTES);
    return true;
}

static enum err tidy(struct store *s, int64_t now_s) {
    enum err e =
        store_run(s, SQL_CODE_EXPIRE,
                  SQL_VALUES(SQL_INT(now_s), SQL_INT(STORE_CODE_EXPIRED), SQL_INT(TIDY_ROWS)));
    return e ? e
             : store_run(s, SQL_CODE_FORGET,
                         SQL_VALUES(SQL_INT(now_s - KEPT_S), SQL_INT(TIDY_ROWS)));
}

static enum err end_subject(struct store *s, int64_t farm, enum store_code_purpose purpose,
                            struct slice subject, enum store_code_end how, int64_t now_s) {
    return store_run(s, SQL_CODE_END_SUBJECT,
                     SQL_VALUES(SQL_INT(farm), SQL_TEXT(subject), SQL_INT(purpose), SQL_INT(how),
                                SQL_INT(now_s)));
}

enum err store_code_put(struct store *s, const struct store_code *c, int64_t *id) {
    int64_t number = 0;
    enum err e = store_may_write(s);
    if (!e)
        e = tidy(s, c->made_s); /* first, so that what ran out does not count as replaced */
    if (!e)
        e = end_subject(s, c->farm, c->purpose, c->subject, STORE_CODE_REPLACED, c->made_s);
    if (!e)
        e = store_ids(s, "code", 1, &number);
    if (!e)
        e = store_run(s, SQL_CODE_PUT,
                      SQL_VALUES(SQL_INT(number), SQL_INT(c->farm), SQL_INT(c->asker),
                                 SQL_TEXT(c->phone), SQL_INT(c->purpose), SQL_INT(c->role),
                                 SQL_TEXT(c->subject), SQL_BYTES(c->hash, STORE_HASH_BYTES),
                                 SQL_INT(c->made_s), SQL_INT(c->until_s)));
    if (!e && id)
        *id = number;
    return e;
}

enum err store_codes_live(struct store *s, struct slice phone, int64_t now_s, int limit,
                          struct arena *a, struct store_code **out, int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e || limit <= 0)
        return e;
    struct store_code *rows = ARENA_ARRAY(a, (size_t)limit, struct store_code);
    if (!rows)
        return store_fail(s, ERR_NOMEM);
    sqlite3_stmt *st;
    e = store_rows(s, SQL_CODES_LIVE, SQL_VALUES(SQL_TEXT(phone), SQL_INT(now_s), SQL_INT(limit)),
                   &st);
    while (store_next(s, st, &e)) {
        struct store_code *row = &rows[(*count)++];
        *row = (struct store_code){.id = store_column(st, 0),
                                   .farm = store_column(st, 1),
                                   .asker = store_column(st, 2),
                                   .phone = store_column_copy(st, 3, a, &e),
                                   .purpose = (enum store_code_purpose)store_column(st, 4),
                                   .role = (enum store_role)store_column(st, 5),
                                   .subject = store_column_copy(st, 6, a, &e),
                                   .tries = store_column(st, 8),
                                   .made_s = store_column(st, 9),
                                   .until_s = store_column(st, 10)};
        if (!e && !column_bytes(st, 7, row->hash))
            e = ERR_CORRUPT;
    }
    store_end(st);
    *out = rows;
    return store_fail(s, e);
}

static enum err counted(struct store *s, enum sql which, const struct sql_value *values, int n,
                        int *count) {
    int64_t rows = 0;
    enum err e = store_may_read(s);
    if (!e)
        e = store_one(s, which, values, n, &rows);
    *count = (int)(rows < INT32_MAX ? rows : INT32_MAX);
    return e;
}

enum err store_codes_made(struct store *s, struct slice phone, int64_t since_s, int *count) {
    return counted(s, SQL_CODES_MADE, SQL_VALUES(SQL_TEXT(phone), SQL_INT(since_s)), count);
}

enum err store_codes_about(struct store *s, struct slice subject, int *count) {
    return counted(s, SQL_CODES_ABOUT, SQL_VALUES(SQL_TEXT(subject)), count);
}

enum err store_code_miss(struct store *s, int64_t id, int most, int64_t now_s) {
    enum err e = store_may_write(s);
    return e ? e
             : store_run(s, SQL_CODE_MISS,
                         SQL_VALUES(SQL_INT(id), SQL_INT(most), SQL_INT(STORE_CODE_TRIES),
                                    SQL_INT(now_s)));
}

enum err store_code_use(struct store *s, int64_t id, int64_t now_s) {
    enum err e = store_may_write(s);
    if (!e)
        e = store_run(s, SQL_CODE_END,
                      SQL_VALUES(SQL_INT(id), SQL_INT(STORE_CODE_USED), SQL_INT(now_s)));
    return !e && sqlite3_changes(s->db) == 0 ? ERR_CONFLICT : e;
}

enum err store_code_withdraw(struct store *s, int64_t farm, enum store_code_purpose purpose,
                             struct slice subject, int64_t now_s) {
    enum err e = store_may_write(s);
    return e ? e : end_subject(s, farm, purpose, subject, STORE_CODE_WITHDRAWN, now_s);
}

/* -- the key of the hashes ------------------------------------------------------------------------
 */

enum err store_secret_get(struct store *s, unsigned char out[STORE_HASH_BYTES]) {
    enum err e = store_may_read(s);
    if (e)
        return e;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_SECRET_GET, NULL, 0, &st);
    bool found = store_next(s, st, &e);
    if (found && !column_bytes(st, 0, out))
        e = ERR_CORRUPT;
    store_end(st);
    return store_fail(s, !e && !found ? ERR_NOT_FOUND : e);
}

enum err store_secret_put(struct store *s, const unsigned char bytes[STORE_HASH_BYTES]) {
    unsigned char there[STORE_HASH_BYTES];
    enum err e = store_may_write(s);
    if (!e)
        e = store_secret_get(s, there);
    if (e != ERR_NOT_FOUND)
        return e ? e : ERR_CONFLICT;
    return store_run(s, SQL_SECRET_PUT, SQL_VALUES(SQL_BYTES(bytes, STORE_HASH_BYTES)));
}
