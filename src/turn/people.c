/* people: who belongs to a farm, by text. In: a request and the codes that live for the sender's
 * phone; out: codes to make, the one that was used, those that were missed, a member who comes,
 * goes or changes his role, and texts. Nothing is stored here and no code is kept: the desk hashes
 * what is made and asks its hashes whether digits fit.
 *
 * Whoever can send in the name of a phone but cannot read it gets nothing done: each code goes to
 * the phone that must send it back, three wrong ones make it void, and what a wrong one is answered
 * is the same whether there was a code or not. Codes are six digits, drawn evenly: a guess hits one
 * in 900000 (three tries of five codes a day: one in 60000 days).
 *
 * Limits: one code made, one used, one member changed by a text; ERR_BUG when the random bytes run
 * out, which 21 draws of 3.4 in 100 each do not. */
#include "sms/number.h"
#include "turn/inside.h"

enum { MINUTE_S = 60, HOUR_S = 3600, DAY_S = 86400 };

static const struct {
    enum request_kind kind;
    enum turn_role role;
} roles[] = {{REQUEST_WORKER, ROLE_WORKER},
             {REQUEST_ADVISER, ROLE_ADVISER},
             {REQUEST_WATCHER, ROLE_WATCHER}};

static enum turn_role role_of(enum request_kind kind) {
    for (size_t i = 0; i < sizeof roles / sizeof roles[0]; i++)
        if (roles[i].kind == kind)
            return roles[i].role;
    return ROLE_NONE;
}

/* The word that a role is asked for with is its name, too. */
static struct reply_value role_value(enum turn_role role) {
    for (size_t i = 0; i < sizeof roles / sizeof roles[0]; i++)
        if (roles[i].role == role)
            return V_KIND(roles[i].kind);
    return V_KIND(REQUEST_WORKER);
}

static int person_of(const struct turn *t, struct slice phone) {
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role != ROLE_NONE && slice_eq(t->people[i].phone, phone))
            return i;
    return -1;
}

/* To a phone that is none of the farm's people's, or belongs to another farm's turn. */
static void send_to(struct turn *t, struct slice to, int64_t farm, int64_t useful_s,
                    struct slice body) {
    if (t->text_count == TURN_TEXTS_MAX) {
        if (!t->e)
            t->e = ERR_NOMEM;
        return;
    }
    t->texts[t->text_count++] = (struct turn_text){
        .level = LEVEL_STEP, .body = body, .useful_s = useful_s, .to = to, .farm = farm};
}

/* -- codes ---------------------------------------------------------------------------------------
 */

/* Evenly from CODE_LEAST to CODE_MOST: a draw of 24 bits above the last whole multiple of the range
 * is thrown away, else the low codes would come oftener. */
static int64_t draw(struct turn *t) {
    enum { RANGE = CODE_MOST - CODE_LEAST + 1, DRAWN = 1 << 24, FAIR = DRAWN / RANGE * RANGE };
    for (size_t i = 0; i + 3 <= sizeof t->random; i += 3) {
        int drawn = t->random[i] << 16 | t->random[i + 1] << 8 | t->random[i + 2];
        if (drawn < FAIR)
            return CODE_LEAST + drawn % RANGE;
    }
    t->e = t->e ? t->e : ERR_BUG;
    return CODE_LEAST;
}

/* False, and said so: that phone has had its codes for today. */
static bool make_code(struct turn *t, enum turn_purpose purpose, enum turn_role role,
                      struct slice phone, struct slice subject) {
    if (t->codes_made(t->context, phone) >= CODES_A_DAY) {
        TURN_SAY(t, CODES_MANY);
        return false;
    }
    int64_t holds_s = purpose == PURPOSE_JOIN ? CODE_JOIN_H * HOUR_S : CODE_MIN * MINUTE_S;
    t->new_code =
        (struct turn_new_code){purpose, role, phone, subject, t->now_s + holds_s, draw(t)};
    return true;
}

/* The code that these digits are, of those that the text asked for; else each of them was missed.
 */
static const struct turn_code *fitting(struct turn *t, int64_t digits, bool join, bool owners) {
    if (digits < CODE_LEAST || digits > CODE_MOST)
        return NULL;
    for (int i = 0; i < t->code_count; i++) {
        const struct turn_code *c = &t->codes[i];
        if ((c->purpose == PURPOSE_JOIN ? join : owners) &&
            t->code_fits(t->context, c->id, digits)) {
            t->code_used = c->id;
            return c;
        }
    }
    for (int i = 0; i < t->code_count; i++)
        if (t->codes[i].purpose == PURPOSE_JOIN ? join : owners)
            t->codes_missed[t->missed_count++] = t->codes[i].id;
    return NULL;
}

/* -- with the right code
 * ---------------------------------------------------------------------------
 */

