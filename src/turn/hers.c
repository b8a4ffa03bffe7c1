/* hers: of what was said of a tank, what is about the female in it. A text about her is put right
 * and taken back by her tag; one about a tank that she shares is, too, but only where nothing of
 * her own is left; what injected another one never. In: a tag's subjects and an entry; out: how
 * near they are. */
#include "turn/correct.h"

static bool one_of(const struct correct_subjects *s, enum subject_kind kind, int64_t id) {
    for (int i = 0; i < s->count; i++)
        if (s->all[i].kind == kind && s->all[i].id == id)
            return true;
    return false;
}

/* Does the text inject anybody; and one of those meant? */
static bool text_injects(const struct turn *t, int64_t message, const struct correct_subjects *s,
                         bool *hers) {
    bool any = false;
    *hers = false;
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        if (n->message != message || n->kind != ENTRY_INJECTED)
            continue;
        any = true;
        *hers |= one_of(s, SUBJECT_SPAWN, n->subject);
    }
    return any;
}

/* The text itself names a female: her (*hers), or another one. */
static bool text_names(struct turn *t, int64_t message, struct tag tag, bool *hers) {
    struct text_result read;
    enum err e = text_read(t->reader, turn_language(t, t->sender), turn_message_text(t, message),
                           t->arena, &read);
    const struct request *r = &read.request;
    if (e && !t->e)
        t->e = e;
    if (e || !request_has(r, SLOT_TAG) || r->tag.letter != 'f')
        return false;
    *hers = r->tag.number == tag.number;
    for (int i = 0; request_has(r, SLOT_ALSO) && i < r->also_count; i++)
        *hers |= r->also[i].number == tag.number;
    return true;
}

/* Another one was in the tank with her. */
static bool tank_shared(const struct turn *t, const struct entry *n,
                        const struct correct_subjects *s) {
    const struct farm_state *st = &t->farm->state;
    for (int i = 0; i < st->spawn_count; i++) {
        const struct spawn *other = &st->spawns[i];
        if (!one_of(s, SUBJECT_SPAWN, other->number) && spawn_open(other, n->at_s) &&
            other->injected_s <= n->at_s && turn_tank_then(t, other, n->at_s) == n->subject)
            return true;
    }
    return false;
}

enum correct_near correct_near(struct turn *t, const struct correct_subjects *s,
                               const struct entry *n) {
    bool hers;
    if (!correct_about(s, n))
        return CORRECT_FAR;
    if (n->subject_kind != SUBJECT_TANK)
        return CORRECT_OWN;
    if (text_injects(t, n->message, s, &hers))
        return hers ? CORRECT_OWN : CORRECT_FAR;
    if (s->tag.letter != 'f')
        return CORRECT_OWN;
    if (n->kind != ENTRY_WATER)
        return CORRECT_TANK;
    if (text_names(t, n->message, s->tag, &hers))
        return hers ? CORRECT_OWN : CORRECT_TANK;
    return tank_shared(t, n, s) ? CORRECT_TANK : CORRECT_OWN;
}
