/* service: the loop. One turn: gate and link run, everything that came is one round of the desk,
 * after its commit the answers leave and the sends start, then it waits for whatever comes first.
 * Errors of the store leave the work where it is and are tried again; nothing here ends the
 * process. */
#define _DEFAULT_SOURCE
#include "main/service.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/log.h"
#include "base/point.h"
#include "wire/bytes.h"

enum {
    ARENA_BYTES = 256 * 1024 * 1024,
    CONNECTIONS_MAX = 1024,
    PER_IP_MAX = 512,
    GATE_TIMEOUT_S = 15,
    BODY_MAX = 32 * 1024,
    IDLE_MS = 200,      /* a round that found nothing to do is not repeated sooner */
    CHECK_EVERY = 1000, /* one turn in so many is folded from the beginning to compare */
    CIRCUIT_WAIT_S = 15,
    WAL_PAGES_IDLE = 250, /* the log is moved into the file when the loop is about to wait */
    WAL_PAGES_MOST = 4000,
    PURGE_EVERY_S = 3600,
    PURGE_ROWS = 200
};

static int64_t now_seconds(void) {
    struct timespec t;
    clock_gettime(CLOCK_REALTIME, &t);
    return t.tv_sec;
}

static int64_t steady_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static void random_bytes(void *context, void *out, size_t n) {
    (void)context;
    wire_random(out, n);
}

static void keyed_hash(void *context, const unsigned char key[STORE_HASH_BYTES], struct slice text,
                       unsigned char out[STORE_HASH_BYTES]) {
    (void)context;
    wire_hmac_sha256((struct slice){(const char *)key, STORE_HASH_BYTES}, text, out);
}

static struct desk_options desk_options(const struct service *s) {
    const struct settings *g = s->settings;
    struct desk_options o = {.store = s->store,
                             .grammar = {g->words, g->reader},
                             .language = g->language,
                             .country = g->country,
                             .link = g->profiles[0]->link,
                             .countries = g->countries,
                             .country_count = g->country_count,
                             .texts_per_hour = g->texts_per_hour,
                             .check_every = CHECK_EVERY,
                             .random = random_bytes,
                             .keyed_hash = keyed_hash};
    wire_random(&o.holder, sizeof o.holder);
    o.holder = (o.holder & INT32_MAX) | 1; /* never 0 */
    return o;
}

static enum err ensure_farms(struct service *s) {
    enum err e = ERR_OK;
    for (int i = 0; i < s->settings->farm_count && !e; i++)
        e = desk_ensure_farm(s->desk, &s->settings->farms[i], now_seconds());
    return e;
}

enum err service_open(struct service *s, const char *settings_path) {
    struct faults faults = faults_make();
    *s = (struct service){.settings_path = settings_path, .arena = arena_make(ARENA_BYTES)};
    enum err e = settings_load(settings_path, &s->settings, &faults);
    if (e) {
        (void)fputs(buf_str(&faults.text), stderr);
        faults_free(&faults);
        return e;
    }
    faults_free(&faults);
    const struct store_options store = {s->settings->store_path, s->settings->ballast_bytes,
                                        getenv("BARBEL_DISK_FULL")};
    e = store_open(&store, &s->store);
    if (!e) {
        struct desk_options o = desk_options(s);
        e = desk_open(&o, &s->desk);
    }
    if (!e)
        e = ensure_farms(s);
    if (!e)
        e = link_open(&(struct link_options){0}, &s->link);
    if (e)
        (void)fprintf(stderr, "barbel: %s: %s\n", s->settings->store_path, err_info(e)->text);
    return e;
}

/* Which links exist: asked by the gate before a body is read. */
static bool link_known(void *context, struct slice link, enum gate_route route) {
    const struct service *s = context;
    const struct wire_profile *p = settings_profile(s->settings, link);
    return p && (route == GATE_IN || p->receipt.given);
}

enum err service_listen(struct service *s) {
    const struct settings *g = s->settings;
    const struct gate_options o = {.address = g->listen_address,
                                   .port = g->listen_port,
                                   .host_address = g->host_address,
                                   .host_port = g->host_port,
                                   .connections_max = CONNECTIONS_MAX,
                                   .per_ip_max = PER_IP_MAX,
                                   .timeout_s = GATE_TIMEOUT_S,
                                   .body_max = BODY_MAX,
                                   .link_known = link_known,
                                   .context = s};
    enum err e = door_open(g->store_path, &s->door);
    if (!e)
        e = gate_open(&o, &s->gate);
    if (!e)
        LOG(LOG_INFO, "listening", LOG_TEXT("address", g->listen_address),
            LOG_INT("port", gate_port(s->gate)), LOG_INT("host_port", gate_host_port(s->gate)),
            LOG_INT("farms", g->farm_count), LOG_INT("profiles", g->profile_count));
    return e;
}

