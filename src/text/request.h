/* request: what one text asks for, resolved to numbers and units, free of words and language. The
 * text room makes them, the turn room judges them; an open question keeps one as a line of text
 * (request_write, request_read) until its bare answer comes. Pure. */
#ifndef TEXT_REQUEST_H
#define TEXT_REQUEST_H

#include "base/buf.h"

/* Kinds of message. The names (request_kind_name) are the ids in grammar/messages.conf and in the
 * catalogues' "word.ID" and "help.ID". */
enum request_kind {
    REQUEST_NONE = 0, /* values without a kind: a bare answer */
    /* from injection to frames */
    REQUEST_INJECT,
    REQUEST_PLAN,
    REQUEST_TEMP,
    REQUEST_WAIT,
    REQUEST_NO_EGGS,
    REQUEST_OK,
    REQUEST_STRIP,
    REQUEST_WHITE,
    REQUEST_FRAMES,
    /* for everybody */
    REQUEST_UNDO,
    REQUEST_WHY,
    REQUEST_TODAY,
    REQUEST_HELP,
    REQUEST_LANGUAGE,
    REQUEST_STOP,
    REQUEST_START,
    REQUEST_YES,
    REQUEST_NO,
    REQUEST_FIX,
    /* brood fish */
    REQUEST_BROOD,
    REQUEST_READY,
    REQUEST_DOSE,
    REQUEST_DEAD,
    /* eggs and larvae */
    REQUEST_FERTILE,
    REQUEST_SPOILT,
    REQUEST_HATCH,
    REQUEST_FED,
    REQUEST_GRADE,
    REQUEST_COUNT,
    REQUEST_TANK,
    REQUEST_SOURCE,
    /* troubles: one word each */
    REQUEST_MILT,
    REQUEST_STICK,
    REQUEST_CLUMP,
    REQUEST_BLOOD,
    REQUEST_PLUG,
    REQUEST_AIR_OFF,
    REQUEST_AIR_ON,
    /* nursery ponds */
    REQUEST_POND,
    REQUEST_PREP,
    REQUEST_STOCK,
    REQUEST_HARVEST,
    REQUEST_MOVE,
    REQUEST_SOLD,
    /* growing ponds */
    REQUEST_FEED,    /* asks: how much today, of all ponds or one */
    REQUEST_GAVE,    /* records */
    REQUEST_LEFT,    /* food left from the last meal */
    REQUEST_MEASURE, /* "tin 350g bran": its own word is one of the measures */
    REQUEST_TABLE,   /* the farm's own feeding table */
    REQUEST_SAMPLE,
    REQUEST_GROWTH, /* asks: weight by a date, a date by weight */
    REQUEST_STOLEN,
    REQUEST_MERGE,   /* all of one pond into another */
    REQUEST_WATER,   /* what was measured in a pond's or tank's water */
    REQUEST_GASP,    /* fish gasp at the surface */
    REQUEST_TREATED, /* a treatment runs: no feed; which and how much is never asked */
    REQUEST_CATCH,   /* a day is set for harvest or transport */
    REQUEST_HEIGHT,  /* of the farm above the sea */
    /* feed store */
    REQUEST_BOUGHT,
    REQUEST_STORE, /* alone asks, with a weight counts */
    REQUEST_BLEND, /* two feeds for a wanted protein, or the protein of a mix */
    /* where anything stands; also a tag alone */
    REQUEST_STATUS,
    /* orders and plans. ORDER alone with a small plain number is about the order of that number:
     * the turn decides. */
    REQUEST_ORDER,
    REQUEST_ORDERS,   /* asks */
    REQUEST_CALL_OFF, /* an order of that number; also "order 3 off" */
    REQUEST_SEASON,
    REQUEST_RATES, /* asks: the farm's own numbers */
    /* money. Who and what for are any words, so a name that the farm has not heard is better asked
     * about than recorded. */
    REQUEST_CURRENCY,
    REQUEST_PRICE, /* of a feed, or of what a choice names */
    REQUEST_COST,
    REQUEST_PAID, /* a buyer pays the farm */
    REQUEST_OWES, /* asks */
    /* all of it at once; each asks */
    REQUEST_WEEK,
    REQUEST_MONTH,
    REQUEST_MORE, /* the rest of a list that was cut */
    /* people */
    REQUEST_WORKER,
    REQUEST_ADVISER,
    REQUEST_WATCHER,
    REQUEST_REMOVE,
    REQUEST_JOIN,
    REQUEST_CODE,
    REQUEST_FARM,
    REQUEST_HOURS,
    REQUEST_KIND_COUNT
};

/* Slots, told apart by unit, letter or form. A bit each in request.has. The names
 * (request_slot_name) are those in messages.conf. A tag's letter decides its slot: m is SLOT_MALE,
 * b SLOT_TANK, p SLOT_POND where the kind has that slot, else SLOT_TAG; a second one of the same
 * letter is SLOT_ALSO. */
