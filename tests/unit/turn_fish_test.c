/* Fish of a growing pond by text, one turn at a time: samples, growth, thefts, ponds put together
 * and catches of the big ones: what is recorded, what is refused, and what is said. */
#include "turn_stage.h"

enum { G_UG = 1000000, DAY = 1 };

/* A fresh farm: a thousand fish of 5 g in P2 on Monday. P3 is empty. */
static void pond(struct stage *s) {
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p2 4 ares 0.9m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "pond p3 4 ares 0.9m fenced");
    stage_text(s, AT(MON, 8, 2), OWNER, "stock p2 1000 fish 5g");
    assert_int_equal(s->turn.entry_count, 1);
}

static void put(struct stage *s, struct entry entry) {
    entry.seq = farm_head(&s->farm) + 1;
    entry.said_s = entry.at_s;
    entry.message = 1000 + entry.seq;
    entry.person = 11;
    entry.version = ENTRY_VERSION;
    assert_true(entry_sound(&entry));
    assert_int_equal(farm_add(&s->farm, &entry, 1), ERR_OK);
}

static void want_begins(struct stage *s, const char *text, const char *wanted) {
    const char *got = stage_got(s, OWNER, 0);
    if (strncmp(got, wanted, strlen(wanted)))
        fail_msg("\"%s\": got \"%s\", wanted \"%s...\"", text, got, wanted);
}

static void want_part(struct stage *s, const char *wanted) {
    const char *got = stage_got(s, OWNER, 0);
    if (!strstr(got, wanted))
        fail_msg("got \"%s\", wanted in it \"%s\"", got, wanted);
}

static void want_value(struct stage *s, int entry, int at, int64_t wanted) {
    assert_true(entry < s->turn.entry_count);
    int64_t got = s->turn.entries[entry].value[at];
    if (got != wanted)
        fail_msg("value %d of entry %d: got %lld, wanted %lld", at, entry, (long long)got,
                 (long long)wanted);
}

/* -- what is refused -----------------------------------------------------------------------------
 */

static void what_cannot_be_is_not_recorded(void **state) {
    static const struct {
        const char *text, *begins;
    } cases[] = {
        {"sample p2 0 fish 1kg", "Text fish and weight, neither 0"},
        {"sample p2 0 fish 0g", "Text fish and weight, neither 0"},
        {"sample p2 30 fish 0g", "Text fish and weight, neither 0"},
        {"sample p2", "Text fish and weight, neither 0"},
        {"sample p2 12 0 11", "Text fish and weight, neither 0"},
        {"sample p2 30 fish", "P2: what do the 30 fish weigh together?"},
        {"sample p2 1.95kg", "P2: how many fish weigh 1.95kg together?"},
        {"sample p2 1200 fish 10kg", "P2: 1200 of at most 1000 thought alive?"},
        {"sample p2 30 fish 10g", "P2: mean 0.3g now, 5g on 2 Mar: fish do not shrink."},
        {"sample p2 30 fish 2kg", "P2: mean 67g now, 5g on 2 Mar: too fast for catfish."},
        {"sample p2 30 fish 0.15kg 30cm", "P2: 30cm for 5g?"},
        {"sample p2 30 fish 0.15kg 0cm", "P2: 0cm and 5g cannot be"},
        {"sample p3 30 fish 1kg", "No fish are known in P3."},
        {"sample p9 30 fish 1kg", "No pond P9 here. You have P2 P3."},
        {"sample 30 fish 1kg", "SAMPLE: which pond?"},
        {"growth p3", "No fish are known in P3."},
        {"growth p9", "No pond P9 here. You have P2 P3."},
        {"growth p2 0g", "0g cannot be."},
        {"growth p2 101kg", "101kg cannot be."},
        {"harvest p2 5000000 fish 999999999kg", "Weigh all, count 50 fish"},
        {"sold p2 1000 999999999kg", "999999999kg cannot be."},
        {"sample p2 30 fish 999999999kg", "Text fish and weight, neither 0"},
        {"growth p2 yesterday", "1 Mar is past"},
        {"stolen p2", "P2: how many were stolen?"},
        {"stolen p2 0", "0"},
        {"stolen p2 1001", "P2: 1001 of at most 1000 thought alive?"},
        {"stolen p3 5", "No fish are known in P3."},
        {"stolen p9 5", "No pond P9 here. You have P2 P3."},
        {"merge p2", "Text MERGE P3 P2: all fish of P3 go into P2."},
        {"merge p2 p2", "Text MERGE P3 P2: all fish of P3 go into P2."},
        {"merge p3 p2", "No fish are known in P3."},
        {"merge p2 p9", "No pond P9 here. You have P2 P3."},
        {"harvest p2 60 fish big", "Weigh all, count 50 fish"},
        {"harvest p2 all big", "Weigh all, count 50 fish"},
        {"sold p2 10 fish 40kg", "40kg cannot be."},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s);
        uint64_t before = farm_digest(&s->farm.state);
        stage_text(s, AT(MON, 9, 0), OWNER, cases[i].text);
        want_begins(s, cases[i].text, cases[i].begins);
        if (s->turn.entry_count || farm_digest(&s->farm.state) != before)
            fail_msg("\"%s\" was recorded", cases[i].text);
    }
}

