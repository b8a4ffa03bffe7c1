/* harvest: what is taken out of a pond or dies in it, is counted or graded there, and what becomes
 * of the harvested in a holding net. In: a request; out: entries and an answer, or one question.
 * Counting by weight is trade's. */
#include "trade/book.h"
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

/* So many sold right after a part was harvested are of that part. */
static bool of_part(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s) {
    const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
    return request_has(r, SLOT_COUNT) && !request_chose(r, CHOICE_ALL) && r->count > 0 &&
           r->count <= cycle_caught(then ? then : c, at_s);
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
    if (c && !request_has(r, SLOT_TIME) && *at_s < c->stocked_s &&
        zone_days_between(t->zone, *at_s, c->stocked_s) == 0)
        *at_s = c->stocked_s; /* a day without an hour, that on which they came */
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

bool turn_said_late(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s) {
    if (c->closed_s)
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(turn_pond_tag(c->pond)), V_WHEN(at_s));
    return c->closed_s != 0;
}

static struct survival_range exactly(int64_t count) {
    return (struct survival_range){count, count, count};
}

/* How many were in it at an instant, or in the net, by what had happened until then. */
static struct survival_range fish_then(struct turn *t, const struct cycle *c, int64_t at_s) {
    if (!of_net(c, at_s))
        return growing_fish(&t->farm->state, c, at_s);
    const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
    return exactly(cycle_net(then ? then : c));
}

static bool count_possible(struct turn *t, int64_t count, int64_t least) {
    if (count >= least && count <= FISH_MOST)
        return true;
    TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(count));
    return false;
}

/* `told` is the most as it is told: no finer than it is known. */
static bool more_than(struct turn *t, const struct request *r, const struct cycle *c, int64_t count,
                      int64_t most, int64_t told) {
    if (count <= most || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, V_TAG(turn_pond_tag(c->pond)),
             V_NUMBER(count), V_NUMBER(told));
    return true;
}

bool turn_too_many(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s,
                   int64_t count) {
    struct survival_range fish = fish_then(t, c, at_s);
    bool exact = fish.low == fish.high;
    int64_t told = exact ? fish.high : turn_two_figures(fish.high);
    /* "1500 of at most 1500" would be no question */
    return more_than(t, r, c, count, told > fish.high ? told : fish.high, told);
}

/* What was in the hands is no guess: only more than ever went in, less what came out, is asked. */
static bool more_than_put_in(struct turn *t, const struct request *r, const struct cycle *c,
                             int64_t at_s, int64_t count) {
    const struct cycle *then = farm_cycle(turn_then(t, at_s), c->number);
    int64_t most = cycle_fish(then ? then : c);
    return more_than(t, r, c, count, most, most);
}

