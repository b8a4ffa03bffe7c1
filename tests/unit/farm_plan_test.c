/* The plan of a night and of the days after it, as tables. The hours are worked out by hand from
 * the tables of latency and hatching at one held temperature (12 h and 29 h at 24 degC) and from
 * the service's own rules; 24 degC falling to 22 at 22:00 gives 09:29, a check value worked out
 * apart from this program by a sum of one-second steps. */
#include "farm_ledger.h"

#include "farm/farm.h"

/* Minutes from midnight before the injection, which is on day 0 at 18:30 of the farm's zone. */
#define AT(day, hour, minute) ((day)*1440 + (hour)*60 + (minute))
#define INJECTED              AT(0, 18, 30)
#define NEVER                 (-1)

enum { SPAWN = 1, TOLD_ROOM = 6, SAID_ROOM = 5 };

static struct zone nairobi, london;

static int load_zones(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) || zone_load("Europe/London", &london);
}

/* One entry about the spawn (or, by its kind, the hatchery's water). */
struct said {
    enum entry_kind kind;
    int at_min;
    int64_t value[2];
    bool hatchery;
};

struct told_row {
    enum task_kind kind;
    int nth;
    enum task_stage stage;
    int told_min;
    enum outcome outcome;
};

struct want {
    enum task_kind kind;
    int nth;
    enum task_stage stage;
    int due_min, hour_min, useful_min; /* due NEVER: not planned; hour 0: none */
    enum level level;
};

struct night {
    const char *name;
    struct said said[SAID_ROOM];
    struct told_row told[TOLD_ROOM];
    int now_min;
    struct want want;
};

/* Midnight before the injection, Monday 2026-11-23. */
static int64_t midnight_of(const struct zone *zone) {
    return zone_midnight(zone, LEDGER_START_S, 0);
}

static void add(struct farm *farm, const struct zone *zone, const struct said *said) {
    int64_t at_s = midnight_of(zone) + said->at_min * MINUTE_S;
    struct entry e = {.seq = farm_head(farm) + 1,
                      .at_s = at_s,
                      .said_s = at_s,
                      .message = farm_head(farm) + 1,
                      .person = 1,
                      .kind = said->kind,
                      .version = ENTRY_VERSION,
                      .subject_kind = said->hatchery ? SUBJECT_HATCHERY : SUBJECT_SPAWN,
                      .subject = said->hatchery ? 0 : SPAWN,
                      .value = {said->value[0], said->value[1]}};
    if (e.kind == ENTRY_INJECTED) {
        e.value[0] = e.value[1] = 3;
        e.value[2] = 1200000;
    }
    OK(farm_add(farm, &e, 1));
}

/* F3 injected on Monday at 18:30 at 24 degC, and what the case says after it. */
static struct farm farm_of(const struct zone *zone, int64_t mdegc, const struct said *said) {
    struct farm farm = farm_make();
    add(&farm, zone, &(struct said){ENTRY_INJECTED, INJECTED, {0}, false});
    add(&farm, zone, &(struct said){ENTRY_WATER, INJECTED, {mdegc, WATER_AT_INJECTION}, false});
    for (int i = 0; i < SAID_ROOM && said && said[i].kind; i++)
        add(&farm, zone, &said[i]);
    return farm;
}

static const char *clock_text(const struct zone *zone, int64_t at_s, char out[40]) {
    struct zone_time t = zone_local(zone, at_s);
    (void)snprintf(out, 40, "day %d %02d:%02d:%02d", zone_days_between(zone, LEDGER_START_S, at_s),
                   t.hour, t.minute, t.second);
    return out;
}

static void same_hour(const struct night *n, const struct zone *zone, const char *what,
                      int64_t got_s, int want_min) {
    int64_t want_s = want_min ? midnight_of(zone) + want_min * MINUTE_S : 0;
    char got[40], want[40];
    if (got_s != want_s)
        fail_msg("%s: %s: got %s, wanted %s", n->name, what, clock_text(zone, got_s, got),
                 clock_text(zone, want_s, want));
}

