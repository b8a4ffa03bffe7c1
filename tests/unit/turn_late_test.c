/* turn_late: a text that arrives late changes nothing in the end. Seasons whose texts name their
 * hour are replayed with every single text late, and with seeded choices of several; at the end the
 * state and the plan must be those of the season on time. Numbers that the farm gives out (of
 * spawns, brood fish, cycles) are compared by the order of what happened, since they are given in
 * the order of saying. A doubt that only lateness raised is answered with YES.
 *
 * A text passes the following ones until one needs it: one of the same phone about the same
 * subject (a network keeps those in order), or one that has no meaning without it (white eggs
 * without a strip). When the network does not say when a text was sent it is never later than
 * BLIND_MOST_S, so that an hour without a day still names the same day; when it does, a text may be
 * days late. */
#include "turn_stage.h"

#include "turn_even.h"

enum {
    BLIND_MOST_S = 11 * 3600,
    SENT_MOST_S = 46 * 3600,
    TEXTS_MAX = 80,
    SUBSETS = 1000,
    SEED = 20260302,
    YES_MOST = 4,
    LATE_LEAST = 60
};

struct said {
    int64_t at_s;
    int person;
    const char *text;
};

#define DAY(d, h, m) AT((d), (h), (m))
#define A            OWNER
#define B            WORKER
#define C            ADVISER

/* A night that gets colder, two females, one gives no eggs; larvae, a pond, a part sold. */
static const struct said cold_night[] = {
    {DAY(0, 16, 0), A, "brood f3 1.2kg"},
    {DAY(0, 16, 1), A, "brood f4 1kg"},
    {DAY(0, 16, 2), A, "brood m1 1.5kg"},
    {DAY(0, 16, 3), A, "source river"},
    {DAY(0, 16, 4), A, "pond p4 4 ares 0.8m fenced"},
    {DAY(0, 17, 33), C, "temp 24 17:30"},
    {DAY(0, 18, 32), B, "inject f3 1.2kg 18:30 t24"},
    {DAY(0, 18, 52), B, "inject f4 1kg 18:50 t24"},
    {DAY(0, 20, 3), C, "temp 23.5 20:00"},
    {DAY(0, 22, 6), B, "temp f3 23 22:05"},
    {DAY(0, 22, 9), C, "temp f4 23.5 22:08"},
    {DAY(1, 0, 31), C, "no air 00:30"},
    {DAY(1, 1, 12), B, "air on 01:10"},
    {DAY(1, 4, 1), C, "temp f3 22.5 04:00"},
    {DAY(1, 6, 41), C, "wait f3 06:40"},
    {DAY(1, 6, 44), B, "wait f4 06:43"},
    {DAY(1, 7, 36), B, "strip f3 150g 07:35 m1"},
    {DAY(1, 7, 42), C, "wait f4 07:41"},
    {DAY(1, 9, 2), C, "temp 23 09:00"},
    {DAY(1, 9, 32), A, "no eggs f4 09:30"},
    {DAY(1, 17, 42), C, "white f3 20 17:40"},
    {DAY(1, 18, 2), A, "temp f3 24 18:00"},
    {DAY(2, 8, 3), A, "temp f3 24 08:00"},
    {DAY(2, 16, 31), B, "frames f3 16:30"},
    {DAY(2, 16, 52), C, "hatch f3 60% 16:50"},
    {DAY(4, 8, 31), B, "fed f3 08:30"},
    {DAY(5, 7, 31), C, "dead f3 400 07:30"},
    {DAY(6, 7, 41), A, "dead f3 300 07:40"},
    {DAY(11, 9, 1), B, "grade f3 500 09:00"},
    {DAY(15, 8, 1), C, "count f3 24000 08:00"},
    {DAY(16, 9, 31), A, "sold f3 2000 09:30"},
    {DAY(16, 17, 1), B, "stock p4 9000 from f3 17:00"},
    {DAY(17, 10, 1), A, "sold f3 3000 10:00"},
};

/* Two females in one tank and one bowl, a power cut, another evening's female with her eggs lost.
 */
