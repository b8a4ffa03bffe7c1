/* rehearse: a scripted conversation against a fresh farm with a simulated clock, through the same
 * desk as the daemon. In: a script (see DEVELOPERS.md, "Fixed forms"); out: both sides in the order
 * of time. Exit 2 and nothing played: a bad line, told as FILE:LINE: reason. */
#define _DEFAULT_SOURCE
#include "main/commands.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "main/settings.h"
#include "sms/number.h"
#include "wire/bytes.h"

enum { SCRIPT_BYTES_MAX = 4 * 1024 * 1024, ROUNDS_MOST = 10000, REHEARSAL_TEXTS_PER_HOUR = 60 };

struct line {
    int number; /* in the file */
    int64_t at_s;
    struct slice local;  /* "2026-03-02 18:30" */
    struct slice sender; /* empty: only the clock runs */
    struct slice text;
};

struct rehearsal {
    struct settings *settings;
    struct zone zone;
    struct line *lines;
    int line_count;
    struct slice people[64];
    bool met[64]; /* joined, or invited before his first text */
    int people_count;
    struct store *store;
    struct desk *desk;
    struct slice own_language; /* people's own, when --language says so */
    char folder[64];
    uint64_t random;
};

/* -- the script
 * ---------------------------------------------------------------------------------------- */

static bool digits(struct slice s, size_t at, size_t n, int *out) {
    *out = 0;
    for (size_t i = at; i < at + n; i++) {
        if (i >= s.n || s.p[i] < '0' || s.p[i] > '9')
            return false;
        *out = *out * 10 + (s.p[i] - '0');
    }
    return true;
}

static const char *read_time(const struct rehearsal *r, struct slice s, int64_t *at_s) {
    struct zone_time t = {0};
    if (s.n < 16 || s.p[4] != '-' || s.p[7] != '-' || s.p[10] != ' ' || s.p[13] != ':' ||
        !digits(s, 0, 4, &t.year) || !digits(s, 5, 2, &t.month) || !digits(s, 8, 2, &t.day) ||
        !digits(s, 11, 2, &t.hour) || !digits(s, 14, 2, &t.minute))
        return "a line begins with YYYY-MM-DD HH:MM";
    enum err e = zone_instant(&r->zone, t, at_s);
    if (e == ERR_NOT_FOUND)
        return "a change of clocks skips this hour";
    return e ? "there is no such day or hour" : NULL;
}

static bool known(const struct rehearsal *r, struct slice number) {
    for (int i = 0; i < r->people_count; i++)
        if (slice_eq(r->people[i], number))
            return true;
    return false;
}

/* NULL, or what is wrong. */
static const char *read_line(struct rehearsal *r, struct slice s, struct line *out) {
    const char *wrong = read_time(r, s, &out->at_s);
    if (wrong)
        return wrong;
    out->local = slice_head(s, 16);
    struct slice rest = slice_from(s, 16);
    if (!rest.n)
        return NULL;
    if (rest.p[0] != ' ')
        return "one space stands behind the hour";
    slice_cut(slice_from(rest, 1), ' ', &out->sender, &out->text);
    if (!number_is_e164(out->sender))
        return "the number must be E.164, with +";
    if (!slice_is_utf8(out->text))
        return "not UTF-8";
    if (out->text.n > 1 && out->text.p[0] == '*' && out->text.p[out->text.n - 1] == '#')
        return "dialogues (*...#) cannot be rehearsed in this version";
    if (known(r, out->sender))
        return NULL;
    if (r->people_count == 64)
        return "more than 64 people";
    r->people[r->people_count++] = out->sender;
    return NULL;
}

static bool read_script(struct rehearsal *r, const char *name, struct slice bytes) {
    int lines = 1, number = 0;
    for (size_t i = 0; i < bytes.n; i++)
        lines += bytes.p[i] == '\n';
    r->lines = ARENA_ARRAY(&r->settings->arena, (size_t)lines, struct line);
    int64_t last_s = INT64_MIN;
    while (bytes.n && r->lines) {
        struct slice s;
        slice_cut(bytes, '\n', &s, &bytes);
        number++;
        if (s.n && s.p[s.n - 1] == '\r')
            s.n--;
        if (!s.n || s.p[0] == '#')
            continue;
        struct line *line = &r->lines[r->line_count];
        const char *wrong = read_line(r, s, line);
        if (!wrong && line->at_s < last_s)
            wrong = "times never go backwards";
        if (wrong) {
            (void)fprintf(stderr, "%s:%d: %s\n", name, number, wrong);
            return false;
        }
        last_s = line->at_s;
        line->number = number;
        r->line_count++;
    }
    return r->lines != NULL;
}

static enum err read_input(struct arena *arena, const char *path, struct slice *out) {
    if (strcmp(path, "-") != 0)
        return settings_read_file(arena, path, SCRIPT_BYTES_MAX, out);
    return settings_read_file(arena, "/dev/stdin", SCRIPT_BYTES_MAX, out);
}

