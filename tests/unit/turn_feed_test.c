/* Feed by text, one turn at a time: names, measures and amounts; what was given and left; the store
 * against the rations to come; mixes. */
#include "turn_stage.h"

#include "farm/growing.h"

/* A fresh farm: p2 of 4 ares with 6000 fry of 0.1 g, and tins of 350 g of bran. */
static void farm(struct stage *s) {
    stage_empty(s);
    stage_text(s, AT(MON, 7, 0), OWNER, "pond p2 4 ares 1m fenced");
    stage_text(s, AT(MON, 7, 1), OWNER, "stock p2 9000 fry 0.1g");
    stage_text(s, AT(MON, 7, 2), OWNER, "tin 350g bran");
    assert_int_equal(s->turn.entry_count, 1);
}

/* What was given last, in mg; -1 when nothing was recorded. */
static int64_t given(const struct stage *s) {
    for (int i = s->turn.entry_count - 1; i >= 0; i--)
        if (s->turn.entries[i].kind == ENTRY_GIVEN)
            return s->turn.entries[i].value[0];
    return -1;
}

static void want_begins(struct stage *s, const char *text, const char *begins) {
    const char *got = stage_got(s, OWNER, 0);
    if (strncmp(got, begins, strlen(begins)))
        fail_msg("\"%s\": got \"%s\", wanted \"%s...\"", text, got, begins);
}

/* No half of a meal is promised where nothing is fed. */
static void food_left_where_nothing_is_fed(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "catch p2 tomorrow");
    stage_text(s, AT(MON, 8, 1), OWNER, "left p2");
    want_begins(s, "left", "P2: food left, noted. No feed now in any case: FEED P2 says why.");
}

/* A pond that holds brood fish alone, described or not. */
static void brood_fish_are_fed(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "brood f3 1.2kg p5");
    stage_text(s, AT(MON, 8, 1), OWNER, "brood m4 1.5kg p5");
    stage_text(s, AT(MON, 8, 2), OWNER, "feed p5");
    stage_text(s, AT(MON, 8, 3), OWNER, "gave p5 20g");
    WANT_TEXT(s, OWNER, 0,
              "P5: 20g feed 08:05, 2 brood fish. That day 20g of up to 36g. Wrong? UNDO");
    assert_int_equal(given(s), 20000);
    stage_text(s, AT(MON, 8, 4), OWNER, "fix p5 30g");
    assert_int_equal(given(s), 30000);
    stage_text(s, AT(MON, 17, 0), OWNER, "gave p5 20g");
    want_begins(s, "20g", "P5: 20g feed 17:00, 2 brood fish. That day 50g of up to 36g.");
    stage_text(s, AT(MON, 17, 1), OWNER, "gave p5 2kg");
    want_begins(s, "2kg", "P5: 2kg");
    assert_int_equal(given(s), -1);
    stage_text(s, AT(MON, 17, 2), OWNER, "gave p6 2kg");
    want_begins(s, "p6", "No pond P6 here.");
}

/* -- amounts -------------------------------------------------------------------------------------
 */

