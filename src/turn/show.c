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
    FED_MOST = 64,     /* ponds with feed to be listed */
    SPAWN_LINES_MAX = 3
};

/* -- today --------------------------------------------------------------------------------------
 */

struct line {
    int64_t at_s;
    struct reply reply;
    bool others; /* not the asker's own work */
    bool ration; /* of no hour of the day */
    bool late;
    bool alarm;
    int more;                /* ponds that it has no room for */
    int64_t by_s;            /* its place among the others */
    const struct task *task; /* that is told with it, in its own words */
    struct task_key hour_of; /* it names this hour of a look or of frames; TASK_NONE: none */
    int64_t hour_s;
};

/* Rations behind all that is late or has its hour, whoever's that is: an owner of many ponds sees
 * the look that is overdue before what his own fish get. Of each the asker's own work first. */
static int by_hour(const void *a, const void *b) {
    const struct line *x = a, *y = b;
    if (x->ration != y->ration)
        return x->ration - y->ration;
    if (x->others != y->others)
        return x->others - y->others;
    return x->by_s < y->by_s ? -1 : x->by_s > y->by_s;
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
        .reply = {late ? REPLY_TODAY_LOOK_LATE : REPLY_TODAY_LOOK, {tag, V_WHEN(look_s)}},
        .hour_of = {TASK_LOOK, s->number, s->waits, STAGE_SAID},
        .hour_s = look_s};
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
    bool counted = s->white_of && s->white_s >= plan_white_from(s);
    if (!counted && !spawn_swims(s) && white_s <= until_s && t->now_s < white_s + 3 * HOUR_S)
        out[n++] =
            (struct line){.at_s = white_s, .reply = {REPLY_TODAY_WHITE, {tag, V_WHEN(white_s)}}};
    struct hatch h = spawn_hatch(s);
    int before = n;
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
    for (int i = before; i < n; i++) {
        out[i].hour_of = (struct task_key){TASK_FRAMES, s->number, 0, STAGE_SAID};
        out[i].hour_s = plan_shown(h.last.at_s);
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
        lines[i].task = NULL; /* several: in short words */
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
        if (task->key.kind == TASK_CATCH && task->key.nth == CATCH_MISSED)
            return (struct reply){REPLY_TODAY_CATCH_MISSED,
                                  {V_TAG(turn_pond_tag((int)task->key.subject)),
                                   V_DATE(farm_pond(st, task->key.subject)->catch_s)}};
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

static bool listed(const struct turn *t, const struct task *tasks, int at, int64_t until_s) {
    const struct task *task = &tasks[at];
    bool past = task->useful_s <= t->now_s;
    if (task->due_s > until_s || task->key.stage != STAGE_FIRST || (past && !waits(t, task)))
        return false;
    for (int i = 0; i < at; i++)
        if (tasks[i].key.kind == task->key.kind && tasks[i].key.subject == task->key.subject &&
            (task->key.kind != TASK_PREP || plan_same_work(tasks[i].key, task->key)) &&
            (tasks[i].useful_s > t->now_s || waits(t, &tasks[i])))
            return false;
    return true;
}

/* The day in the making. */
struct day {
    const struct turn_day *of;
    const struct plan_view *view;
    struct line *lines;
    int count, room;
    bool *seen; /* beside of->tasks: it has a line */
};

/* He is told of it now, in a text of its own. */
static bool told_alone(const struct turn *t, const struct turn_day *of, enum subject_kind kind,
                       int64_t subject) {
    for (int i = 0; of->told && i < t->wake_count && t->wakes[i].due_s <= t->now_s; i++)
        if (t->wakes[i].level != LEVEL_ROUTINE && t->wakes[i].key.subject == subject &&
            t->wakes[i].hand == t->people[of->person].id &&
            task_subject(t->wakes[i].key.kind) == kind)
            return true;
    return false;
}

/* That an order is in danger was said in a text of its own, and Sunday says it again. */
static bool said_before(const struct day *d, const struct task *task) {
    return d->of->told && task->key.kind == TASK_ORDER;
}

static void put_line(const struct turn *t, struct day *d, struct line one) {
    one.by_s = one.late ? zone_midnight(t->zone, t->now_s, 0) : one.at_s;
    if (d->count == d->room || (one.others && d->of->own))
        return;
    if (one.alarm) { /* fish die: whoever reads it first */
        one.others = false;
        one.by_s = 0;
    }
    d->lines[d->count++] = one;
}

static void put_spawns(struct turn *t, struct day *d) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->spawn_count; i++) {
        struct line lines[SPAWN_LINES_MAX];
        const struct spawn *s = &st->spawns[i];
        int n = told_alone(t, d->of, SUBJECT_SPAWN, s->number)
                    ? 0
                    : lines_of(t, s, lines, SPAWN_LINES_MAX);
        for (int k = 0; k < n; k++) {
            lines[k].others = plan_hand_of(d->view, &s->hands) != t->people[d->of->person].id;
            if (lines[k].at_s <= d->of->until_s)
                put_line(t, d, lines[k]);
        }
    }
}

