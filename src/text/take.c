/* take: see take.h. In: values, one after the other. Out: the request, or the first doubt. Plain
 * numbers wait until the whole text is known, so that the order of the slots never matters. */
#include "text/take.h"

#include <string.h>

#include "text/feed.h"
#include "text/measure.h"
#include "text/money.h"
#include "text/range.h"

#define MICRO ((int64_t)1000000)
#define NUMBER_SLOTS                                                                               \
    (SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_TIME) | SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_COUNT))

void text_tell_doubt(struct text_reading_state *r, enum text_doubt doubt, struct slice token) {
    if (r->out->doubt != TEXT_DOUBT_NONE)
        return; /* the first one is asked */
    r->out->doubt = doubt;
    text_scan_echo(r->context.scanner, slice_trim(token), TEXT_TOKEN_MAX, r->out->token,
                   sizeof r->out->token);
}

static bool same_tag(struct tag a, struct tag b) {
    return a.letter == b.letter && a.number == b.number;
}

static bool same_slot(const struct request *a, const struct request *b, enum request_slot slot) {
    switch (slot) {
    case SLOT_TAG:
        return same_tag(a->tag, b->tag);
    case SLOT_WEIGHT:
        return a->weight_mg == b->weight_mg;
    case SLOT_TIME:
        return a->now == b->now && a->hour == b->hour && a->minute == b->minute;
    case SLOT_DAY:
        return a->day == b->day;
    case SLOT_WATER:
        return a->water_mdegc == b->water_mdegc;
    case SLOT_COUNT:
        return a->count_milli == b->count_milli;
    case SLOT_OF:
        return a->of == b->of;
    case SLOT_TOPIC:
        return a->topic == b->topic;
    case SLOT_LANGUAGE:
        return a->language == b->language;
    case SLOT_MALE:
        return same_tag(a->male, b->male);
    case SLOT_TANK:
        return same_tag(a->tank, b->tank);
    case SLOT_POND:
        return same_tag(a->pond, b->pond);
    case SLOT_VOLUME:
        return a->volume_ml == b->volume_ml;
    case SLOT_AREA:
        return a->area_cm2 == b->area_cm2;
    case SLOT_DEPTH:
        return a->depth_mm == b->depth_mm;
    case SLOT_PER_KG:
        return a->per_kg_ul == b->per_kg_ul;
    case SLOT_AGE:
        return a->age_days == b->age_days;
    case SLOT_DATE:
        return a->date_day == b->date_day && a->date_month == b->date_month &&
               a->date_year == b->date_year;
    case SLOT_PH:
        return a->ph_milli == b->ph_milli;
    case SLOT_PHONE:
        return strcmp(a->phone, b->phone) == 0;
    case SLOT_NAME:
        return strcmp(a->name, b->name) == 0;
    case SLOT_FEED:
        return strcmp(a->feed, b->feed) == 0;
    case SLOT_LENGTH:
        return a->length_um == b->length_um;
    case SLOT_OXYGEN:
        return a->oxygen_ug_l == b->oxygen_ug_l;
    case SLOT_AMMONIA:
        return a->ammonia_ug_l == b->ammonia_ug_l;
    case SLOT_NITRITE:
        return a->nitrite_ug_l == b->nitrite_ug_l;
    case SLOT_SECCHI:
        return a->secchi_mm == b->secchi_mm;
    case SLOT_HEIGHT:
        return a->height_m == b->height_m;
    case SLOT_MONEY:
        return a->money_milli == b->money_milli && strcmp(a->currency, b->currency) == 0;
    case SLOT_MONTHS:
        return a->month_first == b->month_first && a->month_last == b->month_last &&
               a->month_first_year == b->month_first_year &&
               a->month_last_year == b->month_last_year;
    default: /* lists and shares are put together by several.c */
        return true;
    }
}

/* The slots of growing ponds, their feed and of money; lists and shares are put together by
 * several.c. */
