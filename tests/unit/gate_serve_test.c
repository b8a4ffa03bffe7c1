/* What the gate does with well-formed requests and with clients that dawdle, vanish or crowd. */
#include "unit/gate_client.h"

#define POST(length, body)                                                                         \
    "POST /in/json HTTP/1.1\r\nHost: a\r\nContent-Type: "                                          \
    "application/json\r\nContent-Length: " length "\r\n\r\n" body

static void one_request(void **state) {
    static const char text[] =
        "POST /receipt/json HTTP/1.1\r\nHost: a\r\nContent-Type:  text/x \r\n"
        "Webhook-Id: m1\r\nX-Two: a\r\nX-Two: b\r\nX-None:\r\n"
        "Content-Length: 9\r\n\r\nab\0cdefgh";
    struct fixture f;
    struct gate_request *r[2];
    struct reply reply;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    say(s, text, sizeof text - 1);
    for (int64_t end = now_ms() + PATIENCE_MS; gate_count(f.gate).requests == 0;) {
        assert_true(now_ms() < end);
        turn(&f, -1);
    }
    assert_int_equal(gate_wait_ms(f.gate), 0); /* it waits for its answer */
    assert_int_equal(gate_requests(f.gate, r, 2), 1);
    assert_int_equal(gate_requests(f.gate, r + 1, 1), 0); /* handed out once */
    assert_int_equal(r[0]->number, 1);
    assert_int_equal(r[0]->route, GATE_RECEIPT);
    assert_true(slice_eq(r[0]->link, SLICE("json")));
    assert_true(slice_eq(r[0]->method, SLICE("POST")));
    assert_true(slice_eq(r[0]->path, SLICE("/receipt/json")));
    assert_true(slice_eq(r[0]->content_type, SLICE("text/x")));
    assert_true(slice_eq(r[0]->body, SLICE("ab\0cdefgh")));
    assert_true(slice_eq(gate_request_header(r[0], "webhook-id"), SLICE("m1")));
    assert_int_equal(gate_request_header(r[0], "x-two").n, 0);
    assert_int_equal(gate_request_header(r[0], "x-none").n, 0);
    assert_int_equal(r[0]->header_count, 7);
    assert_false(r[0]->dead);
    assert_null(r[0]->mark);
    gate_run(f.gate); /* a turn without the answer sends nothing */
    memset(&reply, 0, sizeof reply);
    reply_take(&reply, s);
    assert_int_equal(reply.n, 0);
    gate_answer(f.gate, r[0], 503, SLICE("text/plain"), SLICE("later"), 7);
    gate_run(f.gate); /* one run is enough for the answer to leave */
    reply_take(&reply, s);
    assert_int_equal(reply.status, 503);
    assert_non_null(strstr(reply.text, "\r\nRetry-After: 7\r\n"));
    assert_non_null(strstr(reply.text, "\r\nContent-Type: text/plain\r\n"));
    assert_non_null(strstr(reply.text, "\r\n\r\nlater"));
    assert_false(reply.says_close);
    assert_false(reply.closed);
    (void)close(s);
    fixture_close(&f);
}

static void kept_connection(void **state) {
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    for (int i = 0; i < 5; i++) {
        say_text(s, POST("3", "abc"));
        listen_to(&f, s, 1, &r);
        if (r.status != 200 || r.says_close || r.closed || r.count != 1)
            fail_msg("request %d: status %d closed %d: %s", i, r.status, r.closed, r.text);
    }
    assert_int_equal(gate_count(f.gate).connections, 1);
    /* Three at once in one send, well-formed: each served, in order. */
    say_text(s, POST("3", "one") POST("3", "two") POST("5", "three"));
    listen_to(&f, s, 3, &r);
    assert_int_equal(f.served, 8);
    assert_string_equal(f.bodies[5], "one");
    assert_string_equal(f.bodies[6], "two");
    assert_string_equal(f.bodies[7], "three");
    assert_true(strstr(r.text, "ok 5") < strstr(r.text, "ok 6"));
    assert_true(strstr(r.text, "ok 6") < strstr(r.text, "ok 7"));
    /* A refused one ends it, and what stands behind is not served. */
    say_text(s, POST("4", "four") "GET /in/json HTTP/1.1\r\nHost: a\r\n\r\n" POST("4", "five"));
    listen_to(&f, s, 0, &r);
    assert_int_equal(r.count, 2);
    assert_non_null(strstr(r.text, "HTTP/1.1 405"));
    assert_int_equal(f.served, 9);
    assert_string_equal(f.bodies[8], "four");
    (void)close(s);
    fixture_close(&f);
}

