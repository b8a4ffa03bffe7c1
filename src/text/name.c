/* name: see name.h. In: a word and what stands around it. Out: a name as it was typed, folded, or a
 * doubt. No errors. Any word can be a name, so one ends before whatever else the kind takes, and
 * words that are never a name (me, him, hours) are none; who is a buyer of the farm the turn knows.
 * Limits: WORDS_MAX words, REQUEST_NAME_MAX bytes, a longer one is a doubt. */
#include "text/name.h"

#include <string.h>

#include "text/measure.h"

enum { WORDS_MAX = 3, SMALL_MAX = 2, NUMBERED_MAX = 99 };

#define SMALL (MEANS(MEAN_SKIP) | MEANS(MEAN_FOR) | MEANS(MEAN_OF))
#define UNITS (TEXT_MEASURE_UNITS | MEANS(MEAN_KG) | MEANS(MEAN_G) | MEANS(MEAN_MG))
#define STOPS                                                                                      \
    (MEANS(MEAN_NOW) | MEANS(MEAN_TODAY) | MEANS(MEAN_YESTERDAY) | MEANS(MEAN_TOMORROW) |          \
     MEANS(MEAN_SAME) | MEANS(MEAN_FROM) | MEANS(MEAN_HOUR) | MEANS(MEAN_PART) |                   \
     MEANS(MEAN_DATE) | SMALL)

static bool takes(const struct text_value_context *c, enum request_slot slot) {
    return (c->slots & SLOT_BIT(slot)) != 0;
}

static struct text_phrase phrase(const struct text_value_context *c, size_t at, uint64_t wanted) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return text_scan_pick(c->scanner, &hits, wanted, c->language, c->person);
}

static bool number_at(const struct text_value_context *c, size_t at) {
    return text_scan_next(c->scanner, c->folded, at).token == TOKEN_NUMBER;
}

/* A word of the kind's own list. */
static bool chosen(const struct text_value_context *c, size_t at, uint64_t among) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    uint64_t allowed = words_kind_choices(c->scanner->words, (int)c->kind) & among;
    for (int i = 0; i < hits.count; i++) {
        int choice = words_group_choice(c->scanner->words, hits.all[i].group);
        if (hits.all[i].meaning == MEAN_CHOICE && (allowed & CHOICE_BIT(choice)) != 0)
            return true;
    }
    return false;
}

/* The tag that "pond 4" and "spawn 4" say in a text about costs; where it ends, 0: none. A larger
 * number is a sum. */
static size_t numbered(const struct text_value_context *c, size_t at, struct tag *tag) {
    int64_t number = 0;
    struct text_phrase p = phrase(c, at, MEANS(MEAN_KIND));
    int kind = p.meaning == MEAN_KIND ? words_group_kind(c->scanner->words, p.group) : -1;
    struct text_piece next = text_scan_next(c->scanner, c->folded, p.end);
    if (c->kind != REQUEST_COST || (kind != REQUEST_POND && kind != REQUEST_STATUS) ||
        next.token != TOKEN_NUMBER || slice_int(next.part[PART_NUMBER], &number) != ERR_OK ||
        number < 1 || number > NUMBERED_MAX)
        return 0;
    *tag = (struct tag){kind == REQUEST_POND ? 'p' : 'f', (int)number};
    return next.end;
}

/* Where the word for pond ends that stands right before a tag: "cost of pond p4"; 0: none does. */
static size_t named_beside(const struct text_value_context *c, size_t at) {
    struct text_phrase p = phrase(c, at, MEANS(MEAN_KIND));
    int kind = p.meaning == MEAN_KIND ? words_group_kind(c->scanner->words, p.group) : -1;
    bool tag = text_scan_next(c->scanner, c->folded, p.end).token == TOKEN_TAG;
    return c->kind == REQUEST_COST && kind == REQUEST_POND && tag ? p.end : 0;
}

