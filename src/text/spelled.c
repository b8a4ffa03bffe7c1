/* spelled: see spelled.h. In: a place in a text. Out: a number. No errors. People halve tins in
 * words and count few of them so; larger numbers in words are not read. Limits: to three, halves
 * and quarters. */
#include "text/spelled.h"

#include "text/feed.h"

#define MICRO ((int64_t)1000000)

static struct text_phrase phrase(const struct text_value_context *c, size_t at, uint64_t wanted) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return text_scan_pick(c->scanner, &hits, wanted, c->language, c->person);
}

static size_t past_spaces(const struct text_value_context *c, size_t at) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    return at;
}

bool text_spelled_beside(const struct text_value_context *c, size_t from, size_t at) {
    size_t behind = past_spaces(c, at), before = from;
    if (text_feed_measure(c, behind) > 0 ||
        phrase(c, behind, MEANS(MEAN_KG) | MEANS(MEAN_G)).meaning != MEAN_NONE)
        return true;
    while (before > 0 && c->folded.p[before - 1] == ' ')
        before--;
    while (before > 0 && c->folded.p[before - 1] != ' ')
        before--;
    return text_feed_measure(c, before) > 0;
}

static bool takes(const struct text_value_context *c) {
    return (c->slots & SLOT_BIT(SLOT_COUNT)) != 0 &&
           (c->kind == REQUEST_NONE || text_feed_measured(c));
}

size_t text_spelled_more(const struct text_value_context *c, size_t at,
                         struct text_number *number) {
    struct text_phrase more = phrase(c, past_spaces(c, at), MEANS(MEAN_AND_HALF));
    if (!takes(c) || more.meaning == MEAN_NONE || number->two_ways)
        return at;
    number->micro += MICRO / 2;
    return more.end;
}

size_t text_spelled_number(const struct text_value_context *c, size_t at,
                           struct text_number *number) {
    struct text_phrase p = phrase(c, at, MEANS(MEAN_NUMBER));
    if (!takes(c) || p.meaning == MEAN_NONE)
        return 0;
    bool article = phrase(c, at, MEANS(MEAN_SKIP)).end == p.end;
    size_t measure = text_feed_measure(c, past_spaces(c, p.end));
    bool whole = measure > 0 && text_scan_next(c->scanner, c->folded, measure).token == TOKEN_END;
    if (article && (c->kind == REQUEST_NONE ? !whole : measure == 0))
        return 0;
    *number = (struct text_number){.text = slice_head(slice_from(c->folded, at), p.end - at)};
    number->micro = text_scan_number(c->scanner, p.group);
    size_t end = text_spelled_more(c, p.end, number);
    return c->kind != REQUEST_NONE || text_spelled_beside(c, at, end) ? end : 0;
}

bool text_spelled_add(const struct text_value_context *c, size_t at, struct text_value *out) {
    struct text_number half = {0};
    size_t end = text_spelled_more(c, at, &half);
    if (end == at)
        return false;
    struct slice token = slice_head(slice_from(c->folded, at), end - at);
    half.text = token;
    *out = (struct text_value){
        .end = end, .token = token, .plain = true, .more = true, .number = half};
    return true;
}

bool text_spelled_share(const struct text_value_context *c, struct text_piece piece,
                        struct text_value *out) {
    enum { QUARTERS = 4 };
    int64_t count = 0, of = 0;
    struct slice token = slice_head(slice_from(c->folded, piece.at), piece.end - piece.at);
    if (c->kind == REQUEST_NONE || !text_feed_measured(c) || !takes(c) ||
        slice_int(piece.part[PART_COUNT], &count) != ERR_OK ||
        slice_int(piece.part[PART_OF], &of) != ERR_OK || count < 1 || of > QUARTERS ||
        count >= of || !text_spelled_beside(c, piece.at, piece.end))
        return false;
    *out = (struct text_value){.end = piece.end,
                               .token = token,
                               .plain = true,
                               .more = true,
                               .number = {.text = token, .micro = count * MICRO / of}};
    return true;
}

/* A unit of land behind `end`, "of an" and the like between them or not. */
static bool land_behind(const struct text_value_context *c, size_t end, struct text_phrase *unit) {
    const uint64_t land = MEANS(MEAN_ARE) | MEANS(MEAN_ACRE) | MEANS(MEAN_HA);
    const uint64_t small = MEANS(MEAN_SKIP) | MEANS(MEAN_OF);
    struct text_phrase skip = phrase(c, past_spaces(c, end), small);
    *unit = phrase(c, past_spaces(c, end), land);
    for (int i = 0; i < 2 && unit->meaning == MEAN_NONE && skip.meaning != MEAN_NONE; i++) {
        size_t next = past_spaces(c, skip.end);
        *unit = phrase(c, next, land);
        skip = phrase(c, next, small);
    }
    return unit->meaning != MEAN_NONE;
}

bool text_spelled_area(const struct text_value_context *c, size_t at, struct text_number *number,
                       struct text_phrase *unit) {
    if (!(c->slots & SLOT_BIT(SLOT_AREA)))
        return false;
    struct text_phrase p = phrase(c, at, MEANS(MEAN_NUMBER));
    if (p.meaning == MEAN_NONE || !land_behind(c, p.end, unit))
        return false;
    *number = (struct text_number){.text = slice_head(slice_from(c->folded, at), p.end - at),
                                   .micro = text_scan_number(c->scanner, p.group)};
    return true;
}

size_t text_spelled_behind(const struct text_value_context *c, size_t at, enum text_meaning unit,
                           struct text_number *number) {
    bool land = unit == MEAN_ARE || unit == MEAN_ACRE || unit == MEAN_HA;
    struct text_phrase p = phrase(c, at, MEANS(MEAN_NUMBER));
    if (!land || !(c->slots & SLOT_BIT(SLOT_AREA)) || p.meaning == MEAN_NONE)
        return text_spelled_number(c, at, number);
    *number = (struct text_number){.text = slice_head(slice_from(c->folded, at), p.end - at),
                                   .micro = text_scan_number(c->scanner, p.group)};
    return p.end;
}

bool text_spelled_area_share(const struct text_value_context *c, struct text_piece piece,
                             struct text_number *number, struct text_phrase *unit) {
    enum { PARTS_MOST = 16 };
    int64_t count = 0, of = 0;
    if (!(c->slots & SLOT_BIT(SLOT_AREA)) || slice_int(piece.part[PART_COUNT], &count) != ERR_OK ||
        slice_int(piece.part[PART_OF], &of) != ERR_OK || count < 1 || count >= of ||
        of > PARTS_MOST || !land_behind(c, piece.end, unit))
        return false;
    *number = (struct text_number){
        .text = slice_head(slice_from(c->folded, piece.at), piece.end - piece.at),
        .micro = count * MICRO / of};
    return true;
}
