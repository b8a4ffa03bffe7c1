/* Money from texts on: a selling month kept by hand in double entry beside the texts, in exact
 * integers; who may report and see it; what is shown of the farm's own rates against R. */
#include "turn_stage.h"

#include <stdlib.h>

#include "farm/account.h"
#include "farm/runs.h"

/* -- a month by hand -----------------------------------------------------------------------------
 */

/* Books: what each line is written to and from. */
enum book {
    CASH,
    STOCK,  /* feed bought and not eaten by P4 */
    POND4,  /* what its fish cost */
    SPAWN3, /* what F3's spawn cost */
    FARM,   /* costs of nothing in particular */
    SALES4, /* earned with P4's fish */
    SALES3, /* with F3's larvae */
    MARY,   /* what she owes */
    HOTEL,
    JOHN,
    BOOKS
};

/* In cents of KES, each line to one book and from another. The feed that P4 ate is written at the
 * end: 30 kg of 70 kg that cost 1300.55 + 20 x 25.25 = 1805.55, so 1805.55 x 30 / 70 = 773.807...,
 * 77381 cents, as the part of the pond has the larger remainder: 180555 x 30 = 5416650 = 70 x 77380
 * + 50, and of the 40 kg left 7222200 = 70 x 103174 + 20. */
static const struct line {
    int day;
    int who;
    const char *text; /* NULL: no text, a line of the book alone */
    enum book to, from;
    int64_t cents; /* 0: nothing of money */
} month[] = {
    {0, OWNER, "currency KES", CASH, CASH, 0},
    {0, OWNER, "pond p4 4 ares 1m", CASH, CASH, 0},
    {0, OWNER, "stock p4 3000 fingerlings 5g", CASH, CASH, 0},
    {0, OWNER, "temp 26", CASH, CASH, 0},
    {0, OWNER, "inject f3 1kg", CASH, CASH, 0},
    {0, WORKER, "cost f3 1200.50 hormone", SPAWN3, CASH, 120050},
    {1, WORKER, "cost 5000 p4 lime", POND4, CASH, 500000},
    {1, WORKER, "spent 20k on fuel", FARM, CASH, 2000000},
    {1, OWNER, "bought 50kg pellets 1300.55", STOCK, CASH, 130055},
    {1, OWNER, "price pellets 25.25 a kg", CASH, CASH, 0},
    {2, OWNER, "bought 20kg pellets", STOCK, CASH, 50500}, /* 20 x 25.25 */
    {2, OWNER, "price fingerlings 14.95 each", CASH, CASH, 0},
    {3, WORKER, "gave p4 4kg pellets", CASH, CASH, 0},
    {3, WORKER, "yes", CASH, CASH, 0},
    {4, WORKER, "gave p4 26kg pellets", CASH, CASH, 0},
    {4, WORKER, "yes", POND4, STOCK, 77381},
    {9, OWNER, "sold p4 1000 for 15000 to mary paid", CASH, SALES4, 1500000},
    {10, WORKER, "sold p4 333 at 14.55 each to green hotel owes", HOTEL, SALES4, 484515},
    {11, OWNER, "sold p4 200 to john owes", JOHN, SALES4, 299000}, /* 200 x 14.95 */
    {12, OWNER, "sold p4 100 600g at 301.25 a kg to mary owes", MARY, SALES4, 18075},
    {13, WORKER, "green hotel paid 4000", CASH, HOTEL, 400000},
    {14, OWNER, "green hotel paid 845.15", CASH, HOTEL, 84515},
    {15, OWNER, "payment from john 3,000", CASH, JOHN, 300000}, /* 10.00 too much */
    {16, OWNER, "cost 100 fuel", FARM, CASH, 10000},
    {16, OWNER, "undo", CASH, FARM, 10000},
};

static void keep(int64_t *books, const struct line *l) {
    books[l->to] += l->cents;
    books[l->from] -= l->cents;
}

