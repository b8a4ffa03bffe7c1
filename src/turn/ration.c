/* ration: FEED: what ponds and brood fish get today, and why less or nothing; the same for TODAY,
 * after a stocking, after what was given, and for WHY. In: a request, the farm; out: answers. What
 * a pond gets is the farm room's (feeding.h), here it is put into words. Limits: meals are told at
 * the usual hours, whatever hours a farm keeps. */
#include "farm/feeding.h"
#include "trade/book.h"
#include "trade/brood.h"
#include "turn/inside.h"

enum {
    LINES_MAX = 64,
    WEEK_DAYS = 7,
    WHY_LONG = 110, /* as replies.def cuts them */
    WHY_SHORT = 60,
    POWDER_UM = 500,       /* finer is powder */
    REST_NEAR_PERCENT = 10 /* so near is as told: nobody weighs better */
};

/* Did anybody answer the alarm of the night that was thought low in oxygen? */
static bool looked(const struct turn *t, const struct pond *pond) {
    const struct plan_night night = plan_night(&t->farm->state, pond, t->zone);
    for (int i = 0; i < t->told_count; i++) {
        const struct told *row = &t->told[i];
        if (row->key.kind == TASK_OXYGEN && row->key.subject == pond->number &&
            row->outcome == OUTCOME_ANSWERED && row->hour_s >= night.second_s)
            return true;
    }
    return false;
}

static struct feeding today(const struct turn *t, const struct pond *pond) {
    return feeding_looked(&t->farm->state, pond, t->zone, t->now_s, looked(t, pond));
}

static struct slice said(struct turn *t, const struct reply *reply) {
    return turn_render(t, t->sender, reply);
}
#define SAID(turn, id, ...) said((turn), &(struct reply){REPLY_##id, {__VA_ARGS__}})

/* -- amounts and meals ---------------------------------------------------------------------------
 */

/* "3 tins", "1.05kg", "none". */
static struct slice amount_of(struct turn *t, const struct feeding *f, int64_t halves,
                              int64_t weight_mg) {
    if (weight_mg <= 0)
        return SAID(t, MEAL_NONE);
    if (!f->with)
        return SAID(t, AMOUNT_WEIGHED, V_WEIGHT(weight_mg));
    return SAID(t, MEAL_MEASURED, turn_measures(f->with, halves * 500));
}

static struct slice amount(struct turn *t, const struct feeding *f, bool half) {
    return amount_of(t, f, half ? f->half_halves : f->halves, half ? f->half_mg : f->meal_mg);
}

static struct slice first_amount(struct turn *t, const struct feeding *f) {
    if (f->first_more)
        return amount_of(t, f, f->halves + 1, f->meal_mg + f->with_mg / 2);
    return amount(t, f, f->half_meals & 1u);
}

/* What is still to give, as whole and half measures and what they hold: "1.5 tins = 525g". */
static struct slice rest(struct turn *t, const struct feeding *f) {
    int64_t rest_mg = f->told_mg - f->given_mg;
    int64_t halves = f->with_mg > 0 ? 2 * rest_mg / f->with_mg : 0; /* never over it */
    if (!f->with || halves < 1)
        return SAID(t, AMOUNT_WEIGHED, V_WEIGHT(rest_mg));
    return SAID(t, AMOUNT_MEASURED, turn_measures(f->with, halves * 500),
                V_WEIGHT(halves * f->with_mg / 2));
}

/* "3 tins at 8, 1.5 tins at 17" */
static struct slice meals(struct turn *t, const struct feeding *f) {
    struct reply_value first = V_TEXT(first_amount(t, f));
    struct reply_value then = V_TEXT(amount(t, f, f->half_meals & 2u));
    if (f->meals == 1)
        return SAID(t, MEALS_ONE, first);
    if (f->meals == 2)
        return SAID(t, MEALS_TWO, first, then);
    if (f->half_meals)
        return SAID(t, MEALS_FOUR_LEFT, V_TEXT(amount(t, f, false)), V_TEXT(amount(t, f, true)));
    return SAID(t, MEALS_FOUR, first);
}

