/* What goes out and what answers mean: requests octet by octet, texts that cannot be sent, every
 * kind of answer, and the law that an unclear answer never leads to a second sending that the
 * provider could not tell from the first. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <cmocka.h>

#include "base/buf.h"
#include "wire/bytes.h"
#include "wire/send.h"

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

enum { ARENA_BYTES = 1 << 20 };

/* -- writing -------------------------------------------------------------------------------------
 */

#define PIECE(h)                                                                                   \
    {                                                                                              \
        .hole = (h), .text = { "", 0 }                                                             \
    }
static const struct wire_piece to[] = {PIECE(WIRE_HOLE_TO)},
                               digits[] = {PIECE(WIRE_HOLE_TO_DIGITS)},
                               text[] = {PIECE(WIRE_HOLE_TEXT)},
                               alphabet[] = {PIECE(WIRE_HOLE_ALPHABET)},
                               mark[] = {{WIRE_HOLE_NONE, {"r-", 2}}, PIECE(WIRE_HOLE_REFERENCE)},
                               bearer[] = {{WIRE_HOLE_NONE, {"key ", 4}}, PIECE(WIRE_HOLE_SECRET)},
                               sender[] = {PIECE(WIRE_HOLE_SENDER)},
                               yes[] = {{WIRE_HOLE_NONE, {"true", 4}}},
                               twelve[] = {{WIRE_HOLE_NONE, {"12", 2}}};
#define FILLED(pieces)                                                                             \
    { (pieces), (int)COUNT(pieces) }

static const struct wire_field fields[] = {
    {{{"a.to[]", 6}, 2, {{"a", 1}, {"to", 2}}, {false, true}}, FILLED(to), WIRE_KIND_TEXT},
    {{{"words", 5}, 1, {{"words", 5}}, {false}}, FILLED(text), WIRE_KIND_TEXT},
    {{{"a.b[].mark", 10}, 3, {{"a", 1}, {"b", 1}, {"mark", 4}}, {false, true, false}},
     FILLED(mark),
     WIRE_KIND_TEXT},
    {{{"a.b[].tell", 10}, 3, {{"a", 1}, {"b", 1}, {"tell", 4}}, {false, true, false}},
     FILLED(yes),
     WIRE_KIND_BOOL},
    {{{"hours", 5}, 1, {{"hours", 5}}, {false}}, FILLED(twelve), WIRE_KIND_NUMBER},
    {{{"number", 6}, 1, {{"number", 6}}, {false}}, FILLED(digits), WIRE_KIND_NUMBER},
    {{{"kind", 4}, 1, {{"kind", 4}}, {false}}, FILLED(alphabet), WIRE_KIND_TEXT},
};
static const struct wire_header_out headers[] = {{{"Key", 3}, FILLED(bearer)},
                                                 {{"From", 4}, FILLED(sender)}};

static struct wire_profile sending(enum wire_body body) {
    return (struct wire_profile){.send = {.method = SLICE("POST"),
                                          .url = SLICE("https://h.example/x"),
                                          .sender = SLICE("+447700900000"),
                                          .secret = SLICE("s3cret"),
                                          .alphabet_gsm7 = SLICE("seven"),
                                          .alphabet_ucs2 = SLICE("sixteen"),
                                          .body = body,
                                          .headers = headers,
                                          .header_count = (int)COUNT(headers),
                                          .fields = fields,
                                          .field_count = (int)COUNT(fields),
                                          .connect_ms = 5000,
                                          .total_ms = 20000}};
}

