/* log: see log.h. One write per line, so that lines of several processes do not mix. */
#define _DEFAULT_SOURCE
#include "base/log.h"

#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"

enum { LINE_MOST = 4096 }; /* bytes; up to this a write to a pipe is not split */

static enum log_level least_level = LOG_INFO;

void log_least(enum log_level least) {
    least_level = least;
}

static void put_value(struct buf *b, struct slice value) {
    bool plain = value.n > 0;
    for (size_t i = 0; i < value.n && plain; i++)
        plain = value.p[i] > ' ' && value.p[i] < 127 && value.p[i] != '"' && value.p[i] != '=';
    if (plain) {
        buf_put(b, value);
        return;
    }
    buf_putc(b, '"');
    for (size_t i = 0; i < value.n; i++) {
        unsigned char c = (unsigned char)value.p[i];
        if (c == '"' || c == '\\')
            buf_putf(b, "\\%c", c);
        else if (c < ' ' || c == 127)
            buf_putf(b, "\\x%02x", c);
        else
            buf_putc(b, (char)c);
    }
    buf_putc(b, '"');
}

void log_event(enum log_level level, const char *event, const struct log_pair *pairs, int count) {
    static const char *const names[] = {"debug", "info", "warn", "error"};
    if (level < least_level)
        return;
    struct buf b = buf_make(LINE_MOST - 1);
    struct timespec now;
    struct tm tm;
    clock_gettime(CLOCK_REALTIME, &now);
    gmtime_r(&now.tv_sec, &tm);
    buf_putf(&b, "%04d-%02d-%02dT%02d:%02d:%02d.%03ldZ level=%s event=%s", tm.tm_year + 1900,
             tm.tm_mon + 1, tm.tm_mday, tm.tm_hour, tm.tm_min, tm.tm_sec, now.tv_nsec / 1000000,
             names[level], event);
    for (int i = 0; i < count; i++) {
        buf_putf(&b, " %s=", pairs[i].key);
        if (pairs[i].text)
            put_value(&b, slice_of(pairs[i].text));
        else
            buf_put_int(&b, pairs[i].integer);
    }
    b.cap++; /* a line too long is cut, but it still ends */
    b.e = ERR_OK;
    buf_putc(&b, '\n');
    if (b.p) {
        ssize_t n = write(STDERR_FILENO, b.p, b.n);
        (void)n; /* a log that cannot be written must not stop the work */
    }
    buf_free(&b);
}

struct log_phone log_phone(struct slice e164) {
    struct log_phone out = {{0}};
    size_t n = e164.n < LOG_PHONE_MAX - 1 ? e164.n : LOG_PHONE_MAX - 1;
    for (size_t i = 0; i < n; i++)
        out.text[i] = ((n > 8 && i < 5) || i + 3 >= n) && e164.p[i] >= ' ' && e164.p[i] <= '~'
                          ? e164.p[i]
                          : '*';
    return out;
}
