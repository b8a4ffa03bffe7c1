/* Arenas: the cap, alignment, zeroed memory that overlaps nothing, growing and emptying. */
#include "base_help.h"

#include <stdalign.h>

#include "base/arena.h"

static bool all_zero(const unsigned char *p, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (p[i])
            return false;
    return true;
}

/* Each piece is aligned for anything, zeroed, and keeps what was written in it. */
static void pieces(void **unused) {
    (void)unused;
    enum { PIECES = 400 };
    struct arena a = arena_make(10 * 1024 * 1024);
    unsigned char *p[PIECES];
    size_t n[PIECES];
    uint64_t seed = 5;
    for (int round = 0; round < 3; round++) {
        for (int i = 0; i < PIECES; i++) {
            n[i] = draw(&seed, i % 50 == 0 ? 60000 : 300);
            p[i] = arena_take(&a, n[i], 1);
            assert_non_null(p[i]);
            assert_int_equal((uintptr_t)p[i] % alignof(max_align_t), 0);
            assert_true(all_zero(p[i], n[i]));
            memset(p[i], i % 255 + 1, n[i]);
        }
        for (int i = 0; i < PIECES; i++)
            for (size_t k = 0; k < n[i]; k++)
                if (p[i][k] != i % 255 + 1)
                    fail_msg("piece %d: byte %zu is %d", i, k, p[i][k]);
        arena_reset(&a);
        assert_int_equal(a.used, 0);
    }
    arena_free(&a);
    assert_non_null(arena_take(&a, 1, 1)); /* may be used again */
    arena_free(&a);
    arena_free(&a);
}

static void cap(void **unused) {
    (void)unused;
    struct arena a = arena_make(64);
    assert_null(arena_take(&a, 65, 1));
    assert_null(arena_take(&a, SIZE_MAX, 1));
    assert_null(arena_take(&a, SIZE_MAX / 2, 3)); /* their product does not fit a size_t */
    assert_int_equal(a.used, 0);
    for (int i = 0; i < 4; i++)
        assert_non_null(arena_take(&a, 16, 1));
    assert_null(arena_take(&a, 1, 1));
    assert_null(arena_take(&a, 0, 1)); /* even nothing has an address of its own */
    arena_reset(&a);
    assert_non_null(arena_take(&a, 8, 8));
    assert_null(arena_take(&a, 1, 1));
    arena_free(&a);
    assert_int_equal(a.used, 0);

    struct arena none = arena_make(0);
    assert_null(arena_take(&none, 1, 1));
    arena_free(&none);

    struct arena endless = arena_make(SIZE_MAX);
    assert_null(arena_take(&endless, SIZE_MAX, 1)); /* rounding up must not turn it into little */
    assert_null(arena_take(&endless, SIZE_MAX - 64, 1));
    arena_free(&endless);
}

static void nothing_is_distinct(void **unused) {
    (void)unused;
    struct arena a = arena_make(1000);
    void *p = arena_take(&a, 0, 8), *q = arena_take(&a, 8, 0);
    assert_non_null(p);
    assert_non_null(q);
    assert_ptr_not_equal(p, q);
    arena_free(&a);
}

static void grows(void **unused) {
    (void)unused;
    struct arena a = arena_make(100000);
    int *p = NULL;
    size_t room = 0;
    for (int i = 0; i < 1000; i++) {
        if ((size_t)i == room) {
            size_t more = room ? room * 2 : 1;
            p = arena_grow(&a, p, room, more, sizeof *p);
            assert_non_null(p);
            assert_true(all_zero((unsigned char *)(p + room), (more - room) * sizeof *p));
            room = more;
        }
        p[i] = i;
    }
    for (int i = 0; i < 1000; i++)
        assert_int_equal(p[i], i);
    int *fewer = arena_grow(&a, p, 1000, 10, sizeof *p);
    assert_non_null(fewer);
    assert_int_equal(fewer[9], 9);
    assert_null(arena_grow(&a, p, 1000, 100000, sizeof *p));
    assert_int_equal(p[999], 999); /* a refusal leaves the old */
    arena_free(&a);
}

static void texts(void **unused) {
    (void)unused;
    struct arena a = arena_make(64);
    char text[] = "f3 strip";
    struct slice copy = arena_slice(&a, slice_of(text));
    char *zero_ended = arena_str(&a, (struct slice){text, 2});
    memset(text, 'x', sizeof text - 1);
    TEXT(copy, "f3 strip");
    assert_string_equal(zero_ended, "f3");
    assert_string_equal(arena_str(&a, slice_of(NULL)), "");
    assert_null(arena_str(&a, (struct slice){"0123456789012345", 16}));
    struct slice refused = arena_slice(&a, (struct slice){"0123456789012345", 16});
    assert_null(refused.p);
    assert_int_equal(refused.n, 0);
    arena_free(&a);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces), cmocka_unit_test(cap),   cmocka_unit_test(nothing_is_distinct),
        cmocka_unit_test(grows),  cmocka_unit_test(texts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
