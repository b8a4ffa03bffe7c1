/* clock: the forms of instants that come over the wire. Pure: nothing here asks what time it is.
 * Instants are UTC seconds, accepted from 2000-01-01 to the end of 2099. */
#ifndef WIRE_CLOCK_H
#define WIRE_CLOCK_H

#include "base/slice.h"

enum wire_sent_form { WIRE_SENT_RFC3339, WIRE_SENT_UNIX, WIRE_SENT_UNIX_MS };

/* One instant in one form. Parts of a second are dropped. ERR_SYNTAX: not that form; ERR_RANGE: a
 * field or the year is outside its range. */
enum err wire_instant(struct slice s, enum wire_sent_form form, int64_t *at_s) MUST_LOOK;

/* RFC 9110 5.6.7 IMF-fixdate: "Sun, 06 Nov 1994 08:49:37 GMT". The obsolete two forms are not read.
 * The day of the week must fit the date. Any year from 1900. ERR_SYNTAX, ERR_RANGE. */
enum err wire_http_date(struct slice s, int64_t *at_s) MUST_LOOK;

/* The value of a Retry-After header (RFC 9110 10.2.3: seconds or a date) as seconds to wait from
 * now_s: 0 to WIRE_RETRY_MOST_S. Longer waits are cut to it, dates in the past are 0, a value in
 * neither form (or an empty one) is -1: none was asked for. */
enum { WIRE_RETRY_MOST_S = 3600 };
int64_t wire_retry_after(struct slice value, int64_t now_s);

#endif
