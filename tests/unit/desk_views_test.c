/* What the host's page is given: a night on a farm, driven by texts, held field by field against
 * the hours that the night must have (first look 12 h after injection at 24 degC, half hatch 29 h
 * after stripping: FAO Fisheries Technical Paper 362, from memory of it; the frames' last hour 1.65
 * times that). Another farm's rows never come, the bounds hold, and no row changes. */
#include "desk/views.h"

#include "desk_bench.h"
#include "store_dump.h"

enum { VIEW_BYTES = 8 * 1024 * 1024 };

/* -- comparing ----------------------------------------------------------------------------------
 */

struct want_task {
    const char *kind;
    int64_t due_s, hour_s;
    bool late;
    const char *told;
};

static void check_tasks(const struct desk_view_farm *v, const struct want_task *want, int count,
                        int line) {
    char got[4000] = "", wanted[4000] = "";
    size_t n = 0, m = 0;
    for (int i = 0; i < v->task_count; i++) {
        const struct desk_view_task *t = &v->tasks[i];
        n += (size_t)snprintf(got + n, sizeof got - n, "%s %c%d of %lld: %lld %lld %d %s\n",
                              t->kind, t->tag.letter, t->tag.number, (long long)t->subject,
                              (long long)(t->due_s - MONDAY_S), (long long)(t->hour_s - MONDAY_S),
                              t->late, t->told);
    }
    for (int i = 0; i < count; i++)
        m += (size_t)snprintf(wanted + m, sizeof wanted - m, "%s F3 of 1: %lld %lld %d %s\n",
                              want[i].kind, (long long)(want[i].due_s - MONDAY_S),
                              (long long)(want[i].hour_s - MONDAY_S), want[i].late, want[i].told);
    if (strcmp(got, wanted) != 0)
        fail_msg("line %d: got (seconds from Monday)\n%swanted\n%s", line, got, wanted);
}

#define TASKS(view, ...)                                                                           \
    check_tasks((view), (const struct want_task[]){__VA_ARGS__},                                   \
                (int)(sizeof((const struct want_task[]){__VA_ARGS__}) / sizeof(struct want_task)), \
                __LINE__)
#define NO_TASKS(view) check_tasks((view), NULL, 0, __LINE__)

static void check_spawn(const struct desk_view_spawn *got, const struct desk_view_spawn *want,
                        int line) {
    char a[400], b[400];
    const struct desk_view_spawn *both[] = {got, want};
    char *texts[] = {a, b};
    for (int i = 0; i < 2; i++)
        (void)snprintf(texts[i], sizeof a,
                       "%lld %c%d stage %d, injected %lld, stripped %lld, water %lld at %lld, "
                       "next %lld, unanswered %d",
                       (long long)both[i]->number, both[i]->tag.letter, both[i]->tag.number,
                       (int)both[i]->stage, (long long)both[i]->injected_s,
                       (long long)both[i]->stripped_s, (long long)both[i]->water_mdegc,
                       (long long)both[i]->water_s, (long long)both[i]->next_s,
                       both[i]->unanswered);
    if (strcmp(a, b) != 0)
        fail_msg("line %d: got %s, wanted %s", line, a, b);
}

#define SPAWN(view, ...)                                                                           \
    do {                                                                                           \
        assert_int_equal((view)->spawn_count, 1);                                                  \
        check_spawn(&(view)->spawns[0], &(struct desk_view_spawn){__VA_ARGS__}, __LINE__);         \
    } while (0)

#define TEXT(got, want)                                                                            \
    do {                                                                                           \
        char got_text[700];                                                                        \
        (void)snprintf(got_text, sizeof got_text, "%.*s", SLICE_ARG(got));                         \
        assert_string_equal(got_text, want);                                                       \
    } while (0)

static struct desk_view_farm look_at(struct bench *b, struct arena *a, int64_t farm,
                                     int64_t now_s) {
    struct desk_view_farm v;
    arena_reset(a);
    OK(desk_view_farm(b->desk, farm, now_s, a, &v));
    assert_false(v.unreadable);
    return v;
}

