/* Form bodies, both ways. The readings of well-formed bodies are those of the URL Living Standard,
 * section 5.1 (parser), with Python's urllib.parse as a second opinion; what that accepts and this
 * does not is in the second table. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "wire/form.h"

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

enum { MOST = 4, ARENA_BYTES = 1 << 20 };

/* The pairs as "[name][value]" one behind the other. */
static void show(const struct wire_pair *pairs, int count, struct buf *out) {
    for (int i = 0; i < count; i++) {
        buf_putf(out, "[%.*s]", SLICE_ARG(pairs[i].name));
        buf_putf(out, "[%.*s]", SLICE_ARG(pairs[i].value));
    }
}

static void reads_well_formed_bodies(void **state) {
    (void)state;
    static const struct {
        const char *body, *wanted;
    } cases[] = {
        {"", ""},
        {"a=b", "[a][b]"},
        {"a=b&c=d", "[a][b][c][d]"},
        {"a", "[a][]"},
        {"a=", "[a][]"},
        {"a=b=c", "[a][b=c]"},
        {"a=b&", "[a][b]"},
        {"&&a=b&&c=d", "[a][b][c][d]"},
        {"a+b=c+d", "[a b][c d]"},
        {"a=1%2B1", "[a][1+1]"},
        {"a=%2b447700900123", "[a][+447700900123]"},
        {"a=%26%3D%25", "[a][&=%]"},
        {"a=%C3%A9%e2%82%ac", "[a][\xc3\xa9\xe2\x82\xac]"},
        {"a=\xc3\xa9", "[a][\xc3\xa9]"},
        {"a=%F0%9F%90%9F", "[a][\xf0\x9f\x90\x9f]"},
        {"a=%0D%0A", "[a][\r\n]"},
        {"a.b=c", "[a.b][c]"},
        {"A=1&a=2", "[A][1][a][2]"},
        {"a=1&b=2&c=3&d=4", "[a][1][b][2][c][3][d][4]"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct arena a = arena_make(ARENA_BYTES);
        struct buf got = buf_make(1000);
        struct wire_pair *pairs = NULL;
        int count = 0;
        enum err e = wire_form_read(&a, slice_of(cases[i].body), MOST, &pairs, &count);
        if (!e)
            show(pairs, count, &got);
        if (e || strcmp(buf_str(&got), cases[i].wanted) != 0)
            fail_msg("\"%s\": got %s %s, wanted %s", cases[i].body, err_info(e)->name,
                     buf_str(&got), cases[i].wanted);
        buf_free(&got);
        arena_free(&a);
    }
}

static void refuses_the_rest(void **state) {
    (void)state;
    static const struct {
        struct slice body;
        enum err e;
    } cases[] = {
        {{"a=%", 3}, ERR_SYNTAX},
        {{"a=%4", 4}, ERR_SYNTAX},
        {{"a=%4&b=1", 8}, ERR_SYNTAX},
        {{"a=%G1", 5}, ERR_SYNTAX},
        {{"a=%1G", 5}, ERR_SYNTAX},
        {{"a=% 1", 5}, ERR_SYNTAX},
        {{"a%=b", 4}, ERR_SYNTAX},
        {{"a=%u00e9", 8}, ERR_SYNTAX},
        {{"a=1&a=2", 7}, ERR_SYNTAX},
        {{"a=1&%61=2", 9}, ERR_SYNTAX}, /* the same name, written otherwise */
        {{"=b", 2}, ERR_SYNTAX},
        {{"=", 1}, ERR_SYNTAX},
        {{"a=%E9", 5}, ERR_UTF8},    /* Latin-1 */
        {{"a=%C3", 5}, ERR_UTF8},    /* cut short */
        {{"a=%C0%AF", 8}, ERR_UTF8}, /* overlong */
        {{"%FF=b", 5}, ERR_UTF8},
        {{"a=\xff", 3}, ERR_UTF8},
        {{"a=%C3&b=%A9", 11}, ERR_UTF8}, /* a character split over two values */
        {{"a=1&b=2&c=3&d=4&e=5", 19}, ERR_TOO_LONG},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct arena a = arena_make(ARENA_BYTES);
        struct wire_pair *pairs = NULL;
        int count = 0;
        enum err e = wire_form_read(&a, cases[i].body, MOST, &pairs, &count);
        if (e != cases[i].e)
            fail_msg("case %zu \"%.*s\": got %s, wanted %s", i, SLICE_ARG(cases[i].body),
                     err_info(e)->name, err_info(cases[i].e)->name);
        arena_free(&a);
    }
}

/* A percent sign at the very end must not be read past the body. */
static void never_reads_past_the_end(void **state) {
    (void)state;
    static const char *const bodies[] = {"a=%4", "a=%", "%", "a=%41", "a=b%4"};
    for (size_t i = 0; i < COUNT(bodies); i++) {
        size_t n = strlen(bodies[i]);
        char *exact = malloc(n);
        assert_non_null(exact);
        memcpy(exact, bodies[i], n);
        struct arena a = arena_make(ARENA_BYTES);
        struct wire_pair *pairs = NULL;
        int count = 0;
        enum err e = wire_form_read(&a, (struct slice){exact, n}, MOST, &pairs, &count);
        assert_int_equal(e, i == 3 ? ERR_OK : ERR_SYNTAX);
        arena_free(&a);
        free(exact);
    }
}

/* Python's quote_plus gives the same but for the tilde, which the URL standard escapes. */
static void writes_what_any_reader_understands(void **state) {
    (void)state;
    struct buf b = buf_make(1000);
    wire_form_put(&b, SLICE("a b"), SLICE("+447700900123"));
    wire_form_put(&b, SLICE("words"),
                  SLICE("a b+c&d=e%~*-._\xc3\xa9\xe2\x82\xac\xf0\x9f\x90\x9f\n/"));
    wire_form_put(&b, SLICE("none"), SLICE(""));
    assert_string_equal(buf_str(&b),
                        "a+b=%2B447700900123&words="
                        "a+b%2Bc%26d%3De%25%7E%2A-._%C3%A9%E2%82%AC%F0%9F%90%9F%0A%2F&none=");
    buf_free(&b);
}

/* Law: what is written is read back, for any text of valid characters (seeded). */
static void reads_back_what_it_writes(void **state) {
    (void)state;
    uint64_t seed = 20240607;
    for (int round = 0; round < 2000; round++) {
        struct buf text = buf_make(400), body = buf_make(4000);
        int length = round % 40;
        for (int i = 0; i < length; i++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            uint32_t c = (uint32_t)(seed >> 33) % (round % 2 ? 0x80 : 0x2fff) + 1;
            buf_put_codepoint(&text, c);
        }
        wire_form_put(&body, SLICE("x"), buf_slice(&text));
        struct arena a = arena_make(ARENA_BYTES);
        struct wire_pair *pairs = NULL;
        int count = 0;
        enum err e = wire_form_read(&a, buf_slice(&body), MOST, &pairs, &count);
        assert_int_equal(e, ERR_OK);
        assert_int_equal(count, 1);
        if (!slice_eq(pairs[0].value, buf_slice(&text)))
            fail_msg("round %d: %s came back otherwise", round, buf_str(&body));
        arena_free(&a);
        buf_free(&text);
        buf_free(&body);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_well_formed_bodies),
        cmocka_unit_test(refuses_the_rest),
        cmocka_unit_test(never_reads_past_the_end),
        cmocka_unit_test(writes_what_any_reader_understands),
        cmocka_unit_test(reads_back_what_it_writes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
