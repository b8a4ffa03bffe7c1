/* slice: text as a pointer and a length, never owned, not ended by a zero byte. Pure. */
#ifndef BASE_SLICE_H
#define BASE_SLICE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/err.h"

struct slice {
    const char *p;
    size_t n; /* bytes */
};

#define SLICE(literal) ((struct slice){(literal), sizeof(literal) - 1})

/* printf's "%.*s" takes these two. */
#define SLICE_ARG(s) (int)(s).n, (s).p

struct slice slice_of(const char *zero_ended); /* NULL gives an empty slice */
bool slice_eq(struct slice a, struct slice b);
bool slice_eq_nocase(struct slice a, struct slice b); /* ASCII letters only */
int slice_cmp(struct slice a, struct slice b);        /* byte order, as memcmp */
bool slice_starts(struct slice s, struct slice prefix);
bool slice_ends(struct slice s, struct slice suffix);
bool slice_has(struct slice s, char c);
struct slice slice_from(struct slice s, size_t at); /* the rest; empty past the end */
struct slice slice_head(struct slice s, size_t n);  /* the first n bytes at most */
struct slice slice_trim(struct slice s);            /* off: ASCII space, tab, CR, LF at both ends */

/* Cuts s at the first `sep`: *head is before it, *tail behind it. Without one, *head is all of s,
 * *tail is empty and false is returned. */
bool slice_cut(struct slice s, char sep, struct slice *head, struct slice *tail);

/* All of s is a decimal integer (a sign is allowed) that fits: ERR_OK; else ERR_SYNTAX or
 * ERR_RANGE and *out untouched. */
enum err slice_int(struct slice s, int64_t *out) MUST_LOOK;

/* One code point off the front of *s, strictly UTF-8 (no surrogates, no overlong forms).
 * ERR_UTF8: *s untouched. ERR_NOT_FOUND: *s is empty. */
enum err slice_codepoint(struct slice *s, uint32_t *codepoint) MUST_LOOK;
bool slice_is_utf8(struct slice s);

/* FNV-1a, 64 bits: for fingerprints inside the program, never for secrets. `seed` chains calls;
 * begin with SLICE_HASH_SEED. */
#define SLICE_HASH_SEED 0xcbf29ce484222325u
uint64_t slice_hash(struct slice s, uint64_t seed);

#endif