/* -- playing
 * --------------------------------------------------------------------------------------------- */

static void print_text(const struct rehearsal *r, int64_t at_s, char way, struct slice number,
                       struct slice text) {
    struct zone_time t = zone_local(&r->zone, at_s);
    (void)printf("%04d-%02d-%02d %02d:%02d %c %.*s ", t.year, t.month, t.day, t.hour, t.minute, way,
                 SLICE_ARG(number));
    for (size_t i = 0; i < text.n; i++) {
        if (text.p[i] == '\n')
            (void)fputs(" / ", stdout);
        else
            (void)putchar(text.p[i]);
    }
    (void)putchar('\n');
}

/* The seeded random bytes of a rehearsal (splitmix64, Steele, Lea & Flood 2014). */
static void seeded(void *context, void *out, size_t n) {
    struct rehearsal *r = context;
    unsigned char *p = out;
    for (size_t i = 0; i < n; i++) {
        uint64_t z = r->random += 0x9e3779b97f4a7c15u;
        z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
        z = (z ^ z >> 27) * 0x94d049bb133111ebu;
        p[i] = (unsigned char)((z ^ z >> 31) & 255);
    }
}

static void keyed_hash(void *context, const unsigned char key[STORE_HASH_BYTES], struct slice text,
                       unsigned char out[STORE_HASH_BYTES]) {
    (void)context;
    wire_hmac_sha256((struct slice){(const char *)key, STORE_HASH_BYTES}, text, out);
}

/* Sends succeed at once and their receipts come. */
static enum err settle_sends(struct rehearsal *r, const struct desk_round *round, int64_t at_s,
                             int *sent) {
    struct desk_item items[2 * DESK_SEND_MAX];
    int n = 0;
    memset(items, 0, sizeof items);
    for (int i = 0; i < round->send_count; i++) {
        const struct desk_send *s = &round->sends[i];
        print_text(r, at_s, '<', s->to, s->body);
        struct desk_item *done = &items[n++], *receipt = &items[n++];
        done->kind = DESK_ATTEMPT;
        done->farm = s->farm;
        done->attempt = (struct store_attempt){.dispatch = s->dispatch,
                                               .sent = STORE_DONE,
                                               .at_s = at_s,
                                               .provider_id = SLICE(""),
                                               .reason = SLICE("")};
        receipt->kind = DESK_RECEIPT;
        receipt->link = s->link;
        receipt->reference = arena_slice(&r->settings->arena, s->reference);
        receipt->provider_id = SLICE("");
        receipt->link = SLICE("rehearsal");
        receipt->state = STORE_RECEIPT_DELIVERED;
    }
    *sent = round->send_count;
    struct desk_round again = {.items = items, .item_count = n, .send_room = 0};
    return n ? desk_round(r->desk, &again, at_s) : ERR_OK;
}

/* Everything that is due at the instant goes out, and what follows from it. */
static enum err run_due(struct rehearsal *r, int64_t at_s) {
    for (int i = 0; i < ROUNDS_MOST; i++) {
        struct desk_round round = {.send_room = DESK_SEND_MAX};
        int sent;
        enum err e = desk_round(r->desk, &round, at_s);
        if (!e)
            e = settle_sends(r, &round, at_s, &sent);
        if (e || (!sent && !round.turns && !round.more_due))
            return e;
    }
    return ERR_BUG;
}

static enum err run_until(struct rehearsal *r, int64_t at_s) {
    for (int i = 0; i < ROUNDS_MOST; i++) {
        int64_t next_s = desk_next(r->desk);
        if (next_s > at_s)
            return run_due(r, at_s);
        enum err e = run_due(r, next_s);
        if (e)
            return e;
    }
    return ERR_BUG;
}

static enum err take_line(struct rehearsal *r, const struct line *line) {
    struct desk_item item = {.kind = DESK_MESSAGE,
                             .link = SLICE("rehearsal"),
                             .sender = line->sender,
                             .receiver = SLICE(""),
                             .text = line->text,
                             .sent_s = line->at_s};
    (void)snprintf((char *)item.print, sizeof item.print, "line %d", line->number);
    struct desk_round round = {.items = &item, .item_count = 1, .send_room = DESK_SEND_MAX};
    int sent;
    print_text(r, line->at_s, '>', line->sender, line->text);
    enum err e = desk_round(r->desk, &round, line->at_s);
    if (!e)
        e = item.e;
    if (!e)
        e = settle_sends(r, &round, line->at_s, &sent);
    return e ? e : run_due(r, line->at_s);
}

/* A person joins silently just before his first text; one whom somebody asked for by then has to
 * agree. */
static enum err join(struct rehearsal *r, int at, int64_t at_s) {
    const struct desk_person person = {r->people[at], at ? ROLE_WORKER : ROLE_OWNER,
                                       r->own_language};
    const struct desk_farm farm = {.name = SLICE("Rehearsal"),
                                   .zone = slice_of(r->zone.name),
                                   .country = r->settings->country,
                                   .people = &person,
                                   .people_count = 1};
    int codes;
    r->met[at] = true;
    enum err e = store_codes_about(r->store, r->people[at], &codes);
    return e || codes ? e : desk_ensure_farm(r->desk, &farm, at_s);
}

