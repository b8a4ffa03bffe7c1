/* feed: the fold of feed and readings: what was given to ponds and left by them, what came into the
 * store, what its measures hold, the farm's own table, and what was measured in water. In: entries;
 * out: the state. ERR_NOMEM only. */
#include "farm/inside.h"

/* -- the store -----------------------------------------------------------------------------------
 */

struct feed *farm_feed(const struct farm_state *state, int64_t feed) {
    for (int i = 0; i < state->feed_count; i++)
        if (state->feeds[i].feed == feed)
            return &state->feeds[i];
    return NULL;
}

int64_t feed_left_mg(const struct feed *f) {
    int64_t left_mg = f->counted_mg + f->bought_mg - f->given_mg;
    return left_mg > 0 ? left_mg : 0;
}

/* The feed, made if it is not there; NULL: no memory. */
static struct feed *feed_made(struct farm_state *state, int64_t feed, struct arena *arena) {
    struct feed *f = farm_feed(state, feed);
    if (f)
        return f;
    void *array = state->feeds;
    if (state_room(&array, state->feed_count, &state->feed_room, sizeof *f, arena))
        return NULL;
    state->feeds = array;
    f = &state->feeds[state->feed_count++];
    *f = (struct feed){.feed = feed};
    return f;
}

enum err feed_given(struct farm_state *state, struct pond *pond, const struct entry *n,
                    struct arena *arena) {
    void *array = pond->given;
    enum err e =
        state_room(&array, pond->given_count, &pond->given_room, sizeof *pond->given, arena);
    if (e)
        return e;
    pond->given = array;
    pond->given[pond->given_count++] =
        (struct given){.at_s = n->at_s, .feed_mg = n->value[0], .feed = n->value[1]};
    struct feed *f = feed_made(state, n->value[1], arena);
    if (!f)
        return ERR_NOMEM;
    f->given_mg += n->value[0];
    f->used_s = n->at_s;
    return ERR_OK;
}

enum err feed_left(struct pond *pond, int64_t at_s, struct arena *arena) {
    void *array = pond->left_s;
    enum err e =
        state_room(&array, pond->left_count, &pond->left_room, sizeof *pond->left_s, arena);
    if (e)
        return e;
    pond->left_s = array;
    pond->left_s[pond->left_count++] = at_s;
    return ERR_OK;
}

/* -- measures and the table ----------------------------------------------------------------------
 */

const struct measure_size *farm_measure(const struct farm_state *state, enum measure_kind measure,
                                        int64_t feed) {
    const struct measure_size *any = NULL;
    for (int i = 0; i < state->measure_count; i++) {
        const struct measure_size *m = &state->measures[i];
        if (m->measure != measure)
            continue;
        if (m->feed == feed)
            return m;
        if (!m->feed)
            any = m;
    }
    return any;
}

static enum err measure_put(struct farm_state *state, const struct entry *n, struct arena *arena) {
    const struct measure_size size = {
        .measure = (enum measure_kind)n->value[0], .feed = n->value[2], .weight_mg = n->value[1]};
    for (int i = 0; i < state->measure_count; i++)
        if (state->measures[i].measure == size.measure && state->measures[i].feed == size.feed) {
            state->measures[i] = size;
            return ERR_OK;
        }
    void *array = state->measures;
    enum err e = state_room(&array, state->measure_count, &state->measure_room,
                            sizeof *state->measures, arena);
    if (e)
        return e;
    state->measures = array;
    state->measures[state->measure_count++] = size;
    return ERR_OK;
}

/* Points come in any order and are kept by weight; a weight said twice has its last share. */
static void table_put(struct farm_state *state, const struct entry *n) {
    if (n->value[2] || !n->value[0])
        state->table_count = 0;
    if (!n->value[0])
        return;
    const struct table_point point = {n->value[0], n->value[1]};
    int at = 0;
    while (at < state->table_count && state->table[at].weight_mg < point.weight_mg)
        at++;
    if (at < state->table_count && state->table[at].weight_mg == point.weight_mg) {
        state->table[at] = point;
        return;
    }
    if (state->table_count == TABLE_MAX)
        return;
    for (int i = state->table_count++; i > at; i--)
        state->table[i] = state->table[i - 1];
    state->table[at] = point;
}

enum err farm_step_feed(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct feed *f;
    switch (n->kind) {
    case ENTRY_MEASURE:
        return measure_put(state, n, arena);
    case ENTRY_TABLE:
        table_put(state, n);
        return ERR_OK;
    case ENTRY_HEIGHT:
        state->height_m = n->value[0];
        return ERR_OK;
    case ENTRY_BOUGHT:
        f = feed_made(state, n->value[1], arena);
        if (!f)
            return ERR_NOMEM;
        f->bought_mg += n->value[0];
        f->used_s = n->at_s;
        return ERR_OK;
    case ENTRY_STORE:
        f = feed_made(state, n->value[1], arena);
        if (!f)
            return ERR_NOMEM;
        f->counted_s = n->at_s;
        f->counted_mg = n->value[0];
        f->bought_mg = f->given_mg = 0;
        return ERR_OK;
    default:
        return ERR_BUG;
    }
}

/* -- readings ------------------------------------------------------------------------------------
 */

enum err measured_put(struct measured *last, struct measured_log *oxygen, const struct entry *n,
                      struct arena *arena) {
    const struct measured reading = {.at_s = n->at_s, .value = n->value[1]};
    last[n->value[0]] = reading;
    if (n->value[0] != READING_OXYGEN || !oxygen)
        return ERR_OK;
    if (oxygen->count && oxygen->all[oxygen->count - 1].at_s == n->at_s) {
        oxygen->all[oxygen->count - 1] = reading; /* at one instant the later said wins */
        return ERR_OK;
    }
    void *array = oxygen->all;
    enum err e = state_room(&array, oxygen->count, &oxygen->room, sizeof *oxygen->all, arena);
    if (e)
        return e;
    oxygen->all = array;
    oxygen->all[oxygen->count++] = reading;
    return ERR_OK;
}
