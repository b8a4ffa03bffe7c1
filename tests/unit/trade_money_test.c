/* Money against a month kept by hand in double entry, and the laws of rounding and splitting.
 * Currencies against the list of the Java runtime (OpenJDK 17.0.15, java.util.Currency, which
 * follows ISO 4217), recorded below by
 *   Currency c = Currency.getInstance(new Locale("", country));
 *   country + c.getCurrencyCode() + c.getDefaultFractionDigits() */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "trade/currency.h"
#include "trade/money.h"
#include "trade_draw.h"

#define MOST INT64_C(1000000000000000)

/* -- a month by hand --------------------------------------------------------------------------- */

/* March of a farm, in cents. Each line is written twice, to one account and from another:
 *
 *    day                                     to          from         cents
 *     2  feed, 3 bags at 2 850.00            stock       cash         855 000
 *     5  hormone and saline                  spawn 12    cash         120 050
 *     9  feed eaten by P1 and P2, 61.500 kg
 *        at 57.00 a kilogram                 ponds       stock        350 550
 *           of it P1 40.000 kg               pond 1                   228 000
 *                 P2 21.500 kg               pond 2                   122 550
 *    12  mesh, split over P1, P2, P3 by
 *        area 200, 350, 150 m2, 10 000.00    ponds       cash       1 000 000
 *           200/700: 285 714 2/7 -> 285 714  pond 1
 *           350/700: 500 000     -> 500 000  pond 2
 *           150/700: 214 285 5/7 -> 214 286  pond 3
 *    20  3 200 fingerlings at 12.50 to A     A owes      sales      4 000 000
 *    21  A pays                              cash        A owes     1 500 000
 *    25  48.350 kg table fish at 310.00 to B B owes      sales      1 498 850
 *    28  B pays                              cash        B owes     1 500 000
 *    28  back to B                           B owes      cash           1 150
 *
 * Cash: - 855 000 - 120 050 - 1 000 000 + 1 500 000 + 1 500 000 - 1 150 = 1 023 800.
 * Costs 855 000 + 120 050 + 1 000 000 = 1 975 050, sales 5 498 850, result 3 523 800; of it
 * 2 500 000 are still owed by A: 1 023 800 in cash and nothing owed to B. */
static void a_month_by_hand(void **state) {
    (void)state;
    int64_t feed = money_times(285000, 3).minor;
    wants("feed", 0, feed, 855000);
    wants("eaten, P1", 0, money_for_weight(5700, 40000000).minor, 228000);
    wants("eaten, P2", 0, money_for_weight(5700, 21500000).minor, 122550);
    int64_t mesh[3];
    wants("split", 0, money_split(1000000, (const int64_t[]){200, 350, 150}, 3, mesh), MONEY_OK);
    wants("mesh, P1", 0, mesh[0], 285714);
    wants("mesh, P2", 0, mesh[1], 500000);
    wants("mesh, P3", 0, mesh[2], 214286);
    int64_t to_a = money_times(1250, 3200).minor;
    int64_t to_b = money_for_weight(31000, 48350000).minor;
    struct money_debt a =
        money_debt((const struct money_move[]){{MONEY_SOLD, to_a}, {MONEY_PAID, 1500000}}, 2);
    wants("A", 0, a.reason, MONEY_OK);
    wants("A bought for", 0, a.sold, 4000000);
    wants("A owes", 0, a.owed, 2500000);
    struct money_move b_moves[] = {{MONEY_SOLD, to_b}, {MONEY_PAID, 1500000}, {MONEY_BACK, 1150}};
    struct money_debt b = money_debt(b_moves, 2);
    wants("B paid too much", 0, b.reason, MONEY_OVER);
    wants("by", 0, b.owed, -1150);
    b = money_debt(b_moves, 3);
    wants("B", 0, b.reason, MONEY_OK);
    wants("B owes", 0, b.owed, 0);
    struct money_account march = money_account(
        (const struct money_line[]){
            {false, feed}, {false, 120050}, {false, 1000000}, {true, to_a}, {true, to_b}},
        5);
    wants("costs", 0, march.cost, 1975050);
    wants("sales", 0, march.income, 5498850);
    wants("result", 0, march.result, 3523800);
    int64_t cash = -feed - 120050 - 1000000 + a.paid + b.paid;
    wants("cash", 0, cash, 1023800);
    wants("both sides", 0, march.result, cash + a.owed + b.owed);
    /* Spawn 12: 1 200.50 for 3 200 fingerlings is 37.515625 cents each. Pond 1: 2 280.00 of feed
     * and 2 857.14 of mesh for 48.350 kg is 10 624.901... cents a kilogram. */
    struct money_rate each = money_each(120050, 3200);
    wants("each", 0, each.rounded, 38);
    wants("each, thousandths", 0, each.milli, 37516);
    wants("each, over", 0, each.minor, 2401);
    wants("each, under", 0, each.per, 64);
    struct money_rate kg = money_per_kg(228000 + mesh[0], 48350000);
    wants("a kilogram", 0, kg.rounded, 10625);
    wants("a kilogram, over", 0, kg.minor, 10274280);
    wants("a kilogram, under", 0, kg.per, 967);
}

