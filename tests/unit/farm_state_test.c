/* Small ledgers and the state that they must give: whose water holds, stages, females, and which of
 * her spawns a tag means. */
#include "farm_ledger.h"

enum { ROOM = 9 };

/* Minutes from the start; entries of a case are said in the order of the table. */
struct row {
    int at_min;
    enum entry_kind kind;
    int64_t spawn; /* 0: the hatchery */
    int64_t value[2];
};

#define INJECT(at, spawn, tag)                                                                     \
    {                                                                                              \
        at, ENTRY_INJECTED, spawn, {                                                               \
            tag, 0                                                                                 \
        }                                                                                          \
    }
#define BEGINS(at, spawn, temp)                                                                    \
    {                                                                                              \
        at, ENTRY_WATER, spawn, {                                                                  \
            temp, WATER_AT_INJECTION                                                               \
        }                                                                                          \
    }
#define OWN(at, spawn, temp)                                                                       \
    {                                                                                              \
        at, ENTRY_WATER, spawn, {                                                                  \
            temp, WATER_OWN                                                                        \
        }                                                                                          \
    }
#define HALL(at, temp)                                                                             \
    {                                                                                              \
        at, ENTRY_WATER, 0, {                                                                      \
            temp, WATER_OWN                                                                        \
        }                                                                                          \
    }
#define STEP(at, kind, spawn)                                                                      \
    {                                                                                              \
        at, kind, spawn, {                                                                         \
            0, 0                                                                                   \
        }                                                                                          \
    }
#define STRIP(at, spawn, mg)                                                                       \
    {                                                                                              \
        at, ENTRY_STRIPPED, spawn, {                                                               \
            mg, 0                                                                                  \
        }                                                                                          \
    }
#define WHITE(at, spawn, count)                                                                    \
    {                                                                                              \
        at, ENTRY_WHITE, spawn, {                                                                  \
            count, 100                                                                             \
        }                                                                                          \
    }

static struct entry entry_of(const struct row *r, int64_t seq) {
    int64_t at_s = LEDGER_START_S + r->at_min * MINUTE_S;
    struct entry e = {.seq = seq,
                      .at_s = at_s,
                      .said_s = at_s + 7 * MINUTE_S, /* it is the happening that counts */
                      .message = seq,
                      .person = seq,
                      .kind = r->kind,
                      .version = ENTRY_VERSION,
                      .subject_kind = r->spawn ? SUBJECT_SPAWN : SUBJECT_HATCHERY,
                      .subject = r->spawn,
                      .value = {r->value[0], r->value[1]}};
    if (r->kind == ENTRY_INJECTED) {
        e.value[1] = r->value[0]; /* female N wears tag N and weighs N kg */
        e.value[2] = r->value[0] * 1000000;
    }
    return e;
}

static struct farm farm_of(const struct row rows[ROOM]) {
    struct farm farm = farm_make();
    for (int i = 0; i < ROOM && rows[i].kind; i++) {
        struct entry e = entry_of(&rows[i], i + 1);
        OK(farm_append(&farm, &e, 1));
    }
    OK(farm_fold(&farm));
    return farm;
}

static int minutes_of(int64_t at_s) {
    return at_s ? (int)((at_s - LEDGER_START_S) / MINUTE_S) : 0;
}

/* -- water ----------------------------------------------------------------------------------------
 */

/* "min:mdegc" of each reading of a spawn. */
static void check_water(const char *name, const struct water_log *log, const char *want) {
    struct buf b = buf_make(300);
    for (int i = 0; i < log->count; i++)
        buf_putf(&b, "%s%d:%lld", i ? " " : "",
                 (int)((log->readings[i].at_s - LEDGER_START_S) / MINUTE_S),
                 (long long)log->readings[i].mdegc);
    if (strcmp(buf_str(&b), want) != 0)
        fail_msg("%s: got \"%s\", wanted \"%s\"", name, buf_str(&b), want);
    buf_free(&b);
}

