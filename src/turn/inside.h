/* inside: what the files of the turn room share. */
#ifndef TURN_INSIDE_H
#define TURN_INSIDE_H

#include "reply/reply.h"
#include "turn/turn.h"

/* What a question asks: a slot, or (from CONFIRM_BASE on) a yes to one doubt. */
enum {
    CONFIRM_BASE = 100,
    CONFIRM_OPEN = 1,   /* a second injection while one is open */
    CONFIRM_FEMALE = 2, /* a female outside the good weights */
    CONFIRM_WATER = 4,  /* a jump of her water, or water outside the table */
    CONFIRM_MOVES = 8,  /* a reading that moves the first look later */
    CONFIRM_WET = 16,   /* more eggs than a quarter of her */
    CONFIRM_LEANS = 32  /* an undo with something leaning on it */
};

/* -- saying ------------------------------------------------------------------------------------ */
#define TURN_SAY(turn, id, ...) turn_say((turn), &(struct reply){REPLY_##id, {__VA_ARGS__}})
/* An answer to the sender; a second one in the same turn is joined to the first by a space. */
void turn_say(struct turn *t, const struct reply *reply);
struct slice turn_render(struct turn *t, int person, const struct reply *reply);
void turn_send(struct turn *t, int person, enum level level, struct task_key key, int64_t useful_s,
               struct slice body);
int turn_language(const struct turn *t, int person);
struct turn_person *turn_sender(struct turn *t);
void turn_about(struct turn *t, int person, enum about_kind kind, int64_t subject,
                struct slice data);

/* Asks for one slot, or (code >= CONFIRM_BASE) for a yes. The request waits with all it has. */
void turn_ask(struct turn *t, const struct request *r, int code, const struct reply *reply);
void turn_open_question(struct turn *t, int64_t person, const struct request *r, int64_t base_s,
                        int code, int64_t message);
#define TURN_ASK(turn, request, code, id, ...)                                                     \
    turn_ask((turn), (request), (code), &(struct reply){REPLY_##id, {__VA_ARGS__}})

bool turn_question_open(const struct turn *t); /* the sender has one, not yet over */
/* Yes, no or a bare value to it. */
void turn_answer_question(struct turn *t, const struct request *bare);

/* -- told -------------------------------------------------------------------------------------- */
void turn_told(struct turn *t, struct task_key key, int64_t person, int64_t hour_s,
               enum outcome outcome);
/* The sender's answer named this hour of a task. */
void turn_said(struct turn *t, enum task_kind kind, const struct spawn *s, int64_t hour_s);
/* Those who were told another hour are told the new one, once. */
void turn_tell_moved(struct turn *t);
void turn_tell_due(struct turn *t);
void turn_do_ok(struct turn *t, const struct request *r);

/* -- recording --------------------------------------------------------------------------------- */
void turn_record(struct turn *t, enum entry_kind kind, enum subject_kind subject_kind,
                 int64_t subject, int64_t at_s, int64_t v0, int64_t v1, int64_t v2);
/* Appends what was recorded to the farm; false when it failed (t->e). */
bool turn_commit(struct turn *t);

/* -- filling slots: false when an answer (a question, a refusal) was given instead ----------------
 */
bool turn_fill_female(struct turn *t, const struct request *r);
/* The instant of a report: the hour it names, else when it was sent. */
bool turn_fill_instant(struct turn *t, const struct request *r, int64_t *at_s);
bool turn_fill_water(const struct request *r, int64_t *mdegc);
enum spawn_stage { SPAWN_BEFORE, SPAWN_EGGS, SPAWN_ANY };
const struct spawn *turn_fill_spawn(struct turn *t, struct request *r, enum spawn_stage stage,
                                    int64_t at_s);
struct tag turn_tag(const struct spawn *s);

/* -- kinds of request ----------------------------------------------------------------------------
 */
void turn_judge(struct turn *t, struct request *r);
void turn_do_inject(struct turn *t, struct request *r);
void turn_do_plan(struct turn *t, struct request *r);
void turn_do_temp(struct turn *t, struct request *r);
void turn_do_wait(struct turn *t, struct request *r);
void turn_do_no_eggs(struct turn *t, struct request *r);
void turn_do_strip(struct turn *t, struct request *r);
void turn_do_white(struct turn *t, struct request *r);
void turn_do_frames(struct turn *t, struct request *r);
void turn_do_undo(struct turn *t, const struct request *r);
void turn_do_why(struct turn *t, struct request *r);
void turn_do_today(struct turn *t);
void turn_do_help(struct turn *t, const struct request *r);
void turn_do_language(struct turn *t, const struct request *r);

/* By when most are ready: one and a half times the way to the first look. Where later readings
 * leave the table, the water of the first look is taken to hold. */
int64_t turn_most(const struct spawn *s, const struct latency *l);

/* An hour behind another one: its day is named only when it differs. */
struct reply_value turn_until(const struct turn *t, int64_t first_s, int64_t until_s);

/* No hour can be given for this spawn: says so by its last reading. */
void turn_say_no_hour(struct turn *t, const struct spawn *s);

/* The latest hour told to a person of a task, 0 none. */
int64_t turn_hour_told(const struct turn *t, struct task_key key, int64_t person);

#endif
