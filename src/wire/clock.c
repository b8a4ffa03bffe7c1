/* clock: see clock.h. In: text; out: UTC seconds. A wrong form or an impossible date is the
 * sender's fault. Limits: years 2000 to 2099 for a message's instant, from 1900 for HTTP dates;
 * a leap second (23:59:60) counts as the second after it. */
#include "wire/clock.h"

#include "base/zone.h"

enum { DAY_S = 86400, HOUR_S = 3600, MINUTE_S = 60 };

/* Exactly `digits` digits off the front. */
static bool take_number(struct slice *s, size_t digits, int *out) {
    if (s->n < digits)
        return false;
    int v = 0;
    for (size_t i = 0; i < digits; i++) {
        if (s->p[i] < '0' || s->p[i] > '9')
            return false;
        v = v * 10 + (s->p[i] - '0');
    }
    *s = slice_from(*s, digits);
    *out = v;
    return true;
}

static bool take_sign(struct slice *s, const char *any, char *out) {
    if (!s->n)
        return false;
    for (; *any; any++)
        if (*any == s->p[0]) {
            *out = *any;
            *s = slice_from(*s, 1);
            return true;
        }
    return false;
}

static int month_days(int year, int month) {
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : days[month - 1];
}

struct wall {
    int year, month, day, hour, minute, second;
};

static bool wall_stands(const struct wall *w) {
    return w->month >= 1 && w->month <= 12 && w->day >= 1 &&
           w->day <= month_days(w->year, w->month) && w->hour <= 23 && w->minute <= 59 &&
           w->second <= 60;
}

static int64_t wall_seconds(const struct wall *w) {
    return zone_days(w->year, w->month, w->day) * DAY_S + w->hour * HOUR_S + w->minute * MINUTE_S +
           w->second;
}

/* RFC 3339 5.6: date-time, "T" and "Z" in any case, a space for T (5.6, note). */
static enum err read_rfc3339(struct slice s, int64_t *at_s) {
    struct wall w;
    char sign;
    if (!take_number(&s, 4, &w.year) || !take_sign(&s, "-", &sign) ||
        !take_number(&s, 2, &w.month) || !take_sign(&s, "-", &sign) ||
        !take_number(&s, 2, &w.day) || !take_sign(&s, "Tt ", &sign) ||
        !take_number(&s, 2, &w.hour) || !take_sign(&s, ":", &sign) ||
        !take_number(&s, 2, &w.minute) || !take_sign(&s, ":", &sign) ||
        !take_number(&s, 2, &w.second))
        return ERR_SYNTAX;
    if (take_sign(&s, ".", &sign)) {
        int digit;
        if (!take_number(&s, 1, &digit))
            return ERR_SYNTAX;
        while (take_number(&s, 1, &digit))
            ;
    }
    if (!take_sign(&s, "Zz+-", &sign))
        return ERR_SYNTAX;
    int hours = 0, minutes = 0;
    if (sign == '+' || sign == '-') {
        char colon;
        if (!take_number(&s, 2, &hours) || !take_sign(&s, ":", &colon) ||
            !take_number(&s, 2, &minutes))
            return ERR_SYNTAX;
    }
    if (s.n)
        return ERR_SYNTAX;
    if (!wall_stands(&w) || hours > 23 || minutes > 59)
        return ERR_RANGE;
    int64_t offset_s = hours * HOUR_S + minutes * MINUTE_S;
    *at_s = wall_seconds(&w) - (sign == '-' ? -offset_s : offset_s);
    return ERR_OK;
}

enum err wire_instant(struct slice s, enum wire_sent_form form, int64_t *at_s) {
    int64_t v;
    enum err e;
    if (form == WIRE_SENT_RFC3339) {
        e = read_rfc3339(s, &v);
    } else {
        if (s.n && (s.p[0] < '0' || s.p[0] > '9'))
            return ERR_SYNTAX;
        e = slice_int(s, &v);
        if (!e && form == WIRE_SENT_UNIX_MS)
            v /= 1000;
    }
    if (e)
        return e;
    if (v < zone_days(2000, 1, 1) * DAY_S || v >= zone_days(2100, 1, 1) * DAY_S)
        return ERR_RANGE;
    *at_s = v;
    return ERR_OK;
}

static int named(struct slice s, const char *const *names, int count) {
    for (int i = 0; i < count; i++)
        if (slice_eq(s, slice_of(names[i])))
            return i;
    return -1;
}

enum err wire_http_date(struct slice s, int64_t *at_s) {
    static const char *const weekdays[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int weekday = named(slice_head(s, 3), weekdays, 7);
    s = slice_from(s, 3);
    if (weekday < 0 || !slice_starts(s, SLICE(", ")))
        return ERR_SYNTAX;
    s = slice_from(s, 2);
    struct wall w;
    char sign;
    if (!take_number(&s, 2, &w.day) || !take_sign(&s, " ", &sign))
        return ERR_SYNTAX;
    w.month = named(slice_head(s, 3), months, 12) + 1;
    s = slice_from(s, 3);
    if (w.month < 1 || !take_sign(&s, " ", &sign) || !take_number(&s, 4, &w.year) ||
        !take_sign(&s, " ", &sign) || !take_number(&s, 2, &w.hour) || !take_sign(&s, ":", &sign) ||
        !take_number(&s, 2, &w.minute) || !take_sign(&s, ":", &sign) ||
        !take_number(&s, 2, &w.second) || !slice_eq(s, SLICE(" GMT")))
        return ERR_SYNTAX;
    if (w.year < 1900 || !wall_stands(&w))
        return ERR_RANGE;
    /* 1 January 1970 was a Thursday, day 3 of a week that begins with Monday. */
    int64_t day = (zone_days(w.year, w.month, w.day) + 3) % 7;
    if (day < 0)
        day += 7;
    if (day != weekday)
        return ERR_RANGE;
    *at_s = wall_seconds(&w);
    return ERR_OK;
}

int64_t wire_retry_after(struct slice value, int64_t now_s) {
    value = slice_trim(value);
    int64_t wait_s = 0;
    if (value.n && value.p[0] >= '0' && value.p[0] <= '9') {
        enum err e = slice_int(value, &wait_s);
        if (e == ERR_RANGE)
            wait_s = WIRE_RETRY_MOST_S; /* digits beyond 64 bits: very long */
        else if (e)
            return -1;
    } else {
        int64_t at_s;
        if (wire_http_date(value, &at_s))
            return -1;
        if (__builtin_sub_overflow(at_s, now_s, &wait_s))
            wait_s = 0;
    }
    if (wait_s < 0)
        wait_s = 0;
    return wait_s < WIRE_RETRY_MOST_S ? wait_s : WIRE_RETRY_MOST_S;
}
