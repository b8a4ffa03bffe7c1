/* dispatch: texts that go out, from the turn that wrote them to their end. In: rows of store.h.
 * Out: rows under a lease. Errors beyond those of every call: ERR_BUG for a row or an attempt that
 * cannot be (unknown id, no holder, a level outside 0 to 3).
 *
 * One text in flight a phone: a phone that has a leased row gets no other. A lease that has run out
 * counts as none, so a sender that died does not hold a text for ever. An attempt on a text that
 * has ended meanwhile (a receipt was faster) changes nothing but adds the provider's id. */
#include "store/inside.h"

#include "base/point.h"

enum { LEVELS = 4, STATE_WAITING = 0 };

enum err store_dispatch_put(struct store *s, const struct store_dispatch *rows, int count) {
    enum err e = store_may_write(s);
    if (e || count == 0)
        return e;
    int64_t id = 0;
    e = store_ids(s, "dispatch", count, &id);
    for (int i = 0; !e && i < count; i++, id++) {
        const struct store_dispatch *r = &rows[i];
        e = store_run(s, SQL_DISPATCH_PUT,
                      SQL_VALUES(SQL_INT(id), SQL_TEXT(r->reference), SQL_REF(r->farm),
                                 SQL_REF(r->person), SQL_TEXT(r->link), SQL_TEXT(r->to),
                                 SQL_TEXT(r->body), SQL_INT(r->level), SQL_INT(r->made_s),
                                 SQL_INT(r->next_s), SQL_INT(r->useful_s), SQL_INT(r->tries),
                                 SQL_INT(r->task_kind), SQL_INT(r->subject), SQL_INT(r->nth),
                                 SQL_INT(r->stage)));
    }
    POINT("store-dispatch");
    return e;
}

/* -- taking -------------------------------------------------------------------------------------
 */

static enum err read_row(struct store *s, int64_t id, struct arena *a, struct store_dispatch *out) {
    sqlite3_stmt *st;
    enum err e = store_rows(s, SQL_DISPATCH_GET, SQL_VALUES(SQL_INT(id)), &st);
    if (store_next(s, st, &e))
        *out = (struct store_dispatch){.id = store_column(st, 0),
                                       .reference = store_column_copy(st, 1, a, &e),
                                       .farm = store_column(st, 2),
                                       .person = store_column(st, 3),
                                       .link = store_column_copy(st, 4, a, &e),
                                       .to = store_column_copy(st, 5, a, &e),
                                       .body = store_column_copy(st, 6, a, &e),
                                       .level = store_column(st, 7),
                                       .made_s = store_column(st, 8),
                                       .next_s = store_column(st, 9),
                                       .useful_s = store_column(st, 10),
                                       .tries = store_column(st, 11),
                                       .task_kind = store_column(st, 12),
                                       .subject = store_column(st, 13),
                                       .nth = store_column(st, 14),
                                       .stage = store_column(st, 15)};
    store_end(st);
    return e;
}

struct taking {
    int64_t now_s, holder, until_s;
    int limit, count;
    struct slice *phones; /* of the rows picked */
    struct arena *arena;
};

/* Phones of one level that have something to send, each once, behind those picked before. */
static enum err pick_phones(struct store *s, struct taking *t, int level) {
    sqlite3_stmt *st;
    enum err e =
        store_rows(s, SQL_DISPATCH_READY, SQL_VALUES(SQL_INT(level), SQL_INT(t->now_s)), &st);
    while (t->count < t->limit && store_next(s, st, &e)) {
        struct slice phone = store_column_text(st, 0);
        bool known = false;
        for (int i = 0; i < t->count && !known; i++)
            known = slice_eq(phone, t->phones[i]);
        if (known)
            continue;
        t->phones[t->count] = store_column_copy(st, 0, t->arena, &e);
        t->count++;
    }
    store_end(st);
    return e;
}

/* A phone's best text, leased. */
static enum err lease(struct store *s, const struct taking *t, int at, struct store_dispatch *out) {
    int64_t id = 0;
    enum err e = store_one(s, SQL_DISPATCH_BEST,
                           SQL_VALUES(SQL_TEXT(t->phones[at]), SQL_INT(t->now_s)), &id);
    if (e)
        return e == ERR_NOT_FOUND ? ERR_BUG : e;
    e = store_run(s, SQL_DISPATCH_LEASE,
                  SQL_VALUES(SQL_INT(id), SQL_INT(t->holder), SQL_INT(t->until_s)));
    return e ? e : read_row(s, id, t->arena, out);
}

