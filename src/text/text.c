/* text: see text.h. In: a message and the person's language. Out: a result; a text that cannot be
 * read is a result, too. ERR_NOMEM when the arena is full. Two passes: the first finds the word
 * that names the kind, the second takes every other piece into a slot, or says which it could not
 * take. Plain numbers are settled last, when it is known what else the text said, so that the order
 * of the slots never matters. Limits: TEXT_BYTES_MAX; every piece is looked at a fixed number of
 * times. */
#include "text/text.h"

#include <string.h>

#include "text/feed.h"
#include "text/measure.h"
#include "text/money.h"
#include "text/name.h"
#include "text/several.h"

enum {
    FOLDED_MAX = 4 * TEXT_BYTES_MAX, /* folding spells some signs out */
    WHOLE_MAX = 120                  /* bytes of a text that can be one word for stopping */
};

/* What can stand in a text without a kind. */
#define BARE_SLOTS                                                                                 \
    (SLOT_BIT(SLOT_TAG) | SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_TIME) | SLOT_BIT(SLOT_DAY) |       \
     SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_COUNT) | SLOT_BIT(SLOT_OF) | SLOT_BIT(SLOT_SAME) |       \
     SLOT_BIT(SLOT_LANGUAGE) | SLOT_BIT(SLOT_VOLUME) | SLOT_BIT(SLOT_AREA) |                       \
     SLOT_BIT(SLOT_DEPTH) | SLOT_BIT(SLOT_PER_KG) | SLOT_BIT(SLOT_AGE) | SLOT_BIT(SLOT_DATE) |     \
     SLOT_BIT(SLOT_PH) | SLOT_BIT(SLOT_CHOICE) | SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_AMMONIA) |  \
     SLOT_BIT(SLOT_NITRITE) | SLOT_BIT(SLOT_SECCHI) | SLOT_BIT(SLOT_MONEY) |                       \
     SLOT_BIT(SLOT_MONTHS))

struct text_reader {
    const struct words *words;
    struct text_scanner scanner;
    int stop, start;       /* groups of the words */
    struct buf fold, bare; /* room of their own for text_is_stop, made once */
};

/* -- making ------------------------------------------------------------------------------------ */

/* The numbers of kinds and slots are those of messages.conf, by position: a difference would read
 * one thing as another. */
static bool numbering(const struct words *words, const struct tree *forms, struct faults *faults) {
    bool good = words_kind_count(words) == REQUEST_KIND_COUNT - 1 &&
                words_choice_count(words) == CHOICE_COUNT &&
                words_slot_count(words) >= SLOT_LANGUAGE + 1 &&
                words_slot_count(words) <= SLOT_COUNT_ALL;
    for (int k = 1; good && k < REQUEST_KIND_COUNT; k++)
        good = strcmp(words_kind_name(words, k), request_kind_name((enum request_kind)k)) == 0;
    for (int s = 0; good && s < words_slot_count(words); s++)
        good = strcmp(words_slot_name(words, s), request_slot_name((enum request_slot)s)) == 0;
    for (int i = 0; good && i < CHOICE_COUNT; i++)
        good = strcmp(words_choice_name(words, i), request_choice_name((enum choice)i)) == 0;
    const char *unknown = text_money_unknown(words);
    if (!good)
        faults_add(faults, forms->file, forms->line,
                   "kinds, choices or slots are not those of this program, in its order");
    if (unknown != NULL)
        faults_add(faults, forms->file, forms->line, "\"%s\" names no currency", unknown);
    return good && unknown == NULL;
}

/* A buffer with all its room taken at once, so that it never grows. */
static struct buf scratch(struct arena *arena, size_t bytes) {
    struct buf b = buf_make_in(arena, bytes);
    for (size_t i = 0; i < bytes; i++)
        buf_putc(&b, ' ');
    return b;
}

struct text_reader *text_reader_make(struct arena *arena, const struct words *words,
                                     const struct tree *forms, struct faults *faults) {
    struct text_reader *r = ARENA_NEW(arena, struct text_reader);
    if (r == NULL) {
        faults_add(faults, forms->file, forms->line, "no memory for reading texts");
        return NULL;
    }
    r->words = words;
    r->stop = words_group_find(words, "word.stop");
    r->start = words_group_find(words, "word.start");
    r->fold = scratch(arena, (size_t)4 * WHOLE_MAX);
    r->bare = scratch(arena, (size_t)4 * WHOLE_MAX);
    if (!numbering(words, forms, faults) ||
        !text_scan_make(&r->scanner, arena, words, forms, faults))
        return NULL;
    if (buf_err(&r->fold) != ERR_OK || buf_err(&r->bare) != ERR_OK) {
        faults_add(faults, forms->file, forms->line, "no memory for reading texts");
        text_scan_free(&r->scanner);
        return NULL;
    }
    return r;
}

