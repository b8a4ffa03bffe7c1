/* Numbers with points and commas: one reading, two, or none. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "text/number.h"

/* Forms of 1234567.891 and its like in locales (Unicode CLDR 48: en, sw, ha; fr, pt; pt-BR). */
static void points_and_commas(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool read, two_ways;
        int64_t micro, group;
    } table[] = {
        {"1,234,567.891", true, false, 1234567891000, 0},
        {"1.234.567,891", true, false, 1234567891000, 0},
        {"1234567,891", true, false, 1234567891000, 0},
        {"1,500", true, true, 1500000, 1500000000},
        {"1.500", true, true, 1500000, 1500000000},
        {"150,500", true, true, 150500000, 150500000000},
        {"0,500", true, false, 500000, 0},
        {"1500,250", true, false, 1500250000, 0}, /* four digits before: no group */
        {"1,50", true, false, 1500000, 0},
        {"1,5000", true, false, 1500000, 0},
        {"24", true, false, 24000000, 0},
        {"007", true, false, 7000000, 0},
        {"-2.5", true, false, -2500000, 0},
        {"-1,500", true, true, -1500000, -1500000000},
        {"0.0000019", true, false, 1, 0}, /* cut behind the sixth */
        {"999999999", true, false, 999999999000000, 0},
        {"1000000000", false, false, 0, 0},
        {"1.2.3", false, false, 0, 0},
        {"1,2,3", false, false, 0, 0},
        {"1,23,456", false, false, 0, 0},
        {"1,234.5.6", false, false, 0, 0},
        {"1,234,56.7", false, false, 0, 0},
        {"", false, false, 0, 0},
        {".5", false, false, 0, 0},
        {"5.", false, false, 0, 0},
        {"-", false, false, 0, 0},
        {"1e3", false, false, 0, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct text_number n;
        bool read = text_number_read(slice_of(table[i].text), &n);
        if (read != table[i].read ||
            (read && (n.two_ways != table[i].two_ways || n.micro != table[i].micro ||
                      n.group != table[i].group)))
            fail_msg("\"%s\": got read %d, two ways %d, %lld or %lld", table[i].text, read,
                     n.two_ways, (long long)n.micro, (long long)n.group);
    }
}

static void what_is_plausible_settles(void **state) {
    (void)state;
    static const struct {
        const char *text;
        int64_t least, most; /* whole units */
        bool settled;
        int64_t micro;
    } table[] = {
        {"24,500", 10, 45, true, 24500000},
        {"1,500", 50, 60000, true, 1500000000},
        {"1,500", 1, 12000, false, 0},
        {"1,500", 10, 45, false, 0},
        {"24", 1, 2, true, 24000000},
        {"1,500", 2, 1499, false, 0},
        {"1,500", 1500, 1500, true, 1500000000},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct text_number n;
        assert_true(text_number_read(slice_of(table[i].text), &n));
        bool settled = text_number_settle(&n, table[i].least * 1000000, table[i].most * 1000000);
        if (settled != table[i].settled || (settled && (n.micro != table[i].micro || n.two_ways)))
            fail_msg("\"%s\": got settled %d, %lld", table[i].text, settled, (long long)n.micro);
    }
}

static void thousandths_are_the_nearest(void **state) {
    (void)state;
    assert_int_equal(text_number_milli(1500), 2);
    assert_int_equal(text_number_milli(1499), 1);
    assert_int_equal(text_number_milli(-1500), -2);
    assert_int_equal(text_number_milli(-1499), -1);
    assert_int_equal(text_number_milli(0), 0);
}

static void points_as_clocks(void **state) {
    (void)state;
    static const struct {
        const char *text;
        int hour, minute; /* -1: none */
    } table[] = {
        {"6.30", 6, 30},  {"18,30", 18, 30}, {"0.05", 0, 5},    {"24.00", -1, 0},
        {"6.60", -1, 0},  {"6.3", -1, 0},    {"6.300", -1, 0},  {"630", -1, 0},
        {"-6.30", -1, 0}, {"106.30", -1, 0}, {"1.2.30", -1, 0},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        int hour = -1, minute = -1;
        bool read = text_number_clock(slice_of(table[i].text), &hour, &minute);
        if (read != (table[i].hour >= 0) ||
            (read && (hour != table[i].hour || minute != table[i].minute)))
            fail_msg("\"%s\": got %d, %d:%d", table[i].text, read, hour, minute);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_and_commas),
        cmocka_unit_test(what_is_plausible_settles),
        cmocka_unit_test(thousandths_are_the_nearest),
        cmocka_unit_test(points_as_clocks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
