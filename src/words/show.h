/* words/show: hours, days, dates and numbers as a language writes them. Pure. The forms stand in
 * the catalogues:
 *   form.hour         "{clock}", or where hours count from six "saa {six} {part} ({clock})"
 *   form.hour.short   the same without the word for hour
 *   form.old, form.new  which of two, behind an hour that comes twice as the clocks go back
 *   form.parts        parts of the day from the hour at which each begins: "0 usiku|4 alfajiri|..."
 *   form.date         "{day} {month}"        form.decimal  "." or ","
 *   form.ares         "{number} ares"
 *   form.tin .. form.bag  "{number} tin|{number} tins": a part or one, and others; by name of the
 * choice form.unit         "{number} {unit}", or the unit first: how people write it, for reading
 *   day.0 .. day.6    Monday to Sunday       month.1 .. month.12 */
#ifndef WORDS_SHOW_H
#define WORDS_SHOW_H

#include "base/buf.h"

struct words;

/* The language counts hours from six: saa 12:30 asubuhi is 06:30, its hour (hour + 6) mod 12. */
bool words_clock_from_six(const struct words *w, int language);

/* The language writes a unit before its number, "kilo 1.2" (form.unit). */
bool words_unit_first(const struct words *w, int language);

/* "06:30"; where hours count from six both clocks, "saa 12:30 asubuhi (06:30)": an hour on one
 * clock alone can be read six hours wrong. The short form leaves out the word for hour, never a
 * clock. hour 0..23, minute 0..59. */
enum words_hour_form { WORDS_HOUR_FULL, WORDS_HOUR_SHORT };
void words_put_hour(const struct words *w, int language, int hour, int minute,
                    enum words_hour_form form, struct buf *out);
/* Behind an hour that the clocks show twice in a night: " old time", then " new time". */
void words_put_pass(const struct words *w, int language, bool second, struct buf *out);
void words_put_weekday(const struct words *w, int language, int weekday,
                       struct buf *out); /* 0 Monday .. 6 */
void words_put_date(const struct words *w, int language, int day, int month, struct buf *out);

/* Ares with at most one digit behind the sign, below one are square metres: "4 ares", "45m2". */
void words_put_area(const struct words *w, int language, int64_t area_cm2, struct buf *out);

/* Measures of feed with at most two digits behind the sign: "3 tins", "0.5 tin". `choice` as
 * messages.conf numbers it (words.h). */
void words_put_measures(const struct words *w, int language, int choice, int64_t milli,
                        struct buf *out);

/* Thousandths with at most `digits` (0..3) behind the decimal sign, rounded to the nearest (half
 * away from zero), zeros at the end dropped, no grouping sign. */
void words_put_milli(const struct words *w, int language, int64_t milli, int digits,
                     struct buf *out);

#endif
