/* main: the commands' names. In: the command line; out: an exit status. Only main exits. */
#include "base/point.h"
#include "main/commands.h"
#include "wire/bytes.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *name;
    int (*run)(int argc, char **argv);
    const char *form;
} commands[] = {
    {"serve", command_serve, "serve --settings FILE"},
    {"check", command_check, "check --settings FILE"},
    {"phone", command_phone, "phone --settings FILE --as NUMBER"},
    {"rehearse", command_rehearse,
     "rehearse [--zone ZONE] [--language CODE] [--country CC] [--seed N] FILE"},
    {"sms", command_sms, "sms TEXT"},
};

enum { COMMANDS = sizeof commands / sizeof commands[0] };

static int usage(FILE *to, int status) {
    (void)fprintf(to, "barbel %s: a number to text for catfish hatcheries\n\n", BARBEL_VERSION);
    for (size_t i = 0; i < COMMANDS; i++)
        (void)fprintf(to, "  barbel %s\n", commands[i].form);
    return status;
}

bool command_options(int argc, char **argv, const char *const *names, const char **values,
                     int count, const char **rest, int *rest_count, int rest_most) {
    *rest_count = 0;
    for (int i = 0; i < argc; i++) {
        int found = -1;
        for (int k = 0; k < count; k++)
            if (strncmp(argv[i], "--", 2) == 0 && strcmp(argv[i] + 2, names[k]) == 0)
                found = k;
        if (found >= 0 && i + 1 < argc) {
            values[found] = argv[++i];
        } else if (strncmp(argv[i], "--", 2) != 0 && *rest_count < rest_most) {
            rest[(*rest_count)++] = argv[i];
        } else {
            (void)fprintf(stderr, "barbel: \"%s\" is not understood here\n", argv[i]);
            return false;
        }
    }
    return true;
}

int main(int argc, char **argv) {
    point_arm(getenv("BARBEL_KILL_AT"));
    (void)signal(SIGPIPE, SIG_IGN);
    if (wire_start()) {
        (void)fprintf(stderr, "barbel: no source of randomness\n");
        return err_info(ERR_IO)->exit_status;
    }
    if (argc < 2)
        return usage(stderr, 2);
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "--version") == 0)
        return usage(stdout, 0);
    for (size_t i = 0; i < COMMANDS; i++)
        if (strcmp(argv[1], commands[i].name) == 0)
            return commands[i].run(argc - 2, argv + 2);
    (void)fprintf(stderr, "barbel: there is no command \"%s\"\n\n", argv[1]);
    return usage(stderr, 2);
}
