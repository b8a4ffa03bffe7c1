/* The judge of request heads, without a socket: targets and framing as tables, and a seeded
 * property over invented heads. The rules are RFC 9112 6.3 and 11.2, made stricter; see judge.h. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "gate/judge.h"

static void targets(void **state) {
    static const struct {
        const char *target;
        bool host, known;
        enum gate_route route;
        const char *link, *method;
    } cases[] = {
        {"/in/json", false, true, GATE_IN, "json", "POST"},
        {"/in/A-b_c.9", false, true, GATE_IN, "A-b_c.9", "POST"},
        {"/receipt/json", false, true, GATE_RECEIPT, "json", "POST"},
        {"/in/", false, false, 0, "", ""},
        {"/in", false, false, 0, "", ""},
        {"/in/json/", false, false, 0, "", ""},
        {"/in/json?x=1", false, false, 0, "", ""},
        {"/in/json#x", false, false, 0, "", ""},
        {"/in/js%6fn", false, false, 0, "", ""},
        {"/in/../metrics", false, false, 0, "", ""},
        {"//in/json", false, false, 0, "", ""},
        {"/IN/json", false, false, 0, "", ""},
        {"/in/js\xc3\xb6n", false, false, 0, "", ""},
        {"/in/js on", false, false, 0, "", ""},
        {"http://a.example/in/json", false, false, 0, "", ""},
        {"*", false, false, 0, "", ""},
        {"", false, false, 0, "", ""},
        {"/ussd/json", false, false, 0, "", ""},
        {"/health", false, false, 0, "", ""},
        {"/metrics", false, false, 0, "", ""},
        {"/health", true, true, GATE_HEALTH, "", "GET"},
        {"/metrics", true, true, GATE_METRICS, "", "GET"},
        {"/metrics/", true, false, 0, "", ""},
        {"/in/json", true, false, 0, "", ""},
        {"/receipt/json", true, false, 0, "", ""},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct gate_target t;
        bool known = gate_judge_target(slice_of(cases[i].target), cases[i].host, &t);
        if (known != cases[i].known)
            fail_msg("'%s' host %d: known %d, wanted %d", cases[i].target, cases[i].host, known,
                     cases[i].known);
        if (known && (t.route != cases[i].route || !slice_eq(t.link, slice_of(cases[i].link)) ||
                      strcmp(t.method, cases[i].method) != 0))
            fail_msg("'%s': route %d link '%.*s' method %s", cases[i].target, t.route,
                     SLICE_ARG(t.link), t.method);
    }
}

static void target_lengths(void **state) {
    char target[GATE_PATH_MAX + 2];
    struct gate_target t;
    (void)state;
    memset(target, 'a', sizeof target);
    memcpy(target, "/in/", 4);
    assert_true(gate_judge_target((struct slice){target, GATE_PATH_MAX}, false, &t));
    assert_false(gate_judge_target((struct slice){target, GATE_PATH_MAX + 1}, false, &t));
    target[10] = '\0'; /* a zero byte is a byte like others, not an end */
    assert_false(gate_judge_target((struct slice){target, 20}, false, &t));
}

#define H(n, v)                                                                                    \
    {                                                                                              \
        {(n), sizeof(n) - 1}, {                                                                    \
            (v), sizeof(v) - 1                                                                     \
        }                                                                                          \
    }

