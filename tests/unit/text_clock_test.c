/* Hours as typed, with what stands beside them, against the hours that the sources give. An hour
 * six or twelve hours wrong loses a spawn. */
#include "text_help.h"

#include "text/clock.h"

struct hour_row {
    char language;
    const char *text;
    int hour, minute; /* ASKED: both could be meant; NEVER: no such hour */
};

enum { ASKED = -1, NEVER = -2 };

static void check(const struct hour_row *rows, size_t count, const char *before) {
    for (size_t i = 0; i < count; i++) {
        const struct hour_row *want = &rows[i];
        char text[120];
        (void)snprintf(text, sizeof text, "%s%s", before, want->text);
        struct read_text got = read_text(want->language, text);
        const struct request *r = &got.result.request;
        bool read = got.result.doubt == TEXT_DOUBT_NONE && request_has(r, SLOT_TIME);
        bool fine = want->hour == ASKED ? got.result.doubt == TEXT_DOUBT_CLOCK
                    : want->hour == NEVER
                        ? got.result.doubt == TEXT_DOUBT_TOKEN
                        : read && !r->now && r->hour == want->hour && r->minute == want->minute;
        if (!fine)
            fail_msg("\"%s\": got %s, doubt %s, \"%s\"; wanted %s %02d:%02d", text,
                     reading_names[got.result.reading], doubt_names[got.result.doubt], got.line,
                     want->hour == ASKED   ? "to be asked"
                     : want->hour == NEVER ? "no hour"
                                           : "the hour",
                     want->hour < 0 ? 0 : want->hour, want->minute);
    }
}

#define CHECK(rows, before) check((rows), sizeof(rows) / sizeof *(rows), (before))

/* The hours that grammars of Kiswahili print (saa moja asubuhi 07:00 and so on), in digits. */
static void kiswahili_hours_count_from_six(void **state) {
    (void)state;
    static const struct hour_row rows[] = {
        {'s', "saa 1 asubuhi", 7, 0},
        {'s', "saa 2 asubuhi", 8, 0},
        {'s', "saa 6 mchana", 12, 0},
        {'s', "saa 7 mchana", 13, 0},
        {'s', "saa 10 jioni", 16, 0},
        {'s', "saa 12 jioni", 18, 0},
        {'s', "saa 1 usiku", 19, 0},
        {'s', "saa 6 usiku", 0, 0},
        {'s', "saa 9 alfajiri", 3, 0},
        {'s', "saa 12 alfajiri", 6, 0},
        {'s', "saa 12:30 jioni", 18, 30},
        {'s', "saa 12:30 asubuhi", 6, 30},
        {'s', "12 asubuhi", 6, 0},
        {'s', "asubuhi saa 12", 6, 0},
        /* A phone set to English: the words say which clock is meant, not the phone. */
        {'e', "saa 2 asubuhi", 8, 0},
        {'e', "saa 6 usiku", 0, 0},
        {'e', "11.30 jioni", 17, 30},
    };
    CHECK(rows, "");
    CHECK(rows, "kamua f3 150g ");
    CHECK(rows, "strip f3 150g ");
}

/* Clock times of translated news in Kiswahili beside the hour that the English original gives, from
 * two open corpora (NTREX-128, LAFAND-MT). */
static void kiswahili_hours_as_newspapers_write_them(void **state) {
    (void)state;
    static const struct hour_row rows[] = {
        {'s', "saa 1 asubuhi", 7, 0},      /* 7 a.m. */
        {'s', "saa 12 asubuhi", 6, 0},     /* 6am */
        {'s', "saa 9 mchana", 15, 0},      /* 3 p.m. */
        {'s', "saa 7 mchana", 13, 0},      /* 13:00 */
        {'s', "11.30 jioni", 17, 30},      /* 5.30pm */
        {'s', "saa 1.55 asubuhi", 7, 55},  /* 7.55am */
        {'s', "saa 10:40 asubuhi", 4, 40}, /* 4.40 as asubuhi */
        {'s', "saa 1 jioni", 19, 0},       /* 7 pm as jioni */
        {'s', "saa 7 usiku", 1, 0},        /* 1 am as usiku */
        /* The same corpora without a part of the day: most count from six, one does not. */
        {'s', "saa 1:30", ASKED, 0},
        {'s', "saa 4:15", ASKED, 0},
        {'s', "saa 10:00", ASKED, 0},
        {'s', "saa 11:15", ASKED, 0},
        /* And one hour on the common clock, which no part of the day lets through. */
        {'s', "saa 2:00 asubuhi", 8, 0},
        {'s', "saa 7:55 asubuhi", ASKED, 0},
    };
    CHECK(rows, "");
}

