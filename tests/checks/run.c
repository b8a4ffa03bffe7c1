/* run: holds the trade against tables of cases. In: .chk files. Out: a line for every failure and
 * every mistake in a file on standard error, "FILE:LINE: ...", and a count for each file on
 * standard output. Exit 0: all cases hold; 1: some do not; 2: a file is not in its form.
 *
 * A file is blocks of fields, a blank line between two blocks, '#' begins a comment line:
 *
 *   case: 24 degrees held from dusk
 *   source: where the wanted value comes from                           (required)
 *   given: what=first_look at=18:30 water=24@18:30                      (required)
 *   want: time=06:30+1                                                  (required)
 *   tolerance: 0       in the unit of what is wanted, minutes for a time; required when the wanted
 *                      value is written with a decimal point
 *
 * `what` names a calculation (work.c, work_run.c, work_pond.c), which says what else is to be
 * given, no more and no less.
 * Readings are DEGC@HH:MM+D joined by commas, in order; +D is days on, left out for 0, -D before.
 * `oxygen` is readings of mg/l in the same form, two of them. A series is DAY:GRAMS joined by
 * commas, in order, a mix KG:PERCENT. A soil is clay, sandy_loam or sand; `name` is that of a value
 * in the book, spaces written '_'. Wanted is one of: value=N; least=N and most=N, either alone or
 * both; time=HH:MM+D (the instant's minute, seconds dropped); shown=HH:MM+D (as people are shown
 * it); answer=yes or no; status=cold, warm or no_water. Nothing else may stand in a file: an
 * unknown word is a mistake. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"

enum { S_PER_DAY = 86400, S_PER_MIN = 60, EXIT_FAILED = 1, EXIT_FORM = 2 };

enum field { FIELD_CASE, FIELD_SOURCE, FIELD_GIVEN, FIELD_WANT, FIELD_TOLERANCE, FIELD_COUNT };

static const char *const field_names[] = {"case", "source", "given", "want", "tolerance"};

enum want {
    WANT_VALUE,
    WANT_LEAST,
    WANT_MOST,
    WANT_TIME,
    WANT_SHOWN,
    WANT_ANSWER,
    WANT_STATUS,
    WANT_COUNT
};

static const char *const want_names[] = {"value", "least",  "most",  "time",
                                         "shown", "answer", "status"};

struct check {
    int line[FIELD_COUNT]; /* 0: the field has not come */
    char *name;
    const struct calculation *what;
    struct given_values given;
    unsigned wants; /* 1u << enum want */
    double number[WANT_COUNT];
    bool has_point; /* a wanted number is written with a decimal point */
    int64_t at_s;
    bool answer;
    enum progress_status status;
    double tolerance;
};

struct run {
    const char *file;
    int line;
    int cases, failed, mistakes;
};

/* A mistake in the file; false, so that a reader can return it. */
__attribute__((format(printf, 2, 3))) static bool mistake(struct run *r, const char *format, ...) {
    va_list args;
    fprintf(stderr, "%s:%d: ", r->file, r->line);
    va_start(args, format);
    vfprintf(stderr, format, args);
    va_end(args);
    fputc('\n', stderr);
    r->mistakes++;
    return false;
}

/* -- reading values ---------------------------------------------------------------------------- */

static bool read_number(struct run *r, const char *text, double *out) {
    char *end;
    if (!strchr("+-.0123456789", text[0]) || !text[0])
        return mistake(r, "not a number: '%s'", text);
    *out = strtod(text, &end);
    if (*end || !isfinite(*out))
        return mistake(r, "not a number: '%s'", text);
    return true;
}

static bool read_time(struct run *r, const char *text, int64_t *out_s) {
    int hour, minute, day = 0, n = 0;
    if (sscanf(text, "%2d:%2d%n", &hour, &minute, &n) != 2 || hour < 0 || hour > 23 || minute < 0 ||
        minute > 59)
        return mistake(r, "not a time HH:MM+D: '%s'", text);
    int more = 0;
    if (text[n] && ((text[n] != '+' && text[n] != '-') ||
                    sscanf(text + n, "%5d%n", &day, &more) != 1 || text[n + more]))
        return mistake(r, "not a time HH:MM+D: '%s'", text);
    *out_s = (int64_t)day * S_PER_DAY + hour * 3600 + minute * S_PER_MIN;
    return true;
}

