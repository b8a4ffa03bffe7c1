/* value: one value at a place in a text: a tag, a weight, an hour, a day, a number and so on.
 * Inside the text room. Pure. */
#ifndef TEXT_VALUE_H
#define TEXT_VALUE_H

#include "text/number.h"
#include "text/scan.h"
#include "text/text.h"

struct text_value_context {
    struct text_scanner *scanner;
    struct slice folded;
    enum request_kind kind;   /* REQUEST_NONE: bare, or not known yet */
    uint64_t slots;           /* bits: what the kind takes */
    size_t kind_at, kind_end; /* its words; 0, 0 while it is not known */
    int language, person;     /* of the kind's word; of the person */
    bool tagged;              /* a tag stands somewhere in the text */
};

/* Which of a round pond's or tank's lengths a word beside it says it is. */
enum text_side { SIDE_NONE, SIDE_DEEP, SIDE_ACROSS };

struct text_value {
    size_t end;                /* bytes of the folded text, always past the start */
    struct slice token;        /* as it stands in the folded text */
    enum text_doubt doubt;     /* not NONE: not read */
    bool word;                 /* TEXT_DOUBT_TOKEN because of an unknown word, not of a value */
    bool skip;                 /* a greeting or the like: says nothing */
    bool from;                 /* a tag behind "from": where fish come from */
    bool more;                 /* plain, and added to the number before it: and a half */
    bool plain;                /* a number without a unit; what it is, the whole text decides */
    bool round;                /* the word "round" */
    enum text_side side;       /* of a length */
    int64_t unit_mg;           /* of a weight: its unit, 1000 for grams; else 0 */
    struct text_number number; /* plain, or of a weight */
    struct request said;       /* the slots that it fills: `has` and theirs */
};

/* `piece` is no gap and no end. */
struct text_value text_value_read(const struct text_value_context *context,
                                  struct text_piece piece);

/* Water and weight from a number whose unit is known. False: it could be two numbers, both or
 * neither plausible. The least and most plausible weight depends on the kind. */
bool text_value_water(struct text_number number, struct request *said);
bool text_value_water_like(struct text_number number); /* fish could be in it */
int64_t text_value_mg(int64_t micro, int64_t unit_mg); /* millionths of the unit in mg */
bool text_value_weight(struct text_number number, enum text_meaning unit, enum request_kind kind,
                       struct request *said);

#endif
