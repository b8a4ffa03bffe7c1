/* store: what must not be lost. One SQLite file (WAL, synchronous=FULL, STRICT tables, foreign keys
 * on) with its schema version inside, a ballast file and a lock file beside it. The only room that
 * knows SQL; another engine could stand behind this header: rows go in and come out in batches, no
 * SQLite type shows, orders are by explicit keys in byte order.
 *
 * Units: instants are UTC seconds (`_s`); 0 means "none" where a field says it may be missing.
 * Errors from every call: ERR_FULL (disk full; nothing of the transaction stands), ERR_READONLY,
 * ERR_BUSY, ERR_IO, ERR_CORRUPT, ERR_NOMEM, ERR_BUG (the caller's mistake: out of its order, a
 * value outside its set, an id that is none); others are named beside the call. ERR_NOT_FOUND and
 * ERR_CONFLICT are results: the transaction goes on. After any other error inside a transaction
 * every call gives that same error, nothing is written, and only store_rollback may follow - or
 * store_mark_undo, which also heals an error that was not the disk's. What is read is copied into
 * the arena. Calls that only read may stand outside a transaction, too. */
#ifndef STORE_STORE_H
#define STORE_STORE_H

#include "base/arena.h"
#include "base/buf.h"
#include "base/slice.h"

struct store;

enum {
    STORE_ABOUT_MAX = 300, /* bytes of a person's about_data */
    STORE_REST_MAX = 2000, /* and of his rest */
    STORE_DATA_MAX = 2000  /* bytes of an entry's data; longer ones: ERR_TOO_LONG */
};

struct store_options {
    const char *path;      /* the database file; its folder must exist */
    int64_t ballast_bytes; /* kept free beside the store for a full disk; 0: none */
    const char *full_flag; /* tests only: while this file exists, every write to the database and
                              its log fails as on a full disk; NULL: never. One for the process */
};

/* Opens or makes the store, takes the lock file (ERR_HELD: another process has it), checks and
 * migrates the schema (ERR_VERSION: newer than this build; ERR_CORRUPT: damaged, or another
 * program's database; ERR_NOT_FOUND: no such folder). Files are made with mode 0600. */
enum err store_open(const struct store_options *options, struct store **out) MUST_LOOK;
void store_close(struct store *s);

/* For `barbel check`: opens without writing, tests schema version and integrity; ERR_NOT_FOUND when
 * there is no store yet. */
enum err store_inspect(const char *path, struct buf *report)
    MUST_LOOK; /* ERR_VERSION, ERR_CORRUPT; the report has a line for each finding */

/* -- transactions: everything below except the store_open family runs inside one -----------------
 */
enum err store_begin(struct store *s) MUST_LOOK;  /* takes the write lock */
enum err store_commit(struct store *s) MUST_LOOK; /* on error nothing was written */
void store_rollback(struct store *s);
/* A part of the transaction that can be taken back alone; one at a time, ended before the commit
 * (ERR_BUG else). After ERR_FULL, ERR_IO, ERR_READONLY or ERR_BUSY undoing it does not help: the
 * whole transaction must be rolled back. */
enum err store_mark(struct store *s) MUST_LOOK;
enum err store_mark_keep(struct store *s) MUST_LOOK;
void store_mark_undo(struct store *s);

/* Ballast: after ERR_FULL the file is given up so that what was accepted can be finished; made
 * again when there is room (true: it stands). Outside a transaction. */
void store_ballast_release(struct store *s);
bool store_ballast_restore(struct store *s);

/* Moves the write-ahead log into the file when it has `pages` or more; outside a transaction. */
void store_checkpoint(struct store *s, int pages);

/* A real commit of one small row, for GET /health. */
enum err store_probe(struct store *s, int64_t now_s) MUST_LOOK;

/* -- the text that kills ------------------------------------------------------------------------
 */
/* A small mapped file beside the store names the message being read. store_danger writes it,
 * store_safe clears it. A name found at store_open is a message that ended the process: it is set
 * aside (kept in a table) and store_is_aside says so ever after. Outside or inside a transaction.
 */
