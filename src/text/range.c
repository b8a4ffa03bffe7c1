/* range: see range.h. In: a unit and a kind of message. Out: the least and the most. No errors. */
#include "text/range.h"

#define MICRO ((int64_t)1000000)

/* What settles 1,500 as one or the other, never what is refused (the turn does that). Degrees:
 * water that fish could be in (embryos die below 17.5 and above 35.1 C, a published trial at 33
 * temperatures; wider here). Weights in grams: a brood female, 300 g to 3 kg
 * being usual and the largest African catfish about 60 kg (from memory); stripped eggs, at most a
 * fifth of her; what goes in and out of a pond, from a larva of a few milligrams to the whole
 * catch; feed of a day, or in a measure; feed in a store. Common practice, no source for the exact
 * bounds. */
enum {
    WATER_LEAST_C = 10,
    WATER_MOST_C = 45,
    BARE_LEAST_C = 15, /* below are oxygen and pH, above are Secchi depths */
    BARE_MOST_C = 36,
    FEMALE_LEAST_G = 50,
    FISH_MOST_G = 60000,
    EGGS_LEAST_G = 1,
    EGGS_MOST_G = 12000,
    FRY_LEAST_MG = 1,
    CATCH_MOST_G = 1000000,
    GROWN_LEAST_G = 10,
    FED_LEAST_G = 20,
    FED_MOST_G = 500000,
    STORE_MOST_G = 50000000
};

int64_t text_range_unit_mg(enum text_meaning unit) {
    return unit == MEAN_KG ? 1000000 : unit == MEAN_MG ? 1 : 1000;
}

/* By kind: the least in mg, the most in g; of any other kind those of a fish and her eggs. */
static const struct {
    enum request_kind kind;
    int least_mg, most_g;
} weights[] = {
    {REQUEST_INJECT, FEMALE_LEAST_G * 1000, FISH_MOST_G},
    {REQUEST_PLAN, FEMALE_LEAST_G * 1000, FISH_MOST_G},
    {REQUEST_BROOD, FEMALE_LEAST_G * 1000, FISH_MOST_G},
    {REQUEST_DOSE, FEMALE_LEAST_G * 1000, FISH_MOST_G},
    {REQUEST_STRIP, EGGS_LEAST_G * 1000, EGGS_MOST_G},
    {REQUEST_STOCK, FRY_LEAST_MG, CATCH_MOST_G},
    {REQUEST_HARVEST, FRY_LEAST_MG, CATCH_MOST_G},
    {REQUEST_MOVE, FRY_LEAST_MG, CATCH_MOST_G},
    {REQUEST_SOLD, FRY_LEAST_MG, CATCH_MOST_G},
    {REQUEST_SAMPLE, FRY_LEAST_MG, CATCH_MOST_G},
    {REQUEST_TABLE, FRY_LEAST_MG, FISH_MOST_G},
    {REQUEST_GROWTH, GROWN_LEAST_G * 1000, FISH_MOST_G},
    {REQUEST_FEED, FED_LEAST_G * 1000, FED_MOST_G},
    {REQUEST_GAVE, FED_LEAST_G * 1000, FED_MOST_G},
    {REQUEST_MEASURE, FED_LEAST_G * 1000, FED_MOST_G},
    {REQUEST_BLEND, FED_LEAST_G * 1000, STORE_MOST_G},
    {REQUEST_BOUGHT, FED_LEAST_G * 1000, STORE_MOST_G},
    {REQUEST_STORE, FED_LEAST_G * 1000, STORE_MOST_G},
    {REQUEST_ORDER, FRY_LEAST_MG, FISH_MOST_G},
    {REQUEST_SEASON, FRY_LEAST_MG, FISH_MOST_G},
};

struct text_range text_range_of(enum text_meaning unit, enum request_kind kind) {
    int64_t least_mg = EGGS_LEAST_G * 1000, most_g = FISH_MOST_G, mg = text_range_unit_mg(unit);
    if (unit == MEAN_DEGC)
        return (struct text_range){WATER_LEAST_C * MICRO, WATER_MOST_C * MICRO};
    for (size_t i = 0; i < sizeof weights / sizeof *weights; i++)
        if (weights[i].kind == kind) {
            least_mg = weights[i].least_mg;
            most_g = weights[i].most_g;
        }
    return (struct text_range){least_mg * MICRO / mg, most_g * 1000 * MICRO / mg};
}

struct text_range text_range_bare_water(void) {
    return (struct text_range){BARE_LEAST_C * MICRO, BARE_MOST_C * MICRO};
}

bool text_range_has(struct text_range range, int64_t micro) {
    return micro >= range.least_micro && micro <= range.most_micro;
}
