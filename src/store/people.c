/* people: farms, people, who belongs where, and the names that a farm deals with. In and out: the
 * structs of store.h. Errors beyond those of every call: ERR_NOT_FOUND for what does not exist
 * (also when changing it), ERR_CONFLICT for a farm's name or a phone that another has, ERR_TOO_LONG
 * for a line over its limit. Changes of language, stopped, hours and role are rows that are only
 * ever added: no undo touches them. */
#include "store/inside.h"

enum { WHAT_LANGUAGE = 1, WHAT_STOPPED = 2, WHAT_MORNING = 3 };

static enum err read_farm(struct store *s, enum sql which, struct sql_value key, struct arena *a,
                          struct store_farm *out) {
    enum err e = store_may_read(s);
    if (e)
        return e;
    sqlite3_stmt *st;
    e = store_rows(s, which, &key, 1, &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = (struct store_farm){.id = store_column(st, 0),
                                   .head = store_column(st, 1),
                                   .name = store_column_copy(st, 2, a, &e),
                                   .zone = store_column_copy(st, 3, a, &e),
                                   .country = store_column_copy(st, 4, a, &e),
                                   .made_s = store_column(st, 5)};
    store_end(st);
    return store_fail(s, !e && !found ? ERR_NOT_FOUND : e);
}

enum err store_farm_get(struct store *s, int64_t farm, struct arena *a, struct store_farm *out) {
    return read_farm(s, SQL_FARM_GET, SQL_INT(farm), a, out);
}

enum err store_farm_by_name(struct store *s, struct slice name, struct arena *a,
                            struct store_farm *out) {
    return read_farm(s, SQL_FARM_BY_NAME, SQL_TEXT(name), a, out);
}

/* ERR_CONFLICT when `which` finds the unique text on another row than `id`. */
static enum err is_free(struct store *s, enum sql which, struct slice text, int64_t id) {
    int64_t other;
    enum err e = store_one(s, which, SQL_VALUES(SQL_TEXT(text)), &other);
    if (e == ERR_NOT_FOUND)
        return ERR_OK;
    return e ? e : other == id ? ERR_OK : ERR_CONFLICT;
}

enum err store_farm_put(struct store *s, const struct store_farm *farm, int64_t *id) {
    enum err e = store_may_write(s);
    if (!e)
        e = is_free(s, SQL_FARM_BY_NAME, farm->name, farm->id);
    if (e)
        return e;
    int64_t number = farm->id;
    if (number) {
        e = store_run(s, SQL_FARM_CHANGE,
                      SQL_VALUES(SQL_INT(number), SQL_TEXT(farm->name), SQL_TEXT(farm->zone),
                                 SQL_TEXT(farm->country)));
        if (!e && sqlite3_changes(s->db) == 0)
            e = ERR_NOT_FOUND;
    } else {
        e = store_ids(s, "farm", 1, &number);
        if (!e)
            e = store_run(s, SQL_FARM_NEW,
                          SQL_VALUES(SQL_INT(number), SQL_TEXT(farm->name), SQL_TEXT(farm->zone),
                                     SQL_TEXT(farm->country), SQL_INT(farm->made_s)));
    }
    if (!e && id)
        *id = number;
    return e;
}

static struct store_person person_row(sqlite3_stmt *st, struct arena *a, enum err *e) {
    return (struct store_person){.id = store_column(st, 0),
                                 .phone = store_column_copy(st, 1, a, e),
                                 .language = store_column_copy(st, 2, a, e),
                                 .farm = store_column(st, 3),
                                 .stopped = store_column(st, 4) != 0,
                                 .link = store_column_copy(st, 5, a, e),
                                 .heard_s = store_column(st, 6),
                                 .about_kind = store_column(st, 7),
                                 .about_subject = store_column(st, 8),
                                 .about_data = store_column_copy(st, 9, a, e),
                                 .morning_min = store_column(st, 10),
                                 .rest = store_column_copy(st, 11, a, e)};
}

static enum err read_person(struct store *s, enum sql which, struct sql_value key, struct arena *a,
                            struct store_person *out) {
    enum err e = store_may_read(s);
    if (e)
        return e;
    sqlite3_stmt *st;
    e = store_rows(s, which, &key, 1, &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = person_row(st, a, &e);
    store_end(st);
    return store_fail(s, !e && !found ? ERR_NOT_FOUND : e);
}

enum err store_person_by_phone(struct store *s, struct slice phone, struct arena *a,
                               struct store_person *out) {
    return read_person(s, SQL_PERSON_BY_PHONE, SQL_TEXT(phone), a, out);
}

enum err store_person_get(struct store *s, int64_t id, struct arena *a, struct store_person *out) {
    return read_person(s, SQL_PERSON_GET, SQL_INT(id), a, out);
}

static enum err history(struct store *s, int64_t person, int64_t now_s, int what,
                        struct slice value) {
    return store_run(s, SQL_PERSON_HISTORY,
                     SQL_VALUES(SQL_INT(person), SQL_INT(now_s), SQL_INT(what), SQL_TEXT(value)));
}

struct changes {
    bool language, stopped, morning;
};

/* What is about to change, against what stands. A new person begins with no language, not stopped,
 * and the usual hour; whatever else is given at once is the first row of the history. */
static enum err changes_of(struct store *s, const struct store_person *p, struct changes *out) {
    *out = (struct changes){p->language.n > 0, p->stopped, p->morning_min != STORE_MORNING_MIN};
    if (!p->id)
        return ERR_OK;
    sqlite3_stmt *st;
    enum err e = store_rows(s, SQL_PERSON_WAS, SQL_VALUES(SQL_INT(p->id)), &st);
    bool found = store_next(s, st, &e);
    if (found)
        *out = (struct changes){!slice_eq(store_column_text(st, 0), p->language),
                                (store_column(st, 1) != 0) != p->stopped,
                                store_column(st, 2) != p->morning_min};
    store_end(st);
    return !e && !found ? ERR_NOT_FOUND : e;
}

static enum err write_changes(struct store *s, int64_t person, const struct store_person *p,
                              const struct changes *changes, int64_t now_s) {
    char minutes[24];
    enum err e = ERR_OK;
    (void)sqlite3_snprintf((int)sizeof minutes, minutes, "%lld", (long long)p->morning_min);
    if (changes->language)
        e = history(s, person, now_s, WHAT_LANGUAGE, p->language);
    if (!e && changes->stopped)
        e = history(s, person, now_s, WHAT_STOPPED, p->stopped ? SLICE("1") : SLICE("0"));
    if (!e && changes->morning)
        e = history(s, person, now_s, WHAT_MORNING, slice_of(minutes));
    return e;
}

enum err store_person_put(struct store *s, const struct store_person *p, int64_t now_s,
                          int64_t *id) {
    struct changes changes = {0};
    enum err e = store_may_write(s);
    if (!e && (p->about_data.n > STORE_ABOUT_MAX || p->rest.n > STORE_REST_MAX))
        e = store_fail(s, ERR_TOO_LONG);
    if (!e)
        e = is_free(s, SQL_PERSON_BY_PHONE, p->phone, p->id);
    if (!e)
        e = changes_of(s, p, &changes);
    int64_t number = p->id;
    if (!e && !number)
        e = store_ids(s, "person", 1, &number);
    if (!e)
        e = store_run(
            s, p->id ? SQL_PERSON_CHANGE : SQL_PERSON_NEW,
            SQL_VALUES(SQL_INT(number), SQL_TEXT(p->phone), SQL_TEXT(p->language), SQL_REF(p->farm),
                       SQL_INT(p->stopped), SQL_TEXT(p->link), SQL_INT(p->heard_s),
                       SQL_INT(p->about_kind), SQL_INT(p->about_subject), SQL_TEXT(p->about_data),
                       SQL_INT(p->morning_min), SQL_TEXT(p->rest.p ? p->rest : SLICE(""))));
    if (!e)
        e = write_changes(s, number, p, &changes, now_s);
    if (!e && id)
        *id = number;
    return e;
}

enum err store_member_put(struct store *s, int64_t farm, int64_t person, enum store_role role,
                          int64_t now_s) {
    enum err e = store_may_write(s);
    if (e)
        return e;
    int64_t was = 0;
    e = store_one(s, SQL_MEMBER_WAS, SQL_VALUES(SQL_INT(farm), SQL_INT(person)), &was);
    if (e && e != ERR_NOT_FOUND)
        return e;
    if (was == (int64_t)role) /* without a row it is nobody's, too */
        return ERR_OK;
    if (role == STORE_NOBODY)
        e = store_run(s, SQL_MEMBER_END, SQL_VALUES(SQL_INT(farm), SQL_INT(person)));
    else
        e = store_run(s, SQL_MEMBER_PUT, SQL_VALUES(SQL_INT(farm), SQL_INT(person), SQL_INT(role)));
    if (!e)
        e = store_run(s, SQL_MEMBER_HISTORY,
                      SQL_VALUES(SQL_INT(farm), SQL_INT(person), SQL_INT(now_s), SQL_INT(role)));
    return e;
}

enum err store_member_ended(struct store *s, int64_t farm, int64_t person, bool *ended) {
    int64_t last = STORE_OWNER;
    *ended = false;
    enum err e = store_may_read(s);
    if (!e)
        e = store_one(s, SQL_MEMBER_LAST, SQL_VALUES(SQL_INT(farm), SQL_INT(person)), &last);
    *ended = !e && last == STORE_NOBODY;
    return e == ERR_NOT_FOUND ? ERR_OK : e;
}

enum err store_members(struct store *s, int64_t farm, struct arena *a, struct store_member **out,
                       int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e)
        return e;
    int room = 0;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_MEMBERS, SQL_VALUES(SQL_INT(farm)), &st);
    while (store_next(s, st, &e)) {
        struct store_member *rows = store_room(a, *out, *count, &room, sizeof *rows);
        if (!rows) {
            e = ERR_NOMEM;
            break;
        }
        *out = rows;
        rows[*count].person = person_row(st, a, &e);
        rows[*count].role = (enum store_role)store_column(st, 12);
        rows[*count].farms = store_column(st, 13);
        ++*count;
    }
    store_end(st);
    return store_fail(s, e);
}

