/* work: the calculations that a case of a .chk file may ask for, by name. In: what the case gives,
 * already read and complete. Out: a number, an instant or a yes or no. */
#include "check.h"

#include <string.h>

#include "trade/eggs.h"
#include "trade/hatch.h"
#include "trade/latency.h"

const char *const check_given_names[GIVEN_COUNT] = {
    [GIVEN_DEGC] = "degc",
    [GIVEN_ZERO] = "zero",
    [GIVEN_OBSERVED] = "observed_min",
    [GIVEN_WATER] = "water",
    [GIVEN_AT] = "at",
    [GIVEN_WEIGHT] = "weight_g",
    [GIVEN_FEMALE] = "female_g",
    [GIVEN_EGGS] = "eggs",
    [GIVEN_WHITE] = "white",
    [GIVEN_OF] = "of",
    [GIVEN_NAME] = "name",
    [GIVEN_ARES] = "ares",
    [GIVEN_DEPTH] = "depth_m",
    [GIVEN_PH] = "ph",
    [GIVEN_SOIL] = "soil",
    [GIVEN_KG] = "kg",
    [GIVEN_LABEL] = "label_ml_kg",
    [GIVEN_VOLUME] = "litres",
    [GIVEN_DAYS] = "days",
    [GIVEN_HOURS] = "hours",
    [GIVEN_LENGTH_MM] = "length_mm",
    [GIVEN_LONG] = "long_m",
    [GIVEN_WIDE] = "wide_m",
    [GIVEN_ACROSS] = "across_m",
    [GIVEN_SHALLOW] = "shallow_m",
    [GIVEN_TOTAL] = "total_g",
    [GIVEN_SAMPLE_FISH] = "sample_fish",
    [GIVEN_SAMPLE] = "sample_g",
    [GIVEN_CV] = "cv_percent",
    [GIVEN_FISH] = "fish",
    [GIVEN_FROM_MG] = "from_mg",
    [GIVEN_TO_MG] = "to_mg",
    [GIVEN_HEIGHT] = "height_m",
    [GIVEN_LENGTH_CM] = "length_cm",
    [GIVEN_FROM_G] = "from_g",
    [GIVEN_TO_G] = "to_g",
    [GIVEN_FIRST] = "first_percent",
    [GIVEN_SECOND] = "second_percent",
    [GIVEN_WANTED] = "wanted_percent",
    [GIVEN_MIX] = "mix",
    [GIVEN_DAY] = "day",
    [GIVEN_STEPS] = "steps",
    [GIVEN_SERIES] = "series",
    [GIVEN_USE] = "use",
    [GIVEN_POINT] = "point",
    [GIVEN_TAN] = "tan_mg_l",
    [GIVEN_OXYGEN] = "oxygen",
    [GIVEN_LIMIT] = "limit_mg_l",
    [GIVEN_RATION] = "ration_g",
    [GIVEN_MEALS] = "meals",
    [GIVEN_MEASURE] = "measure_g",
    [GIVEN_MOST] = "most_g",
};

static int64_t thousandths(double v) {
    return (int64_t)(v * 1000 + (v < 0 ? -0.5 : 0.5));
}

static struct outcome hours(const struct book_table *table, const struct given_values *g) {
    struct outcome o = {0};
    o.number = progress_hours(table, thousandths(g->number[GIVEN_DEGC]), &o.status);
    return o;
}

static struct outcome latency(const struct given_values *g) {
    return hours(&book_latency, g);
}

static struct outcome hatching(const struct given_values *g) {
    return hours(&book_hatching, g);
}

static struct outcome ratio(const struct book_table *table, const struct given_values *g) {
    struct outcome o = hours(table, g);
    if (o.status == PROGRESS_OK)
        o.number = g->number[GIVEN_OBSERVED] / 60 / o.number;
    return o;
}

static struct outcome latency_ratio(const struct given_values *g) {
    return ratio(&book_latency, g);
}

static struct outcome hatching_ratio(const struct given_values *g) {
    return ratio(&book_hatching, g);
}

static struct outcome latency_law(const struct given_values *g) {
    struct outcome o = hours(&book_latency, g);
    o.number *= g->number[GIVEN_DEGC] - g->number[GIVEN_ZERO];
    return o;
}

static struct water_series water(const struct given_values *g) {
    return (struct water_series){g->readings, g->reading_count};
}

static struct outcome instant(struct progress p) {
    return (struct outcome){.status = p.status, .at_s = p.at_s};
}

static struct outcome first_look(const struct given_values *g) {
    return instant(latency_of(water(g), g->at_s).look);
}

static struct outcome most_ready(const struct given_values *g) {
    return instant(latency_of(water(g), g->at_s).most);
}

static struct outcome rest(const struct given_values *g) {
    return instant(latency_of(water(g), g->at_s).end);
}

static struct outcome plan(const struct given_values *g) {
    return instant(latency_plan(water(g), g->at_s));
}

static struct outcome half_hatch(const struct given_values *g) {
    return instant(hatch_of(water(g), g->at_s).half);
}

static struct outcome lift(const struct given_values *g) {
    return instant(hatch_of(water(g), g->at_s).lift);
}

static struct outcome frames_out(const struct given_values *g) {
    return instant(hatch_of(water(g), g->at_s).last);
}

static struct outcome count(int64_t n) {
    return (struct outcome){.number = (double)n};
}

static int64_t weight_mg(const struct given_values *g) {
    return thousandths(g->number[GIVEN_WEIGHT]);
}

