/* due: the text of each task that has come due. In: a task, or several that are told together, the
 * stage of its wording and the person; out: a text. Which tasks come, when and to whom is the
 * plan's and told's. Numbers are trade's. */
#include "trade/book.h"
#include "trade/larvae.h"
#include "turn/inside.h"

enum { DAY_S = 86400 };

/* -- a female and her eggs -----------------------------------------------------------------------
 */

/* "F3+F4": those looked at together, and whoever stands in the same tank with the first. */
static struct slice together(struct turn *t, const struct task *const *group, int n) {
    struct buf b = buf_make_in(t->arena, 60);
    const struct farm_state *st = &t->farm->state;
    const struct spawn *first = farm_spawn(st, group[0]->key.subject);
    int put = 0;
    for (int i = 0; i < st->spawn_count && put < DUE_TOGETHER_MAX; i++) {
        const struct spawn *s = &st->spawns[i];
        bool named = first->tank && s->tank == first->tank && spawn_phase(s) == PHASE_FISH &&
                     spawn_open(s, t->now_s);
        for (int k = 0; k < n; k++)
            named |= group[k]->key.subject == s->number;
        if (named)
            buf_putf(&b, "%sF%d", put++ ? "+" : "", s->tag);
    }
    return put > 1 ? buf_slice(&b) : (struct slice){0};
}

/* "F3+F4": whose tasks they are. */
static struct slice tags_of(struct turn *t, const struct task *const *group, int n) {
    struct buf b = buf_make_in(t->arena, 8 * DUE_SPAWNS_MAX);
    for (int i = 0; i < n; i++)
        buf_putf(&b, "%sF%d", i ? "+" : "",
                 farm_spawn(&t->farm->state, group[i]->key.subject)->tag);
    return buf_slice(&b);
}

static int64_t earliest(const struct task *const *group, int n) {
    int64_t hour_s = group[0]->hour_s;
    for (int i = 1; i < n; i++)
        hour_s = group[i]->hour_s < hour_s ? group[i]->hour_s : hour_s;
    return hour_s;
}

/* Eggs on roots or in a net, not on frames. */
static bool loose(const struct spawn *s) {
    return s->layer == LAYER_PLANTS || s->layer == LAYER_NET;
}

static struct reply look(struct turn *t, const struct task *const *group, int n) {
    const struct task *task = group[0];
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    struct reply_value tag = V_TAG(turn_tag(s));
    struct slice tags = together(t, group, n);
    if (task->key.kind == TASK_READY) {
        struct water_series w = spawn_water(s);
        struct reply_value at = V_CLOCK(earliest(group, n));
        bool tap = t->farm->state.source == SOURCE_TAP;
        if (tags.n)
            return (struct reply){tap ? REPLY_DUE_READY_BOTH_TAP : REPLY_DUE_READY_BOTH,
                                  {V_TEXT(tags), at}};
        if (tap)
            return (struct reply){REPLY_DUE_READY_TAP,
                                  {tag, at, V_WATER(w.readings[w.count - 1].mdegc)}};
        return (struct reply){REPLY_DUE_READY, {tag, at, V_WATER(w.readings[w.count - 1].mdegc)}};
    }
    if (tags.n)
        return (struct reply){REPLY_DUE_LOOK_BOTH, {V_TEXT(tags)}};
    return (struct reply){task->key.nth ? REPLY_DUE_LOOK_NEXT : REPLY_DUE_LOOK, {tag}};
}

/* -- larvae --------------------------------------------------------------------------------------
 */

