/* Accounts against a season kept by hand in double entry, in exact integers, and the laws of double
 * entry over random ledgers: what was earned is what is in hand and what is owed. */
#include "farm_say.h"

#include "farm/account.h"

enum { DAY = 24 * 60, KG = 1000000 }; /* minutes, as rows have them; mg */
enum { FEED_A = 3, BUYER = 7, OTHER = 8 };

#define AT(days)                     (LEDGER_START_S + (int64_t)(days)*DAY_S)
#define COST(of, subject, at, ...)   ROW(at, ENTRY_COST, of, subject, __VA_ARGS__)
#define INCOME(of, subject, at, ...) ROW(at, ENTRY_INCOME, of, subject, __VA_ARGS__)
#define STOCKED(at, cycle, pond)     OF_CYCLE(at, ENTRY_STOCKED, cycle, pond, 10000, 100000, 0, 0, 0)

/* In cents. Each line is written twice, to one account and from another:
 *
 *  day                                          to           from      cents
 *   -9  posts for pond 4, which was empty       posts        cash     50 000
 *    0  P4 is stocked (cycle 1), P5 (cycle 2)
 *    1  feed, 100 kg at 140.00                  stock        cash  1 400 000
 *    2  hormone                                 spawn 1      cash    120 050
 *    5  lime for pond 4                         cycle 1      cash    200 000
 *    9  feed, 50 kg at 150.00                   stock        cash    750 000
 *   11  feed eaten: 60.000 kg by P4, 40.001 by P5, 1.000 given to P6, which is empty;
 *       150 kg cost 2 150 000, 48.999 kg are left:
 *          60.000/150: 860 000                  cycle 1      stock   860 000
 *          40.001/150: 573 347 2/3 -> 573 348   cycle 2      stock   573 348
 *          the rest:   716 652 1/3 -> 716 652
 *   12  larvae to B for 400.00, paid            cash         sales    40 000
 *   30  a net is hired for cycle 1              cycle 1      cash     30 000
 *   30  2500 fish, 5 kg, to A for 25 000.00     A owes       sales 2 500 000
 *   35  500 fish, 1 kg, to B for 6000.00, paid  cash         sales   600 000
 *   40  A pays                                  cash         A owes 1 500 000
 *
 * Cash: -50 000 - 1 400 000 - 120 050 - 200 000 - 750 000 + 40 000 - 30 000 + 600 000 + 1 500 000
 * = -410 050. A owes 1 000 000. Earned 3 140 000 - 2 550 050 = 589 950 = -410 050 + 1 000 000. */
static const struct say season[] = {
    COST(SUBJECT_POND, 4, -9 * DAY, 50000),
    INJECTED(-9 * DAY, 1, 3),
    OF_SPAWN(-9 * DAY + 600, ENTRY_STRIPPED, 1, 100000),
    STOCKED(0, 1, 4),
    STOCKED(0, 2, 5),
    COST(SUBJECT_HATCHERY, 0, 1 * DAY, 1400000, 0, FEED_A, 100 * KG),
    COST(SUBJECT_SPAWN, 1, 2 * DAY, 120050, 12),
    OF_POND(3 * DAY, ENTRY_GIVEN, 4, 20 * KG, FEED_A),
    COST(SUBJECT_POND, 4, 5 * DAY, 200000, 13),
    COST(SUBJECT_HATCHERY, 0, 9 * DAY, 750000, 0, FEED_A, 50 * KG),
    OF_POND(11 * DAY, ENTRY_GIVEN, 4, 40 * KG, FEED_A),
    OF_POND(11 * DAY, ENTRY_GIVEN, 5, 40 * KG + 1000, FEED_A),
    OF_POND(11 * DAY, ENTRY_GIVEN, 6, 1 * KG, FEED_A),
    OF_SPAWN(12 * DAY, ENTRY_SOLD, 1, 400, 0, 0),
    INCOME(SUBJECT_SPAWN, 1, 12 * DAY, 40000, OTHER, 1, 400),
    COST(SUBJECT_CYCLE, 1, 30 * DAY, 30000, 14),
    OF_CYCLE(30 * DAY, ENTRY_HARVESTED, 1, 2500, 5 * KG, 0),
    INCOME(SUBJECT_CYCLE, 1, 30 * DAY, 2500000, BUYER, 0, 2500, 5 * KG),
    OF_CYCLE(35 * DAY, ENTRY_HARVESTED, 1, 500, 1 * KG, 0),
    INCOME(SUBJECT_CYCLE, 1, 35 * DAY, 600000, OTHER, 1, 500, 1 * KG),
    OF_CYCLE(36 * DAY, ENTRY_COUNTED, 1, 2450),
    OF_HALL(40 * DAY, ENTRY_PAID, 1500000, BUYER, 0),
};

