/* eggs: the looks at a female, her eggs, and the frames they lie on. In: a request; out: entries
 * and an answer, or one question. The rules and their numbers are trade's. */
#include "trade/eggs.h"

#include "trade/book.h"
#include "turn/inside.h"

enum {
    MINUTE_S = 60,
    HOUR_S = 3600,
    DAY_S = 86400,
    G_MG = 1000,
    EGGS_MOST_MG = 5000 * G_MG,    /* more is no bowl of one female */
    BARE_GRAMS_LEAST_MILLI = 5000, /* a number without a unit that can only be grams of eggs */
    BARE_GRAMS_MOST_MILLI = 2000000
};

/* The spawn that a report is about, and the instant it names. */
static const struct spawn *reported(struct turn *t, struct request *r, enum spawn_stage stage,
                                    int64_t *at_s) {
    return turn_fill_instant(t, r, at_s) ? turn_fill_spawn(t, r, stage, *at_s) : NULL;
}

/* -- looks ---------------------------------------------------------------------------------------
 */

void turn_do_wait(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_BEFORE, &at_s);
    if (!s)
        return;
    int64_t number = s->number;
    turn_record(t, ENTRY_NOT_READY, SUBJECT_SPAWN, number, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    turn_about(t, t->sender, ABOUT_LOOK, number, (struct slice){0});
    struct latency l = spawn_latency(s);
    if (l.look.status != PROGRESS_OK) {
        turn_say_no_hour(t, s);
        return;
    }
    int64_t next_s = plan_next_look(s);
    struct reply_value tag = V_TAG(turn_tag(s)), at = V_CLOCK(at_s);
    if (!next_s) {
        TURN_SAY(t, NOT_READY_OVER, tag, at);
        return;
    }
    bool most_known = l.most.status == PROGRESS_OK, end_known = l.end.status == PROGRESS_OK;
    if (end_known && next_s >= plan_shown(l.end.at_s))
        TURN_SAY(t, NOT_READY_LAST, tag, at, V_WHEN(next_s));
    else if (most_known && end_known && next_s > plan_shown(l.most.at_s))
        TURN_SAY(t, NOT_READY_LATE, tag, at, V_WHEN(next_s), V_WHEN(l.end.at_s));
    else
        TURN_SAY(t, NOT_READY, tag, at, V_WHEN(next_s), turn_until(t, next_s, turn_most(s, &l)));
    turn_said(t, TASK_LOOK, s, next_s);
}

void turn_do_no_eggs(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_BEFORE, &at_s);
    if (!s)
        return;
    struct tag tag = turn_tag(s);
    turn_record(t, ENTRY_NO_EGGS, SUBJECT_SPAWN, s->number, at_s, 0, 0, 0);
    if (turn_commit(t))
        TURN_SAY(t, NO_EGGS, V_TAG(tag), V_WHEN(at_s),
                 V_DATE(at_s + (int64_t)book_number(BOOK_REST_DAYS) * DAY_S));
}

/* -- strip ---------------------------------------------------------------------------------------
 */

static bool fill_eggs(struct turn *t, const struct request *r, const struct spawn *s,
                      int64_t *eggs_mg) {
    bool bare = request_has(r, SLOT_COUNT) && r->count_milli >= BARE_GRAMS_LEAST_MILLI &&
                r->count_milli <= BARE_GRAMS_MOST_MILLI;
    if (request_has(r, SLOT_WEIGHT)) {
        *eggs_mg = r->weight_mg;
    } else if (bare) {
        *eggs_mg = r->count_milli;
    } else {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_GRAMS, V_TAG(turn_tag(s)));
        return false;
    }
    if (*eggs_mg < G_MG || *eggs_mg > EGGS_MOST_MG) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(*eggs_mg));
        return false;
    }
    if (!eggs_plausible(*eggs_mg, s->weight_mg) && !(r->confirms & CONFIRM_WET)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_WET, ASK_WET, V_TAG(turn_tag(s)), V_WEIGHT(*eggs_mg),
                 V_WEIGHT(s->weight_mg));
        return false;
    }
    return true;
}

/* A strip reported far from the hour it was due, without naming its own, is asked for it. */
static bool hour_doubtful(struct turn *t, const struct request *r, const struct spawn *s,
                          int64_t at_s) {
    int64_t due_s = plan_next_look(s);
    if (!due_s || request_has(r, SLOT_TIME))
        return false;
    int64_t off_s = at_s > due_s ? at_s - due_s : due_s - at_s;
    if (off_s <= REPORT_ASK_MIN * MINUTE_S)
        return false;
    TURN_ASK(t, r, SLOT_TIME, ASK_STRIP_TIME, V_TAG(turn_tag(s)), V_WHEN(due_s));
    return true;
}