static void a_yes_records_what_was_asked(void **state) {
    static const char *const texts[] = {"sample p2 30 fish 10g", "sample p2 30 fish 2kg",
                                        "sample p2 30 fish 0.15kg 30cm", "stolen p2 1001",
                                        "sample p2 1200 fish 6kg"};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        pond(s);
        stage_text(s, AT(MON, 9, 0), OWNER, texts[i]);
        assert_int_equal(s->turn.entry_count, 0);
        stage_text(s, AT(MON, 9, 1), OWNER, "yes");
        if (s->turn.entry_count != 1)
            fail_msg("\"%s\" and YES: %d entries", texts[i], s->turn.entry_count);
    }
}

/* -- samples -------------------------------------------------------------------------------------
 */

/* By hand: 1950 g of 30 are 65 g; single fish spread by two fifths of the mean, so the error is
 * 65 x 0.4 / sqrt(30) = 4.747 g. 4 6 5 5 g: mean 5, deviations -1 1 0 0, spread sqrt(2/3) = 0.8165
 * = 163 permille, error 0.8165 / sqrt(4) = 0.408 g. */
static void a_sample_is_recorded_with_its_error(void **state) {
    static const struct {
        const char *text;
        int64_t count, mean_ug, error_least_ug, error_most_ug, cv_permille, length_um;
    } cases[] = {
        {"sample p2 30 fish 1.95kg", 30, 65 * G_UG, 4700000, 4800000, 0, 0},
        {"sample p2 10 fish 650g 21cm", 10, 65 * G_UG, 8200000, 8300000, 0, 210000},
        {"sample p2 65g 21cm", 1, 65 * G_UG, 26000000, 26100000, 0, 210000},
        {"sample p2 64 66 65 65", 4, 65 * G_UG, 400000, 500000, 13, 0},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s);
        stage_text(s, AT(60 * DAY, 9, 0), OWNER, cases[i].text);
        assert_int_equal(s->turn.entry_count, 1);
        const struct entry *n = &s->turn.entries[0];
        assert_int_equal(n->kind, ENTRY_SAMPLED);
        want_value(s, 0, 0, cases[i].count);
        want_value(s, 0, 1, cases[i].mean_ug);
        want_value(s, 0, 3, cases[i].cv_permille);
        want_value(s, 0, 4, cases[i].length_um);
        if (n->value[2] < cases[i].error_least_ug || n->value[2] > cases[i].error_most_ug)
            fail_msg("\"%s\": error %lld ug, wanted %lld to %lld", cases[i].text,
                     (long long)n->value[2], (long long)cases[i].error_least_ug,
                     (long long)cases[i].error_most_ug);
    }
}

