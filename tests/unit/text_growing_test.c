/* Texts about growing ponds, their water, feed and weights, as people write them in both
 * languages. */
#include "text_rows.h"

static void feeding(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "feed", "feed"),
        READ('e', "feed p2", "feed pond=p2"),
        READ('e', "feed p2 3 tins", "feed count_milli=3000 pond=p2 choices=tin"),
        READ('e', "feed f3", "feed tag=f3"),
        READ('e', "feed p2 1.2kg", "feed weight_mg=1200000 pond=p2"),
        READ('e', "how much feed p2", "feed pond=p2"),
        READ('e', "gave p2 3 tins", "gave count_milli=3000 pond=p2 choices=tin"),
        READ('e', "gave p2 3tins", "gave count_milli=3000 pond=p2 choices=tin"),
        READ('e', "gave p2 2.5 tins bran", "gave count_milli=2500 pond=p2 choices=tin feed=bran"),
        READ('e', "gave p2 2,5 tins of bran",
             "gave count_milli=2500 pond=p2 choices=tin feed=bran"),
        READ('e', "gave p2 0.5 bucket fish meal",
             "gave count_milli=500 pond=p2 choices=bucket feed=fish%20meal"),
        READ('e', "gave p2 1.2kg", "gave weight_mg=1200000 pond=p2"),
        READ('e', "gave p2 1.2kg pellets yesterday 18:30",
             "gave weight_mg=1200000 time=18:30 day=-1 pond=p2 feed=pellets"),
        READ('e', "gave p2 3 tins 1830", "gave time=18:30 count_milli=3000 pond=p2 choices=tin"),
        READ('e', "gave p2 1,500g", "gave weight_mg=1500000 pond=p2"),
        READ('e', "gave p2 3 cups yellow mash 6am",
             "gave time=06:00 count_milli=3000 pond=p2 choices=cup feed=yellow%20mash"),
        READ('e', "fed p2 3 tins", "fed count_milli=3000 pond=p2 choices=tin"),
        READ('e', "fed p2 1.5kg bran", "fed weight_mg=1500000 pond=p2 feed=bran"),
        READ('e', "fed f3", "fed tag=f3"),
        READ('e', "left p4", "left pond=p4"),
        READ('e', "food left p4", "left pond=p4"),
        READ('e', "p4 food left today", "left day=0 pond=p4"),
        READ('e', "food left", "left"),
        READ('s', "lisha", "feed"),
        READ('s', "lisha p2", "feed pond=p2"),
        READ('s', "nimewapa p2 makopo 3", "gave count_milli=3000 pond=p2 choices=tin"),
        READ('s', "nimewapa p2 makopo 2.5 ya pumba",
             "gave count_milli=2500 pond=p2 choices=tin feed=pumba"),
        READ('s', "nimewapa p2 kilo 1.2 unga wa samaki saa 1 asubuhi",
             "gave weight_mg=1200000 time=07:00 pond=p2 feed=unga%20wa%20samaki"),
        READ('s', "tumewapa p2 ndoo 1 leo", "gave day=0 count_milli=1000 pond=p2 choices=bucket"),
        READ('s', "nimelisha p2 makopo 3", "fed count_milli=3000 pond=p2 choices=tin"),
        READ('s', "chakula kimebaki p4", "left pond=p4"),
        READ('s', "kimebaki p4 jana", "left day=-1 pond=p4"),
        READ('e', "gave p2 half a tin", "gave count_milli=500 pond=p2 choices=tin"),
        READ('e', "gave p2 a half tin of bran",
             "gave count_milli=500 pond=p2 choices=tin feed=bran"),
        READ('e', "gave p2 one tin", "gave count_milli=1000 pond=p2 choices=tin"),
        READ('e', "gave p2 a tin of bran", "gave count_milli=1000 pond=p2 choices=tin feed=bran"),
        READ('e', "gave p2 2 and a half tins", "gave count_milli=2500 pond=p2 choices=tin"),
        READ('e', "gave p2 2 tins and a half", "gave count_milli=2500 pond=p2 choices=tin"),
        READ('e', "gave p2 one and a half tins", "gave count_milli=1500 pond=p2 choices=tin"),
        READ('e', "gave p2 1/2 tin", "gave count_milli=500 pond=p2 choices=tin"),
        READ('e', "gave p2 2 1/2 tins", "gave count_milli=2500 pond=p2 choices=tin"),
        READ('e', "gave p2 a quarter of a bucket 6am",
             "gave time=06:00 count_milli=250 pond=p2 choices=bucket"),
        READ('e', "gave p2 half a kilo", "gave weight_mg=500000 pond=p2"),
        READ('e', "gave p2 2 and a half kg bran", "gave weight_mg=2500000 pond=p2 feed=bran"),
        READ('e', "gave p2 bran", "gave pond=p2 feed=bran"), /* the turn asks: how much */
        READ('e', "fed p2 bran", "fed pond=p2 feed=bran"),
        READ('e', "bought bran", "bought feed=bran"),
        READ('e', "bought half a bag of pellets",
             "bought count_milli=500 choices=bag feed=pellets"),
        READ('e', "left p2 half a tin", "left count_milli=500 pond=p2 choices=tin"),
        READ('e', "food left p2 1kg bran", "left weight_mg=1000000 pond=p2 feed=bran"),
        READ('e', "left p2 1830", "left time=18:30 pond=p2"),
        READ('s', "nimewapa p2 nusu kopo", "gave count_milli=500 pond=p2 choices=tin"),
        READ('s', "nimewapa p2 kopo nusu", "gave count_milli=500 pond=p2 choices=tin"),
        READ('s', "nimewapa p2 kopo moja", "gave count_milli=1000 pond=p2 choices=tin"),
        READ('s', "nimewapa p2 kopo moja na nusu", "gave count_milli=1500 pond=p2 choices=tin"),
        READ('s', "nimewapa p2 makopo 2 na nusu ya pumba",
             "gave count_milli=2500 pond=p2 choices=tin feed=pumba"),
        READ('s', "nimewapa p2 makopo mawili", "gave count_milli=2000 pond=p2 choices=tin"),
        READ('s', "nimewapa p2 kilo moja", "gave weight_mg=1000000 pond=p2"),
        READ('s', "nimewapa p2 kilo 2 na nusu", "gave weight_mg=2500000 pond=p2"),
        READ('s', "nimewapa p2 nusu kilo", "gave weight_mg=500000 pond=p2"),
        READ('s', "mabaki p2", "left pond=p2"),
        READ('s', "mabaki ya chakula p2 jana", "left day=-1 pond=p2"),
        READ('s', "nimetoa p2 3kg", "gave weight_mg=3000000 pond=p2"),
        READ('s', "tumetoa p2 makopo 3 ya pumba",
             "gave count_milli=3000 pond=p2 choices=tin feed=pumba"),
        READ('s', "nimetoa mayai f3 150g", "strip tag=f3 weight_mg=150000"),
        UNKNOWN('s', "nimetoa pesa", "nimetoa"),
        READ('s', "kimebaki p2 kopo moja", "left count_milli=1000 pond=p2 choices=tin"),
        BARE('e', "half a tin", "- count_milli=500 choices=tin"),
        BARE('e', "a tin", "- count_milli=1000 choices=tin"),
        BARE('s', "kopo moja", "- count_milli=1000 choices=tin"),
        READ('e', "gave p2 3kg yesterday", "gave weight_mg=3000000 day=-1 pond=p2"),
        READ('e', "gave p2 3kg on 1 march", "gave weight_mg=3000000 pond=p2 date=0-3-1"),
        READ('e', "gave p2 3kg 1 march 18:30",
             "gave weight_mg=3000000 time=18:30 pond=p2 date=0-3-1"),
        READ('e', "gave p2 3kg 2 days ago", "gave weight_mg=3000000 day=-2 pond=p2"),
        READ('e', "left p2 on 1 march", "left pond=p2 date=0-3-1"),
        READ('e', "dead p2 5 on 3 march", "dead tag=p2 count_milli=5000 date=0-3-3"),
        READ('e', "dead p2 5 3/3/2027", "dead tag=p2 count_milli=5000 date=2027-3-3"),
        READ('e', "dead 5 p2 3 days ago", "dead tag=p2 day=-3 count_milli=5000"),
        READ('e', "gave p2 1kg 1/2", "gave weight_mg=1000000 pond=p2 date=0-2-1"),
        READ('e', "catch p2 in 3 days", "catch day=3 pond=p2"),
        READ('e', "catch p2 in 2 weeks", "catch day=14 pond=p2"),
        READ('e', "growth p2 in 30 days", "growth day=30 pond=p2"),
        READ('s', "wamekufa p2 5 tarehe 3 machi", "dead tag=p2 count_milli=5000 date=0-3-3"),
        READ('s', "nimewapa p2 3kg jana", "gave weight_mg=3000000 day=-1 pond=p2"),
        READ('s', "nimewapa p2 3kg siku 2 zilizopita", "gave weight_mg=3000000 day=-2 pond=p2"),
        ASKS('e', "gave p2 3kg 3 days", UNIT, "3 days", "gave weight_mg=3000000 pond=p2"),
        ASKS('e', "gave bran to chickens", TWICE, "chickens", "gave"),
        ASKS('e', "gave p2 -3 tins", TOKEN, "-3", "gave pond=p2 choices=tin"),
        ASKS('e', "gave p2 1,250 tins", NUMBER, "1,250", "gave pond=p2 choices=tin"),
        ASKS('e', "gave p2 3 tins best quality bran", TWICE, "bran",
             "gave count_milli=3000 pond=p2 choices=tin feed=best%20quality"),
        ASKS('e', "gave p2 3 tins bran pellets", TWICE, "pellets",
             "gave count_milli=3000 pond=p2 choices=tin feed=bran"),
        ASKS('e', "gave him 500", TOKEN, "him", "gave count_milli=500000"),
        ASKS('e', "gave 150g of eggs", TOKEN, "eggs", "gave weight_mg=150000"),
        ASKS('e', "fed the children", TOKEN, "children", "fed"),
        ASKS('e', "gave 3", UNIT, "3", "gave count_milli=3000"),
        READ('e', "gave p2 3", "gave count_milli=3000 pond=p2"), /* the turn asks: of what */
        ASKS('e', "fed f3 20", UNIT, "20", "fed tag=f3 count_milli=20000"),
        ASKS('e', "f3 gave 150g", TOKEN, "f3", "gave weight_mg=150000"),
        READ('e', "she gave 150g", "strip weight_mg=150000"),
        UNKNOWN('e', "left at 6pm", "left"), /* without a pond it is somebody who left */
        BARE('e', "p2 3 tins", "- tag=p2 count_milli=3000 choices=tin"),
    };
    CHECK_ROWS(rows);
}

