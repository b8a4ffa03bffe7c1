/* desk: the one place where store and turn meet. Takes messages, receipts, results of sending and
 * due farms with an instant; loads, turns, saves and commits, all of a round in one transaction;
 * hands out what is to be sent. Everything that came in a round is committed when desk_round
 * returns: only then may it be answered.
 *
 * Each item stands in a mark of its own inside the round's transaction: one that fails for another
 * reason than the disk takes back its own rows only and cannot hold up the others. While the disk
 * is full, new messages are refused (ERR_FULL) and what was accepted before is finished. */
#ifndef DESK_DESK_H
#define DESK_DESK_H

#include "store/store.h"
#include "turn/turn.h"

struct desk;

/* What a message is read with; replaced whole by a reload. */
struct desk_grammar {
    const struct words *words;
    struct text_reader *reader;
};

struct desk_options {
    struct store *store;
    struct desk_grammar grammar;
    struct slice language;         /* code, for people whose own is not known */
    struct slice country;          /* ISO 3166, of numbers written the national way */
    struct slice link;             /* sends what has no link of its own */
    const struct slice *countries; /* whose strangers get an answer, ISO 3166 */
    int country_count;
    int texts_per_hour; /* of one phone; more are stored and not read */
    int64_t holder;     /* of leases: another one for each process */
    int check_every;    /* one turn in so many folds from the beginning and compares; 0 never */
    void (*random)(void *context, void *out, size_t n);
    /* A keyed hash that nobody without the key can make or turn back: HMAC-SHA-256. Of codes: with
     * none (NULL) nobody can be added or taken off by text (ERR_BUG). */
    void (*keyed_hash)(void *context, const unsigned char key[STORE_HASH_BYTES], struct slice text,
                       unsigned char out[STORE_HASH_BYTES]);
    void *context;
};

enum {
    DESK_DUE_MAX = 64,  /* farms woken in one round */
    DESK_SEND_MAX = 64, /* texts handed out in one round */
    DESK_LEASE_S = 120, /* how long one of them may be under way */
    DESK_LATE_MIN = 15  /* a text leaving so late begins with its hour */
};

enum err desk_open(const struct desk_options *options, struct desk **out) MUST_LOOK;
void desk_close(struct desk *d);
/* New words and settings; the store stays. Farms in memory are kept: they hold no words. */
void desk_reload(struct desk *d, const struct desk_options *options);

/* -- farms and people, at start ------------------------------------------------------------------
 */
struct desk_person {
    struct slice number; /* E.164 */
    enum turn_role role;
    struct slice language; /* "" unknown */
};
struct desk_farm {
    struct slice name, zone, country;
    const struct desk_person *people;
    int people_count;
};
/* Makes the farm if there is none of that name, and adds people who are not in it. Nothing that
 * exists is changed, and who was taken off by text is not added again (a warning in the log).
 * ERR_NOT_FOUND: no such time zone. */
enum err desk_ensure_farm(struct desk *d, const struct desk_farm *farm, int64_t now_s) MUST_LOOK;

/* -- rounds -------------------------------------------------------------------------------------
 */
enum desk_kind { DESK_MESSAGE, DESK_RECEIPT, DESK_ATTEMPT };

struct desk_item {
    enum desk_kind kind;
    /* in, DESK_MESSAGE */
    struct slice link, sender, receiver, text;
    unsigned char print[STORE_PRINT_BYTES]; /* the same for the same message */
    int64_t sent_s;
    bool no_reply;             /* a machine: never answered */
    struct slice signature_id; /* "" none; one seen with another message is refused */
    int64_t signature_until_s;
    /* in, DESK_RECEIPT: with link */
    struct slice reference, provider_id;
    enum store_receipt state;
    /* in, DESK_ATTEMPT */
    struct store_attempt attempt;
    int64_t farm;   /* of the attempt's text; of a message, found out */
    bool set_aside; /* a message that is not to be read, only answered with an apology */
    /* out */
    enum err e; /* ERR_OK: stands, now or before. ERR_STALE: signature id seen before */
    bool known; /* it stood before; or the receipt's text is known */
    enum store_fate fate;
};

struct desk_send { /* to be sent now; slices live until the next round */
    int64_t dispatch, farm;
    struct slice reference, link, to, body;
    int64_t tries, useful_s;
};

struct desk_round {
    struct desk_item *items; /* in and out */
    int item_count;
    int send_room; /* in: how many texts may be handed out now, 0..DESK_SEND_MAX */
    struct desk_send sends[DESK_SEND_MAX];
    int send_count;
    bool more_due; /* there are more farms due: come again at once */
    int turns;     /* texts read and farms woken */
};

/* ERR_FULL, ERR_READONLY, ERR_BUSY, ERR_IO, ...: nothing of the round stands (every item's e says
 * so, too); try again later. */
enum err desk_round(struct desk *d, struct desk_round *round, int64_t now_s) MUST_LOOK;

/* The next instant at which a round is due without anything coming in; INT64_MAX none. */
int64_t desk_next(struct desk *d);

/* Whether new messages are refused for want of room; looks again whether there is some. */
bool desk_is_full(struct desk *d);

struct desk_counts {
    int64_t rounds, turns, full_folds, digest_differences, farms_in_memory;
};
struct desk_counts desk_count(const struct desk *d);

#endif