/* An order of fingerlings names 2 to 10 g. */
static void fingerlings_are_split_by_size(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(5 * DAY, 9, 0), OWNER, "sample p2 1.5 5 6 4 7 12 5 6 5 4");
    assert_int_equal(s->turn.entry_count, 1);
    want_part(s, "1 under 2g, 8 between, 1 over 10g");
    assert_non_null(
        strstr("1 under 2g, 8 between, 1 over 10g", "between")); /* the sentence alone */
}

/* Beside the advice to grade, without it, and in WHY. */
static void the_spread_of_single_weights_is_said(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(DAY, 9, 0), OWNER, "sample p2 4 6 5 5 6 4 5 5 g");
    want_part(s, "Sizes 4g-6g, spread 15%");
    stage_text(s, AT(DAY, 9, 1), OWNER, "why");
    want_part(s, "Sizes 4g-6g, spread 15% of the mean. Over 50%, or one fish 3 times the middle");
    stage_text(s, AT(DAY, 9, 2), OWNER, "sample p2 3 5 4 12 5 g");
    want_part(s, "Sizes 3g-12g, spread 61%: grade them");
    stage_text(s, AT(DAY, 9, 3), OWNER, "sample p2 30 fish 150g");
    stage_text(s, AT(DAY, 9, 4), OWNER, "why");
    assert_null(strstr(stage_got(s, OWNER, 0), "Sizes"));
}

static void a_pond_that_falls_behind_is_pointed_out(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(30 * DAY, 9, 0), OWNER, "sample p2 100 fish 2kg");
    stage_text(s, AT(60 * DAY, 9, 0), OWNER, "sample p2 100 fish 6kg");
    want_begins(s, "60 g", "P2: 100 fish, mean 60g, give or take 2.4g. Expected ");
    stage_text(s, AT(100 * DAY, 9, 0), OWNER, "sample p2 100 fish 6.5kg");
    want_begins(s, "65 g", "P2 grows slower than thought: 65g, expected ");
    stage_text(s, AT(100 * DAY, 9, 1), OWNER, "why");
    want_begins(s, "why", "P2: 65g on 10 Jun, water 26C.");
}

/* Slow from the first weighing on: its own past expects little of it, the book does. */
static void a_pond_that_never_grew_is_pointed_out(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(28 * DAY, 9, 0), OWNER, "sample p2 30 fish 240g");
    stage_text(s, AT(56 * DAY, 9, 0), OWNER, "sample p2 30 fish 258g");
    want_begins(s, "8.6 g", "P2 grows too slowly: 8.6g, even a slow pond has 16g by now. ");
    stage_text(s, AT(56 * DAY, 9, 1), OWNER, "why");
    want_part(s, "Guide 1.16, four ponds in five 0.7-1.9");
}

/* The same three reports in any order give the same state. */
static void a_late_sample_gives_the_same_state(void **state) {
    static const struct {
        int day;
        const char *text;
    } said[] = {{20, "sample p2 30 fish 0.3kg 8:00"},
                {40, "sample p2 30 fish 0.9kg 8:00"},
                {40, "stolen p2 50 7:00"}};
    static const int orders[][3] = {{0, 1, 2}, {0, 2, 1}};
    struct stage *s = *state;
    uint64_t first = 0;
    for (size_t i = 0; i < sizeof orders / sizeof orders[0]; i++) {
        pond(s);
        for (int k = 0; k < 3; k++) {
            stage_text(s, AT(said[orders[i][k]].day, 9, k), OWNER, said[orders[i][k]].text);
            assert_int_equal(s->turn.entry_count, 1);
        }
        first = i ? first : farm_digest(&s->farm.state);
        assert_true(farm_digest(&s->farm.state) == first);
    }
}

