/* Sending over real sockets: what goes out, and what each kind of answer becomes. */
#include "unit/link_server.h"

static struct link *open_link(int connections_max) {
    struct link_options o = {.connections_max = connections_max};
    struct link *l;
    assert_int_equal(link_open(&o, &l), ERR_OK);
    return l;
}

static void goes_out_whole(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(0);
    /* The texts may be gone once the job is started. */
    char to[] = "+447700900123", text[] = "F3 \"now\"\n\xc3\xa9", reference[] = "ab12";
    struct link_job job = job_of(&sender, 42);
    job.to = slice_of(to);
    job.text = slice_of(text);
    job.reference = slice_of(reference);
    job.tries = 3;
    assert_true(link_may_start(l, &sender.profile));
    assert_int_equal(link_start(l, &job), ERR_OK);
    memset(to, 'x', sizeof to - 1);
    memset(text, 'x', sizeof text - 1);
    memset(reference, 'x', sizeof reference - 1);
    assert_int_equal(link_busy(l), 1);
    collect(l, &s, &r, 1, 1000);
    assert_int_equal(link_busy(l), 0);
    assert_int_equal(r.dispatch, 42);
    assert_int_equal(r.outcome, LINK_DONE);
    assert_int_equal(r.tries, 4);
    assert_int_equal(r.next_s, 0);
    assert_string_equal(r.provider_id, "m-17");
    assert_string_equal(r.reason, "");
    static const char *const holds[] = {
        "POST /errands HTTP/1.1\r\n", "\r\nUser-Agent: barbel\r\n",
        "\r\nContent-Type: application/json\r\n", "\r\nIdempotency-Key: ab12\r\n",
        "\r\n\r\n{\"goes_to\":\"+447700900123\",\"words\":\"F3 \\\"now\\\"\\n\xc3\xa9\"}"};
    for (size_t i = 0; i < sizeof holds / sizeof *holds; i++)
        if (!strstr(s.last, holds[i]))
            fail_msg("'%s' is not in: %s", holds[i], s.last);
    if (strstr(s.last, "Expect") || strstr(s.last, "Accept-Encoding"))
        fail_msg("unwanted header in: %s", s.last);
    link_close(l);
    server_close(&s);
}

static void keeps_connections(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(4);
    for (int i = 0; i < 5; i++) {
        struct link_job job = job_of(&sender, i);
        assert_int_equal(link_start(l, &job), ERR_OK);
        collect(l, &s, &r, 1, 1000);
        assert_int_equal(r.outcome, LINK_DONE);
    }
    assert_int_equal(s.requests, 5);
    assert_int_equal(s.accepted, 1);
    /* Idle, the link asks for no wake-up of its own. */
    int64_t began = now_ms();
    assert_int_equal(link_wait(l, NULL, 0, 30), ERR_OK);
    assert_true(now_ms() - began >= 20);
    link_close(l);
    server_close(&s);
}

#define NOW 1700000000

