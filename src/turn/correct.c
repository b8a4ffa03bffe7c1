/* correct: what was said wrong is taken back. UNDO takes a text back with all it recorded; undoing
 * a fix brings the old text back. In: a request; out: entries and an answer, or one question. Also
 * what UNDO and FIX (fix.c) share. */
#include "turn/correct.h"

#include "farm/account.h"

enum {
    OLD_H = 6,  /* what was said so long ago is seen before it is taken back */
    TOLD_H = 24 /* what was put right is worth telling so long */
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

/* On the five minutes at which hours are shown, and none that is still to come. */
static int64_t said_shown(const struct turn *t, int64_t message) {
    enum { SHOWN_S = 300 };
    int64_t said_s = turn_message_said(t, message);
    return said_s - said_s % SHOWN_S;
}

int64_t correct_first_said(const struct turn *t, int64_t message) {
    const struct farm *farm = t->farm;
    for (int i = farm->count - 1; i > 0; i--)
        if (farm->entries[i].message == message && farm->entries[i - 1].message == message &&
            farm->entries[i - 1].kind == ENTRY_UNDO)
            message = farm->entries[i - 1].value[0];
    return message;
}

/* -- subjects of a tag ---------------------------------------------------------------------------
 */

static void add_while(struct correct_subjects *s, enum subject_kind kind, int64_t id,
                      int64_t from_s, int64_t until_s) {
    if (s->count < CORRECT_SUBJECTS_MAX && id > 0) {
        s->all[s->count].kind = kind;
        s->all[s->count].id = id;
        s->all[s->count].from_s = from_s;
        s->all[s->count++].until_s = until_s;
    }
}

static void add(struct correct_subjects *s, enum subject_kind kind, int64_t id) {
    add_while(s, kind, id, INT64_MIN, INT64_MAX);
}

/* The tanks she was in, then her eggs, each while they were: until the next one, hers until the
 * strip. The newest first. */
static void add_tanks(const struct turn *t, struct correct_subjects *s, const struct spawn *in,
                      int64_t from_s) {
    const struct farm *farm = t->farm;
    for (int i = farm->count - 1; i >= 0; i--) {
        const struct entry *n = &farm->entries[i];
        if (n->kind != ENTRY_TANK || n->subject != in->number || !farm->in_force[i])
            continue;
        int64_t until_s = in->stripped_s > n->at_s ? in->stripped_s : INT64_MAX;
        for (int k = 0; k < farm->count; k++) {
            const struct entry *next = &farm->entries[k];
            if (next->kind == ENTRY_TANK && next->subject == in->number && farm->in_force[k] &&
                next->at_s > n->at_s && next->at_s < until_s)
                until_s = next->at_s;
        }
        if (until_s > from_s)
            add_while(s, SUBJECT_TANK, n->value[0], n->at_s > from_s ? n->at_s : from_s, until_s);
    }
}

/* Her eggs may lie in another's bowl: what is said of that since the strip is about her, too. A
 * reading of the tank is about whatever is in it (hers.c). */
static void add_spawn(const struct turn *t, struct correct_subjects *s, const struct spawn *own) {
    const struct spawn *bowl = own->bowl ? farm_spawn(&t->farm->state, own->bowl) : NULL;
    add(s, SUBJECT_SPAWN, own->number);
    if (bowl) {
        add_while(s, SUBJECT_SPAWN, bowl->number, bowl->stripped_s, INT64_MAX);
        add_tanks(t, s, bowl, bowl->stripped_s);
    }
    add_tanks(t, s, own, INT64_MIN);
}

struct correct_subjects correct_subjects_of(const struct turn *t, struct tag tag) {
    const struct farm_state *st = &t->farm->state;
    struct correct_subjects s = {.tag = tag};
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
                add_spawn(t, &s, &st->spawns[i]);
                break;
            }
    }
    return s;
}