static void measures(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "tin 350g bran", "measure weight_mg=350000 choices=tin feed=bran"),
        READ('e', "cup 120g", "measure weight_mg=120000 choices=cup"),
        READ('e', "bag 25kg pellets", "measure weight_mg=25000000 choices=bag feed=pellets"),
        READ('e', "sack 25kg pellets", "measure weight_mg=25000000 choices=bag feed=pellets"),
        READ('e', "bucket 5kg", "measure weight_mg=5000000 choices=bucket"),
        READ('e', "a scoop is 80 g", "measure weight_mg=80000 choices=scoop"),
        ASKS('e', "bowl holds 400g", TOKEN, "holds", "measure weight_mg=400000 choices=bowl"),
        ASKS('e', "cup 250g sugar", TOKEN, "sugar", "measure weight_mg=250000 choices=cup"),
        READ('e', "measure cup 250g kitchen waste",
             "measure weight_mg=250000 choices=cup feed=kitchen%20waste"),
        READ('e', "measure tin 350g", "measure weight_mg=350000 choices=tin"),
        READ('e', "measure", "measure"),
        READ('e', "tins 350g of fish meal",
             "measure weight_mg=350000 choices=tin feed=fish%20meal"),
        READ('s', "kopo 350g pumba", "measure weight_mg=350000 choices=tin feed=pumba"),
        READ('s', "kikombe gramu 120", "measure weight_mg=120000 choices=cup"),
        READ('s', "ndoo kilo 5", "measure weight_mg=5000000 choices=bucket"),
        READ('s', "gunia kilo 25 pumba za mahindi",
             "measure weight_mg=25000000 choices=bag feed=pumba%20za%20mahindi"),
        READ('s', "kipimio bakuli 400g", "measure weight_mg=400000 choices=bowl"),
        READ('e', "tin 350g cup", "measure weight_mg=350000 choices=tin,cup"), /* the turn asks */
        BARE('e', "3 tins", "- count_milli=3000 choices=tin"),
        BARE('s', "makopo 3", "- count_milli=3000 choices=tin"),
        BARE('e', "2.5 bags", "- count_milli=2500 choices=bag"),
        ASKS('e', "bucket 20 litres water", TOKEN, "bucket", "water"),
    };
    CHECK_ROWS(rows);
}

