/* request: names of kinds, slots and choices, and what a request holds. No errors. A request as a
 * line of text is in text/line.c. */
#include "text/request.h"

#include <string.h>

static const char *const kind_names[REQUEST_KIND_COUNT] = {
    [REQUEST_NONE] = "",           [REQUEST_INJECT] = "inject",     [REQUEST_PLAN] = "plan",
    [REQUEST_TEMP] = "temp",       [REQUEST_WAIT] = "wait",         [REQUEST_NO_EGGS] = "no-eggs",
    [REQUEST_OK] = "ok",           [REQUEST_STRIP] = "strip",       [REQUEST_WHITE] = "white",
    [REQUEST_FRAMES] = "frames",   [REQUEST_UNDO] = "undo",         [REQUEST_WHY] = "why",
    [REQUEST_TODAY] = "today",     [REQUEST_HELP] = "help",         [REQUEST_LANGUAGE] = "language",
    [REQUEST_STOP] = "stop",       [REQUEST_START] = "start",       [REQUEST_YES] = "yes",
    [REQUEST_NO] = "no",           [REQUEST_FIX] = "fix",           [REQUEST_BROOD] = "brood",
    [REQUEST_READY] = "ready",     [REQUEST_DOSE] = "dose",         [REQUEST_DEAD] = "dead",
    [REQUEST_FERTILE] = "fertile", [REQUEST_SPOILT] = "spoilt",     [REQUEST_HATCH] = "hatch",
    [REQUEST_FED] = "fed",         [REQUEST_GRADE] = "grade",       [REQUEST_COUNT] = "count",
    [REQUEST_TANK] = "tank",       [REQUEST_SOURCE] = "source",     [REQUEST_MILT] = "milt",
    [REQUEST_STICK] = "stick",     [REQUEST_CLUMP] = "clump",       [REQUEST_BLOOD] = "blood",
    [REQUEST_PLUG] = "plug",       [REQUEST_AIR_OFF] = "air-off",   [REQUEST_AIR_ON] = "air-on",
    [REQUEST_POND] = "pond",       [REQUEST_PREP] = "prep",         [REQUEST_STOCK] = "stock",
    [REQUEST_HARVEST] = "harvest", [REQUEST_MOVE] = "move",         [REQUEST_SOLD] = "sold",
    [REQUEST_WORKER] = "worker",   [REQUEST_ADVISER] = "adviser",   [REQUEST_WATCHER] = "watcher",
    [REQUEST_REMOVE] = "remove",   [REQUEST_JOIN] = "join",         [REQUEST_CODE] = "code",
    [REQUEST_FARM] = "farm",       [REQUEST_HOURS] = "hours",       [REQUEST_FEED] = "feed",
    [REQUEST_GAVE] = "gave",       [REQUEST_LEFT] = "left",         [REQUEST_MEASURE] = "measure",
    [REQUEST_TABLE] = "table",     [REQUEST_SAMPLE] = "sample",     [REQUEST_GROWTH] = "growth",
    [REQUEST_STOLEN] = "stolen",   [REQUEST_MERGE] = "merge",       [REQUEST_WATER] = "water",
    [REQUEST_GASP] = "gasp",       [REQUEST_TREATED] = "treated",   [REQUEST_CATCH] = "catch",
    [REQUEST_HEIGHT] = "height",   [REQUEST_BOUGHT] = "bought",     [REQUEST_STORE] = "store",
    [REQUEST_BLEND] = "blend",     [REQUEST_STATUS] = "status",     [REQUEST_ORDER] = "order",
    [REQUEST_ORDERS] = "orders",   [REQUEST_CALL_OFF] = "call-off", [REQUEST_SEASON] = "season",
    [REQUEST_RATES] = "rates",     [REQUEST_CURRENCY] = "currency", [REQUEST_PRICE] = "price",
    [REQUEST_COST] = "cost",       [REQUEST_PAID] = "paid",         [REQUEST_OWES] = "owes",
    [REQUEST_WEEK] = "week",       [REQUEST_MONTH] = "month",       [REQUEST_MORE] = "more",
};

