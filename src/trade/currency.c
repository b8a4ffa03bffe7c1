/* currency: see currency.h. In: letters. Out: constants. No errors. The countries are those of
 * Africa, and others where African catfish are raised in numbers. Codes, digits and which country
 * has which: ISO 4217:2015 list one, with its amendments up to 2024. */
#include "trade/currency.h"

#include <stddef.h>
#include <stdbool.h>
#include <string.h>

/* In order of code. */
static const struct currency list[] = {
    {"AOA", 2, 100},  {"BDT", 2, 100}, {"BIF", 0, 1},    {"BRL", 2, 100}, {"BWP", 2, 100},
    {"CDF", 2, 100},  {"CNY", 2, 100}, {"CVE", 2, 100},  {"DJF", 0, 1},   {"DZD", 2, 100},
    {"EGP", 2, 100},  {"ERN", 2, 100}, {"ETB", 2, 100},  {"EUR", 2, 100}, {"GBP", 2, 100},
    {"GHS", 2, 100},  {"GMD", 2, 100}, {"GNF", 0, 1},    {"HUF", 2, 100}, {"IDR", 2, 100},
    {"INR", 2, 100},  {"KES", 2, 100}, {"KHR", 2, 100},  {"KMF", 0, 1},   {"LAK", 2, 100},
    {"LRD", 2, 100},  {"LSL", 2, 100}, {"LYD", 3, 1000}, {"MAD", 2, 100}, {"MGA", 2, 100},
    {"MMK", 2, 100},  {"MRU", 2, 100}, {"MUR", 2, 100},  {"MWK", 2, 100}, {"MYR", 2, 100},
    {"MZN", 2, 100},  {"NAD", 2, 100}, {"NGN", 2, 100},  {"NPR", 2, 100}, {"PHP", 2, 100},
    {"PLN", 2, 100},  {"RWF", 0, 1},   {"SCR", 2, 100},  {"SDG", 2, 100}, {"SLE", 2, 100},
    {"SOS", 2, 100},  {"SSP", 2, 100}, {"STN", 2, 100},  {"SZL", 2, 100}, {"THB", 2, 100},
    {"TND", 3, 1000}, {"TZS", 2, 100}, {"UGX", 0, 1},    {"USD", 2, 100}, {"VND", 0, 1},
    {"XAF", 0, 1},    {"XOF", 0, 1},   {"ZAR", 2, 100},  {"ZMW", 2, 100}, {"ZWG", 2, 100},
};

enum { LIST_COUNT = sizeof list / sizeof list[0] };

static const char countries[][6] = {
    "AOAOA", "BDBDT", "BEEUR", "BFXOF", "BIBIF", "BJXOF", "BRBRL", "BWBWP", "CDCDF", "CFXAF",
    "CGXAF", "CIXOF", "CMXAF", "CNCNY", "CVCVE", "DEEUR", "DJDJF", "DZDZD", "EGEGP", "ERERN",
    "ETETB", "FREUR", "GAXAF", "GBGBP", "GHGHS", "GMGMD", "GNGNF", "GQXAF", "GWXOF", "HUHUF",
    "IDIDR", "ININR", "KEKES", "KHKHR", "KMKMF", "LALAK", "LRLRD", "LSLSL", "LYLYD", "MAMAD",
    "MGMGA", "MLXOF", "MMMMK", "MRMRU", "MUMUR", "MWMWK", "MYMYR", "MZMZN", "NANAD", "NEXOF",
    "NGNGN", "NLEUR", "NPNPR", "PHPHP", "PLPLN", "RWRWF", "SCSCR", "SDSDG", "SLSLE", "SNXOF",
    "SOSOS", "SSSSP", "STSTN", "SZSZL", "TDXAF", "TGXOF", "THTHB", "TNTND", "TZTZS", "UGUGX",
    "USUSD", "VNVND", "ZAZAR", "ZMZMW", "ZWZWG",
};

enum { COUNTRY_COUNT = sizeof countries / sizeof countries[0], CODE = 3, COUNTRY = 2 };

static bool same(struct slice said, const char *letters, size_t count) {
    if (said.n != count)
        return false;
    for (size_t i = 0; i < count; i++) {
        char c = said.p[i];
        if (c >= 'a' && c <= 'z')
            c = (char)(c - 'a' + 'A');
        if (c != letters[i])
            return false;
    }
    return true;
}

const struct currency *currency_of_code(struct slice code) {
    for (int i = 0; i < LIST_COUNT; i++)
        if (same(code, list[i].code, CODE))
            return &list[i];
    return NULL;
}

const struct currency *currency_of_country(struct slice country) {
    for (int i = 0; i < COUNTRY_COUNT; i++)
        if (same(country, countries[i], COUNTRY))
            return currency_of_code((struct slice){countries[i] + COUNTRY, CODE});
    return NULL;
}

const struct currency *currency_at(int index) {
    return index >= 0 && index < LIST_COUNT ? &list[index] : NULL;
}
