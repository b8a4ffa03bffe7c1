/* book: the values and tables, and the digest of them. In: an id. Out: constants. No errors and no
 * state. To change a number, change it here, with its mark and source; the digest follows.
 *
 * Where sources disagree the value is the middle one and the entry says so. FAO 362 below is de
 * Graaf, G. and Janssen, H. (1996), Artificial reproduction and pond rearing of the African catfish
 * Clarias gariepinus in sub-Saharan Africa, FAO Fisheries Technical Paper 362. */
#include "trade/book.h"

#include <stddef.h>
#include <string.h>

#include "base/slice.h"

#define COMMON "common practice, no source"
#define OWN    "a rule of this program, no source"

static const struct book_value values[BOOK_COUNT] = {
    [BOOK_FEMALE_LEAST_G] = {"female least", 300, "g", BOOK_COMMON,
                             COMMON "; FAO 362 gives ripe fish from about 200 g"},
    [BOOK_FEMALE_MOST_G] =
        {"female most", 2000, "g", BOOK_QUOTED,
         "quoted from handbooks that differ, authors not seen: 300-1000 g is called good"},
    [BOOK_REST_DAYS] = {"rest between spawnings", 42, "days", BOOK_COMMON, COMMON},

    [BOOK_WATER_COLDEST] = {"coldest water", 20, "degC", BOOK_MEMORY,
                            "first row of both tables, FAO 362"},
    [BOOK_WATER_WARMEST] = {"warmest water", 30, "degC", BOOK_MEMORY,
                            "last row of both tables, FAO 362"},
    [BOOK_WATER_ASK_H] = {"evening reading", 22, "h", BOOK_COMMON, OWN},
    [BOOK_JUMP_DEGC] = {"jump in water", 3, "degC", BOOK_COMMON, OWN},
    [BOOK_JUMP_HOURS] = {"jump within", 3, "h", BOOK_COMMON, OWN},
    [BOOK_MOVE_ASK_MIN] = {"later first look", 90, "min", BOOK_COMMON, OWN},

    [BOOK_READY_MOST] = {"most ready", 1.5, "", BOOK_DERIVED,
                         "two observations lie at or under 1.5 times the table: Okere, Erondu and "
                         "Zabbey 2015; Hecht et al. 1996"},
    [BOOK_READY_END] = {"end of looking", 2.0, "", BOOK_DERIVED,
                        "field times run 1.0-1.9 times the table"},
    [BOOK_READY_BEFORE_MIN] = {"get ready before", 45, "min", BOOK_COMMON, OWN},
    [BOOK_LOOK_EVERY_MIN] = {"look every", 30, "min", BOOK_COMMON, COMMON},
    [BOOK_LOOK_LATE_MIN] = {"look every, late", 60, "min", BOOK_COMMON, COMMON},
    [BOOK_WATER_FRESH_H] = {"fresh reading", 6, "h", BOOK_COMMON, OWN},

    [BOOK_EGGS_PER_G] = {"eggs per gram", 600, "eggs/g", BOOK_COMMON,
                         COMMON "; FAO 362 has 600-700 (from memory), Dadebo 2000 a mean of 669, "
                                "435-1176, in preserved ovaries"},
    [BOOK_EGGS_LOW_PER_KG] = {"eggs per kg, low", 8000, "eggs/kg", BOOK_DERIVED,
                              "1.3 % of her weight in the dry season (de Graaf, Galemoni and "
                              "Banzoussi 1995) at 600 eggs/g"},
    [BOOK_EGGS_MIDDLE_PER_KG] = {"eggs per kg, middle", 50000, "eggs/kg", BOOK_DERIVED,
                                 "between 47000 and 51800, a thesis of 2018 on two size classes"},
    [BOOK_EGGS_HIGH_PER_KG] =
        {"eggs per kg, high", 86000, "eggs/kg", BOOK_DERIVED,
         "14.3 % of her weight in the rains (de Graaf, Galemoni and Banzoussi "
         "1995) at 600 eggs/g"},
    [BOOK_STRIP_SHARE_MOST] = {"most of her weight", 0.25, "", BOOK_DERIVED,
                               "a ripe ovary is up to 20 % of her weight (common practice), and a "
                               "quarter of that again"},
    [BOOK_ROOM_CM2_PER_G] = {"room for a gram", 20, "cm2/g", BOOK_DERIVED,
                             "600 eggs/g of 1.6 mm swollen fill 15 cm2; planned with a third more"},
    [BOOK_SQUARE_STEP_CM] = {"step of a square", 5, "cm", BOOK_COMMON, OWN},
    [BOOK_STILL_ML_PER_G] = {"still water for a gram", 1250, "ml/g", BOOK_DERIVED,
                             "at most 480 eggs/l (Yong-Sulem, Brummett and Tchoumboue 2008) at 600 "
                             "eggs/g"},

    [BOOK_WHITE_FROM_H] = {"count white from", 10, "h", BOOK_MEMORY, "general, from memory"},
    [BOOK_WHITE_TO_H] = {"count white to", 12, "h", BOOK_MEMORY, "general, from memory"},
    [BOOK_WHITE_COUNT] = {"eggs looked at", 100, "eggs", BOOK_COMMON, COMMON},
    [BOOK_WHITE_SHARE_MOST] = {"most white", 0.5, "", BOOK_COMMON, OWN},
    [BOOK_LIFT_FIRST] = {"first look at frames", 1.2, "", BOOK_DERIVED,
                         "a fifth past half hatch; the hatching table of FAO 362"},
    [BOOK_LIFT_LAST] = {"frames out", 1.65, "", BOOK_DERIVED,
                        "48 h at 24 degC (common practice) by the hatching table of FAO 362"},
    [BOOK_FOOD_AFTER_DAYS] = {"first food after hatch", 2, "days", BOOK_COMMON,
                              COMMON ": the yolk lasts 2-3 days"},
};