static void asked_to_close(void **state) {
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    say_text(
        s, "POST /in/json HTTP/1.1\r\nHost: a\r\nConnection: close\r\nContent-Length: 1\r\n\r\nx");
    listen_to(&f, s, 0, &r);
    assert_int_equal(r.status, 200);
    assert_true(r.says_close);
    (void)close(s);
    s = dial(gate_port(f.gate));
    say_text(s, "POST /in/json HTTP/1.0\r\nContent-Length: 1\r\n\r\nx");
    listen_to(&f, s, 0, &r);
    assert_int_equal(f.served, 2);
    assert_true(r.closed);
    (void)close(s);
    fixture_close(&f);
}

static void asked_first(void **state) {
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    say_text(s, "POST /in/json HTTP/1.1\r\nHost: a\r\nContent-Length: 3\r\n"
                "Expect: 100-continue\r\n\r\n");
    listen_to(&f, s, 1, &r);
    assert_int_equal(r.status, 100);
    assert_int_equal(f.served, 0);
    say_text(s, "abc");
    listen_to(&f, s, 1, &r);
    assert_int_equal(r.status, 200);
    assert_string_equal(f.bodies[0], "abc");
    (void)close(s);
    fixture_close(&f);
}

static void bodies_at_the_cap(void **state) {
    char text[BODY_MAX + 200];
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    for (int n = 0; n <= BODY_MAX; n += BODY_MAX / 4) {
        int s = dial(gate_port(f.gate));
        int head =
            sprintf(text, "POST /in/json HTTP/1.1\r\nHost: a\r\nContent-Length: %d\r\n\r\n", n);
        memset(text + head, 'b', (size_t)n);
        say(s, text, (size_t)(head + n));
        struct gate_request *got;
        int64_t end = now_ms() + PATIENCE_MS;
        while (gate_requests(f.gate, &got, 1) == 0) {
            assert_true(now_ms() < end);
            turn(&f, -1);
        }
        if (got->body.n != (size_t)n)
            fail_msg("sent %d bytes, got %zu", n, got->body.n);
        for (size_t i = 0; i < got->body.n; i++)
            assert_int_equal(got->body.p[i], 'b');
        gate_answer(f.gate, got, 200, SLICE(""), SLICE(""), 0);
        listen_to(&f, s, 1, &r);
        assert_int_equal(r.status, 200);
        (void)close(s);
    }
    fixture_close(&f);
}

static void byte_by_byte(void **state) {
    static const char text[] = POST("10", "0123456789");
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    for (size_t i = 0; i < sizeof text - 1; i++) {
        assert_int_equal(f.served, 0);
        say(s, text + i, 1);
        turn(&f, -1);
        if (i + 2 < sizeof text)
            answer_all(&f);
    }
    listen_to(&f, s, 1, &r);
    assert_int_equal(r.status, 200);
    assert_int_equal(f.served, 1);
    assert_string_equal(f.bodies[0], "0123456789");
    (void)close(s);
    fixture_close(&f);
}

