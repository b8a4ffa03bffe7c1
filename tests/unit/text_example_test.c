/* What replies and help texts tell people to send must be read when they send it: every command in
 * capitals is taken out of the texts of every catalogue and read. */
#include "text_help.h"

enum { TEXTS_MAX = 4000, EXAMPLE_MAX = 120 };

static struct slice word_of(struct slice s) {
    size_t n = 0;
    while (n < s.n && s.p[n] != ' ')
        n++;
    return slice_head(s, n);
}

/* A capital letter, and none that is small before the first sign. */
static bool in_capitals(struct slice word) {
    size_t n = 0;
    while (n < word.n && word.p[n] >= 'A' && word.p[n] <= 'Z')
        n++;
    return n >= 2 && (n == word.n || !(word.p[n] >= 'a' && word.p[n] <= 'z'));
}

static bool closes(struct slice word) {
    return word.n > 0 && slice_has(SLICE(".,:;?\""), word.p[word.n - 1]);
}

/* The kind whose words, in capitals, begin here; 0 if none. */
static int kind_here(struct slice s, size_t *length) {
    struct words_hit hits[WORDS_HITS_MAX];
    struct buf folded = buf_make(TEXTS_MAX);
    int kind = 0;
    if (in_capitals(word_of(s)) && words_fold(slice_head(s, 60), &folded) == ERR_OK) {
        int count = words_phrases(grammar.words, buf_slice(&folded), hits, WORDS_HITS_MAX);
        for (int i = 0; i < count && kind == 0; i++) {
            kind = words_group_kind(grammar.words, hits[i].group);
            *length = hits[i].length; /* plain letters: as long folded as not */
        }
    }
    buf_free(&folded);
    return kind;
}

/* A small word that belongs to a value beside it: of, morning; behind a number also months, march,
 * fry, loam. */
static bool joins(struct slice s, bool number) {
    struct words_hit hits[WORDS_HITS_MAX];
    int count = words_phrases(grammar.words, s, hits, WORDS_HITS_MAX);
    for (int i = 0; i < count; i++) {
        const char *name = words_group_name(grammar.words, hits[i].group);
        static const char *const lists[] = {"slot.of",     "slot.depth", "part.",      "clock.",
                                            "unit.",       "month.",     "skip.thing", "choice.",
                                            "slot.across", "slot.round"};
        for (size_t l = 0; l < (number ? sizeof lists / sizeof *lists : 4); l++)
            if (strncmp(name, lists[l], strlen(lists[l])) == 0)
                return true;
    }
    return false;
}

static bool begins_name(struct slice s) {
    struct words_hit hits[WORDS_HITS_MAX];
    int count = words_phrases(grammar.words, s, hits, WORDS_HITS_MAX);
    for (int i = 0; i < count; i++)
        if (strcmp(words_group_name(grammar.words, hits[i].group), "slot.from") == 0)
            return true;
    return false;
}

static bool has_digit(struct slice word) {
    for (size_t i = 0; i < word.n; i++)
        if (word.p[i] >= '0' && word.p[i] <= '9')
            return true;
    return false;
}

/* The command that begins at the front of s with `length` bytes of words: on over values and words
 * in capitals, up to a sign that closes a clause. */
static size_t command_length(struct slice s, size_t length) {
    size_t end = length;
    bool joined = false; /* "kati ya": the second word of what joins */
    bool number = false; /* the word before begins with a digit */
    bool name = false;   /* "from lake farm": to the end of the clause */
    while (end < s.n && s.p[end] == ' ') {
        struct slice rest = slice_from(s, end + 1), word = word_of(rest);
        bool value = has_digit(word) || in_capitals(word);
        name = name || (number == false && joined && begins_name(rest));
        if (!value && !name && !joins(rest, number) && !joined)
            break;
        joined = !value && !joined;
        number = word.n > 0 && word.p[0] >= '0' && word.p[0] <= '9';
        end += 1 + word.n;
        if (closes(word))
            return end - 1;
    }
    return end;
}

/* The same as far as the clause goes, where all of that is read: names of feed and people are any
 * words. */
static size_t clause_length(int language, struct slice s, int kind, size_t length) {
    size_t end = 0;
    while (end < s.n) {
        struct slice word = word_of(slice_from(s, end));
        end += word.n + 1;
        if (closes(word))
            break;
    }
    end = end > 1 ? end - 1 : 0;
    while (end > 0 && slice_has(SLICE(".,:;?\""), s.p[end - 1]))
        end--;
    if (end <= length)
        return length;
    struct read_text got = read_slice(language == grammar.sw ? 's' : 'e', slice_head(s, end));
    bool whole = got.result.reading == TEXT_REQUEST && (int)got.result.request.kind == kind;
    return whole ? end : length;
}

