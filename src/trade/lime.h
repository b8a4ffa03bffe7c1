/* lime: ground limestone for a pond by its soil, and other limes for the same effect. Pond lime
 * only: it burns, and fry wait for the pH after any but carbonate. Pure. */
#ifndef TRADE_LIME_H
#define TRADE_LIME_H

#include <stdint.h>

enum soil { SOIL_CLAY = 1, SOIL_SANDY_LOAM = 2, SOIL_SAND = 3 };
enum lime_kind { LIME_CARBONATE = 1, LIME_HYDRATED = 2, LIME_QUICK = 3 };

enum lime_reason {
    LIME_OK,
    LIME_NOT_NEEDED, /* the soil's pH is above 6.5 */
    LIME_TOO_ACID,   /* below 4: an adviser first */
    LIME_UNKNOWN     /* no soil, no area or over 100 km2, or a pH not in 0-14 (0 is none) */
};

struct lime_dose {
    enum lime_reason reason;
    int64_t carbonate_mg; /* CaCO3, of the whole pond; 0 unless LIME_OK */
};

/* Saha et al. 2003 in FAO AFFRIS (quoted): kg CaCO3 an are for clay, sandy loam, sand. pH 4-5: 30,
 * 20, 10; 5-6: 18, 12, 6; 6-6.5: 15, 10, 5; the lower band owns 5.0 and 6.0. Boyd's full correction
 * is 2-4 times it. */
struct lime_dose lime_of(int64_t soil_ph_milli, enum soil soil, int64_t area_cm2);

/* As much of another lime, by its neutralising value, to the nearest; 0 for nothing and for more
 * than lime_of ever gives. */
int64_t lime_as(enum lime_kind kind, int64_t carbonate_mg);

#endif
