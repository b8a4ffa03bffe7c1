/* order: see order.h. In: what is wanted, the rates, what there is. Out: days, needs, and what can
 * be promised. No errors; what cannot be is a reason.
 *
 * The promise is a quantile of the fish over ORDER_DRAWS drawn seasons. The shared parts (the
 * farm's fecundity, hatch, survival, nursery) are drawn in even strata, each in an order of its own
 * (Latin hypercube: McKay, Beckman and Conover 1979, Technometrics 21:239), so that few draws do.
 * Each female has a stream of her own by her place in the order of weight. So a heavier or a
 * further female, or more room, lowers the fish of no draw, and never the promise. It is taken
 * BOOK_PROMISE_MARGIN lower than asked for, for what so many draws cannot see. */
#include "trade/order.h"

#include <math.h>
#include <string.h>

#include "trade/book.h"
#include "trade/chance.h"
#include "trade/growth.h"
#include "trade/hatch.h"
#include "trade/latency.h"
#include "trade/nursery.h"

enum { DAY_MIN = 1440, HOUR_MIN = 60, G_MG = 1000, DAY_MOST = 109572 /* 2270-01-01 */ };

#define COUNT_MOST     INT64_C(1000000000)
#define FEMALE_MOST_MG INT64_C(100000000)
#define KG_MG          1e6

/* So that rounding inside does not take a fish from what is whole. */
#define HAIR 1e-6

/* -- days -------------------------------------------------------------------------------------- */

static double root_g(double mg) {
    return cbrt(mg / G_MG);
}

/* Days in the pond at one TGC; the month at the book's size stretches as the TGC is over or under
 * the mean. -1: not within the days of growth.h. */
static int64_t pond_days(const struct order_want *want, int64_t tgc_micro, int64_t mean_micro) {
    double fish_mg = book_number(BOOK_ORDER_FISH_G) * G_MG, fry_mg = book_number(BOOK_FRY_MG);
    double size_mg = (double)want->size_mg, part = 1;
    if (size_mg < fish_mg)
        part = (root_g(size_mg) - root_g(fry_mg)) / (root_g(fish_mg) - root_g(fry_mg));
    double month = book_number(BOOK_NURSERY_DAYS) * part * (double)mean_micro / (double)tgc_micro;
    int64_t days = (int64_t)(month + 0.5);
    if (days == 0 && size_mg > fry_mg)
        days = 1;
    if (size_mg <= fish_mg)
        return days;
    struct growth_days on =
        growth_days((int64_t)fish_mg, want->size_mg, tgc_micro, want->pond_mdegc);
    return on.reason == GROWTH_OK ? days + on.days : -1;
}

static enum order_reason look_at(const struct order_want *want) {
    double size_mg = (double)want->size_mg;
    if (want->fish <= 0 || want->fish > (int64_t)book_number(BOOK_ORDER_MOST))
        return ORDER_COUNT;
    if (size_mg < book_number(BOOK_FRY_MG))
        return ORDER_SMALL;
    if (size_mg > book_number(BOOK_ORDER_MOST_G) * G_MG)
        return ORDER_LARGE;
    if (want->day < 0 || want->day > DAY_MOST)
        return ORDER_DAY;
    if (size_mg > book_number(BOOK_ORDER_FISH_G) * G_MG &&
        (want->pond_mdegc < 0 || want->pond_mdegc > 45000))
        return ORDER_WATER;
    return ORDER_OK;
}

/* A day and a minute of it, some minutes on or back. */
static void clock_move(int64_t *day, int *minute, int64_t by_min) {
    int64_t at = *day * DAY_MIN + *minute + by_min;
    *day = at / DAY_MIN - (at % DAY_MIN < 0);
    *minute = (int)(at - *day * DAY_MIN);
}

/* From half hatch back to the injection. */
static enum order_reason hatchery_days(struct order_days *d, int64_t mdegc) {
    enum progress_status latency, hatching;
    double latency_h = progress_hours(&book_latency, mdegc, &latency);
    double hatching_h = progress_hours(&book_hatching, mdegc, &hatching);
    if (latency != PROGRESS_OK || hatching != PROGRESS_OK)
        return ORDER_WATER;
    int64_t hatching_min = (int64_t)(hatching_h * HOUR_MIN + 0.5);
    int64_t latency_min = (int64_t)(latency_h * HOUR_MIN + 0.5);
    d->strip_min = (int)book_number(BOOK_ORDER_LOOK_H) * HOUR_MIN;
    d->strip_day = d->hatch_day - (d->strip_min + hatching_min) / DAY_MIN;
    int64_t hatch_day = d->strip_day;
    d->hatch_min = d->strip_min;
    clock_move(&hatch_day, &d->hatch_min, hatching_min); /* comes to hatch_day again */
    d->inject_day = d->strip_day;
    d->inject_min = d->strip_min;
    clock_move(&d->inject_day, &d->inject_min, -latency_min);
    return ORDER_OK;
}

