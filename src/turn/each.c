/* each: one word for several females. FRAMES F3 F4 is two reports, and so is the share that hatched
 * of both; a count would be that of which? In: a request; out: the answers to each, or to the first
 * that could not be taken, and then nothing of the text stands: one that is asked back would leave
 * the others out. Errors: as turn_judge. */
#include "turn/inside.h"

/* Nothing of this text stands or was said. */
static void forget(struct turn *t) {
    t->e = t->e ? t->e : farm_cut(t->farm, t->entries_kept);
    t->entry_count = t->entries_kept = 0;
    t->told_count = t->told_kept;
    t->text_count = t->question_count = 0;
}

/* Why one of them cannot be, said without the others. What can be alone, or is asked back, is asked
 * for in texts of their own. */
static void refuse(struct turn *t, struct request *one) {
    forget(t);
    turn_judge(t, one);
    if (t->e || (!t->entry_count && !t->question_count))
        return;
    forget(t);
    TURN_SAY(t, ONE_EACH, V_KIND(one->kind));
}

bool turn_judge_each(struct turn *t, const struct request *r) {
    bool each = r->kind == REQUEST_FRAMES || r->kind == REQUEST_FED || r->kind == REQUEST_HATCH;
    if ((!each && r->kind != REQUEST_GAVE) || !request_has(r, SLOT_ALSO))
        return false;
    if (r->kind == REQUEST_GAVE || (r->kind == REQUEST_HATCH && !request_has(r, SLOT_OF))) {
        TURN_SAY(t, ONE_EACH, V_KIND(r->kind));
        return true;
    }
    for (int i = -1; i < r->also_count && !t->e; i++) {
        struct request one = *r;
        one.has &= ~SLOT_BIT(SLOT_ALSO);
        one.also_count = 0;
        if (i >= 0)
            one.tag = r->also[i];
        struct request judged = one;
        int recorded = t->entry_count;
        turn_judge(t, &judged);
        if (t->e || t->entry_count > recorded)
            continue;
        refuse(t, &one);
        break;
    }
    return true;
}
