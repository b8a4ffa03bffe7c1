/* Texts that are no report: people write to the wrong number, or to a friend, with numbers and with
 * words of ours in them. None may come out as something that would be recorded as it stands, and
 * none as a wish to stop. All are written for this test; nobody sent them. */
#include "text_help.h"

static const char *const english[] = {
    "call me at 6",
    "call me tomorrow 6pm",
    "send 500 now",
    "send 2000 to 07700900123",
    "kindly send 2000",
    "my number is 07700900123",
    "i will strip the paint tomorrow",
    "strip the paint",
    "strip club at 9pm",
    "stripping starts at 6",
    "strip the old paint of 3 frames today",
    "temp is 30 today and no rain",
    "temp worker needed 3 days",
    "temp 30 days",
    "is it 24 degrees there",
    "it was 24c there yesterday",
    "24 degrees today",
    "the water is 3 days old",
    "water the garden",
    "water 2 times today",
    "water 5 times",
    "water bill is 300",
    "water is cold",
    "bring water 20 litres",
    "wait for me",
    "wait for me at 6",
    "wait 5 min",
    "wait till tomorrow 6am",
    "wait a minute i am coming",
    "not yet paid the 500",
    "not ready to come",
    "i am coming at 6pm",
    "coming at 6pm",
    "coming with 2 people",
    "ok i will call you at 7",
    "ok see you at 6",
    "yes tomorrow",
    "yes i sent 500",
    "no i am not there",
    "no problem",
    "no money today",
    "no eggs in the shop",
    "no eggs at home buy 30",
    "no egg rolls today",
    "eggs 30 trays",
    "trays of eggs 30",
    "30 trays of eggs at 5000",
    "trays 12",
    "bring 2 trays",
    "frames 30",
    "frames for 5 windows",
    "frame the photo of f3",
    "white shirt 30",
    "white paint 5kg",
    "white rice 2kg 1500",
    "dead eggs everywhere",
    "injected the cow yesterday",
    "inject the dog at 6pm",
    "inject cow 5ml",
    "injection for the baby at 18:30",
    "i injected f3 yesterday",
    "plan to meet 6pm",
    "planning to come at 6pm tomorrow",
    "how are you",
    "how much is 1kg",
    "how much for 5kg fish",
    "help me with 2000",
    "info about 500",
    "why are you late",
    "today is market day",
    "today i have no money",
    "list the prices",
    "due 300 tomorrow",
    "wrong number",
    "wrong number sorry",
    "wrong fish",
    "mistake sorry",
    "take back 500",
    "take back the money",
    "take back the fish",
    "took eggs to market 30",
    "stop it",
    "stop calling me",
    "stop at the shop 6pm",
    "fish stop eating",
    "fish stop",
    "stop the fish",
    "stop p2",
    "stop her",
    "start the generator now",
    "start with tank 2",
    "cancel the order of 5kg",
    "cancel her",
    "end of month 30",
    "join us at 6pm",
    "english test at 6",
    "language school 3 months",
    "meet me at 18:30",
    "see you tomorrow",
    "f3 is sold",
    "give f3 2kg",
    "f3 has died",
    "p2 give 3kg feed",
    "5 kg of fish for 2000",
    "1.2kg at 1500",
    "6pm",
    "500",
    "20 of 30 came",
    "same to you",
    "lol",
    "2moro 6pm at 24 king street",
};

