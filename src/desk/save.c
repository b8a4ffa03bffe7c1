/* save: a turn's needs out of the store, and its results into it. In one transaction with what
 * called it; the store's errors pass through. ERR_CORRUPT: rows that this build cannot read. */
#include "desk/inside.h"

#include <stdio.h>
#include <string.h>

#include "base/log.h"
#include "sms/parts.h"

int desk_language(const struct desk *d, struct slice code) {
    int language = words_find(d->o.grammar.words, code);
    if (language < 0)
        language = words_find(d->o.grammar.words, slice_of(d->language));
    return language >= 0 ? language : words_english(d->o.grammar.words);
}

static struct slice text_of_message(void *context, int64_t message) {
    struct desk *d = context;
    struct store_arrival arrival;
    if (store_arrival_get(d->o.store, message, &d->arena, &arrival))
        return (struct slice){0};
    return arrival.body;
}

/* A purged body counts as one part. Of more than SLICES_MOST slices the newest count. */
static bool parts_between(void *context, int64_t from_s, int64_t to_s, int *sent, int *received) {
    enum { SLICES_MOST = 20, SLICE_BYTES = 4 * 1024 * 1024 };
    struct desk *d = context;
    struct arena a = arena_make(SLICE_BYTES);
    int64_t before = 0;
    bool more = true, known = true;
    *sent = *received = 0;
    for (int i = 0; i < SLICES_MOST && more && known; i++) {
        struct store_text *texts;
        int count = 0;
        arena_reset(&a);
        known = !store_texts_of(d->o.store, d->loaded.turn.farm_id, 0, before, STORE_SLICE_MAX, &a,
                                &texts, &count);
        more = known && count == STORE_SLICE_MAX;
        for (int k = 0; k < count && known; k++) {
            struct sms_size size;
            before = texts[k].id;
            if (texts[k].at_s < from_s)
                more = false;
            if (texts[k].at_s < from_s || texts[k].at_s >= to_s)
                continue;
            if (!texts[k].body.n || sms_measure(texts[k].body, &a, &size))
                size.parts = 1;
            *received += texts[k].out ? 0 : size.parts;
            *sent += texts[k].out && texts[k].sent == STORE_DONE ? size.parts : 0;
        }
    }
    arena_free(&a);
    return known;
}

static void person_of_row(const struct desk *d, const struct store_member *m, int64_t farm,
                          struct turn_person *out) {
    const struct store_person *p = &m->person;
    *out = (struct turn_person){
        .id = p->id,
        .phone = p->phone,
        .language = words_find(d->o.grammar.words, p->language),
        .role = (enum turn_role)m->role,
        .stopped = p->stopped,
        .heard_s = p->heard_s,
        .about = {(enum about_kind)p->about_kind, p->about_subject, p->about_data},
        .morning_min = (int)p->morning_min,
        .lists = true,
        .rest = p->rest,
        .farms = (int)m->farms};
    if (p->farm != farm) /* what he was told last was of another farm */
        out->about = (struct about){0}, out->rest = (struct slice){0};
}

static bool concerns(const struct loaded *l, const struct store_told *row, int64_t now_s) {
    const struct task_key key = {(enum task_kind)row->task_kind, row->subject, (int)row->nth,
                                 (enum task_stage)row->stage};
    return plan_concerns(&l->farm->farm.state, key, now_s);
}

/* Of what was told, newest first (the store gives that last): what concerns open subjects, then, as
 * far as there is room, what was told lately about closed ones, since an undo may open them again
 * and nothing is told twice. A farm with more is rid of rows long past. */
static enum err load_told(struct desk *d, struct loaded *l, int64_t farm, int64_t now_s) {
    enum { MOST = TURN_TOLD_MAX / 2 };
    struct store_told *rows;
    int count, kept = 0;
    enum err e = store_told_read(d->o.store, farm, &d->arena, &rows, &count);
    for (int closed = 0; closed < 2; closed++)
        for (int i = count - 1; i >= 0 && kept < MOST && !e; i--) {
            const struct store_told *row = &rows[i];
            bool late = row->told_s >= now_s - (int64_t)TOLD_CLOSED_DAYS * 86400;
            if ((closed && !late) || concerns(l, row, now_s) == closed)
                continue;
            l->turn.told[kept++] = (struct told){{(enum task_kind)row->task_kind, row->subject,
                                                  (int)row->nth, (enum task_stage)row->stage},
                                                 row->person,
                                                 row->hour_s,
                                                 row->told_s,
                                                 (enum outcome)row->outcome};
        }
    l->turn.told_count = l->turn.told_kept = kept;
    if (!e && count > MOST)
        e = store_told_drop(d->o.store, farm, now_s - (int64_t)TOLD_KEPT_DAYS * 86400);
    return e;
}

