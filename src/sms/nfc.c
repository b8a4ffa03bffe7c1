/* nfc: UTF-8 to code points in normalisation form C. In: a text; out: an array in the arena.
 * Errors: ERR_UTF8 (whose text it is), ERR_NOMEM. Limits: the Unicode version of the library; the
 * arena's cap.
 *
 * The library's own loop puts marks in order by swapping neighbours, which takes quadratic time for
 * a text that is one long row of marks: a stranger could hold up the one thread with it. So the
 * marks of a row are counted into order here, and only decomposing and composing are the library's.
 */
#include "sms/nfc.h"

#include <string.h>
#include <utf8proc.h>

enum {
    DECOMPOSED_MOST = 8
}; /* code points of one canonical decomposition; Unicode has 4 at most */

static unsigned class_of(int32_t codepoint) {
    return (unsigned)utf8proc_get_property(codepoint)->combining_class;
}

/* Stable order by combining class of a row of marks (classes 1..254), by counting. */
static void row_order(int32_t *row, size_t n, int32_t *scratch) {
    size_t start[257] = {0};
    for (size_t i = 0; i < n; i++)
        start[class_of(row[i]) + 1]++;
    for (size_t k = 1; k < 257; k++)
        start[k] += start[k - 1];
    memcpy(scratch, row, n * sizeof *row);
    for (size_t i = 0; i < n; i++)
        row[start[class_of(scratch[i])]++] = scratch[i];
}

static void marks_order(int32_t *c, size_t n, int32_t *scratch) {
    for (size_t i = 0; i < n;) {
        size_t end = i;
        while (end < n && class_of(c[end]) != 0)
            end++;
        if (end - i > 1)
            row_order(c + i, end - i, scratch);
        i = end + 1;
    }
}

enum err sms_nfc(struct slice utf8, struct arena *a, int32_t **codepoints, size_t *n) {
    /* A byte decomposes to 2 code points at most (a two-byte letter to three, a three-byte one to
     * four), so twice the bytes is room enough; the last few are checked all the same. */
    size_t room = utf8.n * 2 + DECOMPOSED_MOST, count = 0;
    int32_t *c = ARENA_ARRAY(a, room, int32_t);
    int32_t *scratch = ARENA_ARRAY(a, room, int32_t);
    if (!c || !scratch)
        return ERR_NOMEM;
    while (utf8.n) {
        uint32_t next;
        enum err e = slice_codepoint(&utf8, &next);
        if (e)
            return e;
        int boundary = 0;
        utf8proc_ssize_t got =
            utf8proc_decompose_char((int32_t)next, c + count, (utf8proc_ssize_t)(room - count),
                                    UTF8PROC_STABLE | UTF8PROC_COMPOSE, &boundary);
        if (got < 0 || (size_t)got > room - count)
            return ERR_BUG;
        count += (size_t)got;
    }
    marks_order(c, count, scratch);
    utf8proc_ssize_t left =
        utf8proc_normalize_utf32(c, (utf8proc_ssize_t)count, UTF8PROC_STABLE | UTF8PROC_COMPOSE);
    if (left < 0)
        return ERR_BUG;
    *codepoints = c;
    *n = (size_t)left;
    return ERR_OK;
}
