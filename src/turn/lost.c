/* lost: ponds that are prepared for fry that will not come. In: the state after what was said; out:
 * a line in the answer to whoever said the loss, and texts to those who were told so where the fry
 * come after all (the loss was taken back). All others who know of the preparing are told as a task
 * of the plan, by day. ERR_NOMEM as told's. */
#include "turn/inside.h"

#include <string.h>

enum { HOUR_S = 3600 };

bool turn_knows_pond(const struct turn *t, const struct pond *pond, int64_t person) {
    for (int i = 0; i < t->told_count; i++) {
        const struct told *row = &t->told[i];
        if (row->person == person && row->key.subject == pond->number &&
            row->told_s >= pond->planned_s &&
            (row->key.kind == TASK_PREP || row->key.kind == TASK_STOCK))
            return true;
    }
    return pond->hands.who[0] == person;
}

static struct task_key key_of(const struct pond *pond, enum task_stage stage) {
    return (struct task_key){TASK_NO_FRY, pond->number, (int)pond->spawn, stage};
}

static void answer(struct turn *t, const struct pond *pond, int64_t lost_s) {
    int64_t sender = turn_sender(t)->id;
    if (turn_hour_told(t, key_of(pond, STAGE_SAID), sender) == lost_s ||
        !turn_knows_pond(t, pond, sender))
        return;
    TURN_SAY(t, NO_FRY_TOO, V_TAG(turn_pond_tag(pond->number)));
    turn_told(t, key_of(pond, STAGE_SAID), sender, lost_s, OUTCOME_DELIVERED);
}

/* Whoever took the loss back knows; the hour 0 says that it was. */
static void after_all(struct turn *t, const struct pond *pond, const struct told *row) {
    turn_told(t, row->key, row->person, 0, OUTCOME_DELIVERED);
    for (int i = 0; i < t->people_count; i++) {
        const struct reply r = {REPLY_FRY_AGAIN,
                                {V_TAG(turn_pond_tag(pond->number)),
                                 V_TAG(((struct tag){'f', farm_spawn_tag(t->farm, pond->spawn)})),
                                 V_DATE(pond->ready_s)}};
        if (t->people[i].id == row->person && i != t->sender && !t->people[i].stopped &&
            t->people[i].role != ROLE_NONE)
            turn_send(t, i, LEVEL_STEP, (struct task_key){0}, t->now_s + 24 * HOUR_S,
                      turn_render(t, i, &r));
    }
}

void turn_tell_no_fry(struct turn *t) {
    int rows = t->told_count;
    struct told *as_it_was = ARENA_ARRAY(t->arena, (size_t)rows + 1, struct told);
    if (!as_it_was) {
        t->e = ERR_NOMEM;
        return;
    }
    /* a copy: what is told here changes places among the rows */
    memcpy(as_it_was, t->told, (size_t)rows * sizeof *as_it_was);
    for (int i = 0; i < t->farm->state.pond_count; i++) {
        const struct pond *pond = &t->farm->state.ponds[i];
        int64_t lost_s = pond_no_fry_s(&t->farm->state, pond);
        if (lost_s)
            answer(t, pond, lost_s);
        for (int k = 0; k < rows && !lost_s && pond->ready_s && pond->spawn; k++)
            if (as_it_was[k].key.kind == TASK_NO_FRY && as_it_was[k].hour_s &&
                as_it_was[k].key.subject == pond->number &&
                as_it_was[k].key.nth == (int)pond->spawn)
                after_all(t, pond, &as_it_was[k]);
    }
}