static void meanings(void **state) {
    static char big[70000];
    static const struct {
        const char *about;
        struct canned answer;
        bool unclear_is_accepted;
        enum link_outcome outcome;
        int64_t least_wait_s, most_wait_s; /* of LINK_LATER */
        int64_t unknown;
        const char *reason; /* begins with */
    } cases[] = {
        {"accepted", {ANSWER_OK, false}, false, LINK_DONE, 0, 0, 0, ""},
        {"accepted, then closed", {ANSWER_OK, true}, false, LINK_DONE, 0, 0, 0, ""},
        {"not taken",
         {ANSWER("200 OK", "", "15", "{\"taken\":false}"), false},
         false,
         LINK_LATER,
         0,
         4,
         0,
         "status 200"},
        {"busy", {ANSWER_BUSY, false}, false, LINK_LATER, 0, 4, 0, "status 503"},
        {"busy for two minutes",
         {ANSWER("503 Busy", "Retry-After: 120\r\n", "0", ""), false},
         false,
         LINK_LATER,
         120,
         120,
         0,
         "status 503"},
        {"busy until a date (NOW is 2023-11-14 22:13:20)",
         {ANSWER("503 Busy", "Retry-After: Tue, 14 Nov 2023 22:23:20 GMT\r\n", "0", ""), false},
         false,
         LINK_LATER,
         600,
         600,
         0,
         "status 503"},
        {"too many, for a year",
         {ANSWER("429 Slow", "retry-after: 31536000\r\n", "0", ""), false},
         false,
         LINK_LATER,
         3600,
         3600,
         0,
         "status 429"},
        {"busy, senseless wait",
         {ANSWER("503 Busy", "Retry-After: soon\r\n", "0", ""), false},
         false,
         LINK_LATER,
         0,
         4,
         0,
         "status 503"},
        {"refused",
         {ANSWER("422 No", "", "0", ""), false},
         false,
         LINK_NEVER,
         0,
         0,
         0,
         "status 422"},
        {"refused, with words",
         {ANSWER("400 No", "", "20", "{\"because\":\"barred\"}"), false},
         false,
         LINK_NEVER,
         0,
         0,
         0,
         "status 400, barred"},
        {"redirect, not followed",
         {ANSWER("302 There", "Location: /elsewhere\r\n", "0", ""), false},
         false,
         LINK_LATER,
         0,
         4,
         0,
         "status 302"},
        {"permanent redirect, not followed",
         {ANSWER("308 There", "Location: http://127.0.0.1:9/x\r\n", "0", ""), false},
         false,
         LINK_LATER,
         0,
         4,
         0,
         "status 308"},
        {"cut after reading", {"", true}, false, LINK_LATER, 0, 4, 1, "no answer"},
        {"cut inside the head",
         {"HTTP/1.1 200 OK\r\nConte", true},
         false,
         LINK_LATER,
         0,
         4,
         -1,
         ""},
        {"cut inside the body, unclear is later",
         {ANSWER("200 OK", "", "29", "{\"taken\":true,"), true},
         false,
         LINK_LATER,
         0,
         4,
         0,
         "unclear: status 200"},
        {"cut inside the body, unclear is accepted",
         {ANSWER("200 OK", "", "29", "{\"taken\":true,"), true},
         true,
         LINK_DONE,
         0,
         0,
         0,
         "unclear: status 200"},
        {"junk that is no HTTP",
         {"\x01\x02 what is this\r\n\r\n", true},
         false,
         LINK_LATER,
         0,
         4,
         1,
         "no answer"},
        {"junk in the body, unclear is later",
         {ANSWER("200 OK", "", "9", "<p>ok</p>"), false},
         false,
         LINK_LATER,
         0,
         4,
         0,
         "unclear: status 200"},
        {"junk in the body, unclear is accepted",
         {ANSWER("200 OK", "", "9", "<p>ok</p>"), false},
         true,
         LINK_DONE,
         0,
         0,
         0,
         "unclear: status 200"},
        {"a body without end", {big, false}, true, LINK_DONE, 0, 0, 0, "unclear: status 200"},
    };
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    size_t head = (size_t)sprintf(big, "HTTP/1.1 200 OK\r\nContent-Length: 99999999\r\n\r\n");
    memset(big + head, '[', sizeof big - 1 - head);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        server_open(&s, &cases[i].answer, 1);
        sender_make(&sender, "json", s.port);
        sender.profile.send.unclear_is_later = !cases[i].unclear_is_accepted;
        struct link *l = open_link(2);
        struct link_job job = job_of(&sender, 7);
        int64_t began = now_ms();
        assert_int_equal(link_start(l, &job), ERR_OK);
        collect(l, &s, &r, 1, NOW);
        if (now_ms() - began > 3000) /* the time-out is 4 s */
            fail_msg("%s: took %lld ms", cases[i].about, (long long)(now_ms() - began));
        int64_t wait_s = r.outcome == LINK_LATER ? r.next_s - NOW : r.next_s;
        if (r.outcome != cases[i].outcome)
            fail_msg("%s: outcome %d (%s), wanted %d", cases[i].about, r.outcome, r.reason,
                     cases[i].outcome);
        if (wait_s < cases[i].least_wait_s || wait_s > cases[i].most_wait_s)
            fail_msg("%s: waits %lld s, wanted %lld to %lld", cases[i].about, (long long)wait_s,
                     (long long)cases[i].least_wait_s, (long long)cases[i].most_wait_s);
        if (strncmp(r.reason, cases[i].reason, strlen(cases[i].reason)) != 0)
            fail_msg("%s: reason '%s', wanted '%s...'", cases[i].about, r.reason, cases[i].reason);
        if (cases[i].unknown >= 0 && link_count(l).unknown != cases[i].unknown)
            fail_msg("%s: %lld unknown, wanted %lld", cases[i].about,
                     (long long)link_count(l).unknown, (long long)cases[i].unknown);
        if (s.requests != 1)
            fail_msg("%s: the provider got %d requests", cases[i].about, s.requests);
        link_close(l);
        server_close(&s);
    }
}

