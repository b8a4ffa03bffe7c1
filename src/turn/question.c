/* question: a bare answer completes the request that waits for it; the whole is then judged anew.
 * In: the sender's open question and what the text said; out: an answer, or the question once more.
 */
#include "turn/inside.h"

enum { MINUTE_S = 60 };

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

bool turn_question_open(const struct turn *t) {
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
void turn_answer_question(struct turn *t, const struct request *bare) {
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
