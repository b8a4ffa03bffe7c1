/* harvest: what is taken out of a pond or dies in it, is counted or graded there. In: a request;
 * out: entries and an answer, or one question. Counting by weight is trade's. */
#include "trade/count.h"
#include "trade/sample.h"
#include "turn/inside.h"

enum {
    FISH_MOST = 5000000,
    MEAN_LEAST_MG = 20, /* between these a fish out of a nursery pond weighs something sensible */
    MEAN_MOST_MG = 3000000,
    ONE_MOST_MG = 500000, /* of one fish weighed for all: more is the weight of all */
    FRY_MOST_MG = 20000,  /* no fry is heavier before it is none any more (our own bound) */
    CATCH_TIMES = 2,      /* so much a catch may differ from what is possible for the mean ... */
    BIG_TIMES = 4,        /* ... and one of the big ones */
    MEAN_TIMES = 4        /* so many times what they are thought to weigh is no weight of theirs */
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
static struct survival_range fish_then(struct turn *t, const struct cycle *c, int64_t at_s) {
    return growing_fish(&t->farm->state, c, at_s);
}

static bool count_possible(struct turn *t, int64_t count, int64_t least) {
    if (count >= least && count <= FISH_MOST)
        return true;
    TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(count));
    return false;
}

/* `told` is the most as it is told: no finer than it is known. */
static bool more_than(struct turn *t, struct request *r, const struct cycle *c, int64_t count,
                      int64_t most, int64_t told) {
    if (count <= most || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, V_TAG(turn_pond_tag(c->pond)),
             V_NUMBER(count), V_NUMBER(told));
    return true;
}

bool turn_too_many(struct turn *t, struct request *r, const struct cycle *c, int64_t at_s,
                   int64_t count) {
    struct survival_range fish = fish_then(t, c, at_s);
    bool exact = fish.low == fish.high;
    int64_t told = exact ? fish.high : turn_two_figures(fish.high);
    return more_than(t, r, c, count, fish.high, told);
}

/* What was in the hands is no guess: only more than ever went in, less what came out, is asked. */
static bool more_than_put_in(struct turn *t, struct request *r, const struct cycle *c, int64_t at_s,
                             int64_t count) {
    const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
    int64_t most = cycle_fish(then ? then : c);
    return more_than(t, r, c, count, most, most);
}

/* -- harvest -------------------------------------------------------------------------------------
 */

/* The most that one fish of the pond can weigh: "6.4kg 50 fish" of fry lacks the sample's weight.
 * What larger ones can have grown to is asked about when it is known how heavy they are. */
static int64_t mean_most(const struct cycle *c, int64_t at_s) {
    bool fry = (c->spawn || c->mean_ug) && !turn_grown(c, at_s);
    return fry ? FRY_MOST_MG : MEAN_MOST_MG;
}

/* Of what was taken out: how many, with the range where they were counted by weight, and how heavy
 * in all (0: not weighed). */
struct catch {
    struct survival_range fish;
    int64_t weight_mg;
    bool guessed; /* nobody said how many: all that were thought to be there */
};

/* A weight beside a count is that of all or of one, whichever can be: by what fish of the pond are
 * thought to weigh where both can. */
enum weight_is { WEIGHT_CLEAR, WEIGHT_EITHER, WEIGHT_NEITHER };

