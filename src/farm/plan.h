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
    TASK_FRAMES = 6, /* the frames' last hour */
    /* of larvae */
    TASK_HATCH = 7,    /* ask how many hatched */
    TASK_FOOD = 8,     /* first food; nth 0 the step, 1 the alarm a day later */
    TASK_CARE = 9,     /* the day of larvae: meals, siphon, water; nth: their age in days */
    TASK_DRYFOOD = 10, /* dry food beside the plankton */
    TASK_BIG = 11,     /* look for big ones */
    TASK_NURSERY = 12, /* two weeks: grade, move to a pond; nth 1: two days later, still here */
    TASK_POND = 13,    /* a pond is wanted for them, none is being prepared */
    /* of ponds */
    TASK_PREP = 14,    /* a step of preparing; nth: enum prep_step, or one of those below */
    TASK_STOCK = 15,   /* the day a pond shall be ready; nth 1: a week after it was filled */
    TASK_SORT = 16,    /* grade; nth: 1, 2, ... */
    TASK_HARVEST = 17, /* a month in the pond; nth 1: a week later */
    /* of the hatchery */
    TASK_AIR = 18,    /* is the air back; nth: half hours since it failed */
    TASK_SOURCE = 19, /* ask once where the water comes from */
    TASK_BLIND = 20,  /* look by day where no hour can be given; nth: hours since the injection */
    TASK_NO_FRY = 21, /* of a pond: its fry will not come; nth: their spawn */
    /* of ponds in which fish grow */
    TASK_OXYGEN = 22, /* little oxygen before dawn; the hour: from when on */
    TASK_SAMPLE = 23, /* weigh a sample; nth: 1, 2, ... since the last */
    TASK_DAWN = 24,   /* look at dawn, as much feed goes in; nth: weeks since the stocking */
    TASK_CATCH = 25,  /* no feed from today: harvest or transport is tomorrow */
    /* of orders and plans */
    TASK_INJECT = 26,    /* of a plan: which females tonight; told in the morning */
    TASK_ORDER = 27,     /* of an order: it is in danger, to owners; nth: by how many tenths the
                            promise has fallen since it was accepted */
    TASK_ORDER_DAY = 28, /* of an order: in three days; grade, no feed the day before, harvest */
    /* of a person: subject is his id, nth the day's number (plan_day_number) */
    TASK_MORNING = 29, /* the list of his day */
    TASK_SUNDAY = 30,  /* the week, to each owner */
    TASK_KIND_END
};

/* What a task's subject is. */
enum subject_kind task_subject(enum task_kind kind);

enum task_stage {
    STAGE_SAID = 0,    /* only in told: an answer named this hour */
    STAGE_FIRST = 1,   /* the task's own text, to the hand */
    STAGE_AGAIN = 2,   /* 15 minutes later, no answer */
    STAGE_OWNER = 3,   /* 30 minutes later */
    STAGE_ADVISER = 4, /* 60 minutes later */
    STAGE_MISSED = 5,  /* its last useful hour has passed: reported missed, by day */
    STAGE_OFF = 6,     /* the get-ready text has no receipt: the hand's phone may be off */
    STAGE_HEARD = 7    /* only in told: a phone that was told has texted about it since */
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
    int64_t subject; /* a number by the kind: task_subject; of lists a person's id */
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
    int64_t hand; /* whose work it is: plan_hand_of */
};

/* What the plan knows of people: their rank, and at which minute after local midnight routine
 * reaches them. */
enum plan_rank { RANK_OTHER, RANK_WORKER, RANK_OWNER };
struct plan_hand {
    int64_t person;
    int morning_min;
    enum plan_rank rank;
    bool lists; /* is sent the lists of the morning and of Sunday */
};

/* What a plan is made from besides the state. */
struct plan_view {
    const struct told *told;
    int told_count;
    const struct plan_hand *hands; /* who is not among them has PLAN_MORNING_MIN */
    int hand_count;
    const struct zone *zone;
    int64_t now_s;
    int64_t late_s; /* tasks stay so long after their useful hour: for looking at, 0 to tell */
};

/* Of those who reported the last worker: an owner's or an adviser's word does not take the work
 * from the one who does it. Else an owner, of those who reported the last. Whoever is not in the
 * view is off the farm. Where nobody has a rank it is who reported last. */
int64_t plan_hand_of(const struct plan_view *view, const struct hands *hands);
/* Who feeds what swims in a pond: the worker who reported of the cycle, else the one who reported
 * of the pond, as who feeds does, else the hand of the cycle. Each of the two may be NULL. */
int64_t plan_feeder(const struct plan_view *view, const struct pond *pond,
                    const struct cycle *cycle);

enum {
    PLAN_MOST = 256, /* tasks of one farm; more spawns than that at once is no hatchery of ours */
    ALARM_AGAIN_MIN = 15,
    ALARM_OWNER_MIN = 30,
    ALARM_ADVISER_MIN = 60,
    RECEIPT_WAIT_MIN = 15,
    MOVED_MIN = 10,         /* a told hour that moves by less is not told again */
    JOIN_MIN = 45,          /* looks of one hand so near are told together, at the earlier hour */
    AIR_AGAIN_MIN = 30,     /* from one question for the air to the next */
    AIR_ASKS = 24,          /* so many of them */
    PLAN_MORNING_MIN = 360, /* six in the morning */
    PLAN_STEP_HOUR = 7,     /* steps of a day, not of an hour, are told at this local hour */
    ORDER_BEFORE_DAYS = 3,  /* from its reminder to an order's day */
    /* as nth of TASK_PREP: */
    PREP_PH = PREP_FILL + 1, /* read the water's pH */
    PREP_MISSED = PREP_PH,   /* and the step: the day after it, when nobody reported it */
    PREP_UNFILLED = PREP_MISSED + PREP_FILL,
    SORT_MISSED = 100, /* and nth of TASK_SORT: two days after it */
    INJECT_MISSED = 1, /* nth of TASK_INJECT: the morning after it */
    WHITE_MISSED = 1,  /* nth of TASK_WHITE: the time for it is over */
    CATCH_MISSED = 1,  /* nth of TASK_CATCH: the day after it, when nobody reported what came out */
    STOCK_MISSED = 1   /* nth of TASK_STOCK: no fry came in the week after the filling */
};

