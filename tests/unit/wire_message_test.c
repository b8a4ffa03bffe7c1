/* Requests to messages and receipts: what is read, what is refused (hostile JSON among it), prints
 * that tell a repeat from a second text, and the table of TP-Status. */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <cmocka.h>

#include "base/buf.h"
#include "wire/body.h"
#include "wire/message.h"

#define COUNT(list) (sizeof(list) / sizeof(list)[0])
#define JSON        SLICE("application/json")
#define FORM        SLICE("application/x-www-form-urlencoded")

enum { ARENA_BYTES = 1 << 20 };

static struct wire_path path(const char *dotted) {
    struct wire_path p = {.whole = slice_of(dotted)};
    struct slice rest = p.whole;
    bool more = true;
    while (more)
        more = slice_cut(rest, '.', &p.segments[p.count++], &rest);
    return p;
}

static const struct wire_state_name states[] = {
    {{"there", 5}, WIRE_DELIVERED}, {{"3", 1}, WIRE_PENDING}, {{"lost", 4}, WIRE_FAILED}};

static struct wire_profile json_profile(void) {
    return (struct wire_profile){
        .link = SLICE("one"),
        .in = {.body = WIRE_BODY_JSON,
               .sender = path("n.from"),
               .receiver = path("n.to"),
               .text = path("n.words"),
               .id = path("n.id"),
               .sent = path("n.at"),
               .loop = path("n.auto"),
               .sent_form = WIRE_SENT_UNIX},
        .receipt = {.given = true,
                    .body = WIRE_BODY_JSON,
                    .id = path("id"),
                    .reference = path("mark"),
                    .state = path("state"),
                    .states = states,
                    .state_count = 3},
    };
}

static struct wire_profile form_profile(void) {
    struct wire_profile p = json_profile();
    p.in.body = WIRE_BODY_FORM;
    p.receipt.body = WIRE_BODY_FORM;
    p.receipt.tp_status = true;
    return p;
}

static enum err read(const struct wire_profile *p, struct slice type, struct slice body,
                     struct arena *a, struct wire_message *m) {
    const struct wire_request r = {.content_type = type, .body = body};
    return wire_read_message(p, &r, a, m);
}

static void message_is(const struct wire_message *m, const char *wanted) {
    struct buf got = buf_make(9000);
    buf_putf(&got, "%.*s|", SLICE_ARG(m->sender));
    buf_putf(&got, "%.*s|", SLICE_ARG(m->receiver));
    buf_putf(&got, "%.*s|", SLICE_ARG(m->text));
    buf_putf(&got, "%.*s|", SLICE_ARG(m->provider_id));
    buf_putf(&got, "%" PRId64 "|%s", m->sent_s, m->no_reply ? "no reply" : "reply");
    assert_string_equal(buf_str(&got), wanted);
    buf_free(&got);
}

#define WITH(words) "{\"n\":{\"from\":\"x\",\"to\":\"y\",\"id\":\"1\",\"words\":" words "}}"

