/* larvae: see larvae.h. In: counts, volumes, lengths. Out: ranges and limits. No errors. */
#include "trade/larvae.h"

#include <math.h>

#include "trade/book.h"

enum { DAY_H = 24, L_ML = 1000 };

#define COUNT_MOST INT64_C(1000000000000)

static int64_t sane(int64_t count) {
    return count < 0 ? 0 : count > COUNT_MOST ? COUNT_MOST : count;
}

static int64_t share(int64_t count, double of) {
    return (int64_t)((double)sane(count) * of + 0.5);
}

struct larvae_range larvae_hatched(int64_t eggs) {
    return (struct larvae_range){share(eggs, book_number(BOOK_HATCH_LOW)),
                                 share(eggs, book_number(BOOK_HATCH_USUAL)),
                                 share(eggs, book_number(BOOK_HATCH_HIGH))};
}

static double alive(int64_t hours, enum book_id at_two_weeks) {
    double most_h = book_number(BOOK_TWO_WEEKS_DAYS) * DAY_H;
    double way = hours <= 0 ? 0 : (double)hours >= most_h ? 1 : (double)hours / most_h;
    return 1 - way * (1 - book_number(at_two_weeks));
}

struct larvae_shares larvae_shares(int64_t hours) {
    return (struct larvae_shares){alive(hours, BOOK_SURVIVE_LOW), alive(hours, BOOK_SURVIVE_USUAL),
                                  alive(hours, BOOK_SURVIVE_HIGH)};
}

struct larvae_range larvae_at(int64_t hatched, int64_t hours) {
    struct larvae_shares s = larvae_shares(hours);
    return (struct larvae_range){share(hatched, s.low), share(hatched, s.middle),
                                 share(hatched, s.high)};
}

static int64_t in_tank(int64_t volume_ml, enum book_id per_l) {
    return sane(volume_ml) * (int64_t)book_number(per_l) / L_ML;
}

int64_t larvae_round(int64_t count) {
    int64_t unit = 1;
    while (count / unit >= 100)
        unit *= 10;
    return (count + unit / 2) / unit * unit;
}

int64_t eggs_tank_most(int64_t volume_ml) {
    return in_tank(volume_ml, BOOK_EGGS_PER_L);
}

int64_t larvae_tank_good(int64_t volume_ml) {
    return in_tank(volume_ml, BOOK_LARVAE_PER_L_GOOD);
}

int64_t larvae_tank_most(int64_t volume_ml) {
    return in_tank(volume_ml, BOOK_LARVAE_PER_L_MOST);
}

int64_t larvae_grain_um(int64_t length_um) {
    return share(length_um, book_number(BOOK_GRAIN_SHARE));
}

int64_t larvae_growth_ppm_day(int64_t from_ug, int64_t to_ug, int64_t days) {
    if (from_ug <= 0 || to_ug <= 0 || days <= 0)
        return 0;
    double daily = log((double)to_ug / (double)from_ug) / (double)days;
    return (int64_t)floor(daily * 1e6 + 0.5);
}
