/* entry: the form of each kind of entry, and its text. In: an entry or a stored line; out: the
 * other. Only ERR_CORRUPT, and then the store is at fault: what is written here can be read. */
#include "farm/entry.h"

struct field {
    const char *name;
    int64_t least, most;
};

/* Ranges are those of sense, wide: whether a value is plausible was asked when it was said. */
static const struct form {
    const char *name;
    struct field fields[ENTRY_VALUES_MAX];
} forms[ENTRY_KIND_END] = {
    [ENTRY_UNDO] = {"undo", {{"message", 1, INT64_MAX}}},
    [ENTRY_INJECTED] = {"injected",
                        {{"female", 1, INT64_MAX}, {"tag", 1, 9999}, {"weight_mg", 1, 100000000}}},
    [ENTRY_WATER] = {"water", {{"water_mdegc", 0, 50000}, {"begins", 0, 1}}},
    [ENTRY_FOLLOW] = {"follow", {{0}}},
    [ENTRY_NOT_READY] = {"not-ready", {{0}}},
    [ENTRY_NO_EGGS] = {"no-eggs", {{0}}},
    [ENTRY_STRIPPED] = {"stripped", {{"eggs_mg", 1, 100000000}}},
    [ENTRY_WHITE] = {"white", {{"white", 0, 1000000}, {"of", 1, 1000000}}},
    [ENTRY_FRAMES] = {"frames", {{0}}},
};

static bool kind_known(enum entry_kind kind) {
    return (int)kind > 0 && kind < ENTRY_KIND_END && forms[kind].name;
}

void entry_write(const struct entry *e, struct buf *out) {
    if (!kind_known(e->kind))
        return;
    for (int i = 0; i < ENTRY_VALUES_MAX && forms[e->kind].fields[i].name; i++) {
        if (i)
            buf_putc(out, ' ');
        buf_puts(out, forms[e->kind].fields[i].name);
        buf_putc(out, '=');
        buf_put_int(out, e->value[i]);
    }
}

/* An undo is the hatchery's, water the hatchery's or a spawn's, all else a spawn's. */
static bool subject_fits(const struct entry *e) {
    if (e->subject_kind == SUBJECT_HATCHERY)
        return e->subject == 0 && (e->kind == ENTRY_UNDO || e->kind == ENTRY_WATER);
    return e->subject_kind == SUBJECT_SPAWN && e->subject > 0 && e->kind != ENTRY_UNDO;
}

/* A value as buf_put_int writes it: no plus sign, no zero in front. No field takes less than 0. */
static bool read_value(struct slice text, const struct field *field, int64_t *out) {
    if (!text.n || text.p[0] < '0' || text.p[0] > '9' || (text.n > 1 && text.p[0] == '0'))
        return false;
    return slice_int(text, out) == ERR_OK && *out >= field->least && *out <= field->most;
}

enum err entry_read(struct slice line, struct entry *out) {
    if (!kind_known(out->kind) || out->version != ENTRY_VERSION || !subject_fits(out))
        return ERR_CORRUPT;
    const struct field *fields = forms[out->kind].fields;
    bool more = line.n > 0;
    for (int i = 0; i < ENTRY_VALUES_MAX; i++) {
        out->value[i] = 0;
        if (!fields[i].name)
            continue;
        struct slice pair, name, value;
        more = slice_cut(line, ' ', &pair, &line);
        if (!slice_cut(pair, '=', &name, &value) || !slice_eq(name, slice_of(fields[i].name)) ||
            !read_value(value, &fields[i], &out->value[i]))
            return ERR_CORRUPT;
    }
    return more ? ERR_CORRUPT : ERR_OK;
}
