/* Replies with their values: how instants, weights, water and texts are written, and that the
 * wrong values are a bug and a wrong catalogue is told. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "reply/reply.h"
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

struct a_tag {
    char letter;
    int number;
};
static const struct a_tag f3 = {'f', 3};

/* Monday 4 January 2027, 18:32 UTC (`date -u -d '2027-01-04 18:32' +%s`). */
#define MONDAY_S ((int64_t)1799087520)
#define HOURS(n) ((int64_t)(n)*3600)
#define DAYS(n)  ((int64_t)(n)*86400)

static void expect(int language, const struct zone *zone, struct reply reply, const char *wanted) {
    struct buf out = buf_make(REPLY_BYTES_MAX);
    enum err e = reply_render(grammar.words, language, zone, MONDAY_S, &reply, &out);
    if (e || strcmp(buf_str(&out), wanted) != 0)
        fail_msg("%s:\n  got    %s\n  wanted %s", err_info(e)->name, buf_str(&out), wanted);
    buf_free(&out);
}

/* "F3 look AT", without the words around: the value is all that matters here. */
static void expect_when(int64_t at_s, const char *en, const char *sw) {
    struct buf out = buf_make(200);
    buf_putf(&out, "F3 look %s", en);
    expect(grammar.en, &zone_utc, (struct reply){REPLY_TODAY_LOOK, {V_TAG(f3), V_WHEN(at_s)}},
           buf_str(&out));
    buf_clear(&out);
    buf_putf(&out, "F3 angalia %s", sw);
    expect(grammar.sw, &zone_utc, (struct reply){REPLY_TODAY_LOOK, {V_TAG(f3), V_WHEN(at_s)}},
           buf_str(&out));
    buf_free(&out);
}

static void instants(void **state) {
    (void)state;
    expect_when(MONDAY_S, "18:30", "12:30 jioni (18:30)"); /* nearest five minutes */
    expect_when(MONDAY_S + 30, "18:30", "12:30 jioni (18:30)");
    expect_when(MONDAY_S + 29, "18:30", "12:30 jioni (18:30)");
    expect_when(MONDAY_S + HOURS(12) - 120, "Tue 06:30", "Jumanne 12:30 asubuhi (06:30)");
    /* 23:58 rounds into the next day, and then that day is named. */
    expect_when(MONDAY_S + HOURS(5) + 26 * 60, "Tue 00:00", "Jumanne 6:00 usiku (00:00)");
    expect_when(MONDAY_S - DAYS(1), "Sun 18:30", "Jumapili 12:30 jioni (18:30)");
    expect_when(MONDAY_S - DAYS(6), "Tue 18:30", "Jumanne 12:30 jioni (18:30)");
    /* A week away a weekday would name another day: the date. */
    expect_when(MONDAY_S - DAYS(7), "28 Dec 18:30", "28 Des 12:30 jioni (18:30)");
    expect_when(MONDAY_S + DAYS(7), "11 Jan 18:30", "11 Jan 12:30 jioni (18:30)");
}

static void the_farm_s_own_day(void **state) {
    (void)state;
    /* Three hours east the same instant is 21:30, and 21:05 UTC is tomorrow there. */
    static const struct zone east = {"east", 1, {{0, 3 * 3600}}};
    expect(grammar.en, &east, (struct reply){REPLY_TODAY_LOOK, {V_TAG(f3), V_WHEN(MONDAY_S)}},
           "F3 look 21:30");
    expect(grammar.en, &east,
           (struct reply){REPLY_TODAY_LOOK, {V_TAG(f3), V_WHEN(MONDAY_S + HOURS(3) - 27 * 60)}},
           "F3 look Tue 00:05");
}

static void numbers_and_texts(void **state) {
    (void)state;
    static const struct {
        int64_t weight_mg;
        const char *wanted;
    } weights[] = {
        {1200000, "1.2kg"}, {1250000, "1.25kg"},   {1255000, "1.26kg"}, {1000000, "1kg"},
        {999600, "1kg"},    {999400, "999g"},      {150000, "150g"},    {9940, "9.9g"},
        {100, "0.1g"},      {19990000, "19.99kg"},
    };
    struct buf out = buf_make(300);
    for (size_t i = 0; i < sizeof weights / sizeof *weights; i++) {
        buf_clear(&out);
        buf_putf(&out, "%s cannot be. Text it again with g or kg, like 150g. Nothing recorded",
                 weights[i].wanted);
        expect(grammar.en, &zone_utc,
               (struct reply){REPLY_WEIGHT_IMPOSSIBLE, {V_WEIGHT(weights[i].weight_mg)}},
               buf_str(&out));
    }
    buf_free(&out);
    expect(grammar.en, &zone_utc,
           (struct reply){REPLY_WATER_IMPOSSIBLE, {V_WATER(240250), V_WATER(8000), V_WATER(40000)}},
           "240.25C cannot be the water here: it has 8C to 40C. Text it all again with the right "
           "degrees. Nothing "
           "recorded");
    expect(grammar.en, &zone_utc, (struct reply){REPLY_ASK_TAG_ANY, {V_KIND(5)}},
           "NO EGGS: which female? Answer with her tag, like F3");
    expect(grammar.sw, &zone_utc, (struct reply){REPLY_ASK_TAG_ANY, {V_KIND(1)}},
           "SINDANO: jike gani? Jibu namba yake, mfano F3");
    expect(grammar.en, &zone_utc, (struct reply){REPLY_LANGUAGE_SET, {V_LANGUAGE(grammar.sw)}},
           "Texts to this phone now come in Kiswahili");
    /* Cut at 20 characters; letters outside GSM-7 made plain, paired signs replaced. */
    expect(grammar.en, &zone_utc,
           (struct reply){REPLY_UNKNOWN_WORD_ALONE,
                          {V_TEXT(SLICE("{\xc6\x99wai} [a|b] ~^\\ \xe2\x82\xac and more"))}},
           "I do not know \"(kwai) (a/b) --/ ? a\". Text HELP for the words. Nothing recorded");
    /* No placeholder comes to life out of a value. */
    expect(grammar.en, &zone_utc, (struct reply){REPLY_HELP_KIND, {V_TEXT(SLICE("{help}"))}},
           "(help)");
}

