/* Lime: the ends of the bands to a thousandth of a pH, what cannot be, and what must be true of
 * every pond. The published table stands in tests/checks/lime.chk. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "trade/book.h"
#include "trade/lime.h"
#include "trade_draw.h"

#define ARE_CM2       INT64_C(1000000)
#define AREA_MOST_CM2 INT64_C(1000000000000)
#define KG            INT64_C(1000000)
#define ROUNDS        20000

static void wants_lime(int64_t ph, int soil, int64_t area_cm2, enum lime_reason reason,
                       int64_t wanted_mg) {
    struct lime_dose d = lime_of(ph, (enum soil)soil, area_cm2);
    if (d.reason != reason || d.carbonate_mg != wanted_mg)
        fail_msg("pH %lld, soil %d, %lld cm2: got reason %d and %lld mg, wanted %d and %lld",
                 (long long)ph, soil, (long long)area_cm2, (int)d.reason, (long long)d.carbonate_mg,
                 (int)reason, (long long)wanted_mg);
}

static void bands_in_a_table(void **state) {
    (void)state;
    static const struct {
        int64_t ph;
        enum lime_reason reason;
        int64_t kg[3]; /* clay, sandy loam, sand, an are */
    } table[] = {
        {1, LIME_TOO_ACID, {0, 0, 0}},        {3999, LIME_TOO_ACID, {0, 0, 0}},
        {4000, LIME_OK, {30, 20, 10}},        {5000, LIME_OK, {30, 20, 10}},
        {5001, LIME_OK, {18, 12, 6}},         {6000, LIME_OK, {18, 12, 6}},
        {6001, LIME_OK, {15, 10, 5}},         {6500, LIME_OK, {15, 10, 5}},
        {6501, LIME_NOT_NEEDED, {0, 0, 0}},   {7000, LIME_NOT_NEEDED, {0, 0, 0}},
        {14000, LIME_NOT_NEEDED, {0, 0, 0}},  {14001, LIME_UNKNOWN, {0, 0, 0}},
        {0, LIME_UNKNOWN, {0, 0, 0}},         {-5500, LIME_UNKNOWN, {0, 0, 0}},
        {INT64_MIN, LIME_UNKNOWN, {0, 0, 0}}, {INT64_MAX, LIME_UNKNOWN, {0, 0, 0}},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        for (int soil = SOIL_CLAY; soil <= SOIL_SAND; soil++) {
            wants_lime(table[i].ph, soil, ARE_CM2, table[i].reason,
                       table[i].kg[soil - SOIL_CLAY] * KG);
            wants_lime(table[i].ph, soil, 4 * ARE_CM2, table[i].reason,
                       4 * table[i].kg[soil - SOIL_CLAY] * KG);
        }
}

static void ponds_that_cannot_be(void **state) {
    (void)state;
    static const int soils[] = {INT32_MIN, -1, 0, 4, INT32_MAX};
    for (size_t i = 0; i < sizeof soils / sizeof soils[0]; i++)
        wants_lime(5500, soils[i], ARE_CM2, LIME_UNKNOWN, 0);
    static const int64_t areas[] = {INT64_MIN, -1, 0, AREA_MOST_CM2 + 1, INT64_MAX};
    for (size_t i = 0; i < sizeof areas / sizeof areas[0]; i++) {
        wants_lime(5500, SOIL_CLAY, areas[i], LIME_UNKNOWN, 0);
        wants_lime(7500, SOIL_CLAY, areas[i], LIME_UNKNOWN, 0);
    }
    wants_lime(4000, SOIL_CLAY, AREA_MOST_CM2, LIME_OK, 30 * AREA_MOST_CM2);
    wants_lime(5500, SOIL_SAND, 1, LIME_OK, 6);
}

static void lime_falls_with_the_ph_and_from_clay_to_sand(void **state) {
    (void)state;
    uint64_t seed = 51;
    for (int64_t ph = 4000; ph <= 6600; ph++) {
        int64_t area_cm2 = draw_up_to(&seed, AREA_MOST_CM2 / 2), before = INT64_MAX;
        for (int soil = SOIL_CLAY; soil <= SOIL_SAND; soil++) {
            int64_t mg = lime_of(ph, (enum soil)soil, area_cm2).carbonate_mg;
            wants_no_less("sandier", ph, before, mg);
            wants_no_less("less acid", ph, mg,
                          lime_of(ph + 1, (enum soil)soil, area_cm2).carbonate_mg);
            wants("twice the pond", ph, lime_of(ph, (enum soil)soil, 2 * area_cm2).carbonate_mg,
                  2 * mg);
            wants_no_less("nothing negative", ph, mg, 0);
            before = mg;
        }
    }
}

static void other_lime_in_a_table(void **state) {
    (void)state;
    /* mg of carbonate; / 1, / 1.36, / 1.79 */
    static const int64_t table[][4] = {
        {INT64_MIN, 0, 0, 0},
        {-1, 0, 0, 0},
        {0, 0, 0, 0},
        {1, 1, 1, 1},
        {17, 17, 13, 9}, /* 12.5 and 9.497 */
        {48000000, 48000000, 35294118, 26815642},
        {30 * AREA_MOST_CM2, 30 * AREA_MOST_CM2, INT64_C(22058823529412), INT64_C(16759776536313)},
        {30 * AREA_MOST_CM2 + 1, 0, 0, 0},
        {INT64_MAX, 0, 0, 0},
    };
    static const enum lime_kind kinds[] = {LIME_CARBONATE, LIME_HYDRATED, LIME_QUICK};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        for (int k = 0; k < 3; k++)
            wants("other lime", table[i][0], lime_as(kinds[k], table[i][0]), table[i][k + 1]);
}

static void other_lime_is_the_exact_nearest(void **state) {
    (void)state;
    const int64_t hydrated = (int64_t)book_number(BOOK_LIME_HYDRATED_NV);
    const int64_t quick = (int64_t)book_number(BOOK_LIME_QUICK_NV);
    uint64_t seed = 52;
    for (int i = 0; i < ROUNDS; i++) {
        int64_t mg = draw_up_to(&seed, 30 * AREA_MOST_CM2 - 1);
        int64_t as_hydrated = lime_as(LIME_HYDRATED, mg), as_quick = lime_as(LIME_QUICK, mg);
        wants("carbonate", mg, lime_as(LIME_CARBONATE, mg), mg);
        wants("hydrated", mg, as_hydrated, (200 * mg + hydrated) / (2 * hydrated));
        wants("quick", mg, as_quick, (200 * mg + quick) / (2 * quick));
        wants_no_less("quick is the stronger", mg, as_hydrated, as_quick);
        wants_no_less("more", mg, lime_as(LIME_QUICK, mg + 1), as_quick);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bands_in_a_table),
        cmocka_unit_test(ponds_that_cannot_be),
        cmocka_unit_test(lime_falls_with_the_ph_and_from_clay_to_sand),
        cmocka_unit_test(other_lime_in_a_table),
        cmocka_unit_test(other_lime_is_the_exact_nearest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