static bool read_readings(struct run *r, char *text, struct water_reading *readings, int *count) {
    char *rest = NULL;
    for (char *part = strtok_r(text, ",", &rest); part; part = strtok_r(NULL, ",", &rest)) {
        char *at = strchr(part, '@');
        double value;
        struct water_reading reading;
        if (!at)
            return mistake(r, "a reading is VALUE@HH:MM, not '%s'", part);
        *at = 0;
        if (!read_number(r, part, &value) || !read_time(r, at + 1, &reading.at_s))
            return false;
        reading.mdegc = (int64_t)lround(value * 1000);
        if (*count == READINGS_MAX)
            return mistake(r, "more than %d readings", READINGS_MAX);
        if (*count && readings[*count - 1].at_s >= reading.at_s)
            return mistake(r, "readings are not in order at '%s'", at + 1);
        readings[(*count)++] = reading;
    }
    return true;
}

static bool read_oxygen(struct run *r, char *text, struct given_values *g) {
    if (!read_readings(r, text, g->oxygen, &g->oxygen_count))
        return false;
    return g->oxygen_count == 2 ? true : mistake(r, "two readings of oxygen are wanted");
}

/* A:B joined by commas. */
static bool read_couples(struct run *r, char *text, double *a, double *b, int *count) {
    char *rest = NULL;
    for (char *part = strtok_r(text, ",", &rest); part; part = strtok_r(NULL, ",", &rest)) {
        char *colon = strchr(part, ':');
        if (!colon)
            return mistake(r, "a point is A:B, not '%s'", part);
        *colon = 0;
        if (*count == SERIES_MAX)
            return mistake(r, "more than %d points", SERIES_MAX);
        if (!read_number(r, part, &a[*count]) || !read_number(r, colon + 1, &b[*count]))
            return false;
        (*count)++;
    }
    return true;
}

static bool read_series(struct run *r, char *text, struct given_values *g) {
    if (!read_couples(r, text, g->series_day, g->series_g, &g->series_count))
        return false;
    for (int i = 1; i < g->series_count; i++)
        if (g->series_day[i] <= g->series_day[i - 1])
            return mistake(r, "the series is not in order at day %g", g->series_day[i]);
    return true;
}

/* -- reading fields ---------------------------------------------------------------------------- */

static int index_of(const char *const *names, int count, const char *name) {
    for (int i = 0; i < count; i++)
        if (strcmp(names[i], name) == 0)
            return i;
    return -1;
}

static bool read_given(struct run *r, struct check *c, const char *key, char *value) {
    if (strcmp(key, "what") == 0) {
        if (c->what)
            return mistake(r, "'what' twice");
        c->what = check_calculation(value);
        return c->what ? true : mistake(r, "unknown calculation '%s'", value);
    }
    int given = index_of(check_given_names, GIVEN_COUNT, key);
    if (given < 0)
        return mistake(r, "unknown key '%s' in given", key);
    if (c->given.has & NEED(given))
        return mistake(r, "'%s' twice", key);
    c->given.has |= NEED(given);
    struct given_values *g = &c->given;
    switch (given) {
    case GIVEN_SERIES:
        return read_series(r, value, g);
    case GIVEN_MIX:
        return read_couples(r, value, g->mix_kg, g->mix_percent, &g->mix_count);
    case GIVEN_WATER:
        return read_readings(r, value, g->readings, &g->reading_count);
    case GIVEN_OXYGEN:
        return read_oxygen(r, value, g);
    case GIVEN_AT:
        return read_time(r, value, &g->at_s);
    case GIVEN_NAME:
        return check_book_id(value, &g->book) ? true : mistake(r, "no '%s' in the book", value);
    case GIVEN_SOIL:
        return check_soil(value, &g->soil) ? true : mistake(r, "no soil '%s'", value);
    default:
        return read_number(r, value, &g->number[given]);
    }
}

static bool read_status(struct run *r, struct check *c, const char *value) {
    for (int s = PROGRESS_NO_WATER; s <= PROGRESS_WARM; s++)
        if (strcmp(check_status_name((enum progress_status)s), value) == 0) {
            c->status = (enum progress_status)s;
            return true;
        }
    return mistake(r, "status is cold, warm or no_water, not '%s'", value);
}