static void amounts_are_weights_or_measures(void **state) {
    static const struct {
        const char *text;
        int64_t mg; /* -1: asked or refused */
        const char *begins;
    } cases[] = {
        {"gave p2 3 tins", 1050000, "P2: 3 tins = 1.05kg bran at 08:00. Today 1.05kg."},
        {"gave p2 3 tins bran", 1050000, "P2: 3 tins = 1.05kg bran at 08:00."},
        {"gave 2.5 tins", 875000, "P2: 2.5 tins = 875g bran at 08:00."},
        {"gave p2 0.25 tins", 87500, "P2: 0.25 tin = 88g bran at 08:00."},
        {"gave p2 1.2kg", 1200000, "P2: 1.2kg bran at 08:00. Today 1.2kg."},
        {"fed 2 tins p2", 700000, "P2: 2 tins = 700g bran at 08:00."},
        {"fed 2 tins", 700000, "P2: 2 tins = 700g bran at 08:00."},
        {"gave p2 3 tins 1kg", 1000000, "P2: 3 tins = 1kg bran at 08:00."},
        {"gave p2 2 tins 350g", 700000, "P2: 2 tins = 700g bran at 08:00."},
        {"gave p2 2 tins 600g", -1, "2 tins of 600g each, 1.2kg in all? YES."},
        {"gave p2 1000 tins 999999999kg", -1, "999999999kg cannot be."},
        {"gave p2 2.3 tins", -1, "2.3 tins cannot be noted."},
        {"gave p2 0 tins", -1, "0 tins cannot be noted."},
        {"gave p2 100000 tins", -1, "100000 tins cannot be noted."},
        {"gave p2 3", -1, "GAVE: how much is not clear."},
        {"gave p2 tin", -1, "GAVE: how much is not clear."},
        {"gave p2", -1, "GAVE: how much feed?"},
        {"gave p2 0g", -1, "0g cannot be."},
        {"gave p2 200000kg", -1, "200000kg cannot be."},
        {"gave p2 500kg", -1, "P2: 500kg for 9000 fish? Far too much."},
        {"gave p2 18kg", -1, "P2: 18kg for 9000 fish? Far too much."},
        {"gave p2 3 tins pellets", -1, "pellets? Known: bran. Text it again so. New: first BOUGHT"},
        {"gave p9 3 tins", -1, "No pond P9 here."},
        {"gave p2 3 cups", -1, "bran: what does 1 cup hold?"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, cases[i].text);
        want_begins(s, cases[i].text, cases[i].begins);
        if (given(s) != cases[i].mg)
            fail_msg("\"%s\": got %lld mg, wanted %lld", cases[i].text, (long long)given(s),
                     (long long)cases[i].mg);
        if (cases[i].mg < 0)
            assert_int_equal(s->turn.entry_count, 0);
    }
}

static void an_amount_reads_as_it_was_said(void **state) {
    struct stage *s = *state;
    const struct turn_amount tins = {.weight_mg = 1050000, .measure = MEASURE_TIN, .milli = 3000};
    const struct turn_amount weighed = {.weight_mg = 1050000};
    farm(s);
    assert_string_equal(arena_str(&s->arena, turn_amount_text(&s->turn, OWNER, &tins)),
                        "3 tins = 1.05kg");
    assert_string_equal(arena_str(&s->arena, turn_amount_text(&s->turn, OWNER, &weighed)),
                        "1.05kg");
    s->people[OWNER].language = s->grammar.sw;
    assert_string_equal(arena_str(&s->arena, turn_amount_text(&s->turn, OWNER, &tins)),
                        "makopo 3 = 1.05kg");
}

static void what_a_measure_holds_is_asked_once_and_kept(void **state) {
    static const char *const answers[] = {"200g", "cup 200g"};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof answers / sizeof answers[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 2 cups");
        stage_text(s, AT(MON, 8, 5), OWNER, answers[i]);
        assert_int_equal(s->turn.entry_count, 2);
        assert_int_equal(s->turn.entries[0].kind, ENTRY_MEASURE);
        assert_int_equal(given(s), 400000);
        assert_int_equal(s->turn.entries[1].at_s, AT(MON, 8, 0)); /* when it was given */
        stage_text(s, AT(MON, 9, 0), OWNER, "gave p2 1 cup");
        assert_int_equal(given(s), 200000);
    }
    stage_text(s, AT(MON, 9, 1), OWNER, "undo");
    stage_text(s, AT(MON, 9, 2), OWNER, "undo"); /* with what it said of the cup */
    assert_null(farm_measure(&s->farm.state, MEASURE_CUP, 1));
}

static void a_measure_out_of_the_usual_is_said_twice(void **state) {
    static const struct {
        const char *text, *begins;
        const char *answer; /* NULL: refused */
        int64_t mg;
    } cases[] = {{"tin 20kg bran", "1 tin holds 20kg? That is unusual.", "yes", 20000000},
                 {"bag 5g bran", "1 bag holds 5g? That is unusual.", "25kg", 25000000},
                 {"tin 0g bran", "0g cannot be.", NULL, 0},
                 {"bag 5000kg bran", "5000kg cannot be.", NULL, 0}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, cases[i].text);
        want_begins(s, cases[i].text, cases[i].begins);
        assert_int_equal(s->turn.entry_count, 0);
        if (!cases[i].answer)
            continue;
        stage_text(s, AT(MON, 8, 1), OWNER, cases[i].answer);
        assert_int_equal(s->turn.entry_count, 1);
        assert_int_equal(s->turn.entries[0].value[1], cases[i].mg);
    }
}

