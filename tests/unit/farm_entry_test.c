/* Entries as stored lines: what is written is read back, and anything else is refused. */
#include "base_help.h"

#include "farm/entry.h"

#define HATCHERY SUBJECT_HATCHERY, 0
#define SPAWN    SUBJECT_SPAWN, 7
#define BROOD    SUBJECT_BROOD, 5
#define TANK     SUBJECT_TANK, 2
#define POND     SUBJECT_POND, 4
#define CYCLE    SUBJECT_CYCLE, 6
#define ORDER    SUBJECT_ORDER, 2
#define PLAN     SUBJECT_PLAN, 3

static const struct sample {
    enum entry_kind kind;
    enum subject_kind subject_kind;
    int64_t subject, value[ENTRY_VALUES_MAX];
    const char *line;
} samples[] = {
    {ENTRY_UNDO, HATCHERY, {1, 0, 0}, "message=1"},
    {ENTRY_UNDO, HATCHERY, {INT64_MAX, 0, 0}, "message=9223372036854775807"},
    {ENTRY_INJECTED, SPAWN, {2, 3, 1200000}, "female=2 tag=3 weight_mg=1200000"},
    {ENTRY_INJECTED,
     SPAWN,
     {INT64_MAX, 9999, 100000000},
     "female=9223372036854775807 tag=9999 weight_mg=100000000"},
    {ENTRY_WATER, HATCHERY, {24000, 0, 0}, "water_mdegc=24000 begins=0"},
    {ENTRY_WATER, SPAWN, {0, 1, 0}, "water_mdegc=0 begins=1"},
    {ENTRY_FOLLOW, SPAWN, {0}, ""},
    {ENTRY_NOT_READY, SPAWN, {0}, ""},
    {ENTRY_NO_EGGS, SPAWN, {0}, ""},
    {ENTRY_STRIPPED, SPAWN, {150000, 0, 0}, "eggs_mg=150000"},
    {ENTRY_WHITE, SPAWN, {0, 100, 0}, "white=0 of=100 fertile=0"},
    {ENTRY_FRAMES, SPAWN, {0}, ""},
    {ENTRY_WATER, TANK, {24500, 0}, "water_mdegc=24500 begins=0"},
    {ENTRY_HORMONE, SPAWN, {HORMONE_DRIED}, "hormone=2"},
    {ENTRY_MALE, SPAWN, {9, MALE_GLAND}, "male=9 use=2"},
    {ENTRY_TANK, SPAWN, {2}, "tank=2"},
    {ENTRY_LAYER, SPAWN, {LAYER_NET}, "layer=3"},
    {ENTRY_BOWL, SPAWN, {8}, "spawn=8"},
    {ENTRY_SPOILT, SPAWN, {0}, ""},
    {ENTRY_HATCHED, SPAWN, {0, HATCH_COUNTED}, "larvae=0 how=2 part=0 of=0"},
    {ENTRY_HATCHED, SPAWN, {0, HATCH_SHARE, 60, 100}, "larvae=0 how=1 part=60 of=100"},
    {ENTRY_FED, SPAWN, {0}, ""},
    {ENTRY_GRADED, SPAWN, {0}, "taken=0"},
    {ENTRY_GRADED, CYCLE, {200}, "taken=200"},
    {ENTRY_DIED, CYCLE, {1000000000}, "dead=1000000000"},
    {ENTRY_COUNTED, SPAWN, {0}, "alive=0"},
    {ENTRY_SOLD, CYCLE, {500, 1000000, 1}, "count=500 weight_mg=1000000 all=1"},
    {ENTRY_BROOD, BROOD, {SEX_MALE, 2, 0}, "sex=2 tag=2 weight_mg=0"},
    {ENTRY_BROOD_POND, BROOD, {4}, "pond=4"},
    {ENTRY_BROOD_BORN, BROOD, {1700000000}, "born_s=1700000000"},
    {ENTRY_BROOD_ORIGIN, BROOD, {1}, "party=1"},
    {ENTRY_BROOD_DIED, BROOD, {0}, ""},
    {ENTRY_SOURCE, HATCHERY, {SOURCE_LAKE}, "source=5"},
    {ENTRY_AIR_OFF, HATCHERY, {0}, ""},
    {ENTRY_AIR_ON, HATCHERY, {0}, ""},
    {ENTRY_VOLUME, TANK, {500000}, "volume_ml=500000"},
    {ENTRY_POND, POND, {4000000, 800, FENCE_STANDS}, "area_cm2=4000000 depth_mm=800 fence=2"},
    {ENTRY_SOIL, POND, {5500, 2}, "ph_milli=5500 soil=2"},
    {ENTRY_PREPARE, POND, {1795458600, 0}, "day_s=1795458600 spawn=0"},
    {ENTRY_PREPARED, POND, {PREP_LIME, 3}, "step=2 lime=3"},
    {ENTRY_POND_PH, POND, {8400}, "ph_milli=8400"},
    {ENTRY_STOCKED,
     CYCLE,
     {4, 12000, 100000, 3, 0, 1},
     "pond=4 count=12000 mean_ug=100000 spawn=3 cycle=0 all=1"},
    {ENTRY_HARVESTED,
     CYCLE,
     {2909, 6400000, 0, 50, 110000},
     "count=2909 weight_mg=6400000 empty=0 sample=50 sample_mg=110000"},
    {ENTRY_WATER, POND, {27500, 0}, "water_mdegc=27500 begins=0"},
    {ENTRY_GIVEN, POND, {5000000, 7}, "feed_mg=5000000 feed=7"},
    {ENTRY_LEFT, POND, {0}, ""},
    {ENTRY_READING, POND, {READING_OXYGEN, 3200}, "what=1 value=3200"},
    {ENTRY_READING, TANK, {READING_SECCHI, 0}, "what=5 value=0"},
    {ENTRY_GASPING, POND, {0}, ""},
    {ENTRY_TREATED, POND, {0}, ""},
    {ENTRY_CATCH, POND, {1795458600}, "day_s=1795458600"},
    {ENTRY_AERATOR, POND, {AERATOR_RUNS}, "aerator=2"},
    {ENTRY_SAMPLED,
     CYCLE,
     {30, 85000000, 6000000, 400, 215000, 40000, 160000},
     "count=30 mean_ug=85000000 error_ug=6000000 cv_permille=400 length_um=215000 least_mg=40000 "
     "largest_mg=160000"},
    {ENTRY_STOLEN, CYCLE, {300}, "count=300"},
    {ENTRY_BIG, CYCLE, {40, 20000000}, "count=40 weight_mg=20000000"},
    {ENTRY_MEASURE, HATCHERY, {MEASURE_BAG, 25000000, 0}, "measure=6 weight_mg=25000000 feed=0"},
    {ENTRY_TABLE, HATCHERY, {50000, 40000, 1}, "weight_mg=50000 share_ppm=40000 first=1"},
    {ENTRY_HEIGHT, HATCHERY, {1660}, "height_m=1660"},
    {ENTRY_BOUGHT, HATCHERY, {100000000, 3}, "weight_mg=100000000 feed=3"},
    {ENTRY_STORE, HATCHERY, {0, 0}, "weight_mg=0 feed=0"},
    {ENTRY_ORDERED,
     ORDER,
     {5000, 2000, 1805000400, 4, 5000},
     "count=5000 mean_mg=2000 day_s=1805000400 buyer=4 promised=5000"},
    {ENTRY_ORDER_CHANGED,
     ORDER,
     {4000, 0, 0, 0, 3800},
     "count=4000 mean_mg=0 day_s=0 buyer=0 promised=3800"},
    {ENTRY_ORDER_OFF, ORDER, {0}, ""},
    {ENTRY_DELIVERED, ORDER, {2500, 1}, "count=2500 all=1"},
    {ENTRY_PLANNED,
     PLAN,
     {1801000000, 2, 5000, 2000, 1805000400},
     "inject_s=1801000000 order=2 fish=5000 size_mg=2000 day_s=1805000400"},
    {ENTRY_PLAN_FEMALE, PLAN, {7, 1}, "female=7 spare=1"},
    {ENTRY_PLAN_POND, PLAN, {4}, "pond=4"},
    {ENTRY_PLAN_OFF, PLAN, {0}, ""},
    {ENTRY_CURRENCY, HATCHERY, {6883}, "code=6883"},
    {ENTRY_PRICE,
     HATCHERY,
     {PRICE_FEED, 3, 350000, PRICE_MEASURE, MEASURE_BAG},
     "thing=1 party=3 minor=350000 per=3 measure=6"},
    {ENTRY_COST,
     HATCHERY,
     {1400000, 0, 3, 100000000},
     "minor=1400000 what=0 feed=3 weight_mg=100000000"},
    {ENTRY_COST, SPAWN, {0, 9, 0, 0}, "minor=0 what=9 feed=0 weight_mg=0"},
    {ENTRY_COST, POND, {20000, 5, 0, 0}, "minor=20000 what=5 feed=0 weight_mg=0"},
    {ENTRY_COST, CYCLE, {20000, 5, 0, 0}, "minor=20000 what=5 feed=0 weight_mg=0"},
    {ENTRY_INCOME,
     CYCLE,
     {2500000, 4, 1, 2500, 5000000},
     "minor=2500000 buyer=4 paid=1 count=2500 weight_mg=5000000"},
    {ENTRY_INCOME, HATCHERY, {1, 0, 0, 0, 0}, "minor=1 buyer=0 paid=0 count=0 weight_mg=0"},
    {ENTRY_INCOME, SPAWN, {500, 0, 0, 50, 0}, "minor=500 buyer=0 paid=0 count=50 weight_mg=0"},
    {ENTRY_PAID, HATCHERY, {1000000000000000, 4, 0}, "minor=1000000000000000 buyer=4 back=0"},
};

