/* number: from what people write to E.164. In: UTF-8 and the plan of the country it is written in;
 * out:
 * "+" and digits. Errors: ERR_SYNTAX, ERR_UTF8, ERR_RANGE, all the writer's or the sender's.
 * Limits: extensions and letters as digits are not read; numbers are not looked up anywhere, only
 * measured.
 *
 * Order of reading: + or an international prefix; a national number of the home plan; the same with
 * its country code but no +; a known foreign one without its +; else as a national number of a plan
 * that may have grown. Sources: ITU-T E.164, E.123; the plans in plan.c. */
#include "sms/number.h"

#include <string.h>

#include "sms/digit.h"

enum {
    RAW_DIGITS_MOST = 24, /* the longest prefix, 15 digits and a trunk 0, with some to spare */
    SHORT_CODE_MOST = 6,
};

struct digits {
    char text[RAW_DIGITS_MOST];
    size_t n;
    bool plus;
};

/* What groups digits on paper or comes invisibly with a copied number. */
static bool dropped(uint32_t c) {
    static const struct {
        uint16_t first, last;
    } ranges[] = {{'\t', '\r'},     {' ', ' '},       {'(', ')'},       {'-', '/'},
                  {'[', '['},       {']', ']'},       {0x00a0, 0x00a0}, {0x00ad, 0x00ad},
                  {0x00b7, 0x00b7}, {0x2000, 0x2015}, {0x2028, 0x202f}, {0x205f, 0x2069},
                  {0x2212, 0x2212}, {0x3000, 0x3000}, {0xfeff, 0xfeff}, {0xff08, 0xff09},
                  {0xff0d, 0xff0f}};
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++)
        if (c >= ranges[i].first && c <= ranges[i].last)
            return true;
    return false;
}

static enum err digits_read(struct slice raw, struct digits *d) {
    uint32_t c;
    raw = slice_trim(raw);
    if (slice_eq_nocase(slice_head(raw, 4), SLICE("tel:")))
        raw = slice_from(raw, 4);
    bool too_many = false;
    while (raw.n) {
        enum err e = slice_codepoint(&raw, &c);
        if (e)
            return e;
        int digit = sms_digit(c);
        if ((c == '+' || c == 0xff0b) && !d->n && !d->plus)
            d->plus = true;
        else if (digit >= 0 && d->n < RAW_DIGITS_MOST)
            d->text[d->n++] = (char)('0' + digit);
        else if (digit >= 0)
            too_many = true; /* the rest may still show that it is no number at all */
        else if (!dropped(c))
            return ERR_SYNTAX;
    }
    if (!d->n)
        return ERR_SYNTAX;
    return too_many ? ERR_RANGE : ERR_OK;
}

static struct slice trunk_off(struct slice national, const struct number_plan *plan) {
    struct slice trunk = slice_of(plan->trunk);
    return trunk.n && slice_starts(national, trunk) ? slice_from(national, trunk.n) : national;
}

static bool length_fits(struct slice national, const struct number_plan *plan) {
    return national.n >= plan->shortest && national.n <= plan->longest;
}

static enum err write_e164(struct slice code, struct slice national, struct number *out) {
    struct number made = {"+"};
    size_t n = code.n + national.n;
    if (n > NUMBER_DIGITS_MOST || n < NUMBER_DIGITS_LEAST)
        return ERR_RANGE;
    memcpy(made.text + 1, code.p, code.n);
    memcpy(made.text + 1 + code.n, national.p, national.n);
    if (made.text[1] == '0')
        return ERR_RANGE; /* no country code begins with 0 */
    *out = made;
    return ERR_OK;
}

/* The plan of digits that begin with a country code, *national what follows it with the trunk off.
 */
static const struct number_plan *plan_of_digits(struct slice digits, struct slice *national) {
    char e164[1 + RAW_DIGITS_MOST] = "+";
    memcpy(e164 + 1, digits.p, digits.n);
    const struct number_plan *plan = number_plan_of_e164((struct slice){e164, 1 + digits.n});
    if (plan)
        *national = trunk_off(slice_from(digits, slice_of(plan->code).n), plan);
    return plan;
}

static enum err from_abroad(struct slice digits, struct number *out) {
    struct slice national;
    if (!digits.n)
        return ERR_RANGE;
    const struct number_plan *plan = plan_of_digits(digits, &national);
    if (!plan)
        return write_e164(digits, (struct slice){"", 0}, out);
    if (national.n < plan->shortest)
        return ERR_RANGE;
    return write_e164(slice_of(plan->code), national, out);
}

