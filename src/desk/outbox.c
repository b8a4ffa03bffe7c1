/* outbox: what is to be sent now, under a lease. Texts past their last useful hour are never handed
 * out, nor unasked ones for a phone that said stop: both end here and pass to the next in line. */
#include "desk/inside.h"

#include <stdio.h>

#include "base/point.h"

static enum err person_of(struct desk *d, struct slice to, struct store_person *out) {
    enum err e = store_person_by_phone(d->o.store, to, &d->arena, out);
    if (e == ERR_NOT_FOUND) {
        *out = (struct store_person){0};
        e = ERR_OK;
    }
    return e;
}

static enum err end(struct desk *d, const struct store_dispatch *row, enum store_sent how,
                    struct slice reason, int64_t now_s) {
    const struct store_attempt attempt = {.dispatch = row->id,
                                          .sent = how,
                                          .at_s = now_s,
                                          .reason = reason,
                                          .provider_id = SLICE("")};
    enum err e = store_dispatch_done(d->o.store, &attempt, 1);
    if (!e && row->farm && row->task_kind)
        e = take_due_apart(d, row->farm, now_s);
    return e;
}

/* The farm's ledger is not needed for it: one that cannot be read must not hold up a text. */
const struct zone *desk_farm_zone(struct desk *d, int64_t id) {
    struct store_farm farm;
    const struct zone *zone = &zone_utc;
    char name[ZONE_NAME_MAX];
    if (!id || store_farm_get(d->o.store, id, &d->arena, &farm))
        return &zone_utc;
    (void)snprintf(name, sizeof name, "%.*s", SLICE_ARG(farm.zone));
    return desk_zone(d, name, &zone) ? &zone_utc : zone;
}

/* The body as it leaves: with its hour in front when it leaves late. */
static struct slice late_body(struct desk *d, const struct store_dispatch *row,
                              const struct store_person *person, int64_t now_s) {
    if (now_s - row->made_s <= DESK_LATE_MIN * 60)
        return row->body;
    struct buf out = buf_make_in(&d->arena, 4000);
    enum err e = turn_late(d->o.grammar.words, desk_language(d, person->language),
                           desk_farm_zone(d, row->farm), row->made_s, now_s, row->body, &out);
    return e ? row->body : buf_slice(&out);
}

enum err take_sends(struct desk *d, struct desk_round *round, int64_t now_s) {
    struct store_dispatch *rows;
    int count = 0, room = round->send_room < DESK_SEND_MAX ? round->send_room : DESK_SEND_MAX;
    if (room <= 0)
        return ERR_OK;
    enum err e = store_dispatch_take(d->o.store, now_s, d->o.holder, now_s + DESK_LEASE_S, room,
                                     &d->arena, &rows, &count);
    for (int i = 0; i < count && !e; i++) {
        const struct store_dispatch *row = &rows[i];
        struct store_person person;
        e = person_of(d, row->to, &person);
        if (e)
            break;
        if (now_s > row->useful_s) {
            e = end(d, row, STORE_EXPIRED, SLICE("past its last useful hour"), now_s);
            continue;
        }
        if (person.stopped && row->level != LEVEL_ANSWER) {
            e = end(d, row, STORE_NEVER, SLICE("stopped"), now_s);
            continue;
        }
        struct desk_send *s = &round->sends[round->send_count];
        *s = (struct desk_send){row->id, row->farm, row->reference, row->link,
                                row->to, row->body, row->tries,     row->useful_s};
        s->body = late_body(d, row, &person, now_s);
        round->send_count++;
    }
    return e;
}
