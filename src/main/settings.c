/* settings: the settings file to a checked structure. In: a path; out: one generation, or every
 * mistake of meaning as file:line. Reads files; knows what each setting may be. */
#include "main/settings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/zone.h"
#include "conf/conf.h"
#include "sms/number.h"

enum { SETTINGS_ARENA_BYTES = 64 * 1024 * 1024, MIB = 1024 * 1024 };

enum err settings_read_file(struct arena *arena, const char *path, size_t most, struct slice *out) {
    FILE *f = fopen(path, "rb");
    if (!f)
        return ERR_NOT_FOUND;
    enum err e = ERR_OK;
    size_t room = 4096, n = 0;
    char *p = arena_take(arena, room, 1);
    while (p) {
        size_t got = fread(p + n, 1, room - 1 - n, f);
        n += got;
        if (n > most) {
            e = ERR_TOO_LONG;
            break;
        }
        if (!got) {
            e = ferror(f) ? ERR_IO : ERR_OK;
            break;
        }
        if (n + 1 == room) {
            p = arena_grow(arena, p, n, room * 2, 1);
            room *= 2;
        }
    }
    (void)fclose(f);
    if (!p)
        return ERR_NOMEM;
    p[n] = '\0';
    *out = (struct slice){p, n};
    return e;
}

struct settings *settings_new(void) {
    struct settings *s = calloc(1, sizeof *s);
    if (s) {
        s->arena = arena_make(SETTINGS_ARENA_BYTES);
        s->clashes = buf_make(64 * 1024);
    }
    return s;
}

void settings_free(struct settings *s) {
    if (!s)
        return;
    text_reader_free(s->reader);
    buf_free(&s->clashes);
    arena_free(&s->arena);
    free(s);
}

const struct wire_profile *settings_profile(const struct settings *s, struct slice link) {
    for (int i = 0; i < s->profile_count; i++)
        if (slice_eq(s->profiles[i]->link, link))
            return s->profiles[i];
    return NULL;
}

/* -- pieces
 * ----------------------------------------------------------------------------------------- */

static void read_address(struct settings *s, const struct tree *root, const char *name,
                         enum tree_need need, const char **address, int *port,
                         struct faults *faults) {
    static const char *const known[] = {"address", "port"};
    struct slice text = SLICE("127.0.0.1");
    int64_t number = *port;
    const struct tree *group = tree_group(root, name, need, faults);
    if (group) {
        tree_only(group, known, 2, faults);
        tree_string(group, "address", TREE_REQUIRED, &text, faults);
        tree_int(group, "port", TREE_REQUIRED, 0, 65535, &number, faults);
    }
    *address = arena_str(&s->arena, text);
    *port = (int)number;
}

static bool known_country(struct slice code) {
    return number_plan_of(code) != NULL;
}

static void check_country(const struct tree *at, struct slice code, struct faults *faults) {
    if (!known_country(code))
        faults_add(faults, at->file, at->line,
                   "no number plan for country \"%.*s\" (two letters of ISO 3166, like KE)",
                   SLICE_ARG(code));
}

static void check_zone(const struct tree *at, struct slice name, struct faults *faults) {
    struct zone *zone = malloc(sizeof *zone);
    char text[ZONE_NAME_MAX];
    (void)snprintf(text, sizeof text, "%.*s", SLICE_ARG(name));
    if (!zone || name.n >= sizeof text || zone_load(text, zone))
        faults_add(faults, at->file, at->line, "no time zone \"%.*s\" (a name like Africa/Lagos)",
                   SLICE_ARG(name));
    free(zone);
}

static void read_countries(struct settings *s, const struct tree *root, struct faults *faults) {
    const struct tree *list = tree_list(root, "countries", TREE_OPTIONAL, faults);
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        if (t->kind != TREE_STRING) {
            faults_add(faults, t->file, t->line, "a country must be a text in quotes");
            continue;
        }
        check_country(t, t->string, faults);
        if (s->country_count == SETTINGS_COUNTRIES_MAX)
            faults_add(faults, t->file, t->line, "more than %d countries", SETTINGS_COUNTRIES_MAX);
        else
            s->countries[s->country_count++] = t->string;
    }
    if (!s->country_count)
        s->countries[s->country_count++] = s->country;
}

