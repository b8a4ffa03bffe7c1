/* Texts to entries and answers, against one farm: what is recorded, by which instant, what is asked
 * or refused with nothing recorded; and what must hold for any text at all. The hours wanted are
 * worked out by hand from the table of first looks (24 degC: 12 h, 25: 11 h; FAO 362) and of half
 * hatching (25 degC: 27 h). */
#include "turn_stage.h"

#include <stdlib.h>

#include "sms/parts.h"

/* F3 in her tank since Monday 18:30 at 24 degC (first look Tuesday 06:30); F4 injected 17:00 at 25
 * (first look 04:00), stripped at 04:10, 120 g. It is the worker who texts, at 06:35. */
#define NOW_S AT(TUE, 6, 35)
static void one_farm(struct stage *s) {
    stage_empty(s);
    stage_text(s, AT(MON, 17, 2), OWNER, "inject f4 0.9kg 17:00 t25");
    stage_text(s, AT(MON, 18, 32), OWNER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, AT(TUE, 4, 12), WORKER, "strip f4 120g 04:10");
    assert_int_equal(farm_head(&s->farm), 5);
}

/* -- a table of texts ----------------------------------------------------------------------------
 */

#define NOTHING                                                                                    \
    {                                                                                              \
        { 0 }                                                                                      \
    }
#define SPAWN_F4 1
#define SPAWN_F3 2

struct wanted_entry {
    enum entry_kind kind;
    int64_t subject, at_s, v0, v1;
};

