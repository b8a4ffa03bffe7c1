/* What is thought to swim in a cycle: its points, its numbers and weights against trade's own, and
 * sums of feed and gain by hand. */
#include "farm_say.h"

#include "farm/growing.h"
#include "trade/book.h"

enum { DAY = 24 * 60 }; /* minutes, as rows have them */

#define STOCKED(at, count, mean_ug) OF_CYCLE(at, ENTRY_STOCKED, 1, 4, count, mean_ug, 0, 0, 0)
#define SAMPLED(at, mean_ug)        OF_CYCLE(at, ENTRY_SAMPLED, 1, 30, mean_ug, 0, 0, 0)
#define CAUGHT(at, count, mg)       OF_CYCLE(at, ENTRY_HARVESTED, 1, count, mg, 0)
#define BIG(at, count, mg)          OF_CYCLE(at, ENTRY_BIG, 1, count, mg), CAUGHT(at, count, mg)
#define G                           1000000 /* in ug */

static int64_t at(int64_t minutes) {
    return LEDGER_START_S + minutes * MINUTE_S;
}

static struct growing grown(const struct farm *farm, int64_t minutes) {
    return growing_of(&farm->state, farm_cycle(&farm->state, 1), at(minutes));
}

static void near(const char *name, int64_t got, int64_t want, int64_t off) {
    if (got < want - off || got > want + off)
        fail_msg("%s: got %lld, wanted %lld, %lld more or less", name, (long long)got,
                 (long long)want, (long long)off);
}

/* -- how many ------------------------------------------------------------------------------------
 */

static void kinds_of_fish(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t days, want;
    } cases[] = {
        {"fry of two weeks", {STOCKED(0, 1000, 100000)}, 30, 500},
        {"larvae, no fence", {STOCKED(0, 1000, 2000)}, 40, 50},
        {"larvae, fence",
         {OF_POND(0, ENTRY_POND, 4, 0, 0, FENCE_STANDS), STOCKED(0, 1000, 2000)},
         40,
         323},
        {"fingerlings", {STOCKED(0, 1000, 2 * G)}, 180, 850},
        {"size not said", {STOCKED(0, 1000, 0)}, 180, 850},
        {"size not said, of a spawn",
         {OF_CYCLE(0, ENTRY_STOCKED, 1, 4, 1000, 0, 7, 0, 0)},
         30,
         500},
        {"fry stay fry when larger ones come",
         {STOCKED(0, 1000, 100000), STOCKED(0, 1000, 100 * G)},
         30,
         1000},
        {"counted", {STOCKED(0, 1000, 2 * G), OF_CYCLE(9 * DAY, ENTRY_COUNTED, 1, 700)}, 9, 700},
        {"sold, taken, stolen, sorted out",
         {STOCKED(0, 1000, 2 * G), OF_CYCLE(0, ENTRY_SOLD, 1, 30, 0, 0), CAUGHT(0, 100, 0),
          OF_CYCLE(0, ENTRY_STOLEN, 1, 50), OF_CYCLE(0, ENTRY_GRADED, 1, 20), BIG(0, 10, 9000)},
         0,
         790},
        {"moved on",
         {STOCKED(0, 1000, 2 * G), OF_CYCLE(0, ENTRY_STOCKED, 2, 5, 400, 2 * G, 0, 1, 0)},
         0,
         600},
        {"emptied, however few were counted out",
         {STOCKED(0, 1000, 2 * G), OF_CYCLE(5, ENTRY_HARVESTED, 1, 600, 0, 1)},
         9,
         0},
        {"emptied, then more of the same",
         {STOCKED(0, 1000, 2 * G), OF_CYCLE(5, ENTRY_HARVESTED, 1, 600, 0, 1),
          STOCKED(6, 300, 2 * G)},
         60,
         285}, /* 300 x (1 - .15 x 60 / 180) */
        {"asked of an instant before", {STOCKED(0, 1000, 2 * G), CAUGHT(5 * DAY, 700, 0)}, 0, 1000},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct cycle *c = farm_cycle(&farm.state, 1);
        FIELD(cases[i].name, growing_fish(&farm.state, c, at(cases[i].days * DAY)).middle,
              cases[i].want);
        farm_free(&farm);
    }
}

/* -- points --------------------------------------------------------------------------------------
 */