static bool read_want(struct run *r, struct check *c, const char *key, char *value) {
    int want = index_of(want_names, WANT_COUNT, key);
    if (want < 0)
        return mistake(r, "unknown key '%s' in want", key);
    if (c->wants & 1u << want)
        return mistake(r, "'%s' twice", key);
    c->wants |= 1u << want;
    if (want == WANT_TIME || want == WANT_SHOWN)
        return read_time(r, value, &c->at_s);
    if (want == WANT_STATUS)
        return read_status(r, c, value);
    if (want == WANT_ANSWER) {
        c->answer = strcmp(value, "yes") == 0;
        return c->answer || strcmp(value, "no") == 0
                   ? true
                   : mistake(r, "answer is yes or no, not '%s'", value);
    }
    c->has_point |= want == WANT_VALUE && strchr(value, '.') != NULL;
    return read_number(r, value, &c->number[want]);
}

static bool read_pairs(struct run *r, struct check *c, char *text,
                       bool (*read)(struct run *, struct check *, const char *, char *)) {
    char *rest = NULL;
    for (char *pair = strtok_r(text, " \t", &rest); pair; pair = strtok_r(NULL, " \t", &rest)) {
        char *equals = strchr(pair, '=');
        if (!equals || equals == pair || !equals[1])
            return mistake(r, "not KEY=VALUE: '%s'", pair);
        *equals = 0;
        if (!read(r, c, pair, equals + 1))
            return false;
    }
    return true;
}

static bool read_field(struct run *r, struct check *c, char *line) {
    char *colon = strchr(line, ':');
    if (!colon)
        return mistake(r, "not a field, there is no ':' in '%s'", line);
    *colon = 0;
    char *value = colon + 1 + strspn(colon + 1, " \t");
    int field = index_of(field_names, FIELD_COUNT, line);
    if (field < 0)
        return mistake(r, "unknown field '%s'", line);
    if (c->line[field])
        return mistake(r, "'%s' twice in one case", line);
    c->line[field] = r->line;
    if (!*value)
        return mistake(r, "'%s' is empty", line);
    switch (field) {
    case FIELD_CASE:
        c->name = strdup(value);
        return c->name ? true : mistake(r, "out of memory");
    case FIELD_GIVEN:
        return read_pairs(r, c, value, read_given);
    case FIELD_WANT:
        return read_pairs(r, c, value, read_want);
    case FIELD_TOLERANCE:
        if (!read_number(r, value, &c->tolerance))
            return false;
        return c->tolerance >= 0 ? true : mistake(r, "a tolerance is not negative");
    default:
        return true;
    }
}

/* -- judging a case ---------------------------------------------------------------------------- */

static const unsigned bounds = 1u << WANT_LEAST | 1u << WANT_MOST;

static bool want_fits(const struct check *c) {
    if (c->wants == 1u << WANT_STATUS)
        return c->what->kind != OUTCOME_ANSWER;
    switch (c->what->kind) {
    case OUTCOME_NUMBER:
        return c->wants == 1u << WANT_VALUE || (c->wants && !(c->wants & ~bounds));
    case OUTCOME_INSTANT:
        return c->wants == 1u << WANT_TIME || c->wants == 1u << WANT_SHOWN;
    default:
        return c->wants == 1u << WANT_ANSWER;
    }
}

static bool complete(struct run *r, const struct check *c) {
    for (int f = FIELD_CASE; f <= FIELD_WANT; f++)
        if (!c->line[f])
            return mistake(r, "a case without '%s:'", field_names[f]);
    if (!c->what)
        return mistake(r, "no what= in given");
    for (int g = 0; g < GIVEN_COUNT; g++) {
        uint64_t bit = NEED(g);
        if ((c->what->needs ^ c->given.has) & bit)
            return mistake(r, "'%s' %s '%s'", c->what->name,
                           c->what->needs & bit ? "needs" : "does not take", check_given_names[g]);
    }
    if (!want_fits(c))
        return mistake(r, "this is not what '%s' can be wanted to give", c->what->name);
    bool has_tolerance = c->line[FIELD_TOLERANCE] != 0;
    if (c->has_point && !has_tolerance)
        return mistake(r, "a wanted number that is not whole needs a 'tolerance:'");
    if (has_tolerance && !(c->wants & (1u << WANT_VALUE | 1u << WANT_TIME)))
        return mistake(r, "a tolerance goes with value= or time= only");
    return true;
}

static const char *time_text(int64_t at_s, char out[64]) {
    int64_t day = at_s / S_PER_DAY - (at_s % S_PER_DAY < 0);
    int64_t rest = at_s - day * S_PER_DAY;
    snprintf(out, 64, "%02d:%02d:%02d%+d", (int)(rest / 3600), (int)(rest / 60 % 60),
             (int)(rest % 60), (int)day);
    return out;
}

