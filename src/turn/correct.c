/* correct: what was said wrong. UNDO takes a text back with all it recorded; FIX puts one value,
 * one hour or the fish right: the old text is taken back and said again with the new value, about
 * the same subjects, so that what was reported later stays with them. In: a request; out: entries
 * and an answer, or one question. Undoing a fix brings the old text back. */
#include "trade/eggs.h"
#include "trade/sample.h"
#include "turn/inside.h"

enum {
    SUBJECTS_MAX = 8,
    OLD_H = 6,         /* what was said so long ago is seen before it is taken back */
    HOUR_FAR_MIN = 180 /* an hour put right by more is asked */
};

/* -- messages ------------------------------------------------------------------------------------
 */

struct slice turn_message_text(struct turn *t, int64_t message) {
    struct slice text = t->message_text ? t->message_text(t->context, message) : SLICE("");
    return text.n ? text : SLICE("?");
}

int64_t turn_message_said(const struct turn *t, int64_t message) {
    for (int i = t->farm->count - 1; i >= 0; i--)
        if (t->farm->entries[i].message == message)
            return t->farm->entries[i].said_s;
    return t->now_s;
}

static int64_t message_person(const struct turn *t, int64_t message) {
    for (int i = t->farm->count - 1; i >= 0; i--)
        if (t->farm->entries[i].message == message)
            return t->farm->entries[i].person;
    return 0;
}

/* The text that a fix put right, through all fixes of it. */
static int64_t first_said(const struct turn *t, int64_t message) {
    const struct farm *farm = t->farm;
    for (int i = farm->count - 1; i > 0; i--)
        if (farm->entries[i].message == message && farm->entries[i - 1].message == message &&
            farm->entries[i - 1].kind == ENTRY_UNDO)
            message = farm->entries[i - 1].value[0];
    return message;
}

/* -- subjects of a tag ---------------------------------------------------------------------------
 */

struct subjects {
    struct {
        enum subject_kind kind;
        int64_t id;
    } all[SUBJECTS_MAX];
    int count;
};

static void add(struct subjects *s, enum subject_kind kind, int64_t id) {
    if (s->count < SUBJECTS_MAX && id > 0) {
        s->all[s->count].kind = kind;
        s->all[s->count++].id = id;
    }
}

/* A fish and her newest spawn; a pond and its newest cycle; a tank. */
static struct subjects subjects_of(const struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    struct subjects s = {.count = 0};
    if (tag.letter == 'b') {
        add(&s, SUBJECT_TANK, tag.number);
    } else if (tag.letter == 'p') {
        add(&s, SUBJECT_POND, tag.number);
        for (int i = st->cycle_count - 1; i >= 0; i--)
            if (st->cycles[i].pond == tag.number) {
                add(&s, SUBJECT_CYCLE, st->cycles[i].number);
                break;
            }
    } else {
        enum sex sex = tag.letter == 'm' ? SEX_MALE : SEX_FEMALE;
        const struct brood *fish = farm_brood_tag(st, sex, tag.number);
        add(&s, SUBJECT_BROOD, fish ? fish->id : 0);
        for (int i = st->spawn_count - 1; i >= 0 && fish; i--)
            if (st->spawns[i].female == fish->id) {
                add(&s, SUBJECT_SPAWN, st->spawns[i].number);
                if (st->spawns[i].tank) /* a reading of her tank is about her */
                    add(&s, SUBJECT_TANK, st->spawns[i].tank);
                break;
            }
    }
    return s;
}

static bool among(const struct subjects *s, const struct entry *n) {
    for (int i = 0; i < s->count; i++)
        if (n->subject_kind == s->all[i].kind && n->subject == s->all[i].id)
            return true;
    return false;
}

/* The newest entry in force about them that `wanted` takes; NULL none. What was put right keeps its
 * place: a fix of the injection is not newer than the strip. */