static void points(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int count, samples;
        int64_t last_mg;
    } cases[] = {
        {"stocked", {STOCKED(0, 1000, 2 * G)}, 1, 0, 2000},
        {"size not said", {STOCKED(0, 1000, 0)}, 0, 0, 0},
        {"size not said, then weighed", {STOCKED(0, 1000, 0), SAMPLED(9, 5 * G)}, 1, 1, 5000},
        {"more of a known size beside unknown ones",
         {STOCKED(0, 1000, 0), STOCKED(9, 1000, 5 * G)},
         0,
         0,
         0},
        {"a sample", {STOCKED(0, 1000, 2 * G), SAMPLED(DAY, 3 * G)}, 2, 1, 3000},
        {"a catch that was weighed", {STOCKED(0, 1000, 2 * G), CAUGHT(DAY, 10, 40000)}, 2, 1, 4000},
        {"one that was not", {STOCKED(0, 1000, 2 * G), CAUGHT(DAY, 10, 0)}, 1, 0, 2000},
        {"dead ones say nothing of weight",
         {STOCKED(0, 1000, 2 * G), OF_CYCLE(9, ENTRY_DIED, 1, 5)},
         1,
         0,
         2000},
        {"at one second the later said stands",
         {STOCKED(0, 1000, 2 * G), SAMPLED(9, 3 * G), SAMPLED(9, 4 * G)},
         2,
         2,
         4000},
        {"no fish weighs that", {STOCKED(0, 1000, 2 * G), CAUGHT(9, 1, 100000001)}, 1, 0, 2000},
        {"next to nothing", {STOCKED(0, 1000, 2 * G), CAUGHT(9, 10, 1)}, 2, 1, 1},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        struct growing_points p =
            growing_points(&farm.state, farm_cycle(&farm.state, 1), at(99 * DAY));
        FIELD(cases[i].name, p.count, cases[i].count);
        FIELD(cases[i].name, p.samples, cases[i].samples);
        FIELD(cases[i].name, p.count ? p.points[p.count - 1].weight_mg : 0, cases[i].last_mg);
        FIELD(cases[i].name, p.sampled_s != 0, cases[i].samples != 0);
        farm_free(&farm);
    }
}

/* More of them than there is room for: the newest stay, a change among them first. */
static void many_points(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    say_one(&farm, (struct say)STOCKED(0, 9000, 2 * G));
    for (int i = 1; i <= 3 * GROWING_POINTS_MAX; i++) {
        if (i % 3) {
            say_one(&farm, (struct say)SAMPLED(i * DAY, 2 * G + i * 10000));
        } else {
            say_one(&farm, (struct say)OF_CYCLE(i * DAY, ENTRY_STOCKED, 1, 4, 5, 3 * G, 0, 0, 0));
        }
        const struct cycle *c = farm_cycle(&farm.state, 1);
        struct growing_points p = growing_points(&farm.state, c, at(i * DAY));
        assert_int_equal(p.count, i < GROWING_POINTS_MAX ? i + 1 : GROWING_POINTS_MAX);
        assert_int_equal(p.points[0].change_ppm, 0);
        assert_true(p.points[p.count - 1].at_s == at(i * DAY));
        assert_int_equal(grown(&farm, i * DAY).reason, GROWTH_OK);
    }
    farm_free(&farm);
}

/* -- weights -------------------------------------------------------------------------------------
 */

static int64_t by_law(int64_t from_mg, int64_t mdegc, int days) {
    int64_t tgc_micro = (int64_t)(book_number(BOOK_TGC_USUAL) * 1e6);
    return growth_weight(from_mg, tgc_micro, mdegc * days).weight_mg;
}

/* Nothing weighed yet: the book's TGC from what was stocked, in the water that is known. */
static void forecasts(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t mdegc;
        bool guessed;
    } cases[] = {
        {"no water known", {STOCKED(0, 1000, 2 * G)}, 26000, true},
        {"the hatchery's", {OF_HALL(0, ENTRY_WATER, 24000), STOCKED(0, 1000, 2 * G)}, 24000, false},
        {"its own",
         {OF_HALL(0, ENTRY_WATER, 24000), OF_POND(0, ENTRY_WATER, 4, 27500, 0),
          STOCKED(0, 1000, 2 * G)},
         27500,
         false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        struct growing g = grown(&farm, 60 * DAY);
        FIELD(cases[i].name, g.reason, GROWTH_OK);
        FIELD(cases[i].name, g.guessed, cases[i].guessed);
        FIELD(cases[i].name, g.water_mdegc, cases[i].mdegc);
        FIELD(cases[i].name, g.weight_mg.middle, by_law(2000, cases[i].mdegc, 60));
        FIELD(cases[i].name, g.biomass_mg, 950 * g.weight_mg.middle); /* 1000 x (1 - .15 / 3) */
        farm_free(&farm);
    }
}

