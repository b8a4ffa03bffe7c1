/* err: the table from failure to its outward codes. Pure, no limits. */
#include "base/err.h"

static const struct err_info table[ERR_COUNT] = {
    [ERR_OK] = {"ok", "nothing is wrong", LOG_DEBUG, 200, 0, false},
    [ERR_NOMEM] = {"nomem", "out of memory", LOG_ERROR, 503, 70, true},
    [ERR_TOO_LONG] = {"too-long", "longer than is allowed here", LOG_WARN, 413, 65, false},
    [ERR_SYNTAX] = {"syntax", "not in the form that is needed here", LOG_WARN, 400, 65, false},
    [ERR_UTF8] = {"utf8", "not valid UTF-8", LOG_WARN, 400, 2, false},
    [ERR_RANGE] = {"range", "a number is outside its range", LOG_WARN, 400, 65, false},
    [ERR_NOT_FOUND] = {"not-found", "does not exist", LOG_WARN, 404, 66, false},
    [ERR_CONFLICT] = {"conflict", "changed meanwhile; do it again", LOG_INFO, 503, 75, true},
    [ERR_AUTH] = {"auth", "signature or secret is wrong", LOG_WARN, 401, 77, false},
    [ERR_STALE] = {"stale", "signature is too old, too new or was used before", LOG_WARN, 401, 77,
                   false},
    [ERR_BUSY] = {"busy", "locked for the moment", LOG_WARN, 503, 75, true},
    [ERR_HELD] = {"held", "another barbel runs on this store", LOG_ERROR, 503, 75, true},
    [ERR_FULL] = {"full", "the disk is full: make room, then it goes on by itself", LOG_ERROR, 503,
                  74, true},
    [ERR_READONLY] = {"readonly",
                      "the store cannot be written: check its owner and its file system", LOG_ERROR,
                      503, 74, true},
    [ERR_IO] = {"io", "the disk or the network failed", LOG_ERROR, 503, 74, true},
    [ERR_CORRUPT] = {"corrupt", "stored data is damaged: stop, copy the store, restore a backup",
                     LOG_ERROR, 503, 76, false},
    [ERR_VERSION] = {"version", "the store was written by a newer barbel: run that one", LOG_ERROR,
                     503, 76, false},
    [ERR_SETTINGS] = {"settings", "the settings are wrong", LOG_ERROR, 503, 2, false},
    [ERR_USAGE] = {"usage", "the command line is wrong", LOG_ERROR, 400, 2, false},
    [ERR_BUG] = {"bug", "a check inside barbel failed: please report it", LOG_ERROR, 503, 70,
                 false},
};

const struct err_info *err_info(enum err e) {
    if ((int)e < 0 || e >= ERR_COUNT)
        e = ERR_BUG;
    return &table[e];
}