static void whole_texts(void **state) {
    (void)state;
    struct reply injected = {REPLY_INJECTED,
                             {V_TAG(f3), V_WEIGHT(1200000), V_WHEN(MONDAY_S), V_WATER(24000),
                              V_WHEN(MONDAY_S + HOURS(12)), V_WHEN(MONDAY_S + HOURS(18)),
                              V_NUMBER(10), V_NUMBER(100)}};
    expect(grammar.en, &zone_utc, injected,
           "F3 1.2kg injected 18:30 at 24C. First look Tue 06:30, then each 30 min till Tue 12:30. "
           "Eggs "
           "10-100 thousand. Cap the needle. Wrong? UNDO");
    expect(grammar.sw, &zone_utc, injected,
           "F3 1.2kg: sindano 12:30 jioni (18:30), 24C. Angalia kwanza Jumanne 12:30 asubuhi "
           "(06:30), kila dk 30. Funika sindano. Kosa? GHAIRI");
}

static void wrong_values_are_a_bug(void **state) {
    (void)state;
    struct buf out = buf_make(REPLY_BYTES_MAX);
    struct reply few = {REPLY_TODAY_LOOK, {V_TAG(f3)}};
    struct reply swapped = {REPLY_TODAY_LOOK, {V_WHEN(MONDAY_S), V_TAG(f3)}};
    struct reply none = {REPLY_COUNT, {V_TAG(f3)}};
    assert_int_equal(reply_render(grammar.words, 0, &zone_utc, 0, &few, &out), ERR_BUG);
    assert_int_equal(reply_render(grammar.words, 0, &zone_utc, 0, &swapped, &out), ERR_BUG);
    assert_int_equal(reply_render(grammar.words, 0, &zone_utc, 0, &none, &out), ERR_BUG);
    struct buf small = buf_make(5);
    struct reply good = {REPLY_TODAY_LOOK, {V_TAG(f3), V_WHEN(MONDAY_S)}};
    assert_int_equal(reply_render(grammar.words, 0, &zone_utc, 0, &good, &small), ERR_TOO_LONG);
    buf_free(&small);
    buf_free(&out);
}

static void forms_are_those_of_the_list(void **state) {
    (void)state;
    const struct reply_form *form = reply_form(REPLY_STRIPPED);
    assert_string_equal(form->name, "stripped");
    assert_int_equal(form->value_count, 8);
    assert_string_equal(form->values[7].name, "out");
    assert_int_equal(form->values[7].kind, VALUE_WHEN);
    assert_false(form->values[7].may_drop);
    assert_true(form->values[6].may_drop);
    assert_int_equal(reply_form(REPLY_UNREADABLE)->value_count, 0);
    for (int id = 0; id < REPLY_COUNT; id++)
        for (int other = 0; other < id; other++)
            assert_string_not_equal(reply_form((enum reply_id)id)->name,
                                    reply_form((enum reply_id)other)->name);
}

/* A catalogue is changed byte by byte in its texts; the check tells what is wrong. */
static void wrong_catalogues_are_told(void **state) {
    (void)state;
    static const struct {
        const char *from, *to, *fault;
    } table[] = {
        {"{tag} look {at}", "{tag} look {up}", "\"reply.today-look\": there is no value {up} here"},
        {"{tag} look {at}", "{tag} look {at]", "there is no value {at]} here"},
        {"{tag} look {at}", "{tag} look     ", "the value {at} is missing"},
        {"{tag} look {at}", "{tag:short}{at}", "is not closed or its form is wrong"},
        {"{tag} look {at}", "{tag} ~ook {at}", "has a sign outside plain GSM-7"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct arena arena = arena_make(8 * 1024 * 1024);
        struct faults faults = faults_make();
        struct slice mo = test_file(&arena, BUILD_DIR "/grammar/en.mo");
        char *bytes = arena_take(&arena, mo.n, 1);
        memcpy(bytes, mo.p, mo.n);
        size_t n = strlen(table[i].from), changed = 0;
        assert_int_equal(n, strlen(table[i].to));
        for (size_t k = 0; k + n <= mo.n; k++) /* the text, not its msgid behind the EOT */
            if (memcmp(bytes + k, table[i].from, n) == 0 && k > 0 && bytes[k - 1] == '\0') {
                memcpy(bytes + k, table[i].to, n);
                changed++;
            }
        assert_int_equal(changed, 1);
        struct words_catalogue catalogue = {"en", {bytes, mo.n}};
        struct words *w = words_build(&arena, grammar.forms, &catalogue, 1, &faults);
        assert_non_null(w);
        reply_check(w, &faults);
        if (faults.count < 1 || !strstr(buf_str(&faults.text), table[i].fault))
            fail_msg("%s: wanted \"%s\", told:\n%s", table[i].to, table[i].fault,
                     buf_str(&faults.text));
        faults_free(&faults);
        arena_free(&arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(instants),
        cmocka_unit_test(the_farm_s_own_day),
        cmocka_unit_test(numbers_and_texts),
        cmocka_unit_test(whole_texts),
        cmocka_unit_test(wrong_values_are_a_bug),
        cmocka_unit_test(forms_are_those_of_the_list),
        cmocka_unit_test(wrong_catalogues_are_told),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
