/* words: the grammar in memory: message forms, and per language the words that people send, the
 * texts that go out and the forms of hours and dates. Built once from bytes, then only read: a
 * reload builds a new one beside it. Pure; after words_build nothing is allocated.
 *
 * A catalogue is a compiled PO file whose entries are found by msgctxt alone ("reply.injected").
 * Contexts that hold words people send, alternatives between `|`, the first the one shown:
 *   word.KIND      a kind of message             when.now when.today when.yesterday when.tomorrow
 *   slot.same      "same as the hatchery"        slot.of   "12 of 100"
 *   unit.kg unit.g unit.degc                     clock.hour (saa, at) clock.am clock.pm
 *   part.dawn part.morning part.noon part.evening part.night    parts of the day
 *   language.CODE  names of the language CODE in this language    skip   greetings and the like
 *   skip.thing     fish, tank: passed over only beside words that are about one
 *   skip.eggs skip.food    eggs: the same, but never beside feed; feed: only beside feed
 *   slot.feed      names of feed: bran, fish meal
 *   slot.tagged    words of a kind that name it only in a text with a tag: when, left
 *   slot.counted   the same, only alone or in a text with a digit: order, cost
 *   slot.for slot.until slot.nobody    for mary; may to june; words that are no name: me, hours
 *   money.CODE     words for the currency of that code (ISO 4217), where they mean no other
 *   money.any      words for money that are those of several: shillings
 *   times.NUMBER   behind or before a sum: k is times.1000
 *   slot.oxygen slot.ammonia slot.ammonium slot.nitrite slot.secchi    before a reading of water
 *   slot.depth slot.across slot.behind slot.round    beside a length; behind: deep, only after it
 *   choice.NAME    a word with one meaning, for the kinds that list it
 *   month.1 .. month.12    the first is also the one shown in dates
 * Each context of these is a *group*; its name is the whole context, "when.now".
 * Other contexts: reply.NAME, help.KIND; day.0 (Monday) .. day.6, and form.hour, form.hour.short,
 * form.old, form.new, form.parts, form.date, form.decimal, form.ares, form.unit, form.feed,
 * form.tin .. form.bag: see words/show.h. */
#ifndef WORDS_WORDS_H
#define WORDS_WORDS_H

#include "base/arena.h"
#include "base/buf.h"
#include "base/tree.h"
#include "words/fold.h"
#include "words/show.h"

struct words;

struct words_catalogue {
    const char *code; /* "en": the name of the file, and of the language in words.h */
    struct slice mo;  /* bytes of a .mo file; must live as long as the words */
};

enum { WORDS_LANGUAGES_MAX = 16, WORDS_HITS_MAX = 16 };

/* `forms` is the tree of grammar/messages.conf. English ("en") must be among the catalogues: what
 * another lacks is taken from it. All mistakes go into the faults; NULL when the result could not
 * be used at all (no kinds, no English, memory). The arena and the catalogues' bytes must outlive
 * the words. */
struct words *words_build(struct arena *arena, const struct tree *forms,
                          const struct words_catalogue *catalogues, int count,
                          struct faults *faults);
const struct tree *
words_forms(const struct words *w); /* the tree, for what other rooms keep in it */

/* -- texts ----------------------------------------------------------------------------------- */

/* The text of a context, English when this language lacks it, empty when English does too. */
struct slice words_get(const struct words *w, int language, const char *context);
bool words_has(const struct words *w, int language, const char *context); /* its own, not empty */

/* -- languages ------------------------------------------------------------------------------- */

int words_count(const struct words *w);
const char *words_code(const struct words *w, int language); /* "sw" */
int words_english(const struct words *w);
int words_find(const struct words *w, struct slice code);              /* -1 if there is none */
struct slice words_language_name(const struct words *w, int language); /* its own: "Kiswahili" */
/* By code or by a name in any language, folded text; -1 if unknown. */
int words_language_of(const struct words *w, struct slice folded);

/* -- forms of message ------------------------------------------------------------------------- */

/* Kinds and slots are numbered as messages.conf lists them: kinds from 1 (0 is none), slots from
 * 0. The text room's enums have the same order, and its check at load faults a difference. */
int words_kind_count(const struct words *w);                  /* kinds are 1..count */
const char *words_kind_name(const struct words *w, int kind); /* "inject"; "" if none */
int words_kind_find(const struct words *w, const char *name); /* 0 if unknown */
int words_slot_count(const struct words *w);
const char *words_slot_name(const struct words *w, int slot);
uint64_t words_kind_slots(const struct words *w, int kind); /* a bit each slot: may stand */
uint64_t words_kind_needs(const struct words *w, int kind); /* bits: must stand, else asked */
bool words_kind_records(const struct words *w, int kind);   /* it appends to the ledger */
bool words_kind_whole(const struct words *w, int kind);     /* only as the whole message */
/* Choices are numbered as messages.conf lists them, from 0. */
int words_choice_count(const struct words *w);
const char *words_choice_name(const struct words *w, int choice); /* "river"; "" if none */
uint64_t words_kind_choices(const struct words *w, int kind);     /* a bit each choice */
/* The kind's word in a language, as its catalogue writes it ("inject"). */
struct slice words_kind_word(const struct words *w, int kind, int language);

/* -- words that people send -------------------------------------------------------------------- */

int words_group_find(const struct words *w, const char *name); /* "when.now"; -1 if unknown */
const char *words_group_name(const struct words *w, int group);
int words_group_kind(const struct words *w, int group);     /* "word.KIND" groups; else 0 */
int words_group_language(const struct words *w, int group); /* "language.CODE" groups; else -1 */
int words_group_choice(const struct words *w, int group);   /* "choice.NAME" groups; else -1 */
int words_group_month(const struct words *w, int group);    /* "month.N" groups; else 0 */

struct words_hit {
    int group;
    int language;
    size_t length; /* bytes of the folded text */
};

/* Every phrase, of any language, that stands at the front of the folded text and ends at a word
 * boundary: the end of the text, or a next byte that is neither letter nor digit (bytes past ASCII
 * are letters). Longest first, then by language, then by group; the number of hits. */
int words_phrases(const struct words *w, struct slice folded, struct words_hit *hits, int most);

/* The same, but a digit may follow directly ("temp28,5"): only for phrases of at least two
 * letters. */
int words_glued(const struct words *w, struct slice folded, struct words_hit *hits, int most);

/* The folded text, all of it, is a phrase of this group in any language. */
bool words_is(const struct words *w, int group, struct slice folded);

/* Kinds whose word is near a misspelt one (distance 1 up to four letters, 2 above), nearest first,
 * the person's language first among equals, each kind once. Kinds that stand only as a whole
 * message are never offered. The number found. */
int words_near(const struct words *w, int language, struct slice folded_word, int *kinds, int most);

/* Phrases that stand in several lists of which one at least is a kind, in one language or in
 * several, one line each: "leo: sw when.today, sw word.today". For `barbel check`. They are no
 * faults: the place in the text decides, then the person's language, then English. */
void words_clashes(const struct words *w, struct buf *out);

#endif
