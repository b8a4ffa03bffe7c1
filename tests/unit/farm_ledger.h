/* farm_ledger: seeded random ledgers for the laws of a farm. They are said in order over some three
 * days by three people: injections (with and without a reading), readings of the hatchery, of tanks
 * and of single spawns, looks, strips into one bowl or several, counts, frames and larvae, also of
 * spawns that are closed, not stripped yet or undone; brood fish that come and die; ponds prepared
 * and stocked from spawns and from each other, fed, measured and weighed, and what becomes of the
 * fish; orders, plans and what becomes of them; money; air that fails; undos of any earlier
 * message, and fixes: an undo and its entries said anew in one message. One message holds one to
 * three entries, which share an instant (but for the first of two readings); no two messages do but
 * a fix and what it fixes, so that their order in time does not hang on who spoke first. */
#ifndef FARM_LEDGER_H
#define FARM_LEDGER_H

#include "base_help.h"

#include "farm/farm.h"
#include "farm/plan.h"

#define LEDGER_START_S INT64_C(1795458600) /* 2026-11-23 18:30 UTC, a Monday */

enum {
    LEDGER_MOST = 400,
    LEDGER_TAGS = 4,
    LEDGER_PONDS = 3,
    LEDGER_TANKS = 3,
    MINUTE_S = 60,
    HOUR_S = 3600,
    DAY_S = 86400
};

struct ledger {
    struct entry entries[LEDGER_MOST];
    int count;
    int64_t messages, spawns, cycles, orders, plans;
    int64_t said_s; /* the hour of the last message */
    int64_t mdegc;  /* the water as it wanders */
    int64_t low, high;
    bool undos; /* whether messages are taken back */
    uint64_t seed;
};

static inline int64_t ledger_draw(struct ledger *l, int64_t low, int64_t high) {
    return low + (int64_t)draw(&l->seed, (uint64_t)(high - low) + 1);
}

static inline struct entry *ledger_put(struct ledger *l, enum entry_kind kind, enum subject_kind of,
                                       int64_t subject, int64_t at_s) {
    assert_in_range(l->count, 0, LEDGER_MOST - 1);
    struct entry *e = &l->entries[l->count];
    *e = (struct entry){.seq = ++l->count,
                        .at_s = at_s,
                        .said_s = l->said_s,
                        .message = l->messages,
                        .person = 1 + l->messages % 3,
                        .kind = kind,
                        .version = entry_version(kind),
                        .subject_kind = of,
                        .subject = subject};
    return e;
}

static inline int64_t ledger_mdegc(struct ledger *l) {
    l->mdegc += ledger_draw(l, -1200, 1200);
    l->mdegc = l->mdegc < l->low ? l->low : l->mdegc > l->high ? l->high : l->mdegc;
    return draw(&l->seed, 2) ? l->mdegc : l->mdegc / 100 * 100;
}

/* The next instant that no other message has. */
static inline int64_t ledger_free(const struct ledger *l, int64_t at_s) {
    for (int i = 0; i < l->count; i++)
        if (l->entries[i].at_s == at_s) {
            at_s++;
            i = -1;
        }
    return at_s;
}

/* Now, or up to six hours ago. */
static inline int64_t ledger_instant(struct ledger *l) {
    return ledger_free(l, l->said_s - (draw(&l->seed, 3) ? 0 : ledger_draw(l, 60, 6 * HOUR_S)));
}

/* Two fish have worn each tag, one after the other; males are 11, 12, ... */
static inline void ledger_inject(struct ledger *l, int64_t at_s) {
    int64_t female = ledger_draw(l, 1, 2 * LEDGER_TAGS), spawn = ++l->spawns;
    struct entry *e = ledger_put(l, ENTRY_INJECTED, SUBJECT_SPAWN, spawn, at_s);
    e->value[0] = female;
    e->value[1] = 1 + (female - 1) % LEDGER_TAGS;
    e->value[2] = ledger_draw(l, 300000, 2000000);
    if (draw(&l->seed, 2)) {
        e = ledger_put(l, ENTRY_WATER, SUBJECT_SPAWN, spawn, at_s);
        e->value[0] = ledger_mdegc(l);
        e->value[1] = WATER_AT_INJECTION;
    }
}