/* -- farms
 * -------------------------------------------------------------------------------------------- */

static enum turn_role role_of(const struct tree *t, struct slice name, struct faults *faults) {
    static const char *const names[] = {"owner", "worker", "adviser", "watcher"};
    static const enum turn_role roles[] = {ROLE_OWNER, ROLE_WORKER, ROLE_ADVISER, ROLE_WATCHER};
    for (int i = 0; i < 4; i++)
        if (slice_eq(name, slice_of(names[i])))
            return roles[i];
    const char *near = fault_near(name, names, 4);
    faults_add(faults, t->file, t->line, "role \"%.*s\" is not known%s%s%s", SLICE_ARG(name),
               near ? "; " : " (owner, worker, adviser or watcher)", near ? near : "",
               near ? " was meant?" : "");
    return ROLE_WATCHER;
}

static void read_person(struct settings *s, const struct tree *t, struct slice country,
                        struct desk_person *out, struct faults *faults) {
    static const char *const known[] = {"number", "role", "language"};
    struct slice raw = {0}, role = {0}, language = {0};
    struct number number;
    if (t->kind != TREE_GROUP) {
        faults_add(faults, t->file, t->line, "a person must be a group { number, role }");
        return;
    }
    tree_only(t, known, 3, faults);
    if (tree_string(t, "number", TREE_REQUIRED, &raw, faults)) {
        if (number_normalise(raw, number_plan_of(country), &number))
            faults_add(faults, t->file, t->line, "\"%.*s\" is no telephone number", SLICE_ARG(raw));
        else
            out->number = arena_slice(&s->arena, slice_of(number.text));
    }
    if (tree_string(t, "role", TREE_REQUIRED, &role, faults))
        out->role = role_of(t, role, faults);
    if (tree_string(t, "language", TREE_OPTIONAL, &language, faults))
        out->language = language;
}

static void read_people(struct settings *s, const struct tree *farm, struct desk_farm *out,
                        struct faults *faults) {
    const struct tree *list = tree_list(farm, "people", TREE_REQUIRED, faults);
    int owners = 0;
    if (!list)
        return;
    struct desk_person *people =
        ARENA_ARRAY(&s->arena, (size_t)list->count + 1, struct desk_person);
    if (!people)
        return;
    for (const struct tree *t = list->child; t; t = t->next) {
        struct desk_person *p = &people[out->people_count++];
        read_person(s, t, out->country, p, faults);
        owners += p->role == ROLE_OWNER;
        for (int i = 0; i < out->people_count - 1; i++)
            if (p->number.n && slice_eq(people[i].number, p->number))
                faults_add(faults, t->file, t->line, "%.*s stands in this farm twice",
                           SLICE_ARG(p->number));
    }
    if (list->count > SETTINGS_PEOPLE_MAX)
        faults_add(faults, list->file, list->line, "farm \"%.*s\" has more than %d people",
                   SLICE_ARG(out->name), SETTINGS_PEOPLE_MAX);
    if (!owners)
        faults_add(faults, list->file, list->line, "farm \"%.*s\" has no owner",
                   SLICE_ARG(out->name));
    out->people = people;
}

