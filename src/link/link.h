/* link: texts going out over HTTP, many at once, without a thread. The caller starts jobs, waits
 * in link_wait (which takes the caller's own descriptors too), lets link_step read and write, and
 * collects what ended. Bytes are made and read by wire's profiles.
 *
 * Kept connections, at most connections_max; no redirects; http and https only; TLS 1.2 or newer
 * with names and chains checked; proxies of the environment ignored; answers read up to
 * LINK_ANSWER_MAX bytes. The program must ignore SIGPIPE: the TLS library may write to a
 * connection that its peer has closed.
 *
 * A profile's circuit opens after LINK_CIRCUIT_FAILURES failures in a row (outcomes "later" and
 * "expired", whatever their cause); then one probe at a time is let through until one is answered
 * by done or never. It is known by the link's name, so it outlives a reload of the profiles. */
#ifndef LINK_LINK_H
#define LINK_LINK_H

#include <stdbool.h>
#include <stdint.h>

#include "base/slice.h"

struct link;
struct wire_profile;

enum {
    LINK_ANSWER_MAX = 16 * 1024,
    LINK_CIRCUIT_FAILURES = 5, /* in a row, until a profile gets one probe at a time */
    LINK_EXTRA_FDS_MAX = 16,
    LINK_PROVIDER_ID_MAX = 208, /* with the zero byte */
    LINK_REASON_MAX = 128       /* with the zero byte */
};

struct link_options {
    int connections_max; /* jobs under way at once; 0: 32 */
};

struct link_job {
    int64_t dispatch;                   /* the caller's id, given back in the result */
    const struct wire_profile *profile; /* must outlive the job */
    struct slice to, text, reference;   /* copied */
    int64_t tries;                      /* tries before this one */
    int64_t useful_s;                   /* last useful second; INT64_MAX: always */
};

enum link_outcome {
    LINK_DONE = 1, /* the provider took it */
    LINK_LATER,    /* not taken, or unknown: again at next_s with the same reference */
    LINK_NEVER,    /* the provider refuses this text for good */
    LINK_EXPIRED   /* not taken and the next try would come after useful_s */
};

struct link_result {
    int64_t dispatch;
    enum link_outcome outcome;
    int64_t next_s;                         /* of LINK_LATER; else 0 */
    int64_t tries;                          /* this one counted */
    char provider_id[LINK_PROVIDER_ID_MAX]; /* of LINK_DONE; "" when it named none */
    char reason[LINK_REASON_MAX]; /* short and without contents of the text, for the host */
};

struct link_counts { /* since link_open */
    int64_t started, done, later, never, expired;
    int64_t unknown; /* of later and expired: sent, but no whole answer came */
};

/* ERR_NOMEM; ERR_RANGE: connections_max. */
enum err link_open(const struct link_options *options, struct link **out) MUST_LOOK;
void link_close(struct link *l); /* NULL is allowed; what is under way is given up */

/* Whether a job for this profile may start now: there is room, and the profile's circuit is
 * closed, or it is open and no probe is under way. */
bool link_may_start(const struct link *l, const struct wire_profile *profile);

/* ERR_BUSY: link_may_start says no. ERR_TOO_LONG or another of wire_write_send's: this text cannot
 * be sent by this profile, ever. ERR_NOMEM. Nothing goes out before the next link_step. */
enum err link_start(struct link *l, const struct link_job *job) MUST_LOOK;

int link_busy(const struct link *l); /* jobs started whose result was not collected */

/* Reads and writes what is ready, without waiting. */
void link_step(struct link *l);

/* Waits until a descriptor of the link or one of the `count` extra ones (for reading) is ready, or
 * a time-out of a job or timeout_ms (-1: none) is reached. A signal may end it early. */
enum err link_wait(struct link *l, const int *extra_fds, int count, int64_t timeout_ms) MUST_LOOK;

/* Results not collected before; returns how many. `random` seeds the jitter of this call's
 * results: give a new one each time. */
int link_results(struct link *l, struct link_result *out, int most, int64_t now_s, uint64_t random);

/* The profile's failures in a row (from LINK_CIRCUIT_FAILURES on its circuit is open). */
int link_failures(const struct link *l, const struct wire_profile *profile);

struct link_counts link_count(const struct link *l);

#endif
