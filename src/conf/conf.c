/* conf: see conf.h. In: a path, or bytes. Out: a tree whose nodes know their file and line, or one
 * fault. Errors: a file that is missing, too large, not UTF-8 or not in the form is a mistake of
 * whoever wrote the settings (ERR_SETTINGS); only memory is ours. The library stops at the first
 * syntax error, so there is one. Limits: conf.h; the library holds the file a second time while it
 * is read. */
#include "conf/conf.h"

#include <errno.h>
#include <libconfig.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "conf/scan.h"

/* A node with its name, file and line; the value comes after. */
static struct tree *node(struct arena *arena, const config_setting_t *from, const char *file) {
    struct tree *t = ARENA_NEW(arena, struct tree);
    if (!t)
        return NULL;
    const char *name = config_setting_name(from);
    t->name = name ? arena_str(arena, slice_of(name)) : "";
    t->file = file;
    t->line = (int)config_setting_source_line(from);
    return t->name ? t : NULL;
}

static enum err take(struct arena *arena, const config_setting_t *from, const char *file,
                     struct faults *faults, struct tree **out);

/* The members of a group, list or array; nesting was capped before. */
static enum err members(struct arena *arena, const config_setting_t *from, struct tree *t,
                        struct faults *faults) {
    struct tree *last = NULL;
    t->count = config_setting_length(from);
    for (int i = 0; i < t->count; i++) {
        struct tree *member;
        enum err e =
            take(arena, config_setting_get_elem(from, (unsigned)i), t->file, faults, &member);
        if (e)
            return e;
        if (last)
            last->next = member;
        else
            t->child = member;
        last = member;
    }
    return ERR_OK;
}

static enum err take(struct arena *arena, const config_setting_t *from, const char *file,
                     struct faults *faults, struct tree **out) {
    struct tree *t = node(arena, from, file);
    if (!t)
        return ERR_NOMEM;
    *out = t;
    switch (config_setting_type(from)) {
    case CONFIG_TYPE_GROUP:
        t->kind = TREE_GROUP;
        return members(arena, from, t, faults);
    case CONFIG_TYPE_ARRAY:
    case CONFIG_TYPE_LIST:
        t->kind = TREE_LIST;
        return members(arena, from, t, faults);
    case CONFIG_TYPE_INT:
    case CONFIG_TYPE_INT64:
        t->kind = TREE_INT;
        t->integer = config_setting_get_int64(from);
        t->number = (double)t->integer;
        return ERR_OK;
    case CONFIG_TYPE_FLOAT:
        t->kind = TREE_FLOAT;
        t->number = config_setting_get_float(from);
        if (isfinite(t->number))
            return ERR_OK;
        faults_add(faults, file, t->line, "this number is too large");
        return ERR_SETTINGS;
    case CONFIG_TYPE_BOOL:
        t->kind = TREE_BOOL;
        t->yes = config_setting_get_bool(from) != 0;
        return ERR_OK;
    case CONFIG_TYPE_STRING: {
        const char *text = config_setting_get_string(from);
        t->kind = TREE_STRING;
        t->string.n = text ? strlen(text) : 0;
        t->string.p = arena_str(arena, (struct slice){text, t->string.n});
        return t->string.p ? ERR_OK : ERR_NOMEM;
    }
    default:
        return ERR_BUG;
    }
}

/* Line of the first byte that is not UTF-8. */
static int bad_line(struct slice bytes) {
    int line = 1;
    uint32_t c;
    while (slice_codepoint(&bytes, &c) == ERR_OK)
        line += c == '\n';
    return line;
}

enum err conf_parse(struct slice bytes, const char *name, struct arena *arena,
                    struct faults *faults, const struct tree **out) {
    const char *file = arena_str(arena, slice_of(name));
    if (!file)
        return ERR_NOMEM;
    if (bytes.n > CONF_BYTES_MAX) {
        faults_add(faults, name, 0, "the file is larger than %d bytes", CONF_BYTES_MAX);
        return ERR_SETTINGS;
    }
    if (!slice_is_utf8(bytes)) {
        faults_add(faults, name, bad_line(bytes), "this line is not UTF-8");
        return ERR_SETTINGS;
    }
    config_t config;
    config_init(&config);
    struct tree *root = NULL;
    struct buf text = buf_make(2 * (size_t)CONF_BYTES_MAX); /* an L for a digit at most */
    enum err e = conf_scan(bytes, name, &text, faults);
    if (e)
        goto out;
    if (config_read_string(&config, buf_str(&text)) != CONFIG_TRUE) {
        const char *what = config_error_text(&config);
        faults_add(faults, name, config_error_line(&config), "%s", what ? what : "syntax error");
        e = ERR_SETTINGS;
        goto out;
    }
    e = take(arena, config_root_setting(&config), file, faults, &root);
    if (e)
        goto out;
    root->line = 1;
    *out = root;
out:
    config_destroy(&config);
    buf_free(&text);
    return e;
}

enum err conf_read(const char *path, struct arena *arena, struct faults *faults,
                   const struct tree **out) {
    struct buf bytes = buf_make((size_t)CONF_BYTES_MAX + 4096);
    enum err e = ERR_OK;
    FILE *f = fopen(path, "rb");
    if (!f) {
        faults_add(faults, path, 0, "cannot be read: %s", strerror(errno));
        return ERR_SETTINGS;
    }
    char piece[4096];
    size_t n;
    while (bytes.n <= CONF_BYTES_MAX && (n = fread(piece, 1, sizeof piece, f)) > 0)
        buf_put(&bytes, (struct slice){piece, n});
    if (ferror(f)) {
        faults_add(faults, path, 0, "cannot be read: %s", strerror(errno));
        e = ERR_SETTINGS;
        goto out;
    }
    e = buf_err(&bytes);
    if (e)
        goto out;
    e = conf_parse(buf_slice(&bytes), path, arena, faults, out);
out:
    (void)fclose(f);
    buf_free(&bytes);
    return e;
}
