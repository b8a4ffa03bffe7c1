/* words/inside: what struct words holds, for the files of this room only. */
#ifndef WORDS_INSIDE_H
#define WORDS_INSIDE_H

#include "words/forms.h"
#include "words/mo.h"
#include "words/phrases.h"
#include "words/words.h"

enum { GROUPS_MAX = 256 };

struct language {
    const char *code;
    const char *file; /* "sw.mo", for faults */
    struct mo mo;
};

struct group {
    const char *name; /* the context: "word.inject" */
    int kind;         /* 0 when it is no "word." */
    int language;     /* -1 when it is no "language." */
    int choice;       /* -1 when it is no "choice." */
    int month;        /* 0 when it is no "month." */
};

struct words {
    struct arena *arena; /* for building only */
    const struct tree *tree;
    struct forms forms;
    int language_count, english;
    struct language languages[WORDS_LANGUAGES_MAX];
    int group_count;
    struct group groups[GROUPS_MAX];
    struct phrases phrases;
    bool nomem; /* while building */
};

#endif
