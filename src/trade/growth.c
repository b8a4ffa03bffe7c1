/* growth: see growth.h. In: weights, water, samples. Out: a coefficient, a weight, days, each with
 * its range. No errors; a person's mistake is a reason.
 *
 * With W^1/3 straight in degree-days (the unit here is 1000 of them, "kilo"), a pond's growth is a
 * line whose slope is its TGC. The fit is least squares taken sample by sample. It holds the root
 * of the weight and the logarithm of the TGC, with their variances:
 *   before any sample   ln TGC is spread as the book's range says
 *   over D kilo         root grows by TGC x D, give or take TGC x sqrt(INTERVAL x D), as one month
 *                       differs from the next; ln TGC wanders by BOOK_TGC_WANDER x sqrt(D)
 *   at a sample         root is drawn to what was weighed, ln TGC with it, as far as errors allow
 *   at a change         root and what is not known of it are scaled, ln TGC is as before
 * INTERVAL is set so that one usual interval says as much about ln TGC as a BOOK_TGC_PRIOR-th part
 * of the book does. The logarithm is what makes 0.7-1.16-1.9 an even range; the step is linear in
 * it, so the ranges are close and not exact: a test draws ponds and counts how many they hold.
 *
 * Limits: as in the header. Instants of int64_t, differences are checked before they are taken. */
#include "trade/growth.h"

#include <math.h>

#include "trade/book.h"

/* Four in five of a bell curve lie within so many of its spreads, from tables of the normal
 * distribution. */
#define FOUR_IN_FIVE 1.2815515655446004
/* What is promised of own samples is taken a little wider, as the steps are only nearly right: with
 * 1.28 the drawn ponds of the test were held 0.786 to 0.818 times. */
#define PROMISED 1.36

#define S_PER_DAY   86400
#define DAYS_MOST   10000
#define SPAN_MOST_S ((int64_t)DAYS_MOST * S_PER_DAY)
#define KILO        1e3

enum { ERROR_TIMES_MOST = 3 };
enum { WEIGHT_MOST_MG = 100000000, WARMEST_MDEGC = 45000, TGC_MOST_MICRO = 10000000 };

#define DEGREE_DAYS_MOST_MILLI ((int64_t)WARMEST_MDEGC * DAYS_MOST)
#define FEED_MOST_MG           INT64_C(1000000000000)
#define CHANGE_MOST_PPM        INT64_C(1000000000000)

static bool weight_sane(int64_t mg) {
    return mg > 0 && mg <= WEIGHT_MOST_MG;
}

static bool water_sane(int64_t mdegc) {
    return mdegc >= 0 && mdegc <= WARMEST_MDEGC;
}

static bool tgc_sane(int64_t tgc_micro) {
    return tgc_micro > 0 && tgc_micro <= TGC_MOST_MICRO;
}

/* A weight in mg to the cube root of its grams, and back, at least 1 mg and at most 100 kg. */
static double root_of(int64_t mg) {
    return cbrt((double)mg / 1000);
}

static int64_t weight_of(double root) {
    double mg = root > 0 ? root * root * root * 1000 : 0;
    if (mg >= WEIGHT_MOST_MG)
        return WEIGHT_MOST_MG;
    return mg > 1 ? (int64_t)(mg + 0.5) : 1;
}

/* later - earlier, or -1 when that is under 0 or beyond 10 000 days. */
static int64_t span_s(int64_t from_s, int64_t to_s) {
    if (to_s < from_s || (uint64_t)to_s - (uint64_t)from_s > (uint64_t)SPAN_MOST_S)
        return -1;
    return to_s - from_s;
}

/* -- degrees and days -------------------------------------------------------------------------- */

/* The mean over a stretch along which the water runs straight from one to the other. */
static double capped_mean_mdegc(double a, double b) {
    double cap = book_number(BOOK_TGC_WARMEST) * 1000;
    double low = a < b ? a : b, high = a < b ? b : a;
    if (high <= cap)
        return (low + high) / 2;
    if (low >= cap)
        return cap;
    double under = (cap - low) / (high - low); /* share of the stretch */
    return under * (low + cap) / 2 + (1 - under) * cap;
}

