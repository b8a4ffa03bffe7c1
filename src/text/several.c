/* several: see several.h. In: values in the order of the text. Out: slots of the request, or the
 * first doubt. No errors. A list keeps the order of its numbers, and a share belongs to the name or
 * weight before it: here the order of the text says something, as nowhere else.
 * Limits: LIST_MAX numbers, PARTS_MAX shares. */
#include "text/several.h"

#include <string.h>

#include "text/feed.h"
#include "trade/count.h"

#define MICRO ((int64_t)1000000)

/* What one fish of a sample can weigh: settles 1,500. From a larva to the largest African catfish,
 * about 60 kg (from memory). */
enum { FISH_LEAST_MG = 1, FISH_MOST_G = 60000 };

static bool takes(const struct text_reading_state *r, enum request_slot slot) {
    return (r->context.slots & SLOT_BIT(slot)) != 0;
}

static void keep(struct text_kept *kept, size_t at, const struct text_value *v) {
    kept->is = true;
    kept->at = at;
    kept->value = *v;
}

/* Nothing but spaces and signs between two places. */
static bool next_to(const struct text_reading_state *r, size_t end, size_t at) {
    for (size_t i = end; i < at && i < r->context.folded.n; i++)
        if (!slice_has(SLICE(" ,;"), r->context.folded.p[i]))
            return false;
    return end <= at;
}

/* -- lists ------------------------------------------------------------------------------------- */

/* A weight right behind the numbers (12 15 11 g) or right before them (gramu 12 15 11): its unit
 * may be that of all. */
static bool keep_weight(struct text_reading_state *r, size_t at, const struct text_value *v) {
    bool waits = v->unit_mg > 0 && !r->weight.is && takes(r, SLOT_LIST);
    bool behind = r->plain_count > 0 && next_to(r, r->plain_end, at);
    bool before = r->plain_count == 0 && v->token.n > 0 && v->token.p[0] >= 'a';
    if (!waits || !(behind || before))
        return false;
    keep(&r->weight, at, v);
    return true;
}

static bool list_number(struct text_reading_state *r, struct text_number n, int64_t unit_mg) {
    struct request *request = &r->out->request;
    if (n.micro < 0 || request->list_count == LIST_MAX) {
        text_tell_doubt(r, TEXT_DOUBT_TOKEN, n.text);
        return false;
    }
    if (!text_number_settle(&n, FISH_LEAST_MG * MICRO / unit_mg,
                            FISH_MOST_G * 1000 * (MICRO / unit_mg))) {
        text_tell_doubt(r, TEXT_DOUBT_NUMBER, n.text);
        return false;
    }
    request->list_milli[request->list_count++] = text_value_mg(n.micro, unit_mg);
    return true;
}

static bool any_decimals(const struct text_reading_state *r) {
    for (int i = 0; i < r->plain_count; i++)
        if (!r->plain[i].two_ways && r->plain[i].micro % MICRO != 0)
            return true;
    return false;
}

/* Three numbers or more; fewer only where they cannot be a count and a weight. */
static void settle_list(struct text_reading_state *r) {
    struct request *request = &r->out->request;
    const struct text_value *weight = &r->weight.value;
    bool before = r->weight.is && r->weight.at < r->plain_at;
    bool joined =
        r->weight.is && r->plain_count > 0 && (!before || next_to(r, weight->end, r->plain_at));
    bool list = takes(r, SLOT_LIST) &&
                (r->plain_count >= 3 || (joined && (r->plain_count == 2 || any_decimals(r))));
    if (r->weight.is && !(list && joined))
        text_take(r, &weight->said, r->context.slots, weight->token);
    if (!list)
        return;
    int64_t unit_mg = joined ? weight->unit_mg : 1000;
    bool good = !(joined && before) || list_number(r, weight->number, unit_mg);
    for (int i = 0; i < r->plain_count && good; i++)
        good = list_number(r, r->plain[i], unit_mg);
    if (good && joined && !before)
        (void)list_number(r, weight->number, unit_mg);
    if (request->list_count > 0)
        request->has |= SLOT_BIT(SLOT_LIST);
    r->plain_count = 0;
}

/* -- shares ------------------------------------------------------------------------------------ */

static const struct request_part no_part = {.weight_mg = -1, .share_ppm = -1};

static bool nameless(const struct request_part *p) {
    return p->feed[0] == '\0' && p->weight_mg < 0;
}

