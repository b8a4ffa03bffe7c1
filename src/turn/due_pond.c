/* due_pond: the text of a pond's task, or of the same task on several ponds. In: tasks that are
 * told together, all of one kind and wording; out: a reply. Numbers are trade's.
 *
 * Sixty ponds made ready for one day are one text, not sixty: it names the ponds, as many as fit,
 * and says how many more TODAY lists. */
#include "trade/book.h"
#include "trade/lime.h"
#include "trade/nursery.h"
#include "turn/inside.h"

enum { KG_MG = 1000000, LIST_MOST = 44, MORE_ROOM = 20, AMOUNTS_MOST = 4 };

/* Kilograms, up to whole ones. */
static int64_t kilograms(int64_t mg) {
    return (mg + KG_MG - 1) / KG_MG;
}

static struct reply lime(const struct turn *t, const struct pond *pond, struct reply_value tag) {
    struct lime_dose dose = lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2);
    if (!pond->soil_ph_milli || !pond->soil || !pond->area_cm2)
        return (struct reply){REPLY_DUE_LIME_ASK, {tag}};
    if (dose.reason != LIME_OK)
        return (struct reply){
            dose.reason == LIME_TOO_ACID ? REPLY_DUE_LIME_ADVISER : REPLY_DUE_LIME_NONE, {tag}};
    if (plan_prep_form(pond, t->zone) != PREP_LONG)
        return (struct reply){REPLY_DUE_LIME_SHORT, {tag, V_NUMBER(kilograms(dose.carbonate_mg))}};
    return (struct reply){REPLY_DUE_LIME,
                          {tag, V_NUMBER(kilograms(dose.carbonate_mg)),
                           V_NUMBER(kilograms(lime_as(LIME_HYDRATED, dose.carbonate_mg)))}};
}

static struct reply preparing(const struct turn *t, const struct pond *pond, int step) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number)), ready = V_DATE(pond->ready_s);
    switch (step) {
    case PREP_DRY:
        return (struct reply){pond->cycle ? REPLY_DUE_DRY_FISH : REPLY_DUE_DRY, {tag, ready}};
    case PREP_LIME:
        return lime(t, pond, tag);
    case PREP_MANURE:
        if (!pond->area_cm2)
            return (struct reply){REPLY_DUE_MANURE_ASK, {tag}};
        return (struct reply){REPLY_DUE_MANURE,
                              {tag, V_NUMBER(kilograms(nursery_manure_hen_mg(pond->area_cm2))),
                               V_NUMBER(kilograms(nursery_manure_cow_mg(pond->area_cm2)))}};
    case PREP_FILL:
        return (struct reply){REPLY_DUE_FILL, {tag, ready}};
    case PREP_UNFILLED:
        return (struct reply){REPLY_MISSED_FILL,
                              {tag, V_DATE(plan_prep_day(pond, t->zone, PREP_FILL))}};
    case PREP_MISSED + PREP_DRY:
        return (struct reply){REPLY_MISSED_DRY,
                              {tag, V_DATE(plan_prep_day(pond, t->zone, PREP_DRY))}};
    case PREP_MISSED + PREP_LIME:
        return (struct reply){REPLY_MISSED_LIME,
                              {tag, V_DATE(plan_prep_day(pond, t->zone, PREP_LIME))}};
    case PREP_MISSED + PREP_MANURE:
        return (struct reply){REPLY_MISSED_MANURE,
                              {tag, V_DATE(plan_prep_day(pond, t->zone, PREP_MANURE))}};
    default:
        return (struct reply){REPLY_DUE_PH, {tag, ready}};
    }
}

/* No fry where they would die: lime that burns and no pH read, or nobody said that it is full. */
static struct reply stocking(const struct pond *pond, const struct task *task) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    if (task->key.nth == STOCK_MISSED)
        return (struct reply){REPLY_MISSED_STOCK, {tag, V_DATE(task->hour_s)}};
    if (plan_prep_ph(pond))
        return (struct reply){REPLY_DUE_STOCK_PH, {tag}};
    return (struct reply){
        plan_prep_past(pond, PREP_FILL) ? REPLY_DUE_STOCK : REPLY_DUE_STOCK_UNFILLED, {tag}};
}

static struct reply of_one_pond(const struct turn *t, const struct pond *pond,
                                const struct task *task) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    switch (task->key.kind) {
    case TASK_STOCK:
        return stocking(pond, task);
    case TASK_NO_FRY:
        return (struct reply){
            REPLY_NO_FRY, {tag, V_TAG(((struct tag){'f', farm_spawn_tag(t->farm, pond->spawn)}))}};
    case TASK_OXYGEN:
        return (struct reply){REPLY_DUE_OXYGEN, {tag, V_WHEN(task->hour_s)}};
    case TASK_DAWN:
        return (struct reply){REPLY_DUE_DAWN, {tag}};
    case TASK_CATCH:
        if (task->key.nth == CATCH_MISSED)
            return (struct reply){REPLY_MISSED_CATCH, {tag, V_DATE(pond->catch_s)}};
        return (struct reply){REPLY_DUE_CATCH, {tag, V_DATE(pond->catch_s)}};
    default:
        return preparing(t, pond, task->key.nth);
    }
}

