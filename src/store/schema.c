/* schema: the tables and how an older store becomes a newer one. In: an open database. Out: the
 * same at this build's version. ERR_VERSION: a newer build wrote it; ERR_CORRUPT: a database, but
 * not one of ours. Nothing is changed then.
 *
 * To change a table: never touch a step that was released. Add a text at the end of the list that
 * makes the new form out of the last one; a build's version is the number of its steps. Each step
 * runs in one transaction together with its number, so a crash leaves the version before or after.
 *
 * Ids are taken from the table `sequence`, never from SQLite's own row ids. Ended things are kept:
 * the ledger for ever, bodies until they are purged (NULL). */
#include "store/inside.h"

#include "base/point.h"

static const char step_1[] =
    "CREATE TABLE sequence (name TEXT NOT NULL PRIMARY KEY, last INTEGER NOT NULL)"
    " STRICT, WITHOUT ROWID;"
    "INSERT INTO sequence (name, last) VALUES ('farm', 0), ('person', 0), ('arrival', 0),"
    " ('dispatch', 0);"
    "CREATE TABLE probe (id INTEGER PRIMARY KEY CHECK (id = 1), at_s INTEGER NOT NULL) STRICT;"
    "CREATE TABLE aside (print BLOB NOT NULL PRIMARY KEY CHECK (length(print) = 32))"
    " STRICT, WITHOUT ROWID;"

    "CREATE TABLE farm (id INTEGER PRIMARY KEY, head INTEGER NOT NULL CHECK (head >= 0),"
    " name TEXT NOT NULL UNIQUE, zone TEXT NOT NULL, country TEXT NOT NULL,"
    " made_s INTEGER NOT NULL) STRICT;"
    "CREATE TABLE person (id INTEGER PRIMARY KEY, phone TEXT NOT NULL UNIQUE,"
    " language TEXT NOT NULL, farm INTEGER REFERENCES farm (id),"
    " stopped INTEGER NOT NULL CHECK (stopped IN (0, 1)), link TEXT NOT NULL,"
    " heard_s INTEGER NOT NULL, about_kind INTEGER NOT NULL, about_subject INTEGER NOT NULL,"
    " about_data TEXT NOT NULL) STRICT;"
    "CREATE TABLE person_history (person INTEGER NOT NULL REFERENCES person (id),"
    " nth INTEGER NOT NULL, at_s INTEGER NOT NULL,"
    " what INTEGER NOT NULL CHECK (what IN (1, 2))," /* 1 language, 2 stopped */
    " value TEXT NOT NULL, PRIMARY KEY (person, nth)) STRICT, WITHOUT ROWID;"
    "CREATE TABLE member (farm INTEGER NOT NULL REFERENCES farm (id),"
    " person INTEGER NOT NULL REFERENCES person (id),"
    " role INTEGER NOT NULL CHECK (role BETWEEN 1 AND 4), PRIMARY KEY (farm, person))"
    " STRICT, WITHOUT ROWID;"
    "CREATE INDEX member_person ON member (person, farm);"
    "CREATE TABLE member_history (farm INTEGER NOT NULL REFERENCES farm (id),"
    " person INTEGER NOT NULL REFERENCES person (id), nth INTEGER NOT NULL,"
    " at_s INTEGER NOT NULL, role INTEGER NOT NULL, PRIMARY KEY (farm, person, nth))"
    " STRICT, WITHOUT ROWID;"

    "CREATE TABLE arrival (id INTEGER PRIMARY KEY, link TEXT NOT NULL, sender TEXT NOT NULL,"
    " receiver TEXT NOT NULL, body TEXT," /* NULL: purged */
    " print BLOB NOT NULL CHECK (length(print) = 32), sent_s INTEGER NOT NULL,"
    " arrived_s INTEGER NOT NULL, farm INTEGER REFERENCES farm (id),"
    " person INTEGER REFERENCES person (id), fate INTEGER NOT NULL CHECK (fate BETWEEN 1 AND 5))"
    " STRICT;"
    "CREATE UNIQUE INDEX arrival_print ON arrival (print, link);"
    "CREATE INDEX arrival_sender ON arrival (sender, arrived_s);"
    "CREATE INDEX arrival_body ON arrival (arrived_s) WHERE body IS NOT NULL;"

    "CREATE TABLE ledger (farm INTEGER NOT NULL REFERENCES farm (id), seq INTEGER NOT NULL,"
    " at_s INTEGER NOT NULL, said_s INTEGER NOT NULL, arrival INTEGER REFERENCES arrival (id),"
    " person INTEGER REFERENCES person (id), kind INTEGER NOT NULL, version INTEGER NOT NULL,"
    " subject_kind INTEGER NOT NULL, subject INTEGER NOT NULL, data TEXT NOT NULL,"
    " PRIMARY KEY (farm, seq)) STRICT, WITHOUT ROWID;"
    "CREATE TABLE told (farm INTEGER NOT NULL REFERENCES farm (id), task_kind INTEGER NOT NULL,"
    " subject INTEGER NOT NULL, nth INTEGER NOT NULL, stage INTEGER NOT NULL,"
    " person INTEGER NOT NULL, hour_s INTEGER NOT NULL, told_s INTEGER NOT NULL,"
    " outcome INTEGER NOT NULL CHECK (outcome BETWEEN 0 AND 4),"
    " PRIMARY KEY (farm, task_kind, subject, nth, stage, person)) STRICT, WITHOUT ROWID;"

    "CREATE TABLE diary (due_s INTEGER NOT NULL, farm INTEGER NOT NULL REFERENCES farm (id),"
    " task_kind INTEGER NOT NULL, subject INTEGER NOT NULL, nth INTEGER NOT NULL,"
    " stage INTEGER NOT NULL, level INTEGER NOT NULL CHECK (level BETWEEN 0 AND 3),"
    " useful_s INTEGER NOT NULL, lease_by INTEGER NOT NULL DEFAULT 0,"
    " lease_until_s INTEGER NOT NULL DEFAULT 0,"
    " PRIMARY KEY (due_s, farm, task_kind, subject, nth, stage)) STRICT, WITHOUT ROWID;"
    "CREATE INDEX diary_farm ON diary (farm);"
    "CREATE INDEX diary_alarm ON diary (due_s, farm) WHERE level = 0;"

    /* state: 0 waiting, 1 done, 3 never, 4 expired; receipt: 0 none, else enum store_receipt */
    "CREATE TABLE dispatch (id INTEGER PRIMARY KEY,"
    " reference TEXT NOT NULL UNIQUE CHECK (length(reference) = 32),"
    " farm INTEGER REFERENCES farm (id), person INTEGER REFERENCES person (id),"
    " link TEXT NOT NULL, phone TEXT NOT NULL, body TEXT," /* NULL: purged */
    " level INTEGER NOT NULL CHECK (level BETWEEN 0 AND 3), made_s INTEGER NOT NULL,"
    " next_s INTEGER NOT NULL, useful_s INTEGER NOT NULL, tries INTEGER NOT NULL,"
    " task_kind INTEGER NOT NULL, subject INTEGER NOT NULL, nth INTEGER NOT NULL,"
    " stage INTEGER NOT NULL, state INTEGER NOT NULL DEFAULT 0 CHECK (state IN (0, 1, 3, 4)),"
    " lease_by INTEGER NOT NULL DEFAULT 0, lease_until_s INTEGER NOT NULL DEFAULT 0,"
    " provider_id TEXT NOT NULL DEFAULT '', ended_s INTEGER NOT NULL DEFAULT 0,"
    " reason TEXT NOT NULL DEFAULT '', receipt INTEGER NOT NULL DEFAULT 0,"
    " receipt_s INTEGER NOT NULL DEFAULT 0) STRICT;"
    "CREATE INDEX dispatch_waiting ON dispatch (level, next_s, id) WHERE state = 0;"
    "CREATE INDEX dispatch_phone ON dispatch (phone, level, made_s, id) WHERE state = 0;"
    "CREATE INDEX dispatch_leased ON dispatch (phone) WHERE state = 0 AND lease_by <> 0;"
    "CREATE INDEX dispatch_echo ON dispatch (phone, made_s) WHERE body IS NOT NULL;"
    "CREATE INDEX dispatch_body ON dispatch (made_s)"
    " WHERE body IS NOT NULL AND state <> 0;"
    "CREATE INDEX dispatch_provider ON dispatch (provider_id, link) WHERE provider_id <> '';"

    "CREATE TABLE question (person INTEGER PRIMARY KEY REFERENCES person (id),"
    " farm INTEGER REFERENCES farm (id), request TEXT NOT NULL, asked INTEGER NOT NULL,"
    " asked_s INTEGER NOT NULL, head INTEGER NOT NULL,"
    " arrival INTEGER REFERENCES arrival (id)) STRICT;"
    "CREATE TABLE seen (link TEXT NOT NULL, id TEXT NOT NULL, until_s INTEGER NOT NULL,"
    " PRIMARY KEY (link, id)) STRICT, WITHOUT ROWID;"
    "CREATE INDEX seen_until ON seen (until_s);"
    "CREATE TABLE stranger (day INTEGER NOT NULL, phone TEXT NOT NULL, texts INTEGER NOT NULL,"
    " first_s INTEGER NOT NULL, last_s INTEGER NOT NULL, PRIMARY KEY (day, phone))"
    " STRICT, WITHOUT ROWID;"
    "CREATE TABLE counter (name TEXT NOT NULL PRIMARY KEY, value INTEGER NOT NULL)"
    " STRICT, WITHOUT ROWID;";

