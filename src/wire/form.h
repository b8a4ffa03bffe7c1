/* form: application/x-www-form-urlencoded, both ways (URL Living Standard, WHATWG, section 5:
 * "application/x-www-form-urlencoded", here stricter in reading). Pure. */
#ifndef WIRE_FORM_H
#define WIRE_FORM_H

#include "base/arena.h"
#include "base/buf.h"

struct wire_pair {
    struct slice name, value;
};

/* Reads all of the body. ERR_SYNTAX: a percent sign without two hexadecimal digits, an empty name,
 * a name twice, a zero octet (plain or as %00); ERR_UTF8; ERR_TOO_LONG: more than `most` pairs;
 * ERR_NOMEM. An empty body is no pairs. */
enum err wire_form_read(struct arena *a, struct slice body, int most, struct wire_pair **out,
                        int *count) MUST_LOOK;

/* Appends name=value, led by "&" when the buffer is not empty. */
void wire_form_put(struct buf *b, struct slice name, struct slice value);

#endif
