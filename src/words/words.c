/* words: see words.h. In: the tree of messages.conf and the bytes of the compiled catalogues, one a
 * language. Out: tables that nothing changes any more. Errors: mistakes in the grammar are those of
 * whoever wrote it and are told all at once with the file they stand in (a compiled catalogue has
 * no lines: its msgctxt is named); memory is the arena's cap. Limits: words.h. The lookups for the
 * reader of texts are in words/match.c. */
#include "words/words.h"

#include <string.h>

#include "words/inside.h"

/* Contexts whose text is a list of words that people send. */
static bool is_group(struct slice context) {
    static const char *const prefixes[] = {"word.",   "when.",  "slot.",     "unit.",
                                           "clock.",  "part.",  "language.", "skip",
                                           "choice.", "month.", "money.",    "times."};
    for (size_t i = 0; i < sizeof prefixes / sizeof *prefixes; i++)
        if (slice_starts(context, slice_of(prefixes[i])))
            return true;
    return false;
}

static const char *file_of(const struct words *w, int language) {
    return w->languages[language].file;
}

int words_group_find(const struct words *w, const char *name) {
    for (int i = 0; i < w->group_count; i++)
        if (strcmp(w->groups[i].name, name) == 0)
            return i;
    return -1;
}

/* The group of a context, made when it is new; -1 when there is no room. */
static int group_of(struct words *w, struct slice context, int language, struct faults *faults) {
    for (int i = 0; i < w->group_count; i++)
        if (slice_eq(slice_of(w->groups[i].name), context))
            return i;
    if (w->group_count == GROUPS_MAX) {
        faults_add(faults, file_of(w, language), 0, "more than %d lists of words", GROUPS_MAX);
        return -1;
    }
    struct group g = {.name = arena_str(w->arena, context), .language = -1, .choice = -1};
    int64_t month = 0;
    if (!g.name) {
        w->nomem = true;
        return -1;
    }
    if (slice_starts(context, SLICE("word."))) {
        g.kind = forms_kind(&w->forms, g.name + 5);
        if (!g.kind)
            faults_add(faults, file_of(w, language), 0,
                       "msgctxt \"%s\" names no kind of messages.conf", g.name);
    }
    if (slice_starts(context, SLICE("language.")))
        g.language = words_find(w, slice_from(context, 9));
    if (slice_starts(context, SLICE("month.")) &&
        slice_int(slice_from(context, 6), &month) == ERR_OK && month >= 1 && month <= 12)
        g.month = (int)month;
    if (slice_starts(context, SLICE("choice."))) {
        g.choice = forms_choice(&w->forms, g.name + 7);
        if (g.choice < 0)
            faults_add(faults, file_of(w, language), 0,
                       "msgctxt \"%s\" names no choice of messages.conf", g.name);
    }
    w->groups[w->group_count] = g;
    return w->group_count++;
}

/* Alternatives between bars, each folded. */
static void add_phrases(struct words *w, int language, const struct mo_entry *entry,
                        struct faults *faults) {
    int group = group_of(w, entry->context, language, faults);
    struct slice rest = entry->text, one;
    char folded[PHRASE_BYTES_MAX + 1];
    while (group >= 0 && rest.n) {
        (void)slice_cut(rest, '|', &one, &rest);
        struct buf out = {.p = folded, .room = sizeof folded, .cap = PHRASE_BYTES_MAX};
        if (words_fold(one, &out) || !out.n) {
            faults_add(faults, file_of(w, language), 0,
                       "msgctxt \"%s\": \"%.*s\" is empty, too long or has no letters",
                       w->groups[group].name, SLICE_ARG(slice_head(one, 80)));
            continue;
        }
        struct phrase phrase = {buf_slice(&out), group, language};
        if (phrases_add(&w->phrases, w->arena, phrase))
            w->nomem = true;
    }
}

/* The same word for two kinds in one language: nobody could know which was meant. */
static void check_clashes(const struct words *w, struct faults *faults) {
    for (int i = 1; i < w->phrases.count; i++) {
        const struct phrase *a = &w->phrases.all[i - 1], *b = &w->phrases.all[i];
        if (a->language == b->language && w->groups[a->group].kind && w->groups[b->group].kind &&
            slice_eq(a->folded, b->folded))
            faults_add(faults, file_of(w, a->language), 0,
                       "\"%.*s\" stands in both \"%s\" and \"%s\"", SLICE_ARG(a->folded),
                       w->groups[a->group].name, w->groups[b->group].name);
    }
}

