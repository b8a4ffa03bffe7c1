/* brood: the register of brood fish: who is here, how heavy, how old, from where; who is ready to
 * be injected, and how much of an inducing substance she wants. In: a request; out: entries and an
 * answer, or one question. The rules and their numbers are trade's. */
#include "trade/brood.h"

#include <stdlib.h>

#include "trade/book.h"
#include "trade/dose.h"
#include "farm/feeding.h"
#include "turn/inside.h"

enum {
    DAY_S = 86400,
    MONTH_S = 2629800 /* a twelfth of 365.25 days */,
    G_MG = 1000,
    FISH_LEAST_MG = 50000,
    FISH_MOST_MG = 20000000
};

/* -- checks --------------------------------------------------------------------------------------
 */

bool turn_fish_weight(struct turn *t, const struct request *r, int64_t weight_mg) {
    if (weight_mg < FISH_LEAST_MG || weight_mg > FISH_MOST_MG) {
        TURN_SAY(t, WEIGHT_IMPOSSIBLE, V_WEIGHT(weight_mg));
        return false;
    }
    bool odd = weight_mg < (int64_t)book_number(BOOK_FEMALE_LEAST_G) * G_MG ||
               weight_mg > (int64_t)book_number(BOOK_FEMALE_MOST_G) * G_MG;
    if (odd && !(r->confirms & CONFIRM_FEMALE)) {
        const struct reply ask = {r->tag.letter == 'm' ? REPLY_ASK_MALE_WEIGHT
                                                       : REPLY_ASK_FEMALE_WEIGHT,
                                  {V_TAG(r->tag), V_WEIGHT(weight_mg)}};
        turn_ask(t, r, CONFIRM_BASE + CONFIRM_FEMALE, &ask);
        return false;
    }
    return true;
}

bool turn_fish_alive(struct turn *t, const struct request *r, const struct brood **fish) {
    if (!*fish)
        return true;
    bool other = request_chose(r, CHOICE_NEW);
    if ((*fish)->died_s && (other || (r->confirms & CONFIRM_DEAD))) {
        *fish = NULL; /* another fish with that tag */
        return true;
    }
    if ((*fish)->died_s)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_DEAD, ASK_DEAD_TAG, V_TAG(r->tag),
                 V_DATE((*fish)->died_s));
    else if (other) /* of two that live a later text would mean either */
        TURN_ASK(t, r, SLOT_TAG, ASK_LIVES, V_TAG(r->tag), V_DATE((*fish)->since_s));
    return !(*fish)->died_s && !other;
}

enum sex turn_sex(struct tag tag) {
    return tag.letter == 'm' ? SEX_MALE : SEX_FEMALE;
}

/* -- brood ponds ---------------------------------------------------------------------------------
 */

struct brood_pond {
    int fish;
    int64_t weight_mg, feed_mg;
};

static struct brood_pond brood_pond(const struct farm_state *st, int number) {
    struct brood_pond sum = {0};
    for (int i = 0; i < st->brood_count; i++) {
        const struct brood *fish = &st->brood[i];
        if (fish->pond != number || fish->died_s)
            continue;
        sum.fish++;
        sum.weight_mg += fish->weight_mg;
        sum.feed_mg += brood_feed_mg(fish->weight_mg, -1);
    }
    return sum;
}

int64_t turn_brood_feed(const struct farm_state *st, int pond, int *fish) {
    const struct brood_pond sum = brood_pond(st, pond);
    *fish = sum.fish;
    /* to the next ten grams: what a scale in a store can weigh */
    return (sum.feed_mg + 9999) / 10000 * 10000;
}

bool turn_say_brood_shape(struct turn *t, const struct pond *pond) {
    const struct brood_pond sum = brood_pond(&t->farm->state, pond->number);
    if (!sum.fish || pond->cycle || !pond->area_cm2 || !pond->depth_mm)
        return false;
    int64_t room = brood_room(pond->area_cm2);
    struct reply_value tag = V_TAG(turn_pond_tag(pond->number));
    struct reply_value area = V_AREA(pond->area_cm2), depth = V_METRE(pond->depth_mm);
    if (sum.fish > room)
        TURN_SAY(t, POND_NOTED_BROOD_FULL, tag, area, depth, V_NUMBER(sum.fish), V_NUMBER(room));
    else
        TURN_SAY(t, POND_NOTED_BROOD, tag, area, depth, V_NUMBER(sum.fish), V_NUMBER(room));
    return true;
}

