/* sms_dump: the room sms for comparison with other programs. In: lines on standard input; out: a
 * line for each. Bytes travel as hexadecimal, since a text may hold line ends. What a line is
 * depends on the first argument: text     hex of UTF-8        -> gsm7|ucs2 UNITS PARTS HEX, an
 * octet a septet or two a unit; or an error's name septets  hex, an octet each  -> hex of the UTF-8
 * that a receiver shows numbers  CC TAB hex of UTF-8 -> the E.164 number, or an error's name plans
 * (no input)          -> CC CODE TRUNK|- PREFIX[,PREFIX] SHORTEST LONGEST MOBILE,MOBILE|0 for each
 * plan Ends with 2 on a line or an argument that is not of this form. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "sms/gsm7.h"
#include "sms/nfc.h"
#include "sms/number.h"
#include "sms/parts.h"

enum { LINE_MOST = 1 << 20 };

static int hex_value(char c) {
    return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

static bool hex_read(struct slice hex, struct buf *out) {
    if (hex.n % 2)
        return false;
    for (size_t i = 0; i < hex.n; i += 2) {
        int high = hex_value(hex.p[i]), low = hex_value(hex.p[i + 1]);
        if (high < 0 || low < 0)
            return false;
        buf_putc(out, (char)(high << 4 | low));
    }
    return buf_err(out) == ERR_OK;
}

static void unit_print(uint32_t unit, bool two_octets) {
    printf(two_octets ? "%04x" : "%02x", (unsigned)unit);
}

static void character_print(uint32_t c, enum sms_alphabet alphabet) {
    if (alphabet == SMS_UCS2 && c > 0xffff) {
        unit_print(0xd800 + ((c - 0x10000) >> 10), true);
        unit_print(0xdc00 + ((c - 0x10000) & 0x3ff), true);
    } else if (alphabet == SMS_UCS2) {
        unit_print(c, true);
    } else {
        int code = gsm7_code(c);
        if (code >= GSM7_EXTENSION)
            unit_print(GSM7_ESC, false);
        unit_print((uint32_t)code & 0x7f, false);
    }
}

static void text_print(struct slice utf8) {
    struct arena a = arena_make((size_t)LINE_MOST * 32);
    struct sms_size size;
    int32_t *c = NULL;
    size_t n = 0;
    enum err e = sms_measure(utf8, &a, &size);
    if (!e)
        e = sms_nfc(utf8, &a, &c, &n);
    if (e)
        printf("%s", err_info(e)->name);
    else
        printf("%s %d %d ", sms_alphabet_name(size.alphabet), size.units, size.parts);
    for (size_t i = 0; !e && i < n; i++)
        character_print((uint32_t)c[i], size.alphabet);
    arena_free(&a);
}

static void septets_print(struct slice septets) {
    struct buf out = buf_make((size_t)LINE_MOST * 3);
    for (size_t i = 0; i < septets.n; i++) {
        bool extension = septets.p[i] == GSM7_ESC && i + 1 < septets.n;
        if (extension)
            i++;
        buf_put_codepoint(&out, gsm7_codepoint(septets.p[i], extension));
    }
    for (size_t i = 0; i < out.n; i++)
        unit_print((unsigned char)out.p[i], false);
    buf_free(&out);
}

static void number_print(const struct number_plan *home, struct slice raw) {
    struct number number;
    enum err e = number_normalise(raw, home, &number);
    printf("%s", e ? err_info(e)->name : number.text);
}

static void plans_print(void) {
    size_t n;
    const struct number_plan *p = number_plans(&n);
    for (size_t i = 0; i < n; i++)
        printf("%s %s %s %s%s%s %d %d %d,%d\n", p[i].iso2, p[i].code,
               p[i].trunk[0] ? p[i].trunk : "-", p[i].abroad[0], p[i].abroad[1][0] ? "," : "",
               p[i].abroad[1], p[i].shortest, p[i].longest, p[i].mobile[0], p[i].mobile[1]);
}

static bool line_take(struct slice what, struct slice line, struct buf *bytes) {
    const struct number_plan *home = NULL;
    bool numbers = slice_eq(what, SLICE("numbers"));
    struct slice country;
    buf_clear(bytes);
    if (numbers && !slice_cut(line, '\t', &country, &line))
        return false;
    if (numbers && !(home = number_plan_of(country)))
        return false;
    if (!hex_read(line, bytes))
        return false;
    if (numbers)
        number_print(home, buf_slice(bytes));
    else if (slice_eq(what, SLICE("text")))
        text_print(buf_slice(bytes));
    else
        septets_print(buf_slice(bytes));
    putchar('\n');
    return true;
}

int main(int argc, char **argv) {
    struct slice what = slice_of(argc == 2 ? argv[1] : "");
    struct buf bytes = buf_make(LINE_MOST);
    char *line = NULL;
    size_t room = 0;
    ssize_t n;
    int exit_status = 0;
    if (slice_eq(what, SLICE("plans"))) {
        plans_print();
        return 0;
    }
    if (!slice_eq(what, SLICE("text")) && !slice_eq(what, SLICE("septets")) &&
        !slice_eq(what, SLICE("numbers"))) {
        fprintf(stderr, "usage: sms_dump text|septets|numbers|plans\n");
        return 2;
    }
    while (!exit_status && (n = getline(&line, &room, stdin)) >= 0) {
        struct slice s = {line, (size_t)n};
        if (slice_ends(s, SLICE("\n")))
            s.n--;
        if (!line_take(what, s, &bytes)) {
            fprintf(stderr, "sms_dump: cannot read the line '%.80s'\n", line);
            exit_status = 2;
        }
    }
    free(line);
    buf_free(&bytes);
    return exit_status;
}
