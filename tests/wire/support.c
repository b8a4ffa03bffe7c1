/* support: see support.h. */
#include "wire/support.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <cmocka.h>

#include "conf/conf.h"

#define TEXT(s)                                                                                    \
    { (s), sizeof(s) - 1 }

static const struct wire_secret secrets[] = {
    {TEXT("secrets/json-send"), TEXT("  s3cret-of-json\r\n")},
    {TEXT("secrets/json-in"), TEXT(SUPPORT_SIGNED "\n")},
    {TEXT("secrets/form-send"), TEXT("s3cret & form")},
    {TEXT("secrets/form-in"), TEXT("a word for texts\n")},
    {TEXT("secrets/form-receipt"), TEXT("a word for receipts\n")},
    {TEXT("plain"), TEXT("word")},
    {TEXT("signed"), TEXT(SUPPORT_SIGNED)},
    {TEXT("empty"), TEXT("")},
    {TEXT("blank"), TEXT(" \n")},
    {TEXT("two-lines"), TEXT("a\nb")},
    {TEXT("accented"), TEXT("\xc3\xa9")},
    {TEXT("short-key"), TEXT("whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRY=")},
};
const struct wire_secrets support_secrets = {secrets, sizeof secrets / sizeof secrets[0]};

struct wire_profile *support_parse(struct arena *a, struct slice text, const char *name,
                                   struct faults *faults) {
    const struct tree *tree = NULL;
    if (conf_parse(text, name, a, faults, &tree))
        return NULL;
    return wire_profile_build(a, tree, &support_secrets, faults);
}

struct wire_profile *support_load(struct arena *a, const char *name) {
    struct faults faults = faults_make();
    const struct tree *tree = NULL;
    struct wire_profile *p = NULL;
    char path[500];
    (void)snprintf(path, sizeof path, "%s/deploy/profiles/%s", SOURCE_DIR, name);
    enum err e = conf_read(path, a, &faults, &tree);
    if (!e)
        p = wire_profile_build(a, tree, &support_secrets, &faults);
    if (!p)
        fail_msg("%s: %s %s", path, err_info(e)->name, buf_str(&faults.text));
    faults_free(&faults);
    return p;
}
