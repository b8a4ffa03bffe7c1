/* record: what a turn writes into the ledger. In: a request judged; out: entries, appended to the
 * farm in memory too, or the answer that a value cannot be. ERR_BUG: more entries than one text can
 * mean; ERR_NOMEM from the farm's arena: the turn is then thrown away whole. */
#include "turn/inside.h"

void turn_record_entry(struct turn *t, struct entry entry) {
    if (t->entry_count == TURN_ENTRIES_MAX) {
        t->e = ERR_BUG;
        return;
    }
    entry.seq = farm_head(t->farm) + t->entry_count - t->entries_kept + 1;
    entry.said_s = t->now_s;
    entry.message = t->root;
    entry.person = turn_sender(t)->id;
    entry.version = entry_version(entry.kind);
    t->entries[t->entry_count++] = entry;
}

void turn_record(struct turn *t, enum entry_kind kind, enum subject_kind subject_kind,
                 int64_t subject, int64_t at_s, int64_t v0, int64_t v1, int64_t v2) {
    turn_record_entry(t, (struct entry){.at_s = at_s,
                                        .kind = kind,
                                        .subject_kind = subject_kind,
                                        .subject = subject,
                                        .value = {v0, v1, v2}});
}

void turn_drop(struct turn *t) {
    t->entry_count = t->entries_kept;
}

/* A text can be several reports: each is kept by itself. */
bool turn_commit(struct turn *t) {
    for (int i = t->entries_kept; i < t->entry_count && !t->e; i++)
        if (!entry_sound(&t->entries[i])) { /* a number that cannot be must never reach the store */
            turn_drop(t);
            TURN_SAY(t, VALUE_IMPOSSIBLE);
            return false;
        }
    if (!t->e)
        t->e = farm_add(t->farm, &t->entries[t->entries_kept], t->entry_count - t->entries_kept);
    t->entries_kept = t->entry_count;
    return !t->e;
}
