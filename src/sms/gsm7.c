/* gsm7: the GSM 7-bit alphabet and the packing of septets (3GPP TS 23.038, 6.1.2 and 6.2.1). In:
 * code points or septets; out: codes or octets. Errors are the caller's: septets over 127, room too
 * small, fewer octets than the length field promised. Limits: the default tables only.
 *
 * The tables are those of the standard; a check holds every row against Perl's
 * Encode::GSM0338. Code 09 is the capital C with cedilla, as the standard prints it and phones show
 * it; some mapping files have the small one. */
#include "sms/gsm7.h"

static const uint16_t main_table[128] = {
    '@',    0x00a3, '$',    0x00a5, 0x00e8, 0x00e9, 0x00f9, 0x00ec,  /* @ pound $ yen e` e' u` i` */
    0x00f2, 0x00c7, '\n',   0x00d8, 0x00f8, '\r',   0x00c5, 0x00e5,  /* o` C, LF O/ o/ CR A* a* */
    0x0394, '_',    0x03a6, 0x0393, 0x039b, 0x03a9, 0x03a0, 0x03a8,  /* Delta _ Phi Gamma Lambda */
    0x03a3, 0x0398, 0x039e, 0,      0x00c6, 0x00e6, 0x00df, 0x00c9,  /* Sigma .. ESC AE ae ss E' */
    ' ',    '!',    '"',    '#',    0x00a4, '%',    '&',    '\'',    /* 24 is the currency sign */
    '(',    ')',    '*',    '+',    ',',    '-',    '.',    '/',     /* */
    '0',    '1',    '2',    '3',    '4',    '5',    '6',    '7',     /* */
    '8',    '9',    ':',    ';',    '<',    '=',    '>',    '?',     /* */
    0x00a1, 'A',    'B',    'C',    'D',    'E',    'F',    'G',     /* 40 is the turned ! */
    'H',    'I',    'J',    'K',    'L',    'M',    'N',    'O',     /* */
    'P',    'Q',    'R',    'S',    'T',    'U',    'V',    'W',     /* */
    'X',    'Y',    'Z',    0x00c4, 0x00d6, 0x00d1, 0x00dc, 0x00a7,  /* A: O: N~ U: section */
    0x00bf, 'a',    'b',    'c',    'd',    'e',    'f',    'g',     /* 60 is the turned ? */
    'h',    'i',    'j',    'k',    'l',    'm',    'n',    'o',     /* */
    'p',    'q',    'r',    's',    't',    'u',    'v',    'w',     /* */
    'x',    'y',    'z',    0x00e4, 0x00f6, 0x00f1, 0x00fc, 0x00e0}; /* a: o: n~ u: a` */

static const struct {
    uint8_t code;
    uint16_t codepoint;
} extension_table[] = {{0x0a, '\f'}, {0x14, '^'}, {0x28, '{'}, {0x29, '}'}, {0x2f, '\\'},
                       {0x3c, '['},  {0x3d, '~'}, {0x3e, ']'}, {0x40, '|'}, {0x65, 0x20ac}};

enum { EXTENSION_COUNT = sizeof extension_table / sizeof extension_table[0], CR = 0x0d };

