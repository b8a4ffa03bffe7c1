/* show: what changes nothing on the farm: today, help, language. In: the state; out: answers. */
#include "sms/parts.h"
#include "trade/book.h"
#include "trade/eggs.h"
#include "trade/lime.h"
#include "turn/inside.h"

#include <stdlib.h>

enum {
    HOUR_S = 3600,
    DAY_S = 86400,
    TASKS_MOST = 1024, /* of two hundred ponds, late ones too */
    LATE_DAYS = 5,     /* so long is what was not done on a pond listed as late */
    SHOWN_MOST = 48,   /* lines: more than fit */
    FED_MOST = 32,     /* ponds with feed to be listed */
    SPAWN_LINES_MAX = 3
};

/* -- today --------------------------------------------------------------------------------------
 */

struct line {
    int64_t at_s;
    struct reply reply;
    bool others; /* not the asker's own work */
    bool late;
    int more; /* ponds that it has no room for */
};

/* The asker's own work first. */
static int by_hour(const void *a, const void *b) {
    const struct line *x = a, *y = b;
    if (x->others != y->others)
        return x->others - y->others;
    return x->at_s < y->at_s ? -1 : x->at_s > y->at_s;
}

/* Of a female that is not stripped: her next look, said to be late when it is, and when looking is
 * over what to text instead. */
static struct line line_of_look(const struct turn *t, const struct spawn *s) {
    struct reply_value tag = V_TAG(turn_tag(s));
    int64_t look_s = plan_next_look(s);
    if (!look_s && spawn_latency(s).look.status != PROGRESS_OK)
        return (struct line){.at_s = t->now_s,
                             .reply = {REPLY_TODAY_WATER, {tag, V_WHEN(t->now_s)}}};
    if (!look_s || t->now_s >= plan_look_last(s))
        return (struct line){.at_s = t->now_s, .reply = {REPLY_TODAY_OVER, {tag}}};
    bool late = t->now_s >= look_s + (int64_t)ALARM_AGAIN_MIN * 60;
    return (struct line){
        .at_s = look_s,
        .reply = {late ? REPLY_TODAY_LOOK_LATE : REPLY_TODAY_LOOK, {tag, V_WHEN(look_s)}}};
}

/* What is open on one female or her eggs within a day from now, late things included. */
static int lines_of(struct turn *t, const struct spawn *s, struct line *out, int room) {
    struct reply_value tag = V_TAG(turn_tag(s));
    int n = 0;
    int64_t until_s = t->now_s + 24 * HOUR_S;
    if (!spawn_open(s, t->now_s) || room < 2 || spawn_phase(s) == PHASE_LARVAE)
        return 0;
    if (!s->stripped_s) {
        out[0] = line_of_look(t, s);
        return out[0].at_s <= until_s;
    }
    int64_t white_s =
        plan_shown(s->stripped_s + (int64_t)(book_number(BOOK_WHITE_FROM_H) * HOUR_S));
    if (!s->white_of && !spawn_swims(s) && white_s <= until_s && t->now_s < white_s + 3 * HOUR_S)
        out[n++] =
            (struct line){.at_s = white_s, .reply = {REPLY_TODAY_WHITE, {tag, V_WHEN(white_s)}}};
    struct hatch h = spawn_hatch(s);
    if (h.last.status == PROGRESS_OK && turn_frames_in(t, s)) {
        int64_t last_s = plan_shown(h.last.at_s), lift_s = plan_lift(s, t->zone);
        if (t->now_s < lift_s && lift_s <= until_s)
            out[n++] = (struct line){
                .at_s = lift_s, .reply = {REPLY_TODAY_LIFT, {tag, V_WHEN(lift_s), V_WHEN(last_s)}}};
        else if (last_s <= until_s)
            out[n++] = (struct line){
                .at_s = last_s,
                .reply = {t->now_s < last_s ? REPLY_TODAY_FRAMES : REPLY_TODAY_FRAMES_LATE,
                          {tag, V_WHEN(last_s)}}};
    }
    return n;
}

