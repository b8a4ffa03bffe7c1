/* show: what changes nothing on the farm: why, today, help, language. In: the state; out: answers.
 * What "why" shows is worked out again from the state, so that it is the arithmetic of now. */
#include "sms/parts.h"
#include "trade/book.h"
#include "trade/eggs.h"
#include "turn/inside.h"

#include <stdlib.h>

enum { HOUR_S = 3600, TODAY_LINES_MAX = 32, TODAY_PARTS = 2 };

/* -- why ----------------------------------------------------------------------------------------
 */

static int64_t hours_milli(const struct book_table *table, int64_t mdegc) {
    enum progress_status status;
    return (int64_t)(progress_hours(table, mdegc, &status) * 1000 + 0.5);
}

/* Degrees between two readings, on a tenth: nobody read the rest. */
static int64_t tenth(int64_t mdegc) {
    return (mdegc + 50) / 100 * 100;
}

/* How many readings set the hours from one instant to another; 1 when the water was the same. */
static int readings_used(struct water_series water, int64_t from_s, int64_t to_s) {
    int first = water_count_until(water, from_s), last = water_count_until(water, to_s);
    bool same = true;
    first = first ? first - 1 : 0;
    for (int i = first + 1; i < last; i++)
        same &= water.readings[i].mdegc == water.readings[first].mdegc;
    return same || last - first < 1 ? 1 : last - first;
}

static void why_look(struct turn *t, const struct spawn *s) {
    struct latency l = spawn_latency(s);
    struct water_series water = spawn_water(s);
    if (l.look.status != PROGRESS_OK) {
        turn_say_no_hour(t, s);
        return;
    }
    int64_t first = tenth(water_at_mdegc(water, s->injected_s));
    int64_t last = tenth(water_at_mdegc(water, l.look.at_s));
    struct reply_value tag = V_TAG(turn_tag(s)), at = V_WHEN(s->injected_s);
    struct reply_value hours = V_DECIMAL(hours_milli(&book_latency, first));
    int used = readings_used(water, s->injected_s, l.look.at_s);
    if (used > 1)
        TURN_SAY(t, WHY_LOOK_CHANGED, tag, at, V_NUMBER(used), V_WATER(first), hours, V_WATER(last),
                 V_DECIMAL(hours_milli(&book_latency, last)), V_WHEN(l.look.at_s));
    else
        TURN_SAY(t, WHY_LOOK, tag, at, V_WATER(first), hours, V_WHEN(l.look.at_s));
}

static void why_eggs(struct turn *t, const struct spawn *s) {
    struct hatch h = spawn_hatch(s);
    if (!s->stripped_s || h.last.status != PROGRESS_OK) {
        turn_say_no_hour(t, s);
        return;
    }
    struct water_series water = spawn_water(s);
    int64_t first = tenth(water_at_mdegc(water, s->stripped_s));
    struct reply_value tag = V_TAG(turn_tag(s)), weight = V_WEIGHT(s->eggs_mg);
    struct reply_value eggs = V_NUMBER(eggs_of_weight(s->eggs_mg)), half = V_WHEN(h.half.at_s);
    if (readings_used(water, s->stripped_s, h.last.at_s) > 1)
        TURN_SAY(t, WHY_EGGS_CHANGED, tag, weight, eggs, V_WATER(first),
                 V_WATER(tenth(water_at_mdegc(water, h.last.at_s))), half, V_WHEN(h.last.at_s));
    else
        TURN_SAY(t, WHY_EGGS, tag, weight, eggs, V_WATER(first),
                 V_DECIMAL(hours_milli(&book_hatching, first)), half, V_WHEN(h.last.at_s));
}

static void why_plan(struct turn *t, const struct about *about) {
    struct request r;
    if (request_read(about->data, &r)) {
        TURN_SAY(t, WHY_NOTHING);
        return;
    }
    const struct water_reading held = {0, r.water_mdegc};
    struct progress begin = latency_plan((struct water_series){&held, 1}, about->subject);
    TURN_SAY(t, WHY_PLAN, V_TAG(r.tag), V_WATER(r.water_mdegc),
             V_DECIMAL(hours_milli(&book_latency, r.water_mdegc)), V_WHEN(about->subject),
             V_WHEN(begin.at_s));
}

/* Her newest spawn, closed or not; without one the refusal was said. */
static const struct spawn *spawn_of_tag(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    for (int i = st->spawn_count - 1; i >= 0 && r->tag.letter == 'f'; i--)
        if (st->spawns[i].tag == r->tag.number)
            return &st->spawns[i];
    return turn_fill_spawn(t, r, SPAWN_ANY, t->now_s);
}

void turn_do_why(struct turn *t, struct request *r) {
    if (request_has(r, SLOT_TAG)) {
        const struct spawn *named = spawn_of_tag(t, r);
        if (named && named->stripped_s)
            why_eggs(t, named);
        else if (named)
            why_look(t, named);
        return;
    }
    const struct about about = turn_sender(t)->about;
    const struct spawn *s = farm_spawn(&t->farm->state, about.subject);
    if (about.kind == ABOUT_PLAN)
        why_plan(t, &about);
    else if (about.kind == ABOUT_LOOK && s)
        why_look(t, s);
    else if (about.kind == ABOUT_EGGS && s)
        why_eggs(t, s);
    else
        TURN_SAY(t, WHY_NOTHING);
}