void text_reader_free(struct text_reader *reader) {
    if (reader != NULL)
        text_scan_free(&reader->scanner);
}

/* -- the whole message as one word ------------------------------------------------------------- */

/* Control characters other than line ends, tabs and form feeds: not text. */
static bool binary(struct slice text) {
    for (size_t i = 0; i < text.n; i++) {
        unsigned char c = (unsigned char)text.p[i];
        if ((c < 0x20 && !(c >= '\t' && c <= '\r')) || c == 0x7f)
            return true;
    }
    return false;
}

static bool letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (unsigned char)c >= 0x80;
}

/* Letters and digits of s; a gap is one space where `sign_is_gap` or a space stood there. */
static void without_signs(struct slice s, bool sign_is_gap, struct buf *out) {
    bool gap = false;
    buf_clear(out);
    for (size_t i = 0; i < s.n; i++) {
        if (!letter_or_digit(s.p[i])) {
            gap = gap || sign_is_gap || s.p[i] == ' ';
            continue;
        }
        if (gap && out->n > 0)
            buf_putc(out, ' ');
        gap = false;
        buf_putc(out, s.p[i]);
    }
}

static bool whole_is(struct text_reader *r, int group, struct slice text) {
    if (group < 0 || text.n > WHOLE_MAX || binary(text))
        return false;
    buf_clear(&r->fold);
    if (words_fold(text, &r->fold) != ERR_OK)
        return false;
    for (int sign_is_gap = 0; sign_is_gap < 2; sign_is_gap++) {
        without_signs(buf_slice(&r->fold), sign_is_gap, &r->bare);
        if (r->bare.n > 0 && words_is(r->words, group, buf_slice(&r->bare)))
            return true;
    }
    return false;
}

bool text_is_stop(struct text_reader *reader, struct slice text) {
    return whole_is(reader, reader->stop, text);
}

bool text_is_start(struct text_reader *reader, struct slice text) {
    return whole_is(reader, reader->start, text);
}

bool text_feed_heard(const struct text_reader *reader, const char *feed) {
    return text_feed_known(&reader->scanner, slice_of(feed));
}

/* -- reading ----------------------------------------------------------------------------------- */

static bool needs_degree_mark(struct slice s) {
    return slice_has(s, '\xc2') || slice_has(s, '\xcb');
}

/* Folding drops the degree sign and the raised o that is typed for it; behind a digit they are a
 * unit, so a c takes their place unless one follows. */
static struct slice degrees_marked(struct slice text, struct arena *arena) {
    struct buf out = buf_make_in(arena, (size_t)2 * TEXT_BYTES_MAX);
    char last = ' ';
    while (text.n > 0) {
        bool mark = slice_starts(text, SLICE("\u00b0")) || slice_starts(text, SLICE("\u00ba")) ||
                    slice_starts(text, SLICE("\u02da"));
        if (mark && last >= '0' && last <= '9') {
            text = slice_from(text, 2);
            struct slice rest = slice_trim(text);
            if (rest.n == 0 || (rest.p[0] != 'c' && rest.p[0] != 'C'))
                buf_putc(&out, 'c');
            continue;
        }
        if (text.p[0] != ' ')
            last = text.p[0];
        buf_putc(&out, text.p[0]);
        text = slice_from(text, 1);
    }
    return out.e == ERR_OK ? buf_slice(&out) : (struct slice){NULL, 0};
}

/* ERR_NOT_FOUND: nothing readable. */
static enum err fold(struct slice text, struct arena *arena, struct buf *out) {
    if (text.n == 0 || binary(text) || !slice_is_utf8(text))
        return ERR_NOT_FOUND;
    if (needs_degree_mark(text)) {
        text = degrees_marked(text, arena);
        if (text.p == NULL)
            return ERR_NOMEM;
    }
    text = text_money_signs(text, arena);
    if (text.p == NULL)
        return ERR_NOMEM;
    enum err e = words_fold(text, out);
    return e == ERR_UTF8 ? ERR_NOT_FOUND : e;
}

