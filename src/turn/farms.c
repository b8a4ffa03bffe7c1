/* farms: one phone, several farms, and the hour of its routine texts. In: the sender's farms by
 * name; out: the one that his texts go to from now on. Names of farms that are not his never show:
 * an unknown name and another's name are answered alike. ERR_NOMEM: the arena. */
#include "turn/inside.h"

enum { LIST_MOST = 40, MINUTE_S = 60 };

/* "Creek, Hill +3": as many as fit, and how many more there are. */
static struct slice names_of(struct turn *t) {
    struct buf list = buf_make_in(t->arena, (size_t)4 * LIST_MOST);
    for (int i = 0; i < t->farm_count; i++) {
        struct slice name = slice_head(t->farms[i].name, LIST_MOST * 3 / 4);
        if (i && list.n + name.n + 6 > LIST_MOST) {
            buf_putf(&list, " +%d", t->farm_count - i);
            break;
        }
        buf_puts(&list, i ? ", " : "");
        buf_put(&list, name);
    }
    if (buf_err(&list) && !t->e)
        t->e = buf_err(&list);
    return buf_slice(&list);
}

static bool folded_name(struct turn *t, int farm, struct buf *out) {
    *out = buf_make_in(t->arena, 400);
    return !words_fold(t->farms[farm].name, out);
}

/* Of this name, else the only one whose name begins so; -1: none, or several. */
static int find(struct turn *t, struct slice wanted) {
    int exact = -1, begins = -1, exacts = 0, several = 0;
    for (int i = 0; i < t->farm_count; i++) {
        struct buf name;
        if (!folded_name(t, i, &name) || !slice_starts(buf_slice(&name), wanted))
            continue;
        begins = i;
        several++;
        if (name.n == wanted.n) {
            exact = i;
            exacts++;
        }
    }
    return exacts == 1 ? exact : several == 1 ? begins : -1;
}

/* One that begins with a farm's name by itself. */
static void answer_plain(struct turn *t, const struct reply *reply) {
    turn_send_plain(t, t->sender, LEVEL_ANSWER, INT64_MAX, turn_render(t, t->sender, reply));
}

void turn_do_farm(struct turn *t, const struct request *r) {
    struct reply_value word = V_KIND(REQUEST_FARM);
    if (!request_has(r, SLOT_NAME)) {
        const struct reply list = {REPLY_FARM_LIST,
                                   {V_TEXT(t->farm_name), V_TEXT(names_of(t)), word}};
        if (t->farm_count > 1)
            answer_plain(t, &list);
        else
            TURN_SAY(t, FARM_ONLY, V_TEXT(t->farm_name));
        return;
    }
    int at = find(t, slice_of(r->name));
    if (at < 0) {
        TURN_SAY(t, FARM_UNKNOWN, V_TEXT(slice_of(r->name)), V_TEXT(names_of(t)), word);
        return;
    }
    if (t->farms[at].id != t->farm_id) {
        t->farm_chosen = t->farms[at].id;
        t->question_done = true; /* it belongs to the farm where it was asked */
        turn_about(t, t->sender, ABOUT_NOTHING, 0, (struct slice){0});
    }
    const struct reply set = {REPLY_FARM_SET, {V_TEXT(t->farms[at].name)}};
    answer_plain(t, &set);
}

void turn_do_hours(struct turn *t, const struct request *r) {
    if (!request_has(r, SLOT_TIME) || r->now) {
        TURN_ASK(t, r, SLOT_TIME, ASK_HOURS, V_KIND(REQUEST_HOURS));
        return;
    }
    int64_t at_s;
    struct zone_time local = zone_local(t->zone, t->now_s);
    local.hour = r->hour;
    local.minute = r->minute;
    local.second = 0;
    if (zone_instant(t->zone, local, &at_s)) /* a change of clocks skips it today only */
        at_s = zone_midnight(t->zone, t->now_s, 1) + (int64_t)(r->hour * 60 + r->minute) * MINUTE_S;
    turn_sender(t)->morning_min = r->hour * 60 + r->minute;
    turn_sender(t)->changed = true;
    TURN_SAY(t, HOURS_SET, V_CLOCK(at_s));
}