static void unfinished_is_closed(void **state) {
    static const char *const texts[] = {"POST /in/json HTTP/1.1\r\nHost: a\r\nContent-Le",
                                        POST("10", "01234"), ""};
    struct gate_options o = options_plain();
    struct fixture f;
    struct reply r;
    (void)state;
    o.timeout_s = 1;
    fixture_open(&f, o);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        int s = dial(gate_port(f.gate));
        int64_t began = now_ms();
        say_text(s, texts[i]);
        listen_to(&f, s, 0, &r);
        if (r.status == 200 || f.served > 0 || now_ms() - began < 500)
            fail_msg("'%s': status %d, served %d, after %lld ms", texts[i], r.status, f.served,
                     (long long)(now_ms() - began));
        (void)close(s);
    }
    assert_int_equal(gate_count(f.gate).connections, 0);
    fixture_close(&f);
}

/* A byte every so often keeps the library's own time-out away; the whole request has a limit. */
static void dribble_is_cut(void **state) {
    struct gate_options o = options_plain();
    struct fixture f;
    struct reply r;
    (void)state;
    memset(&r, 0, sizeof r);
    o.timeout_s = 1;
    fixture_open(&f, o);
    int s = dial(gate_port(f.gate));
    int64_t began = now_ms(), last = began;
    say_text(s, "POST /in/json HTTP/1.1\r\nHost: a\r\nX: ");
    while (!r.closed) {
        if (now_ms() - began > PATIENCE_MS)
            fail_msg("still open after %d ms", PATIENCE_MS);
        if (now_ms() - last > 100) {
            last = now_ms();
            (void)send(s, "y", 1, MSG_NOSIGNAL);
        }
        turn(&f, s);
        reply_take(&r, s);
    }
    assert_true(now_ms() - began >= 1900);
    assert_int_equal(f.served, 0);
    (void)close(s);
    fixture_close(&f);
}

/* A client that has said all it will say may shut its side and wait for the answer. */
static void half_closed(void **state) {
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    say_text(s, POST("4", "half"));
    assert_int_equal(shutdown(s, SHUT_WR), 0);
    listen_to(&f, s, 0, &r);
    assert_int_equal(f.served, 1);
    assert_string_equal(f.bodies[0], "half");
    assert_int_equal(r.status, 200);
    (void)close(s);
    fixture_close(&f);
}

static void wait_until_gone(struct fixture *f) {
    int64_t end = now_ms() + PATIENCE_MS;
    while (gate_count(f->gate).connections > 0) {
        if (now_ms() > end)
            fail_msg("%lld connections never ended", (long long)gate_count(f->gate).connections);
        turn(f, -1);
    }
}

static void vanished(void **state) {
    struct linger hard = {.l_onoff = 1, .l_linger = 0}; /* close sends a reset */
    struct gate_request *r[4];
    struct fixture f;
    (void)state;
    fixture_open(&f, options_plain());
    for (int handed = 0; handed < 2; handed++) { /* gone before, gone after it was handed out */
        int s = dial(gate_port(f.gate)), n = 0;
        int64_t end = now_ms() + PATIENCE_MS, before = gate_count(f.gate).requests;
        assert_int_equal(setsockopt(s, SOL_SOCKET, SO_LINGER, &hard, sizeof hard), 0);
        say_text(s, POST("4", "gone"));
        while (gate_count(f.gate).requests == before) {
            assert_true(now_ms() < end);
            turn(&f, -1);
        }
        if (handed)
            n = gate_requests(f.gate, r, 4);
        (void)close(s);
        wait_until_gone(&f);
        assert_int_equal(gate_wait_ms(f.gate), 0); /* it waits to be answered all the same */
        if (!handed)
            n = gate_requests(f.gate, r, 4);
        assert_int_equal(n, 1);
        assert_true(r[0]->dead);
        assert_true(slice_eq(r[0]->body, SLICE("gone"))); /* all is still there to be read */
        assert_true(slice_eq(r[0]->link, SLICE("json")));
        assert_true(slice_eq(r[0]->content_type, SLICE("application/json")));
        gate_answer(f.gate, r[0], 200, SLICE("text/plain"), SLICE("ok"), 0);
        gate_run(f.gate);
        assert_true(gate_wait_ms(f.gate) != 0);
    }
    struct gate_counts c = gate_count(f.gate);
    assert_int_equal(c.vanished, 2);
    assert_int_equal(c.answered, 2);
    fixture_close(&f);
}