static void water(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct row rows[ROOM];
        const char *spawn_1, *hatchery;
        bool follows;
    } cases[] = {
        {"the hatchery's last before the injection and all after",
         {HALL(-60, 25000), HALL(-30, 24500), INJECT(10, 1, 3), HALL(60, 24000)},
         "-30:24500 60:24000",
         "-60:25000 -30:24500 60:24000",
         true},
        {"her reading at the injection stands for what was before",
         {HALL(-30, 26000), INJECT(10, 1, 3), BEGINS(10, 1, 24000), HALL(60, 25000)},
         "10:24000 60:25000",
         "-30:26000 60:25000",
         true},
        {"no reading", {INJECT(10, 1, 3)}, "", "", true},
        {"her own tank: the hatchery's no longer",
         {INJECT(10, 1, 3), BEGINS(10, 1, 24000), OWN(60, 1, 22000), HALL(90, 26000)},
         "10:24000 60:22000",
         "90:26000",
         false},
        {"until she is told to follow",
         {INJECT(10, 1, 3), OWN(60, 1, 22000), HALL(90, 26000), STEP(120, ENTRY_FOLLOW, 1),
          HALL(150, 25500)},
         "60:22000 120:26000 150:25500",
         "90:26000 150:25500",
         true},
        {"her own newer reading holds when she follows again",
         {INJECT(10, 1, 3), HALL(50, 26000), OWN(60, 1, 22000), STEP(120, ENTRY_FOLLOW, 1),
          HALL(150, 25500)},
         "50:26000 60:22000 150:25500",
         "50:26000 150:25500",
         true},
        {"the eggs are in the hatchery's water",
         {INJECT(10, 1, 3), OWN(60, 1, 22000), HALL(90, 26000), STRIP(700, 1, 150000),
          HALL(800, 25000)},
         "60:22000 700:26000 800:25000",
         "90:26000 800:25000",
         true},
        {"and may have a tank of their own, too",
         {INJECT(10, 1, 3), STRIP(700, 1, 150000), OWN(710, 1, 27000), HALL(800, 25000)},
         "710:27000",
         "800:25000",
         false},
        {"said late, it stands where it happened",
         {INJECT(10, 1, 3), HALL(90, 26000), HALL(60, 25000)},
         "60:25000 90:26000",
         "60:25000 90:26000",
         true},
        {"at one instant the later said wins",
         {INJECT(10, 1, 3), HALL(60, 25000), HALL(60, 26000)},
         "60:26000",
         "60:26000",
         true},
        {"a tank before its injection is nobody's",
         {INJECT(10, 1, 3), OWN(5, 1, 22000)},
         "",
         "",
         true},
        {"closed: nothing more",
         {INJECT(10, 1, 3), HALL(20, 24000), STEP(700, ENTRY_NO_EGGS, 1), HALL(800, 25000),
          OWN(810, 1, 26000)},
         "20:24000",
         "20:24000 800:25000",
         true},
        {"each spawn its own",
         {INJECT(10, 1, 3), INJECT(10, 2, 4), OWN(20, 2, 22000), HALL(30, 25000)},
         "30:25000",
         "30:25000",
         true},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = farm_of(cases[i].rows);
        const struct spawn *s = farm_spawn(&farm.state, 1);
        assert_non_null(s);
        check_water(cases[i].name, &s->water, cases[i].spawn_1);
        check_water(cases[i].name, &farm.state.water, cases[i].hatchery);
        if (s->follows != cases[i].follows)
            fail_msg("%s: follows %d", cases[i].name, s->follows);
        farm_free(&farm);
    }
}

/* -- stages ---------------------------------------------------------------------------------------
 */

