/* gate: see gate.h. libmicrohttpd 0.9.75 run from outside over its epoll descriptor, one daemon of
 * it for each listener, no thread.
 *
 * In: bytes of clients. Out: whole requests, and the caller's answers back to the clients. Failures
 * of the network are the client's matter and only counted; out of memory closes the one connection,
 * whose sender comes again.
 *
 * A request that waits for its answer is not suspended: the library asks for the answer in each of
 * its runs until there is one. That is fast when the answer comes in the same turn of the loop and
 * a busy wait when not, so the caller answers each request in the turn in which it got it.
 *
 * The library is not strict about the head of a request. What it keeps is judged in judge.c; what
 * it silently drops (a zero byte cuts a path or a value) is found here, by looking whether the
 * pieces it hands out lie in its buffer as they would without anything dropped between them. */
#include "gate/gate.h"

#include <microhttpd.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/log.h"
#include "gate/judge.h"
#include "gate/listen.h"

enum {
    CONNECTION_BYTES = 16 * 1024, /* the library's memory for one connection */
    HOST_CONNECTIONS = 16
};

/* One open connection. */
struct visit {
    struct visit *next, *prev;
    int fd;
    int64_t since_ms; /* opened, or its last request ended */
    bool cut;
    const char *target; /* in the library's buffer, until the head was judged */
    size_t target_bytes;
};

enum stage { READING, WAITING, GIVEN, ANSWERED };

/* One request that passed the judge. `shown` is its outside and must be the first member. */
struct work {
    struct gate_request shown;
    struct work *next; /* in the list of the waiting */
    struct gate *gate;
    enum stage stage;
    struct buf body;
    struct MHD_Response *response; /* of ANSWERED; NULL: close the connection */
    int status;
    struct gate_header headers[]; /* followed by all text */
};

struct side {
    struct gate *gate;
    struct MHD_Daemon *daemon; /* NULL: none */
    bool host;
    int port, fd;
};

struct gate {
    struct gate_options options;
    struct side sides[2]; /* public, host */
    struct visit *visits;
    struct work *first, *last; /* WAITING, oldest first */
    int pending;               /* WAITING and GIVEN */
    int64_t swept_ms;
    bool keeps_layout; /* the library leaves a head where it read it, as 0.9.x does */
    struct gate_counts counts;
};

/* Marks the requests of a connection that was refused: a value of the library's request pointer. */
static char refused_mark;

static int64_t clock_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static struct visit *visit_of(struct MHD_Connection *c) {
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info ? info->socket_context : NULL;
}

/* -- the head ------------------------------------------------------------------------------------
 */

struct head {
    struct gate_header headers[GATE_HEADERS_MAX];
    int count;
    bool too_many;
};

static enum MHD_Result collect(void *context, enum MHD_ValueKind kind, const char *name,
                               size_t name_n, const char *value, size_t value_n) {
    struct head *head = context;
    (void)kind;
    if (head->count == GATE_HEADERS_MAX) {
        head->too_many = true;
        return MHD_NO;
    }
    head->headers[head->count++] =
        (struct gate_header){{name, name_n}, {value, value ? value_n : 0}};
    return MHD_YES;
}

/* Whether the head's pieces lie in the library's buffer one after the other with nothing between
 * them but what must be there: METHOD SP TARGET SP VERSION CR LF, then NAME ":" blanks VALUE CR LF
 * for each header, then CR LF. False: a zero byte dropped something, a line was folded, or a line
 * ended without CR. Addresses are compared as numbers, since pieces that were copied elsewhere are
 * not in the same object. */
static bool layout_whole(const struct visit *v, const char *method, const char *version,
                         const struct head *head, size_t head_bytes) {
    uintptr_t at = (uintptr_t)method + strlen(method) + 1;
    if (at != (uintptr_t)v->target || at + v->target_bytes + 1 != (uintptr_t)version)
        return false;
    at = (uintptr_t)version + strlen(version) + 2;
    for (int i = 0; i < head->count; i++) {
        struct slice name = head->headers[i].name, value = head->headers[i].value;
        uintptr_t colon = at + name.n, text = (uintptr_t)value.p;
        if ((uintptr_t)name.p != at || text <= colon || text - colon > GATE_HEADER_BYTES_MAX)
            return false;
        for (const char *p = name.p + name.n + 1; (uintptr_t)p < text; p++)
            if (*p != ' ' && *p != '\t')
                return false;
        at = text + value.n + 2;
    }
    return at + 2 == (uintptr_t)method + head_bytes;
}

