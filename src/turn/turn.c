/* turn: the order in which a text is read: a stop or start before all else, then the sender's open
 * question, then the request; then whoever was told otherwise, then what is due. In and out: the
 * turn (turn.h). Errors: ERR_NOMEM (the arena), ERR_BUG (a reply with wrong values); the turn is
 * then thrown away whole and nothing of it stands. */
#include "turn/turn.h"

#include "turn/inside.h"

#include "trade/book.h"

enum { MINUTE_S = 60, HOUR_S = 3600, SENT_OLD_H = 7 * 24, SENT_AHEAD_S = 120 };

/* -- recording ------------------------------------------------------------------------------------
 */

void turn_record(struct turn *t, enum entry_kind kind, enum subject_kind subject_kind,
                 int64_t subject, int64_t at_s, int64_t v0, int64_t v1, int64_t v2) {
    if (t->entry_count == TURN_ENTRIES_MAX) {
        t->e = ERR_BUG;
        return;
    }
    t->entries[t->entry_count] = (struct entry){.seq = farm_head(t->farm) + t->entry_count + 1,
                                                .at_s = at_s,
                                                .said_s = t->now_s,
                                                .message = t->root,
                                                .person = turn_sender(t)->id,
                                                .kind = kind,
                                                .version = ENTRY_VERSION,
                                                .subject_kind = subject_kind,
                                                .subject = subject,
                                                .value = {v0, v1, v2}};
    t->entry_count++;
}

bool turn_commit(struct turn *t) {
    if (!t->e)
        t->e = farm_add(t->farm, t->entries, t->entry_count);
    return !t->e;
}

/* -- undo -----------------------------------------------------------------------------------------
 */

static struct slice message_text(struct turn *t, int64_t message) {
    struct slice text = t->message_text ? t->message_text(t->context, message) : SLICE("");
    return text.n ? text : SLICE("?");
}

static int64_t message_said(const struct turn *t, int64_t message) {
    for (int i = t->farm->count - 1; i >= 0; i--)
        if (t->farm->entries[i].message == message)
            return t->farm->entries[i].said_s;
    return t->now_s;
}

void turn_do_undo(struct turn *t, const struct request *r) {
    int64_t message = farm_last_message(t->farm, turn_sender(t)->id);
    if (!message || turn_sender(t)->role == ROLE_WATCHER) {
        TURN_SAY(t, UNDO_NOTHING);
        return;
    }
    int64_t leans = farm_leans_on(t->farm, message);
    if (leans && !(r->confirms & CONFIRM_LEANS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_LEANS, ASK_UNDO_LEANS,
                 V_TEXT(message_text(t, message)), V_TEXT(message_text(t, leans)));
        return;
    }
    turn_record(t, ENTRY_UNDO, SUBJECT_HATCHERY, 0, t->now_s, message, 0, 0);
    if (turn_commit(t))
        TURN_SAY(t, UNDONE, V_TEXT(message_text(t, message)), V_WHEN(message_said(t, message)));
}

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

void turn_judge(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_INJECT:
        turn_do_inject(t, r);
        break;
    case REQUEST_PLAN:
        turn_do_plan(t, r);
        break;
    case REQUEST_TEMP:
        turn_do_temp(t, r);
        break;
    case REQUEST_WAIT:
        turn_do_wait(t, r);
        break;
    case REQUEST_NO_EGGS:
        turn_do_no_eggs(t, r);
        break;
    case REQUEST_OK:
        turn_do_ok(t, r);
        break;
    case REQUEST_STRIP:
        turn_do_strip(t, r);
        break;
    case REQUEST_WHITE:
        turn_do_white(t, r);
        break;
    case REQUEST_FRAMES:
        turn_do_frames(t, r);
        break;
    case REQUEST_UNDO:
        turn_do_undo(t, r);
        break;
    case REQUEST_WHY:
        turn_do_why(t, r);
        break;
    case REQUEST_TODAY:
        turn_do_today(t);
        break;
    case REQUEST_HELP:
        turn_do_help(t, r);
        break;
    case REQUEST_LANGUAGE:
        turn_do_language(t, r);
        break;
    case REQUEST_STOP:
        do_stop(t);
        break;
    case REQUEST_START:
        do_start(t);
        break;
    case REQUEST_YES:
    case REQUEST_NO:
    case REQUEST_NONE:
    case REQUEST_KIND_COUNT:
        TURN_SAY(t, NO_QUESTION);
        break;
    }
}

