/* marked: values that a word before or behind them names: what was measured in water, and which of
 * a round pond's lengths is which. Inside the text room. Pure. */
#ifndef TEXT_MARKED_H
#define TEXT_MARKED_H

#include "text/value.h"

/* do 3.2, tan0.5, nh4 0.6, no2 0.1, secchi 22cm, where the kind takes it. False: none here. */
bool text_marked_water(const struct text_value_context *c, struct text_piece piece,
                       const struct text_hits *hits, struct text_value *out);

/* depth 2m, across 7.5m, round. False: none here. */
bool text_marked_length(const struct text_value_context *c, struct text_piece piece,
                        const struct text_hits *hits, struct text_value *out);

/* A length with "deep" or "across" behind it: takes the word in. */
void text_marked_behind(const struct text_value_context *c, struct text_value *length);

#endif
