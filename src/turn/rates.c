/* rates: the farm's own numbers beside the book's: eggs a kilogram, hatch, survival to two weeks
 * and in the nursery pond, growth. In: RATES, alone or with a female's or a pond's tag; out: a
 * list. WHY after it shows the book's number with its weight, the farm's own mean with its runs,
 * and what comes of both. The numbers are the farm's (runs.h) and trade's (learn.h). Nothing is
 * recorded. Limits: by the circumstances of now; of one female or pond the newest runs. */
#include "farm/runs.h"
#include "trade/book.h"
#include "turn/inside.h"

enum { HERS_MOST = 6, PERCENT_PPM = 10000, TENTH_PPM = 1000, SHARE_WHOLE_PPM = 100000 };

static struct slice rendered(struct turn *t, enum reply_id id) {
    const struct reply r = {.id = id};
    return turn_render(t, t->sender, &r);
}

static struct slice kind_name(struct turn *t, enum learn_kind kind) {
    static const enum reply_id names[LEARN_KINDS] = {[LEARN_EGGS] = REPLY_RATE_EGGS,
                                                     [LEARN_HATCH] = REPLY_RATE_HATCH,
                                                     [LEARN_SURVIVE] = REPLY_RATE_SURVIVE,
                                                     [LEARN_NURSERY] = REPLY_RATE_NURSERY,
                                                     [LEARN_TGC] = REPLY_RATE_TGC};
    return rendered(t, names[kind]);
}

/* On two figures: eggs as a number, shares in percent, the growth coefficient with one digit behind
 * the sign. */
static struct slice value_text(struct turn *t, enum learn_kind kind, int64_t value) {
    int64_t shown = turn_two_figures(value);
    struct reply r = {REPLY_RATE_NUMBER, {V_NUMBER(shown)}};
    if (kind == LEARN_TGC) /* millionths to thousandths */
        r = (struct reply){REPLY_RATE_DECIMAL, {V_CENTI((shown + 500) / 1000)}};
    else if (kind != LEARN_EGGS && value >= SHARE_WHOLE_PPM)
        r = (struct reply){REPLY_RATE_PERCENT,
                           {V_DECIMAL((value + PERCENT_PPM / 2) / PERCENT_PPM * 1000)}};
    else if (kind != LEARN_EGGS)
        r = (struct reply){REPLY_RATE_PERCENT,
                           {V_DECIMAL((value + TENTH_PPM / 2) / TENTH_PPM * 100)}};
    return turn_render(t, t->sender, &r);
}

/* Why the runs that speak are not all there are. A farm says no seasons, so water alone. */
static void put_note(struct turn *t, const struct learn_rate *rate, struct slice *lines,
                     int *count) {
    if (rate->basis == LEARN_WARM)
        lines[(*count)++] = rendered(t, REPLY_RATE_WARM);
    else if (rate->basis == LEARN_COLD)
        lines[(*count)++] = rendered(t, REPLY_RATE_COLD);
}

static struct slice line_of(struct turn *t, const struct learn_rate *rate) {
    struct reply_value name = V_TEXT(kind_name(t, rate->kind)),
                       mean = V_TEXT(value_text(t, rate->kind, rate->mean)),
                       book = V_TEXT(value_text(t, rate->kind, rate->book)),
                       own = V_TEXT(value_text(t, rate->kind, rate->own));
    struct reply r = {REPLY_RATE_OWN, {name, mean, book, V_NUMBER(rate->own_runs), own}};
    if (!rate->own_runs)
        r = (struct reply){rate->lean ? REPLY_RATE_LEAN : REPLY_RATE_BOOK, {name, book}};
    return turn_render(t, t->sender, &r);
}

