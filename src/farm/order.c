/* order: the fold of orders and of planned spawns. In: an entry about one; out: the state.
 * ERR_NOMEM only. What comes of a plan is known by its females: whoever is injected near its
 * evening was injected for it, and nobody has to say so. */
#include "farm/inside.h"

enum { DAY_S = 86400 };

struct order *farm_order(const struct farm_state *state, int64_t number) {
    for (int i = state->order_count - 1; i >= 0; i--)
        if (state->orders[i].number == number)
            return &state->orders[i];
    return NULL;
}

struct spawn_plan *farm_spawn_plan(const struct farm_state *state, int64_t number) {
    for (int i = state->plan_count - 1; i >= 0; i--)
        if (state->plans[i].number == number)
            return &state->plans[i];
    return NULL;
}

int64_t order_left(const struct order *o) {
    return o->count > o->delivered ? o->count - o->delivered : 0;
}

static bool within(int64_t at_s, int64_t from_s, int days) {
    return at_s <= from_s + days * (int64_t)DAY_S;
}

bool order_open(const struct order *o, int64_t at_s) {
    return !o->off_s && !o->done_s && order_left(o) > 0 && within(at_s, o->day_s, ORDER_OPEN_DAYS);
}

bool spawn_plan_open(const struct farm_state *state, const struct spawn_plan *p, int64_t at_s) {
    const struct order *o = p->order ? farm_order(state, p->order) : NULL;
    bool wanted = !p->order || (o && order_open(o, at_s));
    return wanted && !p->off_s && !p->spawn && within(at_s, p->inject_s, PLAN_OPEN_DAYS);
}

/* -- orders --------------------------------------------------------------------------------------
 */

static enum err ordered(struct farm_state *state, const struct entry *n, struct arena *arena) {
    void *array = state->orders;
    enum err e =
        state_room(&array, state->order_count, &state->order_room, sizeof *state->orders, arena);
    if (e)
        return e;
    state->orders = array;
    struct order *o = &state->orders[state->order_count++];
    *o = (struct order){.number = n->subject,
                        .count = n->value[0],
                        .mean_mg = n->value[1],
                        .day_s = n->value[2],
                        .buyer = n->value[3],
                        .promised = n->value[4],
                        .ordered_s = n->at_s,
                        .promised_s = n->at_s};
    hands_put(&o->hands, n);
    return ERR_OK;
}

static void changed(struct order *o, const struct entry *n) {
    if (n->value[0])
        o->count = n->value[0];
    if (n->value[1])
        o->mean_mg = n->value[1];
    if (n->value[2])
        o->day_s = n->value[2];
    if (n->value[3])
        o->buyer = n->value[3];
    o->promised = n->value[4];
    o->promised_s = n->at_s;
    o->done_s = 0; /* whoever changes it wants it */
}

enum err farm_step_order(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct order *o = farm_order(state, n->subject);
    if (!o)
        return n->kind == ENTRY_ORDERED ? ordered(state, n, arena) : ERR_OK;
    if (n->kind != ENTRY_DELIVERED) /* who sells is not the one who took it */
        hands_put(&o->hands, n);
    switch (n->kind) {
    case ENTRY_ORDERED: /* the number is used once */
        break;
    case ENTRY_ORDER_CHANGED:
        if (!o->off_s)
            changed(o, n);
        break;
    case ENTRY_ORDER_OFF:
        if (!o->off_s)
            o->off_s = n->at_s;
        break;
    case ENTRY_DELIVERED: /* also of one that was called off: the fish went to him */
        o->delivered += n->value[0];
        o->delivered_s = n->at_s;
        if (n->value[1])
            o->done_s = n->at_s;
        break;
    default:
        return ERR_BUG;
    }
    return ERR_OK;
}

/* -- plans ---------------------------------------------------------------------------------------
 */

static enum err planned(struct farm_state *state, struct spawn_plan *p, const struct entry *n,
                        struct arena *arena) {
    if (!p) {
        void *array = state->plans;
        enum err e =
            state_room(&array, state->plan_count, &state->plan_room, sizeof *state->plans, arena);
        if (e)
            return e;
        state->plans = array;
        p = &state->plans[state->plan_count++];
        *p = (struct spawn_plan){.number = n->subject};
    }
    struct hands hands = p->hands; /* all else is anew */
    *p = (struct spawn_plan){.number = n->subject,
                             .inject_s = n->value[0],
                             .order = n->value[1],
                             .fish = n->value[2],
                             .size_mg = n->value[3],
                             .day_s = n->value[4],
                             .planned_s = n->at_s,
                             .hands = hands};
    hands_put(&p->hands, n);
    return ERR_OK;
}

/* More than the most of a plan are not kept: nobody strips more in a night. */
static void with_female(struct spawn_plan *p, const struct entry *n) {
    for (int i = 0; i < p->female_count; i++)
        if (p->females[i].female == n->value[0]) {
            p->females[i].spare = n->value[1] != 0;
            return;
        }
    if (p->female_count < PLAN_FEMALES_MAX)
        p->females[p->female_count++] =
            (struct planned_female){.female = n->value[0], .spare = n->value[1] != 0};
}

static void with_pond(struct spawn_plan *p, const struct entry *n) {
    for (int i = 0; i < p->pond_count; i++)
        if (p->ponds[i] == n->value[0])
            return;
    if (p->pond_count < PLAN_PONDS_MAX)
        p->ponds[p->pond_count++] = (int)n->value[0];
}

enum err farm_step_plan(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct spawn_plan *p = farm_spawn_plan(state, n->subject);
    if (p && (p->spawn || p->off_s)) /* what was injected for it stays what it was */
        return ERR_OK;
    if (n->kind == ENTRY_PLANNED)
        return planned(state, p, n, arena);
    if (!p)
        return ERR_OK;
    hands_put(&p->hands, n);
    switch (n->kind) {
    case ENTRY_PLAN_FEMALE:
        with_female(p, n);
        break;
    case ENTRY_PLAN_POND:
        with_pond(p, n);
        break;
    case ENTRY_PLAN_OFF:
        p->off_s = n->at_s;
        break;
    default:
        return ERR_BUG;
    }
    return ERR_OK;
}

static int64_t apart_s(int64_t a_s, int64_t b_s) {
    return a_s > b_s ? a_s - b_s : b_s - a_s;
}

/* Her place in a plan that waits for her at that instant; NULL: she is not of it. */
static struct planned_female *waiting(struct spawn_plan *p, const struct spawn *s) {
    if (p->off_s || apart_s(p->inject_s, s->injected_s) > PLAN_NEAR_DAYS * (int64_t)DAY_S)
        return NULL;
    for (int i = 0; i < p->female_count; i++)
        if (p->females[i].female == s->female && !p->females[i].spawn)
            return &p->females[i];
    return NULL;
}

/* Of two plans that name her the nearer evening counts, of two equally near the first. */
void spawn_plan_link(struct farm_state *state, const struct spawn *s) {
    struct spawn_plan *nearest = NULL;
    for (int i = 0; i < state->plan_count; i++) {
        struct spawn_plan *p = &state->plans[i];
        if (waiting(p, s) && (!nearest || apart_s(p->inject_s, s->injected_s) <
                                              apart_s(nearest->inject_s, s->injected_s)))
            nearest = p;
    }
    if (!nearest)
        return;
    waiting(nearest, s)->spawn = s->number;
    if (!nearest->spawn)
        nearest->spawn = s->number;
}