/* -- rounding ---------------------------------------------------------------------------------- */

static void halves_go_away_from_zero(void **state) {
    (void)state;
    static const int64_t rows[][4] = {
        /* minor, count, each, thousandths */
        {5, 2, 3, 2500},
        {-5, 2, -3, -2500},
        {4, 3, 1, 1333},
        {5, 3, 2, 1667},
        {-4, 3, -1, -1333},
        {1, 2, 1, 500},
        {-1, 2, -1, -500},
        {0, 7, 0, 0},
        {1, 2000, 0, 1},
        {1, 2001, 0, 0},
        {MOST, 1, MOST, MOST * 1000},
        {7, 1, 7, 7000},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct money_rate r = money_each(rows[i][0], rows[i][1]);
        wants("reason", (int64_t)i, r.reason, MONEY_OK);
        wants("each", (int64_t)i, r.rounded, rows[i][2]);
        wants("thousandths", (int64_t)i, r.milli, rows[i][3]);
    }
    wants("by weight, half", 0, money_for_weight(5, 500000).minor, 3);
    wants("by weight, half back", 0, money_for_weight(-5, 500000).minor, -3);
    wants("by weight, under half", 0, money_for_weight(5, 499999 / 5).minor, 0);
}

static void rates_are_exact(void **state) {
    (void)state;
    uint64_t seed = 6;
    for (int i = 0; i < 20000; i++) {
        int64_t cost = draw_up_to(&seed, MOST) * (draw_bits(&seed) % 2 ? 1 : -1);
        int64_t count = draw_up_to(&seed, INT64_C(1000000000000));
        struct money_rate r = money_each(cost, count);
        wants("reason", i, r.reason, MONEY_OK);
        /* minor / per = cost / count, and rounded within a half of it. */
        if ((__int128)r.minor * count != (__int128)cost * r.per)
            fail_msg("%lld / %lld: got %lld / %lld", (long long)cost, (long long)count,
                     (long long)r.minor, (long long)r.per);
        __int128 off = 2 * ((__int128)r.rounded * count - cost);
        if (off > count || off < -(__int128)count)
            fail_msg("%lld / %lld: got %lld, wanted the nearest", (long long)cost, (long long)count,
                     (long long)r.rounded);
        if ((off == count && cost < 0) || (off == -(__int128)count && cost > 0))
            fail_msg("%lld / %lld: got %lld, wanted the half away from zero", (long long)cost,
                     (long long)count, (long long)r.rounded);
    }
}

