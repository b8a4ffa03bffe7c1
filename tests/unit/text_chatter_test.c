/* Texts that are no report: people write to the wrong number, or to a friend, with numbers and with
 * words of ours in them. None may come out as something that would be recorded as it stands, and
 * none as a wish to stop. All are written for this test; nobody sent them. */
#include "text_private.h"
#include "text_private_money.h"
#include "text_private_ponds.h"

/* What the turn asks for before it records, beside the needs of messages.conf. */
static bool turn_asks(const struct request *q) {
    bool tag = request_has(q, SLOT_TAG), pond = request_has(q, SLOT_POND);
    bool count = request_has(q, SLOT_COUNT) || request_chose(q, CHOICE_ALL);
    switch (q->kind) {
    case REQUEST_FIX: /* a correction, a fish of its own, a death: never of the only one */
    case REQUEST_DEAD:
        return !tag;
    case REQUEST_BROOD:
        return !tag && !pond;
    case REQUEST_POND:
        return !pond;
    case REQUEST_STOCK:
        return !tag && !count;
    case REQUEST_MOVE:
        return !tag && (!request_has(q, SLOT_ALSO) || !count);
    case REQUEST_HARVEST:
    case REQUEST_SOLD:
        return !count;
    case REQUEST_TABLE: /* these ask where nothing else is said */
        return !request_has(q, SLOT_PARTS) && !request_chose(q, CHOICE_BOOK);
    case REQUEST_STORE:
        return !request_has(q, SLOT_WEIGHT) && !request_has(q, SLOT_COUNT);
    case REQUEST_WATER:
        return (q->has & (SLOT_BIT(SLOT_WATER) | SLOT_BIT(SLOT_OXYGEN) | SLOT_BIT(SLOT_PH) |
                          SLOT_BIT(SLOT_AMMONIA) | SLOT_BIT(SLOT_NITRITE) | SLOT_BIT(SLOT_SECCHI) |
                          SLOT_BIT(SLOT_SAME))) == 0;
    case REQUEST_ORDER: /* a number of its own */
        return !request_has(q, SLOT_WEIGHT) && !request_has(q, SLOT_LENGTH);
    case REQUEST_PRICE: /* a name never heard is asked about */
        return !request_chose(q, CHOICE_FINGERLINGS) && !request_chose(q, CHOICE_FRY) &&
               !request_chose(q, CHOICE_FISH) &&
               !(request_has(q, SLOT_FEED) && text_feed_heard(reader, q->feed));
    case REQUEST_CATCH:
        return !request_has(q, SLOT_DATE) && !request_has(q, SLOT_DAY);
    default:
        return false;
    }
}

/* The text alone would be recorded: the turn can know the tag when there is one female and the pond
 * when there is one, and takes a plain number of a strip for grams. */