static void what_could_be_two_hours_is_asked(void **state) {
    (void)state;
    static const struct hour_row rows[] = {
        {'s', "saa 2", ASKED, 0}, {'s', "saa 12", ASKED, 0},   {'s', "6:30", ASKED, 0},
        {'s', "12:00", ASKED, 0}, {'s', "saa 6:30", ASKED, 0}, {'e', "saa 2", ASKED, 0},
        {'e', "at 6", ASKED, 0},  {'e', "at 12", ASKED, 0},    {'e', "6 noon", ASKED, 0},
    };
    CHECK(rows, "kamua f3 150g ");
}

/* 13 to 23 and 0 are the common clock in every language; am and pm are, too. */
static void the_common_clock(void **state) {
    (void)state;
    static const struct hour_row rows[] = {
        {'e', "18:30", 18, 30},
        {'e', "06:30", 6, 30},
        {'e', "6:30", 6, 30},
        {'e', "0630", 6, 30},
        {'e', "18h30", 18, 30},
        {'e', "18h", 18, 0},
        {'e', "6.30pm", 18, 30},
        {'e', "6:30 pm", 18, 30},
        {'e', "6,30 pm", 18, 30},
        {'e', "6am", 6, 0},
        {'e', "6 a.m.", 6, 0},
        {'e', "12am", 0, 0},
        {'e', "12 pm", 12, 0},
        {'e', "12:30am", 0, 30},
        {'e', "0:00", 0, 0},
        {'e', "23:59", 23, 59},
        {'e', "at 18.30", 18, 30},
        {'e', "6 in the morning", 6, 0},
        {'e', "6 in the evening", 18, 0},
        {'e', "10 at night", 22, 0},
        {'e', "2 at night", 2, 0},
        {'e', "5 in the afternoon", 17, 0},
        {'e', "12 noon", 12, 0},
        {'e', "5 before dawn", 5, 0},
        {'s', "18:30", 18, 30},
        {'s', "saa 18:30", 18, 30},
        {'s', "13:00", 13, 0},
        {'s', "0:30", 0, 30},
        {'s', "saa 7pm", 19, 0},
        {'s', "6am", 6, 0},
    };
    CHECK(rows, "strip f3 150g ");
}

/* How long is not when, and 18.30 may be degrees: told or asked, never an hour of the night. */
static void how_long_and_how_warm(void **state) {
    (void)state;
    static const struct hour_row rows[] = {
        {'e', "2hrs", NEVER, 0},    {'e', "2 hrs", NEVER, 0},     {'e', "2 hours", NEVER, 0},
        {'e', "30 min", NEVER, 0},  {'e', "2h", ASKED, 0},        {'e', "12h", ASKED, 0},
        {'e', "06h", 6, 0},         {'e', "6h pm", 18, 0},        {'e', "6h30", 6, 30},
        {'e', "18:30 hrs", 18, 30}, {'e', "18:30 hours", 18, 30}, {'e', "1830 hours", 18, 30},
        {'e', "18.30h", 18, 30},    {'e', "2.30hrs", NEVER, 0},   {'e', "130 hrs", NEVER, 0},
    };
    CHECK(rows, "wait f3 ");
    static const struct hour_row dotted[] = {
        {'e', "18.30", ASKED, 0},     {'e', "6,30", ASKED, 0},  {'e', "at 18.30", 18, 30},
        {'e', "18:30 22.50", 18, 30}, {'e', "1830 22", 18, 30}, {'e', "22 1830", 18, 30},
    };
    CHECK(dotted, "inject f3 1.2kg ");
}

