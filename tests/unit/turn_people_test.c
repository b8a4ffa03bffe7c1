/* People by text, one turn at a time: what each text gives back as codes, members and texts, word
 * for word; who may; how codes are drawn. That rows end and hashes fit only what they are for is
 * the desk's (desk_people_test.c). */
#include "turn_people.h"

/* -- asking for a code ----------------------------------------------------------------------------
 */

static void test_code_to_add(void **state) {
    static const struct {
        const char *text;
        enum turn_role role;
        const char *word;
    } asks[] = {{"worker 07700900123", ROLE_WORKER, "WORKER"},
                {"Adviser +44 7700 900123", ROLE_ADVISER, "ADVISER"},
                {"WATCHER 0044 7700 900 123", ROLE_WATCHER, "WATCHER"}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof asks / sizeof asks[0]; i++) {
        char want[200];
        stage_empty(s);
        give_nothing();
        text_in(s, AT(MON, 9, 0), OWNER, asks[i].text);
        const struct turn_new_code *c = &s->turn.new_code;
        assert_int_equal(c->purpose, PURPOSE_ADD);
        assert_int_equal(c->role, asks[i].role);
        SLICE_IS(c->phone, OWNERS);
        SLICE_IS(c->subject, INVITED);
        assert_int_equal(c->until_s, AT(MON, 9, 30));
        (void)snprintf(want, sizeof want,
                       INVITED " as %s text CODE %lld from this phone within 30 minutes. You "
                               "did not ask? Do nothing",
                       asks[i].word, (long long)c->digits);
        assert_string_equal(stage_got(s, OWNER, 0) + strlen("To have "), want);
        assert_int_equal(s->turn.text_count, 1); /* nobody else hears of it */
        assert_int_equal(s->turn.member.farm, 0);
    }
}

static void test_code_to_remove(void **state) {
    struct stage *s = *state;
    char want[200];
    stage_empty(s);
    give_nothing();
    text_in(s, AT(MON, 9, 0), OWNER, "remove 07700900002");
    const struct turn_new_code *c = &s->turn.new_code;
    assert_int_equal(c->purpose, PURPOSE_REMOVE);
    SLICE_IS(c->phone, OWNERS);
    SLICE_IS(c->subject, WORKERS);
    assert_int_equal(c->until_s, AT(MON, 9, 30));
    (void)snprintf(want, sizeof want,
                   "To take " WORKERS " off this farm text CODE %lld from this phone within 30 "
                   "minutes. You did not ask? Do nothing",
                   (long long)c->digits);
    WANT_TEXT(s, OWNER, 0, want);
    assert_int_equal(s->people[WORKER].role, ROLE_WORKER);
}

/* Nothing comes of these but one text. */
static void test_refused(void **state) {
    static const struct {
        int person;
        const char *text, *want;
    } cases[] = {
        {WORKER, "worker 07700900123",
         "Only the owner adds people, changes their work or takes them off. Please ask the owner"},
        {ADVISER, "remove 07700900002",
         "Only the owner adds people, changes their work or takes them off. Please ask the owner"},
        {WATCHER, "adviser 07700900123",
         "Only the owner adds people, changes their work or takes them off. Please ask the owner"},
        {OWNER, "worker 07700900001",
         "That is this phone. Nobody changes his own role or takes himself off: another owner can"},
        {OWNER, "remove 07700900001",
         "That is this phone. Nobody changes his own role or takes himself off: another owner can"},
        {OWNER, "worker 07700900002", WORKERS " is WORKER here already. Nothing changed"},
        {OWNER, "worker +254711223344",
         "I cannot text +254711223344: wrong length, or a country that is not served. Nothing "
         "changed. Check the number"},
        {OWNER, "worker 077009001234",
         "077009001234 is too long: a mobile number has 10 digits after +44/0. Nothing changed. "
         "Count them and text it again"},
        {OWNER, "worker 0770090012",
         "0770090012 is too short: a mobile number has 10 digits after +44/0. Nothing changed. "
         "Count them and text it again"},
        {OWNER, "remove +44770090012",
         "+44770090012 is too short: a mobile number has 10 digits after +44/0. Nothing changed. "
         "Count them and text it again"},
        {OWNER, "worker", "Nothing changed. Text WORKER and the person's telephone number"},
        {OWNER, "remove", "Nothing changed. Text REMOVE and the person's telephone number"},
        {OWNER, "code", "Nothing changed. Text CODE and the six digits that came to this phone"},
        {WORKER, "code 482913", WRONG},
        {WORKER, "join 482913", WRONG},
        {WORKER, "482913", WRONG},
    };
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stage_empty(s);
        give_nothing();
        text_in(s, AT(MON, 9, 0), cases[i].person, cases[i].text);
        WANT_TEXT(s, cases[i].person, 0, cases[i].want);
        assert_int_equal(s->turn.text_count, 1);
        assert_int_equal(s->turn.new_code.purpose, 0);
        assert_int_equal(s->turn.member.farm, 0);
        assert_int_equal(s->turn.code_used, 0);
        assert_int_equal(s->turn.entry_count, 0);
    }
}