/* The hour that a text of this task names: what is planned for it before anything was told. */
static int64_t hour_of(const struct farm *farm, const struct zone *zone, enum task_kind kind,
                       int nth) {
    static struct told_list none;
    none.count = 0;
    struct plan_list p = plan_of(farm, &none, zone, midnight_of(zone) + INJECTED * MINUTE_S);
    for (int i = 0; i < p.count; i++)
        if (p.tasks[i].key.kind == kind && p.tasks[i].key.nth == nth)
            return p.tasks[i].hour_s;
    return 0;
}

static void check_night(const struct night *n, const struct zone *zone) {
    static struct told_list told;
    struct farm farm = farm_of(zone, 24000, n->said);
    told.count = 0;
    for (int i = 0; i < TOLD_ROOM && n->told[i].kind; i++)
        tell(&told, (struct task_key){n->told[i].kind, SPAWN, n->told[i].nth, n->told[i].stage},
             hour_of(&farm, zone, n->told[i].kind, n->told[i].nth),
             midnight_of(zone) + n->told[i].told_min * MINUTE_S, n->told[i].outcome);
    struct plan_list p = plan_of(&farm, &told, zone, midnight_of(zone) + n->now_min * MINUTE_S);
    const struct task_key key = {n->want.kind, SPAWN, n->want.nth, n->want.stage};
    const struct task *found = NULL;
    for (int i = 0; i < p.count && !found; i++)
        if (same_key(p.tasks[i].key, key))
            found = &p.tasks[i];
    if (!found != (n->want.due_min == NEVER))
        fail_msg("%s: %s", n->name, found ? "is planned" : "is not planned");
    if (found) {
        same_hour(n, zone, "due", found->due_s, n->want.due_min);
        same_hour(n, zone, "hour", found->hour_s, n->want.hour_min);
        same_hour(n, zone, "useful", found->useful_s, n->want.useful_min);
        assert_int_equal(found->level, n->want.level);
        assert_int_equal(found->hand, 1);
    }
    farm_free(&farm);
}

#define NOTHING_SAID                                                                               \
    {                                                                                              \
        { 0 }                                                                                      \
    }
#define NOTHING_TOLD                                                                               \
    {                                                                                              \
        { 0 }                                                                                      \
    }
#define LOOK_AT_0630                                                                               \
    { TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 30), OUTCOME_DELIVERED }
#define STRIP(at)                                                                                  \
    { ENTRY_STRIPPED, at, {150000}, false }
#define WAIT(at)                                                                                   \
    { ENTRY_NOT_READY, at, {0}, false }
#define GONE(kind, nth, stage)                                                                     \
    { kind, nth, stage, NEVER, 0, 0, LEVEL_ALARM }