/* -- open questions
 * --------------------------------------------------------------------------------- */

/* A bare weight of a female is kilograms, of eggs grams; a number that could be either is none. */
static bool bare_weight(const struct request *bare, enum request_kind kind, int64_t *weight_mg) {
    enum { KG_MOST_MILLI = 20000, G_LEAST_MILLI = 100000 };
    int64_t m = bare->count_milli;
    if (request_has(bare, SLOT_WEIGHT))
        *weight_mg = bare->weight_mg;
    else if (!request_has(bare, SLOT_COUNT) || m <= 0)
        return false;
    else if (kind == REQUEST_STRIP)
        *weight_mg = m;
    else if (m <= KG_MOST_MILLI)
        *weight_mg = m * 1000;
    else if (m >= G_LEAST_MILLI)
        *weight_mg = m;
    else
        return false;
    return true;
}

/* Puts the bare answer into the slot that was asked; false: it does not answer that. */
static bool complete(struct request *r, const struct request *bare, int64_t asked) {
    switch (asked) {
    case SLOT_TAG:
        r->tag = bare->tag;
        if (!request_has(bare, SLOT_TAG)) {
            if (!request_has(bare, SLOT_COUNT) || bare->count < 1 || bare->count > TAG_NUMBER_MAX)
                return false;
            r->tag = (struct tag){'f', (int)bare->count};
        }
        break;
    case SLOT_WEIGHT:
        if (!bare_weight(bare, r->kind, &r->weight_mg))
            return false;
        break;
    case SLOT_WATER:
        if (!request_has(bare, SLOT_WATER) && !request_has(bare, SLOT_COUNT))
            return false;
        r->water_mdegc = request_has(bare, SLOT_WATER) ? bare->water_mdegc : bare->count_milli;
        break;
    case SLOT_TIME:
        r->now = bare->now;
        r->hour = bare->hour;
        r->minute = bare->minute;
        if (!request_has(bare, SLOT_TIME) && (!request_has(bare, SLOT_COUNT) ||
                                              !text_count_clock(bare->count, &r->hour, &r->minute)))
            return false;
        if (request_has(bare, SLOT_DAY)) {
            r->has |= 1u << SLOT_DAY;
            r->day = bare->day;
        }
        break;
    case SLOT_COUNT:
        if (!request_has(bare, SLOT_COUNT))
            return false;
        r->count = bare->count;
        r->count_milli = bare->count_milli;
        if (request_has(bare, SLOT_OF)) {
            r->has |= 1u << SLOT_OF;
            r->of = bare->of;
        }
        break;
    case SLOT_LANGUAGE:
        if (!request_has(bare, SLOT_LANGUAGE))
            return false;
        r->language = bare->language;
        break;
    default:
        return false;
    }
    r->has |= 1u << asked;
    return true;
}

/* A question that wants a yes also takes the value again, put right. */
static bool complete_doubt(struct request *r, const struct request *bare, int64_t doubt) {
    if (doubt == CONFIRM_WET || doubt == CONFIRM_FEMALE)
        return complete(r, bare, SLOT_WEIGHT);
    if (doubt == CONFIRM_WATER || doubt == CONFIRM_MOVES)
        return complete(r, bare, SLOT_WATER);
    return false;
}

static bool question_open(const struct turn *t) {
    return t->question && t->now_s - t->question->asked_s <= QUESTION_MIN * MINUTE_S;
}

