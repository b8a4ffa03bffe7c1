/* words/fold: see fold.h. In: any text, out: the folded text at the end of a buffer. Errors: bytes
 * that are not UTF-8 are the sender's; the buffer's cap is the caller's. Sources: Unicode 15 case
 * folding and compatibility decomposition by utf8proc; the signs are those that phones, keyboards
 * and word processors put where a plain one is meant. Limits: digits of six scripts; letters of
 * other alphabets are kept folded but no word of ours is written in them. Linear in the bytes. */
#include "words/fold.h"

#include <utf8proc.h>

enum {
    DROP = 0,  /* nothing is put */
    SPACE = 1, /* a gap between words */
    /* anything else in the tables below is the ASCII character itself */
};

struct sign {
    uint32_t from, to; /* code points, both included */
    char put;
};

/* Signs, sorted by code point. ASCII has a table of its own. */
static const struct sign signs[] = {
    {0x0085, 0x0085, SPACE}, /* next line */
    {0x00a0, 0x00a0, SPACE}, /* no-break space */
    {0x00ab, 0x00ab, SPACE}, /* guillemets */
    {0x00ad, 0x00ad, DROP},  /* soft hyphen */
    {0x00b0, 0x00b0, DROP},  /* degree sign: 24 C */
    {0x00b4, 0x00b4, DROP},  /* acute accent, typed for an apostrophe */
    {0x00ba, 0x00ba, DROP},  /* raised o, typed for a degree sign */
    {0x00bb, 0x00bb, SPACE}, {0x00d7, 0x00d7, 'x'},
    {0x02b9, 0x02bd, DROP},                          /* modifier letters like apostrophes */
    {0x02c8, 0x02c8, DROP},  {0x02da, 0x02da, DROP}, /* ring above, typed for a degree sign */
    {0x034f, 0x034f, DROP},                          /* grapheme joiner */
    {0x060c, 0x060c, ','},                           /* Arabic comma */
    {0x061c, 0x061c, DROP},                          /* Arabic letter mark */
    {0x066a, 0x066a, '%'},   {0x066b, 0x066b, ','},  /* Arabic decimal sign */
    {0x066c, 0x066c, DROP},                          /* Arabic grouping sign */
    {0x1680, 0x1680, SPACE},                         /* ogham space */
    {0x180e, 0x180e, DROP},                          /* Mongolian vowel separator */
    {0x2000, 0x200a, SPACE}, /* en and em spaces, figure space U+2007, thin and hair space */
    {0x200b, 0x200f, DROP},  /* zero width space and joiners, direction marks */
    {0x2010, 0x2015, '-'},   /* hyphens and dashes */
    {0x2018, 0x201b, DROP},  /* single quotes: apostrophes */
    {0x201c, 0x201f, SPACE}, /* double quotes */
    {0x2028, 0x2029, SPACE}, /* line and paragraph separator */
    {0x202a, 0x202e, DROP},  /* embedding and override of direction */
    {0x202f, 0x202f, SPACE}, /* narrow no-break space */
    {0x2032, 0x2032, DROP},  /* prime */
    {0x2039, 0x203a, SPACE}, /* single guillemets */
    {0x2043, 0x2043, '-'},   {0x2044, 0x2044, '/'},  /* fraction slash */
    {0x205f, 0x205f, SPACE}, {0x2060, 0x206f, DROP}, /* word joiner, isolates */
    {0x2212, 0x2212, '-'},                           /* minus sign */
    {0x2215, 0x2215, '/'},   {0x2236, 0x2236, ':'},
    {0x2715, 0x2716, 'x'},   {0x3000, 0x3000, SPACE}, /* ideographic space */
    {0x3002, 0x3002, '.'},   {0xa78c, 0xa78c, DROP},  /* saltillo */
    {0xfe00, 0xfe0f, DROP},                           /* variation selectors */
    {0xfeff, 0xfeff, DROP},                           /* byte order mark */
    {0xff07, 0xff07, DROP},                           /* full-width apostrophe */
    {0xfff9, 0xfffd, DROP},
};

/* Letters that no decomposition takes apart, already lower case, sorted. The plain letter is the
 * one that people write for them on a phone that lacks them. */
