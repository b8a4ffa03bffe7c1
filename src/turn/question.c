/* question: a bare answer completes the request that waits for it; the whole is then judged anew.
 * In: the sender's open question and what the text said; out: an answer, or the question once more.
 */
#include <string.h>

#include "turn/inside.h"

enum { MINUTE_S = 60 };

/* Feed comes in grams, in kilograms and in tins: a number without its unit is none of them. */
static bool of_feed(enum request_kind kind) {
    return kind == REQUEST_GAVE || kind == REQUEST_BOUGHT || kind == REQUEST_STORE ||
           kind == REQUEST_MEASURE;
}

/* A bare weight of a female is kilograms, of eggs grams; a number that could be either is none. */
static bool bare_weight(const struct request *bare, enum request_kind kind, int64_t *weight_mg) {
    enum { KG_MOST_MILLI = 20000, G_LEAST_MILLI = 100000 };
    int64_t m = bare->count_milli;
    if (request_has(bare, SLOT_WEIGHT))
        *weight_mg = bare->weight_mg;
    else if (!request_has(bare, SLOT_COUNT) || m <= 0 || of_feed(kind))
        return false;
    else if (kind == REQUEST_STRIP || kind == REQUEST_ORDER || kind == REQUEST_SEASON)
        *weight_mg = m;
    else if (m <= KG_MOST_MILLI)
        *weight_mg = m * 1000;
    else if (m >= G_LEAST_MILLI)
        *weight_mg = m;
    else
        return false;
    return true;
}

/* A tag, by its letter: a bare number is one of that letter. */
static bool bare_tag(const struct request *bare, char letter, struct tag *out) {
    if (request_has(bare, SLOT_TAG) && bare->tag.letter == letter) {
        *out = bare->tag;
        return true;
    }
    if (request_has(bare, SLOT_TAG) || !request_has(bare, SLOT_COUNT) || bare->count < 1 ||
        bare->count > TAG_NUMBER_MAX)
        return false;
    *out = (struct tag){letter, (int)bare->count};
    return true;
}

/* A day that was asked for: its date, or the female whose fry it is. */
static bool complete_day(struct request *r, const struct request *bare) {
    if (request_has(bare, SLOT_TAG) && bare->tag.letter == 'f') {
        r->tag = bare->tag;
        r->has |= SLOT_BIT(SLOT_TAG);
        return true;
    }
    if ((r->kind == REQUEST_CATCH || r->kind == REQUEST_ORDER) && request_has(bare, SLOT_DAY)) {
        r->day = bare->day;
        r->has |= SLOT_BIT(SLOT_DAY);
        return true;
    }
    if (!request_has(bare, SLOT_DATE))
        return false;
    r->date_day = bare->date_day;
    r->date_month = bare->date_month;
    r->date_year = bare->date_year;
    r->has |= SLOT_BIT(SLOT_DATE);
    return true;
}

/* What was measured in water: any of it, or a bare number where the oxygen was asked. */
static bool complete_reading(struct request *r, const struct request *bare, bool oxygen) {
    const uint64_t readings = SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_PH) |
                              SLOT_BIT(SLOT_AMMONIA) | SLOT_BIT(SLOT_NITRITE) |
                              SLOT_BIT(SLOT_SECCHI);
    bool number = oxygen && !(bare->has & readings) && request_has(bare, SLOT_COUNT);
    r->water_mdegc = bare->water_mdegc;
    r->oxygen_ug_l = number ? bare->count_milli : bare->oxygen_ug_l;
    r->ph_milli = bare->ph_milli;
    r->ammonia_ug_l = bare->ammonia_ug_l;
    r->nitrite_ug_l = bare->nitrite_ug_l;
    r->secchi_mm = bare->secchi_mm;
    r->has |= number ? SLOT_BIT(SLOT_OXYGEN) : bare->has & readings;
    if (request_has(bare, SLOT_TAG) && bare->tag.letter == 'p') { /* of another pond */
        r->pond = bare->tag;
        r->has = (r->has & ~SLOT_BIT(SLOT_TANK)) | SLOT_BIT(SLOT_POND);
    }
    return number || (bare->has & readings);
}

