/* stock: fry into a pond, from a spawn or from elsewhere, and from one pond to another. In: a
 * request; out: entries and an answer, or one question. Numbers are trade's. */
#include "trade/book.h"
#include "trade/nursery.h"
#include "trade/ration.h"
#include "turn/inside.h"

enum {
    FRY_MOST = 5000000,
    MEAN_LEAST_MG = 1,
    MEAN_MOST_MG = 3000000, /* no heavier fish is put into a pond here */
    HEAVY_TIMES =
        10, /* so often what a pond bears is asked about, more is a slip (our own bound) */
    DIRECT_DAYS_MOST = 7,
    G_MG = 1000,
    UG = 1000
};

/* What is to be put in: how many, how heavy each, out of which spawn or cycle. */
struct load {
    int64_t count, mean_ug, spawn, cycle;
    int64_t weight_mg; /* of all, when that was said; 0: of each, or not said */
    bool typed;        /* the count; else all that are thought to be there */
    int merges;        /* the pond that is empty now, 0: none */
    bool grown;        /* no fry, whatever they weigh */
    bool reckoned;     /* nobody weighed them: the mean is what they are thought to weigh */
    bool all;
    struct survival_range went; /* out of that cycle, as it is told */
};

/* -- checks --------------------------------------------------------------------------------------
 */

static bool count_possible(struct turn *t, int64_t count) {
    if (count >= 1 && count <= FRY_MOST)
        return true;
    TURN_SAY(t, COUNT_IMPOSSIBLE, V_NUMBER(count));
    return false;
}

/* What one of them may weigh. */
struct each {
    int64_t least_mg, most_mg;
};

static bool within(int64_t ug, struct each of) {
    return ug >= of.least_mg * UG && ug <= of.most_mg * UG;
}

/* They were called fry and are heavier than any fingerling: the weight slipped, or the word. Asked,
 * true. */
static bool no_fry(struct turn *t, const struct request *r, struct tag pond, int64_t each_ug) {
    bool fry = request_chose(r, CHOICE_FRY) &&
               each_ug > (int64_t)book_number(BOOK_FINGERLING_MOST_G) * G_MG * UG;
    if (!fry || (r->confirms & CONFIRM_SHAPE))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SHAPE, ASK_NO_FRY, V_TAG(pond), V_WEIGHT(each_ug / UG));
    return true;
}

/* People weigh one, or all of them in a bowl, and text either beside the count. Only one can be
 * meant where the other weight is no fish's; else it is asked. False: an answer was given. */
static bool fill_mean(struct turn *t, const struct request *r, struct tag pond, struct each of,
                      struct load *load) {
    if (!request_has(r, SLOT_WEIGHT) || load->count < 1)
        return true;
    int64_t mean_ug = r->weight_mg * UG / load->count;
    bool each = within(r->weight_mg * UG, (struct each){MEAN_LEAST_MG, of.most_mg});
    bool all = within(mean_ug, of);
    if (r->weight_mg < MEAN_LEAST_MG || (!all && r->weight_mg > MEAN_MOST_MG)) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(r->weight_mg));
        return false;
    }
    if (each == all && !(r->confirms & CONFIRM_EACH)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EACH, ASK_EACH, V_TAG(pond), V_NUMBER(load->count),
                 V_WEIGHT(r->weight_mg));
        return false;
    }
    bool in_all = all && !(r->confirms & CONFIRM_EACH);
    if (no_fry(t, r, pond, in_all ? mean_ug : r->weight_mg * UG))
        return false;
    load->mean_ug = in_all ? mean_ug : r->weight_mg * UG;
    load->reckoned = false;
    load->weight_mg = in_all ? r->weight_mg : 0;
    return true;
}

static struct each grams(enum book_id most_g) {
    return (struct each){(int64_t)book_number(BOOK_SEED_LEAST_MG),
                         (int64_t)book_number(most_g) * G_MG};
}

/* As many fish as a pond can bear at the feed that it bears (2 % a day); 0: of no known size. */
static int64_t pond_bears(const struct pond *pond) {
    return ration_most_mg(pond->area_cm2) * 50;
}

/* Larger fish are put in, too. */
static struct each grown_grams(const struct pond *pond, int64_t most_mg, int64_t count) {
    struct each of = grams(BOOK_JUVENILE_MOST_G);
    int64_t bears_mg = most_mg / count;
    if (bears_mg > of.most_mg || !pond->area_cm2)
        of.most_mg = bears_mg && bears_mg < MEAN_MOST_MG ? bears_mg : MEAN_MOST_MG;
    return of;
}