void service_text(struct service *s, struct slice phone, struct slice text) {
    if (s->item_count == SERVICE_ITEMS_MAX)
        return;
    struct desk_item *item = &s->items[s->item_count];
    *item = (struct desk_item){.kind = DESK_MESSAGE,
                               .link = SLICE("door"),
                               .sender = arena_slice(&s->arena, phone),
                               .receiver = SLICE(""),
                               .text = arena_slice(&s->arena, text)};
    wire_random(item->print, sizeof item->print);
    s->requests[s->item_count++] = NULL;
}

/* -- sending
 * -------------------------------------------------------------------------------------------- */

static void keep_attempt(struct service *s, int64_t dispatch, int64_t farm, enum store_sent sent,
                         int64_t next_s, const char *id, const char *reason, int64_t now_s) {
    if (s->attempt_count == SERVICE_ATTEMPTS_MAX)
        return; /* its lease ends and it is sent again with the same reference */
    int i = s->attempt_count++;
    (void)snprintf(s->attempt_ids[i], sizeof s->attempt_ids[i], "%s", id);
    (void)snprintf(s->attempt_reasons[i], sizeof s->attempt_reasons[i], "%s", reason);
    s->attempts[i] = (struct desk_item){
        .kind = DESK_ATTEMPT,
        .farm = farm,
        .attempt = {.dispatch = dispatch, .sent = sent, .next_s = next_s, .at_s = now_s}};
}

/* Nothing went out. Not a try: an alarm that waited for the provider would else be far back in its
 * retries when the provider is there again. */
static void keep_untried(struct service *s, const struct desk_send *send, int64_t next_s,
                         const char *reason, int64_t now_s) {
    int i = s->attempt_count;
    keep_attempt(s, send->dispatch, send->farm, STORE_LATER, next_s, "", reason, now_s);
    if (i < s->attempt_count)
        s->attempts[i].attempt.untried = true;
}

/* Taken, and nothing more will be heard of it: for the plan it counts as delivered, else every
 * owner would be told that phones are off. */
static void keep_delivered(struct service *s, const char *reference) {
    if (s->attempt_count == SERVICE_ATTEMPTS_MAX)
        return;
    int i = s->attempt_count++;
    (void)snprintf(s->attempt_references[i], sizeof s->attempt_references[i], "%s", reference);
    s->attempt_ids[i][0] = s->attempt_reasons[i][0] = '\0';
    s->attempts[i] = (struct desk_item){
        .kind = DESK_RECEIPT, .link = SLICE("door"), .state = STORE_RECEIPT_DELIVERED};
}

/* To the phone that is played here, if it is; true: settled. */
static bool give_locally(struct service *s, const struct desk_send *send, int64_t now_s) {
    char reference[40];
    (void)snprintf(reference, sizeof reference, "%.*s", SLICE_ARG(send->reference));
    if (s->alone[0]) {
        bool mine = slice_eq(slice_of(s->alone), send->to);
        if (mine)
            s->alone_text(send->body);
        if (!mine) {
            keep_untried(s, send, now_s + 60, "waits for the daemon", now_s);
            return true;
        }
        keep_attempt(s, send->dispatch, send->farm, STORE_DONE, 0, "", "", now_s);
        keep_delivered(s, reference);
        return true;
    }
    if (!slice_eq(send->link, SLICE("door")) || !door_give(s->door, send->to, send->body))
        return false;
    keep_attempt(s, send->dispatch, send->farm, STORE_DONE, 0, "", "", now_s);
    keep_delivered(s, reference);
    return true;
}

static void keep_under_way(struct service *s, const struct desk_send *send, bool no_receipts) {
    for (int i = 0; i < SERVICE_SENDS_MAX; i++) {
        if (s->under_way[i].dispatch)
            continue;
        s->under_way[i].dispatch = send->dispatch;
        s->under_way[i].farm = send->farm;
        s->under_way[i].no_receipts = no_receipts;
        s->under_way[i].retired = false;
        (void)snprintf(s->under_way[i].reference, sizeof s->under_way[i].reference, "%.*s",
                       SLICE_ARG(send->reference));
        return;
    }
}

