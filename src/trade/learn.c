/* learn: see learn.h. In: a farm's own runs and what is asked about. Out: a rate with its range,
 * and which runs spoke. No errors: runs beyond sense are counted and left out.
 *
 * What each range of the book stands for:
 *   eggs per kg     8000-86000 about 50000, hatch 4-90 % about 50 %, survival 5-95 % about 60 %:
 *                   all that was seen, so BOOK_LEARN_SEEN of the runs
 *   nursery         25-75 % about 50 %, TGC 0.7-1.9 about 1.16: planned with, so BOOK_LEARN_RANGE
 * as the width of a bell curve's middle; its place is the middle value. In cold water or the dry
 * season eggs and hatch stand at the low end of the seasons (8000, 28 %) with the spread times
 * BOOK_LEARN_LEAN_SPREAD.
 *
 * A farm's own mean differs from the book's as 1 to BOOK_LEARN_RUNS of how its runs differ among
 * each other: that is what makes so many runs weigh as the book. */
#include "trade/learn.h"

#include <math.h>

#include "trade/book.h"
#include "trade/chance.h"

struct kind {
    enum book_id middle, low, high, inside;
    enum book_id lean; /* the middle in lean times; of those without, the middle again */
    double unit;       /* of the values: so many are 1 */
    int64_t least, most;
    bool is_log;
};

static const struct kind kinds[LEARN_KINDS] = {
    [LEARN_EGGS] = {BOOK_EGGS_MIDDLE_PER_KG, BOOK_EGGS_LOW_PER_KG, BOOK_EGGS_HIGH_PER_KG,
                    BOOK_LEARN_SEEN, BOOK_EGGS_LOW_PER_KG, 1, 1, 1000000, true},
    [LEARN_HATCH] = {BOOK_HATCH_USUAL, BOOK_HATCH_LEAST, BOOK_HATCH_MOST, BOOK_LEARN_SEEN,
                     BOOK_HATCH_LOW, 1e6, 0, 1000000, false},
    [LEARN_SURVIVE] = {BOOK_SURVIVE_USUAL, BOOK_SURVIVE_LOW, BOOK_SURVIVE_HIGH, BOOK_LEARN_SEEN,
                       BOOK_SURVIVE_USUAL, 1e6, 0, 1000000, false},
    [LEARN_NURSERY] = {BOOK_NURSERY_USUAL, BOOK_NURSERY_LOW, BOOK_NURSERY_HIGH, BOOK_LEARN_RANGE,
                       BOOK_NURSERY_USUAL, 1e6, 0, 1000000, false},
    [LEARN_TGC] = {BOOK_TGC_USUAL, BOOK_TGC_LOW, BOOK_TGC_HIGH, BOOK_LEARN_RANGE, BOOK_TGC_USUAL,
                   1e6, 1, 10000000, true},
};

/* c of a beta stays over this: wilder is not known of any farm. */
#define BETA_C_LEAST 0.5
#define BETA_C_MOST  5000.0

static int64_t over(int64_t part, int64_t whole, double times) {
    const int64_t most = INT64_C(1000000000000);
    if (part < 0 || part > most || whole <= 0 || whole > most)
        return -1;
    return (int64_t)((double)part * times / (double)whole + 0.5);
}

int64_t learn_share_ppm(int64_t part, int64_t whole) {
    return over(part, whole, 1e6);
}

int64_t learn_per_kg(int64_t count, int64_t weight_mg) {
    return over(count, weight_mg, 1e6);
}

/* -- sums over runs ---------------------------------------------------------------------------- */

struct sums {
    int count;
    double mean, square; /* sum of squares about the mean */
};

static void sums_add(struct sums *s, double x) {
    double off = x - s->mean;
    s->count++;
    s->mean += off / s->count;
    s->square += off * (x - s->mean);
}

static bool usable(const struct kind *kind, const struct learn_run *run) {
    return run->value >= kind->least && run->value <= kind->most;
}

static double measure(const struct kind *kind, const struct learn_run *run) {
    double x = (double)run->value / kind->unit;
    return kind->is_log ? log(x) : x;
}

/* -- which runs speak -------------------------------------------------------------------------- */

static bool is_cold(int64_t mdegc) {
    return mdegc >= 0 && mdegc < (int64_t)(book_number(BOOK_LEARN_LEAN_DEGC) * 1000);
}

static bool speaks(enum learn_basis basis, const struct learn_run *run) {
    switch (basis) {
    case LEARN_WARM:
        return run->mdegc >= 0 && !is_cold(run->mdegc);
    case LEARN_COLD:
        return is_cold(run->mdegc);
    case LEARN_WET:
        return run->season == LEARN_RAINS;
    case LEARN_DRY:
        return run->season == LEARN_DRY_SEASON;
    default:
        return true;
    }
}

static struct sums sums_of(const struct kind *kind, const struct learn_run *runs, int count,
                           enum learn_basis basis) {
    struct sums s = {0};
    for (int i = 0; i < count; i++)
        if (usable(kind, &runs[i]) && speaks(basis, &runs[i]))
            sums_add(&s, measure(kind, &runs[i]));
    return s;
}

