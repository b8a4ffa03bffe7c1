/* What the tests of the text room share: the real grammar, a reader, and a text read to a line. */
#ifndef TEXT_HELP_H
#define TEXT_HELP_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "support/grammar.h"
#include "text/text.h"

static struct test_grammar grammar;
static struct text_reader *reader;

static inline int load(void **state) {
    (void)state;
    if (!test_grammar_load(&grammar))
        return -1;
    reader = text_reader_make(&grammar.arena, grammar.words, grammar.forms, &grammar.faults);
    if (reader == NULL)
        fprintf(stderr, "%s", buf_str(&grammar.faults.text));
    return reader != NULL ? 0 : -1;
}

static inline int unload(void **state) {
    (void)state;
    text_reader_free(reader);
    test_grammar_free(&grammar);
    return 0;
}

/* 'e' English, 's' Kiswahili. */
static inline int language_of(char c) {
    return c == 's' ? grammar.sw : grammar.en;
}

static const char *const reading_names[] = {"empty", "too long", "request",
                                            "bare",  "unknown",  "doubt"};
static const char *const doubt_names[] = {"none", "token", "twice", "number", "clock", "unit"};

struct read_text {
    struct text_result result;
    char line[1200]; /* request_write */
};

static inline struct read_text read_slice(char language, struct slice text) {
    struct read_text r;
    struct arena arena = arena_make(256 * 1024);
    enum err e = text_read(reader, language_of(language), text, &arena, &r.result);
    arena_free(&arena);
    if (e != ERR_OK)
        fail_msg("\"%.*s\": %s", SLICE_ARG(text), err_info(e)->name);
    struct buf line = buf_make(sizeof r.line - 1);
    request_write(&r.result.request, &line);
    (void)snprintf(r.line, sizeof r.line, "%s", buf_str(&line));
    buf_free(&line);
    return r;
}

static inline struct read_text read_text(char language, const char *text) {
    return read_slice(language, slice_of(text));
}

#endif
