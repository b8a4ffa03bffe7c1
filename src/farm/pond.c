/* pond: the fold of ponds, of their preparing, and of what swims in them. In: an entry about a pond
 * or a cycle; out: the state. ERR_NOMEM only. */
#include "farm/growing.h"
#include "farm/inside.h"

#include <string.h>

#include "trade/nursery.h"

struct pond *farm_pond(const struct farm_state *state, int64_t number) {
    for (int i = 0; i < state->pond_count; i++)
        if (state->ponds[i].number == number)
            return &state->ponds[i];
    return NULL;
}

struct cycle *farm_cycle(const struct farm_state *state, int64_t number) {
    for (int i = state->cycle_count - 1; i >= 0; i--)
        if (state->cycles[i].number == number)
            return &state->cycles[i];
    return NULL;
}

/* Of a spawn that was taken back whole nothing is known but that it is not there. */
int64_t pond_no_fry_s(const struct farm_state *state, const struct pond *pond) {
    if (!pond->ready_s || !pond->spawn)
        return 0;
    const struct spawn *s = farm_spawn(state, pond->spawn);
    return s ? spawn_no_fry_s(state, s) : pond->planned_s;
}

/* More taken than were known says that more were there, not that those who come later are fewer. */
int64_t cycle_fish(const struct cycle *c) {
    int64_t fish = 0;
    for (int i = 0; i < c->event_count; i++) {
        const struct fish_event *e = &c->events[i];
        bool end =
            c->closed_s && i == c->event_count - 1; /* who is missing then was there before */
        if (e->kind == FISH_PUT)
            fish += e->count;
        else if (e->kind == FISH_COUNTED && !end)
            fish = e->count;
        else if (e->kind != FISH_SAMPLED && e->kind != FISH_COUNTED)
            fish = fish > e->count ? fish - e->count : 0;
    }
    return fish;
}

int64_t cycle_net(const struct cycle *c) {
    return c->closed_s && c->harvested > c->net_out ? c->harvested - c->net_out : 0;
}

int64_t cycle_caught(const struct cycle *c, int64_t at_s) {
    enum { CAUGHT_DAYS = 2 }; /* our own bound: what is caught to be sold is sold within days */
    bool fresh = c->harvested_s && at_s >= c->harvested_s &&
                 at_s - c->harvested_s <= CAUGHT_DAYS * INT64_C(86400);
    return fresh && !c->closed_s ? c->caught : 0;
}

/* Thought alive in the pond; what is only moved on is no more exact than it is told. */
static int64_t all_fish(const struct farm_state *state, const struct cycle *c,
                        const struct entry *n) {
    struct survival_range fish = growing_fish(state, c, n->at_s);
    bool told = n->kind == ENTRY_STOCKED && fish.low < fish.high;
    return told ? larvae_round(fish.middle) : fish.middle;
}

int64_t farm_taken(const struct farm_state *state, const struct entry *n) {
    bool stocked = n->kind == ENTRY_STOCKED;
    int64_t said = stocked ? n->value[1] : n->value[0];
    bool all = stocked ? (n->value[5] & STOCKED_ALL) != 0 : n->value[2] != 0;
    if (said || !all)
        return said;
    const struct spawn *s = stocked                            ? farm_spawn(state, n->value[3])
                            : n->subject_kind == SUBJECT_SPAWN ? farm_spawn(state, n->subject)
                                                               : NULL;
    const struct cycle *c = stocked ? farm_cycle(state, n->value[4])
                            : s     ? NULL
                                    : farm_cycle(state, n->subject);
    if (n->kind == ENTRY_HARVESTED && c && c->harvested)
        return 0;
    int64_t there = s    ? larvae_round(spawn_larvae(s, n->at_s).middle)
                    : !c ? 0
                    : n->kind == ENTRY_SOLD && c->closed_s ? cycle_net(c)
                                                           : all_fish(state, c, n);
    bool closes = n->kind == ENTRY_SOLD || n->kind == ENTRY_HARVESTED;
    return there > 0 || closes ? there : 1;
}

