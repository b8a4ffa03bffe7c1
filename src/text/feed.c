/* feed: see feed.h. In: a word and what stands around it. Out: a name, as it was typed, folded. No
 * errors. What a farm calls its feed is not known here; a name that the catalogues do not know
 * counts only for words that mean nothing in any language, and the turn knows whether it heard it
 * before. Limits: REQUEST_FEED_MAX bytes, a longer name is a doubt. */
#include "text/feed.h"

#include <string.h>

static const uint64_t measures = CHOICE_BIT(CHOICE_TIN) | CHOICE_BIT(CHOICE_CUP) |
                                 CHOICE_BIT(CHOICE_SCOOP) | CHOICE_BIT(CHOICE_BOWL) |
                                 CHOICE_BIT(CHOICE_BUCKET) | CHOICE_BIT(CHOICE_BAG);

bool text_feed_measured(const struct text_value_context *c) {
    return (words_kind_choices(c->scanner->words, (int)c->kind) & measures) != 0;
}

size_t text_feed_measure(const struct text_value_context *c, size_t at) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    size_t end = 0;
    if (c->kind != REQUEST_NONE && !text_feed_measured(c))
        return 0;
    for (int i = 0; i < hits.count; i++) {
        int choice = words_group_choice(c->scanner->words, hits.all[i].group);
        if (choice >= 0 && (measures & CHOICE_BIT(choice)) && hits.all[i].end > end)
            end = hits.all[i].end;
    }
    return end;
}

/* A word that no list has; where it ends, 0 if it is none. */
static size_t free_word(const struct text_value_context *c, size_t at) {
    struct text_piece piece = text_scan_piece(c->scanner, c->folded, at);
    if (piece.token != TOKEN_WORD || text_scan_hits(c->scanner, c->folded, at).count > 0)
        return 0;
    enum text_token next = text_scan_piece(c->scanner, c->folded, piece.end).token;
    return next == TOKEN_GAP || next == TOKEN_END ? piece.end : 0;
}

/* A name that the catalogues know; where it ends, 0 if it is none. */
static size_t known_name(const struct text_value_context *c, size_t at) {
    struct text_hits hits = text_scan_hits(c->scanner, c->folded, at);
    struct text_phrase p =
        text_scan_pick(c->scanner, &hits, MEANS(MEAN_FEED), c->language, c->person);
    return p.meaning != MEAN_NONE ? p.end : 0;
}

bool text_feed_name(const struct text_value_context *c, struct text_piece piece,
                    const struct text_hits *hits, struct text_value *out) {
    bool takes = (c->slots & SLOT_BIT(SLOT_FEED)) != 0 || c->kind == REQUEST_BLEND;
    if (!takes || c->kind == REQUEST_NONE)
        return false;
    struct text_phrase known =
        text_scan_pick(c->scanner, hits, MEANS(MEAN_FEED), c->language, c->person);
    size_t end = known.meaning != MEAN_NONE ? known.end : free_word(c, piece.at);
    if (end == 0)
        return false;
    if (known.meaning == MEAN_NONE && end < c->folded.n && c->folded.p[end] == ' ') {
        size_t second = known_name(c, end + 1);
        if (second == 0)
            second = free_word(c, end + 1);
        end = second > 0 ? second : end;
    }
    *out = (struct text_value){
        .end = end, .token = slice_head(slice_from(c->folded, piece.at), end - piece.at)};
    if (out->token.n > REQUEST_FEED_MAX) {
        out->doubt = TEXT_DOUBT_TOKEN;
        return true;
    }
    memcpy(out->said.feed, out->token.p, out->token.n);
    out->said.has = SLOT_BIT(SLOT_FEED);
    return true;
}

bool text_feed_known(const struct text_scanner *scanner, struct slice name) {
    size_t last = name.n;
    while (last > 0 && name.p[last - 1] != ' ')
        last--;
    return words_is(scanner->words, scanner->groups[MEAN_FEED], name) ||
           words_is(scanner->words, scanner->groups[MEAN_FEED], slice_from(name, last));
}
