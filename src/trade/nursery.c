/* nursery: see nursery.h. In: ponds, counts, days. Out: counts, days and weights. No errors. */
#include "trade/nursery.h"

#include "trade/book.h"

enum { M2_CM2 = 10000, WEEK_DAYS = 7, RATION_WEEKS_MOST = 26, STEPS_MOST = 8, PERMILLE = 1000 };

#define AREA_MOST_CM2 INT64_C(1000000000000)
#define COUNT_MOST    INT64_C(1000000000000)

static bool pond_sane(int64_t area_cm2, int64_t depth_mm) {
    return area_cm2 > 0 && area_cm2 <= AREA_MOST_CM2 && depth_mm > 0 && depth_mm <= 100000;
}

/* A cubic metre is 10 000 cm2 by 1000 mm. Here and below the product first: it is exact, so that a
 * half stays a half. */
static int64_t per_m3(int64_t area_cm2, int64_t depth_mm, enum book_id id) {
    if (!pond_sane(area_cm2, depth_mm))
        return 0;
    return (int64_t)((double)area_cm2 * (double)depth_mm * book_number(id) / 1e7 + 0.5);
}

int64_t nursery_volume_ml(int64_t area_cm2, int64_t depth_mm) {
    return pond_sane(area_cm2, depth_mm) ? area_cm2 * depth_mm / 10 : 0;
}

int64_t nursery_least(int64_t area_cm2, int64_t depth_mm) {
    return per_m3(area_cm2, depth_mm, BOOK_FRY_PER_M3_LEAST);
}

int64_t nursery_most(int64_t area_cm2, int64_t depth_mm) {
    return per_m3(area_cm2, depth_mm, BOOK_FRY_PER_M3_MOST);
}

static int64_t share(int64_t count, enum book_id id) {
    if (count <= 0)
        return 0;
    return (int64_t)((double)(count < COUNT_MOST ? count : COUNT_MOST) * book_number(id) + 0.5);
}

struct nursery_range nursery_survivors(int64_t fry) {
    return (struct nursery_range){share(fry, BOOK_NURSERY_LOW), share(fry, BOOK_NURSERY_USUAL),
                                  share(fry, BOOK_NURSERY_HIGH)};
}

static int64_t on_area(int64_t area_cm2, double per_m2) {
    return pond_sane(area_cm2, 1) ? (int64_t)((double)area_cm2 * per_m2 / M2_CM2 + 0.5) : 0;
}

int64_t nursery_direct_larvae(int64_t area_cm2) {
    return on_area(area_cm2, book_number(BOOK_DIRECT_LARVAE_M2));
}

struct nursery_range nursery_direct(int64_t area_cm2, bool fenced) {
    double middle = book_number(fenced ? BOOK_DIRECT_FENCED_M2 : BOOK_DIRECT_OPEN_M2);
    double spread = book_number(fenced ? BOOK_DIRECT_FENCED_SPREAD : BOOK_DIRECT_OPEN_SPREAD);
    return (struct nursery_range){on_area(area_cm2, middle - spread), on_area(area_cm2, middle),
                                  on_area(area_cm2, middle + spread)};
}

int nursery_prepare_before(bool short_form, int step) {
    switch (step) {
    case NURSERY_DRY:
        return (int)book_number(short_form ? BOOK_PREP_SHORT_DAYS : BOOK_PREP_DRY_DAYS);
    case NURSERY_LIME:
        return (int)book_number(short_form ? BOOK_PREP_SHORT_LIME_DAYS : BOOK_PREP_LIME_DAYS);
    case NURSERY_MANURE:
        return (int)book_number(BOOK_PREP_MANURE_DAYS);
    case NURSERY_FILL:
        return (int)book_number(BOOK_PREP_FILL_DAYS);
    default:
        return -1;
    }
}

int nursery_prepare_days(bool short_form) {
    return nursery_prepare_before(short_form, NURSERY_DRY);
}

/* A kg an are is a mg a cm2. */
static int64_t per_are(int64_t area_cm2, double kg_are) {
    return pond_sane(area_cm2, 1) ? (int64_t)((double)area_cm2 * kg_are + 0.5) : 0;
}

int64_t nursery_manure_hen_mg(int64_t area_cm2) {
    return per_are(area_cm2, book_number(BOOK_MANURE_HEN_KG_ARE));
}

int64_t nursery_manure_cow_mg(int64_t area_cm2) {
    return per_are(area_cm2, book_number(BOOK_MANURE_COW_KG_ARE));
}

int64_t nursery_ration_mg(int64_t area_cm2, int day) {
    if (day < 0)
        return 0;
    int weeks = day / WEEK_DAYS < RATION_WEEKS_MOST ? day / WEEK_DAYS : RATION_WEEKS_MOST;
    double kg_are = book_number(BOOK_NURSERY_FEED_KG_ARE);
    for (int i = 0; i < weeks; i++)
        kg_are *= book_number(BOOK_NURSERY_FEED_RISE);
    return per_are(area_cm2, kg_are);
}

int nursery_few_permille(int64_t fry, int64_t least) {
    if (least <= 0 || fry >= least)
        return PERMILLE;
    return fry > 0 ? (int)((double)fry * PERMILLE / (double)least + 0.5) : 0;
}

/* A report lowers by a step and begins the count of clean days again. */
int nursery_ration_steps(const int *left_days, int count, int day) {
    int clean_days = (int)book_number(BOOK_FEED_CLEAN_DAYS);
    int steps = 0, since = 0, last = -1;
    for (int i = 0; i < count && left_days[i] < day; i++) {
        if (left_days[i] < 0 || left_days[i] <= last)
            continue;
        if (last >= 0) {
            since = (left_days[i] - last - 1) / clean_days;
            steps = steps > since ? steps - since : 0;
        }
        steps = steps < STEPS_MOST ? steps + 1 : steps;
        last = left_days[i];
    }
    if (last < 0)
        return 0;
    since = (day - last - 1) / clean_days;
    return steps > since ? steps - since : 0;
}

int64_t nursery_ration_step(int64_t area_cm2, int day, int steps) {
    return ration_after_left_mg(nursery_ration_mg(area_cm2, day), steps);
}

struct nursery_feed nursery_feed_of(int64_t area_cm2, int day, int few_permille,
                                    const int *left_days, int count, bool aerated) {
    double few = few_permille < PERMILLE ? (double)few_permille / PERMILLE : 1;
    double line_mg = (double)nursery_ration_mg(area_cm2, day) * (few > 0 ? few : 0);
    struct nursery_feed feed = {.line_mg = (int64_t)(line_mg + 0.5)};
    if (feed.line_mg == 0)
        return feed;
    feed.steps = nursery_ration_steps(left_days, count, day);
    feed.ration_mg = ration_after_left_mg(feed.line_mg, feed.steps);
    feed.guard = ration_guard(feed.ration_mg, area_cm2, aerated);
    feed.capped = feed.guard == RATION_GUARD_LIMIT;
    if (feed.capped)
        feed.ration_mg = ration_most_mg(area_cm2);
    feed.meal_mg = feed.ration_mg / (int64_t)book_number(BOOK_FEED_MEALS);
    feed.halved_meal_mg = (int64_t)((double)feed.meal_mg * book_number(BOOK_FEED_HALF));
    return feed;
}