static inline void ledger_about_spawn(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {
        ENTRY_WATER,    ENTRY_WATER,    ENTRY_FOLLOW,   ENTRY_NOT_READY, ENTRY_NOT_READY,
        ENTRY_STRIPPED, ENTRY_STRIPPED, ENTRY_STRIPPED, ENTRY_STRIPPED,  ENTRY_WHITE,
        ENTRY_FRAMES,   ENTRY_FRAMES,   ENTRY_NO_EGGS,  ENTRY_HORMONE,   ENTRY_MALE,
        ENTRY_TANK,     ENTRY_TANK,     ENTRY_LAYER,    ENTRY_BOWL,      ENTRY_BOWL,
        ENTRY_BOWL,     ENTRY_SPOILT,   ENTRY_HATCHED,  ENTRY_HATCHED,   ENTRY_FED,
        ENTRY_GRADED,   ENTRY_DIED,     ENTRY_COUNTED,  ENTRY_SOLD,
    };
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    struct entry *e = ledger_put(l, kind, SUBJECT_SPAWN, ledger_draw(l, 1, l->spawns), at_s);
    switch (kind) {
    case ENTRY_WATER:
        e->value[0] = ledger_mdegc(l);
        break;
    case ENTRY_STRIPPED:
        e->value[0] = ledger_draw(l, 10000, 400000);
        break;
    case ENTRY_WHITE:
        e->value[0] = ledger_draw(l, 0, 100);
        e->value[1] = 100;
        break;
    case ENTRY_HORMONE:
    case ENTRY_LAYER:
    case ENTRY_TANK:
        e->value[0] = ledger_draw(l, 1, LEDGER_TANKS);
        break;
    case ENTRY_MALE:
        e->value[0] = ledger_draw(l, 11, 13);
        e->value[1] = ledger_draw(l, MALE_MILT, MALE_GLAND);
        break;
    case ENTRY_BOWL:
        e->value[0] = ledger_draw(l, 1, l->spawns);
        break;
    case ENTRY_HATCHED:
        e->value[0] = draw(&l->seed, 6) ? ledger_draw(l, 1, 60000) : 0;
        e->value[1] = ledger_draw(l, HATCH_SHARE, HATCH_COUNTED);
        if (e->value[1] == HATCH_SHARE && e->value[0] % 2) {
            e->value[2] = e->value[0] / 1000;
            e->value[3] = 100;
            e->value[0] = 0;
        }
        break;
    default: /* the rest are counts, or have no value */
        if (kind >= ENTRY_GRADED && kind <= ENTRY_SOLD)
            e->value[0] = ledger_draw(l, 1, 9000);
        e->value[2] = kind == ENTRY_SOLD && draw(&l->seed, 2);
        if (e->value[2] && draw(&l->seed, 2)) /* all there are, however many that is */
            e->value[0] = 0;
        break;
    }
}

static inline void ledger_about_brood(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_BROOD,      ENTRY_BROOD,        ENTRY_BROOD_POND,
                                            ENTRY_BROOD_BORN, ENTRY_BROOD_ORIGIN, ENTRY_BROOD_DIED};
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    bool male = draw(&l->seed, 3) == 0;
    int64_t id = male ? ledger_draw(l, 11, 13) : ledger_draw(l, 1, 2 * LEDGER_TAGS);
    struct entry *e = ledger_put(l, kind, SUBJECT_BROOD, id, at_s);
    e->value[0] = ledger_draw(l, 1, 9);
    if (kind == ENTRY_BROOD) {
        e->value[0] = male ? SEX_MALE : SEX_FEMALE;
        e->value[1] = male ? id - 10 : 1 + (id - 1) % LEDGER_TAGS;
        e->value[2] = draw(&l->seed, 2) ? ledger_draw(l, 300000, 2000000) : 0;
    }
}

static inline void ledger_about_pond(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_POND,     ENTRY_SOIL,     ENTRY_PREPARE,
                                            ENTRY_PREPARE,  ENTRY_PREPARED, ENTRY_PREPARED,
                                            ENTRY_PREPARED, ENTRY_POND_PH};
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    struct entry *e = ledger_put(l, kind, SUBJECT_POND, ledger_draw(l, 1, LEDGER_PONDS), at_s);
    switch (kind) {
    case ENTRY_PREPARE:
        e->value[0] = at_s + ledger_draw(l, 1, 30) * DAY_S;
        e->value[1] = draw(&l->seed, 2) && l->spawns ? ledger_draw(l, 1, l->spawns) : 0;
        break;
    case ENTRY_PREPARED:
        e->value[0] = ledger_draw(l, PREP_DRY, PREP_FILL);
        e->value[1] = ledger_draw(l, 0, 3);
        break;
    case ENTRY_POND_PH:
    case ENTRY_SOIL:
        e->value[0] = ledger_draw(l, 4000, 10000);
        break;
    default:
        e->value[0] = ledger_draw(l, 0, 1) * 1000000;
        e->value[1] = ledger_draw(l, 0, 1) * 800;
        e->value[2] = ledger_draw(l, 0, FENCE_STANDS);
        break;
    }
}

