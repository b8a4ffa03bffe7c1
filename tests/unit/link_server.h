/* link_server: what the tests of the link share: a provider in this process on a free port of
 * 127.0.0.1 that answers each request with the next of its canned answers, and a profile that
 * sends to it. Its sockets are waited for by link_wait itself, as the daemon's are. */
#ifndef UNIT_LINK_SERVER_H
#define UNIT_LINK_SERVER_H

#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <setjmp.h>
#include <signal.h>
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

#include "link/link.h"
#include "wire/bytes.h"
#include "wire/profile.h"

enum { PATIENCE_MS = 8000, PEERS_MAX = 12, REQUEST_MAX = 16384 };

/* An answer: bytes as they are; NULL: none, the connection stays open and silent. */
struct canned {
    const char *bytes;
    bool then_close;
};

struct peer {
    int fd; /* 0: free */
    size_t n;
    char text[REQUEST_MAX];
};

struct server {
    int fd, port;
    struct peer peers[PEERS_MAX];
    const struct canned *answers; /* the last one is repeated */
    int answer_count;
    int accepted;            /* connections, in all */
    int requests;            /* whole ones, in all */
    char last[REQUEST_MAX];  /* the last whole request */
    char first[REQUEST_MAX]; /* the first one */
};

static inline int64_t now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static inline void server_open(struct server *s, const struct canned *answers, int count) {
    struct sockaddr_in a = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof a;
    memset(s, 0, sizeof *s);
    s->answers = answers;
    s->answer_count = count;
    s->fd = socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK, 0);
    assert_true(s->fd >= 0);
    assert_int_equal(bind(s->fd, (struct sockaddr *)(void *)&a, sizeof a), 0);
    assert_int_equal(listen(s->fd, 64), 0);
    assert_int_equal(getsockname(s->fd, (struct sockaddr *)(void *)&a, &size), 0);
    s->port = ntohs(a.sin_port);
}

static inline void peer_end(struct peer *p) {
    (void)close(p->fd);
    p->fd = 0;
    p->n = 0;
}

static inline void server_close(struct server *s) {
    for (int i = 0; i < PEERS_MAX; i++)
        if (s->peers[i].fd)
            peer_end(&s->peers[i]);
    (void)close(s->fd);
}

/* The bytes of the first whole request in the text; 0: not whole yet. */
static inline size_t request_bytes(const char *text) {
    const char *end = strstr(text, "\r\n\r\n"), *length = strstr(text, "Content-Length: ");
    if (!end)
        return 0;
    size_t n = (size_t)(end + 4 - text);
    if (length && length < end)
        n += (size_t)atoi(length + 16);
    return strlen(text) >= n ? n : 0;
}

static inline void peer_answer(struct server *s, struct peer *p, size_t n) {
    int at = s->requests < s->answer_count ? s->requests : s->answer_count - 1;
    const struct canned *c = &s->answers[at];
    memcpy(s->last, p->text, n);
    s->last[n] = '\0';
    if (s->requests++ == 0)
        memcpy(s->first, s->last, n + 1);
    p->n -= n;
    memmove(p->text, p->text + n, p->n + 1);
    if (c->bytes) {
        const char *b = c->bytes;
        size_t left = strlen(b);
        while (left > 0) { /* a receiver that had enough may close */
            ssize_t sent = send(p->fd, b, left, MSG_NOSIGNAL);
            if (sent <= 0)
                break;
            b += sent;
            left -= (size_t)sent;
        }
    }
    if (c->then_close)
        peer_end(p);
}

static inline void peer_read(struct server *s, struct peer *p) {
    ssize_t got = recv(p->fd, p->text + p->n, sizeof p->text - 1 - p->n, 0);
    if (got == 0 || (got < 0 && errno != EAGAIN && errno != EWOULDBLOCK)) {
        peer_end(p);
        return;
    }
    if (got < 0)
        return;
    p->n += (size_t)got;
    p->text[p->n] = '\0';
    size_t n = request_bytes(p->text);
    if (n)
        peer_answer(s, p, n);
}

static inline void server_step(struct server *s) {
    for (int i = 0; i < PEERS_MAX; i++) {
        struct peer *p = &s->peers[i];
        if (!p->fd) {
            int fd = accept(s->fd, NULL, NULL);
            if (fd < 0)
                continue;
            assert_int_equal(fcntl(fd, F_SETFL, O_NONBLOCK), 0);
            p->fd = fd;
            s->accepted++;
        }
        peer_read(s, p);
    }
}

