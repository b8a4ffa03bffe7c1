/* message: the bytes of a request, by its profile, to a message or a receipt. Pure but for memory
 * that the JSON library takes and gives back within the call; what is handed out is in the arena.
 */
#ifndef WIRE_MESSAGE_H
#define WIRE_MESSAGE_H

#include "wire/guard.h"

struct wire_message {
    struct slice sender, receiver;        /* as given, blanks around them dropped: not yet E.164 */
    struct slice text;                    /* UTF-8, as given; may be empty */
    struct slice provider_id;             /* "" when none was given */
    int64_t sent_s;                       /* the network's or provider's time; 0: none */
    bool no_reply;                        /* the loop flag was set: never answer (TP-LP) */
    unsigned char print[WIRE_HASH_BYTES]; /* the same for the same message delivered again: SHA-256
        over the link's name, the provider's id, sender and text when there is an id, else over the
        link's name, sender, receiver, sent_s and text */
};

/* The profile has the route, the guard was passed. ERR_SYNTAX: not the form, wrong Content-Type, a
 * needed field missing, or neither an id nor a time though repeats must be told apart; ERR_UTF8;
 * ERR_TOO_LONG; ERR_RANGE: a number or the time; ERR_NOMEM. */
enum err wire_read_message(const struct wire_profile *p, const struct wire_request *r,
                           struct arena *a, struct wire_message *out) MUST_LOOK;

struct wire_receipt {
    struct slice reference, provider_id; /* one of them may be empty */
    enum wire_state state;
};

/* The same errors; ERR_RANGE also: a state that the profile does not know. ERR_NOT_FOUND: the
 * profile has no receipts. */
enum err wire_read_receipt(const struct wire_profile *p, const struct wire_request *r,
                           struct arena *a, struct wire_receipt *out) MUST_LOOK;

/* TP-Status, 3GPP TS 23.040 9.2.3.15, one octet. Delivered: 00 and the centre's own completed
 * values 10-1F. Pending: 20-25 and 30-3F (the centre goes on trying), and 01 and 02 (final, but
 * they prove no delivery: forwarded without confirmation; replaced by the centre). Failed: all
 * else; reserved values read as 63, service rejected. ERR_RANGE: not 0 to 255. */
enum err wire_tp_status(int64_t status, enum wire_state *out) MUST_LOOK;

#endif