static const struct entry *newest(const struct turn *t, const struct subjects *s,
                                  bool (*wanted)(const struct entry *, const struct request *),
                                  const struct request *r) {
    const struct entry *best = NULL;
    int64_t best_message = 0;
    for (int i = t->farm->count - 1; i >= 0; i--) {
        const struct entry *n = &t->farm->entries[i];
        if (!t->farm->in_force[i] || !among(s, n) || (wanted && !wanted(n, r)))
            continue;
        int64_t message = wanted ? first_said(t, n->message) : n->message; /* undo: the last text */
        if (!best || message > best_message) {
            best = n;
            best_message = message;
        }
    }
    return best;
}

static int64_t turn_id(const struct turn *t) {
    return t->people[t->sender].id;
}

/* Something of the message is in force. */
static bool stands(const struct farm *farm, int64_t message) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].message == message && farm->in_force[i])
            return true;
    return false;
}

/* -- undo ----------------------------------------------------------------------------------------
 */

/* The newest text of the sender that another phone has put right, and that fix; 0 none. */
static int64_t fixed_by_other(const struct turn *t, int64_t *own) {
    const struct farm *farm = t->farm;
    int64_t me = turn_id(t), fix = 0;
    *own = 0;
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (n->kind != ENTRY_UNDO || n->person == me || !farm_is_fix(farm, n->message) ||
            !stands(farm, n->message) || n->value[0] <= *own)
            continue;
        for (int k = 0; k < i; k++)
            if (farm->entries[k].message == n->value[0] && farm->entries[k].person == me) {
                *own = n->value[0];
                fix = n->message;
            }
    }
    return fix;
}

/* Without a tag the newest text of this phone; with one the newest about it, whoever said it: the
 * owner may take back another's after seeing it. 0: an answer was given. */
static int64_t message_meant(struct turn *t, const struct request *r) {
    const struct turn_person *sender = turn_sender(t);
    if (sender->role == ROLE_WATCHER) {
        TURN_SAY(t, UNDO_NOTHING);
        return 0;
    }
    int64_t message = 0;
    if (request_has(r, SLOT_TAG)) {
        const struct subjects s = subjects_of(t, r->tag);
        const struct entry *n = newest(t, &s, NULL, r);
        message = n ? n->message : 0;
    } else {
        message = farm_last_message(t->farm, sender->id);
        int64_t own = 0, fix = fixed_by_other(t, &own);
        if (own > message) { /* never past it to something older */
            TURN_SAY(t, UNDO_FIXED, V_TEXT(turn_message_text(t, fix)));
            return 0;
        }
    }
    if (!message) {
        if (request_has(r, SLOT_TAG))
            TURN_SAY(t, UNDO_NOTHING_TAG, V_TAG(r->tag));
        else
            TURN_SAY(t, UNDO_NOTHING);
        return 0;
    }
    bool others = message_person(t, message) != sender->id;
    if (others && sender->role != ROLE_OWNER) {
        TURN_SAY(t, UNDO_OTHERS, V_TEXT(turn_message_text(t, message)));
        return 0;
    }
    if (others && !(r->confirms & CONFIRM_OTHERS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_OTHERS, ASK_UNDO_OTHERS,
                 V_TEXT(turn_message_text(t, message)), V_WHEN(turn_message_said(t, message)));
        return 0;
    }
    int64_t said_s = turn_message_said(t, message);
    if (!others && t->now_s - said_s > OLD_H * INT64_C(3600) && !(r->confirms & CONFIRM_OLD)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_OLD, ASK_UNDO_OLD,
                 V_TEXT(turn_message_text(t, message)), V_WHEN(said_s));
        return 0;
    }
    return message;
}

void turn_do_undo(struct turn *t, const struct request *r) {
    int64_t message = message_meant(t, r);
    if (!message)
        return;
    /* a fix taken back leaves what it had put right: nothing loses its hold */
    int64_t leans = farm_is_fix(t->farm, message) ? 0 : farm_leans_on(t->farm, message);
    if (leans && !(r->confirms & CONFIRM_LEANS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_LEANS, ASK_UNDO_LEANS,
                 V_TEXT(turn_message_text(t, message)), V_TEXT(turn_message_text(t, leans)));
        return;
    }
    turn_record(t, ENTRY_UNDO, SUBJECT_HATCHERY, 0, t->now_s, message, 0, 0);
    if (turn_commit(t))
        TURN_SAY(t, UNDONE, V_TEXT(turn_message_text(t, message)),
                 V_WHEN(turn_message_said(t, message)));
}