int gsm7_code(uint32_t c) {
    /* Letters, digits and the space keep their ASCII codes: nearly every character of a text. */
    if (c == ' ' || (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'))
        return (int)c;
    for (int i = 0; i < 128; i++)
        if (main_table[i] == c && i != GSM7_ESC)
            return i;
    for (int i = 0; i < EXTENSION_COUNT; i++)
        if (extension_table[i].codepoint == c)
            return GSM7_EXTENSION | extension_table[i].code;
    return -1;
}

int gsm7_septets(uint32_t codepoint) {
    int code = gsm7_code(codepoint);
    return code < 0 ? 0 : code < GSM7_EXTENSION ? 1 : 2;
}

uint32_t gsm7_codepoint(int code, bool extension) {
    code &= 0x7f;
    if (extension)
        for (int i = 0; i < EXTENSION_COUNT; i++)
            if (extension_table[i].code == code)
                return extension_table[i].codepoint;
    return code == GSM7_ESC ? ' ' : main_table[code];
}

int gsm7_fill_bits(int header_octets) {
    return (7 - header_octets * 8 % 7) % 7;
}

int gsm7_header_septets(int header_octets) {
    return (header_octets * 8 + gsm7_fill_bits(header_octets)) / 7;
}

/* Writes one septet at bit `at` of octets that are zero from there on. */
static void septet_put(uint8_t *out, size_t at, unsigned septet) {
    unsigned shift = (unsigned)(at % 8);
    out[at / 8] = (uint8_t)(out[at / 8] | (septet << shift & 0xff));
    if (shift > 1)
        out[at / 8 + 1] = (uint8_t)(septet >> (8 - shift));
}

static uint8_t septet_get(const uint8_t *octets, size_t at) {
    unsigned shift = (unsigned)(at % 8);
    unsigned both = octets[at / 8];
    if (shift > 1)
        both |= (unsigned)octets[at / 8 + 1] << 8;
    return (uint8_t)(both >> shift & 0x7f);
}

/* Counts are bounded before they are multiplied by bits, so that no sum below can wrap. */
static bool too_many(size_t n) {
    return n > SIZE_MAX / 16;
}

enum err gsm7_pack(const uint8_t *septets, size_t n, int fill_bits, uint8_t *out, size_t room,
                   size_t *octets) {
    if (fill_bits < 0 || fill_bits > 6 || too_many(n))
        return ERR_RANGE;
    size_t fill = (size_t)fill_bits;
    size_t need = n ? (fill + n * 7 + 7) / 8 : 0;
    if (need > room)
        return ERR_TOO_LONG;
    for (size_t i = 0; i < n; i++)
        if (septets[i] > 0x7f)
            return ERR_RANGE;
    for (size_t i = 0; i < need; i++)
        out[i] = 0;
    for (size_t i = 0; i < n; i++)
        septet_put(out, fill + i * 7, septets[i]);
    *octets = need;
    return ERR_OK;
}

enum err gsm7_unpack(const uint8_t *octets, size_t n_octets, int fill_bits, uint8_t *septets,
                     size_t n) {
    if (fill_bits < 0 || fill_bits > 6 || too_many(n) || too_many(n_octets))
        return ERR_RANGE;
    if (n && (size_t)fill_bits + n * 7 > n_octets * 8)
        return ERR_RANGE;
    for (size_t i = 0; i < n; i++)
        septets[i] = septet_get(octets, (size_t)fill_bits + i * 7);
    return ERR_OK;
}

enum err gsm7_pack_ussd(const uint8_t *septets, size_t n, uint8_t *out, size_t room,
                        size_t *octets) {
    if (too_many(n))
        return ERR_RANGE;
    bool spare = n % 8 == 7;
    bool doubled = n && n % 8 == 0 && septets[n - 1] == CR;
    size_t need = ((n + (spare || doubled ? 1 : 0)) * 7 + 7) / 8;
    if (need > room)
        return ERR_TOO_LONG;
    enum err e = gsm7_pack(septets, n, 0, out, room, octets);
    if (e)
        return e;
    if (doubled)
        out[need - 1] = 0;
    if (spare || doubled)
        septet_put(out, n * 7, CR);
    *octets = need;
    return ERR_OK;
}

enum err gsm7_unpack_ussd(const uint8_t *octets, size_t n_octets, uint8_t *septets, size_t room,
                          size_t *n) {
    if (too_many(n_octets))
        return ERR_RANGE;
    size_t count = n_octets * 8 / 7;
    if (count && n_octets % 7 == 0 && septet_get(octets, (count - 1) * 7) == CR)
        count--;
    if (count > room)
        return ERR_TOO_LONG;
    *n = count;
    return gsm7_unpack(octets, n_octets, 0, septets, count);
}
