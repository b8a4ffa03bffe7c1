/* Texts about orders, the season's plan, prices, costs, sales and debts, as people write them in
 * both languages. */
#include "text_rows.h"

static void orders(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "order 5000 fingerlings 2g 14 march",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14"),
        READ('e', "order 5000 2g 14/3 for mary",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14 name=mary"),
        READ('e', "order 3000 5cm 14 march",
             "order count_milli=3000000 date=0-3-14 length_um=50000"),
        READ('e', "new order 1,500 fish 1.5 g by 14 march 2027 to my sister",
             "order weight_mg=1500 count_milli=1500000 date=2027-3-14 name=my%20sister"),
        READ('e', "order 5000 2 grams tomorrow from lake hotel",
             "order weight_mg=2000 day=1 count_milli=5000000 name=lake%20hotel"),
        READ('e', "order for mary wanjiku 5 000 2g 14 march",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14 name=mary%20wanjiku"),
        READ('e', "order 5,000,000 2g 14 march",
             "order weight_mg=2000 count_milli=5000000000 date=0-3-14"),
        READ('e', "order 5000 fingerlings of 2g for 14th march",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14"),
        READ('e', "order 3", "order count_milli=3000"),
        READ('e', "order 3?", "order count_milli=3000"),
        READ('e', "order", "order"),
        READ('e', "orders", "orders"),
        READ('e', "cancel order 3", "call-off count_milli=3000"),
        READ('e', "call off order 3", "call-off count_milli=3000"),
        READ('e', "call off 3", "call-off count_milli=3000"),
        READ('e', "order 3 off", "call-off count_milli=3000"),
        READ('e', "order 3 cancelled", "call-off count_milli=3000"),
        READ('e', "cancel order", "call-off"),
        READ('e', "cancel", "stop"),
        READ('s', "oda 5000 gramu 2 14 machi kwa mary",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14 name=mary"),
        READ('s', "oda vifaranga 5000 gramu 2 tarehe 14 machi kwa ajili ya mary",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14 name=mary"),
        READ('s', "oda 3000 sm 5 14/3", "order count_milli=3000000 date=0-3-14 length_um=50000"),
        READ('s', "agizo 3", "order count_milli=3000"),
        READ('s', "oda zote", "orders"),
        READ('s', "ghairi oda 3", "call-off count_milli=3000"),
        READ('s', "futa oda 3", "call-off count_milli=3000"),
        READ('s', "oda 3 imeghairiwa", "call-off count_milli=3000"),
        READ('s', "futa", "undo"),
        ASKS('e', "order 3 4000", TWICE, "4000", "order count_milli=3000"),
        ASKS('e', "order 3 off 2g", TWICE, "off", "call-off count_milli=3000"),
        ASKS('e', "order -5 2g 14 march", TOKEN, "-5", "order weight_mg=2000 date=0-3-14"),
        ASKS('e', "order 5000 2g 30 february", TOKEN, "30 february",
             "order weight_mg=2000 count_milli=5000000"),
        ASKS('e', "order 5000 2g march", TOKEN, "march",
             "order weight_mg=2000 count_milli=5000000"),
        ASKS('e', "order 5000 2g 14 march to p4", TOKEN, "p4",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14"),
        ASKS('e', "order 5000 2g 14 march mary", TOKEN, "mary",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14"),
        ASKS('e', "order 5000 2g 14 march for him", TOKEN, "him",
             "order weight_mg=2000 count_milli=5000000 date=0-3-14"),
        ASKS('e', "order 2 beers", TOKEN, "beers", "order count_milli=2000"),
        UNKNOWN('e', "order two beers", "order"),
    };
    CHECK_ROWS(rows);
}

static void seasons(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "season 20000 may-september", "season count_milli=20000000 months=0-5-0-9"),
        READ('e', "season 20000 may - september", "season count_milli=20000000 months=0-5-0-9"),
        READ('e', "season 2000 a month may to september",
             "season count_milli=2000000 choices=monthly months=0-5-0-9"),
        READ('e', "season 5000 march", "season count_milli=5000000 months=0-3-0-3"),
        READ('e', "season from november 2027 until february 2028 20 000 2g",
             "season weight_mg=2000 count_milli=20000000 months=2027-11-2028-2"),
        READ('e', "season may to june 2027 5000", "season count_milli=5000000 months=0-5-2027-6"),
        READ('e', "season 20000", "season count_milli=20000000"),
        READ('s', "msimu 20000 mei-septemba", "season count_milli=20000000 months=0-5-0-9"),
        READ('s', "msimu 2000 kwa mwezi mei hadi septemba gramu 2",
             "season weight_mg=2000 count_milli=2000000 choices=monthly months=0-5-0-9"),
        ASKS('e', "season 20000 may-june july", TWICE, "july",
             "season count_milli=20000000 months=0-5-0-6"),
        ASKS('e', "season 20000 14 march", TWICE, "14",
             "season count_milli=20000000 months=0-3-0-3"),
        READ('s', "msimu 20000 kuanzia mei hadi septemba",
             "season count_milli=20000000 months=0-5-0-9"),
        ASKS('e', "season of mangoes", TOKEN, "of", "season"),
        READ('e', "rates", "rates"),
        READ('e', "rates p2", "rates pond=p2"),
        READ('s', "viwango f3", "rates tag=f3"),
        READ('e', "week", "week"),
        READ('e', "this week", "week"),
        BARE('e', "week 3", "- age_days=21"),
        READ('e', "month", "month"),
        READ('e', "month march", "month months=0-3-0-3"),
        READ('e', "month of march 2027", "month months=2027-3-2027-3"),
        READ('e', "month 3", "month months=0-3-0-3"),
        ASKS('e', "month 13", TOKEN, "13", "month"),
        READ('e', "more", "more"),
        READ('e', "more please", "more"),
        UNKNOWN('e', "more fish today", "more"),
        READ('s', "wiki hii", "week"),
        READ('s', "mwezi wa machi", "month months=0-3-0-3"),
        READ('s', "zaidi", "more"),
        UNKNOWN('s', "zaidi ya samaki", "zaidi"),
        BARE('e', "may-september", "- months=0-5-0-9"),
        BARE('e', "march 14", "- date=0-3-14"),
    };
    CHECK_ROWS(rows);
}

static void prices(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "currency UGX", "currency money_milli=-1,UGX"),
        READ('e', "currency naira", "currency money_milli=-1,NGN"),
        READ('e', "currency", "currency"),
        READ('s', "sarafu TZS", "currency money_milli=-1,TZS"),
        READ('s', "sarafu shilingi za kenya", "currency money_milli=-1,KES"),
        ASKS('e', "currency shilling", TOKEN, "shilling", "currency"), /* of several countries */
        ASKS('e', "currency xyz", TOKEN, "xyz", "currency"),
        ASKS('e', "currency UGX KES", TWICE, "kes", "currency money_milli=-1,UGX"),
        READ('e', "price pellets 2500 a kg", "price choices=kilo feed=pellets money_milli=2500000"),
        READ('e', "price bran 45000 a bag", "price choices=bag feed=bran money_milli=45000000"),
        READ('e', "price bran 45000 per bag", "price choices=bag feed=bran money_milli=45000000"),
        READ('e', "price bran 45000/bag", "price choices=bag feed=bran money_milli=45000000"),
        READ('e', "price fingerlings 150 each",
             "price choices=fingerlings,each money_milli=150000"),
        READ('e', "price fish 9000 a kg", "price choices=fish,kilo money_milli=9000000"),
        READ('e', "price fish 9000 kg", "price choices=fish,kilo money_milli=9000000"),
        READ('e', "price of fry 2.5 each", "price choices=fry,each money_milli=2500"),
        READ('e', "price fuel 1500", "price feed=fuel money_milli=1500000"),
        READ('e', "price fish meal 3,500/kg",
             "price choices=kilo feed=fish%20meal money_milli=3500000"),
        READ('e', "price pellets UGX 2500 per kg",
             "price choices=kilo feed=pellets money_milli=2500000,UGX"),
        READ('s', "bei pumba 2500 kwa kilo", "price choices=kilo feed=pumba money_milli=2500000"),
        READ('s', "bei ya pumba 45000 kwa gunia",
             "price choices=bag feed=pumba money_milli=45000000"),
        READ('s', "bei vifaranga 150 kila mmoja",
             "price choices=fingerlings,each money_milli=150000"),
        READ('s', "bei samaki kilo 9000", "price choices=fish,kilo money_milli=9000000"),
        READ('s', "bei unga wa samaki 3500 kwa kilo",
             "price choices=kilo feed=unga%20wa%20samaki money_milli=3500000"),
        READ('e', "price", "price"),
        READ('e', "price pellets 0", "price feed=pellets money_milli=0"), /* the turn */
        ASKS('e', "price pellets -5", TOKEN, "-5", "price feed=pellets"),
        ASKS('e', "price pellets 2500 3500", TWICE, "3500",
             "price feed=pellets money_milli=2500000"),
        UNKNOWN('e', "price is too high", "price"),
        BARE('e', "UGX", "- money_milli=-1,UGX"),
        BARE('e', "450,000/=", "- money_milli=450000000"),
        BARE('e', "450k", "- money_milli=450000000"),
        BARE('e', "5m", "- depth_mm=5000"),
        BARE('e', "each", "- choices=each"),
    };
    CHECK_ROWS(rows);
}

static void costs(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "cost 20000 fuel", "cost name=fuel money_milli=20000000"),
        READ('e', "cost of feed 20000", "cost name=feed money_milli=20000000"),
        READ('e', "cost fuel 20000", "cost name=fuel money_milli=20000000"),
        READ('e', "cost 5000 p2 lime", "cost pond=p2 name=lime money_milli=5000000"),
        READ('e', "cost f3 3000 hormone", "cost tag=f3 name=hormone money_milli=3000000"),
        READ('e', "spent 20000 on fuel for the pump yesterday",
             "cost day=-1 name=fuel%20for%20the%20pump money_milli=20000000"),
        READ('e', "cost 14 march 20000 pond digging",
             "cost date=0-3-14 name=pond%20digging money_milli=20000000"),
        READ('e', "cost 20k fuel", "cost name=fuel money_milli=20000000"),
        READ('e', "cost 1.5 million new pond", "cost name=new%20pond money_milli=1500000000"),
        READ('e', "cost 450 000 net", "cost name=net money_milli=450000000"),
        READ('e', "cost 20000/= fuel", "cost name=fuel money_milli=20000000"),
        READ('e', "cost 20,000/- fuel", "cost name=fuel money_milli=20000000"),
        READ('s', "gharama 20000 mafuta", "cost name=mafuta money_milli=20000000"),
        READ('s', "gharama 5000 p2 chokaa", "cost pond=p2 name=chokaa money_milli=5000000"),
        READ('s', "nimetumia shilingi 20000 kwa mafuta jana",
             "cost day=-1 name=mafuta money_milli=20000000"),
        READ('s', "nimetumia elfu 20 mafuta", "cost name=mafuta money_milli=20000000"),
        READ('s', "tumetumia milioni 1.5 bwawa jipya",
             "cost name=bwawa%20jipya money_milli=1500000000"),
        READ('e', "cost", "cost"),
        READ('e', "cost 500", "cost money_milli=500000"),
        ASKS('e', "cost 20000 30000 fuel", TWICE, "30000", "cost name=fuel money_milli=20000000"),
        ASKS('e', "cost -5 fuel", TOKEN, "-5", "cost name=fuel"),
        ASKS('e', "spent 2 hours", TOKEN, "hours", "cost money_milli=2000"),
        ASKS('e', "spent 3 days there", UNIT, "3 days", "cost name=there"),
        ASKS('e', "cost me 500", TOKEN, "me", "cost money_milli=500000"),
        UNKNOWN('e', "cost of living", "cost"),
    };
    CHECK_ROWS(rows);
}

