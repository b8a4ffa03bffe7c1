/* judge: whether the head of a request may go on to its body. Pure: bytes in, a verdict out.
 * Stricter than HTTP allows: two readers of one stream (a front server and this one) must never
 * disagree about where a request ends, so everything that they could read differently is refused
 * (RFC 9112 sections 6.3 and 11.2, request smuggling). */
#ifndef GATE_JUDGE_H
#define GATE_JUDGE_H

#include "gate/gate.h"

struct gate_head {
    struct slice method, target;
    const struct gate_header *headers;
    int header_count;
};

struct gate_target {
    enum gate_route route;
    struct slice link;  /* part of the target; empty for the host's routes */
    const char *method; /* the only one allowed: "POST" or "GET" */
};

/* false: no such path. `host`: asked on the host's listener, which has its own paths. A link's
 * name is one path segment of letters, digits, . - _; whether it exists is not asked here. */
bool gate_judge_target(struct slice target, bool host, struct gate_target *out);

/* How the request ends. 0 and *length: so many body bytes follow. 411: any Transfer-Encoding, or
 * no Content-Length although one is needed. 400: Content-Length twice or not plain digits, Host
 * twice, a byte in a header that may not stand there. 413: more than length_max. */
int gate_judge_framing(const struct gate_head *head, bool length_needed, size_t length_max,
                       size_t *length);

/* The value of the only header of this name; empty when there is none or more than one. */
struct slice gate_judge_only(const struct gate_header *headers, int count, struct slice name);

#endif
