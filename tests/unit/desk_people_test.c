/* People by text through a real store: a code goes to the phone that must send it back, fits
 * nothing else and nobody else, and is taken once; who was taken off does not come back by himself;
 * one phone on several farms; and nothing of one farm shows on another. */
#include "desk_bench.h"

#define INVITED "+447700900123"
#define ADVISER "+447700900003" /* of Creek and of Hill */

/* The first run of six digits behind a blank in a text; 0 none. */
static int code_in(const char *text) {
    for (const char *p = text; *p; p++) {
        size_t n = strspn(p, "0123456789");
        if (n == 6 && p > text && p[-1] == ' ')
            return atoi(p);
        p += n ? n - 1 : 0;
    }
    return 0;
}

/* Asks as the owner of Creek and gives the code that came to him. */
static int ask(struct bench *b, const char *text, int64_t now_s) {
    bench_text(b, OWNER, text, now_s);
    int code = code_in(bench_got(b, OWNER));
    if (!code)
        fail_msg("no code after \"%s\": %s", text, bench_got(b, OWNER));
    return code;
}

static void say(struct bench *b, const char *phone, const char *word, int code, int64_t now_s) {
    char text[40];
    (void)snprintf(text, sizeof text, word[0] ? "%s %d" : "%s%d", word, code);
    bench_text(b, phone, text, now_s);
}

/* The invited phone's code. */
static int invite(struct bench *b, const char *phone, const char *text, int64_t now_s) {
    say(b, OWNER, "code", ask(b, text, now_s), now_s + 60);
    int code = code_in(bench_got(b, phone));
    if (!code)
        fail_msg("%s was not invited: %s", phone, bench_got(b, OWNER));
    return code;
}

static int role_on(struct bench *b, int farm, const char *phone) {
    char sql[200];
    (void)snprintf(sql, sizeof sql,
                   "SELECT coalesce(max(m.role), 0) FROM member m JOIN person p ON p.id = m.person"
                   " WHERE m.farm = %d AND p.phone = '%s'",
                   farm, phone);
    return (int)bench_number(b, sql);
}

#define WRONG                                                                                      \
    "That code does not fit, or its time is over. Nothing changed. After 3 wrong tries a code is " \
    "void: then ask anew"
#define STRANGER                                                                                   \
    "This number serves hatcheries that have joined. Please ask the hatchery's owner to add your " \
    "phone"

/* -- joining and leaving -------------------------------------------------------------------------
 */

static void test_join_and_remove(void **state) {
    struct bench *b = *state;
    const int64_t t = AT(MON, 9, 0);
    int code = ask(b, "worker 07700 900123", t), join;
    ROWS(b, 0, "person WHERE phone = '" INVITED "'"); /* nothing stands before it is confirmed */
    ROWS(b, 1, "code WHERE ended = 0 AND purpose = 1 AND phone = '" OWNER "'");
    say(b, OWNER, "code", code, t + 60);
    assert_string_equal(bench_got(b, OWNER),
                        INVITED " is asked to join as WORKER. It can answer for 48 hours. To take "
                                "that back text REMOVE and the number");
    join = code_in(bench_got(b, INVITED));
    assert_non_null(strstr(bench_got(b, INVITED), "Creek wants you as WORKER for fish texts."));
    assert_int_not_equal(join, 0);
    bench_text(b, INVITED, "temp 24", t + 70); /* not yet: a stranger's */
    assert_string_equal(bench_got(b, INVITED), STRANGER);
    say(b, INVITED, "join", join, t + 80);
    assert_string_equal(bench_got(b, INVITED),
                        "Creek: you are WORKER now. First text HELP for the words. To end all "
                        "texts from here text STOP");
    assert_string_equal(bench_got(b, OWNER),
                        INVITED " agreed and is WORKER now. Wrong? Text REMOVE and the number");
    assert_int_equal(role_on(b, CREEK, INVITED), ROLE_WORKER);
    bench_text(b, INVITED, "temp 24", t + 90);
    assert_non_null(strstr(bench_got(b, INVITED), "Hatchery water 24C"));
    /* a question of his goes with him */
    bench_text(b, INVITED, "inject f3 t24", t + 95);
    ROWS(b, 1, "question");
    code = ask(b, "remove 07700900123", t + 100);
    assert_int_equal(role_on(b, CREEK, INVITED), ROLE_WORKER);
    say(b, OWNER, "", code, t + 110); /* the bare digits */
    assert_string_equal(bench_got(b, OWNER),
                        INVITED " is off this farm, gets no texts of it and can "
                                "report nothing. It is told so");
    assert_string_equal(bench_got(b, INVITED), "Creek: you are off this farm and get no more texts "
                                               "about it. A mistake? Ask the owner");
    assert_int_equal(role_on(b, CREEK, INVITED), 0);
    ROWS(b, 0, "question");
    ROWS(b, 1, "person WHERE phone = '" INVITED "' AND farm IS NULL");
    bench_text(b, INVITED, "temp 25", t + 120);
    assert_string_equal(bench_got(b, INVITED), ""); /* a stranger, answered once a day */
    ROWS(b, 1, "ledger");
    ROWS(b, 3, "code WHERE ended = 1");
}