static void copy_growing(struct request *to, const struct request *from, enum request_slot slot) {
    switch (slot) {
    case SLOT_FEED:
        memcpy(to->feed, from->feed, sizeof to->feed);
        break;
    case SLOT_LENGTH:
        to->length_um = from->length_um;
        break;
    case SLOT_OXYGEN:
        to->oxygen_ug_l = from->oxygen_ug_l;
        break;
    case SLOT_AMMONIA:
        to->ammonia_ug_l = from->ammonia_ug_l;
        break;
    case SLOT_NITRITE:
        to->nitrite_ug_l = from->nitrite_ug_l;
        break;
    case SLOT_SECCHI:
        to->secchi_mm = from->secchi_mm;
        break;
    case SLOT_HEIGHT:
        to->height_m = from->height_m;
        break;
    case SLOT_MONEY:
        to->money_milli = from->money_milli;
        memcpy(to->currency, from->currency, sizeof to->currency);
        break;
    case SLOT_MONTHS:
        to->month_first = from->month_first;
        to->month_last = from->month_last;
        to->month_first_year = from->month_first_year;
        to->month_last_year = from->month_last_year;
        break;
    default:
        break;
    }
}

static void copy_slot(struct request *to, const struct request *from, enum request_slot slot) {
    to->has |= SLOT_BIT(slot);
    switch (slot) {
    case SLOT_TAG:
        to->tag = from->tag;
        break;
    case SLOT_WEIGHT:
        to->weight_mg = from->weight_mg;
        break;
    case SLOT_TIME:
        to->now = from->now;
        to->hour = from->hour;
        to->minute = from->minute;
        break;
    case SLOT_DAY:
        to->day = from->day;
        break;
    case SLOT_WATER:
        to->water_mdegc = from->water_mdegc;
        break;
    case SLOT_COUNT:
        to->count = from->count;
        to->count_milli = from->count_milli;
        break;
    case SLOT_OF:
        to->of = from->of;
        break;
    case SLOT_TOPIC:
        to->topic = from->topic;
        break;
    case SLOT_LANGUAGE:
        to->language = from->language;
        break;
    case SLOT_MALE:
        to->male = from->male;
        break;
    case SLOT_TANK:
        to->tank = from->tank;
        break;
    case SLOT_POND:
        to->pond = from->pond;
        break;
    case SLOT_VOLUME:
        to->volume_ml = from->volume_ml;
        break;
    case SLOT_AREA:
        to->area_cm2 = from->area_cm2;
        break;
    case SLOT_DEPTH:
        to->depth_mm = from->depth_mm;
        break;
    case SLOT_PER_KG:
        to->per_kg_ul = from->per_kg_ul;
        break;
    case SLOT_AGE:
        to->age_days = from->age_days;
        break;
    case SLOT_DATE:
        to->date_day = from->date_day;
        to->date_month = from->date_month;
        to->date_year = from->date_year;
        break;
    case SLOT_PH:
        to->ph_milli = from->ph_milli;
        break;
    case SLOT_PHONE:
        memcpy(to->phone, from->phone, sizeof to->phone);
        break;
    case SLOT_NAME:
        memcpy(to->name, from->name, sizeof to->name);
        break;
    default:
        copy_growing(to, from, slot);
        break;
    }
}

/* The slot of a tag: by its letter, where the kind has one of that letter. */
static enum request_slot tag_slot(struct tag tag, uint64_t slots) {
    enum request_slot slot = tag.letter == 'm'   ? SLOT_MALE
                             : tag.letter == 'b' ? SLOT_TANK
                             : tag.letter == 'p' ? SLOT_POND
                                                 : SLOT_TAG;
    return slots & SLOT_BIT(slot) ? slot : SLOT_TAG;
}

static struct tag *tag_of(struct request *r, enum request_slot slot) {
    return slot == SLOT_MALE   ? &r->male
           : slot == SLOT_TANK ? &r->tank
           : slot == SLOT_POND ? &r->pond
                               : &r->tag;
}

/* "to p5 from p4": the pond that fish come from stands first. */
static bool take_source(struct request *request, struct tag tag, uint64_t slots) {
    if (!(slots & SLOT_BIT(SLOT_ALSO)) || tag_slot(tag, slots) != SLOT_POND ||
        !request_has(request, SLOT_POND) || request_has(request, SLOT_ALSO) ||
        same_tag(request->pond, tag))
        return false;
    request->also[request->also_count++] = request->pond;
    request->pond = tag;
    request->has |= SLOT_BIT(SLOT_ALSO);
    return true;
}