/* Welch's test, both sides with two runs or more. */
static bool differ(const struct sums *a, const struct sums *b) {
    double var_a = a->square / (a->count - 1) / a->count;
    double var_b = b->square / (b->count - 1) / b->count, sum = var_a + var_b;
    double off = a->mean - b->mean;
    if (!(sum > 0))
        return off > 0 || off < 0;
    double df = sum * sum / (var_a * var_a / (a->count - 1) + var_b * var_b / (b->count - 1));
    return chance_t_beyond(off / sqrt(sum), df) <= book_number(BOOK_LEARN_CHANCE);
}

enum sides { SIDES_FEW, SIDES_ALIKE, SIDES_DIFFER };

static enum sides sides_of(const struct kind *kind, const struct learn_run *runs, int count,
                           enum learn_basis one, enum learn_basis other) {
    struct sums a = sums_of(kind, runs, count, one), b = sums_of(kind, runs, count, other);
    int least = (int)book_number(BOOK_LEARN_SIDE_RUNS);
    if (a.count < least || b.count < least)
        return SIDES_FEW;
    return differ(&a, &b) ? SIDES_DIFFER : SIDES_ALIKE;
}

/* Water goes before season; lean times that the runs do not contradict go before all of them. */
static enum learn_basis choose(enum learn_kind id, const struct learn_run *runs, int count,
                               struct learn_when when, bool *lean) {
    const struct kind *kind = &kinds[id];
    enum sides water = sides_of(kind, runs, count, LEARN_WARM, LEARN_COLD);
    enum sides season = sides_of(kind, runs, count, LEARN_WET, LEARN_DRY);
    bool knows_lean = kind->lean != kind->middle;
    bool cold = is_cold(when.mdegc), dry = when.season == LEARN_DRY_SEASON;
    *lean = false;
    if (when.mdegc >= 0 && water == SIDES_DIFFER) {
        *lean = knows_lean && cold;
        return cold ? LEARN_COLD : LEARN_WARM;
    }
    if (knows_lean && cold && water == SIDES_FEW) {
        *lean = true;
        return LEARN_COLD;
    }
    if (when.season != LEARN_SEASON_UNKNOWN && season == SIDES_DIFFER) {
        *lean = knows_lean && dry;
        return dry ? LEARN_DRY : LEARN_WET;
    }
    if (knows_lean && dry && season == SIDES_FEW) {
        *lean = true;
        return LEARN_DRY;
    }
    return LEARN_ALL;
}

/* -- the two together -------------------------------------------------------------------------- */

/* The variance of a run of any farm, in the measure of the kind. */
static double book_var(const struct kind *kind, bool lean) {
    double low = book_number(kind->low), high = book_number(kind->high);
    double width = kind->is_log ? log(high / low) : high - low;
    double spread = width / (2 * chance_normal_quantile((1 + book_number(kind->inside)) / 2));
    if (lean)
        spread *= book_number(BOOK_LEARN_LEAN_SPREAD);
    return spread * spread;
}

static int64_t value_of(const struct kind *kind, double measured) {
    double value = (kind->is_log ? exp(measured) : measured) * kind->unit;
    return (int64_t)(value + 0.5);
}

struct learn_rate learn_rate(enum learn_kind id, const struct learn_run *runs, int count,
                             struct learn_when when) {
    struct learn_rate rate = {.kind = id};
    const struct kind *kind = &kinds[id];
    enum learn_basis basis = choose(id, runs, count, when, &rate.lean);
    struct sums own = sums_of(kind, runs, count, basis);
    int all = sums_of(kind, runs, count, LEARN_ALL).count;
    rate.basis = own.count > 0 ? basis : LEARN_BOOK;
    rate.own_runs = own.count;
    rate.other_runs = all - own.count;
    rate.unusable = (count > 0 ? count : 0) - all;

    double weight = book_number(BOOK_LEARN_RUNS), n = own.count;
    double book = book_number(rate.lean ? kind->lean : kind->middle);
    double prior = kind->is_log ? log(book) : book;
    double run0 = book_var(kind, rate.lean) * weight / (weight + 1);
    double square = own.square, freedom = weight + (own.count > 1 ? n - 1 : 0);
    rate.centre = (weight * prior + n * own.mean) / (weight + n);
    if (!kind->is_log) { /* as parts of M (1 - M) */
        double widest = own.mean * (1 - own.mean);
        run0 /= prior * (1 - prior);
        square = widest > 0 ? square / widest : 0;
    }
    rate.var_run = (weight * run0 + square) / freedom;
    rate.var_farm = rate.var_run / (weight + n);
    rate.book = value_of(kind, prior);
    rate.own = own.count > 0 ? value_of(kind, own.mean) : 0;
    rate.mean = value_of(kind, rate.centre);
    double tail = (1 - book_number(BOOK_LEARN_RANGE)) / 2;
    if (kind->is_log) {
        double off = chance_normal_quantile(1 - tail) * sqrt(rate.var_farm + rate.var_run);
        rate.low = value_of(kind, rate.centre - off);
        rate.high = value_of(kind, rate.centre + off);
        return rate;
    }
    double c = 1 / (rate.var_farm + rate.var_run) - 1;
    rate.beta_c = c < BETA_C_LEAST ? BETA_C_LEAST : c > BETA_C_MOST ? BETA_C_MOST : c;
    double a = rate.beta_c * rate.centre, b = rate.beta_c * (1 - rate.centre);
    rate.low = value_of(kind, chance_beta_quantile(a, b, tail));
    rate.high = value_of(kind, chance_beta_quantile(a, b, 1 - tail));
    return rate;
}