static void same(const char *what, int64_t got, int64_t want) {
    if (got != want)
        fail_msg("%s: got %lld, wanted %lld", what, (long long)got, (long long)want);
}

static int64_t owed(struct stage *s, const char *name) {
    struct turn *t = &s->turn;
    return account_debt(&s->farm.state, turn_buyer_known(t, slice_of(name))).debt.owed;
}

static void a_month_in_double_entry(void **state) {
    struct stage *s = *state;
    int64_t books[BOOKS] = {0}, sum = 0;
    stage_empty(s);
    for (size_t i = 0; i < sizeof month / sizeof *month; i++) {
        keep(books, &month[i]);
        stage_text(s, AT(month[i].day, 8, (int)i), month[i].who, month[i].text);
        const char *got = stage_got(s, month[i].who, 0);
        if (strstr(got, "Nothing recorded") && !strstr(got, "YES"))
            if (!strstr(got, "Right: YES"))
                fail_msg("\"%s\": %s", month[i].text, got);
    }
    for (int i = 0; i < BOOKS; i++)
        sum += books[i];
    same("the books are even", sum, 0);

    const struct farm_state *st = &s->farm.state;
    struct account pond = account_cycle(st, farm_cycle(st, 1), AT(17, 8, 0));
    struct account spawn = account_spawn(st, farm_spawn(st, 1), AT(17, 8, 0));
    struct account all = account_span(st, 0, INT64_MAX);
    same("feed of P4", pond.feed_cost, 77381);
    same("cost of P4", pond.cost, books[POND4]);
    same("sold of P4", pond.income, -books[SALES4]);
    same("cost of F3", spawn.cost, books[SPAWN3]);
    same("sold of F3", spawn.income, -books[SALES3]);
    same("cost of all", all.cost, books[POND4] + books[STOCK] + books[SPAWN3] + books[FARM]);
    same("income of all", all.income, -books[SALES4] - books[SALES3]);
    same("Mary owes", owed(s, "mary"), books[MARY]);
    same("the hotel owes", owed(s, "green hotel"), books[HOTEL]);
    same("John owes", owed(s, "john"), books[JOHN]);
    same("cash and debts are what was earned",
         books[CASH] + books[MARY] + books[HOTEL] + books[JOHN], all.result);

    stage_text(s, AT(17, 8, 0), OWNER, "cost p4");
    WANT_TEXT(s, OWNER, 0,
              "P4 since 2 Mar: spent KES 5773.81 (feed 773.81), sold for 23015.90, left 17242.09. "
              "1633 out, about 1300 still in: cost 1.95 each");
    stage_text(s, AT(17, 8, 1), OWNER, "cost f3");
    WANT_TEXT(s, OWNER, 0, "F3 of 2 Mar: spent KES 1200.50, sold for 0, left -1200.50");
    stage_text(s, AT(17, 8, 2), OWNER, "cost");
    WANT_TEXT(s, OWNER, 0,
              "Farm since 1 Mar: spent KES 28006.05 (feed 1805.55), sold for 23015.90, "
              "left -4990.15. 1633 out: cost 17.15 each");
    stage_text(s, AT(17, 8, 3), OWNER, "owes");
    WANT_TEXT(s, OWNER, 0, "Owed in all: KES 180.75\nMary owes 180.75\nJohn paid 10 too much");

    struct reply lines[4];
    struct turn *t = &s->turn;
    same("lines", turn_money_lines(t, OWNER, 0, INT64_MAX, lines, 4), 2);
    assert_string_equal(arena_str(&s->arena, turn_render(t, OWNER, &lines[0])),
                        "Spent KES 28006.05 (feed 1805.55), sold for 23015.90, left -4990.15");
    assert_string_equal(arena_str(&s->arena, turn_render(t, OWNER, &lines[1])),
                        "Buyers owe KES 180.75");
    same("of a worker", turn_money_lines(t, WORKER, 0, INT64_MAX, lines, 4), 0);
}

