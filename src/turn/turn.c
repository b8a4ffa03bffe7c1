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
        } else if (read->request.kind == REQUEST_UNDO && turn_question_open(t) &&
                   t->question->message) { /* what waits for its answer is taken back first */
            t->question_done = true;
            TURN_SAY(t, NO_CANCELLED);
        } else if (reply_to_question && turn_question_open(t)) {
            turn_answer_question(t, &read->request);
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
    if (!turn_question_open(t) || t->question->asked != SLOT_LANGUAGE ||
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