enum err desk_load_turn(struct desk *d, int64_t farm, int64_t now_s, struct loaded **out) {
    struct store_member *members;
    int count;
    const struct zone *zone;
    struct loaded *l = &d->loaded;
    memset(l, 0, sizeof *l);
    enum err e = cache_get(d, farm, &l->farm);
    if (!e)
        e = desk_zone(d, l->farm->zone, &zone);
    if (!e)
        e = store_members(d->o.store, farm, &d->arena, &members, &count);
    if (!e)
        e = load_told(d, l, farm, now_s);
    if (e)
        return e;
    count = count < PEOPLE_MAX ? count : PEOPLE_MAX;
    for (int i = 0; i < count; i++) {
        l->rows[i] = members[i].person;
        person_of_row(d, &members[i], farm, &l->people[i]);
        /* of one on several farms only what came to this one is known here */
        if (members[i].farms > 1)
            e = store_arrival_last(d->o.store, farm, members[i].person.id, &l->people[i].heard_s);
        if (e)
            return e;
    }
    l->turn.words = d->o.grammar.words;
    l->turn.reader = d->o.grammar.reader;
    l->turn.language = desk_language(d, SLICE(""));
    l->turn.zone = zone;
    l->turn.farm_id = farm;
    l->turn.farm_name = slice_of(l->farm->name);
    l->turn.country = slice_of(l->farm->country[0] ? l->farm->country : d->country);
    l->turn.farm = &l->farm->farm;
    l->turn.people = l->people;
    l->turn.people_count = count;
    l->turn.now_s = now_s;
    l->turn.arena = &d->arena;
    l->turn.message_text = text_of_message;
    l->turn.party_id = desk_party_id;
    l->turn.party_name = desk_party_name;
    l->turn.parts = parts_between;
    l->turn.context = d;
    *out = l;
    return ERR_OK;
}

static enum err save_entries(struct desk *d, struct loaded *l) {
    struct store_entry rows[TURN_ENTRIES_MAX];
    const struct turn *t = &l->turn;
    if (!t->entry_count)
        return ERR_OK;
    for (int i = 0; i < t->entry_count; i++) {
        const struct entry *n = &t->entries[i];
        struct buf data = buf_make_in(&d->arena, 400);
        entry_write(n, &data);
        enum err e = buf_err(&data);
        if (e)
            return e;
        rows[i] = (struct store_entry){n->seq,     n->at_s,         n->said_s,  n->message,
                                       n->person,  n->kind,         n->version, n->subject_kind,
                                       n->subject, buf_slice(&data)};
    }
    l->farm->dirty = true;
    return store_ledger_append(d->o.store, l->farm->id, t->entries[0].seq - 1, rows,
                               t->entry_count);
}

static enum err save_told(struct desk *d, const struct loaded *l) {
    const struct turn *t = &l->turn;
    int count = t->told_count - t->told_kept;
    if (!count)
        return ERR_OK;
    struct store_told *rows = ARENA_ARRAY(&d->arena, (size_t)count, struct store_told);
    if (!rows)
        return ERR_NOMEM;
    for (int i = 0; i < count; i++) {
        const struct told *n = &t->told[t->told_kept + i];
        rows[i] = (struct store_told){
            n->key.kind, n->key.subject, n->key.nth, n->key.stage,
            n->person,   n->hour_s,      n->told_s,  (enum store_outcome)n->outcome};
    }
    return store_told_put(d->o.store, l->farm->id, rows, count);
}

static enum err save_wakes(struct desk *d, const struct loaded *l) {
    const struct turn *t = &l->turn;
    struct store_wake *rows = ARENA_ARRAY(&d->arena, (size_t)t->wake_count + 1, struct store_wake);
    int n = 0;
    if (!rows)
        return ERR_NOMEM;
    for (int i = 0; i < t->wake_count; i++) {
        const struct task *w = &t->wakes[i];
        /* what is still due did not fit into this turn's texts: at once again */
        int64_t due_s = w->due_s > t->now_s ? w->due_s : t->now_s + 1;
        if (w->due_s > t->now_s || t->more_due)
            rows[n++] = (struct store_wake){due_s,      l->farm->id,  w->key.kind, w->key.subject,
                                            w->key.nth, w->key.stage, w->level,    w->useful_s};
    }
    return store_diary_set(d->o.store, l->farm->id, rows, n);
}

static const struct store_person *row_of(const struct loaded *l, int64_t person) {
    for (int i = 0; i < l->turn.people_count; i++)
        if (l->rows[i].id == person)
            return &l->rows[i];
    return NULL;
}