/* The settings still name who was taken off: he is not added again, at no start. */
static void test_removed_stays_removed(void **state) {
    struct bench *b = *state;
    say(b, OWNER, "code", ask(b, "remove " WORKER, AT(MON, 9, 0)), AT(MON, 9, 1));
    assert_int_equal(role_on(b, CREEK, WORKER), 0);
    bench_restart(b);
    bench_farms(b);
    assert_int_equal(role_on(b, CREEK, WORKER), 0);
    ROWS(b, 1, "person WHERE phone = '" WORKER "' AND farm IS NULL");
    /* until the owner wants him again and he agrees */
    say(b, WORKER, "join", invite(b, WORKER, "watcher " WORKER, AT(MON, 10, 0)), AT(MON, 10, 2));
    assert_int_equal(role_on(b, CREEK, WORKER), ROLE_WATCHER);
    bench_restart(b);
    bench_farms(b);
    assert_int_equal(role_on(b, CREEK, WORKER), ROLE_WATCHER); /* nor changed back */
}

static void test_role_changes(void **state) {
    struct bench *b = *state;
    say(b, OWNER, "code", ask(b, "adviser " WORKER, AT(MON, 9, 0)), AT(MON, 9, 1));
    assert_int_equal(role_on(b, CREEK, WORKER), ROLE_ADVISER);
    assert_string_equal(bench_got(b, WORKER),
                        "Creek: you are ADVISER now. A mistake? Ask the owner");
    ROWS(b, 2, "member_history h JOIN person p ON p.id = h.person WHERE p.phone = '" WORKER "'");
}

/* He who goes is told nothing more, also when an alarm of his is due. */
static void test_alarms_pass_from_who_left(void **state) {
    struct bench *b = *state;
    bench_text(b, OWNER, "temp 24", AT(MON, 18, 30));
    bench_night(b, WORKER);
    say(b, OWNER, "code", ask(b, "remove " WORKER, AT(TUE, 6, 20)), AT(TUE, 6, 25));
    bench_flush(b, AT(TUE, 6, 29));
    OK(bench_round(b, AT(TUE, 6, 30), true)); /* her first look */
    assert_string_equal(bench_got(b, WORKER), "");
    assert_non_null(strstr(bench_got(b, OWNER), "F3: look now."));
}

/* -- codes ---------------------------------------------------------------------------------------
 */

/* What a row holds of a code does not show it: no digits, and another hash for each of its ends. */
static void test_only_a_hash_is_kept(void **state) {
    struct bench *b = *state;
    char sql[200];
    int code = ask(b, "worker " INVITED, AT(MON, 9, 0));
    (void)snprintf(sql, sizeof sql,
                   "SELECT count(*) FROM code WHERE instr(hash, CAST('%d' AS BLOB)) OR tries = %d"
                   " OR id = %d",
                   code, code, code);
    assert_int_equal(bench_number(b, sql), 0);
    ROWS(b, 1, "secret WHERE length(bytes) = 32 AND bytes <> zeroblob(32)");
    /* the key survives a restart, and with it the code */
    bench_restart(b);
    ROWS(b, 1, "secret");
    say(b, OWNER, "code", code, AT(MON, 9, 5));
    assert_int_not_equal(code_in(bench_got(b, INVITED)), 0);
}

