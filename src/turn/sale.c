/* sale: the money of fish sold and of feed bought: said as a sum, for each or for a kilogram, or
 * reckoned by the farm's own price where the text names none. In: a request that is about to be
 * recorded; out: the booking beside it, in the same message, so that one UNDO takes back both; or
 * one question, or a refusal, before anything is recorded. Sums are trade's money. Limits: by its
 * price only what was counted or weighed is reckoned; a sale without a sum, a price, PAID or OWES
 * is a sale without money, as before. */
#include "trade/book.h"
#include "turn/inside.h"

enum {
    FISH_TIMES = 4, /* so often what swims there is no number of fish: our own */

    TWICE_S = 3600,
    TOLD_S = 24 * 3600, /* until when it may still be told */

    G_MG = 1000,
    MEASURE_MG = 1000 /* a thousandth of a measure beside a kilogram's milligrams */
};

/* -- what the sum is for -------------------------------------------------------------------------
 */

/* A sum for each of so many. False: an answer was given. */
static bool for_each(struct turn *t, struct request *r, const struct turn_sold *sold, int64_t minor,
                     int64_t *sum) {
    if (!sold->count) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_SALE_COUNT, V_TEXT(turn_money_text(t, minor)));
        return false;
    }
    return turn_money_fits(t, money_times(minor, sold->count), sum);
}

static bool for_weight(struct turn *t, struct request *r, const struct turn_sold *sold,
                       int64_t minor, int64_t *sum) {
    if (!sold->weight_mg) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_SALE_WEIGHT, V_TEXT(turn_money_text(t, minor)));
        return false;
    }
    return turn_money_fits(t, money_for_weight(minor, sold->weight_mg), sum);
}

static bool said_sum(struct turn *t, struct request *r, const struct turn_sold *sold,
                     int64_t *sum) {
    int64_t minor;
    if (!turn_fill_money(t, r, &minor))
        return false;
    if (request_chose(r, CHOICE_EACH))
        return for_each(t, r, sold, minor, sum);
    if (request_chose(r, CHOICE_KILO))
        return for_weight(t, r, sold, minor, sum);
    *sum = minor;
    return true;
}

/* -- by the farm's price -------------------------------------------------------------------------
 */

/* Larvae are fry; fish of a pond are what they weigh. NULL: no price goes with them. */
static const struct price *price_for(const struct farm_state *then, const struct turn_sold *sold) {
    int64_t mean_mg =
        sold->count && sold->weight_mg ? sold->weight_mg / sold->count : sold->mean_mg;
    bool small = mean_mg < (int64_t)book_number(BOOK_FINGERLING_G) * G_MG;
    bool large = mean_mg > (int64_t)book_number(BOOK_JUVENILE_MOST_G) * G_MG;
    if (sold->of == SUBJECT_SPAWN)
        return farm_price(then, PRICE_FRY, 0);
    if (!mean_mg)
        return NULL;
    const struct price *fry = small ? farm_price(then, PRICE_FRY, 0) : NULL;
    return fry ? fry : farm_price(then, large ? PRICE_FISH : PRICE_FINGERLINGS, 0);
}

/* A price of then that fits what is known of them. False: an answer was given. */
static bool priced_sum(struct turn *t, const struct turn_sold *sold, struct turn_sale *sale) {
    const struct price *p = price_for(turn_then(t, sold->at_s), sold);
    struct money sum = {MONEY_OK, 0};
    if (!p || !farm_currency(&t->farm->state))
        return true;
    if (p->per == PRICE_EACH && sold->count)
        sum = money_times(p->minor, sold->count);
    else if (p->per == PRICE_KG && sold->weight_mg)
        sum = money_for_weight(p->minor, sold->weight_mg);
    if (sum.reason == MONEY_OK && !sum.minor)
        return true;
    sale->price = *p;
    sale->booked = true;
    return turn_money_fits(t, sum, &sale->minor);
}

/* -- who -----------------------------------------------------------------------------------------
 */

static bool fill_buyer(struct turn *t, struct request *r, struct turn_sale *sale) {
    struct slice name = slice_of(r->name);
    sale->paid = !request_chose(r, CHOICE_OWES);
    sale->unsaid = sale->paid && !request_chose(r, CHOICE_PAID);
    if (!request_has(r, SLOT_NAME)) {
        if (sale->paid || !sale->booked)
            return true;
        TURN_ASK(t, r, SLOT_NAME, ASK_SALE_WHO, V_TEXT(turn_money_text(t, sale->minor)));
        return false;
    }
    sale->buyer = turn_buyer_known(t, name);
    sale->is_new = !sale->buyer;
    if (!sale->buyer && t->party_id)
        sale->buyer = t->party_id(t->context, name);
    return true;
}

