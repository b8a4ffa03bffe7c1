/* currency: codes of ISO 4217 and how many digits their smallest unit has, and the currency of a
 * country. Pure, constant.
 *
 * Source: ISO 4217:2015, list one (current currencies and funds). What a country pays with daily
 * may differ; the farm's settings may name another code. */
#ifndef TRADE_CURRENCY_H
#define TRADE_CURRENCY_H

#include <stdint.h>

#include "base/slice.h"

struct currency {
    char code[4];  /* ISO 4217, "KES" */
    int digits;    /* after the point: 2 means 100 minor units make one */
    int64_t minor; /* 10 to that power */
};

/* Three letters, large or small. NULL: not in the list. */
const struct currency *currency_of_code(struct slice code);
/* Two letters of ISO 3166-1, large or small. NULL: not in the list. */
const struct currency *currency_of_country(struct slice country);

/* The list, for those who walk it; NULL past its end. */
const struct currency *currency_at(int index);

#endif
