/* order: fish that are asked for on a day. ORDER asks whether they can be promised and how; a YES
 * takes the order with its plan. The same text about an order that stands changes it. In: a
 * request; out: an offer as one question, entries when it is taken, or what could be instead. All
 * numbers come from offer.c and are trade's.
 *
 * Whatever is reported between the offer and the YES shows the offer anew (since.c). */
#include "turn/order.h"

#include "sms/parts.h"
#include "trade/book.h"
#include "trade/sample.h"

enum { DAY_S = 86400, YEARLESS_DAYS = 300, YEAR_SHOWN_DAYS = 350, G_MG = 1000, NOON = 12 };

/* -- words ---------------------------------------------------------------------------------------
 */

struct slice order_what(struct turn *t, int person, const struct order *o, struct slice name) {
    struct reply_value count = V_NUMBER(o->count), size = V_WEIGHT(o->mean_mg),
                       day = V_DATE(o->day_s);
    struct reply_value year = V_NUMBER(zone_local(t->zone, o->day_s).year), who = V_TEXT(name);
    struct reply r = {REPLY_ORDER_WHAT, {count, size, day}};
    bool far = zone_days_between(t->zone, t->now_s, o->day_s) > YEAR_SHOWN_DAYS;
    if (far && name.n)
        r = (struct reply){REPLY_ORDER_WHAT_YEAR_FOR, {count, size, day, year, who}};
    else if (far)
        r = (struct reply){REPLY_ORDER_WHAT_YEAR, {count, size, day, year}};
    else if (name.n)
        r = (struct reply){REPLY_ORDER_WHAT_FOR, {count, size, day, who}};
    return turn_render(t, person, &r);
}

bool order_owner(struct turn *t) {
    if (turn_sender(t)->role == ROLE_OWNER)
        return true;
    TURN_SAY(t, ORDER_OWNER);
    return false;
}

/* -- texts of several sentences ------------------------------------------------------------------
 */

void order_put(struct turn *t, struct order_text *out, enum order_weight weight,
               const struct reply *r) {
    if (out->count == ORDER_SENTENCES_MAX)
        return;
    out->may_drop[out->count] = weight == ORDER_MAY;
    out->sentences[out->count++] = turn_render(t, out->person, r);
}

static struct slice joined(struct turn *t, const struct order_text *text) {
    struct slice body = {0};
    for (int i = 0; i < text->count; i++)
        if (text->sentences[i].n)
            body = body.n ? turn_joined(t, body, text->sentences[i]) : text->sentences[i];
    return body;
}

struct slice order_fit(struct turn *t, struct order_text *text) {
    struct slice body = joined(t, text);
    for (int i = text->count - 1; i >= 0; i--) {
        struct sms_size size = {0};
        if (sms_measure(body, t->arena, &size) || size.parts <= LINES_PARTS)
            break;
        if (!text->may_drop[i])
            continue;
        text->sentences[i] = (struct slice){0};
        body = joined(t, text);
    }
    return body;
}

/* -- what is asked -------------------------------------------------------------------------------
 */

/* The day it is wanted; a day without its year that is long past could be next year's. False: an
 * answer was given. */
