/* words/fold: what people type, made comparable. Pure. */
#ifndef WORDS_FOLD_H
#define WORDS_FOLD_H

#include "base/buf.h"

/* Appends the folded text to `out`. What happens, by Unicode 15 case folding and NFKD through
 * utf8proc and, where these do not reach, by tables of our own:
 *   - case and accents off; the oe and ae ligatures, sharp s and ligatures as letters; the hooked
 *     letters of Hausa and the extra letters of Ewe, Twi and others as the plain letters under
 * them;
 *   - dropped: apostrophes of every form, invisible and control characters, degree signs;
 *   - to one space: every kind of space and line end, quotes, brackets, ! ? & _ = and all signs
 *     that are not named here, emoji among them;
 *   - digits of other scripts to 0-9, U+066B to a comma, U+066C dropped;
 *   - dashes and minus signs to -, the times sign to x, a raised digit behind m to that digit;
 *   - a half and the quarters behind a digit to .5 .25 .75 (10 and a half is 10.5), alone to 0.5;
 *   - . , : ; - at the end of a word dropped, so that "F3: 24." is "f3 24".
 * Kept inside words: : . , / % - + * #. Letters of other alphabets stay. No space stands at either
 * end. Folding twice gives the same. ERR_UTF8: what was appended before stays; else buf_err. */
enum err words_fold(struct slice utf8, struct buf *out) MUST_LOOK;

#endif
