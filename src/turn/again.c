/* again: may what was reported be said again with another value, or of another hour: judged as a
 * first report is, by the farm as it stood just before it. In: the entry and the request that puts
 * it right; out: the entry as it would be, or an answer and false. */
#include "turn/again.h"

#include "turn/correct.h"

enum { HOUR_FAR_MIN = 180 /* an hour put right by more is asked */ };

/* -- what stands where ---------------------------------------------------------------------------
 */

/* The value that a weight, a count behind FIX would replace; -1 none. */
int again_weight(const struct entry *n) {
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

int again_count(const struct entry *n) {
    switch (n->kind) {
    case ENTRY_WHITE:
    case ENTRY_HATCHED:
    case ENTRY_DIED:
    case ENTRY_COUNTED:
    case ENTRY_SOLD:
    case ENTRY_GRADED:
    case ENTRY_STOLEN:
    case ENTRY_SAMPLED:
    case ENTRY_HARVESTED:
        return 0;
    case ENTRY_STOCKED:
        return 1;
    default:
        return -1;
    }
}

bool again_feed(const struct entry *n) {
    return n->kind == ENTRY_GIVEN || n->kind == ENTRY_BOUGHT || n->kind == ENTRY_STORE;
}

/* What was read of water beside its degrees, by the unit that the text gives. */
enum reading again_reading(const struct entry *n) {
    if (n->kind == ENTRY_POND_PH)
        return READING_PH;
    return n->kind == ENTRY_READING ? (enum reading)n->value[0] : 0;
}

static int64_t reading_said(const struct request *r) {
    return request_has(r, SLOT_OXYGEN)    ? r->oxygen_ug_l
           : request_has(r, SLOT_PH)      ? r->ph_milli
           : request_has(r, SLOT_AMMONIA) ? r->ammonia_ug_l
           : request_has(r, SLOT_NITRITE) ? r->nitrite_ug_l
                                          : r->secchi_mm;
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

bool again_cycle_fits(struct turn *t, const struct request *r, const struct cycle *c,
                      struct entry *n) {
    switch (n->kind) {
    case ENTRY_HARVESTED:
        return turn_catch_fits(t, r, c, n);
    case ENTRY_SOLD:
        return turn_sale_fits(t, r, c, n);
    case ENTRY_SAMPLED:
        return turn_sample_fits(t, r, c, n);
    default:
        n->value[0] = request_has(r, SLOT_COUNT) ? r->count : n->value[0];
        return turn_fish_fit(t, r, c, n->at_s, n->kind, n->value[0]);
    }
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
        return again_cycle_fits(t, r, c, n);
    return false;
}

void again_cannot_be(struct turn *t, const struct entry *old) {
    TURN_SAY(t, FIX_IMPOSSIBLE, V_TEXT(turn_message_text(t, correct_first_said(t, old->message))));
}

/* Feed, measures and readings of water, which the fish that swim there do not judge. */
static bool new_plain(struct turn *t, const struct request *r, const struct entry *old,
                      struct entry *n) {
    if (r->has & AGAIN_READINGS) {
        n->value[n->kind == ENTRY_READING] = reading_said(r);
        return !turn_impossible_reading(t, r);
    }
    if (n->kind == ENTRY_WATER) {
        n->value[0] = r->water_mdegc;
        return turn_reading_fits(t, r, n, r->water_mdegc);
    }
    if (turn_feed_again(t, r, old, &n->value[again_weight(n)]))
        return true;
    again_cannot_be(t, old);
    return false;
}

/* The entry with its new values, asked and refused as a first report; in `was` the old ones as they
 * were understood. False: an answer was given. */
bool again_values(struct turn *t, const struct request *r, const struct entry *old,
                  struct entry *was, struct entry *n) {
    if (n->kind == ENTRY_INJECTED || n->kind == ENTRY_BROOD) {
        n->value[2] = r->weight_mg;
        return turn_fish_weight(t, r, r->weight_mg);
    }
    if (n->kind == ENTRY_WATER || n->kind == ENTRY_MEASURE || again_feed(n) || again_reading(n))
        return new_plain(t, r, old, n);
    int texts = t->text_count;
    t->e = farm_fold_before(t->farm, (int)(old - t->farm->entries));
    bool fits = !t->e && fits_then(t, r, n);
    if (!t->e && (n->kind == ENTRY_SOLD || n->kind == ENTRY_STOCKED || n->kind == ENTRY_HARVESTED))
        was->value[again_count(n)] = farm_taken(&t->farm->state, was); /* "all" in numbers */
    if (!t->e)
        t->e = farm_fold(t->farm);
    if (!fits && !t->e && t->text_count == texts)
        again_cannot_be(t, old);
    return fits && !t->e;
}

bool again_injects(const struct turn *t, const struct entry *n) {
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

/* What swam in the pond that was fed, or NULL. */
const struct cycle *again_fed(const struct farm_state *st, const struct entry *n) {
    bool feed = n->kind == ENTRY_GIVEN || n->kind == ENTRY_LEFT;
    return feed ? turn_cycle_then(st, (int)n->subject, n->at_s) : NULL;
}

/* A report of her has no meaning before the needle, one of eggs none before the strip; the
 * injection itself stays before the strip; nothing is taken out of a pond or fed there before it
 * was stocked. False: refused. */
static bool hour_possible(struct turn *t, const struct entry *old, struct tag tag, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *s =
        old->subject_kind == SUBJECT_SPAWN ? farm_spawn(st, old->subject) : NULL;
    const struct cycle *c =
        old->subject_kind == SUBJECT_CYCLE ? farm_cycle(st, old->subject) : again_fed(st, old);
    int64_t first_s = c && old->kind != ENTRY_STOCKED ? c->stocked_s : INT64_MIN;
    if (s && again_injects(t, old)) {
        if (!s->stripped_s || at_s < s->stripped_s)
            return true;
        again_cannot_be(t, old);
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
/* Her eggs, and those of whoever shares her bowl, can be ripe by the new hour of the strip. False:
 * it was asked. */
static bool ripe_then(struct turn *t, const struct request *r, const struct entry *old,
                      int64_t at_s) {
    if (old->kind != ENTRY_STRIPPED || at_s >= old->at_s)
        return true;
    bool ripe = true;
    t->e = farm_fold_before(t->farm, (int)(old - t->farm->entries));
    for (int i = 0; i < t->farm->count && !t->e && ripe; i++) {
        const struct entry *n = &t->farm->entries[i];
        bool in = n == old || (n->kind == ENTRY_BOWL && n->message == old->message &&
                               n->subject == old->subject);
        const struct spawn *s =
            in ? farm_spawn(&t->farm->state, n == old ? n->subject : n->value[0]) : NULL;
        ripe = !s || turn_strip_fits(t, r, s, at_s, old->value[0]);
    }
    if (!t->e)
        t->e = farm_fold(t->farm);
    return ripe && !t->e;
}

bool again_later(struct turn *t, const struct request *r, const struct entry *old,
                 int64_t *later_s) {
    int64_t at_s;
    *later_s = 0;
    if (!request_has(r, SLOT_TIME) || r->now)
        return true;
    if (!turn_fill_instant(t, r, &at_s) || !hour_possible(t, old, r->tag, at_s) ||
        !ripe_then(t, r, old, at_s))
        return false;
    *later_s = at_s - old->at_s;
    int64_t moved_s = *later_s < 0 ? -*later_s : *later_s;
    if (moved_s <= (int64_t)HOUR_FAR_MIN * 60 || (r->confirms & (CONFIRM_HOUR | CONFIRM_EARLY)))
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_HOUR, ASK_FIX_HOUR,
             V_TEXT(turn_message_text(t, correct_first_said(t, old->message))), V_WHEN(old->at_s),
             V_WHEN(at_s));
    return false;
}

/* -- what came after it --------------------------------------------------------------------------
 */

/* By number, out of a spawn: what takes all, without a number, follows the hatch. */
static int64_t larvae_out(const struct entry *n, int64_t spawn) {
    if (n->kind == ENTRY_STOCKED && n->value[3] == spawn)
        return n->value[1];
    bool out = n->kind == ENTRY_DIED || n->kind == ENTRY_GRADED || n->kind == ENTRY_SOLD;
    return out && n->subject_kind == SUBJECT_SPAWN && n->subject == spawn ? n->value[0] : 0;
}

/* A count since then stands whatever hatched. */
bool again_hatch_covers(struct turn *t, const struct request *r, const struct entry *now) {
    const struct spawn *s = now->kind == ENTRY_HATCHED && now->subject_kind == SUBJECT_SPAWN
                                ? farm_spawn(&t->farm->state, now->subject)
                                : NULL;
    if (!s || !request_has(r, SLOT_COUNT) || s->counted_s || (r->confirms & CONFIRM_MANY))
        return true;
    int64_t larvae = now->value[0], out = 0;
    if (now->value[3]) /* a share of the eggs */
        larvae = (int64_t)((double)spawn_eggs(s) * (double)now->value[2] / (double)now->value[3]);
    for (int i = 0; i < t->farm->count; i++)
        if (t->farm->in_force[i])
            out += larvae_out(&t->farm->entries[i], s->number);
    if (out <= larvae)
        return true;
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_MANY, ASK_HATCH_LESS, V_TAG(turn_tag(s)),
             V_NUMBER(turn_two_figures(larvae)), V_NUMBER(out));
    return false;
}
