/* spelled: small numbers in words beside the measures of feed: half a tin, kopo moja, 2 and a half
 * tins. Inside the text room. Pure. */
#ifndef TEXT_SPELLED_H
#define TEXT_SPELLED_H

#include "text/value.h"

/* A number in words at `at`, with "and a half" behind it; where it ends, 0 if none stands there. An
 * article is one only before a measure; while the kind is not known, only at the end of the text.
 */
size_t text_spelled_number(const struct text_value_context *c, size_t at,
                           struct text_number *number);

/* A measure or a unit of weight stands behind `end`, or a measure right before `at`: only so is a
 * number in words one while the kind is not known, and 1/2 no date. */
bool text_spelled_beside(const struct text_value_context *c, size_t at, size_t end);

/* "and a half" at or behind `at`, where feed is measured: where it ends, else `at`. */
size_t text_spelled_more(const struct text_value_context *c, size_t at, struct text_number *number);

/* 1/2 beside a measure, alone or behind a whole number. */
bool text_spelled_share(const struct text_value_context *c, struct text_piece piece,
                        struct text_value *out);

/* Half an acre, 1/4 acre, robo ekari: a part of a unit of land where the kind takes an area. The
 * number and its unit; false: none stands there. */
bool text_spelled_area(const struct text_value_context *c, size_t at, struct text_number *number,
                       struct text_phrase *unit);
/* Ekari nusu: a number in words behind its unit; where it ends, 0 if none stands there. */
size_t text_spelled_behind(const struct text_value_context *c, size_t at, enum text_meaning unit,
                           struct text_number *number);
bool text_spelled_area_share(const struct text_value_context *c, struct text_piece piece,
                             struct text_number *number, struct text_phrase *unit);

/* "and a half" on its own, behind a measure: the value is added to the number before. */
bool text_spelled_add(const struct text_value_context *c, size_t at, struct text_value *out);

#endif