enum request_slot {
    SLOT_TAG,      /* f3 */
    SLOT_WEIGHT,   /* 1.2kg, 150g */
    SLOT_TIME,     /* 18:30, 6am, now */
    SLOT_DAY,      /* today, yesterday, tomorrow */
    SLOT_WATER,    /* t24, 24c */
    SLOT_COUNT,    /* a plain number */
    SLOT_OF,       /* of 100; 60% is 60 of 100, 62.5% 625 of 1000 */
    SLOT_SAME,     /* the word "same" */
    SLOT_TOPIC,    /* a kind of message, behind help */
    SLOT_LANGUAGE, /* a language, behind language */
    SLOT_ALSO,     /* f4 f5 behind f3, m2 behind m1, p5 behind p4 */
    SLOT_MALE,     /* m1 */
    SLOT_TANK,     /* b2 */
    SLOT_POND,     /* p4 */
    SLOT_SAMPLE,   /* of two weights that of the sample counted; heavier: they were turned round */
    SLOT_VOLUME,   /* 500 litres, 2 m3, 2x1x0.5m */
    SLOT_AREA,     /* 4 ares, 400 m2, 20x20m, 0.1 acre, 0.04 ha */
    SLOT_DEPTH,    /* depth 0.8m, 80cm */
    SLOT_PER_KG,   /* 0.5ml/kg, 0.5 ml per kg, 0.5ml */
    SLOT_AGE,      /* 14 months, 2 years, 8 weeks, 30 days */
    SLOT_DATE,     /* 14 march, 14 mar 2027, 14/3; a bare 14/3 is count and of as well */
    SLOT_PH,       /* ph 7.8 */
    SLOT_PHONE,    /* +447700900123, 07700 900123 */
    SLOT_NAME,     /* behind from, for or to, or behind the kind; one to three words of a person,
                      or of what a COST was for */
    SLOT_CHOICE,   /* words of the kind's own list, below */
    SLOT_CONFIRM,  /* never typed: a YES that the question got */
    SLOT_FEED,     /* bran, fish meal: one or two words that mean nothing else here */
    SLOT_LENGTH,   /* 32.7cm, of a fish */
    SLOT_OXYGEN,   /* do3.2, oxygen 3.2: mg/l */
    SLOT_AMMONIA,  /* tan0.5: mg/l of total ammonia as nitrogen; nh4 0.6 is turned into it */
    SLOT_NITRITE,  /* no2 0.1: mg/l as nitrogen */
    SLOT_SECCHI,   /* secchi 22: cm */
    SLOT_LIST,     /* plain numbers, three or more: 12 15 11 40 */
    SLOT_PARTS,    /* shares with a weight or a name: 10g 5% 50g 3.5%, bran 12% fish meal 60% */
    SLOT_HEIGHT,   /* 1200m above the sea */
    SLOT_MONEY,    /* UGX 450000, 450,000/=, for 450000, 20k; a plain number where nothing else can
                      be meant; a currency alone where one is asked */
    SLOT_MONTHS,   /* may-september, march */
    SLOT_COUNT_ALL
};

/* Words with one meaning each, in the order of messages.conf ("choices"); the catalogues have them
 * as "choice.NAME". Each kind of message lists those that it takes; several may stand in one text.
 */
enum choice {
    CHOICE_FRAMES, /* what the eggs lie on */
    CHOICE_PLANTS,
    CHOICE_NET,
    CHOICE_RIVER, /* where the hatchery's water comes from */
    CHOICE_WELL,  /* and borehole */
    CHOICE_TAP,
    CHOICE_RAIN,
    CHOICE_LAKE, /* and dam, and pond */
    CHOICE_DRY,  /* steps of preparing a pond */
    CHOICE_LIME,
    CHOICE_MANURE,
    CHOICE_FILL,
    CHOICE_CLAY, /* soils */
    CHOICE_LOAM,
    CHOICE_SAND,
    CHOICE_CARBONATE, /* limes: agricultural, ground limestone */
    CHOICE_HYDRATED,  /* slaked */
    CHOICE_QUICK,     /* burnt */
    CHOICE_FENCED,
    CHOICE_OPEN,  /* no fence */
    CHOICE_GLAND, /* inducing substances: fresh gland */
    CHOICE_DRIED,
    CHOICE_HCG,
    CHOICE_MIX,
    CHOICE_ALL, /* the whole of it */
    CHOICE_NEW, /* another fish with a tag used before */
    CHOICE_TIN, /* what feed is measured with */
    CHOICE_CUP,
    CHOICE_SCOOP,
    CHOICE_BOWL,
    CHOICE_BUCKET,
    CHOICE_BAG,
    CHOICE_AERATED, /* a pond with an aerator */
    CHOICE_STILL,   /* without one */
    CHOICE_BIG,     /* the big ones only */
    CHOICE_BOOK,    /* the book's own table again */
    CHOICE_FEMALE,  /* beside a tag, which says it, too */
    CHOICE_MALE,
    CHOICE_FINGERLINGS, /* what is sold; in other texts they say nothing ... */
    CHOICE_FRY,         /* ... but fry, of a STOCK, how heavy they are not */
    CHOICE_FISH,
    CHOICE_EACH, /* right behind money: of one; also of a SOLD or BOUGHT, else its money is all */
    CHOICE_KILO, /* of one kilogram, the same */
    CHOICE_PAID, /* a buyer has paid, or ... */
    CHOICE_OWES,
    CHOICE_OFF,     /* of an ORDER: read as REQUEST_CALL_OFF, so that no request has it */
    CHOICE_MONTHLY, /* of a SEASON: as many in each month; else the count is all */
    CHOICE_COUNT
};

