/* measure: see measure.h. In: a piece and what stands around it. Out: a value or a doubt. No
 * errors. Decimals of measures are taken by point or comma; a number that could be grouped (1,500
 * litres) is read as thousands where the smaller reading makes no sense, else it is a doubt. */
#include "text/measure.h"

#include <string.h>

#include "text/feed.h"

#define MICRO     ((int64_t)1000000)
#define BIT(slot) SLOT_BIT(slot)

/* No fish of ours is longer: the largest African catfish have 170 cm (from memory). */
#define FISH_LONGEST_UM INT64_C(1700000)

enum { PHONE_DIGITS_LEAST = 7, PHONE_DIGITS_MOST = 15, CODE_DIGITS = 6 };

static struct slice span(const struct text_value_context *c, size_t from, size_t to) {
    return slice_head(slice_from(c->folded, from), to - from);
}

static struct text_phrase phrase(const struct text_value_context *c, size_t at, uint64_t wanted) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return text_scan_pick(c->scanner, &hits, wanted, c->language, c->person);
}

static struct text_value value(const struct text_value_context *c, size_t at, size_t end) {
    return (struct text_value){.end = end, .token = span(c, at, end)};
}

static struct text_value doubt(const struct text_value_context *c, size_t at, size_t end,
                               enum text_doubt why) {
    struct text_value v = value(c, at, end);
    v.doubt = why;
    return v;
}

static bool takes(const struct text_value_context *c, enum request_slot slot) {
    return (c->slots & BIT(slot)) != 0;
}

/* -- units ---------------------------------------------------------------------------------------
 */

/* What each unit is: its slot, and how much of the slot's unit one of it makes, over 1000. */
static const struct {
    enum text_meaning unit;
    enum request_slot slot;
    int64_t each_milli;
    int64_t least, most; /* sensible, in the unit: what settles 1,500 */
} measures[] = {
    {MEAN_LITRE, SLOT_VOLUME, 1000000, 10, 100000},
    {MEAN_M3, SLOT_VOLUME, 1000000000, 0, 500},
    {MEAN_ARE, SLOT_AREA, 1000000000, 0, 500},
    {MEAN_M2, SLOT_AREA, 10000000, 10, 100000},
    {MEAN_ACRE, SLOT_AREA, 40468564224, 0, 100}, /* the international acre, 4046.8564224 m2 */
    {MEAN_HA, SLOT_AREA, 100000000000, 0, 100},
    {MEAN_M, SLOT_DEPTH, 1000000, 0, 10},
    {MEAN_CM, SLOT_DEPTH, 10000, 1, 500},
    {MEAN_ML, SLOT_PER_KG, 1000000, 0, 100},
    {MEAN_DAYS, SLOT_AGE, 1000, 0, 4000},
    {MEAN_WEEKS, SLOT_AGE, 7000, 0, 600},
    {MEAN_MONTHS, SLOT_AGE, 30437, 0, 200}, /* 365.25 / 12 */
    {MEAN_YEARS, SLOT_AGE, 365250, 0, 30},
    /* of a fish; of the farm above the sea */
    {MEAN_CM, SLOT_LENGTH, 10000000, 1, 200},
    {MEAN_M, SLOT_LENGTH, 1000000000, 0, 2},
    {MEAN_M, SLOT_HEIGHT, 1000, 50, 6000},
};

enum { MEASURES = sizeof measures / sizeof *measures };

static void put(struct request *r, enum request_slot slot, int64_t amount) {
    r->has |= BIT(slot);
    if (slot == SLOT_VOLUME)
        r->volume_ml = amount;
    else if (slot == SLOT_AREA)
        r->area_cm2 = amount;
    else if (slot == SLOT_DEPTH)
        r->depth_mm = amount;
    else if (slot == SLOT_PER_KG)
        r->per_kg_ul = amount;
    else if (slot == SLOT_LENGTH)
        r->length_um = amount;
    else if (slot == SLOT_HEIGHT)
        r->height_m = amount;
    else
        r->age_days = (int)amount;
}