/* More than it bears: a tank with running water can, or a digit slipped. It can only be the weight
 * of all. */
static bool too_heavy(struct turn *t, const struct request *r, const struct pond *pond,
                      int64_t count) {
    int64_t bears_mg = pond_bears(pond);
    if (!request_has(r, SLOT_WEIGHT) || r->weight_mg <= MEAN_MOST_MG || !bears_mg ||
        r->weight_mg <= bears_mg || r->weight_mg > bears_mg * HEAVY_TIMES ||
        r->weight_mg / count > MEAN_MOST_MG || (r->confirms & CONFIRM_DENSE))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_DENSE, ASK_HEAVY, V_TAG(turn_pond_tag(pond->number)),
             V_AREA(pond->area_cm2), V_WEIGHT(turn_two_figures(bears_mg)), V_NUMBER(count),
             V_WEIGHT(r->weight_mg / count));
    return true;
}

/* As heavy as was confirmed. */
static struct each heavy_grams(const struct request *r, const struct pond *pond, int64_t count) {
    bool heavy = (r->confirms & CONFIRM_DENSE) && r->weight_mg <= pond_bears(pond) * HEAVY_TIMES;
    return grown_grams(pond, pond_bears(pond) * (heavy ? HEAVY_TIMES : 1), count);
}

/* More than were there: a digit slipped, or the count was wrong before. */
static bool too_many(struct turn *t, const struct request *r, struct tag from, int64_t count,
                     int64_t high) {
    if (count <= high || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_TAKEN_MANY, V_TAG(from), V_NUMBER(count),
             V_NUMBER(turn_two_figures(high)));
    return true;
}

/* More than were ever put in and have not come out, where all of them were counted in: no YES makes
 * them; what was stocked is to be put right first. */
static bool never_in(struct turn *t, const struct cycle *c, int64_t count) {
    int64_t left = c->count - c->out, fish = cycle_fish(c);
    left = fish > left ? fish : left;
    for (int i = 0; i < c->event_count; i++)
        if (c->events[i].kind == FISH_PUT && c->events[i].guessed)
            return false;
    if (count <= left)
        return false;
    TURN_SAY(t, TAKEN_TOO_MANY, V_TAG(turn_pond_tag(c->pond)), V_NUMBER(count), V_NUMBER(left));
    return true;
}

/* Fish so much larger eat the others; false where a weight is not known. */
static bool sizes_differ(const struct growing *g, const struct load *load) {
    double there = (double)g->weight_mg.middle, come = (double)load->mean_ug / UG;
    double times = book_number(BOOK_LARGE_GRADE);
    return g->reason == GROWTH_OK && load->mean_ug && there > 0 &&
           (there >= come * times || come >= there * times);
}

/* Beside fish of another size: asked, true. */
static bool sizes_asked(struct turn *t, const struct request *r, struct reply_value tag,
                        const struct growing *g, const struct load *load) {
    if (!sizes_differ(g, load) || (r->confirms & CONFIRM_FULL))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_FULL, ASK_POND_SIZES, tag,
             V_TEXT(turn_fish_text(t, g->fish)), V_TEXT(turn_mean_text(t, g->weight_mg)),
             V_WEIGHT(load->mean_ug / UG));
    return true;
}

/* Fish are in it, or its water is not fit: asked before it is recorded. Who merges ponds knows that
 * there are fish, perhaps not that they are of another size. */
static bool pond_ready(struct turn *t, const struct request *r, const struct pond *pond,
                       const struct load *load, int64_t at_s) {
    const struct farm_state *st = turn_then(t, at_s);
    const struct pond *then = farm_pond(st, pond->number);
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    const struct cycle *c = then && then->cycle ? farm_cycle(st, then->cycle) : NULL;
    if (c && !(r->confirms & CONFIRM_FULL)) {
        struct growing g = growing_of(st, c, at_s);
        if (g.fish.middle && sizes_asked(t, r, tag, &g, load))
            return false;
        if (r->kind != REQUEST_MERGE) {
            TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_FULL, ASK_POND_FULL, tag,
                     V_TEXT(turn_fish_text(t, g.fish)), V_DATE(c->stocked_s));
            return false;
        }
    }
    if (!c && plan_prep_ph(then ? then : pond) && !(r->confirms & CONFIRM_SIZE)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SIZE, ASK_STOCK_PH, tag);
        return false;
    }
    return true;
}

