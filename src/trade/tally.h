/* tally: how many larvae of one spawn are thought alive, carried through what was reported of them
 * in the order in which it happened. Pure, no errors. Counts are larvae, ages whole hours since the
 * hatch. Counts below 0 read as 0 and above 10^12 as that; an age below the one reached, or below
 * 0, changes nothing; from two weeks on nobody is lost by the book any more.
 *
 * Three counts go side by side, low, middle and high, each by its own line of the book: the share
 * alive falls straight from 1 at the hatch to that of two weeks (larvae_shares; 0.05, 0.6 and 0.95:
 * the ends are those over the papers seen, the middle is planned). From one age to another a count
 * is multiplied by the share of the later age over that of the earlier. So larvae that were taken
 * out on the third day are not among those that are lost later, and nobody is lost at age 0. Left
 * alone the counts are those of larvae_at.
 *
 * What is reported:
 * - taken out (moved, sold, sorted out): comes off each count, down to 0.
 * - dead: part of the book's loss and not beside it. The dead are siphoned out each day (common
 *   practice), so those found are of the last day: up to the loss of the line over the last 24
 * hours (less what was found dead in them already) they change nothing, what goes beyond it comes
 * off, and those that stay are lost by the book as before. Our own rule: papers give what was alive
 * at the end, not who was found dead on the way.
 * - counted: all three begin again at the number, and part from there.
 *
 * Beside the counts stands the most there can be: what there was at the hatch or at the last count,
 * less what was taken out and reported dead since, nobody lost but those. More than that cannot be
 * taken out or have died, if the number it began with was right.
 *
 * Always 0 <= low <= middle <= high <= the most of each; more taken or dead never leaves more. */
#ifndef TRADE_TALLY_H
#define TRADE_TALLY_H

#include "trade/lanes.h"
#include "trade/larvae.h"

struct tally {            /* low, middle, high */
    struct lanes hatched; /* from the hatch on */
    double day[LANES];    /* alive now and lost in the last day by the line, not found dead */
    double most[LANES];   /* there can be, nobody lost but those reported */
    int64_t age_h;
};

struct tally tally_begin(struct larvae_range hatched); /* low <= middle <= high */
void tally_pass(struct tally *tally, int64_t age_h);   /* until that age nothing is reported */
void tally_take(struct tally *tally, int64_t taken);
void tally_die(struct tally *tally, int64_t dead);
void tally_count(struct tally *tally, int64_t alive);

struct larvae_range tally_alive(const struct tally *tally); /* to the nearest */
struct larvae_range tally_most(const struct tally *tally);

#endif
