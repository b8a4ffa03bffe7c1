/* bytes: see bytes.h. In: octets; out: octets. Only wire_start can fail, and then the program must
 * not go on. Limits: none of its own. */
#include "wire/bytes.h"

#include <jansson.h>
#include <sodium.h>

enum err wire_start(void) {
    if (sodium_init() < 0)
        return ERR_IO;
    size_t seed = 0;
    /* The JSON library hashes names with this seed: nobody outside may know it. 0 means "choose",
     * from the time where nothing better is found. */
    while (seed == 0)
        randombytes_buf(&seed, sizeof seed);
    json_object_seed(seed);
    return ERR_OK;
}

void wire_random(void *out, size_t n) {
    randombytes_buf(out, n);
}

void wire_hex(const void *bytes, size_t n, char *out) {
    (void)sodium_bin2hex(out, 2 * n + 1, bytes, n);
}

void wire_hmac_sha256(struct slice key, struct slice data, unsigned char out[WIRE_HASH_BYTES]) {
    _Static_assert(WIRE_HASH_BYTES == crypto_auth_hmacsha256_BYTES, "one length");
    /* The one-shot call takes keys of 32 bytes only. */
    crypto_auth_hmacsha256_state state;
    crypto_auth_hmacsha256_init(&state, (const unsigned char *)key.p, key.n);
    crypto_auth_hmacsha256_update(&state, (const unsigned char *)data.p, data.n);
    crypto_auth_hmacsha256_final(&state, out);
    sodium_memzero(&state, sizeof state);
}

void wire_sha256(struct slice data, unsigned char out[WIRE_HASH_BYTES]) {
    _Static_assert(WIRE_HASH_BYTES == crypto_hash_sha256_BYTES, "one length");
    crypto_hash_sha256(out, (const unsigned char *)data.p, data.n);
}

void wire_sha256_parts(const struct slice *parts, int count, unsigned char out[WIRE_HASH_BYTES]) {
    crypto_hash_sha256_state state;
    crypto_hash_sha256_init(&state);
    for (int i = 0; i < count; i++) {
        unsigned char length[8];
        uint64_t n = parts[i].n;
        for (int k = 0; k < 8; k++)
            length[k] = (unsigned char)(n >> (56 - 8 * k));
        crypto_hash_sha256_update(&state, length, sizeof length);
        crypto_hash_sha256_update(&state, (const unsigned char *)parts[i].p, parts[i].n);
    }
    crypto_hash_sha256_final(&state, out);
}

bool wire_same_secret(struct slice a, struct slice b) {
    return a.n == b.n && (a.n == 0 || sodium_memcmp(a.p, b.p, a.n) == 0);
}
