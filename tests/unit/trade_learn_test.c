/* Learning against the closed forms of the beta and the normal distribution in R 4.2 (Debian 12,
 * r-base-core). The rows below come from these functions, called as beside each row:
 *
 *   beta_rate <- function(x, m, lo, hi, inside, times = 1) {
 *     V <- ((hi-lo) / (2*qnorm((1+inside)/2)) * times)^2; d0 <- V*3/4 / (m*(1-m)); n <- length(x)
 *     M <- (3*m + sum(x)) / (3+n)
 *     S <- if (n > 1) sum((x-mean(x))^2) / (mean(x)*(1-mean(x))) else 0
 *     d <- (3*d0 + S) / (3 + max(n-1, 0)); c <- 1 / (d*(1 + 1/(3+n))) - 1
 *     c(M, qbeta(c(.1, .9), c*M, c*(1-M))) * 1e6 }
 *   log_rate <- function(x, m, lo, hi, inside) {
 *     V <- (log(hi/lo) / (2*qnorm((1+inside)/2)))^2; v0 <- V*3/4; n <- length(x); l <- log(x)
 *     M <- (3*log(m) + sum(l)) / (3+n); S <- if (n > 1) sum((l-mean(l))^2) else 0
 *     v <- (3*v0 + S) / (3 + max(n-1, 0)); exp(c(M, qnorm(c(.1, .9), M, sqrt(v*(1 + 1/(3+n)))))) }
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <cmocka.h>

#include "trade/book.h"
#include "trade/learn.h"
#include "trade_draw.h"

enum { ROW_RUNS = 8 };

static const struct learn_when any = {LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};

static const struct row {
    const char *command;
    enum learn_kind kind;
    int count;
    int64_t values[ROW_RUNS];
    int64_t mean, low, high;
} rows[] = {
    {"beta_rate(c(), .5, .04, .9, .95)", LEARN_HATCH, 0, {0}, 500000, 202053, 797947},
    {"beta_rate(.38, .5, .04, .9, .95)", LEARN_HATCH, 1, {380000}, 470000, 186754, 760726},
    {"beta_rate(c(.31,.42,.35,.44), .5, .04, .9, .95)",
     LEARN_HATCH,
     4,
     {310000, 420000, 350000, 440000},
     431429,
     237333,
     632305},
    {"beta_rate(c(.9,.94,.97,.92,.95,.91,.93,.96), .5, .04, .9, .95)",
     LEARN_HATCH,
     8,
     {900000, 940000, 970000, 920000, 950000, 910000, 930000, 960000},
     816364,
     692368,
     923417},
    {"beta_rate(c(), .6, .05, .95, .95)", LEARN_SURVIVE, 0, {0}, 600000, 271648, 894651},
    {"beta_rate(c(.7,.2,.55), .6, .05, .95, .95)",
     LEARN_SURVIVE,
     3,
     {700000, 200000, 550000},
     541667,
     200470,
     866741},
    {"beta_rate(c(), .5, .25, .75, .8)", LEARN_NURSERY, 0, {0}, 500000, 237790, 762210},
    {"beta_rate(c(.35,.3,.41,.28,.33,.39), .5, .25, .75, .8)",
     LEARN_NURSERY,
     6,
     {350000, 300000, 410000, 280000, 330000, 390000},
     395556,
     248392,
     548415},
    {"log_rate(numeric(0), 50000, 8000, 86000, .95)", LEARN_EGGS, 0, {0}, 50000, 23002, 108685},
    {"log_rate(62000, 50000, 8000, 86000, .95)", LEARN_EGGS, 1, {62000}, 52763, 24879, 111897},
    {"log_rate(c(62000,41000,70500,55000), 50000, 8000, 86000, .95)",
     LEARN_EGGS,
     4,
     {62000, 41000, 70500, 55000},
     53362,
     30615,
     93011},
    {"log_rate(numeric(0), 1.16, .7, 1.9, .8) * 1e6", LEARN_TGC, 0, {0}, 1160000, 704093, 1911110},
    {"log_rate(c(.9,1.05,.84,1.2,.77), 1.16, .7, 1.9, .8) * 1e6",
     LEARN_TGC,
     5,
     {900000, 1050000, 840000, 1200000, 770000},
     1017055,
     715735,
     1445230},
};

static int plain(struct learn_run *runs, const int64_t *values, int count) {
    for (int i = 0; i < count; i++)
        runs[i] = (struct learn_run){values[i], LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
    return count;
}

static void closed_forms(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct learn_run runs[ROW_RUNS];
        int count = plain(runs, rows[i].values, rows[i].count);
        struct learn_rate r = learn_rate(rows[i].kind, runs, count, any);
        if (r.mean != rows[i].mean || r.low != rows[i].low || r.high != rows[i].high)
            fail_msg("%s: got %lld, %lld to %lld, wanted %lld, %lld to %lld", rows[i].command,
                     (long long)r.mean, (long long)r.low, (long long)r.high,
                     (long long)rows[i].mean, (long long)rows[i].low, (long long)rows[i].high);
        assert_int_equal(r.own_runs, rows[i].count);
        assert_int_equal(r.basis, rows[i].count ? LEARN_ALL : LEARN_BOOK);
        assert_false(r.lean);
    }
}

static void three_runs_weigh_as_the_book(void **state) {
    (void)state;
    struct learn_run runs[3];
    plain(runs, (const int64_t[]){200000, 300000, 100000}, 3);
    struct learn_rate r = learn_rate(LEARN_HATCH, runs, 3, any);
    assert_int_equal(r.book, 500000);
    assert_int_equal(r.own, 200000);
    assert_int_equal(r.mean, 350000);
    plain(runs, (const int64_t[]){40000, 20000, 10000}, 3);
    r = learn_rate(LEARN_EGGS, runs, 3, any);
    assert_int_equal(r.own, 20000);
    assert_int_equal(r.mean, 31623); /* sqrt(20000 x 50000) */
}

