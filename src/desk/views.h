/* views: what the host's page shows, as plain structs: all farms, one farm, its conversation, the
 * texts that wait. Worked out when asked, stored nowhere; no row changes. Reads between rounds, in
 * bounded slices. Whatever a struct points to lives in the arena that was given, or for ever.
 *
 * Instants are UTC seconds (`_s`), 0 none. Numbers of phones are masked. Names (of a role, a kind
 * of task, a level, a fate) are short ASCII words that never change: for class names, words to look
 * up, columns of an export.
 *
 * Errors from every call: ERR_IO, ERR_BUSY, ERR_CORRUPT and the like from the store; ERR_NOMEM at
 * the arena's cap; others are named beside the call. This header needs nothing but base, so that
 * the page knows nothing of farms, turns or the store. */
#ifndef DESK_VIEWS_H
#define DESK_VIEWS_H

#include "base/arena.h"
#include "base/log.h"
#include "base/slice.h"

struct desk;

enum {
    DESK_VIEW_FARMS_MAX = 64,   /* rows in one slice of farms */
    DESK_VIEW_TEXTS_MAX = 200,  /* rows in one slice of texts */
    DESK_VIEW_PEOPLE_MAX = 64,  /* of one farm, by role; more are left out */
    DESK_VIEW_SPAWNS_MAX = 256, /* of one farm, the oldest open ones */
    DESK_VIEW_TASKS_MAX = 256,  /* of one farm, the first due */
    DESK_VIEW_AHEAD_H = 24,     /* how far tasks are looked for */
    DESK_VIEW_LATE_MIN = 15     /* so long after its hour a task counts as late */
};

/* -- one farm -----------------------------------------------------------------------------------
 */
struct desk_view_person {
    int64_t id;
    struct log_phone phone;
    const char *role; /* "owner", "worker", "adviser", "watcher" */
    bool stopped;     /* wants no unasked text */
    int64_t heard_s;  /* last text of this phone, 0 never */
};

enum desk_view_stage {
    DESK_VIEW_UNSTRIPPED = 1, /* injected, not yet stripped */
    DESK_VIEW_EGGS = 2,       /* stripped, frames not yet out */
    DESK_VIEW_LARVAE = 3      /* frames out, not yet all in ponds */
};

struct desk_view_tag { /* F3 is {'F', 3} */
    char letter;
    int number;
};

struct desk_view_spawn {
    int64_t number; /* per farm, never used again */
    struct desk_view_tag tag;
    enum desk_view_stage stage;
    int64_t injected_s;
    int64_t stripped_s;  /* 0: not stripped */
    int64_t water_mdegc; /* thousandths of a degree Celsius: the last reading that applies */
    int64_t water_s;     /* when it was read; 0: never, and water_mdegc is 0 */
    int64_t next_s;  /* next look; with eggs, the frames' last hour. Stays when it is past. 0: no
                        hour can be given, or the time to look is over */
    bool unanswered; /* the alarm for its present step was told; nobody acted on it or said OK */
};

struct desk_view_task {
    const char *kind; /* "water", "ready", "look", "white", "lift", "frames", "hatch", "food",
                         "care", "dry-food", "big", "nursery", "pond", "prepare", "stock", "grade",
                         "harvest", "air", "source" */
    int64_t subject;  /* the number of a spawn, a pond or a pond's cycle; 0 of the hatchery */
    struct desk_view_tag tag; /* of it; {0} of the hatchery */
    int64_t due_s;            /* when it is to be done, or begun */
    int64_t hour_s; /* the hour that it is about: of water and ready the look's, of lift and frames
                       the frames' last hour; else due_s again. 0: water without an hour */
    bool late;      /* its hour is DESK_VIEW_LATE_MIN or more ago and nobody acted on it */
    const char *told; /* how far its texts came, the best of several: "answered", "delivered",
                         "sent", "waiting", "failed" (all of them); "" none was written */
};

struct desk_view_farm {
    int64_t id;
    struct slice name, zone;
    bool unreadable; /* its ledger or its zone cannot be read: no spawns or tasks are shown */
    struct desk_view_person *people; /* by role, then id */
    int people_count;
    struct desk_view_spawn *spawns; /* open ones, in the order of injection */
    int spawn_count;
    struct desk_view_task *tasks; /* not yet acted on, due by now or within DESK_VIEW_AHEAD_H; by
                                     due_s. Whether they were told does not matter */
    int task_count;
};
/* ERR_NOT_FOUND: no such farm. */
enum err desk_view_farm(struct desk *d, int64_t farm, int64_t now_s, struct arena *a,
                        struct desk_view_farm *out) MUST_LOOK;

/* -- all farms ----------------------------------------------------------------------------------
 */
struct desk_view_farm_row {
    int64_t id;
    struct slice name;
    bool unreadable; /* spawns and tasks are 0 then */
    int open_spawns;
    int late_tasks;
    int64_t texts_waiting; /* not yet sent */
};
/* In the order of id, from the first above after_id (0: from the beginning). A slice may be shorter
 * than `limit`, as farms that are not in memory take time to read; the list has ended when a slice
 * is empty. */
enum err desk_view_farms(struct desk *d, int64_t after_id, int limit, int64_t now_s,
                         struct arena *a, struct desk_view_farm_row **out, int *count) MUST_LOOK;

/* -- texts --------------------------------------------------------------------------------------
 */
struct desk_view_text {
    int64_t id;     /* to go on behind it */
    bool out;       /* from us */
    int64_t at_s;   /* when it came, or was written */
    int64_t person; /* 0 none */
    struct log_phone phone;
    struct slice body;   /* empty once purged */
    const char *fate;    /* came in: "read", "aside" (not read, apologised for), "strange" (of no
                            farm), "limited" (too many in an hour), "ignored" (a machine, an echo).
                            From us: "waiting", "sent", "delivered", "failed" (its receipt says so),
                            "never" (could not be sent), "expired" (past its last useful hour) */
    int64_t tries;       /* of one from us */
    struct slice reason; /* why the last try failed, "" none */
};
/* A farm's texts of both ways, of one person (0: of everybody), newest first; at the same second
 * those from us first, as an answer follows its question. Begins behind the text `before` (0: with
 * the newest). ERR_NOT_FOUND: no such text on this farm. */
enum err desk_view_conversation(struct desk *d, int64_t farm, int64_t person, int64_t before,
                                int limit, struct arena *a, struct desk_view_text **out,
                                int *count) MUST_LOOK;

struct desk_view_wait {
    int64_t farm, person; /* 0 none (a stranger) */
    struct log_phone phone;
    const char *level; /* "alarm", "answer", "step", "routine" */
    int64_t made_s;
    int64_t next_s;   /* not tried before */
    int64_t useful_s; /* not sent after it; INT64_MAX always */
    int64_t tries;
    struct slice reason; /* why the last try failed, "" none */
};
/* Texts of all farms that are not yet sent, those under way included: by level, then next_s. */
enum err desk_view_waiting(struct desk *d, int limit, struct arena *a, struct desk_view_wait **out,
                           int *count) MUST_LOOK;

#endif
