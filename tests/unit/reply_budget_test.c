/* Every reply in every catalogue with its longest values fits its parts and the GSM-7 alphabet.
 * Measured by sms_measure, which its own tests hold against Perl's Encode::GSM0338. Sizes: 160
 * septets for one part, 153 each for several (3GPP TS 23.040, 9.2.3.24.1). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "reply/reply.h"
#include "sms/parts.h"
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

/* Units of the longest form; a failure is printed and counted. */
static int measured(int language, enum reply_id id, int *failed) {
    const struct reply_form *form = reply_form(id);
    struct arena arena = arena_make(1024 * 1024);
    struct buf text = buf_make(2 * REPLY_BYTES_MAX);
    struct sms_size size = {SMS_GSM7, 0, 0};
    enum err e = reply_render_longest(grammar.words, language, id, &text);
    if (!e)
        e = sms_measure(buf_slice(&text), &arena, &size);
    if (e || size.alphabet != SMS_GSM7 || size.parts > form->parts) {
        print_error("%s reply.%s: %s, %d %s units in %d parts, may take %d:\n  %s\n",
                    words_code(grammar.words, language), form->name, err_info(e)->name, size.units,
                    sms_alphabet_name(size.alphabet), size.parts, form->parts, buf_str(&text));
        ++*failed;
    }
    buf_free(&text);
    arena_free(&arena);
    return size.units;
}

static void every_reply_fits(void **state) {
    (void)state;
    int failed = 0;
    for (int language = 0; language < words_count(grammar.words); language++)
        for (int id = 0; id < REPLY_COUNT; id++)
            (void)measured(language, (enum reply_id)id, &failed);
    assert_int_equal(failed, 0);
}

/* English stays at or under 125 septets so that the longest language still fits 160. The
 * exceptions, each with its reason: */
static const struct {
    enum reply_id id;
    const char *why;
} long_in_english[] = {
    {REPLY_INJECTED, "hour, range and eggs of the whole night, and the caution of the needle"},
    {REPLY_INJECTED_NEW, "the same, and that she is new"},
    {REPLY_INJECTED_WITH, "hour and range of the night, and tank, donor and substance said back"},
    {REPLY_INJECTED_WITH_NEW, "the same, and that she is new"},
    {REPLY_INJECTED_BOTH_WITH, "the same of several"},
    {REPLY_STRIPPED, "everything that must be done with the eggs in hand"},
    {REPLY_DUE_LOOK, "the whole recipe must be in the phone before the eggs are"},
    {REPLY_DUE_LOOK_NEXT, "the recipe again: each text stands alone"},
    {REPLY_OWNER_LOOK, "what happened, how bad, whom to call and what to text"},
    {REPLY_FIXED_EGGS, "the same, and what it was"},
    {REPLY_STRIPPED_LOOSE, "the same on roots or a net"},
    {REPLY_DUE_LOOK_BLIND, "the recipe, for whoever looks without a sure hour"},
    {REPLY_DUE_LOOK_BOTH, "the recipe, and whom to look at"},
    {REPLY_INJECTED_BOTH, "who, the hour and the range of the whole night"},
    {REPLY_DEAD_POND_RISING, "three counts and the whole first aid"},
    {REPLY_OWNER_DEAD, "how many, when, whose phone, first aid and whom to call"},
    {REPLY_DUE_DRYFOOD, "the day's step, and the siphoning and the water of every day"},
    {REPLY_DUE_DRYFOOD_ALL, "the same"},
    {REPLY_DUE_BIG, "the same"},
    {REPLY_DUE_BIG_ALL, "the same"},
    {REPLY_DUE_NURSERY, "the same, and how many there are"},
    {REPLY_DUE_NURSERY_BOOK, "the same"},
    {REPLY_DUE_NURSERY_COUNTED, "the same"},
    {REPLY_DUE_NURSERY_LATE, "the day's step, siphoning and water, and both ways out"},
    {REPLY_READY, "a list of females and of males: as many as fit one part"},
    {REPLY_READY_NO_MALES, "the same without males"},
    {REPLY_SAMPLED,
     "the mean, its error, what was expected, fish and weight in the pond, the next day"},
    {REPLY_SAMPLED_FIRST, "the same without what was expected"},
    {REPLY_SAMPLED_BEHIND, "how far behind, where to look, and the next day"},
    {REPLY_SAMPLED_SLOW, "the same, held against the slowest ponds known"},
    {REPLY_MOVED_GROWN, "both ponds, what went and what stays, each with its range"},
    {REPLY_MOVED_GROWN_ALL, "the same, and that one is closed"},
    {REPLY_MERGED, "the same"},
    {REPLY_MERGED_NO_WEIGHT, "the same, and how to weigh them"},
    {REPLY_HARVESTED_BIG, "what went out and what stays, both in fish and weight"},
    {REPLY_GROWTH_NOW, "weight now and then, both with ranges, the feed, and whose numbers"},
};

