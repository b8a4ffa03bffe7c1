/* turn_stage: what the tests of the turn share: a farm, four phones and a clock, with what a desk
 * would keep between turns (told rows, questions, bodies of messages) kept in memory. */
#ifndef TURN_STAGE_H
#define TURN_STAGE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "support/grammar.h"
#include "turn/inside.h"

/* Monday 2 March 2026, 00:00 UTC (`date -u -d 2026-03-02 +%s`). */
#define MONDAY_S INT64_C(1772409600)
#define AT(day, hour, minute)                                                                      \
    (MONDAY_S + (int64_t)(day)*86400 + (int64_t)(hour)*3600 + (int64_t)(minute)*60)
enum { MON, TUE, WED, THU };

enum { OWNER = 0, WORKER = 1, ADVISER = 2, WATCHER = 3, PHONES = 4, MESSAGES_MAX = 4000 };
enum { STAGE_PARTIES_MAX = 32 };

struct stage {
    struct test_grammar grammar;
    struct text_reader *reader;
    struct arena arena; /* of the whole test: lines of questions, bodies */
    struct farm farm;
    const struct zone *zone; /* NULL: UTC */
    struct turn_person people[PHONES];
    int people_count;
    struct turn_question questions[PHONES];
    bool asked[PHONES];
    struct told told[TURN_TOLD_MAX];
    int told_count;
    struct slice parties[STAGE_PARTIES_MAX]; /* names of feeds and origins, ids from 1 */
    int party_count;
    struct slice bodies[MESSAGES_MAX];
    int64_t messages;
    struct turn turn; /* the last one */
    struct arena turn_arena;
};

static inline struct slice stage_body(void *context, int64_t message) {
    struct stage *s = context;
    return message > 0 && message <= s->messages ? s->bodies[message] : SLICE("");
}

static inline int64_t stage_party(void *context, struct slice name) {
    struct stage *s = context;
    for (int i = 0; i < s->party_count; i++)
        if (slice_eq(s->parties[i], name))
            return i + 1;
    assert_true(name.n && s->party_count < STAGE_PARTIES_MAX);
    s->parties[s->party_count++] = arena_slice(&s->arena, name);
    return s->party_count;
}

static inline struct slice stage_party_name(void *context, int64_t party) {
    struct stage *s = context;
    return party > 0 && party <= s->party_count ? s->parties[party - 1] : SLICE("");
}

static inline void stage_empty(struct stage *s) {
    static const char *const phones[PHONES] = {"+447700900001", "+447700900002", "+447700900003",
                                               "+447700900004"};
    farm_free(&s->farm);
    s->people_count = PHONES;
    for (int i = 0; i < PHONES; i++)
        s->people[i] = (struct turn_person){.id = 11 + i,
                                            .phone = slice_of(phones[i]),
                                            .language = s->grammar.en,
                                            .role = (enum turn_role)(ROLE_OWNER + i)};
    memset(s->asked, 0, sizeof s->asked);
    s->told_count = 0;
    s->messages = 0;
    s->party_count = 0;
    arena_reset(&s->arena);
}

static inline int stage_open(void **state) {
    static struct stage s;
    struct faults faults = faults_make();
    if (!test_grammar_load(&s.grammar))
        return -1;
    s.arena = arena_make(64 * 1024 * 1024);
    s.turn_arena = arena_make(8 * 1024 * 1024);
    s.farm = farm_make();
    s.reader = text_reader_make(&s.grammar.arena, s.grammar.words, s.grammar.forms, &faults);
    (void)fputs(buf_str(&faults.text), stderr);
    faults_free(&faults);
    *state = &s;
    return s.reader ? 0 : -1;
}

static inline int stage_close(void **state) {
    struct stage *s = *state;
    text_reader_free(s->reader);
    farm_free(&s->farm);
    arena_free(&s->arena);
    arena_free(&s->turn_arena);
    test_grammar_free(&s->grammar);
    return 0;
}

#define STAGE_BEHIND_TOLD                                                                          \
    (offsetof(struct turn, told) + sizeof(struct told) * (size_t)TURN_TOLD_MAX)