/* A sum, its currency, or both: what the text did not say before. */
static bool complete_money(struct request *r, const struct request *bare) {
    bool known = request_has(r, SLOT_MONEY) && r->money_milli >= 0, fits = false;
    int64_t milli = request_has(bare, SLOT_MONEY)   ? bare->money_milli
                    : request_has(bare, SLOT_COUNT) ? bare->count_milli
                                                    : -1;
    if (request_has(bare, SLOT_MONEY) && bare->currency[0]) {
        memcpy(r->currency, bare->currency, sizeof r->currency);
        fits = true;
    }
    if (!known && milli >= 0) {
        r->money_milli = milli;
        fits = true;
    } else if (!known) {
        r->money_milli = -1;
    }
    r->choices |= fits && !known ? bare->choices : 0; /* each, a kg */
    if (fits && request_has(bare, SLOT_CHOICE) && !known)
        r->has |= SLOT_BIT(SLOT_CHOICE);
    if (fits)
        r->has |= SLOT_BIT(SLOT_MONEY);
    return fits;
}

static bool complete_measure(struct request *r, const struct request *bare, int64_t asked) {
    bool fits = request_has(bare, (enum request_slot)asked);
    switch (asked) {
    case SLOT_DATE:
        return complete_day(r, bare);
    case SLOT_TANK:
        fits = bare_tag(bare, 'b', &r->tank);
        break;
    case SLOT_POND:
        fits = bare_tag(bare, 'p', &r->pond);
        break;
    case SLOT_VOLUME:
        r->volume_ml = bare->volume_ml;
        break;
    case SLOT_AREA:
        r->area_cm2 = bare->area_cm2;
        if (request_has(bare, SLOT_DEPTH)) {
            r->depth_mm = bare->depth_mm;
            r->has |= SLOT_BIT(SLOT_DEPTH);
        }
        break;
    case SLOT_PH:
        r->ph_milli = fits ? bare->ph_milli : bare->count_milli;
        fits = fits || request_has(bare, SLOT_COUNT);
        break;
    case SLOT_OXYGEN:
    case SLOT_SECCHI: /* of any reading: a number alone could be each of them */
        return complete_reading(r, bare, asked == SLOT_OXYGEN);
    case SLOT_PER_KG:
        r->per_kg_ul = fits ? bare->per_kg_ul : bare->count_milli;
        fits = fits || (request_has(bare, SLOT_COUNT) && bare->count_milli > 0);
        break;
    case SLOT_CHOICE:
        r->choices = bare->choices;
        break;
    case SLOT_MONTHS:
        r->month_first = bare->month_first;
        r->month_last = bare->month_last;
        r->month_first_year = bare->month_first_year;
        r->month_last_year = bare->month_last_year;
        break;
    case SLOT_MONEY:
        return complete_money(r, bare);
    case SLOT_NAME:
        if (fits)
            memcpy(r->name, bare->name, sizeof r->name);
        break;
    default:
        return false;
    }
    if (fits)
        r->has |= SLOT_BIT(asked);
    return fits;
}

static bool takes_weight(enum request_kind kind) {
    return kind == REQUEST_INJECT || kind == REQUEST_STRIP || kind == REQUEST_BROOD ||
           kind == REQUEST_DOSE;
}

/* An amount of feed as so many measures, "3 tins"; without a word those of before. */
static bool takes_measures(struct request *r, const struct request *bare) {
    bool said = request_has(bare, SLOT_CHOICE);
    if (!request_has(bare, SLOT_COUNT) || (!said && !request_has(r, SLOT_CHOICE)))
        return false;
    r->count = bare->count;
    r->count_milli = bare->count_milli;
    r->choices = said ? bare->choices : r->choices;
    r->has = (r->has | SLOT_BIT(SLOT_COUNT) | SLOT_BIT(SLOT_CHOICE)) & ~SLOT_BIT(SLOT_WEIGHT);
    return true;
}

