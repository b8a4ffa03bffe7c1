/* What ponds get on a day: the rules and their numbers against what they come from, laws over drawn
 * ponds, and the texts. Sources: FAO practice of 0.5 kg an are in the first week and half as much
 * again each week (0.5, 0.75, 1.125, 1.69), 1.1 kg an are as the most (University of Florida,
 * 112 kg/ha/day). */
#include "turn_stage.h"

#include "farm/feeding.h"
#include "trade_draw.h"

static void entry(struct stage *s, int64_t at_s, enum entry_kind kind, enum subject_kind of,
                  int64_t subject, int64_t a, int64_t b, int64_t c) {
    if (s->messages + 2 >= MESSAGES_MAX)
        s->messages = 0;
    s->bodies[++s->messages] = SLICE("");
    const struct entry e = {.seq = farm_head(&s->farm) + 1,
                            .at_s = at_s,
                            .said_s = at_s,
                            .message = s->messages,
                            .person = s->people[WORKER].id,
                            .kind = kind,
                            .version = ENTRY_VERSION,
                            .subject_kind = of,
                            .subject = subject,
                            .value = {a, b, c}};
    assert_true(entry_sound(&e));
    assert_int_equal(farm_add(&s->farm, &e, 1), ERR_OK);
}

#define ARE INT64_C(1000000)

/* Pond 4 with so many fish since Monday at nine. */
static void a_pond(struct stage *s, int64_t ares_milli, int64_t fish, int64_t mean_ug) {
    stage_empty(s);
    if (ares_milli)
        entry(s, AT(MON, 8, 0), ENTRY_POND, SUBJECT_POND, 4, ares_milli * 1000, 1000, FENCE_STANDS);
    entry(s, AT(MON, 9, 0), ENTRY_STOCKED, SUBJECT_CYCLE, 1, 4, fish, mean_ug);
}

static void left(struct stage *s, int day, int hour) {
    entry(s, AT(day, hour, 0), ENTRY_LEFT, SUBJECT_POND, 4, 0, 0, 0);
}

static void read_off(struct stage *s, int64_t at_s, enum reading reading, int64_t value) {
    entry(s, at_s, ENTRY_READING, SUBJECT_POND, 4, reading, value, 0);
}

static struct feeding fed(struct stage *s, int64_t at_s) {
    const struct pond *pond = farm_pond(&s->farm.state, 4);
    assert_non_null(pond);
    return feeding_of(&s->farm.state, pond, &zone_utc, at_s);
}

static void feed_text(struct stage *s, int64_t at_s, const char *want) {
    stage_text(s, at_s, OWNER, "feed p4");
    WANT_TEXT(s, OWNER, 0, want);
    assert_int_equal(s->turn.entry_count, 0);
}

/* -- the nursery's line --------------------------------------------------------------------------
 */

static void the_line_by_week(void **state) {
    static const struct {
        int day;
        int64_t line_mg, ration_mg;
    } cases[] = {{0, 500000, 500000},    {6, 500000, 500000},    {7, 750000, 750000},
                 {13, 750000, 750000},   {14, 1125000, 1100000}, {20, 1125000, 1100000},
                 {21, 1687500, 1100000}, {27, 1687500, 1100000}};
    struct stage *s = *state;
    a_pond(s, 1000, 3000, 100000);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct feeding f = fed(s, AT(cases[i].day, 10, 0));
        wants("rule", cases[i].day, f.rule, FEEDING_NURSERY);
        wants("line", cases[i].day, f.line_mg, cases[i].line_mg);
        wants("ration", cases[i].day, f.ration_mg, cases[i].ration_mg);
        wants("capped", cases[i].day, f.capped, cases[i].day >= 14);
        wants("meals", cases[i].day, f.meals, 2);
    }
}

/* Of what a farm measures with: what comes near the ration and makes both meals, then the largest.
 */
