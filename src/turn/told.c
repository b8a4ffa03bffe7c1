/* told: what is due is told to whom it concerns, an hour that moved is told again once to those who
 * knew another, OK answers an alarm. In: the plan; out: texts, told rows, wakes. */
#include "turn/inside.h"

#include <string.h>

enum { MINUTE_S = 60, HOUR_S = 3600, ROUNDS_MOST = 4 };

static bool same_task(struct task_key a, struct task_key b) {
    return a.kind == b.kind && a.subject == b.subject && a.nth == b.nth;
}

void turn_told(struct turn *t, struct task_key key, int64_t person, int64_t hour_s,
               enum outcome outcome) {
    struct told row = {key, person, hour_s, t->now_s, outcome};
    int at = t->told_count;
    for (int i = 0; i < t->told_count && at == t->told_count; i++)
        if (same_task(t->told[i].key, key) && t->told[i].key.stage == key.stage &&
            t->told[i].person == person)
            at = i;
    if (at == t->told_count && at == TURN_TOLD_MAX) {
        if (!t->e)
            t->e = ERR_NOMEM;
        return;
    }
    if (at < t->told_kept) { /* an old row changes: it moves among the new ones, to be saved */
        t->told[at] = t->told[--t->told_kept];
        at = t->told_kept;
    }
    t->told[at] = row;
    if (at == t->told_count)
        t->told_count++;
}

void turn_said(struct turn *t, enum task_kind kind, const struct spawn *s, int64_t hour_s) {
    int nth = kind == TASK_LOOK ? s->waits : 0;
    turn_told(t, (struct task_key){kind, s->number, nth, STAGE_SAID}, turn_sender(t)->id, hour_s,
              OUTCOME_DELIVERED);
}

int64_t turn_hour_told(const struct turn *t, struct task_key key, int64_t person) {
    const struct told *latest = NULL;
    for (int i = 0; i < t->told_count; i++) {
        const struct told *row = &t->told[i];
        if (row->person == person && same_task(row->key, key) && row->key.stage <= STAGE_FIRST &&
            (!latest || row->told_s > latest->told_s ||
             (row->told_s == latest->told_s && row->key.stage < latest->key.stage)))
            latest = row;
    }
    return latest ? latest->hour_s : 0;
}

static int person_index(const struct turn *t, int64_t id) {
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].id == id)
            return i;
    return -1;
}

/* -- moved ------------------------------------------------------------------------------------- */

/* The hour is no more: its spawn was taken back, or no hour can be given in this water. */
static void tell_gone(struct turn *t, int person, struct task_key key, int64_t old_s,
                      bool spawn_there) {
    struct tag tag = {'f', farm_spawn_tag(t->farm, key.subject)};
    const struct reply gone = {spawn_there ? REPLY_HOUR_LOST : REPLY_GONE,
                               {V_TAG(tag), V_WHEN(old_s)}};
    turn_send(t, person, LEVEL_STEP, (struct task_key){0}, t->now_s + 6 * HOUR_S,
              turn_render(t, person, &gone));
}

static void tell_moved(struct turn *t, int person, struct task_key key, int64_t hour_s,
                       int64_t old_s) {
    struct tag tag = {'f', farm_spawn_tag(t->farm, key.subject)};
    struct reply moved = {key.kind == TASK_LOOK ? REPLY_MOVED_LOOK : REPLY_MOVED_FRAMES,
                          {V_TAG(tag), V_WHEN(hour_s), V_WHEN(old_s)}};
    turn_send(t, person, LEVEL_STEP, (struct task_key){0}, hour_s, turn_render(t, person, &moved));
}