enum err desk_put_text(struct desk *d, int64_t farm, int64_t person, struct slice link,
                       struct slice to, const struct turn_text *text, int64_t now_s) {
    static const char hex[] = "0123456789abcdef";
    unsigned char bytes[16];
    char reference[33] = {0};
    d->o.random(d->o.context, bytes, sizeof bytes);
    for (size_t i = 0; i < sizeof bytes; i++) {
        reference[2 * i] = hex[bytes[i] >> 4];
        reference[2 * i + 1] = hex[bytes[i] & 15];
    }
    const struct store_dispatch row = {.reference = slice_of(reference),
                                       .farm = farm,
                                       .person = person,
                                       .link = link.n ? link : slice_of(d->link),
                                       .to = to,
                                       .body = text->body,
                                       .level = text->level,
                                       .made_s = now_s,
                                       .next_s = now_s,
                                       .useful_s = text->useful_s,
                                       .task_kind = text->key.kind,
                                       .subject = text->key.subject,
                                       .nth = text->key.nth,
                                       .stage = text->key.stage};
    return store_dispatch_put(d->o.store, &row, 1);
}

static enum err save_texts(struct desk *d, const struct loaded *l, struct slice link) {
    for (int i = 0; i < l->turn.text_count; i++) {
        const struct turn_text *text = &l->turn.texts[i];
        const struct store_person *p = row_of(l, text->person);
        enum err e = ERR_OK;
        if (!text->body.n)
            continue;
        if (text->to.n)
            e = desk_put_text_to(d, text, text->farm ? text->farm : l->farm->id, link,
                                 l->turn.now_s);
        else if (p)
            e = desk_put_text(d, l->farm->id, p->id, p->link, p->phone, text, l->turn.now_s);
        if (e)
            return e;
    }
    return ERR_OK;
}

static enum err save_people(struct desk *d, struct loaded *l, struct slice link) {
    for (int i = 0; i < l->turn.people_count; i++) {
        const struct turn_person *p = &l->people[i];
        struct store_person *row = &l->rows[i];
        /* Not by heard_s: two texts within one second may come by two links. */
        bool spoke = link.n && i == l->turn.sender;
        if (!p->changed && !spoke && p->heard_s <= row->heard_s)
            continue;
        /* What he was told about a farm that he does not text to now is not what WHY means. */
        bool here = row->farm == l->farm->id;
        if (spoke)
            row->link = link;
        if (spoke && l->turn.farm_chosen)
            row->farm = l->turn.farm_chosen;
        if (p->language >= 0)
            row->language = slice_of(words_code(d->o.grammar.words, p->language));
        row->stopped = p->stopped;
        if (p->heard_s > row->heard_s)
            row->heard_s = p->heard_s;
        row->morning_min = p->morning_min;
        if (here) {
            row->about_kind = p->about.kind;
            row->about_subject = p->about.subject;
            row->about_data = p->about.data.p ? p->about.data : SLICE("");
            row->rest = p->rest;
        }
        int64_t id;
        enum err e = store_person_put(d->o.store, row, l->turn.now_s, &id);
        if (e)
            return e;
    }
    return ERR_OK;
}

/* A reminder that asks for a value must not take the place of what the person was asked about a
 * text of his own: a YES on its way would answer nothing. */
static enum err gives_way(struct desk *d, const struct loaded *l, const struct turn_question *q,
                          bool *out) {
    struct store_question open;
    const struct store_person *p = row_of(l, q->person);
    /* whose texts go to another farm could not answer it here, and his own stays */
    *out = p && p->farm != l->farm->id;
    if (q->message || *out)
        return ERR_OK;
    enum err e = store_question_get(d->o.store, q->person, &d->arena, &open);
    *out = !e && open.farm == l->farm->id && open.arrival &&
           q->asked_s - open.asked_s <= (int64_t)QUESTION_MIN * 60;
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

static enum err save_questions(struct desk *d, const struct loaded *l) {
    const struct turn *t = &l->turn;
    bool waits;
    enum err e = ERR_OK;
    if (t->question_done && t->question)
        e = store_question_drop(d->o.store, t->question->person);
    for (int i = 0; i < t->question_count && !e; i++) {
        const struct turn_question *q = &t->questions[i];
        const struct store_question row = {q->person,  l->farm->id, q->line,   q->asked,
                                           q->asked_s, q->head,     q->message};
        e = gives_way(d, l, q, &waits);
        if (!e && !waits)
            e = q->asked == QUESTION_NONE ? store_question_drop(d->o.store, q->person)
                                          : store_question_put(d->o.store, &row);
    }
    return e;
}

enum err desk_save_turn(struct desk *d, struct loaded *l, struct slice link) {
    enum err e = save_entries(d, l);
    if (!e)
        e = save_people(d, l,
                        link); /* before the texts: an answer goes out by the link it came by */
    if (!e && link.n)
        e = desk_save_people(d, l, l->people[l->turn.sender].id, link);
    if (!e)
        e = save_told(d, l);
    if (!e)
        e = save_texts(d, l, link);
    if (!e)
        e = save_questions(d, l);
    if (!e)
        e = save_wakes(d, l);
    d->counts.turns++;
    if (!e && d->o.check_every && d->counts.turns % d->o.check_every == 0)
        e = cache_check(d, l->farm);
    return e;
}
