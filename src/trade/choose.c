/* choose: see choose.h. In: a farm's females and ponds, the odds, what is wanted. Out: indexes of
 * those chosen and what they promise. No errors; what cannot be is a reason, with what can.
 *
 * The promise never falls by a further or heavier female or more room (order.h), so each search
 * below is by halves: one choice asks for about a dozen and a half outlooks. */
#include "trade/choose.h"

#include <stdlib.h>

#include "base/zone.h"
#include "trade/book.h"
#include "trade/brood.h"
#include "trade/nursery.h"

enum { DAY_S = 86400, MONTHS = 12, SEASON_MOST_DAYS = 3660, DAY_MOST = 109572 /* 2270 */ };

/* Fish or ponds that could serve: indexes, the heaviest or largest first. */
struct pool {
    int index[CHOOSE_FROM_MAX];
    int64_t size[CHOOSE_FROM_MAX];
    int count;
};

/* Equal ones in the order of the caller. A full pool loses its smallest. */
static void pool_add(struct pool *p, int index, int64_t size) {
    if (p->count == CHOOSE_FROM_MAX) {
        if (p->size[CHOOSE_FROM_MAX - 1] >= size)
            return;
        p->count--;
    }
    int at = p->count++;
    for (; at > 0 && p->size[at - 1] < size; at--) {
        p->size[at] = p->size[at - 1];
        p->index[at] = p->index[at - 1];
    }
    p->size[at] = size;
    p->index[at] = index;
}

static int64_t room_of(const struct choose_pond *pond) {
    int64_t deepest_mm = (int64_t)(book_number(BOOK_POND_DEPTH_MOST_M) * 1000);
    bool known = pond->depth_mm > 0 && pond->depth_mm < deepest_mm;
    return nursery_most(pond->area_cm2, known ? pond->depth_mm : deepest_mm);
}

struct pools {
    struct pool females, ponds;
    bool pond; /* false: fry of two weeks, no pond is asked for */
};

static bool busy(const struct choose_farm *farm, bool pond, int index, int64_t from, int64_t to) {
    for (int i = 0; i < farm->busy_count; i++) {
        const struct choose_busy *b = &farm->busy[i];
        if (b->pond == pond && b->index == index && from <= b->to_day && b->from_day <= to)
            return true;
    }
    return false;
}

bool choose_female_free(const struct choose_farm *farm, int index, const struct order_days *days) {
    return farm->females[index].rested_day <= days->inject_day &&
           !busy(farm, false, index, days->inject_day, days->inject_day);
}

bool choose_pond_free(const struct choose_farm *farm, int index, int64_t from_day,
                      int64_t harvest_day) {
    return farm->ponds[index].free_day <= from_day &&
           !busy(farm, true, index, from_day, harvest_day);
}

static void pools_fill(struct pools *p, const struct choose_farm *farm,
                       const struct order_days *days) {
    p->females.count = p->ponds.count = 0;
    p->pond = days->pond_days.middle > 0;
    for (int i = 0; i < farm->female_count; i++) {
        const struct choose_female *f = &farm->females[i];
        if (brood_weight_passes(f->weight_mg) && choose_female_free(farm, i, days))
            pool_add(&p->females, i, f->weight_mg);
    }
    for (int i = 0; p->pond && i < farm->pond_count; i++) {
        int64_t room = room_of(&farm->ponds[i]);
        if (room > 0 && choose_pond_free(farm, i, days->prepare_short_day, days->harvest_day))
            pool_add(&p->ponds, i, room);
    }
}

/* -- one choice -------------------------------------------------------------------------------- */

/* `females` from a place in the pool on, the largest ponds, the last of which stands at `last`. */
struct choice {
    int first, females;
    int ponds, last;
};

/* The parts of a choice and the room of its ponds; false: nothing can come of it. */
static bool parts_of(const struct pools *p, struct choice c, struct order_part *parts,
                     int64_t *room) {
    *room = p->pond ? 0 : ORDER_NO_LIMIT;
    for (int i = 0; i < c.females; i++)
        parts[i] = (struct order_part){ORDER_FEMALE, p->females.size[c.first + i]};
    for (int i = 0; i < c.ponds; i++)
        *room += p->ponds.size[i + 1 == c.ponds ? c.last : i];
    return c.females > 0 && *room != 0;
}

