/* fix: one value, one hour or the fish of a text is put right: the old text is taken back and said
 * again with the new value, about the same subjects, so that what was reported later stays with
 * them, and judged as the first report was, by the farm as it stood then. In: a request; out:
 * entries and an answer, or one question; whoever had reported it is told. */
#include "turn/again.h"
#include "turn/correct.h"
#include "turn/fixed.h"

enum {
    EGGS_MOST_MG = 1000000,  /* 1.3kg behind a strip means her: eggs never outweigh that */
    FEMALE_LEAST_MG = 300000 /* and no brood fish weighs less */
};

/* -- which entry ---------------------------------------------------------------------------------
 */

static bool reads(const struct entry *n, const struct request *r) {
    switch (again_reading(n)) {
    case READING_OXYGEN:
        return (r->has & AGAIN_READINGS) == SLOT_BIT(SLOT_OXYGEN);
    case READING_PH:
        return (r->has & AGAIN_READINGS) == SLOT_BIT(SLOT_PH);
    case READING_AMMONIA:
        return (r->has & AGAIN_READINGS) == SLOT_BIT(SLOT_AMMONIA);
    case READING_NITRITE:
        return (r->has & AGAIN_READINGS) == SLOT_BIT(SLOT_NITRITE);
    case READING_SECCHI:
        return (r->has & AGAIN_READINGS) == SLOT_BIT(SLOT_SECCHI);
    default:
        return false;
    }
}

static bool weight_fits(const struct entry *n, int64_t weight_mg) {
    if (n->kind == ENTRY_STRIPPED)
        return weight_mg < EGGS_MOST_MG;
    if (n->kind == ENTRY_INJECTED || n->kind == ENTRY_BROOD)
        return weight_mg >= FEMALE_LEAST_MG;
    return true;
}

/* It has every value that the text gave. */
static bool has_values(const struct entry *n, const struct request *r) {
    if ((r->has & AGAIN_READINGS) && !reads(n, r))
        return false;
    if (request_has(r, SLOT_CHOICE)) /* so many tins */
        return again_feed(n) && request_has(r, SLOT_COUNT) && !request_has(r, SLOT_WEIGHT);
    if (request_has(r, SLOT_WATER) && n->kind != ENTRY_WATER)
        return false;
    if (request_has(r, SLOT_WEIGHT) && (again_weight(n) < 0 || !weight_fits(n, r->weight_mg)))
        return false;
    bool share = n->kind == ENTRY_WHITE || n->kind == ENTRY_HATCHED;
    if (request_has(r, SLOT_OF) && !share)
        return false;
    return !request_has(r, SLOT_COUNT) || again_count(n) >= 0;
}

static bool any_report(const struct entry *n, const struct request *r) {
    (void)r;
    return n->subject_kind != SUBJECT_BROOD || n->kind == ENTRY_BROOD_DIED;
}

static bool gives_value(const struct request *r) {
    return request_has(r, SLOT_WEIGHT) || request_has(r, SLOT_WATER) ||
           request_has(r, SLOT_COUNT) || (r->has & AGAIN_READINGS);
}

/* -- saying it again -----------------------------------------------------------------------------
 */

/* What is said again stays with whoever had reported it: he is at the tank. */
static void record_again(struct turn *t, struct entry copy) {
    int64_t person = copy.person;
    turn_record_entry(t, copy);
    if (!t->e)
        t->entries[t->entry_count - 1].person = person;
}

/* One number that was typed may stand in several entries: the water of her and of her tank. */
static bool same_value(const struct entry *n, const struct entry *old) {
    return n == old || (n->kind == ENTRY_WATER && old->kind == ENTRY_WATER &&
                        n->value[0] == old->value[0] && n->at_s == old->at_s);
}

static int count_of_text(const struct turn *t, int64_t message, enum entry_kind kind) {
    int count = 0;
    for (int i = 0; i < t->farm->count; i++)
        count += t->farm->entries[i].message == message && t->farm->in_force[i] &&
                 t->farm->entries[i].kind == kind;
    return count;
}

/* Several females of one text: the hour is put right of the one that is named. */
static bool hour_is_its(const struct turn *t, const struct entry *n, const struct entry *old) {
    bool each =
        count_of_text(t, old->message, ENTRY_INJECTED) > 1 ||
        (old->kind == ENTRY_NOT_READY && count_of_text(t, old->message, ENTRY_NOT_READY) > 1);
    return !each || (n->subject_kind == old->subject_kind && n->subject == old->subject);
}

