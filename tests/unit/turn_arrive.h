/* turn_arrive: in which order the texts of a season arrive when some are late. A late text passes
 * the following ones until its delay is over or one needs it. A text needs another one
 * - that makes what it is about known: a fish, a spawn, a pond, what was stocked;
 * - that begins what it is about: the strip for eggs, the frames lifted for what is counted,
 *   graded or taken of larvae, the stocking for what a pond is fed;
 * - that says in which tank a female is, when it reads her water by her tag;
 * - when it takes back or puts right the newest report there is, or what was left: then none of
 *   the same phone, or about the same, may come after the report that is meant;
 * - that contradicts it, when it was refused or taken back for that: a second strip, a NO to what
 *   was asked because of it;
 * - that it answers, or that was asked about in between: no text of the phone comes between a
 *   question and its answer. */
#ifndef TURN_ARRIVE_H
#define TURN_ARRIVE_H

#include "turn_season.h"

/* -- what a text is about -----------------------------------------------------------------------
 */

enum { ARRIVE_SUBJECTS_MAX = 40 };

struct arrive_about { /* subjects, each as kind * 1000000 + number */
    int64_t all[ARRIVE_SUBJECTS_MAX];
    int count;
};

static inline void arrive_add(struct arrive_about *a, enum subject_kind kind, int64_t number) {
    if (number && a->count < ARRIVE_SUBJECTS_MAX)
        a->all[a->count++] = (int64_t)kind * 1000000 + number;
}

static inline void arrive_add_entry(struct arrive_about *a, const struct entry *n) {
    if (n->kind != ENTRY_UNDO)
        arrive_add(a, n->subject_kind, n->subject);
    if (n->kind == ENTRY_INJECTED || n->kind == ENTRY_MALE)
        arrive_add(a, SUBJECT_BROOD, n->value[0]);
    if (n->kind == ENTRY_BOWL)
        arrive_add(a, SUBJECT_SPAWN, n->value[0]);
    if (n->kind == ENTRY_PREPARE)
        arrive_add(a, SUBJECT_SPAWN, n->value[1]);
    if (n->kind == ENTRY_STOCKED) {
        arrive_add(a, SUBJECT_POND, n->value[0]);
        arrive_add(a, SUBJECT_SPAWN, n->value[3]);
        arrive_add(a, SUBJECT_CYCLE, n->value[4]);
    }
}

/* The next entry of text i, whose message is i + 1 with all its answers; NULL: no more. */
static inline const struct entry *arrive_next(const struct season *season, int i,
                                              const struct entry *n) {
    const struct entry *end = season->farm.entries + season->farm.count;
    for (n = n ? n + 1 : season->farm.entries; n < end; n++)
        if (n->message == i + 1)
            return n;
    return NULL;
}

#define ARRIVE_EACH(season, i, n)                                                                  \
    for (const struct entry *n = NULL; ((n) = arrive_next((season), (i), (n)));)

static inline struct arrive_about arrive_of(const struct season *season, int i) {
    struct arrive_about a = {.count = 0};
    ARRIVE_EACH(season, i, n)
    arrive_add_entry(&a, n);
    return a;
}

static inline bool arrive_in(const struct arrive_about *a, int64_t subject) {
    for (int i = 0; i < a->count; i++)
        if (a->all[i] == subject)
            return true;
    return false;
}

/* Of the same phone, or about the same: by what was recorded, or by a tag in the text. */
static inline bool arrive_near(const struct season *season, int i, int j) {
    const struct season_text *a = &season->texts[i], *b = &season->texts[j];
    if (a->person == b->person)
        return true;
    for (int x = 0; season_tag(a->said, x); x++)
        for (int y = 0; season_tag(b->said, y); y++)
            if (season_tag(a->said, x) == season_tag(b->said, y))
                return true;
    const struct arrive_about of_a = arrive_of(season, i), of_b = arrive_of(season, j);
    for (int k = 0; k < of_a.count; k++)
        if (arrive_in(&of_b, of_a.all[k]))
            return true;
    return false;
}

/* -- what needs what ----------------------------------------------------------------------------
 */

/* Is there an earlier entry about this subject? */
static inline bool arrive_known(const struct season *season, const struct entry *before,
                                int64_t subject) {
    for (const struct entry *n = season->farm.entries; n < before; n++) {
        struct arrive_about a = {.count = 0};
        arrive_add_entry(&a, n);
        if (arrive_in(&a, subject))
            return true;
    }
    return false;
}

/* Text i makes something known that text j is about. */
static inline bool arrive_makes(const struct season *season, int i,
                                const struct arrive_about *of_j) {
    ARRIVE_EACH(season, i, n) {
        struct arrive_about a = {.count = 0};
        arrive_add_entry(&a, n);
        for (int k = 0; k < a.count; k++)
            if (arrive_in(of_j, a.all[k]) && a.all[k] / 1000000 != SUBJECT_TANK &&
                !arrive_known(season, n, a.all[k]))
                return true;
    }
    return false;
}

/* Of a spawn's eggs or larvae: means nothing without a strip. */
static inline bool arrive_of_eggs(const struct entry *n, int64_t spawn) {
    if (n->kind == ENTRY_STOCKED)
        return n->value[3] == spawn;
    return n->subject_kind == SUBJECT_SPAWN && n->subject == spawn &&
           (n->kind == ENTRY_WHITE || n->kind == ENTRY_FRAMES ||
            (n->kind >= ENTRY_SPOILT && n->kind <= ENTRY_SOLD));
}