/* -- one farm -----------------------------------------------------------------------------------
 */

static void a_farm_in_the_evening(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    bench_night(b, OWNER);
    bench_text(b, WORKER, "stop", AT(MON, 18, 35));
    struct desk_view_farm v = look_at(b, &a, CREEK, AT(MON, 18, 40));
    assert_int_equal(v.id, CREEK);
    TEXT(v.name, "Creek");
    TEXT(v.zone, "UTC");
    assert_int_equal(v.people_count, 2);
    assert_string_equal(v.people[0].role, "owner");
    assert_string_equal(v.people[0].phone.text, "+4477*****001");
    assert_int_equal(v.people[0].heard_s, AT(MON, 18, 32));
    assert_false(v.people[0].stopped);
    assert_string_equal(v.people[1].role, "worker");
    assert_string_equal(v.people[1].phone.text, "+4477*****002");
    assert_int_equal(v.people[1].heard_s, AT(MON, 18, 35));
    assert_true(v.people[1].stopped);
    assert_int_equal(v.people[0].id,
                     bench_number(b, "SELECT id FROM person WHERE phone = '" OWNER "'"));
    SPAWN(&v, .number = 1, .tag = {'F', 3}, .stage = DESK_VIEW_UNSTRIPPED,
          .injected_s = AT(MON, 18, 30), .water_mdegc = 24000, .water_s = AT(MON, 18, 30),
          .next_s = AT(TUE, 6, 30));
    TASKS(&v, {"water", AT(MON, 22, 0), AT(TUE, 6, 30), false, ""},
          {"ready", AT(TUE, 5, 45), AT(TUE, 6, 30), false, ""},
          {"look", AT(TUE, 6, 30), AT(TUE, 6, 30), false, ""});
    /* a reading of her own tank: shown, and asked no more */
    bench_text(b, OWNER, "temp f3 24 22:00", AT(MON, 22, 1));
    v = look_at(b, &a, CREEK, AT(MON, 22, 2));
    SPAWN(&v, .number = 1, .tag = {'F', 3}, .stage = DESK_VIEW_UNSTRIPPED,
          .injected_s = AT(MON, 18, 30), .water_mdegc = 24000, .water_s = AT(MON, 22, 0),
          .next_s = AT(TUE, 6, 30));
    TASKS(&v, {"ready", AT(TUE, 5, 45), AT(TUE, 6, 30), false, ""},
          {"look", AT(TUE, 6, 30), AT(TUE, 6, 30), false, ""});
    arena_free(&a);
}

