/* feed: see feed.h. In: proteins, parts, a store and its coming rations. Out: parts, a protein,
 * days. No errors; a person's mistake is a reason. */
#include "trade/feed.h"

enum { WHOLE = 1000, WEEK_DAYS = 7, FETCH_MOST_DAYS = 365 };

#define WEIGHT_MOST_MG INT64_C(1000000000000)

static bool protein(int64_t permille) {
    return permille >= 0 && permille <= WHOLE;
}

/* The arms of the square: each ingredient gets the other's distance from what is wanted. */
struct feed_square feed_square(int64_t first_protein, int64_t second_protein, int64_t wanted) {
    if (!protein(first_protein) || !protein(second_protein) || !protein(wanted))
        return (struct feed_square){.reason = FEED_IMPOSSIBLE};
    if ((wanted < first_protein && wanted < second_protein) ||
        (wanted > first_protein && wanted > second_protein))
        return (struct feed_square){.reason = FEED_OUTSIDE};
    if (first_protein == second_protein)
        return (struct feed_square){FEED_OK, WHOLE / 2, WHOLE / 2};
    int64_t apart = first_protein - second_protein, arm = wanted - second_protein;
    if (apart < 0) {
        apart = -apart;
        arm = -arm;
    }
    int64_t first = (arm * WHOLE * 2 + apart) / (apart * 2);
    return (struct feed_square){FEED_OK, first, WHOLE - first};
}

struct feed_mix feed_mix(const struct feed_part *parts, int count) {
    int64_t all_mg = 0, thousandths = 0; /* of mg of protein; at most 4e15 */
    if (count <= 0 || count > FEED_PARTS_MOST)
        return (struct feed_mix){.reason = FEED_IMPOSSIBLE};
    for (int i = 0; i < count; i++) {
        int64_t mg = parts[i].parts_mg, permille = parts[i].protein_permille;
        if (mg < 0 || mg > WEIGHT_MOST_MG || !protein(permille))
            return (struct feed_mix){.reason = FEED_IMPOSSIBLE};
        all_mg += mg;
        thousandths += mg * permille;
    }
    if (all_mg == 0)
        return (struct feed_mix){.reason = FEED_IMPOSSIBLE};
    return (struct feed_mix){FEED_OK, (thousandths * 2 + all_mg) / (all_mg * 2)};
}

struct feed_store feed_store(int64_t store_mg, const int64_t *ration_mg, int count,
                             int64_t fetch_days) {
    struct feed_store store = {.reason = FEED_OK, .lasts = true};
    if (store_mg < 0 || store_mg > WEIGHT_MOST_MG || count <= 0 || fetch_days < 0 ||
        fetch_days > FETCH_MOST_DAYS)
        return (struct feed_store){.reason = FEED_IMPOSSIBLE};
    int64_t left_mg = store_mg;
    for (int i = 0; i < count; i++) {
        if (ration_mg[i] < 0 || ration_mg[i] > WEIGHT_MOST_MG)
            return (struct feed_store){.reason = FEED_IMPOSSIBLE};
        if (i < WEEK_DAYS)
            store.next_week_mg += ration_mg[i];
        store.lasts = store.lasts && ration_mg[i] <= left_mg;
        if (store.lasts) {
            left_mg -= ration_mg[i];
            store.days++;
        }
    }
    store.days_mg = store_mg - left_mg;
    store.more_mg = store.days_mg + ration_mg[store.days < count ? store.days : count - 1];
    for (int64_t day = store.days; day < store.days + WEEK_DAYS; day++)
        store.after_week_mg += ration_mg[day < count ? day : count - 1];
    /* Day 0 is today, so the last day fed is days - 1. */
    int64_t last_fed = store.days > 0 ? store.days - 1 : 0;
    store.buy_in_days = last_fed > fetch_days ? last_fed - fetch_days : 0;
    return store;
}
