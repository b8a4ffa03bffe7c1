/* desk: rounds. In: items and an instant; out: everything committed, or nothing and why. The
 * store's errors pass through; ERR_NOMEM when a round outgrows its arena. */
#include "desk/desk.h"

#include "desk/inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/log.h"
#include "base/point.h"

static void keep_options(struct desk *d, const struct desk_options *o) {
    d->o = *o;
    (void)snprintf(d->language, sizeof d->language, "%.*s", SLICE_ARG(o->language));
    (void)snprintf(d->country, sizeof d->country, "%.*s", SLICE_ARG(o->country));
    (void)snprintf(d->link, sizeof d->link, "%.*s", SLICE_ARG(o->link));
}

enum err desk_open(const struct desk_options *options, struct desk **out) {
    struct desk *d = calloc(1, sizeof *d);
    if (!d)
        return ERR_NOMEM;
    keep_options(d, options);
    d->arena = arena_make((size_t)64 * TURN_ARENA_BYTES);
    enum err e = store_begin(d->o.store);
    if (!e) {
        e = store_dispatch_free(d->o.store, d->o.holder);
        if (!e)
            e = desk_load_key(d);
        if (!e)
            e = store_commit(d->o.store);
        else
            store_rollback(d->o.store);
    }
    if (e) {
        desk_close(d);
        return e;
    }
    *out = d;
    return ERR_OK;
}

void desk_close(struct desk *d) {
    if (!d)
        return;
    for (int i = 0; i < CACHE_FARMS; i++)
        farm_free(&d->cache[i].farm);
    arena_free(&d->arena);
    free(d);
}

void desk_reload(struct desk *d, const struct desk_options *options) {
    keep_options(d, options);
}

/* -- farms at start
 * -------------------------------------------------------------------------------- */

static enum err ensure_person(struct desk *d, int64_t farm, const struct desk_person *p,
                              int64_t now_s) {
    struct store_person row;
    struct store_member *members;
    int64_t id = 0;
    int count = 0;
    bool ended = false;
    enum err e = store_person_by_phone(d->o.store, p->number, &d->arena, &row);
    if (e == ERR_NOT_FOUND) {
        row = (struct store_person){.phone = p->number,
                                    .language = p->language.p ? p->language : SLICE(""),
                                    .farm = farm,
                                    .link = SLICE(""),
                                    .about_data = SLICE(""),
                                    .morning_min = STORE_MORNING_MIN};
        e = store_person_put(d->o.store, &row, now_s, &id);
    } else if (!e) {
        id = row.id;
        e = store_member_ended(d->o.store, farm, id, &ended);
        if (!e && ended) {
            const struct log_phone masked = log_phone(p->number);
            LOG(LOG_WARN, "person-was-removed", LOG_TEXT("phone", masked.text),
                LOG_INT("farm", farm), LOG_TEXT("do", "take the line out of the settings"));
            return ERR_OK;
        }
        if (!e && !row.farm) {
            row.farm = farm;
            e = store_person_put(d->o.store, &row, now_s, &id);
        }
    }
    if (!e)
        e = store_members(d->o.store, farm, &d->arena, &members, &count);
    for (int i = 0; i < count && !e; i++)
        if (members[i].person.id == id)
            return ERR_OK;
    return e ? e : store_member_put(d->o.store, farm, id, (enum store_role)p->role, now_s);
}

static enum err ensure(struct desk *d, const struct desk_farm *farm, int64_t now_s) {
    struct store_farm row;
    int64_t id;
    enum err e = store_farm_by_name(d->o.store, farm->name, &d->arena, &row);
    if (e == ERR_NOT_FOUND) {
        row = (struct store_farm){
            .name = farm->name, .zone = farm->zone, .country = farm->country, .made_s = now_s};
        e = store_farm_put(d->o.store, &row, &id);
    } else {
        id = row.id;
    }
    for (int i = 0; i < farm->people_count && !e; i++)
        e = ensure_person(d, id, &farm->people[i], now_s);
    return e;
}

