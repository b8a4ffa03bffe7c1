/* receipts: what the network says became of a text. They come late, twice and out of order (3GPP TS
 * 23.040, 9.2.3.15 names the states), so the state only rises: nothing, pending, failed, delivered.
 * A text that was delivered is never failed again; one that failed may still be delivered. A
 * receipt of delivery for a text that still waits (its attempt ended without an answer) ends it: it
 * is not sent again. Unknown ones are counted as "receipt_unknown". Errors: those of every call. */
#include "store/inside.h"

#include "base/point.h"

struct found {
    int64_t id, farm;
    enum store_receipt was; /* 0: none yet */
    struct store_told told;
};

static enum err find(struct store *s, enum sql which, const struct sql_value *values, int count,
                     struct found *out) {
    sqlite3_stmt *st;
    enum err e = store_rows(s, which, values, count, &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = (struct found){.id = store_column(st, 0),
                              .farm = store_column(st, 1),
                              .was = (enum store_receipt)store_column(st, 7),
                              .told = {.person = store_column(st, 2),
                                       .task_kind = store_column(st, 3),
                                       .subject = store_column(st, 4),
                                       .nth = store_column(st, 5),
                                       .stage = store_column(st, 6)}};
    store_end(st);
    return !e && !found ? ERR_NOT_FOUND : e;
}

static int rank(enum store_receipt state) {
    return state == STORE_RECEIPT_DELIVERED ? 3
           : state == STORE_RECEIPT_FAILED  ? 2
           : state == STORE_RECEIPT_PENDING ? 1
                                            : 0;
}

static enum err apply(struct store *s, const struct found *d, enum store_receipt state,
                      int64_t at_s) {
    enum err e =
        store_run(s, SQL_RECEIPT_PUT, SQL_VALUES(SQL_INT(d->id), SQL_INT(state), SQL_INT(at_s)));
    if (e || state == STORE_RECEIPT_PENDING)
        return e;
    if (state == STORE_RECEIPT_DELIVERED)
        e = store_run(s, SQL_RECEIPT_ENDS, SQL_VALUES(SQL_INT(d->id), SQL_INT(at_s)));
    if (!e)
        e = store_told_outcome(s, d->farm, &d->told,
                               state == STORE_RECEIPT_DELIVERED ? STORE_DELIVERED : STORE_FAILED);
    return e;
}

enum err store_receipt_put(struct store *s, struct slice link, struct slice reference,
                           struct slice provider_id, enum store_receipt state, int64_t at_s,
                           bool *known, int64_t *farm) {
    *known = false;
    *farm = 0;
    struct found d;
    enum err e = store_may_write(s);
    if (!e && rank(state) == 0)
        e = store_fail(s, ERR_BUG);
    if (e)
        return e;
    e = ERR_NOT_FOUND;
    if (reference.n)
        e = find(s, SQL_RECEIPT_BY_REFERENCE, SQL_VALUES(SQL_TEXT(reference)), &d);
    if (e == ERR_NOT_FOUND && provider_id.n)
        e = find(s, SQL_RECEIPT_BY_PROVIDER, SQL_VALUES(SQL_TEXT(link), SQL_TEXT(provider_id)), &d);
    if (e == ERR_NOT_FOUND)
        return store_count(s, "receipt_unknown", 1);
    if (e)
        return e;
    *known = true;
    if (rank(state) > rank(d.was)) {
        e = apply(s, &d, state, at_s);
        if (!e && state != STORE_RECEIPT_PENDING)
            *farm = d.farm;
    }
    POINT("store-receipt");
    return e;
}
