/* order: fish asked for on a day, reckoned back to the female, and forward from what there is.
 * Days are local days since 1970-01-01, minutes those of a local day; zone.h makes instants of
 * them. Weights in mg. Pure, no state.
 *
 * Back from N fish of the size of BOOK_ORDER_FISH_G (2 g) on day D, the two-week route: stocked 30
 * days before, half hatched 14 days before that, stripped at BOOK_ORDER_LOOK_H on the last day from
 * which they can have hatched by then, injected the latency of the expected water before. Other
 * sizes: up to 2 g the month in the pond in proportion of the cube roots, over it the days of
 * growth.h on top. Losses end with the nursery's: none is reckoned for growing on from 2 g. */
#ifndef TRADE_ORDER_H
#define TRADE_ORDER_H

#include <stdbool.h>
#include <stdint.h>

#include "trade/learn.h"

enum order_reason {
    ORDER_OK,
    ORDER_COUNT,     /* no fish, or over BOOK_ORDER_MOST */
    ORDER_SMALL,     /* lighter than fry of two weeks (BOOK_FRY_MG) */
    ORDER_LARGE,     /* heavier than BOOK_ORDER_MOST_G, or not within the days of growth.h */
    ORDER_WATER,     /* the hatchery's water is outside 20..30 degC */
    ORDER_DAY,       /* a day beyond 1970..2270 */
    ORDER_LATE,      /* the injection would lie before now */
    ORDER_NOT_ALL,   /* choose.h: not with these fish and ponds on that day */
    ORDER_IMPOSSIBLE /* choose.h: weights, areas beyond sense */
};

struct order_want {
    int64_t fish;
    int64_t size_mg;
    int64_t day; /* of harvest */
    int64_t hatchery_mdegc;
    int64_t pond_mdegc; /* counts only over 2 g */
};

struct order_now {
    int64_t day;
    int minute;
};

struct order_range {
    int64_t low, middle, high;
};

struct order_days {
    enum order_reason reason; /* ORDER_LATE: the days stand all the same */
    int64_t harvest_day;
    struct order_range pond_days; /* four times in five they are that large after so many days;
                                     planned with the middle. All 0: fry of two weeks, no pond */
    int64_t stock_day;            /* without a pond the day of harvest */
    int64_t hatch_day;            /* half hatched */
    int hatch_min;
    int64_t strip_day; /* first look */
    int strip_min;
    int64_t inject_day; /* the evening before, in cold water earlier */
    int inject_min;
    int64_t prepare_day;       /* of the pond, with lime; without a pond the day of harvest */
    int64_t prepare_short_day; /* the last day for the short form */
    bool short_form;           /* prepare_day lies before now: only the short form is left */
};

/* tgc: learn_rate of LEARN_TGC. */
struct order_days order_days(const struct order_want *want, const struct learn_rate *tgc,
                             struct order_now now);

/* The first day on which an order like this can be harvested, whatever the fish; `want->day` does
 * not count. -1: on none, order_days says why. */
int64_t order_first_day(const struct order_want *want, const struct learn_rate *tgc,
                        struct order_now now);

/* -- what comes of it -------------------------------------------------------------------------- */

struct order_rates {
    struct learn_rate eggs, hatch, survive, nursery;
};

enum { ORDER_DRAWS = 2048, ORDER_STEPS = 1024, ORDER_PARTS_MAX = 32 };

/* A season drawn ORDER_DRAWS times from the distributions of learn.h, with fixed seeds, so that the
 * same rates give the same numbers. About 72 KB; made once for each set of rates, takes under a
 * millisecond. What is drawn, and how the fish of one order hang together: the females of an order
 * share the farm's fecundity and have each their own on top, and each responds or not
 * (BOOK_RESPOND, 7 of 8). Hatch, survival and the nursery are one run for the whole order, because
 * it is one night, one water and the same hands: the careful reading. */
struct order_odds {
    struct order_rates rates;
    double farm[ORDER_DRAWS]; /* eggs per mg of female, the farm's part */
    double hatch[ORDER_DRAWS], survive[ORDER_DRAWS], nursery[ORDER_DRAWS];
    double female[ORDER_STEPS]; /* times, her own part: even steps of it */
};
void order_odds_make(struct order_odds *out, const struct order_rates *rates);

enum order_stage {
    ORDER_FEMALE, /* amount: mg, to be injected or injected; she may fail */
    ORDER_EGGS,   /* amount: counts from here on */
    ORDER_LARVAE, /* hatched */
    ORDER_FRY,    /* of two weeks */
    ORDER_FISH    /* of the size wanted */
};
struct order_part {
    enum order_stage stage;
    int64_t amount;
};

enum { ORDER_NO_LIMIT = -1 };

/* What may come of all parts together. */
struct order_outlook {
    enum order_reason reason;  /* ORDER_IMPOSSIBLE: no part or over ORDER_PARTS_MAX, a female over
                                  100 kg, a count over 10^9 or under 0 */
    int64_t promise;           /* holds four times in five (BOOK_PROMISE_KEPT), rounded down */
    int64_t middle;            /* by the means, every female responding: the book's chain */
    int64_t high;              /* more only one time in five */
    int64_t eggs, larvae, fry; /* on the way, by the means */
};
/* fry_room: the ponds take no more fry, ORDER_NO_LIMIT. pond: false for fry that go out at two
 * weeks. More, heavier, or further parts and more room never promise less. */
struct order_outlook order_outlook(const struct order_odds *odds, const struct order_part *parts,
                                   int count, int64_t fry_room, bool pond);

/* Whether order_outlook's promise is so many or more, in a third of its time; false for what is
 * ORDER_IMPOSSIBLE. */
bool order_promises(const struct order_odds *odds, const struct order_part *parts, int count,
                    int64_t fry_room, bool pond, int64_t wanted);

/* What an order asks for, whatever fish there are. */
struct order_need {
    enum order_reason reason;  /* ORDER_COUNT */
    int64_t fry, larvae, eggs; /* the chain backwards by the means, to the nearest */
    int64_t middle_mg;         /* of female, by the means */
    int females;               /* to inject for the promise: two at least, none over
                                  BOOK_FEMALE_GOOD_G; a spare comes on top */
    int64_t promise_mg;        /* their weight, all alike; 0: over ORDER_PARTS_MAX of them */
    int64_t middle_area_cm2;   /* of nursery pond 1 m deep, at BOOK_FRY_PER_M3_MOST */
    int64_t promise_area_cm2;  /* for the fry that the promise's females give by the means */
};
struct order_need order_need(const struct order_odds *odds, int64_t fish, bool pond);

#endif
