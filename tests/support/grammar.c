/* See grammar.h. In: files of the build folder, which the target "grammar" made. */
#include "support/grammar.h"

#include <stdio.h>

#include "conf/conf.h"

enum { ARENA_BYTES = 8 * 1024 * 1024, FILE_MOST = 1024 * 1024 };

struct slice test_file(struct arena *arena, const char *path) {
    FILE *f = fopen(path, "rb");
    char *bytes = arena_take(arena, 1, FILE_MOST);
    if (!f || !bytes) {
        fprintf(stderr, "cannot read %s\n", path);
        if (f)
            (void)fclose(f);
        return (struct slice){NULL, 0};
    }
    size_t n = fread(bytes, 1, FILE_MOST, f);
    (void)fclose(f);
    return (struct slice){bytes, n};
}

bool test_grammar_load(struct test_grammar *g) {
    *g = (struct test_grammar){.arena = arena_make(ARENA_BYTES), .faults = faults_make()};
    if (conf_read(BUILD_DIR "/grammar/messages.conf", &g->arena, &g->faults, &g->forms)) {
        fprintf(stderr, "%s", buf_str(&g->faults.text));
        return false;
    }
    struct words_catalogue catalogues[] = {
        {"en", test_file(&g->arena, BUILD_DIR "/grammar/en.mo")},
        {"sw", test_file(&g->arena, BUILD_DIR "/grammar/sw.mo")},
    };
    g->words = words_build(&g->arena, g->forms, catalogues, 2, &g->faults);
    if (!g->words) {
        fprintf(stderr, "%s", buf_str(&g->faults.text));
        return false;
    }
    g->en = words_find(g->words, SLICE("en"));
    g->sw = words_find(g->words, SLICE("sw"));
    return true;
}

void test_grammar_free(struct test_grammar *g) {
    faults_free(&g->faults);
    arena_free(&g->arena);
}
