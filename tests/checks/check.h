/* check: one case of a .chk file and the calculations that a case may ask for. The form of the
 * files is described at the head of run.c. */
#ifndef CHECKS_CHECK_H
#define CHECKS_CHECK_H

#include <stdbool.h>

#include "trade/lime.h"
#include "trade/progress.h"

/* What a case may give; the names are in check_given_names. */
enum given {
    GIVEN_DEGC,
    GIVEN_ZERO,     /* degC at which development stands still */
    GIVEN_OBSERVED, /* minutes somebody measured */
    GIVEN_WATER,    /* readings */
    GIVEN_AT,       /* instant from which, or for the plan until which, is reckoned */
    GIVEN_WEIGHT,   /* g of stripped eggs */
    GIVEN_FEMALE,   /* g */
    GIVEN_EGGS,
    GIVEN_WHITE,
    GIVEN_OF,
    GIVEN_NAME, /* of a value in the book */

    /* larvae, doses, ponds and counts (work_run.c) */
    GIVEN_ARES,
    GIVEN_DEPTH, /* m */
    GIVEN_PH,
    GIVEN_SOIL,   /* clay, sandy_loam or sand */
    GIVEN_KG,     /* of ground limestone */
    GIVEN_LABEL,  /* ml for each kg */
    GIVEN_VOLUME, /* l */
    GIVEN_DAYS,
    GIVEN_HOURS, /* after the hatch */
    GIVEN_LENGTH_MM,
    GIVEN_LONG, /* m, and so are these */
    GIVEN_WIDE,
    GIVEN_ACROSS,
    GIVEN_SHALLOW,
    GIVEN_TOTAL, /* g of all fish */
    GIVEN_SAMPLE_FISH,
    GIVEN_SAMPLE, /* g of the fish counted */
    GIVEN_CV,     /* % of the mean */
    GIVEN_FISH,
    GIVEN_FROM_MG,
    GIVEN_TO_MG,

    /* growing ponds (work_pond.c) */
    GIVEN_HEIGHT, /* m above the sea */
    GIVEN_LENGTH_CM,
    GIVEN_FROM_G,
    GIVEN_TO_G,
    GIVEN_FIRST, /* % protein of an ingredient */
    GIVEN_SECOND,
    GIVEN_WANTED, /* % protein */
    GIVEN_MIX,    /* kg:% protein of each ingredient */
    GIVEN_DAY,    /* of stay, 0 is the day of stocking */
    GIVEN_STEPS,
    GIVEN_SERIES, /* mean weights by day */
    GIVEN_USE,    /* of the series, so many from the start are known */
    GIVEN_POINT,  /* of the series, counted from 1 */
    GIVEN_TAN,    /* mg N/l of total ammonia */
    GIVEN_OXYGEN, /* two readings, mg/l */
    GIVEN_LIMIT,  /* mg/l */
    GIVEN_RATION, /* g a day */
    GIVEN_MEALS,
    GIVEN_MEASURE, /* g */
    GIVEN_MOST,    /* g a day */
    GIVEN_COUNT
};

#define NEED(given) (UINT64_C(1) << (given))
_Static_assert(GIVEN_COUNT <= 64, "a bit for each");

enum { READINGS_MAX = 16, SERIES_MAX = 16 };

struct given_values {
    uint64_t has; /* NEED of each */
    double number[GIVEN_COUNT];
    int64_t at_s;
    struct water_reading readings[READINGS_MAX];
    int reading_count;
    struct water_reading oxygen[READINGS_MAX]; /* in ug/l where water has thousandths of a degree */
    int oxygen_count;
    enum book_id book;
    enum soil soil;
    double mix_kg[SERIES_MAX], mix_percent[SERIES_MAX];
    int mix_count;
    double series_day[SERIES_MAX], series_g[SERIES_MAX];
    int series_count;
};

enum outcome_kind { OUTCOME_NUMBER, OUTCOME_INSTANT, OUTCOME_ANSWER };

struct outcome {
    enum progress_status status;
    double number;
    int64_t at_s;
    bool answer;
};

struct calculation {
    const char *name;
    enum outcome_kind kind;
    uint64_t needs; /* exactly these are to be given */
    struct outcome (*work)(const struct given_values *given);
};

extern const char *const check_given_names[GIVEN_COUNT];
const struct calculation *check_calculation(const char *name); /* NULL if unknown */
extern const struct calculation check_run_calculations[]; /* of larvae and ponds (work_run.c) */
extern const int check_run_count;
extern const struct calculation check_pond_calculations[]; /* of growing ponds (work_pond.c) */
extern const int check_pond_count;
const char *check_status_name(enum progress_status status);
bool check_book_id(const char *name, enum book_id *id); /* spaces written as '_' */
bool check_soil(const char *name, enum soil *soil);

#endif
