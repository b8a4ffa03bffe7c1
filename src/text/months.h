/* months: a month, or the first and last of several, and how a request's line holds them. Inside
 * the text room. Pure. */
#ifndef TEXT_MONTHS_H
#define TEXT_MONTHS_H

#include "base/buf.h"
#include "text/value.h"

/* march; may-september, may to september 2027, where the kind takes them. False: none here. */
bool text_months(const struct text_value_context *c, struct text_piece piece,
                 const struct text_hits *hits, struct text_value *out);

void text_months_write(const struct request *r, struct buf *out);
enum err text_months_parse(struct slice s,
                           struct request *out) MUST_LOOK; /* ERR_SYNTAX, ERR_RANGE */

#endif
