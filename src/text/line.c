/* line: a request as one line of text and back, for questions that wait in the store; declared in
 * request.h. In: a request, or a line that request_write made. Out: the line, or the request.
 * ERR_SYNTAX: not such a line (a key or kind of another build, a key twice); ERR_RANGE: a number
 * outside what a text can say. Both mean that the stored row is not ours to read. Limits: numbers
 * up to NUMBER_MAX before the point. A language is written as its index: a question lives 30
 * minutes and belongs to the catalogues that were loaded. */
#include <string.h>

#include "text/money.h"
#include "text/months.h"

/* The most that nine digits before the point can say, in the smallest unit of each slot. */
#define NUMBER_MAX ((int64_t)1000000000)
#define MILLI_MAX  (NUMBER_MAX * 1000)
#define WEIGHT_MAX (NUMBER_MAX * 1000000)
#define SHARE_MAX  ((int64_t)1000000)
#define AREA_MAX   (NUMBER_MAX * 1000000000) /* a million hectares, in cm2 */

enum { LANGUAGES_MOST = 1000, CONFIRMS_MOST = 1 << 30 };

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
    [SLOT_ALSO] = "also",
    [SLOT_MALE] = "male",
    [SLOT_TANK] = "tank",
    [SLOT_POND] = "pond",
    [SLOT_SAMPLE] = "sample_mg",
    [SLOT_VOLUME] = "volume_ml",
    [SLOT_AREA] = "area_cm2",
    [SLOT_DEPTH] = "depth_mm",
    [SLOT_PER_KG] = "per_kg_ul",
    [SLOT_AGE] = "age_days",
    [SLOT_DATE] = "date",
    [SLOT_PH] = "ph_milli",
    [SLOT_PHONE] = "phone",
    [SLOT_NAME] = "name",
    [SLOT_CHOICE] = "choices",
    [SLOT_CONFIRM] = "confirm",
    [SLOT_FEED] = "feed",
    [SLOT_LENGTH] = "length_um",
    [SLOT_OXYGEN] = "oxygen_ug_l",
    [SLOT_AMMONIA] = "ammonia_ug_l",
    [SLOT_NITRITE] = "nitrite_ug_l",
    [SLOT_SECCHI] = "secchi_mm",
    [SLOT_LIST] = "list_milli",
    [SLOT_PARTS] = "parts",
    [SLOT_HEIGHT] = "height_m",
    [SLOT_MONEY] = "money_milli",
    [SLOT_MONTHS] = "months",
};

/* -- writing ----------------------------------------------------------------------------------- */

static void write_clock(const struct request *r, struct buf *out) {
    if (r->now) {
        buf_puts(out, "now");
    } else {
        buf_putf(out, "%02d:%02d", r->hour, r->minute);
    }
}

static void write_tag(struct tag tag, struct buf *out) {
    buf_putc(out, tag.letter);
    buf_put_int(out, tag.number);
}

static void write_also(const struct request *r, struct buf *out) {
    for (int i = 0; i < r->also_count; i++) {
        if (i > 0) {
            buf_putc(out, ',');
        }
        write_tag(r->also[i], out);
    }
}

static void write_choices(const struct request *r, struct buf *out) {
    bool first = true;
    for (int i = 0; i < CHOICE_COUNT; i++) {
        if ((r->choices & CHOICE_BIT(i)) == 0) {
            continue;
        }
        if (!first) {
            buf_putc(out, ',');
        }
        buf_puts(out, request_choice_name((enum choice)i));
        first = false;
    }
}

/* What would end a word of the line, or a part of one, as two hex digits behind a percent sign. */
#define NAME_SIGNS SLICE(" %=")
#define FEED_SIGNS SLICE(" %=,:")

static void write_name(const char *name, struct slice signs, struct buf *out) {
    for (const char *p = name; *p != '\0'; p++) {
        if (slice_has(signs, *p)) {
            buf_putf(out, "%%%02x", (unsigned)(unsigned char)*p);
        } else {
            buf_putc(out, *p);
        }
    }
}

static void write_list(const struct request *r, struct buf *out) {
    for (int i = 0; i < r->list_count; i++) {
        if (i > 0) {
            buf_putc(out, ',');
        }
        buf_put_int(out, r->list_milli[i]);
    }
}

