/* number: what people write against E.164. Values marked P were read alike by
 * python3-phonenumbers 8.12.57 and libphonenumber-js 1.13.16; the others follow from ITU-T E.164
 * and the plans. The numbers are checks of number plans, never to be dialled. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "sms/number.h"

static const struct number_case {
    const char *home, *raw;
    enum err e;
    const char *want;
} cases[] = {
    {"KE", "0712 345 678", ERR_OK, "+254712345678"}, /* P */
    {"KE", "254712345678", ERR_OK, "+254712345678"}, /* P */
    {"KE", "٠٧١٢٣٤٥٦٧٨", ERR_OK, "+254712345678"},   /* P */
    {"KE", "００\uff17", ERR_RANGE, NULL},
    {"KE", "０７１２３４５６７８", ERR_OK, "+254712345678"}, /* full width */
    {"KE", "00254712345678", ERR_OK, "+254712345678"},
    {"KE", "000254712345678", ERR_OK, "+254712345678"}, /* P, the newer */
    {"KE", "712345678", ERR_OK, "+254712345678"},
    {"KE", "+254 0712 345678", ERR_OK, "+254712345678"},
    {"KE", "2540712345678", ERR_OK, "+254712345678"},
    {"KE", "tel:+254-712-345-678", ERR_OK, "+254712345678"},
    {"KE", "TEL:0712.345.678", ERR_OK, "+254712345678"},
    {"NG", "0803 123 4567", ERR_OK, "+2348031234567"},      /* P */
    {"NG", "+234 0803 123 4567", ERR_OK, "+2348031234567"}, /* P */
    {"NG", "009447700900123", ERR_OK, "+447700900123"},
    {"NG", "00447700900123", ERR_OK, "+447700900123"},
    {"NG", "00966501234567", ERR_OK, "+966501234567"}, /* 00 and 966, not 009 and 66 */
    {"NG", "0092 300 1234567", ERR_OK, "+923001234567"},
    {"CI", "0707123456", ERR_OK, "+2250707123456"}, /* P: the 0 belongs to it */
    {"CI", "2250707123456", ERR_OK, "+2250707123456"},
    {"CI", "+225 07 07 12 34 56", ERR_OK, "+2250707123456"},
    {"BJ", "01 97 12 34 56", ERR_OK, "+2290197123456"}, /* the plan of 30 November 2024 */
    {"BJ", "97 12 34 56", ERR_OK, "+22997123456"},      /* the plan before it: not refused */
    {"CG", "06 612 3456", ERR_OK, "+242066123456"},
    {"CM", "6 71 23 45 67", ERR_OK, "+237671234567"}, /* P */
    {"MZ", "82 123 4567", ERR_OK, "+258821234567"},   /* P */
    {"CD", "081 234 5678", ERR_OK, "+243812345678"},  /* P */
    {"RW", "250123456", ERR_OK, "+250250123456"},     /* a national number like its country code */
    {"RW", "0788 123 456", ERR_OK, "+250788123456"},
    {"GB", "07700 900123", ERR_OK, "+447700900123"},
    {"GB", "+44 (0)7700 900123", ERR_OK, "+447700900123"},
    {"GB", "(07700) 900-123", ERR_OK, "+447700900123"},
    {"GB", "07700\u00a0900\u202f123", ERR_OK, "+447700900123"},
    {"GB", "07700\u2011900\u2013123", ERR_OK, "+447700900123"},
    {"GB", "\u202a+447700900123\u202c", ERR_OK,
     "+447700900123"}, /* as copied from a phone's list */
    {"GB", "＋447700900123", ERR_OK, "+447700900123"},
    {"GB", "  +447700900123\r\n", ERR_OK, "+447700900123"},
    {"KE", "447700900123", ERR_OK, "+447700900123"}, /* no Kenyan number is so long */
    {"TD", "16447700900123", ERR_OK, "+447700900123"},
    {"TD", "66123456", ERR_OK, "+23566123456"},
    {NULL, "+447700900123", ERR_OK, "+447700900123"},
    {NULL, "447700900123", ERR_OK, "+447700900123"},
    {NULL, "00447700900123", ERR_OK, "+447700900123"},
    {NULL, "07700900123", ERR_RANGE, NULL},
    {"GB", "+999123456789012", ERR_OK, "+999123456789012"}, /* 15 digits of no plan here */
    {"GB", "+1234567890123456", ERR_RANGE, NULL},           /* P: 16 digits */
    {"KE", "1234567890123456", ERR_RANGE, NULL},
    {"GB", "+44770090012377009001237700900123", ERR_RANGE, NULL},
    {"KE", "07123456789", ERR_OK, "+2547123456789"}, /* the plan may have grown: let pass */
    {"KE", "40404", ERR_RANGE, NULL},
    {"KE", "123", ERR_RANGE, NULL},
    {"GB", "7700900", ERR_RANGE, NULL},
    {"GB", "+44770", ERR_RANGE, NULL},
    {"GB", "+4477009", ERR_RANGE, NULL},
    {"GB", "+0447700900123", ERR_RANGE, NULL},
    {"KE", "0000000000", ERR_RANGE, NULL},
    {"GB", "0000000000", ERR_RANGE, NULL},
    {"GB", "INFO", ERR_SYNTAX, NULL},
    {"GB", "HATCHERY1", ERR_SYNTAX, NULL},
    {"GB", "", ERR_SYNTAX, NULL},
    {"GB", "+", ERR_SYNTAX, NULL},
    {"GB", "tel:", ERR_SYNTAX, NULL},
    {"GB", " - ", ERR_SYNTAX, NULL},
    {"GB", "++447700900123", ERR_SYNTAX, NULL},
    {"GB", "44+7700900123", ERR_SYNTAX, NULL},
    {"GB", "07700 900123;ext=5", ERR_SYNTAX, NULL},
    {"GB", "0770090012a", ERR_SYNTAX, NULL},
    {"GB", "12345678901234567890123456789x", ERR_SYNTAX, NULL},
    {"GB", "07700½900123", ERR_SYNTAX, NULL},
    {"GB", "0770090\xff", ERR_UTF8, NULL},
};

