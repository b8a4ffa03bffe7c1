/* support: profiles for the tests of this folder, with secrets that are made up. */
#ifndef TESTS_WIRE_SUPPORT_H
#define TESTS_WIRE_SUPPORT_H

#include "wire/profile.h"

/* whsec_ and base64 of the octets 0 to 23: the secret of every file named in support_secrets. */
#define SUPPORT_SIGNED "whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYX"

extern const struct wire_secrets support_secrets;

/* The profile of the text; NULL with the faults filled. `name` stands for the file. */
struct wire_profile *support_parse(struct arena *a, struct slice text, const char *name,
                                   struct faults *faults);

/* deploy/profiles/NAME; fails the test when it has faults. */
struct wire_profile *support_load(struct arena *a, const char *name);

#endif
