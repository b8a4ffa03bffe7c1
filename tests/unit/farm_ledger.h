/* farm_ledger: seeded random ledgers for the laws of a farm. They are said in order over some three
 * days by three people: injections (with and without a reading), readings of the hatchery and of
 * single tanks, looks, strips, counts, frames, also of spawns that are closed, not stripped yet or
 * undone, and undos of any earlier message. One message holds one to three entries, which share an
 * instant; no two messages do, so that their order in time does not hang on who spoke first. */
#ifndef FARM_LEDGER_H
#define FARM_LEDGER_H

#include "base_help.h"

#include "farm/farm.h"
#include "farm/plan.h"

#define LEDGER_START_S INT64_C(1795458600) /* 2026-11-23 18:30 UTC, a Monday */

enum { LEDGER_MOST = 260, LEDGER_TAGS = 4, MINUTE_S = 60, HOUR_S = 3600, DAY_S = 86400 };

struct ledger {
    struct entry entries[LEDGER_MOST];
    int count;
    int64_t messages, spawns;
    int64_t said_s; /* the hour of the last message */
    int64_t mdegc;  /* the water as it wanders */
    int64_t low, high;
    bool undos; /* whether messages are taken back */
    uint64_t seed;
};

static inline int64_t ledger_draw(struct ledger *l, int64_t low, int64_t high) {
    return low + (int64_t)draw(&l->seed, (uint64_t)(high - low) + 1);
}

static inline struct entry *ledger_put(struct ledger *l, enum entry_kind kind, int64_t spawn,
                                       int64_t at_s) {
    struct entry *e = &l->entries[l->count];
    *e = (struct entry){.seq = ++l->count,
                        .at_s = at_s,
                        .said_s = l->said_s,
                        .message = l->messages,
                        .person = 1 + l->messages % 3,
                        .kind = kind,
                        .version = ENTRY_VERSION,
                        .subject_kind = spawn ? SUBJECT_SPAWN : SUBJECT_HATCHERY,
                        .subject = spawn};
    return e;
}

static inline int64_t ledger_mdegc(struct ledger *l) {
    l->mdegc += ledger_draw(l, -1200, 1200);
    l->mdegc = l->mdegc < l->low ? l->low : l->mdegc > l->high ? l->high : l->mdegc;
    return draw(&l->seed, 2) ? l->mdegc : l->mdegc / 100 * 100;
}

/* Now, or up to six hours ago; never an instant that another message has. */
static inline int64_t ledger_instant(struct ledger *l) {
    int64_t at_s = l->said_s - (draw(&l->seed, 3) ? 0 : ledger_draw(l, 60, 6 * HOUR_S));
    for (int i = 0; i < l->count; i++)
        if (l->entries[i].at_s == at_s) {
            at_s++;
            i = -1;
        }
    return at_s;
}

static inline void ledger_inject(struct ledger *l, int64_t at_s) {
    int64_t female = ledger_draw(l, 1, LEDGER_TAGS), spawn = ++l->spawns;
    struct entry *e = ledger_put(l, ENTRY_INJECTED, spawn, at_s);
    e->value[0] = female;
    e->value[1] = female;
    e->value[2] = ledger_draw(l, 300000, 2000000);
    if (draw(&l->seed, 2)) {
        e = ledger_put(l, ENTRY_WATER, spawn, at_s);
        e->value[0] = ledger_mdegc(l);
        e->value[1] = WATER_AT_INJECTION;
    }
}

static inline void ledger_about_spawn(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {
        ENTRY_WATER,     ENTRY_WATER,    ENTRY_FOLLOW,   ENTRY_NOT_READY,
        ENTRY_NOT_READY, ENTRY_STRIPPED, ENTRY_STRIPPED, ENTRY_STRIPPED,
        ENTRY_WHITE,     ENTRY_FRAMES,   ENTRY_NO_EGGS,
    };
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    struct entry *e = ledger_put(l, kind, ledger_draw(l, 1, l->spawns), at_s);
    if (kind == ENTRY_WATER)
        e->value[0] = ledger_mdegc(l);
    if (kind == ENTRY_STRIPPED)
        e->value[0] = ledger_draw(l, 10000, 400000);
    if (kind == ENTRY_WHITE) {
        e->value[0] = ledger_draw(l, 0, 100);
        e->value[1] = 100;
    }
}

