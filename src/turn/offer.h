/* offer: whether an order can be met with the females, ponds and fish that the farm has, and how;
 * what it does to the orders that were taken before. Reckoned from the state, nothing is recorded.
 *
 * What is here and of no order comes first, then an evening's females are chosen for the rest
 * (choose.h). Females and ponds of plans that stand are taken; those of the order itself, where it
 * is being changed, are free again. */
#ifndef TURN_OFFER_H
#define TURN_OFFER_H

#include "farm/expect.h"
#include "trade/choose.h"
#include "turn/inside.h"

/* The farm as choose.h takes it. */
struct offer_farm {
    struct choose_farm farm;
    const struct brood **females; /* beside farm.females */
    int *ponds;                   /* numbers, beside farm.ponds */
    struct choose_busy *busy;     /* farm.busy, and which plan each is of */
    int64_t *busy_of;
    const struct order_odds *odds;
    int64_t mdegc; /* of the hatchery, in the range of the tables */
    bool guessed;  /* nobody has read it */
    int own_runs;  /* the most that any of the odds' rates rests on; 0: the guide alone */
};

/* Plans of the order `but` (0 none) take nothing. False: no memory, it stands in the turn. */
bool offer_farm_make(struct turn *t, int64_t but, struct offer_farm *out);

struct offer_fall { /* an order that was taken before */
    int64_t order, promise, count;
};

struct offer {
    struct order order; /* as it would stand; delivered as now */
    bool changes;       /* one that stands */
    int64_t plan;       /* number for the chosen females; 0: none are needed */
    bool keeps;         /* its own evenings do, they stay as they are */
    struct offer_farm with;
    struct order_want want;    /* of the rest */
    int64_t have;              /* promised from what is here, delivered ones included */
    struct choose_plan chosen; /* for the rest, when there is one */
    bool feasible;
    int64_t promise, middle, high; /* of all, as expect.h sees it with the plan */
    int64_t can;                   /* feasible or not: so many can be promised by that day */
    int64_t first_day;             /* not feasible: all of them from that day on; -1 never */
    struct order_need need;
    struct offer_fall fall; /* the worst; order 0: none falls */
    int falls;
};

/* The order's number, count, size, day and buyer stand in `order`. False: no memory. */
bool offer_make(struct turn *t, const struct order *order, bool changes, struct offer *out);

/* An instant of a local day since 1970-01-01. */
int64_t offer_instant(const struct turn *t, int64_t day, int minute);
/* On two figures and never more: what is promised. */
int64_t offer_floor(int64_t count);
/* Below every order and planned evening that was ever numbered: both have one row of numbers, so
 * that CALL OFF means one thing. */
int64_t offer_next_number(const struct turn *t);

/* What a plan records: its evening, females, spare and ponds, and the ponds' preparing. */
void offer_record_plan(struct turn *t, const struct offer_farm *with,
                       const struct choose_plan *plan, int64_t number,
                       const struct spawn_plan *like);

/* "F3+F5 (2.6kg)", "P4+P5 (2.4 ares)", "M1+M2" of males that are here, empty when none is. */
struct slice offer_females(struct turn *t, int person, const struct offer_farm *with,
                           const struct choose_plan *plan);
struct slice offer_ponds(struct turn *t, int person, const struct offer_farm *with,
                         const struct choose_plan *plan);
struct slice offer_males(struct turn *t, int *count);

/* The name of a buyer as it is shown, the order's own number when he is not known. */
struct slice offer_name(struct turn *t, int64_t buyer);

#endif