/* A row with the same hash fits no other phone, farm, purpose, role or person. */
static void test_a_hash_is_of_all_that_it_is_for(void **state) {
    static const char *const changes[] = {"phone = '" WORKER "'", "farm = 2", "purpose = 2",
                                          "role = 3", "subject = '+447700900124'"};
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        char sql[200];
        const int64_t t = AT(MON, 9 + 2 * (int)i, 0) + 86400 * (int64_t)i;
        int code = ask(b, "worker " INVITED, t);
        (void)snprintf(sql, sizeof sql, "UPDATE code SET %s WHERE ended = 0", changes[i]);
        bench_sql(b, sql);
        say(b, i ? OWNER : WORKER, "code", code, t + 5);
        assert_string_equal(bench_got(b, i ? OWNER : WORKER), WRONG);
        bench_sql(b, "UPDATE code SET ended = 5, ended_s = 1 WHERE ended = 0");
    }
    assert_int_equal(role_on(b, CREEK, INVITED), 0);
}

/* Who sends in the owner's name and cannot read his phone has three guesses, and then not even the
 * right one. */
static void test_forged_sender(void **state) {
    struct bench *b = *state;
    int code = ask(b, "worker " INVITED, AT(MON, 9, 0));
    for (int i = 1; i <= CODE_TRIES; i++) {
        say(b, OWNER, i == 2 ? "" : "code", code == 999999 ? 100000 : code + i, AT(MON, 9, i));
        assert_string_equal(bench_got(b, OWNER), WRONG);
    }
    say(b, OWNER, "code", code, AT(MON, 9, 5));
    assert_string_equal(bench_got(b, OWNER), WRONG);
    say(b, OWNER, "", code, AT(MON, 9, 6));
    assert_string_equal(bench_got(b, OWNER), WRONG);
    ROWS(b, 1, "code WHERE ended = 3 AND tries = 3");
    ROWS(b, 0, "person WHERE phone = '" INVITED "'");
    ROWS(b, 0, "dispatch WHERE phone = '" INVITED "'");
    /* and five codes a day */
    for (int i = 1; i < CODES_A_DAY; i++)
        (void)ask(b, "worker " INVITED, AT(MON, 10, i));
    bench_text(b, OWNER, "worker " INVITED, AT(MON, 11, 0));
    assert_string_equal(bench_got(b, OWNER),
                        "Too many codes for one day. Nothing changed. Ask again tomorrow");
    ROWS(b, CODES_A_DAY, "code");
    (void)ask(b, "worker " INVITED, AT(TUE, 9, 1)); /* the first is a day old */
}

/* Without a code, with one, with one that is over: a wrong try is answered by the same words. */
static void test_wrong_says_nothing(void **state) {
    struct bench *b = *state;
    const char *const texts[] = {"code 482913", "482913", "join 482913"};
    for (int i = 0; i < 3; i++) {
        bench_text(b, WORKER, texts[i], AT(MON, 8, i));
        assert_string_equal(bench_got(b, WORKER), WRONG);
    }
    bench_text(b, INVITED, "join 482913", AT(MON, 8, 10));
    assert_string_equal(bench_got(b, INVITED), STRANGER);
    int join = invite(b, INVITED, "worker " INVITED, AT(TUE, 9, 0));
    bench_text(b, INVITED, join == 482913 ? "join 482914" : "join 482913", AT(TUE, 9, 5));
    assert_string_equal(bench_got(b, INVITED), STRANGER);
    ROWS(b, 1, "code WHERE ended = 0 AND purpose = 3 AND tries = 1");
    say(b, INVITED, "join", join, AT(TUE, 9, 6)); /* the second try is right */
    assert_int_equal(role_on(b, CREEK, INVITED), ROLE_WORKER);
}

static void test_codes_run_out(void **state) {
    struct bench *b = *state;
    int code = ask(b, "worker " INVITED, AT(MON, 9, 0));
    say(b, OWNER, "code", code, AT(MON, 9, 30));
    assert_string_equal(bench_got(b, OWNER), WRONG);
    int join = invite(b, INVITED, "worker " INVITED, AT(MON, 10, 0)); /* confirmed at 10:01 */
    say(b, INVITED, "join", join, AT(WED, 10, 1));
    assert_int_equal(role_on(b, CREEK, INVITED), 0);
    join = invite(b, INVITED, "worker " INVITED, AT(WED, 11, 0));
    say(b, INVITED, "join", join, AT(WED, 11, 0) + 48 * 3600 + 59);
    assert_int_equal(role_on(b, CREEK, INVITED), ROLE_WORKER);
    say(b, INVITED, "join", join, AT(WED, 11, 0) + 48 * 3600 + 59); /* twice */
    assert_string_equal(bench_got(b, INVITED), WRONG);
}

