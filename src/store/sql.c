/* sql: the one table of statements and the calls that bind, step and reset them. In: values as
 * integers and slices. Out: rows as integers and slices, SQLite's codes as enum err (mapped here
 * and nowhere else). A statement that breaks a constraint is ERR_BUG: callers look before they
 * write. Limits: text is bound by reference, so it must live until the statement ends. Another
 * engine would replace this table and this file, and keep the others' shape. */
#include "store/inside.h"

#include <errno.h>

#include "base/log.h"

#define PERSON                                                                                     \
    "p.id, p.phone, p.language, p.farm, p.stopped, p.link, p.heard_s, p.about_kind, "              \
    "p.about_subject, p.about_data, p.morning_min, p.rest"
#define DISPATCH                                                                                   \
    "id, reference, farm, person, link, phone, body, level, made_s, next_s, useful_s, tries, "     \
    "task_kind, subject, nth, stage"
/* A text of a conversation, of either way in the same columns. */
#define TEXT_IN  "id, arrived_s, person, sender, body, fate, 0, 0, ''"
#define TEXT_OUT "id, made_s, person, phone, body, state, receipt, tries, reason"
#define RECEIPT  "id, farm, person, task_kind, subject, nth, stage, receipt"
/* waiting 0, sent 1, failed 3, delivered 2, answered 4: the order in which an outcome may rise */
#define RANK(outcome) "CASE " outcome " WHEN 2 THEN 3 WHEN 3 THEN 2 ELSE " outcome " END"

