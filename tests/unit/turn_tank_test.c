/* Females in one tank: what is put right or taken back by the tag of one is hers, whoever was
 * injected beside her and whoever texted it. Whether the other one's injection stayed as it was is
 * read off the state. */
#include "turn_stage.h"

enum { LINES = 6 };

static const struct {
    struct {
        int phone;
        const char *text;
    } line[LINES]; /* one a minute, from 19:00; F3 and F4 were injected at 18:30 in B2 */
    const char *answer;
    int64_t f3_s, f4_s;         /* injected then; 0: taken back */
    int64_t f3_mdegc, f4_mdegc; /* her last reading: that of 18:30 is also of who came before */
} turns[] = {
    {{{OWNER, "fix f3 17:00"}},
     "INJECT F3: now 17:00, was 18:30.",
     AT(MON, 17, 0),
     AT(MON, 18, 30),
     26000,
     26000},
    {{{OWNER, "fix f4 17:00"}},
     "INJECT F4: now 17:00, was 18:30.",
     AT(MON, 18, 30),
     AT(MON, 17, 0),
     26000,
     26000},
    {{{OWNER, "fix f3 t24"}},
     "TEMP F3: now 24C, was 26C.",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     24000,
     26000},
    {{{OWNER, "fix f3 t24 17:30"}},
     "TEMP F3: now 24C 17:30, was 26C 18:30.",
     AT(MON, 17, 30),
     AT(MON, 18, 30),
     26000,
     26000},
    {{{OWNER, "undo f3"}},
     "Taken back: inject f3 1.2kg 18:30 t26 b2",
     0,
     AT(MON, 18, 30),
     0,
     26000},
    {{{OWNER, "fix b2 17:00"}},
     "Nothing of that sort was reported about B2.",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     26000,
     26000},
    {{{OWNER, "undo b2"}},
     "Nothing about B2 is left to take back",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     26000,
     26000},
    /* a reading of the tank by her tag is her own text, one by the other's tag or the tank's is not
     */
    {{{OWNER, "temp f3 25"}, {OWNER, "fix f3 t24.5"}},
     "TEMP F3: now 24.5C, was 25C.",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     24500,
     24500},
    {{{OWNER, "temp f4 25"}, {OWNER, "fix f3 17:00"}},
     "INJECT F3: now 17:00, was 18:30.",
     AT(MON, 17, 0),
     AT(MON, 18, 30),
     25000,
     25000},
    {{{OWNER, "temp b2 25"}, {OWNER, "undo f3"}},
     "Taken back: inject f3 1.2kg 18:30 t26 b2",
     0,
     AT(MON, 18, 30),
     0,
     25000},
    {{{OWNER, "temp b2 25"}, {OWNER, "undo b2"}},
     "Taken back: temp b2 25",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     26000,
     26000},
    /* alone in her tank the tank's reading is hers */
    {{{OWNER, "tank b3 f3"}, {OWNER, "temp b3 25"}, {OWNER, "undo f3"}},
     "Taken back: temp b3 25",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     26000,
     26000},
    /* a reading of the fish is still found after the strip */
    {{{OWNER, "temp f3 25"}, {OWNER, "strip f3 100g 19:01"}, {OWNER, "fix f3 t24.5"}},
     "TEMP F3: now 24.5C, was 25C.",
     AT(MON, 18, 30),
     AT(MON, 18, 30),
     24500,
     24500},
};

static void is_injected(struct stage *s, size_t row, int tag, int64_t at_s, int64_t mdegc) {
    const struct spawn *found = NULL;
    for (int i = 0; i < s->farm.state.spawn_count; i++)
        if (s->farm.state.spawns[i].tag == tag)
            found = &s->farm.state.spawns[i];
    int64_t got_s = found ? found->injected_s : 0;
    const struct water_series water = found ? spawn_water(found) : (struct water_series){0};
    int64_t got_mdegc = water.count ? water.readings[water.count - 1].mdegc : 0;
    if (got_s != at_s || got_mdegc != mdegc)
        fail_msg("\"%s\": F%d injected %lld at %lld, wanted %lld at %lld", turns[row].answer, tag,
                 (long long)got_s, (long long)got_mdegc, (long long)at_s, (long long)mdegc);
}

static int said(struct stage *s, size_t row) {
    int last = 0;
    stage_empty(s);
    stage_text(s, AT(MON, 18, 31), OWNER, "inject f3 1.2kg 18:30 t26 b2");
    stage_text(s, AT(MON, 18, 32), OWNER, "inject f4 1.3kg 18:30 t26 b2");
    for (int k = 0; k < LINES && turns[row].line[k].text; k++) {
        last = turns[row].line[k].phone;
        stage_text(s, AT(MON, 19, k), last, turns[row].line[k].text);
    }
    return last;
}

static void what_is_hers_is_put_right(void **state) {
    struct stage *s = *state;
    for (size_t i = 0; i < sizeof turns / sizeof turns[0]; i++) {
        const char *got = stage_got(s, said(s, i), 0);
        if (strncmp(got, turns[i].answer, strlen(turns[i].answer)) != 0)
            fail_msg("got \"%s\", wanted \"%s\"", got, turns[i].answer);
        is_injected(s, i, 3, turns[i].f3_s, turns[i].f3_mdegc);
        is_injected(s, i, 4, turns[i].f4_s, turns[i].f4_mdegc);
    }
}

/* Two hands, one tank: each puts right his own female. */
static void each_hand_has_his_own(void **state) {
    struct stage *s = *state;
    static const char *const texts[] = {"fix f3 17:00", "fix f3 t24", "undo f3"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        stage_empty(s);
        stage_text(s, AT(MON, 18, 31), WORKER, "inject f3 1.2kg 18:30 t26 b2");
        stage_text(s, AT(MON, 18, 32), ADVISER, "inject f4 1.3kg 18:30 t26 b2");
        stage_text(s, AT(MON, 18, 33), WORKER, texts[i]);
        if (!s->turn.entry_count)
            fail_msg("\"%s\": %s", texts[i], stage_got(s, WORKER, 0));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_hers_is_put_right),
        cmocka_unit_test(each_hand_has_his_own),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
