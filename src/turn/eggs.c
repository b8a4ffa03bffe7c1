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

/* "F4+F5": those of one sex that were named with her. */
static struct slice with(struct turn *t, const struct request *r, char letter) {
    struct buf b = buf_make_in(t->arena, 60);
    int put = 0;
    for (int i = 0; i < (request_has(r, SLOT_ALSO) ? r->also_count : 0); i++)
        if (r->also[i].letter == letter)
            buf_putf(&b, "%s%c%d", put++ ? "+" : "", letter - 32, r->also[i].number);
    return buf_slice(&b);
}

/* -- looks ---------------------------------------------------------------------------------------
 */

struct others {
    int64_t spawn[ALSO_MAX]; /* numbers */
    int spawn_count;
};

/* They are looked at again with her. */
static void say_also(struct turn *t, const struct request *r, const struct others *others) {
    for (int i = 0; i < others->spawn_count; i++) {
        const struct spawn *s = farm_spawn(&t->farm->state, others->spawn[i]);
        int64_t next_s = spawn_phase(s) == PHASE_FISH ? plan_next_look(s) : 0;
        if (next_s)
            turn_said(t, TASK_LOOK, s, next_s);
    }
    TURN_SAY(t, ALSO_NOTED, V_TEXT(with(t, r, 'f')));
}

/* The others named with her were not ready, either. False: an answer was given, nothing stands. */
static bool wait_also(struct turn *t, const struct request *r, int64_t at_s,
                      struct others *others) {
    for (int i = 0; i < r->also_count; i++) {
        struct request one = {.kind = r->kind, .has = SLOT_BIT(SLOT_TAG), .tag = r->also[i]};
        const struct spawn *s = turn_fill_spawn(t, &one, SPAWN_BEFORE, at_s);
        if (!s) {
            turn_drop(t);
            return false;
        }
        turn_record(t, ENTRY_NOT_READY, SUBJECT_SPAWN, s->number, at_s, 0, 0, 0);
        others->spawn[others->spawn_count++] = s->number;
    }
    return true;
}

/* When to look at her again. */
static void say_waited(struct turn *t, const struct spawn *s, int64_t at_s) {
    if (spawn_phase(s) != PHASE_FISH) {
        TURN_SAY(t, NOTED_LATE, V_KIND(REQUEST_WAIT), V_TAG(turn_tag(s)), V_WHEN(at_s));
        return;
    }
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    struct latency l = spawn_latency(s);
    struct reply_value tag = V_TAG(turn_tag(s)), at = V_CLOCK(at_s);
    if (l.look.status != PROGRESS_OK) {
        TURN_SAY(t, NOT_READY_NO_HOUR, tag, at);
        return;
    }
    int64_t next_s = plan_next_look(s);
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

void turn_do_wait(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_BEFORE, &at_s);
    if (!s)
        return;
    struct others others = {.spawn_count = 0};
    int64_t number = s->number;
    turn_record(t, ENTRY_NOT_READY, SUBJECT_SPAWN, number, at_s, 0, 0, 0);
    if (request_has(r, SLOT_ALSO) && !wait_also(t, r, at_s, &others))
        return;
    if (!turn_commit(t))
        return;
    say_waited(t, farm_spawn(&t->farm->state, number), at_s);
    if (others.spawn_count)
        say_also(t, r, &others);
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

bool turn_eggs_fit(struct turn *t, const struct request *r, struct tag tag, int64_t females_mg,
                   int64_t eggs_mg) {
    if (eggs_mg < G_MG || eggs_mg > EGGS_MOST_MG) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(eggs_mg));
        return false;
    }
    if (!eggs_plausible(eggs_mg, females_mg) && !(r->confirms & CONFIRM_WET)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_WET, ASK_WET, V_TAG(tag), V_WEIGHT(eggs_mg),
                 V_WEIGHT(females_mg));
        return false;
    }
    return true;
}

/* `females_mg`: of all whose eggs are in the bowl. */
static bool fill_eggs(struct turn *t, const struct request *r, const struct spawn *s,
                      int64_t females_mg, int64_t *eggs_mg) {
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
    return turn_eggs_fit(t, r, turn_tag(s), females_mg, *eggs_mg);
}