static struct order_outlook outlook_of(const struct pools *p, const struct order_odds *odds,
                                       struct choice c) {
    struct order_part parts[CHOOSE_FEMALES_MAX];
    struct order_outlook none = {.reason = ORDER_OK};
    int64_t room;
    if (!parts_of(p, c, parts, &room))
        return none;
    return order_outlook(odds, parts, c.females, room, p->pond);
}

static bool does(const struct pools *p, const struct order_odds *odds, struct choice c,
                 int64_t fish) {
    struct order_part parts[CHOOSE_FEMALES_MAX];
    int64_t room;
    return parts_of(p, c, parts, &room) &&
           order_promises(odds, parts, c.females, room, p->pond, fish);
}

static struct choice all_of(const struct pools *p) {
    int females = p->females.count, ponds = p->ponds.count;
    females = females < CHOOSE_FEMALES_MAX ? females : CHOOSE_FEMALES_MAX;
    ponds = ponds < CHOOSE_PONDS_MAX ? ponds : CHOOSE_PONDS_MAX;
    return (struct choice){0, females, ponds, ponds - 1};
}

/* As little of all that serves as still does, by the rule of the header. `c` does. */
static struct choice least_of(const struct pools *p, const struct order_odds *odds, struct choice c,
                              int64_t fish) {
    int low = (int)book_number(BOOK_ORDER_FEMALES_LEAST), high = c.females;
    for (int few = low; few < high; few *= 2) { /* mostly it is few of many */
        struct choice fewer = {0, few, c.ponds, c.last};
        if (does(p, odds, fewer, fish))
            high = few;
        else
            low = few + 1;
    }
    while (low < high) { /* fewest females */
        struct choice fewer = {0, low + (high - low) / 2, c.ponds, c.last};
        if (does(p, odds, fewer, fish))
            high = fewer.females;
        else
            low = fewer.females + 1;
    }
    c.females = high;
    low = 0, high = p->females.count - c.females;
    while (low < high) { /* the lightest neighbours */
        struct choice lighter = {low + (high - low + 1) / 2, c.females, c.ponds, c.last};
        if (does(p, odds, lighter, fish))
            low = lighter.first;
        else
            high = lighter.first - 1;
    }
    c.first = low;
    low = 1, high = c.ponds;
    while (low < high) { /* fewest ponds */
        int ponds = low + (high - low) / 2;
        if (does(p, odds, (struct choice){c.first, c.females, ponds, ponds - 1}, fish))
            high = ponds;
        else
            low = ponds + 1;
    }
    if (c.ponds == 0)
        return c;
    c.ponds = high;
    low = c.ponds - 1, high = p->ponds.count - 1;
    while (low < high) { /* the smallest last one */
        int last = low + (high - low + 1) / 2;
        if (does(p, odds, (struct choice){c.first, c.females, c.ponds, last}, fish))
            low = last;
        else
            high = last - 1;
    }
    c.last = low;
    return c;
}

static void write_plan(struct choose_plan *plan, const struct choose_farm *farm,
                       const struct pools *p, struct choice c) {
    plan->female_count = c.females;
    for (int i = 0; i < c.females; i++) {
        plan->females[i] = p->females.index[c.first + i];
        plan->female_mg += p->females.size[c.first + i];
    }
    int lightest = p->females.count - 1;
    if (lightest >= c.first && lightest < c.first + c.females)
        lightest = c.first - 1;
    plan->spare = lightest >= 0 ? p->females.index[lightest] : -1;
    plan->pond_count = c.ponds;
    plan->short_form = plan->days.short_form;
    for (int i = 0; i < c.ponds; i++) {
        plan->ponds[i] = p->ponds.index[i + 1 == c.ponds ? c.last : i];
        const struct choose_pond *pond = &farm->ponds[plan->ponds[i]];
        plan->area_cm2 += pond->area_cm2;
        plan->short_form =
            plan->short_form ||
            !choose_pond_free(farm, plan->ponds[i], plan->days.prepare_day, plan->days.harvest_day);
    }
}

