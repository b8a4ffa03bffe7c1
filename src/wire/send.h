/* send: a text to the request that sends it by a profile, and the provider's answer to what it
 * means. No sockets: the link room carries what is written here. */
#ifndef WIRE_SEND_H
#define WIRE_SEND_H

#include "wire/guard.h"

struct wire_send {
    struct slice to;        /* E.164 with + */
    struct slice text;      /* UTF-8 */
    struct slice reference; /* random, the same at every try; letters, digits, - . _ */
};

struct wire_outgoing {
    struct slice method, url, body, content_type; /* all zero-ended too; body may hold anything */
    const struct wire_header *headers; /* names and values zero-ended too; without Content-Type */
    int header_count;
    int64_t connect_ms, total_ms; /* time-outs */
};

/* ERR_SYNTAX: a number, text or reference that cannot stand where the profile puts it; ERR_UTF8;
 * ERR_TOO_LONG; ERR_RANGE: a field of kind number that is none; ERR_NOMEM. */
enum err wire_write_send(const struct wire_profile *p, const struct wire_send *s, struct arena *a,
                         struct wire_outgoing *out) MUST_LOOK;

enum wire_answer { WIRE_ACCEPTED, WIRE_LATER, WIRE_REFUSED };

/* What an answer means. http_status 0: there was none (no connection, time-out), which is later.
 *
 * Refused: a status or field value that the profile lists as refused; any other 4xx. Later: 408,
 * 425, 429, 5xx, 1xx, 3xx (redirects are not followed: the address is the host's to mend) and the
 * statuses that the profile lists as later; a 2xx whose accepted field says something else.
 * Accepted: a 2xx of the profile's statuses, with its field as it must be.
 *
 * A 2xx that cannot be read (other status, unreadable body, the field missing) may have been taken.
 * It is accepted, without an id, unless the profile says unclear = "later", which it may only where
 * the reference goes out: a repeat can then be told from a second text. So nothing is sent twice
 * without the same reference. Running out of memory counts as unreadable.
 *
 * *provider_id is empty unless accepted with one. *reason is for the log and the host's page, at
 * most WIRE_REASON_MAX bytes, printable UTF-8; empty when accepted clearly. */
enum { WIRE_REASON_MAX = 79 };
enum wire_answer wire_read_answer(const struct wire_profile *p, int http_status, struct slice body,
                                  struct arena *a, struct slice *provider_id, struct slice *reason);

#endif
