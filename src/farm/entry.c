/* entry: the form of each kind of entry, and its text. In: an entry or a stored line; out: the
 * other. Only ERR_CORRUPT, and then the store is at fault: what is written here can be read. */
#include "farm/entry.h"

#define COUNT_MOST     INT64_C(1000000000)
#define WEIGHT_MOST_MG INT64_C(100000000000) /* 100 t */
#define MEAN_MOST_UG   INT64_C(100000000000) /* 100 kg */
#define MEAN_MOST_MG   (MEAN_MOST_UG / 1000)
#define DAY_MOST_S     INT64_C(4102444800)       /* 2100, where the zones end */
#define MINOR_MOST     INT64_C(1000000000000000) /* as trade's money takes */

#define PARTS_MOST 100000

struct field {
    const char *name;
    int64_t least, most;
};

/* Ranges are those of sense, wide: whether a value is plausible was asked when it was said. */
static const struct form {
    const char *name;
    struct field fields[ENTRY_VALUES_MAX];
} forms[ENTRY_KIND_END] = {
    [ENTRY_UNDO] = {"undo", {{"message", 1, INT64_MAX}}},
    [ENTRY_INJECTED] = {"injected",
                        {{"female", 1, INT64_MAX}, {"tag", 1, 9999}, {"weight_mg", 1, 100000000}}},
    [ENTRY_WATER] = {"water", {{"water_mdegc", 0, 50000}, {"begins", 0, 1}}},
    [ENTRY_FOLLOW] = {"follow", {{0}}},
    [ENTRY_NOT_READY] = {"not-ready", {{0}}},
    [ENTRY_NO_EGGS] = {"no-eggs", {{0}}},
    [ENTRY_STRIPPED] = {"stripped", {{"eggs_mg", 1, 100000000}}},
    [ENTRY_WHITE] = {"white", {{"white", 0, 1000000}, {"of", 1, 1000000}, {"fertile", 0, 1}}},
    [ENTRY_FRAMES] = {"frames", {{0}}},
    [ENTRY_HORMONE] = {"hormone", {{"hormone", 1, 4}}},
    [ENTRY_MALE] = {"male", {{"male", 1, INT64_MAX}, {"use", 1, 2}}},
    [ENTRY_TANK] = {"tank", {{"tank", 1, 9999}}},
    [ENTRY_LAYER] = {"layer", {{"layer", 1, 3}}},
    [ENTRY_BOWL] = {"bowl", {{"spawn", 1, INT64_MAX}}},
    [ENTRY_SPOILT] = {"spoilt", {{0}}},
    [ENTRY_HATCHED] = {"hatched",
                       {{"larvae", 0, COUNT_MOST},
                        {"how", 1, 2},
                        {"part", 0, PARTS_MOST},
                        {"of", 0, PARTS_MOST}}},
    [ENTRY_FED] = {"fed", {{0}}},
    [ENTRY_GRADED] = {"graded", {{"taken", 0, COUNT_MOST}}},
    [ENTRY_DIED] = {"died", {{"dead", 1, COUNT_MOST}}},
    [ENTRY_COUNTED] = {"counted", {{"alive", 0, COUNT_MOST}}},
    [ENTRY_SOLD] = {"sold",
                    {{"count", 0, COUNT_MOST}, {"weight_mg", 0, WEIGHT_MOST_MG}, {"all", 0, 1}}},
    [ENTRY_BROOD] = {"brood", {{"sex", 1, 2}, {"tag", 1, 9999}, {"weight_mg", 0, 100000000}}},
    [ENTRY_BROOD_POND] = {"brood-pond", {{"pond", 1, 9999}}},
    [ENTRY_BROOD_BORN] = {"brood-born", {{"born_s", 0, INT64_MAX}}},
    [ENTRY_BROOD_ORIGIN] = {"brood-origin", {{"party", 1, INT64_MAX}}},
    [ENTRY_BROOD_DIED] = {"brood-died", {{0}}},
    [ENTRY_SOURCE] = {"source", {{"source", 1, 5}}},
    [ENTRY_AIR_OFF] = {"air-off", {{0}}},
    [ENTRY_AIR_ON] = {"air-on", {{0}}},
    [ENTRY_VOLUME] = {"volume", {{"volume_ml", 1, INT64_C(100000000000)}}},
    [ENTRY_POND] = {"pond",
                    {{"area_cm2", 0, INT64_C(100000000000)},
                     {"depth_mm", 0, 100000},
                     {"fence", 0, 2}}},
    [ENTRY_SOIL] = {"soil", {{"ph_milli", 0, 14000}, {"soil", 0, 3}}},
    [ENTRY_PREPARE] = {"prepare", {{"day_s", 0, INT64_MAX}, {"spawn", 0, INT64_MAX}}},
    [ENTRY_PREPARED] = {"prepared", {{"step", 1, 4}, {"lime", 0, 3}}},
    [ENTRY_POND_PH] = {"pond-ph", {{"ph_milli", 0, 14000}}},
    [ENTRY_STOCKED] = {"stocked",
                       {{"pond", 1, 9999},
                        {"count", 0, COUNT_MOST},
                        {"mean_ug", 0, INT64_C(10000000000)},
                        {"spawn", 0, INT64_MAX},
                        {"cycle", 0, INT64_MAX},
                        {"all", 0, 3}}},
    [ENTRY_HARVESTED] = {"harvested",
                         {{"count", 0, COUNT_MOST},
                          {"weight_mg", 0, WEIGHT_MOST_MG},
                          {"empty", 0, 1},
                          {"sample", 0, 1000000},
                          {"sample_mg", 0, WEIGHT_MOST_MG}}},
    [ENTRY_GIVEN] = {"given", {{"feed_mg", 1, WEIGHT_MOST_MG}, {"feed", 0, INT64_MAX}}},
    [ENTRY_LEFT] = {"left", {{0}}},
    [ENTRY_READING] = {"reading", {{"what", 1, READING_END - 1}, {"value", 0, 1000000}}},
    [ENTRY_GASPING] = {"gasping", {{0}}},
    [ENTRY_TREATED] = {"treated", {{0}}},
    [ENTRY_CATCH] = {"catch", {{"day_s", 0, INT64_MAX}}},
    [ENTRY_AERATOR] = {"aerator", {{"aerator", 1, 2}}},
    [ENTRY_SAMPLED] = {"sampled",
                       {{"count", 1, COUNT_MOST},
                        {"mean_ug", 1, MEAN_MOST_UG},
                        {"error_ug", 0, MEAN_MOST_UG},
                        {"cv_permille", 0, 10000},
                        {"length_um", 0, 10000000},
                        {"least_mg", 0, 100000000},
                        {"largest_mg", 0, 100000000}}},
    [ENTRY_STOLEN] = {"stolen", {{"count", 1, COUNT_MOST}}},
    [ENTRY_BIG] = {"big", {{"count", 1, COUNT_MOST}, {"weight_mg", 1, WEIGHT_MOST_MG}}},
    [ENTRY_MEASURE] = {"measure",
                       {{"measure", 1, MEASURE_END - 1},
                        {"weight_mg", 1, WEIGHT_MOST_MG},
                        {"feed", 0, INT64_MAX}}},
    [ENTRY_TABLE] = {"table",
                     {{"weight_mg", 0, 100000000}, {"share_ppm", 0, 1000000}, {"first", 0, 1}}},
    [ENTRY_HEIGHT] = {"height", {{"height_m", 0, 5000}}},
    [ENTRY_BOUGHT] = {"bought", {{"weight_mg", 1, WEIGHT_MOST_MG}, {"feed", 0, INT64_MAX}}},
    [ENTRY_STORE] = {"store", {{"weight_mg", 0, WEIGHT_MOST_MG}, {"feed", 0, INT64_MAX}}},
    [ENTRY_ORDERED] = {"ordered",
                       {{"count", 1, COUNT_MOST},
                        {"mean_mg", 1, MEAN_MOST_MG},
                        {"day_s", 1, DAY_MOST_S},
                        {"buyer", 0, INT64_MAX},
                        {"promised", 0, COUNT_MOST}}},
    [ENTRY_ORDER_CHANGED] = {"order-changed",
                             {{"count", 0, COUNT_MOST},
                              {"mean_mg", 0, MEAN_MOST_MG},
                              {"day_s", 0, DAY_MOST_S},
                              {"buyer", 0, INT64_MAX},
                              {"promised", 0, COUNT_MOST}}},
    [ENTRY_ORDER_OFF] = {"order-off", {{0}}},
    [ENTRY_DELIVERED] = {"delivered", {{"count", 1, COUNT_MOST}, {"all", 0, 1}}},
    [ENTRY_PLANNED] = {"planned",
                       {{"inject_s", 1, DAY_MOST_S},
                        {"order", 0, INT64_MAX},
                        {"fish", 1, COUNT_MOST},
                        {"size_mg", 1, MEAN_MOST_MG},
                        {"day_s", 1, DAY_MOST_S}}},
    [ENTRY_PLAN_FEMALE] = {"plan-female", {{"female", 1, INT64_MAX}, {"spare", 0, 1}}},
    [ENTRY_PLAN_POND] = {"plan-pond", {{"pond", 1, 9999}}},
    [ENTRY_PLAN_OFF] = {"plan-off", {{0}}},
    [ENTRY_CURRENCY] = {"currency", {{"code", 1, ENTRY_CURRENCY_MOST}}},
    [ENTRY_PRICE] = {"price",
                     {{"thing", 1, PRICE_THING_END - 1},
                      {"party", 0, INT64_MAX},
                      {"minor", 0, MINOR_MOST},
                      {"per", 1, PRICE_PER_END - 1},
                      {"measure", 0, MEASURE_END - 1}}},
    [ENTRY_COST] = {"cost",
                    {{"minor", 0, MINOR_MOST},
                     {"what", 0, INT64_MAX},
                     {"feed", 0, INT64_MAX},
                     {"weight_mg", 0, WEIGHT_MOST_MG}}},
    [ENTRY_INCOME] = {"income",
                      {{"minor", 0, MINOR_MOST},
                       {"buyer", 0, INT64_MAX},
                       {"paid", 0, 1},
                       {"count", 0, COUNT_MOST},
                       {"weight_mg", 0, WEIGHT_MOST_MG}}},
    [ENTRY_PAID] = {"paid", {{"minor", 1, MINOR_MOST}, {"buyer", 0, INT64_MAX}, {"back", 0, 1}}},
};