static void the_measure_that_fits(void **state) {
    static const struct {
        int64_t fish, told_mg, with_mg;
        int meals;
    } cases[] = {
        {540, 1600000, 400000, 2}, /* 1.62 kg: a bucket would be a quarter too much, and one meal */
        {660, 1800000, 400000, 2}, /* 1.98 kg: half a bucket is not soon counted */
        {1400, 4000000, 2000000, 2},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        a_pond(s, 100000, cases[i].fish, 100000000); /* 3 % */
        entry(s, AT(MON, 9, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 28000, 0, 0);
        entry(s, AT(MON, 9, 0), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, MEASURE_TIN, 400000, 0);
        entry(s, AT(MON, 9, 0), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, MEASURE_BUCKET, 2000000, 0);
        struct feeding f = fed(s, AT(MON, 9, 0));
        wants("told", cases[i].fish, f.told_mg, cases[i].told_mg);
        wants("with", cases[i].fish, f.with_mg, cases[i].with_mg);
        wants("meals", cases[i].fish, f.meals, cases[i].meals);
    }
}

/* A quarter off for each day with food left, a step up again after three days without. */
static void food_left_lowers_and_clean_days_raise(void **state) {
    struct stage *s = *state;
    a_pond(s, 1000, 3000, 100000);
    left(s, 0, 18);
    left(s, 1, 9);
    left(s, 1, 18); /* one a day counts */
    static const int64_t want_mg[] = {500000, 375000, 281250, 281250, 281250, 375000};
    for (int day = 0; day < 6; day++)
        wants("ration", day, fed(s, AT(day, 20, 0)).ration_mg, want_mg[day]);
    wants("ration", 8, fed(s, AT(8, 10, 0)).ration_mg, 750000);
}

/* Which meal is the half one: that after the report. */
static void the_meal_after_a_report_is_half(void **state) {
    static const struct {
        int left_day, left_hour, day;
        unsigned half;
    } cases[] = {{3, 7, 3, 1u},  {3, 9, 3, 2u},  {3, 9, 4, 0u},
                 {3, 18, 3, 0u}, {3, 18, 4, 1u}, {3, 18, 5, 0u}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        a_pond(s, 1000, 3000, 100000);
        left(s, cases[i].left_day, cases[i].left_hour);
        struct feeding f = fed(s, AT(cases[i].day, 20, 0));
        wants("half meals", (int64_t)i, f.half_meals, cases[i].half);
        wants("told", (int64_t)i, f.told_mg,
              cases[i].half ? f.meal_mg + f.half_mg : feeding_weighable_mg(f.ration_mg));
    }
}

/* -- by weight -----------------------------------------------------------------------------------
 */

/* The guide's points; fish as they were stocked that hour, in a pond that bears all. */
static void the_guide_by_weight(void **state) {
    static const struct {
        int64_t weight_g, share_ppm;
    } cases[] = {{5, 50000},   {10, 50000},  {25, 40000},  {50, 35000},
                 {100, 30000}, {200, 25000}, {400, 20000}, {800, 15000}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        a_pond(s, 100000, 1000, cases[i].weight_g * 1000000);
        struct feeding f = fed(s, AT(MON, 9, 0));
        wants("rule", cases[i].weight_g, f.rule, FEEDING_WEIGHT);
        wants("share", cases[i].weight_g, f.share_ppm, cases[i].share_ppm);
        wants("guessed", cases[i].weight_g, f.guessed, true);
        wants("not read", cases[i].weight_g, f.ration_mg,
              cases[i].weight_g * cases[i].share_ppm / 10 * 9);
        struct growing g = growing_of(&s->farm.state, f.cycle, AT(MON, 9, 0));
        wants("the same water", cases[i].weight_g, ration_water_mdegc(f.water_mdegc),
              g.water_mdegc);
        entry(s, AT(MON, 9, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 28000, 0, 0);
        f = fed(s, AT(MON, 9, 0));
        wants("ration", cases[i].weight_g, f.ration_mg, cases[i].weight_g * cases[i].share_ppm);
    }
}

static void the_water_lowers_it(void **state) {
    static const struct {
        int64_t mdegc, permille;
    } cases[] = {{18000, 200}, {20000, 400},  {22000, 550},  {24000, 750},
                 {26000, 900}, {28000, 1000}, {32000, 1000}, {34000, 500}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        a_pond(s, 100000, 1000, 100000000);
        entry(s, AT(MON, 9, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, cases[i].mdegc, 0, 0);
        struct feeding f = fed(s, AT(MON, 9, 0));
        wants("ration", cases[i].mdegc, f.ration_mg, 3000 * cases[i].permille);
        wants("guessed", cases[i].mdegc, f.guessed, false);
        wants("a week later", cases[i].mdegc, fed(s, AT(7, 9, 0)).guessed, true);
    }
}

static void the_own_table_is_straight_between_its_points(void **state) {
    (void)state;
    static const struct table_point table[] = {{10000, 50000}, {50000, 35000}, {200000, 25000}};
    static const struct {
        int64_t weight_mg, share_ppm;
    } cases[] = {{1, 50000},      {10000, 50000},  {30000, 42500}, {50000, 35000},
                 {125000, 30000}, {200000, 25000}, {900000, 25000}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        wants("share", cases[i].weight_mg, feeding_table_ppm(table, 3, cases[i].weight_mg),
              cases[i].share_ppm);
    wants("bursts", 0, feeding_table_bursts(table, 3), 0);
    static const struct table_point high[] = {{5000, 90000}, {200000, 25000}};
    wants("bursts", 1, feeding_table_bursts(high, 2), 5000); /* 7.5 % is half over 5 % */
    static const struct table_point large[] = {{20000, 90000}, {200000, 25000}};
    wants("bursts", 2, feeding_table_bursts(large, 2), 5000);
    wants("bursts", 3, feeding_table_bursts(table, 0), 0);
}

/* Fry leave the nursery's rule when a sample weighed 2 g, or after six weeks. */
static void which_rule_is_for_whom(void **state) {
    struct stage *s = *state;
    a_pond(s, 3000, 3000, 100000);
    wants("six weeks", 42, fed(s, AT(42, 10, 0)).rule, FEEDING_NURSERY);
    wants("later", 43, fed(s, AT(43, 10, 0)).rule, FEEDING_WEIGHT);
    entry(s, AT(20, 9, 0), ENTRY_SAMPLED, SUBJECT_CYCLE, 1, 30, 1900000, 0);
    wants("small", 21, fed(s, AT(21, 10, 0)).rule, FEEDING_NURSERY);
    entry(s, AT(22, 9, 0), ENTRY_SAMPLED, SUBJECT_CYCLE, 1, 30, 2100000, 0);
    wants("large", 23, fed(s, AT(23, 10, 0)).rule, FEEDING_WEIGHT);
    a_pond(s, 0, 3000, 100000);
    wants("no area", 3, fed(s, AT(3, 10, 0)).rule, FEEDING_NO_AREA);
    a_pond(s, 3000, 3000, 0);
    wants("of no weight", 3, fed(s, AT(3, 10, 0)).rule, FEEDING_NURSERY);
    wants("of no weight", 50, fed(s, AT(50, 10, 0)).rule, FEEDING_NO_WEIGHT);
    entry(s, AT(51, 9, 0), ENTRY_HARVESTED, SUBJECT_CYCLE, 1, 3000, 0, 1);
    wants("harvested", 52, fed(s, AT(52, 10, 0)).rule, FEEDING_EMPTY);
    a_pond(s, 3000, 3000, 2000);
    wants("larvae", 3, fed(s, AT(3, 10, 0)).meals, 4);
    wants("larvae", 20, fed(s, AT(20, 10, 0)).meals, 2);
}

/* -- why nothing ---------------------------------------------------------------------------------
 */

static void grown(struct stage *s) {
    a_pond(s, 10000, 1000, 100000000);
    entry(s, AT(MON, 9, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 28000, 0, 0);
}

/* A twentieth at once, for a day; fewer only when they are more on each of three days. */
static void many_dead_are_not_fed(void **state) {
    struct stage *s = *state;
    grown(s); /* a thousand */
    entry(s, AT(1, 9, 0), ENTRY_DIED, SUBJECT_CYCLE, 1, 49, 0, 0);
    wants("few", 49, fed(s, AT(1, 9, 1)).reason, RATION_OK);
    grown(s);
    entry(s, AT(1, 9, 0), ENTRY_DIED, SUBJECT_CYCLE, 1, 50, 0, 0);
    wants("many", 50, fed(s, AT(1, 9, 0)).reason, RATION_DEAD);
    feed_text(
        s, AT(1, 9, 1),
        "P4: no feed today, many died. Call the fisheries office, take the dead out, read the "
        "oxygen. Feed again when no more die");
    stage_text(s, AT(1, 9, 2), OWNER, "p4");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "\nP4 no feed: many died\n"));
    stage_text(s, AT(1, 9, 3), OWNER, "gave p4 1kg");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "No more today: many died"));
    wants("the day after", 50, fed(s, AT(2, 8, 59)).reason, RATION_DEAD);
    wants("a day later", 50, fed(s, AT(2, 9, 0)).reason, RATION_OK);
    grown(s);
    for (int i = 0; i < 3; i++)
        entry(s, AT(1, 9 + 2 * i, 0), ENTRY_DIED, SUBJECT_CYCLE, 1, 20, 0, 0);
    wants("forty", 40, fed(s, AT(1, 12, 0)).reason, RATION_OK);
    wants("sixty in parts", 60, fed(s, AT(1, 13, 0)).reason, RATION_DEAD);
    wants("a day after the last", 60, fed(s, AT(2, 13, 0)).reason, RATION_OK);
    grown(s);
    for (int day = 1; day <= 3; day++)
        entry(s, AT(day, 9, 0), ENTRY_DIED, SUBJECT_CYCLE, 1, 2 * day, 0, 0);
    wants("two days", 2, fed(s, AT(2, 10, 0)).reason, RATION_OK);
    wants("rising", 3, fed(s, AT(3, 10, 0)).reason, RATION_DEAD);
    wants("the day after", 4, fed(s, AT(4, 10, 0)).reason, RATION_OK);
}

static void far_more_than_the_ration_is_said(void **state) {
    struct stage *s = *state;
    grown(s); /* 1000 of 100 g: 2.5kg and more */
    int64_t told_mg = fed(s, AT(1, 8, 0)).told_mg;
    wants_no_less("fed", 1, told_mg, 2000000);
    stage_text(s, AT(1, 8, 0), OWNER, "gave p4 2kg");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "Still "));
    stage_text(s, AT(1, 17, 0), OWNER, "gave p4 4kg");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "was meant for today: no more feed"));
}

