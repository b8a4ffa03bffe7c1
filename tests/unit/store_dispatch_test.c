/* Texts that go out: order, leases, attempts, echoes; receipts in every order. */
#include "store_help.h"

enum { ME = 5, OTHER = 6 };

struct row {
    int64_t n, level, made_s, next_s, useful_s;
    const char *to;
};

static void put(struct help *h, const struct row *rows, int count) {
    for (int i = 0; i < count; i++) {
        char reference[33];
        struct store_dispatch d = help_dispatch(reference, rows[i].n, rows[i].to);
        d.level = rows[i].level;
        d.made_s = NOW + rows[i].made_s;
        d.next_s = NOW + rows[i].next_s;
        d.useful_s = rows[i].useful_s ? NOW + rows[i].useful_s : INT64_MAX;
        d.farm = h->farm;
        d.person = h->owner;
        d.task_kind = 2;
        d.subject = rows[i].n;
        OK(store_dispatch_put(h->s, &d, 1));
    }
}

/* Takes at NOW + at and compares the rows' numbers, which are in their references. */
static void want_taken(struct help *h, int64_t at, int limit, const int64_t *want, int wants) {
    struct store_dispatch *out;
    int count = 0;
    OK(store_dispatch_take(h->s, NOW + at, ME, NOW + at + 60, limit, &h->a, &out, &count));
    struct buf got = buf_make(2000), wanted = buf_make(2000);
    for (int i = 0; i < count; i++)
        buf_putf(&got, "%lld ", strtoll(out[i].reference.p, NULL, 16));
    for (int i = 0; i < wants; i++)
        buf_putf(&wanted, "%lld ", (long long)want[i]);
    assert_string_equal(buf_str(&got), buf_str(&wanted));
    buf_free(&got);
    buf_free(&wanted);
}
#define TAKEN(h, at, limit, ...)                                                                   \
    want_taken((h), (at), (limit), (const int64_t[]){__VA_ARGS__},                                 \
               (int)(sizeof((int64_t[]){__VA_ARGS__}) / sizeof(int64_t)))

static void done(struct help *h, int64_t id, enum store_sent sent, int64_t next) {
    struct store_attempt a = {.dispatch = id,
                              .sent = sent,
                              .provider_id = SLICE(""),
                              .next_s = NOW + next,
                              .at_s = NOW + 1,
                              .reason = SLICE("because")};
    OK(store_dispatch_done(h->s, &a, 1));
}

static void test_all_fields_come_back(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    char reference[33];
    struct store_dispatch in = help_dispatch(reference, 77, "+447700900002"), *out;
    in.farm = h.farm;
    in.person = h.worker;
    in.level = 3;
    in.useful_s = NOW + 999;
    in.task_kind = 1;
    in.subject = 2;
    in.nth = 3;
    in.stage = 4;
    int count = 0;
    OK(store_begin(h.s));
    OK(store_dispatch_put(h.s, &in, 1));
    OK(store_dispatch_take(h.s, NOW, ME, NOW + 1, 9, &h.a, &out, &count));
    OK(store_commit(h.s));
    assert_int_equal(count, 1);
    assert_true(out->id > 0);
    assert_true(slice_eq(out->reference, in.reference));
    TEXT(out->to, "+447700900002");
    TEXT(out->body, "F3: look now.");
    TEXT(out->link, "north");
    const int64_t got[] = {out->farm,    out->person,   out->level, out->made_s,
                           out->next_s,  out->useful_s, out->tries, out->task_kind,
                           out->subject, out->nth,      out->stage};
    const int64_t want[] = {h.farm, h.worker, 3, NOW, NOW, NOW + 999, 0, 1, 2, 3, 4};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        assert_int_equal(got[i], want[i]);
    help_remove(&h);
}

