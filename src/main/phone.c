/* phone: plays one phone at a prompt, against a store with the real clock. With a daemon on the
 * store it speaks through its door; without one it runs the loop alone, and texts for others wait
 * in the store for the daemon. In: lines typed; out: "< TEXT" lines. Ends with the input. */
#define _DEFAULT_SOURCE
#include "main/commands.h"

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "base/log.h"
#include "main/service.h"
#include "sms/number.h"

enum { LINE_MAX_BYTES = 4000 };

struct input {
    char bytes[LINE_MAX_BYTES];
    size_t n;
    bool over;
};

static void print_body(struct slice body) {
    (void)fputs("< ", stdout);
    for (size_t i = 0; i < body.n; i++) {
        if (body.p[i] == '\n' || body.p[i] == '\t')
            (void)fputs("\n  ", stdout);
        else
            (void)putchar(body.p[i]);
    }
    (void)putchar('\n');
    (void)fflush(stdout);
}

/* One read of what was typed: a second one would wait for the next line, and an answer with it. */
static void read_typed(struct input *in) {
    ssize_t got = read(STDIN_FILENO, in->bytes + in->n, sizeof in->bytes - in->n);
    if (got > 0)
        in->n += (size_t)got;
    else if (got == 0 || errno != EINTR)
        in->over = true;
}

/* The first whole line of what was read into *line; a full buffer is one, too. */
static bool typed(struct input *in, char *line, size_t size) {
    char *end = memchr(in->bytes, '\n', in->n);
    if (!end && in->n && (in->over || in->n == sizeof in->bytes))
        end = in->bytes + in->n - 1; /* the last line, or a far too long one */
    if (!end)
        return false;
    size_t n = (size_t)(end - in->bytes);
    size_t keep = n + (*end != '\n') < size - 1 ? n + (*end != '\n') : size - 1;
    memcpy(line, in->bytes, keep);
    line[keep] = '\0';
    memmove(in->bytes, end + 1, in->n - n - 1);
    in->n -= n + 1;
    return true;
}

/* -- with a daemon
 * ---------------------------------------------------------------------------------- */

static void print_lines(char *bytes, size_t *n) {
    char *end;
    while ((end = memchr(bytes, '\n', *n)) != NULL) {
        print_body((struct slice){bytes, (size_t)(end - bytes)});
        *n -= (size_t)(end - bytes) + 1;
        memmove(bytes, end + 1, *n);
    }
}

static int through_door(int fd, const char *phone) {
    static char from[DOOR_LINE_MAX * 2];
    static struct input in;
    char line[LINE_MAX_BYTES];
    size_t n = 0;
    int quiet_ms = 2000; /* after the input ends, answers may still come for so long */
    (void)dprintf(fd, "phone %s\n", phone);
    for (;;) {
        struct pollfd p[2] = {{fd, POLLIN, 0}, {in.over ? -1 : STDIN_FILENO, POLLIN, 0}};
        int ready = poll(p, 2, in.over ? quiet_ms : -1);
        if (ready < 0 && errno != EINTR)
            return err_info(ERR_IO)->exit_status;
        if (ready == 0)
            return 0;
        if (p[0].revents) {
            ssize_t got = recv(fd, from + n, sizeof from - n, 0);
            if (got <= 0) {
                (void)fprintf(stderr, "barbel: the daemon is gone\n");
                return err_info(ERR_IO)->exit_status;
            }
            n += (size_t)got;
            print_lines(from, &n);
        }
        if (p[1].revents) {
            read_typed(&in);
            while (typed(&in, line, sizeof line))
                if (line[0])
                    (void)dprintf(fd, "%s\n", line);
        }
    }
}

/* -- alone
 * ------------------------------------------------------------------------------------------- */

static int alone(const char *settings, const char *phone) {
    static struct input in;
    char line[LINE_MAX_BYTES];
    const int stdin_fd = STDIN_FILENO;
    struct service *s = calloc(1, sizeof *s);
    if (!s)
        return err_info(ERR_NOMEM)->exit_status;
    enum err e = service_open(s, settings);
    (void)snprintf(s->alone, sizeof s->alone, "%s", phone);
    s->alone_text = print_body;
    while (!e && !in.over) {
        struct pollfd p = {STDIN_FILENO, POLLIN, 0};
        if (poll(&p, 1, 0) > 0) {
            read_typed(&in);
            while (typed(&in, line, sizeof line))
                if (line[0])
                    service_text(s, slice_of(phone), slice_of(line));
        }
        if (in.over && !s->item_count) /* nothing is left to wait for */
            break;
        service_turn(s, &stdin_fd, 1);
        while (s->attempt_count && !e) /* what follows from an answer given */
            service_turn(s, &stdin_fd, 1);
    }
    service_close(s);
    free(s);
    return err_info(e)->exit_status;
}

int command_phone(int argc, char **argv) {
    static const char *const names[] = {"settings", "as"};
    const char *values[2] = {0}, *rest[1];
    int rest_count, fd;
    struct number number;
    if (!command_options(argc, argv, names, values, 2, rest, &rest_count, 0) || !values[0] ||
        !values[1]) {
        (void)fprintf(stderr, "barbel: phone needs --settings FILE --as NUMBER\n");
        return 2;
    }
    if (number_normalise(slice_of(values[1]), NULL, &number)) {
        (void)fprintf(stderr, "barbel: \"%s\" is no telephone number; begin with +\n", values[1]);
        return 2;
    }
    struct faults faults = faults_make();
    struct settings *s = NULL;
    enum err e = settings_load(values[0], &s, &faults);
    (void)fputs(buf_str(&faults.text), stderr);
    faults_free(&faults);
    if (e)
        return err_info(e)->exit_status;
    log_least(LOG_WARN);
    e = door_call(s->store_path, &fd);
    settings_free(s);
    return e ? alone(values[0], number.text) : through_door(fd, number.text);
}
