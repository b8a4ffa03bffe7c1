/* inside: what the files of the store share among themselves. Nobody outside includes this, except
 * the store's own tests. One struct, one table of statements, a few calls that bind, step and reset
 * so that no other file does it by hand, and the files that lie beside the database. */
#ifndef STORE_INSIDE_H
#define STORE_INSIDE_H

#include <sqlite3.h>

#include "store/store.h"

/* Every statement of the store; their texts are the table in sql.c, in this order. */
enum sql {
    SQL_BEGIN,
    SQL_COMMIT,
    SQL_ROLLBACK,
    SQL_MARK,
    SQL_MARK_KEEP,
    SQL_MARK_UNDO,
    SQL_SEQUENCE,
    SQL_PROBE,
    SQL_ASIDE_PUT,
    SQL_ASIDE_GET,
    SQL_FARM_GET,
    SQL_FARM_BY_NAME,
    SQL_FARM_NEW,
    SQL_FARM_CHANGE,
    SQL_FARM_HEAD,
    SQL_FARM_GET_HEAD,
    SQL_PERSON_BY_PHONE,
    SQL_PERSON_WAS,
    SQL_PERSON_NEW,
    SQL_PERSON_CHANGE,
    SQL_PERSON_HISTORY,
    SQL_MEMBER_WAS,
    SQL_MEMBER_PUT,
    SQL_MEMBER_END,
    SQL_MEMBER_HISTORY,
    SQL_MEMBER_LAST,
    SQL_MEMBERS,
    SQL_FARMS_OF,
    SQL_PARTY_PUT,
    SQL_PARTY_FIND,
    SQL_PARTY_NAME,
    SQL_PERSON_GET,
    SQL_SECRET_GET,
    SQL_SECRET_PUT,
    SQL_CODE_PUT,
    SQL_CODES_LIVE,
    SQL_CODES_MADE,
    SQL_CODES_ABOUT,
    SQL_CODE_MISS,
    SQL_CODE_END,
    SQL_CODE_END_SUBJECT,
    SQL_CODE_EXPIRE,
    SQL_CODE_FORGET,
    SQL_ARRIVAL_FIND,
    SQL_ARRIVAL_PUT,
    SQL_ARRIVAL_GET,
    SQL_ARRIVALS_OF,
    SQL_ARRIVAL_BACK,
    SQL_ARRIVAL_LAST,
    SQL_ARRIVAL_PURGE,
    SQL_LEDGER_READ,
    SQL_LEDGER_PUT,
    SQL_TOLD_READ,
    SQL_TOLD_PUT,
    SQL_TOLD_OUTCOME,
    SQL_TOLD_DROP,
    SQL_DIARY_READ,
    SQL_DIARY_PUT,
    SQL_DIARY_DROP,
    SQL_DIARY_ALARMS,
    SQL_DIARY_DUE,
    SQL_DIARY_NEXT,
    SQL_DISPATCH_PUT,
    SQL_DISPATCH_READY,
    SQL_DISPATCH_BEST,
    SQL_DISPATCH_LEASE,
    SQL_DISPATCH_GET,
    SQL_DISPATCH_KEY,
    SQL_DISPATCH_END,
    SQL_DISPATCH_LATER,
    SQL_DISPATCH_PROVIDER,
    SQL_DISPATCH_NEXT,
    SQL_DISPATCH_LEASES_END,
    SQL_DISPATCH_FREE,
    SQL_DISPATCH_ECHO,
    SQL_DISPATCH_PURGE,
    SQL_RECEIPT_BY_REFERENCE,
    SQL_RECEIPT_BY_PROVIDER,
    SQL_RECEIPT_PUT,
    SQL_RECEIPT_ENDS,
    SQL_QUESTION_GET,
    SQL_QUESTION_PUT,
    SQL_QUESTION_DROP,
    SQL_SEEN_GET,
    SQL_SEEN_PUT,
    SQL_SEEN_FORGET,
    SQL_STRANGER_PUT,
    SQL_STRANGER_FORGET,
    SQL_COUNTER_ADD,
    SQL_COUNTERS,
    SQL_FARMS,
    SQL_TEXTS_IN,
    SQL_TEXTS_OUT,
    SQL_TEXTS_IN_PERSON,
    SQL_TEXTS_OUT_PERSON,
    SQL_TEXT_IN_AT,
    SQL_TEXT_OUT_AT,
    SQL_WAITING,
    SQL_WAITING_OF,
    SQL_TOTAL
};
const char *store_sql_text(enum sql which);

struct store_beside; /* files.c: lock, ballast, danger */

struct store {
    sqlite3 *db;
    sqlite3_stmt *prepared[SQL_TOTAL];
    struct store_beside *beside;
    bool inside;     /* between begin and commit or rollback */
    bool marked;     /* between mark and keep or undo */
    enum err broken; /* the error after which only a rollback may follow */
    int wal_pages;   /* in the log after the last commit, less what a checkpoint moved */
    enum err checkpoint_e;
};

