/* reply/value: see value.h. In: a value, a language, a zone and the hour of writing. Out: its text.
 * Errors: only the buffer's. Limits: instants are shown on five minutes; a day more than six days
 * away is named by its date, since a weekday alone would name another. */
#include "reply/value.h"

#include <string.h>

#include "sms/translit.h"
#include "trade/progress.h"

enum { DAY_S = 86400, WEEK_DAYS = 7 };

/* The hour, with its day in front when `day` and it is not today. */
static void put_instant(const struct reply_setting *at, int64_t instant_s, bool day, bool brief,
                        struct buf *out) {
    int64_t shown_s = progress_show(instant_s);
    struct zone_time local = zone_local(at->zone, shown_s);
    int days = day ? zone_days_between(at->zone, at->now_s, shown_s) : 0;
    if (days <= -WEEK_DAYS || days >= WEEK_DAYS)
        words_put_date(at->words, at->language, local.day, local.month, out);
    else if (days)
        words_put_weekday(at->words, at->language, local.weekday, out);
    if (days)
        buf_putc(out, ' ');
    words_put_hour(at->words, at->language, local.hour, local.minute,
                   brief ? WORDS_HOUR_SHORT : WORDS_HOUR_FULL, out);
    enum zone_pass pass = zone_pass_of(at->zone, shown_s);
    if (pass != ZONE_ONCE) /* the clocks show it twice in this night */
        words_put_pass(at->words, at->language, pass == ZONE_SECOND, out);
}

/* From 1 kg on kilograms with at most two digits behind the sign; below that grams, whole from 10 g
 * on and with at most one digit below: as fine as scales in hatcheries are, no finer. What one
 * larva or fry weighs is reckoned, not weighed: below a tenth of a gram down to the milligram. */
static void put_weight(const struct reply_setting *at, int64_t weight_mg, struct buf *out) {
    enum { GRAM_MG = 1000, HALF_GRAM_MG = 500 };
    const int64_t kilogram_mg = (int64_t)1000 * GRAM_MG;
    if (weight_mg >= kilogram_mg - HALF_GRAM_MG) {
        words_put_milli(at->words, at->language, (weight_mg + HALF_GRAM_MG) / GRAM_MG, 2, out);
        buf_puts(out, "kg");
    } else {
        int digits = weight_mg < GRAM_MG / 10 ? 3 : weight_mg < 10 * GRAM_MG ? 1 : 0;
        words_put_milli(at->words, at->language, weight_mg, digits, out);
        buf_puts(out, "g");
    }
}

/* Signs that GSM-7 only has as pairs, and ends of lines, as plain ones: one character, one septet.
 */
static char plain(char c) {
    switch (c) {
    case '{':
    case '[':
        return '(';
    case '}':
    case ']':
        return ')';
    case '|':
    case '\\':
        return '/';
    case '~':
    case '^':
        return '-';
    default:
        return (unsigned char)c < 0x20 ? ' ' : c;
    }
}

/* Bytes of the first `most` characters. */
static size_t cut(struct slice s, int most) {
    size_t i = 0;
    for (int n = 0; i < s.n && n < most; n++) {
        i++;
        while (i < s.n && ((unsigned char)s.p[i] & 0xc0) == 0x80)
            i++;
    }
    return i;
}

static void put_text(struct slice text, int longest, struct buf *out) {
    enum { EURO_BYTES = 3 };
    char room[REPLY_BYTES_MAX + 1];
    struct buf fit = {.p = room, .room = sizeof room, .cap = REPLY_BYTES_MAX};
    enum err e = sms_translit(text, &fit);
    if (e == ERR_UTF8) /* what stands before the bad bytes is kept */
        buf_putc(&fit, '?');
    struct slice s = buf_slice(&fit);
    if (longest > 0)
        s = slice_head(s, cut(s, longest));
    for (size_t i = 0; i < s.n; i++) {
        if (slice_starts(slice_from(s, i), SLICE("\xe2\x82\xac"))) { /* the euro sign is a pair */
            buf_putc(out, '?');
            i += EURO_BYTES - 1;
        } else {
            buf_putc(out, plain(s.p[i]));
        }
    }
}

/* Capitals for ASCII letters only: a catalogue writes its commands without accents. */
static void put_capitals(struct slice s, struct buf *out) {
    for (size_t i = 0; i < s.n; i++)
        buf_putc(out, s.p[i] >= 'a' && s.p[i] <= 'z' ? (char)(s.p[i] - 32) : s.p[i]);
}

void reply_put_value(const struct reply_setting *at, const struct reply_value *value, bool brief,
                     int longest, struct buf *out) {
    int64_t n = value->integer;
    switch (value->kind) {
    case VALUE_TAG:
        put_capitals((struct slice){&value->letter, 1}, out);
        buf_put_int(out, n);
        break;
    case VALUE_WHEN:
    case VALUE_CLOCK:
        put_instant(at, n, value->kind == VALUE_WHEN, brief, out);
        break;
    case VALUE_DATE: {
        struct zone_time local = zone_local(at->zone, n);
        words_put_date(at->words, at->language, local.day, local.month, out);
        break;
    }
    case VALUE_WATER: /* what was understood must be seen: all the digits that people type */
        words_put_milli(at->words, at->language, n, 2, out);
        buf_putc(out, 'C');
        break;
    case VALUE_WEIGHT:
        put_weight(at, n, out);
        break;
    case VALUE_NUMBER:
        buf_put_int(out, n);
        break;
    case VALUE_DECIMAL:
        words_put_milli(at->words, at->language, n, 1, out);
        break;
    case VALUE_CENTI:
    case VALUE_METRE:
        words_put_milli(at->words, at->language, n, 2, out);
        if (value->kind == VALUE_METRE)
            buf_putc(out, 'm');
        break;
    case VALUE_AREA:
        words_put_area(at->words, at->language, n, out);
        break;
    case VALUE_MEASURE:
        words_put_measures(at->words, at->language, value->letter, n, out);
        break;
    case VALUE_TEXT:
        put_text(value->text, longest, out);
        break;
    case VALUE_KIND:
        put_capitals(words_kind_word(at->words, (int)n, at->language), out);
        break;
    case VALUE_LANGUAGE:
        put_text(words_language_name(at->words, (int)n), 0, out);
        break;
    case VALUE_NONE:
        break;
    }
}