enum { STORE_PRINT_BYTES = 32 };
struct store_print {
    unsigned char bytes[STORE_PRINT_BYTES];
};
void store_danger(struct store *s, const struct store_print *print);
void store_safe(struct store *s);
enum err store_is_aside(struct store *s, const struct store_print *print, bool *aside) MUST_LOOK;

/* -- farms and people ----------------------------------------------------------------------------
 */
struct store_farm {
    int64_t id;
    int64_t head;                     /* sequence number of the last ledger row, 0 for none */
    struct slice name, zone, country; /* country: ISO 3166 two letters */
    int64_t made_s;
};
enum err store_farm_get(struct store *s, int64_t farm, struct arena *a,
                        struct store_farm *out) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_farm_by_name(struct store *s, struct slice name, struct arena *a,
                            struct store_farm *out) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_farm_put(struct store *s, const struct store_farm *farm,
                        int64_t *id) MUST_LOOK; /* id 0: new; else changes name, zone, country
                                                   (ERR_NOT_FOUND). Names are unique: ERR_CONFLICT,
                                                   nothing changed. `id` may be NULL */

enum store_role {
    STORE_NOBODY = 0, /* belongs to it no more; a row of the history only */
    STORE_OWNER = 1,
    STORE_WORKER = 2,
    STORE_ADVISER = 3,
    STORE_WATCHER = 4
};

enum { STORE_MORNING_MIN = 360 }; /* a person who did not say has his routine texts at 06:00 */

struct store_person {
    int64_t id;
    struct slice phone;    /* E.164 with +, unique */
    struct slice language; /* code, "" when not yet known */
    int64_t farm;          /* the farm last named, 0 none */
    bool stopped;          /* no unasked texts */
    struct slice link;     /* the link that the last text came by, "" none */
    int64_t heard_s;       /* last text of this phone */
    int64_t about_kind,
        about_subject;       /* what the last answer was about, for "why"; meaning is the turn's */
    struct slice about_data; /* a line of the turn's own, at most 300 bytes */
    int64_t morning_min;     /* routine texts come so many minutes after local midnight, 0..1439 */
    struct slice rest;       /* of a list that was cut: the turn's own, at most
                                STORE_REST_MAX bytes; no bytes: none */
};
struct store_member {
    struct store_person person;
    enum store_role role;
    int64_t farms; /* how many farms the person belongs to, this one too */
};
enum err store_person_get(struct store *s, int64_t id, struct arena *a,
                          struct store_person *out) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_person_by_phone(struct store *s, struct slice phone, struct arena *a,
                               struct store_person *out) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_person_put(
    struct store *s, const struct store_person *person, int64_t now_s,
    int64_t *id) MUST_LOOK; /* id 0: new; else all fields change (ERR_NOT_FOUND). ERR_CONFLICT:
                               another has this phone. A change of language, stopped or morning_min
                               is kept in a history with its time */
enum err store_member_put(struct store *s, int64_t farm, int64_t person, enum store_role role,
                          int64_t now_s) MUST_LOOK; /* history kept. STORE_NOBODY: belongs to it no
                                                       more; the person's row stays */
/* *ended: the person belonged to this farm once and was taken off since. */
enum err store_member_ended(struct store *s, int64_t farm, int64_t person, bool *ended) MUST_LOOK;
enum err store_members(struct store *s, int64_t farm, struct arena *a, struct store_member **out,
                       int *count) MUST_LOOK; /* by role, then person id */

struct store_belongs {
    int64_t farm;
    enum store_role role;
    struct slice name; /* the farm's */
};
enum err store_farms_of(struct store *s, int64_t person, struct arena *a,
                        struct store_belongs **out, int *count) MUST_LOOK; /* by farm id */

/* -- names that a farm deals with: where its fish come from, who buys them
 * --------------------------
 */
