/* say: answers and questions as texts. In: a reply with its values; out: texts and questions in the
 * turn. ERR_NOMEM and ERR_BUG go to turn.e, the turn is then thrown away whole. */
#include "sms/parts.h"
#include "trade/book.h"
#include "turn/inside.h"

enum { ANSWER_PARTS = 2, REST_HEAD_BYTES = 40 };

struct turn_person *turn_sender(struct turn *t) {
    return &t->people[t->sender];
}

int turn_language(const struct turn *t, int person) {
    int own = t->people[person].language;
    return own >= 0 ? own : t->language;
}

struct slice turn_render_in(struct turn *t, int language, const struct reply *reply) {
    struct buf out = buf_make_in(t->arena, REPLY_BYTES_MAX);
    enum err e = reply_render(t->words, language, t->zone, t->now_s, reply, &out);
    if (e && !t->e)
        t->e = e;
    return buf_slice(&out);
}

struct slice turn_render(struct turn *t, int person, const struct reply *reply) {
    return turn_render_in(t, turn_language(t, person), reply);
}

struct slice turn_with_farm(struct turn *t, int language, struct slice farm, struct slice body) {
    const struct reply prefix = {REPLY_FARM_PREFIX, {V_TEXT(farm)}};
    struct buf out = buf_make_in(t->arena, (size_t)2 * REPLY_BYTES_MAX);
    buf_put(&out, turn_render_in(t, language, &prefix));
    buf_putc(&out, ' ');
    buf_put(&out, body);
    if (buf_err(&out) && !t->e)
        t->e = buf_err(&out);
    return buf_slice(&out);
}

int64_t turn_most(const struct spawn *s, const struct latency *l) {
    if (l->most.status == PROGRESS_OK)
        return plan_shown(l->most.at_s);
    double way_s = (double)(l->look.at_s - s->injected_s);
    return plan_shown(s->injected_s + (int64_t)(way_s * book_number(BOOK_READY_MOST)));
}

struct reply_value turn_until(const struct turn *t, int64_t first_s, int64_t until_s) {
    bool same_day = zone_days_between(t->zone, first_s, until_s) == 0;
    return same_day ? V_CLOCK(until_s) : V_WHEN(until_s);
}

static void put(struct turn *t, int person, enum level level, struct task_key key, int64_t useful_s,
                struct slice body) {
    if (t->text_count == TURN_TEXTS_MAX) {
        if (!t->e)
            t->e = ERR_NOMEM;
        return;
    }
    t->texts[t->text_count++] = (struct turn_text){.person = t->people[person].id,
                                                   .level = level,
                                                   .body = body,
                                                   .key = key,
                                                   .useful_s = useful_s};
}

void turn_send_plain(struct turn *t, int person, enum level level, int64_t useful_s,
                     struct slice body) {
    put(t, person, level, (struct task_key){0}, useful_s, body);
}

void turn_send(struct turn *t, int person, enum level level, struct task_key key, int64_t useful_s,
               struct slice body) {
    /* what advisers are told of an alarm names its farm in any case */
    if (t->people[person].farms > 1 && key.stage != STAGE_ADVISER)
        body = turn_with_farm(t, turn_language(t, person), t->farm_name, body);
    put(t, person, level, key, useful_s, body);
}

struct slice turn_joined(struct turn *t, struct slice first, struct slice then) {
    struct buf joined = buf_make_in(t->arena, (size_t)2 * REPLY_BYTES_MAX);
    buf_put(&joined, first);
    buf_puts(&joined, slice_ends(first, SLICE("?")) ? " " : ". ");
    buf_put(&joined, then);
    if (buf_err(&joined) && !t->e)
        t->e = buf_err(&joined);
    return buf_slice(&joined);
}

void turn_say(struct turn *t, const struct reply *reply) {
    struct slice body = turn_render(t, t->sender, reply);
    for (int i = 0; i < t->text_count; i++) {
        struct turn_text *first = &t->texts[i];
        if (first->level != LEVEL_ANSWER || first->person != turn_sender(t)->id)
            continue;
        first->body = turn_joined(t, first->body, body);
        return;
    }
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX, body);
}

void turn_say_more(struct turn *t, const struct reply *reply) {
    struct slice more = turn_render(t, t->sender, reply);
    for (int i = 0; i < t->text_count; i++) {
        const struct turn_text *first = &t->texts[i];
        if (first->level != LEVEL_ANSWER || first->person != turn_sender(t)->id)
            continue;
        struct sms_size size;
        struct slice joined = turn_joined(t, first->body, more);
        if (t->e || sms_measure(joined, t->arena, &size) || size.parts > ANSWER_PARTS)
            return;
    }
    turn_say(t, reply);
}

void turn_about(struct turn *t, int person, enum about_kind kind, int64_t subject,
                struct slice data) {
    t->people[person].about = (struct about){kind, subject, data};
    t->people[person].changed = true;
}

void turn_open_question(struct turn *t, int64_t person, const struct request *r, int64_t base_s,
                        int code, int64_t message) {
    struct buf line = buf_make_in(t->arena, 1600); /* a list of LIST_MAX numbers */
    buf_put_int(&line, base_s);
    buf_putc(&line, ' ');
    request_write(r, &line);
    if (buf_err(&line) || t->question_count == TURN_QUESTIONS_MAX) {
        if (!t->e)
            t->e = ERR_NOMEM;
        return;
    }
    t->questions[t->question_count++] = (struct turn_question){
        person, buf_slice(&line), code, t->now_s, farm_head(t->farm), message};
}

