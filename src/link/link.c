/* link: see link.h. libcurl's multi interface, one easy handle for each of connections_max places.
 *
 * In: texts with their profiles. Out: what became of each. A failure of the network or of the
 * provider is a result with a reason, never an err. What is not answered is "unknown": the provider
 * may have taken the text, so it goes again with the same reference and the provider is to tell the
 * repeat. Limits: names are looked up by libcurl's own thread where it has one; without it a slow
 * name server stops the loop, which is warned of at the start. */
#include "link/link.h"

#include <curl/curl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/buf.h"
#include "base/log.h"
#include "link/retry.h"
#include "wire/profile.h"
#include "wire/send.h"

enum {
    CONNECTIONS_DEFAULT = 32,
    CONNECTIONS_MOST = 512,
    ARENA_BYTES = 256 * 1024, /* a text of WIRE_TEXT_MAX bytes, escaped, with its head */
    WAIT_MOST_MS = 60 * 60 * 1000,
    RETRY_AFTER_BYTES = 64
};

struct circuit {
    struct circuit *next;
    char name[WIRE_LINK_MAX + 1];
    int failures; /* in a row */
    int under_way;
};

enum state { FREE, UNDER_WAY, ENDED };

/* A place for one job. Its handle and memory are kept for the next one. */
struct place {
    struct link *link;
    enum state state;
    CURL *easy;
    struct curl_slist *headers;
    struct arena arena;
    struct buf answer;
    bool answer_cut; /* longer than LINK_ANSWER_MAX */
    const struct wire_profile *profile;
    struct circuit *circuit;
    int64_t useful_s;
    char retry_after[RETRY_AFTER_BYTES];
    bool unknown;
    struct link_result result;
};

struct link {
    CURLM *multi;
    struct circuit *circuits;
    struct link_counts counts;
    int busy, ended;
    int place_count;
    struct place places[];
};

/* -- opening and closing -------------------------------------------------------------------------
 */

enum err link_open(const struct link_options *options, struct link **out) {
    int n = options->connections_max ? options->connections_max : CONNECTIONS_DEFAULT;
    *out = NULL;
    if (n < 1 || n > CONNECTIONS_MOST)
        return ERR_RANGE;
    if (curl_global_init(CURL_GLOBAL_DEFAULT) != CURLE_OK)
        return ERR_NOMEM;
    struct link *l = calloc(1, sizeof *l + (size_t)n * sizeof *l->places);
    if (l)
        l->multi = curl_multi_init();
    if (!l || !l->multi) {
        free(l);
        curl_global_cleanup();
        return ERR_NOMEM;
    }
    if (!(curl_version_info(CURLVERSION_NOW)->features & CURL_VERSION_ASYNCHDNS))
        LOG(LOG_WARN, "link",
            LOG_TEXT("curl", "looks names up in the loop: a slow name server "
                             "will stop it"));
    (void)curl_multi_setopt(l->multi, CURLMOPT_MAX_TOTAL_CONNECTIONS, (long)n);
    (void)curl_multi_setopt(l->multi, CURLMOPT_MAXCONNECTS, (long)n);
    (void)curl_multi_setopt(l->multi, CURLMOPT_PIPELINING, CURLPIPE_NOTHING);
    l->place_count = n;
    for (int i = 0; i < n; i++) {
        l->places[i].link = l;
        l->places[i].arena = arena_make(ARENA_BYTES);
        l->places[i].answer = buf_make(LINK_ANSWER_MAX);
    }
    *out = l;
    return ERR_OK;
}

void link_close(struct link *l) {
    if (!l)
        return;
    for (int i = 0; i < l->place_count; i++) {
        struct place *p = &l->places[i];
        if (p->state == UNDER_WAY)
            (void)curl_multi_remove_handle(l->multi, p->easy);
        curl_easy_cleanup(p->easy);
        curl_slist_free_all(p->headers);
        arena_free(&p->arena);
        buf_free(&p->answer);
    }
    (void)curl_multi_cleanup(l->multi);
    while (l->circuits) {
        struct circuit *c = l->circuits;
        l->circuits = c->next;
        free(c);
    }
    free(l);
    curl_global_cleanup();
}

/* -- circuits ------------------------------------------------------------------------------------
 */

