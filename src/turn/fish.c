/* fish: how many fish of a pond there are thought to be and how heavy, in words; samples that were
 * weighed, and thefts. In: a request and the state; out: entries and an answer, or one question.
 * Numbers are trade's. A sample that cannot be is refused, one that hardly can is asked about. */
#include "trade/book.h"
#include "trade/sample.h"
#include "turn/inside.h"

#define HEAVIEST_MG INT64_C(60000000) /* the largest African catfish, from memory */
enum {
    FRY_DAYS = 60, /* whatever was stocked as fry is none any more (our own bound) */
    G_MG = 1000,
    MG_UG = 1000,
    DAY_S = 86400,
    WIDE = 5 /* a range of a fifth of its middle and more is shown */
};

static const struct cycle *cycle_of(const struct turn *t, int64_t number) {
    return farm_cycle(&t->farm->state, number);
}

/* -- in words ------------------------------------------------------------------------------------
 */

static bool wide(int64_t low, int64_t middle, int64_t high) {
    return (high - low) * WIDE > middle;
}

struct slice turn_fish_text(struct turn *t, struct survival_range fish) {
    struct buf exact = buf_make_in(t->arena, 24);
    struct reply_value middle = V_NUMBER(turn_two_figures(fish.middle));
    struct reply r = {REPLY_FISH_ABOUT, {middle}};
    buf_put_int(&exact, fish.middle);
    if (fish.low == fish.high)
        return buf_slice(&exact);
    if (wide(fish.low, fish.middle, fish.high))
        r = (struct reply){
            REPLY_FISH_RANGE,
            {middle, V_NUMBER(turn_two_figures(fish.low)), V_NUMBER(turn_two_figures(fish.high))}};
    return turn_render(t, t->sender, &r);
}

struct slice turn_mean_text(struct turn *t, struct growth_range mean) {
    struct reply_value middle = V_WEIGHT(turn_two_figures(mean.middle));
    struct reply r = {REPLY_MEAN_ABOUT, {middle}};
    if (wide(mean.low, mean.middle, mean.high))
        r = (struct reply){
            REPLY_MEAN_RANGE,
            {middle, V_WEIGHT(turn_two_figures(mean.low)), V_WEIGHT(turn_two_figures(mean.high))}};
    return turn_render(t, t->sender, &r);
}

struct slice turn_left_text(struct turn *t, const struct cycle *c) {
    return turn_fish_text(t, growing_fish(&t->farm->state, c, t->now_s));
}

bool turn_grown(const struct cycle *c, int64_t at_s) {
    int64_t least_ug = (int64_t)book_number(BOOK_FINGERLING_G) * G_MG * MG_UG;
    bool grown = at_s - c->stocked_s >= (int64_t)FRY_DAYS * DAY_S;
    for (int i = 0; i < c->event_count && c->events[i].at_s <= at_s; i++)
        grown |= (c->events[i].kind == FISH_PUT || c->events[i].kind == FISH_SAMPLED) &&
                 c->events[i].mean_ug >= least_ug;
    return grown;
}

/* -- a sample: what was said ---------------------------------------------------------------------
 */

/* False: an answer was given. */
static bool sample_said(struct turn *t, struct request *r, const struct cycle *c,
                        struct sample *out) {
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    bool list = request_has(r, SLOT_LIST), length = request_has(r, SLOT_LENGTH);
    if (!list && !request_has(r, SLOT_WEIGHT)) {
        if (request_has(r, SLOT_COUNT) && r->count > 0)
            TURN_ASK(t, r, SLOT_WEIGHT, ASK_SAMPLE_WEIGHT, tag, V_NUMBER(r->count));
        else
            TURN_SAY(t, SAMPLE_CANNOT, tag);
        return false;
    }
    if (!list && !request_has(r, SLOT_COUNT) && !length) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_SAMPLE_COUNT, tag, V_WEIGHT(r->weight_mg));
        return false;
    }
    if (list) /* thousandths of a gram are milligrams */
        *out = sample_of_weights(r->list_milli, r->list_count);
    else
        *out = sample_of_total(request_has(r, SLOT_COUNT) ? r->count : 1, r->weight_mg);
    if (out->reason == SAMPLE_OK && out->mean_mg > HEAVIEST_MG) {
        TURN_SAY(t, SAMPLE_HEAVY, tag, V_NUMBER(out->count), V_WEIGHT(out->mean_mg));
        return false;
    }
    if (out->reason == SAMPLE_OK && out->mean_mg > 0)
        return true;
    TURN_SAY(t, SAMPLE_CANNOT, tag);
    return false;
}

