/* ration: see ration.h. In: a weight, a temperature, a pond. Out: shares, a ration or why there is
 * none. No errors. Straight between the points of the book's lines, the ends hold beyond them.
 * Limits: as in the header; the most, 100 million fish of 100 kg fed their weight, is 1e16 mg. */
#include "trade/ration.h"

#include "trade/book.h"
#include "trade/larvae.h"
#include "trade/oxygen.h"
#include "trade/sample.h"

enum {
    FISH_MOST_MG = 100000000,
    COUNT_MOST = 100000000,
    SHARE_MOST_PPM = 1000000,
    LEFT_STEPS_MOST = 8
};

#define ARE_CM2       1e6
#define KG_MG         1e6
#define AREA_MOST_CM2 INT64_C(1000000000000)

static int64_t book_mdegc(enum book_id id) {
    return (int64_t)(book_number(id) * 1000 + 0.5);
}

int64_t ration_ppm(int64_t weight_mg) {
    if (weight_mg <= 0)
        return 0;
    return (int64_t)(book_line_at(&book_ration, (double)weight_mg / 1000) * 10000 + 0.5);
}

int ration_meals(int64_t weight_mg) {
    bool fry = weight_mg > 0 && weight_mg <= (int64_t)book_number(BOOK_FRY_MG);
    return (int)book_number(fry ? BOOK_MEALS : BOOK_FEED_MEALS);
}

/* Feed is sold in steps that grow with it; the finer grain of two is eaten by all. */
int64_t ration_grain_um(int64_t weight_mg) {
    enum { FINE_UM = 100, MIDDLE_UM = 500, COARSE_UM = 1000, MIDDLE_MOST_UM = 3000 };
    int64_t grain_um = larvae_grain_um(sample_length_um(weight_mg));
    if (grain_um <= 0)
        return 0;
    int64_t step_um = grain_um < COARSE_UM        ? FINE_UM
                      : grain_um < MIDDLE_MOST_UM ? MIDDLE_UM
                                                  : COARSE_UM;
    int64_t most_um = (int64_t)(book_number(BOOK_GRAIN_MOST_MM) * 1000 + 0.5);
    int64_t sold_um = grain_um / step_um * step_um;
    return sold_um > most_um ? most_um : sold_um < FINE_UM ? FINE_UM : sold_um;
}

int64_t ration_factor_permille(int64_t water_mdegc) {
    if (water_mdegc < book_mdegc(BOOK_FEED_COLDEST) || water_mdegc > book_mdegc(BOOK_FEED_WARMEST))
        return 0;
    return (int64_t)(book_line_at(&book_ration_warm, (double)water_mdegc / 1000) * 1000 + 0.5);
}

int64_t ration_water_mdegc(int64_t read_mdegc) {
    return read_mdegc == RATION_UNKNOWN ? book_mdegc(BOOK_TGC_WATER) : read_mdegc;
}

/* -- a growing pond ---------------------------------------------------------------------------- */

static int64_t on_area_mg(int64_t area_cm2, enum book_id kg_are) {
    return (int64_t)((double)area_cm2 / ARE_CM2 * book_number(kg_are) * KG_MG + 0.5);
}

enum ration_guard ration_guard(int64_t feed_mg, int64_t area_cm2, bool aerated) {
    if (feed_mg <= 0 || area_cm2 <= 0 || area_cm2 > AREA_MOST_CM2)
        return RATION_GUARD_NONE;
    if (feed_mg > on_area_mg(area_cm2, BOOK_FEED_LIMIT_KG_ARE))
        return RATION_GUARD_LIMIT;
    return !aerated && feed_mg > on_area_mg(area_cm2, BOOK_FEED_DAWN_KG_ARE) ? RATION_GUARD_DAWN
                                                                             : RATION_GUARD_NONE;
}

int64_t ration_most_mg(int64_t area_cm2) {
    if (area_cm2 <= 0 || area_cm2 > AREA_MOST_CM2)
        return 0;
    return on_area_mg(area_cm2, BOOK_FEED_LIMIT_KG_ARE);
}

int64_t ration_after_left_mg(int64_t ration_mg, int steps) {
    double left_mg = (double)ration_mg;
    for (int i = 0; i < steps && i < LEFT_STEPS_MOST; i++)
        left_mg *= book_number(BOOK_FEED_LEFT);
    return (int64_t)(left_mg + 0.5);
}

