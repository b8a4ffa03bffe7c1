/* parts: alphabet, units and parts, against counts worked out by 3GPP TS 23.038 and TS 23.040. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/buf.h"
#include "sms/gsm7.h"
#include "sms/parts.h"

enum { ARENA_BYTES = 8 * 1024 * 1024 };

static enum err measure(struct slice s, struct sms_size *size) {
    struct arena a = arena_make(ARENA_BYTES);
    enum err e = sms_measure(s, &a, size);
    arena_free(&a);
    return e;
}

static void check(const char *what, struct slice s, enum sms_alphabet alphabet, int units,
                  int parts) {
    struct sms_size got;
    enum err e = measure(s, &got);
    if (e)
        fail_msg("%s: got the error %s", what, err_info(e)->name);
    if (got.alphabet != alphabet || got.units != units || got.parts != parts)
        fail_msg("%s: got %s units %d parts %d, wanted %s units %d parts %d", what,
                 sms_alphabet_name(got.alphabet), got.units, got.parts, sms_alphabet_name(alphabet),
                 units, parts);
}

struct run {
    const char *text;
    int times;
};

/* Sources: 160, 153, 70 and 67 are TS 23.040, 9.2.3.16 and 9.2.3.24.1; the counts follow from them
 * by arithmetic. The two with 3 parts are those where dividing gives 2. */
static void counts_parts(void **state) {
    static const struct {
        struct run runs[3];
        enum sms_alphabet alphabet;
        int units, parts;
    } cases[] = {
        {{{"", 1}}, SMS_GSM7, 0, 0},
        {{{"a", 1}}, SMS_GSM7, 1, 1},
        {{{"hellohello", 1}}, SMS_GSM7, 10, 1},
        {{{"{}", 1}}, SMS_GSM7, 4, 1},
        {{{"a", 160}}, SMS_GSM7, 160, 1},
        {{{"a", 161}}, SMS_GSM7, 161, 2},
        {{{"a", 306}}, SMS_GSM7, 306, 2},
        {{{"a", 307}}, SMS_GSM7, 307, 3},
        {{{"€", 80}}, SMS_GSM7, 160, 1},
        {{{"€", 81}}, SMS_GSM7, 162, 2},
        {{{"a", 159}, {"€", 1}}, SMS_GSM7, 161, 2},
        {{{"a", 152}, {"€", 1}, {"a", 152}}, SMS_GSM7, 306, 3},
        {{{"€", 153}}, SMS_GSM7, 306, 3},
        {{{"Ça", 1}}, SMS_GSM7, 2, 1},
        {{{"ça", 1}}, SMS_UCS2, 2, 1},
        {{{"ɓ", 70}}, SMS_UCS2, 70, 1},
        {{{"ɓ", 71}}, SMS_UCS2, 71, 2},
        {{{"ɓ", 134}}, SMS_UCS2, 134, 2},
        {{{"ɓ", 135}}, SMS_UCS2, 135, 3},
        {{{"ɓ", 66}, {"\U0001f41f", 1}, {"ɓ", 66}}, SMS_UCS2, 134, 3},
        {{{"\U0001f41f", 1}}, SMS_UCS2, 2, 1},
        {{{"\U0001f41f", 35}}, SMS_UCS2, 70, 1},
        {{{"\U0001f41f", 36}}, SMS_UCS2, 72, 2},
        {{{"e\u0301", 1}}, SMS_GSM7, 1, 1},
        {{{"e\u0301", 160}}, SMS_GSM7, 160, 1},
        {{{"\u2126\u212b", 1}}, SMS_GSM7, 2, 1}, /* ohm and angstrom signs are letters in NFC */
        {{{"1\u202f000", 1}}, SMS_UCS2, 5, 1},
        {{{"a", 159}, {"`", 1}}, SMS_UCS2, 160, 3},
        {{{"a\tb", 1}}, SMS_UCS2, 3, 1},
        {{{"a", 153 * 255}}, SMS_GSM7, 153 * 255, 255},
        {{{"ɓ", 67 * 255}}, SMS_UCS2, 67 * 255, 255},
        {{{"\u1112\u1161\u11ab", 67 * 255}}, SMS_UCS2, 67 * 255, 255}, /* 9 bytes to one unit */
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct buf b = buf_make(200000);
        char what[64];
        for (int r = 0; r < 3; r++)
            for (int k = 0; cases[i].runs[r].text && k < cases[i].runs[r].times; k++)
                buf_puts(&b, cases[i].runs[r].text);
        assert_int_equal(buf_err(&b), ERR_OK);
        snprintf(what, sizeof what, "%d x '%s'...", cases[i].runs[0].times, cases[i].runs[0].text);
        check(what, buf_slice(&b), cases[i].alphabet, cases[i].units, cases[i].parts);
        buf_free(&b);
    }
}