static void english_leaves_room(void **state) {
    (void)state;
    enum { AIM = 125 };
    int failed = 0;
    for (int id = 0; id < REPLY_COUNT; id++) {
        if (reply_form((enum reply_id)id)->parts > 1)
            continue;
        bool excepted = false;
        for (size_t i = 0; i < sizeof long_in_english / sizeof *long_in_english; i++)
            excepted |= long_in_english[i].id == (enum reply_id)id;
        int units = measured(grammar.en, (enum reply_id)id, &failed);
        if ((units > AIM) != excepted) {
            print_error("reply.%s: %d septets at its longest, %s\n",
                        reply_form((enum reply_id)id)->name, units,
                        excepted ? "is no exception any more" : "more than 125");
            failed++;
        }
    }
    assert_int_equal(failed, 0);
}

/* Answers about larvae with the question for the frames behind them: still one part. */
static void with_the_frames(void **state) {
    (void)state;
    static const enum reply_id ids[] = {REPLY_FED,         REPLY_GRADED_LARVAE,
                                        REPLY_DEAD_LARVAE, REPLY_COUNTED_LARVAE,
                                        REPLY_SOLD_LARVAE, REPLY_HATCHED_NO_HOUR};
    enum { ONE_PART = 160, BETWEEN = 2 };
    int failed = 0;
    for (int language = 0; language < words_count(grammar.words); language++)
        for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
            int units = measured(language, ids[i], &failed) + BETWEEN +
                        measured(language, REPLY_FRAMES_TOO, &failed);
            if (units <= ONE_PART)
                continue;
            print_error("%s reply.%s and the frames: %d units\n",
                        words_code(grammar.words, language), reply_form(ids[i])->name, units);
            failed++;
        }
    assert_int_equal(failed, 0);
}

/* What HELP with a word answers goes through one placeholder: one part each. */
static void every_help_fits_one_part(void **state) {
    (void)state;
    int failed = 0;
    for (int language = 0; language < words_count(grammar.words); language++)
        for (int kind = 1; kind <= words_kind_count(grammar.words); kind++) {
            char context[64];
            (void)snprintf(context, sizeof context, "help.%s",
                           words_kind_name(grammar.words, kind));
            struct slice text = words_get(grammar.words, language, context);
            struct arena arena = arena_make(1024 * 1024);
            struct sms_size size = {SMS_GSM7, 0, 0};
            enum err e = sms_measure(text, &arena, &size);
            arena_free(&arena);
            if (!e && size.alphabet == SMS_GSM7 && size.parts == 1)
                continue;
            print_error("%s %s: %d units in %d parts: %.*s\n", words_code(grammar.words, language),
                        context, size.units, size.parts, SLICE_ARG(text));
            failed++;
        }
    assert_int_equal(failed, 0);
}

static void catalogues_are_sound(void **state) {
    (void)state;
    reply_check(grammar.words, &grammar.faults);
    if (grammar.faults.count)
        print_error("%s", buf_str(&grammar.faults.text));
    assert_int_equal(grammar.faults.count, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(catalogues_are_sound),     cmocka_unit_test(every_reply_fits),
        cmocka_unit_test(english_leaves_room),      cmocka_unit_test(with_the_frames),
        cmocka_unit_test(every_help_fits_one_part),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