/* How many fields version 1 of a kind has, where version 2 added others behind them, which are 0 in
 * entries of version 1. 0: there is one version. */
static const int first_fields[ENTRY_KIND_END] = {
    [ENTRY_WHITE] = 2, [ENTRY_HATCHED] = 2, [ENTRY_HARVESTED] = 3, [ENTRY_SAMPLED] = 5};

/* Bits of the subjects that a kind of entry can be about. */
#define OF(kind) (1u << SUBJECT_##kind)
static const unsigned subjects[ENTRY_KIND_END] = {
    [ENTRY_UNDO] = OF(HATCHERY),
    [ENTRY_INJECTED] = OF(SPAWN),
    [ENTRY_WATER] = OF(HATCHERY) | OF(SPAWN) | OF(TANK) | OF(POND),
    [ENTRY_FOLLOW] = OF(SPAWN),
    [ENTRY_NOT_READY] = OF(SPAWN),
    [ENTRY_NO_EGGS] = OF(SPAWN),
    [ENTRY_STRIPPED] = OF(SPAWN),
    [ENTRY_WHITE] = OF(SPAWN),
    [ENTRY_FRAMES] = OF(SPAWN),
    [ENTRY_HORMONE] = OF(SPAWN),
    [ENTRY_MALE] = OF(SPAWN),
    [ENTRY_TANK] = OF(SPAWN),
    [ENTRY_LAYER] = OF(SPAWN),
    [ENTRY_BOWL] = OF(SPAWN),
    [ENTRY_SPOILT] = OF(SPAWN),
    [ENTRY_HATCHED] = OF(SPAWN),
    [ENTRY_FED] = OF(SPAWN),
    [ENTRY_GRADED] = OF(SPAWN) | OF(CYCLE),
    [ENTRY_DIED] = OF(SPAWN) | OF(CYCLE),
    [ENTRY_COUNTED] = OF(SPAWN) | OF(CYCLE),
    [ENTRY_SOLD] = OF(SPAWN) | OF(CYCLE),
    [ENTRY_BROOD] = OF(BROOD),
    [ENTRY_BROOD_POND] = OF(BROOD),
    [ENTRY_BROOD_BORN] = OF(BROOD),
    [ENTRY_BROOD_ORIGIN] = OF(BROOD),
    [ENTRY_BROOD_DIED] = OF(BROOD),
    [ENTRY_SOURCE] = OF(HATCHERY),
    [ENTRY_AIR_OFF] = OF(HATCHERY),
    [ENTRY_AIR_ON] = OF(HATCHERY),
    [ENTRY_VOLUME] = OF(TANK),
    [ENTRY_POND] = OF(POND),
    [ENTRY_SOIL] = OF(POND),
    [ENTRY_PREPARE] = OF(POND),
    [ENTRY_PREPARED] = OF(POND),
    [ENTRY_POND_PH] = OF(POND),
    [ENTRY_STOCKED] = OF(CYCLE),
    [ENTRY_HARVESTED] = OF(CYCLE),
    [ENTRY_GIVEN] = OF(POND),
    [ENTRY_LEFT] = OF(POND),
    [ENTRY_READING] = OF(POND) | OF(TANK),
    [ENTRY_GASPING] = OF(POND),
    [ENTRY_TREATED] = OF(POND),
    [ENTRY_CATCH] = OF(POND),
    [ENTRY_AERATOR] = OF(POND),
    [ENTRY_SAMPLED] = OF(CYCLE),
    [ENTRY_STOLEN] = OF(CYCLE),
    [ENTRY_BIG] = OF(CYCLE),
    [ENTRY_MEASURE] = OF(HATCHERY),
    [ENTRY_TABLE] = OF(HATCHERY),
    [ENTRY_HEIGHT] = OF(HATCHERY),
    [ENTRY_BOUGHT] = OF(HATCHERY),
    [ENTRY_STORE] = OF(HATCHERY),
    [ENTRY_ORDERED] = OF(ORDER),
    [ENTRY_ORDER_CHANGED] = OF(ORDER),
    [ENTRY_ORDER_OFF] = OF(ORDER),
    [ENTRY_DELIVERED] = OF(ORDER),
    [ENTRY_PLANNED] = OF(PLAN),
    [ENTRY_PLAN_FEMALE] = OF(PLAN),
    [ENTRY_PLAN_POND] = OF(PLAN),
    [ENTRY_PLAN_OFF] = OF(PLAN),
    [ENTRY_CURRENCY] = OF(HATCHERY),
    [ENTRY_PRICE] = OF(HATCHERY),
    [ENTRY_COST] = OF(HATCHERY) | OF(SPAWN) | OF(POND) | OF(CYCLE),
    [ENTRY_INCOME] = OF(HATCHERY) | OF(SPAWN) | OF(CYCLE),
    [ENTRY_PAID] = OF(HATCHERY),
};

