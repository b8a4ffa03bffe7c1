/* count: fish by weight, and the water that ponds and tanks hold. Pure, exact in integers. */
#ifndef TRADE_COUNT_H
#define TRADE_COUNT_H

#include <stdbool.h>
#include <stdint.h>

enum count_reason {
    COUNT_OK,
    COUNT_IMPOSSIBLE /* nothing counted or weighed, a sample heavier than all, or beyond sense */
};

struct fish_count {
    enum count_reason reason;
    int64_t count; /* to the nearest fish */
};

/* All of them weighed, so many counted out and weighed: total x sample count / sample weight. Up to
 * 100 t and a million counted. */
struct fish_count count_by_weight(int64_t total_mg, int64_t sample_count, int64_t sample_mg);

/* Too few were counted for a sure number. */
bool count_sample_small(int64_t sample_count);

/* To the nearest ml; 0 for a side that is none or longer than 1 km. */
int64_t count_box_ml(int64_t long_mm, int64_t wide_mm, int64_t deep_mm);
int64_t count_round_ml(int64_t across_mm, int64_t deep_mm);

#endif