static bool readable(struct slice folded) {
    for (size_t i = 0; i < folded.n; i++) {
        if (letter_or_digit(folded.p[i]))
            return true;
    }
    return false;
}

static struct text_phrase skip_phrase(const struct text_reading_state *r, size_t at) {
    struct text_hits hits = text_scan_hits(r->context.scanner, r->context.folded, at);
    return text_scan_pick(r->context.scanner, &hits, MEANS(MEAN_SKIP), r->context.language,
                          r->context.person);
}

/* Nothing but greetings and the like behind `at`. */
static bool rest_is_skip(const struct text_reading_state *r, size_t at) {
    for (;;) {
        struct text_piece piece = text_scan_next(r->context.scanner, r->context.folded, at);
        if (piece.token == TOKEN_END)
            return true;
        struct text_phrase p = skip_phrase(r, piece.at);
        if (p.meaning == MEAN_NONE)
            return false;
        at = p.end;
    }
}

/* A kind that only the whole message can be, its words from `at` to `end`. Beside yes, no and ok
 * greetings may stand; beside stop and start nothing may, "stop it" is about something else. */
static bool stands_whole(struct text_reading_state *r, int kind, size_t end) {
    if (kind == REQUEST_STOP)
        return whole_is(r->reader, r->reader->stop, r->context.folded);
    if (kind == REQUEST_START)
        return whole_is(r->reader, r->reader->start, r->context.folded);
    return !r->seen && rest_is_skip(r, end);
}

static bool has_tag(const struct text_reading_state *r) {
    struct text_piece piece = {0};
    do {
        piece = text_scan_next(r->context.scanner, r->context.folded, piece.end);
    } while (piece.token != TOKEN_END && piece.token != TOKEN_TAG);
    return piece.token == TOKEN_TAG;
}

/* A weight behind `at`: "tin 350g" says how much a tin holds, "tins 3" does not. */
static bool weighs(const struct text_reading_state *r, int kind, size_t at) {
    struct text_value_context c = r->context;
    c.kind = (enum request_kind)kind;
    c.slots = words_kind_slots(r->reader->words, kind);
    for (;;) {
        struct text_piece piece = text_scan_next(c.scanner, c.folded, at);
        if (piece.token == TOKEN_END)
            return false;
        struct text_value v = text_value_read(&c, piece);
        if (v.doubt == TEXT_DOUBT_NONE && request_has(&v.said, SLOT_WEIGHT))
            return true;
        at = v.end;
    }
}

static bool has_digit(struct slice folded) {
    for (size_t i = 0; i < folded.n; i++)
        if (folded.p[i] >= '0' && folded.p[i] <= '9')
            return true;
    return false;
}

/* Words that people also write about other things name a kind only with what makes them one. */
static bool stands_for(const struct text_reading_state *r, const struct text_hits *hits,
                       struct text_phrase p, int kind) {
    for (int i = 0; i < hits->count; i++) {
        if (hits->all[i].end != p.end)
            continue;
        if (hits->all[i].meaning == MEAN_TAGGED && !r->context.tagged)
            return false;
        if (hits->all[i].meaning == MEAN_COUNTED && !has_digit(r->context.folded) &&
            (r->seen || !rest_is_skip(r, p.end)))
            return false;
        if (hits->all[i].meaning == MEAN_CHOICE && kind == REQUEST_MEASURE)
            return weighs(r, kind, p.end);
    }
    return true;
}

/* Profit, income: words that ask for an account and book nothing. */
static bool asks_account(const struct text_hits *hits, struct text_phrase p) {
    for (int i = 0; i < hits->count; i++)
        if (hits->all[i].meaning == MEAN_ACCOUNT && hits->all[i].end == p.end)
            return true;
    return false;
}

/* Of a tag or alone they are COST, with a month beside them MONTH. */
static int account_kind(const struct text_reading_state *r, const struct text_hits *hits,
                        struct text_phrase p, int kind) {
    bool month = asks_account(hits, p) && !r->context.tagged && !rest_is_skip(r, p.end);
    return month ? REQUEST_MONTH : kind;
}

/* The kind whose words stand at `at`: the longest, the person's language first. One that only the
 * whole message can be is none when more follows. */
