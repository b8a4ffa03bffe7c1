/* Laws of the ledger and its state, over hundreds of seeded random ledgers: undo, lateness, a
 * reading that says nothing new, warmth, and stepping against folding. */
#include "farm_ledger.h"

#include "trade/book.h"

enum { LEDGERS = 400, LINE_LEDGERS = 1500 };

static struct zone nairobi;

static int load_zone(void **unused) {
    (void)unused;
    return zone_load("Africa/Nairobi", &nairobi) != ERR_OK;
}

/* The same state, and the same plan at some hours of the days after, whatever was told. */
static void same_farm(const struct farm *a, const struct farm *b, uint64_t seed, const char *law) {
    static struct told_list told;
    if (farm_digest(&a->state) != farm_digest(&b->state))
        fail_msg("%s, ledger %llu: the states differ", law, (unsigned long long)seed);
    told.hands = seed % 3 == 0;
    tell_some(a, &nairobi, seed, &told);
    int64_t step_s = 7 * HOUR_S; /* five days closely, then the weeks of larvae and ponds */
    for (int64_t now_s = LEDGER_START_S; now_s < LEDGER_START_S + 45 * DAY_S; now_s += step_s) {
        step_s = now_s < LEDGER_START_S + 5 * DAY_S ? 7 * HOUR_S : 50 * HOUR_S;
        struct plan_list p = plan_of(a, &told, &nairobi, now_s);
        struct plan_list q = plan_of(b, &told, &nairobi, now_s);
        bool same = p.count == q.count;
        for (int i = 0; i < p.count && same; i++)
            same = same_task(&p.tasks[i], &q.tasks[i]);
        if (!same)
            fail_msg("%s, ledger %llu: the plans differ", law, (unsigned long long)seed);
    }
}

static void without_message(struct ledger *l, int64_t message) {
    int kept = 0;
    for (int i = 0; i < l->count; i++)
        if (l->entries[i].message != message)
            l->entries[kept++] = l->entries[i];
    l->count = kept;
    ledger_number(l);
}

static void undone_is_never_said(void **unused) {
    (void)unused;
    static struct ledger l, never;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        int64_t message = 1 + (int64_t)(seed % (uint64_t)l.messages);
        if (ledger_lone_undo(&l, message))
            continue; /* an undo is never undone: the test below */
        never = l;
        without_message(&never, message);
        struct farm undone = ledger_farm(&l), clean = ledger_farm(&never);
        struct entry undo = {.seq = farm_head(&undone) + 1,
                             .at_s = l.said_s + 60,
                             .said_s = l.said_s + 60,
                             .message = l.messages + 1,
                             .person = 1,
                             .kind = ENTRY_UNDO,
                             .version = ENTRY_VERSION,
                             .value = {message}};
        OK(farm_add(&undone, &undo, 1));
        same_farm(&undone, &clean, seed, "undone is never said");
        undo.seq++;
        OK(farm_add(&undone, &undo, 1));
        same_farm(&undone, &clean, seed, "undone twice is undone once");
        farm_free(&undone);
        farm_free(&clean);
    }
}

static void undo_is_never_undone(void **unused) {
    (void)unused;
    static struct ledger l;
    int seen = 0;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        struct farm before = ledger_farm(&l), after = ledger_farm(&l);
        for (int64_t m = 1; m <= l.messages; m++) {
            if (!ledger_lone_undo(&l, m))
                continue;
            struct entry undo = {.seq = farm_head(&after) + 1,
                                 .at_s = l.said_s,
                                 .message = l.messages + 1,
                                 .kind = ENTRY_UNDO,
                                 .version = ENTRY_VERSION,
                                 .value = {m}};
            OK(farm_add(&after, &undo, 1));
            seen++;
        }
        same_farm(&before, &after, seed, "an undo is never undone");
        farm_free(&before);
        farm_free(&after);
    }
    assert_in_range(seen, LEDGERS / 2, 100000);
}