/* A length (-1: none) far from what such a weight has: one of the two is wrong. */
static bool length_fits(struct turn *t, const struct request *r, const struct cycle *c,
                        const struct sample *s, int64_t length_um) {
    if (length_um < 0 || (r->confirms & CONFIRM_SHAPE))
        return true;
    double condition = (double)sample_condition_permille(s->mean_mg, length_um) / 1000;
    double times = book_number(BOOK_CONDITION_ASK);
    if (condition >= book_number(BOOK_CONDITION_LOW) / times &&
        condition <= book_number(BOOK_CONDITION_HIGH) * times)
        return true;
    const struct reply_value usual = V_NUMBER((sample_length_um(s->mean_mg) + 5000) / 10000);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), mean = V_WEIGHT(s->mean_mg);
    struct reply_value said = V_DECIMAL(length_um / 10);
    if (condition > 0)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SHAPE, ASK_LENGTH, tag, said, mean, usual);
    else
        TURN_SAY(t, LENGTH_CANNOT, tag, said, mean, usual);
    return false;
}

/* Fish do not shrink, and no pond grows so much faster than any that was published. What weighing
 * a few says amiss is allowed for, on both sides, and so many times over for fish that were not
 * taken at random. */
bool turn_mean_possible(struct turn *t, const struct request *r, const struct cycle *c,
                        const struct sample *s, int times, int64_t at_s) {
    struct growing_points p = growing_points(&t->farm->state, c, at_s);
    if (!p.count || (r->confirms & CONFIRM_SIZE))
        return true;
    const struct growth_sample *last = &p.points[p.count - 1];
    int64_t error_mg = last->change_ppm ? 0 : last->error_mg;
    if (!error_mg) { /* a usual sample's */
        int64_t n = (int64_t)book_number(BOOK_SAMPLE_LEAST);
        error_mg = sample_of_total(n, n * last->weight_mg).error_mg;
    }
    int64_t days_milli = growth_degree_days_milli(&p.water, last->at_s, at_s);
    struct growth_weight most =
        growth_weight(last->weight_mg + 2 * error_mg, (int64_t)(book_number(BOOK_TGC_ASK) * 1e6),
                      days_milli > 0 ? days_milli : 0);
    bool fell = (s->mean_mg + 2 * s->error_mg) * times < last->weight_mg - 2 * error_mg;
    bool jumped =
        most.reason == GROWTH_OK && (s->mean_mg - 2 * s->error_mg) / times > most.weight_mg;
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), mean = V_WEIGHT(s->mean_mg);
    struct reply_value was = V_WEIGHT(last->weight_mg), day = V_DATE(last->at_s);
    if (fell)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SIZE, ASK_SAMPLE_FELL, tag, mean, was, day);
    else if (jumped)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SIZE, ASK_SAMPLE_JUMPED, tag, mean, was, day);
    return !fell && !jumped;
}

static bool sample_possible(struct turn *t, const struct request *r, const struct cycle *c,
                            const struct sample *s, int64_t length_um, int64_t at_s) {
    return !turn_too_many(t, r, c, at_s, s->count) && length_fits(t, r, c, s, length_um) &&
           turn_mean_possible(t, r, c, s, 1, at_s);
}

/* Of so many weighed together: a fry of two milligrams is not two. */
static int64_t mean_ug(int64_t total_mg, int64_t count) {
    return total_mg / count * MG_UG + total_mg % count * MG_UG / count;
}

static struct sample sample_of(const struct entry *n) {
    return (struct sample){
        .count = n->value[0], .mean_mg = n->value[1] / MG_UG, .error_mg = n->value[2] / MG_UG};
}

