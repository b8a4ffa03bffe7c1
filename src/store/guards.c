/* guards: open questions, signature ids that were seen, strangers, messages set aside, counters.
 * All are rows, so that a restart opens no door. What has had its time is removed in passing, a few
 * rows a call, so that no call is ever long. Errors beyond those of every call: ERR_NOT_FOUND. */
#include "store/inside.h"

enum {
    FORGET_ROWS = 16,  /* more than one call can add, so the tables cannot grow without end */
    STRANGER_DAYS = 31 /* a stranger's number is personal: kept a month for the host, no longer */
};

/* -- questions ----------------------------------------------------------------------------------
 */

enum err store_question_get(struct store *s, int64_t person, struct arena *a,
                            struct store_question *out) {
    enum err e = store_may_read(s);
    if (e)
        return e;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_QUESTION_GET, SQL_VALUES(SQL_INT(person)), &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = (struct store_question){.person = store_column(st, 0),
                                       .farm = store_column(st, 1),
                                       .request = store_column_copy(st, 2, a, &e),
                                       .asked = store_column(st, 3),
                                       .asked_s = store_column(st, 4),
                                       .head = store_column(st, 5),
                                       .arrival = store_column(st, 6)};
    store_end(st);
    return store_fail(s, !e && !found ? ERR_NOT_FOUND : e);
}

enum err store_question_put(struct store *s, const struct store_question *q) {
    enum err e = store_may_write(s);
    if (e)
        return e;
    return store_run(s, SQL_QUESTION_PUT,
                     SQL_VALUES(SQL_INT(q->person), SQL_REF(q->farm), SQL_TEXT(q->request),
                                SQL_INT(q->asked), SQL_INT(q->asked_s), SQL_INT(q->head),
                                SQL_REF(q->arrival)));
}

enum err store_question_drop(struct store *s, int64_t person) {
    enum err e = store_may_write(s);
    return e ? e : store_run(s, SQL_QUESTION_DROP, SQL_VALUES(SQL_INT(person)));
}

/* -- guards -------------------------------------------------------------------------------------
 */

enum err store_is_aside(struct store *s, const struct store_print *print, bool *aside) {
    int64_t one;
    *aside = false;
    enum err e = store_may_read(s);
    if (e)
        return e;
    e = store_one(s, SQL_ASIDE_GET, SQL_VALUES(SQL_PRINT(print)), &one);
    *aside = e == ERR_OK;
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err store_seen(struct store *s, struct slice link, struct slice id, int64_t now_s,
                    int64_t until_s, bool *seen) {
    int64_t until = 0;
    *seen = false;
    enum err e = store_may_write(s);
    if (e)
        return e;
    e = store_one(s, SQL_SEEN_GET, SQL_VALUES(SQL_TEXT(link), SQL_TEXT(id)), &until);
    if (e && e != ERR_NOT_FOUND)
        return e;
    *seen = e == ERR_OK && until > now_s;
    if (*seen)
        return ERR_OK;
    e = store_run(s, SQL_SEEN_PUT, SQL_VALUES(SQL_TEXT(link), SQL_TEXT(id), SQL_INT(until_s)));
    if (!e)
        e = store_run(s, SQL_SEEN_FORGET, SQL_VALUES(SQL_INT(now_s), SQL_INT(FORGET_ROWS)));
    return e;
}

enum err store_closed_until(struct store *s, struct slice phone, int64_t *until_s) {
    *until_s = 0;
    enum err e = store_may_read(s);
    if (!e)
        e = store_one(s, SQL_SEEN_GET, SQL_VALUES(SQL_TEXT(SLICE("")), SQL_TEXT(phone)), until_s);
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err store_close_until(struct store *s, struct slice phone, int64_t now_s, int64_t until_s) {
    bool seen;
    return store_seen(s, SLICE(""), phone, now_s, until_s, &seen);
}

enum err store_stranger(struct store *s, struct slice phone, int64_t day, int64_t now_s,
                        bool *answer) {
    int64_t texts = 0;
    *answer = false;
    enum err e = store_may_write(s);
    if (e)
        return e;
    e = store_one(s, SQL_STRANGER_PUT, SQL_VALUES(SQL_INT(day), SQL_TEXT(phone), SQL_INT(now_s)),
                  &texts);
    if (!e)
        e = store_run(s, SQL_STRANGER_FORGET,
                      SQL_VALUES(SQL_INT(day - STRANGER_DAYS), SQL_INT(FORGET_ROWS)));
    *answer = !e && texts == 1;
    return store_fail(s, e == ERR_NOT_FOUND ? ERR_BUG : e);
}

/* -- counters -----------------------------------------------------------------------------------
 */

enum err store_count(struct store *s, const char *name, int64_t add) {
    enum err e = store_may_write(s);
    if (e)
        return e;
    return store_run(s, SQL_COUNTER_ADD, SQL_VALUES(SQL_TEXT(slice_of(name)), SQL_INT(add)));
}

enum err store_counters(struct store *s, struct arena *a, struct store_counter **out, int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e)
        return e;
    int room = 0;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_COUNTERS, NULL, 0, &st);
    while (store_next(s, st, &e)) {
        struct store_counter *rows = store_room(a, *out, *count, &room, sizeof *rows);
        if (!rows) {
            e = ERR_NOMEM;
            break;
        }
        *out = rows;
        rows[*count].name = store_column_copy(st, 0, a, &e);
        rows[*count].value = store_column(st, 1);
        ++*count;
    }
    store_end(st);
    return store_fail(s, e);
}