/* How sums are written; currencies with three decimals are those of ISO 4217. */
static void sums(void **state) {
    (void)state;
    static const struct {
        const char *text;
        int64_t milli; /* -1: a doubt */
        const char *currency;
    } table[] = {
        {"1500", 1500000, ""},
        {"1,500", 1500000, ""},
        {"1.500", 1500000, ""},
        {"1,500,000", 1500000000, ""},
        {"1.500.000", 1500000000, ""},
        {"1 500 000", 1500000000, ""},
        {"2500.50", 2500500, ""},
        {"2500,5", 2500500, ""},
        {"2,500.50", 2500500, ""},
        {"2.500,50", 2500500, ""},
        {"0.500", 500, ""},
        {"0.5", 500, ""},
        {"12.345", 12345000, ""},
        {"TND 1,500", -1, ""},
        {"TND 1,50", 1500, "TND"},
        {"TND 1500.250", 1500250, "TND"},
        {"UGX 450000", 450000000, "UGX"},
        {"ugx450000", 450000000, "UGX"},
        {"450,000ugx", 450000000, "UGX"},
        {"UGX: 450000/=", 450000000, "UGX"},
        {"sh.450000", 450000000, ""},
        {"450000 shillings", 450000000, ""},
        {"Ksh 450", 450000, "KES"},
        {"450 bob", 450000, "KES"},
        {"450 naira", 450000, "NGN"},
        {"20k", 20000000, ""},
        {"1.5m", 1500000000, ""},
        {"1,5 million", 1500000000, ""},
        {"UGX 20k", 20000000, "UGX"},
        {"1.500k", -1, ""}, /* one and a half, or fifteen hundred */
        {"1000000000000", 1000000000000000, ""},
        {"1000000000001", -1, ""},
        {"99999999999999999999", -1, ""},
        {"1,50,000", -1, ""},
        {"1.2.3", -1, ""},
        {"5.1234", -1, ""},
        {"-500", -1, ""},
        {"UGX -500", -1, ""},
        {"UGX 500 KES", -1, ""},
        {"500g", -1, ""},
        {"500x", -1, ""},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        char text[80];
        (void)snprintf(text, sizeof text, "cost %s", table[i].text);
        struct read_text got = read_text('e', text);
        const struct request *q = &got.result.request;
        bool read = got.result.reading == TEXT_REQUEST && request_has(q, SLOT_MONEY);
        if (read != (table[i].milli >= 0) ||
            (read &&
             (q->money_milli != table[i].milli || strcmp(q->currency, table[i].currency) != 0)))
            fail_msg("\"%s\": got %s \"%s\", wanted %lld %s", text,
                     reading_names[got.result.reading], got.line, (long long)table[i].milli,
                     table[i].currency);
    }
}