static void gone_after_the_answer(void **state) {
    struct gate_request *r;
    struct fixture f;
    (void)state;
    fixture_open(&f, options_plain());
    int s = dial(gate_port(f.gate));
    say_text(s, POST("4", "gone"));
    int64_t end = now_ms() + PATIENCE_MS;
    while (gate_requests(f.gate, &r, 1) == 0) {
        assert_true(now_ms() < end);
        turn(&f, -1);
    }
    gate_answer(f.gate, r, 200, SLICE("text/plain"), SLICE("ok"), 0);
    (void)close(s);
    wait_until_gone(&f);
    fixture_close(&f);
}

static void sixty_four_at_once(void **state) {
    enum { MANY = 64 };
    struct fixture f;
    struct gate_request *got[MANY];
    bool seen[MANY] = {false};
    int s[MANY], n = 0;
    (void)state;
    fixture_open(&f, options_plain());
    for (int i = 0; i < MANY; i++) {
        char text[128];
        s[i] = dial(gate_port(f.gate));
        (void)snprintf(text, sizeof text,
                       "POST /in/json HTTP/1.1\r\nHost: a\r\nContent-Length: 2\r\n\r\n%02d", i);
        say_text(s[i], text);
    }
    for (int64_t end = now_ms() + PATIENCE_MS; n < MANY;) {
        if (now_ms() > end)
            fail_msg("only %d of %d came", n, MANY);
        turn(&f, -1);
        int more = gate_requests(f.gate, got + n, MANY - n);
        n += more;
    }
    for (int i = 0; i < MANY; i++) {
        assert_int_equal(got[i]->number, i + 1);
        seen[(got[i]->body.p[0] - '0') * 10 + got[i]->body.p[1] - '0'] = true;
        gate_answer(f.gate, got[i], 200, SLICE("text/plain"), got[i]->body, 0);
    }
    for (int i = 0; i < MANY; i++) {
        struct reply r;
        char wanted[8];
        listen_to(&f, s[i], 1, &r);
        (void)snprintf(wanted, sizeof wanted, "\n%02d", i);
        if (!seen[i] || r.status != 200 || !strstr(r.text, wanted))
            fail_msg("connection %d: seen %d, answer %s", i, seen[i], r.text);
        (void)close(s[i]);
    }
    fixture_close(&f);
}

static void too_many(void **state) {
    struct gate_options o = options_plain();
    struct fixture f;
    struct reply r;
    (void)state;
    o.per_ip_max = 2;
    fixture_open(&f, o);
    int a = dial(gate_port(f.gate)), b = dial(gate_port(f.gate)), c;
    for (int64_t end = now_ms() + PATIENCE_MS; gate_count(f.gate).connections < 2;) {
        assert_true(now_ms() < end);
        turn(&f, -1);
    }
    c = dial(gate_port(f.gate));
    listen_to(&f, c, 0, &r); /* the third of one address is closed */
    assert_int_equal(r.count, 0);
    say_text(a, POST("1", "x"));
    listen_to(&f, a, 1, &r);
    assert_int_equal(r.status, 200);
    (void)close(a);
    (void)close(b);
    (void)close(c);
    fixture_close(&f);
}