/* -- today --------------------------------------------------------------------------------------
 */

struct line {
    int64_t at_s;
    struct reply reply;
};

static int by_hour(const void *a, const void *b) {
    const struct line *x = a, *y = b;
    return x->at_s < y->at_s ? -1 : x->at_s > y->at_s;
}

/* What is open on one spawn within a day from now, late things included. */
static int lines_of(struct turn *t, const struct spawn *s, struct line *out, int room) {
    struct reply_value tag = V_TAG(turn_tag(s));
    int n = 0;
    int64_t until_s = t->now_s + 24 * HOUR_S;
    if (!spawn_open(s, t->now_s) || room < 2)
        return 0;
    if (!s->stripped_s) {
        int64_t look_s = plan_next_look(s);
        if (look_s && look_s <= until_s)
            out[n++] = (struct line){look_s, {REPLY_TODAY_LOOK, {tag, V_WHEN(look_s)}}};
        else if (!look_s && spawn_latency(s).look.status != PROGRESS_OK)
            out[n++] = (struct line){t->now_s, {REPLY_TODAY_WATER, {tag, V_WHEN(t->now_s)}}};
        else if (!look_s)
            out[n++] = (struct line){t->now_s, {REPLY_TODAY_OVER, {tag}}};
        return n;
    }
    int64_t white_s =
        plan_shown(s->stripped_s + (int64_t)(book_number(BOOK_WHITE_FROM_H) * HOUR_S));
    if (!s->white_of && white_s <= until_s && t->now_s < white_s + 3 * HOUR_S)
        out[n++] = (struct line){white_s, {REPLY_TODAY_WHITE, {tag, V_WHEN(white_s)}}};
    struct hatch h = spawn_hatch(s);
    if (h.last.status == PROGRESS_OK) {
        int64_t last_s = plan_shown(h.last.at_s), lift_s = plan_lift(s, t->zone);
        if (t->now_s < lift_s && lift_s <= until_s)
            out[n++] =
                (struct line){lift_s, {REPLY_TODAY_LIFT, {tag, V_WHEN(lift_s), V_WHEN(last_s)}}};
        else if (last_s <= until_s)
            out[n++] = (struct line){last_s, {REPLY_TODAY_FRAMES, {tag, V_WHEN(last_s)}}};
    }
    return n;
}

void turn_do_today(struct turn *t) {
    struct line lines[TODAY_LINES_MAX];
    int count = 0;
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->spawn_count; i++)
        count += lines_of(t, &st->spawns[i], &lines[count], TODAY_LINES_MAX - count);
    if (!count) {
        TURN_SAY(t, TODAY_NOTHING);
        return;
    }
    qsort(lines, (size_t)count, sizeof lines[0], by_hour);
    struct buf body = buf_make_in(t->arena, REPLY_BYTES_MAX);
    for (int i = 0; i < count && !t->e; i++) {
        struct slice line = turn_render(t, t->sender, &lines[i].reply);
        struct buf longer = buf_make_in(t->arena, REPLY_BYTES_MAX);
        buf_put(&longer, buf_slice(&body));
        if (body.n)
            buf_putc(&longer, '\n');
        buf_put(&longer, line);
        struct sms_size size;
        bool fits = !buf_err(&longer) && !sms_measure(buf_slice(&longer), t->arena, &size) &&
                    (size.parts < TODAY_PARTS || (size.parts == TODAY_PARTS && size.units < 280));
        if (!fits) {
            const struct reply more = {REPLY_TODAY_MORE, {V_NUMBER(count - i)}};
            buf_putc(&body, '\n');
            buf_put(&body, turn_render(t, t->sender, &more));
            break;
        }
        body = longer;
    }
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX, buf_slice(&body));
}

/* -- help and language ----------------------------------------------------------------------------
 */

void turn_do_help(struct turn *t, const struct request *r) {
    struct buf context = buf_make_in(t->arena, 80);
    buf_puts(&context, "help.");
    buf_puts(&context, request_has(r, SLOT_TOPIC) ? request_kind_name(r->topic) : "");
    struct slice help = words_get(t->words, turn_language(t, t->sender), buf_str(&context));
    if (request_has(r, SLOT_TOPIC) && help.n)
        TURN_SAY(t, HELP_KIND, V_TEXT(help));
    else
        TURN_SAY(t, HELP);
}

void turn_do_language(struct turn *t, const struct request *r) {
    if (!request_has(r, SLOT_LANGUAGE)) {
        struct buf names = buf_make_in(t->arena, 200);
        for (int i = 0; i < words_count(t->words); i++) {
            if (i)
                buf_puts(&names, ", ");
            buf_put(&names, words_language_name(t->words, i));
        }
        TURN_ASK(t, r, SLOT_LANGUAGE, LANGUAGE_ASK, V_TEXT(buf_slice(&names)));
        return;
    }
    turn_sender(t)->language = r->language;
    turn_sender(t)->changed = true;
    TURN_SAY(t, LANGUAGE_SET, V_LANGUAGE(r->language));
}