static void tables_and_mixes(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "table", "table"),
        READ('e', "table book", "table choices=book"),
        READ('e', "table 10g 5% 50g 3.5% 200g 2.5%",
             "table parts=:10000:50000,:50000:35000,:200000:25000"),
        READ('e', "table: 10 g = 5 percent, 1kg = 2,25 %",
             "table parts=:10000:50000,:1000000:22500"),
        READ('s', "jedwali 10g 5% gramu 50 3.5%", "table parts=:10000:50000,:50000:35000"),
        READ('s', "jedwali kitabu", "table choices=book"),
        ASKS('e', "table 10g 5% 50g", UNIT, "50g", "table parts=:10000:50000"),
        ASKS('e', "table 10g 50g 5%", UNIT, "10g", "table parts=:50000:50000"),
        ASKS('e', "table 5%", UNIT, "5%", "table"),
        ASKS('e', "table 10g 105%", TOKEN, "105%", "table"),
        ASKS('e', "table 5 people", TOKEN, "people", "table"),
        READ('e', "blend 35% bran 12% fish meal 60%",
             "blend parts=::350000,bran::120000,fish%20meal::600000"),
        READ('e', "blend bran 20kg 12% fish meal 5kg 60%",
             "blend parts=bran:20000000:120000,fish%20meal:5000000:600000"),
        READ('e', "blend 20kg bran 12% 5kg fish meal 60%",
             "blend parts=bran:20000000:120000,fish%20meal:5000000:600000"),
        READ('e', "blend 35% bran and fish meal", "blend parts=::350000,bran::,fish%20meal::"),
        READ('e', "blend bran 20kg fish meal 5kg",
             "blend parts=bran:20000000:,fish%20meal:5000000:"),
        READ('s', "mchanganyo 35% pumba 12% dagaa asilimia 60",
             "blend parts=::350000,pumba::120000,dagaa::600000"),
        ASKS('e', "blend 35% 30% bran 12%", TWICE, "30%", "blend parts=::350000,bran::120000"),
        ASKS('e', "blend 35% bran zzqx 12%", TOKEN, "zzqx", "blend parts=::350000,bran::120000"),
        ASKS('e', "blend 35% 5kg", UNIT, "5kg", "blend parts=::350000"),
    };
    CHECK_ROWS(rows);
}