static const struct night before_stripping[] = {
    {"asks her water",
     NOTHING_SAID,
     NOTHING_TOLD,
     AT(0, 18, 32),
     {TASK_WATER, 0, STAGE_FIRST, AT(0, 22, 0), AT(1, 6, 30), AT(0, 23, 30), LEVEL_STEP}},
    {"not after half past eleven", NOTHING_SAID, NOTHING_TOLD, AT(0, 23, 31),
     GONE(TASK_WATER, 0, STAGE_FIRST)},
    {"her tank read after eight is enough",
     {{ENTRY_WATER, AT(0, 20, 5), {24000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(0, 21, 5),
     GONE(TASK_WATER, 0, STAGE_FIRST)},
    {"read at eight it is asked",
     {{ENTRY_WATER, AT(0, 20, 0), {24000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(0, 21, 5),
     {TASK_WATER, 0, STAGE_FIRST, AT(0, 22, 0), AT(1, 6, 30), AT(0, 23, 30), LEVEL_STEP}},
    {"so is the hatchery's, where she has no tank of her own",
     {{ENTRY_WATER, AT(0, 21, 30), {24000}, true}},
     NOTHING_TOLD,
     AT(0, 21, 35),
     GONE(TASK_WATER, 0, STAGE_FIRST)},
    {"get ready",
     NOTHING_SAID,
     NOTHING_TOLD,
     AT(0, 18, 32),
     {TASK_READY, 0, STAGE_FIRST, AT(1, 5, 45), AT(1, 6, 30), AT(1, 6, 30), LEVEL_STEP}},
    {"first look",
     NOTHING_SAID,
     NOTHING_TOLD,
     AT(0, 18, 32),
     {TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 30), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"missed at twice the table's time",
     NOTHING_SAID,
     NOTHING_TOLD,
     AT(0, 18, 32),
     {TASK_LOOK, 0, STAGE_MISSED, AT(1, 18, 30), AT(1, 6, 30), AT(2, 6, 30), LEVEL_STEP}},
    {"no ladder before it was told", NOTHING_SAID, NOTHING_TOLD, AT(1, 6, 35),
     GONE(TASK_LOOK, 0, STAGE_AGAIN)},
    {"told once", NOTHING_SAID, {LOOK_AT_0630}, AT(1, 6, 31), GONE(TASK_LOOK, 0, STAGE_FIRST)},
    {"again",
     NOTHING_SAID,
     {LOOK_AT_0630},
     AT(1, 6, 31),
     {TASK_LOOK, 0, STAGE_AGAIN, AT(1, 6, 45), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"the owner",
     NOTHING_SAID,
     {LOOK_AT_0630},
     AT(1, 6, 31),
     {TASK_LOOK, 0, STAGE_OWNER, AT(1, 7, 0), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"the adviser",
     NOTHING_SAID,
     {LOOK_AT_0630},
     AT(1, 6, 31),
     {TASK_LOOK, 0, STAGE_ADVISER, AT(1, 7, 30), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"the ladder counts from the telling",
     NOTHING_SAID,
     {{TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 52), OUTCOME_SENT}},
     AT(1, 6, 53),
     {TASK_LOOK, 0, STAGE_OWNER, AT(1, 7, 22), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"the hand cannot be reached: the owner at once",
     NOTHING_SAID,
     {{TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 30), OUTCOME_FAILED}},
     AT(1, 6, 31),
     {TASK_LOOK, 0, STAGE_OWNER, AT(1, 6, 30), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"one of two hands was reached",
     NOTHING_SAID,
     {{TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 30), OUTCOME_FAILED}, LOOK_AT_0630},
     AT(1, 6, 31),
     {TASK_LOOK, 0, STAGE_OWNER, AT(1, 7, 0), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"answered stops the ladder",
     NOTHING_SAID,
     {{TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 30), OUTCOME_ANSWERED}},
     AT(1, 6, 40),
     GONE(TASK_LOOK, 0, STAGE_AGAIN)},
    {"the repeated one answered stops the owner's",
     NOTHING_SAID,
     {LOOK_AT_0630, {TASK_LOOK, 0, STAGE_AGAIN, AT(1, 6, 45), OUTCOME_ANSWERED}},
     AT(1, 6, 50),
     GONE(TASK_LOOK, 0, STAGE_OWNER)},
    {"answered but not acted on is missed",
     NOTHING_SAID,
     {{TASK_LOOK, 0, STAGE_FIRST, AT(1, 6, 30), OUTCOME_ANSWERED}},
     AT(1, 6, 40),
     {TASK_LOOK, 0, STAGE_MISSED, AT(1, 18, 30), AT(1, 6, 30), AT(2, 6, 30), LEVEL_STEP}},
    {"no look when it is over", NOTHING_SAID, NOTHING_TOLD, AT(1, 18, 31),
     GONE(TASK_LOOK, 0, STAGE_FIRST)},
    {"missed stays half a day",
     NOTHING_SAID,
     NOTHING_TOLD,
     AT(2, 6, 30),
     {TASK_LOOK, 0, STAGE_MISSED, AT(1, 18, 30), AT(1, 6, 30), AT(2, 6, 30), LEVEL_STEP}},
    {"and then is gone", NOTHING_SAID, NOTHING_TOLD, AT(2, 6, 31),
     GONE(TASK_LOOK, 0, STAGE_MISSED)},
    {"her tank at 22 moves the look",
     {{ENTRY_WATER, AT(0, 22, 0), {22000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(0, 22, 1),
     {TASK_LOOK, 0, STAGE_FIRST, AT(1, 9, 30), AT(1, 9, 30), AT(2, 1, 0), LEVEL_ALARM}},
    {"and getting ready with it",
     {{ENTRY_WATER, AT(0, 22, 0), {22000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(0, 22, 1),
     {TASK_READY, 0, STAGE_FIRST, AT(1, 8, 45), AT(1, 9, 30), AT(1, 9, 30), LEVEL_STEP}},
    {"too cold: no hour",
     {{ENTRY_WATER, AT(0, 22, 0), {18000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(0, 22, 1),
     GONE(TASK_LOOK, 0, STAGE_FIRST)},
    {"too cold: her tank is asked two hours on",
     {{ENTRY_WATER, AT(0, 22, 0), {18000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(0, 22, 1),
     {TASK_WATER, 331, STAGE_FIRST, AT(1, 0, 0), 0, AT(1, 1, 30), LEVEL_STEP}},
    {"closed",
     {{ENTRY_NO_EGGS, AT(1, 9, 0), {0}, false}},
     NOTHING_TOLD,
     AT(1, 9, 1),
     GONE(TASK_LOOK, 0, STAGE_FIRST)},
};

static const struct night waiting[] = {
    {"half an hour on",
     {WAIT(AT(1, 6, 40))},
     NOTHING_TOLD,
     AT(1, 6, 41),
     {TASK_LOOK, 1, STAGE_FIRST, AT(1, 7, 10), AT(1, 7, 10), AT(1, 18, 30), LEVEL_ALARM}},
    {"the look before is done",
     {WAIT(AT(1, 6, 40))},
     {LOOK_AT_0630},
     AT(1, 6, 41),
     GONE(TASK_LOOK, 0, STAGE_AGAIN)},
    {"no more getting ready",
     {WAIT(AT(1, 5, 50))},
     NOTHING_TOLD,
     AT(1, 5, 51),
     GONE(TASK_READY, 0, STAGE_FIRST)},
    {"a look long before its hour changes nothing",
     {WAIT(AT(1, 5, 0))},
     NOTHING_TOLD,
     AT(1, 5, 1),
     {TASK_READY, 0, STAGE_FIRST, AT(1, 5, 45), AT(1, 6, 30), AT(1, 6, 30), LEVEL_STEP}},
    {"never before the first look",
     {WAIT(AT(1, 5, 0))},
     NOTHING_TOLD,
     AT(1, 5, 1),
     {TASK_LOOK, 1, STAGE_FIRST, AT(1, 6, 30), AT(1, 6, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"each wait is a look of its own",
     {WAIT(AT(1, 6, 40)), WAIT(AT(1, 7, 13))},
     NOTHING_TOLD,
     AT(1, 7, 14),
     {TASK_LOOK, 2, STAGE_FIRST, AT(1, 7, 45), AT(1, 7, 45), AT(1, 18, 30), LEVEL_ALARM}},
    {"just under one and a half times",
     {WAIT(AT(1, 12, 29))},
     NOTHING_TOLD,
     AT(1, 12, 30),
     {TASK_LOOK, 1, STAGE_FIRST, AT(1, 13, 0), AT(1, 13, 0), AT(1, 18, 30), LEVEL_ALARM}},
    {"from there hourly",
     {WAIT(AT(1, 12, 30))},
     NOTHING_TOLD,
     AT(1, 12, 31),
     {TASK_LOOK, 1, STAGE_FIRST, AT(1, 13, 30), AT(1, 13, 30), AT(1, 18, 30), LEVEL_ALARM}},
    {"the last look of all",
     {WAIT(AT(1, 17, 30))},
     NOTHING_TOLD,
     AT(1, 17, 31),
     {TASK_LOOK, 1, STAGE_FIRST, AT(1, 18, 30), AT(1, 18, 30), AT(1, 19, 30), LEVEL_ALARM}},
    {"none after twice the time",
     {WAIT(AT(1, 18, 26))},
     NOTHING_TOLD,
     AT(1, 18, 27),
     GONE(TASK_LOOK, 1, STAGE_FIRST)},
};

#define READY_SENT                                                                                 \
    { TASK_READY, 0, STAGE_FIRST, AT(1, 5, 45), OUTCOME_SENT }

static const struct night phone_off[] = {
    {"no receipt",
     NOTHING_SAID,
     {READY_SENT},
     AT(1, 5, 46),
     {TASK_READY, 0, STAGE_OFF, AT(1, 6, 0), AT(1, 6, 30), AT(1, 6, 30), LEVEL_ALARM}},
    {"not sent yet", NOTHING_SAID, NOTHING_TOLD, AT(1, 5, 46), GONE(TASK_READY, 0, STAGE_OFF)},
    {"a receipt",
     NOTHING_SAID,
     {{TASK_READY, 0, STAGE_FIRST, AT(1, 5, 45), OUTCOME_DELIVERED}},
     AT(1, 5, 50),
     GONE(TASK_READY, 0, STAGE_OFF)},
    {"one of two has it",
     NOTHING_SAID,
     {READY_SENT, {TASK_READY, 0, STAGE_FIRST, AT(1, 5, 45), OUTCOME_DELIVERED}},
     AT(1, 5, 50),
     GONE(TASK_READY, 0, STAGE_OFF)},
    {"answered",
     NOTHING_SAID,
     {{TASK_READY, 0, STAGE_FIRST, AT(1, 5, 45), OUTCOME_ANSWERED}},
     AT(1, 5, 50),
     GONE(TASK_READY, 0, STAGE_OFF)},
    {"once",
     NOTHING_SAID,
     {READY_SENT, {TASK_READY, 0, STAGE_OFF, AT(1, 6, 0), OUTCOME_DELIVERED}},
     AT(1, 6, 5),
     GONE(TASK_READY, 0, STAGE_OFF)},
    {"over with the look",
     NOTHING_SAID,
     {READY_SENT},
     AT(1, 6, 31),
     GONE(TASK_READY, 0, STAGE_OFF)},
    {"looked meanwhile",
     {WAIT(AT(1, 5, 50))},
     {READY_SENT},
     AT(1, 5, 51),
     GONE(TASK_READY, 0, STAGE_OFF)},
};

/* Half hatch 29 h, lift 1.2 times that (34 h 48), last hour 1.65 times (47 h 51). */
static const struct night after_stripping[] = {
    {"no look any more",
     {STRIP(AT(1, 7, 20))},
     {LOOK_AT_0630},
     AT(1, 7, 21),
     GONE(TASK_LOOK, 0, STAGE_AGAIN)},
    {"nor its missing",
     {STRIP(AT(1, 7, 20))},
     {LOOK_AT_0630},
     AT(1, 18, 31),
     GONE(TASK_LOOK, 0, STAGE_MISSED)},
    {"white eggs ten hours on",
     {STRIP(AT(1, 7, 20))},
     NOTHING_TOLD,
     AT(1, 7, 21),
     {TASK_WHITE, 0, STAGE_FIRST, AT(1, 17, 20), AT(1, 17, 20), AT(1, 20, 20), LEVEL_STEP}},
    {"counted",
     {STRIP(AT(1, 7, 20)), {ENTRY_WHITE, AT(1, 17, 0), {10, 100}, false}},
     NOTHING_TOLD,
     AT(1, 17, 1),
     GONE(TASK_WHITE, 0, STAGE_FIRST)},
    {"frames an hour before their last",
     {STRIP(AT(1, 7, 20))},
     NOTHING_TOLD,
     AT(1, 7, 21),
     {TASK_FRAMES, 0, STAGE_FIRST, AT(3, 6, 10), AT(3, 7, 10), AT(3, 19, 10), LEVEL_ALARM}},
    /* at 30 degC from the strip on: half hatch 16:30, last hour 05:30 two days after */
    {"no lift look after the frames' alarm",
     {STRIP(AT(1, 20, 30)), {ENTRY_WATER, AT(1, 20, 30), {30000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(1, 20, 31),
     GONE(TASK_LIFT, 0, STAGE_FIRST)},
    {"that alarm",
     {STRIP(AT(1, 20, 30)), {ENTRY_WATER, AT(1, 20, 30), {30000, WATER_OWN}, false}},
     NOTHING_TOLD,
     AT(1, 20, 31),
     {TASK_FRAMES, 0, STAGE_FIRST, AT(3, 4, 30), AT(3, 5, 30), AT(3, 17, 30), LEVEL_ALARM}},
    {"lift look by day",
     {STRIP(AT(1, 3, 0))},
     NOTHING_TOLD,
     AT(1, 3, 1),
     {TASK_LIFT, 0, STAGE_FIRST, AT(2, 13, 50), AT(3, 2, 50), AT(3, 1, 50), LEVEL_STEP}},
    {"a dark last hour rings all the same",
     {STRIP(AT(1, 3, 0))},
     NOTHING_TOLD,
     AT(1, 3, 1),
     {TASK_FRAMES, 0, STAGE_FIRST, AT(3, 1, 50), AT(3, 2, 50), AT(3, 14, 50), LEVEL_ALARM}},
    {"and somebody can look at five before it",
     {STRIP(AT(1, 3, 0))},
     NOTHING_TOLD,
     AT(1, 3, 1),
     {TASK_LIFT, 1, STAGE_FIRST, AT(2, 17, 0), AT(3, 2, 50), AT(3, 1, 50), LEVEL_STEP}},
    {"lift look in the evening: at five before it",
     {STRIP(AT(1, 7, 20))},
     NOTHING_TOLD,
     AT(1, 7, 21),
     {TASK_LIFT, 0, STAGE_FIRST, AT(2, 17, 0), AT(3, 7, 10), AT(3, 6, 10), LEVEL_STEP}},
    {"when half have hatched an hour before",
     {STRIP(AT(1, 11, 0))},
     NOTHING_TOLD,
     AT(1, 11, 1),
     {TASK_LIFT, 0, STAGE_FIRST, AT(2, 17, 0), AT(3, 10, 50), AT(3, 9, 50), LEVEL_STEP}},
    {"else it waits for six",
     {STRIP(AT(1, 11, 1))},
     NOTHING_TOLD,
     AT(1, 11, 2),
     {TASK_LIFT, 0, STAGE_FIRST, AT(3, 6, 0), AT(3, 10, 50), AT(3, 9, 50), LEVEL_STEP}},
    {"lift look before dawn, too",
     {STRIP(AT(1, 15, 0))},
     NOTHING_TOLD,
     AT(1, 15, 1),
     {TASK_LIFT, 0, STAGE_FIRST, AT(3, 6, 0), AT(3, 14, 50), AT(3, 13, 50), LEVEL_STEP}},
    {"a last hour in the evening",
     {STRIP(AT(1, 21, 30))},
     NOTHING_TOLD,
     AT(1, 21, 31),
     {TASK_FRAMES, 0, STAGE_FIRST, AT(3, 20, 20), AT(3, 21, 20), AT(4, 9, 20), LEVEL_ALARM}},
    {"the frames' ladder",
     {STRIP(AT(1, 7, 20))},
     {{TASK_FRAMES, 0, STAGE_FIRST, AT(3, 6, 10), OUTCOME_SENT}},
     AT(3, 6, 11),
     {TASK_FRAMES, 0, STAGE_ADVISER, AT(3, 7, 10), AT(3, 7, 10), AT(3, 19, 10), LEVEL_ALARM}},
    {"the frames missed",
     {STRIP(AT(1, 7, 20))},
     NOTHING_TOLD,
     AT(3, 19, 11),
     {TASK_FRAMES, 0, STAGE_MISSED, AT(3, 19, 10), AT(3, 7, 10), AT(4, 7, 10), LEVEL_STEP}},
    {"frames out",
     {STRIP(AT(1, 7, 20)), {ENTRY_FRAMES, AT(3, 5, 0), {0}, false}},
     NOTHING_TOLD,
     AT(3, 5, 1),
     GONE(TASK_FRAMES, 0, STAGE_FIRST)},
};

static void check_all(const struct night *nights, size_t count) {
    for (size_t i = 0; i < count; i++) {
        check_night(&nights[i], &zone_utc);
        check_night(&nights[i], &nairobi); /* the same hours of the clock three hours apart */
        check_night(&nights[i], &london);
    }
}

static void night(void **unused) {
    (void)unused;
    check_all(before_stripping, COUNT_OF(before_stripping));
}

static void waits(void **unused) {
    (void)unused;
    check_all(waiting, COUNT_OF(waiting));
}

static void silent_phone(void **unused) {
    (void)unused;
    check_all(phone_off, COUNT_OF(phone_off));
}

static void eggs(void **unused) {
    (void)unused;
    check_all(after_stripping, COUNT_OF(after_stripping));
}

/* The check value itself, before it is shown on the five minutes: 09:29. */
static void cold_night(void **unused) {
    (void)unused;
    const struct said said[SAID_ROOM] = {{ENTRY_WATER, AT(0, 22, 0), {22000, WATER_OWN}, false}};
    struct farm farm = farm_of(&zone_utc, 24000, said);
    struct latency l = spawn_latency(farm_spawn(&farm.state, SPAWN));
    assert_int_equal(l.look.status, PROGRESS_OK);
    int64_t minutes = (l.look.at_s - midnight_of(&zone_utc)) / MINUTE_S;
    assert_int_equal(minutes, AT(1, 9, 29));
    farm_free(&farm);
}

/* The water leaves the table between first look and end: looking ends a day after the first look,
 * on the five minutes like all hours. */
static void unknown_end(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    const struct said said[SAID_ROOM] = {{ENTRY_WATER, AT(0, 20, 7), {23700, WATER_OWN}, false},
                                         {ENTRY_WATER, AT(1, 7, 0), {23300, WATER_OWN}, false},
                                         {ENTRY_WATER, AT(1, 9, 0), {19000, WATER_OWN}, false}};
    struct farm farm = farm_of(&zone_utc, 24000, said);
    struct latency l = spawn_latency(farm_spawn(&farm.state, SPAWN));
    assert_int_equal(l.look.status, PROGRESS_OK);
    assert_int_equal(l.end.status, PROGRESS_COLD);
    struct plan_list p = plan_of(&farm, &none, &zone_utc, l.look.at_s);
    int looks = 0;
    for (int i = 0; i < p.count; i++)
        if (p.tasks[i].key.kind == TASK_LOOK) {
            int64_t end_s = plan_shown(l.look.at_s) + 24 * HOUR_S;
            bool missed = p.tasks[i].key.stage == STAGE_MISSED;
            assert_int_equal(missed ? p.tasks[i].due_s : p.tasks[i].useful_s, end_s);
            looks++;
        }
    assert_int_equal(looks, 2);
    farm_free(&farm);
}

/* An evening question and the dusk of frames keep the wall's hour when clocks change: London,
 * night of 2026-10-24 to 25, an hour longer. */
static void clocks_change(void **unused) {
    (void)unused;
    static struct told_list none;
    none.count = 0;
    struct farm farm = farm_make();
    const int64_t saturday_s = zone_midnight(&london, LEDGER_START_S, -30); /* 2026-10-24 */
    struct entry e[] = {{1,
                         saturday_s + 18 * HOUR_S + 1800,
                         0,
                         1,
                         1,
                         ENTRY_INJECTED,
                         1,
                         SUBJECT_SPAWN,
                         1,
                         {3, 3, 1200000}},
                        {2,
                         saturday_s + 18 * HOUR_S + 1800,
                         0,
                         1,
                         1,
                         ENTRY_WATER,
                         1,
                         SUBJECT_SPAWN,
                         1,
                         {24000, WATER_AT_INJECTION, 0}}};
    OK(farm_add(&farm, e, 2));
    struct plan_list p = plan_of(&farm, &none, &london, e[0].at_s);
    for (int i = 0; i < p.count; i++) {
        struct zone_time due = zone_local(&london, p.tasks[i].due_s);
        int minutes = due.hour * 60 + due.minute;
        if (p.tasks[i].key.kind == TASK_WATER)
            assert_int_equal(minutes, 22 * 60);
        if (p.tasks[i].key.kind == TASK_LOOK && p.tasks[i].key.stage == STAGE_FIRST)
            assert_int_equal(minutes, 5 * 60 + 30); /* twelve hours by the sun */
    }
    assert_int_equal(p.count, 4);
    farm_free(&farm);
}

/* What farm_task_hour says of a key at some stage of the spawn. */
static void task_hours(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct said said[SAID_ROOM];
        enum task_kind kind;
        int64_t subject;
        int nth, hour_min; /* NEVER: no such hour */
        bool acted;
    } cases[] = {
        {"look", NOTHING_SAID, TASK_LOOK, 1, 0, AT(1, 6, 30), false},
        {"no such spawn", NOTHING_SAID, TASK_LOOK, 2, 0, NEVER, false},
        {"waited", {WAIT(AT(1, 6, 40))}, TASK_LOOK, 1, 0, NEVER, true},
        {"the next", {WAIT(AT(1, 6, 40))}, TASK_LOOK, 1, 1, AT(1, 7, 10), false},
        {"the last", {WAIT(AT(1, 17, 40))}, TASK_LOOK, 1, 1, AT(1, 18, 30), false},
        {"too late", {WAIT(AT(1, 18, 26))}, TASK_LOOK, 1, 1, NEVER, false},
        {"stripped", {STRIP(AT(1, 7, 20))}, TASK_LOOK, 1, 0, NEVER, true},
        {"frames", {STRIP(AT(1, 7, 20))}, TASK_FRAMES, 1, 0, AT(3, 7, 10), false},
        {"frames before", NOTHING_SAID, TASK_FRAMES, 1, 0, NEVER, false},
        {"given up", {{ENTRY_NO_EGGS, AT(1, 9, 0), {0}, false}}, TASK_LOOK, 1, 0, NEVER, true},
        {"too cold",
         {{ENTRY_WATER, AT(0, 22, 0), {18000, WATER_OWN}, false}},
         TASK_LOOK,
         1,
         0,
         NEVER,
         false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = farm_of(&zone_utc, 24000, cases[i].said);
        int64_t hour_s = 0;
        bool acted = false;
        struct task_key key = {cases[i].kind, cases[i].subject, cases[i].nth, STAGE_FIRST};
        bool got = farm_task_hour(&farm.state, key, &hour_s, &acted);
        if (got != (cases[i].hour_min != NEVER) || acted != cases[i].acted)
            fail_msg("%s: got hour %d, acted %d", cases[i].name, got, acted);
        if (got)
            assert_int_equal(hour_s, midnight_of(&zone_utc) + cases[i].hour_min * MINUTE_S);
        farm_free(&farm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(night),         cmocka_unit_test(waits),
        cmocka_unit_test(silent_phone),  cmocka_unit_test(eggs),
        cmocka_unit_test(cold_night),    cmocka_unit_test(unknown_end),
        cmocka_unit_test(clocks_change), cmocka_unit_test(task_hours),
    };
    return cmocka_run_group_tests(tests, load_zones, NULL);
}
