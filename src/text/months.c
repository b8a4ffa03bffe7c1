/* months: see months.h. In: a word and what stands behind it. Out: the months; a line's word. No
 * errors but of a line. A year is four digits right behind its month, in the years in which a farm
 * of today plans; other numbers there are counts. Limits: months by their names only, since 5-9
 * says too many other things. */
#include "text/months.h"

enum { YEAR_LEAST = 2020, YEAR_MOST = 2060 };

static struct text_phrase phrase(const struct text_value_context *c, size_t at, uint64_t wanted) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    return text_scan_pick(c->scanner, &hits, wanted, c->language, c->person);
}

/* The month at `at`, past spaces; 0 if none stands there. */
static int month_at(const struct text_value_context *c, size_t at, size_t *end) {
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    struct text_phrase p = phrase(c, at, MEANS(MEAN_MONTH));
    if (p.meaning == MEAN_NONE)
        return 0;
    *end = p.end;
    return words_group_month(c->scanner->words, p.group);
}

static int year_behind(const struct text_value_context *c, size_t *end) {
    struct text_piece next = text_scan_next(c->scanner, c->folded, *end);
    struct slice n = next.part[PART_NUMBER];
    int64_t year = 0;
    if (next.token != TOKEN_NUMBER || n.n != 4 || slice_int(n, &year) != ERR_OK ||
        year < YEAR_LEAST || year > YEAR_MOST)
        return 0;
    *end = next.end;
    return (int)year;
}

/* "-", "to" and the like, and the month behind them. */
static int last_month(const struct text_value_context *c, size_t at, size_t *end) {
    struct text_phrase p;
    while (at < c->folded.n && c->folded.p[at] == ' ')
        at++;
    if (at < c->folded.n && (c->folded.p[at] == '-' || c->folded.p[at] == '/'))
        return month_at(c, at + 1, end);
    p = phrase(c, at, MEANS(MEAN_UNTIL));
    return month_at(c, p.meaning != MEAN_NONE ? p.end : at, end); /* signs between may be gone */
}

bool text_months(const struct text_value_context *c, struct text_piece piece,
                 const struct text_hits *hits, struct text_value *out) {
    size_t end = 0;
    if ((c->slots & SLOT_BIT(SLOT_MONTHS)) == 0 || piece.token != TOKEN_WORD)
        return false;
    struct text_phrase joint =
        text_scan_pick(c->scanner, hits, MEANS(MEAN_FROM) | MEANS(MEAN_OF) | MEANS(MEAN_FOR),
                       c->language, c->person);
    if (joint.meaning != MEAN_NONE && c->kind != REQUEST_NONE &&
        month_at(c, joint.end, &end) > 0) { /* month of march, from may to june */
        *out = (struct text_value){.end = joint.end, .skip = true};
        return true;
    }
    int first = month_at(c, piece.at, &end);
    if (first == 0)
        return false;
    int first_year = year_behind(c, &end), last_year = first_year;
    struct text_piece next = text_scan_next(c->scanner, c->folded, end);
    if (c->kind == REQUEST_NONE && first_year == 0 && next.token == TOKEN_NUMBER)
        return false; /* march 14 */
    int last = last_month(c, end, &end);
    if (last > 0)
        last_year = year_behind(c, &end);
    *out = (struct text_value){
        .end = end, .token = slice_head(slice_from(c->folded, piece.at), end - piece.at)};
    out->said.has = SLOT_BIT(SLOT_MONTHS);
    out->said.month_first = first;
    out->said.month_first_year = first_year;
    out->said.month_last = last > 0 ? last : first;
    out->said.month_last_year = last_year;
    return true;
}

/* -- lines ------------------------------------------------------------------------------------- */

void text_months_write(const struct request *r, struct buf *out) {
    buf_putf(out, "%d-%d-%d-%d", r->month_first_year, r->month_first, r->month_last_year,
             r->month_last);
}

enum err text_months_parse(struct slice s, struct request *out) {
    int *const to[] = {&out->month_first_year, &out->month_first, &out->month_last_year,
                       &out->month_last};
    for (int i = 0; i < 4; i++) {
        struct slice one;
        int64_t n = 0;
        if (slice_cut(s, '-', &one, &s) != (i < 3))
            return ERR_SYNTAX;
        enum err e = slice_int(one, &n);
        if (e != ERR_OK)
            return e;
        if (n < (i & 1) || n > (i & 1 ? 12 : 9999))
            return ERR_RANGE;
        *to[i] = (int)n;
    }
    return ERR_OK;
}