static bool kind_known(enum entry_kind kind) {
    return (int)kind > 0 && kind < ENTRY_KIND_END && forms[kind].name;
}

int entry_version(enum entry_kind kind) {
    return kind_known(kind) && first_fields[kind] ? 2 : ENTRY_VERSION;
}

/* The entry's version has the field. */
static bool field_there(const struct entry *e, int at) {
    int first = first_fields[e->kind];
    return forms[e->kind].fields[at].name && (!first || at < first || e->version > 1);
}

void entry_write(const struct entry *e, struct buf *out) {
    if (!kind_known(e->kind))
        return;
    const struct field *fields = forms[e->kind].fields;
    for (int i = 0; i < ENTRY_VALUES_MAX && field_there(e, i); i++) {
        if (i)
            buf_putc(out, ' ');
        buf_puts(out, fields[i].name);
        buf_putc(out, '=');
        buf_put_int(out, e->value[i]);
    }
}

int64_t entry_currency(struct slice code) {
    int64_t value = 0;
    for (size_t i = 0; i < code.n && code.n == 3; i++) {
        if (code.p[i] < 'A' || code.p[i] > 'Z')
            return 0;
        value = value * 26 + (code.p[i] - 'A');
    }
    return code.n == 3 ? value + 1 : 0;
}

