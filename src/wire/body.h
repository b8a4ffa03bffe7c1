/* body: a JSON or form body once read, asked by path. What is read is strict (UTF-8, no NUL, no
 * name twice, capped in depth and fields); what a path finds is lenient: a list with one element
 * stands for that element, a number or true for its text. */
#ifndef WIRE_BODY_H
#define WIRE_BODY_H

#include "wire/profile.h"

enum { WIRE_DEPTH_MAX = 16 };

struct wire_tree; /* a body once read */

/* ERR_SYNTAX, ERR_UTF8, ERR_TOO_LONG (over WIRE_BODY_MAX, WIRE_DEPTH_MAX or WIRE_FORM_FIELDS_MAX),
 * ERR_RANGE (a whole number beyond 64 bits, a fraction beyond a double), ERR_NOMEM. */
enum err wire_tree_read(struct arena *a, enum wire_body form, struct slice body,
                        struct wire_tree **out) MUST_LOOK;
void wire_tree_free(struct wire_tree *t); /* NULL is fine; found slices stay good, in the arena */

/* The text at the path, at most `most` bytes: whole numbers in digits, booleans as true or false.
 * ERR_NOT_FOUND: nothing there, or null. ERR_SYNTAX: an object, a list of several, a fraction.
 * ERR_TOO_LONG: over `most`. ERR_NOMEM. */
enum err wire_tree_text(struct arena *a, const struct wire_tree *t, const struct wire_path *path,
                        size_t most, struct slice *out) MUST_LOOK;

/* Whether a Content-Type is the one of this form; parameters are allowed, but a charset must be
 * UTF-8. */
bool wire_body_is(enum wire_body form, struct slice content_type);

#endif