/* One more than the pond has room for: said with the fish that came. */
static void warn_full(struct turn *t, int number) {
    const struct brood_pond sum = brood_pond(&t->farm->state, number);
    const struct pond *pond = farm_pond(&t->farm->state, number);
    int64_t room = pond && pond->area_cm2 ? brood_room(pond->area_cm2) : 0;
    if (room && sum.fish > room)
        TURN_SAY(t, BROOD_TOO_MANY, V_TAG(turn_pond_tag(number)), V_NUMBER(sum.fish),
                 V_NUMBER(room));
}

bool turn_brood_alone(const struct turn *t, const struct request *r) {
    const struct farm_state *st = &t->farm->state;
    bool tagged = request_has(r, SLOT_TAG) && r->tag.letter == 'p';
    const struct tag tag = request_has(r, SLOT_POND) ? r->pond : r->tag;
    const struct pond *pond = farm_pond(st, tag.number);
    int fish = 0;
    (void)turn_brood_feed(st, tag.number, &fish);
    return (request_has(r, SLOT_POND) || tagged) && fish && (!pond || !pond->cycle);
}

bool turn_gave_brood(struct turn *t, struct request *r) {
    struct turn_amount amount;
    int64_t at_s, feed, day_mg = 0;
    const struct tag tag = request_has(r, SLOT_POND) ? r->pond : r->tag;
    const struct pond *pond = farm_pond(&t->farm->state, tag.number);
    if (!turn_brood_alone(t, r))
        return false;
    if (!turn_fill_instant(t, r, &at_s))
        return true;
    if (turn_cycle_then(&t->farm->state, tag.number, at_s))
        return false;
    if (!turn_fill_feed(t, r, pond, false, &feed) || !turn_fill_amount(t, r, feed, at_s, &amount) ||
        turn_feed_too_much(t, r, tag.number, at_s, amount.weight_mg))
        return true;
    turn_record_holds(t, &amount, feed, at_s);
    turn_record(t, ENTRY_GIVEN, SUBJECT_POND, tag.number, at_s, amount.weight_mg, feed, 0);
    if (!turn_commit(t))
        return true;
    pond = farm_pond(&t->farm->state, tag.number);
    for (int i = 0; i < pond->given_count; i++)
        if (zone_days_between(t->zone, pond->given[i].at_s, at_s) == 0)
            day_mg += pond->given[i].feed_mg;
    const struct feeding f = feeding_brood(&t->farm->state, tag.number, t->zone, t->now_s);
    TURN_SAY(t, GAVE_BROOD, V_TAG(tag), V_TEXT(turn_amount_text(t, t->sender, &amount)),
             V_WHEN(at_s), V_NUMBER(f.fish), V_WEIGHT(day_mg),
             V_WEIGHT(f.told_mg ? f.told_mg : feeding_weighable_mg(f.line_mg)));
    turn_say_brood_left(t, tag.number, at_s);
    return true;
}

/* -- register ------------------------------------------------------------------------------------
 */

static const struct spawn *busy_spawn(const struct farm_state *st, int64_t id, int64_t at_s) {
    for (int i = st->spawn_count - 1; i >= 0; i--)
        if (st->spawns[i].female == id && spawn_open(&st->spawns[i], at_s) &&
            spawn_phase(&st->spawns[i]) == PHASE_FISH)
            return &st->spawns[i];
    return NULL;
}

/* A donor of a fresh gland is dead, whether that was texted or not. */
static bool gave_gland(const struct farm_state *st, int64_t id) {
    for (int i = 0; i < st->spawn_count; i++)
        for (int k = 0; k < st->spawns[i].male_count; k++)
            if (st->spawns[i].male[k] == id && st->spawns[i].male_use[k] == MALE_GLAND)
                return true;
    return false;
}

int64_t turn_rested_s(const struct brood *fish) {
    return fish->spent_s ? fish->spent_s + (int64_t)book_number(BOOK_REST_DAYS) * DAY_S : 0;
}