/* One a phone; of a phone's texts the highest level, then the oldest. */
static void test_order(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {
        {1, 3, -50, -50, 0, "+447700900001"}, /* routine, the oldest of all */
        {2, 2, -40, -40, 0, "+447700900001"}, {3, 1, -10, -10, 0, "+447700900001"},
        {4, 1, -30, -5, 0, "+447700900001"}, /* older, though its turn came later */
        {5, 0, -5, 100, 0, "+447700900001"}, /* an alarm, but not yet */
        {6, 3, -20, -20, 0, "+447700900002"}, {7, 0, -1, -1, 0, "+447700900003"},
        {8, 2, -60, -60, 0, "+447700900004"},
    };
    OK(store_begin(h.s));
    put(&h, rows, 8);
    TAKEN(&h, 0, 9, 7, 4, 8, 6);
    TAKEN(&h, 0, 9); /* every phone has one in flight */
    done(&h, 4, STORE_DONE, 0);
    TAKEN(&h, 0, 9, 3);
    done(&h, 3, STORE_LATER, 200); /* the next highest does not wait for it */
    TAKEN(&h, 0, 9, 2);
    done(&h, 2, STORE_DONE, 0);
    TAKEN(&h, 150, 9, 7, 5, 8, 6); /* phones 2 to 4: their leases ran out */
    OK(store_commit(h.s));
    help_remove(&h);
}

static void test_limit_and_levels(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {
        {1, 2, 0, 0, 0, "+447700900001"},
        {2, 1, 0, 0, 0, "+447700900002"},
        {3, 0, 0, 0, 0, "+447700900003"},
    };
    OK(store_begin(h.s));
    put(&h, rows, 3);
    TAKEN(&h, 0, 0);
    TAKEN(&h, 0, 2, 3, 2);
    TAKEN(&h, 0, 2, 1);
    store_rollback(h.s);
    help_remove(&h);
}

static void test_leases(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {{1, 1, 0, 0, 0, "+447700900001"}, {2, 1, 1, 0, 0, "+447700900001"}};
    int64_t next = 0;
    OK(store_dispatch_next(h.s, &next));
    assert_true(next == INT64_MAX);
    OK(store_begin(h.s));
    put(&h, rows, 2);
    OK(store_dispatch_next(h.s, &next));
    assert_int_equal(next, NOW);
    TAKEN(&h, 0, 9, 1);
    OK(store_dispatch_next(h.s, &next)); /* nothing to do before the lease ends */
    assert_int_equal(next, NOW + 60);
    TAKEN(&h, 59, 9);
    OK(store_dispatch_free(h.s, ME)); /* own leases stay */
    TAKEN(&h, 59, 9);
    OK(store_dispatch_free(h.s, OTHER)); /* a restart under another name: they end */
    OK(store_dispatch_next(h.s, &next));
    assert_int_equal(next, NOW);
    TAKEN(&h, 59, 9, 1);
    TAKEN(&h, 118, 9);
    TAKEN(&h, 119, 9, 1); /* the lease ended by itself */
    done(&h, 1, STORE_LATER, 500);
    TAKEN(&h, 119, 9, 2);
    done(&h, 2, STORE_DONE, 0);
    OK(store_dispatch_next(h.s, &next));
    assert_int_equal(next, NOW + 500);
    OK(store_commit(h.s));
    struct store_dispatch *out;
    int count;
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_dispatch_take(h.s, NOW, 0, NOW + 60, 1, &h.a, &out, &count));
    store_rollback(h.s);
    OK(store_begin(h.s));
    WANT(ERR_BUG, store_dispatch_take(h.s, NOW, ME, NOW, 1, &h.a, &out, &count));
    store_rollback(h.s);
    help_remove(&h);
}

/* What never left is no try: the wait after a real failure grows with the tries. */
static void test_untried(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {{1, 0, 0, 0, 0, "+447700900001"}};
    struct store_dispatch *out;
    int count;
    OK(store_begin(h.s));
    put(&h, rows, 1);
    for (int i = 0; i < 6; i++) {
        OK(store_dispatch_take(h.s, NOW + 10 * i, ME, NOW + 10 * i + 5, 9, &h.a, &out, &count));
        assert_int_equal(count, 1);
        assert_int_equal(out->tries, i < 3 ? 0 : i - 3); /* the first three did not go out */
        const struct store_attempt later = {.dispatch = out->id,
                                            .sent = STORE_LATER,
                                            .provider_id = SLICE(""),
                                            .next_s = NOW + 10 * (i + 1),
                                            .reason = SLICE("circuit"),
                                            .untried = i < 3};
        OK(store_dispatch_done(h.s, &later, 1));
    }
    OK(store_commit(h.s));
    help_remove(&h);
}

static void told(struct help *h, int64_t subject) {
    struct store_told row = {.task_kind = 2, .subject = subject, .person = h->owner, .told_s = NOW};
    OK(store_told_put(h->s, h->farm, &row, 1));
}