/* Who goes or comes takes or brings his own weight, and the rest grow as they did. */
static void jumps(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t moved_mg; /* came in, less than 0: went out */
    } cases[] = {
        {"big ones", {BIG(60 * DAY, 200, 30000000)}, -30000000},
        {"smaller ones come", {STOCKED(60 * DAY, 500, 10 * G)}, 5000000},
        {"much smaller ones", {STOCKED(60 * DAY, 20000, G / 10)}, 2000000},
        {"larger ones come", {STOCKED(60 * DAY, 500, 400 * G)}, 200000000},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        static const struct say before[] = {STOCKED(0, 1000, 20 * G), SAMPLED(30 * DAY, 45 * G),
                                            OF_POND(0, ENTRY_WATER, 4, 27000, 0)};
        struct farm plain = say_all(before, COUNT_OF(before)), farm = say_all(before, 3);
        for (int k = 0; k < SAY_MOST && cases[i].rows[k].kind; k++)
            say_one(&farm, cases[i].rows[k]);
        struct growing was = grown(&plain, 60 * DAY), is = grown(&farm, 60 * DAY);
        near(cases[i].name, is.biomass_mg, was.biomass_mg + cases[i].moved_mg,
             is.fish.middle + 1000); /* a mg a fish */
        struct growing_points p =
            growing_points(&plain.state, farm_cycle(&plain.state, 1), at(60 * DAY));
        struct growing_points q =
            growing_points(&farm.state, farm_cycle(&farm.state, 1), at(60 * DAY));
        int64_t tgc_micro = growth_fit(p.points, p.count, &p.water).tgc_micro.middle;
        near(cases[i].name, growth_fit(q.points, q.count, &q.water).tgc_micro.middle, tgc_micro, 1);
        int64_t later_mg = growth_weight(is.weight_mg.middle, tgc_micro, 27000 * 30).weight_mg;
        near(cases[i].name, grown(&farm, 90 * DAY).weight_mg.middle, later_mg, later_mg / 500 + 1);
        farm_free(&plain);
        farm_free(&farm);
    }
}

/* What does not fit together: the catch says more than the pond held, or less of each fish. */
static void odd_catches(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t want_mg;
    } cases[] = {
        {"heavier than everything",
         {STOCKED(0, 1000, 100 * G), BIG(0, 500, 400000000)},
         30000}, /* the smallest tenth, 0.3 of the mean */
        {"beyond sense", {STOCKED(0, 1000, 100 * G), BIG(0, 1, 100000000000)}, 30000},
        {"more fish than there were", {STOCKED(0, 1000, 100 * G), BIG(0, 5000, 500000000)}, 30000},
        {"big ones lighter than the mean",
         {STOCKED(0, 1000, 100 * G), BIG(0, 100, 8000000)},
         80000},
        {"of a pond of unknown weight", {STOCKED(0, 1000, 0), BIG(0, 100, 8000000)}, 0},
        {"what goes beside them is not big",
         {STOCKED(0, 1000, 100 * G), BIG(0, 100, 20000000), CAUGHT(0, 10, 0)},
         88889},
        {"moved without a weight, it is that of the big ones: (100 - 20) / 900",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(0, ENTRY_BIG, 1, 100, 20000000),
          OF_CYCLE(0, ENTRY_STOCKED, 2, 5, 100, 0, 0, 1, 0)},
         88889},
        {"into an emptied pond they weigh what they weigh",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(0, ENTRY_HARVESTED, 1, 900, 0, 1),
          STOCKED(0, 500, 2 * G)},
         2000},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        near(cases[i].name, grown(&farm, 0).weight_mg.middle, cases[i].want_mg, 1);
        farm_free(&farm);
    }
}

