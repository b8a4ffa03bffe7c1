/* text: message text -> request. Reads with the words of every language at once, the person's own
 * first where they clash. Says what it could not read instead of guessing. Pure: works in the
 * arena, at most TEXT_BYTES_MAX of text are looked at. */
#ifndef TEXT_TEXT_H
#define TEXT_TEXT_H

#include "base/arena.h"
#include "base/tree.h"
#include "text/request.h"
#include "words/words.h"

enum { TEXT_BYTES_MAX = 1000, TEXT_NEAR_MAX = 3, TEXT_TOKEN_MAX = 24 };

enum text_reading {
    TEXT_EMPTY,    /* nothing readable: empty, only signs or emoji, not UTF-8, binary */
    TEXT_TOO_LONG, /* over TEXT_BYTES_MAX bytes */
    TEXT_REQUEST,  /* a kind, and every token behind it taken into a slot of that kind */
    TEXT_BARE,     /* no kind word, but every token is a value (24, f3, 1.2kg, 18:30) */
    TEXT_UNKNOWN,  /* no kind, and something that is no value: near[] says which kinds were near */
    TEXT_DOUBT     /* a kind, but a token could not be taken or could be read two ways */
};

enum text_doubt {
    TEXT_DOUBT_NONE,
    TEXT_DOUBT_TOKEN,  /* token not understood, or not a slot of this kind */
    TEXT_DOUBT_TWICE,  /* the same slot twice with different values */
    TEXT_DOUBT_NUMBER, /* 1,500: one and a half, or fifteen hundred */
    TEXT_DOUBT_CLOCK,  /* a Kiswahili hour without its part of the day, or 6 alone as an hour */
    TEXT_DOUBT_UNIT,   /* a value whose unit does not fit here (strip f3 150c), or that lacks one */
    TEXT_DOUBT_READING /* a number alone that could be any of what is measured in water */
};

struct text_result {
    enum text_reading reading;
    struct request request; /* TEXT_REQUEST, TEXT_BARE; for TEXT_DOUBT what was read so far */
    enum text_doubt doubt;  /* TEXT_DOUBT; without a kind only of a number or a clock */
    char token[TEXT_TOKEN_MAX * 4];        /* the unknown word or doubtful token, folded, cut at 24
                                              characters, only letters, digits and plain signs */
    enum request_kind near[TEXT_NEAR_MAX]; /* TEXT_UNKNOWN: nearest first, REQUEST_NONE after */
    int language; /* index of the language whose word named the kind, else the person's own */
};

/* What reading needs, built once from the grammar: the compiled patterns of the group "tokens" in
 * messages.conf and room for their matches. The words and the arena must outlive it. Not to be
 * shared by threads. NULL: a pattern is wrong (told in the faults) or the arena is full (told
 * too). */
struct text_reader;
struct text_reader *text_reader_make(struct arena *arena, const struct words *words,
                                     const struct tree *forms, struct faults *faults);
void text_reader_free(struct text_reader *reader); /* the machine code; harmless with NULL */

/* `language` is the person's. Point and comma are both taken as the decimal sign wherever people
 * are; where one could group thousands (1,500) and the kind leaves both readings possible, it is a
 * doubt. ERR_NOMEM only. */
enum err text_read(struct text_reader *reader, int language, struct slice text, struct arena *arena,
                   struct text_result *out) MUST_LOOK;

/* A bare 1830 is read as SLOT_COUNT, since only the question knows whether an hour was asked: this
 * makes the hour of it (100..2359, a real clock time); false when it is none. 0630 with its zero
 * is read as SLOT_TIME at once. */
bool text_count_clock(int64_t count, int *hour, int *minute);

/* The catalogues know this name of feed (folded, as in SLOT_FEED), or its last word. Any words that
 * mean nothing else are read as a name, so one that neither the farm nor the catalogues have heard
 * is better asked about than recorded. */
bool text_feed_heard(const struct text_reader *reader, const char *feed);

/* The whole message is a name of feed, greetings beside it, as the answer to which one: into out,
 * folded. A bare "bran" is TEXT_UNKNOWN to text_read, since any word could be one. ERR_NOT_FOUND:
 * it is something else. ERR_NOMEM. */
enum err text_feed_alone(struct text_reader *reader, int language, struct slice text,
                         struct arena *arena, char out[REQUEST_FEED_MAX + 1]) MUST_LOOK;

/* The same with a name of a person, "mary" or "to lake hotel", as the answer to who; a word that is
 * a kind of message is one, too, so what text_read made of the message comes first. */
enum err text_name_alone(struct text_reader *reader, int language, struct slice text,
                         struct arena *arena, char out[REQUEST_NAME_MAX + 1]) MUST_LOOK;

/* The whole message is a word for stopping (or starting) all texts, in any language, dots and
 * quotes dropped. Looked at before anything else, also inside a question. */
bool text_is_stop(struct text_reader *reader, struct slice text);
bool text_is_start(struct text_reader *reader, struct slice text);

#endif
