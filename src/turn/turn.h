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

enum turn_role {
    ROLE_NONE = 0, /* belongs to the farm no more: taken off in this turn */
    ROLE_OWNER = 1,
    ROLE_WORKER = 2,
    ROLE_ADVISER = 3,
    ROLE_WATCHER = 4 /* may report, may not take back */
};

/* What a person's last text from us was about: for "why". */
enum about_kind {
    ABOUT_NOTHING = 0,
    ABOUT_LOOK = 1,
    ABOUT_EGGS = 2,
    ABOUT_PLAN = 3,
    ABOUT_DOSE = 4,
    ABOUT_LIME = 5,
    ABOUT_LARVAE = 6,
    ABOUT_STOCK = 7,
    ABOUT_FEED = 8,
    ABOUT_GROWTH = 9, /* of a cycle */
    ABOUT_WATER = 10,
    ABOUT_STORE = 11,
    ABOUT_BLEND = 12,
    ABOUT_RATION = 13,
    ABOUT_ORDER = 20,
    ABOUT_RATES = 30,  /* subject 0 */
    ABOUT_ACCOUNT = 31 /* subject a cycle; 0 of a spawn or the farm */
};

struct about {
    enum about_kind kind;
    int64_t subject;   /* a spawn; of lime, feed and ration a pond, of stock a cycle, of the store a
                          feed; an order, 0 one that was only asked about */
    struct slice data; /* ABOUT_PLAN, ABOUT_WATER, ABOUT_BLEND, ABOUT_ORDER: the request's
                          line */
};

struct turn_person {
    int64_t id;
    struct slice phone;
    int language; /* index in the words; -1: not yet known */
    enum turn_role role;
    bool stopped;    /* wants no unasked text */
    int64_t heard_s; /* last text of this phone to this farm; 0 never */
    struct about about;
    int morning_min;   /* routine texts come so many minutes after local midnight */
    bool lists;        /* is sent the lists of the morning and of Sunday, if his role has them */
    int farms;         /* how many he belongs to: with several, texts begin with the farm's name */
    struct slice rest; /* in and out: turn's own, TURN_REST_BYTES: what was cut off his last list */
    bool changed;      /* out: language, stopped, about, morning_min or rest differ */
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
    struct slice to;     /* a phone that is none of the farm's people's; empty: the person's */
    int64_t farm;        /* whose text it is; 0: the turn's farm */
};

/* -- people by text ------------------------------------------------------------------------------
 * Nothing is done in a phone's name until that phone itself has sent back a code: an owner's for
 * adding and removing, the invited one's for joining. */
enum turn_purpose { PURPOSE_ADD = 1, PURPOSE_REMOVE = 2, PURPOSE_JOIN = 3 };

enum {
    CODE_LEAST = 100000, /* six digits, the first not 0: whoever reads it as a number loses none */
    CODE_MOST = 999999,
    CODE_TRIES = 3,           /* wrong ones; then it is void */
    CODE_MIN = 30,            /* how long an owner's code holds */
    CODE_JOIN_H = 48,         /* how long an invitation holds */
    CODES_A_DAY = 5,          /* made for one phone within 24 hours */
    TURN_CODES_MAX = 16,      /* looked at when one comes back; not more live for a phone */
    TURN_CODE_BYTES = 64,     /* random ones, of which a code is made */
    TURN_FARM_PEOPLE_MAX = 64 /* on one farm */
};

struct turn_code { /* that the sender's phone may send back: alive, its asker still an owner */
    int64_t id;
    enum turn_purpose purpose; /* ADD and REMOVE: of this farm only; JOIN: of any */
    int64_t farm;
    struct slice farm_name;
    int farm_people; /* how many the farm has */
    enum turn_role role;
    struct slice subject; /* the phone that it is about */
    struct slice asker;   /* the owner's phone */
    int asker_language;   /* index in the words; -1: not yet known */
    int asker_farms;
};

struct turn_new_code { /* of this farm, asked for by the sender */
    enum turn_purpose purpose;
    enum turn_role role;
    struct slice phone;   /* that must send it back */
    struct slice subject; /* the phone that it is about */
    int64_t until_s;
    int64_t digits; /* CODE_LEAST..CODE_MOST; to be kept as a keyed hash only */
};

struct turn_member {
    int64_t farm;
    struct slice phone;
    enum turn_role role; /* ROLE_NONE: belongs to it no more */
    int language;        /* of one that is new; -1: not known */
};

struct turn_farm { /* one of the sender's */
    int64_t id;
    struct slice name;
};

