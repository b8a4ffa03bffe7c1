/* What was told is remembered over the real store while its subject is closed: an undo that opens
 * the subject again tells nothing a second time, whatever closed it, and goes on with what is still
 * to be told. The hours are those of the night on the bench: first look Tuesday 06:30. */
#include "desk_bench.h"

struct closing {
    const char *const texts[3]; /* what is said before, told what is due then */
    int64_t told_s;             /* when something is told that stays useful for hours */
    const char *said;           /* and begins so */
    const char *closes;
    int64_t closes_s, undo_s;
};

static const struct closing closings[] = {
    {{0}, AT(TUE, 6, 30), "F3: look now", "no eggs f3", AT(TUE, 6, 33), AT(TUE, 6, 35)},
    {{"strip f3 120g 06:30"},
     AT(TUE, 16, 30),
     "F3: count 100 eggs",
     "spoilt f3",
     AT(TUE, 16, 40),
     AT(TUE, 16, 50)},
    {{"strip f3 120g 06:30"},
     AT(TUE, 8, 30),
     "Where does the hatchery's water come from",
     "source lake",
     AT(TUE, 8, 40),
     AT(TUE, 8, 50)},
    {{"strip f3 120g 06:30", "power off"},
     AT(TUE, 7, 15),
     "Is the air back",
     "power back",
     AT(TUE, 7, 20),
     AT(TUE, 7, 22)},
};

/* All that waits goes out; how many texts of those begin so. */
static int flushed(struct bench *b, int64_t now_s, const char *begins) {
    int found = 0;
    for (int i = 0; i < 20; i++) {
        OK(bench_round(b, now_s, true));
        if (!b->body_count && !b->round.turns)
            return found;
        for (int k = 0; k < b->body_count; k++)
            found += slice_starts(slice_of(b->bodies[k]), slice_of(begins));
    }
    fail_msg("there is no end to what is sent");
    return found;
}

static void an_undo_tells_nothing_twice(void **state) {
    for (size_t i = 0; i < sizeof closings / sizeof closings[0]; i++) {
        const struct closing *c = &closings[i];
        struct bench *b;
        if (i) {
            (void)bench_close(state);
            (void)bench_open(state);
        }
        b = *state;
        bench_night(b, OWNER);
        bench_flush(b, AT(TUE, 6, 31));
        for (int k = 0; k < 3 && c->texts[k]; k++)
            bench_text(b, OWNER, c->texts[k], AT(TUE, 6, 40));
        int once = c->told_s <= AT(TUE, 6, 31) ? 1 : flushed(b, c->told_s, c->said);
        if (once != 1)
            fail_msg("\"%s\" was told %d times, wanted once", c->said, once);
        bench_text(b, OWNER, c->closes, c->closes_s);
        bench_restart(b); /* nothing but the store remembers */
        OK(bench_in(b, OWNER, "undo", c->undo_s).e);
        int again = flushed(b, c->undo_s, c->said);
        if (again)
            fail_msg("after %s and undo \"%s\" was told %d times more", c->closes, c->said, again);
    }
}

/* The alarm's own ladder goes on after the undo. */
static void an_undo_goes_on_with_the_alarm(void **state) {
    struct bench *b = *state;
    bench_night(b, OWNER);
    bench_flush(b, AT(TUE, 6, 30));
    bench_text(b, OWNER, "no eggs f3", AT(TUE, 6, 33));
    bench_text(b, OWNER, "undo", AT(TUE, 6, 35));
    assert_int_equal(flushed(b, AT(TUE, 6, 45), "F3 look was due 06:30: no answer"), 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, bench_open, bench_close)
        TEST(an_undo_tells_nothing_twice),
        TEST(an_undo_goes_on_with_the_alarm),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