static void reads_what_people_write(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct number_case *c = &cases[i];
        struct number got = {"untouched"};
        const struct number_plan *home = number_plan_of(slice_of(c->home));
        if (c->home)
            assert_non_null(home);
        enum err e = number_normalise(slice_of(c->raw), home, &got);
        if (e != c->e || strcmp(got.text, c->want ? c->want : "untouched") != 0)
            fail_msg("%s '%s': got %s %s, wanted %s %s", c->home ? c->home : "-", c->raw,
                     err_info(e)->name, got.text, err_info(c->e)->name, c->want ? c->want : "");
    }
}

/* Law: what was normalised is stored form, and normalising it again changes nothing, at home or
 * abroad. */
static void normal_form_is_stable(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct number again;
        if (!cases[i].want)
            continue;
        assert_true(number_is_e164(slice_of(cases[i].want)));
        size_t n;
        const struct number_plan *plans = number_plans(&n);
        for (size_t k = 0; k < n; k++) {
            assert_int_equal(number_normalise(slice_of(cases[i].want), &plans[k], &again), ERR_OK);
            assert_string_equal(again.text, cases[i].want);
        }
    }
}

static void knows_stored_form(void **state) {
    static const struct {
        const char *text;
        bool is;
    } forms[] = {{"+447700900123", true},
                 {"+4477009", true},
                 {"+447700", false},
                 {"+123456789012345", true},
                 {"+1234567890123456", false},
                 {"447700900123", false},
                 {"+044770090", false},
                 {"+4477009001 2", false},
                 {"+44770090012x", false},
                 {"", false},
                 {"+", false}};
    (void)state;
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++)
        if (number_is_e164(slice_of(forms[i].text)) != forms[i].is)
            fail_msg("'%s': wanted %d", forms[i].text, forms[i].is);
}

static void plans_are_found(void **state) {
    (void)state;
    assert_string_equal(number_plan_of(SLICE("gb"))->code, "44");
    assert_null(number_plan_of(SLICE("XX")));
    assert_null(number_plan_of(SLICE("")));
    assert_null(number_plan_of(SLICE("GBR")));
    assert_string_equal(number_plan_of_e164(SLICE("+254712345678"))->iso2, "KE");
    assert_string_equal(number_plan_of_e164(SLICE("+27821234567"))->iso2, "ZA");
    assert_null(number_plan_of_e164(SLICE("+9991234567")));
    assert_null(number_plan_of_e164(SLICE("254712345678")));
    assert_null(number_plan_of_e164(SLICE("+")));
}

