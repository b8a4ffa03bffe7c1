/* Instants as they come over the wire, HTTP dates and Retry-After. The seconds were counted with
 * Python's datetime and email.utils; RFC 3339 5.8 and RFC 9110 5.6.7 give the examples so marked.
 */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <time.h>
#include <cmocka.h>

#include "wire/clock.h"

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static void instants(void **state) {
    (void)state;
    static const struct {
        const char *text;
        enum wire_sent_form form;
        enum err e;
        int64_t at_s;
    } cases[] = {
        {"2026-01-02T03:04:05Z", WIRE_SENT_RFC3339, ERR_OK, 1767323045},
        {"2026-01-02t03:04:05z", WIRE_SENT_RFC3339, ERR_OK, 1767323045},
        {"2026-01-02 03:04:05Z", WIRE_SENT_RFC3339, ERR_OK, 1767323045},
        {"2026-01-02T03:04:05.999Z", WIRE_SENT_RFC3339, ERR_OK, 1767323045},
        {"2026-01-02T03:04:05.123456789+00:00", WIRE_SENT_RFC3339, ERR_OK, 1767323045},
        {"2026-01-02T03:04:05+03:00", WIRE_SENT_RFC3339, ERR_OK, 1767312245},
        {"2026-01-02T03:04:05-01:30", WIRE_SENT_RFC3339, ERR_OK, 1767328445},
        {"2000-01-01T00:00:00Z", WIRE_SENT_RFC3339, ERR_OK, 946684800},
        {"2099-12-31T23:59:59Z", WIRE_SENT_RFC3339, ERR_OK, 4102444799},
        {"2028-02-29T12:00:00Z", WIRE_SENT_RFC3339, ERR_OK, 1835438400},
        {"2016-12-31T23:59:60Z", WIRE_SENT_RFC3339, ERR_OK, 1483228800}, /* a leap second */
        {"1999-12-31T23:59:59Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2100-01-01T00:00:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"1985-04-12T23:20:50.52Z", WIRE_SENT_RFC3339, ERR_RANGE, 0}, /* RFC 3339 5.8 */
        {"2026-02-29T00:00:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-00-10T00:00:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-13-01T00:00:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-04-31T00:00:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-01-02T24:00:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-01-02T03:60:00Z", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-01-02T03:04:05+24:00", WIRE_SENT_RFC3339, ERR_RANGE, 0},
        {"2026-01-02T03:04:05", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"2026-01-02T03:04:05.Z", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"2026-01-02T03:04Z", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"2026-1-2T03:04:05Z", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"2026-01-02T03:04:05+0300", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"2026-01-02T03:04:05Zx", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"", WIRE_SENT_RFC3339, ERR_SYNTAX, 0},
        {"1767323045", WIRE_SENT_UNIX, ERR_OK, 1767323045},
        {"946684800", WIRE_SENT_UNIX, ERR_OK, 946684800},
        {"946684799", WIRE_SENT_UNIX, ERR_RANGE, 0},
        {"4102444800", WIRE_SENT_UNIX, ERR_RANGE, 0},
        {"1767323045000", WIRE_SENT_UNIX, ERR_RANGE, 0}, /* milliseconds by mistake */
        {"99999999999999999999", WIRE_SENT_UNIX, ERR_RANGE, 0},
        {"-1767323045", WIRE_SENT_UNIX, ERR_SYNTAX, 0},
        {"+1767323045", WIRE_SENT_UNIX, ERR_SYNTAX, 0},
        {"1767323045.5", WIRE_SENT_UNIX, ERR_SYNTAX, 0},
        {"", WIRE_SENT_UNIX, ERR_SYNTAX, 0},
        {"1767323045999", WIRE_SENT_UNIX_MS, ERR_OK, 1767323045},
        {"1767323045", WIRE_SENT_UNIX_MS, ERR_RANGE, 0}, /* seconds by mistake */
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        int64_t at_s = 0;
        enum err e = wire_instant(slice_of(cases[i].text), cases[i].form, &at_s);
        if (e != cases[i].e || at_s != cases[i].at_s)
            fail_msg("\"%s\": got %s %" PRId64 ", wanted %s %" PRId64, cases[i].text,
                     err_info(e)->name, at_s, err_info(cases[i].e)->name, cases[i].at_s);
    }
}

static void http_dates(void **state) {
    (void)state;
    static const struct {
        const char *text;
        enum err e;
        int64_t at_s;
    } cases[] = {
        {"Sun, 06 Nov 1994 08:49:37 GMT", ERR_OK, 784111777}, /* RFC 9110 5.6.7 */
        {"Thu, 01 Jan 1970 00:00:00 GMT", ERR_OK, 0},
        {"Mon, 01 Jan 1900 00:00:00 GMT", ERR_OK, -2208988800},
        {"Thu, 31 Dec 2026 23:59:59 GMT", ERR_OK, 1798761599},
        {"Mon, 06 Nov 1994 08:49:37 GMT", ERR_RANGE, 0}, /* it was a Sunday */
        {"Sun, 31 Nov 1994 08:49:37 GMT", ERR_RANGE, 0},
        {"Sun, 06 Nov 1994 24:49:37 GMT", ERR_RANGE, 0},
        {"Sunday, 06-Nov-94 08:49:37 GMT", ERR_SYNTAX, 0}, /* RFC 9110 5.6.7, obsolete */
        {"Sun Nov  6 08:49:37 1994", ERR_SYNTAX, 0},       /* RFC 9110 5.6.7, obsolete */
        {"Sun, 6 Nov 1994 08:49:37 GMT", ERR_SYNTAX, 0},
        {"Sun, 06 nov 1994 08:49:37 GMT", ERR_SYNTAX, 0},
        {"Sun, 06 Nov 1994 08:49:37 UTC", ERR_SYNTAX, 0},
        {"Sun, 06 Nov 1994 08:49:37", ERR_SYNTAX, 0},
        {"Sun, 06 Nov", ERR_SYNTAX, 0},
        {"", ERR_SYNTAX, 0},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        int64_t at_s = 0;
        enum err e = wire_http_date(slice_of(cases[i].text), &at_s);
        if (e != cases[i].e || at_s != cases[i].at_s)
            fail_msg("\"%s\": got %s %" PRId64 ", wanted %s %" PRId64, cases[i].text,
                     err_info(e)->name, at_s, err_info(cases[i].e)->name, cases[i].at_s);
    }
}

/* Every day from 1970 on, written by the C library and read back. */
static void http_dates_read_what_strftime_writes(void **state) {
    (void)state;
    for (int64_t wanted_s = 43199; wanted_s < 4102444800; wanted_s += 86400) {
        time_t t = (time_t)wanted_s;
        struct tm tm;
        char text[40];
        assert_non_null(gmtime_r(&t, &tm));
        assert_int_equal(strftime(text, sizeof text, "%a, %d %b %Y %H:%M:%S GMT", &tm), 29);
        int64_t got_s = 0;
        enum err e = wire_http_date(slice_of(text), &got_s);
        if (e || got_s != wanted_s)
            fail_msg("%s: got %s %" PRId64 ", wanted %" PRId64, text, err_info(e)->name, got_s,
                     wanted_s);
    }
}

static void retry_after(void **state) {
    (void)state;
    enum { NOW_S = 784111777 };
    static const struct {
        const char *value;
        int64_t wait_s;
    } cases[] = {
        {"120", 120}, /* RFC 9110 10.2.3 */
        {"0", 0},
        {" 7 ", 7},
        {"3600", 3600},
        {"3601", WIRE_RETRY_MOST_S},
        {"99999999999999999999999", WIRE_RETRY_MOST_S},
        {"Sun, 06 Nov 1994 08:50:37 GMT", 60},
        {"Sun, 06 Nov 1994 08:49:37 GMT", 0},
        {"Sun, 06 Nov 1994 08:48:37 GMT", 0},
        {"Mon, 07 Nov 1994 08:49:37 GMT", WIRE_RETRY_MOST_S},
        {"-5", -1},
        {"+5", -1},
        {"5 s", -1},
        {"1.5", -1},
        {"soon", -1},
        {"", -1},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        int64_t got = wire_retry_after(slice_of(cases[i].value), NOW_S);
        if (got != cases[i].wait_s)
            fail_msg("Retry-After \"%s\": got %" PRId64 ", wanted %" PRId64, cases[i].value, got,
                     cases[i].wait_s);
    }
    assert_int_equal(wire_retry_after(SLICE("Mon, 01 Jan 1900 00:00:00 GMT"), INT64_MAX), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(instants),
        cmocka_unit_test(http_dates),
        cmocka_unit_test(http_dates_read_what_strftime_writes),
        cmocka_unit_test(retry_after),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
