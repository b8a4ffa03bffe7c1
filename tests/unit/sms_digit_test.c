/* digit: every code point against the general category Nd of the Unicode Character Database, as
 * utf8proc has it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <utf8proc.h>

#include "sms/digit.h"

/* The library may be of an older Unicode than the table: a digit of ours may be unassigned there.
 */
static void agrees_with_the_categories(void **state) {
    int digits = 0;
    (void)state;
    for (int32_t c = 0; c < 0x110000; c++) {
        utf8proc_category_t k = utf8proc_category(c);
        int value = sms_digit((uint32_t)c);
        if (k == UTF8PROC_CATEGORY_ND ? value < 0 : value >= 0 && k != UTF8PROC_CATEGORY_CN)
            fail_msg("U+%04X of category %s: got %d", (unsigned)c, utf8proc_category_string(c),
                     value);
        digits += value >= 0;
    }
    assert_int_equal(digits, 68 * 10);
}

/* Full-width and mathematical digits have their value in the database as a decomposition. */
static void agrees_with_the_decompositions(void **state) {
    int seen = 0;
    (void)state;
    for (int32_t c = 0x80; c < 0x110000; c++) {
        int32_t to[18];
        int boundary = 0;
        if (utf8proc_category(c) != UTF8PROC_CATEGORY_ND ||
            utf8proc_decompose_char(c, to, 18, UTF8PROC_COMPAT | UTF8PROC_DECOMPOSE, &boundary) !=
                1 ||
            to[0] == c)
            continue;
        if (sms_digit((uint32_t)c) != to[0] - '0')
            fail_msg("U+%04X: got %d, wanted %d", (unsigned)c, sms_digit((uint32_t)c), to[0] - '0');
        seen++;
    }
    assert_true(seen >= 60);
}

static void reads_digits_that_people_type(void **state) {
    static const struct {
        uint32_t codepoint;
        int value;
    } cases[] = {{'0', 0},     {'9', 9},    {0x0660, 0},  {0x0667, 7},  {0x06f9, 9},  {0x07c3, 3},
                 {0x0968, 2},  {0xff15, 5}, {0x1e959, 9}, {0x00b2, -1}, {0x00bd, -1}, {0x2460, -1},
                 {0x1369, -1}, {'a', -1},   {'/', -1},    {':', -1}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        if (sms_digit(cases[i].codepoint) != cases[i].value)
            fail_msg("U+%04X: got %d, wanted %d", (unsigned)cases[i].codepoint,
                     sms_digit(cases[i].codepoint), cases[i].value);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_categories),
        cmocka_unit_test(agrees_with_the_decompositions),
        cmocka_unit_test(reads_digits_that_people_type),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