struct order_days order_days(const struct order_want *want, const struct learn_rate *tgc,
                             struct order_now now) {
    struct order_days d = {.reason = look_at(want), .harvest_day = want->day};
    if (d.reason != ORDER_OK)
        return d;
    d.pond_days = (struct order_range){pond_days(want, tgc->high, tgc->mean),
                                       pond_days(want, tgc->mean, tgc->mean),
                                       pond_days(want, tgc->low, tgc->mean)};
    if (d.pond_days.low < 0 || d.pond_days.middle < 0 || d.pond_days.high < 0) {
        d.reason = ORDER_LARGE;
        return d;
    }
    bool pond = d.pond_days.middle > 0;
    d.stock_day = want->day - d.pond_days.middle;
    d.hatch_day = d.stock_day - (int64_t)book_number(BOOK_TWO_WEEKS_DAYS);
    d.reason = hatchery_days(&d, want->hatchery_mdegc);
    d.prepare_day = pond ? d.stock_day - nursery_prepare_days(false) : want->day;
    d.prepare_short_day = pond ? d.stock_day - nursery_prepare_days(true) : want->day;
    d.short_form = pond && d.prepare_day < now.day;
    bool late = d.inject_day < now.day || (d.inject_day == now.day && d.inject_min < now.minute);
    if (d.reason == ORDER_OK && (late || (pond && d.prepare_short_day < now.day)))
        d.reason = ORDER_LATE;
    return d;
}

int64_t order_first_day(const struct order_want *want, const struct learn_rate *tgc,
                        struct order_now now) {
    struct order_want someday = *want;
    someday.day = now.day;
    if (now.day < 0 || now.day > DAY_MOST)
        return -1;
    struct order_days d = order_days(&someday, tgc, now);
    if (d.reason != ORDER_OK && d.reason != ORDER_LATE)
        return -1;
    int64_t first = now.day + (now.day - d.inject_day) + (d.inject_min < now.minute ? 1 : 0);
    return first <= DAY_MOST ? first : -1;
}

/* -- drawn seasons ----------------------------------------------------------------------------- */

/* splitmix64 (Steele, Lea and Flood 2014, OOPSLA), by its place in the stream. */
static uint64_t bits_at(uint64_t place) {
    uint64_t z = (place + 1) * UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ z >> 30) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ z >> 27) * UINT64_C(0x94d049bb133111eb);
    return z ^ z >> 31;
}

/* The streams lie so far apart that none runs into the next. */
static uint64_t place_of(int stream, int draw) {
    return (uint64_t)stream << 32 | (uint64_t)draw;
}

/* In an order of the stream's own (Fisher and Yates). */
static void shuffle(double *values, int stream) {
    for (int i = ORDER_DRAWS - 1; i > 0; i--) {
        int j = (int)(bits_at(place_of(stream, i)) % (uint64_t)(i + 1));
        double kept = values[i];
        values[i] = values[j];
        values[j] = kept;
    }
}

enum { STREAM_FARM = 1, STREAM_HATCH, STREAM_SURVIVE, STREAM_NURSERY, STREAM_FEMALE };

static void draw_share(double *out, const struct learn_rate *rate, int stream) {
    double a = rate->beta_c * rate->centre, b = rate->beta_c * (1 - rate->centre);
    chance_beta_steps(a, b, out, ORDER_DRAWS);
    shuffle(out, stream);
}

void order_odds_make(struct order_odds *out, const struct order_rates *rates) {
    double farm = sqrt(rates->eggs.var_farm), run = sqrt(rates->eggs.var_run);
    out->rates = *rates;
    for (int i = 0; i < ORDER_DRAWS; i++)
        out->farm[i] =
            exp(rates->eggs.centre + farm * chance_normal_quantile((i + 0.5) / ORDER_DRAWS)) /
            KG_MG;
    shuffle(out->farm, STREAM_FARM);
    for (int i = 0; i < ORDER_STEPS; i++)
        out->female[i] = exp(run * chance_normal_quantile((i + 0.5) / ORDER_STEPS));
    draw_share(out->hatch, &rates->hatch, STREAM_HATCH);
    draw_share(out->survive, &rates->survive, STREAM_SURVIVE);
    draw_share(out->nursery, &rates->nursery, STREAM_NURSERY);
}

