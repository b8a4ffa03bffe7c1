/* told: what is due is told to whom it concerns, OK answers an alarm. Hours that moved: moved.c.
 * In: the plan; out: texts, told rows, wakes. */
#include "turn/inside.h"

#include <string.h>

#include "trade/book.h"

enum {
    MINUTE_S = 60,
    HOUR_S = 3600,
    ROUNDS_MOST = 4,
    LATE_MIN = 30,
    HOLD_MIN = 5,
    LIST_LATE_MIN = 15
};

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

int turn_person_index(const struct turn *t, int64_t id) {
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].id == id && t->people[i].role != ROLE_NONE)
            return i;
    return -1;
}

/* -- heard -------------------------------------------------------------------------------------
 */

/* Whoever reported something, is asked something, or was not understood, is at the phone; a text
 * that was refused leaves her as she was. Without a tag it can be about any of those that he was
 * told of. */
void turn_hear(struct turn *t) {
    bool asked = t->doubted;
    for (int i = 0; i < t->question_count; i++)
        asked |= t->questions[i].person == turn_sender(t)->id && t->questions[i].message;
    int rows = t->told_count;
    struct told *as_it_was = ARENA_ARRAY(t->arena, (size_t)rows + 1, struct told);
    if (!as_it_was) {
        t->e = ERR_NOMEM;
        return;
    }
    memcpy(as_it_was, t->told, (size_t)rows * sizeof *as_it_was);
    for (int i = 0; i < rows; i++) {
        const struct told row = as_it_was[i];
        bool alarm = row.key.kind == TASK_LOOK || row.key.kind == TASK_FRAMES ||
                     (row.key.kind == TASK_FOOD && row.key.nth);
        const struct spawn *s = farm_spawn(&t->farm->state, row.key.subject);
        if (!alarm || !s || spawn_closed(s) || row.person != turn_sender(t)->id ||
            row.key.stage < STAGE_FIRST || row.key.stage > STAGE_ADVISER)
            continue;
        bool hers = t->about_tag.letter == 'f' && t->about_tag.number == s->tag;
        bool his = t->about_tag.letter ? hers && (asked || t->entries_kept) : asked;
        struct task_key key = row.key;
        key.stage = STAGE_HEARD;
        if (his)
            turn_told(t, key, row.person, row.hour_s, OUTCOME_DELIVERED);
    }
}

/* -- due ----------------------------------------------------------------------------------------
 */

