/* zone: calendar arithmetic by the civil-from-days method (integer, proleptic Gregorian: 400 years
 * are 146097 days), on top of a table of offsets. */
#include "base/zone.h"

#include <string.h>

const struct zone zone_utc = {.name = "UTC", .count = 1, .changes = {{INT64_MIN, 0}}};

enum { DAY_S = 86400 };

int64_t zone_days(int year, int month, int day) {
    int64_t y = month <= 2 ? year - 1 : year;
    int64_t era = (y >= 0 ? y : y - 399) / 400;
    int64_t year_of_era = y - era * 400;
    int64_t day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return era * 146097 + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year -
           719468;
}

static int64_t floor_div(int64_t a, int64_t b) {
    return a / b - (a % b != 0 && (a < 0) != (b < 0));
}

static void civil(int64_t days, struct zone_time *t) {
    int64_t z = days + 719468;
    int64_t era = floor_div(z, 146097);
    int64_t doe = z - era * 146097;
    int64_t yoe = (doe - doe / 1460 + doe / 36524 - doe / 146096) / 365;
    int64_t doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    int64_t mp = (5 * doy + 2) / 153;
    t->day = (int)(doy - (153 * mp + 2) / 5 + 1);
    t->month = (int)(mp < 10 ? mp + 3 : mp - 9);
    t->year = (int)(yoe + era * 400 + (t->month <= 2));
    t->weekday = (int)(((days + 3) % 7 + 7) % 7); /* 1970-01-01 was a Thursday */
}

static int change_at(const struct zone *zone, int64_t at_s) {
    int low = 0, high = zone->count - 1;
    while (low < high) {
        int middle = (low + high + 1) / 2;
        if (zone->changes[middle].from_s <= at_s)
            low = middle;
        else
            high = middle - 1;
    }
    return low;
}

static int32_t offset_at(const struct zone *zone, int64_t at_s) {
    return zone->changes[change_at(zone, at_s)].offset_s;
}

/* How far the clocks go back at a change; 0: they do not. */
static int32_t back_s(const struct zone *zone, int change) {
    if (change < 1 || change >= zone->count)
        return 0;
    int32_t back = zone->changes[change - 1].offset_s - zone->changes[change].offset_s;
    return back > 0 ? back : 0;
}

enum zone_pass zone_pass_of(const struct zone *zone, int64_t at_s) {
    int now = change_at(zone, at_s), next = now + 1;
    if (back_s(zone, now) && at_s < zone->changes[now].from_s + back_s(zone, now))
        return ZONE_SECOND;
    if (back_s(zone, next) && at_s >= zone->changes[next].from_s - back_s(zone, next))
        return ZONE_FIRST;
    return ZONE_ONCE;
}

int64_t zone_second(const struct zone *zone, int64_t at_s) {
    bool first = zone_pass_of(zone, at_s) == ZONE_FIRST;
    return first ? at_s + back_s(zone, change_at(zone, at_s) + 1) : at_s;
}

struct zone_time zone_local(const struct zone *zone, int64_t at_s) {
    struct zone_time t;
    int64_t wall = at_s + offset_at(zone, at_s);
    int64_t days = floor_div(wall, DAY_S);
    int64_t rest = wall - days * DAY_S;
    civil(days, &t);
    t.hour = (int)(rest / 3600);
    t.minute = (int)(rest / 60 % 60);
    t.second = (int)(rest % 60);
    return t;
}

static bool fields_fit(const struct zone_time *t) {
    if (t->year < 1970 || t->year > 2200 || t->month < 1 || t->month > 12 || t->day < 1 ||
        t->day > 31 || t->hour < 0 || t->hour > 23 || t->minute < 0 || t->minute > 59 ||
        t->second < 0 || t->second > 59)
        return false;
    struct zone_time back;
    civil(zone_days(t->year, t->month, t->day), &back);
    return back.day == t->day;
}

enum err zone_instant(const struct zone *zone, struct zone_time local, int64_t *at_s) {
    if (!fields_fit(&local))
        return ERR_RANGE;
    int64_t wall = zone_days(local.year, local.month, local.day) * DAY_S + local.hour * 3600 +
                   local.minute * 60 + local.second;
    /* The offset in force a day before and a day after: try the earlier instant first. */
    int32_t before = offset_at(zone, wall - DAY_S), after = offset_at(zone, wall + DAY_S);
    int64_t a = wall - before, b = wall - after;
    bool a_holds = offset_at(zone, a) == before, b_holds = offset_at(zone, b) == after;
    if (!a_holds && !b_holds)
        return ERR_NOT_FOUND;
    *at_s = a_holds && (!b_holds || a <= b) ? a : b;
    return ERR_OK;
}

int64_t zone_midnight(const struct zone *zone, int64_t at_s, int days) {
    struct zone_time t = zone_local(zone, at_s);
    int64_t day = zone_days(t.year, t.month, t.day) + days;
    civil(day, &t);
    t.hour = t.minute = t.second = 0;
    int64_t out;
    /* A zone may skip midnight itself: the day then starts at the first hour that exists. */
    while (zone_instant(zone, t, &out)) {
        if (t.hour > 2)
            return day * DAY_S;
        t.hour++;
    }
    return out;
}

int zone_days_between(const struct zone *zone, int64_t a_s, int64_t b_s) {
    struct zone_time a = zone_local(zone, a_s), b = zone_local(zone, b_s);
    return (int)(zone_days(b.year, b.month, b.day) - zone_days(a.year, a.month, a.day));
}
