/* lanes: a count thought alive in three lanes, low, middle and high, each of which falls along a
 * line of its own, the share alive after a time. What larvae of a spawn and fish of a pond have in
 * common (tally.h, survival.h): taken out of a lane or put into it, those that are there then fall
 * on as the line does. Pure. Counts to 10^12, shares over 0 to 1. */
#ifndef TRADE_LANES_H
#define TRADE_LANES_H

#include <stdint.h>

enum { LANES = 3 };

/* So many at a share of 1 would be as many now by the line alone. */
struct lanes {
    double whole[LANES];
};

/* A count that is none reads as 0, one that is too large as the largest. */
double lanes_sane(int64_t count);

double lanes_alive(const struct lanes *lanes, int lane, double share);
/* So many are alive at that share. */
void lanes_set(struct lanes *lanes, int lane, double share, double alive);
/* To the nearest. */
int64_t lanes_count(double alive);

#endif
