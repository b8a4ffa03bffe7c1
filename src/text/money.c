/* money: see money.h. In: a piece and what stands around it. Out: thousandths of the main unit and
 * the currency if it was said, or a doubt; a line's word. No floating point: every sum is exact.
 * No errors but of a line. 1,500 is fifteen hundred here: currencies with three decimals are few
 * (ISO 4217), and where one of them is named it is a doubt. Words like shilling, which are those of
 * several currencies, say that it is money and no more. Limits: MONEY_MILLI_MAX, three decimals. */
#include "text/money.h"

#include <string.h>

#include "text/feed.h"
#include "text/measure.h"
#include "text/number.h"
#include "trade/currency.h"

enum { DIGITS_MAX = 13, MILLI = 1000, MILLI_DIGITS = 3, CODE = 3 };

#define ANY_UNIT                                                                                   \
    (MEANS(MEAN_KG) | MEANS(MEAN_G) | MEANS(MEAN_MG) | MEANS(MEAN_DEGC) | TEXT_MEASURE_UNITS)

static bool digit(char c) {
    return c >= '0' && c <= '9';
}

static bool takes(const struct text_value_context *c, enum request_slot slot) {
    return (c->slots & SLOT_BIT(slot)) != 0;
}

static size_t past_spaces(const struct text_value_context *c, size_t at) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    return at;
}

static struct text_phrase phrase(const struct text_value_context *c, size_t at, uint64_t wanted) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return text_scan_pick(c->scanner, &hits, wanted, c->language, c->person);
}

static struct text_value value(const struct text_value_context *c, size_t at, size_t end) {
    return (struct text_value){.end = end,
                               .token = slice_head(slice_from(c->folded, at), end - at)};
}

/* -- sums -------------------------------------------------------------------------------------- */

enum reading { SUM_NONE, SUM_READ, SUM_TWO_WAYS };

static bool whole(struct slice s, int64_t *out) {
    int digits = 0;
    *out = 0;
    for (size_t i = 0; i < s.n; i++) {
        if (!digit(s.p[i]))
            continue;
        *out = *out * 10 + (s.p[i] - '0');
        if (*out > 0 && ++digits > DIGITS_MAX)
            return false;
    }
    return true;
}

/* The last of points, commas and spaces; the number of them in `count`. */
static size_t last_sign(struct slice s, int *count) {
    size_t last = s.n;
    *count = 0;
    for (size_t i = 0; i < s.n; i++)
        if (!digit(s.p[i])) {
            last = i;
            ++*count;
        }
    return last;
}

/* `decimals`: of the currency, 2 where it is not known. */
static enum reading sum(struct slice s, int decimals, int64_t *milli) {
    int count;
    size_t last = last_sign(s, &count);
    struct slice before = slice_head(s, last), behind = slice_from(s, last + 1);
    int64_t units, part = 0;
    if (s.n == 0 || !digit(s.p[0]) || (count > 0 && behind.n == 0))
        return SUM_NONE;
    bool thousands = count > 0 && behind.n == MILLI_DIGITS && text_number_grouped(s, s.p[last]) &&
                     (count > 1 || s.p[0] != '0');
    if (count == 0 || thousands) {
        if (!whole(s, &units))
            return SUM_NONE;
        *milli = units * MILLI;
        return thousands && count == 1 && decimals == MILLI_DIGITS && s.p[last] != ' '
                   ? SUM_TWO_WAYS
                   : SUM_READ;
    }
    char other = s.p[last] == '.' ? ',' : '.';
    if (behind.n > MILLI_DIGITS || s.p[last] == ' ' || !whole(before, &units) ||
        (!text_number_grouped(before, other) && !text_number_grouped(before, ' ')))
        return SUM_NONE;
    for (size_t i = 0; i < MILLI_DIGITS; i++)
        part = part * 10 + (i < behind.n ? behind.p[i] - '0' : 0);
    *milli = units * MILLI + part;
    return SUM_READ;
}

