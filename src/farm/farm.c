/* farm: the two passes over a ledger. In: entries as they were said; out: the state of what
 * happened. ERR_NOMEM at the arena's cap. Cost: one sort of the entries in force and one step each;
 * a newest entry costs its step alone. */
#include "farm/farm.h"

#include <stdlib.h>
#include <string.h>

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

/* First pass. An undo itself is nothing that happened. */
static void force(struct farm *farm) {
    for (int i = 0; i < farm->count; i++) {
        farm->in_force[i] = farm->entries[i].kind != ENTRY_UNDO;
        if (farm->in_force[i])
            continue;
        for (int k = 0; k < i; k++)
            if (farm->entries[k].message == farm->entries[i].value[0])
                farm->in_force[k] = false;
    }
}

static int by_instant(const void *a, const void *b) {
    const struct entry *x = *(const struct entry *const *)a, *y = *(const struct entry *const *)b;
    if (x->at_s != y->at_s)
        return x->at_s < y->at_s ? -1 : 1;
    return x->seq < y->seq ? -1 : x->seq > y->seq;
}

enum err farm_fold(struct farm *farm) {
    force(farm);
    const struct entry **order =
        ARENA_ARRAY(&farm->arena, (size_t)farm->count + 1, const struct entry *);
    if (!order)
        return ERR_NOMEM;
    size_t n = 0;
    for (int i = 0; i < farm->count; i++)
        if (farm->in_force[i])
            order[n++] = &farm->entries[i];
    qsort(order, n, sizeof *order, by_instant);
    memset(&farm->state, 0, sizeof farm->state);
    enum err e = ERR_OK;
    for (size_t i = 0; i < n && !e; i++)
        e = farm_step(&farm->state, order[i], &farm->arena);
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

int64_t farm_head(const struct farm *farm) {
    return farm->count ? farm->entries[farm->count - 1].seq : 0;
}

int64_t farm_next_spawn(const struct farm *farm) {
    int64_t most = 0;
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].subject_kind == SUBJECT_SPAWN && farm->entries[i].subject > most)
            most = farm->entries[i].subject;
    return most + 1;
}

int64_t farm_next_female(const struct farm *farm) {
    int64_t most = 0;
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].kind == ENTRY_INJECTED && farm->entries[i].value[0] > most)
            most = farm->entries[i].value[0];
    return most + 1;
}

int64_t farm_last_message(const struct farm *farm, int64_t person) {
    for (int i = farm->count - 1; i >= 0; i--)
        if (farm->in_force[i] && farm->entries[i].person == person)
            return farm->entries[i].message;
    return 0;
}

int64_t farm_leans_on(const struct farm *farm, int64_t message) {
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (n->message != message || !farm->in_force[i] || n->subject_kind != SUBJECT_SPAWN)
            continue;
        bool begins = n->kind == ENTRY_INJECTED, strips = n->kind == ENTRY_STRIPPED;
        for (int k = 0; k < farm->count && (begins || strips); k++) {
            const struct entry *later = &farm->entries[k];
            if (!farm->in_force[k] || later->message == message || later->subject != n->subject ||
                later->subject_kind != SUBJECT_SPAWN)
                continue;
            if (begins || later->kind == ENTRY_WHITE || later->kind == ENTRY_FRAMES)
                return later->message;
        }
    }
    return 0;
}

int farm_spawn_tag(const struct farm *farm, int64_t spawn) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].kind == ENTRY_INJECTED && farm->entries[i].subject == spawn)
            return (int)farm->entries[i].value[1];
    return 0;
}
