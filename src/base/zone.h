/* zone: instants (UTC seconds) to local wall time and back. A zone is a table of offsets, asked
 * once from the system's zone database through the C library (zone_load, not pure: it sets TZ for a
 * moment and must be called from the one thread at start or farm making). All else is pure.
 * Range: years 2000 to 2099; outside, the nearest offset holds. */
#ifndef BASE_ZONE_H
#define BASE_ZONE_H

#include "base/slice.h"

enum { ZONE_CHANGES_MAX = 256, ZONE_NAME_MAX = 40 };

struct zone_change {
    int64_t from_s;   /* UTC instant from which the offset holds */
    int32_t offset_s; /* local = UTC + offset */
};

struct zone {
    char name[ZONE_NAME_MAX];
    int count;
    struct zone_change changes[ZONE_CHANGES_MAX]; /* the first holds for all time before it, too */
};

struct zone_time {
    int year, month, day; /* month 1..12 */
    int hour, minute, second;
    int weekday; /* 0 Monday .. 6 Sunday */
};

extern const struct zone zone_utc;

enum err zone_load(const char *name, struct zone *out) MUST_LOOK; /* ERR_NOT_FOUND */

struct zone_time zone_local(const struct zone *zone, int64_t at_s);

/* Local wall time to the instant. A time that a change of clocks skips: ERR_NOT_FOUND. One that
 * occurs twice: the first. Fields outside their range (31 April, 24:00): ERR_RANGE. */
enum err zone_instant(const struct zone *zone, struct zone_time local, int64_t *at_s) MUST_LOOK;

/* A change of clocks backwards has an hour twice: of the instants in it whether it is the first or
 * the second of its time on the clock; and the second of that time, else the instant itself. */
enum zone_pass { ZONE_ONCE, ZONE_FIRST, ZONE_SECOND };
enum zone_pass zone_pass_of(const struct zone *zone, int64_t at_s);
int64_t zone_second(const struct zone *zone, int64_t at_s);

/* Midnight at the start of the local day `days` after the day of at_s. */
int64_t zone_midnight(const struct zone *zone, int64_t at_s, int days);

/* Days since 1970-01-01 of a calendar date, and back (proleptic Gregorian). */
int64_t zone_days(int year, int month, int day);

/* Whole local days from the day of a to the day of b. */
int zone_days_between(const struct zone *zone, int64_t a_s, int64_t b_s);

#endif