/* Requests whose clients left are still kept until they are answered; there is a limit to that. */
static void busy(void **state) {
    struct linger hard = {.l_onoff = 1, .l_linger = 0};
    struct gate_options o = options_plain();
    struct gate_request *got[8];
    struct fixture f;
    struct reply r;
    (void)state;
    o.connections_max = 2;
    fixture_open(&f, o);
    for (int i = 0; i < 4; i++) {
        int s = dial(gate_port(f.gate));
        assert_int_equal(setsockopt(s, SOL_SOCKET, SO_LINGER, &hard, sizeof hard), 0);
        say_text(s, POST("1", "x"));
        for (int64_t end = now_ms() + PATIENCE_MS; gate_count(f.gate).requests <= i;) {
            assert_true(now_ms() < end);
            turn(&f, -1);
        }
        (void)close(s);
        wait_until_gone(&f);
    }
    int s = dial(gate_port(f.gate));
    say_text(s, POST("1", "x"));
    memset(&r, 0, sizeof r);
    for (int64_t end = now_ms() + PATIENCE_MS; !r.closed; reply_take(&r, s)) {
        assert_true(now_ms() < end);
        turn(&f, s);
    }
    assert_int_equal(r.status, 503);
    assert_true(r.says_close);
    assert_non_null(strstr(r.text, "\r\nRetry-After: 5\r\n"));
    assert_int_equal(gate_count(f.gate).refused_5xx, 1);
    (void)close(s);
    assert_int_equal(gate_requests(f.gate, got, 8), 4);
    for (int i = 0; i < 4; i++)
        gate_answer(f.gate, got[i], 200, SLICE(""), SLICE(""), 0);
    fixture_close(&f);
}

static void host_routes(void **state) {
    struct fixture f;
    struct reply r;
    int fds[2];
    (void)state;
    fixture_open(&f, options_plain());
    assert_int_equal(gate_fds(f.gate, fds), 2);
    assert_true(gate_host_port(f.gate) != gate_port(f.gate));
    for (int i = 0; i < 2; i++) {
        int s = dial(gate_host_port(f.gate));
        say_text(s, i == 0 ? "GET /health HTTP/1.1\r\nHost: a\r\n\r\n"
                           : "GET /metrics HTTP/1.1\r\nHost: a\r\n\r\n");
        listen_to(&f, s, 0, &r);
        assert_int_equal(r.status, 200);
        assert_true(r.says_close);
        assert_int_equal(f.routes[i], i == 0 ? GATE_HEALTH : GATE_METRICS);
        (void)close(s);
    }
    fixture_close(&f);
    struct gate_options o = options_plain();
    o.host_port = -1;
    fixture_open(&f, o);
    assert_int_equal(gate_fds(f.gate, fds), 1);
    assert_int_equal(gate_host_port(f.gate), -1);
    fixture_close(&f);
}