static struct reply larvae(struct turn *t, const struct task *task, const struct spawn *s) {
    struct reply_value tag = V_TAG(turn_tag(s));
    struct reply_value day = V_NUMBER(spawn_larvae_days(s, t->zone, task->hour_s));
    struct larvae_range left = turn_larvae(s, t->now_s);
    switch (task->key.kind) {
    case TASK_HATCH:
        return (struct reply){REPLY_DUE_HATCH, {tag}};
    case TASK_FOOD:
        return (struct reply){task->key.nth ? REPLY_DUE_FOOD_LAST : REPLY_DUE_FOOD, {tag}};
    case TASK_CARE:
        return (struct reply){task->key.nth < (int)book_number(BOOK_DRYFOOD_DAYS)
                                  ? REPLY_DUE_CARE
                                  : REPLY_DUE_CARE_DRY,
                              {tag, day}};
    case TASK_DRYFOOD:
        return (struct reply){REPLY_DUE_DRYFOOD, {tag, day}};
    case TASK_BIG:
        return (struct reply){REPLY_DUE_BIG, {tag, day}};
    case TASK_NURSERY:
        if (task->key.nth)
            return (struct reply){REPLY_DUE_NURSERY_LATE, {tag}};
        if (s->counted_s && task->hour_s - s->counted_s <= DAY_S) /* as good as just counted */
            return (struct reply){REPLY_DUE_NURSERY_COUNTED,
                                  {tag, V_NUMBER(turn_two_figures(left.middle))}};
        return (struct reply){
            s->hatched_s || s->counted_s ? REPLY_DUE_NURSERY : REPLY_DUE_NURSERY_BOOK,
            {tag, V_NUMBER(turn_two_figures(left.middle)), V_NUMBER(turn_two_figures(left.low)),
             V_NUMBER(turn_two_figures(left.high))}};
    default: /* TASK_POND */
        return (struct reply){
            REPLY_DUE_POND,
            {tag, V_DATE(plan_larvae_day(s, t->zone, (int)book_number(BOOK_TWO_WEEKS_DAYS)))}};
    }
}

/* -- several spawns ------------------------------------------------------------------------------
 */

static struct reply first(struct turn *t, const struct task *const *group, int n, int person);

/* The wording for several spawns; REPLY_COUNT: there is none, each is told alone. */
static enum reply_id for_spawns(enum reply_id one) {
    static const enum reply_id ids[][2] = {
        {REPLY_DUE_LIFT, REPLY_DUE_LIFT_ALL},
        {REPLY_DUE_LIFT_LOOSE, REPLY_DUE_LIFT_LOOSE_ALL},
        {REPLY_DUE_FRAMES, REPLY_DUE_FRAMES_ALL},
        {REPLY_DUE_FRAMES_LOOSE, REPLY_DUE_FRAMES_LOOSE_ALL},
        {REPLY_DUE_FOOD, REPLY_DUE_FOOD_ALL},
        {REPLY_DUE_CARE, REPLY_DUE_CARE_ALL},
        {REPLY_DUE_CARE_DRY, REPLY_DUE_CARE_DRY_ALL},
        {REPLY_DUE_DRYFOOD, REPLY_DUE_DRYFOOD_ALL},
        {REPLY_DUE_BIG, REPLY_DUE_BIG_ALL},
        {REPLY_DUE_POND, REPLY_DUE_POND_SEVERAL},
    };
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++)
        if (ids[i][0] == one)
            return ids[i][1];
    return REPLY_COUNT;
}

/* The same words for both, of larvae of one age. */
static bool same_words(struct turn *t, const struct task *a, const struct task *b) {
    if (a->key.kind != b->key.kind || task_subject(a->key.kind) != SUBJECT_SPAWN)
        return false;
    bool aged = a->key.kind == TASK_CARE || a->key.kind == TASK_DRYFOOD || a->key.kind == TASK_BIG;
    const struct spawn *x = farm_spawn(&t->farm->state, a->key.subject);
    const struct spawn *y = farm_spawn(&t->farm->state, b->key.subject);
    enum reply_id id = first(t, &a, 1, 0).id;
    return id == first(t, &b, 1, 0).id && for_spawns(id) != REPLY_COUNT &&
           (!aged ||
            spawn_larvae_days(x, t->zone, a->hour_s) == spawn_larvae_days(y, t->zone, b->hour_s));
}