/* -- weighed, put right, later -------------------------------------------------------------------
 */

static void stocked(struct stage *s, const char *currency) {
    stage_empty(s);
    stage_text(s, AT(MON, 7, 0), OWNER, "pond p4 4 ares 1m");
    stage_text(s, AT(MON, 7, 1), OWNER, "stock p4 3000 fingerlings 5g");
    if (currency)
        stage_text(s, AT(MON, 7, 2), OWNER, currency);
}

/* While fish are in, what one cost is over them, too; a kilogram is told of where none is left and
 * every fish that went was weighed. */
static void each_and_a_kilogram(void **state) {
    struct stage *s = *state;
    stocked(s, "currency KES");
    stage_text(s, AT(MON, 8, 0), OWNER, "cost 30 p4 net");
    stage_text(s, AT(MON, 9, 0), OWNER, "gave p4 500g");
    stage_text(s, AT(MON, 10, 0), OWNER, "sold p4 1000 6kg for 15000");
    stage_text(s, AT(MON, 11, 0), OWNER, "cost p4");
    WANT_TEXT(s, OWNER, 0,
              "P4 since 2 Mar: spent KES 30 (feed 0), sold for 15000, left 14970. "
              "1000 out, about 2000 still in: cost 0.01 each. "
              "500g of feed without a price are not in it");
    stage_text(s, AT(MON, 12, 0), OWNER, "sold p4 2000 all 12kg for 30000");
    stage_text(s, AT(MON, 13, 0), OWNER, "cost p4");
    WANT_TEXT(s, OWNER, 0,
              "P4 since 2 Mar: spent KES 30 (feed 0), sold for 45000, left 44970. "
              "3000 of 18kg out: cost 0.01 each, 1.67 a kg. "
              "500g of feed without a price are not in it");
    stocked(s, "currency KES");
    stage_text(s, AT(MON, 8, 0), OWNER, "cost 30 p4 net");
    stage_text(s, AT(MON, 10, 0), OWNER, "sold p4 1000 6kg for 15000");
    stage_text(s, AT(MON, 12, 0), OWNER, "sold p4 2000 all for 30000");
    stage_text(s, AT(MON, 13, 0), OWNER, "cost p4");
    WANT_TEXT(s, OWNER, 0,
              "P4 since 2 Mar: spent KES 30 (feed 0), sold for 45000, left 44970. "
              "3000 out: cost 0.01 each");
}

static int64_t entry_value(const struct stage *s, enum entry_kind kind, int at) {
    for (int i = s->farm.count - 1; i >= 0; i--)
        if (s->farm.entries[i].kind == kind && s->farm.in_force[i])
            return s->farm.entries[i].value[at];
    return -1;
}

/* A sale and its money stand and fall together; a number put right is that of the booking, too. */
static void together(void **state) {
    struct stage *s = *state;
    stocked(s, "currency UGX");
    stage_text(s, AT(TUE, 8, 0), OWNER, "sold p4 100 for 15000 to mary owes");
    stage_text(s, AT(TUE, 8, 1), OWNER, "fix p4 90");
    same("fish sold", entry_value(s, ENTRY_SOLD, 0), 90);
    same("fish booked", entry_value(s, ENTRY_INCOME, 3), 90);
    same("the sum", entry_value(s, ENTRY_INCOME, 0), 15000);
    stage_text(s, AT(TUE, 8, 2), OWNER, "undo");
    same("fish booked", entry_value(s, ENTRY_INCOME, 3), 100);
    stage_text(s, AT(TUE, 8, 3), OWNER, "undo");
    same("nothing booked", s->farm.state.booking_count, 0);
    same("nothing taken", farm_cycle(&s->farm.state, 1)->out, 0);
    stage_text(s, AT(TUE, 9, 0), OWNER, "bought 2kg pellets 5000");
    stage_text(s, AT(TUE, 9, 1), OWNER, "fix 3kg");
    same("feed booked", entry_value(s, ENTRY_COST, 3), 3000000);
    same("its sum", entry_value(s, ENTRY_COST, 0), 5000);
    stage_text(s, AT(TUE, 9, 2), OWNER, "undo f1"); /* no such fish: the money stays */
    same("still", entry_value(s, ENTRY_COST, 0), 5000);
}