static void reads_messages(void **state) {
    (void)state;
    const struct wire_profile json = json_profile(), form = form_profile();
    const struct {
        const struct wire_profile *p;
        struct slice type;
        const char *body, *wanted;
    } cases[] = {
        {&json, JSON,
         "{\"n\":{\"from\":\"+447700900123\",\"to\":\"+447700900000\",\"words\":\"temp 28,5\","
         "\"id\":\"a-1\",\"at\":1767323045,\"auto\":false}}",
         "+447700900123|+447700900000|temp 28,5|a-1|1767323045|reply"},
        /* numbers as JSON numbers, time as text, the flag as text, blanks around the number */
        {&json, SLICE("Application/JSON; charset=utf-8"),
         "{\"n\":{\"from\":447700900123,\"to\":\" 80800 \",\"words\":\" a \\n\",\"id\":17,"
         "\"at\":\"1767323045\",\"auto\":\"Yes\"}}",
         "447700900123|80800| a \n|17|1767323045|no reply"},
        /* lists of one at any level */
        {&json, SLICE("application/json;charset=\"UTF-8\""),
         "[{\"n\":[{\"from\":[\"x\"],\"to\":\"y\",\"words\":[\"z\"],\"id\":[\"1\"],\"auto\":1}]}]",
         "x|y|z|1|0|no reply"},
        /* what is not asked for does no harm; null is missing; an empty text is a text */
        {&json, JSON,
         "{\"more\":[1,2,{}],\"n\":{\"from\":\"x\",\"to\":\"y\",\"words\":\"\",\"id\":\"1\","
         "\"at\":null,\"auto\":null,\"else\":1.5}}",
         "x|y||1|0|reply"},
        {&json, JSON,
         "{\"n\":{\"from\":\"x\",\"to\":\"y\",\"words\":\"\\u00e9\\ud83d\\udc1f\",\"id\":\"\","
         "\"at\":1767323045}}",
         "x|y|\xc3\xa9\xf0\x9f\x90\x9f||1767323045|reply"},
        /* what is no character must not lose a text: U+FFFD stands for it */
        {&json, JSON, WITH("\"\\ud83d stop\\u0000\""),
         "x|y|\xef\xbf\xbd stop\xef\xbf\xbd|1|0|reply"},
        {&json, JSON, WITH("\"\\udc1f\\ud83d\""), "x|y|\xef\xbf\xbd\xef\xbf\xbd|1|0|reply"},
        {&json, JSON, WITH("\"\\ud83d\\ud83d\\udc1f\""),
         "x|y|\xef\xbf\xbd\xf0\x9f\x90\x9f|1|0|reply"},
        {&json, JSON, WITH("\"\\\\u0000\""), "x|y|\\u0000|1|0|reply"},
        {&form, FORM, "n.from=x&n.to=y&n.id=1&n.words=stop%00+%ED%A0%BD%ed%b0%9f.",
         "x|y|stop\xef\xbf\xbd \xef\xbf\xbd\xef\xbf\xbd.|1|0|reply"},
        {&form, FORM,
         "n.from=%2B447700900123&n.to=80800&n.words=strip+f3+150g&n.id=7&n.at=1767323045",
         "+447700900123|80800|strip f3 150g|7|1767323045|reply"},
        {&form, SLICE("application/x-www-form-urlencoded ;x=y"),
         "n.from=x&n.to=y&n.words=&n.at=1767323045&n.id=&n.auto=1", "x|y|||1767323045|no reply"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct arena a = arena_make(ARENA_BYTES);
        struct wire_message m;
        enum err e = read(cases[i].p, cases[i].type, slice_of(cases[i].body), &a, &m);
        if (e)
            fail_msg("%s: got %s", cases[i].body, err_info(e)->name);
        message_is(&m, cases[i].wanted);
        arena_free(&a);
    }
}

static void refuses_messages(void **state) {
    (void)state;
    const struct wire_profile json = json_profile(), form = form_profile();
    const struct {
        const struct wire_profile *p;
        struct slice type, body;
        enum err e;
    } cases[] = {
        {&json, JSON, SLICE(WITH("\"z\"")), ERR_OK}, /* what the others are made from */
        /* the type */
        {&json, SLICE(""), SLICE(WITH("\"z\"")), ERR_SYNTAX},
        {&json, SLICE("text/plain"), SLICE(WITH("\"z\"")), ERR_SYNTAX},
        {&json, SLICE("application/jsonx"), SLICE(WITH("\"z\"")), ERR_SYNTAX},
        {&json, SLICE("application/json; charset=iso-8859-1"), SLICE(WITH("\"z\"")), ERR_SYNTAX},
        {&json, FORM, SLICE(WITH("\"z\"")), ERR_SYNTAX},
        {&form, JSON, SLICE("n.from=x&n.to=y&n.words=z&n.id=1"), ERR_SYNTAX},
        /* not JSON */
        {&json, JSON, SLICE(""), ERR_SYNTAX},
        {&json, JSON, SLICE("null"), ERR_SYNTAX},
        {&json, JSON, SLICE("[]"), ERR_SYNTAX},
        {&json, JSON, SLICE("{"), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"z\"") " x"), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"z\"") WITH("\"z\"")), ERR_SYNTAX},
        {&json, JSON, SLICE("\xef\xbb\xbf" WITH("\"z\"")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("'z'")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"z\n\"")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"\\x\"")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("NaN")), ERR_SYNTAX},
        /* the same name twice, at any level */
        {&json, JSON,
         SLICE("{\"n\":{\"from\":\"x\",\"from\":\"x\",\"to\":\"y\",\"words\":\"z\","
               "\"id\":\"1\"}}"),
         ERR_SYNTAX},
        {&json, JSON,
         SLICE("{\"a\":{\"b\":1,\"b\":2},\"n\":{\"from\":\"x\",\"to\":\"y\","
               "\"words\":\"z\",\"id\":\"1\"}}"),
         ERR_SYNTAX},
        {&json, JSON,
         SLICE("{\"n\":{\"from\":\"x\",\"\\u0066rom\":\"v\",\"to\":\"y\","
               "\"words\":\"z\",\"id\":\"1\"}}"),
         ERR_SYNTAX},
        /* zero octets; escapes cut short or outside of strings */
        {&json, JSON, SLICE(WITH("\"z\0z\"")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"z\"") "\0"), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"\\ud83\"")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"z\"") "\\ud83d"), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"\xff\"")), ERR_UTF8},
        {&json, JSON, SLICE(WITH("\"\xc3\"")), ERR_UTF8},
        {&json, JSON, SLICE(WITH("\"\xc0\xaf\"")), ERR_UTF8},
        {&json, JSON, SLICE(WITH("\"\xed\xa0\x80\"")), ERR_UTF8},
        {&json, JSON, SLICE(WITH("\"\xf4\x90\x80\x80\"")), ERR_UTF8},
        /* numbers */
        {&json, JSON, SLICE(WITH("99999999999999999999")), ERR_RANGE},
        {&json, JSON, SLICE(WITH("\"z\",\"at\":1e999")), ERR_RANGE},
        {&json, JSON, SLICE(WITH("1.5")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("1e3")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("0x10")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("-")), ERR_SYNTAX},
        /* things of the wrong shape */
        {&json, JSON, SLICE(WITH("{}")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("[]")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("[\"a\",\"b\"]")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("null")), ERR_SYNTAX},
        {&json, JSON, SLICE("{\"n\":\"x\"}"), ERR_SYNTAX},
        {&json, JSON, SLICE("{\"n\":[{},{}]}"), ERR_SYNTAX},
        /* needed fields missing or empty */
        {&json, JSON, SLICE("{\"n\":{\"to\":\"y\",\"words\":\"z\",\"id\":\"1\"}}"), ERR_SYNTAX},
        {&json, JSON, SLICE("{\"n\":{\"from\":\" \",\"to\":\"y\",\"words\":\"z\",\"id\":\"1\"}}"),
         ERR_SYNTAX},
        {&json, JSON, SLICE("{\"n\":{\"from\":\"x\",\"words\":\"z\",\"id\":\"1\"}}"), ERR_SYNTAX},
        {&json, JSON, SLICE("{\"n\":{\"from\":\"x\",\"to\":\"y\",\"id\":\"1\"}}"), ERR_SYNTAX},
        {&json, JSON, SLICE("{\"n\":{\"from\":\"x\",\"to\":\"y\",\"words\":\"z\"}}"), ERR_SYNTAX},
        /* the time */
        {&json, JSON, SLICE(WITH("\"z\",\"at\":5")), ERR_RANGE},
        {&json, JSON, SLICE(WITH("\"z\",\"at\":\"today\"")), ERR_SYNTAX},
        {&json, JSON, SLICE(WITH("\"z\",\"at\":true")), ERR_SYNTAX},
        /* forms */
        {&form, FORM, SLICE(""), ERR_SYNTAX},
        {&form, FORM, SLICE("n.from=x&n.to=y&n.words=%"), ERR_SYNTAX},
        {&form, FORM, SLICE("n.from=x&n.to=y&n.words=z&n.id=1&n.words=w"), ERR_SYNTAX},
        {&form, FORM, SLICE("n.from=x&n.to=y&n.words=%E9&n.id=1"), ERR_UTF8},
        {&form, FORM, SLICE("n.from=x&n.to=y&n.words=z&n.id=1&n.at=12"), ERR_RANGE},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct arena a = arena_make(ARENA_BYTES);
        struct wire_message m;
        enum err e = read(cases[i].p, cases[i].type, cases[i].body, &a, &m);
        if (e != cases[i].e)
            fail_msg("case %zu %.*s: got %s, wanted %s", i, SLICE_ARG(cases[i].body),
                     err_info(e)->name, err_info(cases[i].e)->name);
        arena_free(&a);
    }
}