void turn_tell_moved(struct turn *t) {
    int rows = t->told_count;
    struct told *as_it_was = ARENA_ARRAY(t->arena, (size_t)rows + 1, struct told);
    if (!as_it_was) {
        t->e = ERR_NOMEM;
        return;
    }
    /* a copy: what is told here changes places among the rows */
    memcpy(as_it_was, t->told, (size_t)rows * sizeof *as_it_was);
    for (int i = 0; i < rows; i++) {
        const struct told row = as_it_was[i];
        int person = person_index(t, row.person);
        if (row.key.stage > STAGE_FIRST || person < 0 || !row.hour_s ||
            (row.key.kind != TASK_LOOK && row.key.kind != TASK_FRAMES))
            continue;
        int64_t old_s = turn_hour_told(t, row.key, row.person), hour_s = 0;
        bool acted, stands = farm_task_hour(&t->farm->state, row.key, &hour_s, &acted);
        if (!old_s || acted || old_s < t->now_s - 12 * HOUR_S)
            continue;
        int64_t by_s = stands ? (hour_s > old_s ? hour_s - old_s : old_s - hour_s) : INT64_MAX;
        if (by_s < MOVED_MIN * MINUTE_S)
            continue;
        struct task_key said = row.key;
        said.stage = STAGE_SAID;
        turn_told(t, said, row.person, stands ? hour_s : 0, OUTCOME_WAITING);
        bool spawn_there = farm_spawn(&t->farm->state, row.key.subject) != NULL;
        if (t->people[person].stopped)
            continue;
        if (stands)
            tell_moved(t, person, row.key, hour_s, old_s);
        else if (person != t->sender)
            tell_gone(t, person, row.key, old_s, spawn_there);
    }
}

/* -- due ----------------------------------------------------------------------------------------
 */

/* The text of a task for one person. `stage` is that of the wording: an owner who is the hand gets
 * the repeated alarm, not the call to call himself. */
static struct slice task_text(struct turn *t, const struct task *task, enum task_stage stage,
                              int person, int64_t heard_s) {
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    struct reply_value tag = V_TAG(turn_tag(s)), hour = V_WHEN(task->hour_s);
    struct reply r = {REPLY_DUE_LOOK, {tag}};
    bool frames = task->key.kind == TASK_FRAMES;
    switch (stage) {
    case STAGE_AGAIN:
        r = (struct reply){frames ? REPLY_DUE_FRAMES_AGAIN : REPLY_DUE_LOOK_AGAIN, {tag, hour}};
        break;
    case STAGE_OWNER:
        r = (struct reply){frames ? REPLY_OWNER_FRAMES : REPLY_OWNER_LOOK,
                           {tag, hour, V_WHEN(heard_s)}};
        break;
    case STAGE_ADVISER:
        r = (struct reply){frames ? REPLY_ADVISER_FRAMES : REPLY_ADVISER_LOOK,
                           {V_TEXT(t->farm_name), tag, hour}};
        break;
    case STAGE_MISSED:
        r = (struct reply){frames ? REPLY_MISSED_FRAMES : REPLY_MISSED_LOOK, {tag, hour}};
        break;
    case STAGE_OFF: {
        int hand = person_index(t, task->hand);
        struct slice phone = hand >= 0 ? t->people[hand].phone : SLICE("?");
        r = (struct reply){REPLY_PHONE_OFF, {tag, hour, V_TEXT(phone)}};
        break;
    }
    case STAGE_SAID:
    case STAGE_FIRST:
        switch (task->key.kind) {
        case TASK_WATER:
            r = task->hour_s ? (struct reply){REPLY_DUE_WATER, {tag, hour}}
                             : (struct reply){REPLY_ASK_WATER, {tag}};
            break;
        case TASK_READY: {
            struct water_series w = spawn_water(s);
            r = (struct reply){
                REPLY_DUE_READY,
                {tag, V_CLOCK(task->hour_s), V_WATER(w.readings[w.count - 1].mdegc)}};
            break;
        }
        case TASK_LOOK:
            r.id = task->key.nth ? REPLY_DUE_LOOK_NEXT : REPLY_DUE_LOOK;
            break;
        case TASK_WHITE:
            r = (struct reply){REPLY_DUE_WHITE, {tag}};
            break;
        case TASK_LIFT:
            r = (struct reply){REPLY_DUE_LIFT, {tag, hour}};
            break;
        case TASK_FRAMES:
            r = (struct reply){REPLY_DUE_FRAMES, {tag, hour}};
            break;
        case TASK_NONE:
            break;
        }
        break;
    }
    return turn_render(t, person, &r);
}