static const struct {
    const char *text, *answer;
    struct wanted_entry entries[2];
    int question; /* code of the one that is open then; -1 none */
} texts[] = {
    {"wait f3",
     "F3 not ready 06:35. Look again 07:05. Most are ready by 12:30. Keep her covered and quiet",
     {{ENTRY_NOT_READY, SPAWN_F3, NOW_S, 0, 0}},
     -1},
    {"not yet", /* F3 is the only one not stripped */
     "F3 not ready 06:35. Look again 07:05. Most are ready by 12:30. Keep her covered and quiet",
     {{ENTRY_NOT_READY, SPAWN_F3, NOW_S, 0, 0}},
     -1},
    {"strip f3 150g",
     "F3 150g at 06:35: about 90000 eggs. One layer, 55x55cm, 190 litres or renew water. Half "
     "hatch "
     "Wed 11:35, frames out by Thu 06:25. Wrong? UNDO",
     {{ENTRY_STRIPPED, SPAWN_F3, NOW_S, 150000, 0}},
     -1},
    {"STRIP F3, 0.15 kg at 06:20",
     "F3 150g at 06:20: about 90000 eggs. One layer, 55x55cm, 190 litres or renew water. Half "
     "hatch "
     "Wed 11:20, frames out by Thu 06:10. Wrong? UNDO",
     {{ENTRY_STRIPPED, SPAWN_F3, AT(TUE, 6, 20), 150000, 0}},
     -1},
    {"no eggs f3",
     "F3 gave no eggs 06:35. Put her back gently, no needle before 14 Apr. Wrong? UNDO",
     {{ENTRY_NO_EGGS, SPAWN_F3, NOW_S, 0, 0}},
     -1},
    {"temp f3 23",
     "F3 tank 23C at 06:35. First look 07:15, then each 30 min. Wrong? UNDO",
     {{ENTRY_WATER, SPAWN_F3, NOW_S, 23000, WATER_OWN}},
     -1},
    {"white f4 20 of 50",
     "F4, stripped 04:10: white eggs show from 14:10. Counted? YES. Hour wrong? FIX F4, hour. "
     "Nothing recorded",
     NOTHING, CONFIRM_BASE + CONFIRM_EARLY},
    {"frames f4",
     "F4 frames out 06:35: early, half hatch is Wed 07:10. Eggs still clear on them? Put them back "
     "now and text UNDO",
     {{ENTRY_FRAMES, SPAWN_F4, NOW_S, 0, 0}},
     -1},
    {"inject f3 1.2kg t24",
     "F3 was injected Mon 18:30 and is not closed. Injected again? Answer YES or NO", NOTHING,
     CONFIRM_BASE + CONFIRM_OPEN},
    {"inject f9", "F9: what does she weigh? Answer like 1.2kg", NOTHING, SLOT_WEIGHT},
    {"inject f9 1kg", /* not lost when the question is not answered */
     "F9 1kg injected 06:35. How warm is her tank? Answer the degrees, like 24: no look hour "
     "without. Wrong? UNDO",
     {{ENTRY_INJECTED, 3, NOW_S, 3, 9}},
     SLOT_WATER},
    {"inject f9 5kg t24",
     "F9 5kg? Most females to strip weigh 0.3-2kg. YES if it is right, else answer with the weight",
     NOTHING, CONFIRM_BASE + CONFIRM_FEMALE},
    {"inject", "INJECT: which female? Answer with her tag, like F3", NOTHING, SLOT_TAG},
    {"temp", "How warm is the water? Answer with the degrees, like 24", NOTHING, SLOT_WATER},
    {"temp f3 28",
     "F3 tank 28C at 06:35. First look 04:45, then each 30 min. Wrong? UNDO",
     {{ENTRY_WATER, SPAWN_F3, NOW_S, 28000, WATER_OWN}},
     -1},
    {"temp f4", "F4: how warm is her tank? Answer with the degrees, like 24", NOTHING, SLOT_WATER},
    {"strip f3", "F3: how many grams of dry eggs? Answer like 150g", NOTHING, SLOT_WEIGHT},
    {"strip f3 500g",
     "F3: 500g of eggs from 1.2kg? That is over a quarter of her. Bowl wet, digit slipped? YES if "
     "right, else the grams",
     NOTHING, CONFIRM_BASE + CONFIRM_WET},
    {"white f4", "F4: count 100 eggs. How many are white? Answer with the number", NOTHING,
     SLOT_COUNT},
    {"strip f4 100g",
     "F4 was stripped 04:10. Nothing new recorded. That one wrong? UNDO, then text it again",
     NOTHING, -1},
    {"white f3 10",
     "WHITE: F3 is not stripped yet. First text STRIP F3 and the grams. Nothing recorded", NOTHING,
     -1},
    {"wait f8", "No F8 here. You have F4 F3. Nothing recorded", NOTHING, -1},
    {"wait p1", "P1 is no female: her tag begins with F, like F3. Nothing recorded", NOTHING, -1},
    {"temp f3 24 18:00 yesterday",
     "F3: Mon 18:00 is before Mon 18:30, when it began. Text it again with the right hour. Nothing "
     "recorded",
     NOTHING, -1},
    {"wait f3 07:30",
     "07:30 is still to come: it is 06:35 here. Text it when it is done. Was it yesterday, "
     "add YESTERDAY. Nothing recorded",
     NOTHING, -1},
    {"temp f3 24 20:00 tomorrow",
     "Wed 20:00 is still to come: it is 06:35 here. Text it when it is done. Was it yesterday, "
     "add YESTERDAY. Nothing recorded",
     NOTHING, -1},
    {"temp f3 3c",
     "3C cannot be the water here: it has 8C to 40C. Text it all again with the right degrees. "
     "Nothing recorded",
     NOTHING, -1},
    {"24", "No question is open. Text HELP for the words", NOTHING, -1},
    {"yes", "No question is open. Text HELP for the words", NOTHING, -1},
    {"ok", "Noted. No alarm is waiting for an answer", NOTHING, -1},    /* nobody was told as yet */
    {"today", "F4 count white eggs 14:10\nF3 look 06:30", NOTHING, -1}, /* his own first */
    {"plan f9 6am t28",
     "F9: inject 22:00 for a first look Wed 06:00 at 28C. Amount: DOSE F9. Nothing recorded. Done? "
     "INJECT F9",
     NOTHING, -1},
};

