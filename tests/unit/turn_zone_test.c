/* Nights in which the clocks change, in London: the hour that comes twice on 25 October 2026 (at
 * 01:00 UTC the clocks go from 02:00 to 01:00), and the one that is skipped on 29 March 2026 (at
 * 01:00 UTC from 01:00 to 02:00). Instants are counted by hand in UTC. At 24 degC the first look is
 * twelve hours after the injection (FAO 362's table). */
#include "turn_stage.h"

static struct zone london;

#define UTC(year, month, day, hour, minute)                                                        \
    (zone_days(year, month, day) * 86400 + (hour)*3600 + (minute)*60)

static int open_london(void **state) {
    if (stage_open(state) || zone_load("Europe/London", &london))
        return -1;
    ((struct stage *)*state)->zone = &london;
    return 0;
}

/* Injected at 12:30 UTC, 13:30 on the clock: the first look is at 00:30 UTC, 01:30 the first time.
 */
static void begin_autumn(struct stage *s) {
    stage_empty(s);
    stage_text(s, UTC(2026, 10, 24, 12, 30), WORKER, "inject f3 1.2kg 13:30 t24");
}

static void the_doubled_hour_says_which(void **state) {
    struct stage *s = *state;
    begin_autumn(s);
    assert_non_null(strstr(stage_got(s, WORKER, 0), "First look Sun 01:30 old time, then each"));
    stage_text(s, UTC(2026, 10, 25, 0, 40), WORKER, "wait f3");
    WANT_TEXT(
        s, WORKER, 0,
        "F3 not ready 01:40 old time. Look again 01:10 new time. Most are ready by 06:30. Keep "
        "her covered and quiet");
    assert_int_equal(plan_next_look(farm_spawn(&s->farm.state, 1)), UTC(2026, 10, 25, 1, 10));
    stage_text(s, UTC(2026, 10, 25, 2, 10), WORKER, "wait f3 02:05");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "not ready 02:05. Look again 02:35."));
}

/* Typed, it is the last one that has been. */
static void the_doubled_hour_is_the_nearest(void **state) {
    struct stage *s = *state;
    const struct {
        int64_t sent_s, at_s;
    } rows[] = {
        {UTC(2026, 10, 25, 0, 40), UTC(2026, 10, 25, 0, 35)}, /* 01:40 the first time */
        {UTC(2026, 10, 25, 1, 20), UTC(2026, 10, 25, 0, 35)}, /* 01:20 the second: to come */
        {UTC(2026, 10, 25, 1, 40), UTC(2026, 10, 25, 1, 35)},
        {UTC(2026, 10, 25, 7, 0), UTC(2026, 10, 25, 1, 35)},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        begin_autumn(s);
        stage_text(s, rows[i].sent_s, WORKER, "strip f3 130g 01:35");
        if (farm_spawn(&s->farm.state, 1)->stripped_s != rows[i].at_s)
            fail_msg("row %d: %lld, wanted %lld", (int)i,
                     (long long)farm_spawn(&s->farm.state, 1)->stripped_s, (long long)rows[i].at_s);
    }
}

static void the_skipped_hour_is_named(void **state) {
    struct stage *s = *state;
    static const char skipped[] =
        "01:30: there is no such hour in that night, the clocks go on over "
        "it. Text it all again with the right hour. Nothing recorded";
    stage_empty(s);
    stage_text(s, UTC(2026, 3, 28, 18, 30), WORKER, "inject f3 1.2kg 18:30 t24");
    stage_text(s, UTC(2026, 3, 28, 20, 0), WORKER, "plan f3 01:30 t24");
    WANT_TEXT(s, WORKER, 0, skipped);
    stage_text(s, UTC(2026, 3, 28, 20, 1), WORKER, "plan f3 01:30 tomorrow t24");
    WANT_TEXT(s, WORKER, 0, skipped);
    stage_text(s, UTC(2026, 3, 29, 1, 40), WORKER, "temp f3 24 01:30");
    WANT_TEXT(s, WORKER, 0, skipped);
    assert_int_equal(s->turn.entry_count, 0);
    /* it is past: the next night has that hour */
    stage_text(s, UTC(2026, 3, 29, 7, 0), WORKER, "plan f3 01:30 t24");
    assert_non_null(strstr(stage_got(s, WORKER, 0), "Mon 01:30"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_doubled_hour_says_which),
        cmocka_unit_test(the_doubled_hour_is_the_nearest),
        cmocka_unit_test(the_skipped_hour_is_named),
    };
    return cmocka_run_group_tests(tests, open_london, stage_close);
}