bool turn_due_spawns(struct turn *t, const struct task *const *group, int n,
                     const struct task *more) {
    const struct task *all[DUE_SPAWNS_MAX];
    if (n >= DUE_SPAWNS_MAX || !same_words(t, group[0], more))
        return false;
    for (int i = 0; i < n; i++)
        all[i] = group[i];
    all[n] = more;
    return tags_of(t, all, n + 1).n <= DUE_TAGS_MOST;
}

/* The hour named is that of the first of them: nobody is late who keeps it. */
static struct reply of_spawns(struct turn *t, const struct task *const *group, int n,
                              const struct reply *one) {
    struct reply r = *one;
    r.id = for_spawns(one->id);
    r.values[0] = V_TEXT(tags_of(t, group, n));
    if (group[0]->key.kind == TASK_LIFT || group[0]->key.kind == TASK_FRAMES)
        r.values[1] = V_WHEN(earliest(group, n));
    return r;
}

/* -- unanswered ----------------------------------------------------------------------------------
 */

static struct reply unanswered(struct turn *t, const struct task *task, enum task_stage stage,
                               int64_t heard_s) {
    static const enum reply_id ids[][STAGE_MISSED + 1] = {
        [TASK_LOOK] = {[STAGE_AGAIN] = REPLY_DUE_LOOK_AGAIN,
                       [STAGE_OWNER] = REPLY_OWNER_LOOK,
                       [STAGE_ADVISER] = REPLY_ADVISER_LOOK,
                       [STAGE_MISSED] = REPLY_MISSED_LOOK},
        [TASK_FRAMES] = {[STAGE_AGAIN] = REPLY_DUE_FRAMES_AGAIN,
                         [STAGE_OWNER] = REPLY_OWNER_FRAMES,
                         [STAGE_ADVISER] = REPLY_ADVISER_FRAMES,
                         [STAGE_MISSED] = REPLY_MISSED_FRAMES},
        [TASK_FOOD] = {[STAGE_AGAIN] = REPLY_DUE_FOOD_AGAIN,
                       [STAGE_OWNER] = REPLY_OWNER_FOOD,
                       [STAGE_ADVISER] = REPLY_ADVISER_FOOD,
                       [STAGE_MISSED] = REPLY_MISSED_FOOD},
        [TASK_OXYGEN] = {[STAGE_AGAIN] = REPLY_DUE_OXYGEN_AGAIN,
                         [STAGE_OWNER] = REPLY_OWNER_OXYGEN,
                         [STAGE_ADVISER] = REPLY_ADVISER_OXYGEN,
                         [STAGE_MISSED] = REPLY_MISSED_OXYGEN},
    };
    bool of_pond = task->key.kind == TASK_OXYGEN;
    struct reply_value tag =
        V_TAG(of_pond ? turn_pond_tag((int)task->key.subject)
                      : turn_tag(farm_spawn(&t->farm->state, task->key.subject)));
    struct reply_value hour = V_WHEN(task->hour_s);
    enum reply_id id = ids[task->key.kind][stage];
    if (stage == STAGE_OWNER)
        return (struct reply){id, {tag, hour, V_WHEN(heard_s)}};
    if (stage == STAGE_ADVISER)
        return (struct reply){id, {V_TEXT(t->farm_name), tag, hour}};
    return (struct reply){id, {tag, hour}};
}

static struct reply phone_off(struct turn *t, const struct task *task) {
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    struct slice phone = SLICE("?");
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].id == task->hand)
            phone = t->people[i].phone;
    return (struct reply){REPLY_PHONE_OFF,
                          {V_TAG(turn_tag(s)), V_WHEN(task->hour_s), V_TEXT(phone)}};
}

/* -- all -----------------------------------------------------------------------------------------
 */

