/* state: the fold of a farm, one entry at a time: hands each entry to the file of its subject, and
 * the digest of it all. In: entries in the order of what happened; out: the state. ERR_NOMEM (the
 * arena's cap), ERR_BUG (an undo, which belongs to the pass before). */
#include "farm/state.h"

#include "farm/inside.h"

enum err state_room(void **array, int count, int *have, size_t size, struct arena *arena) {
    if (count < *have)
        return ERR_OK;
    int more = *have ? *have * 2 : 4;
    void *p = arena_grow(arena, *array, (size_t)count, (size_t)more, size);
    if (!p)
        return ERR_NOMEM;
    *array = p;
    *have = more;
    return ERR_OK;
}

static void first(struct hands *hands, int64_t person) {
    int64_t moved = person;
    for (int i = 0; i < HANDS_MAX && person; i++) {
        int64_t was = hands->who[i];
        hands->who[i] = moved;
        if (was == person || !was)
            break;
        moved = was;
    }
}

void hands_put(struct hands *hands, const struct entry *n) {
    first(hands, n->person);
}

struct spawn *farm_spawn(const struct farm_state *state, int64_t number) {
    for (int i = state->spawn_count - 1; i >= 0; i--)
        if (state->spawns[i].number == number)
            return &state->spawns[i];
    return NULL;
}

struct tank *farm_tank(const struct farm_state *state, int64_t number) {
    for (int i = 0; i < state->tank_count; i++)
        if (state->tanks[i].number == number)
            return &state->tanks[i];
    return NULL;
}

struct tank *state_tank(struct farm_state *state, int64_t number, struct arena *arena) {
    struct tank *tank = farm_tank(state, number);
    if (tank)
        return tank;
    void *array = state->tanks;
    if (state_room(&array, state->tank_count, &state->tank_room, sizeof *tank, arena))
        return NULL;
    state->tanks = array;
    tank = &state->tanks[state->tank_count++];
    *tank = (struct tank){.number = (int)number};
    return tank;
}

enum err farm_step(struct farm_state *state, const struct entry *n, struct arena *arena) {
    state->last_at_s = n->at_s;
    state->last_seq = n->seq;
    if (n->kind == ENTRY_UNDO)
        return ERR_BUG;
    if (n->kind == ENTRY_INJECTED)
        return farm_step_injected(state, n, arena);
    if (farm_is_money(n->kind))
        return farm_step_money(state, n, arena);
    switch (n->subject_kind) {
    case SUBJECT_HATCHERY:
        return farm_step_hatchery(state, n, arena);
    case SUBJECT_SPAWN:
        return farm_step_spawn(state, n, arena);
    case SUBJECT_BROOD:
        return farm_step_brood(state, n, arena);
    case SUBJECT_TANK:
        return farm_step_tank(state, n, arena);
    case SUBJECT_POND:
        return farm_step_pond(state, n, arena);
    case SUBJECT_CYCLE:
        return farm_step_cycle(state, n, arena);
    case SUBJECT_ORDER:
        return farm_step_order(state, n, arena);
    case SUBJECT_PLAN:
        return farm_step_plan(state, n, arena);
    case SUBJECT_KIND_END:
        break;
    }
    return ERR_BUG;
}

/* -- digest --------------------------------------------------------------------------------------
 */

static uint64_t mix(uint64_t h, int64_t v) {
    char bytes[8];
    for (int i = 0; i < 8; i++)
        bytes[i] = (char)(unsigned char)((uint64_t)v >> (8 * i));
    return slice_hash((struct slice){bytes, sizeof bytes}, h);
}

#define MIX(h, ...)                                                                                \
    mix_all((h), (const int64_t[]){__VA_ARGS__}, sizeof((const int64_t[]){__VA_ARGS__}) / 8)

static uint64_t mix_all(uint64_t h, const int64_t *values, size_t count) {
    for (size_t i = 0; i < count; i++)
        h = mix(h, values[i]);
    return h;
}