/* A text that asks for one value leaves its question open, so that a bare number answers it. */
static void open_for_answer(struct turn *t, const struct task *task, bool several, int person) {
    struct request r = {.has = SLOT_BIT(SLOT_TAG)};
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    int slot = SLOT_COUNT;
    if (task->key.kind == TASK_WATER) {
        r.kind = REQUEST_TEMP;
        slot = SLOT_WATER;
    } else if (task->key.kind == TASK_WHITE) {
        r.kind = REQUEST_WHITE;
    } else if (task->key.kind == TASK_HATCH) {
        r.kind = REQUEST_HATCH;
    } else if (task->key.kind == TASK_PREP && task->key.nth == PREP_PH) {
        r = (struct request){.kind = REQUEST_PREP,
                             .has = SLOT_BIT(SLOT_POND),
                             .pond = turn_pond_tag((int)task->key.subject)};
        slot = SLOT_PH;
        s = NULL;
    } else {
        return;
    }
    if (s && task->key.kind == TASK_WATER && several && !s->tank) { /* of the hatchery */
        r.has = 0;
    } else if (s && task->key.kind == TASK_WATER && several) { /* of the tank they are all in */
        r.has = SLOT_BIT(SLOT_TANK);
        r.tank = turn_tank_tag(s->tank);
    } else if (s) {
        r.tag = turn_tag(s);
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

/* Tasks that go out as one text: of one hand and stage, the first of them in the plan's order. */
struct group {
    const struct task *tasks[DUE_PONDS_MAX];
    int count;
};

/* The text carries the key of its first task: the receipt is that one's, the others go with it. */
static void remember(struct turn *t, const struct task *task, bool first, int person,
                     enum task_stage stage) {
    turn_told(t, task->key, t->people[person].id, task->hour_s,
              first ? OUTCOME_WAITING : OUTCOME_DELIVERED);
    if (task->key.kind == TASK_READY && stage == STAGE_FIRST)
        turn_told(t,
                  (struct task_key){TASK_LOOK, task->key.subject,
                                    farm_spawn(&t->farm->state, task->key.subject)->waits,
                                    STAGE_SAID},
                  t->people[person].id, task->hour_s, OUTCOME_WAITING);
}

static void tell(struct turn *t, const struct group *g, enum task_stage stage, int person,
                 int64_t heard_s) {
    const struct task *task = g->tasks[0];
    struct slice body = turn_due_text(t, g->tasks, g->count, stage, person, heard_s);
    if (body.n)
        turn_send(t, person, task->level, task->key, task->useful_s, body);
    for (int i = 0; i < g->count; i++)
        remember(t, g->tasks[i], i == 0 && body.n, person, stage);
    bool eggs = task->key.kind == TASK_WHITE || task->key.kind == TASK_LIFT ||
                task->key.kind == TASK_FRAMES;
    bool fish = task->key.kind <= TASK_LOOK;
    if (task_subject(task->key.kind) == SUBJECT_SPAWN)
        turn_about(t, person,
                   eggs   ? ABOUT_EGGS
                   : fish ? ABOUT_LOOK
                          : ABOUT_LARVAE,
                   task->key.subject, (struct slice){0});
    if (task_subject(task->key.kind) == SUBJECT_ORDER)
        turn_about(t, person, ABOUT_ORDER, task->key.subject, (struct slice){0});
    bool which =
        task->key.kind == TASK_PREP && g->count > 1; /* a bare number could be any pond's */
    if (stage == STAGE_FIRST && !which)
        open_for_answer(t, task, g->count > 1, person);
}

/* How many of a role were told; the hand is left out when `but` is his index. */
static int tell_role(struct turn *t, const struct group *g, enum task_stage stage,
                     enum turn_role role, int but, int64_t heard_s) {
    int told = 0;
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role == role && i != but && !t->people[i].stopped) {
            tell(t, g, stage, i, heard_s);
            told++;
        }
    return told;
}

/* A person's own list goes to nobody else. */
static bool is_list(const struct task *task) {
    return task->key.kind == TASK_MORNING || task->key.kind == TASK_SUNDAY;
}

static int tell_hand(struct turn *t, const struct group *g, enum task_stage stage, int hand) {
    bool reachable = hand >= 0 && !t->people[hand].stopped;
    if (!reachable)
        return 0;
    tell(t, g, stage, hand, t->people[hand].heard_s);
    return 1;
}

/* Workers who were told an hour of it before, the hand left out. */
static int tell_knowing(struct turn *t, const struct group *g, int hand) {
    int told = 0;
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role == ROLE_WORKER && i != hand && !t->people[i].stopped &&
            turn_hour_told(t, g->tasks[0]->key, t->people[i].id)) {
            tell(t, g, STAGE_AGAIN, i, 0);
            told++;
        }
    return told;
}

static bool said_no_fry(const struct turn *t, const struct task *task, int64_t person) {
    struct task_key said = task->key;
    said.stage = STAGE_SAID;
    return turn_hour_told(t, said, person) == task->hour_s;
}

/* All who know of the preparing; whoever said the loss had it in the answer. */
static int tell_no_fry(struct turn *t, const struct group *g, int hand) {
    const struct task *task = g->tasks[0];
    const struct pond *pond = farm_pond(&t->farm->state, task->key.subject);
    bool said = false;
    int told = 0;
    for (int i = 0; i < t->people_count; i++) {
        int64_t id = t->people[i].id;
        bool knows = t->people[i].role != ROLE_NONE && turn_knows_pond(t, pond, id);
        said |= knows && said_no_fry(t, task, id);
        if (!knows || t->people[i].stopped || said_no_fry(t, task, id))
            continue;
        tell(t, g, STAGE_FIRST, i, 0);
        told++;
    }
    return told || said ? told : tell_role(t, g, STAGE_FIRST, ROLE_OWNER, hand, 0);
}

/* When anybody of the farm texted last: a hand who was taken off is not heard any more. */
static int64_t last_heard(const struct turn *t) {
    int64_t last_s = 0;
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].heard_s > last_s)
            last_s = t->people[i].heard_s;
    return last_s;
}

/* When the hatchery texted last: the hand, or anybody else who is no owner and no adviser. */
static int64_t hatchery_heard(const struct turn *t, int hand) {
    int64_t last_s = t->people[hand].heard_s;
    for (int i = 0; i < t->people_count; i++)
        if ((t->people[i].role == ROLE_WORKER || t->people[i].role == ROLE_WATCHER) &&
            t->people[i].heard_s > last_s)
            last_s = t->people[i].heard_s;
    return last_s;
}

