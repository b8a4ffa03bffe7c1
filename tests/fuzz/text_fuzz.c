/* Any bytes as a text and as a line of the store: read, or said not to be. Held against the promise
 * of the headers: what is told is safe to echo, a request goes to a line and back unchanged, a
 * second reading is like the first, and only a line that was written so is read. The first octet
 * chooses the person's language and whether the rest is a text or a line. Needs the grammar of the
 * build folder. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/grammar.h"
#include "text/text.h"

enum { ARENA_BYTES = 256 * 1024 };

#define MUST(condition)                                                                            \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s\n", #condition);                                                   \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

static struct test_grammar grammar;
static struct text_reader *reader;

static void start(void) {
    if (reader)
        return;
    MUST(test_grammar_load(&grammar));
    reader = text_reader_make(&grammar.arena, grammar.words, grammar.forms, &grammar.faults);
    MUST(reader);
}

/* Through its line and back; the line is given back in `line`. */
static void there_and_back(const struct request *r, struct buf *line) {
    struct request again;
    struct buf second = buf_make(4000);
    request_write(r, line);
    MUST(request_read(buf_slice(line), &again) == ERR_OK);
    request_write(&again, &second);
    MUST(slice_eq(buf_slice(line), buf_slice(&second)));
    buf_free(&second);
}

static void check_token(const char *token) {
    struct slice rest = slice_of(token);
    uint32_t codepoint;
    int count = 0;
    for (; rest.n; count++) {
        MUST(slice_codepoint(&rest, &codepoint) == ERR_OK);
        MUST(codepoint >= 0xc0 ||
             slice_has(SLICE("abcdefghijklmnopqrstuvwxyz0123456789 .,:/+-%*#="), (char)codepoint));
    }
    MUST(count <= TEXT_TOKEN_MAX);
}

static void one_text(int language, struct slice text) {
    struct arena arena = arena_make(ARENA_BYTES);
    struct text_result first, second;
    struct buf line = buf_make(4000), again = buf_make(4000);
    MUST(text_read(reader, language, text, &arena, &first) == ERR_OK);
    MUST(text_read(reader, language, text, &arena, &second) == ERR_OK);
    there_and_back(&first.request, &line);
    there_and_back(&second.request, &again);
    MUST(first.reading == second.reading && first.doubt == second.doubt);
    MUST(slice_eq(buf_slice(&line), buf_slice(&again)));
    MUST((first.reading == TEXT_DOUBT) == (first.doubt != TEXT_DOUBT_NONE));
    MUST((first.reading == TEXT_UNKNOWN || first.reading == TEXT_DOUBT) || !first.token[0]);
    MUST(first.reading != TEXT_REQUEST || first.request.kind != REQUEST_NONE);
    MUST(first.reading != TEXT_BARE || (first.request.kind == REQUEST_NONE && first.request.has));
    MUST(first.reading != TEXT_TOO_LONG || text.n > TEXT_BYTES_MAX / 4);
    check_token(first.token);
    MUST(!text_is_stop(reader, text) || !text_is_start(reader, text));
    buf_free(&line);
    buf_free(&again);
    arena_free(&arena);
}

static void one_line(struct slice bytes) {
    struct request r;
    struct buf line = buf_make(4000);
    if (request_read(bytes, &r) == ERR_OK)
        there_and_back(&r, &line);
    buf_free(&line);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    start();
    if (size == 0)
        return 0;
    struct slice rest = {(const char *)data + 1, size - 1};
    if (data[0] == 'l')
        one_line(rest);
    else
        one_text(data[0] & 1 ? grammar.sw : grammar.en, rest);
    return 0;
}