static struct circuit *circuit_find(const struct link *l, const struct wire_profile *profile) {
    struct slice name = slice_head(profile->link, WIRE_LINK_MAX);
    for (struct circuit *c = l->circuits; c; c = c->next)
        if (slice_eq(slice_of(c->name), name))
            return c;
    return NULL;
}

static struct circuit *circuit_make(struct link *l, const struct wire_profile *profile) {
    struct slice name = slice_head(profile->link, WIRE_LINK_MAX);
    struct circuit *c = circuit_find(l, profile);
    if (c)
        return c;
    c = calloc(1, sizeof *c);
    if (!c)
        return NULL;
    if (name.n)
        memcpy(c->name, name.p, name.n);
    c->next = l->circuits;
    l->circuits = c;
    return c;
}

bool link_may_start(const struct link *l, const struct wire_profile *profile) {
    const struct circuit *c = circuit_find(l, profile);
    if (l->busy == l->place_count)
        return false;
    return !c || c->failures < LINK_CIRCUIT_FAILURES || c->under_way == 0;
}

int link_failures(const struct link *l, const struct wire_profile *profile) {
    const struct circuit *c = circuit_find(l, profile);
    return c ? c->failures : 0;
}

/* -- starting ------------------------------------------------------------------------------------
 */

static size_t take_answer(char *bytes, size_t one, size_t n, void *context) {
    struct place *p = context;
    size_t room = LINK_ANSWER_MAX - p->answer.n;
    (void)one; /* always 1 */
    buf_put(&p->answer, slice_head((struct slice){bytes, n}, room));
    if (n <= room && !buf_err(&p->answer))
        return n;
    p->answer_cut = true;
    return 0; /* enough: the transfer ends here */
}

/* A header line that could be read as two would let a secret file's content add headers. */
static bool one_line(struct slice s) {
    for (size_t i = 0; i < s.n; i++)
        if (s.p[i] == '\r' || s.p[i] == '\n' || s.p[i] == '\0')
            return false;
    return true;
}

static enum err header_add(struct place *p, struct slice name, struct slice value) {
    struct buf line = buf_make_in(&p->arena, 8192);
    if (!one_line(name) || !one_line(value))
        return ERR_SYNTAX;
    buf_put(&line, name);
    buf_puts(&line, value.n ? ": " : ";"); /* libcurl's way to write an empty one */
    buf_put(&line, value);
    enum err e = buf_err(&line);
    if (e)
        return e;
    struct curl_slist *longer = curl_slist_append(p->headers, buf_str(&line));
    if (!longer)
        return ERR_NOMEM;
    p->headers = longer;
    return ERR_OK;
}

static enum err headers_make(struct place *p, const struct wire_outgoing *o) {
    enum err e = ERR_OK;
    for (int i = 0; i < o->header_count && !e; i++)
        e = header_add(p, o->headers[i].name, o->headers[i].value);
    if (!e && o->content_type.n)
        e = header_add(p, SLICE("Content-Type"), o->content_type);
    return e;
}

/* All options for one send. They only fail for want of memory, or when libcurl was built without
 * the option, which the first send of the first test shows. */
static CURLcode options_set(struct place *p, const struct wire_outgoing *o) {
    CURL *c = p->easy;
    CURLcode bad = CURLE_OK;
#define SET(option, value)                                                                         \
    do {                                                                                           \
        if (!bad)                                                                                  \
            bad = curl_easy_setopt(c, option, value);                                              \
    } while (0)
    curl_easy_reset(c);
    SET(CURLOPT_PRIVATE, p);
    SET(CURLOPT_URL, o->url.p);
    SET(CURLOPT_POST, 1L);
    SET(CURLOPT_CUSTOMREQUEST, o->method.p);
    SET(CURLOPT_POSTFIELDSIZE_LARGE, (curl_off_t)o->body.n);
    SET(CURLOPT_POSTFIELDS, o->body.n ? o->body.p : "");
    SET(CURLOPT_HTTPHEADER, p->headers);
    SET(CURLOPT_USERAGENT, "barbel");
    SET(CURLOPT_HTTP_VERSION, (long)CURL_HTTP_VERSION_1_1);
    SET(CURLOPT_PROTOCOLS_STR, "http,https");
    SET(CURLOPT_FOLLOWLOCATION, 0L);
    SET(CURLOPT_PROXY, "");
    SET(CURLOPT_NOPROXY, "*");
    SET(CURLOPT_SSLVERSION, (long)CURL_SSLVERSION_TLSv1_2);
    SET(CURLOPT_SSL_VERIFYPEER, 1L);
    SET(CURLOPT_SSL_VERIFYHOST, 2L);
    SET(CURLOPT_NOSIGNAL, 1L);
    /* Else a send that ends while its name is looked up waits for the look-up, and the loop too. */
    SET(CURLOPT_QUICK_EXIT, 1L);
    SET(CURLOPT_TCP_KEEPALIVE, 1L);
    SET(CURLOPT_CONNECTTIMEOUT_MS, (long)o->connect_ms);
    SET(CURLOPT_TIMEOUT_MS, (long)o->total_ms);
    SET(CURLOPT_WRITEFUNCTION, take_answer);
    SET(CURLOPT_WRITEDATA, p);
#undef SET
    return bad;
}

