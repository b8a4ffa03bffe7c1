/* Capped text: nothing half put, nothing past the cap, the same from malloc and from an arena. */
#include "base_help.h"

#include "base/arena.h"
#include "base/buf.h"

static void puts_everything(struct buf *b) {
    assert_string_equal(buf_str(b), "");
    buf_puts(b, "f3 ");
    buf_put_int(b, -42);
    buf_putc(b, ' ');
    buf_putf(b, "%d of %s", 7, "9");
    buf_put(b, (struct slice){" cut off", 4});
    buf_put(b, (struct slice){NULL, 0});
    OK(buf_err(b));
    assert_string_equal(buf_str(b), "f3 -42 7 of 9 cut");
    TEXT(buf_slice(b), "f3 -42 7 of 9 cut");
}

static void from_malloc(void **unused) {
    (void)unused;
    struct buf b = buf_make(1000);
    puts_everything(&b);
    buf_free(&b);
    buf_free(&b);
    assert_string_equal(buf_str(&b), "");
    puts_everything(&b); /* may be used again */
    buf_free(&b);
}

static void from_an_arena(void **unused) {
    (void)unused;
    struct arena a = arena_make(10000);
    struct buf b = buf_make_in(&a, 1000);
    puts_everything(&b);
    buf_free(&b);
    arena_free(&a);
}

static void integers(void **unused) {
    (void)unused;
    static const struct {
        int64_t v;
        const char *text;
    } cases[] = {{0, "0"},
                 {9, "9"},
                 {-10, "-10"},
                 {INT64_MAX, "9223372036854775807"},
                 {INT64_MIN, "-9223372036854775808"}};
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct buf b = buf_make(30);
        buf_put_int(&b, cases[i].v);
        OK(buf_err(&b));
        assert_string_equal(buf_str(&b), cases[i].text);
        buf_free(&b);
    }
}

/* Every code point goes out and comes back through the decoder, which has its own outside check. */
static void codepoints(void **unused) {
    (void)unused;
    struct buf b = buf_make(8);
    for (uint32_t c = 0; c <= 0x10ffff; c++) {
        if (c == 0xd800)
            c = 0xe000;
        buf_clear(&b);
        buf_put_codepoint(&b, c);
        struct slice s = buf_slice(&b);
        uint32_t back = 0;
        if (slice_codepoint(&s, &back) || back != c || s.n)
            fail_msg("U+%04X came back as U+%04X with %zu bytes left", (unsigned)c, (unsigned)back,
                     s.n);
    }
    buf_free(&b);
}

/* Up to the cap and not a byte further; a put that fails leaves all as it was, and so do those
 * after it, even where they would fit. */
static void fill_to_cap(struct buf *b) {
    buf_puts(b, "12345");
    buf_puts(b, "67890");
    OK(buf_err(b));
    buf_puts(b, "");
    OK(buf_err(b));
    buf_putc(b, 'x');
    WANT(ERR_TOO_LONG, buf_err(b));
    assert_string_equal(buf_str(b), "1234567890");
    buf_clear(b);
    OK(buf_err(b));
    assert_string_equal(buf_str(b), "");
    buf_puts(b, "12345678");
    buf_puts(b, "abc");
    buf_putc(b, 'x');
    buf_put_int(b, 1);
    buf_put_codepoint(b, 0xe9);
    buf_putf(b, "%d", 1);
    WANT(ERR_TOO_LONG, buf_err(b));
    assert_string_equal(buf_str(b), "12345678");
    assert_int_equal(b->n, 8);
    buf_clear(b);
    buf_putf(b, "%s", "12345678901");
    WANT(ERR_TOO_LONG, buf_err(b));
    assert_string_equal(buf_str(b), "");
    buf_clear(b);
    buf_putf(b, "%s", "1234567890");
    OK(buf_err(b));
    assert_string_equal(buf_str(b), "1234567890");
}

static void caps(void **unused) {
    (void)unused;
    struct arena a = arena_make(1000);
    struct buf b = buf_make(10), in_arena = buf_make_in(&a, 10);
    fill_to_cap(&b);
    fill_to_cap(&in_arena);
    buf_free(&b);
    arena_free(&a);
    struct buf none = buf_make(0);
    buf_puts(&none, "");
    OK(buf_err(&none));
    buf_putc(&none, 'a');
    WANT(ERR_TOO_LONG, buf_err(&none));
    assert_string_equal(buf_str(&none), "");
    buf_free(&none);
}

static void arena_used_up(void **unused) {
    (void)unused;
    struct arena a = arena_make(100);
    struct buf b = buf_make_in(&a, 1000);
    for (int i = 0; i < 60; i++)
        buf_putc(&b, 'a');
    OK(buf_err(&b));
    for (int i = 0; i < 60; i++)
        buf_putc(&b, 'b');
    WANT(ERR_NOMEM, buf_err(&b));
    assert_int_equal(b.n, strlen(buf_str(&b)));
    assert_in_range(b.n, 60, 99);
    arena_free(&a);
}

/* Many seeded puts against a plain array. */
static void against_an_array(void **unused) {
    (void)unused;
    uint64_t seed = 11;
    for (int round = 0; round < 300; round++) {
        char want[700] = "";
        size_t n = 0, cap = draw(&seed, 600);
        struct buf b = buf_make(cap);
        bool failed = false;
        for (int i = 0; i < 40; i++) {
            char piece[40];
            int length = snprintf(piece, sizeof piece, "%.*s", (int)draw(&seed, 30),
                                  "abcdefghijklmnopqrstuvwxyz0123");
            buf_puts(&b, piece);
            failed = failed || n + (size_t)length > cap;
            if (!failed) {
                memcpy(want + n, piece, (size_t)length + 1);
                n += (size_t)length;
            }
        }
        assert_string_equal(buf_str(&b), want);
        WANT(failed ? ERR_TOO_LONG : ERR_OK, buf_err(&b));
        buf_free(&b);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(from_malloc),
        cmocka_unit_test(from_an_arena),
        cmocka_unit_test(integers),
        cmocka_unit_test(codepoints),
        cmocka_unit_test(caps),
        cmocka_unit_test(arena_used_up),
        cmocka_unit_test(against_an_array),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