/* What the book puts into the pond: larvae of days by its area, fry by its water; where nobody said
 * how deep it is, as deep as fry want it. 0: nothing is known of its size. */
static int64_t pond_most(const struct pond *pond, bool direct) {
    int64_t usual_mm = (int64_t)(book_number(BOOK_POND_DEPTH_MOST_M) * 1000);
    if (!pond->area_cm2)
        return 0;
    return direct ? nursery_direct_larvae(pond->area_cm2)
                  : nursery_most(pond->area_cm2, pond->depth_mm ? pond->depth_mm : usual_mm);
}

/* So many that they cannot live in it: the count or the pond is wrong. */
static bool too_dense(struct turn *t, const struct request *r, const struct pond *pond,
                      const struct load *load, int64_t at_s) {
    const struct farm_state *st = turn_then(t, at_s);
    const struct pond *then = farm_pond(st, pond->number);
    const struct cycle *c = then && then->cycle ? farm_cycle(st, then->cycle) : NULL;
    bool direct = cycle_direct(&(struct cycle){.mean_ug = load->mean_ug});
    int64_t fish = load->count + (c ? growing_fish(st, c, at_s).middle : 0),
            most = pond_most(pond, direct);
    if (!most || fish <= most * (int64_t)book_number(BOOK_DENSE_ASK) ||
        (r->confirms & CONFIRM_DENSE))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_DENSE, ASK_DENSE, V_TAG(turn_pond_tag(pond->number)),
             V_AREA(pond->area_cm2), V_NUMBER(turn_two_figures(most)), V_NUMBER(fish));
    return true;
}

/* -- answer --------------------------------------------------------------------------------------
 */

/* The pond that they came out of: what stays there, or that it was closed with it. */
static void say_source(struct turn *t, const struct cycle *from, const struct load *load,
                       int64_t at_s) {
    struct reply_value tag = V_TAG(turn_pond_tag(from->pond));
    struct reply_value went = V_TEXT(turn_fish_text(t, load->went));
    if (from->closed_s == at_s)
        TURN_SAY(t, MOVED_ALL, tag, went);
    else
        TURN_SAY(t, MOVED, tag, V_NUMBER(load->count), V_TEXT(turn_left_text(t, from)));
}

static void say_stocked(struct turn *t, const struct cycle *c, const struct load *load,
                        int64_t at_s) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    bool direct = cycle_direct(c);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), fry = V_NUMBER(load->count);
    int64_t there = growing_fish(&t->farm->state, c, t->now_s).middle;
    struct reply_value harvest = V_DATE(plan_harvest_day(c, t->zone));
    int64_t most = pond_most(pond, direct);
    struct nursery_range expect = turn_outcome(t, c, most);
    turn_about(t, t->sender, ABOUT_STOCK, c->number, (struct slice){0});
    if (load->cycle)
        say_source(t, farm_cycle(&t->farm->state, load->cycle), load, at_s);
    struct reply_value low = V_NUMBER(turn_two_figures(expect.low));
    struct reply_value high = V_NUMBER(turn_two_figures(expect.high));
    if (load->weight_mg)
        TURN_SAY(t, STOCKED_WEIGHT, V_WEIGHT(load->weight_mg), V_WEIGHT(load->mean_ug / UG));
    /* of larvae the book has a rate that was tried, no limit */
    double crowd = direct ? book_number(BOOK_DIRECT_DENSE) : 1;
    if (most && (double)there > crowd * (double)most)
        TURN_SAY(t, STOCKED_DENSE, tag, V_NUMBER(there), V_NUMBER(most), low, high, harvest);
    else if (pond->fence == FENCE_STANDS)
        TURN_SAY(t, STOCKED, tag, fry, low, high, harvest);
    else
        TURN_SAY(t, STOCKED_OPEN, tag, fry, low, high, harvest);
}

