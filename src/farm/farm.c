/* farm: the two passes over a ledger. In: entries as they were said; out: the state of what
 * happened. ERR_NOMEM at the arena's cap. Cost: one sort of the entries in force and one step each;
 * a newest entry costs its step alone. */
#include "farm/farm.h"

#include <stdlib.h>
#include <string.h>

#include "farm/inside.h"

struct farm farm_make(void) {
    return (struct farm){.arena = arena_make(FARM_ARENA_BYTES)};
}

void farm_free(struct farm *farm) {
    arena_free(&farm->arena);
    *farm = farm_make();
}

enum err farm_append(struct farm *farm, const struct entry *entries, int count) {
    int need = farm->count + count;
    if (need > farm->room) {
        int more = farm->room ? farm->room * 2 : 64;
        while (more < need)
            more *= 2;
        struct entry *e =
            arena_grow(&farm->arena, farm->entries, (size_t)farm->count, (size_t)more, sizeof *e);
        bool *f =
            arena_grow(&farm->arena, farm->in_force, (size_t)farm->count, (size_t)more, sizeof *f);
        if (!e || !f)
            return ERR_NOMEM;
        farm->entries = e;
        farm->in_force = f;
        farm->room = more;
    }
    for (int i = 0; i < count; i++) {
        farm->entries[farm->count] = entries[i];
        farm->in_force[farm->count++] = true;
    }
    return ERR_OK;
}

/* First pass, from the newest back: the undo inside a fix takes nothing back any more when the fix
 * was taken back, but goes on when it was fixed in its turn: the newer fix stands in its place. A
 * message that only undoes is never undone. An undo itself is nothing that happened. The
 * entries of one message stand together. */
static bool alone(const struct farm *farm, int at) {
    int64_t message = farm->entries[at].message;
    while (at > 0 && farm->entries[at - 1].message == message)
        at--;
    for (; at < farm->count && farm->entries[at].message == message; at++)
        if (farm->entries[at].kind != ENTRY_UNDO)
            return false;
    return true;
}

static void force(struct farm *farm) {
    for (int i = 0; i < farm->count; i++)
        farm->in_force[i] = true;
    for (int i = farm->count - 1; i >= 0; i--) {
        if (farm->entries[i].kind != ENTRY_UNDO || !farm->in_force[i])
            continue;
        farm->in_force[i] = false;
        bool fixes = !alone(farm, i);
        for (int k = 0; k < i; k++)
            if (farm->entries[k].message == farm->entries[i].value[0] &&
                !(farm->entries[k].kind == ENTRY_UNDO && (fixes || alone(farm, k))))
                farm->in_force[k] = false;
    }
}

static int by_instant(const void *a, const void *b) {
    const struct entry *x = *(const struct entry *const *)a, *y = *(const struct entry *const *)b;
    if (x->at_s != y->at_s)
        return x->at_s < y->at_s ? -1 : 1;
    return x->seq < y->seq ? -1 : x->seq > y->seq;
}

/* Folds what is in force of what happened until an instant, or only what of it happened before
 * `end`, its own message left out. */
static enum err fold(const struct farm *farm, int64_t until_s, const struct entry *end,
                     struct arena *arena, struct farm_state *out) {
    const struct entry **order = ARENA_ARRAY(arena, (size_t)farm->count + 1, const struct entry *);
    memset(out, 0, sizeof *out);
    if (!order)
        return ERR_NOMEM;
    size_t n = 0;
    for (int i = 0; i < farm->count; i++) {
        const struct entry *e = &farm->entries[i];
        bool before = !end || (by_instant(&e, &end) < 0 && e->message != end->message);
        if (farm->in_force[i] && e->at_s <= until_s && before)
            order[n++] = e;
    }
    qsort(order, n, sizeof *order, by_instant);
    enum err e = ERR_OK;
    for (size_t i = 0; i < n && !e; i++)
        e = farm_step(out, order[i], arena);
    return e;
}