/* A share of a list: 3.5% is 35 000 millionths. */
static struct text_value share(const struct text_value_context *c, size_t at, size_t end,
                               struct text_number number) {
    struct text_value v = value(c, at, end);
    if (number.two_ways || number.micro < 0 || number.micro > 100 * MICRO)
        return doubt(c, at, end, number.two_ways ? TEXT_DOUBT_NUMBER : TEXT_DOUBT_TOKEN);
    v.said.has = BIT(SLOT_PARTS);
    v.said.parts[0].share_ppm = (number.micro + 50) / 100;
    return v;
}

/* A count of the hundred; with decimals of the thousand, 62.5% being 625 of 1000. */
static struct text_value percent(const struct text_value_context *c, size_t at, size_t end,
                                 struct text_number number) {
    struct text_value v = value(c, at, end);
    int64_t scale = 1;
    if (takes(c, SLOT_PARTS))
        return share(c, at, end, number);
    while (scale < 100 && number.micro * scale % MICRO != 0)
        scale *= 10;
    if (!takes(c, SLOT_OF) || number.micro < 0 || number.micro * scale % MICRO != 0)
        return doubt(c, at, end, takes(c, SLOT_OF) ? TEXT_DOUBT_NUMBER : TEXT_DOUBT_TOKEN);
    v.said.has = BIT(SLOT_COUNT) | BIT(SLOT_OF);
    v.said.count = number.micro * scale / MICRO;
    v.said.count_milli = v.said.count * 1000;
    v.said.of = 100 * scale;
    return v;
}

/* "per kg", "/kg", "a kilo" behind ml. */
static size_t past_per_kg(const struct text_value_context *c, size_t end) {
    size_t at = end;
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    if (at < c->folded.n && c->folded.p[at] == '/')
        at++;
    else
        at = end;
    struct text_phrase p = phrase(c, at, MEANS(MEAN_PER_KG) | (at > end ? MEANS(MEAN_KG) : 0));
    return p.meaning != MEAN_NONE ? p.end : end;
}

/* The measure that a unit is here: centimetres are a length where the kind takes one. -1: none. */
static int measure_of(const struct text_value_context *c, enum text_meaning unit) {
    int first = -1;
    for (int i = MEASURES; i-- > 0;) {
        if (measures[i].unit != unit)
            continue;
        first = i;
        if (takes(c, measures[i].slot))
            return i;
    }
    return first;
}

/* "3 days ago" where a day can stand; "in 3 days" of what is to come. False: an age, or neither. */
static bool days_from_now(const struct text_value_context *c, size_t at, size_t end,
                          struct text_number number, enum text_meaning unit,
                          struct text_value *out) {
    enum { DAYS_MOST = 400 };
    bool to_come = c->kind == REQUEST_CATCH || c->kind == REQUEST_GROWTH;
    bool past = c->kind == REQUEST_GAVE || c->kind == REQUEST_LEFT || c->kind == REQUEST_FED ||
                c->kind == REQUEST_DEAD || c->kind == REQUEST_BOUGHT || c->kind == REQUEST_STORE;
    struct text_phrase ago = phrase(c, end, MEANS(MEAN_AGO));
    int64_t days = number.micro / MICRO * (unit == MEAN_WEEKS ? 7 : 1);
    if ((unit != MEAN_DAYS && unit != MEAN_WEEKS) || (past ? ago.meaning == MEAN_NONE : !to_come))
        return false;
    *out = value(c, at, past ? ago.end : end);
    if (number.two_ways || number.micro < 0 || number.micro % MICRO || days > DAYS_MOST) {
        out->doubt = TEXT_DOUBT_TOKEN;
        return true;
    }
    out->said.has = BIT(SLOT_DAY);
    out->said.day = (int)(past ? -days : days);
    return true;
}

