/* larvae: fertilised shares, the hatch, and what is reported of larvae until they go to a pond. In:
 * a request; out: entries and an answer, or one question. The rules and their numbers are trade's.
 */
#include "trade/larvae.h"

#include "trade/book.h"
#include "trade/eggs.h"
#include "turn/inside.h"

enum { LARVAE_MOST = 5000000 /* no hatchery of ours holds more of one spawn */ };

int64_t turn_two_figures(int64_t count) {
    return larvae_round(count);
}

struct larvae_range turn_larvae(const struct spawn *s, int64_t at_s) {
    return spawn_larvae(s, at_s);
}

struct larvae_range turn_larvae_then(struct turn *t, const struct spawn *s, int64_t at_s) {
    const struct spawn *then = farm_spawn(turn_then(t, at_s), s->number);
    return turn_larvae(then ? then : s, at_s);
}

int64_t turn_larvae_most(struct turn *t, const struct spawn *s, int64_t at_s) {
    const struct spawn *then = farm_spawn(turn_then(t, at_s), s->number);
    struct tally tally = spawn_tally(then ? then : s, at_s);
    return tally_most(&tally).high;
}

static const struct spawn *reported(struct turn *t, struct request *r, enum spawn_stage stage,
                                    int64_t *at_s) {
    return turn_fill_instant(t, r, at_s) ? turn_fill_spawn(t, r, stage, *at_s) : NULL;
}

/* A share: "60%", "12 of 100". */
static bool is_share(int64_t part, int64_t of) {
    return of > 0 && of <= 100000 && part >= 0 && part <= of;
}

bool turn_frames_in(const struct turn *t, const struct spawn *s) {
    int days = spawn_larvae_days(s, t->zone, t->now_s);
    return spawn_phase(s) == PHASE_EGGS &&
           (!spawn_swims(s) || days < (int)book_number(BOOK_DRYFOOD_DAYS));
}

/* Larvae are reported of eggs whose frames were not: dead eggs on them foul the water. */
static void ask_frames(struct turn *t, const struct spawn *s) {
    if (spawn_swims(s) && turn_frames_in(t, s))
        TURN_SAY(t, FRAMES_TOO, V_TAG(turn_tag(s)));
}

/* -- eggs ----------------------------------------------------------------------------------------
 */

/* How many of a sample are fertilised: the rest counts as white. A count alone is of the hundred
 * that are looked at. */
bool turn_fertile_fits(struct turn *t, int64_t good, int64_t of) {
    if (is_share(good, of))
        return true;
    TURN_SAY(t, SHARE_IMPOSSIBLE, V_NUMBER(good), V_NUMBER(of));
    return false;
}

void turn_do_fertile(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_EGGS, &at_s);
    if (!s || turn_before_strip(t, s, at_s))
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_FERTILE, V_TAG(turn_tag(s)));
        return;
    }
    if (!request_has(r, SLOT_OF)) {
        r->of = (int64_t)book_number(BOOK_WHITE_COUNT);
        r->has |= SLOT_BIT(SLOT_OF);
    }
    int64_t number = s->number, good = r->count, of = r->of;
    if (!turn_fertile_fits(t, good, of) || !turn_white_shows(t, r, s, at_s))
        return;
    turn_record(t, ENTRY_WHITE, SUBJECT_SPAWN, number, at_s, of - good, of, 1);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    turn_about(t, t->sender, ABOUT_EGGS, number, (struct slice){0});
    if (spawn_phase(s) != PHASE_EGGS) {
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(turn_tag(s)), V_WHEN(at_s));
        return;
    }
    struct hatch h = spawn_hatch(s);
    struct reply_value tag = V_TAG(turn_tag(s));
    struct reply_value live = V_NUMBER(turn_two_figures(spawn_eggs(s)));
    bool few = (double)(of - good) > book_number(BOOK_WHITE_SHARE_MOST) * (double)of;
    if (few)
        TURN_SAY(t, FERTILE_FEW, tag, V_NUMBER(good), V_NUMBER(of), live);
    else if (h.last.status == PROGRESS_OK) {
        TURN_SAY(t, FERTILE, tag, V_NUMBER(good), V_NUMBER(of), live, V_WHEN(h.last.at_s));
        turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
    } else
        turn_say_no_hour(t, s);
}

