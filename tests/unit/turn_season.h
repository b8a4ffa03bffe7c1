/* turn_season: an invented season, a script of tests/rehearsals, as its texts, what each recorded
 * when it came in time, and how each is said late.
 *
 * A text that comes late names its subject and its hour: "temp f3 26" becomes "temp f3 26 21:58
 * yesterday". What cannot be said so:
 * - what takes no hour (a brood fish, a pond's size, the source of the water, the day a pond shall
 *   be ready): it may be late when the network says when it was sent, since that names the hour;
 * - UNDO and FIX: they mean the newest report there is, so nothing but the order gives them a
 *   meaning;
 * - an answer to a question, and the text that was asked about: an answer has no subject of its
 *   own. A plain YES is none of these: whoever sends the text late is asked again and says yes;
 * - PREP for a female's fry: the day is reckoned from what is known of her eggs when it is said;
 * - what a measure holds, and a feed's name: later texts are read by them. */
#ifndef TURN_SEASON_H
#define TURN_SEASON_H

#include "turn_stage.h"

#include "turn_even.h"

enum { SEASON_TEXTS_MAX = 80, SEASON_BYTES = 200, SEASON_YES_MOST = 4, SEASON_DAY_S = 86400 };

struct season_text {
    int64_t at_s; /* when it came */
    int person;
    char said[SEASON_BYTES];
    /* from the season in time */
    int answers;     /* the text whose question it answers, -1 none */
    bool answered;   /* its question was answered by something else than YES, or by nothing */
    bool yes;        /* answers with YES */
    bool recorded;   /* something of it is in the ledger */
    bool names_hour; /* everything it records takes an hour */
    bool fixed;      /* never late: see above */
    int64_t happened_s;
    char late[SEASON_BYTES]; /* with its subject, before the hour is put behind */
};

struct season {
    const char *name;
    struct season_text texts[SEASON_TEXTS_MAX];
    int count;
    int64_t end_s;
    /* What stood after the first n texts: a print of state and plan; 0 where a text waits for its
     * YES. */
    uint64_t prints[SEASON_TEXTS_MAX + 1];
    struct farm farm; /* in time, at the end */
};

/* -- the script ---------------------------------------------------------------------------------
 */

static inline int season_number(const char *p, int digits) {
    int n = 0;
    for (int i = 0; i < digits; i++) {
        assert_true(p[i] >= '0' && p[i] <= '9');
        n = n * 10 + (p[i] - '0');
    }
    return n;
}

/* "2026-03-02 09:00 +447700900001 brood f3 1.2kg", the last line without number and text. */
static inline void season_line(struct season *season, const char *line) {
    enum { AT_BYTES = 16, PHONE_BYTES = 13 };
    const struct zone_time at = {.year = season_number(line, 4),
                                 .month = season_number(line + 5, 2),
                                 .day = season_number(line + 8, 2),
                                 .hour = season_number(line + 11, 2),
                                 .minute = season_number(line + 14, 2)};
    assert_int_equal(zone_instant(&zone_utc, at, &season->end_s), ERR_OK);
    if (strlen(line) <= AT_BYTES)
        return;
    assert_true(season->count < SEASON_TEXTS_MAX);
    struct season_text *text = &season->texts[season->count++];
    const char *phone = line + AT_BYTES + 1, *said = phone + PHONE_BYTES + 1;
    *text = (struct season_text){.at_s = season->end_s, .answers = -1};
    text->person = phone[PHONE_BYTES - 1] - '1';
    assert_in_range(text->person, 0, PHONES - 1);
    (void)snprintf(text->said, sizeof text->said, "%s", said);
}

static inline void season_read(struct season *season, const char *name) {
    char path[400], line[SEASON_BYTES];
    memset(season, 0, sizeof *season);
    season->name = name;
    (void)snprintf(path, sizeof path, SOURCE_DIR "/tests/rehearsals/%s", name);
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        line[strcspn(line, "\r\n")] = 0;
        if (line[0] && line[0] != '#')
            season_line(season, line);
    }
    (void)fclose(file);
}

/* -- playing ------------------------------------------------------------------------------------
 */