static void each_reason_stands_until_it_is_over(void **state) {
    struct stage *s = *state;
    grown(s);
    entry(s, AT(1, 6, 0), ENTRY_GASPING, SUBJECT_POND, 4, 0, 0, 0);
    wants("gasping", 0, fed(s, AT(2, 5, 59)).reason, RATION_GASPING);
    wants("gasping over", 0, fed(s, AT(2, 6, 0)).reason, RATION_OK);
    read_off(s, AT(1, 8, 0), READING_OXYGEN, 1900);
    wants("gasping, low", 0, fed(s, AT(1, 9, 0)).reason, RATION_GASPING);
    read_off(s, AT(1, 9, 30), READING_OXYGEN, 3900); /* the answer says no feed, and so does FEED */
    wants("gasping, little", 0, fed(s, AT(1, 9, 45)).reason, RATION_GASPING);
    read_off(s, AT(1, 10, 0), READING_OXYGEN, 4100);
    wants("gasping, read", 0, (int64_t)(fed(s, AT(1, 11, 0)).reasons & 1u << RATION_GASPING), 0);
    wants("dawn was low", 0, fed(s, AT(1, 11, 0)).reason, RATION_OXYGEN);
    wants("a day later", 0, fed(s, AT(2, 8, 1)).reason, RATION_OK);
    grown(s);
    read_off(s, AT(1, 6, 0), READING_OXYGEN, 3000);
    read_off(s, AT(1, 14, 0), READING_OXYGEN, 9000);
    wants("halved", 0, fed(s, AT(1, 15, 0)).halved, true);
    wants("half", 0, fed(s, AT(1, 15, 0)).ration_mg * 2 / 10000,
          (fed(s, AT(1, 15, 0)).line_mg + 1) / 10000);
    grown(s);
    read_off(s, AT(1, 12, 0), READING_SECCHI, 249);
    wants("Secchi", 0, fed(s, AT(8, 11, 59)).reason, RATION_SECCHI);
    wants("Secchi is old", 0, fed(s, AT(8, 12, 0)).reason, RATION_OK);
    read_off(s, AT(8, 13, 0), READING_SECCHI, 250);
    wants("Secchi", 1, fed(s, AT(8, 14, 0)).reason, RATION_OK);
    grown(s);
    entry(s, AT(1, 12, 0), ENTRY_TREATED, SUBJECT_POND, 4, 0, 0, 0);
    wants("treated", 0, fed(s, AT(2, 11, 59)).reason, RATION_TREATED);
    wants("treated", 1, fed(s, AT(2, 12, 0)).reason, RATION_OK);
    grown(s);
    entry(s, AT(1, 12, 0), ENTRY_CATCH, SUBJECT_POND, 4, AT(5, 12, 0), 0, 0);
    wants("two days before", 0, fed(s, AT(3, 12, 0)).reason, RATION_OK);
    wants("the day before", 0, fed(s, AT(4, 1, 0)).reason, RATION_HARVEST);
    wants("the day", 0, fed(s, AT(5, 23, 0)).reason, RATION_HARVEST);
    wants("past", 0, fed(s, AT(6, 1, 0)).reason, RATION_OK);
    grown(s);
    entry(s, AT(1, 12, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 17900, 0, 0);
    wants("cold", 0, fed(s, AT(1, 13, 0)).reason, RATION_COLD);
    entry(s, AT(1, 14, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 34100, 0, 0);
    wants("warm", 0, fed(s, AT(1, 15, 0)).reason, RATION_WARM);
}

static void reasons_in_words(void **state) {
    struct stage *s = *state;
    grown(s);
    entry(s, AT(1, 12, 0), ENTRY_CATCH, SUBJECT_POND, 4, AT(2, 12, 0), 0, 0);
    feed_text(s, AT(1, 13, 0),
              "P4: no feed today, harvest or transport 4 Mar. Another day? CATCH P4 and the day");
    entry(s, AT(1, 13, 30), ENTRY_WATER, SUBJECT_HATCHERY, 0, 17000, 0, 0);
    feed_text(
        s, AT(1, 14, 0),
        "P4: no feed today, water 17C too cold, harvest or transport 4 Mar. They are fed from "
        "18 to 34C: read it again, WATER P4 T26");
    entry(s, AT(1, 14, 30), ENTRY_TREATED, SUBJECT_POND, 4, 0, 0, 0);
    feed_text(s, AT(1, 15, 0),
              "P4: no feed today, treated 14:30, water 17C too cold, harvest or transport 4 Mar. "
              "Feed again from Wed 14:30");
    read_off(s, AT(1, 15, 30), READING_SECCHI, 220);
    feed_text(s, AT(1, 16, 0),
              "P4: no feed today, Secchi 22cm, treated 14:30, water 17C too cold, harvest or "
              "transport 4 Mar. Too green: let fresh water in. Seen at 25cm again? WATER P4 SECCHI "
              "25");
    read_off(s, AT(1, 16, 30), READING_OXYGEN, 1500);
    entry(s, AT(1, 16, 40), ENTRY_GASPING, SUBJECT_POND, 4, 0, 0, 0);
    feed_text(s, AT(1, 17, 0),
              "P4: no feed today, fish gasp, oxygen 1.5mg/l, Secchi 22cm, treated 14:30, water 17C "
              "too cold, harvest or transport 4 Mar. Give air or fresh water now. Better? Read the "
              "oxygen, text WATER P4 DO4");
    stage_text(s, AT(1, 17, 1), OWNER, "feed");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P4: no feed today, fish gasp"));
    stage_text(s, AT(1, 17, 2), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "P4: fish gasp, oxygen 1.5mg/l, Secchi 22cm, treated 14:30. No feed: gasping, many "
              "dead, oxygen "
              "under 2mg/l at dawn (fry 4), Secchi under 25cm, too much ammonia or nitrite, deadly "
              "pH, 24h after "
              "treatment, under 18 or over 34C, the day before harvest (from memory)");
    entry(s, AT(1, 18, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 35000, 0, 0);
    stage_text(s, AT(1, 18, 1), OWNER, "feed p4");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "water 35C too warm"));
    stage_text(s, AT(1, 18, 2), OWNER, "gave p4 1kg");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "No more today: fish gasp, oxygen 1.5mg/l"));
    stage_text(s, AT(1, 18, 3), OWNER, "brood f3 1.2kg p5");
    stage_text(s, AT(1, 18, 4), OWNER, "feed");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P4 no feed: fish gasp, oxygen 1.5mg/l"));
}