/* -- answering -----------------------------------------------------------------------------------
 */

static enum MHD_Result refuse(struct gate *g, struct MHD_Connection *c, int status,
                              const char *allow) {
    struct MHD_Response *r = MHD_create_response_from_buffer(0, NULL, MHD_RESPMEM_PERSISTENT);
    enum MHD_Result result = MHD_NO;
    char seconds[16];
    if (status < 500)
        g->counts.refused_4xx++;
    else
        g->counts.refused_5xx++;
    if (!r)
        return MHD_NO;
    (void)snprintf(seconds, sizeof seconds, "%d", GATE_BUSY_RETRY_S);
    if (MHD_add_response_header(r, "Connection", "close") == MHD_YES &&
        (!allow || MHD_add_response_header(r, "Allow", allow) == MHD_YES) &&
        (status != 503 || MHD_add_response_header(r, "Retry-After", seconds) == MHD_YES))
        result = MHD_queue_response(c, (unsigned)status, r);
    MHD_destroy_response(r);
    return result;
}

static struct slice text_keep(char **at, struct slice s) {
    struct slice kept = {*at, s.n};
    if (s.n)
        memcpy(*at, s.p, s.n);
    *at += s.n;
    return kept;
}

/* A request with its own copy of the head: the library's buffer is gone when the client is. */
static struct work *work_new(struct gate *g, const struct gate_head *head,
                             const struct gate_target *target) {
    size_t pairs = (size_t)head->header_count;
    size_t text = head->method.n + head->target.n;
    for (size_t i = 0; i < pairs; i++)
        text += head->headers[i].name.n + head->headers[i].value.n;
    struct work *w = calloc(1, sizeof *w + pairs * sizeof *w->headers + text);
    if (!w)
        return NULL;
    char *at = (char *)(w->headers + pairs);
    for (size_t i = 0; i < pairs; i++) {
        w->headers[i].name = text_keep(&at, head->headers[i].name);
        w->headers[i].value = text_keep(&at, head->headers[i].value);
    }
    w->gate = g;
    w->body = buf_make(g->options.body_max);
    w->shown.route = target->route;
    w->shown.headers = w->headers;
    w->shown.header_count = head->header_count;
    w->shown.method = text_keep(&at, head->method);
    w->shown.path = text_keep(&at, head->target);
    w->shown.link = slice_from(w->shown.path, w->shown.path.n - target->link.n);
    w->shown.content_type = gate_request_header(&w->shown, "content-type");
    return w;
}

static void work_free(struct work *w) {
    if (w->response)
        MHD_destroy_response(w->response);
    buf_free(&w->body);
    free(w);
}

/* The first call for a request: its head is there, nothing of its body was taken. */
static enum MHD_Result begin(struct side *side, struct MHD_Connection *c, const char *method,
                             const char *version, void **request) {
    struct gate *g = side->gate;
    struct visit *v = visit_of(c);
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_REQUEST_HEADER_SIZE);
    struct head lines = {.count = 0};
    struct gate_target target;
    size_t length;

    *request = &refused_mark;
    if (!v || !v->target || !info)
        return refuse(g, c, 400, NULL);
    (void)MHD_get_connection_values_n(c, MHD_HEADER_KIND, collect, &lines);
    if (lines.too_many || info->header_size > GATE_HEADER_BYTES_MAX)
        return refuse(g, c, 431, NULL);
    bool whole = !g->keeps_layout || layout_whole(v, method, version, &lines, info->header_size);
    for (int i = 0; i < lines.count; i++)
        lines.headers[i].value = slice_trim(lines.headers[i].value);
    struct gate_head head = {
        slice_of(method), {v->target, v->target_bytes}, lines.headers, lines.count};
    v->target = NULL;
    if (!gate_judge_target(head.target, side->host, &target))
        return refuse(g, c, 404, NULL);
    if (!whole) /* a zero byte in the target is no path; elsewhere it is a malformed head */
        return refuse(
            g, c, (uintptr_t)head.target.p + head.target.n + 1 != (uintptr_t)version ? 404 : 400,
            NULL);
    if (target.link.n > 0 && !g->options.link_known(g->options.context, target.link, target.route))
        return refuse(g, c, 404, NULL);
    if (!slice_eq(head.method, slice_of(target.method)))
        return refuse(g, c, 405, target.method);
    int status =
        gate_judge_framing(&head, !side->host, side->host ? 0 : g->options.body_max, &length);
    if (status)
        return refuse(g, c, status, NULL);
    if (g->pending >= 2 * g->options.connections_max)
        return refuse(g, c, 503, NULL);
    struct work *w = work_new(g, &head, &target);
    if (!w)
        return refuse(g, c, 503, NULL);
    *request = w;
    return MHD_YES;
}