/* All of them are as many as the fold counts then: so many happened to the fish of both ponds. */
static void all_are_counted(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int cycle, event; /* that is looked at */
        enum fish_event_kind kind;
        int64_t count, mean_ug;
    } cases[] = {
        {"harvested: 97 kg of 970",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(10, ENTRY_DIED, 1, 30),
          OF_CYCLE(20, ENTRY_HARVESTED, 1, 0, 97000000, 1)},
         1,
         2,
         FISH_TAKEN,
         970,
         100000000},
        {"the rest of a pond was not there",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(10, ENTRY_HARVESTED, 1, 300, 0, 0),
          OF_CYCLE(20, ENTRY_HARVESTED, 1, 0, 0, 1)},
         1,
         2,
         FISH_TAKEN,
         0,
         0},
        {"sold, the dead of before said later",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(20, ENTRY_SOLD, 1, 0, 0, 1),
          OF_CYCLE(10, ENTRY_DIED, 1, 30)},
         1,
         2,
         FISH_TAKEN,
         970,
         0},
        {"moved: out of the one",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(10, ENTRY_STOLEN, 1, 40),
          OF_CYCLE(20, ENTRY_STOCKED, 2, 5, 0, 120000000, 0, 1, 1)},
         1,
         2,
         FISH_TAKEN,
         960,
         120000000},
        {"moved: into the other",
         {STOCKED(0, 1000, 100 * G), OF_CYCLE(10, ENTRY_STOLEN, 1, 40),
          OF_CYCLE(20, ENTRY_STOCKED, 2, 5, 0, 120000000, 0, 1, 1)},
         2,
         0,
         FISH_PUT,
         960,
         120000000},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct cycle *c = farm_cycle(&farm.state, cases[i].cycle);
        assert_in_range(c->event_count, cases[i].event + 1, SAY_MOST);
        FIELD(cases[i].name, c->events[cases[i].event].kind, cases[i].kind);
        FIELD(cases[i].name, c->events[cases[i].event].count, cases[i].count);
        FIELD(cases[i].name, c->events[cases[i].event].mean_ug, cases[i].mean_ug);
        farm_free(&farm);
    }
}

/* -- feed and gain -------------------------------------------------------------------------------
 */

static void feed_and_gain(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        OF_POND(0, ENTRY_GIVEN, 4, 1000, 0), /* before the stocking: of no fish */
        STOCKED(DAY, 1000, 100 * G),
        OF_POND(DAY, ENTRY_GIVEN, 4, 20000000, 0),
        OF_POND(9 * DAY, ENTRY_GIVEN, 5, 7777, 0), /* of another pond */
        OF_POND(9 * DAY, ENTRY_GIVEN, 4, 30000000, 3),
        CAUGHT(10 * DAY, 100, 12000000),
        OF_POND(20 * DAY, ENTRY_GIVEN, 4, 40000000, 0),
        OF_CYCLE(20 * DAY, ENTRY_COUNTED, 1, 800),
        SAMPLED(20 * DAY, 150 * G),
        OF_CYCLE(20 * DAY, ENTRY_HARVESTED, 1, 800, 120000000, 1),
        OF_POND(21 * DAY, ENTRY_GIVEN, 4, 5000, 0), /* of the next */
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    const struct farm_state *st = &farm.state;
    const struct cycle *c = farm_cycle(st, 1);
    FIELD("all", growing_fed_mg(st, c, 0, at(99 * DAY)), 50000000);
    FIELD("the last instant is out", growing_fed_mg(st, c, at(DAY), at(9 * DAY)), 20000000);
    FIELD("the first is in", growing_fed_mg(st, c, at(9 * DAY), at(9 * DAY + 1)), 30000000);
    /* out: 12 kg and 120 kg, put in: 100 kg */
    FIELD("gained", growing_gained_mg(st, c, at(20 * DAY)), 32000000);
    FIELD("and it stays", growing_gained_mg(st, c, at(99 * DAY)), 32000000);
    FIELD("nothing at first", growing_gained_mg(st, c, at(DAY)), 0);
    struct growing g = growing_of(st, c, at(10 * DAY + 60));
    near("on the way", growing_gained_mg(st, c, at(10 * DAY + 60)),
         g.biomass_mg + 12000000 - 100000000, 1);
    farm_free(&farm);
    static const struct say unknown[] = {STOCKED(0, 1000, 0), SAMPLED(DAY, 100 * G)};
    farm = say_all(unknown, COUNT_OF(unknown));
    FIELD("stocked at an unknown weight",
          growing_gained_mg(&farm.state, farm_cycle(&farm.state, 1), at(9 * DAY)), 0);
    farm_free(&farm);
}