/* An evening whose line ends low before dawn: the alarm says no feed, and so does this. */
static void no_feed_in_a_night_of_little_oxygen(void **state) {
    struct stage *s = *state;
    grown(s);
    read_off(s, AT(1, 18, 0), READING_OXYGEN, 6000);
    read_off(s, AT(1, 21, 0), READING_OXYGEN, 4500);
    feed_text(s, AT(1, 21, 30),
              "P4: no feed today, oxygen runs low tonight. Give air or fresh water now. Better? "
              "Read the oxygen, text WATER P4 DO4");
    wants("after dawn", 0, fed(s, AT(2, 7, 0)).reason, RATION_OK);
}

/* -- texts ---------------------------------------------------------------------------------------
 */

static void a_pond_that_does_not_eat(void **state) {
    struct stage *s = *state;
    grown(s);
    entry(s, AT(8, 7, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, 28000, 0, 0);
    for (int day = 1; day < 8; day++)
        entry(s, AT(day, 8, 0), ENTRY_GIVEN, SUBJECT_POND, 4, 1000000, 0, 0);
    stage_text(s, AT(8, 9, 0), OWNER, "feed p4");
    assert_non_null(strstr(stage_got(s, OWNER, 0), ". Last week not half was given. Do they not "
                                                   "eat? Read the oxygen, look for sick fish"));
    grown(s);
    for (int day = 1; day < 8; day++)
        entry(s, AT(day, 8, 0), ENTRY_GIVEN, SUBJECT_POND, 4, 2500000, 0, 0);
    wants("enough", 0, fed(s, AT(8, 9, 0)).eats_little, false);
    grown(s);
    entry(s, AT(2, 8, 0), ENTRY_GIVEN, SUBJECT_POND, 4, 1000000, 0, 0);
    wants("hardly recorded", 0, fed(s, AT(8, 9, 0)).eats_little, false);
    grown(s);
    for (int day = 1; day < 5; day++) /* then no feed for three days, as they were told */
        entry(s, AT(day, 8, 0), ENTRY_GIVEN, SUBJECT_POND, 4, 2500000, 0, 0);
    wants("enough when fed", 0, fed(s, AT(8, 9, 0)).eats_little, false);
    grown(s);
    wants("not recorded", 0, fed(s, AT(8, 9, 0)).eats_little, false);
    left(s, 4, 9);
    left(s, 5, 9);
    left(s, 5, 18);
    wants("twice", 0, fed(s, AT(6, 9, 0)).left_days, 2);
    left(s, 6, 8);
    wants("three days", 0, fed(s, AT(6, 9, 0)).left_days, 3);
    wants("later", 0, fed(s, AT(11, 9, 0)).left_days, 2);
}

static void texts_of_a_growing_pond(void **state) {
    struct stage *s = *state;
    grown(s);
    feed_text(s, AT(MON, 10, 0),
              "P4: 3kg today = 1.5kg at 8, 1.5kg at 17. Grain 5mm. About 1000 fish of 100g, 3% a "
              "day (guide). Food left? LEFT P4. Gasping: none, WATER P4. So much feed uses oxygen: "
              "look at the fish at dawn");
    stage_text(s, AT(MON, 10, 1), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "P4: about 1000 fish of 100g x 3% by the guide x 1 for the water = 3kg (both from "
              "memory, low confidence). Food left: a quarter off 0 times. So 3kg. A sample "
              "makes it surer: SAMPLE P4");
    stage_text(s, AT(MON, 10, 2), OWNER, "water p4 do 3");
    stage_text(s, AT(MON, 10, 2), OWNER, "feed p4");
    stage_text(s, AT(MON, 10, 2), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "P4: about 1000 fish of 100g x 3% by the guide x 1 for the water = 3kg (both from "
              "memory, low confidence). Food left: a quarter off 0 times. So 1.5kg. A sample "
              "makes it surer: SAMPLE P4. Only half: oxygen was 3mg/l");
    stage_text(s, AT(MON, 10, 2), OWNER, "undo");
    stage_text(s, AT(MON, 10, 2), OWNER, "table 50g 5% 200g 2%");
    stage_text(s, AT(MON, 10, 3), OWNER, "feed p4");
    WANT_TEXT(s, OWNER, 0,
              "P4: 4kg today = 2kg at 8, 2kg at 17. Grain 5mm. About 1000 fish of 100g, 4% a day "
              "(your table). Food left? LEFT P4. Gasping: none, WATER P4. So much feed uses "
              "oxygen: look at the fish at dawn");
    stage_text(s, AT(MON, 10, 4), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "P4: about 1000 fish of 100g x 4% by your table x 1 for the water (from memory) = "
              "4kg. Food left: a quarter off 0 times. So 4kg. A sample makes it surer: SAMPLE "
              "P4");
    stage_text(s, AT(MON, 10, 5), OWNER, "undo");
    read_off(s, AT(1, 6, 0), READING_OXYGEN, 3000);
    stage_text(s, AT(1, 7, 0), OWNER, "feed p4");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "(guide)"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), ". Only half: oxygen was 3mg/l"));
    read_off(s, AT(2, 6, 30), READING_OXYGEN, 6000);
    stage_text(s, AT(2, 6, 40), OWNER, "temp p4 20");
    WANT_TEXT(
        s, OWNER, 0,
        "P4 at 06:40: 20C. They eat less at such degrees: only 40% of the usual feed, FEED P4. "
        "Wrong? UNDO");
    stage_text(s, AT(2, 7, 0), OWNER, "feed p4");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "WATER P4. It is less than usual: water 20C"));
    stage_text(s, AT(3, 6, 40), OWNER, "temp p4 24");
    WANT_TEXT(s, OWNER, 0, "P4 at 06:40: 24C. Nothing wrong in this. Wrong? UNDO");
    stage_text(s, AT(3, 7, 0), OWNER, "feed p4");
    assert_null(strstr(stage_got(s, OWNER, 0), "than usual"));
    a_pond(s, 2000, 1000, 100000000);
    feed_text(s, AT(MON, 10, 0),
              "P4: 2.2kg today = 1.1kg at 8, 1.1kg at 17. Grain 5mm. About 1000 fish of 100g, 3% a "
              "day (guide). Food left? LEFT P4. Gasping: none, WATER P4. No pond bears more a day. "
              "So much feed uses oxygen: look at the fish at dawn. "
              "Water not read lately, 26C assumed: WATER P4 T26");
    entry(s, AT(MON, 11, 0), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, MEASURE_BUCKET, 4000000, 0);
    stage_text(s, AT(MON, 11, 1), OWNER, "feed p4");
    assert_memory_equal(stage_got(s, OWNER, 0), "P4: 2kg today = 0.5 bucket at 8. Grain 5mm. ", 44);
}