static void an_alarm_and_its_answer(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    bench_night(b, OWNER);
    bench_flush(b, AT(MON, 22, 0));
    bench_flush(b, AT(TUE, 5, 45));
    const struct want_task look = {"look", AT(TUE, 6, 30), AT(TUE, 6, 30), false, ""};
    struct desk_view_spawn want = {.number = 1,
                                   .tag = {'F', 3},
                                   .stage = DESK_VIEW_UNSTRIPPED,
                                   .injected_s = AT(MON, 18, 30),
                                   .water_mdegc = 24000,
                                   .water_s = AT(MON, 18, 30),
                                   .next_s = AT(TUE, 6, 30)};
    struct desk_view_farm v = look_at(b, &a, CREEK, AT(TUE, 5, 50));
    SPAWN(&v, want.number, want.tag, want.stage, want.injected_s, 0, want.water_mdegc, want.water_s,
          want.next_s, false);
    TASKS(&v, {"ready", AT(TUE, 5, 45), AT(TUE, 6, 30), false, "delivered"}, look);
    /* written and handed out, but not yet reported as sent */
    OK(bench_round(b, AT(TUE, 6, 30), false));
    assert_int_equal(b->body_count, 1);
    v = look_at(b, &a, CREEK, AT(TUE, 6, 31));
    assert_true(v.spawns[0].unanswered);
    TASKS(&v, {"look", look.due_s, look.hour_s, false, "waiting"});
    struct desk_item sent = {.kind = DESK_ATTEMPT,
                             .farm = CREEK,
                             .attempt = {.dispatch = b->round.sends[0].dispatch,
                                         .sent = STORE_DONE,
                                         .at_s = AT(TUE, 6, 31)}};
    struct desk_round round = {.items = &sent, .item_count = 1};
    OK(desk_round(b->desk, &round, AT(TUE, 6, 31)));
    v = look_at(b, &a, CREEK, AT(TUE, 6, 44));
    TASKS(&v, {"look", look.due_s, look.hour_s, false, "sent"});
    v = look_at(b, &a, CREEK, AT(TUE, 6, 45)); /* late: when the alarm goes again */
    TASKS(&v, {"look", look.due_s, look.hour_s, true, "sent"});
    bench_text(b, OWNER, "ok", AT(TUE, 6, 50));
    v = look_at(b, &a, CREEK, AT(TUE, 6, 51)); /* on it, but not done */
    assert_false(v.spawns[0].unanswered);
    TASKS(&v, {"look", look.due_s, look.hour_s, true, "answered"});
    bench_text(b, OWNER, "wait f3", AT(TUE, 6, 55)); /* done: the next one, 30 minutes on */
    v = look_at(b, &a, CREEK, AT(TUE, 6, 56));
    SPAWN(&v, want.number, want.tag, want.stage, want.injected_s, 0, want.water_mdegc, want.water_s,
          AT(TUE, 7, 25), false);
    TASKS(&v, {"look", AT(TUE, 7, 25), AT(TUE, 7, 25), false, ""});
    arena_free(&a);
}

static void eggs_until_the_frames_are_out(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    const int64_t last_s = AT(THU, 7, 10); /* 07:20 + 1.65 x 29 h, on five minutes */
    bench_night(b, OWNER);
    bench_text(b, OWNER, "source river", AT(TUE, 7, 0));
    bench_text(b, OWNER, "strip f3 150g 07:20", AT(TUE, 7, 20));
    struct desk_view_farm v = look_at(b, &a, CREEK, AT(TUE, 7, 21));
    SPAWN(&v, .number = 1, .tag = {'F', 3}, .stage = DESK_VIEW_EGGS, .injected_s = AT(MON, 18, 30),
          .stripped_s = AT(TUE, 7, 20), .water_mdegc = 24000, .water_s = AT(MON, 18, 30),
          .next_s = last_s);
    TASKS(&v, {"white", AT(TUE, 17, 20), AT(TUE, 17, 20), false, ""}); /* its being missed, too */
    v = look_at(b, &a, CREEK, AT(TUE, 17, 40));
    TASKS(&v, {"white", AT(TUE, 17, 20), AT(TUE, 17, 20), true, ""},
          {"lift", AT(WED, 17, 0), last_s, false, ""});
    bench_text(b, OWNER, "white 30", AT(TUE, 17, 41));
    v = look_at(b, &a, CREEK, AT(WED, 6, 30));
    TASKS(&v, {"lift", AT(WED, 17, 0), last_s, false, ""},
          {"frames", AT(THU, 6, 10), last_s, false, ""});
    bench_flush(b, AT(THU, 6, 10));
    v = look_at(b, &a, CREEK, AT(THU, 7, 24));
    TASKS(&v, {"frames", AT(THU, 6, 10), last_s, false, "delivered"});
    assert_true(v.spawns[0].unanswered);
    v = look_at(b, &a, CREEK, AT(THU, 7, 25));
    TASKS(&v, {"frames", AT(THU, 6, 10), last_s, true, "delivered"});
    v = look_at(b, &a, CREEK, AT(THU, 20, 0)); /* past its last useful hour it is late still */
    int64_t food_s = AT(THU + 1, 12, 20); /* half hatch Wed 12:20: frames or not, they hunger */
    TASKS(&v, {"frames", last_s, last_s, true, "delivered"}, {"food", food_s, food_s, false, ""});
    bench_text(b, OWNER, "frames f3 20:00", AT(THU, 20, 1));
    v = look_at(b, &a, CREEK, AT(THU, 20, 2));
    assert_int_equal(v.spawn_count, 1);
    assert_int_equal(v.spawns[0].stage, DESK_VIEW_LARVAE);
    assert_false(v.spawns[0].unanswered);
    bench_text(b, OWNER, "spoilt f3", AT(THU, 20, 3));
    v = look_at(b, &a, CREEK, AT(THU, 20, 4));
    assert_int_equal(v.spawn_count, 0);
    NO_TASKS(&v);
    arena_free(&a);
}