/* -- a sale --------------------------------------------------------------------------------------
 */

/* Money of a text whose sender may not bring it, or before the farm has a currency: the fish went
 * all the same. */
static bool not_kept(const struct turn *t, const struct request *r) {
    enum turn_role role = t->people[t->sender].role;
    bool said = request_has(r, SLOT_MONEY) || request_chose(r, CHOICE_PAID) ||
                request_chose(r, CHOICE_OWES);
    return said &&
           (role == ROLE_WATCHER || (role != ROLE_OWNER && !farm_currency(&t->farm->state)));
}

static bool fill_sale(struct turn *t, struct request *r, const struct turn_sold *sold,
                      struct turn_sale *sale) {
    const uint64_t said = CHOICE_BIT(CHOICE_PAID) | CHOICE_BIT(CHOICE_OWES);
    *sale = (struct turn_sale){.sold = *sold};
    if (r->confirms & CONFIRM_GONE) /* the rest of what was sold before */
        return true;
    if (not_kept(t, r)) {
        sale->unkept = true;
        return true;
    }
    if ((r->choices & said) == said) {
        TURN_SAY(t, SALE_PAID_OR_OWES);
        return false;
    }
    if (request_has(r, SLOT_MONEY) && r->money_milli >= 0) {
        sale->booked = true;
        if (!said_sum(t, r, sold, &sale->minor))
            return false;
    } else if (!priced_sum(t, sold, sale)) {
        return false;
    }
    if (turn_sender(t)->role == ROLE_WATCHER) { /* by the price: not his to book, either */
        *sale = (struct turn_sale){.sold = *sold, .unkept = sale->booked};
        return fill_buyer(t, r, sale);
    }
    if (!sale->booked && (r->choices & said)) {
        TURN_ASK(t, r, SLOT_MONEY, ASK_SALE_SUM);
        return false;
    }
    return fill_buyer(t, r, sale);
}

/* What a message booked; 0: nothing. */
static const struct entry *booked_by(const struct farm *farm, int64_t message,
                                     enum entry_kind kind) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].message == message && farm->entries[i].kind == kind &&
            farm->in_force[i])
            return &farm->entries[i];
    return NULL;
}

/* The same was said within the hour, by whomever: one of two who tell of it, or one who is not sure
 * that his text went. NULL: it was not. */
static const struct entry *said_before(const struct turn *t, const struct entry *n,
                                       const struct entry *money) {
    const struct farm *farm = t->farm;
    for (int i = farm->count - 1; i >= 0; i--) {
        const struct entry *o = &farm->entries[i];
        int64_t apart_s = o->at_s > n->at_s ? o->at_s - n->at_s : n->at_s - o->at_s;
        if (!farm->in_force[i] || o->kind != n->kind || o->subject_kind != n->subject_kind ||
            o->subject != n->subject || o->value[0] != n->value[0] || o->value[1] != n->value[1] ||
            o->message == t->root || apart_s > TWICE_S)
            continue;
        const struct entry *paid = money ? booked_by(farm, o->message, money->kind) : NULL;
        if (!money || !money->value[0] ||
            (paid && paid->value[0] == money->value[0] && paid->value[1] == money->value[1]))
            return o;
    }
    return NULL;
}

bool turn_sale_once(struct turn *t, const struct request *r, const struct entry *n,
                    const struct entry *money) {
    const struct entry *before = r->confirms & CONFIRM_TWICE ? NULL : said_before(t, n, money);
    if (before)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_TWICE, ASK_SAID_TWICE, V_KIND(r->kind),
                 V_WHEN(before->at_s));
    return !before;
}

bool turn_fill_sale(struct turn *t, struct request *r, const struct turn_sold *sold,
                    struct turn_sale *sale) {
    if (!fill_sale(t, r, sold, sale))
        return false;
    const struct entry fish = {.kind = ENTRY_SOLD,
                               .subject_kind = sold->of,
                               .subject = sold->subject,
                               .at_s = sold->at_s,
                               .value = {sold->count, sold->weight_mg}};
    const struct entry money = {.kind = ENTRY_INCOME, .value = {sale->minor, sale->buyer}};
    return (r->confirms & CONFIRM_GONE) || !sold->count || turn_sale_once(t, r, &fish, &money);
}

/* Of money that a watcher brings the owners hear: they alone can note it. */
static void tell_owners(struct turn *t, const struct request *r) {
    const struct reply reply = {REPLY_OWNER_SALE_UNKEPT,
                                {V_TEXT(turn_sender(t)->phone),
                                 V_TEXT(turn_message_text(t, t->root)),
                                 V_TAG(request_has(r, SLOT_POND) ? r->pond : r->tag)}};
    for (int i = 0; i < t->people_count; i++)
        if (t->people[i].role == ROLE_OWNER && !t->people[i].stopped)
            turn_send(t, i, LEVEL_ALARM, (struct task_key){0}, t->now_s + TOLD_S,
                      turn_render(t, i, &reply));
}

