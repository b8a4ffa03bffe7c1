/* harvest: what is taken out of a pond or dies in it, is counted or graded there, and what becomes
 * of the harvested in a holding net. In: a request; out: entries and an answer, or one question.
 * Counting by weight is trade's. */
#include "trade/book.h"
#include "trade/count.h"
#include "turn/inside.h"

enum {
    FISH_MOST = 5000000,
    MEAN_LEAST_MG = 20, /* between these a fish out of a nursery pond weighs something sensible */
    MEAN_MOST_MG = 3000000,
    ONE_MOST_MG = 500000, /* of one fish weighed for all: more is the weight of all */
    FRY_DAYS = 60,        /* no fry grows from 5 g or less to 20 g in so long (our own bound) */
    FRY_MOST_MG = 20000
};

/* What swam in the pond at an instant: a report of then may come after the pond was emptied. */
const struct cycle *turn_cycle_then(const struct farm_state *st, int pond, int64_t at_s) {
    for (int i = st->cycle_count - 1; i >= 0; i--) {
        const struct cycle *c = &st->cycles[i];
        if (c->pond == pond && c->stocked_s <= at_s && (!c->closed_s || at_s < c->closed_s))
            return c;
    }
    return NULL;
}

const struct cycle *turn_net_then(const struct farm_state *st, int pond, int64_t at_s) {
    const struct cycle *last = NULL;
    for (int i = 0; i < st->cycle_count; i++) {
        const struct cycle *c = &st->cycles[i];
        if (c->pond == pond && c->closed_s && c->closed_s <= at_s &&
            (!last || c->closed_s >= last->closed_s))
            last = c;
    }
    int64_t most_s = (int64_t)book_number(BOOK_NET_DAYS) * 86400;
    return last && at_s - last->closed_s <= most_s && cycle_net(last) ? last : NULL;
}

static bool of_net(const struct cycle *c, int64_t at_s) {
    return c->closed_s && at_s >= c->closed_s;
}

/* The pond's fish a report is about; NULL: an answer was given. */
static const struct cycle *reported(struct turn *t, struct request *r, int64_t *at_s) {
    if (!turn_fill_instant(t, r, at_s))
        return NULL;
    if (request_has(r, SLOT_TAG) && r->tag.letter == 'p' && !request_has(r, SLOT_POND)) {
        r->pond = r->tag; /* "dead p4 30": the kind takes any tag */
        r->has |= SLOT_BIT(SLOT_POND);
    }
    const struct pond *pond = turn_fill_pond(t, r);
    if (!pond)
        return NULL;
    const struct cycle *c = pond->cycle ? farm_cycle(&t->farm->state, pond->cycle) : NULL;
    const struct cycle *then = turn_cycle_then(&t->farm->state, pond->number, *at_s);
    if (then)
        return then;
    const struct cycle *net = turn_net_then(&t->farm->state, pond->number, *at_s);
    if (net && (r->kind == REQUEST_SOLD || r->kind == REQUEST_DEAD))
        return net;
    if (c)
        TURN_SAY(t, HOUR_BEFORE, V_TAG(r->pond), V_WHEN(*at_s), V_WHEN(c->stocked_s));
    else
        TURN_SAY(t, POND_EMPTY, V_TAG(r->pond));
    return NULL;
}

/* Of fish that are no longer there nothing is left to do. */
static bool said_late(struct turn *t, const struct request *r, const struct cycle *c,
                      int64_t at_s) {
    if (c->closed_s)
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(turn_pond_tag(c->pond)), V_WHEN(at_s));
    return c->closed_s != 0;
}

/* How many were in it at an instant, or in the net, by what had happened until then. */
static int64_t fish_then(struct turn *t, const struct cycle *c, int64_t at_s) {
    const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
    c = then ? then : c;
    return of_net(c, at_s) ? cycle_net(c) : cycle_fish(c);
}

static bool count_possible(struct turn *t, int64_t count, int64_t least) {
    if (count >= least && count <= FISH_MOST)
        return true;
    TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(count));
    return false;
}

static bool too_many(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s,
                     int64_t count) {
    int64_t fish = fish_then(t, c, at_s);
    if (count <= fish || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, V_TAG(turn_pond_tag(c->pond)),
             V_NUMBER(count), V_NUMBER(fish));
    return true;
}

bool turn_fish_fit(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s,
                   enum entry_kind kind, int64_t count) {
    int64_t least = kind == ENTRY_COUNTED || kind == ENTRY_GRADED ? 0 : 1;
    if (!count_possible(t, count, least) || too_many(t, r, c, at_s, count))
        return false;
    return kind != ENTRY_COUNTED ||
           !turn_too_few(t, r, turn_pond_tag(c->pond), fish_then(t, c, at_s));
}

/* -- harvest -------------------------------------------------------------------------------------
 */

/* The most that one fish of the pond can weigh: "6.4kg 50 fish" of fry lacks the sample's weight.
 */