static void slow_is_unknown(void **state) {
    static const struct canned answers[] = {{NULL, false}, {ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 2);
    sender_make(&sender, "json", s.port);
    sender.profile.send.total_ms = 150;
    struct link *l = open_link(2);
    struct link_job job = job_of(&sender, 1);
    int64_t began = now_ms();
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, &s, &r, 1, 1000);
    assert_true(now_ms() - began >= 140);
    assert_int_equal(r.outcome, LINK_LATER);
    assert_int_equal(link_count(l).unknown, 1);
    if (strncmp(r.reason, "no answer: ", 11) != 0)
        fail_msg("reason '%s'", r.reason);
    /* The next try goes out with the same reference and is taken. */
    char first[REQUEST_MAX];
    memcpy(first, s.first, sizeof first);
    job.tries = r.tries;
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, &s, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_DONE);
    assert_int_equal(r.tries, 2);
    assert_int_equal(s.requests, 2);
    assert_string_equal(s.last, first);
    assert_non_null(strstr(first, "0123456789abcdef0123456789abcdef"));
    link_close(l);
    server_close(&s);
}

/* A kept connection that the provider closed meanwhile is no failure. */
static void stale_connection(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, true}, {ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 2);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(2);
    for (int i = 0; i < 2; i++) {
        struct link_job job = job_of(&sender, i);
        assert_int_equal(link_start(l, &job), ERR_OK);
        collect(l, &s, &r, 1, 1000);
        assert_int_equal(r.outcome, LINK_DONE);
    }
    assert_int_equal(s.accepted, 2);
    link_close(l);
    server_close(&s);
}

static void nobody_there(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    server_close(&s); /* its port is free now */
    struct link *l = open_link(2);
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, NULL, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_LATER);
    assert_int_equal(link_count(l).unknown, 0);
    if (strncmp(r.reason, "not sent: ", 10) != 0)
        fail_msg("reason '%s'", r.reason);
    link_close(l);
}