static void put_times(struct buf *b, const char *s, int times) {
    for (int i = 0; i < times; i++)
        buf_puts(b, s);
}

static void limits_hold(void **state) {
    (void)state;
    const struct wire_profile json = json_profile(), form = form_profile();
    static const struct {
        const char *before, *repeated, *after;
        int times;
        bool form;
        enum err e;
    } cases[] = {
        /* depth: the object n and its value stand one deeper than the lists around them */
        {"{\"n\":{\"from\":\"x\",\"to\":\"y\",\"words\":\"z\",\"id\":\"1\"},\"d\":", "[", "", 15,
         false, ERR_SYNTAX}, /* not deeper than allowed, but never closed */
        {"", "[", "", 16, false, ERR_SYNTAX},
        {"", "[", "", 17, false, ERR_TOO_LONG},
        {"", "[", "", 60000, false, ERR_TOO_LONG},
        {"", "{\"a\":", "", 10000, false, ERR_TOO_LONG},
        {"{\"n\":{\"from\":\"x\",\"to\":\"y\",\"words\":\"", "[{\\\"", "\",\"id\":\"1\"}}", 500,
         false, ERR_OK}, /* brackets in a text have no depth */
        /* octets of a text, a number, an id */
        {"{\"n\":{\"from\":\"x\",\"to\":\"y\",\"id\":\"1\",\"words\":\"", "z", "\"}}",
         WIRE_TEXT_MAX, false, ERR_OK},
        {"{\"n\":{\"from\":\"x\",\"to\":\"y\",\"id\":\"1\",\"words\":\"", "z", "\"}}",
         WIRE_TEXT_MAX + 1, false, ERR_TOO_LONG},
        {"{\"n\":{\"to\":\"y\",\"id\":\"1\",\"words\":\"z\",\"from\":\"", "1", "\"}}",
         WIRE_NUMBER_MAX, false, ERR_OK},
        {"{\"n\":{\"to\":\"y\",\"id\":\"1\",\"words\":\"z\",\"from\":\"", "1", "\"}}",
         WIRE_NUMBER_MAX + 1, false, ERR_TOO_LONG},
        {"{\"n\":{\"to\":\"y\",\"from\":\"x\",\"words\":\"z\",\"id\":\"", "1", "\"}}", WIRE_ID_MAX,
         false, ERR_OK},
        {"{\"n\":{\"to\":\"y\",\"from\":\"x\",\"words\":\"z\",\"id\":\"", "1", "\"}}",
         WIRE_ID_MAX + 1, false, ERR_TOO_LONG},
        {"{\"n\":{\"from\":\"x\",\"to\":\"y\",\"words\":\"z\",\"id\":\"1\"}}", " ", "", 65536,
         false, ERR_TOO_LONG}, /* the whole body */
        {"n.from=x&n.to=y&n.id=1&n.words=", "z", "", WIRE_TEXT_MAX, true, ERR_OK},
        {"n.from=x&n.to=y&n.id=1&n.words=", "z", "", WIRE_TEXT_MAX + 1, true, ERR_TOO_LONG},
        {"n.from=x&n.to=y&n.id=1&n.words=", "%20", "", WIRE_TEXT_MAX, true, ERR_OK},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct arena a = arena_make(ARENA_BYTES);
        struct buf body = buf_make(200000);
        struct wire_message m;
        buf_puts(&body, cases[i].before);
        put_times(&body, cases[i].repeated, cases[i].times);
        buf_puts(&body, cases[i].after);
        enum err e = read(cases[i].form ? &form : &json, cases[i].form ? FORM : JSON,
                          buf_slice(&body), &a, &m);
        if (e != cases[i].e)
            fail_msg("case %zu (%s %d times): got %s, wanted %s", i, cases[i].repeated,
                     cases[i].times, err_info(e)->name, err_info(cases[i].e)->name);
        buf_free(&body);
        arena_free(&a);
    }
}

