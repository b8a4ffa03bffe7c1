/* Numbers that stand in the wording of the catalogues are those of the book: whoever changes the
 * one without the other is told here. Each language writes its words around them, so the number
 * with its unit is looked for, not the sentence. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "support/grammar.h"
#include "trade/book.h"

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

static const struct {
    const char *reply, *form; /* %g are the two values */
    enum book_id first, second;
    double unit; /* the text's unit in units of the book */
} cases[] = {
    {"reply.why-eggs", " %g ", BOOK_EGGS_PER_G, BOOK_EGGS_PER_G, 1},
    {"reply.why-eggs", "%g", BOOK_LIFT_LAST, BOOK_LIFT_LAST, 1},
    {"reply.why-eggs-changed", " %g ", BOOK_EGGS_PER_G, BOOK_EGGS_PER_G, 1},
    {"reply.why-eggs-changed", "%g", BOOK_LIFT_LAST, BOOK_LIFT_LAST, 1},
    {"reply.ask-female-weight", "%g-%gkg", BOOK_FEMALE_LEAST_G, BOOK_FEMALE_MOST_G, 1000},
    {"reply.planned-outside", "%g-%gC", BOOK_WATER_COLDEST, BOOK_WATER_WARMEST, 1},
    {"reply.water-tank-back", "%g-%gC", BOOK_WATER_COLDEST, BOOK_WATER_WARMEST, 1},
    {"reply.hour-lost", "%g-%gC", BOOK_WATER_COLDEST, BOOK_WATER_WARMEST, 1},
    {"reply.injected-cold", "%gC", BOOK_WATER_COLDEST, BOOK_WATER_COLDEST, 1},
    {"reply.injected-warm", "%gC", BOOK_WATER_WARMEST, BOOK_WATER_WARMEST, 1},
    {"reply.water-cold", "%gC", BOOK_WATER_COLDEST, BOOK_WATER_COLDEST, 1},
    {"reply.water-warm", "%gC", BOOK_WATER_WARMEST, BOOK_WATER_WARMEST, 1},
    {"reply.water-tank", " %g", BOOK_LOOK_EVERY_MIN, BOOK_LOOK_EVERY_MIN, 1},
    {"reply.why-feed", "%gkg", BOOK_FEED_LIMIT_KG_ARE, BOOK_FEED_LIMIT_KG_ARE, 1},
    {"reply.why-feed-nursery", "%gkg", BOOK_NURSERY_FEED_KG_ARE, BOOK_NURSERY_FEED_KG_ARE, 1},
    {"reply.why-feed", " %g", BOOK_FEED_CLEAN_DAYS, BOOK_FEED_CLEAN_DAYS, 1},
    {"reply.left", " %g", BOOK_FEED_CLEAN_DAYS, BOOK_FEED_CLEAN_DAYS, 1},
    {"reply.left-line", " %g", BOOK_FEED_CLEAN_DAYS, BOOK_FEED_CLEAN_DAYS, 1},
    {"reply.due-white", " %g", BOOK_WHITE_COUNT, BOOK_WHITE_COUNT, 1},
    {"reply.ask-white", " %g", BOOK_WHITE_COUNT, BOOK_WHITE_COUNT, 1},
};

static void wording_and_book_agree(void **state) {
    (void)state;
    int failed = 0;
    for (int language = 0; language < words_count(grammar.words); language++)
        for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
            struct slice text = words_get(grammar.words, language, cases[i].reply);
            char wanted[64], all[1300];
            double a = book_number(cases[i].first) / cases[i].unit;
            double b = book_number(cases[i].second) / cases[i].unit;
            if (strstr(cases[i].form, "-%g"))
                (void)snprintf(wanted, sizeof wanted, "%g-%g%s", a, b,
                               strstr(cases[i].form, "-%g") + 3);
            else
                (void)snprintf(wanted, sizeof wanted, "%s%g%s", cases[i].form[0] == ' ' ? " " : "",
                               a, strstr(cases[i].form, "%g") + 2);
            (void)snprintf(all, sizeof all, "%.*s ", SLICE_ARG(text));
            if (strstr(all, wanted))
                continue;
            print_error("%s %s: \"%s\" is not in: %s\n", words_code(grammar.words, language),
                        cases[i].reply, wanted, all);
            failed++;
        }
    assert_int_equal(failed, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(wording_and_book_agree)};
    return cmocka_run_group_tests(tests, load, unload);
}
