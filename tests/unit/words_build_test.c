/* The grammar in memory: the real one is without faults, and each mistake in one is told. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "conf/conf.h"
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

static void the_grammar_is_sound(void **state) {
    (void)state;
    if (grammar.faults.count)
        print_error("%s", buf_str(&grammar.faults.text));
    assert_int_equal(grammar.faults.count, 0);
    assert_int_equal(words_count(grammar.words), 2);
    assert_int_equal(words_english(grammar.words), grammar.en);
    assert_true(slice_eq(words_language_name(grammar.words, grammar.sw), SLICE("Kiswahili")));
    assert_true(slice_eq(words_language_name(grammar.words, grammar.en), SLICE("English")));
    assert_string_equal(words_code(grammar.words, grammar.sw), "sw");
    assert_string_equal(words_code(grammar.words, 99), "");
}

static void languages_by_name(void **state) {
    (void)state;
    static const char *const sw[] = {"sw", "swahili", "kiswahili"};
    static const char *const en[] = {"en", "english", "kiingereza"};
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(words_language_of(grammar.words, slice_of(sw[i])), grammar.sw);
        assert_int_equal(words_language_of(grammar.words, slice_of(en[i])), grammar.en);
    }
    assert_int_equal(words_language_of(grammar.words, SLICE("inject")), -1);
    assert_int_equal(words_language_of(grammar.words, SLICE("")), -1);
}

static void kinds_and_slots(void **state) {
    (void)state;
    const struct words *w = grammar.words;
    int inject = words_kind_find(w, "inject"), stop = words_kind_find(w, "stop");
    assert_int_equal(inject, 1);
    assert_int_equal(words_kind_find(w, "nothing"), 0);
    assert_string_equal(words_kind_name(w, 0), "");
    assert_string_equal(words_kind_name(w, 99), "");
    assert_true(words_kind_records(w, inject));
    assert_false(words_kind_whole(w, inject));
    assert_true(words_kind_whole(w, stop));
    assert_false(words_kind_records(w, words_kind_find(w, "plan")));
    assert_string_equal(words_slot_name(w, 0), "tag");
    assert_int_equal(words_kind_needs(w, inject) & 1u, 1);
    assert_int_equal(words_kind_slots(w, words_kind_find(w, "today")), 0);
    int source = words_kind_find(w, "source"), river = -1;
    for (int i = 0; i < words_choice_count(w); i++)
        if (strcmp(words_choice_name(w, i), "river") == 0)
            river = i;
    assert_in_range(river, 0, words_choice_count(w) - 1);
    assert_true((words_kind_choices(w, source) & UINT64_C(1) << river) != 0);
    assert_int_equal(words_kind_choices(w, inject) & UINT64_C(1) << river, 0);
    assert_int_equal(words_kind_choices(w, stop), 0);
    /* past the first 32 of them */
    int slots = words_slot_count(w), choices = words_choice_count(w);
    int season = words_kind_find(w, "season");
    assert_string_equal(words_slot_name(w, slots - 1), "months");
    assert_true(words_kind_slots(w, words_kind_find(w, "month")) == UINT64_C(1) << (slots - 1));
    assert_true((words_kind_needs(w, season) & UINT64_C(1) << (slots - 1)) != 0);
    assert_string_equal(words_choice_name(w, choices - 1), "monthly");
    assert_true(words_kind_choices(w, season) == UINT64_C(1) << (choices - 1));
    assert_string_equal(words_choice_name(w, words_choice_count(w)), "");
    assert_int_equal(words_group_choice(w, words_group_find(w, "choice.river")), river);
    assert_int_equal(words_group_month(w, words_group_find(w, "month.3")), 3);
    assert_true(words_unit_first(w, grammar.sw));
    assert_false(words_unit_first(w, grammar.en));
    assert_true(slice_eq(words_kind_word(w, inject, grammar.sw), SLICE("sindano")));
    assert_true(
        slice_eq(words_kind_word(w, words_kind_find(w, "no-eggs"), grammar.en), SLICE("no eggs")));
}

/* The words that 47 CFR 64.1200(a)(10) (as of 2024) names as always meaning stop. */
static void stop_words_of_the_rule(void **state) {
    (void)state;
    static const char *const rule[] = {"stop",    "quit",   "end",        "revoke",
                                       "opt out", "cancel", "unsubscribe"};
    int group = words_group_find(grammar.words, "word.stop");
    for (size_t i = 0; i < sizeof rule / sizeof *rule; i++)
        if (!words_is(grammar.words, group, slice_of(rule[i])))
            fail_msg("\"%s\" is no word of word.stop", rule[i]);
    assert_false(
        words_is(grammar.words, words_group_find(grammar.words, "word.undo"), SLICE("cancel")));
    assert_false(words_is(grammar.words, group, SLICE("stop feeding")));
}

