/* harvest: what is taken out of a pond or dies in it, is counted or graded there. In: a request;
 * out: entries and an answer, or one question. Counting by weight is trade's. */
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

const struct cycle *turn_fill_cycle(struct turn *t, struct request *r, int64_t *at_s) {
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
    if (c)
        TURN_SAY(t, HOUR_BEFORE, V_TAG(r->pond), V_WHEN(*at_s), V_WHEN(c->stocked_s));
    else
        TURN_SAY(t, POND_EMPTY, V_TAG(r->pond));
    return NULL;
}

bool turn_said_late(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s) {
    if (c->closed_s)
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(turn_pond_tag(c->pond)), V_WHEN(at_s));
    return c->closed_s != 0;
}

/* How many were in it at an instant, by what had happened until then. */
static int64_t fish_then(struct turn *t, const struct cycle *c, int64_t at_s) {
    const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
    return cycle_fish(then ? then : c);
}

static bool count_possible(struct turn *t, int64_t count, int64_t least) {
    if (count >= least && count <= FISH_MOST)
        return true;
    TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(count));
    return false;
}

static bool too_many(struct turn *t, struct request *r, const struct cycle *c, int64_t at_s,
                     int64_t count) {
    int64_t fish = fish_then(t, c, at_s);
    if (count <= fish || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, V_TAG(turn_pond_tag(c->pond)),
             V_NUMBER(count), V_NUMBER(fish));
    return true;
}

/* -- harvest -------------------------------------------------------------------------------------
 */

/* The most that one fish of the pond can weigh: "6.4kg 50 fish" of fry lacks the sample's weight.
 */
static int64_t mean_most(const struct cycle *c, int64_t at_s) {
    bool fry = c->spawn || (c->mean_ug && c->mean_ug <= 5000000);
    return fry && at_s - c->stocked_s < (int64_t)FRY_DAYS * 86400 ? FRY_MOST_MG : MEAN_MOST_MG;
}

/* How many and how heavy, from what the text gave: total, fish counted and their weight; count and
 * the weight of all or of one; a count alone. False: an answer was given. */
static bool catch_of(struct turn *t, struct request *r, const struct cycle *c, int64_t at_s,
                     int64_t *count, int64_t *weight_mg) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    *weight_mg = 0;
    if (!request_has(r, SLOT_COUNT)) {
        if (request_chose(r, CHOICE_ALL) && !request_has(r, SLOT_WEIGHT)) {
            const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
            c = then ? then : c;
            *count = c->harvested ? 0 : cycle_fish(c); /* what a first part left was not there */
            return true;
        }
        TURN_SAY(t, HARVEST_HOW, tag);
        return false;
    }
    *count = r->count;
    if (!count_possible(t, *count, 1))
        return false;
    if (request_has(r, SLOT_SAMPLE)) {
        struct fish_count n = count_by_weight(r->weight_mg, r->count, r->sample_mg);
        if (n.reason != COUNT_OK || n.count < 1 || n.count > FISH_MOST) {
            TURN_SAY(t, SAMPLE_IMPOSSIBLE, tag);
            return false;
        }
        *count = n.count;
        *weight_mg = r->weight_mg;
    } else if (request_has(r, SLOT_WEIGHT)) {
        int64_t each_mg = r->weight_mg / *count;
        bool of_all = each_mg >= MEAN_LEAST_MG && each_mg <= mean_most(c, at_s);
        bool of_one = r->weight_mg >= MEAN_LEAST_MG && r->weight_mg <= ONE_MOST_MG;
        if (of_all == of_one) { /* both could be meant, or neither */
            TURN_SAY(t, HARVEST_HOW, tag);
            return false;
        }
        *weight_mg = of_all ? r->weight_mg : r->weight_mg * *count;
    }
    return true;
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
    int64_t at_s, count, weight_mg;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !catch_of(t, r, c, at_s, &count, &weight_mg))
        return;
    bool empty = request_chose(r, CHOICE_ALL);
    bool few = request_has(r, SLOT_SAMPLE) && count_sample_small(r->count);
    bool rest = empty && c->harvested; /* the pond is empty after parts were taken out */
    if (count == 0 && !rest) {
        TURN_SAY(t, HARVEST_HOW, V_TAG(r->pond));
        return;
    }
    if (too_many(t, r, c, at_s, count))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_HARVESTED, SUBJECT_CYCLE, number, at_s, count, weight_mg, empty);
    if (turn_commit(t))
        say_harvested(t, farm_cycle(&t->farm->state, number), count, weight_mg, empty, few);
}

void turn_sell_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    bool all = request_chose(r, CHOICE_ALL);
    if (!request_has(r, SLOT_COUNT) && !all) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
        return;
    }
    int64_t count = request_has(r, SLOT_COUNT) ? r->count : fish_then(t, c, at_s);
    if (!count_possible(t, count, 1) || too_many(t, r, c, at_s, count))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_SOLD, SUBJECT_CYCLE, number, at_s, count,
                request_has(r, SLOT_WEIGHT) ? r->weight_mg : 0, all);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (c->closed_s)
        TURN_SAY(t, SOLD_POND_ALL, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(count));
    else
        TURN_SAY(t, SOLD_POND, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(count),
                 V_NUMBER(turn_two_figures(cycle_fish(c))));
}

/* -- in the pond ---------------------------------------------------------------------------------
 */

void turn_dead_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
        return;
    }
    if (!count_possible(t, r->count, 1) || too_many(t, r, c, at_s, r->count))
        return;
    int64_t number = c->number, before = fish_then(t, c, at_s);
    turn_record(t, ENTRY_DIED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_said_late(t, r, c, at_s))
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
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !count_possible(t, r->count, 0) || too_many(t, r, c, at_s, r->count) ||
        turn_too_few(t, r, turn_pond_tag(c->pond), fish_then(t, c, at_s)))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_COUNTED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (!turn_said_late(t, r, c, at_s))
        TURN_SAY(t, COUNTED_POND, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(r->count),
                 V_NUMBER((r->count * 100 + c->count / 2) / c->count));
}

void turn_grade_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    int64_t taken = request_has(r, SLOT_COUNT) ? r->count : 0;
    if (!count_possible(t, taken, 0) || too_many(t, r, c, at_s, taken))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_GRADED, SUBJECT_CYCLE, number, at_s, taken, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (!turn_said_late(t, r, c, at_s))
        TURN_SAY(t, GRADED_POND, V_TAG(turn_pond_tag(c->pond)),
                 V_NUMBER(turn_two_figures(cycle_fish(c))), V_DATE(plan_harvest_day(c, t->zone)));
}
