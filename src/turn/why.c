/* why: the arithmetic of the last answer and where its numbers come from. In: what the answer was
 * about; out: an answer. It is worked out again from the state, so that it is the arithmetic of
 * now. */
#include "trade/book.h"
#include "trade/eggs.h"
#include "trade/lime.h"
#include "turn/inside.h"

#define KG_MG INT64_C(1000000)

/* -- why ----------------------------------------------------------------------------------------
 */

static int64_t hours_milli(const struct book_table *table, int64_t mdegc) {
    enum progress_status status;
    return (int64_t)(progress_hours(table, mdegc, &status) * 1000 + 0.5);
}

/* Degrees between two readings, on a tenth: nobody read the rest. */
static int64_t tenth(int64_t mdegc) {
    return (mdegc + 50) / 100 * 100;
}

/* How many readings set the hours from one instant to another; 1 when the water was the same. */
static int readings_used(struct water_series water, int64_t from_s, int64_t to_s) {
    int first = water_count_until(water, from_s), last = water_count_until(water, to_s);
    bool same = true;
    first = first ? first - 1 : 0;
    for (int i = first + 1; i < last; i++)
        same &= water.readings[i].mdegc == water.readings[first].mdegc;
    return same || last - first < 1 ? 1 : last - first;
}

static void why_look(struct turn *t, const struct spawn *s) {
    struct latency l = spawn_latency(s);
    struct water_series water = spawn_water(s);
    if (l.look.status != PROGRESS_OK) {
        turn_say_no_hour(t, s);
        return;
    }
    int64_t first = tenth(water_at_mdegc(water, s->injected_s));
    int64_t last = tenth(water_at_mdegc(water, l.look.at_s));
    struct reply_value tag = V_TAG(turn_tag(s)), at = V_WHEN(s->injected_s);
    struct reply_value hours = V_DECIMAL(hours_milli(&book_latency, first));
    int used = readings_used(water, s->injected_s, l.look.at_s);
    if (used > 1)
        TURN_SAY(t, WHY_LOOK_CHANGED, tag, at, V_NUMBER(used), V_WATER(first), hours, V_WATER(last),
                 V_DECIMAL(hours_milli(&book_latency, last)), V_WHEN(l.look.at_s));
    else
        TURN_SAY(t, WHY_LOOK, tag, at, V_WATER(first), hours, V_WHEN(l.look.at_s));
}

static void why_eggs(struct turn *t, const struct spawn *s) {
    struct hatch h = spawn_hatch(s);
    if (!s->stripped_s || h.last.status != PROGRESS_OK) {
        turn_say_no_hour(t, s);
        return;
    }
    struct water_series water = spawn_water(s);
    int64_t first = tenth(water_at_mdegc(water, s->stripped_s));
    struct reply_value tag = V_TAG(turn_tag(s)), weight = V_WEIGHT(s->eggs_mg);
    struct reply_value eggs = V_NUMBER(eggs_of_weight(s->eggs_mg)), half = V_WHEN(h.half.at_s);
    if (readings_used(water, s->stripped_s, h.last.at_s) > 1)
        TURN_SAY(t, WHY_EGGS_CHANGED, tag, weight, eggs, V_WATER(first),
                 V_WATER(tenth(water_at_mdegc(water, h.last.at_s))), half, V_WHEN(h.last.at_s));
    else
        TURN_SAY(t, WHY_EGGS, tag, weight, eggs, V_WATER(first),
                 V_DECIMAL(hours_milli(&book_hatching, first)), half, V_WHEN(h.last.at_s));
}

static void why_plan(struct turn *t, const struct about *about) {
    struct request r;
    if (request_read(about->data, &r)) {
        TURN_SAY(t, WHY_NOTHING);
        return;
    }
    const struct water_reading held = {0, r.water_mdegc};
    struct progress begin = latency_plan((struct water_series){&held, 1}, about->subject);
    TURN_SAY(t, WHY_PLAN, V_TAG(r.tag), V_WATER(r.water_mdegc),
             V_DECIMAL(hours_milli(&book_latency, r.water_mdegc)), V_WHEN(about->subject),
             V_WHEN(begin.at_s));
}

/* -- of amounts and counts -----------------------------------------------------------------------
 */

static void why_lime(struct turn *t, const struct pond *pond) {
    struct lime_dose dose = lime_of(pond->soil_ph_milli, (enum soil)pond->soil, pond->area_cm2);
    int64_t kg_are = pond->area_cm2 ? dose.carbonate_mg / pond->area_cm2 : 0; /* mg a cm2 */
    TURN_SAY(t, WHY_LIME, V_TAG(turn_pond_tag(pond->number)), V_DECIMAL(pond->soil_ph_milli),
             V_NUMBER(kg_are), V_CENTI(pond->area_cm2 / 1000),
             V_NUMBER((dose.carbonate_mg + KG_MG - 1) / KG_MG));
}

