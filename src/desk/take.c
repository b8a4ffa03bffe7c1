/* take: one message, one due farm. In: an item and an instant; out: rows in the open transaction.
 * A message is stored whatever becomes of it; who is answered is decided here: members always,
 * strangers once a day, machines and echoes never. A phone that texts more than an hour's limit is
 * told from when on it is heard again, and is not heard until then: by then it has half of the
 * limit free, so it is not told so again and again. */
#include "desk/inside.h"

#include <stdio.h>
#include <string.h>

#include "base/log.h"
#include "base/point.h"
#include "sms/number.h"

enum { NAMED_S = 300, HOUR_S = 3600, DAY_S = 86400, ECHO_H = 48 };

static enum err answer_stranger(struct desk *d, struct desk_item *item, struct slice phone,
                                bool stopped, int64_t now_s) {
    bool answer;
    enum err e = store_stranger(d->o.store, phone, now_s / DAY_S, now_s, &answer);
    if (!e)
        e = store_count(d->o.store, "strangers", 1);
    if (e || !answer || !desk_may_text(d, phone))
        return e;
    struct buf body = buf_make_in(&d->arena, 1000);
    e = (stopped ? turn_stopped : turn_stranger)(d->o.grammar.words, desk_language(d, SLICE("")),
                                                 &body);
    const struct turn_text text = {.level = stopped ? LEVEL_ANSWER : LEVEL_ROUTINE,
                                   .body = buf_slice(&body),
                                   .useful_s = now_s + DAY_S};
    return e ? e : desk_put_text(d, 0, 0, item->link, phone, &text, now_s);
}

static enum err answer_aside(struct desk *d, struct desk_item *item,
                             const struct store_person *person, int64_t now_s) {
    struct buf body = buf_make_in(&d->arena, 1000);
    enum err e = turn_set_aside(d->o.grammar.words, desk_language(d, person->language), &body);
    const struct turn_text text = {
        .level = LEVEL_ANSWER, .body = buf_slice(&body), .useful_s = now_s + DAY_S};
    if (!e)
        e = store_count(d->o.store, "set-aside", 1);
    return e ? e
             : desk_put_text(d, person->farm, person->id, item->link, person->phone, &text, now_s);
}

/* Over the limit: heard no more until half of the texts that count are an hour old. A member is
 * told so once, or what he reports would be lost without a word. */
static enum err close_phone(struct desk *d, struct desk_item *item,
                            const struct store_person *person, struct slice phone, int64_t now_s) {
    int64_t until_s, last_s;
    enum err e = store_count(d->o.store, "limited", 1);
    if (!e)
        e = store_closed_until(d->o.store, phone, &until_s);
    if (e || until_s > now_s)
        return e;
    e = store_arrival_back(d->o.store, phone, d->o.texts_per_hour / 2, &last_s);
    if (e)
        return e;
    until_s = (last_s > now_s - HOUR_S ? last_s : now_s - HOUR_S) + HOUR_S + NAMED_S;
    until_s -= until_s % NAMED_S; /* hours are named on the five minutes */
    e = store_close_until(d->o.store, phone, now_s, until_s);
    if (e || !person->farm)
        return e;
    struct buf body = buf_make_in(&d->arena, 1000);
    e = turn_over_limit(d->o.grammar.words, desk_language(d, person->language),
                        desk_farm_zone(d, person->farm), now_s, until_s, &body);
    const struct turn_text text = {
        .level = LEVEL_ANSWER, .body = buf_slice(&body), .useful_s = until_s + HOUR_S};
    return e ? e
             : desk_put_text(d, person->farm, person->id, item->link, person->phone, &text, now_s);
}

/* Reads the text of a member of a farm. */
static enum err read_text(struct desk *d, struct desk_item *item, const struct store_person *person,
                          int64_t arrival, int64_t now_s) {
    struct loaded *l;
    struct store_question q;
    struct store_print print;
    enum err e = desk_load_turn(d, person->farm, now_s, &l);
    if (e)
        return e;
    l->turn.sender = -1;
    for (int i = 0; i < l->turn.people_count; i++)
        if (l->people[i].id == person->id)
            l->turn.sender = i;
    if (l->turn.sender < 0)
        return ERR_CORRUPT;
    l->turn.message = arrival;
    l->turn.sent_s = item->sent_s;
    e = desk_load_people(d, l, person, now_s);
    if (!e)
        e = store_question_get(d->o.store, person->id, &d->arena, &q);
    if (!e && q.farm != person->farm) { /* asked on a farm that he does not text to now */
        e = store_question_drop(d->o.store, person->id);
        if (e)
            return e;
    } else if (!e) {
        l->question =
            (struct turn_question){q.person, q.request, q.asked, q.asked_s, q.head, q.arrival};
        l->turn.question = &l->question;
    } else if (e != ERR_NOT_FOUND) {
        return e;
    }
    memcpy(print.bytes, item->print, sizeof print.bytes);
    store_danger(d->o.store, &print);
    l->farm->dirty = true; /* the turn brings it up to date: if it fails, it is thrown away */
    POINT("turn-before");
    e = turn_take(&l->turn, item->text);
    POINT("turn-after");
    store_safe(d->o.store);
    return e ? e : desk_save_turn(d, l, item->link);
}

/* Who is not answered, whatever the text says. */
static enum err ignored(struct desk *d, const struct desk_item *item, struct slice phone,
                        int64_t now_s, bool *out) {
    *out = item->no_reply || slice_eq(phone, item->receiver);
    if (*out || !item->text.n)
        return ERR_OK;
    return store_is_echo(d->o.store, phone, item->text, now_s - ECHO_H * HOUR_S, out);
}