static void failed_texts_are_shown(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    bench_text(b, WORKER, "en", AT(MON, 18, 0));
    bench_night(b, WORKER);
    OK(bench_round(b, AT(MON, 22, 0), false));
    assert_int_equal(b->body_count, 1);
    struct desk_item never = {.kind = DESK_ATTEMPT,
                              .farm = CREEK,
                              .attempt = {.dispatch = b->round.sends[0].dispatch,
                                          .sent = STORE_NEVER,
                                          .at_s = AT(MON, 22, 0),
                                          .reason = SLICE("no such number")}};
    struct desk_round round = {.items = &never, .item_count = 1};
    OK(desk_round(b->desk, &round, AT(MON, 22, 0)));
    struct desk_view_farm v = look_at(b, &a, CREEK, AT(MON, 22, 1));
    TASKS(&v, {"water", AT(MON, 22, 0), AT(TUE, 6, 30), false, "failed"},
          {"ready", AT(TUE, 5, 45), AT(TUE, 6, 30), false, ""},
          {"look", AT(TUE, 6, 30), AT(TUE, 6, 30), false, ""});
    struct desk_view_text *texts;
    int count;
    OK(desk_view_conversation(b->desk, CREEK, 0, 0, 1, &a, &texts, &count));
    assert_int_equal(count, 1);
    assert_string_equal(texts[0].fate, "never");
    TEXT(texts[0].reason, "no such number");
    arena_free(&a);
}

static void farms_do_not_see_each_other(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    struct desk_view_farm v;
    struct desk_view_text *texts;
    int count;
    bench_night(b, OWNER);
    v = look_at(b, &a, HILL, AT(MON, 18, 40));
    TEXT(v.name, "Hill");
    assert_int_equal(v.people_count, 1);
    assert_string_equal(v.people[0].phone.text, "+4477*****011");
    assert_int_equal(v.people[0].heard_s, 0);
    assert_int_equal(v.spawn_count, 0);
    NO_TASKS(&v);
    OK(desk_view_conversation(b->desk, HILL, 0, 0, 100, &a, &texts, &count));
    assert_int_equal(count, 0);
    /* the same tag on both: each has its own hours */
    bench_text(b, OTHER_OWNER, "inject f3 0.9kg 18:00 t28", AT(MON, 18, 41));
    v = look_at(b, &a, HILL, AT(MON, 18, 42));
    SPAWN(&v, .number = 1, .tag = {'F', 3}, .stage = DESK_VIEW_UNSTRIPPED,
          .injected_s = AT(MON, 18, 0), .water_mdegc = 28000, .water_s = AT(MON, 18, 0),
          .next_s = AT(TUE, 2, 0));
    v = look_at(b, &a, CREEK, AT(MON, 18, 42));
    assert_int_equal(v.spawns[0].next_s, AT(TUE, 6, 30));
    OK(desk_view_conversation(b->desk, HILL, 0, 0, 100, &a, &texts, &count));
    assert_int_equal(count, 2);
    for (int i = 0; i < 2; i++)
        assert_string_equal(texts[i].phone.text, "+4477*****011");
    int64_t of_hill = texts[0].id;
    WANT(ERR_NOT_FOUND,
         desk_view_conversation(b->desk, CREEK, 0, of_hill, 100, &a, &texts, &count));
    WANT(ERR_NOT_FOUND, desk_view_farm(b->desk, 77, AT(MON, 18, 42), &a, &v));
    arena_free(&a);
}