/* Into a new cycle or into one that is, from a spawn, from another cycle or from elsewhere. */
static inline void ledger_stock(struct ledger *l, int64_t at_s) {
    bool more = l->cycles && draw(&l->seed, 4) == 0;
    uint64_t from = draw(&l->seed, 3);
    struct entry *e = ledger_put(l, ENTRY_STOCKED, SUBJECT_CYCLE,
                                 more ? ledger_draw(l, 1, l->cycles) : l->cycles + 1, at_s);
    e->value[0] = ledger_draw(l, 1, LEDGER_PONDS);
    e->value[1] = ledger_draw(l, 1, 9000);
    e->value[2] = draw(&l->seed, 3) ? ledger_draw(l, 2000, 200000) : 0;
    if (draw(&l->seed, 4) == 0) /* fingerlings and larger */
        e->value[2] = ledger_draw(l, 2, 300) * 1000000;
    e->value[3] = from == 1 && l->spawns ? ledger_draw(l, 1, l->spawns) : 0;
    e->value[4] = from == 2 && l->cycles ? ledger_draw(l, 1, l->cycles) : 0;
    e->value[5] = from && draw(&l->seed, 3) == 0;
    if (e->value[5] && draw(&l->seed, 2))
        e->value[1] = 0;
    l->cycles += !more;
}

static inline void ledger_about_cycle(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_GRADED, ENTRY_DIED,      ENTRY_COUNTED,
                                            ENTRY_SOLD,   ENTRY_HARVESTED, ENTRY_SAMPLED,
                                            ENTRY_STOLEN, ENTRY_BIG};
    if (!l->cycles || draw(&l->seed, 3) == 0) {
        ledger_stock(l, at_s);
        return;
    }
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    struct entry *e = ledger_put(l, kind, SUBJECT_CYCLE, ledger_draw(l, 1, l->cycles), at_s);
    e->value[0] = ledger_draw(l, 1, 4000);
    if (kind == ENTRY_SAMPLED) {
        e->value[1] = ledger_draw(l, 1000, 300000000);
        e->value[2] = ledger_draw(l, 0, e->value[1]);
        e->value[3] = ledger_draw(l, 0, 900);
        e->value[4] = ledger_draw(l, 0, 1) * 210000;
    }
    if (kind == ENTRY_BIG) {
        e->value[1] = ledger_draw(l, 1, 4000000);
        struct entry taken = *e;
        e = ledger_put(l, ENTRY_HARVESTED, SUBJECT_CYCLE, taken.subject, at_s);
        e->value[0] = taken.value[0];
        kind = ENTRY_HARVESTED;
    }
    if (kind == ENTRY_SOLD || kind == ENTRY_HARVESTED) {
        e->value[1] = ledger_draw(l, 0, 1) * 1500000;
        e->value[2] = draw(&l->seed, 3) == 0;
        if (e->value[2] && draw(&l->seed, 2))
            e->value[0] = 0;
    }
}

/* Of a pond in which fish grow. */
static inline void ledger_about_growing(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {
        ENTRY_WATER,   ENTRY_GIVEN,   ENTRY_GIVEN,   ENTRY_GIVEN, ENTRY_LEFT,    ENTRY_READING,
        ENTRY_READING, ENTRY_GASPING, ENTRY_TREATED, ENTRY_CATCH, ENTRY_AERATOR,
    };
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    int64_t pond = ledger_draw(l, 1, LEDGER_PONDS);
    if (kind == ENTRY_READING && draw(&l->seed, 2)) { /* two of oxygen, hours apart */
        int64_t before_s = ledger_free(l, at_s - ledger_draw(l, 20, 400) * MINUTE_S);
        struct entry *first = ledger_put(l, ENTRY_READING, SUBJECT_POND, pond, before_s);
        first->value[0] = READING_OXYGEN;
        first->value[1] = ledger_draw(l, 2000, 9000);
    }
    struct entry *e = ledger_put(l, kind, SUBJECT_POND, pond, at_s);
    switch (kind) {
    case ENTRY_WATER:
        e->value[0] = ledger_mdegc(l);
        break;
    case ENTRY_GIVEN:
        e->value[0] = ledger_draw(l, 1, 15000000);
        e->value[1] = ledger_draw(l, 0, 3);
        break;
    case ENTRY_READING:
        e->value[0] = draw(&l->seed, 2) ? READING_OXYGEN : ledger_draw(l, 1, READING_END - 1);
        e->value[1] = ledger_draw(l, 0, 9000);
        break;
    case ENTRY_CATCH:
        e->value[0] = draw(&l->seed, 4) ? at_s + ledger_draw(l, 0, 9) * DAY_S : 0;
        break;
    case ENTRY_AERATOR:
        e->value[0] = ledger_draw(l, AERATOR_NONE, AERATOR_RUNS);
        break;
    default:
        break;
    }
}