/* Two tasks about one piece of work: a step, and the word that nobody reported it. */
bool plan_same_work(struct task_key a, struct task_key b);

/* All tasks that are open: those due and not yet told, and those to come. Ordered by due_s, then
 * level. Tasks whose useful hour has passed at now_s are left out (their MISSED stage remains).
 * At most `most`; returns how many. */
int farm_plan(const struct farm_state *state, const struct plan_view *view, struct task *out,
              int most);

/* Whether a row of what was told still says something to a plan: its subject is there and open. */
bool plan_concerns(const struct farm_state *state, struct task_key key, int64_t now_s);

/* The hour that a task (kind, subject, nth; stage ignored) is about, as planned now.
 * *acted: the task is no longer open because it was acted on. False: there is no such hour. */
bool farm_task_hour(const struct farm_state *state, struct task_key key, int64_t *hour_s,
                    bool *acted);

/* The next look of a spawn that is not stripped, whether due or to come; 0 when no hour can be
 * given or the time to wait is over. */
int64_t plan_next_look(const struct spawn *spawn);

/* Her last useful look: nobody looks any more, and it is reported missed, by day. 0: no hour. */
int64_t plan_look_last(const struct spawn *spawn);

/* From when on a count of white eggs says how many died: an hour before it is asked for, since eggs
 * in warm water are ahead. An earlier one does not end the question. */
int64_t plan_white_from(const struct spawn *spawn);

/* The first look to lift the frames of a stripped spawn, moved into daylight; 0: no hour. */
int64_t plan_lift(const struct spawn *spawn, const struct zone *zone);

/* `hour` o'clock on the local day `days` after that of at_s; 0 when the clocks skip it. */
int64_t plan_clock(const struct zone *zone, int64_t at_s, int days, int hour);

/* -- larvae ------------------------------------------------------------------------------------
 */
/* Whole local days since the day of half hatch; -1 before it or without one. */
int spawn_larvae_days(const struct spawn *spawn, const struct zone *zone, int64_t at_s);
/* First food: when it is wanted by day, and the last good hour. 0: no hour. */
int64_t plan_food(const struct spawn *spawn, const struct zone *zone);
int64_t plan_food_last(const struct spawn *spawn, const struct zone *zone);
/* The day (its step hour) that larvae reach so many days of age. */
int64_t plan_larvae_day(const struct spawn *spawn, const struct zone *zone, int days);

/* -- ponds -------------------------------------------------------------------------------------
 */
/* How a pond is prepared in the time there is. */
enum prep_form {
    PREP_LONG,  /* dry, lime, manure, fill: three weeks */
    PREP_SHORT, /* ten days, with carbonate or no lime */
    PREP_LATE   /* not even that */
};
enum prep_form plan_prep_form(const struct pond *pond, const struct zone *zone);
/* The day of a step (its step hour), 0: not in this form. */
int64_t plan_prep_day(const struct pond *pond, const struct zone *zone, int step);
/* Fry of a pond's cycle wait for its pH: hydrated or quick lime, and none read under the limit. */
/* Filled too long before the day: insects are in it before the fry. It is drained and filled anew.
 */
bool plan_prep_early(const struct pond *pond);
/* A step is done, or one that comes after it. */
bool plan_prep_past(const struct pond *pond, int step);
bool plan_prep_ph(const struct pond *pond);
/* From when on no fry shall go in any more, insects have: a week after the filling, not before the
 * day after the one named. 0: not filled, or filled too early. */
int64_t plan_stock_over(const struct pond *pond, const struct zone *zone);

/* Whether larvae went straight into the pond, in their first days. */
bool cycle_direct(const struct cycle *cycle);
int64_t plan_harvest_day(const struct cycle *cycle, const struct zone *zone);
/* The day of a harvest that is planned: the first (nth 0), or the one a week on (1); 0 none. */
int64_t plan_harvest_nth(const struct cycle *cycle, const struct zone *zone, int nth);

/* -- growing on --------------------------------------------------------------------------------
 */
/* Stocked as fingerlings or larger: by what was stocked first, else by what was first weighed. */
bool cycle_grown(const struct cycle *cycle);

struct plan_night {
    bool evening;     /* the last reading is of an evening or night */
    bool line;        /* and falls from one before it: there is a line to dawn */
    bool danger;      /* under the limit before dawn, by that line */
    int64_t second_s; /* the last reading */
    int64_t hour_s;   /* danger: from when on, shown; it may be past */
    int64_t due_s;    /* danger: when to tell it; not before the last reading */
    int64_t dawn_s;
    int64_t dawn_ug_l; /* line: what is left at dawn */
    int64_t limit_ug_l;
};
/* By the last reading of a pond's oxygen, if it is of an evening or night, and the one before it in
 * the same; fish that were seen gasping since are known to be in danger. */
struct plan_night plan_night(const struct farm_state *state, const struct pond *pond,
                             const struct zone *zone);

/* -- the day -----------------------------------------------------------------------------------
 */
/* Local days since 1970-01-01: the days of trade's order.h. */
int plan_day_number(const struct zone *zone, int64_t at_s);

/* The instant on the five minutes at which a thing is shown and reminded. */
int64_t plan_shown(int64_t at_s);

#endif