/* -- made-up grammars -------------------------------------------------------------------------- */

/* Builds with the conf and, as English, the text "context=value;..." ; the faults stay. */
static struct words *build(struct arena *arena, struct faults *faults, const char *conf,
                           const char *code, const char *entries) {
    const struct tree *tree = NULL;
    struct buf mo = buf_make_in(arena, 20000), keys = buf_make_in(arena, 20000),
               texts = buf_make_in(arena, 20000), rows = buf_make_in(arena, 20000);
    struct slice rest = slice_of(entries), one, context, value;
    uint32_t count = 1;
    for (struct slice s = rest; slice_cut(s, ';', &one, &s);)
        count++;
    uint32_t spots[200][4], n = 0;
    for (bool first = true; first || rest.n; first = false) {
        context = SLICE("");
        value = SLICE("Content-Type: text/plain; charset=UTF-8\n");
        if (!first) {
            (void)slice_cut(rest, ';', &one, &rest);
            (void)slice_cut(one, '=', &context, &value);
        }
        spots[n][1] = (uint32_t)keys.n;
        buf_put(&keys, context);
        if (!first)
            buf_puts(&keys, "\004x");
        spots[n][0] = (uint32_t)keys.n - spots[n][1];
        buf_putc(&keys, '\0');
        spots[n][2] = (uint32_t)value.n;
        spots[n][3] = (uint32_t)texts.n;
        buf_put(&texts, value);
        buf_putc(&texts, '\0');
        n++;
    }
    assert_int_equal(n, count);
    uint32_t head[] = {0x950412deu, 0, n, 28, 28 + 8 * n, 0, 0}, base = 28 + 16 * n;
    for (uint32_t i = 0; i < n; i++) {
        uint32_t row[] = {spots[i][0], base + spots[i][1]};
        buf_put(&rows, (struct slice){(const char *)row, sizeof row});
    }
    for (uint32_t i = 0; i < n; i++) {
        uint32_t row[] = {spots[i][2], base + (uint32_t)keys.n + spots[i][3]};
        buf_put(&rows, (struct slice){(const char *)row, sizeof row});
    }
    buf_put(&mo, (struct slice){(const char *)head, sizeof head});
    buf_put(&mo, buf_slice(&rows));
    buf_put(&mo, buf_slice(&keys));
    buf_put(&mo, buf_slice(&texts));
    assert_int_equal(conf_parse(slice_of(conf), "m.conf", arena, faults, &tree), ERR_OK);
    struct words_catalogue catalogue = {code, buf_slice(&mo)};
    return words_build(arena, tree, &catalogue, 1, faults);
}

#define KINDS                                                                                      \
    "slots = (\"tag\", \"time\"); kinds = ({name=\"go\"; slots=[\"tag\"];}, {name=\"rest\";});"

#define CHOICES "slots = (\"choice\"); choices = (\"river\", \"lake\");"