/* Larvae, and the question whether the last of them are gone, which is said behind the money. */
static void larvae(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 7, 0), OWNER, "currency KES");
    stage_text(s, AT(MON, 7, 1), OWNER, "price fry 2.50 each");
    stage_text(s, AT(MON, 18, 0), OWNER, "inject f3 1kg t26");
    stage_text(s, AT(TUE, 6, 0), OWNER, "strip f3 100g");
    stage_text(s, AT(WED, 12, 0), OWNER, "hatch f3 5000");
    stage_text(s, AT(14, 8, 0), OWNER, "sold f3 1000 for 1999.95 to mary owes");
    same("her larvae's", entry_value(s, ENTRY_INCOME, 0), 199995);
    stage_text(s, AT(14, 8, 1), OWNER, "sold f3 4000 to mary");
    same("by the price of fry", entry_value(s, ENTRY_INCOME, 0), 1000000);
    assert_non_null(
        strstr(stage_got(s, OWNER, 0), "Mary paid KES 10000. By your price, 2.50 each"));
    assert_true(s->asked[OWNER]);
    stage_text(s, AT(14, 8, 2), OWNER, "yes");
    same("no third booking", s->farm.state.booking_count, 2);
    same("none of them are left", farm_spawn(&s->farm.state, 1)->gone_s > 0, 1);
    stage_text(s, AT(14, 8, 3), OWNER, "cost f3");
    WANT_TEXT(s, OWNER, 0, "F3 of 2 Mar: spent KES 0, sold for 11999.95, left 11999.95");
}

/* What is asked for the currency goes on when it is known, a question too. */
static void currency_first(void **state) {
    struct stage *s = *state;
    stocked(s, NULL);
    stage_text(s, AT(TUE, 8, 0), OWNER, "owes");
    WANT_TEXT(s, OWNER, 0,
              "What money does the farm use? Answer its 3 letters, like UGX. Nothing recorded yet");
    stage_text(s, AT(TUE, 8, 1), OWNER, "currency KES");
    WANT_TEXT(s, OWNER, 0, "Nobody owes anything");
    assert_string_equal(farm_currency(&s->farm.state)->code, "KES");
    stage_text(s, AT(TUE, 8, 2), OWNER, "undo");
    stage_text(s, AT(TUE, 8, 3), OWNER, "sold p4 10 for UGX 1500");
    assert_string_equal(farm_currency(&s->farm.state)->code, "UGX");
    same("sold", entry_value(s, ENTRY_INCOME, 0), 1500);
}

/* Without its currency no sum means anything: taking it back is asked. */
static void currency_leans(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "currency UGX");
    stage_text(s, AT(MON, 8, 1), WORKER, "cost 500 fuel");
    stage_text(s, AT(MON, 8, 2), OWNER, "undo");
    assert_non_null(strstr(stage_got(s, OWNER, 0), "cost 500 fuel"));
    assert_non_null(farm_currency(&s->farm.state));
    stage_text(s, AT(MON, 8, 3), OWNER, "no");
    stage_text(s, AT(MON, 8, 4), OWNER, "currency KES");
    WANT_TEXT(s, OWNER, 0,
              "Sums are kept in UGX, so it stays; KES would make other sums of them. "
              "Nothing recorded");
}

