/* Everything that can be wrong in a profile, each with the line it is told at. One sound profile is
 * taken, and in each case one of its lines is replaced. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <cmocka.h>

#include "base/buf.h"
#include "wire/bytes.h"
#include "wire/support.h"

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

enum { ARENA_BYTES = 1 << 20 };

/* Each on its line: a line's place here, from 1, is its number in the faults. */
enum {
    LINK = 1,
    SEND,
    METHOD,
    URL,
    SENDER,
    SEND_SECRET,
    ALPHABETS,
    HEADERS,
    SEND_BODY,
    FIELDS,
    FIELD_TO,
    FIELD_TEXT,
    FIELDS_END,
    ANSWER,
    ACCEPTED,
    REFUSED,
    LATER,
    PROVIDER_ID,
    REASON,
    UNCLEAR,
    TIMEOUTS,
    SEND_END,
    IN,
    IN_BODY,
    IN_SENDER,
    IN_RECEIVER,
    IN_TEXT,
    IN_ID,
    IN_SENT,
    IN_FORM,
    IN_LOOP,
    IN_GUARD,
    IN_END,
    RECEIPT,
    RECEIPT_BODY,
    RECEIPT_ID,
    RECEIPT_REFERENCE,
    RECEIPT_STATE,
    RECEIPT_STATES,
    RECEIPT_OTHERS,
    RECEIPT_GUARD,
    RECEIPT_END,
    LINES = RECEIPT_END
};

static const char *const sound[LINES + 1] = {
    [LINK] = "link = \"a-1\";",
    [SEND] = "send = {",
    [METHOD] = "method = \"PUT\";",
    [URL] = "url = \"https://h.example:8443/x?y=z\";",
    [SENDER] = "sender = \"+447700900000\";",
    [SEND_SECRET] = "secret_file = \"plain\";",
    [ALPHABETS] = "alphabets = { gsm7 = \"a\"; ucs2 = \"b\"; };",
    [HEADERS] = "headers = ( { name = \"Key\"; value = \"{secret} {sender}\"; } );",
    [SEND_BODY] = "body = \"json\";",
    [FIELDS] = "fields = (",
    [FIELD_TO] = "{ name = \"a.to\"; value = \"{to}\"; },",
    [FIELD_TEXT] = "{ name = \"a.b\"; value = \"{{{text}}} {alphabet} {reference}\"; }",
    [FIELDS_END] = ");",
    [ANSWER] = "answer = \"json\";",
    [ACCEPTED] = "accepted = { statuses = ( 200 ); field = \"ok\"; equals = \"true\"; };",
    [REFUSED] = "refused = { statuses = ( 410 ); field = \"ok\"; values = ( \"never\" ); };",
    [LATER] = "later = { statuses = ( 401 ); };",
    [PROVIDER_ID] = "provider_id = \"id\";",
    [REASON] = "reason = \"why\";",
    [UNCLEAR] = "unclear = \"later\";",
    [TIMEOUTS] = "timeouts = { connect_s = 3; total_s = 9; };",
    [SEND_END] = "};",
    [IN] = "in = {",
    [IN_BODY] = "body = \"json\";",
    [IN_SENDER] = "sender = \"n.from\";",
    [IN_RECEIVER] = "receiver = \"n.to\";",
    [IN_TEXT] = "text = \"n.words\";",
    [IN_ID] = "id = \"n.id\";",
    [IN_SENT] = "sent = \"n.at\";",
    [IN_FORM] = "sent_form = \"unix-ms\";",
    [IN_LOOP] = "loop = \"n.auto\";",
    [IN_GUARD] = "guard = { kind = \"signed\"; secret_files = ( \"signed\" ); };",
    [IN_END] = "};",
    [RECEIPT] = "receipt = {",
    [RECEIPT_BODY] = "body = \"form\";",
    [RECEIPT_ID] = "id = \"number\";",
    [RECEIPT_REFERENCE] = "reference = \"mark\";",
    [RECEIPT_STATE] = "state = \"state\";",
    [RECEIPT_STATES] = "states = ( { value = \"5\"; means = \"failed\"; } );",
    [RECEIPT_OTHERS] = "others = \"pending\";",
    [RECEIPT_GUARD] =
        "guard = { kind = \"field\"; field = \"word\"; secret_files = ( \"plain\" ); };",
    [RECEIPT_END] = "};",
};

