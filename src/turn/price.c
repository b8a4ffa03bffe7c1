/* price: what feed, fish and other things cost a piece, a kilogram or a bag. In: a request; out: an
 * entry and an answer, or one question. A price is in force from when it was said until the next
 * one; 0 takes it off. A name that neither the farm nor the catalogues have heard is asked about
 * before anything is recorded. "sms" is known to all: what a part of a text costs the farm, for the
 * week. Limits: feed has a price a kilogram or a measure, fry and fingerlings one each. */
#include "turn/inside.h"

enum { LINES_MOST = 24 };

/* -- showing -------------------------------------------------------------------------------------
 */

struct slice turn_price_text(struct turn *t, const struct price *price) {
    struct reply_value sum = V_TEXT(turn_money_text(t, price->minor));
    struct reply r = {REPLY_PRICE_WHOLE, {sum}};
    if (price->per == PRICE_EACH)
        r.id = REPLY_PRICE_EACH;
    else if (price->per == PRICE_KG)
        r.id = REPLY_PRICE_KG;
    else if (price->per == PRICE_MEASURE)
        r = (struct reply){REPLY_PRICE_MEASURE, {sum, turn_measures(price->measure, 1000)}};
    return turn_render(t, t->sender, &r);
}

static struct slice thing_text(struct turn *t, enum price_thing thing, int64_t party) {
    struct reply name = {.id = REPLY_THING_FISH};
    if (thing == PRICE_FRY)
        name.id = REPLY_THING_FRY;
    else if (thing == PRICE_FINGERLINGS)
        name.id = REPLY_THING_FINGERLINGS;
    else if (thing == PRICE_FEED)
        return turn_feed_name(t, t->sender, party);
    else if (thing == PRICE_NAMED && t->party_name)
        return t->party_name(t->context, party);
    return turn_render(t, t->sender, &name);
}

static void say_all(struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    struct slice lines[LINES_MOST + 1];
    int count = 0;
    for (int i = 0; i < st->price_count && count < LINES_MOST; i++) {
        const struct price *p = &st->prices[i];
        const struct reply line = {REPLY_PRICE_LINE,
                                   {V_TEXT(thing_text(t, p->thing, p->party)),
                                    V_TEXT(turn_currency_code(t)), V_TEXT(turn_price_text(t, p))}};
        if (p->minor)
            lines[count++] = turn_render(t, t->sender, &line);
    }
    if (count)
        turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
                  turn_lines(t, t->sender, lines, count));
    else
        TURN_SAY(t, PRICES_NONE);
}

/* -- which thing ---------------------------------------------------------------------------------
 */

/* What the words name, as far as the farm knows it; false: not known, party is 0. */
static bool known_thing(const struct turn *t, const struct request *r, struct price *p) {
    const struct farm_state *st = &t->farm->state;
    struct slice name = slice_of(r->feed);
    p->party = 0;
    if (!request_has(r, SLOT_FEED)) {
        p->thing = request_chose(r, CHOICE_FRY)           ? PRICE_FRY
                   : request_chose(r, CHOICE_FINGERLINGS) ? PRICE_FINGERLINGS
                                                          : PRICE_FISH;
        return true;
    }
    p->thing = PRICE_FEED;
    p->party = turn_feed_known(t, name);
    for (int i = 0; i < st->price_count && !p->party; i++) {
        const struct price *q = &st->prices[i];
        if (q->party && t->party_name && slice_eq(t->party_name(t->context, q->party), name)) {
            p->thing = q->thing;
            p->party = q->party;
        }
    }
    return p->party != 0;
}

static bool is_sms(struct slice name) {
    return slice_eq(name, SLICE("sms"));
}

const struct price *turn_price_sms(const struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->price_count && t->party_name; i++) {
        const struct price *p = &st->prices[i];
        if (p->thing == PRICE_NAMED && p->minor && is_sms(t->party_name(t->context, p->party)))
            return p;
    }
    return NULL;
}

/* By what it is counted. False: several, or none that goes with the thing. */
static bool per_of(const struct request *r, bool heard, struct price *p) {
    bool each = request_chose(r, CHOICE_EACH), kilo = request_chose(r, CHOICE_KILO);
    int measures = 0;
    for (int m = MEASURE_TIN; m < MEASURE_END; m++)
        if (request_chose(r, (enum choice)(CHOICE_TIN + m - MEASURE_TIN))) {
            p->measure = (enum measure_kind)m;
            measures++;
        }
    if (measures + each + kilo > 1)
        return false;
    p->per = each ? PRICE_EACH : kilo ? PRICE_KG : measures ? PRICE_MEASURE : PRICE_WHOLE;
    bool weighed = p->per == PRICE_KG || p->per == PRICE_MEASURE;
    if (p->thing == PRICE_FEED && !heard && !weighed) /* fuel, a net */
        p->thing = PRICE_NAMED;
    if (p->thing == PRICE_NAMED)
        return true;
    if (p->thing == PRICE_FEED)
        return weighed;
    if (p->per == PRICE_WHOLE && p->thing != PRICE_FISH) /* of fry and fingerlings one is meant */
        p->per = PRICE_EACH;
    return p->per == PRICE_EACH || p->per == PRICE_KG;
}

