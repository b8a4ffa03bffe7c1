/* When a failed send is tried again: a table of corners worked out by hand, and laws over seeded
 * random cases, the evenness of the jitter among them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "link/retry.h"

#define ALWAYS INT64_MAX

static void corners(void **state) {
    static const struct {
        const char *about;
        int64_t now_s, tries, useful_s, after_s;
        uint64_t random;
        int64_t wanted;
    } cases[] = {
        {"first, least", 1000, 0, ALWAYS, -1, 0, 1000},
        {"first, most: 4 s", 1000, 0, ALWAYS, -1, 4, 1004},
        {"first, round again", 1000, 0, ALWAYS, -1, 5, 1000},
        {"second, most: 8 s", 1000, 1, ALWAYS, -1, 8, 1008},
        {"third, most: 16 s", 1000, 2, ALWAYS, -1, 16, 1016},
        {"eighth: 512 s", 1000, 7, ALWAYS, -1, 512, 1512},
        {"ninth: the cap, not 1024 s", 1000, 8, ALWAYS, -1, 900, 1900},
        {"ninth, round again at the cap", 1000, 8, ALWAYS, -1, 901, 1000},
        {"the millionth", 1000, 1000000, ALWAYS, -1, 900, 1900},
        {"tries below zero are none", 1000, -3, ALWAYS, -1, 4, 1004},
        {"asked for 30 s", 1000, 0, ALWAYS, 30, 4, 1030},
        {"asked for 3 s, jitter is longer", 1000, 0, ALWAYS, 3, 4, 1004},
        {"asked for 0 s", 1000, 0, ALWAYS, 0, 2, 1002},
        {"asked for a day: an hour", 1000, 0, ALWAYS, 86400, 0, 4600},
        {"asked for more than fits: an hour", 1000, 0, ALWAYS, INT64_MAX, 0, 4600},
        {"just in time", 1000, 0, 1004, -1, 4, 1004},
        {"the range ends with its use", 1000, 0, 1003, -1, 3, 1003},
        {"asked past its use", 1000, 0, 1029, 30, 0, -1},
        {"useful now only", 1000, 0, 1000, -1, 0, 1000},
        {"useless already", 1000, 0, 999, -1, 0, -1},
        {"useless since ever", 1000, 0, INT64_MIN, -1, 0, -1},
        {"a clock at its end", INT64_MAX, 9, ALWAYS, -1, 900, INT64_MAX},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        int64_t got = link_retry_at(cases[i].now_s, cases[i].tries, cases[i].useful_s,
                                    cases[i].after_s, cases[i].random);
        if (got != cases[i].wanted)
            fail_msg("%s: got %lld, wanted %lld", cases[i].about, (long long)got,
                     (long long)cases[i].wanted);
    }
}

static uint64_t next_random(uint64_t *x) {
    *x ^= *x << 13;
    *x ^= *x >> 7;
    *x ^= *x << 17;
    return *x;
}

static void laws(void **state) {
    uint64_t x = 7700900123;
    (void)state;
    for (int i = 0; i < 200000; i++) {
        int64_t now_s = (int64_t)(next_random(&x) % 4000000000u);
        int64_t tries = (int64_t)(next_random(&x) % 40);
        int64_t useful_s = now_s - 10 + (int64_t)(next_random(&x) % 5000);
        int64_t after_s = (int64_t)(next_random(&x) % 8000) - 1000;
        uint64_t random = next_random(&x);
        int64_t asked_s = after_s < 0 ? 0 : after_s > 3600 ? 3600 : after_s;
        int64_t got = link_retry_at(now_s, tries, useful_s, after_s, random);
        int64_t free = link_retry_at(now_s, tries, INT64_MAX, after_s, random);
        if (got != -1 && (got > useful_s || got < now_s + asked_s || got > free + asked_s + 900))
            fail_msg("case %d: now %lld useful %lld asked %lld: got %lld, without end %lld", i,
                     (long long)now_s, (long long)useful_s, (long long)after_s, (long long)got,
                     (long long)free);
        bool possible = now_s <= useful_s && asked_s <= useful_s - now_s;
        if ((got != -1) != possible) /* as long as one more try can be of use, there is one */
            fail_msg("case %d: got %lld with %lld s left, asked %lld", i, (long long)got,
                     (long long)(useful_s - now_s), (long long)asked_s);
        if (free < now_s || free > now_s + (asked_s > 900 ? asked_s : 900))
            fail_msg("case %d: waits %lld s", i, (long long)(free - now_s));
        if (asked_s == 0 && tries < 7 && free - now_s > (int64_t)4 << tries)
            fail_msg("case %d: after %lld tries waits %lld s", i, (long long)tries,
                     (long long)(free - now_s));
    }
}

/* Full jitter: after 3 tries each second from 0 to 32 is as likely as any other. 33 classes with
 * 3000 expected each; chi-square with 32 degrees of freedom passes 62.5 once in a thousand (NIST
 * e-Handbook of Statistical Methods, 1.3.6.7.4, table of critical values, from memory). The seed is
 * fixed, so this holds or fails for good. */
static void jitter_is_even(void **state) {
    enum { CLASSES = 33, EACH = 3000 };
    int64_t seen[CLASSES] = {0};
    uint64_t x = 20260301;
    double chi = 0;
    (void)state;
    for (int i = 0; i < CLASSES * EACH; i++) {
        int64_t wait_s = link_retry_at(0, 3, INT64_MAX, -1, next_random(&x));
        assert_in_range(wait_s, 0, CLASSES - 1);
        seen[wait_s]++;
    }
    for (int i = 0; i < CLASSES; i++)
        chi += (double)((seen[i] - EACH) * (seen[i] - EACH)) / EACH;
    if (chi > 62.5)
        fail_msg("chi-square %f over 32 degrees of freedom, wanted at most 62.5", chi);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(corners),
        cmocka_unit_test(laws),
        cmocka_unit_test(jitter_is_even),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
