/* A request as a line and back: every slot, exactly; lines of other builds are refused. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "text/request.h"

static uint64_t seed = 20260302;

/* splitmix64 (Steele, Lea & Flood 2014). */
static uint64_t next_random(void) {
    uint64_t z = seed += 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

static int64_t between(int64_t least, int64_t most) {
    return least + (int64_t)(next_random() % (uint64_t)(most - least + 1));
}

static void names_are_both_ways(void **state) {
    (void)state;
    for (int k = REQUEST_NONE + 1; k < REQUEST_KIND_COUNT; k++) {
        const char *name = request_kind_name((enum request_kind)k);
        if (name[0] == '\0' || request_kind_of(name) != (enum request_kind)k)
            fail_msg("kind %d is \"%s\", read back as %d", k, name, (int)request_kind_of(name));
    }
    for (int s = 0; s < SLOT_COUNT_ALL; s++) {
        const char *name = request_slot_name((enum request_slot)s);
        if (name[0] == '\0' || request_slot_of(name) != s)
            fail_msg("slot %d is \"%s\", read back as %d", s, name, request_slot_of(name));
    }
    assert_string_equal(request_kind_name(REQUEST_NONE), "");
    assert_string_equal(request_kind_name(REQUEST_KIND_COUNT), "");
    assert_int_equal(request_kind_of("spawning"), REQUEST_NONE);
    assert_int_equal(request_kind_of(""), REQUEST_NONE);
    assert_int_equal(request_slot_of("colour"), -1);
    for (int c = 0; c < CHOICE_COUNT; c++)
        for (int other = 0; other <= c; other++)
            if ((strcmp(request_choice_name((enum choice)c),
                        request_choice_name((enum choice)other)) == 0) != (c == other))
                fail_msg("choices %d and %d are both \"%s\"", c, other,
                         request_choice_name((enum choice)c));
    assert_string_equal(request_choice_name(CHOICE_COUNT), "");
}

static bool same_tag(struct tag a, struct tag b) {
    return a.letter == b.letter && a.number == b.number;
}

static bool same_also(const struct request *a, const struct request *b) {
    bool same = a->also_count == b->also_count;
    for (int i = 0; same && i < a->also_count; i++)
        same = same_tag(a->also[i], b->also[i]);
    return same;
}

static bool same_parts(const struct request *a, const struct request *b) {
    bool same = a->part_count == b->part_count;
    for (int i = 0; same && i < a->part_count; i++)
        same = strcmp(a->parts[i].feed, b->parts[i].feed) == 0 &&
               a->parts[i].weight_mg == b->parts[i].weight_mg &&
               a->parts[i].share_ppm == b->parts[i].share_ppm;
    return same;
}

static bool same_list(const struct request *a, const struct request *b) {
    bool same = a->list_count == b->list_count;
    for (int i = 0; same && i < a->list_count; i++)
        same = a->list_milli[i] == b->list_milli[i];
    return same;
}

static bool same_money(const struct request *a, const struct request *b) {
    return (!request_has(a, SLOT_MONEY) ||
            (a->money_milli == b->money_milli && strcmp(a->currency, b->currency) == 0)) &&
           (!request_has(a, SLOT_MONTHS) ||
            (a->month_first == b->month_first && a->month_last == b->month_last &&
             a->month_first_year == b->month_first_year &&
             a->month_last_year == b->month_last_year));
}

/* The slots of growing ponds and their feed. */
static bool same_growing(const struct request *a, const struct request *b) {
    return (!request_has(a, SLOT_FEED) || strcmp(a->feed, b->feed) == 0) &&
           (!request_has(a, SLOT_LENGTH) || a->length_um == b->length_um) &&
           (!request_has(a, SLOT_OXYGEN) || a->oxygen_ug_l == b->oxygen_ug_l) &&
           (!request_has(a, SLOT_AMMONIA) || a->ammonia_ug_l == b->ammonia_ug_l) &&
           (!request_has(a, SLOT_NITRITE) || a->nitrite_ug_l == b->nitrite_ug_l) &&
           (!request_has(a, SLOT_SECCHI) || a->secchi_mm == b->secchi_mm) &&
           (!request_has(a, SLOT_HEIGHT) || a->height_m == b->height_m) && same_money(a, b) &&
           (!request_has(a, SLOT_LIST) || same_list(a, b)) &&
           (!request_has(a, SLOT_PARTS) || same_parts(a, b));
}

/* The slots of ponds, tanks, measures, people and words. */
static bool same_more(const struct request *a, const struct request *b) {
    bool date = a->date_day == b->date_day && a->date_month == b->date_month &&
                a->date_year == b->date_year;
    return (!request_has(a, SLOT_ALSO) || same_also(a, b)) &&
           (!request_has(a, SLOT_MALE) || same_tag(a->male, b->male)) &&
           (!request_has(a, SLOT_TANK) || same_tag(a->tank, b->tank)) &&
           (!request_has(a, SLOT_POND) || same_tag(a->pond, b->pond)) &&
           (!request_has(a, SLOT_SAMPLE) || a->sample_mg == b->sample_mg) &&
           (!request_has(a, SLOT_VOLUME) || a->volume_ml == b->volume_ml) &&
           (!request_has(a, SLOT_AREA) || a->area_cm2 == b->area_cm2) &&
           (!request_has(a, SLOT_DEPTH) || a->depth_mm == b->depth_mm) &&
           (!request_has(a, SLOT_PER_KG) || a->per_kg_ul == b->per_kg_ul) &&
           (!request_has(a, SLOT_AGE) || a->age_days == b->age_days) &&
           (!request_has(a, SLOT_DATE) || date) &&
           (!request_has(a, SLOT_PH) || a->ph_milli == b->ph_milli) &&
           (!request_has(a, SLOT_PHONE) || strcmp(a->phone, b->phone) == 0) &&
           (!request_has(a, SLOT_NAME) || strcmp(a->name, b->name) == 0) &&
           (!request_has(a, SLOT_CHOICE) || a->choices == b->choices) && same_growing(a, b);
}

/* All fields of the slots that `has` names, by value, so that padding does not count. */
static bool same(const struct request *a, const struct request *b) {
    bool clock = a->now == b->now && (a->now || (a->hour == b->hour && a->minute == b->minute));
    return a->kind == b->kind && a->has == b->has &&
           (!request_has(a, SLOT_TAG) ||
            (a->tag.letter == b->tag.letter && a->tag.number == b->tag.number)) &&
           (!request_has(a, SLOT_WEIGHT) || a->weight_mg == b->weight_mg) &&
           (!request_has(a, SLOT_TIME) || clock) &&
           (!request_has(a, SLOT_DAY) || a->day == b->day) &&
           (!request_has(a, SLOT_WATER) || a->water_mdegc == b->water_mdegc) &&
           (!request_has(a, SLOT_COUNT) ||
            (a->count == b->count && a->count_milli == b->count_milli)) &&
           (!request_has(a, SLOT_OF) || a->of == b->of) &&
           (!request_has(a, SLOT_TOPIC) || a->topic == b->topic) &&
           (!request_has(a, SLOT_LANGUAGE) || a->language == b->language) &&
           (!request_has(a, SLOT_CONFIRM) || a->confirms == b->confirms) && same_more(a, b);
}

static struct tag any_tag(void) {
    return (struct tag){"fmbp"[between(0, 3)], (int)between(1, TAG_NUMBER_MAX)};
}

/* Bytes that a folded text can hold and that a line must not trip over: spaces, the signs of the
 * line itself, letters past ASCII. */
static void any_name(char *out) {
    static const char *const bits[] = {" ",      "%", "=", "a", "lake", "%20",    "\u00df",
                                       "\u0441", "9", "-", ",", "%3d",  "\u1e9e", ":"};
    size_t n = 0, want = (size_t)between(1, REQUEST_NAME_MAX);
    while (n < want) {
        const char *bit = bits[between(0, (int64_t)(sizeof bits / sizeof *bits) - 1)];
        if (n + strlen(bit) > REQUEST_NAME_MAX)
            break;
        memcpy(out + n, bit, strlen(bit));
        n += strlen(bit);
    }
    out[n] = '\0';
}

static void any_phone(char *out) {
    size_t n = 0, want = (size_t)between(1, REQUEST_PHONE_MAX - 2);
    if (between(0, 1))
        out[n++] = '+';
    while (want-- > 0)
        out[n++] = (char)('0' + between(0, 9));
    out[n] = '\0';
}

/* A name of feed: also what separates the parts of a line. */
static void any_feed(char *out) {
    static const char *const bits[] = {" ", "%", "=", "bran", ",", ":", "%2c", "\u0199", "-", "m"};
    size_t n = 0, want = (size_t)between(1, REQUEST_FEED_MAX);
    while (n < want) {
        const char *bit = bits[between(0, (int64_t)(sizeof bits / sizeof *bits) - 1)];
        if (n + strlen(bit) > REQUEST_FEED_MAX)
            break;
        memcpy(out + n, bit, strlen(bit));
        n += strlen(bit);
    }
    out[n] = '\0';
}

static void any_money(struct request *r) {
    bool named = between(0, 1);
    r->money_milli = between(named ? -1 : 0, between(0, 1) ? MONEY_MILLI_MAX : 5000);
    for (int i = 0; named && i < 3; i++)
        r->currency[i] = (char)('A' + between(0, 25));
    r->month_first = (int)between(1, 12);
    r->month_last = (int)between(1, 12);
    r->month_first_year = between(0, 1) ? 0 : (int)between(2020, 2060);
    r->month_last_year = between(0, 1) ? 0 : (int)between(2020, 2060);
}

static void any_growing(struct request *r) {
    any_money(r);
    any_feed(r->feed);
    r->length_um = between(0, 2000000);
    r->oxygen_ug_l = between(0, 20000);
    r->ammonia_ug_l = between(0, 1000000);
    r->nitrite_ug_l = between(0, 1000000);
    r->secchi_mm = between(0, 4000);
    r->height_m = between(0, 1000000000);
    r->list_count = (int)between(1, LIST_MAX);
    for (int i = 0; i < r->list_count; i++)
        r->list_milli[i] = between(0, between(0, 1) ? 1000000000000000 : 500000);
    r->part_count = (int)between(1, PARTS_MAX);
    for (int i = 0; i < r->part_count; i++) {
        struct request_part *part = &r->parts[i];
        bool named = between(0, 1);
        *part = (struct request_part){.weight_mg = between(-1, 1) * 20000000,
                                      .share_ppm = between(named ? -1 : 0, 1000000)};
        part->weight_mg = part->weight_mg < 0 ? -1 : part->weight_mg;
        if (named)
            any_feed(part->feed);
    }
}

static void any_more(struct request *r) {
    r->also_count = (int)between(1, ALSO_MAX);
    for (int i = 0; i < r->also_count; i++)
        r->also[i] = any_tag();
    r->male = any_tag();
    r->tank = any_tag();
    r->pond = any_tag();
    r->sample_mg = between(0, 1000000);
    r->volume_ml = between(0, between(0, 1) ? 1000000000000000 : 5000000);
    r->area_cm2 = between(0, between(0, 1) ? 1000000000000000000 : 5000000);
    r->depth_mm = between(0, 1000000000);
    r->per_kg_ul = between(0, 1000000000);
    r->age_days = (int)between(0, 1000000000);
    r->date_day = (int)between(1, 31);
    r->date_month = (int)between(1, 12);
    r->date_year = between(0, 1) ? 0 : (int)between(2000, 2100);
    r->ph_milli = between(0, 14000);
    any_phone(r->phone);
    any_name(r->name);
    r->choices = (uint64_t)between(1, (INT64_C(1) << CHOICE_COUNT) - 1);
    any_growing(r);
}

static struct request any_request(void) {
    struct request r = {.kind = (enum request_kind)between(0, REQUEST_KIND_COUNT - 1),
                        .has = (uint64_t)between(0, (INT64_C(1) << SLOT_COUNT_ALL) - 1)};
    r.tag = any_tag();
    r.weight_mg = between(0, between(0, 1) ? 1000000000000000 : 5000000);
    r.now = between(0, 3) == 0;
    r.hour = r.now ? 0 : (int)between(0, 23);
    r.minute = r.now ? 0 : (int)between(0, 59);
    r.day = (int)between(-1, 1);
    r.water_mdegc = between(-1000000000000, 1000000000000);
    r.count_milli = between(0, 1) ? between(0, 999999999) * 1000 : between(-100000, 100000);
    r.count = r.count_milli >= 0 && r.count_milli % 1000 == 0 ? r.count_milli / 1000 : -1;
    r.of = between(0, 1000000000);
    r.topic = (enum request_kind)between(1, REQUEST_KIND_COUNT - 1);
    r.language = (int)between(0, 15);
    r.confirms = (int)between(0, 1 << 30);
    any_more(&r);
    return r;
}

static void any_request_comes_back(void **state) {
    (void)state;
    for (int i = 0; i < 20000; i++) {
        struct request given = any_request(), got;
        struct buf line = buf_make(4000), again = buf_make(4000);
        request_write(&given, &line);
        enum err e = request_read(buf_slice(&line), &got);
        if (e != ERR_OK || !same(&given, &got))
            fail_msg("\"%s\" came back %s", buf_str(&line),
                     e != ERR_OK ? err_info(e)->name : "different");
        request_write(&got, &again);
        assert_string_equal(buf_str(&line), buf_str(&again));
        buf_free(&line);
        buf_free(&again);
    }
}

static void the_line_is_plain(void **state) {
    (void)state;
    struct request r = {.kind = REQUEST_INJECT,
                        .has = SLOT_BIT(SLOT_TAG) | SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_TIME),
                        .tag = {'f', 3},
                        .weight_mg = 1200000,
                        .hour = 18,
                        .minute = 30};
    struct buf line = buf_make(200);
    request_write(&r, &line);
    assert_string_equal(buf_str(&line), "inject tag=f3 weight_mg=1200000 time=18:30");
    buf_free(&line);
    struct request farm = {
        .kind = REQUEST_FARM, .has = SLOT_BIT(SLOT_NAME), .name = "lake = 5% \u00e9"};
    line = buf_make(200);
    request_write(&farm, &line);
    assert_string_equal(buf_str(&line), "farm name=lake%20%3d%205%25%20\u00e9");
    buf_free(&line);
    struct request prep = {.kind = REQUEST_PREP,
                           .has = SLOT_BIT(SLOT_POND) | SLOT_BIT(SLOT_CHOICE) | SLOT_BIT(SLOT_DATE),
                           .pond = {'p', 4},
                           .date_day = 14,
                           .date_month = 3,
                           .choices = CHOICE_BIT(CHOICE_QUICK) | CHOICE_BIT(CHOICE_LIME)};
    line = buf_make(200);
    request_write(&prep, &line);
    assert_string_equal(buf_str(&line), "prep pond=p4 date=0-3-14 choices=lime,quick");
    buf_free(&line);
}

