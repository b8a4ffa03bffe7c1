/* value: see value.h. In: the piece at a place and what stands around it. Out: the value, or the
 * doubt. No errors. A number takes its meaning from what stands beside it, one place before or
 * behind: 1.2kg and kilo 1.2, 6.30pm and saa 12:30 jioni. Limits: looks at most six pieces ahead,
 * so a text is read in time that grows with its length. */
#include "text/value.h"

#include "text/clock.h"
#include "text/feed.h"
#include "text/marked.h"
#include "text/measure.h"
#include "text/money.h"
#include "text/months.h"
#include "text/name.h"
#include "text/range.h"
#include "text/spelled.h"

#define MICRO ((int64_t)1000000)
#define ANY_UNIT                                                                                   \
    (MEANS(MEAN_KG) | MEANS(MEAN_G) | MEANS(MEAN_MG) | MEANS(MEAN_DEGC) | TEXT_MEASURE_UNITS)

static struct text_phrase pick(const struct text_value_context *c, const struct text_hits *hits,
                               uint64_t wanted) {
    return text_scan_pick(c->scanner, hits, wanted, c->language, c->person);
}

static struct text_phrase phrase_at(const struct text_value_context *c, size_t at,
                                    uint64_t wanted) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return pick(c, &hits, wanted);
}

static size_t past_spaces(const struct text_value_context *c, size_t at) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    return at;
}

static struct slice span(const struct text_value_context *c, size_t from, size_t to) {
    return slice_head(slice_from(c->folded, from), to - from);
}

/* Past small words that say nothing ("in the", "is"), at most two, so that what they join is found
 * without reading far. */
static size_t past_small_words(const struct text_value_context *c, size_t at) {
    enum { SMALL_WORDS_MAX = 2 };
    at = past_spaces(c, at);
    for (int i = 0; i < SMALL_WORDS_MAX; i++) {
        struct text_phrase small =
            phrase_at(c, at, MEANS(MEAN_SKIP) | MEANS(MEAN_THING) | MEANS(MEAN_EGGS));
        if (small.meaning == MEAN_NONE)
            break;
        at = past_spaces(c, small.end);
    }
    return at;
}

/* A value that was not understood: the run from its start, or to where reading came. */
static struct text_value doubt(const struct text_value_context *c, size_t at, size_t end,
                               enum text_doubt why) {
    struct slice run = text_scan_run(c->folded, at);
    struct text_value v = {.doubt = why, .end = end};
    if (at + run.n > end)
        v.end = at + run.n;
    v.token = span(c, at, v.end);
    return v;
}

static struct text_value said(const struct text_value_context *c, size_t at, size_t end,
                              enum request_slot slot) {
    struct text_value v = {.end = end, .token = span(c, at, end)};
    v.said.has = SLOT_BIT(slot);
    return v;
}

/* -- weights and degrees ----------------------------------------------------------------------- */

bool text_value_water(struct text_number number, struct request *r) {
    struct text_range range = text_range_of(MEAN_DEGC, REQUEST_NONE);
    if (!text_number_settle(&number, range.least_micro, range.most_micro))
        return false;
    r->water_mdegc = text_number_milli(number.micro);
    r->has |= SLOT_BIT(SLOT_WATER);
    return true;
}

bool text_value_water_like(struct text_number number) {
    return !number.two_ways && text_range_has(text_range_of(MEAN_DEGC, REQUEST_NONE), number.micro);
}

int64_t text_value_mg(int64_t micro, int64_t unit_mg) {
    return unit_mg >= MICRO  ? micro * (unit_mg / MICRO)
           : unit_mg >= 1000 ? text_number_milli(micro) * (unit_mg / 1000)
                             : micro / MICRO * unit_mg;
}

bool text_value_weight(struct text_number number, enum text_meaning unit, enum request_kind kind,
                       struct request *r) {
    struct text_range range = text_range_of(unit, kind);
    if (!text_number_settle(&number, range.least_micro, range.most_micro))
        return false;
    r->weight_mg = text_value_mg(number.micro, text_range_unit_mg(unit));
    r->has |= SLOT_BIT(SLOT_WEIGHT);
    return true;
}

