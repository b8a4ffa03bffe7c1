/* gsm7: tables and packing, against values worked out by 3GPP TS 23.038 and published vectors. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/slice.h"
#include "sms/gsm7.h"

static size_t septets_of(const char *utf8, uint8_t *out) {
    struct slice s = slice_of(utf8);
    size_t n = 0;
    uint32_t c;
    while (!slice_codepoint(&s, &c)) {
        int code = gsm7_code(c);
        if (code < 0)
            fail_msg("'%s' has a character outside GSM-7: U+%04X", utf8, (unsigned)c);
        if (code >= GSM7_EXTENSION)
            out[n++] = GSM7_ESC;
        out[n++] = (uint8_t)(code & 0x7f);
    }
    return n;
}

static void check_hex(const char *what, const uint8_t *octets, size_t n, const char *want) {
    static const char hex[] = "0123456789ABCDEF";
    char got[600];
    assert_in_range(n, 0, 290);
    for (size_t i = 0; i < n; i++) {
        got[2 * i] = hex[octets[i] >> 4];
        got[2 * i + 1] = hex[octets[i] & 15];
    }
    got[2 * n] = '\0';
    if (strcmp(got, want) != 0)
        fail_msg("%s: got %s, wanted %s", what, got, want);
}

/* Sources: "hellohello" is in published PDUs (SMS-SUBMIT and SMS-DELIVER examples); "test text" and
 * its packing are among the vectors of libosmocore's tests/sms; the others are arithmetic by TS
 * 23.038, 6.1.2.1 and 6.1.2.3, and two independent PDU coders agree on the {} and the fill bits. */
static void packs_published_vectors(void **state) {
    static const struct {
        const char *text;
        size_t septets;
        int header_octets;
        const char *sms, *ussd; /* NULL: not compared */
    } cases[] = {
        {"hellohello", 10, 0, "E8329BFD4697D9EC37", "E8329BFD4697D9EC37"},
        {"{}", 4, 0, "1BD42605", "1BD42605"},
        {"*123*1#", 7, 0, "AA986CA68A8D00", "AA986CA68A8D1A"},
        {"12345678", 8, 0, "31D98C56B3DD70", "31D98C56B3DD70"},
        {"test text", 9, 0, "F4F29C0EA297F174", "F4F29C0EA297F174"},
        {"hello", 5, 6, "D06536FB0D", NULL}, /* behind 05 00 03 CC 02 02 */
        {"hello", 5, 7, "E8329BFD06", NULL}, /* behind 06 08 04 12 34 02 02 */
        {"1234567\r", 8, 0, "31D98C56B3DD1A", "31D98C56B3DD1A0D"},
        {"@", 1, 0, "00", "00"},
        {"", 0, 0, "", ""},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        uint8_t septets[64], out[64], back[64];
        size_t n = septets_of(cases[i].text, septets), octets = 99, count = 99;
        int fill = gsm7_fill_bits(cases[i].header_octets);
        if (n != cases[i].septets)
            fail_msg("'%s': got %zu septets, wanted %zu", cases[i].text, n, cases[i].septets);
        assert_int_equal(gsm7_pack(septets, n, fill, out, sizeof out, &octets), ERR_OK);
        check_hex(cases[i].text, out, octets, cases[i].sms);
        assert_int_equal(gsm7_unpack(out, octets, fill, back, n), ERR_OK);
        assert_memory_equal(back, septets, n);
        if (!cases[i].ussd)
            continue;
        assert_int_equal(gsm7_pack_ussd(septets, n, out, sizeof out, &octets), ERR_OK);
        check_hex(cases[i].text, out, octets, cases[i].ussd);
        assert_int_equal(gsm7_unpack_ussd(out, octets, back, sizeof back, &count), ERR_OK);
        assert_memory_equal(back, septets, n);
    }
}

/* libosmocore's tests/sms: 39 septets with escapes end in an octet 01, one more septet in E7. */
static void packs_escapes_over_many_octets(void **state) {
    uint8_t septets[64], out[64];
    size_t octets;
    (void)state;
    assert_int_equal(septets_of("enhanced ^ {][} test |+~ ^ test", septets), 39);
    assert_int_equal(gsm7_pack(septets, 39, 0, out, sizeof out, &octets), ERR_OK);
    assert_int_equal(octets, 35);
    assert_int_equal(out[34], 0x01);
    assert_int_equal(septets_of("enhanced ^ {][} test |+~ ^ tests", septets), 40);
    assert_int_equal(gsm7_pack(septets, 40, 0, out, sizeof out, &octets), ERR_OK);
    assert_int_equal(octets, 35);
    assert_int_equal(out[34], 0xe7);
}