/* -- fix -----------------------------------------------------------------------------------------
 */

/* A reading of water, by what was read. */
static int reading_of(const struct entry *n, const struct request *r) {
    static const enum request_slot slots[READING_END] = {[READING_OXYGEN] = SLOT_OXYGEN,
                                                         [READING_PH] = SLOT_PH,
                                                         [READING_AMMONIA] = SLOT_AMMONIA,
                                                         [READING_NITRITE] = SLOT_NITRITE,
                                                         [READING_SECCHI] = SLOT_SECCHI};
    if (n->kind == ENTRY_POND_PH)
        return request_has(r, SLOT_PH) ? 0 : -1;
    return n->kind == ENTRY_READING && request_has(r, slots[n->value[0]]) ? 1 : -1;
}

static int64_t reading_value(const struct entry *n, const struct request *r) {
    if (n->kind == ENTRY_POND_PH || n->value[0] == READING_PH)
        return r->ph_milli;
    return n->value[0] == READING_OXYGEN    ? r->oxygen_ug_l
           : n->value[0] == READING_AMMONIA ? r->ammonia_ug_l
           : n->value[0] == READING_NITRITE ? r->nitrite_ug_l
                                            : r->secchi_mm;
}

#define READINGS                                                                                   \
    (SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_PH) | SLOT_BIT(SLOT_AMMONIA) | SLOT_BIT(SLOT_NITRITE) | \
     SLOT_BIT(SLOT_SECCHI))

static bool of_feed(const struct entry *n) {
    return n->kind == ENTRY_GIVEN || n->kind == ENTRY_BOUGHT || n->kind == ENTRY_STORE;
}

/* Which value of an entry has the unit that the text gave; -1 none. */
static int value_of(const struct entry *n, const struct request *r) {
    if (request_has(r, SLOT_CHOICE)) /* so many tins */
        return of_feed(n) && request_has(r, SLOT_COUNT) ? 0 : -1;
    if (request_has(r, SLOT_WEIGHT)) {
        switch (n->kind) {
        case ENTRY_STRIPPED:
        case ENTRY_GIVEN:
        case ENTRY_BOUGHT:
        case ENTRY_STORE:
            return 0;
        case ENTRY_MEASURE:
        case ENTRY_SAMPLED:
            return 1;
        case ENTRY_INJECTED:
        case ENTRY_BROOD:
            return 2;
        case ENTRY_HARVESTED:
        case ENTRY_SOLD:
            return n->value[1] ? 1 : -1;
        case ENTRY_STOCKED:
            return n->value[2] ? 2 : -1;
        default:
            return -1;
        }
    }
    if (request_has(r, SLOT_WATER))
        return n->kind == ENTRY_WATER ? 0 : -1;
    if (r->has & READINGS)
        return reading_of(n, r);
    if (!request_has(r, SLOT_COUNT))
        return -1;
    switch (n->kind) {
    case ENTRY_WHITE:
    case ENTRY_HATCHED:
    case ENTRY_DIED:
    case ENTRY_COUNTED:
    case ENTRY_SOLD:
    case ENTRY_GRADED:
    case ENTRY_STOLEN:
    case ENTRY_SAMPLED:
        return 0;
    case ENTRY_STOCKED:
        return 1;
    case ENTRY_HARVESTED:
        return 0;
    default:
        return -1;
    }
}

/* Eggs never outweigh what her weight allows: 1.3kg behind a strip means her. */
static bool has_unit(const struct entry *n, const struct request *r) {
    enum { EGGS_MOST_MG = 1000000, FEMALE_LEAST_MG = 300000 };
    if (value_of(n, r) < 0)
        return false;
    if (request_has(r, SLOT_WEIGHT) && n->kind == ENTRY_STRIPPED)
        return r->weight_mg < EGGS_MOST_MG;
    if (request_has(r, SLOT_WEIGHT) && (n->kind == ENTRY_INJECTED || n->kind == ENTRY_BROOD))
        return r->weight_mg >= FEMALE_LEAST_MG;
    return true;
}