void turn_record_sale(struct turn *t, const struct request *r, struct turn_sale *sale) {
    const struct turn_sold *s = &sale->sold;
    int64_t mean_mg = s->mean_mg;
    if (!mean_mg && s->weight_mg > 0 && s->thought > 0)
        mean_mg = s->weight_mg / s->thought;
    turn_delivers(t, sale->buyer, s->thought, mean_mg, s->at_s, &sale->delivery);
    if (sale->unkept && turn_sender(t)->role == ROLE_WATCHER)
        tell_owners(t, r);
    if (!sale->booked)
        return;
    turn_record_currency(t, r, s->at_s);
    turn_record_entry(
        t, (struct entry){.at_s = s->at_s,
                          .kind = ENTRY_INCOME,
                          .subject_kind = s->of,
                          .subject = s->subject,
                          .value = {sale->minor, sale->buyer, sale->paid, s->count, s->weight_mg}});
}

void turn_say_sale(struct turn *t, const struct turn_sale *sale) {
    struct reply_value code = V_TEXT(turn_currency_code(t));
    struct reply_value sum = V_TEXT(turn_money_text(t, sale->minor));
    struct reply_value who = V_TEXT(turn_party_shown(t, sale->buyer));
    if (sale->unkept && turn_sender(t)->role == ROLE_WATCHER)
        TURN_SAY(t, SALE_UNKEPT_TOLD);
    else if (sale->unkept)
        TURN_SAY(t, SALE_UNKEPT);
    turn_say_delivered(t, &sale->delivery);
    if (!sale->booked)
        return;
    if (zone_days_between(t->zone, sale->sold.at_s, t->base_s) > 0)
        TURN_SAY(t, SALE_DAY, V_DATE(sale->sold.at_s));
    if (!sale->paid)
        TURN_SAY(t, SALE_OWED, who, code, sum);
    else if (sale->buyer)
        TURN_SAY(t, SALE_PAID_BY, who, code, sum);
    else
        TURN_SAY(t, SALE_PAID, code, sum);
    if (sale->price.minor)
        TURN_SAY(t, SALE_BY_PRICE, V_TEXT(turn_price_text(t, &sale->price)));
    if (sale->is_new)
        TURN_SAY(t, SALE_BUYER_NEW, who);
    if (sale->unsaid && sale->buyer)
        TURN_SAY(t, SALE_UNPAID_HOW);
}

bool turn_sale_unclear(struct turn *t, const struct request *r, struct tag pond, int64_t most) {
    bool both = request_has(r, SLOT_COUNT) && request_has(r, SLOT_WEIGHT);
    bool much = r->count > most * FISH_TIMES && !(r->confirms & CONFIRM_MANY);
    if (!both || request_has(r, SLOT_MONEY) || !much)
        return false;
    TURN_SAY(t, SALE_FISH_OR_MONEY, V_TAG(pond), V_WEIGHT(r->weight_mg), V_NUMBER(r->count));
    return true;
}

/* Two numbers of a sale, and which is the money is not said; or a part of it is paid. */
bool turn_say_sale_doubt(struct turn *t, const struct text_result *read) {
    const struct request *r = &read->request;
    int64_t number;
    bool digits = slice_int(slice_of(read->token), &number) == ERR_OK;
    bool part = request_chose(r, CHOICE_PAID) || request_chose(r, CHOICE_OWES);
    if (r->kind != REQUEST_SOLD || read->doubt != TEXT_DOUBT_TWICE)
        return false;
    if (request_has(r, SLOT_MONEY) && part)
        TURN_SAY(t, SALE_PART_HOW);
    else if (digits)
        TURN_SAY(t, SALE_WHICH_MONEY, V_TEXT(slice_of(read->token)));
    else
        return false;
    return true;
}

/* -- feed ----------------------------------------------------------------------------------------
 */

static bool said_cost(struct turn *t, const struct request *r, const struct turn_amount *amount,
                      int64_t *sum) {
    int64_t minor;
    bool each = request_chose(r, CHOICE_EACH);
    if (!turn_fill_money(t, r, &minor))
        return false;
    if (each && !amount->measure) { /* each what? */
        TURN_SAY(t, BOUGHT_EACH_WHAT);
        return false;
    }
    struct money all = {MONEY_OK, minor};
    if (each) /* thousandths of one are taken as those of a kilogram */
        all = money_for_weight(minor, amount->milli * MEASURE_MG);
    else if (request_chose(r, CHOICE_KILO))
        all = money_for_weight(minor, amount->weight_mg);
    return turn_money_fits(t, all, sum);
}