struct letter {
    uint32_t from;
    const char *put;
};
static const struct letter letters[] = {
    {0x00e6, "ae"}, {0x00f0, "d"}, {0x00f8, "o"}, {0x00fe, "th"}, {0x0111, "d"},  {0x0127, "h"},
    {0x0131, "i"},  {0x0138, "k"}, {0x0142, "l"}, {0x014b, "n"},  {0x0153, "oe"}, {0x0167, "t"},
    {0x0188, "c"},  {0x0192, "f"}, {0x0199, "k"}, {0x01a5, "p"},  {0x01ad, "t"},  {0x01b4, "y"},
    {0x01b6, "z"},  {0x01dd, "e"}, {0x0253, "b"}, {0x0254, "o"},  {0x0256, "d"},  {0x0257, "d"},
    {0x0259, "e"},  {0x025b, "e"}, {0x0260, "g"}, {0x0263, "g"},  {0x0268, "i"},  {0x0269, "i"},
    {0x026f, "u"},  {0x0272, "n"}, {0x0289, "u"}, {0x028a, "u"},  {0x028b, "v"},  {0x0292, "z"},
};

/* Where the digit nought stands in scripts whose digits phones can type. */
static const uint32_t noughts[] = {0x0660, 0x06f0, 0x07c0, 0x0966, 0x09e6, 0xff10};

/* The text being made: only what was put since `start` is ours to take back. */
struct fold {
    struct buf *out;
    size_t start;
    bool pause; /* in a row of dots, which is a pause and no decimal sign */
};

static char last(const struct fold *f) {
    return f->out->n > f->start ? f->out->p[f->out->n - 1] : '\0';
}

static bool digit(char c) {
    return c >= '0' && c <= '9';
}

/* The end of a word: signs that only close it go. */
static void close_word(struct fold *f) {
    for (char c = last(f); c == '.' || c == ',' || c == ':' || c == ';' || c == '-'; c = last(f))
        f->out->p[--f->out->n] = '\0';
}

static void put_space(struct fold *f) {
    close_word(f);
    if (last(f) && last(f) != ' ')
        buf_putc(f->out, ' ');
}