/* Larger fish out of another pond. */
static void say_moved_grown(struct turn *t, const struct cycle *c, const struct cycle *from,
                            const struct load *load, int64_t at_s, struct reply_value day) {
    struct reply_value to = V_TAG(turn_pond_tag(c->pond)), tag = V_TAG(turn_pond_tag(from->pond));
    struct reply_value went = V_TEXT(turn_fish_text(t, load->went));
    struct reply_value each =
        V_WEIGHT(load->reckoned ? turn_two_figures(load->mean_ug / UG) : load->mean_ug / UG);
    struct reply_value fish = V_TEXT(turn_left_text(t, c));
    if (from->closed_s == at_s)
        TURN_SAY(t, MOVED_GROWN_ALL, to, went, each, tag, fish, day);
    else
        TURN_SAY(t, MOVED_GROWN, to, V_NUMBER(load->count), each, tag, fish,
                 V_TEXT(turn_left_text(t, from)), day);
}

/* Larger fish: how many are there now, and when to weigh some. */
static void say_grown(struct turn *t, const struct cycle *c, const struct load *load,
                      int64_t at_s) {
    struct growing now = growing_of(&t->farm->state, c, t->now_s);
    int days = (int)book_number(BOOK_TGC_INTERVAL_DAYS);
    int64_t day_s = plan_clock(t->zone, t->now_s, days, PLAN_STEP_HOUR);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), count = V_NUMBER(load->count);
    struct reply_value fish = V_TEXT(turn_fish_text(t, now.fish));
    turn_about(t, t->sender, ABOUT_GROWTH, c->number, (struct slice){0});
    if (load->weight_mg)
        TURN_SAY(t, STOCKED_WEIGHT, V_WEIGHT(load->weight_mg), V_WEIGHT(load->mean_ug / UG));
    const struct cycle *from = load->cycle ? farm_cycle(&t->farm->state, load->cycle) : NULL;
    if (from && load->mean_ug) {
        say_moved_grown(t, c, from, load, at_s, V_DATE(day_s));
        return;
    }
    if (from)
        say_source(t, from, load, at_s);
    if (load->mean_ug)
        TURN_SAY(t, STOCKED_GROWN, tag, count, V_WEIGHT(load->mean_ug / UG), fish, V_DATE(day_s));
    else
        TURN_SAY(t, STOCKED_GROWN_NO_WEIGHT, tag, count, fish);
}

static void say_merged(struct turn *t, const struct cycle *c, const struct load *load) {
    struct growing now = growing_of(&t->farm->state, c, t->now_s);
    struct reply_value from = V_TAG(turn_pond_tag(load->merges));
    struct reply_value to = V_TAG(turn_pond_tag(c->pond));
    struct reply_value fish = V_TEXT(turn_fish_text(t, now.fish));
    struct reply_value went = V_TEXT(turn_fish_text(t, load->went));
    turn_about(t, t->sender, ABOUT_GROWTH, c->number, (struct slice){0});
    if (now.reason == GROWTH_OK)
        TURN_SAY(t, MERGED, from, went, to, fish, V_TEXT(turn_mean_text(t, now.weight_mg)));
    else
        TURN_SAY(t, MERGED_NO_WEIGHT, from, went, to, fish);
}

/* What swims in the pond then; else what was put in next, which would have come to these; else a
 * new one. */
static int64_t cycle_for(const struct turn *t, int pond, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct cycle *c = turn_cycle_then(st, pond, at_s);
    for (int i = 0; i < st->cycle_count && !c; i++)
        if (st->cycles[i].pond == pond && st->cycles[i].stocked_s > at_s)
            c = &st->cycles[i];
    return c ? c->number : farm_next(t->farm, SUBJECT_CYCLE);
}

static void put_in(struct turn *t, const struct pond *pond, const struct load *load, int64_t at_s) {
    int64_t cycle = cycle_for(t, pond->number, at_s);
    bool unready = !pond->cycle && !pond->done_s[PREP_FILL];
    turn_record_entry(t, (struct entry){.at_s = at_s,
                                        .kind = ENTRY_STOCKED,
                                        .subject_kind = SUBJECT_CYCLE,
                                        .subject = cycle,
                                        .value = {pond->number, load->typed ? load->count : 0,
                                                  load->mean_ug, load->spawn, load->cycle,
                                                  (load->all ? STOCKED_ALL : 0) |
                                                      (load->reckoned ? STOCKED_RECKONED : 0)}});
    if (!turn_commit(t))
        return;
    const struct cycle *c = farm_cycle(&t->farm->state, cycle);
    if (c->closed_s) { /* of fish that are no longer there nothing is left to do */
        TURN_SAY(t, NOTED_LATE, V_KIND(REQUEST_STOCK), V_TAG(turn_pond_tag(c->pond)), V_WHEN(at_s));
        return;
    }
    if (load->merges)
        say_merged(t, c, load);
    else if (load->grown || turn_grown(c, t->now_s))
        say_grown(t, c, load, at_s);
    else
        say_stocked(t, c, load, at_s);
    if (unready && !load->grown && !turn_grown(c, t->now_s))
        TURN_SAY(t, STOCKED_UNREADY);
    turn_say_ration_first(t, farm_pond(&t->farm->state, c->pond));
}