/* -- age -----------------------------------------------------------------------------------------
 */

static void ages(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int days, want;
    } cases[] = {
        {"fry are two weeks old", {STOCKED(0, 1000, 100000)}, 5, 19},
        {"larvae three days", {STOCKED(0, 1000, 2000)}, 5, 8},
        {"fingerlings are of no age", {STOCKED(0, 1000, 2 * G)}, 5, -1},
        {"nor those of unknown size", {STOCKED(0, 1000, 0)}, 5, -1},
        /* stripped d0 12 h after the start in water of 25 degC; half hatch is 26 h later */
        {"of a spawn",
         {OF_HALL(0, ENTRY_WATER, 25000), INJECTED(0, 1, 1),
          OF_SPAWN(720, ENTRY_STRIPPED, 1, 90000),
          OF_CYCLE(10 * DAY, ENTRY_STOCKED, 1, 4, 100, 50000, 1, 0, 0)},
         30,
         28},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct cycle *c = farm_cycle(&farm.state, 1);
        FIELD(cases[i].name, growing_age_days(&farm.state, c, at(cases[i].days * DAY)),
              cases[i].want);
        farm_free(&farm);
    }
}

/* -- random ledgers ------------------------------------------------------------------------------
 */

static void sound_range(const char *what, uint64_t seed, int64_t low, int64_t middle,
                        int64_t high) {
    if (low < 0 || low > middle || middle > high)
        fail_msg("%s of ledger %llu: %lld, %lld, %lld", what, (unsigned long long)seed,
                 (long long)low, (long long)middle, (long long)high);
}

static void random_ledgers(void **unused) {
    (void)unused;
    static struct ledger l;
    int known = 0, gained = 0;
    for (uint64_t seed = 1; seed <= 600; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        struct farm farm = ledger_farm(&l);
        for (int i = 0; i < farm.state.cycle_count; i++) {
            const struct cycle *c = &farm.state.cycles[i];
            for (int day = 0; day < 200; day += 20) {
                int64_t at_s = c->stocked_s + day * (int64_t)DAY_S;
                struct growing g = growing_of(&farm.state, c, at_s);
                sound_range("fish", seed, g.fish.low, g.fish.middle, g.fish.high);
                sound_range("weight", seed, g.weight_mg.low, g.weight_mg.middle, g.weight_mg.high);
                /* fry that weigh as table fish hours later grow out of sight, too */
                if (g.reason != GROWTH_OK && g.reason != GROWTH_NO_SAMPLE &&
                    g.reason != GROWTH_TOO_FAR)
                    fail_msg("ledger %llu: reason %d", (unsigned long long)seed, g.reason);
                assert_true(g.biomass_mg >= 0);
                if (c->closed_s && at_s >= c->closed_s)
                    assert_int_equal(g.fish.high, 0);
                known += g.reason == GROWTH_OK;
                gained += growing_gained_mg(&farm.state, c, at_s) > 0;
                assert_true(growing_age_days(&farm.state, c, at_s) >= -1);
            }
        }
        farm_free(&farm);
    }
    assert_in_range(known, 1000, 1000000);
    assert_in_range(gained, 500, 1000000);
}

/* -- what is not known goes with the fish --------------------------------------------------------
 */

static struct growing of(const struct farm *farm, int64_t cycle, int64_t at_s) {
    return growing_of(&farm->state, farm_cycle(&farm->state, cycle), at_s);
}