static void put_ascii(struct fold *f, uint32_t c) {
    if (c >= 'A' && c <= 'Z')
        c += 32;
    bool kept = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == ':' || c == '.' ||
                c == ',' || c == '/' || c == '%' || c == '-' || c == '+' || c == '*' || c == '#';
    if (c == '\'' || c == '`' || (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7f)
        return;
    f->pause = c == '.' && (f->pause || last(f) == '.');
    if (!kept || f->pause)
        put_space(f);
    else
        buf_putc(f->out, (char)c);
}

/* True when the word being written is all digits. */
static bool word_is_number(const struct fold *f, size_t end) {
    size_t i = end;
    while (i > f->start && digit(f->out->p[i - 1]))
        i--;
    return i < end && (i == f->start || f->out->p[i - 1] == ' ');
}

/* 10 and a half, with or without a space before the half sign, is 10.5; the half sign alone 0.5.
 * Behind a word that only ends in a digit (f3) a space must stand, and then the sign is alone. */
static void put_fraction(struct fold *f, const char *behind) {
    if (last(f) == ' ' && word_is_number(f, f->out->n - 1))
        f->out->p[--f->out->n] = '\0';
    if (!digit(last(f)))
        buf_putc(f->out, '0');
    buf_puts(f->out, behind);
}

static const char *quarters(uint32_t c) {
    return c == 0xbc ? ".25" : c == 0xbd ? ".5" : c == 0xbe ? ".75" : NULL;
}

/* Raised digits: m2 for square metres, else a gap, since 5 with a raised 2 is not 52. */
static bool put_raised(struct fold *f, uint32_t c) {
    if (c != 0xb2 && c != 0xb3)
        return false;
    if (last(f) == 'm')
        buf_putc(f->out, c == 0xb2 ? '2' : '3');
    else
        put_space(f);
    return true;
}

static const struct sign *sign_of(uint32_t c) {
    for (size_t low = 0, high = sizeof signs / sizeof *signs; low < high;) {
        size_t middle = low + (high - low) / 2;
        if (c < signs[middle].from)
            high = middle;
        else if (c > signs[middle].to)
            low = middle + 1;
        else
            return &signs[middle];
    }
    return NULL;
}

static const char *letter_of(uint32_t c) {
    for (size_t low = 0, high = sizeof letters / sizeof *letters; low < high;) {
        size_t middle = low + (high - low) / 2;
        if (c == letters[middle].from)
            return letters[middle].put;
        if (c < letters[middle].from)
            high = middle;
        else
            low = middle + 1;
    }
    return NULL;
}

/* What our own tables know; false when they do not know it. */
static bool put_known(struct fold *f, uint32_t c) {
    if (c < 0x80) {
        put_ascii(f, c);
        return true;
    }
    const struct sign *sign = sign_of(c);
    if (sign) {
        if (sign->put == SPACE)
            put_space(f);
        else if (sign->put != DROP)
            put_ascii(f, (uint32_t)sign->put);
        return true;
    }
    for (size_t i = 0; i < sizeof noughts / sizeof *noughts; i++)
        if (c >= noughts[i] && c < noughts[i] + 10) {
            buf_putc(f->out, (char)('0' + (c - noughts[i])));
            return true;
        }
    const char *plain = letter_of(c);
    if (plain)
        buf_puts(f->out, plain);
    return plain != NULL;
}

/* A code point that neither table knows, already decomposed: letters and digits stay, marks and
 * invisible ones go, every other sign is a gap. */
static void put_other(struct fold *f, uint32_t c) {
    switch (utf8proc_category((utf8proc_int32_t)c)) {
    case UTF8PROC_CATEGORY_LU:
    case UTF8PROC_CATEGORY_LL:
    case UTF8PROC_CATEGORY_LT:
    case UTF8PROC_CATEGORY_LM:
    case UTF8PROC_CATEGORY_LO:
    case UTF8PROC_CATEGORY_ND:
    case UTF8PROC_CATEGORY_NL:
        buf_put_codepoint(f->out, c);
        break;
    case UTF8PROC_CATEGORY_MN:
    case UTF8PROC_CATEGORY_MC:
    case UTF8PROC_CATEGORY_ME:
    case UTF8PROC_CATEGORY_CC:
    case UTF8PROC_CATEGORY_CF:
    case UTF8PROC_CATEGORY_CS:
        break;
    default:
        put_space(f);
    }
}

static void put(struct fold *f, uint32_t c) {
    enum {
        LONGEST = 32,
        ELLIPSIS = 0x2026
    }; /* the longest compatibility decomposition has 18 code points */
    if (c != '.' && c != ELLIPSIS)
        f->pause = false;
    if (quarters(c)) {
        put_fraction(f, quarters(c));
        return;
    }
    if (put_raised(f, c) || put_known(f, c))
        return;
    utf8proc_int32_t parts[LONGEST];
    int bound = UTF8PROC_BOUNDCLASS_START;
    utf8proc_ssize_t n =
        utf8proc_decompose_char((utf8proc_int32_t)c, parts, LONGEST,
                                UTF8PROC_COMPAT | UTF8PROC_DECOMPOSE | UTF8PROC_CASEFOLD, &bound);
    if (n < 0 || n > LONGEST)
        return;
    /* One third and the like: a digit in front would join their own (10 1/3). */
    if (n > 1 && digit(last(f)) && parts[0] >= '0' && parts[0] <= '9')
        put_space(f);
    for (utf8proc_ssize_t i = 0; i < n; i++)
        if (!put_known(f, (uint32_t)parts[i]))
            put_other(f, (uint32_t)parts[i]);
}

enum err words_fold(struct slice utf8, struct buf *out) {
    struct fold f = {out, out->n, false};
    while (utf8.n) {
        uint32_t c;
        enum err e = slice_codepoint(&utf8, &c);
        if (e)
            return e;
        put(&f, c);
    }
    close_word(&f);
    if (last(&f) == ' ')
        out->p[--out->n] = '\0';
    return buf_err(out);
}
