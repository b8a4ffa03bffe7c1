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
    SLOT_SAMPLE,   /* of two weights the smaller: that of the sample counted */
    SLOT_VOLUME,   /* 500 litres, 2 m3, 2x1x0.5m */
    SLOT_AREA,     /* 4 ares, 400 m2, 20x20m, 0.1 acre, 0.04 ha */
    SLOT_DEPTH,    /* depth 0.8m, 80cm */
    SLOT_PER_KG,   /* 0.5ml/kg, 0.5 ml per kg, 0.5ml */
    SLOT_AGE,      /* 14 months, 2 years, 8 weeks, 30 days */
    SLOT_DATE,     /* 14 march, 14 mar 2027, 14/3; a bare 14/3 is count and of as well */
    SLOT_PH,       /* ph 7.8 */
    SLOT_PHONE,    /* +447700900123, 07700 900123 */
    SLOT_NAME,     /* the rest of the text: behind from, or behind the kind */
    SLOT_CHOICE,   /* words of the kind's own list, below */
    SLOT_CONFIRM,  /* never typed: a YES that the question got */
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
    CHOICE_COUNT
};

enum {
    TAG_NUMBER_MAX = 9999,
    ALSO_MAX = 3,
    REQUEST_NAME_MAX = 40, /* bytes of a name, folded text */
    REQUEST_PHONE_MAX = 20
};

struct tag {
    char letter; /* 'f' female, 'm' male, 'b' tank, 'p' pond */
    int number;  /* 1..TAG_NUMBER_MAX */
};

struct request {
    enum request_kind kind;
    unsigned has; /* 1u << slot */
    struct tag tag;
    int64_t weight_mg;
    bool now;            /* SLOT_TIME: the word "now"; hour and minute are unset */
    int hour, minute;    /* SLOT_TIME: local clock */
    int day;             /* SLOT_DAY: days from today, -1, 0 or 1 */
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
    uint32_t choices; /* 1u << choice */
    int confirms;     /* SLOT_CONFIRM: how many questions were answered YES, as bits by the turn */
};

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