bool turn_fish_fit(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s,
                   enum entry_kind kind, int64_t count) {
    bool counted = kind == ENTRY_COUNTED;
    if (!count_possible(t, count, counted || kind == ENTRY_GRADED ? 0 : 1))
        return false;
    if (!counted)
        return !turn_too_many(t, r, c, at_s, count);
    const struct survival_range thought = fish_then(t, c, at_s);
    return !more_than_put_in(t, r, c, at_s, count) &&
           !turn_too_few(t, r, turn_pond_tag(c->pond), thought.low, thought.middle);
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

static enum weight_is weight_of(struct turn *t, int64_t said_mg, const struct cycle *c,
                                int64_t at_s, int64_t count, int64_t *weight_mg) {
    struct growing g = growing_of(&t->farm->state, c, at_s);
    int64_t one_most_mg = turn_grown(c, at_s) ? MEAN_MOST_MG : ONE_MOST_MG;
    int64_t each_mg = said_mg / count, one_mg = said_mg;
    bool of_all = each_mg >= MEAN_LEAST_MG && each_mg <= mean_most(c, at_s);
    bool of_one = one_mg >= MEAN_LEAST_MG && one_mg <= one_most_mg;
    if (of_all && of_one && g.reason == GROWTH_OK) {
        int64_t mean_mg = g.weight_mg.middle;
        bool all = each_mg * MEAN_TIMES >= mean_mg && each_mg <= mean_mg * MEAN_TIMES;
        bool one = one_mg * MEAN_TIMES >= mean_mg && one_mg <= mean_mg * MEAN_TIMES;
        of_all = all || all == one;
        of_one = one || all == one;
    }
    if (!of_all && !of_one) /* it may be too large to be multiplied */
        return WEIGHT_NEITHER;
    *weight_mg = of_all ? said_mg : said_mg * count;
    return of_all && of_one && count > 1 ? WEIGHT_EITHER : WEIGHT_CLEAR;
}

/* A digit slipped shows in larger fish, whose weight is known; those caught are sorted: so many
 * times it may differ. */
static bool mean_fits(struct turn *t, const struct request *r, const struct cycle *c,
                      const struct catch *out, int times, int64_t at_s) {
    struct sample s =
        sample_of_total(1, out->weight_mg / (out->fish.middle ? out->fish.middle : 1));
    if (!out->weight_mg || !turn_grown(c, at_s) || s.reason != SAMPLE_OK)
        return true;
    s.error_mg = 0;
    return turn_mean_possible(t, r, c, &s, times, at_s);
}

static bool catch_fits(struct turn *t, const struct request *r, const struct cycle *c,
                       const struct catch *out, bool big, int64_t at_s) {
    return !more_than_put_in(t, r, c, at_s, out->guessed ? 0 : out->fish.low) &&
           mean_fits(t, r, c, out, big ? BIG_TIMES : CATCH_TIMES, at_s);
}

/* All weighed, some counted and weighed. */
static bool by_sample(struct turn *t, struct tag pond, struct entry *n, struct catch *out) {
    struct fish_count_range fish =
        count_by_weight_range(n->value[1], n->value[3], n->value[4], -1, false);
    if (fish.reason != COUNT_OK || fish.middle < 1 || fish.middle > FISH_MOST) {
        TURN_SAY(t, SAMPLE_IMPOSSIBLE, V_TAG(pond));
        return false;
    }
    n->value[0] = fish.middle;
    out->fish = (struct survival_range){fish.low, fish.middle, fish.high};
    out->weight_mg = n->value[1];
    return true;
}

/* So many, and a weight that must be clear; 0: none was said. */
static bool by_count(struct turn *t, int64_t said_mg, const struct cycle *c, struct entry *n,
                     struct catch *out) {
    if (said_mg && (!n->value[0] ||
                    weight_of(t, said_mg, c, n->at_s, n->value[0], &n->value[1]) != WEIGHT_CLEAR)) {
        TURN_SAY(t, HARVEST_HOW, V_TAG(turn_pond_tag(c->pond))); /* both could be, or neither */
        return false;
    }
    out->guessed = !n->value[0];
    out->fish = n->value[0] ? exactly(n->value[0]) : fish_then(t, c, n->at_s);
    out->weight_mg = n->value[1];
    return true;
}

/* How many and how heavy, from what the text gave: total, fish counted and their weight; count and
 * the weight of all or of one; a count alone. False: an answer was given. */
static bool catch_of(struct turn *t, const struct request *r, const struct cycle *c,
                     struct entry *n, struct catch *out) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    bool big = request_chose(r, CHOICE_BIG), weighed = request_has(r, SLOT_WEIGHT);
    *out = (struct catch){.weight_mg = 0};
    if (!request_has(r, SLOT_COUNT)) {
        if (request_chose(r, CHOICE_ALL) && !weighed && !big) {
            const struct cycle *then = farm_cycle(turn_then(t, n->at_s), c->number);
            out->guessed = !(then ? then : c)->harvested;
            if (out->guessed) /* what a first part left was not there */
                out->fish = fish_then(t, c, n->at_s);
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
        return by_sample(t, turn_pond_tag(c->pond), n, out);
    }
    if ((weighed || big) && (!weighed || r->weight_mg < 1)) { /* big ones are weighed */
        TURN_SAY(t, HARVEST_HOW, tag);
        return false;
    }
    return by_count(t, weighed ? r->weight_mg : 0, c, n, out);
}

/* a is nearer to b than to c, as a ratio */
static bool nearer(int64_t a, int64_t b, int64_t c) {
    double to_b = (double)a / (double)b, to_c = (double)a / (double)c;
    return (to_b > 1 ? to_b : 1 / to_b) < (to_c > 1 ? to_c : 1 / to_c);
}

/* The text said that they were the big ones. */
static bool said_big(const struct turn *t, int64_t message) {
    for (int i = 0; i < t->farm->count; i++)
        if (t->farm->entries[i].message == message && t->farm->entries[i].kind == ENTRY_BIG)
            return true;
    return false;
}

bool turn_catch_fits(struct turn *t, const struct request *r, const struct cycle *c,
                     struct entry *n) {
    bool counted = request_has(r, SLOT_COUNT), weighed = request_has(r, SLOT_WEIGHT);
    struct catch out = {.weight_mg = 0};
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
        if (!(n->value[3] ? by_sample(t, turn_pond_tag(c->pond), n, &out)
                          : by_count(t, 0, c, n, &out)))
            return false;
    } else {
        n->value[0] = counted ? r->count : n->value[0];
        if (!by_count(t, weighed ? r->weight_mg : 0, c, n, &out))
            return false;
    }
    return catch_fits(t, r, c, &out, said_big(t, n->message), n->at_s);
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

/* The pond is closed whatever is answered; a number puts the harvest right. */
static void ask_how_many_came(struct turn *t, const struct cycle *c, const struct catch *out) {
    struct tag tag = turn_pond_tag(c->pond);
    const struct request fix = {.kind = REQUEST_FIX, .has = SLOT_BIT(SLOT_TAG), .tag = tag};
    TURN_ASK(t, &fix, SLOT_COUNT, HARVESTED_ALL_GUESS, V_TAG(tag),
             V_TEXT(turn_fish_text(t, out->fish)));
}

/* The end of a cycle: how many came out, of those stocked, how heavy, and on how much feed. Where
 * parts went before, this haul stands apart from what is said of all of them. */
static void say_emptied(struct turn *t, const struct cycle *c, const struct catch *out) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    int64_t before = c->out - out->fish.middle, count;
    struct survival_range all = {before + out->fish.low, c->out, before + out->fish.high};
    /* of those stocked, whatever way they came out */
    struct reply_value share = V_NUMBER((c->out * 100 + c->count / 2) / c->count);
    int64_t weight_mg = weighed_out(c, &count);
    all.low -= before > 0 && weight_mg > 0; /* parts before may have been counted by weight */
    struct reply_value fish = V_TEXT(turn_fish_text(t, all));
    bool exact = out->fish.low == out->fish.high;
    struct reply_value now =
        V_NUMBER(exact ? out->fish.middle : turn_two_figures(out->fish.middle));
    struct reply_value mean = V_WEIGHT(count ? weight_mg / count : 0);
    bool grown = turn_grown(c, c->closed_s);
    if (out->guessed && !out->fish.middle)
        TURN_SAY(t, POND_CLOSED, tag);
    else if (out->guessed) /* those that were there: what was moved before is no part of them */
        ask_how_many_came(t, c, out);
    else if (weight_mg && grown && before)
        TURN_SAY(t, HARVESTED_ALL_GROWN_PARTS, tag, fish, share, V_WEIGHT(weight_mg), mean, now);
    else if (weight_mg && grown)
        TURN_SAY(t, HARVESTED_ALL_GROWN, tag, fish, share, V_WEIGHT(weight_mg), mean);
    else if (weight_mg && before)
        TURN_SAY(t, HARVESTED_ALL_PARTS, tag, fish, mean, share, now);
    else if (weight_mg)
        TURN_SAY(t, HARVESTED_ALL, tag, fish, mean, share);
    else if (before)
        TURN_SAY(t, HARVESTED_ALL_COUNT_PARTS, tag, fish, share, now);
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

/* A sample is never heavier than what it was taken of. The two may have been texted the wrong way
 * round, or one of them is wrong: asked with what YES would record. */
static bool turned_round(struct turn *t, struct request *r) {
    if (!request_has(r, SLOT_SAMPLE) || r->sample_mg <= r->weight_mg)
        return false;
    int64_t sample_mg = r->weight_mg;
    r->weight_mg = r->sample_mg;
    r->sample_mg = sample_mg;
    if (request_has(r, SLOT_COUNT))
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SHAPE, ASK_SAMPLE_TURNED, V_TAG(r->pond),
                 V_WEIGHT(r->weight_mg), V_NUMBER(r->count), V_WEIGHT(r->sample_mg));
    else
        TURN_SAY(t, HARVEST_HOW, V_TAG(r->pond));
    return true;
}

