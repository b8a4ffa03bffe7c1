/* Message text -> request, with the real grammar: one table of texts as people write them, what
 * must not be read silently, and bad input. */
#include "text_rows.h"

static void every_kind(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "inject f3 1.2kg 18:30 t24",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('e', "inject", "inject"),
        READ('e', "injected her f3 yesterday 18h30 weight 900 gr",
             "inject tag=f3 weight_mg=900000 time=18:30 day=-1"),
        READ('e', "plan f3 6am t28", "plan tag=f3 time=06:00 water_mdegc=28000"),
        READ('e', "plan f3 tomorrow 0630", "plan tag=f3 time=06:30 day=1"),
        READ('e', "temp 22", "temp water_mdegc=22000"),
        READ('e', "temp f3 22", "temp tag=f3 water_mdegc=22000"),
        READ('e', "temp p2 26", "temp water_mdegc=26000 pond=p2"),
        READ('e', "temp f3 same", "temp tag=f3 same=yes"),
        READ('e', "temp -5", "temp water_mdegc=-5000"), /* the turn refuses it by its number */
        READ('e', "wait f3", "wait tag=f3"),
        READ('e', "not yet f3", "wait tag=f3"),
        READ('e', "no eggs f3", "no-eggs tag=f3"),
        READ('e', "no eggs yet f3", "wait tag=f3"),
        READ('e', "ok", "ok"),
        READ('e', "strip f3 150g", "strip tag=f3 weight_mg=150000"),
        READ('e', "strip f3 150g 07:20", "strip tag=f3 weight_mg=150000 time=07:20"),
        READ('e', "strip f3 150", "strip tag=f3 count_milli=150000"),
        READ('e', "strip f3 150.5", "strip tag=f3 count_milli=150500"),
        READ('e', "white 30", "white count_milli=30000"),
        READ('e', "white f3 30 of 100", "white tag=f3 count_milli=30000 of=100"),
        READ('e', "white f3 30/100", "white tag=f3 count_milli=30000 of=100"),
        READ('e', "white f3 30 out of 100", "white tag=f3 count_milli=30000 of=100"),
        READ('e', "frames f3 18:30", "frames tag=f3 time=18:30"),
        READ('e', "frames out f3 now", "frames tag=f3 time=now"),
        READ('e', "undo", "undo"),
        READ('e', "why", "why"),
        READ('e', "why f3", "why tag=f3"),
        READ('e', "today", "today"),
        READ('e', "help", "help"),
        READ('e', "help strip", "help topic=strip"),
        READ('e', "help no eggs", "help topic=no-eggs"),
        READ('e', "help today", "help topic=today"),
        READ('e', "stop", "stop"),
        READ('e', "start", "start"),
        READ('e', "yes", "yes"),
        READ('e', "yes please", "yes"),
        READ('e', "no", "no"),
        READ('s', "sindano f3 kilo 1.2 saa 12:30 jioni t24",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('s', "kamua f3 gramu 150", "strip tag=f3 weight_mg=150000"),
        READ('s', "nimekamua mayai f3 150g saa 1 asubuhi",
             "strip tag=f3 weight_mg=150000 time=07:00"),
        READ('s', "hana mayai f3", "no-eggs tag=f3"),
        READ('s', "bado f3", "wait tag=f3"),
        READ('s', "joto la maji 24", "temp water_mdegc=24000"),
        READ('s', "mayai meupe f3 30 kati ya 100", "white tag=f3 count_milli=30000 of=100"),
        READ('s', "leo", "today"),
        READ('s', "msaada kamua", "help topic=strip"),
        READ('s', "ghairi", "undo"),
        READ('s', "ndiyo", "yes"),
        READ('s', "hapana", "no"),
    };
    CHECK_ROWS(rows);
}

