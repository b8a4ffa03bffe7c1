/* oxygen: how much fresh water can hold, how much of that it holds, and how low it will be at dawn.
 * Saturation by Benson and Krause 1984 as in APHA Standard Methods 4500-O, fresh water, 0-40 degC
 * and 0.5-1.1 atm. Oxygen in ug/l (1 mg/l is 1000), pressure in millionths of a standard
 * atmosphere. Pure, rounded to the nearest; what cannot be gives 0. */
#ifndef TRADE_OXYGEN_H
#define TRADE_OXYGEN_H

#include <stdbool.h>
#include <stdint.h>

/* P = (1 - 2.25577e-5 h)^5.25588; from -400 to 5000 m above the sea, else 0. */
int64_t oxygen_pressure_uatm(int64_t height_m);

/* Saturated with air. 0 outside 0-40 degC or 0.5-1.1 atm. */
int64_t oxygen_saturation_ug_l(int64_t water_mdegc, int64_t pressure_uatm);

/* Thousandths of saturation. 0 when the water is outside the law, or oxygen outside 0-40 mg/l. */
int64_t oxygen_permille(int64_t oxygen_ug_l, int64_t water_mdegc, int64_t pressure_uatm);

/* Under this the fish are in danger: fry that only have gills, and older ones, which breathe air.
 * An age of -1, not known, is taken as older. */
int64_t oxygen_limit_ug_l(int age_days);

enum oxygen_reason {
    OXYGEN_OK,
    OXYGEN_IMPOSSIBLE, /* a reading outside 0-40 mg/l, or a limit not over 0 */
    OXYGEN_ORDER,      /* the second not half an hour to 12 h after the first, or dawn not after it
                          within 16 h */
    OXYGEN_RISING      /* the second is as high as the first or higher: no line to dawn */
};

struct oxygen_reading {
    int64_t at_s;
    int64_t oxygen_ug_l;
};

struct oxygen_dusk {
    enum oxygen_reason reason;
    int64_t dawn_ug_l;   /* where the line is at dawn, at least 0 */
    bool danger;         /* it is under the limit by dawn, or was at the second reading */
    int64_t danger_at_s; /* danger: when it comes under the limit, rounded down; never before the
                            first reading */
};
/* Two readings of an evening, the first at dusk; the straight line through them to dawn (Boyd,
 * Romaire and Johnston 1978, from memory). A line is a guess (the fall is quicker early in the
 * night), so it errs to the careful side. */
struct oxygen_dusk oxygen_dusk(struct oxygen_reading first, struct oxygen_reading second,
                               int64_t dawn_s, int64_t limit_ug_l);

#endif