/* Adds the eggs of a female to each draw; place: hers in the order of weight. */
static void add_female(double *eggs, const struct order_odds *odds, double weight_mg, int place) {
    uint64_t respond = (uint64_t)(book_number(BOOK_RESPOND) * 65536 + 0.5);
    for (int i = 0; i < ORDER_DRAWS; i++) {
        uint64_t bits = bits_at(place_of(STREAM_FEMALE + place, i));
        double own = weight_mg * odds->farm[i] * odds->female[bits >> 32 & (ORDER_STEPS - 1)];
        eggs[i] += (bits & 0xffff) < respond ? own : 0;
    }
}

/* The value that `place` others are not over, by partition (Hoare 1961). Reorders. */
static double place_in(double *values, int place) {
    int low = 0, high = ORDER_DRAWS - 1;
    while (low < high) {
        double middle = values[low + (high - low) / 2];
        int i = low, j = high;
        while (i <= j) {
            while (values[i] < middle)
                i++;
            while (values[j] > middle)
                j--;
            if (i <= j) {
                double kept = values[i];
                values[i++] = values[j];
                values[j--] = kept;
            }
        }
        if (place <= j)
            high = j;
        else if (place >= i)
            low = i;
        else
            break;
    }
    return values[place];
}

/* So many draws may give less than is promised. */
static int lost_draws(void) {
    double lost = 1 - book_number(BOOK_PROMISE_KEPT) - book_number(BOOK_PROMISE_MARGIN);
    return (int)(lost * ORDER_DRAWS);
}

/* -- what comes of it -------------------------------------------------------------------------- */

struct chain {
    double eggs, larvae, fry, fish; /* of one of the stage before, by the means; eggs: of a mg */
};

static struct chain chain_of(const struct order_rates *rates, bool pond) {
    return (struct chain){exp(rates->eggs.centre) / KG_MG, rates->hatch.centre,
                          rates->survive.centre, pond ? rates->nursery.centre : 1};
}

static int64_t whole(double fish) {
    return (int64_t)floor(fish + HAIR);
}

struct parts {
    int64_t females[ORDER_PARTS_MAX]; /* heaviest first */
    int female_count;
    double eggs, larvae, fry, fish; /* what is counted */
};

static bool sort_parts(struct parts *p, const struct order_part *parts, int count) {
    if (count <= 0 || count > ORDER_PARTS_MAX)
        return false;
    for (int i = 0; i < count; i++) {
        int64_t amount = parts[i].amount;
        if (amount < 0 || amount > (parts[i].stage == ORDER_FEMALE ? FEMALE_MOST_MG : COUNT_MOST))
            return false;
        if (parts[i].stage == ORDER_FEMALE) {
            int at = p->female_count++;
            for (; at > 0 && p->females[at - 1] < amount; at--)
                p->females[at] = p->females[at - 1];
            p->females[at] = amount;
            continue;
        }
        double *sum = parts[i].stage == ORDER_EGGS     ? &p->eggs
                      : parts[i].stage == ORDER_LARVAE ? &p->larvae
                      : parts[i].stage == ORDER_FRY    ? &p->fry
                                                       : &p->fish;
        *sum += (double)amount;
    }
    return true;
}

static double held(double fry, int64_t room) {
    return room >= 0 && fry > (double)room ? (double)room : fry;
}

/* Eggs of each draw become its fish. */
static void grow(double *fish, const struct order_odds *odds, const struct parts *p, int64_t room,
                 bool pond) {
    for (int i = 0; i < ORDER_DRAWS; i++) {
        double larvae = fish[i] * odds->hatch[i] + p->larvae;
        double fry = held(larvae * odds->survive[i] + p->fry, room);
        fish[i] = fry * (pond ? odds->nursery[i] : 1) + p->fish;
    }
}