static struct slice facts(struct turn *t, const struct brood *fish) {
    struct buf b = buf_make_in(t->arena, 160);
    if (fish->pond)
        buf_putf(&b, " P%d.", fish->pond);
    if (fish->born_s)
        buf_putf(&b, " %d mo.", (int)((t->now_s - fish->born_s + MONTH_S / 2) / MONTH_S));
    struct slice from =
        fish->origin && t->party_name ? t->party_name(t->context, fish->origin) : SLICE("");
    if (from.n) {
        buf_putc(&b, ' ');
        buf_put(&b, from);
        buf_putc(&b, '.');
    }
    return buf_slice(&b);
}

static void say_fish(struct turn *t, const struct brood *fish, struct tag tag) {
    struct reply_value who = V_TAG(tag), weight = V_WEIGHT(fish->weight_mg);
    struct reply_value about = V_TEXT(facts(t, fish));
    int64_t rested_s = turn_rested_s(fish);
    if (!fish->weight_mg)
        TURN_SAY(t, BROOD_NO_WEIGHT, who, about);
    else if (fish->sex == SEX_MALE || rested_s <= t->now_s)
        TURN_SAY(t, BROOD_IS, who, weight, V_DATE(fish->weighed_s), about);
    else
        TURN_SAY(t, BROOD_RESTS, who, weight, V_DATE(fish->weighed_s), V_DATE(rested_s), about);
}

/* The day of birth: a date is one when it is past, an age is counted back. False: refused. */
static bool born(struct turn *t, const struct request *r, int64_t *born_s) {
    *born_s = 0;
    if (request_has(r, SLOT_AGE))
        *born_s = t->base_s - (int64_t)r->age_days * DAY_S;
    if (!request_has(r, SLOT_DATE) || request_has(r, SLOT_AGE))
        return true;
    struct zone_time day = {.year =
                                r->date_year ? r->date_year : zone_local(t->zone, t->base_s).year,
                            .month = r->date_month,
                            .day = r->date_day,
                            .hour = 12};
    bool good = !zone_instant(t->zone, day, born_s);
    if (good && *born_s > t->base_s && !r->date_year) {
        day.year--;
        good = !zone_instant(t->zone, day, born_s);
    }
    if (good && *born_s <= t->base_s && *born_s > 0)
        return true;
    TURN_SAY(t, DAY_NONE);
    return false;
}

static void record_fish(struct turn *t, const struct request *r, int64_t id, int64_t born_s) {
    enum subject_kind of = SUBJECT_BROOD;
    turn_record(t, ENTRY_BROOD, of, id, t->base_s, turn_sex(r->tag), r->tag.number,
                request_has(r, SLOT_WEIGHT) ? r->weight_mg : 0);
    if (request_has(r, SLOT_POND))
        turn_record(t, ENTRY_BROOD_POND, of, id, t->base_s, r->pond.number, 0, 0);
    if (born_s)
        turn_record(t, ENTRY_BROOD_BORN, of, id, t->base_s, born_s, 0, 0);
    if (request_has(r, SLOT_NAME) && t->party_id) {
        int64_t party = t->party_id(t->context, slice_of(r->name));
        if (party)
            turn_record(t, ENTRY_BROOD_ORIGIN, of, id, t->base_s, party, 0, 0);
    }
}

