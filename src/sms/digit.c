/* digit: which characters are decimal digits, and of what value. In: a code point; out: 0..9 or -1.
 * Cannot fail. The zeros are those of the Unicode Character Database 15.0 (general category Nd;
 * every such digit stands in a run of ten that begins with its zero). */
#include "sms/digit.h"

static const uint32_t zeros[] = {
    0x0030,  0x0660,  0x06f0,  0x07c0,  0x0966,  0x09e6,  0x0a66,  0x0ae6,  0x0b66,  0x0be6,
    0x0c66,  0x0ce6,  0x0d66,  0x0de6,  0x0e50,  0x0ed0,  0x0f20,  0x1040,  0x1090,  0x17e0,
    0x1810,  0x1946,  0x19d0,  0x1a80,  0x1a90,  0x1b50,  0x1bb0,  0x1c40,  0x1c50,  0xa620,
    0xa8d0,  0xa900,  0xa9d0,  0xa9f0,  0xaa50,  0xabf0,  0xff10,  0x104a0, 0x10d30, 0x11066,
    0x110f0, 0x11136, 0x111d0, 0x112f0, 0x11450, 0x114d0, 0x11650, 0x116c0, 0x11730, 0x118e0,
    0x11950, 0x11c50, 0x11d50, 0x11da0, 0x11f50, 0x16a60, 0x16ac0, 0x16b50, 0x1d7ce, 0x1d7d8,
    0x1d7e2, 0x1d7ec, 0x1d7f6, 0x1e140, 0x1e2f0, 0x1e4f0, 0x1e950, 0x1fbf0};

int sms_digit(uint32_t c) {
    if (c < 0x0660) /* most of what is asked */
        return c >= '0' && c <= '9' ? (int)(c - '0') : -1;
    unsigned low = 0, high = sizeof zeros / sizeof zeros[0];
    while (high - low > 1) {
        unsigned middle = (low + high) / 2;
        if (zeros[middle] <= c)
            low = middle;
        else
            high = middle;
    }
    uint32_t value = c - zeros[low];
    return value < 10 ? (int)value : -1;
}