/* Slots and choices past the first 32. */
static void high_slots_have_a_line(void **state) {
    (void)state;
    struct request blend = {
        .kind = REQUEST_BLEND,
        .has = SLOT_BIT(SLOT_PARTS) | SLOT_BIT(SLOT_HEIGHT),
        .part_count = 3,
        .parts = {{.weight_mg = -1, .share_ppm = 350000},
                  {.feed = "fish meal", .weight_mg = 5000000, .share_ppm = 600000},
                  {.feed = "bran", .weight_mg = -1, .share_ppm = -1}},
        .height_m = 1200};
    struct request sample = {.kind = REQUEST_SAMPLE,
                             .has = SLOT_BIT(SLOT_LIST) | SLOT_BIT(SLOT_CHOICE),
                             .choices = CHOICE_BIT(CHOICE_BOOK) | CHOICE_BIT(CHOICE_FRAMES),
                             .list_count = 3,
                             .list_milli = {12000, 15500, 0}};
    struct buf line = buf_make(200);
    request_write(&blend, &line);
    assert_string_equal(buf_str(&line), "blend parts=::350000,fish%20meal:5000000:600000,bran:: "
                                        "height_m=1200");
    buf_clear(&line);
    request_write(&sample, &line);
    assert_string_equal(buf_str(&line), "sample choices=frames,book list_milli=12000,15500,0");
    struct request sold = {.kind = REQUEST_SOLD,
                           .has = SLOT_BIT(SLOT_MONEY) | SLOT_BIT(SLOT_CHOICE),
                           .choices = CHOICE_BIT(CHOICE_EACH) | CHOICE_BIT(CHOICE_OWES),
                           .money_milli = 150500,
                           .currency = "UGX"};
    struct request season = {.kind = REQUEST_SEASON,
                             .has = SLOT_BIT(SLOT_MONTHS) | SLOT_BIT(SLOT_MONEY),
                             .money_milli = 0,
                             .month_first = 11,
                             .month_last = 2,
                             .month_last_year = 2027};
    buf_clear(&line);
    request_write(&sold, &line);
    assert_string_equal(buf_str(&line), "sold choices=each,owes money_milli=150500,UGX");
    buf_clear(&line);
    request_write(&season, &line);
    assert_string_equal(buf_str(&line), "season money_milli=0 months=0-11-2027-2");
    buf_free(&line);
    assert_true(request_has(&blend, SLOT_HEIGHT) && !request_has(&blend, SLOT_TIME));
    assert_true(request_chose(&sample, CHOICE_BOOK) && !request_chose(&sample, CHOICE_RIVER));
}

