/* inject: a female is injected, or several in one evening. In: a request with what the text said;
 * out: entries and an answer, or one question. The rules and their numbers are trade's. */
#include "turn/inside.h"

#include "trade/book.h"
#include "trade/brood.h"
#include "trade/eggs.h"
#include "trade/latency.h"

enum {
    HOUR_S = 3600,
    TWICE_MIN = 60 /* a text so near another one with the same weight is the same once more */
};

/* -- weight and water ----------------------------------------------------------------------------
 */

static bool fill_weight(struct turn *t, const struct request *r, const struct brood *known,
                        int64_t *weight_mg) {
    bool weighed = known && known->weight_mg;
    if (!request_has(r, SLOT_WEIGHT) && !weighed) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_WEIGHT, V_TAG(r->tag));
        return false;
    }
    *weight_mg = request_has(r, SLOT_WEIGHT) ? r->weight_mg : known->weight_mg;
    return !request_has(r, SLOT_WEIGHT) || turn_fish_weight(t, r, *weight_mg);
}

bool turn_impossible_water(struct turn *t, int64_t mdegc) {
    int64_t least_mdegc = (int64_t)(book_number(BOOK_WATER_LEAST) * 1000);
    int64_t most_mdegc = (int64_t)(book_number(BOOK_WATER_MOST) * 1000);
    if (mdegc >= least_mdegc && mdegc <= most_mdegc)
        return false;
    TURN_SAY(t, WATER_IMPOSSIBLE, V_WATER(mdegc), V_WATER(least_mdegc), V_WATER(most_mdegc));
    return true;
}

/* The last reading before the instant, if it is fresh. */
const struct water_reading *turn_fresh_reading(const struct water_log *log, int64_t at_s) {
    for (int i = log->count - 1; i >= 0; i--)
        if (log->readings[i].at_s <= at_s)
            return at_s - log->readings[i].at_s <= (int64_t)book_number(BOOK_WATER_FRESH_H) * HOUR_S
                       ? &log->readings[i]
                       : NULL;
    return NULL;
}

const struct water_reading *turn_fresh_water(const struct turn *t, int64_t at_s) {
    return turn_fresh_reading(&t->farm->state.water, at_s);
}

/* -- answer -----------------------------------------------------------------------------------
 */

/* Thousands of eggs on two figures: more would be false precision. */
static int64_t thousands(int64_t eggs) {
    int64_t t = (eggs + 500) / 1000, unit = 1;
    while (t / unit >= 100)
        unit *= 10;
    return (t + unit / 2) / unit * unit;
}

/* Reported so late that the first look is past: what can still be done instead of hours to come.
 * False: it is to come. */
static bool say_past(struct turn *t, const struct spawn *s, struct slice several, int64_t look_s) {
    if (look_s >= t->now_s)
        return false;
    struct reply_value at = V_WHEN(s->injected_s), look = V_WHEN(look_s);
    struct reply_value water = V_WATER(water_at_mdegc(spawn_water(s), s->injected_s));
    int64_t last_s = plan_look_last(s);
    bool over = t->now_s >= last_s;
    struct reply r = {
        over ? REPLY_INJECTED_OVER : REPLY_INJECTED_PAST,
        {V_TAG(turn_tag(s)), V_WEIGHT(s->weight_mg), at, water, over ? V_WHEN(last_s) : look}};
    if (several.n)
        r = (struct reply){over ? REPLY_INJECTED_BOTH_OVER : REPLY_INJECTED_BOTH_PAST,
                           {V_TEXT(several), at, water, over ? V_WHEN(last_s) : look}};
    turn_say(t, &r);
    return true;
}

/* "B2, M2, dried": what the text said beside her, said back. Empty: nothing. */
static struct slice said_with(struct turn *t, const struct request *r) {
    static const struct {
        enum choice choice;
        const char *words;
    } substances[] = {{CHOICE_GLAND, "choice.gland"},
                      {CHOICE_DRIED, "choice.dried"},
                      {CHOICE_HCG, "choice.hcg"},
                      {CHOICE_MIX, "choice.mix"}};
    struct buf out = buf_make_in(t->arena, 60);
    if (request_has(r, SLOT_TANK))
        buf_putf(&out, "B%d", r->tank.number);
    if (request_has(r, SLOT_MALE))
        buf_putf(&out, "%sM%d", out.n ? ", " : "", r->male.number);
    for (size_t i = 0; i < sizeof substances / sizeof *substances; i++) {
        struct slice first, others;
        if (!request_chose(r, substances[i].choice))
            continue;
        (void)slice_cut(words_get(t->words, turn_language(t, t->sender), substances[i].words), '|',
                        &first, &others);
        buf_puts(&out, out.n ? ", " : "");
        buf_put(&out, first);
        break;
    }
    return buf_slice(&out);
}