static bool all_water_sane(const struct growth_water *water) {
    if (water->series.count <= 0)
        return water_sane(water->mean_mdegc);
    for (int i = 0; i < water->series.count; i++)
        if (!water_sane(water->series.readings[i].mdegc))
            return false;
    return true;
}

static double water_at(const struct growth_water *water, int64_t at_s) {
    return water->series.count > 0 ? (double)water_at_mdegc(water->series, at_s)
                                   : (double)water->mean_mdegc;
}

/* The span is sane and so is the water. In degrees and days. */
static double degree_days(const struct growth_water *water, int64_t from_s, int64_t to_s) {
    int next = water->series.count > 0 ? water_count_until(water->series, from_s) : 0;
    double sum = 0, here = water_at(water, from_s);
    for (int64_t at_s = from_s; at_s < to_s;) {
        bool reading = next < water->series.count && water->series.readings[next].at_s < to_s;
        int64_t until_s = reading ? water->series.readings[next].at_s : to_s;
        double there = reading ? (double)water->series.readings[next].mdegc : water_at(water, to_s);
        sum += capped_mean_mdegc(here, there) * (double)(until_s - at_s);
        at_s = until_s;
        here = there;
        next++;
    }
    return sum / 1000 / S_PER_DAY;
}

int64_t growth_degree_days_milli(const struct growth_water *water, int64_t from_s, int64_t to_s) {
    if (span_s(from_s, to_s) < 0 || !all_water_sane(water))
        return -1;
    return (int64_t)(degree_days(water, from_s, to_s) * 1000 + 0.5);
}

/* -- the law ----------------------------------------------------------------------------------- */

struct growth_tgc growth_tgc(int64_t from_mg, int64_t to_mg, int64_t degree_days_milli) {
    if (!weight_sane(from_mg) || !weight_sane(to_mg) || degree_days_milli <= 0 ||
        degree_days_milli > DEGREE_DAYS_MOST_MILLI)
        return (struct growth_tgc){GROWTH_IMPOSSIBLE, 0};
    if (to_mg <= from_mg)
        return (struct growth_tgc){GROWTH_SHRUNK, 0};
    double tgc = KILO * (root_of(to_mg) - root_of(from_mg)) / ((double)degree_days_milli / 1000);
    double micro = floor(tgc * 1e6 + 0.5);
    if (!(micro >= 1 && micro <= TGC_MOST_MICRO))
        return (struct growth_tgc){GROWTH_IMPOSSIBLE, 0};
    return (struct growth_tgc){GROWTH_OK, (int64_t)micro};
}

struct growth_weight growth_weight(int64_t from_mg, int64_t tgc_micro, int64_t degree_days_milli) {
    if (!weight_sane(from_mg) || !tgc_sane(tgc_micro) || degree_days_milli < 0 ||
        degree_days_milli > DEGREE_DAYS_MOST_MILLI)
        return (struct growth_weight){GROWTH_IMPOSSIBLE, 0};
    double gain = (double)tgc_micro / 1e6 * ((double)degree_days_milli / 1000) / KILO;
    int64_t weight_mg = weight_of(root_of(from_mg) + gain);
    if (weight_mg == WEIGHT_MOST_MG && from_mg != WEIGHT_MOST_MG)
        return (struct growth_weight){GROWTH_TOO_FAR, 0};
    return (struct growth_weight){GROWTH_OK, weight_mg};
}

struct growth_days growth_days(int64_t from_mg, int64_t to_mg, int64_t tgc_micro,
                               int64_t water_mdegc) {
    if (!weight_sane(from_mg) || !weight_sane(to_mg) || !tgc_sane(tgc_micro) ||
        !water_sane(water_mdegc))
        return (struct growth_days){GROWTH_IMPOSSIBLE, 0};
    if (to_mg <= from_mg)
        return (struct growth_days){GROWTH_OK, 0};
    double degc = capped_mean_mdegc((double)water_mdegc, (double)water_mdegc) / 1000;
    double a_day = (double)tgc_micro / 1e6 * degc / KILO;
    double days = a_day > 0 ? (root_of(to_mg) - root_of(from_mg)) / a_day : INFINITY;
    if (days > DAYS_MOST)
        return (struct growth_days){GROWTH_TOO_FAR, 0};
    /* A hair, so that rounding inside does not make a day more of what is whole. */
    return (struct growth_days){GROWTH_OK, (int64_t)ceil(days - 1e-9)};
}

