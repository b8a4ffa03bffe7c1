/* moved: hours that moved, or are no more, are told again once to those who knew another. In: what
 * was told, the state; out: texts and told rows, as many as there is room for; the farm wakes at
 * once for the others. Many of one phone and kind that moved together are one text. */
#include "turn/inside.h"

#include <stdlib.h>
#include <string.h>

#include "trade/book.h"

enum {
    MINUTE_S = 60,
    HOUR_S = 3600,
    ALONE_MOST = 3,                  /* of one phone and kind: each has its own text */
    TEXTS_MOST = TURN_TEXTS_MAX / 2, /* the rest is kept for the answer and for what is due */
    LIST_MOST = 20,                  /* characters of tags, before how many more there are */
    LIST_ALL = 40
};

struct moved {
    struct task_key key;
    int person;
    enum reply_id one; /* the wording when it is told alone */
    int64_t hour_s, old_s;
    bool stands;
};

/* Above ALONE_MOST. */
static enum reply_id for_many(enum reply_id one) {
    return one == REPLY_MOVED_LOOK     ? REPLY_MOVED_LOOKS
           : one == REPLY_MOVED_FRAMES ? REPLY_MOVED_FRAMES_ALL
           : one == REPLY_HOUR_LOST    ? REPLY_HOURS_LOST
                                       : REPLY_GONE_ALL;
}

/* The hour is no more when its spawn or its strip was taken back, or no hour can be given in this
 * water. */
static enum reply_id wording(const struct turn *t, const struct moved *m) {
    const struct spawn *s = farm_spawn(&t->farm->state, m->key.subject);
    bool look = m->key.kind == TASK_LOOK;
    if (m->stands)
        return look ? REPLY_MOVED_LOOK : REPLY_MOVED_FRAMES;
    return s && (look || s->stripped_s) ? REPLY_HOUR_LOST : REPLY_GONE;
}

/* When this person is told what moved: 0 at once. At night only whoever would come, or get up to
 * come, at a wrong hour before his morning is woken; the sender is awake. */
static int64_t told_in_the_morning(const struct turn *t, int person, int64_t first_s) {
    enum { NIGHT_HOUR = 21, SLEEPS_MOST_MIN = 600 };
    struct zone_time now = zone_local(t->zone, t->now_s);
    int own = t->people[person].morning_min;
    int morning = own <= 0 || own > SLEEPS_MOST_MIN ? PLAN_MORNING_MIN : own;
    bool evening = now.hour >= NIGHT_HOUR;
    if (person == t->sender || (!evening && now.hour * 60 + now.minute >= morning))
        return 0;
    struct zone_time then = zone_local(t->zone, zone_midnight(t->zone, t->now_s, evening));
    int64_t then_s;
    then.hour = morning / 60;
    then.minute = morning % 60;
    if (zone_instant(t->zone, then, &then_s))
        return 0; /* the clocks skip it */
    return first_s > then_s ? then_s : 0;
}

/* Whether this row's hour has moved, and is to be told now. */
static bool has_moved(struct turn *t, const struct told *row, struct moved *out) {
    int person = turn_person_index(t, row->person);
    if (row->key.stage > STAGE_FIRST || person < 0 || !row->hour_s ||
        (row->key.kind != TASK_LOOK && row->key.kind != TASK_FRAMES))
        return false;
    int64_t hour_s = 0;
    bool acted, stands = farm_task_hour(&t->farm->state, row->key, &hour_s, &acted);
    int64_t old_s = row->hour_s;
    int64_t by_s = stands ? (hour_s > old_s ? hour_s - old_s : old_s - hour_s) : INT64_MAX;
    if (acted || by_s < MOVED_MIN * MINUTE_S || old_s < t->now_s - 12 * HOUR_S ||
        turn_hour_told(t, row->key, row->person) != old_s) /* he was told another one since */
        return false;
    int64_t first_s = stands && hour_s < old_s ? hour_s : old_s;
    if (row->key.kind == TASK_LOOK) /* what is got ready for it begins before */
        first_s -= (int64_t)book_number(BOOK_READY_BEFORE_MIN) * MINUTE_S;
    int64_t later_s = told_in_the_morning(t, person, first_s);
    if (later_s) {
        t->morning_s = t->morning_s && t->morning_s < later_s ? t->morning_s : later_s;
        return false;
    }
    *out = (struct moved){
        .key = row->key, .person = person, .hour_s = hour_s, .old_s = old_s, .stands = stands};
    out->key.stage = STAGE_SAID;
    out->one = wording(t, out);
    return true;
}

