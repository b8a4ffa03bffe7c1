/* Spawns by small ledgers: whose reading a tank's is, several females in one tank and in one bowl,
 * males, what eggs and larvae are told of, and until when a spawn is open. */
#include "farm_say.h"

#define STRIP(at, spawn)       OF_SPAWN(at, ENTRY_STRIPPED, spawn, 90000)
#define FRAMES(at, spawn)      OF_SPAWN(at, ENTRY_FRAMES, spawn, 0)
#define IN_TANK(at, spawn, n)  OF_SPAWN(at, ENTRY_TANK, spawn, n)
#define HALL(at, mdegc)        OF_HALL(at, ENTRY_WATER, mdegc, WATER_OWN)
#define TANK(at, n, mdegc)     OF_TANK(at, ENTRY_WATER, n, mdegc)
#define OWN(at, spawn, mdegc)  OF_SPAWN(at, ENTRY_WATER, spawn, mdegc, WATER_OWN)
#define WITH(at, spawn, mdegc) OF_SPAWN(at, ENTRY_WATER, spawn, mdegc, WATER_AT_INJECTION)

static const struct spawn *spawn_of(const struct farm *farm, int64_t number) {
    const struct spawn *s = farm_spawn(&farm->state, number);
    assert_non_null(s);
    return s;
}

/* -- tanks ---------------------------------------------------------------------------------------
 */

/* "min:mdegc" of each reading. */
static void check_log(const char *name, const char *whose, const struct water_log *log,
                      const char *want) {
    struct buf b = buf_make(300);
    for (int i = 0; i < log->count; i++)
        buf_putf(&b, "%s%lld:%lld", i ? " " : "", (long long)say_min(log->readings[i].at_s),
                 (long long)log->readings[i].mdegc);
    if (strcmp(buf_str(&b), want) != 0)
        fail_msg("%s: %s water: got \"%s\", wanted \"%s\"", name, whose, buf_str(&b), want);
    buf_free(&b);
}