static int64_t mean_most(const struct cycle *c, int64_t at_s) {
    bool fry = c->spawn || (c->mean_ug && c->mean_ug <= 5000000);
    return fry && at_s - c->stocked_s < (int64_t)FRY_DAYS * 86400 ? FRY_MOST_MG : MEAN_MOST_MG;
}

/* A sample's count and weight, by which all are counted. False: they cannot be. */
static bool by_sample(struct turn *t, struct tag pond, struct entry *n) {
    struct fish_count fish = count_by_weight(n->value[1], n->value[3], n->value[4]);
    if (fish.reason != COUNT_OK || fish.count < 1 || fish.count > FISH_MOST) {
        TURN_SAY(t, SAMPLE_IMPOSSIBLE, V_TAG(pond));
        return false;
    }
    n->value[0] = fish.count;
    return true;
}

/* A weight behind a count is that of all, or of one. */
static bool of_all_or_one(struct turn *t, const struct cycle *c, struct entry *n,
                          int64_t weight_mg) {
    int64_t each_mg = n->value[0] ? weight_mg / n->value[0] : 0;
    bool of_all = each_mg >= MEAN_LEAST_MG && each_mg <= mean_most(c, n->at_s);
    bool of_one = n->value[0] && weight_mg >= MEAN_LEAST_MG && weight_mg <= ONE_MOST_MG;
    if (of_all == of_one) { /* both could be meant, or neither */
        TURN_SAY(t, HARVEST_HOW, V_TAG(turn_pond_tag(c->pond)));
        return false;
    }
    n->value[1] = of_all ? weight_mg : weight_mg * n->value[0];
    return true;
}

/* How many and how heavy, from what the text gave: total, fish counted and their weight; count and
 * the weight of all or of one; a count alone. False: an answer was given. */
static bool catch_of(struct turn *t, struct request *r, const struct cycle *c, struct entry *n) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    if (!request_has(r, SLOT_COUNT)) {
        if (request_chose(r, CHOICE_ALL) && !request_has(r, SLOT_WEIGHT)) {
            const struct cycle *then = farm_cycle(turn_then(t, n->at_s), c->number);
            c = then ? then : c;
            n->value[0] =
                c->harvested ? 0 : cycle_fish(c); /* what a first part left was not there */
            return true;
        }
        TURN_SAY(t, HARVEST_HOW, tag);
        return false;
    }
    if (!count_possible(t, r->count, 1))
        return false;
    n->value[0] = r->count;
    if (request_has(r, SLOT_SAMPLE)) {
        n->value[1] = r->weight_mg;
        n->value[3] = r->count;
        n->value[4] = r->sample_mg;
        return by_sample(t, turn_pond_tag(c->pond), n);
    }
    return !request_has(r, SLOT_WEIGHT) || of_all_or_one(t, c, n, r->weight_mg);
}

/* a is nearer to b than to c, as a ratio */
static bool nearer(int64_t a, int64_t b, int64_t c) {
    double to_b = (double)a / (double)b, to_c = (double)a / (double)c;
    return (to_b > 1 ? to_b : 1 / to_b) < (to_c > 1 ? to_c : 1 / to_c);
}

bool turn_catch_fits(struct turn *t, const struct request *r, const struct cycle *c,
                     struct entry *n) {
    bool counted = request_has(r, SLOT_COUNT), weighed = request_has(r, SLOT_WEIGHT);
    if ((counted && !count_possible(t, r->count, 1)) || (weighed && r->weight_mg < 1))
        return false;
    if (n->value[3]) { /* by a sample: what was meant, all of them or the sample? */
        if (counted && nearer(r->count, n->value[3], n->value[0])) {
            n->value[3] = r->count;
        } else if (counted) {
            n->value[0] = r->count;
            n->value[3] = n->value[4] = 0;
        }
        if (weighed && n->value[3] && nearer(r->weight_mg, n->value[4], n->value[1]))
            n->value[4] = r->weight_mg;
        else if (weighed)
            n->value[1] = r->weight_mg;
        if (n->value[3] && !by_sample(t, turn_pond_tag(c->pond), n))
            return false;
    } else {
        n->value[0] = counted ? r->count : n->value[0];
        if (weighed && !of_all_or_one(t, c, n, r->weight_mg))
            return false;
    }
    return turn_fish_fit(t, r, c, n->at_s, ENTRY_HARVESTED, n->value[0]);
}

static void say_harvested(struct turn *t, const struct cycle *c, int64_t count, int64_t weight_mg,
                          bool empty, bool few) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), fish = V_NUMBER(count);
    /* of those stocked, whatever way they came out */
    struct reply_value share = V_NUMBER((c->out * 100 + c->count / 2) / c->count);
    struct reply_value rest = V_NUMBER(turn_two_figures(cycle_fish(c)));
    if (empty && weight_mg)
        TURN_SAY(t, HARVESTED_ALL, tag, fish, V_WEIGHT(weight_mg / count), share);
    else if (empty)
        TURN_SAY(t, HARVESTED_ALL_COUNT, tag, V_NUMBER(c->harvested), share);
    else if (weight_mg)
        TURN_SAY(t, HARVESTED, tag, fish, V_WEIGHT(weight_mg / count), rest);
    else
        TURN_SAY(t, HARVESTED_COUNT, tag, fish, rest);
    if (few)
        TURN_SAY(t, SAMPLE_FEW);
}

