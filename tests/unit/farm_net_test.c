/* Fingerlings in a holding net: what is sold or dies after the harvest is off those harvested, and
 * nothing of the pond's own numbers. Cycle 1 in pond 4, 3000 stocked, harvested in two parts. */
#include "farm_say.h"

#define OF(at, kind, ...) OF_CYCLE(at, kind, 1, __VA_ARGS__)
#define STOCKED           OF(10, ENTRY_STOCKED, 4, 3000)
#define PART              OF(500, ENTRY_HARVESTED, 800, 0, 0)
#define LAST              OF(600, ENTRY_HARVESTED, 1000, 0, 1)

static const struct net_case {
    const char *name;
    struct say rows[SAY_MOST];
    int64_t net, net_out, out, fish, closed_min;
} cases[] = {
    {"stocked", {STOCKED}, 0, 0, 0, 3000, 0},
    {"a part harvested: the pond is open", {STOCKED, PART}, 0, 0, 800, 2200, 0},
    {"sold then comes out of the pond",
     {STOCKED, PART, OF(550, ENTRY_SOLD, 100, 0, 0)},
     0,
     0,
     900,
     2100,
     0},
    {"all harvested", {STOCKED, PART, LAST}, 1800, 0, 1800, 1200, 600},
    {"some sold",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 300, 0, 0)},
     1500,
     300,
     1800,
     1200,
     600},
    {"some dead",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 300, 0, 0), OF(710, ENTRY_DIED, 50)},
     1450,
     350,
     1800,
     1200,
     600},
    {"at the very hour",
     {STOCKED, PART, LAST, OF(600, ENTRY_SOLD, 300, 0, 0)},
     1500,
     300,
     1800,
     1200,
     600},
    {"more than there were",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 2500, 0, 0)},
     0,
     2500,
     1800,
     1200,
     600},
    {"the last ones, fewer than thought",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 1000, 0, 1)},
     0,
     1800,
     1800,
     1200,
     600},
    {"all that are left, without a number",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 300, 0, 0), OF(710, ENTRY_SOLD, 0, 0, 1)},
     0,
     1800,
     1800,
     1200,
     600},
    {"all that were left, then more harvested than was thought",
     {STOCKED, PART, LAST, OF(710, ENTRY_SOLD, 0, 0, 1), OF(550, ENTRY_HARVESTED, 200, 0, 0)},
     0,
     2000,
     2000,
     1000,
     600},
    {"the sale said before the harvest that was before it",
     {STOCKED, PART, OF(700, ENTRY_SOLD, 300, 0, 0), LAST},
     1500,
     300,
     1800,
     1200,
     600},
    {"a sale of before the harvest said after it",
     {STOCKED, PART, LAST, OF(590, ENTRY_SOLD, 300, 0, 0)},
     1800,
     0,
     2100,
     900,
     600},
    {"nothing else of a closed pond",
     {STOCKED, PART, LAST, OF(700, ENTRY_COUNTED, 7), OF(701, ENTRY_GRADED, 7),
      OF(702, ENTRY_HARVESTED, 7, 0, 1)},
     1800,
     0,
     1800,
     1200,
     600},
    {"the harvest taken back it comes out of the pond",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 300, 0, 0), OF_HALL(800, ENTRY_UNDO, 3)},
     0,
     0,
     1100,
     1900,
     0},
    {"the sale taken back",
     {STOCKED, PART, LAST, OF(700, ENTRY_SOLD, 300, 0, 0), OF_HALL(800, ENTRY_UNDO, 4)},
     1800,
     0,
     1800,
     1200,
     600},
    {"all sold out of the pond: no net",
     {STOCKED, OF(600, ENTRY_SOLD, 3000, 0, 1), OF(700, ENTRY_SOLD, 5, 0, 0)},
     0,
     5,
     3000,
     0,
     600},
};

static void nets(void **unused) {
    (void)unused;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const struct net_case *want = &cases[i];
        struct farm farm = say_all(want->rows, SAY_MOST);
        const struct cycle *c = farm_cycle(&farm.state, 1);
        FIELD(want->name, cycle_net(c), want->net);
        FIELD(want->name, c->net_out, want->net_out);
        FIELD(want->name, c->out, want->out);
        FIELD(want->name, cycle_fish(c), want->fish);
        FIELD(want->name, say_min(c->closed_s), want->closed_min);
        farm_free(&farm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(nets)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
