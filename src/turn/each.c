/* each: one word for several females. FRAMES F3 F4 is two reports, and so is the share that hatched
 * of both; a count would be that of which? In: a request; out: the answers to each, or to the first
 * that could not be taken, and then nothing of the text stands: one that is asked back would leave
 * the others out. Errors: as turn_judge. */
#include "turn/inside.h"

/* Nothing of this text was recorded, and all that is said is what stands from `said` on. */
static void take_back(struct turn *t, int said) {
    t->e = farm_cut(t->farm, t->entries_kept);
    t->entry_count = t->entries_kept = 0;
    t->told_count = t->told_kept;
    int count = t->text_count - said;
    for (int i = 0; i < count; i++)
        t->texts[i] = t->texts[said + i];
    t->text_count = count;
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
        int said = t->text_count, recorded = t->entry_count, asked = t->question_count;
        turn_judge(t, &one);
        if (t->e || t->entry_count > recorded)
            continue;
        bool asks = t->question_count > asked;
        t->question_count = 0;
        take_back(t, asks ? t->text_count : said);
        if (asks)
            TURN_SAY(t, ONE_EACH, V_KIND(r->kind));
        break;
    }
    return true;
}
