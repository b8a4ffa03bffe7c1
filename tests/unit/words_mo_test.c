/* Compiled catalogues from anywhere: those of msgfmt are read whole, anything else is one fault and
 * never a step outside the bytes (run under the address sanitizer). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/grammar.h"
#include "words/mo.h"

/* Exactly n bytes on the heap, so that a step past them is seen. Caller frees. */
static char *exactly(struct slice s) {
    char *p = malloc(s.n ? s.n : 1);
    assert_non_null(p);
    if (s.n)
        memcpy(p, s.p, s.n);
    return p;
}

static enum err read_copy(struct slice bytes, int *faults, int *entries) {
    struct arena arena = arena_make(8 * 1024 * 1024);
    struct faults list = faults_make();
    char *copy = exactly(bytes);
    struct mo mo;
    enum err e = mo_read((struct slice){copy, bytes.n}, "x.mo", &arena, &list, &mo);
    *faults = list.count;
    *entries = mo.count;
    free(copy);
    faults_free(&list);
    arena_free(&arena);
    return e;
}

/* Little end first, as the form's description draws it. */
static void put32(struct buf *b, uint32_t v, bool big) {
    for (int i = 0; i < 4; i++)
        buf_putc(b, (char)(v >> (big ? 24 - 8 * i : 8 * i) & 0xff));
}

struct pair {
    struct slice key, text;
};

static void make(struct buf *b, const struct pair *pairs, uint32_t count, bool big) {
    uint32_t at = 28 + 16 * count;
    put32(b, 0x950412deu, big);
    put32(b, 0, big);
    put32(b, count, big);
    put32(b, 28, big);
    put32(b, 28 + 8 * count, big);
    put32(b, 0, big);
    put32(b, 28 + 16 * count, big);
    for (int side = 0; side < 2; side++)
        for (uint32_t i = 0; i < count; i++) {
            struct slice s = side ? pairs[i].text : pairs[i].key;
            put32(b, (uint32_t)s.n, big);
            put32(b, at, big);
            at += (uint32_t)s.n + 1;
        }
    for (int side = 0; side < 2; side++)
        for (uint32_t i = 0; i < count; i++) {
            buf_put(b, side ? pairs[i].text : pairs[i].key);
            buf_putc(b, '\0');
        }
}

#define T(literal)                                                                                 \
    { literal, sizeof(literal) - 1 }
static const struct pair good[] = {
    {T(""), T("Content-Type: text/plain; charset=UTF-8\n")},
    {T("b\004one"), T("ONE")},
    {T("a.x\004two"), T("TWO\0TWOS")},
    {T("c\004"), T("")},
};

static void both_byte_orders(void **state) {
    (void)state;
    for (int big = 0; big < 2; big++) {
        struct arena arena = arena_make(1024 * 1024);
        struct faults faults = faults_make();
        struct buf b = buf_make(4000);
        struct mo mo;
        make(&b, good, 4, big != 0);
        assert_int_equal(mo_read(buf_slice(&b), "x.mo", &arena, &faults, &mo), ERR_OK);
        assert_int_equal(mo.count, 3);
        assert_true(slice_eq(mo_get(&mo, SLICE("b")), SLICE("ONE")));
        assert_true(slice_eq(mo_get(&mo, SLICE("a.x")), SLICE("TWO")));
        assert_int_equal(mo_get(&mo, SLICE("c")).n, 0);
        assert_int_equal(mo_get(&mo, SLICE("d")).n, 0);
        assert_true(slice_starts(mo.header, SLICE("Content-Type")));
        buf_free(&b);
        faults_free(&faults);
        arena_free(&arena);
    }
}

static void cut_at_every_length(void **state) {
    (void)state;
    struct buf b = buf_make(4000);
    make(&b, good, 4, false);
    int faults, entries;
    for (size_t n = 0; n < b.n; n++)
        if (read_copy(slice_head(buf_slice(&b), n), &faults, &entries) != ERR_SETTINGS ||
            faults != 1)
            fail_msg("cut at %zu of %zu bytes: taken, or %d faults", n, b.n, faults);
    buf_free(&b);
}

/* The catalogues of msgfmt itself, cut at every length: msgfmt puts the texts last, in order. */
static void real_ones_cut(void **state) {
    (void)state;
    struct arena arena = arena_make(4 * 1024 * 1024);
    struct slice mo = test_file(&arena, BUILD_DIR "/grammar/sw.mo");
    int faults, entries;
    assert_int_equal(read_copy(mo, &faults, &entries), ERR_OK);
    assert_true(entries > 150);
    for (size_t n = 0; n < mo.n; n += n < 5000 ? 1 : 97)
        if (read_copy(slice_head(mo, n), &faults, &entries) != ERR_SETTINGS || faults != 1)
            fail_msg("cut at %zu of %zu bytes: taken, or %d faults", n, mo.n, faults);
    arena_free(&arena);
}

/* Any byte changed to anything: a result or one fault. */
static void any_byte_changed(void **state) {
    (void)state;
    static const unsigned char values[] = {0, 1, 4, 0x7f, 0x80, 0xff};
    struct buf b = buf_make(4000);
    make(&b, good, 4, false);
    int faults, entries, refused = 0;
    for (size_t i = 0; i < b.n; i++) {
        char kept = b.p[i];
        for (size_t k = 0; k < sizeof values; k++) {
            b.p[i] = (char)values[k];
            enum err e = read_copy(buf_slice(&b), &faults, &entries);
            if (e ? e != ERR_SETTINGS || faults != 1 : faults != 0)
                fail_msg("byte %zu made %u: %s and %d faults", i, values[k], err_info(e)->name,
                         faults);
            refused += e != ERR_OK;
        }
        b.p[i] = kept;
    }
    assert_true(refused > 100);
    buf_free(&b);
}

static void mistakes(void **state) {
    (void)state;
    static const struct {
        struct pair pairs[2];
        const char *fault;
    } table[] = {
        {{{T("plain"), T("x")}, {T("a\004b"), T("y")}}, "without msgctxt"},
        {{{T("\004b"), T("x")}, {T("a\004b"), T("y")}}, "without msgctxt"},
        {{{T("a\004b"), T("x")}, {T("a\004c"), T("y")}}, "\"a\" stands twice"},
        {{{T("a\004b"), T("\xff")}, {T("b\004c"), T("y")}}, "not UTF-8"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct arena arena = arena_make(1024 * 1024);
        struct faults faults = faults_make();
        struct buf b = buf_make(4000);
        struct mo mo;
        make(&b, table[i].pairs, 2, false);
        assert_int_equal(mo_read(buf_slice(&b), "x.mo", &arena, &faults, &mo), ERR_SETTINGS);
        if (!strstr(buf_str(&faults.text), table[i].fault))
            fail_msg("got %s wanted %s", buf_str(&faults.text), table[i].fault);
        buf_free(&b);
        faults_free(&faults);
        arena_free(&arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_byte_orders), cmocka_unit_test(cut_at_every_length),
        cmocka_unit_test(real_ones_cut),    cmocka_unit_test(any_byte_changed),
        cmocka_unit_test(mistakes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
