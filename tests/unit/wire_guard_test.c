/* Who may speak on a link: signed requests against the published Standard Webhooks vector and
 * everything that can be wrong with one; a secret in a header or a field. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <cmocka.h>

#include "base/buf.h"
#include "wire/guard.h"

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

/* Standard Webhooks 1.0.0: the vector of its reference libraries' tests. */
#define SECRET    "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
#define ID        "msg_p5jXN8AQM9LWM0D4loKWxJek"
#define TIME_TEXT "1614265330"
#define BODY      "{\"test\": 2432232314}"
#define SIGNATURE "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="
enum { TIME_S = 1614265330 };

#define OTHER_SECRET "whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYX" /* octets 0 to 23 */
#define NONSENSE     "v1,AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA="

struct key {
    unsigned char bytes[WIRE_KEY_MOST];
    size_t n;
};

static void add_key(struct wire_guard *g, const char *secret, struct key *k) {
    assert_int_equal(wire_signing_key(slice_of(secret), k->bytes, &k->n), ERR_OK);
    g->secrets[g->secret_count++] = (struct slice){(const char *)k->bytes, k->n};
}

static enum err check_headers(const struct wire_profile *p, const struct wire_header *headers,
                              int count, const char *body, int64_t now_s) {
    const struct wire_request r = {.method = SLICE("POST"),
                                   .body = slice_of(body),
                                   .content_type = SLICE("application/json"),
                                   .headers = headers,
                                   .header_count = count};
    struct slice id = SLICE("x");
    int64_t until_s = -1;
    enum err e = wire_guard_check(p, WIRE_IN, &r, now_s, &id, &until_s);
    if (e) { /* nothing is handed out of a refused request */
        assert_int_equal(id.n, 0);
        assert_int_equal(until_s, 0);
    }
    return e;
}

static enum err check(const struct wire_profile *p, const char *id, const char *timestamp,
                      const char *signature, const char *body, int64_t now_s) {
    const struct wire_header headers[] = {
        {SLICE("Host"), SLICE("h")},
        {SLICE("Webhook-Id"), slice_of(id)}, /* names of headers have no case */
        {SLICE("webhook-timestamp"), slice_of(timestamp)},
        {SLICE("WEBHOOK-SIGNATURE"), slice_of(signature)},
    };
    return check_headers(p, headers, COUNT(headers), body, now_s);
}

static void the_vector_passes(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_JSON};
    struct key k;
    add_key(&p.in.guard, SECRET, &k);
    char signature[WIRE_SIGNATURE_MAX];
    assert_int_equal(wire_sign(p.in.guard.secrets[0], SLICE(ID), TIME_S, SLICE(BODY), signature),
                     ERR_OK);
    assert_string_equal(signature, SIGNATURE);

    const struct wire_header headers[] = {{SLICE("webhook-id"), SLICE(ID)},
                                          {SLICE("webhook-timestamp"), SLICE(TIME_TEXT)},
                                          {SLICE("webhook-signature"), SLICE(SIGNATURE)}};
    const struct wire_request r = {.body = SLICE(BODY), .headers = headers, .header_count = 3};
    struct slice id;
    int64_t until_s;
    assert_int_equal(wire_guard_check(&p, WIRE_IN, &r, TIME_S, &id, &until_s), ERR_OK);
    assert_true(slice_eq(id, SLICE(ID)));
    assert_int_equal(until_s, TIME_S + 300);
    /* The same request still passes in that last second and not in the next. */
    assert_int_equal(wire_guard_check(&p, WIRE_IN, &r, until_s, &id, &until_s), ERR_OK);
    assert_int_equal(wire_guard_check(&p, WIRE_IN, &r, TIME_S + 301, &id, &until_s), ERR_STALE);
    /* No receipts in this profile. */
    assert_int_equal(wire_guard_check(&p, WIRE_RECEIPT, &r, TIME_S, &id, &until_s), ERR_NOT_FOUND);
}

