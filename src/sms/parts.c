/* parts: alphabet, units and parts of a text (3GPP TS 23.038; TS 23.040, 9.2.3.16 and 9.2.3.24.1).
 * In: UTF-8; out: a size. Errors: ERR_UTF8 and ERR_TOO_LONG (the text's), ERR_NOMEM (the arena's
 * cap). Limits: 255 parts; the 8-bit reference only (a 16-bit one would leave 152 and 66). */
#include "sms/parts.h"

#include "sms/gsm7.h"
#include "sms/nfc.h"

/* No longer text can fit 255 parts: the most bytes for one unit of NFC are 9 (a Hangul syllable in
 * three letters of three bytes), and only UCS-2 holds it. Checked first, so that the work is
 * bounded.
 */
enum { BYTES_MOST = SMS_PARTS_MOST * SMS_UCS2_PART * 9 };

static int units_of(uint32_t codepoint, enum sms_alphabet alphabet) {
    if (alphabet == SMS_GSM7)
        return gsm7_septets(codepoint);
    return codepoint > 0xffff ? 2 : 1;
}

static enum sms_alphabet alphabet_of(const int32_t *c, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (gsm7_code((uint32_t)c[i]) < 0)
            return SMS_UCS2;
    return SMS_GSM7;
}

/* Greedy, as a sender fills parts: what does not fit whole begins the next part. */
static int parts_of(const int32_t *c, size_t n, enum sms_alphabet alphabet, int part_units) {
    int parts = 1, used = 0;
    for (size_t i = 0; i < n; i++) {
        int units = units_of((uint32_t)c[i], alphabet);
        if (used + units > part_units) {
            parts++;
            used = 0;
        }
        used += units;
    }
    return parts;
}

enum err sms_measure(struct slice utf8, struct arena *a, struct sms_size *out) {
    int32_t *c;
    size_t n;
    if (utf8.n > BYTES_MOST)
        return slice_is_utf8(utf8) ? ERR_TOO_LONG : ERR_UTF8;
    enum err e = sms_nfc(utf8, a, &c, &n);
    if (e)
        return e;
    struct sms_size size = {.alphabet = alphabet_of(c, n)};
    for (size_t i = 0; i < n; i++)
        size.units += units_of((uint32_t)c[i], size.alphabet);
    bool gsm7 = size.alphabet == SMS_GSM7;
    if (size.units > (gsm7 ? SMS_GSM7_ONE : SMS_UCS2_ONE))
        size.parts = parts_of(c, n, size.alphabet, gsm7 ? SMS_GSM7_PART : SMS_UCS2_PART);
    else
        size.parts = n ? 1 : 0;
    if (size.parts > SMS_PARTS_MOST)
        return ERR_TOO_LONG;
    *out = size;
    return ERR_OK;
}

const char *sms_alphabet_name(enum sms_alphabet alphabet) {
    return alphabet == SMS_GSM7 ? "gsm7" : "ucs2";
}