static void end_under_way(struct service *s, const struct link_result *r, enum store_sent sent,
                          int64_t now_s) {
    int i = 0;
    while (i < SERVICE_SENDS_MAX && s->under_way[i].dispatch != r->dispatch)
        i++;
    bool found = i < SERVICE_SENDS_MAX;
    keep_attempt(s, r->dispatch, found ? s->under_way[i].farm : 0, sent, r->next_s, r->provider_id,
                 r->reason, now_s);
    if (found && sent == STORE_DONE && s->under_way[i].no_receipts)
        keep_delivered(s, s->under_way[i].reference);
    if (found)
        s->under_way[i].dispatch = 0;
}

static void start_send(struct service *s, const struct desk_send *send, int64_t now_s) {
    if (give_locally(s, send, now_s))
        return;
    const struct wire_profile *p = settings_profile(s->settings, send->link);
    if (!p)
        p = s->settings->profiles[0];
    const struct link_job job = {.dispatch = send->dispatch,
                                 .profile = p,
                                 .to = send->to,
                                 .text = send->body,
                                 .reference = send->reference,
                                 .tries = send->tries,
                                 .useful_s = send->useful_s};
    enum err e = link_start(s->link, &job);
    if (e == ERR_BUSY || e == ERR_NOMEM)
        keep_untried(s, send, now_s + CIRCUIT_WAIT_S, "the provider does not answer", now_s);
    else if (e)
        keep_attempt(s, send->dispatch, send->farm, STORE_NEVER, 0, "", err_info(e)->name, now_s);
    else
        keep_under_way(s, send, !p->receipt.given);
    POINT("send-started");
}

static void collect_results(struct service *s, int64_t now_s) {
    static const enum store_sent outcomes[] = {[LINK_DONE] = STORE_DONE,
                                               [LINK_LATER] = STORE_LATER,
                                               [LINK_NEVER] = STORE_NEVER,
                                               [LINK_EXPIRED] = STORE_EXPIRED};
    struct link_result results[64];
    uint64_t random;
    int room = SERVICE_ATTEMPTS_MAX - s->attempt_count;
    wire_random(&random, sizeof random);
    int count = link_results(s->link, results, room < 64 ? room : 64, now_s, random);
    for (int i = 0; i < count; i++) {
        const struct link_result *r = &results[i];
        POINT("send-answered");
        LOG(r->outcome == LINK_DONE ? LOG_INFO : LOG_WARN, "sent", LOG_INT("dispatch", r->dispatch),
            LOG_INT("outcome", r->outcome), LOG_INT("tries", r->tries), LOG_TEXT("why", r->reason));
        end_under_way(s, r, outcomes[r->outcome], now_s);
    }
}

/* -- rounds
 * -----------------------------------------------------------------------------------------------
 */

/* In front of what came in: a receipt that is faster than its text's result finds it told. */
static int attempts_into_items(struct service *s) {
    int room = SERVICE_ITEMS_MAX - s->item_count;
    int n = s->attempt_count < room ? s->attempt_count : room;
    memmove(s->items + n, s->items, (size_t)s->item_count * sizeof s->items[0]);
    memmove(s->requests + n, s->requests, (size_t)s->item_count * sizeof(struct gate_request *));
    s->item_count += n;
    for (int i = 0; i < n; i++) {
        s->attempts[i].attempt.provider_id = slice_of(s->attempt_ids[i]);
        s->attempts[i].attempt.reason = slice_of(s->attempt_reasons[i]);
        if (s->attempts[i].kind == DESK_RECEIPT) {
            s->attempts[i].reference = slice_of(s->attempt_references[i]);
            s->attempts[i].provider_id = slice_of(s->attempt_ids[i]);
        }
        s->items[i] = s->attempts[i];
        s->requests[i] = NULL;
    }
    return n;
}

static void keep_early(struct service *s, const struct desk_item *receipt, int64_t now_s) {
    int i = s->early_next++ % SERVICE_EARLY_MAX;
    if (!receipt->provider_id.n || receipt->provider_id.n >= sizeof s->early[i].provider_id)
        return;
    (void)snprintf(s->early[i].link, sizeof s->early[i].link, "%.*s", SLICE_ARG(receipt->link));
    (void)snprintf(s->early[i].provider_id, sizeof s->early[i].provider_id, "%.*s",
                   SLICE_ARG(receipt->provider_id));
    s->early[i].state = receipt->state;
    s->early[i].until_s = now_s + SERVICE_EARLY_S;
}