static const char *const slot_names[SLOT_COUNT_ALL] = {
    [SLOT_TAG] = "tag",         [SLOT_WEIGHT] = "weight",
    [SLOT_TIME] = "time",       [SLOT_DAY] = "day",
    [SLOT_WATER] = "water",     [SLOT_COUNT] = "count",
    [SLOT_OF] = "of",           [SLOT_SAME] = "same",
    [SLOT_TOPIC] = "topic",     [SLOT_LANGUAGE] = "language",
    [SLOT_ALSO] = "also",       [SLOT_MALE] = "male",
    [SLOT_TANK] = "tank",       [SLOT_POND] = "pond",
    [SLOT_SAMPLE] = "sample",   [SLOT_VOLUME] = "volume",
    [SLOT_AREA] = "area",       [SLOT_DEPTH] = "depth",
    [SLOT_PER_KG] = "per-kg",   [SLOT_AGE] = "age",
    [SLOT_DATE] = "date",       [SLOT_PH] = "ph",
    [SLOT_PHONE] = "phone",     [SLOT_NAME] = "name",
    [SLOT_CHOICE] = "choice",   [SLOT_CONFIRM] = "confirm",
    [SLOT_FEED] = "feed",       [SLOT_LENGTH] = "length",
    [SLOT_OXYGEN] = "oxygen",   [SLOT_AMMONIA] = "ammonia",
    [SLOT_NITRITE] = "nitrite", [SLOT_SECCHI] = "secchi",
    [SLOT_LIST] = "list",       [SLOT_PARTS] = "parts",
    [SLOT_HEIGHT] = "height",   [SLOT_MONEY] = "money",
    [SLOT_MONTHS] = "months",
};

static const char *const choice_names[CHOICE_COUNT] = {
    [CHOICE_FRAMES] = "frames",
    [CHOICE_PLANTS] = "plants",
    [CHOICE_NET] = "net",
    [CHOICE_RIVER] = "river",
    [CHOICE_WELL] = "well",
    [CHOICE_TAP] = "tap",
    [CHOICE_RAIN] = "rain",
    [CHOICE_LAKE] = "lake",
    [CHOICE_DRY] = "dry",
    [CHOICE_LIME] = "lime",
    [CHOICE_MANURE] = "manure",
    [CHOICE_FILL] = "fill",
    [CHOICE_CLAY] = "clay",
    [CHOICE_LOAM] = "loam",
    [CHOICE_SAND] = "sand",
    [CHOICE_CARBONATE] = "carbonate",
    [CHOICE_HYDRATED] = "hydrated",
    [CHOICE_QUICK] = "quick",
    [CHOICE_FENCED] = "fenced",
    [CHOICE_OPEN] = "open",
    [CHOICE_GLAND] = "gland",
    [CHOICE_DRIED] = "dried",
    [CHOICE_HCG] = "hcg",
    [CHOICE_MIX] = "mix",
    [CHOICE_ALL] = "all",
    [CHOICE_NEW] = "new",
    [CHOICE_TIN] = "tin",
    [CHOICE_CUP] = "cup",
    [CHOICE_SCOOP] = "scoop",
    [CHOICE_BOWL] = "bowl",
    [CHOICE_BUCKET] = "bucket",
    [CHOICE_BAG] = "bag",
    [CHOICE_AERATED] = "aerated",
    [CHOICE_STILL] = "still",
    [CHOICE_BIG] = "big",
    [CHOICE_BOOK] = "book",
    [CHOICE_FEMALE] = "female",
    [CHOICE_MALE] = "male",
    [CHOICE_FINGERLINGS] = "fingerlings",
    [CHOICE_FRY] = "fry",
    [CHOICE_FISH] = "fish",
    [CHOICE_EACH] = "each",
    [CHOICE_KILO] = "kilo",
    [CHOICE_PAID] = "paid",
    [CHOICE_OWES] = "owes",
    [CHOICE_OFF] = "off",
    [CHOICE_MONTHLY] = "monthly",
};

const char *request_choice_name(enum choice choice) {
    return (unsigned)choice < CHOICE_COUNT ? choice_names[choice] : "";
}

bool request_chose(const struct request *r, enum choice choice) {
    return request_has(r, SLOT_CHOICE) && (r->choices & CHOICE_BIT(choice)) != 0;
}

bool request_has(const struct request *r, enum request_slot slot) {
    return (r->has & SLOT_BIT(slot)) != 0;
}

const char *request_kind_name(enum request_kind kind) {
    return (unsigned)kind < REQUEST_KIND_COUNT ? kind_names[kind] : "";
}

enum request_kind request_kind_of(const char *name) {
    for (int k = REQUEST_NONE + 1; k < REQUEST_KIND_COUNT; k++) {
        if (name != NULL && strcmp(name, kind_names[k]) == 0) {
            return (enum request_kind)k;
        }
    }
    return REQUEST_NONE;
}

const char *request_slot_name(enum request_slot slot) {
    return (unsigned)slot < SLOT_COUNT_ALL ? slot_names[slot] : "";
}

int request_slot_of(const char *name) {
    for (int s = 0; s < SLOT_COUNT_ALL; s++) {
        if (name != NULL && strcmp(name, slot_names[s]) == 0) {
            return s;
        }
    }
    return -1;
}