/* A further one of a letter is another of the same, where the kind takes several. */
static void take_tag(struct text_reading_state *r, struct tag tag, uint64_t slots,
                     struct slice token) {
    struct request *request = &r->out->request;
    enum request_slot slot = tag_slot(tag, slots);
    struct tag *first = tag_of(request, slot);
    if (!(slots & SLOT_BIT(slot))) {
        text_tell_doubt(r, TEXT_DOUBT_TOKEN, token);
    } else if (!request_has(request, slot)) {
        *first = tag;
        request->has |= SLOT_BIT(slot);
    } else if (!same_tag(*first, tag)) {
        bool same_letter = first->letter == tag.letter;
        for (int i = 0; i < request->also_count; i++)
            if (same_tag(request->also[i], tag))
                return;
        /* out of one pond into one other; one fish in place of another */
        int most = slot == SLOT_POND || request->kind == REQUEST_FIX ? 1 : ALSO_MAX;
        if (!(slots & SLOT_BIT(SLOT_ALSO)) || !same_letter || slot == SLOT_TANK ||
            request->also_count >= most) {
            text_tell_doubt(r, TEXT_DOUBT_TWICE, token);
            return;
        }
        request->also[request->also_count++] = tag;
        request->has |= SLOT_BIT(SLOT_ALSO);
    }
}

/* Several words of the kind's list may stand in one text. */
static void take_choices(struct text_reading_state *r, const struct request *said, uint64_t slots,
                         struct slice token) {
    if (!(slots & SLOT_BIT(SLOT_CHOICE))) {
        text_tell_doubt(r, TEXT_DOUBT_TOKEN, token);
        return;
    }
    r->out->request.choices |= said->choices;
    r->out->request.has |= SLOT_BIT(SLOT_CHOICE);
}

/* Of two weights the first is all of it, the second that of a sample; "50 fish 110g 6.4kg" names
 * the sample first. A sample that is heavier otherwise is left so: it is asked about. */
static bool take_sample(struct text_reading_state *r, const struct request *said, uint64_t slots) {
    struct request *request = &r->out->request;
    if (!(slots & SLOT_BIT(SLOT_SAMPLE)) || request_has(request, SLOT_SAMPLE) ||
        !request_has(request, SLOT_WEIGHT) || request->weight_mg == said->weight_mg)
        return false;
    bool first = r->counted && said->weight_mg > request->weight_mg;
    request->sample_mg = first ? request->weight_mg : said->weight_mg;
    request->weight_mg = first ? said->weight_mg : request->weight_mg;
    request->has |= SLOT_BIT(SLOT_SAMPLE);
    return true;
}

void text_take(struct text_reading_state *r, const struct request *said, uint64_t slots,
               struct slice token) {
    struct request *request = &r->out->request;
    const uint64_t units = SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_VOLUME) |
                           SLOT_BIT(SLOT_AREA) | SLOT_BIT(SLOT_DEPTH) | SLOT_BIT(SLOT_PER_KG) |
                           SLOT_BIT(SLOT_AGE) | SLOT_BIT(SLOT_LENGTH) | SLOT_BIT(SLOT_HEIGHT);
    const uint64_t own_or_same = SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_SAME); /* never both */
    r->seen = true;
    bool from = r->from;
    r->from = false;
    if (request_has(said, SLOT_WEIGHT) && !request_has(request, SLOT_WEIGHT))
        r->counted = r->plain_count > 0;
    if (request_has(said, SLOT_TAG) && !(from && take_source(request, said->tag, slots)))
        take_tag(r, said->tag, slots, token);
    if (request_has(said, SLOT_CHOICE))
        take_choices(r, said, slots, token);
    for (int s = 0; s < SLOT_COUNT_ALL; s++) {
        enum request_slot slot = (enum request_slot)s;
        if (!request_has(said, slot) || slot == SLOT_TAG || slot == SLOT_CHOICE)
            continue;
        if ((slots & SLOT_BIT(slot)) == 0)
            text_tell_doubt(r, SLOT_BIT(slot) & units ? TEXT_DOUBT_UNIT : TEXT_DOUBT_TOKEN, token);
        else if (!request_has(request, slot))
            copy_slot(request, said, slot);
        else if (!same_slot(request, said, slot) &&
                 !(slot == SLOT_WEIGHT && take_sample(r, said, slots)))
            text_tell_doubt(r, TEXT_DOUBT_TWICE, token);
    }
    if ((said->has & own_or_same) != 0 && (request->has & own_or_same) == own_or_same)
        text_tell_doubt(r, TEXT_DOUBT_TWICE, token);
}

