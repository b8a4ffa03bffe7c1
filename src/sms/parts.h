/* parts: which alphabet a text needs, how many units it has and into how many short messages it
 * goes. Sources: 3GPP TS 23.038 (alphabets), TS 23.040 9.2.3.24.1 (concatenation, 8-bit reference).
 */
#ifndef SMS_PARTS_H
#define SMS_PARTS_H

#include "base/arena.h"
#include "base/slice.h"

enum sms_alphabet { SMS_GSM7, SMS_UCS2 };

enum {
    SMS_GSM7_ONE = 160, /* septets when the text is one part: 140 octets */
    SMS_GSM7_PART =
        153, /* septets in each part of several: 140 octets less 6 of header and a fill bit */
    SMS_UCS2_ONE = 70, /* 16-bit units */
    SMS_UCS2_PART = 67,
    SMS_PARTS_MOST = 255, /* the total is one octet of the header */
};

struct sms_size {
    enum sms_alphabet alphabet;
    int units; /* septets, an extension character counting two; or 16-bit units, a surrogate pair
                  two */
    int parts;
};

/* Measures the text as it stands after NFC, with nothing replaced. Parts are filled greedily; an
 * escape pair or a surrogate pair is never split, so there can be one part more than division says.
 * Empty: gsm7, 0 units, 0 parts. ERR_UTF8: not UTF-8; ERR_TOO_LONG: over 255 parts; ERR_NOMEM: the
 * arena's cap is reached (it takes about 16 bytes for each byte of the text and gives none back).
 */
enum err sms_measure(struct slice utf8, struct arena *a, struct sms_size *out) MUST_LOOK;

const char *sms_alphabet_name(enum sms_alphabet alphabet); /* "gsm7", "ucs2" */

#endif