/* The receipt that was faster than this result, if there was one, goes in again behind it. */
static void put_early(struct service *s, struct slice provider_id, int64_t now_s) {
    for (int i = 0; i < SERVICE_EARLY_MAX && s->attempt_count < SERVICE_ATTEMPTS_MAX; i++) {
        if (s->early[i].until_s < now_s ||
            !slice_eq(slice_of(s->early[i].provider_id), provider_id))
            continue;
        int k = s->attempt_count++;
        memcpy(s->attempt_ids[k], s->early[i].provider_id, sizeof s->attempt_ids[k]);
        s->attempt_references[k][0] = s->attempt_reasons[k][0] = '\0';
        s->attempts[k] = (struct desk_item){
            .kind = DESK_RECEIPT, .link = slice_of(s->early[i].link), .state = s->early[i].state};
        s->early[i].until_s = 0;
    }
}

/* Receipts of unknown texts are kept a while, results look for theirs. */
static void pair_early(struct service *s, int first_fresh, int64_t now_s) {
    for (int i = 0; i < s->item_count; i++) {
        const struct desk_item *item = &s->items[i];
        if (i >= first_fresh && item->kind == DESK_RECEIPT && !item->e && !item->known)
            keep_early(s, item, now_s);
        if (item->kind == DESK_ATTEMPT && item->attempt.provider_id.n)
            put_early(s, item->attempt.provider_id, now_s);
    }
}

static void drop_attempts(struct service *s, int n) {
    size_t rest = (size_t)(s->attempt_count - n);
    memmove(s->attempts, s->attempts + n, rest * sizeof s->attempts[0]);
    memmove(s->attempt_references, s->attempt_references + n,
            rest * sizeof s->attempt_references[0]);
    memmove(s->attempt_ids, s->attempt_ids + n, rest * sizeof s->attempt_ids[0]);
    memmove(s->attempt_reasons, s->attempt_reasons + n, rest * sizeof s->attempt_reasons[0]);
    s->attempt_count -= n;
}

static int send_room(const struct service *s) {
    int free_attempts = SERVICE_ATTEMPTS_MAX - s->attempt_count - link_busy(s->link);
    int free_link = SERVICE_SENDS_MAX - link_busy(s->link);
    int room = free_attempts < free_link ? free_attempts : free_link;
    return s->quit || room < 0 ? 0 : room;
}

/* Everything that came, what is due and what may be sent, in one transaction. True: work was
 * done. */
static bool run_round(struct service *s, int64_t now_s) {
    struct desk_round round = {.send_room = send_room(s)};
    int attempts = attempts_into_items(s);
    round.items = s->items;
    round.item_count = s->item_count;
    bool due = desk_next(s->desk) <= now_s && steady_ms() >= s->idle_until_ms;
    if (!s->item_count && !due)
        return false;
    enum err e = desk_round(s->desk, &round, now_s);
    POINT("round-committed");
    if (e)
        LOG(err_info(e)->level, "round-failed", LOG_TEXT("why", err_info(e)->name),
            LOG_INT("items", s->item_count));
    if (!e)
        pair_early(s, attempts, now_s);
    service_answer_requests(s, e);
    if (!e)
        drop_attempts(s, attempts);
    bool came = s->item_count > attempts;
    s->item_count = 0;
    for (int i = 0; i < round.send_count && !e; i++)
        start_send(s, &round.sends[i], now_s);
    bool worked = !e && (came || attempts || round.turns || round.send_count || round.more_due);
    if (!worked)
        s->idle_until_ms = steady_ms() + (e ? 1000 : IDLE_MS);
    return worked || came;
}

static void purge(struct service *s, int64_t now_s) {
    static int64_t last_s;
    int done = 0;
    if (now_s - last_s < PURGE_EVERY_S)
        return;
    if (store_begin(s->store))
        return;
    enum err e = store_purge_bodies(s->store, now_s - (int64_t)s->settings->body_days * 86400,
                                    PURGE_ROWS, &done);
    if (e || store_commit(s->store))
        store_rollback(s->store);
    if (done < PURGE_ROWS)
        last_s = now_s;
}