/* -- plain numbers ----------------------------------------------------------------------------- */

bool text_count_clock(int64_t count, int *hour, int *minute) {
    if (count < 100 || count > 2359 || count % 100 > 59)
        return false;
    *hour = (int)(count / 100);
    *minute = (int)(count % 100);
    return true;
}

/* Four digits that are an hour: 1830, 0630. */
static bool clock_like(const struct text_number *n, struct request *said) {
    int64_t count = -1;
    struct request r = {.has = SLOT_BIT(SLOT_TIME)};
    if (n->text.n != 4 || slice_int(n->text, &count) != ERR_OK || count < 0)
        return false;
    r.hour = (int)(count / 100);
    r.minute = (int)(count % 100);
    *said = r;
    return r.hour < 24 && r.minute < 60;
}

/* Whole and small enough to be an hour of the common clock. */
static bool hour_like(struct text_number n) {
    return !n.two_ways && n.micro >= 0 && n.micro <= 23 * MICRO && n.micro % MICRO == 0;
}

/* A number alone can be a count; of food left only beside a measure, else it is the hour. */
static bool counts(const struct text_reading_state *r) {
    return (r->context.slots & SLOT_BIT(SLOT_COUNT)) != 0 &&
           (r->context.kind != REQUEST_LEFT || request_has(&r->out->request, SLOT_CHOICE));
}

/* The kind counts fish: a number without a unit is one, even where an hour or a weight may stand,
 * too. Grams of eggs are asked back. */
static bool counts_things(const struct text_reading_state *r) {
    return counts(r) && r->context.kind != REQUEST_NONE && r->context.kind != REQUEST_STRIP;
}

/* What keeps a number without a unit from being SLOT_COUNT in this text. Where the kind has no such
 * slot but wants water, it is one if it can be nothing but degrees; the answer names them. */
static enum text_doubt count_doubt(const struct text_reading_state *r, struct text_number n) {
    uint64_t slots = r->context.slots, open = slots & ~r->out->request.has;
    uint64_t needs = words_kind_needs(r->context.scanner->words, (int)r->context.kind);
    bool measured = counts_things(r) && text_feed_measured(&r->context);
    if (n.micro < 0)
        return TEXT_DOUBT_TOKEN;
    if (counts_things(r) && !n.two_ways && n.micro % MICRO != 0 && r->context.kind != REQUEST_FIX &&
        !measured)
        return TEXT_DOUBT_TOKEN; /* half a fish; FIX may be about degrees, tins are halved */
    if (measured && n.two_ways)
        return TEXT_DOUBT_NUMBER;
    if (needs & SLOT_BIT(SLOT_COUNT))
        return TEXT_DOUBT_NONE;
    if (counts_things(r)) /* 1,500 fish are fifteen hundred */
        return TEXT_DOUBT_NONE;
    if (n.two_ways && (slots & (NUMBER_SLOTS & ~SLOT_BIT(SLOT_TIME))) != 0)
        return TEXT_DOUBT_NUMBER;
    if ((slots & SLOT_BIT(SLOT_COUNT)) != 0 && (open & SLOT_BIT(SLOT_WEIGHT)) != 0)
        return TEXT_DOUBT_NONE;
    if (needs & open & SLOT_BIT(SLOT_TANK)) /* "tank 1" is no hour: a tank is named B1 */
        return TEXT_DOUBT_TOKEN;
    int hour, minute; /* 18.30: an hour, or degrees */
    if ((open & SLOT_BIT(SLOT_TIME)) != 0 &&
        (hour_like(n) || text_number_clock(n.text, &hour, &minute)))
        return TEXT_DOUBT_CLOCK;
    if ((open & SLOT_BIT(SLOT_WATER)) != 0 && text_value_water_like(n))
        return TEXT_DOUBT_NONE;
    const uint64_t units =
        SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_VOLUME) | SLOT_BIT(SLOT_AREA) | SLOT_BIT(SLOT_PER_KG);
    return open & units ? TEXT_DOUBT_UNIT : TEXT_DOUBT_TOKEN;
}

/* Where the word for tins, bags and so on right behind the number ends, 0 if none stands there. */
static size_t measure_behind(const struct text_reading_state *r, struct text_number n) {
    size_t at = (size_t)(n.text.p - r->context.folded.p) + n.text.n;
    while (at < r->context.folded.n && r->context.folded.p[at] == ' ')
        at++;
    return text_feed_measure(&r->context, at);
}