static void sales(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "sold p4 3000 for 450000 to mary",
             "sold count_milli=3000000 pond=p4 name=mary money_milli=450000000"),
        READ('e', "sold p2 40kg 360000 mary paid",
             "sold weight_mg=40000000 pond=p2 name=mary choices=paid money_milli=360000000"),
        READ('e', "sold p4 3000 UGX 450000 mary owes",
             "sold count_milli=3000000 pond=p4 name=mary choices=owes money_milli=450000000,UGX"),
        READ('e', "sold p4 450000ugx 3000",
             "sold count_milli=3000000 pond=p4 money_milli=450000000,UGX"),
        READ('e', "sold p4 450000 naira 3000",
             "sold count_milli=3000000 pond=p4 money_milli=450000000,NGN"),
        READ('e', "sold p4 3000 450000/= mary paid",
             "sold count_milli=3000000 pond=p4 name=mary choices=paid money_milli=450000000"),
        READ('e', "sold p4 450000/= 3000",
             "sold count_milli=3000000 pond=p4 money_milli=450000000"),
        READ('e', "sold p4 3000 sh 450000",
             "sold count_milli=3000000 pond=p4 money_milli=450000000"),
        READ('e', "sold p4 3000 for 450 000 to the lake hotel",
             "sold count_milli=3000000 pond=p4 name=lake%20hotel money_milli=450000000"),
        READ('e', "sold p4 3000 at 150 each to mary",
             "sold count_milli=3000000 pond=p4 name=mary choices=each money_milli=150000"),
        READ('e', "sold p4 40kg at 9000/kg",
             "sold weight_mg=40000000 pond=p4 choices=kilo money_milli=9000000"),
        READ('e', "sold p4 40kg 9000 a kg to mary yesterday",
             "sold weight_mg=40000000 day=-1 pond=p4 name=mary choices=kilo money_milli=9000000"),
        READ('e', "sold f3 5000 for 20k to mary",
             "sold tag=f3 count_milli=5000000 name=mary money_milli=20000000"),
        READ('e', "sold p4 1000 50kg", "sold weight_mg=50000000 count_milli=1000000 pond=p4"),
        READ('e', "sold p4 50kg 1000", "sold weight_mg=50000000 count_milli=1000000 pond=p4"),
        READ('e', "sold p4 3000 mary owes",
             "sold count_milli=3000000 pond=p4 name=mary choices=owes"),
        READ('e', "sold p4 all for 450000", "sold pond=p4 choices=all money_milli=450000000"),
        READ('s', "nimeuza p4 3000 kwa 450000 kwa mary",
             "sold count_milli=3000000 pond=p4 name=mary money_milli=450000000"),
        READ('s', "nimeuza p4 3000 shilingi 450000",
             "sold count_milli=3000000 pond=p4 money_milli=450000000"),
        READ('s', "nimeuza p2 kilo 40 360000 mary anadaiwa",
             "sold weight_mg=40000000 pond=p2 name=mary choices=owes money_milli=360000000"),
        READ('s', "nimeuza p4 vifaranga 3000 kwa 150 kila mmoja",
             "sold count_milli=3000000 pond=p4 choices=each money_milli=150000"),
        READ('s', "nimeuza p2 kilo 40 9000 kwa kilo",
             "sold weight_mg=40000000 pond=p2 choices=kilo money_milli=9000000"),
        ASKS('e', "sold p4 3000 450000", TWICE, "450000", "sold count_milli=3000000 pond=p4"),
        ASKS('e', "sold p4 3000 450000 mary paid", TWICE, "450000",
             "sold count_milli=3000000 pond=p4 name=mary choices=paid"),
        ASKS('e', "sold p4 3000 for -5", TOKEN, "for -5", "sold count_milli=3000000 pond=p4"),
        ASKS('e', "sold p4 3000 for 450000 mary", TOKEN, "mary",
             "sold count_milli=3000000 pond=p4 money_milli=450000000"),
        ASKS('e', "sold 2 goats for 200000", TOKEN, "goats",
             "sold count_milli=2000 money_milli=200000000"),
    };
    CHECK_ROWS(rows);
}

