/* guard: see guard.h. In: a request's raw octets, the profile's secrets, the instant; out: may it
 * be believed. ERR_AUTH and ERR_STALE are the caller's fault; ERR_NOMEM is ours. Limits: an id of
 * WIRE_ID_MAX octets, SIGNATURES_MOST signatures in one header.
 *
 * Sources: Standard Webhooks 1.0.0 (the three headers, what is signed, the secret's form); RFC 2104
 * (HMAC). The 300 seconds are usual; the text gives no number. */
#include "wire/guard.h"

#include <sodium.h>
#include <string.h>

#include "base/buf.h"
#include "wire/body.h"

enum { SIGNATURES_MOST = 16, DIGITS_MOST = 12 };

/* The header's value when it stands there exactly once: two of a name would let each reader choose
 * its own. */
static bool header_once(const struct wire_request *r, struct slice name, struct slice *out) {
    int found = 0;
    for (int i = 0; i < r->header_count; i++)
        if (slice_eq_nocase(r->headers[i].name, name)) {
            *out = r->headers[i].value;
            found++;
        }
    return found == 1;
}

/* Visible ASCII without the full stop, which separates the parts of what is signed. */
static bool id_is_fine(struct slice id) {
    if (!id.n || id.n > WIRE_ID_MAX)
        return false;
    for (size_t i = 0; i < id.n; i++)
        if (id.p[i] <= ' ' || id.p[i] > '~' || id.p[i] == '.')
            return false;
    return true;
}

static bool timestamp_read(struct slice s, int64_t *at_s) {
    if (!s.n || s.n > DIGITS_MOST)
        return false;
    for (size_t i = 0; i < s.n; i++)
        if (s.p[i] < '0' || s.p[i] > '9')
            return false;
    return slice_int(s, at_s) == ERR_OK;
}

/* The octets that are signed: id "." timestamp "." body, as they came. */
static enum err signed_text(struct slice id, struct slice timestamp, struct slice body,
                            struct buf *out) {
    *out = buf_make(id.n + timestamp.n + body.n + 2);
    buf_put(out, id);
    buf_putc(out, '.');
    buf_put(out, timestamp);
    buf_putc(out, '.');
    buf_put(out, body);
    return buf_err(out);
}

/* One "v1,BASE64" to its octets; other versions are left to those who know them. */
static bool signature_read(struct slice one, unsigned char out[WIRE_HASH_BYTES]) {
    if (!slice_starts(one, SLICE("v1,")))
        return false;
    one = slice_from(one, 3);
    size_t n = 0;
    return sodium_base642bin(out, WIRE_HASH_BYTES, one.p, one.n, NULL, &n, NULL,
                             sodium_base64_VARIANT_ORIGINAL) == 0 &&
           n == WIRE_HASH_BYTES;
}

/* Any signature of the list by any of the secrets; all are tried, whichever fits. */
static bool any_signature_fits(const struct wire_guard *g, struct slice list, struct slice text) {
    unsigned char wanted[WIRE_SECRETS_MAX][WIRE_HASH_BYTES];
    for (int i = 0; i < g->secret_count; i++)
        wire_hmac_sha256(g->secrets[i], text, wanted[i]);
    bool fits = false;
    for (int seen = 0; list.n; seen++) {
        if (seen == SIGNATURES_MOST)
            return false;
        struct slice one;
        unsigned char given[WIRE_HASH_BYTES];
        (void)slice_cut(list, ' ', &one, &list);
        if (!signature_read(one, given))
            continue;
        for (int i = 0; i < g->secret_count; i++)
            fits |= sodium_memcmp(given, wanted[i], WIRE_HASH_BYTES) == 0;
    }
    return fits;
}

static enum err check_signed(const struct wire_guard *g, const struct wire_request *r,
                             int64_t now_s, struct slice *signature_id, int64_t *until_s) {
    struct slice id, timestamp, list;
    int64_t at_s;
    if (!header_once(r, SLICE("webhook-id"), &id) ||
        !header_once(r, SLICE("webhook-timestamp"), &timestamp) ||
        !header_once(r, SLICE("webhook-signature"), &list))
        return ERR_AUTH;
    if (!id_is_fine(id) || !timestamp_read(timestamp, &at_s))
        return ERR_AUTH;
    struct buf text;
    enum err e = signed_text(id, timestamp, r->body, &text);
    if (!e && !any_signature_fits(g, list, buf_slice(&text)))
        e = ERR_AUTH;
    buf_free(&text);
    if (e)
        return e;
    if (at_s < now_s - WIRE_TOLERANCE_S || at_s > now_s + WIRE_TOLERANCE_S)
        return ERR_STALE;
    *signature_id = id;
    *until_s = at_s + WIRE_TOLERANCE_S;
    return ERR_OK;
}