static struct slice grain(struct turn *t, const struct feeding *f) {
    int64_t grain_um = f->grain_um;
    if (!grain_um || grain_um <= POWDER_UM) /* fry of unknown weight, too */
        return SAID(t, GRAIN_POWDER);
    return SAID(t, GRAIN, V_DECIMAL(grain_um));
}

/* Beside an amount: "4mm", "powder". */
static struct slice grain_short(struct turn *t, const struct feeding *f) {
    if (f->grain_um <= POWDER_UM)
        return SAID(t, GRAIN_SHORT_POWDER);
    return SAID(t, GRAIN_SHORT, V_DECIMAL(f->grain_um));
}

/* -- why nothing ---------------------------------------------------------------------------------
 */

static struct slice reason_text(struct turn *t, const struct feeding *f,
                                enum ration_reason reason) {
    switch (reason) {
    case RATION_GASPING:
        return SAID(t, NO_FEED_GASPING);
    case RATION_DEAD:
        return SAID(t, NO_FEED_DEAD);
    case RATION_OXYGEN:
        if (f->night)
            return SAID(t, NO_FEED_NIGHT);
        if (f->unseen)
            return SAID(t, NO_FEED_UNSEEN);
        if (f->dawn)
            return SAID(t, NO_FEED_DAWN, V_DECIMAL(f->oxygen_ug_l));
        return SAID(t, NO_FEED_OXYGEN, V_DECIMAL(f->oxygen_ug_l));
    case RATION_SECCHI:
        return SAID(t, NO_FEED_SECCHI, V_DECIMAL(f->secchi_mm * 100));
    case RATION_AMMONIA:
        return SAID(t, NO_FEED_AMMONIA, V_NUMBER((f->ammonia_permille + 9) / 10));
    case RATION_NITRITE:
        return SAID(t, NO_FEED_NITRITE, V_NUMBER((f->nitrite_permille + 9) / 10));
    case RATION_PH:
        return SAID(t, NO_FEED_PH, V_CENTI(f->ph_milli));
    case RATION_TREATED:
        return SAID(t, NO_FEED_TREATED, V_WHEN(f->treated_s));
    case RATION_COLD:
        return SAID(t, NO_FEED_COLD, V_WATER(f->water_mdegc));
    case RATION_WARM:
        return SAID(t, NO_FEED_WARM, V_WATER(f->water_mdegc));
    case RATION_HARVEST:
        return SAID(t, NO_FEED_CATCH, V_DATE(f->catch_s));
    case RATION_OK:
    case RATION_IMPOSSIBLE:
    case RATION_LEFT:
        break;
    }
    return SLICE("");
}

/* Those that stand, in the order in which trade tells them, as many as `most` characters hold. */
static struct slice reasons(struct turn *t, const struct feeding *f, size_t most) {
    struct buf b = buf_make_in(t->arena, 400);
    for (int i = RATION_GASPING; i <= RATION_HARVEST; i++) {
        if (!(f->reasons & 1u << i))
            continue;
        struct slice one = reason_text(t, f, (enum ration_reason)i);
        if (b.n && b.n + 2 + one.n > most)
            break;
        buf_puts(&b, b.n ? ", " : "");
        buf_put(&b, one);
    }
    return buf_slice(&b);
}