enum err farm_then(const struct farm *farm, int64_t at_s, struct arena *arena,
                   struct farm_state *out) {
    return fold(farm, at_s, NULL, arena, out);
}

enum err farm_fold(struct farm *farm) {
    struct farm_state state;
    force(farm);
    enum err e = fold(farm, INT64_MAX, NULL, &farm->arena, &state);
    farm->state = state;
    return e;
}

enum err farm_fold_before(struct farm *farm, int at) {
    struct farm_state state;
    enum err e = fold(farm, INT64_MAX, &farm->entries[at], &farm->arena, &state);
    farm->state = state;
    return e;
}

enum err farm_add(struct farm *farm, const struct entry *entries, int count) {
    bool newest = true;
    for (int i = 0; i < count; i++) {
        int64_t after_s = i ? entries[i - 1].at_s : farm->state.last_at_s;
        if (entries[i].kind == ENTRY_UNDO || entries[i].at_s < after_s)
            newest = false;
    }
    enum err e = farm_append(farm, entries, count);
    if (e)
        return e;
    if (!newest)
        return farm_fold(farm);
    for (int i = 0; i < count && !e; i++)
        e = farm_step(&farm->state, &entries[i], &farm->arena);
    return e;
}

enum err farm_cut(struct farm *farm, int count) {
    farm->count -= count;
    return farm_fold(farm);
}

int64_t farm_head(const struct farm *farm) {
    return farm->count ? farm->entries[farm->count - 1].seq : 0;
}

int64_t farm_next(const struct farm *farm, enum subject_kind kind) {
    int64_t most = 0;
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        int64_t id = n->subject_kind == kind ? n->subject : 0;
        if (kind == SUBJECT_BROOD && n->kind == ENTRY_INJECTED)
            id = n->value[0];
        most = id > most ? id : most;
    }
    return most + 1;
}

int64_t farm_sender(const struct farm *farm, int64_t message) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].message == message)
            return farm->entries[i].person;
    return 0;
}

/* The entries of one message stand together: the first of those with entry `at`. */
static const struct entry *first_with(const struct farm *farm, int at) {
    while (at > 0 && farm->entries[at - 1].message == farm->entries[at].message)
        at--;
    return &farm->entries[at];
}

int64_t farm_last_message(const struct farm *farm, int64_t person) {
    for (int i = farm->count - 1; i >= 0; i--)
        if (farm->in_force[i] && first_with(farm, i)->person == person)
            return farm->entries[i].message;
    return 0;
}

int64_t farm_newest_message(const struct farm *farm, enum subject_kind kind, int64_t subject) {
    for (int i = farm->count - 1; i >= 0; i--)
        if (farm->in_force[i] && farm->entries[i].subject_kind == kind &&
            farm->entries[i].subject == subject)
            return farm->entries[i].message;
    return 0;
}

bool farm_is_fix(const struct farm *farm, int64_t message) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].message == message && farm->entries[i].kind == ENTRY_UNDO)
            return !alone(farm, i);
    return false;
}

/* -- leaning -------------------------------------------------------------------------------------
 */

static bool about(const struct entry *n, enum subject_kind kind, int64_t subject) {
    return n->subject_kind == kind && n->subject == subject;
}

/* Of the eggs or larvae of a spawn: means nothing without a strip. */
static bool after_strip(const struct entry *n, int64_t spawn) {
    if (n->kind == ENTRY_STOCKED)
        return n->value[3] == spawn;
    return about(n, SUBJECT_SPAWN, spawn) &&
           (n->kind == ENTRY_LAYER || n->kind == ENTRY_BOWL || n->kind == ENTRY_WHITE ||
            n->kind == ENTRY_FRAMES || (n->kind >= ENTRY_SPOILT && n->kind <= ENTRY_SOLD));
}

static bool registers(const struct entry *n, int64_t id) {
    return (n->kind == ENTRY_BROOD && n->subject == id) ||
           (n->kind == ENTRY_INJECTED && n->value[0] == id);
}

