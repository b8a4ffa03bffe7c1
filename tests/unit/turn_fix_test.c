/* A fix: the farm is afterwards what it would be had the right value been said at once, whatever
 * was said in between; what would be asked of a first report is asked of a fix; who is told. */
#include "turn_stage.h"

enum { SAID_MOST = 24 };

struct said {
    int64_t at_s;
    const char *text;
};

/* A season. Every row is of the owner; its hour is that of sending. */
static const struct said season[] = {
    {AT(MON, 8, 0), "pond p4 4 ares depth 0.8m fenced"},
    {AT(MON, 8, 1), "pond p5 4 ares depth 0.8m fenced"},
    {AT(MON, 18, 30), "inject f3 1.2kg t26"},
    {AT(MON, 18, 35), "inject f4 1kg t26"},
    {AT(TUE, 4, 35), "strip f3 150g"},
    {AT(TUE, 14, 40), "white f3 20"},
    {AT(WED, 17, 0), "frames f3"},
    {AT(WED, 17, 10), "hatch f3 60%"},
    {AT(10, 8, 0), "dead f3 200"},
    {AT(15, 8, 0), "stock p4 from f3 all"},
    {AT(20, 8, 0), "dead p4 30"},
    {AT(30, 8, 0), "harvest p4 6.4kg 50 fish 110g"},
    {AT(31, 8, 0), "move p4 p5 all 8g"},
    {AT(40, 8, 0), "sold p5 all"},
};

/* What is said instead of a row, and what puts the row right later. */
struct slip {
    const char *right, *wrong, *fix;
    const char *until; /* the last row after which the fix still means that one; NULL: any */
};

static const struct slip slips[] = {
    {"inject f3 1.2kg t26", "inject f3 1.3kg t26", "fix f3 1.2kg", NULL},
    {"inject f3 1.2kg t26", "inject f3 1.2kg t25", "fix f3 t26", NULL},
    {"strip f3 150g", "strip f3 140g", "fix f3 150g", NULL},
    {"strip f3 150g", "strip f3 250g", "fix f3 150g", NULL},
    {"white f3 20", "white f3 40", "fix f3 20", "frames f3"},
    {"white f3 20", "fertile f3 50", "fix f3 80", "frames f3"},
    {"hatch f3 60%", "hatch f3 40%", "fix f3 60%", NULL},
    {"hatch f3 60%", "hatch f3 30000", "fix f3 60%", NULL},
    {"dead f3 200", "dead f3 2000", "fix f3 200", NULL},
    {"dead p4 30", "dead p4 300", "fix p4 30", "dead p4 30"},
    {"harvest p4 6.4kg 50 fish 110g", "harvest p4 12kg 50 fish 110g", "fix p4 6.4kg", NULL},
    {"harvest p4 6.4kg 50 fish 110g", "harvest p4 6.4kg 60 fish 110g", "fix p4 50", NULL},
    {"harvest p4 6.4kg 50 fish 110g", "harvest p4 6.4kg 50 fish 150g", "fix p4 110g", NULL},
    {"move p4 p5 all 8g", "move p4 p5 all 9g", "fix p5 8g", NULL},
};

static uint64_t digest(struct stage *s) {
    if (farm_fold(&s->farm))
        fail_msg("the farm could not be folded");
    return farm_digest(&s->farm.state);
}

static int row_of(const char *text) {
    for (int i = 0; i < (int)(sizeof season / sizeof season[0]); i++)
        if (strcmp(season[i].text, text) == 0)
            return i;
    fail_msg("no such row: %s", text);
    return -1;
}