static void whatever_is_changed_is_refused(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_JSON};
    struct key k;
    add_key(&p.in.guard, SECRET, &k);
    static const struct {
        const char *id, *timestamp, *signature, *body;
        int64_t after_s;
        enum err e;
    } cases[] = {
        {ID, TIME_TEXT, SIGNATURE, BODY, 0, ERR_OK},
        {ID, TIME_TEXT, SIGNATURE, BODY, 300, ERR_OK},
        {ID, TIME_TEXT, SIGNATURE, BODY, -300, ERR_OK},
        {ID, TIME_TEXT, SIGNATURE, BODY, 301, ERR_STALE},
        {ID, TIME_TEXT, SIGNATURE, BODY, -301, ERR_STALE},
        {ID, TIME_TEXT, SIGNATURE, "{\"test\": 2432232315}", 0, ERR_AUTH},
        {ID, TIME_TEXT, SIGNATURE, "{\"test\":2432232314}", 0, ERR_AUTH}, /* raw octets count */
        {ID, TIME_TEXT, SIGNATURE, "", 0, ERR_AUTH},
        {"msg_p5jXN8AQM9LWM0D4loKWxJel", TIME_TEXT, SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "1614265331", SIGNATURE, BODY, 0, ERR_AUTH},
        /* ids and timestamps that are none */
        {"", TIME_TEXT, SIGNATURE, BODY, 0, ERR_AUTH},
        {ID ".1", TIME_TEXT, SIGNATURE, BODY, 0, ERR_AUTH},
        {"a b", TIME_TEXT, SIGNATURE, BODY, 0, ERR_AUTH},
        {"\xc3\xa9", TIME_TEXT, SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "-1614265330", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "+1614265330", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, " 1614265330", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "1614265330.0", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "0x60381A32", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "99999999999999999999", SIGNATURE, BODY, 0, ERR_AUTH},
        {ID, "9223372036854775808", SIGNATURE, BODY, 0, ERR_AUTH},
        /* lists of signatures */
        {ID, TIME_TEXT, NONSENSE " " SIGNATURE, BODY, 0, ERR_OK},
        {ID, TIME_TEXT, SIGNATURE " " NONSENSE, BODY, 0, ERR_OK},
        {ID, TIME_TEXT, "v1a,c29tZXRoaW5n " SIGNATURE, BODY, 0, ERR_OK},
        {ID, TIME_TEXT, "  " SIGNATURE " ", BODY, 0, ERR_OK},
        {ID, TIME_TEXT, NONSENSE, BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, NONSENSE " " NONSENSE, BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, " ", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v1,", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v1", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "V1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v2,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=", BODY, 0, ERR_AUTH},
        /* base64 that is cut, too long, of the other alphabet, with a wrong sign */
        {ID, TIME_TEXT, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OEA", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v1,g0hM9SsE-OTPJTGt_tmIKtSyZlE3uFJELVlNIOLJ1OE=", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1O?=", BODY, 0, ERR_AUTH},
        {ID, TIME_TEXT, SIGNATURE "," SIGNATURE, BODY, 0, ERR_AUTH},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        enum err e = check(&p, cases[i].id, cases[i].timestamp, cases[i].signature, cases[i].body,
                           TIME_S + cases[i].after_s);
        if (e != cases[i].e)
            fail_msg("case %zu (id %s, time %s, %s): got %s, wanted %s", i, cases[i].id,
                     cases[i].timestamp, cases[i].signature, err_info(e)->name,
                     err_info(cases[i].e)->name);
    }
}

/* Law: any one octet of the body changed in any one bit is refused. */
static void every_bit_of_the_body_counts(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_JSON};
    struct key k;
    add_key(&p.in.guard, SECRET, &k);
    char body[] = BODY;
    for (size_t i = 0; i + 1 < sizeof body; i++)
        for (int bit = 0; bit < 7; bit++) { /* without bit 7: none becomes a zero octet */
            body[i] = (char)(body[i] ^ 1 << bit);
            if (check(&p, ID, TIME_TEXT, SIGNATURE, body, TIME_S) != ERR_AUTH)
                fail_msg("octet %zu, bit %d changed: was not refused", i, bit);
            body[i] = (char)(body[i] ^ 1 << bit);
        }
}

static void headers_missing_or_twice(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_JSON};
    struct key k;
    add_key(&p.in.guard, SECRET, &k);
    const struct wire_header three[] = {{SLICE("webhook-id"), SLICE(ID)},
                                        {SLICE("webhook-timestamp"), SLICE(TIME_TEXT)},
                                        {SLICE("webhook-signature"), SLICE(SIGNATURE)}};
    assert_int_equal(check_headers(&p, three, 3, BODY, TIME_S), ERR_OK);
    assert_int_equal(check_headers(&p, NULL, 0, BODY, TIME_S), ERR_AUTH);
    for (int i = 0; i < 3; i++) {
        struct wire_header some[4];
        int n = 0;
        for (int j = 0; j < 3; j++)
            if (j != i)
                some[n++] = three[j];
        assert_int_equal(check_headers(&p, some, n, BODY, TIME_S), ERR_AUTH);
        memcpy(some, three, sizeof three);
        some[3] = three[i];
        assert_int_equal(check_headers(&p, some, 4, BODY, TIME_S), ERR_AUTH);
    }
}

