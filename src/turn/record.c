/* record: what a turn writes into the ledger, and what it takes back. In: a request judged; out:
 * entries, appended to the farm in memory too. ERR_BUG: more entries than one text can mean;
 * ERR_NOMEM from the farm's arena: the turn is then thrown away whole. */
#include "turn/inside.h"

void turn_record(struct turn *t, enum entry_kind kind, enum subject_kind subject_kind,
                 int64_t subject, int64_t at_s, int64_t v0, int64_t v1, int64_t v2) {
    if (t->entry_count == TURN_ENTRIES_MAX) {
        t->e = ERR_BUG;
        return;
    }
    t->entries[t->entry_count] = (struct entry){.seq = farm_head(t->farm) + t->entry_count + 1,
                                                .at_s = at_s,
                                                .said_s = t->now_s,
                                                .message = t->root,
                                                .person = turn_sender(t)->id,
                                                .kind = kind,
                                                .version = ENTRY_VERSION,
                                                .subject_kind = subject_kind,
                                                .subject = subject,
                                                .value = {v0, v1, v2}};
    t->entry_count++;
}

bool turn_commit(struct turn *t) {
    if (!t->e)
        t->e = farm_add(t->farm, t->entries, t->entry_count);
    return !t->e;
}

/* -- undo -----------------------------------------------------------------------------------------
 */

static struct slice message_text(struct turn *t, int64_t message) {
    struct slice text = t->message_text ? t->message_text(t->context, message) : SLICE("");
    return text.n ? text : SLICE("?");
}

static int64_t message_said(const struct turn *t, int64_t message) {
    for (int i = t->farm->count - 1; i >= 0; i--)
        if (t->farm->entries[i].message == message)
            return t->farm->entries[i].said_s;
    return t->now_s;
}

void turn_do_undo(struct turn *t, const struct request *r) {
    int64_t message = farm_last_message(t->farm, turn_sender(t)->id);
    if (!message || turn_sender(t)->role == ROLE_WATCHER) {
        TURN_SAY(t, UNDO_NOTHING);
        return;
    }
    int64_t leans = farm_leans_on(t->farm, message);
    if (leans && !(r->confirms & CONFIRM_LEANS)) {
        TURN_ASK(t, r, CONFIRM_BASE + CONFIRM_LEANS, ASK_UNDO_LEANS,
                 V_TEXT(message_text(t, message)), V_TEXT(message_text(t, leans)));
        return;
    }
    turn_record(t, ENTRY_UNDO, SUBJECT_HATCHERY, 0, t->now_s, message, 0, 0);
    if (turn_commit(t))
        TURN_SAY(t, UNDONE, V_TEXT(message_text(t, message)), V_WHEN(message_said(t, message)));
}