static void undo_and_fix_of_samples_and_thefts(void **state) {
    struct stage *s = *state;
    pond(s);
    uint64_t before = farm_digest(&s->farm.state);
    stage_text(s, AT(30 * DAY, 9, 0), OWNER, "sample p2 30 fish 0.6kg");
    stage_text(s, AT(30 * DAY, 9, 1), OWNER, "undo");
    const struct cycle *c = farm_cycle(&s->farm.state, 1);
    assert_int_equal(c->event_count, 1);
    assert_true(farm_digest(&s->farm.state) == before);
    stage_text(s, AT(30 * DAY, 9, 2), OWNER, "sample p2 30 fish 0.6kg");
    stage_text(s, AT(30 * DAY, 9, 3), OWNER, "fix p2 0.66kg");
    want_value(s, 1, 1, 22 * G_UG);
    want_value(s, 1, 0, 30);
    want_part(s, "now 660g, 30 fish, was 600g, 30 fish. P2: 30 fish, mean 22g, give or take ");
    stage_text(s, AT(30 * DAY, 9, 4), OWNER, "fix p2 33");
    want_value(s, s->turn.entry_count - 1, 1, 20 * G_UG);
    stage_text(s, AT(30 * DAY, 9, 5), OWNER, "stolen p2 50");
    WANT_TEXT(
        s, OWNER, 0,
        "P2: 50 stolen noted, about 930 left. Count them when you can: COUNT P2. Wrong? UNDO");
    stage_text(s, AT(30 * DAY, 9, 6), OWNER, "fix p2 60");
    assert_int_equal(farm_cycle(&s->farm.state, 1)->stolen, 60);
    stage_text(s, AT(30 * DAY, 9, 7), OWNER, "sample p2 20 21 19 20");
    stage_text(s, AT(30 * DAY, 9, 8), OWNER, "fix p2 0.9kg"); /* of four weighed one by one? */
    want_begins(s, "fix", "That cannot replace \"sample p2 20 21 19 20\".");
}

/* The farm is as if it had been said right at once. */
static void a_fix_of_fish_is_as_if_said_right(void **state) {
    static const struct {
        const char *wrong, *fix, *right;
    } cases[] = {
        {"sample p2 30 fish 1.8kg", "fix p2 1.9kg", "sample p2 30 fish 1.9kg"},
        {"sample p2 30 fish 1.9kg", "fix p2 31", "sample p2 31 fish 1.9kg"},
        {"stolen p2 50", "fix p2 60", "stolen p2 60"},
        {"dead p2 5", "fix p2 15", "dead p2 15"},
        {"sold p2 100 fish 6kg", "fix p2 110", "sold p2 110 fish 6kg"},
        {"sold p2 100 fish 6kg", "fix p2 6.5kg", "sold p2 100 fish 6.5kg"},
        {"harvest p2 100 fish 6kg", "fix p2 7kg", "harvest p2 100 fish 7kg"},
        {"harvest p2 100 fish 6kg big", "fix p2 7kg", "harvest p2 100 fish 7kg big"},
        {"harvest p2 50 fish 12kg big", "fix p2 26kg", "harvest p2 50 fish 26kg big"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s);
        stage_text(s, AT(58 * DAY, 9, 0), OWNER, cases[i].right);
        assert_true(s->turn.entry_count > 0);
        uint64_t right = farm_digest(&s->farm.state);
        pond(s);
        stage_text(s, AT(58 * DAY, 9, 0), OWNER, cases[i].wrong);
        stage_text(s, AT(58 * DAY, 9, 1), OWNER, cases[i].fix);
        if (farm_digest(&s->farm.state) != right)
            fail_msg("\"%s\" after \"%s\": not as \"%s\"; \"%s\"", cases[i].fix, cases[i].wrong,
                     cases[i].right, stage_got(s, OWNER, 0));
    }
}

