/* number: see number.h. In: a token that the scanner called a number. Out: millionths, since a
 * weight in kilograms may carry six digits and still be whole milligrams; further digits are cut.
 * No errors. The rule for points and commas follows how locales write 1234567.891 (Unicode CLDR 48:
 * English and Kiswahili of Kenya and Tanzania group by comma, French, Portuguese and Kiswahili of
 * Congo use the comma as the decimal sign), so 1,500 alone says nothing. */
#include "text/number.h"

enum { DIGITS_BEFORE_MAX = 9, DIGITS_BEHIND_MAX = 6, SIGNS_MAX = 3 };

static bool digit(char c) {
    return c >= '0' && c <= '9';
}

static bool sign(char c) {
    return c == '.' || c == ',';
}

/* The value of the digits in s, signs passed over; -1 when there are too many. */
static int64_t whole(struct slice s) {
    int64_t v = 0;
    int digits = 0;
    for (size_t i = 0; i < s.n; i++) {
        if (!digit(s.p[i]))
            continue;
        v = v * 10 + (s.p[i] - '0');
        if (v > 0 && ++digits > DIGITS_BEFORE_MAX)
            return -1;
    }
    return v;
}

static int64_t behind_micro(struct slice s) {
    int64_t v = 0;
    for (size_t i = 0; i < DIGITS_BEHIND_MAX; i++)
        v = v * 10 + (i < s.n ? s.p[i] - '0' : 0);
    return v;
}

bool text_number_grouped(struct slice s, char sign) {
    size_t run = 0;
    bool seen = false;
    for (size_t i = 0; i < s.n; i++) {
        if (digit(s.p[i])) {
            run++;
            continue;
        }
        if (s.p[i] != sign || run == 0 || run > 3 || (seen && run != 3))
            return false;
        seen = true;
        run = 0;
    }
    return !seen || run == 3;
}

/* Where the signs stand; their number, or -1 when something else than digits and signs is there. */
static int signs_find(struct slice s, size_t at[SIGNS_MAX]) {
    int count = 0;
    for (size_t i = 0; i < s.n; i++) {
        if (digit(s.p[i]))
            continue;
        if (!sign(s.p[i]) || count == SIGNS_MAX)
            return -1;
        at[count++] = i;
    }
    return count;
}

/* Digits without a minus. `last` is where the last sign stands, of `count`. */
static bool number_read(struct slice s, int count, size_t last, struct text_number *out) {
    struct slice before = slice_head(s, last), behind = slice_from(s, last + 1);
    int64_t v;
    if (count == 0 || (count > 1 && text_number_grouped(s, s.p[last]))) {
        v = whole(s);
        out->micro = v * 1000000;
        return v >= 0 && s.n > 0;
    }
    if (count > 1 && (slice_has(before, s.p[last]) ||
                      !text_number_grouped(before, s.p[last] == '.' ? ',' : '.')))
        return false;
    v = whole(before);
    if (v < 0 || before.n == 0 || behind.n == 0)
        return false;
    out->micro = v * 1000000 + behind_micro(behind);
    if (count == 1 && behind.n == 3 && before.n <= 3 && s.p[0] != '0') {
        out->two_ways = true;
        out->group = whole(s) * 1000000;
    }
    return true;
}

bool text_number_read(struct slice text, struct text_number *out) {
    bool minus = text.n > 0 && text.p[0] == '-';
    struct slice s = minus ? slice_from(text, 1) : text;
    size_t at[SIGNS_MAX] = {0};
    int count = signs_find(s, at);
    *out = (struct text_number){.text = text};
    if (count < 0 || !number_read(s, count, count > 0 ? at[count - 1] : s.n, out))
        return false;
    if (minus) {
        out->micro = -out->micro;
        out->group = -out->group;
    }
    return true;
}

bool text_number_clock(struct slice text, int *hour, int *minute) {
    size_t n = text.n;
    if (n < 4 || n > 5 || !sign(text.p[n - 3]))
        return false;
    for (size_t i = 0; i < n; i++) {
        if (i != n - 3 && !digit(text.p[i]))
            return false;
    }
    *hour = (int)whole(slice_head(text, n - 3));
    *minute = (int)whole(slice_from(text, n - 2));
    return *minute < 60 && *hour < 24;
}

bool text_number_settle(struct text_number *number, int64_t least_micro, int64_t most_micro) {
    if (!number->two_ways)
        return true;
    bool one = number->micro >= least_micro && number->micro <= most_micro;
    bool other = number->group >= least_micro && number->group <= most_micro;
    if (one == other)
        return false;
    if (other)
        number->micro = number->group;
    number->two_ways = false;
    return true;
}

int64_t text_number_milli(int64_t micro) {
    return (micro + (micro < 0 ? -500 : 500)) / 1000;
}
