/* err: the one closed set of failures. Every call that can fail returns one, the caller carries it
 * in `e` and must look at it. A person's mistake in a text is never an err: it is the result of a
 * turn. One table (err_info) says what each means outside: log level, HTTP status, exit status and
 * whether trying again can help. */
#ifndef BASE_ERR_H
#define BASE_ERR_H

#include <stdbool.h>

enum err {
    ERR_OK = 0,
    ERR_NOMEM,     /* memory or an arena's cap is used up */
    ERR_TOO_LONG,  /* a capped buffer or a field's limit is reached */
    ERR_SYNTAX,    /* bytes that do not follow their form */
    ERR_UTF8,      /* bytes that are not UTF-8 */
    ERR_RANGE,     /* a number outside what the call takes */
    ERR_NOT_FOUND, /* the thing named does not exist */
    ERR_CONFLICT,  /* somebody else moved the farm's head meanwhile: do the turn again */
    ERR_AUTH,      /* signature or secret wrong or missing */
    ERR_STALE,     /* signed, but too old, too far ahead, or its id was seen before */
    ERR_BUSY,      /* locked for now */
    ERR_HELD,      /* another daemon holds this store */
    ERR_FULL,      /* the disk is full */
    ERR_READONLY,  /* the store cannot be written */
    ERR_IO,        /* the operating system or the network failed */
    ERR_CORRUPT,   /* stored bytes are not what was written */
    ERR_VERSION,   /* the store was written by a newer build */
    ERR_SETTINGS,  /* settings, profiles, grammar or catalogues are wrong: faults were listed */
    ERR_USAGE,     /* the command line is wrong */
    ERR_BUG,       /* cannot happen; a check inside the program failed */
    ERR_COUNT
};

enum log_level { LOG_DEBUG, LOG_INFO, LOG_WARN, LOG_ERROR };

struct err_info {
    const char *name;     /* short, for log lines: "full" */
    const char *text;     /* for people: what happened and what to do */
    enum log_level level; /* at which it is logged */
    int http_status;      /* answered when it ends an incoming request */
    int exit_status;      /* when it ends a command */
    bool again;           /* the same thing later can succeed */
};

/* Never NULL; a value outside the set reads as ERR_BUG. */
const struct err_info *err_info(enum err e);

#define MUST_LOOK __attribute__((warn_unused_result))

#endif