static void need(const struct words *w, int language, const char *context, struct faults *faults) {
    if (!words_has(w, language, context))
        faults_add(faults, file_of(w, language), 0, "msgctxt \"%s\" is missing", context);
}

/* What every catalogue must have beside the replies, which the reply room checks. */
static void check_language(const struct words *w, int language, struct faults *faults) {
    char name[40];
    struct buf b = {.p = name, .room = sizeof name, .cap = sizeof name - 1};
    for (int i = 1; i <= w->forms.kind_count; i++) {
        static const char *const prefixes[] = {"word.", "help."};
        for (int k = 0; k < 2; k++) {
            buf_clear(&b);
            buf_putf(&b, "%s%s", prefixes[k], w->forms.kinds[i].name);
            need(w, language, name, faults);
        }
    }
    for (int i = 0; i < w->forms.choice_count && language == w->english; i++) {
        buf_clear(&b); /* English ones serve where a language has none of its own */
        buf_putf(&b, "choice.%s", w->forms.choices[i]);
        need(w, language, name, faults);
    }
    for (int i = 0; i < 19; i++) {
        buf_clear(&b);
        buf_putf(&b, "%s%d", i < 7 ? "day." : "month.", i < 7 ? i : i - 6);
        need(w, language, name, faults);
    }
    static const char *const others[] = {
        "form.hour",      "form.hour.short", "form.date", "form.decimal", "when.now", "when.today",
        "when.yesterday", "when.tomorrow",   "slot.same", "slot.of",      "unit.kg",  "unit.g",
    };
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        need(w, language, others[i], faults);
    for (int i = 0; i < w->language_count; i++) {
        buf_clear(&b);
        buf_putf(&b, "language.%s", w->languages[i].code);
        need(w, language, name, faults);
    }
    if (!words_clock_from_six(w, language))
        return;
    need(w, language, "form.parts", faults);
    for (int hour = 0; hour < 24; hour++) {
        buf_clear(&b);
        words_put_hour(w, language, hour, 0, WORDS_HOUR_SHORT, &b);
        if (b.e || !slice_has(buf_slice(&b), '(') || slice_ends(buf_slice(&b), SLICE(" ")))
            faults_add(faults, file_of(w, language), 0,
                       "form.hour.short must show both clocks, \"{six} {part} ({clock})\"");
        if (b.e || !slice_has(buf_slice(&b), '('))
            break;
    }
    if (!slice_starts(words_get(w, language, "form.parts"), SLICE("0 ")))
        faults_add(faults, file_of(w, language), 0, "form.parts must begin with hour 0");
}

static bool has_utf8_header(struct slice header) {
    static const struct slice wanted = {"charset=UTF-8", 13};
    for (size_t i = 0; i + wanted.n <= header.n; i++)
        if (slice_eq_nocase(slice_head(slice_from(header, i), wanted.n), wanted))
            return true;
    return false;
}

/* One catalogue in; false when there is no memory. */
static bool add_language(struct words *w, const struct words_catalogue *c, struct faults *faults) {
    struct language *language = &w->languages[w->language_count];
    struct buf file = buf_make_in(w->arena, 64);
    buf_putf(&file, "%.40s.mo", c->code);
    *language =
        (struct language){.code = arena_str(w->arena, slice_of(c->code)), .file = buf_str(&file)};
    if (!language->code || buf_err(&file))
        return false;
    enum err e = mo_read(c->mo, language->file, w->arena, faults, &language->mo);
    if (e == ERR_NOMEM)
        return false;
    if (e) /* told already; the language is not there */
        return true;
    if (!has_utf8_header(language->mo.header))
        faults_add(faults, language->file, 0, "the header must say charset=UTF-8");
    if (words_find(w, slice_of(c->code)) >= 0) {
        faults_add(faults, language->file, 0, "this language is there twice");
        return true;
    }
    w->language_count++;
    return true;
}

