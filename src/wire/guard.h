/* guard: whether a request on /in/LINK or /receipt/LINK comes from who knows the secret. Held over
 * the raw octets, before anything is believed. No clock: the instant is handed in. */
#ifndef WIRE_GUARD_H
#define WIRE_GUARD_H

#include "wire/bytes.h"
#include "wire/profile.h"

enum wire_route { WIRE_IN, WIRE_RECEIPT };

struct wire_header {
    struct slice name, value;
};
struct wire_request {
    struct slice method, body, content_type;
    const struct wire_header *headers;
    int header_count;
};

/* ERR_AUTH: not proven, without saying why (one header missing, twice or malformed is this, too).
 * ERR_STALE: signed, but more than WIRE_TOLERANCE_S from now_s. ERR_NOT_FOUND: the profile has no
 * receipts. ERR_NOMEM.
 * On ERR_OK *signature_id is the signed request's id, to be remembered through *until_s (the last
 * second at which the same request would pass again) and refused when seen before, after a restart
 * too. It points into the request; empty, with until 0, where the guard has none. */
enum err wire_guard_check(const struct wire_profile *p, enum wire_route route,
                          const struct wire_request *r, int64_t now_s, struct slice *signature_id,
                          int64_t *until_s) MUST_LOOK;

/* The value of the webhook-signature header (Standard Webhooks 1.0.0): "v1," and base64 of
 * HMAC-SHA-256 over id "." at_s "." body. For tests and tools, and for a later link that signs. */
enum { WIRE_SIGNATURE_MAX = 3 + 44 + 1 };
enum err wire_sign(struct slice key, struct slice id, int64_t at_s, struct slice body,
                   char out[WIRE_SIGNATURE_MAX]) MUST_LOOK; /* ERR_SYNTAX, ERR_NOMEM */

/* "whsec_" and base64 of 24 to 64 bytes to the key itself. ERR_SYNTAX; ERR_RANGE: its length. */
enum { WIRE_KEY_LEAST = 24, WIRE_KEY_MOST = 64 };
enum err wire_signing_key(struct slice secret, unsigned char out[WIRE_KEY_MOST],
                          size_t *n) MUST_LOOK;

#endif