static bool wanted_day(struct turn *t, const struct request *r, int64_t *day_s) {
    if (!request_has(r, SLOT_DATE)) {
        *day_s = plan_clock(t->zone, t->base_s, r->day, NOON);
        if (r->day < 0)
            TURN_SAY(t, ORDER_PAST, V_DATE(*day_s));
        return r->day >= 0;
    }
    struct zone_time local = {.year =
                                  r->date_year ? r->date_year : zone_local(t->zone, t->base_s).year,
                              .month = r->date_month,
                              .day = r->date_day,
                              .hour = NOON};
    enum err e = zone_instant(t->zone, local, day_s);
    bool leap = e && r->date_month == 2 && r->date_day == 29;
    if (leap && !r->date_year) { /* of this year it is past, or never was */
        local.year += zone_local(t->zone, t->base_s).month > 2;
        e = zone_instant(t->zone, local, day_s);
        leap = e != ERR_OK;
    }
    if (leap) {
        TURN_SAY(t, ORDER_LEAP, V_NUMBER(local.year));
        return false;
    }
    if (!e && !r->date_year && zone_days_between(t->zone, t->base_s, *day_s) < 0) {
        int gone = zone_days_between(t->zone, *day_s, t->base_s);
        local.year++;
        e = gone < 365 - YEARLESS_DAYS ? ERR_RANGE : zone_instant(t->zone, local, day_s);
    }
    if (!e && zone_days_between(t->zone, t->base_s, *day_s) >= 0)
        return true;
    if (e == ERR_RANGE && !r->date_year)
        TURN_SAY(t, ORDER_FAR, V_DATE(*day_s));
    else if (e)
        TURN_SAY(t, DAY_NONE);
    else
        TURN_SAY(t, ORDER_PAST, V_DATE(*day_s));
    return false;
}

/* The weight of a fish that is so long by the middle of the book's condition, to the nearest. */
static int64_t weight_of_length(int64_t length_um) {
    int64_t low = 1, high = (int64_t)book_number(BOOK_ORDER_MOST_G) * G_MG * 2;
    while (low < high) {
        int64_t middle = low + (high - low) / 2;
        if (sample_length_um(middle) < length_um)
            low = middle + 1;
        else
            high = middle;
    }
    int64_t unit = low >= G_MG ? G_MG / 10 : 1; /* a tenth of a gram says it */
    return (low + unit / 2) / unit * unit;
}

/* How many and how heavy can be ordered. False: it was said why not. */
static bool possible(struct turn *t, const struct order *o) {
    int64_t most = (int64_t)book_number(BOOK_ORDER_MOST);
    int64_t lightest = (int64_t)book_number(BOOK_FRY_MG);
    int64_t heaviest = (int64_t)book_number(BOOK_ORDER_MOST_G) * G_MG;
    if (o->count <= 0)
        TURN_SAY(t, ORDER_ZERO);
    else if (o->count > most)
        TURN_SAY(t, ORDER_MANY, V_NUMBER(o->count), V_NUMBER(most));
    else if (o->mean_mg < lightest)
        TURN_SAY(t, ORDER_SMALL, V_WEIGHT(o->mean_mg), V_WEIGHT(lightest));
    else if (o->mean_mg > heaviest)
        TURN_SAY(t, ORDER_LARGE, V_WEIGHT(o->mean_mg), V_WEIGHT(heaviest));
    else
        return true;
    return false;
}

bool order_size(struct turn *t, const struct request *r, int64_t *mean_mg) {
    if (request_has(r, SLOT_WEIGHT))
        *mean_mg = r->weight_mg;
    else if (request_has(r, SLOT_LENGTH))
        *mean_mg = weight_of_length(r->length_um);
    else
        return false;
    (void)t;
    return true;
}

/* A new order as it is asked for. False: an answer was given. */
static bool new_order(struct turn *t, const struct request *r, struct order *o) {
    *o = (struct order){.number = offer_next_number(t), .count = r->count, .ordered_s = t->base_s};
    bool day = request_has(r, SLOT_DATE) || request_has(r, SLOT_DAY);
    if (!request_has(r, SLOT_COUNT))
        TURN_ASK(t, r, SLOT_COUNT, ASK_ORDER_COUNT);
    else if (r->count <= 0)
        TURN_SAY(t, ORDER_ZERO);
    else if (day && !wanted_day(t, r, &o->day_s)) /* no size is asked for a day that is past */
        return false;
    else if (!order_size(t, r, &o->mean_mg))
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_ORDER_SIZE, V_NUMBER(r->count));
    else if (!possible(t, o))
        return false;
    else if (!day)
        TURN_ASK(t, r, SLOT_DATE, ASK_ORDER_DAY, V_NUMBER(r->count), V_WEIGHT(o->mean_mg));
    else
        return true;
    return false;
}