static void texts_of_larvae(void **state) {
    struct stage *s = *state;
    a_pond(s, 2000, 20000, 2000);
    entry(s, AT(MON, 9, 0), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, MEASURE_CUP, 50000, 0);
    feed_text(s, AT(MON, 10, 0),
              "P4 2 ares, day 0: up to 1kg today = 5 cups at 7, 11, 15 and 18 each. Powder under "
              "0.5mm. Food left after 30 min? LEFT P4. Gasping or deep green: none, WATER P4. So "
              "much feed uses oxygen: look at the fish at dawn");
    left(s, 1, 8);
    feed_text(s, AT(1, 8, 30),
              "P4 2 ares, day 1: up to 875g today = 5 cups at 7, 11, 15, 18, next only 2.5 cups. "
              "Powder under 0.5mm. Food left after 30 min? LEFT P4. Gasping or deep green: none, "
              "WATER P4");
}

static void what_is_not_known_is_said(void **state) {
    struct stage *s = *state;
    a_pond(s, 0, 3000, 100000);
    feed_text(
        s, AT(MON, 10, 0),
        "P4: fry are fed by the size of the pond, which is not known. Text POND P4 3 ares, then "
        "FEED P4");
    stage_text(s, AT(MON, 10, 1), OWNER, "today");
    WANT_TEXT(s, OWNER, 0, "P4 feed: how large is it? POND P4");
    a_pond(s, 3000, 3000, 0);
    feed_text(s, AT(50, 10, 0),
              "P4: these fish were never weighed. Weigh 30 of them, text SAMPLE P4 30 fish 1.95kg, "
              "then FEED P4");
    entry(s, AT(50, 11, 0), ENTRY_HARVESTED, SUBJECT_CYCLE, 1, 3000, 0, 1);
    feed_text(s, AT(50, 12, 0),
              "No fish are known in P4. Stocked? Text STOCK P4, count, FRY, weight. Nothing "
              "recorded");
    stage_text(s, AT(50, 12, 1), OWNER, "feed p5");
    WANT_TEXT(s, OWNER, 0, "No pond P5 here. You have P4. New? POND P5 4 ares 0.8m");
    stage_text(s, AT(50, 12, 2), OWNER, "feed f3");
    WANT_TEXT(s, OWNER, 0,
              "No F3 here: no female yet. Text INJECT F3, weight, hour, water. Nothing recorded");
}

