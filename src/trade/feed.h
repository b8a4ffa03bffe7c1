/* feed: mixing two ingredients for a wanted protein, the protein of a mix, and how long a store
 * lasts. Protein and parts in thousandths of the weight. Pure, exact in integers. */
#ifndef TRADE_FEED_H
#define TRADE_FEED_H

#include <stdbool.h>
#include <stdint.h>

enum feed_reason {
    FEED_OK,
    FEED_IMPOSSIBLE, /* protein outside 0-1000, no parts, more than four, a weight beyond sense */
    FEED_OUTSIDE     /* no mix of the two has this protein: it is under both or over both */
};

/* Pearson's square: parts of each, together 1000. Two equal ingredients with the wanted protein
 * are mixed half and half. The first is rounded to the nearest. */
struct feed_square {
    enum feed_reason reason;
    int64_t first_permille, second_permille;
};
struct feed_square feed_square(int64_t first_protein, int64_t second_protein, int64_t wanted);

enum { FEED_PARTS_MOST = 4 };
struct feed_part {
    int64_t parts_mg; /* or any other unit, the same for all; at least one over 0, up to 1000 t */
    int64_t protein_permille;
};
struct feed_mix {
    enum feed_reason reason;
    int64_t protein_permille; /* to the nearest */
};
struct feed_mix feed_mix(const struct feed_part *parts, int count);

/* A store against the coming rations, ration_mg[0] that of today (not yet fed). */
struct feed_store {
    enum feed_reason reason;
    int64_t days;          /* whole days that the store feeds */
    bool lasts;            /* to the end of the rations that are known: days is then their count */
    int64_t buy_in_days;   /* 0: today. So that the new feed is there fetch_days later, on the last
                              day that is still fed; with lasts it may be later */
    int64_t days_mg;       /* rations of the days that it feeds */
    int64_t more_mg;       /* and with those of one day more, over what is there; with lasts that
                              day is as the last that is known */
    int64_t next_week_mg;  /* rations of the first seven days known */
    int64_t after_week_mg; /* of the first seven days that the store does not feed; what is not
                              known of them is as the last that is */
};
struct feed_store feed_store(int64_t store_mg, const int64_t *ration_mg, int count,
                             int64_t fetch_days);

#endif