/* Numbered 1, 2, ... in each farm, and never removed. The bytes of a name are compared as they are:
 * the caller folds them. */
enum err store_party_put(struct store *s, int64_t farm, struct slice name, int64_t now_s,
                         int64_t *id) MUST_LOOK; /* the id that it has, or a new one; ERR_BUG: "" */
enum err store_party_find(struct store *s, int64_t farm, struct slice name,
                          int64_t *id) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_party_name(struct store *s, int64_t farm, int64_t id, struct arena *a,
                          struct slice *name) MUST_LOOK; /* ERR_NOT_FOUND */

/* -- codes that a phone must send back
 * ---------------------------------------------------------------
 */
/* Never the digits themselves, only their keyed hash: who reads these rows learns no code. A code
 * lives until it is used, runs out, was missed too often, or another takes its place; it ends once
 * and for ever. Ended ones are forgotten after 31 days: they hold numbers of strangers. */
enum { STORE_HASH_BYTES = 32 };
enum store_code_purpose { STORE_CODE_ADD = 1, STORE_CODE_REMOVE = 2, STORE_CODE_JOIN = 3 };
enum store_code_end {
    STORE_CODE_USED = 1,
    STORE_CODE_EXPIRED = 2,
    STORE_CODE_TRIES = 3,
    STORE_CODE_REPLACED = 4,
    STORE_CODE_WITHDRAWN = 5
};
struct store_code {
    int64_t id;
    int64_t farm, asker; /* the person who wanted it */
    struct slice phone;  /* that must send it back */
    enum store_code_purpose purpose;
    enum store_role role; /* STORE_NOBODY: none */
    struct slice subject; /* the phone that it is about */
    unsigned char hash[STORE_HASH_BYTES];
    int64_t tries; /* wrong ones so far */
    int64_t made_s, until_s;
};
/* `id`, `tries` are not read. Those of this farm, purpose and subject that live end as REPLACED. */
enum err store_code_put(struct store *s, const struct store_code *code, int64_t *id) MUST_LOOK;
/* Those of a phone that live at now_s, the newest first, `limit` at most. */
enum err store_codes_live(struct store *s, struct slice phone, int64_t now_s, int limit,
                          struct arena *a, struct store_code **out, int *count) MUST_LOOK;
enum err store_codes_made(struct store *s, struct slice phone, int64_t since_s,
                          int *count) MUST_LOOK; /* for limits; ended ones count */
/* How many are about a phone, whoever must send them back: for rehearsals, it reads them all. */
enum err store_codes_about(struct store *s, struct slice subject, int *count) MUST_LOOK;
/* A wrong try; the one that makes `most` ends it. Nothing for one that ended. */
enum err store_code_miss(struct store *s, int64_t id, int most, int64_t now_s) MUST_LOOK;
/* Ends it as used: ERR_CONFLICT when it has ended or run out already; then nothing may follow. */
enum err store_code_use(struct store *s, int64_t id, int64_t now_s) MUST_LOOK;
/* Those of this farm, purpose and subject end as WITHDRAWN. */
enum err store_code_withdraw(struct store *s, int64_t farm, enum store_code_purpose purpose,
                             struct slice subject, int64_t now_s) MUST_LOOK;
/* The key of the hashes: one for the store, made once, never changed. */
enum err store_secret_get(struct store *s,
                          unsigned char out[STORE_HASH_BYTES]) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_secret_put(struct store *s, const unsigned char bytes[STORE_HASH_BYTES])
    MUST_LOOK; /* ERR_CONFLICT: there is one */

/* -- arrivals ------------------------------------------------------------------------------------
 */
enum store_fate {
    STORE_READ = 1,
    STORE_ASIDE = 2,
    STORE_STRANGE = 3,
    STORE_LIMITED = 4,
    STORE_IGNORED = 5
};
struct store_arrival {
    int64_t id;
    struct slice link;
    struct slice sender, receiver; /* as normalised, or as it came when it is no number */
    struct slice body;
    struct store_print print; /* duplicates are found by it: of the provider's id, sender and text,
                                 or without an id */
    int64_t sent_s;           /* the network's send time, 0 unknown */
    int64_t arrived_s;
    int64_t farm, person; /* 0 none */
    enum store_fate fate;
};
/* *known: a row with this link and print stands already (then *id is its id and nothing changes).
 */
