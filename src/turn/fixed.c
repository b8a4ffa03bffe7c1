/* fixed: the answer to a correction. In: an entry as it was and as it is, the farm as it is now;
 * out: texts. Which values differ is seen from the two entries. */
#include "turn/fixed.h"

#include "reply/value.h"
#include "trade/book.h"
#include "trade/eggs.h"
#include "turn/correct.h"

enum { LIGHT_MG = 100 }; /* what weighs less would be shown as no grams */

/* -- values in words -----------------------------------------------------------------------------
 */

static void put(struct turn *t, int person, struct reply_value value, struct buf *out) {
    const struct reply_setting at = {t->words, turn_language(t, person), t->zone, t->now_s};
    if (out->n)
        buf_putc(out, ' ');
    reply_put_value(&at, &value, true, 0, out);
}

/* An hour put right is shown to the minute, as it was typed, its day only where that differs. */
static void put_hour(struct turn *t, int person, int64_t at_s, int64_t other_s, struct buf *out) {
    struct zone_time at = zone_local(t->zone, at_s);
    if (zone_days_between(t->zone, at_s, other_s) != 0)
        put(t, person, V_DATE(at_s), out);
    buf_putf(out, "%s%02d:%02d", out->n ? " " : "", at.hour, at.minute);
}

/* "60%", "20/100": the same in every language. */
static void put_share(int64_t part, int64_t of, struct buf *out) {
    if (of == 100)
        buf_putf(out, "%lld%%", (long long)part);
    else
        buf_putf(out, "%lld/%lld", (long long)part, (long long)of);
}

static void put_count(struct turn *t, int person, const struct entry *n, struct buf *out) {
    int64_t part = n->value[2] ? n->value[1] - n->value[0] : n->value[0];
    switch (n->kind) {
    case ENTRY_WHITE:
        buf_putf(out, "%lld/%lld", (long long)part, (long long)n->value[1]);
        break;
    case ENTRY_HATCHED:
        if (n->value[3])
            put_share(n->value[2], n->value[3], out);
        else
            put(t, person, V_NUMBER(n->value[0]), out);
        break;
    case ENTRY_STOCKED:
        put(t, person, V_NUMBER(n->value[1]), out);
        break;
    default:
        put(t, person, V_NUMBER(n->value[0]), out);
        break;
    }
}

/* What was read of water; 0 nothing. */
static enum reading reading_of(const struct entry *n) {
    if (n->kind == ENTRY_POND_PH)
        return READING_PH;
    return n->kind == ENTRY_READING ? (enum reading)n->value[0] : 0;
}

static int64_t read_of(const struct entry *n) {
    return n->value[n->kind == ENTRY_READING];
}

static void put_reading(struct turn *t, int person, const struct entry *n, struct buf *out) {
    switch (reading_of(n)) {
    case READING_PH:
        buf_puts(out, "pH");
        put(t, person, V_DECIMAL(read_of(n)), out);
        break;
    case READING_SECCHI: /* mm */
        put(t, person, V_DECIMAL(read_of(n) * 100), out);
        buf_puts(out, "cm");
        break;
    default:
        put(t, person, V_CENTI(read_of(n)), out);
        buf_puts(out, " mg/l");
        break;
    }
}

static bool of_feed(const struct entry *n) {
    return n->kind == ENTRY_GIVEN || n->kind == ENTRY_BOUGHT || n->kind == ENTRY_STORE ||
           n->kind == ENTRY_MEASURE;
}

static int64_t weight_mg(const struct entry *n) {
    switch (n->kind) {
    case ENTRY_STRIPPED:
    case ENTRY_GIVEN:
    case ENTRY_BOUGHT:
    case ENTRY_STORE:
        return n->value[0];
    case ENTRY_MEASURE:
        return n->value[1];
    case ENTRY_SAMPLED: /* of all that were weighed */
        return (n->value[0] * n->value[1] + 500) / 1000;
    case ENTRY_INJECTED:
    case ENTRY_BROOD:
        return n->value[2];
    case ENTRY_HARVESTED:
    case ENTRY_SOLD:
        return n->value[1];
    case ENTRY_STOCKED:
        return n->value[2] / 1000;
    default:
        return 0;
    }
}