bool correct_about(const struct correct_subjects *s, const struct entry *n) {
    for (int i = 0; i < s->count; i++)
        if (n->subject_kind == s->all[i].kind && n->subject == s->all[i].id &&
            n->at_s >= s->all[i].from_s && n->at_s < s->all[i].until_s)
            return true;
    return false;
}

/* Of one text what is of her comes before what is of her tank. */
static bool newer(const struct entry *best, int64_t best_message, const struct entry *n,
                  int64_t message) {
    return !best || message > best_message ||
           (message == best_message && best->message == n->message &&
            best->subject_kind == SUBJECT_TANK && n->subject_kind != SUBJECT_TANK);
}

const struct entry *correct_newest(struct turn *t, const struct correct_subjects *s,
                                   bool (*wanted)(const struct entry *, const struct request *),
                                   const struct request *r) {
    const struct entry *best[CORRECT_OWN + 1] = {NULL};
    int64_t best_message[CORRECT_OWN + 1] = {0};
    for (int i = t->farm->count - 1; i >= 0; i--) {
        const struct entry *n = &t->farm->entries[i];
        if (!t->farm->in_force[i] || !correct_about(s, n) || (wanted && !wanted(n, r)))
            continue;
        int64_t message = wanted ? correct_first_said(t, n->message) : n->message;
        if (!newer(best[CORRECT_OWN], best_message[CORRECT_OWN], n, message))
            continue;
        enum correct_near near = correct_near(t, s, n);
        if (near == CORRECT_FAR || !newer(best[near], best_message[near], n, message))
            continue;
        best[near] = n;
        best_message[near] = message;
    }
    return best[CORRECT_OWN] ? best[CORRECT_OWN] : best[CORRECT_TANK];
}

static int64_t turn_id(const struct turn *t) {
    return t->people[t->sender].id;
}

bool turn_message_stands(const struct turn *t, int64_t message) {
    for (int i = 0; i < t->farm->count; i++)
        if (t->farm->entries[i].message == message && t->farm->in_force[i])
            return true;
    return false;
}

/* -- whose
 * -----------------------------------------------------------------------------------------
 */

static bool own(const struct turn *t, int64_t message) {
    return farm_sender(t->farm, message) == t->people[t->sender].id;
}

bool correct_refused(struct turn *t, int64_t message, int64_t shown, enum reply_id reply) {
    if (own(t, message) || turn_sender(t)->role == ROLE_OWNER)
        return false;
    if (own(t, correct_first_said(t, message)))
        TURN_SAY(t, UNDO_FIXED, V_TEXT(turn_message_text(t, message)));
    else
        turn_say(t, &(struct reply){reply, {V_TEXT(turn_message_text(t, shown))}});
    return true;
}

bool correct_sure(struct turn *t, const struct request *r, int64_t message, int64_t shown,
                  enum reply_id reply) {
    bool anew = (r->confirms & CONFIRM_ANEW) != 0, mine = own(t, message);
    bool old = t->now_s - turn_message_said(t, message) > OLD_H * INT64_C(3600);
    bool undo = r->kind == REQUEST_UNDO;
    int shown_by = CONFIRM_OTHERS | (mine ? CONFIRM_OLD | CONFIRM_HOUR : 0);
    if ((r->confirms & shown_by) || (mine && !anew && !old))
        return true;
    if (anew)
        reply = undo ? REPLY_ASK_UNDO_ANEW : REPLY_ASK_FIX_ANEW;
    else if (mine)
        reply = undo ? REPLY_ASK_UNDO_OLD : REPLY_ASK_FIX_OLD;
    turn_ask(t, r, CONFIRM_BASE + (mine ? CONFIRM_OLD : CONFIRM_OTHERS),
             &(struct reply){reply,
                             {V_TEXT(turn_message_text(t, shown)), V_WHEN(said_shown(t, shown))}});
    return false;
}

void correct_tell(struct turn *t, int person, const struct reply *reply) {
    if (person != t->sender && !t->people[person].stopped && t->people[person].role != ROLE_NONE)
        turn_send(t, person, LEVEL_STEP, (struct task_key){0}, t->now_s + TOLD_H * INT64_C(3600),
                  turn_render(t, person, reply));
}

