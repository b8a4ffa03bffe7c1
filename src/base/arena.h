/* arena: memory for one turn, taken in blocks up to a cap, given back all at once. */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include "base/slice.h"

struct arena_block;

struct arena {
    struct arena_block *last;
    size_t used; /* bytes in all blocks */
    size_t cap;
};

struct arena arena_make(size_t cap);
void arena_free(struct arena *a);  /* gives every block back; may be used again */
void arena_reset(struct arena *a); /* empties it, keeping its first block */

/* Zeroed memory for `count` things of `size` bytes, aligned for anything; NULL at the cap. */
void *arena_take(struct arena *a, size_t count, size_t size);

/* The same as arena_take, for arrays that double: moves `count` things of old into new room. */
void *arena_grow(struct arena *a, const void *old, size_t count, size_t new_count, size_t size);
char *arena_str(struct arena *a, struct slice s);          /* zero-ended copy; NULL at the cap */
struct slice arena_slice(struct arena *a, struct slice s); /* copy; {NULL, 0} at the cap */

#define ARENA_NEW(a, type)          ((type *)arena_take((a), 1, sizeof(type)))
#define ARENA_ARRAY(a, count, type) ((type *)arena_take((a), (count), sizeof(type)))

#endif