static void why_larvae(struct turn *t, const struct spawn *s) {
    struct larvae_range left = turn_larvae(s, t->now_s);
    struct reply_value tag = V_TAG(turn_tag(s)), now = V_NUMBER(turn_two_figures(left.middle));
    if (s->counted_s)
        TURN_SAY(t, WHY_LARVAE_COUNTED, tag, V_NUMBER(s->counted), V_WHEN(s->counted_s),
                 V_NUMBER(s->died + s->taken), now);
    else if (s->hatched_s)
        TURN_SAY(t, WHY_LARVAE_HATCHED, tag, V_NUMBER(turn_two_figures(s->hatched)),
                 V_NUMBER(s->died + s->taken), now);
    else
        TURN_SAY(t, WHY_LARVAE, tag, V_NUMBER(turn_two_figures(spawn_eggs(s))),
                 V_NUMBER(s->died + s->taken), now);
}

static void why_stock(struct turn *t, const struct cycle *c) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), fish = V_NUMBER(cycle_fish(c));
    if (c->closed_s || !cycle_fish(c)) /* of none nothing is reckoned */
        TURN_SAY(t, WHY_NOTHING);
    else if (cycle_direct(c))
        TURN_SAY(t, WHY_STOCK_DIRECT, tag, fish);
    else
        TURN_SAY(t, WHY_STOCK, tag, fish);
}

static void why_pond(struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = farm_pond(st, tag.number);
    if (!pond)
        turn_refuse_pond(t, tag);
    else if (pond->cycle && turn_grown(farm_cycle(st, pond->cycle), t->now_s))
        turn_why_growth(t, farm_cycle(st, pond->cycle));
    else if (pond->cycle)
        why_stock(t, farm_cycle(st, pond->cycle));
    else if (pond->soil && pond->soil_ph_milli && pond->area_cm2)
        why_lime(t, pond);
    else
        TURN_SAY(t, WHY_NOTHING);
}

/* False: the last answer was about something else, or its subject is no more. */
static bool why_more(struct turn *t, const struct about *about) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = farm_pond(st, about->subject);
    const struct cycle *c = farm_cycle(st, about->subject);
    const struct spawn *s = farm_spawn(st, about->subject);
    if (about->kind == ABOUT_DOSE)
        TURN_SAY(t, WHY_DOSE);
    else if (about->kind == ABOUT_LIME && pond)
        why_lime(t, pond);
    else if (about->kind == ABOUT_LARVAE && s)
        why_larvae(t, s);
    else if (about->kind == ABOUT_STOCK && c)
        why_stock(t, c);
    else if (about->kind == ABOUT_WATER)
        turn_why_water(t, about);
    else if (about->kind == ABOUT_RATION && pond)
        turn_why_ration(t, pond);
    else if (about->kind == ABOUT_FEED && pond)
        turn_why_feed(t, pond);
    else if (about->kind == ABOUT_STORE)
        turn_why_store(t, about->subject);
    else if (about->kind == ABOUT_RATES)
        turn_why_rates(t);
    else if (about->kind == ABOUT_ACCOUNT)
        turn_why_account(t, about);
    else if (about->kind == ABOUT_BLEND)
        turn_why_blend(t, about->data);
    else if (about->kind == ABOUT_ORDER)
        turn_why_order(t, about);
    else if (about->kind == ABOUT_GROWTH && c)
        turn_why_growth(t, c);
    else
        return false;
    return true;
}

/* Her newest spawn, closed or not; without one the refusal was said. */
static const struct spawn *spawn_of_tag(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    for (int i = st->spawn_count - 1; i >= 0 && r->tag.letter == 'f'; i--)
        if (st->spawns[i].tag == r->tag.number)
            return &st->spawns[i];
    return turn_fill_spawn(t, r, SPAWN_ANY, t->now_s);
}

void turn_do_why(struct turn *t, struct request *r) {
    if (request_has(r, SLOT_TAG) && r->tag.letter == 'p') {
        why_pond(t, r->tag);
        return;
    }
    if (request_has(r, SLOT_TAG)) {
        const struct spawn *named = spawn_of_tag(t, r);
        if (named && named->stripped_s)
            why_eggs(t, named);
        else if (named)
            why_look(t, named);
        return;
    }
    const struct about about = turn_sender(t)->about;
    const struct spawn *s = farm_spawn(&t->farm->state, about.subject);
    if (why_more(t, &about))
        return;
    if (about.kind == ABOUT_PLAN)
        why_plan(t, &about);
    else if (about.kind == ABOUT_LOOK && s)
        why_look(t, s);
    else if (about.kind == ABOUT_EGGS && s)
        why_eggs(t, s);
    else
        TURN_SAY(t, WHY_NOTHING);
}