enum err store_arrival_put(struct store *s, const struct store_arrival *arrival, int64_t *id,
                           bool *known) MUST_LOOK;
enum err
store_arrival_get(struct store *s, int64_t id, struct arena *a,
                  struct store_arrival *out) MUST_LOOK; /* ERR_NOT_FOUND; body empty once purged */
enum err store_arrivals_of(struct store *s, struct slice sender, int64_t since_s,
                           int *count) MUST_LOOK; /* for limits: what was over one does not count */
/* When the newest such text of a phone came, or the one `back` before it; 0: none. */
enum err store_arrival_back(struct store *s, struct slice sender, int back,
                            int64_t *at_s) MUST_LOOK;
enum err store_arrival_last(struct store *s, int64_t farm, int64_t person,
                            int64_t *at_s) MUST_LOOK; /* 0: none */
enum err store_purge_bodies(struct store *s, int64_t before_s, int limit,
                            int *done) MUST_LOOK; /* arrival and dispatch bodies, ended ones only */

/* -- ledger --------------------------------------------------------------------------------------
 */
struct store_entry {
    int64_t seq; /* 1, 2, ... in the farm; set by the caller as head + 1, head + 2 */
    int64_t at_s, said_s;
    int64_t arrival; /* the message it came with */
    int64_t person;
    int64_t kind, version;
    int64_t subject_kind, subject;
    struct slice data; /* "weight_mg=1200000 female=3" */
};
/* ERR_NOT_FOUND: no such farm. Rows are checked on reading: gapless, up to the farm's head,
 * instants and ids in their ranges, data UTF-8; else ERR_CORRUPT. */
enum err store_ledger_read(struct store *s, int64_t farm, int64_t after_seq, struct arena *a,
                           struct store_entry **out, int *count) MUST_LOOK;
/* ERR_CONFLICT: the farm's head is not `head` any more; nothing was appended. */
enum err store_ledger_append(struct store *s, int64_t farm, int64_t head,
                             const struct store_entry *rows, int count) MUST_LOOK;

/* -- told ----------------------------------------------------------------------------------------
 */
enum store_outcome {
    STORE_WAITING = 0,
    STORE_SENT = 1,
    STORE_DELIVERED = 2,
    STORE_FAILED = 3,
    STORE_ANSWERED = 4
};
struct store_told {
    int64_t task_kind, subject, nth, stage; /* with person: the key */
    int64_t person;                         /* 0 is allowed: nobody could be told */
    int64_t hour_s;                         /* the hour that was told */
    int64_t told_s;                         /* when */
    enum store_outcome outcome;
};
enum err store_told_read(struct store *s, int64_t farm, struct arena *a, struct store_told **out,
                         int *count) MUST_LOOK; /* the newest last: who keeps only some keeps those.
                                                   A task whose row is left away is told again */
enum err store_told_put(struct store *s, int64_t farm, const struct store_told *rows, int count)
    MUST_LOOK; /* insert or replace by key. While the hour stays the outcome never goes back; its
                  order is waiting, sent, failed, delivered, answered (a receipt of delivery outdoes
                  one of failure) */
enum err store_told_drop(struct store *s, int64_t farm,
                         int64_t before_s) MUST_LOOK; /* rows told before */

/* -- diary ---------------------------------------------------------------------------------------
 */
struct store_wake {
    int64_t due_s, farm;
    int64_t task_kind, subject, nth, stage;
    int64_t level;    /* 0 alarm, 1 answer, 2 step, 3 routine */
    int64_t useful_s; /* last useful hour */
};
enum err store_diary_set(struct store *s, int64_t farm, const struct store_wake *rows, int count)
    MUST_LOOK; /* the farm's rows become these; only differences are written */
