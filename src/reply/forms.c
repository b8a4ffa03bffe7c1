/* reply/forms: replies.def as a table. Out: what each reply is called, how many parts it may take
 * and which values it has, in the order that reply_render wants them. */
#include "reply/reply.h"

/* How many values each has: the list is read twice, first only to count. */
#define VAL(name, kind) +1
#define OPT(name, kind) +1
#define STR(name, most) +1
enum value_count {
#define REPLY(id, name, parts, ...) COUNT_##id = 0 __VA_ARGS__,
#include "reply/replies.def"
#undef REPLY
};
#undef VAL
#undef OPT
#undef STR

#define VAL(name, kind) {name, VALUE_##kind, 0, false},
#define OPT(name, kind) {name, VALUE_##kind, 0, true},
#define STR(name, most) {name, VALUE_TEXT, most, false},
static const struct reply_form forms[REPLY_COUNT] = {
/* The last member makes a list of no values a list all the same; it is not counted. */
#define REPLY(id, name, parts, ...)                                                                \
    [REPLY_##id] = {name, parts, COUNT_##id, {__VA_ARGS__{NULL, VALUE_NONE, 0, false}}},
#include "reply/replies.def"
#undef REPLY
};

const struct reply_form *reply_form(enum reply_id id) {
    return (unsigned)id < REPLY_COUNT ? &forms[id] : &forms[0];
}