/* Takes the message back and says its entries again with what changed. False: it was said why. */
static bool say_again(struct turn *t, const struct entry *old, const struct entry *changed,
                      int64_t later_s) {
    int count = t->farm->count;
    if (!correct_take_back(t, old->message))
        return false;
    for (int i = 0; i < count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message != old->message || !t->farm->in_force[i])
            continue;
        struct entry copy = n == old ? *changed : *n;
        if (same_value(n, old))
            copy.value[0] = changed->value[0];
        turn_fix_beside(&copy, old, changed);
        copy.at_s += hour_is_its(t, n, old) ? later_s : 0;
        record_again(t, copy);
    }
    return turn_commit(t);
}

/* Of a text whose hour moved, what is answered: the injection or the strip, else what was meant. */
static const struct entry *main_of(const struct turn *t, const struct entry *old) {
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message == old->message && t->farm->in_force[i] && n->subject == old->subject &&
            n->subject_kind == old->subject_kind &&
            (n->kind == ENTRY_INJECTED || n->kind == ENTRY_STRIPPED))
            return n;
    }
    return old;
}

static bool same(const struct entry *a, const struct entry *b) {
    for (int i = 0; i < ENTRY_VALUES_MAX; i++)
        if (a->value[i] != b->value[i])
            return false;
    return true;
}

static void put_right(struct turn *t, const struct request *r, const struct entry *old) {
    bool value = gives_value(r);
    int64_t later_s;
    struct entry was = *old, now = *old;
    int64_t shown = correct_first_said(t, old->message);
    if (correct_refused(t, old->message, shown, REPLY_FIX_OTHERS) ||
        !again_later(t, r, old, &later_s) || (value && !again_values(t, r, old, &was, &now)))
        return;
    if (!later_s && same(&now, old)) /* the same text came twice, or it was right */
        fixed_say_same(t, r->tag, &was, !value);
    if ((!later_s && same(&now, old)) || !turn_stock_covers(t, r, old, &was, &now) ||
        !again_hatch_covers(t, r, &now) ||
        !correct_sure(t, r, old->message, shown, REPLY_ASK_FIX_OTHERS) ||
        !say_again(t, old, &now, later_s))
        return;
    now.at_s += later_s;
    if (value && again_count(&now) >= 0 && !request_has(r, SLOT_COUNT) &&
        !now.value[again_count(&now)])
        now.value[again_count(&now)] = was.value[again_count(&was)]; /* all of them, as before */
    fixed_say(t, r->tag, &was, &now);
    if (value)
        turn_say_sum_stays(t);
}

static void fix_entry(struct turn *t, const struct request *r, const struct correct_subjects *s) {
    bool value = gives_value(r), bare = request_has(r, SLOT_COUNT) && !request_has(r, SLOT_CHOICE);
    const struct entry *last = correct_newest(t, s, any_report, r);
    const struct entry *old = value ? correct_newest(t, s, has_values, r) : last;
    if (last && last->kind == ENTRY_GIVEN && bare) /* 4 of what? */
        TURN_SAY(t, FIX_FEED_HOW, V_TAG(r->tag));
    else if (!old)
        TURN_SAY(t, FIX_NOTHING, V_TAG(r->tag));
    else
        put_right(t, r, value ? old : main_of(t, old));
}

/* "fix 45kg", "fix 3 bags" without a tag: what the sender texted last, when it was about the store
 * or a measure. False: it was about something else. */
static bool fix_store(struct turn *t, const struct request *r) {
    int64_t message = farm_last_message(t->farm, turn_sender(t)->id);
    bool value = gives_value(r);
    const struct entry *old = NULL;
    int found = 0;
    for (int i = 0; i < t->farm->count && !request_has(r, SLOT_TAG); i++) {
        const struct entry *n = &t->farm->entries[i];
        if (!t->farm->in_force[i] || n->message != message ||
            (n->kind != ENTRY_BOUGHT && n->kind != ENTRY_STORE && n->kind != ENTRY_MEASURE))
            continue;
        old = n;
        found++;
    }
    if (!found)
        return false;
    if (found > 1 || (value ? !has_values(old, r) : !request_has(r, SLOT_TIME)))
        again_cannot_be(t, old);
    else
        put_right(t, r, old);
    return true;
}

/* -- the other fish ------------------------------------------------------------------------------
 */

/* The other fish: the spawn meant, if the report fits its stage; false: an answer was given. */
static bool other_spawn(struct turn *t, const struct request *r, const struct entry *old,
                        int64_t *spawn) {
    struct request to = {.kind = r->kind, .has = SLOT_BIT(SLOT_TAG), .tag = r->also[0]};
    enum spawn_stage stage = SPAWN_ANY;
    if (old->kind == ENTRY_NOT_READY || old->kind == ENTRY_NO_EGGS || old->kind == ENTRY_STRIPPED ||
        old->kind == ENTRY_BOWL)
        stage = SPAWN_BEFORE;
    else if (old->kind != ENTRY_WATER && old->kind != ENTRY_FOLLOW)
        stage = SPAWN_BROOD;
    const struct spawn *s = turn_fill_spawn(t, &to, stage, old->at_s);
    if (s)
        *spawn = s->number;
    return s != NULL;
}