/* An order that stands, with what the text says of it. False: an answer was given. */
static bool changed_order(struct turn *t, const struct request *r, const struct order *stands,
                          struct order *o) {
    *o = *stands;
    if (request_has(r, SLOT_OF))
        o->count = r->of;
    (void)order_size(t, r, &o->mean_mg);
    o->off_s = o->done_s = 0;
    if (stands->off_s) {
        TURN_SAY(t, ORDER_IS_OFF, V_NUMBER(o->number), V_DATE(stands->off_s));
        return false;
    }
    if (!possible(t, o))
        return false;
    bool day = request_has(r, SLOT_DATE) || request_has(r, SLOT_DAY);
    if (day && !wanted_day(t, r, &o->day_s))
        return false;
    if (!day && o->day_s < t->now_s - DAY_S) {
        TURN_SAY(t, ORDER_PAST, V_DATE(o->day_s));
        return false;
    }
    if (o->count <= o->delivered) {
        TURN_SAY(t, ORDER_HAS_GOT, V_NUMBER(o->number), V_NUMBER(o->delivered));
        return false;
    }
    return true;
}

/* -- an offer ------------------------------------------------------------------------------------
 */

static void put_plan(struct turn *t, const struct offer *o, struct slice what,
                     struct order_text *out) {
    const struct choose_plan *plan = &o->chosen;
    int64_t inject_s = offer_instant(t, plan->days.inject_day, plan->days.inject_min);
    int64_t prepare_day = plan->short_form ? plan->days.prepare_short_day : plan->days.prepare_day;
    int male_count;
    struct slice males = offer_males(t, &male_count);
    ORDER_PUT(t, out, ORDER_MUST, ORDER_OFFER, V_TEXT(what),
              V_TEXT(offer_females(t, t->sender, &o->with, plan)), V_WHEN(inject_s),
              V_WATER(o->with.mdegc));
    if (o->have)
        ORDER_PUT(t, out, ORDER_MAY, ORDER_OFFER_PART, V_NUMBER(offer_floor(o->have)));
    if (plan->spare >= 0)
        ORDER_PUT(t, out, ORDER_MAY, ORDER_SPARE,
                  V_TAG(((struct tag){'f', o->with.females[plan->spare]->tag})));
    else
        ORDER_PUT(t, out, ORDER_MAY, ORDER_SPARE_NONE, {0});
    if (male_count > 1)
        ORDER_PUT(t, out, ORDER_MAY, ORDER_MALES, V_TEXT(males));
    else if (male_count)
        ORDER_PUT(t, out, ORDER_MUST, ORDER_MALES_ONE, V_TEXT(males));
    else
        ORDER_PUT(t, out, ORDER_MUST, ORDER_MALES_NONE, {0});
    if (!plan->pond_count)
        return;
    struct reply_value ponds = V_TEXT(offer_ponds(t, t->sender, &o->with, plan));
    struct reply_value from = V_DATE(offer_instant(t, prepare_day, NOON * 60));
    if (plan->short_form)
        ORDER_PUT(t, out, ORDER_MUST, ORDER_PONDS_SHORT, ponds, from);
    else
        ORDER_PUT(t, out, ORDER_MUST, ORDER_PONDS, ponds, from);
}

static void put_odds(struct turn *t, const struct offer *o, struct order_text *out) {
    struct reply_value low = V_NUMBER(offer_floor(o->promise));
    struct reply_value middle = V_NUMBER(turn_two_figures(o->middle));
    if (o->with.own_runs > 1)
        ORDER_PUT(t, out, ORDER_MUST, ORDER_ODDS_OWN, low, middle, V_NUMBER(o->with.own_runs));
    else if (o->with.own_runs)
        ORDER_PUT(t, out, ORDER_MUST, ORDER_ODDS_ONE, low, middle);
    else
        ORDER_PUT(t, out, ORDER_MUST, ORDER_ODDS_BOOK, low, middle);
    if (turn_two_figures(o->high) > turn_two_figures(o->middle))
        ORDER_PUT(t, out, ORDER_MAY, ORDER_ODDS_HIGH, V_NUMBER(turn_two_figures(o->high)));
}

