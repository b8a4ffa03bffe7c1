/* people: codes and members between the store and a turn. In: the codes that live for a phone; out:
 * rows of those that were used, missed or made, of the member who comes, goes or changes his role.
 * The digits of a code are never stored by themselves: what is kept is a keyed hash of them with
 * everything that they are for, so that the same digits fit no other purpose, farm, phone or
 * person. (The text that carries them lies among the texts until those are purged; the code is dead
 * then.)
 *
 * A code whose asker is no owner of its farm any more is passed over. ERR_CONFLICT: a code ended
 * between reading and using it; the text is then read again. Errors of the store pass through. */
#include "desk/inside.h"

#include <limits.h>
#include <string.h>

#include "base/point.h"
#include "sms/number.h"

enum { DAY_S = 86400 };

_Static_assert((int)PURPOSE_ADD == (int)STORE_CODE_ADD &&
                   (int)PURPOSE_REMOVE == (int)STORE_CODE_REMOVE &&
                   (int)PURPOSE_JOIN == (int)STORE_CODE_JOIN && (int)ROLE_NONE == (int)STORE_NOBODY,
               "the turn's purposes and roles are the store's");

bool desk_may_text(void *desk, struct slice phone) {
    const struct desk *d = desk;
    const struct number_plan *plan = number_plan_of_e164(phone);
    for (int i = 0; i < d->o.country_count && plan; i++) {
        /* by calling code, so that countries that share one are one */
        const struct number_plan *allowed = number_plan_of(d->o.countries[i]);
        if (allowed && strcmp(allowed->code, plan->code) == 0)
            return true;
    }
    return false;
}

enum err desk_load_key(struct desk *d) {
    enum err e = store_secret_get(d->o.store, d->key);
    if (e != ERR_NOT_FOUND)
        return e;
    d->o.random(d->o.context, d->key, sizeof d->key);
    return store_secret_put(d->o.store, d->key);
}

/* -- codes ---------------------------------------------------------------------------------------
 */

static enum err hash_code(struct desk *d, const struct store_code *c, int64_t digits,
                          unsigned char out[STORE_HASH_BYTES]) {
    struct buf text = buf_make_in(&d->arena, 200);
    if (!d->o.keyed_hash)
        return ERR_BUG;
    buf_putf(&text, "%lld %d %d %lld %.*s %.*s", (long long)digits, (int)c->purpose, (int)c->role,
             (long long)c->farm, SLICE_ARG(c->phone), SLICE_ARG(c->subject));
    d->o.keyed_hash(d->o.context, d->key, buf_slice(&text), out);
    return buf_err(&text);
}

/* In the same time wherever the two differ. */
static bool same_hash(const unsigned char *a, const unsigned char *b) {
    unsigned differ = 0;
    for (int i = 0; i < STORE_HASH_BYTES; i++)
        differ |= (unsigned)(a[i] ^ b[i]);
    return differ == 0;
}

static bool code_fits(void *context, int64_t id, int64_t digits) {
    struct desk *d = context;
    unsigned char hash[STORE_HASH_BYTES];
    for (int i = 0; i < d->loaded.turn.code_count; i++) {
        const struct store_code *c = &d->loaded.codes[i];
        if (c->id == id)
            return !hash_code(d, c, digits, hash) && same_hash(hash, c->hash);
    }
    return false;
}

static int codes_made(void *context, struct slice phone) {
    struct desk *d = context;
    int count;
    if (store_codes_made(d->o.store, phone, d->loaded.turn.now_s - DAY_S, &count))
        return INT_MAX; /* the transaction is lost anyway */
    return count;
}

/* Whether it counts now; then as the turn sees it. */
static enum err code_of_row(struct desk *d, const struct store_code *row, struct turn_code *out,
                            bool *counts) {
    struct store_farm farm;
    struct store_member *members = NULL;
    int count = 0;
    *counts = false;
    enum err e = store_farm_get(d->o.store, row->farm, &d->arena, &farm);
    if (!e)
        e = store_members(d->o.store, row->farm, &d->arena, &members, &count);
    for (int i = 0; i < count && !e; i++) {
        const struct store_member *m = &members[i];
        if (m->person.id != row->asker || m->role != STORE_OWNER)
            continue;
        *counts = true;
        *out =
            (struct turn_code){.id = row->id,
                               .purpose = (enum turn_purpose)row->purpose,
                               .farm = row->farm,
                               .farm_name = farm.name,
                               .farm_people = count,
                               .role = (enum turn_role)row->role,
                               .subject = row->subject,
                               .asker = m->person.phone,
                               .asker_language = words_find(d->o.grammar.words, m->person.language),
                               .asker_farms = (int)m->farms};
    }
    return e;
}