enum {
    TURN_TEXTS_MAX = 256,
    TURN_ENTRIES_MAX = 160,  /* a season's evenings are taken by one YES */
    TURN_TOLD_MAX = 8192,    /* rows told before and now */
    TURN_QUESTIONS_MAX = 80, /* one a person, and the sender's */
    TURN_REST_BYTES = 2000,
    QUESTION_NONE = -1,  /* as `asked`: the person has no open question any more */
    QUESTION_MIN = 30,   /* how long a question stays open */
    REPORT_ASK_MIN = 20, /* a report so far from its step's hour without naming one is asked */
    AHEAD_MIN = 10       /* an hour named may lie so far ahead: clocks differ */
};

struct turn {
    /* in */
    const struct words *words;
    struct text_reader *reader;
    int language; /* of people whose own is not known yet */
    const struct zone *zone;
    int64_t farm_id;
    struct slice farm_name;
    struct slice country; /* ISO 3166: how its people write numbers */
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
    /* Names of people and places that fish come from: the id of one, made if it is new; 0 without
     * a name. */
    int64_t (*party_id)(void *context, struct slice name);
    struct slice (*party_name)(void *context, int64_t party);
    /* These digits are that code, of turn.codes. */
    bool (*code_fits)(void *context, int64_t id, int64_t digits);
    /* How many codes were made for a phone within the last 24 hours. */
    int (*codes_made)(void *context, struct slice phone);
    /* Parts of texts sent to and received from the farm's people from one
     * instant to another, the second not included; false: not known. NULL: not known. */
    bool (*parts)(void *context, int64_t from_s, int64_t to_s, int *sent, int *received);
    /* A phone that may be texted: of a country that the host serves. NULL: all. */
    bool (*may_text)(void *context, struct slice phone);
    void *context;
    struct turn_code codes[TURN_CODES_MAX];
    int code_count;
    const struct turn_farm *farms; /* the sender's, by id */
    int farm_count;
    unsigned char random[TURN_CODE_BYTES];

    /* in and out: rows told before, then those of this turn (told_kept on) */
    struct told told[TURN_TOLD_MAX];
    int told_count, told_kept;

    /* out */
    struct entry entries[TURN_ENTRIES_MAX];
    int entry_count, entries_kept; /* kept: the farm has them, of what the text said before */
    struct turn_text texts[TURN_TEXTS_MAX];
    int text_count;
    struct turn_question questions[TURN_QUESTIONS_MAX]; /* to open; they replace a person's own */
    int question_count;
    bool question_done; /* the sender's question is over */
    struct task wakes[PLAN_MOST];
    int wake_count;
    bool more_due;     /* some of the wakes are due now: no room was left for their texts */
    int64_t code_used; /* id, 0 none */
    int64_t codes_missed[TURN_CODES_MAX]; /* ids: one wrong try for each */
    int missed_count;
    struct turn_new_code new_code; /* purpose 0: none */
    struct turn_member member;     /* farm 0: none */
    struct slice withdrawn;        /* invitations of this phone to this farm end; empty none */
    int64_t farm_chosen;           /* the sender's texts go there from now on; 0: as before */

    /* inside */
    int64_t base_s;       /* the instant of a report that names no hour */
    int64_t root;         /* the message that entries belong to */
    struct tag about_tag; /* what the sender's text is about, letter 0: it did not say */
    bool doubted;         /* it could not be read whole */
    int64_t morning_s;    /* somebody is to be told then what moved in the night; 0 nobody */
    enum err e;           /* first failure: ERR_NOMEM, ERR_BUG */
};

/* Reads one text of people[sender] and does what follows from it, then tells what is due. */
enum err turn_take(struct turn *turn, struct slice text) MUST_LOOK;

/* Tells what is due at now_s and lists what to wake for. */
enum err turn_wake(struct turn *turn) MUST_LOOK;

/* Reads a text of people[0], the only one, who belongs to no farm; turn.farm is NULL. *taken: it
 * was a JOIN with the right code. Otherwise only codes_missed may be left, and he is a stranger:
 * what he is told must not depend on whether there is a code. */
enum err turn_take_stranger(struct turn *turn, struct slice text, bool *taken) MUST_LOOK;

/* A text for somebody who belongs to no farm; for one of them who wants no texts; a plain apology
 * for a message that was set aside; for one who texts so much that he is not heard until from_s. */
enum err turn_stranger(const struct words *words, int language, struct buf *out) MUST_LOOK;
enum err turn_stopped(const struct words *words, int language, struct buf *out) MUST_LOOK;
enum err turn_set_aside(const struct words *words, int language, struct buf *out) MUST_LOOK;
enum err turn_over_limit(const struct words *words, int language, const struct zone *zone,
                         int64_t now_s, int64_t from_s, struct buf *out) MUST_LOOK;

/* A text that leaves late begins with the hour it was meant for. */
enum err turn_late(const struct words *words, int language, const struct zone *zone, int64_t made_s,
                   int64_t now_s, struct slice body, struct buf *out) MUST_LOOK;

#endif
