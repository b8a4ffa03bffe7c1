/* Finding the words that people send at the front of folded text, misspelt ones, and hours and
 * numbers going out. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "support/grammar.h"

static struct test_grammar grammar;

static int load(void **state) {
    (void)state;
    return test_grammar_load(&grammar) ? 0 : -1;
}

static int unload(void **state) {
    (void)state;
    test_grammar_free(&grammar);
    return 0;
}

static void longest_first_at_a_boundary(void **state) {
    (void)state;
    static const struct {
        const char *text, *group; /* of the first hit; NULL: none */
        size_t length;
        bool glued;
    } table[] = {
        {"inject f3 1.2kg", "word.inject", 6, false},
        {"inj f3", "word.inject", 3, false},
        {"injection", "word.inject", 9, false},
        {"injectx", NULL, 0, false},
        {"no eggs f3", "word.no-eggs", 7, false},
        {"no eggs yet f3", "word.wait", 11, false},
        {"not yet", "word.wait", 7, false},
        {"no", "word.no", 2, false},
        {"hana mayai f3", "word.no-eggs", 10, false},
        {"dunga sindano f3", "word.inject", 13, false},
        {"temp28,5", NULL, 0, false},
        {"temp28,5", "word.temp", 4, true},
        {"joto24", "word.temp", 4, true},
        {"t24", NULL, 0, true},
        {"y2", NULL, 0, true}, /* one letter is no word when a digit follows */
        {"kwanini\xc3\xa9", NULL, 0, false},
        {"kg", "unit.kg", 2, false},
        {"kati ya 100", "slot.of", 7, false},
        {"", NULL, 0, false},
        {" inject", NULL, 0, false},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct words_hit hits[WORDS_HITS_MAX];
        struct slice text = slice_of(table[i].text);
        int n = table[i].glued ? words_glued(grammar.words, text, hits, WORDS_HITS_MAX)
                               : words_phrases(grammar.words, text, hits, WORDS_HITS_MAX);
        const char *got = n ? words_group_name(grammar.words, hits[0].group) : "nothing";
        if (strcmp(got, table[i].group ? table[i].group : "nothing") != 0 ||
            (n && hits[0].length != table[i].length))
            fail_msg("\"%s\" gave %s of %zu, wanted %s of %zu", table[i].text, got,
                     n ? hits[0].length : 0, table[i].group ? table[i].group : "nothing",
                     table[i].length);
        for (int k = 1; k < n; k++)
            assert_true(hits[k].length <= hits[k - 1].length);
    }
}

static void every_language_is_told(void **state) {
    (void)state;
    struct words_hit hits[WORDS_HITS_MAX];
    int n = words_phrases(grammar.words, SLICE("stop"), hits, WORDS_HITS_MAX);
    assert_int_equal(n, 2);
    assert_int_equal(hits[0].language, grammar.en);
    assert_int_equal(hits[1].language, grammar.sw);
    assert_int_equal(words_phrases(grammar.words, SLICE("stop"), hits, 1), 1);
    /* A day and a kind: both groups are told. */
    n = words_phrases(grammar.words, SLICE("leo"), hits, WORDS_HITS_MAX);
    assert_int_equal(n, 2);
    assert_int_not_equal(hits[0].group, hits[1].group);
}

static void near_words(void **state) {
    (void)state;
    static const struct {
        const char *word, *kind; /* the nearest; NULL: none */
        bool swahili;
    } table[] = {
        {"injekt", "inject", false}, {"inyect", "inject", false}, {"strp", "strip", false},
        {"stirp", "strip", false},   {"tmep", "temp", false},     {"wiat", "wait", false},
        {"frmaes", "frames", false}, {"sindno", "inject", true},  {"kamwa", "strip", true},
        {"sto", NULL, false},        {"qqq", NULL, false},        {"xylophone", NULL, false},
        {"", NULL, false},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        int kinds[3] = {0};
        int language = table[i].swahili ? grammar.sw : grammar.en;
        int n = words_near(grammar.words, language, slice_of(table[i].word), kinds, 3);
        const char *got = n ? words_kind_name(grammar.words, kinds[0]) : "nothing";
        const char *wanted = table[i].kind ? table[i].kind : "nothing";
        if (strcmp(got, wanted) != 0)
            fail_msg("near \"%s\" is %s, wanted %s", table[i].word, got, wanted);
        for (int k = 0; k < n; k++) {
            assert_false(words_kind_whole(grammar.words, kinds[k]));
            for (int j = 0; j < k; j++)
                assert_int_not_equal(kinds[j], kinds[k]);
        }
    }
}

