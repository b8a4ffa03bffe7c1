/* turn: the order in which a text is read: a stop or start before all else, then the sender's open
 * question, then the request; then whoever was told otherwise, then what is due. In and out: the
 * turn (turn.h). Errors: ERR_NOMEM (the arena), ERR_BUG (a reply with wrong values); the turn is
 * then thrown away whole and nothing of it stands. */
#include "turn/turn.h"

#include "turn/inside.h"

#include "trade/book.h"

enum { MINUTE_S = 60, HOUR_S = 3600, SENT_OLD_H = 60 * 24, SENT_AHEAD_S = 120 };

/* -- requests -------------------------------------------------------------------------------------
 */

static void do_stop(struct turn *t) {
    struct turn_person *sender = turn_sender(t);
    bool already = sender->stopped;
    sender->stopped = sender->changed = true;
    TURN_SAY(t, STOPPED);
    for (int i = 0; i < t->people_count && !already; i++) {
        const struct reply r = {REPLY_PHONE_STOPPED, {V_TEXT(sender->phone)}};
        if (i != t->sender && t->people[i].role == ROLE_OWNER && !t->people[i].stopped)
            turn_send(t, i, LEVEL_STEP, (struct task_key){0}, t->now_s + 24 * HOUR_S,
                      turn_render(t, i, &r));
    }
}

static void do_start(struct turn *t) {
    turn_sender(t)->stopped = false;
    turn_sender(t)->changed = true;
    TURN_SAY(t, STARTED);
}

/* A report that can be about larvae or about a pond: the letter of its tag decides. */
static bool of_pond(const struct request *r) {
    return request_has(r, SLOT_POND) || (request_has(r, SLOT_TAG) && r->tag.letter == 'p');
}

/* "dead f3" is the fish, "dead f3 200" her larvae, "dead p4 30" fish of the pond. */
static void do_dead(struct turn *t, struct request *r) {
    if (!request_has(r, SLOT_TAG) && !request_has(r, SLOT_POND))
        TURN_ASK(t, r, SLOT_TAG, ASK_DEAD_WHICH);
    else if (of_pond(r))
        turn_dead_pond(t, r);
    else if (request_has(r, SLOT_COUNT))
        turn_dead_larvae(t, r);
    else
        turn_dead_brood(t, r);
}

/* What takes fish off the list, or counts them anew, is never put to the only pond or female there
 * is: a text about something else would be. */
static bool which(struct turn *t, struct request *r) {
    bool named = request_has(r, SLOT_TAG) || request_has(r, SLOT_POND);
    if (!named)
        TURN_ASK(t, r, SLOT_TAG, ASK_WHICH, V_KIND(r->kind));
    return named;
}

static void do_count(struct turn *t, struct request *r) {
    if (!which(t, r))
        return;
    if (!request_has(r, SLOT_COUNT))
        TURN_ASK(t, r, SLOT_COUNT, ASK_COUNT);
    else if (of_pond(r))
        turn_count_pond(t, r);
    else
        turn_count_larvae(t, r);
}

/* -- which kind ----------------------------------------------------------------------------------
 */

static bool judge_spawn(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_INJECT:
        turn_do_inject(t, r);
        return true;
    case REQUEST_PLAN:
        turn_do_plan(t, r);
        return true;
    case REQUEST_TEMP:
        turn_do_temp(t, r);
        return true;
    case REQUEST_WAIT:
        turn_do_wait(t, r);
        return true;
    case REQUEST_NO_EGGS:
        turn_do_no_eggs(t, r);
        return true;
    case REQUEST_STRIP:
        turn_do_strip(t, r);
        return true;
    case REQUEST_WHITE:
        turn_do_white(t, r);
        return true;
    case REQUEST_FERTILE:
        turn_do_fertile(t, r);
        return true;
    case REQUEST_FRAMES:
        turn_do_frames(t, r);
        return true;
    case REQUEST_SPOILT:
        turn_do_spoilt(t, r);
        return true;
    case REQUEST_HATCH:
        turn_do_hatch(t, r);
        return true;
    case REQUEST_FED:
        turn_do_fed(t, r);
        return true;
    default:
        return false;
    }
}