/* A price counts from when it was said: a late report has that of its day. */
static void prices_of_then(void **state) {
    struct stage *s = *state;
    stocked(s, "currency UGX");
    stage_text(s, AT(MON, 8, 0), OWNER, "price fingerlings 100 each");
    stage_text(s, AT(TUE, 8, 0), OWNER, "price fingerlings 200 each");
    stage_text(s, AT(TUE, 9, 0), OWNER, "sold p4 10 yesterday 10:00");
    same("yesterday's", entry_value(s, ENTRY_INCOME, 0), 1000);
    stage_text(s, AT(TUE, 9, 1), OWNER, "sold p4 10");
    same("today's", entry_value(s, ENTRY_INCOME, 0), 2000);
    stage_text(s, AT(TUE, 9, 2), OWNER, "price fingerlings 0");
    WANT_TEXT(s, OWNER, 0, "fingerlings has no price any more. It was UGX 200 each");
    stage_text(s, AT(TUE, 9, 3), OWNER, "sold p4 11");
    same("none", s->farm.state.booking_count, 2);
}

/* -- who and what is refused ---------------------------------------------------------------------
 */

static void refused(void **state) {
    struct stage *s = *state;
    static const struct {
        int who;
        const char *text, *answer;
    } rows[] = {
        {OWNER, "cost 0.505 fuel",
         "KES has 2 digits behind the point at most. Text it all again. Nothing recorded"},
        {OWNER, "owes mary", "No buyer Mary here, nor any other yet"},
        {OWNER, "cost p4 lime", "How much was lime? Answer the sum, like 20000"},
        {OWNER, "no", "Nothing recorded. Text it again as it should be"},
        {OWNER, "payment from mary", "How much did Mary pay? Answer the sum, like 50000"},
        {OWNER, "no", "Nothing recorded. Text it again as it should be"},
        {WATCHER, "cost 500 fuel",
         "You watch this farm: sums of money are taken from its owner and workers. "
         "Nothing recorded"},
        {WATCHER, "mary paid 500",
         "You watch this farm: sums of money are taken from its owner and workers. "
         "Nothing recorded"},
        {WATCHER, "cost p4", "Only the owner sees the money here"},
        {WORKER, "owes", "Only the owner sees the money here"},
        {ADVISER, "cost", "Only the owner sees the money here"},
        {ADVISER, "price pellets 5 a kg", "PRICE is for the owner only. Nothing recorded"},
        {WORKER, "currency UGX", "CURRENCY is for the owner only. Nothing recorded"},
    };
    stocked(s, "currency KES");
    int count = s->farm.count;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        stage_text(s, AT(TUE, 8, (int)i), rows[i].who, rows[i].text);
        WANT_TEXT(s, rows[i].who, 0, rows[i].answer);
        same(rows[i].text, s->farm.count, count);
    }
    stage_text(s, AT(TUE, 9, 0), WATCHER, "sold p4 100 for 1500 to mary");
    assert_non_null(strstr(stage_got(s, WATCHER, 0),
                           "The money was not noted: the owner is told, and only he"));
    assert_non_null(strstr(stage_got(s, OWNER, 0), "sold p4 100 for 1500 to mary. The fish are"));
    same("no money of a watcher", s->farm.state.booking_count, 0);
    same("but his fish", farm_cycle(&s->farm.state, 1)->out, 100);
}

/* Sums beyond what is kept are said to be so, not wrapped round. */
static void beyond(void **state) {
    struct stage *s = *state;
    stocked(s, "currency UGX");
    stage_text(s, AT(TUE, 8, 0), OWNER, "sold p4 10 at 1000000000000 each");
    same("ten million million are kept", entry_value(s, ENTRY_INCOME, 0), 10000000000000);
    for (int i = 0; i < 101; i++) { /* 1.01 x 10^15 */
        stage_text(s, AT(TUE, 9, i), OWNER, "sold p4 10 at 1000000000000 each");
        stage_text(s, AT(TUE, 9, i), OWNER, "yes"); /* once more */
    }
    stage_text(s, AT(WED, 9, 0), OWNER, "cost");
    WANT_TEXT(s, OWNER, 0, "These sums of money are too large to add up");
    struct reply lines[2];
    same("lines", turn_money_lines(&s->turn, OWNER, 0, INT64_MAX, lines, 2), 1);
    same("says so", lines[0].id, REPLY_ACCOUNT_BEYOND);
}

