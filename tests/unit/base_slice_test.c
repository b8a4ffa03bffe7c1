/* Slices: every step at its edges, and the strict decoder of UTF-8 against the Unicode Standard's
 * own table of well-formed sequences, over all sequences of two and three bytes. */
#include "base_help.h"

static void compares(void **unused) {
    (void)unused;
    static const struct {
        const char *a, *b;
        int cmp; /* sign */
        bool nocase;
    } cases[] = {
        {"", "", 0, true},      {"a", "", 1, false},     {"", "a", -1, false},
        {"a", "A", 1, true},    {"ab", "aB", 1, true},   {"ab", "abc", -1, false},
        {"b", "abc", 1, false}, {"\xff", "a", 1, false}, {"@", "`", -1, false},
        {"[", "{", -1, false},  {"Z", "z", -1, true},    {"\xc3\x89", "\xc3\xa9", -1, false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct slice a = slice_of(cases[i].a), b = slice_of(cases[i].b);
        int c = slice_cmp(a, b), back = slice_cmp(b, a);
        assert_int_equal((c > 0) - (c < 0), cases[i].cmp);
        assert_int_equal((back > 0) - (back < 0), -cases[i].cmp);
        assert_int_equal(slice_eq(a, b), cases[i].cmp == 0);
        assert_int_equal(slice_eq_nocase(a, b), cases[i].nocase);
    }
    assert_true(slice_eq(slice_of(NULL), SLICE("")));
    assert_false(slice_eq((struct slice){"a\0b", 3}, (struct slice){"a\0c", 3}));
}

static void starts_ends_has(void **unused) {
    (void)unused;
    assert_true(slice_starts(SLICE("inject"), SLICE("in")));
    assert_true(slice_starts(SLICE("in"), SLICE("in")));
    assert_true(slice_starts(SLICE("in"), SLICE("")));
    assert_false(slice_starts(SLICE("in"), SLICE("inject")));
    assert_true(slice_ends(SLICE("inject"), SLICE("ect")));
    assert_true(slice_ends(SLICE(""), SLICE("")));
    assert_false(slice_ends(SLICE("ect"), SLICE("inject")));
    assert_true(slice_has(SLICE("a=b"), '='));
    assert_false(slice_has(SLICE("ab"), '\0'));
    assert_false(slice_has(slice_of(NULL), 'a'));
}

static void parts(void **unused) {
    (void)unused;
    struct slice s = SLICE("abc");
    TEXT(slice_from(s, 0), "abc");
    TEXT(slice_from(s, 2), "c");
    TEXT(slice_from(s, 3), "");
    TEXT(slice_from(s, SIZE_MAX), "");
    TEXT(slice_head(s, 0), "");
    TEXT(slice_head(s, 2), "ab");
    TEXT(slice_head(s, SIZE_MAX), "abc");
    assert_ptr_equal(slice_from(s, 9).p, s.p + 3);
    TEXT(slice_trim(SLICE(" \t\r\n a b \n")), "a b");
    TEXT(slice_trim(SLICE(" \t ")), "");
    TEXT(slice_trim(SLICE("\v\f")), "\v\f");
    TEXT(slice_trim(slice_of(NULL)), "");
}

static void cuts(void **unused) {
    (void)unused;
    static const struct {
        const char *text, *head, *tail;
        bool found;
    } cases[] = {
        {"a b", "a", "b", true}, {"a b c", "a", "b c", true}, {" b", "", "b", true},
        {"a ", "a", "", true},   {"ab", "ab", "", false},     {"", "", "", false},
        {" ", "", "", true},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct slice head, tail, s = slice_of(cases[i].text);
        assert_int_equal(slice_cut(s, ' ', &head, &tail), cases[i].found);
        TEXT(head, cases[i].head);
        TEXT(tail, cases[i].tail);
        slice_cut(s, ' ', &s, &tail); /* the head may be the text itself, as in a loop */
        TEXT(s, cases[i].head);
        TEXT(tail, cases[i].tail);
    }
}

static void integers(void **unused) {
    (void)unused;
    static const struct {
        const char *text;
        enum err e;
        int64_t value;
    } cases[] = {
        {"0", ERR_OK, 0},
        {"-0", ERR_OK, 0},
        {"+7", ERR_OK, 7},
        {"0012", ERR_OK, 12},
        {"9223372036854775807", ERR_OK, INT64_MAX},
        {"-9223372036854775808", ERR_OK, INT64_MIN},
        {"9223372036854775808", ERR_RANGE, 0},
        {"-9223372036854775809", ERR_RANGE, 0},
        {"18446744073709551616", ERR_RANGE, 0},
        {"92233720368547758070", ERR_RANGE, 0},
        {"", ERR_SYNTAX, 0},
        {"-", ERR_SYNTAX, 0},
        {"+", ERR_SYNTAX, 0},
        {"--1", ERR_SYNTAX, 0},
        {"+-1", ERR_SYNTAX, 0},
        {" 1", ERR_SYNTAX, 0},
        {"1 ", ERR_SYNTAX, 0},
        {"1.0", ERR_SYNTAX, 0},
        {"1e3", ERR_SYNTAX, 0},
        {"0x10", ERR_SYNTAX, 0},
        {"\xd9\xa1", ERR_SYNTAX, 0}, /* an Arabic digit one */
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        int64_t v = 4711;
        WANT(cases[i].e, slice_int(slice_of(cases[i].text), &v));
        assert_int_equal(v, cases[i].e ? 4711 : cases[i].value);
    }
    int64_t v = 4711;
    WANT(ERR_SYNTAX, slice_int((struct slice){"1\0"
                                              "2",
                                              3},
                               &v));
    OK(slice_int((struct slice){"123", 2}, &v));
    assert_int_equal(v, 12);
}

/* The Unicode Standard 15.0, table 3-7, "Well-Formed UTF-8 Byte Sequences": first byte, second
 * byte, how many after it (each 80..BF). Written as the table, not as arithmetic. */
static const struct well_formed {
    unsigned char first, first_to, second, second_to;
    size_t length;
} table_3_7[] = {
    {0x00, 0x7f, 0, 0, 1},       {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3},
    {0xe1, 0xec, 0x80, 0xbf, 3}, {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3},
    {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4}, {0xf4, 0xf4, 0x80, 0x8f, 4},
};

/* The length of the well-formed sequence that the bytes begin with, 0 none. */
static size_t well_formed(const unsigned char *b, size_t n) {
    for (size_t i = 0; i < COUNT_OF(table_3_7); i++) {
        const struct well_formed *w = &table_3_7[i];
        if (b[0] < w->first || b[0] > w->first_to)
            continue;
        if (w->length > n || (w->length > 1 && (b[1] < w->second || b[1] > w->second_to)))
            return 0;
        for (size_t k = 2; k < w->length; k++)
            if (b[k] < 0x80 || b[k] > 0xbf)
                return 0;
        return w->length;
    }
    return 0;
}

/* The number that table 3-6 spreads over the bytes. */
static uint32_t spread(const unsigned char *b, size_t length) {
    static const uint32_t mask[] = {0, 0x7f, 0x1f, 0x0f, 0x07};
    uint32_t c = b[0] & mask[length];
    for (size_t i = 1; i < length; i++)
        c = c * 64 + (b[i] - 0x80u);
    return c;
}

/* Plain comparisons, since a macro of cmocka at each of 17 million would take a minute. */
static bool decodes_as_table(const unsigned char *b, size_t n) {
    struct slice s = {(const char *)b, n};
    uint32_t c = 0xabcdef;
    size_t length = well_formed(b, n);
    enum err e = slice_codepoint(&s, &c);
    if (!length)
        return e == ERR_UTF8 && s.n == n && s.p == (const char *)b;
    return e == ERR_OK && s.n == n - length && s.p == (const char *)b + length &&
           c == spread(b, length);
}

static void check_bytes(const unsigned char *b, size_t n) {
    if (!decodes_as_table(b, n))
        fail_msg("%zu bytes %02x %02x %02x %02x are not read as table 3-7 says", n, b[0],
                 n > 1 ? b[1] : 0u, n > 2 ? b[2] : 0u, n > 3 ? b[3] : 0u);
}

static void utf8_of_one_to_three_bytes(void **unused) {
    (void)unused;
    unsigned char b[4] = {0};
    for (unsigned first = 0; first < 256; first++) {
        b[0] = (unsigned char)first;
        check_bytes(b, 1);
        for (unsigned i = 0; i < 65536; i++) {
            b[1] = (unsigned char)(i >> 8);
            b[2] = (unsigned char)i;
            if (b[2] == 0)
                check_bytes(b, 2);
            check_bytes(b, 3);
        }
    }
}

static void utf8_of_four_bytes(void **unused) {
    (void)unused;
    static const unsigned char edges[] = {0x00, 0x7f, 0x80, 0x8f, 0x90,
                                          0x9f, 0xa0, 0xbf, 0xc0, 0xff};
    for (unsigned i = 0; i < 65536; i++)
        for (size_t k = 0; k < COUNT_OF(edges) * COUNT_OF(edges); k++) {
            unsigned char b[4] = {(unsigned char)(i >> 8), (unsigned char)i,
                                  edges[k / COUNT_OF(edges)], edges[k % COUNT_OF(edges)]};
            check_bytes(b, 4);
        }
}

static void utf8_named(void **unused) {
    (void)unused;
    static const struct {
        const char *text;
        bool valid;
    } cases[] = {
        {"", true},
        {"caf\xc3\xa9 \xe2\x82\xac \xf0\x9f\x90\x9f", true},
        {"\xc0\xaf", false},         /* overlong / */
        {"\xe0\x80\xaf", false},     /* the same in three */
        {"\xf0\x80\x80\xaf", false}, /* and in four */
        {"\xed\xa0\x80", false},     /* U+D800 */
        {"\xed\xbf\xbf", false},     /* U+DFFF */
        {"\xed\x9f\xbf\xee\x80\x80", true},
        {"\xf4\x8f\xbf\xbf", true},  /* U+10FFFF */
        {"\xf4\x90\x80\x80", false}, /* one more */
        {"\xf8\x88\x80\x80\x80", false},
        {"ok\xc3", false}, /* cut */
        {"\xbf", false},
        {"\xfe\xff", false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++)
        if (slice_is_utf8(slice_of(cases[i].text)) != cases[i].valid)
            fail_msg("case %zu: wanted %s", i, cases[i].valid ? "valid" : "not valid");
    struct slice empty = SLICE("");
    uint32_t c = 1;
    WANT(ERR_NOT_FOUND, slice_codepoint(&empty, &c));
    assert_int_equal(c, 1);
}

/* Fowler, Noll, Vo: the published test values of FNV-1a, 64 bits. */
static void hash(void **unused) {
    (void)unused;
    static const struct {
        const char *text;
        uint64_t hash;
    } cases[] = {
        {"", 0xcbf29ce484222325u},
        {"a", 0xaf63dc4c8601ec8cu},
        {"b", 0xaf63df4c8601f1a5u},
        {"foobar", 0x85944171f73967e8u},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++)
        assert_int_equal(slice_hash(slice_of(cases[i].text), SLICE_HASH_SEED), cases[i].hash);
    uint64_t chained = slice_hash(SLICE("bar"), slice_hash(SLICE("foo"), SLICE_HASH_SEED));
    assert_int_equal(chained, 0x85944171f73967e8u);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(compares),
        cmocka_unit_test(starts_ends_has),
        cmocka_unit_test(parts),
        cmocka_unit_test(cuts),
        cmocka_unit_test(integers),
        cmocka_unit_test(utf8_of_one_to_three_bytes),
        cmocka_unit_test(utf8_of_four_bytes),
        cmocka_unit_test(utf8_named),
        cmocka_unit_test(hash),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
