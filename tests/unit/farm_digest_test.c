/* What the laws of the ledger stand on: that the digest sees every field of a state, that random
 * ledgers reach everything, and that the states they give are sound. */
#include "farm_ledger.h"

enum { LEDGERS = 500 };

/* -- every field ---------------------------------------------------------------------------------
 */

/* One of each; three males, so that each of their places counts. */
static struct water_reading reading[4];
static struct larvae_event larva;
static struct brood brood;
static struct spawn spawn;
static struct tank tank;
static struct pond pond;
static struct cycle cycle;
static struct given given;
static struct fish_event event;
static struct measured measured;
static struct measure_size measure;
static struct feed feed;
static int64_t left_s;
static struct order order;
static struct spawn_plan plan;
static struct price price;
static struct booking booking;
static struct fish_move fish_move;
static struct farm_state state;

static void make_state(void) {
    for (int i = 0; i < 4; i++)
        reading[i] = (struct water_reading){100 + i, 24000};
    larva = (struct larvae_event){100, LARVAE_DIED, false, 7};
    brood = (struct brood){.id = 2};
    spawn = (struct spawn){.number = 2,
                           .male_count = SPAWN_MALES_MAX,
                           .water = {&reading[0], 1, 1},
                           .follows = true,
                           .events = &larva,
                           .event_count = 1,
                           .event_room = 1};
    tank = (struct tank){.number = 2, .water = {&reading[1], 1, 1}};
    given = (struct given){.at_s = 2};
    event = (struct fish_event){.at_s = 2};
    measured = (struct measured){.at_s = 2};
    measure = (struct measure_size){.measure = MEASURE_CUP};
    feed = (struct feed){.feed = 2};
    pond = (struct pond){.number = 2,
                         .water = {&reading[3], 1, 1},
                         .oxygen = {&measured, 1, 1},
                         .given = &given,
                         .given_count = 1,
                         .given_room = 1,
                         .left_s = &left_s,
                         .left_count = 1,
                         .left_room = 1};
    order = (struct order){.number = 2};
    plan = (struct spawn_plan){
        .number = 2, .female_count = PLAN_FEMALES_MAX, .pond_count = PLAN_PONDS_MAX - 1};
    price = (struct price){.thing = PRICE_FEED};
    booking = (struct booking){.kind = BOOKING_COST};
    fish_move = (struct fish_move){.to = 1};
    cycle = (struct cycle){.number = 2, .events = &event, .event_count = 1, .event_room = 1};
    state = (struct farm_state){.brood = &brood,
                                .brood_count = 1,
                                .brood_room = 1,
                                .spawns = &spawn,
                                .spawn_count = 1,
                                .spawn_room = 1,
                                .tanks = &tank,
                                .tank_count = 1,
                                .tank_room = 1,
                                .ponds = &pond,
                                .pond_count = 1,
                                .pond_room = 1,
                                .cycles = &cycle,
                                .cycle_count = 1,
                                .cycle_room = 1,
                                .water = {&reading[2], 1, 1},
                                .measures = &measure,
                                .measure_count = 1,
                                .measure_room = 1,
                                .feeds = &feed,
                                .feed_count = 1,
                                .feed_room = 1,
                                .table_count = 3,
                                .orders = &order,
                                .order_count = 1,
                                .order_room = 1,
                                .plans = &plan,
                                .plan_count = 1,
                                .plan_room = 1,
                                .prices = &price,
                                .price_count = 1,
                                .price_room = 1,
                                .bookings = &booking,
                                .booking_count = 1,
                                .booking_room = 1,
                                .moves = &fish_move,
                                .move_count = 1,
                                .move_room = 1};
}