static inline void stage_begin(struct stage *s, int64_t now_s) {
    arena_reset(&s->turn_arena);
    memset(&s->turn, 0,
           offsetof(struct turn, told)); /* of half a megabyte of rows only those told */
    memset((char *)&s->turn + STAGE_BEHIND_TOLD, 0, sizeof s->turn - STAGE_BEHIND_TOLD);
    s->turn.words = s->grammar.words;
    s->turn.reader = s->reader;
    s->turn.language = s->grammar.en;
    s->turn.zone = s->zone ? s->zone : &zone_utc;
    s->turn.farm_name = SLICE("Creek");
    s->turn.farm = &s->farm;
    s->turn.people = s->people;
    s->turn.people_count = s->people_count;
    s->turn.now_s = now_s;
    s->turn.arena = &s->turn_arena;
    s->turn.message_text = stage_body;
    s->turn.party_id = stage_party;
    s->turn.party_name = stage_party_name;
    s->turn.context = s;
    memcpy(s->turn.told, s->told, (size_t)s->told_count * sizeof s->told[0]);
    s->turn.told_count = s->turn.told_kept = s->told_count;
}

/* What a desk saves. A text that went out counts as sent, one with a receipt as delivered. */
static inline void stage_end(struct stage *s, enum err e, enum outcome outcome) {
    struct turn *t = &s->turn;
    if (e)
        fail_msg("the turn failed: %s", err_info(e)->text);
    memcpy(s->told, t->told, (size_t)t->told_count * sizeof s->told[0]);
    s->told_count = t->told_count;
    for (int i = 0; i < s->told_count; i++)
        if (s->told[i].outcome == OUTCOME_WAITING)
            s->told[i].outcome = outcome;
    if (t->question_done && t->question)
        s->asked[t->question - s->questions] = false;
    for (int i = 0; i < t->question_count; i++)
        for (int k = 0; k < s->people_count; k++)
            if (s->people[k].id == t->questions[i].person) {
                s->questions[k] = t->questions[i];
                s->questions[k].line = arena_slice(&s->arena, t->questions[i].line);
                s->asked[k] = true;
            }
    for (int i = 0; i < s->people_count; i++) {
        if (s->people[i].about.data.n)
            s->people[i].about.data = arena_slice(&s->arena, s->people[i].about.data);
        if (s->people[i].rest.n)
            s->people[i].rest = arena_slice(&s->arena, s->people[i].rest);
    }
}

static inline void stage_sent(struct stage *s, int64_t now_s, int64_t sent_s, int person,
                              const char *text) {
    stage_begin(s, now_s);
    assert_true(s->messages + 1 < MESSAGES_MAX);
    s->bodies[++s->messages] = arena_slice(&s->arena, slice_of(text));
    s->turn.sender = person;
    s->turn.message = s->messages;
    s->turn.sent_s = sent_s;
    s->turn.question = s->asked[person] ? &s->questions[person] : NULL;
    stage_end(s, turn_take(&s->turn, slice_of(text)), OUTCOME_DELIVERED);
}

static inline void stage_text(struct stage *s, int64_t now_s, int person, const char *text) {
    stage_sent(s, now_s, now_s, person, text);
}

static inline void stage_wake(struct stage *s, int64_t now_s, enum outcome outcome) {
    stage_begin(s, now_s);
    stage_end(s, turn_wake(&s->turn), outcome);
}

/* The nth text of the last turn to a phone, zero-ended; "" when there is none. */
static inline const char *stage_got(struct stage *s, int person, int nth) {
    for (int i = 0; i < s->turn.text_count; i++) {
        const struct turn_text *text = &s->turn.texts[i];
        if (text->person == s->people[person].id && nth-- == 0)
            return arena_str(&s->arena, text->body);
    }
    return "";
}

#define WANT_TEXT(stage, person, nth, wanted)                                                      \
    assert_string_equal(stage_got((stage), (person), (nth)), (wanted))
#define WANT_NONE(stage, person) WANT_TEXT((stage), (person), 0, "")

#endif