void turn_do_harvest(struct turn *t, struct request *r) {
    struct entry n = {.kind = ENTRY_HARVESTED, .subject_kind = SUBJECT_CYCLE};
    struct catch out;
    const struct cycle *c = turn_fill_cycle(t, r, &n.at_s);
    if (!c || turned_round(t, r) || !catch_of(t, r, c, &n, &out))
        return;
    bool big = request_chose(r, CHOICE_BIG);
    bool empty = request_chose(r, CHOICE_ALL) && !big; /* all the big ones are not all */
    bool few = request_has(r, SLOT_SAMPLE) && count_sample_small(r->count);
    /* after parts were taken out, or none is thought alive: the pond is only closed */
    bool rest = empty && (c->harvested || out.guessed);
    if (out.fish.middle == 0 && !rest) {
        TURN_SAY(t, HARVEST_HOW, V_TAG(r->pond));
        return;
    }
    if (!catch_fits(t, r, c, &out, big, n.at_s))
        return;
    n.subject = c->number;
    n.value[2] = empty; /* without a number: all that were there, however many that was */
    if (big)
        turn_record(t, ENTRY_BIG, SUBJECT_CYCLE, n.subject, n.at_s, n.value[0], n.value[1], 0);
    turn_record_entry(t, n);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, n.subject);
    if (turn_grown(c, n.at_s))
        turn_about(t, t->sender, ABOUT_GROWTH, n.subject, (struct slice){0});
    if (c->closed_s)
        say_emptied(t, c, &out);
    else
        say_part(t, c, &out, big);
    if (few)
        TURN_SAY(t, SAMPLE_FEW);
}