static struct entry entry_of(const struct sample *s) {
    struct entry e = {.kind = s->kind,
                      .version = entry_version(s->kind),
                      .subject_kind = s->subject_kind,
                      .subject = s->subject};
    memcpy(e.value, s->value, sizeof e.value);
    return e;
}

/* A reader's blank: the values of before must not shine through. */
static struct entry blank_of(const struct sample *s) {
    struct entry e = entry_of(s);
    memset(e.value, 0x55, sizeof e.value);
    return e;
}

static void there_and_back(void **unused) {
    (void)unused;
    bool seen[ENTRY_KIND_END] = {false};
    for (size_t i = 0; i < COUNT_OF(samples); i++) {
        struct entry e = entry_of(&samples[i]), back = blank_of(&samples[i]);
        struct buf line = buf_make(200);
        entry_write(&e, &line);
        OK(buf_err(&line));
        assert_string_equal(buf_str(&line), samples[i].line);
        OK(entry_read(buf_slice(&line), &back));
        assert_memory_equal(e.value, back.value, sizeof e.value);
        buf_free(&line);
        seen[e.kind] = true;
    }
    for (int kind = ENTRY_UNDO; kind < ENTRY_KIND_END; kind++)
        if (!seen[kind])
            fail_msg("kind %d has no sample", kind);
}