/* The routine that is told with the list. */
static const struct task *told_with(struct day *d, const struct task *task) {
    for (int i = 0; i < d->of->task_count; i++)
        if (d->of->tasks[i]->key.kind == task->key.kind &&
            d->of->tasks[i]->key.subject == task->key.subject) {
            d->seen[i] = true;
            return d->of->tasks[i];
        }
    return NULL;
}

/* The plan as if nothing had been told: what is open today and tomorrow morning of larvae, ponds
 * and the hatchery, each kind of a subject once, and what was not done on ponds. */
static void put_plan(struct turn *t, struct day *d) {
    struct task *tasks = ARENA_ARRAY(t->arena, TASKS_MOST, struct task);
    int64_t today_s = zone_midnight(t->zone, t->now_s, 0);
    int count = tasks ? farm_plan(&t->farm->state, d->view, tasks, TASKS_MOST) : 0;
    for (int i = 0; i < count; i++) {
        const struct task *task = &tasks[i];
        if (!listed(t, tasks, i, d->of->until_s) || said_before(d, task) ||
            told_alone(t, d->of, task_subject(task->key.kind), task->key.subject))
            continue;
        bool missed = task->key.kind == TASK_INJECT && task->hour_s < today_s; /* its evening */
        const struct line one = {
            .at_s = missed ? task->hour_s : task->due_s,
            .reply = line_of_task(t, task),
            .others = task->hand != t->people[d->of->person].id,
            .late = missed || (task->due_s < today_s &&
                               (task->useful_s < t->now_s || task->key.kind == TASK_FOOD)),
            .alarm = task->level == LEVEL_ALARM,
            .task = told_with(d, task)};
        if (one.reply.id != REPLY_COUNT && !joined(t, d->lines, d->count, &one))
            put_line(t, d, one);
        else if (one.reply.id == REPLY_COUNT && one.task)
            put_line(t, d, one);
    }
    for (int i = 0; i < d->of->task_count; i++)
        if (!d->seen[i])
            put_line(t, d,
                     (struct line){
                         .at_s = t->now_s, .reply = {.id = REPLY_COUNT}, .task = d->of->tasks[i]});
}

/* No feed before a harvest is a line already. */
static bool catch_listed(const struct day *d, int pond) {
    for (int i = 0; i < d->count; i++)
        if (d->lines[i].reply.id == REPLY_TODAY_CATCH &&
            d->lines[i].reply.values[0].integer == pond)
            return true;
    return false;
}

/* What ponds are fed, behind what has an hour. */
static void put_feed(struct turn *t, struct day *d) {
    struct reply lines[FED_MOST];
    int numbers[FED_MOST];
    int count = turn_ration_lines(t, lines, numbers, FED_MOST);
    for (int i = 0; i < count; i++) {
        const struct pond *pond = farm_pond(&t->farm->state, numbers[i]);
        const struct cycle *c = pond ? farm_cycle(&t->farm->state, pond->cycle) : NULL;
        if (lines[i].id == REPLY_RATION_LINE_NONE && catch_listed(d, numbers[i]))
            continue;
        int64_t hand = plan_feeder(d->view, pond, c);
        put_line(t, d,
                 (struct line){.at_s = i,
                               .reply = lines[i],
                               .ration = true,
                               .others = hand != t->people[d->of->person].id});
    }
}

static struct slice text_of(struct turn *t, struct line *line, bool own_words) {
    if (line->task && (own_words || line->reply.id == REPLY_COUNT))
        return turn_due_line(t, &line->task, 1, t->sender);
    if (line->more) {
        const struct reply more = {REPLY_TODAY_PONDS_MORE,
                                   {line->reply.values[0], V_NUMBER(line->more)}};
        line->reply.values[0] = V_TEXT(turn_render(t, t->sender, &more));
        line->more = 0;
    }
    struct slice text = turn_render(t, t->sender, &line->reply);
    const struct reply late = {REPLY_TODAY_LATE, {V_DATE(line->at_s), V_TEXT(text)}};
    return line->late ? turn_render(t, t->sender, &late) : text;
}

/* Of spawns with the same words one text, which names them all; those in it are done. */
static struct slice joined_text(struct turn *t, struct line *lines, int n, bool *done) {
    const struct task *alike[DUE_SPAWNS_MAX] = {lines[0].task};
    int count = 1;
    for (int i = 1; i < n && lines[0].task; i++)
        if (!done[i] && lines[i].task && lines[i].others == lines[0].others &&
            turn_due_spawns(t, alike, count, lines[i].task)) {
            alike[count++] = lines[i].task;
            done[i] = true;
        }
    return count > 1 ? turn_due_line(t, alike, count, t->sender) : text_of(t, &lines[0], true);
}

