/* words/forms: see forms.h. In: the tree of messages.conf:
 *   slots = ( "tag", ... );
 *   choices = ( "river", ... );      (may be left out)
 *   kinds = ( { name = "inject"; slots = [ ... ]; needs = [ ... ]; choices = [ ... ];
 *               records = true; whole = false; }, ... );
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

int forms_choice(const struct forms *f, const char *name) {
    for (int i = 0; i < f->choice_count; i++)
        if (strcmp(f->choices[i], name) == 0)
            return i;
    return -1;
}

static bool lower_name(struct slice s) {
    for (size_t i = 0; i < s.n; i++)
        if (!(s.p[i] >= 'a' && s.p[i] <= 'z') && s.p[i] != '-')
            return false;
    return s.n > 0 && s.n < 24;
}

/* A list of names, told apart. False: no memory. */
static bool read_names(const struct tree *tree, const char *member, const char *what,
                       enum tree_need need, struct arena *arena, struct faults *faults,
                       const char **names, int most, int *count) {
    const struct tree *list = tree_list(tree, member, need, faults);
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        if (t->kind != TREE_STRING || !lower_name(t->string)) {
            faults_add(faults, t->file, t->line, "a %s is a name of small letters in quotes", what);
            continue;
        }
        for (int i = 0; i < *count; i++)
            if (slice_eq(slice_of(names[i]), t->string))
                faults_add(faults, t->file, t->line, "%s \"%s\" stands twice", what, names[i]);
        if (*count == most) {
            faults_add(faults, t->file, t->line, "more than %d %ss", most, what);
            break;
        }
        const char *name = arena_str(arena, t->string);
        if (!name)
            return false;
        names[(*count)++] = name;
    }
    return true;
}

/* A list of names out of `names`, as bits. */
static uint64_t bits_of(const struct tree *kind, const char *member, const char *what,
                        const char *const *names, int count, struct faults *faults) {
    uint64_t bits = 0;
    const struct tree *list = tree_list(kind, member, TREE_OPTIONAL, faults);
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        int at = -1;
        for (int i = 0; i < count && t->kind == TREE_STRING; i++)
            if (slice_eq(slice_of(names[i]), t->string))
                at = i;
        if (at >= 0) {
            bits |= UINT64_C(1) << at;
            continue;
        }
        const char *near = t->kind == TREE_STRING ? fault_near(t->string, names, count) : NULL;
        faults_add(faults, t->file, t->line, "\"%s\" lists something that is no %s%s%s%s", member,
                   what, near ? "; \"" : "", near ? near : "", near ? "\" was meant?" : "");
    }
    return bits;
}

/* A kind takes choices by a slot of that name: one without the other reads nothing. */
static void check_choices(const struct forms *f, const struct form *form, const struct tree *t,
                          struct faults *faults) {
    bool slot = false;
    for (int i = 0; i < f->slot_count; i++)
        slot =
            slot || (strcmp(f->slots[i], "choice") == 0 && (form->slots & UINT64_C(1) << i) != 0);
    if (slot != (form->choices != 0))
        faults_add(faults, t->file, t->line,
                   "kind \"%s\" must have both the slot \"choice\" and \"choices\", or neither",
                   form->name);
}

static bool read_kind(const struct tree *t, struct arena *arena, struct faults *faults,
                      struct forms *out) {
    static const char *const known[] = {"name", "slots", "needs", "choices", "records", "whole"};
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
    form.slots = bits_of(t, "slots", "slot", out->slots, out->slot_count, faults);
    form.needs = bits_of(t, "needs", "slot", out->slots, out->slot_count, faults);
    form.choices = bits_of(t, "choices", "choice", out->choices, out->choice_count, faults);
    check_choices(out, &form, t, faults);
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
    if (!tree ||
        !read_names(tree, "slots", "slot", TREE_REQUIRED, arena, faults, out->slots,
                    FORMS_SLOTS_MAX, &out->slot_count) ||
        !read_names(tree, "choices", "choice", TREE_OPTIONAL, arena, faults, out->choices,
                    FORMS_CHOICES_MAX, &out->choice_count))
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
