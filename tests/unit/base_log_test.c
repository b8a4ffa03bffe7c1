/* Log lines as they come out of standard error, which is a pipe here. */
#include "base_help.h"

#include <unistd.h>

#include "base/log.h"

enum { LINE_ROOM = 20000 };

/* Runs one LOG with standard error turned into a pipe; what came out, zero-ended. */
#define CAUGHT(out, call)                                                                          \
    do {                                                                                           \
        int ends[2], kept = dup(STDERR_FILENO);                                                    \
        assert_int_equal(pipe(ends), 0);                                                           \
        assert_int_equal(dup2(ends[1], STDERR_FILENO), STDERR_FILENO);                             \
        call;                                                                                      \
        assert_int_equal(dup2(kept, STDERR_FILENO), STDERR_FILENO);                                \
        close(kept);                                                                               \
        close(ends[1]);                                                                            \
        read_all(ends[0], out);                                                                    \
    } while (0)

static void read_all(int fd, char out[LINE_ROOM]) {
    size_t n = 0;
    ssize_t got;
    while ((got = read(fd, out + n, LINE_ROOM - 1 - n)) > 0)
        n += (size_t)got;
    out[n] = '\0';
    close(fd);
}

/* RFC 3339: 2026-01-31T23:59:59.999Z, then a space. What follows is given back. */
static const char *after_time(const char *line) {
    static const char form[] = "dddd-dd-ddTdd:dd:dd.dddZ ";
    for (size_t i = 0; i < sizeof form - 1; i++) {
        bool digit = line[i] >= '0' && line[i] <= '9';
        if (form[i] == 'd' ? !digit : line[i] != form[i])
            fail_msg("a line begins %.25s", line);
    }
    return line + sizeof form - 1;
}

static void form(void **unused) {
    (void)unused;
    char out[LINE_ROOM];
    CAUGHT(out, LOG(LOG_WARN, "late", LOG_TEXT("farm", "demo"), LOG_INT("wait_s", -5)));
    assert_string_equal(after_time(out), "level=warn event=late farm=demo wait_s=-5\n");
    CAUGHT(out, log_event(LOG_ERROR, "alone", NULL, 0));
    assert_string_equal(after_time(out), "level=error event=alone\n");
}

static void quoting(void **unused) {
    (void)unused;
    static const struct {
        const char *value, *shown;
    } cases[] = {
        {"plain-1.2/x", "plain-1.2/x"},
        {"", "\"\""},
        {"two words", "\"two words\""},
        {"a=b", "\"a=b\""},
        {"say \"x\"", "\"say \\\"x\\\"\""},
        {"back \\ slash", "\"back \\\\ slash\""},
        {"two\nlines\r", "\"two\\x0alines\\x0d\""}, /* one event stays one line */
        {"\x1b[31m", "\"\\x1b[31m\""},
        {"\x7f", "\"\\x7f\""},
        {"caf\xc3\xa9", "\"caf\xc3\xa9\""},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        char out[LINE_ROOM], want[200];
        CAUGHT(out, LOG(LOG_INFO, "e", LOG_TEXT("k", cases[i].value), LOG_INT("n", 1)));
        (void)snprintf(want, sizeof want, "level=info event=e k=%s n=1\n", cases[i].shown);
        assert_string_equal(after_time(out), want);
    }
}

static void levels(void **unused) {
    (void)unused;
    char out[LINE_ROOM];
    CAUGHT(out, LOG(LOG_DEBUG, "e", LOG_INT("n", 1)));
    assert_string_equal(out, ""); /* at start from info on */
    log_least(LOG_ERROR);
    CAUGHT(out, LOG(LOG_WARN, "e", LOG_INT("n", 1)));
    assert_string_equal(out, "");
    log_least(LOG_DEBUG);
    CAUGHT(out, LOG(LOG_DEBUG, "e", LOG_INT("n", 1)));
    assert_string_equal(after_time(out), "level=debug event=e n=1\n");
    log_least(LOG_INFO);
}

/* However long, an event is one whole line, so that the next does not hang on to it. */
static void too_long(void **unused) {
    (void)unused;
    static const char *const fills[] = {"a", " ", "\n"}; /* put at once, sign by sign, as \x0a */
    for (size_t f = 0; f < COUNT_OF(fills); f++)
        for (int length = 3950; length < 4150; length++) {
            char value[4200], out[LINE_ROOM];
            memset(value, fills[f][0], (size_t)length);
            value[length] = '\0';
            CAUGHT(out, LOG(LOG_INFO, "e", LOG_TEXT("k", value), LOG_TEXT("l", "m")));
            size_t n = strlen(out);
            assert_in_range(n, 1, 4096);
            if (strchr(out, '\n') != out + n - 1)
                fail_msg("%d times \\x%02x: %zu bytes, not one line", length, fills[f][0], n);
        }
}

static void phones(void **unused) {
    (void)unused;
    static const struct {
        const char *number, *shown;
    } cases[] = {
        {"+447700900123", "+4477*****123"},
        {"", ""},
        {"+4477009", "*****009"}, /* a short one keeps its end only */
        {"+44770090", "+4477*090"},
        {"a\xc3\x89\xc3\x89\xc3\x89\xc3\x89", "a********"}, /* half a letter is no text */
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct log_phone p = log_phone(slice_of(cases[i].number));
        assert_string_equal(p.text, cases[i].shown);
    }
    char digits[60]; /* longer than any number: cut, masked all the same */
    memset(digits, '7', sizeof digits);
    struct log_phone p = log_phone((struct slice){digits, sizeof digits});
    assert_string_equal(p.text, "77777***************777");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(form),     cmocka_unit_test(quoting), cmocka_unit_test(levels),
        cmocka_unit_test(too_long), cmocka_unit_test(phones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
