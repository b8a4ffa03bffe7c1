/* water: the temperature at an instant. In: a sorted series of readings. Out: thousandths of a
 * degree. No errors. Limits: any instants of int64_t, their differences are taken without overflow;
 * temperatures are taken to be within a million degrees. */
#include "trade/water.h"

#include <stdbool.h>

/* later - earlier, exact even where a signed difference would overflow. */
static double seconds_between(int64_t earlier, int64_t later) {
    return (double)((uint64_t)later - (uint64_t)earlier);
}

int water_count_until(struct water_series water, int64_t at_s) {
    int low = 0, high = water.count > 0 ? water.count : 0;
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (water.readings[middle].at_s <= at_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

int64_t water_at_mdegc(struct water_series water, int64_t at_s) {
    if (water.count <= 0)
        return 0;
    int next = water_count_until(water, at_s);
    if (next == 0)
        return water.readings[0].mdegc;
    const struct water_reading *a = &water.readings[next - 1];
    if (next == water.count || a->at_s == at_s)
        return a->mdegc;
    const struct water_reading *b = a + 1;
    double share = seconds_between(a->at_s, at_s) / seconds_between(a->at_s, b->at_s);
    double change = share * ((double)b->mdegc - (double)a->mdegc);
    return a->mdegc + (int64_t)(change < 0 ? change - 0.5 : change + 0.5);
}

int64_t water_mean_mdegc(struct water_series water, int64_t from_s, int64_t to_s) {
    int64_t at_s = from_s, here = water_at_mdegc(water, from_s);
    double sum = 0; /* of thousandths of a degree and half seconds */
    if (to_s <= from_s)
        return here;
    for (int i = water_count_until(water, from_s); at_s < to_s; i++) {
        bool inside = i < water.count && water.readings[i].at_s < to_s;
        int64_t next_s = inside ? water.readings[i].at_s : to_s;
        int64_t next = inside ? water.readings[i].mdegc : water_at_mdegc(water, to_s);
        sum += (double)(here + next) * seconds_between(at_s, next_s);
        at_s = next_s;
        here = next;
    }
    double mean = sum / 2 / seconds_between(from_s, to_s);
    return (int64_t)(mean < 0 ? mean - 0.5 : mean + 0.5);
}
