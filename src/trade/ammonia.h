/* ammonia: how much of the ammonia in water is un-ionised, which is the part that harms fish, and
 * how far that is from what they bear. Emerson et al. 1975, fresh water, 0-40 degC (fitted for
 * 0-30), pH 4-11. Amounts in ug/l as nitrogen, pH in thousandths (8.0 is 8000). Pure, rounded to
 * the nearest. The highest pH of the day says most: it is in the afternoon. */
#ifndef TRADE_AMMONIA_H
#define TRADE_AMMONIA_H

#include <stdint.h>

/* Un-ionised, in millionths of the total; -1 outside the range. */
int64_t ammonia_share_ppm(int64_t ph_milli, int64_t water_mdegc);

/* What a kit shows as NH4, as nitrogen; -1 when it is under 0 or over 1 g/l. */
int64_t ammonia_n_of_nh4_ug_l(int64_t nh4_ug_l);

/* The most un-ionised nitrogen for a fish of this weight. 0 or less, not known: the smallest. */
int64_t ammonia_limit_ug_l(int64_t weight_mg);
int64_t ammonia_nitrite_limit_ug_l(void); /* nitrite as nitrogen */

enum ammonia_reason {
    AMMONIA_OK,
    AMMONIA_NO_TOTAL, /* under 0 or over 1 g/l */
    AMMONIA_NO_PH,    /* outside 4-11 */
    AMMONIA_NO_WATER  /* outside 0-40 degC */
};

struct ammonia {
    enum ammonia_reason reason;
    int64_t share_ppm;
    int64_t unionised_ug_l;
    int64_t limit_ug_l;
    int64_t permille;   /* of the limit: 1000 is at it, over it harms; rounded up */
    int64_t total_most; /* ug N/l of total ammonia that these fish bear in this water, rounded
                           down */
};
struct ammonia ammonia_of(int64_t total_n_ug_l, int64_t ph_milli, int64_t water_mdegc,
                          int64_t weight_mg);

/* Thousandths of the limit, rounded up; -1 when it is under 0 or over 1 g/l. */
int64_t ammonia_nitrite_permille(int64_t nitrite_n_ug_l);

#endif
