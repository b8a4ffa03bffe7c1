/* Kill, reopen, verify. A child works and is killed; the parent opens what it left: every turn all
 * or nothing, none lost that was acknowledged, the file sound, and work goes on.
 *
 * In a build with the named points the child is killed at each of them, at its 1st, 2nd, 3rd, 5th
 * ... passing until it lives to the end; in every build also at instants spread over its work. What
 * this cannot show is a power cut: the system's page cache outlives a killed process. */
#include "store_help.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <time.h>

#include "base/point.h"

enum { CYCLES = 6 };

/* In the child: opens the store and does its cycles, telling each turn after its commit. */
static void work(struct help *h, int64_t turns, int tell) {
    if (help_open(h, 4096))
        _exit(2);
    h->farm = h->owner = 1;
    for (int i = 0; i < CYCLES; i++) {
        struct store_print print = help_print(turns + 1);
        store_danger(h->s, &print);
        if (help_turn(h, turns + 1))
            _exit(3);
        store_safe(h->s);
        turns++;
        if (write(tell, &turns, sizeof turns) != (ssize_t)sizeof turns)
            _exit(4);
        if (help_send(h))
            _exit(5);
        store_checkpoint(h->s, 20);
    }
    store_close(h->s);
    _exit(0);
}

/* Lets the child end, looks at what it left, and goes one turn further. */
static bool killed_and_sound(struct help *h, pid_t child, int listen, int64_t *turns) {
    int64_t told = *turns, one;
    while (read(listen, &one, sizeof one) == (ssize_t)sizeof one)
        told = one;
    (void)close(listen);
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    if (!(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL) &&
        !(WIFEXITED(status) && WEXITSTATUS(status) == 0))
        fail_msg("the child ended with status %d", status);
    OK(help_open(h, 4096));
    if (help_count(h, "SELECT count(*) FROM farm") == 0)
        help_farm(h); /* killed while the store was made */
    int64_t found = help_laws(h);
    if (found != told && found != told + 1)
        fail_msg("%lld turns found, %lld were acknowledged", (long long)found, (long long)told);
    OK(store_begin(h->s));
    OK(store_dispatch_free(h->s, 1));
    OK(store_commit(h->s));
    OK(help_turn(h, found + 1));
    OK(help_send(h));
    *turns = help_laws(h);
    assert_int_equal(*turns, found + 1);
    store_close(h->s);
    h->s = NULL;
    return WIFSIGNALED(status);
}

static pid_t start(struct help *h, int64_t turns, const char *point, int *listen) {
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        (void)close(ends[0]);
        point_arm(point);
        work(h, turns, ends[1]);
    }
    (void)close(ends[1]);
    *listen = ends[0];
    return child;
}

static void test_killed_at_any_instant(void **state) {
    (void)state;
    struct help h;
    help_start(&h);
    store_close(h.s);
    h.s = NULL;
    int64_t turns = 0;
    int kills = 0;
    for (int i = 0; i < 40; i++) {
        int listen;
        pid_t child = start(&h, turns, NULL, &listen);
        struct timespec wait = {0, 400000L * (i + 1)};
        (void)nanosleep(&wait, NULL);
        (void)kill(child, SIGKILL);
        kills += killed_and_sound(&h, child, listen, &turns);
    }
    assert_true(kills > 0);
    help_remove(&h);
}

#ifdef BARBEL_POINTS
static void killed_at(const char *name, bool from_nothing) {
    int kills = 0;
    for (int nth = 1, before = 1; nth < 3000;) {
        struct help h;
        help_make(&h);
        if (!from_nothing) {
            OK(help_open(&h, 4096));
            help_farm(&h);
            store_close(h.s);
            h.s = NULL;
        }
        int64_t turns = 0;
        int listen;
        char point[64];
        (void)snprintf(point, sizeof point, "%s:%d", name, nth);
        pid_t child = start(&h, turns, point, &listen);
        bool killed = false;
        if (from_nothing) { /* the child has no farm to work on: only the making counts */
            int status = 0;
            (void)close(listen);
            assert_int_equal(waitpid(child, &status, 0), child);
            killed = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
            OK(help_open(&h, 4096));
            help_farm(&h);
            OK(help_turn(&h, 1));
            assert_int_equal(help_laws(&h), 1);
        } else {
            killed = killed_and_sound(&h, child, listen, &turns);
        }
        help_remove(&h);
        if (!killed)
            break;
        kills++;
        int next = nth + before; /* 1, 2, 3, 5, 8, 13 ... */
        before = nth;
        nth = next;
    }
    if (kills == 0)
        fail_msg("the point %s was never passed", name);
}

static void test_killed_at_each_point(void **state) {
    (void)state;
    static const char *const names[] = {
        "store-begin",   "store-commit-before", "store-commit-after", "vfs-wal-write",
        "vfs-wal-sync",  "vfs-db-write",        "vfs-db-sync",        "store-arrival",
        "store-ledger",  "store-told",          "store-diary",        "store-dispatch",
        "store-attempt", "store-receipt",       "store-checkpoint",
    };
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        killed_at(names[i], false);
}

static void test_killed_while_making(void **state) {
    (void)state;
    static const char *const names[] = {"store-migrate-step", "vfs-db-write", "vfs-db-sync",
                                        "vfs-wal-write", "vfs-wal-sync"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        killed_at(names[i], true);
}
#endif

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_killed_at_any_instant),
#ifdef BARBEL_POINTS
        cmocka_unit_test(test_killed_at_each_point),
        cmocka_unit_test(test_killed_while_making),
#endif
    };
#ifndef BARBEL_POINTS
    print_message("this build has no named points: killed at instants only\n");
#endif
    return cmocka_run_group_tests(tests, NULL, NULL);
}
