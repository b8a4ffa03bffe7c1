/* desk_bench: what the tests of the desk share: a store in a folder of its own, a desk on it, two
 * farms that know nothing of each other, messages that come in and texts that go out. Rows are
 * looked at, and spoilt, through a second connection to the same file. */
#ifndef DESK_BENCH_H
#define DESK_BENCH_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <dirent.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/log.h"
#include "desk/inside.h"
#include "support/grammar.h"

/* Monday 2 March 2026, 00:00 UTC (`date -u -d 2026-03-02 +%s`). */
#define MONDAY_S INT64_C(1772409600)
#define AT(day, hour, minute)                                                                      \
    (MONDAY_S + (int64_t)(day)*86400 + (int64_t)(hour)*3600 + (int64_t)(minute)*60)
enum { MON, TUE, WED, THU };

#define OWNER       "+447700900001" /* of the farm Creek */
#define WORKER      "+447700900002"
#define OTHER_OWNER "+447700900011" /* of the farm Hill */
#define CREEK       1
#define HILL        2

#define WANT(error, call) assert_string_equal(err_info(call)->name, err_info(error)->name)
#define OK(call)          WANT(ERR_OK, call)

struct bench {
    struct test_grammar grammar;
    struct text_reader *reader;
    struct arena lists; /* slices of the last round */
    char folder[64], path[96], flag[96];
    struct store *store;
    struct desk *desk;
    struct desk_options options;
    sqlite3 *second;
    uint64_t random;
    int prints;
    struct desk_round round; /* the last one that sent */
    char bodies[DESK_SEND_MAX][700], phones[DESK_SEND_MAX][20];
    int body_count;
};

/* Seeded (splitmix64, Steele, Lea & Flood 2014): the same at every run. */
static inline void bench_random(void *context, void *out, size_t n) {
    struct bench *b = context;
    for (size_t i = 0; i < n; i++) {
        uint64_t z = b->random += 0x9e3779b97f4a7c15u;
        z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
        z = (z ^ z >> 27) * 0x94d049bb133111ebu;
        ((unsigned char *)out)[i] = (unsigned char)((z ^ z >> 31) & 255);
    }
}

/* Any function of key and text does here; that the daemon's is HMAC-SHA-256 its own tests show. */
static inline void bench_hash(void *context, const unsigned char key[STORE_HASH_BYTES],
                              struct slice text, unsigned char out[STORE_HASH_BYTES]) {
    (void)context;
    uint64_t h = slice_hash((struct slice){(const char *)key, STORE_HASH_BYTES}, SLICE_HASH_SEED);
    for (int i = 0; i < STORE_HASH_BYTES; i++) {
        h = slice_hash(text, h);
        out[i] = (unsigned char)(h >> 32);
    }
}

static inline void bench_desk(struct bench *b) {
    static const struct slice countries[] = {{"GB", 2}};
    b->options = (struct desk_options){.store = b->store,
                                       .grammar = {b->grammar.words, b->reader},
                                       .language = SLICE("en"),
                                       .country = SLICE("GB"),
                                       .link = SLICE("north"),
                                       .countries = countries,
                                       .country_count = 1,
                                       .texts_per_hour = 20,
                                       .holder = 7,
                                       .check_every = 0,
                                       .random = bench_random,
                                       .keyed_hash = bench_hash,
                                       .context = b};
    OK(desk_open(&b->options, &b->desk));
}

/* Nothing that the desk keeps in memory survives. */
static inline void bench_restart(struct bench *b) {
    desk_close(b->desk);
    bench_desk(b);
}

static inline void bench_farms(struct bench *b) {
    const struct desk_person creek[] = {{SLICE(OWNER), ROLE_OWNER, SLICE("en")},
                                        {SLICE(WORKER), ROLE_WORKER, SLICE("")}};
    const struct desk_person hill[] = {{SLICE(OTHER_OWNER), ROLE_OWNER, SLICE("en")}};
    OK(desk_ensure_farm(b->desk,
                        &(struct desk_farm){SLICE("Creek"), SLICE("UTC"), SLICE("GB"), creek, 2},
                        MONDAY_S));
    OK(desk_ensure_farm(
        b->desk, &(struct desk_farm){SLICE("Hill"), SLICE("UTC"), SLICE("GB"), hill, 1}, MONDAY_S));
}

static inline int bench_open(void **state) {
    static struct bench b;
    memset(&b, 0, sizeof b);
    struct faults faults = faults_make();
    log_least((enum log_level)(LOG_ERROR + 1)); /* the tests provoke what would be logged */
    if (!test_grammar_load(&b.grammar))
        return -1;
    b.reader = text_reader_make(&b.grammar.arena, b.grammar.words, b.grammar.forms, &faults);
    (void)fputs(buf_str(&faults.text), stderr);
    faults_free(&faults);
    (void)snprintf(b.folder, sizeof b.folder, "/tmp/barbel-desk-XXXXXX");
    if (!b.reader || !mkdtemp(b.folder))
        return -1;
    (void)snprintf(b.path, sizeof b.path, "%s/farm.db", b.folder);
    (void)snprintf(b.flag, sizeof b.flag, "%s/full", b.folder);
    OK(store_open(&(struct store_options){b.path, 65536, b.flag}, &b.store));
    (void)store_ballast_restore(b.store);
    bench_desk(&b);
    bench_farms(&b);
    *state = &b;
    return sqlite3_open(b.path, &b.second) == SQLITE_OK ? 0 : -1;
}

