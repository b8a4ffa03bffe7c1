/* take: what the pieces of one text say, put together in a request; what does not fit is a doubt.
 * Inside the text room. Pure. */
#ifndef TEXT_TAKE_H
#define TEXT_TAKE_H

#include "text/value.h"

#define SLOT_BIT(slot) (1u << (slot))

enum { PLAIN_MAX = 4 /* plain numbers in one text; no kind takes more than two */ };

struct text_reading_state {
    struct text_reader *reader;
    struct text_value_context context;
    bool seen; /* something was taken */
    bool from; /* the word before was "from" */
    struct text_number plain[PLAIN_MAX];
    int plain_count;
    struct text_result *out;
};

/* The first doubt is the one that is told. */
void text_tell_doubt(struct text_reading_state *r, enum text_doubt doubt, struct slice token);

/* Takes what a value says into the request. Slots that the kind lacks and values that differ from
 * what was said before are doubts. */
void text_take(struct text_reading_state *r, const struct request *said, unsigned slots,
               struct slice token);

/* Numbers without a unit, when it is known what else the text said. */
void text_settle_plain(struct text_reading_state *r);

#endif
