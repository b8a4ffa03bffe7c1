/* order: what the files of orders and of the season's plan share. */
#ifndef TURN_ORDER_H
#define TURN_ORDER_H

#include "turn/offer.h"

enum {
    ORDER_FEW = 1000,     /* an ORDER of such a number alone is about the order of that number */
    ORDER_POND_DAYS = 60, /* a pond's day before that of its plan's harvest, at the most */
    ORDER_OF_HERE = -1    /* what an offer was about that nothing is injected for, for WHY */
};

/* "5000 of 2g by 14 Mar for mary" */
struct slice order_what(struct turn *t, int person, const struct order *o, struct slice name);
/* Only an owner takes, changes and ends orders and plans. False: it was said so. */
bool order_owner(struct turn *t);

/* A text of several sentences that has two parts at the most: those that may be left out are, the
 * last of them first, until the rest fits. */
enum { ORDER_SENTENCES_MAX = 10 };
enum order_weight { ORDER_MUST, ORDER_MAY };
struct order_text {
    int person;
    struct slice sentences[ORDER_SENTENCES_MAX];
    bool may_drop[ORDER_SENTENCES_MAX];
    int count;
};
void order_put(struct turn *t, struct order_text *out, enum order_weight weight,
               const struct reply *r);
#define ORDER_PUT(turn, out, weight, id, ...)                                                      \
    order_put((turn), (out), (weight), &(struct reply){REPLY_##id, {__VA_ARGS__}})
struct slice order_fit(struct turn *t, struct order_text *text);

/* The weight of one, said or by its length; false: neither. */
bool order_size(struct turn *t, const struct request *r, int64_t *mean_mg);

/* The preparing of a pond for a plan that is dropped ends, unless it is kept; of all of an order's
 * plans that wait, but for those that the offer keeps (NULL none). */
void order_free_pond(struct turn *t, const struct spawn_plan *plan, int number, bool kept);
void order_free_ponds(struct turn *t, int64_t order, const struct offer *keeps);
void order_drop_plans(struct turn *t, int64_t order, int64_t but);

void turn_show_order(struct turn *t, const struct order *o);
void turn_list_orders(struct turn *t);
void turn_call_off(struct turn *t, struct request *r);
void turn_do_season(struct turn *t, struct request *r);

/* "F3+F5" of a plan that stands, and its spare; NULL none. */
struct slice order_plan_tags(struct turn *t, const struct spawn_plan *p);
const struct brood *order_plan_spare(const struct turn *t, const struct spawn_plan *p);
struct slice order_plan_ponds(struct turn *t, const struct spawn_plan *p);
/* The order as it stands now among all; false: it is not open, or no memory. */
bool order_expect(struct turn *t, int64_t order, struct expect *out, int *own_runs);

#endif