static bool kind_at(struct text_reading_state *r, size_t at) {
    struct text_value_context *c = &r->context;
    const struct text_hits all = text_scan_hits(c->scanner, c->folded, at);
    struct text_hits hits = all;
    while (hits.count > 0) {
        struct text_phrase p =
            text_scan_pick(c->scanner, &hits, MEANS(MEAN_KIND), c->person, c->person);
        if (p.meaning == MEAN_NONE)
            return false;
        int kind = words_group_kind(r->reader->words, p.group);
        if (words_kind_whole(r->reader->words, kind) ? stands_whole(r, kind, p.end)
                                                     : stands_for(r, &all, p, kind)) {
            kind = account_kind(r, &all, p, kind);
            c->kind = (enum request_kind)kind;
            c->slots = words_kind_slots(r->reader->words, kind);
            if (asks_account(&all, p))
                c->slots &= SLOT_BIT(SLOT_TAG) | SLOT_BIT(SLOT_POND) | SLOT_BIT(SLOT_MONTHS);
            c->language = p.language;
            c->kind_at = at;
            c->kind_end = p.end;
            return true;
        }
        int kept = 0;
        for (int i = 0; i < hits.count; i++) {
            if (hits.all[i].group != p.group)
                hits.all[kept++] = hits.all[i];
        }
        hits.count = kept;
    }
    return false;
}

/* The kind's words are also a thing that other kinds pass over: pond, tank, female. */
static bool names_a_thing(const struct text_value_context *c) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, c->kind_at);
    struct text_phrase p =
        text_scan_pick(c->scanner, &hits, MEANS(MEAN_THING), c->language, c->person);
    return p.meaning != MEAN_NONE && p.end == c->kind_end;
}

/* "mary paid 50000": the name stands first. */
static void kind_behind_name(struct text_reading_state *r, size_t at) {
    struct text_value_context *c = &r->context;
    const struct text_value_context none = *c;
    size_t end = text_name_first(c, at);
    struct text_piece next = text_scan_next(c->scanner, c->folded, end);
    if (end == 0 || next.token != TOKEN_WORD || !kind_at(r, next.at))
        return;
    r->named = c->kind == REQUEST_OWES ||
               (c->kind == REQUEST_PAID && has_digit(c->folded)); /* "mary paid" is no sum */
    if (!r->named)
        *c = none;
}

/* The first word behind greetings; or a later one with only values before it ("f3 strip 150g"). A
 * thing first is the kind where no other follows: "pond p4 harvest 50" is a harvest; so is the word
 * for water with its number. */
static void find_kind(struct text_reading_state *r) {
    struct text_value_context *c = &r->context;
    const struct text_value_context none = *c;
    struct text_value_context thing = *c;
    struct text_piece piece = text_scan_next(c->scanner, c->folded, 0);
    while (piece.token != TOKEN_END) {
        if (piece.token == TOKEN_WORD && !r->seen && kind_at(r, piece.at)) {
            if (!names_a_thing(c))
                return;
            thing = *c;
            *c = none;
            r->seen = true;
            piece = text_scan_next(c->scanner, c->folded, thing.kind_end);
            continue;
        }
        struct text_value v = text_value_read(c, piece);
        if (v.doubt != TEXT_DOUBT_NONE) {
            if (r->seen && piece.token == TOKEN_WORD)
                (void)kind_at(r, piece.at);
            else if (piece.token == TOKEN_WORD)
                kind_behind_name(r, piece.at);
            break;
        }
        bool waters = thing.kind != REQUEST_NONE && (thing.slots & SLOT_BIT(SLOT_WATER)) != 0;
        if (r->seen && piece.token == TOKEN_WORD && !waters && request_has(&v.said, SLOT_WATER) &&
            kind_at(r, piece.at)) { /* "f3 temp 24" */
            thing = *c;
            *c = none;
        }
        r->seen = r->seen || !v.skip;
        piece = text_scan_next(c->scanner, c->folded, v.end);
    }
    if (c->kind == REQUEST_NONE)
        *c = thing;
}

/* -- the second pass --------------------------------------------------------------------------- */