#define AT(object, field)                                                                          \
    { #object "." #field, &(object), &(object).field, sizeof(object).field }
#define AT_LAST(object, what) AT(object, last[what].at_s), AT(object, last[what].value)
#define AT_ALL_LAST(object)                                                                        \
    AT_LAST(object, 0), AT_LAST(object, READING_OXYGEN), AT_LAST(object, READING_PH),              \
        AT_LAST(object, READING_AMMONIA), AT_LAST(object, READING_NITRITE),                        \
        AT_LAST(object, READING_SECCHI)

static const struct place {
    const char *name;
    const void *object;
    void *field;
    size_t size;
} places[] = {
    AT(brood, id),
    AT(brood, sex),
    AT(brood, tag),
    AT(brood, weight_mg),
    AT(brood, weighed_s),
    AT(brood, since_s),
    AT(brood, pond),
    AT(brood, born_s),
    AT(brood, origin),
    AT(brood, died_s),
    AT(brood, spent_s),
    AT(spawn, number),
    AT(spawn, female),
    AT(spawn, tag),
    AT(spawn, weight_mg),
    AT(spawn, injected_s),
    AT(spawn, hormone),
    AT(spawn, male[0]),
    AT(spawn, male[1]),
    AT(spawn, male[2]),
    AT(spawn, male_use[0]),
    AT(spawn, male_use[1]),
    AT(spawn, male_use[2]),
    AT(spawn, male_count),
    AT(spawn, tank),
    AT(spawn, water.count),
    AT(spawn, follows),
    AT(spawn, own_s),
    AT(spawn, reported_s),
    AT(spawn, waits),
    AT(spawn, waited_s),
    AT(spawn, no_eggs_s),
    AT(spawn, stripped_s),
    AT(spawn, eggs_mg),
    AT(spawn, layer),
    AT(spawn, bowl),
    AT(spawn, bowl_with),
    AT(spawn, white),
    AT(spawn, white_of),
    AT(spawn, white_s),
    AT(spawn, frames_s),
    AT(spawn, spoilt_s),
    AT(spawn, hatched_s),
    AT(spawn, hatched),
    AT(spawn, hatch_how),
    AT(spawn, larvae_s),
    AT(spawn, fed_s),
    AT(spawn, graded_s),
    AT(spawn, died),
    AT(spawn, counted_s),
    AT(spawn, counted),
    AT(spawn, taken),
    AT(spawn, event_count),
    AT(spawn, gone_s),
    AT(spawn, closed_s),
    AT(spawn, hands),
    AT(tank, number),
    AT(tank, volume_ml),
    AT(tank, water.count),
    AT_ALL_LAST(tank),
    AT(pond, number),
    AT(pond, area_cm2),
    AT(pond, depth_mm),
    AT(pond, fence),
    AT(pond, soil_ph_milli),
    AT(pond, soil),
    AT(pond, ready_s),
    AT(pond, planned_s),
    AT(pond, spawn),
    AT(pond, done_s[0]),
    AT(pond, done_s[PREP_DRY]),
    AT(pond, done_s[PREP_LIME]),
    AT(pond, done_s[PREP_MANURE]),
    AT(pond, done_s[PREP_FILL]),
    AT(pond, lime),
    AT(pond, ph_milli),
    AT(pond, ph_s),
    AT(pond, cycle),
    AT(pond, hands),
    AT(pond, aerator),
    AT(pond, water.count),
    AT_ALL_LAST(pond),
    AT(pond, oxygen.count),
    AT(pond, gasping_s),
    AT(pond, treated_s),
    AT(pond, catch_s),
    AT(pond, given_count),
    AT(pond, left_count),
    AT(given, at_s),
    AT(given, feed_mg),
    AT(given, feed),
    AT(measured, at_s),
    AT(measured, value),
    AT(cycle, number),
    AT(cycle, pond),
    AT(cycle, stocked_s),
    AT(cycle, count),
    AT(cycle, mean_ug),
    AT(cycle, spawn),
    AT(cycle, died),
    AT(cycle, counted_s),
    AT(cycle, counted),
    AT(cycle, taken),
    AT(cycle, graded_s),
    AT(cycle, grades),
    AT(cycle, out),
    AT(cycle, harvested),
    AT(cycle, harvested_mg),
    AT(cycle, harvested_s),
    AT(cycle, closed_s),
    AT(cycle, net_out),
    AT(cycle, caught),
    AT(cycle, hands),
    AT(cycle, event_count),
    AT(cycle, stolen),
    AT(cycle, length_um),
    AT(cycle, big_s),
    AT(cycle, big_ug),
    AT(event, kind),
    AT(event, at_s),
    AT(event, count),
    AT(event, mean_ug),
    AT(event, error_ug),
    AT(event, cv_permille),
    AT(event, least_mg),
    AT(event, largest_mg),
    AT(event, low),
    AT(event, high),
    AT(event, guessed),
    AT(event, sold),
    AT(measure, measure),
    AT(measure, feed),
    AT(measure, weight_mg),
    AT(feed, feed),
    AT(feed, counted_s),
    AT(feed, counted_mg),
    AT(feed, bought_mg),
    AT(feed, given_mg),
    AT(feed, used_s),
    AT(order, number),
    AT(order, count),
    AT(order, mean_mg),
    AT(order, day_s),
    AT(order, buyer),
    AT(order, promised),
    AT(order, ordered_s),
    AT(order, promised_s),
    AT(order, delivered),
    AT(order, delivered_s),
    AT(order, done_s),
    AT(order, off_s),
    AT(order, hands),
    AT(plan, number),
    AT(plan, inject_s),
    AT(plan, order),
    AT(plan, fish),
    AT(plan, size_mg),
    AT(plan, day_s),
    AT(plan, planned_s),
    AT(plan, off_s),
    AT(plan, spawn),
    AT(plan, females[0].female),
    AT(plan, females[0].spare),
    AT(plan, females[0].spawn),
    AT(plan, females[PLAN_FEMALES_MAX - 1].female),
    AT(plan, females[PLAN_FEMALES_MAX - 1].spare),
    AT(plan, females[PLAN_FEMALES_MAX - 1].spawn),
    AT(plan, female_count),
    AT(plan, ponds[0]),
    AT(plan, ponds[PLAN_PONDS_MAX - 2]),
    AT(plan, pond_count),
    AT(plan, hands),
    AT(price, thing),
    AT(price, party),
    AT(price, at_s),
    AT(price, minor),
    AT(price, per),
    AT(price, measure),
    AT(booking, kind),
    AT(booking, at_s),
    AT(booking, of),
    AT(booking, subject),
    AT(booking, minor),
    AT(booking, party),
    AT(booking, feed),
    AT(booking, weight_mg),
    AT(booking, count),
    AT(booking, paid),
    AT(fish_move, at_s),
    AT(fish_move, spawn),
    AT(fish_move, from),
    AT(fish_move, to),
    AT(fish_move, count),
    AT(fish_move, among),
    AT(state, order_count),
    AT(state, plan_count),
    AT(state, currency),
    AT(state, price_count),
    AT(state, booking_count),
    AT(state, move_count),
    AT(state, measure_count),
    AT(state, feed_count),
    AT(state, table_count),
    AT(state, table[0].weight_mg),
    AT(state, table[0].share_ppm),
    AT(state, table[2].weight_mg),
    AT(state, table[2].share_ppm),
    AT(state, height_m),
    AT(state, brood_count),
    AT(state, spawn_count),
    AT(state, tank_count),
    AT(state, pond_count),
    AT(state, cycle_count),
    AT(state, water.count),
    AT(state, source),
    AT(state, air_off_s),
    AT(state, air_person),
    AT(larva, at_s),
    AT(larva, what),
    AT(larva, count),
    AT(larva, guessed),
    AT(reading[0], at_s),
    AT(reading[0], mdegc),
    AT(reading[1], at_s),
    AT(reading[1], mdegc),
    AT(reading[2], at_s),
    AT(reading[2], mdegc),
    AT(reading[3], at_s),
    AT(reading[3], mdegc),
};

/* Where things are kept and how much room there is says nothing; nor which entry was the last, nor
 * points of a table beyond its count. */
static const struct place unseen[] = {
    AT(spawn, water.readings),
    AT(spawn, water.room),
    AT(tank, water.readings),
    AT(tank, water.room),
    AT(state, brood),
    AT(state, brood_room),
    AT(state, spawns),
    AT(state, spawn_room),
    AT(state, tanks),
    AT(state, tank_room),
    AT(state, ponds),
    AT(state, pond_room),
    AT(state, cycles),
    AT(state, cycle_room),
    AT(state, water.readings),
    AT(state, water.room),
    AT(state, last_at_s),
    AT(state, last_seq),
    AT(spawn, events),
    AT(spawn, event_room),
    AT(pond, water.readings),
    AT(pond, water.room),
    AT(pond, oxygen.all),
    AT(pond, oxygen.room),
    AT(pond, given),
    AT(pond, given_room),
    AT(pond, left_s),
    AT(pond, left_room),
    AT(cycle, events),
    AT(cycle, event_room),
    AT(state, measures),
    AT(state, measure_room),
    AT(state, feeds),
    AT(state, feed_room),
    AT(state, orders),
    AT(state, order_room),
    AT(state, plans),
    AT(state, plan_room),
    AT(state, prices),
    AT(state, price_room),
    AT(state, bookings),
    AT(state, booking_room),
    AT(state, moves),
    AT(state, move_room),
    AT(state, table[1]), /* as those beside it */
    {"the other females of a plan", &plan, &plan.females[1],
     (PLAN_FEMALES_MAX - 2) * sizeof plan.females[0]},
    {"its other ponds", &plan, &plan.ponds[1], (PLAN_PONDS_MAX - 3) * sizeof plan.ponds[0]},
    AT(plan, ponds[PLAN_PONDS_MAX - 1]), /* beyond its count */
    {"the table's rest", &state, &state.table[3], sizeof state.table - 3 * sizeof state.table[0]},
};

static void every_field(void **unused) {
    (void)unused;
    make_state();
    uint64_t before = farm_digest(&state);
    for (size_t i = 0; i < COUNT_OF(places); i++) {
        unsigned char *byte = places[i].field;
        *byte ^= 1;
        if (farm_digest(&state) == before)
            fail_msg("the digest does not see %s", places[i].name);
        *byte ^= 1;
        assert_true(farm_digest(&state) == before);
    }
    state.last_at_s++;
    state.last_seq++;
    state.brood_room++;
    spawn.water.room++;
    assert_true(farm_digest(&state) == before);
}

/* A new field that is not in the lists above leaves a hole in its struct (64-bit, as all machines
 * this runs on). */
static void no_field_forgotten(void **unused) {
    (void)unused;
    const struct {
        const char *name;
        const void *object;
        size_t size, holes; /* bytes between its fields, for their alignment */
    } objects[] = {
        {"brood", &brood, sizeof brood, 4},
        {"spawn", &spawn, sizeof spawn, 35},
        {"tank", &tank, sizeof tank, 4},
        {"pond", &pond, sizeof pond, 20},
        {"cycle", &cycle, sizeof cycle, 8},
        {"state", &state, sizeof state, 8},
        {"given", &given, sizeof given, 0},
        {"event", &event, sizeof event, 2},
        {"measured", &measured, sizeof measured, 0},
        {"measure", &measure, sizeof measure, 4},
        {"feed", &feed, sizeof feed, 0},
        {"order", &order, sizeof order, 0},
        {"plan", &plan, sizeof plan, 14},
        {"price", &price, sizeof price, 4},
        {"booking", &booking, sizeof booking, 15},
        {"move", &fish_move, sizeof fish_move, 0},
    };
    for (size_t i = 0; i < COUNT_OF(objects); i++) {
        size_t bytes = 0;
        for (size_t k = 0; k < COUNT_OF(places); k++)
            bytes += places[k].object == objects[i].object ? places[k].size : 0;
        for (size_t k = 0; k < COUNT_OF(unseen); k++)
            bytes += unseen[k].object == objects[i].object ? unseen[k].size : 0;
        if (bytes + objects[i].holes != objects[i].size)
            fail_msg("%s: %zu bytes are in the lists and %zu between, of %zu", objects[i].name,
                     bytes, objects[i].holes, objects[i].size);
    }
}

/* -- random ledgers ------------------------------------------------------------------------------
 */

static void check_log(const struct water_log *log, uint64_t seed) {
    for (int i = 1; i < log->count; i++)
        if (log->readings[i].at_s <= log->readings[i - 1].at_s)
            fail_msg("ledger %llu: readings out of order", (unsigned long long)seed);
}

static void check_spawn(const struct farm_state *st, const struct spawn *s, uint64_t seed) {
    check_log(&s->water, seed);
    bool ended = s->no_eggs_s || s->spoilt_s || s->gone_s || s->bowl ||
                 (s->hatched_s && !s->hatched) ||
                 (!s->stripped_s && farm_brood(st, s->female)->died_s >= s->injected_s);
    /* dead and injected at one second: either may have been said first */
    bool doubtful = !s->stripped_s && farm_brood(st, s->female)->died_s == s->injected_s;
    if (!s->closed_s == ended && !doubtful)
        fail_msg("ledger %llu: spawn %lld is closed %d without its reason, or open with one",
                 (unsigned long long)seed, (long long)s->number, s->closed_s != 0);
    assert_in_range(s->male_count, 0, SPAWN_MALES_MAX);
    assert_true(!s->frames_s || s->stripped_s);
    assert_true(!s->stripped_s || s->stripped_s >= s->injected_s);
    assert_true(!s->frames_s || s->frames_s >= s->stripped_s);
    assert_true(!s->tank || farm_tank(st, s->tank));
    const struct spawn *bowl = s->bowl ? farm_spawn(st, s->bowl) : NULL;
    assert_true(!s->bowl || (bowl && bowl->bowl_with && bowl->stripped_s));
}

static void check_ponds(const struct farm_state *st, uint64_t seed) {
    for (int i = 0; i < st->pond_count; i++) {
        const struct pond *p = &st->ponds[i];
        const struct cycle *c = p->cycle ? farm_cycle(st, p->cycle) : NULL;
        if (p->cycle && (!c || c->closed_s || c->pond != p->number))
            fail_msg("ledger %llu: pond %d and cycle %lld do not mean each other",
                     (unsigned long long)seed, p->number, (long long)p->cycle);
        check_log(&p->water, seed);
        for (int k = 1; k < p->given_count; k++)
            assert_true(p->given[k].at_s >= p->given[k - 1].at_s);
        for (int k = 1; k < p->oxygen.count; k++)
            assert_true(p->oxygen.all[k].at_s > p->oxygen.all[k - 1].at_s);
    }
    for (int i = 0; i < st->cycle_count; i++) {
        const struct cycle *c = &st->cycles[i];
        assert_true(cycle_fish(c) >= 0);
        assert_true(c->count > 0 && c->died >= 0 && c->taken >= 0 && c->stolen >= 0);
        assert_true(c->event_count > 0 && c->events[0].kind == FISH_PUT);
        for (int k = 1; k < c->event_count; k++)
            assert_true(c->events[k].at_s >= c->events[k - 1].at_s);
        assert_non_null(farm_pond(st, c->pond));
    }
}

static void check_feed(const struct farm_state *st) {
    for (int i = 0; i < st->feed_count; i++)
        assert_true(feed_left_mg(&st->feeds[i]) >= 0);
    assert_in_range(st->table_count, 0, TABLE_MAX);
    for (int i = 1; i < st->table_count; i++)
        assert_true(st->table[i].weight_mg > st->table[i - 1].weight_mg);
}

static void states_are_sound(void **unused) {
    (void)unused;
    static struct ledger l;
    int kinds[ENTRY_KIND_END] = {0}, phases[PHASE_OVER + 1] = {0};
    int fixes = 0, in_bowls = 0, closed_cycles = 0, preparing = 0, dead = 0;
    for (uint64_t seed = 1; seed <= LEDGERS; seed++) {
        ledger_make(&l, seed, true, 19000, 31000);
        struct farm farm = ledger_farm(&l);
        const struct farm_state *st = &farm.state;
        check_log(&st->water, seed);
        for (int i = 0; i < st->spawn_count; i++) {
            check_spawn(st, &st->spawns[i], seed);
            phases[spawn_phase(&st->spawns[i])]++;
            in_bowls += st->spawns[i].bowl != 0;
        }
        check_ponds(st, seed);
        check_feed(st);
        for (int i = 0; i < st->tank_count; i++)
            check_log(&st->tanks[i].water, seed);
        for (int i = 0; i < l.count; i++) {
            struct buf line = buf_make(300);
            struct entry back = l.entries[i];
            entry_write(&l.entries[i], &line);
            OK(entry_read(buf_slice(&line), &back)); /* a store holds such ledgers */
            buf_free(&line);
            kinds[l.entries[i].kind]++;
        }
        for (int64_t m = 1; m <= l.messages; m++)
            fixes += ledger_fix(&l, m);
        for (int i = 0; i < st->cycle_count; i++)
            closed_cycles += st->cycles[i].closed_s != 0;
        for (int i = 0; i < st->pond_count; i++)
            preparing += st->ponds[i].ready_s != 0;
        for (int i = 0; i < st->brood_count; i++)
            dead += st->brood[i].died_s != 0;
        farm_free(&farm);
    }
    for (int kind = ENTRY_UNDO; kind < ENTRY_KIND_END; kind++)
        if (kinds[kind] < 20)
            fail_msg("kind %d came %d times, wanted 20", kind, kinds[kind]);
    for (int phase = 0; phase <= PHASE_OVER; phase++)
        assert_in_range(phases[phase], 20, 1000000);
    assert_in_range(fixes, 200, 1000000);
    assert_in_range(in_bowls, 20, 1000000);
    assert_in_range(closed_cycles, 20, 1000000);
    assert_in_range(preparing, 20, 1000000);
    assert_in_range(dead, 20, 1000000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_field),
        cmocka_unit_test(no_field_forgotten),
        cmocka_unit_test(states_are_sound),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