/* -- the longest ------------------------------------------------------------------------------- */

/* Largest numbers that a hatchery can reasonably meet, by the name of the value: 19.99 kg of eggs
 * is twelve million, but no bowl holds more than about 15 kg. */
static int64_t largest(const char *name) {
    static const struct {
        const char *name;
        int64_t most;
    } table[] = {
        {"eggs", 9999000}, {"live", 9999000},   {"side", 999},      {"litres", 9999},
        {"low", 999},      {"high", 9999},      {"left", 5000000},  {"white", 9999},
        {"of", 9999},      {"readings", 99},    {"count", 5000000}, {"from", 5000000},
        {"to", 5000000},   {"larvae", 5000000}, {"taken", 5000000}, {"dead", 5000000},
        {"most", 5000000}, {"good", 9999},      {"each", 99},       {"lost", 5000000},
        {"day", 99},       {"days", 999},       {"digits", 10},     {"share", 100},
        {"more", 3},       {"months", 99},      {"kg", 9999},       {"hydrated", 9999},
        {"quick", 9999},   {"hen", 9999},       {"cow", 9999},      {"fish", 99},
        {"room", 99},      {"percent", 9999},   {"metres", 9999},   {"m3", 99999},
        {"first", 9999},   {"second", 9999},    {"third", 9999},    {"stop", 25},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strcmp(table[i].name, name) == 0)
            return table[i].most;
    return 9999999;
}

/* How many characters the value takes. */
static int width(const struct reply_setting *at, const struct reply_value *value) {
    char room[128];
    struct buf b = {.p = room, .room = sizeof room, .cap = sizeof room - 1};
    reply_put_value(at, value, false, 0, &b);
    int n = 0;
    for (size_t i = 0; i < b.n; i++)
        n += ((unsigned char)b.p[i] & 0xc0) != 0x80;
    return n;
}

/* The widest of `count` values that begin at `first` and lie `step` apart. */
static struct reply_value widest(const struct reply_setting *at, enum reply_kind kind,
                                 int64_t first, int64_t step, int count) {
    struct reply_value best = {.kind = kind, .integer = first};
    int most = -1;
    for (int i = 0; i < count; i++) {
        struct reply_value one = {.kind = kind, .integer = first + step * i};
        int n = width(at, &one);
        if (n > most) {
            most = n;
            best = one;
        }
    }
    return best;
}

/* Every hour at five to on every day of the weeks before and behind, and through the year. */
static struct reply_value widest_instant(const struct reply_setting *at, enum reply_kind kind) {
    const int64_t year = 365;
    int64_t midnight = zone_midnight(at->zone, at->now_s, 0);
    struct reply_value near =
        widest(at, kind, midnight - WEEK_DAYS * DAY_S + 55 * 60, 3600, 2 * WEEK_DAYS * 24);
    int64_t hour_s = near.integer % DAY_S;
    struct reply_value far =
        widest(at, kind, midnight - year * DAY_S + hour_s, DAY_S, (int)year * 2);
    return width(at, &far) > width(at, &near) ? far : near;
}

/* Hundreds and a half of the measure with the longest name: the choices that have a form. */
static struct reply_value widest_measure(const struct reply_setting *at) {
    const int64_t most_milli = 999500;
    struct reply_value best = {.kind = VALUE_MEASURE, .integer = most_milli};
    int most = -1;
    for (int i = 0; i < words_choice_count(at->words); i++) {
        struct reply_value one = {VALUE_MEASURE, (char)i, most_milli, {0}};
        int n = width(at, &one);
        if (n > most) {
            most = n;
            best = one;
        }
    }
    return best;
}

struct reply_value reply_longest_value(const struct reply_setting *at, const char *name,
                                       enum reply_kind kind, int longest, struct slice text) {
    struct reply_value v = {.kind = kind};
    switch (kind) {
    case VALUE_TAG:
        v.letter = 'f';
        v.integer = 9999;
        break;
    case VALUE_WHEN:
    case VALUE_CLOCK:
    case VALUE_DATE:
        return widest_instant(at, kind);
    case VALUE_WATER:
        v.integer = 24550;
        break;
    case VALUE_WEIGHT:
        v.integer = 19990000;
        break;
    case VALUE_NUMBER:
        v.integer = largest(name);
        break;
    case VALUE_DECIMAL:
        v.integer = 99900;
        break;
    case VALUE_CENTI:
    case VALUE_METRE:
        v.integer = 9950;
        break;
    case VALUE_AREA:
        v.integer = 99900000;
        break;
    case VALUE_MEASURE:
        return widest_measure(at);
    case VALUE_TEXT:
        v.text = slice_head(text, (size_t)longest);
        break;
    case VALUE_KIND:
        return widest(at, kind, 1, 1, words_kind_count(at->words));
    case VALUE_LANGUAGE:
        return widest(at, kind, 0, 1, words_count(at->words));
    case VALUE_NONE:
        break;
    }
    return v;
}