/* Any entry about a pond makes it known; its area may follow. */
static struct pond *pond_made(struct farm_state *state, int64_t number, struct arena *arena) {
    struct pond *pond = farm_pond(state, number);
    if (pond)
        return pond;
    void *array = state->ponds;
    if (state_room(&array, state->pond_count, &state->pond_room, sizeof *pond, arena))
        return NULL;
    state->ponds = array;
    pond = &state->ponds[state->pond_count++];
    *pond = (struct pond){.number = (int)number};
    return pond;
}

/* A new day to be ready moves a preparing under way. Else it begins one: what was done in the weeks
 * before is part of it, what is older is not. */
static void prepare(struct pond *pond, const struct entry *n) {
    int64_t long_s = nursery_prepare_days(false) * INT64_C(86400);
    bool moves = pond->ready_s && n->at_s <= pond->ready_s + long_s;
    for (int step = PREP_DRY; step <= PREP_FILL && !moves; step++)
        if (pond->done_s[step] < n->at_s - long_s)
            pond->done_s[step] = 0;
    if (!pond->done_s[PREP_LIME])
        pond->lime = 0;
    pond->ready_s = n->value[0];
    pond->spawn = n->value[1];
    pond->planned_s = n->at_s;
}

enum err farm_step_pond(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct pond *pond = pond_made(state, n->subject, arena);
    if (!pond)
        return ERR_NOMEM;
    hands_put(&pond->hands, n);
    switch (n->kind) {
    case ENTRY_POND:
        if (n->value[0])
            pond->area_cm2 = n->value[0];
        if (n->value[1])
            pond->depth_mm = n->value[1];
        if (n->value[2])
            pond->fence = (enum fence)n->value[2];
        break;
    case ENTRY_SOIL:
        if (n->value[0])
            pond->soil_ph_milli = n->value[0];
        if (n->value[1])
            pond->soil = (int)n->value[1];
        break;
    case ENTRY_PREPARE:
        prepare(pond, n);
        break;
    case ENTRY_PREPARED:
        pond->done_s[n->value[0]] = n->at_s;
        if (n->value[0] == PREP_LIME &&
            n->value[1]) /* said again without its kind it is the same */
            pond->lime = (int)n->value[1];
        break;
    case ENTRY_POND_PH:
        pond->ph_milli = n->value[0];
        pond->ph_s = n->at_s;
        break;
    case ENTRY_WATER:
        return water_log_put(&pond->water, n->at_s, n->value[0], arena);
    case ENTRY_READING:
        if (n->value[0] != READING_PH)
            return measured_put(pond->last, &pond->oxygen, n, arena);
        pond->ph_milli = n->value[1]; /* its pH stands at one place, however it was said */
        pond->ph_s = n->at_s;
        break;
    case ENTRY_GIVEN:
        return feed_given(state, pond, n, arena);
    case ENTRY_LEFT:
        return feed_left(pond, n->at_s, arena);
    case ENTRY_GASPING:
        pond->gasping_s = n->at_s;
        break;
    case ENTRY_TREATED:
        pond->treated_s = n->at_s;
        break;
    case ENTRY_CATCH:
        pond->catch_s = n->value[0];
        break;
    case ENTRY_AERATOR:
        pond->aerator = (enum aerator)n->value[0];
        break;
    default:
        return ERR_BUG;
    }
    return ERR_OK;
}

/* -- cycles --------------------------------------------------------------------------------------
 */

enum err fish_put(struct cycle *c, struct fish_event event, struct arena *arena) {
    void *array = c->events;
    enum err e = state_room(&array, c->event_count, &c->event_room, sizeof *c->events, arena);
    if (e)
        return e;
    c->events = array;
    c->events[c->event_count++] = event;
    return ERR_OK;
}

/* None are left, however many were thought to be. */
static enum err emptied(struct farm_state *state, struct cycle *c, int64_t at_s,
                        struct arena *arena) {
    struct pond *pond = farm_pond(state, c->pond);
    c->closed_s = at_s;
    if (pond && pond->cycle == c->number)
        pond->cycle = 0;
    return fish_put(c, (struct fish_event){.kind = FISH_COUNTED, .at_s = at_s}, arena);
}

/* So many are out, weighing mean_ug each where that is known. Big ones are one catch: what else
 * happens at that instant is another. */
