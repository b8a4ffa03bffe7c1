/* name: names of people, and what money was spent on. Inside the text room. Pure. */
#ifndef TEXT_NAME_H
#define TEXT_NAME_H

#include "text/value.h"

/* "for mary", "to lake hotel", "by mary", and where the kind is about somebody the name alone.
 * Skips "for" before anything else. False: none here. */
bool text_name(const struct text_value_context *c, struct text_piece piece,
               const struct text_hits *hits, struct text_value *out);

/* "mary paid 50000", "mary owes": up to where the words of a name end that a kind can stand behind;
 * 0 if those at `at` are none. */
size_t text_name_first(const struct text_value_context *c, size_t at);

#endif