static void debts(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "paid mary 50000", "paid name=mary money_milli=50000000"),
        READ('e', "mary paid 50000", "paid name=mary money_milli=50000000"),
        READ('e', "mary wanjiku paid 50,000/=", "paid name=mary%20wanjiku money_milli=50000000"),
        READ('e', "mary has paid ugx 50000", "paid name=mary money_milli=50000000,UGX"),
        READ('e', "paid 50000 by mary yesterday", "paid day=-1 name=mary money_milli=50000000"),
        READ('e', "payment from lake hotel 50000", "paid name=lake%20hotel money_milli=50000000"),
        READ('e', "paid", "paid"),
        READ('e', "paid 50000", "paid money_milli=50000000"),
        READ('e', "owes", "owes"),
        READ('e', "owes mary", "owes name=mary"),
        READ('e', "mary owes", "owes name=mary"),
        READ('e', "debts", "owes"),
        READ('s', "amelipa mary 50000", "paid name=mary money_milli=50000000"),
        READ('s', "mary amelipa shilingi 50,000", "paid name=mary money_milli=50000000"),
        READ('s', "malipo kutoka mary elfu 50", "paid name=mary money_milli=50000000"),
        READ('s', "madeni", "owes"),
        READ('s', "madeni mary", "owes name=mary"),
        READ('s', "mary anadaiwa", "owes name=mary"),
        ASKS('e', "paid mary 50000 60000", TWICE, "60000", "paid name=mary money_milli=50000000"),
        ASKS('e', "paid mary john peter paul 500", TWICE, "paul",
             "paid name=mary%20john%20peter money_milli=500000"),
        UNKNOWN('e', "john paid me 500", "john"),
        UNKNOWN('e', "i paid 5000", "i"),
        UNKNOWN('e', "does mary owe", "does"),
        UNKNOWN('e', "mary paid", "mary"),
        UNKNOWN('e', "mary paid for lunch", "mary"),
    };
    CHECK_ROWS(rows);
}