/* -- from a spawn --------------------------------------------------------------------------------
 */

/* Her newest spawn whose larvae were taken away: what is asked of it again is refused. */
static const struct spawn *gone_spawn(const struct turn *t, int tag, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    for (int i = st->spawn_count - 1; i >= 0; i--)
        if (st->spawns[i].tag == tag)
            return st->spawns[i].gone_s && st->spawns[i].gone_s <= at_s ? &st->spawns[i] : NULL;
    return NULL;
}

/* Larvae of a few days weigh about two milligrams, fry of two weeks about a hundred. */
static int64_t usual_mean_ug(const struct turn *t, const struct spawn *s, int64_t at_s) {
    int days = spawn_larvae_days(s, t->zone, at_s);
    return (
        int64_t)(book_number(days >= 0 && days <= DIRECT_DAYS_MOST ? BOOK_LARVA_MG : BOOK_FRY_MG) *
                 UG);
}

/* Larvae on their yolk do not eat what a pond holds: asked once. */
static bool too_young(struct turn *t, const struct request *r, const struct spawn *s,
                      int64_t at_s) {
    int days = spawn_larvae_days(s, t->zone, at_s), from = (int)book_number(BOOK_DIRECT_FROM_DAYS);
    if (days < 0 || days >= from || (r->confirms & CONFIRM_EARLY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EARLY, ASK_STOCK_YOUNG, V_TAG(turn_tag(s)),
             V_DATE(spawn_hatch_s(s)), V_NUMBER(from), V_DATE(plan_larvae_day(s, t->zone, from)));
    return true;
}

static void stock_from_spawn(struct turn *t, struct request *r, const struct pond *pond,
                             int64_t at_s) {
    const struct spawn *gone = r->tag.letter == 'f' ? gone_spawn(t, r->tag.number, at_s) : NULL;
    if (gone) {
        TURN_SAY(t, FRY_GONE, V_TAG(r->tag), V_WHEN(gone->gone_s));
        return;
    }
    const struct spawn *s = turn_fill_spawn(t, r, SPAWN_LARVAE, at_s);
    if (!s)
        return;
    const struct spawn *then = farm_spawn(turn_then(t, at_s), s->number);
    struct larvae_range left = turn_larvae(then ? then : s, at_s);
    bool all = request_chose(r, CHOICE_ALL);
    if (!request_has(r, SLOT_COUNT) && !all) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_STOCK_COUNT, V_TAG(r->tag),
                 V_NUMBER(turn_two_figures(left.middle)));
        return;
    }
    if (too_young(t, r, s, at_s))
        return;
    int64_t about = turn_two_figures(left.middle);
    struct load load = {.count = request_has(r, SLOT_COUNT) ? r->count : about,
                        .mean_ug = usual_mean_ug(t, s, at_s),
                        .spawn = s->number,
                        .typed = request_has(r, SLOT_COUNT),
                        .all = all};
    /* hers are larvae yet, and a fingerling when she is late with them */
    struct each of = {MEAN_LEAST_MG, grams(BOOK_FINGERLING_MOST_G).most_mg};
    if (!count_possible(t, load.count) || !fill_mean(t, r, r->pond, of, &load) ||
        too_many(t, r, turn_tag(s), load.count, turn_larvae_most(t, s, at_s)) ||
        too_dense(t, r, pond, &load, at_s) || !pond_ready(t, r, pond, &load, at_s))
        return;
    put_in(t, pond, &load, at_s);
}

/* -- from elsewhere ------------------------------------------------------------------------------
 */