/* Says so many rows of the season, a slip in its place, the fix after row `after`. */
static uint64_t played(struct stage *s, const struct slip *slip, int after, int count) {
    stage_empty(s);
    for (int i = 0; i < count; i++) {
        bool here = slip && strcmp(season[i].text, slip->right) == 0;
        stage_text(s, season[i].at_s, OWNER, here ? slip->wrong : season[i].text);
        if (!s->turn.entry_count)
            fail_msg("\"%s\" recorded nothing: %s", season[i].text, stage_got(s, OWNER, 0));
        if (!slip || i != after)
            continue;
        stage_text(s, season[i].at_s + 60, OWNER, slip->fix);
        bool old = season[i].at_s + 60 - season[row_of(slip->right)].at_s > (int64_t)6 * 3600;
        if (old) { /* shown first: it is long ago */
            if (s->turn.entry_count || s->turn.question_count != 1 ||
                s->turn.questions[0].asked != CONFIRM_BASE + CONFIRM_OLD)
                fail_msg("\"%s\" after \"%s\" was not shown: %s", slip->fix, season[i].text,
                         stage_got(s, OWNER, 0));
            stage_text(s, season[i].at_s + 61, OWNER, "yes");
        }
        if (!s->turn.entry_count)
            fail_msg("\"%s\" after \"%s\": %s", slip->fix, season[i].text, stage_got(s, OWNER, 0));
    }
    return digest(s);
}

static void a_fix_is_as_if_said_right(void **state) {
    struct stage *s = *state;
    int rows = (int)(sizeof season / sizeof season[0]);
    for (size_t k = 0; k < sizeof slips / sizeof slips[0]; k++) {
        uint64_t right = played(s, NULL, 0, rows);
        if (played(s, &slips[k], -1, rows) == right)
            fail_msg("\"%s\" for \"%s\" makes no difference", slips[k].wrong, slips[k].right);
        int last = slips[k].until ? row_of(slips[k].until) : rows - 1;
        for (int after = row_of(slips[k].right); after <= last; after++) {
            if (played(s, &slips[k], after, rows) != right)
                fail_msg("\"%s\" for \"%s\" after \"%s\" is not as if it were said at once",
                         slips[k].fix, slips[k].wrong, season[after].text);
        }
    }
}

/* -- asked and refused ---------------------------------------------------------------------------
 */

/* The farm of the season, so many rows of it; then a fix by a phone, and what is answered. */
static const struct {
    const char *after; /* the last row said */
    const char *fix;
    int phone;
    const char *answer;
    int question; /* code of the one that is open then; -1 none */
} fixes[] = {
    {"strip f3 150g", "fix f3 500g", OWNER,
     "F3: 500g of eggs from 1.2kg? That is over a quarter of her. Bowl wet, digit slipped? YES if "
     "right, else the grams",
     CONFIRM_BASE + CONFIRM_WET},
    {"strip f3 150g", "fix f3 0.1kg 04:20", OWNER,
     "STRIP F3 now 100g 04:20, was 150g 04:35. 60000 eggs, 45x45cm, 130 litres. Half hatch Wed "
     "05:20, frames out by Wed 21:35. Wrong? UNDO",
     -1},
    {"strip f3 150g", "fix f3 140g 50", OWNER,
     "Nothing of that sort was reported about F3. Text it as a new report. Nothing changed", -1},
    {"inject f4 1kg t26", "fix f4 8kg", OWNER,
     "F4 8kg? Most females to strip weigh 0.3-2kg. YES if it is right, else answer with the weight",
     CONFIRM_BASE + CONFIRM_FEMALE},
    {"white f3 20", "fix f3 120", OWNER,
     "120 white of 100 cannot be. Count 100 eggs, text WHITE, tag, number. Nothing recorded", -1},
    {"hatch f3 60%", "fix f3 50", OWNER,
     "F3: 50 percent, or 50 larvae? Answer 50% or the count of larvae in full", SLOT_COUNT},
    {"hatch f3 60%", "fix f3 200000", OWNER,
     "F3: 200000 from about 90000 eggs? That is more than were stripped. YES if counted so, else "
     "answer with the count",
     CONFIRM_BASE + CONFIRM_MANY},
    {"dead f3 200", "fix f3 90000", OWNER,
     "F3: 90000 dead of at most 43000 thought alive? YES if it is right, else answer with the "
     "count",
     CONFIRM_BASE + CONFIRM_MANY},
    {"dead p4 30", "fix p4 99999", OWNER, NULL, CONFIRM_BASE + CONFIRM_MANY},
    {"harvest p4 6.4kg 50 fish 110g", "fix p4 640kg", OWNER, NULL, CONFIRM_BASE + CONFIRM_MANY},
    {"strip f3 150g", "fix f3 140g", WORKER,
     "\"strip f3 150g\": another phone said it. That phone or the owner puts it right. Nothing "
     "changed",
     -1},
    {"strip f3 150g", "fix f3 140g", ADVISER,
     "\"strip f3 150g\": another phone said it. That phone or the owner puts it right. Nothing "
     "changed",
     -1},
    {"strip f3 150g", "fix f3 140g", WATCHER,
     "This phone watches and reports, it puts nothing right. Tell the owner what is right. Nothing "
     "changed",
     -1},
    {"strip f3 150g", "fix f3 150g", OWNER, "STRIP F3 is noted as 150g already. Nothing changed",
     -1},
    {"strip f3 150g", "fix f3 23:00 yesterday", OWNER,
     "F3, injected Mon 18:30, has no eggs yet Mon 23:00. Stripped then? YES. Else answer the hour. "
     "Nothing changed",
     CONFIRM_BASE + CONFIRM_EARLY},
    {"strip f3 150g", "fix f3 18:32 yesterday", OWNER,
     "F3, injected Mon 18:30, has no eggs yet Mon 18:30. Stripped then? YES. Else answer the hour. "
     "Nothing changed",
     CONFIRM_BASE + CONFIRM_EARLY},
    {"dead f3 200", "fix f3 01:00", OWNER,
     "\"dead f3 200\" was 08:00, now 01:00? YES if it is right, NO leaves it",
     CONFIRM_BASE + CONFIRM_HOUR},
    {"strip f3 150g", "fix f3 18:00 yesterday", OWNER,
     "F3: Mon 18:00 is before Mon 18:30, when it began. Text it again with the right hour. Nothing "
     "recorded",
     -1},
};