static void framing(void **state) {
    static const struct {
        const char *about;
        struct gate_header headers[4];
        int count;
        bool needed;
        int status;
        size_t length;
    } cases[] = {
        {"plain", {H("Host", "a"), H("Content-Length", "7")}, 2, true, 0, 7},
        {"zero", {H("Content-Length", "0")}, 1, true, 0, 0},
        {"leading zeros", {H("content-length", "0007")}, 1, true, 0, 7},
        {"at the cap", {H("Content-Length", "1000")}, 1, true, 0, 1000},
        {"over the cap", {H("Content-Length", "1001")}, 1, true, 413, 0},
        {"18 digits", {H("Content-Length", "999999999999999999")}, 1, true, 413, 0},
        {"more than 64 bits", {H("Content-Length", "18446744073709551617")}, 1, true, 413, 0},
        {"18 digits, then more",
         {H("Content-Length", "0000000000000000001000000")},
         1,
         true,
         413,
         0},
        {"none, needed", {H("Host", "a")}, 1, true, 411, 0},
        {"none, not needed", {H("Host", "a")}, 1, false, 0, 0},
        {"twice, equal", {H("Content-Length", "7"), H("Content-Length", "7")}, 2, true, 400, 0},
        {"twice, case", {H("Content-Length", "7"), H("CONTENT-LENGTH", "8")}, 2, true, 400, 0},
        {"list", {H("Content-Length", "7, 7")}, 1, true, 400, 0},
        {"plus", {H("Content-Length", "+7")}, 1, true, 400, 0},
        {"minus", {H("Content-Length", "-7")}, 1, true, 400, 0},
        {"hexadecimal", {H("Content-Length", "0x7")}, 1, true, 400, 0},
        {"letters behind", {H("Content-Length", "7a")}, 1, true, 400, 0},
        {"zero byte inside",
         {H("Content-Length", "7\0"
                              "1")},
         1,
         true,
         400,
         0},
        {"empty", {H("Content-Length", "")}, 1, true, 400, 0},
        {"chunked", {H("Transfer-Encoding", "chunked")}, 1, true, 411, 0},
        {"chunked with length",
         {H("Content-Length", "7"), H("transfer-encoding", "chunked")},
         2,
         true,
         411,
         0},
        {"identity",
         {H("Content-Length", "7"), H("Transfer-Encoding", "identity")},
         2,
         true,
         411,
         0},
        {"empty encoding", {H("Content-Length", "7"), H("Transfer-Encoding", "")}, 2, true, 411, 0},
        {"space in a name", {H("Content-Length ", "7")}, 1, true, 400, 0},
        {"empty name", {H("", "7"), H("Content-Length", "7")}, 2, true, 400, 0},
        {"odd name", {H("X\x01", "7"), H("Content-Length", "7")}, 2, true, 400, 0},
        {"CR in a value", {H("X", "a\rb"), H("Content-Length", "7")}, 2, true, 400, 0},
        {"zero byte in a value", {H("X", "a\0b"), H("Content-Length", "7")}, 2, true, 400, 0},
        {"tab and high bytes", {H("X", "a\t\xc3\xb6"), H("Content-Length", "7")}, 2, true, 0, 7},
        {"Host twice", {H("Host", "a"), H("host", "b"), H("Content-Length", "7")}, 3, true, 400, 0},
    };
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct gate_head head = {SLICE("POST"), SLICE("/in/json"), cases[i].headers,
                                 cases[i].count};
        size_t length = 99;
        int status = gate_judge_framing(&head, cases[i].needed, 1000, &length);
        if (status != cases[i].status || (status == 0 && length != cases[i].length))
            fail_msg("%s: got %d length %zu, wanted %d length %zu", cases[i].about, status, length,
                     cases[i].status, cases[i].length);
    }
}

static uint64_t next_random(uint64_t *x) {
    *x ^= *x << 13;
    *x ^= *x >> 7;
    *x ^= *x << 17;
    return *x;
}

/* Law: a head passes only if it has exactly one Content-Length, in digits, equal to the length
 * found, at most the cap, and no Transfer-Encoding. Counted here in another way than there. */
static void framing_law(void **state) {
    static const char *const names[] = {"Content-Length",    "content-length", "Host", "X-A",
                                        "Transfer-Encoding", "Content-Lengthy"};
    static const char *const values[] = {"0", "5", "12", "1001", "a", "", "5 5", "-1", "chunked"};
    uint64_t x = 20260101;
    int passed = 0;
    (void)state;
    for (int round = 0; round < 20000; round++) {
        struct gate_header headers[4];
        int count = (int)(next_random(&x) % 5), lengths = 0, encodings = 0;
        const char *digits = "";
        for (int i = 0; i < count; i++) {
            const char *name = names[next_random(&x) % 6];
            const char *value = values[next_random(&x) % 9];
            headers[i] = (struct gate_header){slice_of(name), slice_of(value)};
            if (name[0] != 'X' && strlen(name) == 14) {
                lengths++;
                digits = value;
            }
            encodings += name[0] == 'T';
        }
        struct gate_head head = {SLICE("POST"), SLICE("/in/json"), headers, count};
        size_t length;
        int status = gate_judge_framing(&head, true, 1000, &length);
        if (status != 0)
            continue;
        char shown[24];
        passed++;
        (void)snprintf(shown, sizeof shown, "%zu", length);
        if (lengths != 1 || encodings != 0 || length > 1000 || strcmp(shown, digits) != 0)
            fail_msg("round %d passed with %d lengths ('%s', read %zu), %d encodings", round,
                     lengths, digits, length, encodings);
    }
    if (passed < 100)
        fail_msg("only %d of 20000 heads passed: the law was hardly asked", passed);
}

static void only_one(void **state) {
    static const struct gate_header headers[] = {H("webhook-id", "a"), H("Webhook-Id", "b"),
                                                 H("X", "c")};
    (void)state;
    assert_int_equal(gate_judge_only(headers, 3, SLICE("webhook-id")).n, 0);
    assert_true(slice_eq(gate_judge_only(headers, 1, SLICE("WEBHOOK-ID")), SLICE("a")));
    assert_true(slice_eq(gate_judge_only(headers, 3, SLICE("x")), SLICE("c")));
    assert_int_equal(gate_judge_only(headers, 3, SLICE("y")).n, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(targets),     cmocka_unit_test(target_lengths), cmocka_unit_test(framing),
        cmocka_unit_test(framing_law), cmocka_unit_test(only_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