static bool any_report(const struct entry *n, const struct request *r) {
    (void)r;
    return n->subject_kind != SUBJECT_BROOD || n->kind == ENTRY_BROOD_DIED;
}

/* So many fish weighed together; those weighed one by one have their own numbers. */
static bool sampled_again(struct entry *copy, int64_t count, int64_t total_mg) {
    struct sample s = sample_of_total(count, total_mg);
    if (copy->value[3] || s.reason != SAMPLE_OK)
        return false;
    copy->value[0] = count;
    copy->value[1] = s.mean_mg * 1000;
    copy->value[2] = s.error_mg * 1000;
    return true;
}

/* The new value of a count: of a share where the entry holds one. False: it cannot be. */
static bool new_value(struct turn *t, const struct entry *n, const struct request *r,
                      struct entry *copy) {
    int at = value_of(n, r);
    if (of_feed(n) || n->kind == ENTRY_MEASURE)
        return turn_feed_again(t, r, n, &copy->value[at]);
    const struct spawn *s =
        n->subject_kind == SUBJECT_SPAWN ? farm_spawn(&t->farm->state, n->subject) : NULL;
    if (request_has(r, SLOT_WEIGHT)) {
        copy->value[at] = n->kind == ENTRY_STOCKED ? r->weight_mg * 1000 : r->weight_mg;
        if (n->kind == ENTRY_STOCKED)
            copy->value[5] &= STOCKED_ALL; /* weighed now */
        if (n->kind == ENTRY_SAMPLED)
            return sampled_again(copy, n->value[0], r->weight_mg);
        bool eggs = n->kind == ENTRY_STRIPPED;
        return !eggs || !s || eggs_plausible(r->weight_mg, s->weight_mg);
    }
    if (request_has(r, SLOT_WATER)) {
        copy->value[at] = r->water_mdegc;
        return r->water_mdegc >= 4000 && r->water_mdegc <= 40000;
    }
    if (r->has & READINGS) { /* whether it can be was judged before */
        copy->value[at] = reading_value(n, r);
        return true;
    }
    copy->value[at] = r->count;
    if (n->kind == ENTRY_SAMPLED)
        return sampled_again(copy, r->count, n->value[0] * n->value[1] / 1000);
    if (n->kind == ENTRY_STOCKED && r->count < n->value[at])
        copy->value[5] &= STOCKED_RECKONED; /* fewer than thought: some stay behind */
    if (n->kind == ENTRY_WHITE) {
        copy->value[1] = request_has(r, SLOT_OF) ? r->of : n->value[1];
        return r->count >= 0 && copy->value[1] > 0 && r->count <= copy->value[1];
    }
    if (n->kind == ENTRY_HATCHED && request_has(r, SLOT_OF)) {
        int64_t eggs = s ? eggs_of_weight(s->eggs_mg) : 0;
        copy->value[0] = r->of > 0 ? (int64_t)((double)eggs * (double)r->count / (double)r->of) : 0;
        copy->value[1] = HATCH_SHARE;
        return r->of > 0 && r->count >= 0 && r->count <= r->of;
    }
    const struct cycle *c =
        n->subject_kind == SUBJECT_CYCLE ? farm_cycle(&t->farm->state, n->subject) : NULL;
    bool out = n->kind == ENTRY_HARVESTED || n->kind == ENTRY_SOLD || n->kind == ENTRY_DIED ||
               n->kind == ENTRY_STOLEN;
    if (c && out && r->count > c->count) /* more than were ever put in */
        return false;
    bool none = n->kind == ENTRY_HATCHED || n->kind == ENTRY_COUNTED || n->kind == ENTRY_GRADED;
    return r->count >= (none ? 0 : 1) && r->count <= 5000000; /* as many as any report may say */
}

/* A value read in water. */
static bool of_water(const struct entry *n) {
    return n->kind == ENTRY_READING || n->kind == ENTRY_POND_PH ||
           (n->kind == ENTRY_WATER && n->subject_kind == SUBJECT_POND);
}