static void languages_are_mixed(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('s', "strip f3 150g yesterday 18:30",
             "strip tag=f3 weight_mg=150000 time=18:30 day=-1"),
        READ('e', "kamua f3 150g jana saa 2 usiku",
             "strip tag=f3 weight_mg=150000 time=20:00 day=-1"),
        READ('e', "strip f3 150g saa 2 asubuhi", "strip tag=f3 weight_mg=150000 time=08:00"),
        READ('s', "strip f3 150g saa 7pm", "strip tag=f3 weight_mg=150000 time=19:00"),
    };
    CHECK_ROWS(rows);
    assert_int_equal(read_text('s', "strip f3 150g").result.language, grammar.en);
    assert_int_equal(read_text('e', "kamua f3 150g").result.language, grammar.sw);
    assert_int_equal(read_text('s', "ok").result.language, grammar.sw); /* both write it */
    assert_int_equal(read_text('e', "ok").result.language, grammar.en);
    assert_int_equal(read_text('s', "24").result.language, grammar.sw);
    struct read_text r = read_text('e', "language kiswahili");
    assert_int_equal(r.result.reading, TEXT_REQUEST);
    assert_int_equal(r.result.request.language, grammar.sw);
    r = read_text('e', "language sw");
    assert_int_equal(r.result.reading, TEXT_REQUEST);
    assert_int_equal(r.result.request.language, grammar.sw);
}