/* What a first report of it would be asked, a fix is asked, too. */
static void a_fix_of_fish_is_asked_as_a_first_report(void **state) {
    static const struct {
        const char *said, *fix, *asked;
    } cases[] = {
        {"sample p2 30 fish 1.8kg", "fix p2 18kg", "too fast for catfish"},
        {"sample p2 30 fish 1.8kg", "fix p2 1200", "1200 of at most"},
        {"harvest p2 100 fish 6kg", "fix p2 60kg", "too fast for catfish"},
        {"sold p2 100 fish 6kg", "fix p2 60kg", "too fast for catfish"},
        {"stolen p2 50", "fix p2 1200", "1200 of at most"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s);
        stage_text(s, AT(58 * DAY, 9, 0), OWNER, cases[i].said);
        stage_text(s, AT(58 * DAY, 9, 1), OWNER, cases[i].fix);
        assert_int_equal(s->turn.entry_count, 0);
        want_part(s, cases[i].asked);
        for (int k = 0; k < 2 && !s->turn.entry_count; k++) /* too many may weigh too little, too */
            stage_text(s, AT(58 * DAY, 9, 2 + k), OWNER, "yes");
        assert_true(s->turn.entry_count > 0);
    }
}

/* All of them are as many as were there, whatever is said later of the time before. */
static void all_are_counted_again(void **state) {
    static const char *const takes[] = {"move p2 p3 all", "merge p2 into p3", "sold p2 all",
                                        "harvest p2 all"};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof takes / sizeof takes[0]; i++) {
        pond(s);
        stage_text(s, AT(30 * DAY, 8, 30), OWNER, "dead p2 40 at 8:00");
        stage_text(s, AT(30 * DAY, 9, 0), OWNER, takes[i]);
        uint64_t in_order = farm_digest(&s->farm.state);
        pond(s);
        stage_text(s, AT(30 * DAY, 9, 0), OWNER, takes[i]);
        assert_true(s->turn.entry_count > 0);
        stage_text(s, AT(30 * DAY, 9, 10), OWNER, "dead p2 40 at 8:00");
        assert_true(s->turn.entry_count > 0);
        if (farm_digest(&s->farm.state) != in_order)
            fail_msg("\"%s\" is not counted again", takes[i]);
    }
}

/* -- growth --------------------------------------------------------------------------------------
 */

static void growth_says_whose_numbers_it_has(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "growth p2");
    want_begins(s, "growth", "P2: 5g (4.5g-5.6g) each now, ");
    want_part(s, "the book's guide");
    stage_text(s, AT(30 * DAY, 9, 0), OWNER, "sample p2 30 fish 0.6kg");
    stage_text(s, AT(60 * DAY, 9, 0), OWNER, "sample p2 30 fish 1.8kg");
    stage_text(s, AT(60 * DAY, 9, 1), OWNER, "growth p2 300g");
    want_part(s, "your samples: 2");
    assert_int_equal(s->turn.entry_count, 0);
}

/* 60 kg of feed for what the fish put on: 1000 of 5 g that are about 950 of 60 g. */
static void feed_so_far_is_said(void **state) {
    struct stage *s = *state;
    pond(s);
    put(s, (struct entry){.at_s = AT(40, 9, 0),
                          .kind = ENTRY_GIVEN,
                          .subject_kind = SUBJECT_POND,
                          .subject = 2,
                          .value = {60000000, 0}});
    stage_text(s, AT(60 * DAY, 9, 0), OWNER, "sample p2 30 fish 1.8kg");
    stage_text(s, AT(60 * DAY, 9, 1), OWNER, "growth p2");
    want_part(s, "Feed noted 60kg: 1.2kg for 1kg of growth");
    stage_text(s, AT(60 * DAY, 9, 2), OWNER, "harvest p2 900 fish 54kg all");
    WANT_TEXT(s, OWNER, 0,
              "P2 closed: 900 fish, 90% of those stocked, 54kg, 60g each. Dry it now. Wrong? UNDO. "
              "Feed noted 60kg: 1.2kg for 1kg of growth");
}