static void expires(void **state) {
    static const struct canned answers[] = {
        {ANSWER("503 Busy", "Retry-After: 60\r\n", "0", ""), false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(2);
    for (int i = 0; i < 2; i++) {
        struct link_job job = job_of(&sender, i);
        job.useful_s = 1000 + 59 + i;
        assert_int_equal(link_start(l, &job), ERR_OK);
        collect(l, &s, &r, 1, 1000);
        assert_int_equal(r.outcome, i == 0 ? LINK_EXPIRED : LINK_LATER);
        assert_int_equal(r.next_s, i == 0 ? 0 : 1060);
    }
    struct link_counts c = link_count(l);
    assert_int_equal(c.started, 2);
    assert_int_equal(c.expired, 1);
    assert_int_equal(c.later, 1);
    link_close(l);
    server_close(&s);
}

static void circuit(void **state) {
    static const struct canned answers[] = {
        {ANSWER_BUSY, false}, {ANSWER_BUSY, false}, {ANSWER_BUSY, false}, {ANSWER_BUSY, false},
        {ANSWER_BUSY, false}, {ANSWER_BUSY, false}, {ANSWER_OK, false}};
    struct server s;
    struct sender sender, other;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 7);
    sender_make(&sender, "json", s.port);
    sender_make(&other, "form", s.port);
    struct link *l = open_link(8);
    for (int i = 1; i <= LINK_CIRCUIT_FAILURES; i++) {
        struct link_job job = job_of(&sender, i);
        assert_int_equal(link_start(l, &job), ERR_OK);
        collect(l, &s, &r, 1, 1000);
        assert_int_equal(link_failures(l, &sender.profile), i);
        assert_true(link_may_start(l, &sender.profile));
    }
    for (int probe = 0; probe < 2; probe++) { /* the first fails, the second is taken */
        struct link_job job = job_of(&sender, 10 + probe);
        assert_int_equal(link_start(l, &job), ERR_OK);
        assert_false(link_may_start(l, &sender.profile)); /* one at a time */
        assert_int_equal(link_start(l, &job), ERR_BUSY);
        assert_true(link_may_start(l, &other.profile)); /* another provider's is closed */
        collect(l, &s, &r, 1, 1000);
        assert_int_equal(r.outcome, probe == 0 ? LINK_LATER : LINK_DONE);
    }
    assert_int_equal(link_failures(l, &sender.profile), 0);
    struct link_job a = job_of(&sender, 20), b = job_of(&sender, 21);
    assert_int_equal(link_start(l, &a), ERR_OK);
    assert_int_equal(link_start(l, &b), ERR_OK);
    struct link_result two[2];
    collect(l, &s, two, 2, 1000);
    link_close(l);
    server_close(&s);
}

/* A refusal is an answer: the provider is well, only the text is not. */
static void refusals_keep_it_closed(void **state) {
    static const struct canned answers[] = {{ANSWER("400 No", "", "0", ""), false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(2);
    for (int i = 0; i < 2 * LINK_CIRCUIT_FAILURES; i++) {
        struct link_job job = job_of(&sender, i);
        assert_int_equal(link_start(l, &job), ERR_OK);
        collect(l, &s, &r, 1, 1000);
        assert_int_equal(r.outcome, LINK_NEVER);
    }
    assert_int_equal(link_failures(l, &sender.profile), 0);
    link_close(l);
    server_close(&s);
}

static void many_at_once(void **state) {
    enum { MANY = 40, AT_ONCE = 8 };
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r[AT_ONCE];
    bool seen[MANY] = {false};
    int started = 0, done = 0;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(AT_ONCE);
    for (int64_t end = now_ms() + PATIENCE_MS; done < MANY;) {
        if (now_ms() > end)
            fail_msg("%d of %d done", done, MANY);
        while (started < MANY && link_may_start(l, &sender.profile)) {
            struct link_job job = job_of(&sender, started);
            assert_int_equal(link_start(l, &job), ERR_OK);
            started++;
        }
        if (started < MANY) {
            struct link_job job = job_of(&sender, 99);
            assert_int_equal(link_busy(l), AT_ONCE);
            assert_int_equal(link_start(l, &job), ERR_BUSY);
        }
        both_step(l, &s);
        int n = link_results(l, r, AT_ONCE, 1000, 1);
        for (int i = 0; i < n; i++) {
            assert_int_equal(r[i].outcome, LINK_DONE);
            assert_false(seen[r[i].dispatch]);
            seen[r[i].dispatch] = true;
        }
        done += n;
    }
    assert_true(s.accepted <= AT_ONCE);
    assert_int_equal(s.requests, MANY);
    assert_int_equal(link_count(l).done, MANY);
    link_close(l);
    server_close(&s);
}

static void cannot_be_written(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(1);
    struct link_job job = job_of(&sender, 1);
    job.text = SLICE("\xff");
    assert_int_equal(link_start(l, &job), ERR_UTF8);
    job = job_of(&sender, 1);
    job.to = SLICE("07700900123");
    assert_int_equal(link_start(l, &job), ERR_SYNTAX);
    /* A secret file with a line end inside would add a header of its own. */
    sender.pieces[2] = (struct wire_piece){WIRE_HOLE_NONE, SLICE("x\r\nX-Own: y")};
    job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_SYNTAX);
    sender.pieces[2] = (struct wire_piece){WIRE_HOLE_NONE, SLICE("")};
    assert_int_equal(link_busy(l), 0);
    assert_int_equal(link_count(l).started, 0);
    assert_int_equal(link_start(l, &job), ERR_OK); /* the place is as good as new */
    collect(l, &s, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_DONE);
    assert_non_null(strstr(s.last, "\r\nIdempotency-Key:\r\n")); /* an empty header is kept */
    link_close(l);
    server_close(&s);
}

static void only_http(void **state) {
    struct sender sender;
    struct link_result r;
    (void)state;
    struct link *l = open_link(1);
    sender_make(&sender, "json", 1);
    sender.profile.send.url = SLICE("file:///etc/passwd");
    sender.profile.send.accepted_field = (struct wire_path){.count = 0};
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, NULL, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_LATER);
    assert_int_equal(strncmp(r.reason, "not sent: ", 10), 0);
    link_close(l);
}

static void environment_is_ignored(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    assert_int_equal(setenv("http_proxy", "http://127.0.0.1:1", 1), 0);
    assert_int_equal(setenv("all_proxy", "http://127.0.0.1:1", 1), 0);
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(1);
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    collect(l, &s, &r, 1, 1000);
    assert_int_equal(r.outcome, LINK_DONE);
    (void)unsetenv("http_proxy");
    (void)unsetenv("all_proxy");
    link_close(l);
    server_close(&s);
}

static void given_up_at_close(void **state) {
    static const struct canned answers[] = {{NULL, false}};
    struct server s;
    struct sender sender;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(4);
    for (int i = 0; i < 3; i++) {
        struct link_job job = job_of(&sender, i);
        assert_int_equal(link_start(l, &job), ERR_OK);
    }
    for (int64_t end = now_ms() + PATIENCE_MS; s.requests < 3; both_step(l, &s))
        assert_true(now_ms() < end);
    link_close(l); /* leaks are the sanitizer build's to see */
    server_close(&s);
    link_close(NULL);
}

/* A result that nobody collected must not sleep in a wait. */
static void wakes_for_results(void **state) {
    static const struct canned answers[] = {{ANSWER_OK, false}};
    struct server s;
    struct sender sender;
    struct link_result r;
    (void)state;
    server_open(&s, answers, 1);
    sender_make(&sender, "json", s.port);
    struct link *l = open_link(2);
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    for (int64_t end = now_ms() + PATIENCE_MS; s.requests == 0; both_step(l, &s))
        assert_true(now_ms() < end);
    for (int i = 0; i < 4; i++)
        both_step(l, &s);
    int64_t began = now_ms();
    assert_int_equal(link_wait(l, NULL, 0, 3000), ERR_OK);
    assert_true(now_ms() - began < 1500);
    assert_int_equal(link_results(l, &r, 1, 1000, 1), 1);
    assert_int_equal(link_results(l, &r, 1, 1000, 1), 0);
    link_close(l);
    server_close(&s);
}

static void wakes_for_others(void **state) {
    int ends[2];
    (void)state;
    struct link *l = open_link(1);
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "x", 1), 1);
    int64_t began = now_ms();
    assert_int_equal(link_wait(l, ends, 1, -1), ERR_OK);
    assert_true(now_ms() - began < 2000);
    int many[LINK_EXTRA_FDS_MAX + 1] = {0};
    assert_int_equal(link_wait(l, many, LINK_EXTRA_FDS_MAX + 1, 0), ERR_RANGE);
    (void)close(ends[0]);
    (void)close(ends[1]);
    link_close(l);
    struct link_options o = {.connections_max = -1};
    assert_int_equal(link_open(&o, &l), ERR_RANGE);
    o.connections_max = 100000;
    assert_int_equal(link_open(&o, &l), ERR_RANGE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(goes_out_whole),
        cmocka_unit_test(keeps_connections),
        cmocka_unit_test(meanings),
        cmocka_unit_test(slow_is_unknown),
        cmocka_unit_test(stale_connection),
        cmocka_unit_test(nobody_there),
        cmocka_unit_test(expires),
        cmocka_unit_test(circuit),
        cmocka_unit_test(refusals_keep_it_closed),
        cmocka_unit_test(many_at_once),
        cmocka_unit_test(cannot_be_written),
        cmocka_unit_test(only_http),
        cmocka_unit_test(environment_is_ignored),
        cmocka_unit_test(given_up_at_close),
        cmocka_unit_test(wakes_for_results),
        cmocka_unit_test(wakes_for_others),
    };
    return cmocka_run_group_tests(tests, link_tests_start, NULL);
}
