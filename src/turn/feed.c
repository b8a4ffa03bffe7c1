/* feed: what ponds are fed: names of feeds, what a measure holds, amounts as people say them, what
 * was given and what was left of it. In: a request; out: entries and an answer, or one question. A
 * feed's name stands in the ledger as a party's id, so that it is written as it was first said. How
 * much a pond should get is trade's. Limits: a name in another language is another feed. */
#include "farm/feeding.h"
#include "trade/book.h"
#include "trade/nursery.h"
#include "turn/inside.h"

/* Only a slipped digit or unit goes over these; our own bounds. */
enum {
    QUARTER_MILLI = 250,
    MEASURES_MOST_MILLI = 1000000,
    NEAR_PERCENT = 10,        /* so near a weight is the same one, weighed again */
    FISH_DAY_MOST_MG = 50000, /* feed a fish a day: half of what one of 100 g weighs */
    AREA_TIMES_MOST = 4,      /* so often what a pond bears in a day */
    RATION_TIMES_MOST = 3,    /* so often the pond's ration of the day, in one feeding */
    BROOD_TIMES_MOST = 4,     /* so often what its brood fish get in a day */
    OFTEN_DAYS = 7,           /* food left on so many days of these */
    OFTEN = 3
};
#define FEED_MOST_MG    INT64_C(100000000000) /* 100 t */
#define MEASURE_MOST_MG INT64_C(1000000000)
enum { MEASURE_LEAST_MG = 1000 };

/* -- names ---------------------------------------------------------------------------------------
 */

static int put_feed(int64_t *feeds, int count, int most, int64_t feed) {
    for (int i = 0; i < count; i++)
        if (feeds[i] == feed)
            return count;
    if (feed > 0 && count < most)
        feeds[count++] = feed;
    return count;
}

int turn_feeds(const struct turn *t, int64_t *feeds, int most) {
    const struct farm_state *st = &t->farm->state;
    int count = 0;
    for (int i = 0; i < st->feed_count; i++)
        count = put_feed(feeds, count, most, st->feeds[i].feed);
    for (int i = 0; i < st->measure_count; i++)
        count = put_feed(feeds, count, most, st->measures[i].feed);
    return count;
}

static struct slice party_name(const struct turn *t, int64_t feed) {
    return feed && t->party_name ? t->party_name(t->context, feed) : SLICE("");
}

struct slice turn_feed_name(struct turn *t, int person, int64_t feed) {
    struct slice name = party_name(t, feed);
    return name.n ? name : words_get(t->words, turn_language(t, person), "form.feed");
}

/* "bran, pellets" */
struct slice turn_feed_names(struct turn *t) {
    enum {
        NAMES_ROOM = 40
    }; /* characters, as replies.def cuts them: whole names as far as they fit */
    int64_t feeds[TURN_FEEDS_MAX];
    struct buf b = buf_make_in(t->arena, 400);
    int count = turn_feeds(t, feeds, TURN_FEEDS_MAX);
    for (int i = 0; i < count; i++) {
        struct slice name = party_name(t, feeds[i]);
        if (b.n && b.n + 2 + name.n > NAMES_ROOM)
            continue;
        buf_puts(&b, b.n ? ", " : "");
        buf_put(&b, name);
    }
    return buf_slice(&b);
}

/* "pellet" is "pellets". */
static bool same_name(struct slice a, struct slice b) {
    if (slice_ends(a, SLICE("s")))
        a.n--;
    if (slice_ends(b, SLICE("s")))
        b.n--;
    return slice_eq(a, b);
}

/* The feed of that name, 0 when it is not known here. */
int64_t turn_feed_known(const struct turn *t, struct slice name) {
    int64_t feeds[TURN_FEEDS_MAX];
    int count = turn_feeds(t, feeds, TURN_FEEDS_MAX);
    for (int i = 0; i < count; i++)
        if (same_name(name, party_name(t, feeds[i])))
            return feeds[i];
    return 0;
}

bool turn_feed_new(const struct turn *t, int64_t feed) {
    int64_t feeds[TURN_FEEDS_MAX];
    int count = turn_feeds(t, feeds, TURN_FEEDS_MAX);
    for (int i = 0; i < count; i++)
        if (feeds[i] == feed)
            return false;
    return feed && count;
}

