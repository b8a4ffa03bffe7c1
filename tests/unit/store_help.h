/* store_help: what the tests of the store share: a folder of their own, a store in it, sample rows,
 * one whole turn as the daemon would write it, and the laws that must hold whatever happened. */
#ifndef STORE_HELP_H
#define STORE_HELP_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/log.h"
#include "store/inside.h"

#define NOW INT64_C(1775000000)
/* The names of what was got and what was wanted are printed when they differ. */
#define WANT(error, call) assert_string_equal(err_info(call)->name, err_info(error)->name)
#define OK(call)          WANT(ERR_OK, call)
#define TEXT(got, want)                                                                            \
    do {                                                                                           \
        struct slice got_text = (got);                                                             \
        char got_bytes[600];                                                                       \
        (void)snprintf(got_bytes, sizeof got_bytes, "%.*s", SLICE_ARG(got_text));                  \
        assert_string_equal(got_bytes, want);                                                      \
    } while (0)

struct help {
    char folder[64], path[96], flag[96];
    struct store *s;
    struct arena a;
    int64_t farm, owner, worker;
};

static inline void help_make(struct help *h) {
    memset(h, 0, sizeof *h);
    (void)snprintf(h->folder, sizeof h->folder, "/tmp/barbel-store-XXXXXX");
    assert_non_null(mkdtemp(h->folder));
    (void)snprintf(h->path, sizeof h->path, "%s/farm.db", h->folder);
    (void)snprintf(h->flag, sizeof h->flag, "%s/full", h->folder);
    h->a = arena_make(8 * 1024 * 1024);
    log_least((enum log_level)(LOG_ERROR + 1)); /* the tests provoke what would be logged */
}

static inline void help_remove(struct help *h) {
    store_close(h->s);
    arena_free(&h->a);
    DIR *d = opendir(h->folder);
    for (struct dirent *f; d && (f = readdir(d));) {
        char name[400];
        (void)snprintf(name, sizeof name, "%s/%s", h->folder, f->d_name);
        if (f->d_name[0] != '.')
            (void)unlink(name);
    }
    if (d)
        (void)closedir(d);
    assert_int_equal(rmdir(h->folder), 0);
}

static inline enum err help_open(struct help *h, int64_t ballast_bytes) {
    return store_open(&(struct store_options){h->path, ballast_bytes, h->flag}, &h->s);
}

static inline int64_t help_count(struct help *h, const char *sql) {
    int64_t n = -1;
    OK(store_db_int(h->s->db, sql, &n));
    return n;
}

static inline struct store_print help_print(int64_t n) {
    struct store_print p = {{0}};
    (void)snprintf((char *)p.bytes, sizeof p.bytes, "print %lld", (long long)n);
    return p;
}

static inline struct store_arrival help_arrival(int64_t n, const char *body) {
    return (struct store_arrival){.link = SLICE("north"),
                                  .sender = SLICE("+447700900001"),
                                  .receiver = SLICE("+447700900999"),
                                  .body = slice_of(body),
                                  .print = help_print(n),
                                  .sent_s = NOW + n - 3,
                                  .arrived_s = NOW + n,
                                  .fate = STORE_READ};
}

static inline struct store_entry help_entry(int64_t seq, int64_t arrival, int64_t person) {
    return (struct store_entry){.seq = seq,
                                .at_s = NOW + seq,
                                .said_s = NOW + seq + 1,
                                .arrival = arrival,
                                .person = person,
                                .kind = 3,
                                .version = 1,
                                .subject_kind = 1,
                                .subject = 7,
                                .data = SLICE("weight_mg=1200000 female=3")};
}

static inline struct store_person help_person(const char *phone) {
    return (struct store_person){.phone = slice_of(phone),
                                 .language = SLICE("en"),
                                 .link = SLICE("north"),
                                 .heard_s = NOW,
                                 .morning_min = STORE_MORNING_MIN};
}

/* A text with a reference made of its number. */
static inline struct store_dispatch help_dispatch(char reference[33], int64_t n, const char *to) {
    (void)snprintf(reference, 33, "%032llx", (unsigned long long)n);
    return (struct store_dispatch){.reference = {reference, 32},
                                   .link = SLICE("north"),
                                   .to = slice_of(to),
                                   .body = SLICE("F3: look now."),
                                   .level = 1,
                                   .made_s = NOW,
                                   .next_s = NOW,
                                   .useful_s = INT64_MAX};
}

/* One farm, its owner and a worker, committed. */
static inline void help_farm(struct help *h) {
    OK(store_begin(h->s));
    OK(store_farm_put(h->s,
                      &(struct store_farm){.name = SLICE("Creek"),
                                           .zone = SLICE("Africa/Lagos"),
                                           .country = SLICE("NG"),
                                           .made_s = NOW},
                      &h->farm));
    struct store_person owner = help_person("+447700900001");
    struct store_person worker = help_person("+447700900002");
    owner.farm = worker.farm = h->farm;
    OK(store_person_put(h->s, &owner, NOW, &h->owner));
    OK(store_person_put(h->s, &worker, NOW, &h->worker));
    OK(store_member_put(h->s, h->farm, h->owner, STORE_OWNER, NOW));
    OK(store_member_put(h->s, h->farm, h->worker, STORE_WORKER, NOW));
    OK(store_commit(h->s));
}

static inline void help_start(struct help *h) {
    help_make(h);
    OK(help_open(h, 0));
    help_farm(h);
}

/* -- a whole turn -------------------------------------------------------------------------------
 */