struct text_value text_measure(const struct text_value_context *c, size_t at, size_t end,
                               struct text_number number, enum text_meaning unit) {
    struct text_value day;
    if (unit == MEAN_PERCENT)
        return percent(c, at, end, number);
    if (days_from_now(c, at, end, number, unit, &day))
        return day;
    int i = measure_of(c, unit);
    if (i < 0) /* paces and steps */
        return doubt(c, at, end, TEXT_DOUBT_UNIT);
    if (number.micro < 0 ||
        !text_number_settle(&number, measures[i].least * MICRO, measures[i].most * MICRO))
        return doubt(c, at, end, number.micro < 0 ? TEXT_DOUBT_TOKEN : TEXT_DOUBT_NUMBER);
    if (unit == MEAN_ML)
        end = past_per_kg(c, end);
    struct text_value v = value(c, at, end);
    /* at most 1e9 of the unit, by parts so that nothing overflows */
    int64_t whole = number.micro / MICRO, part = number.micro % MICRO;
    if (whole > INT64_C(1000000))
        return doubt(c, at, end, TEXT_DOUBT_UNIT);
    int64_t amount =
        (whole * measures[i].each_milli + part * (measures[i].each_milli / 1000) / 1000 + 500) /
        1000;
    if (measures[i].slot == SLOT_LENGTH && amount > FISH_LONGEST_UM)
        return doubt(c, at, end, TEXT_DOUBT_UNIT);
    put(&v.said, measures[i].slot, amount);
    return v;
}

/* -- tokens --------------------------------------------------------------------------------------
 */

static bool milli(struct slice text, int64_t *out) {
    struct text_number n;
    if (!text_number_read(text, &n) || n.micro < 0)
        return false;
    *out = text_number_milli(n.micro);
    return true;
}

/* Two sides make an area, three a volume, or where the kind takes no volume an area and a depth.
 * Metres, or centimetres; what else stands glued behind is none. */
static struct text_value dimensions(const struct text_value_context *c, struct text_piece piece) {
    int64_t a, b, d = 0;
    struct text_value v = value(c, piece.at, piece.end);
    bool three = piece.part[PART_OF].n > 0;
    struct text_phrase unit = phrase(c, piece.end, MEANS(MEAN_PACE) | MEANS(MEAN_CM));
    if (!takes(c, SLOT_AREA) && !takes(c, SLOT_VOLUME))
        return doubt(c, piece.at, piece.end + text_scan_run(c->folded, piece.end).n,
                     TEXT_DOUBT_TOKEN);
    if (unit.meaning != MEAN_NONE)
        v = value(c, piece.at, unit.end);
    if (unit.meaning == MEAN_PACE)
        return doubt(c, piece.at, unit.end, TEXT_DOUBT_UNIT);
    if (!milli(piece.part[PART_NUMBER], &a) || !milli(piece.part[PART_COUNT], &b) ||
        (three && !milli(piece.part[PART_OF], &d)))
        return doubt(c, piece.at, piece.end, TEXT_DOUBT_NUMBER);
    if (unit.meaning == MEAN_NONE && piece.end < c->folded.n &&
        text_scan_piece(c->scanner, c->folded, piece.end).token != TOKEN_GAP)
        return doubt(c, piece.at, piece.end + text_scan_run(c->folded, piece.end).n,
                     TEXT_DOUBT_TOKEN);
    if (unit.meaning == MEAN_CM) {
        a /= 100;
        b /= 100;
        d /= 100;
    }
    if (a > 1000000 || b > 1000000 || d > 1000000) /* over a kilometre */
        return doubt(c, piece.at, piece.end, TEXT_DOUBT_UNIT);
    if (three && c->kind != REQUEST_NONE && !takes(c, SLOT_VOLUME) && takes(c, SLOT_DEPTH)) {
        put(&v.said, SLOT_DEPTH, d);
        three = false;
    }
    put(&v.said, three ? SLOT_VOLUME : SLOT_AREA, three ? a * b / 1000 * d : a * b / 100);
    return v;
}