static void zero_byte_is_a_character(void **state) {
    (void)state;
    check("a NUL b", (struct slice){"a\0b", 3}, SMS_UCS2, 3, 1);
}

static void refuses_bad_and_long_texts(void **state) {
    struct sms_size size = {SMS_UCS2, -7, -7};
    static const char *const bad[] = {"\xff", "a\xc3", "\xed\xa0\x80", "\xc0\x80",
                                      "\xf4\x90\x80\x80"};
    struct buf b = buf_make(400000);
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        assert_int_equal(measure(slice_of(bad[i]), &size), ERR_UTF8);
    for (int i = 0; i < 153 * 255 + 1; i++)
        buf_putc(&b, 'a');
    assert_int_equal(measure(buf_slice(&b), &size), ERR_TOO_LONG);
    while (b.n < 300000)
        buf_putc(&b, 'a');
    assert_int_equal(measure(buf_slice(&b), &size), ERR_TOO_LONG);
    buf_putc(&b, '\x80');
    assert_int_equal(measure(buf_slice(&b), &size), ERR_UTF8);
    assert_int_equal(size.units, -7);
    struct arena small = arena_make(100);
    assert_int_equal(sms_measure(SLICE("a text that needs more"), &small, &size), ERR_NOMEM);
    arena_free(&small);
    buf_free(&b);
}

/* The slow and plain way to the same count: real parts are cut, and every cut is looked at. */
static int parts_by_cutting(const bool *may_cut, int n, int one, int part) {
    int parts = 0, at = 0;
    if (n <= one)
        return n > 0;
    while (at < n) {
        int end = at + part < n ? at + part : n;
        while (end < n && !may_cut[end])
            end--;
        assert_true(end > at);
        at = end;
        parts++;
    }
    return parts;
}

static uint32_t next_random(uint32_t *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return *seed >> 8;
}

static void agrees_with_cutting(void **state) {
    static const uint32_t plain[] = {'a', 'b', ' ', 0xe9, '[', 0x20ac, '~', '1'};
    static const uint32_t wide[] = {'a', 0x253, 0x1f41f, 0x1f40b, 0x2019, '[', 0x20ac, 0xe7};
    uint32_t seed = 99;
    (void)state;
    for (int round = 0; round < 3000; round++) {
        bool ucs2 = round % 2;
        int characters = 1 + (int)(next_random(&seed) % 400), n = 0;
        bool may_cut[1001] = {false};
        struct buf b = buf_make(4000);
        for (int i = 0; i < characters; i++) {
            uint32_t pick = next_random(&seed) % 8;
            uint32_t c = ucs2 ? wide[i ? pick : 1] : plain[pick];
            bool more = ucs2 ? c > 0xffff : gsm7_code(c) >= GSM7_EXTENSION;
            buf_put_codepoint(&b, c);
            may_cut[n] = true;
            n += more ? 2 : 1;
        }
        int wanted =
            ucs2 ? parts_by_cutting(may_cut, n, 70, 67) : parts_by_cutting(may_cut, n, 160, 153);
        check(buf_str(&b), buf_slice(&b), ucs2 ? SMS_UCS2 : SMS_GSM7, n, wanted);
        buf_free(&b);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_parts),
        cmocka_unit_test(zero_byte_is_a_character),
        cmocka_unit_test(refuses_bad_and_long_texts),
        cmocka_unit_test(agrees_with_cutting),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
