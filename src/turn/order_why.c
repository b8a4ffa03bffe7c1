/* order_why: WHY after an order: the chain from the fish that are asked for to the females, by what
 * rates, and how long they grow. In: what the last answer was about; out: an answer. Numbers are
 * trade's.
 * Limits: after a refusal it is the chain all the same, also where days or ponds stood in the way.
 */
#include "turn/order.h"

#include "trade/book.h"

static int64_t percent(double share) {
    return (int64_t)(share * 100 + 0.5);
}

/* Larger fish than a nursery's grow on for some weeks. */
static void why_growth(struct turn *t, const struct offer_farm *with, int64_t mean_mg) {
    const struct order_want want = {.fish = 1,
                                    .size_mg = mean_mg,
                                    .day = with->farm.now.day + 365,
                                    .hatchery_mdegc = with->mdegc,
                                    .pond_mdegc = with->mdegc};
    const struct order_days days = order_days(&want, &with->farm.tgc, with->farm.now);
    if (days.pond_days.middle > (int64_t)book_number(BOOK_NURSERY_DAYS))
        TURN_SAY(t, WHY_ORDER_GROW, V_WEIGHT(mean_mg), V_NUMBER(days.pond_days.middle));
}

static void why_need(struct turn *t, int64_t fish, int64_t mean_mg) {
    struct offer_farm with;
    bool pond = mean_mg > (int64_t)book_number(BOOK_FRY_MG);
    if (!offer_farm_make(t, 0, &with))
        return;
    const struct order_rates *rates = &with.odds->rates;
    struct order_need need = order_need(with.odds, fish, pond);
    struct reply_value hatch = V_NUMBER(percent(rates->hatch.centre));
    struct reply_value live = V_NUMBER(percent(rates->survive.centre));
    struct reply_value per_kg = V_NUMBER(turn_two_figures(rates->eggs.mean));
    struct reply_value eggs = V_NUMBER(turn_two_figures(need.eggs));
    struct reply_value half = V_WEIGHT(turn_two_figures(need.middle_mg));
    struct reply_value all =
        V_WEIGHT(turn_two_figures(need.promise_mg ? need.promise_mg : need.middle_mg));
    if (pond)
        TURN_SAY(t, WHY_ORDER, V_NUMBER(fish), V_NUMBER(percent(rates->nursery.centre)), live,
                 hatch, eggs, per_kg, half, all);
    else
        TURN_SAY(t, WHY_ORDER_FRY, V_NUMBER(fish), live, hatch, eggs, per_kg, half, all);
    why_growth(t, &with, mean_mg);
    if (with.own_runs > 1)
        TURN_SAY(t, WHY_ORDER_OWN, V_NUMBER(with.own_runs));
    else if (with.own_runs)
        TURN_SAY(t, WHY_ORDER_ONE);
    else
        TURN_SAY(t, WHY_ORDER_BOOK);
}

void turn_why_order(struct turn *t, const struct about *about) {
    struct request r;
    const struct order *o = farm_order(&t->farm->state, about->subject);
    int64_t mean_mg = 0, count = 0;
    if (about->subject == ORDER_OF_HERE) {
        TURN_SAY(t, WHY_ORDER_HERE);
        return;
    }
    if (o) {
        mean_mg = o->mean_mg;
        count = order_left(o);
    } else if (about->data.n && !request_read(about->data, &r) && order_size(t, &r, &mean_mg)) {
        count = r.count;
    }
    if (count > 0)
        why_need(t, count, mean_mg);
    else
        TURN_SAY(t, WHY_NOTHING);
}
