/* The list of the morning: whose, in which order, what is cut and had back by MORE, what it does
 * not say twice; the week's sums by hand. Hours of looks from the table (24 degC: 12 h; FAO 362).
 */
#include "turn_stage.h"

#include "sms/parts.h"

enum { SIX = 360, FRI = THU + 1, SAT, SUN, NEXT_MON };

static void open_farm(struct stage *s) {
    stage_empty(s);
    for (int i = 0; i < PHONES; i++) {
        s->people[i].lists = true;
        s->people[i].morning_min = SIX;
    }
}

static int texts_to(const struct stage *s, int person) {
    int n = 0;
    for (int i = 0; i < s->turn.text_count; i++)
        n += s->turn.texts[i].person == s->people[person].id;
    return n;
}

#define WANT_TEXTS(stage, person, wanted)                                                          \
    do {                                                                                           \
        if (texts_to((stage), (person)) != (wanted))                                               \
            fail_msg("%s:%d: %d texts to %s, wanted %d; the first: %s", __FILE__, __LINE__,        \
                     texts_to((stage), (person)), #person, (wanted),                               \
                     stage_got((stage), (person), 0));                                             \
    } while (0)

static void pond(struct stage *s, int person, int number) {
    char text[60];
    (void)snprintf(text, sizeof text, "pond p%d 4 ares 1m fenced", number);
    stage_text(s, AT(MON, 8, 0), person, text);
    (void)snprintf(text, sizeof text, "stock p%d 2000 30g", number);
    stage_text(s, AT(MON, 9, number), person, text);
}

/* Rations are the trade's; this is about whose and in which
 * order. */