enum err store_diary_due(
    struct store *s, int64_t now_s, int limit, struct arena *a, int64_t **farms,
    int *count) MUST_LOOK; /* farms with due rows, alarms first, then oldest; each once */
enum err store_diary_next(struct store *s, int64_t *due_s)
    MUST_LOOK; /* INT64_MAX when empty; works outside a transaction too */

/* -- dispatch ------------------------------------------------------------------------------------
 */
struct store_dispatch {
    int64_t id;
    struct slice reference; /* random, the same at every try: 32 hex digits */
    int64_t farm, person;   /* 0 none (a stranger) */
    struct slice link;      /* which profile sends it */
    struct slice to, body;
    int64_t level;    /* 0 alarm, 1 answer, 2 step, 3 routine */
    int64_t made_s;   /* when the turn wrote it */
    int64_t next_s;   /* not before */
    int64_t useful_s; /* never sent after this; INT64_MAX: always */
    int64_t tries;
    int64_t task_kind, subject, nth, stage; /* task_kind 0: an answer; else the told row's key */
};
enum store_sent { STORE_DONE = 1, STORE_LATER = 2, STORE_NEVER = 3, STORE_EXPIRED = 4 };
struct store_attempt {
    int64_t dispatch;
    enum store_sent sent;
    struct slice provider_id; /* of a DONE, "" unknown */
    int64_t next_s;           /* of a LATER */
    int64_t at_s;
    struct slice reason; /* short, for the host */
    bool untried;        /* of a LATER: nothing went out, so it is no try */
};
enum err store_dispatch_put(struct store *s, const struct store_dispatch *rows,
                            int count) MUST_LOOK; /* ids are given here; row.id is not read */
/* `holder` is not 0. Takes up to `limit` that may be sent now under a lease (`holder` until
 * `until_s`): at most one per phone and none for a phone that has one leased; per phone the highest
 * level then the oldest first. Those past their last useful hour come too: the caller reports them
 * EXPIRED. */
enum err store_dispatch_take(struct store *s, int64_t now_s, int64_t holder, int64_t until_s,
                             int limit, struct arena *a, struct store_dispatch **out,
                             int *count) MUST_LOOK;
enum err store_dispatch_done(struct store *s, const struct store_attempt *rows, int count)
    MUST_LOOK; /* sets told outcomes too: DONE -> SENT, NEVER and EXPIRED -> FAILED; ends leases.
                  On one that has ended already nothing changes, except that a DONE adds its id */
enum err store_dispatch_next(struct store *s, int64_t *next_s)
    MUST_LOOK; /* INT64_MAX when none waits. Texts in flight, and those behind them on the same
                  phone, count with the end of the lease; works outside a transaction */
enum err store_dispatch_free(struct store *s, int64_t holder)
    MUST_LOOK; /* at start: leases of a dead holder (all but `holder`) end */
/* The body is one that we sent to this phone since: an echo, never answered. */
enum err store_is_echo(struct store *s, struct slice phone, struct slice body, int64_t since_s,
                       bool *echo) MUST_LOOK;

/* -- receipts ------------------------------------------------------------------------------------
 */
enum store_receipt {
    STORE_RECEIPT_DELIVERED = 1,
    STORE_RECEIPT_PENDING = 2,
    STORE_RECEIPT_FAILED = 3
};
/* By our reference, else by the provider's id on that link. Never moves from delivered or failed to
 * pending, nor from delivered to failed. *known false: no such dispatch (counted as
 * "receipt_unknown"). Sets told's outcome; *farm is the farm to wake, 0 none: nothing changed, or
 * only to pending. A receipt of delivery ends a text that still waits. */
enum err store_receipt_put(struct store *s, struct slice link, struct slice reference,
                           struct slice provider_id, enum store_receipt state, int64_t at_s,
                           bool *known, int64_t *farm) MUST_LOOK;

/* -- questions -----------------------------------------------------------------------------------
 */