static enum err play(struct rehearsal *r) {
    enum err e = ERR_OK;
    for (int i = 0; i < r->line_count && !e; i++) {
        const struct line *line = &r->lines[i];
        e = run_until(r, line->at_s);
        if (e || !line->sender.n)
            continue;
        for (int k = 0; k < r->people_count && !e; k++)
            if (!r->met[k] && slice_eq(r->people[k], line->sender))
                e = join(r, k, line->at_s);
        if (!e)
            e = take_line(r, line);
    }
    return e;
}

static void remove_store(const struct rehearsal *r) {
    static const char *const ends[] = {"",      "-wal",     "-shm",   "-journal",
                                       "-lock", "-ballast", "-danger"};
    char path[128];
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        (void)snprintf(path, sizeof path, "%s/farm%s", r->folder, ends[i]);
        (void)unlink(path);
    }
    (void)rmdir(r->folder);
}

static enum err play_in_folder(struct rehearsal *r) {
    char path[96];
    (void)snprintf(r->folder, sizeof r->folder, "%s/barbel-XXXXXX",
                   access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
    if (!mkdtemp(r->folder))
        return ERR_IO;
    (void)snprintf(path, sizeof path, "%s/farm", r->folder);
    const struct store_options store = {.path = path};
    enum err e = store_open(&store, &r->store);
    if (!e) {
        const struct desk_options desk = {
            .store = r->store,
            .grammar = {r->settings->words, r->settings->reader},
            .language = r->settings->language,
            .country = r->settings->country,
            .link = SLICE("rehearsal"),
            .countries = &r->settings->country,
            .country_count = 1,
            .texts_per_hour = REHEARSAL_TEXTS_PER_HOUR,
            .holder = 1,
            .check_every = 1, /* a rehearsal checks every turn against the full fold */
            .random = seeded,
            .keyed_hash = keyed_hash,
            .context = r};
        e = desk_open(&desk, &r->desk);
    }
    if (!e)
        e = play(r);
    if (!e && desk_count(r->desk).digest_differences)
        e = ERR_BUG;
    desk_close(r->desk);
    store_close(r->store);
    remove_store(r);
    return e;
}

/* -- the command
 * -------------------------------------------------------------------------------------------- */

static bool set_up(struct rehearsal *r, const char *const values[4], struct faults *faults) {
    char folder[4096];
    int64_t seed = 1;
    r->settings->country = slice_of(values[2] ? values[2] : "GB");
    r->settings->language = slice_of(values[1] ? values[1] : "en");
    r->own_language = slice_of(values[1]);
    if (zone_load(values[0] ? values[0] : "UTC", &r->zone)) {
        (void)fprintf(stderr, "barbel: no time zone \"%s\"\n", values[0]);
        return false;
    }
    if (!number_plan_of(r->settings->country)) {
        (void)fprintf(stderr, "barbel: no number plan for country \"%s\"\n", values[2]);
        return false;
    }
    if (values[3] && slice_int(slice_of(values[3]), &seed)) {
        (void)fprintf(stderr, "barbel: --seed takes a number\n");
        return false;
    }
    r->random = (uint64_t)seed;
    if (!settings_default_grammar(folder, sizeof folder)) {
        (void)fprintf(stderr, "barbel: no grammar beside the program\n");
        return false;
    }
    if (settings_grammar(r->settings, folder, faults)) {
        (void)fputs(buf_str(&faults->text), stderr);
        return false;
    }
    if (words_find(r->settings->words, r->settings->language) < 0) {
        (void)fprintf(stderr, "barbel: no catalogue for language \"%s\"\n", values[1]);
        return false;
    }
    return true;
}

int command_rehearse(int argc, char **argv) {
    static const char *const names[] = {"zone", "language", "country", "seed"};
    const char *values[4] = {0}, *file = NULL;
    int files, status = 2;
    if (!command_options(argc, argv, names, values, 4, &file, &files, 1) || !file) {
        (void)fprintf(stderr, "barbel: rehearse needs a FILE, or - for standard input\n");
        return 2;
    }
    struct rehearsal *r = calloc(1, sizeof *r);
    struct faults faults = faults_make();
    struct slice script;
    if (!r || !(r->settings = settings_new())) {
        (void)fprintf(stderr, "barbel: out of memory\n");
    } else if (read_input(&r->settings->arena, file, &script)) {
        (void)fprintf(stderr, "%s: cannot be read\n", file);
    } else if (set_up(r, values, &faults) && read_script(r, file, script)) {
        enum err e = play_in_folder(r);
        if (e)
            (void)fprintf(stderr, "barbel: %s\n", err_info(e)->text);
        status = err_info(e)->exit_status;
    }
    faults_free(&faults);
    if (r)
        settings_free(r->settings);
    free(r);
    return status;
}