static struct text_value with_unit(const struct text_value_context *c, size_t at, size_t end,
                                   struct text_number number, enum text_meaning unit) {
    struct text_value v = {.end = end, .token = span(c, at, end)};
    bool water = unit == MEAN_DEGC;
    if (MEANS(unit) & TEXT_MEASURE_UNITS)
        return text_measure(c, at, end, number, unit);
    if (!water) {
        v.unit_mg = text_range_unit_mg(unit);
        v.number = number;
    }
    if (!water && number.micro < 0)
        v.doubt = TEXT_DOUBT_TOKEN;
    else if (water ? !text_value_water(number, &v.said)
                   : !text_value_weight(number, unit, c->kind, &v.said))
        v.doubt = TEXT_DOUBT_NUMBER;
    return v;
}

/* -- hours ------------------------------------------------------------------------------------- */

/* The part of the day behind `at`: "6 in the morning" is one phrase or has small words between. */
static struct text_phrase part_behind(const struct text_value_context *c, size_t at) {
    struct text_phrase p = phrase_at(c, past_spaces(c, at), MEANS(MEAN_PART));
    return p.meaning != MEAN_NONE ? p : phrase_at(c, past_small_words(c, at), MEANS(MEAN_PART));
}

/* Small whole numbers as typed, at most two digits; -1 otherwise. */
static int small_number(struct slice s) {
    int64_t v = -1;
    return s.n >= 1 && s.n <= 2 && slice_int(s, &v) == ERR_OK ? (int)v : -1;
}

/* The hour and minutes of a piece that can be one. `marked`: a word beside it says that it is. */
static bool hour_of(struct text_piece piece, bool marked, struct text_clock *clock) {
    struct slice number = piece.part[PART_NUMBER];
    clock->alone = false;
    clock->minute = 0;
    if (piece.token == TOKEN_CLOCK || piece.token == TOKEN_HOURS) {
        clock->hour = small_number(piece.part[PART_HOUR]);
        /* 2h is how long, or when; 06h and 18h are when. */
        clock->alone = piece.token == TOKEN_HOURS && piece.part[PART_HOUR].p[0] != '0';
        if (piece.token == TOKEN_CLOCK)
            clock->minute = small_number(piece.part[PART_MINUTE]);
        return true;
    }
    if (piece.token != TOKEN_NUMBER || !marked)
        return false;
    if (text_number_clock(number, &clock->hour, &clock->minute))
        return true;
    if (number.n == 4 && !slice_has(number, '.') && !slice_has(number, ',')) {
        clock->hour = small_number(slice_head(number, 2));
        clock->minute = small_number(slice_from(number, 2));
        return true;
    }
    clock->hour = small_number(number);
    clock->alone = true;
    return clock->hour >= 0;
}

static struct text_value clock_value(const struct text_value_context *c, size_t at, size_t end,
                                     const struct text_clock *clock) {
    struct text_value v = said(c, at, end, SLOT_TIME);
    enum text_clock_verdict verdict = text_clock_read(clock, &v.said.hour);
    v.said.minute = clock->minute;
    if (verdict != CLOCK_READ)
        return doubt(c, at, end, verdict == CLOCK_DOUBTFUL ? TEXT_DOUBT_CLOCK : TEXT_DOUBT_TOKEN);
    return v;
}

/* Past the same hour on the common clock: "saa 12:30 asubuhi (06:30)", as replies write it. */
static size_t past_same_hour(const struct text_value_context *c, size_t end,
                             const struct request *hour) {
    struct text_piece piece = text_scan_next(c->scanner, c->folded, end);
    struct text_clock clock = {0};
    bool same = piece.token == TOKEN_CLOCK && hour_of(piece, true, &clock) &&
                clock.hour == hour->hour && clock.minute == hour->minute;
    return same ? piece.end : end;
}

/* An hour that begins at `at`: [word for hour] hour [part of the day], or the part first. False:
 * no hour stands here. */
