/* farm: a farm's ledger in memory and what follows from it. Replay has two passes: *in force* runs
 * in the order of saying (an undo takes back all entries of the message it names; an undo alone is
 * never undone; the undo inside a fix is when the fix is undone, not when it is fixed again), *what
 * happened* folds the entries in force by (instant, order of saying). Pure. */
#ifndef FARM_FARM_H
#define FARM_FARM_H

#include "farm/state.h"

struct farm {
    struct arena arena;    /* everything below lives in it */
    struct entry *entries; /* the whole ledger, in the order of saying */
    bool *in_force;        /* beside each entry */
    int count, room;
    struct farm_state state;
};

enum { FARM_ARENA_BYTES = 64 * 1024 * 1024 };

struct farm farm_make(void);
void farm_free(struct farm *farm);

/* Appends entries in the order of saying without folding; then farm_fold. ERR_NOMEM. */
enum err farm_append(struct farm *farm, const struct entry *entries, int count) MUST_LOOK;

/* Folds everything from the beginning. ERR_NOMEM, ERR_BUG. */
enum err farm_fold(struct farm *farm) MUST_LOOK;

/* The state as it was just before entry number `at` (its index) happened, by all that is known now
 * and without its message: what a report that puts it right is judged by. farm_fold brings the
 * state of now back. ERR_NOMEM, ERR_BUG. */
enum err farm_fold_before(struct farm *farm, int at) MUST_LOOK;

/* The state of what had happened until an instant, by all that is known now: what a report that
 * comes late is judged against. In `arena`. ERR_NOMEM, ERR_BUG. */
enum err farm_then(const struct farm *farm, int64_t at_s, struct arena *arena,
                   struct farm_state *out) MUST_LOOK;

/* Appends and brings the state up to date: steps when the entries are the newest to happen, folds
 * again when one is late or takes something back. */
enum err farm_add(struct farm *farm, const struct entry *entries, int count) MUST_LOOK;

/* Forgets the last `count` entries, none of which is stored yet. ERR_NOMEM, ERR_BUG. */
enum err farm_cut(struct farm *farm, int count) MUST_LOOK;

int64_t farm_head(const struct farm *farm); /* seq of the last entry, 0 none */

/* A number of such a subject (spawn, brood fish, cycle, order, plan) that no entry ever used,
 * undone ones included. */
int64_t farm_next(const struct farm *farm, enum subject_kind kind);

/* Who sent a message: of a fix he who put right, though what it says again stays with whoever had
 * reported it. 0 unknown. */
int64_t farm_sender(const struct farm *farm, int64_t message);

/* The message of this person's newest entries still in force; 0 none. */
int64_t farm_last_message(const struct farm *farm, int64_t person);

/* The message of the newest entry in force about a subject; 0 none. */
int64_t farm_newest_message(const struct farm *farm, enum subject_kind kind, int64_t subject);

/* The message took another back and said it again. */
bool farm_is_fix(const struct farm *farm, int64_t message);

/* Another message in force that would hang in the air if this one were undone: any about a spawn,
 * a brood fish, a pond's cycle, an order (its plans, too) or a plan that it begins, whatever is
 * about the eggs of one that it strips. 0 none. */
int64_t farm_leans_on(const struct farm *farm, int64_t message);

/* The tag of a spawn as a fix left it, of an undone one the last that stood; 0 unknown. */
int farm_spawn_tag(const struct farm *farm, int64_t spawn);

#endif