/* An invitation that was taken back, or whose owner is no owner any more, is void. */
static void test_invitation_ends(void **state) {
    struct bench *b = *state;
    int join = invite(b, INVITED, "worker " INVITED, AT(MON, 9, 0));
    bench_text(b, OWNER, "remove " INVITED, AT(MON, 9, 5));
    assert_string_equal(bench_got(b, OWNER),
                        INVITED " is not on this farm. If it was invited, that is taken back");
    say(b, INVITED, "join", join, AT(MON, 9, 6));
    assert_int_equal(role_on(b, CREEK, INVITED), 0);
    ROWS(b, 1, "code WHERE ended = 5");
    join = invite(b, INVITED, "worker " INVITED, AT(TUE, 9, 0));
    bench_sql(b, "UPDATE member SET role = 2 WHERE farm = 1 AND role = 1");
    say(b, INVITED, "join", join, AT(TUE, 9, 6));
    assert_int_equal(role_on(b, CREEK, INVITED), 0);
}

/* An invited phone that wants none of it gets no second invitation, until it says START. */
static void test_invited_says_stop(void **state) {
    struct bench *b = *state;
    (void)invite(b, INVITED, "worker " INVITED, AT(MON, 9, 0));
    bench_text(b, INVITED, "stop", AT(MON, 9, 5));
    assert_int_equal(strncmp(bench_got(b, INVITED), "You get no more texts", 21), 0);
    ROWS(b, 1, "person WHERE phone = '" INVITED "' AND stopped = 1 AND farm IS NULL");
    say(b, OWNER, "code", ask(b, "worker " INVITED, AT(TUE, 9, 0)), AT(TUE, 9, 1));
    assert_string_equal(bench_got(b, INVITED), "");
    bench_text(b, INVITED, "start", AT(TUE, 9, 5));
    ROWS(b, 1, "person WHERE phone = '" INVITED "' AND stopped = 0 AND farm IS NULL");
    int join = invite(b, INVITED, "worker " INVITED, AT(TUE, 10, 0));
    bench_text(b, INVITED, "stop", AT(TUE, 10, 5));
    say(b, INVITED, "join", join, AT(TUE, 10, 6)); /* he agrees after all */
    ROWS(b, 1, "person WHERE phone = '" INVITED "' AND stopped = 0 AND farm = 1");
    bench_text(b, "+447700900777", "stop", AT(TUE, 10, 7)); /* nobody asked this one for anything */
    ROWS(b, 0, "person WHERE phone = '+447700900777'");
}

/* The limit of texts in an hour holds for tries, too: what is over it is not read. */
static void test_tries_count_as_texts(void **state) {
    struct bench *b = *state;
    int code = ask(b, "worker " INVITED, AT(MON, 9, 0));
    for (int i = 1; i < b->options.texts_per_hour; i++)
        bench_text(b, OWNER, "today", AT(MON, 9, 1));
    struct desk_item item = bench_in(b, OWNER, "code 482913", AT(MON, 9, 2));
    assert_int_equal(item.fate, STORE_LIMITED);
    char text[20];
    (void)snprintf(text, sizeof text, "code %d", code);
    item = bench_in(b, OWNER, text, AT(MON, 9, 3));
    assert_int_equal(item.fate, STORE_LIMITED);
    ROWS(b, 1, "code WHERE ended = 0 AND tries = 0");
}

/* 2000 codes that must not fit, by a seed: wrong digits, run out, used, voided, from another phone,
 * on another farm. None is ever taken, whatever word stands before it. */
