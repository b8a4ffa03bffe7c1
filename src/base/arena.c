/* arena: see arena.h. Blocks come from malloc; the cap counts what was asked for. */
#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

enum { BLOCK_BYTES = 16 * 1024, ALIGN = 16 };

struct arena_block {
    struct arena_block *before;
    size_t used, room;
    _Alignas(ALIGN) char bytes[];
};

struct arena arena_make(size_t cap) {
    return (struct arena){NULL, 0, cap};
}

void arena_free(struct arena *a) {
    while (a->last) {
        struct arena_block *before = a->last->before;
        free(a->last);
        a->last = before;
    }
    a->used = 0;
}

void arena_reset(struct arena *a) {
    while (a->last && a->last->before) {
        struct arena_block *before = a->last->before;
        free(a->last);
        a->last = before;
    }
    if (a->last)
        a->last->used = 0;
    a->used = 0;
}

void *arena_take(struct arena *a, size_t count, size_t size) {
    size_t n;
    if (__builtin_mul_overflow(count, size, &n) || n > a->cap || n > SIZE_MAX / 2)
        return NULL; /* half: so that rounding up and the block's head cannot wrap round */
    n = (n + ALIGN - 1) / ALIGN * ALIGN;
    if (n == 0)
        n = ALIGN;
    if (n > a->cap - a->used)
        return NULL;
    if (!a->last || a->last->room - a->last->used < n) {
        size_t room = n > BLOCK_BYTES ? n : BLOCK_BYTES;
        struct arena_block *b = malloc(sizeof *b + room);
        if (!b)
            return NULL;
        b->before = a->last;
        b->used = 0;
        b->room = room;
        a->last = b;
    }
    void *p = a->last->bytes + a->last->used;
    a->last->used += n;
    a->used += n;
    return memset(p, 0, n);
}

void *arena_grow(struct arena *a, const void *old, size_t count, size_t new_count, size_t size) {
    void *p = arena_take(a, new_count, size);
    if (p && old && count)
        memcpy(p, old, (count < new_count ? count : new_count) * size);
    return p;
}

char *arena_str(struct arena *a, struct slice s) {
    char *p = s.n < a->cap ? arena_take(a, s.n + 1, 1) : NULL;
    if (p && s.n)
        memcpy(p, s.p, s.n);
    return p;
}

struct slice arena_slice(struct arena *a, struct slice s) {
    char *p = arena_str(a, s);
    return (struct slice){p, p ? s.n : 0};
}