static int64_t female_mg(const struct given_values *g) {
    return thousandths(g->number[GIVEN_FEMALE]);
}

static struct outcome eggs(const struct given_values *g) {
    return count(eggs_of_weight(weight_mg(g)));
}

static struct outcome room(const struct given_values *g) {
    return count(eggs_room_cm2(weight_mg(g)));
}

static struct outcome square(const struct given_values *g) {
    return count(eggs_square_cm(weight_mg(g)));
}

static struct outcome still(const struct given_values *g) {
    return count(eggs_still_ml(weight_mg(g)));
}

static struct outcome eggs_per_litre(const struct given_values *g) {
    double litres = (double)eggs_still_ml(weight_mg(g)) / 1000;
    return (struct outcome){.number = (double)eggs_of_weight(weight_mg(g)) / litres};
}

static struct outcome expected_low(const struct given_values *g) {
    return count(eggs_expected(female_mg(g)).low);
}

static struct outcome expected_middle(const struct given_values *g) {
    return count(eggs_expected(female_mg(g)).middle);
}

static struct outcome expected_high(const struct given_values *g) {
    return count(eggs_expected(female_mg(g)).high);
}

static struct outcome plausible(const struct given_values *g) {
    return (struct outcome){.answer = eggs_plausible(weight_mg(g), female_mg(g))};
}

static struct outcome alive(const struct given_values *g) {
    return count(eggs_alive((int64_t)g->number[GIVEN_EGGS], (int64_t)g->number[GIVEN_WHITE],
                            (int64_t)g->number[GIVEN_OF]));
}

static struct outcome book_value(const struct given_values *g) {
    return (struct outcome){.number = book_number(g->book)};
}

#define WATERED (NEED(GIVEN_WATER) | NEED(GIVEN_AT))

static const struct calculation calculations[] = {
    {"latency", OUTCOME_NUMBER, NEED(GIVEN_DEGC), latency},
    {"latency_ratio", OUTCOME_NUMBER, NEED(GIVEN_DEGC) | NEED(GIVEN_OBSERVED), latency_ratio},
    {"latency_law", OUTCOME_NUMBER, NEED(GIVEN_DEGC) | NEED(GIVEN_ZERO), latency_law},
    {"first_look", OUTCOME_INSTANT, WATERED, first_look},
    {"most_ready", OUTCOME_INSTANT, WATERED, most_ready},
    {"rest", OUTCOME_INSTANT, WATERED, rest},
    {"plan", OUTCOME_INSTANT, WATERED, plan},
    {"hatching", OUTCOME_NUMBER, NEED(GIVEN_DEGC), hatching},
    {"hatching_ratio", OUTCOME_NUMBER, NEED(GIVEN_DEGC) | NEED(GIVEN_OBSERVED), hatching_ratio},
    {"half_hatch", OUTCOME_INSTANT, WATERED, half_hatch},
    {"lift", OUTCOME_INSTANT, WATERED, lift},
    {"frames_out", OUTCOME_INSTANT, WATERED, frames_out},
    {"eggs", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), eggs},
    {"room", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), room},
    {"square", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), square},
    {"still", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), still},
    {"eggs_per_litre", OUTCOME_NUMBER, NEED(GIVEN_WEIGHT), eggs_per_litre},
    {"expected_low", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), expected_low},
    {"expected_middle", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), expected_middle},
    {"expected_high", OUTCOME_NUMBER, NEED(GIVEN_FEMALE), expected_high},
    {"plausible", OUTCOME_ANSWER, NEED(GIVEN_WEIGHT) | NEED(GIVEN_FEMALE), plausible},
    {"alive", OUTCOME_NUMBER, NEED(GIVEN_EGGS) | NEED(GIVEN_WHITE) | NEED(GIVEN_OF), alive},
    {"book", OUTCOME_NUMBER, NEED(GIVEN_NAME), book_value},
};

static const struct calculation *calculation_of(const struct calculation *all, int count,
                                                const char *name) {
    for (int i = 0; i < count; i++)
        if (strcmp(all[i].name, name) == 0)
            return &all[i];
    return NULL;
}

const struct calculation *check_calculation(const char *name) {
    int count = (int)(sizeof calculations / sizeof calculations[0]);
    const struct calculation *found = calculation_of(calculations, count, name);
    if (!found)
        found = calculation_of(check_run_calculations, check_run_count, name);
    if (!found)
        found = calculation_of(check_pond_calculations, check_pond_count, name);
    return found;
}

const char *check_status_name(enum progress_status status) {
    static const char *const names[] = {"ok", "no_water", "cold", "warm"};
    return names[status];
}

bool check_book_id(const char *name, enum book_id *id) {
    for (int i = 0; i < BOOK_COUNT; i++) {
        const char *a = book((enum book_id)i)->name, *b = name;
        while (*a && (*a == *b || (*a == ' ' && *b == '_')))
            a++, b++;
        if (!*a && !*b) {
            *id = (enum book_id)i;
            return true;
        }
    }
    return false;
}

bool check_soil(const char *name, enum soil *soil) {
    static const char *const names[] = {
        [SOIL_CLAY] = "clay", [SOIL_SANDY_LOAM] = "sandy_loam", [SOIL_SAND] = "sand"};
    for (int i = SOIL_CLAY; i <= SOIL_SAND; i++)
        if (strcmp(names[i], name) == 0) {
            *soil = (enum soil)i;
            return true;
        }
    return false;
}
