/* pond_day: what stops the feed for a while, a treatment or a day set for the catch, and how high
 * the farm lies. In: a request; out: entries and an answer, or one question. No dose of any
 * treatment is asked or given: label and vet know. */
#include "trade/book.h"
#include "trade/oxygen.h"
#include "turn/inside.h"

enum { HOUR_S = 3600, HEIGHT_MOST_M = 5000, HEIGHT_MDEGC = 26000 };

/* -- treated -------------------------------------------------------------------------------------
 */

void turn_do_treated(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct cycle *c = turn_fill_cycle(t, r, &at_s);
    if (!c)
        return;
    int64_t number = c->number, until_s = at_s + (int64_t)book_number(BOOK_FEED_TREATED_H) * HOUR_S;
    struct tag tag = turn_pond_tag(c->pond);
    turn_record(t, ENTRY_TREATED, SUBJECT_POND, c->pond, at_s, 0, 0, 0);
    if (!turn_commit(t) || turn_said_late(t, r, farm_cycle(&t->farm->state, number), at_s))
        return;
    if (until_s <= t->now_s)
        TURN_SAY(t, NOTED_LATE, V_KIND(r->kind), V_TAG(tag), V_WHEN(at_s));
    else
        TURN_SAY(t, TREATED_NOTED, V_TAG(tag), V_WHEN(until_s));
}

/* -- a day for the catch -------------------------------------------------------------------------
 */

/* The day from which on nothing is fed, and the last one with feed. */
static void say_catch(struct turn *t, struct tag tag, int64_t day_s, bool is_new) {
    int empty = (int)book_number(BOOK_FEED_EMPTY_DAYS);
    int64_t none_s = plan_clock(t->zone, day_s, -empty, 12);
    bool now = zone_days_between(t->zone, t->now_s, none_s) <= 0;
    if (!is_new && now)
        TURN_SAY(t, CATCH_IS_NOW, V_TAG(tag), V_DATE(day_s));
    else if (!is_new)
        TURN_SAY(t, CATCH_IS, V_TAG(tag), V_DATE(day_s), V_DATE(none_s));
    else if (now)
        TURN_SAY(t, CATCH_NOW, V_TAG(tag), V_DATE(day_s));
    else
        TURN_SAY(t, CATCH_SET, V_TAG(tag), V_DATE(day_s), V_DATE(none_s));
}

void turn_do_catch(struct turn *t, struct request *r) {
    const struct pond *pond = turn_fill_pond(t, r);
    if (!pond)
        return;
    struct tag tag = turn_pond_tag(pond->number);
    int64_t day_s = pond->catch_s;
    bool set = day_s && zone_days_between(t->zone, t->now_s, day_s) >= 0;
    if (!pond->cycle) {
        TURN_SAY(t, POND_EMPTY, V_TAG(tag));
        return;
    }
    if (!request_has(r, SLOT_DATE) && !request_has(r, SLOT_DAY)) {
        if (set)
            say_catch(t, tag, day_s, false);
        else
            TURN_ASK(t, r, SLOT_DATE, CATCH_NONE, V_TAG(tag));
        return;
    }
    if (!turn_named_day(t, r, &day_s))
        return;
    turn_record(t, ENTRY_CATCH, SUBJECT_POND, pond->number, t->base_s, day_s, 0, 0);
    if (!turn_commit(t))
        return;
    say_catch(t, tag, day_s, true);
    int64_t none_s =
        plan_clock(t->zone, day_s, -(int)book_number(BOOK_FEED_EMPTY_DAYS), PLAN_STEP_HOUR);
    if (none_s <= t->now_s) /* the answer said what the plan would say now */
        turn_told(t, (struct task_key){TASK_CATCH, tag.number, 0, STAGE_FIRST}, turn_sender(t)->id,
                  none_s, OUTCOME_DELIVERED);
}

/* -- height --------------------------------------------------------------------------------------
 */

void turn_do_height(struct turn *t, struct request *r) {
    int64_t height_m = request_has(r, SLOT_HEIGHT) ? r->height_m : t->farm->state.height_m;
    if (height_m < 0 || height_m > HEIGHT_MOST_M) {
        TURN_SAY(t, HEIGHT_IMPOSSIBLE, V_NUMBER(height_m));
        return;
    }
    if (request_has(r, SLOT_HEIGHT)) {
        turn_record(t, ENTRY_HEIGHT, SUBJECT_HATCHERY, 0, t->base_s, height_m, 0, 0);
        if (!turn_commit(t))
            return;
        height_m = t->farm->state.height_m;
    }
    struct reply_value full =
        V_CENTI(oxygen_saturation_ug_l(HEIGHT_MDEGC, oxygen_pressure_uatm(height_m)));
    if (request_has(r, SLOT_HEIGHT))
        TURN_SAY(t, HEIGHT_SET, V_NUMBER(height_m), V_WATER(HEIGHT_MDEGC), full);
    else if (height_m)
        TURN_SAY(t, HEIGHT_IS, V_NUMBER(height_m), V_WATER(HEIGHT_MDEGC), full);
    else
        TURN_SAY(t, HEIGHT_NONE);
}