static struct reply of_one(struct turn *t, const struct task *const *group, int n, int person) {
    const struct task *task = group[0];
    const struct spawn *s = farm_spawn(&t->farm->state, task->key.subject);
    switch (task->key.kind) {
    case TASK_WATER:
        if (n > 1 && !s->tank)
            return (struct reply){REPLY_DUE_WATER_ALL,
                                  {V_TEXT(together(t, group, n)), V_WHEN(earliest(group, n))}};
        if (n > 1)
            return (struct reply){REPLY_DUE_WATER_TANK,
                                  {V_TAG(turn_tank_tag(s->tank)), V_WHEN(earliest(group, n))}};
        if (!task->hour_s)
            return (struct reply){REPLY_ASK_WATER, {V_TAG(turn_tag(s))}};
        return (struct reply){REPLY_DUE_WATER, {V_TAG(turn_tag(s)), V_WHEN(task->hour_s)}};
    case TASK_READY:
    case TASK_LOOK:
        return look(t, group, n);
    case TASK_BLIND:
        return (struct reply){REPLY_DUE_LOOK_BLIND, {V_TAG(turn_tag(s))}};
    case TASK_WHITE:
        if (task->key.nth == WHITE_MISSED)
            return (struct reply){REPLY_MISSED_WHITE, {V_TAG(turn_tag(s)), V_WHEN(task->hour_s)}};
        return (struct reply){REPLY_DUE_WHITE, {V_TAG(turn_tag(s))}};
    case TASK_LIFT:
        return (struct reply){loose(s) ? REPLY_DUE_LIFT_LOOSE : REPLY_DUE_LIFT,
                              {V_TAG(turn_tag(s)), V_WHEN(task->hour_s)}};
    case TASK_FRAMES:
        return (struct reply){loose(s) ? REPLY_DUE_FRAMES_LOOSE : REPLY_DUE_FRAMES,
                              {V_TAG(turn_tag(s)), V_WHEN(task->hour_s)}};
    case TASK_AIR:
        return turn_air_advice(t, true);
    case TASK_SOURCE:
        return (struct reply){REPLY_DUE_SOURCE, {{0}}};
    default:
        return task_subject(task->key.kind) == SUBJECT_SPAWN ? larvae(t, task, s)
                                                             : turn_due_pond(t, group, n, person);
    }
}

static struct reply first(struct turn *t, const struct task *const *group, int n, int person) {
    const struct reply one = of_one(t, group, n, person);
    return n > 1 && for_spawns(one.id) != REPLY_COUNT ? of_spawns(t, group, n, &one) : one;
}

struct slice turn_due_line(struct turn *t, const struct task *const *group, int n, int person) {
    const struct reply r = first(t, group, n, person);
    return turn_render(t, person, &r);
}

/* Routine of one morning: a line each, as many as fit two parts, one for what has the same words;
 * in the morning's list where there is one. */
static struct slice routine(struct turn *t, const struct task *const *group, int n, int person) {
    struct slice lines[DUE_PONDS_MAX];
    bool done[DUE_PONDS_MAX] = {false};
    int count = 0;
    if (group[0]->key.kind == TASK_SUNDAY)
        return turn_sunday_text(t, person);
    if (group[n - 1]->key.kind == TASK_MORNING)
        return turn_morning_text(t, group, n - 1, person);
    for (int i = 0; i < n; i++) {
        const struct task *alike[DUE_SPAWNS_MAX] = {group[i]};
        int k = 1;
        for (int j = i + 1; j < n && !done[i]; j++)
            if (!done[j] && turn_due_spawns(t, alike, k, group[j])) {
                alike[k++] = group[j];
                done[j] = true;
            }
        if (done[i])
            continue;
        lines[count++] = turn_due_line(t, alike, k, person);
    }
    return turn_lines(t, person, lines, count);
}

struct slice turn_due_text(struct turn *t, const struct task *const *group, int n,
                           enum task_stage stage, int person, int64_t heard_s) {
    if (group[0]->level == LEVEL_ROUTINE)
        return routine(t, group, n, person);
    struct reply r;
    struct slice order;
    if (turn_due_order(t, group[0], person, &order))
        return order;
    if (stage == STAGE_OFF)
        r = phone_off(t, group[0]);
    else if (stage >= STAGE_AGAIN)
        r = unanswered(t, group[0], stage, heard_s);
    else
        r = first(t, group, n, person);
    return turn_render(t, person, &r);
}