static void writes_requests(void **state) {
    (void)state;
    static const struct {
        enum wire_body body;
        const char *text, *wanted;
    } cases[] = {
        {WIRE_BODY_JSON, "First look 06:30",
         "{\"a\":{\"to\":[\"+447700900123\"],\"b\":[{\"mark\":\"r-0a1b\",\"tell\":true}]},"
         "\"words\":\"First look 06:30\",\"hours\":12,\"number\":447700900123,\"kind\":\"seven\"}"},
        {WIRE_BODY_JSON,
         "a \"b\" \\ /\n\x01 \xc9\x97"
         "aki",
         "{\"a\":{\"to\":[\"+447700900123\"],\"b\":[{\"mark\":\"r-0a1b\",\"tell\":true}]},"
         "\"words\":\"a \\\"b\\\" \\\\ /\\n\\u0001 \xc9\x97"
         "aki\",\"hours\":12,"
         "\"number\":447700900123,\"kind\":\"sixteen\"}"},
        {WIRE_BODY_FORM, "28.5 & \xe2\x82\xac+1",
         "a.to%5B%5D=%2B447700900123&words=28.5+%26+%E2%82%AC%2B1&a.b%5B%5D.mark=r-0a1b&"
         "a.b%5B%5D.tell=true&hours=12&number=447700900123&kind=seven"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct wire_profile p = sending(cases[i].body);
        const struct wire_send s = {SLICE("+447700900123"), slice_of(cases[i].text), SLICE("0a1b")};
        struct arena a = arena_make(ARENA_BYTES);
        struct wire_outgoing out;
        enum err e = wire_write_send(&p, &s, &a, &out);
        if (e)
            fail_msg("%s: got %s", cases[i].text, err_info(e)->name);
        assert_string_equal(out.body.p, cases[i].wanted);
        assert_int_equal(out.body.n, strlen(cases[i].wanted));
        assert_string_equal(out.method.p, "POST");
        assert_string_equal(out.url.p, "https://h.example/x");
        assert_string_equal(out.content_type.p, cases[i].body == WIRE_BODY_JSON
                                                    ? "application/json"
                                                    : "application/x-www-form-urlencoded");
        assert_int_equal(out.header_count, 2);
        assert_string_equal(out.headers[0].name.p, "Key");
        assert_string_equal(out.headers[0].value.p, "key s3cret");
        assert_string_equal(out.headers[1].name.p, "From");
        assert_string_equal(out.headers[1].value.p, "+447700900000");
        assert_int_equal(out.connect_ms, 5000);
        assert_int_equal(out.total_ms, 20000);
        arena_free(&a);
    }
}

static void refuses_what_cannot_be_sent(void **state) {
    (void)state;
    char longest[WIRE_TEXT_MAX + 1];
    memset(longest, 'x', sizeof longest);
    const struct {
        struct wire_send s;
        enum err e;
    } cases[] = {
        {{SLICE("+447700900123"), SLICE("hi"), SLICE("a-B_9.z")}, ERR_OK},
        {{SLICE("+447700900123"), {longest, WIRE_TEXT_MAX}, SLICE("r")}, ERR_OK},
        {{SLICE("+447700900123"), {longest, WIRE_TEXT_MAX + 1}, SLICE("r")}, ERR_TOO_LONG},
        {{SLICE("447700900123"), SLICE("hi"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+0447700900123"), SLICE("hi"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+4477009001234567"), SLICE("hi"), SLICE("r")}, ERR_SYNTAX}, /* 16 digits */
        {{SLICE("+44"), SLICE("hi"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+44 7700900123"), SLICE("hi"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+44770090012\n"), SLICE("hi"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE(""), SLICE("hi"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+447700900123"), SLICE(""), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+447700900123"), SLICE("a\0b"), SLICE("r")}, ERR_SYNTAX},
        {{SLICE("+447700900123"), SLICE("\xff"), SLICE("r")}, ERR_UTF8},
        {{SLICE("+447700900123"), SLICE("hi"), SLICE("")}, ERR_SYNTAX},
        {{SLICE("+447700900123"), SLICE("hi"), SLICE("r\r\nX: y")}, ERR_SYNTAX},
        {{SLICE("+447700900123"), SLICE("hi"), SLICE("a\"b")}, ERR_SYNTAX},
        {{SLICE("+447700900123"), SLICE("hi"), SLICE("a b")}, ERR_SYNTAX},
    };
    for (int body = WIRE_BODY_JSON; body <= WIRE_BODY_FORM; body++)
        for (size_t i = 0; i < COUNT(cases); i++) {
            struct wire_profile p = sending((enum wire_body)body);
            struct arena a = arena_make(ARENA_BYTES);
            struct wire_outgoing out;
            enum err e = wire_write_send(&p, &cases[i].s, &a, &out);
            if (e != cases[i].e)
                fail_msg("case %zu: got %s, wanted %s", i, err_info(e)->name,
                         err_info(cases[i].e)->name);
            arena_free(&a);
        }
    /* A number field that is none. */
    const struct wire_field wrong = {
        {{"n", 1}, 1, {{"n", 1}}, {false}}, FILLED(text), WIRE_KIND_NUMBER};
    struct wire_profile p = sending(WIRE_BODY_JSON);
    p.send.fields = &wrong;
    p.send.field_count = 1;
    struct arena a = arena_make(ARENA_BYTES);
    struct wire_outgoing out;
    assert_int_equal(wire_write_send(&p, &cases[0].s, &a, &out), ERR_RANGE);
    arena_free(&a);
}

static void memory_may_end_anywhere(void **state) {
    (void)state;
    const struct wire_send s = {SLICE("+447700900123"), SLICE("hi"), SLICE("r")};
    for (int body = WIRE_BODY_JSON; body <= WIRE_BODY_FORM; body++) {
        struct wire_profile p = sending((enum wire_body)body);
        bool done = false;
        for (size_t cap = 0; cap < 32768 && !done; cap += 16) {
            struct arena a = arena_make(cap);
            struct wire_outgoing out;
            enum err e = wire_write_send(&p, &s, &a, &out);
            if (e != ERR_OK)
                assert_int_equal(e, ERR_NOMEM);
            done = e == ERR_OK;
            arena_free(&a);
        }
        assert_true(done);
    }
}

/* -- answers -------------------------------------------------------------------------------------
 */

static const int64_t taken_statuses[] = {200, 201}, gone[] = {410}, ours[] = {401, 403};
static const struct slice never_words[] = {{"barred", 6}, {"no such number", 14}};

static struct wire_profile answering(bool unclear_is_later) {
    struct wire_profile p = sending(WIRE_BODY_JSON);
    p.send.answer = WIRE_BODY_JSON;
    p.send.accepted_statuses = (struct wire_numbers){taken_statuses, 2};
    p.send.accepted_field = (struct wire_path){{"r.ok", 4}, 2, {{"r", 1}, {"ok", 2}}, {false}};
    p.send.accepted_equals = SLICE("true");
    p.send.provider_id = (struct wire_path){{"r.id", 4}, 2, {{"r", 1}, {"id", 2}}, {false}};
    p.send.reason = (struct wire_path){{"r.why", 5}, 2, {{"r", 1}, {"why", 3}}, {false}};
    p.send.refused_field = p.send.reason;
    p.send.refused_values = (struct wire_texts){never_words, 2};
    p.send.refused_statuses = (struct wire_numbers){gone, 1};
    p.send.later_statuses = (struct wire_numbers){ours, 2};
    p.send.unclear_is_later = unclear_is_later;
    return p;
}

static const char *answer_name(enum wire_answer answer) {
    static const char *const names[] = {"accepted", "later", "refused"};
    return names[answer];
}

static void answer_is(const struct wire_profile *p, int status, struct slice body,
                      enum wire_answer wanted, const char *id, const char *reason) {
    struct arena a = arena_make(ARENA_BYTES);
    struct slice got_id, got_reason;
    enum wire_answer got = wire_read_answer(p, status, body, &a, &got_id, &got_reason);
    if (got != wanted || !slice_eq(got_id, slice_of(id)) || !slice_eq(got_reason, slice_of(reason)))
        fail_msg("%d %.*s: got %s \"%.*s\" \"%.*s\", wanted %s \"%s\" \"%s\"", status,
                 SLICE_ARG(body), answer_name(got), SLICE_ARG(got_id), SLICE_ARG(got_reason),
                 answer_name(wanted), id, reason);
    arena_free(&a);
}

static void clear_answers(void **state) {
    (void)state;
    static const struct {
        int status;
        const char *body;
        enum wire_answer answer;
        const char *id, *reason;
    } cases[] = {
        {200, "{\"r\":{\"ok\":true,\"id\":\"e-1\"}}", WIRE_ACCEPTED, "e-1", ""},
        {201, "{\"r\":{\"ok\":\"true\",\"id\":17}}", WIRE_ACCEPTED, "17", ""},
        {200, "[{\"r\":[{\"ok\":true,\"id\":[\" e-1 \"]}]}]", WIRE_ACCEPTED, "e-1", ""},
        {200, "{\"r\":{\"ok\":true}}", WIRE_ACCEPTED, "", ""},
        {200, "{\"r\":{\"ok\":true,\"id\":null}}", WIRE_ACCEPTED, "", ""},
        {200, "{\"r\":{\"ok\":true,\"id\":{}}}", WIRE_ACCEPTED, "", ""},
        /* said plainly that it was not taken */
        {200, "{\"r\":{\"ok\":false,\"id\":\"e-1\"}}", WIRE_LATER, "", "status 200"},
        {200, "{\"r\":{\"ok\":false,\"why\":\"queue full\"}}", WIRE_LATER, "",
         "status 200, queue full"},
        {200, "{\"r\":{\"ok\":false,\"why\":\"barred\"}}", WIRE_REFUSED, "", "status 200, barred"},
        {500, "{\"r\":{\"why\":\"no such number\"}}", WIRE_REFUSED, "",
         "status 500, no such number"},
        /* statuses */
        {0, "", WIRE_LATER, "", "no answer"},
        {-1, "", WIRE_LATER, "", "no answer"},
        {100, "", WIRE_LATER, "", "status 100"},
        {301, "", WIRE_LATER, "", "status 301"},
        {304, "", WIRE_LATER, "", "status 304"},
        {400, "", WIRE_REFUSED, "", "status 400"},
        {400, "{\"r\":{\"why\":\"bad\"}}", WIRE_REFUSED, "", "status 400, bad"},
        {400, "<html>", WIRE_REFUSED, "", "status 400"},
        {401, "", WIRE_LATER, "", "status 401"},
        {403, "", WIRE_LATER, "", "status 403"},
        {404, "", WIRE_REFUSED, "", "status 404"},
        {408, "", WIRE_LATER, "", "status 408"},
        {409, "", WIRE_REFUSED, "", "status 409"},
        {410, "", WIRE_REFUSED, "", "status 410"},
        {422, "", WIRE_REFUSED, "", "status 422"},
        {425, "", WIRE_LATER, "", "status 425"},
        {429, "", WIRE_LATER, "", "status 429"},
        {499, "", WIRE_REFUSED, "", "status 499"},
        {500, "", WIRE_LATER, "", "status 500"},
        {502, "<html>", WIRE_LATER, "", "status 502"},
        {503, "{\"r\":{\"ok\":true,\"id\":\"e-1\"}}", WIRE_LATER, "", "status 503"},
        {599, "", WIRE_LATER, "", "status 599"},
        {600, "", WIRE_LATER, "", "status 600"},
        /* reasons are made fit for a log */
        {400, "{\"r\":{\"why\":\"+447700900123 is\\nnot 1 of 99999\"}}", WIRE_REFUSED, "",
         "status 400, +************ is?not 1 of 99999"},
    };
    for (int later = 0; later < 2; later++) {
        struct wire_profile p = answering(later);
        for (size_t i = 0; i < COUNT(cases); i++)
            answer_is(&p, cases[i].status, slice_of(cases[i].body), cases[i].answer, cases[i].id,
                      cases[i].reason);
    }
}

/* A 2xx that does not say whether the text was taken: as the profile has chosen. */
static void unclear_answers(void **state) {
    (void)state;
    const struct {
        int status;
        struct slice body;
    } cases[] = {
        {200, SLICE("")},
        {200, SLICE("ok")},
        {200, SLICE("<html>fine</html>")},
        {200, SLICE("{\"r\":{\"ok\":true,\"id\":\"e-1\"}")},
        {200, SLICE("{\"r\":{\"ok\":true,\"ok\":true}}")},
        {200, SLICE("{\"r\":{\"ok\":true,\"id\":\"\xff\"}}")},
        {200, SLICE("{\"r\":{\"ok\":true,\"id\":\"\0\"}}")},
        {200, SLICE("{}")},
        {200, SLICE("{\"r\":{}}")},
        {200, SLICE("{\"r\":{\"ok\":null}}")},
        {200, SLICE("{\"r\":{\"ok\":{}}}")},
        {200, SLICE("{\"r\":{\"ok\":1.5}}")},
        {202, SLICE("")}, /* a 2xx that the profile does not list */
        {204, SLICE("")},
        {299, SLICE("")},
    };
    struct wire_profile careful = answering(true), plain = answering(false);
    for (size_t i = 0; i < COUNT(cases); i++) {
        char reason[40];
        (void)snprintf(reason, sizeof reason, "unclear: status %d", cases[i].status);
        answer_is(&careful, cases[i].status, cases[i].body, WIRE_LATER, "", reason);
        answer_is(&plain, cases[i].status, cases[i].body, WIRE_ACCEPTED, "", reason);
    }
    /* Without memory to read it, an answer is unclear, never refused. */
    for (size_t cap = 0; cap < 256; cap += 16) {
        struct arena a = arena_make(cap);
        struct slice id, reason;
        struct slice body = SLICE("{\"r\":{\"ok\":true,\"id\":\"e-1\"}}");
        assert_int_equal(wire_read_answer(&plain, 200, body, &a, &id, &reason), WIRE_ACCEPTED);
        arena_free(&a);
    }
}

/* Profiles that ask less of an answer. */
static void plain_answers(void **state) {
    (void)state;
    struct wire_profile p = sending(WIRE_BODY_FORM);
    p.send.answer = WIRE_BODY_NONE;
    answer_is(&p, 200, SLICE("\xff whatever"), WIRE_ACCEPTED, "", "");
    answer_is(&p, 204, SLICE(""), WIRE_ACCEPTED, "", "");
    answer_is(&p, 404, SLICE(""), WIRE_REFUSED, "", "status 404");
    p.send.answer = WIRE_BODY_FORM;
    p.send.provider_id = (struct wire_path){.whole = SLICE("number")};
    answer_is(&p, 200, SLICE("number=17&taken=yes"), WIRE_ACCEPTED, "17", "");
    answer_is(&p, 200, SLICE("taken=yes"), WIRE_ACCEPTED, "", "");
    answer_is(&p, 200, SLICE("number=%"), WIRE_ACCEPTED, "", "unclear: status 200");
}

/* Long words of a provider are cut at a whole character. */
static void reasons_are_short(void **state) {
    (void)state;
    struct wire_profile p = answering(false);
    for (int before = 0; before < 4; before++) {
        struct buf body = buf_make(2000);
        struct arena a = arena_make(ARENA_BYTES);
        buf_puts(&body, "{\"r\":{\"why\":\"");
        for (int i = 0; i < before; i++)
            buf_putc(&body, 'x');
        for (int i = 0; i < 100; i++)
            buf_puts(&body, "\xe2\x82\xac");
        buf_puts(&body, "\"}}");
        struct slice id, reason;
        (void)wire_read_answer(&p, 400, buf_slice(&body), &a, &id, &reason);
        assert_in_range(reason.n, WIRE_REASON_MAX - 3, WIRE_REASON_MAX);
        assert_true(slice_is_utf8(reason));
        arena_free(&a);
        buf_free(&body);
    }
}

static int start(void **state) {
    (void)state;
    return wire_start() == ERR_OK ? 0 : -1;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(writes_requests),         cmocka_unit_test(refuses_what_cannot_be_sent),
        cmocka_unit_test(memory_may_end_anywhere), cmocka_unit_test(clear_answers),
        cmocka_unit_test(unclear_answers),         cmocka_unit_test(plain_answers),
        cmocka_unit_test(reasons_are_short),
    };
    return cmocka_run_group_tests(tests, start, NULL);
}