static enum err check_secret(const struct wire_guard *g, struct slice given) {
    bool same = false;
    for (int i = 0; i < g->secret_count; i++)
        same |= wire_same_secret(given, g->secrets[i]);
    return same ? ERR_OK : ERR_AUTH;
}

/* The body has to be read before it is believed; nothing of it is used but the one field. */
static enum err check_field(const struct wire_guard *g, enum wire_body form,
                            const struct wire_request *r) {
    if (!wire_body_is(form, r->content_type))
        return ERR_AUTH;
    struct arena a = arena_make((size_t)WIRE_BODY_MAX * 4);
    struct wire_tree *t = NULL;
    struct slice given;
    enum err e = wire_tree_read(&a, form, r->body, &t);
    if (!e)
        e = wire_tree_text(&a, t, &g->field, WIRE_SECRET_MAX, &given);
    if (!e)
        e = check_secret(g, given);
    else if (e != ERR_NOMEM)
        e = ERR_AUTH; /* what the body lacks is not told to who has proven nothing */
    wire_tree_free(t);
    arena_free(&a);
    return e;
}

enum err wire_guard_check(const struct wire_profile *p, enum wire_route route,
                          const struct wire_request *r, int64_t now_s, struct slice *signature_id,
                          int64_t *until_s) {
    *signature_id = (struct slice){"", 0};
    *until_s = 0;
    if (route == WIRE_RECEIPT && !p->receipt.given)
        return ERR_NOT_FOUND;
    const struct wire_guard *g = route == WIRE_IN ? &p->in.guard : &p->receipt.guard;
    enum wire_body form = route == WIRE_IN ? p->in.body : p->receipt.body;
    struct slice given;
    switch (g->kind) {
    case WIRE_GUARD_SIGNED:
        return check_signed(g, r, now_s, signature_id, until_s);
    case WIRE_GUARD_HEADER:
        return header_once(r, g->header, &given) ? check_secret(g, given) : ERR_AUTH;
    case WIRE_GUARD_FIELD:
        return check_field(g, form, r);
    }
    return ERR_BUG;
}

enum err wire_sign(struct slice key, struct slice id, int64_t at_s, struct slice body,
                   char out[WIRE_SIGNATURE_MAX]) {
    _Static_assert(WIRE_SIGNATURE_MAX == 3 + sodium_base64_ENCODED_LEN(
                                                 WIRE_HASH_BYTES, sodium_base64_VARIANT_ORIGINAL),
                   "v1, and the base64 of a hash with its zero byte");
    if (!key.n || !id_is_fine(id) || at_s < 0)
        return ERR_SYNTAX;
    struct buf timestamp = buf_make(DIGITS_MOST), text = {0};
    buf_put_int(&timestamp, at_s);
    enum err e = buf_err(&timestamp);
    if (!e)
        e = signed_text(id, buf_slice(&timestamp), body, &text);
    if (!e) {
        unsigned char hash[WIRE_HASH_BYTES];
        wire_hmac_sha256(key, buf_slice(&text), hash);
        memcpy(out, "v1,", 3);
        (void)sodium_bin2base64(out + 3, WIRE_SIGNATURE_MAX - 3, hash, sizeof hash,
                                sodium_base64_VARIANT_ORIGINAL);
    }
    buf_free(&timestamp);
    buf_free(&text);
    return e == ERR_TOO_LONG ? ERR_SYNTAX : e;
}

enum err wire_signing_key(struct slice secret, unsigned char out[WIRE_KEY_MOST], size_t *n) {
    if (!slice_starts(secret, SLICE("whsec_")))
        return ERR_SYNTAX;
    secret = slice_from(secret, 6);
    unsigned char key[WIRE_KEY_MOST + 3]; /* base64 comes in threes: one too long is seen as such */
    size_t length = 0;
    if (secret.n > 4 * sizeof key / 3)
        return ERR_RANGE;
    if (sodium_base642bin(key, sizeof key, secret.p, secret.n, NULL, &length, NULL,
                          sodium_base64_VARIANT_ORIGINAL) != 0)
        return ERR_SYNTAX;
    if (length < WIRE_KEY_LEAST || length > WIRE_KEY_MOST)
        return ERR_RANGE;
    memcpy(out, key, length);
    *n = length;
    sodium_memzero(key, sizeof key);
    return ERR_OK;
}