/* So many fish weighed together; those weighed one by one have their own numbers. */
bool turn_sample_fits(struct turn *t, const struct request *r, const struct cycle *c,
                      struct entry *n) {
    bool counted = request_has(r, SLOT_COUNT), weighed = request_has(r, SLOT_WEIGHT);
    struct sample s = sample_of(n);
    if (counted || weighed) {
        int64_t count = counted ? r->count : n->value[0];
        int64_t total_mg = weighed ? r->weight_mg : (n->value[0] * n->value[1] + 500) / MG_UG;
        s = sample_of_total(count, total_mg);
        if (n->value[3] || s.reason != SAMPLE_OK || s.mean_mg <= 0 || s.mean_mg > HEAVIEST_MG)
            return false;
        n->value[0] = count;
        n->value[1] = mean_ug(total_mg, count);
        n->value[2] = s.error_mg * MG_UG;
    }
    return sample_possible(t, r, c, &s, n->value[4] ? n->value[4] : -1, n->at_s);
}

/* -- a sample: what follows ----------------------------------------------------------------------
 */

/* The next one's day, and whether the fish are behind what earlier samples let expect, or what the
 * slowest ponds of the book would have. */
static void say_mean(struct turn *t, const struct cycle *c, const struct sample *s, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    struct growing_points p = growing_points(st, c, at_s);
    struct growth_behind than = growth_behind(p.points, p.count, &p.water);
    struct growing now = growing_of(st, c, t->now_s);
    int days = (int)book_number(BOOK_TGC_INTERVAL_DAYS);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), mean = V_WEIGHT(s->mean_mg);
    struct reply_value next = V_DATE(plan_clock(t->zone, at_s, days, PLAN_STEP_HOUR));
    struct reply_value fish = V_TEXT(turn_fish_text(t, now.fish));
    struct reply_value all = V_WEIGHT(turn_two_figures(now.biomass_mg));
    struct reply_value low = V_WEIGHT(turn_two_figures(than.expected_mg.low));
    struct reply_value high = V_WEIGHT(turn_two_figures(than.expected_mg.high));
    struct reply_value error = V_WEIGHT(s->error_mg);
    if (s->count == 1)
        TURN_SAY(t, SAMPLED_ONE, tag, mean, fish, all,
                 V_NUMBER((int64_t)book_number(BOOK_SAMPLE_LEAST)), next);
    else if (than.reason == GROWTH_OK && than.behind)
        TURN_SAY(t, SAMPLED_BEHIND, tag, mean, low, high, next);
    else if (than.reason == GROWTH_OK && than.slow)
        TURN_SAY(t, SAMPLED_SLOW, tag, mean, V_WEIGHT(turn_two_figures(than.slow_mg)), next);
    else if (than.reason == GROWTH_OK)
        TURN_SAY(t, SAMPLED, tag, V_NUMBER(s->count), mean, error, low, high, fish, all, next);
    else
        TURN_SAY(t, SAMPLED_FIRST, tag, V_NUMBER(s->count), mean, error, fish, all, next);
}

bool turn_say_sample(struct turn *t, const struct entry *n) {
    const struct cycle *c = cycle_of(t, n->subject);
    const struct sample s = sample_of(n);
    if (!c || c->closed_s)
        return false;
    turn_about(t, t->sender, ABOUT_GROWTH, c->number, (struct slice){0});
    say_mean(t, c, &s, n->at_s);
    return true;
}

/* How many are no fingerlings yet, or no more: an order names them. */
static void say_split(struct turn *t, const struct request *r, const struct sample *s) {
    int64_t low_mg = (int64_t)book_number(BOOK_FINGERLING_G) * G_MG;
    int64_t high_mg = (int64_t)book_number(BOOK_FINGERLING_MOST_G) * G_MG;
    if (!request_has(r, SLOT_LIST) || s->mean_mg > high_mg)
        return;
    struct sample_split split = sample_split(r->list_milli, r->list_count, low_mg, high_mg);
    if (split.within)
        TURN_SAY(t, SAMPLE_SPLIT, V_NUMBER(split.under), V_WEIGHT(low_mg), V_NUMBER(split.within),
                 V_NUMBER(split.over), V_WEIGHT(high_mg));
}

