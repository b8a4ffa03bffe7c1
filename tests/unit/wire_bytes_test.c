/* HMAC and hash of the wire room against published vectors; hexadecimal; comparing secrets. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "wire/bytes.h"

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static void hex_is(const unsigned char hash[WIRE_HASH_BYTES], const char *wanted) {
    char got[2 * WIRE_HASH_BYTES + 1];
    wire_hex(hash, WIRE_HASH_BYTES, got);
    assert_string_equal(got, wanted);
}

/* RFC 4231, section 4: all cases but 5, which cuts the result to 128 bits (compared so below). */
static void hmac_follows_rfc_4231(void **state) {
    (void)state;
    char x0b[20], xaa[131], xdd[50], xcd[50], counted[25], x0c[20];
    memset(x0b, 0x0b, sizeof x0b);
    memset(xaa, 0xaa, sizeof xaa);
    memset(xdd, 0xdd, sizeof xdd);
    memset(xcd, 0xcd, sizeof xcd);
    memset(x0c, 0x0c, sizeof x0c);
    for (int i = 0; i < 25; i++)
        counted[i] = (char)(i + 1);
    const struct {
        struct slice key, data;
        const char *wanted;
    } cases[] = {
        {{x0b, 20},
         SLICE("Hi There"),
         "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7"},
        {SLICE("Jefe"), SLICE("what do ya want for nothing?"),
         "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"},
        {{xaa, 20}, {xdd, 50}, "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"},
        {{counted, 25},
         {xcd, 50},
         "82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b"},
        {{xaa, 131},
         SLICE("Test Using Larger Than Block-Size Key - Hash Key First"),
         "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54"},
        {{xaa, 131},
         SLICE("This is a test using a larger than block-size key and a larger than block-size "
               "data. The key needs to be hashed before being used by the HMAC algorithm."),
         "9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2"},
    };
    unsigned char hash[WIRE_HASH_BYTES];
    for (size_t i = 0; i < COUNT(cases); i++) {
        wire_hmac_sha256(cases[i].key, cases[i].data, hash);
        hex_is(hash, cases[i].wanted);
    }
    wire_hmac_sha256((struct slice){x0c, 20}, SLICE("Test With Truncation"), hash);
    char got[33];
    wire_hex(hash, 16, got);
    assert_string_equal(got, "a3b6167473100ee06e0c796c2955552b");
}

/* FIPS 180-4's examples: "abc", the empty text, and the two-block text. */
static void sha256_follows_fips_180_4(void **state) {
    (void)state;
    unsigned char hash[WIRE_HASH_BYTES];
    wire_sha256(SLICE("abc"), hash);
    hex_is(hash, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    wire_sha256(SLICE(""), hash);
    hex_is(hash, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    wire_sha256(SLICE("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"), hash);
    hex_is(hash, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

/* The parts are led by their lengths: the same octets joined by hand give the same hash. */
static void parts_are_led_by_their_lengths(void **state) {
    (void)state;
    const struct slice one[] = {SLICE("ab"), SLICE("c")}, other[] = {SLICE("a"), SLICE("bc")};
    unsigned char first[WIRE_HASH_BYTES], second[WIRE_HASH_BYTES], joined[WIRE_HASH_BYTES];
    wire_sha256_parts(one, 2, first);
    wire_sha256_parts(other, 2, second);
    assert_memory_not_equal(first, second, WIRE_HASH_BYTES);
    wire_sha256(SLICE("\0\0\0\0\0\0\0\002ab\0\0\0\0\0\0\0\001c"), joined);
    assert_memory_equal(first, joined, WIRE_HASH_BYTES);
}

static void secrets_are_compared_whole(void **state) {
    (void)state;
    assert_true(wire_same_secret(SLICE("door"), SLICE("door")));
    assert_true(wire_same_secret(SLICE(""), SLICE("")));
    assert_false(wire_same_secret(SLICE("door"), SLICE("doos")));
    assert_false(wire_same_secret(SLICE("door"), SLICE("doo")));
    assert_false(wire_same_secret(SLICE(""), SLICE("d")));
}

/* Not a test of randomness: only that it fills all of what it is given, and anew each time. */
static void random_fills_and_differs(void **state) {
    (void)state;
    unsigned char seen[64] = {0}, a[64], b[64];
    for (int round = 0; round < 64; round++) {
        wire_random(a, sizeof a);
        for (size_t i = 0; i < sizeof a; i++)
            seen[i] |= a[i];
    }
    for (size_t i = 0; i < sizeof seen; i++)
        assert_int_not_equal(seen[i], 0);
    wire_random(b, sizeof b);
    assert_memory_not_equal(a, b, sizeof a);
}

static int start(void **state) {
    (void)state;
    return wire_start() == ERR_OK ? 0 : -1;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hmac_follows_rfc_4231),
        cmocka_unit_test(sha256_follows_fips_180_4),
        cmocka_unit_test(parts_are_led_by_their_lengths),
        cmocka_unit_test(secrets_are_compared_whole),
        cmocka_unit_test(random_fills_and_differs),
    };
    return cmocka_run_group_tests(tests, start, NULL);
}
