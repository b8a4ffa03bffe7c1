/* book: the values, and the digest of them and of the tables. In: an id. Out: constants. No errors
 * and no state. To change a number, change it here, with its mark and source; the digest follows.
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

#define CONDITION                                                                                  \
    "general, from memory; W = 0.0035 TL^3.19 (Lake Chamo, Ethiop. J. Biol. Sci. 10:1, 2011) "     \
    "gives 0.62-0.80 from 20 to 80 cm; up to 0.89 in rivers of Kano (Suleiman et al.)"

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
    [BOOK_WATER_LEAST] = {"water, least", 8, "degC", BOOK_MEMORY,
                          "African catfish live at 8-35 degC, handbooks, from memory"},
    [BOOK_WATER_MOST] = {"water, most", 40, "degC", BOOK_COMMON,
                         OWN "; shallow ponds at noon are warmer than what fish bear for long"},
    [BOOK_WATER_ASK_H] = {"evening reading", 22, "h", BOOK_COMMON, OWN},
    [BOOK_JUMP_DEGC] = {"jump in water", 3, "degC", BOOK_COMMON, OWN},
    [BOOK_JUMP_HOURS] = {"jump within", 3, "h", BOOK_COMMON, OWN},
    [BOOK_MOVE_ASK_MIN] = {"later first look", 90, "min", BOOK_COMMON, OWN},

    [BOOK_READY_MOST] = {"most ready", 1.5, "", BOOK_DERIVED,
                         "two observations lie at or under 1.5 times the table: Okere, Erondu and "
                         "Zabbey 2015; Hecht et al. 1996"},
    [BOOK_READY_END] = {"end of looking", 2.0, "", BOOK_DERIVED,
                        "field times run 1.0-1.9 times the table"},
    [BOOK_READY_EARLY] = {"strip asked before", 0.8, "", BOOK_COMMON,
                          OWN ": field times run 1.0-1.9 times the table, none under it"},
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

    [BOOK_MATURE_G] = {"mature from", 300, "g", BOOK_COMMON,
                       COMMON "; FAO 362 s. 4.1 has ripe testes at about 200 g (quoted)"},
    [BOOK_MATURE_DAYS] = {"mature at", 330, "days", BOOK_COMMON,
                          COMMON ": nearly a year, read as eleven months; FAO 362 s. 4.1 has 8-12 "
                                 "months (quoted)"},
    [BOOK_FEMALE_GOOD_G] = {"female good to", 1000, "g", BOOK_QUOTED,
                            "quoted from handbooks that differ, authors not seen"},
    [BOOK_BROOD_PER_M2] = {"brood fish in a pond", 1, "fish/m2", BOOK_COMMON, COMMON},

    [BOOK_DONOR_LEAST] = {"gland donor, least", 1, "", BOOK_COMMON, COMMON},
    [BOOK_DONOR_SAFE] = {"gland donor, safer", 1.5, "", BOOK_QUOTED,
                         "Hecht, Oellermann and Verheust 1996, quoted"},
    [BOOK_DRIED_MG_KG] = {"dried gland", 4, "mg/kg", BOOK_PUBLISHED,
                          "Brzuska 2003, Czech J. Anim. Sci. 48:181; de Graaf, Galemoni and "
                          "Banzoussi 1995, Aquac. Res. 26:233, used 3"},
    [BOOK_HCG_LOW_IU_KG] = {"hCG, low", 1500, "IU/kg", BOOK_PUBLISHED,
                            "papers conflict, 1500-4000, failures reported"},
    [BOOK_HCG_HIGH_IU_KG] = {"hCG, high", 4000, "IU/kg", BOOK_MEMORY,
                             "Viveen et al. 1985, from memory"},
    [BOOK_LABEL_LEAST_ML_KG] = {"ready mix, least", 0.1, "ml/kg", BOOK_COMMON, OWN},
    [BOOK_LABEL_MOST_ML_KG] = {"ready mix, most", 2, "ml/kg", BOOK_COMMON,
                               OWN "; 0.4-0.5 in papers (Ngueku 2015; Sharaf 2012)"},
    [BOOK_SALINE_G_L] = {"salt in saline", 9, "g/l", BOOK_QUOTED, "FAO 362 s. 4.4, quoted"},
    [BOOK_SALINE_ML] = {"saline for a fish", 1, "ml", BOOK_QUOTED, "FAO 362 s. 4.4, quoted"},

    [BOOK_HATCH_USUAL] = {"usual hatch", 0.5, "", BOOK_COMMON, COMMON ": about half of the eggs"},
    [BOOK_HATCH_LOW] = {"hatch, low season", 0.28, "", BOOK_PUBLISHED,
                        "de Graaf, Galemoni and Banzoussi 1995: 28-59 % by season"},
    [BOOK_HATCH_HIGH] = {"hatch, high season", 0.59, "", BOOK_PUBLISHED,
                         "de Graaf, Galemoni and Banzoussi 1995: 28-59 % by season"},
    [BOOK_HATCH_LEAST] = {"hatch, least seen", 0.04, "", BOOK_PUBLISHED,
                          "4-90 % over the papers seen"},
    [BOOK_HATCH_MOST] = {"hatch, most seen", 0.90, "", BOOK_PUBLISHED,
                         "4-90 % over the papers seen"},
    [BOOK_HATCH_HARD_WATER] = {"hatch in hard well water", 0.127, "", BOOK_PUBLISHED,
                               "Ataguba 2022: borehole 12.7 %, river 66.6 %"},
    [BOOK_HATCH_SOFT_WATER] = {"hatch in soft river water", 0.666, "", BOOK_PUBLISHED,
                               "Ataguba 2022: borehole 12.7 %, river 66.6 %"},
    [BOOK_EGGS_PER_L] = {"eggs in still water", 480, "eggs/l", BOOK_PUBLISHED,
                         "Yong-Sulem, Brummett and Tchoumboue 2008"},

    [BOOK_FOOD_LAST_DAYS] = {"last day without food", 3, "days", BOOK_COMMON,
                             COMMON ": the yolk lasts 2-3 days"},
    [BOOK_DRYFOOD_DAYS] = {"dry food from", 7, "days", BOOK_COMMON, COMMON},
    [BOOK_BIG_DAYS] = {"look for big ones", 9, "days", BOOK_PUBLISHED,
                       "Hecht and Appelbaum 1988: they eat each other from 8 mm, 3.5 days after "
                       "the first food; the day is a rule of this program"},
    [BOOK_TWO_WEEKS_DAYS] = {"to the pond", 14, "days", BOOK_COMMON, COMMON},
    [BOOK_MEALS] = {"meals", 4, "meals/day", BOOK_PUBLISHED,
                    "a plankton trial with 4 meals: 95 % lived; 2-3 at least (common practice)"},
    [BOOK_PLANKTON_ML] = {"plankton a meal", 5, "animals/ml", BOOK_PUBLISHED, "the same trial"},
    [BOOK_LARVA_MG] = {"larva of days", 2, "mg", BOOK_DERIVED,
                       "1.0-1.5 mg at hatch (Janssen 1985, FAO), a few days on"},
    [BOOK_FRY_MG] = {"fry of two weeks", 100, "mg", BOOK_COMMON, COMMON},
    [BOOK_SEED_LEAST_MG] = {"fry sold, lightest", 20, "mg", BOOK_COMMON, OWN},
    [BOOK_FINGERLING_MOST_G] = {"fingerling, most", 10, "g", BOOK_QUOTED,
                                "2-10 g by region, quoted, authors not seen"},
    [BOOK_JUVENILE_MOST_G] = {"juvenile, most", 50, "g", BOOK_COMMON, COMMON},
    [BOOK_SURVIVE_USUAL] = {"alive at two weeks", 0.6, "", BOOK_DERIVED,
                            "planned; 0.05-0.95 seen in papers"},
    [BOOK_SURVIVE_LOW] = {"alive at two weeks, low", 0.05, "", BOOK_PUBLISHED,
                          "0.05-0.95 over the papers seen"},
    [BOOK_SURVIVE_HIGH] = {"alive at two weeks, high", 0.95, "", BOOK_PUBLISHED,
                           "0.05-0.95 over the papers seen"},
    [BOOK_LARVAE_PER_L_GOOD] = {"larvae in a tank, good", 50, "larvae/l", BOOK_PUBLISHED,
                                "a thesis (Makerere): 150/l gave 64 %, 50/l 88 % in 28 days"},
    [BOOK_LARVAE_PER_L_MOST] = {"larvae in a tank, most", 150, "larvae/l", BOOK_PUBLISHED,
                                "the same thesis; Ajani 2015 found 100-150 best"},
    [BOOK_GRAIN_SHARE] = {"grain of feed", 0.022, "", BOOK_PUBLISHED,
                          "of body length: FAO AFFRIS, North African catfish"},

    [BOOK_GRAIN_MOST_MM] = {"grain, most", 8, "mm", BOOK_COMMON, COMMON ", what is sold"},

    [BOOK_NURSERY_ARES_LEAST] = {"nursery, least", 2, "ares", BOOK_COMMON, COMMON},
    [BOOK_NURSERY_ARES_MOST] = {"nursery, most", 5, "ares", BOOK_COMMON, COMMON},
    [BOOK_POND_DEPTH_MOST_M] = {"nursery depth, most", 1, "m", BOOK_COMMON, COMMON},
    [BOOK_FENCE_M] = {"fence", 0.8, "m", BOOK_PUBLISHED, "de Graaf, Galemoni and Banzoussi 1995"},
    [BOOK_DIRECT_DENSE] = {"larvae warned of, times the rate", 2, "", BOOK_COMMON, OWN},
    [BOOK_DENSE_ASK] = {"density asked, times the most", 10, "", BOOK_COMMON, OWN},
    [BOOK_FRY_PER_M3_LEAST] = {"fry in a pond, least", 20, "fry/m3", BOOK_COMMON, COMMON},
    [BOOK_FRY_PER_M3_MOST] = {"fry in a pond, most", 100, "fry/m3", BOOK_COMMON, COMMON},
    [BOOK_NURSERY_USUAL] = {"alive after the nursery", 0.5, "", BOOK_MEMORY,
                            "general, from memory"},
    [BOOK_NURSERY_LOW] = {"alive after the nursery, low", 0.25, "", BOOK_COMMON,
                          OWN ": half of the usual"},
    [BOOK_NURSERY_HIGH] = {"alive after the nursery, high", 0.75, "", BOOK_COMMON,
                           OWN ": half again of the usual"},
    [BOOK_NET_DAYS] = {"days in a holding net", 14, "days", BOOK_COMMON,
                       OWN ": sold within days, unfed; after two weeks the pond can hold others"},
    [BOOK_NURSERY_DAYS] = {"days in the nursery", 30, "days", BOOK_COMMON, COMMON},
    [BOOK_GRADE_DAYS] = {"grade every", 14, "days", BOOK_PUBLISHED, "Mwangi et al. 2020"},
    [BOOK_DIRECT_DAYS] = {"larvae in a pond", 40, "days", BOOK_PUBLISHED,
                          "de Graaf, Galemoni and Banzoussi 1995"},
    [BOOK_DIRECT_FROM_DAYS] = {"larvae into a pond, after the hatch", 3, "days", BOOK_PUBLISHED,
                               "de Graaf, Galemoni and Banzoussi 1995: larvae of three days"},
    [BOOK_DIRECT_LARVAE_M2] = {"larvae into a pond", 100, "larvae/m2", BOOK_PUBLISHED,
                               "de Graaf, Galemoni and Banzoussi 1995"},
    [BOOK_DIRECT_FENCED_M2] = {"fingerlings, fenced", 32.3, "fish/m2", BOOK_PUBLISHED,
                               "de Graaf, Galemoni and Banzoussi 1995: 32.3 +- 3.3"},
    [BOOK_DIRECT_FENCED_SPREAD] = {"spread, fenced", 3.3, "fish/m2", BOOK_PUBLISHED,
                                   "de Graaf, Galemoni and Banzoussi 1995: 32.3 +- 3.3"},
    [BOOK_DIRECT_OPEN_M2] = {"fingerlings, open", 5.0, "fish/m2", BOOK_PUBLISHED,
                             "de Graaf, Galemoni and Banzoussi 1995: 5.0 +- 2.9"},
    [BOOK_DIRECT_OPEN_SPREAD] = {"spread, open", 2.9, "fish/m2", BOOK_PUBLISHED,
                                 "de Graaf, Galemoni and Banzoussi 1995: 5.0 +- 2.9"},
    [BOOK_PREP_DRY_DAYS] = {"dry before", 21, "days", BOOK_MEMORY,
                            "order common practice, days from memory"},
    [BOOK_PREP_LIME_DAYS] = {"lime before", 14, "days", BOOK_MEMORY,
                             "order common practice, days from memory"},
    [BOOK_PREP_MANURE_DAYS] = {"manure before", 7, "days", BOOK_MEMORY,
                               "order common practice, days from memory"},
    [BOOK_PREP_FILL_DAYS] = {"fill before", 3, "days", BOOK_MEMORY,
                             "3-7 days for the plankton, from memory"},
    [BOOK_PREP_FILL_MOST_DAYS] = {"fill before, at most", 7, "days", BOOK_MEMORY,
                                  "3-7 days for the plankton, from memory"},
    [BOOK_PREP_SHORT_DAYS] = {"short form", 10, "days", BOOK_COMMON,
                              OWN ", only without lime or with carbonate"},
    [BOOK_PREP_SHORT_LIME_DAYS] = {"carbonate, short form", 8, "days", BOOK_COMMON,
                                   OWN ", before the manure"},
    [BOOK_PH_ACID] = {"pH of ponds, least", 6.5, "", BOOK_MEMORY,
                      "Boyd, from memory: 6.5-9 is good, outside fish grow slowly"},
    [BOOK_PH_ACID_DANGER] = {"pH, danger, acid", 5, "", BOOK_MEMORY,
                             "Boyd, from memory: no spawning at 4-5, death at 4"},
    [BOOK_PH_ALKALINE_DANGER] = {"pH, danger, alkaline", 10, "", BOOK_MEMORY,
                                 "Boyd, from memory: slow growth at 9-11, death at 11; careful"},
    [BOOK_STOCK_PH_MOST] = {"pH for fry", 9, "", BOOK_COMMON, COMMON},
    [BOOK_MANURE_HEN_KG_ARE] = {"hen manure", 20, "kg/are", BOOK_PUBLISHED,
                                "Etaba Angoni et al. 2016"},
    [BOOK_MANURE_COW_KG_ARE] = {"cow manure", 25, "kg/are", BOOK_QUOTED, "25-50 kg/are in papers"},
    [BOOK_NURSERY_FEED_KG_ARE] = {"nursery feed, first week", 0.5, "kg/are/day", BOOK_COMMON,
                                  COMMON
                                  ", an upper line; of fewer fry than the least a share (" OWN ")"},
    [BOOK_NURSERY_FEED_RISE] = {"nursery feed, each week", 1.5, "", BOOK_COMMON, COMMON},

    [BOOK_LIME_HYDRATED_NV] = {"hydrated lime", 136, "%", BOOK_MEMORY,
                               "neutralising value, from memory"},
    [BOOK_LIME_QUICK_NV] = {"quicklime", 179, "%", BOOK_MEMORY, "neutralising value, from memory"},
    [BOOK_SAMPLE_LEAST] = {"fish in a sample", 30, "fish", BOOK_COMMON,
                           COMMON ": 30-50, a hundred when sizes vary"},
    [BOOK_OVARY_A] = {"ovary, a", 0.04, "eggs", BOOK_PUBLISHED, "Clay 1979: F = 0.04 TL^3.39"},
    [BOOK_OVARY_B] = {"ovary, b", 3.39, "", BOOK_PUBLISHED, "Clay 1979: F = 0.04 TL^3.39"},

    [BOOK_TGC_USUAL] = {"growth, usual", 1.16, "", BOOK_DERIVED,
                        "2 g to 300 g in six months (" COMMON ") at 26 degC"},
    [BOOK_TGC_LOW] = {"growth, low", 0.7, "", BOOK_DERIVED,
                      "the series of Legendre et al. 1992 gives 0.74 over 224 days"},
    [BOOK_TGC_HIGH] = {"growth, high", 1.9, "", BOOK_DERIVED,
                       "4.07 to 298.75 g in 90 days at 29.19 degC (published) gives 1.94"},
    [BOOK_TGC_WARMEST] = {"growth, warmest", 28, "degC", BOOK_PUBLISHED,
                          "26-32 degC grew alike in papers; the cap is a rule of this program"},
    [BOOK_TGC_WATER] = {"pond water, not read", 26, "degC", BOOK_COMMON,
                        OWN ": that at which the usual growth was reckoned"},
    [BOOK_TGC_PRIOR] = {"growth, weight of the book", 2, "intervals", BOOK_DERIVED,
                        OWN "; so that the series of Legendre et al. 1992 gives its 0.74"},
    [BOOK_TGC_INTERVAL_DAYS] = {"growth, usual interval", 30, "days", BOOK_COMMON, OWN},
    [BOOK_BEHIND_DAYS] = {"behind, days back", 28, "days", BOOK_COMMON, OWN},
    [BOOK_TGC_WANDER] = {"growth, wander", 0.15, "", BOOK_DERIVED,
                         OWN "; with the weight of the book from the same series, which slows from "
                             "1.3 to 0.5: its 78 forecasts hold"},
    [BOOK_TGC_ASK] = {"growth, asked", 3, "", BOOK_COMMON,
                      OWN ": half as fast again as the fastest published"},
    [BOOK_POND_USUAL] = {"alive after growing on", 0.85, "", BOOK_COMMON, OWN},
    [BOOK_POND_LOW] = {"alive after growing on, low", 0.7, "", BOOK_COMMON, OWN},
    [BOOK_POND_HIGH] = {"alive after growing on, high", 0.95, "", BOOK_COMMON, OWN},
    [BOOK_POND_DAYS] = {"growing on", 180, "days", BOOK_COMMON,
                        "common practice, no source: about six months to the table"},
    [BOOK_FINGERLING_G] = {"fingerling, least", 2, "g", BOOK_COMMON,
                           "common practice, no source: 2 to 10 g by region"},
    [BOOK_WEIGH_DAYS] = {"weigh every", 30, "days", BOOK_COMMON, COMMON ": once a month"},
    [BOOK_WEIGH_OFF_DAYS] = {"no weighing near harvest", 7, "days", BOOK_COMMON, OWN},

    [BOOK_SPREAD_USUAL] = {"spread, usual", 0.4, "", BOOK_COMMON, OWN},
    [BOOK_SPREAD_GRADE] = {"spread, grade", 0.5, "", BOOK_COMMON, OWN},
    [BOOK_LARGE_GRADE] = {"largest, grade", 3, "", BOOK_COMMON,
                          OWN ": nearly half as long again as the middle fish"},
    [BOOK_SPREAD_SMALL] = {"smallest tenth", 0.3, "", BOOK_DERIVED,
                           "1 - 1.755 x 0.4: a normal distribution with the usual spread"},
    [BOOK_CONDITION_LOW] = {"condition, low", 0.6, "g/cm3", BOOK_MEMORY, CONDITION},
    [BOOK_CONDITION_HIGH] = {"condition, high", 0.9, "g/cm3", BOOK_MEMORY, CONDITION},
    [BOOK_CONDITION_ASK] = {"condition, asked", 2, "", BOOK_COMMON,
                            OWN ": so many times out of the usual range"},
    [BOOK_SECCHI_DANGER_CM] = {"Secchi, danger", 20, "cm", BOOK_PUBLISHED,
                               "bands of pond handbooks, which differ"},
    [BOOK_SECCHI_STOP_CM] = {"Secchi, stop", 25, "cm", BOOK_PUBLISHED,
                             "bands of pond handbooks, which differ"},
    [BOOK_SECCHI_CLEAR_CM] = {"Secchi, clear", 40, "cm", BOOK_PUBLISHED,
                              "bands of pond handbooks, which differ"},

    [BOOK_FEED_COLDEST] = {"coldest water to feed", 18, "degC", BOOK_MEMORY,
                           "general, from memory, low confidence"},
    [BOOK_FEED_WARMEST] = {"warmest water to feed", 34, "degC", BOOK_MEMORY,
                           "general, from memory, low confidence"},
    [BOOK_FEED_DAWN_KG_ARE] = {"feed, look at dawn", 0.3, "kg/are/day", BOOK_MEMORY,
                               "Boyd, from memory: ponds without aerator"},
    [BOOK_FEED_LIMIT_KG_ARE] = {"feed, limit", 1.1, "kg/are/day", BOOK_PUBLISHED,
                                "University of Florida, catfish ponds: 112 kg/ha/day"},
    [BOOK_FEED_TREATED_H] = {"no feed after treatment", 24, "h", BOOK_MEMORY,
                             "general, from memory"},
    [BOOK_FEED_EMPTY_DAYS] = {"no feed before harvest", 1, "days", BOOK_MEMORY,
                              "general, from memory"},
    [BOOK_FEED_MEALS] = {"meals of a pond", 2, "meals/day", BOOK_COMMON, COMMON},
    [BOOK_FEED_HALF] = {"ration at little oxygen", 0.5, "", BOOK_MEMORY, "general, from memory"},
    [BOOK_FEED_LEFT] = {"line after food left", 0.75, "", BOOK_COMMON, OWN},
    [BOOK_FEED_CLEAN_DAYS] = {"clean days to a step", 3, "days", BOOK_COMMON, OWN},

    [BOOK_OXYGEN_FRY] = {"oxygen for fry", 4, "mg/l", BOOK_MEMORY, "general, from memory"},
    [BOOK_OXYGEN_FRY_DAYS] = {"gills only until", 21, "days", BOOK_MEMORY,
                              "they breathe air from 2-3 weeks, from memory"},
    [BOOK_DUSK_HOUR] = {"evening from", 15, "h", BOOK_COMMON, OWN},
    [BOOK_DAWN_HOUR] = {"dawn", 6, "h", BOOK_COMMON, COMMON ": near the equator, all year"},
    [BOOK_DUSK_APART_H] = {"evening readings apart", 6, "h", BOOK_COMMON, OWN},
    [BOOK_DAWN_BEFORE_MIN] = {"danger told before", 60, "min", BOOK_COMMON, OWN},
    [BOOK_OXYGEN_STOP] = {"oxygen, no feed", 2, "mg/l", BOOK_MEMORY, "general, from memory"},
    [BOOK_OXYGEN_HALF] = {"oxygen, half feed", 4, "mg/l", BOOK_MEMORY, "general, from memory"},
    [BOOK_PRESSURE_A] = {"pressure, a", 2.25577e-5, "1/m", BOOK_MEMORY,
                         "standard atmosphere of ISO 2533, from memory: P = (1 - a h)^b"},
    [BOOK_PRESSURE_B] = {"pressure, b", 5.25588, "", BOOK_MEMORY,
                         "standard atmosphere of ISO 2533, from memory: P = (1 - a h)^b"},

    [BOOK_AMMONIA_PKA_A] = {"ammonia, a", 0.09018, "", BOOK_PUBLISHED,
                            "Emerson et al. 1975: pKa = a + b / K"},
    [BOOK_AMMONIA_PKA_B] = {"ammonia, b", 2729.92, "K", BOOK_PUBLISHED,
                            "Emerson et al. 1975; 2727.92 in some copies is a misprint"},
    [BOOK_AMMONIA_N_OF_NH4] = {"nitrogen in NH4", 0.776, "", BOOK_DERIVED,
                               "14.007 / 18.039, molar masses"},
    [BOOK_AMMONIA_SMALL] = {"ammonia for small fish", 0.05, "mg N/l", BOOK_MEMORY,
                            "general, from memory, careful"},
    [BOOK_AMMONIA_MIDDLE] = {"ammonia for middle fish", 0.1, "mg N/l", BOOK_MEMORY,
                             "general, from memory, careful"},
    [BOOK_AMMONIA_LARGE] = {"ammonia for large fish", 0.34, "mg N/l", BOOK_PUBLISHED,
                            "Schram et al. 2010, fish of 141 g"},
    [BOOK_AMMONIA_SMALL_G] = {"small fish to", 5, "g", BOOK_COMMON, OWN},
    [BOOK_AMMONIA_MIDDLE_G] = {"middle fish to", 100, "g", BOOK_COMMON, OWN},
    [BOOK_NITRITE_MOST] = {"nitrite", 0.6, "mg N/l", BOOK_PUBLISHED, "Roques et al. 2015"},

    [BOOK_RESPOND] = {"females that respond", 0.875, "", BOOK_PUBLISHED,
                      "Brzuska 2003: about 7 of 8, with a ready mix"},
    [BOOK_ORDER_FEMALES_LEAST] = {"females for an order, least", 2, "fish", BOOK_DERIVED,
                                  OWN "; one in eight does not respond"},
    [BOOK_ORDER_FISH_G] = {"fingerling", 2, "g", BOOK_COMMON,
                           COMMON ": after a month in the pond; the word means 2-10 g by region"},
    [BOOK_ORDER_MOST_G] = {"young fish, most", 50, "g", BOOK_COMMON, OWN},
    [BOOK_ORDER_MOST] = {"fish in an order, most", 1000000, "fish", BOOK_COMMON, OWN},
    [BOOK_ORDER_LOOK_H] = {"first look planned for", 6, "h", BOOK_COMMON, OWN ", first light"},
    [BOOK_PROMISE_KEPT] = {"promises kept", 0.8, "", BOOK_COMMON, OWN ": four in five"},
    [BOOK_PROMISE_MARGIN] = {"promises, margin", 0.015, "", BOOK_DERIVED,
                             "1.7 standard errors of a fifth in 2048 draws"},
    [BOOK_LEARN_RUNS] = {"runs that weigh as the book", 3, "runs", BOOK_COMMON, OWN},
    [BOOK_LEARN_RANGE] = {"runs in a planned range", 0.8, "", BOOK_COMMON, OWN ": four in five"},
    [BOOK_LEARN_SEEN] = {"runs in a range of all seen", 0.95, "", BOOK_COMMON,
                         OWN ": nineteen in twenty"},
    [BOOK_LEARN_LEAN_DEGC] = {"lean water, under", 23, "degC", BOOK_QUOTED,
                              "FAO 362 s. 4.1: ripe all the year above 23 degC, ovaries shrink "
                              "below 22"},
    [BOOK_LEARN_LEAN_SPREAD] = {"spread in lean times", 0.5, "", BOOK_COMMON,
                                OWN ": half, as the season no longer is unknown"},
    [BOOK_LEARN_SIDE_RUNS] = {"runs on each side", 4, "runs", BOOK_COMMON, OWN},
    [BOOK_LEARN_CHANCE] = {"chance of a difference", 0.05, "", BOOK_COMMON, "usual in statistics"},
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

static uint64_t digest_line(const struct book_line *line, uint64_t seed) {
    seed = slice_hash(slice_of(line->name), seed);
    for (int i = 0; i < line->count; i++)
        seed = digest_number(line->points[i][1], digest_number(line->points[i][0], seed));
    return seed;
}

static uint64_t digest_terms(const struct book_terms *terms, uint64_t seed) {
    seed = slice_hash(slice_of(terms->name), seed);
    for (int i = 0; i < terms->count; i++)
        seed = digest_number(terms->terms[i], seed);
    return seed;
}

uint64_t book_build(void) {
    uint64_t digest = SLICE_HASH_SEED;
    for (int id = 0; id < BOOK_COUNT; id++) {
        digest = slice_hash(slice_of(values[id].name), digest);
        digest = digest_number(values[id].value, digest);
    }
    digest = digest_table(&book_hatching, digest_table(&book_latency, digest));
    digest = digest_line(&book_ration_warm, digest_line(&book_ration, digest));
    digest = digest_terms(&book_oxygen, digest);
    digest = digest_terms(&book_oxygen_theta, digest_terms(&book_oxygen_vapour, digest));
    digest = slice_hash(slice_of(book_lime.name), digest);
    for (int i = 0; i < book_lime.count; i++)
        for (size_t k = 0; k < sizeof book_lime.rows[i] / sizeof book_lime.rows[i][0]; k++)
            digest = digest_number(book_lime.rows[i][k], digest);
    return digest;
}