/* Names in a form: 64 are read, 65 are not. */
static void form_fields_are_counted(void **state) {
    (void)state;
    const struct wire_profile form = form_profile();
    for (int more = WIRE_FORM_FIELDS_MAX - 4; more <= WIRE_FORM_FIELDS_MAX - 3; more++) {
        struct arena a = arena_make(ARENA_BYTES);
        struct buf body = buf_make(10000);
        struct wire_message m;
        buf_puts(&body, "n.from=x&n.to=y&n.id=1&n.words=z");
        for (int i = 0; i < more; i++)
            buf_putf(&body, "&extra%d=1", i);
        enum err e = read(&form, FORM, buf_slice(&body), &a, &m);
        assert_int_equal(e, more + 4 <= WIRE_FORM_FIELDS_MAX ? ERR_OK : ERR_TOO_LONG);
        buf_free(&body);
        arena_free(&a);
    }
}

/* Whatever the arena's cap, the end of memory is told as such and nothing is leaked or half done.
 */
static void memory_may_end_anywhere(void **state) {
    (void)state;
    const struct wire_profile json = json_profile(), form = form_profile();
    for (int form_turn = 0; form_turn < 2; form_turn++) {
        bool done = false;
        for (size_t cap = 0; cap < 8192 && !done; cap += 16) {
            struct arena a = arena_make(cap);
            struct wire_message m;
            enum err e = form_turn
                             ? read(&form, FORM, SLICE("n.from=x&n.to=y&n.words=z&n.id=1"), &a, &m)
                             : read(&json, JSON, SLICE(WITH("\"z\"")), &a, &m);
            if (e != ERR_OK)
                assert_int_equal(e, ERR_NOMEM);
            done = e == ERR_OK;
            arena_free(&a);
        }
        assert_true(done);
    }
}

