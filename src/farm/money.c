/* money: the fold of the farm's currency, its prices, and what was spent, earned and paid. In: an
 * entry; out: the state. ERR_NOMEM only. Money is kept whatever became of what it was for: it was
 * spent or earned all the same. Sums are made of it in account.c. */
#include "farm/inside.h"

bool farm_is_money(enum entry_kind kind) {
    return kind >= ENTRY_CURRENCY && kind <= ENTRY_PAID;
}

const struct currency *farm_currency(const struct farm_state *state) {
    char code[4];
    entry_currency_code(state->currency, code);
    return code[0] ? currency_of_code(slice_of(code)) : NULL;
}

static struct price *price_of(const struct farm_state *state, enum price_thing thing,
                              int64_t party) {
    for (int i = 0; i < state->price_count; i++)
        if (state->prices[i].thing == thing && state->prices[i].party == party)
            return &state->prices[i];
    return NULL;
}

const struct price *farm_price(const struct farm_state *state, enum price_thing thing,
                               int64_t party) {
    const struct price *p = price_of(state, thing, party);
    if (p && p->minor)
        return p;
    p = thing == PRICE_NAMED ? NULL : price_of(state, thing, 0);
    return p && p->minor ? p : NULL;
}

static enum err price_put(struct farm_state *state, const struct entry *n, struct arena *arena) {
    const struct price price = {.thing = (enum price_thing)n->value[0],
                                .party = n->value[1],
                                .at_s = n->at_s,
                                .minor = n->value[2],
                                .per = (enum price_per)n->value[3],
                                .measure = (enum measure_kind)n->value[4]};
    struct price *before = price_of(state, price.thing, price.party);
    if (before) {
        *before = price;
        return ERR_OK;
    }
    void *array = state->prices;
    enum err e =
        state_room(&array, state->price_count, &state->price_room, sizeof *state->prices, arena);
    if (e)
        return e;
    state->prices = array;
    state->prices[state->price_count++] = price;
    return ERR_OK;
}

static struct booking booking_of(const struct entry *n) {
    struct booking b = {.kind = BOOKING_COST,
                        .at_s = n->at_s,
                        .of = n->subject_kind,
                        .subject = n->subject,
                        .minor = n->value[0],
                        .party = n->value[1]};
    switch (n->kind) {
    case ENTRY_COST:
        b.feed = n->value[2];
        b.weight_mg = n->value[3];
        break;
    case ENTRY_INCOME:
        b.kind = BOOKING_INCOME;
        b.paid = n->value[2] != 0;
        b.count = n->value[3];
        b.weight_mg = n->value[4];
        break;
    default:
        b.kind = n->value[2] ? BOOKING_BACK : BOOKING_PAID;
        break;
    }
    return b;
}

enum err farm_step_money(struct farm_state *state, const struct entry *n, struct arena *arena) {
    if (n->kind == ENTRY_CURRENCY) {
        state->currency = n->value[0];
        return ERR_OK;
    }
    if (n->kind == ENTRY_PRICE)
        return price_put(state, n, arena);
    void *array = state->bookings;
    enum err e = state_room(&array, state->booking_count, &state->booking_room,
                            sizeof *state->bookings, arena);
    if (e)
        return e;
    state->bookings = array;
    state->bookings[state->booking_count++] = booking_of(n);
    return ERR_OK;
}