/* A store of an earlier build: its lines are read, the fields that came later are 0, and what is
 * written of them is the same line. A field of a later version is refused in an earlier one. */
static void earlier_versions(void **unused) {
    (void)unused;
    static const struct sample old[] = {
        {ENTRY_WHITE, SPAWN, {20, 100}, "white=20 of=100"},
        {ENTRY_HATCHED, SPAWN, {54000, HATCH_SHARE}, "larvae=54000 how=1"},
        {ENTRY_HARVESTED, CYCLE, {2909, 6400000, 1}, "count=2909 weight_mg=6400000 empty=1"},
        {ENTRY_SAMPLED,
         CYCLE,
         {30, 85000000, 6000000, 400, 0},
         "count=30 mean_ug=85000000 error_ug=6000000 cv_permille=400 length_um=0"},
    };
    for (size_t i = 0; i < COUNT_OF(old); i++) {
        struct entry e = blank_of(&old[i]);
        e.version = 1;
        OK(entry_read(slice_of(old[i].line), &e));
        assert_memory_equal(e.value, old[i].value, sizeof e.value);
        assert_true(entry_sound(&e));
        struct buf line = buf_make(200);
        entry_write(&e, &line);
        assert_string_equal(buf_str(&line), old[i].line);
        buf_free(&line);
        e.version = 2;
        WANT(ERR_CORRUPT, entry_read(slice_of(old[i].line), &e));
        assert_int_equal(entry_version(old[i].kind), 2);
        e.version = 3;
        assert_false(entry_sound(&e));
    }
    assert_int_equal(entry_version(ENTRY_FRAMES), 1);
}

