/* inside: what the files of the desk room share. */
#ifndef DESK_INSIDE_H
#define DESK_INSIDE_H

#include "desk/desk.h"

enum {
    CACHE_FARMS = 256,
    CACHE_FARM_BYTES = 32 * 1024 * 1024, /* a farm above it is read anew at its next turn */
    ZONES_MAX = 64,
    PEOPLE_MAX = TURN_FARM_PEOPLE_MAX,
    TURN_ARENA_BYTES = 8 * 1024 * 1024,
    TOLD_KEPT_DAYS = 30,
    TOLD_CLOSED_DAYS = 3 /* no task is worth telling longer than two days after it was due */
};

struct cached_farm {
    int64_t id;   /* 0: free */
    int64_t used; /* round counter */
    bool dirty;   /* changed in the open transaction */
    struct farm farm;
    char name[64];
    char zone[ZONE_NAME_MAX];
    char country[3];
};

/* What a turn is made from, loaded. */
struct loaded {
    struct turn turn;
    struct turn_person people[PEOPLE_MAX];
    struct store_person rows[PEOPLE_MAX]; /* beside people */
    struct turn_question question;
    struct cached_farm *farm;
    struct store_code codes[TURN_CODES_MAX]; /* beside turn.codes */
};
struct desk {
    struct loaded loaded; /* of the turn in hand: one at a time */
    struct desk_options o;
    struct arena arena; /* of one round */
    struct cached_farm cache[CACHE_FARMS];
    struct zone zones[ZONES_MAX];
    int zone_count;
    struct desk_counts counts;
    int64_t clock;                       /* for the cache's order of use */
    bool full;                           /* the ballast is given up, new messages wait */
    unsigned char key[STORE_HASH_BYTES]; /* of the codes' hashes, from the store */
    /* copies of what the options only lend */
    char language[8], country[3], link[40];
};

/* A farm in memory, read from the store if it is not. */
enum err cache_get(struct desk *d, int64_t farm, struct cached_farm **out) MUST_LOOK;
void cache_drop(struct desk *d, int64_t farm);
void cache_settle(struct desk *d, bool committed); /* dirty ones stay, or are thrown away */
int cache_count(const struct desk *d);
/* Folds from the beginning, from the store, and compares. The full fold wins. */
enum err cache_check(struct desk *d, struct cached_farm *c) MUST_LOOK;
enum err desk_zone(struct desk *d, const char *name, const struct zone **out) MUST_LOOK;

enum err desk_load_turn(struct desk *d, int64_t farm, int64_t now_s, struct loaded **out) MUST_LOOK;
enum err desk_save_turn(struct desk *d, struct loaded *l, struct slice link) MUST_LOOK;

/* -- people by text (people.c) -- */
enum err desk_load_key(struct desk *d) MUST_LOOK; /* made when there is none; in a transaction */
/* What a text of this person may mean for people: his farms, the codes of his phone, chance. */
enum err desk_load_people(struct desk *d, struct loaded *l, const struct store_person *person,
                          int64_t now_s) MUST_LOOK;
/* Codes used, missed, made, withdrawn; the member who comes, goes or changes. ERR_CONFLICT: the
 * code has ended meanwhile. */
enum err desk_save_people(struct desk *d, const struct loaded *l, int64_t asker,
                          struct slice link) MUST_LOOK;
/* A text of somebody without a farm, to whom a code was sent. *taken: he has joined. */
enum err desk_take_join(struct desk *d, struct desk_item *item, const struct store_person *person,
                        struct slice phone, int64_t now_s, bool *taken) MUST_LOOK;
/* STOP and START of somebody without a farm, who was on one or is invited. *stopped: a STOP. */
enum err desk_take_consent(struct desk *d, const struct desk_item *item,
                           const struct store_person *person, struct slice phone, int64_t now_s,
                           bool *stopped) MUST_LOOK;
/* Names that the farm in hand deals with; 0 and "": none. */
int64_t desk_party_id(void *desk, struct slice name);
struct slice desk_party_name(void *desk, int64_t party);
bool desk_may_text(void *desk, struct slice phone); /* of a country that is served */
/* A turn's text to a phone that is none of the farm's people's. */
enum err desk_put_text_to(struct desk *d, const struct turn_text *text, int64_t farm,
                          struct slice link, int64_t now_s) MUST_LOOK;

enum err take_message(struct desk *d, struct desk_item *item, int64_t now_s) MUST_LOOK;
enum err take_due(struct desk *d, int64_t farm, int64_t now_s) MUST_LOOK;
/* The same inside a mark of its own: only the disk's errors are returned, after any other the farm
 * is tried again in ten minutes. */
enum err take_due_apart(struct desk *d, int64_t farm, int64_t now_s) MUST_LOOK;
/* The index of a person's language; of the settings' when it is not known. */
int desk_language(const struct desk *d, struct slice code);
/* Where a farm's clocks stand; UTC when it is not known. */
const struct zone *desk_farm_zone(struct desk *d, int64_t id);
enum err take_sends(struct desk *d, struct desk_round *round, int64_t now_s) MUST_LOOK;
enum err desk_put_text(struct desk *d, int64_t farm, int64_t person, struct slice link,
                       struct slice to, const struct turn_text *text, int64_t now_s) MUST_LOOK;

#endif