/* TS 23.040, 9.2.3.24: header octets, fill bits and septets taken, what is left of 160. */
static void header_leaves_a_septet_boundary(void **state) {
    static const struct {
        int octets, fill, septets;
    } cases[] = {{0, 0, 0}, {3, 4, 4}, {4, 3, 5}, {6, 1, 7}, {7, 0, 8}, {8, 6, 10}, {13, 1, 15}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int fill = gsm7_fill_bits(cases[i].octets), septets = gsm7_header_septets(cases[i].octets);
        if (fill != cases[i].fill || septets != cases[i].septets)
            fail_msg("header of %d octets: got fill %d, septets %d, wanted %d, %d", cases[i].octets,
                     fill, septets, cases[i].fill, cases[i].septets);
    }
    assert_int_equal(GSM7_PART_SEPTETS - gsm7_header_septets(6), 153);
    assert_int_equal(GSM7_PART_SEPTETS - gsm7_header_septets(7), 152);
}

/* TS 23.038, 6.2.1: where ASCII and the alphabet part, and what only looks as if it were in it. */
static void table_differs_from_ascii(void **state) {
    static const struct {
        uint32_t codepoint;
        int code;
    } cases[] = {
        {'@', 0x00},    {'$', 0x02},   {'_', 0x11},   {0xa4, 0x24},   {0xa1, 0x40},
        {0xbf, 0x60},   {0xc7, 0x09},  {0xe7, -1},    {'`', -1},      {'\t', -1},
        {0x1b, -1},     {0, -1},       {0xa0, -1},    {'\n', 0x0a},   {'\r', 0x0d},
        {'\f', 0x1b0a}, {'^', 0x1b14}, {'{', 0x1b28}, {'}', 0x1b29},  {'\\', 0x1b2f},
        {'[', 0x1b3c},  {'~', 0x1b3d}, {']', 0x1b3e}, {'|', 0x1b40},  {0x20ac, 0x1b65},
        {0xe9, 0x05},   {0xea, -1},    {0x394, 0x10}, {0x391, -1},    {0x2126, -1},
        {0x253, -1},    {0x2019, -1},  {0x1f41f, -1}, {0x110000, -1}, {'Z', 'Z'},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int got = gsm7_code(cases[i].codepoint);
        int septets = cases[i].code < 0 ? 0 : cases[i].code < 0x1b00 ? 1 : 2;
        if (got != cases[i].code || gsm7_septets(cases[i].codepoint) != septets)
            fail_msg("U+%04X: got %X (%d septets), wanted %X", (unsigned)cases[i].codepoint,
                     (unsigned)got, gsm7_septets(cases[i].codepoint), (unsigned)cases[i].code);
    }
}

/* 127 characters and 10 in the extension table, each code back to itself; nothing else anywhere. */
static void table_is_one_to_one(void **state) {
    int one = 0, two = 0;
    (void)state;
    for (uint32_t c = 0; c < 0x110000; c++) {
        int code = gsm7_code(c);
        if (code < 0)
            continue;
        one += code < GSM7_EXTENSION;
        two += code >= GSM7_EXTENSION;
        uint32_t back = gsm7_codepoint(code, code >= GSM7_EXTENSION);
        if (back != c)
            fail_msg("U+%04X has code %X, which gives U+%04X", (unsigned)c, (unsigned)code,
                     (unsigned)back);
    }
    assert_int_equal(one, 127);
    assert_int_equal(two, 10);
}

/* TS 23.038, 6.2.1.1: an unknown extension shows the main table's character; ESC ESC is a space. */
static void broken_escapes_show_something(void **state) {
    (void)state;
    assert_int_equal(gsm7_codepoint(0x41, true), 'A');
    assert_int_equal(gsm7_codepoint(0x09, true), 0xc7);
    assert_int_equal(gsm7_codepoint(GSM7_ESC, true), ' ');
    assert_int_equal(gsm7_codepoint(GSM7_ESC, false), ' ');
    assert_int_equal(gsm7_codepoint(0x65, false), 'e');
    assert_int_equal(gsm7_codepoint(0x65, true), 0x20ac);
}

static uint32_t next_random(uint32_t *seed) {
    *seed = *seed * 1664525u + 1013904223u; /* Numerical Recipes' generator */
    return *seed >> 8;
}

