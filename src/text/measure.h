/* measure: values with a measure of their own: volumes, areas, depths, ages, ml for each kg, pH,
 * percent, days by date, telephone numbers, codes, names, and the words that a kind lists. Inside
 * the text room. Pure. */
#ifndef TEXT_MEASURE_H
#define TEXT_MEASURE_H

#include "text/value.h"

#define TEXT_MEASURE_UNITS                                                                         \
    (MEANS(MEAN_LITRE) | MEANS(MEAN_M3) | MEANS(MEAN_ARE) | MEANS(MEAN_M2) | MEANS(MEAN_ACRE) |    \
     MEANS(MEAN_HA) | MEANS(MEAN_M) | MEANS(MEAN_CM) | MEANS(MEAN_ML) | MEANS(MEAN_DAYS) |         \
     MEANS(MEAN_WEEKS) | MEANS(MEAN_MONTHS) | MEANS(MEAN_YEARS) | MEANS(MEAN_PERCENT) |            \
     MEANS(MEAN_PACE))

/* A number and its unit, from `at` to `end`. */
struct text_value text_measure(const struct text_value_context *c, size_t at, size_t end,
                               struct text_number number, enum text_meaning unit);

/* ph 7.8, 2x1x0.5m, 60%. */
struct text_value text_measure_token(const struct text_value_context *c, struct text_piece piece);

/* A day by its date, where the kind takes one: 14 march, march 14, 14/3, 14.3.2027. */
bool text_measure_date(const struct text_value_context *c, struct text_piece piece,
                       struct text_value *out);

/* What takes the text up to its end or its last digit: a telephone number, a code, a name. */
bool text_measure_whole(const struct text_value_context *c, struct text_piece piece,
                        struct text_value *out);

/* A word of the kind's own list. */
bool text_measure_choice(const struct text_value_context *c, struct text_piece piece,
                         const struct text_hits *hits, struct text_value *out);

/* A word that says itself where a brood fish comes from: wild, own. */
bool text_measure_origin(const struct text_value_context *c, struct text_piece piece,
                         const struct text_hits *hits, struct text_value *out);

/* "from f3" says nothing more than f3; "from lake farm" is a name where the kind takes one. */
bool text_measure_from(const struct text_value_context *c, const struct text_hits *hits,
                       struct text_value *out);

/* 12 000 as one number, where the kind counts. */
bool text_measure_group(const struct text_value_context *c, struct text_piece piece,
                        struct text_value *out);

#endif