/* The request that the question waits with. */
static bool question_request(struct turn *t, struct request *r) {
    struct slice base, line;
    int64_t base_s;
    if (!slice_cut(t->question->line, ' ', &base, &line) || slice_int(base, &base_s) ||
        request_read(line, r))
        return false;
    if (base_s)
        t->base_s = base_s;
    if (t->question->message)
        t->root = t->question->message;
    return true;
}

/* Yes, no or a bare value to the open question. */
static void answer_question(struct turn *t, const struct request *bare) {
    struct request r;
    int64_t asked = t->question->asked;
    if (!question_request(t, &r)) {
        t->question_done = true;
        TURN_SAY(t, NO_QUESTION);
        return;
    }
    if (bare->kind == REQUEST_NO) {
        t->question_done = true;
        TURN_SAY(t, NO_CANCELLED);
        return;
    }
    bool fits;
    if (bare->kind == REQUEST_YES) {
        fits = asked >= CONFIRM_BASE;
        if (fits) {
            r.confirms |= (int)(asked - CONFIRM_BASE);
            r.has |= 1u << SLOT_CONFIRM;
        }
    } else {
        fits = asked >= CONFIRM_BASE ? complete_doubt(&r, bare, asked - CONFIRM_BASE)
                                     : complete(&r, bare, asked);
    }
    t->question_done = fits;
    turn_judge(t, &r); /* what does not fit is asked again, by the same words */
}

/* -- reading
 * ---------------------------------------------------------------------------------------- */

static void say_unknown(struct turn *t, const struct text_result *read) {
    struct slice word = slice_of(read->token);
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
    struct slice token = slice_of(read->token);
    struct reply_value kind = V_KIND(read->request.kind);
    if (read->request.kind == REQUEST_HELP) { /* help about something else is still help */
        TURN_SAY(t, HELP);
        return;
    }
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
    case TEXT_DOUBT_NONE:
    case TEXT_DOUBT_TOKEN:
        TURN_SAY(t, DOUBT_TOKEN, kind, V_TEXT(token));
        break;
    }
}

static void take_reading(struct turn *t, struct slice text, struct text_result *read) {
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
        } else if (reply_to_question && question_open(t)) {
            answer_question(t, &read->request);
        } else {
            t->question_done = read->reading == TEXT_REQUEST;
            turn_judge(t, &read->request);
        }
        break;
    }
}

/* "kiswahili" alone, while it is asked which language. */
static bool language_answer(struct turn *t, struct slice text) {
    struct buf folded = buf_make_in(t->arena, 400);
    if (!question_open(t) || t->question->asked != SLOT_LANGUAGE ||
        words_fold(slice_head(text, 100), &folded))
        return false;
    struct request r = {.kind = REQUEST_LANGUAGE, .has = 1u << SLOT_LANGUAGE};
    r.language = words_language_of(t->words, slice_trim(buf_slice(&folded)));
    if (r.language < 0)
        return false;
    t->question_done = true;
    turn_do_language(t, &r);
    return true;
}

static void begin(struct turn *t) {
    bool believable =
        t->sent_s > t->now_s - SENT_OLD_H * HOUR_S && t->sent_s <= t->now_s + SENT_AHEAD_S;
    if (!believable)
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
    } else if (!language_answer(t, text)) {
        enum err e = text_read(t->reader, turn_language(t, t->sender), text, t->arena, &read);
        if (e)
            return e;
        if (turn_sender(t)->language < 0 && read.reading == TEXT_REQUEST) {
            turn_sender(t)->language = read.language;
            turn_sender(t)->changed = true;
        }
        take_reading(t, text, &read);
    }
    turn_sender(t)->heard_s = t->now_s;
    if (!t->e)
        turn_tell_moved(t);
    if (!t->e)
        turn_tell_due(t);
    return t->e;
}

enum err turn_wake(struct turn *t) {
    begin(t);
    turn_tell_due(t);
    return t->e;
}