void turn_do_brood(struct turn *t, struct request *r) {
    int64_t born_s;
    if (!request_has(r, SLOT_TAG) && request_has(r, SLOT_POND)) {
        turn_say_brood_pond(t, r->pond);
        return;
    }
    if (!request_has(r, SLOT_TAG)) {
        TURN_ASK(t, r, SLOT_TAG, ASK_BROOD_TAG);
        return;
    }
    if (r->tag.letter != 'f' && r->tag.letter != 'm') {
        TURN_SAY(t, BROOD_TAG, V_TAG(r->tag));
        return;
    }
    if (request_chose(r, r->tag.letter == 'f' ? CHOICE_MALE : CHOICE_FEMALE)) {
        TURN_SAY(t, BROOD_SEX, V_TAG(r->tag));
        return;
    }
    const struct brood *fish = farm_brood_tag(&t->farm->state, turn_sex(r->tag), r->tag.number);
    const uint64_t news = SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_POND) | SLOT_BIT(SLOT_AGE) |
                          SLOT_BIT(SLOT_DATE) | SLOT_BIT(SLOT_NAME);
    if (!(r->has & news) && !request_chose(r, CHOICE_NEW)) {
        if (fish && fish->died_s)
            TURN_SAY(t, BROOD_DEAD, V_TAG(r->tag), V_DATE(fish->died_s));
        else if (fish)
            say_fish(t, fish, r->tag);
        else
            TURN_ASK(t, r, SLOT_WEIGHT, ASK_BROOD_WEIGHT, V_TAG(r->tag));
        return;
    }
    if (!turn_fish_alive(t, r, &fish) || !born(t, r, &born_s))
        return;
    if (!fish && !request_has(r, SLOT_WEIGHT)) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_BROOD_WEIGHT, V_TAG(r->tag));
        return;
    }
    if (request_has(r, SLOT_WEIGHT) && !turn_fish_weight(t, r, r->weight_mg))
        return;
    int64_t id = fish ? fish->id : farm_next(t->farm, SUBJECT_BROOD);
    bool is_new = !fish;
    record_fish(t, r, id, born_s);
    if (!turn_commit(t))
        return;
    fish = farm_brood(&t->farm->state, id);
    const struct reply done = {is_new ? REPLY_BROOD_NEW : REPLY_BROOD_NOTED,
                               {V_TAG(r->tag), V_WEIGHT(fish->weight_mg), V_TEXT(facts(t, fish))}};
    turn_say(t, &done);
    if (request_has(r, SLOT_POND))
        warn_full(t, r->pond.number);
}

void turn_dead_brood(struct turn *t, struct request *r) {
    int64_t at_s;
    const struct farm_state *st = &t->farm->state;
    if (!turn_fill_instant(t, r, &at_s))
        return;
    const struct brood *fish = farm_brood_tag(st, turn_sex(r->tag), r->tag.number);
    if (!fish) {
        turn_refuse_tag(t, r->tag);
        return;
    }
    if (fish->died_s) {
        TURN_SAY(t, BROOD_DEAD, V_TAG(r->tag), V_DATE(fish->died_s));
        return;
    }
    for (int i = 0; i < st->spawn_count; i++) /* her larvae are meant, more likely than she */
        if (st->spawns[i].female == fish->id && !(r->confirms & CONFIRM_SELF) &&
            turn_spawn_fits(&st->spawns[i], SPAWN_BROOD, at_s)) {
            TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SELF, ASK_DEAD_SELF, V_TAG(r->tag));
            return;
        }
    int64_t id = fish->id;
    bool injected = busy_spawn(st, id, at_s) != NULL;
    turn_record(t, ENTRY_BROOD_DIED, SUBJECT_BROOD, id, at_s, 0, 0, 0);
    if (!turn_commit(t))
        return;
    if (injected)
        TURN_SAY(t, DIED_INJECTED, V_TAG(r->tag), V_WHEN(at_s));
    else
        TURN_SAY(t, DIED_BROOD, V_TAG(r->tag), V_WHEN(at_s));
}

/* -- ready ---------------------------------------------------------------------------------------
 */

enum { READY_MOST = 24 };

struct candidate {
    const struct brood *fish;
    bool good; /* in the weights that handbooks call good */
};

/* Good weights first, then whoever has rested longest, then the heavier. */
static int better(const void *a, const void *b) {
    const struct candidate *x = a, *y = b;
    if (x->good != y->good)
        return x->good ? -1 : 1;
    if (x->fish->spent_s != y->fish->spent_s)
        return x->fish->spent_s < y->fish->spent_s ? -1 : 1;
    if (x->fish->weight_mg != y->fish->weight_mg)
        return x->fish->weight_mg > y->fish->weight_mg ? -1 : 1;
    return x->fish->tag - y->fish->tag;
}

static bool fit(const struct turn *t, const struct brood *fish) {
    int64_t age_s = fish->born_s ? t->now_s - fish->born_s : -1;
    return !fish->died_s && fish->weight_mg && brood_mature(age_s, fish->weight_mg) &&
           brood_weight_passes(fish->weight_mg);
}

