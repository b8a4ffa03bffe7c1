/* fill: the slots of a request that the text left out, from what the farm already said, else asked
 * in one short question. In: a request; out: values, or an answer and false. */
#include "trade/book.h"
#include "turn/inside.h"

enum { MINUTE_S = 60, HOUR_S = 3600 };

static bool water_in_table(int64_t mdegc) {
    return mdegc >= (int64_t)(book_number(BOOK_WATER_COLDEST) * 1000) &&
           mdegc <= (int64_t)(book_number(BOOK_WATER_WARMEST) * 1000);
}

struct tag turn_tag(const struct spawn *s) {
    return (struct tag){'f', s->tag};
}

/* "F3 F4": the tags of the spawns that a report could be about, newest first. */
static struct slice open_tags(struct turn *t, enum spawn_stage stage) {
    struct buf b = buf_make_in(t->arena, 200);
    const struct farm_state *st = &t->farm->state;
    int put = 0;
    for (int i = st->spawn_count - 1; i >= 0 && put < 8; i--)
        if (turn_spawn_fits(&st->spawns[i], stage, t->now_s))
            buf_putf(&b, "%sF%d", put++ ? " " : "", st->spawns[i].tag);
    return buf_slice(&b);
}

/* The tags of the living brood fish of one sex. */
struct slice turn_brood_tags(struct turn *t, enum sex sex) {
    struct buf b = buf_make_in(t->arena, 200);
    const struct farm_state *st = &t->farm->state;
    int put = 0;
    for (int i = 0; i < st->brood_count && put < 12; i++)
        if (st->brood[i].sex == sex && !st->brood[i].died_s)
            buf_putf(&b, "%s%c%d", put++ ? " " : "", sex == SEX_FEMALE ? 'F' : 'M',
                     st->brood[i].tag);
    return buf_slice(&b);
}

void turn_refuse_tag(struct turn *t, struct tag tag) {
    struct slice tags = turn_brood_tags(t, tag.letter == 'm' ? SEX_MALE : SEX_FEMALE);
    if (tag.letter == 'm' && tags.n)
        TURN_SAY(t, MALE_UNKNOWN, V_TAG(tag), V_TEXT(tags));
    else if (tag.letter == 'm')
        TURN_SAY(t, MALE_UNKNOWN_NONE, V_TAG(tag));
    else if (tags.n)
        TURN_SAY(t, TAG_UNKNOWN, V_TAG(tag), V_TEXT(tags));
    else
        TURN_SAY(t, TAG_UNKNOWN_NONE, V_TAG(tag));
}

bool turn_fill_female(struct turn *t, const struct request *r) {
    if (!request_has(r, SLOT_TAG) && request_has(r, SLOT_MALE)) {
        TURN_SAY(t, TAG_NOT_FEMALE, V_TAG(r->male));
        return false;
    }
    if (!request_has(r, SLOT_TAG)) {
        TURN_ASK(t, r, SLOT_TAG, ASK_TAG_ANY, V_KIND(r->kind));
        return false;
    }
    if (r->tag.letter != 'f') {
        TURN_SAY(t, TAG_NOT_FEMALE, V_TAG(r->tag));
        return false;
    }
    return true;
}

/* An hour that a change of clocks skips. */
void turn_say_skipped(struct turn *t, const struct request *r) {
    struct buf hour = buf_make_in(t->arena, 8);
    buf_putf(&hour, "%02d:%02d", r->hour, r->minute);
    TURN_SAY(t, HOUR_SKIPPED, V_TEXT(buf_slice(&hour)));
}

