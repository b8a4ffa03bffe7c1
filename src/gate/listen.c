/* listen: see listen.h. Made here and not by the HTTP library so that the reason of a failure can
 * be told: a port in use is the commonest mistake of whoever sets the daemon up. Numeric addresses
 * only: a name would be looked up, and could mean more than the host intended. */
#include "gate/listen.h"

#include <errno.h>
#include <netdb.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "base/log.h"

static enum err complain(enum err e, const char *address, int port, const char *why) {
    LOG(LOG_ERROR, "listen", LOG_TEXT("address", address), LOG_INT("port", port),
        LOG_TEXT("why", why));
    return e;
}

static int port_of(const struct sockaddr_storage *a) {
    if (a->ss_family == AF_INET6)
        return ntohs(((const struct sockaddr_in6 *)(const void *)a)->sin6_port);
    return ntohs(((const struct sockaddr_in *)(const void *)a)->sin_port);
}

enum err gate_listen(const char *address, int port, int *fd, int *out_port, int *family) {
    struct addrinfo hints = {.ai_family = AF_UNSPEC,
                             .ai_socktype = SOCK_STREAM,
                             .ai_flags = AI_NUMERICHOST | AI_NUMERICSERV | AI_PASSIVE};
    struct addrinfo *found = NULL;
    struct sockaddr_storage taken;
    socklen_t size = sizeof taken;
    char service[16];
    int one = 1, s = -1;
    enum err e = ERR_OK;

    if (port < 0 || port > 65535)
        return complain(ERR_RANGE, address, port, "not a port");
    (void)snprintf(service, sizeof service, "%d", port);
    if (getaddrinfo(address, service, &hints, &found) != 0)
        return complain(ERR_RANGE, address, port, "not a numeric address");
    s = socket(found->ai_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    /* A daemon that starts again must get its port back while old connections linger. */
    if (s < 0 || setsockopt(s, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one) != 0 ||
        bind(s, found->ai_addr, found->ai_addrlen) != 0 || listen(s, SOMAXCONN) != 0 ||
        getsockname(s, (struct sockaddr *)(void *)&taken, &size) != 0) {
        e = complain(ERR_IO, address, port, strerror(errno));
        goto out;
    }
    *fd = s;
    *out_port = port_of(&taken);
    *family = found->ai_family;
    s = -1;
out:
    if (s >= 0)
        (void)close(s);
    freeaddrinfo(found);
    return e;
}