/* Of fish weighed one by one. */
static void say_sizes(struct turn *t, const struct sample *s) {
    struct reply_value low = V_WEIGHT(s->least_mg), high = V_WEIGHT(s->largest_mg);
    struct reply_value spread = V_NUMBER((s->cv_permille + 5) / 10);
    if (s->grade)
        TURN_SAY(t, SAMPLE_GRADE, low, high, spread);
    else if (s->spread_known)
        TURN_SAY(t, SAMPLE_SIZES, low, high, spread);
}

static void say_condition(struct turn *t, const struct request *r, const struct sample *s) {
    if (!request_has(r, SLOT_LENGTH))
        return;
    int64_t condition = sample_condition_permille(s->mean_mg, r->length_um);
    struct reply_value is = V_CENTI(condition);
    struct reply_value low = V_CENTI((int64_t)(book_number(BOOK_CONDITION_LOW) * 1000 + 0.5));
    struct reply_value high = V_CENTI((int64_t)(book_number(BOOK_CONDITION_HIGH) * 1000 + 0.5));
    switch (sample_shape(condition)) {
    case SAMPLE_LEAN:
        TURN_SAY(t, CONDITION_LEAN, is, low, high);
        break;
    case SAMPLE_FAT:
        TURN_SAY(t, CONDITION_FAT, is, low, high);
        break;
    case SAMPLE_USUAL:
        TURN_SAY(t, CONDITION_USUAL, is, low, high);
        break;
    case SAMPLE_SHAPE_UNKNOWN:
        break;
    }
}

static void do_sample(struct turn *t, struct request *r) {
    int64_t at_s;
    struct sample s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !sample_said(t, r, c, &s) ||
        !sample_possible(t, r, c, &s, request_has(r, SLOT_LENGTH) ? r->length_um : -1, at_s))
        return;
    int64_t number = c->number;
    int64_t mean = request_has(r, SLOT_LIST) ? s.mean_mg * MG_UG : mean_ug(r->weight_mg, s.count);
    turn_record_entry(t, (struct entry){.at_s = at_s,
                                        .kind = ENTRY_SAMPLED,
                                        .subject_kind = SUBJECT_CYCLE,
                                        .subject = number,
                                        .value = {s.count, mean, s.error_mg * MG_UG,
                                                  s.spread_known ? s.cv_permille : 0,
                                                  request_has(r, SLOT_LENGTH) ? r->length_um : 0,
                                                  s.least_mg, s.largest_mg}});
    if (!turn_commit(t))
        return;
    c = cycle_of(t, number);
    if (turn_said_late(t, r, c, at_s))
        return;
    turn_about(t, t->sender, ABOUT_GROWTH, number, (struct slice){0});
    say_mean(t, c, &s, at_s);
    say_split(t, r, &s);
    say_sizes(t, &s);
    if (!s.grade && s.small && s.count > 1)
        TURN_SAY(t, SAMPLE_SMALL, V_NUMBER((int64_t)book_number(BOOK_SAMPLE_LEAST)));
    say_condition(t, r, &s);
}

/* -- stolen --------------------------------------------------------------------------------------
 */

static void do_stolen(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_STOLEN, V_TAG(r->pond));
        return;
    }
    if (!turn_fish_fit(t, r, c, at_s, ENTRY_STOLEN, r->count))
        return;
    int64_t number = c->number;
    turn_record(t, ENTRY_STOLEN, SUBJECT_CYCLE, number, at_s, r->count, 0, 0);
    if (!turn_commit(t))
        return;
    c = cycle_of(t, number);
    if (!turn_said_late(t, r, c, at_s))
        TURN_SAY(t, STOLEN, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(r->count),
                 V_TEXT(turn_left_text(t, c)));
}

bool turn_judge_fish(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_SAMPLE:
        do_sample(t, r);
        return true;
    case REQUEST_GROWTH:
        turn_do_growth(t, r);
        return true;
    case REQUEST_STOLEN:
        do_stolen(t, r);
        return true;
    case REQUEST_MERGE:
        turn_do_merge(t, r);
        return true;
    default:
        return false;
    }
}