static inline void ledger_message(struct ledger *l) {
    l->messages++;
    l->said_s += ledger_draw(l, 5, 120) * MINUTE_S;
    int64_t at_s = ledger_instant(l);
    if (l->undos && l->messages > 2 && draw(&l->seed, 8) == 0) {
        ledger_put(l, ENTRY_UNDO, 0, at_s)->value[0] = ledger_draw(l, 1, l->messages - 1);
        return;
    }
    int entries = (int)ledger_draw(l, 1, 3);
    for (int i = 0; i < entries; i++) {
        uint64_t what = draw(&l->seed, 10);
        if (!l->spawns || what == 0)
            ledger_inject(l, at_s);
        else if (what < 3)
            ledger_put(l, ENTRY_WATER, 0, at_s)->value[0] = ledger_mdegc(l);
        else
            ledger_about_spawn(l, at_s);
    }
}

/* Readings lie within low..high, thousandths of a degree. */
static inline void ledger_make(struct ledger *l, uint64_t seed, bool undos, int64_t low,
                               int64_t high) {
    memset(l, 0, sizeof *l);
    l->seed = seed * 0x9e3779b97f4a7c15u + 1;
    l->said_s = LEDGER_START_S;
    l->low = low;
    l->high = high;
    l->mdegc = ledger_draw(l, low, high);
    l->undos = undos;
    int64_t messages = ledger_draw(l, 3, 60);
    while (l->messages < messages)
        ledger_message(l);
}

/* Seqs anew, as the ledger stands. */
static inline void ledger_number(struct ledger *l) {
    for (int i = 0; i < l->count; i++)
        l->entries[i].seq = i + 1;
}

/* Folded in one go. */
static inline struct farm ledger_farm(const struct ledger *l) {
    struct farm farm = farm_make();
    OK(farm_append(&farm, l->entries, l->count));
    OK(farm_fold(&farm));
    return farm;
}

/* -- what was told ------------------------------------------------------------------------------
 */

enum { TOLD_MOST = 2000 };

struct told_list {
    struct told rows[TOLD_MOST];
    int count;
};

static inline void tell(struct told_list *list, struct task_key key, int64_t hour_s, int64_t told_s,
                        enum outcome outcome) {
    assert_in_range(list->count, 0, TOLD_MOST - 1);
    list->rows[list->count++] = (struct told){key, 1, hour_s, told_s, outcome};
}

static inline bool same_key(struct task_key a, struct task_key b) {
    return a.kind == b.kind && a.subject == b.subject && a.nth == b.nth && a.stage == b.stage;
}

/* Told already, and of this hour or one nearer than the 10 minutes that are not worth a text. */
static inline bool was_told(const struct told_list *list, struct task_key key, int64_t hour_s) {
    for (int i = 0; i < list->count; i++) {
        int64_t off_s = list->rows[i].hour_s - hour_s;
        if (same_key(list->rows[i].key, key) &&
            (key.kind == TASK_WATER || (off_s < MOVED_MIN * 60 && off_s > -MOVED_MIN * 60)))
            return true;
    }
    return false;
}

struct plan_list {
    struct task tasks[PLAN_MOST];
    int count;
};

static inline struct plan_list plan_of(const struct farm *farm, const struct told_list *told,
                                       const struct zone *zone, int64_t now_s) {
    struct plan_list p = {.count = 0};
    p.count = farm_plan(&farm->state, told->rows, told->count, zone, now_s, p.tasks, PLAN_MOST);
    return p;
}

static inline bool same_task(const struct task *a, const struct task *b) {
    return same_key(a->key, b->key) && a->due_s == b->due_s && a->hour_s == b->hour_s &&
           a->useful_s == b->useful_s && a->level == b->level && a->hand == b->hand;
}

/* The outcomes of a day, failures among them: everything due at some hours was told. */
static inline void tell_some(const struct farm *farm, const struct zone *zone, uint64_t seed,
                             struct told_list *told) {
    static const enum outcome outcomes[] = {OUTCOME_SENT,    OUTCOME_DELIVERED, OUTCOME_DELIVERED,
                                            OUTCOME_WAITING, OUTCOME_ANSWERED,  OUTCOME_FAILED};
    told->count = 0;
    for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + 2 * DAY_S; now_s += 3 * HOUR_S) {
        struct plan_list p = plan_of(farm, told, zone, now_s);
        for (int i = 0; i < p.count && p.tasks[i].due_s <= now_s; i++)
            tell(told, p.tasks[i].key, p.tasks[i].hour_s, now_s,
                 outcomes[draw(&seed, COUNT_OF(outcomes))]);
    }
}

#endif
