/* reply: see reply.h. In: a reply with its values, a language. Out: its text at the end of a
 * buffer. Errors: ERR_BUG when the values are not those of replies.def, or a template names what
 * the reply does not have (reply_check tells it at load); else the buffer's. Limits:
 * REPLY_BYTES_MAX. */
#include "reply/reply.h"

#include <string.h>

#include "reply/value.h"
#include "sms/translit.h"

/* A placeholder {name} or {name:short} off the front of a template. */
struct hole {
    struct slice before; /* the text in front of it */
    struct slice name;
    bool brief;
    bool found; /* false: the rest of the template is in `before` */
    bool good;  /* closed, and nothing but :short behind the name */
};

static struct hole next_hole(struct slice *rest) {
    struct hole h = {.good = true};
    struct slice inside, form;
    h.found = slice_cut(*rest, '{', &h.before, rest);
    if (!h.found)
        return h;
    h.good = slice_cut(*rest, '}', &inside, rest);
    h.brief = slice_cut(inside, ':', &h.name, &form);
    h.good = h.good && (!h.brief || slice_eq(form, SLICE("short")));
    return h;
}

static int value_of(const struct reply_form *form, struct slice name) {
    for (int i = 0; i < form->value_count; i++)
        if (slice_eq(slice_of(form->values[i].name), name))
            return i;
    return -1;
}

static struct slice template_of(const struct words *words, int language,
                                const struct reply_form *form) {
    char context[64];
    struct buf b = {.p = context, .room = sizeof context, .cap = sizeof context - 1};
    buf_putf(&b, "reply.%s", form->name);
    return words_get(words, language, buf_str(&b));
}

/* A clock is a when whose day stands beside it. */
static bool kind_fits(enum reply_kind wanted, enum reply_kind given) {
    return given == wanted || (wanted == VALUE_WHEN && given == VALUE_CLOCK);
}

enum err reply_render(const struct words *words, int language, const struct zone *zone,
                      int64_t now_s, const struct reply *reply, struct buf *out) {
    struct reply_setting at = {words, language, zone, now_s};
    if ((unsigned)reply->id >= REPLY_COUNT)
        return ERR_BUG;
    const struct reply_form *form = reply_form(reply->id);
    for (int i = 0; i < form->value_count; i++)
        if (!kind_fits(form->values[i].kind, reply->values[i].kind))
            return ERR_BUG;
    struct slice rest = template_of(words, language, form);
    if (!rest.n)
        return ERR_BUG;
    for (;;) {
        struct hole h = next_hole(&rest);
        buf_put(out, h.before);
        if (!h.found)
            return buf_err(out);
        int i = value_of(form, h.name);
        if (i < 0 || !h.good)
            return ERR_BUG;
        reply_put_value(&at, &reply->values[i], h.brief, form->values[i].longest, out);
    }
}

/* -- checks ------------------------------------------------------------------------------------ */

/* Text between placeholders: only characters of one septet. */
static bool plain_text(struct slice s) {
    char room[REPLY_BYTES_MAX + 1];
    struct buf b = {.p = room, .room = sizeof room, .cap = REPLY_BYTES_MAX};
    static const char pairs[] = "{}[]|~^\\\n\r\f";
    for (size_t i = 0; i < s.n; i++)
        if (memchr(pairs, s.p[i], sizeof pairs - 1) ||
            slice_starts(slice_from(s, i), SLICE("\xe2\x82\xac"))) /* the euro sign */
            return false;
    return sms_translit(s, &b) == ERR_OK && slice_eq(buf_slice(&b), s);
}

static void check_one(const struct words *words, int language, const struct reply_form *form,
                      struct faults *faults) {
    char file[24], context[64];
    struct buf f = {.p = file, .room = sizeof file, .cap = sizeof file - 1};
    struct buf c = {.p = context, .room = sizeof context, .cap = sizeof context - 1};
    buf_putf(&f, "%.16s.mo", words_code(words, language));
    buf_putf(&c, "reply.%s", form->name);
    if (!words_has(words, language, context)) {
        faults_add(faults, file, 0, "msgctxt \"%s\" is missing", context);
        return;
    }
    unsigned seen = 0;
    struct slice rest = words_get(words, language, context);
    for (bool more = true; more;) {
        struct hole h = next_hole(&rest);
        more = h.found;
        if (!plain_text(h.before))
            faults_add(faults, file, 0, "msgctxt \"%s\": \"%.*s\" has a sign outside plain GSM-7",
                       context, SLICE_ARG(slice_head(h.before, 80)));
        if (!h.found)
            break;
        int i = value_of(form, h.name);
        if (i < 0)
            faults_add(faults, file, 0, "msgctxt \"%s\": there is no value {%.*s} here", context,
                       SLICE_ARG(slice_head(h.name, 40)));
        else if (!h.good || (h.brief && form->values[i].kind != VALUE_WHEN &&
                             form->values[i].kind != VALUE_CLOCK))
            faults_add(faults, file, 0, "msgctxt \"%s\": {%s} is not closed or its form is wrong",
                       context, form->values[i].name);
        if (i >= 0)
            seen |= 1u << i;
    }
    for (int i = 0; i < form->value_count; i++)
        if (!(seen & 1u << i) && !form->values[i].may_drop)
            faults_add(faults, file, 0, "msgctxt \"%s\": the value {%s} is missing", context,
                       form->values[i].name);
}

void reply_check(const struct words *words, struct faults *faults) {
    for (int language = 0; language < words_count(words); language++)
        for (int id = 0; id < REPLY_COUNT; id++)
            check_one(words, language, reply_form((enum reply_id)id), faults);
}

enum err reply_render_longest(const struct words *words, int language, enum reply_id id,
                              struct buf *out) {
    /* Noon of a Wednesday in the middle of the range; which does not matter, every day of the
     * weeks around it and of the year is tried. */
    const int64_t now_s = 1793793600;
    struct reply_setting at = {words, language, &zone_utc, now_s};
    char wide[REPLY_BYTES_MAX];
    memset(wide, 'M', sizeof wide);
    struct reply reply = {.id = id};
    const struct reply_form *form = reply_form(id);
    for (int i = 0; i < form->value_count; i++)
        reply.values[i] =
            reply_longest_value(&at, form->values[i].name, form->values[i].kind,
                                form->values[i].longest, (struct slice){wide, sizeof wide});
    return reply_render(words, language, &zone_utc, now_s, &reply, out);
}