struct fields {
    const char *link, *from, *to, *words, *id, *at;
};

static void print_of(const struct fields *f, unsigned char print[WIRE_HASH_BYTES]) {
    struct wire_profile p = form_profile();
    p.link = slice_of(f->link);
    struct arena a = arena_make(ARENA_BYTES);
    struct buf body = buf_make(1000);
    struct wire_message m;
    buf_putf(&body, "n.from=%s&n.to=%s&n.words=%s&n.id=%s&n.at=%s", f->from, f->to, f->words, f->id,
             f->at);
    enum err e = read(&p, FORM, buf_slice(&body), &a, &m);
    if (e)
        fail_msg("%s: %s", buf_str(&body), err_info(e)->name);
    memcpy(print, m.print, WIRE_HASH_BYTES);
    buf_free(&body);
    arena_free(&a);
}

static void prints_tell_a_repeat_from_a_second_text(void **state) {
    (void)state;
    static const struct {
        struct fields a, b;
        bool same;
    } cases[] = {
        /* with an id: the id, who sent it and what it says */
        {{"one", "x", "y", "fed", "1", ""}, {"one", "x", "y", "fed", "1", "1767323045"}, true},
        {{"one", "x", "y", "fed", "1", ""}, {"one", "x", "y", "fed", "2", ""}, false},
        {{"one", "x", "y", "fed", "1", ""}, {"two", "x", "y", "fed", "1", ""}, false},
        {{"one", "x", "y", "fed", "1", ""}, {"one", "x", "y", "stop", "1", ""}, false},
        {{"one", "x", "y", "fed", "1", ""}, {"one", "v", "y", "fed", "1", ""}, false},
        {{"one", "xy", "z", "fed", "1", ""}, {"one", "x", "z", "yfed", "1", ""}, false},
        /* without one: everything */
        {{"one", "x", "y", "fed", "", "1767323045"},
         {"one", "x", "y", "fed", "", "1767323045"},
         true},
        {{"one", "x", "y", "fed", "", "1767323045"},
         {"one", "x", "y", "fed", "", "1767323046"},
         false},
        {{"one", "x", "y", "fed", "", "1767323045"},
         {"one", "x", "y", "fed.", "", "1767323045"},
         false},
        {{"one", "x", "y", "fed", "", "1767323045"},
         {"one", "v", "y", "fed", "", "1767323045"},
         false},
        {{"one", "x", "y", "fed", "", "1767323045"},
         {"one", "x", "w", "fed", "", "1767323045"},
         false},
        {{"one", "xy", "z", "fed", "", "1767323045"},
         {"one", "x", "yz", "fed", "", "1767323045"},
         false},
        {{"one", "x", "y", "fed", "", "1767323045"},
         {"two", "x", "y", "fed", "", "1767323045"},
         false},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        unsigned char a[WIRE_HASH_BYTES], b[WIRE_HASH_BYTES];
        print_of(&cases[i].a, a);
        print_of(&cases[i].b, b);
        bool same = memcmp(a, b, sizeof a) == 0;
        if (same != cases[i].same)
            fail_msg("case %zu: the prints are %s", i, same ? "the same" : "different");
    }
    /* Fixed for ever, since prints are stored: computed with Python's hashlib over the parts, each
     * led by its length in 8 octets: "id", "one", "a-1", "x", "z". */
    unsigned char print[WIRE_HASH_BYTES];
    char hex[2 * WIRE_HASH_BYTES + 1];
    print_of(&(struct fields){"one", "x", "y", "z", "a-1", ""}, print);
    wire_hex(print, sizeof print, hex);
    assert_string_equal(hex, "b5f98790b2b9e544450e0f65c8121cff998ebbdb2dfb43d6cec83ebd0d8dfa41");
    /* "text", "one", "x", "y", 1767323045 in 8 octets, "z". */
    print_of(&(struct fields){"one", "x", "y", "z", "", "1767323045"}, print);
    wire_hex(print, sizeof print, hex);
    assert_string_equal(hex, "152310ae5df50bf3c7fdc165457d2e0e7287f55e9d36943243159c6b5b3f2fda");
}