static const struct tank_case {
    const char *name;
    struct say rows[SAY_MOST];
    const char *first, *second; /* the water of spawns 1 and 2; NULL: not there */
    bool follows;               /* spawn 1 */
    int64_t own_min;            /* her last own reading */
    int tank;
} tank_cases[] = {
    {"a tank's reading is that of whoever is in it",
     {INJECTED(1, 1, 1), WITH(1, 1, 24000), IN_TANK(1, 1, 2), TANK(60, 2, 23000), HALL(90, 26000)},
     "1:24000 60:23000",
     NULL,
     false,
     60,
     2},
    {"not of another tank",
     {INJECTED(1, 1, 1), WITH(1, 1, 24000), IN_TANK(1, 1, 2), TANK(60, 3, 23000)},
     "1:24000",
     NULL,
     true,
     0,
     2},
    {"nor before she is in it",
     {INJECTED(1, 1, 1), WITH(1, 1, 24000), TANK(60, 2, 23000), IN_TANK(1000, 1, 2)},
     "1:24000",
     NULL,
     true,
     0,
     2},
    {"several in one tank",
     {INJECTED(1, 1, 1), INJECTED(2, 2, 2), IN_TANK(3, 1, 2), IN_TANK(3, 2, 2), TANK(60, 2, 23000),
      IN_TANK(70, 2, 3), TANK(80, 2, 22000)},
     "60:23000 80:22000",
     "60:23000",
     false,
     80,
     2},
    {"put into a tank that was just read",
     {INJECTED(1, 1, 1), WITH(1, 1, 24000), TANK(60, 2, 23000), IN_TANK(90, 1, 2), HALL(95, 26000)},
     "1:24000 90:23000",
     NULL,
     false,
     60,
     2},
    {"read six hours ago it still says something",
     {TANK(0, 2, 23000), INJECTED(1, 1, 1), WITH(1, 1, 24000), IN_TANK(360, 1, 2)},
     "1:24000 360:23000",
     NULL,
     false,
     0,
     2},
    {"a minute more and it does not",
     {TANK(0, 2, 23000), INJECTED(1, 1, 1), WITH(1, 1, 24000), IN_TANK(361, 1, 2)},
     "1:24000",
     NULL,
     true,
     0,
     2},
    {"the hatchery's reading is none of the tank's, though newer",
     {TANK(-60, 2, 23000), HALL(-30, 26000), INJECTED(1, 1, 1), IN_TANK(1, 1, 2)},
     "-30:26000 1:23000",
     NULL,
     false,
     -60,
     2},
    {"what the injection's text says is newer than the tank's reading",
     {TANK(-60, 2, 23000), INJECTED(1, 1, 1), WITH(1, 1, 24000), IN_TANK(1, 1, 2)},
     "1:24000",
     NULL,
     false,
     0,
     2},
    {"her own newer reading holds when the same tank is named again",
     {INJECTED(1, 1, 1), IN_TANK(1, 1, 2), TANK(60, 2, 23000), OWN(80, 1, 22000),
      IN_TANK(90, 1, 2)},
     "60:23000 80:22000",
     NULL,
     false,
     80,
     2},
    {"in another tank its reading counts, though hers is newer",
     {INJECTED(1, 1, 1), TANK(50, 3, 25000), IN_TANK(60, 1, 2), OWN(80, 1, 22000),
      IN_TANK(90, 1, 3)},
     "80:22000 90:25000",
     NULL,
     false,
     50,
     3},
    {"stripped: her tank is not that of her eggs",
     {INJECTED(1, 1, 1), IN_TANK(1, 1, 2), TANK(60, 2, 23000), STRIP(700, 1), TANK(710, 2, 21000)},
     "60:23000",
     NULL,
     true,
     60,
     0},
    {"her eggs are in the hatchery's water",
     {INJECTED(1, 1, 1), IN_TANK(1, 1, 2), TANK(60, 2, 23000), HALL(650, 25000), STRIP(700, 1),
      HALL(760, 25500)},
     "60:23000 700:25000 760:25500",
     NULL,
     true,
     60,
     0},
    {"eggs put into a tank with a fresh reading",
     {INJECTED(1, 1, 1), WITH(1, 1, 24000), HALL(650, 25000), TANK(600, 4, 27000), STRIP(700, 1),
      IN_TANK(700, 1, 4), HALL(760, 25500), TANK(800, 4, 26500)},
     "1:24000 650:25000 700:27000 800:26500",
     NULL,
     false,
     800,
     4},
    {"eggs put back into her tank",
     {INJECTED(1, 1, 1), IN_TANK(1, 1, 2), TANK(660, 2, 23000), HALL(650, 25000), STRIP(700, 1),
      IN_TANK(700, 1, 2)},
     "650:25000 660:23000 700:23000",
     NULL,
     false,
     660,
     2},
    {"with a reading of their own in the same text",
     {INJECTED(1, 1, 1), TANK(650, 4, 27000), STRIP(700, 1), OWN(700, 1, 26000),
      IN_TANK(700, 1, 4)},
     "700:26000",
     NULL,
     false,
     700,
     4},
    {"of a closed spawn nothing is read",
     {INJECTED(1, 1, 1), IN_TANK(1, 1, 2), OF_SPAWN(50, ENTRY_NO_EGGS, 1, 0), TANK(60, 2, 23000)},
     "",
     NULL,
     true,
     0,
     2},
    {"following again until the next reading of the tank",
     {INJECTED(1, 1, 1), IN_TANK(1, 1, 2), TANK(60, 2, 23000), OF_SPAWN(70, ENTRY_FOLLOW, 1, 0),
      HALL(80, 25000), TANK(90, 2, 22000), HALL(100, 26000)},
     "60:23000 80:25000 90:22000",
     NULL,
     false,
     90,
     2},
};

