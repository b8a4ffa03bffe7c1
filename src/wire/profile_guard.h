/* profile_guard: the `guard` group in a profile's `in` and `receipt`, checked. */
#ifndef WIRE_PROFILE_GUARD_H
#define WIRE_PROFILE_GUARD_H

#include "wire/build.h"

/* `parent` is the group that must hold the guard, `form` that of its body. */
void wire_profile_guard_build(const struct wire_builder *b, const struct tree *parent,
                              enum wire_body form, struct wire_guard *out);

#endif