struct choose_plan choose_plan(const struct choose_farm *farm, const struct order_odds *odds,
                               const struct order_want *want) {
    struct choose_plan plan = {.spare = -1, .days = order_days(want, &farm->tgc, farm->now)};
    plan.reason = plan.days.reason;
    if (plan.reason != ORDER_OK)
        return plan;
    struct pools pools;
    pools_fill(&pools, farm, &plan.days);
    struct choice all = all_of(&pools);
    bool enough = all.females >= (int)book_number(BOOK_ORDER_FEMALES_LEAST) &&
                  does(&pools, odds, all, want->fish);
    int64_t most = enough ? want->fish : outlook_of(&pools, odds, all).promise;
    struct choice chosen = {0, 0, 0, 0};
    if (most > 0) /* what adds nothing to the promise stays free */
        chosen = least_of(&pools, odds, all, most);
    plan.females_able = pools.females.count;
    plan.ponds_able = pools.ponds.count;
    plan.reason = enough ? ORDER_OK : ORDER_NOT_ALL;
    write_plan(&plan, farm, &pools, chosen);
    plan.outlook = outlook_of(&pools, odds, chosen);
    return plan;
}

/* -- the first day ----------------------------------------------------------------------------- */

static bool can_all(const struct choose_farm *farm, const struct order_odds *odds,
                    const struct order_want *want, int64_t day) {
    struct order_want then = *want;
    then.day = day;
    struct order_days days = order_days(&then, &farm->tgc, farm->now);
    struct pools pools;
    if (days.reason != ORDER_OK)
        return false;
    pools_fill(&pools, farm, &days);
    struct choice all = all_of(&pools);
    return all.females >= (int)book_number(BOOK_ORDER_FEMALES_LEAST) &&
           does(&pools, odds, all, want->fish);
}

static int by_day(const void *a, const void *b) {
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* The days of harvest on which another female or pond comes in, after `first` and that itself. */
static int events_of(const struct choose_farm *farm, const struct order_days *days, int64_t first,
                     int64_t *events) {
    int count = 0;
    int64_t inject = days->inject_day, prepare = days->prepare_short_day;
    events[count++] = first;
    for (int i = 0; i < farm->female_count && i < CHOOSE_FROM_MAX; i++) {
        int64_t rested = farm->females[i].rested_day;
        if (rested > inject && rested <= DAY_MOST)
            events[count++] = first + (rested - inject);
    }
    for (int i = 0; i < farm->pond_count && i < CHOOSE_FROM_MAX; i++) {
        int64_t free_day = farm->ponds[i].free_day;
        if (free_day > prepare && free_day <= DAY_MOST)
            events[count++] = first + (free_day - prepare);
    }
    for (int i = 0; i < farm->busy_count && i < CHOOSE_FROM_MAX; i++) {
        int64_t free_day = farm->busy[i].to_day + 1, of = farm->busy[i].pond ? prepare : inject;
        if (free_day > of && free_day <= DAY_MOST)
            events[count++] = first + (free_day - of);
    }
    qsort(events, (size_t)count, sizeof *events, by_day);
    return count;
}

int64_t choose_first_day(const struct choose_farm *farm, const struct order_odds *odds,
                         const struct order_want *want) {
    int64_t events[3 * CHOOSE_FROM_MAX + 1];
    int64_t first = order_first_day(want, &farm->tgc, farm->now);
    if (first < 0)
        return -1;
    first = first > want->day ? first : want->day;
    struct order_want then = *want;
    then.day = first;
    struct order_days days = order_days(&then, &farm->tgc, farm->now);
    if (days.reason != ORDER_OK)
        return -1;
    int low = 0, high = events_of(farm, &days, first, events);
    int count = high;
    if (farm->busy_count) { /* what is free then can be busy later: day by day */
        while (low < count &&
               ((low && events[low] == events[low - 1]) || !can_all(farm, odds, want, events[low])))
            low++;
        high = low;
    }
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (can_all(farm, odds, want, events[middle]))
            high = middle;
        else
            low = middle + 1;
    }
    return low < count ? events[low] : -1;
}

/* -- several ----------------------------------------------------------------------------------- */

void choose_take(struct choose_farm *farm, const struct choose_plan *plan) {
    for (int i = 0; i < plan->female_count; i++)
        farm->females[plan->females[i]].rested_day =
            plan->days.strip_day + (int64_t)book_number(BOOK_REST_DAYS);
    for (int i = 0; i < plan->pond_count; i++)
        farm->ponds[plan->ponds[i]].free_day = plan->days.harvest_day + 1;
}