/* Whether a pond's soil is known to want lime, or known not to. */
static bool lime_is(const struct pond *pond, bool wanted) {
    enum lime_reason reason =
        lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2).reason;
    return reason == (wanted ? LIME_OK : LIME_NOT_NEEDED);
}

/* What is said of a pond's step: none of fry while the pond is no place for them, since what that
 * waits for has its own line. */
static enum reply_id line_of_pond(const struct turn *t, const struct pond *pond,
                                  const struct task *task) {
    static const enum reply_id prep[] = {[PREP_DRY] = REPLY_TODAY_DRY,
                                         [PREP_LIME] = REPLY_TODAY_LIME,
                                         [PREP_MANURE] = REPLY_TODAY_MANURE,
                                         [PREP_FILL] = REPLY_TODAY_FILL,
                                         [PREP_PH] = REPLY_TODAY_PH,
                                         [PREP_UNFILLED] = REPLY_TODAY_FILL,
                                         [PREP_MISSED + PREP_DRY] = REPLY_TODAY_DRY,
                                         [PREP_MISSED + PREP_LIME] = REPLY_TODAY_LIME,
                                         [PREP_MISSED + PREP_MANURE] = REPLY_TODAY_MANURE};
    if (task->key.kind == TASK_DAWN)
        return REPLY_TODAY_DAWN;
    int64_t over_s = plan_stock_over(pond, t->zone);
    if (task->key.kind == TASK_STOCK && (plan_prep_ph(pond) || !over_s))
        return REPLY_COUNT;
    if (task->key.kind == TASK_STOCK)
        return t->now_s >= over_s ? REPLY_TODAY_STOCK_LATE : REPLY_TODAY_STOCK;
    if (plan_same_work(task->key, (struct task_key){TASK_PREP, pond->number, PREP_LIME, 0}) &&
        lime_is(pond, false))
        return REPLY_COUNT;
    return pond->cycle ? REPLY_TODAY_DRY_FISH : prep[task->key.nth];
}

static struct slice pond_text(struct turn *t, int number) {
    struct buf b = buf_make_in(t->arena, 20);
    buf_putf(&b, "P%d", number);
    return buf_slice(&b);
}

/* The same work on several ponds within an hour is one line: "P1 P2 P5 dry it". What does not fit
 * is only counted. False: no such line yet. */
static bool joined(struct turn *t, struct line *lines, int n, const struct line *more) {
    enum { SAME_S = 3600, FITS = 210 };
    if (more->reply.values[0].kind != VALUE_TEXT)
        return false;
    for (int i = 0; i < n; i++) {
        struct slice *ponds = &lines[i].reply.values[0].text;
        int64_t apart_s = more->at_s - lines[i].at_s;
        if (lines[i].reply.id != more->reply.id || apart_s > SAME_S || apart_s < -SAME_S ||
            lines[i].others != more->others || lines[i].late != more->late)
            continue;
        struct buf b = buf_make_in(t->arena, FITS + 20);
        buf_put(&b, *ponds);
        if (b.n <= FITS) {
            buf_putc(&b, ' ');
            buf_put(&b, more->reply.values[0].text);
            *ponds = buf_slice(&b);
        } else {
            lines[i].more++;
        }
        return true;
    }
    return false;
}

int turn_spawn_steps(struct turn *t, const struct spawn *s, struct reply *out, int room) {
    struct line lines[SPAWN_LINES_MAX];
    int count = lines_of(t, s, lines, SPAWN_LINES_MAX), n = 0;
    while (n < count && n < room) {
        out[n] = lines[n].reply;
        n++;
    }
    return n;
}