static void test_no_bad_code_is_taken(void **state) {
    enum { TRIES = 2000, WAYS = 6 };
    static const char *const words[] = {"code", "join", ""};
    struct bench *b = *state;
    uint64_t seed = 20260302;
    int64_t t = AT(MON, 6, 0);
    b->options.texts_per_hour = 0;
    desk_reload(b->desk, &b->options);
    for (int i = 0; i < TRIES; i++) {
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        unsigned chance = (unsigned)(seed >> 33);
        int way = (int)(chance % WAYS), word = (int)(chance / WAYS % 3);
        const char *phone = OWNER;
        t += 86400; /* codes are counted by the day */
        int code = ask(b, chance & 64 ? "adviser " INVITED : "remove " WORKER, t);
        if (way == 0)
            code = CODE_LEAST + (code - CODE_LEAST + 1 + (int)(chance % 899999)) % 900000;
        else if (way == 1)
            t += (CODE_MIN + chance % 500) * 60;
        else if (way == 2)
            bench_sql(b, "UPDATE code SET ended = 1, ended_s = made_s WHERE ended = 0");
        else if (way == 3)
            bench_sql(b, "UPDATE code SET ended = 3, ended_s = made_s WHERE ended = 0");
        else
            phone = way == 4 ? WORKER : OTHER_OWNER;
        say(b, phone, words[word], code, t + 1);
        if (strcmp(bench_got(b, phone), WRONG) != 0)
            fail_msg("try %d, way %d, \"%s %d\" from %s: %s", i, way, words[word], code, phone,
                     bench_got(b, phone));
    }
    ROWS(b, 0, "code WHERE purpose = 3");
    ROWS(b, 0, "person WHERE phone = '" INVITED "'");
    assert_int_equal(role_on(b, CREEK, WORKER), ROLE_WORKER);
}

/* -- one phone, several farms
 * ----------------------------------------------------------------------
 */

/* The adviser joins Creek by text, then Hill. */
static void two_farms(struct bench *b) {
    say(b, ADVISER, "join", invite(b, ADVISER, "adviser " ADVISER, AT(MON, 7, 0)), AT(MON, 7, 2));
    bench_text(b, OTHER_OWNER, "adviser " ADVISER, AT(MON, 7, 10));
    say(b, OTHER_OWNER, "code", code_in(bench_got(b, OTHER_OWNER)), AT(MON, 7, 11));
    int join = code_in(bench_got(b, ADVISER));
    assert_int_not_equal(join, 0);
    say(b, ADVISER, "join", join, AT(MON, 7, 12));
    assert_string_equal(bench_got(b, ADVISER), "Hill: you are ADVISER now. Your texts still go to "
                                               "Creek. To change text FARM and a name");
    assert_string_equal(bench_got(b, OTHER_OWNER),
                        ADVISER " agreed and is ADVISER now. Wrong? Text REMOVE and the number");
    assert_string_equal(bench_got(b, OWNER), "");
}

static void test_adviser_of_two_farms(void **state) {
    struct bench *b = *state;
    two_farms(b);
    bench_text(b, ADVISER, "temp 24", AT(MON, 8, 0));
    assert_string_equal(bench_got(b, ADVISER),
                        "Creek: Hatchery water 24C at 08:00: noted. For one tank text TEMP, her "
                        "tag, degrees. Wrong? UNDO");
    ROWS(b, 1, "ledger WHERE farm = 1");
    bench_text(b, ADVISER, "inject f3", AT(MON, 8, 1)); /* asks her weight */
    ROWS(b, 1, "question WHERE farm = 1");
    bench_text(b, ADVISER, "farm hill", AT(MON, 8, 2));
    assert_string_equal(bench_got(b, ADVISER),
                        "Hill: your texts come here from now on. What I asked about another farm "
                        "is dropped");
    bench_text(b, ADVISER, "1.2kg", AT(MON, 8, 3)); /* answers nothing on Hill */
    assert_int_equal(strncmp(bench_got(b, ADVISER), "Hill: ", 6), 0);
    ROWS(b, 0, "ledger WHERE farm = 2");
    ROWS(b, 0, "question");
    bench_text(b, ADVISER, "temp 26", AT(MON, 8, 4));
    ROWS(b, 1, "ledger WHERE farm = 2");
    ROWS(b, 1, "ledger WHERE farm = 1");
    bench_text(b, ADVISER, "farm", AT(MON, 8, 5));
    assert_string_equal(
        bench_got(b, ADVISER),
        "Hill gets your texts. Your farms: Creek, Hill. To change: FARM and a name");
    bench_text(b, ADVISER, "farm cr", AT(MON, 8, 6)); /* a beginning that only one has */
    assert_int_equal(strncmp(bench_got(b, ADVISER), "Creek: your texts come here", 27), 0);
    bench_text(b, ADVISER, "farm lake", AT(MON, 8, 7));
    assert_string_equal(bench_got(b, ADVISER), "Creek: \"lake\" is not one of your farms: Creek, "
                                               "Hill. Text FARM and a name");
    /* taken off the farm that he texts to: his texts go to the other one */
    say(b, OWNER, "code", ask(b, "remove " ADVISER, AT(MON, 9, 0)), AT(MON, 9, 1));
    bench_text(b, ADVISER, "temp 25", AT(MON, 9, 2));
    ROWS(b, 2, "ledger WHERE farm = 2");
    assert_int_equal(strncmp(bench_got(b, ADVISER), "Hatchery water 25C", 18), 0);
}

