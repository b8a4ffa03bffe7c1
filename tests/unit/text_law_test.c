/* What must hold for every text: the order, case, accents and signs of its pieces change nothing;
 * nothing in it is dropped in silence; no bytes break the reader; and the patterns of messages.conf
 * are checked when they are loaded. */
#include "text_help.h"

static uint64_t seed = 77;

/* splitmix64 (Steele, Lea & Flood 2014). */
static uint64_t next_random(void) {
    uint64_t z = seed += 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

static size_t below(size_t n) {
    return (size_t)(next_random() % n);
}

/* A text as its kind and its slots, each a piece that may stand in any order. */
enum { SLOTS_MAX = 5 };
static const struct parted {
    char language;
    const char *kind;
    const char *slots[SLOTS_MAX]; /* NULL behind the last */
} parted[] = {
    {'e', "inject", {"f3", "1.2kg", "18:30", "t24", "yesterday"}},
    {'e', "inject", {"f3", "kilo 1.2", "1830", "24 c", "today"}},
    {'e', "inject", {"f12", "1,500g", "6.30 pm", "temp 24.5", NULL}},
    {'e', "injected", {"f3", "900 grams", "at 18.30", "24", NULL}},
    {'e', "plan", {"f3", "6am", "t28", "tomorrow", NULL}},
    {'e', "plan", {"f3", "0630", "28", NULL, NULL}},
    {'e', "temp", {"f3", "22", "18:30", "yesterday", NULL}},
    {'e', "temp", {"p2", "1830", "22,5", NULL, NULL}},
    {'e', "temp", {"f3", "same", NULL, NULL, NULL}},
    {'e', "not yet", {"f3", "6 in the morning", NULL, NULL, NULL}},
    {'e', "no eggs", {"f3", "now", NULL, NULL, NULL}},
    {'e', "strip", {"f3", "150g", "0720", "today", NULL}},
    {'e', "strip", {"f3", "150", "at 7:20", "yesterday", NULL}},
    {'e', "white", {"f3", "30 of 100", "1830", "today", NULL}},
    {'e', "white", {"f3", "30", "of 100", "18h30", NULL}},
    {'e', "white", {"f3", "30/100", "6pm", NULL, NULL}},
    {'e', "frames", {"f3", "1830", "yesterday", NULL, NULL}},
    {'s', "dunga sindano", {"f3", "kilo 1.2", "saa 12:30 jioni", "nyuzi 24", "leo"}},
    {'s', "kamua", {"f3", "gramu 150", "saa 1 asubuhi", "leo", NULL}},
    {'s', "mayai meupe", {"f3", "30 kati ya 100", "11.30 jioni", NULL, NULL}},
    {'s', "bado", {"f3", "saa 9 alfajiri", NULL, NULL, NULL}},
    {'e', "inject", {"f3", "1.2kg", "m1", "b2", "dried"}},
    {'e', "strip", {"f3", "260 g", "m1", "on plants", "b2"}},
    {'e', "brood", {"f3", "1,2kg", "p2", "14 months", "new"}},
    {'e', "dose", {"f3", "0.5ml/kg", "1.2 kg", NULL, NULL}},
    {'e', "dose", {"0,5 ml per kg", "f3", NULL, NULL, NULL}},
    {'e', "dead", {"p4", "30", "0630", "yesterday", NULL}},
    {'e', "dead", {"f3", "1830", "6pm", NULL, NULL}},
    {'e', "fertile", {"f3", "80%", "18:30", NULL, NULL}},
    {'e', "hatched", {"f3", "45 000", "6 pm", "yesterday", NULL}},
    {'e', "hatch", {"f3", "62,5 %", "today", NULL, NULL}},
    {'e', "grade", {"p4", "1,200", "06:30", NULL, NULL}},
    {'e', "tank", {"b2", "500 litres", "f3", "yesterday", NULL}},
    {'e', "tank", {"b2", "2 x 1 x 0.5 m", "f3", NULL, NULL}},
    {'e', "pond", {"p4", "4 ares", "depth 0.8m", "ph 5.5", "loam"}},
    {'e', "pond", {"p4", "20x20m", "80 cm deep", "no fence", "clay"}},
    {'e', "prep", {"p4", "14 march 2027", "quicklime", "ph 8.4", NULL}},
    {'e', "prep", {"p4", "14/3", "limed", "0630", NULL}},
    {'e', "stock", {"p4", "12,000 fry", "0.1g", "today", NULL}},
    {'e', "stock", {"p4", "from f3", "9000", "0630", NULL}},
    {'e', "harvest", {"p4", "6.4 kg", "50 fish", "all"}},
    {'e', "move", {"f3", "p4", "9000", "0.1 g", "yesterday"}},
    {'e', "sold", {"p4", "1000", "50kg", "yesterday", "18:30"}},
    {'e', "power off", {"18:30", "yesterday", NULL, NULL, NULL}},
    {'s', "mzazi", {"f3", "kilo 1.2", "p2", "miezi 14", "mpya"}},
    {'s', "bwawa", {"p4", "ari 4", "kina 0.8m", "ph 5,5", "uzio"}},
    {'s', "tangi", {"b2", "lita 500", "f3", "jana", NULL}},
    {'s', "wamekufa", {"p4", "30", "saa 2 usiku", "jana", NULL}},
    {'s', "totoa", {"f3", "asilimia 60", "leo", NULL, NULL}},
    {'s', "vuna", {"p4", "samaki 50 gramu 110", "kilo 6.4", "wote", NULL}},
    {'s', "pandikiza", {"p4", "kutoka f3", "9000", "gramu 0.1", NULL}},
    {'s', "andaa", {"p4", "14 machi", "chokaa kali", NULL, NULL}},
    {'e', "harvest", {"p2", "60 fish", "40kg", "big ones", "0630"}},
    {'e', "pond", {"p4", "20m across", "1.2m deep", "aerated", "clay"}},
    {'e', "tank", {"b2", "7.5m across", "2m deep", "f3", NULL}},
    {'e', "sample", {"p2", "10 fish", "2.5kg", "32 cm", "yesterday"}},
    {'e', "growth", {"p2", "300 g", "14 march", NULL, NULL}},
    {'e', "stolen", {"p2", "200", "yesterday", "0630", NULL}},
    {'e', "food left", {"p4", "today", "6 pm", NULL, NULL}},
    {'e', "water", {"p2", "t26", "do 3.2", "ph 7.8", "no2 0.1"}},
    {'e', "water", {"b2", "tan0.5", "secchi 22 cm", "26.5", "18:30"}},
    {'e', "temp", {"p2", "26", "0630", "today", NULL}},
    {'e', "gasp", {"p2", "now", NULL, NULL, NULL}},
    {'e', "treated", {"p2", "1830", "today", NULL, NULL}},
    {'e', "catch", {"14/3", "p2", NULL, NULL, NULL}},
    {'s', "maji", {"p2", "oksijeni 3.2", "amonia 0.5", "joto 26", "saa 12 asubuhi"}},
    {'s', "sampuli", {"p2", "samaki 30", "kilo 1.95", "jana", NULL}},
    {'s', "wizi", {"p2", "200", "jana", NULL, NULL}},
    {'e', "order", {"5000", "2g", "14 march", NULL, NULL}},
    {'e', "season", {"2000", "a month", "may-september", "2g", NULL}},
    {'e', "price", {"fish", "9000 a kg", NULL, NULL, NULL}},
    {'e', "sold", {"p4", "3000", "ugx 450000", "yesterday", "18:30"}},
    {'e', "sold", {"p4", "1,200", "ugx 150 each", "50 kg", NULL}},
    {'s', "oda", {"5000", "gramu 2", "14 machi", NULL, NULL}},
    {'s', "nimeuza", {"p4", "3000", "shilingi 450000", "jana", NULL}},
    {'s', "bwawa", {"p4", "kipenyo mita 20", "kina 1.2m", "kipulizi", NULL}},
};
enum { PARTED = sizeof parted / sizeof *parted };

static int slot_count(const struct parted *p) {
    int n = 0;
    while (n < SLOTS_MAX && p->slots[n])
        n++;
    return n;
}

static void put_parted(const struct parted *p, const int *order, int count, const char *gap,
                       struct buf *out) {
    buf_clear(out);
    buf_puts(out, p->kind);
    for (int i = 0; i < count; i++) {
        buf_puts(out, gap);
        buf_puts(out, p->slots[order[i]]);
    }
}

/* The next order in the dictionary's sense; false after the last. */
static bool next_order(int *order, int n) {
    int i = n - 2, j = n - 1;
    while (i >= 0 && order[i] > order[i + 1])
        i--;
    if (i < 0)
        return false;
    while (order[j] < order[i])
        j--;
    int swap = order[i];
    order[i] = order[j];
    order[j] = swap;
    for (int a = i + 1, b = n - 1; a < b; a++, b--) {
        swap = order[a];
        order[a] = order[b];
        order[b] = swap;
    }
    return true;
}

static void order_of_slots_is_free(void **state) {
    (void)state;
    struct buf text = buf_make(400);
    for (int p = 0; p < PARTED; p++) {
        int order[SLOTS_MAX] = {0, 1, 2, 3, 4}, n = slot_count(&parted[p]);
        put_parted(&parted[p], order, n, " ", &text);
        struct read_text want = read_text(parted[p].language, buf_str(&text));
        if (want.result.reading != TEXT_REQUEST)
            fail_msg("\"%s\": got %s, \"%s\", wanted a request", buf_str(&text),
                     reading_names[want.result.reading], want.result.token);
        do {
            put_parted(&parted[p], order, n, " ", &text);
            struct read_text got = read_text(parted[p].language, buf_str(&text));
            if (got.result.reading != TEXT_REQUEST || strcmp(got.line, want.line) != 0)
                fail_msg("\"%s\": got %s \"%s\", wanted \"%s\"", buf_str(&text),
                         reading_names[got.result.reading], got.line, want.line);
        } while (next_order(order, n));
    }
    buf_free(&text);
}

/* Two tags of one letter keep their order: the first is who it is about, the pond they leave.
 * "From" says it whatever the order. A name behind "from" ends before the next value. */
static void what_keeps_its_order(void **state) {
    (void)state;
    static const char *const same[][2] = {
        {"fix f3 140 g 07:20", "fix 07:20 140g f3"}, /* takes a share, too */
        {"move p4 p5 1000", "move 1000 p4 p5"},
        {"move p4 p5 1000", "move from p4 to p5 1000"},
        {"move p4 p5 1000", "move to p5 from p4 1000"},
        {"move p4 p5 1000", "move 1000 to p5 from p4"},
        {"strip f3 f4 m1 m2 260g", "strip 260g m1 f3 f4 m2"},
        {"brood f3 1.2kg from lake farm", "brood from lake farm f3 1.2kg"},
        {"merge p3 p2", "merge to p2 from p3"},
        {"split p2 p3 2000", "split 2000 to p3 from p2"},
        {"order 5000 2g 14 march for mary", "order for mary 14 march 2g 5000"},
        {"cost 5000 p2 lime", "cost lime p2 5000"},
        {"paid mary 500", "mary paid 500"},
        {"season 500 may-june", "season may to june 500"},
        {"brood f3 p2 8 weeks from lake farm", "brood f3 from lake farm p2 8 weeks"},
    };
    static const char *const other[][2] = {
        {"move p4 p5 1000", "move p5 p4 1000"},
        {"wait f3 f4", "wait f4 f3"},
        {"merge p3 p2", "merge p2 p3"},
        {"sample p2 12 15 11", "sample p2 15 12 11"},
        {"table 10g 5% 50g 3%", "table 50g 3% 10g 5%"},
        {"fix f3 f4", "fix f4 f3"},
        {"brood f3 from lake farm", "brood f3 from farm lake"},
        {"season 500 may-june", "season 500 june-may"},
        {"paid mary wanjiku 500", "paid wanjiku mary 500"},
    };
    for (size_t i = 0; i < sizeof same / sizeof *same + sizeof other / sizeof *other; i++) {
        bool alike = i < sizeof same / sizeof *same;
        const char *const *pair = alike ? same[i] : other[i - sizeof same / sizeof *same];
        struct read_text a = read_text('e', pair[0]), b = read_text('e', pair[1]);
        if (a.result.reading != TEXT_REQUEST || b.result.reading != TEXT_REQUEST ||
            (strcmp(a.line, b.line) == 0) != alike)
            fail_msg("\"%s\" is \"%s\" and \"%s\" is \"%s\", wanted %s", pair[0], a.line, pair[1],
                     b.line, alike ? "the same" : "different ones");
    }
}

/* In one language no phrase means two kinds. */
static void no_phrase_is_two_kinds(void **state) {
    (void)state;
    struct buf clashes = buf_make(20000);
    words_clashes(grammar.words, &clashes);
    struct slice rest = buf_slice(&clashes), line, word, list, one;
    while (slice_cut(rest, '\n', &line, &rest)) {
        bool more = slice_cut(line, ':', &word, &list);
        int kinds[2] = {0}; /* of English, of Kiswahili */
        while (more) {
            more = slice_cut(list, ',', &one, &list);
            one = slice_trim(one);
            bool english = slice_starts(one, SLICE("en word.")),
                 sw = slice_starts(one, SLICE("sw word."));
            kinds[0] += english;
            kinds[1] += sw;
        }
        if (kinds[0] > 1 || kinds[1] > 1)
            fail_msg("two kinds: %.*s", SLICE_ARG(line));
    }
    assert_int_equal(buf_err(&clashes), ERR_OK);
    buf_free(&clashes);
    /* A word that is a kind and a choice is the choice behind a kind that lists it. */
    assert_string_equal(read_text('e', "strip f3 150g frames").line,
                        "strip tag=f3 weight_mg=150000 choices=frames");
    assert_string_equal(read_text('e', "frames f3").line, "frames tag=f3");
    assert_string_equal(read_text('s', "kamua f3 150g fremu").line,
                        "strip tag=f3 weight_mg=150000 choices=frames");
    /* "dry" is a gland behind inject and a pond's step behind prep. */
    assert_string_equal(read_text('e', "inject f3 1kg dry").line,
                        "inject tag=f3 weight_mg=1000000 choices=dried");
    assert_string_equal(read_text('e', "prep p4 dried").line, "prep pond=p4 choices=dry");
}

static void change_case(const char *from, char *to, bool upper) {
    for (; *from; from++, to++)
        *to = upper && *from >= 'a' && *from <= 'z' ? (char)(*from - 32) : *from;
    *to = '\0';
}

static void spelling_is_folded(void **state) {
    (void)state;
    /* Between the pieces: spaces of every kind, signs, line ends, a zero width space. */
    static const char *const gaps[] = {"  ",     "\u00a0",       "\u202f", ", ",  " , ",
                                       " \r\n ", "\u2009\u200b", " - ",    " ; ", "\t",
                                       ". ",     " \U0001f41f ", ": ",     " \"", "\u3000"};
    static const char *const around[][2] = {
        {"", "."},           {" ", " !"},     {"\ufeff", "..."}, {"\u201c", "\u201d"}, {"'", "'"},
        {"hello sir, ", ""}, {"", " please"}, {"", "\n"},        {"\"", "\""}};
    struct buf text = buf_make(400), dressed = buf_make(400);
    char upper[400];
    for (int p = 0; p < PARTED; p++) {
        const int order[SLOTS_MAX] = {0, 1, 2, 3, 4};
        int n = slot_count(&parted[p]);
        put_parted(&parted[p], order, n, " ", &text);
        struct read_text want = read_text(parted[p].language, buf_str(&text));
        for (size_t g = 0; g < sizeof gaps / sizeof *gaps; g++) {
            for (size_t a = 0; a < sizeof around / sizeof *around; a++) {
                put_parted(&parted[p], order, n, gaps[g], &text);
                change_case(buf_str(&text), upper, (a & 1) != 0);
                buf_clear(&dressed);
                buf_puts(&dressed, around[a][0]);
                buf_puts(&dressed, upper);
                buf_puts(&dressed, around[a][1]);
                struct read_text got = read_text(parted[p].language, buf_str(&dressed));
                if (got.result.reading != TEXT_REQUEST || strcmp(got.line, want.line) != 0)
                    fail_msg("\"%s\": got %s \"%s\" [%s], wanted \"%s\"", buf_str(&dressed),
                             reading_names[got.result.reading], got.line, got.result.token,
                             want.line);
            }
        }
    }
    buf_free(&text);
    buf_free(&dressed);
    struct read_text full = read_text('e', "\uff33trip \uff46\uff13 \uff11\uff15\uff10g");
    assert_string_equal(full.line, "strip tag=f3 weight_mg=150000"); /* full-width forms */
    struct read_text accents = read_text('e', "str\u00edp f3 150g");
    assert_string_equal(accents.line, "strip tag=f3 weight_mg=150000");
}

/* Anything that is no slot of the kind, put anywhere, keeps the text from being a request. */
static void nothing_is_dropped_in_silence(void **state) {
    (void)state;
    static const char *const junk[] = {"zzqx",    "31%",   "2nakumis",     "10*20",        "x5",
                                       "12-13",   "@home", "5kgs7x",       "\u043a\u0433", "99:99",
                                       "1.2.3.4", "f3f4",  "777777777777", "%%",           "=5y"};
    struct buf text = buf_make(400);
    for (int p = 0; p < PARTED; p++) {
        int n = slot_count(&parted[p]);
        for (size_t j = 0; j < sizeof junk / sizeof *junk; j++) {
            for (int at = 0; at <= n; at++) {
                buf_clear(&text);
                buf_puts(&text, parted[p].kind);
                for (int i = 0; i <= n; i++) {
                    if (i == at)
                        buf_putf(&text, " %s", junk[j]);
                    if (i < n)
                        buf_putf(&text, " %s", parted[p].slots[i]);
                }
                struct read_text got = read_text(parted[p].language, buf_str(&text));
                if (got.result.reading != TEXT_DOUBT || got.result.token[0] == '\0')
                    fail_msg("\"%s\": got %s \"%s\", wanted a doubt", buf_str(&text),
                             reading_names[got.result.reading], got.line);
            }
        }
    }
    buf_free(&text);
}

/* The word that each catalogue shows for a kind is read as that kind, also misused capitals. */
static void shown_words_are_read(void **state) {
    (void)state;
    for (int language = 0; language < words_count(grammar.words); language++) {
        for (int kind = 1; kind < REQUEST_KIND_COUNT; kind++) {
            struct slice word = words_kind_word(grammar.words, kind, language);
            struct read_text got = read_slice(language == grammar.sw ? 's' : 'e', word);
            if (got.result.reading != TEXT_REQUEST || (int)got.result.request.kind != kind ||
                got.result.language != language)
                fail_msg("%s \"%.*s\": got %s \"%s\", wanted %s",
                         words_code(grammar.words, language), SLICE_ARG(word),
                         reading_names[got.result.reading], got.line,
                         request_kind_name((enum request_kind)kind));
        }
    }
}

static bool safe_to_echo(const char *token) {
    struct slice rest = slice_of(token);
    uint32_t codepoint;
    int count = 0;
    for (; rest.n > 0; count++) {
        if (slice_codepoint(&rest, &codepoint) != ERR_OK)
            return false;
        bool plain = (codepoint >= 'a' && codepoint <= 'z') ||
                     (codepoint >= '0' && codepoint <= '9') || codepoint >= 0xc0 ||
                     (codepoint < 0x80 && slice_has(SLICE(" .,:/+-%*#="), (char)codepoint));
        if (!plain)
            return false;
    }
    return count <= TEXT_TOKEN_MAX;
}

static void check_any(struct slice text) {
    char language = below(2) ? 'e' : 's';
    struct read_text got = read_slice(language, text);
    struct request again;
    if (!safe_to_echo(got.result.token))
        fail_msg("\"%.*s\": the token \"%s\" is not safe", SLICE_ARG(text), got.result.token);
    bool told = got.result.reading == TEXT_UNKNOWN || got.result.reading == TEXT_DOUBT;
    if (!told && got.result.token[0] != '\0')
        fail_msg("\"%.*s\": %s with a token", SLICE_ARG(text), reading_names[got.result.reading]);
    if ((got.result.reading == TEXT_DOUBT) != (got.result.doubt != TEXT_DOUBT_NONE))
        fail_msg("\"%.*s\": %s with doubt %s", SLICE_ARG(text), reading_names[got.result.reading],
                 doubt_names[got.result.doubt]);
    if ((got.result.reading == TEXT_REQUEST) != (got.result.request.kind != REQUEST_NONE) &&
        got.result.reading != TEXT_DOUBT)
        fail_msg("\"%.*s\": %s, \"%s\"", SLICE_ARG(text), reading_names[got.result.reading],
                 got.line);
    if (request_read(slice_of(got.line), &again) != ERR_OK)
        fail_msg("\"%.*s\": the line \"%s\" is not read back", SLICE_ARG(text), got.line);
}

static void any_bytes_are_read(void **state) {
    (void)state;
    static const char *const bits[] = {
        "inject", "strip",  "temp",       "white",  "help",
        "stop",   "yes",    "kamua",      "joto",   "f3",
        "b2",     "1.2kg",  "150g",       "t24",    "24c",
        "now",    "of",     "100",        "1830",   "0630",
        "saa",    "12:30",  "jioni",      "am",     "1,500",
        "same",   "kilo",   "h",          ":",      "-",
        "/",      "%",      "\u00b0",     "at",     "in",
        "the",    "-5",     "zzqx",       "30/100", "9999999999999999999999999",
        "\xff",   "\u0663", "\U0001f41f", ".",      ",",
        "'",      "k",      "x2",         "p4",     "m1",
        "from",   "lake",   "farm",       "brood",  "move",
        "pond",   "stock",  "harvest",    "prep",   "14",
        "march",  "th",     "20x20m",     "2x1x",   "0.5ml",
        "per kg", "ares",   "litres",     "months", "ph 7",
        "depth",  "worker", "+4477",      "900123", "join",
        "feet",   "all",    "loam",       "kutoka", "gramu",
        "14/3",   "2027",   "45 000",     "paces",  "%\u00e9",
        "order",  "cost",   "paid",       "price",  "season",
        "sold",   "bought", "for",        "mary",   "ugx",
        "sh",     "20k",    "450000/=",   "each",   "a kg",
        "may",    "off",    "owes",       "-",      "elfu",
        "bags",   "more"};
    char text[TEXT_BYTES_MAX + 40];
    for (int i = 0; i < 20000; i++) {
        size_t n = 0, pieces = below(12);
        for (size_t k = 0; k < pieces; k++) {
            const char *bit = bits[below(sizeof bits / sizeof *bits)];
            memcpy(text + n, bit, strlen(bit));
            n += strlen(bit);
            if (below(4))
                text[n++] = ' ';
        }
        check_any((struct slice){text, n});
    }
    for (int i = 0; i < 5000; i++) {
        size_t n = below(TEXT_BYTES_MAX + 20);
        for (size_t k = 0; k < n; k++)
            text[k] = i & 1 ? (char)(' ' + below(95)) : (char)below(256);
        check_any((struct slice){text, n});
    }
}

/* -- loading ----------------------------------------------------------------------------------- */

/* The forms with one pattern replaced (NULL: left out), or one of another name added. */
static const struct tree *forms_with(struct arena *arena, const char *name, const char *pattern) {
    struct tree *root = ARENA_NEW(arena, struct tree), *group = ARENA_NEW(arena, struct tree);
    const struct tree *tokens = tree_get(grammar.forms, "tokens"), **next = &group->child;
    bool found = false;
    *group = *tokens;
    group->next = NULL;
    group->count = 0;
    *root = *grammar.forms;
    for (const struct tree *t = tokens->child; t || !found; t = t ? t->next : NULL) {
        struct tree *copy = ARENA_NEW(arena, struct tree);
        *copy = t ? *t : *tokens->child;
        bool replace = t ? strcmp(t->name, name) == 0 : true;
        if (!t && !pattern)
            break;
        if (replace) {
            found = true;
            if (!pattern)
                continue;
            copy->name = name;
            copy->string = slice_of(pattern);
        }
        copy->next = NULL;
        *next = copy;
        next = &copy->next;
        group->count++;
        if (!t)
            break;
    }
    root->child = group; /* only the tokens are read from it */
    return root;
}

static void wrong_patterns_are_told(void **state) {
    (void)state;
    static const struct {
        const char *name, *pattern; /* NULL: missing */
        const char *want;           /* part of the fault; NULL: none */
    } table[] = {
        {"tag", "(?<letter>[fmbp])(?<number>[0-9]{1,4})", NULL},
        {"tag", NULL, "tag"},
        {"tag", "(?<letter>[fm", "pattern \"tag\""},
        {"number", "(?<number>[0-9]+", "pattern \"number\""},
        {"tga", "f[0-9]", "tga"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct arena arena = arena_make(1024 * 1024);
        struct faults faults = faults_make();
        const struct tree *forms = forms_with(&arena, table[i].name, table[i].pattern);
        struct text_reader *r = text_reader_make(&arena, grammar.words, forms, &faults);
        const char *text = buf_str(&faults.text);
        bool told = faults.count > 0;
        if (told != (table[i].want != NULL) || (told && !strstr(text, table[i].want)) ||
            (told && !strstr(text, "messages.conf:")))
            fail_msg("%s = %s: got \"%s\", wanted \"%s\"", table[i].name,
                     table[i].pattern ? table[i].pattern : "nothing", text,
                     table[i].want ? table[i].want : "no fault");
        assert_true(told || r != NULL);
        text_reader_free(r);
        faults_free(&faults);
        arena_free(&arena);
    }
}

/* A pattern that could run away is stopped, and what it would have read is told instead. */
static void a_runaway_pattern_is_stopped(void **state) {
    (void)state;
    struct arena arena = arena_make(1024 * 1024);
    struct faults faults = faults_make();
    const struct tree *forms = forms_with(&arena, "word", "(?:\\p{L}+)+(?=!!!)|\\p{L}+");
    struct text_reader *r = text_reader_make(&arena, grammar.words, forms, &faults);
    struct text_result result;
    assert_non_null(r);
    char text[200];
    memset(text, 'a', sizeof text);
    assert_int_equal(text_read(r, grammar.en, (struct slice){text, sizeof text}, &arena, &result),
                     ERR_OK);
    assert_int_equal(result.reading, TEXT_UNKNOWN);
    text_reader_free(r);
    faults_free(&faults);
    arena_free(&arena);
}

static void a_full_arena_is_an_error(void **state) {
    (void)state;
    struct arena arena = arena_make(16);
    struct text_result result;
    assert_int_equal(
        text_read(reader, grammar.en, SLICE("strip f3 150g and a good deal more"), &arena, &result),
        ERR_NOMEM);
    arena_free(&arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(order_of_slots_is_free),
        cmocka_unit_test(what_keeps_its_order),
        cmocka_unit_test(no_phrase_is_two_kinds),
        cmocka_unit_test(spelling_is_folded),
        cmocka_unit_test(nothing_is_dropped_in_silence),
        cmocka_unit_test(shown_words_are_read),
        cmocka_unit_test(any_bytes_are_read),
        cmocka_unit_test(wrong_patterns_are_told),
        cmocka_unit_test(a_runaway_pattern_is_stopped),
        cmocka_unit_test(a_full_arena_is_an_error),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
