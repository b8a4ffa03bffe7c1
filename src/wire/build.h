/* build: what the builders of a profile's parts share: reads of a tree that copy into the profile's
 * arena and put every mistake into the faults. Nothing here fails otherwise: memory's end is a
 * fault, too, and what could not be read is left empty. */
#ifndef WIRE_BUILD_H
#define WIRE_BUILD_H

#include "wire/profile.h"

struct wire_builder {
    struct arena *a;
    const struct wire_secrets *secrets;
    struct faults *faults;
};

void wire_build_nomem(const struct wire_builder *b, const struct tree *at);
struct slice wire_build_copy(const struct wire_builder *b, const struct tree *at, struct slice s);

/* A text that is not empty, has no control characters and is at most `most` bytes. */
bool wire_build_text(const struct wire_builder *b, const struct tree *group, const char *name,
                     enum tree_need need, size_t most, struct slice *out);

/* One of the words; its place in `words` to *out, which is left alone when there is none. */
bool wire_build_word(const struct wire_builder *b, const struct tree *group, const char *name,
                     enum tree_need need, const char *const *words, int count, int *out);

/* A dotted path (in a form body one name). `wraps`: NAME[] may be written, which only sending
 * knows. */
bool wire_build_path(const struct wire_builder *b, const struct tree *group, const char *name,
                     enum tree_need need, enum wire_body form, bool wraps, struct wire_path *out);

/* A list of different HTTP statuses from `least` to `most`, and a list of different texts. */
void wire_build_statuses(const struct wire_builder *b, const struct tree *group, const char *name,
                         int64_t least, int64_t most, struct wire_numbers *out);
bool wire_build_texts(const struct wire_builder *b, const struct tree *group, const char *name,
                      enum tree_need need, struct wire_texts *out);

/* The secret whose file the node (a text) names: trimmed, not empty, printable ASCII. */
bool wire_build_secret(const struct wire_builder *b, const struct tree *node, struct slice *out);

/* A header's name: a token of RFC 9110 5.6.2. */
bool wire_build_is_token(struct slice s);

/* At most this many members in any list of a profile. */
enum { WIRE_LIST_MAX = 64 };

#endif
