/* answers: a request that the gate handed over becomes an item for the desk, or is answered at
 * once; after the round each is answered by what became of it. Health and metrics are answered
 * here. */
#include "main/service.h"

#include <stdio.h>
#include <string.h>

#include "base/log.h"
#include "wire/message.h"

enum { PROBE_EVERY_S = 5, RETRY_AFTER_S = 5, METRICS_BYTES_MAX = 64 * 1024 };

static const struct slice plain = {"text/plain; charset=utf-8", 25};

static void answer(struct service *s, struct gate_request *r, int status, struct slice body) {
    gate_answer(s->gate, r, status, body.n ? plain : (struct slice){0}, body,
                status == 503 || status == 429 ? RETRY_AFTER_S : 0);
}

/* -- health and metrics
 * -------------------------------------------------------------------------------- */

static void answer_health(struct service *s, struct gate_request *r, int64_t now_s) {
    if (now_s - s->probed_s >= PROBE_EVERY_S || now_s < s->probed_s) {
        s->probed_s = now_s;
        /* In the ballast's room a commit may succeed while new messages are refused. */
        s->probe_e = desk_is_full(s->desk) ? ERR_FULL : store_probe(s->store, now_s);
    }
    answer(s, r, s->probe_e ? 503 : 200,
           s->probe_e ? slice_of(err_info(s->probe_e)->name) : SLICE("ok"));
}

static void metric(struct buf *b, const char *name, const char *type, const char *help, int64_t v) {
    buf_putf(b, "# TYPE barbel_%s %s\n# HELP barbel_%s %s\nbarbel_%s%s %lld\n", name, type, name,
             help, name, strcmp(type, "counter") == 0 ? "_total" : "", (long long)v);
}

/* Names of the store's counters have hyphens, OpenMetrics has underscores. */
static void store_metrics(struct service *s, struct buf *b) {
    struct store_counter *rows;
    int count;
    if (store_counters(s->store, &s->arena, &rows, &count))
        return;
    for (int i = 0; i < count; i++) {
        char name[64];
        size_t n = rows[i].name.n < sizeof name - 1 ? rows[i].name.n : sizeof name - 1;
        for (size_t k = 0; k < n; k++)
            name[k] = rows[i].name.p[k] == '-' ? '_' : rows[i].name.p[k];
        name[n] = '\0';
        buf_putf(b, "# TYPE barbel_store_%s gauge\nbarbel_store_%s %lld\n", name, name,
                 (long long)rows[i].value);
    }
}

static void answer_metrics(struct service *s, struct gate_request *r) {
    struct buf b = buf_make_in(&s->arena, METRICS_BYTES_MAX);
    struct desk_counts d = desk_count(s->desk);
    struct gate_counts g = gate_count(s->gate);
    struct link_counts l = link_count(s->link);
    metric(&b, "rounds", "counter", "Transactions of the desk.", d.rounds);
    metric(&b, "turns", "counter", "Texts read and farms woken.", d.turns);
    metric(&b, "full_folds", "counter", "Farms folded from the beginning to compare.",
           d.full_folds);
    metric(&b, "digest_differences", "counter", "Kept states that were wrong: a bug.",
           d.digest_differences);
    metric(&b, "farms_in_memory", "gauge", "Farms kept folded.", d.farms_in_memory);
    metric(&b, "connections", "gauge", "Open connections.", g.connections);
    metric(&b, "requests", "counter", "Whole requests.", g.requests);
    metric(&b, "refused_client", "counter", "Requests refused by the gate, 4xx.", g.refused_4xx);
    metric(&b, "refused_server", "counter", "Requests refused by the gate, 5xx.", g.refused_5xx);
    metric(&b, "sends", "counter", "Tries to send.", l.started);
    metric(&b, "sends_done", "counter", "Texts that a provider took.", l.done);
    metric(&b, "sends_later", "counter", "Tries to be repeated.", l.later);
    metric(&b, "sends_never", "counter", "Texts refused for good.", l.never);
    metric(&b, "sends_expired", "counter", "Texts past their last useful hour.", l.expired);
    store_metrics(s, &b);
    buf_puts(&b, "# EOF\n");
    gate_answer(s->gate, r, 200,
                SLICE("application/openmetrics-text; version=1.0.0; charset=utf-8"), buf_slice(&b),
                0);
}

/* -- in and receipt
 * --------------------------------------------------------------------------------------- */

