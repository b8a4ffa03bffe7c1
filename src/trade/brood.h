/* brood: who may be injected, how many brood fish a pond holds, what they eat. Pure. */
#ifndef TRADE_BROOD_H
#define TRADE_BROOD_H

#include <stdbool.h>
#include <stdint.h>

/* Old and heavy enough. age_s below 0: not known, the weight alone decides; weight 0: not known. */
bool brood_mature(int64_t age_s, int64_t weight_mg);
bool brood_weight_passes(int64_t weight_mg); /* may be stripped: 0.3-2 kg */
bool brood_weight_good(int64_t weight_mg);   /* good to strip: 0.3-1 kg */

int64_t brood_room(int64_t area_cm2); /* fish, rounded down */

/* Feed a day for one fish, by its weight and the water; water_mdegc below 0: not known, as warm.
 * To the nearest mg; 0 for no weight and over a tonne. */
int64_t brood_feed_mg(int64_t weight_mg, int64_t water_mdegc);

#endif