static const struct said one_bowl[] = {
    {DAY(0, 9, 0), A, "brood f3 1.2kg"},
    {DAY(0, 9, 1), A, "brood f4 1kg"},
    {DAY(0, 9, 2), A, "brood f6 800g"},
    {DAY(0, 9, 3), A, "brood m1 1.5kg"},
    {DAY(0, 9, 4), A, "brood m2 1.2kg"},
    {DAY(0, 9, 5), A, "source well"},
    {DAY(0, 9, 6), A, "tank b2 500 litres"},
    {DAY(0, 18, 33), B, "inject f3 f4 18:30 t26 b2"},
    {DAY(0, 20, 2), C, "temp f4 26 20:00"},
    {DAY(0, 21, 32), C, "temp b2 25.5 21:30"},
    {DAY(1, 0, 32), A, "temp f3 25 00:30"},
    {DAY(0, 23, 2), C, "temp 25 23:00"},
    {DAY(1, 2, 2), B, "temp b2 25 02:00"},
    {DAY(1, 5, 12), C, "wait f3 05:10"},
    {DAY(1, 5, 16), B, "strip f3 f4 250g 05:15 m1 m2"},
    {DAY(1, 8, 2), A, "temp 25.5 08:00"},
    {DAY(1, 12, 31), C, "no air 12:30"},
    {DAY(1, 14, 2), A, "air on 14:00"},
    {DAY(1, 15, 31), C, "fertile f3 85 15:30"},
    {DAY(1, 19, 2), B, "inject f6 800g 19:00 t25.5"},
    {DAY(1, 22, 2), C, "temp f6 25 22:00"},
    {DAY(2, 6, 11), B, "strip f6 80g 06:10"},
    {DAY(2, 9, 2), C, "temp f3 25 09:00"},
    {DAY(2, 13, 1), B, "frames f3 13:00"},
    {DAY(2, 13, 32), C, "hatch f3 80000 13:30"},
    {DAY(2, 16, 31), C, "white f6 62 16:30"},
    {DAY(2, 17, 31), A, "spoilt f6 17:30"},
    {DAY(4, 7, 1), B, "fed f3 07:00"},
    {DAY(6, 7, 1), C, "dead f3 1500 07:00"},
    {DAY(12, 8, 1), B, "grade f3 1000 08:00"},
    {DAY(14, 8, 1), C, "count f3 40000 08:00"},
    {DAY(15, 8, 1), A, "sold f3 9000 08:00"},
};

/* Ponds: prepared for a day, with quicklime and its pH; fry moved in, graded, dead, harvested. */
static const struct said ponds[] = {
    {DAY(0, 8, 0), A, "pond p4 4 ares 0.8m fenced"},
    {DAY(0, 8, 1), A, "pond p5 2 ares 0.8m"},
    {DAY(0, 8, 2), A, "prep p4 25 march"},
    {DAY(0, 8, 3), A, "prep p5 26 march"},
    {DAY(2, 7, 31), B, "prep p4 dry 07:30"},
    {DAY(3, 7, 31), C, "prep p5 dry 07:30"},
    {DAY(9, 7, 31), B, "prep p4 quicklime 07:30"},
    {DAY(9, 8, 31), C, "prep p5 carbonate 08:30"},
    {DAY(13, 8, 1), C, "prep p4 ph 9.5 08:00"},
    {DAY(16, 7, 31), B, "prep p4 manured 07:30"},
    {DAY(17, 7, 31), C, "prep p5 manured 07:30"},
    {DAY(18, 8, 1), A, "prep p4 ph 8.3 08:00"},
    {DAY(20, 7, 31), B, "prep p4 filled 07:30"},
    {DAY(21, 7, 31), C, "prep p5 filled 07:30"},
    {DAY(23, 17, 1), A, "stock p4 12000 fry 0.1g 17:00"},
    {DAY(24, 17, 1), B, "stock p5 4000 fry 0.1g 17:00"},
    {DAY(26, 6, 31), C, "dead p4 40 06:30"},
    {DAY(30, 6, 31), B, "dead p5 30 06:30"},
    {DAY(37, 8, 1), B, "grade p4 300 08:00"},
    {DAY(38, 8, 1), C, "grade p5 100 08:00"},
    {DAY(44, 8, 1), C, "count p4 7000 08:00"},
    {DAY(45, 6, 31), A, "dead p4 25 06:30"},
    {DAY(46, 9, 1), A, "sold p5 500 09:00"},
    {DAY(53, 8, 1), B, "harvest p4 6.4kg 50 fish 110g 08:00"},
    {DAY(54, 6, 31), A, "dead p4 15 06:30"},
    {DAY(54, 7, 1), B, "grade p4 20 07:00"},
    {DAY(54, 9, 1), C, "harvest p4 900 fish 09:00 all"},
    {DAY(54, 9, 31), A, "harvest p5 1200 fish 09:30"},
};