/* Such a word ends right before the number. */
static bool measure_before(const struct text_reading_state *r, struct text_number n, size_t end) {
    return end > 0 && end + 1 == (size_t)(n.text.p - r->context.folded.p);
}

/* The number is one of tins, bags and so on: their word is right beside it, and not between it and
 * another number that the language would rather have there ("2 bags 90000", "90000 magunia 2"). */
static bool number_measured(const struct text_reading_state *r, struct text_number n) {
    bool first = words_unit_first(r->context.scanner->words, r->context.language);
    size_t behind = measure_behind(r, n), before = 0;
    bool between = false;
    for (int i = 0; i < r->measure_count; i++)
        before = measure_before(r, n, r->measures[i]) ? r->measures[i] : before;
    for (int i = 0; i < r->plain_count; i++)
        between |= first ? measure_before(r, r->plain[i], behind)
                         : before > 0 && measure_behind(r, r->plain[i]) == before;
    return first ? before > 0 || (behind > 0 && !between) : behind > 0 || (before > 0 && !between);
}

/* Of fish sold the one number behind the buyer's name, where how many or how heavy they are is said
 * before it; and beside a weight the only number, when the text says that all were sold, or that it
 * was paid or owed. */
static bool sold_for(const struct text_reading_state *r, struct text_number n) {
    const struct request *q = &r->out->request;
    bool weighed = request_has(q, SLOT_WEIGHT), one = r->plain_count == 1;
    int behind = 0;
    for (int i = 0; i < r->plain_count && r->buyer_end > 0; i++)
        behind += (size_t)(r->plain[i].text.p - r->context.folded.p) >= r->buyer_end;
    bool last = behind == 1 && (size_t)(n.text.p - r->context.folded.p) >= r->buyer_end;
    bool settled = request_chose(q, CHOICE_PAID) || request_chose(q, CHOICE_OWES) ||
                   request_chose(q, CHOICE_ALL);
    return !request_has(q, SLOT_MONEY) &&
           ((last && (weighed || !one)) || (weighed && one && settled));
}

/* What was bought is said by its weight, or by bags whose number stands at their word: another
 * number is what it cost. */
static bool money_like(const struct text_reading_state *r, struct text_number n) {
    const struct request *q = &r->out->request;
    bool measured = false;
    if (q->kind == REQUEST_SOLD)
        return sold_for(r, n);
    for (int i = 0; i < r->plain_count; i++)
        measured |= number_measured(r, r->plain[i]);
    return q->kind == REQUEST_BOUGHT && (request_has(q, SLOT_WEIGHT) || measured) &&
           !number_measured(r, n);
}

static void take_month(struct text_reading_state *r, struct text_number n) {
    struct request said = {.has = SLOT_BIT(SLOT_MONTHS)};
    if (n.two_ways || n.micro < MICRO || n.micro > 12 * MICRO || n.micro % MICRO != 0) {
        text_tell_doubt(r, TEXT_DOUBT_TOKEN, n.text);
        return;
    }
    said.month_first = said.month_last = (int)(n.micro / MICRO);
    text_take(r, &said, r->context.slots, n.text);
}

static void take_count(struct text_reading_state *r, struct text_number n) {
    struct request said = {.has = SLOT_BIT(SLOT_COUNT)};
    if (money_like(r, n)) {
        struct text_value v = text_money_plain(&r->context, n.text);
        if (v.doubt != TEXT_DOUBT_NONE)
            text_tell_doubt(r, v.doubt, n.text);
        else
            text_take(r, &v.said, r->context.slots, n.text);
        return;
    }
    enum text_doubt doubt = r->context.kind == REQUEST_NONE ? (n.two_ways    ? TEXT_DOUBT_NUMBER
                                                               : n.micro < 0 ? TEXT_DOUBT_TOKEN
                                                                             : TEXT_DOUBT_NONE)
                                                            : count_doubt(r, n);
    if (doubt != TEXT_DOUBT_NONE) {
        text_tell_doubt(r, doubt, n.text);
        return;
    }
    said.count_milli = text_number_milli(n.two_ways ? n.group : n.micro); /* things are whole */
    said.count = said.count_milli % 1000 == 0 ? said.count_milli / 1000 : -1;
    text_take(r, &said, SLOT_BIT(SLOT_COUNT), n.text);
}