static void say_stripped(struct turn *t, const struct spawn *s) {
    struct hatch h = spawn_hatch(s);
    struct reply_value tag = V_TAG(turn_tag(s)), weight = V_WEIGHT(s->eggs_mg);
    struct reply_value at = V_CLOCK(s->stripped_s), eggs = V_NUMBER(eggs_of_weight(s->eggs_mg));
    struct reply_value side = V_NUMBER(eggs_square_cm(s->eggs_mg));
    /* litres up to the next ten: less is worse */
    struct reply_value litres = V_NUMBER((eggs_still_ml(s->eggs_mg) + 9999) / 10000 * 10);
    turn_about(t, t->sender, ABOUT_EGGS, s->number, (struct slice){0});
    if (h.half.status != PROGRESS_OK || h.last.status != PROGRESS_OK) {
        TURN_SAY(t, STRIPPED_NO_HOUR, tag, weight, at, eggs, side, litres);
        return;
    }
    TURN_SAY(t, STRIPPED, tag, weight, at, eggs, side, litres, V_WHEN(h.half.at_s),
             V_WHEN(h.last.at_s));
    turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
}

void turn_do_strip(struct turn *t, struct request *r) {
    int64_t at_s, eggs_mg;
    const struct spawn *s = reported(t, r, SPAWN_BEFORE, &at_s);
    if (!s || !fill_eggs(t, r, s, &eggs_mg) || hour_doubtful(t, r, s, at_s))
        return;
    int64_t number = s->number;
    turn_record(t, ENTRY_STRIPPED, SUBJECT_SPAWN, number, at_s, eggs_mg, 0, 0);
    if (turn_commit(t))
        say_stripped(t, farm_spawn(&t->farm->state, number));
}

/* -- white eggs and frames ------------------------------------------------------------------------
 */

/* Nothing can be said of eggs before they were taken. */
static bool before_strip(struct turn *t, const struct spawn *s, int64_t at_s) {
    if (at_s >= s->stripped_s)
        return false;
    TURN_SAY(t, HOUR_BEFORE, V_TAG(turn_tag(s)), V_WHEN(at_s), V_WHEN(s->stripped_s));
    return true;
}

void turn_do_white(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_EGGS, &at_s);
    if (!s)
        return;
    if (before_strip(t, s, at_s))
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_WHITE, V_TAG(turn_tag(s)));
        return;
    }
    int64_t of = request_has(r, SLOT_OF) ? r->of : (int64_t)book_number(BOOK_WHITE_COUNT);
    if (r->count < 0 || of < 1 || r->count > of || of > 100000) {
        TURN_SAY(t, WHITE_IMPOSSIBLE, V_NUMBER(r->count), V_NUMBER(of));
        return;
    }
    int64_t number = s->number, white = r->count;
    turn_record(t, ENTRY_WHITE, SUBJECT_SPAWN, number, at_s, white, of, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    turn_about(t, t->sender, ABOUT_EGGS, number, (struct slice){0});
    struct hatch h = spawn_hatch(s);
    struct reply_value live = V_NUMBER(eggs_alive(eggs_of_weight(s->eggs_mg), white, of));
    bool many = (double)white > book_number(BOOK_WHITE_SHARE_MOST) * (double)of;
    if (many)
        TURN_SAY(t, WHITE_MANY, V_TAG(turn_tag(s)), V_NUMBER(white), V_NUMBER(of), live);
    else if (h.last.status == PROGRESS_OK)
        TURN_SAY(t, WHITE_FEW, V_TAG(turn_tag(s)), V_NUMBER(white), V_NUMBER(of), live,
                 V_WHEN(h.last.at_s));
    else
        turn_say_no_hour(t, s);
}

void turn_do_frames(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_EGGS, &at_s);
    if (!s)
        return;
    if (before_strip(t, s, at_s))
        return;
    struct hatch h = spawn_hatch(s);
    int64_t half_s = h.half.status == PROGRESS_OK ? h.half.at_s : at_s;
    struct tag tag = turn_tag(s);
    turn_record(t, ENTRY_FRAMES, SUBJECT_SPAWN, s->number, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    if (at_s < half_s)
        TURN_SAY(t, FRAMES_EARLY, V_TAG(tag), V_WHEN(at_s), V_WHEN(half_s));
    else
        TURN_SAY(t, FRAMES_OUT, V_TAG(tag), V_WHEN(at_s),
                 V_DATE(half_s + (int64_t)book_number(BOOK_FOOD_AFTER_DAYS) * DAY_S));
}
