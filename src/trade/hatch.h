/* hatch: from fertilisation to the hours of the eggs. Pure. Valid in water of 20..30 degC; each
 * hour has its own status. */
#ifndef TRADE_HATCH_H
#define TRADE_HATCH_H

#include "trade/progress.h"

struct hatch {
    struct progress half; /* half of the eggs have hatched */
    struct progress lift; /* first look to lift the frames (BOOK_LIFT_FIRST); the caller moves it
                             into daylight */
    struct progress last; /* the frames are out by then (BOOK_LIFT_LAST) */
};

struct hatch hatch_of(struct water_series water, int64_t fertilised_s);

#endif