enum err store_farms_of(struct store *s, int64_t person, struct arena *a,
                        struct store_belongs **out, int *count) {
    *out = NULL;
    *count = 0;
    enum err e = store_may_read(s);
    if (e)
        return e;
    int room = 0;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_FARMS_OF, SQL_VALUES(SQL_INT(person)), &st);
    while (store_next(s, st, &e)) {
        struct store_belongs *rows = store_room(a, *out, *count, &room, sizeof *rows);
        if (!rows) {
            e = ERR_NOMEM;
            break;
        }
        *out = rows;
        rows[(*count)++] =
            (struct store_belongs){store_column(st, 0), (enum store_role)store_column(st, 1),
                                   store_column_copy(st, 2, a, &e)};
    }
    store_end(st);
    return store_fail(s, e);
}

/* -- parties ------------------------------------------------------------------------------------
 */

enum err store_party_find(struct store *s, int64_t farm, struct slice name, int64_t *id) {
    enum err e = store_may_read(s);
    return e ? e : store_one(s, SQL_PARTY_FIND, SQL_VALUES(SQL_INT(farm), SQL_TEXT(name)), id);
}

enum err store_party_put(struct store *s, int64_t farm, struct slice name, int64_t now_s,
                         int64_t *id) {
    enum err e = store_may_write(s);
    if (!e && !name.n)
        e = store_fail(s, ERR_BUG);
    if (!e)
        e = store_party_find(s, farm, name, id);
    if (e != ERR_NOT_FOUND)
        return e;
    e = store_run(s, SQL_PARTY_PUT, SQL_VALUES(SQL_INT(farm), SQL_TEXT(name), SQL_INT(now_s)));
    return e ? e : store_party_find(s, farm, name, id);
}

enum err store_party_name(struct store *s, int64_t farm, int64_t id, struct arena *a,
                          struct slice *name) {
    enum err e = store_may_read(s);
    if (e)
        return e;
    sqlite3_stmt *st;
    e = store_rows(s, SQL_PARTY_NAME, SQL_VALUES(SQL_INT(farm), SQL_INT(id)), &st);
    bool found = store_next(s, st, &e);
    if (found)
        *name = store_column_copy(st, 0, a, &e);
    store_end(st);
    return store_fail(s, !e && !found ? ERR_NOT_FOUND : e);
}