void entry_currency_code(int64_t value, char code[4]) {
    bool known = value >= 1 && value <= ENTRY_CURRENCY_MOST;
    code[known ? 3 : 0] = 0;
    for (int i = 2; i >= 0 && known; i--) {
        int64_t letters = value - 1;
        for (int k = i; k < 2; k++)
            letters /= 26;
        code[i] = (char)('A' + letters % 26);
    }
}

static bool subject_fits(const struct entry *e) {
    bool known = (int)e->subject_kind >= 0 && e->subject_kind < SUBJECT_KIND_END &&
                 (subjects[e->kind] & (1u << e->subject_kind)) != 0;
    return known && (e->subject_kind == SUBJECT_HATCHERY ? e->subject == 0 : e->subject > 0);
}

bool entry_sound(const struct entry *e) {
    if (!kind_known(e->kind) || e->version < 1 || e->version > entry_version(e->kind) ||
        !subject_fits(e))
        return false;
    const struct field *fields = forms[e->kind].fields;
    for (int i = 0; i < ENTRY_VALUES_MAX; i++)
        if (field_there(e, i) ? e->value[i] < fields[i].least || e->value[i] > fields[i].most
                              : e->value[i] != 0)
            return false;
    return true;
}

/* A value as buf_put_int writes it: no plus sign, no zero in front. No field takes less than 0. */
static bool read_value(struct slice text, const struct field *field, int64_t *out) {
    if (!text.n || text.p[0] < '0' || text.p[0] > '9' || (text.n > 1 && text.p[0] == '0'))
        return false;
    return slice_int(text, out) == ERR_OK && *out >= field->least && *out <= field->most;
}

enum err entry_read(struct slice line, struct entry *out) {
    if (!kind_known(out->kind) || out->version < 1 || out->version > entry_version(out->kind) ||
        !subject_fits(out))
        return ERR_CORRUPT;
    const struct field *fields = forms[out->kind].fields;
    bool more = line.n > 0;
    for (int i = 0; i < ENTRY_VALUES_MAX; i++) {
        out->value[i] = 0;
        if (!field_there(out, i))
            continue;
        struct slice pair, name, value;
        more = slice_cut(line, ' ', &pair, &line);
        if (!slice_cut(pair, '=', &name, &value) || !slice_eq(name, slice_of(fields[i].name)) ||
            !read_value(value, &fields[i], &out->value[i]))
            return ERR_CORRUPT;
    }
    return more ? ERR_CORRUPT : ERR_OK;
}
