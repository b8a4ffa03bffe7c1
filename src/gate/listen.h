/* listen: a listening TCP socket on a numeric address. */
#ifndef GATE_LISTEN_H
#define GATE_LISTEN_H

#include "base/err.h"

/* port 0: any free one. *out_port is the one taken. Non-blocking, closed on exec. ERR_RANGE: the
 * address is not numeric or the port not 0..65535; ERR_IO: the system refuses. Both are logged. */
enum err gate_listen(const char *address, int port, int *fd, int *out_port, int *family) MUST_LOOK;

#endif
