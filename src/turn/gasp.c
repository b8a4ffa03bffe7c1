/* gasp: fish at the surface for air, and many dead ones: first aid in one part and word to the
 * owner at once. In: a request, or a death that was recorded; out: an entry, an answer, texts to
 * others, one open question. Common practice, no source; no treatment is ever named. */
#include "farm/feeding.h"
#include "turn/inside.h"

enum {
    HOUR_S = 3600,
    LATE_H = 12, /* of so long ago nothing is left to do */
    AGAIN_H = 12 /* gasping within so long of the last time has not stopped */
};

/* -- word to the owner ---------------------------------------------------------------------------
 */

static int alert_role(struct turn *t, enum turn_role role, const struct reply *reply) {
    int sent = 0;
    for (int i = 0; i < t->people_count; i++) {
        if (t->people[i].role != role || i == t->sender || t->people[i].stopped)
            continue;
        turn_send(t, i, LEVEL_ALARM, (struct task_key){0}, t->now_s + 3 * HOUR_S,
                  turn_render(t, i, reply));
        sent++;
    }
    return sent;
}

int turn_alert_owner(struct turn *t, const struct reply *reply) {
    int sent = alert_role(t, ROLE_OWNER, reply);
    if (!sent && turn_sender(t)->role != ROLE_OWNER)
        sent = alert_role(t, ROLE_ADVISER, reply);
    return sent;
}

/* -- gasping -------------------------------------------------------------------------------------
 */

/* A bare number after it is the oxygen, of now. */
static void open_for_oxygen(struct turn *t, struct tag tag) {
    struct request r = {.kind = REQUEST_WATER};
    r.has = tag.letter == 'b' ? SLOT_BIT(SLOT_TANK) : SLOT_BIT(SLOT_POND);
    r.tank = r.pond = tag;
    turn_open_question(t, turn_sender(t)->id, &r, 0, SLOT_OXYGEN, 0);
}

static void alert_gasping(struct turn *t, struct tag tag, int64_t at_s) {
    const struct reply word = {REPLY_OWNER_GASP,
                               {V_TAG(tag), V_WHEN(at_s), V_TEXT(turn_sender(t)->phone)}};
    (void)turn_alert_owner(t, &word);
}

/* In a tank it is a matter of air at once; nothing of it is kept. */
static void gasp_tank(struct turn *t, struct tag tag) {
    TURN_SAY(t, GASP_TANK, V_TAG(tag));
    alert_gasping(t, tag, t->base_s);
    open_for_oxygen(t, tag);
}

/* What was recorded of it, into words. */
static void say_gasping(struct turn *t, const struct request *r, struct tag tag, int64_t before_s,
                        int64_t at_s) {
    if (at_s < t->now_s - (int64_t)LATE_H * HOUR_S) {
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(tag), V_WHEN(at_s));
        return;
    }
    if (before_s && at_s >= before_s && at_s - before_s <= (int64_t)AGAIN_H * HOUR_S)
        TURN_SAY(t, GASP_AGAIN, V_TAG(tag));
    else
        TURN_SAY(t, GASP_POND, V_TAG(tag));
    alert_gasping(t, tag, at_s);
    open_for_oxygen(t, tag);
}

/* Brood fish alone. False: others are in it, or none. */
static bool gasp_brood(struct turn *t, struct request *r) {
    int64_t at_s;
    if (!turn_brood_alone(t, r))
        return false;
    if (!turn_fill_instant(t, r, &at_s))
        return true;
    struct tag tag = turn_pond_tag(request_has(r, SLOT_POND) ? r->pond.number : r->tag.number);
    const struct pond *pond = farm_pond(&t->farm->state, tag.number);
    int64_t before_s = pond ? pond->gasping_s : 0;
    turn_record(t, ENTRY_GASPING, SUBJECT_POND, tag.number, at_s, 0, 0, 0);
    if (turn_commit(t))
        say_gasping(t, r, tag, before_s, at_s);
    return true;
}