/* Feed in the store, measures, the farm's own table. */
static inline void ledger_about_feed(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_MEASURE, ENTRY_TABLE,  ENTRY_TABLE,
                                            ENTRY_HEIGHT,  ENTRY_BOUGHT, ENTRY_STORE};
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    struct entry *e = ledger_put(l, kind, SUBJECT_HATCHERY, 0, at_s);
    switch (kind) {
    case ENTRY_MEASURE:
        e->value[0] = ledger_draw(l, MEASURE_TIN, MEASURE_END - 1);
        e->value[1] = ledger_draw(l, 1, 25000000);
        e->value[2] = ledger_draw(l, 0, 2);
        break;
    case ENTRY_TABLE:
        e->value[0] = ledger_draw(l, 0, 30) * 10000;
        e->value[1] = ledger_draw(l, 0, 100000);
        e->value[2] = draw(&l->seed, 5) == 0;
        break;
    case ENTRY_HEIGHT:
        e->value[0] = ledger_draw(l, 0, 2500);
        break;
    default:
        e->value[0] = ledger_draw(l, 1, 200000000);
        e->value[1] = ledger_draw(l, 0, 3);
        break;
    }
}

/* A plan's females and ponds, and the first of its evening is injected now and then. */
static inline void ledger_plan(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_PLANNED, ENTRY_PLAN_FEMALE, ENTRY_PLAN_FEMALE,
                                            ENTRY_PLAN_POND, ENTRY_PLAN_OFF};
    bool fresh = !l->plans || draw(&l->seed, 3) == 0;
    enum entry_kind kind = fresh ? ENTRY_PLANNED : kinds[draw(&l->seed, COUNT_OF(kinds))];
    l->plans += fresh;
    int64_t plan = fresh ? l->plans : ledger_draw(l, 1, l->plans);
    struct entry *e = ledger_put(l, kind, SUBJECT_PLAN, plan, at_s);
    if (kind == ENTRY_PLAN_FEMALE) {
        e->value[0] = ledger_draw(l, 1, 2 * LEDGER_TAGS);
        e->value[1] = ledger_draw(l, 0, 1);
    } else if (kind == ENTRY_PLAN_POND) {
        e->value[0] = ledger_draw(l, 1, LEDGER_PONDS);
    } else if (kind == ENTRY_PLANNED) {
        e->value[0] = at_s + ledger_draw(l, -6, 60) * HOUR_S;
        e->value[1] = l->orders ? ledger_draw(l, 0, l->orders) : 0;
        e->value[2] = ledger_draw(l, 100, 20000);
        e->value[3] = ledger_draw(l, 1, 5) * 1000;
        e->value[4] = e->value[0] + ledger_draw(l, 15, 60) * DAY_S;
        for (int i = 0; i < 3; i++)
            ledger_put(l, ENTRY_PLAN_FEMALE, SUBJECT_PLAN, plan, at_s)->value[0] =
                ledger_draw(l, 1, 2 * LEDGER_TAGS);
    }
}