/* What ends a name: it is something else here. */
static bool stops(const struct text_value_context *c, struct text_piece piece) {
    struct tag tag;
    if (piece.token != TOKEN_WORD || (c->kind_end > 0 && piece.at == c->kind_at) ||
        numbered(c, piece.at, &tag) > 0 || phrase(c, piece.at, STOPS).meaning != MEAN_NONE ||
        chosen(c, piece.at, UINT64_MAX))
        return true;
    struct text_phrase beside =
        phrase(c, piece.at, UNITS | MEANS(MEAN_MONTH) | MEANS(MEAN_CURRENCY) | MEANS(MEAN_TIMES));
    return beside.meaning != MEAN_NONE && number_at(c, beside.end);
}

/* Only one space before `at`. */
static bool joined(const struct text_value_context *c, size_t end, size_t at) {
    return at == end + 1 && c->folded.p[end] == ' ';
}

/* Small words between the words of what was paid for: "fuel for the pump". */
static size_t past_small(const struct text_value_context *c, size_t at) {
    size_t from = at;
    if (c->kind != REQUEST_COST)
        return at;
    for (int i = 0; i < SMALL_MAX; i++) {
        struct text_phrase small = phrase(c, at, SMALL);
        if (small.meaning == MEAN_NONE)
            break;
        at = small.end;
    }
    struct text_piece next = text_scan_next(c->scanner, c->folded, at);
    return joined(c, at, next.at) && !stops(c, next) ? at : from;
}

/* Where the name that begins at `at` ends; `at` itself if none does. */
static size_t words_end(const struct text_value_context *c, size_t at, bool *nobody) {
    size_t end = at;
    *nobody = false;
    for (int i = 0; i < WORDS_MAX; i++) {
        size_t from = i == 0 ? at : past_small(c, end);
        struct text_piece piece = i == 0 ? text_scan_piece(c->scanner, c->folded, at)
                                         : text_scan_next(c->scanner, c->folded, from);
        if (stops(c, piece) || (i > 0 && !joined(c, from, piece.at)))
            break;
        *nobody |= phrase(c, piece.at, MEANS(MEAN_NOBODY)).meaning != MEAN_NONE;
        end = piece.end;
    }
    return end;
}

static struct text_value named(const struct text_value_context *c, size_t at, size_t from,
                               size_t end) {
    struct slice name = slice_head(slice_from(c->folded, from), end - from);
    struct text_value v = {.end = end, .token = slice_head(slice_from(c->folded, at), end - at)};
    if (name.n == 0 || name.n > REQUEST_NAME_MAX) {
        v.doubt = TEXT_DOUBT_TOKEN;
        return v;
    }
    memcpy(v.said.name, name.p, name.n);
    v.said.has = SLOT_BIT(SLOT_NAME);
    return v;
}

/* Behind for, to, by; or behind from where somebody orders or pays. */
static bool behind(const struct text_value_context *c, struct text_piece piece,
                   const struct text_hits *hits, struct text_value *out) {
    bool from = c->kind == REQUEST_PAID || c->kind == REQUEST_ORDER;
    struct text_phrase p = text_scan_pick(
        c->scanner, hits, MEANS(MEAN_FOR) | (from ? MEANS(MEAN_FROM) : 0), c->language, c->person);
    bool nobody;
    if (p.meaning == MEAN_NONE)
        return false;
    size_t at = p.end;
    for (int i = 0; i < SMALL_MAX; i++) { /* for the hotel */
        struct text_phrase small = phrase(c, at, MEANS(MEAN_SKIP));
        at = small.meaning != MEAN_NONE ? small.end : at;
    }
    struct text_piece next = text_scan_next(c->scanner, c->folded, at);
    size_t end = takes(c, SLOT_NAME) ? words_end(c, next.at, &nobody) : next.at;
    if (end > next.at && !(nobody && phrase(c, next.at, MEANS(MEAN_NOBODY)).end == end)) {
        *out = named(c, piece.at, next.at, end);
        return true;
    }
    if (next.token == TOKEN_END || end > next.at)
        return false;
    *out = (struct text_value){.end = p.end, .skip = true}; /* for 14 march, to p4 */
    return true;
}

