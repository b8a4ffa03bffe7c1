/* Typed reads of a tree: what is given, and the fault that each mistake leaves, with its line. */
#include "base_help.h"

#include "base/tree.h"

#define NODE(kind_, name_, line_)                                                                  \
    .kind = (kind_), .name = (name_), .file = "s.conf", .line = (line_)

/* s.conf: root { name = "Demo"; parts = 3; share = 0.5; open = true; times = (1); link { } } */
static const struct tree link_node = {NODE(TREE_GROUP, "link", 6)};
static const struct tree one = {NODE(TREE_INT, "", 5), .integer = 1, .number = 1};
static const struct tree times = {NODE(TREE_LIST, "times", 5), .child = &one, .count = 1,
                                  .next = &link_node};
static const struct tree open_node = {NODE(TREE_BOOL, "open", 4), .yes = true, .next = &times};
static const struct tree share = {NODE(TREE_FLOAT, "share", 3), .number = 0.5, .next = &open_node};
static const struct tree parts = {NODE(TREE_INT, "parts", 2), .integer = 3, .number = 3,
                                  .next = &share};
static const struct tree name = {NODE(TREE_STRING, "name", 1), .string = {"Demo", 4},
                                 .next = &parts};
static const struct tree root = {NODE(TREE_GROUP, "", 1), .child = &name, .count = 6};

static void reads(void **unused) {
    (void)unused;
    struct faults f = faults_make();
    struct slice text = SLICE("");
    int64_t number = 0;
    bool yes = false;
    assert_true(tree_string(&root, "name", TREE_REQUIRED, &text, &f));
    TEXT(text, "Demo");
    assert_true(tree_int(&root, "parts", TREE_REQUIRED, 3, 3, &number, &f));
    assert_int_equal(number, 3);
    assert_true(tree_bool(&root, "open", TREE_REQUIRED, &yes, &f));
    assert_true(yes);
    assert_ptr_equal(tree_group(&root, "link", TREE_REQUIRED, &f), &link_node);
    assert_ptr_equal(tree_list(&root, "times", TREE_REQUIRED, &f), &times);
    assert_ptr_equal(tree_get(&root, "share"), &share);
    assert_null(tree_get(&root, "Name"));
    assert_null(tree_get(NULL, "name"));
    assert_null(tree_get(&link_node, "name"));
    assert_int_equal(f.count, 0);
    faults_free(&f);
}

/* A missing optional member is no fault and leaves what was there. */
static void optional(void **unused) {
    (void)unused;
    struct faults f = faults_make();
    struct slice text = SLICE("kept");
    int64_t number = 7;
    bool yes = true;
    assert_false(tree_string(&root, "x", TREE_OPTIONAL, &text, &f));
    assert_false(tree_int(&root, "x", TREE_OPTIONAL, 0, 9, &number, &f));
    assert_false(tree_bool(&root, "x", TREE_OPTIONAL, &yes, &f));
    assert_null(tree_group(&root, "x", TREE_OPTIONAL, &f));
    assert_null(tree_list(&root, "x", TREE_OPTIONAL, &f));
    TEXT(text, "kept");
    assert_int_equal(number, 7);
    assert_true(yes);
    assert_int_equal(f.count, 0);
    /* Of a group that is missing itself, and was told as such, no member is told. */
    assert_false(tree_string(NULL, "x", TREE_REQUIRED, &text, &f));
    assert_int_equal(f.count, 0);
    faults_free(&f);
}

static void check(const char *want, struct faults *f) {
    assert_int_equal(f->count, 1);
    assert_string_equal(buf_str(&f->text), want);
    faults_free(f);
    *f = faults_make();
}

static void mistakes(void **unused) {
    (void)unused;
    struct faults f = faults_make();
    struct slice text = SLICE("kept");
    int64_t number = 7;
    bool yes = true;
    assert_false(tree_string(&root, "x", TREE_REQUIRED, &text, &f));
    check("s.conf:1: \"x\" is missing (a text in quotes)\n", &f);
    assert_false(tree_bool(&link_node, "x", TREE_REQUIRED, &yes, &f));
    check("s.conf:6: link: \"x\" is missing (true or false)\n", &f);
    assert_false(tree_string(&root, "parts", TREE_OPTIONAL, &text, &f));
    check("s.conf:2: \"parts\" must be a text in quotes\n", &f);
    assert_false(tree_int(&root, "share", TREE_OPTIONAL, 0, 1, &number, &f));
    check("s.conf:3: \"share\" must be a whole number\n", &f);
    assert_false(tree_bool(&root, "name", TREE_REQUIRED, &yes, &f));
    check("s.conf:1: \"name\" must be true or false\n", &f);
    assert_null(tree_group(&root, "times", TREE_REQUIRED, &f));
    check("s.conf:5: \"times\" must be a group { }\n", &f);
    assert_null(tree_list(&root, "link", TREE_REQUIRED, &f));
    check("s.conf:6: \"link\" must be a list ( )\n", &f);
    assert_false(tree_int(&root, "parts", TREE_REQUIRED, 4, 9, &number, &f));
    check("s.conf:2: \"parts\" must be from 4 to 9\n", &f);
    assert_false(tree_int(&root, "parts", TREE_REQUIRED, -9, 2, &number, &f));
    check("s.conf:2: \"parts\" must be from -9 to 2\n", &f);
    TEXT(text, "kept");
    assert_int_equal(number, 7);
    assert_true(yes);
    faults_free(&f);
}

static void only_known(void **unused) {
    (void)unused;
    static const char *const all[] = {"name", "parts", "share", "open", "times", "link"};
    static const char *const some[] = {"nmae", "part", "open", "times", "link"};
    struct faults f = faults_make();
    tree_only(&root, all, (int)COUNT_OF(all), &f);
    tree_only(NULL, all, (int)COUNT_OF(all), &f);
    tree_only(&times, all, (int)COUNT_OF(all), &f); /* members of a list have no names */
    assert_int_equal(f.count, 0);
    tree_only(&root, some, (int)COUNT_OF(some), &f);
    assert_int_equal(f.count, 3);
    assert_string_equal(buf_str(&f.text),
                        "s.conf:1: \"name\" is not known here; \"nmae\" was meant?\n"
                        "s.conf:2: \"parts\" is not known here; \"part\" was meant?\n"
                        "s.conf:3: \"share\" is not known here\n");
    faults_free(&f);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads),
        cmocka_unit_test(optional),
        cmocka_unit_test(mistakes),
        cmocka_unit_test(only_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