/* Makes the place as if nothing had been started there. */
static void place_clear(struct place *p) {
    curl_slist_free_all(p->headers);
    p->headers = NULL;
    arena_reset(&p->arena);
    buf_clear(&p->answer);
    p->state = FREE;
}

static enum err place_start(struct place *p, const struct link_job *job) {
    struct wire_send send = {job->to, job->text, job->reference};
    struct wire_outgoing o;
    enum err e;
    p->circuit = circuit_make(p->link, job->profile);
    if (!p->easy)
        p->easy = curl_easy_init();
    if (!p->circuit || !p->easy)
        return ERR_NOMEM;
    e = wire_write_send(job->profile, &send, &p->arena, &o);
    if (!e)
        e = headers_make(p, &o);
    if (e)
        return e;
    p->answer_cut = p->unknown = false;
    p->retry_after[0] = '\0';
    p->profile = job->profile;
    p->useful_s = job->useful_s;
    p->result = (struct link_result){.dispatch = job->dispatch, .tries = job->tries + 1};
    if (options_set(p, &o) != CURLE_OK ||
        curl_multi_add_handle(p->link->multi, p->easy) != CURLM_OK)
        return ERR_NOMEM;
    p->state = UNDER_WAY;
    return ERR_OK;
}

enum err link_start(struct link *l, const struct link_job *job) {
    struct place *p = l->places;
    if (!link_may_start(l, job->profile))
        return ERR_BUSY;
    while (p->state != FREE)
        p++;
    enum err e = place_start(p, job);
    if (e) {
        place_clear(p);
        return e;
    }
    p->circuit->under_way++;
    l->busy++;
    l->counts.started++;
    return ERR_OK;
}

int link_busy(const struct link *l) {
    return l->busy;
}

/* -- ending --------------------------------------------------------------------------------------
 */

/* Cut at most at `room` - 1 bytes, not inside a UTF-8 sequence. */
static void text_copy(char *out, size_t room, struct slice s) {
    size_t n = s.n < room ? s.n : room - 1;
    if (n < s.n)
        while (n > 0 && ((unsigned char)s.p[n] & 0xc0) == 0x80)
            n--;
    if (n)
        memcpy(out, s.p, n);
    out[n] = '\0';
}

static void keep_retry_after(struct place *p) {
    struct curl_header *h;
    if (curl_easy_header(p->easy, "Retry-After", 0, CURLH_HEADER, -1, &h) == CURLHE_OK)
        text_copy(p->retry_after, sizeof p->retry_after, slice_of(h->value));
}

/* What the transfer's end means. A status that came counts even if the rest was cut: wire knows
 * what an answer that cannot be read in whole means for this profile. */
static void judge(struct place *p, CURLcode code) {
    struct link_result *r = &p->result;
    struct slice id = {NULL, 0}, reason = {NULL, 0};
    long status = 0, sent = 0;
    (void)curl_easy_getinfo(p->easy, CURLINFO_RESPONSE_CODE, &status);
    (void)curl_easy_getinfo(p->easy, CURLINFO_REQUEST_SIZE, &sent);
    bool answered = code == CURLE_OK || p->answer_cut || status >= 200;
    if (!answered)
        status = 0;
    enum wire_answer answer =
        wire_read_answer(p->profile, (int)status, buf_slice(&p->answer), &p->arena, &id, &reason);
    if (answered)
        keep_retry_after(p);
    p->unknown = !answered && sent > 0;
    r->outcome = answer == WIRE_ACCEPTED  ? LINK_DONE
                 : answer == WIRE_REFUSED ? LINK_NEVER
                                          : LINK_LATER;
    text_copy(r->provider_id, sizeof r->provider_id, id);
    text_copy(r->reason, sizeof r->reason, reason);
    if (!answered)
        (void)snprintf(r->reason, sizeof r->reason, "%s: %s", sent > 0 ? "no answer" : "not sent",
                       curl_easy_strerror(code));
}

