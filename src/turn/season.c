/* season: a steady number of fish each month, as a list of evenings that the owner takes whole. In:
 * a request; out: the list as one question, entries when it is taken. Each evening is a plan with a
 * number of its own: CALL OFF and that number drops it. Alone, SEASON lists what is planned.
 *
 * A month's fish are harvested on its 15th; where that day is past in the first month, on its last.
 * Limits: rows over SEASON_ROWS_MAX are not planned; a row takes as long as a plan (choose.h). */
#include "turn/order.h"

#include "trade/book.h"

enum {
    SEASON_ROWS_MAX = 12,
    HARVEST_DAY = 15,
    NOON = 12,
    MONTHS = 12,
    G_MG = 1000,
    END_UNITS = 100, /* for the question at the end, and how many are left out */
    ENTRIES_KEPT = 4 /* of a turn's for what else the text records */
};

struct season {
    struct order_want want; /* of a row; day: the first */
    int64_t last_day;
    int rows;
    int64_t asked; /* fish of a row, where it is less that can be kept; 0 */
    struct offer_farm with;
    struct choose_plan plans[SEASON_ROWS_MAX];
};

/* -- what is asked -------------------------------------------------------------------------------
 */

static int64_t day_number(int year, int month, int day) {
    return zone_days(year + (month - 1) / MONTHS, (month - 1) % MONTHS + 1, day);
}

/* The first and last day of harvest; a month without its year is the next to come. */
static void span(const struct turn *t, const struct request *r, int64_t *first, int64_t *last) {
    struct zone_time now = zone_local(t->zone, t->base_s);
    int year = r->month_first_year, until = r->month_last_year;
    if (!year)
        year = until ? until - (r->month_first > r->month_last)
                     : now.year + (r->month_first < now.month);
    if (!until)
        until = year + (r->month_last < r->month_first);
    *first = day_number(year, r->month_first, HARVEST_DAY);
    if (*first < plan_day_number(t->zone, t->base_s))
        *first = day_number(year, r->month_first + 1, 1) - 1;
    *last = day_number(until, r->month_last + 1, 1) - 1;
}

static int months_of(int64_t first, int64_t last) {
    struct zone_time a = zone_local(&zone_utc, first * 86400);
    struct zone_time b = zone_local(&zone_utc, last * 86400);
    return (b.year - a.year) * MONTHS + b.month - a.month + 1;
}

/* False: an answer was given. */
static bool wanted(struct turn *t, const struct request *r, struct season *s) {
    int64_t most = (int64_t)book_number(BOOK_ORDER_MOST);
    int64_t heaviest = (int64_t)book_number(BOOK_ORDER_MOST_G) * G_MG;
    int64_t least = (int64_t)book_number(BOOK_FRY_MG);
    int64_t size_mg =
        request_has(r, SLOT_WEIGHT) ? r->weight_mg : (int64_t)book_number(BOOK_ORDER_FISH_G) * G_MG;
    if (r->count <= 0) {
        TURN_SAY(t, ORDER_ZERO);
        return false;
    }
    if (!request_has(r, SLOT_MONTHS)) {
        TURN_ASK(t, r, SLOT_MONTHS, ASK_SEASON_MONTHS, V_NUMBER(r->count));
        return false;
    }
    span(t, r, &s->want.day, &s->last_day);
    int months = months_of(s->want.day, s->last_day);
    if (months < 1 || months > SEASON_ROWS_MAX) {
        TURN_SAY(t, SEASON_LONG, V_NUMBER(SEASON_ROWS_MAX));
        return false;
    }
    s->want.fish = request_chose(r, CHOICE_MONTHLY) ? r->count : (r->count + months - 1) / months;
    s->want.size_mg = size_mg;
    if (r->count > most)
        TURN_SAY(t, ORDER_MANY, V_NUMBER(r->count), V_NUMBER(most));
    else if (size_mg < least)
        TURN_SAY(t, ORDER_SMALL, V_WEIGHT(size_mg), V_WEIGHT(least));
    else if (size_mg > heaviest)
        TURN_SAY(t, ORDER_LARGE, V_WEIGHT(size_mg), V_WEIGHT(heaviest));
    else
        return true;
    return false;
}