static void wants(const char *name, struct account got, int64_t cost, int64_t income) {
    FIELD(name, got.reason, MONEY_OK);
    FIELD(name, got.cost, cost);
    FIELD(name, got.income, income);
    FIELD(name, got.result, income - cost);
}

static void a_season_by_hand(void **unused) {
    (void)unused;
    struct farm farm = say_all(season, COUNT_OF(season));
    const struct farm_state *st = &farm.state;
    struct account one = account_cycle(st, farm_cycle(st, 1), AT(36));
    struct account two = account_cycle(st, farm_cycle(st, 2), AT(36));
    wants("cycle 1", one, 860000 + 200000 + 30000, 3100000);
    FIELD("its feed", one.feed_cost, 860000);
    FIELD("its fish", one.fish, 3000);
    FIELD("counted on the day", one.in, 2450);
    FIELD("each of 3000 out and 2450 in", one.each.minor, 200);
    FIELD("exactly", one.each.per, 1);
    FIELD("each", one.each.milli, 200000);
    FIELD("weighed", one.weight_mg, 6 * KG);
    FIELD("a kilogram", one.per_kg.rounded, 181667);
    FIELD("paid for all of its feed", one.unpriced_mg, 0);
    wants("cycle 2", two, 573348, 0);
    FIELD("none out", two.fish, 0);
    FIELD("of those in", two.each.minor * two.in, two.cost * two.each.per);
    FIELD("no weight", two.per_kg.reason, MONEY_NOTHING);

    struct account spawn = account_spawn(st, farm_spawn(st, 1), AT(36));
    wants("spawn", spawn, 120050, 40000);
    FIELD("larvae", spawn.fish, 400);

    wants("all", account_span(st, 0, INT64_MAX), 2550050, 3140000);
    wants("to the tenth day", account_span(st, 0, AT(10)), 2520050, 0);
    struct account month = account_span(st, AT(10), AT(40));
    wants("the month after", month, 30000, 3140000);
    FIELD("sold", month.fish, 3400);
    FIELD("weighed", month.weight_mg, 6 * KG);
    FIELD("feed, bought before", month.feed_cost, 0);
    FIELD("feed", account_span(st, AT(1), AT(9)).feed_cost, 1400000); /* the ninth day is not in */

    struct account_debt debts[4];
    FIELD("debtors", account_debts(st, debts, 4), 1);
    FIELD("who", debts[0].buyer, BUYER);
    FIELD("owes", debts[0].debt.owed, 1000000);
    FIELD("paid", debts[0].debt.paid, 1500000);
    FIELD("last", debts[0].last_s, AT(40));
    FIELD("paid at once", account_debt(st, OTHER).debt.sold, 640000);
    FIELD("paid at once", account_debt(st, OTHER).debt.owed, 0);
    farm_free(&farm);
}

/* -- feed ----------------------------------------------------------------------------------------
 */

#define GIVEN(at, pond, mg, feed)   OF_POND(at, ENTRY_GIVEN, pond, mg, feed)
#define PRICED(at, feed, minor)     OF_HALL(at, ENTRY_PRICE, PRICE_FEED, feed, minor, PRICE_KG, 0)
#define BOUGHT(at, minor, feed, mg) COST(SUBJECT_HATCHERY, 0, at, minor, 0, feed, mg)