/* Where no water tells, she is not ripe before the warmest of the table would make her so. */
static bool too_early(const struct spawn *s, int64_t at_s) {
    enum progress_status status;
    int64_t warmest_mdegc = (int64_t)(book_number(BOOK_WATER_WARMEST) * 1000);
    double share = progress_share(&book_latency, spawn_water(s), s->injected_s, at_s, &status);
    if (status != PROGRESS_OK)
        share = (double)(at_s - s->injected_s) /
                (progress_hours(&book_latency, warmest_mdegc, &status) * HOUR_S);
    return share < book_number(BOOK_READY_EARLY);
}

/* No eggs of hers are good any more by then. */
static bool too_late(const struct spawn *s, int64_t at_s) {
    struct latency l = spawn_latency(s);
    return l.end.status == PROGRESS_OK && at_s > l.end.at_s;
}

/* "F3 F4": those whose eggs can be ripe at an instant. */
static struct slice ripe_tags(struct turn *t, int64_t at_s) {
    struct buf b = buf_make_in(t->arena, 60);
    const struct farm_state *st = &t->farm->state;
    int put = 0;
    for (int i = st->spawn_count - 1; i >= 0 && put < 4; i--) {
        const struct spawn *s = &st->spawns[i];
        if (turn_spawn_fits(s, SPAWN_BEFORE, at_s) && !too_early(s, at_s) && !too_late(s, at_s))
            buf_putf(&b, "%sF%d", put++ ? " " : "", s->tag);
    }
    return buf_slice(&b);
}

/* It is asked before it is recorded: a tag that slipped would cost the other female her spawn. The
 * question keeps the weight. */
bool turn_strip_fits(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                     int64_t eggs_mg) {
    if (!too_early(s, at_s) || (r->confirms & CONFIRM_EARLY))
        return true;
    struct slice ripe = ripe_tags(t, at_s);
    struct reply_value tag = V_TAG(turn_tag(s)), weight = V_WEIGHT(eggs_mg), at = V_WHEN(at_s);
    if (r->kind == REQUEST_FIX)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EARLY, ASK_FIX_EARLY, tag, V_WHEN(s->injected_s), at);
    else if (ripe.n)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EARLY, ASK_STRIP_OTHER, tag, weight,
                 V_WHEN(s->injected_s), V_TEXT(ripe));
    else
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EARLY, ASK_STRIP_EARLY, tag, weight, at,
                 V_WHEN(s->injected_s));
    return false;
}

/* A strip reported far from the hour it was due, or past it, without naming its own. */
static bool hour_doubtful(const struct request *r, const struct spawn *s, int64_t at_s) {
    int64_t due_s = plan_next_look(s);
    struct latency l = spawn_latency(s);
    if (!due_s && l.end.status == PROGRESS_OK)
        due_s = l.end.at_s;
    int64_t off_s = at_s > due_s ? at_s - due_s : due_s - at_s;
    return due_s && !request_has(r, SLOT_TIME) && off_s > REPORT_ASK_MIN * MINUTE_S;
}

/* It stands at the hour it was sent, so that nothing is lost when no answer comes; an hour in
 * answer puts it right. */
static void ask_hour(struct turn *t, const struct spawn *s) {
    const struct request fix = {.kind = REQUEST_FIX, .has = SLOT_BIT(SLOT_TAG), .tag = turn_tag(s)};
    struct hatch h = spawn_hatch(s);
    turn_about(t, t->sender, ABOUT_EGGS, s->number, (struct slice){0});
    TURN_ASK(t, &fix, SLOT_TIME, STRIPPED_WHEN, V_TAG(turn_tag(s)), V_WEIGHT(s->eggs_mg),
             V_CLOCK(s->stripped_s), V_NUMBER(eggs_of_weight(s->eggs_mg)),
             V_NUMBER(eggs_square_cm(s->eggs_mg)), V_WHEN(h.last.at_s));
    turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
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
    if (s->layer == LAYER_PLANTS || s->layer == LAYER_NET)
        TURN_SAY(t, STRIPPED_LOOSE, tag, weight, at, eggs, litres, V_WHEN(h.half.at_s),
                 V_WHEN(h.last.at_s));
    else
        TURN_SAY(t, STRIPPED, tag, weight, at, eggs, side, litres, V_WHEN(h.half.at_s),
                 V_WHEN(h.last.at_s));
    turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
}