static void weights(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "sample p2 30 fish 1.95kg", "sample weight_mg=1950000 count_milli=30000 pond=p2"),
        READ('e', "sample p2 1.95kg 30 fish", "sample weight_mg=1950000 count_milli=30000 pond=p2"),
        READ('e', "sample p2 12 15 11 40 22",
             "sample pond=p2 list_milli=12000,15000,11000,40000,22000"),
        READ('e', "sample p2 12, 15, 11, 40", "sample pond=p2 list_milli=12000,15000,11000,40000"),
        READ('e', "sample p2 12,15,11,40", "sample pond=p2 list_milli=12000,15000,11000,40000"),
        READ('e', "sample p2 120,135,110", "sample pond=p2 list_milli=120000,135000,110000"),
        READ('e', "sample p2 1.2,1.5,1.1 kg", "sample pond=p2 list_milli=1200000,1500000,1100000"),
        READ('e', "sample p2 30 fish 1,95kg", "sample weight_mg=1950000 count_milli=30000 pond=p2"),
        READ('e', "sample p2 12 15 11 g", "sample pond=p2 list_milli=12000,15000,11000"),
        READ('e', "sample p2 1.2 1.5 kg", "sample pond=p2 list_milli=1200000,1500000"),
        READ('e', "sample p2 1.2 1.5 0.9 kg yesterday",
             "sample day=-1 pond=p2 list_milli=1200000,1500000,900000"),
        READ('e', "sample p2 120 135 110", "sample pond=p2 list_milli=120000,135000,110000"),
        READ('e', "sample p2 0.5 0.6 0.55", "sample pond=p2 list_milli=500,600,550"),
        READ('e', "sample p2 12 15 1830 40", "sample pond=p2 list_milli=12000,15000,1830000,40000"),
        READ('e', "sample p2 248g 32.7cm", "sample weight_mg=248000 pond=p2 length_um=327000"),
        READ('e', "sample p2 10 fish 2.5kg 32cm",
             "sample weight_mg=2500000 count_milli=10000 pond=p2 length_um=320000"),
        READ('e', "sample 30 fish 1.95kg", "sample weight_mg=1950000 count_milli=30000"),
        READ('s', "sampuli p2 samaki 30 kilo 1.95",
             "sample weight_mg=1950000 count_milli=30000 pond=p2"),
        READ('s', "sampuli p2 gramu 12 15 11", "sample pond=p2 list_milli=12000,15000,11000"),
        READ('s', "sampuli p2 gramu 248 sm 32.7",
             "sample weight_mg=248000 pond=p2 length_um=327000"),
        ASKS('e', "sample p2 12 1,500 11", NUMBER, "1,500", "sample pond=p2 list_milli=12000"),
        ASKS('e', "sample p2 12 15", TWICE, "15", "sample count_milli=12000 pond=p2"),
        ASKS('e', "sample p2 12 15 -11", TOKEN, "-11", "sample pond=p2 list_milli=12000,15000"),
        READ('e', "growth p2", "growth pond=p2"),
        READ('e', "growth p2 300g", "growth weight_mg=300000 pond=p2"),
        READ('e', "growth p2 14 march", "growth pond=p2 date=0-3-14"),
        READ('e', "when p2 300g", "growth weight_mg=300000 pond=p2"),
        READ('e', "when is p2 300g", "growth weight_mg=300000 pond=p2"),
        READ('e', "growth p2 1,500g", "growth weight_mg=1500000 pond=p2"),
        READ('s', "ukuaji p2 gramu 300", "growth weight_mg=300000 pond=p2"),
        READ('s', "lini p2 300g", "growth weight_mg=300000 pond=p2"),
        READ('s', "ukuaji p2 tarehe 14 machi", "growth pond=p2 date=0-3-14"),
        ASKS('e', "growth p2 300", UNIT, "300", "growth pond=p2"),
        UNKNOWN('e', "when", "when"),
    };
    CHECK_ROWS(rows);
}

