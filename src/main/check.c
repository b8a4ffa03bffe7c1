/* check: every mistake in settings, grammar, catalogues, profiles and store, without starting
 * anything. Exit 0 only if there is none; a store that does not exist yet is none. */
#include "main/commands.h"

#include <stdio.h>

#include "main/settings.h"

int command_check(int argc, char **argv) {
    static const char *const names[] = {"settings"};
    const char *path = NULL, *rest[1];
    int rest_count;
    if (!command_options(argc, argv, names, &path, 1, rest, &rest_count, 0) || !path) {
        (void)fprintf(stderr, "barbel: check needs --settings FILE\n");
        return 2;
    }
    struct faults faults = faults_make();
    struct settings *s = NULL;
    enum err e = settings_load(path, &s, &faults);
    if (e) {
        (void)fputs(buf_str(&faults.text), stderr);
        if (!faults.count)
            (void)fprintf(stderr, "barbel: %s: %s\n", path, err_info(e)->text);
        (void)fprintf(stderr, "%d mistake%s\n", faults.count, faults.count == 1 ? "" : "s");
        faults_free(&faults);
        return 2;
    }
    struct buf report = buf_make(64 * 1024);
    e = store_inspect(s->store_path, &report);
    if (e && e != ERR_NOT_FOUND)
        (void)fprintf(stderr, "%s: %s\n%s", s->store_path, err_info(e)->text, buf_str(&report));
    else
        (void)printf("settings, grammar, %d language%s, %d profile%s and %d farm%s are right%s\n",
                     words_count(s->words), words_count(s->words) == 1 ? "" : "s", s->profile_count,
                     s->profile_count == 1 ? "" : "s", s->farm_count, s->farm_count == 1 ? "" : "s",
                     e == ERR_NOT_FOUND ? "; the store will be made at the first start" : "");
    buf_free(&report);
    faults_free(&faults);
    settings_free(s);
    return e && e != ERR_NOT_FOUND ? err_info(e)->exit_status : 0;
}