static struct reply of_pond(struct turn *t, const struct task *task) {
    const struct farm_state *st = &t->farm->state;
    if (task_subject(task->key.kind) == SUBJECT_POND)
        return of_one_pond(t, farm_pond(st, task->key.subject), task);
    const struct cycle *c = farm_cycle(st, task->key.subject);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    struct reply_value days = V_NUMBER(zone_days_between(t->zone, c->stocked_s, task->hour_s));
    if (task->key.kind == TASK_SORT && task->key.nth > SORT_MISSED)
        return (struct reply){REPLY_MISSED_SORT, {tag, V_DATE(task->hour_s)}};
    if (task->key.kind == TASK_SORT)
        return (struct reply){REPLY_DUE_SORT, {tag, days}};
    if (task->key.kind == TASK_SAMPLE)
        return (struct reply){REPLY_DUE_SAMPLE, {tag, days}};
    return (struct reply){REPLY_DUE_HARVEST, {tag, days}};
}

/* -- several -------------------------------------------------------------------------------------
 */

/* The wording for several ponds; REPLY_COUNT: there is none, each is told alone. */
static enum reply_id for_several(enum reply_id one) {
    static const enum reply_id ids[][2] = {
        {REPLY_DUE_DRY, REPLY_DUE_DRY_ALL},
        {REPLY_DUE_LIME, REPLY_DUE_LIME_ALL},
        {REPLY_DUE_LIME_SHORT, REPLY_DUE_LIME_ALL},
        {REPLY_DUE_LIME_ASK, REPLY_DUE_LIME_ASK_ALL},
        {REPLY_DUE_LIME_NONE, REPLY_DUE_LIME_NONE_ALL},
        {REPLY_DUE_MANURE, REPLY_DUE_MANURE_ALL},
        {REPLY_DUE_MANURE_ASK, REPLY_DUE_MANURE_ARE_ALL},
        {REPLY_DUE_FILL, REPLY_DUE_FILL_ALL},
        {REPLY_MISSED_DRY, REPLY_MISSED_DRY_ALL},
        {REPLY_MISSED_LIME, REPLY_MISSED_LIME_ALL},
        {REPLY_MISSED_MANURE, REPLY_MISSED_MANURE_ALL},
        {REPLY_MISSED_FILL, REPLY_MISSED_FILL_ALL},
        {REPLY_MISSED_SORT, REPLY_MISSED_SORT_ALL},
        {REPLY_DUE_STOCK_UNFILLED, REPLY_DUE_STOCK_UNFILLED_ALL},
        {REPLY_DUE_PH, REPLY_DUE_PH_ALL},
        {REPLY_DUE_STOCK, REPLY_DUE_STOCK_ALL},
        {REPLY_DUE_SORT, REPLY_DUE_SORT_ALL},
        {REPLY_DUE_HARVEST, REPLY_DUE_HARVEST_ALL},
    };
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++)
        if (ids[i][0] == one)
            return ids[i][1];
    return REPLY_COUNT;
}

bool turn_due_alike(struct turn *t, const struct task *a, const struct task *b) {
    enum subject_kind of = task_subject(a->key.kind);
    if ((of != SUBJECT_POND && of != SUBJECT_CYCLE) || a->key.kind != b->key.kind)
        return false;
    enum reply_id id = of_pond(t, a).id;
    return id == of_pond(t, b).id && for_several(id) != REPLY_COUNT;
}

/* Lime has its amount by each pond's soil, and amounts are never left out of the list. */
int turn_due_most(struct turn *t, const struct task *task, int most) {
    enum reply_id id = for_several(of_pond(t, task).id);
    return id == REPLY_DUE_LIME_ALL ? AMOUNTS_MOST : most;
}

/* "P4", with the kilograms where each pond has its own: lime, manure of hens. */
static void put_pond(const struct turn *t, const struct task *task, enum reply_id id,
                     struct buf *out) {
    const struct farm_state *st = &t->farm->state;
    if (task_subject(task->key.kind) == SUBJECT_CYCLE) {
        buf_putf(out, "P%d", farm_cycle(st, task->key.subject)->pond);
        return;
    }
    const struct pond *pond = farm_pond(st, task->key.subject);
    int64_t mg =
        id == REPLY_DUE_MANURE_ALL ? nursery_manure_hen_mg(pond->area_cm2)
        : id == REPLY_DUE_LIME_ALL
            ? lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2).carbonate_mg
            : 0;
    buf_putf(out, "P%d", pond->number);
    if (mg)
        buf_putf(out, " %lldkg", (long long)kilograms(mg));
}

/* As many as fit, then how many more there are. */
static struct slice list(struct turn *t, const struct task *const *group, int n, enum reply_id id,
                         int person) {
    const char *between = id == REPLY_DUE_LIME_ALL || id == REPLY_DUE_MANURE_ALL ? ", " : " ";
    struct buf all = buf_make_in(t->arena, REPLY_BYTES_MAX);
    size_t fits = 0;
    int put = 0;
    for (int i = 0; i < n; i++) {
        buf_puts(&all, i ? between : "");
        put_pond(t, group[i], id, &all);
        if (all.n <= LIST_MOST - MORE_ROOM) {
            fits = all.n;
            put = i + 1;
        }
    }
    if (all.n <= LIST_MOST)
        return buf_slice(&all);
    const struct reply more = {REPLY_PONDS_MORE,
                               {V_TEXT(slice_head(buf_slice(&all), fits)), V_NUMBER(n - put)}};
    return turn_render(t, person, &more);
}

struct reply turn_due_pond(struct turn *t, const struct task *const *group, int n, int person) {
    const struct reply one = of_pond(t, group[0]);
    enum reply_id id = for_several(one.id);
    if (n == 1 || id == REPLY_COUNT)
        return one;
    if (id == REPLY_DUE_MANURE_ALL && n > AMOUNTS_MOST) /* how much for an are serves all of them */
        id = REPLY_DUE_MANURE_ARE_ALL;
    return (struct reply){id, {V_TEXT(list(t, group, n, id, person))}};
}
