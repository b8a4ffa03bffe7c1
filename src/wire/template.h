/* template: a value of a profile with {holes}, cut once when the profile is built, filled at every
 * send. "{{" and "}}" stand for the braces themselves. */
#ifndef WIRE_TEMPLATE_H
#define WIRE_TEMPLATE_H

#include "base/buf.h"
#include "wire/build.h"

/* What the holes become. */
struct wire_values {
    struct slice to, text, reference, sender, alphabet, secret;
};

/* The member `name` of the group; a hole outside the set (bits 1 << enum wire_hole) is a fault. */
enum { WIRE_TEMPLATE_MAX = 1000 }; /* bytes */
bool wire_template_build(const struct wire_builder *b, const struct tree *group, const char *name,
                         unsigned allowed, struct wire_template *out);

bool wire_template_has(const struct wire_template *t, enum wire_hole hole);
bool wire_template_is_fixed(const struct wire_template *t); /* no holes */
void wire_template_put(const struct wire_template *t, const struct wire_values *v, struct buf *out);

#endif