static void fix_undone_is_as_before(void **unused) {
    (void)unused;
    static struct ledger l;
    int fixed = 0, again = 0;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        struct farm before = ledger_farm(&l);
        int64_t message = 1 + (int64_t)(seed % (uint64_t)l.messages);
        bool of_a_fix = ledger_fix(&l, message);
        l.messages++;
        if (ledger_say_again(&l, message)) {
            l.messages++;
            ledger_put(&l, ENTRY_UNDO, SUBJECT_HATCHERY, 0, l.said_s)->value[0] = l.messages - 1;
            struct farm after = ledger_farm(&l);
            same_farm(&before, &after, seed, "a fix undone is as before it");
            farm_free(&after);
            fixed++;
            again += of_a_fix;
        }
        farm_free(&before);
    }
    assert_in_range(fixed, LEDGERS / 2, LEDGERS);
    assert_in_range(again, 5, LEDGERS);
}

/* Said anew without a change it is as it was, but for who reported last. */
static void fixed_to_the_same(void **unused) {
    (void)unused;
    static struct ledger l;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        for (int i = 0; i < l.count; i++)
            l.entries[i].person = 1;
        struct farm before = ledger_farm(&l), after = ledger_farm(&l);
        int64_t message = 1 + (int64_t)(seed % (uint64_t)l.messages);
        struct entry same[24]; /* a message's, with three plans in it */
        int count = 0;
        for (int i = 0; i < before.count; i++) {
            if (!before.in_force[i] || before.entries[i].message != message)
                continue;
            assert_in_range(count, 0, 22);
            if (!count)
                same[count++] = (struct entry){.at_s = l.said_s,
                                               .kind = ENTRY_UNDO,
                                               .version = ENTRY_VERSION,
                                               .value = {message}};
            same[count++] = before.entries[i];
        }
        for (int i = 0; i < count; i++) {
            same[i].seq = l.count + 1 + i;
            same[i].message = l.messages + 1;
        }
        if (count) {
            OK(farm_add(&after, same, count));
            same_farm(&before, &after, seed, "fixed to the same");
        }
        farm_free(&before);
        farm_free(&after);
    }
}

static bool plain(const struct ledger *l, int64_t message) {
    return !ledger_lone_undo(l, message) && !ledger_fix(l, message);
}

/* Messages in a random order, undos and fixes behind all, in theirs; entries of one message stay
 * together. */
static void shuffle(const struct ledger *from, uint64_t seed, struct ledger *to) {
    int64_t order[100];
    for (int64_t i = 0; i < from->messages; i++) {
        int64_t k = (int64_t)draw(&seed, (uint64_t)i + 1);
        order[i] = order[k];
        order[k] = i + 1;
    }
    *to = *from;
    to->count = 0;
    for (int64_t n = 0; n < 2 * from->messages; n++) {
        bool last = n >= from->messages;
        int64_t message = last ? n - from->messages + 1 : order[n];
        if (plain(from, message) == last)
            continue;
        for (int i = 0; i < from->count; i++)
            if (from->entries[i].message == message)
                to->entries[to->count++] = from->entries[i];
    }
    ledger_number(to);
}

static void late_is_not_less(void **unused) {
    (void)unused;
    static struct ledger l, mixed;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        shuffle(&l, seed, &mixed);
        struct farm said = ledger_farm(&l), late = farm_make();
        for (int at = 0, n = 0; at < mixed.count; at += n) { /* most of them late */
            for (n = 1; at + n < mixed.count &&
                        mixed.entries[at + n].message == mixed.entries[at].message;)
                n++;
            OK(farm_add(&late, mixed.entries + at, n));
        }
        same_farm(&said, &late, seed, "order of saying");
        farm_free(&said);
        farm_free(&late);
    }
}

/* After each message the stepped farm is the farm folded from the beginning. */
static void stepping_is_folding(void **unused) {
    (void)unused;
    static struct ledger l;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        struct farm stepped = farm_make();
        for (int at = 0, n = 0; at < l.count; at += n) {
            for (n = 1; at + n < l.count && l.entries[at + n].message == l.entries[at].message;)
                n++;
            OK(farm_add(&stepped, l.entries + at, n));
            struct farm folded = farm_make();
            OK(farm_append(&folded, l.entries, at + n));
            OK(farm_fold(&folded));
            if (farm_digest(&stepped.state) != farm_digest(&folded.state))
                fail_msg("ledger %llu differs after entry %d", (unsigned long long)seed, at + n);
            assert_memory_equal(stepped.in_force, folded.in_force, (size_t)(at + n) * sizeof(bool));
            assert_int_equal(farm_head(&stepped), at + n);
            farm_free(&folded);
        }
        farm_free(&stepped);
    }
}