void turn_do_spoilt(struct turn *t, struct request *r) {
    int64_t at_s;
    if (!request_has(r, SLOT_TAG)) { /* what closes a spawn is never put to the only one there is */
        TURN_ASK(t, r, SLOT_TAG, ASK_TAG_ANY, V_KIND(r->kind));
        return;
    }
    const struct spawn *s = reported(t, r, SPAWN_BROOD, &at_s);
    if (!s || turn_before_strip(t, s, at_s))
        return;
    struct tag tag = turn_tag(s);
    bool eggs = spawn_phase(s) == PHASE_EGGS && !spawn_swims(s);
    turn_record(t, ENTRY_SPOILT, SUBJECT_SPAWN, s->number, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    if (eggs)
        TURN_SAY(t, SPOILT_EGGS, V_TAG(tag), V_WHEN(at_s));
    else
        TURN_SAY(t, SPOILT_LARVAE, V_TAG(tag), V_WHEN(at_s));
}

/* -- hatch ---------------------------------------------------------------------------------------
 */

static void say_hatched(struct turn *t, const struct spawn *s) {
    struct reply_value tag = V_TAG(turn_tag(s)), larvae = V_NUMBER(turn_two_figures(s->hatched));
    int64_t food_s = plan_food(s, t->zone);
    struct hatch h = spawn_hatch(s);
    bool to_come = h.last.status == PROGRESS_OK && h.last.at_s > t->now_s; /* the frames' hour */
    turn_about(t, t->sender, ABOUT_LARVAE, s->number, (struct slice){0});
    if (!s->hatched)
        TURN_SAY(t, HATCHED_NONE, tag);
    else if (!s->frames_s && to_come)
        TURN_SAY(t, HATCHED_FRAMES, tag, larvae, V_WHEN(h.last.at_s), V_WHEN(food_s));
    else if (food_s && (s->frames_s || h.half.status == PROGRESS_OK))
        TURN_SAY(t, HATCHED, tag, larvae, V_WHEN(food_s));
    else
        TURN_SAY(t, HATCHED_NO_HOUR, tag, larvae);
    if (s->hatched && !to_come)
        ask_frames(t, s);
}

bool turn_hatch_fits(struct turn *t, const struct request *r, const struct spawn *s,
                     struct entry *n) {
    struct reply_value tag = V_TAG(turn_tag(s));
    bool share = request_has(r, SLOT_OF);
    int64_t eggs = spawn_eggs(s);
    if (share ? !is_share(r->count, r->of) : r->count < 0 || r->count > LARVAE_MOST) {
        TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(r->count));
        return false;
    }
    if (!share && r->count > 0 && r->count <= 100) { /* 60: a share, or so few? */
        TURN_ASK(t, r, SLOT_COUNT, ASK_HATCH_SHARE, tag, V_NUMBER(r->count));
        return false;
    }
    if (!share && r->count > eggs && !(r->confirms & CONFIRM_MANY)) {
        if (r->count <= eggs_of_weight(s->eggs_mg))
            TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_HATCH_WHITE, tag, V_NUMBER(r->count),
                     V_NUMBER(turn_two_figures(eggs)));
        else
            TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_HATCH_MANY, tag, V_NUMBER(r->count),
                     V_NUMBER(turn_two_figures(eggs_of_weight(s->eggs_mg))));
        return false;
    }
    n->value[0] = share ? 0 : r->count;
    n->value[1] = share ? HATCH_SHARE : HATCH_COUNTED;
    n->value[2] = share ? r->count : 0;
    n->value[3] = share ? r->of : 0;
    return true;
}

void turn_do_hatch(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_BROOD, &at_s);
    if (!s)
        return;
    struct hatch h = spawn_hatch(s);
    if (h.half.status == PROGRESS_OK && at_s - s->stripped_s < (h.half.at_s - s->stripped_s) / 2) {
        TURN_SAY(t, HATCH_EARLY, V_TAG(turn_tag(s)), V_WHEN(h.half.at_s));
        return;
    }
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HATCH, V_TAG(turn_tag(s)));
        return;
    }
    struct entry n = {
        .at_s = at_s, .kind = ENTRY_HATCHED, .subject_kind = SUBJECT_SPAWN, .subject = s->number};
    if (!turn_hatch_fits(t, r, s, &n))
        return;
    int64_t number = s->number;
    turn_record_entry(t, n);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    if (n.value[3] && s->white_of) /* of fewer than were stripped */
        TURN_SAY(t, HATCHED_OF, V_NUMBER(n.value[2]), V_NUMBER(n.value[3]),
                 V_NUMBER(turn_two_figures(spawn_eggs(s))));
    say_hatched(t, s);
    turn_warn_tank(t, s, s->hatched);
}