/* -- the list ------------------------------------------------------------------------------------
 */

static int64_t promised(const struct season *s, const struct choose_plan *p) {
    if (!p->female_count)
        return 0;
    return p->outlook.promise < s->want.fish ? p->outlook.promise : s->want.fish;
}

static struct slice short_tags(struct turn *t, const struct season *s, const struct choose_plan *p,
                               bool ponds) {
    struct buf b = buf_make_in(t->arena, 40);
    int n = ponds ? p->pond_count : p->female_count;
    for (int i = 0; i < n; i++) {
        if (b.n > 16) {
            buf_puts(&b, "...");
            break;
        }
        buf_putf(&b, "%s%c%d", i ? "+" : "", ponds ? 'P' : 'F',
                 ponds ? s->with.ponds[p->ponds[i]] : s->with.females[p->females[i]]->tag);
    }
    return buf_slice(&b);
}

static struct slice line_of(struct turn *t, const struct season *s, const struct choose_plan *p,
                            int64_t number) {
    struct reply_value day = V_DATE(offer_instant(t, p->days.harvest_day, NOON * 60));
    struct reply_value at = V_DATE(offer_instant(t, p->days.inject_day, p->days.inject_min));
    int64_t fish = promised(s, p);
    struct reply r = {REPLY_SEASON_ROW_NONE, {day}};
    if (fish > 0)
        r = (struct reply){fish < s->want.fish ? REPLY_SEASON_ROW_PART : REPLY_SEASON_ROW,
                           {V_NUMBER(number), at, V_TEXT(short_tags(t, s, p, false)),
                            V_TEXT(short_tags(t, s, p, true)), V_NUMBER(offer_floor(fish)), day}};
    return turn_render(t, t->sender, &r);
}

static int entries_of(const struct choose_plan *p) {
    return 2 + p->female_count + 2 * p->pond_count;
}

/* -- taking it -----------------------------------------------------------------------------------
 */

static void take(struct turn *t, const struct season *s) {
    int64_t number = offer_next_number(t), first = number, fish = 0;
    int room = TURN_ENTRIES_MAX - ENTRIES_KEPT;
    for (int i = 0; i < s->rows; i++) {
        const struct choose_plan *p = &s->plans[i];
        if (!promised(s, p) || entries_of(p) > room)
            continue;
        room -= entries_of(p);
        fish += promised(s, p);
        offer_record_plan(
            t, &s->with, p, number++,
            &(struct spawn_plan){.fish = promised(s, p),
                                 .size_mg = s->want.size_mg,
                                 .day_s = offer_instant(t, p->days.harvest_day, NOON * 60)});
    }
    if (!turn_commit(t))
        return;
    struct reply_value of = V_NUMBER(offer_floor(fish)), from = V_NUMBER(first);
    if (number - first == 1)
        TURN_SAY(t, SEASON_TAKEN_ONE, of, from);
    else
        TURN_SAY(t, SEASON_TAKEN, of, from, V_NUMBER(number - 1));
}

static struct reply so_many_more(const void *count, int shown) {
    return (struct reply){REPLY_TODAY_MORE, {V_NUMBER(*(const int *)count - shown)}};
}