bool correct_take_back(struct turn *t, int64_t message) {
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
            !turn_message_stands(t, n->message) || n->value[0] <= *own)
            continue;
        if (farm_sender(farm, n->value[0]) == me) {
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
        TURN_SAY(t, UNDO_WATCHER);
        return 0;
    }
    int64_t message = 0;
    if (request_has(r, SLOT_TAG)) {
        const struct correct_subjects s = correct_subjects_of(t, r->tag);
        const struct entry *n = correct_newest(t, &s, NULL, r);
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
    if (correct_refused(t, message, message, REPLY_UNDO_OTHERS) ||
        !correct_sure(t, r, message, message, REPLY_ASK_UNDO_OTHERS))
        return 0;
    return message;
}

/* Whoever had reported it, and who had put it right, know it otherwise. */
static void tell_undone(struct turn *t, int64_t message) {
    const struct reply undone = {
        REPLY_UNDONE_TOLD, {V_TEXT(turn_message_text(t, message)), V_TEXT(turn_sender(t)->phone)}};
    for (int p = 0; p < t->people_count; p++) {
        bool knows = false;
        for (int i = 0; i < t->farm->count && !knows; i++)
            knows = t->farm->entries[i].message == message &&
                    t->farm->entries[i].person == t->people[p].id;
        if (knows)
            correct_tell(t, p, &undone);
    }
}

/* The fix says something of a subject that the text put right did not. */
static bool moved(const struct farm *farm, int64_t fix) {
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        if (n->message != fix || n->kind == ENTRY_UNDO)
            continue;
        bool same = false;
        for (int u = 0; u < i && !same; u++)
            for (int k = 0; k < u && !same && farm->entries[u].message == fix; k++)
                same = farm->entries[u].kind == ENTRY_UNDO &&
                       farm->entries[k].message == farm->entries[u].value[0] &&
                       farm->entries[k].kind == n->kind &&
                       farm->entries[k].subject_kind == n->subject_kind &&
                       farm->entries[k].subject == n->subject;
        if (!same)
            return true;
    }
    return false;
}

/* A sale on credit that is taken back leaves what was paid for it. */
static void say_overpaid(struct turn *t, int64_t message) {
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message != message || n->kind != ENTRY_INCOME || n->value[2] || !n->value[1] ||
            turn_sender(t)->role != ROLE_OWNER)
            continue;
        const struct account_debt d = account_debt(&t->farm->state, n->value[1]);
        if (d.debt.owed < 0 && d.debt.reason != MONEY_IMPOSSIBLE)
            TURN_SAY(t, UNDONE_PAID, V_TEXT(turn_party_shown(t, n->value[1])),
                     V_TEXT(turn_currency_code(t)), V_TEXT(turn_money_text(t, -d.debt.owed)));
        return;
    }
}

void turn_do_undo(struct turn *t, const struct request *r) {
    int64_t message = message_meant(t, r);
    if (!message)
        return;
    /* a fix taken back leaves what it had put right: nothing loses its hold, but on another fish */
    bool holds = farm_is_fix(t->farm, message) && !moved(t->farm, message);
    int64_t leans = holds ? 0 : farm_leans_on(t->farm, message);
    if (leans && !(r->confirms & CONFIRM_LEANS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_LEANS, ASK_UNDO_LEANS,
                 V_TEXT(turn_message_text(t, message)), V_TEXT(turn_message_text(t, leans)));
        return;
    }
    turn_record(t, ENTRY_UNDO, SUBJECT_HATCHERY, 0, t->now_s, message, 0, 0);
    if (!turn_commit(t))
        return;
    TURN_SAY(t, UNDONE, V_TEXT(turn_message_text(t, message)), V_WHEN(said_shown(t, message)));
    say_overpaid(t, message);
    tell_undone(t, message);
}