/* The fish of each draw. */
static void draw_fish(double *fish, const struct order_odds *odds, const struct parts *p,
                      int64_t room, bool pond) {
    for (int i = 0; i < ORDER_DRAWS; i++)
        fish[i] = p->eggs;
    for (int i = 0; i < p->female_count; i++)
        add_female(fish, odds, (double)p->females[i], i);
    grow(fish, odds, p, room, pond);
}

bool order_promises(const struct order_odds *odds, const struct order_part *parts, int count,
                    int64_t fry_room, bool pond, int64_t wanted) {
    struct parts p = {.female_count = 0};
    double fish[ORDER_DRAWS];
    int less = 0;
    if (!sort_parts(&p, parts, count))
        return false;
    draw_fish(fish, odds, &p, fry_room, pond);
    for (int i = 0; i < ORDER_DRAWS; i++)
        less += fish[i] + HAIR < (double)wanted;
    return less <= lost_draws();
}

struct order_outlook order_outlook(const struct order_odds *odds, const struct order_part *parts,
                                   int count, int64_t fry_room, bool pond) {
    struct order_outlook out = {.reason = ORDER_IMPOSSIBLE};
    struct parts p = {.female_count = 0};
    double fish[ORDER_DRAWS], female_mg = 0;
    if (!sort_parts(&p, parts, count))
        return out;
    draw_fish(fish, odds, &p, fry_room, pond);
    for (int i = 0; i < p.female_count; i++)
        female_mg += (double)p.females[i];
    struct chain chain = chain_of(&odds->rates, pond);
    double eggs = female_mg * chain.eggs + p.eggs, larvae = eggs * chain.larvae + p.larvae;
    double fry = held(larvae * chain.fry + p.fry, fry_room);
    out.reason = ORDER_OK;
    out.promise = whole(place_in(fish, lost_draws()));
    out.high = whole(place_in(fish, (int)(book_number(BOOK_PROMISE_KEPT) * ORDER_DRAWS)));
    out.eggs = whole(eggs);
    out.larvae = whole(larvae);
    out.fry = whole(fry);
    out.middle = whole(fry * chain.fish + p.fish);
    return out;
}

/* -- what an order asks for -------------------------------------------------------------------- */

static int64_t nearest(double count) {
    return (int64_t)(count + 0.5);
}

/* Nursery pond 1 m deep: fry for a cm2. */
static double fry_per_cm2(void) {
    return book_number(BOOK_FRY_PER_M3_MOST) * book_number(BOOK_POND_DEPTH_MOST_M) / 1e4;
}

struct order_need order_need(const struct order_odds *odds, int64_t fish, bool pond) {
    struct order_need need = {.reason = ORDER_COUNT};
    struct chain chain = chain_of(&odds->rates, pond);
    if (fish <= 0 || fish > (int64_t)book_number(BOOK_ORDER_MOST))
        return need;
    need.reason = ORDER_OK;
    double fry = (double)fish / chain.fish, larvae = fry / chain.fry, eggs = larvae / chain.larvae;
    need.fry = nearest(fry);
    need.larvae = nearest(larvae);
    need.eggs = nearest(eggs);
    need.middle_mg = nearest(eggs / chain.eggs);
    need.middle_area_cm2 = pond ? nearest(fry / fry_per_cm2()) : 0;

    /* With k females of a kilogram each: all that is promised goes with their weight, if the room
     * goes with it. */
    double sum[ORDER_DRAWS] = {0}, drawn[ORDER_DRAWS];
    double fry_of_mg = chain.eggs * chain.larvae * chain.fry;
    for (int k = 1; k <= ORDER_PARTS_MAX; k++) {
        add_female(sum, odds, KG_MG, k - 1);
        if (k < (int)book_number(BOOK_ORDER_FEMALES_LEAST))
            continue;
        struct parts none = {.female_count = 0};
        memcpy(drawn, sum, sizeof drawn);
        grow(drawn, odds, &none, pond ? (int64_t)(fry_of_mg * KG_MG * k) : ORDER_NO_LIMIT, pond);
        double each_mg = ceil((double)fish / place_in(drawn, lost_draws()) * KG_MG) + 1;
        if (each_mg > book_number(BOOK_FEMALE_GOOD_G) * G_MG)
            continue;
        need.females = k;
        need.promise_mg = (int64_t)each_mg * k;
        if (pond) /* room for whole fry, so that none is lost to rounding */
            need.promise_area_cm2 =
                (int64_t)ceil(ceil(fry_of_mg * (double)need.promise_mg) / fry_per_cm2() - HAIR);
        break;
    }
    return need;
}