/* The first word that is neither kind nor value, and the kinds that are near it. */
static void tell_unknown(struct text_reading_state *r, size_t at, struct slice token) {
    int kinds[TEXT_NEAR_MAX];
    struct text_result *out = r->out;
    struct text_scanner *scanner = r->context.scanner;
    out->reading = TEXT_UNKNOWN;
    out->doubt = TEXT_DOUBT_NONE;
    out->request = (struct request){0};
    text_scan_echo(scanner, slice_trim(token), TEXT_TOKEN_MAX, out->token, sizeof out->token);
    struct text_piece piece = text_scan_piece(scanner, r->context.folded, at);
    struct slice word = slice_head(slice_from(r->context.folded, at), piece.end - at);
    if (piece.token != TOKEN_WORD)
        return;
    int count = words_near(r->reader->words, r->context.person, word, kinds, TEXT_NEAR_MAX);
    piece = text_scan_next(scanner, r->context.folded, piece.end);
    if (count == 0 && piece.token == TOKEN_WORD) { /* "no egs" */
        word = slice_head(slice_from(r->context.folded, at), piece.end - at);
        count = words_near(r->reader->words, r->context.person, word, kinds, TEXT_NEAR_MAX);
    }
    for (int i = 0; i < count; i++)
        out->near[i] = (enum request_kind)kinds[i];
}

/* False: a bare text has a word that is no value; the unknown was told. */
static bool take_value(struct text_reading_state *r, size_t at, const struct text_value *v) {
    int most = r->context.slots & SLOT_BIT(SLOT_LIST) ? LIST_MAX : PLAIN_MAX;
    if (v->doubt == TEXT_DOUBT_TOKEN && r->context.kind == REQUEST_NONE) {
        tell_unknown(r, at, v->token);
        return false;
    }
    if (v->doubt != TEXT_DOUBT_NONE) {
        text_tell_doubt(r, v->doubt, v->token);
        r->seen = true;
    } else if (v->more && r->plain_count > 0) {
        r->plain[r->plain_count - 1].micro += v->number.micro;
        r->plain_end = v->end;
    } else if (v->plain && r->plain_count < most) {
        r->plain_at = r->plain_count == 0 ? at : r->plain_at;
        r->plain_end = v->end;
        r->plain[r->plain_count++] = v->number;
        r->seen = true;
    } else if (v->plain) {
        text_tell_doubt(r, TEXT_DOUBT_TWICE, v->token);
    } else if (v->skip) {
        r->from = v->from;
    } else if (!text_several_take(r, at, v)) {
        text_take(r, &v->said, r->context.slots, v->token);
        if (request_has(&v->said, SLOT_NAME))
            r->buyer_end = v->end;
        if (request_has(&v->said, SLOT_CHOICE) && r->measure_count < PLAIN_MAX)
            r->measures[r->measure_count++] = v->end;
    }
    return true;
}

/* A tin is a kind of message and what is measured. */
static void take_kind_choice(struct text_reading_state *r) {
    struct text_value_context *c = &r->context;
    struct text_piece piece = text_scan_next(c->scanner, c->folded, c->kind_at);
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, c->kind_at);
    struct text_value v;
    if (text_measure_choice(c, piece, &hits, &v) && v.end == c->kind_end)
        text_take(r, &v.said, c->slots, v.token);
}

static bool take_values(struct text_reading_state *r) {
    struct text_value_context *c = &r->context;
    size_t at = 0;
    for (;;) {
        struct text_piece piece = text_scan_next(c->scanner, c->folded, at);
        if (piece.token == TOKEN_END)
            return true;
        if (c->kind != REQUEST_NONE && piece.at == c->kind_at) {
            take_kind_choice(r);
            at = c->kind_end;
            continue;
        }
        struct text_value v = text_value_read(c, piece);
        if (!take_value(r, piece.at, &v))
            return false;
        at = v.end;
    }
}

/* "order 3 off": nothing but its number can stand beside it. */
static void call_off(struct text_reading_state *r) {
    struct request *request = &r->out->request;
    const uint64_t may = SLOT_BIT(SLOT_COUNT) | SLOT_BIT(SLOT_CHOICE);
    if ((request->has & ~may) != 0)
        text_tell_doubt(r, TEXT_DOUBT_TWICE, SLICE("off"));
    request->kind = REQUEST_CALL_OFF;
    request->choices = 0;
    request->has &= SLOT_BIT(SLOT_COUNT);
}

