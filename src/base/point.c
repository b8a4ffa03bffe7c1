/* point: see point.h. One point is armed at a time. */
#include "base/point.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char armed[64];
static long left;

void point_arm(const char *name_and_count) {
    armed[0] = '\0';
    if (!name_and_count || !name_and_count[0])
        return;
    (void)snprintf(armed, sizeof armed, "%s", name_and_count);
    left = 1;
    char *colon = strchr(armed, ':');
    if (colon) {
        *colon = '\0';
        left = strtol(colon + 1, NULL, 10);
    }
}

void point_pass(const char *name) {
    if (armed[0] && strcmp(armed, name) == 0 && --left == 0)
        (void)kill(getpid(), SIGKILL);
}