struct growth_fcr growth_fcr(int64_t feed_mg, int64_t gained_mg) {
    if (feed_mg < 0 || feed_mg > FEED_MOST_MG || gained_mg > FEED_MOST_MG)
        return (struct growth_fcr){GROWTH_IMPOSSIBLE, 0};
    if (gained_mg <= 0)
        return (struct growth_fcr){GROWTH_SHRUNK, 0};
    return (struct growth_fcr){GROWTH_OK, (feed_mg * 1000 + gained_mg / 2) / gained_mg};
}

/* -- the fit ----------------------------------------------------------------------------------- */

struct fit {
    double root, log_tgc;
    double var_root, var_both, var_log; /* variances, and how the two go together */
};

/* Spread of ln TGC over farms, by the book's range. */
static double book_var_log(void) {
    double spread =
        log(book_number(BOOK_TGC_HIGH) / book_number(BOOK_TGC_LOW)) / (2 * FOUR_IN_FIVE);
    return spread * spread;
}

/* What one kilo of degree-days adds to the variance of the gain over the TGC squared. */
static double interval_var(void) {
    double usual_kilo = book_number(BOOK_TGC_INTERVAL_DAYS) * book_number(BOOK_TGC_WARMEST) / KILO;
    return book_number(BOOK_TGC_PRIOR) * book_var_log() * usual_kilo;
}

/* The gain over `kilo` with what alone brings it variance: ln TGC, and months that differ. */
struct gain {
    double root, var_log, var_months;
};

static struct gain gain_over(const struct fit *f, double kilo) {
    double tgc = exp(f->log_tgc), wander = book_number(BOOK_TGC_WANDER);
    /* The wander, summed along the way, brings a third of its end value. */
    return (struct gain){tgc * kilo, f->var_log + wander * wander * kilo / 3,
                         interval_var() * tgc * tgc * kilo};
}

static void go_on(struct fit *f, double kilo) {
    struct gain gain = gain_over(f, kilo);
    double wander = book_number(BOOK_TGC_WANDER);
    f->root += gain.root;
    f->var_root +=
        2 * gain.root * f->var_both + gain.root * gain.root * gain.var_log + gain.var_months;
    f->var_both += gain.root * (f->var_log + wander * wander * kilo / 2);
    f->var_log += wander * wander * kilo;
}

/* Of the cube root: d(W^1/3) = W^1/3 / 3 x dW / W. An error of three times the weight is one of the
 * whole root. */
static double var_of(int64_t weight_mg, int64_t error_mg) {
    double error = root_of(weight_mg) / 3 * (double)error_mg / (double)weight_mg;
    return error * error;
}

int64_t growth_error_mg(struct growth_range range) {
    if (!weight_sane(range.middle))
        return 0;
    double root = root_of(range.middle);
    double under = range.low > 0 ? root - root_of(range.low) : root;
    double over = root_of(range.high > range.middle ? range.high : range.middle) - root;
    double spread = (under > over ? under : over) / PROMISED;
    double error_mg = ceil(3 * spread / root * (double)range.middle);
    double most_mg = (double)ERROR_TIMES_MOST * (double)range.middle;
    return (int64_t)(error_mg < most_mg ? error_mg : most_mg);
}

static double sample_var(const struct growth_sample *s) {
    double relative = s->error_mg > 0
                          ? (double)s->error_mg / (double)s->weight_mg
                          : book_number(BOOK_SPREAD_USUAL) / sqrt(book_number(BOOK_SAMPLE_LEAST));
    double error = root_of(s->weight_mg) / 3 * relative;
    return error * error;
}

static void draw_to(struct fit *f, const struct growth_sample *s) {
    double sum = f->var_root + sample_var(s), off = root_of(s->weight_mg) - f->root;
    double of_root = f->var_root / sum, of_log = f->var_both / sum;
    f->root += of_root * off;
    f->log_tgc += of_log * off;
    f->var_log -= of_log * f->var_both;
    f->var_both *= 1 - of_root;
    f->var_root *= 1 - of_root;
}

