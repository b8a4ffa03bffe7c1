/* money: the farm's currency, sums as texts give them and as they are shown, who may see and set
 * them, and buyers by their names. In: a request; out: whole numbers of the currency's smallest
 * unit, or one question or refusal, after which nothing of the text is recorded. All sums are
 * integers from the text on; trade's money.h adds and divides them. Limits: a farm has one
 * currency; a sum in another one is refused, not changed. */
#include "trade/money.h"

#include <string.h>

#include "turn/inside.h"

enum { MILLI = 1000 };

/* -- who -----------------------------------------------------------------------------------------
 */

bool turn_money_hidden(struct turn *t) {
    bool hidden = turn_sender(t)->role != ROLE_OWNER;
    if (hidden)
        TURN_SAY(t, MONEY_OWNER);
    return hidden;
}

bool turn_money_watched(struct turn *t) {
    bool watched = turn_sender(t)->role == ROLE_WATCHER;
    if (watched)
        TURN_SAY(t, MONEY_WATCHER);
    return watched;
}

/* -- sums ----------------------------------------------------------------------------------------
 */

struct slice turn_currency_code(const struct turn *t) {
    const struct currency *c = farm_currency(&t->farm->state);
    return c ? slice_of(c->code) : SLICE("");
}

/* Whole units, and behind the sign all digits of the smallest one where there are any. */
struct slice turn_money_text_for(struct turn *t, int person, int64_t minor) {
    const struct currency *c = farm_currency(&t->farm->state);
    struct buf b = buf_make_in(t->arena, 40);
    int64_t unit = c ? c->minor : 1, size = minor < 0 ? -minor : minor;
    if (minor < 0)
        buf_putc(&b, '-');
    buf_put_int(&b, size / unit);
    if (size % unit) {
        buf_put(&b, words_get(t->words, turn_language(t, person), "form.decimal"));
        buf_putf(&b, "%0*lld", c->digits, (long long)(size % unit));
    }
    if (buf_err(&b) && !t->e)
        t->e = buf_err(&b);
    return buf_slice(&b);
}

struct slice turn_money_text(struct turn *t, int64_t minor) {
    return turn_money_text_for(t, t->sender, minor);
}

bool turn_money_fits(struct turn *t, struct money sum, int64_t *minor) {
    *minor = sum.minor;
    if (sum.reason != MONEY_OK)
        TURN_SAY(t, MONEY_LARGE);
    return sum.reason == MONEY_OK;
}

/* The farm has none yet, and the text names none: asked of the owner, with his country's. */
static void ask_currency(struct turn *t, const struct request *r) {
    const struct currency *here = currency_of_country(t->country);
    struct slice code = here ? slice_of(here->code) : SLICE("UGX");
    if (turn_sender(t)->role == ROLE_OWNER)
        TURN_ASK(t, r, SLOT_MONEY, ASK_CURRENCY, V_TEXT(code));
    else
        TURN_SAY(t, MONEY_NO_CURRENCY);
}

/* That of the text and the farm. NULL: an answer was given. */
static const struct currency *currency_for(struct turn *t, const struct request *r) {
    const struct currency *farm = farm_currency(&t->farm->state);
    const struct currency *said = r->currency[0] ? currency_of_code(slice_of(r->currency)) : NULL;
    if (farm && r->currency[0] && said != farm) {
        TURN_SAY(t, CURRENCY_OTHER, V_TEXT(slice_of(farm->code)), V_TEXT(slice_of(r->currency)));
        return NULL;
    }
    if (!farm && (!said || turn_sender(t)->role != ROLE_OWNER)) {
        ask_currency(t, r);
        return NULL;
    }
    return farm ? farm : said;
}

bool turn_fill_money(struct turn *t, const struct request *r, int64_t *minor) {
    const struct currency *c = currency_for(t, r);
    if (!c)
        return false;
    int64_t step = MILLI / c->minor; /* thousandths of a unit in the smallest coin */
    *minor = r->money_milli / step;
    if (r->money_milli <= 0) {
        TURN_SAY(t, MONEY_ZERO);
        return false;
    }
    if (r->money_milli % step && !c->digits)
        TURN_SAY(t, MONEY_WHOLE, V_TEXT(slice_of(c->code)));
    else if (r->money_milli % step)
        TURN_SAY(t, MONEY_COINS, V_TEXT(slice_of(c->code)), V_NUMBER(c->digits));
    return r->money_milli % step == 0;
}

