/* scan: see scan.h. In: the patterns of messages.conf, folded text. Out: pieces. Errors: a pattern
 * that is missing or does not compile, told as file:line in the faults, is the fault of whoever
 * wrote the file; at reading time there are none: where the match limit is reached or nothing
 * matches, the rest is a piece of TOKEN_OTHER, which nobody understands and so is told.
 *
 * All patterns are one alternation, each in a group of its own name, anchored at the place and
 * compiled to machine code (about six times as fast as interpreted on a 37-byte text; where the
 * system forbids fresh machine code it runs interpreted, with the same result). What is inside a
 * match is named, too: letter, number, hour, minute, count, of; the names may stand in several
 * patterns. Limits: MATCH_LIMIT steps a piece, so a text costs at most its length times that. */
#define PCRE2_CODE_UNIT_WIDTH 8
#include "text/scan.h"

#include <pcre2.h>
#include <string.h>

enum { MATCH_LIMIT = 2000, PATTERN_MAX = 8000, NAMES_MAX = 32, GROUPS_MAX = 64 };

static const char *const token_names[TOKEN_KINDS] = {
    [TOKEN_GAP] = "gap",         [TOKEN_TAG] = "tag",       [TOKEN_WATER] = "water",
    [TOKEN_PH] = "ph",           [TOKEN_DIMS] = "dims",     [TOKEN_DATE] = "date",
    [TOKEN_CLOCK] = "clock",     [TOKEN_HOURS] = "hours",   [TOKEN_SHARE] = "share",
    [TOKEN_PERCENT] = "percent", [TOKEN_NUMBER] = "number", [TOKEN_WORD] = "word",
    [TOKEN_OTHER] = "other",
};

/* Inside a pattern "number" would clash with the token of that name: groups of tokens get a
 * prefix when the alternation is put together. */
#define TOKEN_PREFIX "token_"

static const char *const part_names[TEXT_PARTS] = {
    [PART_LETTER] = "letter", [PART_NUMBER] = "number", [PART_HOUR] = "hour",
    [PART_MINUTE] = "minute", [PART_COUNT] = "count",   [PART_OF] = "of",
};

static const char *const group_names[MEAN_GROUPS] = {
    [MEAN_NOW] = "when.now",
    [MEAN_TODAY] = "when.today",
    [MEAN_YESTERDAY] = "when.yesterday",
    [MEAN_TOMORROW] = "when.tomorrow",
    [MEAN_SAME] = "slot.same",
    [MEAN_OF] = "slot.of",
    [MEAN_KG] = "unit.kg",
    [MEAN_G] = "unit.g",
    [MEAN_DEGC] = "unit.degc",
    [MEAN_MG] = "unit.mg",
    [MEAN_LITRE] = "unit.litre",
    [MEAN_M3] = "unit.m3",
    [MEAN_ARE] = "unit.are",
    [MEAN_M2] = "unit.m2",
    [MEAN_ACRE] = "unit.acre",
    [MEAN_HA] = "unit.ha",
    [MEAN_M] = "unit.m",
    [MEAN_CM] = "unit.cm",
    [MEAN_ML] = "unit.ml",
    [MEAN_DAYS] = "unit.days",
    [MEAN_WEEKS] = "unit.weeks",
    [MEAN_MONTHS] = "unit.months",
    [MEAN_YEARS] = "unit.years",
    [MEAN_PERCENT] = "unit.percent",
    [MEAN_PACE] = "unit.pace",
    [MEAN_PER_KG] = "unit.per-kg",
    [MEAN_DEPTH] = "slot.depth",
    [MEAN_DATE] = "slot.date",
    [MEAN_FROM] = "slot.from",
    [MEAN_ORIGIN] = "slot.origin",
    [MEAN_HOUR] = "clock.hour",
    [MEAN_MG_L] = "unit.mg-l",
    [MEAN_OXYGEN] = "slot.oxygen",
    [MEAN_AMMONIA] = "slot.ammonia",
    [MEAN_AMMONIUM] = "slot.ammonium",
    [MEAN_NITRITE] = "slot.nitrite",
    [MEAN_SECCHI] = "slot.secchi",
    [MEAN_ACROSS] = "slot.across",
    [MEAN_BEHIND] = "slot.behind",
    [MEAN_ROUND] = "slot.round",
    [MEAN_FEED] = "slot.feed",
    [MEAN_TAGGED] = "slot.tagged",
    [MEAN_COUNTED] = "slot.counted",
    [MEAN_FOR] = "slot.for",
    [MEAN_UNTIL] = "slot.until",
    [MEAN_NOBODY] = "slot.nobody",
    [MEAN_SKIP] = "skip",
    [MEAN_THING] = "skip.thing",
    [MEAN_EGGS] = "skip.eggs",
    [MEAN_FOOD] = "skip.food",
    [MEAN_AND_HALF] = "slot.and-half",
    [MEAN_AGO] = "slot.ago",
    [MEAN_ACCOUNT] = "slot.account",
};