/* What is kept becomes a share of the list, with `share_ppm` or without one. */
static void close_part(struct text_reading_state *r, int64_t share_ppm, struct slice token) {
    struct request *request = &r->out->request;
    struct request_part part = r->part.is ? r->part.value.said.parts[0] : no_part;
    bool table = r->context.kind == REQUEST_TABLE;
    part.share_ppm = share_ppm;
    r->part.is = false;
    bool second = false; /* of wanted shares there is one */
    for (int i = 0; i < request->part_count; i++)
        second |= nameless(&part) && nameless(&request->parts[i]);
    if (table ? part.weight_mg < 0 || share_ppm < 0 : part.feed[0] == '\0' && share_ppm < 0) {
        text_tell_doubt(r, TEXT_DOUBT_UNIT, token);
    } else if (second || request->part_count == PARTS_MAX) {
        text_tell_doubt(r, TEXT_DOUBT_TWICE, token);
    } else {
        request->parts[request->part_count++] = part;
        request->has |= SLOT_BIT(SLOT_PARTS);
    }
}

static struct request_part *open_part(struct text_reading_state *r, size_t at,
                                      const struct text_value *v) {
    if (!r->part.is) {
        keep(&r->part, at, v);
        r->part.value.said.parts[0] = no_part;
    }
    return &r->part.value.said.parts[0];
}

/* A name or a weight waits for its share; a second one of its sort begins the next. */
static bool keep_part(struct text_reading_state *r, size_t at, const struct text_value *v) {
    bool feed = request_has(&v->said, SLOT_FEED), weight = request_has(&v->said, SLOT_WEIGHT);
    bool share = request_has(&v->said, SLOT_PARTS);
    if (!takes(r, SLOT_PARTS) || takes(r, SLOT_WEIGHT) || !(feed || weight || share))
        return false;
    r->seen = true;
    if (share) {
        close_part(r, v->said.parts[0].share_ppm, v->token);
        return true;
    }
    struct request_part *part = open_part(r, at, v);
    if (feed && part->feed[0] != '\0' && r->name_end + 1 >= at) {
        text_tell_doubt(r, TEXT_DOUBT_TOKEN, v->token); /* a name of too many words */
        return true;
    }
    if (feed ? part->feed[0] != '\0' : part->weight_mg >= 0) {
        close_part(r, -1, r->part.value.token);
        part = open_part(r, at, v);
    }
    if (feed) {
        memcpy(part->feed, v->said.feed, sizeof part->feed);
        r->name_end = v->end;
    } else {
        part->weight_mg = v->said.weight_mg;
    }
    return true;
}

/* -- round ponds ------------------------------------------------------------------------------- */

static bool keep_side(struct text_reading_state *r, size_t at, const struct text_value *v) {
    bool kind = r->context.kind == REQUEST_TANK || r->context.kind == REQUEST_POND;
    if (kind && v->round) {
        r->round = r->seen = true;
        return true;
    }
    if (!kind || v->said.has != SLOT_BIT(SLOT_DEPTH) || r->side_count == SIDES_MAX)
        return false;
    keep(&r->sides[r->side_count++], at, v);
    r->seen = true;
    return true;
}

/* The first length that the word says, else the first that no word names. */
static struct text_kept *side(struct text_reading_state *r, enum text_side which, bool unnamed) {
    for (int pass = 0; pass < (unnamed ? 2 : 1); pass++)
        for (int i = 0; i < r->side_count; i++)
            if (r->sides[i].is && r->sides[i].value.side == (pass == 0 ? which : SIDE_NONE))
                return &r->sides[i];
    return NULL;
}