static int64_t outcome(struct help *h, int64_t subject) {
    struct store_told *rows;
    int count = 0;
    OK(store_told_read(h->s, h->farm, &h->a, &rows, &count));
    for (int i = 0; i < count; i++)
        if (rows[i].subject == subject)
            return rows[i].outcome;
    return -1;
}

static void test_attempts(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {
        {1, 1, 0, 0, 0, "+447700900001"},
        {2, 1, 0, 0, 0, "+447700900002"},
        {3, 1, 0, 0, -10, "+447700900003"}, /* past its last useful hour: comes too */
        {4, 1, 0, 0, 0, "+447700900004"},
    };
    OK(store_begin(h.s));
    put(&h, rows, 4);
    for (int i = 1; i <= 4; i++)
        told(&h, i);
    TAKEN(&h, 0, 9, 1, 2, 3, 4);
    done(&h, 1, STORE_DONE, 0);
    done(&h, 2, STORE_NEVER, 0);
    done(&h, 3, STORE_EXPIRED, 0);
    done(&h, 4, STORE_LATER, 30);
    assert_int_equal(outcome(&h, 1), STORE_SENT);
    assert_int_equal(outcome(&h, 2), STORE_FAILED);
    assert_int_equal(outcome(&h, 3), STORE_FAILED);
    assert_int_equal(outcome(&h, 4), STORE_WAITING);
    /* what has ended does not end again */
    done(&h, 2, STORE_DONE, 0);
    done(&h, 1, STORE_LATER, 0);
    assert_int_equal(outcome(&h, 2), STORE_FAILED);
    TAKEN(&h, 29, 9);
    struct store_dispatch *out;
    int count = 0;
    OK(store_dispatch_take(h.s, NOW + 30, ME, NOW + 90, 9, &h.a, &out, &count));
    assert_int_equal(count, 1);
    assert_int_equal(out[0].id, 4);
    assert_int_equal(out[0].tries, 1);
    OK(store_commit(h.s));
    OK(store_begin(h.s));
    struct store_attempt unknown = {.dispatch = 99, .sent = STORE_DONE, .at_s = NOW};
    WANT(ERR_BUG, store_dispatch_done(h.s, &unknown, 1));
    store_rollback(h.s);
    OK(store_begin(h.s));
    char reference[33];
    struct store_dispatch bad = help_dispatch(reference, 50, "+447700900001");
    bad.level = 4;
    WANT(ERR_BUG, store_dispatch_put(h.s, &bad, 1));
    store_rollback(h.s);
    OK(store_begin(h.s));
    bad = help_dispatch(reference, 1, "+447700900001"); /* a reference that stands */
    WANT(ERR_BUG, store_dispatch_put(h.s, &bad, 1));
    store_rollback(h.s);
    help_remove(&h);
}

static void test_echo(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {{1, 1, 0, 0, 0, "+447700900001"}};
    static const struct {
        const char *phone, *body;
        int64_t since;
        bool want;
    } cases[] = {
        {"+447700900001", "F3: look now.", 0, true},  {"+447700900001", "F3: look now.", -5, true},
        {"+447700900001", "F3: look now.", 1, false}, {"+447700900002", "F3: look now.", 0, false},
        {"+447700900001", "F3: look now", 0, false},  {"+447700900001", "", 0, false},
    };
    OK(store_begin(h.s));
    put(&h, rows, 1);
    OK(store_commit(h.s));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        bool echo = !cases[i].want;
        OK(store_is_echo(h.s, slice_of(cases[i].phone), slice_of(cases[i].body),
                         NOW + cases[i].since, &echo));
        if (echo != cases[i].want)
            fail_msg("case %zu: got %d, wanted %d", i, echo, cases[i].want);
    }
    help_remove(&h);
}

/* -- receipts -----------------------------------------------------------------------------------
 */

enum { D = STORE_RECEIPT_DELIVERED, P = STORE_RECEIPT_PENDING, F = STORE_RECEIPT_FAILED };

/* Every order of up to three receipts: what told says at the end, and when the farm is woken. By
 * 3GPP TS 23.040 9.2.3.15 pending is "still trying": no final state goes back to it, and nothing
 * outdoes delivered. */