static const char *const texts[SQL_TOTAL] = {
    [SQL_BEGIN] = "BEGIN IMMEDIATE",
    [SQL_COMMIT] = "COMMIT",
    [SQL_ROLLBACK] = "ROLLBACK",
    [SQL_MARK] = "SAVEPOINT mark",
    [SQL_MARK_KEEP] = "RELEASE mark",
    [SQL_MARK_UNDO] = "ROLLBACK TO mark",
    [SQL_SEQUENCE] = "UPDATE sequence SET last = last + ?2 WHERE name = ?1 RETURNING last",
    [SQL_PROBE] = "INSERT INTO probe (id, at_s) VALUES (1, ?1)"
                  " ON CONFLICT (id) DO UPDATE SET at_s = excluded.at_s",
    [SQL_ASIDE_PUT] = "INSERT INTO aside (print) VALUES (?1) ON CONFLICT (print) DO NOTHING",
    [SQL_ASIDE_GET] = "SELECT 1 FROM aside WHERE print = ?1",

    [SQL_FARM_GET] = "SELECT id, head, name, zone, country, made_s FROM farm WHERE id = ?1",
    [SQL_FARM_BY_NAME] = "SELECT id, head, name, zone, country, made_s FROM farm WHERE name = ?1",
    [SQL_FARM_NEW] = "INSERT INTO farm (id, head, name, zone, country, made_s)"
                     " VALUES (?1, 0, ?2, ?3, ?4, ?5)",
    [SQL_FARM_CHANGE] = "UPDATE farm SET name = ?2, zone = ?3, country = ?4 WHERE id = ?1",
    [SQL_FARM_HEAD] = "UPDATE farm SET head = head + ?3 WHERE id = ?1 AND head = ?2",
    [SQL_FARM_GET_HEAD] = "SELECT head FROM farm WHERE id = ?1",

    [SQL_PERSON_BY_PHONE] = "SELECT " PERSON " FROM person p WHERE p.phone = ?1",
    [SQL_PERSON_GET] = "SELECT " PERSON " FROM person p WHERE p.id = ?1",
    [SQL_PERSON_WAS] = "SELECT language, stopped, morning_min FROM person WHERE id = ?1",
    [SQL_PERSON_NEW] = "INSERT INTO person (id, phone, language, farm, stopped, link, heard_s,"
                       " about_kind, about_subject, about_data, morning_min, rest)"
                       " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
    [SQL_PERSON_CHANGE] = "UPDATE person SET phone = ?2, language = ?3, farm = ?4, stopped = ?5,"
                          " link = ?6, heard_s = ?7, about_kind = ?8, about_subject = ?9,"
                          " about_data = ?10, morning_min = ?11, rest = ?12 WHERE id = ?1",
    [SQL_PERSON_HISTORY] = "INSERT INTO person_history (person, nth, at_s, what, value) VALUES (?1,"
                           " (SELECT coalesce(max(nth), 0) + 1 FROM person_history"
                           " WHERE person = ?1), ?2, ?3, ?4)",
    [SQL_MEMBER_WAS] = "SELECT role FROM member WHERE farm = ?1 AND person = ?2",
    [SQL_MEMBER_PUT] = "INSERT INTO member (farm, person, role) VALUES (?1, ?2, ?3)"
                       " ON CONFLICT (farm, person) DO UPDATE SET role = excluded.role",
    [SQL_MEMBER_HISTORY] =
        "INSERT INTO member_history (farm, person, nth, at_s, role) VALUES (?1, ?2,"
        " (SELECT coalesce(max(nth), 0) + 1 FROM member_history WHERE farm = ?1"
        " AND person = ?2), ?3, ?4)",
    [SQL_MEMBER_END] = "DELETE FROM member WHERE farm = ?1 AND person = ?2",
    [SQL_MEMBER_LAST] = "SELECT role FROM member_history WHERE farm = ?1 AND person = ?2"
                        " ORDER BY nth DESC LIMIT 1",
    [SQL_MEMBERS] = "SELECT " PERSON ", m.role, (SELECT count(*) FROM member o"
                    " WHERE o.person = m.person) FROM member m JOIN person p ON p.id = m.person"
                    " WHERE m.farm = ?1 ORDER BY m.role, m.person",
    [SQL_FARMS_OF] = "SELECT m.farm, m.role, f.name FROM member m JOIN farm f ON f.id = m.farm"
                     " WHERE m.person = ?1 ORDER BY m.farm",

    [SQL_PARTY_PUT] = "INSERT INTO party (farm, id, name, made_s) VALUES (?1,"
                      " (SELECT coalesce(max(id), 0) + 1 FROM party WHERE farm = ?1), ?2, ?3)",
    [SQL_PARTY_FIND] = "SELECT id FROM party WHERE farm = ?1 AND name = ?2",
    [SQL_PARTY_NAME] = "SELECT name FROM party WHERE farm = ?1 AND id = ?2",

    [SQL_SECRET_GET] = "SELECT bytes FROM secret WHERE id = 1",
    [SQL_SECRET_PUT] = "INSERT INTO secret (id, bytes) VALUES (1, ?1)",
    [SQL_CODE_PUT] =
        "INSERT INTO code (id, farm, asker, phone, purpose, role, subject, hash, tries,"
        " made_s, until_s, ended, ended_s)"
        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 0, ?9, ?10, 0, 0)",
    [SQL_CODES_LIVE] = "SELECT id, farm, asker, phone, purpose, role, subject, hash, tries, made_s,"
                       " until_s FROM code WHERE ended = 0 AND phone = ?1 AND until_s > ?2"
                       " ORDER BY id DESC LIMIT ?3",
    [SQL_CODES_MADE] = "SELECT count(*) FROM code WHERE phone = ?1 AND made_s >= ?2",
    [SQL_CODES_ABOUT] = "SELECT count(*) FROM code WHERE subject = ?1",
    [SQL_CODE_MISS] = "UPDATE code SET tries = tries + 1,"
                      " ended = CASE WHEN tries + 1 >= ?2 THEN ?3 ELSE 0 END,"
                      " ended_s = CASE WHEN tries + 1 >= ?2 THEN ?4 ELSE 0 END"
                      " WHERE id = ?1 AND ended = 0",
    [SQL_CODE_END] = "UPDATE code SET ended = ?2, ended_s = ?3"
                     " WHERE id = ?1 AND ended = 0 AND until_s > ?3",
    [SQL_CODE_END_SUBJECT] = "UPDATE code SET ended = ?4, ended_s = ?5"
                             " WHERE ended = 0 AND farm = ?1 AND subject = ?2 AND purpose = ?3",
    [SQL_CODE_EXPIRE] =
        "UPDATE code SET ended = ?2, ended_s = until_s WHERE id IN (SELECT id"
        " FROM code WHERE ended = 0 AND until_s <= ?1 ORDER BY until_s, id LIMIT ?3)",
    [SQL_CODE_FORGET] = "DELETE FROM code WHERE id IN (SELECT id FROM code WHERE ended <> 0"
                        " AND ended_s < ?1 ORDER BY ended_s, id LIMIT ?2)",

    [SQL_ARRIVAL_FIND] = "SELECT id FROM arrival WHERE link = ?1 AND print = ?2",
    [SQL_ARRIVAL_PUT] =
        "INSERT INTO arrival (id, link, sender, receiver, body, print, sent_s, arrived_s, farm,"
        " person, fate) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    [SQL_ARRIVAL_GET] = "SELECT id, link, sender, receiver, body, print, sent_s, arrived_s, farm,"
                        " person, fate FROM arrival WHERE id = ?1",
    [SQL_ARRIVALS_OF] = "SELECT count(*) FROM arrival WHERE sender = ?1 AND arrived_s >= ?2"
                        " AND fate <> ?3",
    [SQL_ARRIVAL_BACK] = "SELECT arrived_s FROM arrival WHERE sender = ?1 AND fate <> ?2"
                         " ORDER BY arrived_s DESC, id DESC LIMIT 1 OFFSET ?3",
    [SQL_ARRIVAL_LAST] = "SELECT arrived_s FROM arrival WHERE farm = ?1 AND person = ?2"
                         " ORDER BY arrived_s DESC, id DESC LIMIT 1",
    [SQL_ARRIVAL_PURGE] =
        "UPDATE arrival SET body = NULL WHERE id IN (SELECT id FROM arrival"
        " WHERE body IS NOT NULL AND arrived_s < ?1 ORDER BY arrived_s, id LIMIT ?2)",

    [SQL_LEDGER_READ] = "SELECT seq, at_s, said_s, arrival, person, kind, version, subject_kind,"
                        " subject, data FROM ledger WHERE farm = ?1 AND seq > ?2 ORDER BY seq",
    [SQL_LEDGER_PUT] =
        "INSERT INTO ledger (farm, seq, at_s, said_s, arrival, person, kind, version,"
        " subject_kind, subject, data)"
        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    [SQL_TOLD_READ] = "SELECT task_kind, subject, nth, stage, person, hour_s, told_s, outcome"
                      " FROM told WHERE farm = ?1 ORDER BY task_kind, subject, nth, stage, person",
    [SQL_TOLD_PUT] =
        "INSERT INTO told (farm, task_kind, subject, nth, stage, person, hour_s, told_s, outcome)"
        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"
        " ON CONFLICT (farm, task_kind, subject, nth, stage, person) DO UPDATE SET"
        " hour_s = excluded.hour_s, told_s = excluded.told_s,"
        /* another hour is another telling: it begins anew */
        " outcome = CASE WHEN hour_s <> excluded.hour_s OR " RANK("excluded.outcome") " > " RANK(
            "outcome") " THEN excluded.outcome ELSE outcome END",
    [SQL_TOLD_OUTCOME] =
        "UPDATE told SET outcome = ?7 WHERE farm = ?1 AND task_kind = ?2 AND subject = ?3"
        " AND nth = ?4 AND stage = ?5 AND person = ?6 AND " RANK("?7") " > " RANK("outcome"),
    [SQL_TOLD_DROP] = "DELETE FROM told WHERE farm = ?1 AND told_s < ?2",

    [SQL_DIARY_READ] = "SELECT due_s, farm, task_kind, subject, nth, stage, level, useful_s"
                       " FROM diary WHERE farm = ?1"
                       " ORDER BY due_s, task_kind, subject, nth, stage",
    [SQL_DIARY_PUT] =
        "INSERT INTO diary (due_s, farm, task_kind, subject, nth, stage, level, useful_s)"
        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"
        " ON CONFLICT (due_s, farm, task_kind, subject, nth, stage) DO UPDATE SET"
        " level = excluded.level, useful_s = excluded.useful_s",
    [SQL_DIARY_DROP] = "DELETE FROM diary WHERE due_s = ?1 AND farm = ?2 AND task_kind = ?3"
                       " AND subject = ?4 AND nth = ?5 AND stage = ?6",
    [SQL_DIARY_ALARMS] = "SELECT farm FROM diary WHERE level = 0 AND due_s <= ?1"
                         " AND lease_until_s <= ?1 ORDER BY due_s, farm",
    [SQL_DIARY_DUE] = "SELECT farm FROM diary WHERE due_s <= ?1 AND lease_until_s <= ?1"
                      " ORDER BY due_s, farm",
    [SQL_DIARY_NEXT] = "SELECT due_s FROM diary ORDER BY due_s LIMIT 1",

    [SQL_DISPATCH_PUT] = "INSERT INTO dispatch (" DISPATCH ") VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7,"
                         " ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)",
    /* Phones with something to send now, best level first; which of a phone's texts it is, the next
     * statement says. */
    [SQL_DISPATCH_READY] =
        "SELECT phone FROM dispatch d WHERE state = 0 AND level = ?1 AND next_s <= ?2"
        " AND lease_until_s <= ?2 AND NOT EXISTS (SELECT 1 FROM dispatch l WHERE l.phone = d.phone"
        " AND l.state = 0 AND l.lease_by <> 0 AND l.lease_until_s > ?2) ORDER BY next_s, id",
    [SQL_DISPATCH_BEST] = "SELECT id FROM dispatch WHERE state = 0 AND phone = ?1 AND next_s <= ?2"
                          " ORDER BY level, made_s, id LIMIT 1",
    [SQL_DISPATCH_LEASE] = "UPDATE dispatch SET lease_by = ?2, lease_until_s = ?3 WHERE id = ?1",
    [SQL_DISPATCH_GET] = "SELECT " DISPATCH " FROM dispatch WHERE id = ?1",
    [SQL_DISPATCH_KEY] = "SELECT farm, person, task_kind, subject, nth, stage, state FROM dispatch"
                         " WHERE id = ?1",
    [SQL_DISPATCH_END] =
        "UPDATE dispatch SET state = ?2, ended_s = ?3, provider_id = ?4, reason = ?5,"
        " tries = tries + ?6, lease_by = 0, lease_until_s = 0 WHERE id = ?1 AND state = 0",
    [SQL_DISPATCH_LATER] =
        "UPDATE dispatch SET next_s = ?2, reason = ?3, tries = tries + ?4, lease_by = 0,"
        " lease_until_s = 0 WHERE id = ?1 AND state = 0",
    [SQL_DISPATCH_PROVIDER] =
        "UPDATE dispatch SET provider_id = ?2 WHERE id = ?1 AND provider_id = ''",
    [SQL_DISPATCH_NEXT] =
        "SELECT next_s FROM dispatch d WHERE state = 0 AND level = ?1 AND lease_by = 0"
        " AND NOT EXISTS (SELECT 1 FROM dispatch l WHERE l.phone = d.phone AND l.state = 0"
        " AND l.lease_by <> 0) ORDER BY next_s, id LIMIT 1",
    [SQL_DISPATCH_LEASES_END] = "SELECT lease_until_s FROM dispatch WHERE state = 0"
                                " AND lease_by <> 0 ORDER BY lease_until_s LIMIT 1",
    [SQL_DISPATCH_FREE] = "UPDATE dispatch SET lease_by = 0, lease_until_s = 0"
                          " WHERE state = 0 AND lease_by <> 0 AND lease_by <> ?1",
    [SQL_DISPATCH_ECHO] = "SELECT 1 FROM dispatch WHERE phone = ?1 AND made_s >= ?3"
                          " AND body IS NOT NULL AND body = ?2 LIMIT 1",
    [SQL_DISPATCH_PURGE] =
        "UPDATE dispatch SET body = NULL WHERE id IN (SELECT id FROM dispatch"
        " WHERE body IS NOT NULL AND state <> 0 AND made_s < ?1 ORDER BY made_s, id LIMIT ?2)",

    [SQL_RECEIPT_BY_REFERENCE] = "SELECT " RECEIPT " FROM dispatch WHERE reference = ?1",
    /* An id that a provider used twice means its newest text. */
    [SQL_RECEIPT_BY_PROVIDER] = "SELECT " RECEIPT " FROM dispatch WHERE link = ?1"
                                " AND provider_id = ?2 AND provider_id <> ''"
                                " ORDER BY id DESC LIMIT 1",
    [SQL_RECEIPT_PUT] = "UPDATE dispatch SET receipt = ?2, receipt_s = ?3 WHERE id = ?1",
    [SQL_RECEIPT_ENDS] =
        "UPDATE dispatch SET state = 1, ended_s = ?2, lease_by = 0, lease_until_s = 0"
        " WHERE id = ?1 AND state = 0",

    [SQL_QUESTION_GET] = "SELECT person, farm, request, asked, asked_s, head, arrival FROM question"
                         " WHERE person = ?1",
    [SQL_QUESTION_PUT] =
        "INSERT INTO question (person, farm, request, asked, asked_s, head, arrival)"
        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (person) DO UPDATE SET"
        " farm = excluded.farm, request = excluded.request, asked = excluded.asked,"
        " asked_s = excluded.asked_s, head = excluded.head, arrival = excluded.arrival",
    [SQL_QUESTION_DROP] = "DELETE FROM question WHERE person = ?1",

    [SQL_SEEN_GET] = "SELECT until_s FROM seen WHERE link = ?1 AND id = ?2",
    [SQL_SEEN_PUT] = "INSERT INTO seen (link, id, until_s) VALUES (?1, ?2, ?3)"
                     " ON CONFLICT (link, id) DO UPDATE SET until_s = excluded.until_s",
    [SQL_SEEN_FORGET] = "DELETE FROM seen WHERE (link, id) IN (SELECT link, id FROM seen"
                        " WHERE until_s <= ?1 ORDER BY until_s, link, id LIMIT ?2)",
    [SQL_STRANGER_PUT] =
        "INSERT INTO stranger (day, phone, texts, first_s, last_s) VALUES (?1, ?2, 1, ?3, ?3)"
        " ON CONFLICT (day, phone) DO UPDATE SET texts = texts + 1, last_s = excluded.last_s"
        " RETURNING texts",
    [SQL_STRANGER_FORGET] = "DELETE FROM stranger WHERE (day, phone) IN (SELECT day, phone"
                            " FROM stranger WHERE day < ?1 ORDER BY day, phone LIMIT ?2)",
    [SQL_COUNTER_ADD] = "INSERT INTO counter (name, value) VALUES (?1, ?2)"
                        " ON CONFLICT (name) DO UPDATE SET value = value + excluded.value",
    /* Entries are the sum of the farms' heads: counting ledger rows would read the whole ledger. */
    [SQL_COUNTERS] = "SELECT name, value FROM counter"
                     " UNION ALL SELECT 'codes', count(*) FROM code WHERE ended = 0"
                     " UNION ALL SELECT 'diary', count(*) FROM diary"
                     " UNION ALL SELECT 'entries', coalesce(sum(head), 0) FROM farm"
                     " UNION ALL SELECT 'farms', count(*) FROM farm"
                     " UNION ALL SELECT 'people', count(*) FROM person"
                     " UNION ALL SELECT 'waiting', count(*) FROM dispatch WHERE state = 0"
                     " ORDER BY 1, 2",

    [SQL_FARMS] = "SELECT id, head, name, zone, country, made_s FROM farm WHERE id > ?1"
                  " ORDER BY id LIMIT ?2",
    [SQL_TEXTS_IN] = "SELECT " TEXT_IN " FROM arrival WHERE farm = ?1"
                     " AND (arrived_s, id) < (?2, ?3) ORDER BY arrived_s DESC, id DESC LIMIT ?4",
    [SQL_TEXTS_OUT] = "SELECT " TEXT_OUT " FROM dispatch WHERE farm = ?1"
                      " AND (made_s, id) < (?2, ?3) ORDER BY made_s DESC, id DESC LIMIT ?4",
    [SQL_TEXTS_IN_PERSON] =
        "SELECT " TEXT_IN " FROM arrival WHERE farm = ?1 AND person = ?5"
        " AND (arrived_s, id) < (?2, ?3) ORDER BY arrived_s DESC, id DESC LIMIT ?4",
    [SQL_TEXTS_OUT_PERSON] = "SELECT " TEXT_OUT " FROM dispatch WHERE farm = ?1 AND person = ?5"
                             " AND (made_s, id) < (?2, ?3) ORDER BY made_s DESC, id DESC LIMIT ?4",
    [SQL_TEXT_IN_AT] = "SELECT arrived_s FROM arrival WHERE id = ?1 AND farm = ?2",
    [SQL_TEXT_OUT_AT] = "SELECT made_s FROM dispatch WHERE id = ?1 AND farm = ?2",
    /* In the order of sending: level by level. */
    [SQL_WAITING] = "SELECT id, farm, person, phone, level, made_s, next_s, useful_s, tries, reason"
                    " FROM dispatch WHERE state = 0 ORDER BY level, next_s, id LIMIT ?1",
    [SQL_WAITING_OF] = "SELECT count(*) FROM dispatch WHERE state = 0 AND farm = ?1",
};

