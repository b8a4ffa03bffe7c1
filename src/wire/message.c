/* message: see message.h. In: a request that passed its guard; out: a message or a receipt. What
 * the body lacks or holds wrong is the provider's fault or the profile's, and answered 400, so that
 * the first try shows it. Limits: WIRE_TEXT_MAX, WIRE_NUMBER_MAX, WIRE_ID_MAX octets. */
#include "wire/message.h"

#include "wire/body.h"

/* A field of at most `most` octets; missing is "" where it may be. */
static enum err field(struct arena *a, const struct wire_tree *t, const struct wire_path *path,
                      size_t most, bool needed, struct slice *out) {
    enum err e = wire_tree_text(a, t, path, most, out);
    if (e == ERR_NOT_FOUND) {
        *out = (struct slice){"", 0};
        e = needed ? ERR_SYNTAX : ERR_OK;
    }
    return e;
}

/* The same for numbers, ids and states: the blanks around them mean nothing, and one that is
 * needed must not be empty. */
static enum err mark(struct arena *a, const struct wire_tree *t, const struct wire_path *path,
                     size_t most, bool needed, struct slice *out) {
    enum err e = field(a, t, path, most, needed, out);
    if (e)
        return e;
    *out = slice_trim(*out);
    return needed && !out->n ? ERR_SYNTAX : ERR_OK;
}

static bool says_yes(struct slice s) {
    return slice_eq_nocase(s, SLICE("true")) || slice_eq_nocase(s, SLICE("yes")) ||
           slice_eq(s, SLICE("1"));
}

/* The time it was sent, 0 when none is given. */
static enum err sent(struct arena *a, const struct wire_tree *t, const struct wire_in_profile *in,
                     int64_t *sent_s) {
    struct slice s;
    *sent_s = 0;
    enum err e = mark(a, t, &in->sent, WIRE_NUMBER_MAX, false, &s);
    if (e || !s.n)
        return e;
    return wire_instant(s, in->sent_form, sent_s);
}

/* The leading word keeps the two forms apart: no text can be made to look like an id. With an id
 * sender and text count too: some providers begin their numbers anew, and the text that comes with
 * a number of before is another one. When it was sent does not: a repeat may be stamped anew. */
static void print(const struct wire_profile *p, struct wire_message *m) {
    if (m->provider_id.n) {
        struct slice parts[] = {SLICE("id"), p->link, m->provider_id, m->sender, m->text};
        wire_sha256_parts(parts, 5, m->print);
        return;
    }
    char octets[8];
    for (int k = 0; k < 8; k++)
        octets[k] = (char)((uint64_t)m->sent_s >> (56 - 8 * k));
    struct slice parts[] = {SLICE("text"), p->link, m->sender, m->receiver, {octets, 8}, m->text};
    wire_sha256_parts(parts, 6, m->print);
}

static enum err read_message(const struct wire_profile *p, struct arena *a,
                             const struct wire_tree *t, struct wire_message *m) {
    const struct wire_in_profile *in = &p->in;
    struct slice loop;
    enum err e = mark(a, t, &in->sender, WIRE_NUMBER_MAX, true, &m->sender);
    if (!e)
        e = mark(a, t, &in->receiver, WIRE_NUMBER_MAX, true, &m->receiver);
    if (!e)
        e = field(a, t, &in->text, WIRE_TEXT_MAX, true, &m->text);
    if (!e)
        e = mark(a, t, &in->id, WIRE_ID_MAX, false, &m->provider_id);
    if (!e)
        e = sent(a, t, in, &m->sent_s);
    if (!e)
        e = mark(a, t, &in->loop, WIRE_NUMBER_MAX, false, &loop);
    if (e)
        return e;
    /* "Fed" twice a day is two texts: without an id or a time the second would pass for the first
     * delivered again. */
    if (!m->provider_id.n && !m->sent_s)
        return ERR_SYNTAX;
    m->no_reply = says_yes(loop);
    print(p, m);
    return ERR_OK;
}

enum err wire_read_message(const struct wire_profile *p, const struct wire_request *r,
                           struct arena *a, struct wire_message *out) {
    if (!wire_body_is(p->in.body, r->content_type))
        return ERR_SYNTAX;
    struct wire_tree *t = NULL;
    struct wire_message m = {0};
    enum err e = wire_tree_read(a, p->in.body, r->body, &t);
    if (!e)
        e = read_message(p, a, t, &m);
    wire_tree_free(t);
    if (!e)
        *out = m;
    return e;
}

enum err wire_tp_status(int64_t status, enum wire_state *out) {
    if (status < 0 || status > 255)
        return ERR_RANGE;
    if (status == 0x00 || (status >= 0x10 && status <= 0x1f))
        *out = WIRE_DELIVERED;
    else if (status == 0x01 || status == 0x02)
        *out = WIRE_PENDING;
    else if ((status >= 0x20 && status <= 0x25) || (status >= 0x30 && status <= 0x3f))
        *out = WIRE_PENDING;
    else
        *out = WIRE_FAILED;
    return ERR_OK;
}

static enum err read_state(const struct wire_receipt_profile *rp, struct slice state,
                           enum wire_state *out) {
    if (rp->tp_status) {
        int64_t status;
        enum err e = slice_int(state, &status);
        return e ? e : wire_tp_status(status, out);
    }
    for (int i = 0; i < rp->state_count; i++)
        if (slice_eq(rp->states[i].value, state)) {
            *out = rp->states[i].means;
            return ERR_OK;
        }
    *out = rp->others;
    return rp->others_known ? ERR_OK : ERR_RANGE;
}

enum err wire_read_receipt(const struct wire_profile *p, const struct wire_request *r,
                           struct arena *a, struct wire_receipt *out) {
    const struct wire_receipt_profile *rp = &p->receipt;
    if (!rp->given)
        return ERR_NOT_FOUND;
    if (!wire_body_is(rp->body, r->content_type))
        return ERR_SYNTAX;
    struct wire_tree *t = NULL;
    struct wire_receipt receipt = {0};
    struct slice state;
    enum err e = wire_tree_read(a, rp->body, r->body, &t);
    if (!e)
        e = mark(a, t, &rp->reference, WIRE_ID_MAX, false, &receipt.reference);
    if (!e)
        e = mark(a, t, &rp->id, WIRE_ID_MAX, false, &receipt.provider_id);
    if (!e && !receipt.reference.n && !receipt.provider_id.n)
        e = ERR_SYNTAX;
    if (!e)
        e = mark(a, t, &rp->state, WIRE_ID_MAX, true, &state);
    if (!e)
        e = read_state(rp, state, &receipt.state);
    wire_tree_free(t);
    if (!e)
        *out = receipt;
    return e;
}