enum err store_dispatch_take(struct store *s, int64_t now_s, int64_t holder, int64_t until_s,
                             int limit, struct arena *a, struct store_dispatch **out, int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_write(s);
    if (!e && (holder == 0 || until_s <= now_s))
        e = store_fail(s, ERR_BUG);
    if (e || limit <= 0)
        return e;
    struct taking t = {now_s, holder, until_s, limit, 0, NULL, a};
    t.phones = ARENA_ARRAY(a, (size_t)limit, struct slice);
    *out = ARENA_ARRAY(a, (size_t)limit, struct store_dispatch);
    if (!t.phones || !*out)
        return store_fail(s, ERR_NOMEM);
    for (int level = 0; !e && level < LEVELS && t.count < limit; level++)
        e = pick_phones(s, &t, level);
    for (int i = 0; !e && i < t.count; i++) {
        e = lease(s, &t, i, &(*out)[i]);
        if (!e)
            ++*count;
    }
    return store_fail(s, e);
}

enum err store_dispatch_next(struct store *s, int64_t *next_s) {
    *next_s = INT64_MAX;
    enum err e = store_may_read(s);
    /* A leased text, and those behind it on the same phone, wait for the attempt to end: they must
     * not wake the loop before its lease has run out. */
    int64_t at = 0;
    if (!e)
        e = store_one(s, SQL_DISPATCH_LEASES_END, NULL, 0, &at);
    if (!e)
        *next_s = at;
    for (int level = 0; (!e || e == ERR_NOT_FOUND) && level < LEVELS; level++) {
        e = store_one(s, SQL_DISPATCH_NEXT, SQL_VALUES(SQL_INT(level)), &at);
        if (!e && at < *next_s)
            *next_s = at;
    }
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err store_dispatch_free(struct store *s, int64_t holder) {
    enum err e = store_may_write(s);
    return e ? e : store_run(s, SQL_DISPATCH_FREE, SQL_VALUES(SQL_INT(holder)));
}

/* -- ending -------------------------------------------------------------------------------------
 */

struct dispatch_key {
    int64_t farm, state;
    struct store_told told;
};

static enum err read_key(struct store *s, int64_t id, struct dispatch_key *out) {
    sqlite3_stmt *st;
    enum err e = store_rows(s, SQL_DISPATCH_KEY, SQL_VALUES(SQL_INT(id)), &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = (struct dispatch_key){.farm = store_column(st, 0),
                                     .state = store_column(st, 6),
                                     .told = {.person = store_column(st, 1),
                                              .task_kind = store_column(st, 2),
                                              .subject = store_column(st, 3),
                                              .nth = store_column(st, 4),
                                              .stage = store_column(st, 5)}};
    store_end(st);
    return !e && !found ? ERR_BUG : e;
}

static enum err attempt(struct store *s, const struct store_attempt *r) {
    struct dispatch_key key;
    enum err e = read_key(s, r->dispatch, &key);
    if (e)
        return e;
    if (key.state != STATE_WAITING)
        return r->sent == STORE_DONE && r->provider_id.n
                   ? store_run(s, SQL_DISPATCH_PROVIDER,
                               SQL_VALUES(SQL_INT(r->dispatch), SQL_TEXT(r->provider_id)))
                   : ERR_OK;
    if (r->sent == STORE_LATER)
        return store_run(s, SQL_DISPATCH_LATER,
                         SQL_VALUES(SQL_INT(r->dispatch), SQL_INT(r->next_s), SQL_TEXT(r->reason),
                                    SQL_INT(!r->untried)));
    if (r->sent != STORE_DONE && r->sent != STORE_NEVER && r->sent != STORE_EXPIRED)
        return ERR_BUG;
    int tried = r->sent == STORE_EXPIRED ? 0 : 1;
    e = store_run(s, SQL_DISPATCH_END,
                  SQL_VALUES(SQL_INT(r->dispatch), SQL_INT(r->sent), SQL_INT(r->at_s),
                             SQL_TEXT(r->provider_id), SQL_TEXT(r->reason), SQL_INT(tried)));
    if (!e)
        e = store_told_outcome(s, key.farm, &key.told,
                               r->sent == STORE_DONE ? STORE_SENT : STORE_FAILED);
    return e;
}

enum err store_dispatch_done(struct store *s, const struct store_attempt *rows, int count) {
    enum err e = store_may_write(s);
    for (int i = 0; !e && i < count; i++)
        e = store_fail(s, attempt(s, &rows[i]));
    POINT("store-attempt");
    return e;
}

enum err store_is_echo(struct store *s, struct slice phone, struct slice body, int64_t since_s,
                       bool *echo) {
    int64_t one;
    *echo = false;
    enum err e = store_may_read(s);
    if (e)
        return e;
    e = store_one(s, SQL_DISPATCH_ECHO,
                  SQL_VALUES(SQL_TEXT(phone), SQL_TEXT(body), SQL_INT(since_s)), &one);
    *echo = e == ERR_OK;
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}