/* A count of less than a tenth of what was thought: a digit is missing, or the fish are. */
bool turn_too_few(struct turn *t, const struct request *r, struct tag tag, int64_t least,
                  int64_t middle) {
    if (r->count * 10 >= least || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_COUNT_FEW, V_TAG(tag), V_NUMBER(r->count),
             V_NUMBER(turn_two_figures(middle)));
    return true;
}

/* -- larvae --------------------------------------------------------------------------------------
 */

/* The most a count can find: by the last number of larvae that somebody counted, else, or where it
 * leaves none, the eggs that were alive. */
static int64_t counted_most(struct turn *t, const struct spawn *s, int64_t at_s) {
    const struct spawn *then = farm_spawn(turn_then(t, at_s), s->number);
    bool hatched = then && then->hatched_s && then->hatch_how == HATCH_COUNTED;
    if (then && (hatched || then->counted_s) && !spawn_none_left(then))
        return turn_larvae_most(t, s, at_s);
    return spawn_eggs(s);
}

static bool count_fits(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                       int64_t count) {
    int64_t eggs = eggs_of_weight(s->eggs_mg), most = counted_most(t, s, at_s);
    struct larvae_range thought = turn_larvae_then(t, s, at_s);
    struct reply_value tag = V_TAG(turn_tag(s));
    if (count <= most || (r->confirms & CONFIRM_MANY))
        return !turn_too_few(t, r, turn_tag(s), thought.low, thought.middle);
    if (count > eggs)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_HATCH_MANY, tag, V_NUMBER(count),
                 V_NUMBER(turn_two_figures(eggs)));
    else
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, tag, V_NUMBER(count),
                 V_NUMBER(most));
    return false;
}

/* More than there could be if nobody died but those reported, or out of all bounds: a digit
 * slipped. */
bool turn_larvae_fit(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                     enum entry_kind kind, int64_t count) {
    int64_t high = turn_larvae_most(t, s, at_s);
    bool sure = (r->confirms & CONFIRM_MANY) != 0;
    struct reply_value tag = V_TAG(turn_tag(s)), most = V_NUMBER(turn_two_figures(high));
    int64_t least = kind == ENTRY_DIED || kind == ENTRY_SOLD ? 1 : 0;
    if (count < least || count > (kind == ENTRY_GRADED ? high : LARVAE_MOST)) {
        TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(count));
        return false;
    }
    if (kind == ENTRY_COUNTED)
        return count_fits(t, r, s, at_s, count);
    if (count <= high || sure)
        return true;
    if (kind == ENTRY_DIED)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_DEAD_MANY, tag, V_NUMBER(count), most);
    else
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, tag, V_NUMBER(count), most);
    return false;
}

void turn_do_fed(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_LARVAE, &at_s);
    if (!s)
        return;
    int64_t number = s->number;
    if (s->fed_s && s->fed_s <= at_s) { /* every meal need not be reported */
        TURN_SAY(t, FED_ALREADY, V_TAG(turn_tag(s)), V_WHEN(s->fed_s));
        return;
    }
    turn_record(t, ENTRY_FED, SUBJECT_SPAWN, number, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    if (spawn_closed(s)) {
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(turn_tag(s)), V_WHEN(at_s));
        return;
    }
    int64_t dry_s = plan_larvae_day(s, t->zone, (int)book_number(BOOK_DRYFOOD_DAYS));
    TURN_SAY(t, FED, V_TAG(turn_tag(s)), V_WHEN(at_s), V_DATE(dry_s ? dry_s : at_s));
    ask_frames(t, s);
}

static void say_left(struct turn *t, const struct spawn *s, enum reply_id id, int64_t number) {
    struct larvae_range left = turn_larvae(s, t->now_s);
    turn_about(t, t->sender, ABOUT_LARVAE, s->number, (struct slice){0});
    const struct reply r = {
        id, {V_TAG(turn_tag(s)), V_NUMBER(number), V_NUMBER(turn_two_figures(left.middle))}};
    turn_say(t, &r);
    ask_frames(t, s);
}