static void a_fix_is_asked_like_a_report(void **state) {
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof fixes / sizeof fixes[0]; i++) {
        int rows = row_of(fixes[i].after) + 1;
        uint64_t before = played(s, NULL, 0, rows);
        stage_text(s, season[rows - 1].at_s + 120, fixes[i].phone, fixes[i].fix);
        const char *got = stage_got(s, fixes[i].phone, 0);
        int asked = s->turn.question_count ? (int)s->turn.questions[0].asked : -1;
        if ((fixes[i].answer && strcmp(got, fixes[i].answer) != 0) || asked != fixes[i].question)
            fail_msg("\"%s\" after \"%s\": question %d, \"%s\"", fixes[i].fix, fixes[i].after,
                     asked, got);
        bool recorded = digest(s) != before;
        if (recorded != (strncmp(got, "STRIP F3 now", 12) == 0))
            fail_msg("\"%s\" after \"%s\": recorded %d", fixes[i].fix, fixes[i].after, recorded);
        if (asked < CONFIRM_BASE)
            continue;
        stage_text(s, season[rows - 1].at_s + 180, fixes[i].phone, "yes");
        if (digest(s) == before)
            fail_msg("\"%s\" and yes: nothing recorded, \"%s\"", fixes[i].fix,
                     stage_got(s, fixes[i].phone, 0));
    }
}

/* -- who is told ---------------------------------------------------------------------------------
 */

/* At 24 degC the first look is twelve hours after the injection (FAO 362's table): no eggs are
 * there before eight tenths of it, 04:06. An hour put right is asked as a first one, and the answer
 * to it is another hour. */
