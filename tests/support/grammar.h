/* The grammar as the program loads it, for unit tests: messages.conf and the compiled catalogues of
 * the build folder. */
#ifndef SUPPORT_GRAMMAR_H
#define SUPPORT_GRAMMAR_H

#include "base/arena.h"
#include "base/fault.h"
#include "words/words.h"

struct test_grammar {
    struct arena arena;
    struct faults faults;
    const struct tree *forms;
    struct words *words;
    int en, sw;
};

/* False, with what went wrong in the faults or on standard error, when it cannot be loaded. Faults
 * of the grammar's meaning are left for the test to look at. */
bool test_grammar_load(struct test_grammar *g);
void test_grammar_free(struct test_grammar *g);

/* A file's bytes in the arena; {NULL, 0} when it cannot be read. */
struct slice test_file(struct arena *arena, const char *path);

#endif
