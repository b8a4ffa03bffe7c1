/* marked: see marked.h. In: a word and the number beside it. Out: the value or a doubt. No errors.
 * Limits: a number has at most one unit behind it; oxygen as a share of what water can hold (80%)
 * is not read, since it says no amount without temperature and height. */
#include "text/marked.h"

#include "text/measure.h"
#include "trade/ammonia.h"

#define MICRO ((int64_t)1000000)

static struct text_phrase phrase(const struct text_value_context *c, size_t at, uint64_t wanted) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return text_scan_pick(c->scanner, &hits, wanted, c->language, c->person);
}

static struct text_value value(const struct text_value_context *c, size_t at, size_t end) {
    return (struct text_value){.end = end,
                               .token = slice_head(slice_from(c->folded, at), end - at)};
}

static struct text_value doubt(const struct text_value_context *c, size_t at, size_t end,
                               enum text_doubt why) {
    size_t run = end + text_scan_run(c->folded, end).n;
    bool glued = end < c->folded.n && !slice_has(SLICE(" ,;!?()\""), c->folded.p[end]);
    struct text_value v = value(c, at, glued ? run : end);
    v.doubt = why;
    return v;
}

/* The number behind a word, small words between them ("oxygen is 3.2"). */
static struct text_piece number_behind(const struct text_value_context *c, size_t at) {
    struct text_phrase small = phrase(c, at, MEANS(MEAN_SKIP));
    return text_scan_next(c->scanner, c->folded, small.meaning != MEAN_NONE ? small.end : at);
}

/* -- water ------------------------------------------------------------------------------------- */

/* What can be meant, in mg/l or cm: settles 3,200 as 3.2. Common practice, no source. */
static const struct {
    enum text_meaning word;
    enum request_slot slot;
    int64_t most;
} readings[] = {
    {MEAN_OXYGEN, SLOT_OXYGEN, 30},     {MEAN_AMMONIA, SLOT_AMMONIA, 100},
    {MEAN_AMMONIUM, SLOT_AMMONIA, 100}, {MEAN_NITRITE, SLOT_NITRITE, 100},
    {MEAN_SECCHI, SLOT_SECCHI, 400},
};

enum { READINGS = sizeof readings / sizeof *readings };

/* In thousandths of mg/l. False: more than a kit can show. */
static bool put(struct request *r, enum text_meaning word, int64_t ug_l) {
    if (word == MEAN_AMMONIUM)
        ug_l = ammonia_n_of_nh4_ug_l(ug_l);
    if (ug_l < 0)
        return false;
    if (word == MEAN_OXYGEN) {
        r->oxygen_ug_l = ug_l;
        r->has = SLOT_BIT(SLOT_OXYGEN);
    } else if (word == MEAN_NITRITE) {
        r->nitrite_ug_l = ug_l;
        r->has = SLOT_BIT(SLOT_NITRITE);
    } else {
        r->ammonia_ug_l = ug_l;
        r->has = SLOT_BIT(SLOT_AMMONIA);
    }
    return true;
}

static bool secchi(struct request *r, struct text_number n, enum text_meaning unit) {
    r->has = SLOT_BIT(SLOT_SECCHI);
    r->secchi_mm = unit == MEAN_M ? text_number_milli(n.micro) : (n.micro * 10 + MICRO / 2) / MICRO;
    return true;
}

/* The number of a reading and its unit, from the word at `at`. */
static struct text_value reading(const struct text_value_context *c, size_t at,
                                 struct text_piece piece, int which) {
    struct text_number number;
    enum text_meaning word = readings[which].word;
    const uint64_t units =
        word == MEAN_SECCHI ? MEANS(MEAN_CM) | MEANS(MEAN_M) : MEANS(MEAN_MG_L) | MEANS(MEAN_MG);
    struct text_phrase unit = phrase(c, piece.end, units);
    size_t end = unit.meaning != MEAN_NONE ? unit.end : piece.end;
    enum text_token next = text_scan_piece(c->scanner, c->folded, end).token;
    struct text_value v = value(c, at, end);
    if (next != TOKEN_GAP && next != TOKEN_END) /* do 3kg */
        return doubt(c, at, end,
                     phrase(c, end, TEXT_MEASURE_UNITS | MEANS(MEAN_KG) | MEANS(MEAN_G)).meaning !=
                             MEAN_NONE
                         ? TEXT_DOUBT_UNIT
                         : TEXT_DOUBT_TOKEN);
    if (!text_number_read(piece.part[PART_NUMBER], &number) || number.micro < 0)
        return doubt(c, at, end, TEXT_DOUBT_TOKEN);
    int64_t scale = unit.meaning == MEAN_M ? 100 : 1;
    if (!text_number_settle(&number, 0, readings[which].most * MICRO / scale) ||
        !(word == MEAN_SECCHI ? secchi(&v.said, number, unit.meaning)
                              : put(&v.said, word, text_number_milli(number.micro))))
        return doubt(c, at, end, TEXT_DOUBT_NUMBER);
    return v;
}