static enum weight_is weight_of(struct turn *t, const struct request *r, const struct cycle *c,
                                int64_t at_s, int64_t count, int64_t *weight_mg) {
    struct growing g = growing_of(&t->farm->state, c, at_s);
    int64_t one_most_mg = turn_grown(c, at_s) ? MEAN_MOST_MG : ONE_MOST_MG;
    int64_t each_mg = r->weight_mg / count, one_mg = r->weight_mg;
    bool of_all = each_mg >= MEAN_LEAST_MG && each_mg <= mean_most(c, at_s);
    bool of_one = one_mg >= MEAN_LEAST_MG && one_mg <= one_most_mg;
    if (of_all && of_one && g.reason == GROWTH_OK) {
        int64_t mean_mg = g.weight_mg.middle;
        bool all = each_mg * MEAN_TIMES >= mean_mg && each_mg <= mean_mg * MEAN_TIMES;
        bool one = one_mg * MEAN_TIMES >= mean_mg && one_mg <= mean_mg * MEAN_TIMES;
        of_all = all || all == one;
        of_one = one || all == one;
    }
    *weight_mg = of_all ? r->weight_mg : r->weight_mg * count;
    if (!of_all && !of_one)
        return WEIGHT_NEITHER;
    return of_all && of_one && count > 1 ? WEIGHT_EITHER : WEIGHT_CLEAR;
}

/* A digit slipped shows in larger fish, whose weight is known; those caught are sorted. */
static bool mean_fits(struct turn *t, const struct request *r, const struct cycle *c,
                      const struct catch *out, int64_t at_s) {
    struct sample s =
        sample_of_total(1, out->weight_mg / (out->fish.middle ? out->fish.middle : 1));
    if (!out->weight_mg || !turn_grown(c, at_s) || s.reason != SAMPLE_OK)
        return true;
    s.error_mg = 0;
    return turn_mean_possible(t, r, c, &s, request_chose(r, CHOICE_BIG) ? BIG_TIMES : CATCH_TIMES,
                              at_s);
}

/* All weighed, some counted and weighed. */
static bool by_weight(struct turn *t, const struct request *r, struct reply_value tag,
                      struct catch *out) {
    struct fish_count_range n =
        count_by_weight_range(r->weight_mg, r->count, r->sample_mg, -1, false);
    if (n.reason != COUNT_OK || n.middle < 1 || n.middle > FISH_MOST) {
        TURN_SAY(t, SAMPLE_IMPOSSIBLE, tag);
        return false;
    }
    out->fish = (struct survival_range){n.low, n.middle, n.high};
    out->weight_mg = r->weight_mg;
    return true;
}

/* How many and how heavy, from what the text gave: total, fish counted and their weight; count and
 * the weight of all or of one; a count alone. False: an answer was given. */
static bool catch_of(struct turn *t, struct request *r, const struct cycle *c, int64_t at_s,
                     struct catch *out) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    bool big = request_chose(r, CHOICE_BIG);
    *out = (struct catch){.weight_mg = 0};
    if (!request_has(r, SLOT_COUNT)) {
        if (request_chose(r, CHOICE_ALL) && !request_has(r, SLOT_WEIGHT) && !big) {
            const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
            bool parts = (then ? then : c)->harvested > 0;
            if (!parts) /* what a first part left was not there */
                out->fish = fish_then(t, c, at_s);
            out->guessed = !parts;
            return true;
        }
        TURN_SAY(t, HARVEST_HOW, tag);
        return false;
    }
    if (!count_possible(t, r->count, 1))
        return false;
    out->fish = (struct survival_range){r->count, r->count, r->count};
    if (request_has(r, SLOT_SAMPLE))
        return by_weight(t, r, tag, out);
    if (!request_has(r, SLOT_WEIGHT) && !big)
        return true;
    if (request_has(r, SLOT_WEIGHT) &&
        weight_of(t, r, c, at_s, r->count, &out->weight_mg) == WEIGHT_CLEAR)
        return true;
    TURN_SAY(t, HARVEST_HOW, tag); /* both could be meant, or neither; big ones are weighed */
    return false;
}

/* All that went out weighed, and how many of them were. */
static int64_t weighed_out(const struct cycle *c, int64_t *count) {
    double mg = 0;
    *count = 0;
    for (int i = 0; i < c->event_count; i++) {
        const struct fish_event *e = &c->events[i];
        if ((e->kind != FISH_TAKEN && e->kind != FISH_BIG) || !e->mean_ug)
            continue;
        *count += e->count;
        mg += (double)e->count * (double)e->mean_ug / 1000;
    }
    return mg < 1e17 ? (int64_t)(mg + 0.5) : 0;
}