static void answer(struct turn *t, const struct entry *n, int64_t message, bool moved) {
    const struct farm_state *st = &t->farm->state;
    bool measure = n->kind == ENTRY_MEASURE;
    const struct spawn *s = n->subject_kind == SUBJECT_SPAWN ? farm_spawn(st, n->subject) : NULL;
    struct reply_value what = V_TEXT(turn_message_text(t, message));
    struct reply_value said = V_WHEN(turn_message_said(t, message));
    if (s && n->kind == ENTRY_INJECTED && spawn_phase(s) == PHASE_FISH) {
        turn_say_injected(t, s, false);
    } else if (s && n->kind == ENTRY_STRIPPED && spawn_phase(s) == PHASE_EGGS) {
        turn_say_stripped(t, s);
    } else if (of_water(n) && !moved) {
        TURN_SAY(t, FIXED_READING, what, said);
        turn_say_reading(t, n);
    } else if (n->kind == ENTRY_SAMPLED && !moved) {
        TURN_SAY(t, FIXED_READING, what, said);
        (void)turn_say_sample(t, n);
    } else if (of_feed(n) || measure) {
        TURN_SAY(t, FIXED_FEED, what, V_WEIGHT(n->value[measure]),
                 V_TEXT(turn_feed_name(t, t->sender, n->value[measure ? 2 : 1])), V_WHEN(n->at_s));
    } else {
        TURN_SAY(t, FIXED, what, said);
    }
}

/* Takes the message back. One that was a fix itself held back what it put right: that is held back
 * by the new one. False: too many fixes of one text. */
static bool take_back(struct turn *t, int64_t message) {
    int entries = 1;
    for (int i = 0; i < t->farm->count; i++)
        entries += t->farm->entries[i].message == message;
    if (entries > TURN_ENTRIES_MAX) {
        TURN_SAY(t, FIX_IMPOSSIBLE, V_TEXT(turn_message_text(t, message)));
        return false;
    }
    turn_record(t, ENTRY_UNDO, SUBJECT_HATCHERY, 0, t->now_s, message, 0, 0);
    for (int i = 0; i < t->farm->count; i++)
        if (t->farm->entries[i].message == message && t->farm->entries[i].kind == ENTRY_UNDO)
            turn_record(t, ENTRY_UNDO, SUBJECT_HATCHERY, 0, t->now_s, t->farm->entries[i].value[0],
                        0, 0);
    return true;
}

/* Takes the message back and says its entries again; `changed` in place of `old`; all moved in time
 * by `later_s`. Answered is the injection or the strip among them, else what was changed. */
static void say_again(struct turn *t, const struct entry *old, const struct entry *changed,
                      int64_t later_s) {
    int64_t message = old->message;
    int count = t->farm->count;
    struct entry said = *changed;
    said.at_s += later_s;
    if (!take_back(t, message))
        return;
    for (int i = 0; i < count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message != message || !t->farm->in_force[i])
            continue;
        struct entry copy = n == old ? *changed : *n;
        if (copy.kind == ENTRY_BIG && changed->kind == ENTRY_HARVESTED) {
            copy.value[0] = changed->value[0]; /* the same catch */
            copy.value[1] = changed->value[1];
        }
        copy.at_s += later_s;
        turn_record_entry(t, copy);
        if ((copy.kind == ENTRY_INJECTED || copy.kind == ENTRY_STRIPPED) &&
            copy.subject == changed->subject)
            said = copy;
    }
    if (turn_commit(t))
        answer(t, &said, first_said(t, message), later_s != 0);
}

static void fix_value(struct turn *t, struct request *r, const struct subjects *s) {
    const struct entry *old = newest(t, s, has_unit, r), *last = newest(t, s, any_report, r);
    bool bare = request_has(r, SLOT_COUNT) && !request_has(r, SLOT_CHOICE);
    if (last && last->kind == ENTRY_GIVEN && bare) { /* 4 of what? */
        TURN_SAY(t, FIX_FEED_HOW, V_TAG(r->tag));
        return;
    }
    if (!old) {
        TURN_SAY(t, FIX_NOTHING, V_TAG(r->tag));
        return;
    }
    struct entry changed = *old;
    if (turn_impossible_reading(t, r))
        return;
    if (request_has(r, SLOT_WEIGHT) && (old->kind == ENTRY_INJECTED || old->kind == ENTRY_BROOD) &&
        !turn_fish_weight(t, r, r->weight_mg))
        return;
    if (!new_value(t, old, r, &changed)) {
        TURN_SAY(t, FIX_IMPOSSIBLE, V_TEXT(turn_message_text(t, first_said(t, old->message))));
        return;
    }
    say_again(t, old, &changed, 0);
}