static void a_strip_made_too_early_is_asked(void **state) {
    struct stage *s = *state;
    static const char asked[] = "F3, injected Mon 18:30, has no eggs yet 02:00. Stripped then? "
                                "YES. Else answer the hour. Nothing changed";
    static const struct {
        const char *answer;
        int64_t stripped_s;
    } rows[] = {{"yes", AT(TUE, 2, 0)}, {"no", AT(TUE, 6, 35)}, {"04:30", AT(TUE, 4, 30)}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 18, 30), WORKER, "inject f3 1.2kg 18:30 t24");
        stage_text(s, AT(MON, 18, 35), WORKER, "inject f4 1kg 18:35 t24");
        stage_text(s, AT(TUE, 6, 35), WORKER, "strip f3 130g 06:35");
        stage_text(s, AT(TUE, 7, 0), WORKER, "fix f3 2:00 am");
        WANT_TEXT(s, WORKER, 0, asked);
        assert_int_equal(s->turn.entry_count, 0);
        stage_text(s, AT(TUE, 7, 1), WORKER, rows[i].answer);
        assert_int_equal(farm_spawn(&s->farm.state, 1)->stripped_s, rows[i].stripped_s);
    }
    stage_empty(s); /* of two in one bowl the one injected last counts */
    stage_text(s, AT(MON, 18, 30), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(MON, 22, 0), WORKER, "inject f4 1kg 22:00 t24");
    stage_text(s, AT(TUE, 9, 50), WORKER, "strip f3 f4 180g 09:50");
    stage_text(s, AT(TUE, 9, 55), WORKER, "fix f3 07:00");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "F4, injected Mon 22:00, has no eggs yet"));
    assert_int_equal(s->turn.entry_count, 0);
}

/* 30000 hatched and 20000 of them went into a pond, 2000 were sold: fewer cannot have hatched. Her
 * 150 g are 90000 eggs, of which 20 were white of 100 counted; a tenth of the others is 7200. */
static void a_hatch_has_what_left_it(void **state) {
    struct stage *s = *state;
    static const struct {
        const char *later, *fix, *asked, *answer;
        int64_t hatched;
    } rows[] = {
        {NULL, "fix f3 20000", NULL, NULL, 20000},
        {NULL, "fix f3 19000",
         "F3: 19000 hatched, but 20000 went or died since? YES if counted so, else answer with the "
         "count hatched",
         "yes", 19000},
        {NULL, "fix f3 2000", "", "23000", 23000},
        {NULL, "fix f3 2000", "", "no", 30000},
        {"sold f3 2000", "fix f3 10%",
         "F3: 7200 hatched, but 22000 went or died since? YES if counted so, else answer with the "
         "count hatched",
         "no", 30000},
        {"sold f3 all", "fix f3 30%", NULL, NULL, 21600},
        {"count f3 5000", "fix f3 10%", NULL, NULL, 7200},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        (void)played(s, NULL, 0, row_of("frames f3") + 1);
        stage_text(s, AT(WED, 17, 10), OWNER, "hatch f3 30000");
        stage_text(s, AT(WED, 17, 20), OWNER, "stock p4 from f3 20000");
        stage_text(s, AT(WED, 17, 20), OWNER, "yes"); /* on their yolk */
        if (rows[i].later)
            stage_text(s, AT(WED, 17, 30), OWNER, rows[i].later);
        stage_text(s, AT(WED, 17, 40), OWNER, rows[i].fix);
        if (rows[i].asked && *rows[i].asked)
            WANT_TEXT(s, OWNER, 0, rows[i].asked);
        assert_int_equal(s->turn.question_count, rows[i].asked != NULL);
        if (rows[i].answer)
            stage_text(s, AT(WED, 17, 41), OWNER, rows[i].answer);
        if (farm_spawn(&s->farm.state, 1)->hatched != rows[i].hatched)
            fail_msg("\"%s\": %lld hatched, wanted %lld", rows[i].fix,
                     (long long)farm_spawn(&s->farm.state, 1)->hatched, (long long)rows[i].hatched);
    }
}