/* -- sold ----------------------------------------------------------------------------------------
 */

/* A weight of what was sold: it is asked whose it is where that is not clear. False: an answer was
 * given. */
static bool sale_weight(struct turn *t, const struct request *r, const struct cycle *c,
                        int64_t at_s, int64_t count, int64_t *weight_mg) {
    switch (weight_of(t, r->weight_mg, c, at_s, count, weight_mg)) {
    case WEIGHT_CLEAR:
        return true;
    case WEIGHT_NEITHER:
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(r->weight_mg));
        return false;
    case WEIGHT_EITHER:
        break;
    }
    if (r->confirms & CONFIRM_EACH) {
        *weight_mg = r->weight_mg * count;
        return true;
    }
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EACH, ASK_EACH, V_TAG(turn_pond_tag(c->pond)),
             V_NUMBER(count), V_WEIGHT(r->weight_mg));
    return false;
}

/* How many and how heavy were sold: what the text says of it over what the entry has. */
static bool sale_of(struct turn *t, const struct request *r, const struct cycle *c, struct entry *n,
                    struct catch *out) {
    if (request_has(r, SLOT_COUNT)) {
        n->value[0] = r->count;
        if (!of_part(t, r, c, n->at_s) && !turn_fish_fit(t, r, c, n->at_s, ENTRY_SOLD, r->count))
            return false;
    }
    *out = (struct catch){.guessed = !n->value[0]};
    out->fish = out->guessed ? fish_then(t, c, n->at_s) : exactly(n->value[0]);
    int64_t count = out->fish.middle;
    if (!count_possible(t, count, out->guessed ? 0 : 1) ||
        (request_has(r, SLOT_WEIGHT) && count &&
         !sale_weight(t, r, c, n->at_s, count, &n->value[1])))
        return false;
    out->weight_mg = n->value[1];
    return mean_fits(t, r, c, out, CATCH_TIMES, n->at_s);
}

bool turn_sale_fits(struct turn *t, const struct request *r, const struct cycle *c,
                    struct entry *n) {
    struct catch out;
    return sale_of(t, r, c, n, &out);
}

static bool sale_money(struct turn *t, struct request *r, const struct cycle *c,
                       const struct entry *n, int64_t fish, struct turn_sale *sale) {
    struct growing g = growing_of(&t->farm->state, c, n->at_s);
    const struct turn_sold sold = {.of = SUBJECT_CYCLE,
                                   .subject = c->number,
                                   .at_s = n->at_s,
                                   .count = n->value[0],
                                   .thought = fish,
                                   .weight_mg = n->value[1],
                                   .mean_mg = g.reason == GROWTH_OK ? g.weight_mg.middle : 0};
    return turn_fill_sale(t, r, &sold, sale);
}

