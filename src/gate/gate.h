/* gate: HTTP coming in. One thread, no thread of its own: the caller waits on gate_fds, calls
 * gate_run, takes the requests that are whole, answers each of them and calls gate_run again so
 * that the answers leave. Bytes only: what a body means is read elsewhere.
 *
 *   public address   POST /in/LINK, POST /receipt/LINK for links that link_known knows
 *   host's address   GET /health, GET /metrics
 *
 * Everything else is refused before its body is read, without detail and with Connection: close:
 * 404 unknown path or link (also every target with a query, an escape or a byte that is not a
 * letter, a digit or one of / - . _), 405 with Allow, 411 no Content-Length or any
 * Transfer-Encoding, 413 Content-Length above body_max, 400 malformed, 431 header block too large,
 * 503 with Retry-After when too many requests wait. No request behind a refused one is served. */
#ifndef GATE_GATE_H
#define GATE_GATE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/slice.h"

struct gate;

enum gate_route { GATE_IN, GATE_RECEIPT, GATE_HEALTH, GATE_METRICS };

enum {
    GATE_HEADER_BYTES_MAX = 8192, /* request line and headers together */
    GATE_HEADERS_MAX = 64,
    GATE_PATH_MAX = 128, /* bytes */
    GATE_BUSY_RETRY_S = 5
};

struct gate_options {
    const char *address; /* numeric, IPv4 or IPv6: "127.0.0.1" */
    int port;            /* 0: any free one, see gate_port */
    const char *host_address;
    int host_port;       /* 0: any free one; -1: no such listener */
    int connections_max; /* on the public address; the host's has 16 */
    int per_ip_max;      /* connections from one address; 0: no limit of its own */
    int timeout_s;   /* silence that ends a connection; a request must be whole within twice that */
    size_t body_max; /* bytes */
    /* Whether LINK exists for that route; asked before the body is read. */
    bool (*link_known)(void *context, struct slice link, enum gate_route route);
    void *context;
};

struct gate_header {
    struct slice name, value; /* name as sent: compare without case */
};

/* Read only for the caller, except mark. All slices live until gate_answer. */
struct gate_request {
    int64_t number; /* 1, 2, ... in the order in which they became whole */
    enum gate_route route;
    struct slice link;                 /* empty for GATE_HEALTH and GATE_METRICS */
    struct slice method, path;         /* "POST", "/in/json" */
    struct slice content_type;         /* as gate_request_header gives it */
    struct slice body;                 /* empty for GET */
    const struct gate_header *headers; /* in their order */
    int header_count;
    bool dead;  /* the client is gone; answer it all the same, nothing will be sent */
    void *mark; /* the caller's own, NULL at first */
};

struct gate_counts {                  /* since gate_open */
    int64_t connections;              /* open now, both listeners */
    int64_t requests;                 /* became whole */
    int64_t answered;                 /* gate_answer called */
    int64_t vanished;                 /* the client left before its answer */
    int64_t refused_4xx, refused_5xx; /* by the gate alone */
};

/* ERR_IO: an address cannot be listened on (logged with the reason). ERR_RANGE: an option is
 * senseless. ERR_NOMEM. */
enum err gate_open(const struct gate_options *options, struct gate **out) MUST_LOOK;

/* Stops listening; open connections live on. For a graceful end: gate_quiesce, gate_run, answer
 * what gate_requests gives, gate_run twice, gate_close. */
void gate_quiesce(struct gate *g);
void gate_close(struct gate *g); /* NULL is allowed; what was not answered is dropped */

int gate_port(const struct gate *g);
int gate_host_port(const struct gate *g); /* -1: none */

/* Descriptors to wait on for reading; returns how many (1 or 2). The same from open to close. */
int gate_fds(const struct gate *g, int fds[2]);

/* How long the wait may last at most: 0 at once (a request waits for its answer, or work is left),
 * -1 as long as nothing happens. Must be asked before each wait. */
int64_t gate_wait_ms(const struct gate *g);

/* Reads and writes what is ready, without waiting. */
void gate_run(struct gate *g);

/* Whole requests not handed out before, oldest first; returns how many. Each one must be answered
 * in the same turn of the loop: until then gate_wait_ms says 0 and the loop spins. */
int gate_requests(struct gate *g, struct gate_request **out, int most);

/* The value of a header by name, any case; empty when it is missing or stands there more than once
 * (two different signatures must not let each reader choose). */
struct slice gate_request_header(const struct gate_request *r, const char *name);

/* Ends r: it must not be used afterwards. content_type may be empty when body is. The answer
 * leaves in the next gate_run. retry_after_s 0: no such header. Without memory for it the
 * connection is closed unanswered, so that the sender comes again. */
void gate_answer(struct gate *g, struct gate_request *r, int status, struct slice content_type,
                 struct slice body, int retry_after_s);

struct gate_counts gate_count(const struct gate *g);

#endif