static void test_limits(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    given.made = CODES_A_DAY - 1;
    text_in(s, AT(MON, 9, 0), OWNER, "worker 07700900123");
    assert_int_equal(s->turn.new_code.purpose, PURPOSE_ADD);
    given.made = CODES_A_DAY;
    text_in(s, AT(MON, 9, 1), OWNER, "worker 07700900123");
    assert_int_equal(s->turn.new_code.purpose, 0);
    WANT_TEXT(s, OWNER, 0, "Too many codes for one day. Nothing changed. Ask again tomorrow");
    /* the invited phone has had its five, from whomever */
    give(PURPOSE_ADD, ROLE_WORKER, INVITED, ADDS);
    text_in(s, AT(MON, 9, 2), OWNER, "code 482913");
    assert_int_equal(s->turn.new_code.purpose, 0);
    assert_string_equal(sent_to(s, INVITED), "");
    /* a full farm */
    static struct turn_person many[TURN_FARM_PEOPLE_MAX];
    for (int i = 0; i < TURN_FARM_PEOPLE_MAX; i++)
        many[i] = s->people[i < PHONES ? i : WORKER];
    give_nothing();
    stage_begin(s, AT(MON, 9, 3));
    load(&s->turn);
    s->turn.people = many;
    s->turn.people_count = TURN_FARM_PEOPLE_MAX;
    s->turn.sender = OWNER;
    s->turn.sent_s = AT(MON, 9, 3);
    assert_int_equal(turn_take(&s->turn, SLICE("worker 07700900123")), ERR_OK);
    WANT_TEXT(s, OWNER, 0,
              "64 people is the most that a farm can have. Nothing changed. First take somebody "
              "off");
    assert_int_equal(s->turn.new_code.purpose, 0);
}

/* -- a code comes back ----------------------------------------------------------------------------
 */

static void test_right_code_invites(void **state) {
    static const char *const ways[] = {"code 482913", "CODE 482913.", "482913", " 482913 "};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
        char want[200];
        stage_empty(s);
        give_nothing();
        give(PURPOSE_REMOVE, ROLE_NONE, WORKERS, REMOVES);
        give(PURPOSE_ADD, ROLE_WORKER, INVITED, ADDS);
        text_in(s, AT(MON, 9, 0), OWNER, ways[i]);
        assert_int_equal(s->turn.code_used, 72);
        assert_int_equal(s->turn.missed_count, 0);
        const struct turn_new_code *c = &s->turn.new_code;
        assert_int_equal(c->purpose, PURPOSE_JOIN);
        assert_int_equal(c->role, ROLE_WORKER);
        SLICE_IS(c->phone, INVITED);
        SLICE_IS(c->subject, INVITED);
        assert_int_equal(c->until_s, AT(WED, 9, 0));
        WANT_TEXT(s, OWNER, 0,
                  INVITED " is asked to join as WORKER. It can answer for 48 hours. To take that "
                          "back text REMOVE and the number");
        (void)snprintf(want, sizeof want,
                       "Creek wants you as WORKER for fish texts. To agree text JOIN %lld within "
                       "48 hours. Else do nothing",
                       (long long)c->digits);
        assert_string_equal(sent_to(s, INVITED), want);
        assert_int_equal(s->turn.member.farm, 0); /* not before he agrees */
    }
}

