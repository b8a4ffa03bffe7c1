/* tasks: what the files of the plan share. */
#ifndef FARM_TASKS_H
#define FARM_TASKS_H

#include "farm/plan.h"
#include "trade/book.h"

enum { MINUTE_S = 60, HOUR_S = 3600, DAY_S = 86400 };

/* A look that is not told yet, and the hour at which it is told: the earliest one near it. */
struct plan_look {
    int64_t spawn, hand;
    int64_t look_s, told_s;
};

struct plan {
    const struct farm_state *state;
    const struct plan_view *view;
    struct task *out;
    int count, most;
    struct plan_look looks[PLAN_MOST];
    int look_count;
};

/* What is known of the telling of one stage at this hour, over all persons. A question for the
 * water, or for its source, stands whatever hour it named. */
struct telling {
    bool told, delivered, answered;
    bool failed; /* told, and every text of it failed */
    int64_t told_s;
};
struct telling plan_telling(const struct plan *p, struct task_key key, int64_t hour_s);

/* A task as it is; the last useful hour is the task's. */
void plan_put(struct plan *p, struct task task);
void plan_step(struct plan *p, struct task task);
void plan_alarm(struct plan *p, struct task task);

/* The hour at which her look is told, with those near it. */
int64_t plan_joined(const struct plan *p, const struct spawn *s, int64_t look_s);

int64_t plan_book_s(enum book_id id, int64_t unit_s);

int64_t plan_hand(const struct plan *p, const struct hands *hands);
/* The owner who reported it last, else an owner, else whoever reported it. */
int64_t plan_owner(const struct plan *p, const struct hands *hands);

/* An hour of the day as it is, one of the night goes on to the step hour of the morning after. */
enum { MISSED_FROM_HOUR = 6, MISSED_TO_HOUR = 21 };
int64_t plan_by_day(const struct plan *p, int64_t at_s, int from_hour, int to_hour);

/* When routine reaches this person, on the local day `days` after that of at_s. */
int64_t plan_morning(const struct plan *p, int64_t hand, int64_t at_s, int days);

/* Open ones only. */
void plan_spawn(struct plan *p, const struct spawn *s);
void plan_larvae(struct plan *p, const struct spawn *s);
/* Of eggs that nobody reported as hatched. */
void plan_larvae_unsaid(struct plan *p, const struct spawn *s);
void plan_pond(struct plan *p, const struct pond *pond);
void plan_cycle(struct plan *p, const struct cycle *c);
void plan_grow_pond(struct plan *p, const struct pond *pond);
void plan_grow_cycle(struct plan *p, const struct cycle *c);
void plan_orders(struct plan *p);
void plan_lists(struct plan *p); /* after all others: by what there is to do */

#endif