static void put_fall(struct turn *t, const struct offer *o, struct order_text *out) {
    struct reply_value order = V_NUMBER(o->fall.order), of = V_NUMBER(o->fall.count);
    struct reply_value promise = V_NUMBER(offer_floor(o->fall.promise));
    if (o->falls > 1)
        ORDER_PUT(t, out, ORDER_MUST, ORDER_FALLS_MORE, order, promise, of, V_NUMBER(o->falls - 1));
    else if (o->falls)
        ORDER_PUT(t, out, ORDER_MUST, ORDER_FALLS, order, promise, of);
}

static void say_offer(struct turn *t, const struct request *r, const struct offer *o,
                      struct slice name) {
    struct slice what = order_what(t, t->sender, &o->order, name);
    struct order_text text = {.person = t->sender};
    if (o->keeps)
        ORDER_PUT(t, &text, ORDER_MUST, ORDER_OFFER_KEEPS, V_TEXT(what));
    else if (o->chosen.female_count)
        put_plan(t, o, what, &text);
    else
        ORDER_PUT(t, &text, ORDER_MUST, ORDER_OFFER_HERE, V_TEXT(what));
    put_odds(t, o, &text);
    put_fall(t, o, &text);
    if (o->changes)
        ORDER_PUT(t, &text, ORDER_MUST, ASK_ORDER_CHANGE, V_NUMBER(o->order.number));
    else
        ORDER_PUT(t, &text, ORDER_MUST, ASK_ORDER, {0});
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX, order_fit(t, &text));
    turn_open_question(t, turn_sender(t)->id, r, t->base_s, CONFIRM_BASE + CONFIRM_ORDER, t->root);
}

/* -- what cannot be ------------------------------------------------------------------------------
 */

/* The evening that has most of what could be used then: its number, when it is called off. */
static void say_held(struct turn *t, const struct offer *o, bool pond) {
    const struct order_days *days = &o->chosen.days;
    const struct choose_farm *farm = &o->with.farm;
    int64_t from = pond ? days->prepare_short_day : days->inject_day;
    int64_t to = pond ? days->harvest_day : days->inject_day;
    int64_t number = 0;
    int most = 0;
    for (int i = 0; i < farm->busy_count; i++) {
        int n = 0;
        for (int k = 0; k < farm->busy_count; k++) {
            const struct choose_busy *b = &farm->busy[k];
            n += b->pond == pond && b->from_day <= to && from <= b->to_day &&
                 o->with.busy_of[k] == o->with.busy_of[i];
        }
        if (n > most)
            number = o->with.busy_of[i];
        most = n > most ? n : most;
    }
    bool helps = pond || (o->need.promise_mg && o->chosen.females_able + most >= o->need.females);
    if (!helps)
        return;
    const struct spawn_plan *p = number ? farm_spawn_plan(&t->farm->state, number) : NULL;
    if (p && p->order)
        TURN_SAY(t, ORDER_HELD, V_NUMBER(p->order), V_DATE(p->inject_s));
    else if (p && !p->spawn)
        TURN_SAY(t, ORDER_HELD_SEASON, V_NUMBER(p->number), V_DATE(p->inject_s));
}

