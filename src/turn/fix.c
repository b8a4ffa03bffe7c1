/* fix: one value, one hour or the fish of a text is put right: the old text is taken back and said
 * again with the new value, about the same subjects, so that what was reported later stays with
 * them. The new value is judged as the first report's was, by the farm as it stood then. In: a
 * request; out: entries and an answer, or one question; whoever had reported it is told. */
#include "trade/eggs.h"
#include "turn/correct.h"
#include "turn/fixed.h"

enum {
    HOUR_FAR_MIN = 180,      /* an hour put right by more is asked */
    EGGS_MOST_MG = 1000000,  /* 1.3kg behind a strip means her: eggs never outweigh that */
    FEMALE_LEAST_MG = 300000 /* and no brood fish weighs less */
};

/* -- which entry ---------------------------------------------------------------------------------
 */

/* The value that a weight, a count behind FIX would replace; -1 none. */
static int weight_of(const struct entry *n) {
    switch (n->kind) {
    case ENTRY_STRIPPED:
        return 0;
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

static int count_of(const struct entry *n) {
    switch (n->kind) {
    case ENTRY_WHITE:
    case ENTRY_HATCHED:
    case ENTRY_DIED:
    case ENTRY_COUNTED:
    case ENTRY_SOLD:
    case ENTRY_GRADED:
    case ENTRY_HARVESTED:
        return 0;
    case ENTRY_STOCKED:
        return 1;
    default:
        return -1;
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
    if (request_has(r, SLOT_WATER) && n->kind != ENTRY_WATER)
        return false;
    if (request_has(r, SLOT_WEIGHT) && (weight_of(n) < 0 || !weight_fits(n, r->weight_mg)))
        return false;
    bool share = n->kind == ENTRY_WHITE || n->kind == ENTRY_HATCHED;
    if (request_has(r, SLOT_OF) && !share)
        return false;
    return !request_has(r, SLOT_COUNT) || count_of(n) >= 0;
}

static bool any_report(const struct entry *n, const struct request *r) {
    (void)r;
    return n->subject_kind != SUBJECT_BROOD || n->kind == ENTRY_BROOD_DIED;
}

static bool gives_value(const struct request *r) {
    return request_has(r, SLOT_WEIGHT) || request_has(r, SLOT_WATER) || request_has(r, SLOT_COUNT);
}

/* -- may it be -----------------------------------------------------------------------------------
 */

/* All females whose eggs are in the bowl that this strip filled. */
static int64_t females_mg(const struct turn *t, const struct entry *strip) {
    const struct farm *farm = t->farm;
    const struct spawn *s = farm_spawn(&farm->state, strip->subject);
    int64_t all_mg = s ? s->weight_mg : 0;
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (!farm->in_force[i] || n->kind != ENTRY_BOWL || n->subject != strip->subject)
            continue;
        const struct spawn *other = farm_spawn(&farm->state, n->value[0]);
        all_mg += other ? other->weight_mg : 0;
    }
    return all_mg;
}

static bool white_fits(struct turn *t, const struct request *r, struct entry *n) {
    int64_t of = request_has(r, SLOT_OF) ? r->of : n->value[1];
    bool fertile = n->value[2] != 0;
    if (!(fertile ? turn_fertile_fits(t, r->count, of) : turn_white_fits(t, r->count, of)))
        return false;
    n->value[0] = fertile ? of - r->count : r->count;
    n->value[1] = of;
    return true;
}

static bool of_spawn_fits(struct turn *t, const struct request *r, const struct spawn *s,
                          struct entry *n) {
    switch (n->kind) {
    case ENTRY_STRIPPED:
        n->value[0] = r->weight_mg;
        return turn_eggs_fit(t, r, turn_tag(s), females_mg(t, n), r->weight_mg);
    case ENTRY_WHITE:
        return white_fits(t, r, n);
    case ENTRY_HATCHED:
        return turn_hatch_fits(t, r, s, n);
    default:
        n->value[0] = request_has(r, SLOT_COUNT) ? r->count : n->value[0];
        n->value[1] = request_has(r, SLOT_WEIGHT) ? r->weight_mg : n->value[1];
        return turn_larvae_fit(t, r, s, n->at_s, n->kind, n->value[0]);
    }
}

static bool of_cycle_fits(struct turn *t, const struct request *r, const struct cycle *c,
                          struct entry *n) {
    if (n->kind == ENTRY_HARVESTED)
        return turn_catch_fits(t, r, c, n);
    n->value[0] = request_has(r, SLOT_COUNT) ? r->count : n->value[0];
    n->value[1] = request_has(r, SLOT_WEIGHT) ? r->weight_mg : n->value[1];
    return turn_fish_fit(t, r, c, n->at_s, n->kind, n->value[0]);
}

/* By the farm as it was before it happened. */
static bool fits_then(struct turn *t, const struct request *r, struct entry *n) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *s = n->subject_kind == SUBJECT_SPAWN ? farm_spawn(st, n->subject) : NULL;
    const struct cycle *c = n->subject_kind == SUBJECT_CYCLE ? farm_cycle(st, n->subject) : NULL;
    if (n->kind == ENTRY_STOCKED)
        return turn_stock_fits(t, r, n);
    if (s)
        return of_spawn_fits(t, r, s, n);
    if (c)
        return of_cycle_fits(t, r, c, n);
    return false;
}

/* The entry with its new values, asked and refused as a first report; in `was` the old ones as they
 * were understood. False: an answer was given. */
static bool new_values(struct turn *t, const struct request *r, const struct entry *old,
                       struct entry *was, struct entry *n) {
    if (n->kind == ENTRY_INJECTED || n->kind == ENTRY_BROOD) {
        n->value[2] = r->weight_mg;
        return turn_fish_weight(t, r, r->weight_mg);
    }
    if (n->kind == ENTRY_WATER) {
        n->value[0] = r->water_mdegc;
        return turn_reading_fits(t, r, n, r->water_mdegc);
    }
    int texts = t->text_count;
    t->e = farm_fold_before(t->farm, (int)(old - t->farm->entries));
    bool fits = !t->e && fits_then(t, r, n);
    if (!t->e && (n->kind == ENTRY_SOLD || n->kind == ENTRY_STOCKED || n->kind == ENTRY_HARVESTED))
        was->value[count_of(n)] = farm_taken(&t->farm->state, was); /* "all" in numbers */
    if (!t->e)
        t->e = farm_fold(t->farm);
    if (!fits && !t->e && t->text_count == texts)
        TURN_SAY(t, FIX_IMPOSSIBLE,
                 V_TEXT(turn_message_text(t, correct_first_said(t, old->message))));
    return fits && !t->e;
}

static bool same_text_injects(const struct turn *t, const struct entry *n) {
    for (int i = 0; i < t->farm->count; i++)
        if (t->farm->entries[i].message == n->message && t->farm->entries[i].kind == ENTRY_INJECTED)
            return true;
    return false;
}

/* The last of those whose eggs are in her bowl was injected then. */
static int64_t injected_s(const struct turn *t, const struct spawn *s) {
    int64_t last_s = s->injected_s;
    for (int i = 0; i < t->farm->state.spawn_count; i++) {
        const struct spawn *other = &t->farm->state.spawns[i];
        if (other->bowl == s->number && other->injected_s > last_s)
            last_s = other->injected_s;
    }
    return last_s;
}

/* A report of her has no meaning before the needle, one of eggs none before the strip; the
 * injection itself stays before the strip; nothing is taken out of a pond before it was stocked.
 * False: refused. */
static bool hour_possible(struct turn *t, const struct entry *old, struct tag tag, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *s =
        old->subject_kind == SUBJECT_SPAWN ? farm_spawn(st, old->subject) : NULL;
    const struct cycle *c =
        old->subject_kind == SUBJECT_CYCLE ? farm_cycle(st, old->subject) : NULL;
    int64_t first_s = c && old->kind != ENTRY_STOCKED ? c->stocked_s : INT64_MIN;
    if (s && same_text_injects(t, old)) {
        if (!s->stripped_s || at_s < s->stripped_s)
            return true;
        TURN_SAY(t, FIX_IMPOSSIBLE,
                 V_TEXT(turn_message_text(t, correct_first_said(t, old->message))));
        return false;
    }
    bool eggs = old->kind == ENTRY_WHITE || old->kind == ENTRY_FRAMES ||
                (old->kind >= ENTRY_SPOILT && old->kind <= ENTRY_SOLD);
    if (s)
        first_s = eggs                          ? s->stripped_s
                  : old->kind == ENTRY_STRIPPED ? injected_s(t, s)
                                                : s->injected_s;
    if (at_s >= first_s)
        return true;
    TURN_SAY(t, HOUR_BEFORE, V_TAG(tag), V_WHEN(at_s), V_WHEN(first_s));
    return false;
}

/* How much later it was; asked when that is much. False: an answer was given. */
static bool later_by(struct turn *t, const struct request *r, const struct entry *old,
                     int64_t *later_s) {
    int64_t at_s;
    *later_s = 0;
    if (!request_has(r, SLOT_TIME) || r->now)
        return true;
    if (!turn_fill_instant(t, r, &at_s) || !hour_possible(t, old, r->tag, at_s))
        return false;
    *later_s = at_s - old->at_s;
    int64_t moved_s = *later_s < 0 ? -*later_s : *later_s;
    if (moved_s <= (int64_t)HOUR_FAR_MIN * 60 || (r->confirms & CONFIRM_HOUR))
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_HOUR, ASK_FIX_HOUR,
             V_TEXT(turn_message_text(t, correct_first_said(t, old->message))), V_WHEN(old->at_s),
             V_WHEN(at_s));
    return false;
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

/* By number, out of a cycle: what takes all, without a number, follows the stock. */
static int64_t out_of(const struct entry *n, int64_t cycle) {
    if (n->kind == ENTRY_STOCKED && n->value[4] == cycle)
        return n->value[1];
    bool out = n->kind == ENTRY_DIED || n->kind == ENTRY_STOLEN || n->kind == ENTRY_GRADED ||
               n->kind == ENTRY_SOLD || n->kind == ENTRY_HARVESTED;
    return out && n->subject_kind == SUBJECT_CYCLE && n->subject == cycle ? n->value[0] : 0;
}

/* Fewer put in than have left the pond since: asked, as more dead or sold than there are would be.
 * A count since then stands whatever was put in; what is sold out of a net has left before. */
static bool stock_covers(struct turn *t, const struct request *r, const struct entry *old,
                         const struct entry *was, const struct entry *now) {
    const struct cycle *c = farm_cycle(&t->farm->state, old->subject);
    if (old->kind != ENTRY_STOCKED || !request_has(r, SLOT_COUNT) || !c || c->counted_s ||
        (r->confirms & CONFIRM_MANY))
        return true;
    int64_t in = c->count - was->value[1] + now->value[1], out = 0;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (t->farm->in_force[i] && (!c->closed_s || n->at_s <= c->closed_s))
            out += out_of(n, c->number);
    }
    if (out <= in)
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_STOCK_LESS, V_TAG(r->tag), V_NUMBER(in),
             V_NUMBER(out));
    return false;
}

