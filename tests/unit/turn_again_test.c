/* A yes means what was shown: when what is meant has changed since it was asked, it is shown anew
 * and nothing is recorded; when nothing about it was reported, it counts. */
#include "turn_stage.h"

enum { LINES = 7 };

/* Said one minute after the other; the last is the answer. */
static const struct {
    const char *name;
    struct {
        int phone;
        const char *text;
    } line[LINES];
    const char *answer; /* to the last, by its beginning */
    bool recorded;      /* by the last */
} turns[] = {
    {"undone meanwhile: the next older text is not meant",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "undo f3"},
      {WORKER, "undo"},
      {OWNER, "yes"}},
     "That changed meanwhile: now it is \"inject f3 1.2kg 7am t26\" of ",
     false},
    {"undone meanwhile, and the next older text is his own",
     {{OWNER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "undo f3"},
      {WORKER, "undo"},
      {OWNER, "yes"}},
     "That changed meanwhile: now it is \"inject f3 1.2kg 7am t26\" of ",
     false},
    {"shown anew and said yes again",
     {{OWNER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "undo f3"},
      {WORKER, "undo"},
      {OWNER, "yes"},
      {OWNER, "yes"}},
     "Taken back: inject f3 1.2kg 7am t26",
     true},
    {"the injection itself was undone: an older spawn is not meant",
     {{OWNER, "inject f3 1.2kg 7am t26"},
      {OWNER, "no eggs f3"},
      {WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "yes"},
      {OWNER, "undo f3"},
      {WORKER, "undo"},
      {OWNER, "yes"}},
     "That changed meanwhile: now it is \"no eggs f3\" of ",
     false},
    {"a newer report came",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "undo f3"},
      {WATCHER, "frames f3"},
      {OWNER, "yes"}},
     "That changed meanwhile: now it is \"frames f3\" of ",
     false},
    {"what leans on it is another thing",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {ADVISER, "frames f3"},
      {WORKER, "undo"},
      {ADVISER, "undo"},
      {ADVISER, "spoilt f3"},
      {WORKER, "yes"}},
     "That changed meanwhile: now it is \"strip f3 150g now\" of ",
     false},
    {"another text is put right",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "fix f3 140g"},
      {WORKER, "undo"},
      {WORKER, "strip f3 160g now"},
      {OWNER, "yes"}},
     "That changed meanwhile: now it is \"strip f3 160g now\" of ",
     false},
    {"more than is there after another sale",
     {{OWNER, "pond p4 4 ares 0.8m"},
      {OWNER, "stock p4 5000 fry 0.1g"},
      {OWNER, "sold p4 6000"},
      {WORKER, "sold p4 2000"},
      {OWNER, "yes"}},
     "P4: 6000 of at most 3000 thought alive?",
     false},
    {"nothing was reported",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "undo f3"},
      {OWNER, "yes"}},
     "Taken back: strip f3 150g now",
     true},
    {"something was reported of another female",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {WORKER, "strip f3 150g now"},
      {OWNER, "undo f3"},
      {WORKER, "inject f4 1kg t26"},
      {OWNER, "yes"}},
     "Taken back: strip f3 150g now",
     true},
    {"the doubt is about the value alone",
     {{WORKER, "inject f3 1.2kg 7am t26"},
      {OWNER, "inject f4 9kg t26"},
      {WORKER, "temp f3 25"},
      {OWNER, "yes"}},
     "New: F4 9kg injected",
     true},
};

static void a_yes_means_what_was_shown(void **state) {
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof turns / sizeof turns[0]; i++) {
        int last = 0;
        stage_empty(s);
        for (int k = 0; k < LINES && turns[i].line[k].text; k++) {
            last = k;
            stage_text(s, AT(MON, 18, k), turns[i].line[k].phone, turns[i].line[k].text);
        }
        const char *got = stage_got(s, turns[i].line[last].phone, 0);
        bool recorded = s->turn.entry_count > 0;
        if (strncmp(got, turns[i].answer, strlen(turns[i].answer)) != 0 ||
            recorded != turns[i].recorded)
            fail_msg("%s: got \"%s\", recorded %d; wanted \"%s\", recorded %d", turns[i].name, got,
                     recorded, turns[i].answer, turns[i].recorded);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_yes_means_what_was_shown),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