static void tanks(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(tank_cases); i++) {
        const struct tank_case *c = &tank_cases[i];
        struct farm farm = say_all(c->rows, SAY_MOST);
        const struct spawn *s = spawn_of(&farm, 1);
        check_log(c->name, "her", &s->water, c->first);
        if (c->second)
            check_log(c->name, "the other's", &spawn_of(&farm, 2)->water, c->second);
        FIELD(c->name, s->follows, c->follows);
        FIELD(c->name, say_min(s->own_s), c->own_min);
        FIELD(c->name, s->tank, c->tank);
        farm_free(&farm);
    }
}

static void tanks_themselves(void **unused) {
    (void)unused;
    struct farm farm =
        say_all((const struct say[]){TANK(10, 2, 23000), OF_TANK(20, ENTRY_VOLUME, 2, 500000),
                                     OF_TANK(21, ENTRY_VOLUME, 3, 100000), TANK(30, 2, 24000),
                                     OF_TANK(40, ENTRY_VOLUME, 2, 600000), INJECTED(50, 1, 1),
                                     IN_TANK(50, 1, 7), TANK(5, 2, 22000)},
                8);
    assert_int_equal(farm.state.tank_count, 3); /* naming one makes it */
    check_log("tank 2", "its", &farm_tank(&farm.state, 2)->water, "5:22000 10:23000 30:24000");
    assert_int_equal(farm_tank(&farm.state, 2)->volume_ml, 600000);
    assert_int_equal(farm_tank(&farm.state, 3)->volume_ml, 100000);
    assert_int_equal(farm_tank(&farm.state, 3)->water.count, 0);
    assert_int_equal(farm_tank(&farm.state, 7)->volume_ml, 0);
    assert_null(farm_tank(&farm.state, 1));
    assert_int_equal(farm.state.water.count, 0); /* a tank's reading is none of the hatchery's */
    farm_free(&farm);
}

/* -- bowl and males ------------------------------------------------------------------------------
 */

static void one_bowl(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(1, 1, 1), INJECTED(2, 2, 2), INJECTED(3, 3, 3), STRIP(700, 1),
                             OF_SPAWN(700, ENTRY_BOWL, 1, 2), OF_SPAWN(700, ENTRY_BOWL, 1, 3)},
        6);
    const struct spawn *s = spawn_of(&farm, 1), *other = spawn_of(&farm, 2);
    FIELD("the bowl's", spawn_phase(s), PHASE_EGGS);
    FIELD("the bowl's", s->bowl_with, 2);
    FIELD("the bowl's", s->bowl, 0);
    FIELD("the bowl's", s->eggs_mg, 90000);
    FIELD("in it", other->bowl, 1);
    FIELD("in it", spawn_phase(other), PHASE_OVER);
    FIELD("in it", say_min(other->closed_s), 700);
    FIELD("in it", other->stripped_s, 0);
    FIELD("in it", spawn_of(&farm, 3)->bowl, 1);
    for (int id = 1; id <= 3; id++)
        FIELD("all rest", say_min(farm_brood(&farm.state, id)->spent_s), 700);

    say_one(&farm, (struct say)STRIP(800, 2)); /* hers lie there already */
    FIELD("in it", spawn_of(&farm, 2)->stripped_s, 0);
    farm_free(&farm);
}