static void no_hour_at_all(void **state) {
    (void)state;
    static const struct hour_row rows[] = {
        {'e', "24:00", NEVER, 0}, {'e', "25:00", NEVER, 0}, {'e', "6:75", NEVER, 0},
        {'e', "13am", NEVER, 0},  {'e', "0pm", NEVER, 0},   {'s', "saa 25", NEVER, 0},
    };
    CHECK(rows, "strip f3 150g ");
}

/* Number words are not read yet: told, never taken for something else. */
static void hours_in_words_are_told(void **state) {
    (void)state;
    static const char *const texts[] = {"kamua f3 150g saa tatu", "kamua f3 150g saa tatu asubuhi",
                                        "kamua f3 150g saa kumi na mbili jioni",
                                        "strip f3 150g at six"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct read_text got = read_text('s', texts[i]);
        if (got.result.reading != TEXT_DOUBT || request_has(&got.result.request, SLOT_TIME))
            fail_msg("\"%s\": got %s \"%s\"", texts[i], reading_names[got.result.reading],
                     got.line);
    }
}

/* Each hour of the day, written as the program itself writes it in Kiswahili, is read back. */
static void what_goes_out_is_read_back(void **state) {
    (void)state;
    int languages[] = {grammar.en, grammar.sw};
    for (int k = 0; k < 2; k++)
        for (int minutes = 0; minutes < 24 * 60; minutes += 5)
            for (int form = WORDS_HOUR_FULL; form <= WORDS_HOUR_SHORT; form++) {
                struct buf out = buf_make(100);
                words_put_hour(grammar.words, languages[k], minutes / 60, minutes % 60,
                               (enum words_hour_form)form, &out);
                struct read_text got = read_slice(k ? 's' : 'e', buf_slice(&out));
                const struct request *r = &got.result.request;
                if (got.result.reading != TEXT_BARE || r->has != SLOT_BIT(SLOT_TIME) ||
                    r->hour * 60 + r->minute != minutes)
                    fail_msg("\"%s\": got %s \"%s\" %s, wanted %02d:%02d", buf_str(&out),
                             reading_names[got.result.reading], got.line,
                             doubt_names[got.result.doubt], minutes / 60, minutes % 60);
                buf_free(&out);
            }
}

/* Whatever is read, an hour with a part of the day lies in it or is asked: never an hour that
 * nobody would call by that part. The widest bounds that the sources allow. */
static void never_outside_the_part_named(void **state) {
    (void)state;
    static const struct {
        enum text_day_part part;
        int from, to; /* past midnight when the first is the greater */
    } parts[] = {
        {DAY_PART_DAWN, 2, 7},      {DAY_PART_MORNING, 4, 11}, {DAY_PART_NOON, 10, 17},
        {DAY_PART_EVENING, 15, 23}, {DAY_PART_NIGHT, 18, 5},   {DAY_PART_AM, 0, 11},
        {DAY_PART_PM, 12, 23},
    };
    for (size_t p = 0; p < sizeof parts / sizeof *parts; p++)
        for (int hour = 1; hour <= 12; hour++)
            for (int six = 0; six < 2; six++) {
                struct text_clock clock = {
                    .hour = hour, .alone = true, .part = parts[p].part, .from_six = six != 0};
                int got = -1;
                if (text_clock_read(&clock, &got) != CLOCK_READ)
                    continue;
                bool inside = parts[p].from <= parts[p].to
                                  ? got >= parts[p].from && got <= parts[p].to
                                  : got >= parts[p].from || got <= parts[p].to;
                int by_six = six && parts[p].part >= DAY_PART_DAWN ? 6 : 0;
                if (!inside || (got - hour - by_six + 24) % 12 != 0)
                    fail_msg("part %d, hour %d, from six %d: got %d", (int)parts[p].part, hour, six,
                             got);
            }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kiswahili_hours_count_from_six),
        cmocka_unit_test(kiswahili_hours_as_newspapers_write_them),
        cmocka_unit_test(what_could_be_two_hours_is_asked),
        cmocka_unit_test(the_common_clock),
        cmocka_unit_test(how_long_and_how_warm),
        cmocka_unit_test(no_hour_at_all),
        cmocka_unit_test(hours_in_words_are_told),
        cmocka_unit_test(what_goes_out_is_read_back),
        cmocka_unit_test(never_outside_the_part_named),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
