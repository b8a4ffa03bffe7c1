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

/* When it is asked next whether it is back, as the plan has it. */
static int64_t next_ask(const struct turn *t, int64_t off_s) {
    enum { CLOSE_ASKS = 6 };
    int64_t each_s = (int64_t)AIR_AGAIN_MIN * 60;
    for (int nth = 1; nth <= AIR_ASKS; nth++)
        if ((nth <= CLOSE_ASKS || nth % 2 == 0) && plan_shown(off_s) + nth * each_s > t->now_s)
            return plan_shown(off_s) + nth * each_s;
    return plan_clock(t->zone, t->now_s, 1, PLAN_STEP_HOUR);
}

/* It is off still: what to go on with. */
static void say_go_on(struct turn *t, int64_t off_s) {
    struct reply_value at = V_WHEN(next_ask(t, off_s));
    enum reply_id was = turn_air_advice(t, true).id;
    if (was == REPLY_AIR_EGGS_AGAIN)
        TURN_SAY(t, AIR_GO_EGGS, at);
    else if (was == REPLY_AIR_EMPTY_AGAIN)
        TURN_SAY(t, AIR_GO_EMPTY);
    else
        TURN_SAY(t, AIR_GO, at);
}

/* "Is the air back?" is answered with a word: the last thing this phone was asked. */
bool turn_answers_air(const struct turn *t, const struct request *r) {
    int64_t asked_s = 0, since_s = t->now_s - (int64_t)AIR_AGAIN_MIN * 2 * 60;
    for (int i = 0; i < t->told_count; i++)
        if (t->told[i].key.kind == TASK_AIR && t->told[i].person == t->people[t->sender].id &&
            t->told[i].told_s > asked_s)
            asked_s = t->told[i].told_s;
    bool later = !turn_question_open(t) || t->question->asked_s < asked_s;
    return t->farm->state.air_off_s && asked_s >= since_s && later &&
           (r->kind == REQUEST_YES || r->kind == REQUEST_NO);
}

bool turn_judge_air(struct turn *t, const struct request *r) {
    const struct request on = {.kind = REQUEST_AIR_ON};
    if (!turn_answers_air(t, r))
        return false;
    if (r->kind == REQUEST_YES)
        turn_do_air(t, &on);
    else
        say_go_on(t, t->farm->state.air_off_s);
    return true;
}

/* What an outage that lasts asks for. Word of it that comes in again, or of an earlier hour, asks
 * for the same. */
static void say_off(struct turn *t, bool again, int64_t at_s) {
    const struct reply advice = turn_air_advice(t, false);
    if (again) {
        say_go_on(t, at_s);
        return;
    }
    turn_say(t, &advice);
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