static void offer(struct turn *t, const struct request *r, const struct season *s) {
    struct slice lines[SEASON_ROWS_MAX + 2];
    int64_t number = offer_next_number(t);
    int n = 0, good = 0;
    if (s->asked) {
        const struct reply less = {REPLY_SEASON_STEADY,
                                   {V_NUMBER(s->asked), V_NUMBER(s->want.fish)}};
        lines[n++] = turn_render(t, t->sender, &less);
    }
    for (int i = 0; i < s->rows; i++) {
        bool some = promised(s, &s->plans[i]) > 0;
        lines[n++] = line_of(t, s, &s->plans[i], number);
        number += some;
        good += some;
    }
    if (!good && !s->with.farm.female_count) {
        TURN_SAY(t, SEASON_NO_FEMALES);
        return;
    }
    struct reply last = {good ? REPLY_ASK_SEASON : REPLY_ORDER_NOT_TAKEN, {{0}}};
    struct slice end = lines[n] = turn_render(t, t->sender, &last);
    const struct turn_more more = {so_many_more, &n, END_UNITS};
    struct slice body = turn_lines_more(t, t->sender, lines, n + 1, &more);
    if (!slice_ends(body, end)) { /* some months are only counted */
        struct buf b = buf_make_in(t->arena, REPLY_BYTES_MAX);
        buf_put(&b, body);
        buf_putc(&b, '\n');
        buf_put(&b, end);
        body = buf_slice(&b);
    }
    turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX, body);
    if (good)
        turn_open_question(t, turn_sender(t)->id, r, t->base_s, CONFIRM_BASE + CONFIRM_ORDER,
                           t->root);
}

/* -- what is planned -----------------------------------------------------------------------------
 */

static void list(struct turn *t) {
    const struct farm_state *st = &t->farm->state;
    struct slice *lines = ARENA_ARRAY(t->arena, (size_t)st->plan_count + 1, struct slice);
    int n = 0;
    if (!lines) {
        t->e = ERR_NOMEM;
        return;
    }
    for (int i = 0; i < st->plan_count; i++) {
        const struct spawn_plan *p = &st->plans[i];
        if (p->order || !spawn_plan_open(st, p, t->now_s))
            continue;
        const struct reply r = {REPLY_SEASON_ROW,
                                {V_NUMBER(p->number), V_DATE(p->inject_s),
                                 V_TEXT(order_plan_tags(t, p)), V_TEXT(order_plan_ponds(t, p)),
                                 V_NUMBER(offer_floor(p->fish)), V_DATE(p->day_s)}};
        lines[n++] = turn_render(t, t->sender, &r);
    }
    if (n)
        turn_send(t, t->sender, LEVEL_ANSWER, (struct task_key){0}, INT64_MAX,
                  turn_lines(t, t->sender, lines, n));
    else
        TURN_SAY(t, SEASON_NONE);
}

/* A steady number: if what is asked cannot be kept each time, the most that can. */
static bool choose(struct turn *t, struct season *s) {
    struct choose_farm marked = {
        .females =
            ARENA_ARRAY(t->arena, (size_t)s->with.farm.female_count + 1, struct choose_female),
        .ponds = ARENA_ARRAY(t->arena, (size_t)s->with.farm.pond_count + 1, struct choose_pond)};
    if (!marked.females || !marked.ponds) {
        t->e = ERR_NOMEM;
        return false;
    }
    int64_t fish = choose_steady(&s->with.farm, &marked, s->with.odds, &s->want, s->last_day, 0,
                                 s->plans, SEASON_ROWS_MAX, &s->rows);
    if (fish && fish < s->want.fish) {
        s->asked = s->want.fish;
        s->want.fish = fish;
    }
    return true;
}

void turn_do_season(struct turn *t, struct request *r) {
    if (!request_has(r, SLOT_COUNT)) {
        if (request_has(r, SLOT_MONTHS))
            TURN_ASK(t, r, SLOT_COUNT, ASK_ORDER_COUNT);
        else
            list(t);
        return;
    }
    struct season *s = ARENA_ARRAY(t->arena, 1, struct season);
    if (!s) {
        t->e = ERR_NOMEM;
        return;
    }
    *s = (struct season){.rows = 0};
    if (!order_owner(t) || !wanted(t, r, s) || !offer_farm_make(t, 0, &s->with))
        return;
    s->want.hatchery_mdegc = s->want.pond_mdegc = s->with.mdegc;
    if (!choose(t, s))
        return;
    if (r->confirms & CONFIRM_ORDER)
        take(t, s);
    else
        offer(t, r, s);
}
