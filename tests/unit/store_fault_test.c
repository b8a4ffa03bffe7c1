/* A disk that is full, and one that fails at every place in turn: nothing is ever half written. */
#include "store_help.h"

#include <sys/stat.h>

#include "store/vfs.h"

static void flag(const struct help *h, bool full) {
    if (!full) {
        (void)unlink(h->flag);
        return;
    }
    FILE *f = fopen(h->flag, "w");
    assert_non_null(f);
    (void)fclose(f);
}

static void test_full_in_the_middle(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(help_turn(&h, 1));
    OK(store_begin(h.s));
    OK(help_turn_rows(&h, 2));
    flag(&h, true); /* between the rows and the commit */
    WANT(ERR_FULL, store_commit(h.s));
    assert_int_equal(help_laws(&h), 1);
    WANT(ERR_FULL, help_turn(&h, 2));
    WANT(ERR_FULL, store_probe(h.s, NOW));
    store_checkpoint(h.s, 1);           /* harmless */
    assert_int_equal(help_laws(&h), 1); /* reading goes on */
    flag(&h, false);
    OK(help_turn(&h, 2));
    OK(help_send(&h));
    store_close(h.s);
    OK(help_open(&h, 0));
    assert_int_equal(help_laws(&h), 2);
    help_remove(&h);
}

/* So many rows that the cache spills into the log before the commit: the error comes from a row. */
static void test_full_inside_a_long_transaction(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(store_db_exec(h.s->db, "PRAGMA cache_size = 10"));
    OK(store_begin(h.s));
    flag(&h, true);
    enum err e = ERR_OK;
    for (int64_t i = 1; !e && i < 200; i++)
        e = help_turn_rows(&h, i);
    WANT(ERR_FULL, e);
    WANT(ERR_FULL, store_count(h.s, "late", 1)); /* nothing may slip behind it */
    flag(&h, false);
    WANT(ERR_FULL, store_count(h.s, "late", 1));
    WANT(ERR_FULL, store_commit(h.s));
    assert_int_equal(help_laws(&h), 0);
    OK(help_turn(&h, 1));
    assert_int_equal(help_laws(&h), 1);
    help_remove(&h);
}

/* Undoing a mark does not heal a full disk. */
static void test_full_inside_a_mark(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    OK(store_db_exec(h.s->db, "PRAGMA cache_size = 10"));
    OK(store_begin(h.s));
    OK(store_count(h.s, "before", 1));
    OK(store_mark(h.s));
    flag(&h, true);
    enum err e = ERR_OK;
    for (int64_t i = 1; !e && i < 200; i++)
        e = help_turn_rows(&h, i);
    WANT(ERR_FULL, e);
    flag(&h, false);
    store_mark_undo(h.s);
    WANT(ERR_FULL, store_count(h.s, "after", 1));
    WANT(ERR_FULL, store_commit(h.s));
    assert_int_equal(help_laws(&h), 0);
    help_remove(&h);
}

static void test_ballast(void **state) {
    (void)state;
    enum { BYTES = 200000 };
    struct help h;
    help_make(&h);
    OK(help_open(&h, BYTES));
    help_farm(&h);
    char name[128];
    struct stat st;
    (void)snprintf(name, sizeof name, "%s-ballast", h.path);
    assert_int_equal(stat(name, &st), 0);
    assert_int_equal(st.st_size, BYTES);
    if (st.st_blocks * 512 < BYTES)
        fail_msg("ballast holds %lld bytes of the disk, wanted %d", (long long)st.st_blocks * 512,
                 BYTES);
    assert_true(store_ballast_restore(h.s)); /* it stands */
    flag(&h, true);
    WANT(ERR_FULL, help_turn(&h, 1));
    store_ballast_release(h.s);
    assert_int_not_equal(stat(name, &st), 0);
    assert_false(store_ballast_restore(h.s)); /* no room yet */
    assert_int_not_equal(stat(name, &st), 0);
    store_ballast_release(h.s); /* twice is harmless */
    flag(&h, false);
    assert_true(store_ballast_restore(h.s));
    assert_int_equal(stat(name, &st), 0);
    assert_int_equal(st.st_size, BYTES);
    /* half a file, as a crash may leave it, is made whole at the next start */
    assert_int_equal(truncate(name, BYTES / 2), 0);
    store_close(h.s);
    OK(help_open(&h, BYTES));
    assert_int_equal(stat(name, &st), 0);
    assert_int_equal(st.st_size, BYTES);
    store_close(h.s);
    /* more than any disk has: the store opens without it */
    OK(help_open(&h, INT64_C(1) << 55));
    assert_false(store_ballast_restore(h.s));
    assert_int_not_equal(stat(name, &st), 0);
    OK(help_turn(&h, 1));
    store_close(h.s);
    OK(help_open(&h, 0));
    assert_true(store_ballast_restore(h.s)); /* none is wanted */
    help_remove(&h);
}