/* Who else gave into the bowl, and whose milt it was. */
struct bowl {
    int64_t spawn[ALSO_MAX]; /* numbers */
    int64_t male[ALSO_MAX + 1];
    int spawn_count, male_count;
    int64_t females_mg;
    struct slice unknown; /* males that are not registered: "M1+M2", empty none */
};

/* Every female named must be known and fit; a male who is not costs nobody the weight of the eggs.
 * False: an answer was given. */
static bool fill_bowl(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                      struct bowl *bowl) {
    struct tag males[ALSO_MAX + 1];
    int n = 0;
    *bowl = (struct bowl){.females_mg = s->weight_mg};
    if (request_has(r, SLOT_MALE))
        males[n++] = r->male;
    for (int i = 0; i < (request_has(r, SLOT_ALSO) ? r->also_count : 0); i++) {
        if (r->also[i].letter == 'm') {
            males[n++] = r->also[i];
            continue;
        }
        struct request one = {.kind = r->kind, .has = SLOT_BIT(SLOT_TAG), .tag = r->also[i]};
        const struct spawn *other = turn_fill_spawn(t, &one, SPAWN_BEFORE, at_s);
        if (!other)
            return false;
        bowl->spawn[bowl->spawn_count++] = other->number;
        bowl->females_mg += other->weight_mg;
    }
    struct buf unknown = buf_make_in(t->arena, 60);
    for (int i = 0; i < n; i++) {
        const struct brood *male = farm_brood_tag(&t->farm->state, SEX_MALE, males[i].number);
        if (male)
            bowl->male[bowl->male_count++] = male->id;
        else
            buf_putf(&unknown, "%sM%d", unknown.n ? "+" : "", males[i].number);
    }
    bowl->unknown = buf_slice(&unknown);
    return true;
}

/* All whose eggs are in it can be ripe. False: it was asked. */
static bool bowl_ripe(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                      const struct bowl *bowl, int64_t eggs_mg) {
    if (!turn_strip_fits(t, r, s, at_s, eggs_mg))
        return false;
    for (int i = 0; i < bowl->spawn_count; i++) {
        const struct spawn *other = farm_spawn(&t->farm->state, bowl->spawn[i]);
        if (other && !turn_strip_fits(t, r, other, at_s, eggs_mg))
            return false;
    }
    return true;
}

static enum layer layer_of(const struct request *r) {
    return request_chose(r, CHOICE_PLANTS)   ? LAYER_PLANTS
           : request_chose(r, CHOICE_NET)    ? LAYER_NET
           : request_chose(r, CHOICE_FRAMES) ? LAYER_FRAMES
                                             : 0;
}

void turn_do_strip(struct turn *t, struct request *r) {
    int64_t at_s, eggs_mg;
    struct bowl bowl;
    const struct spawn *s = reported(t, r, SPAWN_BEFORE, &at_s);
    if (!s || !fill_bowl(t, r, s, at_s, &bowl) || !fill_eggs(t, r, s, bowl.females_mg, &eggs_mg) ||
        !bowl_ripe(t, r, s, at_s, &bowl, eggs_mg))
        return;
    int64_t number = s->number;
    bool when = hour_doubtful(r, s, at_s), late = too_late(s, at_s);
    enum layer layer = layer_of(r);
    turn_record(t, ENTRY_STRIPPED, SUBJECT_SPAWN, number, at_s, eggs_mg, 0, 0);
    for (int i = 0; i < bowl.spawn_count; i++)
        turn_record(t, ENTRY_BOWL, SUBJECT_SPAWN, number, at_s, bowl.spawn[i], 0, 0);
    for (int i = 0; i < bowl.male_count; i++)
        turn_record(t, ENTRY_MALE, SUBJECT_SPAWN, number, at_s, bowl.male[i], MALE_MILT, 0);
    if (request_has(r, SLOT_TANK))
        turn_record(t, ENTRY_TANK, SUBJECT_SPAWN, number, at_s, r->tank.number, 0, 0);
    if (layer)
        turn_record(t, ENTRY_LAYER, SUBJECT_SPAWN, number, at_s, layer, 0, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    if (when && !(r->confirms & CONFIRM_EARLY) && spawn_hatch(s).last.status == PROGRESS_OK)
        ask_hour(t, s);
    else
        say_stripped(t, s);
    if (late)
        TURN_SAY(t, STRIPPED_LATE, V_TAG(turn_tag(s)));
    if (bowl.spawn_count)
        TURN_SAY(t, ONE_BOWL, V_TEXT(with(t, r, 'f')), V_TAG(turn_tag(s)));
    if (bowl.unknown.n)
        TURN_SAY(t, MILT_UNKNOWN, V_TEXT(bowl.unknown));
    turn_warn_tank(t, s, 0);
}

/* -- white eggs and frames ------------------------------------------------------------------------
 */

/* Nothing can be said of eggs before they were taken. */
bool turn_before_strip(struct turn *t, const struct spawn *s, int64_t at_s) {
    if (at_s >= s->stripped_s)
        return false;
    TURN_SAY(t, HOUR_BEFORE, V_TAG(turn_tag(s)), V_WHEN(at_s), V_WHEN(s->stripped_s));
    return true;
}

bool turn_white_shows(struct turn *t, const struct request *r, const struct spawn *s,
                      int64_t at_s) {
    if (at_s >= plan_white_from(s) || (r->confirms & CONFIRM_EARLY))
        return true;
    int64_t from_s = s->stripped_s + (int64_t)(book_number(BOOK_WHITE_FROM_H) * HOUR_S);
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EARLY, ASK_WHITE_EARLY, V_TAG(turn_tag(s)),
             V_WHEN(s->stripped_s), V_WHEN(plan_shown(from_s)));
    return false;
}