void turn_grade_larvae(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_LARVAE, &at_s);
    if (!s)
        return;
    int64_t number = s->number, taken = request_has(r, SLOT_COUNT) ? r->count : 0;
    if (!turn_larvae_fit(t, r, s, at_s, ENTRY_GRADED, taken))
        return;
    turn_record(t, ENTRY_GRADED, SUBJECT_SPAWN, number, at_s, taken, 0, 0);
    if (turn_commit(t))
        say_left(t, farm_spawn(&t->farm->state, number), REPLY_GRADED_LARVAE, taken);
}

void turn_dead_larvae(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_BROOD, &at_s);
    if (!s || turn_before_strip(t, s, at_s))
        return;
    int64_t number = s->number;
    if (!turn_larvae_fit(t, r, s, at_s, ENTRY_DIED, r->count))
        return;
    turn_record(t, ENTRY_DIED, SUBJECT_SPAWN, number, at_s, r->count, 0, 0);
    if (turn_commit(t))
        say_left(t, farm_spawn(&t->farm->state, number), REPLY_DEAD_LARVAE, r->count);
}

void turn_count_larvae(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_LARVAE, &at_s);
    if (!s)
        return;
    int64_t number = s->number;
    if (!turn_larvae_fit(t, r, s, at_s, ENTRY_COUNTED, r->count))
        return;
    turn_record(t, ENTRY_COUNTED, SUBJECT_SPAWN, number, at_s, r->count, 0, 0);
    if (turn_commit(t))
        say_left(t, farm_spawn(&t->farm->state, number), REPLY_COUNTED_LARVAE, r->count);
}

/* As many as were there by the numbers are gone: more may have been there. */
static void ask_gone(struct turn *t, const struct spawn *s, int64_t count) {
    const struct request all = {.kind = REQUEST_SOLD,
                                .has = SLOT_BIT(SLOT_TAG) | SLOT_BIT(SLOT_CHOICE),
                                .tag = turn_tag(s),
                                .choices = CHOICE_BIT(CHOICE_ALL)};
    turn_about(t, t->sender, ABOUT_LARVAE, s->number, (struct slice){0});
    TURN_ASK(t, &all, CONFIRM_BASE + CONFIRM_GONE, ASK_LARVAE_GONE, V_TAG(turn_tag(s)),
             V_NUMBER(count));
}

void turn_sell_larvae(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_LARVAE, &at_s);
    if (!s)
        return;
    int64_t number = s->number;
    bool all = request_chose(r, CHOICE_ALL);
    if (!all && !request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(turn_tag(s)));
        return;
    }
    int64_t count = request_has(r, SLOT_COUNT)
                        ? r->count
                        : turn_two_figures(turn_larvae_then(t, s, at_s).middle);
    bool none = all && !count; /* none was thought left: it is only closed */
    if (!none && !turn_larvae_fit(t, r, s, at_s, ENTRY_SOLD, count))
        return;
    const struct turn_sold sold = {.of = SUBJECT_SPAWN,
                                   .subject = number,
                                   .at_s = at_s,
                                   .count = request_has(r, SLOT_COUNT) ? count : 0,
                                   .thought = count};
    struct turn_sale sale;
    if (!turn_fill_sale(t, r, &sold, &sale))
        return;
    turn_record_sale(t, r, &sale);
    turn_record(t, ENTRY_SOLD, SUBJECT_SPAWN, number, at_s, request_has(r, SLOT_COUNT) ? count : 0,
                0, all);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    bool gone = !spawn_closed(s) && spawn_none_left(s);
    if (s->gone_s && none)
        TURN_SAY(t, LARVAE_CLOSED, V_TAG(turn_tag(s)));
    else if (s->gone_s)
        TURN_SAY(t, SOLD_LARVAE_ALL, V_TAG(turn_tag(s)), V_NUMBER(count));
    else if (!gone)
        say_left(t, s, REPLY_SOLD_LARVAE, count);
    turn_say_sale(t, &sale);
    if (gone) /* a question is said last */
        ask_gone(t, s, count);
}
