/* words/forms: see forms.h. In: the tree of messages.conf:
 *   slots = ( "tag", ... );
 *   kinds = ( { name = "inject"; slots = [ ... ]; needs = [ ... ]; records = true; whole = false;
 * },
 *             ... );
 * Other members of the root belong to other rooms and are left alone. Out: the table of kinds.
 * Errors: whoever wrote the file, all told at once. */
#include "words/forms.h"

#include <string.h>

int forms_kind(const struct forms *f, const char *name) {
    for (int i = 1; i <= f->kind_count; i++)
        if (strcmp(f->kinds[i].name, name) == 0)
            return i;
    return 0;
}

static bool lower_name(struct slice s) {
    for (size_t i = 0; i < s.n; i++)
        if (!(s.p[i] >= 'a' && s.p[i] <= 'z') && s.p[i] != '-')
            return false;
    return s.n > 0 && s.n < 24;
}

static bool read_slots(const struct tree *tree, struct arena *arena, struct faults *faults,
                       struct forms *out) {
    const struct tree *list = tree_list(tree, "slots", TREE_REQUIRED, faults);
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        if (t->kind != TREE_STRING || !lower_name(t->string)) {
            faults_add(faults, t->file, t->line, "a slot is a name of small letters in quotes");
            continue;
        }
        for (int i = 0; i < out->slot_count; i++)
            if (slice_eq(slice_of(out->slots[i]), t->string))
                faults_add(faults, t->file, t->line, "slot \"%s\" stands twice", out->slots[i]);
        if (out->slot_count == FORMS_SLOTS_MAX) {
            faults_add(faults, t->file, t->line, "more than %d slots", FORMS_SLOTS_MAX);
            break;
        }
        const char *name = arena_str(arena, t->string);
        if (!name)
            return false;
        out->slots[out->slot_count++] = name;
    }
    return true;
}

/* A list of slots by name, as bits. */
static unsigned slot_bits(const struct forms *f, const struct tree *kind, const char *member,
                          struct faults *faults) {
    unsigned bits = 0;
    const struct tree *list = tree_list(kind, member, TREE_OPTIONAL, faults);
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        int at = -1;
        for (int i = 0; i < f->slot_count && t->kind == TREE_STRING; i++)
            if (slice_eq(slice_of(f->slots[i]), t->string))
                at = i;
        if (at >= 0) {
            bits |= 1u << at;
            continue;
        }
        const char *near =
            t->kind == TREE_STRING ? fault_near(t->string, f->slots, f->slot_count) : NULL;
        faults_add(faults, t->file, t->line, "\"%s\" lists something that is no slot%s%s%s", member,
                   near ? "; \"" : "", near ? near : "", near ? "\" was meant?" : "");
    }
    return bits;
}

static bool read_kind(const struct tree *t, struct arena *arena, struct faults *faults,
                      struct forms *out) {
    static const char *const known[] = {"name", "slots", "needs", "records", "whole"};
    struct slice name;
    if (t->kind != TREE_GROUP) {
        faults_add(faults, t->file, t->line, "a kind is a group { name = ...; }");
        return true;
    }
    tree_only(t, known, (int)(sizeof known / sizeof *known), faults);
    if (!tree_string(t, "name", TREE_REQUIRED, &name, faults))
        return true;
    if (!lower_name(name)) {
        faults_add(faults, t->file, t->line, "the name of a kind has small letters and -");
        return true;
    }
    struct form form = {.name = arena_str(arena, name)};
    if (!form.name)
        return false;
    if (forms_kind(out, form.name))
        faults_add(faults, t->file, t->line, "kind \"%s\" stands twice", form.name);
    form.slots = slot_bits(out, t, "slots", faults);
    form.needs = slot_bits(out, t, "needs", faults);
    if (form.needs & ~form.slots)
        faults_add(faults, t->file, t->line, "kind \"%s\" needs a slot that it does not take",
                   form.name);
    (void)tree_bool(t, "records", TREE_OPTIONAL, &form.records, faults);
    (void)tree_bool(t, "whole", TREE_OPTIONAL, &form.whole, faults);
    if (form.whole && form.slots)
        faults_add(faults, t->file, t->line, "kind \"%s\" is the whole message: it has no slots",
                   form.name);
    out->kinds[++out->kind_count] = form;
    return true;
}

bool forms_read(const struct tree *tree, struct arena *arena, struct faults *faults,
                struct forms *out) {
    *out = (struct forms){0};
    out->kinds[0].name = "";
    if (!tree || !read_slots(tree, arena, faults, out))
        return false;
    const struct tree *list = tree_list(tree, "kinds", TREE_REQUIRED, faults);
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        if (out->kind_count == FORMS_KINDS_MAX) {
            faults_add(faults, t->file, t->line, "more than %d kinds", FORMS_KINDS_MAX);
            break;
        }
        if (!read_kind(t, arena, faults, out))
            return false;
    }
    return out->kind_count > 0;
}