static void test_right_code_changes_a_role(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    give(PURPOSE_ADD, ROLE_WATCHER, WORKERS, ADDS);
    text_in(s, AT(MON, 9, 0), OWNER, "code 482913");
    assert_int_equal(s->turn.member.farm, 1);
    assert_int_equal(s->turn.member.role, ROLE_WATCHER);
    SLICE_IS(s->turn.member.phone, WORKERS);
    WANT_TEXT(s, OWNER, 0,
              WORKERS " is WATCHER now, and is told so. Wrong? Text the right role and the number");
    WANT_TEXT(s, WORKER, 0, "Creek: you are WATCHER now. A mistake? Ask the owner");
    /* meanwhile it came about by itself */
    give_nothing();
    give(PURPOSE_ADD, ROLE_WATCHER, WORKERS, ADDS);
    text_in(s, AT(MON, 9, 1), OWNER, "code 482913");
    assert_int_equal(s->turn.member.farm, 0);
    WANT_TEXT(s, OWNER, 0, WORKERS " is WATCHER here already. Nothing changed");
}

/* Owners can take each other off, never themselves: one is always left. */
static void test_right_code_removes(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    s->people[WORKER].role = ROLE_OWNER;
    give(PURPOSE_REMOVE, ROLE_NONE, WORKERS, REMOVES);
    text_in(s, AT(MON, 9, 0), OWNER, "730155");
    assert_int_equal(s->turn.member.farm, 1);
    assert_int_equal(s->turn.member.role, ROLE_NONE);
    SLICE_IS(s->turn.withdrawn, WORKERS);
    WANT_TEXT(s, OWNER, 0,
              WORKERS " is off this farm: it gets no more texts of it and can report nothing. It "
                      "is told so");
    WANT_TEXT(s, WORKER, 0,
              "Creek: you are off this farm and get no more texts about it. A mistake? Ask the "
              "owner");
    assert_int_equal(s->people[WORKER].role, ROLE_NONE);
    /* it is not on the farm any more */
    give_nothing();
    give(PURPOSE_REMOVE, ROLE_NONE, WORKERS, REMOVES);
    text_in(s, AT(MON, 9, 1), OWNER, "code 730155");
    WANT_TEXT(s, OWNER, 0, WORKERS " is not on this farm. If it was invited, that is taken back");
    text_in(s, AT(MON, 9, 2), OWNER, "remove " WORKERS);
    WANT_TEXT(s, OWNER, 0, WORKERS " is not on this farm. If it was invited, that is taken back");
    SLICE_IS(s->turn.withdrawn, WORKERS);
}

/* Who was an owner when he asked, and is none now, gets nothing done. */
static void test_role_is_looked_at_again(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    give(PURPOSE_REMOVE, ROLE_NONE, ADVISERS, REMOVES);
    text_in(s, AT(MON, 9, 0), WORKER, "code 730155");
    WANT_TEXT(s, WORKER, 0, WRONG);
    assert_int_equal(s->turn.member.farm, 0);
}

/* A number of another length is no code: said so, and no try. */
static void test_no_code_at_all(void **state) {
    static const char *const texts[] = {"code 48291", "code 4829130"};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        stage_empty(s);
        give_nothing();
        give(PURPOSE_ADD, ROLE_WORKER, INVITED, ADDS);
        text_in(s, AT(MON, 9, 0), OWNER, texts[i]);
        assert_non_null(strstr(stage_got(s, OWNER, 0), "CODE: I do not understand"));
        assert_int_equal(s->turn.missed_count, 0);
        assert_int_equal(s->turn.code_used, 0);
    }
}

/* A wrong try counts for each code that the text asked for. */
static void test_wrong_tries_count(void **state) {
    static const struct {
        const char *text;
        int missed;
    } tries[] = {{"code 111111", 2},
                 {"join 111111", 1},
                 {"111111", 3},
                 {"code 739104", 2}, /* the right digits by the wrong word */
                 {"join 482913", 1}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof tries / sizeof tries[0]; i++) {
        stage_empty(s);
        give_nothing();
        give(PURPOSE_ADD, ROLE_WORKER, INVITED, ADDS);
        give(PURPOSE_REMOVE, ROLE_NONE, WORKERS, REMOVES);
        give(PURPOSE_JOIN, ROLE_ADVISER, OWNERS, JOINS);
        text_in(s, AT(MON, 9, 0), OWNER, tries[i].text);
        WANT_TEXT(s, OWNER, 0, WRONG);
        if (s->turn.missed_count != tries[i].missed)
            fail_msg("\"%s\": missed %d codes, wanted %d", tries[i].text, s->turn.missed_count,
                     tries[i].missed);
        assert_int_equal(s->turn.code_used, 0);
    }
}