/* A round tank has a volume, pi/4 d2 h; a pond an area, the volume for a metre of depth. */
static void settle_sides(struct text_reading_state *r) {
    uint64_t slots = r->context.slots;
    bool tank = r->context.kind == REQUEST_TANK;
    /* "tank b1 7.5m, depth 2m": no other tank has one side */
    bool one = tank && r->side_count == 2 && side(r, SIDE_DEEP, false) != NULL;
    struct text_kept *across = side(r, SIDE_ACROSS, r->round || one);
    if (across == NULL && r->round)
        text_tell_doubt(r, TEXT_DOUBT_UNIT, SLICE("round"));
    if (across != NULL) {
        int64_t across_mm = across->value.said.depth_mm;
        across->is = false;
        struct text_kept *deep = side(r, SIDE_DEEP, true);
        struct request said = {.has = SLOT_BIT(tank ? SLOT_VOLUME : SLOT_AREA)};
        said.volume_ml = count_round_ml(across_mm, deep != NULL ? deep->value.said.depth_mm : 0);
        said.area_cm2 = (count_round_ml(across_mm, 1000) + 50) / 100;
        if (tank ? said.volume_ml == 0 : said.area_cm2 == 0)
            text_tell_doubt(r, TEXT_DOUBT_UNIT, across->value.token);
        else
            text_take(r, &said, slots, across->value.token);
        if (tank && deep != NULL)
            deep->is = false;
    }
    for (int i = 0; i < r->side_count; i++)
        if (r->sides[i].is)
            text_take(r, &r->sides[i].value.said, slots, r->sides[i].value.token);
}

/* -- together ---------------------------------------------------------------------------------- */

bool text_several_take(struct text_reading_state *r, size_t at, const struct text_value *v) {
    if (r->context.kind == REQUEST_NONE)
        return false;
    return keep_part(r, at, v) || keep_side(r, at, v) ||
           (request_has(&v->said, SLOT_WEIGHT) && keep_weight(r, at, v));
}

void text_several_settle(struct text_reading_state *r) {
    settle_list(r);
    if (r->part.is)
        close_part(r, -1, r->part.value.token);
    settle_sides(r);
}

/* "cup 250g sugar": what is not known as feed needs the word MEASURE to be one. */
static bool doubtful_measure(const struct text_reading_state *r) {
    struct text_hits hits =
        text_scan_hits(r->context.scanner, r->context.folded, r->context.kind_at);
    struct text_phrase own = text_scan_pick(r->context.scanner, &hits, MEANS(MEAN_CHOICE),
                                            r->context.language, r->context.person);
    return own.meaning != MEAN_NONE && own.end == r->context.kind_end &&
           !text_feed_known(r->context.scanner, slice_of(r->out->request.feed));
}

/* Of one thing: a feed, or what a choice names. */
static void check_price(struct text_reading_state *r) {
    struct request *request = &r->out->request;
    const uint64_t things =
        CHOICE_BIT(CHOICE_FINGERLINGS) | CHOICE_BIT(CHOICE_FRY) | CHOICE_BIT(CHOICE_FISH);
    if (!request_has(request, SLOT_FEED) || (request->choices & things) == 0)
        return;
    text_tell_doubt(r, TEXT_DOUBT_TOKEN, slice_of(request->feed));
    request->has &= ~SLOT_BIT(SLOT_FEED);
}

/* "fed the children" and "gave him 500" are about something else: feed has an amount, and a number
 * without a measure is one only of a pond. */
void text_several_check(struct text_reading_state *r) {
    struct request *request = &r->out->request;
    enum request_kind kind = request->kind;
    bool counted = request_has(request, SLOT_COUNT), feed = request_has(request, SLOT_FEED);
    bool whose = request_has(request, SLOT_POND) || request_has(request, SLOT_TAG);
    bool amount =
        request_has(request, SLOT_WEIGHT) || (counted && request_has(request, SLOT_CHOICE));
    if (kind == REQUEST_PRICE)
        check_price(r);
    if (!takes(r, SLOT_FEED) || kind == REQUEST_NONE || kind == REQUEST_PRICE)
        return;
    /* "gave p2 bran", "bought bran": the turn asks how much */
    bool asks = r->out->doubt == TEXT_DOUBT_NONE && !counted &&
                (kind == REQUEST_BOUGHT || (kind == REQUEST_GAVE && whose) ||
                 (kind == REQUEST_FED && request_has(request, SLOT_POND))) &&
                text_feed_known(r->context.scanner, slice_of(request->feed));
    bool wrong =
        kind == REQUEST_MEASURE ? doubtful_measure(r) : kind != REQUEST_STORE && !amount && !asks;
    if (feed && wrong) {
        text_tell_doubt(r, TEXT_DOUBT_TOKEN, slice_of(request->feed));
        request->has &= ~SLOT_BIT(SLOT_FEED);
    } else if (counted && !amount && (kind == REQUEST_FED || !whose)) {
        text_tell_doubt(r, TEXT_DOUBT_UNIT, r->plain[0].text);
    }
}