/* Of these the meaning is one: MEAN_NUMBER. */
static const struct {
    const char *group;
    int micro;
} numbers[NUMBERS_IN_WORDS] = {{"slot.half", 500000},
                               {"slot.quarter", 250000},
                               {"slot.one", 1000000},
                               {"slot.two", 2000000},
                               {"slot.three", 3000000}};

/* And of these: MEAN_PART. */
static const char *const parts[DAY_PARTS] = {
    [DAY_PART_AM] = "clock.am",     [DAY_PART_PM] = "clock.pm",
    [DAY_PART_DAWN] = "part.dawn",  [DAY_PART_MORNING] = "part.morning",
    [DAY_PART_NOON] = "part.noon",  [DAY_PART_EVENING] = "part.evening",
    [DAY_PART_NIGHT] = "part.night"};

struct text_compiled {
    pcre2_code *code;
    pcre2_match_data *data;
    pcre2_match_context *context;
    int token_group[TOKEN_KINDS]; /* capture number of each token's own group */
    int group_part[GROUPS_MAX];   /* capture number -> part, -1 if none */
    int group_count;
};

/* PCRE2's memory comes from the arena and goes with it. */
static void *take(PCRE2_SIZE size, void *arena) {
    return arena_take(arena, 1, size);
}

static void give_back(void *p, void *arena) {
    (void)p;
    (void)arena;
}

/* -- making ------------------------------------------------------------------------------------ */

static bool compiles_alone(const struct tree *t, struct faults *faults) {
    int error = 0;
    PCRE2_SIZE at = 0;
    pcre2_code *code =
        pcre2_compile((PCRE2_SPTR)t->string.p, t->string.n,
                      PCRE2_UTF | PCRE2_ANCHORED | PCRE2_DUPNAMES, &error, &at, NULL);
    if (code == NULL) {
        PCRE2_UCHAR what[128];
        (void)pcre2_get_error_message(error, what, sizeof what);
        faults_add(faults, t->file, t->line, "pattern \"%s\", at character %d: %s", t->name,
                   (int)at + 1, (const char *)what);
        return false;
    }
    pcre2_code_free(code);
    return true;
}

/* (?<token_tag>...)|(?<token_water>...)|... */
static bool alternation(const struct tree *forms, struct buf *out, struct faults *faults) {
    const struct tree *tokens = tree_group(forms, "tokens", TREE_REQUIRED, faults);
    struct slice pattern;
    bool good = tokens != NULL;
    if (!good)
        return false;
    tree_only(tokens, token_names, TOKEN_KINDS, faults);
    for (int i = 0; i < TOKEN_KINDS; i++) {
        if (!tree_string(tokens, token_names[i], TREE_REQUIRED, &pattern, faults) ||
            !compiles_alone(tree_get(tokens, token_names[i]), faults)) {
            good = false;
            continue;
        }
        buf_puts(out, i == 0 ? "(?<" TOKEN_PREFIX : "|(?<" TOKEN_PREFIX);
        buf_puts(out, token_names[i]);
        buf_putc(out, '>');
        buf_put(out, pattern);
        buf_putc(out, ')');
    }
    if (good && buf_err(out) != ERR_OK) {
        faults_add(faults, tokens->file, tokens->line, "the patterns are longer than %d bytes",
                   PATTERN_MAX);
        good = false;
    }
    return good;
}

/* Which capture is which token or part, from the pattern's table of names: each entry is two bytes
 * of number, high first, then the name, zero-ended. */
