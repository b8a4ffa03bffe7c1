/* zone_load: a zone's table of offsets from the system's zone database, through the C library: TZ
 * is set for a moment and every change between 2000 and 2100 is found by days and then by halving.
 * About 15 ms; called once a zone. Not pure (environment, files); the rest of zone is. */
#define _DEFAULT_SOURCE /* tm_gmtoff */
#include "base/zone.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static int32_t offset_of(int64_t at_s) {
    time_t t = (time_t)at_s;
    struct tm tm;
    localtime_r(&t, &tm);
    return (int32_t)tm.tm_gmtoff;
}

static bool known(const char *name) {
    if (!name[0] || name[0] == '/' || strstr(name, "..") || strlen(name) >= ZONE_NAME_MAX)
        return false;
    char path[128];
    (void)snprintf(path, sizeof path, "/usr/share/zoneinfo/%s", name);
    /* RFC 8536: a zone's file begins with these four bytes. Folders and the tables beside the zones
     * do not, and for them the C library would take UTC without a word. */
    char magic[4] = "";
    FILE *f = fopen(path, "rb");
    bool zone = f && fread(magic, 1, sizeof magic, f) == sizeof magic &&
                memcmp(magic, "TZif", sizeof magic) == 0;
    if (f)
        (void)fclose(f);
    return zone;
}

static void changes(struct zone *out) {
    const int64_t first = zone_days(2000, 1, 1) * 86400, end = zone_days(2100, 1, 1) * 86400;
    int32_t last = offset_of(first);
    out->count = 1;
    out->changes[0] = (struct zone_change){INT64_MIN, last};
    for (int64_t at = first; at < end && out->count < ZONE_CHANGES_MAX; at += 86400) {
        int32_t next = offset_of(at + 86400);
        if (next == last)
            continue;
        int64_t low = at, high = at + 86400;
        while (high - low > 1) {
            int64_t middle = low + (high - low) / 2;
            if (offset_of(middle) == last)
                low = middle;
            else
                high = middle;
        }
        out->changes[out->count++] = (struct zone_change){high, next};
        last = next;
    }
}

enum err zone_load(const char *name, struct zone *out) {
    if (strcmp(name, "UTC") == 0) {
        *out = zone_utc;
        return ERR_OK;
    }
    if (!known(name))
        return ERR_NOT_FOUND;
    const char *was = getenv("TZ");
    char *kept = was ? strdup(was) : NULL;
    setenv("TZ", name, 1);
    tzset();
    *out = (struct zone){.count = 0};
    (void)snprintf(out->name, sizeof out->name, "%s", name);
    changes(out);
    if (kept)
        setenv("TZ", kept, 1);
    else
        unsetenv("TZ");
    free(kept);
    tzset();
    return ERR_OK;
}
