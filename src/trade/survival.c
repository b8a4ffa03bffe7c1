/* survival: see survival.h. In: a kind of fish and what happened to them; out: how many are thought
 * alive. No errors, no memory of its own. Limits: loss is straight in time, which no pond keeps to;
 * the range is the book's. */
#include "trade/survival.h"

#include "trade/book.h"

enum { DAY_H = 24 };
static const double MILLION = 1e6;

/* Straight from 1 to `share` over so many days, then still. */
static double falling(double share, double days, double hours) {
    double way = hours / (days * DAY_H);
    return 1 - (1 - share) * (way < 0 ? 0 : way > 1 ? 1 : way);
}

/* The stay in which small fish are lost, and what is left of them after it. */
struct small {
    double days, share[LANES];
};

static struct small small_of(enum survival_kind kind) {
    double all = book_number(BOOK_DIRECT_LARVAE_M2);
    double fenced = book_number(BOOK_DIRECT_FENCED_M2) / all;
    double fenced_off = book_number(BOOK_DIRECT_FENCED_SPREAD) / all;
    double open = book_number(BOOK_DIRECT_OPEN_M2) / all;
    double open_off = book_number(BOOK_DIRECT_OPEN_SPREAD) / all;
    switch (kind) {
    case SURVIVAL_FRY:
        return (struct small){book_number(BOOK_NURSERY_DAYS),
                              {book_number(BOOK_NURSERY_LOW), book_number(BOOK_NURSERY_USUAL),
                               book_number(BOOK_NURSERY_HIGH)}};
    case SURVIVAL_FENCED:
        return (struct small){book_number(BOOK_DIRECT_DAYS),
                              {fenced - fenced_off, fenced, fenced + fenced_off}};
    case SURVIVAL_OPEN:
        return (struct small){book_number(BOOK_DIRECT_DAYS),
                              {open - open_off, open, open + open_off}};
    case SURVIVAL_GROWN:
        break;
    }
    return (struct small){0, {1, 1, 1}};
}

static double share_after(enum survival_kind kind, int lane, int64_t hours) {
    const struct small small = small_of(kind);
    const double grown[LANES] = {book_number(BOOK_POND_LOW), book_number(BOOK_POND_USUAL),
                                 book_number(BOOK_POND_HIGH)};
    double h = (double)hours, first_h = small.days * DAY_H;
    double share = small.days > 0 ? falling(small.share[lane], small.days, h) : 1;
    return share * falling(grown[lane], book_number(BOOK_POND_DAYS), h - first_h);
}

struct survival_range survival_after(enum survival_kind kind, int64_t hours) {
    int64_t out[LANES];
    for (int i = 0; i < LANES; i++)
        out[i] = (int64_t)(share_after(kind, i, hours) * MILLION + 0.5);
    return (struct survival_range){out[0], out[1], out[2]};
}

/* -- the walk ------------------------------------------------------------------------------------
 */

static double lane_now(const struct survival_walk *walk, int lane, int64_t hours) {
    int64_t at = hours > walk->hours ? hours : walk->hours;
    double usual = lanes_alive(&walk->lanes, lane, share_after(walk->kind, lane, at));
    double seen = walk->seen[lane] > 0 ? walk->seen[lane] : 0;
    return usual < seen ? usual : seen;
}

/* So many in a lane from now on; loss begins anew from there. */
static void put_lane(struct survival_walk *walk, int lane, double alive) {
    double share = share_after(walk->kind, lane, walk->hours);
    lanes_set(&walk->lanes, lane, share, alive);
    walk->seen[lane] = lanes_alive(&walk->lanes, lane, share);
}

static void go_to(struct survival_walk *walk, int64_t hours) {
    walk->hours = hours > walk->hours ? hours : walk->hours;
}

/* So many more or fewer. */
static void change(struct survival_walk *walk, int64_t hours, double count) {
    go_to(walk, hours);
    for (int i = 0; i < LANES; i++)
        put_lane(walk, i, lane_now(walk, i, walk->hours) + count);
}

struct survival_walk survival_walk_make(enum survival_kind kind, int64_t count) {
    struct survival_walk walk = {.kind = kind};
    for (int i = 0; i < LANES; i++)
        put_lane(&walk, i, lanes_sane(count));
    return walk;
}

void survival_put(struct survival_walk *walk, int64_t hours, int64_t count) {
    change(walk, hours, lanes_sane(count));
}

void survival_put_about(struct survival_walk *walk, int64_t hours, struct survival_range count) {
    const int64_t of[LANES] = {count.low, count.middle, count.high};
    go_to(walk, hours);
    for (int i = 0; i < LANES; i++)
        put_lane(walk, i, lane_now(walk, i, walk->hours) + lanes_sane(of[i]));
}

void survival_take(struct survival_walk *walk, int64_t hours, int64_t count) {
    change(walk, hours, -lanes_sane(count));
}

void survival_die(struct survival_walk *walk, int64_t hours, int64_t count) {
    go_to(walk, hours); /* the share stands where loss was reckoned from */
    for (int i = 0; i < LANES; i++)
        walk->seen[i] -= lanes_sane(count);
}

void survival_count(struct survival_walk *walk, int64_t hours, int64_t count) {
    go_to(walk, hours);
    for (int i = 0; i < LANES; i++)
        put_lane(walk, i, lanes_sane(count));
}

struct survival_range survival_now(const struct survival_walk *walk, int64_t hours) {
    int64_t out[LANES];
    for (int i = 0; i < LANES; i++)
        out[i] = lanes_count(lane_now(walk, i, hours));
    return (struct survival_range){out[0], out[1], out[2]};
}