static void test_receipts_in_any_order(void **state) {
    (void)state;
    static const struct {
        int receipts[3];
        enum store_outcome want;
        const char *woken;
    } cases[] = {
        {{P, D, 0}, STORE_DELIVERED, "01"},  {{P, F, 0}, STORE_FAILED, "01"},
        {{D, P, F}, STORE_DELIVERED, "100"}, {{D, F, P}, STORE_DELIVERED, "100"},
        {{F, P, 0}, STORE_FAILED, "10"},     {{F, P, D}, STORE_DELIVERED, "101"},
        {{F, D, F}, STORE_DELIVERED, "110"}, {{D, D, 0}, STORE_DELIVERED, "10"},
        {{F, F, 0}, STORE_FAILED, "10"},     {{P, P, 0}, STORE_SENT, "00"},
        {{P, F, D}, STORE_DELIVERED, "011"}, {{D, 0, 0}, STORE_DELIVERED, "1"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct help h;
        help_start(&h);
        const struct row rows[] = {{1, 1, 0, 0, 0, "+447700900001"}};
        char reference[33], woken[4] = "";
        (void)snprintf(reference, sizeof reference, "%032x", 1);
        OK(store_begin(h.s));
        put(&h, rows, 1);
        told(&h, 1);
        TAKEN(&h, 0, 9, 1);
        done(&h, 1, STORE_DONE, 0);
        for (int k = 0; k < 3 && cases[i].receipts[k]; k++) {
            bool known = false;
            int64_t farm = -1;
            OK(store_receipt_put(h.s, SLICE("north"), slice_of(reference), SLICE(""),
                                 (enum store_receipt)cases[i].receipts[k], NOW + k, &known, &farm));
            assert_true(known);
            woken[k] = farm == h.farm ? '1' : farm == 0 ? '0' : '?';
            woken[k + 1] = '\0';
        }
        if (outcome(&h, 1) != (int64_t)cases[i].want || strcmp(woken, cases[i].woken) != 0)
            fail_msg("case %zu: got outcome %lld woken %s, wanted %d woken %s", i,
                     (long long)outcome(&h, 1), woken, cases[i].want, cases[i].woken);
        OK(store_commit(h.s));
        help_remove(&h);
    }
}

static enum err receipt(struct help *h, const char *link, const char *reference,
                        const char *provider, enum store_receipt what, bool *known, int64_t *farm) {
    return store_receipt_put(h->s, slice_of(link), slice_of(reference), slice_of(provider), what,
                             NOW + 9, known, farm);
}

static void test_receipt_matching(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {{1, 1, 0, 0, 0, "+447700900001"}, {2, 1, 0, 0, 0, "+447700900002"}};
    bool known = true;
    int64_t farm = -1;
    OK(store_begin(h.s));
    put(&h, rows, 2);
    told(&h, 1);
    told(&h, 2);
    TAKEN(&h, 0, 9, 1, 2);
    struct store_attempt a = {
        .dispatch = 1, .sent = STORE_DONE, .provider_id = SLICE("id-7"), .at_s = NOW};
    OK(store_dispatch_done(h.s, &a, 1));
    /* unknown ones are told apart, counted, and change nothing */
    OK(receipt(&h, "north", "", "id-8", STORE_RECEIPT_FAILED, &known, &farm));
    assert_false(known);
    assert_int_equal(farm, 0);
    OK(receipt(&h, "south", "", "id-7", STORE_RECEIPT_FAILED, &known, &farm));
    assert_false(known); /* the provider's id counts on its own link only */
    OK(receipt(&h, "north", "", "", STORE_RECEIPT_FAILED, &known, &farm));
    assert_false(known); /* dispatch 2 has no provider's id yet: empty is no match */
    assert_int_equal(help_count(&h, "SELECT value FROM counter WHERE name = 'receipt_unknown'"), 3);
    assert_int_equal(outcome(&h, 1), STORE_SENT);
    OK(receipt(&h, "north", "", "id-7", STORE_RECEIPT_DELIVERED, &known, &farm));
    assert_true(known);
    assert_int_equal(farm, h.farm);
    assert_int_equal(outcome(&h, 1), STORE_DELIVERED);
    /* a receipt that is faster than the answer to the attempt ends the text */
    OK(receipt(&h, "north", "00000000000000000000000000000002", "id-7", STORE_RECEIPT_DELIVERED,
               &known, &farm));
    assert_true(known);
    assert_int_equal(outcome(&h, 2), STORE_DELIVERED);
    TAKEN(&h, 5000, 9); /* it is not sent again */
    a.dispatch = 2;
    a.provider_id = SLICE("id-9");
    OK(store_dispatch_done(h.s, &a, 1));
    assert_int_equal(outcome(&h, 2), STORE_DELIVERED);
    OK(receipt(&h, "north", "", "id-9", STORE_RECEIPT_FAILED, &known, &farm));
    assert_true(known); /* found by the id that came late */
    assert_int_equal(farm, 0);
    OK(store_commit(h.s));
    help_remove(&h);
}

/* A failed one that still waits (its attempt ended without an answer) is tried again. */
static void test_receipt_of_a_waiting_text(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    const struct row rows[] = {{1, 1, 0, 0, 0, "+447700900001"}};
    bool known = false;
    int64_t farm = 0;
    OK(store_begin(h.s));
    put(&h, rows, 1);
    told(&h, 1);
    TAKEN(&h, 0, 9, 1);
    done(&h, 1, STORE_LATER, 30);
    OK(receipt(&h, "north", "00000000000000000000000000000001", "", STORE_RECEIPT_FAILED, &known,
               &farm));
    assert_int_equal(outcome(&h, 1), STORE_FAILED);
    TAKEN(&h, 30, 9, 1);
    done(&h, 1, STORE_DONE, 0);
    OK(receipt(&h, "north", "00000000000000000000000000000001", "", STORE_RECEIPT_DELIVERED, &known,
               &farm));
    assert_int_equal(outcome(&h, 1), STORE_DELIVERED);
    OK(store_commit(h.s));
    OK(store_begin(h.s));
    WANT(ERR_BUG, receipt(&h, "north", "", "", (enum store_receipt)9, &known, &farm));
    store_rollback(h.s);
    help_remove(&h);
}

/* A law at random: never two in flight for a phone, never one below another that could go. */
static void test_take_at_random(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    uint64_t seed = 7;
    static const char *const phones[] = {"+447700900001", "+447700900002", "+447700900003",
                                         "+447700900004", "+447700900005"};
    OK(store_begin(h.s));
    for (int64_t i = 1; i <= 120; i++) {
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        const struct row row = {
            i, (int64_t)(seed >> 60) % 4, (int64_t)(seed >> 50) % 100, (int64_t)(seed >> 40) % 100,
            0, phones[(seed >> 33) % 5]};
        put(&h, &row, 1);
    }
    int taken = 0;
    for (int64_t at = 0; at < 3000 && taken < 120; at += 7) {
        struct store_dispatch *out;
        int count = 0;
        arena_reset(&h.a);
        OK(store_dispatch_take(h.s, NOW + at, ME, NOW + at + 20, 3, &h.a, &out, &count));
        assert_int_equal(help_count(&h, "SELECT count(*) - count(DISTINCT phone) FROM dispatch"
                                        " WHERE state = 0 AND lease_by <> 0"),
                         0);
        for (int i = 0; i < count; i++) {
            char sql[400];
            (void)snprintf(sql, sizeof sql,
                           "SELECT count(*) FROM dispatch a JOIN dispatch b ON a.phone = b.phone"
                           " WHERE a.id = %lld AND b.state = 0 AND b.next_s <= %lld"
                           " AND (b.level, b.made_s, b.id) < (a.level, a.made_s, a.id)",
                           (long long)out[i].id, (long long)(NOW + at));
            assert_int_equal(help_count(&h, sql), 0);
        }
        for (int i = 0; i < count; i++)
            done(&h, out[i].id, STORE_DONE, 0);
        taken += count;
    }
    assert_int_equal(taken, 120);
    OK(store_commit(h.s));
    help_remove(&h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_fields_come_back),
        cmocka_unit_test(test_order),
        cmocka_unit_test(test_untried),
        cmocka_unit_test(test_limit_and_levels),
        cmocka_unit_test(test_leases),
        cmocka_unit_test(test_attempts),
        cmocka_unit_test(test_echo),
        cmocka_unit_test(test_receipts_in_any_order),
        cmocka_unit_test(test_receipt_matching),
        cmocka_unit_test(test_receipt_of_a_waiting_text),
        cmocka_unit_test(test_take_at_random),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