static bool counts(const struct entry *n) {
    return n->kind == ENTRY_WHITE || n->kind == ENTRY_HATCHED || n->kind == ENTRY_STOCKED ||
           n->kind == ENTRY_HARVESTED || n->kind == ENTRY_SAMPLED || n->kind == ENTRY_STOLEN ||
           (n->kind >= ENTRY_GRADED && n->kind <= ENTRY_SOLD);
}

static bool other_count(const struct entry *a, const struct entry *b) {
    if (a->kind == ENTRY_STOCKED)
        return a->value[1] != b->value[1];
    bool of = a->kind == ENTRY_WHITE && a->value[1] != b->value[1];
    bool share =
        a->kind == ENTRY_HATCHED && (a->value[2] != b->value[2] || a->value[3] != b->value[3]);
    return a->value[0] != b->value[0] || of || share;
}

/* What `n` has that `other` has otherwise; all of it when nothing differs. A catch or a sample of
 * fish is named whole, its weight and its count. */
static struct slice words_of(struct turn *t, int person, const struct entry *n,
                             const struct entry *other) {
    struct buf out = buf_make_in(t->arena, 200);
    bool hour = n->at_s != other->at_s;
    bool weight = weight_mg(n) != weight_mg(other), count = counts(n) && other_count(n, other);
    bool whole = n->kind == ENTRY_HARVESTED || n->kind == ENTRY_SAMPLED;
    bool reading = reading_of(n) && (!hour || read_of(n) != read_of(other));
    if (!hour && !weight && !count && n->kind != ENTRY_WATER) {
        weight = weight_mg(n) != 0 || of_feed(n);
        count = counts(n);
    }
    if (whole && weight_mg(n) && (weight || count)) {
        const struct reply both = {REPLY_CATCH, {V_WEIGHT(weight_mg(n)), V_NUMBER(n->value[0])}};
        buf_put(&out, turn_render(t, person, &both));
        weight = count = false;
    }
    if (reading)
        put_reading(t, person, n, &out);
    if (weight && weight_mg(n) && weight_mg(n) < LIGHT_MG)
        buf_putf(&out, "%lldmg", (long long)weight_mg(n));
    else if (weight)
        put(t, person, V_WEIGHT(weight_mg(n)), &out);
    if (count)
        put_count(t, person, n, &out);
    if (n->kind == ENTRY_WATER && (!hour || n->value[0] != other->value[0]))
        put(t, person, V_WATER(n->value[0]), &out);
    if (hour)
        put_hour(t, person, n->at_s, other->at_s, &out);
    if (buf_err(&out) && !t->e)
        t->e = buf_err(&out);
    return buf_slice(&out);
}

/* The kind of message that reports such an entry. */
static enum request_kind kind_of(const struct turn *t, const struct entry *n) {
    static const enum request_kind kinds[ENTRY_KIND_END] = {
        [ENTRY_INJECTED] = REQUEST_INJECT,   [ENTRY_WATER] = REQUEST_TEMP,
        [ENTRY_FOLLOW] = REQUEST_TEMP,       [ENTRY_NOT_READY] = REQUEST_WAIT,
        [ENTRY_NO_EGGS] = REQUEST_NO_EGGS,   [ENTRY_STRIPPED] = REQUEST_STRIP,
        [ENTRY_WHITE] = REQUEST_WHITE,       [ENTRY_FRAMES] = REQUEST_FRAMES,
        [ENTRY_TANK] = REQUEST_TANK,         [ENTRY_BOWL] = REQUEST_STRIP,
        [ENTRY_SPOILT] = REQUEST_SPOILT,     [ENTRY_HATCHED] = REQUEST_HATCH,
        [ENTRY_FED] = REQUEST_FED,           [ENTRY_GRADED] = REQUEST_GRADE,
        [ENTRY_DIED] = REQUEST_DEAD,         [ENTRY_COUNTED] = REQUEST_COUNT,
        [ENTRY_SOLD] = REQUEST_SOLD,         [ENTRY_BROOD] = REQUEST_BROOD,
        [ENTRY_BROOD_DIED] = REQUEST_DEAD,   [ENTRY_VOLUME] = REQUEST_TANK,
        [ENTRY_POND] = REQUEST_POND,         [ENTRY_SOIL] = REQUEST_POND,
        [ENTRY_PREPARE] = REQUEST_PREP,      [ENTRY_PREPARED] = REQUEST_PREP,
        [ENTRY_POND_PH] = REQUEST_PREP,      [ENTRY_STOCKED] = REQUEST_STOCK,
        [ENTRY_HARVESTED] = REQUEST_HARVEST, [ENTRY_GIVEN] = REQUEST_GAVE,
        [ENTRY_LEFT] = REQUEST_LEFT,         [ENTRY_READING] = REQUEST_WATER,
        [ENTRY_GASPING] = REQUEST_GASP,      [ENTRY_TREATED] = REQUEST_TREATED,
        [ENTRY_CATCH] = REQUEST_CATCH,       [ENTRY_AERATOR] = REQUEST_POND,
        [ENTRY_SAMPLED] = REQUEST_SAMPLE,    [ENTRY_STOLEN] = REQUEST_STOLEN,
        [ENTRY_BIG] = REQUEST_HARVEST,       [ENTRY_MEASURE] = REQUEST_MEASURE,
        [ENTRY_BOUGHT] = REQUEST_BOUGHT,     [ENTRY_STORE] = REQUEST_STORE,
        [ENTRY_COST] = REQUEST_COST,         [ENTRY_INCOME] = REQUEST_SOLD,
    };
    const struct pond *pond =
        n->kind == ENTRY_POND_PH ? farm_pond(&t->farm->state, n->subject) : NULL;
    if (pond && pond->cycle) /* else it is of the preparing */
        return REQUEST_WATER;
    if (n->kind == ENTRY_WHITE && n->value[2])
        return REQUEST_FERTILE;
    return kinds[n->kind] ? kinds[n->kind] : REQUEST_FIX;
}