static const double latency_rows[][2] = {
    {20, 21}, {21, 18}, {22, 15.5}, {23, 13.5}, {24, 12}, {25, 11},
    {26, 10}, {27, 9},  {28, 8},    {29, 7.5},  {30, 7},
};

static const double hatching_rows[][2] = {
    {20, 57}, {21, 46}, {22, 38}, {23, 33}, {24, 29}, {25, 27},
    {26, 25}, {27, 23}, {28, 22}, {29, 21}, {30, 20},
};

/* Written out because C has no logarithm in a constant; a test compares each with log(). */
static const double latency_steps[] = {
    -0.15415067982725836, -0.1495317339709637,  -0.13815033848081718, -0.11778303565638351,
    -0.08701137698962981, -0.0953101798043249,  -0.10536051565782628, -0.11778303565638351,
    -0.06453852113757118, -0.06899287148695143,
};

static const double hatching_steps[] = {
    -0.2144098713454552,  -0.19105523676270922,  -0.14107859825990549, -0.12921173148000623,
    -0.07145896398214498, -0.07696104113612832,  -0.08338160893905101, -0.04445176257083381,
    -0.04652001563489282, -0.048790164169432056,
};

#define ROWS(a) ((int)(sizeof(a) / sizeof(a)[0]))

const struct book_table book_latency = {
    .name = "latency",
    .unit = "h",
    .mark = BOOK_MEMORY,
    .source = "FAO 362, after Hogendoorn and Vismans 1980, from memory",
    .count = ROWS(latency_rows),
    .rows = latency_rows,
    .steps = latency_steps,
};

const struct book_table book_hatching = {
    .name = "hatching",
    .unit = "h",
    .mark = BOOK_MEMORY,
    .source = "FAO 362, from memory",
    .count = ROWS(hatching_rows),
    .rows = hatching_rows,
    .steps = hatching_steps,
};

const struct book_value *book(enum book_id id) {
    static const struct book_value none = {"", 0, "", BOOK_COMMON, ""};
    return (int)id < 0 || id >= BOOK_COUNT ? &none : &values[id];
}

double book_number(enum book_id id) {
    return book(id)->value;
}

const char *book_mark_name(enum book_mark mark) {
    static const char *const names[] = {"published", "quoted", "from memory", "common practice",
                                        "derived"};
    return (int)mark < 0 || mark > BOOK_DERIVED ? "" : names[mark];
}

/* Byte by byte from the low end, so that machines of either byte order agree. */
static uint64_t digest_number(double number, uint64_t seed) {
    uint64_t bits;
    char bytes[sizeof bits];
    memcpy(&bits, &number, sizeof bits);
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (char)(bits >> 8 * i & 0xff);
    return slice_hash((struct slice){bytes, sizeof bytes}, seed);
}

static uint64_t digest_table(const struct book_table *table, uint64_t seed) {
    seed = slice_hash(slice_of(table->name), seed);
    for (int i = 0; i < table->count; i++)
        seed = digest_number(table->rows[i][1], digest_number(table->rows[i][0], seed));
    return seed;
}

uint64_t book_build(void) {
    uint64_t digest = SLICE_HASH_SEED;
    for (int id = 0; id < BOOK_COUNT; id++) {
        digest = slice_hash(slice_of(values[id].name), digest);
        digest = digest_number(values[id].value, digest);
    }
    return digest_table(&book_hatching, digest_table(&book_latency, digest));
}