static inline void ledger_about_order(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_ORDERED,   ENTRY_ORDERED,   ENTRY_ORDER_CHANGED,
                                            ENTRY_ORDER_OFF, ENTRY_DELIVERED, ENTRY_DELIVERED};
    if (draw(&l->seed, 2)) {
        ledger_plan(l, at_s);
        return;
    }
    enum entry_kind kind = l->orders ? kinds[draw(&l->seed, COUNT_OF(kinds))] : ENTRY_ORDERED;
    l->orders += kind == ENTRY_ORDERED;
    struct entry *e =
        ledger_put(l, kind, SUBJECT_ORDER,
                   kind == ENTRY_ORDERED ? l->orders : ledger_draw(l, 1, l->orders), at_s);
    bool changed = kind == ENTRY_ORDER_CHANGED;
    switch (kind) {
    case ENTRY_ORDERED:
    case ENTRY_ORDER_CHANGED:
        e->value[0] = changed && draw(&l->seed, 2) ? 0 : ledger_draw(l, 100, 9000);
        e->value[1] = changed && draw(&l->seed, 2) ? 0 : ledger_draw(l, 1, 5) * 1000;
        e->value[2] =
            changed && draw(&l->seed, 2) ? 0 : at_s + ledger_draw(l, -20, 60) * (int64_t)DAY_S;
        e->value[3] = ledger_draw(l, 0, 3);
        e->value[4] = draw(&l->seed, 5) ? 0 : ledger_draw(l, 1, 9000); /* some: it is much work */
        break;
    case ENTRY_DELIVERED:
        e->value[0] = ledger_draw(l, 1, 6000);
        e->value[1] = draw(&l->seed, 4) == 0;
        break;
    default:
        break;
    }
}

/* Amounts of any size: sums are not the fold's. */
static inline void ledger_about_money(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_CURRENCY, ENTRY_PRICE,  ENTRY_PRICE,
                                            ENTRY_COST,     ENTRY_COST,   ENTRY_COST,
                                            ENTRY_INCOME,   ENTRY_INCOME, ENTRY_PAID};
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    enum subject_kind of = SUBJECT_HATCHERY;
    if (kind == ENTRY_INCOME || kind == ENTRY_COST)
        of = draw(&l->seed, 2) && l->cycles ? SUBJECT_CYCLE : SUBJECT_SPAWN;
    int64_t subject = of == SUBJECT_CYCLE   ? ledger_draw(l, 1, l->cycles)
                      : of == SUBJECT_SPAWN ? ledger_draw(l, 1, l->spawns)
                                            : 0;
    struct entry *e = ledger_put(l, kind, of, subject, at_s);
    e->value[0] = ledger_draw(l, 1, 4);
    if (kind == ENTRY_PRICE) {
        e->value[1] = ledger_draw(l, 0, 2);
        e->value[2] = ledger_draw(l, 0, 9000);
        e->value[3] = ledger_draw(l, PRICE_EACH, PRICE_PER_END - 1);
        e->value[4] = e->value[3] == PRICE_MEASURE ? ledger_draw(l, 1, MEASURE_END - 1) : 0;
    } else if (kind != ENTRY_CURRENCY) {
        e->value[0] = ledger_draw(l, 1, 900000);
        e->value[1] = ledger_draw(l, 0, 2);
        e->value[2] = ledger_draw(l, 0, 1);
        if (kind != ENTRY_PAID)
            e->value[3] = ledger_draw(l, 0, 1) * ledger_draw(l, 1, 90000);
    }
}

static inline void ledger_about_hall(struct ledger *l, int64_t at_s) {
    static const enum entry_kind kinds[] = {ENTRY_AIR_OFF, ENTRY_AIR_OFF, ENTRY_AIR_ON,
                                            ENTRY_SOURCE};
    enum entry_kind kind = kinds[draw(&l->seed, COUNT_OF(kinds))];
    struct entry *e = ledger_put(l, kind, SUBJECT_HATCHERY, 0, at_s);
    e->value[0] = kind == ENTRY_SOURCE ? ledger_draw(l, SOURCE_RIVER, SOURCE_LAKE) : 0;
}

static inline void ledger_about_tank(struct ledger *l, int64_t at_s) {
    enum entry_kind kind = draw(&l->seed, 4) ? ENTRY_WATER : ENTRY_VOLUME;
    if (draw(&l->seed, 8) == 0)
        kind = ENTRY_READING;
    struct entry *e = ledger_put(l, kind, SUBJECT_TANK, ledger_draw(l, 1, LEDGER_TANKS), at_s);
    if (kind == ENTRY_READING) {
        e->value[0] = ledger_draw(l, 1, READING_END - 1);
        e->value[1] = ledger_draw(l, 0, 9000);
        return;
    }
    e->value[0] = kind == ENTRY_WATER ? ledger_mdegc(l) : 500000;
}

static inline bool ledger_of(const struct ledger *l, int64_t message, bool undo, bool other) {
    bool has_undo = false, has_other = false;
    for (int i = 0; i < l->count; i++)
        if (l->entries[i].message == message)
            *(l->entries[i].kind == ENTRY_UNDO ? &has_undo : &has_other) = true;
    return has_undo == undo && has_other == other;
}