/* Was the brood fish made by this entry's message, the first in force that registers its id? */
static bool makes_brood(const struct farm *farm, const struct entry *n, int64_t id) {
    for (int i = 0; i < farm->count; i++)
        if (farm->in_force[i] && registers(&farm->entries[i], id))
            return farm->entries[i].message == n->message;
    return false;
}

/* Was the cycle, order or plan begun by this entry's message? What was put in or said anew later
 * carries nothing. */
static bool begins(const struct farm *farm, const struct entry *n) {
    for (int i = 0; i < farm->count; i++)
        if (farm->in_force[i] && farm->entries[i].kind == n->kind &&
            farm->entries[i].subject == n->subject)
            return farm->entries[i].message == n->message;
    return false;
}

static bool about_brood(const struct entry *n, int64_t id) {
    return about(n, SUBJECT_BROOD, id) || (n->kind == ENTRY_INJECTED && n->value[0] == id) ||
           ((n->kind == ENTRY_MALE || n->kind == ENTRY_PLAN_FEMALE) && n->value[0] == id);
}

/* `later` would hang in the air without `n`. */
static bool leans(const struct farm *farm, const struct entry *n, const struct entry *later) {
    switch (n->kind) {
    case ENTRY_INJECTED:
        return about(later, SUBJECT_SPAWN, n->subject) || after_strip(later, n->subject) ||
               (later->kind == ENTRY_BOWL && later->value[0] == n->subject) ||
               (about(later, SUBJECT_BROOD, n->value[0]) && !registers(later, n->value[0]) &&
                makes_brood(farm, n, n->value[0]));
    case ENTRY_STRIPPED:
        return after_strip(later, n->subject);
    case ENTRY_BROOD:
        return about_brood(later, n->subject) && makes_brood(farm, n, n->subject);
    case ENTRY_STOCKED:
        return begins(farm, n) && (about(later, SUBJECT_CYCLE, n->subject) ||
                                   (later->kind == ENTRY_STOCKED && later->value[4] == n->subject));
    case ENTRY_ORDERED:
        return begins(farm, n) && (about(later, SUBJECT_ORDER, n->subject) ||
                                   (later->kind == ENTRY_PLANNED && later->value[1] == n->subject));
    case ENTRY_CURRENCY: /* without it nobody knows what the sums are */
        return farm_is_money(later->kind) && later->kind != ENTRY_CURRENCY;
    case ENTRY_PLANNED:
        return begins(farm, n) && about(later, SUBJECT_PLAN, n->subject);
    default:
        return false;
    }
}

int64_t farm_leans_on(const struct farm *farm, int64_t message) {
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (n->message != message || !farm->in_force[i])
            continue;
        for (int k = 0; k < farm->count; k++)
            if (farm->in_force[k] && farm->entries[k].message != message &&
                leans(farm, n, &farm->entries[k]))
                return farm->entries[k].message;
    }
    return 0;
}

/* Until when an entry stood: for ever, or until the undo in force that took it back. */
static int64_t stood_until(const struct farm *farm, int at) {
    int64_t seq = 0;
    if (farm->in_force[at])
        return INT64_MAX;
    for (int i = at + 1; i < farm->count; i++)
        if (farm->in_force[i] && farm->entries[i].kind == ENTRY_UNDO &&
            farm->entries[i].value[0] == farm->entries[at].message)
            seq = farm->entries[i].seq;
    return seq;
}

int farm_spawn_tag(const struct farm *farm, int64_t spawn) {
    int64_t last = -1;
    int tag = 0;
    for (int i = 0; i < farm->count; i++) {
        if (farm->entries[i].kind != ENTRY_INJECTED || farm->entries[i].subject != spawn)
            continue;
        int64_t until = stood_until(farm, i);
        if (until > last) {
            last = until;
            tag = (int)farm->entries[i].value[1];
        }
    }
    return tag;
}