/* An alarm of the farm that he does not text to: it says which, and is not what OK and WHY mean. */
static void test_unasked_texts_name_their_farm(void **state) {
    struct bench *b = *state;
    two_farms(b);
    bench_text(b, OTHER_OWNER, "temp 24", AT(MON, 18, 30));
    bench_night(b, OTHER_OWNER);
    bench_text(b, OTHER_OWNER, "stop", AT(MON, 19, 0)); /* what is due passes to the adviser */
    bench_flush(b, AT(TUE, 5, 0));
    OK(bench_round(b, AT(TUE, 6, 30), true));
    assert_int_equal(strncmp(bench_got(b, ADVISER), "Hill: F3", 8), 0);
    bench_text(b, ADVISER, "why", AT(TUE, 6, 31));
    assert_int_equal(strncmp(bench_got(b, ADVISER), "Creek: ", 7), 0);
    assert_null(strstr(bench_got(b, ADVISER), "F3"));
    bench_text(b, ADVISER, "farm hill", AT(TUE, 6, 32));
    bench_text(b, ADVISER, "ok", AT(TUE, 6, 33));
    assert_int_equal(strncmp(bench_got(b, ADVISER), "Hill: F3", 8), 0);
}

/* When a hand of two farms was last heard of on one is nothing for the other's owner. */
static void test_heard_is_of_the_farm(void **state) {
    struct bench *b = *state;
    bench_text(b, OTHER_OWNER, "worker " WORKER, AT(MON, 7, 10));
    say(b, OTHER_OWNER, "code", code_in(bench_got(b, OTHER_OWNER)), AT(MON, 7, 11));
    say(b, WORKER, "join", code_in(bench_got(b, WORKER)), AT(MON, 7, 12));
    bench_text(b, WORKER, "temp 24", AT(MON, 18, 30));
    bench_night(b, WORKER);
    bench_text(b, WORKER, "farm hill", AT(MON, 23, 0));
    bench_text(b, WORKER, "temp 25", AT(MON, 23, 40));
    ROWS(b, 1, "person WHERE phone = '" WORKER "' AND heard_s = 1772494800");
    bench_flush(b, AT(TUE, 6, 29));
    bench_flush(b, AT(TUE, 6, 30));
    bench_flush(b, AT(TUE, 6, 45));
    OK(bench_round(b, AT(TUE, 7, 0), true));
    assert_non_null(strstr(bench_got(b, OWNER), "No word from the hatchery since Mon 23:00"));
    ROWS(b, 1, "person WHERE phone = '" WORKER "' AND heard_s = 1772494800");
}

static void test_hours_are_kept(void **state) {
    struct bench *b = *state;
    bench_text(b, WORKER, "hours 5:30am", AT(MON, 9, 0));
    assert_string_equal(bench_got(b, WORKER),
                        "Daily texts come to this phone at 05:30. Alarms and steps come when they "
                        "are due, at any hour");
    ROWS(b, 1, "person WHERE phone = '" WORKER "' AND morning_min = 330");
    ROWS(b, 1, "person WHERE phone = '" OWNER "' AND morning_min = 360");
    ROWS(b, 1, "person_history WHERE what = 3 AND value = '330'");
}

/* -- between farms
 * ---------------------------------------------------------------------------------
 */

enum { SAID_MAX = 400 };
struct said {
    char phone[20], body[700];
};

/* Six digits behind a blank are a code: another one at every run. */
static void mask_codes(char *text) {
    for (char *p = text; *p; p++) {
        size_t n = strspn(p, "0123456789");
        if (n == 6 && p > text && p[-1] == ' ')
            memset(p, '#', n);
        p += n ? n - 1 : 0;
    }
}

static void keep(struct bench *b, struct said *said, int *count) {
    for (int i = 0; i < b->body_count; i++) {
        assert_true(*count < SAID_MAX);
        (void)snprintf(said[*count].phone, sizeof said->phone, "%s", b->phones[i]);
        (void)snprintf(said[*count].body, sizeof said->body, "%s", b->bodies[i]);
        mask_codes(said[(*count)++].body);
    }
}