static void read_farms(struct settings *s, const struct tree *root, struct faults *faults) {
    static const char *const known[] = {"name", "zone", "country", "people"};
    const struct tree *list = tree_list(root, "farms", TREE_REQUIRED, faults);
    if (!list)
        return;
    if (list->count > SETTINGS_FARMS_MAX) {
        faults_add(faults, list->file, list->line, "more than %d farms", SETTINGS_FARMS_MAX);
        return;
    }
    s->farms = ARENA_ARRAY(&s->arena, (size_t)list->count + 1, struct desk_farm);
    for (const struct tree *t = list->child; t && s->farms; t = t->next) {
        struct desk_farm *f = &s->farms[s->farm_count++];
        *f = (struct desk_farm){.zone = s->zone, .country = s->country};
        if (t->kind != TREE_GROUP) {
            faults_add(faults, t->file, t->line, "a farm must be a group { name, people }");
            continue;
        }
        tree_only(t, known, 4, faults);
        if (tree_string(t, "name", TREE_REQUIRED, &f->name, faults) &&
            (f->name.n == 0 || f->name.n > 40))
            faults_add(faults, t->file, t->line, "a farm's name has 1 to 40 letters");
        if (tree_string(t, "zone", TREE_OPTIONAL, &f->zone, faults))
            check_zone(tree_get(t, "zone"), f->zone, faults);
        if (tree_string(t, "country", TREE_OPTIONAL, &f->country, faults))
            check_country(tree_get(t, "country"), f->country, faults);
        for (int i = 0; i < s->farm_count - 1; i++)
            if (slice_eq(s->farms[i].name, f->name))
                faults_add(faults, t->file, t->line, "a farm \"%.*s\" stands above already",
                           SLICE_ARG(f->name));
        read_people(s, t, f, faults);
    }
}

/* -- profiles
 * ------------------------------------------------------------------------------------------ */

/* A path as it is meant in a file: from that file's folder unless it begins with a slash. */
static const char *path_beside(struct settings *s, const char *file, struct slice path) {
    const char *slash = strrchr(file, '/');
    struct buf b = buf_make_in(&s->arena, 4000);
    if (path.n && path.p[0] != '/' && slash)
        buf_put(&b, (struct slice){file, (size_t)(slash - file) + 1});
    buf_put(&b, path);
    return buf_str(&b);
}

static void read_profile(struct settings *s, const struct tree *at, const char *path,
                         struct faults *faults) {
    const struct tree *tree;
    struct slice *paths;
    int count;
    struct wire_secret secrets[SETTINGS_PROFILES_MAX];
    if (conf_read(path, &s->arena, faults, &tree))
        return;
    if (wire_profile_secret_files(&s->arena, tree, &paths, &count) ||
        count > SETTINGS_PROFILES_MAX) {
        faults_add(faults, path, 0, "too many secret files");
        return;
    }
    for (int i = 0; i < count; i++) {
        struct stat st;
        const char *file = path_beside(s, path, paths[i]);
        secrets[i] = (struct wire_secret){paths[i], SLICE("")};
        if (settings_read_file(&s->arena, file, WIRE_SECRET_MAX * 4, &secrets[i].bytes))
            faults_add(faults, path, tree->line, "secret file %s cannot be read", file);
        else if (!stat(file, &st) && (st.st_mode & 077))
            faults_add(faults, path, tree->line,
                       "secret file %s can be read by others: chmod 600 it", file);
    }
    const struct wire_secrets all = {secrets, count};
    struct wire_profile *p = wire_profile_build(&s->arena, tree, &all, faults);
    if (!p)
        return;
    if (settings_profile(s, p->link))
        faults_add(faults, at->file, at->line, "two profiles have the link \"%.*s\"",
                   SLICE_ARG(p->link));
    else
        s->profiles[s->profile_count++] = p;
}

static void read_profiles(struct settings *s, const struct tree *root, struct faults *faults) {
    const struct tree *list = tree_list(root, "profiles", TREE_REQUIRED, faults);
    if (list && !list->count)
        faults_add(faults, list->file, list->line, "at least one profile is needed");
    for (const struct tree *t = list ? list->child : NULL; t; t = t->next) {
        if (t->kind != TREE_STRING)
            faults_add(faults, t->file, t->line, "a profile must be a path in quotes");
        else if (s->profile_count == SETTINGS_PROFILES_MAX)
            faults_add(faults, t->file, t->line, "more than %d profiles", SETTINGS_PROFILES_MAX);
        else
            read_profile(s, t, path_beside(s, t->file, t->string), faults);
    }
}