static void say_injected(struct turn *t, const struct request *r, const struct spawn *s,
                         bool is_new) {
    struct latency l = spawn_latency(s);
    struct reply_value tag = V_TAG(turn_tag(s)), weight = V_WEIGHT(s->weight_mg);
    struct reply_value at = V_WHEN(s->injected_s);
    int64_t mdegc = water_at_mdegc(spawn_water(s), s->injected_s);
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    if (l.look.status == PROGRESS_COLD) {
        TURN_SAY(t, INJECTED_COLD, tag, weight, at, V_WATER(mdegc));
        return;
    }
    if (l.look.status == PROGRESS_WARM) {
        TURN_SAY(t, INJECTED_WARM, tag, weight, at, V_WATER(mdegc));
        return;
    }
    struct eggs_range eggs = eggs_expected(s->weight_mg);
    int64_t look_s = plan_shown(l.look.at_s);
    int64_t most_s = turn_most(s, &l);
    struct slice with = said_with(t, r);
    const struct reply plain = {is_new ? REPLY_INJECTED_NEW : REPLY_INJECTED,
                                {tag, weight, at, V_WATER(mdegc), V_WHEN(look_s),
                                 turn_until(t, look_s, most_s), V_NUMBER(thousands(eggs.low)),
                                 V_NUMBER(thousands(eggs.high))}};
    const struct reply full = {is_new ? REPLY_INJECTED_WITH_NEW : REPLY_INJECTED_WITH,
                               {tag, weight, V_TEXT(with), at, V_WATER(mdegc), V_WHEN(look_s),
                                turn_until(t, look_s, most_s)}};
    if (!say_past(t, s, (struct slice){0}, look_s))
        turn_say(t, with.n ? &full : &plain);
    turn_said(t, TASK_LOOK, s, look_s);
}

/* -- may she be ----------------------------------------------------------------------------------
 */

/* A spawn of hers that is not stripped or whose eggs are on the frames, begun before or after the
 * instant. */
static const struct spawn *open_spawn(const struct farm_state *st, int64_t female, int64_t at_s) {
    for (int i = st->spawn_count - 1; i >= 0; i--) {
        const struct spawn *s = &st->spawns[i];
        if (s->female == female && spawn_open(s, at_s) && spawn_phase(s) < PHASE_LARVAE &&
            !spawn_swims(s))
            return s;
    }
    return NULL;
}

/* Her eggs lie in a tank: what is to be asked is that she rests, not whether it is the same
 * injection. */
static bool only_rests(const struct spawn *open, const struct brood *fish, int64_t at_s) {
    return open && open->stripped_s && fish && fish->spent_s && fish->spent_s < at_s &&
           turn_rested_s(fish) > at_s;
}

/* One that has not rested, or is too young, is asked about first; what was done is recorded then.
 */
static bool rested(struct turn *t, const struct request *r, struct tag tag,
                   const struct brood *fish, int64_t at_s) {
    if (!fish || (r->confirms & CONFIRM_REST))
        return true;
    int64_t rested_s = turn_rested_s(fish);
    if (fish->spent_s && fish->spent_s < at_s && rested_s > at_s) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_REST, ASK_REST, V_TAG(tag), V_DATE(fish->spent_s),
                 V_DATE(rested_s));
        return false;
    }
    if (fish->born_s && !brood_mature(at_s - fish->born_s, 0)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_REST, ASK_YOUNG, V_TAG(tag),
                 V_NUMBER((at_s - fish->born_s) / ((int64_t)30 * 24 * HOUR_S)));
        return false;
    }
    return true;
}