/* The profile lives beside the server: a JSON provider whose answers hold taken and number. */
struct sender {
    struct wire_profile profile;
    struct wire_piece pieces[4];
    struct wire_field fields[2];
    struct wire_header_out headers[1];
    int64_t statuses[2];
    char url[64];
};

static inline struct wire_path path_of(const char *name) {
    struct wire_path p = {.whole = slice_of(name), .count = 1};
    p.segments[0] = p.whole;
    return p;
}

static inline void sender_make(struct sender *s, const char *link_name, int port) {
    memset(s, 0, sizeof *s);
    (void)snprintf(s->url, sizeof s->url, "http://127.0.0.1:%d/errands", port);
    s->pieces[0] = (struct wire_piece){WIRE_HOLE_TO, SLICE("")};
    s->pieces[1] = (struct wire_piece){WIRE_HOLE_TEXT, SLICE("")};
    s->pieces[2] = (struct wire_piece){WIRE_HOLE_REFERENCE, SLICE("")};
    s->fields[0] = (struct wire_field){path_of("goes_to"), {&s->pieces[0], 1}, WIRE_KIND_TEXT};
    s->fields[1] = (struct wire_field){path_of("words"), {&s->pieces[1], 1}, WIRE_KIND_TEXT};
    s->headers[0] = (struct wire_header_out){SLICE("Idempotency-Key"), {&s->pieces[2], 1}};
    s->statuses[0] = 200;
    s->profile.link = slice_of(link_name);
    s->profile.send = (struct wire_send_profile){
        .method = SLICE("POST"),
        .url = slice_of(s->url),
        .body = WIRE_BODY_JSON,
        .headers = s->headers,
        .header_count = 1,
        .fields = s->fields,
        .field_count = 2,
        .connect_ms = 2000,
        .total_ms = 4000,
        .repeats_reference = true,
        .answer = WIRE_BODY_JSON,
        .accepted_statuses = {s->statuses, 1},
        .accepted_field = path_of("taken"),
        .accepted_equals = SLICE("true"),
        .provider_id = path_of("number"),
        .reason = path_of("because"),
        .unclear_is_later = true,
    };
}

static inline struct link_job job_of(const struct sender *s, int64_t dispatch) {
    return (struct link_job){.dispatch = dispatch,
                             .profile = &s->profile,
                             .to = SLICE("+447700900123"),
                             .text = SLICE("F3: look now"),
                             .reference = SLICE("0123456789abcdef0123456789abcdef"),
                             .useful_s = INT64_MAX};
}

/* One wait of the link, with the server's sockets in it (NULL: no server), and a step of both. */
static inline void both_step(struct link *l, struct server *s) {
    int fds[LINK_EXTRA_FDS_MAX], n = 0;
    if (s) {
        fds[n++] = s->fd;
        for (int i = 0; i < PEERS_MAX; i++)
            if (s->peers[i].fd)
                fds[n++] = s->peers[i].fd;
    }
    assert_int_equal(link_wait(l, fds, n, 50), ERR_OK);
    link_step(l);
    if (s)
        server_step(s);
}

/* Steps until `wanted` results are there. */
static inline void collect(struct link *l, struct server *s, struct link_result *out, int wanted,
                           int64_t now_s) {
    int n = 0;
    for (int64_t end = now_ms() + PATIENCE_MS; n < wanted;) {
        if (now_ms() > end)
            fail_msg("only %d of %d results after %d ms", n, wanted, PATIENCE_MS);
        both_step(l, s);
        n += link_results(l, out + n, wanted - n, now_s, (uint64_t)n * 77 + 5);
    }
}

static inline int link_tests_start(void **state) {
    (void)state;
    (void)signal(SIGPIPE, SIG_IGN);
    return wire_start() == ERR_OK ? 0 : -1;
}

#define ANSWER(status, headers, length, body)                                                      \
    "HTTP/1.1 " status "\r\nContent-Type: application/json\r\n" headers "Content-Length: " length  \
    "\r\n\r\n" body
#define ANSWER_OK   ANSWER("200 OK", "", "30", "{\"taken\":true,\"number\":\"m-17\"}")
#define ANSWER_BUSY ANSWER("503 Busy", "", "0", "")

#endif