static void reap(struct link *l, CURL *easy, CURLcode code) {
    char *private = NULL;
    (void)curl_easy_getinfo(easy, CURLINFO_PRIVATE, &private);
    struct place *p = (struct place *)(void *)private;
    judge(p, code);
    (void)curl_multi_remove_handle(l->multi, easy);
    p->state = ENDED;
    l->ended++;
    p->circuit->under_way--;
    if (p->result.outcome == LINK_LATER) {
        if (++p->circuit->failures == LINK_CIRCUIT_FAILURES)
            LOG(LOG_WARN, "link.open", LOG_TEXT("link", p->circuit->name),
                LOG_TEXT("reason", p->result.reason));
    } else {
        if (p->circuit->failures >= LINK_CIRCUIT_FAILURES)
            LOG(LOG_INFO, "link.closed", LOG_TEXT("link", p->circuit->name),
                LOG_INT("failures", p->circuit->failures));
        p->circuit->failures = 0;
    }
}

void link_step(struct link *l) {
    int running, left;
    CURLMsg *m;
    (void)curl_multi_perform(l->multi, &running);
    while ((m = curl_multi_info_read(l->multi, &left)) != NULL)
        if (m->msg == CURLMSG_DONE)
            reap(l, m->easy_handle, m->data.result);
}

enum err link_wait(struct link *l, const int *extra_fds, int count, int64_t timeout_ms) {
    struct curl_waitfd extra[LINK_EXTRA_FDS_MAX];
    if (count < 0 || count > LINK_EXTRA_FDS_MAX)
        return ERR_RANGE;
    for (int i = 0; i < count; i++)
        extra[i] = (struct curl_waitfd){.fd = extra_fds[i], .events = CURL_WAIT_POLLIN};
    if (timeout_ms < 0 || timeout_ms > WAIT_MOST_MS)
        timeout_ms = WAIT_MOST_MS;
    if (l->ended > 0)
        timeout_ms = 0; /* a result waits to be collected */
    CURLMcode code = curl_multi_poll(l->multi, extra, (unsigned)count, (int)timeout_ms, NULL);
    return code == CURLM_OK ? ERR_OK : ERR_IO;
}

/* One random number for each result from one for all: a step of splitmix64 (Steele, Lea and Flood
 * 2014, OOPSLA; constants from memory). */
static uint64_t random_step(uint64_t *x) {
    uint64_t z = *x += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static void finish(struct place *p, int64_t now_s, uint64_t random) {
    struct link_result *r = &p->result;
    struct link_counts *counts = &p->link->counts;
    if (r->outcome == LINK_LATER) {
        int64_t after_s = wire_retry_after(slice_of(p->retry_after), now_s);
        r->next_s = link_retry_at(now_s, r->tries - 1, p->useful_s, after_s, random);
        counts->unknown += p->unknown;
        if (r->next_s < 0) {
            r->next_s = 0;
            r->outcome = LINK_EXPIRED;
        }
    }
    counts->done += r->outcome == LINK_DONE;
    counts->later += r->outcome == LINK_LATER;
    counts->never += r->outcome == LINK_NEVER;
    counts->expired += r->outcome == LINK_EXPIRED;
}

int link_results(struct link *l, struct link_result *out, int most, int64_t now_s,
                 uint64_t random) {
    int n = 0;
    for (int i = 0; i < l->place_count && n < most && l->ended > 0; i++) {
        struct place *p = &l->places[i];
        if (p->state != ENDED)
            continue;
        finish(p, now_s, random_step(&random));
        out[n++] = p->result;
        place_clear(p);
        l->ended--;
        l->busy--;
    }
    return n;
}

struct link_counts link_count(const struct link *l) {
    return l->counts;
}
