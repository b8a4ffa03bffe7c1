/* slice: steps on text that is not owned. In: bytes with a length. Pure; no allocation. */
#include "base/slice.h"

#include <string.h>

struct slice slice_of(const char *zero_ended) {
    return (struct slice){zero_ended, zero_ended ? strlen(zero_ended) : 0};
}

bool slice_eq(struct slice a, struct slice b) {
    return a.n == b.n && (a.n == 0 || memcmp(a.p, b.p, a.n) == 0);
}

static char lower(char c) {
    return c >= 'A' && c <= 'Z' ? (char)(c + 32) : c;
}

bool slice_eq_nocase(struct slice a, struct slice b) {
    if (a.n != b.n)
        return false;
    for (size_t i = 0; i < a.n; i++)
        if (lower(a.p[i]) != lower(b.p[i]))
            return false;
    return true;
}

int slice_cmp(struct slice a, struct slice b) {
    size_t n = a.n < b.n ? a.n : b.n;
    int c = n ? memcmp(a.p, b.p, n) : 0;
    if (c)
        return c;
    return a.n < b.n ? -1 : a.n > b.n;
}

bool slice_starts(struct slice s, struct slice prefix) {
    return s.n >= prefix.n && slice_eq(slice_head(s, prefix.n), prefix);
}

bool slice_ends(struct slice s, struct slice suffix) {
    return s.n >= suffix.n && slice_eq(slice_from(s, s.n - suffix.n), suffix);
}

bool slice_has(struct slice s, char c) {
    return s.n && memchr(s.p, c, s.n) != NULL;
}

struct slice slice_from(struct slice s, size_t at) {
    if (at >= s.n)
        return (struct slice){s.p ? s.p + s.n : NULL, 0};
    return (struct slice){s.p + at, s.n - at};
}

struct slice slice_head(struct slice s, size_t n) {
    return (struct slice){s.p, n < s.n ? n : s.n};
}

static bool blank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

struct slice slice_trim(struct slice s) {
    while (s.n && blank(s.p[0]))
        s = slice_from(s, 1);
    while (s.n && blank(s.p[s.n - 1]))
        s.n--;
    return s;
}

bool slice_cut(struct slice s, char sep, struct slice *head, struct slice *tail) {
    const char *at = s.n ? memchr(s.p, sep, s.n) : NULL;
    if (!at) {
        *head = s;
        *tail = slice_from(s, s.n);
        return false;
    }
    size_t n = (size_t)(at - s.p);
    *head = slice_head(s, n);
    *tail = slice_from(s, n + 1);
    return true;
}

enum err slice_int(struct slice s, int64_t *out) {
    bool minus = s.n && s.p[0] == '-';
    if (s.n && (s.p[0] == '-' || s.p[0] == '+'))
        s = slice_from(s, 1);
    if (!s.n)
        return ERR_SYNTAX;
    int64_t v = 0;
    for (size_t i = 0; i < s.n; i++) {
        if (s.p[i] < '0' || s.p[i] > '9')
            return ERR_SYNTAX;
        if (__builtin_mul_overflow(v, 10, &v) || __builtin_sub_overflow(v, s.p[i] - '0', &v))
            return ERR_RANGE;
    }
    if (!minus && v == INT64_MIN)
        return ERR_RANGE;
    *out = minus ? v : -v;
    return ERR_OK;
}

enum err slice_codepoint(struct slice *s, uint32_t *codepoint) {
    if (!s->n)
        return ERR_NOT_FOUND;
    const unsigned char *p = (const unsigned char *)s->p;
    uint32_t c = p[0];
    size_t more = c < 0x80 ? 0 : c >= 0xc2 && c < 0xe0 ? 1 : (c & 0xf0) == 0xe0 ? 2 : 3;
    static const uint32_t least[] = {0, 0x80, 0x800, 0x10000};
    if (c >= 0x80 && (c < 0xc2 || c > 0xf4))
        return ERR_UTF8;
    if (s->n < more + 1)
        return ERR_UTF8;
    if (more)
        c &= 0x3fu >> more;
    for (size_t i = 1; i <= more; i++) {
        if ((p[i] & 0xc0) != 0x80)
            return ERR_UTF8;
        c = c << 6 | (p[i] & 0x3fu);
    }
    if (c < least[more] || c > 0x10ffff || (c >= 0xd800 && c < 0xe000))
        return ERR_UTF8;
    *codepoint = c;
    *s = slice_from(*s, more + 1);
    return ERR_OK;
}

bool slice_is_utf8(struct slice s) {
    uint32_t c;
    while (s.n)
        if (slice_codepoint(&s, &c))
            return false;
    return true;
}

uint64_t slice_hash(struct slice s, uint64_t seed) {
    for (size_t i = 0; i < s.n; i++)
        seed = (seed ^ (unsigned char)s.p[i]) * 0x100000001b3u;
    return seed;
}
