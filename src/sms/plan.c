/* plan: the number plans of the countries we expect, as data. In: a country or a number; out: its
 * plan or NULL. Cannot fail. Limits: lengths are those of fixed and mobile subscribers, service
 * numbers left out; a plan that has grown since makes number_fits say false and nothing else.
 *
 * Every row is from memory of the national plan, checked against python3-phonenumbers
 * 8.12.57, which settled the lengths (Benin excepted, below). Known exceptions:
 * - Benin: ten digits that begin with 01 since 30 November 2024 (from memory; the library has the
 *   eight of before). Both lengths fit, so that old entries stay readable.
 * - Cote d'Ivoire (ten digits since January 2021, from memory) and Congo: a leading 0 is part of
 *   the number.
 * - Kenya, Uganda, Tanzania dial 000 abroad, Nigeria 009; people type 00 too, and both are read.
 *   Uganda's and Tanzania's carrier prefixes (005, 006, 007) are left out: 00 55 is Brazil.
 * - Britain: area codes of fixed lines vary, so 9 and 10 digits; +44 is shared with Jersey,
 *   Guernsey and the Isle of Man.
 * - Nigeria, Kenya, DR Congo, Malawi, Rwanda: fixed lines are shorter than mobile numbers.
 * - The last column: lengths of mobile numbers. Two in Liberia and DR Congo; in Benin those of
 * before and after the change. */
#include "sms/number.h"

#include <stddef.h>

static const struct number_plan plans[] = {
    {"AO", "244", "", {"00"}, 9, 9, {9}},       {"BF", "226", "", {"00"}, 8, 8, {8}},
    {"BI", "257", "", {"00"}, 8, 8, {8}},       {"BJ", "229", "", {"00"}, 8, 10, {8, 10}},
    {"CD", "243", "0", {"00"}, 7, 9, {7, 9}},   {"CF", "236", "", {"00"}, 8, 8, {8}},
    {"CG", "242", "", {"00"}, 9, 9, {9}},       {"CI", "225", "", {"00"}, 10, 10, {10}},
    {"CM", "237", "", {"00"}, 9, 9, {9}},       {"ET", "251", "0", {"00"}, 9, 9, {9}},
    {"GB", "44", "0", {"00"}, 9, 10, {10}},     {"GH", "233", "0", {"00"}, 9, 9, {9}},
    {"GM", "220", "", {"00"}, 7, 7, {7}},       {"GN", "224", "", {"00"}, 8, 9, {9}},
    {"KE", "254", "0", {"000"}, 7, 9, {9}},     {"LR", "231", "0", {"00"}, 7, 9, {7, 9}},
    {"ML", "223", "", {"00"}, 8, 8, {8}},       {"MW", "265", "0", {"00"}, 7, 9, {9}},
    {"MZ", "258", "", {"00"}, 8, 9, {9}},       {"NE", "227", "", {"00"}, 8, 8, {8}},
    {"NG", "234", "0", {"009"}, 7, 10, {10}},   {"RW", "250", "0", {"00"}, 8, 9, {9}},
    {"SL", "232", "0", {"00"}, 8, 8, {8}},      {"SN", "221", "", {"00"}, 9, 9, {9}},
    {"TD", "235", "", {"00", "16"}, 8, 8, {8}}, {"TG", "228", "", {"00"}, 8, 8, {8}},
    {"TZ", "255", "0", {"000"}, 9, 9, {9}},     {"UG", "256", "0", {"000"}, 9, 9, {9}},
    {"ZA", "27", "0", {"00"}, 9, 9, {9}},       {"ZM", "260", "0", {"00"}, 9, 9, {9}}};

enum { PLAN_COUNT = sizeof plans / sizeof plans[0] };

const struct number_plan *number_plans(size_t *n) {
    *n = PLAN_COUNT;
    return plans;
}

const struct number_plan *number_plan_of(struct slice iso2) {
    for (size_t i = 0; i < PLAN_COUNT; i++)
        if (slice_eq_nocase(iso2, slice_of(plans[i].iso2)))
            return &plans[i];
    return NULL;
}

const struct number_plan *number_plan_of_e164(struct slice e164) {
    const struct number_plan *best = NULL;
    if (!slice_starts(e164, SLICE("+")))
        return NULL;
    struct slice digits = slice_from(e164, 1);
    for (size_t i = 0; i < PLAN_COUNT; i++) {
        struct slice code = slice_of(plans[i].code);
        if (slice_starts(digits, code) && (!best || code.n > slice_of(best->code).n))
            best = &plans[i];
    }
    return best;
}