bool turn_stock_fits(struct turn *t, const struct request *r, struct entry *n) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *s = n->value[3] ? farm_spawn(st, n->value[3]) : NULL;
    const struct cycle *from = n->value[4] ? farm_cycle(st, n->value[4]) : NULL;
    const struct pond *pond = farm_pond(st, n->value[0]);
    struct each of = grams(s ? BOOK_FINGERLING_MOST_G : BOOK_JUVENILE_MOST_G);
    struct load load = {.count = request_has(r, SLOT_COUNT) ? r->count : farm_taken(st, n),
                        .mean_ug = n->value[2]};
    if (s)
        of.least_mg = MEAN_LEAST_MG;
    else if (from)
        of = (struct each){from->mean_ug / 2 / UG + MEAN_LEAST_MG, MEAN_MOST_MG};
    if (!count_possible(t, load.count) ||
        !fill_mean(t, r, turn_pond_tag((int)n->value[0]), of, &load))
        return false;
    n->value[2] = load.mean_ug;
    if (request_has(r, SLOT_WEIGHT)) {
        const struct cycle *in = pond && pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
        struct growing g = in ? growing_of(st, in, n->at_s) : (struct growing){.biomass_mg = 0};
        if (in && sizes_asked(t, r, V_TAG(turn_pond_tag(pond->number)), &g, &load))
            return false;
        n->value[5] &= STOCKED_ALL; /* weighed now */
    }
    if (!request_has(r, SLOT_COUNT))
        return true;
    if (pond && too_dense(t, r, pond, &load, n->at_s))
        return false;
    if (n->value[1] && r->count < n->value[1]) /* fewer than thought: some stay */
        n->value[5] &= STOCKED_RECKONED;
    n->value[1] = r->count;
    if (s)
        return !too_many(t, r, turn_tag(s), r->count, turn_larvae_most(t, s, n->at_s));
    return !from || !too_many(t, r, turn_pond_tag(from->pond), r->count,
                              growing_fish(st, from, n->at_s).high);
}

void turn_do_stock(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct pond *pond = turn_fill_pond(t, r);
    if (!pond || !turn_fill_instant(t, r, &at_s))
        return;
    if (request_has(r, SLOT_TAG)) {
        stock_from_spawn(t, r, pond, at_s);
        return;
    }
    if (!request_has(r, SLOT_COUNT)) {
        TURN_ASK(t, r, SLOT_COUNT, ASK_STOCK_FRY, V_TAG(r->pond));
        return;
    }
    struct load load = {.count = r->count, .typed = true};
    if (count_possible(t, load.count) && !too_heavy(t, r, pond, load.count) &&
        fill_mean(t, r, r->pond, heavy_grams(r, pond, load.count), &load) &&
        !too_dense(t, r, pond, &load, at_s) && pond_ready(t, r, pond, &load, at_s))
        put_in(t, pond, &load, at_s);
}

/* By number, out of a cycle: what takes all, without a number, follows the stock. */
static int64_t out_of(const struct entry *n, int64_t cycle) {
    if (n->kind == ENTRY_STOCKED && n->value[4] == cycle)
        return n->value[1];
    bool out = n->kind == ENTRY_DIED || n->kind == ENTRY_STOLEN || n->kind == ENTRY_GRADED ||
               n->kind == ENTRY_SOLD || n->kind == ENTRY_HARVESTED;
    return out && n->subject_kind == SUBJECT_CYCLE && n->subject == cycle ? n->value[0] : 0;
}

/* Fewer put in than have left the pond since: asked, as more dead or sold than there are would be.
 * A count since then stands whatever was put in; what is sold out of a net has left before. */
bool turn_stock_covers(struct turn *t, const struct request *r, const struct entry *old,
                       const struct entry *was, const struct entry *now) {
    const struct cycle *c = farm_cycle(&t->farm->state, old->subject);
    if (old->kind != ENTRY_STOCKED || !request_has(r, SLOT_COUNT) || !c || c->counted_s ||
        (r->confirms & CONFIRM_MANY))
        return true;
    int64_t in = c->count - was->value[1] + now->value[1], out = 0;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (t->farm->in_force[i] && (!c->closed_s || n->at_s <= c->closed_s))
            out += out_of(n, c->number);
    }
    if (out <= in)
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_STOCK_LESS, V_TAG(r->tag), V_NUMBER(in),
             V_NUMBER(out));
    return false;
}

/* -- from pond to pond ---------------------------------------------------------------------------
 */

