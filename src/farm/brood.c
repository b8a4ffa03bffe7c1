/* brood: the fold of brood fish. In: an entry about one; out: the state. ERR_NOMEM only. A fish is
 * made by the first entry with its id; its tag is free for another once it has died. */
#include "farm/inside.h"

struct brood *farm_brood(const struct farm_state *state, int64_t id) {
    for (int i = 0; i < state->brood_count; i++)
        if (state->brood[i].id == id)
            return &state->brood[i];
    return NULL;
}

const struct brood *farm_brood_tag(const struct farm_state *state, enum sex sex, int tag) {
    for (int i = state->brood_count - 1; i >= 0; i--)
        if (state->brood[i].sex == sex && state->brood[i].tag == tag)
            return &state->brood[i];
    return NULL;
}

static struct brood *made(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct brood *fish = farm_brood(state, n->subject);
    if (fish || n->kind != ENTRY_BROOD)
        return fish;
    void *array = state->brood;
    if (state_room(&array, state->brood_count, &state->brood_room, sizeof *fish, arena))
        return NULL;
    state->brood = array;
    fish = &state->brood[state->brood_count++];
    *fish = (struct brood){.id = n->subject,
                           .sex = (enum sex)n->value[0],
                           .tag = (int)n->value[1],
                           .since_s = n->at_s};
    return fish;
}

/* A female that dies before she is stripped takes her spawn with her. */
static void died(struct farm_state *state, struct brood *fish, int64_t at_s) {
    fish->died_s = at_s;
    for (int i = state->spawn_count - 1; i >= 0; i--) {
        struct spawn *s = &state->spawns[i];
        if (s->female == fish->id && spawn_phase(s) == PHASE_FISH)
            s->closed_s = at_s;
    }
}

enum err farm_step_brood(struct farm_state *state, const struct entry *n, struct arena *arena) {
    struct brood *fish = made(state, n, arena);
    if (!fish)
        return n->kind == ENTRY_BROOD ? ERR_NOMEM : ERR_OK;
    switch (n->kind) {
    case ENTRY_BROOD:
        if (n->value[2]) {
            fish->weight_mg = n->value[2];
            fish->weighed_s = n->at_s;
        }
        break;
    case ENTRY_BROOD_POND:
        fish->pond = (int)n->value[0];
        break;
    case ENTRY_BROOD_BORN:
        fish->born_s = n->value[0];
        break;
    case ENTRY_BROOD_ORIGIN:
        fish->origin = n->value[0];
        break;
    case ENTRY_BROOD_DIED:
        if (!fish->died_s)
            died(state, fish, n->at_s);
        break;
    default:
        return ERR_BUG;
    }
    return ERR_OK;
}
