/* body: see body.h. In: a body's octets and a path; out: the text found there. Whatever the body
 * holds wrong is its sender's fault; only ERR_NOMEM is ours. Limits: WIRE_BODY_MAX octets,
 * WIRE_DEPTH_MAX levels of nesting, WIRE_FORM_FIELDS_MAX names in a form. */
#include "wire/body.h"

#include <jansson.h>
#include <string.h>

#include "wire/form.h"

enum { INT_DIGITS = 24 }; /* room for a 64-bit integer and its sign */

struct wire_tree {
    enum wire_body form;
    json_t *json;
    struct wire_pair *pairs;
    int pair_count;
};

/* The JSON library reads nested values by calling itself, 2048 deep: what is deeper than any
 * provider's body is refused before. Brackets inside strings do not count. */
static enum err check_depth(struct slice body) {
    int depth = 0;
    bool in_string = false;
    for (size_t i = 0; i < body.n; i++) {
        char c = body.p[i];
        if (in_string) {
            if (c == '\\')
                i++;
            else if (c == '"')
                in_string = false;
        } else if (c == '"') {
            in_string = true;
        } else if (c == '{' || c == '[') {
            if (++depth > WIRE_DEPTH_MAX)
                return ERR_TOO_LONG;
        } else if (c == '}' || c == ']') {
            depth--;
        }
    }
    return ERR_OK;
}

/* The number of an escape \uXXXX at `at`, -1: there is none. */
static int escape_unit(struct slice body, size_t at) {
    int unit = 0;
    if (at + 6 > body.n || body.p[at] != '\\' || body.p[at + 1] != 'u')
        return -1;
    for (size_t i = at + 2; i < at + 6; i++) {
        char c = body.p[i];
        int digit = c >= '0' && c <= '9'   ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;
        if (digit < 0)
            return -1;
        unit = unit * 16 + digit;
    }
    return unit;
}

/* RFC 8259, 8.2: an escape may be half of a character, or no character. A text must not be lost for
 * that (it may say STOP): each such escape becomes that of U+FFFD. Outside of strings there are no
 * backslashes in JSON, so nothing else changes. */
static enum err mend_escapes(struct arena *a, struct slice *body) {
    static const char replacement[] = "\\ufffd";
    char *p = NULL;
    for (size_t i = 0; i + 1 < body->n; i++) {
        if (body->p[i] != '\\')
            continue;
        int unit = escape_unit(*body, i), next = unit < 0 ? -1 : escape_unit(*body, i + 6);
        bool high = unit >= 0xd800 && unit < 0xdc00, low = unit >= 0xdc00 && unit < 0xe000;
        bool pair = high && next >= 0xdc00 && next < 0xe000;
        if (unit == 0 || low || (high && !pair)) {
            if (!p) {
                p = arena_take(a, body->n, 1);
                if (!p)
                    return ERR_NOMEM;
                memcpy(p, body->p, body->n);
                body->p = p;
            }
            memcpy(p + i, replacement, 6);
        }
        i += pair ? 11 : unit >= 0 ? 5 : 1;
    }
    return ERR_OK;
}

static enum err read_json(struct arena *a, struct slice body, json_t **out) {
    enum err e = check_depth(body);
    if (!e)
        e = mend_escapes(a, &body);
    if (e)
        return e;
    json_error_t error;
    *out = json_loadb(body.p ? body.p : "", body.n, JSON_REJECT_DUPLICATES, &error);
    if (*out)
        return ERR_OK;
    switch (json_error_code(&error)) {
    case json_error_out_of_memory:
        return ERR_NOMEM;
    case json_error_numeric_overflow:
        return ERR_RANGE;
    case json_error_stack_overflow:
        return ERR_TOO_LONG;
    case json_error_invalid_utf8:
        return ERR_UTF8;
    default:
        return ERR_SYNTAX;
    }
}

