/* log: one line an event on standard error, key=value, values quoted where they need it. Telephone
 * numbers are masked before they come here (log_phone); message bodies never come here. */
#ifndef BASE_LOG_H
#define BASE_LOG_H

#include "base/slice.h"

struct log_pair {
    const char *key;
    const char *text; /* NULL: the integer is meant */
    int64_t integer;
};

enum { LOG_PHONE_MAX = 24 };
struct log_phone {
    char text[LOG_PHONE_MAX];
};

#define LOG_TEXT(key, value) ((struct log_pair){(key), (value), 0})
#define LOG_INT(key, value)  ((struct log_pair){(key), NULL, (int64_t)(value)})
#define LOG(level, event, ...)                                                                     \
    log_event((level), (event), (struct log_pair[]){__VA_ARGS__},                                  \
              (int)(sizeof((struct log_pair[]){__VA_ARGS__}) / sizeof(struct log_pair)))

void log_event(enum log_level level, const char *event, const struct log_pair *pairs, int count);
void log_least(enum log_level least); /* below it nothing is written; LOG_INFO at start */

/* "+447700900123" -> "+4477*****123": the first five signs and the last three stay. A sender may be
 * a word in any alphabet: bytes that are not plain ASCII never stay, half a letter is no text. */
struct log_phone log_phone(struct slice e164);

#endif
