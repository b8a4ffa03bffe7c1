/* profile_send: the `send` group of a profile, checked. */
#ifndef WIRE_PROFILE_SEND_H
#define WIRE_PROFILE_SEND_H

#include "wire/build.h"

void wire_profile_send_build(const struct wire_builder *b, const struct tree *node,
                             struct wire_send_profile *out);

#endif