static bool sane(const struct ration_pond *p) {
    return p->count > 0 && p->count <= COUNT_MOST && p->weight_mg > 0 &&
           p->weight_mg <= FISH_MOST_MG && p->area_cm2 <= AREA_MOST_CM2 && p->share_ppm >= -1 &&
           p->share_ppm <= SHARE_MOST_PPM;
}

/* Such that fish can die. */
static bool deadly_ph(int64_t ph_milli) {
    return ph_milli > 0 && (ph_milli < (int64_t)(book_number(BOOK_PH_ACID_DANGER) * 1000) ||
                            ph_milli >= (int64_t)(book_number(BOOK_PH_ALKALINE_DANGER) * 1000));
}

static bool known_under(int64_t value, int64_t limit) {
    return value >= 0 && value < limit;
}

/* Every reason that stands, as 1u << reason. */
static unsigned reasons_of(const struct ration_pond *p) {
    bool water = p->water_mdegc != RATION_UNKNOWN;
    const bool stands[] = {
        [RATION_GASPING] = p->gasping,
        [RATION_DEAD] = p->many_dead,
        [RATION_OXYGEN] = known_under(p->oxygen_ug_l, oxygen_limit_ug_l(p->age_days)),
        [RATION_SECCHI] =
            known_under(p->secchi_mm, (int64_t)(book_number(BOOK_SECCHI_STOP_CM) * 10 + 0.5)),
        [RATION_AMMONIA] = p->ammonia_permille > 1000,
        [RATION_NITRITE] = p->nitrite_permille > 1000,
        [RATION_PH] = deadly_ph(p->ph_milli),
        [RATION_TREATED] = known_under(p->treated_h, (int64_t)book_number(BOOK_FEED_TREATED_H)),
        [RATION_COLD] = water && p->water_mdegc < book_mdegc(BOOK_FEED_COLDEST),
        [RATION_WARM] = water && p->water_mdegc > book_mdegc(BOOK_FEED_WARMEST),
        [RATION_HARVEST] =
            known_under(p->harvest_d, (int64_t)book_number(BOOK_FEED_EMPTY_DAYS) + 1),
        [RATION_LEFT] = p->food_left,
    };
    unsigned reasons = 0;
    for (int r = RATION_GASPING; r <= RATION_LEFT; r++)
        reasons |= stands[r] ? 1u << r : 0;
    return reasons;
}

/* By weight, water and food left alone. Where the water is too cold or warm it is 0. */
static int64_t line_of(const struct ration_pond *p) {
    int64_t ppm = p->share_ppm >= 0 ? p->share_ppm : ration_ppm(p->weight_mg);
    int64_t warm = ration_factor_permille(ration_water_mdegc(p->water_mdegc));
    double fish_mg = (double)p->count * (double)p->weight_mg;
    int64_t line_mg = (int64_t)(fish_mg * ((double)ppm / 1e6) * ((double)warm / 1000) + 0.5);
    return p->left_steps > 0 ? ration_after_left_mg(line_mg, p->left_steps) : line_mg;
}

struct ration ration_of(const struct ration_pond *pond) {
    if (!sane(pond))
        return (struct ration){.reason = RATION_IMPOSSIBLE, .reasons = 1u << RATION_IMPOSSIBLE};
    struct ration r = {.reason = RATION_OK, .reasons = reasons_of(pond), .line_mg = line_of(pond)};
    r.guessed = pond->water_mdegc == RATION_UNKNOWN;
    for (int i = RATION_LEFT; i >= RATION_GASPING; i--)
        if (r.reasons & 1u << i)
            r.reason = (enum ration_reason)i;
    if (r.reason != RATION_OK)
        return r;
    r.ration_mg = r.line_mg;
    r.halved =
        known_under(pond->oxygen_ug_l, (int64_t)(book_number(BOOK_OXYGEN_HALF) * 1000 + 0.5));
    r.halved_ammonia = pond->ammonia_permille > 500;
    if (r.halved || r.halved_ammonia)
        r.ration_mg = (int64_t)((double)r.ration_mg * book_number(BOOK_FEED_HALF) + 0.5);
    r.guard = ration_guard(r.ration_mg, pond->area_cm2, pond->aerated);
    r.capped = r.guard == RATION_GUARD_LIMIT;
    if (r.capped)
        r.ration_mg = on_area_mg(pond->area_cm2, BOOK_FEED_LIMIT_KG_ARE);
    r.meal_mg = (int64_t)((double)r.ration_mg / book_number(BOOK_FEED_MEALS) + 0.5);
    return r;
}
