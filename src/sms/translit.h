/* translit: a text made fit for the GSM 7-bit alphabet. Never for what people sent us (that is kept
 * as it came), only for texts going out, and only where a language's setting prefers it to UCS-2.
 */
#ifndef SMS_TRANSLIT_H
#define SMS_TRANSLIT_H

#include "base/buf.h"

/* Appends to `out`, as UTF-8, only characters of the two GSM-7 tables: after NFC those in the
 * tables are kept (with their accents: they cost the same), then our own table of replacements is
 * tried, then compatibility decomposition (NFKD) without its marks, and what is left becomes '?'.
 * Invisible format characters and marks without a place go. A raised digit after a digit is written
 * ^2, a fraction sign after a digit gets a space before it: 102 or 101/2 would be other numbers.
 * ERR_UTF8: not UTF-8 (what was appended before it stays); else what buf_err(out) says. */
enum err sms_translit(struct slice utf8, struct buf *out) MUST_LOOK;

#endif