static void read_folded(struct text_reading_state *r) {
    struct text_result *out = r->out;
    r->context.tagged = has_tag(r);
    find_kind(r);
    r->seen = false;
    out->language = r->context.language;
    out->request.kind = r->context.kind;
    if (!take_values(r))
        return;
    text_several_settle(r);
    text_settle_plain(r);
    text_several_check(r);
    bool told = out->doubt == TEXT_DOUBT_NUMBER || out->doubt == TEXT_DOUBT_CLOCK;
    bool off = out->request.kind == REQUEST_ORDER && request_chose(&out->request, CHOICE_OFF);
    if (off)
        call_off(r);
    if (out->doubt != TEXT_DOUBT_NONE && r->named) { /* "john paid me 500" is about others */
        struct text_piece first = text_scan_next(r->context.scanner, r->context.folded, 0);
        tell_unknown(r, first.at, text_scan_run(r->context.folded, first.at));
    } else if (out->doubt != TEXT_DOUBT_NONE && !told && r->context.kind == REQUEST_NONE) {
        out->reading = TEXT_UNKNOWN; /* no kind in whose words the doubt could be told */
        out->doubt = TEXT_DOUBT_NONE;
        out->request = (struct request){0};
    } else if (out->doubt != TEXT_DOUBT_NONE) {
        out->reading = TEXT_DOUBT;
    } else if (r->context.kind != REQUEST_NONE) {
        out->reading = TEXT_REQUEST;
    } else if (r->seen) {
        out->reading = TEXT_BARE;
    } else {
        struct text_piece first = text_scan_next(r->context.scanner, r->context.folded, 0);
        tell_unknown(r, first.at, text_scan_run(r->context.folded, first.at));
    }
}

enum err text_read(struct text_reader *reader, int language, struct slice text, struct arena *arena,
                   struct text_result *out) {
    *out = (struct text_result){.reading = TEXT_EMPTY, .language = language};
    if (text.n > TEXT_BYTES_MAX) {
        out->reading = TEXT_TOO_LONG;
        return ERR_OK;
    }
    struct buf folded = buf_make_in(arena, FOLDED_MAX);
    enum err e = fold(text, arena, &folded);
    if (e == ERR_TOO_LONG)
        out->reading = TEXT_TOO_LONG;
    if (e != ERR_OK || !readable(buf_slice(&folded)))
        return e == ERR_NOMEM ? ERR_NOMEM : ERR_OK;
    struct text_reading_state r = {
        .reader = reader,
        .context = {.scanner = &reader->scanner,
                    .folded = buf_slice(&folded),
                    .slots = BARE_SLOTS,
                    .language = language,
                    .person = language},
        .out = out,
    };
    read_folded(&r);
    return ERR_OK;
}

/* The one value of `slot` that the whole text is, greetings beside it, read as if behind `kind`. */
static enum err alone(struct text_reader *reader, int language, struct slice text,
                      struct arena *arena, enum request_kind kind, enum request_slot slot,
                      struct request *out) {
    if (text.n > WHOLE_MAX)
        return ERR_NOT_FOUND;
    struct buf folded = buf_make_in(arena, FOLDED_MAX);
    enum err e = fold(text, arena, &folded);
    if (e != ERR_OK)
        return e == ERR_NOMEM ? e : ERR_NOT_FOUND;
    const struct text_value_context c = {.scanner = &reader->scanner,
                                         .folded = buf_slice(&folded),
                                         .kind = kind,
                                         .slots = SLOT_BIT(slot),
                                         .language = language,
                                         .person = language};
    *out = (struct request){0};
    for (size_t at = 0;;) {
        struct text_piece piece = text_scan_next(c.scanner, c.folded, at);
        if (piece.token == TOKEN_END)
            break;
        struct text_value v = text_value_read(&c, piece);
        bool said = v.said.has == SLOT_BIT(slot);
        if (v.doubt != TEXT_DOUBT_NONE || (said ? out->has != 0 : !v.skip))
            return ERR_NOT_FOUND;
        if (said)
            *out = v.said;
        at = v.end;
    }
    return out->has != 0 ? ERR_OK : ERR_NOT_FOUND;
}

enum err text_feed_alone(struct text_reader *reader, int language, struct slice text,
                         struct arena *arena, char out[REQUEST_FEED_MAX + 1]) {
    struct request said;
    enum err e = alone(reader, language, text, arena, REQUEST_STORE, SLOT_FEED, &said);
    if (e == ERR_OK)
        memcpy(out, said.feed, REQUEST_FEED_MAX + 1);
    return e;
}

enum err text_name_alone(struct text_reader *reader, int language, struct slice text,
                         struct arena *arena, char out[REQUEST_NAME_MAX + 1]) {
    struct request said;
    enum err e = alone(reader, language, text, arena, REQUEST_PAID, SLOT_NAME, &said);
    if (e == ERR_OK)
        memcpy(out, said.name, REQUEST_NAME_MAX + 1);
    return e;
}
