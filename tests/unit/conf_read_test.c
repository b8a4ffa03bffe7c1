/* Settings files to trees: what is taken, where each node stands, and what each mistake says. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "conf/conf.h"

static enum err parse(struct slice bytes, struct arena *arena, struct faults *faults,
                      const struct tree **out) {
    *arena = arena_make(16 * 1024 * 1024);
    *faults = faults_make();
    *out = NULL;
    return conf_parse(bytes, "f.conf", arena, faults, out);
}

static void values_keep_kind_and_line(void **state) {
    (void)state;
    struct arena arena;
    struct faults faults;
    const struct tree *root;
    struct slice text =
        SLICE("# a comment with 4294967296 { ( [ and @include\n"
              "a = 1;\n"
              "big = 4294967296; /* {\n"
              " [ */ most = 9223372036854775807L;\n"
              "least = -9223372036854775808;\n"
              "half = 0.5; e = 1e3; // {\n"
              "on = true;\n"
              "t2 = \"a \\\"b\\\" @include 7 \" \"c\";\n"
              "g : { x1 = 2; l = ( 1, \"two\", { three = 3; } ); ar = [ 4, 5 ]; };\n");
    assert_int_equal(parse(text, &arena, &faults, &root), ERR_OK);
    assert_int_equal(faults.count, 0);
    assert_int_equal(root->kind, TREE_GROUP);
    assert_int_equal(root->count, 9);
    static const struct {
        const char *name;
        enum tree_kind kind;
        int64_t integer;
        int line;
    } wanted[] = {
        {"a", TREE_INT, 1, 2},
        {"big", TREE_INT, 4294967296, 3},
        {"most", TREE_INT, INT64_MAX, 4},
        {"least", TREE_INT, INT64_MIN, 5},
        {"half", TREE_FLOAT, 0, 6},
        {"e", TREE_FLOAT, 0, 6},
        {"on", TREE_BOOL, 0, 7},
        {"t2", TREE_STRING, 0, 8},
        {"g", TREE_GROUP, 0, 9},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        const struct tree *t = tree_get(root, wanted[i].name);
        assert_non_null(t);
        assert_int_equal(t->kind, wanted[i].kind);
        assert_true(t->integer == wanted[i].integer);
        assert_int_equal(t->line, wanted[i].line);
        assert_string_equal(t->file, "f.conf");
    }
    assert_true(tree_get(root, "half")->number > 0.49 && tree_get(root, "half")->number < 0.51);
    assert_true(tree_get(root, "on")->yes);
    assert_string_equal(tree_get(root, "t2")->string.p, "a \"b\" @include 7 c");
    const struct tree *list = tree_get(tree_get(root, "g"), "l");
    assert_int_equal(list->kind, TREE_LIST);
    assert_int_equal(list->count, 3);
    assert_string_equal(list->child->next->string.p, "two");
    assert_int_equal(tree_get(list->child->next->next, "three")->integer, 3);
    assert_int_equal(tree_get(tree_get(root, "g"), "ar")->child->next->integer, 5);
    faults_free(&faults);
    arena_free(&arena);
}

#define TIMES_4(s)  s s s s
#define TIMES_16(s) TIMES_4(s) TIMES_4(s) TIMES_4(s) TIMES_4(s)