/* A pond gets what it got last; a plural is the same feed. */
static void a_feed_that_is_not_named_is_the_usual_one(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 7, 3), OWNER, "tin 400g pellets");
    stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 1 tin"); /* two are known, none was given yet */
    WANT_TEXT(s, OWNER, 0,
              "feed: what does 1 tin hold? Fill it level, weigh it, answer like 350g or 25kg. "
              "Nothing recorded yet");
    stage_text(s, AT(MON, 8, 1), OWNER, "gave p2 1 tin pellet");
    assert_int_equal(given(s), 400000);
    stage_text(s, AT(MON, 8, 2), OWNER, "gave p2 1 tin");
    assert_int_equal(given(s), 400000);
    stage_text(s, AT(MON, 8, 3), OWNER, "gave p2 1 tin bran");
    stage_text(s, AT(MON, 8, 4), OWNER, "gave p2 1 tin");
    assert_int_equal(given(s), 350000);
}

static void an_amount_that_was_left_out_is_asked(void **state) {
    static const struct {
        const char *answer;
        int64_t mg;
    } cases[] = {{"1.2kg", 1200000}, {"3 tins", 1050000}, {"2.5 tins", 875000}, {"3", -1}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, "gave p2");
        stage_text(s, AT(MON, 8, 1), OWNER, cases[i].answer);
        if (given(s) != cases[i].mg)
            fail_msg("%s: got %lld mg, wanted %lld", cases[i].answer, (long long)given(s),
                     (long long)cases[i].mg);
    }
}

/* Bought less than was given before: the rest was never texted. */
static void a_store_that_cannot_be_is_to_be_counted(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 3kg");
    stage_text(s, AT(MON, 8, 1), OWNER, "bought 2kg");
    WANT_TEXT(s, OWNER, 0,
              "2kg bran bought 2 Mar, noted. Wrong? UNDO. bran: 3kg given, only 2kg was noted "
              "before. Count what is left: STORE 30kg bran");
}

static void far_too_much_is_put_right_by_its_answer(void **state) {
    static const struct {
        const char *answer;
        int64_t mg;
    } cases[] = {
        {"yes", 21000000}, {"5", 1750000}, {"5 tins", 1750000}, {"1.2kg", 1200000}, {"no", -1}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 60 tins");
        want_begins(s, "gave p2 60 tins", "P2: 21kg for 9000 fish?");
        stage_text(s, AT(MON, 8, 1), OWNER, cases[i].answer);
        if (given(s) != cases[i].mg)
            fail_msg("%s: got %lld mg, wanted %lld", cases[i].answer, (long long)given(s),
                     (long long)cases[i].mg);
    }
}

/* 112 kg/ha a day is the most a catfish pond bears (University of Florida): 4.4 kg on 4 ares. */
static void over_what_a_pond_bears_is_warned_of(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 4.4kg");
    want_begins(s, "4.4kg", "P2: 4.4kg bran at 08:00. Today 4.4kg.");
    stage_text(s, AT(MON, 17, 0), OWNER, "gave p2 0.1kg");
    WANT_TEXT(
        s, OWNER, 0,
        "P2: 100g, 17:00. That day 4.5kg, limit 4.4kg. No more feed, look at dawn. Wrong? UNDO");
}

/* -- left ----------------------------------------------------------------------------------------
 */

/* The line of the first week is 0.5 kg an are, a quarter off for each day with food left, three
 * clean days for a step up (common practice). The half meal is one in tins of 350 g, as FEED tells
 * it: half of 2.5, of 2. */