/* The line of a task of larvae, ponds or the hatchery; REPLY_COUNT: it has none. */
static struct reply line_of_task(struct turn *t, const struct task *task) {
    static const enum reply_id larvae[] = {
        [TASK_HATCH] = REPLY_TODAY_HATCH,     [TASK_CARE] = REPLY_TODAY_CARE,
        [TASK_DRYFOOD] = REPLY_TODAY_DRYFOOD, [TASK_BIG] = REPLY_TODAY_BIG,
        [TASK_NURSERY] = REPLY_TODAY_NURSERY, [TASK_POND] = REPLY_TODAY_POND};
    static const enum reply_id cycle[] = {[TASK_SORT] = REPLY_TODAY_SORT,
                                          [TASK_HARVEST] = REPLY_TODAY_HARVEST,
                                          [TASK_SAMPLE] = REPLY_TODAY_SAMPLE};
    const struct farm_state *st = &t->farm->state;
    const struct spawn *s = farm_spawn(st, task->key.subject);
    const struct cycle *c = farm_cycle(st, task->key.subject);
    switch (task_subject(task->key.kind)) {
    case SUBJECT_SPAWN:
        if (task->key.kind < TASK_HATCH || task->key.kind > TASK_POND || !s)
            break;
        if (task->key.kind == TASK_FOOD)
            return (struct reply){REPLY_TODAY_FOOD, {V_TAG(turn_tag(s)), V_WHEN(task->hour_s)}};
        return (struct reply){larvae[task->key.kind], {V_TAG(turn_tag(s))}};
    case SUBJECT_POND:
        if (task->key.kind == TASK_NO_FRY)
            break;
        if (task->key.kind == TASK_OXYGEN)
            return (struct reply){
                REPLY_TODAY_OXYGEN,
                {V_TAG(turn_pond_tag((int)task->key.subject)), V_WHEN(task->hour_s)}};
        if (task->key.kind == TASK_CATCH)
            return (struct reply){
                REPLY_TODAY_CATCH,
                {V_TAG(turn_pond_tag((int)task->key.subject)), V_WHEN(task->hour_s)}};
        return (struct reply){line_of_pond(t, farm_pond(st, task->key.subject), task),
                              {V_TEXT(pond_text(t, (int)task->key.subject))}};
    case SUBJECT_ORDER:
    case SUBJECT_PLAN:
        return turn_today_order(t, task);
    case SUBJECT_CYCLE:
        return (struct reply){cycle[task->key.kind], {V_TEXT(pond_text(t, c->pond))}};
    default:
        if (task->key.kind == TASK_AIR)
            return (struct reply){REPLY_TODAY_AIR, {{0}}};
        break;
    }
    return (struct reply){.id = REPLY_COUNT};
}

/* The plan as if nothing had been told; NULL: no memory. */
static struct task *whole_plan(struct turn *t, int *count) {
    struct task *tasks = ARENA_ARRAY(t->arena, PLAN_MOST, struct task);
    const struct plan_view view = {.zone = t->zone, .now_s = t->now_s};
    *count = tasks ? farm_plan(&t->farm->state, &view, tasks, PLAN_MOST) : 0;
    return tasks;
}

bool turn_next_step(struct turn *t, enum subject_kind kind, int64_t subject, struct reply *step,
                    int64_t *at_s) {
    int count;
    const struct task *tasks = whole_plan(t, &count);
    for (int i = 0; i < count; i++) {
        const struct task_key *key = &tasks[i].key;
        if (key->stage != STAGE_FIRST || task_subject(key->kind) != kind || key->subject != subject)
            continue;
        *step = line_of_task(t, &tasks[i]);
        *at_s = tasks[i].due_s;
        if (step->id != REPLY_COUNT)
            return true;
    }
    return false;
}

/* Work on a pond that waits until it is done; other things are over when their hour is, and so is
 * the word that a step was missed: the step itself is listed. */
static bool waits(const struct turn *t, const struct task *task) {
    switch (task->key.kind) {
    case TASK_PREP:
        return task->key.nth <= PREP_MISSED &&
               (task->key.nth != PREP_LIME ||
                lime_is(farm_pond(&t->farm->state, task->key.subject), true));
    case TASK_STOCK:
        return task->key.nth != STOCK_MISSED;
    case TASK_SORT:
        return task->key.nth < SORT_MISSED;
    case TASK_HARVEST:
    case TASK_SAMPLE:
        return true;
    default:
        return false;
    }
}