const char *store_sql_text(enum sql which) {
    return texts[which];
}

enum err store_map(int rc, int errno_then) {
    bool no_room = errno_then == ENOSPC || errno_then == EDQUOT || errno_then == EFBIG;
    switch (rc & 0xff) {
    case SQLITE_OK:
    case SQLITE_ROW:
    case SQLITE_DONE:
        return ERR_OK;
    case SQLITE_FULL:
        return ERR_FULL;
    case SQLITE_CANTOPEN: /* a log or journal that has no room to be made is a full disk */
        return no_room ? ERR_FULL : ERR_READONLY;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return ERR_READONLY;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return ERR_BUSY;
    case SQLITE_IOERR:
        if (rc == SQLITE_IOERR_NOMEM)
            return ERR_NOMEM;
        return no_room ? ERR_FULL : ERR_IO;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
    case SQLITE_FORMAT:
        return ERR_CORRUPT;
    case SQLITE_NOMEM:
        return ERR_NOMEM;
    case SQLITE_TOOBIG:
        return ERR_TOO_LONG;
    default:
        return ERR_BUG;
    }
}

enum err store_fail(struct store *s, enum err e) {
    if (e && e != ERR_NOT_FOUND && e != ERR_CONFLICT && s->inside && !s->broken)
        s->broken = e;
    return e;
}