static enum err cycle_take(struct farm_state *state, struct cycle *c, const struct entry *n,
                           int64_t count, int64_t mean_ug, bool all, struct arena *arena) {
    bool big = c->big_s && c->big_s == n->at_s;
    struct fish_event event = {.kind = big ? FISH_BIG : FISH_TAKEN,
                               .at_s = n->at_s,
                               .count = count,
                               .mean_ug = mean_ug || !big ? mean_ug : c->big_ug,
                               .guessed = count && !n->value[n->kind == ENTRY_STOCKED ? 1 : 0],
                               .sold = n->kind == ENTRY_SOLD};
    c->big_s = c->big_ug = 0;
    c->taken += count;
    c->out += count;
    enum err e = fish_put(c, event, arena);
    return e || !all ? e : emptied(state, c, n->at_s, arena);
}

/* Each, of a weight in all; 0 where one of the two is not known. */
static int64_t each_ug(int64_t weight_mg, int64_t count) {
    return count > 0 ? weight_mg / count * 1000 + weight_mg % count * 1000 / count : 0;
}

/* Stocking ends the preparing: what was done then is not done for the next time. */
static void stocked_pond(struct pond *pond, const struct entry *n) {
    hands_put(&pond->hands, n);
    if (pond->cycle == n->subject) /* more of the same: what is planned for the next stands */
        return;
    pond->cycle = n->subject;
    pond->ready_s = pond->planned_s = pond->spawn = 0;
    pond->lime = 0;
    pond->ph_milli = pond->ph_s = 0;
    pond->catch_s = pond->gasping_s = 0; /* of the fish that were there before */
    memset(pond->done_s, 0, sizeof pond->done_s);
}

static int64_t mean_of(const struct cycle *c, int64_t count, int64_t mean_ug) {
    int64_t all = c->count + count;
    if (!c->mean_ug || !mean_ug)
        return c->mean_ug ? c->mean_ug : mean_ug;
    /* both at most 1e9 fish of 1e10 ug: weighed as shares, so that nothing overflows */
    double share = (double)count / (double)all;
    return (int64_t)((double)c->mean_ug * (1 - share) + (double)mean_ug * share + 0.5);
}

/* More into a cycle that was emptied, as was said late: those that come are all that is there. */
static void reopen(struct cycle *c) {
    c->counted_s = c->closed_s;
    c->counted = c->died = c->stolen = c->taken = 0;
    c->closed_s = 0;
}

/* The cycle, made if it is not there; NULL: no memory. */
static struct cycle *cycle_made(struct farm_state *state, const struct entry *n,
                                struct arena *arena) {
    struct cycle *c = farm_cycle(state, n->subject);
    if (c)
        return c;
    void *array = state->cycles;
    if (state_room(&array, state->cycle_count, &state->cycle_room, sizeof *c, arena))
        return NULL;
    state->cycles = array;
    c = &state->cycles[state->cycle_count++];
    *c = (struct cycle){
        .number = n->subject, .pond = (int)n->value[0], .stocked_s = n->at_s, .spawn = n->value[3]};
    return c;
}

static int64_t moved_before(const struct farm_state *state, int64_t spawn, int64_t from) {
    int64_t count = 0;
    for (int i = 0; i < state->move_count; i++)
        if (state->moves[i].spawn == spawn && state->moves[i].from == from)
            count += state->moves[i].count;
    return count;
}

/* They take with them what they cost: by how many they are of those who shared it until then. */
static enum err moved_note(struct farm_state *state, const struct spawn *s,
                           const struct cycle *from, const struct cycle *to, const struct entry *n,
                           int64_t count, struct arena *arena) {
    struct fish_move m = {.at_s = n->at_s,
                          .spawn = s ? s->number : 0,
                          .from = from ? from->number : 0,
                          .to = to->number,
                          .count = count};
    int64_t out = from ? from->out : 0;
    for (int i = 0; s && i < s->event_count; i++)
        out += s->events[i].what == LARVAE_TAKEN ? s->events[i].count : 0;
    m.among = out - moved_before(state, m.spawn, m.from);
    if (s && !s->closed_s)
        m.among += spawn_larvae(s, n->at_s).middle;
    if (from && !from->closed_s)
        m.among += growing_fish(state, from, n->at_s).middle;
    if (m.among < count)
        m.among = count;
    void *array = state->moves;
    enum err e = state_room(&array, state->move_count, &state->move_room, sizeof m, arena);
    if (e)
        return e;
    state->moves = array;
    state->moves[state->move_count++] = m;
    return ERR_OK;
}

