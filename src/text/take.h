/* take: what the pieces of one text say, put together in a request; what does not fit is a doubt.
 * Inside the text room. Pure. */
#ifndef TEXT_TAKE_H
#define TEXT_TAKE_H

#include "text/value.h"

enum {
    PLAIN_MAX = 4, /* plain numbers in one text; no kind takes more than two ... */
    SIDES_MAX = 3  /* ... but for lists, which take LIST_MAX; lengths in one text */
};

/* A value that waits for what stands beside it. */
struct text_kept {
    bool is;
    struct text_value value;
    size_t at;
};

struct text_reading_state {
    struct text_reader *reader;
    struct text_value_context context;
    bool seen;  /* something was taken */
    bool from;  /* the word before was "from" */
    bool named; /* a name stands before the kind's word: mary paid */
    struct text_number plain[LIST_MAX];
    int plain_count;
    size_t measures[PLAIN_MAX]; /* where words for tins, bags and so on end */
    int measure_count;
    size_t plain_at, plain_end; /* of the first, of the last */
    bool counted;               /* one stood before the first weight */
    struct text_kept weight;    /* beside a list */
    struct text_kept part;      /* a name or a weight whose share is not yet said */
    size_t name_end;            /* of the last name of feed */
    size_t buyer_end;           /* of the name of somebody */
    struct text_kept sides[SIDES_MAX];
    int side_count;
    bool round;
    struct text_result *out;
};

/* The first doubt is the one that is told. */
void text_tell_doubt(struct text_reading_state *r, enum text_doubt doubt, struct slice token);

/* Takes what a value says into the request. Slots that the kind lacks and values that differ from
 * what was said before are doubts. */
void text_take(struct text_reading_state *r, const struct request *said, uint64_t slots,
               struct slice token);

/* Numbers without a unit, when it is known what else the text said. */
void text_settle_plain(struct text_reading_state *r);

#endif