/* The faults of the profile with a line replaced (0: none; a second one where it takes two). */
static char *faults_of(int line, const char *instead, int line_2, const char *instead_2) {
    static char text[20000];
    struct arena a = arena_make(ARENA_BYTES);
    struct faults faults = faults_make();
    struct buf profile = buf_make(20000);
    for (int i = 1; i <= LINES; i++)
        buf_putf(&profile, "%s\n", i == line ? instead : i == line_2 ? instead_2 : sound[i]);
    const struct wire_profile *p = support_parse(&a, buf_slice(&profile), "p", &faults);
    (void)snprintf(text, sizeof text, "%s", buf_str(&faults.text));
    if (!p != (faults.count > 0))
        fail_msg("%d faults, but %s profile", faults.count, p ? "a" : "no");
    buf_free(&profile);
    faults_free(&faults);
    arena_free(&a);
    return text;
}

static void the_sound_profile_is_sound(void **state) {
    (void)state;
    assert_string_equal(faults_of(0, "", 0, ""), "");
}

static const struct fault_case {
    int line;
    const char *instead, *wanted;
    int line_2;
    const char *instead_2;
} cases[] = {
#include "wire/faults.def"
};

static void every_fault_is_told_at_its_line(void **state) {
    (void)state;
    for (int i = 0; i < COUNT(cases); i++) {
        const struct fault_case *c = &cases[i];
        const char *got = faults_of(c->line, c->instead, c->line_2, c->instead_2);
        if (strcmp(got, c->wanted) != 0)
            fail_msg("line %d: %s\ngot:\n%swanted:\n%s", c->line, c->instead, got, c->wanted);
    }
}

/* Law: no line can be left out or emptied in a way that crashes; what is left is told or sound. */
static void lines_left_out(void **state) {
    (void)state;
    for (int i = 1; i <= LINES; i++)
        for (int k = i; k <= LINES; k++)
            (void)faults_of(i, "", k, "");
}

/* All mistakes at once, in the order of the parts. */
static void all_are_told_at_once(void **state) {
    (void)state;
    assert_string_equal(faults_of(LINK, "link = \"a b\"; lin = 1;", URL, "url = \"h\";"),
                        "p:1: \"lin\" is not known here; \"link\" was meant?\n"
                        "p:1: \"link\" may hold letters a to z, digits and - only\n"
                        "p:4: \"url\" must begin with https:// or http://\n");
}

/* However little memory there is, it is a fault like another. */
static void memory_may_end_anywhere(void **state) {
    (void)state;
    struct buf profile = buf_make(20000);
    for (int i = 1; i <= LINES; i++)
        buf_putf(&profile, "%s\n", sound[i]);
    bool done = false;
    for (size_t cap = 0; cap < 100000 && !done; cap += 64) {
        struct arena a = arena_make(cap);
        struct faults faults = faults_make();
        const struct wire_profile *p = support_parse(&a, buf_slice(&profile), "p", &faults);
        done = p != NULL;
        assert_true(!p || faults.count == 0);
        faults_free(&faults);
        arena_free(&a);
    }
    assert_true(done);
    buf_free(&profile);
}

static int start(void **state) {
    (void)state;
    return wire_start() == ERR_OK ? 0 : -1;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_sound_profile_is_sound),
        cmocka_unit_test(every_fault_is_told_at_its_line),
        cmocka_unit_test(lines_left_out),
        cmocka_unit_test(all_are_told_at_once),
        cmocka_unit_test(memory_may_end_anywhere),
    };
    return cmocka_run_group_tests(tests, start, NULL);
}
