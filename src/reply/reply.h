/* reply: a reply's id and its values + a language -> text. The list of replies, their values and
 * how many parts each may take stands in replies.def; the wording in grammar/LANGUAGE.po as
 * "reply.ID". Pure. */
#ifndef REPLY_REPLY_H
#define REPLY_REPLY_H

#include "base/buf.h"
#include "base/zone.h"
#include "words/words.h"

/* What a value is, so that each language writes it in its own way. */
enum reply_kind {
    VALUE_NONE,
    VALUE_TAG,     /* letter and number: F3 */
    VALUE_WHEN,    /* an instant: the day's short name when it is not today (its date when it is a
                      week or more away), and the hour */
    VALUE_CLOCK,   /* an instant: the hour only */
    VALUE_DATE,    /* an instant: day and month, "6 Jan" */
    VALUE_WATER,   /* thousandths of a degree: 24C, 24.55C, two digits at most (with its C) */
    VALUE_WEIGHT,  /* milligrams: 150g, 1.25kg, 0.1g (with its unit): from 1 kg on kilograms with
                      two digits at most, below 10 g grams with one, below 0.1 g with three */
    VALUE_NUMBER,  /* a whole number, no grouping sign */
    VALUE_DECIMAL, /* thousandths, shown with at most one digit behind the sign (24.5, 8) */
    VALUE_CENTI,   /* thousandths, shown with at most two digits behind the sign (0.75) */
    VALUE_METRE,   /* millimetres, in metres with at most two digits: 0.8m (with its unit) */
    VALUE_AREA,    /* square centimetres, in ares, below one are in m2 (with its unit) */
    VALUE_MEASURE, /* thousandths of a measure of feed: 3 tins, 0.5 tin */
    VALUE_TEXT, /* bytes as they are, cut at the declared length; characters outside GSM-7 become ?
                 */
    VALUE_KIND, /* a kind of message: its first word in this language, in capitals */
    VALUE_LANGUAGE /* a language: its own name for itself */
};

struct reply_value {
    enum reply_kind kind;
    char letter;       /* VALUE_TAG; VALUE_MEASURE: its choice, as words.h numbers them */
    int64_t integer;   /* everything but VALUE_TEXT */
    struct slice text; /* VALUE_TEXT; must live as long as the reply */
};

#define V_TAG(tag)               ((struct reply_value){VALUE_TAG, (tag).letter, (tag).number, {0}})
#define V_WHEN(at_s)             ((struct reply_value){VALUE_WHEN, 0, (at_s), {0}})
#define V_CLOCK(at_s)            ((struct reply_value){VALUE_CLOCK, 0, (at_s), {0}})
#define V_DATE(at_s)             ((struct reply_value){VALUE_DATE, 0, (at_s), {0}})
#define V_WATER(mdegc)           ((struct reply_value){VALUE_WATER, 0, (mdegc), {0}})
#define V_WEIGHT(mg)             ((struct reply_value){VALUE_WEIGHT, 0, (mg), {0}})
#define V_NUMBER(n)              ((struct reply_value){VALUE_NUMBER, 0, (n), {0}})
#define V_DECIMAL(m)             ((struct reply_value){VALUE_DECIMAL, 0, (m), {0}})
#define V_CENTI(m)               ((struct reply_value){VALUE_CENTI, 0, (m), {0}})
#define V_METRE(mm)              ((struct reply_value){VALUE_METRE, 0, (mm), {0}})
#define V_AREA(cm2)              ((struct reply_value){VALUE_AREA, 0, (cm2), {0}})
#define V_MEASURE(choice, milli) ((struct reply_value){VALUE_MEASURE, (char)(choice), (milli), {0}})
#define V_TEXT(slice)            ((struct reply_value){VALUE_TEXT, 0, 0, (slice)})
#define V_KIND(kind)             ((struct reply_value){VALUE_KIND, 0, (kind), {0}})
#define V_LANGUAGE(i)            ((struct reply_value){VALUE_LANGUAGE, 0, (i), {0}})

enum { REPLY_VALUES_MAX = 10, REPLY_BYTES_MAX = 1200 };

enum reply_id {
#define REPLY(id, name, parts, ...) REPLY_##id,
#include "reply/replies.def"
#undef REPLY
    REPLY_COUNT
};

struct reply {
    enum reply_id id;
    struct reply_value values[REPLY_VALUES_MAX]; /* in the order of replies.def */
};

/* A template holds {name}, or for WHEN and CLOCK {name:short}, which leaves out the word for hour
 * ("12:30 asubuhi (06:30)"). Instants are shown on five minutes, to the nearest; the farm's zone
 * and the hour at which the text is written decide whether the day is named. ERR_BUG: values that
 * are not those of replies.def. ERR_NOMEM, ERR_TOO_LONG from the buffer. */
enum err reply_render(const struct words *words, int language, const struct zone *zone,
                      int64_t now_s, const struct reply *reply, struct buf *out) MUST_LOOK;

/* What the catalogues are checked against at load and by tests. */
struct reply_form {
    const char *name; /* "injected": msgctxt is "reply.injected" */
    int parts;        /* the most it may take in any language with its longest values */
    int value_count;
    struct {
        const char *name; /* placeholder {name} */
        enum reply_kind kind;
        int longest;   /* VALUE_TEXT: characters it is cut at */
        bool may_drop; /* a translation may leave it out */
    } values[REPLY_VALUES_MAX];
};
const struct reply_form *reply_form(enum reply_id id);

/* Every catalogue has every reply, with the placeholders that it must have and no other. The
 * mistakes go into the faults. */
void reply_check(const struct words *words, struct faults *faults);

/* The reply with its longest values (longest day and clock names of the language included), for
 * the budget test and for `barbel check`. */
enum err reply_render_longest(const struct words *words, int language, enum reply_id id,
                              struct buf *out) MUST_LOOK;

#endif
