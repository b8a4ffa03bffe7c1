/* nfc: against examples of UAX 15 and against the library's own whole-text call. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <utf8proc.h>

#include "base/buf.h"
#include "sms/nfc.h"

/* The form as UTF-8 in `out`, or the error. */
static enum err nfc_text(struct slice s, struct buf *out) {
    struct arena a = arena_make(16 * 1024 * 1024);
    int32_t *c;
    size_t n;
    enum err e = sms_nfc(s, &a, &c, &n);
    for (size_t i = 0; !e && i < n; i++)
        buf_put_codepoint(out, (uint32_t)c[i]);
    arena_free(&a);
    return e ? e : buf_err(out);
}

/* UAX 15, figures 3 to 5 and section 1.1; the Yoruba letter is worked out by its rules. */
static void follows_uax_15(void **state) {
    static const struct {
        const char *in, *want;
    } cases[] = {
        {"", ""},
        {"plain", "plain"},
        {"\u212b", "\u00c5"},               /* angstrom */
        {"\u2126", "\u03a9"},               /* ohm */
        {"A\u030a", "\u00c5"},              /* A and a ring */
        {"\u1e69", "\u1e69"},               /* s with two dots */
        {"s\u0307\u0323", "\u1e69"},        /* its marks the other way round */
        {"\u1e0b\u0323", "\u1e0d\u0307"},   /* d with both dots */
        {"q\u0307\u0323", "q\u0323\u0307"}, /* no such letter: marks in order */
        {"\ufb01", "\ufb01"},               /* a ligature stays */
        {"2\u2075", "2\u2075"},             /* a raised digit stays */
        {"\u1e9b\u0323", "\u1e9b\u0323"},   /* long s */
        {"\u1112\u1161\u11ab", "\ud55c"},   /* Hangul */
        {"e\u0300\u0323", "\u1eb9\u0300"},  /* Yoruba: the dot belongs to the letter */
        {"\u0958", "\u0915\u093c"},         /* excluded from composition */
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct buf b = buf_make(1000);
        assert_int_equal(nfc_text(slice_of(cases[i].in), &b), ERR_OK);
        if (strcmp(buf_str(&b), cases[i].want) != 0)
            fail_msg("%s: got %s, wanted %s", cases[i].in, buf_str(&b), cases[i].want);
        buf_free(&b);
    }
}

static uint32_t next_random(uint32_t *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

static void compare_with_library(struct buf *text) {
    struct buf b = buf_make(4 * 1024 * 1024);
    char *want = (char *)utf8proc_NFC((const uint8_t *)buf_str(text));
    assert_non_null(want);
    assert_int_equal(nfc_text(buf_slice(text), &b), ERR_OK);
    if (strcmp(buf_str(&b), want) != 0)
        fail_msg("%.200s: got %.200s, wanted %.200s", buf_str(text), buf_str(&b), want);
    free(want);
    buf_free(&b);
}

/* Letters and marks of all classes at random: only the ordering of marks is ours. */
static void agrees_with_the_library(void **state) {
    static const uint32_t letters[] = {'a', 'e', 's', 0x1eb9, 0x1e69, 0x3b1, 0x915, 0x1112};
    uint32_t seed = 4;
    (void)state;
    for (int round = 0; round < 3000; round++) {
        struct buf text = buf_make(1000);
        for (uint32_t i = next_random(&seed) % 40; i > 0; i--) {
            uint32_t r = next_random(&seed);
            buf_put_codepoint(&text, r % 3 ? 0x300 + r / 3 % 0x70 : letters[r / 3 % 8]);
        }
        compare_with_library(&text);
        buf_free(&text);
    }
    for (uint32_t c = 1; c < 0x110000; c++) {
        struct buf text = buf_make(20);
        if ((c & 0xfff800) != 0xd800) {
            buf_put_codepoint(&text, c);
            compare_with_library(&text);
        }
        buf_free(&text);
    }
}

/* A text that is one row of marks in the worst order: 220 must move before 230. The time is linear,
 * so this ends at once; what is checked is the order. */
static void long_row_of_marks_is_put_in_order(void **state) {
    enum { PAIRS = 40000 };
    struct buf text = buf_make(200000), got = buf_make(200000), want = buf_make(200000);
    (void)state;
    for (int i = 0; i < PAIRS; i++)
        buf_puts(&text, "\u030b\u0325");
    for (int i = 0; i < PAIRS; i++)
        buf_puts(&want, "\u0325");
    for (int i = 0; i < PAIRS; i++)
        buf_puts(&want, "\u030b");
    assert_int_equal(nfc_text(buf_slice(&text), &got), ERR_OK);
    assert_true(slice_eq(buf_slice(&got), buf_slice(&want)));
    buf_free(&text);
    buf_free(&got);
    buf_free(&want);
}

static void refuses_other_bytes(void **state) {
    struct buf b = buf_make(100);
    struct arena small = arena_make(64);
    int32_t *c;
    size_t n;
    (void)state;
    assert_int_equal(nfc_text(SLICE("a\xffz"), &b), ERR_UTF8);
    assert_int_equal(nfc_text(SLICE("\xed\xa0\x80"), &b), ERR_UTF8);
    assert_int_equal(sms_nfc(SLICE("hello"), &small, &c, &n), ERR_NOMEM);
    arena_free(&small);
    buf_free(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(follows_uax_15),
        cmocka_unit_test(agrees_with_the_library),
        cmocka_unit_test(long_row_of_marks_is_put_in_order),
        cmocka_unit_test(refuses_other_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