static void food_left_lowers_the_line(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "left p2");
    WANT_TEXT(s, OWNER, 0,
              "P2: food left, noted. Next meal half, 350g. From tomorrow up to 1.5kg a day; 3 days "
              "without raise it. Wrong? UNDO");
    stage_text(s, AT(MON, 17, 0), OWNER, "left p2");
    want_begins(s, "again", "P2: food left again today, noted. Once a day counts.");
    stage_text(s, AT(TUE, 8, 0), OWNER, "left p2");
    WANT_TEXT(s, OWNER, 0,
              "P2: food left, noted. Next meal half, 350g. From tomorrow up to 1.1kg a day; 3 "
              "days without raise it. Wrong? UNDO");
    stage_text(s, AT(TUE, 8, 1), OWNER, "undo");
    stage_text(s, AT(TUE, 8, 2), OWNER, "left p2");
    stage_text(s, AT(WED, 8, 0), OWNER, "left p2");
    want_begins(s, "third", "P2: food left on 3 days of 7. No feed until you looked:");
    stage_text(s, AT(WED, 8, 1), OWNER, "why");
    want_begins(s, "why", "P2, 5 Mar: 0.5kg an are a day in the first week");
}

/* On the third day within seven, once, and whichever of them is heard of last; his own reports need
 * no word to him. */
static void the_owner_hears_of_food_often_left(void **state) {
    static const char says[] = "P2: food left on 3 days of 7, says +447700900002. No feed until "
                               "you looked: gasping, dead, smell? Then WATER P2";
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), WORKER, "left p2");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(WED, 8, 0), WORKER, "left p2");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(WED, 9, 0), WORKER, "left p2 yesterday 08:00");
    WANT_TEXT(s, OWNER, 0, says);
    stage_text(s, AT(WED, 17, 0), WORKER, "left p2");
    WANT_NONE(s, OWNER);
    stage_text(s, AT(THU, 8, 0), WORKER, "left p2");
    WANT_NONE(s, OWNER);
    farm(s);
    for (int day = MON; day <= WED; day++)
        stage_text(s, AT(day, 8, 0), OWNER, "left p2");
    want_begins(s, "his own", "P2: food left on 3 days of 7. No feed until you looked:");
    assert_int_equal(s->turn.text_count, 1);
}

/* Fewer than 20 fry a cubic metre: 8000 in 4 ares a metre deep; a quarter of the line for 2000. */
static void few_fry_are_told_a_share(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 7, 0), OWNER, "pond p2 4 ares 1m fenced");
    stage_text(s, AT(MON, 7, 1), OWNER, "stock p2 2000 fry 0.1g");
    stage_text(s, AT(MON, 8, 0), OWNER, "feed p2");
    want_begins(s, "feed", "P2 4 ares, day 0: up to 500g today = 250g at 8, 250g at 17.");
    stage_text(s, AT(MON, 8, 1), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "P2: 0.5kg an are a day in week 1, half more each week (common practice, at most). "
              "Week 1, 4 ares: 2kg, for 8000 fry or more (20 a cubic metre). Stocked about 2000: "
              "500g (our rule). Food left: a quarter off 0 times. So 500g");
    stage_text(s, AT(MON, 8, 30), OWNER, "left p2");
    want_begins(s, "left", "P2: food left, noted. Next meal half, 120g. From tomorrow up to 370g");
    stage_text(s, AT(MON, 8, 31), OWNER, "why");
    WANT_TEXT(
        s, OWNER, 0,
        "P2, 3 Mar: 0.5kg an are a day in week 1, half more each week (common practice): week "
        "1 here 2kg, for 8000 fry or more. About 2000 here: 500g (our rule), 1 times a quarter "
        "off for food left = up to 370g");
}

static void a_pond_of_unknown_size_has_no_line(void **state) {
    struct stage *s = *state;
    farm(s);
    s->farm.state.ponds[0].area_cm2 = 0;
    stage_text(s, AT(MON, 8, 0), OWNER, "left p2");
    s->farm.state.ponds[0].area_cm2 = 0;
    stage_text(s, AT(MON, 8, 1), OWNER, "why");
    WANT_TEXT(
        s, OWNER, 0,
        "P2: 0g given today. Each day with food left takes a quarter off, 3 days without give "
        "it back (our own rule). How much the pond bears needs its size: POND P2 4 ares");
}

