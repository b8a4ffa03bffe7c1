/* ration: dry feed a day as a share of a fish's weight, and what the water makes of it. The table
 * is a guide of low confidence (see the book). Pure, to the nearest. */
#ifndef TRADE_RATION_H
#define TRADE_RATION_H

#include <stdint.h>

/* Parts per million of body weight a day at 28-32 degC; a weight of 0 or less gives 0. */
int64_t ration_ppm(int64_t weight_mg);

/* Thousandths of that ration in such water; 0 (no feed) under 18 and over 34 degC. */
int64_t ration_factor_permille(int64_t water_mdegc);

#endif