static void reads_receipts(void **state) {
    (void)state;
    const struct wire_profile json = json_profile(), form = form_profile();
    struct wire_profile none = json, open = json;
    none.receipt.given = false;
    open.receipt.others_known = true;
    open.receipt.others = WIRE_PENDING;
    const struct {
        const struct wire_profile *p;
        const char *body;
        enum err e;
        const char *reference, *id;
        enum wire_state means;
    } cases[] = {
        {&json, "{\"id\":\"7\",\"mark\":\"r\",\"state\":\"there\"}", ERR_OK, "r", "7",
         WIRE_DELIVERED},
        {&json, "{\"mark\":\"r\",\"state\":\"lost\"}", ERR_OK, "r", "", WIRE_FAILED},
        {&json, "[{\"id\":7,\"state\":3}]", ERR_OK, "", "7", WIRE_PENDING},
        {&json, "{\"id\":7,\"state\":\"There\"}", ERR_RANGE, "", "", WIRE_DELIVERED},
        {&open, "{\"id\":7,\"state\":\"There\"}", ERR_OK, "", "7", WIRE_PENDING},
        {&json, "{\"id\":7,\"state\":\"\"}", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&json, "{\"id\":7}", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&json, "{\"state\":\"there\"}", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&json, "{\"id\":\"\",\"mark\":\"\",\"state\":\"there\"}", ERR_SYNTAX, "", "",
         WIRE_DELIVERED},
        {&json, "{\"id\":7,\"state\":\"there\"", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&json, "id=7&state=there", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&none, "{\"id\":\"7\",\"state\":\"there\"}", ERR_NOT_FOUND, "", "", WIRE_DELIVERED},
        {&form, "id=7&state=0", ERR_OK, "", "7", WIRE_DELIVERED},
        {&form, "mark=r&state=70", ERR_OK, "r", "", WIRE_FAILED},
        {&form, "mark=r&state=36", ERR_OK, "r", "", WIRE_PENDING},
        {&form, "id=7&state=256", ERR_RANGE, "", "", WIRE_DELIVERED},
        {&form, "id=7&state=-1", ERR_RANGE, "", "", WIRE_DELIVERED},
        {&form, "id=7&state=0x46", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&form, "id=7&state=", ERR_SYNTAX, "", "", WIRE_DELIVERED},
        {&form, "id=7&state=1&state=0", ERR_SYNTAX, "", "", WIRE_DELIVERED},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct arena a = arena_make(ARENA_BYTES);
        const struct wire_request r = {.content_type = cases[i].p == &form ? FORM : JSON,
                                       .body = slice_of(cases[i].body)};
        struct wire_receipt got = {.reference = SLICE(""), .provider_id = SLICE("")};
        enum err e = wire_read_receipt(cases[i].p, &r, &a, &got);
        if (e != cases[i].e || got.state != cases[i].means ||
            !slice_eq(got.reference, slice_of(cases[i].reference)) ||
            !slice_eq(got.provider_id, slice_of(cases[i].id)))
            fail_msg("%s: got %s %.*s %.*s %d, wanted %s %s %s %d", cases[i].body,
                     err_info(e)->name, SLICE_ARG(got.reference), SLICE_ARG(got.provider_id),
                     (int)got.state, err_info(cases[i].e)->name, cases[i].reference, cases[i].id,
                     (int)cases[i].means);
        arena_free(&a);
    }
}