/* The end of a cycle: how many came out, of those stocked, how heavy, and on how much feed. */
static void say_emptied(struct turn *t, const struct cycle *c, const struct catch *out) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    int64_t before = c->out - out->fish.middle, count;
    struct survival_range all = {before + out->fish.low, c->out, before + out->fish.high};
    /* of those stocked, whatever way they came out */
    struct reply_value share = V_NUMBER((c->out * 100 + c->count / 2) / c->count);
    int64_t weight_mg = weighed_out(c, &count);
    all.low -= before > 0 && weight_mg > 0; /* parts before may have been counted by weight */
    struct reply_value fish = V_TEXT(turn_fish_text(t, all));
    if (out->guessed)
        TURN_SAY(t, HARVESTED_ALL_GUESS, tag, fish);
    else if (weight_mg && turn_grown(c, c->closed_s))
        TURN_SAY(t, HARVESTED_ALL_GROWN, tag, fish, share, V_WEIGHT(weight_mg),
                 V_WEIGHT(weight_mg / count));
    else if (weight_mg)
        TURN_SAY(t, HARVESTED_ALL, tag, fish, V_WEIGHT(weight_mg / count), share);
    else
        TURN_SAY(t, HARVESTED_ALL_COUNT, tag, fish, share);
    if (turn_grown(c, c->closed_s) && !out->guessed)
        turn_say_fcr(t, c, c->closed_s);
}

static void say_part(struct turn *t, const struct cycle *c, const struct catch *out, bool big) {
    struct growing rest = growing_of(&t->farm->state, c, t->now_s);
    int64_t more = out->fish.high - out->fish.middle; /* as much as the catch is unsure */
    rest.fish.low = rest.fish.low > more ? rest.fish.low - more : 0;
    rest.fish.high += out->fish.middle - out->fish.low;
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    struct reply_value fish = V_TEXT(turn_fish_text(t, out->fish));
    struct reply_value left = V_TEXT(turn_fish_text(t, rest.fish));
    struct reply_value mean = V_WEIGHT(out->weight_mg / out->fish.middle);
    struct reply_value all = V_WEIGHT(turn_two_figures(rest.biomass_mg));
    bool known = rest.reason == GROWTH_OK && turn_grown(c, t->now_s);
    if (big && known)
        TURN_SAY(t, HARVESTED_BIG, tag, fish, V_WEIGHT(out->weight_mg), mean, left,
                 V_TEXT(turn_mean_text(t, rest.weight_mg)));
    else if (out->weight_mg && known)
        TURN_SAY(t, HARVESTED_GROWN, tag, fish, V_WEIGHT(out->weight_mg), mean, left, all);
    else if (out->weight_mg)
        TURN_SAY(t, HARVESTED, tag, fish, mean, left);
    else
        TURN_SAY(t, HARVESTED_COUNT, tag, fish, left);
}

void turn_do_harvest(struct turn *t, struct request *r) {
    int64_t at_s;
    struct catch out;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !catch_of(t, r, c, at_s, &out))
        return;
    bool big = request_chose(r, CHOICE_BIG);
    bool empty = request_chose(r, CHOICE_ALL) && !big; /* all the big ones are not all */
    bool few = request_has(r, SLOT_SAMPLE) && count_sample_small(r->count);
    bool rest = empty && c->harvested; /* the pond is empty after parts were taken out */
    if (out.fish.middle == 0 && !rest) {
        TURN_SAY(t, HARVEST_HOW, V_TAG(r->pond));
        return;
    }
    if (more_than_put_in(t, r, c, at_s, out.guessed ? 0 : out.fish.low) ||
        !mean_fits(t, r, c, &out, at_s))
        return;
    int64_t number = c->number;
    if (big)
        turn_record(t, ENTRY_BIG, SUBJECT_CYCLE, number, at_s, out.fish.middle, out.weight_mg, 0);
    turn_record(t, ENTRY_HARVESTED, SUBJECT_CYCLE, number, at_s, out.fish.middle, out.weight_mg,
                empty);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_grown(c, at_s))
        turn_about(t, t->sender, ABOUT_GROWTH, number, (struct slice){0});
    if (c->closed_s)
        say_emptied(t, c, &out);
    else
        say_part(t, c, &out, big);
    if (few)
        TURN_SAY(t, SAMPLE_FEW);
}