static inline bool arrive_of_larvae(const struct entry *n, int64_t spawn) {
    return arrive_of_eggs(n, spawn) &&
           (n->kind == ENTRY_STOCKED || n->kind == ENTRY_FED || n->kind == ENTRY_GRADED ||
            n->kind == ENTRY_COUNTED || n->kind == ENTRY_SOLD);
}

/* A reading of a female's that went to the tank which she was known to be in. */
static inline bool arrive_of_tank(const struct season_text *text, const struct entry *n,
                                  int64_t tank) {
    return n->kind == ENTRY_WATER && n->subject_kind == SUBJECT_TANK && n->subject == tank &&
           season_tag(text->said, 0) / 1000 == 'f';
}

/* Of what the fish of a pond are fed: means nothing before they are in. */
static inline bool arrive_of_fish(const struct entry *n, int64_t pond) {
    return n->subject_kind == SUBJECT_POND && n->subject == pond &&
           (n->kind == ENTRY_GIVEN || n->kind == ENTRY_LEFT);
}

/* Text i begins the stage of a spawn or a pond that text j is of. */
static inline bool arrive_begins(const struct season *season, int i, int j) {
    const struct season_text *later = &season->texts[j];
    ARRIVE_EACH(season, i, n)
    ARRIVE_EACH(season, j, m)
    if ((n->kind == ENTRY_STRIPPED && arrive_of_eggs(m, n->subject)) ||
        (n->kind == ENTRY_FRAMES && arrive_of_larvae(m, n->subject)) ||
        (n->kind == ENTRY_STOCKED && arrive_of_fish(m, n->value[0])) ||
        (n->kind == ENTRY_TANK && arrive_of_tank(later, m, n->value[0])))
        return true;
    return false;
}

/* The text that UNDO or FIX meant; itself when it meant none. */
static inline int arrive_meant(const struct season *season, int j) {
    int meant = j;
    ARRIVE_EACH(season, j, n)
    if (n->kind == ENTRY_UNDO)
        meant = (int)n->value[0] - 1;
    return meant < j ? meant : j;
}

/* Text j may not come before text i, i < j. */
static inline bool arrive_needs(const struct season *season, int j, int i) {
    const struct season_text *b = &season->texts[j];
    if (b->answers == i)
        return true;
    for (int u = j; u < season->count;
         u++) { /* j is what UNDO or FIX is meant for, or such a one */
        bool corrects =
            season_word(season->texts[u].said, "undo") || season_word(season->texts[u].said, "fix");
        int meant = corrects ? arrive_meant(season, u) : -1;
        if (meant == j && arrive_near(season, i, u))
            return true;
        if (meant == i && u == j)
            return true;
    }
    const struct arrive_about of_j = arrive_of(season, j);
    if (arrive_makes(season, i, &of_j) || arrive_begins(season, i, j))
        return true;
    bool contradicts = !b->recorded && (b->answered || season_word(b->said, "strip"));
    bool of_what_was = b->fixed && b->recorded && !season_word(b->said, "strip");
    return (contradicts || of_what_was) && arrive_near(season, i, j);
}

/* -- the order ----------------------------------------------------------------------------------
 */

struct arrive {
    bool needs[SEASON_TEXTS_MAX][SEASON_TEXTS_MAX]; /* [j][i]: j needs i */
    int64_t at_s[SEASON_TEXTS_MAX];
    int order[SEASON_TEXTS_MAX];
    int passed; /* texts that came after one said later */
};

static inline void arrive_learn(struct arrive *a, const struct season *season) {
    memset(a, 0, sizeof *a);
    for (int j = 0; j < season->count; j++)
        for (int i = 0; i < j; i++)
            a->needs[j][i] = arrive_needs(season, j, i);
}

/* Between a question and its answer comes no text of that phone: it comes before both. */
static inline int64_t arrive_aside(const struct season *season, int i, int64_t at_s) {
    for (int k = season->count - 1; k > i; k--) {
        const struct season_text *answer = &season->texts[k];
        if (answer->answers > i && answer->person == season->texts[i].person && !answer->yes &&
            at_s <= answer->at_s && at_s > season->texts[answer->answers].at_s)
            at_s = season->texts[answer->answers].at_s;
    }
    return at_s;
}

/* Each text with a delay comes so much later, or when it is needed, or at the season's end. */
static inline void arrive_order(struct arrive *a, const struct season *season,
                                const int64_t *delay_s) {
    a->passed = 0;
    for (int i = season->count - 1; i >= 0; i--) {
        const struct season_text *text = &season->texts[i];
        int64_t at_s = text->at_s + delay_s[i];
        at_s = at_s < season->end_s ? at_s : season->end_s;
        for (int j = i + 1; j < season->count; j++)
            if (a->needs[j][i] && a->at_s[j] < at_s)
                at_s = a->at_s[j];
        a->at_s[i] = delay_s[i] ? arrive_aside(season, i, at_s) : text->at_s;
        int to = 0; /* those behind it stand in order already */
        int last = season->count - 1 - i;
        int *order = a->order + i;
        while (to < last && a->at_s[order[to + 1]] < a->at_s[i]) {
            order[to] = order[to + 1];
            to++;
        }
        order[to] = i;
        a->passed += to > 0;
    }
}

#endif
