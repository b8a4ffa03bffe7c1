/* sms: how a text would travel. `barbel sms TEXT` prints alphabet, units and parts of TEXT as it
 * stands. Exit 2: not UTF-8, or not one argument. */
#include "main/commands.h"

#include <stdio.h>

#include "sms/parts.h"

int command_sms(int argc, char **argv) {
    if (argc != 1) {
        (void)fprintf(stderr, "barbel: sms takes one text, in quotes\n");
        return 2;
    }
    struct arena arena = arena_make((size_t)64 * 1024 * 1024);
    struct sms_size size;
    enum err e = sms_measure(slice_of(argv[0]), &arena, &size);
    arena_free(&arena);
    if (e) {
        (void)fprintf(stderr, "barbel: the text is %s\n", err_info(e)->text);
        return 2;
    }
    (void)printf("%s units %d parts %d\n", size.alphabet == SMS_GSM7 ? "gsm7" : "ucs2", size.units,
                 size.parts);
    return 0;
}