enum err desk_ensure_farm(struct desk *d, const struct desk_farm *farm, int64_t now_s) {
    char zone_name[ZONE_NAME_MAX];
    const struct zone *zone;
    arena_reset(&d->arena);
    (void)snprintf(zone_name, sizeof zone_name, "%.*s", SLICE_ARG(farm->zone));
    enum err e = desk_zone(d, zone_name, &zone);
    if (!e)
        e = store_begin(d->o.store);
    if (e)
        return e;
    e = ensure(d, farm, now_s);
    if (e) {
        store_rollback(d->o.store);
        return e;
    }
    return store_commit(d->o.store);
}

/* -- rounds
 * ------------------------------------------------------------------------------------------ */

static bool disk_trouble(enum err e) {
    return e == ERR_FULL || e == ERR_READONLY || e == ERR_IO || e == ERR_BUSY;
}

/* *wake: the farm whose plan the item changed, 0 none: woken apart, so that a farm that cannot be
 * planned never takes a receipt or a result of sending with it. */
static enum err take_item(struct desk *d, struct desk_item *item, int64_t now_s, int64_t *wake) {
    *wake = 0;
    switch (item->kind) {
    case DESK_MESSAGE:
        return take_message(d, item, now_s);
    case DESK_RECEIPT:
        return store_receipt_put(d->o.store, item->link, item->reference, item->provider_id,
                                 item->state, now_s, &item->known, wake);
    case DESK_ATTEMPT:
        if (item->attempt.sent == STORE_NEVER || item->attempt.sent == STORE_EXPIRED)
            *wake = item->farm; /* what cannot be sent passes to the next in line */
        return store_dispatch_done(d->o.store, &item->attempt, 1);
    }
    return ERR_BUG;
}

/* A farm whose plan fails must not hold up the others: it is tried again in ten minutes. */
enum err take_due_apart(struct desk *d, int64_t farm, int64_t now_s) {
    enum { LATER_S = 600 };
    enum err e = store_mark(d->o.store);
    if (e)
        return e;
    e = take_due(d, farm, now_s);
    if (!e)
        return store_mark_keep(d->o.store);
    if (disk_trouble(e))
        return e;
    store_mark_undo(d->o.store);
    cache_drop(d, farm);
    LOG(LOG_ERROR, "farm-failed", LOG_TEXT("why", err_info(e)->name), LOG_INT("farm", farm));
    const struct store_wake again = {
        .due_s = now_s + LATER_S, .farm = farm, .level = LEVEL_ALARM, .useful_s = now_s + LATER_S};
    return store_diary_set(d->o.store, farm, &again, 1);
}

static enum err take_due_slice(struct desk *d, struct desk_round *round, int64_t now_s) {
    int64_t *farms;
    int count;
    enum err e = store_diary_due(d->o.store, now_s, DESK_DUE_MAX, &d->arena, &farms, &count);
    for (int i = 0; i < count && !e; i++)
        e = take_due_apart(d, farms[i], now_s);
    if (!e) {
        round->more_due = count == DESK_DUE_MAX;
        round->turns += count;
    }
    return e;
}

/* One item inside its own mark. What fails for another reason than the disk takes back only its own
 * rows: once more when the farm's head had moved; a message that cannot be read is then stored as
 * set aside, with an apology to its sender. Only the disk's errors are returned. */
static enum err take_marked(struct desk *d, struct desk_item *item, int64_t now_s) {
    for (int try = 0;; try++) {
        int64_t wake;
        enum err e = store_mark(d->o.store);
        if (e)
            return e;
        item->e = take_item(d, item, now_s, &wake);
        if (!item->e) {
            e = store_mark_keep(d->o.store);
            return e || !wake ? e : take_due_apart(d, wake, now_s);
        }
        if (disk_trouble(item->e))
            return item->e;
        store_mark_undo(d->o.store);
        cache_drop(d, item->farm);
        if (item->e == ERR_STALE || try == 2)
            return ERR_OK;
        LOG(item->e == ERR_CONFLICT ? LOG_INFO : LOG_ERROR, "item-failed",
            LOG_TEXT("why", err_info(item->e)->name), LOG_INT("farm", item->farm));
        if (item->e == ERR_CONFLICT)
            continue;
        if (err_info(item->e)->again) /* not its fault: its sender comes again */
            return ERR_OK;
        item->set_aside = true;
    }
}

