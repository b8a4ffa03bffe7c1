/* conf: a settings-like file (settings, provider profiles, message forms) to the neutral tree of
 * base/tree.h. The only room that knows the file format, which is that of libconfig 1.5: named
 * values, groups { }, lists ( ) and arrays [ ], comments, with these differences:
 *   - no @include: a file stands alone, so that what is read is what was named;
 *   - integers are 64 bits wide with or without an L, and decimal only (the library by itself cuts
 *     4294967296 to 0 in silence); numbers past their range are mistakes;
 *   - no zero bytes in texts, and the file must be UTF-8;
 *   - at most CONF_BYTES_MAX bytes and CONF_DEPTH_MAX levels of nesting. */
#ifndef CONF_CONF_H
#define CONF_CONF_H

#include "base/arena.h"
#include "base/fault.h"
#include "base/tree.h"

enum { CONF_BYTES_MAX = 1024 * 1024, CONF_DEPTH_MAX = 16 };

/* The file's root group, all of it in the arena. ERR_SETTINGS: the file cannot be read or is
 * wrong, and exactly one fault says why and where. ERR_NOMEM: the arena is used up. */
enum err conf_read(const char *path, struct arena *arena, struct faults *faults,
                   const struct tree **out) MUST_LOOK;

/* The same from bytes; `name` stands for the file in faults and nodes. */
enum err conf_parse(struct slice bytes, const char *name, struct arena *arena,
                    struct faults *faults, const struct tree **out) MUST_LOOK;

#endif
