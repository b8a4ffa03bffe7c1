/* Faults of files: their lines, their cap, and the nearest name. */
#include "base_help.h"

#include "base/fault.h"

static void lines(void **unused) {
    (void)unused;
    struct faults f = faults_make();
    faults_add(&f, "a.conf", 12, "\"%s\" is %d", "cap", 7);
    faults_add(&f, "b.conf", 0, "cannot be read");
    OK(buf_err(&f.text));
    assert_int_equal(f.count, 2);
    assert_string_equal(buf_str(&f.text), "a.conf:12: \"cap\" is 7\nb.conf: cannot be read\n");
    faults_free(&f);
    assert_int_equal(f.count, 0);
}

/* As many as fit, each at its longest, and the count goes on. */
static void many(void **unused) {
    (void)unused;
    char file[300], what[900];
    memset(file, 'f', sizeof file - 1);
    memset(what, 'w', sizeof what - 1);
    file[sizeof file - 1] = what[sizeof what - 1] = '\0';
    struct faults f = faults_make();
    for (int i = 0; i < FAULTS_MAX + 50; i++)
        faults_add(&f, file, 2000000000, "%s", what);
    OK(buf_err(&f.text));
    assert_int_equal(f.count, FAULTS_MAX + 50);
    int ends = 0;
    for (const char *p = buf_str(&f.text); *p; p++)
        ends += *p == '\n';
    assert_int_equal(ends, FAULTS_MAX);
    faults_free(&f);
}

/* Damerau 1964 for the steps; the pairs worked out by hand. A transposed pair is not changed again
 * (ca to abc is 3), as in the restricted form of the distance. */
static void distances(void **unused) {
    (void)unused;
    static const struct {
        const char *a, *b;
        int distance;
    } cases[] = {
        {"", "", 0},
        {"", "abc", 3},
        {"strip", "strip", 0},
        {"strip", "stripp", 1},
        {"strip", "trip", 1},
        {"strip", "strop", 1},
        {"strip", "srtip", 1},
        {"strip", "stirp", 1},
        {"kitten", "sitting", 3},
        {"ca", "abc", 3},
        {"abcd", "badc", 2},
        {"a", "b", 1},
        {"abcdef", "fedcba", 5},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct slice a = slice_of(cases[i].a), b = slice_of(cases[i].b);
        int there = fault_distance(a, b), back = fault_distance(b, a);
        if (there != cases[i].distance || back != cases[i].distance)
            fail_msg("%s, %s: got %d and back %d, wanted %d", cases[i].a, cases[i].b, there, back,
                     cases[i].distance);
    }
    char at[33], over[34];
    memset(at, 'a', sizeof at - 1);
    memset(over, 'a', sizeof over - 1);
    at[32] = over[33] = '\0';
    assert_int_equal(fault_distance(slice_of(at), slice_of(at)), 0);
    assert_int_equal(fault_distance(slice_of(over), slice_of(at)), 33);
}

static void nearest(void **unused) {
    (void)unused;
    static const char *const names[] = {"form", "path", "method", "secret", "secrets", "timeout_s"};
    static const struct {
        const char *given, *near;
    } cases[] = {
        {"from", "form"},
        {"fro", NULL},
        {"pth", "path"},
        {"pa", NULL},
        {"methdo", "method"},
        {"mehtdo", "method"},
        {"metod_x", NULL},
        {"secrte", "secret"},
        {"sekrets", "secrets"},
        {"timeot_s", "timeout_s"},
        {"", NULL},
        {"form", "form"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const char *near = fault_near(slice_of(cases[i].given), names, (int)COUNT_OF(names));
        if (!near != !cases[i].near || (near && strcmp(near, cases[i].near) != 0))
            fail_msg("%s: got %s, wanted %s", cases[i].given, near ? near : "none",
                     cases[i].near ? cases[i].near : "none");
    }
    assert_null(fault_near(SLICE("form"), names, 0));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines),
        cmocka_unit_test(many),
        cmocka_unit_test(distances),
        cmocka_unit_test(nearest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