/* What to do about the first of them. */
static void say_none(struct turn *t, struct reply_value tag, const struct feeding *f) {
    int64_t again_s = f->treated_s + (int64_t)book_number(BOOK_FEED_TREATED_H) * 3600;
    TURN_SAY(t, RATION_NONE, tag, V_TEXT(reasons(t, f, WHY_LONG)));
    switch (f->reason) {
    case RATION_GASPING:
    case RATION_OXYGEN:
        if (f->unseen && f->reason == RATION_OXYGEN) {
            TURN_SAY_MORE(t, NO_FEED_DO_UNSEEN, tag);
            break;
        }
        if (f->dawn && !f->night && f->reason == RATION_OXYGEN) {
            TURN_SAY_MORE(t, NO_FEED_DO_DAWN, tag);
            break;
        }
        TURN_SAY_MORE(t, NO_FEED_DO_AIR, tag);
        break;
    case RATION_DEAD:
        TURN_SAY_MORE(t, NO_FEED_DO_DEAD);
        break;
    case RATION_SECCHI:
        TURN_SAY_MORE(t, NO_FEED_DO_SECCHI, tag);
        break;
    case RATION_AMMONIA:
        TURN_SAY_MORE(t, NO_FEED_DO_AMMONIA, tag);
        break;
    case RATION_NITRITE:
        TURN_SAY_MORE(t, NO_FEED_DO_NITRITE, tag);
        break;
    case RATION_PH:
        TURN_SAY_MORE(t, NO_FEED_DO_PH, tag);
        break;
    case RATION_TREATED:
        TURN_SAY_MORE(t, NO_FEED_DO_TREATED, V_WHEN(again_s));
        break;
    case RATION_COLD:
    case RATION_WARM:
        TURN_SAY_MORE(t, NO_FEED_DO_WATER, tag);
        break;
    case RATION_HARVEST:
        TURN_SAY_MORE(t, NO_FEED_DO_CATCH, tag);
        break;
    case RATION_OK:
    case RATION_IMPOSSIBLE:
    case RATION_LEFT:
        break;
    }
}

/* -- one pond ------------------------------------------------------------------------------------
 */

static bool near(int64_t a, int64_t b) {
    int64_t apart = a > b ? a - b : b - a;
    return apart * 100 <= b * REST_NEAR_PERCENT;
}

static void say_rest(struct turn *t, const struct feeding *f) {
    struct reply_value given = V_WEIGHT(f->given_mg);
    if (near(f->given_mg, f->told_mg))
        TURN_SAY_MORE(t, RATION_DONE, given);
    else if (f->given_mg < f->told_mg)
        TURN_SAY_MORE(t, RATION_REST, given, V_TEXT(rest(t, f)));
    else
        TURN_SAY_MORE(t, RATION_OVER, given, V_WEIGHT(f->given_mg - f->told_mg));
}

static void say_by_fish(struct turn *t, const struct feeding *f) {
    TURN_SAY_MORE(t, RATION_BY_FISH, V_NUMBER(turn_two_figures(f->fish)), V_WEIGHT(f->weight_mg),
                  V_CENTI(f->share_ppm / 10));
}

static void say_besides(struct turn *t, struct reply_value tag, const struct feeding *f) {
    if (f->given_mg)
        say_rest(t, f);
    if (f->turned)
        TURN_SAY_MORE(t, RATION_TURNED);
    if (f->by_fish)
        say_by_fish(t, f);
    if (f->was_treated_s)
        TURN_SAY_MORE(t, RATION_WAS_TREATED, V_WHEN(f->was_treated_s), tag);
    if ((f->rule == FEEDING_WEIGHT || f->rule == FEEDING_BROOD) &&
        f->factor_permille < FEEDING_COOL_PERMILLE)
        TURN_SAY_MORE(t, RATION_COOL, V_WATER(f->water_mdegc));
    if (f->halved)
        TURN_SAY_MORE(t, RATION_HALVED, V_DECIMAL(f->oxygen_ug_l));
    if (f->halved_ammonia)
        TURN_SAY_MORE(t, RATION_HALVED_AMMONIA, V_NUMBER((f->ammonia_permille + 9) / 10));
    if (f->left_days >= FEEDING_OFTEN)
        TURN_SAY_MORE(t, RATION_LEFT_OFTEN, V_NUMBER(f->left_days));
    else if (f->eats_little)
        TURN_SAY_MORE(t, RATION_EATS_LITTLE);
    if (f->capped)
        TURN_SAY_MORE(t, RATION_CAPPED);
    if (f->guard != RATION_GUARD_NONE && f->day % WEEK_DAYS == 0)
        TURN_SAY_MORE(t, RATION_DAWN);
    if (f->guessed)
        TURN_SAY_MORE(t, RATION_GUESSED, V_WATER(ration_water_mdegc(f->water_mdegc)), tag);
}

