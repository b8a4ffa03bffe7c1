/* translit: text for the GSM 7-bit alphabet. In: UTF-8; out: UTF-8 whose every character is in the
 * two tables of TS 23.038. Errors: ERR_UTF8 (the text's), the buffer's own. Limits: Latin with the
 * letters of African alphabets, punctuation, currency and number signs; other scripts become one
 * '?' for each letter. Of more than 30 marks on one letter the rest is dropped (30 as in UAX 15,
 * stream-safe text).
 *
 * The letters agree with ICU 72.1's Latin-ASCII where that has an entry; the rest (open o, raised
 * numbers, currency, other digits, angle quotes) is our own choice. Numbers are never changed in
 * value. */
#include "sms/translit.h"

#include <utf8proc.h>

#include "sms/digit.h"
#include "sms/gsm7.h"

enum { MARKS_MOST = 30, CLUSTER_MOST = (MARKS_MOST + 1) * 4, KD_MOST = 18 };

static const struct {
    uint16_t codepoint;
    const char *ascii; /* "" goes without a trace */
} table[] = {
    {'\t', " "},     {'\v', "\n"},    {'`', "'"},      {0x0085, "\n"}, {0x00a0, " "},
    {0x00a2, "c"},   {0x00a6, "|"},   {0x00a9, "(c)"}, {0x00ab, "\""}, {0x00ac, "not "},
    {0x00ad, ""},    {0x00ae, "(R)"}, {0x00b1, "+/-"}, {0x00b4, "'"},  {0x00b5, "u"},
    {0x00b6, ""},    {0x00b7, "."},   {0x00bb, "\""},  {0x00d0, "D"},  {0x00d7, "x"},
    {0x00de, "TH"},  {0x00f0, "d"},   {0x00f7, "/"},   {0x00fe, "th"}, {0x0110, "D"},
    {0x0111, "d"},   {0x0126, "H"},   {0x0127, "h"},   {0x0131, "i"},  {0x0141, "L"},
    {0x0142, "l"},   {0x014a, "N"},   {0x014b, "n"},   {0x0152, "OE"}, {0x0153, "oe"},
    {0x0166, "T"},   {0x0167, "t"},   {0x0180, "b"},   {0x0181, "B"}, /* Hausa, Fulfulde: hooked b
                                                                       */
    {0x0186, "O"},   {0x0187, "C"},   {0x0188, "c"},                  /* open o */
    {0x0189, "D"},   {0x018a, "D"},   {0x018e, "E"},                  /* Ewe and Hausa d */
    {0x018f, "E"},   {0x0190, "E"},   {0x0191, "F"},                  /* schwa, open e, Ewe f */
    {0x0192, "f"},   {0x0193, "G"},   {0x0194, "G"},   {0x0196, "I"},  {0x0197, "I"},
    {0x0198, "K"}, /* Hausa k */
    {0x0199, "k"},   {0x019d, "N"},   {0x019e, "n"},   {0x01a4, "P"},  {0x01a5, "p"},
    {0x01ac, "T"},   {0x01ad, "t"},   {0x01b1, "U"},   {0x01b2, "V"},  {0x01b3, "Y"},
    {0x01b4, "y"},   {0x01dd, "e"}, /* Hausa y, turned e */
    {0x0244, "U"},   {0x0253, "b"},   {0x0254, "o"},   {0x0256, "d"},  {0x0257, "d"},
    {0x0259, "e"},   {0x025b, "e"},   {0x0260, "g"},   {0x0263, "g"},  {0x0268, "i"},
    {0x0269, "i"},   {0x0272, "n"},   {0x0289, "u"},   {0x028a, "u"},  {0x028b, "v"},
    {0x0294, "'"},   {0x02b9, "'"},   {0x02bb, "'"}, /* letters that look like apostrophes */
    {0x02bc, "'"},   {0x02bd, "'"},   {0x02be, "'"},   {0x02bf, "'"},  {0x02c8, "'"},
    {0x03bc, "u"},   {0x060c, ","},   {0x061b, ";"},   {0x061f, "?"}, /* Arabic */
    {0x066a, "%"},   {0x066b, "."},   {0x066c, ""},                   /* 066c groups digits */
    {0x1361, " "},   {0x1362, "."},   {0x1363, ","},                  /* Ethiopic */
    {0x1364, ";"},   {0x1365, ":"},   {0x1e9e, "SS"},  {0x2010, "-"},  {0x2011, "-"},
    {0x2012, "-"},   {0x2013, "-"},   {0x2014, "-"},   {0x2015, "-"},  {0x2018, "'"},
    {0x2019, "'"},   {0x201a, ","},   {0x201b, "'"},   {0x201c, "\""}, {0x201d, "\""},
    {0x201e, "\""},  {0x201f, "\""},  {0x2022, "-"},   {0x2028, "\n"}, {0x2029, "\n"},
    {0x2032, "'"},   {0x2033, "\""},  {0x2039, "'"},   {0x203a, "'"},  {0x2043, "-"},
    {0x2044, "/"},   {0x20a6, "NGN"}, /* naira, cedi: the ISO 4217 codes */
    {0x20b5, "GHS"}, {0x2190, "<-"},  {0x2192, "->"},  {0x2212, "-"},  {0x2215, "/"},
    {0x2248, "~"},   {0x2260, "<>"},  {0x2264, "<="},  {0x2265, ">="}, /* 2260 less its mark would
                                                                          say = */
    {0xa78b, "'"},   {0xa78c, "'"}};