/* Turn number n (1, 2, ...) of the farm, as rows, without its commit. */
static inline enum err help_turn_rows(struct help *h, int64_t n) {
    bool flag;
    int64_t id = 0;
    char body[3000]; /* long enough that a turn is more than one page of the log */
    memset(body, 'x', sizeof body - 1);
    body[sizeof body - 1] = '\0';
    struct store_arrival in = help_arrival(n, body);
    in.farm = h->farm;
    in.person = h->owner;
    char signature[32], reference[33];
    (void)snprintf(signature, sizeof signature, "msg_%lld", (long long)n);
    enum err e = store_seen(h->s, in.link, slice_of(signature), NOW + n, NOW + 100000, &flag);
    if (!e)
        e = store_arrival_put(h->s, &in, &id, &flag);
    struct store_entry rows[2] = {help_entry(2 * n - 1, id, h->owner),
                                  help_entry(2 * n, id, h->owner)};
    if (!e)
        e = store_ledger_append(h->s, h->farm, 2 * (n - 1), rows, 2);
    struct store_told told = {.task_kind = 2, .subject = n, .person = h->owner, .told_s = NOW + n};
    if (!e)
        e = store_told_put(h->s, h->farm, &told, 1);
    struct store_wake wakes[3];
    for (int i = 0; i < 3; i++)
        wakes[i] = (struct store_wake){
            .due_s = NOW + 1000 * i + n, .farm = h->farm, .task_kind = 2, .nth = i, .level = 1};
    if (!e)
        e = store_diary_set(h->s, h->farm, wakes, 3);
    struct store_dispatch out = help_dispatch(reference, n, "+447700900001");
    out.farm = h->farm;
    out.person = h->owner;
    out.task_kind = 2;
    out.subject = n;
    if (!e)
        e = store_dispatch_put(h->s, &out, 1);
    struct store_question q = {h->owner, h->farm, SLICE("inject f3"), 1, NOW + n, 2 * n, id};
    if (!e)
        e = store_question_put(h->s, &q);
    return e ? e : store_count(h->s, "turns", 1);
}

static inline enum err help_end(struct help *h, enum err e) {
    if (!e)
        return store_commit(h->s);
    store_rollback(h->s);
    return e;
}

static inline enum err help_turn(struct help *h, int64_t n) {
    enum err e = store_begin(h->s);
    return e ? e : help_end(h, help_turn_rows(h, n));
}

/* Sends what waits: taken, reported done, confirmed by a receipt, each in its own transaction. */
static inline enum err help_send(struct help *h) {
    struct store_dispatch *out;
    int count = 0;
    bool known;
    int64_t wake;
    enum err e = store_begin(h->s);
    if (e)
        return e;
    arena_reset(&h->a);
    e = store_dispatch_take(h->s, NOW + 9000, 5, NOW + 9060, 4, &h->a, &out, &count);
    e = help_end(h, e);
    for (int i = 0; !e && i < count; i++) {
        struct store_attempt done = {.dispatch = out[i].id,
                                     .sent = STORE_DONE,
                                     .provider_id = out[i].reference,
                                     .at_s = NOW + 9001};
        e = store_begin(h->s);
        if (!e)
            e = help_end(h, store_dispatch_done(h->s, &done, 1));
        if (!e)
            e = store_begin(h->s);
        if (!e)
            e = help_end(h, store_receipt_put(h->s, out[i].link, out[i].reference, SLICE(""),
                                              STORE_RECEIPT_DELIVERED, NOW + 9002, &known, &wake));
    }
    return e;
}

/* What must hold after any number of whole turns and sends. Returns the number of turns. */
static inline int64_t help_laws(struct help *h) {
    sqlite3_stmt *st = NULL;
    assert_int_equal(sqlite3_prepare_v2(h->s->db, "PRAGMA integrity_check", -1, &st, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(st), SQLITE_ROW);
    assert_string_equal((const char *)sqlite3_column_text(st, 0), "ok");
    (void)sqlite3_finalize(st);
    assert_int_equal(help_count(h, "SELECT count(*) FROM pragma_foreign_key_check"), 0);
    int64_t n = help_count(h, "SELECT count(*) FROM arrival");
    assert_int_equal(help_count(h, "SELECT coalesce(sum(head), 0) FROM farm"), 2 * n);
    assert_int_equal(help_count(h, "SELECT count(*) FROM ledger"), 2 * n);
    assert_int_equal(help_count(h, "SELECT count(*) FROM told"), n);
    assert_int_equal(help_count(h, "SELECT count(*) FROM dispatch"), n);
    assert_int_equal(help_count(h, "SELECT count(*) FROM seen"), n);
    assert_int_equal(help_count(h, "SELECT coalesce(max(head), 0) FROM question"), 2 * n);
    assert_int_equal(help_count(h, "SELECT coalesce(sum(value), 0) FROM counter"), n);
    assert_int_equal(help_count(h, "SELECT count(*) FROM diary"), n ? 3 : 0);
    assert_int_equal(help_count(h, "SELECT coalesce(min(due_s), 0) FROM diary"), n ? NOW + n : 0);
    /* a text that ended and the told row of its task always say the same */
    assert_int_equal(help_count(h, "SELECT count(*) FROM dispatch d JOIN told t"
                                   " ON t.subject = d.subject WHERE t.outcome <> CASE"
                                   " WHEN d.receipt = 1 THEN 2 WHEN d.state = 1 THEN 1"
                                   " ELSE 0 END"),
                     0);
    return n;
}

#endif