void turn_ask(struct turn *t, const struct request *r, int code, const struct reply *reply) {
    turn_open_question(t, turn_sender(t)->id, r, t->base_s, code, t->root);
    turn_say(t, reply);
}

/* "SECONDS COUNT", then the lines that were cut off, as many as there is room for; the count is of
 * those behind them. */
static void keep_rest(struct turn *t, int person, const struct slice *lines, int n, int behind) {
    struct buf b = buf_make_in(t->arena, (size_t)TURN_REST_BYTES + 1);
    struct buf kept = buf_make_in(t->arena, TURN_REST_BYTES);
    int i = 0;
    while (i < n && kept.n + lines[i].n + REST_HEAD_BYTES < TURN_REST_BYTES) {
        buf_putc(&kept, '\n');
        buf_put(&kept, lines[i++]);
    }
    buf_put_int(&b, t->now_s);
    buf_putc(&b, ' ');
    buf_put_int(&b, behind + n - i);
    buf_put(&b, buf_slice(&kept));
    if (buf_err(&b) && !t->e)
        t->e = buf_err(&b);
    t->people[person].rest = buf_slice(&b);
    t->people[person].changed = true;
}

static void put_line(struct buf *body, struct slice line) {
    if (body->n)
        buf_putc(body, '\n');
    buf_put(body, line);
}

/* The body with this line still leaves `kept` units of its parts. */
static bool line_fits(struct turn *t, const struct buf *body, int kept) {
    struct sms_size size = {0};
    return !buf_err(body) && !sms_measure(buf_slice(body), t->arena, &size) &&
           size.parts <= LINES_PARTS && size.units <= LINES_PARTS * SMS_GSM7_PART - kept;
}

static struct slice lines_cut(struct turn *t, int person, const struct slice *lines, int n,
                              int behind, const struct turn_more *more) {
    struct buf body = buf_make_in(t->arena, REPLY_BYTES_MAX);
    int shown = 0;
    for (; shown < n && !t->e; shown++) {
        struct buf longer = buf_make_in(t->arena, REPLY_BYTES_MAX);
        buf_put(&longer, buf_slice(&body));
        put_line(&longer, lines[shown]);
        if (shown && !line_fits(t, &longer, shown + 1 < n || behind ? more->units : 0))
            break;
        body = longer;
    }
    if (shown < n)
        keep_rest(t, person, &lines[shown], n - shown, behind);
    if (shown < n || behind) {
        const struct reply rest = more->line(more->of, shown);
        put_line(&body, turn_render(t, person, &rest));
    }
    return buf_slice(&body);
}

struct slice turn_lines_more(struct turn *t, int person, const struct slice *lines, int n,
                             const struct turn_more *more) {
    return lines_cut(t, person, lines, n, 0, more);
}

struct list {
    int lines, behind;
};

static struct reply so_many_more(const void *of, int shown) {
    const struct list *list = of;
    int left = list->lines - shown;
    if (!left) /* only counted: no MORE shows them */
        return (struct reply){REPLY_MORE_BEHIND, {V_NUMBER(list->behind)}};
    return (struct reply){REPLY_TODAY_MORE, {V_NUMBER(left + list->behind)}};
}

struct slice turn_lines_behind(struct turn *t, int person, const struct slice *lines, int n,
                               int behind) {
    enum { MORE_UNITS = 28 };
    const struct list list = {n, behind};
    const struct turn_more more = {so_many_more, &list, MORE_UNITS};
    return lines_cut(t, person, lines, n, behind, &more);
}

struct slice turn_lines(struct turn *t, int person, const struct slice *lines, int n) {
    return turn_lines_behind(t, person, lines, n, 0);
}

enum err turn_stranger(const struct words *words, int language, struct buf *out) {
    return reply_render(words, language, &zone_utc, 0, &(struct reply){REPLY_STRANGER, {{0}}}, out);
}

enum err turn_stopped(const struct words *words, int language, struct buf *out) {
    return reply_render(words, language, &zone_utc, 0, &(struct reply){REPLY_STOPPED, {{0}}}, out);
}

enum err turn_set_aside(const struct words *words, int language, struct buf *out) {
    return reply_render(words, language, &zone_utc, 0, &(struct reply){REPLY_SET_ASIDE, {{0}}},
                        out);
}

enum err turn_over_limit(const struct words *words, int language, const struct zone *zone,
                         int64_t now_s, int64_t from_s, struct buf *out) {
    const struct reply over = {REPLY_OVER_LIMIT, {V_WHEN(from_s)}};
    return reply_render(words, language, zone, now_s, &over, out);
}

enum err turn_late(const struct words *words, int language, const struct zone *zone, int64_t made_s,
                   int64_t now_s, struct slice body, struct buf *out) {
    const struct reply prefix = {REPLY_LATE_PREFIX, {V_WHEN(made_s)}};
    enum err e = reply_render(words, language, zone, now_s, &prefix, out);
    buf_putc(out, ' ');
    buf_put(out, body);
    return e ? e : buf_err(out);
}