/* The hour named, on the day named or the last time it was that hour. */
static bool named_instant(struct turn *t, const struct request *r, int64_t *at_s) {
    struct zone_time local = zone_local(
        t->zone, zone_midnight(t->zone, t->base_s, request_has(r, SLOT_DAY) ? r->day : 0));
    local.hour = r->hour;
    local.minute = r->minute;
    if (zone_instant(t->zone, local, at_s)) {
        turn_say_skipped(t, r);
        return false;
    }
    int64_t second_s = zone_second(t->zone, *at_s); /* of two the last that has been */
    if (second_s <= t->base_s + AHEAD_MIN * MINUTE_S)
        *at_s = second_s;
    if (*at_s <= t->base_s + AHEAD_MIN * MINUTE_S)
        return true;
    int64_t to_come_s = *at_s, yesterday_s;
    struct zone_time before = zone_local(t->zone, zone_midnight(t->zone, t->base_s, -1));
    before.hour = r->hour;
    before.minute = r->minute;
    if (!request_has(r, SLOT_DAY) && !zone_instant(t->zone, before, &yesterday_s) &&
        t->base_s - yesterday_s <= 12 * HOUR_S) {
        *at_s = yesterday_s;
        return true;
    }
    TURN_SAY(t, HOUR_TO_COME, V_WHEN(to_come_s), V_CLOCK(t->base_s));
    return false;
}

/* The word for a day as this person's language writes it. */
static struct slice day_word(struct turn *t, int day) {
    struct slice first, others;
    slice_cut(words_get(t->words, turn_language(t, t->sender),
                        day < 0 ? "when.yesterday" : "when.tomorrow"),
              '|', &first, &others);
    return first;
}

bool turn_past_day(struct turn *t, const struct request *r, int64_t *at_s) {
    enum { NOON_H = 12, DAYS_BACK_MOST = 60 }; /* longer ago is no news */
    struct zone_time local = zone_local(t->zone, t->base_s);
    *at_s = t->base_s;
    if (!request_has(r, SLOT_DATE) && (!request_has(r, SLOT_DAY) || r->day == 0))
        return true;
    int64_t noon_s = zone_midnight(t->zone, t->base_s, request_has(r, SLOT_DAY) ? r->day : 0);
    noon_s += NOON_H * HOUR_S;
    if (request_has(r, SLOT_DATE)) {
        struct zone_time day = {.year = r->date_year ? r->date_year : local.year,
                                .month = r->date_month,
                                .day = r->date_day,
                                .hour = NOON_H};
        bool later = day.month > local.month || (day.month == local.month && day.day > local.day);
        if (!r->date_year && later) /* in January, December was last year */
            day.year--;
        if (zone_instant(t->zone, day, &noon_s)) {
            TURN_SAY(t, DAY_NONE);
            return false;
        }
    }
    int back = zone_days_between(t->zone, noon_s, t->base_s);
    if (back < 0 || back > DAYS_BACK_MOST) {
        TURN_SAY(t, STORE_DAY, V_DATE(noon_s));
        return false;
    }
    *at_s = back ? noon_s : t->base_s;
    return true;
}

/* What is kept by days as well as by hours: feed given, food left, the dead, a sale, a step of
 * preparing. Of larvae the hour is asked, unless a date says that nobody knows it any more. */
static bool kept_by_day(const struct request *r) {
    bool pond = request_has(r, SLOT_POND) || (request_has(r, SLOT_TAG) && r->tag.letter == 'p');
    bool either = r->kind == REQUEST_DEAD || r->kind == REQUEST_FED || r->kind == REQUEST_SOLD;
    return r->kind == REQUEST_GAVE || r->kind == REQUEST_LEFT || r->kind == REQUEST_PREP ||
           (either && (pond || request_has(r, SLOT_DATE)));
}

/* On a day without an hour: at its noon; food left was found after the last meal. */
static bool named_day(struct turn *t, const struct request *r, int64_t *at_s) {
    enum { LEFT_H = 18 };
    if (!turn_past_day(t, r, at_s))
        return false;
    if (r->kind == REQUEST_LEFT && zone_days_between(t->zone, *at_s, t->base_s))
        *at_s = plan_clock(t->zone, *at_s, 0, LEFT_H);
    return true;
}