/* -- late ----------------------------------------------------------------------------------------
 */

/* Every order in which five reports of one day can arrive: 120. Each names its hour. */
static void reports_may_arrive_in_any_order(void **state) {
    static const char *const texts[] = {"gave p2 3 tins bran 08:00", "left p2 08:40",
                                        "gave p2 1 tin pellets 12:00", "gave p2 2 tins bran 16:00",
                                        "left p2 16:40"};
    enum { TEXTS = 5, ORDERS = 120 };
    struct stage *s = *state;
    uint64_t first = 0;
    for (int order = 0; order < ORDERS; order++) {
        int left[TEXTS] = {0, 1, 2, 3, 4}, rest = order;
        farm(s);
        stage_text(s, AT(MON, 7, 3), OWNER, "tin 400g pellets");
        for (int n = TEXTS; n > 0; n--) {
            int at = rest % n;
            rest /= n;
            stage_text(s, AT(MON, 17, TEXTS - n), OWNER, texts[left[at]]);
            assert_int_equal(s->turn.entry_count, 1);
            for (int i = at; i < n - 1; i++)
                left[i] = left[i + 1];
        }
        stage_text(s, AT(MON, 17, 30), OWNER, "store 40kg bran");
        if (!order)
            first = farm_digest(&s->farm.state);
        if (farm_digest(&s->farm.state) != first)
            fail_msg("order %d ends in another farm", order);
        want_begins(s, "store 40kg bran", "bran: 40kg counted, the first count.");
    }
}

static void of_another_day_its_own_sum_is_told(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 2 tins");
    stage_text(s, AT(TUE, 8, 0), OWNER, "gave p2 1 tin yesterday 18:00");
    WANT_TEXT(s, OWNER, 0, "P2: 1 tin = 350g bran, Mon 18:00. That day 1.05kg in all. Wrong? UNDO");
    stage_text(s, AT(TUE, 8, 1), OWNER, "gave p2 1 tin yesterday 06:00");
    want_begins(s, "06:00", "P2: Mon 06:00 is before");
    assert_int_equal(s->turn.entry_count, 0);
}

/* -- fix -----------------------------------------------------------------------------------------
 */

static void amounts_are_put_right(void **state) {
    static const struct {
        const char *text, *fix;
        const char *answer;
    } cases[] = {
        {"gave p2 3 tins", "fix p2 4 tins",
         "GAVE P2: now 1.4kg, was 1.05kg. Wrong? UNDO. Still 1.5 tins = 525g today"},
        {"gave p2 3 tins", "fix p2 1kg",
         "GAVE P2: now 1kg, was 1.05kg. Wrong? UNDO. Still 2.5 tins = 875g today"},
        {"gave p2 3 tins", "fix p2 07:30", "GAVE P2: now 07:30, was 08:00. Wrong? UNDO"},
        {"gave p2 3 tins", "fix p2 06:30",
         "P2: 06:30 is before 07:00, when it began. Text it again with the right hour. Nothing "
         "recorded"},
        {"gave p2 3 tins", "fix p2 4",
         "FIX P2 and the weight or the measures: FIX P2 1.2kg or FIX P2 4 tins. Nothing changed"},
        {"gave p2 3 tins", "fix p2 500kg",
         "That cannot replace \"gave p2 3 tins\". Text FIX again with the right value. Nothing "
         "changed"},
        {"gave p2 3 tins", "fix p2 4 cups",
         "That cannot replace \"gave p2 3 tins\". Text FIX again with the right value. Nothing "
         "changed"},
        {"bought 50kg", "fix 45kg", "BOUGHT bran: now 45kg, was 50kg. Wrong? UNDO"},
        {"bought 50kg", "fix 40 tins", "BOUGHT bran: now 14kg, was 50kg. Wrong? UNDO"},
        {"bought 50kg", "fix 07:40", "BOUGHT bran: now 07:40, was 08:00. Wrong? UNDO"},
        {"store 50kg", "fix 0kg", "STORE bran: now 0g, was 50kg. Wrong? UNDO"},
        {"tin 400g bran", "fix 380g", "MEASURE bran: now 380g, was 400g. Wrong? UNDO"},
        {"tin 400g bran", "fix 3 tins",
         "That cannot replace \"tin 400g bran\". Text FIX again with the right value. Nothing "
         "changed"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, cases[i].text);
        uint64_t before = farm_digest(&s->farm.state);
        stage_text(s, AT(MON, 8, 10), OWNER, cases[i].fix);
        if (strcmp(stage_got(s, OWNER, 0), cases[i].answer))
            fail_msg("\"%s\": got \"%s\", wanted \"%s\"", cases[i].fix, stage_got(s, OWNER, 0),
                     cases[i].answer);
        bool fixed = s->turn.entry_count > 0;
        assert_int_equal(fixed, strstr(cases[i].answer, "Wrong? UNDO") != NULL);
        if (fixed) /* the old text stands again */
            stage_text(s, AT(MON, 8, 11), OWNER, "undo");
        assert_int_equal(farm_digest(&s->farm.state), before);
    }
}

