/* degrees: a number of degrees and nothing else, in an evening when the water of several females
 * was asked for: two reminders leave no question open, so it is asked whose water it is. In: a
 * request; out: one question. Nothing is recorded. Limits: females in the hatchery's water; one of
 * a tank of her own is named by her tag. */
#include "turn/inside.h"

#include "trade/book.h"

enum { HOURS = 12, HOUR_S = 3600 };

/* Her water was asked of this phone since, and nobody has said it. */
static bool waits(const struct turn *t, const struct spawn *s) {
    const struct water_series water = spawn_water(s);
    int64_t person = t->people[t->sender].id;
    int64_t asked_s = 0;
    for (int i = 0; i < t->told_count; i++)
        if (t->told[i].key.kind == TASK_WATER && t->told[i].key.subject == s->number &&
            t->told[i].person == person && t->told[i].told_s > asked_s)
            asked_s = t->told[i].told_s;
    return asked_s && t->now_s - asked_s <= (int64_t)HOURS * HOUR_S && s->follows &&
           spawn_open(s, t->now_s) && spawn_phase(s) == PHASE_FISH &&
           (!water.count || water.readings[water.count - 1].at_s < asked_s);
}

/* The degrees of a text that says no more than them. */
static bool degrees(const struct request *r, int64_t *mdegc) {
    if (r->kind == REQUEST_NONE && r->has == SLOT_BIT(SLOT_COUNT))
        *mdegc = r->count_milli;
    else if (r->kind == REQUEST_NONE && r->has == SLOT_BIT(SLOT_WATER))
        *mdegc = r->water_mdegc;
    else
        return false;
    return *mdegc >= (int64_t)(book_number(BOOK_WATER_LEAST) * 1000) &&
           *mdegc <= (int64_t)(book_number(BOOK_WATER_MOST) * 1000);
}

bool turn_judge_degrees(struct turn *t, const struct request *r) {
    const struct farm_state *st = &t->farm->state;
    struct buf tags = buf_make_in(t->arena, 60);
    struct tag last = {0};
    int64_t mdegc;
    int n = 0;
    if (!degrees(r, &mdegc))
        return false;
    for (int i = 0; i < st->spawn_count && n < 8; i++)
        if (waits(t, &st->spawns[i])) {
            last = turn_tag(&st->spawns[i]);
            buf_putf(&tags, "%sF%d", n++ ? "+" : "", last.number);
        }
    if (n < 2)
        return false;
    const struct request temp = {
        .kind = REQUEST_TEMP, .has = SLOT_BIT(SLOT_WATER), .water_mdegc = mdegc};
    TURN_ASK(t, &temp, SLOT_TAG, ASK_WATER_WHICH, V_WATER(mdegc), V_TEXT(buf_slice(&tags)),
             V_TAG(last));
    return true;
}
