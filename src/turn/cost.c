/* cost: what was spent, what a pond, a female's spawn and a month cost and brought, what buyers
 * paid and owe. In: a request; out: an entry and an answer, or one question. The accounts are the
 * farm's (account.h); who sees them is the owner alone, others are told that their report is noted.
 * Limits: the sum of a text is not put right by FIX: it is taken back by UNDO and texted anew. */
#include "farm/account.h"
#include "trade/money.h"
#include "turn/inside.h"

enum {
    DAY_S = 86400,
    DEBTS_MOST = 40,
    NAMES_MOST = 6,
    NAMES_KNOWN = 40, /* characters, as replies.def cuts them */
    NAMES_PAID = 30,
    SMALL_MINOR = 100, /* of what costs less a fraction is shown */
    SMALL_WHOLE = 10,  /* the same of money without cents: a tenth, of under 1 thousandths */
    TENTH_MILLI = 100
};

/* -- what was spent ------------------------------------------------------------------------------
 */

/* What it was spent on: a pond, her newest spawn until then, or the farm. False: an answer was
 * given. */
static bool fill_of(struct turn *t, struct request *r, int64_t at_s, enum subject_kind *of,
                    int64_t *subject) {
    const struct farm_state *st = &t->farm->state;
    *of = SUBJECT_HATCHERY;
    *subject = 0;
    if (request_has(r, SLOT_POND)) {
        const struct pond *pond = turn_fill_pond(t, r);
        *of = SUBJECT_POND;
        *subject = pond ? pond->number : 0;
        return pond != NULL;
    }
    if (!request_has(r, SLOT_TAG))
        return true;
    if (r->tag.letter != 'f') {
        TURN_SAY(t, COST_WHICH);
        return false;
    }
    *of = SUBJECT_SPAWN;
    for (int i = st->spawn_count - 1; i >= 0 && !*subject; i--)
        if (st->spawns[i].tag == r->tag.number && st->spawns[i].injected_s <= at_s)
            *subject = st->spawns[i].number;
    if (!*subject && farm_brood_tag(st, SEX_FEMALE, r->tag.number))
        TURN_SAY(t, COST_NO_SPAWN, V_TAG(r->tag));
    else if (!*subject)
        turn_refuse_tag(t, r->tag);
    return *subject != 0;
}

static void note_cost(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    int64_t minor, at_s, subject;
    enum subject_kind of;
    if (!turn_past_day(t, r, &at_s) || !fill_of(t, r, at_s, &of, &subject) ||
        !turn_fill_money(t, r, &minor))
        return;
    if (!request_has(r, SLOT_NAME)) {
        TURN_ASK(t, r, SLOT_NAME, ASK_COST_WHAT, V_TEXT(turn_money_text(t, minor)));
        return;
    }
    struct slice name = slice_of(r->name);
    int64_t what = t->party_id ? t->party_id(t->context, name) : 0;
    const struct entry cost = {.kind = ENTRY_COST,
                               .subject_kind = of,
                               .subject = subject,
                               .at_s = at_s,
                               .value = {minor, what}};
    if (!turn_sale_once(t, r, &cost, NULL))
        return;
    turn_record_currency(t, r, at_s);
    turn_record(t, ENTRY_COST, of, subject, at_s, minor, what, 0);
    if (!turn_commit(t))
        return;
    struct reply_value code = V_TEXT(turn_currency_code(t));
    struct reply_value sum = V_TEXT(turn_money_text(t, minor));
    if (of == SUBJECT_HATCHERY)
        TURN_SAY(t, COST_NOTED, code, sum, V_TEXT(name), V_DATE(at_s));
    else
        TURN_SAY(t, COST_NOTED_TAG, V_TAG(of == SUBJECT_POND ? r->pond : r->tag), code, sum,
                 V_TEXT(name), V_DATE(at_s));
    if (of == SUBJECT_POND && !turn_cycle_then(st, (int)subject, at_s))
        TURN_SAY(t, COST_EMPTY, V_TAG(r->pond));
}

/* -- accounts ------------------------------------------------------------------------------------
 */