/* What the host looks at: a farm's conversation, whole or of one person, newest first, and how many
 * of its texts wait. */
static const char step_2[] =
    "CREATE INDEX arrival_farm ON arrival (farm, arrived_s, id);"
    "CREATE INDEX arrival_person ON arrival (farm, person, arrived_s, id);"
    "CREATE INDEX dispatch_farm ON dispatch (farm, made_s, id);"
    "CREATE INDEX dispatch_person ON dispatch (farm, person, made_s, id);"
    "CREATE INDEX dispatch_farm_waiting ON dispatch (farm) WHERE state = 0;";

/* People by text: codes that a phone must send back, the key that they are hashed with, the hour of
 * a person's routine texts, and the names that a farm deals with (where fish come from). The
 * history of people takes a third kind of change, which its old check refused, so it is made anew.
 */
static const char step_3[] =
    "INSERT INTO sequence (name, last) VALUES ('code', 0);"
    "CREATE TABLE secret (id INTEGER PRIMARY KEY CHECK (id = 1),"
    " bytes BLOB NOT NULL CHECK (length(bytes) = 32)) STRICT;"
    /* purpose: 1 add, 2 remove, 3 join; role: 0 none, else enum store_role; ended: 0 it lives, else
     * enum store_code_end */
    "CREATE TABLE code (id INTEGER PRIMARY KEY, farm INTEGER NOT NULL REFERENCES farm (id),"
    " asker INTEGER NOT NULL REFERENCES person (id), phone TEXT NOT NULL,"
    " purpose INTEGER NOT NULL CHECK (purpose BETWEEN 1 AND 3),"
    " role INTEGER NOT NULL CHECK (role BETWEEN 0 AND 4), subject TEXT NOT NULL,"
    " hash BLOB NOT NULL CHECK (length(hash) = 32), tries INTEGER NOT NULL CHECK (tries >= 0),"
    " made_s INTEGER NOT NULL, until_s INTEGER NOT NULL,"
    " ended INTEGER NOT NULL CHECK (ended BETWEEN 0 AND 5), ended_s INTEGER NOT NULL) STRICT;"
    "CREATE INDEX code_live ON code (phone, id) WHERE ended = 0;"
    "CREATE INDEX code_subject ON code (farm, subject, purpose) WHERE ended = 0;"
    "CREATE INDEX code_until ON code (until_s, id) WHERE ended = 0;"
    "CREATE INDEX code_made ON code (phone, made_s);"
    "CREATE INDEX code_ended ON code (ended_s, id) WHERE ended <> 0;"

    "CREATE TABLE party (farm INTEGER NOT NULL REFERENCES farm (id),"
    " id INTEGER NOT NULL CHECK (id > 0), name TEXT NOT NULL CHECK (length(name) > 0),"
    " made_s INTEGER NOT NULL, PRIMARY KEY (farm, id), UNIQUE (farm, name)) STRICT, WITHOUT ROWID;"

    "ALTER TABLE person ADD COLUMN morning_min INTEGER NOT NULL DEFAULT 360"
    " CHECK (morning_min BETWEEN 0 AND 1439);"
    "CREATE TABLE person_history_3 (person INTEGER NOT NULL REFERENCES person (id),"
    " nth INTEGER NOT NULL, at_s INTEGER NOT NULL,"
    " what INTEGER NOT NULL CHECK (what IN (1, 2, 3))," /* 1 language, 2 stopped, 3 morning_min */
    " value TEXT NOT NULL, PRIMARY KEY (person, nth)) STRICT, WITHOUT ROWID;"
    "INSERT INTO person_history_3 (person, nth, at_s, what, value)"
    " SELECT person, nth, at_s, what, value FROM person_history;"
    "DROP TABLE person_history;"
    "ALTER TABLE person_history_3 RENAME TO person_history;";

