/* views: what the host's page shows. In: ids and an instant; out: plain structs in the caller's
 * arena. Farms are planned as if nothing had been told, so that what was told and not acted on is
 * still a task; what was told is laid beside it. ERR_NOT_FOUND: the caller named what is not there;
 * a farm that cannot be read is no error but says so, that it may not hide the others.
 *
 * Limits: those of the header. A farm that is not in memory is read from its ledger's beginning
 * (reading and folding take about 1.5 microseconds an entry, measured), so a slice of farms ends
 * when READ_ENTRIES were read, within 5 ms; one farm with more takes as long as its next text
 * would. Must not be called inside a round. The round's arena is left alone: what it handed out may
 * still be looked at. */
#include "desk/views.h"

#include "desk/inside.h"

enum { READ_ENTRIES = 3000, MINUTE_S = 60, HOUR_S = 3600 };

_Static_assert((int)DESK_VIEW_TEXTS_MAX == (int)STORE_SLICE_MAX,
               "one slice of the store is one of the page");
_Static_assert((int)DESK_VIEW_FARMS_MAX <= (int)STORE_SLICE_MAX,
               "a slice of farms is one of the store");
_Static_assert((int)DESK_VIEW_TASKS_MAX == (int)PLAN_MOST, "all tasks that are planned are shown");

/* -- names --------------------------------------------------------------------------------------
 */

static const char *role_name(enum store_role role) {
    static const char *const names[] = {"", "owner", "worker", "adviser", "watcher"};
    return names[role >= STORE_OWNER && role <= STORE_WATCHER ? role : 0];
}

static const char *kind_name(enum task_kind kind) {
    static const char *const names[TASK_KIND_END] = {
        [TASK_NONE] = "",           [TASK_WATER] = "water",      [TASK_READY] = "ready",
        [TASK_LOOK] = "look",       [TASK_WHITE] = "white",      [TASK_LIFT] = "lift",
        [TASK_FRAMES] = "frames",   [TASK_HATCH] = "hatch",      [TASK_FOOD] = "food",
        [TASK_CARE] = "care",       [TASK_DRYFOOD] = "dry-food", [TASK_BIG] = "big",
        [TASK_NURSERY] = "nursery", [TASK_POND] = "pond",        [TASK_PREP] = "prepare",
        [TASK_STOCK] = "stock",     [TASK_SORT] = "grade",       [TASK_HARVEST] = "harvest",
        [TASK_AIR] = "air",         [TASK_SOURCE] = "source",    [TASK_BLIND] = "look",
        [TASK_OXYGEN] = "oxygen",   [TASK_SAMPLE] = "sample",    [TASK_DAWN] = "dawn",
        [TASK_CATCH] = "catch",     [TASK_NO_FRY] = "no-fry",    [TASK_INJECT] = "inject",
        [TASK_ORDER] = "order",     [TASK_ORDER_DAY] = "order",  [TASK_MORNING] = "morning",
        [TASK_SUNDAY] = "sunday",
    };
    return names[kind < TASK_KIND_END ? kind : 0];
}

static const char *level_name(int64_t level) {
    static const char *const names[] = {"alarm", "answer", "step", "routine"};
    return level >= LEVEL_ALARM && level <= LEVEL_ROUTINE ? names[level] : "";
}

static const char *fate_name(const struct store_text *t) {
    static const char *const came[] = {"", "read", "aside", "strange", "limited", "ignored"};
    if (!t->out)
        return came[t->fate >= STORE_READ && t->fate <= STORE_IGNORED ? t->fate : 0];
    if (t->receipt == STORE_RECEIPT_DELIVERED)
        return "delivered";
    if (t->sent == STORE_NEVER)
        return "never";
    if (t->sent == STORE_EXPIRED)
        return "expired";
    if (t->sent != STORE_DONE)
        return "waiting";
    return t->receipt == STORE_RECEIPT_FAILED ? "failed" : "sent";
}

/* -- a farm in memory ---------------------------------------------------------------------------
 */

/* Errors that are not about this farm: the next one would meet them, too. */
static bool disk_fails(enum err e) {
    return e == ERR_FULL || e == ERR_READONLY || e == ERR_IO || e == ERR_BUSY;
}

static bool in_memory(const struct desk *d, int64_t farm) {
    for (int i = 0; i < CACHE_FARMS; i++)
        if (d->cache[i].id == farm)
            return true;
    return false;
}