/* What was not known of those that were there is kept as a share of the mean; what is not known of
 * those that came is beside it. */
static void scale(struct fit *f, const struct growth_sample *s) {
    double by = cbrt((double)s->change_ppm / 1e6);
    f->root *= by;
    f->var_root *= by * by;
    f->var_both *= by;
    if (s->weight_mg > 0)
        f->var_root += var_of(s->weight_mg, s->error_mg);
}

static bool sample_sane(const struct growth_sample *s) {
    if (s->change_ppm)
        return s->change_ppm > 0 && s->change_ppm <= CHANGE_MOST_PPM;
    return weight_sane(s->weight_mg) && s->error_mg >= 0 &&
           s->error_mg <= ERROR_TIMES_MOST * s->weight_mg;
}

static enum growth_reason look_at(const struct growth_sample *samples, int count,
                                  const struct growth_water *water) {
    if (count <= 0)
        return GROWTH_NO_SAMPLE;
    if (!all_water_sane(water) || samples[0].change_ppm)
        return GROWTH_IMPOSSIBLE;
    for (int i = 0; i < count; i++) {
        if (!sample_sane(&samples[i]))
            return GROWTH_IMPOSSIBLE;
        if (i == 0 || samples[i].at_s > samples[i - 1].at_s)
            continue;
        bool change = samples[i].change_ppm || samples[i - 1].change_ppm;
        if (!change || samples[i].at_s < samples[i - 1].at_s)
            return GROWTH_ORDER;
    }
    return span_s(samples[0].at_s, samples[count - 1].at_s) < 0 ? GROWTH_IMPOSSIBLE : GROWTH_OK;
}

static double kilo_between(const struct growth_water *water, int64_t from_s, int64_t to_s) {
    return degree_days(water, from_s, to_s) / KILO;
}

/* The samples are sane. */
static struct fit fit_of(const struct growth_sample *samples, int count,
                         const struct growth_water *water) {
    struct fit f = {.root = root_of(samples[0].weight_mg),
                    .log_tgc = log(book_number(BOOK_TGC_USUAL)),
                    .var_root = sample_var(&samples[0]),
                    .var_log = book_var_log()};
    for (int i = 1; i < count; i++) {
        go_on(&f, kilo_between(water, samples[i - 1].at_s, samples[i].at_s));
        if (samples[i].change_ppm)
            scale(&f, &samples[i]);
        else
            draw_to(&f, &samples[i]);
    }
    return f;
}

static int last_change(const struct growth_sample *samples, int count) {
    int i = count - 1;
    while (i >= 0 && !samples[i].change_ppm)
        i--;
    return i;
}

static int64_t own_micro(const struct growth_sample *samples, int count,
                         const struct growth_water *water) {
    double kilo = 0, mean_kilo = 0, mean_root = 0, both = 0, square = 0;
    int first = last_change(samples, count) + 1;
    for (int i = first; i < count; i++) {
        if (i > first)
            kilo += kilo_between(water, samples[i - 1].at_s, samples[i].at_s);
        /* Means and sums about them, updated point by point. */
        double off_kilo = kilo - mean_kilo, off_root = root_of(samples[i].weight_mg) - mean_root;
        mean_kilo += off_kilo / (i - first + 1);
        mean_root += off_root / (i - first + 1);
        square += off_kilo * (kilo - mean_kilo);
        both += off_root * (kilo - mean_kilo);
    }
    double micro = square > 0 ? floor(both / square * 1e6 + 0.5) : 0;
    return micro >= 1 && micro <= TGC_MOST_MICRO ? (int64_t)micro : 0;
}

static int64_t micro_of(double log_tgc) {
    double micro = floor(exp(log_tgc) * 1e6 + 0.5);
    return micro < 1 ? 1 : micro < TGC_MOST_MICRO ? (int64_t)micro : TGC_MOST_MICRO;
}