static bool not_open(struct turn *t, const struct request *r, struct tag tag,
                     const struct spawn *open, int64_t at_s) {
    if (!open || (r->confirms & CONFIRM_OPEN))
        return true;
    int64_t off_s = at_s > open->injected_s ? at_s - open->injected_s : open->injected_s - at_s;
    bool weight = !request_has(r, SLOT_WEIGHT) || r->weight_mg == open->weight_mg;
    int64_t look_s = open->stripped_s ? 0 : plan_next_look(open);
    if (off_s <= TWICE_MIN * 60 && weight && look_s) { /* the same text once more */
        TURN_SAY(t, INJECTED_ALREADY, V_TAG(tag), V_WHEN(open->injected_s), V_WHEN(look_s));
        return false;
    }
    TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_OPEN, ASK_OPEN, V_TAG(tag), V_WHEN(open->injected_s));
    return false;
}

/* A male named with her gave the gland; he must be known, and is dead then. */
static bool donor(struct turn *t, const struct request *r, const struct brood **male) {
    *male = NULL;
    if (!request_has(r, SLOT_MALE))
        return true;
    *male = farm_brood_tag(&t->farm->state, SEX_MALE, r->male.number);
    if (*male)
        return true;
    turn_refuse_tag(t, r->male);
    return false;
}

/* -- recording -----------------------------------------------------------------------------------
 */

static enum hormone hormone_of(const struct request *r) {
    return request_chose(r, CHOICE_GLAND)   ? HORMONE_GLAND
           : request_chose(r, CHOICE_DRIED) ? HORMONE_DRIED
           : request_chose(r, CHOICE_HCG)   ? HORMONE_HCG
           : request_chose(r, CHOICE_MIX)   ? HORMONE_MIX
                                            : 0;
}

/* Everything that one injection says beside her: tank, substance, the male whose gland it was. */
static void record_with(struct turn *t, const struct request *r, int64_t number, int64_t at_s,
                        const struct brood *male) {
    enum hormone hormone = hormone_of(r);
    if (request_has(r, SLOT_TANK))
        turn_record(t, ENTRY_TANK, SUBJECT_SPAWN, number, at_s, r->tank.number, 0, 0);
    int64_t mdegc;
    if (request_has(r, SLOT_TANK) && turn_fill_water(r, &mdegc)) /* for who comes in after her */
        turn_record(t, ENTRY_WATER, SUBJECT_TANK, r->tank.number, at_s, mdegc, WATER_AT_INJECTION,
                    0);
    if (hormone || male)
        turn_record(t, ENTRY_HORMONE, SUBJECT_SPAWN, number, at_s,
                    hormone ? hormone : HORMONE_GLAND, 0, 0);
    if (male)
        turn_record(t, ENTRY_MALE, SUBJECT_SPAWN, number, at_s, male->id, MALE_GLAND, 0);
}

static void record_one(struct turn *t, const struct request *r, struct tag tag, int64_t female,
                       int64_t weight_mg, int64_t number, int64_t at_s) {
    const struct spawn *open = open_spawn(&t->farm->state, female, at_s);
    if (open && !open->stripped_s) /* the earlier injection came to nothing */
        turn_record(t, ENTRY_NO_EGGS, SUBJECT_SPAWN, open->number,
                    at_s > open->injected_s ? at_s : open->injected_s, 0, 0, 0);
    turn_record(t, ENTRY_INJECTED, SUBJECT_SPAWN, number, at_s, female, tag.number, weight_mg);
    int64_t mdegc;
    if (turn_fill_water(r, &mdegc))
        turn_record(t, ENTRY_WATER, SUBJECT_SPAWN, number, at_s, mdegc, WATER_AT_INJECTION, 0);
}

/* The degrees said can be. *known: they were said, or a fresh reading stands for them. */
static bool water_fits(struct turn *t, const struct request *r, int64_t at_s, bool *known) {
    int64_t mdegc;
    const struct tank *tank =
        request_has(r, SLOT_TANK) ? farm_tank(&t->farm->state, r->tank.number) : NULL;
    *known = turn_fill_water(r, &mdegc);
    if (*known)
        return !turn_impossible_water(t, mdegc);
    *known = turn_fresh_water(t, at_s) || (tank && turn_fresh_reading(&tank->water, at_s));
    return true;
}

/* -- her water is said later ---------------------------------------------------------------------
 * She has the needle in any case: what is not answered must not lose her. She is recorded without
 * her water, has no hour, and her water is asked for again (plan_spawn.c) if nobody answers.
 */