/* The farm, folded up to its last entry, and its zone. What is read on the way must not stay in the
 * round's arena: only the next round empties that one. */
static enum err get_farm(struct desk *d, const struct store_farm *row, struct cached_farm **out,
                         const struct zone **zone) {
    enum { ROW_BYTES = 64 * 1024 };
    struct arena of_round = d->arena;
    d->arena = arena_make(ROW_BYTES);
    enum err e = cache_get(d, row->id, out);
    if (!e && farm_head(&(*out)->farm) != row->head) { /* somebody else appended meanwhile */
        cache_drop(d, row->id);
        e = cache_get(d, row->id, out);
    }
    if (!e)
        e = desk_zone(d, (*out)->zone, zone);
    arena_free(&d->arena);
    d->arena = of_round;
    return e;
}

/* -- tasks --------------------------------------------------------------------------------------
 */

/* The farm's tasks as if nothing had been told: what is left is what nobody acted on. An alarm's
 * missed stage stands for it once its last useful hour has passed. Each piece of work once. */
static int open_tasks(const struct farm_state *state, const struct zone *zone, int64_t now_s,
                      struct task *out) {
    const struct plan_view view = {.zone = zone, .now_s = now_s};
    int count = farm_plan(state, &view, out, PLAN_MOST), kept = 0;
    for (int i = 0; i < count; i++) {
        struct task task = out[i];
        bool known = false;
        for (int j = 0; j < kept && !known; j++)
            known = plan_same_work(out[j].key, task.key);
        if (task.key.stage == STAGE_MISSED)
            task.due_s = task.hour_s;
        if (!known && task.due_s <= now_s + (int64_t)DESK_VIEW_AHEAD_H * HOUR_S)
            out[kept++] = task;
    }
    return kept;
}

static bool is_late(const struct task *task, int64_t now_s) {
    int64_t hour_s = task->hour_s ? task->hour_s : task->due_s;
    return now_s - hour_s >= DESK_VIEW_LATE_MIN * MINUTE_S;
}

/* The best outcome of a task's own texts, over persons and stages; NULL: none was written. */
static const struct store_told *best_told(const struct store_told *told, int count,
                                          struct task_key key) {
    static const int rank[] = {[STORE_FAILED] = 0,
                               [STORE_WAITING] = 1,
                               [STORE_SENT] = 2,
                               [STORE_DELIVERED] = 3,
                               [STORE_ANSWERED] = 4};
    const struct store_told *best = NULL;
    for (int i = 0; i < count; i++)
        if (told[i].task_kind == (int64_t)key.kind && told[i].subject == key.subject &&
            told[i].nth == key.nth && told[i].stage >= STAGE_FIRST &&
            (!best || rank[told[i].outcome] > rank[best->outcome]))
            best = &told[i];
    return best;
}

static const char *told_name(const struct store_told *told) {
    static const char *const names[] = {[STORE_WAITING] = "waiting",
                                        [STORE_SENT] = "sent",
                                        [STORE_DELIVERED] = "delivered",
                                        [STORE_FAILED] = "failed",
                                        [STORE_ANSWERED] = "answered"};
    return told ? names[told->outcome] : "";
}

/* -- one farm -----------------------------------------------------------------------------------
 */

static enum err show_people(struct desk *d, struct arena *a, struct desk_view_farm *out) {
    struct store_member *rows;
    int count;
    enum err e = store_members(d->o.store, out->id, a, &rows, &count);
    if (e)
        return e;
    count = count < DESK_VIEW_PEOPLE_MAX ? count : DESK_VIEW_PEOPLE_MAX;
    out->people = ARENA_ARRAY(a, (size_t)count + 1, struct desk_view_person);
    if (!out->people)
        return ERR_NOMEM;
    for (int i = 0; i < count; i++) {
        const struct store_person *p = &rows[i].person;
        out->people[i] = (struct desk_view_person){p->id, log_phone(p->phone),
                                                   role_name(rows[i].role), p->stopped, p->heard_s};
    }
    out->people_count = count;
    return ERR_OK;
}

