/* dose: how much of an inducing substance a female wants. The label and a vet come first; a ready
 * mix has no amount without its label. Pure. Weights outside 1 g to 100 kg give zeros. */
#ifndef TRADE_DOSE_H
#define TRADE_DOSE_H

#include <stdbool.h>
#include <stdint.h>

struct dose {
    int64_t donor_least_mg; /* a fresh gland: from a donor at least so heavy */
    int64_t donor_safe_mg;
    int64_t dried_ug; /* dried carp gland */
    int64_t hcg_low_iu, hcg_high_iu;
    int64_t saline_ul; /* to take the gland up in */
};

struct dose dose_of(int64_t female_mg);

/* Of a ready mix, by its label's microlitres for each kg of fish; rounded to what a syringe
 * measures: 0.01 ml up to one millilitre, 0.1 ml above (common practice, no source). 0: no label,
 * no amount; a label over a litre for each kg is none. */
int64_t dose_mix_ul(int64_t female_mg, int64_t label_ul_kg);

/* False: no label that was seen says so; ask. */
bool dose_label_plausible(int64_t label_ul_kg);

/* Clean salt for saline; 0 for no water and from a million m3 on. */
int64_t dose_salt_mg(int64_t water_ml);

#endif