struct text_value text_measure_token(const struct text_value_context *c, struct text_piece piece) {
    struct text_number number;
    struct text_value v = value(c, piece.at, piece.end);
    if (piece.token == TOKEN_DIMS)
        return dimensions(c, piece);
    if (!text_number_read(piece.part[PART_NUMBER], &number))
        return doubt(c, piece.at, piece.end, TEXT_DOUBT_TOKEN);
    if (piece.token == TOKEN_PERCENT)
        return percent(c, piece.at, piece.end, number);
    v.said.has = BIT(SLOT_PH);
    v.said.ph_milli = text_number_milli(number.micro);
    return v;
}

/* -- days ----------------------------------------------------------------------------------------
 */

static int whole(struct slice s, int most) {
    int64_t n = -1;
    return s.n > 0 && s.n <= 4 && slice_int(s, &n) == ERR_OK && n >= 1 && n <= most ? (int)n : -1;
}

static bool dated(const struct text_value_context *c, size_t at, size_t end, int day, int month,
                  int year, struct text_value *out) {
    static const int longest[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    *out = value(c, at, end);
    if (day < 1 || month < 1 || month > 12 || day > longest[month - 1] ||
        (year && (year < 2000 || year > 2100))) {
        out->doubt = TEXT_DOUBT_TOKEN;
        return true;
    }
    out->said.has = BIT(SLOT_DATE);
    out->said.date_day = day;
    out->said.date_month = month;
    out->said.date_year = year;
    return true;
}

/* The year behind a date, if one stands there: four digits. */
static int year_behind(const struct text_value_context *c, size_t *end) {
    struct text_piece next = text_scan_next(c->scanner, c->folded, *end);
    struct slice n = next.part[PART_NUMBER];
    int year = next.token == TOKEN_NUMBER && n.n == 4 ? whole(n, 9999) : -1;
    if (year < 2000 || year > 2100)
        return 0;
    *end = next.end;
    return year;
}

/* Past th, st, nd, rd that are glued to a day. */
static size_t past_ordinal(const struct text_value_context *c, size_t end) {
    struct slice rest = slice_head(slice_from(c->folded, end), 3);
    bool ordinal = slice_starts(rest, SLICE("th")) || slice_starts(rest, SLICE("st")) ||
                   slice_starts(rest, SLICE("nd")) || slice_starts(rest, SLICE("rd"));
    return ordinal && (rest.n < 3 || rest.p[2] == ' ') ? end + 2 : end;
}

bool text_measure_date(const struct text_value_context *c, struct text_piece piece,
                       struct text_value *out) {
    if (!takes(c, SLOT_DATE))
        return false;
    const struct words *w = c->scanner->words;
    size_t end = piece.end;
    if (piece.token == TOKEN_DATE)
        return dated(c, piece.at, end, whole(piece.part[PART_COUNT], 31),
                     whole(piece.part[PART_OF], 12), whole(piece.part[PART_NUMBER], 9999), out);
    if (piece.token == TOKEN_SHARE)
        return dated(c, piece.at, end, whole(piece.part[PART_COUNT], 31),
                     whole(piece.part[PART_OF], 12), 0, out);
    if (piece.token == TOKEN_NUMBER) {
        end = past_ordinal(c, end);
        struct text_phrase of = phrase(c, end, MEANS(MEAN_OF)); /* 14th of march */
        struct text_phrase month =
            phrase(c, of.meaning != MEAN_NONE ? of.end : end, MEANS(MEAN_MONTH));
        if (month.meaning == MEAN_NONE)
            return false;
        end = month.end;
        int year = year_behind(c, &end);
        return dated(c, piece.at, end, whole(piece.part[PART_NUMBER], 31),
                     words_group_month(w, month.group), year, out);
    }
    struct text_phrase month = phrase(c, piece.at, MEANS(MEAN_MONTH));
    struct text_piece day =
        text_scan_next(c->scanner, c->folded, month.meaning != MEAN_NONE ? month.end : piece.end);
    if (month.meaning == MEAN_NONE || day.token != TOKEN_NUMBER)
        return false;
    if (c->kind == REQUEST_BROOD && day.part[PART_NUMBER].n == 4) /* born in a month: its middle */
        return dated(c, piece.at, day.end, 15, words_group_month(w, month.group),
                     whole(day.part[PART_NUMBER], 9999), out);
    end = past_ordinal(c, day.end);
    int year = year_behind(c, &end);
    return dated(c, piece.at, end, whole(day.part[PART_NUMBER], 31),
                 words_group_month(w, month.group), year, out);
}

/* -- what takes the rest -------------------------------------------------------------------------
 */

/* Digits from `at`, with spaces, hyphens and brackets between them; where they end. */
static size_t digits(const struct text_value_context *c, size_t at, char *out, size_t room,
                     int *count) {
    size_t end = at, used = 0;
    *count = 0;
    for (size_t i = at; i < c->folded.n; i++) {
        char ch = c->folded.p[i];
        bool plus = ch == '+' && i == at, digit = ch >= '0' && ch <= '9';
        if (!plus && !digit && !slice_has(SLICE(" -().+"), ch))
            break;
        if (!plus && !digit)
            continue;
        if (used + 1 >= room)
            return at;
        out[used++] = ch;
        *count += digit;
        end = i + 1;
    }
    out[used] = '\0';
    return end;
}

static bool phone(const struct text_value_context *c, size_t at, struct text_value *out) {
    struct text_value v = {0};
    int count;
    size_t end = digits(c, at, v.said.phone, sizeof v.said.phone, &count);
    if (end == at)
        return false;
    *out = value(c, at, end);
    if (count < PHONE_DIGITS_LEAST || count > PHONE_DIGITS_MOST) {
        out->doubt = TEXT_DOUBT_TOKEN;
        return true;
    }
    memcpy(out->said.phone, v.said.phone, sizeof v.said.phone);
    out->said.has = BIT(SLOT_PHONE);
    return true;
}

/* A code of ours, as its number: a zero in front is no part of it. */
static bool code(const struct text_value_context *c, size_t at, struct text_value *out) {
    char text[CODE_DIGITS + 2];
    int count;
    size_t end = digits(c, at, text, sizeof text, &count);
    if (end == at)
        return false;
    *out = value(c, at, end);
    if (count != CODE_DIGITS || text[0] == '+' ||
        slice_int(slice_of(text), &out->said.count) != ERR_OK) {
        out->doubt = TEXT_DOUBT_TOKEN;
        return true;
    }
    out->said.has = BIT(SLOT_COUNT);
    out->said.count_milli = out->said.count * 1000;
    return true;
}

/* From `at` to `end` as a name, without signs around; one that is too long is told. */
static struct text_value name(const struct text_value_context *c, size_t at, size_t end) {
    struct text_value v = value(c, at, end);
    struct slice text = v.token;
    while (text.n > 0 && slice_has(SLICE(" ,.;:!?\"()="), text.p[0]))
        text = slice_from(text, 1);
    while (text.n > 0 && slice_has(SLICE(" ,.;:!?\"()="), text.p[text.n - 1]))
        text = slice_head(text, text.n - 1);
    if (text.n > REQUEST_NAME_MAX)
        return doubt(c, at, end, TEXT_DOUBT_TOKEN);
    memcpy(v.said.name, text.p, text.n);
    if (text.n > 0)
        v.said.has = BIT(SLOT_NAME);
    else
        v.skip = true;
    return v;
}

/* Where a name behind "from" ends: before the first piece that is no word, so that no value is lost
 * in a name, before a day, or before a unit that has its number behind it ("shamba la ziwa
 * kilo 1.2"). */
static size_t name_end(const struct text_value_context *c, size_t at) {
    const uint64_t units = TEXT_MEASURE_UNITS | MEANS(MEAN_KG) | MEANS(MEAN_G);
    const uint64_t days =
        MEANS(MEAN_NOW) | MEANS(MEAN_TODAY) | MEANS(MEAN_YESTERDAY) | MEANS(MEAN_TOMORROW);
    for (;;) {
        struct text_piece piece = text_scan_next(c->scanner, c->folded, at);
        if (piece.token == TOKEN_END)
            return c->folded.n;
        struct text_phrase unit = phrase(c, piece.at, units);
        if (piece.token != TOKEN_WORD || phrase(c, piece.at, days).meaning != MEAN_NONE ||
            (unit.meaning != MEAN_NONE &&
             text_scan_next(c->scanner, c->folded, unit.end).token == TOKEN_NUMBER))
            return piece.at;
        at = piece.end;
    }
}

/* A farm's name: words, and a number behind the last ("green valley 2"). What people say about a
 * farm of their own is none: a small word first ("is fine"), a day, an hour. */
static bool farm_name(const struct text_value_context *c, size_t at, struct text_value *out) {
    const uint64_t none = MEANS(MEAN_HOUR) | MEANS(MEAN_NOW) | MEANS(MEAN_TODAY) |
                          MEANS(MEAN_YESTERDAY) | MEANS(MEAN_TOMORROW);
    size_t first = at;
    for (;;) {
        struct text_piece piece = text_scan_next(c->scanner, c->folded, at);
        if (piece.token == TOKEN_END)
            break;
        uint64_t wrong = piece.at == first ? none | MEANS(MEAN_SKIP) : none;
        bool number = piece.token == TOKEN_NUMBER && piece.at != first &&
                      text_scan_next(c->scanner, c->folded, piece.end).token == TOKEN_END;
        if ((piece.token != TOKEN_WORD && !number) ||
            phrase(c, piece.at, wrong).meaning != MEAN_NONE) {
            *out = doubt(c, first, c->folded.n, TEXT_DOUBT_TOKEN);
            return true;
        }
        at = piece.end;
    }
    *out = name(c, first, c->folded.n);
    return true;
}

bool text_measure_whole(const struct text_value_context *c, struct text_piece piece,
                        struct text_value *out) {
    bool digit = piece.token == TOKEN_NUMBER || piece.token == TOKEN_OTHER ||
                 piece.token == TOKEN_CLOCK || piece.token == TOKEN_SHARE;
    if (takes(c, SLOT_PHONE) && c->kind != REQUEST_NONE && digit)
        return phone(c, piece.at, out);
    if ((c->kind == REQUEST_JOIN || c->kind == REQUEST_CODE) && digit)
        return code(c, piece.at, out);
    return c->kind == REQUEST_FARM && piece.at >= c->kind_end && farm_name(c, piece.at, out);
}

/* -- words ---------------------------------------------------------------------------------------
 */

/* What of the lists can stand here. Words that say nothing elsewhere (fish, each) answer a question
 * only as the whole text; what a sum is of stands right behind it, but for the price, which is one.
 */
static uint64_t choices_here(const struct text_value_context *c, size_t at) {
    const uint64_t sums = CHOICE_BIT(CHOICE_EACH) | CHOICE_BIT(CHOICE_KILO);
    const uint64_t small = sums | CHOICE_BIT(CHOICE_FINGERLINGS) | CHOICE_BIT(CHOICE_FRY) |
                           CHOICE_BIT(CHOICE_FISH) | CHOICE_BIT(CHOICE_PAID) |
                           CHOICE_BIT(CHOICE_OWES) | CHOICE_BIT(CHOICE_MONTHLY);
    if (c->kind != REQUEST_NONE)
        return words_kind_choices(c->scanner->words, (int)c->kind) &
               ~(c->kind == REQUEST_PRICE ? UINT64_C(0) : sums);
    return at == 0 && !slice_has(c->folded, ' ') ? UINT64_MAX : ~small;
}

bool text_measure_choice(const struct text_value_context *c, struct text_piece piece,
                         const struct text_hits *hits, struct text_value *out) {
    const struct words *w = c->scanner->words;
    uint64_t allowed = choices_here(c, piece.at);
    struct text_phrase best = {.meaning = MEAN_NONE};
    if (!takes(c, SLOT_CHOICE))
        return false;
    for (int i = 0; i < hits->count; i++) {
        const struct text_phrase *p = &hits->all[i];
        if (p->meaning == MEAN_CHOICE && (allowed & CHOICE_BIT(words_group_choice(w, p->group))) &&
            (best.meaning == MEAN_NONE || p->end > best.end))
            best = *p;
    }
    struct text_phrase feed = text_scan_pick(c->scanner, hits, MEANS(MEAN_FEED), c->language,
                                             c->person); /* "fish meal" is no fish */
    if (best.meaning == MEAN_NONE ||
        (takes(c, SLOT_FEED) && feed.meaning != MEAN_NONE && feed.end > best.end))
        return false;
    *out = value(c, piece.at, best.end);
    out->said.has = BIT(SLOT_CHOICE);
    out->said.choices = CHOICE_BIT(words_group_choice(w, best.group));
    return true;
}

bool text_measure_origin(const struct text_value_context *c, struct text_piece piece,
                         const struct text_hits *hits, struct text_value *out) {
    struct text_phrase origin =
        text_scan_pick(c->scanner, hits, MEANS(MEAN_ORIGIN), c->language, c->person);
    if (origin.meaning == MEAN_NONE || c->kind != REQUEST_BROOD)
        return false;
    *out = name(c, piece.at, origin.end);
    return true;
}

bool text_measure_from(const struct text_value_context *c, const struct text_hits *hits,
                       struct text_value *out) {
    struct text_phrase from =
        text_scan_pick(c->scanner, hits, MEANS(MEAN_FROM), c->language, c->person);
    if (from.meaning == MEAN_NONE)
        return false;
    struct text_piece next = text_scan_next(c->scanner, c->folded, from.end);
    if (c->kind == REQUEST_NONE || next.token == TOKEN_END)
        return false;
    if (next.token == TOKEN_TAG) {
        *out = value(c, next.at, from.end);
        out->skip = true;
        out->from = true;
        return true;
    }
    size_t end = name_end(c, from.end);
    if (c->kind != REQUEST_BROOD || end <= next.at)
        return false;
    *out = name(c, from.end, end);
    return true;
}

/* Three digits right behind one space at `at`: where they end, 0 if none stand there. */
static size_t group_behind(const struct text_value_context *c, size_t at, int64_t *out) {
    if (at >= c->folded.n || c->folded.p[at] != ' ')
        return 0;
    struct text_piece next = text_scan_piece(c->scanner, c->folded, at + 1);
    struct slice digits = next.part[PART_NUMBER];
    bool group = next.token == TOKEN_NUMBER && digits.n == 3 && slice_int(digits, out) == ERR_OK &&
                 *out >= 0;
    return group ? next.end : 0;
}

bool text_measure_group(const struct text_value_context *c, struct text_piece piece,
                        struct text_value *out) {
    struct slice first = piece.part[PART_NUMBER];
    bool counts = takes(c, SLOT_COUNT) && c->kind != REQUEST_NONE && c->kind != REQUEST_STRIP &&
                  c->kind != REQUEST_WHITE && c->kind != REQUEST_FERTILE &&
                  c->kind != REQUEST_FIX && !takes(c, SLOT_LIST) &&
                  (!text_feed_measured(c) || c->kind == REQUEST_BOUGHT);
    const uint64_t unit = MEANS(MEAN_KG) | MEANS(MEAN_G) | MEANS(MEAN_MG) | MEANS(MEAN_DEGC) |
                          TEXT_MEASURE_UNITS | MEANS(MEAN_PART);
    int64_t number = -1, group = 0;
    size_t end = piece.end, next;
    if (!counts || first.n < 1 || first.n > 3 || first.p[0] == '0' ||
        slice_int(first, &number) != ERR_OK || number < 1)
        return false;
    for (int i = 0; i < 2 && (next = group_behind(c, end, &group)) > 0; i++) {
        number = number * 1000 + group;
        end = next;
    }
    if (end == piece.end || phrase(c, end, unit).meaning != MEAN_NONE ||
        (c->kind == REQUEST_BOUGHT && text_feed_measure(c, end + 1) > 0))
        return false;
    *out = value(c, piece.at, end);
    out->plain = true;
    out->number = (struct text_number){.text = out->token, .micro = number * MICRO};
    return true;
}