static bool read_hour(const struct text_value_context *c, struct text_piece piece,
                      struct text_value *out) {
    size_t at = piece.at;
    struct text_clock clock = {0};
    struct text_hits hits = {0};
    if (piece.token == TOKEN_WORD)
        hits = text_scan_hits(c->scanner, c->folded, at);
    struct text_phrase part = pick(c, &hits, MEANS(MEAN_PART));
    struct text_phrase word = pick(c, &hits, MEANS(MEAN_HOUR));
    bool part_first = part.meaning != MEAN_NONE;
    if (part_first) {
        piece = text_scan_next(c->scanner, c->folded, part.end);
        word = phrase_at(c, piece.at, MEANS(MEAN_HOUR));
        if (word.meaning == MEAN_NONE && piece.token != TOKEN_CLOCK)
            return false;
    }
    if (word.meaning != MEAN_NONE)
        piece = text_scan_next(c->scanner, c->folded, word.end);
    if (piece.token != TOKEN_CLOCK && piece.token != TOKEN_HOURS && piece.token != TOKEN_NUMBER)
        return false;
    if (!part_first)
        part = part_behind(c, piece.end);
    if (piece.token == TOKEN_NUMBER && part.meaning == MEAN_NONE &&
        phrase_at(c, past_spaces(c, piece.end), ANY_UNIT).meaning != MEAN_NONE)
        return false;
    if (!hour_of(piece, word.meaning != MEAN_NONE || part.meaning != MEAN_NONE, &clock))
        return false;
    if (part.meaning == MEAN_PART)
        clock.part = text_scan_part(c->scanner, part.group);
    int language = part.meaning != MEAN_NONE   ? part.language
                   : word.meaning != MEAN_NONE ? word.language
                                               : c->language;
    clock.from_six = words_clock_from_six(c->scanner->words, language);
    size_t end = part.meaning != MEAN_NONE && !part_first ? part.end : piece.end;
    *out = clock_value(c, at, end, &clock);
    if (out->doubt == TEXT_DOUBT_NONE && clock.from_six)
        out->end = past_same_hour(c, end, &out->said);
    return true;
}

/* -- numbers ----------------------------------------------------------------------------------- */

/* A whole number, by groups if need be: a count of things. */
static bool whole_number(struct text_number n, int64_t *out) {
    int64_t micro = n.two_ways ? n.group : n.micro;
    *out = micro / MICRO;
    return micro >= 0 && micro % MICRO == 0;
}

/* "of 100" at `at`: where it ends; 0 if it does not stand there. */
static size_t read_of(const struct text_value_context *c, size_t at, int64_t *of) {
    struct text_number number;
    struct text_phrase p = phrase_at(c, at, MEANS(MEAN_OF));
    if (p.meaning == MEAN_NONE)
        return 0;
    struct text_piece piece = text_scan_next(c->scanner, c->folded, p.end);
    if (piece.token != TOKEN_NUMBER || !text_number_read(piece.part[PART_NUMBER], &number) ||
        !whole_number(number, of))
        return 0;
    return piece.end;
}

static struct text_value count_of(const struct text_value_context *c, size_t at, size_t end,
                                  int64_t count, int64_t of) {
    struct text_value v = said(c, at, end, SLOT_COUNT);
    v.said.has |= SLOT_BIT(SLOT_OF);
    v.said.count = count;
    v.said.count_milli = count * 1000;
    v.said.of = of;
    return v;
}

/* Letters or signs right behind a number that are no unit: 2nakumis, 24-25, 30%. */
static bool runs_on(const struct text_value_context *c, size_t end) {
    struct text_piece next = text_scan_piece(c->scanner, c->folded, end);
    return next.token != TOKEN_END && next.token != TOKEN_GAP;
}

/* Plausible for the unit, one way or the other. */
static bool fits_unit(const struct text_value_context *c, struct text_number number,
                      enum text_meaning unit) {
    struct text_range range = text_range_of(unit, c->kind);
    return (MEANS(unit) & TEXT_MEASURE_UNITS) != 0 || text_range_has(range, number.micro) ||
           (number.two_ways && text_range_has(range, number.group));
}

static bool whole_one(struct text_number n) {
    return n.two_ways || n.micro % MICRO == 0;
}

/* Behind a number at `at`, over units and numbers in turn, spaces between them. False: the last is
 * a unit, so each number has its own behind it. Else `last` is the number that is left over. */
