/* words/phrases: every word and group of words that people send, of all languages, in one sorted
 * table. Pure; lookups allocate nothing. */
#ifndef WORDS_PHRASES_H
#define WORDS_PHRASES_H

#include "base/arena.h"
#include "base/buf.h"

enum { PHRASE_BYTES_MAX = 64 };

struct phrase {
    struct slice folded;
    int group;
    int language;
};

struct phrases {
    struct phrase *all; /* sorted by text, language, group */
    int count, room;
};

enum err phrases_add(struct phrases *p, struct arena *arena, struct phrase one) MUST_LOOK;
void phrases_sort(struct phrases *p); /* once, after the last add; drops exact doubles */

/* Index of the first with this text, `count` when there is none. */
int phrases_find(const struct phrases *p, struct slice folded);

/* Phrases that begin alike: first and past the last in the table. */
struct phrase_range {
    int low, high;
};

/* Of those in `all`, which agree up to byte `at`, those whose byte `at` is c. One of exactly at + 1
 * bytes, if there is any, is the first. */
struct phrase_range phrases_narrow(const struct phrases *p, struct phrase_range all, size_t at,
                                   char c);

/* Byte i of a folded text can begin a new word after a phrase that ends before it: the end, or no
 * letter or digit; bytes past ASCII are letters. `glued`: a digit will do. */
bool phrases_boundary(struct slice folded, size_t i, bool glued);

#endif