static void forms_of_values(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "inject f3 1,2 KG 6.30pm 24C",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('e', "inject f3 kilo 1.2 1830 t 24.5",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24500"),
        READ('e', "inject f3 kg1.2 6am 24\u00b0",
             "inject tag=f3 weight_mg=1200000 time=06:00 water_mdegc=24000"),
        READ('e', "inject f3 1.2 kilos 24 \u00b0C now",
             "inject tag=f3 weight_mg=1200000 time=now water_mdegc=24000"),
        READ('e', "inject f3 1.2kg 18 h 30 temp 24",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('e', "inject f3 1.2kg at 18.30 temp is 24c",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('e', "inject f3 1.2kg 6:30 in the evening t=24",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('e', "inject f3 1.234567kg", "inject tag=f3 weight_mg=1234567"),
        READ('e', "temp28,5", "temp water_mdegc=28500"),
        READ('e', "strip f03 150g 06h30", "strip tag=f3 weight_mg=150000 time=06:30"),
        READ('e', "strip f3 150g 18h", "strip tag=f3 weight_mg=150000 time=18:00"),
        READ('e', "strip f3 150g 1830 hrs", "strip tag=f3 weight_mg=150000 time=18:30"),
        READ('e', "strip f3 150g 12am", "strip tag=f3 weight_mg=150000 time=00:00"),
        READ('e', "strip f3 150g 12 pm", "strip tag=f3 weight_mg=150000 time=12:00"),
        READ('e', "strip f3 150g 0:05", "strip tag=f3 weight_mg=150000 time=00:05"),
        READ('e', "strip f9999 0.5g", "strip tag=f9999 weight_mg=500"),
        READ('e', "white f3 1,500 of 2,000", "white tag=f3 count_milli=1500000 of=2000"),
        READ('e', "temp f3 1830", "temp tag=f3 time=18:30"), /* no water is that warm */
        READ('e', "temp 22 1830", "temp time=18:30 water_mdegc=22000"),
        READ('e', "temp 1830 22", "temp time=18:30 water_mdegc=22000"),
        READ('e', "strip f3 1830 150g", "strip tag=f3 weight_mg=150000 time=18:30"),
        READ('e', "white 1830 f3 30", "white tag=f3 time=18:30 count_milli=30000"),
        READ('e', "inject f3 1.2kg 18:30 24",
             "inject tag=f3 weight_mg=1200000 time=18:30 count_milli=24000"),
        READ('e', "strip f3 150g 150 g", "strip tag=f3 weight_mg=150000"), /* twice the same */
        READ('e', "f3 strip 150g", "strip tag=f3 weight_mg=150000"),
        READ('e', "good morning sir, temp 24", "temp water_mdegc=24000"),
        READ('e', "strip f3 150g please thanks", "strip tag=f3 weight_mg=150000"),
        READ('e', "inject f3 at 1.2kg", "inject tag=f3 weight_mg=1200000"),
    };
    CHECK_ROWS(rows);
}

static void numbers_that_could_be_two(void **state) {
    (void)state;
    /* 1,500 with no context must be asked; with a unit, what is plausible may settle it. */
    static const struct row rows[] = {
        ASKS('e', "1,500", NUMBER, "1,500", "-"),
        ASKS('e', "1.500", NUMBER, "1.500", "-"),
        ASKS('e', "1,500g", NUMBER, "1,500g", "-"),
        ASKS('e', "strip f3 1,500g", NUMBER, "1,500g", "strip tag=f3"),
        ASKS('e', "strip f3 1,500", NUMBER, "1,500", "strip tag=f3"),
        ASKS('e', "inject f4 1,500 t24", NUMBER, "1,500", "inject tag=f4 water_mdegc=24000"),
        ASKS('e', "temp 1,500", NUMBER, "1,500", "temp"),
        READ('e', "inject f3 1,500g", "inject tag=f3 weight_mg=1500000"),
        READ('e', "inject f3 1.500 kg", "inject tag=f3 weight_mg=1500000"),
        READ('e', "strip f3 150,500g", "strip tag=f3 weight_mg=150500"),
        READ('e', "strip f3 0,150kg", "strip tag=f3 weight_mg=150000"),
        READ('e', "temp 24,500", "temp water_mdegc=24500"),
        READ('e', "inject f3 1,234.5g", "inject tag=f3 weight_mg=1234500"),
        READ('e', "inject f3 1.234,5g", "inject tag=f3 weight_mg=1234500"),
        BARE('e', "1,50", "- count_milli=1500"),
        BARE('e', "24.5", "- count_milli=24500"),
        BARE('e', "24,5", "- count_milli=24500"),
        BARE('e', "0,500", "- count_milli=500"),
        BARE('e', "1,234,567", "- count_milli=1234567000"),
        BARE('e', "\u0663\u066b\u0665", "- count_milli=3500"), /* Arabic-Indic 3.5, U+066B */
        UNKNOWN('e', "1.2.3", "1.2.3"),
    };
    CHECK_ROWS(rows);
}

static void bare_answers(void **state) {
    (void)state;
    static const struct row rows[] = {
        BARE('e', "24", "- count_milli=24000"),
        BARE('e', "f3", "- tag=f3"),
        BARE('e', "1.2kg", "- weight_mg=1200000"),
        BARE('e', "f3 1.2kg", "- tag=f3 weight_mg=1200000"),
        BARE('e', "18:30", "- time=18:30"),
        BARE('e', "1830", "- count_milli=1830000"),
        BARE('e', "0630", "- time=06:30"),
        BARE('e', "yesterday 18:30", "- time=18:30 day=-1"),
        BARE('e', "now", "- time=now"),
        BARE('e', "same", "- same=yes"),
        BARE('e', "24c", "- water_mdegc=24000"),
        BARE('e', "30 of 100", "- count_milli=30000 of=100"),
        BARE('e', "hello 24", "- count_milli=24000"),
        UNKNOWN('e', "24 25", "25"),
        ASKS('e', "at 6", CLOCK, "at 6", "-"),
        ASKS('s', "saa 2", CLOCK, "saa 2", "-"),
        ASKS('s', "6:30", CLOCK, "6:30", "-"),
        UNKNOWN('e', "24 hello people", "people"),
        UNKNOWN('e', "24 stop", "stop"),
        UNKNOWN('e', "-5", "-5"),
        BARE('e', "30%", "- count_milli=30000 of=100"), /* a share is asked for: hatch, fertile */
        BARE('e', "30/100", "- count_milli=30000 of=100"),
        UNKNOWN('e', "2nakumis", "2nakumis"), /* a digit joined to letters is no quantity */
        UNKNOWN('e', "hello", "hello"),
    };
    CHECK_ROWS(rows);
    int hour = 0, minute = 0;
    assert_true(text_count_clock(1830, &hour, &minute) && hour == 18 && minute == 30);
    assert_true(text_count_clock(630, &hour, &minute) && hour == 6 && minute == 30);
    assert_false(text_count_clock(6, &hour, &minute));
    assert_false(text_count_clock(1875, &hour, &minute));
    assert_false(text_count_clock(2400, &hour, &minute));
    assert_false(text_count_clock(-1, &hour, &minute));
}

static void doubts(void **state) {
    (void)state;
    static const struct row rows[] = {
        ASKS('e', "strip f3 150c", UNIT, "150c", "strip tag=f3"),
        ASKS('e', "white f3 30g", UNIT, "30g", "white tag=f3"),
        ASKS('e', "inject f3 1200", UNIT, "1200", "inject tag=f3"), /* noon, or grams */
        ASKS('e', "inject f3 1.2 t24", UNIT, "1.2", "inject tag=f3 water_mdegc=24000"),
        ASKS('e', "inject f3 2 kilos 500 t24", TOKEN, "500",
             "inject tag=f3 weight_mg=2000000 water_mdegc=24000"),
        ASKS('e', "strip f3 150g 160g", TWICE, "160g", "strip tag=f3 weight_mg=150000"),
        /* two females stripped together are one report; what is about one takes one */
        ASKS('e', "white f3 f4 30", TWICE, "f4", "white tag=f3 count_milli=30000"),
        ASKS('e', "white f3 30 40", TWICE, "40", "white tag=f3 count_milli=30000"),
        ASKS('e', "temp f3 same 22", TWICE, "22", "temp tag=f3 water_mdegc=22000 same=yes"),
        ASKS('e', "temp t24 t25", TWICE, "t25", "temp water_mdegc=24000"),
        ASKS('e', "inject f3 1.2kg at 6", CLOCK, "at 6", "inject tag=f3 weight_mg=1200000"),
        ASKS('e', "inject f3 1.2kg 22", CLOCK, "22", "inject tag=f3 weight_mg=1200000"),
        ASKS('e', "plan f3 6", CLOCK, "6", "plan tag=f3"),
        ASKS('e', "frames f3 6", CLOCK, "6", "frames tag=f3"),
        ASKS('s', "kamua f3 150g saa 2", CLOCK, "saa 2", "strip tag=f3 weight_mg=150000"),
        ASKS('s', "kamua f3 150g 6:30", CLOCK, "6:30", "strip tag=f3 weight_mg=150000"),
        ASKS('e', "strip f3 150g 25:00", TOKEN, "25:00", "strip tag=f3 weight_mg=150000"),
        ASKS('e', "strip f3 150g 6:75", TOKEN, "6:75", "strip tag=f3 weight_mg=150000"),
        ASKS('e', "strip f3 150g 13am", TOKEN, "13am", "strip tag=f3 weight_mg=150000"),
        ASKS('e', "strip f0 150g", TOKEN, "f0", "strip weight_mg=150000"),
        ASKS('e', "strip f12345 150g", TOKEN, "f12345", "strip weight_mg=150000"),
        ASKS('e', "strip f3150g", TOKEN, "f3150g", "strip"),
        ASKS('e', "strip f3-150g", TOKEN, "-150g", "strip tag=f3"),
        ASKS('e', "strip f3 1234567890g", TOKEN, "1234567890g", "strip tag=f3"),
        ASKS('e', "strip f3 10*20", TOKEN, "10*20", "strip tag=f3"),
        ASKS('e', "strip f3 150g purple", TOKEN, "purple", "strip tag=f3 weight_mg=150000"),
        ASKS('e', "strip f3 150g morning", TOKEN, "morning", "strip tag=f3 weight_mg=150000"),
        ASKS('e', "strip f3 150g wait", TOKEN, "wait", "strip tag=f3 weight_mg=150000"),
        /* 30% is 30 of 100 where a share can stand, else a doubt */
        ASKS('e', "wait f3 30%", TOKEN, "30%", "wait tag=f3"),
        ASKS('e', "strip f3 30%", TOKEN, "30%", "strip tag=f3"),
        ASKS('e', "dead f3 30%", TOKEN, "30%", "dead tag=f3"),
        ASKS('e', "white f3 30% 31%", TWICE, "31%", "white tag=f3 count_milli=30000 of=100"),
        ASKS('e', "white f3 30-40", TOKEN, "30-40", "white tag=f3"),
        ASKS('e', "why f3 24", TOKEN, "24", "why tag=f3"),
        /* undo takes a tag: the last report about it. A thing is none. */
        ASKS('e', "undo f3 f4", TWICE, "f4", "undo tag=f3"),
        ASKS('e', "undo fish", TOKEN, "fish", "undo"),
        ASKS('e', "wrong fish", TOKEN, "fish", "undo"),
        ASKS('e', "take back the fish", TOKEN, "fish", "undo"),
        ASKS('e', "help xyz", TOKEN, "xyz", "help"),
        ASKS('e', "wait f3 30", TOKEN, "30", "wait tag=f3"),
        ASKS('e', "temp f3 \u043f\u0440\u0438\u0432\u0435\u0442", TOKEN,
             "\u043f\u0440\u0438\u0432\u0435\u0442", "temp tag=f3"),
    };
    CHECK_ROWS(rows);
}

static void unknown_words_have_near_ones(void **state) {
    (void)state;
    struct read_text split = read_text('e', "sprit f3 150g"); /* and strip is not lost */
    assert_int_equal(split.result.near[1], REQUEST_STRIP);
    static const struct {
        const char *text, *token;
        enum request_kind near; /* the nearest; REQUEST_NONE: none */
    } table[] = {
        {"strpi f3 150g", "strpi", REQUEST_STRIP},
        {"sprit f3 150g", "sprit", REQUEST_MOVE}, /* split is one letter off */
        {"stripp f3 150g", "stripp", REQUEST_STRIP},
        {"injetc f3", "injetc", REQUEST_INJECT},
        {"wiat f3", "wiat", REQUEST_WAIT},
        {"no egs f3", "no", REQUEST_NO_EGGS},
        {"frmaes f3", "frmaes", REQUEST_FRAMES},
        {"hlep", "hlep", REQUEST_HELP},
        {"grill fish", "grill", REQUEST_NONE},
        {"purple", "purple", REQUEST_NONE},
        {"ston", "ston", REQUEST_NONE}, /* a word for stopping is never offered */
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct read_text got = read_text('e', table[i].text);
        if (got.result.reading != TEXT_UNKNOWN || got.result.near[0] != table[i].near ||
            strcmp(got.result.token, table[i].token) != 0)
            fail_msg("\"%s\": got %s, near \"%s\", token \"%s\"; wanted near \"%s\", token \"%s\"",
                     table[i].text, reading_names[got.result.reading],
                     request_kind_name(got.result.near[0]), got.result.token,
                     request_kind_name(table[i].near), table[i].token);
    }
}

/* Opt-out only as the whole message, after punctuation is dropped, in any language at any time
 * (47 CFR 64.1200(a)(10): stop, quit, end, revoke, opt out, cancel, unsubscribe). */
static void stopping_is_the_whole_message(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool stop, start;
    } table[] = {
        {"stop", true, false},        {"STOP", true, false},
        {" Stop. ", true, false},     {"\u201cSTOP\u201d", true, false},
        {"'stop'", true, false},      {"stop!!!", true, false},
        {"S.T.O.P", true, false},     {"quit", true, false},
        {"end", true, false},         {"revoke", true, false},
        {"opt out", true, false},     {"OPT-OUT", true, false},
        {"cancel", true, false},      {"unsubscribe", true, false},
        {"sitisha", true, false},     {"acha", true, false},
        {"start", false, true},       {"ANZA.", false, true},
        {"stop p2", false, false},    {"fish stop eating", false, false},
        {"stop f3", false, false},    {"stop it now", false, false},
        {"please stop", true, false}, {"STOP TEXTS", true, false},
        {"stop it", false, false},    {"fish stop", false, false},
        {"don't stop", false, false}, {"stopp", false, false},
        {"start f3", false, false},   {"", false, false},
        {"...", false, false},        {"\xff\xfe", false, false},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct slice text = slice_of(table[i].text);
        bool stop = text_is_stop(reader, text), start = text_is_start(reader, text);
        if (stop != table[i].stop || start != table[i].start)
            fail_msg("\"%s\": got stop %d start %d", table[i].text, stop, start);
    }
    assert_false(text_is_stop(reader, (struct slice){"stop\0", 5}));
    assert_int_equal(read_text('e', "stop p2").result.reading, TEXT_UNKNOWN);
    assert_int_equal(read_text('e', "fish stop eating").result.reading, TEXT_UNKNOWN);
}

static void nothing_readable(void **state) {
    (void)state;
    static const struct {
        const char *bytes;
        size_t n;
    } table[] = {
        {"", 0},
        {"   ", 3},
        {"\r\n\t", 3},
        {"...!?", 5},
        {"\xf0\x9f\x90\x9f \xf0\x9f\x91\x8d", 9}, /* fish, thumb */
        {"strip\0f3", 8},
        {"\x01\x02\x03", 3},
        {"strip \x1b f3", 10},
        {"strip \xff", 7},
        {"\xc0\xaf", 2},
        {"\xed\xa0\x80", 3}, /* overlong, surrogate */
        {"\xe2\x80", 2},
        {"strip f3\x7f", 9},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct read_text got = read_slice('e', (struct slice){table[i].bytes, table[i].n});
        if (got.result.reading != TEXT_EMPTY || strcmp(got.line, "-") != 0)
            fail_msg("row %zu: got %s \"%s\", wanted empty", i, reading_names[got.result.reading],
                     got.line);
    }
}

static void long_texts(void **state) {
    (void)state;
    static char text[2001];
    memset(text, 'a', sizeof text - 1);
    assert_int_equal(read_text('e', text).result.reading, TEXT_TOO_LONG);
    text[TEXT_BYTES_MAX + 1] = '\0';
    assert_int_equal(read_text('e', text).result.reading, TEXT_TOO_LONG);
    text[TEXT_BYTES_MAX] = '\0';
    struct read_text got = read_text('e', text);
    assert_int_equal(got.result.reading, TEXT_UNKNOWN);
    assert_string_equal(got.result.token, "aaaaaaaaaaaaaaaaaaaaaaaa"); /* cut at 24 */
    for (int i = 0; i < TEXT_BYTES_MAX; i += 2)
        memcpy(text + i, "\u0301", 2); /* 500 marks and no letter under them */
    assert_int_equal(read_text('e', text).result.reading, TEXT_EMPTY);
    memcpy(text, "e", 1);
    memcpy(text + 1, "t", 1); /* marks on a letter fold away */
    assert_int_equal(read_text('e', text).result.reading, TEXT_UNKNOWN);
    memset(text, '1', TEXT_BYTES_MAX);
    assert_int_equal(read_text('e', text).result.reading, TEXT_UNKNOWN);
    for (int i = 0; i < TEXT_BYTES_MAX; i++)
        text[i] = "1,"[i % 2];
    assert_int_equal(read_text('e', text).result.reading, TEXT_UNKNOWN);
    for (int i = 0; i + 3 <= TEXT_BYTES_MAX; i += 3)
        memcpy(text + i, "f3 ", 3);
    text[TEXT_BYTES_MAX - 1] = '\0';
    got = read_text('e', text); /* the same tag 333 times is one tag */
    assert_int_equal(got.result.reading, TEXT_BARE);
    assert_string_equal(got.line, "- tag=f3");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind),
        cmocka_unit_test(languages_are_mixed),
        cmocka_unit_test(forms_of_values),
        cmocka_unit_test(numbers_that_could_be_two),
        cmocka_unit_test(bare_answers),
        cmocka_unit_test(doubts),
        cmocka_unit_test(unknown_words_have_near_ones),
        cmocka_unit_test(stopping_is_the_whole_message),
        cmocka_unit_test(nothing_readable),
        cmocka_unit_test(long_texts),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