static int64_t wait_ms(struct service *s, int64_t now_s) {
    int64_t wait = 1000 * 60, gate = s->gate ? gate_wait_ms(s->gate) : -1;
    int64_t next_s = desk_next(s->desk), idle = s->idle_until_ms - steady_ms();
    if (s->attempt_count)
        wait = 0;
    if (next_s != INT64_MAX) {
        int64_t until = next_s <= now_s ? 0 : (next_s - now_s) * 1000;
        wait = until < wait ? until : wait;
    }
    if (wait < idle)
        wait = idle;
    if (gate >= 0 && gate < wait)
        wait = gate;
    return wait;
}

static bool retired_sends(const struct service *s) {
    for (int i = 0; i < SERVICE_SENDS_MAX; i++)
        if (s->under_way[i].dispatch && s->under_way[i].retired)
            return true;
    return false;
}

void service_turn(struct service *s, const int *extra_fds, int extra_count) {
    int fds[2 + 1 + DOOR_CLIENTS_MAX + 4], n = 0;
    int64_t now_s = now_seconds();
    /* The arena's slices live through the round that reads them: texts put by service_text too. */
    if (s->gate)
        gate_run(s->gate);
    link_step(s->link);
    collect_results(s, now_s);
    if (s->gate)
        service_take_requests(s, now_s);
    if (s->door) {
        struct door_text texts[SERVICE_DOOR_TEXTS_MAX];
        int count = door_run(s->door, texts, SERVICE_DOOR_TEXTS_MAX);
        for (int i = 0; i < count; i++)
            service_text(s, slice_of(texts[i].phone), texts[i].text);
    }
    bool worked = run_round(s, now_s);
    arena_reset(&s->arena);
    if (s->gate)
        gate_run(s->gate);
    if (s->retired && !retired_sends(s)) {
        settings_free(s->retired);
        s->retired = NULL;
        if (s->reload_wanted)
            service_reload(s);
    }
    store_checkpoint(s->store, worked ? WAL_PAGES_MOST : WAL_PAGES_IDLE);
    if (worked || s->quit)
        return;
    purge(s, now_s);
    if (s->gate)
        n = gate_fds(s->gate, fds);
    if (s->door)
        n += door_fds(s->door, fds + n, 1 + DOOR_CLIENTS_MAX);
    for (int i = 0; i < extra_count && i < 4; i++)
        fds[n++] = extra_fds[i];
    if (link_wait(s->link, fds, n, wait_ms(s, now_s)))
        LOG(LOG_WARN, "wait", LOG_TEXT("why", "curl"));
}

void service_reload(struct service *s) {
    struct settings *fresh = NULL;
    s->reload_wanted = s->retired != NULL;
    if (s->reload_wanted)
        return;
    struct faults faults = faults_make();
    enum err e = settings_load(s->settings_path, &fresh, &faults);
    if (e) {
        (void)fputs(buf_str(&faults.text), stderr);
        LOG(LOG_ERROR, "reload", LOG_TEXT("kept", "the old settings"),
            LOG_INT("mistakes", faults.count));
    } else {
        s->retired = s->settings;
        s->settings = fresh;
        for (int i = 0; i < SERVICE_SENDS_MAX; i++)
            s->under_way[i].retired = true;
        struct desk_options o = desk_options(s);
        desk_reload(s->desk, &o);
        e = ensure_farms(s);
        LOG(e ? LOG_ERROR : LOG_INFO, "reload", LOG_TEXT("err", err_info(e)->name),
            LOG_INT("farms", fresh->farm_count), LOG_INT("profiles", fresh->profile_count));
    }
    faults_free(&faults);
}

/* The turn in hand is finished: what came is committed and answered, sends under way get a little
 * time to come home. */
void service_close(struct service *s) {
    int64_t until_ms = steady_ms() + 5000;
    s->quit = true;
    if (s->gate) {
        gate_quiesce(s->gate);
        service_turn(s, NULL, 0);
    }
    while (s->link && s->desk && (link_busy(s->link) || s->attempt_count) &&
           steady_ms() < until_ms) {
        int64_t now_s = now_seconds();
        link_step(s->link);
        collect_results(s, now_s);
        run_round(s, now_s);
        arena_reset(&s->arena);
        if (link_busy(s->link) && link_wait(s->link, NULL, 0, 100))
            break;
    }
    if (s->gate) {
        gate_run(s->gate);
        gate_run(s->gate);
    }
    gate_close(s->gate);
    door_close(s->door);
    link_close(s->link);
    desk_close(s->desk);
    store_close(s->store);
    settings_free(s->retired);
    settings_free(s->settings);
    arena_free(&s->arena);
}