static bool judge_hatchery(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_BROOD:
        turn_do_brood(t, r);
        return true;
    case REQUEST_READY:
        turn_do_ready(t);
        return true;
    case REQUEST_DOSE:
        turn_do_dose(t, r);
        return true;
    case REQUEST_TANK:
        turn_do_tank(t, r);
        return true;
    case REQUEST_SOURCE:
        turn_do_source(t, r);
        return true;
    case REQUEST_MILT:
    case REQUEST_STICK:
    case REQUEST_CLUMP:
    case REQUEST_BLOOD:
    case REQUEST_PLUG:
        turn_do_trouble(t, r);
        return true;
    case REQUEST_AIR_OFF:
    case REQUEST_AIR_ON:
        turn_do_air(t, r);
        return true;
    default:
        return false;
    }
}

static bool judge_pond(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_DEAD:
        do_dead(t, r);
        return true;
    case REQUEST_COUNT:
        do_count(t, r);
        return true;
    case REQUEST_GRADE:
        if (!which(t, r))
            return true;
        if (of_pond(r))
            turn_grade_pond(t, r);
        else
            turn_grade_larvae(t, r);
        return true;
    case REQUEST_POND:
        turn_do_pond(t, r);
        return true;
    case REQUEST_PREP:
        turn_do_prep(t, r);
        return true;
    case REQUEST_STOCK:
        turn_do_stock(t, r);
        return true;
    case REQUEST_HARVEST:
        turn_do_harvest(t, r);
        return true;
    case REQUEST_MOVE:
        turn_do_move(t, r);
        return true;
    case REQUEST_SOLD:
        if (!which(t, r))
            return true;
        if (of_pond(r))
            turn_sell_pond(t, r);
        else
            turn_sell_larvae(t, r);
        return true;
    default:
        return false;
    }
}

static bool judge_talk(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_OK:
        turn_do_ok(t, r);
        return true;
    case REQUEST_UNDO:
        turn_do_undo(t, r);
        return true;
    case REQUEST_FIX:
        turn_do_fix(t, r);
        return true;
    case REQUEST_WHY:
        turn_do_why(t, r);
        return true;
    case REQUEST_TODAY:
        turn_do_today(t);
        return true;
    case REQUEST_HELP:
        turn_do_help(t, r);
        return true;
    case REQUEST_LANGUAGE:
        turn_do_language(t, r);
        return true;
    case REQUEST_STOP:
        do_stop(t);
        return true;
    case REQUEST_START:
        do_start(t);
        return true;
    default:
        return false;
    }
}

/* RIVER alone answers the question for the water, which leaves none open: it must not take the
 * place of one that waits for a number. */
static bool answers_source(const struct turn *t, const struct request *r) {
    const uint64_t sources = CHOICE_BIT(CHOICE_RIVER) | CHOICE_BIT(CHOICE_WELL) |
                             CHOICE_BIT(CHOICE_TAP) | CHOICE_BIT(CHOICE_RAIN) |
                             CHOICE_BIT(CHOICE_LAKE);
    bool asked = false;
    for (int i = 0; i < t->told_count; i++)
        asked |= t->told[i].key.kind == TASK_SOURCE;
    return asked && !t->farm->state.source && r->kind == REQUEST_NONE &&
           r->has == SLOT_BIT(SLOT_CHOICE) && (r->choices & sources) && !(r->choices & ~sources);
}

static bool judge_people(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_WORKER:
    case REQUEST_ADVISER:
    case REQUEST_WATCHER:
        turn_do_add(t, r);
        return true;
    case REQUEST_REMOVE:
        turn_do_remove(t, r);
        return true;
    case REQUEST_JOIN:
    case REQUEST_CODE:
        turn_do_code(t, r);
        return true;
    case REQUEST_FARM:
        turn_do_farm(t, r);
        return true;
    case REQUEST_HOURS:
        turn_do_hours(t, r);
        return true;
    default:
        return false;
    }
}

/* "p2 do 4 t27": what only water has needs no word before it. */
static void name_water(struct request *r) {
    const uint64_t only = SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_AMMONIA) | SLOT_BIT(SLOT_NITRITE) |
                          SLOT_BIT(SLOT_SECCHI);
    if (r->kind != REQUEST_NONE || !(r->has & only))
        return;
    r->kind = REQUEST_WATER;
    if (request_has(r, SLOT_TAG) && r->tag.letter == 'p') {
        r->pond = r->tag;
        r->has = (r->has & ~SLOT_BIT(SLOT_TAG)) | SLOT_BIT(SLOT_POND);
    } else if (request_has(r, SLOT_TAG) && r->tag.letter == 'b') {
        r->tank = r->tag;
        r->has = (r->has & ~SLOT_BIT(SLOT_TAG)) | SLOT_BIT(SLOT_TANK);
    }
}