/* An owner's codes count on the farm that they are of, whatever farm he texts to when they come. */
static enum err load_codes(struct desk *d, struct loaded *l, struct slice phone, int64_t now_s) {
    enum { LOOKED_AT = 4 * TURN_CODES_MAX };
    struct store_code *rows;
    int count;
    enum err e = store_codes_live(d->o.store, phone, now_s, LOOKED_AT, &d->arena, &rows, &count);
    for (int i = 0; i < count && !e && l->turn.code_count < TURN_CODES_MAX; i++) {
        bool counts = false;
        if (rows[i].purpose != STORE_CODE_JOIN && rows[i].farm != l->turn.farm_id)
            continue;
        e = code_of_row(d, &rows[i], &l->turn.codes[l->turn.code_count], &counts);
        if (!e && counts)
            l->codes[l->turn.code_count++] = rows[i];
    }
    l->turn.code_fits = code_fits;
    l->turn.codes_made = codes_made;
    l->turn.may_text = desk_may_text;
    d->o.random(d->o.context, l->turn.random, sizeof l->turn.random);
    return e;
}

static enum err load_farms(struct desk *d, struct loaded *l, int64_t person) {
    struct store_belongs *rows;
    int count;
    enum err e = store_farms_of(d->o.store, person, &d->arena, &rows, &count);
    if (e)
        return e;
    struct turn_farm *farms = ARENA_ARRAY(&d->arena, (size_t)count + 1, struct turn_farm);
    for (int i = 0; farms && i < count; i++)
        farms[i] = (struct turn_farm){rows[i].farm, rows[i].name};
    l->turn.farms = farms;
    l->turn.farm_count = farms ? count : 0;
    return farms ? ERR_OK : ERR_NOMEM;
}

enum err desk_load_people(struct desk *d, struct loaded *l, const struct store_person *person,
                          int64_t now_s) {
    enum err e = load_codes(d, l, person->phone, now_s);
    return e ? e : load_farms(d, l, person->id);
}

/* -- names ---------------------------------------------------------------------------------------
 */

int64_t desk_party_id(void *context, struct slice name) {
    struct desk *d = context;
    int64_t id;
    if (!name.n ||
        store_party_put(d->o.store, d->loaded.turn.farm_id, name, d->loaded.turn.now_s, &id))
        return 0; /* after an error of the store nothing of the turn will stand */
    return id;
}

struct slice desk_party_name(void *context, int64_t party) {
    struct desk *d = context;
    struct slice name = SLICE("");
    enum err e = store_party_name(d->o.store, d->loaded.turn.farm_id, party, &d->arena, &name);
    return e ? SLICE("") : name;
}

/* -- what came of it
 * -------------------------------------------------------------------------------
 */

static enum err save_code(struct desk *d, const struct loaded *l, int64_t asker) {
    const struct turn_new_code *n = &l->turn.new_code;
    struct store_code row = {.farm = l->turn.farm_id,
                             .asker = asker,
                             .phone = n->phone,
                             .purpose = (enum store_code_purpose)n->purpose,
                             .role = (enum store_role)n->role,
                             .subject = n->subject,
                             .made_s = l->turn.now_s,
                             .until_s = n->until_s};
    enum err e = hash_code(d, &row, n->digits, row.hash);
    return e ? e : store_code_put(d->o.store, &row, NULL);
}

/* He who goes keeps his row, his language and his consent, and texts to another farm of his. */
static enum err leave(struct desk *d, int64_t farm, struct store_person *row, int64_t now_s) {
    struct store_belongs *rest;
    struct store_question q;
    int count;
    enum err e = store_member_put(d->o.store, farm, row->id, STORE_NOBODY, now_s);
    if (!e)
        e = store_question_get(d->o.store, row->id, &d->arena, &q);
    if (!e && q.farm == farm)
        e = store_question_drop(d->o.store, row->id);
    if (e && e != ERR_NOT_FOUND)
        return e;
    e = store_farms_of(d->o.store, row->id, &d->arena, &rest, &count);
    if (e || row->farm != farm)
        return e;
    row->farm = count ? rest[0].farm : 0;
    row->about_kind = row->about_subject = 0;
    row->about_data = SLICE("");
    return store_person_put(d->o.store, row, now_s, NULL);
}

static enum err save_member(struct desk *d, const struct loaded *l, struct slice link) {
    const struct turn_member *m = &l->turn.member;
    struct store_person row;
    int64_t now_s = l->turn.now_s, id;
    enum err e = store_person_by_phone(d->o.store, m->phone, &d->arena, &row);
    if (e == ERR_NOT_FOUND && m->role != ROLE_NONE) {
        row = (struct store_person){.phone = m->phone,
                                    .language = SLICE(""),
                                    .link = link,
                                    .about_data = SLICE(""),
                                    .morning_min = STORE_MORNING_MIN};
        e = ERR_OK;
    }
    if (e)
        return e;
    if (m->role == ROLE_NONE)
        return leave(d, m->farm, &row, now_s);
    if (!l->farm) { /* a stranger who joins has agreed to be texted */
        row.stopped = false;
        row.heard_s = now_s;
        row.link = link;
    }
    if (!row.language.n && m->language >= 0)
        row.language = slice_of(words_code(d->o.grammar.words, m->language));
    if (!row.farm)
        row.farm = m->farm;
    e = store_person_put(d->o.store, &row, now_s, &id);
    return e ? e : store_member_put(d->o.store, m->farm, id, (enum store_role)m->role, now_s);
}