static void feed(void **unused) {
    (void)unused;
    static const struct {
        const char *name;
        struct say rows[SAY_MOST];
        int64_t cost[2], unpriced_mg; /* of cycles 1 and 2; of 1 */
    } cases[] = {
        {"half is left",
         {STOCKED(0, 1, 4), BOUGHT(1, 1001, 3, 2 * KG), GIVEN(9, 4, KG, 3)},
         {500, 0},
         0}, /* 500 1/2 and 500 1/2: the unit goes to part 0, the earlier */
        {"more given than bought, and no price: no more than was paid, and it is said",
         {STOCKED(0, 1, 4), STOCKED(0, 2, 5), BOUGHT(1, 1000, 3, KG), GIVEN(9, 4, 3 * KG, 3),
          GIVEN(9, 5, KG, 3)},
         {750, 250},
         9 * KG / 4}, /* three quarters of the 3 kg */
        {"more given than bought: the rest by the farm's price",
         {STOCKED(0, 1, 4), STOCKED(0, 2, 5), PRICED(0, 3, 2000), BOUGHT(1, 1000, 3, KG),
          GIVEN(9, 4, 3 * KG, 3), GIVEN(9, 5, KG, 3)},
         {5250, 1750}, /* 1 kg for 1000 and 3 kg for 6000 */
         0},
        {"nothing was bought, but it has its price",
         {STOCKED(0, 1, 4), PRICED(0, 9, 2500), GIVEN(9, 4, KG, 9)},
         {2500, 0},
         0},
        {"without its name: the one price there is",
         {STOCKED(0, 1, 4), PRICED(0, 9, 2500), GIVEN(9, 4, KG, 0)},
         {2500, 0},
         0},
        {"without its name, of two prices",
         {STOCKED(0, 1, 4), PRICED(0, 9, 2500), PRICED(0, 3, 1000), GIVEN(9, 4, KG, 0)},
         {0, 0},
         KG},
        {"two feeds",
         {STOCKED(0, 1, 4), STOCKED(0, 2, 5), BOUGHT(1, 1000, 3, KG), BOUGHT(1, 4000, 9, KG),
          GIVEN(9, 4, KG, 3), GIVEN(9, 5, KG, 9)},
         {1000, 4000},
         0},
        {"one of them was never paid for",
         {STOCKED(0, 1, 4), BOUGHT(1, 1000, 3, KG), GIVEN(9, 4, KG, 3), GIVEN(9, 4, 2 * KG, 9)},
         {1000, 0},
         2 * KG},
        {"a meal without a name makes them one",
         {STOCKED(0, 1, 4), STOCKED(0, 2, 5), BOUGHT(1, 1000, 3, KG), BOUGHT(1, 4000, 9, KG),
          GIVEN(9, 4, KG, 0), GIVEN(9, 5, KG, 9)},
         {2500, 2500},
         0},
        {"bought without a name",
         {STOCKED(0, 1, 4), BOUGHT(1, 1000, 0, KG), GIVEN(9, 4, KG, 9)},
         {1000, 0},
         0},
        {"nothing was bought", {STOCKED(0, 1, 4), GIVEN(9, 4, KG, 9)}, {0, 0}, KG},
        {"for nothing", {STOCKED(0, 1, 4), BOUGHT(1, 0, 9, KG), GIVEN(9, 4, KG, 9)}, {0, 0}, 0},
        {"one pond, two cycles",
         {STOCKED(0, 1, 4), BOUGHT(1, 1000, 3, 4 * KG), GIVEN(9, 4, 3 * KG, 3),
          OF_CYCLE(DAY, ENTRY_HARVESTED, 1, 100, 0, 1), STOCKED(2 * DAY, 2, 4),
          GIVEN(3 * DAY, 4, KG, 3)},
         {750, 250},
         0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        struct farm farm = say_all(cases[i].rows, SAY_MOST);
        for (int k = 0; k < 2; k++) {
            const struct cycle *c = farm_cycle(&farm.state, k + 1);
            struct account a = c ? account_cycle(&farm.state, c, AT(40)) : (struct account){0};
            FIELD(cases[i].name, a.reason, MONEY_OK);
            FIELD(cases[i].name, a.feed_cost, cases[i].cost[k]);
            FIELD(cases[i].name, a.cost, cases[i].cost[k]);
            if (!k)
                FIELD(cases[i].name, a.unpriced_mg, cases[i].unpriced_mg);
        }
        farm_free(&farm);
    }
}

/* What is spent on or given to an empty pond between two cycles is neither's. */
static void between(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        STOCKED(0, 1, 4),
        BOUGHT(1, 1000, 3, 4 * KG),
        COST(SUBJECT_POND, 4, 2, 70),
        OF_CYCLE(DAY, ENTRY_HARVESTED, 1, 100, 0, 1),
        COST(SUBJECT_POND, 4, DAY + 1, 500),
        GIVEN(DAY + 1, 4, KG, 3),
        STOCKED(2 * DAY, 2, 4),
        COST(SUBJECT_POND, 4, 3 * DAY, 30),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    wants("before", account_cycle(&farm.state, farm_cycle(&farm.state, 1), AT(40)), 70, 0);
    wants("after", account_cycle(&farm.state, farm_cycle(&farm.state, 2), AT(40)), 30, 0);
    wants("of the farm", account_span(&farm.state, 0, INT64_MAX), 1600, 0);
    farm_free(&farm);
}

/* Fish take with them what they cost until then, and nothing of it is lost or counted twice. 1000
 * fish of 10 g, counted on each day, in P4, fed 2 kg at 1000 a kilogram and texted a day late as
 * 5000: day 1  200 are sold day 2  400 of the 800 left go to P5: 400/1000 of 5000 + 1 kg of the 2,
 * 1000 -> 2400 day 3  lime for P4, 90 000, weeks later, is of those that stayed day 4  100 of the
 * 400 of P5 go on to P6: 100/400 of 2400 -> 600 */
static void moved_on(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        OF_CYCLE(0, ENTRY_STOCKED, 1, 4, 1000, 10000000, 0, 0, 0),
        BOUGHT(1, 2000, 3, 2 * KG),
        GIVEN(60, 4, KG, 3),
        COST(SUBJECT_POND, 4, 3 * DAY, 5000),
        OF_CYCLE(DAY, ENTRY_SOLD, 1, 200, 0, 0),
        OF_CYCLE(2 * DAY - 1, ENTRY_COUNTED, 1, 800),
        OF_CYCLE(2 * DAY, ENTRY_STOCKED, 2, 5, 400, 10000000, 0, 1, 0),
        OF_CYCLE(2 * DAY, ENTRY_COUNTED, 1, 400),
        GIVEN(2 * DAY + 60, 4, KG, 3),
        COST(SUBJECT_POND, 4, 30 * DAY, 90000),
        OF_CYCLE(4 * DAY - 1, ENTRY_COUNTED, 2, 400),
        OF_CYCLE(4 * DAY, ENTRY_STOCKED, 3, 6, 100, 10000000, 0, 2, 0),
        OF_CYCLE(31 * DAY, ENTRY_COUNTED, 1, 400),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    const struct farm_state *st = &farm.state;
    struct account a = account_cycle(st, farm_cycle(st, 1), AT(31));
    struct account b = account_cycle(st, farm_cycle(st, 2), AT(4));
    struct account c = account_cycle(st, farm_cycle(st, 3), AT(4));
    FIELD("went to P5", a.gone, 2400);
    FIELD("came to P5", b.brought, 2400);
    FIELD("went to P6", b.gone, 600);
    FIELD("came to P6", c.brought, 600);
    FIELD("stayed", a.cost, 5000 + 2000 + 90000 - 2400);
    FIELD("sold, and not those that were moved", a.fish, 200);
    FIELD("still in", a.in, 400);
    FIELD("each", a.each.rounded, 158); /* 94 600 over 600 */
    FIELD("each in P5", b.each.minor, 6);
    FIELD("each in P6", c.each.minor, 6);
    FIELD("all", a.cost + b.cost + c.cost, account_span(st, 0, INT64_MAX).cost);
    farm_free(&farm);
}

/* So do fry of a spawn: 400 of 1000 larvae to P4, 12 000 spent until then. */
static void fry_of_a_spawn(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        INJECTED(0, 1, 3),
        OF_SPAWN(600, ENTRY_STRIPPED, 1, 100000),
        COST(SUBJECT_SPAWN, 1, 2 * DAY, 12000, 12),
        OF_SPAWN(5 * DAY, ENTRY_COUNTED, 1, 1000),
        OF_CYCLE(5 * DAY, ENTRY_STOCKED, 1, 4, 400, 0, 1, 0, 0),
        COST(SUBJECT_SPAWN, 1, 9 * DAY, 6000, 12),
    };
    struct farm farm = say_all(rows, COUNT_OF(rows));
    const struct farm_state *st = &farm.state;
    struct account spawn = account_spawn(st, farm_spawn(st, 1), AT(5));
    struct account pond = account_cycle(st, farm_cycle(st, 1), AT(5));
    FIELD("came", pond.brought, 4800);
    FIELD("cost of the pond", pond.cost, 4800);
    FIELD("went", spawn.gone, 4800);
    FIELD("stayed", spawn.cost, 13200);
    FIELD("none is sold", spawn.fish, 0);
    FIELD("in tanks", spawn.in, 600);
    FIELD("each", spawn.each.minor, 22);
    farm_free(&farm);
}