static void parts_add_up(void **state) {
    (void)state;
    uint64_t seed = 14;
    for (int round = 0; round < 3000; round++) {
        int64_t weights[40], parts[40], sum = 0;
        __int128 all = 0;
        int count = 1 + (int)(draw_bits(&seed) % 40);
        for (int i = 0; i < count; i++)
            all += weights[i] = draw_up_to(&seed, INT64_C(1000000000000)) - 1;
        if (all == 0)
            all = weights[0] = 1;
        int64_t cost = draw_up_to(&seed, MOST) * (draw_bits(&seed) % 2 ? 1 : -1);
        wants("reason", round, money_split(cost, weights, count, parts), MONEY_OK);
        for (int i = 0; i < count; i++) {
            sum += parts[i];
            /* Each within a unit of its share, and nothing for no weight. */
            __int128 off = (__int128)parts[i] * all - (__int128)cost * weights[i];
            if (off >= all || off <= -all)
                fail_msg("round %d, part %d of %lld: got %lld, more than a unit off", round, i,
                         (long long)cost, (long long)parts[i]);
            if (weights[i] == 0)
                wants("no weight", round, parts[i], 0);
            for (int j = 0; j < i; j++)
                if (weights[j] == weights[i])
                    wants_no_less("equal ones, the earlier first", round,
                                  cost > 0 ? parts[j] : -parts[j], cost > 0 ? parts[i] : -parts[i]);
        }
        wants("together", round, sum, cost);
    }
    int64_t three[3];
    wants("thirds", 0, money_split(100, (const int64_t[]){1, 1, 1}, 3, three), MONEY_OK);
    wants("first", 0, three[0], 34);
    wants("last", 0, three[2], 33);
    wants("back", 0, money_split(-100, (const int64_t[]){1, 1, 1}, 3, three), MONEY_OK);
    wants("first, back", 0, three[0], -34);
}

static void beyond_sense(void **state) {
    (void)state;
    int64_t parts[MONEY_PARTS_MAX + 1] = {0};
    int64_t ones[MONEY_PARTS_MAX + 1];
    for (int i = 0; i <= MONEY_PARTS_MAX; i++)
        ones[i] = 1;
    wants("sum", 0, money_add(MOST, 1).reason, MONEY_IMPOSSIBLE);
    wants("sum in range", 0, money_add(MOST, -1).minor, MOST - 1);
    wants("far", 0, money_add(INT64_MAX, INT64_MIN).reason, MONEY_IMPOSSIBLE);
    wants("product", 0, money_times(MOST, 2).reason, MONEY_IMPOSSIBLE);
    wants("count under 0", 0, money_times(5, -1).reason, MONEY_IMPOSSIBLE);
    wants("weight", 0, money_for_weight(MOST, 2000000).reason, MONEY_IMPOSSIBLE);
    wants("among none", 0, money_each(5, 0).reason, MONEY_NOTHING);
    wants("no weight", 0, money_per_kg(5, 0).reason, MONEY_NOTHING);
    wants("a mg for a fortune", 0, money_per_kg(MOST, 1).reason, MONEY_IMPOSSIBLE);
    wants("far count", 0, money_each(5, INT64_MAX).reason, MONEY_IMPOSSIBLE);
    wants("no parts", 0, money_split(5, ones, 0, parts), MONEY_IMPOSSIBLE);
    wants("too many", 0, money_split(5, ones, MONEY_PARTS_MAX + 1, parts), MONEY_IMPOSSIBLE);
    wants("as many as can", 0, money_split(5, ones, MONEY_PARTS_MAX, parts), MONEY_OK);
    wants("weightless", 0, money_split(5, (const int64_t[]){0, 0}, 2, parts), MONEY_NOTHING);
    wants("under 0", 0, money_split(5, (const int64_t[]){1, -1}, 2, parts), MONEY_IMPOSSIBLE);
    wants("sold for less than 0", 0,
          money_debt((const struct money_move[]){{MONEY_SOLD, -1}}, 1).reason, MONEY_IMPOSSIBLE);
    wants("sold beyond", 0,
          money_debt((const struct money_move[]){{MONEY_SOLD, MOST}, {MONEY_SOLD, 1}}, 2).reason,
          MONEY_IMPOSSIBLE);
    wants("a line under 0", 0, money_account((const struct money_line[]){{true, -1}}, 1).reason,
          MONEY_IMPOSSIBLE);
    wants("no moves", 0, money_debt(NULL, 0).owed, 0);
    wants("no lines", 0, money_account(NULL, 0).result, 0);
}