static void invite(struct turn *t, const struct turn_code *c) {
    if (!make_code(t, PURPOSE_JOIN, c->role, c->subject, c->subject))
        return;
    const struct reply invitation = {REPLY_INVITED,
                                     {V_TEXT(t->farm_name), role_value(c->role),
                                      V_KIND(REQUEST_JOIN), V_NUMBER(t->new_code.digits)}};
    send_to(t, c->subject, 0, t->new_code.until_s, turn_render(t, t->sender, &invitation));
    TURN_SAY(t, ASKED_TO_JOIN, V_TEXT(c->subject), role_value(c->role), V_KIND(REQUEST_REMOVE));
}

static void change_role(struct turn *t, const struct turn_code *c, int person) {
    const struct reply yours = {REPLY_ROLE_YOURS, {V_TEXT(t->farm_name), role_value(c->role)}};
    t->people[person].role = c->role;
    t->member = (struct turn_member){t->farm_id, c->subject, c->role, -1};
    turn_send_plain(t, person, LEVEL_STEP, t->now_s + DAY_S, turn_render(t, person, &yours));
    TURN_SAY(t, ROLE_SET, V_TEXT(c->subject), role_value(c->role));
}

static void add(struct turn *t, const struct turn_code *c) {
    int person = person_of(t, c->subject);
    if (person >= 0 && t->people[person].role == c->role)
        TURN_SAY(t, ROLE_SAME, V_TEXT(c->subject), role_value(c->role));
    else if (person >= 0)
        change_role(t, c, person);
    else
        invite(t, c);
}

static void take_off(struct turn *t, const struct turn_code *c) {
    int person = person_of(t, c->subject);
    if (person < 0) {
        TURN_SAY(t, NOT_HERE, V_TEXT(c->subject));
        return;
    }
    const struct reply yours = {REPLY_REMOVED_YOU, {V_TEXT(t->farm_name)}};
    turn_send_plain(t, person, LEVEL_STEP, t->now_s + DAY_S, turn_render(t, person, &yours));
    t->people[person].role = ROLE_NONE;
    t->member = (struct turn_member){t->farm_id, c->subject, ROLE_NONE, -1};
    t->withdrawn = c->subject;
    TURN_SAY(t, REMOVED, V_TEXT(c->subject));
}

static void tell_asker(struct turn *t, const struct turn_code *c) {
    int language = c->asker_language >= 0 ? c->asker_language : t->language;
    const struct reply accepted = {
        REPLY_JOIN_ACCEPTED, {V_TEXT(c->subject), role_value(c->role), V_KIND(REQUEST_REMOVE)}};
    struct slice body = turn_render_in(t, language, &accepted);
    if (c->asker_farms > 1)
        body = turn_with_farm(t, language, c->farm_name, body);
    send_to(t, c->asker, c->farm, t->now_s + DAY_S, body);
}

static void join(struct turn *t, const struct turn_code *c) {
    struct turn_person *sender = turn_sender(t);
    if (c->farm_people >= TURN_FARM_PEOPLE_MAX) {
        TURN_SAY(t, FARM_FULL, V_NUMBER(c->farm_people));
        return;
    }
    struct reply joined = {
        REPLY_JOINED,
        {V_TEXT(c->farm_name), role_value(c->role), V_KIND(REQUEST_HELP), V_KIND(REQUEST_STOP)}};
    if (t->farm && c->farm != t->farm_id)
        joined = (struct reply){REPLY_JOINED_TOO,
                                {V_TEXT(c->farm_name), role_value(c->role), V_TEXT(t->farm_name),
                                 V_KIND(REQUEST_FARM)}};
    sender->stopped = false; /* he agrees to be texted */
    sender->changed = true;
    t->member = (struct turn_member){c->farm, sender->phone, c->role, sender->language};
    turn_send_plain(t, t->sender, LEVEL_ANSWER, INT64_MAX, turn_render(t, t->sender, &joined));
    tell_asker(t, c);
}

static void act(struct turn *t, const struct turn_code *c) {
    if (c->purpose == PURPOSE_JOIN)
        join(t, c);
    else if (turn_sender(t)->role != ROLE_OWNER || c->farm != t->farm_id)
        TURN_SAY(t, CODE_WRONG);
    else if (c->purpose == PURPOSE_ADD)
        add(t, c);
    else
        take_off(t, c);
}

void turn_do_code(struct turn *t, const struct request *r) {
    bool joins = r->kind == REQUEST_JOIN;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_SAY(t, CODE_MISSING, V_KIND(r->kind));
        return;
    }
    const struct turn_code *c = fitting(t, r->count, joins, !joins);
    if (c)
        act(t, c);
    else
        TURN_SAY(t, CODE_WRONG);
}

/* The whole text is six digits, in any script. */
static bool six_digits(struct turn *t, struct slice text, int64_t *out) {
    enum { LOOKED_AT = 100, DIGITS = 6 };
    struct buf folded = buf_make_in(t->arena, 4 * LOOKED_AT);
    if (text.n > LOOKED_AT || words_fold(text, &folded))
        return false;
    struct slice s = slice_trim(buf_slice(&folded));
    for (size_t i = 0; i < s.n; i++)
        if (s.p[i] < '0' || s.p[i] > '9')
            return false;
    return s.n == DIGITS && s.p[0] != '0' && !slice_int(s, out);
}