static bool map_names(struct text_compiled *c) {
    uint32_t count = 0, size = 0;
    PCRE2_SPTR table = NULL;
    (void)pcre2_pattern_info(c->code, PCRE2_INFO_NAMECOUNT, &count);
    (void)pcre2_pattern_info(c->code, PCRE2_INFO_NAMEENTRYSIZE, &size);
    (void)pcre2_pattern_info(c->code, PCRE2_INFO_NAMETABLE, &table);
    for (int g = 0; g < GROUPS_MAX; g++)
        c->group_part[g] = -1;
    for (uint32_t i = 0; i < count; i++, table += size) {
        int group = table[0] << 8 | table[1];
        const char *name = (const char *)table + 2;
        if (group >= GROUPS_MAX)
            return false;
        for (int t = 0; t < TOKEN_KINDS; t++) {
            if (strncmp(name, TOKEN_PREFIX, sizeof TOKEN_PREFIX - 1) == 0 &&
                strcmp(name + sizeof TOKEN_PREFIX - 1, token_names[t]) == 0)
                c->token_group[t] = group;
        }
        for (int p = 0; p < TEXT_PARTS; p++) {
            if (strcmp(name, part_names[p]) == 0)
                c->group_part[group] = p;
        }
    }
    uint32_t captures = 0;
    (void)pcre2_pattern_info(c->code, PCRE2_INFO_CAPTURECOUNT, &captures);
    c->group_count = (int)captures + 1;
    return c->group_count <= GROUPS_MAX;
}

static struct text_compiled *compile(struct slice pattern, struct arena *arena) {
    int error = 0;
    PCRE2_SIZE at = 0;
    struct text_compiled *c = ARENA_NEW(arena, struct text_compiled);
    pcre2_general_context *memory = pcre2_general_context_create(take, give_back, arena);
    if (c == NULL || memory == NULL)
        return NULL;
    pcre2_compile_context *how = pcre2_compile_context_create(memory);
    if (how == NULL)
        return NULL;
    c->code = pcre2_compile((PCRE2_SPTR)pattern.p, pattern.n,
                            PCRE2_UTF | PCRE2_ANCHORED | PCRE2_DUPNAMES, &error, &at, how);
    if (c->code == NULL)
        return NULL;
    (void)pcre2_jit_compile(c->code, PCRE2_JIT_COMPLETE);
    c->data = pcre2_match_data_create_from_pattern(c->code, memory);
    c->context = pcre2_match_context_create(memory);
    if (c->data == NULL || c->context == NULL || !map_names(c)) {
        pcre2_code_free(c->code);
        return NULL;
    }
    (void)pcre2_set_match_limit(c->context, MATCH_LIMIT);
    return c;
}

bool text_scan_make(struct text_scanner *out, struct arena *arena, const struct words *words,
                    const struct tree *forms, struct faults *faults) {
    struct buf pattern = buf_make_in(arena, PATTERN_MAX);
    out->words = words;
    for (int m = 0; m < MEAN_GROUPS; m++)
        out->groups[m] = words_group_find(words, group_names[m]);
    for (int n = 0; n < NUMBERS_IN_WORDS; n++)
        out->numbers[n] = words_group_find(words, numbers[n].group);
    for (int p = DAY_PART_AM; p < DAY_PARTS; p++)
        out->parts[p] = words_group_find(words, parts[p]);
    if (!alternation(forms, &pattern, faults))
        return false;
    out->compiled = compile(buf_slice(&pattern), arena);
    if (out->compiled == NULL)
        faults_add(faults, forms->file, forms->line,
                   "the patterns of \"tokens\" do not compile together, or memory is used up");
    return out->compiled != NULL;
}

void text_scan_free(struct text_scanner *scanner) {
    if (scanner->compiled != NULL) {
        pcre2_match_data_free(scanner->compiled->data);
        pcre2_code_free(scanner->compiled->code);
        scanner->compiled = NULL;
    }
}

/* -- scanning ---------------------------------------------------------------------------------- */

struct text_piece text_scan_piece(struct text_scanner *scanner, struct slice folded, size_t at) {
    struct text_compiled *c = scanner->compiled;
    struct text_piece piece = {.token = TOKEN_END, .at = at, .end = at};
    if (at >= folded.n)
        return piece;
    int got = pcre2_match(c->code, (PCRE2_SPTR)folded.p, folded.n, at, PCRE2_NO_UTF_CHECK, c->data,
                          c->context);
    const PCRE2_SIZE *spans = pcre2_get_ovector_pointer(c->data);
    piece.token = TOKEN_OTHER;
    if (got <= 0 || spans[1] <= at) {
        piece.end = folded.n;
        return piece;
    }
    piece.end = spans[1];
    int count = got < c->group_count ? got : c->group_count;
    for (int t = 0; t < TOKEN_KINDS; t++) {
        if (c->token_group[t] < count && spans[2 * c->token_group[t]] != PCRE2_UNSET)
            piece.token = (enum text_token)t;
    }
    for (int g = 1; g < count; g++) {
        if (c->group_part[g] >= 0 && spans[2 * g] != PCRE2_UNSET)
            piece.part[c->group_part[g]] =
                (struct slice){folded.p + spans[2 * g], spans[2 * g + 1] - spans[2 * g]};
    }
    return piece;
}