/* A text that asks for one value leaves its question open, so that a bare number answers it. */
static void open_for_answer(struct turn *t, const struct task *task, int person) {
    struct request r = {.has = 1u << SLOT_TAG};
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    r.tag = turn_tag(s);
    int slot;
    if (task->key.kind == TASK_WATER) {
        r.kind = REQUEST_TEMP;
        slot = SLOT_WATER;
    } else if (task->key.kind == TASK_WHITE) {
        r.kind = REQUEST_WHITE;
        slot = SLOT_COUNT;
    } else {
        return;
    }
    for (int i = 0; i < t->question_count; i++) {
        if (t->questions[i].person != t->people[person].id)
            continue;
        if (!t->questions[i].message) /* two reminders: a bare number could mean either */
            t->questions[i].asked = QUESTION_NONE;
        return; /* what he was just asked in an answer goes first */
    }
    turn_open_question(t, t->people[person].id, &r, 0, slot, 0);
}

static void tell(struct turn *t, const struct task *task, enum task_stage stage, int person,
                 int64_t heard_s) {
    turn_send(t, person, task->level, task->key, task->useful_s,
              task_text(t, task, stage, person, heard_s));
    turn_told(t, task->key, t->people[person].id, task->hour_s, OUTCOME_WAITING);
    turn_about(t, person,
               task->key.kind == TASK_WHITE || task->key.kind >= TASK_LIFT ? ABOUT_EGGS
                                                                           : ABOUT_LOOK,
               task->key.subject, (struct slice){0});
    if (task->key.kind == TASK_READY && stage == STAGE_FIRST)
        turn_told(t,
                  (struct task_key){TASK_LOOK, task->key.subject,
                                    farm_spawn(&t->farm->state, task->key.subject)->waits,
                                    STAGE_SAID},
                  t->people[person].id, task->hour_s, OUTCOME_WAITING);
    if (stage == STAGE_FIRST)
        open_for_answer(t, task, person);
}

/* How many of a role were told; the hand is left out when `but` is his index. */
static int tell_role(struct turn *t, const struct task *task, enum task_stage stage,
                     enum turn_role role, int but, int64_t heard_s) {
    int told = 0;
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role == role && i != but && !t->people[i].stopped) {
            tell(t, task, stage, i, heard_s);
            told++;
        }
    return told;
}

static void tell_task(struct turn *t, const struct task *task) {
    int hand = person_index(t, task->hand), told = 0;
    int64_t heard_s = hand >= 0 ? t->people[hand].heard_s : 0;
    bool reachable = hand >= 0 && !t->people[hand].stopped;
    switch (task->key.stage) {
    case STAGE_SAID:
    case STAGE_FIRST:
    case STAGE_AGAIN:
        if (reachable) {
            tell(t, task, task->key.stage, hand, heard_s);
            told = 1;
        } else { /* passes at once to the next in line */
            told = tell_role(t, task, task->key.stage, ROLE_OWNER, hand, heard_s);
            if (!told)
                told = tell_role(t, task, task->key.stage, ROLE_ADVISER, hand, heard_s);
        }
        break;
    case STAGE_OWNER:
        told = tell_role(t, task, STAGE_OWNER, ROLE_OWNER, hand, heard_s);
        if (!told && reachable) { /* the owner is the hand: the alarm once more */
            tell(t, task, STAGE_AGAIN, hand, heard_s);
            told = 1;
        }
        break;
    case STAGE_ADVISER:
        told = tell_role(t, task, STAGE_ADVISER, ROLE_ADVISER, hand, heard_s);
        break;
    case STAGE_MISSED:
        if (reachable) {
            tell(t, task, STAGE_MISSED, hand, heard_s);
            told = 1;
        }
        told += tell_role(t, task, STAGE_MISSED, ROLE_OWNER, hand, heard_s);
        break;
    case STAGE_OFF:
        told = tell_role(t, task, STAGE_OFF, ROLE_OWNER, hand, heard_s);
        break;
    }
    if (!told) /* nobody to tell: it must not come round for ever */
        turn_told(t, task->key, 0, task->hour_s, OUTCOME_FAILED);
}