static void beyond_sense_is_left_out(void **state) {
    (void)state;
    struct learn_run runs[6];
    plain(runs, (const int64_t[]){-1, 1000001, INT64_MAX, INT64_MIN, 400000, 0}, 6);
    struct learn_rate r = learn_rate(LEARN_HATCH, runs, 6, any);
    assert_int_equal(r.own_runs, 2);
    assert_int_equal(r.unusable, 4);
    assert_int_equal(r.mean, 380000); /* (1.5 + 0.4 + 0) / 5 */
    r = learn_rate(LEARN_EGGS, runs, 6, any);
    assert_int_equal(r.own_runs, 1);
    r = learn_rate(LEARN_HATCH, NULL, 0, any);
    assert_int_equal(r.own, 0);
}

/* -- water and season -------------------------------------------------------------------------- */

static int put(struct learn_run *runs, int at, const int64_t *values, int count, int64_t mdegc,
               enum learn_season season) {
    for (int i = 0; i < count; i++)
        runs[at++] = (struct learn_run){values[i], mdegc, season};
    return at;
}

static const int64_t good[] = {520000, 610000, 470000, 580000, 550000};
static const int64_t poor[] = {310000, 220000, 400000, 280000};  /* t.test(good, poor): p 0.0023 */
static const int64_t alike[] = {310000, 620000, 400000, 580000}; /* t.test(good, alike): p 0.43 */

static const struct learn_when warm = {26000, LEARN_SEASON_UNKNOWN};
static const struct learn_when cold = {22999, LEARN_SEASON_UNKNOWN};
static const struct learn_when wet = {LEARN_WATER_UNKNOWN, LEARN_RAINS};
static const struct learn_when dry = {LEARN_WATER_UNKNOWN, LEARN_DRY_SEASON};

static void expect(const char *what, struct learn_rate r, enum learn_basis basis, bool lean,
                   int own, int64_t book, int64_t mean) {
    if (r.basis != basis || r.lean != lean || r.own_runs != own || r.book != book || r.mean != mean)
        fail_msg("%s: got basis %d lean %d runs %d book %lld mean %lld, wanted %d %d %d %lld %lld",
                 what, (int)r.basis, r.lean, r.own_runs, (long long)r.book, (long long)r.mean,
                 (int)basis, lean, own, (long long)book, (long long)mean);
}

