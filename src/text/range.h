/* range: between what bounds a number with a unit makes sense, which settles 1,500 as one or the
 * other; never what is refused. Inside the text room. Pure. */
#ifndef TEXT_RANGE_H
#define TEXT_RANGE_H

#include "text/scan.h"

struct text_range {
    int64_t least_micro, most_micro; /* millionths of the unit */
};

/* Of a weight, which depends on the kind, or of degrees. */
struct text_range text_range_of(enum text_meaning unit, enum request_kind kind);
/* Degrees that a number alone is taken as where other readings are texted, too. */
struct text_range text_range_bare_water(void);
bool text_range_has(struct text_range range, int64_t micro);
int64_t text_range_unit_mg(enum text_meaning unit); /* of a weight: 1000 for grams */

#endif
