/* grammar: a folder with messages.conf and compiled catalogues to words and a reader. In: the
 * folder's path; out: both in the settings, or faults. */
#define _DEFAULT_SOURCE
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "conf/conf.h"
#include "main/settings.h"
#include "reply/reply.h"

enum { CATALOGUE_BYTES_MAX = 4 * 1024 * 1024 };

static int by_code(const void *a, const void *b) {
    return strcmp(((const struct words_catalogue *)a)->code,
                  ((const struct words_catalogue *)b)->code);
}

/* Every CODE.mo of the folder, sorted by code: the order of languages is the same everywhere. */
static int read_catalogues(struct settings *s, const char *folder, struct words_catalogue *out,
                           struct faults *faults) {
    DIR *dir = opendir(folder);
    int count = 0;
    if (!dir) {
        faults_add(faults, folder, 0, "the grammar's folder cannot be opened");
        return 0;
    }
    for (struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        struct slice name = slice_of(entry->d_name);
        char path[4096];
        if (!slice_ends(name, SLICE(".mo")) || name.n < 4)
            continue;
        if (count == WORDS_LANGUAGES_MAX) {
            faults_add(faults, folder, 0, "more than %d languages", WORDS_LANGUAGES_MAX);
            break;
        }
        (void)snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (settings_read_file(&s->arena, path, CATALOGUE_BYTES_MAX, &out[count].mo)) {
            faults_add(faults, path, 0, "cannot be read");
            continue;
        }
        out[count++].code = arena_str(&s->arena, slice_head(name, name.n - 3));
    }
    (void)closedir(dir);
    qsort(out, (size_t)count, sizeof out[0], by_code);
    return count;
}

enum err settings_grammar(struct settings *s, const char *folder, struct faults *faults) {
    struct words_catalogue catalogues[WORDS_LANGUAGES_MAX];
    const struct tree *forms;
    char path[4096];
    int before = faults->count;
    int count = read_catalogues(s, folder, catalogues, faults);
    (void)snprintf(path, sizeof path, "%s/messages.conf", folder);
    if (conf_read(path, &s->arena, faults, &forms))
        return ERR_SETTINGS;
    s->words = words_build(&s->arena, forms, catalogues, count, faults);
    if (!s->words)
        return ERR_SETTINGS;
    reply_check(s->words, faults);
    s->reader = text_reader_make(&s->arena, s->words, forms, faults);
    words_clashes(s->words, &s->clashes);
    return faults->count > before || !s->reader ? ERR_SETTINGS : ERR_OK;
}

const char *settings_default_grammar(char *room, size_t size) {
    static const char *const places[] = {"grammar", "../share/barbel/grammar"};
    char self[3072];
    ssize_t n = readlink("/proc/self/exe", self, sizeof self - 1);
    if (n <= 0)
        return NULL;
    self[n] = '\0';
    char *slash = strrchr(self, '/');
    if (slash)
        *slash = '\0';
    for (int i = 0; i < 2; i++) {
        char probe[4096];
        (void)snprintf(room, size, "%s/%s", self, places[i]);
        (void)snprintf(probe, sizeof probe, "%.4000s/messages.conf", room);
        if (access(probe, R_OK) == 0)
            return room;
    }
    return NULL;
}
