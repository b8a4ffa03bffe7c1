/* trouble: one word, one part of first aid; and air or power that fails. In: a request; out: an
 * answer, and for the air entries and word to the owner. Common practice of hatcheries, no source;
 * no dose of anything is ever sent. */
#include "turn/inside.h"

/* -- troubles ------------------------------------------------------------------------------------
 */

void turn_do_trouble(struct turn *t, const struct request *r) {
    switch (r->kind) {
    case REQUEST_MILT:
        TURN_SAY(t, AID_MILT);
        break;
    case REQUEST_STICK:
        TURN_SAY(t, AID_STICK);
        break;
    case REQUEST_CLUMP:
        TURN_SAY(t, AID_CLUMP);
        break;
    case REQUEST_BLOOD:
        TURN_SAY(t, AID_BLOOD);
        break;
    default:
        TURN_SAY(t, AID_PLUG);
        break;
    }
}

/* -- air -----------------------------------------------------------------------------------------
 */

/* Eggs first, then larvae, then fry: the first that is here now decides what is said. */
struct reply turn_air_advice(const struct turn *t, bool again) {
    const struct farm_state *st = &t->farm->state;
    bool eggs = false, larvae = false, fish = false;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *s = &st->spawns[i];
        if (!spawn_open(s, t->now_s))
            continue;
        eggs |= spawn_phase(s) == PHASE_EGGS && !spawn_swims(s);
        larvae |= spawn_swims(s);
        fish |= spawn_phase(s) == PHASE_FISH;
    }
    if (eggs)
        return (struct reply){again ? REPLY_AIR_EGGS_AGAIN : REPLY_AIR_EGGS, {{0}}};
    if (larvae)
        return (struct reply){again ? REPLY_AIR_LARVAE_AGAIN : REPLY_AIR_LARVAE, {{0}}};
    if (fish)
        return (struct reply){again ? REPLY_AIR_FISH_AGAIN : REPLY_AIR_FISH, {{0}}};
    return (struct reply){again ? REPLY_AIR_EMPTY_AGAIN : REPLY_AIR_EMPTY, {{0}}};
}

/* Who was told that it failed is told when it is back. */
static void tell_owner(struct turn *t, enum reply_id id, int64_t at_s) {
    const struct reply r = {id, {V_WHEN(at_s), V_TEXT(turn_sender(t)->phone)}};
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role == ROLE_OWNER && i != t->sender && !t->people[i].stopped)
            turn_send(t, i, LEVEL_ALARM, (struct task_key){0}, t->now_s + 3 * 3600,
                      turn_render(t, i, &r));
}

/* Half hours that had passed when it was reported are not asked for: the answer says what to do. */
static void told_already(struct turn *t, int64_t off_s) {
    int64_t each_s = (int64_t)AIR_AGAIN_MIN * 60;
    int64_t past = (t->now_s - plan_shown(off_s)) / each_s;
    for (int nth = 1; nth <= past && nth <= AIR_ASKS; nth++)
        turn_told(t, (struct task_key){.kind = TASK_AIR, .nth = nth, .stage = STAGE_FIRST},
                  turn_sender(t)->id, off_s, OUTCOME_DELIVERED);
}

/* What an outage that lasts asks for. Word of it that comes in again, or of an earlier hour, asks
 * for the same. */
static void say_off(struct turn *t, bool again, int64_t at_s) {
    const struct reply advice = turn_air_advice(t, again);
    turn_say(t, &advice);
    if (again)
        return;
    tell_owner(t, REPLY_OWNER_AIR, at_s);
    told_already(t, at_s);
}

void turn_do_air(struct turn *t, const struct request *r) {
    int64_t at_s;
    bool off = r->kind == REQUEST_AIR_OFF;
    if (!turn_fill_instant(t, r, &at_s))
        return;
    int64_t since_s = t->farm->state.air_off_s;
    if (!off && at_s < since_s && since_s - at_s <= (int64_t)AHEAD_MIN * 60)
        at_s = since_s; /* not before it failed: clocks differ */
    /* Whatever is known now, the text that came before this one may still be on its way. */
    turn_record(t, off ? ENTRY_AIR_OFF : ENTRY_AIR_ON, SUBJECT_HATCHERY, 0, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    int64_t off_s = t->farm->state.air_off_s;
    if (off && off_s)
        say_off(t, since_s != 0, off_s);
    else if (off)
        TURN_SAY(t, AIR_WAS_OFF, V_WHEN(at_s));
    else if (off_s)
        TURN_SAY(t, AIR_STILL_OFF, V_WHEN(at_s), V_WHEN(off_s));
    else if (!since_s)
        TURN_SAY(t, AIR_RUNS);
    else {
        TURN_SAY(t, AIR_BACK, V_WHEN(at_s));
        tell_owner(t, REPLY_OWNER_AIR_BACK, at_s);
    }
}