struct store_question {
    int64_t person, farm;
    struct slice request; /* request_write's line */
    int64_t asked;        /* slot, or the turn's own code */
    int64_t asked_s;
    int64_t head;    /* the farm's last entry seen */
    int64_t arrival; /* the message that began it */
};
enum err store_question_get(struct store *s, int64_t person, struct arena *a,
                            struct store_question *out) MUST_LOOK; /* ERR_NOT_FOUND */
enum err store_question_put(struct store *s,
                            const struct store_question *q) MUST_LOOK; /* one per person */
enum err store_question_drop(struct store *s, int64_t person) MUST_LOOK;

/* -- guards and counters --------------------------------------------------------------------------
 */
/* *seen: this signature id was taken before and is not yet forgotten. Else it is remembered. */
enum err store_seen(struct store *s, struct slice link, struct slice id, int64_t now_s,
                    int64_t until_s, bool *seen) MUST_LOOK;
/* Until when the desk hears a phone no more, 0: it is heard. Such phones are among the seen ids, of
 * the link without a name. */
enum err store_closed_until(struct store *s, struct slice phone, int64_t *until_s) MUST_LOOK;
enum err store_close_until(struct store *s, struct slice phone, int64_t now_s,
                           int64_t until_s) MUST_LOOK;
/* Counts a text of a number that belongs to no farm; *answer: it may be answered (first of the
 * day). */
enum err store_stranger(struct store *s, struct slice phone, int64_t day, int64_t now_s,
                        bool *answer) MUST_LOOK;
enum err store_count(struct store *s, const char *name,
                     int64_t add) MUST_LOOK; /* named counter, kept over restarts */
struct store_counter {
    struct slice name;
    int64_t value;
};
enum err store_counters(struct store *s, struct arena *a, struct store_counter **out,
                        int *count) MUST_LOOK; /* by name; also waiting dispatches ("waiting"),
                                                  codes that live ("codes"),
                                                  diary rows ("diary"), farms, people, entries */

/* -- what the host looks at ----------------------------------------------------------------------
 */
/* Slices of at most STORE_SLICE_MAX rows, whatever `limit` says; a limit under 1 gives none. */
enum { STORE_SLICE_MAX = 200 };
enum err store_farms(struct store *s, int64_t after_id, int limit, struct arena *a,
                     struct store_farm **out, int *count) MUST_LOOK; /* by id */

/* A text of either way. */
struct store_text {
    int64_t id;     /* of texts of both ways together, unlike those of arrivals and dispatches */
    bool out;       /* from us */
    int64_t at_s;   /* arrived, or written */
    int64_t person; /* 0 none */
    struct slice phone;
    struct slice body;          /* empty once purged */
    enum store_fate fate;       /* of one that came in, else 0 */
    enum store_sent sent;       /* of one that went out; 0: waits, or came in */
    enum store_receipt receipt; /* of one that went out; 0 none */
    int64_t tries;
    struct slice reason; /* of the last attempt, "" none */
};
/* A farm's texts of both ways, of one person (0: of all), newest first; at one instant those from
 * us first, as answers follow what they answer. Those behind the text `before` (0: from the
 * newest). ERR_NOT_FOUND: no such text on this farm. */
enum err store_texts_of(struct store *s, int64_t farm, int64_t person, int64_t before, int limit,
                        struct arena *a, struct store_text **out, int *count) MUST_LOOK;

struct store_wait {
    int64_t dispatch, farm, person; /* 0 none (a stranger) */
    struct slice phone;
    int64_t level, made_s, next_s, useful_s, tries; /* as in store_dispatch */
    struct slice reason;                            /* of the last attempt, "" none */
};
/* Texts not yet sent, those under way included: by level, then next_s, then id. */
enum err store_waiting(struct store *s, int limit, struct arena *a, struct store_wait **out,
                       int *count) MUST_LOOK;
enum err store_waiting_of(struct store *s, int64_t farm, int64_t *count) MUST_LOOK;

#endif