/* Where a number that begins at `at` ends; 450 000 is one. 0: no number. */
static size_t digits_end(const struct text_value_context *c, size_t at) {
    struct text_piece piece = text_scan_piece(c->scanner, c->folded, at);
    struct slice first = piece.part[PART_NUMBER];
    size_t end = piece.end;
    if (piece.token == TOKEN_SHARE) { /* 450000/= 3000: the slash is a currency's */
        end = at + piece.part[PART_COUNT].n;
        return slice_starts(slice_from(c->folded, end), SLICE("/ ")) ? end : 0;
    }
    if (piece.token != TOKEN_NUMBER)
        return 0;
    if (first.n > 3 || first.p[0] == '0' || !text_number_grouped(first, ' '))
        return end;
    while (end < c->folded.n && c->folded.p[end] == ' ') {
        piece = text_scan_piece(c->scanner, c->folded, end + 1);
        struct slice next = piece.part[PART_NUMBER];
        if (piece.token != TOKEN_NUMBER || next.n != 3 || !text_number_grouped(next, ' ') ||
            phrase(c, past_spaces(c, piece.end), ANY_UNIT).meaning != MEAN_NONE ||
            text_money_measured(c, piece.end))
            break;
        end = piece.end;
    }
    return end;
}

bool text_money_measured(const struct text_value_context *c, size_t end) {
    return text_feed_measure(c, past_spaces(c, end)) > 0;
}

/* -- currencies -------------------------------------------------------------------------------- */

static struct slice name_behind(const struct words *w, int group, struct slice prefix) {
    struct slice name = slice_of(words_group_name(w, group));
    return slice_starts(name, prefix) ? slice_from(name, prefix.n) : slice_head(name, 0);
}

/* False: words of no one currency. */
static bool code_of_group(const struct words *w, int group, char code[CODE + 1]) {
    const struct currency *known = currency_of_code(name_behind(w, group, SLICE("money.")));
    if (known != NULL)
        memcpy(code, known->code, CODE + 1);
    return known != NULL;
}

const char *text_money_unknown(const struct words *w) {
    char code[CODE + 1];
    for (int group = 0; words_group_name(w, group)[0] != '\0'; group++) {
        struct slice name = name_behind(w, group, SLICE("money."));
        if (name.n > 0 && !slice_eq(name, SLICE("any")) && !code_of_group(w, group, code))
            return words_group_name(w, group);
    }
    return NULL;
}

/* A currency by its word or its code at `at`; where it ends, 0 if there is none. An empty code: it
 * is not known which. */
static size_t currency_at_place(const struct text_value_context *c, size_t at,
                                char code[CODE + 1]) {
    struct text_phrase p = phrase(c, at, MEANS(MEAN_CURRENCY));
    struct text_piece word = text_scan_piece(c->scanner, c->folded, at);
    code[0] = '\0';
    if (p.meaning != MEAN_NONE) {
        (void)code_of_group(c->scanner->words, p.group, code);
        return p.end;
    }
    if (word.token != TOKEN_WORD || word.end - at != CODE)
        return 0;
    const struct currency *known = currency_of_code(slice_head(slice_from(c->folded, at), CODE));
    if (known != NULL)
        memcpy(code, known->code, CODE + 1);
    return known != NULL ? word.end : 0;
}

/* -- values ------------------------------------------------------------------------------------ */

/* A sum as it stands, with all that goes with it. */
struct found {
    size_t end;
    bool marked; /* something beside it says that it is money */
    enum text_doubt doubt;
    int64_t milli;
    char code[CODE + 1];
    uint64_t of; /* CHOICE_EACH, CHOICE_KILO */
};

/* Never over a million, whatever the list is called. */
static int64_t times_of(const struct text_value_context *c, struct text_phrase p) {
    int64_t times = 0;
    if (slice_int(name_behind(c->scanner->words, p.group, SLICE("times.")), &times) != ERR_OK)
        return 1;
    return times >= 1 && times <= 1000000 ? times : 1;
}

/* k, thousand, million: single letters only glued, since k and m say other things. */
static int64_t times_at(const struct text_value_context *c, size_t *end) {
    size_t at = past_spaces(c, *end);
    struct text_phrase p = phrase(c, at, MEANS(MEAN_TIMES));
    if (p.meaning == MEAN_NONE || (at > *end && p.end - at == 1))
        return 1;
    *end = p.end;
    return times_of(c, p);
}

