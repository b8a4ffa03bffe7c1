/* clock: see clock.h. In: hour, minutes and part of the day as typed. Out: the hour on the common
 * clock, or that it must be asked. No errors; nothing is guessed: an hour six or twelve hours wrong
 * loses a spawn.
 *
 * Kiswahili counts the hours from six: saa moja asubuhi is 07:00, saa sita usiku 00:00, so the
 * common hour is (N + 6) mod 12, and the part of the day says which half. Source of the rule and of
 * the windows below: the parts of the day in Unicode CLDR 48 (usiku 19-3, alfajiri 4-6, asubuhi
 * 7-11, mchana 12-15, jioni 16-18), widened by what 39 clock times in two open news corpora
 * (NTREX-128, LAFAND-MT) show near the edges: 04:40 as asubuhi, 19:00 as jioni, 01:00 as usiku. 35
 * of these 39 stand on the Kiswahili clock, digits and minutes included; without a part of the day
 * it can be either, so 1 to 12 is asked. 13 to 23 and 0 are the common clock everywhere. */
#include "text/clock.h"

/* The hours, on the common clock, that may be called by a part of the day; past midnight when the
 * first is the greater. Narrower than twelve hours, so that one of two candidates at most fits. */
struct window {
    int first, last;
};

/* Common clock: "10 heures du soir" is 22:00, "5 in the afternoon" 17:00, Hausa yamma begins at
 * 15:00 (NTREX-128). */
static const struct window common_windows[] = {
    [DAY_PART_DAWN] = {2, 7},      [DAY_PART_MORNING] = {4, 11}, [DAY_PART_NOON] = {11, 17},
    [DAY_PART_EVENING] = {15, 23}, [DAY_PART_NIGHT] = {18, 5},
};
static const struct window six_windows[] = {
    [DAY_PART_DAWN] = {2, 7},      [DAY_PART_MORNING] = {4, 11}, [DAY_PART_NOON] = {10, 16},
    [DAY_PART_EVENING] = {15, 20}, [DAY_PART_NIGHT] = {19, 5},
};

static bool within(struct window w, int hour) {
    return w.first <= w.last ? hour >= w.first && hour <= w.last
                             : hour >= w.first || hour <= w.last;
}

/* `hour` 1..12 with a part of the day. */
static enum text_clock_verdict by_part(const struct text_clock *c, int *hour) {
    int early = (c->from_six ? c->hour + 6 : c->hour) % 12;
    struct window w = (c->from_six ? six_windows : common_windows)[c->part];
    bool first = within(w, early), second = within(w, early + 12);
    if (first == second)
        return CLOCK_DOUBTFUL;
    *hour = first ? early : early + 12;
    return CLOCK_READ;
}

enum text_clock_verdict text_clock_read(const struct text_clock *c, int *hour) {
    bool half = c->part == DAY_PART_AM || c->part == DAY_PART_PM;
    if (c->hour < 0 || c->hour > 23 || c->minute < 0 || c->minute > 59)
        return CLOCK_IMPOSSIBLE;
    if (c->hour == 0 || c->hour > 12) {
        if (half && (c->hour > 12) != (c->part == DAY_PART_PM))
            return CLOCK_IMPOSSIBLE;
        *hour = c->hour;
        return c->hour == 0 && c->alone ? CLOCK_DOUBTFUL : CLOCK_READ;
    }
    if (half) {
        *hour = c->hour % 12 + (c->part == DAY_PART_PM ? 12 : 0);
        return CLOCK_READ;
    }
    if (c->part != DAY_PART_NONE)
        return by_part(c, hour);
    if (c->alone || c->from_six)
        return CLOCK_DOUBTFUL;
    *hour = c->hour;
    return CLOCK_READ;
}
