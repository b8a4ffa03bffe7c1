/* inside: what the files of the turn room share. */
#ifndef TURN_INSIDE_H
#define TURN_INSIDE_H

#include "reply/reply.h"
#include "trade/larvae.h"
#include "turn/turn.h"

/* What a question asks: a slot, or (from CONFIRM_BASE on) a yes to one doubt. */
enum {
    CONFIRM_BASE = 100,
    CONFIRM_OPEN = 1,      /* a second injection while one is open */
    CONFIRM_FEMALE = 2,    /* a female outside the good weights */
    CONFIRM_WATER = 4,     /* a jump of her water, or water outside the table */
    CONFIRM_MOVES = 8,     /* a reading that moves the first look later */
    CONFIRM_WET = 16,      /* more eggs than a quarter of her */
    CONFIRM_LEANS = 32,    /* an undo with something leaning on it */
    CONFIRM_MANY = 64,     /* more larvae or fish than there can be */
    CONFIRM_REST = 128,    /* a female that has not rested, or is too young */
    CONFIRM_DEAD = 256,    /* a tag whose fish has died: another one */
    CONFIRM_FULL = 512,    /* a pond that has fish in it */
    CONFIRM_SIZE = 1024,   /* a pond, tank or weight out of the usual */
    CONFIRM_OTHERS = 2048, /* an undo of what another person said */
    CONFIRM_SELF = 4096,   /* the female herself has died, not her larvae */
    CONFIRM_OLD = 8192,    /* an undo of what was said long ago */
    CONFIRM_HOUR = 16384,  /* an hour put right by very much */
    CONFIRM_DENSE = 32768, /* more fish than could live in a pond of that size */
    CONFIRM_EACH = 65536,  /* a weight beside a count: of each */
    CONFIRM_END = 131072   /* a watcher's report that he could not take back again */
};

/* -- saying ------------------------------------------------------------------------------------ */
#define TURN_SAY(turn, id, ...) turn_say((turn), &(struct reply){REPLY_##id, {__VA_ARGS__}})
/* An answer to the sender; a second one in the same turn is joined to the first. */
void turn_say(struct turn *t, const struct reply *reply);
struct slice turn_render(struct turn *t, int person, const struct reply *reply);
struct slice turn_render_in(struct turn *t, int language, const struct reply *reply);
/* "Creek: " and the body. */
struct slice turn_with_farm(struct turn *t, int language, struct slice farm, struct slice body);
/* A person of several farms gets the farm's name in front. */
void turn_send(struct turn *t, int person, enum level level, struct task_key key, int64_t useful_s,
               struct slice body);
