/* template: see template.h. In: a text of the profile, later the values of one send; out: the text
 * with its holes filled. A wrong hole is the fault of who wrote the profile. */
#include "wire/template.h"

enum { PIECES_MAX = 32 };

static const char *const hole_names[] = {"to",     "to_digits", "text",  "reference",
                                         "sender", "alphabet",  "secret"};
enum { HOLES = sizeof hole_names / sizeof hole_names[0] };

static enum wire_hole hole_by_name(struct slice name) {
    for (int i = 0; i < HOLES; i++)
        if (slice_eq(name, slice_of(hole_names[i])))
            return (enum wire_hole)(WIRE_HOLE_TO + i);
    return WIRE_HOLE_NONE;
}

/* A hole's name, behind its brace, off the front of *rest. */
static bool take_hole(const struct wire_builder *b, const struct tree *node, unsigned allowed,
                      struct slice *rest, enum wire_hole *out) {
    struct slice name;
    if (!slice_cut(*rest, '}', &name, rest)) {
        faults_add(b->faults, node->file, node->line,
                   "\"%s\": a { without its }; write {{ for the sign itself", node->name);
        return false;
    }
    *out = hole_by_name(name);
    if (*out == WIRE_HOLE_NONE) {
        const char *near = fault_near(name, hole_names, HOLES);
        faults_add(b->faults, node->file, node->line, "\"%s\": {%.*s} is not known%s%s%s",
                   node->name, (int)(name.n < 40 ? name.n : 40), name.p, near ? "; {" : "",
                   near ? near : "", near ? "} was meant?" : "");
        return false;
    }
    if (!(allowed & 1u << *out)) {
        faults_add(b->faults, node->file, node->line, "\"%s\": {%.*s} cannot stand here",
                   node->name, SLICE_ARG(name));
        return false;
    }
    return true;
}

/* The next piece off the front of *rest. */
static bool take_piece(const struct wire_builder *b, const struct tree *node, unsigned allowed,
                       struct slice *rest, struct wire_piece *out) {
    char first = rest->p[0];
    bool twice = rest->n > 1 && rest->p[1] == first;
    if ((first == '{' || first == '}') && twice) {
        *out = (struct wire_piece){WIRE_HOLE_NONE, slice_head(*rest, 1)};
        *rest = slice_from(*rest, 2);
        return true;
    }
    if (first == '}') {
        faults_add(b->faults, node->file, node->line,
                   "\"%s\": a } without its {; write }} for the sign itself", node->name);
        return false;
    }
    if (first == '{') {
        *rest = slice_from(*rest, 1);
        out->text = (struct slice){"", 0};
        return take_hole(b, node, allowed, rest, &out->hole);
    }
    size_t n = 0;
    while (n < rest->n && rest->p[n] != '{' && rest->p[n] != '}')
        n++;
    *out = (struct wire_piece){WIRE_HOLE_NONE, slice_head(*rest, n)};
    *rest = slice_from(*rest, n);
    return true;
}

bool wire_template_build(const struct wire_builder *b, const struct tree *group, const char *name,
                         unsigned allowed, struct wire_template *out) {
    struct slice rest = {NULL, 0};
    if (!wire_build_text(b, group, name, TREE_REQUIRED, WIRE_TEMPLATE_MAX, &rest))
        return false;
    const struct tree *node = tree_get(group, name);
    struct wire_piece *pieces = ARENA_ARRAY(b->a, PIECES_MAX, struct wire_piece);
    if (!pieces) {
        wire_build_nomem(b, node);
        return false;
    }
    int n = 0;
    while (rest.n) {
        if (n == PIECES_MAX) {
            faults_add(b->faults, node->file, node->line, "\"%s\" has too many pieces", name);
            return false;
        }
        if (!take_piece(b, node, allowed, &rest, &pieces[n++]))
            return false;
    }
    *out = (struct wire_template){pieces, n};
    return true;
}

bool wire_template_has(const struct wire_template *t, enum wire_hole hole) {
    for (int i = 0; i < t->count; i++)
        if (t->pieces[i].hole == hole)
            return true;
    return false;
}

bool wire_template_is_fixed(const struct wire_template *t) {
    for (int i = 0; i < t->count; i++)
        if (t->pieces[i].hole != WIRE_HOLE_NONE)
            return false;
    return true;
}

static struct slice filling(const struct wire_piece *piece, const struct wire_values *v) {
    switch (piece->hole) {
    case WIRE_HOLE_NONE:
        return piece->text;
    case WIRE_HOLE_TO:
        return v->to;
    case WIRE_HOLE_TO_DIGITS:
        return slice_from(v->to, 1);
    case WIRE_HOLE_TEXT:
        return v->text;
    case WIRE_HOLE_REFERENCE:
        return v->reference;
    case WIRE_HOLE_SENDER:
        return v->sender;
    case WIRE_HOLE_ALPHABET:
        return v->alphabet;
    case WIRE_HOLE_SECRET:
        return v->secret;
    }
    return piece->text;
}

void wire_template_put(const struct wire_template *t, const struct wire_values *v,
                       struct buf *out) {
    for (int i = 0; i < t->count; i++)
        buf_put(out, filling(&t->pieces[i], v));
}