bool turn_white_fits(struct turn *t, int64_t white, int64_t of) {
    if (white >= 0 && of >= 1 && white <= of && of <= 100000)
        return true;
    TURN_SAY(t, WHITE_IMPOSSIBLE, V_NUMBER(white), V_NUMBER(of));
    return false;
}

void turn_do_white(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_EGGS, &at_s);
    if (!s)
        return;
    if (turn_before_strip(t, s, at_s))
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_WHITE, V_TAG(turn_tag(s)));
        return;
    }
    int64_t of = request_has(r, SLOT_OF) ? r->of : (int64_t)book_number(BOOK_WHITE_COUNT);
    if (!turn_white_fits(t, r->count, of) || !turn_white_shows(t, r, s, at_s))
        return;
    int64_t number = s->number, white = r->count;
    turn_record(t, ENTRY_WHITE, SUBJECT_SPAWN, number, at_s, white, of, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    turn_about(t, t->sender, ABOUT_EGGS, number, (struct slice){0});
    if (spawn_phase(s) != PHASE_EGGS) {
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(turn_tag(s)), V_WHEN(at_s));
        return;
    }
    struct hatch h = spawn_hatch(s);
    struct reply_value live = V_NUMBER(turn_two_figures(spawn_eggs(s)));
    bool many = (double)white > book_number(BOOK_WHITE_SHARE_MOST) * (double)of;
    if (many)
        TURN_SAY(t, WHITE_MANY, V_TAG(turn_tag(s)), V_NUMBER(white), V_NUMBER(of), live);
    else if (h.last.status == PROGRESS_OK) {
        TURN_SAY(t, WHITE_FEW, V_TAG(turn_tag(s)), V_NUMBER(white), V_NUMBER(of), live,
                 V_WHEN(h.last.at_s));
        turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
    } else
        turn_say_no_hour(t, s);
}

void turn_do_frames(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct spawn *s = reported(t, r, SPAWN_EGGS, &at_s);
    if (!s)
        return;
    if (turn_before_strip(t, s, at_s))
        return;
    struct hatch h = spawn_hatch(s);
    int64_t half_s = h.half.status == PROGRESS_OK ? h.half.at_s : at_s;
    struct tag tag = turn_tag(s);
    int64_t number = s->number;
    turn_record(t, ENTRY_FRAMES, SUBJECT_SPAWN, number, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    int64_t food_s = plan_food(s, t->zone);
    if (s->fed_s)
        TURN_SAY(t, FRAMES_OUT_FED, V_TAG(tag), V_WHEN(at_s));
    else if (at_s < half_s)
        TURN_SAY(t, FRAMES_EARLY, V_TAG(tag), V_WHEN(at_s), V_WHEN(half_s));
    else
        TURN_SAY(t, FRAMES_OUT, V_TAG(tag), V_WHEN(at_s), V_DATE(food_s));
}
