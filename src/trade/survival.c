/* survival: see survival.h. In: a kind of fish and what happened to them; out: how many are thought
 * alive. No errors, no memory of its own. Limits: loss is straight in time, which no pond keeps to;
 * the range is the book's. */
#include "trade/survival.h"

#include "trade/book.h"

enum { LANES = 3, DAY_H = 24 };
static const double MILLION = 1e6, MOST = 1e12;

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

static double count_of(int64_t count) {
    double n = (double)count;
    return n < 0 ? 0 : n < MOST ? n : MOST;
}

static double lane_now(const struct survival_walk *walk, int lane, int64_t hours) {
    const struct survival_lane *l = &walk->lanes[lane];
    int64_t at = hours > walk->hours ? hours : walk->hours;
    double usual = l->alive * share_after(walk->kind, lane, at) / l->share;
    double seen = l->alive - l->dead > 0 ? l->alive - l->dead : 0;
    return usual < seen ? usual : seen;
}

/* So many more or fewer, and loss begins anew from there. */
static void change(struct survival_walk *walk, int64_t hours, double count) {
    int64_t at = hours > walk->hours ? hours : walk->hours;
    for (int i = 0; i < LANES; i++) {
        double alive = lane_now(walk, i, at) + count;
        walk->lanes[i] = (struct survival_lane){
            .alive = alive < 0      ? 0
                     : alive < MOST ? alive
                                    : MOST,
            .share = share_after(walk->kind, i, at),
        };
    }
    walk->hours = at;
}

struct survival_walk survival_walk_make(enum survival_kind kind, int64_t count) {
    struct survival_walk walk = {.kind = kind};
    for (int i = 0; i < LANES; i++)
        walk.lanes[i] = (struct survival_lane){.alive = count_of(count), .share = 1};
    return walk;
}

void survival_put(struct survival_walk *walk, int64_t hours, int64_t count) {
    change(walk, hours, count_of(count));
}

void survival_take(struct survival_walk *walk, int64_t hours, int64_t count) {
    change(walk, hours, -count_of(count));
}

void survival_die(struct survival_walk *walk, int64_t hours, int64_t count) {
    if (hours > walk->hours) /* the share stands where loss was reckoned from */
        walk->hours = hours;
    for (int i = 0; i < LANES; i++)
        walk->lanes[i].dead += count_of(count);
}

void survival_count(struct survival_walk *walk, int64_t hours, int64_t count) {
    int64_t at = hours > walk->hours ? hours : walk->hours;
    for (int i = 0; i < LANES; i++)
        walk->lanes[i] = (struct survival_lane){.alive = count_of(count),
                                                .share = share_after(walk->kind, i, at)};
    walk->hours = at;
}

struct survival_range survival_now(const struct survival_walk *walk, int64_t hours) {
    int64_t out[LANES];
    for (int i = 0; i < LANES; i++)
        out[i] = (int64_t)(lane_now(walk, i, hours) + 0.5);
    return (struct survival_range){out[0], out[1], out[2]};
}