static uint64_t mix_log(uint64_t h, const struct water_log *log) {
    h = mix(h, log->count);
    for (int i = 0; i < log->count; i++)
        h = MIX(h, log->readings[i].at_s, log->readings[i].mdegc);
    return h;
}

static uint64_t mix_brood(uint64_t h, const struct brood *b) {
    return MIX(h, b->id, b->sex, b->tag, b->weight_mg, b->weighed_s, b->since_s, b->pond, b->born_s,
               b->origin, b->died_s, b->spent_s);
}

static uint64_t mix_spawn(uint64_t h, const struct spawn *s) {
    h = MIX(h, s->number, s->female, s->tag, s->weight_mg, s->injected_s, s->hormone, s->male_count,
            s->tank, s->follows, s->own_s, s->waits, s->waited_s, s->no_eggs_s, s->stripped_s,
            s->eggs_mg, s->layer, s->bowl, s->bowl_with, s->white, s->white_of, s->white_s,
            s->frames_s, s->spoilt_s, s->hatched_s, s->hatched, s->hatch_how, s->larvae_s, s->fed_s,
            s->graded_s, s->died, s->counted_s, s->counted, s->taken, s->gone_s, s->reported_s,
            s->closed_s);
    h = mix_all(h, s->hands.who, HANDS_MAX);
    for (int i = 0; i < s->male_count; i++)
        h = MIX(h, s->male[i], s->male_use[i]);
    h = mix(h, s->event_count);
    for (int i = 0; i < s->event_count; i++)
        h = MIX(h, s->events[i].at_s, s->events[i].what, s->events[i].count, s->events[i].guessed);
    return mix_log(h, &s->water);
}

static uint64_t mix_measured(uint64_t h, const struct measured *all, int count) {
    h = mix(h, count);
    for (int i = 0; i < count; i++)
        h = MIX(h, all[i].at_s, all[i].value);
    return h;
}

static uint64_t mix_pond(uint64_t h, const struct pond *p) {
    h = MIX(h, p->number, p->area_cm2, p->depth_mm, p->fence, p->soil_ph_milli, p->soil, p->ready_s,
            p->planned_s, p->spawn, p->lime, p->ph_milli, p->ph_s, p->cycle, p->aerator,
            p->gasping_s, p->treated_s, p->catch_s, p->given_count, p->left_count);
    for (int i = 0; i < p->given_count; i++)
        h = MIX(h, p->given[i].at_s, p->given[i].feed_mg, p->given[i].feed);
    h = mix_all(h, p->left_s, (size_t)p->left_count);
    h = mix_measured(mix_log(h, &p->water), p->last, READING_END);
    h = mix_measured(h, p->oxygen.all, p->oxygen.count);
    h = mix_all(h, p->hands.who, HANDS_MAX);
    return mix_all(h, p->done_s, sizeof p->done_s / sizeof p->done_s[0]);
}

static uint64_t mix_cycle(uint64_t h, const struct cycle *c) {
    h = mix_all(h, c->hands.who, HANDS_MAX);
    h = MIX(h, c->stolen, c->length_um, c->big_s, c->big_ug, c->event_count);
    for (int i = 0; i < c->event_count; i++) {
        const struct fish_event *e = &c->events[i];
        h = MIX(h, e->kind, e->at_s, e->count, e->mean_ug, e->error_ug, e->cv_permille, e->least_mg,
                e->largest_mg, e->low, e->high, e->guessed, e->sold);
    }
    return MIX(h, c->number, c->pond, c->stocked_s, c->count, c->mean_ug, c->spawn, c->died,
               c->counted_s, c->counted, c->taken, c->graded_s, c->grades, c->out, c->harvested,
               c->harvested_mg, c->harvested_s, c->caught, c->closed_s, c->net_out);
}