static void stages(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct row rows[ROOM];
        struct {
            int waits, waited, no_eggs, stripped, eggs_g, white, white_of, frames, closed;
        } want;
    } cases[] = {
        {"begun", {INJECT(1, 1, 3)}, {0}},
        {"waits",
         {INJECT(1, 1, 3), STEP(700, ENTRY_NOT_READY, 1), STEP(735, ENTRY_NOT_READY, 1)},
         {.waits = 2, .waited = 735}},
        {"a wait said late is the earlier",
         {INJECT(1, 1, 3), STEP(735, ENTRY_NOT_READY, 1), STEP(700, ENTRY_NOT_READY, 1)},
         {.waits = 2, .waited = 735}},
        {"given up",
         {INJECT(1, 1, 3), STEP(700, ENTRY_NOT_READY, 1), STEP(900, ENTRY_NO_EGGS, 1),
          STRIP(910, 1, 9000)},
         {.waits = 1, .waited = 700, .no_eggs = 900, .closed = 1}},
        {"the whole way",
         {INJECT(1, 1, 3), STRIP(770, 1, 150000), WHITE(1400, 1, 12), STEP(3000, ENTRY_FRAMES, 1)},
         {.stripped = 770,
          .eggs_g = 150,
          .white = 12,
          .white_of = 100,
          .frames = 3000,
          .closed = 1}},
        {"the first strip counts",
         {INJECT(1, 1, 3), STRIP(770, 1, 150000), STRIP(780, 1, 90000)},
         {.stripped = 770, .eggs_g = 150}},
        {"a strip said late was the first",
         {INJECT(1, 1, 3), STRIP(770, 1, 150000), STRIP(760, 1, 90000)},
         {.stripped = 760, .eggs_g = 90}},
        {"the last count counts",
         {INJECT(1, 1, 3), STRIP(770, 1, 150000), WHITE(1400, 1, 12), WHITE(1410, 1, 20)},
         {.stripped = 770, .eggs_g = 150, .white = 20, .white_of = 100}},
        {"nothing of eggs before them",
         {INJECT(1, 1, 3), WHITE(700, 1, 12), STEP(710, ENTRY_FRAMES, 1), STRIP(770, 1, 150000)},
         {.stripped = 770, .eggs_g = 150}},
        {"no waiting after the strip",
         {INJECT(1, 1, 3), STRIP(770, 1, 150000), STEP(780, ENTRY_NOT_READY, 1),
          STEP(790, ENTRY_NO_EGGS, 1)},
         {.stripped = 770, .eggs_g = 150}},
        {"nothing of a spawn before its injection",
         {INJECT(100, 1, 3), STEP(90, ENTRY_NOT_READY, 1), STRIP(95, 1, 150000)},
         {0}},
        {"another's", {INJECT(1, 1, 3), STRIP(770, 2, 150000), STEP(780, ENTRY_NO_EGGS, 3)}, {0}},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = farm_of(cases[i].rows);
        const struct spawn *s = farm_spawn(&farm.state, 1);
        assert_non_null(s);
        const int got[] = {s->waits,
                           minutes_of(s->waited_s),
                           minutes_of(s->no_eggs_s),
                           minutes_of(s->stripped_s),
                           (int)(s->eggs_mg / 1000),
                           (int)s->white,
                           (int)s->white_of,
                           minutes_of(s->frames_s),
                           spawn_phase(s) >= PHASE_LARVAE};
        const int want[] = {cases[i].want.waits,    cases[i].want.waited, cases[i].want.no_eggs,
                            cases[i].want.stripped, cases[i].want.eggs_g, cases[i].want.white,
                            cases[i].want.white_of, cases[i].want.frames, cases[i].want.closed};
        for (size_t k = 0; k < COUNT_OF(got); k++)
            if (got[k] != want[k])
                fail_msg("%s: field %zu is %d, wanted %d", cases[i].name, k, got[k], want[k]);
        farm_free(&farm);
    }
}

/* -- females and tags -----------------------------------------------------------------------------
 */

