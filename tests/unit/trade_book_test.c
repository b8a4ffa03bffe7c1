/* The book: that its tables have the form the arithmetic relies on, that every value says where it
 * comes from, and that the digest covers all of them. The values themselves are held against other
 * sources in tests/checks. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>
#include <cmocka.h>

#include "base/slice.h"
#include "trade/book.h"

static const struct book_table *const tables[] = {&book_latency, &book_hatching};

static void tables_go_by_whole_degrees(void **state) {
    (void)state;
    for (size_t t = 0; t < 2; t++) {
        const struct book_table *table = tables[t];
        assert_int_equal(table->count, 11);
        for (int i = 0; i < table->count; i++)
            if (table->rows[i][0] != 20 + i || !(table->rows[i][1] > 0))
                fail_msg("%s row %d: got %g degC %g h, wanted %d degC", table->name, i,
                         table->rows[i][0], table->rows[i][1], 20 + i);
        assert_true(*table->source);
        assert_string_equal(table->unit, "h");
    }
}

static void warmer_is_faster_and_steps_are_logarithms(void **state) {
    (void)state;
    for (size_t t = 0; t < 2; t++) {
        const struct book_table *table = tables[t];
        for (int i = 0; i + 1 < table->count; i++) {
            double wanted = log(table->rows[i + 1][1] / table->rows[i][1]), got = table->steps[i];
            if (!(fabs(got - wanted) < 1e-15))
                fail_msg("%s step %d: got %.17g, wanted %.17g", table->name, i, got, wanted);
            /* progress.c's series is good to 0.25; a step of 0 or more would be a slower row. */
            if (!(got < 0 && got > -0.25))
                fail_msg("%s step %d: got %g, wanted within -0.25..0", table->name, i, got);
        }
    }
}

static void every_value_has_its_source(void **state) {
    (void)state;
    for (int i = 0; i < BOOK_COUNT; i++) {
        const struct book_value *v = book((enum book_id)i);
        if (!v->name || !*v->name || !v->source || !*v->source || !v->unit)
            fail_msg("value %d has no name, unit or source", i);
        if (!(v->value > 0) || !isfinite(v->value))
            fail_msg("%s: got %g, wanted a number over 0", v->name, v->value);
        if (book_number((enum book_id)i) != v->value)
            fail_msg("%s: two numbers", v->name);
        if (!*book_mark_name(v->mark))
            fail_msg("%s: a mark without a name", v->name);
        for (int j = 0; j < i; j++)
            if (strcmp(book((enum book_id)j)->name, v->name) == 0)
                fail_msg("two values are called '%s'", v->name);
    }
}

static void outside_the_set_reads_as_nothing(void **state) {
    (void)state;
    assert_string_equal(book(BOOK_COUNT)->name, "");
    assert_true(book_number((enum book_id) - 1) == 0);
    assert_string_equal(book_mark_name((enum book_mark)5), "");
}

static void limits_agree_with_each_other(void **state) {
    (void)state;
    for (size_t t = 0; t < 2; t++) {
        const struct book_table *table = tables[t];
        assert_true(table->rows[0][0] == book_number(BOOK_WATER_COLDEST));
        assert_true(table->rows[table->count - 1][0] == book_number(BOOK_WATER_WARMEST));
    }
    assert_true(book_number(BOOK_READY_MOST) < book_number(BOOK_READY_END));
    assert_true(book_number(BOOK_LIFT_FIRST) < book_number(BOOK_LIFT_LAST));
    assert_true(book_number(BOOK_WHITE_FROM_H) < book_number(BOOK_WHITE_TO_H));
    assert_true(book_number(BOOK_EGGS_LOW_PER_KG) < book_number(BOOK_EGGS_MIDDLE_PER_KG));
    assert_true(book_number(BOOK_EGGS_MIDDLE_PER_KG) < book_number(BOOK_EGGS_HIGH_PER_KG));
    assert_true(book_number(BOOK_FEMALE_LEAST_G) < book_number(BOOK_FEMALE_MOST_G));
    /* White eggs are counted before any hatch, also in the warmest water. */
    assert_true(book_number(BOOK_WHITE_TO_H) < book_hatching.rows[10][1]);
}

static uint64_t put(double number, uint64_t seed) {
    unsigned char bytes[8];
    uint64_t bits;
    memcpy(&bits, &number, 8);
    for (int i = 0; i < 8; i++)
        bytes[i] = (unsigned char)(bits >> 8 * i);
    return slice_hash((struct slice){(const char *)bytes, 8}, seed);
}

/* The digest worked out again from what book() shows; leaving out any one value must change it. */
static uint64_t digest_without(int left_out) {
    uint64_t d = SLICE_HASH_SEED;
    for (int i = 0; i < BOOK_COUNT; i++) {
        if (i == left_out)
            continue;
        d = slice_hash(slice_of(book((enum book_id)i)->name), d);
        d = put(book_number((enum book_id)i), d);
    }
    for (size_t t = 0; t < 2; t++) {
        d = slice_hash(slice_of(tables[t]->name), d);
        for (int row = 0; row < tables[t]->count; row++)
            d = put(tables[t]->rows[row][1], put(tables[t]->rows[row][0], d));
    }
    const struct book_line *lines[] = {&book_ration, &book_ration_warm};
    for (size_t t = 0; t < 2; t++) {
        d = slice_hash(slice_of(lines[t]->name), d);
        for (int i = 0; i < lines[t]->count; i++)
            d = put(lines[t]->points[i][1], put(lines[t]->points[i][0], d));
    }
    const struct book_terms *terms[] = {&book_oxygen, &book_oxygen_vapour, &book_oxygen_theta};
    for (size_t t = 0; t < 3; t++) {
        d = slice_hash(slice_of(terms[t]->name), d);
        for (int i = 0; i < terms[t]->count; i++)
            d = put(terms[t]->terms[i], d);
    }
    d = slice_hash(slice_of(book_lime.name), d);
    for (int i = 0; i < book_lime.count; i++)
        for (int k = 0; k < 4; k++)
            d = put(book_lime.rows[i][k], d);
    return d;
}

static void digest_covers_every_value(void **state) {
    (void)state;
    assert_true(book_build() == digest_without(-1));
    for (int i = 0; i < BOOK_COUNT; i++)
        if (book_build() == digest_without(i))
            fail_msg("the digest does not see '%s'", book((enum book_id)i)->name);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tables_go_by_whole_degrees),
        cmocka_unit_test(warmer_is_faster_and_steps_are_logarithms),
        cmocka_unit_test(every_value_has_its_source),
        cmocka_unit_test(outside_the_set_reads_as_nothing),
        cmocka_unit_test(limits_agree_with_each_other),
        cmocka_unit_test(digest_covers_every_value),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