static void keys_can_be_changed(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_JSON};
    struct key other, k;
    add_key(&p.in.guard, OTHER_SECRET, &other);
    assert_int_equal(check(&p, ID, TIME_TEXT, SIGNATURE, BODY, TIME_S), ERR_AUTH);
    char by_other[WIRE_SIGNATURE_MAX];
    assert_int_equal(wire_sign(p.in.guard.secrets[0], SLICE(ID), TIME_S, SLICE(BODY), by_other),
                     ERR_OK);
    add_key(&p.in.guard, SECRET, &k);
    assert_int_equal(check(&p, ID, TIME_TEXT, SIGNATURE, BODY, TIME_S), ERR_OK);
    assert_int_equal(check(&p, ID, TIME_TEXT, by_other, BODY, TIME_S), ERR_OK);
    p.in.guard.secret_count = 0; /* no secret proves nothing */
    assert_int_equal(check(&p, ID, TIME_TEXT, SIGNATURE, BODY, TIME_S), ERR_AUTH);
}

/* Seventeen signatures are more work than anybody honest asks for. */
static void long_lists_are_cut_off(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_JSON};
    struct key k;
    add_key(&p.in.guard, SECRET, &k);
    for (int before = 14; before <= 17; before++) {
        struct buf list = buf_make(2000);
        for (int i = 0; i < before; i++)
            buf_puts(&list, NONSENSE " ");
        buf_puts(&list, SIGNATURE);
        enum err e = check(&p, ID, TIME_TEXT, buf_str(&list), BODY, TIME_S);
        enum err wanted = before < 16 ? ERR_OK : ERR_AUTH;
        if (e != wanted)
            fail_msg("%d before the right one: got %s, wanted %s", before, err_info(e)->name,
                     err_info(wanted)->name);
        buf_free(&list);
    }
}

static void signing_keys(void **state) {
    (void)state;
    static const struct {
        const char *secret;
        enum err e;
        size_t n;
    } cases[] = {
        {SECRET, ERR_OK, 24},
        {"whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGA==", ERR_OK, 25},
        {"whsec_"
         "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA==",
         ERR_OK, 64},
        {"whsec_"
         "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=",
         ERR_RANGE, 0},
        {"whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRY=", ERR_RANGE, 0}, /* 23 */
        {"whsec_", ERR_RANGE, 0},
        {"", ERR_SYNTAX, 0},
        {"MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", ERR_SYNTAX, 0},
        {"whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaS", ERR_SYNTAX, 0},
        {"whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaS!", ERR_SYNTAX, 0},
        {"whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw\n", ERR_SYNTAX, 0},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct key k = {.n = 0};
        enum err e = wire_signing_key(slice_of(cases[i].secret), k.bytes, &k.n);
        if (e != cases[i].e || k.n != cases[i].n)
            fail_msg("%s: got %s %zu, wanted %s %zu", cases[i].secret, err_info(e)->name, k.n,
                     err_info(cases[i].e)->name, cases[i].n);
    }
    struct key k;
    assert_int_equal(wire_signing_key(SLICE(OTHER_SECRET), k.bytes, &k.n), ERR_OK);
    for (unsigned i = 0; i < k.n; i++)
        assert_int_equal(k.bytes[i], i);
}

static void nothing_is_signed_that_would_be_refused(void **state) {
    (void)state;
    char out[WIRE_SIGNATURE_MAX];
    struct slice key = SLICE("012345678901234567890123");
    assert_int_equal(wire_sign(key, SLICE("a"), 0, SLICE(""), out), ERR_OK);
    assert_int_equal(wire_sign(key, SLICE("a.b"), 0, SLICE(""), out), ERR_SYNTAX);
    assert_int_equal(wire_sign(key, SLICE(""), 0, SLICE(""), out), ERR_SYNTAX);
    assert_int_equal(wire_sign(key, SLICE("a"), -1, SLICE(""), out), ERR_SYNTAX);
    assert_int_equal(wire_sign(key, SLICE("a"), INT64_MAX, SLICE(""), out), ERR_SYNTAX);
    assert_int_equal(wire_sign(SLICE(""), SLICE("a"), 0, SLICE(""), out), ERR_SYNTAX);
}