/* Metres need no unit where nothing else can be meant. */
static void take_height(struct text_reading_state *r, struct text_number n) {
    struct text_value v =
        text_measure(&r->context, (size_t)(n.text.p - r->context.folded.p),
                     (size_t)(n.text.p - r->context.folded.p) + n.text.n, n, MEAN_M);
    if (v.doubt != TEXT_DOUBT_NONE)
        text_tell_doubt(r, v.doubt, n.text);
    else
        text_take(r, &v.said, r->context.slots, n.text);
}

/* A number that is no hour by its form. Degrees need no unit where nothing else can be meant. */
static void take_plain(struct text_reading_state *r, struct text_number n) {
    uint64_t slots = r->context.slots;
    if (r->context.kind == REQUEST_HOURS && hour_like(n)) {
        struct request hour = {.has = SLOT_BIT(SLOT_TIME), .hour = (int)(n.micro / MICRO)};
        if (words_clock_from_six(r->context.scanner->words, r->context.language)) {
            text_tell_doubt(r, TEXT_DOUBT_CLOCK, n.text); /* six, or noon */
            return;
        }
        text_take(r, &hour, slots, n.text);
        return;
    }
    uint64_t needs =
        words_kind_needs(r->context.scanner->words, (int)r->context.kind) & NUMBER_SLOTS;
    struct request said = {0};
    if (r->context.kind == REQUEST_HEIGHT) {
        take_height(r, n);
        return;
    }
    if (r->context.kind == REQUEST_MONTH) {
        take_month(r, n);
        return;
    }
    if (r->context.kind == REQUEST_WATER) { /* what else is measured has its word */
        needs = SLOT_BIT(SLOT_WATER);
        if (!n.two_ways && !text_range_has(text_range_bare_water(), n.micro)) {
            text_tell_doubt(r, TEXT_DOUBT_READING, n.text);
            return;
        }
    }
    if (r->context.kind == REQUEST_NONE || needs != SLOT_BIT(SLOT_WATER)) {
        take_count(r, n);
    } else if (text_value_water(n, &said)) {
        text_take(r, &said, slots, n.text);
    } else {
        text_tell_doubt(r, TEXT_DOUBT_NUMBER, n.text);
    }
}

/* Beside fish and feed that are sold, bought and caught a sum stands oftener than an hour without
 * its sign: 1500 is asked about there before it is 15:00. */
static bool sums_likelier(enum request_kind kind) {
    return kind == REQUEST_SOLD || kind == REQUEST_HARVEST;
}

/* 1830 where the kind takes an hour: one, unless none is wanted any more, or a weight or a count
 * is still wanted that it could be as well. 0630 is always an hour. */
static void take_clock_like(struct text_reading_state *r, struct text_number n,
                            const struct request *hour) {
    uint64_t slots = r->context.slots, has = r->out->request.has;
    uint64_t open = words_kind_needs(r->context.scanner->words, (int)r->context.kind) & ~has;
    if (text_feed_measured(&r->context) && (has & SLOT_BIT(SLOT_COUNT)))
        open = 0; /* three tins are as good as their weight */
    bool zero = n.text.p[0] == '0';
    bool wanted = (slots & SLOT_BIT(SLOT_TIME)) != 0 && r->context.kind != REQUEST_NONE &&
                  (has & SLOT_BIT(SLOT_TIME)) == 0 && !sums_likelier(r->context.kind) &&
                  (open & (SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_COUNT))) == 0 &&
                  (!counts_things(r) || (has & SLOT_BIT(SLOT_COUNT)) != 0);
    if (zero || wanted)
        text_take(r, hour, slots, n.text);
    else
        take_plain(r, n);
}

/* Where a number without a unit can be a count, counts are taken first and 1830 may still be one;
 * elsewhere the hour is taken first, so that 22 beside 1830 is no other hour. */
void text_settle_plain(struct text_reading_state *r) {
    struct request hour;
    bool hours_first = !counts(r);
    for (int pass = 0; pass < 2; pass++) {
        bool hours = (pass == 0) == hours_first;
        for (int i = 0; i < r->plain_count; i++) {
            if (clock_like(&r->plain[i], &hour) != hours)
                continue;
            if (hours)
                take_clock_like(r, r->plain[i], &hour);
            else
                take_plain(r, r->plain[i]);
        }
    }
}
