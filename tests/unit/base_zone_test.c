/* Zones against the C library's own localtime_r and timegm, which read the system's zone database
 * by themselves: local times at every quarter of a day of a century, at seeded instants and around
 * every change; then the way back, midnights and days. */
#define _DEFAULT_SOURCE /* timegm, tm_gmtoff */
#include "base_help.h"

#include <time.h>

#include "base/zone.h"

enum { DAY_S = 86400, SEEDED = 4000 };

/* Whole and part hours, with and without summer time, one with two changes a year that follow the
 * moon, one that shifts by half an hour, and two whose clocks change at midnight. */
static const char *const names[] = {"Africa/Nairobi",      "Africa/Lagos",     "Europe/London",
                                    "Africa/Casablanca",   "America/New_York", "Asia/Kathmandu",
                                    "Australia/Lord_Howe", "America/Havana",   "Asia/Beirut"};

static int64_t first_s, end_s; /* 2000-01-01, 2100-01-01 UTC */

/* For the length of a test the C library is in the zone, too. */
static void enter(const char *name, struct zone *zone) {
    OK(zone_load(name, zone));
    assert_string_equal(zone->name, name);
    assert_in_range(zone->count, 1, ZONE_CHANGES_MAX - 1); /* at the cap some might be missing */
    setenv("TZ", name, 1);
    tzset();
}

static void same_as_libc(const struct zone *zone, int64_t at_s) {
    time_t t = (time_t)at_s;
    struct tm tm;
    localtime_r(&t, &tm);
    struct zone_time l = zone_local(zone, at_s);
    if (l.year != tm.tm_year + 1900 || l.month != tm.tm_mon + 1 || l.day != tm.tm_mday ||
        l.hour != tm.tm_hour || l.minute != tm.tm_min || l.second != tm.tm_sec ||
        l.weekday != (tm.tm_wday + 6) % 7)
        fail_msg("%s at %lld: got %04d-%02d-%02d %02d:%02d:%02d, libc has %04d-%02d-%02d "
                 "%02d:%02d:%02d",
                 zone->name, (long long)at_s, l.year, l.month, l.day, l.hour, l.minute, l.second,
                 tm.tm_year + 1900, tm.tm_mon + 1, tm.tm_mday, tm.tm_hour, tm.tm_min, tm.tm_sec);
}

static bool same_wall(struct zone_time a, struct zone_time b) {
    return a.year == b.year && a.month == b.month && a.day == b.day && a.hour == b.hour &&
           a.minute == b.minute && a.second == b.second;
}

/* Back to the instant, or to the first of two that the wall shows alike. */
static void there_and_back(const struct zone *zone, int64_t at_s) {
    struct zone_time local = zone_local(zone, at_s);
    int64_t back_s = 0;
    OK(zone_instant(zone, local, &back_s));
    if (back_s == at_s)
        return;
    if (back_s > at_s || at_s - back_s > 2 * 3600 || !same_wall(local, zone_local(zone, back_s)))
        fail_msg("%s: %lld came back as %lld", zone->name, (long long)at_s, (long long)back_s);
}

static void local_times(void **unused) {
    (void)unused;
    static struct zone zone;
    uint64_t seed = 2026;
    for (size_t z = 0; z < COUNT_OF(names); z++) {
        enter(names[z], &zone);
        for (int64_t at_s = first_s; at_s < end_s; at_s += DAY_S / 4)
            same_as_libc(&zone, at_s);
        for (int i = 0; i < SEEDED; i++) {
            int64_t at_s = first_s + (int64_t)draw(&seed, (uint64_t)(end_s - first_s));
            same_as_libc(&zone, at_s);
            there_and_back(&zone, at_s);
        }
    }
}

static void around_changes(void **unused) {
    (void)unused;
    static struct zone zone;
    static const int64_t apart_s[] = {0, 1, 60, 1799, 1800, 3599, 3600, 3601, 7200, DAY_S};
    for (size_t z = 0; z < COUNT_OF(names); z++) {
        enter(names[z], &zone);
        for (int i = 1; i < zone.count; i++)
            for (size_t k = 0; k < COUNT_OF(apart_s); k++) {
                int64_t change_s = zone.changes[i].from_s;
                same_as_libc(&zone, change_s - apart_s[k]);
                same_as_libc(&zone, change_s + apart_s[k]);
                there_and_back(&zone, change_s - apart_s[k]);
                there_and_back(&zone, change_s + apart_s[k]);
            }
    }
}