static void females(void **unused) {
    (void)unused;
    const struct row rows[ROOM] = {INJECT(1, 1, 3), INJECT(2, 2, 4), INJECT(60000, 3, 3)};
    struct farm farm = farm_of(rows);
    assert_int_equal(farm.state.brood_count, 2); /* she comes back, she is not another */
    assert_int_equal(farm.state.spawn_count, 3);
    const struct brood *f3 = farm_brood_tag(&farm.state, SEX_FEMALE, 3);
    assert_non_null(f3);
    assert_int_equal(f3->id, 3);
    assert_int_equal(f3->weight_mg, 3000000);
    assert_int_equal(minutes_of(f3->weighed_s), 60000);
    assert_null(farm_brood_tag(&farm.state, SEX_FEMALE, 5));
    assert_null(farm_spawn(&farm.state, 4));
    assert_int_equal(farm_spawn(&farm.state, 2)->tag, 4);
    assert_int_equal(farm_spawn(&farm.state, 1)->hands.who[0], 1);
    farm_free(&farm);
}

/* A tag that went to another female means the newer one; old spawns keep theirs. */
static void tag_passed_on(void **unused) {
    (void)unused;
    const struct row rows[ROOM] = {INJECT(1, 1, 3), INJECT(50000, 2, 3)};
    struct farm farm = farm_make();
    for (int i = 0; i < 2; i++) {
        struct entry e = entry_of(&rows[i], i + 1);
        e.value[0] = 10 + i;
        OK(farm_add(&farm, &e, 1));
    }
    assert_int_equal(farm.state.brood_count, 2);
    assert_int_equal(farm_brood_tag(&farm.state, SEX_FEMALE, 3)->id, 11);
    assert_int_equal(farm_spawn(&farm.state, 1)->female, 10);
    farm_free(&farm);
}

/* Many spawns and readings: the arrays grow and keep what they hold. */
static void many(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    for (int i = 0; i < 300; i++) {
        struct entry e = entry_of(&(struct row)INJECT(i, i + 1, i % 50 + 1), farm_head(&farm) + 1);
        OK(farm_add(&farm, &e, 1));
        e = entry_of(&(struct row)HALL(i, 22000 + i), farm_head(&farm) + 1);
        OK(farm_add(&farm, &e, 1));
    }
    assert_int_equal(farm.count, 600);
    assert_int_equal(farm.state.brood_count, 50);
    for (int i = 0; i < 300; i++) {
        const struct spawn *s = farm_spawn(&farm.state, i + 1);
        assert_int_equal(s->tag, i % 50 + 1);
        assert_int_equal(s->water.count, i ? 301 - i : 300);
        assert_int_equal(s->water.readings[s->water.count - 1].mdegc, 22299);
    }
    farm_free(&farm);
}

/* An undo is no happening: the fold must never meet one. */
static void undo_is_no_step(void **unused) {
    (void)unused;
    struct arena arena = arena_make(10000);
    struct farm_state state = {0};
    struct entry undo = {.seq = 1, .kind = ENTRY_UNDO, .version = 1, .value = {1}};
    WANT(ERR_BUG, farm_step(&state, &undo, &arena));
    arena_free(&arena);
}

static void no_memory(void **unused) {
    (void)unused;
    struct farm farm = farm_make();
    farm.arena = arena_make(8000);
    enum err e = ERR_OK;
    int n = 0;
    for (; n < 1000 && !e; n++) {
        struct entry reading = entry_of(&(struct row)HALL(n, 24000), n + 1);
        e = farm_add(&farm, &reading, 1);
    }
    WANT(ERR_NOMEM, e);
    assert_in_range(n, 2, 200);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water),     cmocka_unit_test(stages),
        cmocka_unit_test(females),   cmocka_unit_test(tag_passed_on),
        cmocka_unit_test(many),      cmocka_unit_test(undo_is_no_step),
        cmocka_unit_test(no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