static struct desk_view_spawn show_spawn(const struct farm_state *state, const struct spawn *s,
                                         const struct store_told *told, int told_count) {
    static const enum desk_view_stage stages[] = {[PHASE_FISH] = DESK_VIEW_UNSTRIPPED,
                                                  [PHASE_EGGS] = DESK_VIEW_EGGS,
                                                  [PHASE_LARVAE] = DESK_VIEW_LARVAE,
                                                  [PHASE_OVER] = DESK_VIEW_LARVAE};
    const bool eggs = s->stripped_s != 0;
    const struct task_key key = {eggs ? TASK_FRAMES : TASK_LOOK, s->number, eggs ? 0 : s->waits,
                                 STAGE_FIRST};
    struct desk_view_spawn out = {.number = s->number,
                                  .tag = {'F', s->tag},
                                  .stage = stages[spawn_phase(s)],
                                  .injected_s = s->injected_s,
                                  .stripped_s = s->stripped_s};
    if (s->water.count) {
        const struct water_reading *last = &s->water.readings[s->water.count - 1];
        out.water_mdegc = last->mdegc;
        out.water_s = last->at_s;
    }
    bool acted;
    if (!farm_task_hour(state, key, &out.next_s, &acted))
        out.next_s = 0;
    const struct store_told *best = best_told(told, told_count, key);
    out.unanswered = best && best->outcome != STORE_ANSWERED && !s->frames_s;
    return out;
}

static enum err show_spawns(const struct farm_state *state, int64_t now_s,
                            const struct store_told *told, int told_count, struct arena *a,
                            struct desk_view_farm *out) {
    int count = 0;
    for (int i = 0; i < state->spawn_count; i++)
        count += spawn_open(&state->spawns[i], now_s);
    count = count < DESK_VIEW_SPAWNS_MAX ? count : DESK_VIEW_SPAWNS_MAX;
    out->spawns = ARENA_ARRAY(a, (size_t)count + 1, struct desk_view_spawn);
    if (!out->spawns)
        return ERR_NOMEM;
    for (int i = 0; i < state->spawn_count && out->spawn_count < count; i++)
        if (spawn_open(&state->spawns[i], now_s))
            out->spawns[out->spawn_count++] =
                show_spawn(state, &state->spawns[i], told, told_count);
    return ERR_OK;
}

/* F3 of a spawn, P4 of a pond and of what swims in it; none of the hatchery. */
static struct desk_view_tag tag_of_task(const struct farm_state *state, const struct task *t) {
    const struct spawn *s = farm_spawn(state, t->key.subject);
    const struct cycle *c = farm_cycle(state, t->key.subject);
    switch (task_subject(t->key.kind)) {
    case SUBJECT_SPAWN:
        return (struct desk_view_tag){'F', s ? s->tag : 0};
    case SUBJECT_POND:
        return (struct desk_view_tag){'P', (int)t->key.subject};
    case SUBJECT_CYCLE:
        return (struct desk_view_tag){'P', c ? c->pond : 0};
    default:
        return (struct desk_view_tag){0};
    }
}

static enum err show_tasks(const struct farm_state *state, const struct zone *zone, int64_t now_s,
                           const struct store_told *told, int told_count, struct arena *a,
                           struct desk_view_farm *out) {
    struct task tasks[PLAN_MOST];
    int count = open_tasks(state, zone, now_s, tasks);
    out->tasks = ARENA_ARRAY(a, (size_t)count + 1, struct desk_view_task);
    if (!out->tasks)
        return ERR_NOMEM;
    for (int i = 0; i < count; i++) {
        const struct task *t = &tasks[i];
        out->tasks[i] =
            (struct desk_view_task){.kind = kind_name(t->key.kind),
                                    .subject = t->key.subject,
                                    .tag = tag_of_task(state, t),
                                    .due_s = t->due_s,
                                    .hour_s = t->hour_s,
                                    .late = is_late(t, now_s),
                                    .told = told_name(best_told(told, told_count, t->key))};
    }
    out->task_count = count;
    return ERR_OK;
}

enum err desk_view_farm(struct desk *d, int64_t farm, int64_t now_s, struct arena *a,
                        struct desk_view_farm *out) {
    struct store_farm row;
    struct store_told *told;
    struct cached_farm *c;
    const struct zone *zone;
    int told_count;
    *out = (struct desk_view_farm){.id = farm};
    enum err e = store_farm_get(d->o.store, farm, a, &row);
    if (e)
        return e;
    out->name = row.name;
    out->zone = row.zone;
    e = show_people(d, a, out);
    if (!e)
        e = store_told_read(d->o.store, farm, a, &told, &told_count);
    if (e)
        return e;
    e = get_farm(d, &row, &c, &zone);
    if (e) {
        out->unreadable = !disk_fails(e);
        return out->unreadable ? ERR_OK : e;
    }
    e = show_spawns(&c->farm.state, now_s, told, told_count, a, out);
    return e ? e : show_tasks(&c->farm.state, zone, now_s, told, told_count, a, out);
}