/* Room for a task's texts and rows: at most two a person, and what moved before. */
static bool room(const struct turn *t) {
    return t->text_count + 2 * t->people_count < TURN_TEXTS_MAX &&
           t->told_count + 2 * t->people_count + 2 < TURN_TOLD_MAX;
}

/* A higher stage of the same alarm is due, too: only that one is told. */
static bool overtaken(const struct turn *t, int at) {
    const struct task *task = &t->wakes[at];
    for (int i = 0; i < t->wake_count && t->wakes[i].due_s <= t->now_s; i++)
        if (same_task(t->wakes[i].key, task->key) && task->key.stage >= STAGE_AGAIN &&
            t->wakes[i].key.stage > task->key.stage && t->wakes[i].key.stage <= STAGE_ADVISER)
            return true;
    return false;
}

void turn_tell_due(struct turn *t) {
    for (int round = 0; round < ROUNDS_MOST && !t->e; round++) {
        bool told = false;
        t->wake_count = farm_plan(&t->farm->state, t->told, t->told_count, t->zone, t->now_s,
                                  t->wakes, PLAN_MOST);
        for (int i = 0; i < t->wake_count && t->wakes[i].due_s <= t->now_s && !t->e; i++) {
            if (!room(t)) {
                t->more_due = true;
                return;
            }
            if (overtaken(t, i))
                turn_told(t, t->wakes[i].key, 0, t->wakes[i].hour_s, OUTCOME_FAILED);
            else
                tell_task(t, &t->wakes[i]);
            told = true;
        }
        if (!told)
            return;
    }
}

/* -- ok -----------------------------------------------------------------------------------------
 */

/* Of what was told at the same instant OK means the alarm before the reminder to get ready. */
static int ok_rank(const struct told *row) {
    return (row->key.kind != TASK_READY) * (STAGE_OFF + 1) + (int)row->key.stage;
}

void turn_do_ok(struct turn *t, const struct request *r) {
    const struct told *newest = NULL;
    for (int i = 0; i < t->told_count; i++) {
        const struct told *row = &t->told[i];
        const struct spawn *s = farm_spawn(&t->farm->state, row->key.subject);
        bool asks = row->key.kind == TASK_LOOK || row->key.kind == TASK_FRAMES ||
                    row->key.kind == TASK_READY || row->key.kind == TASK_LIFT;
        if (!s || spawn_closed(s) || row->key.stage < STAGE_FIRST || !asks ||
            row->outcome == OUTCOME_ANSWERED || row->person != turn_sender(t)->id)
            continue;
        if (request_has(r, SLOT_TAG) && (r->tag.letter != 'f' || r->tag.number != s->tag))
            continue;
        bool before_strip = row->key.kind == TASK_LOOK || row->key.kind == TASK_READY;
        if (before_strip && s->stripped_s)
            continue;
        if (row->key.kind == TASK_LOOK && row->key.nth != s->waits)
            continue;
        if (!newest || row->told_s > newest->told_s ||
            (row->told_s == newest->told_s && ok_rank(row) > ok_rank(newest)))
            newest = row;
    }
    if (!newest) {
        TURN_SAY(t, NOTED_OK_PLAIN);
        return;
    }
    struct told row = *newest;
    const struct spawn *s = farm_spawn(&t->farm->state, row.key.subject);
    turn_told(t, row.key, row.person, row.hour_s, OUTCOME_ANSWERED);
    if (row.key.kind == TASK_FRAMES || row.key.kind == TASK_LIFT)
        TURN_SAY(t, NOTED_OK_FRAMES, V_TAG(turn_tag(s)));
    else
        TURN_SAY(t, NOTED_OK, V_TAG(turn_tag(s)));
}