static void graceful_end(void **state) {
    struct gate_request *got;
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    int port = gate_port(f.gate), s = dial(port);
    say_text(s, POST("4", "last"));
    for (int64_t end = now_ms() + PATIENCE_MS; gate_count(f.gate).requests == 0;) {
        assert_true(now_ms() < end);
        turn(&f, -1);
    }
    gate_quiesce(f.gate);
    struct sockaddr_in a = {.sin_family = AF_INET,
                            .sin_port = htons((uint16_t)port),
                            .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    int late = socket(AF_INET, SOCK_STREAM, 0);
    assert_int_equal(connect(late, (struct sockaddr *)(void *)&a, sizeof a), -1);
    assert_int_equal(errno, ECONNREFUSED);
    (void)close(late);
    gate_run(f.gate);
    assert_int_equal(gate_requests(f.gate, &got, 1), 1);
    gate_answer(f.gate, got, 200, SLICE("text/plain"), SLICE("bye"), 0);
    gate_run(f.gate);
    gate_run(f.gate);
    fixture_close(&f);
    memset(&r, 0, sizeof r);
    for (int64_t end = now_ms() + PATIENCE_MS; !r.closed;) {
        struct pollfd p = {.fd = s, .events = POLLIN};
        assert_true(now_ms() < end);
        (void)poll(&p, 1, 50);
        reply_take(&r, s);
    }
    assert_int_equal(r.status, 200);
    assert_non_null(strstr(r.text, "bye"));
    (void)close(s);
}

/* Closed with requests in every stage: nothing may leak or be used after it is freed (the
 * sanitizer build is what sees it). */
static void hard_end(void **state) {
    struct gate_request *got;
    struct fixture f;
    int s[4];
    (void)state;
    fixture_open(&f, options_plain());
    for (int i = 0; i < 4; i++) {
        s[i] = dial(gate_port(f.gate));
        say_text(s[i], i == 0 ? "POST /in/json HTTP/1.1\r\nHost: a\r\nContent-Length: 9\r\n\r\nha"
                              : POST("4", "full"));
    }
    for (int64_t end = now_ms() + PATIENCE_MS; gate_count(f.gate).requests < 3;) {
        assert_true(now_ms() < end);
        turn(&f, -1);
    }
    assert_int_equal(gate_requests(f.gate, &got, 1), 1);
    gate_answer(f.gate, got, 200, SLICE(""), SLICE(""), 0);
    fixture_close(&f); /* one reading, one answered but not sent, two waiting */
    for (int i = 0; i < 4; i++)
        (void)close(s[i]);
}

static void wrong_options(void **state) {
    struct gate_options o = options_plain();
    struct fixture f;
    struct gate *g = NULL;
    (void)state;
    fixture_open(&f, o);
    o.port = gate_port(f.gate);
    assert_int_equal(gate_open(&o, &g), ERR_IO); /* taken */
    assert_null(g);
    o = options_plain();
    o.host_port = gate_port(f.gate);
    assert_int_equal(gate_open(&o, &g), ERR_IO);
    o = options_plain();
    o.address = "localhost";
    assert_int_equal(gate_open(&o, &g), ERR_RANGE);
    o = options_plain();
    o.port = 65536;
    assert_int_equal(gate_open(&o, &g), ERR_RANGE);
    o = options_plain();
    o.link_known = NULL;
    assert_int_equal(gate_open(&o, &g), ERR_RANGE);
    o = options_plain();
    o.body_max = 0;
    assert_int_equal(gate_open(&o, &g), ERR_RANGE);
    o = options_plain();
    o.timeout_s = 0;
    assert_int_equal(gate_open(&o, &g), ERR_RANGE);
    assert_null(g);
    gate_close(NULL);
    fixture_close(&f);
}

static void idle_is_not_woken(void **state) {
    struct fixture f;
    struct reply r;
    (void)state;
    fixture_open(&f, options_plain());
    assert_int_equal(gate_wait_ms(f.gate), -1);
    int s = dial(gate_port(f.gate));
    say_text(s, POST("1", "x"));
    listen_to(&f, s, 1, &r);
    gate_run(f.gate);
    int64_t wait = gate_wait_ms(f.gate); /* only the time-out of the kept connection */
    if (wait < 1000 || wait > 6000)
        fail_msg("one idle connection with a time-out of 5 s: wait %lld ms", (long long)wait);
    (void)close(s);
    fixture_close(&f);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_request),
        cmocka_unit_test(kept_connection),
        cmocka_unit_test(asked_to_close),
        cmocka_unit_test(asked_first),
        cmocka_unit_test(bodies_at_the_cap),
        cmocka_unit_test(byte_by_byte),
        cmocka_unit_test(unfinished_is_closed),
        cmocka_unit_test(dribble_is_cut),
        cmocka_unit_test(vanished),
        cmocka_unit_test(half_closed),
        cmocka_unit_test(gone_after_the_answer),
        cmocka_unit_test(sixty_four_at_once),
        cmocka_unit_test(too_many),
        cmocka_unit_test(busy),
        cmocka_unit_test(host_routes),
        cmocka_unit_test(graceful_end),
        cmocka_unit_test(hard_end),
        cmocka_unit_test(wrong_options),
        cmocka_unit_test(idle_is_not_woken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