static bool same_text_injects(const struct turn *t, const struct entry *n) {
    for (int i = 0; i < t->farm->count; i++)
        if (t->farm->entries[i].message == n->message && t->farm->entries[i].kind == ENTRY_INJECTED)
            return true;
    return false;
}

/* A report of her has no meaning before the needle, one of eggs none before the strip; the
 * injection itself stays before the strip. False: refused. */
static bool hour_possible(struct turn *t, const struct entry *old, int64_t at_s) {
    const struct cycle *c = old->kind == ENTRY_GIVEN || old->kind == ENTRY_LEFT
                                ? turn_cycle_then(&t->farm->state, (int)old->subject, old->at_s)
                                : NULL;
    if (c && at_s < c->stocked_s) {
        TURN_SAY(t, HOUR_BEFORE, V_TAG(turn_pond_tag(c->pond)), V_WHEN(at_s), V_WHEN(c->stocked_s));
        return false;
    }
    const struct spawn *s =
        old->subject_kind == SUBJECT_SPAWN ? farm_spawn(&t->farm->state, old->subject) : NULL;
    if (!s)
        return true;
    if (same_text_injects(t, old)) {
        if (!s->stripped_s || at_s < s->stripped_s)
            return true;
        TURN_SAY(t, FIX_IMPOSSIBLE, V_TEXT(turn_message_text(t, first_said(t, old->message))));
        return false;
    }
    bool eggs = old->kind == ENTRY_WHITE || old->kind == ENTRY_FRAMES ||
                (old->kind >= ENTRY_SPOILT && old->kind <= ENTRY_SOLD);
    int64_t first_s = eggs ? s->stripped_s : s->injected_s;
    if (at_s >= first_s)
        return true;
    TURN_SAY(t, HOUR_BEFORE, V_TAG(turn_tag(s)), V_WHEN(at_s), V_WHEN(first_s));
    return false;
}

static void fix_hour(struct turn *t, struct request *r, const struct subjects *s) {
    int64_t at_s;
    const struct entry *old = newest(t, s, any_report, r);
    if (!old) {
        TURN_SAY(t, FIX_NOTHING, V_TAG(r->tag));
        return;
    }
    if (!turn_fill_instant(t, r, &at_s) || !hour_possible(t, old, at_s))
        return;
    int64_t moved_s = at_s > old->at_s ? at_s - old->at_s : old->at_s - at_s;
    if (moved_s > (int64_t)HOUR_FAR_MIN * 60 && !(r->confirms & CONFIRM_HOUR)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_HOUR, ASK_FIX_HOUR,
                 V_TEXT(turn_message_text(t, first_said(t, old->message))), V_WHEN(old->at_s),
                 V_WHEN(at_s));
        return;
    }
    const struct entry same = *old;
    say_again(t, old, &same, at_s - old->at_s);
}

/* The other fish: the spawn meant, if the report fits its stage; false: an answer was given. */
static bool other_spawn(struct turn *t, struct request *r, const struct entry *old,
                        int64_t *spawn) {
    struct request to = {.kind = r->kind, .has = SLOT_BIT(SLOT_TAG), .tag = r->also[0]};
    enum spawn_stage stage = SPAWN_ANY;
    if (old->kind == ENTRY_NOT_READY || old->kind == ENTRY_NO_EGGS || old->kind == ENTRY_STRIPPED)
        stage = SPAWN_BEFORE;
    else if (old->kind != ENTRY_WATER && old->kind != ENTRY_FOLLOW)
        stage = SPAWN_BROOD;
    const struct spawn *s = turn_fill_spawn(t, &to, stage, old->at_s);
    if (s)
        *spawn = s->number;
    return s != NULL;
}