/* Placeholders as the reply would fill them: {tag} is F3; any other ends a command. */
static void fill(struct slice text, struct buf *out) {
    while (text.n > 0) {
        bool tag = slice_starts(text, SLICE("{tag}"));
        buf_put(out, tag ? SLICE("F3") : slice_head(text, 1));
        text = slice_from(text, tag ? 5 : 1);
    }
}

struct found {
    int count;                         /* commands */
    bool complete[REQUEST_KIND_COUNT]; /* kinds of which one has all that it needs */
};

static void read_example(int language, const char *context, struct slice command, int kind,
                         struct found *found) {
    struct read_text got = read_slice(language == grammar.sw ? 's' : 'e', command);
    if (got.result.reading != TEXT_REQUEST || (int)got.result.request.kind != kind)
        fail_msg("%s, %s: \"%.*s\" got %s \"%s\", token \"%s\"; wanted %s",
                 words_code(grammar.words, language), context, SLICE_ARG(command),
                 reading_names[got.result.reading], got.line, got.result.token,
                 words_kind_name(grammar.words, kind));
    uint64_t has = got.result.request.has;
    if ((words_kind_needs(grammar.words, kind) & ~has) == 0)
        found->complete[kind] = true;
    found->count++;
}

static void read_examples(int language, const char *context, struct found *found) {
    struct buf filled = buf_make(TEXTS_MAX);
    fill(words_get(grammar.words, language, context), &filled);
    struct slice text = buf_slice(&filled);
    for (size_t at = 0; at < text.n;) {
        size_t length = 0;
        struct slice rest = slice_from(text, at);
        int kind = kind_here(rest, &length);
        if (kind > 0) {
            length = clause_length(language, rest, kind, command_length(rest, length));
            read_example(language, context, slice_head(rest, length), kind, found);
        }
        at += length > 0 && kind > 0 ? length : word_of(rest).n;
        while (at < text.n && !((text.p[at] >= 'A' && text.p[at] <= 'Z') &&
                                slice_has(SLICE(" \".,:("), text.p[at - 1])))
            at++;
    }
    buf_free(&filled);
}

/* The help of a kind shows at least one whole example of it. */
static void help_is_read(void **state) {
    (void)state;
    for (int language = 0; language < words_count(grammar.words); language++)
        for (int kind = 1; kind <= words_kind_count(grammar.words); kind++) {
            char context[60];
            struct found found = {0};
            (void)snprintf(context, sizeof context, "help.%s",
                           words_kind_name(grammar.words, kind));
            read_examples(language, context, &found);
            if (!found.complete[kind])
                fail_msg("%s, %s: no whole example among %d commands",
                         words_code(grammar.words, language), context, found.count);
        }
}

/* The texts that tell people what to send, and what else the replies name in capitals. */
static void replies_are_read(void **state) {
    (void)state;
    static const char *const contexts[] = {
        "help",           "unreadable",      "too-long",         "injected",
        "injected-new",   "injected-cold",   "injected-warm",    "planned",
        "water-tank",     "water-hatchery",  "water-cold",       "water-warm",
        "water-same",     "not-ready-late",  "not-ready-over",   "no-eggs",
        "noted-ok",       "noted-ok-frames", "stripped",         "stripped-no-hour",
        "white-few",      "white-many",      "frames-out",       "ask-open",
        "ask-undo-leans", "no-question",     "already-stripped", "why-nothing",
        "today-nothing",  "today-water",     "stopped",          "started",
        "due-look-again", "due-lift",        "due-frames",       "due-frames-again",
        "owner-frames",   "missed-frames",   "unknown-word",     "tag-unknown-none",
        "no-spawn",
    };
    for (int language = 0; language < words_count(grammar.words); language++) {
        struct found all = {0};
        for (size_t i = 0; i < sizeof contexts / sizeof *contexts; i++) {
            char context[60];
            (void)snprintf(context, sizeof context, "reply.%s", contexts[i]);
            if (words_get(grammar.words, language, context).n == 0)
                fail_msg("there is no %s", context);
            read_examples(language, context, &all);
        }
        if (all.count < 50)
            fail_msg("%s: only %d commands found", words_code(grammar.words, language), all.count);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(help_is_read),
        cmocka_unit_test(replies_are_read),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