static inline bool ledger_lone_undo(const struct ledger *l, int64_t message) {
    return ledger_of(l, message, true, false);
}

static inline bool ledger_fix(const struct ledger *l, int64_t message) {
    return ledger_of(l, message, true, true);
}

static inline struct farm ledger_farm(const struct ledger *l);

/* Message l->messages takes back `message` and says again what is in force of it, some values
 * changed. False: nothing of it is. */
static inline bool ledger_say_again(struct ledger *l, int64_t message) {
    struct farm farm = ledger_farm(l);
    bool any = false;
    for (int i = 0; i < farm.count; i++) {
        if (!farm.in_force[i] || farm.entries[i].message != message)
            continue;
        if (!any)
            ledger_put(l, ENTRY_UNDO, SUBJECT_HATCHERY, 0, l->said_s)->value[0] = message;
        any = true;
        struct entry copy = farm.entries[i];
        struct entry *e = ledger_put(l, copy.kind, copy.subject_kind, copy.subject, copy.at_s);
        memcpy(e->value, copy.value, sizeof e->value);
        if (copy.kind == ENTRY_STRIPPED || copy.kind == ENTRY_COUNTED)
            e->value[0] = ledger_draw(l, 10000, 400000);
    }
    farm_free(&farm);
    return any;
}

/* Any message, but of the fixes only those that hold: no phone offers another. */
static inline void ledger_take_back(struct ledger *l, int64_t at_s) {
    int64_t message = ledger_draw(l, 1, l->messages - 1);
    if (draw(&l->seed, 2) && ledger_say_again(l, message))
        return;
    struct farm farm = ledger_farm(l);
    bool holds = !ledger_fix(l, message);
    for (int i = 0; i < farm.count; i++)
        holds |= farm.entries[i].message == message && farm.in_force[i];
    farm_free(&farm);
    if (holds)
        ledger_put(l, ENTRY_UNDO, SUBJECT_HATCHERY, 0, at_s)->value[0] = message;
    else
        ledger_about_hall(l, at_s);
}

static inline void ledger_message(struct ledger *l) {
    l->messages++;
    l->said_s += ledger_draw(l, 5, 120) * MINUTE_S;
    int64_t at_s = ledger_instant(l);
    if (l->undos && l->messages > 2 && draw(&l->seed, 6) == 0) {
        ledger_take_back(l, at_s);
        return;
    }
    int entries = (int)ledger_draw(l, 1, 3);
    for (int i = 0; i < entries; i++) {
        uint64_t what = draw(&l->seed, 27);
        if (!l->spawns || what < 2)
            ledger_inject(l, at_s);
        else if (what < 5)
            ledger_put(l, ENTRY_WATER, SUBJECT_HATCHERY, 0, at_s)->value[0] = ledger_mdegc(l);
        else if (what < 14)
            ledger_about_spawn(l, at_s);
        else if (what < 15)
            ledger_about_tank(l, at_s);
        else if (what < 16)
            ledger_about_brood(l, at_s);
        else if (what < 17)
            ledger_about_pond(l, at_s);
        else if (what < 19)
            ledger_about_cycle(l, at_s);
        else if (what < 21)
            ledger_about_growing(l, at_s);
        else if (what < 22)
            ledger_about_feed(l, at_s);
        else if (what < 25)
            ledger_about_order(l, at_s);
        else if (what < 26)
            ledger_about_money(l, at_s);
        else
            ledger_about_hall(l, at_s);
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
    bool hands; /* plan_of knows who is on the farm: two workers and an owner */
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
            (key.kind == TASK_WATER || key.kind == TASK_SOURCE ||
             (off_s < MOVED_MIN * 60 && off_s > -MOVED_MIN * 60)))
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
    static const struct plan_hand hands[] = {
        {1, PLAN_MORNING_MIN, RANK_WORKER, false},
        {2, 5 * 60 + 30, RANK_WORKER, true},
        {3, 7 * 60, RANK_OWNER, true},
    };
    struct plan_list p = {.count = 0};
    const struct plan_view view = {.told = told->rows,
                                   .told_count = told->count,
                                   .hands = told->hands ? hands : NULL,
                                   .hand_count = told->hands ? (int)COUNT_OF(hands) : 0,
                                   .zone = zone,
                                   .now_s = now_s};
    p.count = farm_plan(&farm->state, &view, p.tasks, PLAN_MOST);
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