/* -- currencies -------------------------------------------------------------------------------- */

static const char *const java[] = {
    "AOAOA2", "BDBDT2", "BEEUR2", "BFXOF0", "BIBIF0", "BJXOF0", "BRBRL2", "BWBWP2", "CDCDF2",
    "CFXAF0", "CGXAF0", "CIXOF0", "CMXAF0", "CNCNY2", "CVCVE2", "DEEUR2", "DJDJF0", "DZDZD2",
    "EGEGP2", "ERERN2", "ETETB2", "FREUR2", "GAXAF0", "GBGBP2", "GHGHS2", "GMGMD2", "GNGNF0",
    "GQXAF0", "GWXOF0", "HUHUF2", "IDIDR2", "ININR2", "KEKES2", "KHKHR2", "KMKMF0", "LALAK2",
    "LRLRD2", "LSLSL2", "LYLYD3", "MAMAD2", "MGMGA2", "MLXOF0", "MMMMK2", "MRMRU2", "MUMUR2",
    "MWMWK2", "MYMYR2", "MZMZN2", "NANAD2", "NEXOF0", "NGNGN2", "NLEUR2", "NPNPR2", "PHPHP2",
    "PLPLN2", "RWRWF0", "SCSCR2", "SDSDG2", "SLSLE2", "SNXOF0", "SOSOS2", "SSSSP2", "STSTN2",
    "SZSZL2", "TDXAF0", "TGXOF0", "THTHB2", "TNTND3", "TZTZS2", "UGUGX0", "USUSD2", "VNVND0",
    "ZAZAR2", "ZMZMW2", "ZWZWG2",
};

static void currencies_are_those_of_the_list(void **state) {
    (void)state;
    int used = 0;
    for (size_t i = 0; i < sizeof java / sizeof java[0]; i++) {
        const struct currency *c = currency_of_country((struct slice){java[i], 2});
        if (!c || strncmp(c->code, java[i] + 2, 3) != 0 || c->digits != java[i][5] - '0')
            fail_msg("%.2s: got %s %d, wanted %s", java[i], c ? c->code : "none", c ? c->digits : 0,
                     java[i] + 2);
    }
    for (; currency_at(used); used++) {
        const struct currency *c = currency_at(used);
        int64_t minor = 1;
        for (int i = 0; i < c->digits; i++)
            minor *= 10;
        wants(c->code, used, c->minor, minor);
        wants("letters", used, (int64_t)strlen(c->code), 3);
        assert_ptr_equal(currency_of_code(slice_of(c->code)), c);
        bool seen = false; /* each is that of some country, so its digits were held above */
        for (size_t i = 0; i < sizeof java / sizeof java[0]; i++)
            seen = seen || strncmp(java[i] + 2, c->code, 3) == 0;
        if (!seen)
            fail_msg("%s: got no country, wanted one", c->code);
    }
    wants_no_less("currencies", 0, used, 50);
    assert_ptr_equal(currency_of_code(slice_of("kes")), currency_of_country(slice_of("ke")));
    assert_null(currency_of_code(slice_of("")));
    assert_null(currency_of_code(slice_of("KE")));
    assert_null(currency_of_code(slice_of("KESX")));
    assert_null(currency_of_code(slice_of("XYZ")));
    assert_null(currency_of_country(slice_of("KEN")));
    assert_null(currency_of_country(slice_of("QQ")));
    assert_null(currency_at(-1));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_month_by_hand), cmocka_unit_test(halves_go_away_from_zero),
        cmocka_unit_test(rates_are_exact), cmocka_unit_test(parts_add_up),
        cmocka_unit_test(beyond_sense),    cmocka_unit_test(currencies_are_those_of_the_list),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
