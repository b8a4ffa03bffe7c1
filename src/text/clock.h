/* clock: an hour as typed, with what stood beside it, -> the common clock. Pure. */
#ifndef TEXT_CLOCK_H
#define TEXT_CLOCK_H

#include <stdbool.h>

enum text_day_part {
    DAY_PART_NONE,
    DAY_PART_AM,
    DAY_PART_PM,
    DAY_PART_DAWN,
    DAY_PART_MORNING,
    DAY_PART_NOON,
    DAY_PART_EVENING,
    DAY_PART_NIGHT,
    DAY_PARTS
};

struct text_clock {
    int hour, minute; /* as typed */
    bool alone;       /* no minutes: "6", "saa 2", "6h" */
    enum text_day_part part;
    bool from_six; /* the language of the part, or of the text without one, counts from six */
};

enum text_clock_verdict { CLOCK_READ, CLOCK_DOUBTFUL, CLOCK_IMPOSSIBLE };

/* CLOCK_READ: *hour is 0..23 on the common clock, the minute stays as typed. CLOCK_DOUBTFUL: an
 * hour that could be two. CLOCK_IMPOSSIBLE: 25:00, 6:75, 13am. */
enum text_clock_verdict text_clock_read(const struct text_clock *clock, int *hour);

#endif