static const char *const kiswahili[] = {
    "nipigie saa 6",
    "nipigie saa 6 mchana",
    "tuma 500 sasa",
    "naomba 500",
    "naomba 500 kesho",
    "kesho nakuja saa 2 asubuhi",
    "nakuja kesho",
    "naja na watu 2",
    "leo kuna mvua",
    "leo sina pesa",
    "kazi ipo saa 2",
    "kazi 2",
    "maji hakuna leo",
    "maji lita 20",
    "maji ya kunywa 5",
    "maji yamekatika jana",
    "maji 300 kwa mwezi",
    "joto kali leo",
    "joto la leo ni kali",
    "halijoto ya mtoto ni 38",
    "choma nyama kilo 2",
    "choma nyama kg 2 saa 1 usiku",
    "choma mahindi 5",
    "sindano ya mtoto kesho saa 3 asubuhi",
    "sindano 5",
    "sindano za uzi 2 kwa 500",
    "dunga ngombe sindano kesho",
    "bado nasubiri",
    "bado sijafika",
    "bado dakika 5",
    "subiri kidogo",
    "subiri mpaka saa 2",
    "ngoja nije",
    "ngoja dakika 5",
    "si tayari kuja leo",
    "sawa kesho",
    "sawa nitakuja saa 4",
    "sawa nimepokea 500",
    "hapana sijui",
    "hapana leo sina",
    "ndiyo nimetuma 2000",
    "la hasha",
    "acha kunipigia",
    "acha 500 kwa boss",
    "acha samaki",
    "samaki acha",
    "simama hapo",
    "simama saa 2 dukani",
    "anza kazi saa 2",
    "anza na tangi la 2",
    "endelea kulima",
    "hakuna mayai dukani",
    "hakuna mayai ya kuku leo",
    "hana pesa",
    "mayai 30 kwa 12000",
    "mayai trei 2",
    "mayai meupe 30 kwa 9000",
    "mayai mabovu yametupwa",
    "trei 2",
    "trei za mayai 5",
    "trei 5 kwa 50000",
    "sinia la chakula",
    "fremu ya picha 2",
    "fremu za madirisha 5",
    "kamua ngombe saa 11 jioni",
    "kamua maziwa lita 5",
    "kukamua kunaanza saa 10",
    "nimekamua ngombe lita 5",
    "futa namba yangu",
    "kosa langu samahani",
    "kosa samaki",
    "ghairi safari ya kesho",
    "mpango ni saa 2",
    "panga nyumba kesho",
    "ratiba ya basi saa 1 usiku",
    "mbona hujaja",
    "kwanini hukuja jana saa 2",
    "nisaidie 2000",
    "msaada wa pesa 5000",
    "lugha gani",
    "lugha ya taifa ni kiswahili",
    "njoo saa 12 jioni",
    "saa 2 usiku",
    "saa tatu",
    "saa ngapi",
    "kilo 2 ya sukari",
    "f3 amekufa",
    "f3 kilo 2 kwa bei",
    "p2 lisha kilo 3",
    "2nakumis",
    "500",
};

/* The text alone would be recorded: the turn can know the tag when there is one female, and takes a
 * plain number of a strip for grams. */
static bool would_record(const struct text_result *r) {
    const struct request *q = &r->request;
    unsigned has = q->has | 1u << SLOT_TAG;
    if (r->reading != TEXT_REQUEST || !words_kind_records(grammar.words, (int)q->kind))
        return false;
    if (request_has(q, SLOT_COUNT))
        has |= 1u << SLOT_WEIGHT | 1u << SLOT_WATER;
    if (request_has(q, SLOT_SAME))
        has |= 1u << SLOT_WATER;
    return (words_kind_needs(grammar.words, (int)q->kind) & ~has) == 0;
}

static int count_recorded(char language, const char *const *texts, size_t count) {
    int bad = 0;
    for (size_t i = 0; i < count; i++) {
        struct read_text got = read_text(language, texts[i]);
        bool records = would_record(&got.result);
        bool stops =
            got.result.request.kind == REQUEST_STOP || text_is_stop(reader, slice_of(texts[i]));
        bool starts =
            got.result.request.kind == REQUEST_START || text_is_start(reader, slice_of(texts[i]));
        if (records || stops || starts) {
            print_error("\"%s\": got %s \"%s\"%s%s, wanted nothing that is acted on\n", texts[i],
                        reading_names[got.result.reading], got.line, stops ? ", a stop" : "",
                        starts ? ", a start" : "");
            bad++;
        }
    }
    return bad;
}