static void say_why_not(struct turn *t, const struct offer *o, struct reply_value what) {
    const struct farm_state *st = &t->farm->state;
    const struct order_days *days = &o->chosen.days;
    struct reply_value weight =
        V_WEIGHT(turn_two_figures(o->need.promise_mg ? o->need.promise_mg : o->need.middle_mg));
    struct reply_value area = V_AREA(turn_two_figures(
        o->need.promise_area_cm2 ? o->need.promise_area_cm2 : o->need.middle_area_cm2));
    bool pond = days->pond_days.middle > 0;
    if (o->chosen.reason == ORDER_LATE)
        TURN_SAY(t, ORDER_LATE_NOW, what,
                 V_WHEN(offer_instant(t, days->inject_day, days->inject_min)));
    else if (o->chosen.reason != ORDER_NOT_ALL && o->chosen.reason != ORDER_OK)
        TURN_SAY(t, ORDER_BEYOND, what);
    else if (!o->with.farm.female_count)
        TURN_SAY(t, ORDER_NO_FEMALES, what, weight);
    else if (pond && !st->pond_count)
        TURN_SAY(t, ORDER_NO_PONDS, what, area);
    else if (!o->need.promise_mg || o->chosen.females_able < o->need.females) {
        TURN_SAY(t, ORDER_FEW_FEMALES, what, V_NUMBER(o->chosen.females_able), weight);
        say_held(t, o, false);
    } else if (pond && (o->chosen.ponds_able == 0 || o->can > 0)) {
        TURN_SAY(t, ORDER_FEW_PONDS, what, V_NUMBER(o->chosen.ponds_able), area);
        say_held(t, o, true);
    } else
        TURN_SAY(t, ORDER_BEYOND, what);
}

static void say_can(struct turn *t, const struct offer *o) {
    struct reply_value day = V_DATE(o->order.day_s), can = V_NUMBER(offer_floor(o->can));
    if (offer_floor(o->can) <= o->order.delivered)
        TURN_SAY(t, ORDER_CAN_NONE, day);
    else if (o->changes)
        TURN_SAY(t, ORDER_CAN_CHANGE, day, can, V_NUMBER(o->order.number));
    else
        TURN_SAY(t, ORDER_CAN, day, can, V_WEIGHT(o->order.mean_mg));
}

/* How many could be promised by that day, and from which day on all of them. */
static void say_instead(struct turn *t, const struct offer *o) {
    struct reply_value number = V_NUMBER(o->order.number);
    struct reply_value size = V_WEIGHT(o->order.mean_mg), count = V_NUMBER(o->order.count);
    struct reply_value first =
        V_DATE(offer_instant(t, o->first_day > 0 ? o->first_day : 0, NOON * 60));
    if (o->can < o->order.count) /* one female alone could, but may fail */
        say_can(t, o);
    if (o->first_day < 0)
        TURN_SAY(t, ORDER_NEVER, count);
    else if (o->changes)
        TURN_SAY(t, ORDER_FIRST_CHANGE, count, first, number);
    else
        TURN_SAY(t, ORDER_FIRST, count, first, size);
}

static void say_cannot(struct turn *t, const struct offer *o, struct slice name) {
    struct reply_value what = V_TEXT(order_what(t, t->sender, &o->order, name));
    say_why_not(t, o, what);
    bool known =
        o->with.farm.female_count && (t->farm->state.pond_count || !o->need.middle_area_cm2);
    if (known)
        say_instead(t, o);
    else if (o->can > o->order.delivered)
        say_can(t, o);
    if (o->changes)
        TURN_SAY(t, ORDER_STAYS, V_NUMBER(o->order.number));
    else
        TURN_SAY(t, ORDER_NOT_TAKEN);
}

/* -- taking it -----------------------------------------------------------------------------------
 */

/* Ponds that were being prepared for a plan of the order which it keeps no more. */
void order_free_ponds(struct turn *t, int64_t order, const struct offer *keeps) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->plan_count; i++) {
        const struct spawn_plan *p = &st->plans[i];
        if (p->order != order || p->spawn || p->off_s)
            continue;
        for (int k = 0; k < p->pond_count; k++) {
            bool kept = false;
            for (int c = 0; keeps && c < keeps->chosen.pond_count; c++)
                kept |= keeps->with.ponds[keeps->chosen.ponds[c]] == p->ponds[k];
            order_free_pond(t, p, p->ponds[k], kept);
        }
    }
}