static bool number_left(const struct text_value_context *c, size_t at, struct text_number *last) {
    enum { LINKS_MAX = 4 };
    for (int i = 0; i < LINKS_MAX; i++) {
        struct text_phrase unit = phrase_at(c, past_spaces(c, at), ANY_UNIT);
        struct text_piece next = text_scan_next(c->scanner, c->folded, unit.end);
        if (unit.meaning == MEAN_NONE)
            return true;
        if (next.token != TOKEN_NUMBER ||
            (unit.end < c->folded.n && c->folded.p[unit.end] != ' ') ||
            !text_number_read(next.part[PART_NUMBER], last))
            return false;
        at = next.end;
    }
    return true;
}

/* "1830 kilo 1.2": the unit stands between two numbers and goes with the first only where that is
 * plausible; else the first is left as a plain number. Wrong either way is told: the number without
 * a unit has no place. Where fish are counted it would have one ("samaki 50 gramu 110"): there the
 * number with decimals is no count, and between whole ones the language of the unit decides, which
 * has it before its number or behind. */
static bool unit_of_next(const struct text_value_context *c, size_t end, struct text_number number,
                         struct text_phrase unit) {
    bool spaced = end < c->folded.n && c->folded.p[end] == ' ';
    struct text_piece piece = text_scan_next(c->scanner, c->folded, unit.end);
    struct text_number next, last = number;
    if (!spaced || piece.token != TOKEN_NUMBER || !text_number_read(piece.part[PART_NUMBER], &next))
        return false;
    if (!fits_unit(c, number, unit.meaning))
        return true;
    if ((c->slots & SLOT_BIT(SLOT_COUNT)) == 0 || !fits_unit(c, next, unit.meaning) ||
        !number_left(c, end, &last))
        return false;
    return whole_one(number) != whole_one(last)
               ? whole_one(number)
               : words_unit_first(c->scanner->words, unit.language);
}

/* 12,15,11,40 where the kind takes a list: the number up to the first comma. One comma alone is a
 * decimal sign, or groups thousands. */
static struct text_piece first_of_list(const struct text_value_context *c,
                                       struct text_piece piece) {
    struct slice *number = &piece.part[PART_NUMBER], head, tail;
    bool behind = piece.at >= 2 && c->folded.p[piece.at - 1] == ',' &&
                  c->folded.p[piece.at - 2] >= '0' && c->folded.p[piece.at - 2] <= '9';
    if ((c->slots & SLOT_BIT(SLOT_LIST)) == 0 || piece.token != TOKEN_NUMBER ||
        !slice_cut(*number, ',', &head, &tail) || !(behind || slice_has(tail, ',')))
        return piece;
    *number = head;
    piece.end = piece.at + head.n;
    return piece;
}

static struct text_value read_number(const struct text_value_context *c, struct text_piece piece) {
    struct text_number number;
    struct text_value v;
    int64_t count, of;
    size_t at = piece.at;
    if (text_measure_date(c, piece, &v) || text_measure_group(c, piece, &v))
        return v;
    if (!text_number_read(piece.part[PART_NUMBER], &number))
        return doubt(c, at, piece.end, TEXT_DOUBT_TOKEN);
    piece.end = text_spelled_more(c, piece.end, &number);
    struct text_phrase unit = phrase_at(c, past_spaces(c, piece.end), ANY_UNIT);
    if (unit.meaning != MEAN_NONE && !unit_of_next(c, piece.end, number, unit)) {
        v = with_unit(c, at, unit.end, number, unit.meaning);
        text_marked_behind(c, &v);
        return v;
    }
    size_t measure = text_feed_measure(c, piece.end); /* 3tins */
    size_t of_end = read_of(c, past_spaces(c, piece.end), &of);
    if (of_end > 0 && whole_number(number, &count))
        return count_of(c, at, of_end, count, of);
    if (measure == 0 && runs_on(c, piece.end))
        return doubt(c, at, piece.end, TEXT_DOUBT_TOKEN);
    return (struct text_value){
        .end = piece.end, .token = piece.part[PART_NUMBER], .plain = true, .number = number};
}