/* -- sold ----------------------------------------------------------------------------------------
 */

/* How many and how heavy were sold. False: an answer was given. */
static bool sale_of(struct turn *t, struct request *r, const struct cycle *c, int64_t at_s,
                    struct catch *out) {
    *out = (struct catch){.guessed = !request_has(r, SLOT_COUNT)};
    if (out->guessed && !request_chose(r, CHOICE_ALL)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
        return false;
    }
    out->fish = out->guessed ? fish_then(t, c, at_s)
                             : (struct survival_range){r->count, r->count, r->count};
    int64_t count = out->fish.middle;
    if (!count_possible(t, count, 1) || turn_too_many(t, r, c, at_s, out->guessed ? 0 : count))
        return false;
    if (!request_has(r, SLOT_WEIGHT))
        return true;
    switch (weight_of(t, r, c, at_s, count, &out->weight_mg)) {
    case WEIGHT_CLEAR:
        return true;
    case WEIGHT_NEITHER:
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(r->weight_mg));
        return false;
    case WEIGHT_EITHER:
        break;
    }
    if (r->confirms & CONFIRM_EACH) {
        out->weight_mg = r->weight_mg * count;
        return true;
    }
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EACH, ASK_EACH, V_TAG(turn_pond_tag(c->pond)),
             V_NUMBER(count), V_WEIGHT(r->weight_mg));
    return false;
}

void turn_sell_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    struct catch out;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !sale_of(t, r, c, at_s, &out) || !mean_fits(t, r, c, &out, at_s))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_SOLD, SUBJECT_CYCLE, number, at_s, out.fish.middle, out.weight_mg,
                request_chose(r, CHOICE_ALL));
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    struct reply_value fish = V_TEXT(turn_fish_text(t, out.fish));
    struct reply_value left = V_TEXT(turn_left_text(t, c));
    if (c->closed_s)
        TURN_SAY(t, SOLD_POND_ALL, tag, fish);
    else if (out.weight_mg)
        TURN_SAY(t, SOLD_POND_WEIGHED, tag, fish, V_WEIGHT(out.weight_mg),
                 V_WEIGHT(out.weight_mg / out.fish.middle), left);
    else
        TURN_SAY(t, SOLD_POND, tag, fish, left);
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
    if (!count_possible(t, r->count, 1) || turn_too_many(t, r, c, at_s, r->count))
        return;
    int64_t number = c->number, before = fish_then(t, c, at_s).middle;
    turn_record(t, ENTRY_DIED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_said_late(t, r, c, at_s))
        return;
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), dead = V_NUMBER(r->count);
    struct reply_value left = V_TEXT(turn_left_text(t, c));
    if (!turn_mass_death(t, c, at_s, r->count, before))
        TURN_SAY(t, DEAD_POND, tag, dead, left);
}

void turn_count_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !count_possible(t, r->count, 0) || more_than_put_in(t, r, c, at_s, r->count) ||
        turn_too_few(t, r, turn_pond_tag(c->pond), fish_then(t, c, at_s).low))
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
    if (!count_possible(t, taken, 0) || turn_too_many(t, r, c, at_s, taken))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_GRADED, SUBJECT_CYCLE, number, at_s, taken, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_said_late(t, r, c, at_s))
        return;
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), left = V_TEXT(turn_left_text(t, c));
    if (turn_grown(c, t->now_s))
        TURN_SAY(t, GRADED_GROWN, tag, left);
    else
        TURN_SAY(t, GRADED_POND, tag, left, V_DATE(plan_harvest_day(c, t->zone)));
}