static void texts_by_table(void **state) {
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        one_farm(s);
        s->told_count = 0; /* as if nothing of the night had been told */
        int64_t head = farm_head(&s->farm);
        uint64_t digest = farm_digest(&s->farm.state);
        stage_text(s, NOW_S, WORKER, texts[i].text);
        const struct turn *t = &s->turn;
        const char *got = "";
        for (int k = 0; k < t->text_count && !*got; k++)
            if (t->texts[k].level == LEVEL_ANSWER && t->texts[k].person == s->people[WORKER].id)
                got = arena_str(&s->arena, t->texts[k].body);
        if (strcmp(got, texts[i].answer) != 0)
            fail_msg("\"%s\":\n  got    %s\n  wanted %s", texts[i].text, got, texts[i].answer);
        int wanted = 0;
        while (wanted < 2 && texts[i].entries[wanted].kind)
            wanted++;
        if (t->entry_count != wanted || farm_head(&s->farm) != head + wanted)
            fail_msg("\"%s\": %d entries, wanted %d", texts[i].text, t->entry_count, wanted);
        for (int k = 0; k < wanted; k++) {
            const struct entry *e = &t->entries[k];
            const struct wanted_entry *w = &texts[i].entries[k];
            assert_int_equal(e->kind, w->kind);
            assert_int_equal(e->subject, w->subject);
            assert_int_equal(e->at_s, w->at_s);
            assert_int_equal(e->said_s, NOW_S);
            assert_int_equal(e->value[0], w->v0);
            assert_int_equal(e->value[1], w->v1);
            assert_int_equal(e->person, s->people[WORKER].id);
            assert_int_equal(e->message, s->messages);
            assert_int_equal(e->seq, head + 1 + k);
        }
        if (!wanted && farm_digest(&s->farm.state) != digest)
            fail_msg("\"%s\" changed the farm without an entry", texts[i].text);
        int question = s->asked[WORKER] ? (int)s->questions[WORKER].asked : -1;
        if (question != texts[i].question)
            fail_msg("\"%s\": question %d is open, wanted %d", texts[i].text, question,
                     texts[i].question);
    }
}

/* -- instants ------------------------------------------------------------------------------------
 */

static void the_network_s_hour_counts_when_it_is_believable(void **state) {
    struct stage *s = *state;
    static const struct {
        int64_t sent_s, wanted_s;
    } table[] = {
        {NOW_S - 20 * 60, NOW_S - 20 * 60}, /* held up by the network */
        {0, NOW_S},                         /* not known */
        {NOW_S + 60, NOW_S},                /* a clock a little ahead: never after now */
        {NOW_S + 600, NOW_S},               /* a clock that is wrong */
        {NOW_S - INT64_C(61) * 86400, NOW_S},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        one_farm(s);
        stage_sent(s, NOW_S, table[i].sent_s, WORKER, "temp f4 25");
        assert_int_equal(s->turn.entry_count, 1);
        assert_int_equal(s->turn.entries[0].at_s, table[i].wanted_s);
    }
}

/* A question keeps the instant of the text that began it; its answer comes minutes later. */
static void an_answered_question_keeps_its_instant_and_message(void **state) {
    struct stage *s = *state;
    one_farm(s);
    stage_text(s, NOW_S, WORKER, "strip f3");
    int64_t began = s->messages;
    stage_text(s, NOW_S + 12 * 60, WORKER, "150");
    assert_int_equal(s->turn.entry_count, 1);
    assert_int_equal(s->turn.entries[0].kind, ENTRY_STRIPPED);
    assert_int_equal(s->turn.entries[0].at_s, NOW_S);
    assert_int_equal(s->turn.entries[0].message, began);
    assert_false(s->asked[WORKER]);
    stage_text(s, NOW_S + 13 * 60, WORKER, "undo");
    WANT_TEXT(s, WORKER, 0, "Taken back: strip f3, texted 06:45. All stands as before it");
}

static void a_question_is_over_after_half_an_hour(void **state) {
    struct stage *s = *state;
    one_farm(s);
    stage_text(s, NOW_S, WORKER, "strip f3");
    stage_text(s, NOW_S + 30 * 60, WORKER, "150");
    assert_int_equal(s->turn.entry_count, 1);
    one_farm(s);
    stage_text(s, NOW_S, WORKER, "strip f3");
    stage_text(s, NOW_S + 30 * 60 + 1, WORKER, "150");
    assert_int_equal(s->turn.entry_count, 0);
}

/* -- who may -------------------------------------------------------------------------------------
 */

static void a_watcher_reports_but_takes_nothing_back(void **state) {
    struct stage *s = *state;
    one_farm(s);
    stage_text(s, NOW_S, WATCHER, "temp f4 25");
    assert_int_equal(s->turn.entry_count, 1);
    stage_text(s, NOW_S + 60, WATCHER, "undo");
    WANT_TEXT(s, WATCHER, 0,
              "A watcher reports, and takes nothing back. Please ask the owner: UNDO and the tag "
              "does it. Nothing changed");
    assert_int_equal(s->turn.entry_count, 0);
}

static void an_undo_takes_this_phone_s_newest_only(void **state) {
    struct stage *s = *state;
    one_farm(s);
    uint64_t before = farm_digest(&s->farm.state);
    stage_text(s, NOW_S, WORKER, "temp f4 25.5");
    stage_text(s, NOW_S + 60, OWNER, "temp f3 24.5");
    uint64_t with_owner_s = farm_digest(&s->farm.state);
    stage_text(s, NOW_S + 120, WORKER, "undo");
    WANT_TEXT(s, WORKER, 0, "Taken back: temp f4 25.5, texted 06:35. All stands as before it");
    assert_true(farm_digest(&s->farm.state) != with_owner_s);
    stage_text(s, NOW_S + 180, OWNER, "undo");
    assert_true(farm_digest(&s->farm.state) == before);
}