static void numbers_are_as_sure_as_they_are(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_begin(s, AT(MON, 8, 0));
    static const struct {
        struct survival_range fish;
        const char *text;
    } fish[] = {{{850, 850, 850}, "850"},           {{0, 0, 0}, "0"},
                {{848, 851, 853}, "about 850"},     {{780, 850, 950}, "about 850"},
                {{700, 850, 960}, "850 (700-960)"}, {{0, 4, 9}, "4 (0-9)"}};
    static const struct {
        struct growth_range mean_mg;
        const char *text;
    } means[] = {{{64000, 65432, 67000}, "about 65g"},
                 {{50000, 65432, 80000}, "65g (50g-80g)"},
                 {{900000, 1234000, 1500000}, "1.2kg (900g-1.5kg)"}};
    for (size_t i = 0; i < sizeof fish / sizeof fish[0]; i++)
        assert_string_equal(arena_str(&s->arena, turn_fish_text(&s->turn, fish[i].fish)),
                            fish[i].text);
    for (size_t i = 0; i < sizeof means / sizeof means[0]; i++)
        assert_string_equal(arena_str(&s->arena, turn_mean_text(&s->turn, means[i].mean_mg)),
                            means[i].text);
}

/* -- ponds put together, and catches -------------------------------------------------------------
 */

static void a_merge_carries_fish_and_mean(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(30 * DAY, 9, 0), OWNER, "sample p2 30 fish 0.6kg");
    stage_text(s, AT(30 * DAY, 9, 1), OWNER, "count p2 900");
    stage_text(s, AT(30 * DAY, 9, 2), OWNER, "stock p3 500 fish 12kg"); /* 24 g: the same size */
    stage_text(s, AT(30 * DAY, 9, 3), OWNER, "merge p2 into p3");
    assert_int_equal(s->turn.entry_count, 1);
    want_value(s, 0, 0, 3);
    want_value(s, 0, 1, 0); /* all of them: the fold counts */
    want_value(s, 0, 5, STOCKED_ALL | STOCKED_RECKONED);
    assert_in_range(s->turn.entries[0].value[2], 19 * G_UG, 21 * G_UG);
    const struct farm_state *st = &s->farm.state;
    assert_int_equal(farm_pond(st, 2)->cycle, 0);
    struct growing g = growing_of(st, farm_cycle(st, 2), AT(30, 9, 3));
    assert_int_equal(g.fish.middle, 1400);
    assert_in_range(g.weight_mg.middle, 20500, 22500); /* (900 x 20 + 500 x 24) / 1400 = 21.4 g */
    WANT_TEXT(s, OWNER, 0,
              "P2 closed, 900 fish to P3: 1400 there now, 21g (19g-24g) each. Dry P2 before new "
              "fish. Wrong? UNDO. "
              "Feed up to 1.14kg a day: FEED P3");
    stage_text(s, AT(30 * DAY, 9, 4), OWNER, "undo");
    assert_int_equal(farm_pond(st, 2)->cycle, 1);
}

/* Nobody weighed those that were moved: that is no sample of those that stay. */
static void a_move_is_no_sample(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(30 * DAY, 9, 0), OWNER, "sample p2 30 fish 0.6kg");
    stage_text(s, AT(35 * DAY, 9, 0), OWNER, "move p2 p3 200");
    assert_int_equal(s->turn.entry_count, 1);
    want_begins(s, "move", "P3: 200 fish of 24g from P2, 200 there now. P2: about 770 stay. ");
    const struct farm_state *st = &s->farm.state;
    assert_int_equal(growing_points(st, farm_cycle(st, 1), AT(35, 9, 0)).samples, 1);
    stage_text(s, AT(35 * DAY, 9, 1), OWNER, "move p2 p3 100 25g");
    stage_text(s, AT(35 * DAY, 9, 2), OWNER, "yes");
    assert_int_equal(growing_points(st, farm_cycle(st, 1), AT(35, 9, 2)).samples, 2);
}