static int by_hour(const void *a, const void *b) {
    const struct moved *x = a, *y = b;
    if (x->person != y->person)
        return x->person < y->person ? -1 : 1;
    if (x->one != y->one)
        return x->one < y->one ? -1 : 1;
    int64_t p = x->stands ? x->hour_s : x->old_s, q = y->stands ? y->hour_s : y->old_s;
    if (p != q)
        return p < q ? -1 : 1;
    return x->key.subject < y->key.subject ? -1 : x->key.subject > y->key.subject;
}

/* "F3 F4 F5 and 297 more (TODAY)" */
static struct slice tags_of(struct turn *t, const struct moved *m, int n) {
    struct buf all = buf_make_in(t->arena, REPLY_BYTES_MAX);
    size_t fits = 0;
    int put = 0;
    for (int i = 0; i < n && all.n <= LIST_ALL; i++) {
        buf_putf(&all, "%sF%d", i ? " " : "", farm_spawn_tag(t->farm, m[i].key.subject));
        if (all.n <= LIST_MOST) {
            fits = all.n;
            put = i + 1;
        }
    }
    if (all.n <= LIST_ALL)
        return buf_slice(&all);
    const struct reply more = {REPLY_PONDS_MORE,
                               {V_TEXT(slice_head(buf_slice(&all), fits)), V_NUMBER(n - put)}};
    return turn_render(t, m->person, &more);
}

/* One text for the first `n`, which are of one person and wording. */
static void tell(struct turn *t, const struct moved *m, int n) {
    int64_t old_s = m->old_s, last_s = m->hour_s;
    for (int i = 1; i < n; i++) {
        old_s = m[i].old_s < old_s ? m[i].old_s : old_s;
        last_s = m[i].hour_s > last_s ? m[i].hour_s : last_s;
    }
    struct tag tag = {'f', farm_spawn_tag(t->farm, m->key.subject)};
    struct reply_value who = n > 1 ? V_TEXT(tags_of(t, m, n)) : V_TAG(tag);
    struct reply r = {n > 1 ? for_many(m->one) : m->one, {who, V_WHEN(old_s)}};
    if (m->stands)
        r = (struct reply){r.id, {who, V_WHEN(m->hour_s), V_WHEN(old_s)}};
    turn_send(t, m->person, LEVEL_STEP, (struct task_key){0},
              m->stands ? last_s : t->now_s + 6 * HOUR_S, turn_render(t, m->person, &r));
}

/* All that moved, each once for a person; those of one text are neighbours. */
static int all_moved(struct turn *t, struct moved *out) {
    int n = 0;
    for (int i = 0; i < t->told_count; i++) {
        bool known = !has_moved(t, &t->told[i], &out[n]);
        for (int k = 0; k < n && !known; k++)
            known = out[k].person == out[n].person && out[k].key.kind == out[n].key.kind &&
                    out[k].key.subject == out[n].key.subject && out[k].key.nth == out[n].key.nth;
        n += !known;
    }
    if (n)
        qsort(out, (size_t)n, sizeof *out, by_hour);
    return n;
}

/* The sender knows what he has just taken back himself. */
static bool silent(const struct turn *t, const struct moved *m) {
    return t->people[m->person].stopped || (!m->stands && m->person == t->sender);
}

/* Of those of one person and wording that begin here: how many go into one text. */
static int together(const struct moved *m, int left) {
    int n = 1;
    while (n < left && m[n].person == m->person && m[n].one == m->one)
        n++;
    return n > ALONE_MOST ? n : 1;
}

static void tell_those_of(struct turn *t, const struct moved *all, int n, bool sender) {
    for (int i = 0, most; i < n && !t->e; i += most) {
        most = together(&all[i], n - i);
        if ((all[i].person == t->sender) != sender)
            continue;
        if (t->text_count >= TEXTS_MOST) {
            t->more_due = true;
            t->morning_s = t->now_s;
            return;
        }
        if (t->told_count + most >= TURN_TOLD_MAX) /* no room until some of it is over */
            return;
        for (int k = i; k < i + most; k++)
            turn_told(t, all[k].key, t->people[all[k].person].id, all[k].stands ? all[k].hour_s : 0,
                      OUTCOME_WAITING);
        if (!silent(t, &all[i]))
            tell(t, &all[i], most);
    }
}

void turn_tell_moved(struct turn *t) {
    struct moved *all = ARENA_ARRAY(t->arena, (size_t)t->told_count + 1, struct moved);
    if (!all) {
        t->e = ERR_NOMEM;
        return;
    }
    int n = all_moved(t, all);
    tell_those_of(t, all, n, true); /* in a later round nobody is the sender */
    tell_those_of(t, all, n, false);
}