/* The order in which a round's items are taken: messages that say when they were sent in that
 * order, so that a burst after an outage is read as it was written; all others keep their places.
 */
static enum err order_of(struct desk *d, const struct desk_round *round, int **out) {
    int *order = ARENA_ARRAY(&d->arena, (size_t)round->item_count + 1, int);
    if (!order)
        return ERR_NOMEM;
    for (int i = 0; i < round->item_count; i++) {
        int at = i;
        const struct desk_item *item = &round->items[i];
        bool dated = item->kind == DESK_MESSAGE && item->sent_s > 0;
        for (int k = i; dated && k > 0; k--) {
            const struct desk_item *before = &round->items[order[k - 1]];
            if (before->kind != DESK_MESSAGE || before->sent_s <= 0)
                break; /* never past one whose hour is not known */
            if (before->sent_s <= item->sent_s)
                break;
            order[k] = order[k - 1];
            at = k - 1;
        }
        order[at] = i;
    }
    *out = order;
    return ERR_OK;
}

/* Everything of a round in one transaction. */
static enum err shared(struct desk *d, struct desk_round *round, int64_t now_s) {
    int *order;
    enum err e = order_of(d, round, &order);
    if (!e)
        e = store_begin(d->o.store);
    if (e)
        return e;
    POINT("desk-begun");
    for (int i = 0; i < round->item_count && !e; i++) {
        struct desk_item *item = &round->items[order[i]];
        if (d->full && item->kind == DESK_MESSAGE)
            item->e = ERR_FULL;
        else
            e = take_marked(d, item, now_s);
        round->turns++;
    }
    POINT("desk-taken");
    if (!e)
        e = take_due_slice(d, round, now_s);
    if (!e)
        e = take_sends(d, round, now_s);
    if (!e) {
        POINT("desk-commit");
        e = store_commit(d->o.store);
        POINT("desk-committed");
    } else {
        store_rollback(d->o.store);
    }
    cache_settle(d, !e);
    return e;
}

bool desk_is_full(struct desk *d) {
    if (d->full && store_ballast_restore(d->o.store))
        d->full = false;
    return d->full;
}

enum err desk_round(struct desk *d, struct desk_round *round, int64_t now_s) {
    arena_reset(&d->arena);
    d->counts.rounds++;
    (void)desk_is_full(d);
    enum err e = ERR_OK;
    for (int try = 0; try < 2; try++) {
        round->send_count = 0;
        round->more_due = false;
        round->turns = 0;
        e = shared(d, round, now_s);
        if (e != ERR_FULL || d->full)
            break;
        /* What was accepted before is finished in the ballast's room; new messages wait. */
        store_ballast_release(d->o.store);
        d->full = true;
        LOG(LOG_ERROR, "disk-full", LOG_TEXT("do", "make room; new messages are answered 503"));
    }
    if (e) {
        for (int i = 0; i < round->item_count; i++)
            round->items[i].e = e;
        round->send_count = 0;
    }
    return e;
}

int64_t desk_next(struct desk *d) {
    int64_t diary_s = INT64_MAX, dispatch_s = INT64_MAX;
    if (store_diary_next(d->o.store, &diary_s) || store_dispatch_next(d->o.store, &dispatch_s))
        return INT64_MAX;
    return diary_s < dispatch_s ? diary_s : dispatch_s;
}

struct desk_counts desk_count(const struct desk *d) {
    struct desk_counts c = d->counts;
    c.farms_in_memory = cache_count(d);
    return c;
}
