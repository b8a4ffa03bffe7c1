/* since: has what an open question is about changed since it was asked? In: the question and the
 * request that waits with it; out: yes or no. A yes to a doubt means the farm that was shown, so
 * whoever answers is shown the new one. Reports are compared by the tags they are about, undone
 * ones too: a spawn that was taken back is in no state any more. */
#include "turn/correct.h"

/* Any injection of this spawn, undone ones included, that names the tag: a fix may have changed it.
 */
static bool spawn_of_tag(const struct farm *farm, int64_t spawn, int number) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].kind == ENTRY_INJECTED && farm->entries[i].subject == spawn &&
            farm->entries[i].value[1] == number)
            return true;
    return false;
}

static bool brood_of_tag(const struct farm *farm, int64_t id, struct tag tag) {
    enum sex sex = turn_sex(tag);
    for (int i = 0; i < farm->count; i++) {
        const struct entry *n = &farm->entries[i];
        bool hers = n->kind == ENTRY_INJECTED && n->value[0] == id && sex == SEX_FEMALE;
        bool its = n->kind == ENTRY_BROOD && n->subject == id && n->value[0] == (int64_t)sex;
        if ((hers || its) && n->value[1] == tag.number)
            return true;
    }
    return false;
}

static bool cycle_of_pond(const struct farm *farm, int64_t cycle, int number) {
    for (int i = 0; i < farm->count; i++)
        if (farm->entries[i].kind == ENTRY_STOCKED && farm->entries[i].subject == cycle &&
            farm->entries[i].value[0] == number)
            return true;
    return false;
}

static bool spawn_touched(const struct farm *farm, const struct entry *n, int number) {
    if (n->subject_kind == SUBJECT_SPAWN && spawn_of_tag(farm, n->subject, number))
        return true;
    return (n->kind == ENTRY_BOWL && spawn_of_tag(farm, n->value[0], number)) ||
           (n->kind == ENTRY_STOCKED && n->value[3] && spawn_of_tag(farm, n->value[3], number));
}

static bool pond_touched(const struct farm *farm, const struct entry *n, int number) {
    if (n->subject_kind == SUBJECT_CYCLE && cycle_of_pond(farm, n->subject, number))
        return true;
    return (n->subject_kind == SUBJECT_POND && n->subject == number) ||
           (n->kind == ENTRY_STOCKED && n->value[4] && cycle_of_pond(farm, n->value[4], number));
}

static bool tag_touched(const struct farm *farm, const struct entry *n, struct tag tag) {
    switch (tag.letter) {
    case 'p':
        return pond_touched(farm, n, tag.number);
    case 'b':
        return (n->subject_kind == SUBJECT_TANK && n->subject == tag.number) ||
               (n->kind == ENTRY_TANK && n->value[0] == tag.number);
    case 'f':
        if (spawn_touched(farm, n, tag.number))
            return true;
        return n->subject_kind == SUBJECT_BROOD && brood_of_tag(farm, n->subject, tag);
    default:
        return n->subject_kind == SUBJECT_BROOD && brood_of_tag(farm, n->subject, tag);
    }
}

/* The tags of a request: at most the four slots and those behind `also`. */
static int tags_of(const struct request *r, struct tag out[4 + ALSO_MAX]) {
    int n = 0;
    if (request_has(r, SLOT_TAG))
        out[n++] = r->tag;
    if (request_has(r, SLOT_POND))
        out[n++] = r->pond;
    if (request_has(r, SLOT_TANK))
        out[n++] = r->tank;
    if (request_has(r, SLOT_MALE))
        out[n++] = r->male;
    for (int i = 0; request_has(r, SLOT_ALSO) && i < r->also_count; i++)
        out[n++] = r->also[i];
    return n;
}

/* What an offer of an order or of a season was reckoned from; amounts of feed and oxygen are not.
 */
static bool of_orders(enum request_kind kind) {
    return kind == REQUEST_ORDER || kind == REQUEST_SEASON || kind == REQUEST_CALL_OFF;
}

static bool offer_touched(const struct entry *n) {
    switch (n->kind) {
    case ENTRY_GIVEN:
    case ENTRY_LEFT:
    case ENTRY_READING:
    case ENTRY_BOUGHT:
    case ENTRY_STORE:
    case ENTRY_PRICE:
    case ENTRY_COST:
    case ENTRY_INCOME:
    case ENTRY_PAID:
        return false;
    default:
        return true;
    }
}

/* Without a tag a correction is of whatever is newest, anything else of the hatchery's water. */
static bool entry_touches(const struct turn *t, const struct entry *n, const struct request *r) {
    struct tag tags[4 + ALSO_MAX];
    int count = tags_of(r, tags);
    if (of_orders(r->kind))
        return offer_touched(n);
    for (int i = 0; i < count; i++) {
        const struct correct_subjects s = correct_subjects_of(t, tags[i]);
        if (tag_touched(t->farm, n, tags[i]) || correct_about(&s, n))
            return true;
    }
    return !count && (r->kind == REQUEST_UNDO || n->subject_kind == SUBJECT_HATCHERY ||
                      n->kind == ENTRY_WATER || n->kind == ENTRY_INJECTED);
}

bool turn_changed_since(const struct turn *t, const struct request *r) {
    const struct farm *farm = t->farm;
    for (int i = farm->count - 1; i >= 0 && farm->entries[i].seq > t->question->head; i--) {
        const struct entry *n = &farm->entries[i];
        if (n->message == t->question->message) /* recorded in the turn that asked */
            continue;
        if (n->kind != ENTRY_UNDO && entry_touches(t, n, r))
            return true;
        for (int k = 0; k < i && n->kind == ENTRY_UNDO; k++)
            if (farm->entries[k].message == n->value[0] && farm->entries[k].kind != ENTRY_UNDO &&
                entry_touches(t, &farm->entries[k], r))
                return true;
    }
    return false;
}
