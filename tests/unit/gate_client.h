/* gate_client: what the tests of the gate share: a gate in this process on a free port of
 * 127.0.0.1, and raw sockets against it. Nothing sleeps: every wait is a poll on the gate's own
 * descriptors with a last moment. */
#ifndef UNIT_GATE_CLIENT_H
#define UNIT_GATE_CLIENT_H

#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "gate/gate.h"

enum { BODY_MAX = 1024, PATIENCE_MS = 8000, SEEN_MAX = 64 };

struct fixture {
    struct gate *gate;
    int served;                /* requests answered */
    char bodies[SEEN_MAX][64]; /* the first bytes of each body, in order */
    char links[SEEN_MAX][32];
    enum gate_route routes[SEEN_MAX];
};

static inline bool only_json(void *context, struct slice link, enum gate_route route) {
    (void)context;
    return slice_eq(link, SLICE("json")) ||
           (slice_eq(link, SLICE("deaf")) && route == GATE_RECEIPT);
}

static inline struct gate_options options_plain(void) {
    return (struct gate_options){.address = "127.0.0.1",
                                 .host_address = "127.0.0.1",
                                 .connections_max = 128,
                                 .timeout_s = 5,
                                 .body_max = BODY_MAX,
                                 .link_known = only_json};
}

static inline int64_t now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static inline void fixture_open(struct fixture *f, struct gate_options options) {
    memset(f, 0, sizeof *f);
    assert_int_equal(gate_open(&options, &f->gate), ERR_OK);
    assert_true(gate_port(f->gate) > 0);
}

static inline void fixture_close(struct fixture *f) {
    gate_close(f->gate);
}

static inline int dial(int port) {
    struct sockaddr_in a = {.sin_family = AF_INET,
                            .sin_port = htons((uint16_t)port),
                            .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    int s = socket(AF_INET, SOCK_STREAM, 0);
    assert_true(s >= 0);
    assert_int_equal(connect(s, (struct sockaddr *)(void *)&a, sizeof a), 0);
    assert_int_equal(fcntl(s, F_SETFL, O_NONBLOCK), 0);
    return s;
}

static inline void say(int s, const void *bytes, size_t n) {
    ssize_t sent = send(s, bytes, n, MSG_NOSIGNAL);
    if (sent != (ssize_t)n)
        fail_msg("sent %zd of %zu bytes: %s", sent, n, strerror(errno));
}

static inline void say_text(int s, const char *text) {
    say(s, text, strlen(text));
}

/* Answers 200 "ok N" to all that wait, N being the request's place. */
static inline void answer_all(struct fixture *f) {
    struct gate_request *r[SEEN_MAX];
    int n = gate_requests(f->gate, r, SEEN_MAX);
    for (int i = 0; i < n; i++) {
        char body[32];
        int at = f->served++ % SEEN_MAX;
        (void)snprintf(f->bodies[at], sizeof f->bodies[at], "%.*s", SLICE_ARG(r[i]->body));
        (void)snprintf(f->links[at], sizeof f->links[at], "%.*s", SLICE_ARG(r[i]->link));
        f->routes[at] = r[i]->route;
        (void)snprintf(body, sizeof body, "ok %d", at);
        gate_answer(f->gate, r[i], 200, SLICE("text/plain"), slice_of(body), 0);
    }
    if (n > 0)
        gate_run(f->gate);
}

/* One wait and one run of the gate; `s` (or -1) is waited for, too. */
static inline void turn(struct fixture *f, int s) {
    int fds[2];
    int n = gate_fds(f->gate, fds);
    struct pollfd p[3];
    int64_t wait = gate_wait_ms(f->gate);
    for (int i = 0; i < n; i++)
        p[i] = (struct pollfd){.fd = fds[i], .events = POLLIN};
    p[n] = (struct pollfd){.fd = s, .events = POLLIN};
    (void)poll(p, (nfds_t)n + 1, wait < 0 || wait > 50 ? 50 : (int)wait);
    gate_run(f->gate);
}

struct reply {
    int status;  /* 0: none came */
    bool closed; /* the gate closed the connection */
    bool reset;  /* and did so with a reset */
    bool says_close;
    int count; /* answers in all */
    size_t n;
    char text[8192];
};

static inline const char *find_nocase(const char *text, const char *what) {
    size_t n = strlen(what);
    for (; *text; text++)
        if (slice_eq_nocase((struct slice){text, strnlen(text, n)}, slice_of(what)))
            return text;
    return NULL;
}

static inline void reply_read(struct reply *r) {
    r->text[r->n] = '\0';
    r->count = 0;
    r->status = 0;
    for (const char *at = r->text; (at = strstr(at, "HTTP/1.1 ")) != NULL; at += 9) {
        if (r->count++ == 0)
            r->status = atoi(at + 9);
    }
    r->says_close = find_nocase(r->text, "\r\nConnection: close\r\n") != NULL;
}

/* Whether the text holds `answers` whole answers: heads, and bodies as long as they say. */
static inline bool reply_whole(const struct reply *r, int answers) {
    const char *at = r->text;
    for (int i = 0; i < answers; i++) {
        const char *end = strstr(at, "\r\n\r\n");
        const char *length = find_nocase(at, "\r\nContent-Length: ");
        if (!end)
            return false;
        size_t n = length && length < end ? (size_t)atoi(length + 18) : 0;
        if ((size_t)(r->text + r->n - (end + 4)) < n)
            return false;
        at = end + 4 + n;
    }
    return true;
}

/* Takes what is there to read now. */
static inline void reply_take(struct reply *r, int s) {
    for (;;) {
        ssize_t got = recv(s, r->text + r->n, sizeof r->text - 1 - r->n, 0);
        if (got > 0) {
            r->n += (size_t)got;
            continue;
        }
        if (got == 0)
            r->closed = true;
        else if (errno != EAGAIN && errno != EWOULDBLOCK)
            r->closed = r->reset = true;
        break;
    }
    reply_read(r);
}

/* Serves until the connection is closed, or (answers > 0) so many whole answers came. */
static inline void listen_to(struct fixture *f, int s, int answers, struct reply *r) {
    int64_t end = now_ms() + PATIENCE_MS;
    memset(r, 0, sizeof *r);
    while (!r->closed && !(answers > 0 && r->count >= answers && reply_whole(r, answers))) {
        if (now_ms() > end)
            fail_msg("after %d ms: %d answers, not closed, got: %s", PATIENCE_MS, r->count,
                     r->text);
        turn(f, s);
        answer_all(f);
        reply_take(r, s);
    }
}

#endif
