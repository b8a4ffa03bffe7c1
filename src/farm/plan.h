/* plan: what is to be told, to whom by rank, and when, as a function of the state, of what was told
 * already, of the zone and of the hour. farm_plan is the only way to make tasks. Pure.
 *
 * A task's key (kind, subject, nth, stage) is stable: a task that moves is the same task. Its hour
 * depends only on its own spawn and the water that applies to it. */
#ifndef FARM_PLAN_H
#define FARM_PLAN_H

#include "base/zone.h"
#include "farm/state.h"

enum task_kind {
    TASK_NONE = 0,
    TASK_WATER = 1, /* ask the temperature of her tank; nth: 0 in the evening, else the minute */
    TASK_READY = 2, /* get ready: 45 minutes before the first look */
    TASK_LOOK = 3,  /* look, strip if ready; nth: how many looks were "not yet" before */
    TASK_WHITE = 4, /* count white eggs */
    TASK_LIFT = 5, /* look to lift the frames, by day; nth 1: the evening before a dark last hour */
    TASK_FRAMES = 6 /* the frames' last hour */
};

enum task_stage {
    STAGE_SAID = 0,    /* only in told: an answer named this hour */
    STAGE_FIRST = 1,   /* the task's own text, to the hand */
    STAGE_AGAIN = 2,   /* 15 minutes later, no answer */
    STAGE_OWNER = 3,   /* 30 minutes later */
    STAGE_ADVISER = 4, /* 60 minutes later */
    STAGE_MISSED = 5,  /* its last useful hour has passed: reported missed */
    STAGE_OFF = 6      /* the get-ready text has no receipt: the hand's phone may be off */
};

/* The order is that of sending when several wait for one phone. */
enum level { LEVEL_ALARM = 0, LEVEL_ANSWER = 1, LEVEL_STEP = 2, LEVEL_ROUTINE = 3 };

enum outcome {
    OUTCOME_WAITING = 0,
    OUTCOME_SENT = 1,
    OUTCOME_DELIVERED = 2,
    OUTCOME_FAILED = 3,
    OUTCOME_ANSWERED = 4
};

struct task_key {
    enum task_kind kind;
    int64_t subject; /* spawn number */
    int nth;
    enum task_stage stage;
};

struct told {
    struct task_key key;
    int64_t person;
    int64_t hour_s; /* the hour that was told */
    int64_t told_s; /* when */
    enum outcome outcome;
};

struct task {
    struct task_key key;
    int64_t due_s;    /* when to tell */
    int64_t hour_s;   /* the hour it is about */
    int64_t useful_s; /* not to be told after this */
    enum level level;
    int64_t hand; /* the person who reported last on the spawn */
};

enum {
    PLAN_MOST = 256, /* tasks of one farm; more spawns than that at once is no hatchery of ours */
    ALARM_AGAIN_MIN = 15,
    ALARM_OWNER_MIN = 30,
    ALARM_ADVISER_MIN = 60,
    RECEIPT_WAIT_MIN = 15,
    MOVED_MIN = 10 /* a told hour that moves by less is not told again */
};

/* All tasks that are open: those due and not yet told, and those to come. Ordered by due_s, then
 * level. Tasks whose useful hour has passed at now_s are left out (their MISSED stage remains).
 * At most `most`; returns how many. */
int farm_plan(const struct farm_state *state, const struct told *told, int told_count,
              const struct zone *zone, int64_t now_s, struct task *out, int most);

/* The hour that a task (kind, subject, nth; stage ignored) is about, as planned now.
 * *acted: the task is no longer open because it was acted on. False: there is no such hour. */
bool farm_task_hour(const struct farm_state *state, struct task_key key, int64_t *hour_s,
                    bool *acted);

/* The next look of a spawn that is not stripped, whether due or to come; 0 when no hour can be
 * given or the time to wait is over. */
int64_t plan_next_look(const struct spawn *spawn);

/* The first look to lift the frames of a stripped spawn, moved into daylight; 0: no hour. */
int64_t plan_lift(const struct spawn *spawn, const struct zone *zone);

/* The instant on the five minutes at which a thing is shown and reminded. */
int64_t plan_shown(int64_t at_s);

#endif