static void settle(struct bench *b, int64_t now_s, struct said *said, int *count) {
    for (int i = 0; i < 20; i++) {
        OK(bench_round(b, now_s, true));
        keep(b, said, count);
        if (!b->body_count && !b->round.turns)
            return;
    }
    fail_msg("there is no end to what is sent");
}

/* One night and more on both farms, by the minute: the same tags, other numbers. */
static const struct {
    int day, hour, minute;
    const char *phone;
    const char *text;
} night[] = {
    {MON, 18, 0, OTHER_OWNER, "inject f3 2.5kg 17:55 t27"},
    {MON, 18, 1, OWNER, "temp 24"},
    {MON, 18, 2, OTHER_OWNER, "temp 27"},
    {MON, 18, 30, OWNER, "inject f3 1.2kg 18:25 t24"},
    {MON, 18, 31, OTHER_OWNER, "inject f4 2.2kg 18:25 t27"},
    {MON, 18, 32, OWNER, "today"},
    {MON, 18, 33, WORKER, "why f3"},
    {MON, 18, 34, OWNER, "temp f4 24"}, /* there is no F4 here */
    {MON, 18, 35, OWNER, "worker 07700900124"},
    {MON, 18, 36, OTHER_OWNER, "worker 07700900125"},
    {MON, 18, 37, OWNER, "remove 07700900011"}, /* the other farm's owner */
    {MON, 18, 38, OTHER_OWNER, "remove 07700900002"},
    {MON, 18, 39, OWNER, "adviser 07700900002"},
    {MON, 18, 40, OWNER, "farm hill"},
    {MON, 18, 41, OTHER_OWNER, "farm creek"},
    {MON, 18, 42, OWNER, "farm"},
    {MON, 18, 43, OWNER, "help"},
    {MON, 18, 44, WORKER, "plan f4 6am t27"},
    {MON, 18, 45, WORKER, "inject f5"},
    {MON, 18, 46, OTHER_OWNER, "inject f5 900g"},
    {MON, 18, 47, WORKER, "1.5kg"},
    {MON, 19, 0, OTHER_OWNER, "brood f8 2.6kg 14 months from Highland"},
    {MON, 19, 1, OWNER, "brood f8 1.6kg 14 months from Quarry"},
    {MON, 19, 2, OWNER, "brood f8"},
    {MON, 19, 3, OTHER_OWNER, "brood m1 3.1kg from Highland"},
    {MON, 19, 4, OWNER, "ready"},
    {MON, 19, 5, OWNER, "dose f8"},
    {MON, 19, 6, OTHER_OWNER, "tank b1 900 litres"},
    {MON, 19, 7, OWNER, "tank b1"},
    {MON, 19, 8, OWNER, "tank b1 500 litres"},
    {MON, 19, 9, OTHER_OWNER, "pond p1 9 ares depth 0.8m"},
    {MON, 19, 10, OWNER, "pond p1"},
    {MON, 19, 11, OWNER, "pond p1 4 ares depth 0.7m"},
    {MON, 19, 12, OTHER_OWNER, "source well"},
    {MON, 19, 13, OWNER, "air off"},
    {MON, 19, 14, OWNER, "air on"},
    {MON, 19, 15, OWNER, "fix f8 1.7kg"},
    {MON, 19, 16, OTHER_OWNER, "air off"},
    {MON, 22, 10, OWNER, "temp f3 22"},
    {MON, 22, 11, OTHER_OWNER, "temp f3 29"},
    {MON, 22, 12, OWNER, "yes"},
    {TUE, 3, 0, OTHER_OWNER, "strip f3 300g"},
    {TUE, 4, 0, OTHER_OWNER, "wait f4"},
    {TUE, 9, 31, OWNER, "wait f3"},
    {TUE, 9, 50, OWNER, "ok"},
    {TUE, 10, 10, OWNER, "strip f3 150g"},
    {TUE, 10, 11, OWNER, "undo"},
    {TUE, 10, 12, OTHER_OWNER, "undo"},
    {TUE, 10, 13, OWNER, "strip f3 140g"},
    {TUE, 20, 30, OTHER_OWNER, "white 10"},
    {TUE, 20, 31, OWNER, "white 30"},
    {TUE, 20, 32, OWNER, "why"},
    {TUE, 21, 0, WORKER, "stop"},
    {TUE, 21, 1, OTHER_OWNER, "hours 7am"},
    {WED, 8, 0, OTHER_OWNER, "hatch f3 20000"},
    {THU, 6, 0, OWNER, "frames f3"},
    {THU, 6, 1, OWNER, "today"},
    {THU, 6, 2, OWNER, "why f3"},
    {THU, 6, 3, OWNER, "no eggs f3"},
    {THU, 6, 4, OWNER, "what"},
};