static int64_t feed_last_given(const struct pond *pond) {
    for (int i = pond ? pond->given_count - 1 : -1; i >= 0; i--)
        if (pond->given[i].feed)
            return pond->given[i].feed;
    return 0;
}

int64_t turn_feed_usual(const struct turn *t, const struct pond *pond) {
    int64_t feeds[TURN_FEEDS_MAX];
    return turn_feeds(t, feeds, TURN_FEEDS_MAX) == 1 ? feeds[0] : feed_last_given(pond);
}

bool turn_fill_feed(struct turn *t, struct request *r, const struct pond *pond, bool is_new,
                    int64_t *feed) {
    struct slice name = slice_of(r->feed), known;
    if (!request_has(r, SLOT_FEED)) {
        *feed = turn_feed_usual(t, pond);
        return true;
    }
    *feed = turn_feed_known(t, name);
    if (!*feed && is_new && t->party_id)
        *feed = t->party_id(t->context, name);
    if (*feed)
        return true;
    known = turn_feed_names(t);
    if (known.n)
        TURN_SAY(t, FEED_UNKNOWN, V_TEXT(name), V_TEXT(known));
    else
        TURN_SAY(t, FEED_UNKNOWN_NONE, V_TEXT(name));
    return false;
}

/* -- amounts -------------------------------------------------------------------------------------
 */

struct reply_value turn_measures(enum measure_kind measure, int64_t milli) {
    return V_MEASURE(CHOICE_TIN + (int)measure - MEASURE_TIN, milli);
}

/* The only measure among the choices; 0: none, or several. */
static enum measure_kind measure_chosen(const struct request *r) {
    enum measure_kind found = 0;
    for (int m = MEASURE_TIN; m < MEASURE_END; m++)
        if (request_chose(r, (enum choice)(CHOICE_TIN + m - MEASURE_TIN))) {
            if (found)
                return 0;
            found = (enum measure_kind)m;
        }
    return found;
}

static bool near(int64_t a, int64_t b) {
    int64_t apart = a > b ? a - b : b - a;
    return apart <= b / 100 * NEAR_PERCENT;
}

/* What such a measure usually holds: outside it is asked. Our own bounds: a tin may be one of 20
 * litres, but then it is said twice. */
static bool holds_usual(enum measure_kind measure, int64_t weight_mg) {
    static const struct {
        int64_t least_g, most_g;
    } usual[MEASURE_END] = {[MEASURE_TIN] = {20, 5000},      [MEASURE_CUP] = {20, 1000},
                            [MEASURE_SCOOP] = {5, 2000},     [MEASURE_BOWL] = {50, 10000},
                            [MEASURE_BUCKET] = {500, 25000}, [MEASURE_BAG] = {500, 100000}};
    return weight_mg >= usual[measure].least_g * 1000 && weight_mg <= usual[measure].most_g * 1000;
}

/* It can hold so much, and is meant to. False: an answer was given. */
static bool holds_possible(struct turn *t, const struct request *r, enum measure_kind measure,
                           int64_t weight_mg) {
    if (weight_mg < MEASURE_LEAST_MG || weight_mg > MEASURE_MOST_MG) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(weight_mg));
        return false;
    }
    if (holds_usual(measure, weight_mg) || (r->confirms & CONFIRM_SIZE))
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SIZE, ASK_MEASURE_SIZE, turn_measures(measure, 1000),
             V_WEIGHT(weight_mg));
    return false;
}

/* What was said last of it until then; what was only said later serves a late report, too. */
static int64_t measure_holds(struct turn *t, enum measure_kind measure, int64_t feed,
                             int64_t at_s) {
    const struct measure_size *size = farm_measure(turn_then(t, at_s), measure, feed);
    if (!size)
        size = farm_measure(&t->farm->state, measure, feed);
    return size ? size->weight_mg : 0;
}

