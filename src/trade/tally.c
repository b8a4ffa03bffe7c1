/* tally: see tally.h. In: counts and ages in the order of what happened; out: ranges. No errors. */
#include "trade/tally.h"

enum { DAY_H = 24 };

#define COUNT_MOST INT64_C(1000000000000)

static double sane(int64_t count) {
    return (double)(count < 0 ? 0 : count > COUNT_MOST ? COUNT_MOST : count);
}

/* The share alive by each line at the age reached; never 0. */
static struct larvae_shares shares(const struct tally *tally) {
    return larvae_shares(tally->age_h);
}

static double of_line(const struct larvae_shares *s, int line) {
    return line == 0 ? s->low : line == 1 ? s->middle : s->high;
}

static int64_t nearest(double count) {
    return (int64_t)(count + 0.5);
}

struct tally tally_begin(struct larvae_range hatched) {
    double low = sane(hatched.low), middle = sane(hatched.middle), high = sane(hatched.high);
    return (struct tally){
        .hatched = {low, middle, high}, .day = {low, middle, high}, .most = {low, middle, high}};
}

/* Who was lost before the last day can no longer be found dead. */
void tally_pass(struct tally *tally, int64_t age_h) {
    if (age_h <= tally->age_h)
        return;
    tally->age_h = age_h;
    const struct larvae_shares before = larvae_shares(age_h - DAY_H);
    for (int i = 0; i < TALLY_LINES; i++) {
        double then = tally->hatched[i] * of_line(&before, i);
        tally->day[i] = then < tally->day[i] ? then : tally->day[i];
    }
}

static double less(double count, int64_t by) {
    return count > sane(by) ? count - sane(by) : 0;
}

void tally_take(struct tally *tally, int64_t taken) {
    const struct larvae_shares s = shares(tally);
    for (int i = 0; i < TALLY_LINES; i++) {
        tally->most[i] = less(tally->most[i], taken);
        tally->hatched[i] = less(tally->hatched[i] * of_line(&s, i), taken) / of_line(&s, i);
        tally->day[i] = less(tally->day[i], taken);
    }
}

void tally_die(struct tally *tally, int64_t dead) {
    const struct larvae_shares s = shares(tally);
    for (int i = 0; i < TALLY_LINES; i++) {
        tally->most[i] = less(tally->most[i], dead);
        tally->day[i] = less(tally->day[i], dead);
        if (tally->hatched[i] * of_line(&s, i) > tally->day[i])
            tally->hatched[i] = tally->day[i] / of_line(&s, i);
    }
}

void tally_count(struct tally *tally, int64_t alive) {
    const struct larvae_shares s = shares(tally);
    for (int i = 0; i < TALLY_LINES; i++) {
        tally->day[i] = tally->most[i] = sane(alive);
        tally->hatched[i] = sane(alive) / of_line(&s, i);
    }
}

struct larvae_range tally_alive(const struct tally *tally) {
    const struct larvae_shares s = shares(tally);
    return (struct larvae_range){nearest(tally->hatched[0] * s.low),
                                 nearest(tally->hatched[1] * s.middle),
                                 nearest(tally->hatched[2] * s.high)};
}

struct larvae_range tally_most(const struct tally *tally) {
    return (struct larvae_range){nearest(tally->most[0]), nearest(tally->most[1]),
                                 nearest(tally->most[2])};
}