/* Fingerlings that grow: samples, losses, big ones out, more of them in, and a part sold. */
static const struct said growing[] = {
    {DAY(0, 8, 0), A, "pond p2 4 ares 0.9m fenced"},
    {DAY(0, 8, 1), A, "pond p3 4 ares 0.9m fenced"},
    {DAY(0, 9, 1), A, "stock p2 1000 fish 5kg 09:00"},
    {DAY(0, 9, 31), B, "stock p3 800 fish 8kg 09:30"},
    {DAY(10, 6, 31), C, "dead p2 12 06:30"},
    {DAY(20, 8, 1), B, "sample p2 30 fish 0.4kg 08:00"},
    {DAY(21, 8, 31), C, "stolen p2 40 08:30"},
    {DAY(22, 8, 1), A, "sample p3 30 fish 0.7kg 08:00"},
    {DAY(23, 6, 31), B, "dead p3 9 06:30"},
    {DAY(40, 8, 1), C, "sample p2 30 fish 0.9kg 08:00"},
    {DAY(41, 8, 31), B, "count p2 900 08:30"},
    {DAY(42, 9, 1), A, "sample p3 30 33 41 36 29 38 35 44 31 28 08:30"},
    {DAY(60, 8, 1), B, "harvest p2 60 fish 6kg big 08:00"},
    {DAY(60, 9, 31), A, "sold p2 50 fish 3kg 09:30"},
    {DAY(61, 7, 1), C, "stolen p3 25 07:00"},
    {DAY(62, 8, 1), B, "grade p3 80 08:00"},
    {DAY(75, 8, 1), C, "sample p2 40 fish 4kg 08:00"},
    {DAY(76, 8, 31), A, "sample p3 40 fish 3.6kg 08:30"},
    {DAY(76, 9, 1), B, "dead p2 3 09:00"},
    {DAY(90, 8, 1), C, "harvest p3 500 fish 60kg 08:00"},
    {DAY(90, 10, 1), A, "harvest p3 100 fish 12kg 10:00 all"},
};