static const char *table_find(uint32_t c) {
    size_t low = 0, high = sizeof table / sizeof table[0];
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (table[middle].codepoint == c)
            return table[middle].ascii;
        if (table[middle].codepoint < c)
            low = middle + 1;
        else
            high = middle;
    }
    return NULL;
}

static bool is_mark(uint32_t c) {
    utf8proc_category_t k = utf8proc_category((int32_t)c);
    return k == UTF8PROC_CATEGORY_MN || k == UTF8PROC_CATEGORY_ME;
}

static bool ends_with_digit(const struct buf *out) {
    return out->n && out->p[out->n - 1] >= '0' && out->p[out->n - 1] <= '9';
}

/* Needs no decomposing: in GSM-7, in our table, or a digit or space of another script. */
static bool is_direct(uint32_t c) {
    return gsm7_code(c) >= 0 || table_find(c) || sms_digit(c) >= 0 ||
           utf8proc_category((int32_t)c) == UTF8PROC_CATEGORY_ZS;
}

static void put_direct(struct buf *out, uint32_t c) {
    if (gsm7_code(c) >= 0)
        buf_put_codepoint(out, c);
    else if (table_find(c))
        buf_puts(out, table_find(c));
    else if (sms_digit(c) >= 0)
        buf_putc(out, (char)('0' + sms_digit(c)));
    else
        buf_putc(out, ' ');
}

/* A sign that stands for digits (raised, a fraction, in a circle) right after a digit must not run
 * together with it: 10 and a raised 2 are not 102, 10 and a half is not 101/2. A raised minus after
 * a digit begins an exponent. */
static void put_apart(struct buf *out, uint32_t c, int32_t first) {
    bool raised = utf8proc_get_property((int32_t)c)->decomp_type == UTF8PROC_DECOMP_TYPE_SUPER;
    bool digit = sms_digit((uint32_t)first) >= 0;
    bool sign = first == 0x2212 || first == '+';
    if (ends_with_digit(out) && (digit || (raised && sign)))
        buf_putc(out, raised ? '^' : ' ');
}

/* The compatibility decomposition of c without its marks, or nothing (0) when a part of it has no
 * place in GSM-7. A mark that lies over its base changes the sense of a sign (not less than):
 * nothing either. */
static size_t decompose(uint32_t c, int32_t *kd) {
    int boundary = 0;
    size_t kept = 0;
    utf8proc_ssize_t n = utf8proc_decompose_char(
        (int32_t)c, kd, KD_MOST, UTF8PROC_STABLE | UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT, &boundary);
    if (n < 1 || n > KD_MOST)
        return 0;
    for (utf8proc_ssize_t i = 0; i < n; i++) {
        if (utf8proc_get_property(kd[i])->combining_class == 1)
            return 0;
        if (is_mark((uint32_t)kd[i]))
            continue;
        if (!is_direct((uint32_t)kd[i]))
            return 0;
        kd[kept++] = kd[i];
    }
    return kept;
}

static void put_decomposed(struct buf *out, uint32_t c) {
    int32_t kd[KD_MOST];
    size_t n = decompose(c, kd);
    if (!n) {
        buf_putc(out, '?');
        return;
    }
    put_apart(out, c, kd[0]);
    for (size_t i = 0; i < n; i++)
        put_direct(out, (uint32_t)kd[i]);
}

/* `rest` is what follows: a degree sign before C or F says nothing, alone it is the unit. */
static void put_one(struct buf *out, uint32_t c, struct slice rest) {
    if (c == 0x00b0) {
        if (!rest.n || (rest.p[0] != 'C' && rest.p[0] != 'F'))
            buf_puts(out, "deg");
    } else if (is_direct(c)) {
        put_direct(out, c);
    } else if (!is_mark(c) && utf8proc_category((int32_t)c) != UTF8PROC_CATEGORY_CF) {
        put_decomposed(out, c);
    }
}

/* Takes one character and the marks on it off the text, in form NFC. *n code points. */
static enum err cluster_take(struct slice *utf8, int32_t *c, size_t *n) {
    struct slice at = *utf8, whole = *utf8;
    uint32_t next;
    enum err e = slice_codepoint(&at, &next);
    if (e)
        return e;
    size_t bytes = whole.n - at.n;
    for (int marks = 0; at.n; marks++) {
        e = slice_codepoint(&at, &next);
        if (e)
            return e;
        if (!is_mark(next))
            break;
        *utf8 = at;
        if (marks < MARKS_MOST)
            bytes = whole.n - at.n;
    }
    if (utf8->n == whole.n)
        *utf8 = slice_from(whole, bytes);
    utf8proc_ssize_t got = utf8proc_decompose((const uint8_t *)whole.p, (utf8proc_ssize_t)bytes, c,
                                              CLUSTER_MOST, UTF8PROC_STABLE | UTF8PROC_COMPOSE);
    if (got < 0 || got > CLUSTER_MOST)
        return ERR_BUG;
    got = utf8proc_normalize_utf32(c, got, UTF8PROC_STABLE | UTF8PROC_COMPOSE);
    if (got < 0)
        return ERR_BUG;
    *n = (size_t)got;
    return ERR_OK;
}

enum err sms_translit(struct slice utf8, struct buf *out) {
    while (utf8.n) {
        int32_t c[CLUSTER_MOST];
        size_t n = 0;
        enum err e = cluster_take(&utf8, c, &n);
        if (e)
            return e;
        for (size_t i = 0; i < n; i++)
            put_one(out, (uint32_t)c[i], i + 1 == n ? utf8 : (struct slice){NULL, 0});
    }
    return buf_err(out);
}
