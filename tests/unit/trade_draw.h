/* Seeded numbers and plain messages for the tests of the trade's calculations. The including file
 * has cmocka before it. */
#ifndef TRADE_DRAW_H
#define TRADE_DRAW_H

#include <stdint.h>

/* splitmix64 (Steele, Lea and Flood 2014). */
static inline uint64_t draw_bits(uint64_t *seed) {
    uint64_t z = *seed += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ z >> 30) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ z >> 27) * UINT64_C(0x94d049bb133111eb);
    return z ^ z >> 31;
}

/* 1..most, small numbers as often as large ones: a length of bits first, then the bits. */
static inline int64_t draw_up_to(uint64_t *seed, int64_t most) {
    uint64_t bits = draw_bits(seed) >> (draw_bits(seed) % 63 + 1);
    return (int64_t)(bits % (uint64_t)most) + 1;
}

static inline void wants(const char *what, int64_t of, int64_t got, int64_t wanted) {
    if (got != wanted)
        fail_msg("%s, %lld: got %lld, wanted %lld", what, (long long)of, (long long)got,
                 (long long)wanted);
}

static inline void wants_no_less(const char *what, int64_t of, int64_t got, int64_t least) {
    if (got < least)
        fail_msg("%s, %lld: got %lld, wanted %lld or more", what, (long long)of, (long long)got,
                 (long long)least);
}

/* Half of one either way, and the last digits of a double beyond 2^50. */
static inline void wants_nearest(const char *what, int64_t of, int64_t got, long double exact) {
    long double off = (long double)got - exact, room = 0.5L + 1e-6L + exact * 4e-16L;
    if (off > room || -off > room)
        fail_msg("%s, %lld: got %lld, wanted the nearest to %.4Lf", what, (long long)of,
                 (long long)got, exact);
}

#endif