void turn_do_harvest(struct turn *t, struct request *r) {
    struct entry n = {.kind = ENTRY_HARVESTED, .subject_kind = SUBJECT_CYCLE};
    const struct cycle *c = reported(t, r, &n.at_s);
    if (!c || !catch_of(t, r, c, &n))
        return;
    bool empty = request_chose(r, CHOICE_ALL);
    bool few = request_has(r, SLOT_SAMPLE) && count_sample_small(r->count);
    bool rest = empty && c->harvested; /* the pond is empty after parts were taken out */
    if (n.value[0] == 0 && !rest) {
        TURN_SAY(t, HARVEST_HOW, V_TAG(r->pond));
        return;
    }
    if (too_many(t, r, c, n.at_s, n.value[0]))
        return;
    int64_t count = n.value[0];
    n.subject = c->number;
    n.value[2] = empty;
    if (!request_has(r, SLOT_COUNT)) /* all that were there, however many that was */
        n.value[0] = 0;
    turn_record_entry(t, n);
    if (turn_commit(t))
        say_harvested(t, farm_cycle(&t->farm->state, n.subject), count, n.value[1], empty, few);
}

void turn_sell_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = reported(t, r, &at_s);
    if (!c)
        return;
    bool all = request_chose(r, CHOICE_ALL);
    if (!request_has(r, SLOT_COUNT) && !all) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
        return;
    }
    int64_t count = request_has(r, SLOT_COUNT) ? r->count : fish_then(t, c, at_s);
    bool none = all && !count; /* none was thought left: it is only closed */
    if (!none && !turn_fish_fit(t, r, c, at_s, ENTRY_SOLD, count))
        return;
    int64_t number = c->number;
    bool net = of_net(c, at_s);
    turn_record(t, ENTRY_SOLD, SUBJECT_CYCLE, number, at_s, request_has(r, SLOT_COUNT) ? count : 0,
                request_has(r, SLOT_WEIGHT) ? r->weight_mg : 0, all);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (net)
        TURN_SAY(t, SOLD_NET, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(count),
                 V_NUMBER(cycle_net(c)));
    else if (c->closed_s && none)
        TURN_SAY(t, POND_CLOSED, V_TAG(turn_pond_tag(c->pond)));
    else if (c->closed_s)
        TURN_SAY(t, SOLD_POND_ALL, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(count));
    else
        TURN_SAY(t, SOLD_POND, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(count),
                 V_NUMBER(turn_two_figures(cycle_fish(c))));
}

/* -- in the pond ---------------------------------------------------------------------------------
 */

void turn_dead_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = reported(t, r, &at_s);
    if (!c)
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
        return;
    }
    if (!turn_fish_fit(t, r, c, at_s, ENTRY_DIED, r->count))
        return;
    int64_t number = c->number, before = fish_then(t, c, at_s);
    bool net = of_net(c, at_s);
    turn_record(t, ENTRY_DIED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (net) {
        TURN_SAY(t, DEAD_NET, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(r->count),
                 V_NUMBER(cycle_net(c)));
        return;
    }
    if (said_late(t, r, c, at_s))
        return;
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), dead = V_NUMBER(r->count);
    struct reply_value left = V_NUMBER(turn_two_figures(cycle_fish(c)));
    if (r->count * 20 >= before) /* a twentieth at once is no common loss */
        TURN_SAY(t, DEAD_POND_MANY, tag, dead);
    else
        TURN_SAY(t, DEAD_POND, tag, dead, left);
}

void turn_count_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = reported(t, r, &at_s);
    if (!c || !turn_fish_fit(t, r, c, at_s, ENTRY_COUNTED, r->count))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_COUNTED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (!said_late(t, r, c, at_s))
        TURN_SAY(t, COUNTED_POND, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(r->count),
                 V_NUMBER((r->count * 100 + c->count / 2) / c->count));
}

void turn_grade_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = reported(t, r, &at_s);
    if (!c)
        return;
    int64_t taken = request_has(r, SLOT_COUNT) ? r->count : 0;
    if (!turn_fish_fit(t, r, c, at_s, ENTRY_GRADED, taken))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_GRADED, SUBJECT_CYCLE, number, at_s, taken, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (!said_late(t, r, c, at_s))
        TURN_SAY(t, GRADED_POND, V_TAG(turn_pond_tag(c->pond)),
                 V_NUMBER(turn_two_figures(cycle_fish(c))), V_DATE(plan_harvest_day(c, t->zone)));
}