static void whose(void **state) {
    struct stage *s = *state;
    char first[3], text[700];
    open_farm(s);
    pond(s, OWNER, 1);
    pond(s, WORKER, 2);
    pond(s, WORKER, 3);
    pond(s, OWNER, 4);
    stage_text(s, AT(MON, 20, 32), WORKER, "inject f3 1.2kg 20:30 t24");
    stage_wake(s, AT(TUE, 5, 59), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 0);
    stage_wake(s, AT(TUE, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 1);
    WANT_TEXTS(s, WORKER, 1);
    WANT_TEXTS(s, ADVISER, 0);
    WANT_TEXTS(s, WATCHER, 0);
    (void)snprintf(text, sizeof text, "%s", stage_got(s, WORKER, 0));
    /* his own alone: what has an hour, then the ponds */
    (void)snprintf(first, sizeof first, "%.2s", text);
    assert_string_equal(first, "F3");
    assert_non_null(strstr(text, "F3 look 08:30\nP2 feed "));
    assert_non_null(strstr(text, "\nP3 feed "));
    assert_null(strstr(text, "P1"));
    assert_null(strstr(text, "P4"));
    (void)snprintf(text, sizeof text, "%s", stage_got(s, OWNER, 0));
    /* all of the farm: what has an hour, whoever's it is, then ponds, his own first */
    (void)snprintf(first, sizeof first, "%.2s", text);
    assert_string_equal(first, "F3");
    const char *own = strstr(text, "\nP4 feed "), *look = strstr(text, "F3 look 08:30\n");
    const char *other = strstr(text, "\nP2 feed ");
    assert_true(own && look && other && look < own && own < other && strstr(text, "\nP3 feed "));
    /* once a day, whatever the hour becomes */
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 0);
    stage_text(s, AT(TUE, 6, 40), OWNER, "hours 7:00");
    stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 0);
    stage_wake(s, AT(TUE, 20, 30), OUTCOME_DELIVERED); /* her look is over */
    stage_wake(s, AT(WED, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 0);
    assert_non_null(strstr(stage_got(s, WORKER, 0), "P2 feed "));
    stage_wake(s, AT(WED, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 1);
}

static void nothing(void **state) {
    struct stage *s = *state;
    open_farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p1 4 ares 1m fenced");
    stage_text(s, AT(MON, 8, 5), WORKER, "t26");
    for (int day = TUE; day <= SAT; day++) {
        stage_wake(s, AT(day, 6, 0), OUTCOME_DELIVERED);
        assert_int_equal(s->turn.text_count, 0);
    }
    /* work that a text of the morning brings is answered, the list is of tomorrow */
    stage_text(s, AT(SAT, 9, 0), OWNER, "stock p1 2000 30g");
    WANT_TEXTS(s, OWNER, 1);
    stage_wake(s, AT(SAT, 9, 30), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
    stage_wake(s, AT(SUN, 6, 0), OUTCOME_DELIVERED);
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P1 feed "));
    /* whoever said STOP gets none, and nobody else his */
    s->people[OWNER].stopped = true;
    stage_wake(s, AT(NEXT_MON, 6, 0), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0);
}

/* The farm sleeps until the morning that has something, many days ahead. */
static void days_ahead(void **state) {
    struct stage *s = *state;
    bool wakes = false;
    open_farm(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p1 4 ares 1m fenced");
    stage_text(s, AT(MON, 8, 5), OWNER, "prep p1 10 april"); /* dry it 20 March, at 07:00 */
    for (int i = 0; i < s->turn.wake_count; i++)
        wakes |=
            s->turn.wakes[i].key.kind == TASK_MORNING && s->turn.wakes[i].due_s == AT(18, 6, 0);
    assert_true(wakes);
    stage_wake(s, AT(18, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, OWNER, 0, "P1 dry it");
    stage_wake(s, AT(18, 7, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 1); /* how */
}

/* What was cut comes by MORE, each line once, in the order of the list. */
static void cut(void **state) {
    struct stage *s = *state;
    bool seen[21] = {false};
    int last = 0, texts = 0;
    char text[700];
    open_farm(s);
    for (int i = 1; i <= 20; i++)
        pond(s, OWNER, i);
    stage_wake(s, AT(TUE, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 1);
    (void)snprintf(text, sizeof text, "%s", stage_got(s, OWNER, 0));
    for (bool more = true; more; texts++) {
        struct sms_size size;
        assert_false(sms_measure(slice_of(text), &s->arena, &size));
        assert_true(size.parts <= 2);
        const char *end = strstr(text, " more: text MORE");
        for (const char *at = text; at && *at == 'P';
             at = strchr(at, '\n') ? strchr(at, '\n') + 1 : NULL) {
            int number = 0;
            assert_int_equal(sscanf(at, "P%d feed ", &number), 1);
            assert_true(number > last && number <= 20 && !seen[number]);
            seen[number] = true;
            last = number;
        }
        if (end) { /* how many are left */
            char left[16];
            const char *line = strrchr(text, '\n') + 1;
            (void)snprintf(left, sizeof left, "%d", 20 - last);
            assert_int_equal(strncmp(line, left, (size_t)(end - line)), 0);
        }
        more = end != NULL;
        if (more) {
            stage_text(s, AT(TUE, 6, 10 + texts), OWNER, "more");
            WANT_TEXTS(s, OWNER, 1);
            (void)snprintf(text, sizeof text, "%s", stage_got(s, OWNER, 0));
        }
    }
    assert_int_equal(last, 20);
    assert_true(texts >= 2);
    stage_text(s, AT(TUE, 7, 0), OWNER, "more");
    WANT_TEXT(s, OWNER, 0, "Nothing more to show. TODAY lists what is due");
    stage_text(s, AT(TUE, 7, 1), WORKER, "more");
    WANT_TEXT(s, WORKER, 0, "Nothing more to show. TODAY lists what is due");
    /* what was cut yesterday is over */
    stage_text(s, AT(TUE, 8, 0), OWNER, "today");
    stage_text(s, AT(WED, 8, 1), OWNER, "more");
    WANT_TEXT(s, OWNER, 0, "Nothing more to show. TODAY lists what is due");
}

/* Of very many lines those are had back for which there is room, the others counted: 80 females,
 * of whom 48 are put into words. */
static void counted(void **state) {
    struct stage *s = *state;
    char text[700], want[60];
    int lines = 0, texts = 0;
    open_farm(s);
    for (int i = 1; i <= 80; i++) {
        (void)snprintf(text, sizeof text, "inject f%d 1.2kg 18:30 t24", i);
        stage_text(s, AT(MON, 18, 32), OWNER, text);
    }
    stage_text(s, AT(MON, 18, 40), OWNER, "today");
    for (bool more = true; more && texts < 20; texts++) {
        (void)snprintf(text, sizeof text, "%s", stage_got(s, OWNER, 0));
        for (const char *at = strstr(text, " look "); at; at = strstr(at + 1, " look "))
            lines++;
        more = strstr(text, " more: text MORE") != NULL;
        if (more)
            stage_text(s, AT(MON, 18, 41 + texts), OWNER, "more");
    }
    assert_int_equal(lines, 48);
    (void)snprintf(want, sizeof want, "\n%d more are not shown", 80 - 48);
    assert_non_null(strstr(text, want));
    stage_text(s, AT(MON, 19, 30), OWNER, "more");
    WANT_TEXT(s, OWNER, 0, "Nothing more to show. TODAY lists what is due");
}

/* A report between the list and MORE does not lose the rest. */
static void kept(void **state) {
    struct stage *s = *state;
    open_farm(s);
    for (int i = 1; i <= 15; i++)
        pond(s, OWNER, i);
    stage_wake(s, AT(TUE, 6, 0), OUTCOME_DELIVERED);
    stage_text(s, AT(TUE, 7, 0), OWNER, "dead p3 4");
    stage_text(s, AT(TUE, 7, 5), OWNER, "more");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "P13 feed "));
}

/* Routine of the morning stands in the list and is not told beside it; weighing is due every four
 * weeks (30 days by the book: stocked Monday, so on a Wednesday). */
static void routine_stands_in_it(void **state) {
    struct stage *s = *state;
    open_farm(s);
    pond(s, WORKER, 2);
    int day = -1;
    for (int i = 0; i < s->turn.wake_count; i++)
        if (s->turn.wakes[i].key.kind == TASK_SAMPLE && day < 0)
            day = (int)((s->turn.wakes[i].due_s - MONDAY_S) / 86400);
    assert_true(day > 7);
    for (int i = 1; i < day; i++) {
        stage_wake(s, AT(i, 6, 0), OUTCOME_DELIVERED);
        assert_null(strstr(stage_got(s, WORKER, 0), "weigh"));
    }
    stage_wake(s, AT(day, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXTS(s, WORKER, 1);
    assert_non_null(strstr(stage_got(s, WORKER, 0), "before feeding weigh 30 fish or more"));
    assert_non_null(strstr(stage_got(s, WORKER, 0), "\nP2 feed"));
    bool marked = false;
    for (int i = 0; i < s->told_count; i++)
        marked |= s->told[i].key.kind == TASK_SAMPLE && s->told[i].person == s->people[WORKER].id;
    assert_true(marked);
    stage_wake(s, AT(day, 6, 30), OUTCOME_DELIVERED);
    WANT_TEXTS(s, WORKER, 0);
}

static bool parts(void *context, int64_t from_s, int64_t to_s, int *sent, int *received) {
    (void)context;
    *sent = (int)((from_s - MONDAY_S) / 86400) + 40;
    *received = (int)((to_s - MONDAY_S) / 86400);
    return true;
}

/* By hand: P1 lost 12 + 7 = 19, P2 5, together 24; the twelve of Monday the 9th are of the next
 * week. Fed 3 + 2.5 = 5.5 kg and 1.5 kg, together 7 kg. Sold 100 and 50. */
static void sunday(void **state) {
    struct stage *s = *state;
    open_farm(s);
    pond(s, OWNER, 1);
    pond(s, WORKER, 2);
    stage_text(s, AT(TUE, 8, 0), OWNER, "dead p1 12");
    stage_text(s, AT(WED, 8, 0), WORKER, "dead p1 9");
    stage_text(s, AT(WED, 8, 1), WORKER, "undo");
    stage_text(s, AT(THU, 8, 0), WORKER, "dead p1 7");
    stage_text(s, AT(SAT, 23, 50), WORKER, "dead p2 5");
    stage_text(s, AT(TUE, 16, 0), OWNER, "bought 50kg pellets");
    stage_text(s, AT(TUE, 17, 0), OWNER, "gave p1 3kg pellets");
    stage_text(s, AT(WED, 17, 0), OWNER, "gave p1 2.5kg pellets");
    stage_text(s, AT(WED, 17, 1), OWNER, "gave p2 1.5kg pellets");
    stage_text(s, AT(FRI, 9, 0), OWNER, "sold p1 100");
    stage_text(s, AT(SAT, 9, 0), OWNER, "sold p2 50");
    stage_text(s, AT(SUN, 5, 0), OWNER, "dead p2 12");
    stage_begin(s, AT(SUN, 6, 0));
    s->turn.parts = parts;
    stage_end(s, turn_wake(&s->turn), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 2); /* the list, and the week */
    WANT_TEXTS(s, WORKER, 1);
    const char *week = NULL;
    for (int i = 0; i < 2; i++)
        if (!strncmp(stage_got(s, OWNER, i), "1 Mar to 7 Mar\n", 15))
            week = stage_got(s, OWNER, i);
    assert_non_null(week);
    assert_non_null(strstr(week, "\nDead: 24 fish, P1 19, P2 5\n"));
    assert_non_null(strstr(week, "\nFeed 7kg: P1 5.5kg, P2 1.5kg\n"));
    assert_non_null(strstr(week, "\nMean weight about: P1 30g to "));
    assert_non_null(strstr(week, "\nSold 150 fish\n"));
    /* from Sunday the 1st, a day before Monday the 2nd, to Sunday the 8th */
    assert_non_null(strstr(week, "\nMessages: 39 parts sent, 6 received"));
    stage_wake(s, AT(SUN, 6, 30), OUTCOME_DELIVERED);
    WANT_TEXTS(s, OWNER, 0);
    /* asked for: seven days with today; a worker sees no messages */
    stage_begin(s, AT(SUN, 7, 0));
    stage_text(s, AT(SUN, 7, 0), WORKER, "week");
    assert_non_null(
        strstr(stage_got(s, WORKER, 0), "2 Mar to 8 Mar\nDead: 36 fish, P1 19, P2 17\n"));
    assert_null(strstr(stage_got(s, WORKER, 0), "Messages"));
    stage_text(s, AT(SUN, 7, 1), OWNER, "month");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "1 Mar to 8 Mar\nDead: 36 fish, "));
    stage_text(s, AT(SUN, 7, 2), OWNER, "month february");
    WANT_TEXT(s, OWNER, 0, "Nothing was reported from 1 Feb to 28 Feb");
    stage_text(s, AT(SUN, 7, 3), OWNER, "month april 2026");
    WANT_TEXT(s, OWNER, 0,
              "1 Apr is still to come. MONTH and a month that has begun, like MONTH march");
}

/* Of 2000 fish in the pond order 1 has its 1000; of order 2 about half are left: that one is told
 * first, and only to owners. */
static void orders(void **state) {
    struct stage *s = *state;
    open_farm(s);
    pond(s, OWNER, 1);
    for (int i = 1; i <= 2; i++) {
        struct entry ordered = {
            .seq = farm_head(&s->farm) + 1,
            .at_s = AT(MON, 10, i),
            .said_s = AT(MON, 10, i),
            .message = s->messages,
            .person = s->people[OWNER].id,
            .kind = ENTRY_ORDERED,
            .version = entry_version(ENTRY_ORDERED),
            .subject_kind = SUBJECT_ORDER,
            .subject = i,
            .value = {i * 1000, i == 1 ? 30000 : 2000, AT(18, 12, 0), 0, i * 1000}};
        assert_int_equal(farm_add(&s->farm, &ordered, 1), ERR_OK);
    }
    /* its danger was told */
    s->told[s->told_count++] = (struct told){.key = {TASK_ORDER, 2, 10, STAGE_FIRST},
                                             .person = s->people[OWNER].id,
                                             .hour_s = AT(18, 12, 0),
                                             .told_s = AT(MON, 10, 30),
                                             .outcome = OUTCOME_DELIVERED};
    stage_text(s, AT(TUE, 9, 0), WORKER, "week");
    WANT_TEXT(s, WORKER, 0, "25 Feb to 3 Mar\nMean weight about: P1 30g to 31g");
    stage_text(s, AT(TUE, 9, 1), OWNER, "week");
    WANT_TEXT(s, OWNER, 0,
              "25 Feb to 3 Mar\nMean weight about: P1 30g to 31g\n"
              "Order 2 for 20 Mar in danger: promised 2000, now 940 (4 times in 5)\n"
              "Order 1 for 20 Mar: promised 1000, now 1000 (4 times in 5), middle 1000");
}

/* At a full month's end, and over a year's: February to February. */
static void months(void **state) {
    struct stage *s = *state;
    open_farm(s);
    pond(s, OWNER, 1);
    stage_text(s, AT(29, 23, 0), OWNER, "dead p1 3"); /* 31 March */
    stage_text(s, AT(30, 1, 0), OWNER, "dead p1 4");  /* 1 April */
    stage_text(s, AT(60, 8, 0), OWNER, "month march");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "1 Mar to 31 Mar\nDead: 3 fish, P1 3"));
    stage_text(s, AT(60, 8, 1), OWNER, "month april");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "1 Apr to 30 Apr\nDead: 4 fish, P1 4"));
    stage_text(s, AT(60, 8, 2), OWNER, "month december");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "1 Dec to 31 Dec"));
    stage_text(s, AT(60, 8, 3), OWNER, "month december-april");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "1 Dec to 30 Apr\nDead: 7 fish, P1 7"));
}