/* "1 march 18:30": that hour, so many days back. */
static bool dated_instant(struct turn *t, const struct request *r, int64_t *at_s) {
    struct request then = *r;
    if (!turn_past_day(t, r, at_s))
        return false;
    then.day = -zone_days_between(t->zone, *at_s, t->base_s);
    then.has |= SLOT_BIT(SLOT_DAY);
    return named_instant(t, &then, at_s);
}

bool turn_fill_instant(struct turn *t, const struct request *r, int64_t *at_s) {
    bool hour = request_has(r, SLOT_TIME) && !r->now;
    *at_s = t->base_s;
    if (kept_by_day(r) && hour && request_has(r, SLOT_DATE))
        return dated_instant(t, r, at_s);
    if (kept_by_day(r) && !request_has(r, SLOT_TIME) &&
        (request_has(r, SLOT_DATE) || request_has(r, SLOT_DAY)))
        return named_day(t, r, at_s);
    if (request_has(r, SLOT_TIME) && !r->now)
        return named_instant(t, r, at_s);
    if (request_has(r, SLOT_DAY) && r->day != 0) { /* yesterday, but when? */
        TURN_SAY(t, DOUBT_CLOCK, V_TEXT(day_word(t, r->day)));
        return false;
    }
    if (request_has(r, SLOT_TIME))
        *at_s = t->sent_s;
    return true;
}

const struct farm_state *turn_then(struct turn *t, int64_t at_s) {
    if (t->farm->state.last_at_s <= at_s)
        return &t->farm->state;
    struct farm_state *then = ARENA_NEW(t->arena, struct farm_state);
    enum err e = then ? farm_then(t->farm, at_s, t->arena, then) : ERR_NOMEM;
    if (e && !t->e)
        t->e = e;
    return e ? &t->farm->state : then;
}

bool turn_fill_water(const struct request *r, int64_t *mdegc) {
    if (request_has(r, SLOT_WATER))
        *mdegc = r->water_mdegc;
    else if (request_has(r, SLOT_COUNT))
        *mdegc = r->count_milli;
    else
        return false;
    return true;
}

/* Larvae swam at an instant, whatever was said of the frames: by the water half of them had
 * hatched, or something was reported of larvae by then. Without an hour by the water any such
 * report tells. */
static bool hatched_by(const struct spawn *s, int64_t at_s) {
    struct hatch h = spawn_hatch(s);
    bool known = h.half.status == PROGRESS_OK;
    int64_t swims_s = spawn_swims_s(s);
    return (known && at_s >= h.half.at_s) || (swims_s && (at_s >= swims_s || !known));
}

static bool phase_fits(const struct spawn *s, enum spawn_phase phase, enum spawn_stage stage,
                       int64_t at_s) {
    switch (stage) {
    case SPAWN_BEFORE:
        return phase == PHASE_FISH;
    case SPAWN_EGGS:
        return phase == PHASE_EGGS;
    case SPAWN_LARVAE:
        return phase == PHASE_LARVAE || (phase == PHASE_EGGS && hatched_by(s, at_s));
    case SPAWN_BROOD:
        return phase == PHASE_EGGS || phase == PHASE_LARVAE;
    case SPAWN_ANY:
        return phase != PHASE_OVER;
    }
    return false;
}

bool turn_spawn_fits(const struct spawn *s, enum spawn_stage stage, int64_t at_s) {
    return spawn_open(s, at_s) && s->injected_s <= at_s &&
           phase_fits(s, spawn_phase(s), stage, at_s);
}

/* Nothing was reported for long after her strip: nobody looks for her any more, but what is said of
 * her by her tag is still about those eggs, if they are her last ones. */
static bool silent(const struct spawn *s, enum spawn_stage stage, int64_t at_s) {
    return s->stripped_s && !s->closed_s && s->stripped_s <= at_s &&
           at_s - s->injected_s <= (int64_t)LARVAE_DAYS * 24 * HOUR_S &&
           (stage == SPAWN_LARVAE || stage == SPAWN_BROOD) &&
           phase_fits(s, spawn_phase(s), stage, at_s);
}

