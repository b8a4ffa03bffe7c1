/* number: telephone numbers as E.164 (ITU-T E.164: country code and national number, 15 digits at
 * most), read from what people write (ITU-T E.123 and looser) by the plan of the country they are
 * in. Plans change, so a plan only refuses what is too short; what it merely does not know is let
 * pass, and number_fits says so. Pure; no allocation. */
#ifndef SMS_NUMBER_H
#define SMS_NUMBER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/slice.h"

enum {
    NUMBER_DIGITS_MOST = 15,
    NUMBER_DIGITS_LEAST = 7, /* country code included; below are short codes */
};

struct number {
    char text[17]; /* '+', 7 to 15 digits, zero-ended */
};

struct number_plan {
    char iso2[3];  /* ISO 3166-1 alpha-2 */
    char code[4];  /* calling code, without + */
    char trunk[2]; /* dialled before a national number and no part of it; "" where there is none */
    char abroad[3][5]; /* international prefixes; "00" is always read besides */
    uint8_t shortest;  /* digits of a subscriber's national number, trunk not counted */
    uint8_t longest;
    uint8_t mobile[2]; /* digits of a mobile one; the second 0 where there is one length */
};

/* NULL: no plan of that country here. Letters in either case. */
const struct number_plan *number_plan_of(struct slice iso2);

/* The plan with the longest calling code that "+..." begins with; NULL: none here. */
const struct number_plan *number_plan_of_e164(struct slice e164);

/* All plans, for lists and tests. */
const struct number_plan *number_plans(size_t *n);

/* Reads `raw` as somebody in `home` writes it (NULL: only international forms are read, and bare
 * digits are taken as one). Digits of any script; spaces, hyphens, dots, slashes, brackets and
 * invisible marks are dropped, "tel:" goes. A trunk 0 goes only where the plan has one, also inside
 * "+234 0803...".
 * ERR_SYNTAX: something that is no number (an alphanumeric sender, nothing at all); ERR_UTF8;
 * ERR_RANGE: over 15 digits, too short (short codes), or no country code begins so. *out only on
 * success. */
enum err number_normalise(struct slice raw, const struct number_plan *home,
                          struct number *out) MUST_LOOK;

/* Written as we store it: '+', a first digit that is not 0, 7 to 15 ASCII digits in all. */
bool number_is_e164(struct slice s);

/* Whether a plan here knows its country and its length: false is worth a warning, never a refusal.
 */
bool number_fits(const struct number *n);

/* What somebody typed, measured as a number that can be texted: for a number that a person gives us
 * anew, where a slip of a digit is likelier than a plan that has grown. *plan: of its country, NULL
 * unknown. */
enum number_size {
    NUMBER_MOBILE, /* has the length of a mobile number there */
    NUMBER_SHORT,  /* digits are missing */
    NUMBER_LONG,   /* too many, or between two lengths */
    NUMBER_STRANGE /* no number, or of a country without a plan here */
};
enum number_size number_measure(struct slice raw, const struct number_plan *home,
                                const struct number_plan **plan);

#endif