static int64_t minute_of(int64_t at_s) {
    return at_s / S_PER_MIN - (at_s % S_PER_MIN < 0);
}

/* False: it does not hold; the two texts say why. */
static bool hold(const struct check *c, const struct outcome *o, char got[128], char wanted[128]) {
    char time[64];
    /* Bounds are often a product's own last digit, so they get the room of one rounding. */
    const double hair = 1e-9;
    if (c->wants & 1u << WANT_STATUS || o->status != PROGRESS_OK) {
        snprintf(got, 128, "%s", check_status_name(o->status));
        snprintf(wanted, 128, "%s", check_status_name(c->status));
        return o->status == c->status;
    }
    if (c->what->kind == OUTCOME_ANSWER) {
        snprintf(got, 128, "%s", o->answer ? "yes" : "no");
        snprintf(wanted, 128, "%s", c->answer ? "yes" : "no");
        return o->answer == c->answer;
    }
    if (c->what->kind == OUTCOME_INSTANT) {
        bool shown = c->wants & 1u << WANT_SHOWN;
        int64_t at_s = shown ? progress_show(o->at_s) : o->at_s;
        snprintf(got, 128, "%s", time_text(at_s, time));
        snprintf(wanted, 128, "%s within %g min", time_text(c->at_s, time), c->tolerance);
        return fabs((double)(minute_of(at_s) - minute_of(c->at_s))) <= c->tolerance;
    }
    snprintf(got, 128, "%.10g", o->number);
    if (c->wants & 1u << WANT_VALUE) {
        snprintf(wanted, 128, "%.10g within %g", c->number[WANT_VALUE], c->tolerance);
        return fabs(o->number - c->number[WANT_VALUE]) <= c->tolerance;
    }
    bool low = c->wants & 1u << WANT_LEAST, high = c->wants & 1u << WANT_MOST;
    double least = low ? c->number[WANT_LEAST] : -INFINITY;
    double most = high ? c->number[WANT_MOST] : INFINITY;
    snprintf(wanted, 128, "%.10g to %.10g", least, most);
    return o->number >= least - hair && o->number <= most + hair;
}

static void judge(struct run *r, struct check *c) {
    char got[128], wanted[128];
    if (!complete(r, c))
        return;
    r->cases++;
    struct outcome o = c->what->work(&c->given);
    if (hold(c, &o, got, wanted))
        return;
    r->failed++;
    fprintf(stderr, "%s:%d: %s: got %s, wanted %s\n", r->file, c->line[FIELD_WANT], c->name, got,
            wanted);
}

/* -- a file ------------------------------------------------------------------------------------ */

/* The block that ends here. A block with a mistake in it was told already and is not judged. */
static void end_block(struct run *r, struct check *c, bool good) {
    int at = r->line;
    for (int f = 0; f < FIELD_COUNT; f++)
        if (c->line[f] && c->line[f] < r->line)
            r->line = c->line[f]; /* a mistake of the whole block is told at its first line */
    if (good && r->line < at)
        judge(r, c);
    r->line = at;
    free(c->name);
    *c = (struct check){0};
}

static int run_file(const char *file) {
    struct run r = {.file = file};
    FILE *in = fopen(file, "r");
    if (!in) {
        fprintf(stderr, "%s:0: cannot be opened\n", file);
        return EXIT_FORM;
    }
    struct check c = {0};
    bool good = true;
    char *line = NULL;
    size_t room = 0;
    while (getline(&line, &room, in) >= 0) {
        r.line++;
        line[strcspn(line, "\r\n")] = 0;
        if (line[0] == '#')
            continue;
        if (line[strspn(line, " \t")]) {
            good = read_field(&r, &c, line) && good;
            continue;
        }
        end_block(&r, &c, good);
        good = true;
    }
    r.line++;
    end_block(&r, &c, good);
    free(line);
    fclose(in);
    if (r.cases == 0 && r.mistakes == 0)
        mistake(&r, "no case in this file");
    printf("%s: %d cases, %d failed, %d mistakes\n", file, r.cases, r.failed, r.mistakes);
    return r.mistakes ? EXIT_FORM : r.failed ? EXIT_FAILED : 0;
}

int main(int argc, char **argv) {
    int worst = argc < 2 ? EXIT_FORM : 0;
    if (argc < 2)
        fprintf(stderr, "usage: %s FILE.chk ...\n", argv[0]);
    for (int i = 1; i < argc; i++) {
        int result = run_file(argv[i]);
        worst = result > worst ? result : worst;
    }
    return worst;
}