/* -- the whole
 * ------------------------------------------------------------------------------------------ */

static void read_root(struct settings *s, const struct tree *root, struct faults *faults) {
    static const char *const known[] = {
        "store", "ballast_mib", "listen",    "host",           "grammar",   "profiles", "country",
        "zone",  "language",    "countries", "texts_per_hour", "body_days", "farms"};
    struct slice text = {0};
    int64_t ballast_mib = 8, texts = 60, days = 90;
    char room[4096];
    tree_only(root, known, (int)(sizeof known / sizeof known[0]), faults);
    if (tree_string(root, "store", TREE_REQUIRED, &text, faults))
        s->store_path = path_beside(s, root->file, text);
    if (s->store_path && strlen(s->store_path) > SETTINGS_STORE_MAX)
        faults_add(faults, root->file, tree_get(root, "store")->line,
                   "the store's path is longer than %d bytes", SETTINGS_STORE_MAX);
    tree_int(root, "ballast_mib", TREE_OPTIONAL, 0, 1024, &ballast_mib, faults);
    s->ballast_bytes = ballast_mib * MIB;
    read_address(s, root, "listen", TREE_REQUIRED, &s->listen_address, &s->listen_port, faults);
    s->host_port = -1;
    read_address(s, root, "host", TREE_OPTIONAL, &s->host_address, &s->host_port, faults);
    s->country = SLICE("GB");
    s->zone = SLICE("UTC");
    s->language = SLICE("en");
    if (tree_string(root, "country", TREE_OPTIONAL, &s->country, faults))
        check_country(tree_get(root, "country"), s->country, faults);
    if (tree_string(root, "zone", TREE_OPTIONAL, &s->zone, faults))
        check_zone(tree_get(root, "zone"), s->zone, faults);
    tree_string(root, "language", TREE_OPTIONAL, &s->language, faults);
    tree_int(root, "texts_per_hour", TREE_OPTIONAL, 1, 100000, &texts, faults);
    s->texts_per_hour = (int)texts;
    tree_int(root, "body_days", TREE_OPTIONAL, 1, 3650, &days, faults);
    s->body_days = (int)days;
    read_countries(s, root, faults);
    read_farms(s, root, faults);
    read_profiles(s, root, faults);
    s->grammar_folder =
        settings_default_grammar(room, sizeof room) ? arena_str(&s->arena, slice_of(room)) : NULL;
    if (tree_string(root, "grammar", TREE_OPTIONAL, &text, faults))
        s->grammar_folder = path_beside(s, root->file, text);
}

static void check_languages(const struct settings *s, const struct tree *root,
                            struct faults *faults) {
    const struct tree *t = tree_get(root, "language");
    if (words_find(s->words, s->language) < 0)
        faults_add(faults, root->file, t ? t->line : 0, "no catalogue for language \"%.*s\"",
                   SLICE_ARG(s->language));
    for (int i = 0; i < s->farm_count; i++)
        for (int k = 0; k < s->farms[i].people_count; k++) {
            struct slice code = s->farms[i].people[k].language;
            if (code.n && words_find(s->words, code) < 0)
                faults_add(faults, root->file, 0, "no catalogue for language \"%.*s\"",
                           SLICE_ARG(code));
        }
}

enum err settings_load(const char *path, struct settings **out, struct faults *faults) {
    const struct tree *root;
    struct settings *s = settings_new();
    if (!s)
        return ERR_NOMEM;
    enum err e = conf_read(path, &s->arena, faults, &root);
    if (!e) {
        read_root(s, root, faults);
        if (!s->grammar_folder)
            faults_add(faults, path, 0, "no grammar folder found: name it with grammar = \"...\"");
        else if (settings_grammar(s, s->grammar_folder, faults))
            e = ERR_SETTINGS;
        if (s->words)
            check_languages(s, root, faults);
    }
    if (faults->count)
        e = ERR_SETTINGS;
    if (e) {
        settings_free(s);
        return e;
    }
    *out = s;
    return ERR_OK;
}
