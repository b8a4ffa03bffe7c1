/* request: what one text asks for, resolved to numbers and units, free of words and language. The
 * text room makes them, the turn room judges them; an open question keeps one as a line of text
 * (request_write, request_read) until its bare answer comes. Pure. */
#ifndef TEXT_REQUEST_H
#define TEXT_REQUEST_H

#include "base/buf.h"

/* Kinds of message. The names (request_kind_name) are the ids in grammar/messages.conf and in the
 * catalogues' "word.ID" and "help.ID". */
enum request_kind {
    REQUEST_NONE = 0, /* values without a kind: a bare answer */
    REQUEST_INJECT,
    REQUEST_PLAN,
    REQUEST_TEMP,
    REQUEST_WAIT,
    REQUEST_NO_EGGS,
    REQUEST_OK,
    REQUEST_STRIP,
    REQUEST_WHITE,
    REQUEST_FRAMES,
    REQUEST_UNDO,
    REQUEST_WHY,
    REQUEST_TODAY,
    REQUEST_HELP,
    REQUEST_LANGUAGE,
    REQUEST_STOP,
    REQUEST_START,
    REQUEST_YES,
    REQUEST_NO,
    REQUEST_KIND_COUNT
};

/* Slots, told apart by unit, letter or form. A bit each in request.has. The names
 * (request_slot_name) are those in messages.conf. */
enum request_slot {
    SLOT_TAG,      /* f3 */
    SLOT_WEIGHT,   /* 1.2kg, 150g */
    SLOT_TIME,     /* 18:30, 6am, now */
    SLOT_DAY,      /* today, yesterday, tomorrow */
    SLOT_WATER,    /* t24, 24c */
    SLOT_COUNT,    /* a plain number */
    SLOT_OF,       /* of 100 */
    SLOT_SAME,     /* the word "same" */
    SLOT_TOPIC,    /* a kind of message, behind help */
    SLOT_LANGUAGE, /* a language, behind language */
    SLOT_CONFIRM,  /* never typed: a YES that the question got */
    SLOT_COUNT_ALL
};

enum { TAG_NUMBER_MAX = 9999 };

struct tag {
    char letter; /* 'f' female, 'm' male, 'b' tank, 'p' pond */
    int number;  /* 1..TAG_NUMBER_MAX */
};

struct request {
    enum request_kind kind;
    unsigned has; /* 1u << slot */
    struct tag tag;
    int64_t weight_mg;
    bool now;            /* SLOT_TIME: the word "now"; hour and minute are unset */
    int hour, minute;    /* SLOT_TIME: local clock */
    int day;             /* SLOT_DAY: days from today, -1, 0 or 1 */
    int64_t water_mdegc; /* thousandths of a degree Celsius */
    int64_t count;       /* SLOT_COUNT: as typed when a whole number, else -1 ... */
    int64_t count_milli; /* ... and in thousandths: 24.5 is 24500 */
    int64_t of;
    enum request_kind topic;
    int language; /* index in the words */
    int confirms; /* SLOT_CONFIRM: how many questions were answered YES, as bits by the turn */
};

bool request_has(const struct request *r, enum request_slot slot);
const char *request_kind_name(enum request_kind kind); /* "inject"; "" for REQUEST_NONE */
enum request_kind request_kind_of(const char *name);   /* REQUEST_NONE if unknown */
const char *request_slot_name(enum request_slot slot); /* "tag" */
int request_slot_of(const char *name);                 /* -1 if unknown */

/* One line, "inject tag=f3 weight_mg=1200000 time=18:30"; read back exactly. */
void request_write(const struct request *r, struct buf *out);
enum err request_read(struct slice line, struct request *out) MUST_LOOK; /* ERR_SYNTAX, ERR_RANGE */

#endif