static bool listed(const struct turn *t, const struct task *tasks, int at) {
    const struct task *task = &tasks[at];
    bool past = task->useful_s < t->now_s;
    if (task->due_s > t->now_s + DAY_S || task->key.stage != STAGE_FIRST ||
        (past && !waits(t, task)))
        return false;
    for (int i = 0; i < at; i++)
        if (tasks[i].key.kind == task->key.kind && tasks[i].key.subject == task->key.subject &&
            (task->key.kind != TASK_PREP || plan_same_work(tasks[i].key, task->key)) &&
            (tasks[i].useful_s >= t->now_s || waits(t, &tasks[i])))
            return false;
    return true;
}

/* The plan as if nothing had been told: what is open today and tomorrow morning of larvae, ponds
 * and the hatchery, each kind of a subject once, and what was not done on ponds. */
static int lines_of_plan(struct turn *t, const struct plan_view *view, struct line *out, int room) {
    struct task *tasks = ARENA_ARRAY(t->arena, TASKS_MOST, struct task);
    int64_t today_s = zone_midnight(t->zone, t->now_s, 0);
    int n = 0, count = tasks ? farm_plan(&t->farm->state, view, tasks, TASKS_MOST) : 0;
    for (int i = 0; i < count && n < room; i++) {
        if (!listed(t, tasks, i))
            continue;
        const struct line one = {tasks[i].due_s, line_of_task(t, &tasks[i]),
                                 tasks[i].hand != turn_sender(t)->id,
                                 tasks[i].due_s < today_s && tasks[i].useful_s < t->now_s, 0};
        if (one.reply.id != REPLY_COUNT && !joined(t, out, n, &one))
            out[n++] = one;
    }
    return n;
}

/* What ponds are fed, behind what has an hour. */
static int lines_of_feed(struct turn *t, struct line *out) {
    struct reply lines[FED_MOST];
    int count = turn_ration_lines(t, lines, FED_MOST);
    for (int i = 0; i < count; i++)
        out[i] = (struct line){.at_s = INT64_MAX - FED_MOST + i, .reply = lines[i], .others = true};
    return count;
}

static struct slice text_of(struct turn *t, struct line *line) {
    if (line->more) {
        const struct reply more = {REPLY_TODAY_PONDS_MORE,
                                   {line->reply.values[0], V_NUMBER(line->more)}};
        line->reply.values[0] = V_TEXT(turn_render(t, t->sender, &more));
    }
    struct slice text = turn_render(t, t->sender, &line->reply);
    const struct reply late = {REPLY_TODAY_LATE, {V_DATE(line->at_s), V_TEXT(text)}};
    return line->late ? turn_render(t, t->sender, &late) : text;
}

void turn_do_today(struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    int room = 2 * st->spawn_count + TASKS_MOST + FED_MOST, count = 0;
    struct line *lines = ARENA_ARRAY(t->arena, (size_t)room, struct line);
    struct slice *texts = ARENA_ARRAY(t->arena, (size_t)room, struct slice);
    struct plan_hand *hands = ARENA_ARRAY(t->arena, (size_t)t->people_count + 1, struct plan_hand);
    if (!lines || !texts || !hands) {
        t->e = ERR_NOMEM;
        return;
    }
    const struct plan_view view = {.hands = hands,
                                   .hand_count = turn_hands(t, hands),
                                   .zone = t->zone,
                                   .now_s = t->now_s,
                                   .late_s = LATE_DAYS * DAY_S};
    for (int i = 0; i < st->spawn_count; i++) {
        bool others = plan_hand_of(&view, &st->spawns[i].hands) != turn_sender(t)->id;
        for (int n = lines_of(t, &st->spawns[i], &lines[count], room - count); n > 0; n--)
            lines[count++].others = others;
    }
    count += lines_of_plan(t, &view, &lines[count], room - FED_MOST - count);
    count += lines_of_feed(t, &lines[count]);
    if (!count) {
        TURN_SAY(t, TODAY_NOTHING);
        return;
    }
    qsort(lines, (size_t)count, sizeof lines[0], by_hour);
    for (int i = 0; i < count; i++) /* those behind are only counted */
        texts[i] = i < SHOWN_MOST ? text_of(t, &lines[i]) : texts[i - 1];
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines(t, t->sender, texts, count));
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