/* -- any text at all -----------------------------------------------------------------------------
 */

static uint64_t seed_next(uint64_t *seed) { /* splitmix64, Steele, Lea & Flood 2014 */
    uint64_t z = *seed += UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ z >> 30) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ z >> 27) * UINT64_C(0x94d049bb133111eb);
    return z ^ z >> 31;
}

static const char *const pieces[] = {"inject",       "plan",
                                     "temp",         "wait",
                                     "no eggs",      "ok",
                                     "strip",        "white",
                                     "frames",       "undo",
                                     "why",          "today",
                                     "help",         "yes",
                                     "no",           "f3",
                                     "f4",           "f9",
                                     "p2",           "f99999",
                                     "1.2kg",        "150g",
                                     "900g",         "2.5kg",
                                     "t24",          "t22",
                                     "24",           "31c",
                                     "74",           "18:30",
                                     "06:20",        "6am",
                                     "now",          "6",
                                     "of 100",       "130",
                                     "yesterday",    "tomorrow",
                                     "same",         "1,500",
                                     "-3",           "0",
                                     "please",       "purple",
                                     "sindano",      "saa 12",
                                     "jana",         "\xf0\x9f\x90\x9f",
                                     "\xff",         "0.5",
                                     "start",        "language",
                                     "kiswahili",    "english",
                                     "999999999999", "strip f3",
                                     "f3 f4",        "inject f5 1kg t25"};

/* Half of them begin with a kind and a tag, as people's do; the rest is in no order at all. */
static struct slice random_text(struct stage *s, uint64_t *seed) {
    enum { KINDS = 9 };
    static const char *const tags[] = {"f3", "f4", "f5", "f6", ""};
    struct buf b = buf_make_in(&s->arena, 400);
    int words = 1 + (int)(seed_next(seed) % 5);
    if (seed_next(seed) % 2) {
        buf_putf(&b, "%s %s", pieces[seed_next(seed) % KINDS], tags[seed_next(seed) % 5]);
        words = (int)(seed_next(seed) % 3);
    }
    for (int i = 0; i < words; i++) {
        buf_putc(&b, ' ');
        buf_puts(&b, pieces[seed_next(seed) % (sizeof pieces / sizeof *pieces)]);
    }
    return buf_slice(&b);
}

static bool says(const struct turn *t, const char *words) {
    for (int i = 0; i < t->text_count; i++) {
        struct slice body = t->texts[i].body;
        size_t n = strlen(words);
        for (size_t k = 0; k + n <= body.n; k++)
            if (memcmp(body.p + k, words, n) == 0)
                return true;
    }
    return false;
}

static void hold_laws(struct stage *s, struct slice text, uint64_t before, int64_t head,
                      int person) {
    const struct turn *t = &s->turn;
    bool recorded = t->entry_count > 0;
    if (farm_head(&s->farm) != head + t->entry_count)
        fail_msg("\"%.*s\": the farm's head and the entries differ", SLICE_ARG(text));
    if (!recorded && farm_digest(&s->farm.state) != before)
        fail_msg("\"%.*s\" changed the farm without an entry", SLICE_ARG(text));
    if (recorded && (says(t, "Nothing recorded") || says(t, "Hakuna kilichohifadhiwa")))
        fail_msg("\"%.*s\": says nothing was recorded, but it was", SLICE_ARG(text));
    for (int i = 0; i < t->question_count; i++)
        if (recorded && t->questions[i].person == s->people[person].id && t->questions[i].message &&
            t->questions[i].asked >= CONFIRM_BASE)
            fail_msg("\"%.*s\": asks whether, but did it already", SLICE_ARG(text));
    for (int i = 0; i < t->text_count; i++) {
        struct sms_size size;
        assert_int_equal(sms_measure(t->texts[i].body, &s->turn_arena, &size), ERR_OK);
        if (size.parts < 1 || size.parts > 3)
            fail_msg("\"%.*s\": an answer of %d parts: %.*s", SLICE_ARG(text), (int)size.parts,
                     SLICE_ARG(t->texts[i].body));
    }
    struct farm whole = farm_make();
    assert_int_equal(farm_append(&whole, s->farm.entries, s->farm.count), ERR_OK);
    assert_int_equal(farm_fold(&whole), ERR_OK);
    if (farm_digest(&whole.state) != farm_digest(&s->farm.state))
        fail_msg("\"%.*s\": stepped and folded states differ", SLICE_ARG(text));
    farm_free(&whole);
}