/* Law: what is packed comes back, at every length to two parts' worth and every fill. */
static void packing_comes_back(void **state) {
    uint32_t seed = 20261101;
    (void)state;
    for (size_t n = 0; n <= 321; n++) {
        int fill = (int)(n % 7);
        uint8_t septets[321] = {0}, out[300], back[321];
        size_t octets, wanted = n ? ((size_t)fill + 7 * n + 7) / 8 : 0;
        for (size_t i = 0; i < n; i++)
            septets[i] = (uint8_t)(next_random(&seed) & 0x7f);
        memset(out, 0xff, sizeof out);
        assert_int_equal(gsm7_pack(septets, n, fill, out, wanted, &octets), ERR_OK);
        assert_int_equal(octets, wanted);
        assert_int_equal(out[octets], 0xff);
        assert_int_equal(gsm7_unpack(out, octets, fill, back, n), ERR_OK);
        if (memcmp(back, septets, n) != 0)
            fail_msg("%zu septets with %d fill bits do not come back", n, fill);
        if (wanted)
            assert_int_equal(gsm7_pack(septets, n, fill, out, wanted - 1, &octets), ERR_TOO_LONG);
    }
}

/* Law (6.1.2.3.1): USSD comes back without a count, but for a CR that ends on an octet's boundary,
 * which comes back doubled. */
static void ussd_comes_back(void **state) {
    uint32_t seed = 7;
    (void)state;
    for (int round = 0; round < 2000; round++) {
        uint8_t septets[161], out[160], back[170];
        size_t n = next_random(&seed) % 161, octets, count;
        for (size_t i = 0; i < n; i++)
            septets[i] = (uint8_t)(next_random(&seed) & 0x7f);
        if (n && round % 3 == 0)
            septets[n - 1] = 0x0d;
        memset(out, 0xff, sizeof out);
        assert_int_equal(gsm7_pack_ussd(septets, n, out, sizeof out, &octets), ERR_OK);
        bool doubled = n && n % 8 == 0 && septets[n - 1] == 0x0d;
        assert_int_equal(gsm7_unpack_ussd(out, octets, back, sizeof back, &count), ERR_OK);
        if (count != n + doubled || memcmp(back, septets, n) != 0)
            fail_msg("round %d: %zu septets came back as %zu", round, n, count);
        if (doubled)
            assert_int_equal(back[n], 0x0d);
    }
}

static void refuses_what_cannot_be(void **state) {
    uint8_t high[] = {0x80}, ok[] = {1, 2, 3}, out[8], cr[8] = {1, 1, 1, 1, 1, 1, 1, 0x0d};
    size_t n;
    (void)state;
    assert_int_equal(gsm7_pack(high, 1, 0, out, sizeof out, &n), ERR_RANGE);
    assert_int_equal(gsm7_pack(ok, 3, 7, out, sizeof out, &n), ERR_RANGE);
    assert_int_equal(gsm7_pack(ok, 3, -1, out, sizeof out, &n), ERR_RANGE);
    assert_int_equal(gsm7_pack(ok, SIZE_MAX, 0, out, sizeof out, &n), ERR_RANGE);
    assert_int_equal(gsm7_unpack(ok, 1, 0, out, 2), ERR_RANGE);
    assert_int_equal(gsm7_unpack(ok, 1, 2, out, 1), ERR_RANGE);
    assert_int_equal(gsm7_unpack(ok, 1, 1, out, 1), ERR_OK);
    assert_int_equal(gsm7_unpack(ok, 3, 9, out, 1), ERR_RANGE);
    assert_int_equal(gsm7_pack_ussd(cr, 8, out, 7, &n), ERR_TOO_LONG);
    assert_int_equal(gsm7_pack_ussd(cr, 7, out, 6, &n), ERR_TOO_LONG);
    assert_int_equal(gsm7_pack_ussd(high, 1, out, 8, &n), ERR_RANGE);
    assert_int_equal(gsm7_unpack_ussd(ok, 3, out, 2, &n), ERR_TOO_LONG);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(packs_published_vectors),
        cmocka_unit_test(packs_escapes_over_many_octets),
        cmocka_unit_test(header_leaves_a_septet_boundary),
        cmocka_unit_test(table_differs_from_ascii),
        cmocka_unit_test(table_is_one_to_one),
        cmocka_unit_test(broken_escapes_show_something),
        cmocka_unit_test(packing_comes_back),
        cmocka_unit_test(ussd_comes_back),
        cmocka_unit_test(refuses_what_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