void order_free_pond(struct turn *t, const struct spawn_plan *plan, int number, bool kept) {
    const struct pond *pond = farm_pond(&t->farm->state, number);
    int64_t apart_s = pond ? plan->day_s - pond->ready_s : 0;
    bool of_it = pond && pond->ready_s && !pond->spawn && !pond->cycle && apart_s >= 0 &&
                 apart_s <= ORDER_POND_DAYS * (int64_t)DAY_S;
    if (of_it && !kept)
        turn_record(t, ENTRY_PREPARE, SUBJECT_POND, number, t->base_s, 0, 0, 0);
}

/* Plans of the order that wait and are not the one that is said anew. */
void order_drop_plans(struct turn *t, int64_t order, int64_t but) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->plan_count; i++) {
        const struct spawn_plan *p = &st->plans[i];
        if (p->order == order && p->number != but && !p->spawn && !p->off_s)
            turn_record(t, ENTRY_PLAN_OFF, SUBJECT_PLAN, p->number, t->base_s, 0, 0, 0);
    }
}

static void take(struct turn *t, const struct offer *o, const struct request *r) {
    const struct order *order = &o->order;
    bool named = request_has(r, SLOT_NAME) && t->party_id;
    int64_t buyer = named ? t->party_id(t->context, slice_of(r->name)) : 0;
    int64_t promised = o->promise < order->count ? o->promise : order->count;
    turn_record_entry(
        t, (struct entry){.kind = o->changes ? ENTRY_ORDER_CHANGED : ENTRY_ORDERED,
                          .subject_kind = SUBJECT_ORDER,
                          .subject = order->number,
                          .at_s = t->base_s,
                          .value = {order->count, order->mean_mg, order->day_s, buyer, promised}});
    bool plans = o->chosen.female_count > 0 && !o->keeps;
    if (!o->keeps) {
        order_drop_plans(t, order->number, plans ? o->plan : 0);
        order_free_ponds(t, order->number, o);
    }
    if (plans)
        offer_record_plan(t, &o->with, &o->chosen, o->plan,
                          &(struct spawn_plan){.order = order->number,
                                               .fish = o->want.fish,
                                               .size_mg = order->mean_mg,
                                               .day_s = order->day_s});
    if (!turn_commit(t))
        return;
    struct slice name = named ? turn_name_shown(t, slice_of(r->name)) : offer_name(t, order->buyer);
    struct reply_value what = V_TEXT(order_what(t, t->sender, order, name));
    if (o->changes)
        TURN_SAY(t, ORDER_CHANGED, V_NUMBER(order->number), what);
    else
        TURN_SAY(t, ORDER_TAKEN, V_NUMBER(order->number), what);
}

static void do_offer(struct turn *t, const struct request *r, const struct order *order,
                     bool changes) {
    struct offer *o = ARENA_ARRAY(t->arena, 1, struct offer);
    if (!o) {
        t->e = ERR_NOMEM;
        return;
    }
    if (!offer_make(t, order, changes, o))
        return;
    struct slice name = request_has(r, SLOT_NAME) ? turn_name_shown(t, slice_of(r->name))
                                                  : offer_name(t, order->buyer);
    struct buf line = buf_make_in(t->arena, 400);
    request_write(r, &line);
    bool here = o->feasible && !o->chosen.female_count && !o->keeps;
    turn_about(t, t->sender, ABOUT_ORDER,
               here      ? ORDER_OF_HERE
               : changes ? order->number
                         : 0,
               buf_slice(&line));
    if (!o->feasible)
        say_cannot(t, o, name);
    else if (r->confirms & CONFIRM_ORDER)
        take(t, o, r);
    else
        say_offer(t, r, o, name);
}

/* A number alone, or with a day or a second number, is about the order that has it; with a weight,
 * too, while that is open: nobody orders so few fish. */
