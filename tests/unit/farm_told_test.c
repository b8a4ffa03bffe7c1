/* Laws of the plan over seeded random ledgers: the same each time, in order, no key twice, nothing
 * that is over; and a run of days, minute by minute, in which what is due is told. */
#include "farm_ledger.h"

enum { LEDGERS = 300, RUNS = 25, RUN_DAYS = 4 };

static struct zone nairobi;

static int load_zone(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) != ERR_OK;
}

static void check_order(const struct plan_list *p, int64_t now_s) {
    for (int i = 0; i < p->count; i++) {
        const struct task *t = &p->tasks[i];
        assert_in_range(t->key.kind, TASK_WATER, TASK_KIND_END - 1);
        assert_in_range(t->key.stage, STAGE_FIRST, STAGE_OFF);
        if (t->useful_s < now_s)
            fail_msg("a task is over: useful %lld, now %lld", (long long)t->useful_s,
                     (long long)now_s);
        if (t->key.stage == STAGE_FIRST && t->due_s % 300)
            fail_msg("kind %d is due off the five minutes: %lld", t->key.kind, (long long)t->due_s);
        for (int k = 0; k < i; k++)
            if (same_key(p->tasks[k].key, t->key))
                fail_msg("a key stands twice");
        const struct task *before = i ? &p->tasks[i - 1] : t;
        if (before->due_s > t->due_s || (before->due_s == t->due_s && before->level > t->level))
            fail_msg("task %d is out of order", i);
    }
}

static void plans_are_sound(void **unused) {
    (void)unused;
    static struct ledger l;
    static struct told_list told;
    int tasks = 0, kinds[TASK_KIND_END] = {0};
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, seed % 2 ? 19000 : 21000, 30500);
        struct farm farm = ledger_farm(&l);
        told.hands = seed % 3 == 0;
        tell_some(&farm, &nairobi, seed, &told);
        if (seed % 5 == 0)
            told.count = 0;
        int64_t step_s = 4999; /* five days closely, then the weeks of larvae and ponds */
        for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + 45 * DAY_S; now_s += step_s) {
            step_s = now_s < LEDGER_START_S + 5 * DAY_S ? 4999 : 49999;
            struct plan_list p = plan_of(&farm, &told, &nairobi, now_s);
            struct plan_list q = plan_of(&farm, &told, &nairobi, now_s);
            assert_int_equal(p.count, q.count);
            for (int i = 0; i < p.count; i++) {
                assert_true(same_task(&p.tasks[i], &q.tasks[i]));
                assert_false(was_told(&told, p.tasks[i].key, p.tasks[i].hour_s));
                kinds[p.tasks[i].key.kind]++;
            }
            check_order(&p, now_s);
            tasks += p.count;
        }
        farm_free(&farm);
    }
    assert_in_range(tasks, LEDGERS * 10, 10000000);
    for (int kind = TASK_WATER; kind < TASK_KIND_END; kind++)
        if (kinds[kind] < 50)
            fail_msg("kind %d was planned %d times: the test says nothing of it", kind,
                     kinds[kind]);
}

/* With fewer places than tasks, the first ones are kept. */
static void fewer_places(void **unused) {
    (void)unused;
    static struct ledger l;
    static struct told_list none;
    none.count = 0;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 21000, 29000);
        struct farm farm = ledger_farm(&l);
        int64_t now_s = LEDGER_START_S + (int64_t)(1 + seed % 30) * DAY_S;
        struct plan_list all = plan_of(&farm, &none, &nairobi, now_s);
        for (int most = 0; most <= all.count; most++) {
            struct task few[PLAN_MOST];
            const struct plan_view view = {.zone = &nairobi, .now_s = now_s};
            int got = farm_plan(&farm.state, &view, few, most);
            assert_int_equal(got, most);
            for (int i = 0; i < got; i++)
                if (!same_task(&few[i], &all.tasks[i]))
                    fail_msg("ledger %llu, %d places: task %d is not the one planned",
                             (unsigned long long)seed, most, i);
        }
        farm_free(&farm);
    }
}