/* One thing, one kind: degrees of the hatchery are a TEMP whichever word was written, so that
 * "water 24" still moves the hours; those of a pond are its WATER; feed of a pond is GAVE. */
static void set_kind(struct request *r) {
    const uint64_t readings = SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_PH) | SLOT_BIT(SLOT_AMMONIA) |
                              SLOT_BIT(SLOT_NITRITE) | SLOT_BIT(SLOT_SECCHI) | SLOT_BIT(SLOT_POND);
    if (r->kind == REQUEST_WATER && !(r->has & readings))
        r->kind = REQUEST_TEMP;
    else if (r->kind == REQUEST_TEMP && request_has(r, SLOT_POND))
        r->kind = REQUEST_WATER;
    else if (r->kind == REQUEST_FED && !request_has(r, SLOT_TAG) &&
             (r->has & (SLOT_BIT(SLOT_POND) | SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_CHOICE))))
        r->kind = REQUEST_GAVE;
}

/* What ends a spawn, a fish or a pond's cycle. */
static bool closes(const struct request *r) {
    switch (r->kind) {
    case REQUEST_SPOILT:
    case REQUEST_NO_EGGS:
        return request_has(r, SLOT_TAG);
    case REQUEST_DEAD:
        return request_has(r, SLOT_TAG) && r->tag.letter != 'p' && !request_has(r, SLOT_COUNT);
    case REQUEST_HATCH:
        return request_has(r, SLOT_TAG) && request_has(r, SLOT_COUNT) && !r->count;
    case REQUEST_MERGE:
        return request_has(r, SLOT_POND) && request_has(r, SLOT_ALSO);
    case REQUEST_STOCK:
    case REQUEST_MOVE:
    case REQUEST_HARVEST:
    case REQUEST_SOLD:
        return request_chose(r, CHOICE_ALL) && !request_chose(r, CHOICE_BIG) &&
               (request_has(r, SLOT_TAG) || request_has(r, SLOT_POND));
    default:
        return false;
    }
}

/* A watcher may report and cannot take back: what closes a thing is asked before. */
static bool watcher_closes(struct turn *t, const struct request *r) {
    if (turn_sender(t)->role != ROLE_WATCHER || !closes(r) || (r->confirms & CONFIRM_END))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_END, ASK_WATCHER, V_KIND(r->kind),
             V_TAG(request_has(r, SLOT_TAG) ? r->tag : r->pond));
    return true;
}

void turn_judge(struct turn *t, struct request *r) {
    name_water(r);
    set_kind(r);
    if (turn_judge_each(t, r))
        return;
    if (watcher_closes(t, r))
        return;
    if (answers_source(t, r))
        r->kind = REQUEST_SOURCE;
    if (!turn_judge_feed(t, r) && !turn_judge_store(t, r) && !turn_judge_ration(t, r) &&
        !turn_judge_pond_water(t, r) && !judge_spawn(t, r) && !judge_hatchery(t, r) &&
        !judge_pond(t, r) && !judge_talk(t, r) && !judge_people(t, r) && !turn_judge_fish(t, r) &&
        !turn_judge_status(t, r) && !turn_judge_order(t, r) && !turn_judge_money(t, r) &&
        !turn_judge_morning(t, r) && !turn_judge_air(t, r) && !turn_judge_degrees(t, r))
        TURN_SAY(t, NO_QUESTION); /* yes, no and a value alone, without a question */
    if (request_has(r, SLOT_TAG))
        t->about_tag = r->tag;
}

/* -- reading
 * ---------------------------------------------------------------------------------------- */

/* The word is one, only not so: the sum lacks, or it stands alone. */
static bool say_lacking(struct turn *t, struct slice word) {
    static const struct {
        const char *group;
        enum reply_id id;
    } lacking[] = {{"word.cost", REPLY_COST_HOW},
                   {"word.price", REPLY_PRICE_WHAT},
                   {"word.paid", REPLY_PAID_HOW},
                   {"word.week", REPLY_WEEK_ALONE},
                   {"slot.tax", REPLY_TAX_NONE}};
    for (size_t i = 0; i < sizeof lacking / sizeof *lacking; i++)
        if (words_is(t->words, words_group_find(t->words, lacking[i].group), word)) {
            const struct reply reply = {.id = lacking[i].id};
            turn_say(t, &reply);
            return true;
        }
    return false;
}

