/* progress: the integral of dt / L(T(t)) and its inverse, in both directions of time. In: a table,
 * readings, an instant. Out: an instant or a share, or that the water left the table. No errors.
 *
 * Between two readings T is straight in t, and between two rows ln L is straight in T. So each
 * stretch between readings is cut where it crosses a row; in such a piece the pace p = 1 / L falls
 * or rises as exp(-x s), s from 0 to 1 over the piece, x = ln L at its end - ln L at its start. Its
 * integral is p * duration * (1 - exp(-x)) / x, which also inverts. No step size, one logarithm a
 * call, no exponential but for the first pace.
 *
 * Limits: any instants of int64_t; instants are worked with as seconds from the given end, so that
 * a double holds them to a microsecond over centuries. A table's steps lie within 0.25. */
#include "trade/progress.h"

#include <math.h>
#include <stdbool.h>

/* A result this close under a whole second is that second: rounding inside must not make 06:29:59
 * of a sum that is 06:30 exactly. */
#define SECOND_SLACK 1e-6

enum { S_PER_H = 3600, SHOWN_S = 300 };

/* The way walked: from an instant forward or back. */
struct course {
    const struct book_table *table;
    struct water_series water;
    int64_t origin_s;
    bool back;
};

/* Where one stands on it. */
struct spot {
    double way_s; /* from the origin, in the direction of walking */
    double mdegc;
    int row;     /* mdegc lies from this row of the table to the next, both ends included */
    double pace; /* share a second */
    double done; /* share */
};

enum arrival { AT_END, AT_SHARE, AT_COLD, AT_WARM };

static double way_to(const struct course *c, int64_t at_s) {
    int64_t apart_s;
    double way_s = __builtin_sub_overflow(at_s, c->origin_s, &apart_s)
                       ? (double)at_s - (double)c->origin_s
                       : (double)apart_s;
    return c->back ? -way_s : way_s;
}

static int64_t instant_of(const struct course *c, double way_s) {
    double whole_s = c->back ? ceil(way_s - SECOND_SLACK) : floor(way_s + SECOND_SLACK);
    bool huge = !(whole_s < 0x1p63);
    int64_t add_s = huge ? INT64_MAX : (int64_t)whole_s, at_s;
    if (c->back)
        return __builtin_sub_overflow(c->origin_s, add_s, &at_s) ? INT64_MIN : at_s;
    return __builtin_add_overflow(c->origin_s, add_s, &at_s) ? INT64_MAX : at_s;
}

static double row_mdegc(const struct book_table *table, int row) {
    return 1000 * table->rows[row][0];
}

static enum arrival place_in_table(const struct book_table *table, double mdegc) {
    if (mdegc < row_mdegc(table, 0))
        return AT_COLD;
    return mdegc > row_mdegc(table, table->count - 1) ? AT_WARM : AT_END;
}

/* mdegc lies in the table. */
static int row_at(const struct book_table *table, double mdegc) {
    int row = (int)((mdegc - row_mdegc(table, 0)) / 1000);
    return row < table->count - 1 ? row : table->count - 2;
}

static double hours_at(const struct book_table *table, double mdegc) {
    int row = row_at(table, mdegc);
    double part = (mdegc - row_mdegc(table, row)) / 1000;
    if (part == 1)
        return table->rows[row + 1][1];
    return table->rows[row][1] * exp(table->steps[row] * part);
}

/* (1 - exp(-x)) / x as its Taylor series: no loss near 0, where water that hardly changes would
 * divide two vanishing numbers. For |x| <= 0.25 the first term left out is under 5e-11. Summed in
 * pairs, which a processor can work on side by side. */
static double mean_fall(double x) {
    double x2 = x * x;
    double low = (1 - x / 2) + x2 * (1.0 / 6 - x * (1.0 / 24));
    double high = (1.0 / 120 - x * (1.0 / 720)) + x2 * (1.0 / 5040 - x * (1.0 / 40320));
    return low + x2 * x2 * high;
}

/* Seconds into a piece until `share` more is done: the integral turned round. */
static double seconds_for(double share, double pace, double x, double piece_s) {
    double held_s = share / pace; /* had the pace stayed */
    if (x == 0)
        return held_s;
    double fall = held_s * (x / piece_s);
    double s = -log1p(-fall) * (piece_s / x);
    return s < piece_s ? s : piece_s;
}

/* One piece between two rows. True: `share` is reached in it, and the spot is there. */
static inline bool walk_piece(double step, double end_s, double end_mdegc, double share,
                              struct spot *spot) {
    double x = step * (end_mdegc - spot->mdegc) * 1e-3;
    double piece_s = end_s - spot->way_s;
    double mean = mean_fall(x);
    double gain = spot->pace * piece_s * mean;
    if (gain >= share - spot->done) {
        spot->way_s += seconds_for(share - spot->done, spot->pace, x, piece_s);
        spot->done = share;
        return true;
    }
    spot->done += gain;
    spot->pace *= 1 - x * mean;
    spot->way_s = end_s;
    spot->mdegc = end_mdegc;
    return false;
}

/* The stretch to the next reading, piece by piece. Its end may lie outside the table: then the
 * spot stops on the table's first or last row. */