static int64_t wall_s(struct zone_time t) {
    return zone_days(t.year, t.month, t.day) * DAY_S + t.hour * 3600 + t.minute * 60 + t.second;
}

static struct zone_time wall_time(int64_t s) {
    return zone_local(&zone_utc, s);
}

/* At each change: what the wall skips does not exist, what it shows twice is the first. */
static void skipped_and_doubled(void **unused) {
    (void)unused;
    static struct zone zone;
    int skipped = 0, doubled = 0;
    for (size_t z = 0; z < COUNT_OF(names); z++) {
        enter(names[z], &zone);
        for (int i = 1; i < zone.count; i++) {
            int64_t change_s = zone.changes[i].from_s, got_s = 0;
            int64_t last = wall_s(zone_local(&zone, change_s - 1));
            int64_t next = wall_s(zone_local(&zone, change_s));
            for (int64_t w = last + 1; w < next; w += 599, skipped++)
                WANT(ERR_NOT_FOUND, zone_instant(&zone, wall_time(w), &got_s));
            for (int64_t w = next; w <= last; w += 599, doubled++) {
                OK(zone_instant(&zone, wall_time(w), &got_s));
                assert_int_equal(got_s, change_s - 1 - (last - w));
            }
        }
    }
    assert_in_range(skipped, 1000, 100000); /* the zones do have such hours */
    assert_in_range(doubled, 1000, 100000);
}