static bool would_record(const struct text_result *r) {
    const struct request *q = &r->request;
    uint64_t has = q->has | SLOT_BIT(SLOT_TAG) | SLOT_BIT(SLOT_POND);
    bool measured = request_has(q, SLOT_COUNT) && request_has(q, SLOT_CHOICE);
    if (measured || request_has(q, SLOT_LIST)) /* tins and so on, weights one by one */
        has |= SLOT_BIT(SLOT_WEIGHT);
    if (r->reading != TEXT_REQUEST || !words_kind_records(grammar.words, (int)q->kind))
        return false;
    if (request_has(q, SLOT_COUNT))
        has |= SLOT_BIT(SLOT_WEIGHT) | SLOT_BIT(SLOT_WATER);
    if (request_has(q, SLOT_SAME))
        has |= SLOT_BIT(SLOT_WATER);
    if (q->kind == REQUEST_ORDER) /* a length, a day */
        has |= SLOT_BIT(SLOT_WEIGHT) | (request_has(q, SLOT_DAY) ? SLOT_BIT(SLOT_DATE) : 0);
    if (q->kind == REQUEST_PRICE && request_has(q, SLOT_CHOICE)) /* fish */
        has |= SLOT_BIT(SLOT_FEED);
    return (words_kind_needs(grammar.words, (int)q->kind) & ~has) == 0 && !turn_asks(q);
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

#define COUNT_OF(list) (sizeof(list) / sizeof *(list))

/* Whichever language the phone is set to. */
static void private_texts_record_nothing(void **state) {
    (void)state;
    int bad = 0;
    for (const char *language = "es"; *language; language++) {
        bad += count_recorded(*language, english, COUNT_OF(english));
        bad += count_recorded(*language, kiswahili, COUNT_OF(kiswahili));
        bad += count_recorded(*language, english_of_the_run, COUNT_OF(english_of_the_run));
        bad += count_recorded(*language, kiswahili_of_the_run, COUNT_OF(kiswahili_of_the_run));
        bad += count_recorded(*language, english_of_ponds, COUNT_OF(english_of_ponds));
        bad += count_recorded(*language, kiswahili_of_ponds, COUNT_OF(kiswahili_of_ponds));
        bad += count_recorded(*language, english_of_money, COUNT_OF(english_of_money));
        bad += count_recorded(*language, kiswahili_of_money, COUNT_OF(kiswahili_of_money));
    }
    assert_int_equal(bad, 0);
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
        {'e', "the water is 24", "water water_mdegc=24000"},
        {'e', "water 18", "water water_mdegc=18000"},
        {'e', "temp is 30 today", "temp day=0 water_mdegc=30000"},
        {'e', "took eggs f3 150g", "strip tag=f3 weight_mg=150000"},
        {'e', "wrong", "undo"},
        {'e', "mistake", "undo"},
        {'e', "wrong p4", "undo tag=p4"},
        {'e', "fertile 80%", "fertile count_milli=80000 of=100"},
        {'e', "hatched 500", "hatch count_milli=500000"},
        {'e', "spoilt", "spoilt"},
        {'e', "all lost today", "spoilt day=0"},
        {'e', "fed", "fed"},
        {'e', "sorted", "grade"},
        {'e', "grade 7", "grade count_milli=7000"},
        {'e', "f3 died", "dead tag=f3"}, /* deaths are reported */
        {'e', "stock 50", "stock count_milli=50000"},
        {'e', "harvest all", "harvest choices=all"},
        {'e', "sold 1000", "sold count_milli=1000000"},
        {'e', "prepare for 14 march", "prep date=0-3-14"},
        {'e', "no light today", "air-off day=0"},
        {'e', "power is back", "air-on"},
        {'e', "water from the tap", "source choices=tap"},
        {'s', "bado", "wait"},
        {'s', "mayai bado", "wait"},
        {'s', "si tayari", "wait"},
        {'s', "hakuna mayai", "no-eggs"},
        {'s', "hakuna mayai leo", "no-eggs day=0"},
        {'s', "nimetoa fremu", "frames"},
        {'s', "mayai meupe 12", "white count_milli=12000"},
        {'s', "mayai mabovu 5", "white count_milli=5000"},
        {'s', "maji 24", "water water_mdegc=24000"},
        {'s', "joto ni 30 leo", "temp day=0 water_mdegc=30000"},
        {'s', "f3 amekufa", "dead tag=f3"}, /* deaths are reported */
        {'s', "kosa", "undo"},
        {'s', "futa", "undo"},
        {'s', "futa f3", "undo tag=f3"},
        {'s', "hesabu 20", "count count_milli=20000"},
        {'s', "tenga 500", "grade count_milli=500000"},
        {'s', "pandikiza 200", "stock count_milli=200000"},
        {'s', "nimeuza 5", "sold count_milli=5000"},
        {'s', "imeharibika", "spoilt"},
        {'s', "hakuna umeme", "air-off"},
        {'s', "umeme umekatika jana", "air-off day=-1"},
        {'s', "chanzo mvua", "source choices=rain"},
        {'s', "andaa kesho", "prep day=1"},
        {'e', "gave 2kg of bran", "gave weight_mg=2000000 feed=bran"},
        {'e', "gave dogs 2kg", "gave weight_mg=2000000 feed=dogs"}, /* the turn: not heard of */
        {'e', "bought 2 bags cement", "bought count_milli=2000 choices=bag feed=cement"},
        {'e', "food left today", "left day=0"},
        {'e', "treated today", "treated day=0"},
        {'e', "gasping", "gasp"},
        {'e', "stolen 200", "stolen count_milli=200000"},
        {'e', "catch tomorrow", "catch day=1"},
        {'e', "bag 25kg bran", "measure weight_mg=25000000 choices=bag feed=bran"},
        {'e', "height 12m", "height height_m=12"},
        {'s', "nimewapa kilo 2", "gave weight_mg=2000000"},
        {'s', "nimenunua kilo 50 pumba", "bought weight_mg=50000000 feed=pumba"},
        {'s', "wanahema juu", "gasp"},
        {'s', "tiba leo", "treated day=0"},
        {'s', "wizi 20", "stolen count_milli=20000"},
        {'e', "cost 20000 rent", "cost name=rent money_milli=20000000"},
        {'e', "spent 500 on airtime", "cost name=airtime money_milli=500000"},
        {'e', "john paid 500", "paid name=john money_milli=500000"}, /* the turn: no buyer */
        {'e', "paid school fees 50000", "paid name=school%20fees money_milli=50000000"},
        {'e', "sold 5 to mary for 500", "sold count_milli=5000 name=mary money_milli=500000"},
        {'e', "currency naira", "currency money_milli=-1,NGN"},
        {'e', "season 2 march", "season count_milli=2000 months=0-3-0-3"},
        {'e', "price of fish 5000", "price choices=fish money_milli=5000000"},
        {'e', "cancel order 3", "call-off count_milli=3000"},
        {'s', "gharama 5000 nauli", "cost name=nauli money_milli=5000000"},
        {'s', "john amelipa 500", "paid name=john money_milli=500000"},
        {'s', "bei ya samaki 5000", "price choices=fish money_milli=5000000"},
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
                                          "undo",
                                          "brood f3 1.2kg p2 14 months",
                                          "dead p4 30",
                                          "hatch f3 60%",
                                          "tank b2 500 litres",
                                          "source river",
                                          "water p2 t26 do 3.2",
                                          "stolen p2 200",
                                          "sample p2 30 fish 1.95kg",
                                          "sample p2 12 15 11 40",
                                          "table 10g 5% 50g 3%",
                                          "merge p3 p2",
                                          "catch p2 14 march",
                                          "height 1200m",
                                          "pond p4 4 ares depth 0.8m",
                                          "prep p4 14/3",
                                          "stock p4 from f3 9000",
                                          "harvest p4 6.4kg 50 fish 110g",
                                          "move p4 p5 all",
                                          "sold f3 5000",
                                          "fix f3 140g",
                                          "order 5000 2g 14 march",
                                          "cancel order 3",
                                          "season 20000 may-september",
                                          "currency UGX",
                                          "price fish 9000 a kg",
                                          "sold p4 3000 ugx 450000",
                                          "power off 18:30"};
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