static void sides_are_told_apart_only_by_the_data(void **state) {
    (void)state;
    struct learn_run runs[16];
    int n = put(runs, 0, good, 5, 26000, LEARN_RAINS);
    n = put(runs, n, poor, 4, 21000, LEARN_RAINS);
    /* (3 x 0.5 + 2.73) / 8, (3 x 0.28 + 1.21) / 7, (1.5 + 2.73 + 1.21) / 12 */
    expect("warm", learn_rate(LEARN_HATCH, runs, n, warm), LEARN_WARM, false, 5, 500000, 528750);
    expect("cold", learn_rate(LEARN_HATCH, runs, n, cold), LEARN_COLD, true, 4, 280000, 292857);
    expect("unknown", learn_rate(LEARN_HATCH, runs, n, any), LEARN_ALL, false, 9, 500000, 453333);
    /* Three cold runs are too few to be told apart from warm ones, and cold stays lean. */
    expect("few, warm", learn_rate(LEARN_HATCH, runs, n - 1, warm), LEARN_ALL, false, 8, 500000,
           469091);
    expect("few, cold", learn_rate(LEARN_HATCH, runs, n - 1, cold), LEARN_COLD, true, 3, 280000,
           295000);
    /* Survival has no lean end of the book. */
    expect("survival", learn_rate(LEARN_SURVIVE, runs, n - 1, cold), LEARN_ALL, false, 8, 600000,
           496364);
    /* Own runs that do not differ say that cold is no leaner here. */
    n = put(runs, 5, alike, 4, 21000, LEARN_RAINS);
    expect("alike", learn_rate(LEARN_HATCH, runs, n, cold), LEARN_ALL, false, 9, 500000, 511667);
}

static void seasons_likewise(void **state) {
    (void)state;
    struct learn_run runs[16];
    int n = put(runs, 0, good, 5, LEARN_WATER_UNKNOWN, LEARN_RAINS);
    n = put(runs, n, poor, 4, LEARN_WATER_UNKNOWN, LEARN_DRY_SEASON);
    expect("wet", learn_rate(LEARN_HATCH, runs, n, wet), LEARN_WET, false, 5, 500000, 528750);
    expect("dry", learn_rate(LEARN_HATCH, runs, n, dry), LEARN_DRY, true, 4, 280000, 292857);
    expect("no dry runs", learn_rate(LEARN_HATCH, runs, 5, dry), LEARN_BOOK, true, 0, 280000,
           280000);
    expect("eggs, no runs", learn_rate(LEARN_EGGS, NULL, 0, dry), LEARN_BOOK, true, 0, 8000, 8000);
    /* 23 degC is not cold. */
    struct learn_when just = {23000, LEARN_SEASON_UNKNOWN};
    expect("23 degC", learn_rate(LEARN_EGGS, NULL, 0, just), LEARN_BOOK, false, 0, 50000, 50000);
    /* Water goes first: warm water of the dry season, with runs that tell water apart. */
    n = put(runs, 0, good, 5, 26000, LEARN_DRY_SEASON);
    n = put(runs, n, poor, 4, 21000, LEARN_DRY_SEASON);
    struct learn_when both = {26000, LEARN_DRY_SEASON};
    expect("warm and dry", learn_rate(LEARN_HATCH, runs, n, both), LEARN_WARM, false, 5, 500000,
           528750);
}

static void lean_spread_is_half(void **state) {
    (void)state;
    struct learn_run runs[2];
    put(runs, 0, (const int64_t[]){200000, 350000}, 2, 21000, LEARN_SEASON_UNKNOWN);
    struct learn_rate r = learn_rate(LEARN_HATCH, runs, 2, cold);
    /* beta_rate(c(.2, .35), .28, .04, .9, .95, times = .5) */
    wants("mean", 0, r.mean, 278000);
    wants("low", 0, r.low, 145558);
    wants("high", 0, r.high, 422980);
}