static void clashes_are_listed(void **state) {
    (void)state;
    struct buf out = buf_make(10000);
    words_clashes(grammar.words, &out);
    assert_non_null(strstr(buf_str(&out), "leo: sw when.today, sw word.today\n"));
    assert_null(strstr(buf_str(&out), "\ninject:"));
    buf_free(&out);
}

/* Kiswahili clock: the pairs of open news translations and of a course of the language, as counted
 * for this project: 7 is saa 1 asubuhi, 12 saa 6 mchana, 13 saa 7 mchana, 16 saa 10 jioni, 18 saa
 * 12 jioni, 19 saa 1 usiku, 0 saa 6 usiku, 6 saa 12 asubuhi. */
static void hours_on_both_clocks(void **state) {
    (void)state;
    static const struct {
        int hour, minute;
        const char *full, *brief;
    } table[] = {
        {6, 30, "saa 12:30 asubuhi (06:30)", "12:30 asubuhi (06:30)"},
        {7, 0, "saa 1:00 asubuhi (07:00)", "1:00 asubuhi (07:00)"},
        {8, 5, "saa 2:05 asubuhi (08:05)", "2:05 asubuhi (08:05)"},
        {12, 0, "saa 6:00 mchana (12:00)", "6:00 mchana (12:00)"},
        {13, 0, "saa 7:00 mchana (13:00)", "7:00 mchana (13:00)"},
        {16, 0, "saa 10:00 jioni (16:00)", "10:00 jioni (16:00)"},
        {18, 0, "saa 12:00 jioni (18:00)", "12:00 jioni (18:00)"},
        {19, 0, "saa 1:00 usiku (19:00)", "1:00 usiku (19:00)"},
        {0, 0, "saa 6:00 usiku (00:00)", "6:00 usiku (00:00)"},
        {3, 55, "saa 9:55 usiku (03:55)", "9:55 usiku (03:55)"},
        {4, 0, "saa 10:00 alfajiri (04:00)", "10:00 alfajiri (04:00)"},
    };
    assert_true(words_clock_from_six(grammar.words, grammar.sw));
    assert_false(words_clock_from_six(grammar.words, grammar.en));
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct buf out = buf_make(100);
        words_put_hour(grammar.words, grammar.sw, table[i].hour, table[i].minute, WORDS_HOUR_FULL,
                       &out);
        assert_string_equal(buf_str(&out), table[i].full);
        buf_clear(&out);
        words_put_hour(grammar.words, grammar.sw, table[i].hour, table[i].minute, WORDS_HOUR_SHORT,
                       &out);
        assert_string_equal(buf_str(&out), table[i].brief);
        buf_free(&out);
    }
    struct buf out = buf_make(100);
    words_put_hour(grammar.words, grammar.en, 6, 5, WORDS_HOUR_FULL, &out);
    buf_putc(&out, ' ');
    words_put_weekday(grammar.words, grammar.en, 6, &out);
    buf_putc(&out, ' ');
    words_put_date(grammar.words, grammar.sw, 7, 12, &out);
    assert_string_equal(buf_str(&out), "06:05 Sun 7 Des");
    buf_free(&out);
}

/* An are is 100 m2 (a hectare a hundred of them, BIPM's SI brochure, table 8). */
static void areas_out(void **state) {
    (void)state;
    static const struct {
        int64_t cm2;
        const char *en, *sw;
    } table[] = {{10000, "1m2", "1m2"},
                 {15000, "1.5m2", "1.5m2"},
                 {450000, "45m2", "45m2"},
                 {994000, "99m2", "99m2"},
                 {995000, "1 ares", "ari 1"},
                 {1000000, "1 ares", "ari 1"},
                 {2500000, "2.5 ares", "ari 2.5"},
                 {400000000, "400 ares", "ari 400"}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct buf out = buf_make(100);
        words_put_area(grammar.words, grammar.en, table[i].cm2, &out);
        assert_string_equal(buf_str(&out), table[i].en);
        buf_clear(&out);
        words_put_area(grammar.words, grammar.sw, table[i].cm2, &out);
        assert_string_equal(buf_str(&out), table[i].sw);
        buf_free(&out);
    }
}