/* Puts the bare answer into the slot that was asked; false: it does not answer that. */
static bool complete(struct request *r, const struct request *bare, int64_t asked) {
    switch (asked) {
    case SLOT_TAG:
        if (r->kind == REQUEST_TEMP && request_chose(bare, CHOICE_ALL)) {
            r->has &= ~SLOT_BIT(SLOT_TAG); /* the hatchery's water */
            return true;
        }
        if (request_has(bare, SLOT_WEIGHT) && !takes_weight(r->kind))
            return false; /* "f5 110g" is no answer to WAIT */
        if (request_has(bare, SLOT_WEIGHT) && !request_has(r, SLOT_WEIGHT)) {
            r->weight_mg = bare->weight_mg;
            r->has |= SLOT_BIT(SLOT_WEIGHT);
        }
        r->tag = bare->tag;
        if (!request_has(bare, SLOT_TAG)) {
            if (!request_has(bare, SLOT_COUNT) || bare->count < 1 || bare->count > TAG_NUMBER_MAX)
                return false;
            r->tag = (struct tag){'f', (int)bare->count};
        }
        break;
    case SLOT_WEIGHT:
        if (of_feed(r->kind) && takes_measures(r, bare))
            return true;
        if (!bare_weight(bare, r->kind, &r->weight_mg))
            return false;
        break;
    case SLOT_SAMPLE: /* what one measure of feed holds */
        if (!bare_weight(bare, r->kind, &r->sample_mg))
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
            r->has |= SLOT_BIT(SLOT_DAY);
            r->day = bare->day;
        }
        break;
    case SLOT_COUNT:
        if (!request_has(bare, SLOT_COUNT) && request_chose(bare, CHOICE_ALL)) {
            r->choices |= CHOICE_BIT(CHOICE_ALL);
            r->has |= SLOT_BIT(SLOT_CHOICE);
            return true;
        }
        if (!request_has(bare, SLOT_COUNT))
            return false;
        r->count = bare->count;
        r->count_milli = bare->count_milli;
        if (request_has(bare, SLOT_OF)) {
            r->has |= SLOT_BIT(SLOT_OF);
            r->of = bare->of;
        }
        break;
    case SLOT_LANGUAGE:
        if (!request_has(bare, SLOT_LANGUAGE))
            return false;
        r->language = bare->language;
        break;
    default:
        return complete_measure(r, bare, asked);
    }
    r->has |= SLOT_BIT(asked);
    return true;
}

/* The amount of feed, put right: weighed, or in measures. */
static bool complete_amount(struct request *r, const struct request *bare) {
    if (!complete(r, bare, SLOT_WEIGHT))
        return false;
    if (request_has(bare, SLOT_WEIGHT)) {
        r->has &= ~(SLOT_BIT(SLOT_COUNT) | SLOT_BIT(SLOT_CHOICE));
        r->choices = 0;
    }
    return true;
}

/* A question that wants a yes also takes the value again, put right. */
static bool complete_doubt(struct request *r, const struct request *bare, int64_t doubt) {
    if (of_feed(r->kind) && doubt == CONFIRM_MANY)
        return complete_amount(r, bare);
    if (of_feed(r->kind) && doubt == CONFIRM_SIZE)
        return complete(r, bare, request_has(r, SLOT_SAMPLE) ? SLOT_SAMPLE : SLOT_WEIGHT);
    if (r->kind == REQUEST_ORDER && doubt == CONFIRM_GIVEN) /* a new one of so many, not that */
        return complete(r, bare, SLOT_WEIGHT);
    if (doubt == CONFIRM_WET || doubt == CONFIRM_FEMALE || doubt == CONFIRM_EACH ||
        (doubt == CONFIRM_SHAPE && r->kind == REQUEST_STOCK))
        return complete(r, bare, SLOT_WEIGHT);
    if (doubt == CONFIRM_EARLY) /* another female's; of a fix another hour */
        return complete(
            r, bare, request_has(bare, SLOT_TAG) && r->kind != REQUEST_FIX ? SLOT_TAG : SLOT_TIME);
    if (doubt == CONFIRM_WATER || doubt == CONFIRM_MOVES)
        return complete(r, bare, SLOT_WATER);
    if (doubt == CONFIRM_MANY || doubt == CONFIRM_SELF || doubt == CONFIRM_DENSE)
        return complete(r, bare, SLOT_COUNT);
    if (doubt == CONFIRM_NAME && r->kind == REQUEST_PAID)
        return complete(r, bare, SLOT_NAME);
    if (doubt == CONFIRM_SIZE && r->kind == REQUEST_DOSE)
        return complete(r, bare, SLOT_PER_KG);
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
    /* the hour of what was recorded meanwhile is a text of its own: it can be taken back alone */
    bool fixes = r->kind == REQUEST_FIX && turn_message_stands(t, t->question->message);
    if (t->question->message && !fixes)
        t->root = t->question->message;
    return true;
}