/* Kilograms, grain, and a meal in the farm's measures; where food was left or little is eaten, too.
 */
static void a_line_says_all_of_a_meal(void **state) {
    struct stage *s = *state;
    a_pond(s, 3000, 500, 40000000);
    entry(s, AT(MON, 8, 1), ENTRY_POND, SUBJECT_POND, 5, 3 * ARE, 1000, FENCE_STANDS);
    entry(s, AT(MON, 9, 1), ENTRY_STOCKED, SUBJECT_CYCLE, 2, 5, 500, 40000000);
    entry(s, AT(MON, 9, 2), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, MEASURE_TIN, 640000, 0);
    stage_text(s, AT(MON, 10, 0), OWNER, "feed");
    WANT_TEXT(
        s, OWNER, 0,
        "Feed today: 1.28kg in 2 ponds\nP4 feed 640g 3mm: 0.5 tin x2\nP5 feed 640g 3mm: 0.5 tin "
        "x2");
    entry(s, AT(MON, 12, 0), ENTRY_LEFT, SUBJECT_POND, 4, 0, 0, 0);
    stage_text(s, AT(MON, 12, 1), OWNER,
               "feed"); /* half of half a tin cannot be measured: by weight */
    WANT_TEXT(s, OWNER, 0,
              "Feed today: 1.13kg in 2 ponds\nP4 feed 490g 3mm: 330g at 8, 160g at 17, food was "
              "left\nP5 feed 640g 3mm: 0.5 tin x2");
    for (int day = 1; day <= 7; day++)
        entry(s, AT(day, 8, 0), ENTRY_GIVEN, SUBJECT_POND, 5, 100000, 0, 0);
    stage_text(s, AT(8, 7, 0), OWNER, "feed");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P5 feed "));
    assert_non_null(strstr(stage_got(s, OWNER, 0), " x2. Do they not eat? FEED P5"));
}