static struct text_value read_share(const struct text_value_context *c, struct text_piece piece) {
    int64_t count = 0, of = 0;
    struct text_value day, share;
    struct text_number part;
    struct text_phrase land;
    if (text_spelled_area_share(c, piece, &part, &land))
        return text_measure(c, piece.at, land.end, part, land.meaning);
    if (text_spelled_share(c, piece, &share))
        return share;
    bool date = text_measure_date(c, piece, &day); /* 14/3 where a day can stand */
    if (date && c->kind != REQUEST_NONE)
        return day;
    if (slice_int(piece.part[PART_COUNT], &count) != ERR_OK ||
        slice_int(piece.part[PART_OF], &of) != ERR_OK)
        return doubt(c, piece.at, piece.end, TEXT_DOUBT_TOKEN);
    share = count_of(c, piece.at, piece.end, count, of);
    if (date && day.doubt == TEXT_DOUBT_NONE) { /* only the question knows which was asked */
        share.said.has |= SLOT_BIT(SLOT_DATE);
        share.said.date_day = day.said.date_day;
        share.said.date_month = day.said.date_month;
    }
    return share;
}

static struct text_value read_tag(const struct text_value_context *c, struct text_piece piece) {
    int64_t number = 0;
    struct text_value v = said(c, piece.at, piece.end, SLOT_TAG);
    if (slice_int(piece.part[PART_NUMBER], &number) != ERR_OK || number < 1 ||
        number > TAG_NUMBER_MAX || piece.part[PART_LETTER].n != 1)
        return doubt(c, piece.at, piece.end, TEXT_DOUBT_TOKEN);
    v.said.tag = (struct tag){piece.part[PART_LETTER].p[0], (int)number};
    return v;
}

/* t24, and the C that may follow. */
static struct text_value read_water(const struct text_value_context *c, struct text_piece piece) {
    struct text_number number;
    size_t end = piece.end;
    if (!text_number_read(piece.part[PART_NUMBER], &number))
        return doubt(c, piece.at, end, TEXT_DOUBT_TOKEN);
    struct text_phrase unit = phrase_at(c, past_spaces(c, end), MEANS(MEAN_DEGC));
    struct text_phrase other = phrase_at(c, end, ANY_UNIT);
    if (unit.meaning != MEAN_NONE)
        end = unit.end;
    else if (other.meaning != MEAN_NONE) /* t 3kg */
        return doubt(c, piece.at, other.end, TEXT_DOUBT_UNIT);
    else if (runs_on(c, end))
        return doubt(c, piece.at, end, TEXT_DOUBT_TOKEN);
    return with_unit(c, piece.at, end, number, MEAN_DEGC);
}

/* -- words ------------------------------------------------------------------------------------- */

/* Half a tin, half a kilo, kopo moja. */
static bool read_spelled(const struct text_value_context *c, size_t at, struct text_value *out) {
    struct text_number number;
    struct text_phrase land;
    if (text_spelled_area(c, at, &number, &land)) {
        *out = text_measure(c, at, land.end, number, land.meaning);
        return true;
    }
    if (text_spelled_add(c, at, out))
        return true;
    size_t end = text_spelled_number(c, at, &number);
    if (end == 0)
        return false;
    struct text_phrase unit =
        phrase_at(c, past_spaces(c, end), MEANS(MEAN_KG) | MEANS(MEAN_G) | MEANS(MEAN_MG));
    if (unit.meaning != MEAN_NONE)
        *out = with_unit(c, at, unit.end, number, unit.meaning);
    else
        *out = (struct text_value){
            .end = end, .token = span(c, at, end), .plain = true, .number = number};
    return true;
}

/* A unit, or the word for temperature, before its number: kilo 1.2, temp 24. */
static bool unit_before(const struct text_value_context *c, size_t at, struct text_phrase unit,
                        struct text_value *out) {
    struct text_number number;
    struct text_piece piece = text_scan_next(c->scanner, c->folded, past_small_words(c, unit.end));
    size_t end =
        piece.token == TOKEN_WORD ? text_spelled_behind(c, piece.at, unit.meaning, &number) : 0;
    if (end > 0) { /* kilo moja */
        *out = with_unit(c, at, end, number, unit.meaning);
        return true;
    }
    if (piece.token != TOKEN_NUMBER || !text_number_read(piece.part[PART_NUMBER], &number))
        return false;
    end = text_spelled_more(c, piece.end, &number);
    struct text_phrase again = phrase_at(c, past_spaces(c, end), MEANS(unit.meaning));
    if (again.meaning != MEAN_NONE)
        end = again.end;
    else if (runs_on(c, end))
        return false;
    *out = with_unit(c, at, end, number, unit.meaning);
    return true;
}

