/* base_help: what the tests of base share: cmocka with what it needs before it, errors and texts
 * compared by name so that a failure says what was got and wanted, and a seeded generator. */
#ifndef BASE_HELP_H
#define BASE_HELP_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/err.h"
#include "base/slice.h"

#define COUNT_OF(array)   (sizeof(array) / sizeof(array)[0])
#define WANT(error, call) assert_string_equal(err_info(call)->name, err_info(error)->name)
#define OK(call)          WANT(ERR_OK, call)
#define TEXT(got, want)                                                                            \
    do {                                                                                           \
        struct slice got_text = (got);                                                             \
        char got_bytes[600];                                                                       \
        (void)snprintf(got_bytes, sizeof got_bytes, "%.*s", (int)got_text.n,                       \
                       got_text.n ? got_text.p : "");                                              \
        assert_string_equal(got_bytes, want);                                                      \
    } while (0)

/* xorshift64*, Vigna 2016. A number from 0 to below - 1. */
static inline uint64_t draw(uint64_t *seed, uint64_t below) {
    *seed ^= *seed >> 12;
    *seed ^= *seed << 25;
    *seed ^= *seed >> 27;
    return (*seed * 0x2545f4914f6cdd1du >> 11) % below;
}

#endif