static void say_fed(struct turn *t, const struct pond *pond, const struct feeding *f) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number)), weight = V_WEIGHT(f->told_mg);
    struct reply_value how = V_TEXT(meals(t, f)), feed = V_TEXT(grain(t, f));
    struct reply_value fish = V_NUMBER(turn_two_figures(f->fish)), each = V_WEIGHT(f->weight_mg);
    struct reply_value share = V_CENTI(f->share_ppm / 10);
    if (f->rule == FEEDING_NURSERY)
        TURN_SAY(t, RATION_UPTO, tag, V_AREA(pond->area_cm2), V_NUMBER(f->day), weight, how, feed);
    else if (f->own)
        TURN_SAY(t, RATION_OWN, tag, weight, how, feed, fish, each, share);
    else
        TURN_SAY(t, RATION_GUIDE, tag, weight, how, feed, fish, each, share);
    say_besides(t, tag, f);
}

static void say_ration(struct turn *t, const struct pond *pond) {
    const struct feeding f = today(t, pond);
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    turn_about(t, t->sender, ABOUT_RATION, pond->number, (struct slice){0});
    if (f.rule != FEEDING_EMPTY && f.reason != RATION_OK)
        say_none(t, tag, &f);
    else if (f.rule == FEEDING_NO_AREA)
        TURN_SAY(t, RATION_NO_AREA, tag);
    else if (f.rule == FEEDING_NO_WEIGHT)
        TURN_SAY(t, RATION_NO_WEIGHT, tag);
    else if (f.rule == FEEDING_EMPTY)
        TURN_SAY(t, POND_EMPTY, tag);
    else
        say_fed(t, pond, &f);
}

/* -- all ponds -----------------------------------------------------------------------------------
 */

static struct reply line_of(struct turn *t, const struct pond *pond, const struct feeding *f) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number)), weight = V_WEIGHT(f->told_mg);
    struct reply_value each = V_TEXT(amount(t, f, false)), times = V_NUMBER(f->meals);
    struct reply_value size = V_TEXT(grain_short(t, f));
    if (f->reason != RATION_OK)
        return (struct reply){REPLY_RATION_LINE_NONE, {tag, V_TEXT(reasons(t, f, WHY_SHORT))}};
    if (f->rule == FEEDING_NO_AREA)
        return (struct reply){REPLY_RATION_LINE_AREA, {tag}};
    if (f->rule == FEEDING_NO_WEIGHT)
        return (struct reply){REPLY_RATION_LINE_SAMPLE, {tag}};
    if (f->turned)
        return (struct reply){REPLY_RATION_LINE_TURNED, {tag, weight, size, V_TEXT(meals(t, f))}};
    if (f->half_meals)
        return (struct reply){REPLY_RATION_LINE_LEFT, {tag, weight, size, V_TEXT(meals(t, f))}};
    if (f->first_more)
        return (struct reply){f->rule == FEEDING_NURSERY ? REPLY_RATION_LINE_UPTO_MEALS
                                                         : REPLY_RATION_LINE_MEALS,
                              {tag, weight, size, V_TEXT(meals(t, f))}};
    return (struct reply){f->rule == FEEDING_NURSERY ? REPLY_RATION_LINE_UPTO
                          : f->eats_little           ? REPLY_RATION_LINE_LITTLE
                                                     : REPLY_RATION_LINE,
                          {tag, weight, size, each, times}};
}