enum err store_rc(struct store *s, int rc) {
    enum err e = store_map(rc, sqlite3_system_errno(s->db));
    if (e && !err_info(e)->again) /* what passes by itself is for the caller to tell, once */
        LOG(LOG_ERROR, "store-error", LOG_TEXT("err", err_info(e)->name), LOG_INT("code", rc),
            LOG_TEXT("text", sqlite3_errmsg(s->db)));
    return store_fail(s, e);
}

enum err store_may_read(const struct store *s) {
    return s->broken;
}

enum err store_may_write(const struct store *s) {
    return s->inside ? s->broken : ERR_BUG;
}

static int bind(sqlite3_stmt *st, int at, const struct sql_value *v) {
    const char *p = v->text.p ? v->text.p : ""; /* a missing text is an empty one, never NULL */
    switch (v->kind) {
    case SQL_IS_INT:
        return sqlite3_bind_int64(st, at, v->integer);
    case SQL_IS_REF:
        return v->integer ? sqlite3_bind_int64(st, at, v->integer) : sqlite3_bind_null(st, at);
    case SQL_IS_TEXT:
        return sqlite3_bind_text64(st, at, p, v->text.n, SQLITE_STATIC, SQLITE_UTF8);
    case SQL_IS_BYTES:
        return sqlite3_bind_blob64(st, at, p, v->text.n, SQLITE_STATIC);
    }
    return SQLITE_MISUSE;
}