static void say_how(struct turn *t, const struct request *r, const struct price *p) {
    struct slice what =
        p->thing == PRICE_FEED ? slice_of(r->feed) : thing_text(t, p->thing, p->party);
    struct reply_value sum = V_TEXT(turn_money_text(t, p->minor));
    if (p->thing == PRICE_FEED)
        TURN_SAY(t, PRICE_HOW, V_TEXT(what), sum);
    else
        TURN_SAY(t, PRICE_HOW_FISH, V_TEXT(what), sum);
}

/* -- setting and asking --------------------------------------------------------------------------
 */

static void ask_name(struct turn *t, const struct request *r) {
    struct slice names = turn_feed_names(t);
    if (names.n)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_NAME, ASK_PRICE_NAME, V_TEXT(slice_of(r->feed)),
                 V_TEXT(names));
    else
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_NAME, ASK_PRICE_NAME_NONE, V_TEXT(slice_of(r->feed)));
}

static void say_price(struct turn *t, const struct request *r) {
    struct price p = {0};
    bool known = known_thing(t, r, &p);
    const struct price *now = known ? farm_price(&t->farm->state, p.thing, p.party) : NULL;
    struct slice what =
        request_has(r, SLOT_FEED) && !p.party ? slice_of(r->feed) : thing_text(t, p.thing, p.party);
    if (now)
        TURN_SAY(t, PRICE_LINE, V_TEXT(what), V_TEXT(turn_currency_code(t)),
                 V_TEXT(turn_price_text(t, now)));
    else
        TURN_SAY(t, PRICE_NONE, V_TEXT(what));
}

/* Its own price, not that of any feed. */
static const struct price *price_own(const struct farm_state *st, const struct price *p) {
    const struct price *now = farm_price(st, p->thing, p->party);
    return now && now->party == p->party ? now : NULL;
}

static void record_price(struct turn *t, const struct request *r, const struct price *p) {
    turn_record_currency(t, r, t->base_s);
    turn_record_entry(t, (struct entry){.at_s = t->base_s,
                                        .kind = ENTRY_PRICE,
                                        .subject_kind = SUBJECT_HATCHERY,
                                        .value = {p->thing, p->party, p->minor, p->per,
                                                  p->per == PRICE_MEASURE ? p->measure : 0}});
}

static void take_off(struct turn *t, const struct request *r) {
    struct price p = {0};
    bool known = known_thing(t, r, &p);
    const struct price *now = known ? price_own(&t->farm->state, &p) : NULL;
    if (!now) {
        say_price(t, r);
        return;
    }
    p = *now;
    struct slice old = turn_price_text(t, &p);
    p.minor = 0;
    record_price(t, r, &p);
    if (turn_commit(t))
        TURN_SAY(t, PRICE_OFF, V_TEXT(thing_text(t, p.thing, p.party)),
                 V_TEXT(turn_currency_code(t)), V_TEXT(old));
}

static void set_price(struct turn *t, const struct request *r) {
    struct price p = {0};
    if (!turn_fill_money(t, r, &p.minor))
        return;
    bool known = known_thing(t, r, &p);
    bool sms = request_has(r, SLOT_FEED) && is_sms(slice_of(r->feed));
    bool heard = known || sms || text_feed_heard(t->reader, r->feed);
    if (!per_of(r, heard && !sms, &p)) {
        say_how(t, r, &p);
        return;
    }
    if (sms && p.per != PRICE_WHOLE && p.per != PRICE_EACH) {
        TURN_SAY(t, PRICE_WHAT);
        return;
    }
    if (!heard && !(r->confirms & CONFIRM_NAME)) {
        ask_name(t, r);
        return;
    }
    if (!p.party && request_has(r, SLOT_FEED) && t->party_id)
        p.party = t->party_id(t->context, slice_of(r->feed));
    const struct price *now = price_own(&t->farm->state, &p);
    struct slice old = now ? turn_price_text(t, now) : SLICE("");
    record_price(t, r, &p);
    if (!turn_commit(t))
        return;
    struct reply_value what = V_TEXT(thing_text(t, p.thing, p.party));
    struct reply_value code = V_TEXT(turn_currency_code(t)), text = V_TEXT(turn_price_text(t, &p));
    if (old.n && !slice_eq(old, text.text)) /* the same again is none that changed */
        TURN_SAY(t, PRICE_CHANGED, what, code, text, V_TEXT(old));
    else
        TURN_SAY(t, PRICE_SET, what, code, text);
}

void turn_do_price(struct turn *t, struct request *r) {
    const uint64_t fish =
        CHOICE_BIT(CHOICE_FRY) | CHOICE_BIT(CHOICE_FINGERLINGS) | CHOICE_BIT(CHOICE_FISH);
    bool thing = request_has(r, SLOT_FEED) || (r->choices & fish);
    bool several = (r->choices & fish & ((r->choices & fish) - 1)) != 0;
    bool sum = request_has(r, SLOT_MONEY) && r->money_milli >= 0;
    if (turn_sender(t)->role != ROLE_OWNER)
        TURN_SAY(t, MONEY_OWNER_SETS, V_KIND(r->kind));
    else if (several || (sum && !thing))
        TURN_SAY(t, PRICE_WHAT);
    else if (!thing)
        say_all(t);
    else if (!sum)
        say_price(t, r);
    else if (!r->money_milli)
        take_off(t, r);
    else
        set_price(t, r);
}