struct sum {
    int64_t weight_mg;
    int ponds;
};

bool turn_no_feed(struct turn *t, const struct pond *pond, struct reply *line) {
    const struct feeding f = today(t, pond);
    if (f.rule == FEEDING_EMPTY || f.reason == RATION_OK)
        return false;
    *line = line_of(t, pond, &f);
    return true;
}

/* Brood fish may be in a pond that nobody described. */
static int brood_lines(struct turn *t, struct reply *lines, int *numbers, int room,
                       struct sum *sum) {
    const struct farm_state *st = &t->farm->state;
    int count = 0;
    for (int i = 0; i < st->brood_count && count < room; i++) {
        int number = st->brood[i].pond;
        const struct pond *pond = farm_pond(st, number);
        bool said_before = !number || (pond && pond->cycle);
        for (int k = 0; k < i && !said_before; k++)
            said_before = st->brood[k].pond == number;
        const struct feeding f = feeding_brood(st, said_before ? 0 : number, t->zone, t->now_s);
        struct reply_value tag = V_TAG(turn_pond_tag(number));
        if (f.rule == FEEDING_EMPTY || (f.reason == RATION_OK && !f.told_mg))
            continue;
        sum->weight_mg += f.told_mg;
        sum->ponds += f.told_mg > 0;
        numbers[count] = number;
        lines[count++] =
            f.reason != RATION_OK
                ? (struct reply){REPLY_RATION_LINE_NONE, {tag, V_TEXT(reasons(t, &f, WHY_SHORT))}}
                : (struct reply){REPLY_RATION_LINE_BROOD,
                                 {tag, V_WEIGHT(f.told_mg), V_TEXT(first_amount(t, &f)),
                                  V_NUMBER(f.meals), V_NUMBER(f.fish)}};
    }
    return count;
}

static int lines_of(struct turn *t, struct reply *lines, int *numbers, int room, struct sum *sum) {
    const struct farm_state *st = &t->farm->state;
    int count = 0;
    for (int i = 0; i < st->pond_count && count < room; i++) {
        const struct pond *pond = &st->ponds[i];
        const struct feeding f = today(t, pond);
        if (f.rule == FEEDING_EMPTY)
            continue;
        sum->weight_mg += f.told_mg;
        sum->ponds += f.told_mg > 0;
        numbers[count] = pond->number;
        lines[count++] = line_of(t, pond, &f);
    }
    return count + brood_lines(t, &lines[count], &numbers[count], room - count, sum);
}

int turn_ration_lines(struct turn *t, struct reply *lines, int *numbers, int room) {
    struct sum sum = {0};
    return lines_of(t, lines, numbers, room < LINES_MAX ? room : LINES_MAX, &sum);
}

struct list {
    const int *numbers; /* of ponds */
    int count, before;  /* lines before the first of them: the sum */
};

static struct reply pond_more(const void *of, int shown) {
    const struct list *list = of;
    int first = shown - list->before;
    return (struct reply){
        REPLY_RATION_MORE,
        {V_NUMBER(list->count - first), V_TAG(turn_pond_tag(list->numbers[first]))}};
}

static void say_all(struct turn *t) {
    struct reply lines[LINES_MAX];
    struct slice texts[LINES_MAX + 1];
    int numbers[LINES_MAX];
    struct sum sum = {0};
    int count = lines_of(t, lines, numbers, LINES_MAX, &sum);
    const struct pond *only = count == 1 ? farm_pond(&t->farm->state, numbers[0]) : NULL;
    if (only && only->cycle) {
        say_ration(t, only);
        return;
    }
    if (only) {
        turn_say_brood_pond(t, turn_pond_tag(numbers[0]));
        return;
    }
    if (!count) {
        TURN_SAY(t, RATION_NO_PONDS);
        return;
    }
    int before = sum.ponds > 0;
    if (before)
        texts[0] = sum.ponds == 1
                       ? SAID(t, RATION_SUM_ONE, V_WEIGHT(sum.weight_mg))
                       : SAID(t, RATION_SUM, V_WEIGHT(sum.weight_mg), V_NUMBER(sum.ponds));
    for (int i = 0; i < count; i++)
        texts[before + i] = said(t, &lines[i]);
    const struct list list = {numbers, count, before};
    const struct turn_more more = {pond_more, &list, 30};
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
              turn_lines_more(t, t->sender, texts, before + count, &more));
}

