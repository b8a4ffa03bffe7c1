/* morning: the list that a person is sent in his morning, and MORE. In: the routine of that
 * morning, the farm; out: texts. What is to be done today is put into words as TODAY does it
 * (show.c).
 *
 * A worker gets his own work, an owner his own and then that of all others. The routine of the
 * morning stands in the list: in its own words when all fits, else in TODAY's. What comes later in
 * the day with a text of its own is listed, so that the day can be seen whole; what is told at the
 * same minute in a text of its own is not. Limits: what was cut off is kept for a day, until the
 * next list that is cut, and only for the farm that the person texts to. */
#include "turn/inside.h"

#include <string.h>

enum { MINUTE_S = 60, DAY_S = 86400, REST_KEPT_S = DAY_S, REST_LINES_MAX = 64 };

struct slice turn_morning_text(struct turn *t, const struct task *const *tasks, int n, int person) {
    const struct turn_person *who = &t->people[person];
    int64_t next_s =
        zone_midnight(t->zone, t->now_s, 1) + (int64_t)who->morning_min * MINUTE_S; /* tomorrow's */
    const struct turn_day day = {.person = person,
                                 .own = who->role != ROLE_OWNER,
                                 .until_s = next_s - 1,
                                 .tasks = tasks,
                                 .task_count = n,
                                 .told = true};
    return turn_day_text(t, &day);
}

/* -- more ----------------------------------------------------------------------------------------
 */

/* "SECONDS COUNT", then lines. False: nothing is kept. */
static bool read_rest(struct slice rest, int64_t *at_s, int64_t *behind, struct slice *lines,
                      int *count) {
    struct slice head, seconds;
    (void)slice_cut(rest, '\n', &head, &rest);
    (void)slice_cut(head, ' ', &seconds, &head);
    *count = 0;
    if (slice_int(seconds, at_s) || slice_int(head, behind))
        return false;
    while (rest.n && *count < REST_LINES_MAX)
        (void)slice_cut(rest, '\n', &lines[(*count)++], &rest);
    return *count > 0;
}

static void do_more(struct turn *t) {
    struct slice lines[REST_LINES_MAX];
    int count;
    int64_t at_s, behind;
    struct slice rest = turn_sender(t)->rest;
    if (!read_rest(rest, &at_s, &behind, lines, &count) || t->now_s - at_s > REST_KEPT_S) {
        TURN_SAY(t, MORE_NOTHING);
        return;
    }
    turn_sender(t)->rest = (struct slice){0};
    turn_sender(t)->changed = true;
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines_behind(t, t->sender, lines, count, (int)behind));
}

bool turn_judge_morning(struct turn *t, struct request *r) {
    switch (r->kind) {
    case REQUEST_MORE:
        do_more(t);
        return true;
    case REQUEST_WEEK:
        turn_do_week(t);
        return true;
    case REQUEST_MONTH:
        turn_do_month(t, r);
        return true;
    default:
        return false;
    }
}