/* Tells what is due; how many. A failed text brings the owner's call at once, and no more. */
static int tell_due(const struct farm *farm, struct told_list *told, int64_t now_s,
                    enum outcome outcome) {
    struct plan_list p = plan_of(farm, told, &nairobi, now_s);
    int n = 0;
    for (; n < p.count && p.tasks[n].due_s <= now_s; n++) {
        if (was_told(told, p.tasks[n].key, p.tasks[n].hour_s))
            fail_msg("kind %d stage %d is told twice", p.tasks[n].key.kind, p.tasks[n].key.stage);
        tell(told, p.tasks[n].key, p.tasks[n].hour_s, now_s, outcome);
    }
    return n;
}

static void told_is_not_due(void **unused) {
    (void)unused;
    static struct ledger l;
    static struct told_list told;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 21000, 29000);
        struct farm farm = ledger_farm(&l);
        told.count = 0;
        int64_t now_s = l.said_s + ledger_draw(&l, -DAY_S, (seed % 4 ? 2 : 40) * DAY_S);
        bool failing = seed % 3 == 0;
        enum outcome outcome = failing ? OUTCOME_FAILED : seed % 2 ? OUTCOME_SENT : OUTCOME_WAITING;
        tell_due(&farm, &told, now_s, outcome);
        if (failing)
            tell_due(&farm, &told, now_s, outcome);
        assert_int_equal(tell_due(&farm, &told, now_s, outcome), 0);
        farm_free(&farm);
    }
}

/* The ledger as it is said, message by message, and the clock going on by minutes. */
static void minute_by_minute(void **unused) {
    (void)unused;
    static struct ledger l;
    static struct told_list told;
    int stages[STAGE_OFF + 1] = {0};
    for (uint64_t seed = 1; seed <= RUNS; seed++) {
        ledger_make(&l, seed, true, 21000, 29000);
        struct farm farm = farm_make();
        told.count = 0;
        int said = 0;
        for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + RUN_DAYS * DAY_S;
             now_s += MINUTE_S) {
            for (int n = 0; said < l.count && l.entries[said].said_s <= now_s; said += n) {
                for (n = 1;
                     said + n < l.count && l.entries[said + n].message == l.entries[said].message;)
                    n++;
                OK(farm_add(&farm, l.entries + said, n));
            }
            if (farm.state.spawn_count)
                tell_due(&farm, &told, now_s, now_s % 7 ? OUTCOME_DELIVERED : OUTCOME_SENT);
        }
        for (int i = 0; i < told.count; i++)
            stages[told.rows[i].key.stage]++;
        farm_free(&farm);
    }
    for (int stage = STAGE_FIRST; stage <= STAGE_OFF; stage++)
        if (!stages[stage])
            fail_msg("stage %d was never told: the run says nothing of it", stage);
}

/* One undisturbed spawn: what is told falls on its very minute. */
static void on_the_minute(void **unused) {
    (void)unused;
    static struct told_list told;
    struct farm farm = farm_make();
    const struct entry entries[] = {
        {1,
         LEDGER_START_S,
         LEDGER_START_S,
         1,
         1,
         ENTRY_INJECTED,
         1,
         SUBJECT_SPAWN,
         1,
         {3, 3, 1200000}},
        {2,
         LEDGER_START_S,
         LEDGER_START_S,
         1,
         1,
         ENTRY_WATER,
         1,
         SUBJECT_SPAWN,
         1,
         {24000, WATER_AT_INJECTION, 0}},
    };
    OK(farm_add(&farm, entries, (int)COUNT_OF(entries)));
    told.count = 0;
    for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + 2 * DAY_S; now_s += MINUTE_S) {
        struct plan_list p = plan_of(&farm, &told, &nairobi, now_s);
        for (int i = 0; i < p.count && p.tasks[i].due_s <= now_s; i++)
            assert_int_equal(p.tasks[i].due_s, now_s);
        tell_due(&farm, &told, now_s, OUTCOME_DELIVERED);
    }
    /* injected 21:30 there: nothing in the evening (22:00 is within the hour); ready, look, again,
     * owner, adviser, missed */
    assert_int_equal(told.count, 6);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plans_are_sound), cmocka_unit_test(fewer_places),
        cmocka_unit_test(told_is_not_due), cmocka_unit_test(minute_by_minute),
        cmocka_unit_test(on_the_minute),
    };
    return cmocka_run_group_tests(tests, load_zone, NULL);
}