/* A quarter of a measure too much is not told as a half more: the day's ration is kept to. */
static void the_rest_is_not_more_than_meant(void **state) {
    struct stage *s = *state;
    a_pond(s, 4000, 800, 40000000);
    entry(s, AT(MON, 9, 2), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, MEASURE_TIN, 600000, 0);
    stage_text(s, AT(MON, 10, 0), OWNER, "gave p4 0.25 tin");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "Still 1 tin = 600g today"));
}

/* Two parts at most, and what does not fit is named. */
static void many_ponds_in_one_list(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    for (int i = 1; i <= 14; i++) {
        entry(s, AT(MON, 8, i), ENTRY_POND, SUBJECT_POND, i, 2 * ARE, 1000, FENCE_STANDS);
        entry(s, AT(MON, 9, i), ENTRY_STOCKED, SUBJECT_CYCLE, i, i, 4000, 100000);
    }
    stage_text(s, AT(MON, 10, 0), OWNER, "feed");
    WANT_TEXT(s, OWNER, 0,
              "Feed today: 14kg in 14 ponds\n"
              "P1 feed up to 1kg powder: 500g x2\nP2 feed up to 1kg powder: 500g x2\nP3 feed up to "
              "1kg powder: 500g x2\n"
              "P4 feed up to 1kg powder: 500g x2\nP5 feed up to 1kg powder: 500g x2\nP6 feed up to "
              "1kg powder: 500g x2\n"
              "P7 feed up to 1kg powder: 500g x2\n"
              "and 7 more: FEED P8");
    for (int i = 1; i <= 14; i++)
        entry(s, AT(MON, 11, i), ENTRY_TREATED, SUBJECT_POND, i, 0, 0, 0);
    stage_text(s, AT(MON, 12, 0), OWNER, "feed");
    assert_memory_equal(stage_got(s, OWNER, 0), "P1 no feed: treated 11:00", 25);
    assert_null(strstr(stage_got(s, OWNER, 0), "Feed today"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), " more: FEED P"));
}

/* A report that comes late gives what it would have given in time. */
static void a_late_report_gives_the_same(void **state) {
    struct stage *s = *state;
    char in_time[400];
    a_pond(s, 1000, 3000, 100000);
    stage_text(s, AT(2, 18, 0), OWNER, "left p4 18:00");
    stage_text(s, AT(3, 8, 0), OWNER, "gave p4 100g 8:00");
    stage_text(s, AT(3, 9, 0), OWNER, "feed p4");
    (void)snprintf(in_time, sizeof in_time, "%s", stage_got(s, OWNER, 0));
    a_pond(s, 1000, 3000, 100000);
    stage_text(s, AT(3, 8, 58), OWNER, "gave p4 100g 8:00");
    stage_text(s, AT(3, 8, 59), OWNER, "left p4 yesterday 18:00");
    feed_text(s, AT(3, 9, 0), in_time);
    assert_non_null(strstr(in_time, "up to "));
}

static void who_has_several_farms_reads_which(void **state) {
    struct stage *s = *state;
    grown(s);
    s->people[OWNER].farms = 2;
    stage_text(s, AT(MON, 10, 0), OWNER, "feed p4");
    assert_memory_equal(stage_got(s, OWNER, 0), "Creek: P4: 3kg today", 20);
}

/* -- laws ----------------------------------------------------------------------------------------
 */

static int64_t between(uint64_t *seed, int64_t least, int64_t most) {
    return least + (int64_t)(draw_bits(seed) % (uint64_t)(most - least + 1));
}