static const struct order *named_order(const struct turn *t, const struct request *r) {
    const uint64_t fresh = SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_LENGTH);
    const struct order *o =
        request_has(r, SLOT_COUNT) ? farm_order(&t->farm->state, r->count) : NULL;
    bool few = o && r->count < ORDER_FEW && order_open(o, t->now_s);
    return (r->has & fresh) && !few ? NULL : o;
}

static bool small_number(const struct request *r) {
    const uint64_t more = SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_LENGTH) | SLOT_BIT(SLOT_DATE) |
                          SLOT_BIT(SLOT_DAY) | SLOT_BIT(SLOT_NAME);
    return request_has(r, SLOT_COUNT) &&
           (request_has(r, SLOT_OF) || (!(r->has & more) && r->count > 0 && r->count < ORDER_FEW));
}

/* "order 2 300" is read as 2300, as people write thousands: without a weight it can be order 2,
 * too. True: it was asked; *stands is the order when the YES has come. */
static bool asks_split(struct turn *t, struct request *r, const struct order **stands) {
    const uint64_t fresh = SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_LENGTH) | SLOT_BIT(SLOT_OF);
    const struct order *of = NULL;
    if (!*stands && request_has(r, SLOT_COUNT) && !(r->has & fresh) && r->count >= ORDER_FEW &&
        r->count < ORDER_FEW * ORDER_FEW)
        of = farm_order(&t->farm->state, r->count / ORDER_FEW);
    if (!of)
        return false;
    int64_t all = r->count, count = all % ORDER_FEW;
    if (!(r->confirms & CONFIRM_GIVEN)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_GIVEN, ASK_ORDER_SPLIT, V_NUMBER(of->number),
                 V_NUMBER(count), V_NUMBER(all));
        return true;
    }
    r->count = of->number;
    r->count_milli = of->number * 1000;
    r->of = count;
    r->has |= SLOT_BIT(SLOT_OF);
    *stands = of;
    return false;
}

static void do_order(struct turn *t, struct request *r) {
    const struct order *stands = named_order(t, r);
    const uint64_t says = SLOT_BIT(SLOT_OF) | SLOT_BIT(SLOT_DATE) | SLOT_BIT(SLOT_DAY) |
                          SLOT_BIT(SLOT_NAME) | SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_LENGTH);
    struct order order;
    if (stands && !(r->has & says)) {
        turn_show_order(t, stands);
        return;
    }
    if (!stands && small_number(r)) {
        TURN_SAY(t, ORDER_UNKNOWN, V_NUMBER(r->count));
        return;
    }
    if (!order_owner(t) || asks_split(t, r, &stands))
        return;
    bool good = stands ? changed_order(t, r, stands, &order) : new_order(t, r, &order);
    if (good)
        do_offer(t, r, &order, stands != NULL);
}

/* A second plain number behind a small one: the order of that number gets it. */
bool turn_order_again(struct text_result *read) {
    struct request *r = &read->request;
    int64_t count = 0;
    if (read->reading != TEXT_DOUBT || r->kind != REQUEST_ORDER ||
        read->doubt != TEXT_DOUBT_TWICE || !slice_of(read->token).n ||
        !request_has(r, SLOT_COUNT) || r->count <= 0 || r->count >= ORDER_FEW ||
        (r->has & (SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_LENGTH))))
        return false;
    for (const char *p = read->token; *p; p++) {
        bool digit = *p >= '0' && *p <= '9';
        if (!digit && *p != ',' && *p != ' ')
            return false;
        count = digit && count < INT32_MAX ? count * 10 + (*p - '0') : count;
    }
    r->of = count;
    r->has |= SLOT_BIT(SLOT_OF);
    read->doubt = TEXT_DOUBT_NONE;
    return true;
}

bool turn_judge_order(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_ORDER:
        do_order(t, r);
        return true;
    case REQUEST_ORDERS:
        turn_list_orders(t);
        return true;
    case REQUEST_CALL_OFF:
        turn_call_off(t, r);
        return true;
    case REQUEST_SEASON:
        turn_do_season(t, r);
        return true;
    default:
        return false;
    }
}