static enum arrival walk_stretch(const struct book_table *table, double end_s, double end_mdegc,
                                 double share, struct spot *spot) {
    const double start_s = spot->way_s, start_mdegc = spot->mdegc;
    bool rising = end_mdegc > start_mdegc;
    for (;;) {
        double edge_mdegc = row_mdegc(table, rising ? spot->row + 1 : spot->row);
        double step = table->steps[spot->row];
        if (rising ? end_mdegc <= edge_mdegc : end_mdegc >= edge_mdegc)
            return walk_piece(step, end_s, end_mdegc, share, spot) ? AT_SHARE : AT_END;
        double part = (edge_mdegc - start_mdegc) / (end_mdegc - start_mdegc);
        if (walk_piece(step, start_s + part * (end_s - start_s), edge_mdegc, share, spot))
            return AT_SHARE;
        spot->row += rising ? 1 : -1;
        if (spot->row < 0 || spot->row == table->count - 1)
            return rising ? AT_WARM : AT_COLD;
    }
}

/* The reading to come first on the way; -1 or count: none. Walking back it may be one at the origin
 * itself, which is a stretch of no length. */
static int reading_ahead(const struct course *c) {
    int after = water_count_until(c->water, c->origin_s);
    return c->back ? after - 1 : after;
}

/* The water at the origin, not rounded. `ahead` from reading_ahead. */
static double mdegc_at_origin(const struct course *c, int ahead) {
    int behind = c->back ? ahead + 1 : ahead - 1, count = c->water.count;
    bool has_ahead = ahead >= 0 && ahead < count, has_behind = behind >= 0 && behind < count;
    if (!has_ahead || !has_behind)
        return (double)c->water.readings[has_ahead ? ahead : behind].mdegc;
    const struct water_reading *b = &c->water.readings[behind], *a = &c->water.readings[ahead];
    double from_s = way_to(c, b->at_s), to_s = way_to(c, a->at_s);
    double done = -from_s / (to_s - from_s);
    return (double)b->mdegc + done * (double)(a->mdegc - b->mdegc);
}

/* From the origin until `share` is done or `way_s` walked, whichever comes first. *outside_mdegc is
 * set when the water leaves the table. The series holds at least one reading. */
static enum arrival walk(const struct course *c, double share, double way_s, struct spot *spot,
                         double *outside_mdegc) {
    int next = reading_ahead(c);
    *spot = (struct spot){.mdegc = mdegc_at_origin(c, next)};
    enum arrival at = place_in_table(c->table, spot->mdegc);
    *outside_mdegc = spot->mdegc;
    if (at != AT_END)
        return at;
    spot->row = row_at(c->table, spot->mdegc);
    spot->pace = 1 / (S_PER_H * hours_at(c->table, spot->mdegc));
    for (; at == AT_END && spot->way_s < way_s; next += c->back ? -1 : 1) {
        double end_s = INFINITY, end_mdegc = spot->mdegc; /* past the last it stands still */
        if (next >= 0 && next < c->water.count) {
            end_s = way_to(c, c->water.readings[next].at_s);
            end_mdegc = (double)c->water.readings[next].mdegc;
        }
        if (end_s > way_s) {
            double part = (way_s - spot->way_s) / (end_s - spot->way_s);
            end_mdegc = spot->mdegc + part * (end_mdegc - spot->mdegc);
            end_s = way_s;
        }
        *outside_mdegc = end_mdegc;
        at = walk_stretch(c->table, end_s, end_mdegc, share, spot);
    }
    return at;
}

static enum progress_status status_of(enum arrival at) {
    return at == AT_COLD ? PROGRESS_COLD : at == AT_WARM ? PROGRESS_WARM : PROGRESS_OK;
}

static struct progress reach(const struct course *c, double share) {
    if (c->water.count <= 0)
        return (struct progress){.status = PROGRESS_NO_WATER};
    if (!(share > 0))
        return (struct progress){.status = PROGRESS_OK, .at_s = c->origin_s};
    struct spot spot;
    double outside_mdegc;
    struct progress p = {.status = status_of(walk(c, share, INFINITY, &spot, &outside_mdegc))};
    if (p.status == PROGRESS_OK) {
        p.at_s = instant_of(c, spot.way_s);
    } else {
        p.outside_s = instant_of(c, spot.way_s);
        p.outside_mdegc = (int64_t)floor(outside_mdegc + 0.5);
    }
    return p;
}

struct progress progress_reach(const struct book_table *table, struct water_series water,
                               int64_t from_s, double share) {
    return reach(&(struct course){table, water, from_s, false}, share);
}

struct progress progress_start(const struct book_table *table, struct water_series water,
                               int64_t until_s, double share) {
    return reach(&(struct course){table, water, until_s, true}, share);
}

double progress_share(const struct book_table *table, struct water_series water, int64_t from_s,
                      int64_t to_s, enum progress_status *status) {
    *status = water.count > 0 ? PROGRESS_OK : PROGRESS_NO_WATER;
    if (to_s <= from_s || water.count <= 0)
        return 0;
    struct course c = {table, water, from_s, false};
    struct spot spot;
    double outside_mdegc;
    *status = status_of(walk(&c, INFINITY, way_to(&c, to_s), &spot, &outside_mdegc));
    return spot.done;
}

double progress_hours(const struct book_table *table, int64_t mdegc, enum progress_status *status) {
    enum arrival at = place_in_table(table, (double)mdegc);
    *status = status_of(at);
    return at == AT_END ? hours_at(table, (double)mdegc) : 0;
}

int64_t progress_show(int64_t at_s) {
    if (at_s < INT64_MIN + SHOWN_S || at_s > INT64_MAX - SHOWN_S)
        return at_s;
    int64_t past_s = (at_s % SHOWN_S + SHOWN_S) % SHOWN_S;
    return past_s <= SHOWN_S / 2 ? at_s - past_s : at_s + (SHOWN_S - past_s);
}
