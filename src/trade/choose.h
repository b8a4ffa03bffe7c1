/* choose: which females and which ponds serve an order, several orders against the same, and a
 * season of them. In: plain arrays from the caller, who keeps them; choose_take marks what an order
 * uses in them. Out: indexes into them. Pure.
 *
 * A female can be chosen whose weight passes (brood.h) and who is rested by the day of the
 * injection; a pond that is free by the first day of its preparing, the short form at the least. A
 * pond takes BOOK_FRY_PER_M3_MOST, its depth counted to BOOK_POND_DEPTH_MOST_M.
 *
 * The rule of choosing: as few females as keep the promise, two at least, then the lightest
 * neighbours by weight that still do (heavy ones stay free for other orders); a spare is the
 * lightest rested one left, and never counts. Then as few ponds as do, the largest first, the last
 * of them as small as does. */
#ifndef TRADE_CHOOSE_H
#define TRADE_CHOOSE_H

#include "trade/order.h"

struct choose_female {
    int64_t weight_mg;
    int64_t rested_day; /* may be injected from then on */
};

struct choose_pond {
    int64_t area_cm2;
    int64_t depth_mm; /* 0: not known, as deep as BOOK_POND_DEPTH_MOST_M */
    int64_t free_day; /* may be prepared from then on */
};

/* More than so many females or ponds that could serve: the heaviest, the largest count. */
enum { CHOOSE_FEMALES_MAX = 24, CHOOSE_PONDS_MAX = 12, CHOOSE_FROM_MAX = 256 };

/* Days on which a female cannot be injected, or a pond is not free: both days included. */
struct choose_busy {
    bool pond;
    int index; /* of the farm's females or ponds */
    int64_t from_day, to_day;
};

struct choose_farm {
    struct choose_female *females;
    int female_count;
    struct choose_pond *ponds;
    int pond_count;
    struct learn_rate tgc;
    struct order_now now;
    const struct choose_busy *busy; /* beside the days from which on they are free */
    int busy_count;
};

/* She is rested, and not busy, on the day of the injection. */
bool choose_female_free(const struct choose_farm *farm, int index, const struct order_days *days);
/* It is free from so many days before the harvest on, until it: days->prepare_short_day, or the day
 * of the full preparing. */
bool choose_pond_free(const struct choose_farm *farm, int index, int64_t from_day,
                      int64_t harvest_day);

struct choose_plan {
    enum order_reason reason; /* ORDER_NOT_ALL: the plan stands, for as many as `outlook.promise` */
    struct order_days days;
    int females[CHOOSE_FEMALES_MAX]; /* to inject, indexes, heaviest first */
    int female_count;
    int64_t female_mg; /* their weight together */
    int spare;         /* -1: none is left */
    int ponds[CHOOSE_PONDS_MAX];
    int pond_count;
    int64_t area_cm2;
    int females_able, ponds_able; /* so many could serve on that day, chosen or not */
    bool short_form;              /* the full preparing is not possible for all of them */
    struct order_outlook outlook;
};

/* Under a millisecond for a few females, about five for the most that can be chosen.
 * Nothing is marked. With ORDER_NOT_ALL the least that gives the most that can be promised is
 * chosen; nothing, when nothing can. */
struct choose_plan choose_plan(const struct choose_farm *farm, const struct order_odds *odds,
                               const struct order_want *want);

/* The first day from want->day on which the order can be promised, if nothing else is asked of the
 * farm; -1: never with these fish and ponds. */
int64_t choose_first_day(const struct choose_farm *farm, const struct order_odds *odds,
                         const struct order_want *want);

/* Marks what the plan uses: the females rest from the day of stripping (BOOK_REST_DAYS), the ponds
 * are free on the day after the harvest. The spare is not marked. */
void choose_take(struct choose_farm *farm, const struct choose_plan *plan);

/* Several orders, the earliest day first, equal days as given; plans[i] is that of wants[i]. What
 * the ones before leave is what the next can have; an order that cannot be met takes what is
 * planned for it all the same when `partly`. The farm is marked. At most CHOOSE_ORDERS_MAX, the
 * rest are ORDER_COUNT. */
enum { CHOOSE_ORDERS_MAX = 64 };
void choose_all(struct choose_farm *farm, const struct order_odds *odds,
                const struct order_want *wants, int count, bool partly, struct choose_plan *plans);

/* A steady number: want->fish every `every_days` (7, or 0 for the same day of each month) from
 * want->day to last_day, both included. Rows in order of day; the farm is marked. The number of
 * rows is returned (each takes as long as a plan), at most `room`; 0 when the days make no sense. A
 * row that cannot be met is ORDER_NOT_ALL and takes what it can. */
int choose_season(struct choose_farm *farm, const struct order_odds *odds,
                  const struct order_want *want, int64_t last_day, int every_days,
                  struct choose_plan *rows, int room);

/* The most fish, up to want->fish and on two figures, that every row of such a season can promise;
 * 0: not even one of a hundred. The rows of it, and the farm marked by them, as of choose_season;
 * with 0 those of want->fish, which take what they can. `farm` is not marked; `marked` has arrays
 * of its own with as much room. Takes up to twenty seasons. */
int64_t choose_steady(const struct choose_farm *farm, struct choose_farm *marked,
                      const struct order_odds *odds, const struct order_want *want,
                      int64_t last_day, int every_days, struct choose_plan *rows, int room,
                      int *count);

#endif