/* feed:weight_mg:share_ppm, what was not said left empty. */
static void write_parts(const struct request *r, struct buf *out) {
    for (int i = 0; i < r->part_count; i++) {
        const struct request_part *part = &r->parts[i];
        if (i > 0) {
            buf_putc(out, ',');
        }
        write_name(part->feed, FEED_SIGNS, out);
        buf_putc(out, ':');
        if (part->weight_mg >= 0) {
            buf_put_int(out, part->weight_mg);
        }
        buf_putc(out, ':');
        if (part->share_ppm >= 0) {
            buf_put_int(out, part->share_ppm);
        }
    }
}

/* The slots of growing ponds and their feed. */
static void write_growing(const struct request *r, enum request_slot slot, struct buf *out) {
    switch (slot) {
    case SLOT_FEED:
        write_name(r->feed, FEED_SIGNS, out);
        break;
    case SLOT_LENGTH:
        buf_put_int(out, r->length_um);
        break;
    case SLOT_OXYGEN:
        buf_put_int(out, r->oxygen_ug_l);
        break;
    case SLOT_AMMONIA:
        buf_put_int(out, r->ammonia_ug_l);
        break;
    case SLOT_NITRITE:
        buf_put_int(out, r->nitrite_ug_l);
        break;
    case SLOT_SECCHI:
        buf_put_int(out, r->secchi_mm);
        break;
    case SLOT_LIST:
        write_list(r, out);
        break;
    case SLOT_PARTS:
        write_parts(r, out);
        break;
    case SLOT_HEIGHT:
        buf_put_int(out, r->height_m);
        break;
    case SLOT_MONEY:
        text_money_write(r, out);
        break;
    case SLOT_MONTHS:
        text_months_write(r, out);
        break;
    default:
        break;
    }
}