/* -- all farms ----------------------------------------------------------------------------------
 */

static void all_farms(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    struct desk_view_farm_row *rows;
    int count;
    bench_night(b, OWNER);
    bench_text(b, OWNER, "inject f4 1kg 19:00 t24", AT(MON, 19, 1));
    bench_in(b, OWNER, "today", AT(TUE, 7, 0)); /* its answer waits, and so does what was due */
    int64_t waiting = bench_number(b, "SELECT count(*) FROM dispatch WHERE state = 0");
    assert_true(waiting > 0);
    OK(desk_view_farms(b->desk, 0, 10, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 2);
    assert_int_equal(rows[0].id, CREEK);
    TEXT(rows[0].name, "Creek");
    assert_false(rows[0].unreadable);
    assert_int_equal(rows[0].open_spawns, 2);
    assert_int_equal(rows[0].late_tasks, 1); /* F3 of 06:30; F4 of 07:00 has its 15 minutes */
    assert_int_equal(rows[0].texts_waiting, waiting);
    assert_int_equal(rows[1].id, HILL);
    TEXT(rows[1].name, "Hill");
    assert_int_equal(rows[1].open_spawns, 0);
    assert_int_equal(rows[1].late_tasks, 0);
    assert_int_equal(rows[1].texts_waiting, 0);
    OK(desk_view_farms(b->desk, 0, 10, AT(TUE, 7, 15), &a, &rows, &count));
    assert_int_equal(rows[0].late_tasks, 2);
    OK(desk_view_farms(b->desk, CREEK, 10, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 1);
    assert_int_equal(rows[0].id, HILL);
    OK(desk_view_farms(b->desk, HILL, 10, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 0);
    OK(desk_view_farms(b->desk, 0, 1, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 1);
    OK(desk_view_farms(b->desk, 0, 0, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 0);
    for (int i = 0; i < 70; i++) {
        char name[20];
        (void)snprintf(name, sizeof name, "Farm %d", i);
        const struct desk_farm f = {slice_of(name), SLICE("UTC"), SLICE("GB"), NULL, 0};
        OK(desk_ensure_farm(b->desk, &f, AT(TUE, 7, 0)));
    }
    OK(desk_view_farms(b->desk, 0, 100000, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, DESK_VIEW_FARMS_MAX);
    OK(desk_view_farms(b->desk, rows[count - 1].id, 100, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 72 - DESK_VIEW_FARMS_MAX);
    arena_free(&a);
}

/* Farms that are not in memory and long to read end a slice; the next one goes on behind it. */
static void long_ledgers_shorten_a_slice(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    struct desk_view_farm_row *rows;
    int count;
    bench_text(b, OWNER, "temp 24", AT(MON, 18, 0));
    bench_text(b, OTHER_OWNER, "temp 24", AT(MON, 18, 0));
    bench_sql(b, "WITH RECURSIVE n (i) AS (SELECT 2 UNION ALL SELECT i + 1 FROM n WHERE i < 20000)"
                 " INSERT INTO ledger SELECT farm, i, at_s + i, said_s + i, arrival, person, kind,"
                 " version, subject_kind, subject, data FROM ledger, n WHERE seq = 1");
    bench_sql(b, "UPDATE farm SET head = 20000");
    bench_restart(b);
    OK(desk_view_farms(b->desk, 0, 10, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 1);
    assert_int_equal(rows[0].id, CREEK);
    assert_false(rows[0].unreadable);
    OK(desk_view_farms(b->desk, CREEK, 10, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 1);
    assert_int_equal(rows[0].id, HILL);
    OK(desk_view_farms(b->desk, HILL, 10, AT(TUE, 7, 0), &a, &rows, &count));
    assert_int_equal(count, 0);
    OK(desk_view_farms(b->desk, 0, 10, AT(TUE, 7, 0), &a, &rows, &count)); /* in memory now */
    assert_int_equal(count, 2);
    arena_free(&a);
}

static void a_broken_farm_says_so_and_hides_no_other(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    struct desk_view_farm_row *rows;
    struct desk_view_farm v;
    int count;
    bench_night(b, OWNER);
    bench_night(b, OTHER_OWNER);
    bench_spoil(b, "UPDATE ledger SET data = 'rubbish' WHERE farm = 1 AND seq = 1");
    OK(desk_view_farms(b->desk, 0, 10, AT(MON, 20, 0), &a, &rows, &count));
    assert_int_equal(count, 2);
    assert_true(rows[0].unreadable);
    TEXT(rows[0].name, "Creek");
    assert_int_equal(rows[0].open_spawns, 0);
    assert_false(rows[1].unreadable);
    assert_int_equal(rows[1].open_spawns, 1);
    OK(desk_view_farm(b->desk, CREEK, AT(MON, 20, 0), &a, &v));
    assert_true(v.unreadable);
    assert_int_equal(v.people_count, 2);
    assert_int_equal(v.spawn_count, 0);
    assert_int_equal(v.task_count, 0);
    arena_free(&a);
}

/* -- texts --------------------------------------------------------------------------------------
 */

static void a_conversation(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    struct desk_view_text *t;
    int count;
    bench_text(b, OWNER, "inject f3 1.2kg 18:30 t24", AT(MON, 18, 32));
    char answer[700];
    (void)snprintf(answer, sizeof answer, "%s", bench_got(b, OWNER));
    bench_in(b, WORKER, "today", AT(MON, 18, 40)); /* its answer waits */
    b->options.texts_per_hour = 1;
    desk_reload(b->desk, &b->options);
    bench_in(b, OWNER, "help", AT(MON, 18, 50));
    OK(desk_view_conversation(b->desk, CREEK, 0, 0, 100, &a, &t, &count));
    assert_int_equal(count, 6);
    assert_true(t[0].out); /* that it was over the limit, newest first */
    assert_int_equal(t[0].at_s, AT(MON, 18, 50));
    t++;
    assert_false(t[0].out);
    assert_string_equal(t[0].fate, "limited");
    TEXT(t[0].body, "help");
    assert_int_equal(t[0].at_s, AT(MON, 18, 50));
    assert_true(t[1].out); /* the answer before what it answers, newest first */
    assert_string_equal(t[1].fate, "waiting");
    assert_int_equal(t[1].tries, 0);
    assert_int_equal(t[1].at_s, AT(MON, 18, 40));
    assert_string_equal(t[1].phone.text, "+4477*****002");
    assert_false(t[2].out);
    assert_string_equal(t[2].fate, "read");
    TEXT(t[2].body, "today");
    assert_string_equal(t[2].phone.text, "+4477*****002");
    assert_true(t[3].out);
    assert_string_equal(t[3].fate, "delivered");
    assert_int_equal(t[3].tries, 1);
    assert_string_equal(t[3].phone.text, "+4477*****001");
    TEXT(t[3].reason, "");
    TEXT(t[3].body, answer);
    assert_false(t[4].out);
    assert_string_equal(t[4].fate, "read");
    TEXT(t[4].body, "inject f3 1.2kg 18:30 t24");
    assert_int_equal(t[4].at_s, AT(MON, 18, 32));
    assert_int_equal(t[4].person, t[3].person);
    assert_int_not_equal(t[4].person, t[2].person);
    int64_t third = t[2].id, worker = t[2].person;
    OK(desk_view_conversation(b->desk, CREEK, 0, third, 100, &a, &t, &count));
    assert_int_equal(count, 2);
    TEXT(t[1].body, "inject f3 1.2kg 18:30 t24");
    OK(desk_view_conversation(b->desk, CREEK, worker, 0, 100, &a, &t, &count));
    assert_int_equal(count, 2);
    assert_int_equal(t[1].id, third);
    OK(desk_view_conversation(b->desk, CREEK, 0, 0, 1, &a, &t, &count));
    assert_int_equal(count, 1);
    /* purged: the rows stay, without what was said */
    int done;
    OK(store_begin(b->store));
    OK(store_purge_bodies(b->store, AT(TUE, 0, 0), 100, &done));
    OK(store_commit(b->store));
    OK(desk_view_conversation(b->desk, CREEK, 0, 0, 100, &a, &t, &count));
    assert_int_equal(count, 6);
    for (int i = 0; i < 6; i++)
        if ((t[i].body.n == 0) != (i != 0 && i != 2)) /* all but those that wait */
            fail_msg("text %d: %zu bytes", i, t[i].body.n);
    arena_free(&a);
}

static void texts_that_wait(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    struct desk_view_wait *w;
    int count;
    bench_night(b, OWNER);
    OK(desk_view_waiting(b->desk, 100, &a, &w, &count));
    assert_int_equal(count, 0);
    OK(desk_round(b->desk, &(struct desk_round){0}, AT(MON, 22, 0))); /* asks for the water */
    bench_in(b, "+447700900501", "hello", AT(MON, 22, 1));            /* a stranger */
    OK(bench_round(b, AT(MON, 22, 1), false));
    assert_int_equal(b->body_count, 2);
    struct desk_item later = {
        .kind = DESK_ATTEMPT,
        .farm = CREEK,
        .attempt = {.dispatch = bench_number(b, "SELECT id FROM dispatch WHERE phone = '" OWNER
                                                "' AND state = 0"),
                    .sent = STORE_LATER,
                    .next_s = AT(MON, 22, 5),
                    .at_s = AT(MON, 22, 1),
                    .reason = SLICE("503")}};
    struct desk_round round = {.items = &later, .item_count = 1};
    OK(desk_round(b->desk, &round, AT(MON, 22, 1)));
    OK(desk_view_waiting(b->desk, 100, &a, &w, &count));
    assert_int_equal(count, 2);
    assert_string_equal(w[1].level, "routine");
    assert_string_equal(w[1].phone.text, "+4477*****501");
    assert_int_equal(w[1].farm, 0);
    assert_int_equal(w[1].person, 0);
    assert_int_equal(w[1].tries, 0);
    TEXT(w[1].reason, "");
    assert_string_equal(w[0].level, "step");
    assert_string_equal(w[0].phone.text, "+4477*****001");
    assert_int_equal(w[0].farm, CREEK);
    assert_int_equal(w[0].made_s, AT(MON, 22, 0));
    assert_int_equal(w[0].next_s, AT(MON, 22, 5));
    assert_int_equal(w[0].useful_s, AT(MON, 23, 30)); /* 90 minutes */
    assert_int_equal(w[0].tries, 1);
    TEXT(w[0].reason, "503");
    OK(desk_view_waiting(b->desk, 1, &a, &w, &count));
    assert_int_equal(count, 1);
    OK(desk_view_waiting(b->desk, 0, &a, &w, &count));
    assert_int_equal(count, 0);
    arena_free(&a);
}

/* -- looking changes nothing --------------------------------------------------------------------
 */

static void look_at_everything(struct bench *b, struct arena *a, int64_t now_s) {
    struct desk_view_farm v;
    struct desk_view_farm_row *rows;
    struct desk_view_text *texts;
    struct desk_view_wait *waits;
    int count;
    for (int i = 0; i < 3; i++) {
        arena_reset(a);
        OK(desk_view_farm(b->desk, CREEK, now_s, a, &v));
        OK(desk_view_farm(b->desk, HILL, now_s, a, &v));
        OK(desk_view_farms(b->desk, 0, 10, now_s, a, &rows, &count));
        OK(desk_view_conversation(b->desk, CREEK, 0, 0, 50, a, &texts, &count));
        OK(desk_view_waiting(b->desk, 50, a, &waits, &count));
    }
}

static void looking_changes_no_row(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    bench_night(b, OWNER);
    bench_night(b, OTHER_OWNER);
    struct buf before = dump_store(b->second);
    assert_non_null(strstr(buf_str(&before), "\nledger|1|1|"));
    look_at_everything(b, &a, AT(TUE, 7, 0)); /* tasks are due: looking tells nobody */
    bench_restart(b);
    look_at_everything(b, &a, AT(TUE, 7, 0));
    struct buf after = dump_store(b->second);
    assert_string_equal(buf_str(&after), buf_str(&before));
    buf_free(&before);
    buf_free(&after);
    arena_free(&a);
}

/* Texts that a round handed out are looked at until the next one, views or not. */
static void looking_leaves_the_round_alone(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    bench_night(b, OWNER);
    bench_night(b, OTHER_OWNER);
    cache_drop(b->desk, CREEK); /* has to be read from the store */
    OK(bench_round(b, AT(MON, 22, 0), false));
    assert_int_equal(b->round.send_count, 2);
    cache_drop(b->desk, HILL);
    const size_t used = b->desk->arena.used;
    look_at_everything(b, &a, AT(MON, 22, 1));
    assert_int_equal(b->desk->arena.used, used);
    for (int i = 0; i < 2; i++) {
        TEXT(b->round.sends[i].body, b->bodies[i]);
        TEXT(b->round.sends[i].to, b->phones[i]);
    }
    arena_free(&a);
}

/* Entries that another program appended are seen, and a view from memory is one from the store. */
static void a_view_is_never_an_old_one(void **state) {
    struct bench *b = *state;
    struct arena a = arena_make(VIEW_BYTES);
    bench_night(b, OWNER);
    bench_sql(b, "INSERT INTO ledger SELECT farm, 3, at_s + 3600, said_s + 3600, arrival, person,"
                 " kind, version, subject_kind, subject, 'water_mdegc=25000 begins=0' FROM ledger"
                 " WHERE farm = 1 AND seq = 2");
    bench_sql(b, "UPDATE farm SET head = 3 WHERE id = 1");
    struct desk_view_farm v = look_at(b, &a, CREEK, AT(MON, 20, 0));
    struct desk_view_spawn first = v.spawns[0];
    assert_int_equal(first.water_mdegc, 25000);
    assert_int_equal(first.water_s, AT(MON, 19, 30));
    assert_true(first.next_s < AT(TUE, 6, 30)); /* warmer is sooner */
    bench_restart(b);
    v = look_at(b, &a, CREEK, AT(MON, 20, 0));
    check_spawn(&v.spawns[0], &first, __LINE__);
    arena_free(&a);
}

static void an_arena_too_small_is_said(void **state) {
    struct bench *b = *state;
    struct desk_view_farm v;
    struct desk_view_farm_row *rows;
    struct desk_view_text *texts;
    int count;
    bench_night(b, OWNER);
    struct arena small = arena_make(64);
    WANT(ERR_NOMEM, desk_view_farm(b->desk, CREEK, AT(MON, 20, 0), &small, &v));
    WANT(ERR_NOMEM, desk_view_farms(b->desk, 0, 10, AT(MON, 20, 0), &small, &rows, &count));
    WANT(ERR_NOMEM, desk_view_conversation(b->desk, CREEK, 0, 0, 10, &small, &texts, &count));
    arena_free(&small);
    bench_text(b, OWNER, "today", AT(MON, 20, 1)); /* and harms nothing */
    assert_string_equal(bench_got(b, OWNER), "F3 look Tue 06:30");
}

int main(void) {
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, bench_open, bench_close)
        TEST(a_farm_in_the_evening),
        TEST(an_alarm_and_its_answer),
        TEST(eggs_until_the_frames_are_out),
        TEST(failed_texts_are_shown),
        TEST(farms_do_not_see_each_other),
        TEST(all_farms),
        TEST(long_ledgers_shorten_a_slice),
        TEST(a_broken_farm_says_so_and_hides_no_other),
        TEST(a_conversation),
        TEST(texts_that_wait),
        TEST(looking_changes_no_row),
        TEST(looking_leaves_the_round_alone),
        TEST(a_view_is_never_an_old_one),
        TEST(an_arena_too_small_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