/* -- the others ----------------------------------------------------------------------------------
 */

/* Who had reported it, and the owners, of what another one put right. */
static bool to_be_told(const struct turn *t, int person, int64_t reporter) {
    int64_t sender = t->people[t->sender].id;
    return reporter != sender &&
           (t->people[person].id == reporter || t->people[person].role == ROLE_OWNER);
}

static void tell_others(struct turn *t, struct tag tag, const struct entry *was,
                        const struct entry *now) {
    for (int i = 0; i < t->people_count; i++) {
        if (!to_be_told(t, i, was->person))
            continue;
        const struct reply told = {REPLY_FIXED_TOLD,
                                   {V_KIND(kind_of(t, was)), V_TAG(tag), V_WHEN(was->at_s),
                                    V_TEXT(words_of(t, i, now, was)),
                                    V_TEXT(words_of(t, i, was, now)),
                                    V_TEXT(turn_sender(t)->phone)}};
        correct_tell(t, i, &told);
    }
}

/* -- the next step -------------------------------------------------------------------------------
 */

/* What every answer begins with. */
struct lead {
    struct reply_value kind, tag, now, was;
};

#define SAY(t, id, lead, ...)                                                                      \
    turn_say((t),                                                                                  \
             &(struct reply){REPLY_##id,                                                           \
                             {(lead)->kind, (lead)->tag, (lead)->now, (lead)->was, __VA_ARGS__}})

static void say_look(struct turn *t, const struct lead *l, const struct spawn *s) {
    int64_t look_s = plan_next_look(s);
    turn_about(t, t->sender, ABOUT_LOOK, s->number, (struct slice){0});
    if (spawn_latency(s).look.status != PROGRESS_OK) {
        SAY(t, FIXED, l, {0});
        turn_say_no_hour(t, s);
    } else if (!look_s) {
        SAY(t, FIXED, l, {0});
    } else {
        SAY(t, FIXED_LOOK, l, V_WHEN(look_s));
        turn_said(t, TASK_LOOK, s, look_s);
    }
}