/* By name, from the zone database's rules for 2026. */
static void named_hours(void **unused) {
    (void)unused;
    static const struct {
        const char *zone;
        int month, day, hour, minute;
        enum err e;
        int utc_month, utc_day, utc_hour, utc_minute;
    } cases[] = {
        {"Europe/London", 3, 29, 1, 30, ERR_NOT_FOUND, 0, 0, 0, 0},
        {"Europe/London", 3, 29, 2, 0, ERR_OK, 3, 29, 1, 0},
        {"Europe/London", 10, 25, 1, 30, ERR_OK, 10, 25, 0, 30},
        {"America/New_York", 3, 8, 2, 30, ERR_NOT_FOUND, 0, 0, 0, 0},
        {"America/New_York", 11, 1, 1, 30, ERR_OK, 11, 1, 5, 30},
        {"Australia/Lord_Howe", 10, 4, 2, 15, ERR_NOT_FOUND, 0, 0, 0, 0},
        {"Australia/Lord_Howe", 10, 4, 2, 30, ERR_OK, 10, 3, 15, 30},
        {"Australia/Lord_Howe", 4, 5, 1, 45, ERR_OK, 4, 4, 14, 45},
        {"Africa/Nairobi", 3, 29, 1, 30, ERR_OK, 3, 28, 22, 30},
        {"Asia/Kathmandu", 6, 1, 5, 45, ERR_OK, 6, 1, 0, 0},
        {"America/Havana", 3, 8, 0, 30, ERR_NOT_FOUND, 0, 0, 0, 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        static struct zone zone;
        enter(cases[i].zone, &zone);
        int64_t got_s = 4711;
        struct zone_time local = {
            2026, cases[i].month, cases[i].day, cases[i].hour, cases[i].minute, 0, 0};
        WANT(cases[i].e, zone_instant(&zone, local, &got_s));
        struct zone_time utc = {
            2026, cases[i].utc_month, cases[i].utc_day, cases[i].utc_hour, cases[i].utc_minute, 0,
            0};
        assert_int_equal(got_s, cases[i].e ? 4711 : wall_s(utc));
    }
}

static void fields_out_of_range(void **unused) {
    (void)unused;
    static const struct zone_time bad[] = {
        {2026, 4, 31, 0, 0, 0, 0}, {2026, 2, 29, 0, 0, 0, 0},  {2100, 2, 29, 0, 0, 0, 0},
        {2026, 0, 1, 0, 0, 0, 0},  {2026, 13, 1, 0, 0, 0, 0},  {2026, 1, 0, 0, 0, 0, 0},
        {2026, 1, 32, 0, 0, 0, 0}, {2026, 1, 1, 24, 0, 0, 0},  {2026, 1, 1, -1, 0, 0, 0},
        {2026, 1, 1, 0, 60, 0, 0}, {2026, 1, 1, 0, -1, 0, 0},  {2026, 1, 1, 0, 0, 60, 0},
        {-5, 1, 1, 0, 0, 0, 0},    {999999, 1, 1, 0, 0, 0, 0},
    };
    int64_t got_s = 4711;
    for (size_t i = 0; i < COUNT_OF(bad); i++)
        WANT(ERR_RANGE, zone_instant(&zone_utc, bad[i], &got_s));
    assert_int_equal(got_s, 4711);
    OK(zone_instant(&zone_utc, (struct zone_time){2000, 2, 29, 23, 59, 59, 0}, &got_s));
    assert_int_equal(got_s, 11016 * (int64_t)DAY_S + DAY_S - 1);
}

/* The first second of the day: on that day, and the second before is not. */
static void midnights(void **unused) {
    (void)unused;
    static struct zone zone;
    uint64_t seed = 99;
    for (size_t z = 0; z < COUNT_OF(names); z++) {
        enter(names[z], &zone);
        for (int i = 0; i < SEEDED; i++) {
            int64_t at_s = first_s + 400 * DAY_S +
                           (int64_t)draw(&seed, (uint64_t)(end_s - first_s - 800 * DAY_S));
            if (i % 2) /* half of them next to a change, in zones that have any */
                at_s = zone.count > 1 ? zone.changes[1 + i % (zone.count - 1)].from_s : at_s;
            int days = (int)draw(&seed, 9) - 4;
            int64_t got_s = zone_midnight(&zone, at_s, days);
            struct zone_time from = zone_local(&zone, at_s), to = zone_local(&zone, got_s),
                             before = zone_local(&zone, got_s - 1);
            int64_t day = zone_days(from.year, from.month, from.day) + days;
            if (zone_days(to.year, to.month, to.day) != day ||
                zone_days(before.year, before.month, before.day) != day - 1)
                fail_msg("%s, day %+d of %lld: got %lld", zone.name, days, (long long)at_s,
                         (long long)got_s);
            assert_int_equal(zone_days_between(&zone, at_s, got_s), days);
            assert_int_equal(zone_days_between(&zone, got_s, at_s), -days);
        }
    }
}

static void midnights_named(void **unused) {
    (void)unused;
    static struct zone zone;
    enter("America/Havana", &zone);
    int64_t noon_s = zone_days(2026, 3, 8) * DAY_S + 16 * 3600;
    assert_int_equal(zone_midnight(&zone, noon_s, 0), zone_days(2026, 3, 8) * DAY_S + 5 * 3600);
    noon_s = zone_days(2026, 11, 1) * DAY_S + 17 * 3600; /* 00:00 comes twice */
    assert_int_equal(zone_midnight(&zone, noon_s, 0), zone_days(2026, 11, 1) * DAY_S + 4 * 3600);
    enter("Africa/Nairobi", &zone);
    int64_t late_s = zone_days(2026, 5, 1) * DAY_S + 21 * 3600; /* already the second there */
    assert_int_equal(zone_midnight(&zone, late_s, 0), late_s);
    assert_int_equal(zone_midnight(&zone, late_s - 1, 0), late_s - DAY_S);
    assert_int_equal(zone_days_between(&zone, late_s - 1, late_s), 1);
    assert_int_equal(zone_days_between(&zone, late_s, late_s + DAY_S - 1), 0);
}

/* Julian day numbers as printed in the Explanatory Supplement to the Astronomical Almanac:
 * 1970-01-01 is 2440588, 2000-01-01 2451545, 1858-11-17 2400001 (zero of the modified count),
 * 1582-10-15 2299161. Leap years by ISO 8601: 2000 is one, 1900 and 2100 are not. */
static void days(void **unused) {
    (void)unused;
    static const struct {
        int year, month, day;
        int64_t days;
    } cases[] = {
        {1970, 1, 1, 0},
        {2000, 1, 1, 2451545 - 2440588},
        {1858, 11, 17, 2400001 - 2440588},
        {1582, 10, 15, 2299161 - 2440588},
        {2000, 2, 29, 2451545 - 2440588 + 59},
        {2000, 3, 1, 2451545 - 2440588 + 60},
        {2100, 2, 28, 47540},
        {2100, 3, 1, 47541},
        {1969, 12, 31, -1},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++)
        assert_int_equal(zone_days(cases[i].year, cases[i].month, cases[i].day), cases[i].days);
}

static void days_like_libc(void **unused) {
    (void)unused;
    for (int64_t day = zone_days(1900, 1, 1); day < zone_days(2200, 1, 1); day++) {
        struct zone_time t = zone_local(&zone_utc, day * DAY_S + 5);
        struct tm tm = {
            .tm_year = t.year - 1900, .tm_mon = t.month - 1, .tm_mday = t.day, .tm_sec = 5};
        int64_t want_s = timegm(&tm); /* and it fills the day of the week */
        if (want_s != day * DAY_S + 5 || zone_days(t.year, t.month, t.day) != day ||
            t.weekday != (tm.tm_wday + 6) % 7)
            fail_msg("day %lld is %04d-%02d-%02d, weekday %d here", (long long)day, t.year, t.month,
                     t.day, t.weekday);
    }
}

static void unknown_names(void **unused) {
    (void)unused;
    static struct zone zone;
    static const char *const unknown[] = {
        "",
        "Africa/Atlantis",
        "/etc/localtime",
        "../zoneinfo/Africa/Lagos",
        "africa/lagos",
        "Africa",
        "zone.tab",
        "zone1970.tab",
        "America/Argentina",
        "EAT-3",
        ":Africa/Lagos",
        "Africa/Lagos/",
        "Africa/Lagos ",
        "a/name/that/is/longer/than/any/zone/has/ever/been",
    };
    for (size_t i = 0; i < COUNT_OF(unknown); i++)
        if (zone_load(unknown[i], &zone) != ERR_NOT_FOUND)
            fail_msg("\"%s\" was taken for a zone", unknown[i]);
    OK(zone_load("UTC", &zone));
    assert_int_equal(zone.count, 1);
    OK(zone_load("Etc/UTC", &zone));
    assert_int_equal(zone.changes[0].offset_s, 0);
}

/* The environment is as it was, set or not. */
static void leaves_tz(void **unused) {
    (void)unused;
    static struct zone zone;
    time_t noon = 1751371200; /* 2025-07-01 12:00 UTC */
    struct tm tm;
    setenv("TZ", "Asia/Kathmandu", 1);
    OK(zone_load("Europe/London", &zone));
    assert_string_equal(getenv("TZ"), "Asia/Kathmandu");
    localtime_r(&noon, &tm);
    assert_int_equal(tm.tm_gmtoff, 20700);
    unsetenv("TZ");
    OK(zone_load("Europe/London", &zone));
    assert_null(getenv("TZ"));
}

/* London goes back at 01:00 UTC on 2026-10-25: the clocks show 01:00 to 01:59 from 00:00 UTC on and
 * again from 01:00 on. At every minute of two days the two of one time are an hour apart, and no
 * other has a second. In March, and in Nairobi, there is none. */
static void which_of_two(void **state) {
    (void)state;
    struct zone zone;
    const int64_t day_s = zone_days(2026, 10, 25) * 86400;
    assert_int_equal(zone_load("Europe/London", &zone), ERR_OK);
    for (int64_t at_s = day_s - 43200; at_s < day_s + 129600; at_s += 60) {
        enum zone_pass want = at_s >= day_s && at_s < day_s + 3600          ? ZONE_FIRST
                              : at_s >= day_s + 3600 && at_s < day_s + 7200 ? ZONE_SECOND
                                                                            : ZONE_ONCE;
        if (zone_pass_of(&zone, at_s) != want)
            fail_msg("%lld s of the day: pass %d, wanted %d", (long long)(at_s - day_s),
                     zone_pass_of(&zone, at_s), want);
        assert_int_equal(zone_second(&zone, at_s), want == ZONE_FIRST ? at_s + 3600 : at_s);
        struct zone_time a = zone_local(&zone, at_s),
                         b = zone_local(&zone, zone_second(&zone, at_s));
        assert_true(a.hour == b.hour && a.minute == b.minute && a.day == b.day);
    }
    const int64_t spring_s = zone_days(2026, 3, 29) * 86400;
    for (int64_t at_s = spring_s - 43200; at_s < spring_s + 129600; at_s += 60)
        assert_int_equal(zone_pass_of(&zone, at_s), ZONE_ONCE);
    assert_int_equal(zone_load("Africa/Nairobi", &zone), ERR_OK);
    assert_int_equal(zone_pass_of(&zone, day_s), ZONE_ONCE);
    assert_int_equal(zone_pass_of(&zone_utc, day_s), ZONE_ONCE);
}

int main(void) {
    first_s = zone_days(2000, 1, 1) * DAY_S;
    end_s = zone_days(2100, 1, 1) * DAY_S;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(local_times),         cmocka_unit_test(around_changes),
        cmocka_unit_test(skipped_and_doubled), cmocka_unit_test(named_hours),
        cmocka_unit_test(fields_out_of_range), cmocka_unit_test(midnights),
        cmocka_unit_test(midnights_named),     cmocka_unit_test(days),
        cmocka_unit_test(days_like_libc),      cmocka_unit_test(unknown_names),
        cmocka_unit_test(leaves_tz),           cmocka_unit_test(which_of_two),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