/* "2 bags 25kg": of 25 kg each, or both of them? */
static bool fill_both(struct turn *t, const struct request *r, int64_t holds_mg,
                      struct turn_amount *a) {
    if (r->weight_mg < 1 || r->weight_mg > MEASURE_MOST_MG) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(r->weight_mg));
        return false;
    }
    int64_t each_mg = a->milli * r->weight_mg / 1000;
    if (holds_mg && near(r->weight_mg, a->milli * holds_mg / 1000)) {
        a->weight_mg = r->weight_mg;
        return true;
    }
    if (!(r->confirms & CONFIRM_EACH) && !(holds_mg && near(r->weight_mg, holds_mg))) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_EACH, ASK_FEED_EACH,
                 turn_measures(a->measure, a->milli), V_WEIGHT(r->weight_mg), V_WEIGHT(each_mg));
        return false;
    }
    if (!holds_possible(t, r, a->measure, r->weight_mg))
        return false;
    a->holds_mg = holds_mg ? 0 : r->weight_mg;
    a->weight_mg = each_mg;
    return true;
}

static bool fill_measures(struct turn *t, struct request *r, int64_t feed, int64_t at_s,
                          struct turn_amount *a) {
    bool none = r->kind == REQUEST_STORE && r->count_milli == 0;
    a->milli = r->count_milli;
    if ((a->milli < QUARTER_MILLI && !none) || a->milli > MEASURES_MOST_MILLI ||
        a->milli % QUARTER_MILLI) {
        TURN_SAY(t, MEASURES_ODD, turn_measures(a->measure, a->milli));
        return false;
    }
    int64_t holds_mg = measure_holds(t, a->measure, feed, at_s);
    if (request_has(r, SLOT_WEIGHT))
        return fill_both(t, r, holds_mg, a);
    if (request_has(r, SLOT_SAMPLE)) { /* the answer to what it holds */
        if (!holds_possible(t, r, a->measure, r->sample_mg))
            return false;
        holds_mg = a->holds_mg = r->sample_mg;
    }
    if (!holds_mg && !none) {
        TURN_ASK(t, r, SLOT_SAMPLE, ASK_HOLDS, turn_measures(a->measure, 1000),
                 V_TEXT(turn_feed_name(t, t->sender, feed)));
        return false;
    }
    a->weight_mg = a->milli * holds_mg / 1000;
    return true;
}

bool turn_fill_amount(struct turn *t, struct request *r, int64_t feed, int64_t at_s,
                      struct turn_amount *a) {
    bool count = request_has(r, SLOT_COUNT), weight = request_has(r, SLOT_WEIGHT);
    bool measures = false; /* what money is for, EACH and A KG, is none */
    for (int m = MEASURE_TIN; m < MEASURE_END; m++)
        measures |= request_chose(r, (enum choice)(CHOICE_TIN + m - MEASURE_TIN));
    *a = (struct turn_amount){.measure = measure_chosen(r)};
    if (!count && !weight && !measures) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_AMOUNT, V_KIND(r->kind));
        return false;
    }
    if (count != (a->measure != 0) || (!count && measures)) {
        TURN_SAY(t, AMOUNT_HOW, V_KIND(r->kind));
        return false;
    }
    if (count && !fill_measures(t, r, feed, at_s, a))
        return false;
    if (!count)
        a->weight_mg = r->weight_mg;
    int64_t least_mg = r->kind == REQUEST_STORE ? 0 : 1;
    if (a->weight_mg >= least_mg && a->weight_mg <= FEED_MOST_MG)
        return true;
    TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(a->weight_mg));
    return false;
}

void turn_record_holds(struct turn *t, const struct turn_amount *a, int64_t feed, int64_t at_s) {
    if (a->holds_mg)
        turn_record(t, ENTRY_MEASURE, SUBJECT_HATCHERY, 0, at_s, a->measure, a->holds_mg, feed);
}

struct slice turn_amount_text(struct turn *t, int person, const struct turn_amount *a) {
    const struct reply weighed = {REPLY_AMOUNT_WEIGHED, {V_WEIGHT(a->weight_mg)}};
    const struct reply measured = {REPLY_AMOUNT_MEASURED,
                                   {turn_measures(a->measure, a->milli), V_WEIGHT(a->weight_mg)}};
    return turn_render(t, person, a->measure ? &measured : &weighed);
}

/* -- measure -------------------------------------------------------------------------------------
 */