enum err desk_save_people(struct desk *d, const struct loaded *l, int64_t asker,
                          struct slice link) {
    const struct turn *t = &l->turn;
    enum err e = t->code_used ? store_code_use(d->o.store, t->code_used, t->now_s) : ERR_OK;
    POINT("desk-code");
    for (int i = 0; i < t->missed_count && !e; i++)
        e = store_code_miss(d->o.store, t->codes_missed[i], CODE_TRIES, t->now_s);
    if (!e && t->missed_count)
        e = store_count(d->o.store, "codes-missed", 1);
    if (!e && t->code_used)
        e = store_count(d->o.store, "codes-used", 1);
    if (!e && t->withdrawn.n)
        e = store_code_withdraw(d->o.store, t->farm_id, STORE_CODE_JOIN, t->withdrawn, t->now_s);
    if (!e && t->new_code.purpose)
        e = save_code(d, l, asker);
    if (!e && t->member.farm)
        e = save_member(d, l, link);
    return e;
}

enum err desk_put_text_to(struct desk *d, const struct turn_text *text, int64_t farm,
                          struct slice link, int64_t now_s) {
    struct store_person row = {.link = SLICE("")};
    enum err e = store_person_by_phone(d->o.store, text->to, &d->arena, &row);
    if (e && e != ERR_NOT_FOUND)
        return e;
    return desk_put_text(d, farm, row.id, row.link.n ? row.link : link, text->to, text, now_s);
}

/* -- a stranger
 * ------------------------------------------------------------------------------------
 */

static enum err save_join(struct desk *d, struct loaded *l, struct slice link) {
    struct slice phone = l->people[0].phone;
    enum err e = desk_save_people(d, l, 0, link);
    for (int i = 0; i < l->turn.text_count && !e; i++) {
        struct turn_text *text = &l->turn.texts[i];
        if (!text->to.n) {
            text->to = phone;
            text->farm = l->turn.member.farm;
        }
        e = desk_put_text_to(d, text, text->farm, link, l->turn.now_s);
    }
    return e;
}

/* Whoever once got a text from us, an invitation too, can end them: later ones are not sent. */
enum err desk_take_consent(struct desk *d, const struct desk_item *item,
                           const struct store_person *person, struct slice phone, int64_t now_s,
                           bool *stopped) {
    struct store_person row = *person;
    struct store_code *codes;
    int count = 0;
    bool start = row.id && row.stopped && text_is_start(d->o.grammar.reader, item->text);
    *stopped = false;
    if (!start && !text_is_stop(d->o.grammar.reader, item->text))
        return ERR_OK;
    enum err e = store_codes_live(d->o.store, phone, now_s, 1, &d->arena, &codes, &count);
    if (e || (!row.id && !count))
        return e;
    if (!row.id)
        row = (struct store_person){.phone = phone,
                                    .language = SLICE(""),
                                    .link = item->link,
                                    .about_data = SLICE(""),
                                    .morning_min = STORE_MORNING_MIN};
    *stopped = row.stopped = !start;
    return store_person_put(d->o.store, &row, now_s, NULL);
}

enum err desk_take_join(struct desk *d, struct desk_item *item, const struct store_person *person,
                        struct slice phone, int64_t now_s, bool *taken) {
    struct loaded *l = &d->loaded;
    struct store_print print;
    *taken = false;
    memset(l, 0, sizeof *l);
    l->turn.words = d->o.grammar.words;
    l->turn.reader = d->o.grammar.reader;
    l->turn.language = desk_language(d, SLICE(""));
    l->turn.zone = &zone_utc;
    l->turn.now_s = now_s;
    l->turn.arena = &d->arena;
    l->turn.context = d;
    l->people[0] =
        (struct turn_person){.id = person->id,
                             .phone = phone,
                             .language = words_find(d->o.grammar.words, person->language),
                             .stopped = person->stopped};
    l->turn.people = l->people;
    l->turn.people_count = 1;
    enum err e = load_codes(d, l, phone, now_s);
    if (e || !l->turn.code_count)
        return e;
    memcpy(print.bytes, item->print, sizeof print.bytes);
    store_danger(d->o.store, &print);
    e = turn_take_stranger(&l->turn, item->text, taken);
    store_safe(d->o.store);
    return e ? e : save_join(d, l, item->link);
}