/* Only a female not yet stripped goes into a bowl, and only into one with eggs. */
static void no_bowl(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
    } cases[] = {
        {"her own",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), STRIP(700, 1), OF_SPAWN(700, ENTRY_BOWL, 1, 1)}},
        {"not there",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), STRIP(700, 1), OF_SPAWN(700, ENTRY_BOWL, 1, 9)}},
        {"stripped before",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), STRIP(600, 2), STRIP(700, 1),
          OF_SPAWN(700, ENTRY_BOWL, 1, 2)}},
        {"given up before",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), OF_SPAWN(600, ENTRY_NO_EGGS, 2, 0), STRIP(700, 1),
          OF_SPAWN(700, ENTRY_BOWL, 1, 2)}},
        {"injected after",
         {INJECTED(1, 1, 1), STRIP(700, 1), OF_SPAWN(700, ENTRY_BOWL, 1, 2), INJECTED(750, 2, 2)}},
        {"a bowl without eggs",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), OF_SPAWN(700, ENTRY_BOWL, 1, 2)}},
        {"frames out",
         {INJECTED(1, 1, 1), INJECTED(2, 2, 2), STRIP(700, 1), FRAMES(720, 1),
          OF_SPAWN(730, ENTRY_BOWL, 1, 2)}},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        FIELD(cases[i].name, spawn_of(&farm, 1)->bowl_with, 0);
        FIELD(cases[i].name, spawn_of(&farm, 1)->bowl, 0);
        FIELD(cases[i].name, spawn_of(&farm, 2)->bowl, 0);
        farm_free(&farm);
    }
}

static void males_hormone_layer(void **unused) {
    (void)unused;
    struct farm farm = say_all(
        (const struct say[]){INJECTED(1, 1, 1), OF_SPAWN(1, ENTRY_HORMONE, 1, HORMONE_GLAND),
                             OF_SPAWN(1, ENTRY_MALE, 1, 5, MALE_GLAND),
                             OF_SPAWN(2, ENTRY_LAYER, 1, LAYER_NET), /* no eggs yet */
                             OF_SPAWN(9, ENTRY_HORMONE, 1, HORMONE_MIX), STRIP(700, 1),
                             OF_SPAWN(700, ENTRY_MALE, 1, 6, MALE_MILT),
                             OF_SPAWN(700, ENTRY_MALE, 1, 5, MALE_MILT),
                             OF_SPAWN(701, ENTRY_MALE, 1, 7, MALE_MILT)},
        9);
    const struct spawn *s = spawn_of(&farm, 1);
    FIELD("the newer word", s->hormone, HORMONE_MIX);
    FIELD("no more than three", s->male_count, 3);
    static const int64_t male[] = {5, 6, 5};
    static const enum male_use use[] = {MALE_GLAND, MALE_MILT, MALE_MILT};
    for (int i = 0; i < 3; i++) {
        FIELD("males", s->male[i], male[i]);
        FIELD("males", s->male_use[i], use[i]);
    }
    FIELD("not said", s->layer, 0);
    say_one(&farm, (struct say)OF_SPAWN(705, ENTRY_LAYER, 1, LAYER_PLANTS));
    FIELD("said", spawn_of(&farm, 1)->layer, LAYER_PLANTS);
    say_one(&farm, (struct say)FRAMES(3000, 1));
    say_one(&farm, (struct say)OF_SPAWN(3001, ENTRY_LAYER, 1, LAYER_NET));
    FIELD("out of it", spawn_of(&farm, 1)->layer, LAYER_PLANTS);
    farm_free(&farm);
}

/* -- larvae --------------------------------------------------------------------------------------
 */

#define TO_FRAMES INJECTED(1, 1, 1), STRIP(700, 1), FRAMES(3000, 1)