/* "each", "a kg", "/kg" behind a sum. */
static void take_rate(const struct text_value_context *c, struct found *f) {
    const struct words *w = c->scanner->words;
    size_t at = past_spaces(c, f->end);
    bool slash = at < c->folded.n && c->folded.p[at] == '/';
    size_t past_slash = slash ? at + 1 : at, end = 0;
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, past_slash);
    for (int i = 0; i < hits.count; i++) {
        const struct text_phrase *p = &hits.all[i];
        int choice = p->meaning == MEAN_CHOICE ? words_group_choice(w, p->group) : -1;
        bool kilo = choice == CHOICE_KILO || p->meaning == MEAN_PER_KG ||
                    (p->meaning == MEAN_KG && (slash || c->kind == REQUEST_PRICE));
        if ((!kilo && choice != CHOICE_EACH) || p->end <= end)
            continue;
        end = p->end;
        f->of = CHOICE_BIT(kilo ? CHOICE_KILO : CHOICE_EACH);
    }
    if (end > 0) {
        f->end = end;
        f->marked = true;
    }
}

static bool glued(const struct text_value_context *c, size_t end) {
    enum text_token next = text_scan_piece(c->scanner, c->folded, end).token;
    return next != TOKEN_END && next != TOKEN_GAP;
}

/* A day by its date: "for 14 march". */
static bool dated(const struct text_value_context *c, size_t at) {
    struct text_value day;
    struct text_piece piece = text_scan_piece(c->scanner, c->folded, at);
    return piece.token == TOKEN_NUMBER && text_measure_date(c, piece, &day);
}

/* Past signs that join a currency to its number: sh.450000, UGX: 450000. */
static size_t past_joint(const struct text_value_context *c, size_t at) {
    while (at < c->folded.n && slice_has(SLICE(" .:="), c->folded.p[at]))
        at++;
    return at;
}

/* "3000 UGX 450000": a currency between two numbers, the first of which ends at `end`. Codes and
 * their like stand before their number, and words where their language has its units. */
static bool of_next(const struct text_value_context *c, size_t end, size_t currency) {
    size_t at = past_spaces(c, end);
    size_t next = past_joint(c, currency), next_end = digits_end(c, next);
    struct text_phrase word = phrase(c, at, MEANS(MEAN_CURRENCY));
    bool before = currency - at <= CODE + 1 ||
                  words_unit_first(c->scanner->words,
                                   word.meaning != MEAN_NONE ? word.language : c->language);
    return at > end && before && next_end > 0 && !dated(c, next) &&
           phrase(c, past_spaces(c, next_end), ANY_UNIT).meaning == MEAN_NONE;
}

static const char no_code[CODE + 1] = "";

/* The sum that begins with a digit at `at`. `code`: of a currency before it, or empty. False: what
 * stands there is none, or a number of something else. */
static bool find(const struct text_value_context *c, size_t at, const char code[CODE + 1],
                 struct found *out) {
    bool minus = at < c->folded.n && c->folded.p[at] == '-';
    size_t end = digits_end(c, at);
    if (end == 0)
        return false;
    struct slice digits = slice_head(slice_from(c->folded, at), end - at);
    *out = (struct found){.end = end};
    memcpy(out->code, code, CODE + 1);
    bool unit = phrase(c, past_spaces(c, end), ANY_UNIT).meaning != MEAN_NONE;
    int64_t times = times_at(c, &out->end);
    out->marked = times > 1 && c->kind == REQUEST_NONE && !unit; /* 20k; 5m are metres there */
    if (slice_starts(slice_from(c->folded, out->end), SLICE("/")) &&
        (out->end + 1 == c->folded.n || c->folded.p[out->end + 1] == ' ')) {
        out->end++;
        out->marked = true;
    }
    char behind[CODE + 1];
    size_t currency = currency_at_place(c, past_spaces(c, out->end), behind);
    if (currency > 0 && !of_next(c, out->end, currency)) {
        out->end = currency;
        out->marked = true;
        if (code[0] != '\0' && behind[0] != '\0' && strcmp(code, behind) != 0)
            out->doubt = TEXT_DOUBT_TWICE;
        if (behind[0] != '\0')
            memcpy(out->code, behind, sizeof behind);
    }
    if ((c->slots & SLOT_BIT(SLOT_CHOICE)) && c->kind != REQUEST_NONE)
        take_rate(c, out);
    unit = unit && !out->marked && (times == 1 || c->kind == REQUEST_NONE);
    if (unit || glued(c, out->end))
        return false;
    const struct currency *known = currency_of_code(slice_of(out->code));
    int decimals = times > 1 ? MILLI_DIGITS : known != NULL ? known->digits : 2;
    enum reading reading = minus ? SUM_NONE : sum(digits, decimals, &out->milli);
    if (out->doubt == TEXT_DOUBT_NONE)
        out->doubt = minus ? TEXT_DOUBT_TOKEN
                     : reading == SUM_READ && out->milli <= MONEY_MILLI_MAX / times
                         ? TEXT_DOUBT_NONE
                         : TEXT_DOUBT_NUMBER;
    out->milli = out->doubt == TEXT_DOUBT_NONE ? out->milli * times : 0;
    return true;
}

