/* A person's farms, his hours and what his role allows: what each text changes, word for word. */
#include "turn_people.h"

/* -- farms and hours ------------------------------------------------------------------------------
 */

static void two_farms(struct stage *s) {
    stage_empty(s);
    give_nothing();
    given.farms[0] = (struct turn_farm){1, SLICE("Creek")};
    given.farms[1] = (struct turn_farm){2, SLICE("Hill Farm")};
    given.farms[2] = (struct turn_farm){3, SLICE("Hill")};
    given.farms[3] = (struct turn_farm){4, SLICE("H\xc3\xb4tel")};
    given.farm_count = 4;
    s->people[ADVISER].farms = 4;
}

static void test_farm(void **state) {
    static const struct {
        const char *text;
        int64_t chosen;
        const char *want;
    } asks[] = {
        {"farm", 0,
         "Creek gets your texts. Your farms: Creek, Hill Farm, Hill, Hotel. To "
         "change: FARM and a name"},
        {"farm hill", 3,
         "Hill: your texts come here from now on. What I asked about another farm "
         "is dropped"},
        {"farm HILL FARM", 2,
         "Hill Farm: your texts come here from now on. What I asked about "
         "another farm is dropped"},
        {"farm hill f", 2,
         "Hill Farm: your texts come here from now on. What I asked about "
         "another farm is dropped"},
        {"FARM H\xc3\x94TEL", 4,
         "Hotel: your texts come here from now on. What I asked about another "
         "farm is dropped"},
        {"farm creek", 0,
         "Creek: your texts come here from now on. What I asked about another "
         "farm is dropped"},
        {"farm h", 0,
         "Creek: \"h\" is not one of your farms: Creek, Hill Farm, Hill, "
         "Hotel. Text FARM and a name"},
        {"farm lakeside", 0,
         "Creek: \"lakeside\" is not one of your farms: Creek, Hill "
         "Farm, Hill, Hotel. Text FARM and a name"},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof asks / sizeof asks[0]; i++) {
        two_farms(s);
        s->people[ADVISER].about = (struct about){ABOUT_LOOK, 1, {0}};
        text_in(s, AT(MON, 9, 0), ADVISER, asks[i].text);
        if (s->turn.farm_chosen != asks[i].chosen)
            fail_msg("\"%s\" chose %lld", asks[i].text, (long long)s->turn.farm_chosen);
        assert_string_equal(stage_got(s, ADVISER, 0), asks[i].want);
        /* why means nothing of the other farm */
        assert_int_equal(s->people[ADVISER].about.kind,
                         asks[i].chosen ? ABOUT_NOTHING : ABOUT_LOOK);
    }
    stage_empty(s);
    give_nothing();
    given.farms[0] = (struct turn_farm){1, SLICE("Creek")};
    given.farm_count = 1;
    text_in(s, AT(MON, 9, 0), OWNER, "farm");
    WANT_TEXT(s, OWNER, 0, "Your texts go to Creek. You have no other farm");
}

/* More farms than a text can name. */
static void test_many_farms(void **state) {
    enum { MANY = 30 };
    struct stage *s = *state;
    static struct turn_farm farms[MANY];
    static char names[MANY][12];
    two_farms(s);
    for (int i = 0; i < MANY; i++) {
        (void)snprintf(names[i], sizeof names[i], "Pond %d", i + 1);
        farms[i] = (struct turn_farm){i + 1, slice_of(names[i])};
    }
    stage_begin(s, AT(MON, 9, 0));
    load(&s->turn);
    s->turn.farms = farms;
    s->turn.farm_count = MANY;
    s->turn.sender = ADVISER;
    s->turn.sent_s = AT(MON, 9, 0);
    assert_int_equal(turn_take(&s->turn, SLICE("farm")), ERR_OK);
    WANT_TEXT(s, ADVISER, 0,
              "Creek gets your texts. Your farms: Pond 1, Pond 2, Pond 3, Pond 4 +26. To change: "
              "FARM and a name");
}

/* Every text to a phone of several farms says which, an alarm to advisers only once. */
static void test_texts_name_the_farm(void **state) {
    struct stage *s = *state;
    two_farms(s);
    s->people[OWNER].farms = 2;
    text_in(s, AT(MON, 18, 30), OWNER, "temp 24");
    WANT_TEXT(s, OWNER, 0,
              "Creek: Hatchery water 24C at 18:30: noted. For one tank text TEMP, her tag, "
              "degrees. Wrong? UNDO");
    text_in(s, AT(MON, 18, 30), WORKER, "inject f3 1.2kg 18:30");
    assert_int_equal(strncmp(stage_got(s, WORKER, 0), "New: F3", 7), 0);
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 6, 45), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED);
    assert_int_equal(strncmp(stage_got(s, OWNER, 0), "Creek: F3 was due", 17), 0);
    stage_wake(s, AT(TUE, 6, 30) + ALARM_ADVISER_MIN * 60, OUTCOME_DELIVERED);
    assert_int_equal(strncmp(stage_got(s, ADVISER, 0), "Creek: F3 look was due", 22), 0);
}