/* Preparing an empty pond. */
static void an_empty_pond(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    stage_text(s, AT(MON, 8, 0), OWNER, "pond p4 4 ares 1m");
    stage_text(s, AT(MON, 8, 1), OWNER, "currency UGX");
    stage_text(s, AT(MON, 8, 2), OWNER, "cost 5000 p4 lime");
    WANT_TEXT(s, OWNER, 0,
              "P4: spent UGX 5000 on lime, 2 Mar. Wrong? UNDO. "
              "P4 is empty: this counts for the farm, not for the fish that come");
}

/* -- no floating money ---------------------------------------------------------------------------
 */

/* No type and no number of the path is a floating one, from the reader's sums to the accounts. */
static void no_floating_money(void **state) {
    (void)state;
    static const char *const files[] = {
        "src/text/money.c",  "src/turn/money.c",     "src/turn/price.c",   "src/turn/sale.c",
        "src/turn/cost.c",   "src/farm/money.c",     "src/farm/account.c", "src/trade/money.c",
        "src/trade/money.h", "src/trade/currency.c", "src/farm/account.h"};
    static char text[65536];
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        char path[512];
        (void)snprintf(path, sizeof path, "%s/%s", SOURCE_DIR, files[i]);
        FILE *f = fopen(path, "rb");
        assert_non_null(f);
        size_t n = fread(text, 1, sizeof text - 1, f);
        assert_true(n > 0 && n < sizeof text - 1 && !fclose(f));
        text[n] = 0;
        if (strstr(text, "double ") || strstr(text, "float ") || strstr(text, "(double)") ||
            strstr(text, "(float)"))
            fail_msg("%s has a floating number", files[i]);
    }
}

/* -- rates ---------------------------------------------------------------------------------------
 */

static void spawned(struct stage *s, int day, const char *inject, const char *strip,
                    const char *hatch, int hatch_day) {
    stage_text(s, AT(day, 18, 0), OWNER, inject);
    stage_text(s, AT(day + 1, hatch_day > 2 ? 14 : 6, 0), OWNER, strip);
    stage_text(s, AT(day + hatch_day, 12, 0), OWNER, hatch);
}

/* With beta_rate and log_rate as in trade_learn_test.c, in R 4.2 (Debian 12, r-base-core):
 *   beta_rate(c(.30,.35,.40,.39), .5, .04, .9, .95)
 *      420000.0 231346.6 616161.0, mean of the runs 0.36
 *   log_rate(c(60000,72000,60000,54000), 50000, 8000, 86000, .95)
 *      56103.67 33310.85 94492.37, geometric mean of the runs 61165.59
 * where 100 g of 600 eggs are of 1 kg and so on. Shown on two figures. */