/* -- store ---------------------------------------------------------------------------------------
 */

/* 4 ares at 0.5 kg in the first week, half as much again each week (common practice), at most 1.1
 * (University of Florida): 2 kg for 7 days, 3 kg for 7 days, then 4.4 kg. */
static void a_store_lasts_as_long_as_the_rations_say(void **state) {
    static const struct {
        const char *text, *says;
    } cases[] = {
        {"bought 50kg", /* 14 + 21 + 3 x 4.4 = 48.2: seventeen days; then 7 x 4.4 = 30.8 */
         "50kg bran bought 2 Mar, noted: about 50kg there now. Wrong? UNDO. Lasts about 17 days: "
         "by 16 Mar buy 31kg for 7 days more"},
        {"bought 20kg", /* 14 + 2 x 3 = 20 to the gram: nine days; then 5 x 3 + 2 x 4.4 = 23.8 */
         "20kg bran bought 2 Mar, noted: about 20kg there now. Wrong? UNDO. Lasts about 9 days: "
         "by 8 Mar buy 24kg for 7 days more"},
        {"bought 5kg", "5kg bran bought 2 Mar, noted: about 5kg there now. Wrong? UNDO. Days left: "
                       "2. Buy today. Next 7 days up to 14kg"},
        {"store 0kg", "bran: 0g counted, the first count. Wrong? UNDO. Days left: 0. Buy today. "
                      "Next 7 days up to 14kg"},
        {"bought 1900kg", "1900kg bran bought 2 Mar, noted: about 1900kg there now. Wrong? UNDO. "
                          "Lasts over 60 days. Next 7 days up to 14kg"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, cases[i].text);
        if (strcmp(stage_got(s, OWNER, 0), cases[i].says))
            fail_msg("\"%s\": got \"%s\", wanted \"%s\"", cases[i].text, stage_got(s, OWNER, 0),
                     cases[i].says);
    }
}

static void a_count_tells_what_is_missing_or_over(void **state) {
    static const struct {
        const char *count, *begins;
    } cases[] = {{"store 49kg", "bran: 49kg counted, as reckoned. Wrong? UNDO."},
                 {"store 48.5kg", "bran: 48.5kg counted, as reckoned. Wrong? UNDO."},
                 {"store 45kg", "bran: 45kg counted, 4kg less than texted."},
                 {"store 60kg", "bran: 60kg counted, 11kg more than texted."}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 7, 30), OWNER, "bought 50kg");
        stage_text(s, AT(MON, 8, 0), OWNER, "gave p2 1kg");
        stage_text(s, AT(MON, 9, 0), OWNER, cases[i].count);
        want_begins(s, cases[i].count, cases[i].begins);
        assert_int_equal(s->turn.text_count, 1); /* no alarm goes to anybody */
    }
}