/* Out of what they came from: all that is left there, when that was said or so many were taken. */
static enum err take_from(struct farm_state *state, const struct cycle *to, const struct entry *n,
                          int64_t count, struct arena *arena) {
    struct spawn *s = n->value[3] ? farm_spawn(state, n->value[3]) : NULL;
    struct cycle *from = n->value[4] ? farm_cycle(state, n->value[4]) : NULL;
    bool all = (n->value[5] & STOCKED_ALL) != 0;
    enum err e = ERR_OK;
    bool of_spawn = s && !s->closed_s && s->stripped_s;
    bool of_pond = from && from != to && !from->closed_s;
    if (of_spawn)
        e = spawn_take(s, count, !n->value[1], all || count >= spawn_larvae(s, n->at_s).high,
                       n->at_s, arena);
    if (!e && of_pond)
        e = cycle_take(state, from, n, count, n->value[5] & STOCKED_RECKONED ? 0 : n->value[2],
                       all || count >= growing_fish(state, from, n->at_s).high, arena);
    if (!e && of_pond)
        e = moved_note(state, NULL, from, to, n, count, arena);
    else if (!e && of_spawn)
        e = moved_note(state, s, NULL, to, n, count, arena);
    return e;
}

/* What those weigh that come, and how surely: fish that nobody weighed what the others weigh where
 * they come from, so that a sample of before counts, whenever it was said. */
static void come_as_reckoned(const struct farm_state *state, const struct entry *n,
                             struct fish_event *e) {
    const struct cycle *from = n->value[4] ? farm_cycle(state, n->value[4]) : NULL;
    if (!from || !(n->value[5] & STOCKED_RECKONED))
        return;
    struct growing g = growing_of(state, from, n->at_s);
    if (g.reason != GROWTH_OK)
        return;
    e->mean_ug = g.weight_mg.middle * 1000;
    e->error_ug = growth_error_mg(g.weight_mg) * 1000;
}

/* All of a pond or a spawn, which nobody counted as they went: no better known than they were
 * there. */
static void come_as_thought(const struct farm_state *state, const struct entry *n,
                            struct fish_event *e) {
    const struct cycle *from = n->value[4] ? farm_cycle(state, n->value[4]) : NULL;
    const struct spawn *s = n->value[3] ? farm_spawn(state, n->value[3]) : NULL;
    if ((!from && !s) || n->value[1] || !(n->value[5] & STOCKED_ALL))
        return;
    struct survival_range fish = {0, 0, 0};
    if (s) {
        struct larvae_range larvae = spawn_larvae(s, n->at_s);
        fish = (struct survival_range){larvae.low, larvae.middle, larvae.high};
    } else {
        fish = growing_fish(state, from, n->at_s);
    }
    e->low = fish.low < e->count ? fish.low : e->count;
    e->high = fish.high > e->count ? fish.high : e->count;
}

static enum err stocked(struct farm_state *state, const struct entry *n, struct arena *arena) {
    int64_t count = farm_taken(state, n);
    struct fish_event come = {.kind = FISH_PUT,
                              .at_s = n->at_s,
                              .count = count,
                              .mean_ug = n->value[2],
                              .guessed = !n->value[1]};
    come_as_reckoned(state, n, &come);
    come_as_thought(state, n, &come);
    struct cycle *c = cycle_made(state, n, arena);
    if (!c)
        return ERR_NOMEM;
    struct pond *pond = pond_made(state, c->pond, arena); /* more goes where the first went */
    if (!pond)
        return ERR_NOMEM;
    if (c->closed_s)
        reopen(c);
    c->mean_ug = mean_of(c, count, come.mean_ug);
    c->count += count;
    if (c->counted_s)
        c->counted += count;
    enum err e = fish_put(c, come, arena);
    if (e)
        return e;
    stocked_pond(pond, n);
    if (n->at_s == c->stocked_s)
        c->hands = pond->hands;
    else
        hands_put(&c->hands, n);
    return take_from(state, c, n, count, arena);
}