enum err store_rows(struct store *s, enum sql which, const struct sql_value *values, int count,
                    sqlite3_stmt **out) {
    sqlite3_stmt *st = s->prepared[which];
    *out = st;
    for (int i = 0; i < count; i++) {
        int rc = bind(st, i + 1, &values[i]);
        if (rc)
            return store_rc(s, rc);
    }
    return ERR_OK;
}

bool store_next(struct store *s, sqlite3_stmt *rows, enum err *e) {
    if (*e)
        return false;
    int rc = sqlite3_step(rows);
    if (rc == SQLITE_ROW)
        return true;
    if (rc != SQLITE_DONE)
        *e = store_rc(s, rc);
    return false;
}

void store_end(sqlite3_stmt *rows) {
    (void)sqlite3_reset(rows); /* repeats the error of the step, which was looked at */
    (void)sqlite3_clear_bindings(rows);
}

enum err store_run(struct store *s, enum sql which, const struct sql_value *values, int count) {
    sqlite3_stmt *st;
    enum err e = store_rows(s, which, values, count, &st);
    if (store_next(s, st, &e))
        e = store_fail(s, ERR_BUG);
    store_end(st);
    return e;
}

enum err store_one(struct store *s, enum sql which, const struct sql_value *values, int count,
                   int64_t *out) {
    sqlite3_stmt *st;
    enum err e = store_rows(s, which, values, count, &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = store_column(st, 0);
    while (store_next(s, st, &e)) /* a change that returns rows is done when they have all come */
        continue;
    store_end(st);
    return e ? e : found ? ERR_OK : ERR_NOT_FOUND;
}

int64_t store_column(sqlite3_stmt *rows, int column) {
    return sqlite3_column_int64(rows, column);
}

struct slice store_column_text(sqlite3_stmt *rows, int column) {
    const char *p = (const char *)sqlite3_column_text(rows, column);
    return (struct slice){p, p ? (size_t)sqlite3_column_bytes(rows, column) : 0};
}

struct slice store_column_copy(sqlite3_stmt *rows, int column, struct arena *a, enum err *e) {
    struct slice copy = arena_slice(a, store_column_text(rows, column));
    if (!copy.p)
        *e = ERR_NOMEM;
    return copy;
}

void *store_room(struct arena *a, void *array, int count, int *room, size_t size) {
    if (count < *room)
        return array;
    int more = *room ? *room * 2 : 16;
    void *p = arena_grow(a, array, (size_t)count, (size_t)more, size);
    if (p)
        *room = more;
    return p;
}

enum err store_ids(struct store *s, const char *name, int count, int64_t *first) {
    int64_t last = 0;
    enum err e =
        store_one(s, SQL_SEQUENCE, SQL_VALUES(SQL_TEXT(slice_of(name)), SQL_INT(count)), &last);
    if (e == ERR_NOT_FOUND) /* the schema makes every sequence */
        e = store_fail(s, ERR_CORRUPT);
    *first = last - count + 1;
    return e;
}