static void a_secret_in_a_header(void **state) {
    (void)state;
    struct wire_profile p = {.in.body = WIRE_BODY_FORM,
                             .in.guard = {.kind = WIRE_GUARD_HEADER,
                                          .header = SLICE("Carrier-Word"),
                                          .secrets = {SLICE("new word"), SLICE("old word")},
                                          .secret_count = 2}};
    static const struct {
        struct wire_header headers[2];
        int count;
        enum err e;
    } cases[] = {
        {{{{"carrier-word", 12}, {"new word", 8}}}, 1, ERR_OK},
        {{{{"CARRIER-WORD", 12}, {"old word", 8}}}, 1, ERR_OK},
        {{{{"carrier-word", 12}, {"new wore", 8}}}, 1, ERR_AUTH},
        {{{{"carrier-word", 12}, {"new wor", 7}}}, 1, ERR_AUTH},
        {{{{"carrier-word", 12}, {"NEW WORD", 8}}}, 1, ERR_AUTH},
        {{{{"carrier-word", 12}, {"", 0}}}, 1, ERR_AUTH},
        {{{{"carrier-wor", 11}, {"new word", 8}}}, 1, ERR_AUTH},
        {{{{"carrier-word", 12}, {"new word", 8}}, {{"Carrier-Word", 12}, {"x", 1}}}, 2, ERR_AUTH},
        {{{{NULL, 0}, {NULL, 0}}}, 0, ERR_AUTH},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        enum err e = check_headers(&p, cases[i].headers, cases[i].count, "a=b", TIME_S);
        if (e != cases[i].e)
            fail_msg("case %zu: got %s, wanted %s", i, err_info(e)->name,
                     err_info(cases[i].e)->name);
    }
}

static void a_secret_in_a_field(void **state) {
    (void)state;
    struct wire_profile p = {
        .receipt = {.given = true,
                    .body = WIRE_BODY_FORM,
                    .guard = {.kind = WIRE_GUARD_FIELD,
                              .field = {.whole = SLICE("word")},
                              .secrets = {SLICE("s3cret & co")},
                              .secret_count = 1}},
    };
    static const struct {
        const char *type, *body;
        enum err e;
    } cases[] = {
        {"application/x-www-form-urlencoded", "a=b&word=s3cret+%26+co", ERR_OK},
        {"application/x-www-form-urlencoded; charset=UTF-8", "word=s3cret+%26+co", ERR_OK},
        {"application/x-www-form-urlencoded", "word=s3cret+%26+c", ERR_AUTH},
        {"application/x-www-form-urlencoded", "word=", ERR_AUTH},
        {"application/x-www-form-urlencoded", "a=b", ERR_AUTH},
        {"application/x-www-form-urlencoded", "", ERR_AUTH},
        {"application/x-www-form-urlencoded", "word=s3cret+%26+co&word=x", ERR_AUTH},
        {"application/x-www-form-urlencoded", "word=s3cret+%26+co&a=%", ERR_AUTH},
        {"application/json", "{\"word\":\"s3cret & co\"}", ERR_AUTH},
        {"", "word=s3cret+%26+co", ERR_AUTH},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        const struct wire_request r = {.content_type = slice_of(cases[i].type),
                                       .body = slice_of(cases[i].body)};
        struct slice id;
        int64_t until_s;
        enum err e = wire_guard_check(&p, WIRE_RECEIPT, &r, TIME_S, &id, &until_s);
        if (e != cases[i].e)
            fail_msg("%s %s: got %s, wanted %s", cases[i].type, cases[i].body, err_info(e)->name,
                     err_info(cases[i].e)->name);
        assert_int_equal(id.n, 0);
        assert_int_equal(until_s, 0);
    }
}

static int start(void **state) {
    (void)state;
    return wire_start() == ERR_OK ? 0 : -1;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_vector_passes),
        cmocka_unit_test(whatever_is_changed_is_refused),
        cmocka_unit_test(every_bit_of_the_body_counts),
        cmocka_unit_test(headers_missing_or_twice),
        cmocka_unit_test(keys_can_be_changed),
        cmocka_unit_test(long_lists_are_cut_off),
        cmocka_unit_test(signing_keys),
        cmocka_unit_test(nothing_is_signed_that_would_be_refused),
        cmocka_unit_test(a_secret_in_a_header),
        cmocka_unit_test(a_secret_in_a_field),
    };
    return cmocka_run_group_tests(tests, start, NULL);
}
