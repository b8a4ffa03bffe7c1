/* Folding: what phones and people type for the same words. Letters are held against Perl's Unicode
 * by tests/words; here are the signs, numbers and laws. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "words/fold.h"

static void expect(const char *typed, const char *wanted) {
    struct buf out = buf_make(1000);
    enum err e = words_fold(slice_of(typed), &out);
    if (e || strcmp(buf_str(&out), wanted) != 0)
        fail_msg("\"%s\" gave %s \"%s\", wanted \"%s\"", typed, err_info(e)->name, buf_str(&out),
                 wanted);
    buf_free(&out);
}

static void table(void **state) {
    (void)state;
    static const char *const pairs[][2] = {
        /* case, spaces, ends */
        {"", ""},
        {"INJECT F3 1.2KG", "inject f3 1.2kg"},
        {"  Temp \t f3\r\n24 ", "temp f3 24"},
        {"28.5.", "28.5"},
        {"why?!", "why"},
        {"...", ""},
        {"F3: 24, ok.", "f3 24 ok"},
        {"temp - 24", "temp 24"},
        {"temp -5", "temp -5"},
        {"wait... f3...24", "wait f3 24"},
        {"18:30 1830 18h30 30/100 50% 5+5 *12#", "18:30 1830 18h30 30/100 50% 5+5 *12#"},
        {"1,5 1.500,25", "1,5 1.500,25"},
        /* accents and letters */
        {"\xc3\x89t\xc3\xa9 na\xc3\xafve \xc3\xa7\xc3\xa3o", "ete naive cao"},
        {"e\xcc\x81", "e"}, /* e and a combining acute */
        {"\xc5\x93ufs \xc3\x86 stra\xc3\x9f"
         "e",
         "oeufs ae strasse"},
        {"\xc6\x99wai \xc6\x81o\xc6\x8a \xc6\xb3\xc6\xb4", "kwai bod yy"}, /* Hausa hooks */
        {"\xc9\x94 \xc9\x9b \xc5\x8b", "o e n"},                           /* Twi, Ewe */
        {"\xef\xac\x81sh", "fish"},                                        /* fi ligature */
        {"\xd0\x9c\xd0\xb8\xd1\x80", "\xd0\xbc\xd0\xb8\xd1\x80"},          /* Cyrillic stays */
        /* apostrophes: straight, curly, U+02BC, backquote, acute */
        {"a'a", "aa"},
        {"a\xe2\x80\x99"
         "a a\xe2\x80\x98"
         "a a\xca\xbc"
         "a a`a a\xc2\xb4"
         "a",
         "aa aa aa aa aa"},
        /* quotes, brackets, other signs */
        {"\xe2\x80\x9cwait\xe2\x80\x9d \xc2\xab f3\xc2\xbb (now) [x] {y}", "wait f3 now x y"},
        {"wait & see = f3_4 @ $5", "wait see f3 4 5"},
        {"\xf0\x9f\x90\x9f ok \xf0\x9f\x91\x8d\xf0\x9f\x8f\xbd", "ok"}, /* fish, thumb with skin */
        /* invisible: ZWSP, ZWNJ, ZWJ, BOM, LRM, RLM, embeddings, isolates, soft hyphen */
        {"in\xe2\x80\x8bje\xe2\x80\x8c"
         "c\xe2\x80\x8dt\xef\xbb\xbf \xe2\x80\x8e"
         "f3\xe2\x80\x8f \xe2\x80\xaa"
         "x\xe2\x80\xac \xe2\x81\xa6y\xe2\x81\xa9 te\xc2\xad"
         "mp",
         "inject f3 x y temp"},
        {"a\x01\x7f"
         "b",
         "ab"},
        /* spaces: no-break U+00A0, figure U+2007, narrow U+202F, ideographic U+3000 */
        {"1\xc2\xa0"
         "000\xe2\x80\x87"
         "5\xe2\x80\xaf"
         "6\xe3\x80\x80"
         "7",
         "1 000 5 6 7"},
        /* digits of other scripts */
        {"\xd9\xa3\xd9\xab\xd9\xa5", "3,5"},                  /* Arabic-Indic with U+066B */
        {"\xd9\xa1\xd9\xac\xd9\xa5\xd9\xa0\xd9\xa0", "1500"}, /* U+066C groups */
        {"\xdb\xb2\xdb\xb4", "24"},                           /* extended Arabic-Indic */
        {"\xef\xbc\xa6\xef\xbc\x93\xef\xbc\x9a\xef\xbc\x8e\xef\xbc\x91", "f3:.1"}, /* full width */
        /* signs of arithmetic */
        {"10\xc3\x97"
         "20",
         "10x20"},
        {"\xe2\x88\x92"
         "5 3\xe2\x80\x93"
         "4 3\xe2\x80\x94"
         "4",
         "-5 3-4 3-4"},
        {"24\xc2\xb0"
         "C 24 \xc2\xb0 24\xc2\xba"
         "c 24\xe2\x84\x83",
         "24c 24 24c 24c"},
        {"10\xc2\xbd 2\xc2\xbc kg 3\xc2\xbe", "10.5 2.25 kg 3.75"},
        {"10 \xc2\xbd kg", "10.5 kg"},
        {"f3 \xc2\xbdkg", "f3 0.5kg"},
        {"\xc2\xbd kg", "0.5 kg"},
        {"10\xe2\x85\x93", "10 1/3"},
        {"20m\xc2\xb2 5\xc2\xb2", "20m2 5"},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        expect(pairs[i][0], pairs[i][1]);
}

