/* digit: the decimal digits of all scripts. Pure. */
#ifndef SMS_DIGIT_H
#define SMS_DIGIT_H

#include <stdint.h>

/* 0..9 for a decimal digit of any script (general category Nd, Unicode 15.0: Arabic-Indic, N'Ko,
 * Adlam, full-width and the rest), -1 for anything else, raised digits and number signs included.
 */
int sms_digit(uint32_t codepoint);

#endif
