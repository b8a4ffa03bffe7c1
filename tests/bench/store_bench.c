/* How many messages a second the store commits: three rows a message (arrival, ledger entry with
 * the farm's head, outgoing text) at 1, 10 and 100 messages a commit. Machines differ and so do
 * their disks: the ratios are what to hold, each measured in turn in one run, medians of five
 * rounds.
 *
 *   store_bench [FOLDER]     FOLDER is on the disk to be measured; the current one without it */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "store/store.h"

enum { ROUNDS = 5, FARMS = 1000, SIZES = 3 };

static const int sizes[SIZES] = {1, 10, 100};
static const int messages[SIZES] = {2000, 5000, 10000};
static int64_t heads[FARMS + 1];
static int64_t number;

static double now(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static enum err message(struct store *s) {
    int64_t n = ++number, farm = n * 7919 % FARMS + 1, id = 0;
    bool known;
    char reference[33];
    (void)snprintf(reference, sizeof reference, "%032llx", (unsigned long long)n);
    struct store_arrival in = {.link = SLICE("north"),
                               .sender = SLICE("+447700900001"),
                               .receiver = SLICE("+447700900999"),
                               .body = SLICE("inject f3 1.2kg 18:30 t24"),
                               .sent_s = 1775000000 + n,
                               .arrived_s = 1775000000 + n,
                               .farm = farm,
                               .fate = STORE_READ};
    memcpy(in.print.bytes, reference, sizeof in.print.bytes);
    enum err e = store_arrival_put(s, &in, &id, &known);
    struct store_entry entry = {.seq = heads[farm] + 1,
                                .at_s = in.arrived_s,
                                .said_s = in.arrived_s,
                                .arrival = id,
                                .kind = 1,
                                .data = SLICE("weight_mg=1200000 female=3")};
    if (!e)
        e = store_ledger_append(s, farm, heads[farm]++, &entry, 1);
    struct store_dispatch out = {.reference = {reference, 32},
                                 .farm = farm,
                                 .link = SLICE("north"),
                                 .to = SLICE("+447700900001"),
                                 .body = SLICE("F3 1.2kg injected Mon 18:30 at 24C."),
                                 .level = 1,
                                 .made_s = in.arrived_s,
                                 .next_s = in.arrived_s,
                                 .useful_s = INT64_MAX};
    return e ? e : store_dispatch_put(s, &out, 1);
}

static enum err run(struct store *s, int total, int per_commit, double *rate) {
    double from = now();
    enum err e = ERR_OK;
    for (int done = 0; !e && done < total; done += per_commit) {
        e = store_begin(s);
        for (int i = 0; !e && i < per_commit; i++)
            e = message(s);
        if (!e)
            e = store_commit(s);
        store_checkpoint(s, 1000);
    }
    *rate = total / (now() - from);
    return e;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static enum err measure(struct store *s) {
    double rates[SIZES][ROUNDS];
    enum err e = store_begin(s);
    for (int i = 1; !e && i <= FARMS; i++) {
        char name[32];
        (void)snprintf(name, sizeof name, "Farm %d", i);
        e = store_farm_put(s, &(struct store_farm){.name = slice_of(name), .made_s = 1}, NULL);
    }
    if (!e)
        e = store_commit(s);
    for (int r = 0; !e && r < ROUNDS; r++)
        for (int k = 0; !e && k < SIZES; k++)
            e = run(s, messages[k], sizes[k], &rates[k][r]);
    for (int k = 0; !e && k < SIZES; k++) {
        qsort(rates[k], ROUNDS, sizeof rates[k][0], by_value);
        (void)printf("%3d a commit: %7.0f messages/s, %4.1f times that of 1\n", sizes[k],
                     rates[k][ROUNDS / 2], rates[k][ROUNDS / 2] / rates[0][ROUNDS / 2]);
    }
    return e;
}

int main(int argc, char **argv) {
    char folder[500], path[600];
    (void)snprintf(folder, sizeof folder, "%.400s/store-bench-XXXXXX", argc > 1 ? argv[1] : ".");
    if (!mkdtemp(folder))
        return 1;
    (void)snprintf(path, sizeof path, "%s/bench.db", folder);
    struct store *s = NULL;
    enum err e = store_open(&(struct store_options){path, 0, NULL}, &s);
    if (!e)
        e = measure(s);
    store_close(s);
    static const char *const endings[] = {"", "-wal", "-shm", "-lock", "-danger"};
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        char name[700];
        (void)snprintf(name, sizeof name, "%s%s", path, endings[i]);
        (void)unlink(name);
    }
    (void)rmdir(folder);
    if (e)
        (void)fprintf(stderr, "%s\n", err_info(e)->text);
    return err_info(e)->exit_status;
}