/* What is read either is refused or writes the very bytes that were read: no second spelling. */
static void refused_or_same(const struct sample *s, struct slice line) {
    struct entry e = blank_of(s);
    enum err got = entry_read(line, &e);
    if (got == ERR_CORRUPT)
        return;
    OK(got);
    struct buf again = buf_make(200);
    entry_write(&e, &again);
    if (!slice_eq(buf_slice(&again), line))
        fail_msg("kind %d: \"%.*s\" was read as \"%s\"", s->kind, SLICE_ARG(line), buf_str(&again));
    buf_free(&again);
}

/* Every byte of every line changed to every other, dropped, doubled, and cut there. */
static void damaged_bytes(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(samples); i++) {
        char text[200];
        size_t n = strlen(samples[i].line);
        for (size_t at = 0; at <= n; at++)
            for (int c = 0; c < 256; c++) {
                memcpy(text, samples[i].line, n);
                if (at < n) {
                    text[at] = (char)c;
                    refused_or_same(&samples[i], (struct slice){text, n});
                }
                memcpy(text + at + 1, samples[i].line + at, n - at);
                text[at] = (char)c; /* put in between */
                refused_or_same(&samples[i], (struct slice){text, n + 1});
            }
        for (size_t at = 0; at < n; at++) {
            memcpy(text, samples[i].line, at);
            struct entry e = blank_of(&samples[i]);
            struct slice cut = {text, at};
            if (samples[i].line[at] < '0' || samples[i].line[at] > '9' || text[at - 1] == '=')
                WANT(ERR_CORRUPT, entry_read(cut, &e));
            else
                refused_or_same(&samples[i], cut); /* a number cut short is a number */
            memcpy(text + at, samples[i].line + at + 1, n - at - 1);
            refused_or_same(&samples[i], (struct slice){text, n - 1});
        }
    }
}

/* A value of a sample moved about: entry_sound says what reading back says. */
static void sound_is_what_is_read(void **unused) {
    (void)unused;
    static const int64_t odd[] = {-1,        0,          1,         2,         15,       10000,
                                  100000001, 1000000001, INT64_MIN, INT64_MAX, 14000001, 6};
    for (size_t i = 0; i < sizeof samples / sizeof *samples; i++)
        for (int at = 0; at < ENTRY_VALUES_MAX; at++)
            for (size_t k = 0; k < sizeof odd / sizeof *odd; k++) {
                struct entry e = {.kind = samples[i].kind,
                                  .version = entry_version(samples[i].kind),
                                  .subject_kind = samples[i].subject_kind,
                                  .subject = samples[i].subject};
                memcpy(e.value, samples[i].value, sizeof e.value);
                e.value[at] = odd[k];
                struct buf line = buf_make(400);
                entry_write(&e, &line);
                struct entry back = e;
                bool read = entry_read(buf_slice(&line), &back) == ERR_OK &&
                            memcmp(back.value, e.value, sizeof e.value) == 0;
                assert_int_equal(entry_sound(&e), read);
                buf_free(&line);
            }
}