/* Nothing was counted or weighed as they went: neither number nor weight is any surer there. */
static void moved_as_unsure(void **unused) {
    (void)unused;
    enum { ALL = STOCKED_ALL | STOCKED_RECKONED };
    const int64_t means_ug[] = {2000, 100000, 2 * G, 50 * G};
    for (size_t i = 0; i < COUNT_OF(means_ug); i++)
        for (int day = 0; day <= 200; day += 25) {
            const struct say rows[] = {STOCKED(0, 9000, means_ug[i]),
                                       OF_CYCLE(day * DAY, ENTRY_STOCKED, 2, 5, 0, 0, 0, 1, ALL)};
            struct farm farm = say_all(rows, 1);
            struct growing was = of(&farm, 1, at(day * DAY));
            say_one(&farm, rows[1]);
            struct growing is = of(&farm, 2, at(day * DAY));
            if (was.reason == GROWTH_OK &&
                (is.weight_mg.low > was.weight_mg.low || is.weight_mg.high < was.weight_mg.high ||
                 is.fish.low > was.fish.low || is.fish.high < was.fish.high))
                fail_msg("%lld ug, day %d: %lld-%lld mg, %lld-%lld fish were %lld-%lld mg, "
                         "%lld-%lld",
                         (long long)means_ug[i], day, (long long)is.weight_mg.low,
                         (long long)is.weight_mg.high, (long long)is.fish.low,
                         (long long)is.fish.high, (long long)was.weight_mg.low,
                         (long long)was.weight_mg.high, (long long)was.fish.low,
                         (long long)was.fish.high);
            farm_free(&farm);
        }
}

/* Into a pond with others: the range is no narrower than that of a mix of known shares, whose
 * variance is the sum of those of its parts (propagation of independent errors). */
static void mixed_as_unsure(void **unused) {
    (void)unused;
    for (int day = 0; day <= 100; day += 10)
        for (int64_t there = 100; there <= 10000; there *= 10) {
            const struct say rows[] = {STOCKED(0, 1000, 5 * G),
                                       OF_CYCLE(day * DAY, ENTRY_STOCKED, 2, 5, there, 5 * G),
                                       OF_CYCLE(day * DAY + 1, ENTRY_STOCKED, 2, 5, 0, 0, 0, 1,
                                                STOCKED_ALL | STOCKED_RECKONED)};
            struct farm farm = say_all(rows, 2);
            int64_t at_s = at(day * DAY + 1);
            struct growing a = of(&farm, 1, at_s), b = of(&farm, 2, at_s);
            say_one(&farm, rows[2]);
            struct growing mix = of(&farm, 2, at_s);
            double all = (double)(a.fish.middle + b.fish.middle);
            double of_a = (double)a.fish.middle / all, of_b = (double)b.fish.middle / all;
            double wide_a = (double)(a.weight_mg.high - a.weight_mg.low);
            double wide_b = (double)(b.weight_mg.high - b.weight_mg.low);
            double wide = (double)(mix.weight_mg.high - mix.weight_mg.low);
            double least2 = of_a * of_a * wide_a * wide_a + of_b * of_b * wide_b * wide_b;
            if (wide * wide < least2 * .97)
                fail_msg("day %d, %lld there: %g mg wide, wanted the root of %g", day,
                         (long long)there, wide, least2);
            assert_true(mix.fish.high - mix.fish.low >= a.fish.high - a.fish.low);
            farm_free(&farm);
        }
}

/* Two hundred large ones picked for a buyer say nothing of those that stay; a catch does, and so
 * does a sale where nobody weighed anything before. */
static void picked(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[2];
        bool moves; /* the mean of those left, far over the 5 g that were stocked */
    } cases[] = {
        {"sold", {STOCKED(0, 3000, 5 * G), OF_CYCLE(1, ENTRY_SOLD, 1, 200, 4000 * 1000, 0)}, false},
        {"caught",
         {STOCKED(0, 3000, 5 * G), OF_CYCLE(1, ENTRY_HARVESTED, 1, 200, 4000 * 1000, 0)},
         true},
        {"sold, and never weighed",
         {STOCKED(0, 3000, 0), OF_CYCLE(1, ENTRY_SOLD, 1, 200, 4000 * 1000, 0)},
         true},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, 2);
        struct growing g = growing_of(&farm.state, farm_cycle(&farm.state, 1), LEDGER_START_S + 60);
        FIELD(cases[i].name, g.weight_mg.middle > 10000, cases[i].moves);
        farm_free(&farm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(picked),          cmocka_unit_test(kinds_of_fish),
        cmocka_unit_test(points),          cmocka_unit_test(many_points),
        cmocka_unit_test(forecasts),       cmocka_unit_test(jumps),
        cmocka_unit_test(odd_catches),     cmocka_unit_test(all_are_counted),
        cmocka_unit_test(feed_and_gain),   cmocka_unit_test(ages),
        cmocka_unit_test(random_ledgers),  cmocka_unit_test(moved_as_unsure),
        cmocka_unit_test(mixed_as_unsure),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
