/* turn_people: what the tests of people share beside the stage: codes and farms as a desk would
 * load them for the sender, and a source of chance that is the same each time. */
#ifndef TURN_PEOPLE_H
#define TURN_PEOPLE_H

#include "turn_stage.h"

#include "sms/number.h"

#define INVITED  "+447700900123"
#define OWNERS   "+447700900001"
#define WORKERS  "+447700900002"
#define ADVISERS "+447700900003"
#define WRONG                                                                                      \
    "That code does not fit, or its time is over. Nothing changed. After 3 wrong tries a code is " \
    "void: then ask anew"

enum { ADDS = 482913, REMOVES = 730155, JOINS = 739104 };

/* Beside the stage: what a desk would load for the sender. */
static struct {
    struct turn_code codes[TURN_CODES_MAX];
    int64_t digits[TURN_CODES_MAX];
    int count;
    int made;
    struct turn_farm farms[4];
    int farm_count;
    uint64_t chance;
    bool (*may_text)(void *context, struct slice phone);
} given;

static inline bool fits(void *context, int64_t id, int64_t digits) {
    (void)context;
    for (int i = 0; i < given.count; i++)
        if (given.codes[i].id == id)
            return given.digits[i] == digits;
    return false;
}

static inline int made(void *context, struct slice phone) {
    (void)context;
    assert_true(number_is_e164(phone));
    return given.made;
}

static inline bool only_44(void *context, struct slice phone) {
    (void)context;
    return slice_starts(phone, SLICE("+44"));
}

static inline void give_nothing(void) {
    memset(&given, 0, sizeof given);
    given.chance = 1;
    given.may_text = only_44;
}

static inline void give(enum turn_purpose purpose, enum turn_role role, const char *subject,
                        int64_t digits) {
    given.digits[given.count] = digits;
    given.codes[given.count] = (struct turn_code){.id = 71 + given.count,
                                                  .purpose = purpose,
                                                  .farm = purpose == PURPOSE_JOIN ? 9 : 1,
                                                  .farm_name = SLICE("Lakeside"),
                                                  .farm_people = 3,
                                                  .role = role,
                                                  .subject = slice_of(subject),
                                                  .asker = SLICE("+447700900011"),
                                                  .asker_language = -1,
                                                  .asker_farms = 1};
    given.count++;
}

static inline void load(struct turn *t) {
    t->farm_id = 1;
    t->country = SLICE("GB");
    t->code_fits = fits;
    t->codes_made = made;
    t->may_text = given.may_text;
    memcpy(t->codes, given.codes, sizeof given.codes);
    t->code_count = given.count;
    t->farms = given.farms;
    t->farm_count = given.farm_count;
    for (size_t i = 0; i < sizeof t->random; i++) {
        given.chance = given.chance * 6364136223846793005u + 1442695040888963407u;
        t->random[i] = (unsigned char)(given.chance >> 56);
    }
}

static inline void text_in(struct stage *s, int64_t now_s, int person, const char *text) {
    stage_begin(s, now_s);
    load(&s->turn);
    s->bodies[++s->messages] = arena_slice(&s->arena, slice_of(text));
    s->turn.sender = person;
    s->turn.message = s->messages;
    s->turn.sent_s = now_s;
    s->turn.question = s->asked[person] ? &s->questions[person] : NULL;
    stage_end(s, turn_take(&s->turn, slice_of(text)), OUTCOME_DELIVERED);
}

/* The text of the last turn to a phone that is none of the farm's people's. */
static inline const char *sent_to(struct stage *s, const char *phone) {
    for (int i = 0; i < s->turn.text_count; i++)
        if (slice_eq(s->turn.texts[i].to, slice_of(phone)))
            return arena_str(&s->arena, s->turn.texts[i].body);
    return "";
}

#define SLICE_IS(got, wanted)                                                                      \
    do {                                                                                           \
        struct slice got_slice = (got);                                                            \
        char got_text[100];                                                                        \
        (void)snprintf(got_text, sizeof got_text, "%.*s", SLICE_ARG(got_slice));                   \
        assert_string_equal(got_text, wanted);                                                     \
    } while (0)

#endif