static void list_add(struct gate *g, struct work *w) {
    w->stage = WAITING;
    w->shown.number = ++g->counts.requests;
    w->shown.body = buf_slice(&w->body);
    if (g->last)
        g->last->next = w;
    else
        g->first = w;
    g->last = w;
    g->pending++;
}

static enum MHD_Result handle(void *context, struct MHD_Connection *c, const char *url,
                              const char *method, const char *version, const char *data,
                              size_t *data_n, void **request) {
    struct side *side = context;
    (void)url; /* unescaped; the raw target was kept */
    if (!*request)
        return begin(side, c, method, version, request);
    if (*request == &refused_mark) { /* its answer is queued: the rest is not looked at */
        *data_n = 0;
        return MHD_YES;
    }
    struct work *w = *request;
    if (w->stage == READING && *data_n > 0) {
        buf_put(&w->body, (struct slice){data, *data_n});
        *data_n = 0;
        return buf_err(&w->body) ? MHD_NO : MHD_YES;
    }
    if (w->stage == READING)
        list_add(side->gate, w);
    if (w->stage != ANSWERED)
        return MHD_YES;
    if (!w->response)
        return MHD_NO;
    return MHD_queue_response(c, (unsigned)w->status, w->response);
}

/* -- what the library tells ----------------------------------------------------------------------
 */

static void *target_seen(void *context, const char *target, struct MHD_Connection *c) {
    struct visit *v = visit_of(c);
    (void)context;
    if (v) {
        v->target = target;
        v->target_bytes = strlen(target);
    }
    return NULL; /* the request pointer at the first call */
}

static void request_ended(void *context, struct MHD_Connection *c, void **request,
                          enum MHD_RequestTerminationCode why) {
    struct side *side = context;
    struct visit *v = visit_of(c);
    struct work *w = *request == &refused_mark ? NULL : *request;
    (void)why;
    *request = NULL;
    if (v) {
        v->since_ms = clock_ms();
        v->target = NULL;
    }
    if (!w)
        return;
    if (w->stage == WAITING || w->stage == GIVEN) {
        /* Taken in whole, so it is read and answered all the same; only nobody hears it. */
        w->shown.dead = true;
        side->gate->counts.vanished++;
        return;
    }
    work_free(w);
}

static void connection_changed(void *context, struct MHD_Connection *c, void **socket_context,
                               enum MHD_ConnectionNotificationCode what) {
    struct side *side = context;
    struct gate *g = side->gate;
    if (what == MHD_CONNECTION_NOTIFY_STARTED) {
        const union MHD_ConnectionInfo *info =
            MHD_get_connection_info(c, MHD_CONNECTION_INFO_CONNECTION_FD);
        struct visit *v = calloc(1, sizeof *v);
        *socket_context = v; /* NULL: its requests are refused */
        if (!v)
            return;
        *v = (struct visit){.next = g->visits, .fd = info ? info->connect_fd : -1};
        v->since_ms = clock_ms();
        if (g->visits)
            g->visits->prev = v;
        g->visits = v;
        g->counts.connections++;
        return;
    }
    struct visit *v = *socket_context;
    *socket_context = NULL;
    if (!v)
        return;
    if (v->prev)
        v->prev->next = v->next;
    else
        g->visits = v->next;
    if (v->next)
        v->next->prev = v->prev;
    g->counts.connections--;
    free(v);
}