static bool copy_headers(struct service *s, const struct gate_request *r,
                         struct wire_request *out) {
    struct wire_header *headers =
        ARENA_ARRAY(&s->arena, (size_t)r->header_count + 1, struct wire_header);
    if (!headers)
        return false;
    for (int i = 0; i < r->header_count; i++)
        headers[i] = (struct wire_header){r->headers[i].name, r->headers[i].value};
    *out = (struct wire_request){r->method, r->body, r->content_type, headers, r->header_count};
    return true;
}

static enum err decode_message(struct service *s, const struct wire_profile *p,
                               const struct wire_request *w, struct desk_item *item) {
    struct wire_message m;
    enum err e = wire_read_message(p, w, &s->arena, &m);
    if (e)
        return e;
    item->kind = DESK_MESSAGE;
    item->sender = m.sender;
    item->receiver = m.receiver;
    item->text = m.text;
    item->sent_s = m.sent_s;
    item->no_reply = m.no_reply;
    memcpy(item->print, m.print, sizeof item->print);
    return ERR_OK;
}

static enum err decode_receipt(struct service *s, const struct wire_profile *p,
                               const struct wire_request *w, struct desk_item *item) {
    static const enum store_receipt states[] = {[WIRE_DELIVERED] = STORE_RECEIPT_DELIVERED,
                                                [WIRE_PENDING] = STORE_RECEIPT_PENDING,
                                                [WIRE_FAILED] = STORE_RECEIPT_FAILED};
    struct wire_receipt receipt;
    enum err e = wire_read_receipt(p, w, &s->arena, &receipt);
    if (e)
        return e;
    item->kind = DESK_RECEIPT;
    item->reference = receipt.reference;
    item->provider_id = receipt.provider_id;
    item->state = states[receipt.state];
    return ERR_OK;
}

static enum err decode(struct service *s, const struct gate_request *r, struct desk_item *item,
                       int64_t now_s) {
    const struct wire_profile *p = settings_profile(s->settings, r->link);
    struct wire_request w;
    enum wire_route route = r->route == GATE_IN ? WIRE_IN : WIRE_RECEIPT;
    if (!p)
        return ERR_NOT_FOUND;
    if (!copy_headers(s, r, &w))
        return ERR_NOMEM;
    *item = (struct desk_item){.link = r->link};
    enum err e =
        wire_guard_check(p, route, &w, now_s, &item->signature_id, &item->signature_until_s);
    if (e)
        return e;
    return route == WIRE_IN ? decode_message(s, p, &w, item) : decode_receipt(s, p, &w, item);
}

void service_take_requests(struct service *s, int64_t now_s) {
    struct gate_request *fresh[SERVICE_REQUESTS_MAX];
    int count = gate_requests(s->gate, fresh, SERVICE_REQUESTS_MAX);
    for (int i = 0; i < count; i++) {
        struct gate_request *r = fresh[i];
        struct desk_item *item = &s->items[s->item_count];
        if (r->route == GATE_HEALTH) {
            answer_health(s, r, now_s);
            continue;
        }
        if (r->route == GATE_METRICS) {
            answer_metrics(s, r);
            continue;
        }
        enum err e = decode(s, r, item, now_s);
        if (e) {
            LOG(err_info(e)->level, "refused", LOG_TEXT("why", err_info(e)->name),
                LOG_INT("status", err_info(e)->http_status));
            answer(s, r, err_info(e)->http_status, (struct slice){0});
            continue;
        }
        s->requests[s->item_count++] = r;
    }
}

static void log_item(const struct desk_item *item) {
    static const char *const fates[] = {"", "read", "aside", "strange", "limited", "ignored"};
    if (item->kind == DESK_MESSAGE) {
        struct log_phone from = log_phone(item->sender);
        LOG(item->e ? err_info(item->e)->level : LOG_INFO, "text", LOG_TEXT("from", from.text),
            LOG_INT("bytes", item->text.n), LOG_INT("farm", item->farm),
            LOG_TEXT("fate", item->known ? "known" : fates[item->fate]),
            LOG_TEXT("err", err_info(item->e)->name));
    } else if (item->kind == DESK_RECEIPT) {
        LOG(LOG_INFO, "receipt", LOG_INT("state", item->state),
            LOG_TEXT("dispatch", item->known ? "known" : "unknown"),
            LOG_TEXT("err", err_info(item->e)->name));
    }
}

void service_answer_requests(struct service *s, enum err round_e) {
    for (int i = 0; i < s->item_count; i++) {
        enum err e = round_e ? round_e : s->items[i].e;
        log_item(&s->items[i]);
        if (s->requests[i])
            answer(s, s->requests[i], err_info(e)->http_status, (struct slice){0});
        s->requests[i] = NULL;
    }
}
