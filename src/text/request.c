/* request: names of kinds and slots, and a request as one line of text and back, for questions that
 * wait in the store. In: a request, or a line that request_write made. Out: the line, or the
 * request. ERR_SYNTAX: not such a line (a key or kind of another build, a key twice); ERR_RANGE: a
 * number outside what a text can say. Both mean that the stored row is not ours to read. Limits:
 * numbers up to NUMBER_MAX before the point. A language is written as its index: a question lives
 * 30 minutes and belongs to the catalogues that were loaded. */
#include "text/request.h"

#include <string.h>

/* The most that nine digits before the point can say, in the smallest unit of each slot. */
#define NUMBER_MAX ((int64_t)1000000000)
#define MILLI_MAX  (NUMBER_MAX * 1000)
#define WEIGHT_MAX (NUMBER_MAX * 1000000)

enum { LANGUAGES_MOST = 1000, CONFIRMS_MOST = 1 << 30 };

static const char *const kind_names[REQUEST_KIND_COUNT] = {
    [REQUEST_NONE] = "",         [REQUEST_INJECT] = "inject", [REQUEST_PLAN] = "plan",
    [REQUEST_TEMP] = "temp",     [REQUEST_WAIT] = "wait",     [REQUEST_NO_EGGS] = "no-eggs",
    [REQUEST_OK] = "ok",         [REQUEST_STRIP] = "strip",   [REQUEST_WHITE] = "white",
    [REQUEST_FRAMES] = "frames", [REQUEST_UNDO] = "undo",     [REQUEST_WHY] = "why",
    [REQUEST_TODAY] = "today",   [REQUEST_HELP] = "help",     [REQUEST_LANGUAGE] = "language",
    [REQUEST_STOP] = "stop",     [REQUEST_START] = "start",   [REQUEST_YES] = "yes",
    [REQUEST_NO] = "no",
};

static const char *const slot_names[SLOT_COUNT_ALL] = {
    [SLOT_TAG] = "tag",         [SLOT_WEIGHT] = "weight",
    [SLOT_TIME] = "time",       [SLOT_DAY] = "day",
    [SLOT_WATER] = "water",     [SLOT_COUNT] = "count",
    [SLOT_OF] = "of",           [SLOT_SAME] = "same",
    [SLOT_TOPIC] = "topic",     [SLOT_LANGUAGE] = "language",
    [SLOT_CONFIRM] = "confirm",
};

/* In the line the unit stands in the key, so that a change of unit cannot go unseen. */
static const char *const line_keys[SLOT_COUNT_ALL] = {
    [SLOT_TAG] = "tag",
    [SLOT_WEIGHT] = "weight_mg",
    [SLOT_TIME] = "time",
    [SLOT_DAY] = "day",
    [SLOT_WATER] = "water_mdegc",
    [SLOT_COUNT] = "count_milli",
    [SLOT_OF] = "of",
    [SLOT_SAME] = "same",
    [SLOT_TOPIC] = "topic",
    [SLOT_LANGUAGE] = "language",
    [SLOT_CONFIRM] = "confirm",
};

bool request_has(const struct request *r, enum request_slot slot) {
    return (r->has & (1u << slot)) != 0;
}

const char *request_kind_name(enum request_kind kind) {
    return (unsigned)kind < REQUEST_KIND_COUNT ? kind_names[kind] : "";
}

enum request_kind request_kind_of(const char *name) {
    for (int k = REQUEST_NONE + 1; k < REQUEST_KIND_COUNT; k++) {
        if (name != NULL && strcmp(name, kind_names[k]) == 0) {
            return (enum request_kind)k;
        }
    }
    return REQUEST_NONE;
}

const char *request_slot_name(enum request_slot slot) {
    return (unsigned)slot < SLOT_COUNT_ALL ? slot_names[slot] : "";
}

int request_slot_of(const char *name) {
    for (int s = 0; s < SLOT_COUNT_ALL; s++) {
        if (name != NULL && strcmp(name, slot_names[s]) == 0) {
            return s;
        }
    }
    return -1;
}

/* -- writing ----------------------------------------------------------------------------------- */

static void write_clock(const struct request *r, struct buf *out) {
    if (r->now) {
        buf_puts(out, "now");
    } else {
        buf_putf(out, "%02d:%02d", r->hour, r->minute);
    }
}

static void write_slot(const struct request *r, enum request_slot slot, struct buf *out) {
    buf_putc(out, ' ');
    buf_puts(out, line_keys[slot]);
    buf_putc(out, '=');
    switch (slot) {
    case SLOT_TAG:
        buf_putc(out, r->tag.letter);
        buf_put_int(out, r->tag.number);
        break;
    case SLOT_WEIGHT:
        buf_put_int(out, r->weight_mg);
        break;
    case SLOT_TIME:
        write_clock(r, out);
        break;
    case SLOT_DAY:
        buf_put_int(out, r->day);
        break;
    case SLOT_WATER:
        buf_put_int(out, r->water_mdegc);
        break;
    case SLOT_COUNT: /* `count` follows from it */
        buf_put_int(out, r->count_milli);
        break;
    case SLOT_OF:
        buf_put_int(out, r->of);
        break;
    case SLOT_SAME:
        buf_puts(out, "yes");
        break;
    case SLOT_TOPIC:
        buf_puts(out, request_kind_name(r->topic));
        break;
    case SLOT_LANGUAGE:
        buf_put_int(out, r->language);
        break;
    case SLOT_CONFIRM:
        buf_put_int(out, r->confirms);
        break;
    case SLOT_COUNT_ALL:
        break;
    }
}

