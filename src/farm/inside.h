/* inside: what the files of the fold share. Each takes the entries of its own subjects. */
#ifndef FARM_INSIDE_H
#define FARM_INSIDE_H

#include "farm/state.h"

/* Room for one more in an array that doubles in the arena. */
enum err state_room(void **array, int count, int *have, size_t size, struct arena *arena) MUST_LOOK;

enum err water_log_put(struct water_log *log, int64_t at_s, int64_t mdegc,
                       struct arena *arena) MUST_LOOK;
const struct water_reading *water_log_last(const struct water_log *log); /* NULL: none */
/* The last reading, unless it is too old to say anything about this instant (BOOK_WATER_FRESH_H).
 */
const struct water_reading *water_log_fresh(const struct water_log *log, int64_t at_s);

enum err farm_step_injected(struct farm_state *state, const struct entry *n,
                            struct arena *arena) MUST_LOOK;
enum err farm_step_spawn(struct farm_state *state, const struct entry *n,
                         struct arena *arena) MUST_LOOK;
enum err farm_step_hatchery(struct farm_state *state, const struct entry *n,
                            struct arena *arena) MUST_LOOK;
enum err farm_step_tank(struct farm_state *state, const struct entry *n,
                        struct arena *arena) MUST_LOOK;
enum err farm_step_brood(struct farm_state *state, const struct entry *n,
                         struct arena *arena) MUST_LOOK;
enum err farm_step_pond(struct farm_state *state, const struct entry *n,
                        struct arena *arena) MUST_LOOK;
enum err farm_step_cycle(struct farm_state *state, const struct entry *n,
                         struct arena *arena) MUST_LOOK;

/* Feed: the store, measures, the farm's own table. */
enum err farm_step_feed(struct farm_state *state, const struct entry *n,
                        struct arena *arena) MUST_LOOK;
/* Orders and plans. */
enum err farm_step_order(struct farm_state *state, const struct entry *n,
                         struct arena *arena) MUST_LOOK;
enum err farm_step_plan(struct farm_state *state, const struct entry *n,
                        struct arena *arena) MUST_LOOK;
/* A spawn that has just begun is of the plan that waits for its female. */
void spawn_plan_link(struct farm_state *state, const struct spawn *spawn);

/* Currency, prices, costs, incomes and payments, whatever they are about. */
bool farm_is_money(enum entry_kind kind);
enum err farm_step_money(struct farm_state *state, const struct entry *n,
                         struct arena *arena) MUST_LOOK;

enum err feed_given(struct farm_state *state, struct pond *pond, const struct entry *n,
                    struct arena *arena) MUST_LOOK;
enum err feed_left(struct pond *pond, int64_t at_s, struct arena *arena) MUST_LOOK;

/* A reading of a pond or a tank. */
enum err measured_put(struct measured *last, struct measured_log *oxygen, const struct entry *n,
                      struct arena *arena) MUST_LOOK;

/* The next thing that happened to a cycle's fish. */
enum err fish_put(struct cycle *c, struct fish_event event, struct arena *arena) MUST_LOOK;

/* Larvae taken out of a spawn by stocking: `all` closes it. */
enum err spawn_take(struct spawn *s, int64_t count, bool guessed, bool all, int64_t at_s,
                    struct arena *arena) MUST_LOOK;

/* Who reported comes first: of what was put right whoever had said it (entry.h). */
void hands_put(struct hands *hands, const struct entry *n);

/* The tank, made if it is not there; NULL: no memory. */
struct tank *state_tank(struct farm_state *state, int64_t number, struct arena *arena);

#endif