static struct text_value said(const struct text_value_context *c, size_t at,
                              const struct found *f) {
    struct text_value v = value(c, at, f->end);
    v.doubt = f->doubt;
    if (v.doubt != TEXT_DOUBT_NONE)
        return v;
    v.said.has = SLOT_BIT(SLOT_MONEY) | (f->of ? SLOT_BIT(SLOT_CHOICE) : 0);
    v.said.money_milli = f->milli;
    v.said.choices = f->of;
    memcpy(v.said.currency, f->code, sizeof v.said.currency);
    return v;
}

/* UGX 450000; where only a currency is asked, it alone. */
static bool currency_first(const struct text_value_context *c, size_t at, struct text_value *out) {
    struct found f = {0};
    char code[CODE + 1];
    size_t end = currency_at_place(c, at, code);
    if (end == 0)
        return false;
    if (find(c, past_joint(c, end), code, &f)) {
        *out = said(c, at, &f);
        return true;
    }
    bool alone = c->kind == REQUEST_NONE && at == 0 && end == c->folded.n;
    if ((c->kind != REQUEST_CURRENCY && !alone) || code[0] == '\0')
        return false;
    f = (struct found){.end = end, .milli = -1};
    memcpy(f.code, code, sizeof code);
    *out = said(c, at, &f);
    return true;
}

/* A word before a sum: elfu 20; for 450000; at 150 each; where a price is meant, kilo 9000. */
static bool word_first(const struct text_value_context *c, struct text_piece piece,
                       const struct text_hits *hits, struct text_value *out) {
    struct found f;
    const uint64_t words = MEANS(MEAN_TIMES) | MEANS(MEAN_FOR) | MEANS(MEAN_HOUR) | MEANS(MEAN_KG);
    struct text_phrase p = text_scan_pick(c->scanner, hits, words, c->language, c->person);
    if (p.meaning == MEAN_NONE || c->kind == REQUEST_NONE)
        return false;
    size_t at = past_spaces(c, p.end);
    int64_t times = p.meaning == MEAN_TIMES ? times_of(c, p) : 1;
    if (p.meaning == MEAN_FOR && currency_first(c, at, out))
        return true;
    if (dated(c, at) || !find(c, at, no_code, &f))
        return false;
    bool kilo = p.meaning == MEAN_KG && c->kind == REQUEST_PRICE;
    if ((p.meaning == MEAN_HOUR && !f.marked) || (p.meaning == MEAN_KG && !kilo) ||
        (times > 1 && (f.milli > MONEY_MILLI_MAX / times || takes(c, SLOT_COUNT))))
        return false;
    f.milli *= times;
    if (kilo)
        f.of = CHOICE_BIT(CHOICE_KILO);
    *out = said(c, piece.at, &f);
    return true;
}

/* Where the word for each that stands at `at` ends; 0: none does. */
static size_t each_end(const struct text_value_context *c, size_t at) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    size_t end = 0;
    for (int i = 0; i < hits.count; i++) {
        const struct text_phrase *p = &hits.all[i];
        if (p->meaning == MEAN_CHOICE && p->end > end &&
            words_group_choice(c->scanner->words, p->group) == CHOICE_EACH)
            end = p->end;
    }
    return end;
}