/* -- laws -------------------------------------------------------------------------------------- */

static void between_the_book_and_the_runs(void **state) {
    (void)state;
    uint64_t seed = 99;
    for (int round = 0; round < 2000; round++) {
        struct learn_run runs[12];
        enum learn_kind kind = (enum learn_kind)(round % LEARN_KINDS);
        int count = (int)(draw_bits(&seed) % 13);
        for (int i = 0; i < count; i++)
            runs[i] = (struct learn_run){1 + (int64_t)(draw_bits(&seed) % 1000000),
                                         LEARN_WATER_UNKNOWN, LEARN_SEASON_UNKNOWN};
        struct learn_rate r = learn_rate(kind, runs, count, any);
        int64_t least = r.book, most = r.book;
        if (count > 0) {
            least = r.own < least ? r.own : least;
            most = r.own > most ? r.own : most;
        }
        wants_no_less("mean over the lower", round, r.mean, least - 1);
        wants_no_less("mean under the higher", round, most + 1, r.mean);
        wants_no_less("high over low", round, r.high, r.low);
        wants_no_less("low", round, r.low, 0);
        if (kind == LEARN_HATCH || kind == LEARN_SURVIVE || kind == LEARN_NURSERY)
            wants_no_less("a share", round, 1000000, r.high);
        /* The order in which runs come says nothing. */
        for (int i = 0; i < count / 2; i++) {
            struct learn_run kept = runs[i];
            runs[i] = runs[count - 1 - i];
            runs[count - 1 - i] = kept;
        }
        int64_t off = learn_rate(kind, runs, count, any).mean - r.mean;
        wants_no_less("mean, turned round", round, 1, off < 0 ? -off : off); /* of a half */
    }
}

static void many_alike_runs_narrow_the_range(void **state) {
    (void)state;
    struct learn_run runs[64];
    int64_t width = INT64_MAX;
    for (int count = 0; count <= 64; count += 8) {
        for (int i = 0; i < count; i++)
            runs[i] = (struct learn_run){i % 2 ? 480000 : 520000, LEARN_WATER_UNKNOWN, 0};
        struct learn_rate r = learn_rate(LEARN_HATCH, runs, count, any);
        if (r.high - r.low >= width)
            fail_msg("%d runs: got a range of %lld, wanted under %lld", count,
                     (long long)(r.high - r.low), (long long)width);
        width = r.high - r.low;
    }
    wants_no_less("after 64 runs", 64, 200000, width);
}

static void values_of_runs(void **state) {
    (void)state;
    static const struct {
        int64_t part, whole, wanted;
    } table[] = {{1, 2, 500000},
                 {2, 3, 666667},
                 {0, 9, 0},
                 {9, 9, 1000000},
                 {10, 9, 1111111}, /* learn_rate leaves it out */
                 {1, 0, -1},
                 {-1, 9, -1},
                 {1, -9, -1},
                 {INT64_C(1000000000001), 9, -1},
                 {1, INT64_C(1000000000001), -1}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        int64_t got = learn_share_ppm(table[i].part, table[i].whole);
        if (got != table[i].wanted)
            fail_msg("row %zu: got %lld, wanted %lld", i, (long long)got,
                     (long long)table[i].wanted);
    }
    /* 90 000 eggs of 1.2 kg */
    assert_int_equal(learn_per_kg(90000, 1200000), 75000);
    assert_int_equal(learn_per_kg(90000, 0), -1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closed_forms),
        cmocka_unit_test(values_of_runs),
        cmocka_unit_test(three_runs_weigh_as_the_book),
        cmocka_unit_test(beyond_sense_is_left_out),
        cmocka_unit_test(sides_are_told_apart_only_by_the_data),
        cmocka_unit_test(seasons_likewise),
        cmocka_unit_test(lean_spread_is_half),
        cmocka_unit_test(between_the_book_and_the_runs),
        cmocka_unit_test(many_alike_runs_narrow_the_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
