/* inside: what the files of the turn room share. */
#ifndef TURN_INSIDE_H
#define TURN_INSIDE_H

#include "farm/growing.h"
#include "reply/reply.h"
#include "trade/larvae.h"
#include "trade/money.h"
#include "trade/nursery.h"
#include "turn/turn.h"

/* What a question asks: a slot, or (from CONFIRM_BASE on) a yes to one doubt. */
enum {
    CONFIRM_BASE = 100,
    CONFIRM_OPEN = 1,         /* a second injection while one is open */
    CONFIRM_FEMALE = 2,       /* a female outside the good weights */
    CONFIRM_WATER = 4,        /* a jump of her water, or water outside the table */
    CONFIRM_MOVES = 8,        /* a reading that moves the first look later */
    CONFIRM_WET = 16,         /* more eggs than a quarter of her */
    CONFIRM_LEANS = 32,       /* an undo with something leaning on it */
    CONFIRM_MANY = 64,        /* more larvae or fish than there can be */
    CONFIRM_REST = 128,       /* a female that has not rested, or is too young */
    CONFIRM_DEAD = 256,       /* a tag whose fish has died: another one */
    CONFIRM_FULL = 512,       /* a pond that has fish in it */
    CONFIRM_SIZE = 1024,      /* a pond, tank or weight out of the usual */
    CONFIRM_OTHERS = 2048,    /* an undo of what another person said */
    CONFIRM_SELF = 4096,      /* the female herself has died, not her larvae */
    CONFIRM_OLD = 8192,       /* an undo or fix of what was said long ago */
    CONFIRM_HOUR = 16384,     /* an hour put right by very much, a day too soon */
    CONFIRM_DENSE = 32768,    /* more fish than could live in a pond of that size */
    CONFIRM_EACH = 65536,     /* a weight beside a count: of each */
    CONFIRM_END = 131072,     /* a watcher's report that he could not take back again */
    CONFIRM_GIVEN = 262144,   /* an amount behind FEED: it was given */
    CONFIRM_SHAPE = 524288,   /* a length that does not fit the weight, two weights turned
                               * round, fry that are heavier than fry */
    CONFIRM_EARLY = 1048576,  /* a strip long before any female could be ready */
    CONFIRM_GONE = 2097152,   /* all larvae are gone, asked when as many were sold as were there */
    CONFIRM_ORDER = 8388608,  /* an offer that was shown is taken, or an order called off */
    CONFIRM_NAME = 16777216,  /* money of a name not heard before */
    CONFIRM_TWICE = 33554432, /* the same sum of the same buyer again */
    /* no doubt answered, but a mark: what was shown has changed, an undo or fix shows it anew */
    CONFIRM_ANEW = 4194304,
    /* doubts about the value alone: they hold whatever is reported meanwhile */
    CONFIRM_VALUES = CONFIRM_FEMALE | CONFIRM_SELF | CONFIRM_EACH | CONFIRM_GIVEN | CONFIRM_SHAPE
};