/* A digest that did not see a field would make the laws above say less. */
static void digest_sees_each_entry(void **unused) {
    (void)unused;
    static struct ledger l, less;
    int differ = 0, equal = 0;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, false, 21000, 29000);
        less = l;
        less.count--;
        struct farm a = ledger_farm(&l), b = ledger_farm(&less);
        if (farm_digest(&a.state) == farm_digest(&b.state))
            equal++; /* an entry that did not fit its spawn's stage */
        else
            differ++;
        farm_free(&a);
        farm_free(&b);
    }
    assert_in_range(differ, LEDGERS / 2, LEDGERS);
    assert_int_equal(differ + equal, LEDGERS);
}

/* -- hours ----------------------------------------------------------------------------------------
 */

struct hours {
    struct progress at[6];
};

static struct hours hours_of(const struct spawn *s) {
    struct latency l = spawn_latency(s);
    struct hours h = {{l.look, l.most, l.end}};
    if (s->stripped_s) {
        struct hatch x = spawn_hatch(s);
        h.at[3] = x.half;
        h.at[4] = x.lift;
        h.at[5] = x.last;
    }
    return h;
}

/* Entries whose instants bound a stretch that only readings of the hatchery fill. What is injected
 * in it begins with its first reading, unless that is too old to say anything. */
static bool quiet(const struct ledger *l, int64_t from_s, int64_t to_s) {
    int64_t fresh_s = (int64_t)book_number(BOOK_WATER_FRESH_H) * HOUR_S;
    for (int i = 0; i < l->count; i++) {
        const struct entry *e = &l->entries[i];
        if (e->at_s < from_s || e->at_s > to_s || e->subject_kind == SUBJECT_HATCHERY)
            continue;
        if (e->kind == ENTRY_INJECTED && e->at_s - from_s > fresh_s)
            return false;
        if (e->kind == ENTRY_WATER || e->kind == ENTRY_FOLLOW || e->kind == ENTRY_STRIPPED ||
            e->kind == ENTRY_TANK)
            return false;
    }
    return true;
}

/* The readings are those that the line is drawn through: `own` is the spawn's number, or 0 for the
 * hatchery's. False: there is no such pair. */
static bool pick_pair(const struct ledger *l, const struct farm *farm, int64_t spawn, uint64_t seed,
                      struct water_reading pair[2]) {
    const struct water_log *log = &farm->state.water;
    if (spawn) {
        const struct spawn *s = farm_spawn(&farm->state, spawn);
        if (!s || s->follows || !s->own_s || spawn_closed(s))
            return false;
        log = &s->water;
    }
    if (log->count < 2)
        return false;
    int at = spawn ? log->count - 2 : (int)draw(&seed, (uint64_t)log->count - 1);
    pair[0] = log->readings[at];
    pair[1] = log->readings[at + 1];
    if (pair[1].at_s - pair[0].at_s < 2)
        return false;
    if (!spawn)
        return quiet(l, pair[0].at_s, pair[1].at_s);
    int own = 0; /* both must be her own: then she does not follow in between either */
    for (int i = 0; i < l->count; i++) {
        if (l->entries[i].subject_kind != SUBJECT_SPAWN)
            continue;
        if (l->entries[i].kind == ENTRY_WATER && l->entries[i].subject == spawn &&
            l->entries[i].value[1] == WATER_OWN &&
            (l->entries[i].at_s == pair[0].at_s || l->entries[i].at_s == pair[1].at_s))
            own++;
        else if (l->entries[i].subject == spawn && l->entries[i].kind != ENTRY_NOT_READY &&
                 l->entries[i].at_s >= pair[0].at_s)
            return false;
    }
    return own == 2;
}