/* Injected by a text that could not say her water, and this is it once more. */
static bool awaits_water(const struct spawn *open, const struct request *r, int64_t at_s) {
    if (!open || open->stripped_s || open->water.count)
        return false;
    int64_t off_s = at_s > open->injected_s ? at_s - open->injected_s : open->injected_s - at_s;
    return off_s <= TWICE_MIN * 60 &&
           (!request_has(r, SLOT_WEIGHT) || r->weight_mg == open->weight_mg);
}

/* Nobody registered her, and no other injection named her. */
static bool first_known_by(const struct turn *t, const struct spawn *s) {
    for (int i = 0; i < t->farm->count; i++) {
        const struct entry *n = &t->farm->entries[i];
        bool registered = n->subject_kind == SUBJECT_BROOD && n->subject == s->female;
        bool other =
            n->kind == ENTRY_INJECTED && n->value[0] == s->female && n->subject != s->number;
        if (t->farm->in_force[i] && (registered || other))
            return false;
    }
    return true;
}

static void record_water(struct turn *t, const struct spawn *s, int64_t mdegc) {
    turn_record(t, ENTRY_WATER, SUBJECT_SPAWN, s->number, s->injected_s, mdegc, WATER_AT_INJECTION,
                0);
    if (s->tank)
        turn_record(t, ENTRY_WATER, SUBJECT_TANK, s->tank, s->injected_s, mdegc, WATER_AT_INJECTION,
                    0);
}

static void ask_water(struct turn *t, const struct request *r, const struct spawn *s,
                      struct slice several) {
    if (several.n)
        TURN_ASK(t, r, SLOT_WATER, INJECTED_BOTH_UNKNOWN, V_TEXT(several), V_WHEN(s->injected_s));
    else
        TURN_ASK(t, r, SLOT_WATER, INJECTED_UNKNOWN, V_TAG(turn_tag(s)), V_WEIGHT(s->weight_mg),
                 V_WHEN(s->injected_s));
}

/* False: it was not said now, either, or cannot be; asked or refused. */
static bool water_said(struct turn *t, const struct request *r, const struct spawn *s,
                       struct slice several, int64_t *mdegc) {
    if (turn_fill_water(r, mdegc))
        return !turn_impossible_water(t, *mdegc);
    ask_water(t, r, s, several);
    return false;
}

static void add_water(struct turn *t, const struct request *r, const struct spawn *s) {
    int64_t mdegc, number = s->number;
    if (!water_said(t, r, s, (struct slice){0}, &mdegc))
        return;
    record_water(t, s, mdegc);
    if (!turn_commit(t))
        return;
    s = farm_spawn(&t->farm->state, number);
    say_injected(t, r, s, first_known_by(t, s));
}

/* -- several at once -----------------------------------------------------------------------------
 */

struct several {
    int64_t numbers[ALSO_MAX + 1]; /* their spawns */
    int count;
    struct slice tags;
};

static void say_several(struct turn *t, const struct request *r, const struct several *all,
                        int64_t at_s) {
    const struct spawn *s = farm_spawn(&t->farm->state, all->numbers[0]);
    struct latency l = spawn_latency(s);
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    if (l.look.status != PROGRESS_OK) {
        turn_say_no_hour(t, s);
        return;
    }
    int64_t look_s = plan_shown(l.look.at_s);
    struct reply_value water = V_WATER(water_at_mdegc(spawn_water(s), at_s));
    struct reply_value until = turn_until(t, look_s, turn_most(s, &l));
    struct slice with = said_with(t, r);
    bool past = say_past(t, s, all->tags, look_s);
    if (!past && with.n)
        TURN_SAY(t, INJECTED_BOTH_WITH, V_TEXT(all->tags), V_TEXT(with), V_WHEN(at_s), water,
                 V_WHEN(look_s), until);
    else if (!past)
        TURN_SAY(t, INJECTED_BOTH, V_TEXT(all->tags), V_WHEN(at_s), water, V_WHEN(look_s), until);
    for (int i = 0; i < all->count; i++)
        turn_said(t, TASK_LOOK, farm_spawn(&t->farm->state, all->numbers[i]), look_s);
}

/* All of them were injected by a text without their water. */
static bool all_await_water(const struct turn *t, const struct request *r,
                            const struct brood *const *fish, int64_t at_s, struct several *all) {
    for (int i = 0; i < all->count; i++) {
        const struct spawn *open = open_spawn(&t->farm->state, fish[i]->id, at_s);
        if (!awaits_water(open, r, at_s))
            return false;
        all->numbers[i] = open->number;
    }
    return true;
}