/* Six digits while something else was asked: the code if they fit; if not, a try all the same, else
 * a question would make guessing free. */
static void test_bare_digits_in_a_question(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    text_in(s, AT(MON, 9, 0), OWNER, "inject f3 t24"); /* asks her weight */
    give(PURPOSE_ADD, ROLE_WORKER, INVITED, ADDS);
    text_in(s, AT(MON, 9, 1), OWNER, "111111");
    assert_int_equal(s->turn.missed_count, 1);
    assert_string_not_equal(stage_got(s, OWNER, 0), WRONG); /* it is read as 111 kg, no fish */
    text_in(s, AT(MON, 9, 2), OWNER, "482913");
    assert_int_equal(s->turn.code_used, 71);
    assert_int_equal(s->turn.new_code.purpose, PURPOSE_JOIN);
}

/* -- joining --------------------------------------------------------------------------------------
 */

/* A member of this farm joins another: his texts go where they went. */
static void test_join_of_a_member(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    give(PURPOSE_JOIN, ROLE_ADVISER, ADVISERS, JOINS);
    given.codes[0].asker_farms = 2;
    given.codes[0].asker_language = s->grammar.en;
    s->people[ADVISER].stopped = true;
    text_in(s, AT(MON, 9, 0), ADVISER, "join 739104");
    assert_int_equal(s->turn.code_used, 71);
    assert_int_equal(s->turn.member.farm, 9);
    assert_int_equal(s->turn.member.role, ROLE_ADVISER);
    SLICE_IS(s->turn.member.phone, ADVISERS);
    WANT_TEXT(s, ADVISER, 0,
              "Lakeside: you are ADVISER now. Your texts still go to Creek: to change, text FARM "
              "and a name");
    assert_string_equal(sent_to(s, "+447700900011"),
                        "Lakeside: " ADVISERS
                        " agreed and is ADVISER now. Wrong? Text REMOVE and the number");
    assert_int_equal(s->turn.texts[1].farm, 9); /* a text of that farm, not of this one */
    assert_false(s->people[ADVISER].stopped);
    give_nothing();
    give(PURPOSE_JOIN, ROLE_ADVISER, ADVISERS, JOINS);
    given.codes[0].farm_people = TURN_FARM_PEOPLE_MAX; /* it filled up since */
    text_in(s, AT(MON, 9, 0), ADVISER, "join 739104");
    assert_int_equal(s->turn.member.farm, 0);
}

static bool stranger(struct stage *s, const char *text) {
    static struct turn_person phone;
    bool taken = false;
    phone = (struct turn_person){.phone = SLICE(INVITED), .language = -1};
    stage_begin(s, AT(MON, 9, 0));
    load(&s->turn);
    s->turn.farm = NULL;
    s->turn.farm_id = 0;
    s->turn.farm_name = (struct slice){0};
    s->turn.people = &phone;
    s->turn.people_count = 1;
    assert_int_equal(turn_take_stranger(&s->turn, slice_of(text), &taken), ERR_OK);
    return taken;
}