bool text_marked_water(const struct text_value_context *c, struct text_piece piece,
                       const struct text_hits *hits, struct text_value *out) {
    uint64_t words = 0;
    for (int i = 0; i < READINGS; i++)
        words |= c->slots & SLOT_BIT(readings[i].slot) ? MEANS(readings[i].word) : 0;
    struct text_phrase word = text_scan_pick(c->scanner, hits, words, c->language, c->person);
    if (word.meaning == MEAN_NONE)
        return false;
    struct text_piece number = number_behind(c, word.end);
    if (number.token == TOKEN_PERCENT) {
        *out = doubt(c, piece.at, number.end, TEXT_DOUBT_UNIT);
        return true;
    }
    if (number.token != TOKEN_NUMBER)
        return false;
    for (int i = 0; i < READINGS; i++)
        if (readings[i].word == word.meaning)
            *out = reading(c, piece.at, number, i);
    return true;
}

/* -- lengths ----------------------------------------------------------------------------------- */

static bool has_sides(const struct text_value_context *c) {
    return c->kind == REQUEST_TANK || c->kind == REQUEST_POND;
}

static enum text_side side_of(enum text_meaning meaning) {
    return meaning == MEAN_DEPTH ? SIDE_DEEP : meaning == MEAN_ACROSS ? SIDE_ACROSS : SIDE_NONE;
}

/* A number and its unit, either first, behind a word that begins at `at`. Nothing has no unit to
 * ask for: it is no length in any. */
static bool length_behind(const struct text_value_context *c, size_t at, size_t end,
                          struct text_value *out) {
    const uint64_t units = MEANS(MEAN_M) | MEANS(MEAN_CM);
    struct text_number number;
    struct text_phrase unit = phrase(c, end, units);
    bool before = unit.meaning != MEAN_NONE;
    struct text_piece piece = number_behind(c, before ? unit.end : end);
    if (!before)
        unit = phrase(c, piece.end, units);
    if (piece.token != TOKEN_NUMBER || !text_number_read(piece.part[PART_NUMBER], &number))
        return false;
    if (unit.meaning == MEAN_NONE && number.micro == 0)
        unit = (struct text_phrase){.meaning = MEAN_M, .end = piece.end};
    if (unit.meaning == MEAN_NONE)
        return false;
    *out = text_measure(c, at, before ? piece.end : unit.end, number, unit.meaning);
    return true;
}

bool text_marked_length(const struct text_value_context *c, struct text_piece piece,
                        const struct text_hits *hits, struct text_value *out) {
    const uint64_t words = MEANS(MEAN_DEPTH) | MEANS(MEAN_ACROSS) | MEANS(MEAN_ROUND);
    struct text_phrase word = text_scan_pick(c->scanner, hits, words, c->language, c->person);
    if (word.meaning == MEAN_ROUND && (has_sides(c) || c->kind == REQUEST_NONE)) {
        *out = value(c, piece.at, word.end);
        out->round = has_sides(c);
        out->skip = !out->round; /* "round tank b2": the kind comes behind */
        return true;
    }
    if (!has_sides(c) || word.meaning == MEAN_NONE || !length_behind(c, piece.at, word.end, out))
        return false;
    out->side = side_of(word.meaning);
    return true;
}

void text_marked_behind(const struct text_value_context *c, struct text_value *length) {
    struct text_phrase word = phrase(c, length->end, MEANS(MEAN_DEPTH) | MEANS(MEAN_ACROSS));
    struct text_value next;
    if (!has_sides(c) || length->said.has != SLOT_BIT(SLOT_DEPTH) || word.meaning == MEAN_NONE)
        return;
    /* "20m depth 1.2m": a noun says what follows; "2m deep 7.5m": an adjective what was before */
    if (phrase(c, length->end, MEANS(MEAN_BEHIND)).end != word.end &&
        length_behind(c, length->end, word.end, &next))
        return;
    size_t at = (size_t)(length->token.p - c->folded.p);
    length->end = word.end;
    length->token = slice_head(slice_from(c->folded, at), word.end - at);
    length->side = side_of(word.meaning);
}