/* Both ponds, what went, what stays, and that the first is closed. */
static void a_move_names_both_ponds(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "move p2 p3 all");
    want_begins(s, "all", "P3: 1000 fish of 5g, all of P2, 1000 there now. P2 closed: dry it. ");
    stage_text(s, AT(MON, 9, 1), OWNER, "undo");
    stage_text(s, AT(MON, 9, 2), OWNER, "move p2 p3 1000");
    want_begins(s, "1000", "P3: 1000 fish of 5g, all of P2, 1000 there now. P2 closed: dry it. ");
    stage_text(s, AT(MON, 9, 3), OWNER, "pond p4 4 ares 0.9m fenced");
    stage_text(s, AT(MON, 9, 4), OWNER, "stock p4 8000 fry 800g");
    stage_text(s, AT(MON, 9, 5), OWNER, "move p4 p2 3000");
    want_begins(s, "fry", "P4: 3000 out, 5000 stay. P2: 3000 fry in. Expect ");
    stage_text(s, AT(MON, 9, 6), OWNER, "move p4 p2 all");
    stage_text(s, AT(MON, 9, 7), OWNER, "yes");
    want_begins(s, "fry", "P4 closed, 5000 fish out: dry it. P2: 5000 fry in. Expect ");
}

/* A pond whose fish all died can be closed, and nobody is told to weigh them. */
static void a_pond_of_dead_fish_is_closed(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "dead p2 1000");
    stage_text(s, AT(MON, 9, 1), OWNER, "p2");
    assert_null(strstr(stage_got(s, OWNER, 0), "weigh a sample"));
    stage_text(s, AT(MON, 9, 2), OWNER, "harvest p2 all");
    WANT_TEXT(s, OWNER, 0, "P2: none left, closed. Dry it before new fry. Wrong? UNDO");
    assert_int_equal(farm_cycle(&s->farm.state, 1)->harvested, 0);
    assert_int_equal(farm_pond(&s->farm.state, 2)->cycle, 0);
}

/* What was moved before is not asked about again; a move put right names both ponds. */
static void counts_agree_after_a_move(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "move p2 p3 400");
    stage_text(s, AT(MON, 9, 1), OWNER, "fix p3 300");
    WANT_TEXT(s, OWNER, 0,
              "STOCK P3: now 300, was 400. About 300 left. Wrong? UNDO. P2: 300 out, 700 stay");
    stage_text(s, AT(MON, 9, 2), OWNER, "harvest p2 all");
    want_begins(s, "all", "P2 closed. How many came out? Thought 700.");
}

static void other_sizes_are_asked_about(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(MON, 9, 0), OWNER, "stock p3 100 fish 5kg");
    stage_text(s, AT(MON, 9, 1), OWNER, "merge p3 into p2");
    WANT_TEXT(s, OWNER, 0,
              "P2 has 1000 fish of 5g (4.5g-5.6g), these 50g: big eat small. Add? YES. Nothing "
              "recorded");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(MON, 9, 2), OWNER, "yes");
    assert_int_equal(s->turn.entry_count, 1);
}

static void the_big_ones_are_said_before_their_catch(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(60 * DAY, 9, 0), OWNER, "sample p2 30 fish 1.8kg");
    stage_text(s, AT(60 * DAY, 9, 1), OWNER, "harvest p2 100 fish 12kg big");
    assert_int_equal(s->turn.entry_count, 2);
    assert_int_equal(s->turn.entries[0].kind, ENTRY_BIG);
    assert_int_equal(s->turn.entries[1].kind, ENTRY_HARVESTED);
    want_value(s, 0, 0, 100);
    want_value(s, 0, 1, 12000000);
    /* (947 x 60 - 100 x 120) / 847 = 53 g by what is thought alive, 950 of them */
    WANT_TEXT(s, OWNER, 0,
              "P2: 100 big ones out, 12kg, 120g each. Left about 850 of about 53g. "
              "Wrong? UNDO");
    stage_text(s, AT(60 * DAY, 9, 2), OWNER, "fix p2 110");
    assert_int_equal(s->turn.entry_count, 3);
    assert_int_equal(s->turn.entries[1].kind, ENTRY_BIG);
    want_value(s, 1, 0, 110);
    want_value(s, 2, 0, 110);
    assert_int_equal(farm_cycle(&s->farm.state, 1)->harvested, 110);
}

