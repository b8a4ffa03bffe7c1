/* arrivals: messages that came in. One row a message, found again by link and print, so that what a
 * link delivers twice is kept once. Errors beyond those of every call: ERR_NOT_FOUND. Bodies are
 * taken away after the days that the settings say; the rows stay, because ledger entries name them.
 */
#include "store/inside.h"

#include <string.h>

#include "base/point.h"

enum err store_arrival_put(struct store *s, const struct store_arrival *arrival, int64_t *id,
                           bool *known) {
    *known = false;
    enum err e = store_may_write(s);
    if (e)
        return e;
    e = store_one(s, SQL_ARRIVAL_FIND,
                  SQL_VALUES(SQL_TEXT(arrival->link), SQL_PRINT(&arrival->print)), id);
    if (e != ERR_NOT_FOUND) {
        *known = e == ERR_OK;
        return e;
    }
    e = store_ids(s, "arrival", 1, id);
    if (!e)
        e = store_run(s, SQL_ARRIVAL_PUT,
                      SQL_VALUES(SQL_INT(*id), SQL_TEXT(arrival->link), SQL_TEXT(arrival->sender),
                                 SQL_TEXT(arrival->receiver), SQL_TEXT(arrival->body),
                                 SQL_PRINT(&arrival->print), SQL_INT(arrival->sent_s),
                                 SQL_INT(arrival->arrived_s), SQL_REF(arrival->farm),
                                 SQL_REF(arrival->person), SQL_INT(arrival->fate)));
    POINT("store-arrival");
    return e;
}

enum err store_arrival_get(struct store *s, int64_t id, struct arena *a,
                           struct store_arrival *out) {
    enum err e = store_may_read(s);
    if (e)
        return e;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_ARRIVAL_GET, SQL_VALUES(SQL_INT(id)), &st);
    bool found = store_next(s, st, &e);
    if (found) {
        *out = (struct store_arrival){.id = store_column(st, 0),
                                      .link = store_column_copy(st, 1, a, &e),
                                      .sender = store_column_copy(st, 2, a, &e),
                                      .receiver = store_column_copy(st, 3, a, &e),
                                      .body = store_column_copy(st, 4, a, &e),
                                      .sent_s = store_column(st, 6),
                                      .arrived_s = store_column(st, 7),
                                      .farm = store_column(st, 8),
                                      .person = store_column(st, 9),
                                      .fate = (enum store_fate)store_column(st, 10)};
        const void *print = sqlite3_column_blob(st, 5);
        if (print && sqlite3_column_bytes(st, 5) == STORE_PRINT_BYTES)
            memcpy(out->print.bytes, print, STORE_PRINT_BYTES);
        else if (!e)
            e = ERR_CORRUPT;
    }
    store_end(st);
    return store_fail(s, !e && !found ? ERR_NOT_FOUND : e);
}

enum err store_arrivals_of(struct store *s, struct slice sender, int64_t since_s, int *count) {
    *count = 0;
    enum err e = store_may_read(s);
    if (e)
        return e;
    int64_t n = 0;
    e = store_one(s, SQL_ARRIVALS_OF,
                  SQL_VALUES(SQL_TEXT(sender), SQL_INT(since_s), SQL_INT(STORE_LIMITED)), &n);
    *count = n > INT32_MAX ? INT32_MAX : (int)n;
    return e;
}

enum err store_arrival_back(struct store *s, struct slice sender, int back, int64_t *at_s) {
    *at_s = 0;
    enum err e = store_may_read(s);
    if (!e)
        e = store_one(s, SQL_ARRIVAL_BACK,
                      SQL_VALUES(SQL_TEXT(sender), SQL_INT(STORE_LIMITED), SQL_INT(back)), at_s);
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err store_arrival_last(struct store *s, int64_t farm, int64_t person, int64_t *at_s) {
    *at_s = 0;
    enum err e = store_may_read(s);
    if (!e)
        e = store_one(s, SQL_ARRIVAL_LAST, SQL_VALUES(SQL_INT(farm), SQL_INT(person)), at_s);
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err store_purge_bodies(struct store *s, int64_t before_s, int limit, int *done) {
    *done = 0;
    enum err e = store_may_write(s);
    if (e || limit <= 0)
        return e;
    e = store_run(s, SQL_ARRIVAL_PURGE, SQL_VALUES(SQL_INT(before_s), SQL_INT(limit)));
    if (!e)
        *done = sqlite3_changes(s->db);
    if (!e && *done < limit) {
        e = store_run(s, SQL_DISPATCH_PURGE, SQL_VALUES(SQL_INT(before_s), SQL_INT(limit - *done)));
        if (!e)
            *done += sqlite3_changes(s->db);
    }
    return e;
}