static int candidates(const struct turn *t, enum sex sex, struct candidate *out, int64_t *next_s) {
    const struct farm_state *st = &t->farm->state;
    int n = 0;
    *next_s = INT64_MAX;
    for (int i = 0; i < st->brood_count && n < READY_MOST; i++) {
        const struct brood *fish = &st->brood[i];
        if (fish->sex != sex || !fit(t, fish) || busy_spawn(st, fish->id, t->now_s) ||
            gave_gland(st, fish->id))
            continue;
        int64_t rested_s = turn_rested_s(fish);
        if (sex == SEX_FEMALE && rested_s > t->now_s) {
            *next_s = rested_s < *next_s ? rested_s : *next_s;
            continue;
        }
        out[n++] = (struct candidate){fish, brood_weight_good(fish->weight_mg)};
    }
    qsort(out, (size_t)n, sizeof *out, better);
    return n;
}

/* "F3 1.2kg, F5 900g": the tags with their weights, cut where the text ends. */
static struct slice list(struct turn *t, char letter, const struct candidate *of, int n,
                         bool weights) {
    struct buf b = buf_make_in(t->arena, 400);
    for (int i = 0; i < n && i < 6; i++) {
        int64_t g = of[i].fish->weight_mg / G_MG;
        buf_putf(&b, "%s%c%d", i ? ", " : "", letter, of[i].fish->tag);
        if (weights && g >= 1000 && g % 1000 < 100)
            buf_putf(&b, " %dkg", (int)(g / 1000));
        else if (weights && g >= 1000)
            buf_putf(&b, " %d.%dkg", (int)(g / 1000), (int)(g % 1000 / 100));
        else if (weights)
            buf_putf(&b, " %dg", (int)g);
    }
    return buf_slice(&b);
}

void turn_do_ready(struct turn *t) {
    struct candidate females[READY_MOST], males[READY_MOST];
    int64_t next_s, none_s;
    int f = candidates(t, SEX_FEMALE, females, &next_s);
    int m = candidates(t, SEX_MALE, males, &none_s);
    struct reply_value who = V_TEXT(list(t, 'F', females, f, true));
    struct reply_value with = V_TEXT(list(t, 'M', males, m, false));
    if (!f && next_s != INT64_MAX)
        TURN_SAY(t, READY_NONE_YET, V_DATE(next_s));
    else if (!f)
        TURN_SAY(t, READY_NONE);
    else if (m)
        TURN_SAY(t, READY, who, with);
    else
        TURN_SAY(t, READY_NO_MALES, who);
}

/* -- dose ----------------------------------------------------------------------------------------
 */

/* Males heavy enough to give a gland for her. */
struct slice turn_donors(struct turn *t, int64_t female_mg) {
    struct candidate males[READY_MOST], donors[READY_MOST];
    int64_t none_s;
    int m = candidates(t, SEX_MALE, males, &none_s), n = 0;
    for (int i = 0; i < m; i++)
        if (males[i].fish->weight_mg >= dose_of(female_mg).donor_least_mg)
            donors[n++] = males[i];
    return list(t, 'M', donors, n, false);
}

/* Nobody is injected too young, or before she has rested: asked as INJECT asks. */
static bool dose_doubtful(struct turn *t, const struct request *r, const struct brood *fish) {
    if (!fish || fish->died_s || (r->confirms & CONFIRM_REST))
        return false;
    int64_t rested_s = turn_rested_s(fish);
    bool young = fish->born_s && !brood_mature(t->now_s - fish->born_s, 0);
    if (rested_s > t->now_s)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_REST, ASK_DOSE_REST, V_TAG(r->tag), V_DATE(rested_s));
    else if (young)
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_REST, ASK_DOSE_YOUNG, V_TAG(r->tag),
                 V_NUMBER((t->now_s - fish->born_s) / ((int64_t)30 * DAY_S)));
    return rested_s > t->now_s || young;
}