/* 3GPP TS 23.040 9.2.3.15, the table by its rows: every one of the 256 values is in one of them. */
static void tp_status_row_by_row(void **state) {
    (void)state;
    static const struct {
        int from, to;
        enum wire_state means;
        const char *row;
    } rows[] = {
        {0x00, 0x00, WIRE_DELIVERED, "received by the phone"},
        {0x01, 0x01, WIRE_PENDING, "forwarded, delivery not confirmed: proves nothing"},
        {0x02, 0x02, WIRE_PENDING, "replaced by the centre: proves nothing"},
        {0x03, 0x0f, WIRE_FAILED, "reserved, as 63"},
        {0x10, 0x1f, WIRE_DELIVERED, "the centre's own, completed"},
        {0x20, 0x25, WIRE_PENDING, "temporary, still trying"},
        {0x26, 0x2f, WIRE_FAILED, "reserved, as 63"},
        {0x30, 0x3f, WIRE_PENDING, "the centre's own, still trying"},
        {0x40, 0x49, WIRE_FAILED, "permanent"},
        {0x4a, 0x4f, WIRE_FAILED, "reserved, as 63"},
        {0x50, 0x5f, WIRE_FAILED, "the centre's own, permanent"},
        {0x60, 0x65, WIRE_FAILED, "temporary, given up"},
        {0x66, 0x6f, WIRE_FAILED, "reserved, as 63"},
        {0x70, 0x7f, WIRE_FAILED, "the centre's own, given up"},
        {0x80, 0xff, WIRE_FAILED, "reserved, as 63"},
    };
    int next = 0;
    for (size_t i = 0; i < COUNT(rows); i++) {
        assert_int_equal(rows[i].from, next);
        for (int status = rows[i].from; status <= rows[i].to; status++) {
            enum wire_state got;
            assert_int_equal(wire_tp_status(status, &got), ERR_OK);
            if (got != rows[i].means)
                fail_msg("%02x (%s): got %d, wanted %d", (unsigned)status, rows[i].row, (int)got,
                         (int)rows[i].means);
        }
        next = rows[i].to + 1;
    }
    assert_int_equal(next, 0x100);
    enum wire_state ignored;
    assert_int_equal(wire_tp_status(-1, &ignored), ERR_RANGE);
    assert_int_equal(wire_tp_status(0x100, &ignored), ERR_RANGE);
}

static int start(void **state) {
    (void)state;
    return wire_start() == ERR_OK ? 0 : -1;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_messages),
        cmocka_unit_test(refuses_messages),
        cmocka_unit_test(limits_hold),
        cmocka_unit_test(form_fields_are_counted),
        cmocka_unit_test(memory_may_end_anywhere),
        cmocka_unit_test(prints_tell_a_repeat_from_a_second_text),
        cmocka_unit_test(reads_receipts),
        cmocka_unit_test(tp_status_row_by_row),
    };
    return cmocka_run_group_tests(tests, start, NULL);
}