/* -- saying ------------------------------------------------------------------------------------ */
#define TURN_SAY(turn, id, ...) turn_say((turn), &(struct reply){REPLY_##id, {__VA_ARGS__}})
/* An answer to the sender; a second one in the same turn is joined to the first. */
void turn_say(struct turn *t, const struct reply *reply);
#define TURN_SAY_MORE(turn, id, ...)                                                               \
    turn_say_more((turn), &(struct reply){REPLY_##id, {__VA_ARGS__}})
/* One sentence more, if the answer stays within two parts: the later ones matter less. */
void turn_say_more(struct turn *t, const struct reply *reply);
/* Two sentences as one text. */
struct slice turn_joined(struct turn *t, struct slice first, struct slice then);
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
void turn_say_dropped(struct turn *t);         /* what the open question waits with is not done */
/* Yes, no or a bare value to it. */
void turn_answer_question(struct turn *t, const struct request *bare);
/* Something was reported since about what the open question's request names. */
bool turn_changed_since(const struct turn *t, const struct request *r);

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
    DUE_TOGETHER_MAX = 3, /* females looked at together */
    DUE_SPAWNS_MAX = 8,   /* the same work on several spawns in one text ... */
    DUE_TAGS_MOST = 24,   /* ... with so many letters of tags */
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
/* One more spawn's task can be told in the text of these: the same words, and room for its tag. */
bool turn_due_spawns(struct turn *t, const struct task *const *group, int n,
                     const struct task *more);
int turn_due_most(struct turn *t, const struct task *task, int most); /* in one text */
/* Lines one below the other, as many as fit LINES_PARTS, then how many more there are; what was cut
 * off is kept for the person's MORE. */
struct slice turn_lines(struct turn *t, int person, const struct slice *lines, int n);
/* The same with so many more behind them that are only counted. */
struct slice turn_lines_behind(struct turn *t, int person, const struct slice *lines, int n,
                               int behind);
/* The same; the last line, where not all fit, is made from how many are shown. */
struct turn_more {
    struct reply (*line)(const void *of, int shown);
    const void *of;
    int units; /* kept for it */
};
struct slice turn_lines_more(struct turn *t, int person, const struct slice *lines, int n,
                             const struct turn_more *more);

/* One task as a line, or the same work on several spawns (turn_due_spawns). */
struct slice turn_due_line(struct turn *t, const struct task *const *group, int n, int person);

/* -- the morning (morning.c, week.c, show.c) ----------------------------------------------------
 */
bool turn_judge_morning(struct turn *t, struct request *r);
/* What is to be done today, as TODAY says it; empty: nothing. */
struct turn_day {
    int person;
    bool own;                        /* his own work only */
    int64_t until_s;                 /* what is due later is not of it */
    const struct task *const *tasks; /* routine that is told with it, in its own words if there is
                                        room for all */
    int task_count;                  /* up to DUE_PONDS_MAX */
    bool told;                       /* what has a text of its own now or had one is left out */
};
struct slice turn_day_text(struct turn *t, const struct turn_day *day);
/* The list of a person's morning with the routine of it; the week to an owner. */
struct slice turn_morning_text(struct turn *t, const struct task *const *tasks, int n, int person);
struct slice turn_sunday_text(struct turn *t, int person);
void turn_do_week(struct turn *t);
void turn_do_month(struct turn *t, const struct request *r);

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
/* Appends what was recorded since the last time to the farm; false when it failed (t->e), or when a
 * value cannot be, which was answered. */
bool turn_commit(struct turn *t);
/* Forgets what was recorded since then. */
void turn_drop(struct turn *t);

/* One word for several females (each.c). False: it is for one, or a kind of its own. */
bool turn_judge_each(struct turn *t, const struct request *r);

/* -- filling slots: false when an answer (a question, a refusal) was given instead ----------------
 */
bool turn_fill_female(struct turn *t, const struct request *r);
/* The instant of a report: the hour it names, else when it was sent. */
void turn_say_skipped(struct turn *t, const struct request *r);
bool turn_fill_instant(struct turn *t, const struct request *r, int64_t *at_s);
bool turn_fill_water(const struct request *r, int64_t *mdegc);
/* The farm as it stood at an instant by all that is known now; the farm's own state when nothing
 * happened since. */
/* The day that the text names, at its noon; today: when it was sent. False: it is to come or long
 * past, an answer was given. */
bool turn_past_day(struct turn *t, const struct request *r, int64_t *at_s);
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
/* Her eggs can be ripe by then. */
bool turn_strip_fits(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s,
                     int64_t eggs_mg);
/* Dead eggs are white by then. */
bool turn_white_shows(struct turn *t, const struct request *r, const struct spawn *s, int64_t at_s);
bool turn_white_fits(struct turn *t, int64_t white, int64_t of);
bool turn_fertile_fits(struct turn *t, int64_t good, int64_t of);
/* These fill the entry's values. */
bool turn_hatch_fits(struct turn *t, const struct request *r, const struct spawn *s,
                     struct entry *n);
bool turn_catch_fits(struct turn *t, const struct request *r, const struct cycle *c,
                     struct entry *n);
bool turn_sale_fits(struct turn *t, const struct request *r, const struct cycle *c,
                    struct entry *n);
bool turn_sample_fits(struct turn *t, const struct request *r, const struct cycle *c,
                      struct entry *n);
bool turn_stock_fits(struct turn *t, const struct request *r, struct entry *n);
/* Of larvae put straight into a pond: how many are thought to live to its harvest. */
struct nursery_range turn_direct_expected(const struct turn *t, const struct cycle *c);
/* Out of a nursery pond just stocked, which has room for `most` (0 not known). */
struct nursery_range turn_outcome(const struct turn *t, const struct cycle *c, int64_t most);
/* A stock that is put right has as many fish as have left it since; asked where it has not. */
bool turn_stock_covers(struct turn *t, const struct request *r, const struct entry *old,
                       const struct entry *was, const struct entry *now);
/* Graded, died, counted, sold; of fish stolen, too. */
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
/* The tank that she, or her eggs, were in at an instant; 0: not said. */
int turn_tank_then(const struct turn *t, const struct spawn *s, int64_t at_s);
/* Fewer counted than a tenth of the least thought alive: asked, the middle named. */
bool turn_too_few(struct turn *t, const struct request *r, struct tag tag, int64_t least,
                  int64_t middle);
void turn_warn_tank(struct turn *t, const struct spawn *s, int64_t larvae);
/* The same of all that is in a tank now; REPLY_COUNT: it holds them, or its size is not known. */
struct reply turn_tank_full(const struct turn *t, int64_t number);
/* What swam in the pond at an instant; NULL nothing. */
const struct cycle *turn_cycle_then(const struct farm_state *st, int pond, int64_t at_s);
/* The cycle whose harvested fish wait in a net at an instant: the last one that the pond had, not
 * long ago. NULL: none, or none of them is left. */
const struct cycle *turn_net_then(const struct farm_state *st, int pond, int64_t at_s);
/* The instant of a report, and the pond's fish that it is about, those of a former cycle too; NULL:
 * an answer was given. */
const struct cycle *turn_fill_cycle(struct turn *t, struct request *r, int64_t *at_s);
/* Of fish that are no longer there nothing is left to do: true, only noted. */
bool turn_said_late(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s);
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
/* YES or NO to "Is the air back?", the last thing that this phone was asked. */
bool turn_answers_air(const struct turn *t, const struct request *r);
bool turn_judge_air(struct turn *t, const struct request *r);
/* Degrees alone, where the water of several females was asked for and not said: asked of which. */
bool turn_judge_degrees(struct turn *t, const struct request *r);
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

/* -- water of ponds and tanks (pond_water.c, gasp.c, pond_day.c) ----------------------------------
 */
bool turn_judge_pond_water(struct turn *t, struct request *r);
void turn_do_gasp(struct turn *t, struct request *r);
/* The pond's fish were said to gasp within the last hours. */
bool turn_gasped(const struct turn *t, struct tag tag);
void turn_do_treated(struct turn *t, struct request *r);
void turn_do_catch(struct turn *t, struct request *r);
void turn_do_height(struct turn *t, struct request *r);
/* A reading put right: what it is now and what to do about it. */
void turn_say_reading(struct turn *t, const struct entry *n);
void turn_why_water(struct turn *t, const struct about *about);
/* Said by the answer: a value of these that no water has. */
bool turn_impossible_reading(struct turn *t, const struct request *r);
bool turn_impossible_ph(struct turn *t, int64_t ph_milli); /* of water or soil */
/* A reading of a tank's degrees that is asked back before it is recorded: true, it was asked. */
bool turn_tank_water_asks(struct turn *t, const struct request *r, struct tag tank, int64_t at_s,
                          int64_t mdegc);
/* A twentieth of the fish at once, or the third day of ever more dead: first aid and word to the
 * owner; `dead` of this report, `before` it so many lived. False: no such thing. */
bool turn_mass_death(struct turn *t, const struct cycle *c, int64_t at_s, int64_t dead,
                     int64_t before);
/* Sent at once to every owner but the sender; when no owner listens and none asked, to the
 * advisers. How many got it. */
int turn_alert_owner(struct turn *t, const struct reply *reply);

/* -- feed (feed.c, store.c) ----------------------------------------------------------------------
 */
bool turn_judge_feed(struct turn *t, struct request *r);
bool turn_judge_store(struct turn *t, struct request *r);

/* Feed as it was said: weighed, or so many of a measure. */
struct turn_amount {
    int64_t weight_mg;
    enum measure_kind measure; /* 0: weighed */
    int64_t milli;             /* measures, in thousandths */
    int64_t holds_mg;          /* what one of them holds when this text says it first; else 0 */
};
/* Which feed is meant, as a party id; 0: not said. One that was named and is not known is refused
 * with those that are, or made when `is_new` allows it. None named: the only one known, or what the
 * pond (NULL none) got last. False: an answer was given. */
bool turn_fill_feed(struct turn *t, struct request *r, const struct pond *pond, bool is_new,
                    int64_t *feed);
/* How much, at the instant: what a measure holds is asked where nobody said it yet. False: an
 * answer was given. */
bool turn_fill_amount(struct turn *t, struct request *r, int64_t feed, int64_t at_s,
                      struct turn_amount *amount);
/* Records what a measure holds where the amount brought it; before the amount itself. */
void turn_record_holds(struct turn *t, const struct turn_amount *amount, int64_t feed,
                       int64_t at_s);
/* "bran"; the person's word for feed when it is 0. */
struct slice turn_feed_name(struct turn *t, int person, int64_t feed);
/* "3 tins = 1.05kg"; "1.05kg" when it was weighed. */
struct slice turn_amount_text(struct turn *t, int person, const struct turn_amount *amount);
struct reply_value turn_measures(enum measure_kind measure, int64_t milli);
/* Feeds that were ever bought, counted, given or measured, as party ids; how many. */
int turn_feeds(const struct turn *t, int64_t *feeds, int most);
struct slice turn_feed_names(struct turn *t); /* "bran, pellets": those */
/* The only feed known, else what the pond got last; 0 neither. */
/* That of the name, one more or less s; 0: none here. */
int64_t turn_feed_known(const struct turn *t, struct slice name);
int64_t turn_feed_usual(const struct turn *t, const struct pond *pond);
enum { TURN_FEEDS_MAX = 12, TURN_LEFT_MAX = 64 };
/* Given to a cycle on the local day of the instant. */
int64_t turn_fed_day(const struct turn *t, const struct cycle *c, int64_t at_s);
/* Fed by the nursery's line: stocked as fry or larvae, and no fingerlings yet. */
bool turn_is_nursery(const struct farm_state *st, const struct cycle *c, int64_t at_s);
/* That line on the local day of the instant, with what was left of it. */
struct nursery_feed turn_nursery_feed(const struct turn *t, const struct cycle *c, int64_t at_s);
/* Of body weight a day by the farm's own table, at such a weight; -1: it has none. */
int64_t turn_share_ppm(const struct farm_state *st, int64_t weight_mg);
/* The weight of what was said of feed, put right by a text; false: it cannot be. */
bool turn_feed_again(struct turn *t, const struct request *r, const struct entry *old,
                     int64_t *weight_mg);
bool turn_feed_new(const struct turn *t, int64_t feed); /* beside others that are known */
void turn_do_blend(struct turn *t, const struct request *r);
void turn_why_feed(struct turn *t, const struct pond *pond);
void turn_why_store(struct turn *t, int64_t feed);
void turn_why_blend(struct turn *t, struct slice data);
/* What the pond needs on each day from today on. False: it is empty, or what its fish weigh is not
 * known. */
bool turn_rations_ahead(struct turn *t, const struct pond *pond, int days, int64_t *ration_mg);

/* -- today's ration (ration.c, table.c) ----------------------------------------------------------
 */
bool turn_judge_ration(struct turn *t, struct request *r);
void turn_do_table(struct turn *t, struct request *r);
/* One line for each pond that is fed, brood ponds too, in their order, and its number; how many. */
int turn_ration_lines(struct turn *t, struct reply *lines, int *numbers, int room);
/* That the pond's fish get nothing now and why, as TODAY says it; false: they are fed. */
bool turn_no_feed(struct turn *t, const struct pond *pond, struct reply *line);
/* Behind what was given at an instant of today: what of the ration is not given yet, or why no more
 * is to be. Nothing where no ration is known. */
void turn_say_ration_left(struct turn *t, const struct pond *pond, int64_t at_s);
/* Behind a stocking: what they get today, and the look at dawn. */
void turn_say_ration_first(struct turn *t, const struct pond *pond);
void turn_why_ration(struct turn *t, const struct pond *pond);
/* Feed a day of the brood fish in a pond, and how many there are. */
int64_t turn_brood_feed(const struct farm_state *st, int pond, int *fish);
/* Brood fish are in the pond that is named, and no others. */
bool turn_brood_alone(const struct turn *t, const struct request *r);
void turn_say_brood_left(struct turn *t, int pond, int64_t at_s);
void turn_say_brood_pond(struct turn *t, struct tag tag);
/* The size of a pond with brood fish, noted. False: it has none, or its size is not known whole. */
bool turn_say_brood_shape(struct turn *t, const struct pond *pond);
/* GAVE for a pond of brood fish alone. False: it is none, or other fish were in it then. */
bool turn_gave_brood(struct turn *t, struct request *r);
/* More than its fish eat in a day: asked, true. */
bool turn_feed_too_much(struct turn *t, const struct request *r, int pond, int64_t at_s,
                        int64_t weight_mg);

/* -- fish (fish.c, growth.c, status.c) -----------------------------------------------------------
 */
bool turn_judge_fish(struct turn *t, struct request *r);
bool turn_judge_status(struct turn *t, struct request *r);
/* A tag and nothing else: it asks where that stands. */
bool turn_tag_alone(const struct request *r);
void turn_do_growth(struct turn *t, struct request *r);
void turn_do_merge(struct turn *t, struct request *r);
void turn_why_growth(struct turn *t, const struct cycle *c);
/* A sample put right: what it says now. False: the fish are out, nothing is said. */
bool turn_say_sample(struct turn *t, const struct entry *n);
/* How much feed went in and for how much growth, where feed was reported. */
void turn_say_fcr(struct turn *t, const struct cycle *c, int64_t at_s);
/* "850" when it is exact, "about 850", "about 850 (700-960)" where the range is wider than a fifth
 * of it; the same for a weight that is reckoned. */
struct slice turn_fish_text(struct turn *t, struct survival_range fish);
struct slice turn_mean_text(struct turn *t, struct growth_range mean_mg);
/* How many are thought alive in the pond now, as a text. */
struct slice turn_left_text(struct turn *t, const struct cycle *c);
/* Fingerlings and larger ones, of which more is said than of fry. */
bool turn_grown(const struct cycle *c, int64_t at_s);
struct sample;
/* A mean that the fish can have by now, from what they weighed last; else asked. `times` 1 for a
 * sample, more for a catch, which is sorted. */
bool turn_mean_possible(struct turn *t, const struct request *r, const struct cycle *c,
                        const struct sample *s, int times, int64_t at_s);
/* More are reported than the most that can be thought alive at that instant: asked. */
bool turn_too_many(struct turn *t, const struct request *r, const struct cycle *c, int64_t at_s,
                   int64_t count);
/* Noon of the day that a date or a word names, today or to come within DAYS_AHEAD_MOST; one without
 * its year that is lately past is past, not next year's. False: there is none, or it is past or too
 * far: an answer was given. */
enum { DAYS_AHEAD_MOST = 400 };
bool turn_named_day(struct turn *t, const struct request *r, int64_t *day_s);
/* The steps of an injected female or her eggs within a day, as TODAY says them; how many. */
int turn_spawn_steps(struct turn *t, const struct spawn *s, struct reply *out, int room);
/* The next step of a subject and its instant, as TODAY says it. False: none is planned. */
bool turn_next_step(struct turn *t, enum subject_kind kind, int64_t subject, struct reply *step,
                    int64_t *at_s);

/* The text of an earlier message, "?" when it is gone, and when it was said. */
struct slice turn_message_text(struct turn *t, int64_t message);
int64_t turn_message_said(const struct turn *t, int64_t message);
/* Something that it recorded is in force. */
bool turn_message_stands(const struct turn *t, int64_t message);
void turn_do_why(struct turn *t, struct request *r);
void turn_do_today(struct turn *t);
void turn_do_help(struct turn *t, const struct request *r);
void turn_do_language(struct turn *t, const struct request *r);

/* -- orders (order.c, order_list.c, season.c, due_order.c) ---------------------------------------
 */
bool turn_judge_order(struct turn *t, struct request *r);
void turn_why_order(struct turn *t, const struct about *about);
/* "order 3 4000": the reader has no second plain number. True: the doubt is none. */
bool turn_order_again(struct text_result *read);
/* Fish sold to a buyer count for her open orders, the earliest day first, each up to what is left
 * of it; fish of a quarter of an order's size or less are not of it (mean_mg 0: not known).
 * Recorded in the sale's message, before it is committed; said after. */
enum { TURN_DELIVERIES_MAX = 4 };
struct turn_delivery {
    int64_t orders[TURN_DELIVERIES_MAX], fish[TURN_DELIVERIES_MAX];
    int count; /* 0: the buyer (party id, 0 not said) has no open order */
};
void turn_delivers(struct turn *t, int64_t buyer, int64_t count, int64_t mean_mg, int64_t at_s,
                   struct turn_delivery *out);
void turn_say_delivered(struct turn *t, const struct turn_delivery *delivery);
/* The text of a task of orders and plans, up to two parts; false: it is of something else. */
bool turn_due_order(struct turn *t, const struct task *task, int person, struct slice *text);
/* Its line of TODAY; REPLY_COUNT: there is none. */
struct reply turn_today_order(struct turn *t, const struct task *task);

/* -- money (money.c, price.c, cost.c, sale.c, rates.c) --------------------------------------------
 */
bool turn_judge_money(struct turn *t, struct request *r);
void turn_do_price(struct turn *t, struct request *r);
void turn_do_cost(struct turn *t, struct request *r);
void turn_do_paid(struct turn *t, struct request *r);
void turn_do_owes(struct turn *t, const struct request *r);
void turn_do_rates(struct turn *t, const struct request *r);
void turn_why_account(struct turn *t, const struct about *about);
void turn_why_rates(struct turn *t);
/* Lines for a month or a week of the owner: what it cost and brought, what buyers owe now. None for
 * another person, or where no money was ever texted. How many. */
int turn_money_lines(struct turn *t, int person, int64_t from_s, int64_t to_s, struct reply *lines,
                     int room);

/* A sum of the farm's currency as people write it, "1500", "-20.50"; without its code. */
struct slice turn_money_text(struct turn *t, int64_t minor); /* to the sender */
struct slice turn_money_text_for(struct turn *t, int person, int64_t minor);
struct slice turn_currency_code(const struct turn *t); /* "UGX"; empty: not said */
/* The sum that a text names, in the smallest unit, and its currency checked: the farm's, or the one
 * that the owner's text names first. False: refused or asked, nothing is recorded. */
bool turn_fill_money(struct turn *t, const struct request *r, int64_t *minor);
/* The farm's currency, where this text is the first to name it; before the sum itself. */
void turn_record_currency(struct turn *t, const struct request *r, int64_t at_s);
/* Of one and so many: within what is kept, else refused. */
bool turn_money_fits(struct turn *t, struct money sum, int64_t *minor);
/* The same sum for each, or for a kilogram, with what it is for: "2500 a kg". */
struct slice turn_price_text(struct turn *t, const struct price *price);
/* Of a part of a text, by PRICE sms; NULL: not said. */
const struct price *turn_price_sms(const struct turn *t);
/* The owner alone sees money and sets what it is worth; a watcher reports none. True: refused. */
bool turn_money_hidden(struct turn *t);
bool turn_money_watched(struct turn *t);

/* Of those who bought, paid or ordered: 0 nobody of that name. */
int64_t turn_buyer_known(const struct turn *t, struct slice name);
struct slice turn_party_shown(struct turn *t, int64_t party); /* "Mary Wanjiku" */
struct slice turn_name_shown(struct turn *t, struct slice name);

/* What was sold or bought, for the money beside it. */
struct turn_sold {
    enum subject_kind of;
    int64_t subject, at_s;
    int64_t count;     /* 0: nobody counted */
    int64_t thought;   /* the same, but where nobody counted what was thought to be there */
    int64_t weight_mg; /* of all; 0 not weighed */
    int64_t mean_mg;   /* what one is thought to weigh, 0 not known */
};
struct turn_sale {
    struct turn_sold sold;
    bool booked, paid;
    bool unsaid;   /* neither PAID nor OWES was said */
    bool is_new;   /* the buyer */
    bool unkept;   /* a sum was said and is not kept */
    int64_t buyer; /* 0 not said */
    int64_t minor;
    struct price price; /* minor 0: the sum was said */
    struct turn_delivery delivery;
};
/* The money of a sale, judged before anything is recorded. False: an answer was given. */
bool turn_fill_sale(struct turn *t, struct request *r, const struct turn_sold *sold,
                    struct turn_sale *sale);
/* Before the sale's own entry, so that a fix by the pond's tag finds that first. */
void turn_record_sale(struct turn *t, const struct request *r, struct turn_sale *sale);
void turn_say_sale(struct turn *t, const struct turn_sale *sale); /* behind its answer */
/* A count beside a weight that is more fish than there can be: money, perhaps. True: refused. */
bool turn_sale_unclear(struct turn *t, const struct request *r, struct tag pond, int64_t most);
/* False: the same stands within the hour, and it was asked. `money`: what is booked beside it. */
bool turn_sale_once(struct turn *t, const struct request *r, const struct entry *n,
                    const struct entry *money);
bool turn_say_sale_doubt(struct turn *t, const struct text_result *read);
/* What feed cost, by the sum said or by the farm's price. False: an answer was given. */
bool turn_fill_feed_cost(struct turn *t, const struct request *r, int64_t feed, int64_t at_s,
                         const struct turn_amount *amount, struct turn_sale *cost);
void turn_record_feed_cost(struct turn *t, const struct request *r, int64_t feed, int64_t at_s,
                           const struct turn_amount *amount, const struct turn_sale *cost);
void turn_say_feed_cost(struct turn *t, const struct turn_sale *cost);
void turn_say_sum_stays(struct turn *t); /* behind a fix of a text with a sum beside its goods */
/* What a fix of a sale or of feed bought changes in the entries beside it. */
void turn_fix_beside(struct entry *copy, const struct entry *was, const struct entry *changed);

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