static void who_reported_is_told_once(void **state) {
    struct stage *s = *state;
    played(s, NULL, 0, row_of("inject f4 1kg t26") + 1);
    stage_text(s, AT(TUE, 4, 36), WORKER, "strip f3 150g 04:35");
    stage_text(s, AT(TUE, 4, 40), OWNER, "fix f3 140g");
    WANT_TEXT(s, OWNER, 0,
              "\"strip f3 150g 04:35\" was said 04:35 by another phone. Put it right? YES or NO");
    WANT_NONE(s, WORKER);
    stage_text(s, AT(TUE, 4, 41), OWNER, "yes");
    WANT_TEXT(s, OWNER, 0,
              "STRIP F3 now 140g, was 150g. 84000 eggs, 55x55cm, 180 litres. Half hatch Wed 05:35, "
              "frames out by Wed 21:50. Wrong? UNDO");
    WANT_NONE(s, ADVISER);
    WANT_TEXT(s, WORKER, 0,
              "+447700900001 put right STRIP F3 of 04:35: now 140g, was 150g. Not so? Call");
    WANT_TEXT(s, WORKER, 1, "");
    assert_int_equal(farm_spawn(&s->farm.state, 1)->hands.who[0],
                     s->people[WORKER].id);               /* the hand */
    stage_text(s, AT(TUE, 4, 50), WORKER, "fix f3 145g"); /* it is the owner's text now */
    WANT_TEXT(
        s, WORKER, 0,
        "Nothing changed: another phone put it right: \"fix f3 140g\". That phone can UNDO, or "
        "the owner");
    stage_text(s, AT(TUE, 4, 51), OWNER, "undo");
    WANT_TEXT(
        s, WORKER, 0,
        "\"fix f3 140g\" was taken back by +447700900001. Not so? Call that phone, or text it "
        "again");
    stage_text(s, AT(TUE, 4, 52), WORKER, "fix f3 145g 04:30");
    WANT_NONE(s, OWNER); /* his own text: nobody else's business */
    s->people[WORKER].stopped = true;
    stage_text(s, AT(TUE, 4, 53), OWNER, "undo f3");
    stage_text(s, AT(TUE, 4, 54), OWNER, "yes");
    WANT_NONE(s, WORKER);
}

/* The fish herself put right: whoever was told of her hour hears of her under her own tag. */
static void what_is_told_goes_by_the_right_fish(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "brood f3 1.2kg");
    stage_text(s, AT(MON, 8, 0), OWNER, "brood f4 800g");
    stage_text(s, AT(MON, 18, 30), WORKER, "inject f3 18:30 t25");
    stage_text(s, AT(MON, 18, 33), WORKER, "fix f3 f4");
    stage_text(s, AT(MON, 19, 0), OWNER, "temp 23");
    stage_text(s, AT(MON, 19, 1), OWNER, "yes");
    WANT_TEXT(s, WORKER, 0, "F4 first look has moved: Tue 07:55, no longer Tue 05:30");
    stage_text(s, AT(MON, 19, 5), OWNER, "undo f4"); /* the fish is F3 again */
    stage_text(s, AT(MON, 19, 6), OWNER, "yes");
    stage_text(s, AT(MON, 19, 10), OWNER, "temp 25");
    WANT_TEXT(s, WORKER, 0, "F3 first look has moved: Tue 05:35, no longer Tue 07:55");
    stage_text(s, AT(MON, 19, 12), WORKER, "fix f3 f4");
    stage_text(s, AT(MON, 19, 15), OWNER, "undo f4");
    stage_text(s, AT(MON, 19, 16), OWNER, "yes");
    stage_text(s, AT(MON, 19, 20), OWNER, "undo f3");
    stage_text(s, AT(MON, 19, 21), OWNER, "yes");
    WANT_TEXT(s, WORKER, 1, "F3: nothing to do at Tue 05:35 any more");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_fix_is_as_if_said_right),
        cmocka_unit_test(a_fix_is_asked_like_a_report),
        cmocka_unit_test(who_reported_is_told_once),
        cmocka_unit_test(what_is_told_goes_by_the_right_fish),
        cmocka_unit_test(a_strip_made_too_early_is_asked),
        cmocka_unit_test(a_hatch_has_what_left_it),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