static void ponds(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "stolen p2 200", "stolen count_milli=200000 pond=p2"),
        READ('e', "theft p2 200 yesterday", "stolen day=-1 count_milli=200000 pond=p2"),
        READ('e', "stolen p2 1,200", "stolen count_milli=1200000 pond=p2"),
        READ('s', "wizi p2 200", "stolen count_milli=200000 pond=p2"),
        READ('s', "samaki wameibiwa p2 200 jana", "stolen day=-1 count_milli=200000 pond=p2"),
        READ('e', "merge p3 into p2", "merge also=p2 pond=p3"),
        READ('e', "merge p3 p2", "merge also=p2 pond=p3"),
        READ('e', "merge p3 and p2 today", "merge day=0 also=p2 pond=p3"),
        READ('s', "unganisha p3 kwenda p2", "merge also=p2 pond=p3"),
        READ('s', "unganisha p3 na p2", "merge also=p2 pond=p3"),
        READ('e', "split p2 to p3 2000", "move count_milli=2000000 also=p3 pond=p2"),
        READ('s', "gawa p2 kwenda p3 2000", "move count_milli=2000000 also=p3 pond=p2"),
        READ('e', "gasp p2", "gasp pond=p2"),
        READ('e', "gasping", "gasp"),
        READ('e', "fish gasp p2", "gasp pond=p2"),
        READ('e', "fish are gasping p2 5am", "gasp time=05:00 pond=p2"),
        READ('s', "samaki wanahema p2", "gasp pond=p2"),
        READ('s', "wanapumua juu ya maji p2", "gasp pond=p2"),
        READ('e', "treated p2", "treated pond=p2"),
        READ('e', "p2 treatment today", "treated day=0 pond=p2"),
        READ('s', "tiba p2 leo", "treated day=0 pond=p2"),
        READ('e', "catch p2 14 march", "catch pond=p2 date=0-3-14"),
        READ('e', "transport p2 tomorrow", "catch day=1 pond=p2"),
        READ('e', "catch p2 14/3", "catch pond=p2 date=0-3-14"),
        READ('s', "kuvua p2 14 machi", "catch pond=p2 date=0-3-14"),
        READ('s', "kusafirisha p2 kesho", "catch day=1 pond=p2"),
        READ('e', "height 1200m", "height height_m=1200"),
        READ('e', "altitude 1200 m", "height height_m=1200"),
        READ('e', "height 1,200 metres", "height height_m=1200"),
        READ('e', "height 1200", "height height_m=1200"),
        READ('s', "mwinuko mita 1200", "height height_m=1200"),
        ASKS('e', "height 3900 feet", UNIT, "3900 feet", "height"),
        ASKS('e', "height 1200m 1300m", TWICE, "1300m", "height height_m=1200"),
        ASKS('e', "height -5", TOKEN, "-5", "height"),
        READ('e', "harvest p2 60 fish 40kg big",
             "harvest weight_mg=40000000 count_milli=60000 pond=p2 choices=big"),
        READ('s', "vuna p2 samaki 60 kilo 40 wakubwa",
             "harvest weight_mg=40000000 count_milli=60000 pond=p2 choices=big"),
        READ('e', "status p2", "status pond=p2"),
        READ('e', "how is p2", "status pond=p2"),
        READ('e', "spawn 4", "status count_milli=4000"),
        READ('e', "status f3", "status tag=f3"),
        READ('e', "status b2", "status tank=b2"),
        READ('s', "hali p2", "status pond=p2"),
        READ('s', "hali ya f3", "status tag=f3"),
        BARE('e', "p2", "- tag=p2"),
        BARE('e', "f3", "- tag=f3"),
    };
    CHECK_ROWS(rows);
}

/* pi/4 d2 h by hand: 7.5 m across and 2 m deep is 88.3572933822 m3; 20 m across 314.159265359 m2.
 */
