/* reply/value: one value of a reply as its language writes it. Pure. */
#ifndef REPLY_VALUE_H
#define REPLY_VALUE_H

#include "reply/reply.h"

/* Where and when the text is written. */
struct reply_setting {
    const struct words *words;
    int language;
    const struct zone *zone;
    int64_t now_s;
};

/* `brief`: the template asked for {name:short}, which leaves out the word for hour. `longest` cuts
 * a VALUE_TEXT; 0 does not. */
void reply_put_value(const struct reply_setting *at, const struct reply_value *value, bool brief,
                     int longest, struct buf *out);

/* The value of this kind that takes the most room in this language: the longest names of days,
 * months and parts of the day, and the largest numbers that can reasonably be met (below). `text`
 * lends the bytes of a VALUE_TEXT and must hold REPLY_BYTES_MAX characters. */
struct reply_value reply_longest_value(const struct reply_setting *at, const char *name,
                                       enum reply_kind kind, int longest, struct slice text);

#endif