/* The library's own words: about clients, whom anyone can be, so never louder than debug. */
static void library_says(void *context, const char *format, va_list args) {
    char line[200];
    (void)context;
    (void)vsnprintf(line, sizeof line, format, args);
    line[strcspn(line, "\n")] = '\0';
    LOG(LOG_DEBUG, "http", LOG_TEXT("says", line));
}

/* -- opening and closing -------------------------------------------------------------------------
 */

static enum err side_open(struct side *side, struct gate *g, const char *address, int port,
                          int connections_max) {
    int fd, family;
    enum err e = gate_listen(address, port, &fd, &side->port, &family);
    if (e)
        return e;
    unsigned flags = MHD_USE_EPOLL | MHD_USE_ERROR_LOG;
    if (family == AF_INET6)
        flags |= MHD_USE_IPv6;
    side->gate = g;
    side->daemon = MHD_start_daemon(
        flags, (uint16_t)side->port, NULL, NULL, handle, side, MHD_OPTION_EXTERNAL_LOGGER,
        library_says, NULL, MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_CONNECTION_LIMIT,
        (unsigned)connections_max, MHD_OPTION_PER_IP_CONNECTION_LIMIT,
        (unsigned)(side->host ? 0 : g->options.per_ip_max), MHD_OPTION_CONNECTION_TIMEOUT,
        (unsigned)g->options.timeout_s, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
        (size_t)CONNECTION_BYTES, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_URI_LOG_CALLBACK,
        target_seen, side, MHD_OPTION_NOTIFY_COMPLETED, request_ended, side,
        MHD_OPTION_NOTIFY_CONNECTION, connection_changed, side, MHD_OPTION_END);
    const union MHD_DaemonInfo *info =
        side->daemon ? MHD_get_daemon_info(side->daemon, MHD_DAEMON_INFO_EPOLL_FD) : NULL;
    if (!side->daemon) {
        (void)close(fd);
        LOG(LOG_ERROR, "listen", LOG_TEXT("address", address), LOG_INT("port", side->port),
            LOG_TEXT("why", "the HTTP library does not start"));
        return ERR_IO;
    }
    side->fd = info ? info->epoll_fd : -1;
    return side->fd >= 0 ? ERR_OK : ERR_IO;
}

enum err gate_open(const struct gate_options *options, struct gate **out) {
    const struct gate_options *o = options;
    enum err e = ERR_OK;
    *out = NULL;
    if (!o->link_known || !o->address || o->connections_max < 1 || o->per_ip_max < 0 ||
        o->timeout_s < 1 || o->body_max < 1 || (o->host_port >= 0 && !o->host_address))
        return ERR_RANGE;
    struct gate *g = calloc(1, sizeof *g);
    if (!g)
        return ERR_NOMEM;
    g->options = *o;
    g->keeps_layout = strncmp(MHD_get_version(), "0.9.", 4) == 0;
    g->sides[0] = (struct side){.port = -1, .fd = -1};
    g->sides[1] = (struct side){.host = true, .port = -1, .fd = -1};
    e = side_open(&g->sides[0], g, o->address, o->port, o->connections_max);
    if (e)
        goto out;
    if (o->host_port >= 0)
        e = side_open(&g->sides[1], g, o->host_address, o->host_port, HOST_CONNECTIONS);
out:
    if (e)
        gate_close(g);
    else
        *out = g;
    return e;
}

void gate_quiesce(struct gate *g) {
    for (int i = 0; i < 2; i++)
        if (g->sides[i].daemon) {
            MHD_socket fd = MHD_quiesce_daemon(g->sides[i].daemon);
            if (fd != MHD_INVALID_SOCKET)
                (void)close(fd);
        }
}

void gate_close(struct gate *g) {
    if (!g)
        return;
    for (int i = 0; i < 2; i++)
        if (g->sides[i].daemon)
            MHD_stop_daemon(g->sides[i].daemon); /* every request ends, what waits becomes dead */
    while (g->first) {
        struct work *w = g->first;
        g->first = w->next;
        work_free(w);
    }
    free(g);
}

/* -- the turn of the loop ------------------------------------------------------------------------
 */

int gate_port(const struct gate *g) {
    return g->sides[0].port;
}

