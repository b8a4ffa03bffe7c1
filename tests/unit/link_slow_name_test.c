/* A name server that is silent must not stop the loop: the send ends at its own time-out, while the
 * look-up that was begun for it still waits. The C library's getaddrinfo is replaced here, for this
 * program, by one that takes longer than the send may. */
#include "unit/link_server.h"

#include <netdb.h>
#include <stdatomic.h>
#include <time.h>

enum { LOOKUP_MS = 3000, CONNECT_MS = 500, STEP_MOST_MS = 1500 };

static atomic_int begun, ended;

int getaddrinfo(const char *restrict name, const char *restrict service,
                const struct addrinfo *restrict hints, struct addrinfo **restrict out) {
    const struct timespec wait = {LOOKUP_MS / 1000, LOOKUP_MS % 1000 * 1000000L};
    (void)name;
    (void)service;
    (void)hints;
    (void)out;
    atomic_fetch_add(&begun, 1);
    (void)nanosleep(&wait, NULL);
    atomic_fetch_add(&ended, 1);
    return EAI_AGAIN;
}

static int64_t steady_ms(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static void the_loop_goes_on(void **state) {
    struct sender sender;
    struct link_result r;
    struct link *l;
    int64_t longest_ms = 0;
    int count = 0;
    (void)state;
    sender_make(&sender, "json", 9);
    sender.profile.send.url = SLICE("http://provider.invalid/errands");
    sender.profile.send.connect_ms = CONNECT_MS;
    assert_int_equal(link_open(&(struct link_options){0}, &l), ERR_OK);
    struct link_job job = job_of(&sender, 1);
    assert_int_equal(link_start(l, &job), ERR_OK);
    for (int64_t until_ms = steady_ms() + 10000; !count && steady_ms() < until_ms;) {
        assert_int_equal(link_wait(l, NULL, 0, 50), ERR_OK);
        int64_t from_ms = steady_ms();
        link_step(l);
        count = link_results(l, &r, 1, 1000, 0);
        int64_t took_ms = steady_ms() - from_ms;
        longest_ms = took_ms > longest_ms ? took_ms : longest_ms;
    }
    if (atomic_load(&begun) != 1 || atomic_load(&ended) != 0)
        fail_msg("look-ups: %d begun, %d ended; wanted one, under way", atomic_load(&begun),
                 atomic_load(&ended));
    assert_int_equal(count, 1);
    assert_int_equal(r.outcome, LINK_LATER);
    if (longest_ms > STEP_MOST_MS)
        fail_msg("one step took %lld ms, wanted at most %d", (long long)longest_ms, STEP_MOST_MS);
    int64_t from_ms = steady_ms();
    job.dispatch = 2;
    assert_int_equal(link_start(l, &job), ERR_OK);
    link_step(l);
    link_close(l); /* nor must the end wait for it */
    if (steady_ms() - from_ms > STEP_MOST_MS)
        fail_msg("closing took %lld ms", (long long)(steady_ms() - from_ms));
    while (atomic_load(&ended) < atomic_load(&begun)) /* so that no thread outlives the program */
        (void)nanosleep(&(struct timespec){0, 50000000}, NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_loop_goes_on)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