/* Where she stood at an instant that lies back: a report of then may come after later ones. Not
 * every kind: a second strip of an earlier hour is a mistake and no late report. */
static bool fitted_then(const struct spawn *s, const struct request *r, enum spawn_stage stage,
                        int64_t at_s) {
    enum spawn_phase then = PHASE_LARVAE;
    if (s->closed_s && s->closed_s <= at_s)
        then = PHASE_OVER;
    else if (!s->stripped_s || at_s < s->stripped_s)
        then = PHASE_FISH;
    else if (!s->frames_s || at_s < s->frames_s)
        then = PHASE_EGGS;
    if (request_chose(r, CHOICE_ALL)) /* the last of them cannot go before others went */
        return false;
    switch (r->kind) {
    case REQUEST_WAIT:
    case REQUEST_TEMP:
    case REQUEST_TANK:
    case REQUEST_WHITE:
    case REQUEST_FERTILE:
    case REQUEST_HATCH:
    case REQUEST_FED:
    case REQUEST_DEAD:
    case REQUEST_GRADE:
    case REQUEST_COUNT:
    case REQUEST_SOLD:
    case REQUEST_STOCK:
        return s->injected_s <= at_s &&
               at_s - s->injected_s <= (int64_t)LARVAE_DAYS * 24 * HOUR_S &&
               phase_fits(s, then, stage, at_s);
    default:
        return false;
    }
}

/* The spawn meant without a tag: the only one it can be, else asked. */
static const struct spawn *only_spawn(struct turn *t, struct request *r, enum spawn_stage stage,
                                      int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    const struct spawn *only = NULL;
    int count = 0;
    for (int i = 0; i < st->spawn_count; i++)
        if (turn_spawn_fits(&st->spawns[i], stage, at_s)) {
            only = &st->spawns[i];
            count++;
        }
    if (count == 1) {
        r->has |= SLOT_BIT(SLOT_TAG);
        r->tag = turn_tag(only);
        return only;
    }
    if (count)
        TURN_ASK(t, r, SLOT_TAG, ASK_TAG, V_KIND(r->kind), V_TEXT(open_tags(t, stage)));
    else
        TURN_ASK(t, r, SLOT_TAG, ASK_TAG_ANY, V_KIND(r->kind));
    return NULL;
}

static void no_larvae_yet(struct turn *t, const struct spawn *s) {
    int64_t hatch_s = spawn_hatch_s(s);
    if (hatch_s)
        TURN_SAY(t, HATCH_EARLY, V_TAG(turn_tag(s)), V_WHEN(hatch_s));
    else
        TURN_SAY(t, FRAMES_FIRST, V_TAG(turn_tag(s)));
}

/* Given up, and not long ago: another injection is not what is missing. */
static bool after_no_eggs(const struct spawn *s, int64_t at_s) {
    return s->no_eggs_s && s->injected_s <= at_s &&
           at_s - s->injected_s <= (int64_t)SPAWN_DAYS * 24 * HOUR_S;
}