/* An answer named her hour to this person when looking was over: he knows that it was missed. */
static bool knows_missed(const struct turn *t, const struct task *task, int person) {
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    for (int i = 0; i < t->told_count && s && task->key.kind == TASK_LOOK && person >= 0; i++) {
        const struct told *row = &t->told[i];
        if (same_task(row->key, task->key) && row->key.stage == STAGE_SAID &&
            row->person == t->people[person].id && row->told_s >= plan_look_last(s))
            return true;
    }
    return false;
}

static int tell_missed(struct turn *t, const struct group *g, int hand) {
    int told = knows_missed(t, g->tasks[0], hand) ? 0 : tell_hand(t, g, STAGE_MISSED, hand);
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role == ROLE_OWNER && i != hand && !t->people[i].stopped &&
            !knows_missed(t, g->tasks[0], i)) {
            tell(t, g, STAGE_MISSED, i, 0);
            told++;
        }
    return told;
}

/* To whom a stage goes: the hand, else the next in line; then the owner, then the adviser. */
static int tell_stage(struct turn *t, const struct group *g, int hand, int64_t heard_s) {
    const struct task *task = g->tasks[0];
    int told = 0;
    switch (task->key.stage) {
    case STAGE_SAID:
    case STAGE_FIRST:
    case STAGE_AGAIN:
        told = tell_hand(t, g, task->key.stage, hand);
        if (!told && !is_list(task)) /* passes at once to the next in line */
            told = tell_role(t, g, task->key.stage, ROLE_OWNER, hand, heard_s);
        if (!told && task->level != LEVEL_ROUTINE)
            told = tell_role(t, g, task->key.stage, ROLE_ADVISER, hand, heard_s);
        break;
    case STAGE_OWNER:
        told = tell_role(t, g, STAGE_OWNER, ROLE_OWNER, hand, heard_s);
        if (!told) { /* the owner is the hand: the alarm once more, and to whom it was told before
                      */
            told = tell_hand(t, g, STAGE_AGAIN, hand);
            told += tell_knowing(t, g, hand);
        }
        break;
    case STAGE_ADVISER:
        told = tell_role(t, g, STAGE_ADVISER, ROLE_ADVISER, hand, heard_s);
        break;
    case STAGE_MISSED:
        told = tell_missed(t, g, hand);
        break;
    case STAGE_HEARD: /* of rows only */
        break;
    case STAGE_OFF:
        told = tell_role(t, g, STAGE_OFF, ROLE_OWNER, hand, heard_s);
        break;
    }
    return told;
}

static void tell_group(struct turn *t, const struct group *g) {
    const struct task *task = g->tasks[0];
    int hand = turn_person_index(t, task->hand);
    int64_t heard_s = hand >= 0 ? hatchery_heard(t, hand) : last_heard(t);
    int told =
        task->key.kind == TASK_NO_FRY ? tell_no_fry(t, g, hand) : tell_stage(t, g, hand, heard_s);
    for (int i = 0; i < g->count && !told; i++) /* nobody to tell: it must not come for ever */
        turn_told(t, g->tasks[i]->key, 0, g->tasks[i]->hour_s, OUTCOME_FAILED);
}

/* How many ponds go into one text: with many people each of them may be told a row. */
static int ponds_most(const struct turn *t) {
    return t->people_count <= DUE_PONDS_MANY ? DUE_PONDS_MAX : DUE_PONDS_MANY;
}

/* Room for a group's texts and rows: at most two rows a person for each, and what moved before. */
static bool room(const struct turn *t) {
    return t->text_count + t->people_count < TURN_TEXTS_MAX &&
           t->told_count + 2 * t->people_count * ponds_most(t) + 2 < TURN_TOLD_MAX;
}

/* Females in one tank, or both in the hatchery's water. */
static bool one_tank(const struct turn *t, const struct task *a, const struct task *b) {
    const struct spawn *x = farm_spawn(&t->farm->state, a->key.subject);
    const struct spawn *y = farm_spawn(&t->farm->state, b->key.subject);
    bool same = x && y && (x->tank ? x->tank == y->tank : !y->tank && x->follows && y->follows);
    return same && a->hour_s && b->hour_s;
}

/* Looks of one hand, and what is got ready for them, go out as one text; so does one morning's
 * routine, the question for the water of one tank, and the same work on several ponds. */