static inline void season_begin(struct stage *s) {
    stage_empty(s);
    s->people[ADVISER].role = ROLE_WORKER; /* the second hand of the scripts */
}

/* The sender was asked back; a question that a reminder left open is none of these. */
static inline bool season_asked_back(const struct stage *s, int person) {
    return s->asked[person] && s->questions[person].message;
}

/* The plan is compared, not what was told on the way. */
static inline void season_say(struct stage *s, int64_t now_s, int64_t sent_s, int person,
                              const char *text) {
    stage_sent(s, now_s, sent_s, person, text);
    s->told_count = 0;
}

/* State and plan as they stand, seen from an hour of the season and from some after it. */
static inline void season_put(struct stage *s, int64_t from_s, struct buf *out) {
    static const int64_t after_s[] = {0, 6 * 3600, SEASON_DAY_S, 7 * SEASON_DAY_S};
    arena_reset(&s->turn_arena);
    const struct farm_state even = even_state(&s->farm.state, &s->turn_arena);
    even_put_state(out, &even);
    for (size_t i = 0; i < sizeof after_s / sizeof *after_s; i++)
        even_put_plan(out, &even, from_s + after_s[i]);
}

static inline uint64_t season_print(struct stage *s, int64_t from_s) {
    static const int64_t after_s[] = {0, 6 * 3600, SEASON_DAY_S, 7 * SEASON_DAY_S};
    static struct task tasks[PLAN_MOST];
    arena_reset(&s->turn_arena);
    const struct farm_state even = even_state(&s->farm.state, &s->turn_arena);
    uint64_t print = farm_digest(&even);
    for (size_t i = 0; i < sizeof after_s / sizeof *after_s; i++) {
        const struct plan_view view = {.zone = &zone_utc, .now_s = from_s + after_s[i]};
        int n = farm_plan(&even, &view, tasks, PLAN_MOST);
        for (int k = 0; k < n; k++) {
            const struct task *t = &tasks[k];
            const int64_t values[] = {t->due_s,     t->key.kind, t->key.subject, t->key.nth,
                                      t->key.stage, t->hour_s,   t->useful_s,    t->level,
                                      t->hand,      (int64_t)i};
            print = slice_hash((struct slice){(const char *)values, sizeof values}, print);
        }
    }
    return print;
}

/* The hour from which what stands after the first n texts is seen. */
static inline int64_t season_hour(const struct season *season, int n) {
    return n ? season->texts[n - 1].at_s : season->texts[0].at_s;
}

/* The first n texts as the script has them. */
static inline void season_play(struct stage *s, const struct season *season, int n) {
    season_begin(s);
    for (int i = 0; i < n; i++)
        season_say(s, season->texts[i].at_s, 0, season->texts[i].person, season->texts[i].said);
}

/* -- how a text is said late --------------------------------------------------------------------
 */

/* The word of the text. */
static inline bool season_word(const char *text, const char *word) {
    size_t n = strlen(word);
    return strncmp(text, word, n) == 0 && (text[n] == ' ' || !text[n]);
}

/* The nth tag of a text: its letter and number as one value; 0: no more. */
static inline int season_tag(const char *text, int nth) {
    for (const char *p = text; *p; p++) {
        bool begins = p > text && p[-1] == ' ' && strchr("fmbp", *p) && p[1] >= '0' && p[1] <= '9';
        if (begins && nth-- == 0)
            return *p * 1000 + (int)strtol(p + 1, NULL, 10);
    }
    return 0;
}

static inline bool season_is_clock(const char *p) {
    return p[0] >= '0' && p[0] <= '2' && p[1] >= '0' && p[1] <= '9' && p[2] == ':';
}

static inline bool season_takes_hour(enum entry_kind kind) {
    return kind != ENTRY_SOURCE && kind != ENTRY_POND && kind != ENTRY_SOIL &&
           kind != ENTRY_PREPARE && !(kind >= ENTRY_BROOD && kind <= ENTRY_BROOD_ORIGIN);
}