static void say_eggs(struct turn *t, const struct lead *l, const struct spawn *s,
                     enum entry_kind kind) {
    struct hatch h = spawn_hatch(s);
    bool many = (double)s->white > book_number(BOOK_WHITE_SHARE_MOST) * (double)s->white_of;
    turn_about(t, t->sender, ABOUT_EGGS, s->number, (struct slice){0});
    if (kind == ENTRY_WHITE && many) {
        SAY(t, FIXED_WHITE_MANY, l, {0});
        return;
    }
    if (h.half.status != PROGRESS_OK || h.last.status != PROGRESS_OK) {
        SAY(t, FIXED, l, {0});
        turn_say_no_hour(t, s);
        return;
    }
    if (kind == ENTRY_STRIPPED)
        SAY(t, FIXED_EGGS, l, V_NUMBER(eggs_of_weight(s->eggs_mg)),
            V_NUMBER(eggs_square_cm(s->eggs_mg)),
            V_NUMBER((eggs_still_ml(s->eggs_mg) + 9999) / 10000 * 10), V_WHEN(h.half.at_s),
            V_WHEN(h.last.at_s));
    else
        SAY(t, FIXED_OUT, l, V_NUMBER(turn_two_figures(spawn_eggs(s))), V_WHEN(h.last.at_s));
    turn_said(t, TASK_FRAMES, s, plan_shown(h.last.at_s));
}

static void say_larvae(struct turn *t, const struct lead *l, const struct spawn *s,
                       enum entry_kind kind) {
    int64_t larvae = kind == ENTRY_HATCHED ? s->hatched : turn_larvae(s, t->now_s).middle;
    struct reply_value left = V_NUMBER(turn_two_figures(larvae));
    int64_t food_s = plan_food(s, t->zone);
    turn_about(t, t->sender, ABOUT_LARVAE, s->number, (struct slice){0});
    if (!s->fed_s && food_s > t->now_s)
        SAY(t, FIXED_LARVAE, l, left, V_WHEN(food_s));
    else
        SAY(t, FIXED_LEFT, l, left);
}

static void say_spawn(struct turn *t, const struct lead *l, const struct spawn *s,
                      enum entry_kind kind) {
    switch (spawn_phase(s)) {
    case PHASE_FISH:
        say_look(t, l, s);
        break;
    case PHASE_EGGS:
        if (s->hatched_s)
            say_larvae(t, l, s, kind);
        else
            say_eggs(t, l, s, kind);
        break;
    case PHASE_LARVAE:
        say_larvae(t, l, s, kind);
        break;
    case PHASE_OVER:
        SAY(t, FIXED, l, {0});
        break;
    }
    if (kind == ENTRY_STRIPPED || kind == ENTRY_HATCHED)
        turn_warn_tank(t, s, s->hatched);
}

/* Where the fish came from others stay now. */
static void say_source(struct turn *t, const struct entry *n) {
    const struct cycle *from = n->kind == ENTRY_STOCKED && n->value[4] && n->value[1]
                                   ? farm_cycle(&t->farm->state, n->value[4])
                                   : NULL;
    if (from && !from->closed_s)
        TURN_SAY_MORE(t, MOVED, V_TAG(turn_pond_tag(from->pond)), V_NUMBER(n->value[1]),
                      V_TEXT(turn_left_text(t, from)));
}

static void say_cycle(struct turn *t, const struct lead *l, const struct cycle *c) {
    int64_t there = growing_fish(&t->farm->state, c, t->now_s).middle;
    struct reply_value left = V_NUMBER(turn_two_figures(there));
    int64_t harvest_s = plan_harvest_day(c, t->zone);
    if (c->closed_s)
        SAY(t, FIXED, l, {0});
    else if (harvest_s > t->now_s && !turn_grown(c, t->now_s))
        SAY(t, FIXED_POND, l, left, V_DATE(harvest_s));
    else
        SAY(t, FIXED_LEFT, l, left);
}

/* A value read in water that fish grow in. */
static bool of_water(const struct entry *n) {
    return reading_of(n) || (n->kind == ENTRY_WATER && n->subject_kind == SUBJECT_POND);
}

/* What it says now is said as of a first report. */
static void say_reading(struct turn *t, const struct lead *l, const struct entry *n) {
    SAY(t, FIXED_READING, l, {0});
    turn_say_reading(t, n);
}

static void say_sample(struct turn *t, const struct lead *l, const struct entry *n) {
    SAY(t, FIXED_READING, l, {0});
    (void)turn_say_sample(t, n);
}

/* What is in the store has no tag. More or less given leaves less or more of the day's ration. */
static void say_feed(struct turn *t, const struct lead *l, const struct entry *n, bool moved) {
    int64_t feed = n->value[n->kind == ENTRY_MEASURE ? 2 : 1];
    if (n->kind == ENTRY_GIVEN)
        SAY(t, FIXED, l, {0});
    else
        TURN_SAY(t, FIXED_FEED, l->kind, V_TEXT(turn_feed_name(t, t->sender, feed)), l->now,
                 l->was);
    if (n->kind == ENTRY_GIVEN && !moved)
        turn_say_ration_left(t, farm_pond(&t->farm->state, n->subject), n->at_s);
}