/* -- brood fish ----------------------------------------------------------------------------------
 */

void turn_say_brood_pond(struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    const struct pond *pond = farm_pond(st, tag.number);
    int64_t room = pond && pond->area_cm2 ? brood_room(pond->area_cm2) : 0;
    const struct feeding f = feeding_brood(st, tag.number, t->zone, t->now_s);
    if (f.rule == FEEDING_EMPTY) {
        TURN_SAY(t, BROOD_POND_EMPTY, V_TAG(tag));
        return;
    }
    if (f.reason != RATION_OK) {
        say_none(t, V_TAG(tag), &f);
        return;
    }
    if (room && f.fish > room)
        TURN_SAY(t, BROOD_POND_FULL, V_TAG(tag), V_NUMBER(f.fish), V_WEIGHT(f.biomass_mg),
                 V_NUMBER(room), V_WEIGHT(f.told_mg));
    else
        TURN_SAY(t, BROOD_POND, V_TAG(tag), V_NUMBER(f.fish), V_WEIGHT(f.biomass_mg),
                 V_WEIGHT(f.told_mg), V_TEXT(f.told_mg ? meals(t, &f) : amount(t, &f, false)));
    say_besides(t, V_TAG(tag), &f);
}

/* After what was given to them today: is it more than was meant? */
void turn_say_brood_left(struct turn *t, int pond, int64_t at_s) {
    const struct feeding f = feeding_brood(&t->farm->state, pond, t->zone, t->now_s);
    if (zone_days_between(t->zone, at_s, t->now_s) || f.rule == FEEDING_EMPTY)
        return;
    if (f.reason != RATION_OK)
        TURN_SAY_MORE(t, RATION_NO_MORE, V_TEXT(reasons(t, &f, WHY_SHORT)));
    else if (f.told_mg && f.given_mg > f.told_mg && !near(f.given_mg, f.told_mg))
        TURN_SAY_MORE(t, RATION_PAST, V_WEIGHT(f.told_mg));
}

static void say_fish(struct turn *t, struct request *r) {
    if (r->tag.letter != 'f' && r->tag.letter != 'm') { /* larvae of a tank have no ration */
        struct buf token = buf_make_in(t->arena, 16);
        buf_putf(&token, "%c%d", r->tag.letter, r->tag.number);
        TURN_SAY(t, DOUBT_TOKEN, V_KIND(r->kind), V_TEXT(buf_slice(&token)));
        return;
    }
    const struct brood *fish = farm_brood_tag(&t->farm->state, turn_sex(r->tag), r->tag.number);
    if (!fish) {
        turn_refuse_tag(t, r->tag);
        return;
    }
    if (fish->died_s) {
        TURN_SAY(t, BROOD_DEAD, V_TAG(r->tag), V_DATE(fish->died_s));
        return;
    }
    int64_t weight_mg = request_has(r, SLOT_WEIGHT) ? r->weight_mg : fish->weight_mg;
    if (!weight_mg) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_WEIGHT, V_TAG(r->tag));
        return;
    }
    if (!turn_fish_weight(t, r, weight_mg))
        return;
    const struct water_reading *water = turn_fresh_water(t, t->now_s);
    TURN_SAY(t, RATION_FISH, V_TAG(r->tag), V_WEIGHT(weight_mg),
             V_WEIGHT(brood_feed_mg(weight_mg, water ? water->mdegc : -1)));
}