static void fix_entry(struct turn *t, const struct request *r, const struct correct_subjects *s) {
    bool value = gives_value(r);
    const struct entry *old = correct_newest(t, s, value ? has_values : any_report, r);
    int64_t later_s;
    if (!old) {
        TURN_SAY(t, FIX_NOTHING, V_TAG(r->tag));
        return;
    }
    old = value ? old : main_of(t, old);
    struct entry was = *old, now = *old;
    int64_t shown = correct_first_said(t, old->message);
    if (correct_refused(t, old->message, shown, REPLY_FIX_OTHERS) ||
        !later_by(t, r, old, &later_s) || (value && !new_values(t, r, old, &was, &now)))
        return;
    if (!later_s && same(&now, old)) { /* the same text came twice, or it was right */
        fixed_say_same(t, r->tag, &was, !value);
        return;
    }
    if (!stock_covers(t, r, old, &was, &now) ||
        !correct_sure(t, r, old->message, shown, REPLY_ASK_FIX_OTHERS) ||
        !say_again(t, old, &now, later_s))
        return;
    now.at_s += later_s;
    if (value && count_of(&now) >= 0 && !request_has(r, SLOT_COUNT) && !now.value[count_of(&now)])
        now.value[count_of(&now)] = was.value[count_of(&was)]; /* all of them, as before */
    fixed_say(t, r->tag, &was, &now);
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
    bool injected = same_text_injects(t, old);
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
        return true;
    bool fits = false;
    t->e = farm_fold_before(t->farm, (int)(old - t->farm->entries));
    const struct cycle *c =
        t->e ? NULL : turn_cycle_then(&t->farm->state, r->also[0].number, old->at_s);
    if (!c && !t->e && (old->kind == ENTRY_SOLD || old->kind == ENTRY_DIED))
        c = turn_net_then(&t->farm->state, r->also[0].number, old->at_s);
    if (c) {
        *subject = c->number;
        fits = turn_fish_fit(t, r, c, old->at_s, old->kind, farm_taken(&t->farm->state, old));
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

void turn_do_fix(struct turn *t, struct request *r) {
    if (turn_sender(t)->role == ROLE_WATCHER) {
        TURN_SAY(t, FIX_WATCHER);
        return;
    }
    if (!request_has(r, SLOT_TAG)) {
        TURN_ASK(t, r, SLOT_TAG, ASK_TAG_ANY, V_KIND(r->kind));
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