static void purchases(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "bought 50kg pellets 125000",
             "bought weight_mg=50000000 feed=pellets money_milli=125000000"),
        READ('e', "bought 50kg pellets 125 000",
             "bought weight_mg=50000000 feed=pellets money_milli=125000000"),
        READ('e', "bought 2 bags pellets for 90000",
             "bought count_milli=2000 choices=bag feed=pellets money_milli=90000000"),
        READ('e', "bought 2 bags pellets 90000",
             "bought count_milli=2000 choices=bag feed=pellets money_milli=90000000"),
        READ('e', "bought 90000 2 bags pellets",
             "bought count_milli=2000 choices=bag feed=pellets money_milli=90000000"),
        READ('e', "bought 2 bags of bran at 45000 each",
             "bought count_milli=2000 choices=bag,each feed=bran money_milli=45000000"),
        READ('e', "bought 2 bags 25kg pellets ugx 90000",
             "bought weight_mg=25000000 count_milli=2000 choices=bag feed=pellets "
             "money_milli=90000000,UGX"),
        READ('e', "bought 50kg pellets at 2500 a kg",
             "bought weight_mg=50000000 choices=kilo feed=pellets money_milli=2500000"),
        READ('s', "nimenunua magunia 2 ya pumba 90000",
             "bought count_milli=2000 choices=bag feed=pumba money_milli=90000000"),
        READ('s', "nimenunua kilo 50 pumba kwa shilingi 125,000",
             "bought weight_mg=50000000 feed=pumba money_milli=125000000"),
        ASKS('e', "bought 50kg pellets 125000 130000", TWICE, "130000",
             "bought weight_mg=50000000 feed=pellets money_milli=125000000"),
        READ('s', "nimenunua 90000 magunia 2 pumba",
             "bought count_milli=2000 choices=bag feed=pumba money_milli=90000000"),
        READ('s', "nimenunua magunia 2 90000 pumba",
             "bought count_milli=2000 choices=bag feed=pumba money_milli=90000000"),
        READ('e', "bought 2 bags 90000 pellets",
             "bought count_milli=2000 choices=bag feed=pellets money_milli=90000000"),
        ASKS('e', "bought a car for 5000", TOKEN, "car", "bought money_milli=5000000"),
    };
    CHECK_ROWS(rows);
}