static void test_join_of_a_stranger(void **state) {
    static const char *const others[] = {"temp 24", "code 739104",        "stop", "help",
                                         "",        "worker 07700900124", "join", "join 1234567",
                                         "\xff"};
    struct stage *s = *state;
    stage_empty(s);
    give_nothing();
    give(PURPOSE_JOIN, ROLE_WORKER, INVITED, JOINS);
    assert_true(stranger(s, "Join 739104"));
    assert_int_equal(s->turn.code_used, 71);
    assert_int_equal(s->turn.member.farm, 9);
    assert_int_equal(s->turn.member.language, s->grammar.en);
    assert_int_equal(s->turn.text_count, 2);
    SLICE_IS(s->turn.texts[0].body, "Lakeside: you are WORKER now. First text HELP for the words. "
                                    "To end all texts from here text STOP");
    assert_string_equal(sent_to(s, "+447700900011"),
                        INVITED " agreed and is WORKER now. Wrong? Text REMOVE and the number");
    assert_true(stranger(s, "739104"));
    assert_int_equal(s->turn.member.language, -1); /* digits are no language */
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        assert_false(stranger(s, others[i]));
        assert_int_equal(s->turn.text_count, 0);
        assert_int_equal(s->turn.missed_count, 0);
        assert_int_equal(s->turn.code_used, 0);
    }
    assert_false(stranger(s, "join 739105"));
    assert_int_equal(s->turn.missed_count, 1);
    assert_int_equal(s->turn.text_count, 0); /* the stranger's answer is the desk's */
}

/* -- chance ---------------------------------------------------------------------------------------
 */

/* Codes are six digits, and even: 200000 of them in 90 equal boxes. Pearson's sum of squares over
 * 89 degrees of freedom lies under 142 in all but 1 of 3000 runs (by the chi-squared distribution:
 * mean 89, standard deviation 13.3, four of them); the seed is fixed. */
static void test_codes_are_even(void **state) {
    enum { DRAWS = 200000, BOXES = 90 };
    struct stage *s = *state;
    static int box[BOXES];
    double sum = 0;
    stage_empty(s);
    give_nothing();
    memset(box, 0, sizeof box);
    struct request r = {.kind = REQUEST_WORKER, .has = 1u << SLOT_PHONE};
    (void)snprintf(r.phone, sizeof r.phone, "07700900123");
    for (int i = 0; i < DRAWS; i++) {
        stage_begin(s, AT(MON, 9, 0));
        load(&s->turn);
        s->turn.sender = OWNER;
        turn_do_add(&s->turn, &r);
        int64_t digits = s->turn.new_code.digits;
        assert_int_equal(s->turn.e, ERR_OK);
        if (digits < CODE_LEAST || digits > CODE_MOST)
            fail_msg("%lld is no code", (long long)digits);
        box[(digits - CODE_LEAST) / 10000]++;
    }
    for (int i = 0; i < BOXES; i++) {
        double off = box[i] - (double)DRAWS / BOXES;
        sum += off * off / ((double)DRAWS / BOXES);
    }
    if (sum > 142)
        fail_msg("the sum of squares is %.1f, wanted under 142", sum);
}

/* Draws above the last whole multiple of the range are thrown away, not folded back. */
static void test_codes_are_not_folded(void **state) {
    struct stage *s = *state;
    struct request r = {.kind = REQUEST_WORKER, .has = 1u << SLOT_PHONE};
    (void)snprintf(r.phone, sizeof r.phone, "07700900123");
    stage_empty(s);
    give_nothing();
    stage_begin(s, AT(MON, 9, 0));
    load(&s->turn);
    s->turn.sender = OWNER;
    memset(s->turn.random, 0xff, sizeof s->turn.random); /* 16777215: not under 18 x 900000 */
    memset(s->turn.random + 6, 0, 3);
    s->turn.random[8] = 7;
    turn_do_add(&s->turn, &r);
    assert_int_equal(s->turn.new_code.digits, CODE_LEAST + 7);
    stage_begin(s, AT(MON, 9, 0));
    load(&s->turn);
    s->turn.sender = OWNER;
    memset(s->turn.random, 0xff, sizeof s->turn.random); /* chance that is broken makes no code */
    turn_do_add(&s->turn, &r);
    assert_int_equal(s->turn.e, ERR_BUG);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_code_to_add),
        cmocka_unit_test(test_code_to_remove),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_right_code_invites),
        cmocka_unit_test(test_right_code_changes_a_role),
        cmocka_unit_test(test_right_code_removes),
        cmocka_unit_test(test_role_is_looked_at_again),
        cmocka_unit_test(test_no_code_at_all),
        cmocka_unit_test(test_wrong_tries_count),
        cmocka_unit_test(test_bare_digits_in_a_question),
        cmocka_unit_test(test_join_of_a_member),
        cmocka_unit_test(test_join_of_a_stranger),
        cmocka_unit_test(test_codes_are_even),
        cmocka_unit_test(test_codes_are_not_folded),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