static inline int bench_close(void **state) {
    struct bench *b = *state;
    (void)sqlite3_close(b->second);
    desk_close(b->desk);
    store_close(b->store);
    text_reader_free(b->reader);
    test_grammar_free(&b->grammar);
    DIR *d = opendir(b->folder);
    for (struct dirent *f; d && (f = readdir(d));) {
        char name[400];
        (void)snprintf(name, sizeof name, "%s/%s", b->folder, f->d_name);
        if (f->d_name[0] != '.')
            (void)unlink(name);
    }
    if (d)
        (void)closedir(d);
    return rmdir(b->folder);
}

/* -- rows by the second connection ---------------------------------------------------------------
 */
static inline int64_t bench_number(struct bench *b, const char *sql) {
    sqlite3_stmt *st = NULL;
    assert_int_equal(sqlite3_prepare_v2(b->second, sql, -1, &st, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(st), SQLITE_ROW);
    int64_t n = sqlite3_column_int64(st, 0);
    (void)sqlite3_finalize(st);
    return n;
}

static inline void bench_sql(struct bench *b, const char *sql) {
    char *why = NULL;
    if (sqlite3_exec(b->second, sql, NULL, NULL, &why) != SQLITE_OK)
        fail_msg("%s: %s", sql, why);
    assert_true(sqlite3_changes(b->second) > 0);
}

#define ROWS(b, wanted, sql)                                                                       \
    assert_int_equal(bench_number((b), "SELECT count(*) FROM " sql), wanted)

/* -- messages and texts --------------------------------------------------------------------------
 */
static inline struct desk_item bench_item(struct bench *b, const char *phone, const char *text,
                                          int64_t now_s) {
    struct desk_item item = {.kind = DESK_MESSAGE,
                             .link = SLICE("north"),
                             .sender = slice_of(phone),
                             .receiver = SLICE("+447700900999"),
                             .text = slice_of(text),
                             .sent_s = now_s};
    (void)snprintf((char *)item.print, sizeof item.print, "print %d", ++b->prints);
    return item;
}

/* One round with nothing coming in; what it hands out is kept as text and, when `settle`, reported
 * as sent with a receipt. */
static inline enum err bench_round(struct bench *b, int64_t now_s, bool settle) {
    b->round = (struct desk_round){.send_room = DESK_SEND_MAX};
    b->body_count = 0;
    enum err e = desk_round(b->desk, &b->round, now_s);
    if (e)
        return e;
    struct desk_item items[2 * DESK_SEND_MAX];
    char references[DESK_SEND_MAX][40];
    int n = 0;
    memset(items, 0, sizeof items);
    for (int i = 0; i < b->round.send_count; i++) {
        const struct desk_send *s = &b->round.sends[i];
        (void)snprintf(b->bodies[i], sizeof b->bodies[i], "%.*s", SLICE_ARG(s->body));
        (void)snprintf(b->phones[i], sizeof b->phones[i], "%.*s", SLICE_ARG(s->to));
        (void)snprintf(references[i], sizeof references[i], "%.*s", SLICE_ARG(s->reference));
        items[n].kind = DESK_ATTEMPT;
        items[n].farm = s->farm;
        items[n++].attempt = (struct store_attempt){.dispatch = s->dispatch,
                                                    .sent = STORE_DONE,
                                                    .at_s = now_s,
                                                    .provider_id = SLICE(""),
                                                    .reason = SLICE("")};
        items[n].kind = DESK_RECEIPT;
        items[n].link = SLICE("north");
        items[n].reference = slice_of(references[i]);
        items[n].provider_id = SLICE("");
        items[n++].state = STORE_RECEIPT_DELIVERED;
    }
    b->body_count = b->round.send_count;
    if (!settle || !n)
        return ERR_OK;
    struct desk_round after = {.items = items, .item_count = n};
    return desk_round(b->desk, &after, now_s);
}

/* One text in, alone in its round, without what it is answered. */
static inline struct desk_item bench_in(struct bench *b, const char *phone, const char *text,
                                        int64_t now_s) {
    struct desk_item item = bench_item(b, phone, text, now_s);
    struct desk_round round = {.items = &item, .item_count = 1};
    OK(desk_round(b->desk, &round, now_s));
    return item;
}

/* Everything that waits goes out; the texts of the first round that had any are kept. */
static inline void bench_flush(struct bench *b, int64_t now_s) {
    for (int i = 0; i < 20; i++) {
        OK(bench_round(b, now_s, true));
        if (!b->body_count && !b->round.turns)
            return;
    }
    fail_msg("there is no end to what is sent");
}

/* A text in and its answers out. */
static inline void bench_text(struct bench *b, const char *phone, const char *text, int64_t now_s) {
    struct desk_item item = bench_in(b, phone, text, now_s);
    OK(item.e);
    OK(bench_round(b, now_s, true));
}

/* What the last round handed out to a phone; "" nothing. */
static inline const char *bench_got(const struct bench *b, const char *phone) {
    for (int i = 0; i < b->body_count; i++)
        if (strcmp(b->phones[i], phone) == 0)
            return b->bodies[i];
    return "";
}

/* A night on a farm: F3 injected at 18:30 in 24 degC, first look Tuesday 06:30 (12 h, FAO 362). */
static inline void bench_night(struct bench *b, const char *phone) {
    bench_text(b, phone, "inject f3 1.2kg 18:30 t24", AT(MON, 18, 32));
    bench_flush(b, AT(MON, 18, 32));
}

/* A farm's ledger that cannot be read any more, and is not in memory. */
static inline void bench_spoil(struct bench *b, const char *sql) {
    bench_sql(b, sql);
    bench_restart(b);
}

#endif