static void lines_that_are_none(void **state) {
    (void)state;
    static const struct {
        const char *line;
        enum err want;
    } table[] = {
        {"", ERR_SYNTAX},
        {" inject", ERR_SYNTAX},
        {"inject ", ERR_SYNTAX},
        {"spawn tag=f3", ERR_SYNTAX},
        {"Inject tag=f3", ERR_SYNTAX},
        {"inject colour=red", ERR_SYNTAX},
        {"inject weight_g=1200", ERR_SYNTAX}, /* another unit is another key */
        {"inject tag=f3 tag=f3", ERR_SYNTAX},
        {"inject tag", ERR_SYNTAX},
        {"inject tag=", ERR_SYNTAX},
        {"inject tag=3", ERR_SYNTAX},
        {"inject tag=x3", ERR_SYNTAX},
        {"inject tag=f", ERR_SYNTAX},
        {"inject tag=f0", ERR_RANGE},
        {"inject tag=f10000", ERR_RANGE},
        {"inject tag=f3  time=now", ERR_SYNTAX},
        {"inject weight_mg=-1", ERR_RANGE},
        {"inject weight_mg=1.5", ERR_SYNTAX},
        {"inject weight_mg=99999999999999999999", ERR_RANGE},
        {"inject time=1830", ERR_SYNTAX},
        {"inject time=24:00", ERR_RANGE},
        {"inject time=18:60", ERR_RANGE},
        {"inject time=18:", ERR_SYNTAX},
        {"inject day=2", ERR_RANGE},
        {"temp same=no", ERR_SYNTAX},
        {"help topic=spawn", ERR_SYNTAX},
        {"help topic=", ERR_SYNTAX},
        {"language language=-1", ERR_RANGE},
        {"white of=-1", ERR_RANGE},
        {"inject confirm=-1", ERR_RANGE},
        {"inject tag=f3\n", ERR_SYNTAX},
        {"strip also=", ERR_SYNTAX},
        {"strip also=f4,", ERR_SYNTAX},
        {"strip also=f4,f5,f6,f7", ERR_RANGE},
        {"strip male=m0", ERR_RANGE},
        {"temp tank=b", ERR_SYNTAX},
        {"stock pond=p10000", ERR_RANGE},
        {"harvest sample_g=110", ERR_SYNTAX},
        {"tank volume_ml=-1", ERR_RANGE},
        {"pond area_cm2=4 ares", ERR_SYNTAX},
        {"pond depth_mm=0.8", ERR_SYNTAX},
        {"dose per_kg_ul=-500", ERR_RANGE},
        {"brood age_days=1000000001", ERR_RANGE},
        {"prep date=2027-3", ERR_SYNTAX},
        {"prep date=2027-13-1", ERR_RANGE},
        {"prep date=2027-3-32", ERR_RANGE},
        {"prep date=march", ERR_SYNTAX},
        {"prep ph_milli=-1", ERR_RANGE},
        {"worker phone=", ERR_RANGE},
        {"worker phone=07700+900123", ERR_SYNTAX},
        {"worker phone=07700a", ERR_SYNTAX},
        {"worker phone=01234567890123456789", ERR_RANGE},
        {"farm name=", ERR_SYNTAX},
        {"farm name=a%2", ERR_SYNTAX},
        {"farm name=a%zz", ERR_SYNTAX},
        {"farm name=a%41", ERR_SYNTAX}, /* only what must be is written so: one line per name */
        {"farm name=a=b", ERR_SYNTAX},
        {"farm name=a%", ERR_SYNTAX},
        {"farm name=aaaaaaaaaabbbbbbbbbbccccccccccddddddddddE", ERR_RANGE},
        {"prep choices=", ERR_SYNTAX},
        {"prep choices=lime,", ERR_SYNTAX},
        {"prep choices=lime,lime", ERR_SYNTAX},
        {"prep choices=quick,lime", ERR_SYNTAX}, /* in the order of the list */
        {"prep choices=slime", ERR_SYNTAX},
        {"gave feed=", ERR_SYNTAX},
        {"gave feed=fish:meal", ERR_SYNTAX},
        {"gave feed=abcdefghijklmnopqrstu", ERR_RANGE},
        {"sample list_milli=", ERR_SYNTAX},
        {"sample list_milli=12000,", ERR_SYNTAX},
        {"sample list_milli=12000,-1", ERR_RANGE},
        {"sample length_mm=320", ERR_SYNTAX},
        {"table parts=", ERR_SYNTAX},
        {"table parts=::", ERR_SYNTAX},
        {"table parts=:10000", ERR_SYNTAX},
        {"table parts=:10000:50000,", ERR_SYNTAX},
        {"table parts=:10000:1000001", ERR_RANGE},
        {"table parts=:-1:50000", ERR_RANGE},
        {"table parts=:1:1,:1:1,:1:1,:1:1,:1:1,:1:1,:1:1,:1:1,:1:1", ERR_RANGE},
        {"blend parts=fish%20meal:5:x", ERR_SYNTAX},
        {"water oxygen_ug_l=-1", ERR_RANGE},
        {"water ammonia_mg_l=1", ERR_SYNTAX},
        {"height height_m=1.5", ERR_SYNTAX},
        {"cost money_milli=", ERR_SYNTAX},
        {"cost money_milli=5,ugx", ERR_SYNTAX},
        {"cost money_milli=5,UG", ERR_SYNTAX},
        {"cost money_milli=5,", ERR_SYNTAX},
        {"cost money_milli=5,UGXX", ERR_SYNTAX},
        {"cost money_milli=-1", ERR_RANGE}, /* nothing was said then */
        {"cost money_milli=-2,UGX", ERR_RANGE},
        {"cost money_milli=1000000000000001", ERR_RANGE},
        {"cost money=5", ERR_SYNTAX},
        {"season months=5-9", ERR_SYNTAX},
        {"season months=0-5-0-9-0", ERR_SYNTAX},
        {"season months=0-0-0-9", ERR_RANGE},
        {"season months=0-5-0-13", ERR_RANGE},
        {"season months=0-may-0-9", ERR_SYNTAX},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct request r = {.kind = REQUEST_WHY};
        enum err got = request_read(slice_of(table[i].line), &r);
        if (got != table[i].want)
            fail_msg("\"%s\": got %s, wanted %s", table[i].line, err_info(got)->name,
                     err_info(table[i].want)->name);
        assert_int_equal(r.kind, REQUEST_WHY); /* untouched */
    }
}

static void bare_values_have_a_line(void **state) {
    (void)state;
    struct request r;
    assert_int_equal(request_read(SLICE("- count_milli=24500"), &r), ERR_OK);
    assert_int_equal(r.kind, REQUEST_NONE);
    assert_int_equal(r.count, -1);
    assert_int_equal(r.count_milli, 24500);
    assert_int_equal(request_read(SLICE("-"), &r), ERR_OK);
    assert_int_equal(r.has, 0);
    assert_int_equal(request_read(SLICE("white count_milli=30000"), &r), ERR_OK);
    assert_int_equal(r.count, 30);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_both_ways),     cmocka_unit_test(any_request_comes_back),
        cmocka_unit_test(the_line_is_plain),       cmocka_unit_test(lines_that_are_none),
        cmocka_unit_test(bare_values_have_a_line), cmocka_unit_test(high_slots_have_a_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