static const struct larvae_case {
    const char *name;
    struct say rows[SAY_MOST];
    struct spawn want; /* instants in minutes */
    enum spawn_phase phase;
} larvae_cases[] = {
    {"hatched, by share",
     {TO_FRAMES, OF_SPAWN(3100, ENTRY_HATCHED, 1, 40000, HATCH_SHARE)},
     {.hatched_s = 3100, .hatched = 40000, .hatch_how = HATCH_SHARE},
     PHASE_LARVAE},
    /* 600 eggs a gram (common practice): 54000 of 90 g, 60000 of 100 g */
    {"hatched, by share of the eggs",
     {TO_FRAMES, OF_SPAWN(3100, ENTRY_HATCHED, 1, 0, HATCH_SHARE, 60, 100)},
     {.hatched_s = 3100, .hatched = 32400, .hatch_how = HATCH_SHARE},
     PHASE_LARVAE},
    {"the share is of what the eggs weigh, also when that is said later",
     {INJECTED(1, 1, 1), OF_SPAWN(3100, ENTRY_HATCHED, 1, 0, HATCH_SHARE, 60, 100),
      OF_SPAWN(700, ENTRY_STRIPPED, 1, 100000)},
     {.hatched_s = 3100, .hatched = 36000, .hatch_how = HATCH_SHARE},
     PHASE_EGGS},
    {"none of a hundred hatched: over",
     {TO_FRAMES, OF_SPAWN(3100, ENTRY_HATCHED, 1, 0, HATCH_SHARE, 0, 100)},
     {.hatched_s = 3100, .hatch_how = HATCH_SHARE, .closed_s = 3100},
     PHASE_OVER},
    {"counted anew the later word holds",
     {TO_FRAMES, OF_SPAWN(3100, ENTRY_HATCHED, 1, 40000, HATCH_SHARE),
      OF_SPAWN(3200, ENTRY_HATCHED, 1, 42000, HATCH_COUNTED)},
     {.hatched_s = 3200, .hatched = 42000, .hatch_how = HATCH_COUNTED},
     PHASE_LARVAE},
    {"hatched before the frames are out",
     {INJECTED(1, 1, 1), STRIP(700, 1), OF_SPAWN(2500, ENTRY_HATCHED, 1, 40000, HATCH_SHARE)},
     {.hatched_s = 2500, .hatched = 40000, .hatch_how = HATCH_SHARE},
     PHASE_EGGS},
    {"none hatched: over",
     {TO_FRAMES, OF_SPAWN(3100, ENTRY_HATCHED, 1, 0, HATCH_COUNTED),
      OF_SPAWN(3200, ENTRY_FED, 1, 0)},
     {.hatched_s = 3100, .hatch_how = HATCH_COUNTED, .closed_s = 3100},
     PHASE_OVER},
    {"fed, and again", /* the first is what counts */
     {TO_FRAMES, OF_SPAWN(5000, ENTRY_FED, 1, 0), OF_SPAWN(6000, ENTRY_FED, 1, 0)},
     {.fed_s = 5000},
     PHASE_LARVAE},
    {"an earlier first food said late",
     {TO_FRAMES, OF_SPAWN(6000, ENTRY_FED, 1, 0), OF_SPAWN(5000, ENTRY_FED, 1, 0)},
     {.fed_s = 5000},
     PHASE_LARVAE},
    {"deaths add up",
     {TO_FRAMES, OF_SPAWN(5000, ENTRY_DIED, 1, 300), OF_SPAWN(6000, ENTRY_DIED, 1, 200)},
     {.died = 500},
     PHASE_LARVAE},
    {"graded, some taken out, with deaths",
     {TO_FRAMES, OF_SPAWN(5000, ENTRY_GRADED, 1, 70), OF_SPAWN(6000, ENTRY_GRADED, 1, 0),
      OF_SPAWN(6100, ENTRY_DIED, 1, 5)},
     {.graded_s = 6000, .taken = 70, .died = 5},
     PHASE_LARVAE},
    {"a count begins anew",
     {TO_FRAMES, OF_SPAWN(5000, ENTRY_DIED, 1, 300), OF_SPAWN(5500, ENTRY_GRADED, 1, 70),
      OF_SPAWN(6000, ENTRY_COUNTED, 1, 9000), OF_SPAWN(6100, ENTRY_DIED, 1, 8)},
     {.counted_s = 6000, .counted = 9000, .died = 8, .graded_s = 5500},
     PHASE_LARVAE},
    {"deaths before the count said after it",
     {TO_FRAMES, OF_SPAWN(6000, ENTRY_COUNTED, 1, 9000), OF_SPAWN(5000, ENTRY_DIED, 1, 300)},
     {.counted_s = 6000, .counted = 9000},
     PHASE_LARVAE},
    {"sold in part",
     {TO_FRAMES, OF_SPAWN(9000, ENTRY_SOLD, 1, 1000, 0, 0)},
     {.taken = 1000},
     PHASE_LARVAE},
    {"the last sold",
     {TO_FRAMES, OF_SPAWN(9000, ENTRY_SOLD, 1, 1000, 200000, 1)},
     {.taken = 1000, .gone_s = 9000, .closed_s = 9000},
     PHASE_OVER},
    {"eggs lost",
     {INJECTED(1, 1, 1), STRIP(700, 1), OF_SPAWN(900, ENTRY_SPOILT, 1, 0), FRAMES(3000, 1)},
     {.spoilt_s = 900, .closed_s = 900},
     PHASE_OVER},
    {"larvae lost",
     {TO_FRAMES, OF_SPAWN(5000, ENTRY_SPOILT, 1, 0), OF_SPAWN(5100, ENTRY_DIED, 1, 7)},
     {.spoilt_s = 5000, .closed_s = 5000},
     PHASE_OVER},
    {"nothing of larvae before the strip",
     {INJECTED(1, 1, 1), OF_SPAWN(100, ENTRY_HATCHED, 1, 0, HATCH_SHARE),
      OF_SPAWN(101, ENTRY_SPOILT, 1, 0), OF_SPAWN(102, ENTRY_DIED, 1, 7),
      OF_SPAWN(103, ENTRY_SOLD, 1, 7, 0, 1), OF_SPAWN(104, ENTRY_FED, 1, 0),
      OF_SPAWN(105, ENTRY_COUNTED, 1, 7)},
     {0},
     PHASE_FISH},
};