/* Everything about subject `was` is about `spawn` (of ponds: a cycle or a pond) now, and about
 * female `tag` if it was injected. */
struct move {
    enum subject_kind kind;
    int64_t was, spawn, female;
    int tag;
};

static struct entry moved(const struct entry *n, const struct move *m) {
    struct entry copy = *n;
    if (copy.subject_kind == m->kind && copy.subject == m->was)
        copy.subject = m->spawn;
    if (copy.kind == ENTRY_BOWL && copy.value[0] == m->was)
        copy.value[0] = m->spawn;
    if (copy.kind == ENTRY_INJECTED && copy.subject == m->spawn) {
        copy.value[0] = m->female;
        copy.value[1] = m->tag;
    }
    return copy;
}

/* What the newest report about her says of her: she may be the other one of a bowl. */
static const struct entry *hers(const struct turn *t, const struct entry *newest, int64_t spawn) {
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message == newest->message && t->farm->in_force[i] && n->kind == ENTRY_BOWL &&
            n->value[0] == spawn)
            return n;
    }
    return newest;
}

/* Takes the message back and says it again, moved. False: it was said why. */
static bool move(struct turn *t, int64_t message, const struct move *m) {
    int count = t->farm->count;
    if (!correct_take_back(t, message))
        return false;
    for (int i = 0; i < count; i++)
        if (t->farm->entries[i].message == message && t->farm->in_force[i])
            record_again(t, moved(&t->farm->entries[i], m));
    return turn_commit(t);
}

/* "fix f3 f4": the newest report about F3 was about F4. Everything of that text moves; what was
 * reported later about F3 stays hers. */
static void fix_fish(struct turn *t, const struct request *r, const struct correct_subjects *s) {
    const struct entry *old = correct_newest(t, s, any_report, r);
    int64_t own = s->count > 1 && s->all[1].kind == SUBJECT_SPAWN ? s->all[1].id : 0;
    old = old ? hers(t, old, own) : NULL;
    if (!old || old->subject_kind != SUBJECT_SPAWN) {
        if (old) /* the fish herself has died, or a tank was read */
            TURN_SAY(t, FIX_ANEW, V_TAG(r->tag));
        else
            TURN_SAY(t, FIX_NOTHING, V_TAG(r->tag));
        return;
    }
    struct entry was = *main_of(t, old);
    struct move m = {.kind = SUBJECT_SPAWN,
                     .was = old->kind == ENTRY_BOWL && old->value[0] == own ? own : old->subject};
    m.spawn = m.was;
    int64_t message = old->message, leans = farm_leans_on(t->farm, message);
    bool injected = again_injects(t, old);
    int64_t shown = correct_first_said(t, message);
    if (correct_refused(t, message, shown, REPLY_FIX_OTHERS))
        return;
    if (!injected && leans && !(r->confirms & CONFIRM_LEANS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_LEANS, ASK_UNDO_LEANS,
                 V_TEXT(turn_message_text(t, message)), V_TEXT(turn_message_text(t, leans)));
        return;
    }
    if ((!injected && !other_spawn(t, r, old, &m.spawn)) ||
        !correct_sure(t, r, message, shown, REPLY_ASK_FIX_OTHERS))
        return;
    const struct brood *fish = farm_brood_tag(&t->farm->state, SEX_FEMALE, r->also[0].number);
    m.female = fish && !fish->died_s ? fish->id : farm_next(t->farm, SUBJECT_BROOD);
    m.tag = r->also[0].number;
    if (move(t, message, &m))
        fixed_say_fish(t, r->tag, r->also[0], &was, m.spawn);
}

/* Feed goes to fish, and not to so few. False: it was said why. */
static bool other_pond_fed(struct turn *t, const struct request *r, const struct entry *old) {
    const struct request weighed = {.has = SLOT_BIT(SLOT_WEIGHT), .weight_mg = old->value[0]};
    struct entry there = *old;
    there.subject = r->also[0].number;
    if (old->kind != ENTRY_GIVEN && old->kind != ENTRY_LEFT)
        return true;
    if (!again_fed(&t->farm->state, &there)) {
        TURN_SAY(t, POND_EMPTY, V_TAG(r->also[0]));
        return false;
    }
    if (old->kind == ENTRY_LEFT || turn_feed_again(t, &weighed, &there, &there.value[0]))
        return true;
    again_cannot_be(t, old);
    return false;
}