/* Without hour and day, with its subject. */
static inline void season_rewrite(const struct season *season, struct season_text *text,
                                  const struct entry *n) {
    struct buf out = buf_make(SEASON_BYTES);
    for (const char *p = text->said; *p; p += strcspn(p, " "), p += *p == ' ')
        if (!season_is_clock(p) && !season_word(p, "yesterday") && !season_word(p, "today"))
            buf_putf(&out, "%s%.*s", out.n ? " " : "", (int)strcspn(p, " "), p);
    if (n->subject_kind == SUBJECT_SPAWN && !season_tag(text->said, 0))
        buf_putf(&out, " f%d", farm_spawn_tag(&season->farm, n->subject));
    (void)snprintf(text->late, sizeof text->late, "%s", buf_str(&out));
    assert_int_equal(buf_err(&out), ERR_OK);
    buf_free(&out);
}

/* As it is texted when it arrives: the hour behind it, and the day when that is another. */
static inline void season_late(const struct season_text *text, int64_t arrives_s, char *out,
                               size_t room) {
    struct zone_time at = zone_local(&zone_utc, text->happened_s);
    int days = zone_days_between(&zone_utc, text->happened_s, arrives_s);
    if (text->fixed || !text->recorded || !text->names_hour || days > 1)
        (void)snprintf(out, room, "%s", text->late);
    else
        (void)snprintf(out, room, "%s %02d:%02d%s", text->late, at.hour, at.minute,
                       days ? " yesterday" : "");
}

/* -- the season in time -------------------------------------------------------------------------
 */

/* What it recorded decides how it is said late, and whether it can be. */
static inline void season_judge(struct season *season, int i) {
    struct season_text *text = &season->texts[i];
    memcpy(text->late, text->said, sizeof text->late);
    text->happened_s = text->at_s;
    text->names_hour = true;
    text->fixed = text->answers >= 0 || text->answered || season_word(text->said, "undo") ||
                  season_word(text->said, "fix");
    const struct entry *first = NULL;
    for (int k = 0; k < season->farm.count; k++) {
        const struct entry *n = &season->farm.entries[k];
        if (n->message != i + 1)
            continue;
        first = first ? first : n;
        text->names_hour &= season_takes_hour(n->kind);
        text->fixed |= (n->kind == ENTRY_PREPARE && n->value[1]) || n->kind == ENTRY_MEASURE ||
                       n->kind == ENTRY_BOUGHT;
    }
    text->recorded = first != NULL;
    if (!first || text->fixed)
        return;
    text->happened_s = first->at_s;
    if (text->names_hour)
        season_rewrite(season, text, first);
}

/* What stands between a text and the YES to its question is no whole season. */
static inline void season_waits(struct season *season) {
    for (int i = 0; i < season->count; i++)
        for (int n = season->texts[i].answers + 1; n <= i && season->texts[i].yes; n++)
            season->prints[n] = 0;
}

/* Plays the script as it stands and notes what each text did. */
static inline void season_in_time(struct stage *s, struct season *season) {
    season_begin(s);
    for (int i = 0; i < season->count; i++) {
        struct season_text *text = &season->texts[i];
        season->prints[i] = season_print(s, season_hour(season, i));
        season_say(s, text->at_s, 0, text->person, text->said);
        bool asked = season_asked_back(s, text->person);
        /* the hour that is asked after a strip puts it right by a text of its own */
        bool hour = s->turn.root == s->turn.message && s->turn.entry_count &&
                    s->turn.entries[0].kind == ENTRY_UNDO && !season_word(text->said, "undo") &&
                    !season_word(text->said, "fix");
        int64_t root = hour ? s->turn.entries[0].value[0] : s->turn.root;
        if (root == s->turn.message) {
            text->answered = asked && !s->turn.entry_count; /* until a YES comes */
            continue;
        }
        text->answers = (int)root - 1;
        text->yes = season_word(text->said, "yes");
        season->texts[text->answers].answered = !text->yes || asked;
        text->answered = asked;
    }
    season->prints[season->count] = season_print(s, season_hour(season, season->count));
    season->farm = s->farm;
    s->farm = farm_make(); /* the season keeps the other */
    for (int i = 0; i < season->count; i++)
        season_judge(season, i);
    season_waits(season);
}

static inline void season_free(struct season *season) {
    farm_free(&season->farm);
}

#endif