/* Whoever read an hour in his list is told when it moves, once; a worker's list has his own work
 * alone, so another worker's hours are none of his. */
static void who_read_an_hour_hears_that_it_moved(void **state) {
    struct stage *s = *state;
    open_farm(s);
    stage_text(s, AT(MON, 18, 30), WORKER, "inject f3 1.2kg t25");
    stage_text(s, AT(TUE, 5, 40), WORKER, "strip f3 100g");
    stage_wake(s, AT(WED, 6, 0), OUTCOME_DELIVERED);
    WANT_TEXT(s, OWNER, 0, "F3 look at frames 14:05, out by Thu 02:15");
    stage_text(s, AT(WED, 6, 10), WORKER, "temp f3 28");
    WANT_TEXT(s, OWNER, 0, "F3 frames: out by 19:20 now, no longer Thu 02:15");
    WANT_TEXTS(s, OWNER, 1);
    WANT_NONE(s, ADVISER);
    WANT_NONE(s, WATCHER);
    stage_text(s, AT(WED, 6, 20), WORKER, "ok");
    WANT_NONE(s, OWNER);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(who_read_an_hour_hears_that_it_moved),
        cmocka_unit_test(whose),
        cmocka_unit_test(nothing),
        cmocka_unit_test(days_ahead),
        cmocka_unit_test(cut),
        cmocka_unit_test(counted),
        cmocka_unit_test(kept),
        cmocka_unit_test(routine_stands_in_it),
        cmocka_unit_test(sunday),
        cmocka_unit_test(months),
        cmocka_unit_test(orders),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