static void plan_and_take(struct choose_farm *farm, const struct order_odds *odds,
                          const struct order_want *want, bool partly, struct choose_plan *plan) {
    *plan = choose_plan(farm, odds, want);
    if (plan->reason == ORDER_OK || (plan->reason == ORDER_NOT_ALL && partly))
        choose_take(farm, plan);
}

void choose_all(struct choose_farm *farm, const struct order_odds *odds,
                const struct order_want *wants, int count, bool partly, struct choose_plan *plans) {
    int order[CHOOSE_ORDERS_MAX], taken = 0;
    for (int i = 0; i < count; i++) {
        if (taken == CHOOSE_ORDERS_MAX) {
            plans[i] = (struct choose_plan){.reason = ORDER_COUNT, .spare = -1};
            continue;
        }
        int at = taken++;
        for (; at > 0 && wants[order[at - 1]].day > wants[i].day; at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
    for (int i = 0; i < taken; i++)
        plan_and_take(farm, odds, &wants[order[i]], partly, &plans[order[i]]);
}

/* The same day of the month so many months on; in a shorter month its last. */
static int64_t months_on(int64_t day, int months) {
    struct zone_time t = zone_local(&zone_utc, day * DAY_S);
    int month = t.month - 1 + months, year = t.year + month / MONTHS;
    int64_t first = zone_days(year, month % MONTHS + 1, 1);
    int64_t next =
        zone_days(year + (month + 1) / MONTHS - month / MONTHS, (month + 1) % MONTHS + 1, 1);
    return t.day <= next - first ? first + t.day - 1 : next - 1;
}

int choose_season(struct choose_farm *farm, const struct order_odds *odds,
                  const struct order_want *want, int64_t last_day, int every_days,
                  struct choose_plan *rows, int room) {
    if (every_days < 0 || want->day < 0 || want->day > DAY_MOST ||
        last_day > want->day + SEASON_MOST_DAYS)
        return 0;
    int count = 0;
    for (; count < room; count++) {
        struct order_want row = *want;
        row.day =
            every_days > 0 ? want->day + (int64_t)count * every_days : months_on(want->day, count);
        if (row.day > last_day)
            break;
        plan_and_take(farm, odds, &row, true, &rows[count]);
    }
    return count;
}

/* The season of so many fish on a fresh copy of the farm. */
static bool steady(const struct choose_farm *farm, struct choose_farm *marked,
                   const struct order_odds *odds, const struct order_want *want, int64_t fish,
                   int64_t last_day, int every_days, struct choose_plan *rows, int room,
                   int *count) {
    struct choose_female *females = marked->females;
    struct choose_pond *ponds = marked->ponds;
    struct order_want row = *want;
    row.fish = fish;
    *marked = *farm;
    marked->females = females;
    marked->ponds = ponds;
    for (int i = 0; i < farm->female_count; i++)
        females[i] = farm->females[i];
    for (int i = 0; i < farm->pond_count; i++)
        ponds[i] = farm->ponds[i];
    *count = choose_season(marked, odds, &row, last_day, every_days, rows, room);
    bool all = true;
    for (int i = 0; i < *count; i++)
        all &= rows[i].reason == ORDER_OK;
    return all;
}

static int64_t two_figures(int64_t n) {
    int64_t unit = 1;
    while (n / unit >= 100)
        unit *= 10;
    return n / unit * unit;
}

int64_t choose_steady(const struct choose_farm *farm, struct choose_farm *marked,
                      const struct order_odds *odds, const struct order_want *want,
                      int64_t last_day, int every_days, struct choose_plan *rows, int room,
                      int *count) {
    enum { PARTS = 100 };
    int64_t low = 0, high = want->fish;
    if (steady(farm, marked, odds, want, high, last_day, every_days, rows, room, count))
        return high;
    while (high - low > 1 + high / PARTS) {
        int64_t middle = low + (high - low) / 2;
        bool fits =
            steady(farm, marked, odds, want, middle, last_day, every_days, rows, room, count);
        *(fits ? &low : &high) = middle;
    }
    low = two_figures(low);
    if (low > want->fish / PARTS &&
        steady(farm, marked, odds, want, low, last_day, every_days, rows, room, count))
        return low;
    (void)steady(farm, marked, odds, want, want->fish, last_day, every_days, rows, room, count);
    return 0;
}