static void test_hours(void **state) {
    static const struct {
        const char *text;
        int min;
        const char *clock;
    } asks[] = {{"hours 6am", 360, "06:00"},
                {"hours 05:30", 330, "05:30"},
                {"hours 00:00", 0, "00:00"},
                {"hours 23:55", 1435, "23:55"}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof asks / sizeof asks[0]; i++) {
        char want[200];
        stage_empty(s);
        give_nothing();
        s->people[WORKER].morning_min = 17;
        text_in(s, AT(MON, 9, 0), WORKER, asks[i].text);
        (void)snprintf(want, sizeof want,
                       "Daily texts come to this phone at %s. Alarms and steps come when they are "
                       "due, at any hour",
                       asks[i].clock);
        WANT_TEXT(s, WORKER, 0, want);
        assert_int_equal(s->people[WORKER].morning_min, asks[i].min);
        assert_true(s->people[WORKER].changed);
    }
    stage_empty(s);
    text_in(s, AT(MON, 9, 0), WORKER, "hours");
    WANT_TEXT(s, WORKER, 0,
              "At which hour shall the daily texts come to this phone? Like HOURS 6am");
    text_in(s, AT(MON, 9, 1), WORKER, "7am");
    assert_int_equal(s->people[WORKER].morning_min, 420);
}

/* A watcher reports (that is his role) but could not take it back: what ends a spawn, a fish or a
 * pond's cycle is asked before it is recorded. */
static void test_watcher_is_asked_before_the_end(void **state) {
    static const char *const ends[] = {"no eggs f3", "dead f3", "harvest p4 all", "sold p4 all",
                                       "merge p4 into p5"};
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    text_in(s, AT(MON, 7, 0), OWNER, "pond p4 4 ares 0.8m");
    text_in(s, AT(MON, 7, 1), OWNER, "stock p4 4000 fry 0.1g");
    text_in(s, AT(MON, 7, 2), WORKER, "inject f3 1.2kg 07:00 t24");
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        text_in(s, AT(MON, 9, 0), WATCHER, ends[i]);
        assert_int_equal(s->turn.entry_count, 0);
        assert_int_equal(s->turn.question_count, 1);
    }
    text_in(s, AT(MON, 9, 1), WATCHER, "spoilt f3");
    WANT_TEXT(s, WATCHER, 0,
              "SPOILT F3 closes it, and only the owner could take it back. Is it so? YES or NO. "
              "Nothing recorded");
    text_in(s, AT(MON, 9, 2), WATCHER, "no eggs f3");
    text_in(s, AT(MON, 9, 3), WATCHER, "yes");
    assert_int_equal(s->turn.entries[0].kind, ENTRY_NO_EGGS);
    text_in(s, AT(MON, 9, 4), WATCHER, "undo");
    assert_int_equal(s->turn.entry_count, 0);
    text_in(s, AT(MON, 9, 5), OWNER, "undo f3");
    text_in(s, AT(MON, 9, 6), OWNER, "yes");
    text_in(s, AT(MON, 9, 7), WORKER, "no eggs f3"); /* nobody else is asked */
    assert_int_equal(s->turn.entry_count, 1);
}

/* Advisers and watchers report and read; a watcher takes nothing back. */
static void test_roles(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    text_in(s, AT(MON, 9, 0), WATCHER, "temp 24");
    assert_int_equal(s->turn.entry_count, 1);
    text_in(s, AT(MON, 9, 1), WATCHER, "undo");
    assert_int_equal(s->turn.entry_count, 0);
    text_in(s, AT(MON, 9, 2), ADVISER, "temp 25");
    assert_int_equal(s->turn.entry_count, 1);
    text_in(s, AT(MON, 9, 3), ADVISER, "undo");
    assert_int_equal(s->turn.entry_count, 1);
    text_in(s, AT(MON, 9, 4), WATCHER, "today");
    WANT_TEXT(s, WATCHER, 0,
              "Nothing is due. When a female is injected text INJECT, tag, weight, hour, water");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_farm),
        cmocka_unit_test(test_many_farms),
        cmocka_unit_test(test_texts_name_the_farm),
        cmocka_unit_test(test_hours),
        cmocka_unit_test(test_roles),
        cmocka_unit_test(test_watcher_is_asked_before_the_end),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