static void larvae(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(larvae_cases); i++) {
        const char *name = larvae_cases[i].name;
        struct farm farm = say_all(larvae_cases[i].rows, SAY_MOST);
        const struct spawn *s = spawn_of(&farm, 1), *want = &larvae_cases[i].want;
        FIELD(name, spawn_phase(s), larvae_cases[i].phase);
        FIELD(name, say_min(s->hatched_s), want->hatched_s);
        FIELD(name, s->hatched, want->hatched);
        FIELD(name, s->hatch_how, want->hatch_how);
        FIELD(name, say_min(s->fed_s), want->fed_s);
        FIELD(name, say_min(s->graded_s), want->graded_s);
        FIELD(name, s->died, want->died);
        FIELD(name, say_min(s->counted_s), want->counted_s);
        FIELD(name, s->counted, want->counted);
        FIELD(name, s->taken, want->taken);
        FIELD(name, say_min(s->gone_s), want->gone_s);
        FIELD(name, say_min(s->spoilt_s), want->spoilt_s);
        FIELD(name, say_min(s->closed_s), want->closed_s);
        farm_free(&farm);
    }
}

/* -- phases --------------------------------------------------------------------------------------
 */

/* As the ledger goes on, entry by entry. */
static void phases(void **unused) {
    (void)unused;
    static const struct {
        struct say row;
        enum spawn_phase phase;
        const char *name;
    } steps[] = {
        {INJECTED(1, 1, 1), PHASE_FISH, "injected"},
        {FRAMES(2, 1), PHASE_FISH, "frames without eggs"},
        {OF_SPAWN(690, ENTRY_NOT_READY, 1, 0), PHASE_FISH, "not ready"},
        {STRIP(720, 1), PHASE_EGGS, "stripped"},
        {OF_SPAWN(1400, ENTRY_WHITE, 1, 10, 100), PHASE_EGGS, "white"},
        {FRAMES(3000, 1), PHASE_LARVAE, "frames out"},
        {OF_SPAWN(3001, ENTRY_WHITE, 1, 90, 100), PHASE_LARVAE, "white too late"},
        {OF_SPAWN(3100, ENTRY_HATCHED, 1, 50000, 1), PHASE_LARVAE, "hatched"},
        {OF_SPAWN(6000, ENTRY_FED, 1, 0), PHASE_LARVAE, "fed"},
        {OF_SPAWN(20000, ENTRY_SOLD, 1, 9000, 0, 1), PHASE_OVER, "sold"},
        {FRAMES(20001, 1), PHASE_OVER, "after all"},
    };
    struct farm farm = farm_make();
    for (size_t i = 0; i < COUNT_OF(steps); i++) {
        say_one(&farm, steps[i].row);
        FIELD(steps[i].name, spawn_phase(spawn_of(&farm, 1)), steps[i].phase);
        FIELD(steps[i].name, spawn_closed(spawn_of(&farm, 1)), steps[i].phase == PHASE_OVER);
    }
    FIELD("white", spawn_of(&farm, 1)->white, 10);
    FIELD("frames", say_min(spawn_of(&farm, 1)->frames_s), 3000);
    farm_free(&farm);
}