static void your_own_table_is_named(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 7, 30), OWNER, "bought 50kg");
    const struct entry own = {.seq = farm_head(&s->farm) + 1,
                              .at_s = AT(MON, 7, 31),
                              .said_s = AT(MON, 7, 31),
                              .message = s->messages,
                              .person = 11,
                              .kind = ENTRY_TABLE,
                              .version = ENTRY_VERSION,
                              .value = {1000, 80000, 1}};
    assert_int_equal(farm_add(&s->farm, &own, 1), ERR_OK);
    stage_text(s, AT(MON, 7, 32), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "bran: 0g counted + 50kg bought - 0g given since = about 50kg. Ponds that got it "
              "last (1) need 48.2kg in 17 days, 2.84kg a day on average, 52.6kg in 18 days: by "
              "growth and your table, less what was given today. Buy 2 days before");
}

/* Between two points of the farm's table straight, beyond them the ends. */
static void the_share_is_that_of_the_table(void **state) {
    (void)state;
    static const struct {
        int64_t weight_mg, ppm;
    } cases[] = {{1000, 80000}, {10000, 80000}, {30000, 60000}, {50000, 40000}, {900000, 40000}};
    struct farm_state st = {.table = {{10000, 80000}, {50000, 40000}}};
    assert_int_equal(turn_share_ppm(&st, 10000), -1);
    st.table_count = 2;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        if (turn_share_ppm(&st, cases[i].weight_mg) != cases[i].ppm)
            fail_msg("%lld mg: got %lld ppm, wanted %lld", (long long)cases[i].weight_mg,
                     (long long)turn_share_ppm(&st, cases[i].weight_mg), (long long)cases[i].ppm);
}

static void bags_of_so_much_are_asked_about(void **state) {
    struct stage *s = *state;
    farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "bought 2 bags 25kg");
    WANT_TEXT(s, OWNER, 0,
              "2 bags of 25kg each, 50kg in all? YES. Or 25kg in all: text it again with only the "
              "weight. Nothing recorded");
    stage_text(s, AT(MON, 8, 1), OWNER, "yes");
    assert_int_equal(s->turn.entry_count, 2); /* and what a bag holds */
    assert_int_equal(s->turn.entries[1].value[0], 50000000);
    stage_text(s, AT(MON, 8, 2), OWNER, "bought 2 bags 25kg"); /* known now */
    WANT_TEXT(s, OWNER, 0, "The same BOUGHT stands already, 08:00. Was it once more? YES or NO");
    stage_text(s, AT(MON, 8, 2), OWNER, "yes");
    assert_int_equal(s->turn.entries[0].value[0], 50000000);
    stage_text(s, AT(MON, 8, 3), OWNER, "bought 3 bags 74kg");
    assert_int_equal(s->turn.entries[0].value[0], 74000000);
}

static void what_cannot_be_bought_is_refused(void **state) {
    static const struct {
        const char *text, *begins;
    } cases[] = {
        {"bought 50kg 14 march", "14 Mar is still to come"},
        {"bought 50kg 14 december", "14 Dec is still to come, or more than 60 days ago."},
        {"bought 0kg", "0 cannot be bought."},
        {"bought 5000kg", "5000kg of bran? That is very much."},
        {"bought 200000kg", "200000kg cannot be."},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(MON, 8, 0), OWNER, cases[i].text);
        want_begins(s, cases[i].text, cases[i].begins);
        assert_int_equal(s->turn.entry_count, 0);
    }
    stage_text(s, AT(MON, 8, 1), OWNER, "bought 50kg 1 march");
    assert_int_equal(s->turn.entries[0].at_s, AT(MON, 12, 0) - 86400);
}

/* -- mixes ---------------------------------------------------------------------------------------
 */

/* Pearson's square by hand: 35 lies 23 over 12 and 25 under 60; of 48 parts 25 are the first, of 10
 * kg 5.21. A mix: (20 x 12 + 5 x 60) / 25 = 21.6. */