static void bad_bytes_are_told(void **state) {
    (void)state;
    static const char *const bad[] = {"a\xff", "\xc3", "\xed\xa0\x80", "\xc0\xaf",
                                      "x\xf4\x90\x80\x80"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct buf out = buf_make(100);
        assert_int_equal(words_fold(slice_of(bad[i]), &out), ERR_UTF8);
        buf_free(&out);
    }
}

static void the_cap_is_told_and_what_was_there_stays(void **state) {
    (void)state;
    struct buf out = buf_make(8);
    buf_puts(&out, "ab. ");
    assert_int_equal(words_fold(SLICE("..C"), &out), ERR_OK);
    assert_string_equal(buf_str(&out), "ab. c");
    assert_int_equal(words_fold(SLICE("defgh"), &out), ERR_TOO_LONG);
    buf_free(&out);
}

/* Random text from what people and phones can send; folding again changes nothing, nothing but
 * small letters, digits and the kept signs is left of ASCII, and no gap is doubled or at an end. */
static void laws(void **state) {
    (void)state;
    static const uint32_t some[] = {
        'a',    'F',    '3',    '9',    ' ',    '.',    ',',     ':',    '-',    '/',    '%',
        '?',    '!',    '\'',   '"',    '(',    0xe9,   0xbd,    0xbc,   0xb2,   0xd7,   0xa0,
        0x130,  0x149,  0x253,  0x2bc,  0x301,  0x664,  0x66b,   0x1e9e, 0x200b, 0x2019, 0x2026,
        0x2212, 0x2153, 0x3000, 0xfb01, 0xfdfa, 0xff13, 0x1f41f, 'm',    0x345,  0x390,  0xac00,
    };
    srand(20261125);
    for (int round = 0; round < 20000; round++) {
        struct buf in = buf_make(400), once = buf_make(4000), twice = buf_make(4000);
        for (int n = rand() % 24; n > 0; n--)
            buf_put_codepoint(&in, some[(size_t)rand() % (sizeof some / sizeof *some)]);
        assert_int_equal(words_fold(buf_slice(&in), &once), ERR_OK);
        assert_int_equal(words_fold(buf_slice(&once), &twice), ERR_OK);
        if (!slice_eq(buf_slice(&once), buf_slice(&twice)))
            fail_msg("\"%s\" folds to \"%s\", that to \"%s\"", buf_str(&in), buf_str(&once),
                     buf_str(&twice));
        for (size_t i = 0; i < once.n; i++) {
            char c = once.p[i];
            bool good = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (c & 0x80) ||
                        (c && strchr(":.,/%-+*#", c)) ||
                        (c == ' ' && i > 0 && i + 1 < once.n && once.p[i + 1] != ' ');
            if (!good)
                fail_msg("\"%s\" folds to \"%s\": byte %zu", buf_str(&in), buf_str(&once), i);
        }
        buf_free(&in);
        buf_free(&once);
        buf_free(&twice);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(table),
        cmocka_unit_test(bad_bytes_are_told),
        cmocka_unit_test(the_cap_is_told_and_what_was_there_stays),
        cmocka_unit_test(laws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
