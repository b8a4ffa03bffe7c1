/* ledger: what farms reported, and what they were told. Ledger rows are only ever added, gapless
 * from 1 in each farm; the farm's head is the number of the last, and taking the next numbers is
 * one conditional update, so that two writers can never both have them. Rows are checked when they
 * are written (ERR_BUG: the caller's mistake) and again when they are read (ERR_CORRUPT: not what
 * was written). ERR_CONFLICT: the head has moved. Limit: data of at most STORE_DATA_MAX bytes. */
#include "store/inside.h"

#include <stdlib.h>

#include "base/point.h"

/* Instants from 1970 to 2200: wide, but no overflow, milliseconds or noughts from damage. */
static bool is_instant(int64_t at_s) {
    return at_s > 0 && at_s < INT64_C(7258118400);
}

static bool is_sound(const struct store_entry *r, int64_t seq) {
    return r->seq == seq && is_instant(r->at_s) && is_instant(r->said_s) && r->arrival >= 0 &&
           r->person >= 0 && r->kind >= 0 && r->kind < 1000 && r->version >= 0 &&
           r->version < 1000 && r->subject_kind >= 0 && r->subject_kind < 1000 && r->subject >= 0 &&
           r->data.n <= STORE_DATA_MAX && slice_is_utf8(r->data);
}

enum err store_ledger_read(struct store *s, int64_t farm, int64_t after_seq, struct arena *a,
                           struct store_entry **out, int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e)
        return e;
    int64_t head = 0;
    e = store_one(s, SQL_FARM_GET_HEAD, SQL_VALUES(SQL_INT(farm)), &head);
    if (e)
        return e;
    int room = 0;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_LEDGER_READ, SQL_VALUES(SQL_INT(farm), SQL_INT(after_seq)), &st);
    while (store_next(s, st, &e)) {
        struct store_entry *rows = store_room(a, *out, *count, &room, sizeof *rows);
        if (!rows) {
            e = ERR_NOMEM;
            break;
        }
        *out = rows;
        struct store_entry *r = &rows[*count];
        *r = (struct store_entry){.seq = store_column(st, 0),
                                  .at_s = store_column(st, 1),
                                  .said_s = store_column(st, 2),
                                  .arrival = store_column(st, 3),
                                  .person = store_column(st, 4),
                                  .kind = store_column(st, 5),
                                  .version = store_column(st, 6),
                                  .subject_kind = store_column(st, 7),
                                  .subject = store_column(st, 8),
                                  .data = store_column_copy(st, 9, a, &e)};
        ++*count;
        if (!e && !is_sound(r, after_seq + *count))
            e = ERR_CORRUPT;
    }
    store_end(st);
    if (!e && after_seq + *count != (after_seq > head ? after_seq : head))
        e = ERR_CORRUPT;
    return store_fail(s, e);
}

enum err store_ledger_append(struct store *s, int64_t farm, int64_t head,
                             const struct store_entry *rows, int count) {
    enum err e = store_may_write(s);
    if (e || count == 0)
        return e;
    for (int i = 0; i < count; i++)
        if (!is_sound(&rows[i], head + 1 + i))
            return store_fail(s, rows[i].data.n > STORE_DATA_MAX ? ERR_TOO_LONG : ERR_BUG);
    e = store_run(s, SQL_FARM_HEAD, SQL_VALUES(SQL_INT(farm), SQL_INT(head), SQL_INT(count)));
    if (!e && sqlite3_changes(s->db) == 0)
        return ERR_CONFLICT;
    for (int i = 0; !e && i < count; i++) {
        const struct store_entry *r = &rows[i];
        e = store_run(s, SQL_LEDGER_PUT,
                      SQL_VALUES(SQL_INT(farm), SQL_INT(r->seq), SQL_INT(r->at_s),
                                 SQL_INT(r->said_s), SQL_REF(r->arrival), SQL_REF(r->person),
                                 SQL_INT(r->kind), SQL_INT(r->version), SQL_INT(r->subject_kind),
                                 SQL_INT(r->subject), SQL_TEXT(r->data)));
    }
    POINT("store-ledger");
    return e;
}

/* -- told ---------------------------------------------------------------------------------------
 */

/* By the instant, then by the key: the rows come in the order of their key, which qsort need not
 * keep. An index of this order would be written at each telling, to save a sort of a few hundred.
 */
static int by_told(const void *left, const void *right) {
    const struct store_told *a = left, *b = right;
    const int64_t pairs[][2] = {{a->told_s, b->told_s},   {a->task_kind, b->task_kind},
                                {a->subject, b->subject}, {a->nth, b->nth},
                                {a->stage, b->stage},     {a->person, b->person}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
        if (pairs[i][0] != pairs[i][1])
            return pairs[i][0] < pairs[i][1] ? -1 : 1;
    return 0;
}

enum err store_told_read(struct store *s, int64_t farm, struct arena *a, struct store_told **out,
                         int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e)
        return e;
    int room = 0;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_TOLD_READ, SQL_VALUES(SQL_INT(farm)), &st);
    while (store_next(s, st, &e)) {
        struct store_told *rows = store_room(a, *out, *count, &room, sizeof *rows);
        if (!rows) {
            e = ERR_NOMEM;
            break;
        }
        *out = rows;
        rows[(*count)++] = (struct store_told){.task_kind = store_column(st, 0),
                                               .subject = store_column(st, 1),
                                               .nth = store_column(st, 2),
                                               .stage = store_column(st, 3),
                                               .person = store_column(st, 4),
                                               .hour_s = store_column(st, 5),
                                               .told_s = store_column(st, 6),
                                               .outcome = (enum store_outcome)store_column(st, 7)};
    }
    store_end(st);
    if (*count > 1)
        qsort(*out, (size_t)*count, sizeof **out, by_told);
    return store_fail(s, e);
}

enum err store_told_put(struct store *s, int64_t farm, const struct store_told *rows, int count) {
    enum err e = store_may_write(s);
    for (int i = 0; !e && i < count; i++) {
        const struct store_told *r = &rows[i];
        e = store_run(s, SQL_TOLD_PUT,
                      SQL_VALUES(SQL_INT(farm), SQL_INT(r->task_kind), SQL_INT(r->subject),
                                 SQL_INT(r->nth), SQL_INT(r->stage), SQL_INT(r->person),
                                 SQL_INT(r->hour_s), SQL_INT(r->told_s), SQL_INT(r->outcome)));
    }
    POINT("store-told");
    return e;
}

enum err store_told_outcome(struct store *s, int64_t farm, const struct store_told *key,
                            enum store_outcome outcome) {
    if (key->task_kind == 0 || farm == 0)
        return ERR_OK;
    return store_run(s, SQL_TOLD_OUTCOME,
                     SQL_VALUES(SQL_INT(farm), SQL_INT(key->task_kind), SQL_INT(key->subject),
                                SQL_INT(key->nth), SQL_INT(key->stage), SQL_INT(key->person),
                                SQL_INT(outcome)));
}

enum err store_told_drop(struct store *s, int64_t farm, int64_t before_s) {
    enum err e = store_may_write(s);
    return e ? e : store_run(s, SQL_TOLD_DROP, SQL_VALUES(SQL_INT(farm), SQL_INT(before_s)));
}