static bool known_abroad(struct slice digits) {
    struct slice national;
    const struct number_plan *plan = digits.n ? plan_of_digits(digits, &national) : NULL;
    return plan && length_fits(national, plan);
}

/* Takes an international prefix off. The plan's own comes first when a number that we know follows
 * it: 009 44... in Nigeria. Then 00, unless what follows can be no country code (000 in Kenya).
 * Then the plan's own whatever follows. */
static bool prefix_off(struct slice *digits, const struct number_plan *home) {
    struct slice own = {NULL, 0}, zeros = SLICE("00");
    for (size_t i = 0; home && i < sizeof home->abroad / sizeof home->abroad[0]; i++) {
        struct slice prefix = slice_of(home->abroad[i]);
        if (prefix.n && slice_starts(*digits, prefix)) {
            own = slice_from(*digits, prefix.n);
            if (known_abroad(own)) {
                *digits = own;
                return true;
            }
        }
    }
    if (slice_starts(*digits, zeros) && digits->n > 2 && digits->p[2] != '0')
        *digits = slice_from(*digits, 2);
    else if (own.n && own.p[0] != '0')
        *digits = own;
    else
        return false;
    return true;
}

static enum err from_home(struct slice digits, const struct number_plan *home, struct number *out) {
    struct slice code = slice_of(home->code), national = trunk_off(digits, home);
    if (length_fits(national, home))
        return write_e164(code, national, out);
    if (slice_starts(digits, code)) {
        struct slice behind = trunk_off(slice_from(digits, code.n), home);
        if (length_fits(behind, home))
            return write_e164(code, behind, out);
    }
    if (known_abroad(digits))
        return from_abroad(digits, out);
    if (national.n < home->shortest)
        return ERR_RANGE;
    return write_e164(code, national, out);
}

enum err number_normalise(struct slice raw, const struct number_plan *home, struct number *out) {
    struct digits d = {.n = 0};
    enum err e = digits_read(raw, &d);
    if (e)
        return e;
    struct slice digits = {d.text, d.n};
    if (d.plus)
        return from_abroad(digits, out);
    if (digits.n <= SHORT_CODE_MOST)
        return ERR_RANGE;
    if (prefix_off(&digits, home) || !home)
        return from_abroad(digits, out);
    if (slice_starts(digits, SLICE("00")))
        return ERR_RANGE; /* a call abroad to nowhere; no national number of a plan begins so */
    return from_home(digits, home, out);
}

bool number_is_e164(struct slice s) {
    if (!slice_starts(s, SLICE("+")))
        return false;
    s = slice_from(s, 1);
    if (s.n < NUMBER_DIGITS_LEAST || s.n > NUMBER_DIGITS_MOST || s.p[0] == '0')
        return false;
    for (size_t i = 0; i < s.n; i++)
        if (s.p[i] < '0' || s.p[i] > '9')
            return false;
    return true;
}

bool number_fits(const struct number *n) {
    struct slice s = slice_of(n->text);
    const struct number_plan *plan = number_plan_of_e164(s);
    return plan && number_is_e164(s) &&
           length_fits(slice_from(s, 1 + slice_of(plan->code).n), plan);
}

/* How many digits behind the calling code, or behind the trunk where no code was read. */
static size_t national_digits(struct slice raw, const struct number_plan *home,
                              const struct number_plan **plan) {
    struct number made;
    struct digits d = {.n = 0};
    struct slice national = {NULL, 0};
    if (!number_normalise(raw, home, &made)) {
        struct slice e164 = slice_of(made.text);
        *plan = number_plan_of_e164(e164);
        return *plan ? e164.n - 1 - slice_of((*plan)->code).n : 0;
    }
    enum err e = digits_read(raw, &d); /* read, but of no length that goes anywhere */
    if (e && e != ERR_RANGE)
        return 0;
    *plan = d.plus ? plan_of_digits((struct slice){d.text, d.n}, &national) : home;
    if (!d.plus && home)
        national = trunk_off((struct slice){d.text, d.n}, home);
    return national.n;
}

enum number_size number_measure(struct slice raw, const struct number_plan *home,
                                const struct number_plan **plan) {
    *plan = NULL;
    size_t digits = national_digits(raw, home, plan);
    if (!*plan || !digits)
        return NUMBER_STRANGE;
    const uint8_t *lengths = (*plan)->mobile;
    if (digits == lengths[0] || (lengths[1] && digits == lengths[1]))
        return NUMBER_MOBILE;
    return digits < lengths[0] ? NUMBER_SHORT : NUMBER_LONG;
}