static void round_ones(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "tank b2 7.5m across 2m deep", "tank tank=b2 volume_ml=88357293"),
        READ('e', "tank b2 2m deep 7.5m across", "tank tank=b2 volume_ml=88357293"),
        READ('e', "tank b2 round 7.5m 2m", "tank tank=b2 volume_ml=88357293"),
        READ('e', "tank b2 7.5m 2m round", "tank tank=b2 volume_ml=88357293"),
        READ('e', "round tank b2 diameter 7.5m depth 2m", "tank tank=b2 volume_ml=88357293"),
        READ('e', "tank b2 depth 200 cm across 750cm", "tank tank=b2 volume_ml=88357293"),
        READ('e', "tank b2 7.5 m in diameter, 2 m", "tank tank=b2 volume_ml=88357293"),
        READ('s', "tangi b2 kipenyo mita 7.5 kina mita 2", "tank tank=b2 volume_ml=88357293"),
        READ('s', "tangi b1 7.5m kina 2m", "tank tank=b1 volume_ml=88357293"),
        READ('s', "tangi b1 kina 2m 7.5m", "tank tank=b1 volume_ml=88357293"),
        READ('e', "tank b1 7.5m 2m deep", "tank tank=b1 volume_ml=88357293"),
        READ('s', "tangi b2 mviringo 7.5m 2m", "tank tank=b2 volume_ml=88357293"),
        READ('e', "pond p4 round 20m", "pond pond=p4 area_cm2=3141593"),
        READ('e', "pond p4 20m across 1.2m deep", "pond pond=p4 area_cm2=3141593 depth_mm=1200"),
        READ('e', "pond p4 round 20m 1.2m", "pond pond=p4 area_cm2=3141593 depth_mm=1200"),
        READ('s', "bwawa p4 mviringo 20m kina 1.2m", "pond pond=p4 area_cm2=3141593 depth_mm=1200"),
        READ('e', "pond p4 aerated", "pond pond=p4 choices=aerated"),
        READ('e', "pond p4 still", "pond pond=p4 choices=still"),
        READ('s', "bwawa p4 kipulizi", "pond pond=p4 choices=aerated"),
        READ('s', "bwawa p4 bila kipulizi", "pond pond=p4 choices=still"),
        READ('e', "pond p4 1.2m", "pond pond=p4 depth_mm=1200"), /* as before */
        ASKS('e', "tank b2 7.5m across", UNIT, "7.5m across", "tank tank=b2"),
        ASKS('e', "tank b2 2m", UNIT, "2m", "tank tank=b2"),
        ASKS('e', "tank b2 round", UNIT, "round", "tank tank=b2"),
        ASKS('e', "pond p4 round 20m 1.2m 3m", TWICE, "3m",
             "pond pond=p4 area_cm2=3141593 depth_mm=1200"),
    };
    CHECK_ROWS(rows);
}