/* What one costs, with thousandths of the smallest coin where it costs few of them. */
static struct slice rate_text(struct turn *t, const struct money_rate *rate) {
    const struct currency *c = farm_currency(&t->farm->state);
    struct buf b = buf_make_in(t->arena, 60);
    if (rate->reason != MONEY_OK || rate->rounded >= (c && c->digits ? SMALL_MINOR : SMALL_WHOLE) ||
        !c)
        return turn_money_text(t, rate->rounded);
    int digits = c->digits + 3;
    int64_t unit = c->minor * 1000, milli = rate->milli;
    if (!c->digits && milli >= unit)
        milli = (milli + TENTH_MILLI / 2) / TENTH_MILLI * TENTH_MILLI;
    int64_t rest = milli % unit;
    buf_put_int(&b, milli / unit);
    while (rest && rest % 10 == 0) {
        rest /= 10;
        digits--;
    }
    if (rest) {
        buf_put(&b, words_get(t->words, turn_language(t, t->sender), "form.decimal"));
        buf_putf(&b, "%0*lld", digits, (long long)rest);
    }
    if (buf_err(&b) && !t->e)
        t->e = buf_err(&b);
    return buf_slice(&b);
}

/* What every one of a cycle's fish that are out weighed is known. */
static bool cycle_weighed(const struct cycle *c) {
    for (int i = 0; i < c->event_count; i++) {
        const struct fish_event *e = &c->events[i];
        if ((e->kind == FISH_TAKEN || e->kind == FISH_BIG) && e->count && !e->mean_ug)
            return false;
    }
    return true;
}

/* The same of what was sold out of ponds; where larvae were, too, no one costs what another does.
 */
static bool span_weighed(const struct farm_state *st, int64_t from_s, int64_t to_s, bool *alike) {
    bool weighed = true;
    *alike = true;
    for (int i = 0; i < st->booking_count; i++) {
        const struct booking *b = &st->bookings[i];
        if (b->kind != BOOKING_INCOME || b->at_s < from_s || b->at_s >= to_s)
            continue;
        weighed &= b->count && b->weight_mg;
        *alike &= b->of == SUBJECT_CYCLE && b->count;
    }
    return weighed;
}

/* Cost over fish, and over their weight where all were weighed and none is left. */
static void say_rates(struct turn *t, const struct account *a, bool weighed) {
    struct reply_value fish = V_NUMBER(a->fish), in = V_NUMBER(turn_two_figures(a->in)),
                       each = V_TEXT(rate_text(t, &a->each));
    if (!a->cost)
        return;
    if (a->in && a->fish)
        TURN_SAY(t, ACCOUNT_EACH_IN, fish, in, each);
    else if (a->in)
        TURN_SAY(t, ACCOUNT_IN, in, each);
    else if (a->fish && a->weight_mg && weighed)
        TURN_SAY(t, ACCOUNT_EACH_KG, fish, V_WEIGHT(a->weight_mg), each,
                 V_TEXT(rate_text(t, &a->per_kg)));
    else if (a->fish)
        TURN_SAY(t, ACCOUNT_EACH, fish, each);
}

/* What came and went with fish, and feed whose cost is not what was paid. */
static void say_parts(struct turn *t, const struct account *a) {
    if (a->brought)
        TURN_SAY(t, ACCOUNT_BROUGHT, V_TEXT(turn_money_text(t, a->brought)));
    if (a->gone)
        TURN_SAY(t, ACCOUNT_GONE, V_TEXT(turn_money_text(t, a->gone)));
    if (a->priced_mg)
        TURN_SAY(t, ACCOUNT_PRICED, V_WEIGHT(a->priced_mg));
    if (a->unpriced_mg)
        TURN_SAY(t, ACCOUNT_UNPRICED, V_WEIGHT(a->unpriced_mg));
}

/* False: it cannot be said. */
static bool say_account(struct turn *t, struct tag tag, int64_t from_s, const struct account *a) {
    struct reply_value code = V_TEXT(turn_currency_code(t)),
                       cost = V_TEXT(turn_money_text(t, a->cost - a->brought + a->gone)),
                       income = V_TEXT(turn_money_text(t, a->income)),
                       result = V_TEXT(turn_money_text(t, a->result));
    if (a->reason != MONEY_OK) {
        TURN_SAY(t, ACCOUNT_BEYOND);
        return false;
    }
    if (tag.letter == 'p')
        TURN_SAY(t, ACCOUNT_POND, V_TAG(tag), V_DATE(from_s), code, cost,
                 V_TEXT(turn_money_text(t, a->feed_cost)), income, result);
    else if (tag.letter)
        TURN_SAY(t, ACCOUNT_SPAWN, V_TAG(tag), V_DATE(from_s), code, cost, income, result);
    else
        TURN_SAY(t, ACCOUNT_FARM, V_DATE(from_s), code, cost,
                 V_TEXT(turn_money_text(t, a->feed_cost)), income, result);
    return true;
}

/* Nothing can be shown before the farm has a currency: asked, and the answer is kept. */
static bool no_currency(struct turn *t, const struct request *r) {
    int64_t none;
    if (farm_currency(&t->farm->state))
        return false;
    if (!r->currency[0])
        return !turn_fill_money(t, r, &none);
    turn_record_currency(t, r, t->base_s);
    return !turn_commit(t);
}