static void refused_lines(void **unused) {
    (void)unused;
    static const struct {
        enum entry_kind kind;
        const char *line;
    } cases[] = {
        {ENTRY_STRIPPED, ""},
        {ENTRY_STRIPPED, "eggs_mg"},
        {ENTRY_STRIPPED, "eggs_mg="},
        {ENTRY_STRIPPED, "eggs_mg=0"},
        {ENTRY_STRIPPED, "eggs_mg=-1"},
        {ENTRY_STRIPPED, "eggs_mg=100000001"},
        {ENTRY_STRIPPED, "eggs_mg=9223372036854775808"},
        {ENTRY_STRIPPED, "eggs_mg=+1"},
        {ENTRY_STRIPPED, "eggs_mg=01"},
        {ENTRY_STRIPPED, "eggs_mg=1 "},
        {ENTRY_STRIPPED, " eggs_mg=1"},
        {ENTRY_STRIPPED, "eggs_mg=1 eggs_mg=1"},
        {ENTRY_STRIPPED, "eggs_g=1"},
        {ENTRY_STRIPPED, "EGGS_MG=1"},
        {ENTRY_WHITE, "of=100 white=3"},
        {ENTRY_WHITE, "white=3"},
        {ENTRY_WHITE, "white=3  of=100"},
        {ENTRY_WHITE, "white=3 of=100 fertile=0"}, /* of version 2 */
        {ENTRY_WHITE, "white=3 of=0"},
        {ENTRY_INJECTED, "female=0 tag=3 weight_mg=1"},
        {ENTRY_INJECTED, "female=1 tag=10000 weight_mg=1"},
        {ENTRY_INJECTED, "female=1 tag=3 weight_mg=0"},
        {ENTRY_WATER, "water_mdegc=50001 begins=0"},
        {ENTRY_WATER, "water_mdegc=-1 begins=0"},
        {ENTRY_WATER, "water_mdegc=24000 begins=2"},
        {ENTRY_FRAMES, " "},
        {ENTRY_FRAMES, "frames=1"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct entry e = {.kind = cases[i].kind,
                          .version = ENTRY_VERSION,
                          .subject_kind = SUBJECT_SPAWN,
                          .subject = 1};
        if (entry_read(slice_of(cases[i].line), &e) != ERR_CORRUPT)
            fail_msg("kind %d took \"%s\"", cases[i].kind, cases[i].line);
    }
}

/* Kind, version and subject come from columns of their own and are checked, too. */
static void refused_heads(void **unused) {
    (void)unused;
    static const struct {
        int kind, version, subject_kind;
        int64_t subject;
        const char *line;
    } cases[] = {
        {0, 1, SPAWN, ""},
        {-1, 1, SPAWN, ""},
        {ENTRY_KIND_END, 1, SPAWN, ""},
        {1000000, 1, SPAWN, ""},
        {ENTRY_FRAMES, 0, SPAWN, ""},
        {ENTRY_FRAMES, ENTRY_VERSION + 1, SPAWN, ""},
        {ENTRY_FRAMES, 1, 2, 7, ""},
        {ENTRY_FRAMES, 1, -1, 7, ""},
        {ENTRY_FRAMES, 1, SUBJECT_SPAWN, 0, ""},
        {ENTRY_FRAMES, 1, SUBJECT_SPAWN, -7, ""},
        {ENTRY_FRAMES, 1, HATCHERY, ""},
        {ENTRY_INJECTED, 1, HATCHERY, "female=1 tag=3 weight_mg=1"},
        {ENTRY_WATER, 1, SUBJECT_HATCHERY, 7, "water_mdegc=24000 begins=0"},
        {ENTRY_UNDO, 1, SPAWN, "message=1"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct entry e = {.kind = (enum entry_kind)cases[i].kind,
                          .version = cases[i].version,
                          .subject_kind = (enum subject_kind)cases[i].subject_kind,
                          .subject = cases[i].subject};
        if (entry_read(slice_of(cases[i].line), &e) != ERR_CORRUPT)
            fail_msg("case %zu was taken", i);
    }
    struct entry unknown = {.kind = ENTRY_KIND_END, .version = 1};
    struct buf line = buf_make(200);
    entry_write(&unknown, &line);
    assert_int_equal(line.n, 0);
    buf_free(&line);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(there_and_back),        cmocka_unit_test(damaged_bytes),
        cmocka_unit_test(sound_is_what_is_read), cmocka_unit_test(earlier_versions),
        cmocka_unit_test(refused_lines),         cmocka_unit_test(refused_heads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