/* "fix f3 f4": the newest report about F3 was about F4. Everything of that text moves; what was
 * reported later about F3 stays hers. */
static void fix_fish(struct turn *t, struct request *r, const struct subjects *s) {
    const struct entry *old = newest(t, s, any_report, r);
    if (!old || r->tag.letter != 'f' || old->subject_kind != SUBJECT_SPAWN) {
        TURN_SAY(t, FIX_NOTHING, V_TAG(r->tag));
        return;
    }
    int64_t message = old->message, leans = farm_leans_on(t->farm, message), spawn = old->subject;
    int count = t->farm->count;
    bool injected = false;
    for (int i = 0; i < count; i++)
        injected |= t->farm->in_force[i] && t->farm->entries[i].message == message &&
                    t->farm->entries[i].kind == ENTRY_INJECTED;
    if (!injected && leans && !(r->confirms & CONFIRM_LEANS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_LEANS, ASK_UNDO_LEANS,
                 V_TEXT(turn_message_text(t, message)), V_TEXT(turn_message_text(t, leans)));
        return;
    }
    if (!injected && !other_spawn(t, r, old, &spawn))
        return;
    const struct brood *fish = farm_brood_tag(&t->farm->state, SEX_FEMALE, r->also[0].number);
    int64_t female = fish && !fish->died_s ? fish->id : farm_next(t->farm, SUBJECT_BROOD);
    int64_t was = old->subject;
    if (!take_back(t, message))
        return;
    for (int i = 0; i < count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message != message || !t->farm->in_force[i])
            continue;
        struct entry copy = *n;
        if (copy.subject_kind == SUBJECT_SPAWN && copy.subject == was)
            copy.subject = spawn;
        if (copy.kind == ENTRY_INJECTED) {
            copy.value[0] = female;
            copy.value[1] = r->also[0].number;
        }
        turn_record_entry(t, copy);
    }
    if (turn_commit(t))
        TURN_SAY(t, FIXED_FISH, V_TEXT(turn_message_text(t, first_said(t, message))),
                 V_TAG(r->also[0]));
}

/* "fix 45kg", "fix 3 bags" without a tag: what the sender texted last, when it was about the store
 * or a measure. False: it was about something else. */
static bool fix_store(struct turn *t, struct request *r) {
    int64_t message = farm_last_message(t->farm, turn_id(t));
    const struct entry *old = NULL;
    int found = 0;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (!t->farm->in_force[i] || n->message != message ||
            (n->kind != ENTRY_BOUGHT && n->kind != ENTRY_STORE && n->kind != ENTRY_MEASURE))
            continue;
        old = n;
        found++;
    }
    if (!found || request_has(r, SLOT_TAG))
        return false;
    struct entry changed = *old;
    if (found > 1 || value_of(old, r) < 0 || !new_value(t, old, r, &changed))
        TURN_SAY(t, FIX_IMPOSSIBLE, V_TEXT(turn_message_text(t, first_said(t, message))));
    else
        say_again(t, old, &changed, 0);
    return true;
}

void turn_do_fix(struct turn *t, struct request *r) {
    if (turn_sender(t)->role == ROLE_WATCHER) {
        TURN_SAY(t, UNDO_NOTHING);
        return;
    }
    if (fix_store(t, r))
        return;
    if (!request_has(r, SLOT_TAG)) {
        TURN_ASK(t, r, SLOT_TAG, ASK_FIX_TAG);
        return;
    }
    const struct subjects s = subjects_of(t, r->tag);
    if (request_has(r, SLOT_ALSO))
        fix_fish(t, r, &s);
    else if (request_has(r, SLOT_WEIGHT) || request_has(r, SLOT_WATER) ||
             request_has(r, SLOT_COUNT) || (r->has & READINGS))
        fix_value(t, r, &s);
    else if (request_has(r, SLOT_TIME) && r->now)
        TURN_SAY(t, NOTED_OK_PLAIN);
    else if (request_has(r, SLOT_TIME))
        fix_hour(t, r, &s);
    else
        TURN_SAY(t, FIX_HOW, V_TAG(r->tag));
}