static void water(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "water p2 t26 do3.2 ph7.8 tan0.5 no2 0.1 secchi 22",
             "water water_mdegc=26000 pond=p2 ph_milli=7800 oxygen_ug_l=3200 ammonia_ug_l=500 "
             "nitrite_ug_l=100 secchi_mm=220"),
        READ('e', "water p2 do 3.2", "water pond=p2 oxygen_ug_l=3200"),
        READ('e', "water p2 do=3.2", "water pond=p2 oxygen_ug_l=3200"),
        READ('e', "water p2 oxygen 3.2 mg/l", "water pond=p2 oxygen_ug_l=3200"),
        READ('e', "water p2 oxygen is 3,2", "water pond=p2 oxygen_ug_l=3200"),
        READ('e', "water p2 o2 3.2", "water pond=p2 oxygen_ug_l=3200"),
        READ('e', "water p2 ammonia 0.5 ppm", "water pond=p2 ammonia_ug_l=500"),
        /* as nitrogen: 14.0067 of 18.0383 g/mol (IUPAC 2021, abridged), 466 of 600 */
        READ('e', "water p2 nh4 0.6", "water pond=p2 ammonia_ug_l=466"),
        READ('e', "water p2 nitrite 0.1", "water pond=p2 nitrite_ug_l=100"),
        READ('e', "water p2 secchi 22cm", "water pond=p2 secchi_mm=220"),
        READ('e', "water p2 secchi 0.35 m", "water pond=p2 secchi_mm=350"),
        READ('e', "water p2 ph 7.8", "water pond=p2 ph_milli=7800"),
        READ('e', "water b2 do 5 t 27", "water water_mdegc=27000 tank=b2 oxygen_ug_l=5000"),
        READ('e', "do3.2 t26 water p2 6am",
             "water time=06:00 water_mdegc=26000 pond=p2 oxygen_ug_l=3200"),
        READ('e', "water p2 26", "water water_mdegc=26000 pond=p2"),
        READ('e', "water p2 15", "water water_mdegc=15000 pond=p2"),
        READ('e', "water p2 36", "water water_mdegc=36000 pond=p2"),
        ASKS('e', "water p2 14.9", READING, "14.9", "water pond=p2"),
        ASKS('e', "water p2 5", READING, "5", "water pond=p2"),
        ASKS('e', "water p2 37", READING, "37", "water pond=p2"),
        ASKS('s', "maji p2 7.5", READING, "7.5", "water pond=p2"),
        READ('e', "water p2 5c", "water water_mdegc=5000 pond=p2"),
        READ('e', "p2 water 26", "water water_mdegc=26000 pond=p2"),
        READ('e', "water 24", "water water_mdegc=24000"),
        READ('e', "water t24", "water water_mdegc=24000"),
        READ('e', "water f3 22", "water tag=f3 water_mdegc=22000"),
        READ('e', "water temp 24", "temp water_mdegc=24000"),
        READ('e', "temp p2 26", "temp water_mdegc=26000 pond=p2"),
        READ('e', "inject f3 1.2kg 18:30 water 24",
             "inject tag=f3 weight_mg=1200000 time=18:30 water_mdegc=24000"),
        READ('s', "maji p2 t26 oksijeni 3.2 ph 7,8",
             "water water_mdegc=26000 pond=p2 ph_milli=7800 oxygen_ug_l=3200"),
        READ('s', "maji p2 amonia 0.5 nitriti 0.1 secchi 22",
             "water pond=p2 ammonia_ug_l=500 nitrite_ug_l=100 secchi_mm=220"),
        READ('s', "maji 24", "water water_mdegc=24000"),
        ASKS('e', "water p2 do 80%", UNIT, "do 80%", "water pond=p2"),
        ASKS('e', "water p2 do 3kg", UNIT, "do 3kg", "water pond=p2"),
        ASKS('e', "water p2 secchi 3kg", UNIT, "secchi 3kg", "water pond=p2"),
        ASKS('e', "water p2 t 3kg", UNIT, "t 3kg", "water pond=p2"),
        ASKS('e', "sample p2 30 fish 2m", UNIT, "2m", "sample count_milli=30000 pond=p2"),
        ASKS('e', "water p2 do 3.2xyz", TOKEN, "do 3.2xyz", "water pond=p2"),
        ASKS('e', "water p2 do -1", TOKEN, "do -1", "water pond=p2"),
        ASKS('e', "water p2 do 3.2 do 4", TWICE, "do 4", "water pond=p2 oxygen_ug_l=3200"),
        ASKS('e', "water p2 nh4 2000", NUMBER, "nh4 2000", "water pond=p2"),
        ASKS('e', "water p2 22cm", UNIT, "22cm", "water pond=p2"),
        BARE('e', "do 3.2", "- oxygen_ug_l=3200"),
        UNKNOWN('e', "do 3 things", "things"),
    };
    CHECK_ROWS(rows);
}