/* What was said of a measure (0: of all of them), one line each. */
static void say_measures(struct turn *t, enum measure_kind measure) {
    const struct farm_state *st = &t->farm->state;
    enum { LINES_MAX = 24 };
    struct slice lines[LINES_MAX];
    int count = 0;
    for (int i = 0; i < st->measure_count && count < LINES_MAX; i++) {
        const struct measure_size *m = &st->measures[i];
        const struct reply line = {REPLY_MEASURE_IS,
                                   {turn_measures(m->measure, 1000),
                                    V_TEXT(turn_feed_name(t, t->sender, m->feed)),
                                    V_WEIGHT(m->weight_mg)}};
        if (!measure || m->measure == measure)
            lines[count++] = turn_render(t, t->sender, &line);
    }
    if (count)
        turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
                  turn_lines(t, t->sender, lines, count));
    else if (measure)
        TURN_SAY(t, MEASURE_NONE, turn_measures(measure, 1000));
    else
        TURN_SAY(t, MEASURE_HOW);
}

/* "tin 350g" while it is asked what a tin holds is the answer to that. */
static bool answers_holds(struct turn *t, const struct request *r) {
    struct slice base, line;
    struct request asked;
    if (!turn_question_open(t) || t->question->asked != SLOT_SAMPLE ||
        !request_has(r, SLOT_WEIGHT) || !slice_cut(t->question->line, ' ', &base, &line) ||
        request_read(line, &asked) || measure_chosen(&asked) != measure_chosen(r) ||
        (request_has(r, SLOT_FEED) && !slice_eq(slice_of(r->feed), slice_of(asked.feed))))
        return false;
    const struct request bare = {.has = SLOT_BIT(SLOT_WEIGHT), .weight_mg = r->weight_mg};
    turn_answer_question(t, &bare);
    return true;
}

static void do_measure(struct turn *t, struct request *r) {
    enum measure_kind measure = measure_chosen(r);
    int64_t feed;
    if (!request_has(r, SLOT_WEIGHT) && (measure || !request_has(r, SLOT_CHOICE))) {
        say_measures(t, measure);
        return;
    }
    if (!measure) {
        TURN_SAY(t, MEASURE_HOW);
        return;
    }
    if (answers_holds(t, r) || !holds_possible(t, r, measure, r->weight_mg) ||
        !turn_fill_feed(t, r, NULL, true, &feed))
        return;
    const struct measure_size *old = farm_measure(&t->farm->state, measure, feed);
    bool is_new = turn_feed_new(t, feed);
    int64_t was_mg = old && old->feed == feed ? old->weight_mg : 0;
    turn_record(t, ENTRY_MEASURE, SUBJECT_HATCHERY, 0, t->base_s, measure, r->weight_mg, feed);
    if (!turn_commit(t))
        return;
    struct reply_value one = turn_measures(measure, 1000), holds = V_WEIGHT(r->weight_mg);
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, feed));
    if (was_mg && was_mg != r->weight_mg)
        TURN_SAY(t, MEASURE_CHANGED, one, name, holds, V_WEIGHT(was_mg));
    else
        TURN_SAY(t, MEASURE_NOTED, one, name, holds, turn_measures(measure, 3000),
                 V_WEIGHT(r->weight_mg * 3));
    if (is_new)
        TURN_SAY(t, FEED_NEW, name);
}

/* -- gave ----------------------------------------------------------------------------------------
 */

int64_t turn_fed_day(const struct turn *t, const struct cycle *c, int64_t at_s) {
    return growing_fed_mg(&t->farm->state, c, zone_midnight(t->zone, at_s, 0),
                          zone_midnight(t->zone, at_s, 1));
}

/* So often the day's ration at once, as it would be without food left and all else that lowers it:
 * who feeds as ever is not asked. */
static bool over_ration(const struct turn *t, const struct farm_state *st, const struct pond *pond,
                        int64_t at_s, int64_t weight_mg) {
    struct feeding f = feeding_of(st, pond, t->zone, at_s);
    int64_t day_mg = f.ration_mg > f.line_mg ? f.ration_mg : f.line_mg;
    return f.cycle && day_mg > 0 && weight_mg > RATION_TIMES_MOST * day_mg;
}