/* -- requests ------------------------------------------------------------------------------------
 */

/* "3 tins", "1kg"; empty: not clear. */
static struct slice amount_asked(struct turn *t, const struct request *r) {
    int chosen = 0, kind = 0;
    for (int c = CHOICE_TIN; c <= CHOICE_BAG; c++)
        if (request_chose(r, (enum choice)c)) {
            kind = MEASURE_TIN + (c - CHOICE_TIN);
            chosen++;
        }
    bool count = request_has(r, SLOT_COUNT);
    if (request_has(r, SLOT_WEIGHT) && !count && !chosen)
        return SAID(t, AMOUNT_WEIGHED, V_WEIGHT(r->weight_mg));
    if (!count || chosen != 1)
        return SLICE("");
    return SAID(t, MEAL_MEASURED, turn_measures((enum measure_kind)kind, r->count_milli));
}

/* "feed p2 3 tins": was it given, or is it to be? A YES makes a report of it. */
static void given_or_not(struct turn *t, struct request *r) {
    struct slice much = amount_asked(t, r);
    bool none = (request_has(r, SLOT_WEIGHT) && !r->weight_mg) ||
                (request_has(r, SLOT_COUNT) && !r->count_milli);
    if (!much.n || none) {
        TURN_SAY(t, AMOUNT_HOW, V_KIND(REQUEST_GAVE));
    } else if (r->confirms & CONFIRM_GIVEN) {
        r->kind = REQUEST_GAVE;
        turn_judge(t, r);
    } else if (request_has(r, SLOT_POND)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_GIVEN, ASK_GIVEN, V_TAG(r->pond), V_TEXT(much));
    } else {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_GIVEN, ASK_GIVEN_POND, V_TEXT(much));
    }
}

static void do_feed(struct turn *t, struct request *r) {
    const struct farm_state *st = &t->farm->state;
    bool tagged = request_has(r, SLOT_TAG) && !request_has(r, SLOT_POND);
    bool much = request_has(r, SLOT_COUNT); /* "feed p2 tins" asks how many */
    if (tagged && r->tag.letter != 'p' && !much) {
        say_fish(t, r);
        return;
    }
    if (much || request_has(r, SLOT_WEIGHT)) {
        given_or_not(t, r);
        return;
    }
    if (!request_has(r, SLOT_POND)) {
        say_all(t);
        return;
    }
    const struct pond *pond = farm_pond(st, r->pond.number);
    const struct feeding brood = feeding_brood(st, r->pond.number, t->zone, t->now_s);
    if (brood.rule != FEEDING_EMPTY && (!pond || !pond->cycle))
        turn_say_brood_pond(t, r->pond);
    else if (!pond)
        turn_refuse_pond(t, r->pond);
    else
        say_ration(t, pond);
}

bool turn_judge_ration(struct turn *t, struct request *r) {
    if (r->kind == REQUEST_FEED)
        do_feed(t, r);
    else if (r->kind == REQUEST_TABLE)
        turn_do_table(t, r);
    else
        return false;
    return true;
}

/* -- behind other answers ------------------------------------------------------------------------
 */

void turn_say_ration_left(struct turn *t, const struct pond *pond, int64_t at_s) {
    const struct feeding f = today(t, pond);
    bool told = f.given_mg > ration_most_mg(pond->area_cm2) && pond->area_cm2; /* no more feed */
    if (zone_days_between(t->zone, at_s, t->now_s) || f.rule == FEEDING_EMPTY || told)
        return;
    if (f.reason != RATION_OK)
        TURN_SAY_MORE(t, RATION_NO_MORE, V_TEXT(reasons(t, &f, WHY_SHORT)));
    else if (f.ration_mg > 0 && f.given_mg < f.told_mg && !near(f.given_mg, f.told_mg))
        TURN_SAY_MORE(t, RATION_MORE_TODAY, V_TEXT(rest(t, &f)));
    else if (f.ration_mg > 0 && (near(f.given_mg, f.told_mg) || f.given_mg < f.told_mg))
        TURN_SAY_MORE(t, RATION_ENOUGH);
    else if (f.ration_mg > 0)
        TURN_SAY_MORE(t, RATION_PAST, V_WEIGHT(f.told_mg));
}