struct growth_fit growth_fit(const struct growth_sample *samples, int count,
                             const struct growth_water *water) {
    struct growth_fit out = {.reason = look_at(samples, count, water)};
    if (out.reason != GROWTH_OK)
        return out;
    struct fit f = fit_of(samples, count, water);
    for (int i = 1; i < count; i++)
        out.intervals += !samples[i].change_ppm;
    double off = (out.intervals ? PROMISED : FOUR_IN_FIVE) * sqrt(f.var_log);
    out.tgc_micro = (struct growth_range){micro_of(f.log_tgc - off), micro_of(f.log_tgc),
                                          micro_of(f.log_tgc + off)};
    out.own_micro = own_micro(samples, count, water);
    return out;
}

/* -- looking ahead ----------------------------------------------------------------------------- */

struct roots {
    double low, middle, high;
};

/* TGC is spread evenly in its logarithm, months and what was weighed evenly as they are; the two
 * are put together as the sides of a right angle. */
static struct roots ahead(const struct fit *f, double kilo) {
    struct gain gain = gain_over(f, kilo);
    double even = f->var_root + 2 * gain.root * f->var_both + gain.var_months;
    double side = PROMISED * PROMISED * (even > 0 ? even : 0);
    double off = PROMISED * sqrt(gain.var_log), middle = f->root + gain.root;
    double less = gain.root * (1 - exp(-off)), more = gain.root * (exp(off) - 1);
    return (struct roots){middle - sqrt(side + less * less), middle,
                          middle + sqrt(side + more * more)};
}

enum growth_reason growth_daily(const struct growth_sample *samples, int count,
                                const struct growth_water *water, int64_t at_s, int days,
                                struct growth_range *weight_mg) {
    enum growth_reason reason = look_at(samples, count, water);
    if (reason != GROWTH_OK)
        return reason;
    const struct growth_sample *last = &samples[count - 1];
    if (days < 1 || days > DAYS_MOST)
        return GROWTH_IMPOSSIBLE;
    if (at_s < last->at_s)
        return GROWTH_ORDER;
    if (span_s(last->at_s, at_s) < 0 || at_s > INT64_MAX - (int64_t)(days - 1) * S_PER_DAY ||
        span_s(last->at_s, at_s + (int64_t)(days - 1) * S_PER_DAY) < 0)
        return GROWTH_TOO_FAR;
    struct fit f = fit_of(samples, count, water);
    double kilo = kilo_between(water, last->at_s, at_s);
    for (int i = 0; i < days; i++) {
        int64_t day_s = at_s + (int64_t)i * S_PER_DAY;
        kilo += i > 0 ? kilo_between(water, day_s - S_PER_DAY, day_s) : 0;
        struct roots r = ahead(&f, kilo);
        if (weight_of(r.middle) == WEIGHT_MOST_MG && last->weight_mg != WEIGHT_MOST_MG)
            return GROWTH_TOO_FAR;
        weight_mg[i] =
            (struct growth_range){weight_of(r.low), weight_of(r.middle), weight_of(r.high)};
    }
    return GROWTH_OK;
}

struct growth_forecast growth_forecast(const struct growth_sample *samples, int count,
                                       const struct growth_water *water, int64_t at_s) {
    struct growth_forecast out = {.reason = GROWTH_OK};
    out.reason = growth_daily(samples, count, water, at_s, 1, &out.weight_mg);
    return out;
}