static void names_of_feed(void **state) {
    (void)state;
    static const struct {
        const char *name;
        bool heard;
    } table[] = {{"bran", true},           {"fish meal", true}, {"yellow mash", true},
                 {"unga wa samaki", true}, {"sugar", false},    {"bran zzqx", false},
                 {"zzqx", false},          {"", false},         {"meal", false}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (text_feed_heard(reader, table[i].name) != table[i].heard)
            fail_msg("\"%s\": wanted %s", table[i].name, table[i].heard ? "heard" : "not heard");
}

static void a_name_alone(void **state) {
    (void)state;
    static const struct {
        const char *text, *name; /* NULL: none */
    } table[] = {{"bran", "bran"},
                 {"Fish meal please", "fish meal"},
                 {"it is yellow mash.", "yellow mash"},
                 {"unga wa samaki", "unga wa samaki"},
                 {"bran pellets", NULL},
                 {"bran 2kg", NULL},
                 {"3 tins", NULL},
                 {"yes", NULL},
                 {"p2", NULL},
                 {"undo", NULL},
                 {"stop", NULL},
                 {"one two three", NULL},
                 {"abcdefghijk lmnopqrstuv", NULL}, /* too long */
                 {"", NULL},
                 {"\xff", NULL}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        char got[REQUEST_FEED_MAX + 1] = "";
        struct arena arena = arena_make(64 * 1024);
        enum err e = text_feed_alone(reader, grammar.en, slice_of(table[i].text), &arena, got);
        arena_free(&arena);
        if (e != (table[i].name ? ERR_OK : ERR_NOT_FOUND) ||
            strcmp(got, table[i].name ? table[i].name : "") != 0)
            fail_msg("\"%s\": got \"%s\", wanted %s", table[i].text, got,
                     table[i].name ? table[i].name : "none");
    }
}

static void the_store(void **state) {
    (void)state;
    static const struct row rows[] = {
        READ('e', "bought 50kg pellets", "bought weight_mg=50000000 feed=pellets"),
        READ('e', "bought 2 bags pellets", "bought count_milli=2000 choices=bag feed=pellets"),
        READ('e', "bought 2 bags of maize bran 14 march",
             "bought count_milli=2000 date=0-3-14 choices=bag feed=maize%20bran"),
        ASKS('e', "bought 1,500 kg bran yesterday", NUMBER, "1,500 kg", "bought day=-1"),
        READ('e', "store", "store"),
        READ('e', "store 30kg pellets", "store weight_mg=30000000 feed=pellets"),
        READ('e', "store 2 bags pellets", "store count_milli=2000 choices=bag feed=pellets"),
        READ('e', "store pellets", "store feed=pellets"),
        READ('s', "nimenunua kilo 50 pumba", "bought weight_mg=50000000 feed=pumba"),
        READ('s', "nimenunua magunia 2 ya pumba za ngano",
             "bought count_milli=2000 choices=bag feed=pumba%20za%20ngano"),
        READ('s', "ghala", "store"),
        READ('s', "ghala kilo 30 dagaa", "store weight_mg=30000000 feed=dagaa"),
        ASKS('e', "bought bread", TOKEN, "bread", "bought"),
        ASKS('e', "bought 50 pellets", TOKEN, "pellets", "bought count_milli=50000"),
        ASKS('e', "bought 2 bags pellets and bran", TWICE, "bran",
             "bought count_milli=2000 choices=bag feed=pellets"),
    };
    CHECK_ROWS(rows);
}

/* Where no list is used the order says nothing. */
static void order_is_free(void **state) {
    (void)state;
    static const char *const same[][3] = {
        {"gave p2 2.5 tins bran 18:30", "gave bran 18:30 2.5 tins p2",
         "gave 18:30 p2 bran 2.5 tins"},
        {"gave p2 1.2kg pellets today", "gave today pellets 1.2kg p2",
         "p2 1.2kg today gave pellets"},
        {"bought 2 bags pellets 14 march", "bought pellets 14 march 2 bags",
         "bought 14 march pellets 2 bags"},
        {"sample p2 10 fish 2.5kg 32cm", "sample 32cm 2.5kg 10 fish p2",
         "sample 10 fish 32cm p2 2.5kg"},
        {"tin 350g bran", "tin bran 350g", "measure bran 350g tin"},
        {"growth p2 300g 14 march", "growth 14 march 300g p2", "growth 300g p2 14 march"},
        {"stolen p2 200 yesterday", "stolen yesterday 200 p2", "stolen 200 yesterday p2"},
        {"water p2 t26 do3.2 ph7.8 tan0.5", "water tan0.5 ph7.8 p2 do3.2 t26",
         "do3.2 ph7.8 t26 p2 water tan0.5"},
        {"water p2 no2 0.1 secchi 22cm 6am", "water 6am secchi 22cm no2 0.1 p2",
         "water secchi 22cm p2 6am no2 0.1"},
        {"tank b2 7.5m across 2m deep", "tank 2m deep 7.5m across b2",
         "tank 7.5m across b2 2m deep"},
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

/* As many numbers and shares as there is room for, and one more. */
static void room_for_many(void **state) {
    (void)state;
    struct buf text = buf_make(2000);
    for (int extra = 0; extra < 2; extra++) {
        buf_clear(&text);
        buf_puts(&text, "sample p2");
        for (int i = 0; i < LIST_MAX + extra; i++)
            buf_putf(&text, " %d", 10 + i);
        struct read_text got = read_text('e', buf_str(&text));
        assert_int_equal(got.result.reading, extra ? TEXT_DOUBT : TEXT_REQUEST);
        assert_int_equal(got.result.request.list_count, LIST_MAX);
        buf_clear(&text);
        buf_puts(&text, "table");
        for (int i = 0; i < PARTS_MAX + extra; i++)
            buf_putf(&text, " %dg %d%%", 10 + i, 9 - i);
        got = read_text('e', buf_str(&text));
        assert_int_equal(got.result.reading, extra ? TEXT_DOUBT : TEXT_REQUEST);
        assert_int_equal(got.result.request.part_count, PARTS_MAX);
    }
    buf_free(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(feeding),
        cmocka_unit_test(measures),
        cmocka_unit_test(tables_and_mixes),
        cmocka_unit_test(weights),
        cmocka_unit_test(ponds),
        cmocka_unit_test(round_ones),
        cmocka_unit_test(water),
        cmocka_unit_test(the_store),
        cmocka_unit_test(names_of_feed),
        cmocka_unit_test(a_name_alone),
        cmocka_unit_test(order_is_free),
        cmocka_unit_test(room_for_many),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