static enum err harvested(struct farm_state *state, struct cycle *c, const struct entry *n,
                          struct arena *arena) {
    int64_t count = farm_taken(state, n);
    c->caught = cycle_caught(c, n->at_s) + count;
    c->harvested += count;
    c->harvested_mg += n->value[1];
    c->harvested_s = n->at_s;
    return cycle_take(state, c, n, count, each_ug(n->value[1], count), n->value[2] != 0, arena);
}

static enum err sampled(struct cycle *c, const struct entry *n, struct arena *arena) {
    if (n->value[4])
        c->length_um = n->value[4];
    return fish_put(c,
                    (struct fish_event){.kind = FISH_SAMPLED,
                                        .at_s = n->at_s,
                                        .count = n->value[0],
                                        .mean_ug = n->value[1],
                                        .error_ug = n->value[2],
                                        .cv_permille = n->value[3],
                                        .least_mg = n->value[5],
                                        .largest_mg = n->value[6]},
                    arena);
}

/* Dead or stolen: gone, and not out. */
static enum err lost(struct cycle *c, const struct entry *n, struct arena *arena) {
    if (n->kind == ENTRY_DIED)
        c->died += n->value[0];
    else
        c->stolen += n->value[0];
    const struct fish_event event = {.kind = n->kind == ENTRY_DIED ? FISH_DIED : FISH_TAKEN,
                                     .at_s = n->at_s,
                                     .count = n->value[0]};
    return fish_put(c, event, arena);
}

/* Fish of a pond that is empty wait in a net, if any were harvested: its own numbers stand. */
static void of_net(const struct farm_state *state, struct cycle *c, const struct entry *n) {
    int64_t count = n->kind == ENTRY_SOLD ? farm_taken(state, n) : n->value[0];
    bool last = n->kind == ENTRY_SOLD && n->value[2] != 0;
    if (n->kind == ENTRY_SOLD || n->kind == ENTRY_DIED)
        c->net_out += last && cycle_net(c) > count ? cycle_net(c) : count;
}

enum err farm_step_cycle(struct farm_state *state, const struct entry *n, struct arena *arena) {
    if (n->kind == ENTRY_STOCKED)
        return stocked(state, n, arena);
    struct cycle *c = farm_cycle(state, n->subject);
    if (!c || n->at_s < c->stocked_s)
        return ERR_OK;
    if (c->closed_s) {
        of_net(state, c, n);
        return ERR_OK;
    }
    int64_t count;
    if (n->kind != ENTRY_SOLD) /* who sells is not the hand at the pond */
        hands_put(&c->hands, n);
    switch (n->kind) {
    case ENTRY_GRADED:
        c->graded_s = n->at_s;
        c->grades++;
        return n->value[0] ? cycle_take(state, c, n, n->value[0], 0, false, arena) : ERR_OK;
    case ENTRY_DIED:
    case ENTRY_STOLEN:
        return lost(c, n, arena);
    case ENTRY_COUNTED:
        c->counted_s = n->at_s;
        c->counted = n->value[0];
        c->died = c->taken = c->stolen = 0;
        return fish_put(
            c, (struct fish_event){.kind = FISH_COUNTED, .at_s = n->at_s, .count = n->value[0]},
            arena);
    case ENTRY_SAMPLED:
        return sampled(c, n, arena);
    case ENTRY_BIG:
        c->big_s = n->at_s;
        c->big_ug = each_ug(n->value[1], n->value[0]);
        return ERR_OK;
    case ENTRY_SOLD:
        count = farm_taken(state, n);
        if (!n->value[2] && count <= cycle_caught(c, n->at_s)) {
            c->caught -= count;
            c->net_out += count;
            return ERR_OK;
        }
        return cycle_take(state, c, n, count, each_ug(n->value[1], count), n->value[2] != 0, arena);
    case ENTRY_HARVESTED:
        return harvested(state, c, n, arena);
    default:
        return ERR_BUG;
    }
}
