/* judge: see judge.h. In: the head of a request as the HTTP library read it. Out: route and body
 * length, or the status to refuse with; the fault is always the sender's. Pure, allocates nothing.
 * Limit: it sees only what the library kept, so bytes that the library drops (a zero byte and what
 * follows it in a line) are looked for where the raw head is still at hand, in gate.c. */
#include "gate/judge.h"

static bool path_byte(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' ||
           c == '-' || c == '_';
}

bool gate_judge_target(struct slice target, bool host, struct gate_target *out) {
    static const struct {
        const char *prefix;
        enum gate_route route;
    } posts[] = {{"/in/", GATE_IN}, {"/receipt/", GATE_RECEIPT}};

    if (target.n > GATE_PATH_MAX)
        return false;
    if (host) {
        *out = (struct gate_target){.method = "GET"};
        if (slice_eq(target, SLICE("/health")))
            out->route = GATE_HEALTH;
        else if (slice_eq(target, SLICE("/metrics")))
            out->route = GATE_METRICS;
        else
            return false;
        return true;
    }
    for (size_t i = 0; i < sizeof posts / sizeof *posts; i++) {
        struct slice prefix = slice_of(posts[i].prefix);
        if (!slice_starts(target, prefix))
            continue;
        struct slice name = slice_from(target, prefix.n);
        for (size_t k = 0; k < name.n; k++)
            if (!path_byte(name.p[k]))
                return false;
        *out = (struct gate_target){posts[i].route, name, "POST"};
        return name.n > 0;
    }
    return false;
}

/* RFC 9110 section 5.5: visible bytes, space, tab and bytes above ASCII. */
static bool value_clean(struct slice value) {
    for (size_t i = 0; i < value.n; i++) {
        unsigned char c = (unsigned char)value.p[i];
        if ((c < 0x20 && c != '\t') || c == 0x7f)
            return false;
    }
    return true;
}

/* RFC 9110 section 5.6.2: a token. A space before the colon is one of the old ways to hide a
 * header from one of two readers. */
static bool name_clean(struct slice name) {
    static const char others[] = "!#$%&'*+-.^_`|~";
    for (size_t i = 0; i < name.n; i++) {
        char c = name.p[i];
        if (!path_byte(c) && !slice_has(slice_of(others), c))
            return false;
    }
    return name.n > 0;
}

/* Digits only: no sign, no space, no list. 18 digits always fit. */
static int length_read(struct slice digits, size_t length_max, size_t *length) {
    size_t n = 0;
    if (digits.n == 0)
        return 400;
    for (size_t i = 0; i < digits.n; i++) {
        if (digits.p[i] < '0' || digits.p[i] > '9')
            return 400;
        if (i < 18)
            n = n * 10 + (size_t)(digits.p[i] - '0');
    }
    if (digits.n > 18 || n > length_max)
        return 413;
    *length = n;
    return 0;
}

int gate_judge_framing(const struct gate_head *head, bool length_needed, size_t length_max,
                       size_t *length) {
    struct slice digits = {NULL, 0};
    int lengths = 0, hosts = 0, encodings = 0;
    *length = 0;
    for (int i = 0; i < head->header_count; i++) {
        const struct gate_header *h = &head->headers[i];
        if (!name_clean(h->name) || !value_clean(h->value))
            return 400;
        if (slice_eq_nocase(h->name, SLICE("content-length"))) {
            digits = h->value;
            lengths++;
        }
        hosts += slice_eq_nocase(h->name, SLICE("host"));
        encodings += slice_eq_nocase(h->name, SLICE("transfer-encoding"));
    }
    if (encodings)
        return 411;
    if (lengths > 1 || hosts > 1)
        return 400;
    if (lengths == 0)
        return length_needed ? 411 : 0;
    return length_read(digits, length_max, length);
}

struct slice gate_judge_only(const struct gate_header *headers, int count, struct slice name) {
    struct slice found = {NULL, 0};
    int times = 0;
    for (int i = 0; i < count; i++)
        if (slice_eq_nocase(headers[i].name, name)) {
            found = headers[i].value;
            times++;
        }
    return times == 1 ? found : (struct slice){NULL, 0};
}
