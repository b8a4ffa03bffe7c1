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

/* The same with what it may really be: four times in five between low and high. The fish are taken
 * at random, their weights spread by cv_permille (thousandths of their mean, sample.h) about it;
 * spread_known: it was found by weighing these very fish one by one, so it is itself unsure and the
 * range is a little wider. cv_permille -1: the book's. Never under what was counted. */
struct fish_count_range {
    enum count_reason reason;
    int64_t low, middle, high;
};
struct fish_count_range count_by_weight_range(int64_t total_mg, int64_t sample_count,
                                              int64_t sample_mg, int64_t cv_permille,
                                              bool spread_known);

/* Too few were counted for a sure number. */
bool count_sample_small(int64_t sample_count);

/* To the nearest ml; 0 for a side that is none or longer than 1 km. */
int64_t count_box_ml(int64_t long_mm, int64_t wide_mm, int64_t deep_mm);
int64_t count_round_ml(int64_t across_mm, int64_t deep_mm);

/* A pond by its area and mean depth, to the nearest ml; 0 for an area that is none or over 100 km2,
 * a depth that is none or over 100 m. The mean of a bottom that slopes evenly from one depth to
 * another is count_depth_mm, to the nearest. */
int64_t count_pond_ml(int64_t area_cm2, int64_t depth_mm);
int64_t count_depth_mm(int64_t shallow_mm, int64_t deep_mm); /* 0 for what cannot be */

#endif
