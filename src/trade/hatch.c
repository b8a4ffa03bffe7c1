/* hatch: the hours of a batch of eggs by its water. In: readings and the instant of fertilisation.
 * Out: instants or the reason why there is none. The table is book_hatching, the multiples are the
 * book's; the arithmetic is progress.h's. */
#include "trade/hatch.h"

struct hatch hatch_of(struct water_series water, int64_t fertilised_s) {
    return (struct hatch){
        .half = progress_reach(&book_hatching, water, fertilised_s, 1.0),
        .lift = progress_reach(&book_hatching, water, fertilised_s, book_number(BOOK_LIFT_FIRST)),
        .last = progress_reach(&book_hatching, water, fertilised_s, book_number(BOOK_LIFT_LAST)),
    };
}