static void say_unknown(struct turn *t, const struct text_result *read) {
    struct slice word = slice_of(read->token);
    if (say_lacking(t, word))
        return;
    struct buf near = buf_make_in(t->arena, 200);
    int language = turn_language(t, t->sender);
    for (int i = 0; i < TEXT_NEAR_MAX && read->near[i]; i++) {
        int kind = words_kind_find(t->words, request_kind_name(read->near[i]));
        struct slice text = words_kind_word(t->words, kind, language);
        if (i)
            buf_putc(&near, ' ');
        for (size_t k = 0; k < text.n; k++) {
            char c = text.p[k];
            buf_putc(&near, c >= 'a' && c <= 'z' ? (char)(c - 32) : c);
        }
    }
    if (near.n)
        TURN_SAY(t, UNKNOWN_WORD, V_TEXT(word), V_TEXT(buf_slice(&near)));
    else
        TURN_SAY(t, UNKNOWN_WORD_ALONE, V_TEXT(word));
}

static void say_doubt(struct turn *t, const struct text_result *read) {
    t->doubted = true;
    if (request_has(&read->request, SLOT_TAG))
        t->about_tag = read->request.tag;
    struct slice token = slice_of(read->token);
    struct reply_value kind = V_KIND(read->request.kind);
    if (read->request.kind == REQUEST_HELP) { /* help about something else is still help */
        TURN_SAY(t, HELP);
        return;
    }
    if (turn_say_sale_doubt(t, read))
        return;
    switch (read->doubt) {
    case TEXT_DOUBT_TWICE:
        TURN_SAY(t, DOUBT_TWICE, kind, V_TEXT(token));
        break;
    case TEXT_DOUBT_NUMBER:
        TURN_SAY(t, DOUBT_NUMBER, V_TEXT(token));
        break;
    case TEXT_DOUBT_CLOCK:
        TURN_SAY(t, DOUBT_CLOCK, V_TEXT(token));
        break;
    case TEXT_DOUBT_UNIT:
        TURN_SAY(t, DOUBT_UNIT, kind, V_TEXT(token));
        break;
    case TEXT_DOUBT_READING:
        TURN_SAY(t, DOUBT_READING, V_TEXT(token));
        break;
    case TEXT_DOUBT_NONE:
    case TEXT_DOUBT_TOKEN:
        TURN_SAY(t, DOUBT_TOKEN, kind, V_TEXT(token));
        break;
    }
}

/* A text of the sender waits for its answer, and nothing of it stands yet. */
static bool waits_unrecorded(const struct turn *t) {
    return turn_question_open(t) && t->question->message &&
           !turn_message_stands(t, t->question->message);
}

/* Where something stands may be asked while a number is awaited: the question stays open. */
static bool asks_status(const struct turn *t, const struct request *r) {
    int64_t asked = t->question->asked;
    bool tag = asked == SLOT_TAG || asked == SLOT_POND || asked == SLOT_TANK ||
               asked == SLOT_MALE || asked == SLOT_DATE /* a day may be that of a female's fry */ ||
               asked == CONFIRM_BASE + CONFIRM_EARLY;
    return turn_tag_alone(r) && !tag;
}

/* The rest of what was shown, and where an offer's numbers come from, may be asked before it is
 * taken. */
static bool asks_why(const struct turn *t, const struct request *r) {
    if (r->kind == REQUEST_MORE)
        return turn_question_open(t);
    return r->kind == REQUEST_WHY && turn_question_open(t) &&
           t->question->asked == CONFIRM_BASE + CONFIRM_ORDER;
}

