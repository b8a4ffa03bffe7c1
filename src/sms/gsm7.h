/* gsm7: the GSM 7-bit default alphabet and its extension table (3GPP TS 23.038, 6.2.1 and 6.2.1.1),
 * and the packing of septets into octets for short messages (6.1.2.1) and USSD (6.1.2.3). The
 * national language tables (6.2.1.2) are neither read nor sent: old phones show wrong letters
 * without a sign. Pure; no allocation. */
#ifndef SMS_GSM7_H
#define SMS_GSM7_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/err.h"

enum {
    GSM7_ESC = 0x1b, /* the septet that leads to the extension table */
    GSM7_EXTENSION =
        0x1b00, /* marks a code of the extension table: two septets, ESC and the low 7 bits */
    GSM7_PART_SEPTETS = 160, /* in one short message or USSD string (140 octets) */
};

/* The code of a character: 0..127 in the main table, GSM7_EXTENSION | code in the extension table,
 * -1 in neither. ESC itself is no character: U+001B gives -1. */
int gsm7_code(uint32_t codepoint);

/* Septets that a character takes: 1, 2, or 0 when it is in neither table. */
int gsm7_septets(uint32_t codepoint);

/* The character of a septet (its low 7 bits). With `extension` the septet followed an ESC: a code
 * that the extension table lacks shows the main table's character (6.2.1.1, note), and a second ESC
 * is a space. A lone ESC is a space too (6.2.1, note 1: reserved; receivers show a space). Never
 * fails. */
uint32_t gsm7_codepoint(int code, bool extension);

/* A user data header of `header_octets` (its length octet counted; 0: none) before the text: the
 * bits that fill up to a septet's boundary (0..6), and the septets that header and filling take
 * together, which TP-UDL counts (3GPP TS 23.040, 9.2.3.24). */
int gsm7_fill_bits(int header_octets);
int gsm7_header_septets(int header_octets);

/* Packs `n` septets (each 0..127), low bits first, after `fill_bits` (0..6) zero bits. *octets: how
 * many were written. ERR_RANGE: a septet over 127 or a fill outside 0..6; ERR_TOO_LONG: `room` is
 * too small. Nothing counts as written on failure. */
enum err gsm7_pack(const uint8_t *septets, size_t n, int fill_bits, uint8_t *out, size_t room,
                   size_t *octets) MUST_LOOK;

/* Takes `n` septets out of `octets`. The count comes from the message's length field, never from
 * the octets: 7 spare bits at the end would read as an @. `septets` has room for n. ERR_RANGE:
 * fewer bits there than n septets need, or a fill outside 0..6. */
enum err gsm7_unpack(const uint8_t *octets, size_t n_octets, int fill_bits, uint8_t *septets,
                     size_t n) MUST_LOOK;

/* The USSD form has no length field, so 7 spare bits are filled with a CR, and a text that itself
 * ends with CR on an octet's boundary gets a second one (6.1.2.3.1). Errors as gsm7_pack. */
enum err gsm7_pack_ussd(const uint8_t *septets, size_t n, uint8_t *out, size_t room,
                        size_t *octets) MUST_LOOK;

/* Reads it back: a CR that ends the octets exactly is padding and dropped. *n: septets written.
 * ERR_TOO_LONG: more than `room`. A text that came with a doubled CR keeps both (the standard: CR
 * CR does what CR does). */
enum err gsm7_unpack_ussd(const uint8_t *octets, size_t n_octets, uint8_t *septets, size_t room,
                          size_t *n) MUST_LOOK;

#endif