/* Lines as texts, `count` of them; whether all of them fit. */
static bool texts_of(struct turn *t, const struct day *d, bool own_words, struct slice *texts,
                     int *count) {
    struct buf all = buf_make_in(t->arena, (size_t)SHOWN_MOST * REPLY_BYTES_MAX);
    struct sms_size size = {0};
    bool done[SHOWN_MOST] = {false};
    int n = d->count < SHOWN_MOST ? d->count : SHOWN_MOST;
    *count = 0;
    for (int i = 0; i < n; i++) {
        if (done[i])
            continue;
        struct slice text = own_words ? joined_text(t, &d->lines[i], n - i, done + i)
                                      : text_of(t, &d->lines[i], false);
        buf_puts(&all, *count ? "\n" : "");
        buf_put(&all, text);
        texts[(*count)++] = text;
    }
    return n == d->count && all.n <= (size_t)2 * REPLY_BYTES_MAX &&
           !sms_measure(buf_slice(&all), t->arena, &size) && size.parts <= LINES_PARTS;
}

/* Who is sent a list knows its hours from then on, and hears of it when one moves (moved.c). */
static void remember_hours(struct turn *t, const struct day *d, int n) {
    int64_t person = t->people[d->of->person].id;
    for (int i = 0; i < n && d->of->told && t->told_count < TURN_TOLD_MAX / 2; i++)
        if (d->lines[i].hour_of.kind && d->lines[i].hour_s > t->now_s)
            turn_told(t, d->lines[i].hour_of, person, d->lines[i].hour_s, OUTCOME_DELIVERED);
}

static struct slice day_text(struct turn *t, struct day *d) {
    struct slice texts[SHOWN_MOST];
    put_spawns(t, d);
    put_plan(t, d);
    put_feed(t, d);
    if (!d->count)
        return SLICE("");
    qsort(d->lines, (size_t)d->count, sizeof d->lines[0], by_hour);
    int count,
        n = d->count < SHOWN_MOST ? d->count : SHOWN_MOST; /* those behind are only counted */
    if (!texts_of(t, d, true, texts, &count) && d->of->task_count)
        (void)texts_of(t, d, false, texts, &count);
    remember_hours(t, d, n);
    return turn_lines_behind(t, t->sender, texts, count, d->count - n);
}

struct slice turn_day_text(struct turn *t, const struct turn_day *of) {
    bool seen[DUE_PONDS_MAX] = {false};
    int room = 2 * t->farm->state.spawn_count + TASKS_MOST + FED_MOST, sender = t->sender;
    struct line *lines = ARENA_ARRAY(t->arena, (size_t)room, struct line);
    struct plan_hand *hands = ARENA_ARRAY(t->arena, (size_t)t->people_count + 1, struct plan_hand);
    if (!lines || !hands) {
        t->e = ERR_NOMEM;
        return SLICE("");
    }
    const struct plan_view view = {.hands = hands,
                                   .hand_count = turn_hands(t, hands),
                                   .zone = t->zone,
                                   .now_s = t->now_s,
                                   .late_s = LATE_DAYS * DAY_S};
    struct day d = {.of = of, .view = &view, .lines = lines, .room = room, .seen = seen};
    t->sender = of->person; /* in his language */
    struct slice text = day_text(t, &d);
    t->sender = sender;
    return text;
}

void turn_do_today(struct turn *t) {
    const struct turn_day day = {.person = t->sender, .until_s = t->now_s + DAY_S};
    struct slice text = turn_day_text(t, &day);
    if (text.n)
        turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX, text);
    else
        TURN_SAY(t, TODAY_NOTHING);
}

/* -- help and language ----------------------------------------------------------------------------
 */

/* The words of the spawning, then those of all else; what does not fit is shown by MORE. */
static void say_words(struct turn *t) {
    const enum reply_id ids[] = {REPLY_HELP,       REPLY_HELP_PONDS,    REPLY_HELP_FEEDING,
                                 REPLY_HELP_MONEY, REPLY_HELP_HATCHERY, REPLY_HELP_PEOPLE};
    enum { LINES = sizeof ids / sizeof ids[0] };
    struct slice lines[LINES];
    for (int i = 0; i < LINES; i++)
        lines[i] = turn_render(t, t->sender, &(struct reply){ids[i], {{0}}});
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines(t, t->sender, lines, LINES));
}

void turn_do_help(struct turn *t, const struct request *r) {
    struct buf context = buf_make_in(t->arena, 80);
    buf_puts(&context, "help.");
    buf_puts(&context, request_has(r, SLOT_TOPIC) ? request_kind_name(r->topic) : "");
    struct slice help = words_get(t->words, turn_language(t, t->sender), buf_str(&context));
    if (request_has(r, SLOT_TOPIC) && help.n)
        TURN_SAY(t, HELP_KIND, V_TEXT(help));
    else
        say_words(t);
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