/* The order of the pieces says nothing; a name ends before the next value. */
static void order_is_free(void **state) {
    (void)state;
    static const char *const same[][3] = {
        {"order 5000 2g 14 march for mary", "order for mary 14 march 2g 5000",
         "order 14 march for mary 5000 2g"},
        {"sold p4 3000 for 450000 to mary", "sold to mary for 450000 3000 p4",
         "p4 sold 3000 to mary for 450000"},
        {"sold p2 40kg 360000 mary paid", "sold mary paid 360000 40kg p2",
         "sold 360000 p2 mary paid 40kg"},
        {"cost 5000 p2 lime yesterday", "cost lime p2 yesterday 5000",
         "p2 cost yesterday lime 5000"},
        {"paid mary 50000 today", "paid today 50000 mary", "mary paid 50000 today"},
        {"price bran 45000 a bag", "price 45000 a bag bran", "price a bag bran 45000"},
        {"season 2000 a month may-september 2g", "season 2g may-september 2000 a month",
         "season may-september 2000 2g a month"},
        {"bought 2 bags pellets 90000 14 march", "bought 14 march pellets 90000 2 bags",
         "bought 2 bags 90000 pellets 14 march"},
    };
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        struct read_text want = read_text('e', same[i][0]);
        for (int k = 0; k < 3; k++) {
            struct read_text got = read_text('e', same[i][k]);
            if (got.result.reading != TEXT_REQUEST || strcmp(got.line, want.line) != 0)
                fail_msg("\"%s\": got %s \"%s\" [%s], wanted \"%s\"", same[i][k],
                         reading_names[got.result.reading], got.line, got.result.token, want.line);
        }
    }
}

static void a_person_alone(void **state) {
    (void)state;
    static const struct {
        const char *text, *name; /* NULL: none */
    } table[] = {{"mary", "mary"},
                 {"Mary Wanjiku please", "mary wanjiku"},
                 {"to the lake hotel", "lake hotel"},
                 {"for me", NULL},
                 {"him", NULL},
                 {"mary 5000", NULL},
                 {"mary and john", NULL},
                 {"mary john peter paul", NULL},
                 {"p2", NULL},
                 {"", NULL},
                 {"\xff", NULL}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        char got[REQUEST_NAME_MAX + 1] = "";
        struct arena arena = arena_make(64 * 1024);
        enum err e = text_name_alone(reader, grammar.en, slice_of(table[i].text), &arena, got);
        arena_free(&arena);
        if (e != (table[i].name ? ERR_OK : ERR_NOT_FOUND) ||
            strcmp(got, table[i].name ? table[i].name : "") != 0)
            fail_msg("\"%s\": got \"%s\", wanted %s", table[i].text, got,
                     table[i].name ? table[i].name : "none");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orders),        cmocka_unit_test(seasons),
        cmocka_unit_test(prices),        cmocka_unit_test(costs),
        cmocka_unit_test(sums),          cmocka_unit_test(sales),
        cmocka_unit_test(debts),         cmocka_unit_test(purchases),
        cmocka_unit_test(order_is_free), cmocka_unit_test(a_person_alone),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