/* Which pond, or what swam in it then, a report is about instead. False: an answer was given. */
static bool other_pond(struct turn *t, const struct request *r, const struct entry *old,
                       int64_t *subject) {
    const struct pond *pond = farm_pond(&t->farm->state, r->also[0].number);
    if (!pond) {
        turn_refuse_pond(t, r->also[0]);
        return false;
    }
    *subject = pond->number;
    if (old->subject_kind == SUBJECT_POND)
        return other_pond_fed(t, r, old);
    struct entry moved = *old;
    bool fits = false;
    t->e = farm_fold_before(t->farm, (int)(old - t->farm->entries));
    const struct cycle *c =
        t->e ? NULL : turn_cycle_then(&t->farm->state, r->also[0].number, old->at_s);
    if (!c && !t->e && (old->kind == ENTRY_SOLD || old->kind == ENTRY_DIED))
        c = turn_net_then(&t->farm->state, r->also[0].number, old->at_s);
    if (c) {
        *subject = moved.subject = c->number;
        fits = again_cycle_fits(t, r, c, &moved);
    } else if (!t->e) {
        TURN_SAY(t, POND_EMPTY, V_TAG(r->also[0]));
    }
    if (!t->e)
        t->e = farm_fold(t->farm);
    return fits && !t->e;
}

/* "fix p4 p5": the newest report about P4 was about P5. What was stocked is not moved so: its fish
 * came from somewhere. */
static void fix_pond(struct turn *t, const struct request *r, const struct correct_subjects *s) {
    const struct entry *old = correct_newest(t, s, any_report, r);
    if (!old || old->kind == ENTRY_STOCKED || old->kind == ENTRY_POND) {
        TURN_SAY(t, FIX_ANEW, V_TAG(r->tag));
        return;
    }
    const struct entry was = *old;
    struct move m = {.kind = old->subject_kind, .was = old->subject};
    int64_t message = old->message, shown = correct_first_said(t, message);
    if (correct_refused(t, message, shown, REPLY_FIX_OTHERS) || !other_pond(t, r, old, &m.spawn) ||
        !correct_sure(t, r, message, shown, REPLY_ASK_FIX_OTHERS))
        return;
    if (move(t, message, &m))
        fixed_say_fish(t, r->tag, r->also[0], &was, 0);
}

/* -- fix -----------------------------------------------------------------------------------------
 */

/* What the sender said last, where that is a sum of money alone, which has no tag; NULL: it is not.
 */
static const struct entry *sum_last(struct turn *t) {
    const struct entry *last = NULL;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (t->farm->in_force[i] && n->kind != ENTRY_UNDO && n->kind != ENTRY_CURRENCY &&
            n->person == turn_sender(t)->id && (!last || n->seq > last->seq))
            last = n;
    }
    bool sum =
        last && (last->kind == ENTRY_PAID || last->kind == ENTRY_COST || last->kind == ENTRY_PRICE);
    return sum && !(last->kind == ENTRY_COST && last->value[3]) ? last : NULL;
}

void turn_do_fix(struct turn *t, struct request *r) {
    if (turn_sender(t)->role == ROLE_WATCHER) {
        TURN_SAY(t, FIX_WATCHER);
        return;
    }
    if (fix_store(t, r))
        return;
    const struct entry *sum = request_has(r, SLOT_TAG) ? NULL : sum_last(t);
    if (sum) {
        TURN_SAY(t, FIX_SUM, V_TEXT(turn_message_text(t, sum->message)));
        return;
    }
    if (!request_has(r, SLOT_TAG)) {
        TURN_ASK(t, r, SLOT_TAG, ASK_FIX_TAG);
        return;
    }
    const struct correct_subjects s = correct_subjects_of(t, r->tag);
    bool value = gives_value(r) || request_has(r, SLOT_TIME);
    if (request_has(r, SLOT_ALSO) && (value || r->also_count > 1))
        TURN_SAY(t, FIX_HOW, V_TAG(r->tag)); /* one thing at a time */
    else if (request_has(r, SLOT_ALSO) && r->tag.letter == 'f')
        fix_fish(t, r, &s);
    else if (request_has(r, SLOT_ALSO) && r->tag.letter == 'p')
        fix_pond(t, r, &s);
    else if (request_has(r, SLOT_ALSO))
        TURN_SAY(t, FIX_ANEW, V_TAG(r->tag));
    else if (request_has(r, SLOT_TIME) && r->now && !gives_value(r))
        TURN_SAY(t, NOTED_OK_PLAIN);
    else if (value)
        fix_entry(t, r, &s);
    else if (r->tag.letter == 'p')
        TURN_SAY(t, FIX_HOW_POND, V_TAG(r->tag));
    else
        TURN_SAY(t, FIX_HOW, V_TAG(r->tag));
}