/* What was cut from the last list that a person was sent. */
static const char step_4[] = "ALTER TABLE person ADD COLUMN rest TEXT NOT NULL DEFAULT '';";

const char *const store_schema_steps[] = {step_1, step_2, step_3, step_4};
const int store_schema_version = (int)(sizeof store_schema_steps / sizeof store_schema_steps[0]);

enum err store_db_exec(sqlite3 *db, const char *text) {
    int rc = sqlite3_exec(db, text, NULL, NULL, NULL);
    return store_map(rc, sqlite3_system_errno(db));
}

enum err store_db_int(sqlite3 *db, const char *text, int64_t *out) {
    sqlite3_stmt *st = NULL;
    int rc = sqlite3_prepare_v2(db, text, -1, &st, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(st);
    enum err e = store_map(rc, sqlite3_system_errno(db));
    if (rc == SQLITE_ROW)
        *out = sqlite3_column_int64(st, 0);
    else if (!e)
        e = ERR_NOT_FOUND;
    (void)sqlite3_finalize(st);
    return e;
}

enum err store_schema_read(sqlite3 *db, int *version) {
    int64_t ours = 0, all = 0, found = 0;
    *version = 0;
    enum err e = store_db_int(db, "SELECT count(*) FROM sqlite_schema", &all);
    if (!e)
        e = store_db_int(db, "SELECT count(*) FROM sqlite_schema WHERE name = 'barbel_schema'",
                         &ours);
    if (e || all == 0)
        return e;
    if (!ours) /* somebody else's database: leave it alone */
        return ERR_CORRUPT;
    e = store_db_int(db, "SELECT max(version) FROM barbel_schema", &found);
    if (!e && (found < 1 || found > 1000000))
        e = ERR_CORRUPT;
    *version = (int)found;
    return e;
}

/* Step number `to`, together with its number, or nothing. */
static enum err step(sqlite3 *db, const char *text, int to) {
    enum err e = store_db_exec(db, "BEGIN IMMEDIATE");
    if (e)
        return e;
    if (to == 1)
        e = store_db_exec(db, "CREATE TABLE barbel_schema (version INTEGER PRIMARY KEY) STRICT");
    if (!e)
        e = store_db_exec(db, text);
    char number[64];
    (void)sqlite3_snprintf((int)sizeof number, number, "INSERT INTO barbel_schema VALUES (%d)", to);
    if (!e)
        e = store_db_exec(db, number);
    POINT("store-migrate-step");
    if (!e)
        e = store_db_exec(db, "COMMIT");
    if (e && !sqlite3_get_autocommit(db))
        (void)sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    return e;
}

enum err store_schema_migrate(sqlite3 *db, const char *const *steps, int count, int *version) {
    enum err e = store_schema_read(db, version);
    if (!e && *version > count)
        e = ERR_VERSION;
    while (!e && *version < count) {
        e = step(db, steps[*version], *version + 1);
        if (!e)
            ++*version;
    }
    return e;
}
