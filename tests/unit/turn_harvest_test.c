/* Harvests: in several hauls, and by samples that are texted the wrong way round. Survival and
 * means are worked out by hand beside each check. */
#include "turn_stage.h"

static void pond(struct stage *s) {
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p4 4 ares depth 0.8m fenced");
    stage_text(s, AT(MON, 8, 1), OWNER, "stock p4 3000");
}

/* Of 3000 stocked 1000 and then 500 come out: half of them, which is said of both together. */
static void all_hauls_are_said_together(void **state) {
    struct stage *s = *state;
    pond(s);
    stage_text(s, AT(30, 8, 0), OWNER, "harvest p4 1000 fish");
    stage_text(s, AT(31, 8, 0), OWNER, "harvest p4 500 fish all");
    WANT_TEXT(
        s, OWNER, 0,
        "P4 closed: 500 now, in all 1500 fish, 50% of those stocked. Dry it: PREP P4. Wrong? UNDO");
    /* weighed: 1000 of 6 g and 500 of 9 g are 10.5 kg, 7 g each */
    pond(s);
    stage_text(s, AT(30, 8, 0), OWNER, "harvest p4 6kg 1000 fish");
    stage_text(s, AT(31, 8, 0), OWNER, "harvest p4 4.5kg 500 fish all");
    WANT_TEXT(
        s, OWNER, 0,
        "P4 closed: 500 now, in all about 1500 fish of 7g, 50% of those stocked. Dry it. Wrong? "
        "UNDO");
    /* nothing more was there: the one haul was all */
    pond(s);
    stage_text(s, AT(30, 8, 0), OWNER, "harvest p4 1000 fish");
    stage_text(s, AT(31, 8, 0), OWNER, "harvest p4 all");
    WANT_TEXT(
        s, OWNER, 0,
        "P4 closed: 0 now, in all 1000 fish, 33% of those stocked. Dry it: PREP P4. Wrong? UNDO");
}

/* The sample behind its count is the sample; else the first weight is that of all, and a sample
 * that is heavier than all is asked about, not turned round in silence. 6 kg of which 50 weigh 300
 * g are 1000 fish. */
static void a_sample_heavier_than_all_is_asked(void **state) {
    struct stage *s = *state;
    static const char asked[] = "P4: all 6kg, and 50 fish of them 300g? YES. Else text it again, "
                                "the weight of all first. Nothing recorded";
    static const char taken[] =
        "P4: about 1000 fish of 6g out, about 1900 stay. Empty? HARVEST P4 ALL. Wrong? UNDO";
    static const struct {
        const char *text;
        bool asks;
    } rows[] = {
        {"harvest p4 6kg 50 fish 300g", false}, {"harvest p4 50 fish 300g 6kg", false},
        {"harvest p4 6kg 300g 50 fish", false}, {"harvest p4 300g 50 fish 6kg", true},
        {"harvest p4 300g 6kg 50 fish", true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        pond(s);
        stage_text(s, AT(30, 8, 0), OWNER, rows[i].text);
        WANT_TEXT(s, OWNER, 0, rows[i].asks ? asked : taken);
        if (rows[i].asks)
            stage_text(s, AT(30, 8, 1), OWNER, "yes");
        WANT_TEXT(s, OWNER, 0, taken);
    }
    pond(s);
    stage_text(s, AT(30, 8, 0), OWNER, "harvest p4 300g 50 fish 6kg");
    stage_text(s, AT(30, 8, 1), OWNER, "no");
    stage_text(s, AT(30, 8, 2), OWNER, "p4");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "about 2900 fish"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_hauls_are_said_together),
        cmocka_unit_test(a_sample_heavier_than_all_is_asked),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