const struct spawn *turn_fill_spawn(struct turn *t, struct request *r, enum spawn_stage stage,
                                    int64_t at_s) {
    const struct farm_state *st = &t->farm->state;
    if (!request_has(r, SLOT_TAG))
        return only_spawn(t, r, stage, at_s);
    if (!turn_fill_female(t, r))
        return NULL;
    if (!farm_brood_tag(st, SEX_FEMALE, r->tag.number)) {
        turn_refuse_tag(t, r->tag);
        return NULL;
    }
    const struct spawn *newest = NULL;
    for (int i = st->spawn_count - 1; i >= 0; i--) {
        const struct spawn *s = &st->spawns[i];
        if (s->tag != r->tag.number)
            continue;
        bool together = s->bowl && at_s >= s->closed_s; /* before it she was on her own */
        const struct spawn *bowl = together ? farm_spawn(st, s->bowl) : s;
        if (bowl && (turn_spawn_fits(bowl, stage, at_s) || (!newest && silent(bowl, stage, at_s))))
            return bowl;
        if (fitted_then(s, r, stage, at_s))
            return s;
        if (bowl && fitted_then(bowl, r, stage, at_s))
            return bowl;
        if (!newest)
            newest = s;
    }
    if (newest && after_no_eggs(newest, at_s) && r->kind == REQUEST_STRIP)
        TURN_SAY(t, NO_EGGS_SAID, V_TAG(r->tag), V_WHEN(newest->no_eggs_s));
    else if (newest && after_no_eggs(newest, at_s) && stage == SPAWN_BEFORE)
        TURN_SAY(t, SPAWN_CLOSED, V_TAG(r->tag), V_WHEN(newest->no_eggs_s));
    else if (newest && newest->bowl && stage == SPAWN_BEFORE && farm_spawn(st, newest->bowl))
        TURN_SAY(t, IN_BOWL, V_TAG(r->tag), V_TAG(turn_tag(farm_spawn(st, newest->bowl))),
                 V_WHEN(newest->closed_s));
    else if (newest && newest->gone_s && stage != SPAWN_BEFORE)
        TURN_SAY(t, FRY_GONE, V_TAG(r->tag), V_WHEN(newest->gone_s));
    else if (newest && newest->injected_s > at_s)
        TURN_SAY(t, HOUR_BEFORE, V_TAG(r->tag), V_WHEN(at_s), V_WHEN(newest->injected_s));
    else if (newest && stage != SPAWN_BEFORE && spawn_phase(newest) == PHASE_FISH)
        TURN_SAY(t, NOT_STRIPPED, V_TAG(r->tag), V_KIND(r->kind));
    else if (newest && stage == SPAWN_BEFORE && newest->stripped_s && !spawn_closed(newest) &&
             spawn_phase(newest) == PHASE_EGGS)
        TURN_SAY(t, ALREADY_STRIPPED, V_TAG(r->tag), V_WHEN(newest->stripped_s));
    else if (newest && stage == SPAWN_EGGS && newest->frames_s)
        TURN_SAY(t, FRAMES_ALREADY, V_TAG(r->tag), V_WHEN(newest->frames_s));
    else if (newest && stage == SPAWN_LARVAE && spawn_phase(newest) == PHASE_EGGS)
        no_larvae_yet(t, newest);
    else if (newest && stage != SPAWN_BEFORE && newest->closed_s)
        TURN_SAY(t, SPAWN_CLOSED, V_TAG(r->tag), V_WHEN(newest->closed_s));
    else
        TURN_SAY(t, NO_SPAWN, V_TAG(r->tag));
    return NULL;
}

void turn_say_no_hour(struct turn *t, const struct spawn *s) {
    struct water_series water = spawn_water(s);
    if (!water.count) {
        struct request temp = {.kind = REQUEST_TEMP, .has = SLOT_BIT(SLOT_TAG), .tag = turn_tag(s)};
        TURN_ASK(t, &temp, SLOT_WATER, ASK_WATER, V_TAG(turn_tag(s)));
        return;
    }
    /* the newest reading outside the table is the reason; one inside it since does not heal that */
    const struct water_reading *last = &water.readings[water.count - 1];
    for (int i = water.count - 1; i >= 0 && water_in_table(last->mdegc); i--)
        if (!water_in_table(water.readings[i].mdegc))
            last = &water.readings[i];
    if (last->mdegc > (int64_t)(book_number(BOOK_WATER_WARMEST) * 1000))
        TURN_SAY(t, WATER_WARM, V_TAG(turn_tag(s)), V_WATER(last->mdegc), V_WHEN(last->at_s));
    else
        TURN_SAY(t, WATER_COLD, V_TAG(turn_tag(s)), V_WATER(last->mdegc), V_WHEN(last->at_s));
}