/* What will become of it: stored with the message, so known before anything else is done. */
static enum err decide(struct desk *d, struct desk_item *item, const struct store_person *person,
                       struct slice phone, bool aside, int64_t now_s) {
    int recent; /* this one is not among them yet */
    int64_t closed_s;
    enum err e = store_arrivals_of(d->o.store, phone, now_s - HOUR_S, &recent);
    if (!e)
        e = store_closed_until(d->o.store, phone, &closed_s);
    if (e)
        return e;
    bool over = d->o.texts_per_hour && (recent >= d->o.texts_per_hour || closed_s > now_s);
    /* a flood is not read, but whoever wants no more texts, or wants them again, is heard at once
     * and always */
    bool consent = text_is_stop(d->o.grammar.reader, item->text) ||
                   (person->stopped && text_is_start(d->o.grammar.reader, item->text));
    if (over && !(person->farm && consent))
        item->fate = STORE_LIMITED;
    else if (!person->id || !person->farm)
        item->fate = STORE_STRANGE;
    else
        item->fate = aside ? STORE_ASIDE : STORE_READ;
    return ERR_OK;
}

/* An invited phone may join, and it or one that was taken off may ask for no more texts; whatever
 * else it sends is a stranger's. */
static enum err read_stranger(struct desk *d, struct desk_item *item,
                              const struct store_person *person, struct slice phone, bool aside,
                              int64_t now_s) {
    bool joined = false, stopped = false;
    enum err e = aside ? ERR_OK : desk_take_consent(d, item, person, phone, now_s, &stopped);
    if (!e && !aside && !stopped)
        e = desk_take_join(d, item, person, phone, now_s, &joined);
    return e || joined ? e : answer_stranger(d, item, phone, stopped, now_s);
}

static enum err act(struct desk *d, struct desk_item *item, const struct store_person *person,
                    struct slice phone, int64_t arrival, bool aside, int64_t now_s) {
    switch (item->fate) {
    case STORE_READ:
        return read_text(d, item, person, arrival, now_s);
    case STORE_ASIDE:
        return answer_aside(d, item, person, now_s);
    case STORE_STRANGE:
        return read_stranger(d, item, person, phone, aside, now_s);
    case STORE_LIMITED:
        return close_phone(d, item, person, phone, now_s);
    case STORE_IGNORED:
        break;
    }
    return ERR_OK;
}

/* The sender as E.164, else as it came (a word or a short code: never answered). */
static bool sender_number(struct slice raw, struct slice country, struct number *out) {
    if (!number_normalise(raw, number_plan_of(country), out))
        return true;
    (void)snprintf(out->text, sizeof out->text, "%.*s", (int)(raw.n < 16 ? raw.n : 16),
                   raw.p ? raw.p : "");
    return false;
}

/* Whose phone it is. A number written the national way is read by the plan of the host's country,
 * then by those of the other countries it serves: a farm's own country decides. */
static enum err find_person(struct desk *d, struct slice raw, struct number *number,
                            struct store_person *out, bool *is_number) {
    enum err e = ERR_NOT_FOUND;
    *out = (struct store_person){0};
    *is_number = sender_number(raw, slice_of(d->country), number);
    if (*is_number)
        e = store_person_by_phone(d->o.store, slice_of(number->text), &d->arena, out);
    for (int i = 0; i < d->o.country_count && e == ERR_NOT_FOUND; i++) {
        struct number other;
        if (!sender_number(raw, d->o.countries[i], &other))
            continue;
        e = store_person_by_phone(d->o.store, slice_of(other.text), &d->arena, out);
        if (!e || !*is_number)
            *number = other;
        *is_number = true;
    }
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err take_message(struct desk *d, struct desk_item *item, int64_t now_s) {
    struct number sender;
    struct store_person person;
    struct store_arrival row = {.link = item->link,
                                .receiver = item->receiver,
                                .body = item->text,
                                .sent_s = item->sent_s,
                                .arrived_s = now_s};
    int64_t arrival;
    bool aside = false, seen = false, ignore = true;
    bool number;
    enum err e = find_person(d, item->sender, &sender, &person, &number);
    struct slice phone = slice_of(sender.text);
    memcpy(row.print.bytes, item->print, sizeof row.print.bytes);
    row.sender = phone;
    row.person = person.id;
    row.farm = item->farm = person.farm;
    if (!e)
        e = store_is_aside(d->o.store, &row.print, &aside);
    aside = aside || item->set_aside;
    if (!e && number)
        e = ignored(d, item, phone, now_s, &ignore);
    item->fate = STORE_IGNORED;
    if (!e && !ignore)
        e = decide(d, item, &person, phone, aside, now_s);
    if (e)
        return e;
    row.fate = item->fate;
    e = store_arrival_put(d->o.store, &row, &arrival, &item->known);
    if (e || item->known)
        return e;
    if (item->signature_id.n) {
        e = store_seen(d->o.store, item->link, item->signature_id, now_s, item->signature_until_s,
                       &seen);
        if (e || seen)
            return e ? e : ERR_STALE;
    }
    return act(d, item, &person, phone, arrival, aside, now_s);
}

enum err take_due(struct desk *d, int64_t farm, int64_t now_s) {
    struct loaded *l;
    enum err e = desk_load_turn(d, farm, now_s, &l);
    if (e)
        return e;
    e = turn_wake(&l->turn);
    return e ? e : desk_save_turn(d, l, (struct slice){0});
}
