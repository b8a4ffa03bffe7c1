/* conf/scan: see scan.h. In: the bytes of a settings file. Out: the same text with an L behind
 * every integer, or one fault. It knows as much of the format as it needs to tell strings,
 * comments, names and numbers apart; whether they stand in the right order is the library's
 * business. Errors are those of whoever wrote the file. Linear in the bytes, no recursion. */
#include "conf/scan.h"

#include "conf/conf.h"

struct scan {
    struct slice rest;
    int line;
    int depth;
    const char *name;
    struct buf *out;
    struct faults *faults;
};

static char at(const struct scan *s, size_t i) {
    return i < s->rest.n ? s->rest.p[i] : '\0';
}

static bool digit(char c) {
    return c >= '0' && c <= '9';
}

static bool letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static enum err wrong(struct scan *s, const char *what) {
    faults_add(s->faults, s->name, s->line, "%s", what);
    return ERR_SETTINGS;
}

/* Copies n bytes and counts their lines. */
static void copy(struct scan *s, size_t n) {
    struct slice head = slice_head(s->rest, n);
    for (size_t i = 0; i < head.n; i++)
        s->line += head.p[i] == '\n';
    buf_put(s->out, head);
    s->rest = slice_from(s->rest, n);
}

/* A comment to the end of the line, or to the closing mark. */
static void comment(struct scan *s) {
    size_t n = 2;
    if (at(s, 0) == '/' && at(s, 1) == '*') {
        while (n < s->rest.n && !(at(s, n) == '*' && at(s, n + 1) == '/'))
            n++;
        n += 2;
    } else {
        n = 0;
        while (n < s->rest.n && at(s, n) != '\n')
            n++;
    }
    copy(s, n);
}

static enum err string(struct scan *s) {
    size_t n = 1;
    while (n < s->rest.n && at(s, n) != '"') {
        if (at(s, n) == '\\') {
            /* The library would end the text there without a word. */
            if (at(s, n + 1) == 'x' && at(s, n + 2) == '0' && at(s, n + 3) == '0')
                return wrong(s, "a text must not hold a zero byte (\\x00)");
            n++;
        }
        n++;
    }
    if (n >= s->rest.n)
        return wrong(s, "the text that begins here is never closed with a quote");
    copy(s, n + 1);
    return ERR_OK;
}

static enum err number(struct scan *s) {
    size_t n = at(s, 0) == '-' || at(s, 0) == '+' ? 1 : 0;
    if (at(s, n) == '0' && (at(s, n + 1) == 'x' || at(s, n + 1) == 'X'))
        return wrong(s, "write whole numbers in decimal");
    while (digit(at(s, n)))
        n++;
    char next = at(s, n);
    if (next == '.' || next == 'e' || next == 'E') { /* a fraction: taken as it stands */
        while (digit(next) || letter(next) || next == '.' ||
               ((next == '-' || next == '+') && (at(s, n - 1) == 'e' || at(s, n - 1) == 'E')))
            next = at(s, ++n);
        copy(s, n);
        return ERR_OK;
    }
    int64_t value;
    if (slice_int(slice_head(s->rest, n), &value))
        return wrong(s, "this whole number is too large");
    copy(s, n);
    size_t marks = 0;
    while (at(s, marks) == 'L')
        marks++;
    s->rest = slice_from(s->rest, marks);
    buf_puts(s->out, "L");
    return ERR_OK;
}

static enum err step(struct scan *s) {
    char c = at(s, 0), next = at(s, 1);
    if (c == '\0')
        return wrong(s, "there is a zero byte in the file");
    if (c == '#' || (c == '/' && (next == '/' || next == '*'))) {
        comment(s);
        return ERR_OK;
    }
    if (c == '"')
        return string(s);
    if (c == '@')
        return wrong(s, "@include is not taken here: write it all in this file");
    if (digit(c) || ((c == '-' || c == '+') && digit(next)))
        return number(s);
    if (letter(c) || c == '*') { /* a name, or true and false */
        size_t n = 1;
        while (letter(at(s, n)) || digit(at(s, n)) || at(s, n) == '-' || at(s, n) == '_' ||
               at(s, n) == '*')
            n++;
        copy(s, n);
        return ERR_OK;
    }
    if ((c == '{' || c == '(' || c == '[') && ++s->depth > CONF_DEPTH_MAX)
        return wrong(s, "groups and lists are nested too deeply");
    if ((c == '}' || c == ')' || c == ']') && s->depth > 0)
        s->depth--;
    copy(s, 1);
    return ERR_OK;
}

enum err conf_scan(struct slice bytes, const char *name, struct buf *out, struct faults *faults) {
    struct scan s = {bytes, 1, 0, name, out, faults};
    while (s.rest.n) {
        enum err e = step(&s);
        if (e)
            return e;
    }
    return buf_err(out);
}