static void a_drawn_pond(struct stage *s, uint64_t *seed) {
    bool fry = draw_bits(seed) % 2;
    a_pond(s, between(seed, 100, 20000), between(seed, 50, 20000),
           fry ? between(seed, 2000, 500000) : between(seed, 2000000, 500000000));
    for (int kind = MEASURE_TIN; kind < MEASURE_END; kind++)
        if (draw_bits(seed) % 3 == 0)
            entry(s, AT(MON, 10, 0), ENTRY_MEASURE, SUBJECT_HATCHERY, 0, kind,
                  between(seed, 5000, 5000000), 0);
    entry(s, AT(MON, 10, 0), ENTRY_WATER, SUBJECT_HATCHERY, 0, between(seed, 18000, 34000), 0, 0);
    if (draw_bits(seed) % 4 == 0)
        entry(s, AT(MON, 10, 0), ENTRY_TABLE, SUBJECT_HATCHERY, 0, 10000,
              between(seed, 1000, 200000), 1);
}

static void never_over_what_a_pond_bears_and_never_more_for_food_left(void **state) {
    struct stage *s = *state;
    uint64_t seed = 20260302;
    for (int i = 0; i < 300; i++) {
        a_drawn_pond(s, &seed);
        const struct pond *pond = farm_pond(&s->farm.state, 4);
        int day = (int)between(&seed, 1, 60), lefts = (int)between(&seed, 1, 4);
        struct feeding before = fed(s, AT(day, 12, 0));
        wants_no_less("bears", i, ration_most_mg(pond->area_cm2), before.told_mg);
        wants_no_less("ration", i, before.ration_mg, before.told_mg);
        if (before.rule != FEEDING_NURSERY) /* "up to" may be a little more than both */
            wants_no_less("meals together", i,
                          before.meals * before.meal_mg +
                              (before.first_more ? before.with_mg / 2 : 0),
                          before.told_mg);
        if (before.ration_mg >= 1000)
            wants_no_less("something", i, before.told_mg, 1);
        for (int k = 0; k < lefts; k++) {
            left(s, (int)between(&seed, 0, day - 1), (int)between(&seed, 9, 20));
            struct feeding after = fed(s, AT(day, 12, 0));
            wants_no_less("more left", i, before.ration_mg, after.ration_mg);
            before = after;
        }
    }
}

static void none_while_any_reason_stands(void **state) {
    struct stage *s = *state;
    uint64_t seed = 20260303;
    for (int i = 0; i < 200; i++) {
        a_drawn_pond(s, &seed);
        int64_t at_s = AT(3, between(&seed, 0, 23), 0);
        switch (draw_bits(&seed) % 5) {
        case 0:
            entry(s, at_s, ENTRY_GASPING, SUBJECT_POND, 4, 0, 0, 0);
            break;
        case 1:
            read_off(s, at_s, READING_OXYGEN, between(&seed, 0, 1999));
            break;
        case 2:
            read_off(s, at_s, READING_SECCHI, between(&seed, 0, 249));
            break;
        case 3:
            entry(s, at_s, ENTRY_TREATED, SUBJECT_POND, 4, 0, 0, 0);
            break;
        default:
            entry(s, at_s, ENTRY_CATCH, SUBJECT_POND, 4, at_s + between(&seed, 0, 86400), 0, 0);
        }
        struct feeding f = fed(s, at_s);
        wants("told", i, f.told_mg, 0);
        wants("ration", i, f.ration_mg, 0);
        wants("fed", i, f.reason == RATION_OK, false);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_line_by_week),
        cmocka_unit_test(the_measure_that_fits),
        cmocka_unit_test(food_left_lowers_and_clean_days_raise),
        cmocka_unit_test(the_meal_after_a_report_is_half),
        cmocka_unit_test(the_guide_by_weight),
        cmocka_unit_test(the_water_lowers_it),
        cmocka_unit_test(the_own_table_is_straight_between_its_points),
        cmocka_unit_test(which_rule_is_for_whom),
        cmocka_unit_test(many_dead_are_not_fed),
        cmocka_unit_test(far_more_than_the_ration_is_said),
        cmocka_unit_test(each_reason_stands_until_it_is_over),
        cmocka_unit_test(reasons_in_words),
        cmocka_unit_test(no_feed_in_a_night_of_little_oxygen),
        cmocka_unit_test(a_pond_that_does_not_eat),
        cmocka_unit_test(texts_of_a_growing_pond),
        cmocka_unit_test(texts_of_larvae),
        cmocka_unit_test(what_is_not_known_is_said),
        cmocka_unit_test(a_line_says_all_of_a_meal),
        cmocka_unit_test(the_rest_is_not_more_than_meant),
        cmocka_unit_test(many_ponds_in_one_list),
        cmocka_unit_test(a_late_report_gives_the_same),
        cmocka_unit_test(who_has_several_farms_reads_which),
        cmocka_unit_test(never_over_what_a_pond_bears_and_never_more_for_food_left),
        cmocka_unit_test(none_while_any_reason_stands),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