/* -- all farms ----------------------------------------------------------------------------------
 */

static enum err show_row(struct desk *d, const struct store_farm *farm, int64_t now_s,
                         struct desk_view_farm_row *out) {
    struct cached_farm *c;
    const struct zone *zone;
    *out = (struct desk_view_farm_row){.id = farm->id, .name = farm->name};
    enum err e = store_waiting_of(d->o.store, farm->id, &out->texts_waiting);
    if (e)
        return e;
    e = get_farm(d, farm, &c, &zone);
    if (e) {
        out->unreadable = !disk_fails(e);
        return out->unreadable ? ERR_OK : e;
    }
    const struct farm_state *state = &c->farm.state;
    struct task tasks[PLAN_MOST];
    int count = open_tasks(state, zone, now_s, tasks);
    for (int i = 0; i < state->spawn_count; i++)
        out->open_spawns += spawn_open(&state->spawns[i], now_s);
    for (int i = 0; i < count; i++)
        out->late_tasks += is_late(&tasks[i], now_s);
    return ERR_OK;
}

enum err desk_view_farms(struct desk *d, int64_t after_id, int limit, int64_t now_s,
                         struct arena *a, struct desk_view_farm_row **out, int *count) {
    struct store_farm *farms;
    int found;
    int64_t entries = 0;
    *out = NULL;
    *count = 0;
    limit = limit < DESK_VIEW_FARMS_MAX ? limit : DESK_VIEW_FARMS_MAX;
    enum err e = store_farms(d->o.store, after_id, limit, a, &farms, &found);
    if (e || !found)
        return e;
    *out = ARENA_ARRAY(a, (size_t)found, struct desk_view_farm_row);
    if (!*out)
        return ERR_NOMEM;
    for (int i = 0; i < found && !e; i++) {
        if (!in_memory(d, farms[i].id))
            entries += farms[i].head;
        if (i && entries > READ_ENTRIES) /* the first one always comes */
            break;
        e = show_row(d, &farms[i], now_s, &(*out)[i]);
        if (!e)
            ++*count;
    }
    return e;
}

/* -- texts --------------------------------------------------------------------------------------
 */

enum err desk_view_conversation(struct desk *d, int64_t farm, int64_t person, int64_t before,
                                int limit, struct arena *a, struct desk_view_text **out,
                                int *count) {
    struct store_text *rows;
    int found;
    *out = NULL;
    *count = 0;
    enum err e = store_texts_of(d->o.store, farm, person, before, limit, a, &rows, &found);
    if (e || !found)
        return e;
    *out = ARENA_ARRAY(a, (size_t)found, struct desk_view_text);
    if (!*out)
        return ERR_NOMEM;
    for (int i = 0; i < found; i++)
        (*out)[i] = (struct desk_view_text){.id = rows[i].id,
                                            .out = rows[i].out,
                                            .at_s = rows[i].at_s,
                                            .person = rows[i].person,
                                            .phone = log_phone(rows[i].phone),
                                            .body = rows[i].body,
                                            .fate = fate_name(&rows[i]),
                                            .tries = rows[i].tries,
                                            .reason = rows[i].reason};
    *count = found;
    return ERR_OK;
}

enum err desk_view_waiting(struct desk *d, int limit, struct arena *a, struct desk_view_wait **out,
                           int *count) {
    struct store_wait *rows;
    int found;
    *out = NULL;
    *count = 0;
    enum err e = store_waiting(d->o.store, limit, a, &rows, &found);
    if (e || !found)
        return e;
    *out = ARENA_ARRAY(a, (size_t)found, struct desk_view_wait);
    if (!*out)
        return ERR_NOMEM;
    for (int i = 0; i < found; i++)
        (*out)[i] = (struct desk_view_wait){.farm = rows[i].farm,
                                            .person = rows[i].person,
                                            .phone = log_phone(rows[i].phone),
                                            .level = level_name(rows[i].level),
                                            .made_s = rows[i].made_s,
                                            .next_s = rows[i].next_s,
                                            .useful_s = rows[i].useful_s,
                                            .tries = rows[i].tries,
                                            .reason = rows[i].reason};
    *count = found;
    return ERR_OK;
}