static void numbers_out(void **state) {
    (void)state;
    static const struct {
        int64_t milli;
        int digits;
        const char *wanted;
    } table[] = {
        {0, 3, "0"},         {24000, 1, "24"},
        {24500, 1, "24.5"},  {24550, 2, "24.55"},
        {24550, 1, "24.6"},  {24549, 1, "24.5"},
        {1005, 3, "1.005"},  {1005, 2, "1.01"},
        {999, 0, "1"},       {499, 0, "0"},
        {-499, 0, "0"},      {-500, 0, "-1"},
        {-1250, 2, "-1.25"}, {1234567890, 1, "1234567.9"},
        {50, 2, "0.05"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct buf out = buf_make(100);
        words_put_milli(grammar.words, grammar.en, table[i].milli, table[i].digits, &out);
        if (strcmp(buf_str(&out), table[i].wanted) != 0)
            fail_msg("%lld with %d digits: %s, wanted %s", (long long)table[i].milli,
                     table[i].digits, buf_str(&out), table[i].wanted);
        buf_free(&out);
    }
}

static bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c & 0x80) != 0;
}

/* The hits are exactly the heads of the text that end at a boundary and are a phrase of some group,
 * found here by asking for each. Texts are made of pieces of phrases, so that many nearly match. */
static void hits_are_all_heads_that_are_phrases(void **state) {
    (void)state;
    static const char *const pieces[] = {
        "no",  " ",   "eggs",    "yet", "no eggs", "kwa nini", "2",    "leo", "white", "at",
        "in ", "the", "morning", "k",   "mayai",   "-",        "stop", "sms", "ya",    "\xc3\xa9"};
    uint64_t seed = 5;
    for (int round = 0; round < 3000; round++) {
        char text[80];
        size_t n = 0;
        for (int k = 0; k < 5; k++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            const char *piece = pieces[(seed >> 33) % (sizeof pieces / sizeof *pieces)];
            memcpy(text + n, piece, strlen(piece));
            n += strlen(piece);
        }
        struct slice whole = {text, n};
        for (int glued = 0; glued < 2; glued++) {
            struct words_hit hits[64];
            int count = glued ? words_glued(grammar.words, whole, hits, 64)
                              : words_phrases(grammar.words, whole, hits, 64);
            int wanted = 0, found = 0;
            for (size_t end = 1; end <= n; end++) {
                bool digit = end < n && text[end] >= '0' && text[end] <= '9';
                bool boundary = end == n || (!digit && !is_letter(text[end])) ||
                                (glued && digit && end >= 2 && is_letter(text[end - 1]) &&
                                 is_letter(text[end - 2]));
                for (int g = 0; boundary && words_group_name(grammar.words, g)[0]; g++)
                    wanted += words_is(grammar.words, g, slice_head(whole, end)) ? 1 : 0;
            }
            for (int i = 0; i < count; i++) {
                if (!words_is(grammar.words, hits[i].group, slice_head(whole, hits[i].length)))
                    fail_msg("\"%.*s\": a hit of %zu bytes that is no phrase of %s", (int)n, text,
                             hits[i].length, words_group_name(grammar.words, hits[i].group));
                bool again = false;
                for (int k = 0; k < i; k++)
                    again |= hits[k].group == hits[i].group && hits[k].length == hits[i].length;
                found += again ? 0 : 1; /* once in each language */
            }
            if (found != wanted)
                fail_msg("\"%.*s\": %d hits, wanted %d", (int)n, text, found, wanted);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hits_are_all_heads_that_are_phrases),
        cmocka_unit_test(longest_first_at_a_boundary),
        cmocka_unit_test(every_language_is_told),
        cmocka_unit_test(near_words),
        cmocka_unit_test(clashes_are_listed),
        cmocka_unit_test(hours_on_both_clocks),
        cmocka_unit_test(areas_out),
        cmocka_unit_test(numbers_out),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
