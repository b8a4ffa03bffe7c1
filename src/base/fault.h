/* fault: a list of mistakes of meaning found in files that people write (settings, profiles,
 * grammar, catalogues), so that all are told at once as "file:line: what is wrong". Capped: past
 * FAULTS_MAX only the count goes on. */
#ifndef BASE_FAULT_H
#define BASE_FAULT_H

#include "base/buf.h"

enum { FAULTS_MAX = 100 };

struct faults {
    struct buf text; /* one line each */
    int count;
};

struct faults faults_make(void);
void faults_free(struct faults *f);
void faults_add(struct faults *f, const char *file, int line, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The candidate nearest to `given` by edit distance (Damerau, one transposition is one step), when
 * it is near enough to be what was meant: distance 1 up to four letters, 2 above. NULL if none. */
const char *fault_near(struct slice given, const char *const *candidates, int count);

/* The distance itself, both at most 32 bytes long; longer ones are as far as their lengths. */
int fault_distance(struct slice a, struct slice b);

#endif