int gate_host_port(const struct gate *g) {
    return g->sides[1].port;
}

int gate_fds(const struct gate *g, int fds[2]) {
    int n = 0;
    for (int i = 0; i < 2; i++)
        if (g->sides[i].daemon)
            fds[n++] = g->sides[i].fd;
    return n;
}

int64_t gate_wait_ms(const struct gate *g) {
    int64_t least = -1;
    if (g->pending > 0)
        return 0;
    for (int i = 0; i < 2; i++) {
        MHD_UNSIGNED_LONG_LONG ms;
        if (!g->sides[i].daemon || MHD_get_timeout(g->sides[i].daemon, &ms) != MHD_YES)
            continue;
        int64_t wait = ms > INT32_MAX ? INT32_MAX : (int64_t)ms;
        if (least < 0 || wait < least)
            least = wait;
    }
    return least;
}

/* The library's time-out ends silence only: a client that sends a byte now and then would hold its
 * place for ever. The socket is shut for reading, which the library takes for the client's end. */
static void sweep(struct gate *g) {
    int64_t now_ms = clock_ms();
    if (now_ms - g->swept_ms < 500)
        return;
    g->swept_ms = now_ms;
    for (struct visit *v = g->visits; v; v = v->next)
        if (!v->cut && v->fd >= 0 && now_ms - v->since_ms > g->options.timeout_s * 2000LL) {
            v->cut = true;
            (void)shutdown(v->fd, SHUT_RD);
        }
}

void gate_run(struct gate *g) {
    sweep(g);
    for (int i = 0; i < 2; i++) {
        MHD_UNSIGNED_LONG_LONG ms;
        struct MHD_Daemon *d = g->sides[i].daemon;
        if (!d)
            continue;
        (void)MHD_run(d);
        /* Once more only: the rest comes in the next turn, after the commit. */
        if (MHD_get_timeout(d, &ms) == MHD_YES && ms == 0)
            (void)MHD_run(d);
    }
}

int gate_requests(struct gate *g, struct gate_request **out, int most) {
    int n = 0;
    while (n < most && g->first) {
        struct work *w = g->first;
        g->first = w->next;
        if (!g->first)
            g->last = NULL;
        w->next = NULL;
        w->stage = GIVEN;
        out[n++] = &w->shown;
    }
    return n;
}

struct slice gate_request_header(const struct gate_request *r, const char *name) {
    return gate_judge_only(r->headers, r->header_count, slice_of(name));
}

static struct MHD_Response *response_make(struct slice content_type, struct slice body,
                                          int retry_after_s, bool close_after) {
    char text[128];
    union {
        const void *in;
        void *out;
    } bytes = {body.n ? body.p : ""}; /* the library takes no const, but only copies */
    struct MHD_Response *r =
        MHD_create_response_from_buffer(body.n, bytes.out, MHD_RESPMEM_MUST_COPY);
    bool fine = r != NULL;
    if (fine && content_type.n > 0) {
        fine = content_type.n < sizeof text;
        (void)snprintf(text, sizeof text, "%.*s", SLICE_ARG(content_type));
        fine = fine && MHD_add_response_header(r, "Content-Type", text) == MHD_YES;
    }
    if (fine && retry_after_s > 0) {
        (void)snprintf(text, sizeof text, "%d", retry_after_s);
        fine = MHD_add_response_header(r, "Retry-After", text) == MHD_YES;
    }
    if (fine && close_after)
        fine = MHD_add_response_header(r, "Connection", "close") == MHD_YES;
    if (!fine && r)
        MHD_destroy_response(r);
    return fine ? r : NULL;
}

void gate_answer(struct gate *g, struct gate_request *r, int status, struct slice content_type,
                 struct slice body, int retry_after_s) {
    struct work *w = (struct work *)(void *)r; /* shown is its first member */
    bool host = r->route == GATE_HEALTH || r->route == GATE_METRICS;
    g->pending--;
    g->counts.answered++;
    if (r->dead) {
        work_free(w);
        return;
    }
    w->response = response_make(content_type, body, retry_after_s, host);
    w->status = status;
    w->stage = ANSWERED;
}

struct gate_counts gate_count(const struct gate *g) {
    return g->counts;
}