/* "100 each 10", "each 10 100": which of them are fish, and which is the price, nobody can tell. */
static bool each_between(const struct text_value_context *c, struct text_piece piece,
                         struct text_value *out) {
    bool number = piece.token == TOKEN_NUMBER;
    size_t each = number ? past_spaces(c, piece.end) : piece.at;
    size_t end = c->kind == REQUEST_SOLD ? each_end(c, each) : 0;
    struct text_piece next = text_scan_next(c->scanner, c->folded, end);
    struct found f;
    if (end == 0 || next.token != TOKEN_NUMBER || dated(c, next.at) ||
        !find(c, next.at, no_code, &f) || f.marked)
        return false;
    *out = value(c, next.at, next.end);
    out->doubt = TEXT_DOUBT_TWICE;
    return true;
}

bool text_money(const struct text_value_context *c, struct text_piece piece,
                const struct text_hits *hits, struct text_value *out) {
    struct found f;
    if (!takes(c, SLOT_MONEY))
        return false;
    if (each_between(c, piece, out))
        return true;
    if (piece.token == TOKEN_WORD)
        return currency_first(c, piece.at, out) || word_first(c, piece, hits, out);
    if (dated(c, piece.at) || !find(c, piece.at, no_code, &f))
        return false;
    bool only = !takes(c, SLOT_COUNT) && c->kind != REQUEST_NONE;
    if (!f.marked && !only)
        return false;
    *out = said(c, piece.at, &f);
    return true;
}

struct text_value text_money_plain(const struct text_value_context *c, struct slice digits) {
    size_t at = (size_t)(digits.p - c->folded.p);
    struct found f = {.end = at + digits.n};
    bool minus = digits.n > 0 && digits.p[0] == '-';
    if (minus || sum(digits, 2, &f.milli) != SUM_READ)
        f.doubt = minus ? TEXT_DOUBT_TOKEN : TEXT_DOUBT_NUMBER;
    return said(c, at, &f);
}

/* -- signs --------------------------------------------------------------------------------------
 */

static const struct {
    const char *sign, *code;
} signs[] = {{"$", " usd "}, {"\u00a3", " gbp "}, {"\u20ac", " eur "}};

static bool digit_beside(struct slice text, size_t at, size_t end) {
    size_t next = end < text.n && text.p[end] == ' ' ? end + 1 : end;
    return (at > 0 && digit(text.p[at - 1])) || (next < text.n && digit(text.p[next]));
}

struct slice text_money_signs(struct slice text, struct arena *arena) {
    const size_t count = sizeof signs / sizeof *signs;
    struct buf out = buf_make_in(arena, (size_t)4 * TEXT_BYTES_MAX);
    bool any = false;
    for (size_t at = 0; at < text.n;) {
        size_t i = 0, end = at + 1;
        while (i < count && !slice_starts(slice_from(text, at), slice_of(signs[i].sign)))
            i++;
        end = i < count ? at + slice_of(signs[i].sign).n : end;
        bool sign = i < count && digit_beside(text, at, end);
        any |= sign;
        if (sign)
            buf_puts(&out, signs[i].code);
        else
            buf_put(&out, slice_head(slice_from(text, at), end - at));
        at = end;
    }
    if (out.e != ERR_OK)
        return (struct slice){NULL, 0};
    return any ? buf_slice(&out) : text;
}

/* -- lines ------------------------------------------------------------------------------------- */

void text_money_write(const struct request *r, struct buf *out) {
    buf_put_int(out, r->money_milli);
    if (r->currency[0] != '\0')
        buf_putf(out, ",%s", r->currency);
}

enum err text_money_parse(struct slice s, struct request *out) {
    struct slice number, code;
    int64_t milli = 0;
    bool named = slice_cut(s, ',', &number, &code);
    enum err e = slice_int(number, &milli);
    if (e != ERR_OK)
        return e;
    if (milli < (named ? -1 : 0) || milli > MONEY_MILLI_MAX)
        return ERR_RANGE;
    for (size_t i = 0; named && i < code.n; i++)
        if (code.p[i] < 'A' || code.p[i] > 'Z')
            return ERR_SYNTAX;
    if (named && code.n != CODE)
        return ERR_SYNTAX;
    out->money_milli = milli;
    if (named)
        memcpy(out->currency, code.p, CODE);
    return ERR_OK;
}