static struct text_value phrase_value(const struct text_value_context *c, size_t at,
                                      struct text_phrase p) {
    const struct words *w = c->scanner->words;
    struct text_value v = {.end = p.end, .token = span(c, at, p.end)};
    switch (p.meaning) {
    case MEAN_NOW:
        v = said(c, at, p.end, SLOT_TIME);
        v.said.now = true;
        return v;
    case MEAN_TODAY:
    case MEAN_YESTERDAY:
    case MEAN_TOMORROW:
        v = said(c, at, p.end, SLOT_DAY);
        v.said.day = p.meaning == MEAN_TODAY ? 0 : p.meaning == MEAN_TOMORROW ? 1 : -1;
        return v;
    case MEAN_SAME:
        return said(c, at, p.end, SLOT_SAME);
    case MEAN_KIND:
        v = said(c, at, p.end, SLOT_TOPIC);
        v.said.topic = (enum request_kind)words_group_kind(w, p.group);
        return v;
    case MEAN_LANGUAGE:
        v = said(c, at, p.end, SLOT_LANGUAGE);
        v.said.language = words_group_language(w, p.group);
        return v;
    default: /* MEAN_SKIP, MEAN_THING, and a word for hour that names none: "at f3" */
        v.skip = true;
        return v;
    }
}

/* The meanings that can stand alone in a text of this kind. */
static uint64_t standing(const struct text_value_context *c) {
    uint64_t wanted = MEANS(MEAN_NOW) | MEANS(MEAN_TODAY) | MEANS(MEAN_YESTERDAY) |
                      MEANS(MEAN_TOMORROW) | MEANS(MEAN_SAME);
    if (c->slots & SLOT_BIT(SLOT_TOPIC))
        wanted = MEANS(MEAN_KIND);
    if (c->slots & SLOT_BIT(SLOT_LANGUAGE))
        wanted |= MEANS(MEAN_LANGUAGE);
    return wanted;
}

/* A language by its code: only where one is awaited, "ha" is also a laugh. */
static bool language_code(const struct text_value_context *c, struct text_piece piece,
                          struct text_value *out) {
    if (c->kind != REQUEST_LANGUAGE)
        return false;
    int language = words_language_of(c->scanner->words, span(c, piece.at, piece.end));
    if (language < 0)
        return false;
    *out = said(c, piece.at, piece.end, SLOT_LANGUAGE);
    out->said.language = language;
    return true;
}

/* What says nothing here. A thing (fish, tank) does beside a kind that is about none: "wrong fish"
 * and "take back the fish" are not UNDO. Eggs are no feed: "gave 150 g of eggs" is about a strip.
 */
static uint64_t passed_over(const struct text_value_context *c) {
    bool depth = (c->slots & SLOT_BIT(SLOT_DEPTH)) != 0 || c->kind == REQUEST_TANK;
    bool feed = (c->slots & SLOT_BIT(SLOT_FEED)) != 0;
    bool things = c->slots != 0 && c->kind != REQUEST_UNDO;
    return MEANS(MEAN_SKIP) | (depth ? MEANS(MEAN_DEPTH) : 0) |
           (c->slots & SLOT_BIT(SLOT_DATE) ? MEANS(MEAN_DATE) : 0) |
           (things ? MEANS(MEAN_THING) : 0) | (things && !feed ? MEANS(MEAN_EGGS) : 0) |
           (feed ? MEANS(MEAN_FOOD) : 0);
}

/* The words for temperature and for water, before degrees. */
static bool is_water(int kind) {
    return kind == REQUEST_TEMP || kind == REQUEST_WATER;
}

