/* lanes: see lanes.h. In: counts and shares; out: counts. No errors. */
#include "trade/lanes.h"

static const double MOST = 1e12;

double lanes_sane(int64_t count) {
    double n = (double)count;
    return n < 0 ? 0 : n < MOST ? n : MOST;
}

double lanes_alive(const struct lanes *lanes, int lane, double share) {
    return lanes->whole[lane] * share;
}

void lanes_set(struct lanes *lanes, int lane, double share, double alive) {
    lanes->whole[lane] = (alive < 0 ? 0 : alive < MOST ? alive : MOST) / share;
}

int64_t lanes_count(double alive) {
    return (int64_t)(alive + 0.5);
}
