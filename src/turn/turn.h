/* turn: one message read, or one farm woken: request + state + what was told + the hour -> entries,
 * tasks told, texts to send, and what to wake for next. Joins text, farm, trade and reply. Pure:
 * whatever it needs stands in the struct, whatever it decides is left there; the desk loads the one
 * and saves the other in one transaction.
 *
 * turn.farm is brought up to date in place (its entries are appended); when the transaction fails,
 * the caller throws that farm away and loads it again. */
#ifndef TURN_TURN_H
#define TURN_TURN_H

#include "base/zone.h"
#include "farm/farm.h"
#include "farm/plan.h"
#include "text/text.h"
#include "words/words.h"

enum turn_role { ROLE_OWNER = 1, ROLE_WORKER = 2, ROLE_ADVISER = 3, ROLE_WATCHER = 4 };

/* What a person's last text from us was about: for "why". */
enum about_kind { ABOUT_NOTHING = 0, ABOUT_LOOK = 1, ABOUT_EGGS = 2, ABOUT_PLAN = 3 };

struct about {
    enum about_kind kind;
    int64_t subject;   /* spawn */
    struct slice data; /* ABOUT_PLAN: the request's line */
};

struct turn_person {
    int64_t id;
    struct slice phone;
    int language; /* index in the words; -1: not yet known */
    enum turn_role role;
    bool stopped;    /* wants no unasked text */
    int64_t heard_s; /* last text of this phone; 0 never */
    struct about about;
    bool changed; /* out: language, stopped or about differ */
};

struct turn_question {
    int64_t person;
    struct slice line; /* turn's own: "BASE request" */
    int64_t asked;     /* turn's own code */
    int64_t asked_s;
    int64_t head;    /* the farm's last entry when it was asked */
    int64_t message; /* that began it; 0: it was opened by a text of ours */
};

struct turn_text {
    int64_t person;
    enum level level;
    struct slice body;
    struct task_key key; /* TASK_NONE for an answer */
    int64_t useful_s;    /* INT64_MAX: always */
};

enum {
    TURN_TEXTS_MAX = 256,
    TURN_ENTRIES_MAX = 8,
    TURN_TOLD_MAX = 512,     /* rows told before and now */
    TURN_QUESTIONS_MAX = 80, /* one a person, and the sender's */
    QUESTION_NONE = -1,      /* as `asked`: the person has no open question any more */
    QUESTION_MIN = 30,       /* how long a question stays open */
    REPORT_ASK_MIN = 20,     /* a report so far from its step's hour without naming one is asked */
    AHEAD_MIN = 10           /* an hour named may lie so far ahead: clocks differ */
};

struct turn {
    /* in */
    const struct words *words;
    struct text_reader *reader;
    int language; /* of people whose own is not known yet */
    const struct zone *zone;
    struct slice farm_name;
    struct farm *farm;
    struct turn_person *people; /* in and out */
    int people_count;
    int64_t now_s;
    struct arena *arena;
    /* in, for a text */
    int sender;                           /* index in people */
    int64_t message;                      /* its id */
    int64_t sent_s;                       /* the network's send time, 0 unknown */
    const struct turn_question *question; /* the sender's, NULL none */
    /* The text of an earlier message, for naming what is undone; empty when it is gone. */
    struct slice (*message_text)(void *context, int64_t message);
    void *context;

    /* in and out: rows told before, then those of this turn (told_kept on) */
    struct told told[TURN_TOLD_MAX];
    int told_count, told_kept;

    /* out */
    struct entry entries[TURN_ENTRIES_MAX];
    int entry_count;
    struct turn_text texts[TURN_TEXTS_MAX];
    int text_count;
    struct turn_question questions[TURN_QUESTIONS_MAX]; /* to open; they replace a person's own */
    int question_count;
    bool question_done; /* the sender's question is over */
    struct task wakes[PLAN_MOST];
    int wake_count;
    bool more_due; /* some of the wakes are due now: no room was left for their texts */

    /* inside */
    int64_t base_s; /* the instant of a report that names no hour */
    int64_t root;   /* the message that entries belong to */
    enum err e;     /* first failure: ERR_NOMEM, ERR_BUG */
};

/* Reads one text of people[sender] and does what follows from it, then tells what is due. */
enum err turn_take(struct turn *turn, struct slice text) MUST_LOOK;

/* Tells what is due at now_s and lists what to wake for. */
enum err turn_wake(struct turn *turn) MUST_LOOK;

/* A text for somebody who belongs to no farm; a plain apology for a message that was set aside. */
enum err turn_stranger(const struct words *words, int language, struct buf *out) MUST_LOOK;
enum err turn_set_aside(const struct words *words, int language, struct buf *out) MUST_LOOK;

/* A text that leaves late begins with the hour it was meant for. */
enum err turn_late(const struct words *words, int language, const struct zone *zone, int64_t made_s,
                   int64_t now_s, struct slice body, struct buf *out) MUST_LOOK;

#endif
