/* book: every number the program computes with, each with how far it can be trusted and where it
 * comes from. The one place where such values stand: elsewhere they are asked for by name. The book
 * is about African catfish, Clarias gariepinus. Pure, constant, no errors. */
#ifndef TRADE_BOOK_H
#define TRADE_BOOK_H

#include <stdint.h>

/* How a value came here, the surest first. */
enum book_mark {
    BOOK_PUBLISHED, /* read in the publication or its abstract */
    BOOK_QUOTED,    /* published, read in a copy or in another author's quotation */
    BOOK_MEMORY,    /* published or general knowledge, quoted from memory */
    BOOK_COMMON,    /* common practice, no source */
    BOOK_DERIVED    /* worked out here from others; `source` says from which */
};

enum book_id {
    /* the female */
    BOOK_FEMALE_LEAST_G, /* lighter or heavier than these: ask whether the weight is meant */
    BOOK_FEMALE_MOST_G,
    BOOK_REST_DAYS, /* from stripping, or a spawn without eggs, to the next injection */

    /* the water: outside coldest..warmest no hour is given */
    BOOK_WATER_COLDEST, /* degC */
    BOOK_WATER_WARMEST, /* degC */
    BOOK_WATER_ASK_H,   /* local hour at which the tank's temperature is asked */
    BOOK_WATER_FRESH_H, /* older readings of the hatchery say nothing about an injection */
    BOOK_JUMP_DEGC,     /* a change over this within BOOK_JUMP_HOURS is asked back */
    BOOK_JUMP_HOURS,
    BOOK_MOVE_ASK_MIN, /* a first look moved later by over this is asked back */

    /* injection to stripping, as multiples of the time to the first look */
    BOOK_READY_MOST,       /* most fish are ready by then */
    BOOK_READY_END,        /* nothing by then: rest her */
    BOOK_READY_BEFORE_MIN, /* the reminder to get everything ready, before the first look */
    BOOK_LOOK_EVERY_MIN,   /* from one look to the next, until BOOK_READY_MOST */
    BOOK_LOOK_LATE_MIN,    /* the same from BOOK_READY_MOST on */

    /* eggs */
    BOOK_EGGS_PER_G,
    BOOK_EGGS_LOW_PER_KG, /* in the bowl, per kg of female: by season */
    BOOK_EGGS_MIDDLE_PER_KG,
    BOOK_EGGS_HIGH_PER_KG,
    BOOK_STRIP_SHARE_MOST, /* stripped weight over this share of hers: ask */
    BOOK_ROOM_CM2_PER_G,   /* one layer */
    BOOK_SQUARE_STEP_CM,   /* the side of the square is said in steps of this */
    BOOK_STILL_ML_PER_G,   /* still water for a gram of eggs */

    /* fertilised to hatched */
    BOOK_WHITE_FROM_H, /* hours from fertilisation: white eggs are counted from, to */
    BOOK_WHITE_TO_H,
    BOOK_WHITE_COUNT,      /* how many eggs are looked at */
    BOOK_WHITE_SHARE_MOST, /* over this share white: inject the spare female */
    BOOK_LIFT_FIRST,       /* first look to lift the frames, times the time to half hatch */
    BOOK_LIFT_LAST,        /* last hour for the frames, times the same */
    BOOK_FOOD_AFTER_DAYS,  /* from half hatch to the first food */
    BOOK_COUNT
};

struct book_value {
    const char *name; /* short, stable: "eggs per gram" */
    double value;
    const char *unit; /* "eggs/g"; "" for a share or a multiple */
    enum book_mark mark;
    const char *source; /* author, year, what; never empty */
};

/* Never NULL for an id of the set; a value outside it is a mistake in the program and reads as
 * {"", 0, "", BOOK_COMMON, ""}. */
const struct book_value *book(enum book_id id);
double book_number(enum book_id id);

/* Hours against degC at whole degrees without a gap, rising; between rows straight on the
 * logarithm of the hours (see progress.h). */
struct book_table {
    const char *name;
    const char *unit;
    enum book_mark mark;
    const char *source;
    int count;               /* rows */
    const double (*rows)[2]; /* degC, hours */
    const double *steps;     /* count - 1: ln(hours of row i + 1 / hours of row i) */
};

extern const struct book_table book_latency;  /* injection to first look, 20..30 degC */
extern const struct book_table book_hatching; /* fertilisation to half hatched, 20..30 degC */

const char *book_mark_name(enum book_mark mark); /* "published", "quoted", ... */

/* A digest of every name, value and row: results that are kept carry it and are thrown away when
 * it differs. The wording of sources and units is not in it. */
uint64_t book_build(void);

#endif