enum {
    TAG_NUMBER_MAX = 9999,
    ALSO_MAX = 3,
    REQUEST_NAME_MAX = 40, /* bytes of a name, folded text */
    REQUEST_PHONE_MAX = 20,
    REQUEST_FEED_MAX = 20, /* bytes of a feed's name, folded text */
    LIST_MAX = 60,
    PARTS_MAX = 8
};

#define MONEY_MILLI_MAX INT64_C(1000000000000000)

struct tag {
    char letter; /* 'f' female, 'm' male, 'b' tank, 'p' pond */
    int number;  /* 1..TAG_NUMBER_MAX */
};

/* One share of a list, with what stands right before it. */
struct request_part {
    char feed[REQUEST_FEED_MAX + 1]; /* empty: not said */
    int64_t weight_mg;               /* -1: not said */
    int64_t share_ppm;               /* 3.5% is 35 000; -1: not said */
};

struct request {
    enum request_kind kind;
    uint64_t has; /* SLOT_BIT(slot) */
    struct tag tag;
    int64_t weight_mg;
    bool now;            /* SLOT_TIME: the word "now"; hour and minute are unset */
    int hour, minute;    /* SLOT_TIME: local clock */
    int day;             /* SLOT_DAY: days from today, before it negative */
    int64_t water_mdegc; /* thousandths of a degree Celsius */
    int64_t count;       /* SLOT_COUNT: as typed when a whole number, else -1 ... */
    int64_t count_milli; /* ... and in thousandths: 24.5 is 24500 */
    int64_t of;
    enum request_kind topic;
    int language;              /* index in the words */
    struct tag also[ALSO_MAX]; /* SLOT_ALSO: of the letter of `tag`, or of `male` */
    int also_count;
    struct tag male, tank, pond;
    int64_t sample_mg;
    int64_t volume_ml;
    int64_t area_cm2;
    int64_t depth_mm;
    int64_t per_kg_ul; /* microlitres of a ready mix for each kg of fish */
    int age_days;
    int date_day, date_month; /* 1..31, 1..12 */
    int date_year;            /* 0: not said */
    int64_t ph_milli;
    char phone[REQUEST_PHONE_MAX]; /* digits as typed, a + in front if there was one */
    char name[REQUEST_NAME_MAX + 1];
    uint64_t choices; /* CHOICE_BIT(choice) */
    int confirms;     /* SLOT_CONFIRM: how many questions were answered YES, as bits by the turn */
    char feed[REQUEST_FEED_MAX + 1];
    int64_t length_um;
    int64_t oxygen_ug_l, ammonia_ug_l, nitrite_ug_l;
    int64_t secchi_mm;
    int64_t list_milli[LIST_MAX]; /* thousandths of a gram */
    int list_count;
    struct request_part parts[PARTS_MAX];
    int part_count;
    int64_t height_m;
    int64_t money_milli; /* thousandths of the main unit, up to MONEY_MILLI_MAX; -1: only the
                            currency was said */
    char currency[4];    /* ISO 4217, "UGX"; empty: not said */
    int month_first, month_last;           /* 1..12; one month: both the same */
    int month_first_year, month_last_year; /* 0: not said */
};

#define SLOT_BIT(slot)     (UINT64_C(1) << (slot))
#define CHOICE_BIT(choice) (UINT64_C(1) << (choice))

bool request_has(const struct request *r, enum request_slot slot);
const char *request_kind_name(enum request_kind kind); /* "inject"; "" for REQUEST_NONE */
enum request_kind request_kind_of(const char *name);   /* REQUEST_NONE if unknown */
const char *request_slot_name(enum request_slot slot); /* "tag" */
int request_slot_of(const char *name);                 /* -1 if unknown */
const char *request_choice_name(enum choice choice);   /* "plants" */
bool request_chose(const struct request *r, enum choice choice);

/* One line, "inject tag=f3 weight_mg=1200000 time=18:30"; read back exactly. */
void request_write(const struct request *r, struct buf *out);
enum err request_read(struct slice line, struct request *out) MUST_LOOK; /* ERR_SYNTAX, ERR_RANGE */

#endif
