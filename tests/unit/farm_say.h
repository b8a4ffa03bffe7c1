/* farm_say: small ledgers as tables: what was said of which subject, how many minutes after the
 * start, in the order of saying. Each row is a message of its own, by person 1 unless a row says
 * another. */
#ifndef FARM_SAY_H
#define FARM_SAY_H

#include "farm_ledger.h"

enum { SAY_MOST = 16 };

struct say {
    int64_t at_min;
    enum entry_kind kind;
    enum subject_kind of;
    int64_t subject;
    int64_t value[ENTRY_VALUES_MAX];
    int64_t person; /* 0: 1 */
};

/* Minutes from a clock's hour on the day of the start, which has begun at SAY_MIDNIGHT_S (UTC). */
#define SAY_MIDNIGHT_S          (LEDGER_START_S - 18 * HOUR_S - 30 * MINUTE_S)
#define DAY_AT(d, hour, minute) ((((d)*24 + (hour)) * 60 + (minute)) - (18 * 60 + 30))

#define ROW(at, kind, of, subject, ...)                                                            \
    { (at), (kind), (of), (subject), {__VA_ARGS__}, 0 }
#define OF_HALL(at, kind, ...)         ROW(at, kind, SUBJECT_HATCHERY, 0, __VA_ARGS__)
#define OF_SPAWN(at, kind, spawn, ...) ROW(at, kind, SUBJECT_SPAWN, spawn, __VA_ARGS__)
#define OF_BROOD(at, kind, id, ...)    ROW(at, kind, SUBJECT_BROOD, id, __VA_ARGS__)
#define OF_TANK(at, kind, tank, ...)   ROW(at, kind, SUBJECT_TANK, tank, __VA_ARGS__)
#define OF_POND(at, kind, pond, ...)   ROW(at, kind, SUBJECT_POND, pond, __VA_ARGS__)
#define OF_CYCLE(at, kind, cycle, ...) ROW(at, kind, SUBJECT_CYCLE, cycle, __VA_ARGS__)
/* Female `id` wears tag id and weighs a kilogram. */
#define INJECTED(at, spawn, id) OF_SPAWN(at, ENTRY_INJECTED, spawn, id, id, 1000000)

static inline struct entry say_entry(const struct say *r, int64_t seq) {
    int64_t at_s = LEDGER_START_S + r->at_min * MINUTE_S;
    struct entry e = {.seq = seq,
                      .at_s = at_s,
                      .said_s = at_s + 7 * MINUTE_S, /* it is the happening that counts */
                      .message = seq,
                      .person = r->person ? r->person : 1,
                      .kind = r->kind,
                      .version = entry_version(r->kind),
                      .subject_kind = r->of,
                      .subject = r->subject};
    memcpy(e.value, r->value, sizeof e.value);
    return e;
}

/* Every row must be one that a ledger can hold. */
static inline void say_check(const struct entry *e) {
    struct buf line = buf_make(300);
    struct entry back = *e;
    entry_write(e, &line);
    if (entry_read(buf_slice(&line), &back))
        fail_msg("no ledger holds kind %d of subject kind %d: \"%s\"", e->kind, e->subject_kind,
                 buf_str(&line));
    buf_free(&line);
}

static inline void say_one(struct farm *farm, struct say row) {
    struct entry e = say_entry(&row, farm_head(farm) + 1);
    say_check(&e);
    OK(farm_add(farm, &e, 1));
}

/* A table ends at its size or at a row without a kind. */
static inline struct farm say_all(const struct say *rows, size_t count) {
    struct farm farm = farm_make();
    for (size_t i = 0; i < count && rows[i].kind; i++)
        say_one(&farm, rows[i]);
    return farm;
}

static inline int64_t say_min(int64_t at_s) { /* 0 stays 0 */
    return at_s ? (at_s - LEDGER_START_S) / MINUTE_S : 0;
}

/* A field by its name. */
#define FIELD(name, got, want)                                                                     \
    do {                                                                                           \
        long long got_is = (long long)(got), want_is = (long long)(want);                          \
        if (got_is != want_is)                                                                     \
            fail_msg("%s: %s is %lld, wanted %lld", name, #got, got_is, want_is);                  \
    } while (0)

/* -- plans ---------------------------------------------------------------------------------------
 */

/* NULL: not planned. */
static inline const struct task *say_task(const struct plan_list *p, enum task_kind kind,
                                          int64_t subject, int nth, enum task_stage stage) {
    for (int i = 0; i < p->count; i++)
        if (same_key(p->tasks[i].key, (struct task_key){kind, subject, nth, stage}))
            return &p->tasks[i];
    return NULL;
}

/* "d1 06:30", days from that of the start. */
static inline const char *say_clock(const struct zone *zone, int64_t at_s, char out[64]) {
    struct zone_time t = zone_local(zone, at_s);
    (void)snprintf(out, 64, "d%d %02d:%02d", zone_days_between(zone, LEDGER_START_S, at_s), t.hour,
                   t.minute);
    return out;
}

/* "d1 06:30/06:30/18:30" would hide days: due, hour and useful are said whole, a comma between. An
 * empty text: not planned. */
static inline void say_want(const char *name, const struct zone *zone, const struct task *task,
                            const char *want) {
    char got[200] = "", due[64], hour[64], useful[64];
    if (task)
        (void)snprintf(got, sizeof got, "%s, %s, %s", say_clock(zone, task->due_s, due),
                       say_clock(zone, task->hour_s, hour),
                       say_clock(zone, task->useful_s, useful));
    if (strcmp(got, want) != 0)
        fail_msg("%s: got \"%s\", wanted \"%s\"", name, got, want);
}

#endif