/* Whose next step it is: the subject's, of a tank or a fish that of the female named. */
static const struct spawn *spawn_of(const struct turn *t, struct tag tag, const struct entry *n) {
    const struct farm_state *st = &t->farm->state;
    if (n->subject_kind == SUBJECT_SPAWN)
        return farm_spawn(st, n->subject);
    for (int i = st->spawn_count - 1; i >= 0 && tag.letter == 'f'; i--)
        if (st->spawns[i].tag == tag.number)
            return st->spawns[i].bowl ? farm_spawn(st, st->spawns[i].bowl) : &st->spawns[i];
    return NULL;
}

void fixed_say(struct turn *t, struct tag tag, const struct entry *was, const struct entry *now) {
    const struct lead l = {V_KIND(kind_of(t, was)), V_TAG(tag),
                           V_TEXT(words_of(t, t->sender, now, was)),
                           V_TEXT(words_of(t, t->sender, was, now))};
    const struct spawn *s = spawn_of(t, tag, now);
    const struct cycle *c =
        now->subject_kind == SUBJECT_CYCLE ? farm_cycle(&t->farm->state, now->subject) : NULL;
    bool moved = now->at_s != was->at_s;
    if (s && now->kind != ENTRY_BROOD)
        say_spawn(t, &l, s, now->kind);
    else if (of_water(now) && !moved)
        say_reading(t, &l, now);
    else if (now->kind == ENTRY_SAMPLED && c && !c->closed_s && !moved)
        say_sample(t, &l, now);
    else if (of_feed(now))
        say_feed(t, &l, now, moved);
    else if (c)
        say_cycle(t, &l, c);
    else
        SAY(t, FIXED, &l, {0});
    say_source(t, now);
    tell_others(t, tag, was, now);
}

void fixed_say_same(struct turn *t, struct tag tag, const struct entry *n, bool hour) {
    struct slice value = words_of(t, t->sender, n, n);
    if (hour || !value.n) {
        struct buf at = buf_make_in(t->arena, 100);
        put_hour(t, t->sender, n->at_s, n->at_s, &at);
        value = buf_slice(&at);
    }
    TURN_SAY(t, FIX_SAME, V_KIND(kind_of(t, n)), V_TAG(tag), V_TEXT(value));
}

/* -- the other fish ------------------------------------------------------------------------------
 */

void fixed_say_fish(struct turn *t, struct tag was, struct tag now, const struct entry *report,
                    int64_t spawn) {
    const struct spawn *s = farm_spawn(&t->farm->state, spawn);
    const struct spawn *at = s && s->bowl ? farm_spawn(&t->farm->state, s->bowl) : s;
    struct reply_value kind = V_KIND(kind_of(t, report));
    struct hatch h = at && at->stripped_s ? spawn_hatch(at) : (struct hatch){0};
    int64_t look_s = at && spawn_phase(at) == PHASE_FISH ? plan_next_look(at) : 0;
    bool out = at && spawn_phase(at) == PHASE_EGGS && h.last.status == PROGRESS_OK;
    if (look_s) {
        TURN_SAY(t, FIXED_FISH_LOOK, kind, V_TAG(now), V_TAG(was), V_WHEN(look_s));
        turn_said(t, TASK_LOOK, at, look_s);
    } else if (out) {
        TURN_SAY(t, FIXED_FISH_OUT, kind, V_TAG(now), V_TAG(was), V_WHEN(h.last.at_s));
        turn_said(t, TASK_FRAMES, at, plan_shown(h.last.at_s));
    } else {
        TURN_SAY(t, FIXED_FISH, kind, V_TAG(now), V_TAG(was));
    }
    for (int i = 0; i < t->people_count; i++) {
        const struct reply told = {
            REPLY_FIXED_FISH_TOLD,
            {kind, V_WHEN(report->at_s), V_TAG(now), V_TAG(was), V_TEXT(turn_sender(t)->phone)}};
        if (to_be_told(t, i, report->person))
            correct_tell(t, i, &told);
    }
}