static void write_slot(const struct request *r, enum request_slot slot, struct buf *out) {
    buf_putc(out, ' ');
    buf_puts(out, line_keys[slot]);
    buf_putc(out, '=');
    switch (slot) {
    case SLOT_TAG:
        write_tag(r->tag, out);
        break;
    case SLOT_ALSO:
        write_also(r, out);
        break;
    case SLOT_MALE:
        write_tag(r->male, out);
        break;
    case SLOT_TANK:
        write_tag(r->tank, out);
        break;
    case SLOT_POND:
        write_tag(r->pond, out);
        break;
    case SLOT_SAMPLE:
        buf_put_int(out, r->sample_mg);
        break;
    case SLOT_VOLUME:
        buf_put_int(out, r->volume_ml);
        break;
    case SLOT_AREA:
        buf_put_int(out, r->area_cm2);
        break;
    case SLOT_DEPTH:
        buf_put_int(out, r->depth_mm);
        break;
    case SLOT_PER_KG:
        buf_put_int(out, r->per_kg_ul);
        break;
    case SLOT_AGE:
        buf_put_int(out, r->age_days);
        break;
    case SLOT_DATE:
        buf_putf(out, "%d-%d-%d", r->date_year, r->date_month, r->date_day);
        break;
    case SLOT_PH:
        buf_put_int(out, r->ph_milli);
        break;
    case SLOT_PHONE:
        buf_puts(out, r->phone);
        break;
    case SLOT_NAME:
        write_name(r->name, NAME_SIGNS, out);
        break;
    case SLOT_CHOICE:
        write_choices(r, out);
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
    default:
        write_growing(r, slot, out);
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

static int kind_of(struct slice s) {
    for (int k = REQUEST_NONE; k < REQUEST_KIND_COUNT; k++) {
        if (slice_eq(s, slice_of(request_kind_name((enum request_kind)k)))) {
            return k;
        }
    }
    return -1;
}

static int choice_of(struct slice s) {
    for (int i = 0; i < CHOICE_COUNT; i++) {
        if (slice_eq(s, slice_of(request_choice_name((enum choice)i)))) {
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

static enum err read_also(struct slice s, struct request *out) {
    bool more = true;
    while (more) {
        struct slice one;
        more = slice_cut(s, ',', &one, &s);
        if (out->also_count == ALSO_MAX) {
            return ERR_RANGE;
        }
        enum err e = read_tag(one, &out->also[out->also_count]);
        if (e != ERR_OK) {
            return e;
        }
        out->also_count++;
    }
    return ERR_OK;
}

static enum err read_date(struct slice s, struct request *out) {
    struct slice year, month, day;
    if (!slice_cut(s, '-', &year, &s) || !slice_cut(s, '-', &month, &day)) {
        return ERR_SYNTAX;
    }
    enum err e = read_int(year, 0, 9999, &out->date_year);
    if (e == ERR_OK) {
        e = read_int(month, 1, 12, &out->date_month);
    }
    return e != ERR_OK ? e : read_int(day, 1, 31, &out->date_day);
}

static enum err read_phone(struct slice s, struct request *out) {
    if (s.n == 0 || s.n >= sizeof out->phone) {
        return ERR_RANGE;
    }
    for (size_t i = 0; i < s.n; i++) {
        if (!(s.p[i] >= '0' && s.p[i] <= '9') && !(s.p[i] == '+' && i == 0)) {
            return ERR_SYNTAX;
        }
        out->phone[i] = s.p[i];
    }
    return ERR_OK;
}

static int hex_of(char c) {
    return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

static enum err read_name(struct slice s, struct slice signs, size_t most, char *out) {
    size_t used = 0;
    for (size_t i = 0; i < s.n; i++) {
        char c = s.p[i];
        if (c == '=') {
            return ERR_SYNTAX;
        }
        if (c == '%') {
            int high = i + 2 < s.n ? hex_of(s.p[i + 1]) : -1;
            int low = i + 2 < s.n ? hex_of(s.p[i + 2]) : -1;
            if (high < 0 || low < 0) {
                return ERR_SYNTAX;
            }
            c = (char)(high * 16 + low);
            if (!slice_has(signs, c)) {
                return ERR_SYNTAX;
            }
            i += 2;
        } else if (slice_has(signs, c)) {
            return ERR_SYNTAX;
        }
        if (used == most) {
            return ERR_RANGE;
        }
        out[used++] = c;
    }
    return used > 0 ? ERR_OK : ERR_SYNTAX;
}

static enum err read_list(struct slice s, struct request *out) {
    bool more = true;
    while (more) {
        struct slice one;
        more = slice_cut(s, ',', &one, &s);
        if (out->list_count == LIST_MAX) {
            return ERR_RANGE;
        }
        enum err e = read_number(one, 0, WEIGHT_MAX, &out->list_milli[out->list_count]);
        if (e != ERR_OK) {
            return e;
        }
        out->list_count++;
    }
    return ERR_OK;
}

static enum err read_part(struct slice s, struct request_part *out) {
    struct slice feed, weight, share;
    struct request_part part = {.weight_mg = -1, .share_ppm = -1};
    if (!slice_cut(s, ':', &feed, &s) || !slice_cut(s, ':', &weight, &share)) {
        return ERR_SYNTAX;
    }
    enum err e = feed.n + weight.n + share.n > 0 ? ERR_OK : ERR_SYNTAX;
    if (e == ERR_OK && feed.n > 0) {
        e = read_name(feed, FEED_SIGNS, REQUEST_FEED_MAX, part.feed);
    }
    if (e == ERR_OK && weight.n > 0) {
        e = read_number(weight, 0, WEIGHT_MAX, &part.weight_mg);
    }
    if (e == ERR_OK && share.n > 0) {
        e = read_number(share, 0, SHARE_MAX, &part.share_ppm);
    }
    *out = part;
    return e;
}

static enum err read_parts(struct slice s, struct request *out) {
    bool more = true;
    while (more) {
        struct slice one;
        more = slice_cut(s, ',', &one, &s);
        if (out->part_count == PARTS_MAX) {
            return ERR_RANGE;
        }
        enum err e = read_part(one, &out->parts[out->part_count]);
        if (e != ERR_OK) {
            return e;
        }
        out->part_count++;
    }
    return ERR_OK;
}

static enum err read_choices(struct slice s, struct request *out) {
    bool more = true;
    int last = -1;
    while (more) {
        struct slice one;
        more = slice_cut(s, ',', &one, &s);
        int choice = choice_of(one);
        if (choice <= last) { /* in order, none twice */
            return ERR_SYNTAX;
        }
        last = choice;
        out->choices |= CHOICE_BIT(choice);
    }
    return ERR_OK;
}

static enum err read_count(struct slice s, struct request *out) {
    enum err e = read_number(s, -MILLI_MAX, MILLI_MAX, &out->count_milli);
    if (e == ERR_OK) {
        bool whole = out->count_milli >= 0 && out->count_milli % 1000 == 0;
        out->count = whole ? out->count_milli / 1000 : -1;
    }
    return e;
}

static enum err read_growing(enum request_slot slot, struct slice s, struct request *out) {
    switch (slot) {
    case SLOT_FEED:
        return read_name(s, FEED_SIGNS, REQUEST_FEED_MAX, out->feed);
    case SLOT_LENGTH:
        return read_number(s, 0, WEIGHT_MAX, &out->length_um);
    case SLOT_OXYGEN:
        return read_number(s, 0, WEIGHT_MAX, &out->oxygen_ug_l);
    case SLOT_AMMONIA:
        return read_number(s, 0, WEIGHT_MAX, &out->ammonia_ug_l);
    case SLOT_NITRITE:
        return read_number(s, 0, WEIGHT_MAX, &out->nitrite_ug_l);
    case SLOT_SECCHI:
        return read_number(s, 0, WEIGHT_MAX, &out->secchi_mm);
    case SLOT_LIST:
        return read_list(s, out);
    case SLOT_PARTS:
        return read_parts(s, out);
    case SLOT_HEIGHT:
        return read_number(s, 0, NUMBER_MAX, &out->height_m);
    case SLOT_MONEY:
        return text_money_parse(s, out);
    case SLOT_MONTHS:
        return text_months_parse(s, out);
    default:
        return ERR_BUG;
    }
}

static enum err read_slot(enum request_slot slot, struct slice s, struct request *out) {
    int kind = -1;
    switch (slot) {
    case SLOT_TAG:
        return read_tag(s, &out->tag);
    case SLOT_ALSO:
        return read_also(s, out);
    case SLOT_MALE:
        return read_tag(s, &out->male);
    case SLOT_TANK:
        return read_tag(s, &out->tank);
    case SLOT_POND:
        return read_tag(s, &out->pond);
    case SLOT_SAMPLE:
        return read_number(s, 0, WEIGHT_MAX, &out->sample_mg);
    case SLOT_VOLUME:
        return read_number(s, 0, WEIGHT_MAX, &out->volume_ml);
    case SLOT_AREA:
        return read_number(s, 0, AREA_MAX, &out->area_cm2);
    case SLOT_DEPTH:
        return read_number(s, 0, WEIGHT_MAX, &out->depth_mm);
    case SLOT_PER_KG:
        return read_number(s, 0, WEIGHT_MAX, &out->per_kg_ul);
    case SLOT_AGE:
        return read_int(s, 0, 1000000000, &out->age_days);
    case SLOT_DATE:
        return read_date(s, out);
    case SLOT_PH:
        return read_number(s, 0, MILLI_MAX, &out->ph_milli);
    case SLOT_PHONE:
        return read_phone(s, out);
    case SLOT_NAME:
        return read_name(s, NAME_SIGNS, REQUEST_NAME_MAX, out->name);
    case SLOT_CHOICE:
        return read_choices(s, out);
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
        kind = kind_of(s);
        if (kind <= REQUEST_NONE) {
            return ERR_SYNTAX;
        }
        out->topic = (enum request_kind)kind;
        return ERR_OK;
    case SLOT_LANGUAGE:
        return read_int(s, 0, LANGUAGES_MOST, &out->language);
    case SLOT_CONFIRM:
        return read_int(s, 0, CONFIRMS_MOST, &out->confirms);
    default:
        return read_growing(slot, s, out);
    }
}

enum err request_read(struct slice line, struct request *out) {
    struct request r = {0};
    struct slice word, rest, key, value;
    bool more = slice_cut(line, ' ', &word, &rest);
    int kind = slice_eq(word, SLICE("-")) ? REQUEST_NONE : kind_of(word);
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
        r.has |= SLOT_BIT(slot);
    }
    *out = r;
    return ERR_OK;
}