static bool together(struct turn *t, const struct task *a, const struct task *b) {
    if (a->hand != b->hand || a->key.stage != STAGE_FIRST || b->key.stage != STAGE_FIRST)
        return false;
    if (a->key.kind == TASK_SUNDAY || b->key.kind == TASK_SUNDAY)
        return false;
    if (a->level == LEVEL_ROUTINE)
        return b->level == LEVEL_ROUTINE;
    if (a->key.kind != b->key.kind)
        return false;
    return a->key.kind == TASK_LOOK || a->key.kind == TASK_READY || turn_due_alike(t, a, b) ||
           (a->key.kind == TASK_WATER && one_tank(t, a, b));
}

/* So does the same work on several spawns, as many as one text can name. */
static bool goes_with(struct turn *t, const struct group *g, const struct task *task) {
    const struct task *one = g->tasks[0];
    if (together(t, one, task))
        return true;
    return one->level != LEVEL_ROUTINE && one->hand == task->hand &&
           one->key.stage == STAGE_FIRST && task->key.stage == STAGE_FIRST &&
           turn_due_spawns(t, g->tasks, g->count, task);
}

/* The task at `at` and those due with it; they are marked done. */
static struct group group_of(struct turn *t, int at, bool *done) {
    struct group g = {{&t->wakes[at]}, 1};
    bool routine = t->wakes[at].level == LEVEL_ROUTINE;
    bool few = t->wakes[at].key.kind <= TASK_LOOK; /* who stands at the tank, or its water */
    int most = routine ? ponds_most(t) : few ? DUE_TOGETHER_MAX : DUE_SPAWNS_MAX;
    if (turn_due_alike(t, &t->wakes[at], &t->wakes[at]))
        most = turn_due_most(t, &t->wakes[at], ponds_most(t));
    done[at] = true;
    for (int i = at + 1; i < t->wake_count && t->wakes[i].due_s <= t->now_s; i++)
        if (!done[i] && g.count < most && goes_with(t, &g, &t->wakes[i])) {
            g.tasks[g.count++] = &t->wakes[i];
            done[i] = true;
        }
    for (int i = 0; i + 1 < g.count; i++) /* the list itself last: the receipt, WHY and an answer */
        if (g.tasks[i]->key.kind == TASK_MORNING) { /* are of a task that asks for something */
            const struct task *list = g.tasks[i];
            g.tasks[i] = g.tasks[g.count - 1];
            g.tasks[g.count - 1] = list;
        }
    return g;
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

/* A list whose morning had passed when a text gave it something to list: the text was answered. */
static bool missed_list(const struct turn *t, int at) {
    const struct task *task = &t->wakes[at];
    return is_list(task) && t->sender >= 0 && task->due_s < t->now_s - LIST_LATE_MIN * MINUTE_S;
}

/* When to tell a look that was due before a report of that hour came in late: the next text may say
 * more of her (a night's texts come all at once), so it waits a few minutes for it; so does the
 * word that something was missed. 0: as planned. */
static int64_t told_later(const struct turn *t, const struct task *task) {
    bool look = task->key.kind == TASK_LOOK || task->key.kind == TASK_READY;
    bool held = (look && task->key.stage == STAGE_FIRST) ||
                (task->key.kind == TASK_WHITE && task->key.nth == WHITE_MISSED) ||
                (task->key.stage == STAGE_MISSED && task_subject(task->key.kind) == SUBJECT_SPAWN);
    if (!held || task->due_s > t->now_s)
        return 0;
    for (int i = t->farm->count - 1; i >= 0; i--) {
        const struct entry *n = &t->farm->entries[i];
        int64_t then_s = n->said_s + HOLD_MIN * MINUTE_S;
        if (then_s <= t->now_s || n->kind == ENTRY_UNDO) /* put right: not a report of then */
            return 0;
        if (n->subject_kind == SUBJECT_SPAWN && n->subject == task->key.subject &&
            n->at_s < n->said_s - LATE_MIN * MINUTE_S)
            return then_s;
    }
    return 0;
}

static void hold_late(struct turn *t) {
    for (int i = t->wake_count - 1; i >= 0; i--) {
        struct task task = t->wakes[i];
        int64_t then_s = told_later(t, &task);
        if (!then_s)
            continue;
        int k = i;
        for (; k + 1 < t->wake_count && t->wakes[k + 1].due_s < then_s; k++)
            t->wakes[k] = t->wakes[k + 1];
        task.due_s = then_s;
        t->wakes[k] = task;
    }
}

int turn_hands(const struct turn *t, struct plan_hand *out) {
    int n = 0;
    for (int i = 0; i < t->people_count; i++) {
        const struct turn_person *p = &t->people[i];
        enum plan_rank rank = p->role == ROLE_WORKER  ? RANK_WORKER
                              : p->role == ROLE_OWNER ? RANK_OWNER
                                                      : RANK_OTHER;
        if (p->role != ROLE_NONE)
            out[n++] = (struct plan_hand){.person = p->id,
                                          .morning_min = p->morning_min,
                                          .rank = rank,
                                          .lists = p->lists && !p->stopped};
    }
    return n;
}

void turn_tell_due(struct turn *t) {
    struct plan_hand *hands = ARENA_ARRAY(t->arena, (size_t)t->people_count + 1, struct plan_hand);
    if (!hands) {
        t->e = ERR_NOMEM;
        return;
    }
    int hand_count = turn_hands(t, hands);
    for (int round = 0; round < ROUNDS_MOST && !t->e; round++) {
        bool done[PLAN_MOST] = {false}, told = false;
        const struct plan_view view = {.told = t->told,
                                       .told_count = t->told_count,
                                       .hands = hands,
                                       .hand_count = hand_count,
                                       .zone = t->zone,
                                       .now_s = t->now_s};
        t->wake_count = farm_plan(&t->farm->state, &view, t->wakes, PLAN_MOST);
        hold_late(t);
        for (int i = 0; i < t->wake_count && t->wakes[i].due_s <= t->now_s && !t->e; i++) {
            if (done[i])
                continue;
            if (!room(t)) {
                t->more_due = true;
                return;
            }
            if (overtaken(t, i) || missed_list(t, i)) {
                turn_told(t, t->wakes[i].key, 0, t->wakes[i].hour_s, OUTCOME_FAILED);
            } else {
                const struct group g = group_of(t, i, done);
                tell_group(t, &g);
            }
            told = true;
        }
        if (!told)
            return;
    }
}

static void wake_at(struct turn *t, int64_t at_s) {
    if (t->wake_count == PLAN_MOST) /* the latest comes again when the farm wakes */
        t->wake_count--;
    t->wakes[t->wake_count++] =
        (struct task){.due_s = at_s, .useful_s = at_s + 12 * HOUR_S, .level = LEVEL_STEP};
}

/* What was promised is looked at every morning, whether or not anything happened: an evening that
 * went by without an injection is no report. */
static int64_t promises_s(const struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    bool any = false;
    for (int i = 0; i < st->order_count; i++)
        any |= st->orders[i].promised > 0 && order_open(&st->orders[i], t->now_s) &&
               t->now_s <= st->orders[i].day_s;
    int64_t today_s = plan_clock(t->zone, t->now_s, 0, PLAN_STEP_HOUR);
    return !any                 ? 0
           : today_s > t->now_s ? today_s
                                : plan_clock(t->zone, t->now_s, 1, PLAN_STEP_HOUR);
}

void turn_wake_later(struct turn *t) {
    int64_t promises = promises_s(t);
    if (t->morning_s)
        wake_at(t, t->morning_s);
    if (promises && promises != t->morning_s)
        wake_at(t, promises);
}

/* -- ok -----------------------------------------------------------------------------------------
 */

/* Of what was told at the same instant OK means the alarm before the reminder to get ready. */
static int ok_rank(const struct told *row) {
    return (row->key.kind != TASK_READY) * (STAGE_OFF + 1) + (int)row->key.stage;
}

/* Whether this row waits for an OK: told to the sender, of something that is still open. */
static bool asks_ok(struct turn *t, const struct told *row, const struct request *r) {
    if (row->key.stage < STAGE_FIRST || row->key.stage == STAGE_HEARD ||
        row->outcome == OUTCOME_ANSWERED || row->person != turn_sender(t)->id)
        return false;
    if (row->key.kind == TASK_OXYGEN) {
        const struct pond *pond = farm_pond(&t->farm->state, row->key.subject);
        struct plan_night night = {0};
        bool meant = !request_has(r, SLOT_TAG) ||
                     (r->tag.letter == 'p' && r->tag.number == (int)row->key.subject);
        if (pond && meant)
            night = plan_night(&t->farm->state, pond, t->zone);
        return night.danger && night.dawn_s + 3 * 3600 > t->now_s; /* until they are looked at */
    }
    const struct spawn *s = farm_spawn(&t->farm->state, row->key.subject);
    bool asks = row->key.kind == TASK_LOOK || row->key.kind == TASK_FRAMES ||
                row->key.kind == TASK_READY || row->key.kind == TASK_LIFT ||
                row->key.kind == TASK_FOOD;
    if (!asks || !s || spawn_closed(s))
        return false;
    if (request_has(r, SLOT_TAG) && (r->tag.letter != 'f' || r->tag.number != s->tag))
        return false;
    bool food = row->key.kind == TASK_FOOD;
    enum spawn_phase phase =
        row->key.kind == TASK_LOOK || row->key.kind == TASK_READY ? PHASE_FISH : PHASE_EGGS;
    if (food ? !s->stripped_s || s->fed_s : spawn_phase(s) != phase)
        return false;
    return row->key.kind != TASK_LOOK || row->key.nth == s->waits;
}

/* What was told of several in one text has one OK. Puts their tags; returns how many they are. */
static int ok_together(struct turn *t, const struct request *r, const struct told *newest,
                       struct buf *tags) {
    enum { TAGS_MOST = 30 };
    const struct farm_state *st = &t->farm->state;
    int n = 0;
    for (int i = 0; i < st->spawn_count; i++) { /* in the order of their injections */
        struct told row = {{0}, 0, 0, 0, OUTCOME_ANSWERED};
        for (int k = 0; k < t->told_count && row.outcome == OUTCOME_ANSWERED; k++)
            if (t->told[k].key.subject == st->spawns[i].number &&
                t->told[k].key.kind == newest->key.kind &&
                t->told[k].key.stage == newest->key.stage && t->told[k].told_s == newest->told_s &&
                asks_ok(t, &t->told[k], r))
                row = t->told[k];
        if (row.outcome == OUTCOME_ANSWERED)
            continue;
        turn_told(t, row.key, row.person, row.hour_s, OUTCOME_ANSWERED);
        if (tags->n <= TAGS_MOST)
            buf_putf(tags, "%sF%d", n ? "+" : "", st->spawns[i].tag);
        else if (tags->p[tags->n - 1] != '.')
            buf_puts(tags, "...");
        n++;
    }
    return n;
}

void turn_do_ok(struct turn *t, const struct request *r) {
    const struct told *newest = NULL;
    for (int i = 0; i < t->told_count; i++) {
        const struct told *row = &t->told[i];
        if (asks_ok(t, row, r) &&
            (!newest || row->told_s > newest->told_s ||
             (row->told_s == newest->told_s && ok_rank(row) > ok_rank(newest))))
            newest = row;
    }
    if (!newest) {
        if (request_has(r, SLOT_TAG) && turn_gasped(t, r->tag))
            TURN_SAY(t, NOTED_OK_GASP, V_TAG(r->tag));
        else
            TURN_SAY(t, NOTED_OK_PLAIN);
        return;
    }
    const struct told row = *newest;
    struct buf tags = buf_make_in(t->arena, 80);
    bool eggs = row.key.kind == TASK_FRAMES || row.key.kind == TASK_LIFT;
    if (task_subject(row.key.kind) == SUBJECT_SPAWN && ok_together(t, r, &row, &tags) > 1) {
        struct reply_value all = V_TEXT(buf_slice(&tags));
        if (eggs)
            TURN_SAY(t, NOTED_OK_FRAMES_ALL, all);
        else if (row.key.kind == TASK_FOOD)
            TURN_SAY(t, NOTED_OK_FOOD_ALL, all);
        else
            TURN_SAY(t, NOTED_OK_BOTH, all);
        return;
    }
    turn_told(t, row.key, row.person, row.hour_s, OUTCOME_ANSWERED);
    if (row.key.kind == TASK_OXYGEN) {
        TURN_SAY(t, NOTED_OK_OXYGEN, V_TAG(turn_pond_tag((int)row.key.subject)));
        return;
    }
    const struct spawn *s = farm_spawn(&t->farm->state, row.key.subject);
    if (eggs)
        TURN_SAY(t, NOTED_OK_FRAMES, V_TAG(turn_tag(s)));
    else if (row.key.kind == TASK_FOOD)
        TURN_SAY(t, NOTED_OK_FOOD, V_TAG(turn_tag(s)));
    else
        TURN_SAY(t, NOTED_OK, V_TAG(turn_tag(s)));
}