static int play_night(struct bench *b, bool hill_too, struct said *said) {
    int count = 0;
    int64_t t = AT(MON, 17, 59);
    for (size_t i = 0; i < sizeof night / sizeof night[0]; i++) {
        const int64_t at_s = AT(night[i].day, night[i].hour, night[i].minute);
        bool hill = strcmp(night[i].phone, OTHER_OWNER) == 0;
        for (; t < at_s; t += 60)
            if (desk_next(b->desk) <= t)
                settle(b, t, said, &count);
        if (hill && !hill_too)
            continue;
        struct desk_item item = bench_in(b, night[i].phone, night[i].text, at_s);
        OK(item.e);
        settle(b, at_s, said, &count);
    }
    return count;
}

static int only(struct said *said, int count, bool creek) {
    int n = 0;
    for (int i = 0; i < count; i++)
        if ((strcmp(said[i].phone, OTHER_OWNER) == 0) != creek)
            said[n++] = said[i];
    return n;
}

/* What Creek is told does not depend on what happens on Hill: the same texts, byte for byte and in
 * the same order, whether Hill is silent or works beside it with the same tags. And Hill's name,
 * numbers and phones stand in none, nor Creek's in Hill's. */
static void test_nothing_leaks(void **state) {
    static struct said alone[SAID_MAX], beside[SAID_MAX], hill[SAID_MAX];
    static const char *const of_hill[] = {"Hill",  "900011", "900125", "2.5kg", "2.2kg",  "ighland",
                                          "2.6kg", "3.1kg",  "29C",    "300g",  "F5 900g"};
    static const char *const of_creek[] = {"Creek", "900001", "900124", "1.2kg", "1.5kg", "uarry",
                                           "1.6kg", "1.7kg",  "24C",    "22C",   "150g"};
    struct bench *b = *state;
    int count = play_night(b, false, alone);
    count = only(alone, count, true);
    bench_close(state);
    bench_open(state);
    b = *state;
    int total = play_night(b, true, beside), hills;
    memcpy(hill, beside, sizeof hill);
    hills = only(hill, total, false);
    total = only(beside, total, true);
    assert_true(count > 40 && hills > 15);
    for (int i = 0; i < count && i < total; i++) {
        assert_string_equal(beside[i].phone, alone[i].phone);
        assert_string_equal(beside[i].body, alone[i].body);
    }
    assert_int_equal(total, count);
    for (int i = 0; i < total; i++)
        for (size_t k = 0; k < sizeof of_hill / sizeof of_hill[0]; k++)
            /* what he named himself may be said back to him */
            if (strstr(beside[i].body, of_hill[k]) && !strstr(beside[i].body, "900011 is not on"))
                fail_msg("to %s: %s", beside[i].phone, beside[i].body);
    for (int i = 0; i < hills; i++)
        for (size_t k = 0; k < sizeof of_creek / sizeof of_creek[0]; k++)
            if (strstr(hill[i].body, of_creek[k]))
                fail_msg("to %s: %s", hill[i].phone, hill[i].body);
}

int main(void) {
#define EACH(test) cmocka_unit_test_setup_teardown(test, bench_open, bench_close)
    const struct CMUnitTest tests[] = {
        EACH(test_join_and_remove),
        EACH(test_removed_stays_removed),
        EACH(test_role_changes),
        EACH(test_alarms_pass_from_who_left),
        EACH(test_only_a_hash_is_kept),
        EACH(test_a_hash_is_of_all_that_it_is_for),
        EACH(test_forged_sender),
        EACH(test_wrong_says_nothing),
        EACH(test_codes_run_out),
        EACH(test_invitation_ends),
        EACH(test_invited_says_stop),
        EACH(test_tries_count_as_texts),
        EACH(test_no_bad_code_is_taken),
        EACH(test_adviser_of_two_farms),
        EACH(test_unasked_texts_name_their_farm),
        EACH(test_heard_is_of_the_farm),
        EACH(test_hours_are_kept),
        EACH(test_nothing_leaks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
