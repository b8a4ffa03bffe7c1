/* door: see door.h. In: lines of local clients; out: texts of phones. A client that breaks the form
 * or is too slow to read is dropped. */
#define _DEFAULT_SOURCE
#include "main/door.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include "base/log.h"
#include "sms/number.h"

struct client {
    int fd; /* -1: free */
    char phone[24];
    char line[DOOR_LINE_MAX];
    size_t used, taken; /* bytes held; of them handed out by the last door_run */
};

struct door {
    int fd;
    char path[108];
    struct client clients[DOOR_CLIENTS_MAX];
};

static enum err address_of(const char *store_path, struct sockaddr_un *out) {
    *out = (struct sockaddr_un){.sun_family = AF_UNIX};
    int n = snprintf(out->sun_path, sizeof out->sun_path, "%s-door", store_path);
    return n < 0 || (size_t)n >= sizeof out->sun_path ? ERR_TOO_LONG : ERR_OK;
}

static void nonblocking(int fd) {
    (void)fcntl(fd, F_SETFL, fcntl(fd, F_GETFL) | O_NONBLOCK);
    (void)fcntl(fd, F_SETFD, FD_CLOEXEC);
}

enum err door_open(const char *store_path, struct door **out) {
    struct sockaddr_un address;
    struct door *d = calloc(1, sizeof *d);
    if (!d)
        return ERR_NOMEM;
    for (int i = 0; i < DOOR_CLIENTS_MAX; i++)
        d->clients[i].fd = -1;
    enum err e = address_of(store_path, &address);
    d->fd = e ? -1 : socket(AF_UNIX, SOCK_STREAM, 0);
    if (d->fd < 0) {
        LOG(LOG_ERROR, "door",
            LOG_TEXT("why",
                     e ? "the store's path is too long for a socket beside it" : strerror(errno)));
        free(d);
        return e ? e : ERR_IO;
    }
    /* The store's lock is ours: a file left by a daemon that was killed may go. */
    (void)unlink(address.sun_path);
    mode_t mask = umask(0177);
    int bound = bind(d->fd, (struct sockaddr *)&address, sizeof address);
    (void)umask(mask);
    if (bound || listen(d->fd, DOOR_CLIENTS_MAX)) {
        LOG(LOG_ERROR, "door", LOG_TEXT("why", strerror(errno)));
        (void)close(d->fd);
        free(d);
        return ERR_IO;
    }
    nonblocking(d->fd);
    (void)snprintf(d->path, sizeof d->path, "%s", address.sun_path);
    *out = d;
    return ERR_OK;
}

static void drop(struct client *c) {
    if (c->fd >= 0)
        (void)close(c->fd);
    c->fd = -1;
    c->phone[0] = '\0';
    c->used = c->taken = 0;
}

void door_close(struct door *d) {
    if (!d)
        return;
    for (int i = 0; i < DOOR_CLIENTS_MAX; i++)
        drop(&d->clients[i]);
    (void)close(d->fd);
    (void)unlink(d->path);
    free(d);
}

int door_fds(const struct door *d, int *fds, int room) {
    int n = 0;
    if (n < room)
        fds[n++] = d->fd;
    for (int i = 0; i < DOOR_CLIENTS_MAX && n < room; i++)
        if (d->clients[i].fd >= 0)
            fds[n++] = d->clients[i].fd;
    return n;
}

static void let_in(struct door *d) {
    for (int i = 0; i < DOOR_CLIENTS_MAX; i++) {
        if (d->clients[i].fd >= 0)
            continue;
        int fd = accept(d->fd, NULL, NULL);
        if (fd < 0)
            return;
        nonblocking(fd);
        d->clients[i].fd = fd;
    }
}

/* The bytes handed out last time go; new ones come behind the rest. While a whole line is left
 * nothing more is read: that the client has gone by then must not lose it. */
static void fill(struct client *c) {
    memmove(c->line, c->line + c->taken, c->used - c->taken);
    c->used -= c->taken;
    c->taken = 0;
    if (memchr(c->line, '\n', c->used))
        return;
    ssize_t n = recv(c->fd, c->line + c->used, sizeof c->line - c->used, 0);
    if (n > 0)
        c->used += (size_t)n;
    else if (n == 0 || (errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR))
        drop(c);
}

/* The next whole line behind what was taken; false: none yet. */
static bool next_line(struct client *c, struct slice *out) {
    struct slice rest = {c->line + c->taken, c->used - c->taken}, tail;
    if (!slice_cut(rest, '\n', out, &tail)) {
        if (rest.n == sizeof c->line)
            drop(c); /* longer than any text of ours */
        return false;
    }
    c->taken += out->n + 1;
    return true;
}

static bool introduce(struct client *c, struct slice line) {
    struct number number;
    if (!slice_starts(line, SLICE("phone ")) ||
        number_normalise(slice_from(line, 6), NULL, &number)) {
        drop(c);
        return false;
    }
    (void)snprintf(c->phone, sizeof c->phone, "%s", number.text);
    return true;
}

int door_run(struct door *d, struct door_text *out, int most) {
    int n = 0;
    let_in(d);
    for (int i = 0; i < DOOR_CLIENTS_MAX; i++) {
        struct client *c = &d->clients[i];
        struct slice line;
        if (c->fd < 0)
            continue;
        fill(c);
        while (c->fd >= 0 && n < most && next_line(c, &line)) {
            if (!c->phone[0]) {
                if (!introduce(c, line))
                    break;
                continue;
            }
            out[n].client = i;
            (void)snprintf(out[n].phone, sizeof out[n].phone, "%s", c->phone);
            out[n++].text = line;
        }
    }
    return n;
}

bool door_give(struct door *d, struct slice phone, struct slice text) {
    for (int i = 0; i < DOOR_CLIENTS_MAX; i++) {
        struct client *c = &d->clients[i];
        char line[DOOR_LINE_MAX];
        if (c->fd < 0 || !slice_eq(slice_of(c->phone), phone) || text.n + 1 > sizeof line)
            continue;
        for (size_t k = 0; k < text.n; k++)
            line[k] = text.p[k] == '\n' ? '\t' : text.p[k];
        line[text.n] = '\n';
        if (send(c->fd, line, text.n + 1, MSG_NOSIGNAL) == (ssize_t)(text.n + 1))
            return true;
        drop(c);
    }
    return false;
}

enum err door_call(const char *store_path, int *fd) {
    struct sockaddr_un address;
    enum err e = address_of(store_path, &address);
    if (e)
        return e;
    *fd = socket(AF_UNIX, SOCK_STREAM, 0);
    if (*fd < 0)
        return ERR_IO;
    if (connect(*fd, (struct sockaddr *)&address, sizeof address) == 0)
        return ERR_OK;
    (void)close(*fd);
    return ERR_NOT_FOUND;
}