static void laws_of_any_text(void **state) {
    struct stage *s = *state;
    uint64_t seed = 20260302;
    int recorded = 0, asked = 0, undone = 0;
    for (int night = 0; night < 200; night++) {
        one_farm(s);
        int64_t now_s = NOW_S;
        for (int i = 0; i < 40; i++) {
            struct slice text = random_text(s, &seed);
            int person = (int)(seed_next(&seed) % 2);
            now_s += 60 * (int64_t)(seed_next(&seed) % 40);
            uint64_t before = farm_digest(&s->farm.state);
            int64_t head = farm_head(&s->farm);
            stage_text(s, now_s, person, arena_str(&s->arena, text));
            hold_laws(s, text, before, head, person);
            recorded += s->turn.entry_count > 0;
            asked += s->turn.question_count > 0;
            bool takes_back = s->turn.entry_count && s->turn.entries[0].kind == ENTRY_UNDO;
            if (!s->turn.entry_count || takes_back || seed_next(&seed) % 4)
                continue;
            /* what was just recorded and is taken back at once leaves no trace */
            stage_text(s, now_s, person, "undo");
            if (s->turn.entry_count && farm_digest(&s->farm.state) != before)
                fail_msg("undo of \"%.*s\" does not give back the state before", SLICE_ARG(text));
            undone += s->turn.entry_count;
        }
    }
    if (recorded < 100 || asked < 100 || undone < 30) /* the texts must reach all of it */
        fail_msg("%d recorded, %d asked, %d taken back", recorded, asked, undone);
}

/* A report so late that the hours it leads to are past says so, and what can still be done; that
 * something was missed is not said on top. */
static void hours_that_are_past_are_not_told_as_to_come(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(TUE, 8, 30), OWNER, "inject f3 1.2kg 09:00 yesterday t26");
    assert_int_equal(s->turn.text_count, 1);
    WANT_TEXT(s, OWNER, 0,
              "F3 1.2kg injected Mon 09:00 at 26C. Time ended 05:00: no squeezing. STRIP F3 "
              "grams hour or NO EGGS F3");
    stage_wake(s, AT(TUE, 8, 35), OUTCOME_DELIVERED);
    assert_int_equal(s->turn.text_count, 0); /* nor later to the same phone: he was told */
    stage_empty(s);
    stage_text(s, AT(MON, 22, 30), OWNER, "inject f3 1.2kg 09:00 t26");
    WANT_TEXT(s, OWNER, 0,
              "F3 1.2kg injected 09:00 at 26C. Look was 19:00: look now. Stripped? STRIP F3 "
              "grams hour. Wrong? UNDO");
    static const struct {
        int64_t now_s;
        const char *wanted;
    } both[] = {{AT(MON, 22, 30), "F5+F6 injected 09:00 at 26C. Look was 19:00: look now. "
                                  "Stripped? STRIP tag grams hour. UNDO"},
                {AT(TUE, 8, 30), "F5+F6 injected Mon 09:00, 26C. Ended 05:00: no "
                                 "squeezing. STRIP tag grams hour or NO EGGS tag"}};
    for (int i = 0; i < 2; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 8, 0), OWNER, "brood f5 1.2kg");
        stage_text(s, AT(MON, 8, 1), OWNER, "brood f6 1.2kg");
        stage_text(s, both[i].now_s, OWNER,
                   i ? "inject f5 f6 09:00 yesterday t26" : "inject f5 f6 09:00 t26");
        WANT_TEXT(s, OWNER, 0, both[i].wanted);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hours_that_are_past_are_not_told_as_to_come),
        cmocka_unit_test(texts_by_table),
        cmocka_unit_test(the_network_s_hour_counts_when_it_is_believable),
        cmocka_unit_test(an_answered_question_keeps_its_instant_and_message),
        cmocka_unit_test(a_question_is_over_after_half_an_hour),
        cmocka_unit_test(a_watcher_reports_but_takes_nothing_back),
        cmocka_unit_test(an_undo_takes_this_phone_s_newest_only),
        cmocka_unit_test(laws_of_any_text),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