struct season {
    const char *name;
    const struct said *texts;
    int count;
};
#define SEASON(s)                                                                                  \
    { #s, s, (int)(sizeof(s) / sizeof *(s)) }
static const struct season seasons[] = {SEASON(cold_night), SEASON(one_bowl), SEASON(ponds),
                                        SEASON(growing)};
enum { SEASONS = sizeof seasons / sizeof *seasons };

/* -- what needs what ----------------------------------------------------------------------------
 */

/* "inject", "prep": the word of the text. */
static bool word_is(const char *text, const char *words) {
    size_t n = strcspn(text, " ");
    for (const char *w = words; *w; w += strcspn(w, "|"), w += *w == '|')
        if (strcspn(w, "|") == n && strncmp(w, text, n) == 0)
            return true;
    return false;
}

/* The nth tag of a text: its letter and number as one value; 0: no more. */
static int tag_of(const char *text, int nth) {
    for (const char *p = text; *p; p++) {
        bool begins = p > text && p[-1] == ' ' && strchr("fmbp", *p) && p[1] >= '0' && p[1] <= '9';
        if (begins && nth-- == 0)
            return *p * 1000 + atoi(p + 1);
    }
    return 0;
}

static bool share_tag(const char *a, const char *b) {
    for (int i = 0; tag_of(a, i); i++)
        for (int k = 0; tag_of(b, k); k++)
            if (tag_of(a, i) == tag_of(b, k))
                return true;
    return false;
}

/* Whether `later` may not overtake `text`. */
static bool needs(const struct said *later, const struct said *text) {
    const char *a = text->text, *b = later->text;
    if (!tag_of(a, 0) || !tag_of(b, 0))
        return later->person == text->person && !tag_of(a, 0) && !tag_of(b, 0);
    if (!share_tag(a, b))
        return false;
    if (later->person == text->person)
        return true;
    if (word_is(a, "inject|brood|pond|tank|stock"))
        return true;
    if (word_is(a, "strip"))
        return !word_is(b, "wait|temp");
    if (word_is(a, "frames"))
        return word_is(b, "fed|dead|grade|count|sold|stock");
    if (word_is(a, "harvest"))
        return word_is(b, "harvest");
    return false;
}

/* Hours stand in the text or it is never late. */
static bool may_be_late(const struct said *s) {
    return strchr(s->text, ':') != NULL;
}

/* The order in which the texts arrive: each late one passes as many as it may. How many did. */
static int order_late(const struct season *season, const bool *late, int64_t most_s, int *order) {
    int moved = 0;
    for (int i = 0; i < season->count; i++)
        order[i] = i;
    for (int i = season->count - 1; i >= 0; i--) {
        const struct said *text = &season->texts[i];
        if (!late[i] || !may_be_late(text))
            continue;
        int at = 0;
        while (order[at] != i)
            at++;
        while (at + 1 < season->count && !needs(&season->texts[order[at + 1]], text) &&
               season->texts[order[at + 1]].at_s - text->at_s < most_s) {
            order[at] = order[at + 1];
            order[++at] = i;
        }
        moved += order[i] != i;
    }
    return moved;
}

/* -- replay ---------------------------------------------------------------------------------------
 */

/* The sender was asked back; a question that a reminder left open is none of these. */
static bool asked_back(const struct stage *s, int person) {
    return s->asked[person] && s->questions[person].message;
}

static void answer_doubt(struct stage *s, int64_t now_s, int person, const char *text) {
    for (int i = 0; i < YES_MOST && asked_back(s, person); i++) {
        if (s->questions[person].asked < CONFIRM_BASE)
            fail_msg("\"%s\" was asked back: %s", text, stage_got(s, person, 0));
        stage_sent(s, now_s, 0, person, "yes");
    }
}

/* Plays the texts in the order given and writes out what stands at the end. */
static void replay(struct stage *s, const struct season *season, const int *order, bool sent_known,
                   struct buf *out) {
    int64_t now_s = 0;
    stage_empty(s);
    s->people[ADVISER].role = ROLE_WORKER;
    for (int i = 0; i < season->count; i++) {
        const struct said *text = &season->texts[order[i]];
        now_s = text->at_s > now_s ? text->at_s : now_s + 1;
        stage_sent(s, now_s, sent_known ? text->at_s : 0, text->person, text->text);
        answer_doubt(s, now_s, text->person, text->text);
        s->told_count = 0; /* the plan is compared, not what was told on the way */
    }
    const struct farm_state even = even_state(&s->farm.state, &s->turn_arena);
    even_put_state(out, &even);
    for (int day = 0; day < season->count; day += 3) /* as it stands at the hour of some texts */
        even_put_plan(out, &even, season->texts[day].at_s);
}

/* Which texts were late, and the first line that differs. */
static void tell_difference(const struct season *season, const bool *late, const char *on_time,
                            const char *got) {
    print_error("%s, late:\n", season->name);
    for (int i = 0; i < season->count; i++)
        if (late[i] && may_be_late(&season->texts[i]))
            print_error("  %s\n", season->texts[i].text);
    even_tell(on_time, got);
}

static bool same_late(struct stage *s, const struct season *season, const bool *late,
                      bool sent_known, struct buf *on_time, int *moved) {
    int order[TEXTS_MAX];
    struct buf got = buf_make(1024 * 1024);
    *moved += order_late(season, late, sent_known ? SENT_MOST_S : BLIND_MOST_S, order) > 0;
    replay(s, season, order, sent_known, &got);
    bool same = strcmp(buf_str(on_time), buf_str(&got)) == 0;
    if (!same)
        tell_difference(season, late, buf_str(on_time), buf_str(&got));
    buf_free(&got);
    return same;
}

static void play_on_time(struct stage *s, const struct season *season, struct buf *out) {
    int order[TEXTS_MAX];
    for (int i = 0; i < season->count; i++)
        order[i] = i;
    replay(s, season, order, false, out);
    assert_int_equal(buf_err(out), ERR_OK);
}

/* On time every text is taken: a season whose texts are refused would prove nothing. */
static void every_text_is_taken(void **state) {
    struct stage *s = *state;
    for (int k = 0; k < SEASONS; k++) {
        const struct season *season = &seasons[k];
        stage_empty(s);
        s->people[ADVISER].role = ROLE_WORKER;
        for (int i = 0; i < season->count; i++) {
            const struct said *text = &season->texts[i];
            int before = s->farm.count;
            stage_sent(s, text->at_s, 0, text->person, text->text);
            if (s->farm.count == before || asked_back(s, text->person))
                fail_msg("%s: \"%s\" was not taken: %s", season->name, text->text,
                         stage_got(s, text->person, 0));
        }
    }
}

static void each_text_late(void **state) {
    struct stage *s = *state;
    int wrong = 0, moved = 0;
    for (int k = 0; k < SEASONS; k++) {
        struct buf on_time = buf_make(1024 * 1024);
        play_on_time(s, &seasons[k], &on_time);
        for (int i = 0; i < seasons[k].count; i++) {
            bool late[TEXTS_MAX] = {false};
            late[i] = true;
            wrong += !same_late(s, &seasons[k], late, false, &on_time, &moved);
            wrong += !same_late(s, &seasons[k], late, true, &on_time, &moved);
        }
        buf_free(&on_time);
    }
    assert_int_equal(wrong, 0);
    assert_true(moved >= LATE_LEAST);
}

/* xorshift64 (Marsaglia 2003). */
static uint64_t next_random(uint64_t *x) {
    *x ^= *x << 13;
    *x ^= *x >> 7;
    *x ^= *x << 17;
    return *x;
}

static void many_texts_late(void **state) {
    struct stage *s = *state;
    uint64_t random = SEED;
    int wrong = 0, moved = 0;
    for (int k = 0; k < SEASONS; k++) {
        struct buf on_time = buf_make(1024 * 1024);
        play_on_time(s, &seasons[k], &on_time);
        for (int n = k; n < SUBSETS && wrong < 3; n += SEASONS) {
            bool late[TEXTS_MAX];
            uint64_t one_in = 2 + next_random(&random) % 6;
            for (int i = 0; i < seasons[k].count; i++)
                late[i] = next_random(&random) % one_in == 0;
            wrong += !same_late(s, &seasons[k], late, n / SEASONS % 2, &on_time, &moved);
        }
        buf_free(&on_time);
    }
    assert_true(wrong || moved >= SUBSETS * 3 / 4);
    if (wrong)
        fail_msg("seed %d", SEED);
}

/* The check itself: another order of what needs each other is seen. */
static void another_farm_differs(void **state) {
    struct stage *s = *state;
    struct season shorter = seasons[0];
    struct buf whole = buf_make(1024 * 1024), part = buf_make(1024 * 1024);
    play_on_time(s, &seasons[0], &whole);
    shorter.count--;
    play_on_time(s, &shorter, &part);
    assert_string_not_equal(buf_str(&whole), buf_str(&part));
    buf_free(&whole);
    buf_free(&part);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_text_is_taken),
        cmocka_unit_test(each_text_late),
        cmocka_unit_test(many_texts_late),
        cmocka_unit_test(another_farm_differs),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