/* Never with it: the text says itself which farm it is about. */
void turn_send_plain(struct turn *t, int person, enum level level, int64_t useful_s,
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
/* Of one who is on the farm; -1: he is not. */
int turn_person_index(const struct turn *t, int64_t id);
/* Those who were told another hour are told the new one, once. */
void turn_tell_moved(struct turn *t);
/* The sender's text was about something that he was told to do: he is not silent. */
void turn_hear(struct turn *t);
/* Ponds whose fry will not come by what the sender just said: to him in the answer. Those who were
 * told so and whose fry come after all are told that. The others are due (turn_tell_due). */
void turn_tell_no_fry(struct turn *t);
void turn_tell_due(struct turn *t);
/* Who knows of a pond's preparing. */
bool turn_knows_pond(const struct turn *t, const struct pond *pond, int64_t person);
/* One more wake for what is told in the morning. */
void turn_wake_later(struct turn *t);
/* Who is on the farm, as the plan takes them; room for people_count. Returns how many. */
int turn_hands(const struct turn *t, struct plan_hand *out);
void turn_do_ok(struct turn *t, const struct request *r);

/* -- due ---------------------------------------------------------------------------------------
 */
enum {
    DUE_GROUP_MAX = 16,   /* tasks of one routine text */
    DUE_TOGETHER_MAX = 3, /* females looked at together */
    DUE_PONDS_MAX = 64,   /* ponds of one text */
    DUE_PONDS_MANY = 16,  /* the same on a farm of many people: a text's rows must find room */
    LINES_PARTS = 2       /* parts that a list may take */
};
/* The text of tasks told together. `stage` is that of the wording: an owner who is the hand gets
 * the repeated alarm, not the call to call himself. */
struct slice turn_due_text(struct turn *t, const struct task *const *group, int n,
                           enum task_stage stage, int person, int64_t heard_s);
/* The same of ponds; `alike`: two of their tasks go out as one text. */
struct reply turn_due_pond(struct turn *t, const struct task *const *group, int n, int person);
bool turn_due_alike(struct turn *t, const struct task *a, const struct task *b);
int turn_due_most(struct turn *t, const struct task *task, int most); /* in one text */
/* Lines one below the other, as many as fit LINES_PARTS, then how many more there are. */
struct slice turn_lines(struct turn *t, int person, const struct slice *lines, int n);

/* Larvae thought alive at an instant, with the range (spawn_tally). */
struct larvae_range turn_larvae(const struct spawn *s, int64_t at_s);
/* The same by what had happened until then: a report that comes late is judged so. */
struct larvae_range turn_larvae_then(struct turn *t, const struct spawn *s, int64_t at_s);
/* The most that could be there by then, if nobody died but those reported: more is asked about. */
int64_t turn_larvae_most(struct turn *t, const struct spawn *s, int64_t at_s);
/* The frames may still be in: nothing was said of them, and if larvae were, they are not a week
 * old, when whoever feeds them has long had the frames out (a rule of this program). */
bool turn_frames_in(const struct turn *t, const struct spawn *s);
/* A count on two figures: more would be false precision. */
int64_t turn_two_figures(int64_t count);
/* What to do without air, by what is in the tanks; `again`: asked after half an hour. */
struct reply turn_air_advice(const struct turn *t, bool again);

/* -- recording --------------------------------------------------------------------------------- */
void turn_record(struct turn *t, enum entry_kind kind, enum subject_kind subject_kind,
                 int64_t subject, int64_t at_s, int64_t v0, int64_t v1, int64_t v2);
/* The same with all values; seq, said, message, person and version are given here. */
void turn_record_entry(struct turn *t, struct entry entry);
/* Appends what was recorded to the farm; false when it failed (t->e). */
bool turn_commit(struct turn *t);

/* -- filling slots: false when an answer (a question, a refusal) was given instead ----------------
 */
bool turn_fill_female(struct turn *t, const struct request *r);
/* The instant of a report: the hour it names, else when it was sent. */
bool turn_fill_instant(struct turn *t, const struct request *r, int64_t *at_s);
bool turn_fill_water(const struct request *r, int64_t *mdegc);
/* The farm as it stood at an instant by all that is known now; the farm's own state when nothing
 * happened since. */
const struct farm_state *turn_then(struct turn *t, int64_t at_s);
enum spawn_stage {
    SPAWN_BEFORE, /* injected, not stripped */
    SPAWN_EGGS,   /* stripped, frames not out */
    SPAWN_LARVAE, /* frames out, or larvae were reported, or half had hatched by then */
    SPAWN_BROOD,  /* eggs or larvae */
    SPAWN_ANY
};
bool turn_spawn_fits(const struct spawn *s, enum spawn_stage stage, int64_t at_s);
/* The spawn that a report is about: the newest of that tag that fits, else the only one that does,
 * else asked. A female stripped into another's bowl stands for that bowl. */
const struct spawn *turn_fill_spawn(struct turn *t, struct request *r, enum spawn_stage stage,
                                    int64_t at_s);
struct tag turn_tag(const struct spawn *s);
/* "F3 F4": the tags of the living brood fish of one sex. */
struct slice turn_brood_tags(struct turn *t, enum sex sex);
/* No such fish here: says which there are. */
void turn_refuse_tag(struct turn *t, struct tag tag);

/* No fish lives in such water: refused. */
bool turn_impossible_water(struct turn *t, int64_t mdegc);
/* The last reading before the instant, if it is fresh; else NULL. The second: the hatchery's. */
const struct water_reading *turn_fresh_reading(const struct water_log *log, int64_t at_s);
const struct water_reading *turn_fresh_water(const struct turn *t, int64_t at_s);
/* -- may it be: a first report and what puts one right are judged alike. False: it was refused or
 * asked. `r` has the value and what was confirmed. */
bool turn_eggs_fit(struct turn *t, const struct request *r, struct tag tag, int64_t females_mg,
                   int64_t eggs_mg);
bool turn_white_fits(struct turn *t, int64_t white, int64_t of);
bool turn_fertile_fits(struct turn *t, int64_t good, int64_t of);
/* These fill the entry's values. */
bool turn_hatch_fits(struct turn *t, const struct request *r, const struct spawn *s,
                     struct entry *n);
bool turn_catch_fits(struct turn *t, const struct request *r, const struct cycle *c,
                     struct entry *n);
bool turn_stock_fits(struct turn *t, const struct request *r, struct entry *n);
/* Graded, died, counted, sold. */
bool turn_larvae_fit(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                     enum entry_kind kind, int64_t count);
bool turn_fish_fit(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s,
                   enum entry_kind kind, int64_t count);
bool turn_reading_fits(struct turn *t, const struct request *r, const struct entry *n,
                       int64_t mdegc);
/* A weight of a brood fish that can be and is meant. */
bool turn_fish_weight(struct turn *t, const struct request *r, int64_t weight_mg);
/* *fish NULL when it is another one with a tag used before; asked when the old one has died, or is
 * said to be new and has not. */
bool turn_fish_alive(struct turn *t, const struct request *r, const struct brood **fish);
enum sex turn_sex(struct tag tag);
int64_t turn_rested_s(const struct brood *fish); /* 0: never spawned here */
/* Nothing can be said of eggs before they were taken: true, an answer was given. */
bool turn_before_strip(struct turn *t, const struct spawn *s, int64_t at_s);
struct slice turn_donors(struct turn *t, int64_t female_mg);
struct tag turn_tank_tag(int number);
/* Fewer counted than a tenth of what was thought: asked. */
bool turn_too_few(struct turn *t, const struct request *r, struct tag tag, int64_t thought);
void turn_warn_tank(struct turn *t, const struct spawn *s, int64_t larvae);
/* What swam in the pond at an instant; NULL nothing. */
const struct cycle *turn_cycle_then(const struct farm_state *st, int pond, int64_t at_s);
/* The cycle whose harvested fish wait in a net at an instant: the last one that the pond had, not
 * long ago. NULL: none, or none of them is left. */
const struct cycle *turn_net_then(const struct farm_state *st, int pond, int64_t at_s);
/* A pond that is known, else a refusal or a question. */
const struct pond *turn_fill_pond(struct turn *t, struct request *r);
void turn_refuse_pond(struct turn *t, struct tag tag);
struct tag turn_pond_tag(int number);
void turn_say_lime(struct turn *t, const struct pond *pond);

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
void turn_do_fix(struct turn *t, struct request *r);
void turn_do_trouble(struct turn *t, const struct request *r);
void turn_do_air(struct turn *t, const struct request *r);
void turn_do_fertile(struct turn *t, struct request *r);
void turn_do_spoilt(struct turn *t, struct request *r);
void turn_do_hatch(struct turn *t, struct request *r);
void turn_do_fed(struct turn *t, struct request *r);
/* Of larvae (a female's tag) or of a pond's fish: the tag's letter decides (turn.c). */
void turn_grade_larvae(struct turn *t, struct request *r);
void turn_dead_larvae(struct turn *t, struct request *r);
void turn_count_larvae(struct turn *t, struct request *r);
void turn_sell_larvae(struct turn *t, struct request *r);
void turn_grade_pond(struct turn *t, struct request *r);
void turn_dead_pond(struct turn *t, struct request *r);
void turn_count_pond(struct turn *t, struct request *r);
void turn_sell_pond(struct turn *t, struct request *r);
void turn_dead_brood(struct turn *t, struct request *r);
void turn_do_brood(struct turn *t, struct request *r);
void turn_do_ready(struct turn *t);
void turn_do_dose(struct turn *t, struct request *r);
void turn_do_tank(struct turn *t, struct request *r);
void turn_do_source(struct turn *t, struct request *r);
void turn_do_pond(struct turn *t, struct request *r);
void turn_do_prep(struct turn *t, struct request *r);
void turn_do_stock(struct turn *t, struct request *r);
void turn_do_harvest(struct turn *t, struct request *r);
void turn_do_move(struct turn *t, struct request *r);

/* The text of an earlier message, "?" when it is gone, and when it was said. */
struct slice turn_message_text(struct turn *t, int64_t message);
int64_t turn_message_said(const struct turn *t, int64_t message);
/* Something that it recorded is in force. */
bool turn_message_stands(const struct turn *t, int64_t message);
void turn_do_why(struct turn *t, struct request *r);
void turn_do_today(struct turn *t);
void turn_do_help(struct turn *t, const struct request *r);
void turn_do_language(struct turn *t, const struct request *r);

/* -- people --------------------------------------------------------------------------------------
 */
void turn_do_add(struct turn *t, const struct request *r); /* WORKER, ADVISER, WATCHER */
void turn_do_remove(struct turn *t, const struct request *r);
void turn_do_code(struct turn *t, const struct request *r); /* CODE, JOIN */
/* The whole text is six digits: a code without its word. False: read on. */
bool turn_bare_code(struct turn *t, struct slice text);
void turn_do_farm(struct turn *t, const struct request *r);
void turn_do_hours(struct turn *t, const struct request *r);

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