static struct slice why_line(struct turn *t, const struct learn_rate *rate) {
    struct reply_value name = V_TEXT(kind_name(t, rate->kind)),
                       mean = V_TEXT(value_text(t, rate->kind, rate->mean)),
                       book = V_TEXT(value_text(t, rate->kind, rate->book)),
                       own = V_TEXT(value_text(t, rate->kind, rate->own)),
                       low = V_TEXT(value_text(t, rate->kind, rate->low)),
                       high = V_TEXT(value_text(t, rate->kind, rate->high));
    struct reply_value weight = V_NUMBER((int64_t)book_number(BOOK_LEARN_RUNS));
    struct reply r = {REPLY_WHY_RATE_OWN,
                      {name, weight, book, V_NUMBER(rate->own_runs), own, mean, low, high}};
    if (!rate->own_runs)
        r = (struct reply){REPLY_WHY_RATE_BOOK, {name, book, low, high}};
    return turn_render(t, t->sender, &r);
}

static void send_lines(struct turn *t, const struct slice *lines, int count) {
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines(t, t->sender, lines, count));
}

/* The kinds in their order; why: how each comes about. */
static void say_all(struct turn *t, bool why) {
    const struct farm_state *st = &t->farm->state;
    struct learn_when when = runs_when(st, t->now_s);
    struct slice lines[2 * LEARN_KINDS + 1];
    int count = 0;
    for (int kind = 0; kind < LEARN_KINDS; kind++) {
        struct learn_rate rate = runs_rate(st, (enum learn_kind)kind, when, t->now_s);
        lines[count++] = why ? why_line(t, &rate) : line_of(t, &rate);
        if (!why)
            put_note(t, &rate, lines, &count);
    }
    if (why)
        lines[count++] = rendered(t, REPLY_WHY_RATES);
    send_lines(t, lines, count);
}

/* -- of one female or pond -----------------------------------------------------------------------
 */

static bool is_of(const struct farm_state *st, enum learn_kind kind, int64_t subject,
                  struct tag tag) {
    if (kind == LEARN_NURSERY || kind == LEARN_TGC) {
        const struct cycle *c = farm_cycle(st, subject);
        return tag.letter == 'p' && c && c->pond == tag.number;
    }
    const struct spawn *s = farm_spawn(st, subject);
    return tag.letter == 'f' && s && s->tag == tag.number;
}

/* "Hatch 36%, 40%": its runs, the newest last. */
static void say_one(struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    struct slice lines[LEARN_KINDS];
    int count = 0;
    for (int kind = 0; kind < LEARN_KINDS; kind++) {
        struct runs runs = runs_of(st, (enum learn_kind)kind, t->now_s);
        struct buf b = buf_make_in(t->arena, 200);
        int first = runs.count, put = 0;
        while (first > 0 && put < HERS_MOST)
            put += is_of(st, runs.kind, runs.of[--first].subject, tag);
        put = 0;
        for (int i = first; i < runs.count; i++) {
            if (!is_of(st, runs.kind, runs.of[i].subject, tag))
                continue;
            buf_puts(&b, put++ ? ", " : "");
            buf_put(&b, value_text(t, runs.kind, runs.runs[i].value));
        }
        if (buf_err(&b) && !t->e)
            t->e = buf_err(&b);
        const struct reply line = {
            REPLY_RATE_HERS,
            {V_TAG(tag), V_TEXT(kind_name(t, (enum learn_kind)kind)), V_TEXT(buf_slice(&b))}};
        if (put)
            lines[count++] = turn_render(t, t->sender, &line);
    }
    if (count)
        send_lines(t, lines, count);
    else
        TURN_SAY(t, RATES_NONE_OF, V_TAG(tag));
}

void turn_do_rates(struct turn *t, const struct request *r) {
    if (request_has(r, SLOT_POND) || request_has(r, SLOT_TAG)) {
        say_one(t, request_has(r, SLOT_POND) ? r->pond : r->tag);
        return;
    }
    turn_about(t, t->sender, ABOUT_RATES, 0, (struct slice){0});
    say_all(t, false);
}

void turn_why_rates(struct turn *t) {
    say_all(t, true);
}