static void private_texts_record_nothing(void **state) {
    (void)state;
    const size_t en = sizeof english / sizeof *english, sw = sizeof kiswahili / sizeof *kiswahili;
    assert_int_equal(count_recorded('e', english, en), 0);
    assert_int_equal(count_recorded('s', kiswahili, sw), 0);
    /* Whichever language the phone is set to. */
    assert_int_equal(count_recorded('s', english, en), 0);
    assert_int_equal(count_recorded('e', kiswahili, sw), 0);
}

/* These are recorded, if the farm has a female that they can be about. Somebody at the hatchery who
 * read them over a shoulder would take them the same way, and each is answered with what was
 * understood and with UNDO. */
static void what_a_person_would_read_so_is_read_so(void **state) {
    (void)state;
    static const struct {
        char language;
        const char *text, *line;
    } table[] = {
        {'e', "wait", "wait"},
        {'e', "not yet", "wait"},
        {'e', "wait her", "wait"},
        {'e', "no eggs today", "no-eggs day=0"},
        {'e', "without eggs", "no-eggs"},
        {'e', "frames out", "frames"},
        {'e', "tray f3", "frames tag=f3"},
        {'e', "white 2", "white count_milli=2000"},
        {'e', "the water is 24", "temp water_mdegc=24000"},
        {'e', "water 5", "temp water_mdegc=5000"}, /* the turn: no water of a fish */
        {'e', "temp is 30 today", "temp day=0 water_mdegc=30000"},
        {'e', "took eggs f3 150g", "strip tag=f3 weight_mg=150000"},
        {'e', "wrong", "undo"},
        {'e', "mistake", "undo"},
        {'s', "bado", "wait"},
        {'s', "mayai bado", "wait"},
        {'s', "si tayari", "wait"},
        {'s', "hakuna mayai", "no-eggs"},
        {'s', "hakuna mayai leo", "no-eggs day=0"},
        {'s', "nimetoa fremu", "frames"},
        {'s', "mayai meupe 12", "white count_milli=12000"},
        {'s', "mayai mabovu 5", "white count_milli=5000"},
        {'s', "maji 24", "temp water_mdegc=24000"},
        {'s', "joto ni 30 leo", "temp day=0 water_mdegc=30000"},
        {'s', "kosa", "undo"},
        {'s', "futa", "undo"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        struct read_text got = read_text(table[i].language, table[i].text);
        if (!would_record(&got.result) || strcmp(got.line, table[i].line) != 0)
            fail_msg("\"%s\": got %s \"%s\", wanted request \"%s\"", table[i].text,
                     reading_names[got.result.reading], got.line, table[i].line);
    }
}

/* A report with any word beside it that is neither value nor greeting is a doubt, wherever the word
 * stands. */
static void a_word_left_over_is_a_doubt(void **state) {
    (void)state;
    static const char *const reports[] = {"inject f3 1.2kg 18:30 t24",
                                          "strip f3 150g",
                                          "white f3 20 of 100",
                                          "temp f3 24",
                                          "wait f3",
                                          "no eggs f3",
                                          "frames f3 07:00",
                                          "undo"};
    static const char *const words[] = {"tractor", "xyzzy", "nyumba", "2nakumis",
                                        "\u0434\u043e\u043c"};
    for (size_t i = 0; i < sizeof reports / sizeof *reports; i++) {
        size_t n = strlen(reports[i]);
        for (size_t w = 0; w < sizeof words / sizeof *words; w++)
            for (size_t at = 0; at <= n; at++) {
                char text[120];
                if (at < n && reports[i][at] != ' ')
                    continue; /* behind each word */
                (void)snprintf(text, sizeof text, "%.*s %s%s", (int)at, reports[i], words[w],
                               reports[i] + at);
                struct read_text got = read_text('e', text);
                if (got.result.reading == TEXT_REQUEST)
                    fail_msg("\"%s\": got \"%s\", wanted a doubt", text, got.line);
            }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(private_texts_record_nothing),
        cmocka_unit_test(what_a_person_would_read_so_is_read_so),
        cmocka_unit_test(a_word_left_over_is_a_doubt),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
