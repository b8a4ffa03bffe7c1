/* fault: see fault.h. No failure of its own; a list too long is cut, its count is not. */
#include "base/fault.h"

#include <stdarg.h>
#include <stdio.h>

enum { LINE_MAX_BYTES = 500 };

struct faults faults_make(void) {
    return (struct faults){buf_make((size_t)FAULTS_MAX * LINE_MAX_BYTES), 0};
}

void faults_free(struct faults *f) {
    buf_free(&f->text);
    f->count = 0;
}

void faults_add(struct faults *f, const char *file, int line, const char *format, ...) {
    if (++f->count > FAULTS_MAX)
        return;
    char what[LINE_MAX_BYTES];
    va_list args;
    va_start(args, format);
    (void)vsnprintf(what, sizeof what - 200, format, args);
    va_end(args);
    if (line > 0)
        buf_putf(&f->text, "%.180s:%d: %s\n", file, line, what);
    else
        buf_putf(&f->text, "%.180s: %s\n", file, what);
}

int fault_distance(struct slice a, struct slice b) {
    enum { MOST = 32 };
    if (a.n > MOST || b.n > MOST)
        return (int)(a.n > b.n ? a.n : b.n);
    int d[MOST + 1][MOST + 1];
    for (size_t i = 0; i <= a.n; i++)
        d[i][0] = (int)i;
    for (size_t j = 0; j <= b.n; j++)
        d[0][j] = (int)j;
    for (size_t i = 1; i <= a.n; i++)
        for (size_t j = 1; j <= b.n; j++) {
            int change = d[i - 1][j - 1] + (a.p[i - 1] != b.p[j - 1]);
            int drop = d[i - 1][j] + 1, add = d[i][j - 1] + 1;
            int best = change < drop ? change : drop;
            best = best < add ? best : add;
            if (i > 1 && j > 1 && a.p[i - 1] == b.p[j - 2] && a.p[i - 2] == b.p[j - 1] &&
                d[i - 2][j - 2] + 1 < best)
                best = d[i - 2][j - 2] + 1;
            d[i][j] = best;
        }
    return d[a.n][b.n];
}

const char *fault_near(struct slice given, const char *const *candidates, int count) {
    const char *nearest = NULL;
    int least = given.n <= 4 ? 1 : 2;
    for (int i = 0; i < count; i++) {
        int d = fault_distance(given, slice_of(candidates[i]));
        if (d <= least && (!nearest || d < least)) {
            least = d;
            nearest = candidates[i];
        }
    }
    return nearest;
}