static bool priced_cost(struct turn *t, int64_t feed, int64_t at_s,
                        const struct turn_amount *amount, struct turn_sale *cost) {
    const struct price *p = farm_price(turn_then(t, at_s), PRICE_FEED, feed);
    struct money sum = {MONEY_OK, 0};
    if (!p || !farm_currency(&t->farm->state))
        return true;
    if (p->per == PRICE_KG)
        sum = money_for_weight(p->minor, amount->weight_mg);
    else if (p->per == PRICE_MEASURE && p->measure == amount->measure)
        sum = money_for_weight(p->minor, amount->milli * MEASURE_MG);
    if (sum.reason == MONEY_OK && !sum.minor)
        return true;
    cost->price = *p;
    cost->booked = true;
    return turn_money_fits(t, sum, &cost->minor);
}

bool turn_fill_feed_cost(struct turn *t, const struct request *r, int64_t feed, int64_t at_s,
                         const struct turn_amount *amount, struct turn_sale *cost) {
    *cost = (struct turn_sale){.unkept = not_kept(t, r)};
    if (cost->unkept || turn_sender(t)->role == ROLE_WATCHER)
        return true;
    if (!request_has(r, SLOT_MONEY) || r->money_milli < 0)
        return priced_cost(t, feed, at_s, amount, cost);
    cost->booked = true;
    return said_cost(t, r, amount, &cost->minor);
}

void turn_record_feed_cost(struct turn *t, const struct request *r, int64_t feed, int64_t at_s,
                           const struct turn_amount *amount, const struct turn_sale *cost) {
    if (!cost->booked)
        return;
    turn_record_currency(t, r, at_s);
    turn_record_entry(t, (struct entry){.at_s = at_s,
                                        .kind = ENTRY_COST,
                                        .subject_kind = SUBJECT_HATCHERY,
                                        .value = {cost->minor, 0, feed, amount->weight_mg}});
}

void turn_say_feed_cost(struct turn *t, const struct turn_sale *cost) {
    struct reply_value code = V_TEXT(turn_currency_code(t));
    struct reply_value sum = V_TEXT(turn_money_text(t, cost->minor));
    if (cost->unkept && turn_sender(t)->role == ROLE_WATCHER)
        TURN_SAY(t, SALE_UNKEPT_WATCHER);
    else if (cost->unkept)
        TURN_SAY(t, SALE_UNKEPT);
    else if (cost->booked && cost->price.minor)
        TURN_SAY(t, BOUGHT_BY_PRICE, code, sum, V_TEXT(turn_price_text(t, &cost->price)));
    else if (cost->booked)
        TURN_SAY(t, BOUGHT_FOR, code, sum);
}

void turn_say_sum_stays(struct turn *t) {
    const struct farm *farm = t->farm;
    bool goods = false;
    const struct entry *sum = NULL;
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (n->message != t->root || !farm->in_force[i])
            continue;
        goods |= n->kind == ENTRY_SOLD || n->kind == ENTRY_BOUGHT;
        sum = n->kind == ENTRY_INCOME || n->kind == ENTRY_COST ? n : sum;
    }
    if (goods && sum)
        TURN_SAY(t, SUM_STAYS, V_TEXT(turn_currency_code(t)),
                 V_TEXT(turn_money_text(t, sum->value[0])));
}

/* -- put right -----------------------------------------------------------------------------------
 */

/* The same fish and the same feed stand in the booking and the delivery of their text. The sum
 * stays: whoever was paid it was paid it. */
void turn_fix_beside(struct entry *copy, const struct entry *was, const struct entry *changed) {
    bool sold = changed->kind == ENTRY_SOLD;
    int64_t count = changed->value[0];
    if (copy->kind == ENTRY_BIG && changed->kind == ENTRY_HARVESTED) { /* the same catch */
        copy->value[0] = changed->value[0];
        copy->value[1] = changed->value[1];
    } else if (copy->kind == ENTRY_INCOME && sold) {
        copy->value[3] = changed->value[0];
        copy->value[4] = changed->value[1];
    } else if (copy->kind == ENTRY_DELIVERED && sold && count) {
        /* all that were sold, or so many as were left of the order */
        bool all = copy->value[0] == was->value[0];
        copy->value[0] = all || count < copy->value[0] ? count : copy->value[0];
    } else if (copy->kind == ENTRY_COST && changed->kind == ENTRY_BOUGHT) {
        copy->value[3] = changed->value[0];
    }
}
