/* profile: what one provider's HTTP interface looks like, as data. Built from a tree (a profile
 * file once read) and the bytes of the secret files it names; every mistake is a fault with its
 * line. Read only after it is built; lives in the arena it was built in.
 *
 * The forms of a profile are told in deploy/profiles/json.conf and form.conf. */
#ifndef WIRE_PROFILE_H
#define WIRE_PROFILE_H

#include "base/arena.h"
#include "base/tree.h"
#include "wire/clock.h"

enum {
    WIRE_LINK_MAX = 32,       /* letters of a link's name */
    WIRE_PATH_MAX = 8,        /* segments of a dotted path */
    WIRE_FIELDS_MAX = 32,     /* fields and headers of a send, each */
    WIRE_SECRETS_MAX = 4,     /* secrets of one guard, for rotation */
    WIRE_SECRET_MAX = 512,    /* bytes of one secret */
    WIRE_BODY_MAX = 65536,    /* bytes of a body that is read */
    WIRE_TEXT_MAX = 4096,     /* bytes of a message's text */
    WIRE_NUMBER_MAX = 64,     /* bytes of a sender or receiver */
    WIRE_ID_MAX = 127,        /* bytes of an id or a reference */
    WIRE_TOLERANCE_S = 300,   /* how far a signed timestamp may be from now, both ways */
    WIRE_FORM_FIELDS_MAX = 64 /* names in a form body that is read */
};

/* -- secrets: their files are read by main, which alone knows files ------------------------------
 */
struct wire_secret {
    struct slice path;  /* as the profile gives it */
    struct slice bytes; /* the whole file; blanks and line ends around it are dropped */
};
struct wire_secrets {
    const struct wire_secret *list;
    int count;
};

/* The paths of the secret files that the profile names, each once, in its order. A path that does
 * not begin with "/" is meant from the folder of the profile file; main reads the files and hands
 * them back with `path` unchanged. Faults of form are left to wire_profile_build.
 * ERR_NOMEM. */
enum err wire_profile_secret_files(struct arena *a, const struct tree *tree, struct slice **paths,
                                   int *count) MUST_LOOK;

/* -- the profile ---------------------------------------------------------------------------------
 */
enum wire_body { WIRE_BODY_NONE, WIRE_BODY_JSON, WIRE_BODY_FORM };

/* A dotted path into a body, cut at its dots. In a form body the whole is one name. */
struct wire_path {
    struct slice whole; /* "" (n 0): the profile does not have it */
    int count;
    struct slice segments[WIRE_PATH_MAX];
    bool wrapped[WIRE_PATH_MAX]; /* written as NAME[]: a list with this one element (send only) */
};

enum wire_hole {
    WIRE_HOLE_NONE, /* plain text */
    WIRE_HOLE_TO,
    WIRE_HOLE_TO_DIGITS, /* the number without its plus sign */
    WIRE_HOLE_TEXT,
    WIRE_HOLE_REFERENCE,
    WIRE_HOLE_SENDER,
    WIRE_HOLE_ALPHABET,
    WIRE_HOLE_SECRET
};
struct wire_piece {
    enum wire_hole hole;
    struct slice text; /* for WIRE_HOLE_NONE */
};
struct wire_template {
    const struct wire_piece *pieces;
    int count;
};

enum wire_kind { WIRE_KIND_TEXT, WIRE_KIND_NUMBER, WIRE_KIND_BOOL };
struct wire_field {
    struct wire_path path;
    struct wire_template value;
    enum wire_kind kind;
};
struct wire_header_out {
    struct slice name;
    struct wire_template value;
};

struct wire_numbers {
    const int64_t *list;
    int count;
};
struct wire_texts {
    const struct slice *list;
    int count;
};

struct wire_send_profile {
    struct slice method, url, sender, secret;
    struct slice alphabet_gsm7, alphabet_ucs2; /* what {alphabet} becomes */
    enum wire_body body;
    const struct wire_header_out *headers;
    int header_count;
    const struct wire_field *fields;
    int field_count;
    int64_t connect_ms, total_ms; /* time-outs */
    bool repeats_reference;       /* {reference} goes out, so that a provider can tell a repeat */

    enum wire_body answer; /* how its answer is read */
    struct wire_numbers accepted_statuses;
    struct wire_path accepted_field;
    struct slice accepted_equals;
    struct wire_path provider_id, reason;
    struct wire_numbers refused_statuses, later_statuses;
    struct wire_path refused_field;
    struct wire_texts refused_values;
    bool unclear_is_later; /* false: a 2xx that cannot be read counts as accepted, without id */
};

enum wire_guard_kind { WIRE_GUARD_SIGNED, WIRE_GUARD_HEADER, WIRE_GUARD_FIELD };
struct wire_guard {
    enum wire_guard_kind kind;
    struct slice header;                    /* WIRE_GUARD_HEADER */
    struct wire_path field;                 /* WIRE_GUARD_FIELD */
    struct slice secrets[WIRE_SECRETS_MAX]; /* for WIRE_GUARD_SIGNED: the decoded key bytes */
    int secret_count;
};

struct wire_in_profile {
    enum wire_body body;
    struct wire_path sender, receiver, text, id, sent, loop;
    enum wire_sent_form sent_form;
    struct wire_guard guard;
};

enum wire_state { WIRE_DELIVERED, WIRE_PENDING, WIRE_FAILED };
struct wire_state_name {
    struct slice value;
    enum wire_state means;
};
struct wire_receipt_profile {
    bool given; /* false: this provider sends none */
    enum wire_body body;
    struct wire_path id, reference, state;
    bool tp_status; /* the state is a TP-Status number */
    const struct wire_state_name *states;
    int state_count;
    bool others_known; /* a state not listed means `others` */
    enum wire_state others;
    struct wire_guard guard;
};

struct wire_profile {
    struct slice link; /* the LINK of /in/LINK and /receipt/LINK */
    struct wire_send_profile send;
    struct wire_in_profile in;
    struct wire_receipt_profile receipt;
};

/* NULL when there was any fault (memory's end is one, too). */
struct wire_profile *wire_profile_build(struct arena *a, const struct tree *tree,
                                        const struct wire_secrets *secrets, struct faults *faults);

#endif