/* Without its word, as people send it: a code before all else. While a question is open it may be
 * its answer, too; then a wrong one is missed all the same, or guesses would be free. */
bool turn_bare_code(struct turn *t, struct slice text) {
    int64_t digits;
    if (!six_digits(t, text, &digits))
        return false;
    const struct turn_code *c = fitting(t, digits, true, true);
    if (!c && turn_question_open(t))
        return false;
    if (c)
        act(t, c);
    else
        TURN_SAY(t, CODE_WRONG);
    return true;
}

enum err turn_take_stranger(struct turn *t, struct slice text, bool *taken) {
    struct text_result read;
    int64_t digits;
    *taken = false;
    if (!six_digits(t, text, &digits)) {
        enum err e = text_read(t->reader, turn_language(t, t->sender), text, t->arena, &read);
        if (e || read.reading != TEXT_REQUEST || read.doubt != TEXT_DOUBT_NONE ||
            read.request.kind != REQUEST_JOIN || !request_has(&read.request, SLOT_COUNT))
            return e;
        digits = read.request.count;
        if (turn_sender(t)->language < 0)
            turn_sender(t)->language = read.language;
    }
    const struct turn_code *c = fitting(t, digits, true, false);
    *taken = c != NULL;
    if (c)
        join(t, c);
    return t->e;
}

/* -- what an owner asks for
 * -------------------------------------------------------------------------
 */

/* Said why not: a digit slipped, or a country that is not served. */
static bool can_be_texted(struct turn *t, struct slice typed, struct number *number) {
    const struct number_plan *home = number_plan_of(t->country), *plan;
    if (!number_normalise(typed, home, number) && person_of(t, slice_of(number->text)) >= 0)
        return true; /* texts go there already */
    enum number_size size = number_measure(typed, home, &plan);
    if (size == NUMBER_SHORT || size == NUMBER_LONG) {
        struct buf before = buf_make_in(t->arena, 12);
        buf_putf(&before, "+%s%s%s", plan->code, plan->trunk[0] ? "/" : "", plan->trunk);
        int digits = plan->mobile[size == NUMBER_LONG && plan->mobile[1]];
        const struct reply r = {size == NUMBER_SHORT ? REPLY_PHONE_SHORT : REPLY_PHONE_LONG,
                                {V_TEXT(typed), V_NUMBER(digits), V_TEXT(buf_slice(&before))}};
        turn_say(t, &r);
        return false;
    }
    bool good = size == NUMBER_MOBILE && !number_normalise(typed, home, number) &&
                (!t->may_text || t->may_text(t->context, slice_of(number->text)));
    if (!good)
        TURN_SAY(t, PHONE_WRONG, V_TEXT(typed));
    return good;
}

/* The number named, as it is stored; false, and said why, when it cannot be texted or is his own.
 */
static bool subject_of(struct turn *t, const struct request *r, struct slice *subject) {
    struct number number;
    struct slice typed = slice_of(r->phone);
    if (turn_sender(t)->role != ROLE_OWNER) {
        TURN_SAY(t, OWNER_DOES);
        return false;
    }
    if (!request_has(r, SLOT_PHONE)) {
        TURN_SAY(t, PHONE_MISSING, V_KIND(r->kind));
        return false;
    }
    if (!can_be_texted(t, typed, &number))
        return false;
    *subject = arena_slice(t->arena, slice_of(number.text));
    if (!subject->p && !t->e)
        t->e = ERR_NOMEM;
    if (slice_eq(*subject, turn_sender(t)->phone)) {
        TURN_SAY(t, PHONE_OWN);
        return false;
    }
    return !t->e;
}

void turn_do_add(struct turn *t, const struct request *r) {
    enum turn_role role = role_of(r->kind);
    struct slice subject;
    if (!subject_of(t, r, &subject))
        return;
    int person = person_of(t, subject);
    if (person >= 0 && t->people[person].role == role) {
        TURN_SAY(t, ROLE_SAME, V_TEXT(subject), role_value(role));
        return;
    }
    if (person < 0 && t->people_count >= TURN_FARM_PEOPLE_MAX) {
        TURN_SAY(t, FARM_FULL, V_NUMBER(t->people_count));
        return;
    }
    if (make_code(t, PURPOSE_ADD, role, turn_sender(t)->phone, subject))
        TURN_SAY(t, CODE_TO_ADD, V_TEXT(subject), role_value(role), V_KIND(REQUEST_CODE),
                 V_NUMBER(t->new_code.digits));
}

void turn_do_remove(struct turn *t, const struct request *r) {
    struct slice subject;
    if (!subject_of(t, r, &subject))
        return;
    if (person_of(t, subject) < 0) { /* the same words with an invitation and without */
        t->withdrawn = subject;
        TURN_SAY(t, NOT_HERE, V_TEXT(subject));
        return;
    }
    if (make_code(t, PURPOSE_REMOVE, ROLE_NONE, turn_sender(t)->phone, subject))
        TURN_SAY(t, CODE_TO_REMOVE, V_TEXT(subject), V_KIND(REQUEST_CODE),
                 V_NUMBER(t->new_code.digits));
}