/* Day by day: the low line need not rise all the way, its spread grows with the horizon. */
struct growth_reach growth_reach(const struct growth_sample *samples, int count,
                                 const struct growth_water *water, int64_t to_mg) {
    struct growth_reach out = {.reason = look_at(samples, count, water)};
    if (out.reason != GROWTH_OK)
        return out;
    if (!weight_sane(to_mg)) {
        out.reason = GROWTH_IMPOSSIBLE;
        return out;
    }
    int64_t last_s = samples[count - 1].at_s;
    if (last_s > INT64_MAX - SPAN_MOST_S) {
        out.reason = GROWTH_TOO_FAR;
        return out;
    }
    struct fit f = fit_of(samples, count, water);
    double kilo = 0, target = root_of(to_mg);
    out.days = (struct growth_range){-1, -1, -1};
    for (int64_t day = 0; day <= DAYS_MOST && out.days.high < 0; day++) {
        int64_t day_s = last_s + day * S_PER_DAY;
        kilo += day > 0 ? kilo_between(water, day_s - S_PER_DAY, day_s) : 0;
        struct roots r = ahead(&f, kilo);
        if (out.days.low < 0 && r.high >= target)
            out.days.low = day;
        if (out.days.middle < 0 && r.middle >= target)
            out.days.middle = day;
        if (r.low >= target)
            out.days.high = day;
    }
    out.reason = out.days.middle < 0 ? GROWTH_TOO_FAR : GROWTH_OK;
    out.days.low = out.days.low < 0 ? DAYS_MOST : out.days.low;
    out.days.middle = out.days.middle < 0 ? DAYS_MOST : out.days.middle;
    out.days.high = out.days.high < 0 ? DAYS_MOST : out.days.high;
    return out;
}

/* -- so far ------------------------------------------------------------------------------------ */

struct growth_fcr growth_fcr_so_far(int64_t feed_mg, int64_t stocked_mg, int64_t now_mg,
                                    int64_t out_mg) {
    if (stocked_mg < 0 || stocked_mg > FEED_MOST_MG || now_mg < 0 || now_mg > FEED_MOST_MG ||
        out_mg < 0 || out_mg > FEED_MOST_MG)
        return (struct growth_fcr){GROWTH_IMPOSSIBLE, 0};
    return growth_fcr(feed_mg, now_mg + out_mg - stocked_mg);
}

/* How many samples tell what to expect of the last of them. */
static int count_earlier(const struct growth_sample *samples, int count) {
    int64_t least_s = (int64_t)book_number(BOOK_BEHIND_DAYS) * S_PER_DAY;
    int earlier = count - 1;
    while (earlier > 1 && samples[count - 1].at_s - samples[earlier - 1].at_s < least_s)
        earlier--;
    return earlier;
}

/* From a weighed sample to the last as a pond of the book's lowest TGC, months differing as they
 * do; what is weighed between is not looked at, changes are. */
static bool slow_since(const struct growth_sample *samples, int from, int count,
                       const struct growth_water *water, int64_t *slow_mg) {
    double low = book_number(BOOK_TGC_LOW);
    const struct growth_sample *last = &samples[count - 1];
    struct fit f = {.root = root_of(samples[from].weight_mg),
                    .var_root = sample_var(&samples[from])};
    for (int i = from + 1; i < count; i++) {
        double kilo = kilo_between(water, samples[i - 1].at_s, samples[i].at_s);
        f.root += low * kilo;
        f.var_root += interval_var() * low * low * kilo;
        if (samples[i].change_ppm)
            scale(&f, &samples[i]);
    }
    *slow_mg = weight_of(f.root);
    double off = FOUR_IN_FIVE * sqrt(f.var_root + sample_var(last));
    return root_of(last->weight_mg) < f.root - off;
}

struct growth_behind growth_behind(const struct growth_sample *samples, int count,
                                   const struct growth_water *water) {
    struct growth_behind out = {.reason = look_at(samples, count, water)};
    if (out.reason == GROWTH_OK && count < 2)
        out.reason = GROWTH_NO_SAMPLE;
    if (out.reason != GROWTH_OK)
        return out;
    const struct growth_sample *last = &samples[count - 1];
    struct growth_forecast f =
        growth_forecast(samples, count_earlier(samples, count), water, last->at_s);
    out.reason = f.reason;
    if (f.reason != GROWTH_OK)
        return out;
    out.expected_mg = f.weight_mg;
    out.permille = (last->weight_mg * 1000 + f.weight_mg.middle / 2) / f.weight_mg.middle;
    double error = sqrt(sample_var(last)), root = root_of(last->weight_mg);
    out.behind = root + error < root_of(f.weight_mg.low);
    int from = count_earlier(samples, count) - 1;
    while (from > 0 && samples[from].change_ppm)
        from--;
    out.slow = slow_since(samples, from, count, water, &out.slow_mg) ||
               slow_since(samples, 0, count, water, &out.slow_mg);
    return out;
}