void turn_sell_pond(struct turn *t, struct request *r) {
    struct entry n = {.kind = ENTRY_SOLD, .subject_kind = SUBJECT_CYCLE};
    struct catch out;
    struct turn_sale sale;
    const struct cycle *c = turn_fill_cycle(t, r, &n.at_s);
    if (!c)
        return;
    n.value[2] = request_chose(r, CHOICE_ALL);
    if (!request_has(r, SLOT_COUNT) && !n.value[2]) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
        return;
    }
    if (turn_sale_unclear(t, r, turn_pond_tag(c->pond), fish_then(t, c, n.at_s).high) ||
        !sale_of(t, r, c, &n, &out) || !sale_money(t, r, c, &n, out.fish.middle, &sale))
        return;
    n.subject = c->number;
    bool net = of_net(c, n.at_s), part = of_part(t, r, c, n.at_s);
    turn_record_sale(t, r, &sale);
    turn_record_entry(t, n);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, n.subject);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    struct reply_value fish = V_TEXT(turn_fish_text(t, out.fish));
    struct reply_value left = V_TEXT(turn_left_text(t, c));
    if (net)
        TURN_SAY(t, SOLD_NET, tag, V_NUMBER(out.fish.middle), V_NUMBER(cycle_net(c)));
    else if (part)
        TURN_SAY(t, SOLD_NET, tag, V_NUMBER(out.fish.middle), V_NUMBER(cycle_caught(c, n.at_s)));
    else if (c->closed_s && !out.fish.middle) /* none was thought left: it is only closed */
        TURN_SAY(t, POND_CLOSED, tag);
    else if (c->closed_s)
        TURN_SAY(t, SOLD_POND_ALL, tag, fish);
    else if (out.weight_mg)
        TURN_SAY(t, SOLD_POND_WEIGHED, tag, fish, V_WEIGHT(out.weight_mg),
                 V_WEIGHT(out.weight_mg / out.fish.middle), left);
    else
        TURN_SAY(t, SOLD_POND, tag, fish, left);
    turn_say_sale(t, &sale);
}

/* -- in the pond ---------------------------------------------------------------------------------
 */

void turn_dead_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_DEAD_COUNT, V_TAG(r->pond));
        return;
    }
    if (!turn_fish_fit(t, r, c, at_s, ENTRY_DIED, r->count))
        return;
    int64_t number = c->number, before = fish_then(t, c, at_s).middle;
    bool net = of_net(c, at_s);
    turn_record(t, ENTRY_DIED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), dead = V_NUMBER(r->count);
    if (net) {
        TURN_SAY(t, DEAD_NET, tag, dead, V_NUMBER(cycle_net(c)));
        return;
    }
    if (turn_said_late(t, r, c, at_s))
        return;
    struct reply_value left = V_TEXT(turn_left_text(t, c));
    if (turn_mass_death(t, c, at_s, r->count, before))
        return;
    if (zone_days_between(t->zone, at_s, t->now_s))
        TURN_SAY(t, DEAD_POND_DAY, tag, dead, V_DATE(at_s), left);
    else
        TURN_SAY(t, DEAD_POND, tag, dead, left);
}

void turn_count_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !turn_fish_fit(t, r, c, at_s, ENTRY_COUNTED, r->count))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_COUNTED, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_said_late(t, r, c, at_s))
        return;
    /* what was sold, moved or sorted out before is no loss */
    struct reply_value share = V_NUMBER(((r->count + c->out) * 100 + c->count / 2) / c->count);
    if (c->out)
        TURN_SAY(t, COUNTED_POND_OUT, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(r->count),
                 V_NUMBER(c->out), share);
    else
        TURN_SAY(t, COUNTED_POND, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(r->count), share);
}

void turn_grade_pond(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
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
    if (turn_said_late(t, r, c, at_s))
        return;
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), left = V_TEXT(turn_left_text(t, c));
    int64_t harvest_s = plan_harvest_day(c, t->zone);
    struct nursery_range to = turn_direct_expected(t, c);
    if (turn_grown(c, t->now_s))
        TURN_SAY(t, GRADED_GROWN, tag, left);
    else if (cycle_direct(c) && !c->counted_s && harvest_s > t->now_s)
        TURN_SAY(t, GRADED_DIRECT, tag, left, V_NUMBER(turn_two_figures(to.low)),
                 V_NUMBER(turn_two_figures(to.high)), V_DATE(harvest_s));
    else
        TURN_SAY(t, GRADED_POND, tag, left, V_DATE(plan_harvest_day(c, t->zone)));
}
