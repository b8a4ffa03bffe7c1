/* words/show: see show.h. In: the words, a language, a number or clock time. Out: text at the end
 * of a buffer, whose cap is the caller's. Nothing fails by itself: words_build has checked the
 * forms, and a form it has not (no English) shows as digits. */
#include "words/show.h"

#include "words/words.h"

bool words_clock_from_six(const struct words *w, int language) {
    struct slice form = words_get(w, language, "form.hour"), head, tail;
    while (slice_cut(form, '{', &head, &tail)) {
        if (slice_starts(tail, SLICE("six}")))
            return true;
        form = tail;
    }
    return false;
}

bool words_unit_first(const struct words *w, int language) {
    return slice_starts(words_get(w, language, "form.unit"), SLICE("{unit}"));
}

static void put_clock(int hour, int minute, int width, struct buf *out) {
    if (hour < 10 && width == 2)
        buf_putc(out, '0');
    buf_put_int(out, hour);
    buf_putc(out, ':');
    if (minute < 10)
        buf_putc(out, '0');
    buf_put_int(out, minute);
}

/* The part of the day of an hour: the last one that begins at or before it. */
static struct slice part_of(const struct words *w, int language, int hour) {
    struct slice rest = words_get(w, language, "form.parts"), one, from, name;
    struct slice found = {NULL, 0};
    int64_t begins;
    while (rest.n) {
        (void)slice_cut(rest, '|', &one, &rest);
        if (slice_cut(slice_trim(one), ' ', &from, &name) && slice_int(from, &begins) == ERR_OK &&
            begins <= hour)
            found = name;
    }
    return found;
}

void words_put_hour(const struct words *w, int language, int hour, int minute,
                    enum words_hour_form form, struct buf *out) {
    struct slice rest =
        words_get(w, language, form == WORDS_HOUR_SHORT ? "form.hour.short" : "form.hour");
    struct slice head, name;
    if (!rest.n)
        rest = SLICE("{clock}");
    while (slice_cut(rest, '{', &head, &rest)) {
        buf_put(out, head);
        (void)slice_cut(rest, '}', &name, &rest);
        if (slice_eq(name, SLICE("clock")))
            put_clock(hour, minute, 2, out);
        else if (slice_eq(name, SLICE("six")))
            put_clock((hour + 6) % 12 ? (hour + 6) % 12 : 12, minute, 1, out);
        else if (slice_eq(name, SLICE("part")))
            buf_put(out, part_of(w, language, hour));
    }
    buf_put(out, head);
}

void words_put_pass(const struct words *w, int language, bool second, struct buf *out) {
    struct slice which = words_get(w, language, second ? "form.new" : "form.old");
    if (!which.n)
        return;
    buf_putc(out, ' ');
    buf_put(out, which);
}

/* A context that ends in a number: day.3, month.12. Of alternatives the first. */
static struct slice numbered(const struct words *w, int language, const char *prefix, int number) {
    struct slice first, others;
    char name[24];
    size_t n = 0;
    while (prefix[n]) {
        name[n] = prefix[n];
        n++;
    }
    if (number >= 10)
        name[n++] = (char)('0' + number / 10 % 10);
    name[n++] = (char)('0' + number % 10);
    name[n] = '\0';
    (void)slice_cut(words_get(w, language, name), '|', &first, &others);
    return slice_trim(first);
}

void words_put_weekday(const struct words *w, int language, int weekday, struct buf *out) {
    buf_put(out, numbered(w, language, "day.", weekday));
}

void words_put_date(const struct words *w, int language, int day, int month, struct buf *out) {
    struct slice rest = words_get(w, language, "form.date"), head, name;
    if (!rest.n)
        rest = SLICE("{day} {month}");
    while (slice_cut(rest, '{', &head, &rest)) {
        buf_put(out, head);
        (void)slice_cut(rest, '}', &name, &rest);
        if (slice_eq(name, SLICE("day")))
            buf_put_int(out, day);
        else if (slice_eq(name, SLICE("month")))
            buf_put(out, numbered(w, language, "month.", month));
    }
    buf_put(out, head);
}

void words_put_area(const struct words *w, int language, int64_t area_cm2, struct buf *out) {
    enum { ARE_CM2 = 1000000, HALF_M2_CM2 = 5000 };
    struct slice rest = words_get(w, language, "form.ares"), head;
    if (area_cm2 < ARE_CM2 - HALF_M2_CM2) { /* below 10 with a digit behind the sign */
        words_put_milli(w, language, area_cm2 / 10, area_cm2 < 100000 ? 1 : 0, out);
        buf_puts(out, "m2");
        return;
    }
    if (!rest.n)
        rest = SLICE("{number} ares");
    (void)slice_cut(rest, '{', &head, &rest);
    buf_put(out, head);
    words_put_milli(w, language, area_cm2 / 1000, 1, out);
    if (slice_cut(rest, '}', &head, &rest))
        buf_put(out, rest);
}

void words_put_measures(const struct words *w, int language, int choice, int64_t milli,
                        struct buf *out) {
    char name[40];
    struct buf context = {.p = name, .room = sizeof name, .cap = sizeof name - 1};
    struct slice one, more, head;
    buf_putf(&context, "form.%s", words_choice_name(w, choice));
    bool both = slice_cut(words_get(w, language, name), '|', &one, &more);
    struct slice rest = slice_trim((milli > 1000 || milli == 0) && both ? more : one);
    if (!rest.n)
        rest = SLICE("{number}");
    (void)slice_cut(rest, '{', &head, &rest);
    buf_put(out, head);
    words_put_milli(w, language, milli, 2, out);
    if (slice_cut(rest, '}', &head, &rest))
        buf_put(out, rest);
}

void words_put_milli(const struct words *w, int language, int64_t milli, int digits,
                     struct buf *out) {
    static const uint64_t units[] = {1000, 100, 10, 1};
    uint64_t unit = units[digits < 0 ? 0 : digits > 3 ? 3 : digits];
    uint64_t u = milli < 0 ? 0 - (uint64_t)milli : (uint64_t)milli;
    u = (u + unit / 2) / unit * unit;
    if (milli < 0 && u)
        buf_putc(out, '-');
    buf_putf(out, "%llu", (unsigned long long)(u / 1000));
    uint64_t behind = u % 1000;
    if (!behind)
        return;
    struct slice sign = words_get(w, language, "form.decimal");
    buf_put(out, sign.n ? sign : SLICE("."));
    for (uint64_t place = 100; behind; place /= 10) {
        buf_putc(out, (char)('0' + behind / place));
        behind %= place;
    }
}