/* So many cycles that the oldest have one part together: the others have what they have. */
static void many_cycles(void **unused) {
    (void)unused;
    enum { CYCLES = 300 };
    struct farm farm = farm_make();
    say_one(&farm, (struct say)BOUGHT(0, CYCLES * 100, 3, CYCLES * KG));
    for (int i = 1; i <= CYCLES; i++) {
        say_one(&farm, (struct say)STOCKED(2 * i, i, i));
        say_one(&farm, (struct say)GIVEN(2 * i + 1, i, KG, 3));
    }
    int64_t all = 0;
    for (int i = 1; i <= CYCLES; i++) {
        struct account a = account_cycle(&farm.state, farm_cycle(&farm.state, i), AT(40));
        assert_true(a.feed_cost == 100 || (i <= CYCLES - 254 && a.feed_cost == 0));
        all += a.feed_cost;
    }
    FIELD("all but the oldest", all, 254 * 100);
    farm_free(&farm);
}

/* -- debts, and beyond ---------------------------------------------------------------------------
 */

static void debtors(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        INCOME(SUBJECT_HATCHERY, 0, 1, 500, 1, 0),  INCOME(SUBJECT_HATCHERY, 0, 2, 900, 2, 0),
        INCOME(SUBJECT_HATCHERY, 0, 3, 300, 3, 0),  OF_HALL(4, ENTRY_PAID, 1300, 3, 0),
        INCOME(SUBJECT_HATCHERY, 0, 5, 700, 4, 1),  OF_HALL(6, ENTRY_PAID, 100, 5, 1),
        INCOME(SUBJECT_HATCHERY, 0, 7, 200, 0, 0),  OF_HALL(8, ENTRY_PAID, 100, 2, 0),
        COST(SUBJECT_HATCHERY, 0, 9, 100000, 6, 0),
    };
    static const struct {
        int64_t buyer, owed;
    } want[] = {{3, -1000}, {2, 800}, {1, 500}, {0, 200}, {5, 100}};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct account_debt got[8];
    FIELD("how many", account_debts(&farm.state, got, 8), (int)COUNT_OF(want));
    for (size_t i = 0; i < COUNT_OF(want); i++) {
        FIELD("who", got[i].buyer, want[i].buyer);
        FIELD("owes", got[i].debt.owed, want[i].owed);
        FIELD("too much", got[i].debt.reason, want[i].owed < 0 ? MONEY_OVER : MONEY_OK);
    }
    FIELD("the largest two", account_debts(&farm.state, got, 2), 2);
    FIELD("first", got[0].buyer, 3);
    FIELD("second", got[1].buyer, 2);
    farm_free(&farm);
}

