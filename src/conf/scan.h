/* conf/scan: a look at a settings file before libconfig sees it, for what the library does not
 * watch: nesting, includes, zero bytes, and integers, which get the mark that makes the library
 * keep 64 bits of them. */
#ifndef CONF_SCAN_H
#define CONF_SCAN_H

#include "base/buf.h"
#include "base/fault.h"

/* The text for the library, with the same lines. ERR_SETTINGS: one fault was added. ERR_NOMEM,
 * ERR_TOO_LONG from the buffer. */
enum err conf_scan(struct slice bytes, const char *name, struct buf *out,
                   struct faults *faults) MUST_LOOK;

#endif