static void show_pond(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = turn_fill_pond(t, r);
    const struct cycle *c = NULL;
    for (int i = 0; i < st->cycle_count && pond; i++)
        if (st->cycles[i].pond == pond->number)
            c = &st->cycles[i]; /* the newest */
    if (!pond)
        return;
    if (!c) {
        TURN_SAY(t, ACCOUNT_NO_FISH, V_TAG(r->pond));
        return;
    }
    const struct account a = account_cycle(st, c, t->now_s);
    turn_about(t, t->sender, ABOUT_ACCOUNT, c->number, (struct slice){0});
    if (say_account(t, r->pond, c->stocked_s, &a)) {
        say_rates(t, &a, cycle_weighed(c));
        say_parts(t, &a);
    }
}

static void show(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    enum subject_kind of;
    int64_t subject;
    if (turn_money_hidden(t) || no_currency(t, r))
        return;
    if (request_has(r, SLOT_POND)) {
        show_pond(t, r);
        return;
    }
    if (!fill_of(t, r, t->now_s, &of, &subject))
        return;
    const struct spawn *s = of == SUBJECT_SPAWN ? farm_spawn(st, subject) : NULL;
    struct zone_time month = zone_local(t->zone, t->now_s);
    int64_t from_s = zone_midnight(t->zone, t->now_s, 1 - month.day);
    const struct account a =
        s ? account_spawn(st, s, t->now_s) : account_span(st, from_s, t->now_s + 1);
    turn_about(t, t->sender, ABOUT_ACCOUNT, 0, (struct slice){0});
    bool alike = true;
    bool weighed = s ? false : span_weighed(st, from_s, t->now_s + 1, &alike);
    if (!say_account(t, s ? r->tag : (struct tag){0}, s ? s->injected_s : from_s, &a))
        return;
    if (alike)
        say_rates(t, &a, weighed);
    say_parts(t, &a);
    if (s && spawn_swims(s))
        TURN_SAY(t, ACCOUNT_FOOD, V_TAG(r->tag));
}

void turn_do_cost(struct turn *t, struct request *r) {
    bool sum = request_has(r, SLOT_MONEY) && r->money_milli >= 0;
    if (sum && turn_money_watched(t))
        return;
    if (sum)
        note_cost(t, r);
    else if (request_has(r, SLOT_NAME) && !turn_money_watched(t))
        TURN_ASK(t, r, SLOT_MONEY, ASK_COST_SUM, V_TEXT(slice_of(r->name)));
    else if (!request_has(r, SLOT_NAME))
        show(t, r);
}

void turn_why_account(struct turn *t, const struct about *about) {
    const struct cycle *c = farm_cycle(&t->farm->state, about->subject);
    if (turn_money_hidden(t))
        return;
    if (c)
        TURN_SAY(t, WHY_ACCOUNT_POND, V_TAG(turn_pond_tag(c->pond)));
    else
        TURN_SAY(t, WHY_ACCOUNT);
}

/* -- debts ---------------------------------------------------------------------------------------
 */

/* "Mary, Lake Hotel": who bought, the last first, whole names as far as they fit; empty: nobody. */
static struct slice buyers(struct turn *t, size_t most) {
    const struct farm_state *st = &t->farm->state;
    int64_t seen[NAMES_MOST];
    int count = 0;
    struct buf b = buf_make_in(t->arena, 400);
    for (int i = st->booking_count - 1; i >= 0 && count < NAMES_MOST; i--) {
        const struct booking *k = &st->bookings[i];
        bool again = k->kind == BOOKING_COST || !k->party;
        for (int n = 0; n < count; n++)
            again |= seen[n] == k->party;
        struct slice name = again ? SLICE("") : turn_party_shown(t, k->party);
        if (again || (count && b.n + 2 + name.n > most))
            continue;
        buf_puts(&b, count ? ", " : "");
        buf_put(&b, name);
        seen[count++] = k->party;
    }
    if (buf_err(&b) && !t->e)
        t->e = buf_err(&b);
    return buf_slice(&b);
}

