/* Whose work a spawn or a pond is, when several report on it: to whom reminders go, one turn at a
 * time. The rule is the service's own: the last worker who reported, else an owner. */
#include "turn_stage.h"

/* The worker injects in the evening; the first look is at half past six. */
static void evening(struct stage *s, int who) {
    stage_empty(s);
    stage_text(s, AT(MON, 18, 32), who, "inject f3 1.2kg 18:30 t24");
    assert_true(s->turn.entry_count > 0);
}

static void ready_goes_to(struct stage *s, int who) {
    stage_wake(s, AT(MON, 22, 0), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 5, 45), OUTCOME_DELIVERED);
    for (int i = 0; i < PHONES; i++) {
        bool got = stage_got(s, i, 0)[0] != 0;
        if (got != (i == who))
            fail_msg("phone %d got %d texts to get ready, the work is phone %d's", i, (int)got,
                     who);
    }
}

static void a_word_of_others_does_not_take_the_work(void **state) {
    static const struct {
        int who;
        const char *text;
    } words[] = {{OWNER, "temp f3 24"},
                 {ADVISER, "temp f3 24"},
                 {WATCHER, "temp f3 24"},
                 {OWNER, "tank b2 f3"},
                 {OWNER, "fix f3 1.3kg"}};
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        evening(s, WORKER);
        stage_text(s, AT(MON, 19, 0), words[i].who, words[i].text);
        if (s->turn.question_count) /* what another one said is seen before it is put right */
            stage_text(s, AT(MON, 19, 1), words[i].who, "yes");
        assert_true(s->turn.entry_count > 0);
        ready_goes_to(s, WORKER);
    }
}

static void whoever_alone_reported_has_it(void **state) {
    struct stage *s = *state;
    evening(s, OWNER);
    ready_goes_to(s, OWNER);
    evening(s, ADVISER); /* no worker, then the owner's */
    ready_goes_to(s, OWNER);
    evening(s, OWNER);
    stage_text(s, AT(MON, 19, 0), WORKER, "temp f3 24");
    ready_goes_to(s, WORKER);
}

static void of_two_workers_the_last_one_has_it(void **state) {
    struct stage *s = *state;
    evening(s, WORKER);
    s->people[ADVISER].role = ROLE_WORKER;
    stage_text(s, AT(MON, 19, 0), ADVISER, "temp f3 24");
    stage_text(s, AT(MON, 19, 5), OWNER, "temp f3 24.5");
    ready_goes_to(s, ADVISER);
}

/* Taken back, it is as if it had never been said. */
static void an_undo_gives_the_work_back(void **state) {
    struct stage *s = *state;
    evening(s, OWNER);
    stage_text(s, AT(MON, 19, 0), WORKER, "temp f3 24");
    stage_text(s, AT(MON, 19, 1), WORKER, "undo");
    ready_goes_to(s, OWNER);
}

static void who_has_left_has_no_work(void **state) {
    struct stage *s = *state;
    evening(s, WORKER);
    s->people[WORKER].role = ROLE_NONE;
    ready_goes_to(s, OWNER);
    stage_wake(s, AT(TUE, 6, 30), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 6, 45), OUTCOME_DELIVERED);
    stage_wake(s, AT(TUE, 7, 0), OUTCOME_DELIVERED); /* nobody is there whom he could call */
    WANT_TEXT(s, OWNER, 0,
              "F3 look was due 06:30: no answer. Eggs spoil in her. Look now, then text STRIP F3 "
              "grams, WAIT F3, or OK");
}

static void ponds_go_by_the_same_rule(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p4 4 ares 0.8m");
    stage_text(s, AT(MON, 8, 1), WORKER, "prep p4 31 march");
    stage_text(s, AT(MON, 8, 2), OWNER, "pond p4 fenced");
    stage_wake(s, AT(MON + 8, 7, 0), OUTCOME_DELIVERED); /* dry it, three weeks before */
    WANT_NONE(s, OWNER);
    assert_true(stage_got(s, WORKER, 0)[0] != 0);
    stage_text(s, AT(MON + 29, 8, 0), OWNER, "stock p4 4000 fry 0.1g");
    stage_wake(s, AT(MON + 43, 7, 0), OUTCOME_DELIVERED); /* grade, two weeks on */
    WANT_NONE(s, OWNER);
    assert_true(stage_got(s, WORKER, 0)[0] != 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_word_of_others_does_not_take_the_work),
        cmocka_unit_test(whoever_alone_reported_has_it),
        cmocka_unit_test(of_two_workers_the_last_one_has_it),
        cmocka_unit_test(an_undo_gives_the_work_back),
        cmocka_unit_test(who_has_left_has_no_work),
        cmocka_unit_test(ponds_go_by_the_same_rule),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