/* A full disk while the store is being made: nothing is half made, and it is made later. */
static void test_full_while_making(void **state) {
    (void)state;
    struct help h;
    help_make(&h);
    flag(&h, true);
    WANT(ERR_FULL, help_open(&h, 0));
    assert_null(h.s);
    flag(&h, false);
    OK(help_open(&h, 0));
    help_farm(&h);
    OK(help_turn(&h, 1));
    assert_int_equal(help_laws(&h), 1);
    help_remove(&h);
}

/* -- the Nth write fails ------------------------------------------------------------------------
 */

/* One cycle of the daemon. Returns the error, if any; *turns is raised when the turn was committed.
 */
static enum err cycle(struct help *h, int64_t *turns) {
    enum err e = help_turn(h, *turns + 1);
    if (!e) {
        ++*turns;
        e = help_send(h);
    }
    store_checkpoint(h->s, 1);
    return e;
}

/* N = 1, 2, 3 ... until a cycle runs clean. After each failure the laws hold in the running store
 * (what was committed stands, what was not does not), and again after a reopening. There the turn
 * whose commit failed may stand whole: see commit.c. */
static void fault_loop(enum store_vfs_fault fault, bool lasting, int least) {
    struct help h;
    help_start(&h);
    int64_t turns = 0, failures = 0;
    OK(cycle(&h, &turns));
    for (long n = 1;; n++) {
        int64_t before = turns;
        store_vfs_fail(n, lasting, fault);
        enum err e = cycle(&h, &turns);
        bool struck = store_vfs_failed();
        if (!lasting)
            store_vfs_fail(0, false, fault);
        if (!struck) {
            OK(e);
            break;
        }
        if (e && e != (fault == STORE_VFS_FULL ? ERR_FULL : ERR_IO))
            fail_msg("write %ld: got %s", n, err_info(e)->name);
        failures += e != ERR_OK;
        assert_int_equal(help_laws(&h), turns);
        store_close(h.s);
        h.s = NULL;
        store_vfs_fail(0, false, fault);
        OK(help_open(&h, 0));
        int64_t found = help_laws(&h);
        if (found != turns && (turns != before || found != turns + 1))
            fail_msg("write %ld: %lld turns after reopening, %lld were committed", n,
                     (long long)found, (long long)turns);
        turns = found;
        OK(store_begin(h.s)); /* leases of the cycle that failed */
        OK(store_dispatch_free(h.s, 1));
        OK(store_commit(h.s));
        store_checkpoint(h.s, 1); /* else each cycle has more to move than the one before */
        if (n > 2000)
            fail_msg("no clean cycle after %ld writes", n);
    }
    if (failures < least)
        fail_msg("only %lld failures were met, wanted %d at least", (long long)failures, least);
    store_vfs_fail(0, false, fault);
    help_remove(&h);
}

static void test_each_write_full_once(void **state) {
    (void)state;
    fault_loop(STORE_VFS_FULL, false, 10);
}

static void test_each_write_full_lasting(void **state) {
    (void)state;
    fault_loop(STORE_VFS_FULL, true, 10);
}

static void test_each_write_or_sync_fails_once(void **state) {
    (void)state;
    fault_loop(STORE_VFS_IO, false, 10);
}

static void test_each_write_or_sync_fails_lasting(void **state) {
    (void)state;
    fault_loop(STORE_VFS_IO, true, 10);
}

/* The same over opening, from nothing: at the end there is a whole store or none yet. */
static void making_loop(bool lasting) {
    for (long n = 1;; n++) {
        struct help h;
        help_make(&h);
        store_vfs_fail(n, lasting, STORE_VFS_IO);
        enum err e = help_open(&h, 0);
        bool struck = store_vfs_failed();
        if (e && e != ERR_IO)
            fail_msg("write %ld while making: got %s", n, err_info(e)->name);
        store_close(h.s);
        h.s = NULL;
        store_vfs_fail(0, false, STORE_VFS_IO);
        OK(help_open(&h, 0));
        help_farm(&h);
        OK(help_turn(&h, 1));
        assert_int_equal(help_laws(&h), 1);
        help_remove(&h);
        if (!struck)
            break;
        if (n > 2000)
            fail_msg("no clean making after %ld writes", n);
    }
}

static void test_making_fails_once(void **state) {
    (void)state;
    making_loop(false);
}

static void test_making_fails_lasting(void **state) {
    (void)state;
    making_loop(true);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_full_in_the_middle),
        cmocka_unit_test(test_full_inside_a_long_transaction),
        cmocka_unit_test(test_full_inside_a_mark),
        cmocka_unit_test(test_ballast),
        cmocka_unit_test(test_full_while_making),
        cmocka_unit_test(test_each_write_full_once),
        cmocka_unit_test(test_each_write_full_lasting),
        cmocka_unit_test(test_each_write_or_sync_fails_once),
        cmocka_unit_test(test_each_write_or_sync_fails_lasting),
        cmocka_unit_test(test_making_fails_once),
        cmocka_unit_test(test_making_fails_lasting),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