struct words *words_build(struct arena *arena, const struct tree *forms,
                          const struct words_catalogue *catalogues, int count,
                          struct faults *faults) {
    struct words *w = ARENA_NEW(arena, struct words);
    if (!w)
        return NULL;
    w->arena = arena;
    w->tree = forms;
    if (!forms_read(forms, arena, faults, &w->forms))
        return NULL;
    for (int i = 0; i < count; i++) {
        if (w->language_count == WORDS_LANGUAGES_MAX) {
            faults_add(faults, catalogues[i].code, 0, "more than %d languages",
                       WORDS_LANGUAGES_MAX);
            break;
        }
        if (!add_language(w, &catalogues[i], faults))
            return NULL;
    }
    w->english = words_find(w, SLICE("en"));
    if (w->english < 0) {
        faults_add(faults, "en.mo", 0, "there must be an English catalogue: the others lean on it");
        return NULL;
    }
    for (int i = 0; i < w->language_count; i++)
        for (int k = 0; k < w->languages[i].mo.count; k++)
            if (is_group(w->languages[i].mo.entries[k].context))
                add_phrases(w, i, &w->languages[i].mo.entries[k], faults);
    if (w->nomem)
        return NULL;
    phrases_sort(&w->phrases);
    check_clashes(w, faults);
    for (int i = 0; i < w->language_count; i++)
        check_language(w, i, faults);
    return w;
}

const struct tree *words_forms(const struct words *w) {
    return w->tree;
}

/* -- texts ----------------------------------------------------------------------------------- */

static struct slice own(const struct words *w, int language, const char *context) {
    if (language < 0 || language >= w->language_count)
        return (struct slice){NULL, 0};
    return mo_get(&w->languages[language].mo, slice_of(context));
}

struct slice words_get(const struct words *w, int language, const char *context) {
    struct slice text = own(w, language, context);
    return text.n ? text : own(w, w->english, context);
}

bool words_has(const struct words *w, int language, const char *context) {
    return own(w, language, context).n > 0;
}

/* -- languages ------------------------------------------------------------------------------- */

int words_count(const struct words *w) {
    return w->language_count;
}

const char *words_code(const struct words *w, int language) {
    return language >= 0 && language < w->language_count ? w->languages[language].code : "";
}

int words_english(const struct words *w) {
    return w->english;
}

int words_find(const struct words *w, struct slice code) {
    for (int i = 0; i < w->language_count; i++)
        if (slice_eq_nocase(slice_of(w->languages[i].code), code))
            return i;
    return -1;
}

struct slice words_language_name(const struct words *w, int language) {
    char context[40];
    struct buf b = {.p = context, .room = sizeof context, .cap = sizeof context - 1};
    buf_putf(&b, "language.%s", words_code(w, language));
    struct slice first, rest;
    (void)slice_cut(words_get(w, language, buf_str(&b)), '|', &first, &rest);
    return first;
}

int words_language_of(const struct words *w, struct slice folded) {
    int found = words_find(w, folded);
    for (int i = phrases_find(&w->phrases, folded);
         found < 0 && i < w->phrases.count && slice_eq(w->phrases.all[i].folded, folded); i++)
        found = w->groups[w->phrases.all[i].group].language;
    return found;
}

/* -- forms of message ------------------------------------------------------------------------- */

static const struct form *form_of(const struct words *w, int kind) {
    return &w->forms.kinds[kind >= 1 && kind <= w->forms.kind_count ? kind : 0];
}

int words_kind_count(const struct words *w) {
    return w->forms.kind_count;
}

const char *words_kind_name(const struct words *w, int kind) {
    return form_of(w, kind)->name;
}

int words_kind_find(const struct words *w, const char *name) {
    return forms_kind(&w->forms, name);
}

int words_slot_count(const struct words *w) {
    return w->forms.slot_count;
}

const char *words_slot_name(const struct words *w, int slot) {
    return slot >= 0 && slot < w->forms.slot_count ? w->forms.slots[slot] : "";
}

uint64_t words_kind_slots(const struct words *w, int kind) {
    return form_of(w, kind)->slots;
}

uint64_t words_kind_needs(const struct words *w, int kind) {
    return form_of(w, kind)->needs;
}

bool words_kind_records(const struct words *w, int kind) {
    return form_of(w, kind)->records;
}

bool words_kind_whole(const struct words *w, int kind) {
    return form_of(w, kind)->whole;
}

int words_choice_count(const struct words *w) {
    return w->forms.choice_count;
}

const char *words_choice_name(const struct words *w, int choice) {
    return choice >= 0 && choice < w->forms.choice_count ? w->forms.choices[choice] : "";
}

uint64_t words_kind_choices(const struct words *w, int kind) {
    return form_of(w, kind)->choices;
}

struct slice words_kind_word(const struct words *w, int kind, int language) {
    char context[40];
    struct buf b = {.p = context, .room = sizeof context, .cap = sizeof context - 1};
    buf_putf(&b, "word.%s", words_kind_name(w, kind));
    struct slice first, rest;
    (void)slice_cut(words_get(w, language, buf_str(&b)), '|', &first, &rest);
    return slice_trim(first);
}