/* More than the book thinks alive was in the hands: no question; more than ever went in: asked. */
static void a_catch_is_no_guess(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(120 * DAY, 9, 0), OWNER, "dead p2 999");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(120 * DAY, 9, 1), OWNER, "no");
    stage_text(s, AT(120 * DAY, 9, 2), OWNER, "harvest p2 1100 fish 110kg all");
    assert_int_equal(s->turn.entry_count, 0);
    stage_text(s, AT(120 * DAY, 9, 3), OWNER, "no");
    stage_text(s, AT(120 * DAY, 9, 4), OWNER, "harvest p2 999 fish 110kg all");
    assert_int_equal(s->turn.entry_count, 1);
    assert_true(farm_cycle(&s->farm.state, 1)->closed_s > 0);
    stage_text(s, AT(120 * DAY, 9, 5), OWNER, "sample p2 30 fish 3kg 8:00"); /* of before it */
    WANT_TEXT(s, OWNER, 0, "SAMPLE P2 08:00: noted late, nothing to do for it now. Wrong? UNDO");
}

/* Fingerlings of 5 g are no fry: in 58 days they can be far over 20 g. What no growth reaches is
 * asked: at three times the usual, from 5.7 g at the most, 26 degC: (1.79 + 3 x 26 x 58 / 1000)^3 =
 * 252 g, twice that for a catch, four times for the big ones. */
static void a_catch_can_have_grown(void **state) {
    static const struct {
        const char *text;
        int entries;
    } cases[] = {{"harvest p2 100 fish 6kg", 1}, {"harvest p2 100 fish 6kg big", 2},
                 {"sold p2 100 fish 6kg", 1},    {"harvest p2 50 fish 26kg big", 2},
                 {"harvest p2 50 fish 26kg", 0}, {"sold p2 50 fish 26kg", 0}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        pond(s);
        stage_text(s, AT(58 * DAY, 9, 0), OWNER, cases[i].text);
        if (s->turn.entry_count != cases[i].entries)
            fail_msg("\"%s\": %d entries, wanted %d; \"%s\"", cases[i].text, s->turn.entry_count,
                     cases[i].entries, stage_got(s, OWNER, 0));
        if (cases[i].entries)
            continue;
        want_part(s, "too fast for catfish");
        stage_text(s, AT(58 * DAY, 9, 1), OWNER, "yes");
        assert_int_equal(s->turn.entry_count, 1);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_cannot_be_is_not_recorded),
        cmocka_unit_test(a_yes_records_what_was_asked),
        cmocka_unit_test(a_sample_is_recorded_with_its_error),
        cmocka_unit_test(fingerlings_are_split_by_size),
        cmocka_unit_test(the_spread_of_single_weights_is_said),
        cmocka_unit_test(a_pond_that_falls_behind_is_pointed_out),
        cmocka_unit_test(a_pond_that_never_grew_is_pointed_out),
        cmocka_unit_test(a_late_sample_gives_the_same_state),
        cmocka_unit_test(undo_and_fix_of_samples_and_thefts),
        cmocka_unit_test(growth_says_whose_numbers_it_has),
        cmocka_unit_test(feed_so_far_is_said),
        cmocka_unit_test(numbers_are_as_sure_as_they_are),
        cmocka_unit_test(a_fix_of_fish_is_as_if_said_right),
        cmocka_unit_test(a_fix_of_fish_is_asked_as_a_first_report),
        cmocka_unit_test(all_are_counted_again),
        cmocka_unit_test(a_merge_carries_fish_and_mean),
        cmocka_unit_test(a_move_is_no_sample),
        cmocka_unit_test(a_move_names_both_ponds),
        cmocka_unit_test(a_pond_of_dead_fish_is_closed),
        cmocka_unit_test(counts_agree_after_a_move),
        cmocka_unit_test(other_sizes_are_asked_about),
        cmocka_unit_test(the_big_ones_are_said_before_their_catch),
        cmocka_unit_test(a_catch_is_no_guess),
        cmocka_unit_test(a_catch_can_have_grown),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