static struct text_value read_word(const struct text_value_context *c, struct text_piece piece) {
    struct text_value v;
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, piece.at);
    struct text_phrase unit = pick(c, &hits, ANY_UNIT), of = pick(c, &hits, MEANS(MEAN_OF));
    struct text_phrase kind = pick(c, &hits, MEANS(MEAN_KIND));
    if (kind.meaning == MEAN_KIND && (c->slots & SLOT_BIT(SLOT_WATER)) != 0 &&
        is_water(words_group_kind(c->scanner->words, kind.group))) {
        kind.meaning = MEAN_DEGC;
        if (unit_before(c, piece.at, kind, &v))
            return v;
    }
    if (read_spelled(c, piece.at, &v) || text_money(c, piece, &hits, &v) ||
        text_measure_choice(c, piece, &hits, &v) || text_months(c, piece, &hits, &v) ||
        text_measure_date(c, piece, &v) || text_measure_origin(c, piece, &hits, &v) ||
        text_measure_from(c, &hits, &v) || text_marked_water(c, piece, &hits, &v) ||
        text_marked_length(c, piece, &hits, &v) || text_feed_name(c, piece, &hits, &v) ||
        text_name(c, piece, &hits, &v))
        return v;
    struct text_phrase alone = pick(c, &hits, standing(c));
    if (alone.meaning != MEAN_NONE)
        return phrase_value(c, piece.at, alone);
    if (language_code(c, piece, &v) || read_hour(c, piece, &v))
        return v;
    if (unit.meaning != MEAN_NONE && unit_before(c, piece.at, unit, &v))
        return v;
    if (unit.meaning == MEAN_M && /* mita 20x20 */
        text_scan_next(c->scanner, c->folded, unit.end).token == TOKEN_DIMS) {
        v = (struct text_value){
            .end = unit.end, .token = span(c, piece.at, unit.end), .skip = true};
        return v;
    }
    const uint64_t sums = SLOT_BIT(SLOT_MONEY) | SLOT_BIT(SLOT_NAME);
    bool one = c->kind == REQUEST_NONE || c->kind == REQUEST_BROOD || (c->slots & sums) == 0;
    bool joins = !one || (c->slots & SLOT_BIT(SLOT_FEED)) != 0; /* cost of fuel, 3 tins of bran */
    if (of.meaning != MEAN_NONE && one) {
        int64_t number = 0;
        size_t end = read_of(c, piece.at, &number);
        if (end > 0) {
            v = said(c, piece.at, end, SLOT_OF);
            v.said.of = number;
            return v;
        }
    }
    if (of.meaning != MEAN_NONE && joins) {
        of.meaning = MEAN_SKIP;
        return phrase_value(c, piece.at, of);
    }
    struct text_phrase nothing = pick(c, &hits, passed_over(c) | MEANS(MEAN_HOUR));
    if (nothing.meaning != MEAN_NONE &&
        (nothing.meaning != MEAN_HOUR ||
         text_scan_next(c->scanner, c->folded, nothing.end).token != TOKEN_END))
        return phrase_value(c, piece.at, nothing);
    v = doubt(c, piece.at, piece.end, TEXT_DOUBT_TOKEN);
    v.word = true;
    return v;
}

struct text_value text_value_read(const struct text_value_context *c, struct text_piece piece) {
    struct text_value v;
    struct text_hits none = {0};
    if (text_measure_whole(c, piece, &v) ||
        (piece.token != TOKEN_WORD && text_money(c, piece, &none, &v)))
        return v;
    switch (piece.token) {
    case TOKEN_TAG:
        return read_tag(c, piece);
    case TOKEN_PH:
    case TOKEN_DIMS:
    case TOKEN_PERCENT:
        return text_measure_token(c, piece);
    case TOKEN_DATE:
        if (text_measure_date(c, piece, &v))
            return v;
        break;
    case TOKEN_WATER:
        return read_water(c, piece);
    case TOKEN_CLOCK:
    case TOKEN_HOURS:
        if (read_hour(c, piece, &v))
            return v;
        break;
    case TOKEN_SHARE:
        return read_share(c, piece);
    case TOKEN_NUMBER:
        piece = first_of_list(c, piece);
        return read_hour(c, piece, &v) ? v : read_number(c, piece);
    case TOKEN_WORD:
        return read_word(c, piece);
    default:
        break;
    }
    return doubt(c, piece.at, piece.end, TEXT_DOUBT_TOKEN);
}
