/* A request as a line and back: every slot, exactly; lines of other builds are refused. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "text/request.h"

static uint64_t seed = 20260302;

/* splitmix64 (Steele, Lea & Flood 2014). */
static uint64_t next_random(void) {
    uint64_t z = seed += 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

static int64_t between(int64_t least, int64_t most) {
    return least + (int64_t)(next_random() % (uint64_t)(most - least + 1));
}

static void names_are_both_ways(void **state) {
    (void)state;
    for (int k = REQUEST_NONE + 1; k < REQUEST_KIND_COUNT; k++) {
        const char *name = request_kind_name((enum request_kind)k);
        if (name[0] == '\0' || request_kind_of(name) != (enum request_kind)k)
            fail_msg("kind %d is \"%s\", read back as %d", k, name, (int)request_kind_of(name));
    }
    for (int s = 0; s < SLOT_COUNT_ALL; s++) {
        const char *name = request_slot_name((enum request_slot)s);
        if (name[0] == '\0' || request_slot_of(name) != s)
            fail_msg("slot %d is \"%s\", read back as %d", s, name, request_slot_of(name));
    }
    assert_string_equal(request_kind_name(REQUEST_NONE), "");
    assert_string_equal(request_kind_name(REQUEST_KIND_COUNT), "");
    assert_int_equal(request_kind_of("spawn"), REQUEST_NONE);
    assert_int_equal(request_kind_of(""), REQUEST_NONE);
    assert_int_equal(request_slot_of("colour"), -1);
}

/* All fields of the slots that `has` names, by value, so that padding does not count. */
static bool same(const struct request *a, const struct request *b) {
    bool clock = a->now == b->now && (a->now || (a->hour == b->hour && a->minute == b->minute));
    return a->kind == b->kind && a->has == b->has &&
           (!request_has(a, SLOT_TAG) ||
            (a->tag.letter == b->tag.letter && a->tag.number == b->tag.number)) &&
           (!request_has(a, SLOT_WEIGHT) || a->weight_mg == b->weight_mg) &&
           (!request_has(a, SLOT_TIME) || clock) &&
           (!request_has(a, SLOT_DAY) || a->day == b->day) &&
           (!request_has(a, SLOT_WATER) || a->water_mdegc == b->water_mdegc) &&
           (!request_has(a, SLOT_COUNT) ||
            (a->count == b->count && a->count_milli == b->count_milli)) &&
           (!request_has(a, SLOT_OF) || a->of == b->of) &&
           (!request_has(a, SLOT_TOPIC) || a->topic == b->topic) &&
           (!request_has(a, SLOT_LANGUAGE) || a->language == b->language) &&
           (!request_has(a, SLOT_CONFIRM) || a->confirms == b->confirms);
}

static struct request any_request(void) {
    struct request r = {.kind = (enum request_kind)between(0, REQUEST_KIND_COUNT - 1),
                        .has = (unsigned)between(0, (1 << SLOT_COUNT_ALL) - 1)};
    r.tag = (struct tag){"fmbp"[between(0, 3)], (int)between(1, TAG_NUMBER_MAX)};
    r.weight_mg = between(0, between(0, 1) ? 1000000000000000 : 5000000);
    r.now = between(0, 3) == 0;
    r.hour = r.now ? 0 : (int)between(0, 23);
    r.minute = r.now ? 0 : (int)between(0, 59);
    r.day = (int)between(-1, 1);
    r.water_mdegc = between(-1000000000000, 1000000000000);
    r.count_milli = between(0, 1) ? between(0, 999999999) * 1000 : between(-100000, 100000);
    r.count = r.count_milli >= 0 && r.count_milli % 1000 == 0 ? r.count_milli / 1000 : -1;
    r.of = between(0, 1000000000);
    r.topic = (enum request_kind)between(1, REQUEST_KIND_COUNT - 1);
    r.language = (int)between(0, 15);
    r.confirms = (int)between(0, 1 << 30);
    return r;
}

static void any_request_comes_back(void **state) {
    (void)state;
    for (int i = 0; i < 20000; i++) {
        struct request given = any_request(), got;
        struct buf line = buf_make(500), again = buf_make(500);
        request_write(&given, &line);
        enum err e = request_read(buf_slice(&line), &got);
        if (e != ERR_OK || !same(&given, &got))
            fail_msg("\"%s\" came back %s", buf_str(&line),
                     e != ERR_OK ? err_info(e)->name : "different");
        request_write(&got, &again);
        assert_string_equal(buf_str(&line), buf_str(&again));
        buf_free(&line);
        buf_free(&again);
    }
}

static void the_line_is_plain(void **state) {
    (void)state;
    struct request r = {.kind = REQUEST_INJECT,
                        .has = 1u << SLOT_TAG | 1u << SLOT_WEIGHT | 1u << SLOT_TIME,
                        .tag = {'f', 3},
                        .weight_mg = 1200000,
                        .hour = 18,
                        .minute = 30};
    struct buf line = buf_make(200);
    request_write(&r, &line);
    assert_string_equal(buf_str(&line), "inject tag=f3 weight_mg=1200000 time=18:30");
    buf_free(&line);
}

static void lines_that_are_none(void **state) {
    (void)state;
    static const struct {
        const char *line;
        enum err want;
    } table[] = {
        {"", ERR_SYNTAX},
        {" inject", ERR_SYNTAX},
        {"inject ", ERR_SYNTAX},
        {"spawn tag=f3", ERR_SYNTAX},
        {"Inject tag=f3", ERR_SYNTAX},
        {"inject colour=red", ERR_SYNTAX},
        {"inject weight_g=1200", ERR_SYNTAX}, /* another unit is another key */
        {"inject tag=f3 tag=f3", ERR_SYNTAX},
        {"inject tag", ERR_SYNTAX},
        {"inject tag=", ERR_SYNTAX},
        {"inject tag=3", ERR_SYNTAX},
        {"inject tag=x3", ERR_SYNTAX},
        {"inject tag=f", ERR_SYNTAX},
        {"inject tag=f0", ERR_RANGE},
        {"inject tag=f10000", ERR_RANGE},
        {"inject tag=f3  time=now", ERR_SYNTAX},
        {"inject weight_mg=-1", ERR_RANGE},
        {"inject weight_mg=1.5", ERR_SYNTAX},
        {"inject weight_mg=99999999999999999999", ERR_RANGE},
        {"inject time=1830", ERR_SYNTAX},
        {"inject time=24:00", ERR_RANGE},
        {"inject time=18:60", ERR_RANGE},
        {"inject time=18:", ERR_SYNTAX},
        {"inject day=2", ERR_RANGE},
        {"temp same=no", ERR_SYNTAX},
        {"help topic=spawn", ERR_SYNTAX},
        {"help topic=", ERR_SYNTAX},
        {"language language=-1", ERR_RANGE},
        {"white of=-1", ERR_RANGE},
        {"inject confirm=-1", ERR_RANGE},
        {"inject tag=f3\n", ERR_SYNTAX},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct request r = {.kind = REQUEST_WHY};
        enum err got = request_read(slice_of(table[i].line), &r);
        if (got != table[i].want)
            fail_msg("\"%s\": got %s, wanted %s", table[i].line, err_info(got)->name,
                     err_info(table[i].want)->name);
        assert_int_equal(r.kind, REQUEST_WHY); /* untouched */
    }
}

static void bare_values_have_a_line(void **state) {
    (void)state;
    struct request r;
    assert_int_equal(request_read(SLICE("- count_milli=24500"), &r), ERR_OK);
    assert_int_equal(r.kind, REQUEST_NONE);
    assert_int_equal(r.count, -1);
    assert_int_equal(r.count_milli, 24500);
    assert_int_equal(request_read(SLICE("-"), &r), ERR_OK);
    assert_int_equal(r.has, 0);
    assert_int_equal(request_read(SLICE("white count_milli=30000"), &r), ERR_OK);
    assert_int_equal(r.count, 30);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_both_ways),     cmocka_unit_test(any_request_comes_back),
        cmocka_unit_test(the_line_is_plain),       cmocka_unit_test(lines_that_are_none),
        cmocka_unit_test(bare_values_have_a_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
