/* entry: one thing that people reported, resolved: ids, base units, the instant it happened, who,
 * with which message. Entries are appended to a farm's ledger and never changed; a farm is what
 * follows from them. Pure.
 *
 * Stored as kind, version, subject and a line of "name=value" pairs (entry_write, entry_read), so
 * that a ledger can be read by eye and is checked field by field when it is read back. To change a
 * kind's fields: give the kind a new version in entry.c, keep reading the old ones there. */
#ifndef FARM_ENTRY_H
#define FARM_ENTRY_H

#include "base/buf.h"

enum entry_kind {
    ENTRY_UNDO = 1,      /* takes back all entries of message value[0] */
    ENTRY_INJECTED = 2,  /* a spawn begins: value[0] female, [1] tag number, [2] her weight_mg */
    ENTRY_WATER = 3,     /* value[0] water_mdegc, of the hatchery or of one spawn's own tank */
    ENTRY_FOLLOW = 4,    /* the spawn's water is the hatchery's again */
    ENTRY_NOT_READY = 5, /* looked, no loose eggs yet */
    ENTRY_NO_EGGS = 6,   /* given up: closes the spawn */
    ENTRY_STRIPPED = 7,  /* value[0] eggs_mg, dry */
    ENTRY_WHITE = 8,     /* value[0] white eggs of value[1] counted */
    ENTRY_FRAMES = 9,    /* frames lifted out: ends the eggs' time */
    ENTRY_KIND_END
};

enum subject_kind {
    SUBJECT_HATCHERY = 0, /* subject 0 */
    SUBJECT_SPAWN = 1     /* the spawn's number in the farm, never used again */
};

enum { ENTRY_VALUES_MAX = 3, ENTRY_VERSION = 1 };

/* The reading in an injection's text: it begins her water, but she goes on following the hatchery.
 */
enum { WATER_OWN = 0, WATER_AT_INJECTION = 1 };

struct entry {
    int64_t seq;     /* order of saying in the farm: 1, 2, ... */
    int64_t at_s;    /* when it happened */
    int64_t said_s;  /* when it was reported */
    int64_t message; /* the message it came with; undo names it */
    int64_t person;  /* who */
    enum entry_kind kind;
    int version;
    enum subject_kind subject_kind;
    int64_t subject;
    int64_t value[ENTRY_VALUES_MAX];
};

/* The values as "name=value name=value". */
void entry_write(const struct entry *e, struct buf *out);

/* Fills version's values of `out` from the line; kind, version and subject stand in `out` already.
 * ERR_CORRUPT: unknown kind, version or field, one missing or outside its range. */
enum err entry_read(struct slice line, struct entry *out) MUST_LOOK;

#endif
