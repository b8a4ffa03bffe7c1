/* buf: text that grows, with its cap named when it is made. Passing the cap (or the end of memory)
 * marks the buffer failed, empties nothing and ignores further puts: write freely, look once at the
 * end with buf_err. Never prints half of what a single put was given. */
#ifndef BASE_BUF_H
#define BASE_BUF_H

#include <stdarg.h>

#include "base/slice.h"

struct arena;

struct buf {
    char *p;  /* always ended by a zero byte once something was put; NULL before */
    size_t n; /* bytes in use, the zero byte not counted */
    size_t room;
    size_t cap; /* bytes it may hold */
    enum err e;
    struct arena *arena; /* NULL: malloc, freed by buf_free */
};

struct buf buf_make(size_t cap);
struct buf buf_make_in(struct arena *arena, size_t cap);
void buf_free(struct buf *b);  /* nothing to do for one in an arena; harmless twice */
void buf_clear(struct buf *b); /* empty and not failed; keeps its memory */
void buf_put(struct buf *b, struct slice s);
void buf_putc(struct buf *b, char c);
void buf_puts(struct buf *b, const char *zero_ended);
void buf_put_int(struct buf *b, int64_t v);
void buf_put_codepoint(struct buf *b, uint32_t codepoint); /* as UTF-8 */
void buf_putf(struct buf *b, const char *format, ...) __attribute__((format(printf, 2, 3)));
struct slice buf_slice(const struct buf *b);
const char *buf_str(const struct buf *b); /* zero-ended; "" when empty */
enum err buf_err(const struct buf *b) MUST_LOOK;

#endif