static struct entry on_the_line(const struct ledger *l, int64_t spawn,
                                const struct water_reading pair[2], uint64_t seed) {
    int64_t length_s = pair[1].at_s - pair[0].at_s;
    int64_t part_s = 1 + (int64_t)draw(&seed, (uint64_t)length_s - 1);
    double mdegc = (double)pair[0].mdegc +
                   (double)(pair[1].mdegc - pair[0].mdegc) * (double)part_s / (double)length_s;
    return (struct entry){.seq = l->count + 1,
                          .at_s = pair[0].at_s + part_s,
                          .said_s = l->said_s + 60,
                          .message = l->messages + 1,
                          .person = 1,
                          .kind = ENTRY_WATER,
                          .version = ENTRY_VERSION,
                          .subject_kind = spawn ? SUBJECT_SPAWN : SUBJECT_HATCHERY,
                          .subject = spawn,
                          .value = {(int64_t)(mdegc + 0.5)}};
}

static int compare_hours(const struct farm *a, const struct farm *b, uint64_t seed) {
    int compared = 0;
    assert_int_equal(a->state.spawn_count, b->state.spawn_count);
    for (int i = 0; i < a->state.spawn_count; i++) {
        if (spawn_closed(&a->state.spawns[i]))
            continue;
        struct hours x = hours_of(&a->state.spawns[i]), y = hours_of(&b->state.spawns[i]);
        for (int k = 0; k < 6; k++, compared++)
            if (x.at[k].status != y.at[k].status || llabs(x.at[k].at_s - y.at[k].at_s) > 60)
                fail_msg("ledger %llu, spawn %d, hour %d: %lld became %lld",
                         (unsigned long long)seed, i, k, (long long)x.at[k].at_s,
                         (long long)y.at[k].at_s);
    }
    return compared;
}

static void nothing_new_moves_nothing(void **unused) {
    (void)unused;
    static struct ledger l;
    int of_hatchery = 0, of_tank = 0;
    for (uint64_t seed = 1; seed <= LINE_LEDGERS; seed++) {
        ledger_make(&l, seed, false, 21000, 29000);
        struct farm farm = ledger_farm(&l);
        for (int64_t spawn = 0; spawn <= l.spawns; spawn++) {
            struct water_reading pair[2];
            if (!pick_pair(&l, &farm, spawn, seed + 77, pair))
                continue;
            struct farm more = ledger_farm(&l);
            struct entry e = on_the_line(&l, spawn, pair, seed + 99);
            OK(farm_add(&more, &e, 1));
            *(spawn ? &of_tank : &of_hatchery) += compare_hours(&farm, &more, seed);
            farm_free(&more);
        }
        farm_free(&farm);
    }
    assert_in_range(of_hatchery, 500, 10000000); /* the law was tried */
    assert_in_range(of_tank, 100, 10000000);
}

static void warmer_is_never_later(void **unused) {
    (void)unused;
    static struct ledger l, warm;
    int compared = 0;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 20000, 28500);
        warm = l;
        int64_t by_mdegc = ledger_draw(&l, 1, 1500);
        for (int i = 0; i < warm.count; i++)
            if (warm.entries[i].kind == ENTRY_WATER)
                warm.entries[i].value[0] += by_mdegc;
        struct farm a = ledger_farm(&l), b = ledger_farm(&warm);
        for (int i = 0; i < a.state.spawn_count; i++) {
            struct hours x = hours_of(&a.state.spawns[i]), y = hours_of(&b.state.spawns[i]);
            for (int k = 0; k < 6; k++) {
                assert_int_equal(x.at[k].status, y.at[k].status);
                if (y.at[k].at_s > x.at[k].at_s)
                    fail_msg("ledger %llu, spawn %d, hour %d: %lld, warmer %lld",
                             (unsigned long long)seed, i, k, (long long)x.at[k].at_s,
                             (long long)y.at[k].at_s);
                compared += x.at[k].at_s > 0;
            }
        }
        farm_free(&a);
        farm_free(&b);
    }
    assert_in_range(compared, LEDGERS, 1000000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(undone_is_never_said),    cmocka_unit_test(undo_is_never_undone),
        cmocka_unit_test(fix_undone_is_as_before), cmocka_unit_test(fixed_to_the_same),
        cmocka_unit_test(late_is_not_less),        cmocka_unit_test(stepping_is_folding),
        cmocka_unit_test(digest_sees_each_entry),  cmocka_unit_test(nothing_new_moves_nothing),
        cmocka_unit_test(warmer_is_never_later),
    };
    return cmocka_run_group_tests(tests, load_zone, NULL);
}