/* What is texted of a day is recorded on it, at its noon; food left after the last meal. */
static void a_day_past_is_recorded_as_it_was(void **state) {
    static const struct {
        const char *text;
        int64_t at_s;
    } cases[] = {
        {"gave p2 1kg yesterday", AT(TUE, 12, 0)},
        {"gave p2 1kg on 3 march", AT(TUE, 12, 0)},
        {"gave p2 1kg 3 march 18:30", AT(TUE, 18, 30)},
        {"gave p2 1kg 1 days ago", AT(TUE, 12, 0)},
        {"fed p2 1kg 3/3", AT(TUE, 12, 0)},
        {"left p2 yesterday", AT(TUE, 18, 0)},
        {"left p2 on 3 march", AT(TUE, 18, 0)},
        {"dead p2 5 on 3 march", AT(TUE, 12, 0)},
        {"dead p2 5 yesterday", AT(TUE, 12, 0)},
        {"gave p2 1kg on 4 march", AT(WED, 8, 0)},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        farm(s);
        stage_text(s, AT(WED, 8, 0), OWNER, cases[i].text);
        if (s->turn.entry_count != 1 || s->turn.entries[0].at_s != cases[i].at_s)
            fail_msg("%s: %d entries, at %lld; wanted one at %lld", cases[i].text,
                     (int)s->turn.entry_count,
                     s->turn.entry_count ? (long long)s->turn.entries[0].at_s : 0LL,
                     (long long)cases[i].at_s);
    }
    farm(s);
    stage_text(s, AT(WED, 8, 0), OWNER, "gave p2 1kg 5 march");
    want_begins(s, "to come", "5 Mar is still to come");
    assert_int_equal(s->turn.entry_count, 0);
}

static void mixes_are_reckoned(void **state) {
    static const struct {
        const char *text, *says;
    } cases[] = {
        {"blend 35% bran 12% fish meal 60%",
         "35% protein: 10kg from 5.21kg bran (12%) and 4.79kg fish meal (60%). Mix it well"},
        {"blend bran 12% fish meal 60% 35%",
         "35% protein: 10kg from 5.21kg bran (12%) and 4.79kg fish meal (60%). Mix it well"},
        {"blend 35% bran 12% maize 20%",
         "No mix of 12% and 20% gives 35%. It lies between the two"},
        {"blend bran 20kg 12% fish meal 5kg 60%", "25kg in all: 21.6% protein. Nothing recorded"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 8, 0), OWNER, cases[i].text);
        if (strcmp(stage_got(s, OWNER, 0), cases[i].says))
            fail_msg("\"%s\": got \"%s\", wanted \"%s\"", cases[i].text, stage_got(s, OWNER, 0),
                     cases[i].says);
        assert_int_equal(s->turn.entry_count, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(food_left_where_nothing_is_fed),
        cmocka_unit_test(brood_fish_are_fed),
        cmocka_unit_test(amounts_are_weights_or_measures),
        cmocka_unit_test(an_amount_reads_as_it_was_said),
        cmocka_unit_test(what_a_measure_holds_is_asked_once_and_kept),
        cmocka_unit_test(a_measure_out_of_the_usual_is_said_twice),
        cmocka_unit_test(a_feed_that_is_not_named_is_the_usual_one),
        cmocka_unit_test(an_amount_that_was_left_out_is_asked),
        cmocka_unit_test(a_store_that_cannot_be_is_to_be_counted),
        cmocka_unit_test(far_too_much_is_put_right_by_its_answer),
        cmocka_unit_test(over_what_a_pond_bears_is_warned_of),
        cmocka_unit_test(food_left_lowers_the_line),
        cmocka_unit_test(the_owner_hears_of_food_often_left),
        cmocka_unit_test(few_fry_are_told_a_share),
        cmocka_unit_test(a_pond_of_unknown_size_has_no_line),
        cmocka_unit_test(reports_may_arrive_in_any_order),
        cmocka_unit_test(of_another_day_its_own_sum_is_told),
        cmocka_unit_test(amounts_are_put_right),
        cmocka_unit_test(a_store_lasts_as_long_as_the_rations_say),
        cmocka_unit_test(a_count_tells_what_is_missing_or_over),
        cmocka_unit_test(your_own_table_is_named),
        cmocka_unit_test(the_share_is_that_of_the_table),
        cmocka_unit_test(bags_of_so_much_are_asked_about),
        cmocka_unit_test(what_cannot_be_bought_is_refused),
        cmocka_unit_test(a_day_past_is_recorded_as_it_was),
        cmocka_unit_test(mixes_are_reckoned),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