void turn_say_dropped(struct turn *t) {
    struct request r;
    if (question_request(t, &r) && r.kind == REQUEST_UNDO)
        TURN_SAY(t, UNDO_LEFT);
    else
        TURN_SAY(t, NO_CANCELLED);
}

/* Of what has changed since it was shown no doubt counts as answered any more. What is put right or
 * taken back is then shown in any case: another text may be meant now. */
static void forget_doubts(struct request *r) {
    r->confirms &= CONFIRM_VALUES;
    if (r->kind == REQUEST_UNDO || r->kind == REQUEST_FIX)
        r->confirms |= CONFIRM_ANEW;
    if (r->confirms)
        r->has |= SLOT_BIT(SLOT_CONFIRM);
    else
        r->has &= ~SLOT_BIT(SLOT_CONFIRM);
}

/* Fish counted, taken out or put in without an hour: minutes are nothing to them, so they are
 * judged by what is left now. A strip or an injection keeps the minute of its text. */
static bool of_fish(const struct request *r) {
    return !request_has(r, SLOT_TIME) &&
           (r->kind == REQUEST_SOLD || r->kind == REQUEST_DEAD || r->kind == REQUEST_GRADE ||
            r->kind == REQUEST_COUNT || r->kind == REQUEST_STOCK || r->kind == REQUEST_MOVE ||
            r->kind == REQUEST_HARVEST);
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
    if (request_has(&r, SLOT_TAG))
        t->about_tag = r.tag;
    bool fits, yes_or_no = bare->kind == REQUEST_YES || bare->kind == REQUEST_NO;
    if (yes_or_no && r.kind == REQUEST_FIX && asked == SLOT_TIME) {
        t->question_done = true; /* the hour as it was taken */
        TURN_SAY(t, NOTED_OK_PLAIN);
        return;
    }
    if (bare->kind == REQUEST_NO && asked == CONFIRM_BASE + CONFIRM_GONE) {
        t->question_done = true; /* what was sold stands */
        TURN_SAY(t, NOTED_OK_PLAIN);
        return;
    }
    bool injected = r.kind == REQUEST_INJECT && turn_message_stands(t, t->question->message);
    if (bare->kind == REQUEST_NO && !injected) { /* only her water was asked: she is recorded */
        t->question_done = true;
        turn_say_dropped(t);
        return;
    }
    if (bare->kind == REQUEST_YES) {
        fits = asked >= CONFIRM_BASE;
        if (fits) {
            r.confirms |= (int)(asked - CONFIRM_BASE);
            r.has |= SLOT_BIT(SLOT_CONFIRM);
        }
    } else {
        fits = asked >= CONFIRM_BASE ? complete_doubt(&r, bare, asked - CONFIRM_BASE)
                                     : complete(&r, bare, asked);
    }
    if (fits && turn_changed_since(t, &r)) {
        forget_doubts(&r);
        t->base_s = of_fish(&r) ? t->sent_s : t->base_s;
    }
    t->question_done = fits;
    turn_judge(t, &r); /* what does not fit is asked again, by the same words */
}
