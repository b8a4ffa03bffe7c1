/* settings: everything that a host decides, out of one file and the files it names: settings,
 * grammar, profiles, secrets. One generation is read whole and checked whole; a reload makes
 * another beside it, and the old one stays when the new one has mistakes. */
#ifndef MAIN_SETTINGS_H
#define MAIN_SETTINGS_H

#include "base/fault.h"
#include "desk/desk.h"
#include "text/text.h"
#include "wire/profile.h"

enum {
    SETTINGS_COUNTRIES_MAX = 32,
    SETTINGS_PROFILES_MAX = 16,
    SETTINGS_FARMS_MAX = 10000,
    SETTINGS_PEOPLE_MAX = 64, /* of one farm: as many as a turn of the desk knows */
    SETTINGS_STORE_MAX = 100  /* bytes of the store's path: the door's name must fit a socket's */
};

struct settings {
    struct arena arena; /* all of it */
    const char *store_path;
    int64_t ballast_bytes;
    const char *listen_address, *host_address;
    int listen_port, host_port; /* host_port -1: none */
    const char *grammar_folder;
    struct slice country, zone, language;
    struct slice countries[SETTINGS_COUNTRIES_MAX];
    int country_count;
    int texts_per_hour;
    int body_days; /* bodies of messages are kept so long */
    struct desk_farm *farms;
    int farm_count;
    struct wire_profile *profiles[SETTINGS_PROFILES_MAX];
    int profile_count;
    /* the grammar */
    const struct words *words;
    struct text_reader *reader;
    struct buf clashes; /* words that languages share, for `barbel check` */
};

/* Reads everything. ERR_SETTINGS: at least one mistake, all of them in the faults. */
enum err settings_load(const char *path, struct settings **out, struct faults *faults) MUST_LOOK;
void settings_free(struct settings *s);

/* Words and reader from a grammar's folder into s. */
enum err settings_grammar(struct settings *s, const char *folder, struct faults *faults) MUST_LOOK;

/* The grammar's folder when no settings name one: beside the program, or ../share/barbel/grammar.
 */
const char *settings_default_grammar(char *room, size_t size);

const struct wire_profile *settings_profile(const struct settings *s, struct slice link); /* NULL */

/* An empty generation, for rehearsals and tests. */
struct settings *settings_new(void);

/* A file's bytes into the arena, zero-ended. ERR_NOT_FOUND, ERR_IO, ERR_TOO_LONG, ERR_NOMEM. */
enum err settings_read_file(struct arena *arena, const char *path, size_t most,
                            struct slice *out) MUST_LOOK;

#endif
