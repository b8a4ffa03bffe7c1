/* views: what the host looks at, in bounded slices: farms, a farm's texts of both ways, texts that
 * wait. Reads only. In: where to go on and how many; out: the structs of store.h, in the arena.
 * Errors beyond those of every call: ERR_NOT_FOUND for a text to go on behind that is not there.
 * Limits: STORE_SLICE_MAX rows; each statement walks an index and reads no more rows than it gives,
 * except the count of a farm's waiting texts, which reads those. */
#include "store/inside.h"

static int slice_of_limit(int limit) {
    return limit < STORE_SLICE_MAX ? limit : STORE_SLICE_MAX;
}

enum err store_farms(struct store *s, int64_t after_id, int limit, struct arena *a,
                     struct store_farm **out, int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e || limit <= 0)
        return e;
    limit = slice_of_limit(limit);
    struct store_farm *rows = ARENA_ARRAY(a, (size_t)limit, struct store_farm);
    if (!rows)
        return store_fail(s, ERR_NOMEM);
    sqlite3_stmt *st;
    e = store_rows(s, SQL_FARMS, SQL_VALUES(SQL_INT(after_id), SQL_INT(limit)), &st);
    while (store_next(s, st, &e))
        rows[(*count)++] = (struct store_farm){.id = store_column(st, 0),
                                               .head = store_column(st, 1),
                                               .name = store_column_copy(st, 2, a, &e),
                                               .zone = store_column_copy(st, 3, a, &e),
                                               .country = store_column_copy(st, 4, a, &e),
                                               .made_s = store_column(st, 5)};
    store_end(st);
    *out = rows;
    return store_fail(s, e);
}

/* -- texts --------------------------------------------------------------------------------------
 */

/* The place in one of the two tables before which, in (instant, id), a slice begins. */
struct place {
    int64_t at_s, id;
};

/* A text's id is twice its row's, one more when it went out. */
static int64_t text_id(int64_t row, bool out) {
    return 2 * row + out;
}

/* Where the arrivals and the dispatches behind the text `before` begin. At its own instant, behind
 * one that went out come all that came in, and behind one that came in none that went out. */
static enum err places_behind(struct store *s, int64_t farm, int64_t before, struct place *in,
                              struct place *out) {
    *in = *out = (struct place){INT64_MAX, INT64_MAX};
    if (before == 0)
        return ERR_OK;
    int64_t at_s = 0, row = before / 2;
    bool went_out = before % 2 != 0;
    enum err e = store_one(s, went_out ? SQL_TEXT_OUT_AT : SQL_TEXT_IN_AT,
                           SQL_VALUES(SQL_INT(row), SQL_INT(farm)), &at_s);
    *in = (struct place){at_s, went_out ? INT64_MAX : row};
    *out = (struct place){at_s, went_out ? row : 0};
    return e;
}

static enum err read_texts(struct store *s, bool out, int64_t farm, int64_t person,
                           struct place behind, int limit, struct arena *a, struct store_text *rows,
                           int *count) {
    enum sql which = out ? SQL_TEXTS_OUT : SQL_TEXTS_IN;
    if (person)
        which = out ? SQL_TEXTS_OUT_PERSON : SQL_TEXTS_IN_PERSON;
    const struct sql_value values[] = {SQL_INT(farm), SQL_INT(behind.at_s), SQL_INT(behind.id),
                                       SQL_INT(limit), SQL_INT(person)};
    sqlite3_stmt *st;
    enum err e = store_rows(s, which, values, person ? 5 : 4, &st);
    while (store_next(s, st, &e)) {
        struct store_text *row = &rows[(*count)++];
        *row = (struct store_text){.id = text_id(store_column(st, 0), out),
                                   .out = out,
                                   .at_s = store_column(st, 1),
                                   .person = store_column(st, 2),
                                   .phone = store_column_copy(st, 3, a, &e),
                                   .body = store_column_copy(st, 4, a, &e),
                                   .receipt = (enum store_receipt)store_column(st, 6),
                                   .tries = store_column(st, 7),
                                   .reason = store_column_copy(st, 8, a, &e)};
        if (out)
            row->sent = (enum store_sent)store_column(st, 5);
        else
            row->fate = (enum store_fate)store_column(st, 5);
    }
    store_end(st);
    return e;
}

enum err store_texts_of(struct store *s, int64_t farm, int64_t person, int64_t before, int limit,
                        struct arena *a, struct store_text **out, int *count) {
    struct place in_behind, out_behind;
    int ins = 0, outs = 0, in = 0, sent = 0;
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (!e)
        e = places_behind(s, farm, before, &in_behind, &out_behind);
    if (e || limit <= 0)
        return e;
    limit = slice_of_limit(limit);
    /* the slice, then as many of each way as it could be made of */
    struct store_text *rows = ARENA_ARRAY(a, (size_t)limit * 3, struct store_text);
    if (!rows)
        return store_fail(s, ERR_NOMEM);
    struct store_text *came = rows + limit, *went = came + limit;
    e = read_texts(s, false, farm, person, in_behind, limit, a, came, &ins);
    if (!e)
        e = read_texts(s, true, farm, person, out_behind, limit, a, went, &outs);
    while (!e && *count < limit && (in < ins || sent < outs)) {
        bool from_us = in == ins || (sent < outs && went[sent].at_s >= came[in].at_s);
        rows[(*count)++] = from_us ? went[sent++] : came[in++];
    }
    *out = rows;
    return store_fail(s, e);
}

/* -- waiting ------------------------------------------------------------------------------------
 */

enum err store_waiting(struct store *s, int limit, struct arena *a, struct store_wait **out,
                       int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e || limit <= 0)
        return e;
    limit = slice_of_limit(limit);
    struct store_wait *rows = ARENA_ARRAY(a, (size_t)limit, struct store_wait);
    if (!rows)
        return store_fail(s, ERR_NOMEM);
    sqlite3_stmt *st;
    e = store_rows(s, SQL_WAITING, SQL_VALUES(SQL_INT(limit)), &st);
    while (store_next(s, st, &e))
        rows[(*count)++] = (struct store_wait){.dispatch = store_column(st, 0),
                                               .farm = store_column(st, 1),
                                               .person = store_column(st, 2),
                                               .phone = store_column_copy(st, 3, a, &e),
                                               .level = store_column(st, 4),
                                               .made_s = store_column(st, 5),
                                               .next_s = store_column(st, 6),
                                               .useful_s = store_column(st, 7),
                                               .tries = store_column(st, 8),
                                               .reason = store_column_copy(st, 9, a, &e)};
    store_end(st);
    *out = rows;
    return store_fail(s, e);
}

enum err store_waiting_of(struct store *s, int64_t farm, int64_t *count) {
    *count = 0;
    enum err e = store_may_read(s);
    return e ? e : store_one(s, SQL_WAITING_OF, SQL_VALUES(SQL_INT(farm)), count);
}