struct text_piece text_scan_next(struct text_scanner *scanner, struct slice folded, size_t at) {
    struct text_piece piece;
    do {
        piece = text_scan_piece(scanner, folded, at);
        at = piece.end;
    } while (piece.token == TOKEN_GAP);
    return piece;
}

enum text_day_part text_scan_part(const struct text_scanner *scanner, int group) {
    for (int p = DAY_PART_AM; p < DAY_PARTS; p++) {
        if (scanner->parts[p] == group)
            return (enum text_day_part)p;
    }
    return DAY_PART_NONE;
}

static enum text_meaning meaning_of(const struct text_scanner *scanner, int group) {
    if (words_group_kind(scanner->words, group) > 0)
        return MEAN_KIND;
    if (words_group_language(scanner->words, group) >= 0)
        return MEAN_LANGUAGE;
    if (words_group_choice(scanner->words, group) >= 0)
        return MEAN_CHOICE;
    if (words_group_month(scanner->words, group) > 0)
        return MEAN_MONTH;
    if (slice_starts(slice_of(words_group_name(scanner->words, group)), SLICE("money.")))
        return MEAN_CURRENCY;
    if (slice_starts(slice_of(words_group_name(scanner->words, group)), SLICE("times.")))
        return MEAN_TIMES;
    for (int m = 0; m < MEAN_GROUPS; m++) {
        if (scanner->groups[m] == group)
            return (enum text_meaning)m;
    }
    for (int n = 0; n < NUMBERS_IN_WORDS; n++) {
        if (scanner->numbers[n] == group)
            return MEAN_NUMBER;
    }
    return text_scan_part(scanner, group) != DAY_PART_NONE ? MEAN_PART : MEAN_NONE;
}

int64_t text_scan_number(const struct text_scanner *scanner, int group) {
    for (int n = 0; n < NUMBERS_IN_WORDS; n++) {
        if (scanner->numbers[n] == group)
            return numbers[n].micro;
    }
    return 0;
}

struct text_hits text_scan_hits(const struct text_scanner *scanner, struct slice folded,
                                size_t at) {
    struct words_hit hits[WORDS_HITS_MAX];
    struct text_hits out = {0};
    int count = words_glued(scanner->words, slice_from(folded, at), hits, WORDS_HITS_MAX);
    for (int i = 0; i < count; i++) {
        enum text_meaning meaning = meaning_of(scanner, hits[i].group);
        if (meaning != MEAN_NONE)
            out.all[out.count++] =
                (struct text_phrase){meaning, hits[i].group, hits[i].language, at + hits[i].length};
    }
    return out;
}

struct text_phrase text_scan_pick(const struct text_scanner *scanner, const struct text_hits *hits,
                                  uint64_t wanted, int first, int second) {
    struct text_phrase best = {.meaning = MEAN_NONE};
    int best_rank = 4, english = words_english(scanner->words);
    for (int i = 0; i < hits->count; i++) {
        const struct text_phrase *p = &hits->all[i];
        int language = p->language;
        int rank = language == first ? 0 : language == second ? 1 : language == english ? 2 : 3;
        if ((wanted & MEANS(p->meaning)) == 0 || p->end < best.end ||
            (p->end == best.end && rank >= best_rank))
            continue;
        best = *p;
        best_rank = rank;
    }
    return best;
}

struct slice text_scan_run(struct slice folded, size_t at) {
    struct slice rest = slice_from(folded, at);
    size_t n = 0;
    while (n < rest.n && !slice_has(SLICE(" ,;!?()\""), rest.p[n]))
        n++;
    return slice_head(rest, n > 0 ? n : 1);
}

/* -- telling ----------------------------------------------------------------------------------- */

void text_scan_echo(struct text_scanner *scanner, struct slice s, int most, char *out,
                    size_t room) {
    size_t used = 0;
    uint32_t codepoint = 0;
    for (int count = 0; count < most && s.n > 0;) {
        struct slice before = s;
        if (slice_codepoint(&s, &codepoint) != ERR_OK)
            break;
        size_t n = before.n - s.n;
        bool plain = codepoint < 0x80 &&
                     (slice_has(SLICE("abcdefghijklmnopqrstuvwxyz0123456789"), before.p[0]) ||
                      slice_has(SLICE(" .,:/+-%*#="), before.p[0]));
        bool letter = codepoint >= 0x80 &&
                      text_scan_piece(scanner, slice_head(before, n), 0).token == TOKEN_WORD;
        if (!plain && !letter)
            continue;
        if (used + n + 1 > room)
            break;
        memcpy(out + used, before.p, n);
        used += n;
        count++;
    }
    out[used] = '\0';
}