/* The table holds together: codes are digits and distinct, lengths are in order and fit E.164, and
 * no calling code begins another one. */
static void plans_are_sound(void **state) {
    size_t n;
    const struct number_plan *p = number_plans(&n);
    (void)state;
    assert_in_range(n, 23, 200);
    for (size_t i = 0; i < n; i++) {
        size_t code = strlen(p[i].code);
        if (strspn(p[i].code, "0123456789") != code || p[i].code[0] == '0' ||
            p[i].shortest > p[i].longest || code + p[i].longest > NUMBER_DIGITS_MOST ||
            code + p[i].shortest < NUMBER_DIGITS_LEAST || !p[i].abroad[0][0])
            fail_msg("the plan of %s is not sound", p[i].iso2);
        for (size_t k = 0; k < n; k++)
            if (k != i &&
                (strcmp(p[i].iso2, p[k].iso2) == 0 || strncmp(p[i].code, p[k].code, code) == 0))
                fail_msg("%s and %s are not told apart", p[i].iso2, p[k].iso2);
    }
}

static void doubtful_numbers_are_told(void **state) {
    (void)state;
    assert_true(number_fits(&(struct number){"+447700900123"}));
    assert_true(number_fits(&(struct number){"+2290197123456"}));
    assert_true(number_fits(&(struct number){"+22997123456"}));
    assert_false(number_fits(&(struct number){"+2547123456789"}));
    assert_false(number_fits(&(struct number){"+999123456789"}));
    assert_false(number_fits(&(struct number){""}));
}

/* A digit too few is not a number that can be texted, though fixed lines may be that short: Ofcom's
 * plan has 7xxx xxxxxx for mobiles, ten digits; the others by python3-phonenumbers. */
static void mobile_numbers_are_measured(void **state) {
    static const struct {
        const char *country, *raw;
        enum number_size want;
        const char *plan;
    } texts[] = {{"GB", "07700900001", NUMBER_MOBILE, "GB"},
                 {"GB", "0770090000", NUMBER_SHORT, "GB"},
                 {"GB", "077009", NUMBER_SHORT, "GB"},
                 {"GB", "077009000011", NUMBER_LONG, "GB"},
                 {"GB", "0770090000112345678901", NUMBER_LONG, "GB"},
                 {"GB", "+44770090000", NUMBER_SHORT, "GB"},
                 {"GB", "0044 7700 900 001", NUMBER_MOBILE, "GB"},
                 {"GB", "+254712345678", NUMBER_MOBILE, "KE"},
                 {"KE", "0712345678", NUMBER_MOBILE, "KE"},
                 {"KE", "071234567", NUMBER_SHORT, "KE"},
                 {"NG", "0803 123 4567", NUMBER_MOBILE, "NG"},
                 {"NG", "0803 123 456", NUMBER_SHORT, "NG"},
                 {"LR", "047 1234", NUMBER_SHORT, "LR"},
                 {"LR", "047 12345", NUMBER_MOBILE, "LR"},
                 {"LR", "0771234567", NUMBER_MOBILE, "LR"},
                 {"LR", "077123456", NUMBER_LONG, "LR"}, /* between the two */
                 {"GB", "+999123456789", NUMBER_STRANGE, NULL},
                 {"GB", "shop", NUMBER_STRANGE, NULL},
                 {"GB", "", NUMBER_STRANGE, NULL}};
    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const struct number_plan *plan;
        enum number_size got = number_measure(slice_of(texts[i].raw),
                                              number_plan_of(slice_of(texts[i].country)), &plan);
        const char *of = plan ? plan->iso2 : "none", *want = texts[i].plan ? texts[i].plan : "none";
        if (got != texts[i].want || strcmp(of, want) != 0)
            fail_msg("\"%s\" in %s: got %d of %s, wanted %d of %s", texts[i].raw, texts[i].country,
                     (int)got, of, (int)texts[i].want, want);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_what_people_write),
        cmocka_unit_test(normal_form_is_stable),
        cmocka_unit_test(knows_stored_form),
        cmocka_unit_test(plans_are_found),
        cmocka_unit_test(plans_are_sound),
        cmocka_unit_test(doubtful_numbers_are_told),
        cmocka_unit_test(mobile_numbers_are_measured),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