/* What all of them owe together, then each; the first line is the sum. */
static void owes_all(struct turn *t) {
    struct account_debt debts[DEBTS_MOST];
    struct slice lines[DEBTS_MOST + 1];
    int count = account_debts(&t->farm->state, debts, DEBTS_MOST);
    struct money all = {MONEY_OK, 0};
    for (int i = 0; i < count && all.reason == MONEY_OK; i++) {
        int64_t owed = debts[i].debt.owed;
        struct reply_value who = V_TEXT(turn_party_shown(t, debts[i].buyer));
        struct reply line = {REPLY_OWES_LINE, {who, V_TEXT(turn_money_text(t, owed))}};
        if (owed < 0)
            line.id = REPLY_OWES_OVER_LINE;
        if (owed < 0)
            line.values[1] = V_TEXT(turn_money_text(t, -owed));
        lines[i + 1] = turn_render(t, t->sender, &line);
        all = debts[i].debt.reason == MONEY_IMPOSSIBLE ? (struct money){MONEY_IMPOSSIBLE, 0}
              : owed > 0                               ? money_add(all.minor, owed)
                                                       : all;
    }
    const struct reply sum = {
        REPLY_OWES_ALL, {V_TEXT(turn_currency_code(t)), V_TEXT(turn_money_text(t, all.minor))}};
    lines[0] = turn_render(t, t->sender, &sum);
    int first = all.minor ? 0 : 1; /* all of them have paid too much */
    if (!count)
        TURN_SAY(t, OWES_NONE);
    else if (all.reason != MONEY_OK)
        TURN_SAY(t, ACCOUNT_BEYOND);
    else
        turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
                  turn_lines(t, t->sender, lines + first, count + 1 - first));
}

static void owes_one(struct turn *t, int64_t buyer) {
    const struct account_debt d = account_debt(&t->farm->state, buyer);
    struct reply_value who = V_TEXT(turn_party_shown(t, buyer)),
                       code = V_TEXT(turn_currency_code(t)),
                       sold = V_TEXT(turn_money_text(t, d.debt.sold)),
                       paid = V_TEXT(turn_money_text(t, d.debt.paid));
    if (d.debt.reason == MONEY_IMPOSSIBLE)
        TURN_SAY(t, ACCOUNT_BEYOND);
    else if (d.debt.owed > 0)
        TURN_SAY(t, OWES_ONE, who, code, V_TEXT(turn_money_text(t, d.debt.owed)), sold, paid);
    else if (d.debt.owed < 0)
        TURN_SAY(t, OWES_ONE_OVER, who, code, V_TEXT(turn_money_text(t, -d.debt.owed)), sold, paid);
    else
        TURN_SAY(t, OWES_ONE_NONE, who, code, sold, paid);
}

void turn_do_owes(struct turn *t, const struct request *r) {
    struct slice name = slice_of(r->name);
    if (turn_money_hidden(t) || no_currency(t, r))
        return;
    int64_t buyer = request_has(r, SLOT_NAME) ? turn_buyer_known(t, name) : 0;
    struct slice known = buyers(t, NAMES_KNOWN);
    if (!request_has(r, SLOT_NAME))
        owes_all(t);
    else if (buyer)
        owes_one(t, buyer);
    else if (known.n)
        TURN_SAY(t, BUYER_UNKNOWN, V_TEXT(turn_name_shown(t, name)), V_TEXT(known));
    else
        TURN_SAY(t, BUYER_UNKNOWN_NONE, V_TEXT(turn_name_shown(t, name)));
}

/* -- paid ----------------------------------------------------------------------------------------
 */

/* The same sum of the same buyer within a day: said twice, or paid twice? */
static const struct booking *paid_before(const struct farm_state *st, int64_t buyer, int64_t minor,
                                         int64_t at_s) {
    for (int i = st->booking_count - 1; i >= 0; i--) {
        const struct booking *b = &st->bookings[i];
        int64_t apart_s = b->at_s > at_s ? b->at_s - at_s : at_s - b->at_s;
        bool paid = b->kind == BOOKING_PAID || (b->kind == BOOKING_INCOME && b->paid);
        if (paid && b->party == buyer && b->minor == minor && apart_s <= DAY_S)
            return b;
    }
    return NULL;
}

/* False: it was asked. */
static bool payment_sure(struct turn *t, const struct request *r, int64_t buyer, int64_t minor,
                         int64_t at_s) {
    struct reply_value who = V_TEXT(turn_name_shown(t, slice_of(r->name)));
    struct reply_value sum = V_TEXT(turn_money_text(t, minor));
    const struct booking *before = buyer ? paid_before(&t->farm->state, buyer, minor, at_s) : NULL;
    struct slice known = buyers(t, NAMES_PAID);
    bool tells = turn_sender(t)->role == ROLE_OWNER && known.n; /* who buys is the owner's to see */
    if (!buyer && !(r->confirms & CONFIRM_NAME) && tells)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_NAME, ASK_PAID_NEW, who, sum, V_TEXT(known));
    else if (!buyer && !(r->confirms & CONFIRM_NAME))
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_NAME, ASK_PAID_NEW_NONE, who, sum);
    else if (before && !(r->confirms & CONFIRM_TWICE))
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_TWICE, ASK_PAID_TWICE, who, sum,
                 V_DATE(before->at_s));
    else
        return true;
    return false;
}