/* More than so many fish can eat or such a pond can bear: a digit or a unit slipped. */
static bool much(struct turn *t, int pond_number, int64_t at_s, int64_t weight_mg, int64_t *fish) {
    const struct farm_state *st = turn_then(t, at_s);
    const struct cycle *c = turn_cycle_then(st, pond_number, at_s);
    const struct pond *pond = farm_pond(st, pond_number);
    int64_t most_mg = pond ? AREA_TIMES_MOST * ration_most_mg(pond->area_cm2) : 0;
    int brood = 0;
    int64_t brood_mg = turn_brood_feed(st, pond_number, &brood);
    if (!c && brood) { /* brood fish alone: each eats as much as many of a growing pond */
        *fish = brood;
        return brood_mg && weight_mg > BROOD_TIMES_MOST * brood_mg;
    }
    *fish = c ? growing_fish(st, c, at_s).high : 0;
    return weight_mg / FISH_DAY_MOST_MG > *fish || (most_mg && weight_mg > most_mg) ||
           (c && pond && over_ration(t, st, pond, at_s, weight_mg));
}

bool turn_feed_too_much(struct turn *t, const struct request *r, int pond, int64_t at_s,
                        int64_t weight_mg) {
    int64_t fish;
    if (!much(t, pond, at_s, weight_mg, &fish) || (r->confirms & CONFIRM_MANY))
        return false;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_FEED_MANY, V_TAG(turn_pond_tag(pond)),
             V_WEIGHT(weight_mg), V_NUMBER(turn_two_figures(fish)));
    return true;
}

bool turn_feed_again(struct turn *t, const struct request *r, const struct entry *old,
                     int64_t *weight_mg) {
    enum measure_kind measure = measure_chosen(r);
    int64_t fish;
    *weight_mg = r->weight_mg;
    if (old->kind == ENTRY_MEASURE)
        return holds_usual((enum measure_kind)old->value[0], *weight_mg);
    if (request_has(r, SLOT_CHOICE)) {
        int64_t holds_mg = measure ? measure_holds(t, measure, old->value[1], old->at_s) : 0;
        if (!holds_mg || r->count_milli < 0 || r->count_milli > MEASURES_MOST_MILLI ||
            r->count_milli % QUARTER_MILLI)
            return false;
        *weight_mg = r->count_milli * holds_mg / 1000;
    }
    if (*weight_mg < (old->kind == ENTRY_STORE ? 0 : 1) || *weight_mg > FEED_MOST_MG)
        return false;
    return old->kind != ENTRY_GIVEN || !much(t, (int)old->subject, old->at_s, *weight_mg, &fish);
}

static void say_gave(struct turn *t, const struct cycle *c, int64_t at_s, int64_t feed,
                     const struct turn_amount *a) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond)), at = V_WHEN(at_s);
    struct reply_value amount = V_TEXT(turn_amount_text(t, t->sender, a));
    struct reply_value name = V_TEXT(turn_feed_name(t, t->sender, feed));
    int64_t day_mg = turn_fed_day(t, c, at_s);
    bool aerated = pond->aerator == AERATOR_RUNS;
    turn_about(t, t->sender, ABOUT_FEED, c->pond, (struct slice){0});
    if (ration_guard(day_mg, pond->area_cm2, aerated) == RATION_GUARD_LIMIT)
        TURN_SAY(t, GAVE_LIMIT, tag, amount, at, V_WEIGHT(day_mg),
                 V_WEIGHT(ration_most_mg(pond->area_cm2)));
    else if (zone_days_between(t->zone, at_s, t->now_s))
        TURN_SAY(t, GAVE_DAY, tag, amount, name, at, V_WEIGHT(day_mg));
    else
        TURN_SAY(t, GAVE, tag, amount, name, V_CLOCK(at_s), V_WEIGHT(day_mg));
    if (!feed && turn_feed_names(t).n) /* it is off nobody's store */
        TURN_SAY(t, FEED_UNSAID, V_TEXT(turn_feed_names(t)));
}

static void do_gave(struct turn *t, struct request *r) {
    struct turn_amount amount;
    int64_t at_s, feed;
    if (turn_gave_brood(t, r))
        return;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c || !turn_fill_feed(t, r, farm_pond(&t->farm->state, c->pond), false, &feed) ||
        !turn_fill_amount(t, r, feed, at_s, &amount) ||
        turn_feed_too_much(t, r, c->pond, at_s, amount.weight_mg))
        return;
    int64_t number = c->number;
    turn_record_holds(t, &amount, feed, at_s);
    turn_record(t, ENTRY_GIVEN, SUBJECT_POND, c->pond, at_s, amount.weight_mg, feed, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_said_late(t, r, c, at_s))
        return;
    say_gave(t, c, at_s, feed, &amount);
    turn_say_ration_left(t, farm_pond(&t->farm->state, c->pond), at_s);
}

