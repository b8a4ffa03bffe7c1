/* tally: see tally.h. In: counts and ages in the order of what happened; out: ranges. No errors. */
#include "trade/tally.h"

enum { DAY_H = 24 };

/* The share alive by each line at the age reached; never 0. */
static struct larvae_shares shares(const struct tally *tally) {
    return larvae_shares(tally->age_h);
}

static double of_line(const struct larvae_shares *s, int line) {
    return line == 0 ? s->low : line == 1 ? s->middle : s->high;
}

struct tally tally_begin(struct larvae_range hatched) {
    double low = lanes_sane(hatched.low), middle = lanes_sane(hatched.middle),
           high = lanes_sane(hatched.high);
    return (struct tally){
        .hatched = {{low, middle, high}}, .day = {low, middle, high}, .most = {low, middle, high}};
}

/* Who was lost before the last day can no longer be found dead. */
void tally_pass(struct tally *tally, int64_t age_h) {
    if (age_h <= tally->age_h)
        return;
    tally->age_h = age_h;
    const struct larvae_shares before = larvae_shares(age_h - DAY_H);
    for (int i = 0; i < LANES; i++) {
        double then = lanes_alive(&tally->hatched, i, of_line(&before, i));
        tally->day[i] = then < tally->day[i] ? then : tally->day[i];
    }
}

static double less(double count, int64_t by) {
    return count > lanes_sane(by) ? count - lanes_sane(by) : 0;
}

void tally_take(struct tally *tally, int64_t taken) {
    const struct larvae_shares s = shares(tally);
    for (int i = 0; i < LANES; i++) {
        tally->most[i] = less(tally->most[i], taken);
        double now = lanes_alive(&tally->hatched, i, of_line(&s, i));
        lanes_set(&tally->hatched, i, of_line(&s, i), less(now, taken));
        tally->day[i] = less(tally->day[i], taken);
    }
}

void tally_die(struct tally *tally, int64_t dead) {
    const struct larvae_shares s = shares(tally);
    for (int i = 0; i < LANES; i++) {
        tally->most[i] = less(tally->most[i], dead);
        tally->day[i] = less(tally->day[i], dead);
        if (lanes_alive(&tally->hatched, i, of_line(&s, i)) > tally->day[i])
            lanes_set(&tally->hatched, i, of_line(&s, i), tally->day[i]);
    }
}

void tally_count(struct tally *tally, int64_t alive) {
    const struct larvae_shares s = shares(tally);
    for (int i = 0; i < LANES; i++) {
        tally->day[i] = tally->most[i] = lanes_sane(alive);
        lanes_set(&tally->hatched, i, of_line(&s, i), lanes_sane(alive));
    }
}

struct larvae_range tally_alive(const struct tally *tally) {
    const struct larvae_shares s = shares(tally);
    return (struct larvae_range){lanes_count(lanes_alive(&tally->hatched, 0, s.low)),
                                 lanes_count(lanes_alive(&tally->hatched, 1, s.middle)),
                                 lanes_count(lanes_alive(&tally->hatched, 2, s.high))};
}

struct larvae_range tally_most(const struct tally *tally) {
    return (struct larvae_range){lanes_count(tally->most[0]), lanes_count(tally->most[1]),
                                 lanes_count(tally->most[2])};
}
