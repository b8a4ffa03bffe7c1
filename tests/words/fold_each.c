/* Prints every code point but surrogates with its folded text, "1e9e ss", for fold_unicode.pl. A
 * code point whose folding fails is printed with the name of the error in brackets. */
#include <stdio.h>

#include "words/fold.h"

int main(void) {
    for (uint32_t c = 1; c < 0x110000; c++) {
        if (c >= 0xd800 && c < 0xe000)
            continue;
        struct buf in = buf_make(8), out = buf_make(256);
        buf_put_codepoint(&in, c);
        enum err e = words_fold(buf_slice(&in), &out);
        if (e)
            printf("%x (%s)\n", (unsigned)c, err_info(e)->name);
        else
            printf("%x %s\n", (unsigned)c, buf_str(&out));
        buf_free(&in);
        buf_free(&out);
    }
    return 0;
}