/* -- left ----------------------------------------------------------------------------------------
 */

/* Days of stay on which food was left, in their order; how many. */
static int left_days(const struct turn *t, const struct cycle *c, int *days, int most) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    int count = 0;
    for (int i = 0; i < pond->left_count; i++) {
        int day = zone_days_between(t->zone, c->stocked_s, pond->left_s[i]);
        if (pond->left_s[i] < c->stocked_s || (count && days[count - 1] == day))
            continue;
        if (count == most) { /* the oldest say least */
            for (int k = 1; k < most; k++)
                days[k - 1] = days[k];
            count--;
        }
        days[count++] = day;
    }
    return count;
}

bool turn_is_nursery(const struct farm_state *st, const struct cycle *c, int64_t at_s) {
    struct growing g = growing_of(st, c, at_s);
    int64_t grown_mg = (int64_t)(book_number(BOOK_FINGERLING_G) * 1000);
    return growing_age_days(st, c, at_s) >= 0 &&
           (g.reason != GROWTH_OK || g.weight_mg.middle < grown_mg);
}

struct nursery_feed turn_nursery_feed(const struct turn *t, const struct cycle *c, int64_t at_s) {
    return feeding_nursery(&t->farm->state, farm_pond(&t->farm->state, c->pond), c, t->zone, at_s);
}

/* On how many of the last days food was left. */
static int often(const struct turn *t, const struct cycle *c, int64_t at_s) {
    int days[TURN_LEFT_MAX], found = 0;
    int count = left_days(t, c, days, TURN_LEFT_MAX);
    int day = zone_days_between(t->zone, c->stocked_s, at_s);
    for (int i = 0; i < count; i++)
        found += days[i] <= day && days[i] > day - OFTEN_DAYS;
    return found;
}

static bool left_that_day(const struct turn *t, const struct cycle *c, int64_t at_s) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    for (int i = 0; i < pond->left_count; i++)
        if (pond->left_s[i] >= c->stocked_s &&
            zone_days_between(t->zone, pond->left_s[i], at_s) == 0)
            return true;
    return false;
}

/* As FEED tells it: what a scale shows. */
static struct reply_value rounded(int64_t weight_mg) {
    return V_WEIGHT(feeding_weighable_mg(weight_mg));
}

static void say_left(struct turn *t, const struct cycle *c, int64_t at_s, bool again) {
    const struct pond *pond = farm_pond(&t->farm->state, c->pond);
    struct reply_value tag = V_TAG(turn_pond_tag(c->pond));
    struct feeding now = feeding_of(&t->farm->state, pond, t->zone, t->now_s);
    int64_t half_mg = now.half_mg; /* as FEED tells it, where it is fed at all */
    if (!half_mg)
        half_mg = feeding_weighable_mg(turn_nursery_feed(t, c, at_s).halved_meal_mg);
    struct nursery_feed next = turn_nursery_feed(t, c, zone_midnight(t->zone, at_s, 1));
    bool line = now.rule == FEEDING_NURSERY && next.ration_mg && !now.by_fish;
    int days = often(t, c, at_s);
    turn_about(t, t->sender, ABOUT_FEED, c->pond, (struct slice){0});
    bool today = zone_days_between(t->zone, at_s, t->now_s) == 0;
    bool none = now.reason != RATION_OK && today;
    if (again && today)
        TURN_SAY(t, LEFT_AGAIN, tag);
    else if (none && days < OFTEN)
        TURN_SAY(t, LEFT_NONE, tag);
    else if (days >= OFTEN)
        TURN_SAY(t, LEFT_OFTEN, tag, V_NUMBER(days));
    else if (!today)
        TURN_SAY(t, LEFT_DAY, tag, V_DATE(at_s));
    else if (line)
        TURN_SAY(t, LEFT_LINE, tag, V_WEIGHT(half_mg), rounded(next.ration_mg));
    else
        TURN_SAY(t, LEFT, tag);
}