static void say_paid(struct turn *t, int64_t buyer, int64_t minor, int64_t at_s) {
    const struct account_debt d = account_debt(&t->farm->state, buyer);
    struct reply_value who = V_TEXT(turn_party_shown(t, buyer)),
                       code = V_TEXT(turn_currency_code(t)),
                       sum = V_TEXT(turn_money_text(t, minor));
    if (turn_sender(t)->role != ROLE_OWNER || d.debt.reason == MONEY_IMPOSSIBLE)
        TURN_SAY(t, PAID_NOTED, who, code, sum, V_DATE(at_s));
    else if (d.debt.owed > 0)
        TURN_SAY(t, PAID_LEFT, who, code, sum, V_DATE(at_s),
                 V_TEXT(turn_money_text(t, d.debt.owed)));
    else if (d.debt.owed < 0)
        TURN_SAY(t, PAID_OVER, who, code, sum, V_DATE(at_s),
                 V_TEXT(turn_money_text(t, -d.debt.owed)));
    else
        TURN_SAY(t, PAID_DONE, who, code, sum, V_DATE(at_s));
}

void turn_do_paid(struct turn *t, struct request *r) {
    struct slice name = slice_of(r->name);
    int64_t minor, at_s;
    if (turn_money_watched(t))
        return;
    if (!request_has(r, SLOT_MONEY) || r->money_milli < 0) {
        if (request_has(r, SLOT_NAME))
            TURN_ASK(t, r, SLOT_MONEY, ASK_PAID_SUM, V_TEXT(turn_name_shown(t, name)));
        else
            TURN_SAY(t, PAID_HOW);
        return;
    }
    if (!turn_past_day(t, r, &at_s) || !turn_fill_money(t, r, &minor))
        return;
    if (!request_has(r, SLOT_NAME)) {
        TURN_ASK(t, r, SLOT_NAME, ASK_PAID_WHO, V_TEXT(turn_money_text(t, minor)));
        return;
    }
    int64_t buyer = turn_buyer_known(t, name);
    if (!payment_sure(t, r, buyer, minor, at_s))
        return;
    if (!buyer && t->party_id)
        buyer = t->party_id(t->context, name);
    turn_record_currency(t, r, at_s);
    turn_record(t, ENTRY_PAID, SUBJECT_HATCHERY, 0, at_s, minor, buyer, 0);
    if (turn_commit(t))
        say_paid(t, buyer, minor, at_s);
}

/* -- a month -------------------------------------------------------------------------------------
 */

int turn_money_lines(struct turn *t, int person, int64_t from_s, int64_t to_s, struct reply *lines,
                     int room) {
    const struct farm_state *st = &t->farm->state;
    struct account_debt debts[DEBTS_MOST];
    int count = 0, owing = 0;
    if (t->people[person].role != ROLE_OWNER || !farm_currency(st) || !st->booking_count ||
        room < 1)
        return 0;
    const struct account a = account_span(st, from_s, to_s);
    struct reply_value code = V_TEXT(turn_currency_code(t));
    if (a.reason != MONEY_OK) {
        lines[0] = (struct reply){REPLY_ACCOUNT_BEYOND, {{0}}};
        return 1;
    }
    if (a.cost || a.income)
        lines[count++] = (struct reply){REPLY_MONEY_LINE,
                                        {code, V_TEXT(turn_money_text_for(t, person, a.cost)),
                                         V_TEXT(turn_money_text_for(t, person, a.feed_cost)),
                                         V_TEXT(turn_money_text_for(t, person, a.income)),
                                         V_TEXT(turn_money_text_for(t, person, a.result))}};
    struct money all = {MONEY_OK, 0};
    int n = account_debts(st, debts, DEBTS_MOST);
    for (int i = 0; i < n && all.reason == MONEY_OK; i++) {
        if (debts[i].debt.owed > 0)
            all = money_add(all.minor, debts[i].debt.owed);
        owing += debts[i].debt.owed > 0;
    }
    bool until_now = to_s >= zone_midnight(t->zone, t->now_s, 0); /* else it is not that month's */
    if (until_now && owing && count < room && all.reason == MONEY_OK)
        lines[count++] = (struct reply){REPLY_MONEY_OWED_LINE,
                                        {code, V_TEXT(turn_money_text_for(t, person, all.minor))}};
    return count;
}
