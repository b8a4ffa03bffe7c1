/* door: the socket file beside the store, by which commands of the same host reach the running
 * daemon. One conversation is one phone: the client's first line is "phone +447700900001", then
 * each line it sends is a text of that phone, and each line it gets is a text for it (line breaks
 * as a tab). Only the owner of the store may open it (mode 0600). At most DOOR_CLIENTS_MAX. */
#ifndef MAIN_DOOR_H
#define MAIN_DOOR_H

#include "base/slice.h"

struct door;

enum { DOOR_CLIENTS_MAX = 8, DOOR_LINE_MAX = 4096 };

struct door_text {
    int client;
    char phone[24];
    struct slice text; /* valid until the next door_run */
};

enum err door_open(const char *store_path, struct door **out) MUST_LOOK;
void door_close(struct door *d);
int door_fds(const struct door *d, int *fds, int room);

/* Reads what came, without waiting; the whole lines, one call's worth. */
int door_run(struct door *d, struct door_text *out, int most);

/* Hands a text to the client that plays the phone; false when there is none, or it is gone. */
bool door_give(struct door *d, struct slice phone, struct slice text);

/* For the client: connects; ERR_NOT_FOUND when no daemon listens. */
enum err door_call(const char *store_path, int *fd) MUST_LOOK;

#endif