/* Once, when it comes to the third day; also where the first of them is heard of last. */
static void alert_left(struct turn *t, const struct cycle *c, int before) {
    int days = often(t, c, t->now_s);
    const struct reply word = {
        REPLY_OWNER_LEFT,
        {V_TAG(turn_pond_tag(c->pond)), V_NUMBER(days), V_TEXT(turn_sender(t)->phone)}};
    if (before < OFTEN && days >= OFTEN)
        (void)turn_alert_owner(t, &word);
}

static void do_left(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    if (request_has(r, SLOT_COUNT) != request_has(r, SLOT_CHOICE)) {
        TURN_SAY(t, AMOUNT_HOW, V_KIND(r->kind));
        return;
    }
    bool amount = request_has(r, SLOT_COUNT) || request_has(r, SLOT_WEIGHT);
    int64_t number = c->number;
    bool again = left_that_day(t, c, at_s);
    int before = often(t, c, t->now_s);
    turn_record(t, ENTRY_LEFT, SUBJECT_POND, c->pond, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    c = farm_cycle(&t->farm->state, number);
    if (turn_said_late(t, r, c, at_s))
        return;
    say_left(t, c, at_s, again);
    if (amount) /* it lies in the water and stays given */
        TURN_SAY(t, LEFT_AMOUNT);
    alert_left(t, c, before);
}

void turn_why_feed(struct turn *t, const struct pond *pond) {
    const struct farm_state *st = &t->farm->state;
    const struct cycle *c = pond->cycle ? farm_cycle(st, pond->cycle) : NULL;
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    struct reply_value ares = V_CENTI(pond->area_cm2 / 1000);
    if (!c) {
        TURN_SAY(t, WHY_NOTHING);
        return;
    }
    struct reply_value sum = V_WEIGHT(turn_fed_day(t, c, t->now_s));
    /* food left today lowers the line from tomorrow on */
    int64_t day_s = left_that_day(t, c, t->now_s) ? zone_midnight(t->zone, t->now_s, 1) : t->now_s;
    struct nursery_feed feed = turn_nursery_feed(t, c, day_s);
    int week = zone_days_between(t->zone, c->stocked_s, day_s) / 7 + 1;
    struct feeding f = feeding_of(st, pond, t->zone, t->now_s);
    if (f.by_fish)
        turn_why_ration(t, pond);
    else if (f.rule == FEEDING_NURSERY && f.least && feed.line_mg)
        TURN_SAY(t, WHY_FEED_FEW, tag, V_DATE(day_s), V_NUMBER(week),
                 V_WEIGHT(nursery_ration_mg(pond->area_cm2, 7 * (week - 1))),
                 V_NUMBER(turn_two_figures(f.least)), V_NUMBER(turn_two_figures(f.fry)),
                 V_WEIGHT(feed.line_mg), V_NUMBER(feed.steps), rounded(feed.ration_mg));
    else if (f.rule == FEEDING_NURSERY && feed.line_mg)
        TURN_SAY(t, WHY_FEED_NURSERY, tag, V_DATE(day_s), V_NUMBER(week), ares,
                 V_WEIGHT(feed.line_mg), V_NUMBER(feed.steps), rounded(feed.ration_mg), sum);
    else if (pond->area_cm2)
        TURN_SAY(t, WHY_FEED, tag, sum, ares, V_WEIGHT(ration_most_mg(pond->area_cm2)));
    else
        TURN_SAY(t, WHY_FEED_PLAIN, tag, sum);
}

/* Measures without a word for what was done, and no question that they answer: "tin" asks what it
 * holds, "3 tins" says too little. */
static bool bare_measures(struct turn *t, struct request *r) {
    const uint64_t measures = CHOICE_BIT(CHOICE_BAG + 1) - CHOICE_BIT(CHOICE_TIN);
    if (r->kind != REQUEST_NONE || !request_has(r, SLOT_CHOICE) || (r->choices & ~measures))
        return false;
    if (r->has == SLOT_BIT(SLOT_CHOICE))
        do_measure(t, r);
    else
        TURN_SAY(t, MEASURES_BARE);
    return true;
}

bool turn_judge_feed(struct turn *t, struct request *r) {
    if (bare_measures(t, r))
        return true;
    switch (r->kind) {
    case REQUEST_MEASURE:
        do_measure(t, r);
        return true;
    case REQUEST_GAVE:
        do_gave(t, r);
        return true;
    case REQUEST_LEFT:
        do_left(t, r);
        return true;
    default:
        return false;
    }
}
