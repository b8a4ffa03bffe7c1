/* diary: when each farm must be looked at again. The rows only wake; what is due is planned anew.
 * In: all rows of a farm, in any order. Out: farms with due rows. Errors: those of every call;
 * ERR_BUG for a row of another farm. Of two rows with the same key the last holds. The rows lie on
 * the disk in the order of their hour, so what is due is at the front. A lease that another process
 * holds on a row is respected; this build takes none, because one process has the store. */
#include "store/inside.h"

#include <string.h>

#include "base/point.h"

static int compare(int64_t a, int64_t b) {
    return a < b ? -1 : a > b;
}

static int by_key(const void *left, const void *right) {
    const struct store_wake *a = left, *b = right;
    int c = compare(a->due_s, b->due_s);
    c = c ? c : compare(a->task_kind, b->task_kind);
    c = c ? c : compare(a->subject, b->subject);
    c = c ? c : compare(a->nth, b->nth);
    return c ? c : compare(a->stage, b->stage);
}

/* A copy in the order of the keys, each once; a stable order keeps the last of equal ones. */
static enum err sorted(int64_t farm, const struct store_wake *rows, int count, struct arena *a,
                       struct store_wake **out, int *n) {
    *n = 0;
    *out = ARENA_ARRAY(a, (size_t)count, struct store_wake);
    if (!*out)
        return ERR_NOMEM;
    for (int i = 0; i < count; i++) {
        if (rows[i].farm != farm)
            return ERR_BUG;
        int at = *n; /* insertion: plans come nearly in order, and are short */
        while (at > 0 && by_key(&rows[i], &(*out)[at - 1]) < 0)
            at--;
        if (at > 0 && by_key(&rows[i], &(*out)[at - 1]) == 0) {
            (*out)[at - 1] = rows[i];
            continue;
        }
        memmove(&(*out)[at + 1], &(*out)[at], (size_t)(*n - at) * sizeof **out);
        (*out)[at] = rows[i];
        ++*n;
    }
    return ERR_OK;
}

static enum err read_rows(struct store *s, int64_t farm, struct arena *a, struct store_wake **out,
                          int *count) {
    *out = NULL;
    *count = 0;
    int room = 0;
    sqlite3_stmt *st;
    enum err e = store_rows(s, SQL_DIARY_READ, SQL_VALUES(SQL_INT(farm)), &st);
    while (store_next(s, st, &e)) {
        struct store_wake *rows = store_room(a, *out, *count, &room, sizeof *rows);
        if (!rows) {
            e = ERR_NOMEM;
            break;
        }
        *out = rows;
        rows[(*count)++] = (struct store_wake){.due_s = store_column(st, 0),
                                               .farm = store_column(st, 1),
                                               .task_kind = store_column(st, 2),
                                               .subject = store_column(st, 3),
                                               .nth = store_column(st, 4),
                                               .stage = store_column(st, 5),
                                               .level = store_column(st, 6),
                                               .useful_s = store_column(st, 7)};
    }
    store_end(st);
    return e;
}

static enum err drop(struct store *s, const struct store_wake *r) {
    return store_run(s, SQL_DIARY_DROP,
                     SQL_VALUES(SQL_INT(r->due_s), SQL_INT(r->farm), SQL_INT(r->task_kind),
                                SQL_INT(r->subject), SQL_INT(r->nth), SQL_INT(r->stage)));
}

static enum err put(struct store *s, const struct store_wake *r) {
    return store_run(s, SQL_DIARY_PUT,
                     SQL_VALUES(SQL_INT(r->due_s), SQL_INT(r->farm), SQL_INT(r->task_kind),
                                SQL_INT(r->subject), SQL_INT(r->nth), SQL_INT(r->stage),
                                SQL_INT(r->level), SQL_INT(r->useful_s)));
}

enum err store_diary_set(struct store *s, int64_t farm, const struct store_wake *rows, int count) {
    enum err e = store_may_write(s);
    if (e)
        return e;
    struct arena scratch = arena_make(4 * 1024 * 1024);
    struct store_wake *want, *have;
    int wants = 0, has = 0;
    e = sorted(farm, rows, count, &scratch, &want, &wants);
    if (!e)
        e = read_rows(s, farm, &scratch, &have, &has);
    /* Both are in the same order: walk them side by side. */
    for (int w = 0, h = 0; !e && (w < wants || h < has);) {
        int c = w == wants ? 1 : h == has ? -1 : by_key(&want[w], &have[h]);
        if (c > 0)
            e = drop(s, &have[h++]);
        else if (c < 0)
            e = put(s, &want[w++]);
        else {
            if (want[w].level != have[h].level || want[w].useful_s != have[h].useful_s)
                e = put(s, &want[w]);
            w++;
            h++;
        }
    }
    arena_free(&scratch);
    POINT("store-diary");
    return store_fail(s, e);
}

/* Farms of `which` not yet in the list, up to its limit. */
static enum err add_due(struct store *s, enum sql which, int64_t now_s, int limit, int64_t *farms,
                        int *count) {
    sqlite3_stmt *st;
    enum err e = store_rows(s, which, SQL_VALUES(SQL_INT(now_s)), &st);
    while (*count < limit && store_next(s, st, &e)) {
        int64_t farm = store_column(st, 0);
        bool known = false;
        for (int i = *count; i > 0 && !known; i--)
            known = farms[i - 1] == farm;
        if (!known)
            farms[(*count)++] = farm;
    }
    store_end(st);
    return e;
}

enum err store_diary_due(struct store *s, int64_t now_s, int limit, struct arena *a,
                         int64_t **farms, int *count) {
    *farms = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e || limit <= 0)
        return e;
    *farms = ARENA_ARRAY(a, (size_t)limit, int64_t);
    if (!*farms)
        return store_fail(s, ERR_NOMEM);
    e = add_due(s, SQL_DIARY_ALARMS, now_s, limit, *farms, count);
    if (!e)
        e = add_due(s, SQL_DIARY_DUE, now_s, limit, *farms, count);
    return e;
}

enum err store_diary_next(struct store *s, int64_t *due_s) {
    *due_s = INT64_MAX;
    enum err e = store_may_read(s);
    if (!e)
        e = store_one(s, SQL_DIARY_NEXT, NULL, 0, due_s);
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}