void turn_record_currency(struct turn *t, const struct request *r, int64_t at_s) {
    if (!t->farm->state.currency && r->currency[0])
        turn_record(t, ENTRY_CURRENCY, SUBJECT_HATCHERY, 0, at_s,
                    entry_currency(slice_of(r->currency)), 0, 0);
}

/* -- the currency --------------------------------------------------------------------------------
 */

/* A sum that is kept would be read in the other one. */
static bool sums_kept(const struct farm_state *st) {
    bool kept = st->booking_count > 0;
    for (int i = 0; i < st->price_count; i++)
        kept |= st->prices[i].minor > 0;
    return kept;
}

/* A text waits for the currency alone: CURRENCY UGX answers it, too. */
static bool answers(struct turn *t, const struct request *r) {
    bool direct = t->root == t->message; /* and no answer to that question already */
    if (!direct || !turn_question_open(t) || t->question->asked != SLOT_MONEY ||
        farm_currency(&t->farm->state))
        return false;
    struct request bare = *r;
    bare.kind = REQUEST_NONE;
    turn_answer_question(t, &bare);
    return true;
}

static void do_currency(struct turn *t, const struct request *r) {
    struct slice now = turn_currency_code(t), said = slice_of(r->currency);
    if (turn_sender(t)->role != ROLE_OWNER) {
        TURN_SAY(t, MONEY_OWNER_SETS, V_KIND(r->kind));
    } else if (!said.n && now.n) {
        TURN_SAY(t, CURRENCY_IS, V_TEXT(now));
    } else if (!said.n || !currency_of_code(said)) {
        ask_currency(t, r);
    } else if (slice_eq(now, said)) {
        TURN_SAY(t, CURRENCY_IS, V_TEXT(now));
    } else if (now.n && sums_kept(&t->farm->state)) {
        TURN_SAY(t, CURRENCY_STAYS, V_TEXT(now), V_TEXT(said));
    } else if (!answers(t, r)) {
        turn_record(t, ENTRY_CURRENCY, SUBJECT_HATCHERY, 0, t->base_s, entry_currency(said), 0, 0);
        if (turn_commit(t))
            TURN_SAY(t, CURRENCY_SET, V_TEXT(turn_currency_code(t)));
    }
}

/* -- names ---------------------------------------------------------------------------------------
 */

static bool named(const struct turn *t, int64_t party, struct slice name) {
    return party && t->party_name && slice_eq(t->party_name(t->context, party), name);
}

int64_t turn_buyer_known(const struct turn *t, struct slice name) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->booking_count; i++)
        if (st->bookings[i].kind != BOOKING_COST && named(t, st->bookings[i].party, name))
            return st->bookings[i].party;
    for (int i = 0; i < st->order_count; i++)
        if (named(t, st->orders[i].buyer, name))
            return st->orders[i].buyer;
    return 0;
}

/* Names are kept folded; a capital for each word, where it is a plain letter. */
struct slice turn_name_shown(struct turn *t, struct slice name) {
    struct buf b = buf_make_in(t->arena, 200);
    for (size_t i = 0; i < name.n; i++) {
        bool first = i == 0 || name.p[i - 1] == ' ';
        bool small = name.p[i] >= 'a' && name.p[i] <= 'z';
        buf_putc(&b, first && small ? (char)(name.p[i] - 32) : name.p[i]);
    }
    if (buf_err(&b) && !t->e)
        t->e = buf_err(&b);
    return buf_slice(&b);
}

struct slice turn_party_shown(struct turn *t, int64_t party) {
    struct slice name =
        party && t->party_name ? t->party_name(t->context, party) : (struct slice){0};
    return name.n ? turn_name_shown(t, name) : SLICE("?");
}

/* -- kinds ---------------------------------------------------------------------------------------
 */

bool turn_judge_money(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_CURRENCY:
        do_currency(t, r);
        return true;
    case REQUEST_PRICE:
        turn_do_price(t, r);
        return true;
    case REQUEST_COST:
        turn_do_cost(t, r);
        return true;
    case REQUEST_PAID:
        turn_do_paid(t, r);
        return true;
    case REQUEST_OWES:
        turn_do_owes(t, r);
        return true;
    case REQUEST_RATES:
        turn_do_rates(t, r);
        return true;
    default:
        return false;
    }
}