/* Ten days from the injection, forty once the frames are out; closed at once. */
static void open_limits(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int days; /* open to that second, not a second more; 0: closed */
    } cases[] = {
        {"a fish", {INJECTED(0, 1, 1)}, 10},
        {"eggs", {INJECTED(0, 1, 1), STRIP(700, 1)}, 10},
        {"larvae", {INJECTED(0, 1, 1), STRIP(700, 1), FRAMES(3000, 1)}, 40},
        {"no eggs", {INJECTED(0, 1, 1), OF_SPAWN(700, ENTRY_NO_EGGS, 1, 0)}, 0},
        {"larvae gone",
         {INJECTED(0, 1, 1), STRIP(700, 1), FRAMES(3000, 1),
          OF_SPAWN(4000, ENTRY_SOLD, 1, 1, 0, 1)},
         0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        const struct spawn *s = spawn_of(&farm, 1);
        int64_t end_s = LEDGER_START_S + cases[i].days * DAY_S;
        FIELD(cases[i].name, spawn_open(s, LEDGER_START_S), cases[i].days > 0);
        FIELD(cases[i].name, spawn_open(s, end_s), cases[i].days > 0);
        FIELD(cases[i].name, spawn_open(s, end_s + 1), false);
        farm_free(&farm);
    }
}

/* By the water, else by the frames. Half hatch at 24 degC takes 29 h (FAO 362's table); 45 degC is
 * outside it. */
static void half_hatch(void **unused) {
    (void)unused;
    struct farm farm = say_all((const struct say[]){INJECTED(0, 1, 1), WITH(0, 1, 24000)}, 2);
    FIELD("no strip", spawn_hatch_s(spawn_of(&farm, 1)), 0);
    say_one(&farm, (struct say)STRIP(720, 1));
    FIELD("by the water", say_min(spawn_hatch_s(spawn_of(&farm, 1))), 720 + 29 * 60);
    farm_free(&farm);
    farm = say_all((const struct say[]){INJECTED(0, 1, 1), WITH(0, 1, 24000), STRIP(720, 1),
                                        OWN(800, 1, 45000)},
                   4);
    FIELD("too warm", spawn_hatch_s(spawn_of(&farm, 1)), 0);
    say_one(&farm, (struct say)FRAMES(2000, 1));
    FIELD("by the frames", say_min(spawn_hatch_s(spawn_of(&farm, 1))), 2000);
    farm_free(&farm);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tanks),
        cmocka_unit_test(tanks_themselves),
        cmocka_unit_test(one_bowl),
        cmocka_unit_test(no_bowl),
        cmocka_unit_test(males_hormone_layer),
        cmocka_unit_test(larvae),
        cmocka_unit_test(phases),
        cmocka_unit_test(open_limits),
        cmocka_unit_test(half_hatch),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