/* A male named with her: can he give the gland. False: none was named. */
static bool dose_of_male(struct turn *t, const struct request *r, int64_t female_mg) {
    if (!request_has(r, SLOT_MALE))
        return false;
    const struct brood *male = farm_brood_tag(&t->farm->state, SEX_MALE, r->male.number);
    const struct dose dose = dose_of(female_mg);
    struct reply_value tag = V_TAG(r->tag), weight = V_WEIGHT(female_mg), of = V_TAG(r->male);
    struct reply_value least = V_WEIGHT(dose.donor_least_mg);
    if (!male)
        turn_refuse_tag(t, r->male);
    else if (male->died_s)
        TURN_SAY(t, BROOD_DEAD, of, V_DATE(male->died_s));
    else if (male->weight_mg < dose.donor_least_mg)
        TURN_SAY(t, DOSE_MALE_LIGHT, tag, weight, of, V_WEIGHT(male->weight_mg), least);
    else
        TURN_SAY(t, DOSE_MALE, tag, weight, of, V_WEIGHT(male->weight_mg), least);
    return true;
}

/* Males are registered, and each is too light for her. */
static bool males_light(const struct farm_state *st, int64_t least_mg) {
    bool any = false;
    for (int i = 0; i < st->brood_count; i++) {
        const struct brood *fish = &st->brood[i];
        if (fish->sex != SEX_MALE || fish->died_s || !fish->weight_mg)
            continue;
        if (fish->weight_mg >= least_mg)
            return false;
        any = true;
    }
    return any;
}

void turn_do_dose(struct turn *t, struct request *r) {
    if (!turn_fill_female(t, r))
        return;
    const struct brood *fish = farm_brood_tag(&t->farm->state, SEX_FEMALE, r->tag.number);
    if (!request_has(r, SLOT_WEIGHT) && (!fish || fish->died_s || !fish->weight_mg)) {
        TURN_ASK(t, r, SLOT_WEIGHT, ASK_WEIGHT, V_TAG(r->tag));
        return;
    }
    int64_t weight_mg = request_has(r, SLOT_WEIGHT) ? r->weight_mg : fish->weight_mg;
    if (!turn_fish_weight(t, r, weight_mg) || dose_of_male(t, r, weight_mg))
        return;
    struct reply_value tag = V_TAG(r->tag), weight = V_WEIGHT(weight_mg);
    turn_about(t, t->sender, ABOUT_DOSE, 0, (struct slice){0});
    struct dose dose = dose_of(weight_mg);
    if (request_has(r, SLOT_PER_KG)) {
        if (!dose_label_plausible(r->per_kg_ul) && !(r->confirms & CONFIRM_SIZE)) {
            TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_SIZE, ASK_LABEL, V_CENTI(r->per_kg_ul));
            return;
        }
        int64_t mix_ul = dose_mix_ul(weight_mg, r->per_kg_ul);
        if (mix_ul <= 0) /* no amount is no dose of 0 ml */
            TURN_SAY(t, VALUE_IMPOSSIBLE);
        else if (!dose_doubtful(t, r, fish))
            TURN_SAY(t, DOSE_MIX, tag, weight, V_CENTI(r->per_kg_ul), V_CENTI(mix_ul));
        return;
    }
    struct slice donors = turn_donors(t, weight_mg);
    if (dose_doubtful(t, r, fish))
        return;
    if (donors.n)
        TURN_SAY(t, DOSE_DONORS, tag, weight, V_WEIGHT(dose.donor_least_mg), V_TEXT(donors),
                 V_DECIMAL(dose.dried_ug), V_NUMBER(dose.hcg_low_iu), V_NUMBER(dose.hcg_high_iu));
    else if (males_light(&t->farm->state, dose.donor_least_mg))
        TURN_SAY(t, DOSE_NO_DONOR, tag, weight, V_WEIGHT(dose.donor_least_mg),
                 V_DECIMAL(dose.dried_ug), V_NUMBER(dose.hcg_low_iu), V_NUMBER(dose.hcg_high_iu));
    else
        TURN_SAY(t, DOSE, tag, weight, V_WEIGHT(dose.donor_least_mg), V_WEIGHT(dose.donor_safe_mg),
                 V_DECIMAL(dose.dried_ug), V_NUMBER(dose.hcg_low_iu), V_NUMBER(dose.hcg_high_iu));
}