static uint64_t mix_feed(uint64_t h, const struct farm_state *state) {
    h = MIX(h, state->measure_count, state->feed_count, state->table_count, state->height_m);
    for (int i = 0; i < state->measure_count; i++)
        h = MIX(h, state->measures[i].measure, state->measures[i].feed,
                state->measures[i].weight_mg);
    for (int i = 0; i < state->feed_count; i++) {
        const struct feed *f = &state->feeds[i];
        h = MIX(h, f->feed, f->counted_s, f->counted_mg, f->bought_mg, f->given_mg, f->used_s);
    }
    for (int i = 0; i < state->table_count; i++)
        h = MIX(h, state->table[i].weight_mg, state->table[i].share_ppm);
    return h;
}

static uint64_t mix_order(uint64_t h, const struct order *o) {
    h = mix_all(h, o->hands.who, HANDS_MAX);
    return MIX(h, o->number, o->count, o->mean_mg, o->day_s, o->buyer, o->promised, o->ordered_s,
               o->promised_s, o->delivered, o->delivered_s, o->done_s, o->off_s);
}

static uint64_t mix_plan(uint64_t h, const struct spawn_plan *p) {
    h = mix_all(h, p->hands.who, HANDS_MAX);
    h = MIX(h, p->number, p->inject_s, p->order, p->fish, p->size_mg, p->day_s, p->planned_s,
            p->off_s, p->spawn, p->female_count, p->pond_count);
    for (int i = 0; i < p->female_count; i++)
        h = MIX(h, p->females[i].female, p->females[i].spare, p->females[i].spawn);
    for (int i = 0; i < p->pond_count; i++)
        h = mix(h, p->ponds[i]);
    return h;
}

static uint64_t mix_money(uint64_t h, const struct farm_state *state) {
    h = MIX(h, state->currency, state->price_count, state->booking_count, state->move_count);
    for (int i = 0; i < state->move_count; i++) {
        const struct fish_move *m = &state->moves[i];
        h = MIX(h, m->at_s, m->spawn, m->from, m->to, m->count, m->among);
    }
    for (int i = 0; i < state->price_count; i++) {
        const struct price *p = &state->prices[i];
        h = MIX(h, p->thing, p->party, p->at_s, p->minor, p->per, p->measure);
    }
    for (int i = 0; i < state->booking_count; i++) {
        const struct booking *b = &state->bookings[i];
        h = MIX(h, b->kind, b->at_s, b->of, b->subject, b->minor, b->party, b->feed, b->weight_mg,
                b->count, b->paid);
    }
    return h;
}

static uint64_t mix_orders(uint64_t h, const struct farm_state *state) {
    h = MIX(h, state->order_count, state->plan_count);
    for (int i = 0; i < state->order_count; i++)
        h = mix_order(h, &state->orders[i]);
    for (int i = 0; i < state->plan_count; i++)
        h = mix_plan(h, &state->plans[i]);
    return h;
}

uint64_t farm_digest(const struct farm_state *state) {
    uint64_t h = mix_log(SLICE_HASH_SEED, &state->water);
    h = MIX(h, state->source, state->air_off_s, state->air_person, state->brood_count,
            state->spawn_count, state->tank_count, state->pond_count, state->cycle_count);
    for (int i = 0; i < state->brood_count; i++)
        h = mix_brood(h, &state->brood[i]);
    for (int i = 0; i < state->spawn_count; i++)
        h = mix_spawn(h, &state->spawns[i]);
    for (int i = 0; i < state->tank_count; i++)
        h = mix_measured(mix_log(MIX(h, state->tanks[i].number, state->tanks[i].volume_ml),
                                 &state->tanks[i].water),
                         state->tanks[i].last, READING_END);
    for (int i = 0; i < state->pond_count; i++)
        h = mix_pond(h, &state->ponds[i]);
    for (int i = 0; i < state->cycle_count; i++)
        h = mix_cycle(h, &state->cycles[i]);
    return mix_money(mix_orders(mix_feed(h, state), state), state);
}