void request_write(const struct request *r, struct buf *out) {
    buf_puts(out, r->kind == REQUEST_NONE ? "-" : request_kind_name(r->kind));
    for (int s = 0; s < SLOT_COUNT_ALL; s++) {
        if (request_has(r, (enum request_slot)s)) {
            write_slot(r, (enum request_slot)s, out);
        }
    }
}

/* -- reading ----------------------------------------------------------------------------------- */

/* `s` as a name among `count` names; -1 if it is none. Unlike request_kind_of, for a slice. */
static int name_index(struct slice s, const char *const *names, int count) {
    for (int i = 0; i < count; i++) {
        if (slice_eq(s, slice_of(names[i]))) {
            return i;
        }
    }
    return -1;
}

static enum err read_number(struct slice s, int64_t least, int64_t most, int64_t *out) {
    int64_t v = 0;
    enum err e = slice_int(s, &v);
    if (e != ERR_OK) {
        return e;
    }
    if (v < least || v > most) {
        return ERR_RANGE;
    }
    *out = v;
    return ERR_OK;
}

static enum err read_int(struct slice s, int least, int most, int *out) {
    int64_t v = 0;
    enum err e = read_number(s, least, most, &v);
    if (e == ERR_OK) {
        *out = (int)v;
    }
    return e;
}

static enum err read_tag(struct slice s, struct tag *out) {
    if (s.n < 2 || !slice_has(SLICE("fmbp"), s.p[0])) {
        return ERR_SYNTAX;
    }
    enum err e = read_int(slice_from(s, 1), 1, TAG_NUMBER_MAX, &out->number);
    if (e == ERR_OK) {
        out->letter = s.p[0];
    }
    return e;
}

static enum err read_clock(struct slice s, struct request *out) {
    struct slice hour, minute;
    if (slice_eq(s, SLICE("now"))) {
        out->now = true;
        return ERR_OK;
    }
    if (!slice_cut(s, ':', &hour, &minute)) {
        return ERR_SYNTAX;
    }
    enum err e = read_int(hour, 0, 23, &out->hour);
    return e != ERR_OK ? e : read_int(minute, 0, 59, &out->minute);
}

static enum err read_count(struct slice s, struct request *out) {
    enum err e = read_number(s, -MILLI_MAX, MILLI_MAX, &out->count_milli);
    if (e == ERR_OK) {
        bool whole = out->count_milli >= 0 && out->count_milli % 1000 == 0;
        out->count = whole ? out->count_milli / 1000 : -1;
    }
    return e;
}

static enum err read_slot(enum request_slot slot, struct slice s, struct request *out) {
    int kind = -1;
    switch (slot) {
    case SLOT_TAG:
        return read_tag(s, &out->tag);
    case SLOT_WEIGHT:
        return read_number(s, 0, WEIGHT_MAX, &out->weight_mg);
    case SLOT_TIME:
        return read_clock(s, out);
    case SLOT_DAY:
        return read_int(s, -1, 1, &out->day);
    case SLOT_WATER:
        return read_number(s, -MILLI_MAX, MILLI_MAX, &out->water_mdegc);
    case SLOT_COUNT:
        return read_count(s, out);
    case SLOT_OF:
        return read_number(s, 0, NUMBER_MAX, &out->of);
    case SLOT_SAME:
        return slice_eq(s, SLICE("yes")) ? ERR_OK : ERR_SYNTAX;
    case SLOT_TOPIC:
        kind = name_index(s, kind_names, REQUEST_KIND_COUNT);
        if (kind <= REQUEST_NONE) {
            return ERR_SYNTAX;
        }
        out->topic = (enum request_kind)kind;
        return ERR_OK;
    case SLOT_LANGUAGE:
        return read_int(s, 0, LANGUAGES_MOST, &out->language);
    case SLOT_CONFIRM:
        return read_int(s, 0, CONFIRMS_MOST, &out->confirms);
    case SLOT_COUNT_ALL:
        break;
    }
    return ERR_BUG;
}

enum err request_read(struct slice line, struct request *out) {
    struct request r = {0};
    struct slice word, rest, key, value;
    bool more = slice_cut(line, ' ', &word, &rest);
    int kind = slice_eq(word, SLICE("-")) ? REQUEST_NONE
                                          : name_index(word, kind_names, REQUEST_KIND_COUNT);
    if (kind < 0 || word.n == 0) {
        return ERR_SYNTAX;
    }
    r.kind = (enum request_kind)kind;
    while (more) {
        more = slice_cut(rest, ' ', &word, &rest);
        if (!slice_cut(word, '=', &key, &value)) {
            return ERR_SYNTAX;
        }
        int slot = name_index(key, line_keys, SLOT_COUNT_ALL);
        if (slot < 0 || request_has(&r, (enum request_slot)slot)) {
            return ERR_SYNTAX;
        }
        enum err e = read_slot((enum request_slot)slot, value, &r);
        if (e != ERR_OK) {
            return e;
        }
        r.has |= 1u << slot;
    }
    *out = r;
    return ERR_OK;
}