static void add_water_several(struct turn *t, const struct request *r, const struct several *all,
                              int64_t at_s) {
    int64_t mdegc;
    if (!water_said(t, r, farm_spawn(&t->farm->state, all->numbers[0]), all->tags, &mdegc))
        return;
    for (int i = 0; i < all->count; i++)
        record_water(t, farm_spawn(&t->farm->state, all->numbers[i]), mdegc);
    if (turn_commit(t))
        say_several(t, r, all, at_s);
}

/* "inject f3 f4 18:30 t24": all must be registered with their weights. */
static void inject_several(struct turn *t, struct request *r, int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct brood *fish[ALSO_MAX + 1], *male;
    struct buf tags = buf_make_in(t->arena, 60);
    struct several all = {.count = r->also_count + 1};
    for (int i = 0; i < all.count; i++) {
        struct tag tag = i ? r->also[i - 1] : r->tag;
        fish[i] = farm_brood_tag(st, SEX_FEMALE, tag.number);
        if (!fish[i] || fish[i]->died_s || !fish[i]->weight_mg || request_has(r, SLOT_WEIGHT)) {
            TURN_SAY(t, INJECT_EACH);
            return;
        }
        buf_putf(&tags, "%sF%d", i ? "+" : "", tag.number);
    }
    all.tags = buf_slice(&tags);
    if (all_await_water(t, r, fish, at_s, &all)) {
        add_water_several(t, r, &all, at_s);
        return;
    }
    for (int i = 0; i < all.count; i++) {
        struct tag tag = i ? r->also[i - 1] : r->tag;
        const struct spawn *open = open_spawn(st, fish[i]->id, at_s);
        if ((!only_rests(open, fish[i], at_s) && !not_open(t, r, tag, open, at_s)) ||
            !rested(t, r, tag, fish[i], at_s))
            return;
    }
    bool water;
    if (!water_fits(t, r, at_s, &water) || !donor(t, r, &male))
        return;
    int64_t first = farm_next(t->farm, SUBJECT_SPAWN);
    for (int i = 0; i < all.count; i++) {
        all.numbers[i] = first + i;
        record_one(t, r, i ? r->also[i - 1] : r->tag, fish[i]->id, fish[i]->weight_mg, first + i,
                   at_s);
        record_with(t, r, first + i, at_s, male);
    }
    if (!turn_commit(t))
        return;
    if (water)
        say_several(t, r, &all, at_s);
    else
        ask_water(t, r, farm_spawn(st, first), all.tags);
}

void turn_do_inject(struct turn *t, struct request *r) {
    int64_t at_s, weight_mg;
    const struct brood *male;
    if (!turn_fill_female(t, r) || !turn_fill_instant(t, r, &at_s))
        return;
    if (request_has(r, SLOT_ALSO)) {
        inject_several(t, r, at_s);
        return;
    }
    const struct farm_state *st = &t->farm->state;
    const struct brood *known = farm_brood_tag(st, SEX_FEMALE, r->tag.number);
    if (!turn_fish_alive(t, r, &known))
        return;
    const struct spawn *open = known ? open_spawn(st, known->id, at_s) : NULL;
    if (awaits_water(open, r, at_s)) {
        add_water(t, r, open);
        return;
    }
    bool water;
    if (!fill_weight(t, r, known, &weight_mg) || !water_fits(t, r, at_s, &water) ||
        !donor(t, r, &male))
        return;
    bool rests = only_rests(open, known, at_s);
    if ((!rests && !not_open(t, r, r->tag, open, at_s)) ||
        ((!open || rests) && !rested(t, r, r->tag, known, at_s)))
        return;
    int64_t number = farm_next(t->farm, SUBJECT_SPAWN);
    record_one(t, r, r->tag, known ? known->id : farm_next(t->farm, SUBJECT_BROOD), weight_mg,
               number, at_s);
    record_with(t, r, number, at_s, male);
    bool is_new = !known;
    if (!turn_commit(t))
        return;
    if (water)
        say_injected(t, r, farm_spawn(&t->farm->state, number), is_new);
    else
        ask_water(t, r, farm_spawn(&t->farm->state, number), (struct slice){0});
}