static void take_reading(struct turn *t, struct slice text, struct text_result *read) {
    if (turn_order_again(read))
        read->reading = TEXT_REQUEST;
    bool reply_to_question = read->reading == TEXT_BARE ||
                             (read->reading == TEXT_REQUEST && (read->request.kind == REQUEST_YES ||
                                                                read->request.kind == REQUEST_NO));
    switch (read->reading) {
    case TEXT_EMPTY:
        if (slice_trim(text).n)
            TURN_SAY(t, UNREADABLE);
        break;
    case TEXT_TOO_LONG:
        TURN_SAY(t, TOO_LONG);
        break;
    case TEXT_UNKNOWN:
        say_unknown(t, read);
        break;
    case TEXT_DOUBT:
        say_doubt(t, read);
        break;
    case TEXT_BARE:
    case TEXT_REQUEST:
        if (read->doubt != TEXT_DOUBT_NONE) {
            say_doubt(t, read);
        } else if (read->request.kind == REQUEST_UNDO && waits_unrecorded(t)) {
            /* what waits for its answer is taken back first */
            t->question_done = true;
            turn_say_dropped(t);
        } else if (reply_to_question && turn_question_open(t) &&
                   !answers_source(t, &read->request) && !asks_status(t, &read->request) &&
                   !turn_answers_air(t, &read->request)) {
            turn_answer_question(t, &read->request);
        } else {
            t->question_done = read->reading == TEXT_REQUEST && !asks_why(t, &read->request) &&
                               !turn_answers_air(t, &read->request);
            turn_judge(t, &read->request);
        }
        break;
    }
}

/* "kiswahili" alone, while it is asked which language. */
static bool language_answer(struct turn *t, struct slice text) {
    struct buf folded = buf_make_in(t->arena, 400);
    if (!turn_question_open(t) || t->question->asked != SLOT_LANGUAGE ||
        words_fold(slice_head(text, 100), &folded))
        return false;
    struct request r = {.kind = REQUEST_LANGUAGE, .has = SLOT_BIT(SLOT_LANGUAGE)};
    r.language = words_language_of(t->words, slice_trim(buf_slice(&folded)));
    if (r.language < 0)
        return false;
    t->question_done = true;
    turn_do_language(t, &r);
    return true;
}

/* "mary" alone, while it is asked who or what for: to the reader any word could be one. */
static bool name_answer(struct turn *t, struct slice text, const struct text_result *read) {
    struct request bare = {.has = SLOT_BIT(SLOT_NAME)};
    int64_t asked = turn_question_open(t) ? t->question->asked : QUESTION_NONE;
    if (read->reading == TEXT_REQUEST ||
        (asked != SLOT_NAME && asked != CONFIRM_BASE + CONFIRM_NAME))
        return false;
    enum err e = text_name_alone(t->reader, turn_language(t, t->sender), text, t->arena, bare.name);
    if (e && e != ERR_NOT_FOUND && !t->e)
        t->e = e;
    if (!e)
        turn_answer_question(t, &bare);
    return !e;
}

static void begin(struct turn *t) {
    bool believable =
        t->sent_s > t->now_s - SENT_OLD_H * HOUR_S && t->sent_s <= t->now_s + SENT_AHEAD_S;
    if (!believable)
        t->sent_s = t->now_s;
    if (t->sent_s > t->now_s) /* a clock ahead of ours: nothing happens after now */
        t->sent_s = t->now_s;
    t->base_s = t->sent_s;
    t->root = t->message;
}

enum err turn_take(struct turn *t, struct slice text) {
    struct text_result read;
    begin(t);
    if (text_is_stop(t->reader, text)) {
        do_stop(t);
    } else if (text_is_start(t->reader, text)) {
        do_start(t);
    } else if (!turn_bare_code(t, text) && !language_answer(t, text)) {
        enum err e = text_read(t->reader, turn_language(t, t->sender), text, t->arena, &read);
        if (e)
            return e;
        if (turn_sender(t)->language < 0 && read.reading == TEXT_REQUEST) {
            turn_sender(t)->language = read.language;
            turn_sender(t)->changed = true;
        }
        if (!name_answer(t, text, &read))
            take_reading(t, text, &read);
    }
    turn_sender(t)->heard_s = t->now_s;
    if (!t->e)
        turn_hear(t);
    if (!t->e)
        turn_tell_moved(t);
    if (!t->e)
        turn_tell_no_fry(t);
    if (!t->e)
        turn_tell_due(t);
    turn_wake_later(t);
    return t->e;
}

enum err turn_wake(struct turn *t) {
    begin(t);
    t->sender = -1;
    turn_tell_moved(t); /* what was left for the morning */
    if (!t->e)
        turn_tell_due(t);
    turn_wake_later(t);
    return t->e;
}