static void each_mistake_is_told(void **state) {
    (void)state;
    static const struct {
        const char *conf, *code, *entries, *fault;
        bool usable;
    } table[] = {
        {KINDS, "en", "word.go=go|move;word.rest=rest|move;",
         "en.mo: \"move\" stands in both \"word.go\" and \"word.rest\"", true},
        {KINDS, "en", "word.go=go;", "en.mo: msgctxt \"word.rest\" is missing", true},
        {KINDS, "en", "word.go=go;", "msgctxt \"help.go\" is missing", true},
        {KINDS, "en", "word.go=go;", "msgctxt \"day.6\" is missing", true},
        {KINDS, "en", "word.go=go;", "msgctxt \"month.12\" is missing", true},
        {KINDS, "en", "word.fly=fly;", "names no kind of messages.conf", true},
        {KINDS, "en", "word.go=go| |x;", "is empty, too long or has no letters", true},
        {KINDS, "en", "form.hour=saa {six} {part};form.hour.short={six} {part};",
         "form.hour.short must show both clocks", true},
        {KINDS, "sw", "word.go=go;", "there must be an English catalogue", false},
        {"slots = (); kinds = ();", "en", "word.go=go;", "", false},
        {"slots = ();", "en", "word.go=go;", "\"kinds\" is missing", false},
        {"slots = (\"tag\",\"tag\"); kinds = ({name=\"go\";});", "en", "a=b;",
         "m.conf:1: slot \"tag\" stands twice", true},
        {"slots = (\"tag\");\nkinds = ({name=\"go\"; slots=[\"tog\"];});", "en", "a=b;",
         "m.conf:2: \"slots\" lists something that is no slot; \"tag\" was meant?", true},
        {"slots = (\"tag\");\nkinds = ({name=\"go\"; needs=[\"tag\"];});", "en", "a=b;",
         "needs a slot that it does not take", true},
        {"slots = (\"tag\");\nkinds = ({name=\"go\"; whole=true; slots=[\"tag\"];});", "en", "a=b;",
         "is the whole message: it has no slots", true},
        {"slots = ();\nkinds = ({name=\"go\";},{name=\"go\";});", "en", "a=b;",
         "kind \"go\" stands twice", true},
        {"slots = ();\nkinds = ({name=\"go\"; record=true;});", "en", "a=b;",
         "\"record\" is not known here; \"records\" was meant?", true},
        {"slots = ();\nkinds = ({name=\"Go!\";},{name=\"go\";});", "en", "a=b;",
         "the name of a kind has small letters", true},
        {CHOICES "\nkinds = ({name=\"go\"; slots=[\"choice\"];\nchoices=[\"rivr\"];});", "en",
         "a=b;", "m.conf:3: \"choices\" lists something that is no choice; \"river\" was meant?",
         true},
        {CHOICES "\nkinds = ({name=\"go\"; slots=[\"choice\"];});", "en", "a=b;",
         "m.conf:2: kind \"go\" must have both the slot \"choice\" and \"choices\", or neither",
         true},
        {CHOICES "\nkinds = ({name=\"go\"; choices=[\"river\"];});", "en", "a=b;",
         "m.conf:2: kind \"go\" must have both the slot \"choice\" and \"choices\", or neither",
         true},
        {"slots = (\"choice\");\nchoices = (\"river\",\n\"river\");kinds = ({name=\"go\";});", "en",
         "a=b;", "m.conf:3: choice \"river\" stands twice", true},
        {CHOICES "kinds = ({name=\"go\";});", "en", "choice.river=river;",
         "en.mo: msgctxt \"choice.lake\" is missing", true},
        {CHOICES "kinds = ({name=\"go\";});", "en", "choice.lak=lake;",
         "\"choice.lak\" names no choice of messages.conf", true},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct arena arena = arena_make(1024 * 1024);
        struct faults faults = faults_make();
        struct words *w = build(&arena, &faults, table[i].conf, table[i].code, table[i].entries);
        if (!strstr(buf_str(&faults.text), table[i].fault) || (w != NULL) != table[i].usable)
            fail_msg("row %zu: %s, wanted %s; told:\n%s", i, w ? "usable" : "unusable",
                     table[i].fault, buf_str(&faults.text));
        faults_free(&faults);
        arena_free(&arena);
    }
}

/* Memory that ends anywhere while building: no words, no crash. */
static void any_arena_is_enough_or_not(void **state) {
    (void)state;
    bool failed = false, built = false;
    struct arena files = arena_make(8 * 1024 * 1024);
    struct words_catalogue catalogues[] = {
        {"en", test_file(&files, BUILD_DIR "/grammar/en.mo")},
        {"sw", test_file(&files, BUILD_DIR "/grammar/sw.mo")},
    };
    for (size_t cap = 1000; cap < 400000; cap += 3001) {
        struct arena arena = arena_make(cap);
        struct faults faults = faults_make();
        if (words_build(&arena, grammar.forms, catalogues, 2, &faults))
            built = true;
        else
            failed = true;
        faults_free(&faults);
        arena_free(&arena);
    }
    assert_true(failed);
    assert_true(built);
    arena_free(&files);
}

static void english_stands_in(void **state) {
    (void)state;
    const struct words *w = grammar.words;
    assert_true(words_has(w, grammar.en, "clock.am"));
    assert_false(words_has(w, grammar.sw, "clock.am"));
    assert_true(
        slice_eq(words_get(w, grammar.sw, "clock.am"), words_get(w, grammar.en, "clock.am")));
    assert_int_equal(words_get(w, grammar.sw, "no.such").n, 0);
    assert_true(slice_eq(words_get(w, 99, "day.0"), SLICE("Mon")));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_grammar_is_sound), cmocka_unit_test(languages_by_name),
        cmocka_unit_test(kinds_and_slots),      cmocka_unit_test(stop_words_of_the_rule),
        cmocka_unit_test(each_mistake_is_told), cmocka_unit_test(any_arena_is_enough_or_not),
        cmocka_unit_test(english_stands_in),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
