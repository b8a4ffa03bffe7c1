/* form: see form.h. In: a body's octets; out: names and values as UTF-8 in the arena. All errors of
 * reading are the sender's fault but ERR_NOMEM. Limits: the number of pairs that the caller names;
 * the length of the body is the caller's to cap. */
#include "wire/form.h"

#include <string.h>

static int hex_value(char c) {
    if (c >= '0' && c <= '9')
        return c - '0';
    if (c >= 'a' && c <= 'f')
        return c - 'a' + 10;
    if (c >= 'A' && c <= 'F')
        return c - 'A' + 10;
    return -1;
}

/* Half of a character in UTF-8, as UTF-16 was turned into it letter by letter. */
static bool is_half(struct slice s, size_t i) {
    return i + 2 < s.n && s.p[i] == '\xed' && (s.p[i + 1] & 0xe0) == 0xa0 &&
           (s.p[i + 2] & 0xc0) == 0x80;
}

/* A text must not be lost for what is no character (it may say STOP): zeros and halves become
 * U+FFFD, as the WHATWG encoding standard has it. Other octets that are not UTF-8 mean another
 * alphabet, all of whose letters would be lost: refused. */
static enum err mend(struct arena *a, struct slice *s) {
    char *p = arena_take(a, 3 * s->n + 1, 1);
    if (!p)
        return ERR_NOMEM;
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++) {
        bool half = is_half(*s, i);
        if (half || s->p[i] == '\0') {
            memcpy(p + n, "\xef\xbf\xbd", 3);
            n += 3;
            i += half ? 2 : 0;
        } else {
            p[n++] = s->p[i];
        }
    }
    *s = (struct slice){p, n};
    return ERR_OK;
}

/* One name or value: "+" is a space, %XX an octet. */
static enum err decode(struct arena *a, struct slice s, struct slice *out) {
    char *p = arena_take(a, s.n + 1, 1);
    if (!p)
        return ERR_NOMEM;
    size_t n = 0;
    bool odd = false;
    for (size_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        if (c == '+') {
            c = ' ';
        } else if (c == '%') {
            int high = i + 2 < s.n ? hex_value(s.p[i + 1]) : -1;
            int low = i + 2 < s.n ? hex_value(s.p[i + 2]) : -1;
            if (high < 0 || low < 0)
                return ERR_SYNTAX;
            c = (char)(high * 16 + low);
            i += 2;
        }
        odd |= c == '\0' || c == '\xed';
        p[n++] = c;
    }
    *out = (struct slice){p, n};
    enum err e = odd ? mend(a, out) : ERR_OK;
    return e || slice_is_utf8(*out) ? e : ERR_UTF8;
}

enum err wire_form_read(struct arena *a, struct slice body, int most, struct wire_pair **out,
                        int *count) {
    struct wire_pair *pairs = ARENA_ARRAY(a, (size_t)most, struct wire_pair);
    if (!pairs)
        return ERR_NOMEM;
    int n = 0;
    while (body.n) {
        struct slice piece, name, value;
        (void)slice_cut(body, '&', &piece, &body);
        if (!piece.n)
            continue; /* "&&" or one at an end: the standard skips it, too */
        (void)slice_cut(piece, '=', &name, &value);
        if (n == most)
            return ERR_TOO_LONG;
        struct wire_pair *pair = &pairs[n];
        enum err e = decode(a, name, &pair->name);
        if (!e)
            e = decode(a, value, &pair->value);
        if (e)
            return e;
        if (!pair->name.n)
            return ERR_SYNTAX;
        for (int i = 0; i < n; i++)
            if (slice_eq(pairs[i].name, pair->name))
                return ERR_SYNTAX;
        n++;
    }
    *out = pairs;
    *count = n;
    return ERR_OK;
}

/* The set that stays as it is in both the WHATWG form serialiser and RFC 3986 (unreserved): the
 * tilde is escaped, since the former does so; the asterisk, since the latter does. */
static void put_encoded(struct buf *b, struct slice s) {
    static const char digits[] = "0123456789ABCDEF";
    for (size_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
            c == '-' || c == '.' || c == '_') {
            buf_putc(b, c);
        } else if (c == ' ') {
            buf_putc(b, '+');
        } else {
            unsigned char octet = (unsigned char)c;
            buf_putc(b, '%');
            buf_putc(b, digits[octet >> 4]);
            buf_putc(b, digits[octet & 15]);
        }
    }
}

void wire_form_put(struct buf *b, struct slice name, struct slice value) {
    if (b->n)
        buf_putc(b, '&');
    put_encoded(b, name);
    buf_putc(b, '=');
    put_encoded(b, value);
}
