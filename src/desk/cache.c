/* cache: farms kept in memory, folded, the least used thrown out. What is kept is only ever what
 * the store's ledger gives: one turn in some folds again from the store and compares; a difference
 * is counted as a bug and the full fold wins. */
#include "desk/inside.h"

#include <stdio.h>
#include <string.h>

#include "base/log.h"

enum err desk_zone(struct desk *d, const char *name, const struct zone **out) {
    for (int i = 0; i < d->zone_count; i++)
        if (strcmp(d->zones[i].name, name) == 0) {
            *out = &d->zones[i];
            return ERR_OK;
        }
    if (d->zone_count == ZONES_MAX)
        return ERR_NOMEM;
    enum err e = zone_load(name, &d->zones[d->zone_count]);
    if (!e)
        *out = &d->zones[d->zone_count++];
    return e;
}

static enum err entry_of_row(const struct store_entry *row, struct entry *out) {
    *out = (struct entry){.seq = row->seq,
                          .at_s = row->at_s,
                          .said_s = row->said_s,
                          .message = row->arrival,
                          .person = row->person,
                          .kind = (enum entry_kind)row->kind,
                          .version = (int)row->version,
                          .subject_kind = (enum subject_kind)row->subject_kind,
                          .subject = row->subject};
    return entry_read(row->data, out);
}

/* The whole ledger of a farm, folded from the beginning. */
static enum err read_farm(struct desk *d, int64_t id, struct farm *farm) {
    struct arena rows_arena = arena_make(256 * 1024 * 1024);
    struct store_entry *rows;
    int count;
    enum err e = store_ledger_read(d->o.store, id, 0, &rows_arena, &rows, &count);
    for (int i = 0; i < count && !e; i++) {
        struct entry n;
        e = entry_of_row(&rows[i], &n);
        if (!e)
            e = farm_append(farm, &n, 1);
    }
    arena_free(&rows_arena);
    return e ? e : farm_fold(farm);
}

static void free_slot(struct cached_farm *c) {
    farm_free(&c->farm);
    c->id = 0;
    c->dirty = false;
}

static struct cached_farm *slot_for(struct desk *d) {
    struct cached_farm *oldest = NULL;
    for (int i = 0; i < CACHE_FARMS; i++) {
        struct cached_farm *c = &d->cache[i];
        if (!c->id)
            return c;
        if (!c->dirty && (!oldest || c->used < oldest->used))
            oldest = c;
    }
    if (oldest)
        free_slot(oldest);
    return oldest;
}

enum err cache_get(struct desk *d, int64_t id, struct cached_farm **out) {
    d->clock++;
    for (int i = 0; i < CACHE_FARMS; i++) {
        struct cached_farm *c = &d->cache[i];
        if (c->id != id)
            continue;
        if (!c->dirty && c->farm.arena.used > CACHE_FARM_BYTES) {
            free_slot(c);
            break;
        }
        c->used = d->clock;
        *out = c;
        return ERR_OK;
    }
    struct cached_farm *c = slot_for(d);
    struct store_farm row;
    if (!c)
        return ERR_NOMEM; /* more farms changed in one round than are kept */
    enum err e = store_farm_get(d->o.store, id, &d->arena, &row);
    if (e)
        return e;
    c->farm = farm_make();
    e = read_farm(d, id, &c->farm);
    if (e) {
        farm_free(&c->farm);
        return e;
    }
    (void)snprintf(c->name, sizeof c->name, "%.*s", SLICE_ARG(row.name));
    (void)snprintf(c->zone, sizeof c->zone, "%.*s", SLICE_ARG(row.zone));
    (void)snprintf(c->country, sizeof c->country, "%.*s", SLICE_ARG(row.country));
    c->id = id;
    c->used = d->clock;
    c->dirty = false;
    *out = c;
    return ERR_OK;
}

void cache_drop(struct desk *d, int64_t id) {
    for (int i = 0; i < CACHE_FARMS; i++)
        if (d->cache[i].id == id)
            free_slot(&d->cache[i]);
}

void cache_settle(struct desk *d, bool committed) {
    for (int i = 0; i < CACHE_FARMS; i++) {
        struct cached_farm *c = &d->cache[i];
        if (c->id && c->dirty && !committed)
            free_slot(c);
        c->dirty = false;
    }
}

int cache_count(const struct desk *d) {
    int n = 0;
    for (int i = 0; i < CACHE_FARMS; i++)
        n += d->cache[i].id != 0;
    return n;
}

enum err cache_check(struct desk *d, struct cached_farm *c) {
    struct farm whole = farm_make();
    enum err e = read_farm(d, c->id, &whole);
    d->counts.full_folds++;
    if (e) {
        farm_free(&whole);
        return e;
    }
    if (farm_digest(&whole.state) != farm_digest(&c->farm.state) || whole.count != c->farm.count) {
        d->counts.digest_differences++;
        LOG(LOG_ERROR, "digest", LOG_INT("farm", c->id), LOG_INT("entries", whole.count));
        farm_free(&c->farm);
        c->farm = whole;
    } else {
        farm_free(&whole);
    }
    return ERR_OK;
}
