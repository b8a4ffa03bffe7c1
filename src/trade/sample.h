/* sample: fish weighed and measured, and a disc lowered into the water. Weights in mg, lengths in
 * thousandths of a mm, depths in mm, spreads in thousandths of the mean. Pure, rounded to the
 * nearest. */
#ifndef TRADE_SAMPLE_H
#define TRADE_SAMPLE_H

#include <stdbool.h>
#include <stdint.h>

enum sample_reason {
    SAMPLE_OK,
    SAMPLE_IMPOSSIBLE /* none, a fish of 0 or less or over 100 kg, over a million fish */
};

struct sample {
    enum sample_reason reason;
    int64_t count;
    int64_t mean_mg;
    int64_t error_mg;    /* standard error of the mean, rounded up, at least 1 */
    int64_t cv_permille; /* spread of single fish over the mean */
    int64_t sd_mg;     /* the same spread as a weight; the book's share of the mean if not known */
    int64_t median_mg; /* the middle fish, of an even number half way between two; 0: not known */
    int64_t least_mg, largest_mg; /* 0: not known */
    int64_t largest_permille;     /* the largest over the median, rounded down; 0: not known */
    bool spread_known;            /* false: weighed together or one alone, cv is the book's */
    bool small;                   /* too few for a sure mean */
    bool grade; /* sort by size: a known spread over the book's, or a largest fish that
                   weighs BOOK_LARGE_GRADE times the median or more */
};
/* Each weighed alone. */
struct sample sample_of_weights(const int64_t *weight_mg, int count);
/* So many, weighed together. */
struct sample sample_of_total(int64_t count, int64_t total_mg);

/* How many of them are under low_mg, from low_mg to high_mg, and over high_mg; all 0 for what
 * cannot be. An order of fingerlings of 2 to 10 g is such a split. */
struct sample_split {
    int under, within, over;
    int64_t under_permille, over_permille; /* of all, to the nearest */
};
struct sample_split sample_split(const int64_t *weight_mg, int count, int64_t low_mg,
                                 int64_t high_mg);

/* The length that a fish of this weight usually has, by the middle of the book's condition; 0 when
 * the weight is beyond sense. */
int64_t sample_length_um(int64_t weight_mg);

enum sample_shape { SAMPLE_SHAPE_UNKNOWN, SAMPLE_LEAN, SAMPLE_USUAL, SAMPLE_FAT };
/* 100 W / L^3, g and cm, in thousandths; 0 when weight or length is beyond sense. */
int64_t sample_condition_permille(int64_t weight_mg, int64_t length_um);
enum sample_shape sample_shape(int64_t condition_permille);

/* Secchi disc: the depth at which it is lost. */
enum secchi {
    SECCHI_IMPOSSIBLE, /* under 0 or over 20 m */
    SECCHI_DANGER,     /* under 20 cm: oxygen may fail at night */
    SECCHI_STOP,       /* 20 to under 25: no feed and no manure */
    SECCHI_GOOD,       /* 25-40 */
    SECCHI_CLEAR       /* over 40: too little plankton */
};
enum secchi sample_secchi(int64_t depth_mm);

#endif
