/* commands: what `barbel` can do, one function each. They return the exit status: 0, 2 for a wrong
 * command line, file or settings, else that of err_info. */
#ifndef MAIN_COMMANDS_H
#define MAIN_COMMANDS_H

#include "base/slice.h"

int command_serve(int argc, char **argv);    /* --settings FILE */
int command_check(int argc, char **argv);    /* --settings FILE */
int command_rehearse(int argc, char **argv); /* [options] FILE */
int command_sms(int argc, char **argv);      /* TEXT */
int command_phone(int argc, char **argv);    /* --settings FILE --as NUMBER */

/* Finds "--NAME VALUE" pairs of `names` in argv (the program's and the command's name not among
 * them) into values, the rest into *rest in order. False: something unknown or without a value,
 * told on standard error. */
bool command_options(int argc, char **argv, const char *const *names, const char **values,
                     int count, const char **rest, int *rest_count, int rest_most);

#endif
