/* buf: see buf.h. */
#include "base/buf.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"

struct buf buf_make(size_t cap) {
    return (struct buf){.cap = cap};
}

struct buf buf_make_in(struct arena *arena, size_t cap) {
    return (struct buf){.cap = cap, .arena = arena};
}

void buf_free(struct buf *b) {
    if (!b->arena)
        free(b->p);
    *b = (struct buf){.cap = b->cap, .arena = b->arena};
}

void buf_clear(struct buf *b) {
    b->n = 0;
    b->e = ERR_OK;
    if (b->p)
        b->p[0] = '\0';
}

/* Room for n more bytes and the zero byte; false and failed when there is none. */
static bool reserve(struct buf *b, size_t n) {
    if (b->e)
        return false;
    if (n > b->cap - b->n) {
        b->e = ERR_TOO_LONG;
        return false;
    }
    size_t need = b->n + n + 1;
    if (need <= b->room)
        return true;
    size_t room = b->room ? b->room * 2 : 64;
    if (room < need)
        room = need;
    if (room > b->cap + 1)
        room = b->cap + 1;
    char *p = b->arena ? arena_grow(b->arena, b->p, b->n, room, 1) : realloc(b->p, room);
    if (!p) {
        b->e = ERR_NOMEM;
        return false;
    }
    b->p = p;
    b->room = room;
    return true;
}

void buf_put(struct buf *b, struct slice s) {
    if (!reserve(b, s.n))
        return;
    if (s.n)
        memcpy(b->p + b->n, s.p, s.n);
    b->n += s.n;
    b->p[b->n] = '\0';
}

void buf_putc(struct buf *b, char c) {
    buf_put(b, (struct slice){&c, 1});
}

void buf_puts(struct buf *b, const char *zero_ended) {
    buf_put(b, slice_of(zero_ended));
}

void buf_put_int(struct buf *b, int64_t v) {
    char digits[24];
    size_t at = sizeof digits;
    uint64_t u = v < 0 ? 0 - (uint64_t)v : (uint64_t)v;
    do {
        digits[--at] = (char)('0' + u % 10);
        u /= 10;
    } while (u);
    if (v < 0)
        digits[--at] = '-';
    buf_put(b, (struct slice){digits + at, sizeof digits - at});
}

void buf_put_codepoint(struct buf *b, uint32_t c) {
    char u[4];
    size_t n;
    if (c < 0x80) {
        u[0] = (char)c;
        n = 1;
    } else if (c < 0x800) {
        u[0] = (char)(0xc0 | c >> 6);
        u[1] = (char)(0x80 | (c & 0x3f));
        n = 2;
    } else if (c < 0x10000) {
        u[0] = (char)(0xe0 | c >> 12);
        u[1] = (char)(0x80 | (c >> 6 & 0x3f));
        u[2] = (char)(0x80 | (c & 0x3f));
        n = 3;
    } else {
        u[0] = (char)(0xf0 | (c >> 18 & 7));
        u[1] = (char)(0x80 | (c >> 12 & 0x3f));
        u[2] = (char)(0x80 | (c >> 6 & 0x3f));
        u[3] = (char)(0x80 | (c & 0x3f));
        n = 4;
    }
    buf_put(b, (struct slice){u, n});
}

void buf_putf(struct buf *b, const char *format, ...) {
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    if (n < 0)
        b->e = ERR_BUG;
    else if (reserve(b, (size_t)n)) {
        (void)vsnprintf(b->p + b->n, (size_t)n + 1, format, again);
        b->n += (size_t)n;
    }
    va_end(again);
    va_end(args);
}

struct slice buf_slice(const struct buf *b) {
    return (struct slice){b->p, b->n};
}

const char *buf_str(const struct buf *b) {
    return b->p ? b->p : "";
}

enum err buf_err(const struct buf *b) {
    return b->e;
}