static void rates_as_in_r(void **state) {
    struct stage *s = *state;
    stage_empty(s);
    spawned(s, 0, "inject f3 1kg t26", "strip f3 100g", "hatch f3 30%", 2);
    spawned(s, 4, "inject f4 1kg t26", "strip f4 120g", "hatch f4 35%", 2);
    spawned(s, 8, "inject f5 2kg t26", "strip f5 200g", "hatch f5 40%", 2);
    spawned(s, 12, "inject f6 1kg t26", "strip f6 90g", "hatch f6 39%", 2);
    struct learn_when when = runs_when(&s->farm.state, AT(14, 13, 0));
    struct learn_rate hatch = runs_rate(&s->farm.state, LEARN_HATCH, when, AT(14, 13, 0));
    struct learn_rate eggs = runs_rate(&s->farm.state, LEARN_EGGS, when, AT(14, 13, 0));
    same("hatch", hatch.mean, 420000);
    same("low", hatch.low, 231347);
    same("high", hatch.high, 616161);
    same("eggs", eggs.mean, 56104);
    same("low", eggs.low, 33311);
    same("high", eggs.high, 94492);
    stage_text(s, AT(14, 13, 0), OWNER, "rates");
    WANT_TEXT(s, OWNER, 0,
              "Eggs a kg 56000 (book 50000, your 4: 61000)\nHatch 42% (book 50%, your 4: 36%)\n"
              "Alive at 2 weeks 60% (book)\nAlive after nursery 50% (book)\nGrowth TGC 1.2 (book)");
    stage_text(s, AT(14, 13, 1), OWNER, "why");
    WANT_TEXT(s, OWNER, 0,
              "Eggs a kg: 3x book 50000 and 4x yours 61000 give 56000 (33000-94000)\n"
              "Hatch: 3x book 50% and 4x yours 36% give 42% (23%-62%)\n"
              "Alive at 2 weeks: book 60% (27%-89%)\nAlive after nursery: book 50% (24%-76%)\n"
              "Growth TGC: book 1.2 (0.7-1.9)\n"
              "x: counts so many times. In brackets: 4 times in 5");
}

/* Four runs on each side whose means lie far apart: those of such water alone speak. By hand
 * (3 x 50 + 60 + 65 + 70 + 69) / 7 = 59.1 in warm water; in cold water the book stands at 28:
 * (3 x 28 + 10 + 12 + 15 + 11) / 7 = 18.9. */
static void of_such_water(void **state) {
    struct stage *s = *state;
    static const char *const warm[][3] = {{"inject f1 1kg t26", "strip f1 100g", "hatch f1 60%"},
                                          {"inject f2 1kg t26", "strip f2 100g", "hatch f2 65%"},
                                          {"inject f3 1kg t26", "strip f3 100g", "hatch f3 70%"},
                                          {"inject f4 1kg t26", "strip f4 100g", "hatch f4 69%"}};
    static const char *const cold[][3] = {{"inject f5 1kg t22", "strip f5 100g", "hatch f5 10%"},
                                          {"inject f6 1kg t22", "strip f6 100g", "hatch f6 12%"},
                                          {"inject f7 1kg t22", "strip f7 100g", "hatch f7 15%"},
                                          {"inject f8 1kg t22", "strip f8 100g", "hatch f8 11%"}};
    stage_empty(s);
    for (int i = 0; i < 4; i++) {
        spawned(s, 12 * i, warm[i][0], warm[i][1], warm[i][2], 2);
        spawned(s, 12 * i + 6, cold[i][0], cold[i][1], cold[i][2], 4);
    }
    stage_text(s, AT(60, 7, 0), OWNER, "temp 26");
    stage_text(s, AT(60, 7, 1), OWNER, "rates");
    assert_non_null(strstr(stage_got(s, OWNER, 0),
                           "\nHatch 59% (book 50%, your 4: 66%)\n(your runs in warm water)\n"));
    stage_text(s, AT(61, 7, 0), OWNER, "temp 22");
    stage_text(s, AT(61, 7, 1), OWNER, "rates");
    assert_non_null(strstr(stage_got(s, OWNER, 0),
                           "\nHatch 19% (book 28%, your 4: 12%)\n(your runs in cold water)\n"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_month_in_double_entry),
        cmocka_unit_test(each_and_a_kilogram),
        cmocka_unit_test(together),
        cmocka_unit_test(larvae),
        cmocka_unit_test(currency_first),
        cmocka_unit_test(currency_leans),
        cmocka_unit_test(prices_of_then),
        cmocka_unit_test(refused),
        cmocka_unit_test(beyond),
        cmocka_unit_test(an_empty_pond),
        cmocka_unit_test(no_floating_money),
        cmocka_unit_test(rates_as_in_r),
        cmocka_unit_test(of_such_water),
    };
    return cmocka_run_group_tests(tests, stage_open, stage_close);
}
