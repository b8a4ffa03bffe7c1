/* progress_bench: what one integral over 48 readings costs (a reading each half hour for a day),
 * beside 48 plain calls of exp(), which is the least that a sum of one exponential for each reading
 * could cost. Prints nanoseconds per call, the best of several rounds, and the ratio. */
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "trade/progress.h"

enum { READINGS = 48, ROUNDS = 20, CALLS = 20000, GAP_S = 1800 };

static struct water_reading readings[READINGS];
static volatile double sink;

static double integral(int i) {
    enum progress_status status;
    struct water_series water = {readings, READINGS};
    return progress_share(&book_hatching, water, i & 7, (READINGS - 1) * GAP_S, &status);
}

static double reach(int i) {
    struct water_series water = {readings, READINGS};
    return (double)progress_reach(&book_hatching, water, i & 7, 0.8).at_s;
}

static double exponentials(int i) {
    double sum = 0;
    for (int k = 0; k < READINGS; k++)
        sum += exp((double)-readings[(k + i) % READINGS].mdegc * 1e-4);
    return sum;
}

static double best_ns(double (*work)(int)) {
    double best = INFINITY;
    for (int round = 0; round < ROUNDS; round++) {
        struct timespec a, b;
        double sum = 0;
        clock_gettime(CLOCK_MONOTONIC, &a);
        for (int i = 0; i < CALLS; i++)
            sum += work(i);
        clock_gettime(CLOCK_MONOTONIC, &b);
        sink = sum;
        double ns = ((double)(b.tv_sec - a.tv_sec) * 1e9 + (double)(b.tv_nsec - a.tv_nsec)) / CALLS;
        best = ns < best ? ns : best;
    }
    return best;
}

int main(void) {
    /* A day that warms from 23 to 27 and cools again, with a ripple, so that rows are crossed. */
    for (int i = 0; i < READINGS; i++)
        readings[i] = (struct water_reading){
            (int64_t)i * GAP_S, 25000 + (int64_t)(2000 * sin(i * 0.13) + 90 * sin(i * 2.1))};
    double share_ns = best_ns(integral), reach_ns = best_ns(reach), exp_ns = best_ns(exponentials);
    printf("share over %d readings: %.0f ns\n", READINGS, share_ns);
    printf("reach over %d readings: %.0f ns\n", READINGS, reach_ns);
    printf("%d times exp(): %.0f ns\n", READINGS, exp_ns);
    printf("share / exp: %.2f\n", share_ns / exp_ns);
    return 0;
}