void turn_say_ration_first(struct turn *t, const struct pond *pond) {
    const struct feeding f = today(t, pond);
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number)), weight = V_WEIGHT(f.told_mg);
    if (f.ration_mg <= 0)
        return;
    if (f.guard != RATION_GUARD_NONE)
        TURN_SAY_MORE(t, RATION_FIRST_DAWN, weight, tag);
    else
        TURN_SAY_MORE(t, RATION_FIRST, weight, tag);
}

/* -- why -----------------------------------------------------------------------------------------
 */

static void why_line(struct turn *t, const struct pond *pond, const struct feeding *f) {
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number)), steps = V_NUMBER(f->steps);
    struct reply_value line = V_WEIGHT(f->line_mg), most = V_WEIGHT(ration_most_mg(pond->area_cm2));
    struct reply_value fish = V_NUMBER(turn_two_figures(f->fish)), each = V_WEIGHT(f->weight_mg);
    struct reply_value share = V_CENTI(f->share_ppm / 10), factor = V_CENTI(f->factor_permille);
    bool area = f->rule == FEEDING_NURSERY && !f->by_fish;
    if (area && f->least)
        TURN_SAY(t, WHY_RATION_FEW, tag, V_NUMBER(f->day / WEEK_DAYS + 1), V_AREA(pond->area_cm2),
                 V_WEIGHT(f->usual_mg), V_NUMBER(turn_two_figures(f->least)),
                 V_NUMBER(turn_two_figures(f->fry)), line, steps, V_WEIGHT(f->ration_mg));
    else if (area)
        TURN_SAY(t, WHY_RATION_LINE, tag, V_NUMBER(f->day / WEEK_DAYS + 1), V_AREA(pond->area_cm2),
                 line, steps, V_WEIGHT(f->ration_mg), most);
    else if (f->own)
        TURN_SAY(t, WHY_RATION_OWN, tag, fish, each, share, factor, line, steps,
                 V_WEIGHT(f->ration_mg));
    else
        TURN_SAY(t, WHY_RATION_GUIDE, tag, fish, each, share, factor, line, steps,
                 V_WEIGHT(f->ration_mg));
    if (f->turned)
        TURN_SAY_MORE(t, RATION_TURNED);
    if (f->halved)
        TURN_SAY_MORE(t, RATION_HALVED, V_DECIMAL(f->oxygen_ug_l));
    if (f->halved_ammonia)
        TURN_SAY_MORE(t, RATION_HALVED_AMMONIA, V_NUMBER((f->ammonia_permille + 9) / 10));
    if (f->capped && f->rule == FEEDING_WEIGHT)
        TURN_SAY_MORE(t, RATION_CAPPED);
    if (f->guessed)
        TURN_SAY_MORE(t, RATION_GUESSED, V_WATER(ration_water_mdegc(f->water_mdegc)), tag);
}

void turn_why_ration(struct turn *t, const struct pond *pond) {
    const struct feeding f = today(t, pond);
    if (f.rule == FEEDING_NURSERY || f.rule == FEEDING_WEIGHT) {
        if (f.reason == RATION_OK)
            why_line(t, pond, &f);
        else
            TURN_SAY(t, WHY_RATION_NONE, V_TAG(turn_pond_tag(pond->number)),
                     V_TEXT(reasons(t, &f, WHY_SHORT)));
    } else {
        say_ration(t, pond);
    }
}
