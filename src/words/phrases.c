/* words/phrases: see phrases.h. In: folded phrases with their group and language. Out: places in
 * the sorted table. A few hundred phrases a language: a binary search per word boundary costs less
 * than a microsecond, and a sorted table cannot degrade on hostile input as a hash can. */
#include "words/phrases.h"

#include <stdlib.h>

enum err phrases_add(struct phrases *p, struct arena *arena, struct phrase one) {
    if (p->count == p->room) {
        int room = p->room ? p->room * 2 : 128;
        struct phrase *all =
            arena_grow(arena, p->all, (size_t)p->count, (size_t)room, sizeof *p->all);
        if (!all)
            return ERR_NOMEM;
        p->all = all;
        p->room = room;
    }
    one.folded = arena_slice(arena, one.folded);
    if (!one.folded.p)
        return ERR_NOMEM;
    p->all[p->count++] = one;
    return ERR_OK;
}

static int compare(const void *a, const void *b) {
    const struct phrase *x = a, *y = b;
    int c = slice_cmp(x->folded, y->folded);
    if (c)
        return c;
    if (x->language != y->language)
        return x->language < y->language ? -1 : 1;
    return x->group < y->group ? -1 : x->group > y->group;
}

void phrases_sort(struct phrases *p) {
    if (!p->count)
        return;
    qsort(p->all, (size_t)p->count, sizeof *p->all, compare);
    int kept = 1;
    for (int i = 1; i < p->count; i++)
        if (compare(&p->all[i], &p->all[kept - 1]) != 0)
            p->all[kept++] = p->all[i];
    p->count = kept;
}

int phrases_find(const struct phrases *p, struct slice folded) {
    int low = 0, high = p->count;
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (slice_cmp(p->all[middle].folded, folded) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < p->count && slice_eq(p->all[low].folded, folded) ? low : p->count;
}

/* The first in the range whose byte `at` is `byte` or more; one that ends before it is less. */
static int first_from(const struct phrases *p, struct phrase_range r, size_t at, unsigned byte) {
    while (r.low < r.high) {
        int middle = r.low + (r.high - r.low) / 2;
        struct slice s = p->all[middle].folded;
        if (s.n <= at || (unsigned char)s.p[at] < byte)
            r.low = middle + 1;
        else
            r.high = middle;
    }
    return r.low;
}

struct phrase_range phrases_narrow(const struct phrases *p, struct phrase_range all, size_t at,
                                   char c) {
    unsigned byte = (unsigned char)c;
    all.low = first_from(p, all, at, byte);
    all.high = first_from(p, all, at, byte + 1);
    return all;
}

static bool digit(char c) {
    return c >= '0' && c <= '9';
}

static bool letter(char c) {
    return (c >= 'a' && c <= 'z') || (c & 0x80);
}

bool phrases_boundary(struct slice folded, size_t i, bool glued) {
    if (i >= folded.n)
        return true;
    if (!letter(folded.p[i]) && !digit(folded.p[i]))
        return true;
    return glued && digit(folded.p[i]) && i >= 2 && letter(folded.p[i - 1]) &&
           letter(folded.p[i - 2]);
}
