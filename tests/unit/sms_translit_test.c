/* translit: wanted texts, and two laws over all of Unicode: what comes out is in GSM-7, and a
 * second time changes nothing. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "sms/gsm7.h"
#include "sms/translit.h"

/* Sources: letters and curly quotes as ICU 72.1's Latin-ASCII has them; raised digits, fractions,
 * currency, degrees and other scripts' digits are our choice, values kept. */
static void replaces(void **state) {
    static const struct {
        const char *in, *want;
    } cases[] = {
        {"", ""},
        {"F3 1.2kg at 24C", "F3 1.2kg at 24C"},
        {"é è à ù ì ò ñ ä ö ü Ç É ß £ € ¥ §", "é è à ù ì ò ñ ä ö ü Ç É ß £ € ¥ §"},
        {"e\u0301a\u0300", "éà"},
        {"ç â ê î ô û ë ï œ À È Ê Œ ã õ á í ó ú", "c a e i o u e i oe A E E OE a o a i o u"},
        {"ɓ ɗ ƙ ƴ Ɓ Ɗ Ƙ Ƴ", "b d k y B D K Y"},
        {"ẹ ọ ṣ Ẹ Ọ Ṣ ń ǹ", "e o s E O S n n"},
        {"e\u0323\u0300", "e"},
        {"ɔ Ɔ ɛ Ɛ ŋ Ŋ ɖ ƒ ʋ", "o O e E n N d f v"},
        {"\u2018a\u2019 \u201cb\u201d \u00abc\u00bb ng\u02bc", "'a' \"b\" \"c\" ng'"},
        {"a\u2013b\u2014c\u2011d\u2026", "a-b-c-d..."},
        {"1\u00a0000\u202f000", "1 000 000"},
        {"24\u00b0C 75\u00b0F 24\u00b0 24 \u00b0", "24C 75F 24deg 24 deg"},
        {"m\u00b2 10\u00b2 2\u00b3 10\u207b\u00b3 10\u00b2\u00b3", "m2 10^2 2^3 10^-3 10^2^3"},
        {"\u00bd 10\u00bd", "1/2 10 1/2"},
        {"50 \u00b5g 50 \u03bcg", "50 ug 50 ug"},
        {"3 \u00d7 4 \u00f7 2 \u00b1 1", "3 x 4 / 2 +/- 1"},
        {"\u20a65000 \u20b520", "NGN5000 GHS20"},
        {"\u0663\u066b\u0665 \u0661\u066c\u0665\u0660\u0660 \u06f4", "3.5 1500 4"},
        {"\uff11\uff12 \u07c1\u07c2", "12 12"},
        {"x \u2260 y \u2264 z", "x <> y <= z"},
        {"a \u226e b", "a ? b"},
        {"\ufb01ne \u2116 5 \u2122", "fine No 5 TM"},
        {"a\tb`c", "a b'c"},
        {"\u200e+44\u200b 1\ufeff\u00ad2", "+44 12"},
        {"\u0e01 \ud55c \u4e2d \U0001f41f", "? ? ? ?"},
        {"\u2126 \u212b", "Ω Å"},
        {"a\u2028b\u2022", "a\nb-"},
        {"\u0301\u0302x", "x"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct buf b = buf_make(1000);
        assert_int_equal(sms_translit(slice_of(cases[i].in), &b), ERR_OK);
        if (strcmp(buf_str(&b), cases[i].want) != 0)
            fail_msg("'%s': got '%s', wanted '%s'", cases[i].in, buf_str(&b), cases[i].want);
        buf_free(&b);
    }
}

static void check_laws(uint32_t of, struct slice in) {
    struct buf once = buf_make(4000), twice = buf_make(4000);
    uint32_t c;
    assert_int_equal(sms_translit(in, &once), ERR_OK);
    for (struct slice s = buf_slice(&once); !slice_codepoint(&s, &c);)
        if (gsm7_code(c) < 0)
            fail_msg("U+%04X: U+%04X in what comes out is not in GSM-7", (unsigned)of, (unsigned)c);
    if (gsm7_code(of) >= 0 && !slice_eq(buf_slice(&once), in))
        fail_msg("U+%04X is in GSM-7 and became '%s'", (unsigned)of, buf_str(&once));
    assert_int_equal(sms_translit(buf_slice(&once), &twice), ERR_OK);
    if (strcmp(buf_str(&twice), buf_str(&once)) != 0)
        fail_msg("U+%04X: '%s' becomes '%s'", (unsigned)of, buf_str(&once), buf_str(&twice));
    buf_free(&once);
    buf_free(&twice);
}

static void every_character_fits(void **state) {
    (void)state;
    for (uint32_t c = 0; c < 0x110000; c++) {
        struct buf b = buf_make(8);
        if ((c & 0xfff800) == 0xd800)
            continue;
        buf_put_codepoint(&b, c);
        check_laws(c, buf_slice(&b));
        buf_free(&b);
    }
}

static uint32_t next_random(uint32_t *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

/* Rows of characters of the lower planes with many marks among them. */
static void every_text_fits(void **state) {
    uint32_t seed = 31;
    (void)state;
    for (int round = 0; round < 5000; round++) {
        struct buf b = buf_make(1000);
        for (uint32_t i = next_random(&seed) % 60; i > 0; i--) {
            uint32_t r = next_random(&seed);
            buf_put_codepoint(&b, r % 4 == 0   ? 0x300 + r / 4 % 0x70
                                  : r % 4 == 1 ? 0x20 + r / 4 % 0x60
                                  : r % 4 == 2 ? 0xa0 + r / 4 % 0x1f0
                                               : 0x2000 + r / 4 % 0x400);
        }
        check_laws(0xfffd, buf_slice(&b));
        buf_free(&b);
    }
}

static void hundred_marks_are_dropped(void **state) {
    struct buf in = buf_make(1000), out = buf_make(1000);
    (void)state;
    buf_puts(&in, "xe");
    for (int i = 0; i < 100; i++)
        buf_puts(&in, "\u0301");
    buf_puts(&in, "y");
    assert_int_equal(sms_translit(buf_slice(&in), &out), ERR_OK);
    assert_string_equal(buf_str(&out), "xéy");
    buf_free(&in);
    buf_free(&out);
}

static void refuses_bad_bytes_and_small_room(void **state) {
    struct buf b = buf_make(100), small = buf_make(3);
    (void)state;
    assert_int_equal(sms_translit(SLICE("a\xff"), &b), ERR_UTF8);
    assert_int_equal(sms_translit(SLICE("a\u0301\xff"), &b), ERR_UTF8);
    assert_int_equal(sms_translit(SLICE("abcd"), &small), ERR_TOO_LONG);
    buf_free(&b);
    buf_free(&small);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(replaces),
        cmocka_unit_test(every_character_fits),
        cmocka_unit_test(every_text_fits),
        cmocka_unit_test(hundred_marks_are_dropped),
        cmocka_unit_test(refuses_bad_bytes_and_small_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