static void each_mistake_says_where(void **state) {
    (void)state;
    static const struct {
        struct slice text;
        const char *fault; /* the one line begins with this */
    } table[] = {
        {{"a = 1;\nb = ;\n", 13}, "f.conf:2: "},
        {{"a = 1;\na = 2;\n", 14}, "f.conf:2: "},
        {{"a = {\n", 6}, "f.conf:"},
        {{"\n@include \"x.conf\"\n", 19}, "f.conf:2: @include"},
        {{"a = \"x;\n\n", 9}, "f.conf:1: the text that begins here"},
        {{"a = \"x\\x00y\";", 13}, "f.conf:1: a text must not hold a zero"},
        {{"a = 1;\0b = 2;", 13}, "f.conf:1: there is a zero byte"},
        {{"a = 1;\n\xff", 8}, "f.conf:2: this line is not UTF-8"},
        {{"a = 9223372036854775808;", 24}, "f.conf:1: this whole number is too large"},
        {{"\na = 0x10;", 10}, "f.conf:2: write whole numbers in decimal"},
        {{"a = 1e400;", 10}, "f.conf:1: this number is too large"},
        {SLICE("a = (" TIMES_16("(") TIMES_16(")") ");"), "f.conf:1: groups and lists are nested"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct arena arena;
        struct faults faults;
        const struct tree *root;
        enum err e = parse(table[i].text, &arena, &faults, &root);
        if (e != ERR_SETTINGS || faults.count != 1 || root ||
            !slice_starts(buf_slice(&faults.text), slice_of(table[i].fault)))
            fail_msg("%.*s\n  gave %s and %d faults: %s  wanted one: %s", SLICE_ARG(table[i].text),
                     err_info(e)->name, faults.count, buf_str(&faults.text), table[i].fault);
        faults_free(&faults);
        arena_free(&arena);
    }
}

static void sixteen_levels_are_taken(void **state) {
    (void)state;
    struct arena arena;
    struct faults faults;
    const struct tree *root;
    assert_int_equal(
        parse(SLICE("a = " TIMES_16("(") "1" TIMES_16(")") ";"), &arena, &faults, &root), ERR_OK);
    const struct tree *t = tree_get(root, "a");
    for (int i = 0; i < CONF_DEPTH_MAX; i++, t = t->child)
        assert_int_equal(t->kind, TREE_LIST);
    assert_int_equal(t->integer, 1);
    faults_free(&faults);
    arena_free(&arena);
}

/* Whatever the bytes, a file cut short is a tree or one fault. */
static void cut_anywhere(void **state) {
    (void)state;
    struct slice text = SLICE("a = 1; # c\nb = ( \"x\\\"\", 2.5e-3, { c = -7L; d = [ true ]; } );\n"
                              "/* x */ e = \"\xc3\xa9\";\n");
    for (size_t n = 0; n <= text.n; n++) {
        struct arena arena;
        struct faults faults;
        const struct tree *root;
        enum err e = parse(slice_head(text, n), &arena, &faults, &root);
        if (e ? e != ERR_SETTINGS || faults.count != 1 : faults.count != 0 || !root)
            fail_msg("at %zu bytes: %s and %d faults", n, err_info(e)->name, faults.count);
        faults_free(&faults);
        arena_free(&arena);
    }
}

static void files(void **state) {
    (void)state;
    struct arena arena = arena_make(16 * 1024 * 1024);
    struct faults faults = faults_make();
    const struct tree *root = NULL;
    assert_int_equal(conf_read(SOURCE_DIR "/grammar/messages.conf", &arena, &faults, &root),
                     ERR_OK);
    assert_non_null(tree_list(root, "kinds", TREE_REQUIRED, &faults));
    assert_int_equal(faults.count, 0);

    assert_int_equal(conf_read(BUILD_DIR "/no-such.conf", &arena, &faults, &root), ERR_SETTINGS);
    assert_int_equal(faults.count, 1);
    assert_non_null(strstr(buf_str(&faults.text), "no-such.conf: cannot be read"));
    assert_int_equal(conf_read(BUILD_DIR, &arena, &faults, &root), ERR_SETTINGS); /* a folder */
    assert_int_equal(faults.count, 2);

    const char *large = BUILD_DIR "/tests/conf_large.conf";
    FILE *f = fopen(large, "wb");
    assert_non_null(f);
    for (int i = 0; i <= CONF_BYTES_MAX; i++)
        assert_int_not_equal(fputc('#', f), EOF);
    assert_int_equal(fclose(f), 0);
    assert_int_equal(conf_read(large, &arena, &faults, &root), ERR_SETTINGS);
    assert_int_equal(faults.count, 3);
    assert_non_null(strstr(buf_str(&faults.text), "larger than 1048576 bytes"));
    assert_int_equal(remove(large), 0);
    faults_free(&faults);
    arena_free(&arena);
}

static void a_small_arena_is_told(void **state) {
    (void)state;
    struct arena arena = arena_make(512);
    struct faults faults = faults_make();
    const struct tree *root = NULL;
    char text[2000];
    memset(text, 0, sizeof text);
    for (int i = 0; i < 100; i++)
        (void)snprintf(text + strlen(text), 16, "n%d = %d;\n", i, i);
    assert_int_equal(conf_parse(slice_of(text), "f.conf", &arena, &faults, &root), ERR_NOMEM);
    assert_int_equal(faults.count, 0);
    faults_free(&faults);
    arena_free(&arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_keep_kind_and_line),
        cmocka_unit_test(each_mistake_says_where),
        cmocka_unit_test(sixteen_levels_are_taken),
        cmocka_unit_test(cut_anywhere),
        cmocka_unit_test(files),
        cmocka_unit_test(a_small_arena_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