/* Every public call that reads begins with the first, every one that writes with the second: after
 * an error SQLite may have ended the transaction by itself, and a statement that ran then would
 * stand alone for ever. */
enum err store_may_read(const struct store *s) MUST_LOOK;
enum err store_may_write(const struct store *s) MUST_LOOK;

/* Marks the transaction as good for rollback only, unless e is a result that callers expect
 * (ERR_OK, ERR_NOT_FOUND, ERR_CONFLICT). Returns e. */
enum err store_fail(struct store *s, enum err e) MUST_LOOK;

/* The one place where SQLite's codes become ours; `errno_then` is the system's error number that
 * belongs to it, 0 unknown. */
enum err store_map(int rc, int errno_then) MUST_LOOK;
enum err store_rc(struct store *s, int rc) MUST_LOOK; /* store_map and store_fail, logged */

struct sql_value {
    enum { SQL_IS_INT, SQL_IS_REF, SQL_IS_TEXT, SQL_IS_BYTES } kind;
    int64_t integer;
    struct slice text;
};
#define SQL_INT(v)      ((struct sql_value){SQL_IS_INT, (int64_t)(v), {NULL, 0}})
#define SQL_REF(v)      ((struct sql_value){SQL_IS_REF, (int64_t)(v), {NULL, 0}}) /* 0 is NULL */
#define SQL_TEXT(s)     ((struct sql_value){SQL_IS_TEXT, 0, (s)})
#define SQL_BYTES(p, n) ((struct sql_value){SQL_IS_BYTES, 0, {(const char *)(p), (n)}})
#define SQL_PRINT(p)    SQL_BYTES((p)->bytes, STORE_PRINT_BYTES)

#define SQL_VALUES(...)                                                                            \
    (const struct sql_value[]){__VA_ARGS__},                                                       \
        (int)(sizeof((struct sql_value[]){__VA_ARGS__}) / sizeof(struct sql_value))

/* Runs a statement that gives no rows. */
enum err store_run(struct store *s, enum sql which, const struct sql_value *values,
                   int count) MUST_LOOK;
/* Begins one that does; then store_next until false, then store_end, always. The values' text must
 * live until store_end. */
enum err store_rows(struct store *s, enum sql which, const struct sql_value *values, int count,
                    sqlite3_stmt **out) MUST_LOOK;
bool store_next(struct store *s, sqlite3_stmt *rows, enum err *e); /* false at once if *e */
void store_end(sqlite3_stmt *rows);
/* The first column of the first row; ERR_NOT_FOUND without one. */
enum err store_one(struct store *s, enum sql which, const struct sql_value *values, int count,
                   int64_t *out) MUST_LOOK;

int64_t store_column(sqlite3_stmt *rows, int column);
struct slice store_column_text(sqlite3_stmt *rows, int column); /* until the next step */
/* Copied; sets *e to ERR_NOMEM at the arena's cap. */
struct slice store_column_copy(sqlite3_stmt *rows, int column, struct arena *a, enum err *e);

/* Room for one more in an array in the arena that doubles; NULL at its cap. */
void *store_room(struct arena *a, void *array, int count, int *room, size_t size);

/* `count` ids of the sequence `name`; *first is the lowest. */
enum err store_ids(struct store *s, const char *name, int count, int64_t *first) MUST_LOOK;

/* ledger.c, used where dispatches end and receipts come: raises told's outcome, never lowers it. */
enum err store_told_outcome(struct store *s, int64_t farm, const struct store_told *key,
                            enum store_outcome outcome) MUST_LOOK;

/* schema.c: one step is one text of SQL that makes version N from N - 1, in one transaction. */
extern const char *const store_schema_steps[];
extern const int store_schema_version;
enum err store_schema_read(sqlite3 *db, int *version) MUST_LOOK; /* 0: an empty file */
enum err store_schema_migrate(sqlite3 *db, const char *const *steps, int count,
                              int *version) MUST_LOOK;
enum err store_db_exec(sqlite3 *db, const char *text) MUST_LOOK;
/* The first column of the first row as an integer; ERR_NOT_FOUND without a row. */
enum err store_db_int(sqlite3 *db, const char *text, int64_t *out) MUST_LOOK;

/* files.c */
enum err store_beside_open(const char *path, int64_t ballast_bytes,
                           struct store_beside **out) MUST_LOOK; /* ERR_HELD */
void store_beside_close(struct store_beside *b);
enum err store_beside_make(const char *path) MUST_LOOK; /* the database file itself, mode 0600 */
bool store_beside_danger(const struct store_beside *b, struct store_print *found);

#endif