enum err wire_tree_read(struct arena *a, enum wire_body form, struct slice body,
                        struct wire_tree **out) {
    if (body.n > WIRE_BODY_MAX)
        return ERR_TOO_LONG;
    if (!slice_is_utf8(body))
        return ERR_UTF8;
    struct wire_tree *t = ARENA_NEW(a, struct wire_tree);
    if (!t)
        return ERR_NOMEM;
    t->form = form;
    enum err e = ERR_OK;
    if (form == WIRE_BODY_JSON)
        e = read_json(a, body, &t->json);
    else if (form == WIRE_BODY_FORM)
        e = wire_form_read(a, body, WIRE_FORM_FIELDS_MAX, &t->pairs, &t->pair_count);
    if (!e)
        *out = t;
    return e;
}

void wire_tree_free(struct wire_tree *t) {
    if (t)
        json_decref(t->json);
}

static json_t *only_element(json_t *v) {
    return json_is_array(v) && json_array_size(v) == 1 ? json_array_get(v, 0) : v;
}

static json_t *find_json(json_t *v, const struct wire_path *path) {
    for (int i = 0; i < path->count; i++) {
        v = only_element(v);
        v = json_object_getn(v, path->segments[i].p, path->segments[i].n);
    }
    return only_element(v);
}

static enum err json_text(struct arena *a, const json_t *v, size_t most, struct slice *out) {
    struct slice s;
    if (json_is_string(v)) {
        s = (struct slice){json_string_value(v), json_string_length(v)};
    } else if (json_is_integer(v)) {
        struct buf b = buf_make_in(a, INT_DIGITS);
        buf_put_int(&b, json_integer_value(v));
        enum err e = buf_err(&b);
        if (e)
            return e;
        s = buf_slice(&b);
    } else if (json_is_boolean(v)) {
        s = json_is_true(v) ? SLICE("true") : SLICE("false");
    } else {
        return v && !json_is_null(v) ? ERR_SYNTAX : ERR_NOT_FOUND;
    }
    if (s.n > most)
        return ERR_TOO_LONG;
    *out = arena_slice(a, s);
    return out->p ? ERR_OK : ERR_NOMEM;
}

enum err wire_tree_text(struct arena *a, const struct wire_tree *t, const struct wire_path *path,
                        size_t most, struct slice *out) {
    if (!path->whole.n)
        return ERR_NOT_FOUND;
    if (t->form == WIRE_BODY_JSON)
        return json_text(a, find_json(t->json, path), most, out);
    for (int i = 0; i < t->pair_count; i++) {
        if (!slice_eq(t->pairs[i].name, path->whole))
            continue;
        if (t->pairs[i].value.n > most)
            return ERR_TOO_LONG;
        *out = t->pairs[i].value;
        return ERR_OK;
    }
    return ERR_NOT_FOUND;
}

/* One parameter of a Content-Type, blanks around it dropped. Only a charset matters. */
static bool parameter_is_fine(struct slice parameter) {
    struct slice name, value;
    (void)slice_cut(parameter, '=', &name, &value);
    if (!slice_eq_nocase(slice_trim(name), SLICE("charset")))
        return true;
    value = slice_trim(value);
    return slice_eq_nocase(value, SLICE("utf-8")) || slice_eq_nocase(value, SLICE("\"utf-8\""));
}

bool wire_body_is(enum wire_body form, struct slice content_type) {
    struct slice type, rest;
    (void)slice_cut(content_type, ';', &type, &rest);
    struct slice wanted = form == WIRE_BODY_JSON ? SLICE("application/json")
                                                 : SLICE("application/x-www-form-urlencoded");
    if (form == WIRE_BODY_NONE || !slice_eq_nocase(slice_trim(type), wanted))
        return false;
    while (rest.n) {
        struct slice parameter;
        (void)slice_cut(rest, ';', &parameter, &rest);
        if (!parameter_is_fine(parameter))
            return false;
    }
    return true;
}