void turn_do_gasp(struct turn *t, struct request *r) {
    int64_t at_s;
    if (request_has(r, SLOT_TANK)) {
        gasp_tank(t, r->tank);
        return;
    }
    if (gasp_brood(t, r))
        return;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c) { /* whichever pond it is, known or not, the fish want air */
        TURN_SAY(t, GASP_AID);
        return;
    }
    int64_t number = c->number, before_s = farm_pond(&t->farm->state, c->pond)->gasping_s;
    struct tag tag = turn_pond_tag(c->pond);
    turn_record(t, ENTRY_GASPING, SUBJECT_POND, c->pond, at_s, 0, 0, 0);
    if (!turn_commit(t) || turn_said_late(t, r, farm_cycle(&t->farm->state, number), at_s))
        return;
    say_gasping(t, r, tag, before_s, at_s);
}

bool turn_gasped(const struct turn *t, struct tag tag) {
    const struct pond *pond = tag.letter == 'p' ? farm_pond(&t->farm->state, tag.number) : NULL;
    int fish = 0;
    (void)turn_brood_feed(&t->farm->state, tag.number, &fish);
    return pond && (pond->cycle || fish) && pond->gasping_s &&
           t->now_s - pond->gasping_s <= (int64_t)AGAIN_H * HOUR_S;
}

/* -- many dead -----------------------------------------------------------------------------------
 */

/* Found dead on the local day of an instant, `back` days before. */
static int64_t dead_on(const struct turn *t, const struct cycle *c, int64_t at_s, int back) {
    int64_t dead = 0;
    for (int i = 0; i < c->event_count; i++)
        if (c->events[i].kind == FISH_DIED &&
            zone_days_between(t->zone, c->events[i].at_s, at_s) == back)
            dead += c->events[i].count;
    return dead;
}

/* More than a few, a hundredth of all and twice what such fish lose in a usual day. */
static bool over_usual(const struct turn *t, const struct cycle *c, int64_t at_s, int64_t dead,
                       int64_t all) {
    enum survival_kind kind = growing_kind(&t->farm->state, c);
    int64_t hours = (at_s - c->stocked_s) / HOUR_S, day_h = 24;
    struct survival_range from = survival_after(kind, hours);
    struct survival_range to = survival_after(kind, hours + day_h);
    double usual = from.middle > 0 ? 1 - (double)to.middle / (double)from.middle : 0;
    return dead >= FEEDING_DEAD_FEW && dead * FEEDING_DEAD_WORD >= all &&
           (double)dead >= 2 * usual * (double)all;
}

/* Fewer than would stop the feeding: first aid, and once a day word to the owner. */
static bool some_death(struct turn *t, const struct cycle *c, int64_t at_s, int64_t dead,
                       int64_t sum, int64_t all) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    if (!over_usual(t, c, at_s, sum, all))
        return false;
    TURN_SAY(t, DEAD_POND_SOME, tag, V_NUMBER(sum), V_TEXT(turn_left_text(t, c)));
    const struct reply word = {REPLY_OWNER_DEAD_SOME,
                               {tag, V_NUMBER(sum), V_WHEN(at_s), V_TEXT(turn_sender(t)->phone)}};
    if (!over_usual(t, c, at_s, sum - dead, all))
        (void)turn_alert_owner(t, &word);
    return true;
}

bool turn_mass_death(struct turn *t, const struct cycle *c, int64_t at_s, int64_t dead,
                     int64_t before) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    int64_t day[3], first_s, sum = feeding_dead(c, at_s, &first_s);
    for (int i = 0; i < 3; i++)
        day[i] = dead_on(t, c, at_s, i);
    int64_t all = before + sum - dead; /* before the first of them */
    bool many = sum * FEEDING_DEAD_PART >= all;
    bool known = (sum - dead) * FEEDING_DEAD_PART >= all && dead * FEEDING_DEAD_PART < before;
    bool rising = day[2] > 0 && day[1] > day[2] && day[0] > day[1];
    if (many)
        TURN_SAY(t, DEAD_POND_MANY, tag, V_NUMBER(sum));
    else if (rising)
        TURN_SAY(t, DEAD_POND_RISING, tag, V_NUMBER(day[2]), V_NUMBER(day[1]), V_NUMBER(day[0]));
    else
        return some_death(t, c, at_s, dead, sum, all);
    if (many && known) /* the owner heard of them, and it is not many more */
        return true;
    const struct reply word = {
        REPLY_OWNER_DEAD,
        {tag, V_NUMBER(many ? sum : day[0]), V_WHEN(at_s), V_TEXT(turn_sender(t)->phone)}};
    (void)turn_alert_owner(t, &word);
    return true;
}