/* The fish of the pond that are moved, at their instant; NULL: an answer was given. */
static const struct cycle *moved_cycle(struct turn *t, const struct request *r,
                                       const struct pond *from, int64_t at_s) {
    const struct cycle *now = from->cycle ? farm_cycle(&t->farm->state, from->cycle) : NULL;
    const struct cycle *c = turn_cycle_then(turn_then(t, at_s), from->number, at_s);
    if (!c && now && at_s < now->stocked_s)
        TURN_SAY(t, HOUR_BEFORE, V_TAG(r->pond), V_WHEN(at_s), V_WHEN(now->stocked_s));
    else if (!c)
        TURN_SAY(t, POND_EMPTY, V_TAG(r->pond));
    return c;
}

/* The pond that they go to; *to NULL: none was named. False: one that is not there was. */
static bool target(struct turn *t, const struct request *r, const struct pond **to) {
    bool named = request_has(r, SLOT_ALSO);
    *to = named ? farm_pond(&t->farm->state, r->also[0].number) : NULL;
    if (named && !*to)
        turn_refuse_pond(t, r->also[0]);
    return *to || !named;
}

/* They weigh what they are thought to weigh, unless the text says it. */
static void move(struct turn *t, struct request *r, const struct pond *to, const struct cycle *c,
                 int64_t at_s) {
    struct growing g = growing_of(turn_then(t, at_s), c, at_s);
    bool merge = r->kind == REQUEST_MERGE, all = merge || request_chose(r, CHOICE_ALL);
    bool exact = g.fish.low == g.fish.high; /* a count of what is reckoned is of no use to a fish */
    int64_t thought = exact ? g.fish.middle : turn_two_figures(g.fish.middle);
    struct load load = {.count = request_has(r, SLOT_COUNT) ? r->count : thought,
                        .mean_ug = g.reason == GROWTH_OK ? g.weight_mg.middle * UG : c->mean_ug,
                        .grown = turn_grown(c, at_s),
                        .reckoned = true,
                        .typed = request_has(r, SLOT_COUNT),
                        .cycle = c->number,
                        .merges = merge ? c->pond : 0,
                        .all = all,
                        .went = g.fish};
    if (load.typed)
        load.went = (struct survival_range){load.count, load.count, load.count};
    /* they have not shrunk since they were put in */
    struct each of = {c->mean_ug / 2 / UG + MEAN_LEAST_MG, MEAN_MOST_MG};
    if (count_possible(t, load.count) && !never_in(t, c, load.count) &&
        fill_mean(t, r, r->also[0], of, &load) &&
        !too_many(t, r, r->pond, load.count,
                  request_has(r, SLOT_COUNT) ? g.fish.high : load.count) &&
        !too_dense(t, r, to, &load, at_s) && pond_ready(t, r, to, &load, at_s))
        put_in(t, to, &load, at_s);
}

void turn_do_move(struct turn *t, struct request *r) {
    int64_t at_s;
    if (request_has(r, SLOT_TAG)) { /* "move f3 p4" */
        turn_do_stock(t, r);
        return;
    }
    const struct pond *from = turn_fill_pond(t, r);
    const struct pond *to;
    if (!from || !turn_fill_instant(t, r, &at_s) || !target(t, r, &to))
        return;
    const struct cycle *c = moved_cycle(t, r, from, at_s);
    if (!c)
        return;
    if (!to || to == from)
        TURN_SAY(t, MOVE_HOW, V_TAG(r->pond));
    else if (!request_has(r, SLOT_COUNT) && !request_chose(r, CHOICE_ALL))
        TURN_ASK(t, r, SLOT_COUNT, ASK_HOW_MANY, V_KIND(r->kind), V_TAG(r->pond));
    else
        move(t, r, to, c, at_s);
}

/* All of one pond into another. */
void turn_do_merge(struct turn *t, struct request *r) {
    int64_t at_s;
    if (!request_has(r, SLOT_POND) || !request_has(r, SLOT_ALSO)) {
        TURN_SAY(t, MERGE_HOW);
        return;
    }
    const struct pond *from = turn_fill_pond(t, r);
    const struct pond *to;
    if (!from || !turn_fill_instant(t, r, &at_s) || !target(t, r, &to))
        return;
    const struct cycle *c = moved_cycle(t, r, from, at_s);
    if (c && to == from)
        TURN_SAY(t, MERGE_HOW);
    else if (c)
        move(t, r, to, c, at_s);
}
