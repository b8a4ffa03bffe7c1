/* scan: folded text -> pieces, one at a time, by the patterns of the group "tokens" in
 * messages.conf; and what the words at a place mean. Inside the text room. Pure but for the room
 * for matches that a scanner holds. */
#ifndef TEXT_SCAN_H
#define TEXT_SCAN_H

#include "base/arena.h"
#include "base/tree.h"
#include "text/clock.h"
#include "text/request.h"
#include "words/words.h"

/* Tried in this order at a place. The names in messages.conf are these in small letters. */
enum text_token {
    TOKEN_GAP,     /* spaces and signs that say nothing */
    TOKEN_TAG,     /* letter, number */
    TOKEN_WATER,   /* t24: number */
    TOKEN_PH,      /* ph 7.8: number */
    TOKEN_DIMS,    /* 2x1x0.5m: number, count, of */
    TOKEN_DATE,    /* 14/3/2027, 14.3.2027: count, of, number */
    TOKEN_CLOCK,   /* 18:30, 18h30: hour, minute */
    TOKEN_HOURS,   /* 18h: hour */
    TOKEN_SHARE,   /* 30/100: count, of */
    TOKEN_PERCENT, /* 60%: number */
    TOKEN_NUMBER,  /* number */
    TOKEN_WORD,    /* letters */
    TOKEN_OTHER,   /* what is left, up to the next space */
    TOKEN_KINDS,
    TOKEN_END /* nothing is left */
};

enum text_part {
    PART_LETTER,
    PART_NUMBER,
    PART_HOUR,
    PART_MINUTE,
    PART_COUNT,
    PART_OF,
    TEXT_PARTS
};

struct text_piece {
    enum text_token token;
    size_t at, end;                /* bytes of the folded text */
    struct slice part[TEXT_PARTS]; /* empty where the pattern has none */
};

/* What a phrase means. All from MEAN_KIND on are several groups of the words, the others one each.
 */
enum text_meaning {
    MEAN_NOW,
    MEAN_TODAY,
    MEAN_YESTERDAY,
    MEAN_TOMORROW,
    MEAN_SAME,
    MEAN_OF,
    MEAN_KG,
    MEAN_G,
    MEAN_DEGC,
    MEAN_MG,
    MEAN_LITRE,
    MEAN_M3,
    MEAN_ARE,
    MEAN_M2,
    MEAN_ACRE,
    MEAN_HA,
    MEAN_M,
    MEAN_CM,
    MEAN_ML,
    MEAN_DAYS,
    MEAN_WEEKS,
    MEAN_MONTHS,
    MEAN_YEARS,
    MEAN_PERCENT,
    MEAN_PACE,   /* a unit that is none: paces, steps */
    MEAN_PER_KG, /* "per kg" behind ml */
    MEAN_DEPTH,  /* the word before or behind a depth */
    MEAN_DATE,   /* the word before a date */
    MEAN_FROM,
    MEAN_ORIGIN, /* a word that is an origin itself: wild, own */
    MEAN_HOUR,
    MEAN_MG_L,     /* mg/l, ppm */
    MEAN_OXYGEN,   /* words before what was measured in water: do, o2 */
    MEAN_AMMONIA,  /* tan: total ammonia as nitrogen */
    MEAN_AMMONIUM, /* nh4: total ammonia as ammonium */
    MEAN_NITRITE,
    MEAN_SECCHI,
    MEAN_ACROSS, /* the word beside a diameter */
    MEAN_BEHIND, /* of depths and diameters a word that stands behind its length: deep */
    MEAN_ROUND,
    MEAN_FEED,    /* what fish are fed, by its name */
    MEAN_TAGGED,  /* a kind's word that is one only beside a tag: when, left */
    MEAN_COUNTED, /* a kind's word that is one only alone or beside a number: order, cost */
    MEAN_FOR,     /* before a person, a sum, a day: for, to, by */
    MEAN_UNTIL,   /* between the first and the last month: to, until */
    MEAN_NOBODY,  /* words that are no name: me, him, hours */
    MEAN_SKIP,
    MEAN_THING,
    MEAN_EGGS,     /* a thing, too, but never beside feed: "gave 150g of eggs" */
    MEAN_FOOD,     /* passed over beside feed */
    MEAN_AND_HALF, /* behind a number: half more */
    MEAN_AGO,      /* behind days: 3 days ago */
    MEAN_ACCOUNT,  /* a kind's word that asks and never books: profit, money */
    MEAN_GROUPS,
    MEAN_KIND = MEAN_GROUPS, /* which: words_group_kind */
    MEAN_LANGUAGE,           /* which: words_group_language */
    MEAN_CHOICE,             /* which: words_group_choice */
    MEAN_MONTH,              /* which: words_group_month */
    MEAN_NUMBER,             /* in words; which: text_scan_number */
    MEAN_PART,               /* of the day; which: text_scan_part */
    MEAN_CURRENCY,           /* which: "money.CODE"; "money.any" is money of no one currency */
    MEAN_TIMES,              /* k, million; which: "times.NUMBER" */
    MEAN_NONE
};
#define MEANS(meaning) (UINT64_C(1) << (meaning))
_Static_assert(MEAN_NONE <= 64, "each meaning has a bit");

struct text_phrase {
    enum text_meaning meaning; /* MEAN_NONE: no such phrase here */
    int group, language;
    size_t end; /* bytes of the folded text */
};

struct text_hits {
    int count;
    struct text_phrase all[WORDS_HITS_MAX];
};

enum { NUMBERS_IN_WORDS = 5 };

struct text_scanner {
    const struct words *words;
    int groups[MEAN_GROUPS], numbers[NUMBERS_IN_WORDS], parts[DAY_PARTS];
    struct text_compiled *compiled;
};

/* False: faults were added. The compiled pattern's machine code is given back by scan_free. */
bool text_scan_make(struct text_scanner *out, struct arena *arena, const struct words *words,
                    const struct tree *forms, struct faults *faults);
void text_scan_free(struct text_scanner *scanner);

/* The piece at `at`, gaps included. */
struct text_piece text_scan_piece(struct text_scanner *scanner, struct slice folded, size_t at);

/* The piece at or behind `at`, gaps passed over. */
struct text_piece text_scan_next(struct text_scanner *scanner, struct slice folded, size_t at);

/* Every phrase that stands at `at`. */
struct text_hits text_scan_hits(const struct text_scanner *scanner, struct slice folded, size_t at);

/* Among them those that mean one of `wanted` (bits of MEANS), the longest; among equals that of
 * language `first`, then `second`, then English, then any. */
struct text_phrase text_scan_pick(const struct text_scanner *scanner, const struct text_hits *hits,
                                  uint64_t wanted, int first, int second);

/* The number that a phrase of MEAN_NUMBER is, in millionths. */
int64_t text_scan_number(const struct text_scanner *scanner, int group);
/* The part of the day that a phrase names; DAY_PART_NONE. */
enum text_day_part text_scan_part(const struct text_scanner *scanner, int group);

/* From `at` to the next space or comma: what is told as not understood. */
struct slice text_scan_run(struct slice folded, size_t at);

/* Letters, digits and plain signs of `s`, at most `most` characters, zero-ended. */
void text_scan_echo(struct text_scanner *scanner, struct slice s, int most, char *out, size_t room);

#endif