/* The word right before `at` says that it was paid, or is owed: "owes mary 1500". */
static bool settled_before(const struct text_value_context *c, size_t at) {
    const uint64_t settles = CHOICE_BIT(CHOICE_PAID) | CHOICE_BIT(CHOICE_OWES);
    struct text_piece piece = {0}, last = {0};
    for (;;) {
        piece = text_scan_next(c->scanner, c->folded, piece.end);
        if (piece.token == TOKEN_END || piece.at >= at)
            break;
        last = piece;
    }
    return last.end > 0 && last.token == TOKEN_WORD && chosen(c, last.at, settles);
}

/* Kinds about somebody: any word. A SALE only of a tag, and right beside "paid" or "owes": "sold 2
 * goats" is another trade; "paid cash" is nobody. */
static bool alone(const struct text_value_context *c, struct text_piece piece,
                  struct text_value *out) {
    bool nobody, sold = c->kind == REQUEST_SOLD;
    if (c->kind != REQUEST_PAID && c->kind != REQUEST_OWES && c->kind != REQUEST_COST &&
        !(sold && c->tagged))
        return false;
    size_t end = words_end(c, piece.at, &nobody);
    struct text_phrase month = phrase(c, piece.at, MEANS(MEAN_MONTH));
    if (c->kind == REQUEST_COST && month.meaning != MEAN_NONE && month.end == end)
        return false; /* "cost p4 march" bought no march */
    struct text_piece next = text_scan_next(c->scanner, c->folded, end);
    const uint64_t settles = CHOICE_BIT(CHOICE_PAID) | CHOICE_BIT(CHOICE_OWES);
    bool cash = phrase(c, piece.at, MEANS(MEAN_CURRENCY)).meaning != MEAN_NONE;
    if (end == piece.at || nobody ||
        (sold && !chosen(c, next.at, settles) && (cash || !settled_before(c, piece.at))))
        return false;
    *out = named(c, piece.at, piece.at, end);
    return true;
}

bool text_name(const struct text_value_context *c, struct text_piece piece,
               const struct text_hits *hits, struct text_value *out) {
    bool wants = takes(c, SLOT_NAME) || takes(c, SLOT_MONEY) || takes(c, SLOT_MONTHS);
    if (c->kind == REQUEST_NONE || c->kind == REQUEST_BROOD || c->kind == REQUEST_FARM || !wants)
        return false;
    struct tag tag;
    size_t end = numbered(c, piece.at, &tag), thing = named_beside(c, piece.at);
    if (thing > 0) {
        *out = (struct text_value){.end = thing, .skip = true};
        return true;
    }
    if (end > 0) {
        *out = (struct text_value){.end = end,
                                   .token =
                                       slice_head(slice_from(c->folded, piece.at), end - piece.at),
                                   .said = {.has = SLOT_BIT(SLOT_TAG), .tag = tag}};
        return true;
    }
    return behind(c, piece, hits, out) || (takes(c, SLOT_NAME) && alone(c, piece, out));
}

size_t text_name_first(const struct text_value_context *c, size_t at) {
    size_t end = at;
    for (int i = 0; i < WORDS_MAX; i++) {
        struct text_piece piece = i == 0 ? text_scan_piece(c->scanner, c->folded, at)
                                         : text_scan_next(c->scanner, c->folded, end);
        const uint64_t none = STOPS | MEANS(MEAN_NOBODY) | MEANS(MEAN_KIND);
        if (piece.token != TOKEN_WORD || (i > 0 && !joined(c, end, piece.at)) ||
            phrase(c, piece.at, none).meaning != MEAN_NONE)
            break;
        end = piece.end;
    }
    return end > at ? end : 0;
}
