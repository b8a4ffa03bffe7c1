/* bytes: the room's start, randomness, hashes and comparing secrets: libsodium's small tools under
 * the program's own names. wire_random is the only source of random bytes in the program. */
#ifndef WIRE_BYTES_H
#define WIRE_BYTES_H

#include "base/slice.h"

enum { WIRE_HASH_BYTES = 32 };

/* Once, before anything else of this room: starts libsodium and seeds the JSON tables. ERR_IO: the
 * system gives no randomness. */
enum err wire_start(void) MUST_LOOK;

void wire_random(void *out, size_t n);

/* n bytes as 2 n small hexadecimal digits and a zero byte: out has room for 2 n + 1. */
void wire_hex(const void *bytes, size_t n, char *out);

/* HMAC-SHA-256 (RFC 2104, FIPS 180-4) with a key of any length. */
void wire_hmac_sha256(struct slice key, struct slice data, unsigned char out[WIRE_HASH_BYTES]);
void wire_sha256(struct slice data, unsigned char out[WIRE_HASH_BYTES]);

/* SHA-256 over the parts, each led by its length as 8 octets, highest first: ("ab", "c") and
 * ("a", "bc") differ. */
void wire_sha256_parts(const struct slice *parts, int count, unsigned char out[WIRE_HASH_BYTES]);

/* Takes the same time wherever two texts of one length differ; the length itself is no secret. */
bool wire_same_secret(struct slice a, struct slice b);

#endif
