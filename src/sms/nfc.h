/* nfc: Unicode normalisation form C in an arena. */
#ifndef SMS_NFC_H
#define SMS_NFC_H

#include "base/arena.h"
#include "base/slice.h"

/* The code points of `utf8` in form NFC (UAX 15), taken from the arena. Time grows with the length
 * only, however many marks stand in a row. ERR_UTF8: not UTF-8; ERR_NOMEM: the arena's cap. */
enum err sms_nfc(struct slice utf8, struct arena *a, int32_t **codepoints, size_t *n) MUST_LOOK;

#endif