static void beyond(void **unused) {
    (void)unused;
    static const struct say rows[] = {
        COST(SUBJECT_SPAWN, 1, 1, 900000000000000), COST(SUBJECT_SPAWN, 1, 2, 900000000000000),
        INCOME(SUBJECT_HATCHERY, 0, 3, 900000000000000, 4, 0),
        INCOME(SUBJECT_HATCHERY, 0, 4, 900000000000000, 4, 0), INJECTED(0, 1, 3)};
    struct farm farm = say_all(rows, COUNT_OF(rows));
    struct account a = account_spawn(&farm.state, farm_spawn(&farm.state, 1), AT(40));
    FIELD("cost", a.reason, MONEY_IMPOSSIBLE);
    FIELD("cost", a.cost, 0);
    FIELD("income", account_span(&farm.state, 0, INT64_MAX).reason, MONEY_IMPOSSIBLE);
    FIELD("until then", account_span(&farm.state, 0, LEDGER_START_S + 120).cost, 900000000000000);
    FIELD("debt", account_debt(&farm.state, 4).debt.reason, MONEY_IMPOSSIBLE);
    struct account_debt debts[2];
    FIELD("he is listed", account_debts(&farm.state, debts, 2), 1);
    farm_free(&farm);
}

/* -- laws ----------------------------------------------------------------------------------------
 */

