/* serve: the daemon. SIGTERM and SIGINT finish the turn in hand, SIGHUP reloads settings, words and
 * profiles. Signals come through a pipe that the loop waits on. */
#define _DEFAULT_SOURCE
#include "main/commands.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/log.h"
#include "main/service.h"

static int signal_pipe[2] = {-1, -1};

static void on_signal(int number) {
    unsigned char byte = (unsigned char)number;
    ssize_t n = write(signal_pipe[1], &byte, 1);
    (void)n; /* a full pipe holds the same news already */
}

static bool catch_signals(void) {
    struct sigaction action = {.sa_handler = on_signal};
    if (pipe(signal_pipe))
        return false;
    for (int i = 0; i < 2; i++) {
        (void)fcntl(signal_pipe[i], F_SETFL, O_NONBLOCK);
        (void)fcntl(signal_pipe[i], F_SETFD, FD_CLOEXEC);
    }
    sigemptyset(&action.sa_mask);
    return sigaction(SIGTERM, &action, NULL) == 0 && sigaction(SIGINT, &action, NULL) == 0 &&
           sigaction(SIGHUP, &action, NULL) == 0;
}

static void loop(struct service *s) {
    while (!s->quit) {
        unsigned char byte;
        service_turn(s, &signal_pipe[0], 1);
        while (read(signal_pipe[0], &byte, 1) == 1) {
            if (byte == SIGHUP)
                service_reload(s);
            else
                s->quit = true;
        }
    }
}

int command_serve(int argc, char **argv) {
    static const char *const names[] = {"settings"};
    const char *path = NULL, *rest[1];
    int rest_count;
    if (!command_options(argc, argv, names, &path, 1, rest, &rest_count, 0) || !path) {
        (void)fprintf(stderr, "barbel: serve needs --settings FILE\n");
        return 2;
    }
    struct service *s = calloc(1, sizeof *s);
    if (!s)
        return err_info(ERR_NOMEM)->exit_status;
    enum err e = catch_signals() ? service_open(s, path) : ERR_IO;
    if (!e)
        e = service_listen(s);
    if (!e) {
        loop(s);
        LOG(LOG_INFO, "stopping", LOG_INT("sends", link_busy(s->link)));
    }
    service_close(s);
    free(s);
    return err_info(e)->exit_status;
}
