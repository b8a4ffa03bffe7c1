/* several: values that say something only together: a list of weights, shares with what stands
 * before them, the lengths of a round pond, feed with its amount. Inside the text room. Pure. */
#ifndef TEXT_SEVERAL_H
#define TEXT_SEVERAL_H

#include "text/take.h"

/* Keeps a value, at `at`, that waits for others. False: it says all by itself. */
bool text_several_take(struct text_reading_state *r, size_t at, const struct text_value *v);

/* What was kept, when the whole text is known; before the plain numbers are settled ... */
void text_several_settle(struct text_reading_state *r);

/* ... and what must stand together, after it. */
void text_several_check(struct text_reading_state *r);

#endif