/* The second entry of each booking, kept here: cash. */
static int64_t cash_of(const struct farm_state *st) {
    int64_t cash = 0;
    for (int i = 0; i < st->booking_count; i++) {
        const struct booking *b = &st->bookings[i];
        if (b->kind == BOOKING_COST || b->kind == BOOKING_BACK)
            cash -= b->minor;
        else if (b->kind == BOOKING_PAID || b->paid)
            cash += b->minor;
    }
    return cash;
}

static void double_entry(void **unused) {
    (void)unused;
    static struct ledger l;
    int booked = 0, fed = 0, moved = 0;
    for (uint64_t seed = 1; seed <= 400; seed++) {
        ledger_make(&l, seed, true, 21000, 29000);
        struct farm farm = ledger_farm(&l);
        const struct farm_state *st = &farm.state;
        struct account_debt debts[16];
        int n = account_debts(st, debts, 16);
        int64_t owed = 0, paid = 0, parts = 0, priced = 0, with_fish = 0;
        for (int i = 0; i < n; i++)
            owed += debts[i].debt.owed;
        struct account all = account_span(st, INT64_MIN, INT64_MAX);
        FIELD("earned is in hand or owed", all.result, cash_of(st) + owed);
        /* no day is in two months or in none */
        int64_t cut_s = LEDGER_START_S + (int64_t)(seed % 60) * HOUR_S;
        FIELD("a cut",
              account_span(st, INT64_MIN, cut_s).result + account_span(st, cut_s, INT64_MAX).result,
              all.result);
        for (int i = 0; i < st->booking_count; i++)
            paid += st->bookings[i].weight_mg && st->bookings[i].kind == BOOKING_COST
                        ? st->bookings[i].minor
                        : 0;
        for (int i = 0; i < st->cycle_count; i++) {
            struct account a = account_cycle(st, &st->cycles[i], AT(40));
            FIELD("result", a.result, a.income - a.cost);
            assert_true(a.feed_cost >= 0 && a.feed_cost <= a.cost - a.brought + a.gone);
            assert_true(a.cost >= 0);
            parts += a.feed_cost;
            priced += a.priced_mg;
            with_fish += a.brought - a.gone;
            moved += a.brought > 0;
        }
        for (int i = 0; i < st->spawn_count; i++)
            with_fish -= account_spawn(st, &st->spawns[i], AT(40)).gone;
        FIELD("what went came", with_fish, 0);
        if (parts > paid && !priced)
            fail_msg("ledger %llu: feed for %lld was given of what cost %lld",
                     (unsigned long long)seed, (long long)parts, (long long)paid);
        FIELD("feed of all", all.feed_cost, paid);
        booked += st->booking_count;
        fed += parts > 0;
        farm_free(&farm);
    }
    assert_in_range(booked, 300, 100000); /* the laws were tried */
    assert_in_range(fed, 10, 400);
    assert_in_range(moved, 10, 4000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_season_by_hand), cmocka_unit_test(feed),
        cmocka_unit_test(between),          cmocka_unit_test(many_cycles),
        cmocka_unit_test(debtors),          cmocka_unit_test(beyond),
        cmocka_unit_test(double_entry),     cmocka_unit_test(moved_on),
        cmocka_unit_test(fry_of_a_spawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
