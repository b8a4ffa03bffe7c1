/* Texts and what they must be read as, one row each. */
#ifndef TEXT_ROWS_H
#define TEXT_ROWS_H

#include "text_help.h"

struct row {
    char language; /* of the person: 'e' English, 's' Kiswahili */
    const char *text;
    enum text_reading reading;
    const char *line;  /* request_write; for a doubt, what was read so far */
    const char *token; /* NULL: none told */
    enum text_doubt doubt;
};

#define READ(language, text, line)                                                                 \
    { (language), (text), TEXT_REQUEST, (line), NULL, TEXT_DOUBT_NONE }
#define BARE(language, text, line)                                                                 \
    { (language), (text), TEXT_BARE, (line), NULL, TEXT_DOUBT_NONE }
#define ASKS(language, text, doubt, token, line)                                                   \
    { (language), (text), TEXT_DOUBT, (line), (token), TEXT_DOUBT_##doubt }
#define UNKNOWN(language, text, token)                                                             \
    { (language), (text), TEXT_UNKNOWN, "-", (token), TEXT_DOUBT_NONE }

static inline void check_rows(const struct row *rows, size_t count) {
    int bad = 0;
    for (size_t i = 0; i < count; i++) {
        const struct row *want = &rows[i];
        struct read_text got = read_text(want->language, want->text);
        const char *token = want->token ? want->token : "";
        if (got.result.reading != want->reading || got.result.doubt != want->doubt ||
            strcmp(got.line, want->line) != 0 || strcmp(got.result.token, token) != 0) {
            print_error("\"%s\": got %s, %s, \"%s\", token \"%s\"; wanted %s, %s, \"%s\", \"%s\"\n",
                        want->text, reading_names[got.result.reading],
                        doubt_names[got.result.doubt], got.line, got.result.token,
                        reading_names[want->reading], doubt_names[want->doubt], want->line, token);
            bad++;
        }
    }
    assert_int_equal(bad, 0);
}

#define CHECK_ROWS(rows) check_rows((rows), sizeof(rows) / sizeof *(rows))

#endif
