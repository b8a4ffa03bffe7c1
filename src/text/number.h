/* number: digits with points and commas -> a number, or the two it could be. Pure. */
#ifndef TEXT_NUMBER_H
#define TEXT_NUMBER_H

#include "base/slice.h"

struct text_number {
    struct slice text;
    int64_t micro; /* millionths */
    bool two_ways; /* 1,500: `micro` is the decimal reading, one and a half ... */
    int64_t group; /* ... and this, also in millionths, fifteen hundred */
};

/* False: no number as people write one (1.2.3, or over 999 999 999). Both signs present: the last
 * is the decimal sign. One sign once: decimal, unless one to three digits, the first not zero,
 * stand before and exactly three behind. One sign more than once: groups of thousands. */
bool text_number_read(struct slice text, struct text_number *out);

/* 6.30 or 6,30 as an hour with minutes, where something beside it says that it is one. */
bool text_number_clock(struct slice text, int *hour, int *minute);

/* Settles a number with two readings by what is plausible, in millionths: false when both or
 * neither lie within. A number with one reading is left as it is. */
bool text_number_settle(struct text_number *number, int64_t least_micro, int64_t most_micro);

/* Digits between signs: each of them is `sign` and has three digits behind it, one to three before
 * the first: 1,234,567. Digits without a sign are, and so is nothing at all. */
bool text_number_grouped(struct slice s, char sign);

int64_t text_number_milli(int64_t micro); /* thousandths, the nearest, half away from zero */

#endif
